//! What the pages have in common: how one takes the place of its skeleton, its head, its paper, and the marks its drawings share.

use super::device;
use super::dom::{El, div, effect, el};
use super::signal::RwSignal;
use crate::document::{Hands, Preferences, Theme};
use any_spawner::Executor;
use reactive_graph::owner::Owner;
use wasm_bindgen_futures::spawn_local;

/// A fraction of the code of the standard allocator. A page has one thread and holds a few hundred kilobytes.
#[global_allocator]
static ALLOCATOR: rlsf::SmallGlobalTlsf = rlsf::SmallGlobalTlsf::new();

/// The hatches that the drawings share, once in a page.
const HATCHES: &str = "<svg width='0' height='0' aria-hidden='true'><defs>\
<pattern id='hatch-tube' width='6' height='6' patternUnits='userSpaceOnUse' patternTransform='rotate(45)'><path d='M0 0V6' class='thin'/></pattern>\
<pattern id='hatch-least' width='4.500' height='4.500' patternUnits='userSpaceOnUse' patternTransform='rotate(-45)'><path d='M0 0V4.500' class='accent-hatch'/></pattern>\
<pattern id='hatch-stop' width='4' height='4' patternUnits='userSpaceOnUse' patternTransform='rotate(-45)'><path d='M0 0V4' class='stop-hatch'/></pattern>\
</defs></svg>";

/// Puts a page in place of its skeleton: what it holds is opened, what comes then is done, the page made of it, and then its content. Each is a task of its own, so
/// that the browser can answer between them.
pub fn mount<T: 'static, C: Fn() -> Vec<El> + 'static, const N: usize>(
    open: impl FnOnce() -> T + 'static,
    then: [fn(&T); N],
    page: impl FnOnce(T) -> (El, C) + 'static,
) {
    console_error_panic_hook::set_once();
    // Effects run as tasks of the browser's own queue. It is set up once, here, so it is not set up already.
    let _ = Executor::init_wasm_bindgen();
    spawn_local(async move {
        let owner = Owner::new();
        device::next_task().await;
        device::drop_strange();
        let opened = owner.with(open);
        for step in then {
            device::next_task().await;
            owner.with(|| step(&opened));
        }
        device::next_task().await;
        // Asked for before the page is made: what that asks for in turn finds the page in place.
        let next = device::next_task();
        let (page, content) = owner.with(|| page(opened));
        next.await;
        owner.with(|| page.child(div("stack").live(content)).mount());
        device::remove_skeleton();
        // What the page owns lives as long as the page.
        std::mem::forget(owner);
    });
}

/// A page on its paper, with the ways to the list of jobs, to other pages and to the preferences at its head. `jobs` is the address of the page of
/// jobs.
pub fn page(preferences: RwSignal<Preferences>, jobs: &str, others: [El; 2]) -> El {
    effect(move || {
        let preferences = preferences.get();
        let theme = match preferences.theme {
            Theme::Light => "light",
            Theme::Dark => "dark",
        };
        let hands = match preferences.hands {
            Hands::Usual => "usual",
            Hands::Big => "big",
        };
        device::set_root_attribute("data-theme", theme);
        device::set_root_attribute("data-hands", hands);
    });
    let list = format!("{jobs}#/");
    let ways = div("")
        .child(link(&list, "Jobs"))
        .children(others)
        .child(link(&format!("{list}preferences"), "Preferences"));
    let top = el("nav")
        .class("top no-print")
        .attr("aria-label", "Page")
        .child(link(&list, "").child(el("strong").text("Halfturn")))
        .child(ways);
    div("page")
        .child(div("visually-hidden").markup(HATCHES))
        .child(top)
}

/// The offer of a newer version, where one waits on the device. For a page on which nobody is at work on a job: changing to it loads the page again.
pub fn new_version() -> El {
    // `public/device.js` fills it.
    el("new-version")
}

/// Keeps the screen on as long as it stands in the page.
pub fn at_work() -> El {
    // `public/device.js` sees to it.
    el("at-work")
}

/// A link.
pub fn link(href: &str, words: &str) -> El {
    el("a").attr("href", href).text(words)
}

/// The heading of a page, which takes the focus when the page changes.
pub fn heading(words: &str) -> El {
    el("h1")
        .attr("id", "top")
        .attr("tabindex", "-1")
        .text(words)
}

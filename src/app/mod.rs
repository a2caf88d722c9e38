//! The page: views over the core, kept current by Leptos' signals.
//!
//! One root store, plain structs in it, core functions in memos, and `device` the only place that touches the browser.

mod bench;
mod device;
mod dom;
mod field;
mod jobs;
mod parts;
mod preferences;
mod route;
mod stations;
mod store;

use crate::document::{Kind, Theme, save_job};
use any_spawner::Executor;
use dom::{El, button, div, effect, el, on_window, p};
use reactive_graph::owner::{Owner, provide_context};
use reactive_graph::traits::*;
use route::Route;
use store::{Store, file_name, use_store};

/// The hatches that the drawings share, once in the page.
const HATCHES: &str = "<svg width='0' height='0' aria-hidden='true'><defs>\
<pattern id='hatch-tube' width='6' height='6' patternUnits='userSpaceOnUse' patternTransform='rotate(45)'><path d='M0 0V6' class='thin'/></pattern>\
<pattern id='hatch-least' width='4.500' height='4.500' patternUnits='userSpaceOnUse' patternTransform='rotate(-45)'><path d='M0 0V4.500' class='accent-hatch'/></pattern>\
<pattern id='hatch-stop' width='4' height='4' patternUnits='userSpaceOnUse' patternTransform='rotate(-45)'><path d='M0 0V4' class='stop-hatch'/></pattern>\
</defs></svg>";

/// Puts the page in place of the skeleton.
pub fn mount() {
    console_error_panic_hook::set_once();
    // Effects run as tasks of the browser's own queue. It is set up once, here, so it is not set up already.
    let _ = Executor::init_wasm_bindgen();
    let owner = Owner::new();
    owner.with(|| page().mount());
    // What the page owns lives as long as the page.
    std::mem::forget(owner);
    device::remove_skeleton();
}

fn page() -> El {
    let store = Store::open();
    provide_context(store);
    let follow = move || {
        let route = Route::from_hash(&device::hash());
        if let Route::Job(id, _) = &route {
            store.open_job(id);
        }
        store.route.set(route);
    };
    follow();
    on_window("hashchange", move || {
        follow();
        device::to_top();
    });
    on_window("pagehide", move || store.flush());
    on_window("visibilitychange", move || {
        if device::hidden() {
            store.flush();
        }
    });
    effect(move || {
        device::set_root_attribute(
            "data-theme",
            match store.preferences.get().theme {
                Theme::Light => "light",
                Theme::Dark => "dark",
            },
        );
    });
    let content = div("stack").live(move || match store.route.get() {
        Route::Jobs => jobs::jobs(),
        Route::Job(_, station) => stations::job_page(station),
        Route::Turns => bench::turns(),
        Route::Engagement => bench::engagement(),
        Route::Preferences => preferences::preferences(),
    });
    div("page")
        .child(div("visually-hidden").markup(HATCHES))
        .child(top())
        .child(unsaved())
        .child(content)
}

/// A link.
fn link(route: &Route, words: &str) -> El {
    el("a").attr("href", &route.href()).text(words)
}

/// The heading of a page, which takes the focus when the page changes.
fn heading(words: &str) -> El {
    el("h1")
        .attr("id", "top")
        .attr("tabindex", "-1")
        .text(words)
}

fn top() -> El {
    let ways = [
        (Route::Jobs, "Jobs"),
        (Route::Turns, "Bench"),
        (Route::Preferences, "Preferences"),
    ];
    div("top no-print")
        .child(link(&Route::Jobs, "").child(el("strong").text("Halfturn")))
        .child(
            el("nav")
                .attr("aria-label", "Page")
                .children(ways.iter().map(|(route, words)| link(route, words))),
        )
}

/// Says plainly that the work is not being kept, and offers it as a file.
fn unsaved() -> El {
    let store = use_store();
    div("").attr("role", "alert").live(move || {
        let words = match store.unsaved.get() {
            None => return Vec::new(),
            Some(device::StoreError::Off) => "Not saved on this device: storage is switched off in this browser. Keep the page open, and save the job to a file before you leave.",
            Some(device::StoreError::Full) => "Not saved on this device: its storage is full or refuses. Keep the page open, save the job to a file, then remove old jobs from the list.",
        };
        vec![div("banner no-print").child(p(words)).child(button("Save the job to a file", move || save_open_job(store)))]
    })
}

/// Offers the open job as a file.
fn save_open_job(store: Store) {
    store.job.with_untracked(|job| {
        if let Some(job) = job {
            device::save_file(&file_name(Kind::Job, &job.car.name), &save_job(job));
        }
    });
}

//! The first sight of each page, and the way between them.

use crate::offline::WITHOUT_WORKER;
use crate::page::Screen;
use crate::site::Site;
use crate::tour::{open_job, read_once};

#[test]
fn each_page_opens_with_a_clean_console_on_its_own_origin_and_loads_its_own_code_alone() {
    for (address, wasm, screen) in [
        ("", "/halfturn-", Screen::PHONE),
        ("", "/halfturn-", Screen::DESK),
        ("bench/", "/bench/bench-", Screen::PHONE),
        ("desk/", "/desk/desk-", Screen::DESK),
        ("box/", "/box/box-", Screen::PHONE),
    ] {
        let site = Site::release();
        site.visit(screen, |page| {
            page.before_load(WITHOUT_WORKER);
            page.open(address);
            page.part(".page").shows("Jobs");
            let width = page.script("return innerWidth");
            assert_eq!(width, screen.width, "the window is as wide as it should be");
            page.fits();
        });
        let requests = site.requests();
        let code = requests.iter().map(|request| request.path.as_str());
        let code: Vec<_> = code.filter(|path| path.ends_with(".wasm")).collect();
        assert_eq!(code.len(), 1, "asked for once: {code:?}");
        assert!(code[0].starts_with(wasm), "{code:?}");
    }
}

#[test]
fn the_bench_is_a_page_away_and_follows_the_preferences() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click("Bench");
        page.arrives("Turns for an angle");
        assert_eq!(page.script("return document.title"), "Halfturn bench");
        let theme = "return document.documentElement.dataset.theme";
        assert_eq!(page.script(theme), "light");
        page.part(".field:has(#arm) .unit").shows("mm");
        page.click("Preferences");
        page.click("Inches");
        page.click("Dark");
        // The bench stands as it was left: it reads what was preferred since.
        page.back();
        page.arrives("Turns for an angle");
        page.part(".field:has(#arm) .unit").shows("in");
        assert_eq!(page.script(theme), "dark");
        page.click("Jobs");
        page.arrives("From the box");
    });
}

#[test]
fn a_job_that_is_nowhere_kept_stays_open_behind_the_bench() {
    let target = "return document.querySelector('a[href=\"bench/\"]').target";
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.part(".page").shows("Jobs");
        assert_eq!(page.script(target), "");
        page.before_load(
            "Object.defineProperty(window, 'localStorage', { get() { throw new Error('off'); } })",
        );
        page.reload();
        page.shows("Not saved on this device");
        assert_eq!(page.script(target), "_blank");
    });
}

/// A station's parts come one after another; who leaves before the last has come is not held up by it.
#[test]
fn a_station_left_before_all_of_it_came_is_no_trouble() {
    Site::release().visit(Screen::PHONE, |page| {
        open_job(page, &read_once("rear"));
        page.script("location.hash = location.hash.replace('unpack', 'base')");
        page.arrives("Base");
        for pause in [0, 1, 5, 20] {
            page.script(&format!(
                "return new Promise(done => {{
                     const ways = ['bolt-up', 'base', 'torques', 'bolt-up', 'base'];
                     const next = () => {{
                         location.hash = '#/job/' + location.hash.split('/')[2] + '/' + ways.shift();
                         setTimeout(ways.length ? next : done, {pause});
                     }};
                     next();
                 }})"
            ));
            page.arrives("Base");
            page.part(".title-block").shows("Changed");
        }
    });
}

#[test]
fn the_skeleton_is_there_first_and_the_app_replaces_it() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        page.before_load(
            "document.addEventListener('DOMContentLoaded', () => {
                 window.firstText = document.querySelector('#skeleton')?.innerText ?? '';
             }, { once: true })",
        );
        page.open("");
        page.part(".page").shows("Jobs");
        let first = page.script("return window.firstText");
        assert!(
            first
                .as_str()
                .is_some_and(|text| text.contains("printed baseline sheet")),
            "first text: {first}"
        );
        assert_eq!(
            page.script("return document.querySelectorAll('#skeleton').length"),
            0,
            "skeletons left"
        );
    });
}

#[test]
fn an_open_page_needs_no_server() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        page.before_load(WITHOUT_WORKER);
        page.open("");
        page.part(".page").shows("Jobs");
        // The browser takes its time over the icons of the page and of its manifest.
        page.waits_for("both icons", || {
            let requests = site.requests();
            let icons = requests.iter().filter(|one| one.path.ends_with(".svg"));
            (icons.count() >= 2).then_some(())
        });
        site.stop();
        page.click("Preferences");
        page.arrives("Preferences");
    });
}

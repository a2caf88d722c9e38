//! The first sight of the page.

use crate::page::Screen;
use crate::site::Site;

#[test]
fn the_page_opens_with_a_clean_console_and_stays_on_its_own_origin() {
    for screen in [Screen::PHONE, Screen::DESK] {
        let site = Site::release();
        site.visit(screen, |page| {
            page.open("");
            page.part(".page").shows("Halfturn");
            let width = page.script("return innerWidth");
            assert_eq!(width, screen.width, "the window is as wide as it should be");
            page.fits();
        });
        let wasm = site
            .requests()
            .iter()
            .filter(|request| request.path.ends_with(".wasm"))
            .count();
        assert_eq!(wasm, 1, "the wasm is asked for once: the preload is used");
    }
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
        page.part(".page").shows("Halfturn");
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
        page.open("");
        page.part(".page").shows("Halfturn");
        site.stop();
        page.part(".page").shows("Halfturn");
    });
}

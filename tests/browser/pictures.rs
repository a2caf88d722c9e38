//! Pictures of the page: `make screens`.

#[path = "../common/mod.rs"]
mod common;

use crate::page::{Page, Screen};
use crate::site::Site;
use common::whole;
use halfturn::document::{Job, save_job};
use std::fs;
use std::path::PathBuf;

/// The rear kit, read once and not turned yet.
fn job() -> Job {
    let mut job = whole("rear");
    job.rounds.truncate(1);
    job.rounds[0].taken = Default::default();
    job
}

fn open_job(page: &Page) {
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pictured-job.json");
    fs::write(&file, save_job(&job())).unwrap();
    page.open("");
    page.attach("Open a kit card or a saved job", &file);
    page.part("h1").shows("Unpack");
}

#[test]
#[ignore = "writes pictures and proves nothing: `make screens`"]
fn screens() {
    for screen in [Screen::PHONE, Screen::DESK] {
        Site::release().visit(screen, |page| {
            open_job(page);
            for station in ["unpack", "bolt-up", "base", "read", "turn", "sheet"] {
                page.script(&format!("location.hash = '#/job/7/{station}'"));
                page.part(".rail a[aria-current]").shows("");
                println!("{}", page.picture(station).display());
            }
            for (address, name) in [
                ("#/", "list"),
                ("#/bench/turns", "turns"),
                ("#/bench/thread", "thread"),
                ("#/preferences", "preferences"),
            ] {
                page.open(address);
                page.part("h1").shows("");
                println!("{}", page.picture(name).display());
            }
        });
    }
    Site::release().visit(Screen::PHONE, |page| {
        open_job(page);
        page.script("location.hash = '#/job/7/turn'");
        page.part("h1").shows("Turn");
        page.script("document.querySelector('section[aria-label=\"Left rear\"]').scrollIntoView()");
        let seen = page.view("readme");
        let kept = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("public/screenshot.png");
        fs::copy(seen, &kept).unwrap();
        println!("{}", kept.display());
    });
}

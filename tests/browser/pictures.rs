//! Pictures of the page: `make screens`.

use crate::common::{CARDS, whole};
use crate::page::{Page, Screen};
use crate::site::Site;
use halfturn::document::{Job, save_job};
use std::fs;
use std::path::PathBuf;

/// A kit, read once and not turned yet.
fn job(card: &str) -> Job {
    let mut job = whole(card);
    job.rounds.truncate(1);
    job.rounds[0].taken = Default::default();
    job
}

fn open_job(page: &Page, card: &str) {
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pictured-job.json");
    fs::write(&file, save_job(&job(card))).unwrap();
    page.open("");
    page.attach("Open a kit card or a saved job", &file);
    page.part("h1").shows("Unpack");
}

#[test]
#[ignore = "writes pictures and proves nothing: `make screens`"]
fn screens() {
    for screen in [Screen::PHONE, Screen::DESK] {
        for card in CARDS {
            Site::release().visit(screen, |page| {
                open_job(page, card);
                for station in ["unpack", "bolt-up", "base", "read", "turn", "sheet"] {
                    page.script(&format!("location.hash = '#/job/7/{station}'"));
                    page.part(".rail a[aria-current]").shows("");
                    println!("{}", page.picture(&format!("{station}-{card}")).display());
                }
                for (address, name) in [
                    ("#/", "list"),
                    ("bench/#/turns", "turns"),
                    ("bench/#/torque", "torque"),
                    ("bench/#/holes", "holes"),
                    ("bench/#/thread", "thread"),
                    ("bench/#/which", "which"),
                    ("#/preferences", "preferences"),
                ] {
                    page.open(address);
                    page.part("h1").shows("");
                    println!("{}", page.picture(name).display());
                }
            });
        }
    }
    Site::release().visit(Screen::PHONE, |page| {
        open_job(page, "rear");
        page.script("location.hash = '#/job/7/turn'");
        page.part("h1").shows("Turn");
        page.script("document.querySelector('section[aria-label=\"Left rear\"]').scrollIntoView()");
        let seen = page.view("readme");
        let kept = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("public/screenshot.png");
        fs::copy(seen, &kept).unwrap();
        println!("{}", kept.display());
    });
}

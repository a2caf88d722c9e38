//! Pictures of the page: `make screens`.

use crate::common::CARDS;
use crate::page::Screen;
use crate::site::Site;
use crate::tour::{WITHOUT, open_job, read_once, stations};
use std::fs;
use std::path::PathBuf;

#[test]
#[ignore = "writes pictures and proves nothing: `make screens`"]
fn screens() {
    for screen in [Screen::PHONE, Screen::DESK] {
        for card in CARDS {
            Site::release().visit(screen, |page| {
                open_job(page, &read_once(card));
                stations(page, &mut |station| {
                    println!("{}", page.picture(&format!("{station}-{card}")).display());
                });
                for (address, name) in WITHOUT {
                    page.open(address);
                    page.arrives("");
                    println!("{}", page.picture(name).display());
                }
            });
        }
    }
    Site::release().visit(Screen::PHONE, |page| {
        open_job(page, &read_once("rear"));
        page.script("location.hash = '#/job/7/turn'");
        page.arrives("Turn");
        page.script("document.querySelector('section[aria-label=\"Left rear\"]').scrollIntoView()");
        let seen = page.view("readme");
        let kept = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("public/screenshot.png");
        fs::copy(seen, &kept).unwrap();
        println!("{}", kept.display());
    });
}

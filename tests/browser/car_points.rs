//! The car's own points: what their distances say together, on the page and on the sheet.

use crate::common::{typed, whole};
use crate::page::{Page, Screen};
use crate::paper::Paper;
use crate::site::Site;
use halfturn::document::{Unit, save_job};
use std::fs;
use std::path::PathBuf;

/// Waits until the drawing says a word, or no longer does.
fn drawn(page: &Page, word: &str, said: bool) {
    page.waits_for(word, || {
        let says = page.script(&format!(
            "return [...document.querySelectorAll('svg.drawing text')].some(text => text.textContent.includes({word:?}))"
        ));
        (says == said).then_some(())
    });
}

/// The left toe-link bolt is 12 mm further in, and the last of the distances that show it is typed here, in inches at first.
#[test]
fn a_point_that_was_hit_is_found_drawn_and_printed() {
    let mut job = whole("rear");
    for (id, distance) in [("car-diagonal-rl", "685.3"), ("car-side-l", "327.7")] {
        job.distances
            .insert(id.into(), typed(distance, Unit::Millimetre));
    }
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("car-points.json");
    fs::write(&file, save_job(&job)).unwrap();
    for screen in [Screen::PHONE, Screen::DESK] {
        Site::release().visit(screen, |page| {
            page.open("");
            page.attach("Open a kit card or a saved job", &file);
            page.arrives("Unpack");
            page.script("[...document.querySelectorAll('button.head')].find(head => head.textContent.startsWith('The car')).click()");
            let across = "Left toe-link inner bolt to right toe-link inner bolt";
            page.fill(across, "22.8");
            page.shows("Was it meant in inches? That would be 579.1 mm.");
            page.shows("It is left out of what follows.");
            drawn(page, "odd", true);
            page.fill(across, "578");
            page.shows("One point is off");
            page.shows("Left toe-link inner bolt is off (more than 99 %): ");
            page.shows("Left rear, fitted as it is: toe changes by 2.");
            page.shows("Whether up or down, they do not tell.");
            drawn(page, "off", true);
            drawn(page, "odd", false);
            page.fits();
            page.look("car-points");
            page.script("location.hash = '#/job/7/sheet'");
            page.arrives("Sheet");
            for paper in Paper::BOTH {
                page.print(paper, "car-points").is_one_page_with(
                    paper,
                    &[
                        "The car's own points: ",
                        "Left toe-link inner bolt is off",
                        "fitted as it is: toe changes by",
                    ],
                );
            }
        });
    }
}

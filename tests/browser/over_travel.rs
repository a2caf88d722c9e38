//! Rod ends over travel: what Base says of them, and the sheet.

use crate::common::whole;
use crate::page::Screen;
use crate::paper::Paper;
use crate::site::Site;
use halfturn::document::save_job;
use halfturn::linkage::Vector;
use halfturn::quantity::{Angle, LengthUnit};
use halfturn::station::joints_passed;
use std::fs;
use std::path::PathBuf;

#[test]
fn a_rod_end_that_leans_too_far_keeps_the_car_and_stands_on_the_sheet() {
    let mut job = whole("rear");
    let rod_end = &mut job.card.geometry[0].rod_ends[0];
    rod_end.bolt = Vector::UP;
    rod_end.most = Angle::degrees(8.0);
    let passed = joints_passed(&job, LengthUnit::Millimetre);
    assert_eq!(passed.len(), 2, "{passed:?}");
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("over-travel.json");
    fs::write(&file, save_job(&job)).unwrap();
    for screen in [Screen::PHONE, Screen::DESK] {
        Site::release().visit(screen, |page| {
            page.open("");
            page.attach("Open a kit card or a saved job", &file);
            page.arrives("Unpack");
            page.script("location.href = '../fit/#/job/7/base'");
            page.arrives("Base");
            page.shows("Not yet: 2 things stand against it.");
            page.click("Show them");
            for sentence in &passed {
                page.shows(sentence);
            }
            page.shows("from 60.0 mm of bump to 65.0 mm of droop.");
            page.fits();
            page.look("over-travel-base");
            page.script("location.href = '../sheet/#/job/7/sheet'");
            page.arrives("Sheet");
            page.shows(&passed[0]);
            for paper in Paper::BOTH {
                page.print(paper, "over-travel").is_one_page_with(
                    paper,
                    &["Toe link: the rod end at the car passes its 8.00°"],
                );
            }
        });
    }
}

//! Torques: what Bolt up says of them, who signs them off, and the chart for the wall.

use crate::common::{CARDS, card, moment, whole};
use crate::page::{Page, Screen};
use crate::paper::Paper;
use crate::site::Site;
use halfturn::document::{Job, save_job};
use halfturn::quantity::Torque;
use std::fs;
use std::path::PathBuf;

fn open_job(page: &Page, job: &Job, name: &str) {
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("torques-{name}.json"));
    fs::write(&file, save_job(job)).unwrap();
    page.open("");
    page.attach("Open a kit card or a saved job", &file);
    page.arrives("Unpack");
}

#[test]
fn the_chart_prints_on_one_page() {
    for (name, screen) in CARDS.into_iter().zip([Screen::PHONE, Screen::DESK]) {
        Site::release().visit(screen, |page| {
            open_job(page, &whole(name), name);
            page.script("location.hash = '#/job/7/bolt-up'");
            page.click("Torque chart for the wall");
            page.arrives("Torque chart");
            page.fits();
            page.look(&format!("chart-{name}"));
            let (torque, pounds, other) = match name {
                "rear" => ("142 N·m", "105 lbf·ft", "Toe link, jam nut"),
                _ => ("190 N·m", "140 lbf·ft", "Tie rod, jam nut"),
            };
            for paper in Paper::BOTH {
                page.print(paper, &format!("chart-{name}"))
                    .is_one_page_with(
                        paper,
                        &[
                            "Thistle Yard Fabrication",
                            torque,
                            pounds,
                            other,
                            "left and right",
                            "at ride height",
                            "COMPUTED: 75 % of the proof load",
                            "check again after 80 km",
                            "instructions and local law come first",
                        ],
                    );
            }
            page.click("Sheet");
            page.arrives("Sheet");
            page.click("Torque chart for the wall");
            page.arrives("Torque chart");
        });
    }
}

#[test]
fn a_torque_says_where_it_is_from_and_is_signed_by_a_name() {
    let mut card = card("rear");
    card.joints[0].torque = Some(Torque::newton_metres(300.0));
    card.joints[1].torque = None;
    card.joints[2].torque = None;
    card.joints[2].condition = "as supplied".into();
    let mut job = Job {
        car: Default::default(),
        ..Job::new("7".into(), card, moment(0))
    };
    let signing = |job: &Job, joint: &str| {
        let mut steps = job.card.all_steps();
        let step = steps.find(|step| step.joint.as_deref() == Some(joint));
        step.unwrap().id.clone()
    };
    // Everything before the first joints is done.
    let first = signing(&job, "j1");
    let whole = whole("rear");
    let mut steps = job.card.all_steps().take_while(|step| step.id != first);
    for step in steps.by_ref() {
        job.marks
            .insert(step.id.clone(), whole.marks.get(&step.id).unwrap().clone());
    }
    Site::release().visit(Screen::PHONE, |page| {
        open_job(page, &job, "signing");
        page.script("location.hash = '#/job/7/bolt-up'");
        let next = page.part("li.step.next");
        next.shows("300 N·m, on stands");
        next.shows("The kit maker's, from the card.");
        next.shows(
            "At usual friction it yields the bolt. Do not tighten to it: ask the kit's maker.",
        );
        page.look("bolt-up-warned");
        next.fill("Torque set on the wrench", "60");
        next.shows("LOOK: 60 N·m is more than a tenth off the 300 N·m wanted.");
        next.shows("Type the torque set and who signs, then sign off.");
        next.fill("Signed off by", "Kim");
        next.click("Sign off at the value set");
        page.shows("Signed off by Kim, 20");
        // Every later joint has the name already; the second joint's torque is computed, the third's is not known.
        let computed = page.part("li:has(#torque-j2)");
        computed.shows("163 N·m, on stands");
        computed.shows("COMPUTED, not from the card: 75 % of the proof load of grade 8");
        assert_eq!(computed.value("Signed off by"), "Kim");
        let unknown = page.part("li:has(#torque-j3)");
        unknown.shows("ask the kit's maker, on stands");
        unknown.shows("Finish \"as supplied\" is not understood");
        page.fits();
        page.look("bolt-up-torques");
    });
}

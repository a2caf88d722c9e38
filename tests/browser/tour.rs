//! Every page and state that a person may stand before, for the pictures and the audit.

use crate::common::{CARDS, card, moment, whole};
use crate::page::Page;
use halfturn::document::{Job, Outgoing, save_job, save_kit_card};
use std::fs;
use std::path::PathBuf;

/// The stations of a job and its chart, by their place in an address.
pub const OF_A_JOB: [&str; 7] = [
    "unpack", "bolt-up", "base", "read", "turn", "sheet", "torques",
];

/// The pages that need no job, each with its name.
pub const WITHOUT: [(&str, &str); 8] = [
    ("#/", "list"),
    ("#/preferences", "preferences"),
    ("bench/#/turns", "turns"),
    ("bench/#/torque", "torque"),
    ("bench/#/holes", "holes"),
    ("bench/#/thread", "thread"),
    ("bench/#/which", "which"),
    ("bench/#/geometry", "geometry"),
];

/// The kit maker's desk with a card and a box on it, each state with its name.
pub const AT_DESK: [(&str, &str); 7] = [
    ("desk/#/", "desk"),
    ("desk/#/card/1/write/parts[0].name", "desk part"),
    ("desk/#/card/1/write/joints[0].torque", "desk joint"),
    (
        "desk/#/card/1/write/adjusters[0].mechanism",
        "desk adjuster",
    ),
    (
        "desk/#/card/1/write/sections[1].steps[1].caution",
        "desk step",
    ),
    ("desk/#/card/1/preview", "desk preview"),
    ("desk/#/box/1", "desk box"),
];

/// Puts a card with something to settle, and a box being checked, on the desk.
pub fn store_desk(page: &Page) {
    let mut kit = card("rear");
    kit.joints[0].torque = None;
    kit.joints[0].grade = "soft".into();
    let mut job = Job::new("1".into(), card("rear"), moment(0));
    job.outgoing = Some(Outgoing::default());
    for (key, text) in [
        ("halfturn.card.1", save_kit_card(&kit)),
        ("halfturn.outgoing.1", save_job(&job)),
    ] {
        page.script(&format!(
            "localStorage.setItem({key:?}, {})",
            serde_json::json!(text)
        ));
    }
}

/// A kit, read once and not turned yet.
pub fn read_once(card: &str) -> Job {
    let mut job = whole(card);
    job.rounds.truncate(1);
    job.rounds[0].taken = Default::default();
    job
}

/// A kit just taken from its box.
pub fn unopened(name: &str) -> Job {
    Job::new("7".into(), card(name), moment(0))
}

/// Opens a job from a file, as its first station.
pub fn open_job(page: &Page, job: &Job) {
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("toured-job.json");
    fs::write(&file, save_job(job)).unwrap();
    page.open("");
    page.attach("Open a kit card or a saved job", &file);
    page.part("h1").shows("Unpack");
}

/// Goes through every station of a job that is open.
pub fn stations(page: &Page, visit: &mut dyn FnMut(&str)) {
    let address = page
        .script("return location.hash")
        .as_str()
        .unwrap()
        .to_owned();
    let job = address.strip_suffix("unpack").unwrap().to_owned();
    for station in OF_A_JOB {
        page.open(&format!("{job}{station}"));
        page.waits_for(station, || {
            let there = page.script(&format!(
                "return location.hash.endsWith({station:?}) && !document.getElementById('skeleton')"
            ));
            (there == true).then_some(())
        });
        page.part("h1").shows("");
        visit(station);
    }
}

/// Goes through everything: jobs of both cards as they come from the box, read once, and done, then what needs no job.
pub fn everything(page: &Page, visit: &mut dyn FnMut(&str)) {
    for name in CARDS {
        for (state, job) in [
            ("unopened", unopened(name)),
            ("read", read_once(name)),
            ("done", whole(name)),
        ] {
            page.open("bench/");
            page.script("localStorage.clear()");
            open_job(page, &job);
            stations(page, &mut |station| {
                visit(&format!("{station} {name} {state}"))
            });
        }
    }
    store_desk(page);
    for (address, name) in WITHOUT.into_iter().chain(AT_DESK) {
        page.open(address);
        page.part("h1").shows("");
        visit(name);
    }
}

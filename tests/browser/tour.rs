//! Every page and state that a person may stand before, for the pictures and the audit.

use crate::common::{CARDS, card, moment, whole};
use crate::page::Page;
use flate2::Compression;
use flate2::write::DeflateEncoder;
use halfturn::document::{
    Answer, Job, Letter, Named, NamedCard, Outgoing, pack_job, pack_kit_card, save_job,
    save_kit_card,
};
use std::fs;
use std::io::Write;
use std::path::PathBuf;

/// The stations of a job and its chart, by their place in an address.
pub const OF_A_JOB: [&str; 7] = [
    "unpack", "bolt-up", "base", "read", "turn", "sheet", "torques",
];

/// The address of a station or of the chart of a job.
pub fn address(job: &str, station: &str) -> String {
    let folder = match station {
        "bolt-up" | "base" | "torques" => "fit",
        "turn" => "align",
        own => own,
    };
    format!("{folder}/#/job/{job}/{station}")
}

/// The pages that need no job, each with its name.
pub const WITHOUT: [(&str, &str); 11] = [
    ("#/", "list"),
    ("#/preferences", "preferences"),
    ("unpack/#/job/none/unpack", "no such job"),
    ("share/#/open/x", "broken link"),
    ("share/#/send/none", "nothing to send"),
    ("bench/#/turns", "turns"),
    ("bench/#/torque", "torque"),
    ("bench/#/holes", "holes"),
    ("bench/#/thread", "thread"),
    ("bench/#/which", "which"),
    ("bench/#/geometry", "geometry"),
];

/// The kit maker's desk with a card and a box on it, each state with its name.
pub const AT_DESK: [(&str, &str); 8] = [
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
    ("box/#/", "boxes"),
    ("box/#/box/1", "box"),
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
    choose_job(page, job);
    page.arrives("Unpack");
}

/// Chooses a job's file in the list of jobs.
fn choose_job(page: &Page, job: &Job) {
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("toured-job.json");
    fs::write(&file, save_job(job)).unwrap();
    page.open("");
    page.attach("Open a kit card or a saved job", &file);
}

/// Goes through every station of a job that is open.
pub fn stations(page: &Page, visit: &mut dyn FnMut(&str)) {
    let hash = page.script("return location.hash");
    let job = hash.as_str().unwrap().split('/').nth(2).unwrap().to_owned();
    for station in OF_A_JOB {
        page.open(&address(&job, station));
        page.arrives("");
        visit(station);
    }
}

/// A job that names its card, packed.
pub fn alone(job: &Job) -> Vec<u8> {
    NamedCard::of(&job.card).pack_job(job)
}

/// As zlib deflates it, for the address of what came.
pub fn link(packed: &[u8]) -> String {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::default());
    encoder.write_all(packed).unwrap();
    let letter = Letter {
        deflated: true,
        bytes: encoder.finish().unwrap(),
    };
    format!("share/#/open/{}", letter.to_link())
}

fn names<T>(named: &Named<T>) -> Vec<String> {
    named.iter().map(|(name, _)| name.to_owned()).collect()
}

/// A job in which something is wrong or cannot be read at every station.
fn troubled() -> Job {
    let mut job = whole("rear");
    job.rounds.truncate(1);
    job.rounds[0].taken = Default::default();
    for (place, id) in names(&job.counts).iter().enumerate() {
        job.counts.place(id).text = ["0", "many"][place % 2].into();
    }
    for id in names(&job.findings) {
        job.findings.place(&id).answer = Some(Answer::Wrong);
    }
    for (place, id) in names(&job.settings).iter().enumerate() {
        for entry in job.settings.place(id) {
            entry.text = ["1", "29", "thick"][place % 3].into();
        }
    }
    for (place, id) in names(&job.torques).iter().enumerate() {
        job.torques.place(id).set.text = ["5", "1/0", "500"][place % 3].into();
    }
    job
}

/// Goes through what leaves a job, what came with a link or a file, and the list that holds several.
fn shared(page: &Page, visit: &mut dyn FnMut(&str)) {
    let job = whole("rear");
    open_job(page, &job);
    for (address, name) in [
        ("share/#/send/7", "send a job"),
        ("share/#/send/7/card", "send a card"),
    ] {
        page.open(address);
        page.part("main").shows("link");
        visit(name);
    }
    let mut later = job.clone();
    later.notes = "Read again on Monday.".into();
    later.changed += 60_000;
    let mut other = whole("front");
    other.started += 1000;
    let mut strange = card("front");
    strange.revision = "Z".into();
    let alone = alone(&Job {
        card: strange,
        ..whole("front")
    });
    for (packed, name) in [
        (pack_job(&later), "a job came, changed"),
        (pack_job(&job), "a job came, the same"),
        (pack_job(&other), "a job came, new"),
        (alone, "a job came without its card"),
        (pack_kit_card(&job.card), "a card came"),
    ] {
        page.open("bench/");
        page.open(&link(&packed));
        page.part("main").shows("Leave it");
        visit(name);
    }
    choose_job(page, &later);
    page.shows("What differs");
    visit("a job came in a file");
    page.open("");
    for number in 1..9 {
        let mut one = unopened("front");
        one.id = format!("1{number}");
        one.started += number;
        one.archived = number > 6;
        store_job(page, &one);
    }
    page.script("localStorage.setItem('halfturn.job.20', '{')");
    page.open("bench/");
    page.open("");
    page.shows("Search");
    visit("list of many");
}

/// Puts a job into storage, as a page would.
pub fn store_job(page: &Page, job: &Job) {
    page.script(&format!(
        "localStorage.setItem('halfturn.job.{}', {})",
        job.id,
        serde_json::json!(save_job(job))
    ));
}

/// Opens everything that folds, and what folds within it, which is made only then.
pub fn unfold(page: &Page) {
    page.script(
        "let folded;
         while ((folded = [...document.querySelectorAll('details:not([open]) > summary')]).length) folded.forEach((one) => one.click())",
    );
}

/// Goes through everything: jobs of both cards as they come from the box, read once, done, and with all wrong, what is shared, then what needs no job.
pub fn everything(page: &Page, visit: &mut dyn FnMut(&str)) {
    let jobs = CARDS.into_iter().flat_map(|name| {
        [
            (format!("{name} unopened"), unopened(name)),
            (format!("{name} read"), read_once(name)),
            (format!("{name} done"), whole(name)),
        ]
    });
    for (state, job) in jobs.chain([("all wrong".to_owned(), troubled())]) {
        page.open("bench/");
        page.script("localStorage.clear()");
        open_job(page, &job);
        stations(page, &mut |station| {
            visit(&format!("{station} {state}"));
            page.script("for (const head of document.querySelectorAll('button.head[aria-expanded=false]')) head.click()");
            unfold(page);
            visit(&format!("{station} {state}, unfolded"));
        });
    }
    page.open("bench/");
    page.script("localStorage.clear()");
    shared(page, visit);
    page.script("localStorage.clear()");
    store_desk(page);
    for (address, name) in WITHOUT.into_iter().chain(AT_DESK) {
        page.open("bench/?between");
        page.open(address);
        page.arrives("");
        visit(name);
    }
}

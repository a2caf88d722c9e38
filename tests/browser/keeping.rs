//! What is typed is kept: reloads, closing and coming back, files out and in, storage that fails, files that are wrong.

use crate::page::{Page, Screen};
use crate::site::Site;
use std::fs;
use std::path::PathBuf;

const REAR: &str = "Demo: rear double-wishbone kit, inch rod ends";
const FIELD: &str = "Toe-link sleeve, groove at its left-hand end";

/// Longer than the page waits before it writes.
fn settle(page: &Page) {
    page.script("return new Promise(done => setTimeout(() => done(true), 700))");
}

fn station(page: &Page, name: &str) {
    page.script(&format!(
        "[...document.querySelectorAll('.rail a')].find(way => way.textContent.startsWith({name:?})).click()"
    ));
    page.arrives(name);
}

/// Comes back to the page so many minutes later; to a clock that was set back where they are negative.
fn away(page: &Page, minutes: i32) {
    settle(page);
    page.open("bench/");
    page.script(&format!(
        "for (const key of Object.keys(localStorage).filter(key => key.startsWith('halfturn.job.'))) {{
            const job = JSON.parse(localStorage.getItem(key));
            job.changed -= {minutes} * 60000;
            localStorage.setItem(key, JSON.stringify(job));
        }}"
    ));
    page.back();
}

/// A file to be opened.
pub fn file(name: &str, text: &[u8]) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("files");
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    fs::write(&path, text).unwrap();
    path
}

fn card_text() -> String {
    fs::read_to_string(format!(
        "{}/public/cards/rear.json",
        env!("CARGO_MANIFEST_DIR")
    ))
    .unwrap()
}

#[test]
fn a_reload_in_any_station_loses_nothing() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click(REAR);
        page.fill(FIELD, "2");
        page.fill("Who does the work, for the sheet", "Bay 2");
        page.reload();
        assert_eq!(page.value(FIELD), "2");
        assert_eq!(page.value("Who does the work, for the sheet"), "Bay 2");

        station(page, "Bolt up");
        page.part("li.step.next").click("Done");
        page.reload();
        page.lacks("Back from a break");
        away(page, 11);
        page.shows("Back from a break");
        page.shows(
            "Last done: Read the vehicle maker's and kit maker's instructions and local law first",
        );
        page.click("It still holds: go on");
        page.lacks("Back from a break");
        away(page, -60);
        page.shows("Back from a break");
        page.click("It still holds: go on");

        station(page, "Base");
        page.part("[data-adjuster='lr-camber']")
            .fill("Thread showing", "1/4 in");
        page.part("[data-adjuster='rr-camber']")
            .fill("Thread showing", "abc");
        page.reload();
        assert_eq!(
            page.part("[data-adjuster='lr-camber']")
                .value("Thread showing"),
            "1/4 in"
        );
        // What cannot be read is kept too, with its reason.
        assert_eq!(
            page.part("[data-adjuster='rr-camber']")
                .value("Thread showing"),
            "abc"
        );
        page.part("[data-adjuster='rr-camber']")
            .shows("Write a length such as");

        station(page, "Read");
        page.click("Start round 1");
        page.part("[data-wheel='left-rear']")
            .fill("String to rim, front edge", "181,5");
        page.reload();
        assert_eq!(
            page.part("[data-wheel='left-rear']")
                .value("String to rim, front edge"),
            "181,5"
        );

        station(page, "Turn");
        page.reload();
        page.shows("No plan yet.");

        station(page, "Sheet");
        page.fill("Notes for the sheet", "Second try on Monday.");
        page.reload();
        page.part(".sheet").shows("Second try on Monday.");
    });
}

#[test]
fn coming_back_another_day_finds_the_job() {
    Site::release().visit(Screen::DESK, |page| {
        page.open("");
        page.click(REAR);
        page.fill(FIELD, "1");
        settle(page);
        page.come_back("");
        page.shows("Orrin 1600 coupe — Unpack");
        page.click("Orrin 1600 coupe — Unpack");
        assert_eq!(page.value(FIELD), "1");
        page.shows("For the shop: what is missing or unfit");
        page.shows("expected 2, received 1");
    });
}

#[test]
fn a_job_goes_out_as_a_file_and_comes_in_again() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click(REAR);
        page.fill(FIELD, "2");
        station(page, "Sheet");
        page.click("Save the job to a file");
        let (name, bytes) = page.saved_file();
        assert!(name.starts_with("halfturn-job-orrin-1600-coupe"), "{name}");
        settle(page);
        page.script("localStorage.clear()");
        page.open("?wiped");
        page.shows("None yet.");
        page.attach("Open a kit card or a saved job", &file("job.json", &bytes));
        page.arrives("Unpack");
        assert_eq!(page.value(FIELD), "2");
    });
}

#[test]
fn files_that_are_no_documents_are_refused_in_words() {
    Site::release().visit(Screen::PHONE, |page| {
        let card = card_text();
        let huge = vec![b' '; 20_000_000];
        let cases: [(&str, Vec<u8>, &str); 7] = [
            (
                "cut.json",
                card.as_bytes()[..card.len() / 2].to_vec(),
                "ends in the middle",
            ),
            ("note.json", b"hello".to_vec(), "line 1, column 1"),
            (
                "other.json",
                b"{\"some\": 1}".to_vec(),
                "the field halfturn is missing",
            ),
            (
                "kind.json",
                card.replacen("\"kit card\"", "\"invoice\"", 1).into_bytes(),
                "The field halfturn says \"invoice\"",
            ),
            (
                "newer.json",
                card.replacen("\"version\": 1", "\"version\": 99", 1)
                    .into_bytes(),
                "The field version is 99",
            ),
            (
                "adjuster.json",
                card.replacen("\"sleeve\"", "\"turnbuckle\"", 1)
                    .into_bytes(),
                "adjusters[0].mechanism",
            ),
            ("huge.json", huge, "20 MB"),
        ];
        for (name, bytes, words) in &cases {
            page.open("");
            page.attach("Open a kit card or a saved job", &file(name, bytes));
            page.shows("not opened");
            page.part(".banner").shows(words);
        }
        page.open("");
        page.shows("None yet.");
    });
}

#[test]
fn a_stored_job_that_cannot_be_read_is_kept_and_offered() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.script(
            "localStorage.setItem('halfturn.job.9', '{\"halfturn\":\"job\",\"version\":1,\"id\"')",
        );
        page.reload();
        page.shows("A job that cannot be read. It is kept as it is.");
        page.click("Save what is there to a file");
        let (_, bytes) = page.saved_file();
        assert_eq!(bytes, b"{\"halfturn\":\"job\",\"version\":1,\"id\"");
        page.open("#/job/9/unpack");
        page.shows("This job cannot be read. It is kept as it is");
        let kept = page.script("return localStorage.getItem('halfturn.job.9')");
        assert_eq!(kept, "{\"halfturn\":\"job\",\"version\":1,\"id\"");
    });
}

#[test]
fn storage_switched_off_is_said_and_the_work_goes_on() {
    Site::release().visit(Screen::PHONE, |page| {
        page.before_load("Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('off', 'SecurityError') } })");
        page.open("");
        page.shows("storage is switched off");
        page.click(REAR);
        page.arrives("Unpack");
        page.fill(FIELD, "2");
        assert_eq!(page.value(FIELD), "2");
        page.click("Save the job to a file");
        assert!(String::from_utf8(page.saved_file().1).unwrap().contains("\"halfturn\":\"job\""));
        // The job goes along to the other page, and back.
        station(page, "Sheet");
        page.fill("Notes for the sheet", "Nowhere kept.");
        station(page, "Unpack");
        assert_eq!(page.value(FIELD), "2");
        station(page, "Sheet");
        page.part(".sheet").shows("Nowhere kept.");
        page.shows("storage is switched off");
        page.open("desk/");
        page.shows("storage is switched off");
    });
}

#[test]
fn storage_that_is_full_is_said_and_the_work_goes_on() {
    Site::release().visit(Screen::PHONE, |page| {
        page.before_load("Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }");
        page.open("");
        page.click(REAR);
        page.arrives("Unpack");
        page.shows("its storage is full or refuses");
        page.fill(FIELD, "2");
        assert_eq!(page.value(FIELD), "2");
        station(page, "Turn");
        page.shows("its storage is full or refuses");
        station(page, "Unpack");
        assert_eq!(page.value(FIELD), "2");
    });
}

#[test]
fn a_job_that_another_site_gave_the_window_is_dropped() {
    let (site, other) = (Site::release(), Site::of("tests/browser/fixture"));
    let page = Page::new(&site, Screen::PHONE);
    page.open("");
    page.click(REAR);
    page.fill(FIELD, "2");
    settle(&page);
    let forged = page.script(
        "const key = Object.keys(localStorage).find(key => key.startsWith('halfturn.job.'));
         const job = JSON.parse(localStorage.getItem(key));
         job.changed += 60000; job.notes = 'forged';
         return [location.hash, JSON.stringify(job)]",
    );
    // By the job's own address, and by a page that shows no job but leads to them.
    for entrance in ["", "bench/", "desk/", "box/"] {
        page.open_elsewhere(&format!("{}/", other.origin()));
        page.script(&format!(
            "window.name = {}; location.href = {} + '/{entrance}' + {}",
            forged[1],
            serde_json::json!(site.origin()),
            forged[0]
        ));
        if !entrance.is_empty() {
            page.click("Jobs");
            page.click("Orrin 1600 coupe — Unpack");
        }
        assert_eq!(page.value(FIELD), "2");
        station(&page, "Sheet");
        page.arrives("Sheet");
        page.part(".sheet").lacks("forged");
        assert_eq!(page.script("return window.name"), "");
    }
}

#[test]
fn the_back_button_goes_back() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click(REAR);
        page.arrives("Unpack");
        station(page, "Base");
        page.back();
        page.arrives("Unpack");
        page.open("#/job/none/read");
        page.shows("There is no such job on this device.");
    });
}

#[test]
fn the_way_back_shows_what_the_other_page_changed() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click(REAR);
        page.fill("Who does the work, for the sheet", "Bay 2");
        station(page, "Sheet");
        page.fill("Notes for the sheet", "Second try.");
        page.back();
        page.arrives("Unpack");
        page.fill(FIELD, "2");
        station(page, "Sheet");
        page.part(".sheet").shows("Second try.");
        page.back();
        assert_eq!(page.value(FIELD), "2");
    });
}

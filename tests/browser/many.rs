//! Many jobs, and many pages on one: nothing that was taken is lost, and what both changed is told.

use crate::common::whole;
use crate::page::{Page, Screen};
use crate::site::Site;
use halfturn::document::{Job, save_job};
use serde_json::{Value, json};
use std::time::{SystemTime, UNIX_EPOCH};

const REAR: &str = "Demo: rear double-wishbone kit, inch rod ends";
const SLEEVE: &str = "Toe-link sleeve, groove at its left-hand end";
const BY: &str = "Who does the work, for the sheet";
const TOLD: &str = "Typed in two tabs";

/// A page on a new job at Unpack, and the address of the job.
fn unpack(page: &Page) -> String {
    page.open("");
    page.click(REAR);
    page.arrives("Unpack");
    page.script("return location.hash")
        .as_str()
        .unwrap()
        .to_owned()
}

/// The open job as it is stored.
fn stored(page: &Page) -> Value {
    let text = page.script("return localStorage.getItem('halfturn.job.1')");
    serde_json::from_str(text.as_str().unwrap()).unwrap()
}

/// Stores what another page makes of the job. In the tab that does it, the browser tells nobody.
fn store_unheard(page: &Page, change: impl FnOnce(&mut Value)) {
    let mut job = stored(page);
    change(&mut job);
    page.script(&format!(
        "localStorage.setItem('halfturn.job.1', {})",
        json!(job.to_string())
    ));
}

/// Longer than the page rests between two writes.
fn settle(page: &Page) {
    page.script("return new Promise(done => setTimeout(() => done(true), 700))");
}

#[test]
fn two_tabs_on_one_job_keep_what_each_did() {
    Site::release().visit(Screen::PHONE, |page| {
        let address = unpack(page);
        page.fill(SLEEVE, "1");
        let first = page.open_tab(&address.replace("unpack", "bolt-up"));
        page.part("li.step.next").click("Done");
        page.shows("1 of 97 steps");
        let second = page.turn_to(&first);
        // Not a moment is waited: the tab may not have heard yet.
        page.fill(BY, "Bay 2");
        page.turn_to(&second);
        page.part("li.step.next").click("Done");
        page.shows("2 of 97 steps");
        page.turn_to(&first);
        assert_eq!(page.value(SLEEVE), "1");
        assert_eq!(page.value(BY), "Bay 2");
        page.fill(SLEEVE, "2");
        settle(page);
        page.lacks(TOLD);
        page.turn_to(&second);
        page.lacks(TOLD);
        settle(page);
        let job = stored(page);
        assert_eq!(
            job["marks"].as_object().unwrap().len(),
            2,
            "{}",
            job["marks"]
        );
        assert_eq!(job["car"]["by"], "Bay 2");
        assert_eq!(job["counts"]["p-toe-sleeve"]["text"], "2");
    });
}

#[test]
fn what_was_stored_unheard_is_merged_and_what_both_typed_is_told() {
    Site::release().visit(Screen::PHONE, |page| {
        unpack(page);
        page.fill(SLEEVE, "1");
        settle(page);
        store_unheard(page, |job| {
            job["notes"] = json!("From elsewhere.");
            job["counts"]["p-toe-sleeve"]["text"] = json!("9");
        });
        page.fill(BY, "Bay 2");
        settle(page);
        assert_eq!(page.value(SLEEVE), "9");
        assert_eq!(page.value(BY), "Bay 2");
        page.lacks(TOLD);
        assert_eq!(stored(page)["notes"], "From elsewhere.");

        store_unheard(page, |job| {
            job["counts"]["p-toe-sleeve"]["text"] = json!("7");
        });
        page.fill(SLEEVE, "2");
        page.shows("Typed in two tabs: counts, Toe-link sleeve, groove at its left-hand end. Kept is “2”, and not “7”.");
        assert_eq!(page.value(SLEEVE), "2");
        page.fits();
        page.look("two-tabs");
        page.click("I have looked at them");
        page.lacks(TOLD);
        assert_eq!(stored(page)["counts"]["p-toe-sleeve"]["text"], "2");
    });
}

/// Two pages that write in the same moment, neither having seen the other: the browser tells each of what the other wrote, though it
/// stands no longer.
#[test]
fn writes_that_cross_are_put_together() {
    Site::release().visit(Screen::PHONE, |page| {
        unpack(page);
        settle(page);
        let before = stored(page);
        page.fill(SLEEVE, "2");
        settle(page);
        let mut theirs = before.clone();
        theirs["car"]["by"] = json!("Bay 3");
        theirs["changed"] = json!(before["changed"].as_u64().unwrap() + 1);
        let hear = |before: &Value, after: &Value| {
            page.script(&format!(
                "dispatchEvent(new StorageEvent('storage', {{ key: 'halfturn.job.1', oldValue: {}, newValue: {} }}))",
                json!(before.to_string()),
                json!(after.to_string())
            ));
        };
        hear(&before, &theirs);
        assert_eq!(page.value(BY), "Bay 3");
        assert_eq!(page.value(SLEEVE), "2");
        assert_eq!(stored(page)["car"]["by"], "Bay 3");
        assert_eq!(stored(page)["counts"]["p-toe-sleeve"]["text"], "2");
        // What is heard late, and is in the job already, changes nothing and is told to nobody.
        page.fill(BY, "Bay 4");
        settle(page);
        hear(&before, &theirs);
        assert_eq!(page.value(BY), "Bay 4");
        page.lacks(TOLD);
    });
}

#[test]
fn what_a_newer_page_has_stored_is_never_written_over() {
    let newer = "{\"halfturn\":\"job\",\"version\":99,\"id\":\"1\"}";
    Site::release().visit(Screen::PHONE, |page| {
        unpack(page);
        settle(page);
        page.script(&format!(
            "localStorage.setItem('halfturn.job.1', {})",
            json!(newer)
        ));
        page.fill(SLEEVE, "2");
        page.shows(
            "another page or tab has stored something for this job that cannot be read here",
        );
        let kept = "return localStorage.getItem('halfturn.job.1')";
        assert_eq!(page.script(kept), newer);
        page.click("Save the job to a file");
        let saved = String::from_utf8(page.saved_file().1).unwrap();
        assert!(
            saved.contains("\"p-toe-sleeve\":{\"text\":\"2\""),
            "{saved}"
        );
        // The window carries what was typed over a reload.
        page.reload();
        page.shows(
            "another page or tab has stored something for this job that cannot be read here",
        );
        assert_eq!(page.value(SLEEVE), "2");
        assert_eq!(page.script(kept), newer);
    });
}

#[test]
fn a_sign_off_is_stored_before_anything_else_happens() {
    Site::release().visit(Screen::PHONE, |page| {
        let address = unpack(page);
        page.open(&address.replace("unpack", "bolt-up"));
        page.part("li.step.next").shows("1. ");
        settle(page);
        let marks = page.script(
            "document.querySelector('li.step.next button.main').click();
             const count = () => Object.keys(JSON.parse(localStorage.getItem('halfturn.job.1')).marks ?? {}).length;
             return new Promise(done => setTimeout(() => done(count()), 0))",
        );
        assert_eq!(marks, 1, "stored within the next task");
        // What is typed fast is written at most once in 300 ms, the last of it too.
        let writes = page.script(
            "history.replaceState(null, '', location.hash.replace('bolt-up', 'unpack'));
             dispatchEvent(new HashChangeEvent('hashchange'));
             return new Promise(done => setTimeout(() => {
                 const writes = [];
                 const set = Storage.prototype.setItem;
                 Storage.prototype.setItem = function (...put) { writes.push(performance.now()); return set.apply(this, put); };
                 const field = document.querySelector('#car-by');
                 let count = 0;
                 const typing = setInterval(() => {
                     field.value += 'x';
                     field.dispatchEvent(new Event('input', { bubbles: true }));
                     if (++count < 40) return;
                     clearInterval(typing);
                     setTimeout(() => {
                         Storage.prototype.setItem = set;
                         const pauses = writes.slice(1).map((at, place) => at - writes[place]);
                         done([writes.length, Math.min(...pauses), JSON.parse(localStorage.getItem('halfturn.job.1')).car.by.length]);
                     }, 400);
                 }, 25);
             }, 500))",
        );
        assert_eq!(writes[2], 40);
        assert!(writes[0].as_u64() >= Some(3), "{writes}");
        assert!(writes[1].as_f64() >= Some(295.0), "{writes}");
    });
}

/// The job of an id as it may be stored: a car, a state, and how many minutes ago it was changed.
fn put(page: &Page, id: u32, car: &str, card: &str, minutes: i64) {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap();
    let now = i64::try_from(now.as_millis()).unwrap();
    let mut job = whole(card);
    job.id = id.to_string();
    job.car.name = car.into();
    job.changed = u64::try_from(now - minutes * 60_000).unwrap();
    if id.is_multiple_of(2) {
        job = Job {
            counts: Default::default(),
            ..job
        };
    }
    page.script(&format!(
        "localStorage.setItem('halfturn.job.{id}', {})",
        json!(save_job(&job))
    ));
}

#[test]
fn the_list_says_where_jobs_stand_and_finds_them() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.shows("None yet. A job stays in this browser, which may clear what it keeps");
        for (id, car, card, minutes) in [
            (1, "Orrin, green", "rear", 0),
            (2, "Orrin, blue", "rear", 5),
            (3, "Orrin, red", "front", 120),
            (4, "Orrin, white", "front", 60 * 24 + 5),
            (5, "Orrin, black", "rear", -60),
        ] {
            put(page, id, car, card, minutes);
        }
        page.reload();
        page.shows("Orrin, green");
        assert_eq!(
            page.script("return document.querySelectorAll('#search').length"),
            0
        );
        put(page, 6, "Orrin, grey", "rear", 60 * 24 * 2);
        page.reload();
        let row = |car: &str| format!("ul.lines > li:nth-child({car})");
        page.part(&row("1"))
            .shows("which by this device's clock is still to come: was the clock set back?");
        page.part(&row("2")).shows("Changed just now");
        page.part(&row("2")).shows("Sheet: done");
        page.part(&row("3")).shows("Changed 5 minutes ago");
        page.part(&row("3")).shows("Unpack: 34 of 70");
        page.part(&row("4")).shows("Changed 2 hours ago");
        page.part(&row("5")).shows("Changed 1 day ago");
        page.part(&row("6")).shows("Changed 2 days ago");
        page.fits();
        page.look("jobs");

        let search = "Search: car, card, maker, notes";
        page.fill(search, "GREEN");
        page.lacks("Orrin, blue");
        page.shows("Orrin, green");
        page.fill(search, "front kit re");
        page.shows("Orrin, red");
        page.lacks("Orrin, green");
        page.fill(search, "mark on its rim white");
        page.shows("Orrin, white");
        page.fill(search, "no such");
        page.shows("No job has these words.");
        page.fill(search, "");
        page.shows("Orrin, blue");

        page.part(&row("2")).click("More");
        page.look("jobs-more");
        page.part(&row("2")).click("Archive");
        page.lacks("Orrin, green");
        page.shows("Archived (1)");
        page.reload();
        page.lacks("Orrin, green");
        page.click("Archived (1)");
        page.shows("Orrin, green");
        // Archiving is no change of the job.
        page.part("details[open]").shows("Changed just now");
        page.part("details[open] li").click("More");
        page.part("details[open] li").click("Bring back");
        page.lacks("Archived");
        page.shows("Orrin, green");
    });
}

#[test]
fn the_same_kit_goes_on_another_car_without_what_was_so_for_the_first() {
    Site::release().visit(Screen::PHONE, |page| {
        unpack(page);
        page.fill(SLEEVE, "2");
        page.fill(BY, "Bay 2");
        page.fill("The car", "Orrin, green");
        page.click("With boots");
        settle(page);
        page.open("#/");
        page.click("More");
        page.click("Same kit, another car");
        page.arrives("Unpack");
        assert_eq!(page.value(SLEEVE), "");
        assert_eq!(page.value(BY), "Bay 2");
        assert_eq!(page.value("The car"), "Orrin 1600 coupe");
        assert_eq!(page.script("return document.querySelector('input[name=order-boots]:checked').parentElement.textContent"), "With boots");
        page.open("#/");
        page.shows("Orrin, green — Unpack");
        page.shows("Orrin 1600 coupe — Unpack");
        page.part("li:nth-child(2)").click("More");
        page.part("li:nth-child(2)").click("Remove");
        page.shows("Keep it");
        page.part("li:nth-child(2)").click("Remove it for good");
        page.lacks("Orrin, green");
        page.shows("Orrin 1600 coupe — Unpack");
    });
}

#[test]
fn a_list_follows_what_another_tab_does() {
    Site::release().visit(Screen::PHONE, |page| {
        let address = unpack(page);
        let first = page.open_tab("");
        page.shows("Orrin 1600 coupe — Unpack");
        let list = page.turn_to(&first);
        page.fill("The car", "Orrin, green");
        page.turn_to(&list);
        page.shows("Orrin, green — Unpack");
        // What the browser has cleared is said plainly, by the list and at the job's own address.
        page.script("localStorage.clear()");
        page.open("?cleared");
        page.shows("None yet. A job stays in this browser, which may clear what it keeps");
        page.open(&address);
        page.shows("this browser has cleared what it kept");
    });
}

#[test]
fn every_sign_off_can_be_undone() {
    Site::release().visit(Screen::PHONE, |page| {
        let address = unpack(page);
        page.script("[...document.querySelectorAll('button.head')].find((head) => head.textContent.startsWith('Try by hand')).click()");
        let check = "li:has(input[name='fit-fit-upper-thread-l'])";
        page.part(check)
            .click("turns by hand along its whole length");
        settle(page);
        assert_eq!(
            stored(page)["findings"]["fit-upper-thread-l"]["answer"],
            "right"
        );
        page.part(check).click("Undo");
        settle(page);
        assert_eq!(
            stored(page)["findings"]["fit-upper-thread-l"]["answer"],
            Value::Null
        );
        page.open(&address.replace("unpack", "read"));
        page.click("Start round 1");
        page.click("Take this round away");
        page.click("Keep it");
        page.click("Take this round away");
        page.click("Take it away, with its readings");
        page.shows("Start round 1");
    });
}

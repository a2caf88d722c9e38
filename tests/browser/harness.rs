//! The harness itself, on a practice page: what it does is done, and what it looks for it finds.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::Duration;

use crate::page::{Page, Screen, hurry};
use crate::paper::{Paper, decode_base64};
use crate::site::Site;

fn practice(story: impl FnOnce(&mut Page)) {
    Site::of("tests/browser/fixture").visit(Screen::PHONE, |page| {
        page.open("");
        story(page);
    });
}

/// The faults that a script in the page brings about, once there are any.
fn faults_of(page: &Page, script: &str) -> String {
    page.script(script);
    page.script("return new Promise((done) => setTimeout(done, 300))");
    page.faults().join("\n")
}

#[test]
fn fields_lists_and_buttons_are_found_by_name() {
    practice(|page| {
        page.fill("Track", "1420,5 mm");
        assert_eq!(page.value("Track"), "1420,5 mm");
        page.shows("Kept: 1420,5 mm");
        page.fill("Track", "");
        assert_eq!(page.value("Track"), "");
        page.choose("Side", "Right");
        page.part("#second").click("Done");
        page.part("#second").shows("Right is done");
        page.part("#first").lacks("Right is done");
        page.lacks("Left is done");
    });
}

#[test]
fn files_go_in_and_come_out() {
    practice(|page| {
        page.click("Save");
        assert_eq!(
            page.saved_file(),
            ("practice.txt".to_owned(), b"saved text".to_vec())
        );
        let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join("practice-card.txt");
        std::fs::write(&file, "a card").unwrap();
        page.attach("Card file", &file);
        page.shows("Read: a card");
    });
}

#[test]
fn what_is_stored_is_there_after_a_reload_and_after_coming_back() {
    practice(|page| {
        page.shows("Kept: nothing");
        page.fill("Track", "1511");
        page.reload();
        page.shows("Kept: 1511");
        page.come_back("");
        page.shows("Kept: 1511");
    });
}

#[test]
fn print_is_measured_and_read() {
    practice(|page| {
        for paper in Paper::BOTH {
            page.print(paper, "practice")
                .is_one_page_with(paper, &["Practice page", "Kept: nothing"]);
        }
        page.script("document.body.style.height = '400mm'");
        assert_eq!(page.print(Paper::A4, "practice-long").pages, 2);
    });
}

#[test]
fn a_name_that_is_hidden_or_ambiguous_fails() {
    hurry(Duration::from_secs(1));
    for name in ["Unseen", "Done"] {
        let clicked = catch_unwind(AssertUnwindSafe(|| practice(|page| page.click(name))));
        assert!(clicked.is_err(), "{name} was clicked");
    }
}

#[test]
fn a_warning_in_the_console_is_a_fault() {
    practice(|page| {
        let faults = faults_of(page, "console.warn('a practice warning')");
        assert!(faults.contains("a practice warning"), "{faults}");
    });
}

#[test]
fn a_breach_of_the_policy_is_a_fault() {
    practice(|page| {
        let faults = faults_of(page, "document.body.setAttribute('style', 'color: red')");
        assert!(faults.contains("Content Security Policy"), "{faults}");
    });
}

#[test]
fn a_request_to_another_origin_is_a_fault() {
    let elsewhere = Site::of("tests/browser/fixture");
    practice(|page| {
        // A plain navigation is not under the page's policy: only the request log shows it.
        let faults = faults_of(page, &format!("location.href = '{}/'", elsewhere.origin()));
        assert!(
            faults.contains("another origin") && faults.contains(&elsewhere.origin()),
            "{faults}"
        );
    });
    assert!(!elsewhere.requests().is_empty(), "the other site was asked");
}

#[test]
fn a_missing_file_is_a_fault_and_a_stopped_site_answers_nothing() {
    let site = Site::of("tests/browser/fixture");
    let misbehaved = catch_unwind(AssertUnwindSafe(|| {
        site.visit(Screen::DESK, |page| {
            page.open("");
            page.script("return fetch('absent.json').then(() => null)");
        });
    }));
    assert!(misbehaved.is_err(), "a missing file went unseen");

    let site = Site::of("tests/browser/fixture");
    site.visit(Screen::DESK, |page| {
        page.open("");
        site.stop();
        let answer =
            page.script("return fetch('index.html').then(() => 'answered', () => 'refused')");
        assert_eq!(answer, "refused");
        assert!(
            !page.faults().is_empty(),
            "the console shows the refused request"
        );
    });
}

/// The test vectors of RFC 4648, section 10.
#[test]
fn base64_is_read() {
    let vectors = [
        ("", ""),
        ("Zg==", "f"),
        ("Zm8=", "fo"),
        ("Zm9v", "foo"),
        ("Zm9vYg==", "foob"),
        ("Zm9vYmFy", "foobar"),
    ];
    for (text, bytes) in vectors {
        assert_eq!(decode_base64(text), bytes.as_bytes());
    }
}

//! Bad input never yields a number: a sentence names the field and the fix, and what was typed stays.

use crate::page::Screen;
use crate::site::Site;

#[test]
fn readings_that_cannot_be_right_give_no_result() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click("Demo: rear double-wishbone kit, inch rod ends");
        page.arrives("Unpack");
        page.script("location.hash = location.hash.replace('unpack', 'read')");
        page.click("Start round 1");
        let rear = "fieldset:has(input[name='toe-by-rear'])";
        page.part(rear).click("figures from a rack");
        let camber = "fieldset:has(input[name='camber-by-rear'])";
        page.part(camber).click("figures from a rack");
        let left = page.part("[data-wheel='left-rear']");
        left.fill("Toe", "0.2");
        left.shows("Choose which way: toe-in or toe-out.");
        left.click("toe-out");
        left.shows("0.20° toe-out");
        // A typed sign and a chosen way do not contradict each other: the last said holds.
        left.fill("Toe", "-0.3");
        left.shows("0.30° toe-out");
        left.click("toe-in");
        assert_eq!(left.value("Toe"), "0.3");
        left.shows("0.30° toe-in");
        for (typed, words) in [
            ("40", "Toe of one wheel lies between"),
            ("0,1,2", "One comma or dot at most"),
            ("0.2x", "Write an angle such as"),
            (
                "2 mm",
                "A toe as a length needs the distance across the rim first, such as 430 mm.",
            ),
        ] {
            left.fill("Toe", typed);
            left.shows(words);
            assert_eq!(left.value("Toe"), typed, "what was typed stays");
            page.part("section[aria-label='What the readings come to']")
                .shows("Still missing or not readable");
        }
        page.fill("Across the rim, edge to edge", "0");
        page.shows("The distance across the rim lies between");
        page.part("section[aria-label='What the readings come to'] dl")
            .lacks("0.");
    });
}

#[test]
fn thread_showing_beyond_the_shank_keeps_the_car_on_its_stands() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click("Demo: rear double-wishbone kit, inch rod ends");
        page.arrives("Unpack");
        page.script("location.hash = location.hash.replace('unpack', 'base')");
        let link = page.part("[data-adjuster='lr-camber']");
        for (typed, words) in [
            ("90", "More thread shows than this shank has"),
            ("-5", "Leave the sign away"),
            ("30", "is engaged and"),
            ("1,234", "One comma or dot at most"),
        ] {
            link.fill("Thread showing", typed);
            link.shows(words);
            assert_eq!(link.value("Thread showing"), typed);
        }
        page.lacks("It may be driven to alignment.");
    });
}

#[test]
fn the_bench_answers_in_whole_steps_and_refuses_what_it_cannot_read() {
    Site::release().visit(Screen::DESK, |page| {
        page.open("bench/");
        // 150 mm, 0.1 degree, 5/8-18 on its shank: 0.1855 turns by plane trigonometry.
        page.fill("By how much", "0.1");
        page.fill("Lever arm, square to the link", "150");
        page.part("section[aria-label='Answer']")
            .shows("0.19 turns");
        page.part("section[aria-label='Answer']").shows("1 flat");
        page.fill("Lever arm, square to the link", "0");
        page.shows("The lever arm lies between");
        page.part("section[aria-label='Answer']").lacks("turns");
        page.fits();
        page.look("bench-turns");

        page.click("Engagement");
        page.fill("Shank, shoulder to tip", "48");
        page.fill("Thread showing", "1/4 in");
        page.fill("Depth of the insert", "38");
        page.part("section[aria-label='Answer']")
            .shows("enough engaged");
        page.fill("Thread showing", "24");
        page.part("section[aria-label='Answer']")
            .shows("too little engaged");
        page.fits();
        page.look("bench-thread");
    });
}

#[test]
fn preferences_change_what_is_shown_and_never_what_was_typed() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click("Demo: rear double-wishbone kit, inch rod ends");
        page.arrives("Unpack");
        page.script("location.hash = location.hash.replace('unpack', 'base')");
        page.part("[data-adjuster='lr-camber']")
            .fill("Thread showing", "6.35");
        page.part("[data-adjuster='lr-camber']").shows("6.4 mm");
        let job = page.script("return location.hash");
        page.open("#/preferences");
        page.click("Inches");
        page.click("Degrees and minutes");
        page.click("lbf·ft");
        page.click("Dark");
        page.fits();
        page.look("preferences");
        page.open(job.as_str().unwrap());
        page.part("[data-adjuster='lr-camber']").shows("0.250 in");
        assert_eq!(
            page.part("[data-adjuster='lr-camber']")
                .value("Thread showing"),
            "6.35"
        );
        page.reload();
        page.part("[data-adjuster='lr-camber']").shows("0.250 in");
        page.fits();
        page.look("rear-base-dark");
    });
}

//! The kit maker's desk: a card written as a person types it, seen as the fitter will, and a box checked and shipped.

use crate::keeping::file;
use crate::page::{Page, Screen};
use crate::paper::Paper;
use crate::site::Site;
use halfturn::document::{load_job, load_kit_card, open_draft};
use halfturn::station::unpack;
use std::fs;

/// Longer than the page waits before it writes.
fn settle(page: &Page) {
    page.script("return new Promise(done => setTimeout(() => done(true), 700))");
}

/// Unfolds a list or an item by what its head says first.
fn unfold(page: &Page, name: &str) {
    page.waits_for(name, || {
        let found = page.script(&format!(
            "const head = [...document.querySelectorAll('.fold button.head, button.head')].find(head => head.firstElementChild.textContent === {name:?});
             if (!head) return false;
             if (head.getAttribute('aria-expanded') !== 'true') head.click();
             return true;"
        ));
        (found == true).then_some(())
    });
}

fn kept_card(page: &Page) -> String {
    settle(page);
    page.script("return localStorage.getItem('halfturn.card.1')")
        .as_str()
        .unwrap()
        .to_owned()
}

const SIDE: &str = ".side";

/// Adds a step and says what is done in it.
fn step(page: &Page, text: &str) {
    page.click("Add a step");
    page.fill("What to do", text);
}

#[test]
fn a_card_is_written_from_blank_seen_saved_and_tried() {
    Site::release().visit(Screen::DESK, |page| {
        page.open("");
        page.click("Desk");
        page.arrives("The kit maker's desk");
        page.click("Start from a blank card");
        page.arrives("Write the kit card");
        page.part(SIDE).shows("3 still to settle");
        page.fill("What the kit is called", "Rear kit T");
        page.fill("Who makes it", "Thistle Yard Fabrication");
        page.part(SIDE).shows("The car it fits is missing: add it.");
        page.click("The car it fits is missing: add it.");
        page.waits_for("the focus on the field", || {
            (page.script("return document.activeElement.id") == "fits").then_some(())
        });
        page.fill("The car it fits", "Orrin 1600 coupe, rear");
        page.part(SIDE).shows("ready; 2 worth a look");

        // A part, typed wrongly first: what was typed stays, with its reason beside it.
        unfold(page, "Loose parts (0)");
        page.click("Add a part");
        page.fill("What it is", "Upper link, left");
        page.fill("How many", "two");
        page.part(".fold .fold")
            .shows("must be a whole number, such as 4, and is \"two\"");
        assert!(kept_card(page).contains("\"count\":\"two\""));
        page.reload();
        unfold(page, "Loose parts (1)");
        unfold(page, "Upper link, left");
        assert_eq!(page.value("How many"), "two");
        page.fill("How many", "1");
        page.choose("Made for", "the left side");
        // A live check comes, and goes when its reason does.
        page.part(SIDE).shows(
            "Loose parts: Upper link, left: Made for: No part for the right side goes with it",
        );
        page.click("Duplicate this part");
        page.fill("What it is", "Upper link, right");
        page.choose("Made for", "the right side");
        page.part(SIDE).lacks("No part for the right side");

        // Bolts and nuts of a bag.
        unfold(page, "Bags of hardware (0)");
        page.click("Add a bag");
        page.fill("What is written on it", "Bag A");
        for (name, count) in [
            ("Hex bolt, zinc plated", "8"),
            ("Lock nut, zinc plated", "6"),
        ] {
            page.click("Add a kind of hardware");
            page.fill("What it is", name);
            page.fill("Thread", "1/2-20 UNF");
            page.fill("How many", count);
        }
        page.part(SIDE)
            .shows("Bags of hardware: Bag A: It holds 8 bolts and 6 nuts of 1/2-20 UNF.");
        page.fill("How many", "8");
        page.part(SIDE).lacks("It holds 8 bolts");

        // A joint that no step signs off, until one does.
        unfold(page, "Joints (0)");
        page.click("Add a joint");
        page.fill("What it joins", "Upper link to bracket, left");
        page.fill("How many bolts", "8");
        page.fill("Thread", "1/2-20 UNF");
        page.fill("Bolt grade or class", "8");
        page.fill("Nut, or what is tapped", "lock nut, grade C");
        page.fill("Finish and lubricant", "zinc plated, dry");
        page.choose("Tightened", "with the car on stands");
        page.part(SIDE)
            .shows("no step signs off \"Upper link to bracket, left\"");
        unfold(page, "Fitting, section by section (0)");
        page.click("Add a section");
        page.fill("Where on the car", "Left rear");
        for text in [
            "Read the instructions first",
            "Chock both front wheels",
            "Park on firm ground",
            "Hang the upper link",
        ] {
            step(page, text);
        }
        page.choose("Joint it signs off", "Upper link to bracket, left");
        page.part(SIDE).lacks("no step signs off");
        page.click("Add a caution before it");
        page.choose("How bad it is", "NOTICE: damage, no injury");
        page.fill("The hazard", "An oiled thread raises the clamp load.");
        page.fill("What happens", "The bolt stretches.");
        page.fill("How to avoid it", "Threads stay dry.");
        page.part(SIDE).shows("It has 4 steps in one order");
        step(page, "Confirm section complete: link hung");
        page.part(SIDE).lacks("It has 4 steps");
        page.part(SIDE).shows("ready; 2 worth a look");
        page.look("desk-write");

        // Removed by mistake, and back again.
        page.click("Remove this step");
        page.part(SIDE)
            .shows("Removed: Confirm section complete: link hung.");
        page.click("Undo");
        page.part(SIDE).lacks("It has 4 steps");

        page.click("What the fitter sees");
        page.part("main").shows("1 × Upper link, left");
        page.part("main")
            .shows("8 × Hex bolt, zinc plated, 1/2-20 UNF");
        page.part("main")
            .shows("An oiled thread raises the clamp load.");
        page.part("main").shows("Upper link to bracket, left: ");
        page.part("main").shows("COMPUTED, not from the card");
        page.look("desk-preview");
        page.click("Write");

        page.click("Save the card to a file");
        let (name, bytes) = page.saved_file();
        assert!(name.starts_with("halfturn-kit-card-rear-kit-t-1"), "{name}");
        let card = load_kit_card(std::str::from_utf8(&bytes).unwrap()).unwrap();
        assert_eq!(
            (card.parts.len(), card.parts[1].id.as_str()),
            (2, "upper-link-right")
        );
        assert_eq!(
            card.sections[0].steps[3].joint.as_deref(),
            Some("upper-link-to-bracket-left")
        );

        page.fill("What the next revision changes", "Dry threads said.");
        page.click("Make the next revision");
        page.part("header").shows("Rear kit T, revision 2");
        page.click("Try it as a job");
        page.arrives("Unpack");
        page.shows("New in revision 2");
        page.fill("Upper link, left", "1");
        page.open("");
        page.shows("Thistle Yard Fabrication, Rear kit T revision 2.");
        page.open("desk/");
        page.shows("Kit cards on this device");
        assert!(
            page.script("return localStorage.getItem('halfturn.card.1')")
                .as_str()
                .unwrap()
                .contains("\"revision\":\"1\"")
        );
    });
}

#[test]
fn a_box_is_checked_with_a_shortage_and_its_slip_printed() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("desk/");
        page.click("Start from the demo rear kit");
        page.arrives("Write the kit card");
        page.part(SIDE).shows("nothing to settle");
        page.fits();
        page.view("desk-write-top");
        page.click("Check a box that ships");
        page.arrives("Check a box that ships");
        page.fill("Whose order it is", "417, M. Ohm");
        page.click("With boots");
        let text = fs::read_to_string(format!(
            "{}/public/cards/rear.json",
            env!("CARGO_MANIFEST_DIR")
        ))
        .unwrap();
        let mut job = halfturn::document::Job::new("1".into(), load_kit_card(&text).unwrap(), 0);
        job.outgoing = Some(Default::default());
        job.order.insert("boots".into(), "with".into());
        let list = unpack(&job);
        for group in &list.groups {
            unfold(page, &group.name);
            for row in &group.rows {
                page.fill(&row.name, &row.expected.to_string());
            }
        }
        page.lacks("The car's own points, before fitting");
        unfold(page, "Try by hand");
        for row in &list.fits {
            let words =
                halfturn::station::fit_words(row.check.kind, halfturn::document::Answer::Right);
            page.part(&format!("li:has(input[name='fit-{}'])", row.check.id))
                .click(words);
        }
        page.shows("Nobody is named as having checked it.");
        page.fill("Who checks it", "Bench 1");
        page.shows("The box may ship.");
        // Three nuts are short: the box is not let go until it is said what becomes of them.
        unfold(page, &list.groups[1].name);
        let nut = "All-metal lock nut, zinc plated, 1/2-20 UNF, C";
        page.part("li:has(#count-a5)").fill(nut, "7");
        page.shows("3 short. Hold the box for it, or send it after.");
        page.click("Hold the box for it");
        page.shows("3 short, the box is held for it.");
        page.click("Ship now, send it after");
        page.fill("Note, such as when it comes", "in two weeks");
        page.shows("The box may ship.");
        page.fits();
        page.look("desk-box");
        for paper in Paper::BOTH {
            page.print(paper, "packing-slip").is_one_page_with(
                paper,
                &[
                    "Packing slip: 417, M. Ohm",
                    "Checked by: Bench 1",
                    "3 × All-metal lock nut",
                    "(in two weeks)",
                    "With boots",
                    "Rod-end boot for 1/2 in bore",
                    "Tried and gauged",
                ],
            );
        }
        // Nothing in the printed slip says that it must not ship.
        page.part(".sheet").lacks("NOT TO SHIP YET");
        page.reload();
        page.part(".sheet").shows("(in two weeks)");
        page.click("Save the check to a file");
        let (name, bytes) = page.saved_file();
        let kept = load_job(std::str::from_utf8(&bytes).unwrap()).unwrap();
        assert_eq!(kept.outgoing.unwrap().order, "417, M. Ohm");
        let saved = file(&name, &bytes);
        page.click("Desk");
        page.click("Boxes that ship");
        page.shows("417, M. Ohm — Rear kit C");
        page.shows("may ship");
        // The next box is checked by the card on the desk, and one that was checked elsewhere opens from its file.
        page.part("main").shows("Rear kit C, revision");
        page.fits();
        page.look("boxes");
        page.attach("Open a kit card, or the check of a box", &saved);
        page.arrives("Check a box that ships");
        page.part(".sheet").shows("(in two weeks)");
    });
}

#[test]
fn a_card_that_cannot_be_read_is_kept_and_a_half_written_file_is_opened() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("desk/");
        page.script("localStorage.setItem('halfturn.card.9', '{\"halfturn\":\"kit card\",\"version\":1,')");
        page.reload();
        page.shows("A card that cannot be read. It is kept as it is.");
        page.open("desk/#/card/9/write");
        page.shows("This card cannot be read. It is kept as it is");
        assert_eq!(
            page.script("return localStorage.getItem('halfturn.card.9')"),
            "{\"halfturn\":\"kit card\",\"version\":1,"
        );
        let path = file("half.json", b"{\"halfturn\":\"kit card\",\"version\":1,\"name\":\"Half\",\"parts\":[{\"colour\":\"red\"}],\"joints\":7}");
        page.open("desk/#/");
        page.attach("Open a kit card", &path);
        page.part("header").shows("Half, revision");
        page.part(SIDE)
            .shows("Loose parts: part 1: colour is not known here");
        page.part("li:has(button)").shows("Joints must be a list in brackets, and is 7.");
        page.fill("Who makes it", "Yard");
        settle(page);
        let kept = page.script("return localStorage.getItem(Object.keys(localStorage).filter(key => key.startsWith('halfturn.card.') && !key.endsWith('.9'))[0])");
        let kept = open_draft(kept.as_str().unwrap()).unwrap();
        assert_eq!(kept.text_at("parts[0].colour"), "red");
        assert_eq!(kept.text_at("joints"), "7");
        assert_eq!(kept.text_at("maker"), "Yard");
        // What no form shows can be taken out, and brought back.
        page.click("Take out Joints");
        page.part(SIDE).lacks("Joints must be a list");
        page.click("Undo");
        page.part(SIDE).shows("Joints must be a list");
    });
}

#[test]
fn two_tabs_on_a_card_show_the_same() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("desk/");
        page.click("Start from a blank card");
        page.fill("What the kit is called", "Kit one");
        settle(page);
        page.script(
            "const key = Object.keys(localStorage).find(key => key.startsWith('halfturn.card.'));
             localStorage.setItem(key, localStorage.getItem(key).replace('Kit one', 'Kit two'));
             window.dispatchEvent(new StorageEvent('storage', { key }))",
        );
        page.part("header").shows("Kit two");
        assert_eq!(page.value("What the kit is called"), "Kit two");
    });
}

#[test]
fn advice_shows_where_the_job_says_how_the_car_is_used() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click("Demo: rear double-wishbone kit, inch rod ends");
        page.lacks("Fit the rod-end boots before the first salted road.");
        page.click("driven all winter");
        page.shows("Driven all winter: Fit the rod-end boots before the first salted road.");
        page.fits();
        page.script(
            "[...document.querySelectorAll('.rail a')].find(way => way.textContent.startsWith('Sheet')).click()",
        );
        page.part(".sheet").shows("Driven all winter: Fit the rod-end boots before the first salted road.");
    });
}

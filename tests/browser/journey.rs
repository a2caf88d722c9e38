//! The whole job for each demo card, from the box to the printed sheet, typed as a fitter would.

use crate::page::{Page, Screen};
use crate::paper::Paper;
use crate::site::Site;
use halfturn::adjuster::Mechanism;
use halfturn::document::{Job, KitCard, load_kit_card};
use halfturn::station::{Check, bolt_up, measured_names, unpack};

/// A demo card and what is typed on it.
pub struct Kit {
    start: &'static str,
    file: &'static str,
    axle: &'static str,
    corners: [&'static str; 2],
    /// What shows on every threaded end at the base.
    base: &'static str,
    /// String to rim, front and rear edge, then plumb line to rim, top and bottom: left wheel, right wheel, in millimetres.
    found: [[&'static str; 4]; 2],
    left: [[&'static str; 4]; 2],
}

pub const REAR: Kit = Kit {
    start: "Demo: rear double-wishbone kit, inch rod ends",
    file: "rear",
    axle: "Rear axle",
    corners: ["left-rear", "right-rear"],
    base: "6.35",
    found: [
        ["181", "183", "60", "52.8"],
        ["182.6", "181.4", "61", "52.6"],
    ],
    left: [
        ["182.6", "181.8", "61.4", "52.6"],
        ["182.4", "181.7", "61.5", "52.7"],
    ],
};

const FRONT: Kit = Kit {
    start: "Demo: front strut kit, metric tie rods",
    file: "front",
    axle: "Front axle",
    corners: ["left-front", "right-front"],
    base: "6",
    found: [
        ["181", "182.4", "60", "54.2"],
        ["182.8", "181.6", "61", "55"],
    ],
    left: [
        ["182.2", "181.8", "61.4", "54"],
        ["182.1", "181.8", "61.5", "54.2"],
    ],
};

impl Kit {
    fn card(&self) -> KitCard {
        let path = format!(
            "{}/public/cards/{}.json",
            env!("CARGO_MANIFEST_DIR"),
            self.file
        );
        load_kit_card(&std::fs::read_to_string(path).unwrap()).unwrap()
    }

    fn job(&self) -> Job {
        Job::new("1".into(), self.card(), 0)
    }
}

/// Opens the group of this name, if it is not open.
fn open_group(page: &Page, name: &str) {
    let opened = page.script(&format!(
        "const head = [...document.querySelectorAll('button.head')].find(head => head.firstElementChild.textContent === {name:?});
         if (!head) return false;
         if (head.getAttribute('aria-expanded') !== 'true') head.click();
         return true;"
    ));
    assert_eq!(opened, true, "there is a group called {name}");
}

fn unpack_all(page: &Page, kit: &Kit) {
    page.fill("Who does the work, for the sheet", "Bay 2");
    let job = kit.job();
    let result = unpack(&job);
    for group in &result.groups {
        open_group(page, &group.name);
        for row in &group.rows {
            page.fill(&row.name, &row.expected.to_string());
        }
    }
    open_group(page, "Try by hand");
    for row in &result.fits {
        let words = halfturn::station::fit_words(row.check.kind, halfturn::document::Answer::Right);
        page.part(&format!("li:has(input[name='fit-{}'])", row.check.id))
            .click(words);
    }
    open_group(page, "The car's own points, before fitting");
    for row in &result.distances {
        page.fill(&row.name, &format!("{} mm", row.distance.as_mm().round()));
    }
    page.part(".rail a[aria-current]").shows("done");
}

fn bolt_up_all(page: &Page, kit: &Kit) {
    for section in bolt_up(&kit.job()).sections {
        for row in section.steps {
            let next = page.part("li.step.next");
            next.shows(&row.step.text);
            if let Some(joint) = &row.joint {
                let torque = joint.torque.wanted.unwrap().as_newton_metres();
                next.fill("Torque set on the wrench", &format!("{}", torque.round()));
            }
            if !row.step.observe.is_empty() {
                next.fill(&row.step.observe, "seen, 2.0");
            }
            next.click(if row.joint.is_some() {
                "Sign off at the value set"
            } else {
                "Done"
            });
        }
    }
    page.part(".rail a[aria-current]").shows("done");
}

fn base_all(page: &Page, kit: &Kit) {
    for adjuster in kit.card().adjusters {
        let part = page.part(&format!("[data-adjuster='{}']", adjuster.id));
        for name in measured_names(&adjuster.mechanism) {
            let value = match adjuster.mechanism {
                Mechanism::CamBolt(_) | Mechanism::Slot(_) | Mechanism::Shims(_) => "0",
                _ => kit.base,
            };
            part.fill(&name, value);
        }
    }
    page.shows("It may be driven to alignment.");
}

fn read_round(page: &Page, kit: &Kit, wheels: &[[&str; 4]; 2]) {
    for (corner, [front, rear, top, bottom]) in kit.corners.iter().zip(wheels) {
        let wheel = page.part(&format!("[data-wheel='{corner}']"));
        wheel.fill("String to rim, front edge", front);
        wheel.fill("String to rim, rear edge", rear);
        wheel.fill("Plumb line to rim, top edge", top);
        wheel.fill("Plumb line to rim, bottom edge", bottom);
    }
}

/// Does the checks before reading, one after the other.
fn settle(page: &Page) {
    let before = page.part("[data-before]");
    for check in Check::ALL {
        before.shows(check.how());
        before.click("Done");
    }
    before.shows("settled: all checks are done");
}

fn first_round(page: &Page, kit: &Kit) {
    page.fill("Tyre pressures", "2.0 bar all round");
    page.fill("Fuel and ballast", "half a tank");
    for corner in ["left front", "right front", "left rear", "right rear"] {
        page.fill(&format!("Ride height, {corner}"), "352");
    }
    page.fill("Across the rim, edge to edge", "420");
    page.fill("Wheelbase, axle to axle", "2400");
    page.click("Start round 1");
    settle(page);
    page.fill("Front track, hub face to hub face", "1400");
    page.fill(
        "Rear track, hub face to hub face",
        "1,400.0".replace(',', "").as_str(),
    );
    page.fill("Smallest division of the rule or tape", "0.1");
    for hub in [
        "Left front hub",
        "Right front hub",
        "Left rear hub",
        "Right rear hub",
    ] {
        page.fill(hub, "200");
    }
    read_round(page, kit, &kit.found);
}

fn turn_all(page: &Page) {
    let cards = page.script("return [...document.querySelectorAll('article[data-adjuster]')].map(card => card.dataset.adjuster)");
    let cards: Vec<String> = serde_json::from_value(cards).unwrap();
    assert!(!cards.is_empty(), "something is to be turned");
    for id in cards {
        let card = page.part(&format!("article[data-adjuster='{id}']"));
        let expected = page.script(&format!(
            "return [...document.querySelectorAll(\"article[data-adjuster='{id}'] .facts-list li\")].at(-1).textContent"
        ));
        let expected = expected
            .as_str()
            .unwrap()
            .strip_prefix("It should then measure ")
            .unwrap()
            .trim_end_matches('.')
            .to_owned();
        let labels = page.script(&format!("return [...document.querySelectorAll(\"article[data-adjuster='{id}'] .field > label\")].map(label => label.textContent)"));
        let labels: Vec<String> = serde_json::from_value(labels).unwrap();
        for (label, value) in labels.iter().zip(expected.split(" and ")) {
            let (number, way) = value.split_once([' ', '°']).unwrap_or((value, ""));
            let way = way.trim_start_matches("mm").trim();
            card.fill(label, number);
            if !way.is_empty() {
                card.click(way);
            }
        }
        card.click("Done: it now measures so");
        card.shows("turned");
        card.lacks("LOOK");
    }
}

/// From the list of jobs, which is open, to the printed sheet.
pub fn whole_job(page: &Page, kit: &Kit) {
    page.fits();
    page.look("jobs");
    page.click(kit.start);
    page.arrives("Unpack");
    page.fits();
    page.look(&format!("{}-unpack", kit.file));
    unpack_all(page, kit);

    page.click("Go on to Bolt up");
    page.arrives("Bolt up");
    page.fits();
    page.look(&format!("{}-bolt-up", kit.file));
    bolt_up_all(page, kit);

    page.click("Go on to Base");
    page.shows("Not yet");
    page.fits();
    page.look(&format!("{}-base-empty", kit.file));
    base_all(page, kit);
    page.fits();
    page.look(&format!("{}-base", kit.file));

    page.click("Go on to Read");
    first_round(page, kit);
    page.part("section[aria-label='What the readings come to']")
        .shows(kit.axle);
    page.fits();
    page.look(&format!("{}-read", kit.file));

    page.click("Go on to Turn");
    page.arrives("Turn");
    page.fits();
    page.look(&format!("{}-turn", kit.file));
    turn_all(page);
    page.fits();
    page.look(&format!("{}-turned", kit.file));

    page.part(".rail").click("Read done");
    page.click("Turned something? Start round 2");
    settle(page);
    read_round(page, kit, &kit.left);
    page.part("section[aria-label='What the readings come to']")
        .shows("inside for certain");
    page.part("section[aria-label='What the readings come to']")
        .lacks("outside");
    page.click("Go on to Turn");
    page.shows("Inside for certain. Leave it.");

    page.click("Go on to Sheet");
    page.fill("Notes for the sheet", "Tow hook left in the boot.");
    page.part(".sheet").shows("Tow hook left in the boot.");
    page.fits();
    page.look(&format!("{}-sheet", kit.file));
    for paper in Paper::BOTH {
        page.print(paper, kit.file).is_one_page_with(
            paper,
            &[
                "Baseline sheet",
                "Thistle Yard Fabrication",
                "2.0 bar all round",
                "Bay 2, 20",
                "N·m (computed)",
                "352.0 mm",
                "inside for certain",
                "Tow hook left in the boot.",
                "Nothing.",
            ],
        );
    }
}

/// That on the rear kit is done without a server: see `offline`.
#[test]
fn the_whole_job_on_the_front_kit() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        whole_job(page, &FRONT);
    });
}

#[test]
fn a_job_hardly_begun_prints_on_one_page_with_what_is_open() {
    for kit in [&REAR, &FRONT] {
        Site::release().visit(Screen::PHONE, |page| {
            page.open("");
            page.click(kit.start);
            page.arrives("Unpack");
            for option in ["With boots", "Spacer pack included"] {
                page.click(option);
            }
            page.script("location.hash = location.hash.replace('unpack', 'sheet')");
            page.arrives("Sheet");
            page.fill(
                "Notes for the sheet",
                &"Waiting for the second bag. ".repeat(12),
            );
            for paper in Paper::BOTH {
                let name = format!("{}-open", kit.file);
                page.print(paper, &name).is_one_page_with(
                    paper,
                    &[
                        "Baseline sheet",
                        "OPEN",
                        "toe and camber are not read",
                        "Waiting for the second bag.",
                    ],
                );
            }
        });
    }
}

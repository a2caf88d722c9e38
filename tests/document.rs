//! Documents: the envelope, the demo cards, bad input, migrations, the published schema.

mod common;

use approx::assert_relative_eq;
use common::{CARDS, card, moment, typed, whole};
use halfturn::document::{
    CamberSense, Corner, Hands, Job, Json, Kind, LoadError, MAX_BYTES, MIGRATIONS, Preferences,
    Problem, Theme, ToeSense, ToeShown, Unit, kit_card_schema, load_job, load_kit_card,
    load_preferences, read_corner, save_job, save_kit_card, save_preferences, write_corner,
};
use halfturn::linkage::Linkage;
use halfturn::quantity::{Angle, AngleUnit, Length, LengthUnit, TorqueUnit};
use halfturn::reading::Estimate;
use proptest::prelude::*;
use serde_json::{Value, json};
use std::fs;
use std::path::Path;

const KINDS: [Kind; 3] = [Kind::KitCard, Kind::Job, Kind::Preferences];

/// Whether files are to be written anew: `HALFTURN_WRITE=1 cargo test --test document`.
fn writing() -> bool {
    std::env::var_os("HALFTURN_WRITE").is_some()
}

fn rear() -> Value {
    serde_json::from_str(&fs::read_to_string("public/cards/rear.json").unwrap()).unwrap()
}

fn preferences() -> Preferences {
    Preferences {
        length: LengthUnit::Inch,
        angle: AngleUnit::Minute,
        toe: ToeShown::Rim,
        torque: TorqueUnit::PoundFoot,
        theme: Theme::Dark,
        hands: Hands::Big,
    }
}

#[test]
fn demo_cards_load() {
    for name in CARDS {
        assert!(card(name).all_steps().count() >= 30);
    }
}

#[test]
fn what_is_saved_loads_the_same() {
    for name in CARDS {
        // A card by hand says "3 1/2 in"; saved once it is in millimetres, and stays so to the last bit.
        let card = load_kit_card(&save_kit_card(&card(name))).unwrap();
        assert!(
            load_kit_card(&save_kit_card(&card)).unwrap() == card,
            "{name}"
        );
        for job in [
            Job {
                card: card.clone(),
                ..whole(name)
            },
            Job::new("8".into(), card, moment(0)),
        ] {
            assert!(load_job(&save_job(&job)).unwrap() == job, "{name}");
        }
    }
    for words in [Preferences::default(), preferences()] {
        assert_eq!(load_preferences(&save_preferences(&words)).unwrap(), words);
    }
}

#[test]
fn a_whole_job_keeps_within_its_budget() {
    for name in CARDS {
        let bytes = save_job(&whole(name)).len();
        assert!(bytes < 256 * 1024, "{name}: {bytes}");
    }
}

#[test]
fn text_typed_is_kept_as_it_was_typed() {
    let mut job = whole("rear");
    for text in ["2,5,1", "−", "1 3/8\"", "  six ", "\u{1f527}", "\"\\\n"] {
        job.car.rim = typed(text, Unit::Inch);
        assert_eq!(load_job(&save_job(&job)).unwrap().car.rim.text, text);
    }
}

fn refused(text: &str) -> LoadError {
    load_kit_card(text).expect_err("it must be refused")
}

#[test]
fn what_is_no_document_is_refused_in_words() {
    let good = rear().to_string();
    let with = |version: &str| format!(r#"{{ "halfturn": "kit card", "version": {version} }}"#);
    let huge = format!("{}{}", good, " ".repeat(20_000_000 - good.len()));
    let cases: [(&str, LoadError, &str); 13] = [
        (
            "{ \"halfturn\": \"kit card\",\n  version: 1 }",
            LoadError::NotJson { line: 2, column: 3 },
            "line 2, column 3",
        ),
        (
            "%PDF-1.7",
            LoadError::NotJson { line: 1, column: 1 },
            "cannot be read as JSON",
        ),
        ("[1, 2, 3]", LoadError::NotOurs, "halfturn is missing"),
        (
            "{ \"name\": \"x\" }",
            LoadError::NotOurs,
            "halfturn is missing",
        ),
        (
            "{ \"halfturn\": 1, \"version\": 1 }",
            LoadError::NotOurs,
            "halfturn is missing",
        ),
        (
            r#"{ "halfturn": "job", "version": 1 }"#,
            LoadError::OtherKind {
                found: "job".into(),
                wanted: Kind::KitCard,
            },
            "a kit card is needed here",
        ),
        (
            &with("2"),
            LoadError::Newer { found: 2, known: 1 },
            "The field version is 2",
        ),
        (
            &with("18446744073709551615"),
            LoadError::Newer {
                found: u64::MAX,
                known: 1,
            },
            "change to the new version",
        ),
        (&with("0"), LoadError::BadVersion, "whole number from 1"),
        (&with("-1"), LoadError::BadVersion, "whole number from 1"),
        (&with("1.5"), LoadError::BadVersion, "whole number from 1"),
        (&with("\"1\""), LoadError::BadVersion, "whole number from 1"),
        (
            &huge,
            LoadError::TooLarge { bytes: 20_000_000 },
            "This file holds 20 MB. A kit card or job is never larger than 2 MB",
        ),
    ];
    for (text, expected, words) in cases {
        let error = refused(text);
        assert_eq!(error, expected);
        let said = error.to_string();
        assert!(said.contains(words) && said.ends_with('.'), "{said}");
    }
    assert_eq!(
        refused(r#"{ "halfturn": "kit card" }"#),
        LoadError::BadVersion
    );
    assert!(
        MAX_BYTES > 8 * good.len(),
        "real cards are far below the limit"
    );
    let job = load_job(&good).unwrap_err();
    assert_eq!(
        job,
        LoadError::OtherKind {
            found: "kit card".into(),
            wanted: Kind::Job
        }
    );
}

#[test]
fn a_document_cut_anywhere_is_said_to_end_in_the_middle() {
    let text = save_kit_card(&card("rear"));
    let cuts: Vec<_> = (0..text.len())
        .step_by(997)
        .filter(|cut| text.is_char_boundary(*cut))
        .collect();
    assert!(cuts.len() > 20, "cases ran");
    for cut in cuts {
        assert_eq!(refused(&text[..cut]), LoadError::Truncated, "{cut}");
    }
    assert!(
        LoadError::Truncated
            .to_string()
            .ends_with("Save or send it again.")
    );
}

/// A change to the rear card, the field it must be told of at, and words of the message.
type Slip = (fn(&mut Value), &'static str, &'static str);

/// Problems of the rear card after a change; none where it still loads.
fn problems(change: impl FnOnce(&mut Value)) -> Vec<Problem> {
    let mut card = rear();
    change(&mut card);
    match load_kit_card(&card.to_string()).map(|card| card.name) {
        Ok(_) => Vec::new(),
        Err(LoadError::Invalid(problems)) => problems,
        Err(other) => panic!("{other:?}"),
    }
}

/// Sets the value at a pointer, adding its last field where it is not there.
fn set(document: &mut Value, pointer: &str, value: Value) {
    let (parent, field) = pointer.rsplit_once('/').unwrap();
    match document
        .pointer_mut(parent)
        .unwrap_or_else(|| panic!("{pointer} is in the card"))
    {
        Value::Object(fields) => drop(fields.insert(field.into(), value)),
        Value::Array(items) => items[field.parse::<usize>().unwrap()] = value,
        _ => panic!("{pointer} has no fields"),
    }
}

/// Takes the field at a pointer away.
fn take(document: &mut Value, pointer: &str) {
    let (parent, field) = pointer.rsplit_once('/').unwrap();
    let fields = document
        .pointer_mut(parent)
        .and_then(Value::as_object_mut)
        .unwrap();
    assert!(fields.remove(field).is_some(), "{pointer} is in the card");
}

/// So many of the first thing in a list.
fn repeat(document: &mut Value, pointer: &str, count: usize) {
    let items = document
        .pointer_mut(pointer)
        .and_then(Value::as_array_mut)
        .unwrap();
    *items = vec![items[0].clone(); count];
}

#[test]
fn a_field_that_does_not_fit_is_named() {
    let cases: [Slip; 11] = [
        (
            |card| set(card, "/adjusters/2/mechanism", json!({ "lever": {} })),
            "adjusters[2].mechanism",
            "rod-end",
        ),
        (
            |card| set(card, "/adjusters/1/mechanism/rod-end/turned", json!("nut")),
            "adjusters[1].mechanism",
            "eye",
        ),
        (|card| take(card, "/joints/3/name"), "joints[3]", "name"),
        (|card| take(card, "/adjusters"), "", "adjusters"),
        (
            |card| set(card, "/joints/0/colour", json!("zinc")),
            "joints[0]",
            "colour",
        ),
        (
            |card| set(card, "/parts/4/count", json!("two")),
            "parts[4].count",
            "two",
        ),
        (
            |card| set(card, "/parts/4/count", json!(-2)),
            "parts[4].count",
            "-2",
        ),
        (
            |card| set(card, "/adjusters/0/toe/arm", json!("300")),
            "adjusters[0].toe.arm",
            "mm",
        ),
        (
            |card| set(card, "/adjusters/0/toe/arm", json!(300)),
            "adjusters[0].toe.arm",
            "",
        ),
        (
            |card| set(card, "/targets/0/toe/aim", json!("0.1 mm")),
            "targets[0].toe.aim",
            "0°12'",
        ),
        (
            |card| set(card, "/joints/0/thread", json!("9/16-99 UNF")),
            "joints[0].thread",
            "",
        ),
    ];
    for (change, field, words) in cases {
        let found = problems(change);
        let [problem] = found.as_slice() else {
            panic!("{found:?}")
        };
        let said = problem.to_string();
        assert!(
            problem.field.starts_with(field) && said.contains(words),
            "{field}, {words}: {said}"
        );
        assert!(
            problem.message.ends_with('.') && problem.message.len() > 15,
            "a sentence: {said}"
        );
    }
}

#[test]
fn every_rule_of_a_card_is_held() {
    let cases: [Slip; 57] = [
        (
            |card| set(card, "/name", json!(" ")),
            "name",
            "must not be empty",
        ),
        (
            |card| set(card, "/maker", json!("")),
            "maker",
            "must not be empty",
        ),
        (
            |card| set(card, "/revision", json!("")),
            "revision",
            "must not be empty",
        ),
        (
            |card| set(card, "/fits", json!("x".repeat(2001))),
            "fits",
            "longer than 2000",
        ),
        (
            |card| repeat(card, "/options", 501),
            "options",
            "at most 500",
        ),
        (
            |card| set(card, "/options/1/id", json!("boots")),
            "options[1].id",
            "stands twice",
        ),
        (
            |card| set(card, "/options/1/id", json!("")),
            "options[1].id",
            "must not be empty",
        ),
        (
            |card| repeat(card, "/options/0/choices", 1),
            "options[0].choices",
            "at least two choices",
        ),
        (
            |card| repeat(card, "/options/0/choices", 2),
            "options[0].choices[1].id",
            "stands twice",
        ),
        (
            |card| repeat(card, "/pickups", 2),
            "pickups[1].id",
            "stands twice",
        ),
        (
            |card| repeat(card, "/pickups/0/choices", 1),
            "pickups[0].choices",
            "at least two holes",
        ),
        (
            |card| repeat(card, "/parts", 501),
            "parts, bags and checks",
            "at most 500",
        ),
        (
            |card| set(card, "/parts/1/id", json!("p-upper-link-l")),
            "parts[1].id",
            "stands twice",
        ),
        (
            |card| set(card, "/bags/0/items/0/id", json!("p-upper-link-l")),
            "bags[0].items[0].id",
            "stands twice",
        ),
        (
            |card| set(card, "/fit_checks/0/id", json!("a1")),
            "fit_checks[0].id",
            "stands twice",
        ),
        (
            |card| set(card, "/car_checks/0/id", json!("a1")),
            "car_checks[0].id",
            "stands twice",
        ),
        (
            |card| set(card, "/parts/0/id", json!("")),
            "parts[0].id",
            "must not be empty",
        ),
        (
            |card| set(card, "/parts/0/count", json!(0)),
            "parts[0].count",
            "from 1 to 999",
        ),
        (
            |card| set(card, "/bags/0/items/0/count", json!(1000)),
            "bags[0].items[0].count",
            "from 1 to 999",
        ),
        (
            |card| set(card, "/parts/0/when", json!({ "hood": "red" })),
            "parts[0].when",
            "names the option \"hood\"",
        ),
        (
            |card| set(card, "/parts/0/when", json!({ "boots": "red" })),
            "parts[0].when.boots",
            "names the choice \"red\"",
        ),
        (
            |card| set(card, "/bags/0/when", json!({ "hood": "red" })),
            "bags[0].when",
            "names the option",
        ),
        (
            |card| set(card, "/bags/0/items/0/when", json!({ "hood": "red" })),
            "bags[0].items[0].when",
            "names the option",
        ),
        (
            |card| set(card, "/fit_checks/0/when", json!({ "hood": "red" })),
            "fit_checks[0].when",
            "names the option",
        ),
        (
            |card| set(card, "/car_checks/0/when", json!({ "hood": "red" })),
            "car_checks[0].when",
            "names the option",
        ),
        (
            |card| set(card, "/car_checks/0/distance", json!("0 mm")),
            "car_checks[0].distance",
            "more than zero",
        ),
        (
            |card| set(card, "/car_checks/0/tolerance", json!("0 mm")),
            "car_checks[0].tolerance",
            "more than zero",
        ),
        (|card| repeat(card, "/joints", 501), "joints", "at most 500"),
        (
            |card| set(card, "/joints/1/id", json!("j1")),
            "joints[1].id",
            "stands twice",
        ),
        (
            |card| set(card, "/joints/0/count", json!(0)),
            "joints[0].count",
            "from 1 to 999",
        ),
        (
            |card| set(card, "/joints/0/when", json!({ "hood": "red" })),
            "joints[0].when",
            "names the option",
        ),
        (
            |card| set(card, "/joints/0/torque", json!("0 N·m")),
            "joints[0].torque",
            "between 0 and 1000",
        ),
        (
            |card| set(card, "/joints/0/torque", json!("1200 N·m")),
            "joints[0].torque",
            "between 0 and 1000",
        ),
        (
            |card| repeat(card, "/adjusters", 501),
            "adjusters",
            "at most 500",
        ),
        (
            |card| set(card, "/adjusters/1/id", json!("lr-toe")),
            "adjusters[1].id",
            "stands twice",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/0/mechanism/sleeve/ends/1/hand",
                    json!("right"),
                )
            },
            "adjusters[0].mechanism",
            "opposite hand",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/0/mechanism/sleeve/ends/1/base_showing",
                    json!("21 mm"),
                )
            },
            "adjusters[0].mechanism",
            "At the base setting only",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/1/mechanism/rod-end/end/base_showing",
                    json!("90 mm"),
                )
            },
            "adjusters[1].mechanism",
            "More thread shows",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/1/mechanism/rod-end/end/jam_nut",
                    json!("0 mm"),
                )
            },
            "adjusters[1].mechanism",
            "jam nut must be more than zero",
        ),
        (
            |card| {
                let ends = card
                    .pointer("/adjusters/0/mechanism/sleeve")
                    .cloned()
                    .unwrap();
                set(
                    card,
                    "/adjusters/0/mechanism",
                    json!({ "differential-sleeve": ends }),
                );
            },
            "adjusters[0].mechanism",
            "must be of the same hand",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/0/mechanism",
                    json!({ "cam-bolt": { "eccentricity": "0 mm", "notch": "15 deg", "range": "90 deg" } }),
                )
            },
            "adjusters[0].mechanism",
            "eccentricity must be more than zero",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/0/mechanism",
                    json!({ "cam-bolt": { "eccentricity": "6 mm", "notch": "15 deg", "range": "120 deg" } }),
                )
            },
            "adjusters[0].mechanism",
            "90 deg at most",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/0/mechanism",
                    json!({ "slot": { "range": "8 mm", "step": "0.0001 mm" } }),
                )
            },
            "adjusters[0].mechanism",
            "too fine",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/0/mechanism",
                    json!({ "shims": { "thinnest": "1 mm", "most": "0 mm" } }),
                )
            },
            "adjusters[0].mechanism",
            "most must be more than zero",
        ),
        (
            |card| set(card, "/adjusters/0/toe/arm", json!("0 mm")),
            "adjusters[0].toe.arm",
            "must be 20 mm or more",
        ),
        (
            // A metre's number with a millimetre's unit makes every turn a thousand times too strong.
            |card| set(card, "/adjusters/0/camber/arm", json!("0.49 mm")),
            "adjusters[0].camber.arm",
            "must be 20 mm or more",
        ),
        (
            |card| set(card, "/adjusters/0/lock_torque", json!("0 N·m")),
            "adjusters[0].lock_torque",
            "between 0 and 1000 N·m",
        ),
        (
            |card| set(card, "/targets/0/toe/aim", json!("10 deg")),
            "targets[0].toe.aim",
            "lies between −6° and 6°",
        ),
        (
            |card| set(card, "/targets/0/camber/aim", json!("-60 deg")),
            "targets[0].camber.aim",
            "lies between −12° and 12°",
        ),
        (
            |card| {
                take(card, "/adjusters/0/toe");
                take(card, "/adjusters/0/camber");
                take(card, "/adjusters/0/moves");
            },
            "adjusters[0]",
            "moves neither toe nor camber",
        ),
        (
            |card| set(card, "/adjusters/1/name", json!("Toe link")),
            "adjusters[1].name",
            "stands twice at this corner",
        ),
        (
            |card| set(card, "/targets/0/toe/tolerance", json!("0 deg")),
            "targets[0].toe.tolerance",
            "more than zero",
        ),
        (
            |card| set(card, "/targets/0/camber/tolerance", json!("-0.1 deg")),
            "targets[0].camber.tolerance",
            "more than zero",
        ),
        (
            |card| repeat(card, "/targets", 2),
            "targets[0].axle",
            "has two targets",
        ),
        (
            |card| set(card, "/targets/0/axle", json!("front")),
            "adjusters[0].corner",
            "axle without a target",
        ),
        (
            |card| set(card, "/sections/0/when", json!({ "hood": "red" })),
            "sections[0].when",
            "names the option",
        ),
        (
            |card| repeat(card, "/before_load", 501),
            "steps",
            "at most 500",
        ),
    ];
    let steps: [Slip; 6] = [
        (
            |card| repeat(card, "/before_load", 2),
            "before_load[1].id",
            "stands twice",
        ),
        (
            |card| set(card, "/before_load/0/text", json!("")),
            "before_load[0].text",
            "must not be empty",
        ),
        (
            |card| set(card, "/before_drive/0/text", json!("y".repeat(2001))),
            "before_drive[0].text",
            "longer than 2000",
        ),
        (
            |card| set(card, "/sections/1/steps/0/when", json!({ "boots": "red" })),
            "sections[1].steps[0].when.boots",
            "names the choice",
        ),
        (
            |card| set(card, "/before_drive/0/joint", json!("j99")),
            "before_drive[0].joint",
            "names the joint \"j99\"",
        ),
        (
            |card| take(card, "/before_drive/0/joint"),
            "joints[20]",
            "no step signs off",
        ),
    ];
    let geometry: [Slip; 36] = [
        (
            |card| set(card, "/geometry/0/links/4/name", json!("Toe link")),
            "geometry[0].links[4].name",
            "stands twice",
        ),
        (
            |card| set(card, "/geometry/0/links/4/name", json!("")),
            "geometry[0].links[4].name",
            "must not be empty",
        ),
        (
            |card| set(card, "/geometry/0/corner", json!("right-rear")),
            "geometry[0]",
            "on the other side of the car",
        ),
        (
            |card| set(card, "/geometry/0/wheel/centre", json!("-2400 7120 304 mm")),
            "geometry[0]",
            "are these millimetres",
        ),
        (
            |card| set(card, "/geometry/0/wheel/radius", json!("304 in")),
            "geometry[0]",
            "radius lies between",
        ),
        (
            |card| set(card, "/geometry/0/links/0/car", json!("-2420 646 470 mm")),
            "geometry[0]",
            "both its ends are one point",
        ),
        (
            |card| {
                set(
                    card,
                    "/geometry/0/links/3",
                    json!({ "name": "Other", "car": "-2375 350 426 mm", "carrier": "-2420 646 470 mm" }),
                )
            },
            "geometry[0]",
            "listed twice",
        ),
        (
            |card| {
                set(
                    card,
                    "/geometry/0/links/3",
                    json!({ "name": "Other", "car": "-2330 54 382 mm", "carrier": "-2420 646 470 mm" }),
                )
            },
            "geometry[0]",
            "do not hold the wheel",
        ),
        (
            |card| {
                set(
                    card,
                    "/geometry/0/strut",
                    json!({ "top": "-2400 560 700 mm", "on_axis": "-2400 600 400 mm" }),
                )
            },
            "geometry[0]",
            "7 of five",
        ),
        (
            |card| {
                let links = card["geometry"][0]["links"].as_array_mut();
                links.unwrap().truncate(3);
                set(
                    card,
                    "/geometry/0/strut",
                    json!({ "top": "-2400 600 400 mm", "on_axis": "-2400 600 400 mm" }),
                )
            },
            "geometry[0]",
            "The strut's top and the other point of its axis are one point",
        ),
        (
            |card| {
                let links = card["geometry"][0]["links"].as_array_mut();
                links.unwrap().truncate(3);
                set(
                    card,
                    "/geometry/0/strut",
                    json!({ "top": "-2400 600 400 mm", "on_axis": "-2400 560 700 mm" }),
                )
            },
            "geometry[0]",
            "z is positive upwards",
        ),
        (
            |card| {
                repeat(card, "/geometry", 2);
                set(card, "/geometry/1/corner", json!("left-front"));
            },
            "geometry",
            "x is positive forwards",
        ),
        (
            |card| set(card, "/geometry/0/accuracy", json!("0 mm")),
            "geometry[0].accuracy",
            "more than zero",
        ),
        (
            |card| set(card, "/geometry/0/accuracy", json!("21 mm")),
            "geometry[0].accuracy",
            "20 mm at most",
        ),
        (
            |card| set(card, "/geometry/0/rod_ends/1/link", json!("Toe rod")),
            "geometry[0].rod_ends[1].link",
            "names the link \"Toe rod\"",
        ),
        (
            |card| set(card, "/geometry/0/rod_ends/1/bolt", json!("0 0 0 mm")),
            "geometry[0].rod_ends[1].bolt",
            "must point along",
        ),
        (
            |card| set(card, "/geometry/0/rod_ends/1/most", json!("0 deg")),
            "geometry[0].rod_ends[1].most",
            "at most 45",
        ),
        (
            |card| set(card, "/geometry/0/rod_ends/1/most", json!("46 deg")),
            "geometry[0].rod_ends[1].most",
            "at most 45",
        ),
        (
            |card| set(card, "/geometry/0/travel/bump", json!("0 mm")),
            "geometry[0].travel.bump",
            "travel lies between 1 mm and 250 mm",
        ),
        (
            |card| set(card, "/geometry/0/travel/droop", json!("251 mm")),
            "geometry[0].travel.droop",
            "travel lies between 1 mm and 250 mm",
        ),
        (
            |card| {
                set(
                    card,
                    "/geometry/0/rack",
                    json!({ "link": "Tie rod", "each_way": "60 mm" }),
                )
            },
            "geometry[0].rack.link",
            "names the link \"Tie rod\"",
        ),
        (
            |card| {
                set(
                    card,
                    "/geometry/0/rack",
                    json!({ "link": "Toe link", "each_way": "6 in" }),
                )
            },
            "geometry[0].rack.each_way",
            "travel lies between 1 mm and 120 mm",
        ),
        (
            |card| {
                set(card, "/geometry/0/travel/bump", json!("250 mm"));
                set(card, "/geometry/0/links/0/car", json!("-2400 560 460 mm"));
            },
            "geometry[0].travel.bump",
            "goes further than the links do",
        ),
        (
            |card| set(card, "/geometry/0/half_shaft/shorter", json!("0 mm")),
            "geometry[0].half_shaft.shorter",
            "plunge lies between 0.5 mm and 100 mm",
        ),
        (
            |card| set(card, "/geometry/0/half_shaft/longer", json!("20 in")),
            "geometry[0].half_shaft.longer",
            "plunge lies between 0.5 mm and 100 mm",
        ),
        (
            |card| {
                set(
                    card,
                    "/geometry/0/half_shaft/inner",
                    json!("-2400 640 304 mm"),
                )
            },
            "geometry[0].half_shaft",
            "is 0.0 mm from joint to joint",
        ),
        (
            |card| {
                set(
                    card,
                    "/geometry/0/half_shaft/inner",
                    json!("-2400 -180 285 mm"),
                )
            },
            "geometry[0].half_shaft",
            "on two sides of the car",
        ),
        (
            |card| set(card, "/adjusters/3/moves/links/0", json!("Toe rod")),
            "adjusters[3].moves.links[0]",
            "names the link",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/3/moves/joints",
                    json!(["Toe link", "Toe link"]),
                )
            },
            "adjusters[3].moves.joints[1]",
            "stands twice",
        ),
        (
            |card| set(card, "/adjusters/3/moves/strut_top", json!(true)),
            "adjusters[3].moves.strut_top",
            "needs a strut",
        ),
        (
            |card| set(card, "/adjusters/3/moves", json!({})),
            "adjusters[3].moves",
            "moves neither toe nor camber",
        ),
        (
            |card| {
                set(
                    card,
                    "/adjusters/3/moves",
                    json!({ "joints": ["Toe link"], "towards": "0 0 0 mm" }),
                )
            },
            "adjusters[3].moves",
            "moves neither toe nor camber",
        ),
        (
            |card| set(card, "/adjusters/0/toe/lengthening", json!("toe-out")),
            "adjusters[0].toe.lengthening",
            "says toe-out, and by the geometry of the left rear what it moves gives toe-in, 0.19° for each mm",
        ),
        (
            |card| set(card, "/adjusters/4/camber/lengthening", json!("top-in")),
            "adjusters[4].camber.lengthening",
            "says top in, and by the geometry of the right rear what it moves gives top out",
        ),
        (
            |card| set(card, "/geometry", json!([])),
            "adjusters[0].moves",
            "needs the corner's geometry",
        ),
        (
            |card| repeat(card, "/geometry", 2),
            "geometry[1].corner",
            "two geometries",
        ),
    ];
    let car: [Slip; 12] = [
        (
            |card| set(card, "/car_checks/0/between/1", json!("")),
            "car_checks[0].between[1]",
            "must be one of the car's points",
        ),
        (
            |card| repeat(card, "/car_points", 31),
            "car_points",
            "at most 30",
        ),
        (
            |card| repeat(card, "/car_checks", 41),
            "car_checks",
            "at most 40",
        ),
        (
            |card| set(card, "/car_points/1/id", json!("low-l")),
            "car_points[1].id",
            "stands twice",
        ),
        (
            |card| set(card, "/car_points/1/name", json!("")),
            "car_points[1].name",
            "must not be empty",
        ),
        (
            |card| set(card, "/car_points/2/at", json!("-2347 323 214 mm")),
            "car_points[2].at",
            "lies where \"low-l\" lies",
        ),
        (
            |card| set(card, "/car_checks/0/between/1", json!("hub")),
            "car_checks[0].between[1]",
            "names the point \"hub\"",
        ),
        (
            |card| set(card, "/car_checks/0/between/1", json!("low-l")),
            "car_checks[0].between",
            "names one point twice",
        ),
        (
            |card| set(card, "/car_checks/0/distance", json!("25.2 mm")),
            "car_checks[0].distance",
            "says 25.2 mm, and the two points are 640.0 mm apart",
        ),
        (
            |card| set(card, "/car_checks/0/distance", json!("643.1 mm")),
            "car_checks[0].distance",
            "one of them is wrong",
        ),
        (
            |card| set(card, "/car_points/0/at", json!("-2347 330 214 mm")),
            "car_checks[0].distance",
            "are 650.0 mm apart",
        ),
        (
            |card| set(card, "/car_points/0/at", json!("-92.4 12.6 8.43 mm")),
            "car_checks[0].distance",
            "one of them is wrong",
        ),
    ];
    for (change, field, words) in cases.into_iter().chain(steps).chain(geometry).chain(car) {
        let found = problems(change);
        let told = found
            .iter()
            .find(|problem| problem.field == field && problem.message.contains(words));
        let told = told.unwrap_or_else(|| panic!("{field}, {words}: {found:#?}"));
        assert!(told.message.ends_with('.'), "a sentence: {told}");
    }
}

/// A card of before the car had points, or with distances that stand by themselves, is a card still.
#[test]
fn a_distance_may_stand_by_itself() {
    assert_eq!(problems(|card| take(card, "/car_checks/0/between")), []);
    let without = problems(|card| {
        take(card, "/car_points");
        for check in 0..11 {
            take(card, &format!("/car_checks/{check}/between"));
        }
    });
    assert_eq!(without, []);
}

/// The maker's lever arms are those of the maker's hardpoints to a tenth, on both sides: the right side is the left mirrored.
#[test]
fn demo_geometry_and_lever_arms_agree() {
    for name in CARDS {
        let card = card(name);
        for adjuster in &card.adjusters {
            let corner = card.geometry_of(adjuster.corner).unwrap();
            assert_eq!(corner.corner, adjuster.corner);
            assert_eq!(corner.mirrored().mirrored(), corner);
            let linkage = Linkage::new(&corner.geometry()).unwrap();
            let mover = corner.mover(adjuster.moves.as_ref().unwrap());
            let rate = linkage.rates_of(&linkage.drawn(), &[mover]).unwrap()[0];
            let (toe, camber) = (adjuster.toe.unwrap(), adjuster.camber.unwrap());
            let toe_in = toe.lengthening == ToeSense::ToeIn;
            let top_out = camber.lengthening == CamberSense::TopOut;
            for (arm, plus, rate) in [
                (toe.arm, toe_in, rate.toe),
                (camber.arm, top_out, rate.camber),
            ] {
                let by_geometry = if plus { 1.0 } else { -1.0 } / rate;
                assert_relative_eq!(by_geometry, arm.as_metres(), max_relative = 0.1);
            }
        }
    }
}

/// Points of a card are millimetres in car axes with the unit written, whatever else they look like.
#[test]
fn a_point_without_its_unit_is_refused() {
    for (text, words) in [
        ("-2414 452 414", "write the unit at the end"),
        ("-2414 452 414 in", "write the unit at the end"),
        ("-2414 452 mm", "three numbers"),
        ("mm", "Write three numbers"),
        ("-2414 4a52 414 mm", "y, the second number"),
        ("-2414 452 41400 mm", "more than 10 m"),
    ] {
        let found = problems(|card| set(card, "/geometry/0/links/0/car", json!(text)));
        assert_eq!(found[0].field, "geometry[0].links[0].car", "{text}");
        assert!(
            found[0].message.contains(words),
            "{text}: {}",
            found[0].message
        );
    }
    let axis = json!({ "lower": { "wheel": "0 0 0 mm" }, "upper": { "car": "0 0 0 mm" } });
    let found = problems(|card| set(card, "/geometry/0/steering_axis", axis));
    assert_eq!(found[0].field, "geometry[0].steering_axis.lower.wheel");
}

#[test]
fn a_long_list_of_problems_is_cut() {
    let mut card = rear();
    for part in card
        .pointer_mut("/parts")
        .and_then(Value::as_array_mut)
        .unwrap()
        .iter_mut()
        .take(12)
    {
        part["count"] = json!(0);
    }
    let said = refused(&card.to_string()).to_string();
    assert_eq!(said.lines().count(), 9);
    assert!(said.ends_with("and 4 more."), "{said}");
}

#[test]
fn every_rule_of_a_job_is_held() {
    let text = save_job(&whole("rear"));
    let many = |count: usize, value: Value| {
        Value::Object(
            (0..count)
                .map(|index| (index.to_string(), value.clone()))
                .collect(),
        )
    };
    let cases = [
        ("/id", json!(""), "id", "1 to 40 letters"),
        ("/id", json!("a/b"), "id", "1 to 40 letters"),
        ("/id", json!("9".repeat(41)), "id", "1 to 40 letters"),
        (
            "/order",
            json!({ "boots": "with", "spacers": "none" }),
            "order.drive",
            "one of the choices",
        ),
        (
            "/order/boots",
            json!("red"),
            "order.boots",
            "one of the choices",
        ),
        (
            "/rounds",
            Value::Array(vec![json!({}); 501]),
            "rounds",
            "at most 500",
        ),
        (
            "/counts",
            many(501, json!({ "text": "4" })),
            "counts",
            "at most 500",
        ),
        (
            "/marks",
            many(501, json!({ "at": 1 })),
            "marks",
            "at most 500",
        ),
        (
            "/card/joints/0/count",
            json!(0),
            "card.joints[0].count",
            "from 1 to 999",
        ),
        (
            "/rounds/0/rear/toe_by",
            json!("eye"),
            "rounds[0].rear.toe_by",
            "strings",
        ),
        ("/car/rim/unit", json!("furlong"), "car.rim.unit", "mm"),
        ("/car/rim/text", json!(420), "car.rim.text", ""),
        ("/marks/s601/at", json!("noon"), "marks.s601.at", ""),
    ];
    for (pointer, value, field, words) in cases {
        let mut job: Value = serde_json::from_str(&text).unwrap();
        set(&mut job, pointer, value);
        let Err(LoadError::Invalid(found)) = load_job(&job.to_string()) else {
            panic!("{pointer} is refused")
        };
        let told = found.iter().any(|problem| {
            problem.field == field
                && problem.to_string().contains(words)
                && problem.message.ends_with('.')
        });
        assert!(told, "{field}, {words}: {found:#?}");
    }
}

/// The stored document of a kind and version, each written by the Halfturn of its day.
fn stored(kind: Kind, version: u64) -> String {
    format!(
        "tests/data/documents/{}-{version}.json",
        kind.name().replace(' ', "-")
    )
}

#[test]
fn migrations_run_from_the_first_version_without_a_gap() {
    for kind in KINDS {
        let from: Vec<_> = MIGRATIONS
            .iter()
            .filter(|migration| migration.kind == kind)
            .map(|migration| migration.from)
            .collect();
        assert_eq!(from, (1..kind.version()).collect::<Vec<_>>(), "{kind:?}");
    }
}

#[test]
fn stored_documents_of_every_version_load_today() {
    for kind in KINDS {
        for version in 1..=kind.version() {
            let path = stored(kind, version);
            if writing() && !Path::new(&path).exists() {
                let document = match kind {
                    Kind::KitCard => save_kit_card(&card("rear")),
                    Kind::Job => save_job(&whole("front")),
                    Kind::Preferences => save_preferences(&preferences()),
                };
                fs::write(&path, document + "\n").unwrap();
            }
            let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
            assert!(
                text.contains(&format!("\"version\":{version},")),
                "{path} is what it says"
            );
            match kind {
                Kind::KitCard => assert_eq!(load_kit_card(&text).unwrap().name, "Rear kit C"),
                Kind::Job => {
                    let job = load_job(&text).unwrap();
                    assert_eq!(
                        (
                            job.rounds.len(),
                            job.rounds[0].taken.is_empty(),
                            job.torques.len() > 10
                        ),
                        (2, false, true)
                    );
                }
                Kind::Preferences => assert_eq!(
                    load_preferences(&text).unwrap(),
                    Preferences {
                        hands: Hands::Usual, // which the first version did not ask
                        ..preferences()
                    }
                ),
            }
        }
    }
}

/// Every loader on one text.
fn load_all(text: &str) -> [bool; 3] {
    let said = |error: LoadError| assert!(!error.to_string().is_empty());
    [
        load_kit_card(text).map_err(said).is_ok(),
        load_job(text).map_err(said).is_ok(),
        load_preferences(text).map_err(said).is_ok(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn no_text_makes_a_loader_panic(text in "\\PC{0,200}") {
        prop_assert_eq!(load_all(&text), [false; 3]);
    }

    #[test]
    fn no_json_makes_a_loader_panic(tokens in prop::collection::vec(prop::sample::select(vec![
        "{", "}", "[", "]", ":", ",", "null", "1e999", "-0", "\"halfturn\"", "\"job\"", "\"kit card\"", "\"version\"", "1", "\"\\ud800\"", "true",
    ]), 0..60)) {
        load_all(&tokens.concat());
    }

    #[test]
    fn no_change_to_a_job_makes_a_loader_panic(at in 0.0..1.0f64, length in 0usize..40, with in "[\\[\\]{}\",:0-9a-z./ -]{0,12}") {
        let text = save_job(&whole_rear());
        let from = (0..=(text.len() as f64 * at) as usize).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
        let to = (from + length..=text.len()).find(|at| text.is_char_boundary(*at)).unwrap_or(text.len());
        load_all(&format!("{}{with}{}", &text[..from], &text[to..]));
    }

    #[test]
    fn no_value_in_the_place_of_another_makes_a_loader_panic(place in 0usize..100_000, kind in 0usize..7) {
        let mut job: Value = serde_json::from_str(&save_job(&whole_rear())).unwrap();
        let count = count_values(&mut job, usize::MAX, &Value::Null);
        let odd = [json!(null), json!(-1), json!(1e300), json!(""), json!([]), json!({}), json!("9999999999999999 mm")];
        count_values(&mut job, place % count, &odd[kind]);
        let text = job.to_string();
        // Whatever still loads must also come through every station and onto the sheet.
        if let Ok(job) = load_job(&text) {
            halfturn::station::stations(&job);
            for round in 0..job.rounds.len() {
                halfturn::station::turn(&job, round);
            }
            halfturn::sheet::plain_text(&halfturn::sheet::sheet(&job, &Preferences::default()), &|_| String::new());
        }
    }
}

/// A whole job, made once.
fn whole_rear() -> Job {
    static JOB: std::sync::LazyLock<Job> = std::sync::LazyLock::new(|| whole("rear"));
    JOB.clone()
}

/// Counts the values below one, and puts another in the place of the one with this number.
fn count_values(value: &mut Value, place: usize, other: &Value) -> usize {
    let mut count = 0;
    let below: Vec<&mut Value> = match value {
        Value::Array(items) => items.iter_mut().collect(),
        Value::Object(fields) => fields.values_mut().collect(),
        _ => Vec::new(),
    };
    for item in below {
        if count == place {
            *item = other.clone();
        }
        count += 1;
        count += count_values(item, place.wrapping_sub(count), other);
    }
    count
}

#[test]
fn the_published_schema_is_current() {
    let path = "public/kit-card.schema.json";
    let schema = serde_json::to_string_pretty(&kit_card_schema()).unwrap() + "\n";
    if writing() {
        fs::write(path, &schema).unwrap();
    }
    assert_eq!(
        fs::read_to_string(path).unwrap(),
        schema,
        "run HALFTURN_WRITE=1 cargo test --test document"
    );
}

#[test]
fn the_demo_cards_fit_the_published_schema() {
    let schema = kit_card_schema();
    for name in CARDS {
        let card: Value =
            serde_json::from_str(&fs::read_to_string(format!("public/cards/{name}.json")).unwrap())
                .unwrap();
        assert_eq!(
            misfits(&schema, &schema, &card, "card"),
            Vec::<String>::new(),
            "{name}"
        );
    }
    let bad: [fn(&mut Value); 5] = [
        |card| take(card, "/joints/3/name"),
        |card| set(card, "/joints/0/colour", json!("zinc")),
        |card| set(card, "/adjusters/2/mechanism", json!({ "lever": {} })),
        |card| set(card, "/parts/4/count", json!("two")),
        |card| set(card, "/halfturn", json!("job")),
    ];
    for change in bad {
        let mut card = rear();
        change(&mut card);
        assert!(!misfits(&schema, &schema, &card, "card").is_empty());
    }
}

/// Where a value does not fit a JSON Schema (draft 2020-12), for the keywords that ours uses.
fn misfits(root: &Value, schema: &Value, value: &Value, at: &str) -> Vec<String> {
    let Some(schema) = schema.as_object() else {
        return if schema == &json!(false) {
            vec![format!("{at}: is not allowed")]
        } else {
            Vec::new()
        };
    };
    let mut found = Vec::new();
    let fits = |schema: &Value| misfits(root, schema, value, at).is_empty();
    let is = |name: &str| match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "integer" => value.is_i64() || value.is_u64(),
        "null" => value.is_null(),
        other => panic!("type {other}"),
    };
    let mut hold = |good: bool, what: &str| {
        if !good {
            found.push(format!("{at}: {what}"));
        }
    };
    let properties = schema.get("properties").and_then(Value::as_object);
    let mut below = Vec::new();
    for (keyword, rule) in schema {
        let list = rule.as_array().map(Vec::as_slice).unwrap_or_default();
        match keyword.as_str() {
            "$schema" | "title" | "description" | "examples" | "default" | "$defs" | "format" => {}
            "type" if rule.is_array() => {
                hold(list.iter().any(|name| is(name.as_str().unwrap())), "type")
            }
            "type" => hold(is(rule.as_str().unwrap()), "type"),
            "const" => hold(value == rule, "const"),
            "enum" => hold(list.contains(value), "enum"),
            "minimum" => hold(value.as_f64() >= rule.as_f64(), "minimum"),
            "minItems" => hold(
                value.as_array().map(Vec::len) >= rule.as_u64().map(|least| least as usize),
                "minItems",
            ),
            "maxItems" => hold(
                value.as_array().map(Vec::len) <= rule.as_u64().map(|most| most as usize),
                "maxItems",
            ),
            "required" => list.iter().for_each(|name| {
                hold(
                    value.get(name.as_str().unwrap()).is_some(),
                    &format!("required {name}"),
                )
            }),
            "oneOf" => hold(
                list.iter().filter(|schema| fits(schema)).count() == 1,
                "oneOf",
            ),
            "anyOf" => hold(list.iter().any(fits), "anyOf"),
            "$ref" => below.push((
                root.pointer(rule.as_str().unwrap().trim_start_matches('#'))
                    .unwrap(),
                value,
                at.to_owned(),
            )),
            "items" => below.extend(
                value
                    .as_array()
                    .into_iter()
                    .flatten()
                    .enumerate()
                    .map(|(index, item)| (rule, item, format!("{at}[{index}]"))),
            ),
            "properties" => {
                let here = value.as_object().into_iter().flatten();
                below.extend(here.filter_map(|(name, item)| {
                    Some((rule.get(name)?, item, format!("{at}.{name}")))
                }));
            }
            "additionalProperties" => {
                let here = value.as_object().into_iter().flatten();
                let more = here.filter(|(name, _)| {
                    !properties.is_some_and(|properties| properties.contains_key(*name))
                });
                below.extend(more.map(|(name, item)| (rule, item, format!("{at}.{name}"))));
            }
            other => panic!("keyword {other}"),
        }
    }
    found.extend(
        below
            .into_iter()
            .flat_map(|(schema, value, at)| misfits(root, schema, value, &at)),
    );
    found
}

/// Our value as serde_json's, for a second opinion.
fn as_serde(value: &Json) -> Value {
    match value {
        Json::Null => Value::Null,
        Json::Bool(value) => Value::Bool(*value),
        Json::Number(number) => serde_json::from_str(number).unwrap(),
        Json::Text(text) => Value::String(text.clone()),
        Json::List(values) => Value::Array(values.iter().map(as_serde).collect()),
        Json::Object(fields) => {
            let fields = fields.iter();
            Value::Object(
                fields
                    .map(|(name, value)| (name.to_owned(), as_serde(value)))
                    .collect(),
            )
        }
    }
}

/// Text that is JSON, nearly JSON, or not at all.
fn nearly_json() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "{",
        "}",
        "[",
        "]",
        ",",
        ":",
        "\"a\"",
        "\"b\\u00e9\\n\"",
        "\"\\ud83d\\ude00\"",
        "\"\\ud83d\"",
        "\"",
        "\\",
        "1",
        "-0.5e3",
        "01",
        "1.",
        "-",
        "true",
        "fals",
        "null",
        " ",
        "\n",
        "\t",
        "\u{0}",
        "é",
    ]);
    prop::collection::vec(piece, 0..12).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    /// serde_json is the general-purpose reader that ours is held to: the same texts are JSON, and they say the same.
    #[test]
    fn json_is_read_as_serde_json_reads_it(text in prop_oneof![nearly_json(), any::<String>()]) {
        match (Json::parse(&text), serde_json::from_str::<Value>(&text)) {
            (Ok(ours), Ok(theirs)) => prop_assert_eq!(as_serde(&ours), theirs),
            (Err(_), Err(_)) => {}
            // JSON knows no largest number; ours stays the text it is until a field reads it.
            (Ok(_), Err(error)) if error.to_string().starts_with("number out of range") => {}
            (ours, theirs) => prop_assert!(false, "{text:?}: {ours:?}, {theirs:?}"),
        }
    }
}

#[test]
fn the_demo_cards_read_as_serde_json_reads_them() {
    for name in CARDS {
        let text = fs::read_to_string(format!("public/cards/{name}.json")).unwrap();
        let theirs: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(as_serde(&Json::parse(&text).unwrap()), theirs, "{name}");
    }
}

/// What goes from page to page in an address comes back as it went, and what was changed on the way is refused by name.
#[test]
fn a_corner_handed_on_comes_back_the_same() {
    for name in CARDS {
        let card = card(name);
        for corner in Corner::ALL {
            let Some(given) = card.geometry_of(corner) else {
                continue;
            };
            let written = write_corner(&given);
            assert_eq!(read_corner(&written), Ok(given.clone()));
            assert!(written.len() < 2000, "{}", written.len());
            for end in (0..written.len()).step_by(7) {
                let cut = read_corner(&written[..end]).unwrap_err();
                assert_eq!(cut[0].field, "corner", "{cut:?}");
            }
            let changed = written.replace("\"radius\":\"30", "\"radius\":\"3");
            let said = read_corner(&changed).unwrap_err();
            assert!(
                said[0].message.contains("radius lies between"),
                "{said:?} {changed}"
            );
            let changed = written.replace("\"most\":", "\"least\":");
            let said = read_corner(&changed).unwrap_err();
            assert!(said[0].field.starts_with("rod_ends[0]"), "{said:?}");
        }
    }
    let other = write_corner(&card("front").geometry[0]).replace(
        "\"rack\":{\"link\":\"Tie rod\"",
        "\"rack\":{\"link\":\"Tie bar\"",
    );
    let said = read_corner(&other).unwrap_err();
    assert!(
        said[0].message.contains("a link that it does not have"),
        "{said:?}"
    );
    assert!(read_corner(&" ".repeat(30_000)).is_err());
}

/// An uncertainty too small for the last digit shown is not shown as none.
#[test]
fn a_small_doubt_is_not_written_as_none() {
    let mut words = Preferences::default();
    let doubt = |words: &Preferences, degrees: f64| words.doubt(Angle::degrees(degrees));
    assert_eq!(doubt(&words, 0.004), "less than 0.01°");
    assert_eq!(doubt(&words, 0.006), "0.01°");
    assert_eq!(doubt(&words, 0.0), "0.00°");
    words.angle = AngleUnit::Minute;
    assert_eq!(doubt(&words, 0.004), "less than 0°01′");
    assert_eq!(doubt(&words, 0.1), "0°06′");
}

/// By hand: 700 mm × sin 0.0049° = 0.0599 mm, 430 mm × sin 0.01° = 0.0750 mm, and × sin 0.0066° = 0.0495 mm.
#[test]
fn a_toe_at_the_rim_has_its_way_and_its_doubt() {
    let words = Preferences {
        toe: ToeShown::Rim,
        ..Preferences::default()
    };
    let toe =
        |across: f64, degrees: f64| words.toe(Angle::degrees(degrees), Some(Length::mm(across)));
    assert_eq!(toe(700.0, 0.0049), "0.1 mm toe-in");
    assert_eq!(toe(700.0, -0.0049), "0.1 mm toe-out");
    assert_eq!(toe(430.0, 0.0066), "0.0 mm");
    let with = |degrees: f64| {
        let toe = Estimate::new(Angle::ZERO, Angle::degrees(degrees));
        words.toe_with(toe, Some(Length::mm(430.0)))
    };
    assert_eq!(with(0.0066), "0.0 mm ± less than 0.1 mm");
    assert_eq!(with(0.01), "0.0 mm ± 0.1 mm");
    assert_eq!(with(0.0), "0.0 mm ± 0.0 mm");
}

//! The sheet: what was typed stands on it, and what is open is said.

mod common;

use common::{CARDS, card, moment, typed, whole};
use halfturn::document::{Job, Pair, Preferences, ToeBy, ToeShown, Unit};
use halfturn::quantity::{AngleUnit, LengthUnit, TorqueUnit};
use halfturn::sheet::{plain_text, sheet};

fn text(job: &Job, words: &Preferences) -> String {
    plain_text(&sheet(job, words), &|moment| format!("at {moment}"))
}

fn imperial() -> Preferences {
    Preferences {
        length: LengthUnit::Inch,
        angle: AngleUnit::Minute,
        toe: ToeShown::Rim,
        torque: TorqueUnit::PoundFoot,
        ..Preferences::default()
    }
}

#[test]
fn a_whole_job_fills_its_sheet() {
    for name in CARDS {
        let text = text(&whole(name), &Preferences::default());
        insta::assert_snapshot!(format!("whole_{name}"), text);
    }
}

#[test]
fn an_empty_job_says_what_is_open() {
    for name in CARDS {
        let text = text(
            &Job::new("8".into(), card(name), moment(0)),
            &Preferences::default(),
        );
        insta::assert_snapshot!(format!("empty_{name}"), text);
    }
}

#[test]
fn inches_and_minutes_are_kept_all_through() {
    let text = text(&whole("rear"), &imperial());
    insta::assert_snapshot!("whole_rear_inches", text);
    for word in [" mm", "N·m"] {
        // Names are the card's own.
        let ours = text
            .lines()
            .filter(|line| !line.contains("Order:") && line.contains(word))
            .collect::<Vec<_>>();
        assert!(ours.is_empty(), "{ours:?}");
    }
}

#[test]
fn nothing_is_taken_from_a_field_that_cannot_be_right() {
    let mut job = whole("rear");
    job.car.wheelbase = typed("2.4", Unit::Millimetre);
    job.car.rim = typed("0", Unit::Millimetre);
    let text = text(&job, &imperial());
    assert!(!text.contains("Wheelbase"), "{text}");
    assert!(!text.contains("Across the rim"), "{text}");
}

#[test]
fn what_is_open_is_said() {
    let mut job = whole("rear");
    assert_eq!(
        sheet(&job, &Preferences::default()).open,
        Vec::<String>::new()
    );
    job.counts
        .insert("p-toe-sleeve".into(), typed("two", Unit::Count));
    job.counts.insert("a6".into(), typed("17", Unit::Count));
    job.torques.remove("j3");
    job.rounds.pop();
    let open = sheet(&job, &Preferences::default()).open;
    for item in [
        "3 missing: Hardened flat washer, 1/2 in",
        "OPEN: the count of Toe-link sleeve, groove at its left-hand end cannot be read",
        "OPEN: 1 of 18 joints are not signed off",
        "OPEN: adjusters were turned after the last reading, so what is given as left was read before",
    ] {
        assert!(open.iter().any(|line| line == item), "{item} in {open:#?}");
    }
    job.settings = Default::default();
    job.rounds.clear();
    job.marks = Default::default();
    let whole = sheet(&job, &Preferences::default());
    assert!(
        whole
            .open
            .iter()
            .any(|line| line == "OPEN: toe and camber are not read"),
        "{:#?}",
        whole.open
    );
    assert_eq!(whole.wheels, Vec::new());
}

/// Each wheel 0.04° off is inside its ±0.05° for certain, and one 0.05° off by its reading only; half of 0.14° less 0.06° is 0.04° of thrust, all that the card's ±0.04° allows, and so for no reading certain.
#[test]
fn what_a_wheel_or_both_come_to_is_open_until_it_is_inside_for_certain() {
    let mut job = whole("rear");
    let rear = &mut job.rounds[1].rear;
    rear.left.toe[0].text = "0.14".into();
    rear.right.toe[0].text = "0.06".into();
    let open = |job: &Job| sheet(job, &Preferences::default()).open;
    assert_eq!(
        open(&job),
        ["OPEN: Thrust angle, rear axle: inside by reading only"]
    );
    job.rounds[1].rear.left.toe[0].text = "0.15".into();
    job.rounds[1].rear.right.toe[0].text = "0.05".into();
    assert_eq!(
        open(&job),
        [
            "OPEN: Left rear wheel: inside by reading only",
            "OPEN: Right rear wheel: inside by reading only",
            "OPEN: Thrust angle, rear axle: outside"
        ]
    );
    // Both wheels' toe is outside together, though of one the camber is not read.
    let mut unread = job.clone();
    unread.rounds[1].rear.left.camber.clear();
    assert_eq!(
        open(&unread),
        [
            "OPEN: Left rear wheel: not read",
            "OPEN: Right rear wheel: inside by reading only",
            "OPEN: Thrust angle, rear axle: outside"
        ]
    );
    // A tape across the treads does not know where the axle points.
    let rear = &mut job.rounds[1].rear;
    rear.toe_by = ToeBy::Treads;
    let between = |text: &str| typed(text, Unit::Millimetre);
    rear.treads = vec![Pair {
        first: between("1390"),
        second: between("1392.1"),
        rolled: false,
    }];
    rear.tread_points = between("600");
    assert_eq!(
        open(&job),
        [
            "OPEN: Left rear wheel: inside by reading only",
            "OPEN: Right rear wheel: inside by reading only",
            "OPEN: Thrust angle, rear axle: not read"
        ]
    );
    job.rounds[1].rear.left.camber[0].text = "-3".into();
    let left = open(&job);
    assert_eq!(left[0], "OPEN: Left rear wheel: outside", "{left:#?}");
    job.rounds[1].rear.left.camber.clear();
    let left = open(&job);
    assert_eq!(left[0], "OPEN: Left rear wheel: not read", "{left:#?}");
}

/// The left toe-link bolt 12 mm further in: three distances change, by hand in the plane of each.
#[test]
fn a_point_of_the_car_that_is_off_stands_on_the_sheet() {
    let mut job = whole("rear");
    assert!(text(&job, &Preferences::default()).contains("the points are where the card has them"));
    for (id, distance) in [
        ("car-toe-across", "578.0"),
        ("car-diagonal-rl", "685.3"),
        ("car-side-l", "327.7"),
    ] {
        job.distances
            .insert(id.into(), typed(distance, Unit::Millimetre));
    }
    let text = text(&job, &Preferences::default());
    let start = "\nTHE CAR'S OWN POINTS\nLeft toe-link inner bolt is off (";
    assert!(text.contains(start), "{text}");
    assert!(
        text.contains("\nLeft rear, fitted as it is: toe changes by "),
        "{text}"
    );
    job.distances = Default::default();
    assert_eq!(
        sheet(&job, &Preferences::default()).car_points,
        Vec::<String>::new()
    );
}

#[test]
fn a_long_list_of_open_items_is_counted() {
    let mut job = whole("rear");
    let counted: Vec<_> = job.counts.iter().map(|(id, _)| id.to_owned()).collect();
    for id in counted {
        job.counts.place(&id).text = "0".into();
    }
    let sheet = sheet(&job, &Preferences::default());
    assert_eq!(sheet.open.len() + sheet.open_more, job.counts.len());
    assert!(
        sheet.open_more > 0
            && plain_text(&sheet, &|_| String::new())
                .contains(&format!("- and {} more", sheet.open_more))
    );
}

#[test]
fn a_torque_set_is_printed_only_once_it_is_signed() {
    let mut job = whole("front");
    let joint = job.card.joints[0].id.clone();
    job.torques.get_mut(&joint).unwrap().at = None;
    assert_eq!(sheet(&job, &Preferences::default()).joints[0].set, "OPEN");
    let sign_off = job.torques.get_mut(&joint).unwrap();
    (sign_off.at, sign_off.set.text) = (Some(moment(1)), "50".into());
    assert_eq!(
        sheet(&job, &Preferences::default()).joints[0].set,
        "50 N·m, LOOK"
    );
    job.torques.get_mut(&joint).unwrap().set.text = "tight".into();
    assert_eq!(sheet(&job, &Preferences::default()).joints[0].set, "OPEN");
}

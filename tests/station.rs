//! The stations: what each shows for what was typed, and what it refuses.

mod common;

use common::{CARDS, card, moment, typed, whole};
use halfturn::adjuster::{Mechanism, Position, Shims};
use halfturn::document::{
    Answer, Corner, Entry, Finding, Job, Mark, Pair, Preferences, Role, Sense, TapedArms, ToeBy,
    Unit,
};
use halfturn::linkage::{Linkage, Vector};
use halfturn::plan::Verdict;
use halfturn::quantity::{Angle, Length};
use halfturn::station::{
    CarFinding, CarSays, Progress, RateSource, State, StepState, TorqueSet, base, bolt_up,
    car_points, look_at, order_words, rate_by_arms, read, read_and_turn_states, stands_now,
    stations, step_rates, turn, unpack,
};
use proptest::prelude::*;

fn mm(text: &str) -> Entry {
    typed(text, Unit::Millimetre)
}

fn way(text: &str, sense: Sense) -> Entry {
    Entry {
        sense: Some(sense),
        ..typed(text, Unit::Degree)
    }
}

fn empty(name: &str) -> Job {
    Job::new("8".into(), card(name), moment(0))
}

#[test]
fn a_whole_job_is_done_at_every_station_and_an_empty_one_at_none() {
    for name in CARDS {
        assert_eq!(stations(&whole(name)), [State::Done; 6], "{name}");
        assert_eq!(stations(&empty(name)), [State::Open; 6], "{name}");
    }
}

#[test]
fn a_shortage_names_part_expected_and_received() {
    let mut job = whole("rear");
    assert_eq!(unpack(&job).shortage_message(&job), None);
    job.counts
        .insert("p-cone-half".into(), typed("10", Unit::Count));
    job.counts.insert("a2".into(), typed("0", Unit::Count));
    job.findings.insert(
        "fit-toe-thread-inner-l".into(),
        Finding {
            answer: Some(Answer::Wrong),
            note: "binds after four turns".into(),
            ..Finding::default()
        },
    );
    let found = unpack(&job);
    assert_eq!(found.progress.wrong, 3);
    insta::assert_snapshot!("shortage", found.shortage_message(&job).unwrap());
}

#[test]
fn a_count_that_cannot_be_read_is_neither_short_nor_enough() {
    let mut job = whole("rear");
    for text in ["four", "-1", "1.5", "99999", "4 4"] {
        job.counts.insert("c1".into(), typed(text, Unit::Count));
        let found = unpack(&job);
        let row = found
            .groups
            .iter()
            .flat_map(|group| &group.rows)
            .find(|row| row.id == "c1")
            .unwrap();
        assert_eq!((row.state(), row.short()), (State::Wrong, 0), "{text}");
    }
    job.counts.insert("c1".into(), typed(" ", Unit::Count));
    assert_eq!(unpack(&job).progress.done, unpack(&job).progress.total - 1);
}

/// The hole of a check as measured, in millimetres, without an answer by hand.
fn measured(id: &str, hole: &[&str]) -> (Job, halfturn::station::FitRow) {
    let mut job = empty("rear");
    let hole = hole
        .iter()
        .map(|text| typed(text, Unit::Millimetre))
        .collect();
    job.findings.insert(
        id.into(),
        Finding {
            hole,
            ..Finding::default()
        },
    );
    let row = unpack(&job).fits.into_iter().find(|row| row.check.id == id);
    (job, row.expect("the check is of this order"))
}

#[test]
fn a_measured_hole_settles_its_check_or_refuses_it() {
    // On a 1/2 in bolt, by ASME B18.2.8: close 17/32 in, normal 9/16 in, loose 39/64 in.
    for (hole, state, why) in [
        (&["13.5"][..], State::Done, ""),
        (&["13.5", "13.6"], State::Done, ""),
        (&["9/16 in"], State::Done, ""),
        (&["15.4"], State::Wrong, "hole loose, 0.106 in play"),
        (
            &["17"],
            State::Wrong,
            "hole too loose to locate, 0.169 in play",
        ),
        (
            &["12.5"],
            State::Wrong,
            "hole smaller than the bolt, 0 in play",
        ),
        (
            &["13", "13.4"],
            State::Wrong,
            "hole oval by 0.016 in, 0.028 in play",
        ),
        (
            &["wide"],
            State::Wrong,
            "Write a length such as 6.35, 1/4, 1 3/8 or 6.35 mm.",
        ),
        (
            &["1.35"],
            State::Wrong,
            "This is less than half the bolt or more than twice it: check the number and its unit.",
        ),
        (&["", ""], State::Open, ""),
    ] {
        let (job, row) = measured("fit-bracket-hole-l", hole);
        assert_eq!(row.state(), state, "{hole:?}");
        if state == State::Wrong {
            assert_eq!(row.why_not(), why, "{hole:?}");
            let message = unpack(&job).shortage_message(&job).expect("it is told");
            assert!(message.contains(why), "{message}");
        }
    }
    // The hand and the rule must both agree.
    let (mut job, _) = measured("fit-bracket-hole-l", &["13.5"]);
    job.findings.place("fit-bracket-hole-l").answer = Some(Answer::Wrong);
    let row = unpack(&job)
        .fits
        .into_iter()
        .find(|row| row.check.id == "fit-bracket-hole-l");
    assert_eq!(row.unwrap().state(), State::Wrong);
}

#[test]
fn the_order_decides_what_is_counted_checked_and_done() {
    let mut job = empty("rear");
    let ids = |job: &Job| {
        unpack(job)
            .groups
            .iter()
            .flat_map(|group| &group.rows)
            .map(|row| row.id.clone())
            .collect::<Vec<_>>()
    };
    let steps = |job: &Job| {
        bolt_up(job)
            .sections
            .iter()
            .flat_map(|section| &section.steps)
            .map(|row| row.step.id.clone())
            .collect::<Vec<_>>()
    };
    let (usual, usual_steps) = (ids(&job), steps(&job));
    job.order.insert("boots".into(), "with".into());
    job.order.insert("spacers".into(), "included".into());
    job.order.insert("drive".into(), "rhd".into());
    let (ordered, ordered_steps) = (ids(&job), steps(&job));
    for (id, before, after) in [
        ("p-boot-half", false, true),
        ("a3", false, true),
        ("a2", true, false),
        ("p-cable-lhd", true, false),
        ("p-cable-rhd", false, true),
    ] {
        assert_eq!(
            (
                usual.iter().any(|row| row == id),
                ordered.iter().any(|row| row == id)
            ),
            (before, after),
            "{id}"
        );
    }
    for (id, before, after) in [
        ("s407", false, true),
        ("s1103", true, false),
        ("s1104", false, true),
    ] {
        assert_eq!(
            (
                usual_steps.iter().any(|row| row == id),
                ordered_steps.iter().any(|row| row == id)
            ),
            (before, after),
            "{id}"
        );
    }
    assert!(
        order_words(&job).contains("Rod-end boots: With boots"),
        "{}",
        order_words(&job)
    );
}

#[test]
fn a_distance_on_the_car_is_right_up_to_its_tolerance() {
    let mut job = empty("rear");
    for (text, state) in [
        ("640", State::Done),
        ("643", State::Done),
        ("637", State::Done),
        ("643.1", State::Wrong),
        ("636.9", State::Wrong),
        ("64o", State::Wrong),
    ] {
        job.distances.insert("car-lower-across".into(), mm(text));
        let found = unpack(&job);
        assert_eq!(
            found
                .distances
                .iter()
                .find(|row| row.id == "car-lower-across")
                .unwrap()
                .state(),
            state,
            "{text}"
        );
    }
}

/// A job whose distances are those of a shell with these points elsewhere, to a tenth of a millimetre, and then as changed.
fn on_shell(name: &str, moved: &[(&str, Vector)], changed: &[(&str, Entry)]) -> Job {
    let mut job = empty(name);
    for check in job.card.car_checks.clone() {
        let [a, b] = check.between.unwrap().map(|id| {
            let place = job.card.car_point(&id).unwrap();
            let shifts = moved.iter().filter(|(point, _)| *point == id);
            shifts.fold(job.card.car_points[place].at, |at, (_, by)| at + *by)
        });
        let text = format!("{:.1}", (a - b).length() * 1e3);
        job.distances.insert(check.id.clone(), mm(&text));
    }
    for (id, entry) in changed {
        job.distances.insert((*id).to_owned(), entry.clone());
    }
    job
}

fn said(job: &Job) -> (CarFinding, String) {
    let found = car_points(job).unwrap();
    let text = found.sentences(job, &Preferences::default()).join("\n");
    (found, text)
}

#[test]
fn a_sound_shell_is_said_to_be_sound_only_when_all_is_measured() {
    for name in CARDS {
        let mut job = on_shell(name, &[], &[]);
        let (found, text) = said(&job);
        assert_eq!(found.headline().unwrap().0, State::Done, "{text}");
        assert!(text.starts_with("All 11 distances: the points are where the card has them ("));
        assert_eq!((found.off(), found.odd()), (None, vec![]));
        let ids: Vec<_> = job.card.car_checks.iter().map(|check| &check.id).collect();
        job.distances.remove(ids[4]);
        let (found, text) = said(&job);
        assert_eq!(found.headline().unwrap().0, State::Begun, "{text}");
        assert!(
            text.starts_with("10 of 11 distances: nothing is off so far ("),
            "{text}"
        );
        let first = job.distances.get(ids[0]).cloned().unwrap();
        job.distances = [(ids[0].clone(), first)].into_iter().collect();
        let (found, text) = said(&job);
        assert_eq!(found.says, CarSays::TooFew);
        assert!(text.contains("say nothing together yet"), "{text}");
        job.distances = Default::default();
        assert_eq!(said(&job).0.headline(), None);
    }
}

#[test]
fn a_card_without_points_finds_nothing() {
    let mut job = on_shell("rear", &[], &[]);
    for check in &mut job.card.car_checks {
        check.between = None;
    }
    assert_eq!(car_points(&job), None);
    assert_eq!(unpack(&job).distances.len(), 11);
}

/// A point moved is named with its way, and what that does to its wheel agrees with the exact rates: a joint that moves along its link does what a longer
/// link does.
#[test]
fn a_point_that_was_hit_is_named_with_its_way_and_what_it_does() {
    for (name, id, by, point, ways, corner, link) in [
        (
            "rear",
            "toe-l",
            Vector::mm(-4.0, -12.0, 0.0),
            "Left toe-link inner bolt is off",
            vec!["mm rearward ±", "mm in ±"],
            Corner::LeftRear,
            "Toe link",
        ),
        (
            "rear",
            "low-r",
            Vector::mm(6.0, -11.0, 5.0),
            "Right lower inner bolt is off",
            vec!["mm forward ±", "mm out ±"],
            Corner::RightRear,
            "Lower link",
        ),
        (
            "front",
            "arm-r",
            Vector::mm(-9.0, 9.0, 0.0),
            "Right lower-arm bracket front bolt is off",
            vec!["mm rearward ±", "mm in ±"],
            Corner::RightFront,
            "Lower arm, front leg",
        ),
    ] {
        let job = on_shell(name, &[(id, by)], &[]);
        let (found, text) = said(&job);
        assert!(text.starts_with(point), "{text}");
        for way in ways {
            assert!(text.contains(way), "{way}: {text}");
        }
        assert_eq!(
            found.headline().unwrap(),
            (State::Wrong, "One point is off")
        );
        let CarSays::Told(cause) = &found.says else {
            panic!("{found:?}");
        };
        let (_, shift) = found.off().unwrap();
        let [effect] = &cause.effects[..] else {
            panic!("{cause:?}");
        };
        let change = effect.change.as_ref().unwrap();
        assert_eq!(effect.corner, corner);
        let drawn = job.card.geometry_of(corner).unwrap();
        let place = drawn.link(link).unwrap();
        let geometry = drawn.geometry();
        let linkage = Linkage::new(&geometry).unwrap();
        let along = (geometry.links[place].carrier - geometry.links[place].car).unit();
        let rate = linkage.rates(&linkage.drawn()).unwrap().links[place];
        let longer = along.dot(shift);
        for (change, rate) in [
            (change.toe.value.as_radians(), rate.toe),
            (change.camber.value.as_radians(), rate.camber),
        ] {
            // What is left is of second order in the shift over the link's length.
            assert!(
                (change - rate * longer).abs() < 0.08 * (rate * longer).abs() + 3e-4,
                "{name} {id}: {change} for {}",
                rate * longer
            );
        }
        assert!(change.toe.uncertainty.as_degrees() > 0.01);
        assert!(text.contains(&format!(
            "{}, fitted as it is: toe changes by",
            corner.words()
        )));
    }
}

/// The car's points of the demo cards lie on the joints of their geometry, so that a shift of one is a shift of the other.
#[test]
fn a_strut_top_that_was_hit_moves_its_wheel() {
    let job = on_shell("front", &[("top-l", Vector::mm(0.0, -14.0, 0.0))], &[]);
    let (found, text) = said(&job);
    let CarSays::Told(cause) = &found.says else {
        panic!("{text}");
    };
    let change = cause.effects[0].change.as_ref().unwrap();
    // Inwards at the top by 14 mm on about 560 mm above the lower joint, by plane geometry: camber more negative by 1.4°.
    let plane = -(14.0_f64 / 569.0).atan().to_degrees();
    assert!(
        (change.camber.value.as_degrees() - plane).abs() < 0.25,
        "{text}"
    );
    assert!(
        text.contains("Whether up or down, they do not tell."),
        "{text}"
    );
}

#[test]
fn an_odd_reading_is_named_and_never_taken_for_a_shell() {
    let inches = typed("25.2", Unit::Millimetre);
    for (entry, question) in [
        (inches, "Was it meant in inches? That would be 640.1 mm."),
        (
            mm("64.1"),
            "Was it meant in centimetres? That would be 641.0 mm.",
        ),
        (
            mm("540"),
            "no shell is that far out: measure it again. It is left out",
        ),
    ] {
        let job = on_shell("rear", &[], &[("car-lower-across", entry)]);
        let (found, text) = said(&job);
        assert!(text.starts_with("Odd reading: Left lower inner bolt to right lower inner bolt."));
        assert!(text.contains(question), "{text}");
        assert!(
            text.contains("10 of 11 distances: nothing is off so far"),
            "{text}"
        );
        assert_eq!((found.odd(), found.off()), (vec![0], None));
        // It does not hide what the others say.
        let hit = [("toe-l", Vector::mm(-4.0, -12.0, 0.0))];
        let typed = job.distances.get("car-lower-across").cloned().unwrap();
        let (found, text) = said(&on_shell("rear", &hit, &[("car-lower-across", typed)]));
        assert_eq!(found.off().map(|(point, _)| point), Some(2), "{text}");
    }
    let (_, text) = said(&on_shell(
        "rear",
        &[],
        &[("car-height-l", typed("216", Unit::Inch))],
    ));
    assert!(
        text.contains("Was it meant in millimetres? That would be 216.0 mm."),
        "{text}"
    );
    // A slip that a shell could have is weighed.
    let (found, text) = said(&on_shell("rear", &[], &[("car-diagonal-lr", mm("716"))]));
    assert!(text.starts_with("Odd reading ("), "{text}");
    assert!(
        text.contains("mm more than the others say: measure it again."),
        "{text}"
    );
    assert_eq!(found.odd(), vec![5]);
}

#[test]
fn a_distance_that_is_none_says_which_and_why() {
    for (text, why) in [
        ("0", "The distance between two points"),
        ("9.9", "10 mm"),
        ("6001", "6000 mm"),
        ("64o", "630"),
    ] {
        let job = on_shell("rear", &[], &[("car-lower-across", mm(text))]);
        let row = unpack(&job).distances[0].clone();
        assert_eq!(row.state(), State::Wrong);
        let reason = row.off.unwrap().unwrap_err().to_string();
        if text != "64o" {
            assert!(reason.contains(why), "{reason}");
        }
        let (found, _) = said(&job);
        assert_eq!(found.lines[0].measured, None);
        assert_eq!(found.measured(), (10, 11));
    }
}

/// Where two causes are believed alike, the distance that tells them apart is named, and typing it in decides.
#[test]
fn what_cannot_be_told_yet_names_the_distance_that_tells() {
    let hit = [("toe-l", Vector::mm(-2.0, -11.0, 0.0))];
    let mut job = on_shell("rear", &hit, &[]);
    let diagonal = job.distances.remove("car-diagonal-rl").unwrap();
    job.distances.remove("car-side-l").unwrap();
    let (found, text) = said(&job);
    assert_eq!(found.headline().unwrap(), (State::Begun, "Cannot tell yet"));
    assert!(
        text.starts_with("These distances cannot tell between: "),
        "{text}"
    );
    let CarSays::Undecided { causes, next } = &found.says else {
        panic!("{text}");
    };
    assert!(causes.len() >= 2 && causes[0].belief < 0.9);
    let next = next.unwrap();
    assert!((next.expected[0] - next.expected[1]).abs().as_mm() > 3.5);
    assert!(
        text.contains("Measure next: Right lower inner bolt to left toe-link inner bolt. "),
        "{text}"
    );
    job.distances.insert("car-diagonal-rl".into(), diagonal);
    let (found, text) = said(&job);
    assert_eq!(found.off().map(|(point, _)| point), Some(2), "{text}");
}

#[test]
fn two_points_off_are_said_to_be_more_than_one() {
    let hit = [
        ("toe-l", Vector::mm(-20.0, -25.0, 0.0)),
        ("up-r", Vector::mm(0.0, 20.0, 30.0)),
    ];
    let (found, text) = said(&on_shell("rear", &hit, &[]));
    assert_eq!(found.says, CarSays::Several, "{text}");
    assert!(text.contains("have the shell measured"), "{text}");
}

#[test]
fn work_goes_on_where_it_stopped() {
    let mut job = empty("rear");
    let all: Vec<_> = bolt_up(&job)
        .sections
        .iter()
        .flat_map(|section| {
            section
                .steps
                .iter()
                .map(|row| row.step.clone())
                .collect::<Vec<_>>()
        })
        .collect();
    let seen = bolt_up(&job);
    assert_eq!(
        (seen.next, seen.last_done, seen.support.len()),
        (Some((0, 0)), None, 0)
    );
    let place = all.iter().position(|step| step.support).unwrap();
    for (step, minute) in all.iter().take(place + 1).zip(1..) {
        job.marks.insert(
            step.id.clone(),
            Mark {
                at: moment(60 * minute),
                observed: String::new(),
                skipped: None,
            },
        );
    }
    let seen = bolt_up(&job);
    let (section, step) = seen.next.unwrap();
    assert_eq!(seen.sections[section].steps[step].step, all[place + 1]);
    assert_eq!(seen.last_done.as_ref(), Some(&all[place]));
    // What holds the car up is asked again where it is raised.
    let asked = if seen.sections[section].raised { 1 } else { 0 };
    assert_eq!(seen.support.len(), asked);
    assert!(!seen.sections.iter().any(|section| section.fast));

    // A skipped step is passed, and stays wrong.
    job.marks.insert(
        all[place + 1].id.clone(),
        Mark {
            at: moment(5000),
            observed: String::new(),
            skipped: Some("no jack".into()),
        },
    );
    let seen = bolt_up(&job);
    let (section, step) = seen.next.unwrap();
    assert_eq!(seen.sections[section].steps[step].step, all[place + 2]);
    assert_eq!(seen.progress.wrong, 1);
    assert_eq!(
        seen.last_done.as_ref(),
        Some(&all[place]),
        "a skipped step was not done"
    );
    let skipped = seen
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .find(|row| row.step == all[place + 1])
        .unwrap();
    assert_eq!(skipped.state, StepState::Skipped("no jack".into()));
}

#[test]
fn what_holds_the_car_up_is_asked_again_while_it_is_raised() {
    let mut job = whole("rear");
    let last = bolt_up(&job)
        .sections
        .iter()
        .rposition(|section| section.raised)
        .unwrap();
    let step = bolt_up(&job).sections[last]
        .steps
        .last()
        .unwrap()
        .step
        .id
        .clone();
    assert!(
        bolt_up(&job).support.is_empty(),
        "nothing is asked once all is done"
    );
    job.marks.remove(&step);
    let seen = bolt_up(&job);
    assert!(!seen.support.is_empty() && seen.support.iter().all(|step| step.support));
}

#[test]
fn steps_ticked_faster_than_they_can_be_read_are_pointed_out() {
    let mut job = empty("rear");
    let first: Vec<_> = bolt_up(&job).sections[0]
        .steps
        .iter()
        .take(3)
        .map(|row| row.step.id.clone())
        .collect();
    for (step, second) in first.iter().zip(1..) {
        job.marks.insert(
            step.clone(),
            Mark {
                at: moment(second),
                observed: String::new(),
                skipped: None,
            },
        );
    }
    assert!(bolt_up(&job).sections[0].fast);
    job.marks.get_mut(&first[2]).unwrap().at = moment(10);
    assert!(!bolt_up(&job).sections[0].fast);
}

#[test]
fn a_torque_is_held_against_the_card() {
    let mut job = whole("front");
    let joint = job
        .card
        .joints
        .iter()
        .find(|joint| joint.torque.unwrap().as_newton_metres() == 190.0)
        .unwrap()
        .clone();
    let mut set = |text: &str, unit| {
        job.torques.get_mut(&joint.id).unwrap().set = typed(text, unit);
        let seen = bolt_up(&job);
        let row = seen
            .sections
            .iter()
            .flat_map(|section| &section.steps)
            .find(|row| {
                row.joint
                    .as_ref()
                    .is_some_and(|step| step.joint.id == joint.id)
            })
            .unwrap();
        (row.joint.clone().unwrap().set, row.state())
    };
    assert!(matches!(
        set("190", Unit::NewtonMetre),
        (TorqueSet::Set(_), State::Done)
    ));
    assert!(
        matches!(
            set("140", Unit::PoundFoot),
            (TorqueSet::Set(_), State::Done)
        ),
        "140 lbf·ft is 190 N·m"
    );
    assert!(matches!(
        set("140 lbf·ft", Unit::NewtonMetre),
        (TorqueSet::Set(_), State::Done)
    ));
    assert!(matches!(
        set("140", Unit::NewtonMetre),
        (TorqueSet::Off { .. }, State::Wrong)
    ));
    assert!(matches!(
        set("tight", Unit::NewtonMetre),
        (TorqueSet::Unreadable(_), State::Wrong)
    ));
    assert!(matches!(
        set("-190", Unit::NewtonMetre),
        (TorqueSet::Unreadable(_), State::Wrong)
    ));
}

/// What keeps the car from being driven after one setting is typed otherwise.
fn blocks(name: &str, adjuster: &str, entries: &[Entry]) -> Vec<String> {
    let mut job = whole(name);
    job.settings.insert(adjuster.into(), entries.to_vec());
    base(&job).blocks
}

#[test]
fn the_way_out_of_base_opens_only_when_all_pass() {
    for name in CARDS {
        assert_eq!(base(&whole(name)).blocks, Vec::<String>::new());
        assert_eq!(base(&empty(name)).blocks.len(), 6);
    }
    let good = || mm("6.35");
    let cases: [(&str, &str, &[Entry], &str); 12] = [
        (
            "rear",
            "lr-camber",
            &[],
            "Left rear, upper link: not measured yet.",
        ),
        (
            "rear",
            "lr-toe",
            &[good()],
            "Left rear, toe link: not measured yet.",
        ),
        (
            "rear",
            "lr-camber",
            &[mm("six")],
            "Left rear, upper link: Write a length",
        ),
        (
            "rear",
            "lr-camber",
            &[mm("-6")],
            "Left rear, upper link: Leave the sign away",
        ),
        (
            "rear",
            "lr-camber",
            &[mm("6,3,5")],
            "Left rear, upper link: One comma or dot at most",
        ),
        (
            "rear",
            "lr-camber",
            &[mm("60")],
            "Left rear, upper link: More thread shows than this shank has.",
        ),
        (
            "rear",
            "lr-camber",
            &[mm("30")],
            "Left rear, upper link: only 7.1 mm is engaged and 16.2 mm is the least",
        ),
        (
            "rear",
            "lr-camber",
            &[mm("9")],
            "Left rear, upper link: 9.0 mm shows and the base is 6.4 mm. Screw it in by 2.7 mm.",
        ),
        (
            "rear",
            "lr-toe",
            &[good(), mm("5")],
            "Left rear, toe link: the two ends differ by 1.4 mm",
        ),
        (
            "rear",
            "lr-camber",
            &[mm("7.36")],
            "Right rear, upper link: left and right differ by 1.0 mm: set both the same.",
        ),
        (
            "front",
            "lf-top",
            &[mm("3")],
            "Left front, strut top: Choose which way: outwards or inwards.",
        ),
        (
            "front",
            "lf-cam",
            &[way("15", Sense::Plus)],
            "Left front, lower-arm cam: left and right differ by 15.00°",
        ),
    ];
    for (name, adjuster, entries, expected) in cases {
        let blocks = blocks(name, adjuster, entries);
        assert!(
            blocks.iter().any(|line| line.starts_with(expected)),
            "{expected} in {blocks:#?}"
        );
    }
}

/// A stack of shims has no middle.
#[test]
fn a_stack_of_shims_is_held_against_none() {
    let mut job = whole("front");
    for adjuster in &mut job.card.adjusters {
        if adjuster.name == "Strut top" {
            adjuster.mechanism = Mechanism::Shims(Shims {
                thinnest: Length::mm(0.5),
                most: Length::mm(5.0),
            });
            job.settings.insert(adjuster.id.clone(), vec![mm("1.5")]);
        }
    }
    let base = base(&job);
    assert_eq!(base.blocks, Vec::<String>::new());
    let tops = base
        .rows
        .iter()
        .filter(|row| row.adjuster.name == "Strut top");
    for row in tops {
        assert_eq!(
            row.notes,
            ["It is not at its base. That is allowed; both sides must be the same."]
        );
    }
}

#[test]
fn a_base_by_feel_of_the_rule_passes() {
    assert_eq!(
        blocks("rear", "lr-camber", &[typed("1/4", Unit::Inch)]),
        Vec::<String>::new()
    );
    assert_eq!(
        blocks("rear", "lr-camber", &[mm("6")]),
        Vec::<String>::new()
    );
}

/// One thing typed otherwise in the first round of a whole job.
type Slip = (&'static str, &'static str, fn(&mut Job), &'static str);

#[test]
fn a_bad_entry_is_named_and_no_result_rests_on_it() {
    // What is typed, what it is named by, and what must then not be there.
    let slips: [Slip; 17] = [
        (
            "toe",
            "Across the rim",
            |job| job.car.rim = mm("0"),
            "between 200 mm and 800 mm",
        ),
        (
            "toe",
            "Across the rim",
            |job| job.car.rim = mm(""),
            "Nothing is typed here yet.",
        ),
        (
            "toe",
            "Wheelbase",
            |job| job.car.wheelbase = mm("2,400"),
            "One comma or dot",
        ),
        (
            "toe",
            "Front track and rear track",
            |job| (job.car.front_track, job.car.rear_track) = (mm(""), mm("")),
            "Enter both",
        ),
        (
            "toe",
            "Rear track",
            |job| job.car.rear_track = mm(""),
            "Nothing is typed",
        ),
        (
            "toe",
            "Left front hub",
            |job| job.rounds[0].strings.left_front = mm("2O8"),
            "Write a length",
        ),
        (
            "toe",
            "Right rear hub",
            |job| job.rounds[0].strings.right_rear = mm("-3"),
            "Leave the sign away",
        ),
        (
            "toe",
            "String to string, behind",
            |job| job.rounds[0].strings.ahead = mm("1800"),
            "Nothing is typed",
        ),
        (
            "toe",
            "From there to there",
            |job| job.rounds[0].strings.apart = mm("0"),
            "between 1000 mm",
        ),
        (
            "left toe",
            "Left rear, string to rim, rear edge",
            |job| job.rounds[0].rear.left.string[0].second = mm(""),
            "Nothing is typed",
        ),
        (
            "left toe",
            "Left rear, string to rim, front edge",
            |job| job.rounds[0].rear.left.string[1].first = mm("1 m 2"),
            "Write a length",
        ),
        (
            "left toe",
            "Left rear, string to rim",
            |job| job.rounds[0].rear.left.string = vec![Pair::default()],
            "Nothing is read",
        ),
        (
            "left toe",
            "Left rear, string to rim",
            |job| {
                job.rounds[0].rear.left.string = vec![Pair {
                    first: mm("700"),
                    second: mm("100"),
                    rolled: false,
                }]
            },
            "differ by more",
        ),
        (
            "left camber",
            "Left rear, plumb line to rim, top edge",
            |job| job.rounds[0].rear.left.plumb[0].first = mm("x"),
            "Write a length",
        ),
        (
            "camber",
            "Floor across the rear axle",
            |job| job.rounds[0].rear.floor = way("12", Sense::Plus),
            "between",
        ),
        (
            "camber",
            "Smallest division of the gauge",
            |job| job.rounds[0].gauge = typed("0", Unit::Degree),
            "between",
        ),
        (
            "both",
            "Smallest division of the rule",
            |job| job.rounds[0].rule = mm("50"),
            "between",
        ),
    ];
    for (gone, field, slip, words) in slips {
        let mut job = whole("rear");
        slip(&mut job);
        let result = read(&job, 0).unwrap();
        let told = result
            .problems
            .iter()
            .any(|problem| problem.field.starts_with(field) && problem.message.contains(words));
        assert!(told, "{field}: {words} in {:#?}", result.problems);
        let axle = &result.axles[0];
        let (toe, camber) = (
            [axle.left.toe, axle.right.toe],
            [axle.left.camber, axle.right.camber],
        );
        match gone {
            "toe" => assert_eq!(
                (toe, axle.total_toe, axle.thrust),
                ([None; 2], None, None),
                "{field}"
            ),
            "camber" => assert_eq!((camber, axle.cross_camber), ([None; 2], None), "{field}"),
            "left toe" => assert_eq!(
                (toe[0], axle.total_toe, axle.thrust, toe[1].is_some()),
                (None, None, None, true),
                "{field}"
            ),
            "left camber" => assert_eq!(
                (camber[0], axle.cross_camber, camber[1].is_some()),
                (None, None, true),
                "{field}"
            ),
            _ => assert_eq!((toe, camber), ([None; 2], [None; 2]), "{field}"),
        }
        let plan = turn(&job, 0).unwrap();
        let left = &plan.corners[0];
        assert!(
            left.rows.is_empty() && left.after.is_none() && !left.problems.is_empty(),
            "{field}: no plan on half a reading"
        );
    }
}

#[test]
fn rack_figures_beyond_any_car_are_refused() {
    let mut job = whole("rear");
    for (toe, words) in [
        ("40", "Toe of one wheel lies between"),
        ("0,1,2", "One comma or dot"),
        ("abc", "Write an angle"),
    ] {
        job.rounds[1].rear.left.toe = vec![way(toe, Sense::Plus)];
        let result = read(&job, 1).unwrap();
        assert!(result.problems.iter().any(|problem| problem.field == "Left rear, toe" && problem.message.contains(words)), "{:#?}", result.problems);
        assert_eq!(
            (result.axles[0].left.toe, result.axles[0].total_toe),
            (None, None)
        );
        assert_eq!(read_and_turn_states(&job)[0], State::Begun);
    }
    // A way that was not chosen is asked for, and nothing is guessed.
    job.rounds[1].rear.left.toe = vec![typed("0.2", Unit::Degree)];
    let result = read(&job, 1).unwrap();
    assert!(
        result
            .problems
            .iter()
            .any(|problem| problem.message == "Choose which way: toe-in or toe-out."),
        "{:#?}",
        result.problems
    );
    // A toe typed as a length rests on the rim.
    job.rounds[1].rear.left.toe = vec![Entry {
        sense: Some(Sense::Plus),
        ..mm("1")
    }];
    assert!(read(&job, 1).unwrap().axles[0].left.toe.is_some());
    job.car.rim = mm("42");
    assert_eq!(
        read(&job, 1).unwrap().axles[0].left.toe,
        None,
        "42 mm is no rim"
    );
}

#[test]
fn a_round_that_is_not_there_has_no_result() {
    let job = whole("rear");
    assert!(read(&job, 2).is_none() && turn(&job, 2).is_none());
    assert!(read(&empty("rear"), 0).is_none());
    assert_eq!(read_and_turn_states(&empty("rear"))[1], State::Open);
}

#[test]
fn treads_give_total_toe_and_no_thrust() {
    let mut job = whole("rear");
    let rear = &mut job.rounds[0].rear;
    rear.toe_by = ToeBy::Treads;
    rear.treads = vec![Pair {
        first: mm("1390"),
        second: mm("1394"),
        rolled: false,
    }];
    rear.tread_points = mm("600");
    let result = read(&job, 0).unwrap();
    let axle = &result.axles[0];
    // By hand: 4 mm over 600 mm is 0.382° in all, 0.191° a wheel.
    assert!((axle.total_toe.unwrap().value.as_degrees() - 0.382).abs() < 0.0005);
    assert!((axle.left.toe.unwrap().value.as_degrees() - 0.191).abs() < 0.0005);
    assert_eq!(axle.thrust, None);
    assert!(
        result
            .notes
            .iter()
            .any(|note| note.contains("Where the axle points is not known")),
        "{:?}",
        result.notes
    );
}

/// One wheel 1° in and the other 0.8° out have the total of two wheels at 0.1°: nothing certain follows for either.
#[test]
fn half_of_a_total_is_inside_for_certain_of_no_wheel() {
    let mut job = whole("rear");
    let says = |job: &Job| read(job, 1).unwrap().axles[0].left.verdict;
    assert_eq!(says(&job), Some(Verdict::InsideForCertain));
    let rear = &mut job.rounds[1].rear;
    rear.toe_by = ToeBy::Treads;
    rear.tread_points = mm("600");
    rear.treads = vec![Pair {
        first: mm("1390"),
        // By hand: 2 × 600 mm × sin 0.1°.
        second: mm("1392.1"),
        rolled: false,
    }];
    assert_eq!(says(&job), Some(Verdict::InsideByReading));
    let words = &turn(&job, 1).unwrap().corners[0].words;
    assert!(
        words.starts_with("This reading alone is not certain"),
        "{words}"
    );
    // What is outside by half of it stays so.
    job.rounds[1].rear.treads[0].second = mm("1396");
    assert_eq!(says(&job), Some(Verdict::Outside));
}

#[test]
fn what_a_reading_leaves_open_is_noted() {
    let notes = |job: &Job| read(job, 0).unwrap().notes.join("\n");
    let mut job = whole("rear");
    assert!(
        !notes(&job).contains("taken as level") && !notes(&job).contains("one position only"),
        "{}",
        notes(&job)
    );
    job.rounds[0].rear.floor = mm("");
    assert!(notes(&job).contains("The floor across the rear axle is taken as level"));
    job.rounds[0].rear.left.string.truncate(1);
    assert!(notes(&job).contains("Left rear: read at one position only"));
    job.rounds[0].rear.right.plumb[1].first = mm("70");
    assert!(notes(&job).contains("Right rear: the rim runs out by"));
}

#[test]
fn a_plan_names_what_to_turn_and_what_will_show() {
    let job = whole("rear");
    let plan = turn(&job, 0).unwrap();
    assert_eq!(
        plan.corners
            .iter()
            .map(|corner| corner.corner)
            .collect::<Vec<_>>(),
        [Corner::LeftRear, Corner::RightRear]
    );
    for corner in &plan.corners {
        assert!(
            corner.problems.is_empty() && !corner.rows.is_empty(),
            "{corner:#?}"
        );
        for row in &corner.rows {
            // The rows' own arithmetic: steps of pitch, both ends of a sleeve alike.
            let pitch = row.adjuster.mechanism.ends()[0].thread.pitch();
            for (before, after) in row.before.iter().zip(&row.after) {
                let moved = pitch * row.step.turns() * f64::from(row.steps);
                assert!((after.showing - before.showing - moved).abs().as_mm() < 1e-9);
                assert!((before.engaged - after.engaged - moved).abs().as_mm() < 1e-9);
                assert!(
                    after.is_safe() && after.inward.as_mm() > -1e-6,
                    "limits are respected"
                );
            }
            let sleeve = row.adjuster.name == "Toe link";
            assert_eq!(
                row.left_hand,
                if sleeve {
                    vec!["inner".to_owned()]
                } else {
                    Vec::new()
                },
                "left-hand jam nuts are named"
            );
            assert_eq!(row.way, if row.steps > 0 { "Lengthen" } else { "Shorten" });
        }
    }
}

#[test]
fn a_plan_keeps_to_the_thread_that_is_left() {
    let mut job = whole("rear");
    // The left toe link stands with hardly more engaged than the least: it cannot go longer, however far out the toe is.
    job.settings
        .insert("lr-toe".into(), vec![mm("19.5"), mm("19.5")]);
    job.rounds[0].rear.left.string = vec![Pair {
        first: mm("176"),
        second: mm("182"),
        rolled: false,
    }];
    let plan = turn(&job, 0).unwrap();
    let left = &plan.corners[0];
    for row in &left.rows {
        assert!(
            row.after.iter().all(halfturn::adjuster::EndState::is_safe),
            "{row:#?}"
        );
    }
    assert!(
        left.words.starts_with("OUT OF REACH") || left.words.contains("With the lower link too"),
        "{}",
        left.words
    );
}

/// A slot that ends within its step makes none, and what a step does is not nothing.
#[test]
fn an_adjuster_without_room_for_a_step_shows_no_rate() {
    let mut job = whole("front");
    let named = |job: &Job| {
        let rates = step_rates(job, Corner::LeftFront, 0);
        rates.into_iter().map(|rate| rate.name).collect::<Vec<_>>()
    };
    assert_eq!(named(&job), ["Tie rod", "Strut top", "Lower-arm cam"]);
    for adjuster in &mut job.card.adjusters {
        if let Mechanism::Slot(slot) = &mut adjuster.mechanism {
            slot.range = slot.step * 0.5;
        }
    }
    assert_eq!(named(&job), ["Tie rod", "Lower-arm cam"]);
}

#[test]
fn where_the_usual_adjusters_do_not_reach_the_further_one_is_named() {
    let mut job = whole("rear");
    // Camber far out with a coarse step on the upper link and a fine target.
    job.card.targets[0].camber.tolerance = Angle::degrees(0.03);
    job.card.targets[0].toe.tolerance = Angle::degrees(0.03);
    let mut seen = 0;
    for top in [
        "58.0", "57.6", "57.2", "56.8", "56.4", "56.0", "55.6", "55.2",
    ] {
        job.rounds[0].rear.left.plumb = vec![Pair {
            first: mm(top),
            second: mm("52.5"),
            rolled: false,
        }];
        let plan = turn(&job, 0).unwrap();
        let left = &plan.corners[0];
        let further: Vec<_> = left
            .rows
            .iter()
            .filter(|row| row.adjuster.role == Role::Further)
            .collect();
        assert_eq!(
            !further.is_empty(),
            left.words.contains("With the lower link too"),
            "{}",
            left.words
        );
        if !further.is_empty() {
            seen += 1;
            let after = left.after.unwrap();
            let target = &job.card.targets[0];
            assert!((after.toe.unwrap().value - target.toe.aim).abs() <= target.toe.tolerance);
            assert!(
                (after.camber.unwrap().value - target.camber.aim).abs() <= target.camber.tolerance
            );
        }
    }
    assert!(seen > 0, "a case ran");
}

#[test]
fn a_turn_confirmed_leaves_its_plan_as_it_was_and_starts_the_next_round() {
    let done = whole("rear");
    let mut job = done.clone();
    job.rounds.truncate(1);
    let confirmed = turn(&job, 0).unwrap();
    job.rounds[0].taken = Default::default();
    let asked = turn(&job, 0).unwrap();
    let steps = |plan: &halfturn::station::Turn| {
        plan.corners
            .iter()
            .flat_map(|corner| {
                corner
                    .rows
                    .iter()
                    .map(|row| (row.adjuster.id.clone(), row.steps))
            })
            .collect::<Vec<_>>()
    };
    assert_eq!(steps(&asked), steps(&confirmed));
    let taken = &done.rounds[0].taken;
    assert!(
        confirmed
            .corners
            .iter()
            .flat_map(|corner| &corner.rows)
            .all(|row| look_at(
                &row.adjuster.mechanism,
                &row.target,
                &taken.get(&row.adjuster.id).unwrap().now
            )
            .is_none())
    );

    // The next round's plan starts from what was measured.
    let mut next = done;
    next.rounds[1].rear.left.toe = vec![way("0.60", Sense::Plus)];
    let row = turn(&next, 1).unwrap().corners[0]
        .rows
        .iter()
        .find(|row| row.adjuster.id == "lr-toe")
        .cloned()
        .unwrap();
    let measured = next.rounds[0].taken.get("lr-toe").unwrap().now[0]
        .length()
        .unwrap();
    assert_eq!(row.before[0].showing, measured);
    assert_eq!(
        stands_now(&next, &row.adjuster),
        next.rounds[0].taken.get("lr-toe").unwrap().now.as_slice()
    );
}

#[test]
fn a_turn_that_measures_otherwise_is_pointed_out() {
    let mut job = whole("rear");
    job.rounds[0].taken.get_mut("lr-toe").unwrap().now = vec![mm("9.5"), mm("9.5")];
    let look = |job: &Job, id: &str| {
        let plan = turn(job, 0).unwrap();
        let mut rows = plan.corners.iter().flat_map(|corner| &corner.rows);
        let row = rows.find(|row| row.adjuster.id == id).unwrap();
        let now = &job.rounds[0].taken.get(id).unwrap().now;
        look_at(&row.adjuster.mechanism, &row.target, now)
    };
    assert!(
        look(&job, "lr-toe")
            .unwrap()
            .contains("turned the right way")
    );
    job.rounds[0].taken.get_mut("lr-toe").unwrap().now = vec![mm("much"), mm("9.5")];
    assert!(look(&job, "lr-toe").unwrap().starts_with("Write a length"));

    // A cam too: its plan is made to need it.
    let mut job = whole("front");
    job.card
        .adjusters
        .retain(|adjuster| adjuster.name != "Strut top" && adjuster.name != "Tie rod");
    for adjuster in &mut job.card.adjusters {
        adjuster.role = Role::First;
    }
    job.rounds[0].front.left.string = vec![Pair {
        first: mm("184"),
        second: mm("178.5"),
        rolled: false,
    }];
    let plan = turn(&job, 0).unwrap();
    let row = &plan.corners[0].rows[0];
    let Position::Cam(target) = row.target else {
        panic!("a cam turns")
    };
    for (off, wrong) in [(0.0, false), (15.0, true)] {
        let degrees = target.as_degrees() + off;
        let now = way(
            &format!("{:.1}", degrees.abs()),
            if degrees < 0.0 {
                Sense::Minus
            } else {
                Sense::Plus
            },
        );
        assert_eq!(
            look_at(&row.adjuster.mechanism, &row.target, &[now]).is_some(),
            wrong
        );
    }
}

#[test]
fn without_a_base_there_is_no_plan() {
    let mut job = whole("rear");
    job.rounds.truncate(1);
    job.rounds[0].taken = Default::default();
    job.settings.remove("lr-camber");
    let plan = turn(&job, 0).unwrap();
    let left = &plan.corners[0];
    assert_eq!(
        (left.words.as_str(), left.rows.len(), left.after),
        ("No plan yet.", 0, None)
    );
    assert!(
        left.problems[0].starts_with("Measure the upper link at the Base station first"),
        "{:?}",
        left.problems
    );
    assert!(
        !plan.corners[1].rows.is_empty(),
        "the other side has its plan"
    );
}

#[test]
fn inside_for_certain_is_left() {
    let job = whole("rear");
    let plan = turn(&job, 1).unwrap();
    for corner in plan.corners {
        assert_eq!(
            (corner.verdict, corner.words.as_str(), corner.rows.len()),
            (
                Some(Verdict::InsideForCertain),
                "Inside for certain. Leave it.",
                0
            )
        );
    }
    assert_eq!(read_and_turn_states(&job)[1], State::Done);
}

#[test]
fn arms_taped_on_the_car_stand_in_for_the_cards() {
    let mut job = whole("rear");
    let adjuster = job.card.adjusters[0].clone();
    let source = |job: &Job| turn(job, 0).unwrap().corners[0].rates[0].basis.source;
    assert_eq!(source(&job), RateSource::Geometry);
    let (by_card, doubt_by_card, basis) = rate_by_arms(&job, &adjuster).unwrap();
    assert_eq!(basis, RateSource::CardArms);
    // 300 mm: one millimetre is atan(1/300), 0.191°, to first order 1/300 rad.
    assert!((by_card.toe - 1.0 / 0.3).abs() < 1e-12 && by_card.camber < 0.0);
    job.arms.insert(
        adjuster.id.clone(),
        TapedArms {
            toe: mm("290"),
            camber: mm(""),
        },
    );
    let (taped, doubt, basis) = rate_by_arms(&job, &adjuster).unwrap();
    assert_eq!(basis, RateSource::TapedArms);
    assert_eq!(source(&job), RateSource::TapedArms);
    assert!(
        (taped.toe - 1.0 / 0.29).abs() < 1e-12
            && taped.camber == by_card.camber
            && doubt > doubt_by_card
    );
    for bad in ["0", "30 cm x", "-290"] {
        job.arms.insert(
            adjuster.id.clone(),
            TapedArms {
                toe: mm(bad),
                camber: mm(""),
            },
        );
        assert!(
            rate_by_arms(&job, &adjuster)
                .unwrap_err()
                .starts_with("Lever arm by tape: ")
        );
        let left = &turn(&job, 0).unwrap().corners[0];
        assert!(
            left.rows.is_empty()
                && left
                    .problems
                    .iter()
                    .any(|problem| problem.starts_with("Lever arm by tape: ")),
            "{:?}",
            left.problems
        );
    }
}

#[test]
fn progress_comes_to_one_word() {
    let word = |done, total, wrong| Progress { done, total, wrong }.state().word();
    assert_eq!(
        [word(0, 3, 0), word(1, 3, 0), word(3, 3, 0), word(1, 3, 1)],
        ["to do", "begun", "done", "look"]
    );
}

/// Every text typed into a job, in the order of its document.
fn texts(value: &mut serde_json::Value) -> Vec<&mut serde_json::Value> {
    match value {
        serde_json::Value::Array(items) => items.iter_mut().flat_map(texts).collect(),
        serde_json::Value::Object(fields) => fields
            .iter_mut()
            .flat_map(|(name, value)| {
                if name == "text" && value.is_string() {
                    vec![value]
                } else {
                    texts(value)
                }
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// Jobs made once, as documents without their cards, whose steps have texts too.
fn typed_into(name: &str, change: impl FnOnce(Vec<&mut serde_json::Value>)) -> Job {
    let job = whole(name);
    let mut document: serde_json::Value =
        serde_json::from_str(&halfturn::document::save_job(&job)).unwrap();
    let card = document["card"].take();
    change(texts(&mut document));
    document["card"] = card;
    halfturn::document::load_job(&document.to_string()).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn whatever_is_typed_no_odd_number_is_shown(
        name in prop::sample::select(CARDS.to_vec()),
        slips in prop::collection::vec((any::<prop::sample::Index>(), prop_oneof![
            prop::sample::select(vec!["0", "-0", "1e400", "NaN", "inf", "1/0", "99999999999999999999", "0.0000001", "150", "1,000", "°", "\u{2212}5", "40", "1000", "5000 m"]).prop_map(String::from),
            "\\PC{0,12}",
            "[0-9]{1,4}([.,][0-9]{1,2})?",
        ]), 1..12),
    ) {
        let job = typed_into(name, |mut texts| {
            let count = texts.len();
            for (place, text) in slips {
                *texts[place.index(count)] = text.into();
            }
        });
        stations(&job);
        let count = |states: &mut dyn Iterator<Item = State>| {
            let mut progress = Progress::default();
            states.for_each(|state| progress.add(state));
            progress
        };
        // How far a station has come is what its rows come to.
        let (came, bolted, based) = (unpack(&job), bolt_up(&job), base(&job));
        let rows = came.groups.iter().flat_map(|group| &group.rows);
        let rows = rows.map(|row| row.state()).chain(came.fits.iter().map(|row| row.state()));
        prop_assert_eq!(came.progress, count(&mut rows.chain(came.distances.iter().map(|row| row.state()))));
        let steps = bolted.sections.iter().flat_map(|section| &section.steps);
        prop_assert_eq!(bolted.progress, count(&mut steps.map(|row| row.state())));
        prop_assert_eq!(based.progress, count(&mut based.rows.iter().map(|row| row.state)));
        for round in 0..job.rounds.len() {
            let (result, plan) = (read(&job, round).unwrap(), turn(&job, round).unwrap());
            for axle in &result.axles {
                for estimate in [axle.left.toe, axle.left.camber, axle.right.toe, axle.right.camber, axle.total_toe, axle.cross_camber, axle.thrust].into_iter().flatten() {
                    prop_assert!(estimate.value.as_degrees().abs() < 100.0 && estimate.uncertainty.as_degrees() >= 0.0 && estimate.uncertainty.as_degrees() < 100.0);
                }
            }
            for row in plan.corners.iter().flat_map(|corner| &corner.rows) {
                prop_assert!(row.adjuster.mechanism.check(&row.target).is_ok(), "{:?} of {}", row.target, row.adjuster.id);
            }
        }
        let page = halfturn::sheet::plain_text(&halfturn::sheet::sheet(&job, &halfturn::document::Preferences::default()), &|_| String::new());
        for odd in ["NaN", "inf ", "inf°", "\u{2212}0.0"] {
            let found: Vec<_> = page.lines().filter(|line| line.contains(odd)).collect();
            prop_assert!(found.is_empty(), "{found:?}");
        }
    }
}

#[test]
fn among_turns_alike_the_one_that_evens_left_and_right_is_taken() {
    // Two adjusters at one corner that do the same, and a twin that stands a turn longer at one of them.
    let mut job = whole("rear");
    job.rounds.truncate(1);
    job.rounds[0].taken = Default::default();
    for side in [0, 3] {
        let mut like = job.card.adjusters[side].clone();
        (like.id, like.name) = (format!("{}-2", like.id), "Second toe link".into());
        job.settings.insert(
            like.id.clone(),
            job.settings
                .get(&job.card.adjusters[side].id)
                .unwrap()
                .clone(),
        );
        job.card.adjusters.push(like);
    }
    job.card
        .adjusters
        .retain(|adjuster| adjuster.toe.is_some_and(|toe| toe.arm.as_mm() == 300.0));
    let turned = |job: &Job| {
        turn(job, 0).unwrap().corners[0]
            .rows
            .iter()
            .map(|row| row.adjuster.name.clone())
            .collect::<Vec<_>>()
    };
    // The left wheel reads toe-in, so a link is shortened: the one that stands longer than its twin.
    for (short, expected) in [("rr-toe", "Toe link"), ("rr-toe-2", "Second toe link")] {
        let mut job = job.clone();
        job.settings.insert(short.into(), vec![mm("3"), mm("3")]);
        assert_eq!(turned(&job), [expected]);
    }
}

#[test]
fn a_working_writes_a_true_minus() {
    let job = whole("rear");
    let working = read(&job, 0).unwrap().working;
    assert!(
        working.contains("asin(\u{2212}1.50 mm / 420.0 mm)"),
        "{working}"
    );
    assert!(!working.contains("(-"), "{working}");
}

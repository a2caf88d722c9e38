//! Adjusters: travel, engaged thread, the room each way, the way to turn, and what is wrong with one.
//!
//! The expected numbers are worked by hand from the pitch (one turn of a thread advances one pitch) and the lengths of the parts.

use approx::assert_relative_eq;
use halfturn::adjuster::{
    CamBolt, EndError, Mechanism, MechanismError, Position, PositionError, RodEnd, Shims, Sleeve,
    Slot, Step, ThreadedEnd, Turned, camber_turns, step_words, toe_turns,
};
use halfturn::hardware::{Hand, Material, Thread, threads};
use halfturn::quantity::{Angle, Length, Stress};
use proptest::prelude::*;

const NM: Length = Length::metres(1e-9);

fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|error| panic!("\"{text}\" {error}"))
}

/// M16x1.5 in a steel so strong that the shop rule governs: 40 mm of shank, 8 mm of nut, 2 mm of lead and a 45 mm insert leave 30 mm less what shows.
fn outer() -> ThreadedEnd {
    ThreadedEnd {
        name: "outer".into(),
        thread: thread("M16x1.5"),
        hand: Hand::Right,
        shank: Length::mm(40.0),
        jam_nut: Length::mm(8.0),
        unthreaded_lead: Length::mm(2.0),
        insert_depth: Length::mm(45.0),
        insert: Material::Steel,
        shank_strength: None,
        insert_strength: Some(Stress::mpa(1000.0)),
        base_showing: Length::mm(6.0),
    }
}

fn inner() -> ThreadedEnd {
    ThreadedEnd {
        name: "inner".into(),
        hand: Hand::Left,
        ..outer()
    }
}

fn rod_end(end: ThreadedEnd) -> Mechanism {
    Mechanism::RodEnd(RodEnd {
        turned: Turned::Eye,
        end,
    })
}

fn sleeve(a: ThreadedEnd, b: ThreadedEnd) -> Mechanism {
    Mechanism::Sleeve(Sleeve { ends: [a, b] })
}

/// Coarse outer, fine inner, both right-hand.
fn differential() -> Mechanism {
    let coarse = ThreadedEnd {
        thread: thread("M16x2"),
        ..outer()
    };
    let fine = ThreadedEnd {
        hand: Hand::Right,
        ..inner()
    };
    Mechanism::DifferentialSleeve(Sleeve {
        ends: [coarse, fine],
    })
}

fn cam(eccentricity: f64, notch: f64, range: f64) -> Mechanism {
    Mechanism::CamBolt(CamBolt {
        eccentricity: Length::mm(eccentricity),
        notch: Angle::degrees(notch),
        range: Angle::degrees(range),
    })
}

fn slot(range: f64, step: f64) -> Mechanism {
    Mechanism::Slot(Slot {
        range: Length::mm(range),
        step: Length::mm(step),
    })
}

fn shims(thinnest: f64, most: f64) -> Mechanism {
    Mechanism::Shims(Shims {
        thinnest: Length::mm(thinnest),
        most: Length::mm(most),
    })
}

fn showing(mm: &[f64]) -> Position {
    Position::Showing(mm.iter().copied().map(Length::mm).collect())
}

#[test]
fn one_turn_travels_one_pitch_two_or_their_difference() {
    let mm = |mechanism: &Mechanism| mechanism.travel_per_turn().as_mm();
    assert_relative_eq!(mm(&rod_end(outer())), 1.5, epsilon = 1e-12);
    assert_relative_eq!(mm(&sleeve(outer(), inner())), 3.0, epsilon = 1e-12);
    assert_relative_eq!(mm(&differential()), 0.5, epsilon = 1e-12);
    let Mechanism::DifferentialSleeve(Sleeve {
        ends: [coarse, fine],
    }) = differential()
    else {
        unreachable!()
    };
    let turned_about = Mechanism::DifferentialSleeve(Sleeve {
        ends: [fine, coarse],
    });
    assert_relative_eq!(mm(&turned_about), 0.5, epsilon = 1e-12);
    // 5/8-18: 25.4 / 18 mm.
    let inch = ThreadedEnd {
        thread: thread("5/8-18"),
        ..outer()
    };
    assert_relative_eq!(mm(&rod_end(inch)), 25.4 / 18.0, epsilon = 1e-12);
}

#[test]
fn engaged_is_what_does_not_show() {
    let end = outer();
    let at = |mm: f64| end.state(Length::mm(mm)).unwrap();
    let state = at(6.0);
    assert_relative_eq!(state.engaged.as_mm(), 24.0, epsilon = 1e-9);
    assert_relative_eq!(state.spare.as_mm(), 8.0, epsilon = 1e-9);
    assert_relative_eq!(state.inward.as_mm(), 6.0, epsilon = 1e-9);
    assert!(state.is_safe());
    assert!(at(14.0).is_safe(), "exactly the least");
    assert!(!at(14.01).is_safe());
    assert_relative_eq!(at(15.0).spare.as_mm(), -1.0, epsilon = 1e-9);
    assert_relative_eq!(at(30.0).engaged.as_mm(), 0.0, epsilon = 1e-9);
}

#[test]
fn a_short_insert_engages_no_more_than_it_is_deep() {
    // A through insert of 20 mm on a shank that reaches 28 mm in: 20 engaged, and 12 more may show before 16 is left.
    let end = ThreadedEnd {
        insert_depth: Length::mm(20.0),
        ..outer()
    };
    let state = end.state(Length::mm(2.0)).unwrap();
    assert_relative_eq!(state.engaged.as_mm(), 20.0, epsilon = 1e-9);
    assert_relative_eq!(state.spare.as_mm(), 12.0, epsilon = 1e-9);
    assert_eq!(
        state.inward,
        Length::ZERO,
        "the tip is past the bottom of a blind one"
    );
    // 20 mm deep and 2 mm of lead beyond: the tip of 32 mm less 12 showing is 2 short of it.
    let state = end.state(Length::mm(12.0)).unwrap();
    assert_relative_eq!(state.inward.as_mm(), 2.0, epsilon = 1e-9);
    // An insert shallower than the least is never safe, whatever shows.
    let shallow = ThreadedEnd {
        insert_depth: Length::mm(15.0),
        ..outer()
    };
    for mm in [0.0, 6.0, 14.0, 15.0] {
        let state = shallow.state(Length::mm(mm)).unwrap();
        assert!(!state.is_safe(), "{mm} mm shows");
        assert_relative_eq!(state.spare.as_mm(), -1.0, epsilon = 1e-9);
    }
}

/// An insert exactly as deep as the least, by sums that binary rounds: safe until too much shows, and then not.
#[test]
fn an_insert_as_deep_as_the_least_still_minds_what_shows() {
    for thread in threads() {
        let least = thread.diameter();
        for off in [-1e-17, 0.0, 1e-17] {
            let insert_depth = least + Length::metres(off);
            let end = ThreadedEnd {
                thread,
                insert_depth,
                shank: least + Length::mm(30.0),
                ..outer()
            };
            assert!(
                end.state(Length::mm(20.0)).unwrap().is_safe(),
                "{}",
                thread.designation()
            );
            assert!(
                !end.state(Length::mm(20.1)).unwrap().is_safe(),
                "{}",
                thread.designation()
            );
        }
    }
}

#[test]
fn more_showing_than_the_shank_has_is_refused() {
    let error = outer().state(Length::mm(30.1)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "More thread shows than this shank has. At most 30.0 mm can show: measure from the jam nut to the shoulder."
    );
    let error = rod_end(outer()).check(&showing(&[31.0])).unwrap_err();
    assert!(matches!(
        error,
        PositionError::End {
            index: 0,
            error: EndError::LongerThanShank { .. }
        }
    ));
    let error = sleeve(outer(), inner())
        .check(&showing(&[6.0, 15.0]))
        .unwrap_err();
    assert!(
        matches!(error, PositionError::TooLong { index: 1, .. }),
        "{error:?}"
    );
    assert_eq!(
        error.to_string(),
        "Only 15.0 mm is engaged and 16.0 mm is the least (steel insert: 1 diameter at least, 1.5 preferred for a rod end). Screw it in by at least 1.0 mm."
    );
}

#[test]
fn a_position_of_another_kind_is_refused() {
    let positions = [
        showing(&[6.0]),
        showing(&[6.0, 6.0]),
        Position::Cam(Angle::ZERO),
        Position::Slide(Length::ZERO),
        Position::Stack(Length::ZERO),
    ];
    for (mechanism, own) in [
        (rod_end(outer()), 0),
        (sleeve(outer(), inner()), 1),
        (differential(), 1),
        (cam(5.0, 15.0, 90.0), 2),
        (slot(8.0, 1.0), 3),
        (shims(0.5, 6.0), 4),
    ] {
        for (index, position) in positions.iter().enumerate() {
            let checked = mechanism.check(position);
            let room = mechanism.room(position, Step::Flat);
            if index == own {
                assert_eq!(checked, Ok(()), "{mechanism:?}");
                assert!(room.is_ok());
                assert!(mechanism.after(position, Step::Flat, 1).is_some());
            } else {
                assert_eq!(
                    checked,
                    Err(PositionError::OtherKind),
                    "{mechanism:?} {position:?}"
                );
                assert_eq!(room, Err(PositionError::OtherKind));
                assert_eq!(mechanism.after(position, Step::Flat, 1), None);
            }
        }
        assert_eq!(
            mechanism.check(&mechanism.base()),
            Ok(()),
            "the base of {mechanism:?}"
        );
    }
}

#[test]
fn the_room_of_a_rod_end() {
    // 6 mm may go in, 8 mm out; half a turn is 0.75 mm.
    let room = rod_end(outer())
        .room(&showing(&[6.0]), Step::HalfTurn)
        .unwrap();
    assert_eq!((room.least, room.most()), (-8, 10));
    assert_relative_eq!(room.travel(-8).unwrap().as_mm(), -6.0, epsilon = 1e-9);
    assert_relative_eq!(room.travel(10).unwrap().as_mm(), 7.5, epsilon = 1e-9);
    assert_eq!(room.travel(0), Some(Length::ZERO));
    assert_eq!(
        (room.travel(-9), room.travel(11), room.travel(i32::MIN)),
        (None, None, None)
    );
}

#[test]
fn the_end_with_less_room_rules_a_sleeve() {
    // The outer end may go 6 mm in and 8 mm out, the inner one 10 mm in and 4 mm out. A flat moves each 0.25 mm.
    let room = sleeve(outer(), inner())
        .room(&showing(&[6.0, 10.0]), Step::Flat)
        .unwrap();
    assert_eq!((room.least, room.most()), (-24, 16));
    assert_relative_eq!(room.travel(16).unwrap().as_mm(), 8.0, epsilon = 1e-9);
    // A differential one: longer is coarse out (8 mm in 4 turns) and fine in (6 mm in 4 turns); shorter is coarse in (3 turns).
    let room = differential()
        .room(&showing(&[6.0, 6.0]), Step::Turn)
        .unwrap();
    assert_eq!((room.least, room.most()), (-3, 4));
    assert_relative_eq!(room.travel(4).unwrap().as_mm(), 2.0, epsilon = 1e-9);
}

#[test]
fn an_end_past_its_bottom_may_still_go_out() {
    let end = ThreadedEnd {
        insert_depth: Length::mm(20.0),
        ..outer()
    };
    // 2 mm show where the card says that 10 must; the least still allows 14.
    let room = rod_end(end).room(&showing(&[2.0]), Step::Turn).unwrap();
    assert_eq!((room.least, room.most()), (0, 8));
}

#[test]
fn a_cam_travels_by_the_sine() {
    // e = 6 mm: 3 mm at 30°, 6 mm at 90°, of which the last sixth of the way is little.
    let room = cam(6.0, 15.0, 90.0)
        .room(&Position::Cam(Angle::ZERO), Step::Flat)
        .unwrap();
    assert_eq!((room.least, room.most()), (-6, 6));
    assert_relative_eq!(room.travel(2).unwrap().as_mm(), 3.0, epsilon = 1e-9);
    assert_relative_eq!(room.travel(6).unwrap().as_mm(), 6.0, epsilon = 1e-9);
    assert_relative_eq!(room.travel(-6).unwrap().as_mm(), -6.0, epsilon = 1e-9);
    // From 30°: 90° is 3 mm on, −90° is 9 mm back.
    let room = cam(6.0, 15.0, 90.0)
        .room(&Position::Cam(Angle::degrees(30.0)), Step::Flat)
        .unwrap();
    assert_eq!((room.least, room.most()), (-8, 4));
    assert_relative_eq!(room.travel(4).unwrap().as_mm(), 3.0, epsilon = 1e-9);
    assert_relative_eq!(room.travel(-8).unwrap().as_mm(), -9.0, epsilon = 1e-9);
    let error = cam(6.0, 15.0, 60.0)
        .check(&Position::Cam(Angle::degrees(-61.0)))
        .unwrap_err();
    assert_eq!(
        error.to_string(),
        "The setting lies within 60.00° either way of the middle."
    );
}

#[test]
fn a_slot_slides_both_ways_and_shims_only_add() {
    let slid = |mm: f64| Position::Slide(Length::mm(mm));
    let room = slot(8.0, 0.5).room(&slid(-3.0), Step::Flat).unwrap();
    assert_eq!((room.least, room.most()), (-10, 22));
    assert_relative_eq!(room.travel(22).unwrap().as_mm(), 11.0, epsilon = 1e-9);
    let stack = |mm: f64| Position::Stack(Length::mm(mm));
    let room = shims(0.5, 6.0).room(&stack(1.5), Step::Flat).unwrap();
    assert_eq!((room.least, room.most()), (-3, 9));
    assert_relative_eq!(room.travel(-3).unwrap().as_mm(), -1.5, epsilon = 1e-9);
    let error = slot(8.0, 0.5).check(&slid(8.1)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "The setting lies within 8 mm either way of the middle."
    );
    for beyond in [6.1, -0.1] {
        let error = shims(0.5, 6.0).check(&stack(beyond)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "The setting lies between no shim and 6 mm."
        );
    }
}

/// Seen from the eye, which is the head of the screw, a right-hand screw comes out counter-clockwise; a bar or sleeve is the nut, which
/// comes off clockwise seen from the head (ISO 68-1: a right-hand thread advances away from whoever turns it clockwise).
#[test]
fn the_way_that_lengthens() {
    for (turned, hand, clockwise) in [
        (Turned::Eye, Hand::Right, false),
        (Turned::Eye, Hand::Left, true),
        (Turned::Bar, Hand::Right, true),
        (Turned::Bar, Hand::Left, false),
    ] {
        let view = Mechanism::RodEnd(RodEnd {
            turned,
            end: ThreadedEnd { hand, ..outer() },
        })
        .view()
        .unwrap();
        assert_eq!(
            (view.from.as_str(), view.clockwise_lengthens),
            ("the eye", clockwise),
            "{turned:?} {hand:?}"
        );
    }
    // Named from the right-hand end, whichever stands first.
    for mechanism in [sleeve(outer(), inner()), sleeve(inner(), outer())] {
        let view = mechanism.view().unwrap();
        assert_eq!(
            (view.from.as_str(), view.clockwise_lengthens),
            ("the outer end", true)
        );
    }
    let Mechanism::DifferentialSleeve(Sleeve {
        ends: [coarse, fine],
    }) = differential()
    else {
        unreachable!()
    };
    for (hand, clockwise) in [(Hand::Right, true), (Hand::Left, false)] {
        let coarse = ThreadedEnd {
            hand,
            ..coarse.clone()
        };
        let fine = ThreadedEnd {
            hand,
            ..fine.clone()
        };
        for ends in [[coarse.clone(), fine.clone()], [fine, coarse]] {
            let view = Mechanism::DifferentialSleeve(Sleeve { ends })
                .view()
                .unwrap();
            assert_eq!(
                (view.from.as_str(), view.clockwise_lengthens),
                ("the outer end", clockwise),
                "{hand:?}"
            );
        }
    }
    for mechanism in [cam(5.0, 15.0, 90.0), slot(8.0, 1.0), shims(0.5, 6.0)] {
        assert_eq!(mechanism.view(), None);
    }
}

#[test]
fn steps_in_words() {
    for (step, count, words) in [
        (Step::HalfFlat, 1, "½ flat"),
        (Step::HalfFlat, 2, "1 flat"),
        (Step::HalfFlat, 5, "2½ flats"),
        (Step::Flat, 0, "0 flats"),
        (Step::Flat, 1, "1 flat"),
        (Step::Flat, 4, "4 flats"),
        (Step::HalfTurn, 0, "0 turns"),
        (Step::HalfTurn, 1, "½ turn"),
        (Step::HalfTurn, 2, "1 turn"),
        (Step::HalfTurn, 3, "1½ turns"),
        (Step::HalfTurn, 4, "2 turns"),
        (Step::Turn, 1, "1 turn"),
        (Step::Turn, 2, "2 turns"),
    ] {
        assert_eq!(step_words(step, count), words);
        assert_eq!(rod_end(outer()).words(step, count), words);
    }
    assert_eq!(cam(5.0, 15.0, 90.0).words(Step::Flat, 1), "1 mark (15.00°)");
    assert_eq!(
        cam(5.0, 15.0, 90.0).words(Step::Flat, 3),
        "3 marks (45.00°)"
    );
    assert_eq!(slot(8.0, 0.25).words(Step::Flat, 3), "0.75 mm");
    assert_eq!(shims(0.25, 6.0).words(Step::Flat, 1), "0.25 mm of shim");
    assert_eq!(Step::Flat.degrees(), 60.0);
    assert_eq!(Step::HalfFlat.degrees(), 30.0);
    // An eye that is bolted goes by half turns alone.
    assert_eq!(rod_end(outer()).finer(Step::Turn), Some(Step::HalfTurn));
    assert_eq!(rod_end(outer()).finer(Step::HalfTurn), None);
    assert_eq!(cam(5.0, 15.0, 90.0).finer(Step::Flat), None);
    assert_eq!(rod_end(outer()).usual_step(), Step::HalfTurn);
    let bar = Mechanism::RodEnd(RodEnd {
        turned: Turned::Bar,
        end: outer(),
    });
    assert_eq!(
        (bar.usual_step(), sleeve(outer(), inner()).usual_step()),
        (Step::Flat, Step::Flat)
    );
}

#[test]
fn a_mechanism_as_it_should_be_has_no_problem() {
    for mechanism in [
        rod_end(outer()),
        sleeve(outer(), inner()),
        differential(),
        cam(5.0, 15.0, 90.0),
        slot(8.0, 1.0),
        shims(0.5, 6.0),
        rod_end(ThreadedEnd {
            base_showing: Length::mm(14.0),
            ..outer()
        }),
    ] {
        assert_eq!(mechanism.problems(), [], "{mechanism:?}");
    }
    // An insert, and a base, at exactly the least.
    for thread in threads() {
        let d = thread.diameter();
        let end = ThreadedEnd {
            thread,
            insert_depth: d,
            shank: d + Length::mm(16.3),
            base_showing: Length::mm(6.3),
            ..outer()
        };
        assert_eq!(end.problems(), [], "{}", thread.designation());
    }
}

#[test]
fn what_is_wrong_with_a_mechanism_is_said() {
    let Mechanism::DifferentialSleeve(differential) = differential() else {
        unreachable!()
    };
    let [coarse, fine] = differential.ends;
    for (mechanism, sentences) in [
        (
            sleeve(outer(), outer()),
            vec![
                "A sleeve's ends must be of opposite hand; for the same hand use a differential sleeve.",
            ],
        ),
        (
            Mechanism::DifferentialSleeve(Sleeve {
                ends: [
                    coarse,
                    ThreadedEnd {
                        hand: Hand::Left,
                        ..fine.clone()
                    },
                ],
            }),
            vec![
                "A differential sleeve's ends must be of the same hand; for opposite hands use a sleeve.",
            ],
        ),
        (
            Mechanism::DifferentialSleeve(Sleeve {
                ends: [fine.clone(), fine],
            }),
            vec!["A differential sleeve's ends must differ in pitch, or turning it moves nothing."],
        ),
        (
            rod_end(ThreadedEnd {
                base_showing: Length::mm(15.0),
                ..outer()
            }),
            vec![
                "outer end: At the base setting only 15.0 mm is engaged, 0.9 d, and 16.0 mm is the least: show less thread.",
            ],
        ),
        (
            rod_end(ThreadedEnd {
                base_showing: Length::mm(31.0),
                ..outer()
            }),
            vec![
                "outer end: More thread shows than this shank has. At most 30.0 mm can show: measure from the jam nut to the shoulder.",
            ],
        ),
        (
            rod_end(ThreadedEnd {
                insert_depth: Length::mm(15.0),
                ..outer()
            }),
            vec![
                "outer end: The insert is 15.0 mm deep, and at least 16.0 mm must be engaged: check thread, insert and its depth.",
            ],
        ),
        (
            rod_end(ThreadedEnd {
                jam_nut: Length::ZERO,
                ..outer()
            }),
            vec!["outer end: jam nut must be more than zero, such as \"40 mm\"."],
        ),
        (
            rod_end(ThreadedEnd {
                shank: Length::mm(-40.0),
                base_showing: Length::ZERO,
                ..outer()
            }),
            vec![
                "outer end: shank must be more than zero, such as \"40 mm\".",
                "outer end: More thread shows than this shank has. At most 0.0 mm can show: measure from the jam nut to the shoulder.",
            ],
        ),
        (
            cam(5.0, 15.0, 91.0),
            vec!["range must be 90 deg at most: beyond it the cam comes back."],
        ),
        (
            cam(0.0, 15.0, 90.0),
            vec!["eccentricity must be more than zero, with its unit."],
        ),
        (
            cam(5.0, 0.0, 90.0),
            vec!["notch must be more than zero, with its unit."],
        ),
        (
            cam(5.0, 15.0, -1.0),
            vec!["range must be more than zero, with its unit."],
        ),
        (
            cam(5.0, 0.3, 90.0),
            vec!["The step is too fine: an adjuster has at most 240 steps each way."],
        ),
        (
            slot(8.0, 0.01),
            vec!["The step is too fine: an adjuster has at most 240 steps each way."],
        ),
        (
            slot(0.0, -1.0),
            vec![
                "range must be more than zero, with its unit.",
                "step must be more than zero, with its unit.",
            ],
        ),
        (
            shims(0.02, 6.0),
            vec!["The step is too fine: an adjuster has at most 240 steps each way."],
        ),
        (
            shims(0.0, 0.0),
            vec![
                "thinnest must be more than zero, with its unit.",
                "most must be more than zero, with its unit.",
            ],
        ),
    ] {
        let said: Vec<_> = mechanism
            .problems()
            .iter()
            .map(MechanismError::to_string)
            .collect();
        assert_eq!(said, sentences, "{mechanism:?}");
    }
}

#[test]
fn turns_for_an_angle() {
    // By hand: 150 mm sin 0.5° = 1.30898 mm; 250 mm tan 0.5° = 2.18171 mm.
    let (half, travel) = (Angle::degrees(0.5), Length::mm(1.5));
    assert_relative_eq!(
        toe_turns(half, Length::mm(150.0), travel).unwrap(),
        0.872_655,
        epsilon = 1e-5
    );
    assert_relative_eq!(
        toe_turns(-half, Length::mm(150.0), travel).unwrap(),
        -0.872_655,
        epsilon = 1e-5
    );
    assert_relative_eq!(
        camber_turns(half, Length::mm(250.0), travel).unwrap(),
        1.454_477,
        epsilon = 1e-5
    );
    for (arm, travel) in [
        (0.0, 1.5),
        (-150.0, 1.5),
        (150.0, 0.0),
        (150.0, -1.5),
        (f64::NAN, 1.5),
        (150.0, f64::NAN),
    ] {
        assert_eq!(
            toe_turns(half, Length::mm(arm), Length::mm(travel)),
            None,
            "{arm} {travel}"
        );
        assert_eq!(
            camber_turns(half, Length::mm(arm), Length::mm(travel)),
            None,
            "{arm} {travel}"
        );
    }
}

#[test]
fn mechanisms_in_documents() {
    let json = serde_json::to_value(rod_end(outer())).unwrap();
    let expected = serde_json::json!({ "rod-end": { "turned": "eye", "end": {
        "name": "outer", "thread": "M16x1.5", "hand": "right", "shank": "40 mm", "jam_nut": "8 mm", "unthreaded_lead": "2 mm",
        "insert_depth": "45 mm", "insert": "steel", "insert_strength": "1000 MPa", "base_showing": "6 mm",
    } } });
    assert_eq!(json, expected);
}

const STEPS: [Step; 4] = [Step::HalfFlat, Step::Flat, Step::HalfTurn, Step::Turn];

fn any_thread() -> impl Strategy<Value = Thread> {
    prop::sample::select(threads().collect::<Vec<_>>())
}

/// An end and what shows: every length in halves of a millimetre, so that many ends stand exactly at a limit.
fn any_end(hand: Hand) -> impl Strategy<Value = (ThreadedEnd, Length)> {
    let halves = |most: u32| (0..=most).prop_map(|halves| Length::mm(f64::from(halves) / 2.0));
    let material = prop::sample::select(vec![Material::Steel, Material::Aluminium]);
    (
        any_thread(),
        halves(200),
        halves(30),
        halves(8),
        halves(160),
        material,
        halves(80),
    )
        .prop_map(
            move |(thread, shank, jam_nut, unthreaded_lead, insert_depth, insert, showing)| {
                let end = ThreadedEnd {
                    thread,
                    hand,
                    shank,
                    jam_nut,
                    unthreaded_lead,
                    insert_depth,
                    insert,
                    ..outer()
                };
                (end, showing)
            },
        )
}

fn any_threaded() -> impl Strategy<Value = (Mechanism, Position)> {
    let rod = (
        any_end(Hand::Right),
        prop::sample::select(vec![Turned::Eye, Turned::Bar]),
    )
        .prop_map(|((end, showing), turned)| {
            (
                Mechanism::RodEnd(RodEnd { turned, end }),
                Position::Showing(vec![showing]),
            )
        });
    let sleeve = (any_end(Hand::Right), any_end(Hand::Left)).prop_map(|((a, at_a), (b, at_b))| {
        (
            Mechanism::Sleeve(Sleeve { ends: [a, b] }),
            Position::Showing(vec![at_a, at_b]),
        )
    });
    let differential =
        (any_end(Hand::Right), any_end(Hand::Right)).prop_map(|((a, at_a), (b, at_b))| {
            (
                Mechanism::DifferentialSleeve(Sleeve { ends: [a, b] }),
                Position::Showing(vec![at_a, at_b]),
            )
        });
    prop_oneof![rod, sleeve, differential]
}

/// Whether an end may stand so, from the lengths alone and apart from the code under test.
fn stands(end: &ThreadedEnd, showing: Length) -> (bool, bool) {
    let factor = if end.insert == Material::Aluminium {
        2.0
    } else {
        1.0
    };
    let least = end.thread.diameter() * factor;
    let inside = end.shank - showing - end.jam_nut - end.unthreaded_lead;
    let engaged = inside.min(end.insert_depth);
    let tip = end.shank - showing - end.jam_nut;
    let clears = showing >= -NM * 2.0 && tip <= end.insert_depth + end.unthreaded_lead + NM * 2.0;
    (engaged >= least - NM * 2.0 && inside >= -NM * 2.0, clears)
}

fn showings(position: &Position) -> &[Length] {
    match position {
        Position::Showing(showing) => showing,
        _ => &[],
    }
}

proptest! {
    #![proptest_config(ProptestConfig { max_global_rejects: 200_000, ..ProptestConfig::default() })]

    /// Every travel in the room keeps both ends engaged and clear; one step beyond either end does not.
    #[test]
    fn the_room_is_all_there_is((mechanism, position) in any_threaded(), step in prop::sample::select(STEPS.to_vec())) {
        let fine = |position: &Position| {
            mechanism.ends().iter().zip(showings(position)).all(|(end, showing)| stands(end, *showing) == (true, true))
        };
        prop_assume!(fine(&position));
        let room = mechanism.room(&position, step).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!(room.least <= 0 && room.most() >= 0);
        for steps in room.least..=room.most() {
            let to = mechanism.after(&position, step, steps).expect("the same kind");
            prop_assert!(fine(&to), "{steps} steps reach {to:?}");
            let travel: Length = showings(&to).iter().zip(showings(&position)).map(|(to, from)| *to - *from).sum();
            let by_turns = mechanism.travel_per_turn() * (step.turns() * f64::from(steps));
            prop_assert!((room.travel(steps).expect("within") - travel).abs() < NM);
            prop_assert!((travel - by_turns).abs() < NM);
        }
        for beyond in [room.least - 1, room.most() + 1] {
            let to = mechanism.after(&position, step, beyond).expect("the same kind");
            // The slack of the two sides differs: a hair beyond is not beyond.
            let hair = |showing: &Length, from: &Length| if showing > from { *showing - NM * 4.0 } else { *showing + NM * 4.0 };
            let nearer = Position::Showing(showings(&to).iter().zip(showings(&position)).map(|(to, from)| hair(to, from)).collect());
            prop_assert!(!fine(&to) || !fine(&nearer) || beyond.abs() > 240, "{beyond} steps are refused and reach {to:?}");
        }
    }

    /// Whatever it is, asking for its room gives a room with the present in it or a reason.
    #[test]
    fn room_or_a_reason((mechanism, position) in any_threaded(), step in prop::sample::select(STEPS.to_vec())) {
        let safe = mechanism.ends().iter().zip(showings(&position)).all(|(end, showing)| stands(end, *showing).0);
        match mechanism.room(&position, step) {
            Ok(room) => {
                prop_assert!(safe);
                prop_assert_eq!(room.travel(0), Some(Length::ZERO));
                // Two ends of one pitch, which a card may not have, travel nothing but the rounding.
                prop_assert!(room.travels.is_sorted_by(|a, b| *a <= *b + NM));
            }
            Err(error) => {
                prop_assert!(!safe, "{error}");
                prop_assert!(!error.to_string().is_empty());
            }
        }
        let _ = mechanism.problems();
    }

    #[test]
    fn there_and_back_again(
        (mechanism, position) in prop_oneof![
            any_threaded(),
            (1.0..30.0_f64, -80.0..80.0_f64).prop_map(|(notch, at)| (cam(6.0, notch, 90.0), Position::Cam(Angle::degrees(at)))),
            (0.1..3.0_f64, -8.0..8.0_f64).prop_map(|(step, at)| (slot(8.0, step), Position::Slide(Length::mm(at)))),
            (0.1..3.0_f64, 0.0..8.0_f64).prop_map(|(step, at)| (shims(step, 8.0), Position::Stack(Length::mm(at)))),
        ],
        step in prop::sample::select(STEPS.to_vec()),
        steps in -500..500_i32,
    ) {
        let there = mechanism.after(&position, step, steps).expect("the same kind");
        let back = mechanism.after(&there, step, -steps).expect("the same kind");
        match (&position, &back) {
            (Position::Showing(from), Position::Showing(back)) => {
                prop_assert!(from.iter().zip(back).all(|(from, back)| (*from - *back).abs() < NM));
            }
            (Position::Cam(from), Position::Cam(back)) => prop_assert!((*from - *back).abs() < Angle::radians(1e-9)),
            (Position::Slide(from), Position::Slide(back)) | (Position::Stack(from), Position::Stack(back)) => prop_assert!((*from - *back).abs() < NM),
            other => prop_assert!(false, "{other:?}"),
        }
    }

    #[test]
    fn a_cam_moves_by_e_sine(e in 0.5..12.0_f64, notch in 0.5..30.0_f64, range in 1.0..90.0_f64, at in -1.0..1.0_f64) {
        let mechanism = cam(e, notch, range);
        let from = at * range;
        let room = mechanism.room(&Position::Cam(Angle::degrees(from)), Step::Flat).map_err(|error| TestCaseError::fail(error.to_string()))?;
        for steps in room.least..=room.most() {
            let to = from + notch * f64::from(steps);
            prop_assert!(to.abs() <= range + 1e-6);
            let expected = e * (to.to_radians().sin() - from.to_radians().sin());
            let got = room.travel(steps).expect("within").as_mm();
            prop_assert!((got - expected).abs() < 1e-9, "{steps} notches travel {got}, not {expected}");
        }
        prop_assert!(from + notch * f64::from(room.most() + 1) > range - 1e-6 || room.most() == 240);
        prop_assert!(from + notch * f64::from(room.least - 1) < -range + 1e-6 || room.least == -240);
    }
}

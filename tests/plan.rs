//! The plan: against brute force, and against the standards on measurement uncertainty.

use approx::assert_abs_diff_eq;
use halfturn::adjuster::Room;
use halfturn::plan::{
    Belief, Goal, Lever, Levers, Outcome, Plan, PlanError, Rate, Reading, Target, Verdict,
    guard_band, verdict,
};
use halfturn::quantity::{Angle, Length};
use halfturn::reading::Estimate;
use proptest::prelude::*;

/// What the plan calls alike, in tolerances.
const ALIKE: f64 = 0.05;

/// The plan of adjusters that have no finer steps and no limits.
fn plan(
    reading: &Reading,
    goal: &Goal,
    first: &[Lever],
    further: &[Lever],
) -> Result<Plan, PlanError> {
    let levers = Levers {
        first,
        finer: &[],
        further,
        may_stand: &|_| true,
    };
    halfturn::plan::plan(reading, goal, &levers)
}

fn estimate(degrees: f64, uncertainty: f64) -> Estimate {
    Estimate::new(Angle::degrees(degrees), Angle::degrees(uncertainty))
}

fn reading(toe: f64, camber: f64) -> Reading {
    Reading {
        toe: Some(estimate(toe, 0.02)),
        camber: Some(estimate(camber, 0.05)),
    }
}

fn target(aim: f64, tolerance: f64) -> Target {
    Target {
        aim: Angle::degrees(aim),
        tolerance: Angle::degrees(tolerance),
    }
}

fn goal() -> Goal {
    Goal {
        toe: target(0.10, 0.05),
        camber: target(-1.2, 0.10),
    }
}

/// A lever of so many degrees of toe and camber a step, with room for so many steps each way.
fn lever(toe: f64, camber: f64, least: i32, most: i32) -> Lever {
    let step = 0.001;
    let travels = (least..=most)
        .map(|steps| Length::metres(f64::from(steps) * step))
        .collect();
    Lever {
        place: 0,
        rate: Rate {
            toe: toe.to_radians() / step,
            camber: camber.to_radians() / step,
        },
        room: Room { travels, least },
        effort: 0.5,
        ahead: 0.0,
    }
}

/// Where steps leave a wheel, in tolerances off the goal, reckoned in degrees.
fn off(reading: &Reading, goal: &Goal, levers: &[Lever], steps: &[i32]) -> (f64, f64) {
    let moved = |rate: fn(&Rate) -> f64| -> f64 {
        levers
            .iter()
            .zip(steps)
            .map(|(lever, steps)| {
                (rate(&lever.rate) * lever.room.travel(*steps).unwrap().as_metres()).to_degrees()
            })
            .sum()
    };
    let share = |read: Option<Estimate>, moved: f64, target: Target| {
        read.map_or(0.0, |read| {
            (read.value.as_degrees() + moved - target.aim.as_degrees())
                / target.tolerance.as_degrees()
        })
    };
    (
        share(reading.toe, moved(|rate| rate.toe), goal.toe),
        share(reading.camber, moved(|rate| rate.camber), goal.camber),
    )
}

fn misfit((toe, camber): (f64, f64)) -> f64 {
    toe.hypot(camber)
}

fn is_inside((toe, camber): (f64, f64)) -> bool {
    toe.abs() <= 1.0 && camber.abs() <= 1.0
}

/// Every combination of steps.
fn combinations(levers: &[Lever]) -> Vec<Vec<i32>> {
    levers.iter().fold(vec![Vec::new()], |sofar, lever| {
        let steps = lever.room.least..=lever.room.most();
        sofar
            .iter()
            .flat_map(|start| {
                steps
                    .clone()
                    .map(|step| start.iter().copied().chain([step]).collect())
            })
            .collect()
    })
}

/// Whether any combination is inside, and the least misfit among those inside, or of all where none is.
fn brute_force(reading: &Reading, goal: &Goal, levers: &[Lever]) -> (bool, f64) {
    let all: Vec<_> = combinations(levers)
        .iter()
        .map(|steps| off(reading, goal, levers, steps))
        .collect();
    let any = all.iter().any(|off| is_inside(*off));
    let least = all
        .iter()
        .filter(|off| !any || is_inside(**off))
        .map(|off| misfit(*off))
        .fold(f64::INFINITY, f64::min);
    (any, least)
}

fn assert_in_room(levers: &[Lever], steps: &[i32]) {
    assert_eq!(levers.len(), steps.len());
    for (lever, steps) in levers.iter().zip(steps) {
        assert!(
            (lever.room.least..=lever.room.most()).contains(steps),
            "{steps} of {:?}",
            lever.room
        );
    }
}

prop_compose! {
    fn levers(count: std::ops::Range<usize>)(
        all in prop::collection::vec((-0.3..0.3, -0.4..0.4, -6..=0, 0..=6, prop::sample::select(vec![1.0 / 6.0, 0.25, 0.5]), -3.0..3.0), count),
    ) -> Vec<Lever> {
        all.into_iter().map(|(toe, camber, least, most, effort, ahead)| Lever { effort, ahead, ..lever(toe, camber, least, most) }).collect()
    }
}

prop_compose! {
    fn readings()(toe in prop::option::weighted(0.9, -0.8..0.8), camber in prop::option::weighted(0.9, -2.5..0.5)) -> Reading {
        Reading { toe: toe.map(|toe| estimate(toe, 0.02)), camber: camber.map(|camber| estimate(camber, 0.05)) }
    }
}

/// The other way round: what lengthened shortens.
fn reversed(levers: &[Lever]) -> Vec<Lever> {
    levers
        .iter()
        .map(|lever| Lever {
            room: Room {
                travels: lever
                    .room
                    .travels
                    .iter()
                    .rev()
                    .map(|travel| -*travel)
                    .collect(),
                least: -lever.room.most(),
            },
            ahead: -lever.ahead,
            ..lever.clone()
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn nothing_is_nearer_than_the_plan(reading in readings(), first in levers(1..4), narrower in prop::array::uniform2(prop::sample::select(vec![0.2, 1.0, 1.0, 100.0, 10_000.0]))) {
        let usual = goal();
        let goal = Goal {
            toe: Target { tolerance: usual.toe.tolerance * (1.0 / narrower[0]), ..usual.toe },
            camber: Target { tolerance: usual.camber.tolerance * (1.0 / narrower[1]), ..usual.camber },
        };
        match plan(&reading, &goal, &first, &[]) {
            Ok(Plan { outcome: Outcome::Leave, steps, verdict, .. }) => {
                prop_assert_eq!(verdict, Verdict::InsideForCertain);
                prop_assert!(steps.iter().all(|steps| *steps == 0));
            }
            Ok(plan) => {
                assert_in_room(&first, &plan.steps);
                let (reachable, least) = brute_force(&reading, &goal, &first);
                let left = off(&reading, &goal, &first, &plan.steps);
                prop_assert!((misfit(left) - plan.misfit).abs() < 1e-9);
                prop_assert!(plan.misfit <= least + ALIKE + 1e-9, "{} against {least}", plan.misfit);
                prop_assert_eq!(plan.outcome == Outcome::Reaches, reachable);
                prop_assert_eq!(is_inside(left), reachable);
                let seen = |read: Option<Estimate>, target: Target| read.map_or(0.0, |read| (read.value - target.aim) / target.tolerance);
                prop_assert!((seen(plan.after.toe, goal.toe) - left.0).abs() < 1e-9);
                prop_assert!((seen(plan.after.camber, goal.camber) - left.1).abs() < 1e-9);
                // Nothing as near takes less turning.
                let effort = |steps: &[i32]| first.iter().zip(steps).map(|(lever, steps)| f64::from(steps.abs()) * lever.effort).sum::<f64>();
                for other in combinations(&first) {
                    let other_left = off(&reading, &goal, &first, &other);
                    if misfit(other_left) < least + ALIKE - 1e-9 && is_inside(other_left) == reachable {
                        prop_assert!(effort(&plan.steps) <= effort(&other) + 1e-9, "{:?} against {other:?}", plan.steps);
                    }
                }
            }
            Err(error) => prop_assert_eq!((error, reading.toe.is_none() && reading.camber.is_none()), (PlanError::NoReading, true)),
        }
    }

    #[test]
    fn a_mirrored_car_gets_the_mirrored_plan(toe in -0.8..0.8, camber in -1.5..1.5, first in levers(1..4)) {
        let goal = Goal { toe: target(0.0, 0.05), camber: target(0.0, 0.10) };
        let seen = plan(&reading(toe, camber), &goal, &first, &[]).unwrap();
        let mirrored = plan(&reading(-toe, -camber), &goal, &reversed(&first), &[]).unwrap();
        let turned: Vec<_> = mirrored.steps.iter().map(|steps| -steps).collect();
        prop_assert_eq!(seen.steps, turned);
        prop_assert_eq!(seen.misfit, mirrored.misfit);
    }

    #[test]
    fn further_adjusters_are_asked_for_only_where_they_are_needed_and_help(reading in readings(), first in levers(1..3), further in levers(1..4)) {
        let goal = goal();
        let Ok(plan) = plan(&reading, &goal, &first, &further) else { return Ok(()) };
        if plan.outcome == Outcome::Leave {
            return Ok(());
        }
        let (alone, _) = brute_force(&reading, &goal, &first);
        let with = |which: &[usize]| first.iter().chain(which.iter().map(|index| &further[*index])).cloned().collect::<Vec<_>>();
        let opens = |which: &[usize]| brute_force(&reading, &goal, &with(which)).0;
        let one = (0..further.len()).any(|index| opens(&[index]));
        let two = (0..further.len()).any(|a| (0..a).any(|b| opens(&[a, b])));
        match plan.outcome {
            Outcome::NeedsFurther(opened) => {
                prop_assert!(!alone);
                prop_assert_eq!(opened.which.len(), if one { 1 } else { 2 });
                let levers = with(&opened.which);
                assert_in_room(&levers, &opened.steps);
                prop_assert!(is_inside(off(&reading, &goal, &levers, &opened.steps)));
                prop_assert!(opened.steps.iter().rev().take(opened.which.len()).any(|steps| *steps != 0));
            }
            outcome => {
                prop_assert_eq!(outcome == Outcome::Reaches, alone);
                prop_assert!(alone || !(one || two));
            }
        }
    }

    /// Each adjuster's steps cut in two, and in four.
    #[test]
    fn finer_steps_are_told_of_where_they_alone_help(reading in readings(), first in levers(1..3), further in levers(0..2)) {
        let goal = goal();
        let cut = |parts: i32| first.iter().map(|lever| {
            let whole = &lever.room;
            let (least, most) = (whole.least * parts, whole.most() * parts);
            let step = Length::mm(1.0 / f64::from(parts));
            let travels = (least..=most).map(|steps| step * f64::from(steps)).collect();
            Lever { room: Room { travels, least }, effort: lever.effort / f64::from(parts), ..lever.clone() }
        }).collect::<Vec<_>>();
        let finer = [cut(2), cut(4)];
        let levers = Levers { first: &first, finer: &finer, further: &further, may_stand: &|_| true };
        let Ok(plan) = halfturn::plan::plan(&reading, &goal, &levers) else { return Ok(()) };
        let reaches = |levers: &[Lever]| brute_force(&reading, &goal, levers).0;
        let expected = if plan.outcome == Outcome::Leave || reaches(&first) { None } else { finer.iter().position(|levers| reaches(levers)) };
        match plan.outcome {
            Outcome::InFiner(found) => {
                prop_assert_eq!(Some(found.level), expected);
                assert_in_room(&finer[found.level], &found.steps);
                let left = off(&reading, &goal, &finer[found.level], &found.steps);
                prop_assert!(is_inside(left));
                let seen = found.after.toe.map_or(0.0, |read| (read.value - goal.toe.aim) / goal.toe.tolerance);
                prop_assert!((seen - left.0).abs() < 1e-9);
            }
            _ => prop_assert_eq!(expected, None),
        }
    }

    /// Some settings must not be: the nearest of those that may be is found, whatever is forbidden.
    #[test]
    fn what_may_not_stand_is_never_offered(reading in readings(), first in levers(2..4), slope in -1.0..1.0f64, most in 0.0..5.0f64) {
        let goal = goal();
        let first: Vec<_> = first.into_iter().enumerate().map(|(place, lever)| Lever { place: 10 + place, ..lever }).collect();
        let may = |steps: &[f64]| (steps[0] + slope * steps[1]).abs() <= most;
        let may_stand = |travels: &[(usize, Length)]| {
            let at = |place| travels.iter().find(|(other, _)| *other == place).map_or(0.0, |(_, travel)| travel.as_mm());
            may(&[at(10), at(11)])
        };
        let levers = Levers { first: &first, finer: &[], further: &[], may_stand: &may_stand };
        let Ok(plan) = halfturn::plan::plan(&reading, &goal, &levers) else { return Ok(()) };
        if plan.outcome == Outcome::Leave {
            return Ok(());
        }
        let fine = |steps: &[i32]| may(&[f64::from(steps[0]), f64::from(steps[1])]);
        prop_assert!(fine(&plan.steps));
        let all: Vec<_> = combinations(&first).into_iter().filter(|steps| fine(steps)).map(|steps| off(&reading, &goal, &first, &steps)).collect();
        let any = all.iter().any(|off| is_inside(*off));
        let least = all.iter().filter(|off| !any || is_inside(**off)).map(|off| misfit(*off)).fold(f64::INFINITY, f64::min);
        prop_assert_eq!(plan.outcome == Outcome::Reaches, any);
        prop_assert!(plan.misfit <= least + ALIKE + 1e-9);
    }

    #[test]
    fn odd_numbers_never_make_a_plan(bad in prop::sample::select(vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY]), place in 0..6) {
        let mut first = vec![lever(0.1, 0.2, -3, 3)];
        let (mut reading, mut goal) = (reading(0.5, -0.5), goal());
        match place {
            0 => first[0].rate.toe = bad,
            1 => first[0].ahead = bad,
            2 => first[0].room.travels[2] = Length::metres(bad),
            3 => reading.toe = Some(estimate(bad, 0.02)),
            4 => reading.camber = Some(estimate(-1.0, bad)),
            _ => goal.toe.aim = Angle::radians(bad),
        }
        prop_assert_eq!(plan(&reading, &goal, &first, &[]), Err(PlanError::NotFinite));
    }
}

/// Two coupled adjusters. Solved exactly they want 1.4 and 1.6 steps. Rounding each alone gives 1 and 2, which leaves 1.1 and 1.4 tolerances;
/// 1 and 1 together are inside.
#[test]
fn steps_taken_together_beat_each_rounded_alone() {
    let levers = [lever(0.10, -0.16, -6, 6), lever(-0.04, 0.20, -6, 6)];
    let reading = reading(
        0.10 - (1.4 * 0.10 - 1.6 * 0.04),
        -1.2 - (1.6 * 0.20 - 1.4 * 0.16),
    );
    let found = plan(&reading, &goal(), &levers, &[]).unwrap();
    assert_eq!((found.outcome, found.steps), (Outcome::Reaches, vec![1, 1]));
    assert!(!is_inside(off(&reading, &goal(), &levers, &[1, 2])));
}

#[test]
fn inside_for_certain_is_left_alone() {
    let levers = [lever(0.01, 0.02, -6, 6)];
    let certain = Reading {
        toe: Some(estimate(0.12, 0.015)),
        camber: Some(estimate(-1.2, 0.02)),
    };
    let found = plan(&certain, &goal(), &levers, &levers).unwrap();
    assert_eq!(
        (found.outcome, found.steps, found.after),
        (Outcome::Leave, vec![0], certain)
    );
    let unsure = Reading {
        toe: Some(estimate(0.12, 0.025)),
        ..certain
    };
    assert_ne!(
        plan(&unsure, &goal(), &levers, &[]).unwrap().outcome,
        Outcome::Leave
    );
}

#[test]
fn no_thread_left_is_out_of_reach_and_not_a_wrong_lever_arm() {
    let stuck = [lever(0.1, 0.2, 0, 0)];
    let found = plan(&reading(0.5, -0.5), &goal(), &stuck, &[]).unwrap();
    assert_eq!((found.outcome, found.steps), (Outcome::OutOfReach, vec![0]));
    // A further adjuster still opens it.
    let further = [lever(-0.1, -0.175, -6, 6)];
    assert!(matches!(
        plan(&reading(0.5, -0.5), &goal(), &stuck, &further)
            .unwrap()
            .outcome,
        Outcome::NeedsFurther(_)
    ));
}

#[test]
fn every_reason_for_no_plan_says_what_to_do() {
    let levers = [lever(0.1, 0.2, -3, 3)];
    let none = Reading {
        toe: None,
        camber: None,
    };
    assert_eq!(
        plan(&none, &goal(), &levers, &[]),
        Err(PlanError::NoReading)
    );
    let flat = Goal {
        toe: target(0.1, 0.0),
        ..goal()
    };
    assert_eq!(
        plan(&reading(0.5, -0.5), &flat, &levers, &[]),
        Err(PlanError::NoTolerance)
    );
    let only_toe = Reading {
        camber: None,
        ..reading(0.5, -0.5)
    };
    assert_eq!(
        plan(&only_toe, &goal(), &[lever(0.0, 0.2, -3, 3)], &[]),
        Err(PlanError::NothingMoves)
    );
    assert_eq!(
        plan(&reading(0.5, -0.5), &goal(), &[], &[]),
        Err(PlanError::NothingMoves)
    );
    let many = vec![lever(0.1, 0.2, -60, 60); 4];
    assert_eq!(
        plan(&reading(0.5, -0.5), &goal(), &many, &[]),
        Err(PlanError::TooMany)
    );
    for error in [
        PlanError::NoReading,
        PlanError::NoTolerance,
        PlanError::NothingMoves,
        PlanError::NotFinite,
        PlanError::TooMany,
    ] {
        let words = error.to_string();
        assert!(words.ends_with('.') && words.len() > 20, "{words}");
    }
}

/// Reading, uncertainty and verdict around an aim of 0.10° ± 0.05°, by the decision rule of ISO 14253-1:2017 with the guard band
/// g = 1.645 u of JCGM 106:2012, 8.3.2: with u = 0.01° the zones end at 0.03355°, 0.05° and 0.06645° off the aim.
#[test]
fn verdicts_change_at_the_guard_band() {
    use Verdict::{CannotTell, InsideByReading, InsideForCertain, Outside};
    let table = [
        (0.0, 0.01, InsideForCertain),
        (0.0335, 0.01, InsideForCertain),
        (0.0336, 0.01, InsideByReading),
        (0.05, 0.01, InsideByReading),
        (0.0501, 0.01, CannotTell),
        (0.0664, 0.01, CannotTell),
        (0.0665, 0.01, Outside),
        // The edge of a tolerance belongs to it.
        (0.05, 0.0, InsideForCertain),
        (0.0501, 0.0, Outside),
        // A reading too coarse for its tolerance is never inside for certain.
        (0.0, 0.031, InsideByReading),
        (0.10, 0.031, CannotTell),
    ];
    for (off, uncertainty, expected) in table {
        for off in [off, -off] {
            assert_eq!(
                verdict(estimate(0.10 + off, uncertainty), target(0.10, 0.05)),
                expected,
                "{off} ± {uncertainty}"
            );
        }
    }
    assert_eq!(
        verdict(estimate(f64::NAN, 0.01), target(0.10, 0.05)),
        Outside
    );
}

/// At the edge of the guard band a value is inside with 95 %: the normal distribution up to 1.645, summed by Simpson's rule.
#[test]
fn the_guard_band_leaves_one_in_twenty() {
    let factor = guard_band(estimate(0.0, 1.0)).as_degrees();
    let density = |z: f64| (-z * z / 2.0).exp() / std::f64::consts::TAU.sqrt();
    let strips = 1000;
    let width = factor / f64::from(strips);
    let sum: f64 = (0..strips)
        .map(|strip| {
            let z = f64::from(strip) * width;
            width / 6.0 * (density(z) + 4.0 * density(z + width / 2.0) + density(z + width))
        })
        .sum();
    assert_abs_diff_eq!(0.5 + sum, 0.95, epsilon = 5e-5);
}

/// Reading and each adjuster's share are independent, so their squares add (JCGM 100:2008, 5.1.2): 0.02° with 5 % of 0.4°, 0.05° with 5 % of 0.8°.
#[test]
fn what_should_be_read_after_holds_the_rates_uncertainty() {
    let levers = [lever(0.10, 0.0, -9, 9), lever(0.0, 0.20, -9, 9)];
    let read = reading(0.50, -0.40);
    let plan = plan(&read, &goal(), &levers, &[]).unwrap();
    assert_eq!(plan.steps, [-4, -4]);
    assert_abs_diff_eq!(
        plan.after.toe.unwrap().value.as_degrees(),
        0.10,
        epsilon = 1e-12
    );
    let rates: Vec<_> = levers.iter().map(|lever| lever.rate).collect();
    let flat: Vec<f64> = rates
        .iter()
        .flat_map(|rate| [rate.toe, rate.camber])
        .collect();
    let mut doubts = vec![vec![0.0; 4]; 4];
    for (place, rate) in flat.iter().enumerate() {
        doubts[place][place] = (0.05 * rate).powi(2);
    }
    let mut belief = Belief::new(read.toe.unwrap(), read.camber.unwrap(), &doubts);
    let doubt = belief.doubt(1).unwrap();
    assert_abs_diff_eq!(doubt[1], 0.05 * rates[1].camber, epsilon = 1e-12);
    assert_eq!((doubt[0], belief.doubt(2)), (0.0, None));
    belief.turn(&rates, &[Length::mm(-4.0), Length::mm(-4.0)]);
    let after = belief.reading();
    for (after, value, uncertainty) in [
        (after.toe, 0.10, 0.02_f64.hypot(0.4 * 0.05)),
        (after.camber, -1.20, 0.05_f64.hypot(0.8 * 0.05)),
    ] {
        assert_abs_diff_eq!(after.unwrap().value.as_degrees(), value, epsilon = 1e-12);
        assert_abs_diff_eq!(
            after.unwrap().uncertainty.as_degrees(),
            uncertainty,
            epsilon = 1e-12
        );
    }
    // A reading of toe with 0.02° that is 0.2° off: the squares of both uncertainties add again.
    let off = Reading {
        toe: Some(estimate(0.30, 0.02)),
        camber: None,
    };
    let expected = 0.2 / 0.02_f64.hypot(0.02_f64.hypot(0.4 * 0.05));
    assert_abs_diff_eq!(belief.surprise(&off), expected, epsilon = 1e-9);
    assert_eq!(
        belief.surprise(&Reading {
            toe: None,
            camber: None
        }),
        0.0
    );
}

#[test]
fn among_settings_alike_the_one_that_evens_left_and_right_is_taken() {
    // Two adjusters that do the same: two steps are wanted, and either may make them.
    let like = |ahead| Lever {
        ahead,
        ..lever(0.10, 0.0, -6, 6)
    };
    let only_toe = Reading {
        toe: Some(estimate(0.30, 0.02)),
        camber: None,
    };
    let steps = |a, b| {
        plan(&only_toe, &goal(), &[like(a), like(b)], &[])
            .unwrap()
            .steps
    };
    assert_eq!(steps(2.0, 0.0), [-2, 0]);
    assert_eq!(steps(0.0, 2.0), [0, -2]);
}

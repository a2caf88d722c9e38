//! Both wheels of an axle together: against brute force over every pair of combinations.

use approx::assert_abs_diff_eq;
use halfturn::adjuster::Room;
use halfturn::plan::{
    AxlePlan, Goal, Lever, PlanError, Rate, Reading, Target, Ties, Wheel, plan_axle,
};
use halfturn::quantity::{Angle, Length};
use halfturn::reading::Estimate;
use proptest::prelude::*;

/// What the plan calls alike, in tolerances.
const ALIKE: f64 = 0.05;

fn reading(toe: f64, camber: f64) -> Reading {
    let estimate =
        |degrees: f64| Some(Estimate::new(Angle::degrees(degrees), Angle::degrees(0.02)));
    Reading {
        toe: estimate(toe),
        camber: estimate(camber),
    }
}

fn goal() -> Goal {
    let target = |aim: f64, tolerance: f64| Target {
        aim: Angle::degrees(aim),
        tolerance: Angle::degrees(tolerance),
    };
    Goal {
        toe: target(0.10, 0.05),
        camber: target(-1.2, 0.10),
    }
}

/// So many degrees of toe and camber a step.
fn lever(toe: f64, camber: f64, least: i32, most: i32, ahead: f64) -> Lever {
    Lever {
        place: 0,
        rate: Rate {
            toe: toe.to_radians() / 0.001,
            camber: camber.to_radians() / 0.001,
        },
        room: Room {
            travels: (least..=most)
                .map(|steps| Length::mm(f64::from(steps)))
                .collect(),
            least,
        },
        effort: 0.5,
        ahead,
    }
}

/// Every way to step a wheel's adjusters.
fn ways(levers: &[Lever]) -> Vec<Vec<i32>> {
    levers.iter().fold(vec![Vec::new()], |ways, lever| {
        ways.iter()
            .flat_map(|way| {
                (lever.room.least..=lever.room.most())
                    .map(|steps| [way.clone(), vec![steps]].concat())
            })
            .collect()
    })
}

/// Toe and camber off the aim in degrees after these steps.
fn off(wheel: &Wheel, steps: &[i32]) -> [f64; 2] {
    let moved = |rate: fn(&Rate) -> f64| -> f64 {
        wheel
            .levers
            .iter()
            .zip(steps)
            .map(|(lever, steps)| rate(&lever.rate).to_degrees() * 0.001 * f64::from(*steps))
            .sum()
    };
    [
        wheel.reading.toe.unwrap().value.as_degrees() + moved(|rate| rate.toe)
            - wheel.goal.toe.aim.as_degrees(),
        wheel.reading.camber.unwrap().value.as_degrees() + moved(|rate| rate.camber)
            - wheel.goal.camber.aim.as_degrees(),
    ]
}

/// How much of each tolerance is used, of both wheels and of their ties, written out one by one.
fn shares(left: &Wheel, right: &Wheel, ties: &Ties, a: &[i32], b: &[i32]) -> Vec<f64> {
    let ([left_toe, left_camber], [right_toe, right_camber]) = (off(left, a), off(right, b));
    let mut shares = vec![
        left_toe / 0.05,
        right_toe / 0.05,
        left_camber / 0.10,
        right_camber / 0.10,
    ];
    shares.extend(
        ties.total_toe
            .map(|tie| (left_toe + right_toe) / tie.as_degrees()),
    );
    shares.extend(
        ties.split
            .map(|tie| (left_toe - right_toe) / 2.0 / tie.as_degrees()),
    );
    shares.extend(
        ties.cross_camber
            .map(|tie| (left_camber - right_camber) / tie.as_degrees()),
    );
    shares
}

fn norm(shares: &[f64]) -> f64 {
    shares.iter().map(|share| share * share).sum::<f64>().sqrt()
}

/// The least that a pair which keeps everything is off by; infinite where none does.
fn by_brute_force(left: &Wheel, right: &Wheel, ties: &Ties) -> f64 {
    let mut inside = f64::INFINITY;
    for a in ways(left.levers) {
        for b in ways(right.levers) {
            let shares = shares(left, right, ties, &a, &b);
            let misfit = norm(&shares);
            if shares.iter().all(|share| share.abs() <= 1.0 + 1e-9) {
                inside = inside.min(misfit);
            }
        }
    }
    inside
}

/// The least turning among pairs that keep everything, as near as makes no difference.
fn least_turning(left: &Wheel, right: &Wheel, ties: &Ties, least: f64) -> i64 {
    let mut turning = i64::MAX;
    for a in ways(left.levers) {
        for b in ways(right.levers) {
            let shares = shares(left, right, ties, &a, &b);
            let fits = shares.iter().all(|share| share.abs() <= 1.0 + 1e-9);
            if fits && norm(&shares) <= least + ALIKE - 1e-9 {
                turning = turning.min(turned(&a) + turned(&b));
            }
        }
    }
    turning
}

fn turned(steps: &[i32]) -> i64 {
    steps.iter().map(|steps| i64::from(steps.abs())).sum()
}

fn tie(degrees: f64) -> Option<Angle> {
    Some(Angle::degrees(degrees))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn no_pair_of_whole_steps_is_better(
        at in prop::array::uniform4(-0.5_f64..0.5),
        rates in prop::array::uniform8(-0.2_f64..0.2),
        total in prop::option::of(0.02_f64..0.2),
        split in prop::option::of(0.01_f64..0.1),
        cross in prop::option::of(0.02_f64..0.3),
    ) {
        let goal = goal();
        let levers = |rates: &[f64]| [lever(rates[0], rates[1], -4, 5, 0.0), lever(rates[2], rates[3], -3, 3, 0.0)];
        let (ours, theirs) = (levers(&rates[..4]), levers(&rates[4..]));
        let (a, b) = (reading(0.1 + at[0], -1.2 + at[1]), reading(0.1 + at[2], -1.2 + at[3]));
        let left = Wheel { reading: &a, goal: &goal, levers: &ours, may_stand: &|_| true };
        let right = Wheel { reading: &b, goal: &goal, levers: &theirs, may_stand: &|_| true };
        let ties = Ties {
            total_toe: total.map(Angle::degrees),
            split: split.map(Angle::degrees),
            cross_camber: cross.map(Angle::degrees),
        };
        let plan = plan_axle(left, right, &ties).unwrap();
        let least = by_brute_force(&left, &right, &ties);
        prop_assert_eq!(plan.is_some(), least.is_finite());
        let Some(plan) = plan else {
            return Ok(());
        };
        let own = shares(&left, &right, &ties, &plan.left, &plan.right);
        assert_abs_diff_eq!(plan.misfit, norm(&own), epsilon = 1e-9);
        prop_assert!(plan.misfit <= least + ALIKE + 1e-9, "{} and {least}", plan.misfit);
        prop_assert!(own.iter().all(|share| share.abs() <= 1.0 + 1e-9));
        prop_assert!(turned(&plan.left) + turned(&plan.right) <= least_turning(&left, &right, &ties, least));
    }
}

/// A toe adjuster on each side, a tenth of a degree a step.
fn toe_alone(left: f64, right: f64, ties: Ties) -> Option<AxlePlan> {
    let goal = goal();
    let levers = [lever(0.04, 0.0, -9, 9, 0.0)];
    let (a, b) = (reading(left, -1.2), reading(right, -1.2));
    let wheel = |reading| Wheel {
        reading,
        goal: &goal,
        levers: &levers,
        may_stand: &|_| true,
    };
    plan_axle(wheel(&a), wheel(&b), &ties).unwrap()
}

#[test]
fn each_wheel_inside_is_not_a_straight_car() {
    // Aim 0.10° each. One wheel is 0.04° more, the other 0.04° less: each is inside its own ±0.05°, and the axle points 0.04° aside.
    let apart = toe_alone(0.14, 0.06, Ties::default());
    assert!(apart.is_some());
    let straight = toe_alone(
        0.14,
        0.06,
        Ties {
            split: tie(0.01),
            ..Ties::default()
        },
    )
    .unwrap();
    assert_eq!((straight.left, straight.right), (vec![-1], vec![1]));
}

#[test]
fn ties_that_no_whole_steps_keep_are_said_to_be_out_of_reach() {
    // Half the difference changes by 0.02° a step, from 0.01°: it is never within 0.005°.
    let plan = toe_alone(
        0.12,
        0.10,
        Ties {
            split: tie(0.005),
            ..Ties::default()
        },
    );
    assert_eq!(plan, None);
}

#[test]
fn among_pairs_alike_the_sides_are_left_alike() {
    let goal = goal();
    // Two adjusters of the same effect: which is turned makes no difference to the wheel.
    let left = [lever(0.05, 0.0, -9, 9, 1.0), lever(0.05, 0.0, -9, 9, 0.0)];
    let right = [lever(0.05, 0.0, -9, 9, 0.0), lever(0.05, 0.0, -9, 9, 0.0)];
    let (a, b) = (reading(0.15, -1.2), reading(0.10, -1.2));
    let plan = plan_axle(
        Wheel {
            reading: &a,
            goal: &goal,
            levers: &left,
            may_stand: &|_| true,
        },
        Wheel {
            reading: &b,
            goal: &goal,
            levers: &right,
            may_stand: &|_| true,
        },
        &Ties {
            total_toe: tie(0.02),
            ..Ties::default()
        },
    )
    .unwrap()
    .unwrap();
    // The left one stands one step ahead of its twin, and goes back by it.
    assert_eq!((plan.left, plan.right), (vec![-1, 0], vec![0, 0]));
}

#[test]
fn a_corner_that_may_not_stand_so_is_not_turned_so() {
    let goal = goal();
    let levers = [lever(0.05, 0.0, -9, 9, 0.0)];
    let (a, b) = (reading(0.30, -1.2), reading(0.10, -1.2));
    let wheel = |reading| Wheel {
        reading,
        goal: &goal,
        levers: &levers,
        may_stand: &|_| true,
    };
    // Four steps back are on the aim. None but shorter travels than three may stand.
    let held = Wheel {
        may_stand: &|travels| {
            travels
                .iter()
                .all(|(_, travel)| travel.abs() < Length::mm(3.5))
        },
        ..wheel(&a)
    };
    let left = |held| {
        let plan = plan_axle(held, wheel(&b), &Ties::default()).unwrap();
        plan.map(|plan| plan.left)
    };
    assert_eq!(left(wheel(&a)), Some(vec![-4]));
    assert_eq!(left(held), Some(vec![-3]));
}

#[test]
fn what_cannot_be_planned_is_an_error() {
    let goal = goal();
    let levers = [lever(0.04, 0.0, -9, 9, 0.0)];
    let (read, mut half) = (reading(0.1, -1.2), reading(0.1, -1.2));
    half.camber = None;
    let wheel = |reading| Wheel {
        reading,
        goal: &goal,
        levers: &levers,
        may_stand: &|_| true,
    };
    let plan = |reading, ties: Ties| plan_axle(wheel(&read), wheel(reading), &ties);
    assert_eq!(plan(&half, Ties::default()), Err(PlanError::NoReading));
    for nothing in [0.0, -0.1, f64::NAN] {
        let ties = Ties {
            split: tie(nothing),
            ..Ties::default()
        };
        assert_eq!(plan(&read, ties), Err(PlanError::NoTolerance));
    }
    let broken = [lever(f64::NAN, 0.0, -9, 9, 0.0)];
    let wheels = [
        wheel(&read),
        Wheel {
            levers: &broken,
            ..wheel(&read)
        },
    ];
    assert_eq!(
        plan_axle(wheels[0], wheels[1], &Ties::default()),
        Err(PlanError::NotFinite)
    );
    let many: Vec<Lever> = (0..5).map(|_| lever(0.01, 0.01, -40, 40, 0.0)).collect();
    let crowded = Wheel {
        levers: &many,
        ..wheel(&read)
    };
    assert_eq!(
        plan_axle(crowded, wheel(&read), &Ties::default()),
        Err(PlanError::TooMany)
    );
}

//! The phone as a gauge and the caster swing: phones and wheels turned by rotation matrices, measured as a person would, and read back.

use halfturn::document::{
    Corner, Entry, Job, PhonePair, Sense, Side, SwingRead, Unit, load_job, merge_jobs, save_job,
};
use halfturn::linkage::{Changes, Linkage};
use halfturn::quantity::{Angle, Length};
use halfturn::reading::{
    Estimate, Held, ReadingError, Reversal, Seen, Swing, Tilt, TiltError, Watch, caster_multiplier,
    mean_of, turned_between,
};
use halfturn::station::{
    Check, State, new_round, phone_pair, read, read_and_turn_states, reversal_of,
};
use proptest::prelude::*;

mod common;
#[expect(dead_code, reason = "only the corners are asked for here")]
#[path = "common/corners.rs"]
mod corners;

type Vec3 = [f64; 3];
type Matrix = [Vec3; 3];

fn times(a: Matrix, b: Matrix) -> Matrix {
    std::array::from_fn(|row| {
        std::array::from_fn(|column| (0..3).map(|k| a[row][k] * b[k][column]).sum())
    })
}

fn apply(a: Matrix, v: Vec3) -> Vec3 {
    a.map(|row| row.iter().zip(v).map(|(a, b)| a * b).sum())
}

/// Rotations about x, y and z by the right hand (W3C, *Device Orientation and Motion*, appendix on the rotation matrix).
fn about_x(degrees: f64) -> Matrix {
    let (s, c) = degrees.to_radians().sin_cos();
    [[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]]
}

fn about_y(degrees: f64) -> Matrix {
    let (s, c) = degrees.to_radians().sin_cos();
    [[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]]
}

fn about_z(degrees: f64) -> Matrix {
    let (s, c) = degrees.to_radians().sin_cos();
    [[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]
}

/// A rotation by an angle about any axis (Rodrigues).
fn about(axis: Vec3, degrees: f64) -> Matrix {
    let length = axis.iter().map(|part| part * part).sum::<f64>().sqrt();
    let [x, y, z] = axis.map(|part| part / length);
    let (s, c) = degrees.to_radians().sin_cos();
    let t = 1.0 - c;
    [
        [t * x * x + c, t * x * y - s * z, t * x * z + s * y],
        [t * x * y + s * z, t * y * y + c, t * y * z - s * x],
        [t * x * z - s * y, t * y * z + s * x, t * z * z + c],
    ]
}

/// What a browser reports of a phone whose axes are the columns of the matrix, in the world's east, north and up: Z-X'-Y'' angles in the
/// ranges of the standard, rounded to a step; nothing is rounded by a step of nothing.
fn reported(held: Matrix, step: f64) -> Held {
    // R = Rz(α) Rx(β) Ry(γ): its last row is (−cos β sin γ, sin β, cos β cos γ), its middle column (−sin α cos β, cos α cos β, sin β).
    // Of the two ways to write it, gamma within a right angle is the standard's.
    let up = held[2];
    let level = if up[2] < 0.0 || (up[2] == 0.0 && up[0] > 0.0) {
        -1.0
    } else {
        1.0
    };
    let cosine = level * up[0].hypot(up[2]);
    let beta = up[1].atan2(cosine);
    let gamma = (-up[0] * level).atan2(up[2] * level);
    let alpha = (-held[0][1] * level).atan2(held[1][1] * level);
    let turned = times(
        times(about_z(alpha.to_degrees()), about_x(beta.to_degrees())),
        about_y(gamma.to_degrees()),
    );
    for (row, wanted) in turned.iter().zip(held) {
        for (part, wanted) in row.iter().zip(wanted) {
            assert!((part - wanted).abs() < 1e-9, "{turned:?} {held:?}");
        }
    }
    let round = |radians: f64| {
        let degrees = radians.to_degrees();
        Some(if step > 0.0 {
            (degrees / step).round() * step
        } else {
            degrees
        })
    };
    Held::of_degrees(round(alpha), round(beta), round(gamma)).unwrap()
}

/// A phone along a bar. The car looks north; the bar's top leans to the right by so much, or its left end is higher. The person lays
/// the phone's edge to it, tips the screen by so much out of the upright, holds it off square by so much, and the sensor sits askew in its case by so
/// much in the screen's plane.
#[derive(Clone, Copy, Debug)]
struct Laid {
    lean: f64,
    /// In quarter turns from upright: which edge lies along the bar.
    quarter: i32,
    off_square: f64,
    tipped: f64,
    zero: f64,
}

impl Laid {
    /// The phone's axes in the world, its screen looking backward in A and forward in B.
    fn axes(&self, forward: bool) -> Matrix {
        // Upright with its screen to the south: x to the east, y up, z to the south.
        let upright = about_x(90.0);
        // Clockwise seen from in front of the screen is about −z; the lean is to the other side of a screen that looks forward.
        let side = if forward { -1.0 } else { 1.0 };
        let in_screen = about_z(-(side * self.lean + self.zero + 90.0 * f64::from(self.quarter)));
        let heading = if forward { 180.0 } else { 0.0 } + self.off_square;
        times(
            about_z(heading),
            times(times(about_x(self.tipped), upright), in_screen),
        )
    }

    fn seen(&self, forward: bool, step: f64) -> Result<Seen, TiltError> {
        watched(&[self.axes(forward)], step)
    }

    fn read(&self, step: f64) -> Result<Reversal, TiltError> {
        let (a, b) = (self.seen(false, step)?, self.seen(true, step)?);
        Reversal::of(&a.tilt, &b.tilt, turned_between(a.facing, b.facing))
    }
}

/// A phone brought to where it is held, so that its sensor shows its step, then watched for the time of a reading while it goes through these.
fn watched(held: &[Matrix], step: f64) -> Result<Seen, TiltError> {
    let mut watch = Watch::default();
    for turn in 0..200 {
        let brought = times(held[0], about_z(f64::from(turn) * 0.137 - 27.4));
        watch.told(reported(brought, step));
    }
    watch.again();
    for look in 0..30 {
        watch.told(reported(held[look % held.len()], step));
        watch.look();
    }
    watch.seen()
}

fn degrees(angle: Angle) -> f64 {
    angle.as_degrees()
}

proptest! {
    /// In portrait and in landscape, on any edge, upright or on its head, with any zero: the lean comes back and the zero drops out.
    #[test]
    fn the_lean_comes_back_whichever_edge_is_laid(
        lean in -8.0f64..8.0, quarter in 0..4, zero in -3.0f64..3.0, tipped in -3.0f64..3.0,
    ) {
        let laid = Laid { lean, quarter, zero, tipped, off_square: 0.0 };
        let read = laid.read(0.0).unwrap();
        // Tipping turns about a level line that is not quite square to the edge: of second order in both.
        let second = (tipped.to_radians().powi(2) / 2.0).to_degrees() * (lean.abs() + zero.abs()).to_radians() + 1e-9;
        prop_assert!((degrees(read.lean.value) - lean).abs() < second, "{read:?}");
        prop_assert!((degrees(read.zero.value) - zero).abs() < second, "{read:?}");
    }

    /// A sensor that reports to 0.1°, as the standard has it at its finest: the result lies within the step and its uncertainty says how well.
    #[test]
    fn steps_of_the_sensor_are_in_the_uncertainty(lean in -8.0f64..8.0, quarter in 0..4, zero in -3.0f64..3.0) {
        let laid = Laid { lean, quarter, zero, tipped: 0.0, off_square: 0.0 };
        let (a, read) = (laid.seen(false, 0.1).unwrap(), laid.read(0.1).unwrap());
        prop_assert!((degrees(a.tilt.step) - 0.1).abs() < 1e-6, "{a:?}");
        prop_assert!((degrees(read.lean.value) - lean).abs() < 0.06, "{read:?}");
        let both = 0.1 / 12.0f64.sqrt() / 2.0f64.sqrt();
        let square = 0.015 / 3.0f64.sqrt() * degrees(read.lean.value);
        prop_assert!((degrees(read.lean.uncertainty) - both.hypot(square)).abs() < 1e-6, "{read:?}");
    }

    /// A bar that leans is seen smaller by a phone held off square: within what is allowed for 10°.
    #[test]
    fn a_phone_held_off_square_is_within_what_is_allowed(lean in -5.0f64..5.0, off in -10.0f64..10.0) {
        // The bar itself stands in the plane across the car, and the phone turns about it.
        let bar = Laid { lean, quarter: 0, zero: 0.0, tipped: 0.0, off_square: 0.0 };
        let about_bar = |forward: bool| {
            let axes = bar.axes(forward);
            let along = [axes[0][1], axes[1][1], axes[2][1]];
            watched(&[times(about(along, off), axes)], 0.0).unwrap()
        };
        let (a, b) = (about_bar(false), about_bar(true));
        let read = Reversal::of(&a.tilt, &b.tilt, turned_between(a.facing, b.facing)).unwrap();
        prop_assert!((degrees(read.lean.value) - lean).abs() <= 0.0152 * lean.abs() + 1e-9, "{read:?}");
    }

    /// Whatever an event says, it is a reading or a reason.
    #[test]
    fn no_event_breaks_it(events in prop::collection::vec(prop::array::uniform3(prop::option::of(prop::num::f64::ANY)), 0..60)) {
        let mut watch = Watch::default();
        for [alpha, beta, gamma] in events {
            if let Ok(held) = Held::of_degrees(alpha, beta, gamma) {
                watch.told(held);
            }
            watch.look();
            if let Ok(seen) = watch.seen() {
                prop_assert!(seen.tilt.mean.abs() <= Angle::degrees(20.0));
                let _ = seen.tilt.reading();
            }
        }
    }

    #[test]
    fn what_is_kept_is_read_back(mean in -19.0f64..19.0, other in -1.0f64..1.0, spread in 0.0f64..0.09, step in 0.0f64..0.2) {
        let tilt = |mean: f64| Tilt { mean: Angle::degrees(mean), spread: Angle::degrees(spread), step: Angle::degrees(step.max(1e-9)), looks: 30 };
        let pair = phone_pair(&tilt(mean), &tilt(other - mean), Angle::degrees(171.5));
        let read = reversal_of(&pair).unwrap();
        prop_assert!((degrees(read.lean.value) - (mean - other / 2.0)).abs() < 1e-4);
        prop_assert!(read.lean.uncertainty > Angle::ZERO);
    }
}

/// From lying face up with its top to the north: the standard's own examples of its angles.
#[test]
fn the_standards_examples_are_read_so() {
    let seen = |beta: f64, gamma: f64| {
        let mut watch = Watch::default();
        for nudge in [0.1, 0.0] {
            watch.told(Held::of_degrees(Some(0.0), Some(beta + nudge), Some(gamma)).unwrap());
        }
        watch.look();
        watch.seen()
    };
    // Upright, its top up; then its right side down, and its left.
    for (beta, gamma) in [(90.0, 0.0), (0.0, 90.0), (0.0, -90.0), (-90.0, 0.0)] {
        let tilt = seen(beta, gamma).unwrap().tilt;
        assert!(degrees(tilt.mean).abs() < 1e-9, "{beta} {gamma}: {tilt:?}");
    }
    // Two degrees to either side of them: clockwise is positive.
    assert!((degrees(seen(88.0, 90.0).unwrap().tilt.mean) - 2.0).abs() < 1e-9);
    assert!((degrees(seen(88.0, -90.0).unwrap().tilt.mean) + 2.0).abs() < 1e-9);
    for (beta, gamma) in [(0.0, 0.0), (180.0, 0.0), (45.0, 0.0), (10.0, 60.0)] {
        assert_eq!(seen(beta, gamma), Err(TiltError::Lying), "{beta} {gamma}");
    }
}

const STRAIGHT: Laid = Laid {
    lean: 1.5,
    quarter: 0,
    off_square: 0.0,
    tipped: 0.0,
    zero: 0.4,
};

#[test]
fn bad_input_is_a_reason() {
    assert_eq!(
        Held::of_degrees(None, Some(90.0), Some(0.0)),
        Err(TiltError::Absent)
    );
    for none in [f64::NAN, f64::INFINITY, 361.0] {
        assert_eq!(
            Held::of_degrees(Some(0.0), Some(none), Some(0.0)),
            Err(TiltError::NoAngle)
        );
    }
    // A sensor that never changes.
    let mut watch = Watch::default();
    assert_eq!(watch.seen(), Err(TiltError::Short));
    for _ in 0..40 {
        watch.told(reported(STRAIGHT.axes(false), 0.1));
        watch.look();
    }
    assert_eq!(watch.seen(), Err(TiltError::Frozen));
    // An edge across the bar.
    let across = Laid {
        lean: 30.0,
        ..STRAIGHT
    };
    assert_eq!(across.seen(false, 0.1), Err(TiltError::Askew));
    // A sensor that steps by degrees, or was hardly moved.
    let coarse = STRAIGHT.seen(false, 3.0).unwrap();
    assert_eq!(coarse.tilt.reading(), Err(TiltError::Coarse));
    // A phone that moves.
    let moved = watched(
        &[
            STRAIGHT.axes(false),
            Laid {
                lean: 3.0,
                ..STRAIGHT
            }
            .axes(false),
        ],
        0.1,
    )
    .unwrap();
    assert_eq!(moved.tilt.reading(), Err(TiltError::Moving));
    // Turned in the screen's plane only, or by its own other edge in between.
    let (a, b) = (
        STRAIGHT.seen(false, 0.1).unwrap(),
        STRAIGHT.seen(true, 0.1).unwrap(),
    );
    let same = turned_between(a.facing, a.facing);
    assert_eq!(
        Reversal::of(&a.tilt, &a.tilt, same),
        Err(TiltError::NotTurned)
    );
    let turned = turned_between(a.facing, b.facing);
    let off = Tilt {
        mean: a.tilt.mean + Angle::degrees(12.0),
        ..b.tilt
    };
    assert_eq!(
        Reversal::of(&a.tilt, &off, turned),
        Err(TiltError::OtherEdge)
    );
    let short = Tilt {
        looks: 29,
        ..a.tilt
    };
    assert_eq!(Reversal::of(&short, &b.tilt, turned), Err(TiltError::Short));
    // A phone that passes from upright to its head while it is watched does not read as still.
    let head = Laid {
        quarter: 2,
        ..STRAIGHT
    };
    let flipped = watched(&[STRAIGHT.axes(false), head.axes(false)], 0.1);
    assert!(
        flipped.is_err_and(|error| error == TiltError::Askew)
            || flipped.is_ok_and(|seen| seen.tilt.reading() == Err(TiltError::Moving))
    );
}

/// A recorded-like hand: a slow sway and a flicker of one step. The spread is what the samples' own standard deviation is.
#[test]
fn the_spread_is_the_samples_own() {
    let sway: Vec<_> = (0..30)
        .map(|look| {
            let lean = 1.5 + 0.06 * (f64::from(look) * 0.7).sin();
            Laid { lean, ..STRAIGHT }
        })
        .collect();
    let leans: Vec<_> = sway.iter().map(|laid| laid.lean + 0.4).collect();
    let held: Vec<_> = sway.iter().map(|laid| laid.axes(false)).collect();
    let tilt = watched(&held, 0.0).unwrap().tilt;
    let mean = leans.iter().sum::<f64>() / 30.0;
    let deviation = (leans.iter().map(|lean| (lean - mean).powi(2)).sum::<f64>() / 29.0).sqrt();
    assert!((degrees(tilt.mean) - mean).abs() < 1e-9);
    assert!((degrees(tilt.spread) - deviation).abs() < 1e-9);
    assert_eq!(tilt.reading(), Ok(tilt));
}

/// JCGM 100:2008, Table G.2: Student's factor of three repeats at 68.27 % is 1.32.
#[test]
fn repeats_of_a_reversal_add_what_they_differ_by() {
    let known = |value: f64, uncertainty: f64| {
        Estimate::new(Angle::degrees(value), Angle::degrees(uncertainty))
    };
    let mean = mean_of(&[known(1.0, 0.03), known(1.2, 0.03), known(1.1, 0.03)]).unwrap();
    assert!((degrees(mean.value) - 1.1).abs() < 1e-12);
    let repeats = 1.32 * 0.1 / 3.0f64.sqrt();
    assert!((degrees(mean.uncertainty) - repeats.hypot(0.03)).abs() < 1e-9);
    assert_eq!(mean_of(&[]), None);
    assert_eq!(mean_of(&[known(1.0, 0.03)]), Some(known(1.0, 0.03)));
}

/// A left wheel's spin axis turned about its steering axis until its heading is the steer: its camber.
fn steered(caster: f64, kingpin: f64, camber: f64, steer: f64) -> f64 {
    let axis = [-caster.to_radians().tan(), -kingpin.to_radians().tan(), 1.0];
    let straight = [0.0, camber.to_radians().cos(), -camber.to_radians().sin()];
    let at = |turn: f64| apply(about(axis, turn), straight);
    let heading = |turn: f64| {
        let spin = at(turn);
        (-spin[0]).atan2(spin[1]).to_degrees()
    };
    // Bisected: the heading grows with the turn.
    let (mut low, mut high) = (-60.0, 60.0);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if heading(middle) < steer {
            low = middle;
        } else {
            high = middle;
        }
    }
    -at(low)[2].asin().to_degrees()
}

fn known(degrees: f64) -> Estimate {
    Estimate::new(Angle::degrees(degrees), Angle::ZERO)
}

fn swing(caster: f64, kingpin: f64, camber: f64, steer: f64) -> Swing {
    Swing {
        steer: known(steer),
        outward: known(steered(caster, kingpin, camber, steer)),
        inward: known(steered(caster, kingpin, camber, -steer)),
        straight: Some(known(camber)),
    }
}

proptest! {
    /// The wheel turned about its axis by matrices: caster and kingpin inclination come back exactly.
    #[test]
    fn the_steering_axis_comes_back(caster in -3.0f64..14.0, kingpin in 0.0f64..20.0, camber in -5.0f64..3.0, steer in 8.0f64..30.0) {
        let read = swing(caster, kingpin, camber, steer).axis().unwrap();
        prop_assert!((degrees(read.caster.value) - caster).abs() < 1e-6, "{read:?}");
        prop_assert!((degrees(read.kingpin.unwrap().value) - kingpin).abs() < 1e-6, "{read:?}");
    }

    /// Without straight ahead the kingpin is not known: caster stays within what its ± allows, and the published small-angle
    /// approximation within a tenth of it.
    #[test]
    fn two_readings_and_the_published_approximation_come_near(caster in 1.0f64..10.0, kingpin in 2.0f64..18.0, camber in -3.0f64..1.0) {
        let whole = swing(caster, kingpin, camber, 20.0);
        let read = Swing { straight: None, ..whole }.axis().unwrap();
        prop_assert_eq!(read.kingpin, None);
        let off = (degrees(read.caster.value) - caster).abs();
        prop_assert!(off < 2.0 * degrees(read.caster.uncertainty) + 1e-6, "{off} {read:?}");
        let near = degrees(whole.outward.value - whole.inward.value) * caster_multiplier(Angle::degrees(20.0));
        prop_assert!((near / caster - 1.0).abs() < 0.1, "{near} for {caster}");
    }

    /// JCGM 101:2008, the spread of many trials, here by the derivatives in closed form: `∂τ/∂γ = 1 / (2 sin δ)` and `∂τ/∂δ = τ / tan δ` for small angles.
    #[test]
    fn its_uncertainty_is_the_small_angle_one(caster in 1.0f64..6.0) {
        let mut read = swing(caster, 8.0, -0.5, 20.0);
        read.straight = None;
        let with = |estimate: Estimate, degrees: f64| Estimate::new(estimate.value, Angle::degrees(degrees));
        (read.outward, read.inward, read.steer) = (with(read.outward, 0.05), with(read.inward, 0.05), with(read.steer, 0.3));
        let steer = 20.0f64.to_radians();
        let expected = (0.05 * 2.0f64.sqrt() / (2.0 * steer.sin())).hypot(caster * 0.3f64.to_radians() / steer.tan());
        let got = degrees(read.axis().unwrap().caster.uncertainty);
        prop_assert!((got / expected - 1.0).abs() < 0.05, "{got} {expected}");
    }
}

#[test]
fn a_swing_that_says_nothing_is_a_reason() {
    let small = Swing {
        steer: known(3.0),
        ..swing(5.0, 10.0, -1.0, 20.0)
    };
    assert_eq!(small.axis(), Err(ReadingError::NoSteer));
}

/// Corners solved as linkages: caster and kingpin inclination as they define them come back from a wheel turned about that axis.
#[test]
fn the_linkages_own_steering_axis_comes_back() {
    let mut ran = 0;
    for (name, geometry, _) in corners::corners() {
        let linkage = Linkage::new(&geometry).unwrap();
        let pose = linkage.pose(&Changes::default(), Length::ZERO).unwrap();
        let wheel = linkage.wheel(&pose);
        let Some((caster, kingpin)) = wheel.caster.zip(wheel.kingpin) else {
            continue;
        };
        let read = swing(
            degrees(caster),
            degrees(kingpin),
            degrees(wheel.camber),
            20.0,
        );
        let axis = read.axis().unwrap();
        let off = |read: Estimate, drawn: Angle| degrees(read.value - drawn).abs();
        assert!(off(axis.caster, caster) < 1e-6, "{name}: {axis:?}");
        assert!(
            off(axis.kingpin.unwrap(), kingpin) < 1e-6,
            "{name}: {axis:?}"
        );
        ran += 1;
    }
    assert!(ran > 0, "a corner with a steering axis");
}

fn entry(text: &str, sense: Option<Sense>) -> Entry {
    Entry {
        text: text.into(),
        unit: Unit::Degree,
        sense,
    }
}

/// A pair whose lean to the right is so much.
fn pair(lean: f64) -> PhonePair {
    let laid = Laid { lean, ..STRAIGHT };
    let (a, b) = (
        laid.seen(false, 0.1).unwrap(),
        laid.seen(true, 0.1).unwrap(),
    );
    phone_pair(&a.tilt, &b.tilt, turned_between(a.facing, b.facing))
}

fn front_job() -> Job {
    let mut job = Job::new("1".into(), common::card("front"), 0);
    let round = new_round(&job, 1);
    job.rounds.push(round);
    job
}

#[test]
fn camber_by_phone_has_its_side_and_its_floor() {
    let mut job = front_job();
    let round = job.rounds.last_mut().unwrap();
    round.front.camber_by = halfturn::document::CamberBy::Phone;
    // Both tops lean to the right by 1°: out on the right, in on the left. A floor 0.6° higher on the left leaves 0.4°.
    for side in Side::BOTH {
        round.front.wheel_mut(side).phone = vec![pair(1.0), pair(1.0)];
    }
    let last = job.rounds.len() - 1;
    let cambers = |job: &Job| {
        let axle = read(job, last).unwrap().axles.remove(0);
        [axle.left.camber, axle.right.camber]
            .map(|camber| camber.map(|camber| degrees(camber.value)))
    };
    let [left, right] = cambers(&job).map(Option::unwrap);
    assert!(
        (left + 1.0).abs() < 0.06 && (right - 1.0).abs() < 0.06,
        "{left} {right}"
    );
    job.rounds[last].front.floor_phone = vec![pair(0.6)];
    let [left, right] = cambers(&job).map(Option::unwrap);
    assert!(
        (left + 0.4).abs() < 0.12 && (right - 0.4).abs() < 0.12,
        "{left} {right}"
    );
    // A pair that was spoilt takes the axle's camber away and says where.
    job.rounds[last].front.floor_phone[0].a.step = entry("0", None);
    assert_eq!(cambers(&job), [None, None]);
    let problems = read(&job, last).unwrap().problems;
    assert!(
        problems
            .iter()
            .any(|problem| problem.field == "Floor across the front axle"
                && problem.message.contains("one number only")),
        "{problems:?}"
    );
}

#[test]
fn a_swing_is_read_for_its_own_side() {
    let mut job = front_job();
    let last = job.rounds.len() - 1;
    let whole = swing(6.0, 9.0, -1.0, 20.0);
    let text = |angle: Estimate| entry(&format!("{:+.6}", degrees(angle.value)), None);
    for corner in [Corner::LeftFront, Corner::RightFront] {
        let (left, right) = match corner.side() {
            Side::Left => (whole.outward, whole.inward),
            Side::Right => (whole.inward, whole.outward),
        };
        job.rounds[last].front.wheel_mut(corner.side()).swing = Some(SwingRead {
            steer: entry("20", None),
            left: text(left),
            straight: entry("1", Some(Sense::Minus)),
            right: text(right),
        });
    }
    let axle = read(&job, last).unwrap().axles.remove(0);
    for wheel in [axle.left, axle.right] {
        let axis = wheel.axis.unwrap();
        assert!((degrees(axis.caster.value) - 6.0).abs() < 1e-4, "{axis:?}");
        assert!((degrees(axis.kingpin.unwrap().value) - 9.0).abs() < 1e-3);
        assert!(axis.caster.uncertainty > Angle::degrees(0.05));
    }
    job.rounds[last].front.left.swing.as_mut().unwrap().steer = entry("50", None);
    let result = read(&job, last).unwrap();
    assert_eq!(result.axles[0].left.axis, None);
    assert!(
        result
            .problems
            .iter()
            .any(|problem| problem.field == "Left front, steer each way")
    );
}

/// A verdict stands only on a car that was settled; each check opens again when its value is taken away.
#[test]
fn a_car_that_was_not_settled_has_no_verdict() {
    for card in common::CARDS {
        let mut job = common::whole(card);
        let last = job.rounds.len() - 1;
        let verdicts = |job: &Job| {
            let sheet = halfturn::sheet::sheet(job, &Default::default());
            let open = sheet
                .open
                .iter()
                .any(|item| item.contains("checks before the last reading"));
            let words: Vec<_> = sheet
                .wheels
                .into_iter()
                .map(|wheel| wheel.verdict)
                .collect();
            (words, open)
        };
        assert!(read(&job, last).unwrap().settled());
        assert_eq!(
            verdicts(&job),
            (vec!["inside for certain".to_owned(); 2], false)
        );
        assert_eq!(read_and_turn_states(&job), [State::Done; 2]);
        job.car.pressures.clear();
        assert_eq!(read_and_turn_states(&job), [State::Begun; 2]);
        let result = read(&job, last).unwrap();
        let open: Vec<_> = result
            .checks
            .iter()
            .filter(|row| !row.done())
            .map(|row| row.check)
            .collect();
        assert_eq!(open, [Check::Pressures]);
        assert_eq!(
            verdicts(&job),
            (vec!["not settled: do the checks first".to_owned(); 2], true)
        );
    }
}

/// What a phone and a swing were read as is kept and comes back; two pages that changed one pair never make a third of it.
#[test]
fn pairs_and_swings_are_kept_and_never_mixed() {
    let mut job = front_job();
    let last = job.rounds.len() - 1;
    job.rounds[last].front.floor_phone = vec![pair(0.6)];
    let left = &mut job.rounds[last].front.left;
    left.phone = vec![pair(1.0)];
    left.swing = Some(SwingRead {
        steer: entry("20", None),
        left: entry("+1", None),
        ..SwingRead::default()
    });
    let stored = save_job(&job);
    assert_eq!(load_job(&stored).unwrap(), job);
    let with = |lean: f64, steer: &str| {
        let mut other = job.clone();
        let left = &mut other.rounds[last].front.left;
        left.phone = vec![pair(lean)];
        left.swing.as_mut().unwrap().steer = entry(steer, None);
        other
    };
    let (mine, theirs) = (with(2.0, "15"), with(3.0, "10"));
    let (merged, clashes) = merge_jobs(&stored, &mine, &save_job(&theirs)).unwrap();
    let left = &merged.rounds[last].front.left;
    assert_eq!(left, &mine.rounds[last].front.left);
    assert!(!clashes.is_empty());
    // One side's steer with the other's camber would be another swing.
    let mut theirs = job.clone();
    theirs.rounds[last].front.left.swing.as_mut().unwrap().left = entry("+2", None);
    let (merged, clashes) = merge_jobs(&stored, &mine, &save_job(&theirs)).unwrap();
    assert_eq!(
        merged.rounds[last].front.left.swing,
        mine.rounds[last].front.left.swing
    );
    assert!(!clashes.is_empty());
}

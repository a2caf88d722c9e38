//! Rod ends and half-shafts over travel and steer: against closed forms of plane trigonometry, against the solved cases of `data/linkage-cases.json`, and
//! against a fine sweep on random limits.

#[expect(dead_code, reason = "only the corners are asked for here")]
#[path = "common/corners.rs"]
mod corners;

use approx::assert_abs_diff_eq;
use corners::corners;
use halfturn::linkage::{
    At, AxisEnd, Geometry, JointLimit, Kept, Link, Linkage, Rack, Range, Side, SteeringAxis,
    Vector, Wheel, mirrored, rolling_true,
};
use halfturn::quantity::{Angle, Length, LengthUnit};
use proptest::prelude::*;

/// How long the arms of the drawn parallelogram are, across the car.
const ARM: f64 = 320.0;
/// How far behind the steering axis its tie rod holds the carrier.
const STEERING_ARM: f64 = 110.0;

/// Two level arms of the same size with pivots along the car, a tie rod like them and an upright steering axis: over travel the carrier moves on a circle
/// of the arms' length without turning, and by the rack it turns about the upright.
fn parallelogram() -> Geometry {
    let link = |name: &str, car: [f64; 3], carrier: [f64; 3]| Link {
        name: name.to_owned(),
        car: Vector::mm(car[0], car[1], car[2]),
        carrier: Vector::mm(carrier[0], carrier[1], carrier[2]),
    };
    let out = 360.0 + ARM;
    let [upper, lower] = [450.0, 190.0].map(|z| [0.0, out, z]);
    Geometry {
        side: Side::Left,
        wheel: Wheel {
            centre: Vector::mm(0.0, 740.0, 300.0),
            radius: Length::mm(300.0),
            toe: Angle::ZERO,
            camber: Angle::ZERO,
        },
        links: vec![
            link("Upper front", [140.0, 360.0, 450.0], upper),
            link("Upper rear", [-120.0, 360.0, 450.0], upper),
            link("Lower front", [150.0, 360.0, 190.0], lower),
            link("Lower rear", [-130.0, 360.0, 190.0], lower),
            link(
                "Tie rod",
                [-STEERING_ARM, 360.0, 240.0],
                [-STEERING_ARM, out, 240.0],
            ),
        ],
        strut: None,
        steering_axis: Some(SteeringAxis {
            lower: AxisEnd::Carrier(Vector::mm(0.0, out, 190.0)),
            upper: AxisEnd::Carrier(Vector::mm(0.0, out, 450.0)),
        }),
    }
}

const TIE_ROD: usize = 4;

fn range(droop: f64, bump: f64) -> Range {
    Range {
        droop: Length::mm(droop),
        bump: Length::mm(bump),
        rack: None,
    }
}

fn steered(droop: f64, bump: f64, link: usize, each_way: f64) -> Range {
    Range {
        rack: Some(Rack {
            link,
            each_way: Length::mm(each_way),
        }),
        ..range(droop, bump)
    }
}

fn one(linkage: &Linkage, range: &Range, limit: JointLimit) -> Kept {
    let over = linkage.over(range, &[limit]);
    assert_eq!(over.end, None);
    over.limits.into_iter().next().expect("one was asked")
}

fn rod_end(link: usize, on_carrier: bool, bolt: Vector, degrees: f64) -> JointLimit {
    JointLimit::RodEnd {
        link,
        on_carrier,
        bolt,
        most: Angle::degrees(degrees),
    }
}

/// An arm of length L whose outer end rises by t leans by asin(t / L) on an upright bolt.
#[test]
fn a_level_arm_passes_its_limit_where_its_sine_does() {
    let geometry = parallelogram();
    let linkage = Linkage::new(&geometry).unwrap();
    for on_carrier in [false, true] {
        let limit = rod_end(TIE_ROD, on_carrier, Vector::UP, 9.0);
        let kept = one(&linkage, &range(70.0, 80.0), limit);
        let expected = ARM * 9.0_f64.to_radians().sin();
        assert_eq!(kept.passed.len(), 2);
        for (at, expected) in kept.passed.iter().zip([expected, -expected]) {
            assert_abs_diff_eq!(at.travel.as_mm(), expected, epsilon = 1e-3);
            assert_eq!(at.rack, Length::ZERO);
        }
        assert_abs_diff_eq!(kept.extreme, 80.0 / ARM, epsilon = 1e-12);
        assert_eq!(kept.at.travel, Length::mm(80.0));
        let end = if on_carrier { "carrier" } else { "car" };
        assert_eq!(
            limit.words(&kept, &geometry, LengthUnit::Millimetre),
            format!(
                "Tie rod: the rod end at the {end} passes its 9.00° at 50.1 mm of bump and at 50.1 mm of droop: it leans 14.48° on its ball at 80.0 mm of bump."
            )
        );
        // One that goes no further keeps it.
        let kept = one(&linkage, &range(50.0, 50.0), limit);
        assert_eq!(kept.passed, []);
        assert_abs_diff_eq!(kept.extreme.abs(), 50.0 / ARM, epsilon = 1e-12);
        assert!(
            limit
                .words(&kept, &geometry, LengthUnit::Millimetre)
                .ends_with(
                    "leans 8.99° on its ball at most, at 50.0 mm of bump; 9.00° is the most it may."
                )
        );
    }
}

/// A half-shaft of length W beside level arms of length L is `sqrt(W² + 2 L (1 - cos θ) (L - W))` long where the arms lean by θ: longer where it is shorter
/// than they are, and shorter where it is longer.
#[test]
fn a_half_shaft_beside_level_arms_plunges_as_the_triangle_says() {
    let geometry = parallelogram();
    let linkage = Linkage::new(&geometry).unwrap();
    for (shaft, way) in [(250.0, 1.0), (390.0, -1.0)] {
        let plunge = 1.5 * way;
        let limit = JointLimit::HalfShaft {
            inner: Vector::mm(0.0, 700.0 - shaft, 300.0),
            outer: Vector::mm(0.0, 700.0, 300.0),
            shorter: Length::mm(1.5),
            longer: Length::mm(1.5),
        };
        let kept = one(&linkage, &range(90.0, 90.0), limit);
        let fall = (2.0 * shaft * plunge + plunge * plunge) / (2.0 * ARM * (ARM - shaft));
        let travel = ARM * (1.0 - (1.0 - fall).powi(2)).sqrt();
        assert_eq!(kept.passed.len(), 2);
        assert_abs_diff_eq!(kept.passed[0].travel.as_mm(), travel, epsilon = 1e-3);
        assert_abs_diff_eq!(kept.passed[1].travel.as_mm(), -travel, epsilon = 1e-3);
        let cosine = (1.0 - (90.0_f64 / ARM).powi(2)).sqrt();
        let long = (shaft * shaft + 2.0 * ARM * (1.0 - cosine) * (ARM - shaft)).sqrt();
        assert_abs_diff_eq!(kept.extreme * 1e3, long - shaft, epsilon = 1e-9);
    }
    // As long as the arms it does not plunge at all.
    let limit = JointLimit::HalfShaft {
        inner: Vector::mm(0.0, 380.0, 300.0),
        outer: Vector::mm(0.0, 700.0, 300.0),
        shorter: Length::mm(0.001),
        longer: Length::mm(0.001),
    };
    assert_eq!(one(&linkage, &range(90.0, 90.0), limit).passed, []);
}

/// Seen from above at the drawn height: the steering arm turns about the upright, and the tie rod reaches from its end to the rack's line. For a turn φ
/// both ends are known by plane trigonometry, and so are the rack's shift and how the rod leans on a bolt that turns with the carrier.
#[test]
fn a_steered_rod_end_passes_its_limit_where_the_plane_says() {
    let geometry = parallelogram();
    let linkage = Linkage::new(&geometry).unwrap();
    let by_turn = |degrees: f64| {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        // Along the car and outwards, from the upright axis.
        let end = [-STEERING_ARM * cosine, -STEERING_ARM * sine];
        let across = (ARM * ARM - (end[0] + STEERING_ARM).powi(2)).sqrt();
        let rack = end[1] - across + ARM;
        let rod = [(end[0] + STEERING_ARM) / ARM, across / ARM];
        // A bolt along the car turns with the carrier.
        let lean = rod[0] * cosine + rod[1] * sine;
        (rack, lean.asin().to_degrees())
    };
    let bolt = Vector::new(1.0, 0.0, 0.0);
    for turn in [-24.0, -9.0, 9.0, 24.0] {
        let (rack, lean) = by_turn(turn);
        let limit = rod_end(TIE_ROD, true, bolt, lean.abs());
        let kept = one(&linkage, &steered(0.0, 0.0, TIE_ROD, 60.0), limit);
        let first = kept.passed.iter().find(|at| at.rack.as_mm() * rack > 0.0);
        let first = first.unwrap_or_else(|| panic!("{kept:?} {rack}"));
        assert_abs_diff_eq!(first.rack.as_mm(), rack, epsilon = 5e-3);
        assert_eq!(first.travel, Length::ZERO);
    }
    // An upright bolt leans with travel alone.
    let limit = rod_end(TIE_ROD, false, Vector::UP, 9.0);
    let kept = one(&linkage, &steered(40.0, 49.9, TIE_ROD, 60.0), limit);
    assert_eq!(kept.passed, []);
    let limit = rod_end(TIE_ROD, true, bolt, 20.0);
    let kept = one(&linkage, &steered(0.0, 0.0, TIE_ROD, 60.0), limit);
    let said = limit.words(&kept, &geometry, LengthUnit::Millimetre);
    assert!(
        said.contains("passes its 20.00° at the drawn height with the rack")
            && said.contains("to the left and at the drawn height with the rack"),
        "{said}"
    );
}

/// The same plane tells toe of both wheels by the rack: a steering arm behind the upright, square to the axle, turns the left wheel in where the rack
/// goes out to it.
#[test]
fn toe_of_both_wheels_by_the_rack_is_that_of_the_plane() {
    let geometry = parallelogram();
    let linkage = Linkage::new(&geometry).unwrap();
    // The turn at which the arm's end and the rod fit the rack, found by halving.
    let turn = |rack: f64| {
        let off = |turn: f64| {
            let (sine, cosine) = turn.sin_cos();
            let along = STEERING_ARM * (1.0 - cosine);
            STEERING_ARM * sine + ARM - (ARM * ARM - along * along).sqrt() - rack
        };
        let (mut low, mut high) = (-1.2_f64, 1.2_f64);
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if off(middle) < 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        low.to_degrees()
    };
    let rack = Rack {
        link: TIE_ROD,
        each_way: Length::mm(48.0),
    };
    let steered = linkage.steered(&rack, 6);
    assert_eq!(steered.len(), 7);
    for (shift, both) in steered {
        let [own, across] = both.unwrap().map(Angle::as_degrees);
        assert_abs_diff_eq!(own, turn(shift.as_mm()), epsilon = 1e-9);
        assert_abs_diff_eq!(across, turn(-shift.as_mm()), epsilon = 1e-9);
    }
    // Upright axes meet the ground under their joints.
    let apart = linkage.axes_apart().unwrap();
    assert_abs_diff_eq!(apart.as_mm(), 2.0 * (360.0 + ARM), epsilon = 1e-9);
    // The right corner is the same to its own side.
    let mut right = geometry.clone();
    right.side = Side::Right;
    right.wheel.centre = mirrored(right.wheel.centre);
    for link in &mut right.links {
        (link.car, link.carrier) = (mirrored(link.car), mirrored(link.carrier));
    }
    let right = Linkage::new(&right).unwrap().steered(&rack, 6);
    for ((_, left), (_, right)) in linkage.steered(&rack, 6).iter().zip(&right) {
        let (left, right) = (left.unwrap(), right.unwrap());
        assert_abs_diff_eq!(left[0].as_degrees(), right[0].as_degrees(), epsilon = 1e-9);
    }
    // A rack that goes further than the rods reach says so.
    let far = Rack {
        link: TIE_ROD,
        each_way: Length::mm(400.0),
    };
    assert!(linkage.steered(&far, 4).last().unwrap().1.is_err());
}

/// Both wheels square to lines from one point on the line of the other axle.
#[test]
fn wheels_that_roll_true_turn_about_one_point() {
    let (apart, wheelbase) = (1360.0_f64, 2540.0_f64);
    for radius in [4_000.0_f64, 9_000.0, 60_000.0] {
        let steer = |across: f64| (wheelbase / across).atan();
        let (inner, outer) = (steer(radius - apart / 2.0), steer(radius + apart / 2.0));
        let rolls = rolling_true(
            Angle::radians(outer),
            Length::mm(apart),
            Length::mm(wheelbase),
        );
        assert_abs_diff_eq!(rolls.as_radians(), inner, epsilon = 1e-12);
    }
    let straight = rolling_true(Angle::ZERO, Length::mm(apart), Length::mm(wheelbase));
    assert_eq!(straight, Angle::ZERO);
}

/// The cases' own poses: the carrier's turn and shift as they were solved elsewhere give the same lean and the same plunge.
#[test]
fn solved_poses_lean_and_plunge_alike() {
    let mut compared = 0;
    for (name, geometry, case) in corners() {
        let linkage = Linkage::new(&geometry).unwrap();
        let centre = geometry.wheel.centre;
        for solved in case["travel"].as_array().expect("travel") {
            let number = |name: &str| solved[name].as_f64().expect("a number");
            let [a, b, c] = [0, 1, 2].map(|k| solved["rotvec"][k].as_f64().expect("a number"));
            let turn = Vector::new(a, b, c);
            let angle = turn.length();
            // Rodrigues' formula.
            let turned = |v: Vector| {
                if angle == 0.0 {
                    return v;
                }
                let axis = turn * (1.0 / angle);
                v * angle.cos()
                    + axis.cross(v) * angle.sin()
                    + axis * (axis.dot(v) * (1.0 - angle.cos()))
            };
            let travel = number("travel");
            let moved = Vector::mm(number("wc_dx"), number("wc_dy"), travel);
            let point = |drawn: Vector| centre + moved + turned(drawn - centre);
            let pose = linkage
                .pose(&Default::default(), Length::mm(travel))
                .unwrap();
            for (link, drawn) in geometry.links.iter().enumerate() {
                let along = point(drawn.carrier) - drawn.car;
                let bolt = Vector::new(0.3, 0.2, 0.9);
                for on_carrier in [false, true] {
                    let way = if on_carrier { turned(bolt) } else { bolt };
                    let expected = along.dot(way) / (along.length() * way.length());
                    let got = rod_end(link, on_carrier, bolt, 10.0).value(&linkage, &pose);
                    assert_abs_diff_eq!(got, expected, epsilon = 1e-10);
                    compared += 1;
                }
            }
            let (inner, outer) = (
                Vector::new(centre.x, centre.y * 0.3, centre.z + 0.01),
                centre,
            );
            let shaft = JointLimit::HalfShaft {
                inner,
                outer,
                shorter: Length::mm(1.0),
                longer: Length::mm(1.0),
            };
            let expected = (point(outer) - inner).length() - (outer - inner).length();
            assert_abs_diff_eq!(
                shaft.value(&linkage, &pose) * 1e3,
                expected * 1e3,
                epsilon = 1e-8
            );
            compared += 1;
            // The worst over a range that ends here is no less.
            let over = linkage.over(&range((-travel).max(0.0), travel.max(0.0)), &[shaft]);
            let worst = over.limits[0].extreme.abs();
            assert!(worst * (1.0 + 1e-9) >= expected.abs(), "{name} {travel}");
        }
    }
    assert!(compared > 200, "{compared}");
}

#[test]
fn where_the_linkage_ends_the_range_says_so() {
    let geometry = parallelogram();
    let linkage = Linkage::new(&geometry).unwrap();
    let limit = rod_end(TIE_ROD, false, Vector::UP, 80.0);
    let over = linkage.over(&range(0.0, 400.0), &[limit]);
    let (at, _) = over.end.expect("arms of 320 mm do not rise by 400");
    assert!(
        at.travel > Length::mm(300.0) && at.travel < Length::mm(340.0),
        "{at:?}"
    );
    // What was reached is still told.
    assert!(over.limits[0].extreme > 0.9);
    // A bolt without a direction is never called kept.
    let none = rod_end(TIE_ROD, false, Vector::default(), 80.0);
    let kept = one(&linkage, &range(10.0, 10.0), none);
    assert_eq!(kept.passed.len(), 1);
    assert_eq!(
        none.words(&kept, &geometry, LengthUnit::Millimetre),
        "Tie rod: the rod end at the car: its limit cannot be reckoned."
    );
    let unknown = rod_end(7, false, Vector::UP, 80.0);
    assert_eq!(one(&linkage, &range(10.0, 10.0), unknown).passed.len(), 1);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A fine sweep finds the same: a limit is said to be kept only where every place keeps it, and where it is passed first it is at its bound.
    #[test]
    fn a_fine_sweep_agrees(
        corner in 0_usize..7,
        link in 0_usize..5,
        on_carrier: bool,
        bolt in prop::array::uniform3(-1.0..1.0),
        degrees in 3.0..40.0_f64,
        reach in prop::array::uniform2(5.0..70.0_f64),
        lock in 0.0..50.0_f64,
    ) {
        let (_, geometry, _) = &corners()[corner];
        let link = link % geometry.links.len();
        let bolt = Vector::new(bolt[0], bolt[1], bolt[2]);
        prop_assume!(bolt.length() > 0.1);
        let linkage = Linkage::new(geometry).unwrap();
        let tie = geometry.links.iter().position(|link| link.name == "tie_rod").unwrap_or(0);
        let limit = rod_end(link, on_carrier, bolt, degrees);
        let range = steered(reach[0], reach[1], tie, lock);
        let over = linkage.over(&range, &[limit]);
        let kept = &over.limits[0];
        let [least, most] = limit.bounds();
        let past = |value: f64, slack: f64| value < least - slack || value > most + slack;
        let value_at = |at: &At| {
            let racked = linkage.racked(tie, at.rack);
            let half = linkage.racked(tie, at.rack * 0.5).pose(&Default::default(), Length::ZERO).ok()?;
            let pose = racked.pose_from(&half, &Default::default(), at.travel).ok()?;
            Some(limit.value(&racked, &pose))
        };
        for at in &kept.passed {
            let Some(value) = value_at(at) else { continue };
            let start = *at == At::default();
            let edge = (value.abs() - degrees.to_radians().sin()).abs() < 2e-4;
            prop_assert!(start && past(value, 0.0) || edge || at.rack != Length::ZERO, "{at:?} {value}");
        }
        if over.end.is_none() && kept.passed.is_empty() {
            for step in -40..=40 {
                let share = f64::from(step) / 40.0;
                let travel = Length::mm(share * reach[usize::from(share > 0.0)]);
                for lock_share in [-1.0, -0.77, -0.31, 0.0, 0.13, 0.58, 1.0] {
                    let at = At { travel, rack: Length::mm(lock * lock_share) };
                    let Some(value) = value_at(&at) else { continue };
                    // What may be missed between places.
                    prop_assert!(!past(value, 1.5e-3), "{at:?} {value} {kept:?}");
                }
            }
        }
    }

    /// Whatever is asked is answered.
    #[test]
    fn nothing_panics(
        corner in 0_usize..7,
        link in 0_usize..9,
        numbers in prop::array::uniform7(prop::num::f64::ANY),
    ) {
        let (_, geometry, _) = &corners()[corner];
        let linkage = Linkage::new(geometry).unwrap();
        let [a, b, c, d, e, f, g] = numbers;
        let range = Range {
            droop: Length::metres(a),
            bump: Length::metres(b),
            rack: Some(Rack { link, each_way: Length::metres(c) }),
        };
        let limits = [
            rod_end(link, a > b, Vector::new(d, e, f), g),
            JointLimit::HalfShaft {
                inner: Vector::new(d, e, f),
                outer: Vector::new(g, a, b),
                shorter: Length::metres(d),
                longer: Length::metres(e),
            },
        ];
        let over = linkage.over(&range, &limits);
        for (limit, kept) in limits.iter().zip(&over.limits) {
            prop_assert!(!limit.words(kept, geometry, LengthUnit::Inch).is_empty());
        }
        linkage.ends_of(&range);
    }
}

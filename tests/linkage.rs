//! The linkage against solved cases, closed forms and random geometry.
//!
//! `data/linkage-cases.json` holds seven corners of six layouts, solved independently to the last digits of a double: poses over travel and link
//! lengths, rates, and the lengths that reach a target. All agree here to a billionth of a millimetre and of a degree. Coordinates of instant centres run
//! off to infinity as lines become parallel, so their lines' slopes are compared instead.

#[path = "common/corners.rs"]
mod corners;

use approx::assert_relative_eq;
use corners::{adjusters, corners, place};
use halfturn::linkage::{
    AxisEnd, Geometry, GeometryError, Hardpoints, LAYOUTS, Layout, Link, Linkage, MOST_SPOTS,
    Mover, Pitch, Place, PointError, Pose, PoseError, ReachError, Side, SteeringAxis, Strut,
    Vector, Wheel, WheelPose, mirrored, read_point, write_curves, write_point,
};
use halfturn::quantity::{Angle, Length};
use proptest::prelude::*;
use serde_json::Value;
use std::sync::LazyLock;

/// In millimetres or degrees.
const TOLERANCE: f64 = 1e-9;

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().expect("a list");
    list.iter()
        .map(|number| number.as_f64().expect("a number"))
        .collect()
}

fn number(value: &Value, name: &str) -> f64 {
    value[name]
        .as_f64()
        .unwrap_or_else(|| panic!("{name} in {value}"))
}

/// The corners, each with its name.
static CORNERS: LazyLock<Vec<(String, Geometry, Value)>> = LazyLock::new(corners);

/// Compares, counts, and collects what is off.
#[derive(Default)]
struct Check {
    compared: usize,
    off: Vec<String>,
}

impl Check {
    fn near(&mut self, what: &str, got: f64, expected: &Value) {
        let expected = match expected.as_f64() {
            Some(expected) => expected,
            None if expected.is_null() => return,
            None => panic!("{what}: {expected}"),
        };
        self.compared += 1;
        if got.is_nan() || (got - expected).abs() > TOLERANCE {
            self.off.push(format!("{what}: {got}, expected {expected}"));
        }
    }

    fn near_point(&mut self, what: &str, got: Vector, expected: &Value) {
        for (got, expected) in [got.x, got.y, got.z]
            .into_iter()
            .zip(expected.as_array().expect(what))
        {
            self.near(what, got, expected);
        }
    }

    fn wheel(&mut self, name: &str, linkage: &Linkage, pose: &Pose, expected: &Value) {
        assert!(pose.residual.as_mm() < 1e-10, "{name}: {pose:?}");
        let wheel = linkage.wheel(pose);
        let mm = |v: Vector| v * 1e3;
        let mut angle = |what: &str, got: Option<Angle>| {
            assert_eq!(got.is_some(), !expected[what].is_null(), "{name} {what}");
            if let Some(got) = got {
                self.near(&format!("{name} {what}"), got.as_degrees(), &expected[what]);
            }
        };
        angle("toe_deg", Some(wheel.toe));
        angle("camber_deg", Some(wheel.camber));
        angle("caster_deg", wheel.caster);
        angle("kpi_deg", wheel.kingpin);
        self.near_point(&format!("{name} spin"), wheel.spin, &expected["spin_axis"]);
        self.near_point(
            &format!("{name} contact"),
            mm(wheel.contact),
            &expected["contact"],
        );
        self.near_point(
            &format!("{name} rotation"),
            pose.rotation.vector(),
            &expected["rotvec"],
        );
        let moved = mm(wheel.centre - linkage.drawn().centre);
        self.near(
            &format!("{name} forward"),
            wheel.forward.as_mm(),
            &expected["wc_dx"],
        );
        self.near(&format!("{name} dy"), moved.y, &expected["wc_dy"]);
        self.near(
            &format!("{name} half track"),
            wheel.half_track.as_mm(),
            &expected["half_track_change"],
        );
    }

    fn ride(&mut self, name: &str, linkage: &Linkage, pose: &Pose, expected: &Value) {
        let rate = linkage.rates(pose).expect(name).travel;
        let degrees = |rate: f64| rate.to_degrees() / 1e3;
        let mut near =
            |what: &str, got: f64| self.near(&format!("{name} {what}"), got, &expected[what]);
        near("dtoe_dtravel", degrees(rate.toe));
        near("dcamber_dtravel", degrees(rate.camber));
        near("dcaster_dtravel", degrees(rate.caster.unwrap_or(f64::NAN)));
        near("dkpi_dtravel", degrees(rate.kingpin.unwrap_or(f64::NAN)));
        near("wc_dx_dz", rate.centre.x);
        near("wc_dy_dz", rate.centre.y);
        near("contact_path_dx_dz", rate.contact.x / rate.contact.z);
        near("contact_path_dy_dz", rate.contact.y / rate.contact.z);
        near(
            "contact_fixed_dx_dz",
            rate.contact_of_carrier.x / rate.contact_of_carrier.z,
        );
        near(
            "contact_fixed_dy_dz",
            rate.contact_of_carrier.y / rate.contact_of_carrier.z,
        );
        near("fv_rotation_rad_per_mm", rate.turning.x / 1e3);
        near("sv_rotation_rad_per_mm", rate.turning.y / 1e3);
        // The line from the contact to an instant centre stands square to how the contact of a locked wheel moves.
        let contact = linkage.wheel(pose).contact * 1e3;
        let fixed = rate.contact_of_carrier;
        for (centre, across, moves) in [
            ("fv_ic_yz", contact.y, fixed.y / fixed.z),
            ("sv_ic_xz", contact.x, fixed.x / fixed.z),
        ] {
            let [a, b] = numbers(&expected[centre])[..] else {
                panic!("{centre}")
            };
            let slope = (b - contact.z) / (a - across);
            self.near(&format!("{name} slope {centre}"), -moves, &slope.into());
        }
    }

    fn end(self, least: usize) {
        assert!(
            self.off.is_empty(),
            "{} of {}:\n{}",
            self.off.len(),
            self.compared,
            self.off.join("\n")
        );
        assert!(
            self.compared >= least,
            "only {} were compared",
            self.compared
        );
    }
}

#[test]
fn poses_and_ride_derivatives_over_travel() {
    let mut check = Check::default();
    for (name, geometry, case) in CORNERS.iter() {
        let linkage = Linkage::new(geometry).expect(name);
        let rows = case["travel"].as_array().expect("travel").iter();
        for row in rows.chain([&case["design"]]) {
            let travel = number(row, "travel");
            let pose = linkage
                .pose(&Default::default(), Length::mm(travel))
                .expect(name);
            let name = format!("{name} at {travel}");
            check.wheel(&name, &linkage, &pose, row);
            check.ride(&name, &linkage, &pose, &row["ride"]);
        }
    }
    check.end(7 * 5 * 25);
}

#[test]
fn poses_over_each_link_and_all_at_once() {
    let mut check = Check::default();
    for (name, geometry, case) in CORNERS.iter() {
        let linkage = Linkage::new(geometry).expect(name);
        for row in case["length_change"].as_array().expect("length changes") {
            let (link, delta) = (
                row["link"].as_str().expect("a link"),
                number(row, "delta_mm"),
            );
            let mut changes = [Length::ZERO; 5];
            changes[place(geometry, link)] = Length::mm(delta);
            let pose = linkage.pose(&changes, Length::ZERO).expect(name);
            check.wheel(&format!("{name} {link} {delta}"), &linkage, &pose, row);
        }
        for row in case["multi"].as_array().expect("multi") {
            let mut changes = [Length::ZERO; 5];
            for (link, delta) in row["delta_mm"].as_object().expect("deltas") {
                changes[place(geometry, link)] = Length::mm(delta.as_f64().expect("a number"));
            }
            let pose = linkage
                .pose(&changes, Length::mm(number(row, "travel")))
                .expect(name);
            check.wheel(&format!("{name} all"), &linkage, &pose, row);
        }
    }
    check.end(3000);
}

#[test]
fn rates_by_each_link() {
    let mut check = Check::default();
    for (name, geometry, case) in CORNERS.iter() {
        let linkage = Linkage::new(geometry).expect(name);
        let rates = linkage.rates(&linkage.drawn()).expect(name);
        for (link, expected) in case["length_jacobian_deg_per_mm"]
            .as_object()
            .expect("a Jacobian")
        {
            let rate = &rates.links[place(geometry, link)];
            let mut near = |what: &str, got: Option<f64>| {
                let got = got.map_or(f64::NAN, |got| got.to_degrees() / 1e3);
                check.near(&format!("{name} {link} {what}"), got, &expected[what]);
            };
            near("toe", Some(rate.toe));
            near("camber", Some(rate.camber));
            near("caster", rate.caster);
            near("kpi", rate.kingpin);
        }
    }
    check.end(90);
}

#[test]
fn lengths_that_reach_a_target() {
    let mut check = Check::default();
    for (name, geometry, case) in CORNERS.iter() {
        let linkage = Linkage::new(geometry).expect(name);
        for row in case["inverse"].as_array().expect("inverse") {
            let adjusters = adjusters(geometry, &row["adjusters"]);
            let mut start = [Length::ZERO; 5];
            for (link, delta) in row["start_delta_mm"].as_object().expect("a start") {
                start[place(geometry, link)] = Length::mm(delta.as_f64().unwrap());
            }
            let at = |adjust: [f64; 2]| {
                let mut changes = start;
                for (links, adjust) in adjusters.iter().zip(adjust) {
                    links
                        .iter()
                        .for_each(|link| changes[*link] = changes[*link] + Length::mm(adjust));
                }
                linkage.pose(&changes, Length::ZERO).expect(name)
            };
            let wheel = linkage.wheel(&at([0.0; 2]));
            check.near("start toe", wheel.toe.as_degrees(), &row["start_toe_deg"]);
            check.near(
                "start camber",
                wheel.camber.as_degrees(),
                &row["start_camber_deg"],
            );
            let movers = adjusters.clone().map(Mover::links);
            let goal = ["target_toe_deg", "target_camber_deg"]
                .map(|name| Angle::degrees(number(row, name)));
            let adjust = linkage
                .reach(&start, &movers, goal)
                .expect(name)
                .map(Length::as_mm);
            check.near(&format!("{name} toe"), adjust[0], &row["adjust_mm"]["toe"]);
            check.near(
                &format!("{name} camber"),
                adjust[1],
                &row["adjust_mm"]["camber"],
            );
        }
    }
    check.end(7 * 3 * 4);
}

/// Pivots along x make every section of a double wishbone the same planar four-bar linkage, whose coupler angle has a closed form: the upper joint is
/// where two circles meet.
#[test]
fn a_double_wishbone_with_parallel_pivots_is_a_planar_four_bar() {
    let (inner_low, outer_low) = ([350.0, 180.0], [720.0, 170.0]);
    let (inner_up, outer_up) = ([420.0, 450.0], [690.0, 460.0]);
    let at = |x: f64, [y, z]: [f64; 2]| Vector::mm(x, y, z);
    let link = |name: &str, car: Vector, carrier: Vector| Link {
        name: name.to_owned(),
        car,
        carrier,
    };
    let geometry = Geometry {
        side: Side::Left,
        wheel: Wheel {
            centre: Vector::mm(0.0, 760.0, 300.0),
            radius: Length::mm(300.0),
            toe: Angle::ZERO,
            camber: Angle::ZERO,
        },
        links: vec![
            link("lower front", at(150.0, inner_low), at(0.0, outer_low)),
            link("lower rear", at(-150.0, inner_low), at(0.0, outer_low)),
            link("upper front", at(120.0, inner_up), at(0.0, outer_up)),
            link("upper rear", at(-120.0, inner_up), at(0.0, outer_up)),
            // In the plane through both joints' axes the toe link changes nothing: it is the lower arm moved along x.
            link("toe link", at(-200.0, inner_low), at(-200.0, outer_low)),
        ],
        strut: None,
        steering_axis: None,
    };
    let linkage = Linkage::new(&geometry).unwrap();
    let apart = |[a, b]: [f64; 2], [c, d]: [f64; 2]| (a - c).hypot(b - d);
    let (lower, upper) = (apart(inner_low, outer_low), apart(inner_up, outer_up));
    let coupler = apart(outer_low, outer_up);
    for travel in [-60.0, -25.0, 0.0, 10.0, 45.0, 70.0] {
        let pose = linkage
            .pose(&Default::default(), Length::mm(travel))
            .unwrap();
        // The lower joint as solved, put on its circle; the upper one where its two circles meet.
        let joint = pose.centre + pose.rotation.of(at(0.0, outer_low) - geometry.wheel.centre);
        let low = [joint.y * 1e3, joint.z * 1e3];
        assert!((apart(inner_low, low) - lower).abs() < TOLERANCE);
        let base = apart(low, inner_up);
        let along = (coupler * coupler - upper * upper + base * base) / (2.0 * base);
        let square = (coupler * coupler - along * along).sqrt();
        let way = [(inner_up[0] - low[0]) / base, (inner_up[1] - low[1]) / base];
        let up = [
            low[0] + way[0] * along + way[1] * square,
            low[1] + way[1] * along - way[0] * square,
        ];
        let lean = |low: [f64; 2], up: [f64; 2]| (up[0] - low[0]).atan2(up[1] - low[1]);
        let camber = lean(low, up) - lean(outer_low, outer_up);
        let wheel = linkage.wheel(&pose);
        assert!(
            (wheel.camber.as_degrees() - camber.to_degrees()).abs() < TOLERANCE,
            "at {travel}"
        );
        assert!(wheel.toe.as_degrees().abs() < TOLERANCE);
    }
}

/// Where the lines of a drawn corner's arms meet, in a view: each arm is a line through two points. Coordinates in metres.
fn meet([a, b]: [[f64; 2]; 2], [c, d]: [[f64; 2]; 2]) -> [f64; 2] {
    let way = |p: [f64; 2], q: [f64; 2]| [q[0] - p[0], q[1] - p[1]];
    let (u, v, w) = (way(a, b), way(c, d), way(a, c));
    let t = (w[0] * v[1] - w[1] * v[0]) / (u[0] * v[1] - u[1] * v[0]);
    [a[0] + t * u[0], a[1] + t * u[1]]
}

/// A double wishbone with pivots along x: the front-view instant centre is where the arms' lines meet, by construction on paper.
#[test]
fn the_roll_centre_is_where_the_paper_has_it() {
    let at = |x: f64, y: f64, z: f64| Vector::mm(x, y, z);
    let link = |name: &str, car: Vector, carrier: Vector| Link {
        name: name.to_owned(),
        car,
        carrier,
    };
    let (low, up) = ([[0.35, 0.20], [0.72, 0.17]], [[0.42, 0.43], [0.69, 0.46]]);
    let corner = |toe: [[f64; 2]; 2]| Geometry {
        side: Side::Left,
        wheel: Wheel {
            centre: at(0.0, 760.0, 300.0),
            radius: Length::mm(300.0),
            toe: Angle::ZERO,
            camber: Angle::ZERO,
        },
        links: [("lower", low), ("upper", up)]
            .iter()
            .flat_map(|(name, [car, carrier])| {
                [150.0, -150.0].map(|x| {
                    let point = |[y, z]: [f64; 2], x: f64| Vector::new(x / 1e3, y, z);
                    link(&format!("{name} {x}"), point(*car, x), point(*carrier, 0.0))
                })
            })
            .chain([link(
                "toe link",
                Vector::new(-0.2, toe[0][0], toe[0][1]),
                Vector::new(-0.2, toe[1][0], toe[1][1]),
            )])
            .collect(),
        strut: None,
        steering_axis: None,
    };
    let linkage = Linkage::new(&corner(low)).unwrap();
    let (curve, end) = linkage.sweep(&Default::default(), [Length::ZERO, Length::mm(1.0)], 2);
    assert_eq!(end, None);
    let centre = meet(low, up);
    // From the contact on the ground through the instant centre to the middle of the car.
    let height = 0.760 * centre[1] / (0.760 - centre[0]);
    assert!((curve[0].roll_centre().as_metres() - height).abs() < 1e-9);
    // Pivots along x have no side view: nothing is taken of braking, whatever the wheelbase.
    let pitch = Pitch {
        wheelbase: Length::mm(2500.0),
        gravity: Length::mm(480.0),
        share: 0.65,
        front: true,
        inboard: false,
    };
    assert!(curve[0].anti(&pitch).abs() < 1e-9);
}

/// A trailing arm about a level axis across the car: in the side view the wheel turns about that axis, so the slope is that of the line to it.
#[test]
fn a_trailing_arm_takes_what_its_pivot_says() {
    let pivot = Vector::mm(-2100.0, 0.0, 350.0);
    let at = |y: f64, z: f64, x: f64| Vector::mm(x, y, z);
    // Points of the carrier joined to points of the axis, which hold it to turning about that axis alone.
    let carrier = [
        at(600.0, 300.0, -2550.0),
        at(720.0, 260.0, -2500.0),
        at(650.0, 420.0, -2600.0),
    ];
    let on_axis = |y: f64| Vector::mm(-2100.0, y, 350.0);
    let pairs = [
        (on_axis(300.0), carrier[0]),
        (on_axis(700.0), carrier[0]),
        (on_axis(300.0), carrier[1]),
        (on_axis(800.0), carrier[1]),
        (on_axis(500.0), carrier[2]),
    ];
    let geometry = Geometry {
        side: Side::Left,
        wheel: Wheel {
            centre: Vector::mm(-2500.0, 750.0, 310.0),
            radius: Length::mm(310.0),
            toe: Angle::ZERO,
            camber: Angle::ZERO,
        },
        links: pairs
            .iter()
            .enumerate()
            .map(|(n, (car, carrier))| Link {
                name: format!("link {n}"),
                car: *car,
                carrier: *carrier,
            })
            .collect(),
        strut: None,
        steering_axis: None,
    };
    let linkage = Linkage::new(&geometry).unwrap();
    let (curve, _) = linkage.sweep(
        &Default::default(),
        [Length::mm(-40.0), Length::mm(40.0)],
        5,
    );
    let pitch = |share: f64, inboard: bool| Pitch {
        wheelbase: Length::mm(2500.0),
        gravity: Length::mm(500.0),
        share,
        front: false,
        inboard,
    };
    for place in &curve {
        // The rod lengths hold: the carrier turns about the axis.
        let arm = place.wheel.centre - Vector::new(pivot.x, place.wheel.centre.y, pivot.z);
        assert!((arm.length() - (0.4_f64.hypot(0.04))).abs() < 1e-12);
        let slope = |from: Vector| (pivot.z - from.z) / (pivot.x - from.x);
        let brakes = place.anti(&pitch(0.35, false));
        assert!((brakes - 0.35 * slope(place.wheel.contact) * 5.0).abs() < 1e-9);
        let drive = place.anti(&pitch(1.0, true));
        assert!((drive - slope(place.wheel.centre) * 5.0).abs() < 1e-9);
    }
}

#[test]
fn half_shafts_rod_ends_and_racks() {
    let geometry = &CORNERS[0].1;
    let linkage = Linkage::new(geometry).unwrap();
    let (curve, end) = linkage.sweep(
        &Default::default(),
        [Length::mm(-60.0), Length::mm(60.0)],
        25,
    );
    assert_eq!((curve.len(), end), (25, None));
    let tie = place(geometry, "tie_rod");
    let (car, carrier) = (geometry.links[tie].car, geometry.links[tie].carrier);
    let bolt = Vector::UP;
    let drawn = curve[12];
    for at in &curve {
        // A link is a half-shaft that does not plunge.
        assert!(at.plunge(&linkage, car, carrier).as_mm().abs() < 1e-9);
        let along = linkage.point(&at.pose, carrier) - car;
        let expected = (along.z / along.length()).abs().asin();
        let lean = at.misalignment(&linkage, tie, bolt, false).unwrap();
        assert!((lean.as_radians() - expected).abs() < 1e-12);
    }
    assert!(drawn.travel.as_mm().abs() < 1e-9 && drawn.wheel.toe.as_degrees() - 0.08 < 1e-9);
    assert_eq!(drawn.misalignment(&linkage, 5, bolt, true), None);
    // A rack to the left moves the tie rod's joint out: with the arm behind the axis the wheel toes out on the left.
    let racked = linkage.racked(tie, Length::mm(10.0));
    let steered = racked.wheel(&racked.pose(&Default::default(), Length::ZERO).unwrap());
    let longer = {
        let mut changes = [Length::ZERO; 5];
        changes[tie] = Length::mm(10.0);
        linkage.wheel(&linkage.pose(&changes, Length::ZERO).unwrap())
    };
    // A rack moved out by ten is nearly a tie rod longer by ten.
    assert!(
        (steered.toe - longer.toe).as_degrees().abs() < 0.1,
        "{steered:?} {longer:?}"
    );
    // Out of reach the curve ends and says why.
    let (curve, end) = linkage.sweep(&Default::default(), [Length::ZERO, Length::mm(900.0)], 10);
    assert!(!curve.is_empty() && curve.len() < 10 && end.is_some());
}

fn first() -> Geometry {
    CORNERS[0].1.clone()
}

#[test]
fn what_is_wrong_with_hardpoints_is_said() {
    let good = first();
    assert_eq!(good.problems(), []);
    // Another upper end of the steering axis, from both as drawn.
    let axis = |g: &mut Geometry, upper: fn(Vector, Vector) -> Vector| {
        let axis = g.steering_axis.as_mut().expect("it has one");
        let (AxisEnd::Carrier(low), AxisEnd::Carrier(up)) = (axis.lower, axis.upper) else {
            panic!("both ends are on the carrier")
        };
        axis.upper = AxisEnd::Carrier(upper(low, up));
    };
    let wrong = |change: &dyn Fn(&mut Geometry)| {
        let mut geometry = good.clone();
        change(&mut geometry);
        let problem = geometry.problems().into_iter().next().expect("a problem");
        assert_eq!(Linkage::new(&geometry), Err(problem.clone()));
        problem.to_string()
    };
    for (change, words) in [
        (
            &(|g: &mut Geometry| g.links[2].car = g.links[2].carrier) as &dyn Fn(&mut Geometry),
            "upper_front: both its ends are one point.",
        ),
        (
            &|g: &mut Geometry| g.links[1] = g.links[0].clone(),
            "lower_front and lower_front join the same two points: one of them is listed twice.",
        ),
        (
            &|g: &mut Geometry| drop(g.links.pop()),
            "A wheel carrier is held by five links, or by a strut and three: here are 4 of five.",
        ),
        (
            &|g: &mut Geometry| {
                g.strut = Some(Strut {
                    top: Vector::UP,
                    on_axis: Vector::UP,
                })
            },
            "A wheel carrier is held by five links, or by a strut and three: here are 7 of five.",
        ),
        (
            &|g: &mut Geometry| g.side = Side::Right,
            "The wheel's centre is on the other side of the car: y is positive to the left.",
        ),
        (
            &|g: &mut Geometry| g.wheel.centre.y = 0.0305,
            "The wheel's centre is 30.5 mm from the middle of the car: are these millimetres? Write the unit with every coordinate.",
        ),
        (
            &|g: &mut Geometry| g.wheel.centre.y = 0.15,
            "The wheel's centre is 150.0 mm from the middle of the car: are these millimetres? Write the unit with every coordinate.",
        ),
        (
            &|g: &mut Geometry| g.wheel.radius = Length::mm(12.5),
            "The wheel's radius lies between 150 and 600 mm.",
        ),
        (
            &|g: &mut Geometry| g.links[4].carrier.z = f64::NAN,
            "tie_rod: a coordinate is not a number.",
        ),
        (
            &|g: &mut Geometry| g.wheel.toe = Angle::radians(f64::NAN),
            "Wheel as drawn: Toe of one wheel lies between −6° and 6°.",
        ),
        (
            &|g: &mut Geometry| g.wheel.camber = Angle::degrees(90.0),
            "Wheel as drawn: Camber lies between −12° and 12°.",
        ),
        (
            &|g: &mut Geometry| axis(g, |lower, _| lower),
            "The steering axis's two ends are one point.",
        ),
        (
            &|g: &mut Geometry| axis(g, |_, upper| Vector::new(upper.x, f64::INFINITY, upper.z)),
            "steering axis: a coordinate is not a number.",
        ),
        (
            // Every z downwards: the other way to left-hand coordinates.
            &|g: &mut Geometry| axis(g, |lower, _| lower - Vector::UP * 0.29),
            "The steering axis's upper end is not above its lower one: z is positive upwards.",
        ),
    ] {
        assert_eq!(wrong(change), words);
    }
    let mut strut = CORNERS[2].1.clone();
    strut.strut = strut.strut.map(|strut| Strut {
        on_axis: strut.top,
        ..strut
    });
    let mut downwards = CORNERS[2].1.clone();
    downwards.steering_axis = None;
    downwards.strut = downwards.strut.map(|strut| Strut {
        top: strut.on_axis,
        on_axis: strut.top,
    });
    assert_eq!(downwards.problems()[0], GeometryError::StrutUpsideDown);
    assert_eq!(
        GeometryError::StrutUpsideDown.to_string(),
        "The strut's top is not above the other point of its axis: z is positive upwards."
    );
    let words = "The strut's top and the other point of its axis are one point.";
    assert_eq!(strut.problems(), [GeometryError::NoStrut]);
    assert_eq!(GeometryError::NoStrut.to_string(), words);
    // Mirrored points beside a wheel of the same side, and the wheel alone mirrored.
    for layout in &LAYOUTS {
        let wheel = layout.wheel(Side::Right);
        let geometry = layout.geometry(Side::Left, &layout.example(Side::Right), wheel);
        assert_eq!(geometry.unwrap().problems()[0], GeometryError::OtherSide);
        let points = layout.example(Side::Left);
        let problems = layout.geometry(Side::Right, &points, wheel).unwrap();
        let far = |problem: &GeometryError| matches!(problem, GeometryError::Far { .. });
        assert!(problems.problems().iter().all(far) && !problems.problems().is_empty());
    }
}

#[test]
fn targets_out_of_reach_are_refused() {
    let geometry = first();
    let linkage = Linkage::new(&geometry).unwrap();
    let start = [Length::ZERO; 5];
    let (tie, upper) = (place(&geometry, "tie_rod"), place(&geometry, "upper_front"));
    let goal = |toe: f64, camber: f64| [Angle::degrees(toe), Angle::degrees(camber)];
    let there = linkage
        .reach(
            &start,
            &[Mover::links([tie]), Mover::links([upper])],
            goal(0.3, -2.0),
        )
        .unwrap();
    assert!(there.iter().all(|length| length.abs() < Length::mm(20.0)));
    // The same adjuster twice, or none at all.
    for movers in [
        [vec![tie], vec![tie]],
        [vec![tie], vec![]],
        [vec![9], vec![upper]],
    ] {
        let error = linkage
            .reach(&start, &movers.map(Mover::links), goal(0.3, -2.0))
            .unwrap_err();
        assert_eq!(error, ReachError::Alike);
        assert_eq!(
            error.words(&geometry),
            "The two adjusters do not move toe and camber apart from each other: one moves nothing, or both do the same."
        );
    }
    for (toe, camber) in [(0.0, 80.0), (f64::NAN, 0.0), (170.0, 0.0)] {
        let error = linkage
            .reach(
                &start,
                &[Mover::links([tie]), Mover::links([upper])],
                goal(toe, camber),
            )
            .unwrap_err();
        assert!(
            matches!(error, ReachError::OutOfReach { .. } | ReachError::Pose(_)),
            "{error:?}"
        );
        let words = error.words(&geometry);
        if toe.is_nan() {
            assert_eq!(words, "The wanted toe or camber is not a number.");
        } else {
            assert!(!words.contains("NaN"), "{words}");
        }
    }
    let missed = ReachError::OutOfReach {
        toe: Angle::degrees(-0.3),
        camber: Angle::degrees(1.204),
    };
    assert_eq!(
        missed.words(&geometry),
        "No lengths of these two adjusters give that: toe stays 0.30° off, camber 1.20°."
    );
}

#[test]
fn lengths_that_do_not_go_together_name_the_link_and_the_gap() {
    let geometry = first();
    let linkage = Linkage::new(&geometry).unwrap();
    // Of two legs of an arm one is far too long: the other two sides of that triangle do not reach.
    let arm = ["upper_front", "upper_rear"];
    let mut changes = [Length::ZERO; 5];
    changes[place(&geometry, arm[0])] = Length::mm(900.0);
    let error = linkage.pose(&changes, Length::ZERO).unwrap_err();
    let PoseError::OutOfReach { link, gap } = error else {
        panic!("{error:?}")
    };
    assert!(gap > Length::mm(100.0), "{gap:?}");
    assert!(arm.contains(&&*geometry.links[link].name), "{error:?}");
    let words = format!(
        "These lengths do not go together: {} is off by {:.1} mm.",
        geometry.links[link].name,
        gap.as_mm()
    );
    assert_eq!(error.words(&geometry), words);
    let error = linkage
        .pose(&Default::default(), Length::mm(2000.0))
        .unwrap_err();
    assert!(matches!(error, PoseError::OutOfReach { .. }), "{error:?}");
    // Nor does a gap that rounds to nothing read as none.
    let gap = Length::mm(0.001);
    let words = PoseError::OutOfReach { link: 4, gap }.words(&geometry);
    assert_eq!(
        words,
        "These lengths do not go together: tie_rod is off by less than 0.1 mm."
    );
}

#[test]
fn a_length_or_travel_that_is_no_number_gives_none() {
    let geometry = first();
    let linkage = Linkage::new(&geometry).unwrap();
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for link in 0..5 {
            let mut changes = [Length::ZERO; 5];
            changes[link] = Length::mm(bad);
            let error = linkage.pose(&changes, Length::ZERO).unwrap_err();
            let words = error.words(&geometry);
            assert!(words.ends_with(": its length is not a number."), "{words}");
        }
        let error = linkage
            .pose(&Default::default(), Length::mm(bad))
            .unwrap_err();
        let words = error.words(&geometry);
        assert!(words.ends_with("not a number."), "{words}");
    }
    let mut changes = [Length::ZERO; 5];
    changes[4] = Length::mm(f64::NAN);
    let words = linkage
        .pose(&changes, Length::ZERO)
        .unwrap_err()
        .words(&geometry);
    assert_eq!(words, "tie_rod: its length is not a number.");
}

#[test]
fn links_that_do_not_hold_the_wheel_are_named() {
    // All five links level and along y: nothing holds the wheel in x.
    let mut level = first();
    for (place, link) in level.links.iter_mut().enumerate() {
        let z = 0.15 + 0.05 * place as f64;
        link.car = Vector::new(0.02 * place as f64, 0.35, z);
        link.carrier = Vector::new(0.02 * place as f64, 0.70, z);
    }
    // The toe link in line with a leg of the lower arm, at the same joint: that leg already says it.
    let mut same = first();
    let (leg, tie) = (place(&same, "lower_front"), place(&same, "tie_rod"));
    let Link { car, carrier, .. } = same.links[leg].clone();
    same.links[tie].car = carrier + (car - carrier) * 0.5;
    same.links[tie].carrier = carrier;
    for (geometry, at_fault) in [(&level, None), (&same, Some([leg, tie]))] {
        let linkage = Linkage::new(geometry).unwrap();
        let drawn = linkage.drawn();
        for error in [
            linkage.rates(&drawn).unwrap_err(),
            linkage.pose(&Default::default(), Length::ZERO).unwrap_err(),
            linkage
                .pose_from(&drawn, &Default::default(), Length::mm(0.01))
                .unwrap_err(),
        ] {
            let PoseError::Singular { link } = error else {
                panic!("{error:?}")
            };
            let name = geometry
                .links
                .get(link)
                .map_or("the ride height", |link| &link.name);
            assert!(at_fault.is_none_or(|links| links.contains(&link)), "{name}");
            assert_eq!(
                error.words(geometry),
                format!("The links do not hold the wheel: {name} adds nothing to the others.")
            );
        }
    }
}

prop_compose! {
    fn any_point()(x in -0.5..0.5_f64, y in 0.2..0.9_f64, z in 0.0..0.9_f64) -> Vector {
        Vector::new(x, y, z)
    }
}

prop_compose! {
    fn any_geometry()(
        ends in prop::array::uniform5((any_point(), any_point())),
        strut in prop::option::of((any_point(), any_point())),
        toe in -3.0..3.0_f64,
        camber in -5.0..5.0_f64,
    ) -> Geometry {
        let count = if strut.is_some() { 3 } else { 5 };
        let links = ends.into_iter().take(count).enumerate();
        Geometry {
            side: Side::Left,
            wheel: Wheel {
                centre: Vector::mm(0.0, 760.0, 310.0),
                radius: Length::mm(310.0),
                toe: Angle::degrees(toe),
                camber: Angle::degrees(camber),
            },
            links: links.map(|(index, (car, carrier))| Link { name: format!("link {index}"), car, carrier }).collect(),
            strut: strut.map(|(top, on_axis)| Strut { top, on_axis }),
            steering_axis: None,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    /// Random geometry never panics, and never gives a pose that misses a length by more than is said.
    #[test]
    fn a_pose_keeps_every_length_or_there_is_none(geometry in any_geometry(), changes in prop::array::uniform5(-60.0..60.0_f64), travel in -150.0..150.0_f64) {
        let Ok(linkage) = Linkage::new(&geometry) else { return Ok(()) };
        let changes = changes.map(Length::mm);
        let travel = Length::mm(travel);
        match linkage.pose(&changes, travel) {
            Err(error) => {
                let words = error.words(&geometry);
                prop_assert!(!words.contains("NaN") && !words.contains("a link"), "{words}");
            }
            Ok(pose) => {
                prop_assert!(pose.residual.as_mm() <= 1e-10);
                let now = |point: Vector| pose.centre + pose.rotation.of(point - geometry.wheel.centre);
                for (link, change) in geometry.links.iter().zip(changes) {
                    let drawn = (link.carrier - link.car).length();
                    let length = (now(link.carrier) - link.car).length();
                    prop_assert!((length - drawn - change.as_metres()).abs() < 1e-12);
                }
                if let Some(strut) = &geometry.strut {
                    let axis = pose.rotation.of((strut.top - strut.on_axis).unit());
                    let off = (strut.top - now(strut.on_axis)).cross(axis).length();
                    prop_assert!(off < 1e-12, "{off}");
                }
                prop_assert!((pose.centre.z - geometry.wheel.centre.z - travel.as_metres()).abs() < 1e-12);
                let _ = linkage.rates(&pose);
            }
        }
    }

    /// Lengths for a target give it, or there are none and the reason is said.
    #[test]
    fn a_target_is_reached_or_refused(corner in 0..7_usize, toe in -40.0..40.0_f64, camber in -60.0..60.0_f64) {
        let (_, geometry, case) = &CORNERS[corner];
        let linkage = Linkage::new(geometry).unwrap();
        let [one, other] = adjusters(geometry, &case["inverse"][0]["adjusters"]);
        let goal = [toe, camber].map(Angle::degrees);
        let movers = [&one, &other].map(|links| Mover::links(links.clone()));
        match linkage.reach(&Default::default(), &movers, goal) {
            Err(error) => {
                let words = error.words(geometry);
                prop_assert!(!words.contains("NaN"), "{words}");
            }
            Ok(adjust) => {
                let mut changes = [Length::ZERO; 5];
                for (links, adjust) in [one, other].iter().zip(adjust) {
                    links.iter().for_each(|link| changes[*link] = changes[*link] + adjust);
                }
                // From the drawn pose Newton's method may find another way to assemble such lengths: only near targets are checked.
                if toe.abs() < 3.0 && camber.abs() < 5.0 {
                    let wheel = linkage.wheel(&linkage.pose(&changes, Length::ZERO).unwrap());
                    prop_assert!((wheel.toe - goal[0]).as_degrees().abs() < TOLERANCE);
                    prop_assert!((wheel.camber - goal[1]).as_degrees().abs() < TOLERANCE);
                }
            }
        }
    }

    /// The rates are what small changes of length really do.
    #[test]
    fn rates_are_what_small_changes_do(corner in 0..7_usize, link in 0..5_usize, travel in -30.0..30.0_f64) {
        let (_, geometry, _) = &CORNERS[corner];
        let link = link.min(geometry.links.len() - 1);
        let linkage = Linkage::new(geometry).unwrap();
        let at = |by: f64| {
            let mut changes = [Length::ZERO; 5];
            changes[link] = Length::mm(by);
            let pose = linkage.pose(&changes, Length::mm(travel)).unwrap();
            linkage.wheel(&pose)
        };
        let step = 1e-3;
        let (before, after) = (at(-step), at(step));
        let pose = linkage.pose(&Default::default(), Length::mm(travel)).unwrap();
        let rate = linkage.rates(&pose).unwrap().links[link];
        let slope = |after: Angle, before: Angle| (after - before).as_radians() / (2.0 * step / 1e3);
        prop_assert!((slope(after.toe, before.toe) - rate.toe).abs() < 1e-5 * (1.0 + rate.toe.abs()));
        prop_assert!((slope(after.camber, before.camber) - rate.camber).abs() < 1e-5 * (1.0 + rate.camber.abs()));
        let moved = (after.contact - before.contact) * (1.0 / (2.0 * step / 1e3));
        prop_assert!((moved - rate.contact).length() < 1e-5 * (1.0 + rate.contact.length()));
    }
}

/// The invented corners: solvable, on both sides the same but for the sign of y, and near what a car has.
#[test]
fn every_layout_begins_with_a_corner_that_can_be_solved() {
    for layout in &LAYOUTS {
        assert!(layout.spots.len() <= MOST_SPOTS);
        let corner = |side: Side| {
            let points = layout.example(side);
            assert_eq!(
                layout.geometry(side, &points[1..], layout.wheel(side)),
                None
            );
            let geometry = layout.geometry(side, &points, layout.wheel(side));
            geometry.expect("all points are there")
        };
        let [left, right] = [Side::Left, Side::Right].map(corner);
        assert_eq!(left.problems(), [], "{}", layout.name);
        assert_eq!(right.problems(), [], "{}", layout.name);
        assert_eq!(left.links.len(), layout.hardpoints().links.len());
        let [left, right] = [left, right].map(|geometry| Linkage::new(&geometry).unwrap());
        let reach = Length::mm(60.0);
        let curves = [&left, &right].map(|linkage| linkage.both_ways(reach, reach, 12));
        assert_eq!(curves[0].len(), 25);
        for (place, other) in curves[0].iter().zip(&curves[1]) {
            let (travel, place) = (place.0, place.1.expect("it reaches"));
            let other = other.1.expect("it reaches");
            for (got, same) in [
                (place.wheel.toe, other.wheel.toe),
                (place.wheel.camber, other.wheel.camber),
            ] {
                assert!((got - same).as_degrees().abs() < 1e-9, "at {travel:?}");
                assert!(got.as_degrees().abs() < 5.0, "at {travel:?}: {got:?}");
            }
            let height = |place: &Place| place.roll_centre().as_mm();
            assert!((height(&place) - height(&other)).abs() < 1e-6);
        }
        let place = curves[0][12].1.unwrap();
        assert!(
            (place.wheel.toe - layout.wheel(Side::Left).toe)
                .as_degrees()
                .abs()
                < 1e-9
        );
        assert!(
            place.wheel.contact.z.abs() < 0.005,
            "the wheel stands on the ground"
        );
        assert!((0.0..200.0).contains(&place.roll_centre().as_mm()));
    }
    let arms = |layout: &Layout| layout.hardpoints().arms().collect::<Vec<_>>();
    assert_eq!(arms(&LAYOUTS[0]), [[0, 1], [2, 3]]);
    assert_eq!(arms(&LAYOUTS[1]), [[0, 1]]);
    assert_eq!(arms(&LAYOUTS[2]), [[0; 2]; 0]);
}

#[test]
fn points_are_read_as_drawings_list_them() {
    let point = Vector::mm(-2640.0, 730.0, 190.0);
    for text in [
        "-2640 730 190",
        "  -2640\t730   190 ",
        "\u{2212}2640; 730; 190",
        "-2640, 730, 190",
        "-2640mm 730 mm 190 mm",
        "-2640,0 +730.0 190,00",
        "-2.64m 73cm 190",
    ] {
        let read = read_point(text).expect(text);
        assert!((read - point).length() < 1e-12, "{text}: {read:?}");
    }
    let inches = read_point("-104in 28 3/4\" 7.5\"");
    assert_eq!(inches, Err(PointError::Count { found: 4 }));
    let inches = read_point("-104in 28.75\" 7.5 in").unwrap();
    assert!((inches - Vector::mm(-2641.6, 730.25, 190.5)).length() < 1e-12);
    for (text, reason) in [
        (
            "",
            "Write three numbers in mm: x forward, y to the left, z up.",
        ),
        (
            "730",
            "A point has three numbers, x, y and z, with spaces between: here is 1.",
        ),
        (
            "1 2 3 4",
            "A point has three numbers, x, y and z, with spaces between: here are 4.",
        ),
        (
            "-2640 73o 190",
            "y, the second number, cannot be read: write it as 730, -190.5 or 28.7in.",
        ),
        (
            "-2640 730 --190",
            "z, the third number, cannot be read: write it as 730, -190.5 or 28.7in.",
        ),
        (
            "1 2 nan3",
            "z, the third number, cannot be read: write it as 730, -190.5 or 28.7in.",
        ),
        (
            "26400000 730 190",
            "x, the first number, is more than 10 m: is it in millimetres, with a space after it?",
        ),
    ] {
        assert_eq!(read_point(text).unwrap_err().to_string(), reason, "{text}");
    }
    let thousands = read_point("-2,640 730 190").unwrap_err().to_string();
    assert!(thousands.starts_with("x, the first number: One comma or dot at most"));
}

/// A drawing in inches, typed without a unit, gives no number.
#[test]
fn inches_typed_as_millimetres_are_found() {
    for layout in &LAYOUTS {
        let side = Side::Left;
        let inches: Vec<Vector> = layout
            .example(side)
            .iter()
            .map(|point| *point * (1.0 / 25.4))
            .collect();
        let wheel = layout.wheel(side);
        let all = Wheel {
            centre: wheel.centre * (1.0 / 25.4),
            ..wheel
        };
        let problems = layout.geometry(side, &inches, all).unwrap().problems();
        assert!(matches!(problems[..], [GeometryError::Track { .. }, ..]));
        // And where the wheel alone was in millimetres.
        let problems = layout.geometry(side, &inches, wheel).unwrap().problems();
        let far = |problem: &GeometryError| matches!(problem, GeometryError::Far { .. });
        assert!(problems.iter().any(far), "{problems:?}");
    }
    // One joint of a rear corner.
    let rear = &LAYOUTS[2];
    let mut points = rear.example(Side::Left);
    points[2] = points[2] * (1.0 / 25.4);
    let geometry = rear.geometry(Side::Left, &points, rear.wheel(Side::Left));
    let problems = geometry.unwrap().problems();
    assert_eq!(problems.len(), 1);
    let words = problems[0].to_string();
    assert!(words.starts_with("Upper link, rear is 2"), "{words}");
    assert!(words.ends_with("from joint to joint: is a unit or a digit wrong?"));
}

/// Every line has as many cells as the head, and the cells are the curve's.
#[test]
fn curves_are_written_as_a_table() {
    let layout = &LAYOUTS[0];
    let points = layout.example(Side::Left);
    let geometry = layout
        .geometry(Side::Left, &points, layout.wheel(Side::Left))
        .unwrap();
    let linkage = Linkage::new(&geometry).unwrap();
    let near = linkage.both_ways(Length::mm(60.0), Length::mm(60.0), 12);
    let text = write_curves(&[("as typed", &near)]);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(
        lines[0],
        "travel (mm),toe as typed (deg),camber as typed (deg),half-track change as typed (mm),wheel centre forward as typed (mm),roll centre height as typed (mm)"
    );
    assert_eq!(lines.len(), 26);
    for (line, (travel, place)) in lines[1..].iter().zip(&near) {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        let wheel = place.unwrap().wheel;
        assert!((cells[0] - travel.as_mm()).abs() < 1e-9);
        assert!((cells[1] - wheel.toe.as_degrees()).abs() <= 0.5001e-4);
        assert!((cells[2] - wheel.camber.as_degrees()).abs() <= 0.5001e-4);
        assert!((cells[3] - wheel.half_track.as_mm()).abs() <= 0.5001e-3);
        assert!((cells[4] - wheel.forward.as_mm()).abs() <= 0.5001e-3);
        assert_eq!(cells.len(), 6);
    }
    assert!(lines[1].starts_with("-60,") && lines[25].starts_with("60,"));
    assert!(lines[13].starts_with("0,0.0500,-1.0000,0.000,"));
    // Out of reach the curve says why, and its cells are empty.
    let far = linkage.both_ways(Length::mm(600.0), Length::mm(600.0), 12);
    assert!(far[0].1.is_err() && far[24].1.is_err() && far[12].1.is_ok());
    let text = write_curves(&[("a", &far), ("b", &far)]);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[1], "-600,,,,,,,,,,");
    assert!(lines.iter().all(|line| line.split(',').count() == 11));
    assert_eq!(write_curves(&[]), "travel (mm)\n");
}

proptest! {
    #[test]
    fn a_point_written_is_read_again(x in -9.9..9.9_f64, y in -9.9..9.9_f64, z in -9.9..9.9_f64) {
        let point = Vector::new(x, y, z);
        let read = read_point(&write_point(point)).unwrap();
        for (a, b) in [(read.x, x), (read.y, y), (read.z, z)] {
            prop_assert!((a - b).abs() <= 0.5001e-6, "{a} {b}");
        }
        prop_assert_eq!(mirrored(mirrored(point)), point);
    }

    #[test]
    fn any_text_is_a_point_or_has_a_reason(text in "\\PC*") {
        match read_point(&text) {
            Ok(point) => prop_assert!(point.is_finite()),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }

    #[test]
    fn what_looks_like_a_point_is_one_or_has_a_reason(text in "[-+−0-9., ;/½mincft\"]{0,24}") {
        match read_point(&text) {
            Ok(point) => prop_assert!(point.is_finite() && point.length() < 18.0),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
}

/// The exact rates of whatever an adjuster moves against central differences of the pose, away from where it is drawn.
#[test]
fn rates_of_movers_are_the_slopes_of_poses() {
    let way = Vector::new(0.36, 0.8, 0.48);
    for (name, geometry, _) in CORNERS.iter() {
        let linkage = Linkage::new(geometry).unwrap();
        let mut movers = vec![
            Mover::links([0]),
            Mover::links([1, 2]),
            Mover {
                shifts: vec![0],
                way,
                ..Mover::default()
            },
            Mover {
                shifts: vec![1, 2],
                lengthens: vec![0],
                way,
                ..Mover::default()
            },
        ];
        if geometry.strut.is_some() {
            movers.push(Mover {
                strut_top: true,
                way,
                ..Mover::default()
            });
        }
        let all = |travels: &[f64]| {
            let travels: Vec<_> = travels.iter().map(|by| Length::mm(*by)).collect();
            let set = linkage.set(&movers, &travels);
            let pose = set.pose(&Default::default(), Length::ZERO).expect(name);
            (set, pose)
        };
        let at: Vec<f64> = (0..movers.len()).map(|k| 2.0 - k as f64).collect();
        let (set, pose) = all(&at);
        let rates = set.rates_of(&pose, &movers).unwrap();
        let small = 0.01;
        for (place, rate) in rates.iter().enumerate() {
            let wheel = |by: f64| {
                let mut at = at.clone();
                at[place] += by;
                let (set, pose) = all(&at);
                set.wheel(&pose)
            };
            let (more, less) = (wheel(small), wheel(-small));
            let slope = |of: fn(&WheelPose) -> Angle| {
                (of(&more) - of(&less)).as_radians() / (2.0 * small / 1e3)
            };
            assert_relative_eq!(
                rate.toe,
                slope(|wheel| wheel.toe),
                epsilon = 1e-6,
                max_relative = 1e-6
            );
            assert_relative_eq!(
                rate.camber,
                slope(|wheel| wheel.camber),
                epsilon = 1e-6,
                max_relative = 1e-6
            );
        }
    }
    // What is not there moves nothing.
    let nothing = Mover {
        shifts: vec![7],
        strut_top: true,
        way,
        lengthens: vec![5],
    };
    assert!(!nothing.moves(5, false));
    let linkage = Linkage::new(&first()).unwrap();
    let rates = linkage
        .rates_of(&linkage.drawn(), std::slice::from_ref(&nothing))
        .unwrap();
    assert_eq!((rates[0].toe, rates[0].camber), (0.0, 0.0));
    assert_eq!(linkage.set(&[nothing], &[Length::mm(5.0)]), linkage);
}

/// Any corner's own links ask for points from which the same corner comes, joints that it shares asked once.
#[test]
fn a_corner_asks_for_its_own_points() {
    for (name, geometry, _) in CORNERS.iter() {
        let (asked, points) = Hardpoints::of(geometry);
        assert_eq!(asked.labels.len(), points.len(), "{name}");
        assert!(points.len() <= MOST_SPOTS, "{name}");
        let again = asked.geometry(geometry.side, &points, geometry.wheel);
        assert_eq!(again.as_ref(), Some(geometry), "{name}");
        assert_eq!(
            asked.geometry(geometry.side, &points[1..], geometry.wheel),
            None
        );
        let mut labels = asked.labels.clone();
        labels.sort();
        labels.dedup();
        assert_eq!(labels.len(), asked.labels.len(), "{name}: {labels:?}");
    }
    for layout in &LAYOUTS {
        let points = layout.example(Side::Left);
        let geometry = layout.geometry(Side::Left, &points, layout.wheel(Side::Left));
        let (asked, own) = Hardpoints::of(&geometry.unwrap());
        assert_eq!(own.len(), points.len(), "{}", layout.name);
        assert_eq!(
            asked.arms().collect::<Vec<_>>(),
            layout.hardpoints().arms().collect::<Vec<_>>()
        );
        for (link, (_, car, _)) in layout.hardpoints().links.iter().enumerate() {
            assert_eq!(own[asked.car_joint(link).unwrap()], points[*car]);
        }
    }
    let (asked, _) = Hardpoints::of(&CORNERS[0].1);
    assert_eq!(asked.labels[0], "1 lower_front: at the car");
    assert_eq!(asked.labels[1], "1, 2 meet at the carrier");
    // A steering axis with ends of its own, and two links that meet at the car.
    let mut geometry = LAYOUTS[2]
        .geometry(
            Side::Left,
            &LAYOUTS[2].example(Side::Left),
            LAYOUTS[2].wheel(Side::Left),
        )
        .unwrap();
    geometry.links[1].car = geometry.links[0].car;
    geometry.steering_axis = Some(SteeringAxis {
        lower: AxisEnd::Carrier(Vector::mm(-2540.0, 700.0, 200.0)),
        upper: AxisEnd::Car(Vector::mm(-2550.0, 600.0, 700.0)),
    });
    let (asked, points) = Hardpoints::of(&geometry);
    assert_eq!(points.len(), 11);
    assert_eq!(asked.labels[0], "1, 2 meet at the car");
    assert_eq!(asked.labels[9], "Steering axis: lower end, at the carrier");
    assert_eq!(asked.labels[10], "Steering axis: upper end, at the car");
    assert_eq!(
        asked.geometry(Side::Left, &points, geometry.wheel),
        Some(geometry)
    );
}

/// A strut's top moved takes its end of the steering axis along: caster changes by as much as the drawn line leans, and the same corner drawn with its top
/// there, the wheel free to lean, stands alike.
#[test]
fn a_struts_top_takes_the_steering_axis_along() {
    let layout = &LAYOUTS[1];
    let points = layout.example(Side::Left);
    let geometry = layout
        .geometry(Side::Left, &points, layout.wheel(Side::Left))
        .unwrap();
    let linkage = Linkage::new(&geometry).unwrap();
    let by = Vector::mm(-9.0, -6.0, 0.0);
    let mover = Mover {
        strut_top: true,
        way: by,
        ..Mover::default()
    };
    let moved = linkage.set(&[mover], &[Length::metres(1.0)]);
    let pose = moved.pose(&Default::default(), Length::ZERO).unwrap();
    let wheel = moved.wheel(&pose);
    let low = moved.point(&pose, points[2]);
    let axis = points[5] + by - low;
    assert_relative_eq!(
        wheel.caster.unwrap().as_radians(),
        (-axis.x).atan2(axis.z),
        epsilon = 1e-12
    );
    assert_relative_eq!(
        wheel.kingpin.unwrap().as_radians(),
        (-axis.y).atan2(axis.z),
        epsilon = 1e-12
    );
    // Inwards is top in, backwards is more caster.
    let before = linkage.wheel(&linkage.drawn());
    assert!(wheel.camber < before.camber && wheel.caster > before.caster);
}

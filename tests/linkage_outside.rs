//! The linkage against other solvers and against the literature.

#[path = "common/random.rs"]
mod random;

use halfturn::linkage::{
    Geometry, LAYOUTS, Link, Linkage, Pose, Rate, Rotation, Side, Vector, Wheel,
};
use halfturn::quantity::{Angle, Length};
use random::Random;
use serde::Deserialize;

fn data<T: serde::de::DeserializeOwned>(name: &str) -> T {
    let text = std::fs::read_to_string(format!("tests/data/{name}.json")).expect("it is there");
    serde_json::from_str(&text).expect("it is JSON of this shape")
}

#[derive(Deserialize)]
struct SecondOpinion {
    tolerance: Tolerance,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Tolerance {
    pose: f64,
    rate: f64,
}

/// A corner of a layout, solved: in millimetres and degrees.
#[derive(Deserialize)]
struct Case {
    layout: String,
    side: String,
    points: Vec<[f64; 3]>,
    wheel: Drawn,
    changes: Vec<f64>,
    travel: f64,
    found: Found,
}

#[derive(Deserialize)]
struct Drawn {
    centre: [f64; 3],
    radius: f64,
    toe: f64,
    camber: f64,
}

#[derive(Deserialize)]
struct Found {
    toe: f64,
    camber: f64,
    caster: Option<f64>,
    kingpin: Option<f64>,
    centre: [f64; 3],
    contact: [f64; 3],
    links: Vec<Slopes>,
    travel: Slopes,
}

#[derive(Deserialize)]
struct Slopes {
    toe: f64,
    camber: f64,
    centre: [f64; 3],
    contact: [f64; 3],
}

const fn mm([x, y, z]: [f64; 3]) -> Vector {
    Vector::mm(x, y, z)
}

/// Whether two lists are the same within a tolerance, number by number.
#[track_caller]
fn near<const N: usize>(what: &str, got: [f64; N], expected: [f64; N], tolerance: f64) {
    for (got, expected) in got.into_iter().zip(expected) {
        assert!(
            (got - expected).abs() <= tolerance,
            "{what}: {got}, expected {expected}"
        );
    }
}

const fn parts(vector: Vector) -> [f64; 3] {
    [vector.x, vector.y, vector.z]
}

/// Corners drawn, moved and turned at random, as SciPy's least squares solves them, with rates by differences: `make second-opinion` makes them anew.
#[test]
fn a_general_purpose_solver_finds_the_same() {
    let SecondOpinion { tolerance, cases } = data("second-opinion-linkage");
    assert!(tolerance.pose <= 1e-9 && tolerance.rate <= 1e-8);
    let mut kinds: Vec<(&str, &str)> = Vec::new();
    for case in &cases {
        kinds.push((&case.layout, &case.side));
        let what = format!("{}, {}", case.layout, case.side);
        let layout = LAYOUTS.iter().find(|layout| layout.name == case.layout);
        let points: Vec<Vector> = case.points.iter().copied().map(mm).collect();
        let side = match &*case.side {
            "left" => Side::Left,
            "right" => Side::Right,
            other => panic!("{other}"),
        };
        let wheel = Wheel {
            centre: mm(case.wheel.centre),
            radius: Length::mm(case.wheel.radius),
            toe: Angle::degrees(case.wheel.toe),
            camber: Angle::degrees(case.wheel.camber),
        };
        let geometry = layout.expect(&what).geometry(side, &points, wheel);
        let linkage = Linkage::new(&geometry.expect(&what)).expect(&what);
        let mut changes = [Length::ZERO; 5];
        assert_eq!(case.changes.len(), linkage.links());
        for (change, by) in changes.iter_mut().zip(&case.changes) {
            *change = Length::mm(*by);
        }
        let pose = linkage
            .pose(&changes, Length::mm(case.travel))
            .expect(&what);
        let (wheel, found) = (linkage.wheel(&pose), &case.found);
        let degrees = |angle: Option<Angle>| angle.map_or([0.0], |angle| [angle.as_degrees()]);
        for (angle, expected) in [
            (Some(wheel.toe), Some(found.toe)),
            (Some(wheel.camber), Some(found.camber)),
            (wheel.caster, found.caster),
            (wheel.kingpin, found.kingpin),
        ] {
            assert_eq!(angle.is_some(), expected.is_some(), "{what}");
            near(
                &what,
                degrees(angle),
                [expected.unwrap_or(0.0)],
                tolerance.pose,
            );
        }
        near(
            &what,
            parts(wheel.centre * 1e3),
            found.centre,
            tolerance.pose,
        );
        near(
            &what,
            parts(wheel.contact * 1e3),
            found.contact,
            tolerance.pose,
        );
        let rates = linkage.rates(&pose).expect(&what);
        let slopes = |rate: &Rate, found: &Slopes| {
            let degrees = [rate.toe, rate.camber].map(|rate| rate.to_degrees() / 1e3);
            near(&what, degrees, [found.toe, found.camber], tolerance.rate);
            near(&what, parts(rate.centre), found.centre, tolerance.rate);
            near(&what, parts(rate.contact), found.contact, tolerance.rate);
        };
        assert_eq!(found.links.len(), linkage.links());
        for (rate, found) in rates.links.iter().zip(&found.links) {
            slopes(rate, found);
        }
        slopes(&rates.travel, &found.travel);
    }
    assert_eq!(cases.len(), 24);
    kinds.dedup();
    assert_eq!(kinds.len(), 6, "each layout on both sides: {kinds:?}");
}

/// A platform on six legs.
#[derive(Deserialize)]
struct Platform {
    base: [[f64; 3]; 6],
    platform: [[f64; 3]; 6],
    legs: [f64; 6],
    real_postures: usize,
}

/// A wheel carrier on five links at a ride height is a Stewart-Gough platform but for its sixth leg. With the height sought at which the sixth leg fits,
/// the solver must find what the literature says of Dietmaier's platform: that it can be assembled in forty ways, which is the most that any can.
#[test]
fn a_platform_on_six_legs_has_the_postures_that_the_literature_counts() {
    let Platform {
        base,
        platform,
        legs,
        real_postures,
    } = data("published-linkage");
    // Of a size and at a place that a wheel carrier may have.
    const SIZE: f64 = 0.4;
    let at = |[x, y, z]: [f64; 3]| Vector::new(x, y, z) * SIZE;
    let origin = Vector::new(0.0, 0.75, 0.75);
    let centre = origin + Vector::new(0.1, 0.2, 0.3);
    let geometry = Geometry {
        side: Side::Left,
        wheel: Wheel {
            centre,
            radius: Length::mm(300.0),
            toe: Angle::ZERO,
            camber: Angle::ZERO,
        },
        links: (1..6)
            .map(|leg| Link {
                name: format!("leg {leg}"),
                car: origin + at(base[leg]),
                carrier: centre + at(platform[leg]),
            })
            .collect(),
        strut: None,
        steering_axis: None,
    };
    let linkage = Linkage::new(&geometry).expect("it stands");
    let changes: [Length; 5] = std::array::from_fn(|link| {
        let Link { car, carrier, .. } = &geometry.links[link];
        Length::metres(legs[link + 1] * SIZE - (*carrier - *car).length())
    });
    // The first leg joins the origins of both.
    let (joint, first) = (origin + at(base[0]), legs[0] * SIZE);
    let posture = |start: Pose| -> Option<Pose> {
        let (mut pose, mut height) = (start, start.centre.z);
        for _ in 0..30 {
            pose = linkage
                .pose_from(&pose, &changes, Length::metres(height - centre.z))
                .ok()?;
            let leg = pose.centre - joint;
            let off = leg.length() - first;
            if off.abs() < 1e-13 {
                return Some(pose);
            }
            let rate = linkage.rates(&pose).ok()?.travel.centre;
            let step = -off * leg.length() / leg.dot(rate);
            height += step.clamp(-0.1, 0.1);
        }
        None
    };
    // How far from one that is found: in turns of about so many radians.
    const SPREAD: f64 = 1.0;
    let mut found: Vec<Pose> = Vec::new();
    let mut random = Random::new(0);
    // Half as many find them all, and twenty times as many no more.
    for start in 0..10_000 {
        let mut number = || random.within(1.0);
        let mut any = || Vector::new(number(), number(), number());
        // From anywhere, and in turn from near one that is found: some lie close together.
        let (rotation, way) = match found.get(start / 2 % found.len().max(1)) {
            Some(near) if start % 2 == 1 => (
                near.rotation.then(any() * SPREAD),
                near.centre - joint + any() * (SPREAD * SIZE),
            ),
            _ => (Rotation::NONE.then(any() * 6.0), any()),
        };
        let pose = posture(Pose {
            rotation,
            centre: joint + way.unit() * first,
            residual: Length::ZERO,
            steps: 0,
        });
        let Some(pose) = pose else { continue };
        let same = |other: &Pose| {
            let turned = |axis: Vector| pose.rotation.of(axis) - other.rotation.of(axis);
            let apart = [
                pose.centre - other.centre,
                turned(Vector::UP),
                turned(Vector::new(1.0, 0.0, 0.0)),
            ];
            apart.iter().all(|apart| apart.length() < 1e-6)
        };
        if !found.iter().any(same) {
            found.push(pose);
        }
    }
    assert_eq!(found.len(), real_postures);
}

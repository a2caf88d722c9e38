//! Random corners solved here, as lines of JSON for a general-purpose solver to solve too: `make second-opinion`.
//!
//! A number after it is how many of each layout and side, a second one takes others. Lengths are in millimetres, angles in degrees.

#[path = "../common/random.rs"]
mod random;

use halfturn::linkage::{
    AxisEnd, Geometry, LAYOUTS, Layout, Linkage, PoseError, Rate, Side, SteeringAxis, Vector, Wheel,
};
use halfturn::quantity::{Angle, Length};
use random::Random;
use serde_json::{Value, json};
use std::hint::black_box;
use std::time::Instant;

fn near(point: Vector, random: &mut Random) -> Vector {
    let mut by = || random.within(20.0);
    point + Vector::mm(by(), by(), by())
}

fn mm(point: Vector) -> Value {
    json!([point.x * 1e3, point.y * 1e3, point.z * 1e3])
}

fn drawn(geometry: &Geometry) -> Value {
    let end = |end: AxisEnd| match end {
        AxisEnd::Car(point) => json!({ "on": "car", "point": mm(point) }),
        AxisEnd::Carrier(point) => json!({ "on": "carrier", "point": mm(point) }),
    };
    let axis = geometry.steering_axis;
    json!({
        "links": geometry.links.iter().map(|link| [mm(link.car), mm(link.carrier)]).collect::<Vec<_>>(),
        "strut": geometry.strut.map(|strut| [mm(strut.top), mm(strut.on_axis)]),
        "axis": axis.map(|SteeringAxis { lower, upper }| [end(lower), end(upper)]),
    })
}

fn rate(rate: &Rate) -> Value {
    let degrees = |rate: f64| rate.to_degrees() / 1e3;
    json!({
        "toe": degrees(rate.toe),
        "camber": degrees(rate.camber),
        "centre": [rate.centre.x, rate.centre.y, rate.centre.z],
        "contact": [rate.contact.x, rate.contact.y, rate.contact.z],
    })
}

/// What is found here, and the microseconds that one solve with its rates takes.
fn solved(
    linkage: &Linkage,
    changes: &[Length; 5],
    travel: Length,
) -> Result<(Value, f64), PoseError> {
    const SOLVES: u32 = 200;
    let pose = linkage.pose(changes, travel)?;
    let rates = linkage.rates(&pose)?;
    let wheel = linkage.wheel(&pose);
    let start = Instant::now();
    for _ in 0..SOLVES {
        let pose = linkage.pose(black_box(changes), black_box(travel))?;
        black_box((linkage.wheel(&pose), linkage.rates(&pose)?));
    }
    let micros = start.elapsed().as_secs_f64() * 1e6 / f64::from(SOLVES);
    let found = json!({
        "toe": wheel.toe.as_degrees(),
        "camber": wheel.camber.as_degrees(),
        "caster": wheel.caster.map(Angle::as_degrees),
        "kingpin": wheel.kingpin.map(Angle::as_degrees),
        "centre": mm(wheel.centre),
        "contact": mm(wheel.contact),
        "links": rates.links.iter().take(linkage.links()).map(rate).collect::<Vec<_>>(),
        "travel": rate(&rates.travel),
    });
    Ok((found, micros))
}

fn case(layout: &Layout, side: Side, far: bool, random: &mut Random) -> Value {
    let points: Vec<Vector> = layout
        .example(side)
        .into_iter()
        .map(|point| near(point, random))
        .collect();
    let usual = layout.wheel(side);
    let wheel = Wheel {
        centre: near(usual.centre, random),
        radius: usual.radius + Length::mm(random.within(20.0)),
        toe: Angle::degrees(random.within(0.5)),
        camber: Angle::degrees(random.within(3.0)),
    };
    let geometry = layout
        .geometry(side, &points, wheel)
        .expect("all points are there");
    let (most_change, most_travel) = if far { (120.0, 300.0) } else { (8.0, 60.0) };
    let changes: [Length; 5] = std::array::from_fn(|_| Length::mm(random.within(most_change)));
    let travel = Length::mm(random.within(most_travel));
    let linkage = Linkage::new(&geometry).expect("a corner that stands");
    let ours = solved(&linkage, &changes, travel);
    json!({
        "layout": layout.name,
        "side": if side == Side::Left { "left" } else { "right" },
        "far": far,
        "points": points.into_iter().map(mm).collect::<Vec<_>>(),
        "wheel": {
            "centre": mm(wheel.centre),
            "radius": wheel.radius.as_mm(),
            "toe": wheel.toe.as_degrees(),
            "camber": wheel.camber.as_degrees(),
        },
        "drawn": drawn(&geometry),
        "changes": changes.iter().take(linkage.links()).map(|change| change.as_mm()).collect::<Vec<_>>(),
        "travel": travel.as_mm(),
        "ours": ours.as_ref().ok().map(|(found, _)| found),
        "micros": ours.as_ref().ok().map(|(_, micros)| micros),
        "refused": ours.as_ref().err().map(|error| error.words(&geometry)),
    })
}

fn main() {
    let number = |place: usize, usual: u64| {
        std::env::args()
            .nth(place)
            .map_or(usual, |text| text.parse().expect("a whole number"))
    };
    let mut random = Random::new(number(2, 0));
    for layout in &LAYOUTS {
        for side in [Side::Left, Side::Right] {
            for place in 0..number(1, 50) {
                // Each fifth is asked for what the linkage may not reach.
                println!("{}", case(layout, side, place % 5 == 4, &mut random));
            }
        }
    }
}

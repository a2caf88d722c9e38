//! The solve that is timed: a rear double wishbone with a toe link behind, cold from where it is drawn, 5 mm away, with its rates.

use halfturn::linkage::{AxisEnd, Geometry, Link, Linkage, Side, SteeringAxis, Vector, Wheel};
use halfturn::quantity::{Angle, Length};
use std::hint::black_box;

/// The corner as drawn.
fn corner() -> Geometry {
    let link = |name: &str, car: [f64; 3], carrier: [f64; 3]| {
        let point = |[x, y, z]: [f64; 3]| Vector::mm(x, y, z);
        Link {
            name: name.to_owned(),
            car: point(car),
            carrier: point(carrier),
        }
    };
    let (lower, upper) = ([-2640.0, 730.0, 190.0], [-2655.0, 690.0, 450.0]);
    Geometry {
        side: Side::Left,
        wheel: Wheel {
            centre: Vector::mm(-2650.0, 770.0, 320.0),
            radius: Length::mm(320.0),
            toe: Angle::degrees(0.15),
            camber: Angle::degrees(-1.2),
        },
        links: vec![
            link("lower front", [-2480.0, 340.0, 195.0], lower),
            link("lower rear", [-2700.0, 330.0, 190.0], lower),
            link("upper front", [-2520.0, 420.0, 440.0], upper),
            link("upper rear", [-2700.0, 425.0, 435.0], upper),
            link("toe link", [-2790.0, 350.0, 225.0], [-2795.0, 715.0, 220.0]),
        ],
        strut: None,
        steering_axis: Some(SteeringAxis {
            lower: AxisEnd::Carrier(Vector::mm(-2640.0, 730.0, 190.0)),
            upper: AxisEnd::Carrier(Vector::mm(-2655.0, 690.0, 450.0)),
        }),
    }
}

/// Solves it so many times, once at least, and gives the toe in degrees, by which two builds can be told to have solved the same.
pub fn solves(count: u32) -> f64 {
    let linkage = Linkage::new(&corner()).expect("a corner that stands");
    let mut changes = [Length::ZERO; 5];
    changes[2] = Length::mm(5.0);
    changes[4] = Length::mm(-5.0);
    let mut toe = 0.0;
    for _ in 0..count.max(1) {
        let linkage = black_box(&linkage);
        let pose = linkage
            .pose(black_box(&changes), black_box(Length::mm(5.0)))
            .expect("within reach");
        let rates = linkage.rates(&pose).expect("it holds the wheel");
        let wheel = linkage.wheel(&pose);
        toe = wheel.toe.as_degrees();
        black_box((wheel, rates));
    }
    toe
}

//! `cargo bench`: one solve with its rates from a cold start 5 mm away, on one thread.
//!
//! It prints the median of many batches. Nothing is asserted: machines differ, and a time belongs in no test.

use halfturn::linkage::{AxisEnd, Geometry, Link, Linkage, Side, SteeringAxis, Vector, Wheel};
use halfturn::quantity::{Angle, Length};
use std::hint::black_box;
use std::time::Instant;

/// A rear double wishbone with a toe link behind.
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

fn main() {
    const BATCHES: usize = 400;
    const SOLVES: usize = 200;
    let linkage = Linkage::new(&corner()).expect("a corner that stands");
    let mut changes = [Length::ZERO; 5];
    changes[2] = Length::mm(5.0);
    changes[4] = Length::mm(-5.0);
    let mut steps = 0;
    let mut times: Vec<f64> = (0..BATCHES)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..SOLVES {
                let linkage = black_box(&linkage);
                let pose = linkage
                    .pose(black_box(&changes), Length::mm(5.0))
                    .expect("within reach");
                let rates = linkage.rates(&pose).expect("it holds the wheel");
                steps = pose.steps;
                black_box((linkage.wheel(&pose), rates));
            }
            start.elapsed().as_secs_f64() / SOLVES as f64
        })
        .collect();
    times.sort_by(f64::total_cmp);
    let micro = |share: f64| times[((BATCHES - 1) as f64 * share) as usize] * 1e6;
    println!(
        "one solve with rates, cold, 5 mm away, {steps} steps: median {:.2} µs, tenth {:.2} µs, ninetieth {:.2} µs ({BATCHES} batches of {SOLVES})",
        micro(0.5),
        micro(0.1),
        micro(0.9)
    );
}

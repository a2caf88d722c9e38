//! `cargo bench --bench plan`: the plans of a car from its readings, by how far off it reads and by what is asked of it.
//!
//! It prints the median and the worst of many cars. Nothing is asserted: machines differ, and a time belongs in no test.

#[path = "../common/mod.rs"]
#[allow(dead_code)]
mod common;
#[path = "../common/random.rs"]
mod random;

use common::{CARDS, card, moment, typed};
use halfturn::document::{
    Axle, AxleRound, CamberBy, Entry, Job, KitCard, Sense, ToeBy, Unit, WheelRound,
};
use halfturn::quantity::Angle;
use halfturn::station::{new_round, turn};
use random::Random;
use std::hint::black_box;
use std::time::Instant;

/// What is asked, in shares of the card's own tolerances of toe and camber, and how far off the cars read, in degrees either way.
const STATES: [(&str, f64, f64, f64); 7] = [
    ("the card's tolerances", 1.0, 1.0, 0.5),
    ("the card's, far out of reach", 1.0, 1.0, 15.0),
    ("a hundredth of them", 0.01, 0.01, 0.5),
    ("a hundredth, far out of reach", 0.01, 0.01, 15.0),
    ("a hundred of them, far out of reach", 100.0, 100.0, 15.0),
    (
        "a hundredth of toe's, a hundred of camber's",
        0.01,
        100.0,
        0.5,
    ),
    (
        "a hundred of toe's, a hundredth of camber's",
        100.0,
        0.01,
        0.5,
    ),
];
const CARS: usize = 40;

fn degrees(value: f64) -> Entry {
    let sense = if value < 0.0 {
        Sense::Minus
    } else {
        Sense::Plus
    };
    Entry {
        sense: Some(sense),
        ..typed(&format!("{:.3}", value.abs()), Unit::Degree)
    }
}

/// A card's kit at its base, read once on a fine rack.
fn read(card: &KitCard, by: f64, random: &mut Random) -> Job {
    let mut job = Job::new("1".into(), card.clone(), moment(0));
    let settings = card.adjusters.iter();
    job.settings = settings
        .map(|adjuster| {
            (
                adjuster.id.clone(),
                common::measured(&adjuster.mechanism.base()),
            )
        })
        .collect();
    let mut round = new_round(&job, moment(100));
    round.gauge = typed("0.001", Unit::Degree);
    for axle in [Axle::Rear, Axle::Front] {
        let Some(target) = card.target(axle) else {
            continue;
        };
        let mut off = |aim: Angle| vec![degrees(aim.as_degrees() + random.within(by))];
        let mut wheel = || WheelRound {
            toe: off(target.toe.aim),
            camber: off(target.camber.aim),
            ..WheelRound::default()
        };
        let read = AxleRound {
            toe_by: ToeBy::Rack,
            camber_by: CamberBy::Rack,
            left: wheel(),
            right: wheel(),
            ..AxleRound::default()
        };
        match axle {
            Axle::Rear => round.rear = read,
            Axle::Front => round.front = read,
        }
    }
    job.rounds.push(round);
    job
}

fn main() {
    for name in CARDS {
        for (state, of_toe, of_camber, by) in STATES {
            let mut card = card(name);
            for target in &mut card.targets {
                target.toe.tolerance = target.toe.tolerance * of_toe;
                target.camber.tolerance = target.camber.tolerance * of_camber;
            }
            let mut random = Random::new(7);
            let mut times: Vec<f64> = (0..CARS)
                .map(|_| {
                    let job = read(&card, by, &mut random);
                    let start = Instant::now();
                    black_box(turn(&job, 0));
                    start.elapsed().as_secs_f64() * 1e3
                })
                .collect();
            times.sort_by(f64::total_cmp);
            println!(
                "{name:6} {state:46} median {:8.3} ms, worst {:8.3} ms ({CARS} cars)",
                times[CARS / 2],
                times[CARS - 1]
            );
        }
    }
}

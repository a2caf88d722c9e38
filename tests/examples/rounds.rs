//! How many rounds it takes to set up cars, by what is known of them: `cargo run --profile bench --example rounds`, or quicker with a number of cars of each
//! layout after `--`.

#[path = "../common/corners.rs"]
mod corners;
#[path = "../common/rounds.rs"]
mod rounds;

use halfturn::quantity::Length;
use rounds::{CAP, Car, Drawn, End, Keeps, Knows, Random, Run, Strategy, run};

const EXPLAINED: &str = "\
A round is one crawl under the car in which adjusters are turned, with the readings before it; the readings after the last one, which end it, are no round.
  rounds, readings  of a car on average, to its end
  in 1, in 2        truly inside after so many rounds, in % of all cars
  said 1, said 2    said to be inside for certain after so many
  by read           ended with nothing nearer and inside by reading, not for certain
  unreach           ended with nothing nearer and not inside; of these truly: no whole steps bring this car inside
  truth             cars that truly no whole steps bring inside, of the adjusters that may be turned
  never             not ended after the last round
  right             truly inside, in % of those said to be
  broken            plans said to reach that by their own rates do not: a count";

struct Subject<'a> {
    drawn: &'a Drawn,
    car: Car,
    seed: u64,
    /// Whether two and three adjusters can bring it inside, for the step at hand.
    reachable: (bool, bool),
}

fn main() {
    let cars: u64 = std::env::args()
        .nth(1)
        .map_or(1000, |count| count.parse().expect("a number of cars"));
    let drawn = Drawn::all();
    let mut subjects = Vec::new();
    for (layout, drawn) in drawn.iter().enumerate() {
        for number in 0..cars {
            let seed = ((layout as u64) << 32) | number;
            subjects.push(Subject {
                drawn,
                car: Car::new(drawn, &mut Random::new(seed)),
                seed: seed ^ (1 << 60),
                reachable: (true, true),
            });
        }
    }
    println!(
        "{EXPLAINED}\nat most {CAP} rounds; {cars} cars of each of {} layouts\n",
        drawn.len()
    );
    let plain = Strategy {
        name: "3  exact rates",
        knows: Knows::Drawing,
        third: false,
        midway: false,
        keeps: Keeps::Nothing,
        readings: (2, 8),
    };
    let best = Strategy {
        name: "3+ all ideas",
        midway: true,
        keeps: Keeps::All,
        ..plain
    };
    let strategies = [
        Strategy {
            name: "1  one lever arm a round",
            knows: Knows::OneArm,
            ..plain
        },
        Strategy {
            name: "2  coupled lever arms",
            knows: Knows::Arms,
            ..plain
        },
        plain,
        best,
        Strategy {
            name: "4  exact, third adjuster",
            third: true,
            ..plain
        },
        Strategy {
            name: "4+ all ideas",
            third: true,
            ..best
        },
        Strategy {
            name: "5  the car itself",
            knows: Knows::Car,
            ..best
        },
        Strategy {
            name: "5  and third adjuster",
            knows: Knows::Car,
            third: true,
            ..best
        },
    ];
    for (title, step) in [
        ("continuous", None),
        ("steps of 0.5 mm", Some(Length::mm(0.5))),
        ("steps of 0.75 mm", Some(Length::mm(0.75))),
    ] {
        for subject in &mut subjects {
            subject.reachable = subject.car.reachable(subject.drawn, step);
        }
        table(title, step, &subjects, &strategies);
    }
    let ideas = [
        Strategy {
            name: "one reading a round",
            readings: (1, 1),
            ..plain
        },
        Strategy {
            name: "read again while unsure, to 4",
            readings: (1, 4),
            ..plain
        },
        Strategy {
            name: "read again while unsure, to 8",
            readings: (1, 8),
            ..plain
        },
        Strategy {
            name: "  and predicted fused",
            readings: (1, 8),
            keeps: Keeps::Predicted,
            ..plain
        },
        Strategy {
            name: "  and rates learned",
            readings: (1, 8),
            keeps: Keeps::All,
            ..plain
        },
        Strategy {
            name: "  and rates half way",
            readings: (1, 8),
            ..best
        },
        Strategy {
            name: "  and 2 readings at least",
            ..best
        },
        Strategy {
            name: "  the same, to 4",
            readings: (2, 4),
            ..best
        },
        Strategy {
            name: "  and 3 readings at least",
            readings: (3, 8),
            ..best
        },
    ];
    table(
        "ideas one upon another, exact rates, continuous",
        None,
        &subjects,
        &ideas,
    );
}

fn table(title: &str, step: Option<Length>, subjects: &[Subject], strategies: &[Strategy]) {
    println!(
        "{title:30} rounds readings   in 1   in 2 said 1 said 2 by read unreach truly  truth never  right broken"
    );
    for strategy in strategies {
        let runs: Vec<(Run, bool)> = subjects
            .iter()
            .map(|subject| {
                let mut noise = Random::new(subject.seed);
                let (two, three) = subject.reachable;
                (
                    run(subject.drawn, &subject.car, strategy, step, &mut noise),
                    if strategy.third { three } else { two },
                )
            })
            .collect();
        let count = |which: &dyn Fn(&Run, bool) -> bool| {
            runs.iter()
                .filter(|(run, reachable)| which(run, *reachable))
                .count() as f64
        };
        let share = |which: &dyn Fn(&Run, bool) -> bool| 100.0 * count(which) / runs.len() as f64;
        let mean = |of: fn(&Run) -> usize| {
            runs.iter().map(|(run, _)| of(run)).sum::<usize>() as f64 / runs.len() as f64
        };
        let truly = |run: &Run, after: usize| {
            run.truly
                .get(after)
                .or(run.truly.last())
                .copied()
                .unwrap_or(false)
        };
        let ended = |end: End| share(&|run, _| run.end == end);
        let said = |most: usize| share(&|run, _| run.end == End::Inside && run.rounds <= most);
        let of_said = |which: f64, end: End| 100.0 * which / count(&|run, _| run.end == end);
        println!(
            "{:30} {:6.3} {:8.2} {:6.1} {:6.1} {:6.1} {:6.1} {:7.1} {:7.1} {:5.1} {:6.1} {:5.1} {:6.2} {:6}",
            strategy.name,
            mean(|run| run.rounds),
            mean(|run| run.readings),
            share(&|run, _| truly(run, 1)),
            share(&|run, _| truly(run, 2)),
            said(1),
            said(2),
            ended(End::ByReading),
            ended(End::Unreachable),
            of_said(
                count(&|run, reachable| run.end == End::Unreachable && !reachable),
                End::Unreachable
            ),
            share(&|_, reachable| !reachable),
            ended(End::Never),
            of_said(
                count(&|run, _| run.end == End::Inside && truly(run, CAP)),
                End::Inside
            ),
            runs.iter().map(|(run, _)| run.broken).sum::<usize>(),
        );
    }
    println!();
}

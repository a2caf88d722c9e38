//! How many rounds it takes to set up cars, by what is known of them: `cargo run --profile bench --example rounds`, with a number of cars of each layout to be quicker.

#[path = "../common/corners.rs"]
mod corners;
#[path = "../common/rounds.rs"]
mod rounds;

use halfturn::quantity::Length;
use rounds::{CAP, Car, Drawn, End, Keeps, Knows, Random, Run, Strategy, run};

struct Subject<'a> {
    drawn: &'a Drawn,
    car: Car,
    seed: u64,
}

fn main() {
    let cars = std::env::args()
        .nth(1)
        .map_or(1000, |count| count.parse().expect("a number of cars"));
    let drawn = Drawn::all();
    let mut subjects = Vec::new();
    for (layout, drawn) in drawn.iter().enumerate() {
        for number in 0..cars {
            let seed = (layout as u64) << 32 | number;
            subjects.push(Subject {
                drawn,
                car: Car::new(drawn, &mut Random::new(seed)),
                seed: seed ^ 0x5eed_0000_0000_0000,
            });
        }
    }
    let base = Strategy {
        name: "",
        knows: Knows::Drawing,
        third: false,
        midway: false,
        keeps: Keeps::Nothing,
        readings: (1, 8),
    };
    let named = |name, strategy: Strategy| Strategy { name, ..strategy };
    let ideas = [
        named(
            "exact rates, 1 reading",
            Strategy {
                readings: (1, 1),
                ..base
            },
        ),
        named(
            "exact, 1..4",
            Strategy {
                readings: (1, 4),
                ..base
            },
        ),
        named("exact, 1..8", base),
        named(
            "exact, 2..8",
            Strategy {
                readings: (2, 8),
                ..base
            },
        ),
        named(
            "1..8 predicted",
            Strategy {
                keeps: Keeps::Predicted,
                ..base
            },
        ),
        named(
            "1..8 all kept",
            Strategy {
                keeps: Keeps::All,
                ..base
            },
        ),
        named(
            "1..8 midway",
            Strategy {
                midway: true,
                ..base
            },
        ),
        named(
            "1..8 midway predicted",
            Strategy {
                midway: true,
                keeps: Keeps::Predicted,
                ..base
            },
        ),
        named(
            "1..8 midway all",
            Strategy {
                midway: true,
                keeps: Keeps::All,
                ..base
            },
        ),
        named(
            "1..4 midway all",
            Strategy {
                midway: true,
                keeps: Keeps::All,
                readings: (1, 4),
                ..base
            },
        ),
        named(
            "2..8 midway all",
            Strategy {
                midway: true,
                keeps: Keeps::All,
                readings: (2, 8),
                ..base
            },
        ),
        named(
            "4..8 midway all",
            Strategy {
                midway: true,
                keeps: Keeps::All,
                readings: (4, 8),
                ..base
            },
        ),
        named(
            "4..16 midway all",
            Strategy {
                midway: true,
                keeps: Keeps::All,
                readings: (4, 16),
                ..base
            },
        ),
        named(
            "perfect 1..8 all",
            Strategy {
                knows: Knows::Car,
                keeps: Keeps::All,
                ..base
            },
        ),
        named(
            "one arm 1..8",
            Strategy {
                knows: Knows::OneArm,
                ..base
            },
        ),
        named(
            "arms 1..8",
            Strategy {
                knows: Knows::Arms,
                ..base
            },
        ),
    ];
    table("continuous", None, &subjects, &ideas);
}

fn table(title: &str, step: Option<Length>, subjects: &[Subject], strategies: &[Strategy]) {
    println!("{title}");
    println!(
        "{:24} {:>6} {:>8} {:>6} {:>6} {:>6} {:>6} {:>6} {:>6} {:>6} {:>6} {:>6} {:>6}",
        "",
        "rounds",
        "readings",
        "true0",
        "true1",
        "true2",
        "said1",
        "said2",
        "byread",
        "unreach",
        "never",
        "right",
        "broken"
    );
    for strategy in strategies {
        let runs: Vec<Run> = subjects
            .iter()
            .map(|subject| {
                let mut noise = Random::new(subject.seed);
                run(subject.drawn, &subject.car, strategy, step, &mut noise)
            })
            .collect();
        let all = runs.len() as f64;
        let share =
            |which: &dyn Fn(&&Run) -> bool| 100.0 * runs.iter().filter(which).count() as f64 / all;
        let mean = |of: &dyn Fn(&Run) -> usize| runs.iter().map(of).sum::<usize>() as f64 / all;
        let inside =
            |n: usize| share(&|run| *run.truly.get(n).unwrap_or(run.truly.last().unwrap()));
        let ended = |end: End| share(&|run| run.end == end);
        let said = |n: usize| share(&|run| run.end == End::Inside && run.rounds <= n);
        let right = 100.0
            * runs
                .iter()
                .filter(|run| run.end == End::Inside && *run.truly.last().unwrap())
                .count() as f64
            / runs.iter().filter(|run| run.end == End::Inside).count() as f64;
        println!(
            "{:24} {:6.3} {:8.2} {:6.1} {:6.1} {:6.1} {:6.1} {:6.1} {:6.1} {:6.1} {:6.1} {:6.2} {:6}",
            strategy.name,
            mean(&|run| run.rounds),
            mean(&|run| run.readings),
            inside(0),
            inside(1),
            inside(2),
            said(1),
            said(2),
            ended(End::ByReading),
            ended(End::Unreachable),
            ended(End::Never),
            right,
            runs.iter().map(|run| run.broken).sum::<usize>()
        );
    }
    let _ = CAP;
}

//! How many rounds it takes to set up cars, by what is known of them: `cargo run --profile bench --example rounds`, or quicker with a number of cars of each
//! layout after it. A second number takes other cars.

#[path = "../common/corners.rs"]
mod corners;
#[path = "../common/random.rs"]
mod random;
#[path = "../common/rounds.rs"]
mod rounds;

use halfturn::quantity::Length;
use rounds::{CAP, Car, Drawn, End, Keeps, Knows, Random, Run, Strategy, run};

const EXPLAINED: &str = "\
A round: read, decide, turn. It is one crawl under the car. The readings that end a car after its last turn are no round. A reading is of toe and camber
together; in a round it is read again while the verdict does not tell, and readings of one round cost no crawl. A car ends when it is said to be inside for
certain, twice running, or when no steps that are nearer are found.
  rounds, readings  of a car on average, to its end
  in 1, in 2        truly inside after so many rounds, in % of all cars
  said 1, said 2    said to be inside for certain after so many
  by read           ended with nothing nearer and inside by reading, not for certain
  unreach           ended with nothing nearer and not inside
  truly             of these, no whole steps of the adjusters in use bring the true car inside
  truth             of all cars, no whole steps do
  never             not ended after the last round
  right             truly inside, in % of those said to be inside for certain
  broken            plans said to reach that by their own rates do not: a count";

struct Subject<'a> {
    drawn: &'a Drawn,
    car: Car,
    seed: u64,
    /// Whether two and three adjusters can bring it inside, for the step at hand.
    reachable: (bool, bool),
}

fn main() {
    let number = |place: usize, usual: u64| {
        std::env::args()
            .nth(place)
            .map_or(usual, |text| text.parse().expect("a whole number"))
    };
    let (cars, others) = (number(1, 1000), number(2, 0));
    let drawn = Drawn::all();
    let mut subjects = Vec::new();
    for (layout, drawn) in drawn.iter().enumerate() {
        for number in 0..cars {
            let seed = (others << 40) | ((layout as u64) << 32) | number;
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
        keeps: Keeps::Nothing,
        readings: (2, 8),
        confirm: true,
    };
    let best = Strategy {
        name: "3+ all kept",
        keeps: Keeps::All,
        ..plain
    };
    let named = |name, strategy: Strategy| Strategy { name, ..strategy };
    let with = |name, knows, strategy: Strategy| Strategy {
        name,
        knows,
        ..strategy
    };
    let third = |name, strategy: Strategy| Strategy {
        name,
        third: true,
        ..strategy
    };
    let strategies = [
        with("1  one lever arm a round", Knows::OneArm, plain),
        with("2  coupled lever arms", Knows::Arms, plain),
        plain,
        best,
        third("4  exact rates, a third", plain),
        third("4+ all kept, a third", best),
        with("5  the car itself", Knows::Car, best),
        third("5+ the car itself, a third", with("", Knows::Car, best)),
    ];
    for (title, step) in [
        ("steps of 0.5 mm", Some(Length::mm(0.5))),
        ("steps of 0.75 mm", Some(Length::mm(0.75))),
        ("continuous", None),
    ] {
        each(&mut subjects, |subject| {
            subject.reachable = subject.car.reachable(subject.drawn, step);
        });
        table(title, step, &mut subjects, &strategies);
    }
    let reading = |name, readings, strategy: Strategy| Strategy {
        name,
        readings,
        ..strategy
    };
    let unconfirmed = |strategy: Strategy| Strategy {
        confirm: false,
        ..strategy
    };
    let kept = |name, keeps, strategy: Strategy| Strategy {
        name,
        keeps,
        ..strategy
    };
    let one = unconfirmed(reading("a one reading a round", (1, 1), plain));
    let again = reading("c again while unsure, to 8", (1, 8), one);
    let predicted = kept("d and what should be read", Keeps::Predicted, again);
    let learned = kept("e and what turns tell of rates", Keeps::All, predicted);
    let twice = reading("f and 2 readings at least", (2, 8), learned);
    let ideas = [
        one,
        reading("b again while unsure, to 4", (1, 4), one),
        again,
        predicted,
        learned,
        twice,
        named("g and confirmed (3+ above)", best),
        kept("g without e", Keeps::Predicted, best),
        kept("g without d and e (3 above)", Keeps::Nothing, best),
        reading("g to 4", (2, 4), best),
        reading("g with 3 at least", (3, 8), best),
    ];
    table(
        "ideas, exact rates, continuous",
        None,
        &mut subjects,
        &ideas,
    );
}

/// Does so for every subject, on all the machine's cores.
fn each<'a, T: Send>(
    subjects: &mut [Subject<'a>],
    what: impl Fn(&mut Subject<'a>) -> T + Sync,
) -> Vec<T> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let share = subjects.len().div_ceil(cores).max(1);
    std::thread::scope(|scope| {
        let what = &what;
        let threads: Vec<_> = subjects
            .chunks_mut(share)
            .map(|chunk| scope.spawn(move || chunk.iter_mut().map(what).collect::<Vec<_>>()))
            .collect();
        threads
            .into_iter()
            .flat_map(|thread| thread.join().expect("it ends"))
            .collect()
    })
}

fn table(title: &str, step: Option<Length>, subjects: &mut [Subject], strategies: &[Strategy]) {
    println!(
        "{title:30} rounds readings   in 1   in 2 said 1 said 2 by read unreach truly  truth never  right broken"
    );
    for strategy in strategies {
        let runs = each(subjects, |subject| {
            let mut noise = Random::new(subject.seed);
            let (two, three) = subject.reachable;
            (
                run(subject.drawn, &subject.car, strategy, step, &mut noise),
                if strategy.third { three } else { two },
            )
        });
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
        let of_said = |which: f64, end: End| {
            let all = count(&|run, _| run.end == end);
            if all > 0.0 {
                format!("{:.1}", 100.0 * which / all)
            } else {
                "-".to_owned()
            }
        };
        println!(
            "{:30} {:6.3} {:8.2} {:6.1} {:6.1} {:6.1} {:6.1} {:7.1} {:7.1} {:>5} {:6.1} {:5.1} {:>6} {:6}",
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

//! The plan on a corner's linkage: cars that are not quite as drawn, and what is known of a wheel from one round to the next.

#[path = "common/corners.rs"]
mod corners;
#[path = "common/random.rs"]
mod random;
#[path = "common/rounds.rs"]
mod rounds;

use approx::assert_relative_eq;
use halfturn::linkage::{Linkage, Vector};
use halfturn::plan::{Belief, Rate, Reading, joints, rate_doubts, rates_at, with_joints};
use halfturn::quantity::{Angle, Length};
use halfturn::reading::Estimate;
use proptest::prelude::*;
use rounds::{CAP, Car, Drawn, End, Keeps, Knows, Random, Strategy as Way, run};

const WAY: Way = Way {
    name: "exact rates",
    knows: Knows::Drawing,
    third: false,
    keeps: Keeps::All,
    readings: (2, 8),
    confirm: true,
};

/// A small run of what `tests/examples/rounds.rs` counts at length: the logical bars hold for every car, and the shares are bounded from far off.
#[test]
fn cars_are_set_up_and_no_plan_says_it_reaches_where_it_does_not() {
    let drawn = Drawn::all();
    assert_eq!(drawn.len(), 6);
    let ways = [
        Way {
            name: "one lever arm",
            knows: Knows::OneArm,
            ..WAY
        },
        Way {
            name: "lever arms",
            knows: Knows::Arms,
            keeps: Keeps::Nothing,
            ..WAY
        },
        Way {
            name: "exact rates, predicted",
            keeps: Keeps::Predicted,
            ..WAY
        },
        WAY,
        Way {
            name: "the car itself",
            knows: Knows::Car,
            ..WAY
        },
    ];
    for step in [None, Some(Length::mm(0.75))] {
        let (mut said, mut right, mut ended, mut rounds, mut cars) = (0, 0, 0, 0, 0);
        for (layout, drawn) in (0..).zip(&drawn) {
            for number in 0..3 {
                let car = Car::new(drawn, &mut Random::new(1000 * layout + number));
                for way in &ways {
                    let mut noise = Random::new(77_000 + 1000 * layout + number);
                    let run = run(drawn, &car, way, step, &mut noise);
                    assert_eq!(run.broken, 0, "{}, {layout} {number}", way.name);
                    // A car that stands inside on whole steps is among those that brute force finds.
                    assert!(car.reachable(drawn, step).0 || !run.truly.contains(&true));
                    assert!(run.rounds <= CAP && run.truly.len() == run.rounds + 1);
                    assert!(run.readings > run.rounds);
                    if way.knows == Knows::Drawing && way.keeps == Keeps::All {
                        cars += 1;
                        rounds += run.rounds;
                        ended += usize::from(run.end != End::Never);
                        if run.end == End::Inside {
                            said += 1;
                            right += usize::from(run.truly[run.rounds]);
                        }
                    }
                }
            }
        }
        assert_eq!((cars, ended), (18, 18));
        assert!(right >= said - 1, "{right} of {said}");
        if step.is_none() {
            assert_eq!(said, cars);
            assert!(rounds < 2 * cars, "{rounds} for {cars}");
        }
    }
}

/// What a third adjuster says it reaches, it reaches by its rates, and it reaches where two do not.
#[test]
fn a_third_adjuster_opens_what_two_do_not_reach() {
    let drawn = Drawn::all();
    let third = Way { third: true, ..WAY };
    let step = Some(Length::mm(2.0));
    let (mut closed, mut opened) = (0, 0);
    for drawn in &drawn {
        for number in 0..2 {
            let car = Car::new(drawn, &mut Random::new(number));
            let go = |way| run(drawn, &car, way, step, &mut Random::new(9_000 + number));
            let (two, three) = (go(&WAY), go(&third));
            let (by_two, by_three) = car.reachable(drawn, step);
            assert!(by_three || !by_two);
            assert!(by_three || !three.truly.contains(&true));
            assert_eq!((two.broken, three.broken), (0, 0));
            closed += usize::from(two.end == End::Unreachable);
            opened += usize::from(two.end == End::Unreachable && three.end != End::Unreachable);
        }
    }
    assert!(closed > 0 && opened > 0, "{opened} of {closed}");
}

fn estimate(degrees: f64, uncertainty: f64) -> Estimate {
    Estimate::new(Angle::degrees(degrees), Angle::degrees(uncertainty))
}

fn none(adjusters: usize) -> Vec<Vec<f64>> {
    vec![vec![0.0; 2 * adjusters]; 2 * adjusters]
}

fn same(got: Option<Estimate>, expected: Estimate) {
    let got = got.unwrap();
    assert_relative_eq!(
        got.value.as_radians(),
        expected.value.as_radians(),
        epsilon = 1e-12
    );
    assert_relative_eq!(
        got.uncertainty.as_radians(),
        expected.uncertainty.as_radians(),
        epsilon = 1e-12
    );
}

proptest! {
    /// Rates known exactly: prediction and reading are weighed by their certainty, `x = (x₁/u₁² + x₂/u₂²)/(1/u₁² + 1/u₂²)` with
    /// `1/u² = 1/u₁² + 1/u₂²` (the weighted mean of least squares, from memory).
    #[test]
    fn a_prediction_and_a_reading_are_weighed(a in -1.0..1.0, b in -1.0..1.0, u in 0.001..0.1, v in 0.001..0.1, by in -5.0..5.0, rate in -8.0..8.0) {
        let mut belief = Belief::new(estimate(a, u), estimate(b, v), &none(1));
        let rates = [Rate { toe: rate, camber: -rate }];
        belief.turn(&rates, &[Length::mm(by)]);
        let moved = (rate * by / 1e3).to_degrees();
        same(belief.reading().toe, estimate(a + moved, u));
        belief.read(&Reading { toe: Some(estimate(b, v)), camber: None });
        let weight = 1.0 / (u * u) + 1.0 / (v * v);
        same(belief.reading().toe, estimate(((a + moved) / (u * u) + b / (v * v)) / weight, (1.0 / weight).sqrt()));
        // Camber was not read again.
        same(belief.reading().camber, estimate(b - moved, v));
        prop_assert_eq!(belief.rates(&rates), rates.to_vec());
    }

    /// One reading, one turn, one reading: what is then believed is what least squares over all of them says. Its normal equations in toe and rate are
    /// solved here directly.
    #[test]
    fn a_turn_tells_of_its_rate(first in -1.0..1.0, second in -1.0..1.0, by in 0.5..20.0, rate in 2.0..9.0, doubt in 0.05..0.5, u in 0.005..0.05) {
        let (first, second, u, d) = (f64::to_radians(first), f64::to_radians(second), f64::to_radians(u), by / 1e3);
        let read = |value| Estimate::new(Angle::radians(value), Angle::radians(u));
        let mut doubts = none(1);
        doubts[0][0] = doubt * doubt;
        let rates = [Rate { toe: rate, camber: 0.0 }];
        let mut belief = Belief::new(read(first), read(0.0), &doubts);
        belief.turn(&rates, &[Length::metres(d)]);
        // Before it is read: the squares of reading and rate add.
        let predicted = belief.reading().toe.unwrap();
        assert_relative_eq!(predicted.uncertainty.as_radians(), u.hypot(doubt * d), max_relative = 1e-9);
        belief.read(&Reading { toe: Some(read(second)), camber: None });
        // Unknown: toe before, and rate. Each row is (of toe, of rate, value, uncertainty).
        type Row = (f64, f64, f64, f64);
        let rows: [Row; 3] = [(1.0, 0.0, first, u), (0.0, 1.0, rate, doubt), (1.0, d, second, u)];
        let sum = |of: fn(&Row) -> f64| rows.iter().map(|row| of(row) / (row.3 * row.3)).sum::<f64>();
        let (a, b, c) = (sum(|r| r.0 * r.0), sum(|r| r.0 * r.1), sum(|r| r.1 * r.1));
        let (x, y) = (sum(|r| r.0 * r.2), sum(|r| r.1 * r.2));
        let determinant = a * c - b * b;
        let (toe, best) = ((c * x - b * y) / determinant, (a * y - b * x) / determinant);
        assert_relative_eq!(belief.rates(&rates)[0].toe, best, max_relative = 1e-6);
        let now = belief.reading().toe.unwrap();
        assert_relative_eq!(now.value.as_radians(), toe + best * d, epsilon = 1e-8);
        let variance = (c - 2.0 * b * d + a * d * d) / determinant;
        assert_relative_eq!(now.uncertainty.as_radians(), variance.sqrt(), max_relative = 1e-6);
        prop_assert!(now.uncertainty <= predicted.uncertainty);
    }
}

#[test]
fn what_is_known_exactly_learns_nothing_and_odd_numbers_do_not_panic() {
    let mut belief = Belief::new(estimate(0.3, 0.0), estimate(-1.0, 0.0), &none(2));
    belief.read(&Reading {
        toe: Some(estimate(5.0, 0.0)),
        camber: Some(estimate(5.0, 0.0)),
    });
    same(belief.reading().toe, estimate(0.3, 0.0));
    belief.read(&Reading {
        toe: Some(estimate(f64::NAN, f64::INFINITY)),
        camber: None,
    });
    // More rates and travels than it knows of, and doubts that are no square.
    let rate = Rate {
        toe: 1.0,
        camber: 1.0,
    };
    let mut odd = Belief::new(estimate(0.0, 0.1), estimate(0.0, 0.1), &vec![vec![1.0]; 3]);
    odd.turn(&[rate; 5], &[Length::mm(1.0); 7]);
    odd.read(&Reading {
        toe: Some(estimate(0.1, 0.1)),
        camber: Some(estimate(0.1, 0.1)),
    });
    assert_eq!(odd.rates(&[rate; 5]).len(), 5);
}

/// Many random cars scatter about the drawn one as the doubts say.
#[test]
fn doubts_of_rates_are_the_scatter_of_cars() {
    const CARS: u64 = 200;
    for drawn in Drawn::all() {
        let pair = &drawn.adjusters[..2];
        let doubts = {
            let deviation = |most: f64| Length::mm(most / 3.0_f64.sqrt());
            rate_doubts(&drawn.geometry, pair, deviation(5.0), deviation(8.0)).unwrap()
        };
        let nominal = rates_at(&drawn.linkage, &Default::default(), pair).unwrap();
        let mut squares = [0.0; 4];
        for number in 0..CARS {
            let car = Car::new(&drawn, &mut Random::new(31 * number));
            let rates = rates_at(&car.linkage, &Default::default(), pair).unwrap();
            for (adjuster, (rate, nominal)) in rates.iter().zip(&nominal).enumerate() {
                squares[2 * adjuster] += (rate.toe - nominal.toe).powi(2);
                squares[2 * adjuster + 1] += (rate.camber - nominal.camber).powi(2);
            }
        }
        for (place, square) in squares.into_iter().enumerate() {
            let scatter = (square / CARS as f64).sqrt();
            assert_relative_eq!(scatter, doubts[place][place].sqrt(), max_relative = 0.2);
        }
    }
}

#[test]
fn joints_drawn_at_one_point_are_one() {
    let drawn = &Drawn::all()[0];
    // Five links have ten ends; each arm's two share their joint at the carrier.
    assert_eq!(joints(&drawn.geometry).len(), 8);
    let up = Vector::mm(0.0, 0.0, 10.0);
    let moved = with_joints(&drawn.geometry, &|at| at + up);
    let by = |from: &[Vector], to: &[Vector]| from.iter().zip(to).all(|(a, b)| *b == *a + up);
    assert!(by(&joints(&drawn.geometry), &joints(&moved)));
    assert!(Linkage::new(&moved).is_ok());
}

/// An adjuster of two links has the rates of both together.
#[test]
fn links_that_turn_together_add_up() {
    let drawn = &Drawn::all()[0];
    let small = Length::mm(0.001);
    let toe_and_camber = |by: Length| {
        let set = drawn.linkage.set(&drawn.adjusters[1..2], &[by]);
        let wheel = drawn
            .linkage
            .wheel(&set.pose(&Default::default(), Length::ZERO).unwrap());
        [wheel.toe.as_radians(), wheel.camber.as_radians()]
    };
    let (more, less) = (toe_and_camber(small), toe_and_camber(-small));
    let rate = rates_at(&drawn.linkage, &Default::default(), &drawn.adjusters[1..2]).unwrap()[0];
    let slope = |which: usize| (more[which] - less[which]) / (2.0 * small.as_metres());
    assert_relative_eq!(rate.toe, slope(0), max_relative = 1e-6, epsilon = 1e-6);
    assert_relative_eq!(rate.camber, slope(1), max_relative = 1e-6);
}

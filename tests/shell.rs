//! The car itself: which point is off, or which reading. Cars are made here with known faults and tape noise; what is found must be what was put in.

use halfturn::linkage::{Cause, Doubts, Measured, ShellError, Vector, explain};
use halfturn::quantity::Length;
use proptest::prelude::*;

/// The pick-up points of both sides of a rear axle.
fn points() -> Vec<Vector> {
    [
        (-2480.0, 340.0, 195.0),
        (-2700.0, 330.0, 190.0),
        (-2520.0, 400.0, 430.0),
        (-2690.0, 405.0, 425.0),
        (-2780.0, 310.0, 215.0),
    ]
    .iter()
    .flat_map(|(x, y, z)| [Vector::mm(*x, *y, *z), Vector::mm(*x, -y, *z)])
    .collect()
}

/// Every pair that a tape can reach, diagonals included, of the points moved and the readings wrong as said.
fn measure(moved: &[(usize, Vector)], wrong: &[(usize, f64)], noise: &[f64]) -> Vec<Measured> {
    let mut now = points();
    for (point, shift) in moved {
        now[*point] = now[*point] + *shift;
    }
    let mut readings = Vec::new();
    for a in 0..now.len() {
        for b in a + 1..now.len() {
            let apart = (now[a] - now[b]).length() * 1e3;
            if !(150.0..1000.0).contains(&apart) {
                continue;
            }
            let place = readings.len();
            let slip: f64 = wrong
                .iter()
                .filter(|(one, _)| *one == place)
                .map(|(_, by)| by)
                .sum();
            readings.push(Measured {
                between: [a, b],
                distance: Length::mm(apart + slip + noise[place % noise.len()]),
            });
        }
    }
    readings
}

/// Steady noise of about a tape's size, without a generator.
const NOISE: [f64; 11] = [0.4, -0.9, 0.2, 1.1, -0.3, -0.7, 0.8, 0.1, -1.2, 0.6, -0.1];

#[test]
fn a_sound_car_is_called_sound() {
    let found = explain(&points(), &measure(&[], &[], &NOISE), &Doubts::default()).unwrap();
    assert_eq!(found[0].cause, Cause::Sound, "{found:?}");
    assert!(found[0].belief > 0.5, "{found:?}");
    let sum: f64 = found.iter().map(|explanation| explanation.belief).sum();
    assert!(sum <= 1.0 + 1e-12 && sum > 0.9);
}

#[test]
fn a_point_that_was_hit_is_found_with_its_way() {
    for (point, shift) in [
        (0, Vector::mm(-8.0, 0.0, 0.0)),
        (3, Vector::mm(0.0, -9.0, 4.0)),
        (6, Vector::mm(5.0, 6.0, -7.0)),
        (9, Vector::mm(0.0, 10.0, 0.0)),
    ] {
        let found = explain(
            &points(),
            &measure(&[(point, shift)], &[], &NOISE),
            &Doubts::default(),
        )
        .unwrap();
        let Cause::Point {
            point: said,
            shift,
        } = found[0].cause
        else {
            panic!("{point}: {found:?}");
        };
        assert_eq!(said, point, "{found:?}");
        assert!(found[0].belief > 0.9, "{found:?}");
        for (to, shift, doubt) in [
            (to.x, shift.x, doubt.x),
            (to.y, shift.y, doubt.y),
            (to.z, shift.z, doubt.z),
        ] {
            assert!(
                (to - shift).abs() < 3.0 * doubt + 1e-4,
                "{to} for {shift} ± {doubt}"
            );
        }
    }
}

#[test]
fn a_slip_of_the_tape_is_found_and_undone() {
    for (reading, by) in [(4, 10.0), (13, -12.0), (20, 25.0)] {
        let found = explain(
            &points(),
            &measure(&[], &[(reading, by)], &NOISE),
            &Doubts::default(),
        )
        .unwrap();
        let Cause::Reading { reading: said, off } = found[0].cause else {
            panic!("{reading}: {found:?}");
        };
        assert_eq!(said, reading);
        assert!((off.as_mm() - by).abs() < 5.0, "{off:?} for {by}");
        assert!(found[0].belief > 0.8, "{found:?}");
    }
}

#[test]
fn what_distances_do_not_say_stays_in_doubt() {
    // Three points in a level plane, all measured to one more in it: nothing tells its height.
    let points = [
        Vector::mm(0.0, 0.0, 200.0),
        Vector::mm(500.0, 0.0, 200.0),
        Vector::mm(0.0, 500.0, 200.0),
        Vector::mm(400.0, 400.0, 200.0),
    ];
    let moved = points[3] + Vector::mm(9.0, 0.0, 0.0);
    let readings: Vec<_> = (0..3)
        .map(|a| Measured {
            between: [a, 3],
            distance: Length::metres((points[a] - moved).length()),
        })
        .collect();
    let found = explain(&points, &readings, &Doubts::default()).unwrap();
    let point = found
        .iter()
        .find_map(|explanation| match explanation.cause {
            Cause::Point {
                point: 3,
                shift,
                doubt,
            } => Some((shift, doubt)),
            _ => None,
        })
        .unwrap();
    assert!(point.1.z > 0.0119 && point.1.x < 0.002, "{point:?}");
    assert!((point.0.x - 0.009).abs() < 0.002, "{point:?}");
}

#[test]
fn distances_that_say_nothing_are_refused() {
    let points = points();
    let doubts = Doubts::default();
    let one = Measured {
        between: [0, 1],
        distance: Length::mm(680.0),
    };
    assert_eq!(explain(&points, &[one], &doubts), Err(ShellError::TooFew));
    for between in [[0, 0], [0, 99]] {
        let bad = Measured { between, ..one };
        assert_eq!(
            explain(&points, &[one, bad], &doubts),
            Err(ShellError::NoSuchPair { reading: 1 })
        );
    }
    for distance in [Length::ZERO, Length::metres(f64::NAN)] {
        let bad = Measured { distance, ..one };
        assert_eq!(
            explain(&points, &[one, bad], &doubts),
            Err(ShellError::NotANumber)
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(50))]

    /// Any point moved by a centimetre any way, with any noise of a tape's size: it is the cause most believed.
    #[test]
    fn any_point_hit_hard_is_found(point in 0..10_usize, way in prop::array::uniform3(-1.0..1.0_f64), noise in prop::collection::vec(-1.5..1.5_f64, 40)) {
        let way = Vector::new(way[0], way[1], way[2]);
        prop_assume!(way.length() > 0.3);
        // Along the line between a point and its twin across the car alone, twins cannot be told apart.
        let shift = way.unit() * 0.012;
        let found = explain(&points(), &measure(&[(point, shift)], &[], &noise), &Doubts::default()).unwrap();
        let is_it = matches!(found[0].cause, Cause::Point { point: said, .. } if said == point);
        prop_assert!(is_it, "{point} by {shift:?}: {:?}", found);
    }

    #[test]
    fn any_distances_are_explained_or_refused(distances in prop::collection::vec((0..12_usize, 0..12_usize, -1.0..5.0_f64), 0..20)) {
        let measured: Vec<_> = distances.iter().map(|(a, b, distance)| Measured { between: [*a, *b], distance: Length::metres(*distance) }).collect();
        if let Ok(found) = explain(&points(), &measured, &Doubts::default()) {
            let sum: f64 = found.iter().map(|explanation| explanation.belief).sum();
            prop_assert!(sum <= 1.0 + 1e-9 && sum.is_finite());
        }
    }
}

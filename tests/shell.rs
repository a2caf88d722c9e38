//! The car itself: which point is off, or which reading. Cars are made here with known faults and tape noise; what is found must be what was put in.

use halfturn::linkage::{
    Cause, Doubts, Explanation, Measured, ShellError, Shift, Telling, Vector, explain, telling,
};
use halfturn::quantity::Length;
use proptest::prelude::*;

const AXES: [Vector; 3] = [
    Vector::new(1.0, 0.0, 0.0),
    Vector::new(0.0, 1.0, 0.0),
    Vector::new(0.0, 0.0, 1.0),
];

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
            shift: to,
        } = found[0].cause
        else {
            panic!("{point}: {found:?}");
        };
        assert_eq!(said, point, "{found:?}");
        assert!(found[0].belief > 0.9, "{found:?}");
        for axis in AXES {
            let (to, shift, doubt) = (to.by.dot(axis), shift.dot(axis), to.spread(axis));
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
    let shift = shift_of(&found, 3);
    let [x, y, z] = AXES.map(|axis| shift.spread(axis));
    assert!(z > 0.0119 && x < 0.002 && y < 0.002, "{shift:?}");
    assert!((shift.by.x - 0.009).abs() < 0.002, "{shift:?}");
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

#[track_caller]
fn shift_of(found: &[Explanation], of: usize) -> Shift {
    let shift = found.iter().find_map(|one| match one.cause {
        Cause::Point { point, shift } if point == of => Some(shift),
        _ => None,
    });
    shift.unwrap_or_else(|| panic!("{of} in {found:?}"))
}

/// With a perfect tape and no belief beforehand the shift is where three distances meet, worked by hand (trilateration, plane geometry). From A (0, 0, 0),
/// B (800, 0, 0) and C (0, 600, 0) the distances squared are 250 000, 378 000 and 322 000 mm²: x = (250 000 − 378 000 + 800²) / (2 · 800) = 320,
/// y = (250 000 − 322 000 + 600²) / (2 · 600) = 240, z = √(250 000 − 320² − 240²) = 300. The point should be at (290, 265, 285).
#[test]
fn three_distances_to_fixed_points_are_trilaterated() {
    let points = [
        Vector::mm(0.0, 0.0, 0.0),
        Vector::mm(800.0, 0.0, 0.0),
        Vector::mm(0.0, 600.0, 0.0),
        Vector::mm(290.0, 265.0, 285.0),
    ];
    let readings: Vec<_> = [(0, 250_000.0), (1, 378_000.0), (2, 322_000.0)]
        .into_iter()
        .map(|(from, square): (usize, f64)| Measured {
            between: [from, 3],
            distance: Length::mm(square.sqrt()),
        })
        .collect();
    let perfect = Doubts {
        tape: Length::mm(1e-4),
        build: Length::mm(1e-4),
        hit: Length::mm(1e3),
        slip: Length::mm(20.0),
    };
    let found = explain(&points, &readings, &perfect).unwrap();
    assert!(found[0].belief > 0.999 && found[0].fits, "{found:?}");
    let shift = shift_of(&found, 3);
    let away = shift.by - Vector::mm(30.0, -25.0, 15.0);
    assert!(away.length() < 1e-8, "{away:?}");
    // How sure it is follows from the same triangle: moving the point by x alone changes the distances by the cosines 0.64, −0.78 and 0.56, so by any
    // tape as good as this it is known to a fraction of a thousandth.
    assert!(AXES.iter().all(|axis| shift.spread(*axis) < 1e-6));
}

/// Distances that share no point, all off alike: their squares in their own doubts are chi-squared. Values that are exceeded one time in a thousand:
/// NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4.
#[test]
fn what_goes_with_the_distances_is_bounded_by_chi_squared() {
    for (count, bound) in [(3_usize, 16.266_f64), (10, 29.588), (20, 45.315)] {
        let points: Vec<_> = (0..2 * count)
            .map(|place| Vector::mm(0.0, 500.0 * (place % 2) as f64, 1000.0 * place as f64))
            .collect();
        let doubts = Doubts {
            build: Length::mm(1e-6),
            // A reading that may be off by no more than a tape explains nothing, and neither does a point.
            slip: Length::mm(0.1),
            hit: Length::mm(0.1),
            ..Doubts::default()
        };
        for (share, fits) in [(0.98, true), (1.02, false)] {
            let off = (bound * share / count as f64).sqrt();
            let readings: Vec<_> = (0..count)
                .map(|pair| {
                    let between = [2 * pair, 2 * pair + 1];
                    let apart = (points[between[0]] - points[between[1]]).length() * 1e3;
                    Measured {
                        between,
                        distance: Length::mm(apart + off),
                    }
                })
                .collect();
            let found = explain(&points, &readings, &doubts).unwrap();
            assert_eq!(found[0].cause, Cause::Sound);
            assert_eq!(found[0].fits, fits, "{count} distances at {share}");
        }
    }
}

/// Two points off by two centimetres each: no one cause goes with the distances, and that is said.
#[test]
fn two_things_off_are_not_laid_on_one() {
    let two = [
        (0, Vector::mm(20.0, 0.0, 0.0)),
        (7, Vector::mm(0.0, 20.0, 0.0)),
    ];
    let found = explain(&points(), &measure(&two, &[], &NOISE), &Doubts::default()).unwrap();
    assert!(!found[0].fits, "{found:?}");
}

#[test]
fn the_distance_that_tells_two_causes_apart_is_the_one_they_disagree_on_most() {
    // A rectangle of which both short sides and one long side are taped; a long side reads 10 mm too much.
    let points = [
        Vector::mm(0.0, 300.0, 200.0),
        Vector::mm(0.0, -300.0, 200.0),
        Vector::mm(-800.0, 300.0, 200.0),
        Vector::mm(-800.0, -300.0, 200.0),
    ];
    let readings =
        [([0, 1], 600.0), ([2, 3], 600.0), ([0, 2], 810.0)].map(|(between, mm)| Measured {
            between,
            distance: Length::mm(mm),
        });
    let found = explain(&points, &readings, &Doubts::default()).unwrap();
    let point = shift_of(&found, 2);
    assert!((point.by.x + 0.010).abs() < 0.002, "{point:?}");
    let off = found.iter().find_map(|one| match one.cause {
        Cause::Reading { reading: 2, off } => Some(off),
        _ => None,
    });
    let (first, second) = (
        Cause::Point {
            point: 2,
            shift: point,
        },
        Cause::Reading {
            reading: 2,
            off: off.unwrap(),
        },
    );
    let all: Vec<_> = (0..4).flat_map(|b| (0..b).map(move |a| [a, b])).collect();
    let best = telling(&points, &readings, [&first, &second], &all).unwrap();
    // The same side again: the point's shift, or nothing. The diagonal to 2 sees 800/1000 of it.
    let Telling {
        between: [0, 2],
        again: Some(2),
        expected: [long, right],
    } = best
    else {
        panic!("{best:?}");
    };
    assert!((long.as_mm() - 810.0).abs() < 2.0 && (right.as_mm() - 800.0).abs() < 2.0);
    let best = telling(&points, &readings, [&first, &second], &[[1, 2], [0, 3]]).unwrap();
    assert_eq!((best.between, best.again), ([1, 2], None));
    // (800 + 9.6)² + 600² by hand, and the card's own diagonal.
    let by_hand = (800.0 - point.by.x * 1e3).hypot(600.0 + point.by.y * 1e3);
    assert!((best.expected[0].as_mm() - by_hand).abs() < 1e-6);
    assert!((best.expected[1].as_mm() - 1000.0).abs() < 1e-6);
    // A distance that neither touches tells nothing.
    assert_eq!(
        telling(&points, &readings, [&first, &second], &[[1, 3]]),
        None
    );
}

/// Steele, Lea and Flood's splitmix64 (OOPSLA 2014), and Box and Muller's normal deviates.
struct Random(u64);

impl Random {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self, deviation: f64) -> f64 {
        let (a, b) = (1.0 - self.share(), self.share());
        deviation * (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    fn shift(&mut self, deviation: f64) -> Vector {
        let mut part = || self.normal(deviation);
        Vector::mm(part(), part(), part())
    }
}

/// Shells made at random with a known fault, or none: what is believed is right as often as it is believed, and a shift is off by as much as its doubt.
#[test]
fn beliefs_and_doubts_are_kept_on_made_shells() {
    let mut random = Random(4);
    let points = &points()[..6];
    let pairs: Vec<_> = (0..6)
        .flat_map(|b| (0..b).map(move |a| [a, b]))
        .take(13)
        .collect();
    let doubts = Doubts::default();
    let mut bins = [(0.5, 0.8), (0.8, 0.95), (0.95, 1.01)].map(|span| (span, 0_u32, 0_u32, 0.0));
    let (mut square, mut parts, mut fits) = (0.0, 0_u32, 0_u32);
    const SHELLS: u32 = 1500;
    for _ in 0..SHELLS {
        let mut now: Vec<_> = points
            .iter()
            .map(|point| *point + random.shift(1.0))
            .collect();
        let fault = random.share();
        let (mut truth, mut hit, mut slip) = (Cause::Sound, None, None);
        if fault < 0.25 {
            let point = (random.share() * points.len() as f64) as usize;
            let shift = random.shift(12.0);
            now[point] = now[point] + shift;
            hit = Some((point, shift));
        } else if fault < 0.5 {
            let reading = (random.share() * pairs.len() as f64) as usize;
            slip = Some((reading, random.normal(20.0)));
            truth = Cause::Reading {
                reading,
                off: Length::ZERO,
            };
        }
        let readings: Vec<_> = pairs
            .iter()
            .enumerate()
            .map(|(place, [a, b])| {
                let slipped = slip.filter(|(reading, _)| *reading == place);
                let off = random.normal(1.0) + slipped.map_or(0.0, |(_, by)| by);
                Measured {
                    between: [*a, *b],
                    distance: Length::metres((now[*a] - now[*b]).length()) + Length::mm(off),
                }
            })
            .collect();
        let found = explain(points, &readings, &doubts).unwrap();
        let first = found[0];
        fits += u32::from(first.fits);
        let right = match (first.cause, truth, hit) {
            (Cause::Point { point, shift }, _, Some((off, by))) if point == off => {
                if first.belief > 0.9 {
                    for axis in AXES {
                        square += ((shift.by - by).dot(axis) / shift.spread(axis)).powi(2);
                        parts += 1;
                    }
                }
                true
            }
            (Cause::Reading { reading, .. }, Cause::Reading { reading: off, .. }, _) => {
                reading == off
            }
            (Cause::Sound, Cause::Sound, None) => true,
            _ => false,
        };
        for ((least, most), count, hits, believed) in &mut bins {
            if (*least..*most).contains(&first.belief) {
                *count += 1;
                *hits += u32::from(right);
                *believed += first.belief;
            }
        }
    }
    for (span, count, hits, believed) in bins {
        let (count, hits) = (f64::from(count), f64::from(hits));
        let mean = believed / count;
        let deviation = (mean * (1.0 - mean) / count).sqrt();
        assert!(count > 60.0, "{span:?}: {count}");
        // Shifts beyond what is linear, and four standard deviations of chance.
        assert!(
            (hits / count - mean).abs() < 4.0 * deviation + 0.01,
            "{span:?}: {} believed, {} right of {count}",
            mean,
            hits / count
        );
    }
    let root = (square / f64::from(parts)).sqrt();
    assert!(
        parts > 300 && (0.85..1.15).contains(&root),
        "{parts}: {root}"
    );
    assert!(fits > SHELLS * 99 / 100, "{fits} of {SHELLS} fit");
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

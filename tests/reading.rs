//! Readings: cars built by plain vectors, measured as a person would, and read back.

use approx::assert_abs_diff_eq;
use halfturn::quantity::{Angle, Length};
use halfturn::reading::{
    AngleSample, AxleCamber, AxleToe, Estimate, Hubs, LengthSample, ReadingError, Rolled,
    StringLines, Taper, angle_to_string, camber_by_plumb, total_toe_by_treads,
};
use proptest::prelude::*;

type Point = (f64, f64);

/// A straight string through a point, at an angle to the car's long axis.
#[derive(Clone, Copy, Debug)]
struct Line {
    through: Point,
    angle: f64,
}

impl Line {
    /// The distance of a point from the string, square to it.
    fn distance(&self, (x, y): Point) -> f64 {
        let (dx, dy) = (x - self.through.0, y - self.through.1);
        (dx * self.angle.sin() - dy * self.angle.cos()).abs()
    }

    /// Where it crosses the plane at `x` across the car.
    fn y_at(&self, x: f64) -> f64 {
        self.through.1 + (x - self.through.0) * self.angle.tan()
    }
}

/// A car in its own axes, x forward, y left, in millimetres and radians, between two strings.
#[derive(Clone, Copy, Debug)]
struct Car {
    wheelbase: f64,
    front_track: f64,
    rear_track: f64,
    rim: f64,
    /// Toe of the left and right wheel of the front, then of the rear axle, toe-in positive.
    toes: [f64; 4],
    left: Line,
    right: Line,
}

/// A wheel's place in [`Car::toes`].
const WHEELS: [usize; 4] = [0, 1, 2, 3];

impl Car {
    /// Whether a wheel is on the left, where its hub face is, and the string outside it.
    fn wheel(&self, index: usize) -> (bool, Point, Line) {
        let (x, track) = if index < 2 {
            (self.wheelbase, self.front_track)
        } else {
            (0.0, self.rear_track)
        };
        let left = index.is_multiple_of(2);
        (
            left,
            (x, if left { track / 2.0 } else { -track / 2.0 }),
            if left { self.left } else { self.right },
        )
    }

    /// Distances from the string to the rim's front and rear edge, of a rim bent by so much at its front edge.
    fn edges(&self, index: usize, bend: f64) -> (f64, f64) {
        let (left, (x, y), string) = self.wheel(index);
        // The front of a wheel toed in points to the middle of the car.
        let heading = if left {
            -self.toes[index]
        } else {
            self.toes[index]
        };
        let (ahead, across) = (
            self.rim / 2.0 * heading.cos(),
            self.rim / 2.0 * heading.sin(),
        );
        // A bent rim stands out at one edge and in at the other, along the axle.
        let outward = if left { 1.0 } else { -1.0 };
        let bent = (
            -heading.sin() * bend * outward,
            heading.cos() * bend * outward,
        );
        (
            string.distance((x + ahead + bent.0, y + across + bent.1)),
            string.distance((x - ahead - bent.0, y - across - bent.1)),
        )
    }

    fn hubs(&self) -> Hubs {
        let at = |index| {
            let (_, hub, string) = self.wheel(index);
            sample(string.distance(hub))
        };
        Hubs {
            left_front: at(0),
            right_front: at(1),
            left_rear: at(2),
            right_rear: at(3),
        }
    }

    fn tracks(&self) -> Taper {
        Taper::Tracks {
            front: sample(self.front_track),
            rear: sample(self.rear_track),
        }
    }

    fn spacing(&self) -> Taper {
        let (ahead, behind) = (self.wheelbase + 700.0, -700.0);
        let across = |x| sample(self.left.y_at(x) - self.right.y_at(x));
        Taper::Spacing {
            ahead: across(ahead),
            behind: across(behind),
            apart: Length::mm(ahead - behind),
        }
    }

    fn lines(&self, taper: &Taper) -> StringLines {
        StringLines::of(&self.hubs(), Length::mm(self.wheelbase), taper).unwrap()
    }

    fn read(&self, taper: &Taper) -> [AxleToe; 2] {
        let lines = self.lines(taper);
        let angle = |index| {
            let (front, rear) = self.edges(index, 0.0);
            angle_to_string(&once(front, rear), Length::mm(self.rim)).ok()
        };
        [
            AxleToe::by_strings(angle(0), angle(1), &lines),
            AxleToe::by_strings(angle(2), angle(3), &lines),
        ]
    }

    /// The same car seen in a mirror along its middle.
    fn mirrored(self) -> Self {
        let flip = |line: Line| Line {
            through: (line.through.0, -line.through.1),
            angle: -line.angle,
        };
        let [a, b, c, d] = self.toes;
        Self {
            toes: [b, a, d, c],
            left: flip(self.right),
            right: flip(self.left),
            ..self
        }
    }
}

/// A length known exactly.
fn sample(mm: f64) -> LengthSample {
    LengthSample::of(&[Length::mm(mm)], Length::ZERO).unwrap()
}

fn once(first: f64, second: f64) -> Rolled {
    Rolled::of(
        &[(Length::mm(first), Length::mm(second))],
        &[],
        Length::ZERO,
    )
    .unwrap()
}

fn degrees(estimate: Option<Estimate>) -> f64 {
    estimate.unwrap().value.as_degrees()
}

prop_compose! {
    fn cars()(
        wheelbase in 2000.0..3000.0,
        front_track in 1200.0..1600.0,
        rear_track in 1200.0..1600.0,
        rim in 330.0..500.0,
        toes in prop::array::uniform4(-1.5f64..1.5),
        left in (150.0..400.0, -1.0f64..1.0),
        right in (150.0..400.0, -1.0f64..1.0),
    ) -> Car {
        let widest = f64::max(front_track, rear_track) / 2.0;
        Car {
            wheelbase, front_track, rear_track, rim,
            toes: toes.map(f64::to_radians),
            left: Line { through: (wheelbase / 2.0, widest + left.0), angle: left.1.to_radians() },
            right: Line { through: (wheelbase / 2.0, -widest - right.0), angle: -right.1.to_radians() },
        }
    }
}

/// The formulas take the distances square to a string for distances across the car, and add slopes where angles are. With strings up
/// to 1° off the car (0.0175 rad) the first is out by s³/2 and by s²/2 of the tracks' difference over the wheelbase, 0.0005° and
/// 0.0018° at most here, the second by s³/3.
const SECOND_ORDER: f64 = 0.003;

proptest! {
    #[test]
    fn toes_come_back_from_skewed_strings(car in cars()) {
        for taper in [car.tracks(), car.spacing()] {
            let [front, rear] = car.read(&taper);
            let [lf, rf, lr, rr] = car.toes.map(f64::to_degrees);
            for (axle, left, right) in [(front, lf, rf), (rear, lr, rr)] {
                prop_assert!((degrees(axle.left) - left).abs() < SECOND_ORDER, "{axle:?} {left}");
                prop_assert!((degrees(axle.right) - right).abs() < SECOND_ORDER, "{axle:?} {right}");
                prop_assert!((degrees(axle.total) - left - right).abs() < 2.0 * SECOND_ORDER);
                prop_assert!((degrees(axle.thrust) - (left - right) / 2.0).abs() < SECOND_ORDER);
            }
        }
    }

    #[test]
    fn sides_swapped_flip_skew_and_thrust(car in cars()) {
        let (lines, mirror) = (car.lines(&car.tracks()), car.mirrored().lines(&car.tracks()));
        prop_assert!((lines.skew.value + mirror.skew.value).abs() < Angle::degrees(1e-9));
        prop_assert!((lines.taper.value - mirror.taper.value).abs() < Angle::degrees(1e-9));
        for (seen, mirrored) in car.read(&car.tracks()).iter().zip(car.mirrored().read(&car.tracks())) {
            prop_assert!((degrees(seen.left) - degrees(mirrored.right)).abs() < 1e-9);
            prop_assert!((degrees(seen.total) - degrees(mirrored.total)).abs() < 1e-9);
            prop_assert!((degrees(seen.thrust) + degrees(mirrored.thrust)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_bent_rim_is_taken_out_by_half_a_wheel_turn(car in cars(), bend in -3.0f64..3.0) {
        for wheel in WHEELS {
            let straight = car.edges(wheel, 0.0);
            let pair = |bend| { let (front, rear) = car.edges(wheel, bend); (Length::mm(front), Length::mm(rear)) };
            let rolled = Rolled::of(&[pair(bend)], &[pair(-bend)], Length::ZERO).unwrap();
            prop_assert!((rolled.difference.as_mm() - (straight.0 - straight.1)).abs() < 1e-9);
            // Towards the string is less: what stands out at the front edge shortens the first distance. The wheel is at 2.5° to
            // its string at most, so along the axle and square to the string differ by less than a thousandth.
            prop_assert!((rolled.runout.unwrap().as_mm() + 2.0 * bend).abs() < 0.002 * bend.abs() + 1e-9);
        }
    }

    #[test]
    fn camber_comes_back_from_a_sloping_floor(left in -6.0f64..6.0, right in -6.0f64..6.0, slope in -3.0f64..3.0, rim in 330.0..500.0) {
        // Seen from behind, y left and z up: a left wheel of camber c leans its top by c to the left, away from the car.
        // The floor turns everything by the slope to the right where its left side is higher.
        let distances = |lean_out: f64| {
            let line = 300.0;
            let out = rim / 2.0 * lean_out.to_radians().sin();
            once(line - out, line + out)
        };
        let of = |lean: f64| camber_by_plumb(&distances(lean), Length::mm(rim)).ok();
        let slope_read = Estimate::new(Angle::degrees(slope), Angle::ZERO);
        let axle = AxleCamber::on_floor(of(left - slope), of(right + slope), slope_read);
        prop_assert!((degrees(axle.left) - left).abs() < 1e-9);
        prop_assert!((degrees(axle.right) - right).abs() < 1e-9);
        prop_assert!((degrees(axle.cross) - (left - right)).abs() < 1e-9);
    }

    #[test]
    fn total_toe_comes_back_from_tape_across_the_treads(toe in -1.5f64..1.5, track in 1200.0..1600.0, marks in 500.0..700.0) {
        // Both wheels alike: the marks ahead come closer together by D sin(toe) in all, and so do those behind part.
        let half = marks / 2.0 * toe.to_radians().sin();
        let read = total_toe_by_treads(&once(track - 2.0 * half, track + 2.0 * half), Length::mm(marks)).unwrap();
        prop_assert!((read.value.as_degrees() - 2.0 * toe).abs() < 1e-9);
    }
}

#[test]
fn a_toed_in_wheel_and_a_leaning_one_have_the_right_signs() {
    // By hand: 2 mm farther ahead over 400 mm is 0.2865° of toe-in; 4 mm farther at the top over 400 mm leans in by 0.5730°.
    let toe = angle_to_string(&once(252.0, 250.0), Length::mm(400.0)).unwrap();
    assert_abs_diff_eq!(toe.value.as_degrees(), 0.286_480, epsilon = 1e-6);
    let camber = camber_by_plumb(&once(104.0, 100.0), Length::mm(400.0)).unwrap();
    assert_abs_diff_eq!(camber.value.as_degrees(), -0.572_967, epsilon = 1e-6);
    // An axle whose left wheel toes in by 0.2° and whose right one out by 0.2° points to the right.
    let half = Estimate::new(Angle::degrees(0.2), Angle::ZERO);
    assert_abs_diff_eq!(
        degrees(AxleToe::by_wheels(Some(half), Some(half.times(-1.0))).thrust),
        0.2,
        epsilon = 1e-12
    );
}

#[test]
fn what_cannot_be_is_an_error_and_never_a_number() {
    let exact = |mm| Length::mm(mm);
    assert_eq!(
        angle_to_string(&once(500.0, 50.0), exact(400.0)),
        Err(ReadingError::Impossible)
    );
    assert_eq!(
        angle_to_string(&once(450.0, 50.0), exact(400.0)),
        Err(ReadingError::Impossible)
    );
    assert_eq!(
        camber_by_plumb(&once(100.0, 100.0), exact(0.0)),
        Err(ReadingError::NoBase)
    );
    assert_eq!(
        camber_by_plumb(&once(100.0, 100.0), exact(-400.0)),
        Err(ReadingError::NoBase)
    );
    assert_eq!(
        total_toe_by_treads(&once(1500.0, 100.0), exact(600.0)),
        Err(ReadingError::Impossible)
    );
    assert_eq!(
        LengthSample::of(&[], exact(0.5)),
        Err(ReadingError::Nothing)
    );
    assert_eq!(
        AngleSample::of(&[], Angle::degrees(0.1)),
        Err(ReadingError::Nothing)
    );
    assert_eq!(Rolled::of(&[], &[], exact(0.5)), Err(ReadingError::Nothing));
    let hubs = Hubs {
        left_front: sample(200.0),
        left_rear: sample(200.0),
        right_front: sample(200.0),
        right_rear: sample(200.0),
    };
    let tracks = Taper::Tracks {
        front: sample(1400.0),
        rear: sample(1400.0),
    };
    assert_eq!(
        StringLines::of(&hubs, Length::ZERO, &tracks),
        Err(ReadingError::NoBase)
    );
    let spacing = Taper::Spacing {
        ahead: sample(1800.0),
        behind: sample(1800.0),
        apart: Length::ZERO,
    };
    assert_eq!(
        StringLines::of(&hubs, exact(2500.0), &spacing),
        Err(ReadingError::NoBase)
    );
    for error in [
        ReadingError::Nothing,
        ReadingError::Impossible,
        ReadingError::NoBase,
    ] {
        assert!(error.to_string().ends_with('.'), "{error}");
    }
}

#[test]
fn half_of_a_total_says_nothing_of_the_thrust() {
    let total = Estimate::new(Angle::degrees(0.3), Angle::degrees(0.02));
    let axle = AxleToe::by_total(total);
    assert_eq!(
        (axle.left, axle.right, axle.thrust),
        (Some(total.times(0.5)), Some(total.times(0.5)), None)
    );
}

/// Uniform numbers from 0 to 1 by a linear congruence modulo 2⁶⁴ with Knuth's MMIX multiplier, its high bits.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// As a rule rounds: within half a division either way, all alike.
    fn rounded(&mut self, mm: f64, division: f64) -> Length {
        Length::mm(mm + (self.roll() - 0.5) * division)
    }

    /// A standard normal one, by Box and Muller.
    fn normal(&mut self) -> f64 {
        (-2.0 * (1.0 - self.roll()).ln()).sqrt() * (std::f64::consts::TAU * self.roll()).cos()
    }
}

fn spread(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    (values
        .iter()
        .map(|value| (value - mean).powi(2))
        .sum::<f64>()
        / (values.len() - 1) as f64)
        .sqrt()
}

/// Strings read with a rule of half a millimetre, many times over: what is claimed is what comes out (JCGM 101:2008, 7: propagation
/// of distributions by Monte Carlo).
#[test]
fn string_uncertainties_are_those_of_a_simulation() {
    let division = 0.5;
    let car = Car {
        wheelbase: 2500.0,
        front_track: 1420.0,
        rear_track: 1400.0,
        rim: 430.0,
        toes: [0.1, -0.2, 0.15, 0.25].map(f64::to_radians),
        left: Line {
            through: (1250.0, 980.0),
            angle: 0.006,
        },
        right: Line {
            through: (1250.0, -960.0),
            angle: 0.004,
        },
    };
    let (ahead, behind) = (3300.0, -900.0);
    let mut dice = Dice(20);
    for (by_tracks, rolling) in [(true, false), (false, false), (true, true)] {
        let mut seen: [Vec<f64>; 4] = Default::default();
        let mut claimed = [0.0; 4];
        for _ in 0..4000 {
            let rule = Length::mm(division);
            let mut read = |mm: f64| LengthSample::of(&[dice.rounded(mm, division)], rule).unwrap();
            let mut hub = |index| {
                let (_, hub, string) = car.wheel(index);
                read(string.distance(hub))
            };
            let hubs = Hubs {
                left_front: hub(0),
                right_front: hub(1),
                left_rear: hub(2),
                right_rear: hub(3),
            };
            let across = |x: f64| car.left.y_at(x) - car.right.y_at(x);
            let taper = if by_tracks {
                Taper::Tracks {
                    front: read(car.front_track),
                    rear: read(car.rear_track),
                }
            } else {
                Taper::Spacing {
                    ahead: read(across(ahead)),
                    behind: read(across(behind)),
                    apart: Length::mm(ahead - behind),
                }
            };
            let lines = StringLines::of(&hubs, Length::mm(car.wheelbase), &taper).unwrap();
            let mut angle = |index| {
                let (front, rear) = car.edges(index, 0.0);
                let mut pair = || (dice.rounded(front, division), dice.rounded(rear, division));
                let rolled = if rolling { vec![pair()] } else { Vec::new() };
                let edges = Rolled::of(&[pair()], &rolled, rule).unwrap();
                angle_to_string(&edges, Length::mm(car.rim)).ok()
            };
            let axle = AxleToe::by_strings(angle(2), angle(3), &lines);
            for ((seen, claimed), estimate) in seen.iter_mut().zip(&mut claimed).zip([
                axle.left,
                axle.right,
                axle.total,
                axle.thrust,
            ]) {
                let estimate = estimate.unwrap();
                seen.push(estimate.value.as_degrees());
                *claimed = estimate.uncertainty.as_degrees();
            }
        }
        for (seen, claimed) in seen.iter().zip(claimed) {
            let spread = spread(seen);
            assert!(
                (claimed / spread - 1.0).abs() < 0.10,
                "claimed {claimed}, came out {spread}, by tracks {by_tracks}, rolling {rolling}"
            );
        }
    }
}

/// With repeats and no resolution to speak of, the mean lies within one standard uncertainty of the truth in 68.27 % of cases, however few
/// repeats there are: that is what Student's factor is for (JCGM 100:2008, G.3).
#[test]
fn few_repeats_still_cover_what_they_claim() {
    let mut dice = Dice(7);
    for repeats in [2, 3, 4, 6, 10, 15] {
        let (cases, truth) = (20_000, 0.3);
        let mut covered = 0;
        for _ in 0..cases {
            let read: Vec<_> = (0..repeats)
                .map(|_| Angle::degrees(truth + 0.05 * dice.normal()))
                .collect();
            let estimate = AngleSample::of(&read, Angle::ZERO).unwrap().estimate();
            covered += u32::from(
                (estimate.value.as_degrees() - truth).abs() <= estimate.uncertainty.as_degrees(),
            );
        }
        let share = f64::from(covered) / f64::from(cases);
        // Four standard deviations of the count are 0.013, and a factor of three digits moves the share by 0.002.
        assert!(
            (share - 0.6827).abs() < 0.015,
            "{repeats} repeats cover {share}"
        );
    }
}

#[derive(serde::Deserialize)]
struct Student {
    tolerance: f64,
    factors: Vec<(u32, f64)>,
}

#[test]
fn student_factors_are_the_published_ones() {
    let published: Student =
        serde_json::from_str(include_str!("data/reading-student.json")).unwrap();
    assert!(published.factors.len() >= 10, "cases ran");
    for (freedom, factor) in published.factors {
        let count = freedom + 1;
        // One reading off by one of `count`: s² = (1 − 1/n)/(n − 1) = 1/n, so s/√n = 1/n.
        let mut read = vec![Length::ZERO; count as usize];
        read[0] = Length::metres(1.0);
        let claimed = LengthSample::of(&read, Length::ZERO)
            .unwrap()
            .uncertainty
            .as_metres()
            * f64::from(count);
        assert_abs_diff_eq!(claimed, factor, epsilon = published.tolerance);
    }
}

#[test]
fn a_division_is_a_rectangle_and_does_not_shrink_by_reading_it_again() {
    let division = Length::mm(1.0);
    let one = LengthSample::of(&[Length::mm(5.0)], division)
        .unwrap()
        .uncertainty;
    assert_abs_diff_eq!(one.as_mm(), 1.0 / 12.0_f64.sqrt(), epsilon = 1e-12);
    assert_abs_diff_eq!(
        LengthSample::of(&[Length::mm(5.0); 9], division)
            .unwrap()
            .uncertainty
            .as_mm(),
        one.as_mm(),
        epsilon = 1e-12
    );
}

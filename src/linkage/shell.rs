//! The car itself: distances measured between its mounting points, against where the points should be.
//!
//! A shell is built to a tolerance and a tape reads to one, so distances never all agree. What is asked is whether they disagree more than that, and if
//! so which one thing explains it best: one point that has moved, or one reading that is wrong. Each explanation gives the differences a covariance, and
//! with it a likelihood; with what is believed beforehand, the likelihoods share out what is believed after (Bayes; Bishop, Pattern Recognition and
//! Machine Learning, 2.3 and 3.4).

use super::vector::Vector;
use crate::quantity::Length;

/// A distance measured between two of the points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The places of the two points in the list.
    pub between: [usize; 2],
    /// What the tape said.
    pub distance: Length,
}

/// What is taken of tape and shell, each a standard deviation: common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doubts {
    /// What a tape reading is off by.
    pub tape: Length,
    /// What each point of a sound shell is off by, in each direction.
    pub build: Length,
    /// What a point that has been hit is off by, in each direction.
    pub hit: Length,
    /// What a wrong reading is off by.
    pub slip: Length,
}

impl Default for Doubts {
    fn default() -> Self {
        Self {
            tape: Length::mm(1.0),
            build: Length::mm(1.0),
            hit: Length::mm(12.0),
            slip: Length::mm(20.0),
        }
    }
}

impl Doubts {
    /// What goes with a tolerance of distances, which is taken as two standard deviations of tape and shell together.
    pub fn of_tolerance(tolerance: Length) -> Self {
        let usual = Self::default();
        let both = (tolerance / 2.0).as_metres().powi(2) - usual.tape.as_metres().powi(2);
        // Each of a distance's two points has its own share.
        let build = Length::metres((both.max(0.0) / 2.0).sqrt()).max(Length::mm(0.5));
        Self {
            build,
            hit: usual.hit.max(build * 4.0),
            ..usual
        }
    }
}

/// No shell that can be put right is further out between two points: what differs by more was read, typed or drawn wrong. Common practice, no source.
pub const FURTHEST_OUT: Length = Length::mm(60.0);

/// What explains the differences.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cause {
    /// Tape and build alone: the shell is as the card has it.
    Sound,
    /// One point is off.
    Point {
        /// Its place in the list.
        point: usize,
        /// By how much, and which way.
        shift: Shift,
    },
    /// One reading is wrong.
    Reading {
        /// Its place in the list.
        reading: usize,
        /// By how much it is more than the others say.
        off: Length,
    },
}

/// How far a point is from where it should be, and how sure that is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shift {
    /// Where it is, from where it should be.
    pub by: Vector,
    /// The covariance of its three parts, in square metres: what is known of each together with x, with y and with z.
    pub covariance: [Vector; 3],
}

impl Shift {
    /// The standard deviation of what changes by so much for each metre of shift along each axis; of the shift itself along a direction of length one.
    /// Where the distances say nothing of it, it is nearly what a hit point may be off by.
    pub fn spread(&self, rate: Vector) -> f64 {
        let [x, y, z] = self.covariance.map(|row| row.dot(rate));
        Vector::new(x, y, z).dot(rate).max(0.0).sqrt()
    }
}

/// A cause and how much is to be believed of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Explanation {
    /// What it is.
    pub cause: Cause,
    /// Its share of belief, from 0 to 1, all causes weighed. Before anything is measured a half goes to a sound shell, a quarter to all points and a
    /// quarter to all readings: common practice, no source.
    pub belief: f64,
    /// Whether it goes with the distances at all. Where the most believed does not, more than one thing is off, and beliefs mean nothing.
    pub fits: bool,
}

/// Why distances say nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShellError {
    /// A distance names a point that is not there, or one point twice.
    NoSuchPair {
        /// The place of the distance.
        reading: usize,
    },
    /// A point or a distance is not a number, or a distance is nothing.
    NotANumber,
    /// Too few distances to tell anything: less than two.
    TooFew,
}

/// The causes that explain the distances, the most believed first. Every cause is weighed; those below a thousandth of belief are left out.
///
/// # Errors
/// Distances that say nothing.
pub fn explain(
    points: &[Vector],
    measured: &[Measured],
    doubts: &Doubts,
) -> Result<Vec<Explanation>, ShellError> {
    let way = ways(points, measured)?;
    let differences: Vec<_> = measured
        .iter()
        .zip(&way)
        .map(|(reading, (_, nominal))| reading.distance.as_metres() - nominal)
        .collect();
    let base = Covariance::of_sound_shell(measured, &way, doubts);
    let sound = base.weigh(&differences);
    let mut found = vec![(sound, 0.5, Cause::Sound)];
    // What is not sound is as likely a point as a reading, and any of them alike.
    let one_of = |count: usize| 0.25 / count as f64;
    for point in 0..points.len() {
        if measured
            .iter()
            .any(|reading| reading.between.contains(&point))
        {
            let (weighed, shift) = shifted(points, measured, point, &base, doubts.hit);
            let cause = Cause::Point { point, shift };
            found.push((weighed, one_of(points.len()), cause));
        }
    }
    for reading in 0..measured.len() {
        let mut column = vec![0.0; measured.len()];
        if let Some(one) = column.get_mut(reading) {
            *one = 1.0;
        }
        let variance = doubts.slip.as_metres().powi(2);
        let mut with = base.clone();
        with.add(&column, variance);
        let weighed = with.weigh(&differences);
        let off = Length::metres(variance * dot(&weighed.weights, &column));
        let cause = Cause::Reading { reading, off };
        found.push((weighed, one_of(measured.len()), cause));
    }
    Ok(shared_out(found))
}

/// A direction from the second point to the first, and the distance as it should be.
type Way = (Vector, f64);

fn way(first: Vector, second: Vector) -> Way {
    let apart = first - second;
    let length = apart.length();
    (apart * (1.0 / length.max(f64::MIN_POSITIVE)), length)
}

fn ways(points: &[Vector], measured: &[Measured]) -> Result<Vec<Way>, ShellError> {
    if measured.len() < 2 {
        return Err(ShellError::TooFew);
    }
    let mut ways = Vec::with_capacity(measured.len());
    for (
        reading,
        Measured {
            between: [a, b],
            distance,
        },
    ) in measured.iter().enumerate()
    {
        let (Some(first), Some(second)) = (points.get(*a), points.get(*b)) else {
            return Err(ShellError::NoSuchPair { reading });
        };
        let way = way(*first, *second);
        let (_, length) = way;
        if a == b || length <= 0.0 {
            return Err(ShellError::NoSuchPair { reading });
        }
        if !length.is_finite() || !distance.as_metres().is_finite() || *distance <= Length::ZERO {
            return Err(ShellError::NotANumber);
        }
        ways.push(way);
    }
    Ok(ways)
}

/// Distances change with a shift along curves: Gauss and Newton's steps end when one is below this, in metres, and after so many anyway.
const SETTLED: f64 = 1e-8;
const STEPS: u32 = 10;

/// The most likely shift of a point that may be off by `hit` along each axis, and what it leaves.
fn shifted(
    points: &[Vector],
    measured: &[Measured],
    point: usize,
    base: &Covariance,
    hit: Length,
) -> (Weighed, Shift) {
    let variance = hit.as_metres().powi(2);
    let axes: [fn(&Vector) -> f64; 3] = [|v| v.x, |v| v.y, |v| v.z];
    let mut by = Vector::default();
    let mut step = 0;
    loop {
        let at = |place: usize| moved(points, place, point, by);
        // How each distance changes with the shift, and what it would differ by if it changed so all along.
        let (columns, differences): (Vec<Vector>, Vec<f64>) = measured
            .iter()
            .map(|reading| {
                let [a, b] = reading.between;
                let (way, length) = way(at(a), at(b));
                let column = match reading.between {
                    [a, _] if a == point => way,
                    [_, b] if b == point => -way,
                    _ => Vector::default(),
                };
                let difference = reading.distance.as_metres() - length + column.dot(by);
                (column, difference)
            })
            .unzip();
        let columns = axes.map(|axis| columns.iter().map(axis).collect::<Vec<f64>>());
        let mut with = base.clone();
        for column in &columns {
            with.add(column, variance);
        }
        let weighed = with.weigh(&differences);
        let [x, y, z] = columns
            .each_ref()
            .map(|column| variance * dot(&weighed.weights, column));
        let before = by;
        by = Vector::new(x, y, z);
        step += 1;
        if step < STEPS && (by - before).length() > SETTLED {
            continue;
        }
        let told = columns.each_ref().map(|column| {
            let weights = with.weigh(column).weights;
            let [x, y, z] = columns.each_ref().map(|other| dot(&weights, other));
            Vector::new(x, y, z) * (-variance * variance)
        });
        let mut covariance = told;
        let [x, y, z] = &mut covariance;
        x.x += variance;
        y.y += variance;
        z.z += variance;
        return (weighed, Shift { by, covariance });
    }
}

/// Where a point is when one of them is off.
fn moved(points: &[Vector], place: usize, off: usize, by: Vector) -> Vector {
    let drawn = points.get(place).copied().unwrap_or_default();
    if place == off { drawn + by } else { drawn }
}

/// The square of the differences that is exceeded one time in a thousand where their covariance is right: the 99.9th percentile of chi-squared
/// (E. B. Wilson and M. M. Hilferty, The Distribution of Chi-square, 1931), within a hundredth from two distances on.
fn largest_square(distances: usize) -> f64 {
    let n = distances as f64;
    let spread = 2.0 / (9.0 * n);
    n * (1.0 - spread + 3.090_232 * spread.sqrt()).powi(3)
}

/// Likelihoods and what was believed before, to shares of belief.
fn shared_out(found: Vec<(Weighed, f64, Cause)>) -> Vec<Explanation> {
    let log = |(weighed, before, _): &(Weighed, f64, Cause)| weighed.likelihood() + before.ln();
    let most = found.iter().map(log).fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = found.iter().map(|one| (log(one) - most).exp()).sum();
    let mut explanations: Vec<Explanation> = Vec::new();
    for one in &found {
        let (weighed, _, cause) = one;
        let belief = (log(one) - most).exp() / sum;
        if belief >= 1e-3 {
            // They are few: the code of a sort costs the page more.
            let place = explanations.partition_point(|other| other.belief >= belief);
            explanations.insert(
                place,
                Explanation {
                    cause: *cause,
                    belief,
                    fits: weighed.square <= largest_square(weighed.weights.len()),
                },
            );
        }
    }
    explanations
}

/// A distance by which two causes are told apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Telling {
    /// The places of its two points in the list.
    pub between: [usize; 2],
    /// The place of the reading to be taken again; none: it is not measured yet.
    pub again: Option<usize>,
    /// What it is by the one cause, and by the other.
    pub expected: [Length; 2],
}

/// Two expectations that are nearer say nothing: two standard deviations of a tape and the points it is held to.
const TELLS: Length = Length::mm(3.5);

/// Which of these distances tells two causes apart best; none where none of them does.
pub fn telling(
    points: &[Vector],
    measured: &[Measured],
    causes: [&Cause; 2],
    distances: &[[usize; 2]],
) -> Option<Telling> {
    let mut best: Option<(Length, Telling)> = None;
    for between in distances.iter().copied() {
        let [a, b] = between;
        let again = measured.iter().position(|reading| {
            let [c, d] = reading.between;
            [c, d] == between || [d, c] == between
        });
        let drawn = |off: usize, by: Vector| {
            let at = |place: usize| moved(points, place, off, by);
            Length::metres((at(a) - at(b)).length())
        };
        let read = again.and_then(|again| measured.get(again));
        let expected = causes.map(|cause| match cause {
            Cause::Point { point, shift } if between.contains(point) => drawn(*point, shift.by),
            Cause::Reading { reading, off } if Some(*reading) == again => {
                read.map_or(drawn(a, Vector::default()), |read| read.distance) - *off
            }
            _ => read.map_or_else(|| drawn(a, Vector::default()), |read| read.distance),
        });
        let [one, other] = expected;
        let apart = (one - other).abs();
        if apart >= best.map_or(TELLS, |(apart, _)| apart) {
            let telling = Telling {
                between,
                again,
                expected,
            };
            best = Some((apart, telling));
        }
    }
    best.map(|(_, telling)| telling)
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// What a covariance makes of differences.
struct Weighed {
    /// Its inverse times the differences.
    weights: Vec<f64>,
    /// The differences in their own doubts, squared and summed: about their number where the covariance is right.
    square: f64,
    /// The logarithm of the root of its determinant.
    log_root: f64,
}

impl Weighed {
    /// The logarithm of the differences' likelihood but for what all causes have in common.
    const fn likelihood(&self) -> f64 {
        -0.5 * self.square - self.log_root
    }
}

/// What the differences vary by together, as a square of rows.
#[derive(Clone, Debug)]
struct Covariance {
    rows: Vec<Vec<f64>>,
}

impl Covariance {
    /// Of tape and build: distances that share a point vary together.
    fn of_sound_shell(measured: &[Measured], way: &[Way], doubts: &Doubts) -> Self {
        let (tape, build) = (
            doubts.tape.as_metres().powi(2),
            doubts.build.as_metres().powi(2),
        );
        let shared = |i: usize, j: usize| {
            let (Some(one), Some(other)) = (measured.get(i), measured.get(j)) else {
                return 0.0;
            };
            let (Some((u, _)), Some((v, _))) = (way.get(i), way.get(j)) else {
                return 0.0;
            };
            let mut sum = 0.0;
            for (place, a) in one.between.iter().enumerate() {
                for (other_place, b) in other.between.iter().enumerate() {
                    if a == b {
                        sum += if place == other_place {
                            u.dot(*v)
                        } else {
                            -u.dot(*v)
                        };
                    }
                }
            }
            sum * build + if i == j { tape } else { 0.0 }
        };
        let all = 0..measured.len();
        Self {
            rows: all
                .clone()
                .map(|i| all.clone().map(|j| shared(i, j)).collect())
                .collect(),
        }
    }

    /// With one more cause that moves all differences by this column.
    fn add(&mut self, column: &[f64], variance: f64) {
        for (row, a) in self.rows.iter_mut().zip(column) {
            for (cell, b) in row.iter_mut().zip(column) {
                *cell += variance * a * b;
            }
        }
    }

    /// Weighs differences (Cholesky).
    fn weigh(&self, differences: &[f64]) -> Weighed {
        let mut lower: Vec<Vec<f64>> = Vec::with_capacity(self.rows.len());
        let mut halves = Vec::with_capacity(self.rows.len());
        let mut log_root = 0.0;
        for (row, difference) in self.rows.iter().zip(differences) {
            let mut line: Vec<f64> = Vec::with_capacity(self.rows.len());
            for (before, cell) in lower.iter().zip(row) {
                let pivot = before.last().copied().unwrap_or(1.0);
                line.push(
                    (cell - dot(before.get(..before.len() - 1).unwrap_or_default(), &line)) / pivot,
                );
            }
            let own = row.get(lower.len()).copied().unwrap_or(1.0);
            // The tape's own variance keeps it above nothing.
            let pivot = (own - dot(&line, &line)).max(f64::MIN_POSITIVE).sqrt();
            halves.push((difference - dot(&line, &halves)) / pivot);
            log_root += pivot.ln();
            line.push(pivot);
            lower.push(line);
        }
        let square = dot(&halves, &halves);
        let mut weights = halves;
        for place in (0..lower.len()).rev() {
            let Some(line) = lower.get(place) else {
                continue;
            };
            let Some((pivot, before)) = line.split_last() else {
                continue;
            };
            let Some(value) = weights.get(place).map(|half| half / pivot) else {
                continue;
            };
            for (weight, cell) in weights.iter_mut().zip(before) {
                *weight -= cell * value;
            }
            if let Some(weight) = weights.get_mut(place) {
                *weight = value;
            }
        }
        Weighed {
            weights,
            square,
            log_root,
        }
    }
}

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

/// What explains the differences.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cause {
    /// Tape and build alone: the shell is as the card has it.
    Sound,
    /// One point is off.
    Point {
        /// Its place in the list.
        point: usize,
        /// Where it is, from where it should be.
        shift: Vector,
        /// How sure that is, along each axis: a standard deviation. Nearly what a hit point may be off by where the distances do not say.
        doubt: Vector,
    },
    /// One reading is wrong.
    Reading {
        /// Its place in the list.
        reading: usize,
        /// By how much it is more than the others say.
        off: Length,
    },
}

/// A cause and how much is to be believed of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Explanation {
    /// What it is.
    pub cause: Cause,
    /// Its share of belief, from 0 to 1, all causes weighed. Before anything is measured a half goes to a sound shell, a quarter to all points and a
    /// quarter to all readings: common practice, no source.
    pub belief: f64,
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
    let (_, likelihood) = base.weigh(&differences);
    let mut found = vec![(likelihood + 0.5_f64.ln(), Cause::Sound)];
    // What is not sound is as likely a point as a reading, and any of them alike.
    let one_of = |count: usize| (0.25 / count as f64).ln();
    for point in 0..points.len() {
        let columns: Vec<Vector> = measured
            .iter()
            .zip(&way)
            .map(|(reading, (way, _))| match reading.between {
                [a, _] if a == point => *way,
                [_, b] if b == point => -*way,
                _ => Vector::default(),
            })
            .collect();
        if columns.iter().all(|column| *column == Vector::default()) {
            continue;
        }
        let axes: [fn(&Vector) -> f64; 3] = [|v| v.x, |v| v.y, |v| v.z];
        let variance = doubts.hit.as_metres().powi(2);
        let mut with = base.clone();
        for axis in axes {
            let column: Vec<f64> = columns.iter().map(axis).collect();
            with.add(&column, variance);
        }
        let (weights, likelihood) = with.weigh(&differences);
        let along = |axis: fn(&Vector) -> f64| {
            let column: Vec<f64> = columns.iter().map(axis).collect();
            let (own, _) = with.weigh(&column);
            let told = variance * variance * dot(&own, &column);
            (
                variance * dot(&weights, &column),
                (variance - told).max(0.0).sqrt(),
            )
        };
        let [x, y, z] = axes.map(along);
        found.push((
            likelihood + one_of(points.len()),
            Cause::Point {
                point,
                shift: Vector::new(x.0, y.0, z.0),
                doubt: Vector::new(x.1, y.1, z.1),
            },
        ));
    }
    for reading in 0..measured.len() {
        let mut column = vec![0.0; measured.len()];
        if let Some(one) = column.get_mut(reading) {
            *one = 1.0;
        }
        let variance = doubts.slip.as_metres().powi(2);
        let mut with = base.clone();
        with.add(&column, variance);
        let (weights, likelihood) = with.weigh(&differences);
        let off = Length::metres(variance * dot(&weights, &column));
        found.push((
            likelihood + one_of(measured.len()),
            Cause::Reading { reading, off },
        ));
    }
    Ok(shared_out(found))
}

/// A direction from the second point to the first, and the distance as it should be.
type Way = (Vector, f64);

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
        let apart = *first - *second;
        let length = apart.length();
        if a == b || length <= 0.0 {
            return Err(ShellError::NoSuchPair { reading });
        }
        if !length.is_finite() || !distance.as_metres().is_finite() || *distance <= Length::ZERO {
            return Err(ShellError::NotANumber);
        }
        ways.push((apart * (1.0 / length), length));
    }
    Ok(ways)
}

/// Likelihoods, as logarithms, to shares of belief.
fn shared_out(found: Vec<(f64, Cause)>) -> Vec<Explanation> {
    let most = found
        .iter()
        .map(|(likelihood, _)| *likelihood)
        .fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = found
        .iter()
        .map(|(likelihood, _)| (likelihood - most).exp())
        .sum();
    let mut explanations: Vec<_> = found
        .into_iter()
        .map(|(likelihood, cause)| Explanation {
            cause,
            belief: (likelihood - most).exp() / sum,
        })
        .filter(|explanation| explanation.belief >= 1e-3)
        .collect();
    explanations.sort_by(|a, b| b.belief.total_cmp(&a.belief));
    explanations
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
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

    /// The inverse times these differences, and the logarithm of their likelihood but for what all causes have in common (Cholesky).
    fn weigh(&self, differences: &[f64]) -> (Vec<f64>, f64) {
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
        (weights, -0.5 * square - log_root)
    }
}

//! What is known of a wheel from all its readings and turns so far.

use super::{Rate, Reading};
use crate::quantity::{Angle, Length};
use crate::reading::Estimate;

/// How the errors of rates vary together: a square of rows over toe, camber of the first adjuster, toe, camber of the second and so on, in
/// (radians per metre)².
pub type Doubts = Vec<Vec<f64>>;

/// A wheel's toe and camber and by how much its adjusters' rates are off what was reckoned, with all their covariances.
///
/// Every reading and every turn is linear in these, so mean and covariance hold all that readings and turns tell (Kalman, A New Approach to Linear
/// Filtering and Prediction Problems, 1960; from memory). After a turn the prediction counts as one more reading, the more certain the less was turned:
/// a second round, which turns little, starts nearly as certain as the first ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    mean: Vec<f64>,
    covariance: Vec<Vec<f64>>,
}

impl Belief {
    /// After a first reading of both angles, with these doubts of the rates. No doubts at all stand for rates known exactly.
    pub fn new(toe: Estimate, camber: Estimate, doubts: &Doubts) -> Self {
        let size = doubts.len() + 2;
        let lone = |place: usize, variance: f64| {
            (0..size)
                .map(|other| if other == place { variance } else { 0.0 })
                .collect::<Vec<_>>()
        };
        let mut covariance = vec![
            lone(0, toe.uncertainty.as_radians().powi(2)),
            lone(1, camber.uncertainty.as_radians().powi(2)),
        ];
        covariance.extend(doubts.iter().map(|row| {
            let mut row: Vec<f64> = [0.0, 0.0].into_iter().chain(row.iter().copied()).collect();
            row.resize(size, 0.0);
            row
        }));
        let mut mean = vec![toe.value.as_radians(), camber.value.as_radians()];
        mean.resize(size, 0.0);
        Self { mean, covariance }
    }

    /// What is believed of toe and camber.
    pub fn reading(&self) -> Reading {
        let estimate = |place: usize| {
            let variance = self.variance(place, place)?;
            Some(Estimate::new(
                Angle::radians(*self.mean.get(place)?),
                Angle::radians(variance.max(0.0).sqrt()),
            ))
        };
        Reading {
            toe: estimate(0),
            camber: estimate(1),
        }
    }

    /// What is believed of the rates, given what was reckoned.
    pub fn rates(&self, reckoned: &[Rate]) -> Vec<Rate> {
        let off = |place: usize| self.mean.get(place).copied().unwrap_or(0.0);
        reckoned
            .iter()
            .enumerate()
            .map(|(adjuster, rate)| Rate {
                toe: rate.toe + off(2 + 2 * adjuster),
                camber: rate.camber + off(3 + 2 * adjuster),
            })
            .collect()
    }

    /// The standard uncertainties of an adjuster's rates to toe and camber, in radians per metre; none where it does not know the adjuster.
    pub fn doubt(&self, adjuster: usize) -> Option<[f64; 2]> {
        let one = |place: usize| Some(self.variance(place, place)?.max(0.0).sqrt());
        Some([one(2 + 2 * adjuster)?, one(3 + 2 * adjuster)?])
    }

    /// How far a reading is from what is believed, in standard deviations of their difference: the larger of toe's and camber's. Above 4, one in
    /// 16 000 readings of a normal distribution, something else is wrong than the reading's noise.
    pub fn surprise(&self, reading: &Reading) -> f64 {
        let [toe, camber] = [(0, reading.toe), (1, reading.camber)].map(|(place, read)| {
            let (Some(read), Some(mean)) = (read, self.mean.get(place)) else {
                return 0.0;
            };
            let variance =
                self.variance(place, place).unwrap_or(0.0) + read.uncertainty.as_radians().powi(2);
            let off = (read.value.as_radians() - mean).abs();
            if off > 0.0 {
                off / variance.max(0.0).sqrt()
            } else {
                0.0
            }
        });
        toe.max(camber)
    }

    /// After turning each adjuster by so much, with the rates reckoned for that turn. What the rates are off by is taken to be the same for every turn.
    pub fn turn(&mut self, reckoned: &[Rate], travels: &[Length]) {
        let rates = self.rates(reckoned);
        for (adjuster, (rate, travel)) in rates.iter().zip(travels).enumerate() {
            let travel = travel.as_metres();
            for (angle, rate) in [rate.toe, rate.camber].into_iter().enumerate() {
                if let Some(mean) = self.mean.get_mut(angle) {
                    *mean += rate * travel;
                }
                self.add(angle, 2 + 2 * adjuster + angle, travel);
            }
        }
    }

    /// After an adjuster of this rate was turned by an amount that is known so well, as a standard uncertainty.
    pub fn blur(&mut self, rate: &Rate, travel: Length) {
        let moved = [rate.toe, rate.camber].map(|rate| rate * travel.as_metres());
        for (row, a) in self.covariance.iter_mut().zip(moved) {
            for (cell, b) in row.iter_mut().zip(moved) {
                *cell += a * b;
            }
        }
    }

    /// After the car was moved and has settled again, each angle to so much, as a standard uncertainty.
    pub fn settle(&mut self, to: Angle) {
        for place in [0, 1] {
            if let Some(cell) = self
                .covariance
                .get_mut(place)
                .and_then(|row| row.get_mut(place))
            {
                *cell += to.as_radians().powi(2);
            }
        }
    }

    /// After one more reading, independent of all before.
    pub fn read(&mut self, reading: &Reading) {
        for (place, read) in [reading.toe, reading.camber].into_iter().enumerate() {
            let (Some(read), Some(mean), Some(column)) = (
                read,
                self.mean.get(place).copied(),
                self.covariance.get(place).cloned(),
            ) else {
                continue;
            };
            let spread =
                column.get(place).copied().unwrap_or(0.0) + read.uncertainty.as_radians().powi(2);
            // What is known exactly learns nothing.
            if spread <= 0.0 {
                continue;
            }
            let surprise = (read.value.as_radians() - mean) / spread;
            for (mean, share) in self.mean.iter_mut().zip(&column) {
                *mean += share * surprise;
            }
            for (row, a) in self.covariance.iter_mut().zip(&column) {
                for (cell, b) in row.iter_mut().zip(&column) {
                    *cell -= a * b / spread;
                }
            }
        }
    }

    fn variance(&self, row: usize, column: usize) -> Option<f64> {
        self.covariance.get(row)?.get(column).copied()
    }

    /// Adds a multiple of one unknown to another, in the covariances.
    fn add(&mut self, to: usize, from: usize, factor: f64) {
        let Some(source) = self.covariance.get(from).cloned() else {
            return;
        };
        if let Some(row) = self.covariance.get_mut(to) {
            for (cell, source) in row.iter_mut().zip(&source) {
                *cell += factor * source;
            }
        }
        for row in &mut self.covariance {
            let source = row.get(from).copied().unwrap_or(0.0);
            if let Some(cell) = row.get_mut(to) {
                *cell += factor * source;
            }
        }
    }
}

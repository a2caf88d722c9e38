//! Values with a standard uncertainty, after JCGM 100:2008 (the GUM).

use super::ReadingError;
use crate::quantity::{Angle, Length};

/// Student's factor that makes the mean of `n` repeats cover 68.27 % as one standard uncertainty does, for n = 2, 3, ...
/// (JCGM 100:2008, Table G.2).
const STUDENT: [f64; 9] = [1.84, 1.32, 1.20, 1.14, 1.11, 1.09, 1.08, 1.07, 1.06];

/// An angle and how well it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: Angle,
    /// Its standard uncertainty.
    pub uncertainty: Angle,
}

impl Estimate {
    /// An angle known so well.
    pub const fn new(value: Angle, uncertainty: Angle) -> Self {
        Self { value, uncertainty }
    }

    /// The sum with another, independent one.
    pub fn plus(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            uncertainty: root(self.uncertainty, other.uncertainty),
        }
    }

    /// The difference to another, independent one.
    pub fn minus(self, other: Self) -> Self {
        Self {
            value: self.value - other.value,
            uncertainty: root(self.uncertainty, other.uncertainty),
        }
    }

    /// A multiple.
    pub fn times(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            uncertainty: self.uncertainty * factor.abs(),
        }
    }
}

fn root(a: Angle, b: Angle) -> Angle {
    Angle::radians(a.as_radians().hypot(b.as_radians()))
}

/// Mean of repeats and its standard uncertainty, `t s / √n`: their standard deviation s (JCGM 100:2008, 4.2) widened by Student's factor t.
/// One alone has none.
fn repeats(values: &[f64]) -> Option<(f64, f64)> {
    let n = values.len();
    let count = n as f64;
    if n == 0 {
        return None;
    }
    let mean = values.iter().sum::<f64>() / count;
    if n == 1 {
        return Some((mean, 0.0));
    }
    let variance = values
        .iter()
        .map(|value| (value - mean).powi(2))
        .sum::<f64>()
        / (count - 1.0);
    let student = STUDENT.get(n - 2).copied().unwrap_or(1.05);
    Some((mean, student * (variance / count).sqrt()))
}

/// Mean and standard uncertainty of repeats, with the resolution r as a rectangular distribution, `r²/12` (JCGM 100:2008, F.2.2.1).
fn pool(values: &[f64], resolution: f64) -> Option<(f64, f64)> {
    let (mean, uncertainty) = repeats(values)?;
    Some((mean, uncertainty.hypot(resolution / 12.0_f64.sqrt())))
}

/// The mean of repeats that carry an uncertainty of their own. What each has alone may be common to all, so it is not made smaller by repeating: it
/// stands beside what the repeats differ by. None where there are none.
pub fn mean_of(estimates: &[Estimate]) -> Option<Estimate> {
    let values: Vec<_> = estimates
        .iter()
        .map(|estimate| estimate.value.as_radians())
        .collect();
    let (mean, uncertainty) = repeats(&values)?;
    let squares = estimates
        .iter()
        .map(|estimate| estimate.uncertainty.as_radians().powi(2))
        .sum::<f64>();
    let own = (squares / values.len() as f64).sqrt();
    Some(Estimate::new(
        Angle::radians(mean),
        Angle::radians(uncertainty.hypot(own)),
    ))
}

/// A length read, perhaps several times.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LengthSample {
    /// The mean.
    pub mean: Length,
    /// Its standard uncertainty.
    pub uncertainty: Length,
}

impl LengthSample {
    /// From repeats read with a smallest division.
    ///
    /// # Errors
    /// Nothing was read.
    pub fn of(values: &[Length], division: Length) -> Result<Self, ReadingError> {
        let metres: Vec<_> = values.iter().map(|value| value.as_metres()).collect();
        let (mean, uncertainty) =
            pool(&metres, division.as_metres()).ok_or(ReadingError::Nothing)?;
        Ok(Self {
            mean: Length::metres(mean),
            uncertainty: Length::metres(uncertainty),
        })
    }
}

/// An angle read, perhaps several times.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AngleSample(Estimate);

impl AngleSample {
    /// From repeats read with a smallest division.
    ///
    /// # Errors
    /// Nothing was read.
    pub fn of(values: &[Angle], division: Angle) -> Result<Self, ReadingError> {
        let radians: Vec<_> = values.iter().map(|value| value.as_radians()).collect();
        let (mean, uncertainty) =
            pool(&radians, division.as_radians()).ok_or(ReadingError::Nothing)?;
        Ok(Self(Estimate::new(
            Angle::radians(mean),
            Angle::radians(uncertainty),
        )))
    }

    /// As an estimate.
    pub const fn estimate(self) -> Estimate {
        self.0
    }
}

/// Differences of two distances read together, as found and after the wheel rolled half a turn.
///
/// A rim that runs out adds to one and takes from the other, so the mean of both is free of it and half their difference is the
/// runout.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rolled {
    /// First less second.
    pub difference: Length,
    /// Its standard uncertainty.
    pub uncertainty: Length,
    /// Half the difference between the two positions; none where only one was read.
    pub runout: Option<Length>,
}

impl Rolled {
    /// From pairs as found and pairs read half a wheel turn later, with the smallest division of the rule.
    ///
    /// # Errors
    /// Nothing was read.
    pub fn of(
        found: &[(Length, Length)],
        rolled: &[(Length, Length)],
        division: Length,
    ) -> Result<Self, ReadingError> {
        // Each difference comes from two readings of the rule.
        let of_two = division * 2.0_f64.sqrt();
        let sample = |pairs: &[(Length, Length)]| {
            let differences: Vec<_> = pairs
                .iter()
                .map(|(first, second)| *first - *second)
                .collect();
            LengthSample::of(&differences, of_two)
        };
        match (sample(found), sample(rolled)) {
            (Ok(a), Ok(b)) => Ok(Self {
                difference: (a.mean + b.mean) / 2.0,
                uncertainty: Length::metres(
                    a.uncertainty.as_metres().hypot(b.uncertainty.as_metres()) / 2.0,
                ),
                runout: Some((a.mean - b.mean) / 2.0),
            }),
            (Ok(one), Err(_)) | (Err(_), Ok(one)) => Ok(Self {
                difference: one.mean,
                uncertainty: one.uncertainty,
                runout: None,
            }),
            (Err(error), Err(_)) => Err(error),
        }
    }
}

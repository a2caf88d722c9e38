//! Toe from strings, and from a tape across the treads.

use super::{Estimate, LengthSample, ReadingError, Rolled};
use crate::quantity::{Angle, Length};

/// Distances from each string to the hub face it passes, square to the string.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hubs {
    /// Left front.
    pub left_front: LengthSample,
    /// Left rear.
    pub left_rear: LengthSample,
    /// Right front.
    pub right_front: LengthSample,
    /// Right rear.
    pub right_rear: LengthSample,
}

/// What tells how far the two strings spread: both tracks, or the strings' own spacing at two places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Taper {
    /// Hub face to hub face at both axles.
    Tracks {
        /// At the front.
        front: LengthSample,
        /// At the rear.
        rear: LengthSample,
    },
    /// String to string, ahead of and behind the car.
    Spacing {
        /// Ahead.
        ahead: LengthSample,
        /// Behind.
        behind: LengthSample,
        /// From the one place to the other.
        apart: Length,
    },
}

/// How the two strings run past the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StringLines {
    /// The angle by which both together are turned against the car, positive where the left one leaves the car going forward.
    pub skew: Estimate,
    /// The angle by which they spread going forward.
    pub taper: Estimate,
}

impl StringLines {
    /// From the hub distances `h`, the wheelbase `L` and what tells the taper.
    ///
    /// Going forward the left string leaves the car's centreline at the slope `s_left = (y(front) − y(rear)) / L`, where `y = h + T/2`
    /// is its distance from the centreline at an axle of track `T`; the right one likewise. Half their difference,
    /// `skew = (h_LF − h_LR − h_RF + h_RR) / 2L`, needs no track. Their sum is the taper: `(h_LF − h_LR + h_RF − h_RR + T_F − T_R) / L`, or
    /// the strings' own `(w_ahead − w_behind) / apart`. Skew and taper are independent of each other where the four hub distances are
    /// equally well known, which is taken as given.
    ///
    /// # Errors
    /// A wheelbase, or a distance between the two places, that is not more than zero.
    pub fn of(hubs: &Hubs, wheelbase: Length, taper: &Taper) -> Result<Self, ReadingError> {
        if wheelbase <= Length::ZERO {
            return Err(ReadingError::NoBase);
        }
        let lengthwise = |length: Length, over: Length| Angle::radians((length / over).atan());
        let spread = |samples: &[&LengthSample]| {
            Length::metres(
                samples
                    .iter()
                    .map(|sample| sample.uncertainty.as_metres().powi(2))
                    .sum::<f64>()
                    .sqrt(),
            )
        };
        let Hubs {
            left_front,
            left_rear,
            right_front,
            right_rear,
        } = hubs;
        let four = spread(&[left_front, left_rear, right_front, right_rear]);
        let skew = Estimate::new(
            lengthwise(
                (left_front.mean - left_rear.mean - right_front.mean + right_rear.mean) / 2.0,
                wheelbase,
            ),
            lengthwise(four / 2.0, wheelbase),
        );
        let taper = match taper {
            Taper::Tracks { front, rear } => {
                let spreading = left_front.mean - left_rear.mean + right_front.mean
                    - right_rear.mean
                    + front.mean
                    - rear.mean;
                let uncertainty =
                    spread(&[left_front, left_rear, right_front, right_rear, front, rear]);
                Estimate::new(
                    lengthwise(spreading, wheelbase),
                    lengthwise(uncertainty, wheelbase),
                )
            }
            Taper::Spacing { apart, .. } if *apart <= Length::ZERO => {
                return Err(ReadingError::NoBase);
            }
            Taper::Spacing {
                ahead,
                behind,
                apart,
            } => Estimate::new(
                lengthwise(ahead.mean - behind.mean, *apart),
                lengthwise(spread(&[ahead, behind]), *apart),
            ),
        };
        Ok(Self { skew, taper })
    }

    /// The angle at which the left string leaves the car going forward.
    pub fn left(&self) -> Estimate {
        self.taper.times(0.5).plus(self.skew)
    }

    /// The angle at which the right string leaves the car going forward.
    pub fn right(&self) -> Estimate {
        self.taper.times(0.5).minus(self.skew)
    }
}

/// The angle of one wheel to the string outside it: `asin((front − rear) / D)`, where front and rear are the distances from the string to
/// the rim's front and rear edge and `D` lies between those two points. Toe-in puts the front edge farther from the string. The
/// wheel's toe is this less the angle at which the string leaves the car: see [`AxleToe::by_strings`](super::AxleToe::by_strings).
///
/// # Errors
/// Distances that differ by more than `D`, or a `D` that is not more than zero.
pub fn angle_to_string(edges: &Rolled, across: Length) -> Result<Estimate, ReadingError> {
    arc_sine(edges.difference, edges.uncertainty, across)
}

/// Total toe of an axle from tape across the treads at hub height: `2 asin((behind − ahead) / 2D)`, where `D` lies between the marks of one
/// tyre ahead and behind. It says nothing of either wheel alone.
///
/// # Errors
/// Distances that differ by more than `2 D`, or a `D` that is not more than zero.
pub fn total_toe_by_treads(
    ahead_behind: &Rolled,
    between_marks: Length,
) -> Result<Estimate, ReadingError> {
    Ok(arc_sine(
        -ahead_behind.difference,
        ahead_behind.uncertainty,
        between_marks * 2.0,
    )?
    .times(2.0))
}

/// `asin(difference / across)` with its uncertainty.
pub(super) fn arc_sine(
    difference: Length,
    uncertainty: Length,
    across: Length,
) -> Result<Estimate, ReadingError> {
    if across <= Length::ZERO {
        return Err(ReadingError::NoBase);
    }
    let share = difference / across;
    if share.abs() >= 1.0 {
        return Err(ReadingError::Impossible);
    }
    let slope = 1.0 / (1.0 - share * share).sqrt();
    Ok(Estimate::new(
        Angle::radians(share.asin()),
        Angle::radians(uncertainty / across * slope),
    ))
}

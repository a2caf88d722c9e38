//! Readings: instruments to toe, camber and caster, each with a standard uncertainty.
//!
//! Axes are those of ISO 8855: x forward, y left, z up. Toe-in is positive; camber is negative when the top leans in.

mod camber;
mod caster;
mod estimate;
mod phone;
mod toe;
mod wheels;

pub use camber::camber_by_plumb;
pub use caster::{SteeringAxis, Swing, caster_multiplier};
pub use estimate::{AngleSample, Estimate, LengthSample, Rolled, mean_of};
pub use phone::{Held, Reversal, Seen, Tilt, TiltError, Watch, turned_between};
pub use toe::{Hubs, StringLines, Taper, angle_to_string, total_toe_by_treads};
pub use wheels::{AxleCamber, AxleToe};

use std::fmt;

/// Why readings do not come to an angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadingError {
    /// Nothing was read.
    Nothing,
    /// Two distances differ by more than the distance between the points they are taken at.
    Impossible,
    /// The distance between the two points, or between two places, is not more than zero.
    NoBase,
    /// A wheel steered by too little for a swing.
    NoSteer,
    /// Cambers that no steering axis gives.
    NoAxis,
}

impl fmt::Display for ReadingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Nothing => "Nothing is read here yet.",
            Self::Impossible => "The two distances differ by more than the rim is across. Measure both again from the same line.",
            Self::NoBase => "The distance between the two points must be more than zero, such as 430 mm.",
            Self::NoSteer => "Steer the wheel by at least 5° each way, usually 20°.",
            Self::NoAxis => "No steering axis gives these cambers. Read each again at the same steer.",
        })
    }
}

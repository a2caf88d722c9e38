//! Readings: instruments to toe and camber, each with a standard uncertainty.
//!
//! Axes are those of ISO 8855: x forward, y left, z up. Toe-in is positive; camber is negative when the top leans in.

mod camber;
mod estimate;
mod toe;
mod wheels;

pub use camber::camber_by_plumb;
pub use estimate::{AngleSample, Estimate, LengthSample, Rolled};
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
}

impl fmt::Display for ReadingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Nothing => "Nothing is read here yet.",
            Self::Impossible => "The two distances differ by more than the rim is across. Measure both again from the same line.",
            Self::NoBase => "The distance between the two points must be more than zero, such as 430 mm.",
        })
    }
}

//! From a wanted toe and camber to the lengths that give them.

use super::geometry::Geometry;
use super::mover::Mover;
use super::pose::{Changes, Linkage, PoseError};
use crate::quantity::{Angle, AngleUnit, Length, write_angle};

/// Why no lengths give a toe and a camber.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReachError {
    /// On the way there the linkage comes to its end.
    Pose(PoseError),
    /// The two adjusters do not move toe and camber apart from each other, or an adjuster moves nothing.
    Alike,
    /// The search did not arrive: the target is out of the linkage's reach.
    OutOfReach {
        /// What is left of toe.
        toe: Angle,
        /// What is left of camber.
        camber: Angle,
    },
}

impl ReachError {
    /// In a sentence, with the names of this geometry.
    pub fn words(&self, geometry: &Geometry) -> String {
        match self {
            Self::Pose(error) => error.words(geometry),
            Self::Alike => "The two adjusters do not move toe and camber apart from each other: one moves nothing, or both do the same.".to_owned(),
            Self::OutOfReach { toe, camber }
                if toe.as_degrees().is_nan() || camber.as_degrees().is_nan() =>
            {
                "The wanted toe or camber is not a number.".to_owned()
            }
            Self::OutOfReach { toe, camber } => {
                let [toe, camber] =
                    [toe, camber].map(|off| write_angle(off.abs(), AngleUnit::Degree));
                format!(
                    "No lengths of these two adjusters give that: toe stays {toe} off, camber {camber}."
                )
            }
        }
    }
}

/// Within this the target is reached, in radians: far below anything measured.
const CLOSE: f64 = 1e-13;
/// No step changes a length by more, in metres: beyond it the rates are another corner's.
const LONGEST: f64 = 0.02;
/// Steps of Newton's method before it is given up.
const MOST_STEPS: u32 = 40;

impl Linkage {
    /// By how much two adjusters must be further for a toe and a camber, the other lengths as they are, at drawn ride height. Newton's method with the
    /// exact rates.
    ///
    /// # Errors
    /// Adjusters that move nothing or the same, and targets that no length gives.
    pub fn reach(
        &self,
        from: &Changes,
        movers: &[Mover; 2],
        [toe, camber]: [Angle; 2],
    ) -> Result<[Length; 2], ReachError> {
        let mut adjust = [0.0; 2];
        let mut near = self.drawn();
        for step in 0..=MOST_STEPS {
            let set = self.set(movers, &adjust.map(Length::metres));
            let pose = set
                .pose_from(&near, from, Length::ZERO)
                .map_err(ReachError::Pose)?;
            let wheel = self.wheel(&pose);
            let off = [toe - wheel.toe, camber - wheel.camber];
            let [a, b] = off.map(Angle::as_radians);
            if a.abs() <= CLOSE && b.abs() <= CLOSE {
                return Ok(adjust.map(Length::metres));
            }
            if step == MOST_STEPS || a.is_nan() || b.is_nan() {
                let [toe, camber] = off;
                return Err(ReachError::OutOfReach { toe, camber });
            }
            let rates = set.rates_of(&pose, movers).map_err(ReachError::Pose)?;
            let [first, second] = rates.as_slice() else {
                return Err(ReachError::Alike);
            };
            let (toe_first, toe_second) = (first.toe, second.toe);
            let (camber_first, camber_second) = (first.camber, second.camber);
            let whole = toe_first * camber_second - toe_second * camber_first;
            let size = toe_first.hypot(camber_first) * toe_second.hypot(camber_second);
            // Closer to parallel than a thousandth of a radian, or no movement at all.
            if whole.is_nan() || whole.abs() <= 1e-3 * size {
                return Err(ReachError::Alike);
            }
            let [one, other] = [
                (a * camber_second - b * toe_second) / whole,
                (b * toe_first - a * camber_first) / whole,
            ];
            let scale = (LONGEST / one.abs().max(other.abs())).min(1.0);
            adjust = [adjust[0] + one * scale, adjust[1] + other * scale];
            near = pose;
        }
        // The last step returns.
        Err(ReachError::Alike)
    }
}

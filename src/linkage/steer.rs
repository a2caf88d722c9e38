//! Steering by a rack: toe of both wheels of an axle.

use super::limits::Rack;
use super::pose::{Linkage, PoseError};
use crate::quantity::{Angle, Length};

/// A shift of the rack towards the corner's own side, and toe there of its wheel and of the one across; or why there is none.
pub type Steered = (Length, Result<[Angle; 2], PoseError>);

impl Linkage {
    /// Toe of this corner's wheel and of its mirror image's with the rack further and further to this corner's own side, from straight ahead in so many
    /// steps, at the drawn height.
    pub fn steered(&self, rack: &Rack, steps: u32) -> Vec<Steered> {
        let mut near = [self.drawn(); 2];
        let mut toe = |shift: Length, which: usize| -> Result<Angle, PoseError> {
            let racked = self.racked(rack.link, shift * self.outwards());
            let from = near.get(which).copied().unwrap_or(self.drawn());
            let pose = racked.pose_from(&from, &Default::default(), Length::ZERO)?;
            if let Some(near) = near.get_mut(which) {
                *near = pose;
            }
            Ok(racked.wheel(&pose).toe)
        };
        (0..=steps)
            .map(|step| {
                let shift = rack.each_way * (f64::from(step) / f64::from(steps.max(1)));
                // What moves the rack to one wheel moves it from the other.
                let both = toe(shift, 0).and_then(|own| Ok([own, toe(-shift, 1)?]));
                (shift, both)
            })
            .collect()
    }

    /// How far apart the steering axes of this corner and its mirror image meet the ground, as drawn; none where it has no steering axis.
    pub fn axes_apart(&self) -> Option<Length> {
        let drawn = self.drawn();
        let [lower, upper] = self.axis_ends(&drawn)?;
        let ground = self.wheel(&drawn).contact.z;
        let share = (ground - lower.z) / (upper.z - lower.z);
        let across = lower.y + (upper.y - lower.y) * share;
        Some(Length::metres(2.0 * across.abs()))
    }
}

/// How far the inner wheel steers where the outer one steers so far and both roll without scrub, the lines square to both meeting on the line of the other
/// axle: `cot outer - cot inner = apart / wheelbase`, known as Ackermann's condition.
pub fn rolling_true(outer: Angle, apart: Length, wheelbase: Length) -> Angle {
    let (sine, cosine) = (outer.sin(), outer.cos());
    Angle::radians(sine.atan2(cosine - sine * (apart / wheelbase)))
}

//! What the two wheels of an axle come to together. What both share, the strings' lines or the floor, is counted once: it is not
//! independent between them.

use super::{Estimate, StringLines};

/// Toe of an axle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AxleToe {
    /// The left wheel.
    pub left: Option<Estimate>,
    /// The right wheel.
    pub right: Option<Estimate>,
    /// Total toe: left plus right (ISO 8855:2011, 7.1.7).
    pub total: Option<Estimate>,
    /// Half of left less right. On the rear axle it is the thrust angle, positive where the axle points to the right (common
    /// practice, no source; signs differ between makers, so it is shown in words).
    pub thrust: Option<Estimate>,
}

impl AxleToe {
    /// From each wheel's angle to its string, and how the strings run.
    pub fn by_strings(
        left: Option<Estimate>,
        right: Option<Estimate>,
        lines: &StringLines,
    ) -> Self {
        Self {
            left: left.map(|left| left.minus(lines.left())),
            right: right.map(|right| right.minus(lines.right())),
            // The skew cancels in the sum, the taper in the difference.
            total: left
                .zip(right)
                .map(|(left, right)| left.plus(right).minus(lines.taper)),
            thrust: left
                .zip(right)
                .map(|(left, right)| left.minus(right).times(0.5).minus(lines.skew)),
        }
    }

    /// From each wheel's own reading.
    pub fn by_wheels(left: Option<Estimate>, right: Option<Estimate>) -> Self {
        let both = left.zip(right);
        Self {
            left,
            right,
            total: both.map(|(left, right)| left.plus(right)),
            thrust: both.map(|(left, right)| left.minus(right).times(0.5)),
        }
    }

    /// From total toe alone, taken as half to each wheel. It does not know where the axle points.
    pub fn by_total(total: Estimate) -> Self {
        let half = Some(total.times(0.5));
        Self {
            left: half,
            right: half,
            total: Some(total),
            thrust: None,
        }
    }
}

/// Camber of an axle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AxleCamber {
    /// The left wheel.
    pub left: Option<Estimate>,
    /// The right wheel.
    pub right: Option<Estimate>,
    /// Left less right.
    pub cross: Option<Estimate>,
}

impl AxleCamber {
    /// From each wheel's camber against gravity, and the floor's cross-slope, positive where the left side is higher.
    ///
    /// The wheel stands on the floor. A floor higher on the left tips both wheels to the right: the left top in, the right top
    /// out. So the slope is added on the left and taken away on the right.
    pub fn on_floor(left: Option<Estimate>, right: Option<Estimate>, slope: Estimate) -> Self {
        Self {
            left: left.map(|left| left.plus(slope)),
            right: right.map(|right| right.minus(slope)),
            cross: left
                .zip(right)
                .map(|(left, right)| left.minus(right).plus(slope.times(2.0))),
        }
    }
}

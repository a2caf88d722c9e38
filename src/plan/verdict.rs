//! What a reading says about a tolerance, after JCGM 106:2012 and ISO 14253-1.

use crate::quantity::Angle;
use crate::reading::Estimate;

/// How many standard uncertainties the guard band takes from the tolerance: with it a value called inside is truly inside with at
/// least 95 % (JCGM 106:2012, 8.3.2; the default of ISO 14253-1).
const GUARD: f64 = 1.645;
/// The edge of a tolerance belongs to it, whatever the last bit says: a share of the tolerance far below anything measured.
pub(super) const EDGE: f64 = 1e-9;

/// A value to aim at and how far it may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// The value to aim at.
    pub aim: Angle,
    /// How far it may be off, either way.
    pub tolerance: Angle,
}

/// What a reading says about its tolerance, the best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Inside by more than the guard band.
    InsideForCertain,
    /// The reading is inside, the true value may not be.
    InsideByReading,
    /// The reading is outside by less than the guard band: read again.
    CannotTell,
    /// Outside by more than the guard band.
    Outside,
}

/// The part of the tolerance given up to measurement uncertainty.
pub fn guard_band(estimate: Estimate) -> Angle {
    estimate.uncertainty * GUARD
}

/// What a reading says about its tolerance.
pub fn verdict(estimate: Estimate, target: Target) -> Verdict {
    let off = (estimate.value - target.aim).abs() - target.tolerance * EDGE;
    let guard = guard_band(estimate);
    if off <= target.tolerance - guard {
        Verdict::InsideForCertain
    } else if off <= target.tolerance {
        Verdict::InsideByReading
    } else if off <= target.tolerance + guard {
        Verdict::CannotTell
    } else {
        Verdict::Outside
    }
}

//! Camber from a plumb line or straightedge.

use super::toe::arc_sine;
use super::{Estimate, ReadingError, Rolled};
use crate::quantity::Length;

/// Camber against gravity from a plumb line outside the wheel: `−asin((top − bottom) / D)`, where top and bottom are the distances from the
/// line to the rim's top and bottom edge and `D` lies between those two points. A top that leans in is farther from the line.
///
/// # Errors
/// Distances that differ by more than `D`, or a `D` that is not more than zero.
pub fn camber_by_plumb(edges: &Rolled, across: Length) -> Result<Estimate, ReadingError> {
    arc_sine(-edges.difference, edges.uncertainty, across)
}

//! A corner's hardpoints on their way from one page to another, in the address of the other.

use super::typed::Typed;
use super::{CornerGeometry, Json, Problem};

/// Longer than any corner is.
const LONGEST: usize = 20_000;

/// A corner as text.
pub fn write_corner(corner: &CornerGeometry) -> String {
    let mut text = String::new();
    corner.write(&mut text);
    text
}

/// A corner out of text.
///
/// # Errors
/// What cannot be read, field by field, or what keeps the links from holding a wheel.
pub fn read_corner(text: &str) -> Result<CornerGeometry, Vec<Problem>> {
    let mut corner = CornerGeometry::default();
    if text.len() > LONGEST {
        return Err(vec![Problem::at("corner", "is too long for a corner.")]);
    }
    let json = Json::parse(text)
        .map_err(|_| vec![Problem::at("corner", "is cut off, or was changed.")])?;
    corner.fill(json).map_err(|fault| fault.problems())?;
    let mut problems: Vec<_> = corner
        .geometry()
        .problems()
        .iter()
        .map(|problem| Problem::at("corner", problem.to_string()))
        .collect();
    // A limit on a link that is not there would be lost without a word.
    let rod_ends = corner.rod_ends.iter().map(|rod_end| &rod_end.link);
    let mut links = rod_ends.chain(corner.rack.iter().map(|rack| &rack.link));
    if links.any(|link| corner.link(link).is_none()) {
        problems.push(Problem::at(
            "corner",
            "limits the joint of a link that it does not have.",
        ));
    }
    if problems.is_empty() {
        Ok(corner)
    } else {
        Err(problems)
    }
}

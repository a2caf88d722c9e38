//! Curves over travel both ways from the drawn height, and as a table for a spreadsheet.

use super::point::write_mm;
use super::pose::{Linkage, PoseError};
use super::travel::Place;
use crate::quantity::{Fixed, Length};

/// A travel, and the place there, or why there is none.
pub type Travelled = (Length, Result<Place, PoseError>);

impl Linkage {
    /// The curve from so far below the drawn height to so far above it, in so many steps each way, one at least. Where the linkage ends, the rest
    /// says why.
    pub fn both_ways(&self, droop: Length, bump: Length, steps: u32) -> Vec<Travelled> {
        let steps = steps.max(1);
        let way = |reach: Length| {
            let (places, end) = self.sweep(&Default::default(), [Length::ZERO, reach], steps + 1);
            let mut way: Vec<Travelled> = Vec::new();
            let mut places = places.into_iter();
            for step in 0..=steps {
                let travel = reach * (f64::from(step) / f64::from(steps));
                // A curve that does not reach has an end.
                let missing = end.unwrap_or(PoseError::Singular { link: 6 });
                way.push((travel, places.next().ok_or(missing)));
            }
            way
        };
        let mut curve = way(-droop);
        curve.reverse();
        curve.extend(way(bump).into_iter().skip(1));
        curve
    }
}

/// What a curve is written of, each with its unit.
const QUANTITIES: [(&str, &str); 5] = [
    ("toe", "deg"),
    ("camber", "deg"),
    ("half-track change", "mm"),
    ("wheel centre forward", "mm"),
    ("roll centre height", "mm"),
];

/// Curves over the same travels as comma-separated values with decimal points, each curve with its name behind its quantities: travel, change of
/// half track, the wheel centre's way forward and roll centre height in millimetres, toe and camber in degrees. What a linkage does not reach is left empty.
pub fn write_curves(curves: &[(&str, &[Travelled])]) -> String {
    let mut text = String::from("travel (mm)");
    for (name, _) in curves {
        for (quantity, unit) in QUANTITIES {
            text.push_str(&format!(",{quantity} {name} ({unit})"));
        }
    }
    text.push('\n');
    let travels = curves.first().map(|(_, curve)| *curve).unwrap_or_default();
    for (row, (travel, _)) in travels.iter().enumerate() {
        text.push_str(&write_mm(*travel));
        for (_, curve) in curves {
            let place = curve.get(row).and_then(|(_, place)| place.as_ref().ok());
            let values = place.map(|place| {
                [
                    (place.wheel.toe.as_degrees(), 4),
                    (place.wheel.camber.as_degrees(), 4),
                    (place.wheel.half_track.as_mm(), 3),
                    (place.wheel.forward.as_mm(), 3),
                    (place.roll_centre().as_mm(), 1),
                ]
            });
            for value in 0..QUANTITIES.len() {
                text.push(',');
                let value = values.and_then(|values| values.get(value).copied());
                if let Some((value, decimals)) = value.filter(|(value, _)| value.is_finite()) {
                    text.push_str(&Fixed(value, decimals).to_string());
                }
            }
        }
        text.push('\n');
    }
    text
}

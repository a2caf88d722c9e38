//! The slot scale: a slotted hole with its scale, the bolt where it is and where it goes.

use super::{WIDTH, circle, escape, text};
use crate::quantity::{Fixed, Length};
use std::fmt::Write;

/// A bolt that slides in its slot.
#[derive(Clone, Debug, PartialEq)]
pub struct SlotScale {
    /// How far it slides either way from its middle, more than zero.
    pub range: Length,
    /// From one tick of the scale to the next: the smallest move.
    pub step: Length,
    /// Where it is, positive outwards.
    pub from: Length,
    /// Where it goes.
    pub to: Length,
    /// Whether outwards is to the left, as on the left side of the car seen from behind.
    pub out_is_left: bool,
    /// The whole instruction in words, for those who do not see the drawing.
    pub words: String,
}

/// Half the drawn length of the way either side of the middle.
const HALF: f64 = 130.0;
const MIDDLE: f64 = WIDTH / 2.0;
/// The height of the slot's axis.
const AXIS: f64 = 52.0;
/// The bolt's radius: it is not to scale, the way is.
const BOLT: f64 = 17.0;
/// Where the scale stands.
const SCALE: Fixed = Fixed(82.0, 0);
/// Closer ticks than so many are no help.
const MOST_TICKS: f64 = 60.0;

impl SlotScale {
    /// As SVG markup.
    pub fn svg(&self) -> String {
        let way = if self.out_is_left { -HALF } else { HALF };
        let x = |slide: Length| MIDDLE + way * (slide / self.range).clamp(-1.0, 1.0);
        let (from, to) = (x(self.from), x(self.to));
        let mut svg = format!(
            "<svg class='drawing' viewBox='0 0 {} 132' role='img' aria-label=\"{}\">\
             <rect x='{}' y='{}' width='{}' height='{}' rx='{}' class='ink heavy'/>",
            Fixed(WIDTH, 0),
            escape(&self.words),
            Fixed(MIDDLE - HALF - BOLT, 1),
            Fixed(AXIS - BOLT, 1),
            Fixed(2.0 * (HALF + BOLT), 1),
            Fixed(2.0 * BOLT, 1),
            Fixed(BOLT, 1),
        );
        // The scale, its middle longer.
        let _ = write!(
            svg,
            "<path class='thin' d='M{} {SCALE}H{}M{middle} {SCALE}v14",
            Fixed(MIDDLE - HALF, 1),
            Fixed(MIDDLE + HALF, 1),
            middle = Fixed(MIDDLE, 1),
        );
        let count = self.range / self.step;
        if (1.0..=MOST_TICKS / 2.0).contains(&count) {
            for tick in 1..=count as u32 {
                let off = HALF * f64::from(tick) / count;
                for x in [MIDDLE - off, MIDDLE + off] {
                    let _ = write!(svg, "M{} {SCALE}v8", Fixed(x, 1));
                }
            }
        }
        let _ = write!(
            svg,
            "'/><g stroke-dasharray='4 3'><circle cx='{}' cy='{}' r='{}' class='ink'/></g>",
            Fixed(from, 1),
            Fixed(AXIS, 1),
            Fixed(BOLT - 3.0, 1),
        );
        circle(&mut svg, (to, AXIS), BOLT - 3.0, "ink heavy solid");
        let _ = write!(
            svg,
            "<path class='thin' d='M{} {}V{SCALE}'/>",
            Fixed(to, 1),
            Fixed(AXIS, 1)
        );
        arrow(&mut svg, from, to);
        let [left, right] = if self.out_is_left {
            ["outwards", "inwards"]
        } else {
            ["inwards", "outwards"]
        };
        text(&mut svg, 4.0, 122.0, "", left);
        let _ = write!(
            svg,
            "<text x='{}' y='112' text-anchor='middle'>0</text><text x='{}' y='122' text-anchor='end'>{right}</text></svg>",
            Fixed(MIDDLE, 1),
            Fixed(WIDTH - 4.0, 1)
        );
        svg
    }
}

/// The move, above the slot. One too short to see is left to the words.
fn arrow(svg: &mut String, from: f64, to: f64) {
    let length = (to - from).abs();
    if length < 6.0 {
        return;
    }
    let head = length.min(12.0);
    let tail = if to < from { to + head } else { to - head };
    let _ = write!(
        svg,
        "<path class='accent' d='M{} 18H{}'/><path class='accent-fill' d='M{} 18L{tail} 9V27z'/>",
        Fixed(from, 1),
        Fixed(tail, 1),
        Fixed(to, 1),
        tail = Fixed(tail, 1),
    );
}

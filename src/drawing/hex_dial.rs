//! The hex dial: a nut seen end-on, its flats counted off, an arc with the arrow for the way to turn.

use super::escape;
use crate::quantity::{Angle, Fixed};
use std::fmt::Write;

/// A nut or an eye seen end-on, with the turning counted off.
#[derive(Clone, Debug, PartialEq)]
pub struct HexDial {
    /// How many steps to turn.
    pub steps: u32,
    /// The angle of one step in degrees: 60 for a flat, 180 for a half turn, 360 for a turn.
    pub step_degrees: f64,
    /// The way, as seen in the drawing.
    pub clockwise: bool,
    /// Whether a rod end's eye is turned instead of a hex.
    pub eye: bool,
    /// The whole instruction in words, for those who do not see the drawing.
    pub words: String,
}

const CENTRE: f64 = 80.0;
/// Where the arc begins.
const INNER: f64 = 50.0;
/// How far out several turns may carry it.
const OUTER: f64 = 72.0;
/// The most turns that are drawn one outside the other; more are said in words.
const MOST_TURNS: f64 = 8.0;

const HEX: &str = "<path d='M80 42L112.9 61V99L80 118 47.100 99V61z' class='ink heavy solid'/><circle cx='80' cy='80' r='15' class='ink'/><circle cx='80' cy='80' r='12' class='thin' stroke-dasharray='3 2'/>";
const EYE: &str = "<rect x='64' y='42' width='32' height='76' rx='10' class='ink heavy solid'/><rect x='57' y='60' width='46' height='40' rx='12' class='ink solid'/><path d='M57 80H103' class='thin' stroke-dasharray='5 3'/>";

/// A point at so many degrees from twelve o'clock, clockwise.
pub(super) fn point(degrees: f64, radius: f64) -> (f64, f64) {
    let angle = Angle::degrees(degrees);
    (CENTRE + radius * angle.sin(), CENTRE - radius * angle.cos())
}

impl HexDial {
    /// As SVG markup.
    pub fn svg(&self) -> String {
        let sign = if self.clockwise { 1.0 } else { -1.0 };
        let sweep = (f64::from(self.steps) * self.step_degrees).min(360.0 * MOST_TURNS);
        let mut svg = format!(
            "<svg class='dial' viewBox='0 0 160 160' role='img' aria-label=\"{}\"><circle cx='80' cy='80' r='76' class='faint'/>",
            escape(&self.words)
        );
        svg.push_str(if self.eye { EYE } else { HEX });
        // Each step is counted where it ends, once round.
        for k in 1..=self.steps.min((360.0 / self.step_degrees.max(1.0)) as u32) {
            let degrees = sign * self.step_degrees * f64::from(k);
            let ((x, y), (x1, y1), (x2, y2)) = (
                point(degrees, if self.eye { 33.0 } else { 25.0 }),
                point(degrees, 40.0),
                point(degrees, 46.0),
            );
            let _ = write!(
                svg,
                "<path d='M{x1} {y1}L{x2} {y2}' class='ink'/><text x='{x}' y='{}' text-anchor='middle' class='strong'>{k}</text>",
                Fixed(y + 4.5, 1),
                x1 = Fixed(x1, 1),
                y1 = Fixed(y1, 1),
                x2 = Fixed(x2, 1),
                y2 = Fixed(y2, 1),
                x = Fixed(x, 1)
            );
        }
        svg.push_str("<path d='M80 4V14' class='ink heavy'/><circle cx='80' cy='46' r='3' class='accent-fill'/>");
        if self.steps > 0 {
            arc(&mut svg, sweep, sign);
        }
        svg.push_str("</svg>");
        svg
    }
}

/// The arc from twelve o'clock, widening with each turn so that turns can be counted.
fn arc(svg: &mut String, sweep: f64, sign: f64) {
    let per_degree = if sweep > 360.0 {
        (OUTER - INNER) / sweep
    } else {
        0.0
    };
    let end = sweep - 9.0;
    let pieces = (end / 6.0).ceil().max(1.0) as u32;
    svg.push_str("<path class='accent' d='");
    for k in 0..=pieces {
        let at = end * f64::from(k) / f64::from(pieces);
        let (x, y) = point(sign * at, INNER + per_degree * at);
        let _ = write!(
            svg,
            "{}{x} {y}",
            if k == 0 { 'M' } else { 'L' },
            x = Fixed(x, 1),
            y = Fixed(y, 1)
        );
    }
    let radius = INNER + per_degree * sweep;
    let ((x, y), (x1, y1), (x2, y2)) = (
        point(sign * sweep, radius),
        point(sign * (sweep - 16.0), radius + 9.0),
        point(sign * (sweep - 16.0), radius - 9.0),
    );
    let _ = write!(
        svg,
        "'/><path class='accent-fill' d='M{x} {y}L{x1} {y1}L{x2} {y2}z'/>",
        x = Fixed(x, 1),
        y = Fixed(y, 1),
        x1 = Fixed(x1, 1),
        y1 = Fixed(y1, 1),
        x2 = Fixed(x2, 1),
        y2 = Fixed(y2, 1)
    );
}

//! The car's own points from above, with the distances between them, what is off and what is odd.

use super::{WIDTH, circle, escape, scale_bar, text};
use crate::linkage::Vector;
use crate::quantity::Fixed;
use std::fmt::Write;

/// A distance between two points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlanLine {
    /// The places of its points. Places that no point has draw nothing.
    pub between: [usize; 2],
    /// Whether it is measured: a full line, not a dashed one.
    pub measured: bool,
    /// Whether its reading is odd: a cross and the word.
    pub odd: bool,
}

/// The car's own points from above, to scale, front up: numbered points, the distances as lines, an arrow at the point that is off. An arrow too small to
/// be seen is drawn larger, and the drawing says how many times.
#[derive(Clone, Debug, PartialEq)]
pub struct ShellPlan {
    /// The points, in car axes.
    pub points: Vec<Vector>,
    /// The distances between them.
    pub lines: Vec<PlanLine>,
    /// The place of the point that is off, and its shift.
    pub off: Option<(usize, Vector)>,
}

/// Round the points, for numbers and arrows.
const MARGIN: f64 = 34.0;
/// No drawing is higher.
const HIGHEST: f64 = 230.0;
/// The least length of an arrow that is seen.
const SEEN: f64 = 13.0;
/// Half of what a number takes.
const NUMBER: f64 = 6.5;
/// A shift that is less than this share sideways is up or down, which no plan shows.
const FLAT: f64 = 0.3;

impl ShellPlan {
    /// As SVG markup; nothing where there are no two points apart.
    pub fn svg(&self) -> String {
        let across = |point: &Vector| -point.y;
        let down = |point: &Vector| -point.x;
        let ends = |of: &dyn Fn(&Vector) -> f64| {
            let values = || self.points.iter().map(of);
            (
                values().fold(f64::INFINITY, f64::min),
                values().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        let ((left, right), (top, bottom)) = (ends(&across), ends(&down));
        let (width, height) = (right - left, bottom - top);
        if !(width.is_finite() && height.is_finite() && width.max(height) > 0.0) {
            return String::new();
        }
        let scale = ((WIDTH - 2.0 * MARGIN) / width.max(1e-9)).min(HIGHEST / height.max(1e-9));
        let middle = (WIDTH - width * scale) / 2.0;
        let at = |point: &Vector| {
            (
                middle + (across(point) - left) * scale,
                MARGIN + 8.0 + (down(point) - top) * scale,
            )
        };
        let places: Vec<_> = self.points.iter().map(at).collect();
        let mut svg = String::new();
        text(&mut svg, 2.0, 13.0, "strong", "From above, front ↑");
        for line in &self.lines {
            line.draw(&mut svg, &places);
        }
        for place in &places {
            circle(&mut svg, *place, 3.2, "ink solid");
        }
        let mut taken = places.clone();
        // What marks an odd reading is not written over where there is another place.
        taken.extend(
            self.lines
                .iter()
                .filter(|line| line.odd)
                .filter_map(|line| line.middle(&places)),
        );
        let times = self.arrow(&mut svg, &places, scale, &mut taken);
        for (number, (x, y)) in places.iter().enumerate() {
            let out = if *x < WIDTH / 2.0 { -12.0 } else { 12.0 };
            let apart = |(dx, dy): &(f64, f64)| {
                let (x, y) = (x + dx, y + dy);
                let near = taken.iter().map(|(a, b)| (a - x).abs().max((b - y).abs()));
                near.fold(f64::INFINITY, f64::min)
            };
            let around = [(out, 0.0), (0.0, -13.0), (0.0, 13.0), (-out, 0.0)];
            let free = around.iter().find(|way| apart(way) > 1.6 * NUMBER);
            let (dx, dy) = free.copied().unwrap_or((out, 0.0));
            let (x, y) = (x + dx, y + dy);
            taken.push((x, y));
            let _ = write!(
                svg,
                "<text x='{}' y='{}' text-anchor='middle'>{}</text>",
                Fixed(x, 1),
                Fixed(y + 4.5, 1),
                number + 1
            );
        }
        let mut foot = MARGIN + 8.0 + height * scale + MARGIN;
        scale_bar(&mut svg, 4.0, foot, scale);
        let _ = write!(
            svg,
            "<path class='thin' stroke-dasharray='5 4' d='M196 {y}h34'/>",
            y = Fixed(foot, 1)
        );
        text(&mut svg, 238.0, foot + 4.5, "", "not measured");
        if let Some(times) = times
            && times > 1
        {
            foot += 20.0;
            let words = format!("shift drawn {times} times larger");
            text(&mut svg, 4.0, foot + 4.5, "", &words);
        }
        format!(
            "<svg class='drawing' viewBox='0 0 {} {}' role='img' aria-label=\"{}\">{svg}</svg>",
            Fixed(WIDTH, 0),
            Fixed(foot + 12.0, 0),
            escape(&self.words())
        )
    }

    /// For those who do not see it.
    fn words(&self) -> String {
        let measured = self.lines.iter().filter(|line| line.measured).count();
        let mut words = format!(
            "The car's own points from above, front up, to scale: {} points, {measured} of {} distances measured",
            self.points.len(),
            self.lines.len()
        );
        if let Some((point, _)) = self.off {
            let _ = write!(words, ", point {} off", point + 1);
        }
        for line in self.lines.iter().filter(|line| line.odd) {
            let [a, b] = line.between;
            let _ = write!(words, ", odd reading from {} to {}", a + 1, b + 1);
        }
        words
    }

    /// The point that is off, and how many times its shift is drawn larger.
    fn arrow(
        &self,
        svg: &mut String,
        places: &[(f64, f64)],
        scale: f64,
        taken: &mut Vec<(f64, f64)>,
    ) -> Option<u8> {
        let (point, by) = self.off?;
        let (x, y) = *places.get(point)?;
        circle(svg, (x, y), 6.5, "accent-hatch' fill='none");
        let flat = by.x.hypot(by.y);
        if flat.is_nan() || flat < FLAT * by.length() || flat <= 0.0 {
            let words = if by.z > 0.0 { "off, up" } else { "off, down" };
            word(svg, (x, y + 20.0), words);
            taken.push((x, y + 15.0));
            return None;
        }
        let times = [1, 2, 5, 10, 20]
            .into_iter()
            .find(|times| flat * scale * f64::from(*times) >= SEEN)
            .unwrap_or(50);
        let long = flat * scale * f64::from(times);
        let (dx, dy) = (-by.y / flat, -by.x / flat);
        let (tip_x, tip_y) = (x + dx * long, y + dy * long);
        let _ = write!(
            svg,
            "<path class='accent-hatch arrow' fill='none' d='M{} {}L{tx} {ty}M{} {}L{tx} {ty}L{} {}'/>",
            Fixed(x, 1),
            Fixed(y, 1),
            Fixed(tip_x - 6.0 * dx + 3.5 * dy, 1),
            Fixed(tip_y - 6.0 * dy - 3.5 * dx, 1),
            Fixed(tip_x - 6.0 * dx - 3.5 * dy, 1),
            Fixed(tip_y - 6.0 * dy + 3.5 * dx, 1),
            tx = Fixed(tip_x, 1),
            ty = Fixed(tip_y, 1)
        );
        // The word stands on the free side of the tip, within the drawing.
        let word_at = (
            (tip_x + 14.0 * dx).clamp(16.0, WIDTH - 16.0),
            tip_y + 12.0 * dy,
        );
        word(svg, (word_at.0, word_at.1 + 4.5), "off");
        taken.extend([word_at, (tip_x, tip_y)]);
        Some(times)
    }
}

impl PlanLine {
    fn ends(&self, places: &[(f64, f64)]) -> Option<[(f64, f64); 2]> {
        let [a, b] = self.between;
        Some([*places.get(a)?, *places.get(b)?])
    }

    /// Where an odd reading is marked. Not halfway, where the two diagonals cross.
    fn middle(&self, places: &[(f64, f64)]) -> Option<(f64, f64)> {
        let [(x, y), (to_x, to_y)] = self.ends(places)?;
        Some((x + (to_x - x) * 0.4, y + (to_y - y) * 0.4))
    }

    fn draw(&self, svg: &mut String, places: &[(f64, f64)]) {
        let (Some([(x, y), (to_x, to_y)]), Some(middle)) = (self.ends(places), self.middle(places))
        else {
            return;
        };
        let class = match (self.odd, self.measured) {
            (true, _) => "accent-hatch line",
            (false, true) => "ink line",
            (false, false) => "thin line' stroke-dasharray='5 4",
        };
        let _ = write!(
            svg,
            "<path class='{class}' d='M{} {}L{} {}'/>",
            Fixed(x, 1),
            Fixed(y, 1),
            Fixed(to_x, 1),
            Fixed(to_y, 1)
        );
        if self.odd {
            let (x, y) = middle;
            let _ = write!(
                svg,
                "<path class='ink heavy odd' d='M{} {y}l10 10m0 -10l-10 10'/>",
                Fixed(x - 5.0, 1),
                y = Fixed(y - 5.0, 1)
            );
            word(svg, (x, y - 9.0), "odd");
        }
    }
}

fn word(svg: &mut String, (x, y): (f64, f64), word: &str) {
    let _ = write!(
        svg,
        "<text class='strong halo' text-anchor='middle' x='{}' y='{}'>{word}</text>",
        Fixed(x, 1),
        Fixed(y, 1)
    );
}

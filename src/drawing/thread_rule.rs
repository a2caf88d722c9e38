//! The thread rule: rod end, jam nut and insert in section, to scale, with the showing and engaged lengths dimensioned and the
//! least engaged length hatched.

use super::{WIDTH, dimension, escape};
use crate::quantity::Fixed;
use std::fmt::Write;

/// A rod end in its insert, to scale. Lengths are in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadRule {
    /// Nominal diameter of the thread.
    pub diameter: f64,
    /// Depth of the threaded insert.
    pub insert: f64,
    /// Thickness of the jam nut.
    pub jam_nut: f64,
    /// Bare thread between jam nut and shoulder.
    pub showing: f64,
    /// Thread inside the insert.
    pub engaged: f64,
    /// Unthreaded tip of the shank.
    pub lead: f64,
    /// The least that must stay engaged.
    pub least: f64,
    /// Bare thread after the turn, if one is planned.
    pub after: Option<f64>,
    /// Whether the eye is on the left.
    pub mirrored: bool,
    /// Whether the thread is left-hand.
    pub left_hand: bool,
    /// Text of the engaged dimension.
    pub engaged_text: String,
    /// Text of the showing dimension.
    pub showing_text: String,
}

impl ThreadRule {
    /// Drawing units for one millimetre.
    pub fn scale(&self) -> f64 {
        let widest = self.showing.max(self.after.unwrap_or(0.0));
        let length = self.insert + self.jam_nut + widest + self.diameter * 2.65;
        if length.is_finite() && length > 1.0 {
            (WIDTH - 4.0) / length
        } else {
            1.0
        }
    }

    /// As SVG markup.
    pub fn svg(&self) -> String {
        let scale = self.scale();
        let across = self.diameter * scale;
        let mid = 14.0 + across;
        let (top, bottom) = (mid - across / 2.0, mid + across / 2.0);
        let wall = across * 0.34;
        let face = self.insert * scale + 2.0;
        let nut_end = face + self.jam_nut * scale;
        let shank_end = nut_end + self.showing * scale;
        let tip = (face - (self.engaged + self.lead).min(self.insert + self.lead) * scale).max(2.0);
        let least_from = face - self.least.min(self.insert) * scale;
        let engaged_from = face - self.engaged * scale;
        let eye = across * 1.05;
        let eye_at = shank_end + across * 0.35 + eye;
        let mut draw = Draw {
            svg: String::new(),
            mirrored: self.mirrored,
        };
        draw.rect(2.0, face, top - wall, wall, "ink", "url(#hatch-tube)");
        draw.rect(2.0, face, bottom, wall, "ink", "url(#hatch-tube)");
        draw.rect(tip, face, top, across, "ink solid", "");
        draw.rect(
            least_from.max(engaged_from),
            face,
            top,
            across,
            "thin",
            if self.engaged < self.least {
                "url(#hatch-stop)"
            } else {
                "url(#hatch-least)"
            },
        );
        draw.rect(
            face,
            nut_end,
            mid - across * 0.86,
            across * 1.72,
            "ink heavy solid",
            "",
        );
        draw.rect(face, nut_end, mid - across * 0.4, across * 0.8, "thin", "");
        draw.rect(nut_end, shank_end, top, across, "ink solid", "");
        draw.ridges(
            nut_end,
            shank_end,
            top,
            bottom,
            if self.left_hand == self.mirrored {
                -across * 0.12
            } else {
                across * 0.12
            },
        );
        draw.rect(
            shank_end,
            shank_end + across * 0.35,
            top - 2.0,
            across + 4.0,
            "ink solid",
            "",
        );
        for (radius, class) in [
            (eye, "ink heavy solid"),
            (eye * 0.7, "ink"),
            (eye * 0.4, "ink"),
        ] {
            let _ = write!(
                draw.svg,
                "<circle cx='{}' cy='{mid}' r='{radius}' class='{class}'/>",
                Fixed(draw.at(eye_at), 1),
                mid = Fixed(mid, 1),
                radius = Fixed(radius, 1)
            );
        }
        if let Some(after) = self.after {
            let x = draw.at(nut_end + after * scale);
            let _ = write!(
                draw.svg,
                "<path d='M{x} {}V{}' class='accent-hatch' stroke-dasharray='4 3'/>",
                Fixed(top - 10.0, 1),
                Fixed(bottom + 10.0, 1),
                x = Fixed(x, 1)
            );
        }
        let down = mid + across * 0.86 + 6.0;
        let line = down + 10.0;
        for (from, to) in [(engaged_from, face), (nut_end, shank_end)] {
            let (from, to) = (draw.at(from), draw.at(to));
            dimension(&mut draw.svg, from, to, down, line);
        }
        draw.text(2.0, line + 20.0, false, &self.engaged_text, "");
        draw.text(WIDTH - 2.0, line + 39.0, true, &self.showing_text, "strong");
        let words = escape(&format!("{}. {}.", self.showing_text, self.engaged_text));
        format!(
            "<svg class='drawing' viewBox='0 0 {WIDTH} {}' role='img' aria-label=\"{words}\">{}</svg>",
            Fixed(line + 46.0, 0),
            draw.svg,
            WIDTH = Fixed(WIDTH, 0)
        )
    }
}

struct Draw {
    svg: String,
    mirrored: bool,
}

impl Draw {
    fn at(&self, x: f64) -> f64 {
        if self.mirrored { WIDTH - x } else { x }
    }

    fn rect(&mut self, from: f64, to: f64, y: f64, height: f64, class: &str, fill: &str) {
        let x = self.at(from).min(self.at(to));
        let fill = if fill.is_empty() {
            String::new()
        } else {
            format!(" fill='{fill}'")
        };
        let _ = write!(
            self.svg,
            "<rect x='{x}' y='{y}' width='{}' height='{height}' class='{class}'{fill}/>",
            Fixed((to - from).max(0.0), 1),
            x = Fixed(x, 1),
            y = Fixed(y, 1),
            height = Fixed(height, 1)
        );
    }

    fn ridges(&mut self, from: f64, to: f64, top: f64, bottom: f64, slant: f64) {
        self.svg.push_str("<path class='thin' d='");
        let count = ((to - from) / 5.0).clamp(0.0, 200.0) as u32;
        for k in 1..count.max(1) {
            let x = self.at(from + f64::from(k) * (to - from) / f64::from(count));
            let _ = write!(
                self.svg,
                "M{} {top}L{} {bottom}",
                Fixed(x - slant, 1),
                Fixed(x + slant, 1),
                top = Fixed(top, 1),
                bottom = Fixed(bottom, 1)
            );
        }
        self.svg.push_str("'/>");
    }

    fn text(&mut self, x: f64, y: f64, right: bool, text: &str, class: &str) {
        let anchor = if right == self.mirrored {
            "start"
        } else {
            "end"
        };
        let _ = write!(
            self.svg,
            "<text x='{}' y='{y}' text-anchor='{anchor}' class='{class}'>{}</text>",
            Fixed(self.at(x), 1),
            escape(text),
            y = Fixed(y, 1)
        );
    }
}

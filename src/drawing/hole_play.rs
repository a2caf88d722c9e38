//! The hole play: a bolt lying at one side of its hole, with the play where it is.

use super::{WIDTH, dimension, escape};
use crate::quantity::{Fixed, Length};
use std::fmt::Write;

/// A bolt in its hole, cut across, to scale. The direction in which the play counts lies across the drawing: a hole's larger diameter, a slot's
/// width, the smaller diameter where the bolt does not go in. Play too small to be seen is drawn larger, and the drawing says how many times.
#[derive(Clone, Debug, PartialEq)]
pub struct HolePlay {
    /// Diameter of the bolt.
    pub bolt: Length,
    /// Two diameters of the hole, square to each other; a slot's width and length, in any order.
    pub hole: [Length; 2],
    /// Whether the hole is a slot.
    pub slot: bool,
    /// The play in words, such as `0.5 mm of play`. It stands at the dimension where it is no longer than 44 characters.
    pub words: String,
}

/// How large the bolt is drawn at most.
const BOLT: f64 = 108.0;
/// The room for the hole, across and down.
const ROOM: (f64, f64) = (250.0, 140.0);
/// The least play that is seen.
const SEEN: f64 = 8.0;
/// How many characters stand at the dimension.
const CHARACTERS: usize = 44;
/// How far the part round the hole is drawn.
const ROUND: f64 = 20.0;
/// A slot is drawn smaller down to this, so that it is drawn whole.
const SMALLER: f64 = 0.6;

/// What is drawn, in drawing units.
struct Shape {
    times: u8,
    across: f64,
    down: f64,
    bolt: f64,
}

impl HolePlay {
    /// The direction in which the play counts, and the other.
    fn directions(&self) -> [Length; 2] {
        let [a, b] = self.hole;
        let (narrow, wide) = (a.min(b), a.max(b));
        if self.slot || narrow < self.bolt {
            [narrow, wide]
        } else {
            [wide, narrow]
        }
    }

    fn shape(&self) -> Shape {
        // A millionth of a millimetre to a kilometre: what is no number becomes one.
        let mm =
            |length: Length, least: f64| length.max(Length::mm(least)).min(Length::mm(1e6)).as_mm();
        let bolt = mm(self.bolt, 1e-6);
        let [across, down] = self.directions().map(|length| mm(length, 0.0));
        let play = across - bolt;
        let seen = play.abs() / bolt * BOLT;
        let times = if seen > 1e-3 {
            [1, 2, 5, 10, 20]
                .into_iter()
                .find(|&times| f64::from(times) * seen > SEEN - 1e-6)
                .unwrap_or(50)
        } else {
            1
        };
        let larger = |length: f64| bolt + f64::from(times) * (length - bolt);
        let wide = larger(across);
        // Only play is drawn larger.
        let long = if self.slot {
            down.max(wide)
        } else if play < 0.0 {
            down
        } else {
            larger(down)
        };
        let mut scale = (BOLT / bolt).min(ROOM.0 / wide.max(bolt));
        let whole = ROOM.1 / long.max(bolt);
        if !self.slot || whole > SMALLER * scale {
            scale = scale.min(whole);
        }
        Shape {
            times,
            across: wide * scale,
            down: long * scale,
            bolt: bolt * scale,
        }
    }

    /// As SVG markup.
    pub fn svg(&self) -> String {
        let Shape {
            times,
            across,
            down,
            bolt,
        } = self.shape();
        let radius = bolt / 2.0;
        let tight = across < bolt;
        let broken = down > ROOM.1 + 0.1;
        // The part round the hole, and the hole in it.
        let height = if broken {
            ROOM.1
        } else {
            down.max(bolt) + 2.0 * ROUND
        };
        let (left, middle, bottom) = (ROUND + 2.0, height / 2.0 + 9.0, height + 9.0);
        let mut svg = format!(
            "<rect transform='scale(-1 1)' x='{}' y='9' width='{}' height='{}' fill='url(#hatch-tube)'/>",
            Fixed(-left - across.max(bolt) - ROUND, 1),
            Fixed(across.max(bolt) + 2.0 * ROUND, 1),
            Fixed(height, 1)
        );
        let circle = |rest: &str| {
            format!(
                "<circle cx='{}' cy='{}' r='{}' class='{rest}'/>",
                Fixed(left + radius, 2),
                Fixed(middle, 2),
                Fixed(radius, 2)
            )
        };
        if tight {
            svg.push_str(&circle("solid"));
            svg.push_str(&circle("accent-hatch' fill='url(#hatch-least)"));
        }
        if broken {
            let _ = write!(
                svg,
                "<path d='M{left} 9h{half}l3 -7 6 14 3 -7H{right}V{bottom}h-{half}l-3 7 -6 -14 -3 7H{left}z' class='thin solid'/><path d='M{left} 9V{bottom}M{right} 9V{bottom}' class='ink heavy'/>",
                right = Fixed(left + across, 2),
                left = Fixed(left, 2),
                half = Fixed((across / 2.0 - 6.0).max(0.0), 2),
                bottom = Fixed(bottom, 1)
            );
        } else {
            // A slot's ends are round. Those of a hole are no tighter than the bolt, which wore them.
            let (half_across, half_down) = (across / 2.0, down / 2.0);
            let (rx, ry) = if self.slot {
                (half_across, half_across)
            } else if tight {
                (half_across, half_down)
            } else {
                (half_across.min(half_down * half_down / radius), half_down)
            };
            let _ = write!(
                svg,
                "<rect x='{}' y='{}' width='{}' height='{}' rx='{}' ry='{}' class='ink heavy solid'/>",
                Fixed(left, 2),
                Fixed(middle - half_down, 2),
                Fixed(across, 2),
                Fixed(down, 2),
                Fixed(rx, 2),
                Fixed(ry, 2)
            );
        }
        svg.push_str(&circle(if tight {
            "thin' stroke-dasharray='4 3"
        } else {
            "ink' fill='url(#hatch-tube)"
        }));
        if (across - bolt).abs() > 0.5 {
            dimension(
                &mut svg,
                left + across.min(bolt),
                left + across.max(bolt),
                middle,
                bottom + 12.0,
            );
        }
        let mut words = self.words.clone();
        if self.words.chars().count() <= CHARACTERS {
            text(&mut svg, bottom + 32.0, &self.words, "strong");
        }
        if times > 1 {
            let note = format!(
                "{} drawn {times} times larger",
                if tight { "overlap" } else { "play" }
            );
            text(&mut svg, bottom + 50.0, &note, "");
            words = format!("{words}; {note}");
        }
        format!(
            "<svg class='drawing' viewBox='0 0 {} {}' role='img' aria-label=\"{}\">{svg}</svg>",
            Fixed(WIDTH, 0),
            Fixed(bottom + if times > 1 { 56.0 } else { 38.0 }, 0),
            escape(&words)
        )
    }
}

fn text(svg: &mut String, y: f64, text: &str, class: &str) {
    let _ = write!(
        svg,
        "<text x='2' y='{}' class='{class}'>{}</text>",
        Fixed(y, 0),
        escape(text)
    );
}

//! The lever arm of an adjuster, as it is taped on the car.

use super::{WIDTH, circle, cross, escape};
use crate::quantity::Fixed;
use std::fmt::Write;

/// Where an adjuster takes hold of the carrier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// On toe, behind the axis that the wheel toes about: longer is toe-in.
    Behind,
    /// On toe, ahead of it: longer is toe-out.
    Ahead,
    /// On camber, above the joint that the wheel tips about: longer is top out.
    Above,
    /// On camber, below it: longer is top in.
    Below,
}

/// What to tape for a lever arm, not to scale: for toe from above, for camber from behind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeverArm {
    /// Where the adjuster takes hold.
    pub hold: Hold,
    /// Whether the wheel is on the right.
    pub right: bool,
    /// What the arm measures on the card, in words.
    pub card: String,
}

/// The height of the drawing.
const HEIGHT: f64 = 196.0;
/// The wheel: its edges across, its top and its bottom.
const WHEEL: [f64; 4] = [30.0, 66.0, 28.0, 172.0];
/// Where the axis or the joint is that the wheel turns about, and where the adjuster's joint is, each across and down for an adjuster that is below
/// it on paper.
const PIVOT: (f64, f64) = (100.0, 62.0);
const JOINT: (f64, f64) = (90.0, 148.0);
/// The adjuster's other end.
const FAR: (f64, f64) = (318.0, 132.0);
/// How far its line is drawn on past its joint.
const BEYOND: f64 = 22.0;
/// The side of the mark of a right angle.
const SQUARE: f64 = 9.0;

impl Hold {
    /// Whether it is seen from above.
    const fn on_toe(self) -> bool {
        matches!(self, Self::Behind | Self::Ahead)
    }

    /// Whether the adjuster is below the axis on paper, where the front is up.
    const fn is_low(self) -> bool {
        matches!(self, Self::Behind | Self::Below)
    }
}

impl LeverArm {
    /// As SVG markup.
    pub fn svg(&self) -> String {
        let middle = (WHEEL[2] + WHEEL[3]) / 2.0;
        let at = |(x, y): (f64, f64)| {
            (
                if self.right { WIDTH - x } else { x },
                if self.hold.is_low() {
                    y
                } else {
                    2.0 * middle - y
                },
            )
        };
        let (pivot, joint, far) = (at(PIVOT), at(JOINT), at(FAR));
        let way = {
            let (x, y) = (far.0 - joint.0, far.1 - joint.1);
            let length = x.hypot(y);
            (x / length, y / length)
        };
        let along = (pivot.0 - joint.0) * way.0 + (pivot.1 - joint.1) * way.1;
        let foot = (joint.0 + way.0 * along, joint.1 + way.1 * along);
        let to_pivot = {
            let (x, y) = (pivot.0 - foot.0, pivot.1 - foot.1);
            let length = x.hypot(y);
            (x / length, y / length)
        };
        let mut svg = String::new();
        let line = |svg: &mut String, class: &str, points: &[(f64, f64)]| {
            let _ = write!(svg, "<path class='{class}' d='");
            let mut letter = 'M';
            for (x, y) in points {
                let _ = write!(svg, "{letter}{} {}", Fixed(*x, 1), Fixed(*y, 1));
                letter = 'L';
            }
            svg.push_str("'/>");
        };
        let [near, edge, top, bottom] = WHEEL;
        let corners = [
            (near, top),
            (edge, top),
            (edge, bottom),
            (near, bottom),
            (near, top),
        ];
        let wheel = corners.map(|(x, y)| (at((x, y)).0, y));
        line(&mut svg, "ink wheel", &wheel);
        if !self.hold.on_toe() {
            line(&mut svg, "thin", &[(0.0, bottom), (WIDTH, bottom)]);
        }
        // The line of the adjuster, and on past its joint.
        let back = (joint.0 - way.0 * BEYOND, joint.1 - way.1 * BEYOND);
        line(&mut svg, "thin' stroke-dasharray='5 3", &[back, joint]);
        line(&mut svg, "ink heavy", &[joint, far]);
        circle(&mut svg, far, 3.5, "ink solid");
        circle(&mut svg, joint, 3.0, "joint' fill='currentColor");
        // The carrier holds both.
        line(
            &mut svg,
            "faint",
            &[(at((edge, 0.0)).0, middle), pivot, joint],
        );
        line(&mut svg, "accent-hatch heavy arm", &[pivot, foot]);
        let corner = |a: f64, b: f64| {
            (
                foot.0 + way.0 * a + to_pivot.0 * b,
                foot.1 + way.1 * a + to_pivot.1 * b,
            )
        };
        line(
            &mut svg,
            "accent-hatch",
            &[
                corner(SQUARE, 0.0),
                corner(SQUARE, SQUARE),
                corner(0.0, SQUARE),
            ],
        );
        circle(&mut svg, pivot, 4.0, "ink solid");
        cross(&mut svg, pivot.0, pivot.1, 7.0);
        let anchor = if self.right { "end" } else { "start" };
        let mut text = |(x, y): (f64, f64), class: &str, words: &str| {
            let _ = write!(
                svg,
                "<text x='{}' y='{}' text-anchor='{anchor}' class='{class}'>{}</text>",
                Fixed(x, 1),
                Fixed(y, 1),
                escape(words)
            );
        };
        let beside = |x: f64, y: f64| (at((x, 0.0)).0, y);
        let (view, about, arm) = if self.hold.on_toe() {
            (
                "From above, front ↑",
                "axis the wheel toes about",
                "toe arm",
            )
        } else {
            ("From behind", "joint the wheel tips about", "camber arm")
        };
        text(beside(2.0, 14.0), "strong", view);
        text(beside(116.0, pivot.1 + 4.5), "", about);
        let half = (pivot.1 + foot.1) / 2.0;
        text(
            beside(116.0, half - 3.0),
            "strong",
            &format!("{arm}: tape this, square"),
        );
        text(
            beside(116.0, half + 14.0),
            "",
            &format!("card: {}", self.card),
        );
        let below = if self.hold.is_low() { 20.0 } else { -10.0 };
        text(
            beside(176.0, (joint.1 + far.1) / 2.0 + below),
            "",
            "line of the adjuster",
        );
        format!(
            "<svg class='drawing' viewBox='0 0 {} {}' role='img' aria-label=\"{}\">{svg}</svg>",
            Fixed(WIDTH, 0),
            Fixed(HEIGHT, 0),
            escape(&self.words())
        )
    }

    /// For those who do not see it.
    fn words(&self) -> String {
        let (arm, view, about) = if self.hold.on_toe() {
            ("Toe arm", "from above", "axis the wheel toes about")
        } else {
            ("Camber arm", "from behind", "joint the wheel tips about")
        };
        let side = match self.hold {
            Hold::Behind => "behind",
            Hold::Ahead => "ahead of",
            Hold::Above => "above",
            Hold::Below => "below",
        };
        format!(
            "{arm}, {view}: the distance from the {about}, square to the line of the adjuster, which lies {side} it"
        )
    }
}

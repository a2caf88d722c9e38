//! A torque wrench with an extension on it, seen from above.

use super::{WIDTH, dimension, escape};
use crate::quantity::{Angle, Fixed, Length};
use std::fmt::Write;

/// A torque wrench seen from above with an extension or crowfoot on its square, both to one scale. L runs from the middle of the hand to the square,
/// A from the square to the fastener. A wrench much longer than its extension is broken off, as a long part is in a workshop drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct AdapterDrawing {
    /// From the middle of the hand to the wrench's square.
    pub wrench: Length,
    /// From the square to the middle of the fastener.
    pub extension: Length,
    /// Between the two: nothing straight on, 90° square to the wrench, 180° back over it. The other side is drawn like this one.
    pub angle: Angle,
    /// What the drawing says in words, for those who do not see it.
    pub words: String,
}

/// Wrench and extension together.
const REACH: f64 = 236.0;
/// Where the middle of the hand lies.
const HAND: f64 = 42.0;
/// A wrench more than so many times its extension is broken off.
const LONGEST: f64 = 4.0;
/// From the fastener's middle to the arc of the angle.
const BEYOND: f64 = 26.0;
/// From the middle line to the dimension line.
const OFFSET: f64 = 34.0;

impl AdapterDrawing {
    /// As SVG markup.
    pub fn svg(&self) -> String {
        // What is no number becomes nothing.
        let mm = |length: Length| length.max(Length::ZERO).min(Length::mm(1e6)).as_mm();
        let (wrench, extension) = (mm(self.wrench), mm(self.extension));
        let angle = self.angle.abs().max(Angle::ZERO).min(Angle::degrees(180.0));
        let broken = extension > 0.0 && wrench > LONGEST * extension;
        let shown = if broken { LONGEST * extension } else { wrench };
        let scale = REACH / (shown + extension).max(1e-6);
        let (l, a) = (shown * scale, extension * scale);
        let square = HAND + l;
        let far = a + BEYOND;
        let degrees = angle.as_degrees();
        let turned = degrees > 0.05 && a > 0.0;
        let highest = if a > 0.0 {
            (far + 24.0) * angle.min(Angle::degrees(90.0)).sin()
        } else {
            0.0
        };
        let y = Fixed(highest.max(10.0) + 22.0, 1);
        let mut svg = format!(
            "<svg class='drawing' viewBox='0 0 {} {}' role='img' aria-label=\"{}\"><g transform='translate({} {y})'>",
            Fixed(WIDTH, 0),
            Fixed(y.0 + OFFSET + 26.0, 0),
            escape(&self.words),
            Fixed(square, 1)
        );
        // Everything lies from the wrench's square.
        if a > 0.0 {
            // From the jaw's upper tip round the square end to the lower tip, and along the flats.
            let _ = write!(
                svg,
                "<g transform='rotate(-{})'><path d='M{tip} -8.2A17 17 0 0 0 {neck} -11H0a11 11 0 0 0 0 22H{neck}A17 17 0 0 0 {tip} 8.2h-19.6l-4.8 -8.2 4.8 -8.2z' class='ink solid'/>",
                Fixed(degrees, 1),
                tip = Fixed(a + 14.9, 1),
                neck = Fixed(a - 13.0, 1)
            );
            hexagon(&mut svg, a);
            dimension(&mut svg, 0.0, a, 0.0, OFFSET);
            if turned {
                let _ = write!(
                    svg,
                    "<path d='M{} 0H{}' class='thin' stroke-dasharray='9 3 2 3'/>",
                    Fixed(a + 18.0, 1),
                    Fixed(far + 6.0, 1)
                );
            }
            svg.push_str("</g>");
        } else {
            hexagon(&mut svg, 0.0);
        }
        let _ = write!(
            svg,
            "<path d='M{grip} -5H-10V5H{grip}z' class='ink solid'/><rect x='{}' y='-8' width='56' height='16' rx='5' class='ink heavy solid'/><circle r='14' class='ink heavy solid'/><path d='M-5 -5H5V5H-5zL5 5M5 -5L-5 5' class='thin'/>",
            Fixed(-l - 28.0, 1),
            grip = Fixed(-l + 28.0, 1)
        );
        if broken {
            let _ = write!(
                svg,
                "<path d='M{x} 10l6 -20h6l-6 20z' class='solid'/><path d='M{x} 10l6 -20m6 0l-6 20' class='ink'/>",
                x = Fixed(-l / 2.0, 1)
            );
        }
        let _ = write!(
            svg,
            "<path d='M{} -10l-5 -9h10z' class='accent-fill'/>",
            Fixed(-l, 1)
        );
        dimension(&mut svg, -l, 0.0, 0.0, OFFSET);
        let (sin, cos) = (angle.sin(), angle.cos());
        if turned {
            let half = angle / 2.0;
            let _ = write!(
                svg,
                "<path d='M18 0H{}' class='thin' stroke-dasharray='9 3 2 3'/><path d='M{far} 0A{far} {far} 0 0 0 {} {}' class='thin'/>",
                Fixed(far + 6.0, 1),
                Fixed(far * cos, 1),
                Fixed(-far * sin, 1),
                far = Fixed(far, 1)
            );
            text(
                &mut svg,
                (far + 16.0) * half.cos(),
                -(far + 16.0) * half.sin() + 4.0,
                &format!(
                    "{}°",
                    Fixed(degrees, u32::from((degrees - degrees.round()).abs() > 0.05))
                ),
                "",
            );
        }
        text(&mut svg, -l / 2.0, OFFSET - 5.0, "L", "strong");
        if a > 0.0 {
            // Beyond its line, where nothing crosses it.
            let (along, aside) = (a / 2.0, OFFSET + if turned { 11.0 } else { -9.5 });
            text(
                &mut svg,
                along * cos + aside * sin,
                aside * cos - along * sin + 4.0,
                "A",
                "strong",
            );
        }
        text(&mut svg, -l, OFFSET + 20.0, "hand", "");
        text(&mut svg, -8.0, OFFSET + 20.0, "square", "");
        svg.push_str("</g></svg>");
        svg
    }
}

/// The fastener, so far from the square.
fn hexagon(svg: &mut String, from: f64) {
    let _ = write!(
        svg,
        "<path d='M{} 0l4.7 -8.2h9.4l4.7 8.2 -4.7 8.2h-9.4z' class='ink heavy solid'/>",
        Fixed(from - 9.4, 1)
    );
}

fn text(svg: &mut String, x: f64, y: f64, text: &str, class: &str) {
    let _ = write!(
        svg,
        "<text x='{}' y='{}' text-anchor='middle' class='{class}'>{text}</text>",
        Fixed(x, 1),
        Fixed(y, 1)
    );
}

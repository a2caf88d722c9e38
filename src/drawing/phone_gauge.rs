//! The phone gauge: a phone along a straight bar, in its two positions, seen from behind the car.

use super::WIDTH;
use crate::quantity::Fixed;
use std::fmt::Write;

/// Where the bar is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PhoneGauge {
    /// Standing across the rim of a left wheel.
    LeftWheel,
    /// Standing across the rim of a right wheel.
    RightWheel,
    /// Lying across the floor.
    Floor,
}

/// From one drawing to the next.
const NEXT: f64 = WIDTH / 2.0;
/// Where the ground is drawn.
const GROUND: f64 = 150.0;
/// The phone's edges.
const PHONE: (f64, f64) = (28.0, 56.0);

impl PhoneGauge {
    /// As SVG markup: position A on the left, B on the right. A dot marks the same end of the phone in both.
    pub fn svg(self) -> String {
        let mut svg = String::new();
        for (from, screen, name, words) in [
            (0.0, true, "A", "screen to the rear"),
            (NEXT, false, "B", "screen to the front"),
        ] {
            let middle = from + NEXT / 2.0;
            let _ = write!(
                svg,
                "<path d='M{} 150H{}' class='ink'/><text x='{x}' y='170' text-anchor='middle' class='strong'>{name}</text><text x='{x}' y='187' text-anchor='middle'>{words}</text>",
                Fixed(from + 14.0, 1),
                Fixed(from + NEXT - 14.0, 1),
                x = Fixed(middle, 1),
            );
            // The bar, and where on it the phone's corner is.
            let (x, y, wide, high) = match self {
                Self::Floor => {
                    rect(
                        &mut svg,
                        middle - 62.0,
                        GROUND - 10.0,
                        124.0,
                        10.0,
                        "ink heavy solid",
                    );
                    let (short, long) = PHONE;
                    (middle - long / 2.0, GROUND - 10.0 - short, long, short)
                }
                Self::LeftWheel | Self::RightWheel => {
                    // Outward is away from the car: to the left of a left wheel seen from behind.
                    let out = if self == Self::LeftWheel { -1.0 } else { 1.0 };
                    let (wheel, bar) = (middle - 20.0 * out, middle + 7.0 * out);
                    rect(
                        &mut svg,
                        wheel - 20.0,
                        30.0,
                        40.0,
                        120.0,
                        "ink solid' rx='9",
                    );
                    let rim = wheel + 20.0 * out;
                    let _ = write!(
                        svg,
                        "<path d='M{rim} 50v8M{rim} 122v8' class='ink heavy'/><text x='{}' y='94' text-anchor='middle'>car</text>",
                        Fixed(wheel - 42.0 * out, 1),
                        rim = Fixed(rim, 1),
                    );
                    rect(&mut svg, bar - 5.0, 44.0, 10.0, 92.0, "ink heavy solid");
                    let (short, long) = PHONE;
                    let side = bar + 5.0 * out;
                    let left = if out < 0.0 { side - short } else { side };
                    (left, 90.0 - long / 2.0, short, long)
                }
            };
            rect(&mut svg, x, y, wide, high, "ink solid' rx='4");
            if screen {
                rect(&mut svg, x + 4.0, y + 4.0, wide - 8.0, high - 8.0, "thin");
            } else {
                rect(
                    &mut svg,
                    x + 4.0,
                    y + 4.0,
                    wide - 8.0,
                    high - 8.0,
                    "thin' fill='url(#hatch-tube)",
                );
            }
            // End for end on a wheel, about the vertical on the floor: the marked end changes places.
            let dot = match (self, screen) {
                (Self::Floor, true) => (x + 8.0, y + high / 2.0),
                (Self::Floor, false) => (x + wide - 8.0, y + high / 2.0),
                (_, true) => (x + wide / 2.0, y + 8.0),
                (_, false) => (x + wide / 2.0, y + high - 8.0),
            };
            let _ = write!(
                svg,
                "<circle cx='{}' cy='{}' r='3.5' fill='currentColor'/>",
                Fixed(dot.0, 1),
                Fixed(dot.1, 1)
            );
        }
        let label = match self {
            Self::Floor => {
                "Seen from behind the car, a phone stands on its long edge on a straight bar that lies across the floor. A: its screen looks to the rear. B: it is turned about the vertical, the screen looks to the front, the same edge is on the bar."
            }
            _ => {
                "Seen from behind the car, a phone lies with its long edge along a straight bar that stands across the outside of the rim. A: its screen looks to the rear. B: it is turned end for end, the screen looks to the front, the same edge is on the bar."
            }
        };
        format!(
            "<svg class='drawing' viewBox='0 0 {} 194' role='img' aria-label='{label}'>{svg}</svg>",
            Fixed(WIDTH, 0)
        )
    }
}

fn rect(svg: &mut String, x: f64, y: f64, width: f64, height: f64, class: &str) {
    let _ = write!(
        svg,
        "<rect x='{}' y='{}' width='{}' height='{}' class='{class}'/>",
        Fixed(x, 1),
        Fixed(y, 1),
        Fixed(width, 1),
        Fixed(height, 1)
    );
}

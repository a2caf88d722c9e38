//! A corner's linkage from behind, from its own side and from above, to one scale.

use super::{WIDTH, circle, cross, escape, scale_bar, text};
use crate::linkage::{Geometry, GeometryError, Linkage, Side, Vector};
use crate::quantity::{Angle, Fixed};
use std::fmt::Write;

/// Three views of a corner as drawn, to one scale: links as lines with their joints and numbers, the wheel as the outline of its middle plane.
#[derive(Clone, Debug, PartialEq)]
pub struct CornerViews {
    geometry: Geometry,
    spin: Vector,
    contact: Vector,
    /// Another hole for a joint at the car: the hole, and the joint at the carrier that it is joined to.
    pub other: Option<(Vector, Vector)>,
}

/// Between the views, and round them.
const GAP: f64 = 26.0;
/// The height of a view's name.
const NAME: f64 = 18.0;
/// The width of the longest name beside another.
const SIDE_NAME: f64 = 176.0;
/// Half the side of the square that a number takes.
const NUMBER: f64 = 8.0;
/// Where along a link its number may stand.
const ALONG: [f64; 7] = [0.5, 0.36, 0.64, 0.24, 0.76, 0.14, 0.86];
/// Corners of the wheel's outline.
const CORNERS: u32 = 60;

/// A view: the directions on paper, to the right and down.
#[derive(Clone, Copy)]
struct View {
    across: Vector,
    down: Vector,
}

/// The least and the most across and down.
#[derive(Clone, Copy)]
struct Extent([f64; 4]);

impl View {
    const fn on_paper(&self, point: Vector) -> (f64, f64) {
        (self.across.dot(point), self.down.dot(point))
    }

    fn extent(&self, points: &[Vector]) -> Extent {
        let none = [
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::INFINITY,
            f64::NEG_INFINITY,
        ];
        Extent(points.iter().fold(none, |[a, b, c, d], point| {
            let (x, y) = self.on_paper(*point);
            [a.min(x), b.max(x), c.min(y), d.max(y)]
        }))
    }
}

impl Extent {
    const fn width(&self) -> f64 {
        self.0[1] - self.0[0]
    }

    const fn height(&self) -> f64 {
        self.0[3] - self.0[2]
    }
}

impl CornerViews {
    /// The views of a corner.
    ///
    /// # Errors
    /// The first problem of its geometry.
    pub fn new(geometry: &Geometry) -> Result<Self, GeometryError> {
        let linkage = Linkage::new(geometry)?;
        let wheel = linkage.wheel(&linkage.drawn());
        Ok(Self {
            geometry: geometry.clone(),
            spin: wheel.spin,
            contact: wheel.contact,
            other: None,
        })
    }

    /// The outline of the wheel's middle plane.
    fn outline(&self) -> Vec<Vector> {
        let wheel = &self.geometry.wheel;
        let down = self.contact - wheel.centre;
        let ahead = down.cross(self.spin);
        (0..CORNERS)
            .map(|corner| {
                let angle = Angle::degrees(360.0 / f64::from(CORNERS) * f64::from(corner));
                wheel.centre + down * angle.cos() + ahead * angle.sin()
            })
            .collect()
    }

    /// The lines that are drawn, each with its number.
    fn bars(&self) -> Vec<(String, Vector, Vector)> {
        let links = self.geometry.links.iter().enumerate();
        let mut bars: Vec<_> = links
            .map(|(place, link)| ((place + 1).to_string(), link.car, link.carrier))
            .collect();
        if let Some(strut) = &self.geometry.strut {
            bars.push(("S".to_owned(), strut.top, strut.on_axis));
        }
        bars
    }

    /// As SVG markup.
    pub fn svg(&self) -> String {
        let outline = self.outline();
        let bars = self.bars();
        let mut points = outline.clone();
        points.extend(bars.iter().flat_map(|(_, car, carrier)| [*car, *carrier]));
        points.extend(self.other.map(|(hole, _)| hole));
        let out = self.geometry.side.outwards();
        let (x, y) = (Vector::new(1.0, 0.0, 0.0), Vector::new(0.0, 1.0, 0.0));
        let views = [
            View {
                across: -y,
                down: -Vector::UP,
            },
            View {
                across: x * -out,
                down: -Vector::UP,
            },
            View {
                across: -y,
                down: -x,
            },
        ];
        let [behind, side, above] = views.map(|view| view.extent(&points));
        // A corner has its wheel, so no extent is nothing.
        let scale = (WIDTH - 4.0 - 2.0 * NUMBER - GAP) / (behind.width() + side.width());
        let left = 2.0 + NUMBER;
        let right = left + behind.width() * scale + GAP;
        let top = NAME + NUMBER;
        let under = top + behind.height() * scale + 12.0 + NAME + NUMBER;
        let mut svg = String::new();
        let from_side = match self.geometry.side {
            Side::Left => "From the left, ← front",
            Side::Right => "From the right, front →",
        };
        for (name, x, y) in [
            ("From behind", 2.0, top),
            (from_side, right.min(WIDTH - SIDE_NAME), top),
            ("From above, front ↑", 2.0, under),
        ] {
            text(&mut svg, x, y - NUMBER - 4.0, "strong", name);
        }
        let places = [
            (left, top, behind),
            (right, top, side),
            (left, under, above),
        ];
        for (view, (x, y, extent)) in views.into_iter().zip(places) {
            let at = |point: Vector| {
                let (across, down) = view.on_paper(point);
                (
                    x + (across - extent.0[0]) * scale,
                    y + (down - extent.0[2]) * scale,
                )
            };
            self.view(&mut svg, &outline, &bars, at);
            // The ground is seen as a line but from above.
            if view.down.z != 0.0 {
                let (_, ground) = at(self.contact);
                let _ = write!(
                    svg,
                    "<path class='thin' d='M{} {ground}H{}'/>",
                    Fixed(x - 6.0, 1),
                    Fixed(x + extent.width() * scale + 6.0, 1),
                    ground = Fixed(ground, 1)
                );
            }
        }
        let beside = left + above.width() * scale + GAP;
        let bottom = under + (above.height() * scale).max(110.0) + 10.0;
        self.key(&mut svg, beside.min(WIDTH - 160.0), under, scale);
        format!(
            "<svg class='drawing' viewBox='0 0 {} {}' role='img' aria-label=\"{}\">{svg}</svg>",
            Fixed(WIDTH, 0),
            Fixed(bottom, 0),
            escape(&self.words())
        )
    }

    /// For those who do not see it.
    fn words(&self) -> String {
        let links = self.geometry.links.iter().enumerate();
        let names: Vec<_> = links
            .map(|(place, link)| format!("{} {}", place + 1, link.name))
            .collect();
        format!(
            "The corner from behind, from its side and from above, to scale: {}",
            names.join(", ")
        )
    }

    fn view(
        &self,
        svg: &mut String,
        outline: &[Vector],
        bars: &[(String, Vector, Vector)],
        at: impl Fn(Vector) -> (f64, f64),
    ) {
        svg.push_str("<path class='ink wheel' d='");
        let mut letter = 'M';
        for point in outline {
            let (x, y) = at(*point);
            let _ = write!(svg, "{letter}{} {}", Fixed(x, 1), Fixed(y, 1));
            letter = 'L';
        }
        svg.push_str("z'/>");
        for (_, car, carrier) in bars {
            let ((x, y), (to_x, to_y)) = (at(*car), at(*carrier));
            let _ = write!(
                svg,
                "<path class='ink heavy' d='M{} {}L{} {}'/>",
                Fixed(x, 1),
                Fixed(y, 1),
                Fixed(to_x, 1),
                Fixed(to_y, 1)
            );
        }
        // Joints lie over lines: at the car open, at the carrier full.
        for (_, car, carrier) in bars {
            circle(svg, at(*car), 3.0, "ink solid");
            circle(svg, at(*carrier), 2.6, "joint' fill='currentColor");
        }
        if let Some((hole, carrier)) = self.other {
            let ((x, y), (to_x, to_y)) = (at(hole), at(carrier));
            let _ = write!(
                svg,
                "<path class='accent-hatch' stroke-dasharray='5 3' d='M{} {}L{} {}'/>",
                Fixed(x, 1),
                Fixed(y, 1),
                Fixed(to_x, 1),
                Fixed(to_y, 1)
            );
            circle(svg, (x, y), 3.0, "accent-hatch solid");
        }
        let (x, y) = at(self.geometry.wheel.centre);
        cross(svg, x, y, 5.0);
        let (x, y) = at(self.contact);
        let _ = write!(
            svg,
            "<path class='ink contact' d='M{x} {y}l-4 6h8z'/>",
            x = Fixed(x, 1),
            y = Fixed(y, 1)
        );
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for (number, car, carrier) in bars {
            let ((a, b), (c, d)) = (at(*car), at(*carrier));
            // Seen end on, a link is not hidden by its number.
            let aside = if (c - a).abs().max((d - b).abs()) < 3.0 * NUMBER {
                -1.8 * NUMBER
            } else {
                0.0
            };
            let place = |along: f64| (a + (c - a) * along, b + (d - b) * along + aside);
            let apart = |(x, y): (f64, f64)| {
                let near = taken.iter().map(|(a, b)| (a - x).abs().max((b - y).abs()));
                near.fold(f64::INFINITY, f64::min)
            };
            let mut best = place(0.5);
            for along in ALONG {
                if apart(best) > 2.0 * NUMBER {
                    break;
                }
                let other = place(along);
                if apart(other) > apart(best) {
                    best = other;
                }
            }
            taken.push(best);
            circle(svg, best, NUMBER - 0.5, "thin solid");
            let (x, y) = best;
            let _ = write!(
                svg,
                "<text x='{}' y='{}' text-anchor='middle'>{number}</text>",
                Fixed(x, 1),
                Fixed(y + 4.5, 1)
            );
        }
    }

    /// What the marks mean, and the scale bar.
    fn key(&self, svg: &mut String, x: f64, y: f64, scale: f64) {
        scale_bar(svg, x, y, scale);
        let line = |place: u8| y + 24.0 + 20.0 * f64::from(place);
        circle(svg, (x + 5.0, line(0)), 3.0, "ink solid");
        text(svg, x + 18.0, line(0) + 4.5, "", "joint at the car");
        circle(svg, (x + 5.0, line(1)), 2.6, "joint' fill='currentColor");
        text(svg, x + 18.0, line(1) + 4.5, "", "joint at the carrier");
        cross(svg, x + 5.0, line(2), 5.0);
        text(svg, x + 18.0, line(2) + 4.5, "", "wheel's centre");
        let _ = write!(
            svg,
            "<path class='ink' d='M{} {}l-4 6h8z'/>",
            Fixed(x + 5.0, 1),
            Fixed(line(3) - 3.0, 1)
        );
        text(svg, x + 18.0, line(3) + 4.5, "", "contact on the ground");
        if self.other.is_some() {
            let _ = write!(
                svg,
                "<path class='accent-hatch' stroke-dasharray='5 3' d='M{} {}h14'/>",
                Fixed(x - 2.0, 1),
                Fixed(line(4), 1)
            );
            text(svg, x + 18.0, line(4) + 4.5, "", "other hole");
        }
    }
}

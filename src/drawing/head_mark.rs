//! The head mark: a bolt's head seen end-on, with what its standard puts on it.

use super::hex_dial::point;
use crate::hardware::{Grade, HeadMark};
use crate::quantity::Fixed;
use std::fmt::Write;

/// A bolt's head seen end-on, as the grade's standard marks it (SAE J429, ISO 898-1, ISO 3506-1; ASTM A574 with the head of ASME B18.3). A
/// broken frame stands for the maker's own mark, whose place and shape are the maker's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeadDrawing {
    /// The grade or class that the head tells.
    pub grade: Grade,
}

/// The hexagon, and the circle in which its chamfer ends.
const HEX: &str = "<path d='M150 80L115 140.6H45L10 80 45 19.4H115z' class='ink heavy solid'/><circle cx='80' cy='80' r='56' class='thin'/>";
/// The knurl's teeth, the edge, the chamfer, and a socket half as wide across its flats as the head, as in ASME B18.3.
const SOCKET: &str = "<circle cx='80' cy='80' r='69' stroke='currentColor' stroke-width='5' stroke-dasharray='2 2.014'/><circle cx='80' cy='80' r='67' class='ink solid'/><circle cx='80' cy='80' r='60' class='thin'/><path d='M118.7 80L99.3 113.5H60.7L41.3 80 60.7 46.5H99.3z' fill='currentColor' fill-opacity='.12' class='ink heavy'/>";
/// Where a line begins and ends, from the middle.
const LINE: (f64, f64) = (29.0, 51.0);

impl HeadDrawing {
    /// As SVG markup.
    pub fn svg(&self) -> String {
        let mark = self.grade.head_mark();
        let says = match mark {
            HeadMark::Lines(0) => "no lines, at most the maker's own mark".to_owned(),
            HeadMark::Lines(count) => {
                format!("{count} radial lines, evenly spaced, beside the maker's own mark")
            }
            HeadMark::Words(words) => format!("{words}, beside the maker's own mark"),
            HeadMark::Socket => {
                "round and knurled, with a hexagon socket; the grade is told on the head or only on the box".to_owned()
            }
        };
        let mut svg = format!(
            "<svg class='dial' viewBox='0 0 160 160' role='img' aria-label=\"Bolt head of {} ({}), seen end-on: {says}.\">",
            self.grade.name(),
            self.grade.standard()
        );
        let maker = match mark {
            HeadMark::Socket => None,
            HeadMark::Lines(_) => Some(80),
            HeadMark::Words(_) => Some(54),
        };
        svg.push_str(if maker.is_some() { HEX } else { SOCKET });
        match mark {
            HeadMark::Lines(count) if count > 0 => {
                svg.push_str("<path class='accent' d='");
                for k in 0..count {
                    let degrees = 360.0 / f64::from(count) * f64::from(k);
                    let ((x1, y1), (x2, y2)) = (point(degrees, LINE.0), point(degrees, LINE.1));
                    let _ = write!(
                        svg,
                        "M{} {}L{} {}",
                        Fixed(x1, 1),
                        Fixed(y1, 1),
                        Fixed(x2, 1),
                        Fixed(y2, 1)
                    );
                }
                svg.push_str("'/>");
            }
            HeadMark::Words(words) => {
                let _ = write!(
                    svg,
                    "<text transform='translate(80 102)scale(2)' text-anchor='middle' class='strong accent-fill'>{words}</text>"
                );
            }
            _ => {}
        }
        if let Some(y) = maker {
            let _ = write!(
                svg,
                "<rect x='57' y='{}' width='46' height='20' rx='4' class='thin' stroke-dasharray='3 2'/><text x='80' y='{}' text-anchor='middle'>maker</text>",
                y - 10,
                y + 4
            );
        }
        svg.push_str("</svg>");
        svg
    }
}

//! Drawn parts, to scale, as SVG markup. They take plain numbers and know nothing of jobs.

mod adapter;
mod corner;
mod head_mark;
mod hex_dial;
mod hole_play;
mod line_chart;
mod phone_gauge;
mod qr;
mod thread_rule;

pub use adapter::AdapterDrawing;
pub use corner::CornerViews;
pub use head_mark::HeadDrawing;
pub use hex_dial::HexDial;
pub use hole_play::HolePlay;
pub use line_chart::{ChartLine, LineChart, charts_file};
pub use phone_gauge::PhoneGauge;
pub use qr::{QUIET, QrDrawing};
pub use thread_rule::ThreadRule;

use crate::quantity::Fixed;
use std::fmt::Write;

/// The width of a drawing in drawing units. It is scaled to fill it, so that every part fills a phone's width.
const WIDTH: f64 = 344.0;

/// A text as it may stand in markup, between tags or in a quoted attribute.
pub fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            c => escaped.push(c),
        }
    }
    escaped
}

/// A dimension line at a height, with its extension lines from `down` to just below it and a tick at each end.
fn dimension(svg: &mut String, a: f64, b: f64, down: f64, y: f64) {
    let _ = write!(
        svg,
        "<path class='thin' d='M{a} {down}V{past}M{b} {down}V{past}M{a} {y}H{b}",
        past = Fixed(y + 4.0, 1),
        a = Fixed(a, 1),
        down = Fixed(down, 1),
        b = Fixed(b, 1),
        y = Fixed(y, 1)
    );
    for x in [a, b] {
        let _ = write!(svg, "M{} {}l6 -6", Fixed(x - 3.0, 1), Fixed(y + 3.0, 1));
    }
    svg.push_str("'/>");
}

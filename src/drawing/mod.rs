//! Drawn parts, to scale, as SVG markup. They take plain numbers and know nothing of jobs.

mod adapter;
mod corner;
mod head_mark;
mod hex_dial;
mod hole_play;
mod lever_arm;
mod line_chart;
mod phone_gauge;
mod qr;
mod shell_plan;
mod slot_scale;
mod thread_rule;

pub use adapter::AdapterDrawing;
pub use corner::CornerViews;
pub use head_mark::HeadDrawing;
pub use hex_dial::HexDial;
pub use hole_play::HolePlay;
pub use lever_arm::{Hold, LeverArm};
pub use line_chart::{ChartLine, LineChart, charts_file};
pub use phone_gauge::PhoneGauge;
pub use qr::{QUIET, QrDrawing};
pub use shell_plan::{PlanLine, ShellPlan};
pub use slot_scale::SlotScale;
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

/// A scale bar of a round length from a place, with its length beside it. The scale is in drawing units a metre.
fn scale_bar(svg: &mut String, x: f64, y: f64, scale: f64) {
    let length = [0.1, 0.2, 0.5, 1.0, 2.0]
        .into_iter()
        .find(|length| length * scale > 36.0)
        .unwrap_or(5.0);
    let end = x + length * scale;
    let _ = write!(
        svg,
        "<path class='ink scale' d='M{x} {y}H{end}'/><path class='thin' d='M{x} {up}V{down}M{end} {up}V{down}'/>",
        x = Fixed(x, 1),
        y = Fixed(y, 1),
        end = Fixed(end, 1),
        up = Fixed(y - 4.0, 1),
        down = Fixed(y + 4.0, 1)
    );
    let words = format!("{} mm", Fixed(length * 1e3, 0));
    text(svg, end + 8.0, y + 4.5, "", &words);
}

fn circle(svg: &mut String, (x, y): (f64, f64), radius: f64, class: &str) {
    let _ = write!(
        svg,
        "<circle cx='{}' cy='{}' r='{}' class='{class}'/>",
        Fixed(x, 1),
        Fixed(y, 1),
        Fixed(radius, 1)
    );
}

fn cross(svg: &mut String, x: f64, y: f64, half: f64) {
    let _ = write!(
        svg,
        "<path class='thin' d='M{} {y}h{whole}M{x} {}v{whole}'/>",
        Fixed(x - half, 1),
        Fixed(y - half, 1),
        x = Fixed(x, 1),
        y = Fixed(y, 1),
        whole = Fixed(2.0 * half, 1)
    );
}

fn text(svg: &mut String, x: f64, y: f64, class: &str, text: &str) {
    let _ = write!(
        svg,
        "<text x='{}' y='{}' class='{class}'>{}</text>",
        Fixed(x, 1),
        Fixed(y, 1),
        escape(text)
    );
}

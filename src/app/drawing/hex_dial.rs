//! The hex dial: a nut seen end-on, its flats counted off, an arc with the arrow for the way to turn.

use leptos::prelude::*;

/// What a hex dial shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Dial {
    /// How many steps to turn.
    pub steps: u32,
    /// The angle of one step in degrees: 60 for a flat, 180 for a half turn, 360 for a turn.
    pub step_degrees: f64,
    /// The way, as seen in the drawing.
    pub clockwise: bool,
    /// Whether a rod end's eye is turned instead of a hex.
    pub eye: bool,
    /// The whole instruction in words, for those who do not see the drawing.
    pub words: String,
}

const CENTRE: f64 = 80.0;
const INNER: f64 = 50.0;
const OUTER: f64 = 72.0;

fn point(degrees: f64, radius: f64) -> (f64, f64) {
    let angle = (degrees - 90.0).to_radians();
    (CENTRE + radius * angle.cos(), CENTRE + radius * angle.sin())
}

/// The arc from twelve o'clock, widening with each turn so that turns can be counted.
fn spiral(sweep: f64, sign: f64) -> (String, String) {
    let per_degree = if sweep > 360.0 { (OUTER - INNER) / sweep } else { 0.0 };
    let end = sweep - 9.0;
    let count = (end / 6.0).ceil().max(1.0);
    let mut path = String::new();
    let mut k = 0.0;
    while k <= count {
        let at = end * k / count;
        let (x, y) = point(sign * at, INNER + per_degree * at);
        path.push_str(&format!("{}{x:.1} {y:.1}", if k == 0.0 { "M" } else { "L" }));
        k += 1.0;
    }
    let radius = INNER + per_degree * sweep;
    let (tip, left, right) = (point(sign * sweep, radius), point(sign * (sweep - 16.0), radius + 9.0), point(sign * (sweep - 16.0), radius - 9.0));
    let head = format!("M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}z", tip.0, tip.1, left.0, left.1, right.0, right.1);
    (path, head)
}

/// A nut or an eye seen end-on, with the turning counted off.
#[component]
pub fn HexDial(dial: Dial) -> impl IntoView {
    let sign = if dial.clockwise { 1.0 } else { -1.0 };
    let sweep = f64::from(dial.steps) * dial.step_degrees;
    let (path, head) = if dial.steps == 0 { (String::new(), String::new()) } else { spiral(sweep, sign) };
    let corner = |k: u32| point(30.0 + 60.0 * f64::from(k), 38.0);
    let hex: Vec<_> = (0..6).map(corner).map(|(x, y)| format!("{x:.1} {y:.1}")).collect();
    let hex = format!("M{}z", hex.join("L"));
    let shape = if dial.eye {
        view! {
            <rect x="64" y="42" width="32" height="76" rx="10" class="ink heavy body-fill"></rect>
            <rect x="57" y="60" width="46" height="40" rx="12" class="ink body-fill"></rect>
            <path d="M57 80H103" class="thin" stroke-dasharray="5 3"></path>
        }
        .into_any()
    } else {
        view! {
            <path d=hex class="ink heavy body-fill"></path>
            <circle cx="80" cy="80" r="15" class="ink"></circle>
            <circle cx="80" cy="80" r="12" class="thin" stroke-dasharray="3 2"></circle>
        }
        .into_any()
    };
    // Each step is counted where it ends, once round.
    let per_turn = (360.0 / dial.step_degrees).round() as u32;
    let counted = (1..=dial.steps.min(per_turn))
        .map(|k| {
            let degrees = sign * dial.step_degrees * f64::from(k);
            let (x, y) = point(degrees, if dial.eye { 33.0 } else { 25.0 });
            let (x1, y1) = point(degrees, 40.0);
            let (x2, y2) = point(degrees, 46.0);
            view! {
                <path d=format!("M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}") class="ink"></path>
                <text x=format!("{x:.1}") y=format!("{:.1}", y + 4.5) text-anchor="middle" class="strong">{k}</text>
            }
        })
        .collect_view();
    view! {
        <svg class="dial" viewBox="0 0 160 160" role="img" aria-label=dial.words.clone()>
            <circle cx="80" cy="80" r="76" class="faint"></circle>
            {shape}
            {counted}
            <path d="M80 4V14" class="ink heavy"></path>
            <circle cx="80" cy="46" r="3" class="accent-fill"></circle>
            <path d=path class="accent"></path>
            <path d=head class="accent-fill"></path>
        </svg>
    }
}

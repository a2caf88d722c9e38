//! The thread rule: rod end, jam nut and insert in section, to scale, with the showing and engaged lengths dimensioned
//! and the least engaged length hatched.

use leptos::prelude::*;

/// What a thread rule shows. Lengths in millimetres; any finite size is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadDrawing {
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
    /// Unthreaded end of the shank.
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

/// Drawing units per millimetre at which a usual rod end fills a phone's width.
const WIDTH: f64 = 340.0;

/// A rod end in its insert, to scale.
#[component]
pub fn ThreadRule(drawing: ThreadDrawing) -> impl IntoView {
    let d = &drawing;
    let size = |mm: f64| if mm.is_finite() { mm.clamp(0.0, 400.0) } else { 0.0 };
    let (diameter, insert, nut, showing, engaged) = (size(d.diameter), size(d.insert), size(d.jam_nut), size(d.showing), size(d.engaged));
    let after = d.after.map(size);
    let eye = diameter * 1.15;
    let shoulder = diameter * 0.35;
    let widest = showing.max(after.unwrap_or(0.0));
    let scale = WIDTH / (insert + nut + widest + shoulder + 2.0 * eye + 4.0).max(1.0);
    let across = diameter * scale;
    let mid = 12.0 + across;
    let (top, bottom) = (mid - across / 2.0, mid + across / 2.0);
    let wall = across * 0.34;
    let face = insert * scale + 2.0;
    let nut_end = face + nut * scale;
    let shank_end = nut_end + showing * scale;
    let inside = (engaged + size(d.lead)).min(insert + size(d.lead)) * scale;
    let tip = (face - inside).max(0.0);
    let engaged_from = face - engaged * scale;
    let least_from = face - size(d.least).min(insert) * scale;
    let short = d.engaged < d.least;
    let eye_at = shank_end + shoulder * scale + eye * scale * 0.92;
    let flip = |x: f64| if d.mirrored { WIDTH + 4.0 - x } else { x };
    let across_box = |x1: f64, x2: f64, y: f64, h: f64, class: &'static str, fill: &'static str| {
        let (from, width) = (flip(x1).min(flip(x2)), (x2 - x1).abs());
        let fill = if fill.is_empty() { None } else { Some(fill) };
        view! { <rect x=format!("{from:.1}") y=format!("{y:.1}") width=format!("{width:.1}") height=format!("{h:.1}") class=class fill=fill></rect> }
    };
    let slant = if d.left_hand != d.mirrored { across * 0.12 } else { -across * 0.12 };
    let mut ridges = String::new();
    let mut x = nut_end + 4.0;
    while x < shank_end - 1.0 {
        ridges.push_str(&format!("M{:.1} {top:.1}L{:.1} {bottom:.1}", flip(x) + slant, flip(x) - slant));
        x += 5.0;
    }
    let down = bottom + wall + 8.0;
    let dimension = |from: f64, to: f64, y: f64| {
        format!(
            "M{a:.1} {down:.1}V{:.1}M{b:.1} {down:.1}V{:.1}M{a:.1} {y:.1}H{b:.1}M{:.1} {:.1}l6-6M{:.1} {:.1}l6-6",
            y + 4.0,
            y + 4.0,
            flip(from) - 3.0,
            y + 3.0,
            flip(to) - 3.0,
            y + 3.0,
            a = flip(from),
            b = flip(to),
        )
    };
    let line = down + 10.0;
    let height = line + 46.0;
    let anchor = |right: bool| if right != d.mirrored { "end" } else { "start" };
    let edge = |right: bool| if right != d.mirrored { WIDTH + 2.0 } else { 2.0 };
    let words = format!("Thread showing {}. Engaged: {}.", d.showing_text, d.engaged_text);
    let to = after.map(|after| {
        let x = flip(nut_end + after * scale);
        view! { <path d=format!("M{x:.1} {:.1}V{:.1}", top - 8.0, bottom + 8.0) class="accent-hatch" stroke-dasharray="4 3"></path> }
    });
    view! {
        <svg class="drawing" viewBox=format!("0 0 {:.0} {height:.0}", WIDTH + 4.0) role="img" aria-label=words>
            {across_box(2.0, face, top - wall, wall, "ink", "url(#hatch-tube)")}
            {across_box(2.0, face, bottom, wall, "ink", "url(#hatch-tube)")}
            {across_box(tip, face, top, across, "ink body-fill", "")}
            {across_box(engaged_from.max(least_from), face, top, across, "", if short { "url(#hatch-stop)" } else { "url(#hatch-least)" })}
            {across_box(face, nut_end, mid - across * 0.86, across * 1.72, "ink heavy body-fill", "")}
            <path d=format!("M{:.1} {:.1}H{:.1}M{:.1} {:.1}H{:.1}", flip(face), mid - across * 0.4, flip(nut_end), flip(face), mid + across * 0.4, flip(nut_end)) class="thin"></path>
            {across_box(nut_end, shank_end, top, across, "ink body-fill", "")}
            <path d=ridges class="thin"></path>
            {across_box(shank_end, shank_end + shoulder * scale + 4.0, top - 2.0, across + 4.0, "ink body-fill", "")}
            <circle cx=format!("{:.1}", flip(eye_at)) cy=format!("{mid:.1}") r=format!("{:.1}", eye * scale * 0.86) class="ink heavy body-fill"></circle>
            <circle cx=format!("{:.1}", flip(eye_at)) cy=format!("{mid:.1}") r=format!("{:.1}", eye * scale * 0.6) class="ink"></circle>
            <circle cx=format!("{:.1}", flip(eye_at)) cy=format!("{mid:.1}") r=format!("{:.1}", eye * scale * 0.34) class="ink"></circle>
            {to}
            <path d=dimension(engaged_from, face, line) class="thin"></path>
            <path d=dimension(nut_end, shank_end, line) class="thin"></path>
            <text x=format!("{:.1}", edge(false)) y=format!("{:.1}", line + 20.0) text-anchor=anchor(false)>{d.engaged_text.clone()}</text>
            <text x=format!("{:.1}", edge(true)) y=format!("{:.1}", line + 38.0) text-anchor=anchor(true) class="strong">{d.showing_text.clone()}</text>
        </svg>
    }
    .into_any()
}

//! What follows from a corner: how it stands, what a turn of each link does, and its curves over travel.

use super::super::table;
use super::{Asked, CAMBER, Corner, Found, Joint, Other, TOE};
use crate::app::device;
use crate::app::dom::{El, button, div, el, p};
use crate::app::parts::{Working, facts, sentences};
use crate::document::Preferences;
use crate::drawing::{ChartLine, LineChart, charts_file};
use crate::linkage::{
    JointLimit, Kept, Linkage, OverRange, Pitch, Place, PoseError, Range, Rate, Travelled,
    WheelPose, rolling_true, write_curves,
};
use crate::quantity::{Angle, Fixed, Length, write_made_length};

/// In how many steps the curves go each way.
const STEPS: u32 = 12;

/// The names of the two corners.
const TYPED: &str = "as typed";
const OTHER: &str = "other hole";

impl Asked {
    pub(super) fn answer(self, found: Found, working: &Working, folded: &Folded) -> Vec<El> {
        let words = self.preferences.get();
        let (pitch, per_turn) = (self.pitch(), self.per_turn());
        let axle = self.axle.get();
        found
            .with(|found| match found {
                Err(problems) => vec![sentences("reason", problems)],
                Ok(corner) => {
                    let anti = if axle == 0 {
                        "Anti-dive under brakes"
                    } else {
                        "Anti-lift under brakes"
                    };
                    answer(
                        found_curves(corner),
                        corner,
                        anti,
                        pitch,
                        per_turn,
                        (working, folded),
                        &words,
                    )
                }
            })
            .into_iter()
            .chain(self.export(found))
            .collect()
    }

    /// Buttons that save the curves, where there are some.
    fn export(self, found: Found) -> Option<El> {
        found.with(Result::is_ok).then(|| {
            let save = move |name: &str, write: fn(&Corner) -> String| {
                let text = found.with_untracked(|found| found.as_ref().ok().map(write));
                if let Some(text) = text {
                    device::save_file(name, &text);
                }
            };
            div("row")
                .child(button("Save the curves as CSV", move || {
                    save("corner-curves.csv", csv);
                }))
                .child(button("Save the curves as SVG", move || {
                    save("corner-curves.svg", svg);
                }))
        })
    }
}

/// The curves of a corner, each with its name.
type Curves = Vec<(&'static str, Vec<Travelled>)>;

fn found_curves(corner: &Corner) -> Curves {
    let mut curves = vec![(TYPED, curve(&corner.linkage, &corner.range))];
    if let Some(Ok(other)) = &corner.other {
        curves.push((OTHER, curve(&other.linkage, &corner.range)));
    }
    curves
}

fn curve(linkage: &Linkage, range: &Range) -> Vec<Travelled> {
    linkage.both_ways(range.droop, range.bump, STEPS)
}

fn csv(corner: &Corner) -> String {
    let curves = found_curves(corner);
    let curves: Vec<_> = curves
        .iter()
        .map(|(name, curve)| (*name, curve.as_slice()))
        .collect();
    write_curves(&curves)
}

fn svg(corner: &Corner) -> String {
    let title = format!("{}, over travel", corner.name);
    let mut charts = charts(&found_curves(corner)).to_vec();
    charts.extend(limit_charts(corner, &over(corner)));
    charts_file(&title, &charts)
}

fn charts(curves: &Curves) -> [LineChart; 4] {
    let chart = |title: &str, decimals: u32, value: fn(&WheelPose) -> f64| LineChart {
        title: title.to_owned(),
        decimals,
        lines: curves
            .iter()
            .map(|(name, curve)| ChartLine {
                name: (*name).to_owned(),
                points: curve
                    .iter()
                    .filter_map(|(travel, place)| {
                        let place = place.as_ref().ok()?;
                        Some((travel.as_mm(), value(&place.wheel)))
                    })
                    .collect(),
            })
            .collect(),
    };
    [
        chart("Toe, degrees, toe-in positive", 3, |wheel| {
            wheel.toe.as_degrees()
        }),
        chart("Camber, degrees, negative: top in", 2, |wheel| {
            wheel.camber.as_degrees()
        }),
        chart("Half-track change, mm, outwards positive", 1, |wheel| {
            wheel.half_track.as_mm()
        }),
        chart(
            "Wheel centre forward, mm: so moves the wheelbase",
            1,
            |wheel| wheel.forward.as_mm(),
        ),
    ]
}

/// The place at the drawn height.
fn drawn(curve: &[Travelled]) -> Option<Place> {
    let middle = curve.get(curve.len() / 2)?;
    middle.1.as_ref().ok().copied()
}

/// With its sign, and a true minus.
fn signed(value: f64, decimals: u32) -> String {
    let size = Fixed(value.abs(), decimals).to_string();
    if size.bytes().all(|byte| matches!(byte, b'0' | b'.')) {
        return size;
    }
    let sign = if value < 0.0 { "\u{2212}" } else { "+" };
    format!("{sign}{size}")
}

/// Degrees a millimetre.
const fn per_mm(rate: f64) -> f64 {
    rate.to_degrees() / 1e3
}

/// What is turned: its name, and what a millimetre more does to toe and to camber, in degrees.
struct Turned {
    name: String,
    toe: f64,
    camber: f64,
}

fn answer(
    curves: Curves,
    corner: &Corner,
    anti: &str,
    pitch: Option<Pitch>,
    per_turn: Length,
    (working, folded): (&Working, &Folded),
    words: &Preferences,
) -> Vec<El> {
    let Ok(rates) = corner.linkage.rates(&corner.linkage.drawn()) else {
        return Vec::new();
    };
    let places: Vec<Place> = curves
        .iter()
        .filter_map(|(_, curve)| drawn(curve))
        .collect();
    let wheel = &corner.geometry.wheel;
    let mut answer = vec![
        facts([
            ("Toe", words.way(wheel.toe, TOE)),
            ("Camber", words.way(wheel.camber, CAMBER)),
        ]),
        stands(&places, anti, pitch.as_ref(), words),
    ];
    if pitch.is_none() {
        let reason =
            "No anti-dive or anti-lift: see the reason at wheelbase, centre of gravity or brakes.";
        answer.push(p(reason).class("reason"));
    }
    match &corner.other {
        Some(Ok(other)) => answer.push(moved(corner, other, per_turn, words)),
        Some(Err(reason)) => answer.push(p(reason).class("reason")),
        None => {}
    }
    let turned = all_turned(corner, &rates.links);
    answer.extend(rate_tables(&turned, per_turn));
    let said: Vec<String> = turned
        .iter()
        .map(|turned| coupled(turned, per_turn.as_mm()))
        .collect();
    answer.push(sentences("note", &said));
    answer.extend(limits(corner, folded, words));
    answer.extend(steer(corner, pitch.as_ref().map(|pitch| pitch.wheelbase)));
    answer.extend(ends(&curves, corner));
    for chart in charts(&curves) {
        answer.push(div("").markup(&chart.svg()));
    }
    let set_anew = |other: &Other| matches!(other.joint, Joint::Link(_));
    if matches!(&corner.other, Some(Ok(other)) if set_anew(other)) {
        let same =
            "In both holes the wheel stands as typed at the drawn height: the link is set anew.";
        answer.push(p(same).class("small soft"));
    }
    answer.push(working.says(&worked(&places, pitch.as_ref(), &turned, per_turn), SOURCES));
    answer
}

const SOURCES: &str = "The carrier is held by five lengths, a strut being two of them, and by its ride height: six equations for its six unknowns, solved by Newton's method. The rates are exact at the drawn height: the same equations, differentiated. Signs: ISO 8855. Roll centre: SAE J670, both sides alike. Anti-dive and anti-lift: Milliken and Milliken, Race Car Vehicle Dynamics, ch. 17, brakes at the wheels.";

/// In how many steps the rack is looked at.
const LOCK_STEPS: u32 = 4;

/// Toe of both wheels by the rack; nothing where there is none.
fn steer(corner: &Corner, wheelbase: Option<Length>) -> Option<El> {
    let rack = corner.range.rack.as_ref()?;
    let steered = corner.linkage.steered(rack, LOCK_STEPS);
    let straight = corner.geometry.wheel.toe;
    let apart = corner.linkage.axes_apart().zip(wheelbase);
    let rows = steered.iter().map(|(shift, both)| {
        let mm = Fixed(shift.as_mm(), 1).to_string();
        let none = || "none".to_owned();
        let Ok(both) = both else {
            return [mm, none(), none(), none()];
        };
        let [own, across] = both.map(|toe| toe - straight);
        // The outer wheel is the one that toes in.
        let outer = own.max(across);
        let rolls = apart.map(|(apart, wheelbase)| rolling_true(outer, apart, wheelbase));
        let turned = |toe: Angle| signed(toe.as_degrees(), 2);
        [
            mm,
            turned(both[0]),
            turned(both[1]),
            rolls.map_or_else(none, |inner| turned(straight - inner)),
        ]
    });
    Some(table(
        "Toe by the rack towards this side, degrees, toe-in positive; true: of the inner wheel rolling without scrub",
        ["mm", "this", "other", "true"],
        rows.collect(),
    ))
}

/// How the joints keep their limits over travel and steer; nothing where none was asked.
fn limits(corner: &Corner, folded: &Folded, words: &Preferences) -> Vec<El> {
    let limits = match &corner.limits {
        Err(unread) => return vec![sentences("reason", unread)],
        Ok(limits) if limits.is_empty() => return Vec::new(),
        Ok(limits) => limits,
    };
    let over = over(corner);
    let problems = over.problems(limits, &corner.geometry, words.length);
    let kept: Vec<String> = limits
        .iter()
        .zip(&over.limits)
        .filter(|(_, kept)| kept.passed.is_empty())
        .map(|(limit, kept)| limit.words(kept, &corner.geometry, words.length))
        .collect();
    vec![
        el("h3").text("Limits over travel"),
        sentences("reason", &problems),
        sentences("note", &kept),
        folded.shows(&limit_charts(corner, &over)),
    ]
}

/// Charts folded away, which stay open while what they show changes.
#[derive(Clone)]
pub(super) struct Folded {
    details: El,
    charts: El,
}

impl Folded {
    pub(super) fn new() -> Self {
        let charts = div("stack");
        let details = el("details")
            .class("working")
            .child(el("summary").text("Their curves"))
            .child(charts.clone());
        Self { details, charts }
    }

    fn shows(&self, charts: &[LineChart]) -> El {
        let drawings: String = charts.iter().map(LineChart::svg).collect();
        let _ = self.charts.clone().markup(&drawings);
        self.details.clone()
    }
}

fn over(corner: &Corner) -> OverRange {
    let limits = corner.limits.as_deref().unwrap_or_default();
    corner.linkage.over(&corner.range, limits)
}

/// What each limit is of over travel, with the rack where it is nearest to its bound, and the bound.
fn limit_charts(corner: &Corner, over: &OverRange) -> Vec<LineChart> {
    let limits = corner.limits.as_deref().unwrap_or_default();
    let chart = |(limit, kept): (&JointLimit, &Kept)| {
        let tie_rod = corner.range.rack.map_or(0, |rack| rack.link);
        let racked = corner.linkage.racked(tie_rod, kept.at.rack);
        let curve = curve(&racked, &corner.range);
        let shown = |value: f64| match limit {
            JointLimit::RodEnd { .. } => value.abs().min(1.0).asin().to_degrees(),
            JointLimit::HalfShaft { .. } => value * 1e3,
        };
        let points = curve.iter().filter_map(|(travel, place)| {
            let place = place.as_ref().ok()?;
            let value = limit.value(&racked, &place.pose);
            Some((travel.as_mm(), shown(value)))
        });
        let line = if kept.at.rack == Length::ZERO {
            "straight ahead".to_owned()
        } else {
            let way = if kept.at.rack < Length::ZERO {
                "right"
            } else {
                "left"
            };
            format!("rack {} mm {way}", Fixed(kept.at.rack.abs().as_mm(), 0))
        };
        let level = |name: &str, value: f64| ChartLine {
            name: name.to_owned(),
            points: curve
                .iter()
                .map(|(travel, _)| (travel.as_mm(), shown(value)))
                .collect(),
        };
        let [least, most] = limit.bounds();
        let mut lines = vec![
            ChartLine {
                name: line,
                points: points.collect(),
            },
            level("limit", most),
        ];
        let what = match limit {
            JointLimit::RodEnd { .. } => "°",
            JointLimit::HalfShaft { .. } => {
                lines.push(level("limit", least));
                "mm longer than drawn"
            }
        };
        LineChart {
            title: format!("{}, {what}", limit.subject(&corner.geometry)),
            decimals: 1,
            lines,
        }
    };
    limits.iter().zip(&over.limits).map(chart).collect()
}

/// How it stands at the drawn height, in each hole.
fn stands(places: &[Place], anti: &str, pitch: Option<&Pitch>, words: &Preferences) -> El {
    let mut rows: Vec<[String; 3]> = Vec::new();
    let mut row = |name: &str, value: &dyn Fn(&Place) -> Option<String>| {
        let mut values = places.iter().filter_map(value);
        if let Some(first) = values.next() {
            rows.push([name.to_owned(), first, values.next().unwrap_or_default()]);
        }
    };
    let degrees = |rate: f64| Some(format!("{}°", signed(per_mm(rate) * 10.0, 3)));
    row("Caster", &|place| Some(words.angle(place.wheel.caster?)));
    row("Kingpin inclination", &|place| {
        Some(words.angle(place.wheel.kingpin?))
    });
    row("Toe, 10 mm up", &|place| degrees(place.rate.toe));
    row("Camber, 10 mm up", &|place| degrees(place.rate.camber));
    row("Roll centre", &|place| {
        let height = place.roll_centre();
        Some(if height.as_metres().abs() < 100.0 {
            words.length(height)
        } else {
            "none".to_owned()
        })
    });
    row(anti, &|place| {
        Some(format!("{} %", signed(place.anti(pitch?) * 100.0, 1)))
    });
    let other = if places.len() > 1 { OTHER } else { "" };
    table("At the drawn height", ["", TYPED, other], rows)
}

fn stood(wheel: &WheelPose, words: &Preferences) -> String {
    format!(
        "toe would be {} and camber {}",
        words.way(wheel.toe, TOE),
        words.way(wheel.camber, CAMBER)
    )
}

/// How the link must be set in its other hole, and what happens where it is not; or how the wheel stands with the strut's top there.
fn moved(corner: &Corner, other: &Other, per_turn: Length, words: &Preferences) -> El {
    let Joint::Link(place) = other.joint else {
        return p(
            &match other.linkage.pose(&Default::default(), Length::ZERO) {
                Ok(pose) => format!(
                    "With the strut's top there and nothing else set, {}.",
                    stood(&other.linkage.wheel(&pose), words)
                ),
                Err(error) => error.words(&other.geometry),
            },
        )
        .class("note");
    };
    let length = |geometry: &crate::linkage::Geometry| {
        let link = geometry.links.get(place)?;
        Some(Length::metres((link.carrier - link.car).length()))
    };
    let name = corner.geometry.links.get(place).map(|link| &*link.name);
    let (Some(name), Some(before), Some(after)) =
        (name, length(&corner.geometry), length(&other.geometry))
    else {
        return p("");
    };
    let longer = after - before;
    let way = if longer.as_metres() < 0.0 {
        "shorter"
    } else {
        "longer"
    };
    let set = if longer.abs() < Length::mm(0.0005) {
        format!("In the other hole {name} keeps its length.")
    } else {
        format!(
            "In the other hole {name} is set {} {way}, {} turns, to stand as typed.",
            write_made_length(longer.abs(), words.length),
            Fixed(longer.abs() / per_turn, 2)
        )
    };
    let mut changes = [Length::ZERO; 5];
    if let Some(change) = changes.get_mut(place) {
        *change = -longer;
    }
    let left = match other.linkage.pose(&changes, Length::ZERO) {
        Ok(pose) => format!(
            "Left as long as it is, {}.",
            stood(&other.linkage.wheel(&pose), words)
        ),
        Err(_) => "Left as long as it is, it cannot be fitted there.".to_owned(),
    };
    p(&format!("{set} {left}")).class("note")
}

/// Each link, and the two legs of each arm together.
fn all_turned(corner: &Corner, rates: &[Rate; 5]) -> Vec<Turned> {
    let links = corner.geometry.links.iter().zip(rates).enumerate();
    let mut all: Vec<Turned> = links
        .map(|(place, (link, rate))| Turned {
            name: format!("{} {}", place + 1, link.name),
            toe: per_mm(rate.toe),
            camber: per_mm(rate.camber),
        })
        .collect();
    for [one, other] in corner.asked.arms() {
        if let (Some(first), Some(second)) = (rates.get(one), rates.get(other)) {
            all.push(Turned {
                name: format!("{} and {} together", one + 1, other + 1),
                toe: per_mm(first.toe + second.toe),
                camber: per_mm(first.camber + second.camber),
            });
        }
    }
    all
}

fn rate_tables(turned: &[Turned], per_turn: Length) -> [El; 2] {
    let rows = |times: f64, decimals: u32| {
        turned
            .iter()
            .map(|turned| {
                [
                    turned.name.clone(),
                    signed(turned.toe * times, decimals),
                    signed(turned.camber * times, decimals),
                ]
            })
            .collect()
    };
    let mm = per_turn.as_mm();
    let turn = format!("Degrees per turn longer, {} mm", Fixed(mm, 3));
    [
        table(
            "Degrees per millimetre longer",
            ["", "toe", "camber"],
            rows(1.0, 4),
        ),
        table(&turn, ["", "toe", "camber"], rows(mm, 3)),
    ]
}

/// What a turn does to both, in words.
fn coupled(turned: &Turned, mm: f64) -> String {
    let (toe, camber) = (turned.toe * mm, turned.camber * mm);
    let way = |value: f64, [plus, minus]: [&str; 2]| {
        let size = Fixed(value.abs(), 3);
        // What rounds to nothing has no way.
        if value.abs() < 0.0005 {
            return format!("{size}°");
        }
        format!("{size}° {}", if value < 0.0 { minus } else { plus })
    };
    let (large, small, names) = if toe.abs() >= camber.abs() {
        (toe, camber, ["toe", "camber"])
    } else {
        (camber, toe, ["camber", "toe"])
    };
    let [main, along] = names;
    let share = (small / large).abs() * 0.1;
    let coupling = if large.abs() < 0.0005 {
        "It moves next to nothing.".to_owned()
    } else if share < 0.0005 {
        format!("It moves {main} alone.")
    } else {
        format!(
            "Every 0.10° of {main} brings {}° of {along}.",
            Fixed(share, 3)
        )
    };
    format!(
        "{}, a turn longer: toe {}, camber {}. {coupling}",
        turned.name,
        way(toe, ["in", "out"]),
        way(camber, CAMBER)
    )
}

/// Where and why a curve ends.
fn ends(curves: &Curves, corner: &Corner) -> Vec<El> {
    let mut said = Vec::new();
    for (name, curve) in curves {
        let (low, high) = curve.split_at(curve.len() / 2);
        let first = |mut places: Box<dyn Iterator<Item = &Travelled> + '_>| {
            places.find_map(|(travel, place)| Some((*travel, *place.as_ref().err()?)))
        };
        let found: [Option<(Length, PoseError)>; 2] = [
            first(Box::new(low.iter().rev())),
            first(Box::new(high.iter())),
        ];
        for (travel, error) in found.into_iter().flatten() {
            let reason = format!(
                "The curve {name} ends before {} mm of travel. {}",
                signed(travel.as_mm(), 0),
                error.words(&corner.geometry)
            );
            said.push(p(&reason).class("reason"));
        }
    }
    said
}

fn worked(places: &[Place], pitch: Option<&Pitch>, turned: &[Turned], per_turn: Length) -> String {
    let mut formula = String::new();
    if let Some(link) = turned.last() {
        let mm = per_turn.as_mm();
        formula.push_str(&format!(
            "per turn = per mm × travel per turn\n{}: {} × {} = {}° of toe",
            link.name,
            signed(link.toe, 4),
            Fixed(mm, 4),
            signed(link.toe * mm, 3)
        ));
    }
    if let (Some(place), Some(pitch)) = (places.first(), pitch) {
        let moves = place.rate.contact_of_carrier;
        let forward = if pitch.front { 1.0 } else { -1.0 };
        formula.push_str(&format!(
            "\nroll centre = contact from the middle × across/up = {} mm × {} = {} mm",
            signed(place.wheel.contact.y * 1e3, 1),
            signed(moves.y / moves.z, 4),
            signed(place.roll_centre().as_mm(), 1)
        ));
        formula.push_str(&format!(
            "\nanti = share × slope × wheelbase/height = {} × {} × {}/{} = {}",
            Fixed(pitch.share, 2),
            signed(forward * moves.x / moves.z, 4),
            Fixed(pitch.wheelbase.as_mm(), 0),
            Fixed(pitch.gravity.as_mm(), 0),
            signed(place.anti(pitch), 4)
        ));
    }
    formula
}

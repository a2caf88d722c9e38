//! Which thread it is: from a caliper over the crests and a pitch gauge to a designation.

use super::{empty, field, length_field, pick, spoken, table};
use crate::app::dom::{El, div, el, p};
use crate::app::parts::{Working, body, facts, mark};
use crate::app::signal::RwSignal;
use crate::document::{Entry, Preferences, Unit};
use crate::hardware::{Candidate, Identity, Span, Thread, identify};
use crate::quantity::{Fixed, Length, Limit, read_number_of};
use crate::station::{State, length_of};

/// The pitch of so many threads per inch.
fn per_inch_of(entry: &Entry) -> Result<Length, String> {
    let count = read_number_of(&entry.text, "tpi").map_err(|error| error.to_string())?;
    if (4.0..=100.0).contains(&count) {
        Ok(Length::inches(1.0 / count))
    } else {
        Err("Threads per inch lie between 4 and 100.".into())
    }
}

/// A pitch in words.
fn pitch_words(pitch: Length) -> String {
    format!("{} mm", Fixed(pitch.as_mm(), 2))
}

/// Which thread a measured bolt has.
pub fn which(preferences: RwSignal<Preferences>) -> [El; 2] {
    let (crests, metric, inch) = (empty(), empty(), empty());
    let by_inch = RwSignal::new(0);
    // Each way has an entry of its own: 20 threads per inch never become a pitch of 20 mm.
    let pitch_field = move || {
        if by_inch.get() == 1 {
            field(
                preferences,
                "per-inch",
                "Threads per inch",
                inch,
                |_| Unit::Count,
                |entry, _| per_inch_of(entry).map(|pitch| format!("pitch {}", pitch_words(pitch))),
            )
        } else {
            field(
                preferences,
                "pitch",
                "Pitch, crest to crest",
                metric,
                |_| Unit::Millimetre,
                |entry, _| length_of(entry, Limit::Pitch).map(pitch_words),
            )
        }
    };
    let known = body()
        .child(length_field(
            preferences,
            "crests",
            "Over the crests",
            crests,
            Limit::Crests,
        ))
        .child(pick(
            "by",
            "The pitch is measured in",
            &["mm", "threads per inch"],
            by_inch,
        ))
        .child(div("").live(move || vec![pitch_field()]))
        .child(
            p("Caliper: jaws over the crests of a clean, unworn stretch, not in the root. Pitch: hold a gauge into the thread against the light; or lay a rule along the crests, count the gaps over 1 in, or measure ten gaps and divide by ten.")
                .class("small soft"),
        );
    let working = Working::new();
    let answer = spoken(move || {
        let pitch = if by_inch.get() == 1 { inch } else { metric }.get();
        let read = if by_inch.get() == 1 {
            per_inch_of(&pitch)
        } else {
            length_of(&pitch, Limit::Pitch)
        };
        let major = crests.get();
        match (length_of(&major, Limit::Crests), read) {
            (Ok(major), Ok(pitch)) => answer(&identify(major, pitch), &working),
            _ if major.is_empty() || pitch.is_empty() => {
                vec![p("Type the diameter over the crests and the pitch.").class("soft")]
            }
            _ => vec![
                p("No answer: one of the two cannot be right. See the reason there.")
                    .class("reason"),
            ],
        }
    });
    [known, answer]
}

fn answer(identity: &Identity, working: &Working) -> Vec<El> {
    let mut answer = Vec::new();
    match &identity.likely {
        Some(likely) => {
            answer.push(if identity.in_doubt {
                mark(
                    State::Begun,
                    "in doubt: two threads are as near as the tools can tell",
                )
            } else {
                mark(State::Done, "likely")
            });
            answer.push(el("strong").class("big").text(&likely.thread.designation()));
            answer.push(p(&likely.why));
        }
        None => {
            answer.push(mark(State::Wrong, "nothing known here is near"));
            answer.push(p("Measure again: the caliper over the crests and square to the bolt, the threads counted over a whole inch. A worn or plated thread measures small or large. It may be a thread outside the series known here: a pipe thread, a Whitworth or a special one. Try no nut on it by force."));
        }
    }
    if let Some(next) = &identity.runner_up {
        let words = match (&identity.likely, identity.in_doubt) {
            (_, true) => "It may as well be",
            (Some(_), false) => "Next nearest",
            (None, _) => "Nearest of all, and still too far",
        };
        answer.push(next_words(words, next));
    }
    if identity.in_doubt {
        answer.push(
            p("Tell them apart with a nut or a gauge of each: the right one turns by hand over its whole length.")
                .class("note"),
        );
    }
    if let Some(likely) = &identity.likely {
        answer.extend(limits(likely.thread));
        answer.push(working.says(
            &format!(
                "{}: diameter off by {} × what a caliper may be off by (0.1 mm), pitch by {} × what a gauge may be off by (2 %)",
                likely.thread.designation(),
                Fixed(likely.diameter_off, 1),
                Fixed(likely.pitch_off, 1)
            ),
            "Limits before plating: ASME B1.1 2A and 2B, ISO 965-1 6g and 6H. What the tools may be off by: common practice, no source. Up to three times that still counts as near.",
        ));
    }
    answer
}

fn next_words(words: &str, candidate: &Candidate) -> El {
    p("")
        .child(el("strong").text(&format!("{words}: {}. ", candidate.thread.designation())))
        .text(&candidate.why)
}

/// The limits of a thread, in the unit of its standard.
fn limits(thread: Thread) -> Vec<El> {
    let limits = thread.limits();
    let inch = thread.is_inch();
    let one = |length: Length| {
        if inch {
            Fixed(length.as_inches(), 4)
        } else {
            Fixed(length.as_mm(), 3)
        }
    };
    let unit = if inch { "in" } else { "mm" };
    let [external, internal] = if inch { ["2A", "2B"] } else { ["6g", "6H"] };
    let row = |what: &str, class: &str, span: Span| {
        [
            format!("{what} ({class})"),
            one(span.least).to_string(),
            one(span.most).to_string(),
        ]
    };
    let rows = vec![
        row("bolt, crests", external, limits.bolt_major),
        row("bolt, pitch", external, limits.bolt_pitch),
        row("nut, pitch", internal, limits.nut_pitch),
        row("nut, bore", internal, limits.nut_minor),
    ];
    let area = thread.nominal_stress_area().as_square_metres();
    let (standard, pitch, area) = if inch {
        (
            "ASME B1.1",
            format!(
                "{}, {} per inch",
                pitch_words(thread.pitch()),
                Fixed(1.0 / thread.pitch().as_inches(), 0)
            ),
            format!("{} in²", Fixed(area / (0.0254 * 0.0254), 4)),
        )
    } else {
        (
            "ISO 965-1",
            pitch_words(thread.pitch()),
            format!("{} mm²", Fixed(area * 1e6, 1)),
        )
    };
    vec![
        facts([
            ("Pitch", pitch),
            (
                "Minor diameter",
                format!("{} {unit}", one(thread.minor_diameter())),
            ),
            ("Stress area", area),
        ]),
        table(
            &format!("Limits of its diameters, {unit} ({standard})"),
            ["", "least", "most"],
            rows,
        ),
    ]
}

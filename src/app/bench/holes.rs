//! A bolt in its hole: what a measured hole means at a suspension pivot.

use super::{empty, length_field, pick, place_of, spoken, table, thread_at, thread_list};
use crate::app::dom::{El, div, el, p};
use crate::app::parts::{Working, body, facts, hole_words, mark};
use crate::app::signal::RwSignal;
use crate::document::{Entry, Preferences};
use crate::drawing::HolePlay;
use crate::hardware::{Fit, HoleFit, Thread, clearance_hole, judge_hole};
use crate::quantity::{Length, LengthUnit, Limit, write_made_length, write_sold_length};
use crate::station::{State, length_of};

/// The hole in its two directions; where only one was measured, it is taken round, and a slot is judged by its width anyway.
fn hole_of(one: &Entry, other: &Entry) -> Result<[Length; 2], String> {
    let read = |entry| length_of(entry, Limit::HoleDiameter);
    let first = read(one)?;
    if other.is_empty() {
        return Ok([first; 2]);
    }
    Ok([first, read(other)?])
}

/// What a measured hole means.
pub fn holes(preferences: RwSignal<Preferences>) -> [El; 2] {
    let thread = RwSignal::new(place_of(Thread::default()));
    let slot = RwSignal::new(0);
    let (one, other) = (empty(), empty());
    let asked = |id: &str, label: &str, entry: RwSignal<Entry>| {
        length_field(preferences, id, label, entry, Limit::HoleDiameter)
    };
    let known = body()
        .child(thread_list("Bolt", thread))
        .child(pick(
            "slot",
            "The hole is",
            &["round", "a slot"],
            slot,
        ))
        .child(
            div("fields")
                .child(asked("across", "Hole, one way", one))
                .child(asked("square", "Square to it", other)),
        )
        .child(
            p("Measure twice, square to each other: only so an oval shows. Where the second is left empty, the hole is taken round.")
                .class("small soft"),
        );
    let working = Working::new();
    let answer = spoken(move || {
        let words = preferences.get();
        let bolt = thread_at(thread.get());
        let slot = slot.get() == 1;
        let mut answer = match hole_of(&one.get(), &other.get()) {
            _ if one.with(Entry::is_empty) => {
                vec![p("Type what the hole measures.").class("soft")]
            }
            Err(_) => vec![
                p("No answer: one of the two diameters cannot be right. See the reason there.")
                    .class("reason"),
            ],
            Ok(hole) => match judge_hole(bolt, hole, slot) {
                Err(error) => vec![p(&error.to_string()).class("reason")],
                Ok(fit) => judged(bolt, hole, slot, &fit, &working, &words),
            },
        };
        answer.extend(series(bolt, words.length));
        answer
    });
    [known, answer]
}

fn judged(
    bolt: Thread,
    hole: [Length; 2],
    slot: bool,
    fit: &HoleFit,
    working: &Working,
    words: &Preferences,
) -> Vec<El> {
    let made = |length: Length| write_made_length(length, words.length);
    let (state, says) = match fit.fit {
        _ if fit.worn => (State::Wrong, "worn oval: do not fit it"),
        Fit::Close => (State::Done, "close fit"),
        Fit::Normal => (State::Done, "normal fit"),
        Fit::Loose => (State::Wrong, "loose fit"),
        Fit::TooLoose | Fit::Interference => (State::Wrong, fit.fit.name()),
    };
    let [one, other] = hole;
    let (narrow, wide) = (one.min(other), one.max(other));
    let across = if slot { narrow } else { wide };
    let mut formula = format!(
        "play = {} − bolt = {} − {} = {}",
        if slot { "width" } else { "larger diameter" },
        made(across),
        made(bolt.diameter()),
        made(across - bolt.diameter())
    );
    if !slot {
        formula = format!(
            "{formula}\noval = {} − {} = {}",
            made(wide),
            made(narrow),
            made(fit.oval)
        );
    }
    let play = match fit.fit {
        Fit::Interference => format!("{} too small", made(bolt.diameter() - narrow)),
        _ => format!("{} of play", made(fit.play)),
    };
    let drawing = HolePlay {
        bolt: bolt.diameter(),
        hole,
        slot,
        words: play.clone(),
    };
    let mut answer = vec![
        mark(state, says),
        el("strong").class("big").text(&play),
        p(&hole_words(fit, words)),
        p(fit.advice()).class("note"),
        div("").markup(&drawing.svg()),
    ];
    if fit.oval > Length::ZERO && !slot {
        answer.push(facts([("Oval by", made(fit.oval))]));
    }
    answer.push(working.says(
        &formula,
        "The smallest series that the hole does not exceed. What it means and what to do, and that a drilled hole is oval by 0.2 mm at most: common practice, no source.",
    ));
    answer
}

/// The holes that the standard has for this bolt.
fn series(bolt: Thread, unit: LengthUnit) -> Option<El> {
    let (standard, names) = if bolt.is_inch() {
        ("ASME B18.2.8", ["close", "normal", "loose"])
    } else {
        (
            "ISO 273",
            ["close (fine)", "normal (medium)", "loose (coarse)"],
        )
    };
    let rows = [Fit::Close, Fit::Normal, Fit::Loose].into_iter().zip(names);
    let rows: Vec<[String; 3]> = rows
        .filter_map(|(fit, name)| {
            let hole = clearance_hole(bolt, fit)?;
            let name = if bolt.is_inch() {
                let drill = write_sold_length(hole.nominal, LengthUnit::Inch);
                format!("{name}, {drill}")
            } else {
                name.to_owned()
            };
            let [smallest, largest] =
                [hole.nominal, hole.largest].map(|size| write_made_length(size, unit));
            Some([name, smallest, largest])
        })
        .collect();
    if rows.is_empty() {
        return None;
    }
    let caption = format!("Clearance holes for {} ({standard})", bolt.designation());
    Some(table(&caption, ["", "smallest", "largest"], rows))
}

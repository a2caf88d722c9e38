//! Thread showing and engagement of one rod end.

use super::{field, thread_list};
use crate::adjuster::ThreadedEnd;
use crate::app::dom::{El, div, el, p};
use crate::app::field::{choices, options};
use crate::app::parts::{body, facts, mark, working};
use crate::app::signal::RwSignal;
use crate::app::stations::{end_drawing, engaged_working};
use crate::document::{Entry, Preferences, Unit};
use crate::hardware::{Hand, Material, Thread, jam_nut};
use crate::quantity::{Fixed, Length, Limit};
use crate::station::{State, length_of};

/// Thread showing and engagement.
pub fn engagement(preferences: RwSignal<Preferences>) -> [El; 2] {
    let thread = RwSignal::new(Thread::default());
    let aluminium = RwSignal::new(false);
    let empty = || RwSignal::new(Entry::default());
    let (nut, shank, showing, depth) = (empty(), empty(), empty(), empty());
    let lead = RwSignal::new(Entry {
        text: "0".into(),
        unit: Unit::Millimetre,
        sense: None,
    });
    let asked = |id: &str, label: &str, entry: RwSignal<Entry>| {
        field(
            preferences,
            id,
            label,
            entry,
            |words| words.length.into(),
            |entry, words| {
                length_of(entry, Limit::ThreadShowing).map(|length| words.length(length))
            },
        )
    };
    let standard = p("")
        .class("small soft")
        .live_text(move || match jam_nut(thread.get()) {
            None => "No standard jam nut for this size: measure yours.".into(),
            Some(nut) => {
                let words = preferences.get();
                format!(
                    "Standard jam nut: {} thick, {} across flats (ASME B18.2.2, ISO 4035).",
                    words.length(nut.basic),
                    words.length(nut.across_flats)
                )
            }
        });
    let known = body()
        .child(thread_list(thread))
        .child(choices(
            "insert",
            "The insert is",
            &options(&[("steel", "steel"), ("aluminium", "aluminium")]),
            move || {
                if aluminium.get() {
                    "aluminium"
                } else {
                    "steel"
                }
                .to_owned()
            },
            move |value| aluminium.set(value == "aluminium"),
        ))
        .child(
            div("fields")
                .child(asked("shank", "Shank, shoulder to tip", shank))
                .child(asked("showing", "Thread showing", showing))
                .child(asked("depth", "Depth of the insert", depth))
                .child(asked("lead", "Tip without thread", lead))
                .child(asked("nut", "Jam nut, if not standard", nut)),
        )
        .child(standard);
    let end = move || {
        let length = |entry: RwSignal<Entry>| length_of(&entry.get(), Limit::ThreadShowing).ok();
        let jam_nut = if nut.with(Entry::is_empty) {
            jam_nut(thread.get()).map(|nut| nut.basic)
        } else {
            length(nut)
        };
        let end = ThreadedEnd {
            name: "rod end".into(),
            thread: thread.get(),
            hand: Hand::Right,
            shank: length(shank)?,
            jam_nut: jam_nut?,
            unthreaded_lead: length(lead)?,
            insert_depth: length(depth)?,
            insert: if aluminium.get() {
                Material::Aluminium
            } else {
                Material::Steel
            },
            shank_strength: None,
            insert_strength: None,
            base_showing: Length::ZERO,
        };
        Some((end, length(showing)?))
    };
    let answer = body().attr("role", "status").live(move || match end() {
        None => vec![p("Type the shank, the thread showing and the insert's depth.").class("soft")],
        Some((end, showing)) => answer(&end, showing, &preferences.get()),
    });
    [known, answer]
}

fn answer(end: &ThreadedEnd, showing: Length, words: &Preferences) -> Vec<El> {
    let state = match end.state(showing) {
        Ok(state) => state,
        Err(error) => return vec![p(&error.to_string()).class("reason")],
    };
    let (kind, says) = match state {
        state if !state.is_safe() => (State::Wrong, "too little engaged: screw it in"),
        state if state.engaged < state.needed.preferred => {
            (State::Begun, "enough, less than preferred for a rod end")
        }
        _ => (State::Done, "enough engaged"),
    };
    let pitch = end.thread.pitch();
    let left = |length: Length| {
        format!(
            "{}, {} turns",
            words.length(length.max(Length::ZERO)),
            Fixed((length / pitch).max(0.0), 1)
        )
    };
    let mut answer = vec![
        mark(kind, says),
        el("strong")
            .class("big")
            .text(&format!("{} engaged", words.length(state.engaged))),
    ];
    answer.extend(end_drawing(end, Some(state), None, false, words));
    answer.push(facts([
        ("May still come out", left(state.spare)),
        ("May still go in", left(state.inward)),
        (
            "Least, preferred",
            format!(
                "{}, {}",
                words.length(state.needed.least),
                words.length(state.needed.preferred)
            ),
        ),
    ]));
    answer.push(working(
        &engaged_working(end, &state),
        &format!(
            "Arithmetic. Least: {}, {}.",
            end.needed().rule,
            end.needed().source
        ),
    ));
    answer
}

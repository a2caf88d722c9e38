//! Thread showing and engagement of one rod end.

use super::{
    Pick, empty, field, length_field, pick, place_of, spoken, thread_at, thread_list, typed,
};
use crate::adjuster::{EndState, ThreadedEnd};
use crate::app::dom::{El, div, el, p};
use crate::app::parts::{Working, body, facts, mark};
use crate::app::signal::RwSignal;
use crate::app::stations::end_drawing;
use crate::document::{Entry, Preferences, Unit};
use crate::hardware::{Hand, Material, SHANK, Thread, jam_nut};
use crate::quantity::{Fixed, Length, Limit, Stress, StressUnit, read_stress, write_stress};
use crate::station::{State, length_of};

/// What is asked.
#[derive(Clone, Copy)]
struct Asked {
    preferences: RwSignal<Preferences>,
    thread: Pick,
    material: Pick,
    nut: RwSignal<Entry>,
    shank: RwSignal<Entry>,
    showing: RwSignal<Entry>,
    depth: RwSignal<Entry>,
    lead: RwSignal<Entry>,
    shank_strength: RwSignal<Entry>,
    insert_strength: RwSignal<Entry>,
}

/// A tensile strength that a metal can have; nothing typed is none.
fn strength_of(entry: &Entry) -> Result<Option<Stress>, String> {
    if entry.is_empty() {
        return Ok(None);
    }
    let strength =
        read_stress(&entry.text, StressUnit::Megapascal).map_err(|error| error.to_string())?;
    if (50.0..=2000.0).contains(&strength.as_mpa()) {
        Ok(Some(strength))
    } else {
        Err("A tensile strength lies between 50 MPa (7.3 ksi) and 2000 MPa (290 ksi).".into())
    }
}

/// Thread showing and engagement.
pub fn engagement(preferences: RwSignal<Preferences>) -> [El; 2] {
    let asked = Asked {
        preferences,
        thread: RwSignal::new(place_of(Thread::default())),
        material: RwSignal::new(0),
        nut: empty(),
        shank: empty(),
        showing: empty(),
        depth: empty(),
        lead: typed("0", Unit::Millimetre),
        shank_strength: empty(),
        insert_strength: empty(),
    };
    let working = Working::new();
    let answer = spoken(move || asked.answer(&working));
    [asked.known(), answer]
}

impl Asked {
    fn material(self) -> Material {
        match self.material.get() {
            1 => Material::Aluminium,
            _ => Material::Steel,
        }
    }

    fn has_standard_nut(self) -> bool {
        jam_nut(thread_at(self.thread.get())).is_some()
    }

    fn known(self) -> El {
        let preferences = self.preferences;
        let length = |id: &str, label: &str, entry: RwSignal<Entry>| {
            length_field(preferences, id, label, entry, Limit::ThreadShowing)
        };
        let strength = |id: &str, label: &str, entry: RwSignal<Entry>| {
            field(
                preferences,
                id,
                label,
                entry,
                |_| Unit::Count,
                |entry, _| {
                    let words = |stress| {
                        format!(
                            "{}, {}",
                            write_stress(stress, StressUnit::Megapascal),
                            write_stress(stress, StressUnit::Ksi)
                        )
                    };
                    strength_of(entry).map(|strength| strength.map(words).unwrap_or_default())
                },
            )
        };
        let standard = move || match jam_nut(thread_at(self.thread.get())) {
            None => "No standard jam nut for this size: measure yours.".into(),
            Some(nut) => {
                let words = preferences.get();
                format!(
                    "Standard jam nut: {} thick, {} across flats (ASME B18.2.2, ISO 4035).",
                    words.length(nut.basic),
                    words.length(nut.across_flats)
                )
            }
        };
        let usual = move || {
            format!(
                "Left empty, the shank is taken at {} (class 8.8, ISO 898-1), the insert at {} ({}). A number alone is MPa; 120 ksi may be typed too.",
                write_stress(SHANK, StressUnit::Megapascal),
                write_stress(self.material().tensile(), StressUnit::Megapascal),
                match self.material() {
                    Material::Steel => "S355, EN 10025-2",
                    Material::Aluminium => "6061-T6, ASTM B221",
                }
            )
        };
        body()
            .child(thread_list("Thread", self.thread))
            .child(pick(
                "insert",
                "The insert is",
                &["steel", "aluminium"],
                self.material,
            ))
            .child(
                div("fields")
                    .child(length("shank", "Shank, shoulder to tip", self.shank))
                    .child(length("showing", "Thread showing", self.showing))
                    .child(length("depth", "Depth of the insert", self.depth))
                    .child(length("lead", "Tip without thread", self.lead))
                    .child(length("nut", "Jam nut, if not standard", self.nut)),
            )
            .child(p("").class("small soft").live_text(standard))
            .child(
                div("fields")
                    .child(strength(
                        "shank-strength",
                        "Shank, tensile strength",
                        self.shank_strength,
                    ))
                    .child(strength(
                        "insert-strength",
                        "Insert, tensile strength",
                        self.insert_strength,
                    )),
            )
            .child(p("").class("small soft").live_text(usual))
    }

    /// The end and the thread showing, where everything can be read.
    fn end(self) -> Option<(ThreadedEnd, Length)> {
        let length = |entry: RwSignal<Entry>| length_of(&entry.get(), Limit::ThreadShowing).ok();
        let thread = thread_at(self.thread.get());
        let jam_nut = if self.nut.with(Entry::is_empty) {
            jam_nut(thread).map(|nut| nut.basic)
        } else {
            length(self.nut)
        };
        let end = ThreadedEnd {
            name: "rod end".into(),
            thread,
            hand: Hand::Right,
            shank: length(self.shank)?,
            jam_nut: jam_nut?,
            unthreaded_lead: length(self.lead)?,
            insert_depth: length(self.depth)?,
            insert: self.material(),
            shank_strength: strength_of(&self.shank_strength.get()).ok()?,
            insert_strength: strength_of(&self.insert_strength.get()).ok()?,
            base_showing: Length::ZERO,
        };
        Some((end, length(self.showing)?))
    }

    fn answer(self, working: &Working) -> Vec<El> {
        let words = self.preferences.get();
        let Some((end, showing)) = self.end() else {
            let typed = [self.shank, self.showing, self.depth]
                .iter()
                .all(|entry| entry.with(|entry| !entry.is_empty()));
            return vec![
                if typed && self.nut.with(Entry::is_empty) && !self.has_standard_nut() {
                    p("Type the jam nut's thickness: the standards have none for this size.")
                        .class("soft")
                } else if typed {
                    p("No answer: one of the fields cannot be right. See the reason there.")
                        .class("reason")
                } else {
                    p("Type the shank, the thread showing and the insert's depth.").class("soft")
                },
            ];
        };
        match end.state(showing) {
            Err(error) => vec![p(&error.to_string()).class("reason")],
            Ok(state) => answer(&end, &state, working, &words),
        }
    }
}

fn answer(end: &ThreadedEnd, state: &EndState, working: &Working, words: &Preferences) -> Vec<El> {
    let (kind, says) = match state {
        _ if !state.is_safe() => (State::Wrong, "too little engaged: screw it in"),
        _ if state.engaged < state.needed.preferred => {
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
    answer.extend(end_drawing(end, Some(*state), None, false, words));
    let needed = &state.needed;
    answer.push(facts([
        ("May still come out", left(state.spare)),
        ("May still go in", left(state.inward)),
        ("Least", words.length(needed.least)),
        ("Preferred", words.length(needed.preferred)),
        ("By shop rule", words.length(needed.shop)),
        ("So as not to strip", words.length(needed.strip)),
    ]));
    let governs = if needed.strip > needed.shop {
        "The strip length governs: it is the longer of the two"
    } else {
        "The shop rule governs: it is the longer of the two"
    };
    answer.push(p(&format!("{governs}. {}.", weaker(needed.weaker))).class("note"));
    answer.push(working.says(
        &format!("{}\n\n{}", end.engaged_working(state), end.needed_working()),
        &format!(
            "Arithmetic. Least: {}, {}. Shop rule: steel, common practice, no source; aluminium, US Army TM 5-3895-367-14&P, H-2. Shear areas, Le and J: FED-STD-H28/2, Machinery's Handbook, at the limits of ASME B1.1 2A and 2B or ISO 965-1 6g and 6H.",
            needed.rule, needed.source
        ),
    ));
    answer
}

/// J in words.
fn weaker(j: f64) -> String {
    if j > 1.0 {
        format!(
            "The insert's thread is weaker than the shank's: J {}",
            Fixed(j, 2)
        )
    } else {
        format!(
            "The insert's thread is no weaker than the shank's: J {}",
            Fixed(j, 2)
        )
    }
}

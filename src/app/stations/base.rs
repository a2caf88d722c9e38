//! Base: each adjuster drawn to scale, its thread showing measured, and the way out when all pass.

use crate::adjuster::{EndState, Mechanism, ThreadedEnd};
use crate::app::dom::{Ask, Derived, El, derived, div, el, later, p, result};
use crate::app::field::{EntryField, Understood};
use crate::app::parts::{body, frame, live_mark, live_working, next_frame, sentences};
use crate::app::store::{Store, use_store};
use crate::document::{Adjuster, Corner, Entry, Preferences, Unit};
use crate::drawing::ThreadRule;
use crate::hardware::Hand;
use crate::station::{self, OUT_IN, State, measure, measured_names, position_words};
use std::rc::Rc;

type Result = Derived<Option<station::Base>>;

/// The Base station.
pub fn base() -> Vec<El> {
    let store = use_store();
    let result: Result = result(move || store.read(|job| Some(station::base(job))));
    let adjusters = store.peek(|job| job.card.adjusters.clone());
    let mut corners: Vec<Corner> = adjusters.iter().map(|adjuster| adjuster.corner).collect();
    corners.dedup();
    let frames = corners.into_iter().map(|corner| {
        let all = adjusters.clone();
        later(move || {
            let here = all
                .iter()
                .enumerate()
                .filter(|(_, adjuster)| adjuster.corner == corner);
            frame(
                corner.words(),
                body()
                    .children(here.map(|(index, adjuster)| at_base(store, result, index, adjuster)))
                    .child(later(move || foretold(store, corner)))
                    .child(later(move || over_travel(store, corner))),
            )
        })
    });
    vec![
        p(
            "Jam nuts loose. Set each adjuster to its base, measure what shows, the same at both ends and on both sides. Then lock the jam nuts.",
        ),
        way_out(store, result),
        div("two").children(frames),
    ]
}

/// What the card's hardpoints say of a corner before it is on strings.
fn foretold(store: Store, corner: Corner) -> El {
    p("").class("small soft").live_text(move || {
        let words = store.preferences.get();
        store
            .read(|job| station::foretold(job, corner))
            .map_or_else(String::new, |says| foretold_words(&says, &words))
    })
}

fn foretold_words(says: &station::Foretold, words: &Preferences) -> String {
    let mut text = format!(
        "By the card's hardpoints, each known to {}: ",
        words.length(says.points)
    );
    if let Some((toe, camber)) = says.reads.and_then(|reads| reads.toe.zip(reads.camber)) {
        text.push_str(&format!(
            "should read {} ± {}, {} ± {}. ",
            words.way(toe.value, ["toe-in", "toe-out"]),
            words.doubt(toe.uncertainty),
            words.camber(camber.value),
            words.doubt(camber.uncertainty)
        ));
    }
    match &says.at_target {
        Err(reason) => text.push_str(reason),
        Ok(settings) => {
            text.push_str("On target at ");
            for (place, (name, position)) in settings.iter().enumerate() {
                let before = if place == 0 { "" } else { "; " };
                text.push_str(&format!(
                    "{before}{name} {}",
                    position_words(position, " and ", words)
                ));
            }
            text.push('.');
        }
    }
    text
}

/// What its rod ends and its half-shaft do over its travel as the adjusters stand.
fn over_travel(store: Store, corner: Corner) -> El {
    div("stack").live(move || {
        let unit = store.preferences.get().length;
        let Some(over) = store.read(|job| station::over_travel(job, corner)) else {
            return Vec::new();
        };
        let problems = over.problems(unit);
        let basis = over.basis(unit);
        let nearest = over.nearest(unit).map_or_else(String::new, |nearest| {
            format!(
                "Every rod end and half-shaft with a limit keeps it. Nearest to its own: {nearest} "
            )
        });
        vec![
            sentences("reason", &problems),
            p(&format!("{nearest}{basis}")).class("small soft"),
        ]
    })
}

fn way_out(store: Store, result: Result) -> El {
    let blocks = derived(move || {
        let passed = store.read(|job| station::joints_passed(job, store.preferences.get().length));
        let blocks = result.with(|result| result.as_ref().map(|result| result.blocks.clone()));
        [passed, blocks.unwrap_or_default()].concat()
    });
    let says = live_mark(move || match blocks.with(Vec::len) {
        0 => (State::Done, "It may be driven to alignment.".into()),
        1 => (State::Open, "Not yet: 1 thing stands against it.".into()),
        count => (
            State::Open,
            format!("Not yet: {count} things stand against it."),
        ),
    });
    let why = div("").live(move || {
        blocks.with(|blocks| {
            if blocks.is_empty() {
                return vec![p(
                    "Slowly, every jam nut tight, and only after the two final lists of Bolt up.",
                )];
            }
            let list = el("ul")
                .class("lines")
                .children(blocks.iter().map(|block| el("li").text(block)));
            vec![
                el("details")
                    .class("working")
                    .child(el("summary").text("Show them"))
                    .child(list),
            ]
        })
    });
    next_frame(
        "May it be driven to alignment?",
        body().attr("role", "status").child(says).child(why),
    )
}

/// Puts an entry in its place among those of the ends.
pub fn set_entry(entries: &mut Vec<Entry>, index: usize, entry: Entry) {
    if entries.len() <= index {
        entries.resize(index + 1, Entry::default());
    }
    if let Some(place) = entries.get_mut(index) {
        *place = entry;
    }
}

/// What an entry of an adjuster is understood as, in words.
fn measured_words(
    mechanism: &Mechanism,
    index: usize,
    entry: &Entry,
    words: &Preferences,
) -> Understood {
    let mut entries = vec![Entry::default(); index];
    entries.push(entry.clone());
    let (measures, position) = measure(mechanism, &entries);
    let Some(measure) = measures.into_iter().nth(index) else {
        return Ok(String::new());
    };
    match (measure.problem, measure.state, position) {
        (Some(problem), ..) => Err(problem),
        (_, Some(state), _) => Ok(format!(
            "{}; {} engaged, {} at least",
            words.length(state.showing),
            words.length(state.engaged),
            words.length(state.needed.least)
        )),
        (.., Some(position)) => Ok(position_words(&position, " and ", words)),
        _ => Ok(String::new()),
    }
}

/// A field for one measured value of an adjuster.
pub fn measure_field(
    store: Store,
    id: String,
    label: String,
    mechanism: Rc<Mechanism>,
    index: usize,
    get: Rc<dyn Ask<Entry>>,
    set: Rc<dyn Fn(Entry)>,
) -> El {
    let (ways, angle) = match &*mechanism {
        Mechanism::CamBolt(_) => (Some(OUT_IN), true),
        Mechanism::Slot(_) => (Some(OUT_IN), false),
        _ => (None, false),
    };
    EntryField {
        id,
        label,
        ways,
        get,
        set,
        unit: Rc::new(move || {
            if angle {
                Unit::Degree
            } else {
                store.preferences.get().length.into()
            }
        }),
        understood: Rc::new(move |entry| {
            measured_words(&mechanism, index, entry, &store.preferences.get())
        }),
    }
    .view()
}

fn at_base(store: Store, result: Result, index: usize, adjuster: &Adjuster) -> El {
    let row = derived(move || {
        result.with(|result| {
            result
                .as_ref()
                .and_then(|result| result.rows.get(index).cloned())
        })
    });
    let mechanism = Rc::new(adjuster.mechanism.clone());
    let fields = measured_names(&mechanism)
        .into_iter()
        .enumerate()
        .map(|(end, name)| {
            let (get, set) = (adjuster.id.clone(), adjuster.id.clone());
            measure_field(
                store,
                format!("base-{}-{end}", adjuster.id),
                name,
                mechanism.clone(),
                end,
                Rc::new(move || {
                    store.read(|job| {
                        job.settings
                            .get(&get)
                            .and_then(|entries| entries.get(end))
                            .cloned()
                            .unwrap_or_default()
                    })
                }),
                Rc::new(move |entry| {
                    store.edit(|job| set_entry(job.settings.place(&set), end, entry))
                }),
            )
        });
    let of_base = mechanism.clone();
    let base = p("")
        .class("soft")
        .live_text(move || base_words(&of_base, &store.preferences.get()));
    let drawn = mechanism.clone();
    let drawings = div("stack").live(move || {
        let words = store.preferences.get();
        row.with(|row| {
            let state = |end: usize| {
                row.as_ref()
                    .and_then(|row| row.measures.get(end))
                    .and_then(|measure| measure.state)
            };
            drawn
                .ends()
                .iter()
                .enumerate()
                .filter_map(|(index, end)| end_drawing(end, state(index), None, index == 1, &words))
                .collect()
        })
    });
    let says = div("stack").live(move || {
        row.with(|row| {
            row.as_ref().map(|row| {
                vec![
                    sentences("reason", &row.problems),
                    sentences("note", &row.notes),
                ]
            })
        })
        .unwrap_or_default()
    });
    let shown = mechanism.ends().first().map(|end| {
        let is_measured = move || {
            row.with(|row| {
                let mut measures = row.iter().flat_map(|row| &row.measures);
                measures.any(|measure| measure.state.is_some())
            })
        };
        let (worked, needed_working) = (mechanism.clone(), end.needed_working());
        let formula = move || {
            row.with(|row| {
                let measures = row.iter().flat_map(|row| &row.measures);
                let ends = worked.ends().iter().zip(measures);
                let lines = ends.filter_map(|(end, measure)| Some(end.engaged_working(&measure.state?)));
                let lines: Vec<_> = lines.collect();
                format!("{}\n\n{needed_working}", lines.join("\n"))
            })
        };
        let needed = end.needed();
        let source = format!(
            "Arithmetic on the card's lengths. Least: {}, {}. Shear areas, Le and J: FED-STD-H28/2, Machinery's Handbook.",
            needed.rule, needed.source
        );
        live_working(is_measured, formula, &source)
    });
    let state = live_mark(move || {
        row.with(|row| {
            row.as_ref()
                .map(|row| (row.state, row.state.word().to_owned()))
        })
        .unwrap_or((State::Open, String::new()))
    });
    div("stack part")
        .attr("data-adjuster", &adjuster.id)
        .child(
            div("row spread")
                .child(el("h3").text(&adjuster.name))
                .child(state),
        )
        .child(base)
        .child(drawings)
        .child(div("fields").children(fields))
        .child(says)
        .child(p(&adjuster.how).class("small soft"))
        .children(shown)
}

fn base_words(mechanism: &Mechanism, words: &Preferences) -> String {
    if mechanism.ends().is_empty() {
        return match mechanism {
            Mechanism::Shims(_) => "Base: no shims".into(),
            _ => "Base: at its middle".into(),
        };
    }
    let each: Vec<_> = mechanism
        .ends()
        .iter()
        .map(|end| {
            format!(
                "{} showing on {}{}",
                words.length(end.base_showing),
                end.thread.designation(),
                if end.hand == Hand::Left {
                    " left-hand"
                } else {
                    ""
                }
            )
        })
        .collect();
    format!("Base: {}", each.join("; "))
}

/// An end drawn to scale, at what was measured, or at its base while nothing is.
pub fn end_drawing(
    end: &ThreadedEnd,
    state: Option<EndState>,
    after: Option<EndState>,
    mirrored: bool,
    words: &Preferences,
) -> Option<El> {
    let measured = state.is_some();
    let shown = state.or_else(|| end.state(end.base_showing).ok())?;
    let least = words.length(shown.needed.least);
    let rule = ThreadRule {
        diameter: end.thread.diameter().as_mm(),
        insert: end.insert_depth.as_mm(),
        jam_nut: end.jam_nut.as_mm(),
        showing: shown.showing.as_mm(),
        engaged: shown.engaged.as_mm(),
        lead: end.unthreaded_lead.as_mm(),
        least: shown.needed.least.as_mm(),
        after: after.map(|after| after.showing.as_mm()),
        mirrored,
        left_hand: end.hand == Hand::Left,
        engaged_text: match after {
            Some(after) => format!(
                "{} engaged after, least {least}",
                words.length(after.engaged)
            ),
            None => format!("{} engaged, least {least}", words.length(shown.engaged)),
        },
        showing_text: match (after, measured) {
            (Some(after), _) => format!(
                "{} → {} showing",
                words.length(shown.showing),
                words.length(after.showing)
            ),
            (None, true) => format!("{} showing", words.length(shown.showing)),
            (None, false) => format!("base: {} showing", words.length(shown.showing)),
        },
    };
    Some(div("").markup(&rule.svg()))
}

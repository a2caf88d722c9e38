//! The bench: quick answers that need no job, on a page of their own. What is typed here is not kept.

mod engagement;
mod geometry;
mod holes;
mod identify;
mod torque;
mod turns;

use super::dom::{El, div, el, on_window};
use super::field::{EntryField, choices};
use super::parts::{body, frame, next_frame};
use super::shell::{self, heading, link};
use super::{device, store};
use crate::app::signal::RwSignal;
use crate::document::{Entry, Preferences, Unit};
use crate::hardware::{Series, Thread, threads};
use crate::quantity::{Length, Limit, write_made_length};
use crate::station::length_of;
use std::rc::Rc;

/// One question.
struct Question {
    /// Its address after `#/`.
    slug: &'static str,
    /// Its name among the ways.
    short: &'static str,
    /// Its name at the head of its page.
    name: &'static str,
    /// The bodies of what is known and of what follows.
    ask: fn(RwSignal<Preferences>) -> [El; 2],
}

/// The first is asked where the address names none.
const QUESTIONS: [Question; 6] = [
    Question {
        slug: "turns",
        short: "Turns",
        name: "Turns for an angle",
        ask: turns::turns,
    },
    Question {
        slug: "torque",
        short: "Torque",
        name: "Tightening torque",
        ask: torque::torque,
    },
    Question {
        slug: "holes",
        short: "Holes",
        name: "A bolt in its hole",
        ask: holes::holes,
    },
    Question {
        slug: "thread",
        short: "Engagement",
        name: "Thread showing and engagement",
        ask: engagement::engagement,
    },
    Question {
        slug: "which",
        short: "Which thread",
        name: "Which thread is it",
        ask: identify::which,
    },
    Question {
        slug: "geometry",
        short: "Geometry",
        name: "A corner's geometry",
        ask: geometry::geometry,
    },
];

/// Puts the bench in place of its skeleton.
pub fn mount() {
    shell::mount(open, [], page);
}

fn open() -> RwSignal<Preferences> {
    // The page of jobs sets the preferences, maybe while the bench stands in another tab or waits to be gone back to.
    let preferences = RwSignal::new(store::kept_preferences());
    let read = move |_| {
        let kept = store::kept_preferences();
        if kept != preferences.get_untracked() {
            preferences.set(kept);
        }
    };
    on_window("storage", read);
    on_window("pageshow", read);
    preferences
}

fn page(preferences: RwSignal<Preferences>) -> (El, impl Fn() -> Vec<El>) {
    let here = RwSignal::new(device::hash());
    on_window("hashchange", move |_| {
        here.set(device::hash());
        device::to_top_soon();
    });
    let content = move || {
        let hash = here.get();
        let asked = QUESTIONS
            .iter()
            // Behind the question a corner may stand.
            .find(|question| {
                hash.strip_prefix("#/")
                    .and_then(|rest| rest.strip_prefix(question.slug))
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
            })
            .unwrap_or(&QUESTIONS[0]);
        let [known, answer] = (asked.ask)(preferences);
        let both = div("two")
            .child(frame("Known", known))
            .child(next_frame("Answer", answer));
        vec![
            el("header").child(heading(asked.name)),
            el("main")
                .class("stack")
                .child(shell::new_version())
                .child(nav(asked.slug))
                .child(both),
        ]
    };
    let page = shell::page(
        preferences,
        "../",
        [link("#/", "Bench"), link("../desk/", "Desk")],
    );
    (page, content)
}

/// The body of what follows, read aloud when it changes.
fn spoken(answer: impl Fn() -> Vec<El> + 'static) -> El {
    body().attr("role", "status").live(answer)
}

/// The way between the questions.
fn nav(here: &str) -> El {
    let ways = QUESTIONS.iter().map(|Question { slug, short, .. }| {
        let way = link(&format!("#/{slug}"), short).class("button");
        if *slug == here {
            way.attr("aria-current", "page")
        } else {
            way
        }
    });
    el("nav")
        .class("row ways")
        .attr("aria-label", "Bench")
        .children(ways)
}

/// What was picked from a list, by its place.
type Pick = RwSignal<usize>;

/// Options of a list, each with its place among all.
type Options = Vec<(usize, String)>;

/// A list in groups, each option with its place among all. Options of a group without a name stand by themselves.
fn list(
    id: &str,
    label: &str,
    groups: impl Into<Vec<(&'static str, Options)>>,
    picked: Pick,
) -> El {
    fn make(id: &str, label: &str, groups: Vec<(&'static str, Options)>, picked: Pick) -> El {
        let now = picked.get_untracked();
        let mut list = el("select").attr("id", id);
        for (name, options) in groups {
            let mut group = match name {
                "" => list.clone(),
                name => el("optgroup").attr("label", name),
            };
            for (place, words) in options {
                let option = el("option").attr("value", &place.to_string()).text(&words);
                group = group.child(if place == now {
                    option.attr("selected", "")
                } else {
                    option
                });
            }
            if !name.is_empty() {
                list = list.child(group);
            }
        }
        let list = list.on_value("change", move |place| take(picked, &place));
        div("field")
            .child(el("label").attr("for", id).text(label))
            .child(list)
    }
    make(id, label, groups.into(), picked)
}

fn take(picked: Pick, place: &str) {
    if let Ok(place) = place.parse() {
        picked.set(place);
    }
}

/// One of a few, each a big target.
fn pick(id: &str, label: &str, words: &[&str], picked: Pick) -> El {
    let options: Vec<_> = words
        .iter()
        .enumerate()
        .map(|(place, words)| (place.to_string(), (*words).to_owned()))
        .collect();
    choices(
        id,
        label,
        &options,
        move || picked.get().to_string(),
        move |place| take(picked, &place),
    )
}

/// The place of a thread among all.
fn place_of(thread: Thread) -> usize {
    threads()
        .position(|other| other == thread)
        .unwrap_or_default()
}

/// The thread at a place.
fn thread_at(place: usize) -> Thread {
    threads().nth(place).unwrap_or_default()
}

/// A list of every thread known here, by size, the usual ones first.
fn thread_list(label: &str, picked: Pick) -> El {
    let of = |name, is: fn(Thread) -> bool| {
        let mut options = Vec::new();
        // Sizes in sixteenths of an inch or in millimetres.
        for size in 1..=32 {
            let size = f64::from(size);
            options.extend(
                threads()
                    .enumerate()
                    .filter(|(_, thread)| {
                        let unit = if thread.is_inch() {
                            Length::inches(1.0 / 16.0)
                        } else {
                            Length::mm(1.0)
                        };
                        is(*thread) && (thread.diameter() / unit - size).abs() < 0.5
                    })
                    .map(|(place, thread)| (place, thread.designation())),
            );
        }
        (name, options)
    };
    const fn is_usual(thread: Thread) -> bool {
        matches!(thread.series(), Series::Unc | Series::Unf)
    }
    list(
        "thread",
        label,
        [
            of("Inch", is_usual),
            of("Metric", |thread| !thread.is_inch()),
            of("Inch, extra fine and others", |thread| {
                thread.is_inch() && !is_usual(thread)
            }),
        ],
        picked,
    )
}

/// A field of the bench.
fn field(
    preferences: RwSignal<Preferences>,
    id: &str,
    label: &str,
    entry: RwSignal<Entry>,
    unit: fn(&Preferences) -> Unit,
    read: impl Fn(&Entry, &Preferences) -> Result<String, String> + 'static,
) -> El {
    EntryField {
        id: id.to_owned(),
        label: label.to_owned(),
        ways: None,
        get: Rc::new(move || entry.get()),
        set: Rc::new(move |typed| entry.set(typed)),
        unit: Rc::new(move || unit(&preferences.get())),
        understood: Rc::new(move |entry| read(entry, &preferences.get())),
    }
    .view()
}

/// A field of the bench for a length within a limit.
fn length_field(
    preferences: RwSignal<Preferences>,
    id: &str,
    label: &str,
    entry: RwSignal<Entry>,
    limit: Limit,
) -> El {
    field(
        preferences,
        id,
        label,
        entry,
        |words| words.length.into(),
        // What a caliper resolves is not rounded away.
        move |entry, words| {
            length_of(entry, limit).map(|length| write_made_length(length, words.length))
        },
    )
}

/// What a field holds at first.
fn typed(text: &str, unit: Unit) -> RwSignal<Entry> {
    RwSignal::new(Entry {
        text: text.to_owned(),
        unit,
        sense: None,
    })
}

/// A field left empty.
fn empty() -> RwSignal<Entry> {
    RwSignal::new(Entry::default())
}

/// A small table: its caption, its heads, and its rows, each with a head of its own.
fn table<const N: usize>(caption: &str, heads: [&str; N], rows: Vec<[String; N]>) -> El {
    let mut body = el("tbody");
    for row in &rows {
        body = body.child(table_row(row));
    }
    let mut head = el("tr");
    for words in heads {
        head = head.child(match words {
            "" => el("td"),
            words => el("th").attr("scope", "col").text(words).class("num"),
        });
    }
    el("table")
        .child(el("caption").text(caption))
        .child(el("thead").child(head))
        .child(body)
}

/// A row of a table: its head, and its figures.
fn table_row(row: &[String]) -> El {
    let mut cells = el("tr");
    for (place, words) in row.iter().enumerate() {
        cells = cells.child(match place {
            0 => el("th").attr("scope", "row").text(words),
            _ => el("td").class("num").text(words),
        });
    }
    cells
}

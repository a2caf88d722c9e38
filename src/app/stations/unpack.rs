//! Unpack: the order, the counts, the fits and the car.

use crate::app::device;
use crate::app::dom::{Derived, El, button, derived, div, el, later, p, result};
use crate::app::field::{EntryField, choices, text_field};
use crate::app::parts::{body, frame, group, hole_words, live_mark, mark, sentences};
use crate::app::signal::RwSignal;
use crate::app::store::{Store, use_store};
use crate::document::{Answer, Choice, Entry, Finding, FitCheck, Job, Preferences, Unit, Use};
use crate::drawing::{PlanLine, ShellPlan};
use crate::hardware::Thread;
use crate::quantity::{Limit, read_count, write_made_length};
use crate::station::{
    self, CarFinding, CountRow, DistanceRow, Progress, State, fit_words, point_distance, wild,
    wild_words,
};
use reactive_graph::{owner::StoredValue, traits::*};
use std::rc::Rc;

/// The Unpack station.
pub fn unpack() -> Vec<El> {
    let store = use_store();
    vec![
        later(move || frame("The order and the car", order_fields(store))),
        later(move || counted(store, |store| vec![car_points(store)])),
        later(move || shortages(store)),
    ]
}

/// What is shown below the distances on the car, where there is a car: a box that ships has none, and its page not the code.
pub type OfCar = fn(Store) -> Vec<El>;

/// What is counted and tried, in groups.
pub fn counted(store: Store, of_car: OfCar) -> El {
    let result = result(move || store.read(|job| Some(station::unpack(job))));
    // The rows change with the order only; what stands in them follows by itself.
    let order = derived(move || store.read(|job| job.order.clone()));
    let open = RwSignal::new(result.with_untracked(first_open));
    div("stack").live(move || {
        order.track();
        result
            .with_untracked(|now| {
                now.as_ref()
                    .map(|now| groups(store, result, open, now, of_car))
            })
            .unwrap_or_default()
    })
}

fn first_open(result: &Option<station::Unpack>) -> Option<usize> {
    let result = result.as_ref()?;
    let group = result
        .groups
        .iter()
        .position(|group| group.rows.iter().any(|row| row.state() == State::Open));
    group.or_else(|| {
        result
            .fits
            .iter()
            .any(|row| row.state() == State::Open)
            .then_some(result.groups.len())
    })
}

fn groups(
    store: Store,
    result: Derived<Option<station::Unpack>>,
    open: RwSignal<Option<usize>>,
    now: &station::Unpack,
    of_car: OfCar,
) -> Vec<El> {
    let counted = now.groups.len();
    let of = move |states: fn(&station::Unpack, usize) -> Vec<State>, index: usize| {
        move || {
            let mut progress = Progress::default();
            result.with(|result| {
                result
                    .iter()
                    .flat_map(|result| states(result, index))
                    .for_each(|state| progress.add(state))
            });
            progress
        }
    };
    let mut groups: Vec<_> = now
        .groups
        .iter()
        .enumerate()
        .map(|(index, counts)| {
            let rows = counts.rows.clone();
            let states = |result: &station::Unpack, index: usize| {
                result
                    .groups
                    .get(index)
                    .map(|group| group.rows.iter().map(CountRow::state).collect())
                    .unwrap_or_default()
            };
            group(&counts.name, index, open, of(states, index), move || {
                vec![
                    el("ul")
                        .class("lines")
                        .children(rows.iter().map(|row| count(store, row))),
                ]
            })
        })
        .collect();
    let fits: Vec<_> = now.fits.iter().map(|row| row.check.clone()).collect();
    let (tried, measured) = (!fits.is_empty(), !now.distances.is_empty());
    let by_hand = || {
        group(
            "Try by hand",
            counted,
            open,
            of(
                |result, _| result.fits.iter().map(station::FitRow::state).collect(),
                0,
            ),
            move || {
                vec![
                    el("ul")
                        .class("lines")
                        .children(fits.iter().map(|check| fit(store, check))),
                ]
            },
        )
    };
    groups.extend(tried.then(by_hand));
    let distances = now.distances.clone();
    let on_car = || {
        group(
            "The car's own points, before fitting",
            counted + 1,
            open,
            of(
                |result, _| result.distances.iter().map(DistanceRow::state).collect(),
                0,
            ),
            move || {
                let mut shown = vec![
                    p("Tape from centre to centre of the mounting points, diagonals included.")
                        .class("soft"),
                    el("ul")
                        .class("lines")
                        .children(distances.iter().map(|row| distance(store, row))),
                ];
                shown.extend(of_car(store));
                shown
            },
        )
    };
    groups.extend(measured.then(on_car));
    groups
}

fn words(choices: &[Choice]) -> Vec<(String, String)> {
    choices
        .iter()
        .map(|choice| (choice.id.clone(), choice.name.clone()))
        .collect()
}

/// What was ordered, option by option.
pub fn ordered(store: Store) -> impl Iterator<Item = El> {
    let options = store.peek(|job| job.card.options.clone());
    options.into_iter().map(move |option| {
        let (get, set) = (option.id.clone(), option.id.clone());
        choices(
            &format!("order-{}", option.id),
            &option.name,
            &words(&option.choices),
            move || store.read(|job| job.order.get(&get).cloned().unwrap_or_default()),
            move |choice| store.edit(|job| job.order.insert(set.clone(), choice)),
        )
    })
}

/// How the car is used, where the card has advice for it, and the advice.
fn uses(store: Store, uses: Vec<Use>) -> El {
    if uses.is_empty() {
        return div("");
    }
    let ticks = uses.into_iter().map(|one| {
        let (is, id) = (one.id.clone(), one.id);
        let input = el("input")
            .attr("type", "checkbox")
            .live_checked(move || store.read(|job| job.uses.contains(&is)))
            .on("change", move |_| {
                store.edit(|job| match job.uses.iter().position(|known| *known == id) {
                    Some(place) => {
                        job.uses.remove(place);
                    }
                    None => job.uses.push(id.clone()),
                })
            });
        el("label").child(input).child(el("span").text(&one.name))
    });
    let ticks = el("fieldset")
        .class("choices")
        .child(el("legend").text("The car is"))
        .child(div("set").children(ticks));
    let advice = div("stack").attr("role", "status").live(move || {
        let advice = store.read(station::advice);
        advice
            .iter()
            .map(|advice| p(advice).class("note"))
            .collect()
    });
    div("stack").child(ticks).child(advice)
}

fn order_fields(store: Store) -> El {
    let (pickups, mut notes, used) = store.peek(|job| {
        let card = &job.card;
        (card.pickups.clone(), card.notes.clone(), card.uses.clone())
    });
    notes.extend(store.peek(|job| station::revision_note(&job.card)));
    let holes = pickups.into_iter().map(|pickup| {
        let base = pickup
            .choices
            .first()
            .map(|choice| choice.id.clone())
            .unwrap_or_default();
        let (get, set) = (pickup.id.clone(), pickup.id.clone());
        choices(
            &format!("pickup-{}", pickup.id),
            &pickup.name,
            &words(&pickup.choices),
            move || {
                store
                    .read(|job| job.pickups.get(&get).cloned())
                    .unwrap_or_else(|| base.clone())
            },
            move |choice| store.edit(|job| job.pickups.insert(set.clone(), choice)),
        )
    });
    body()
        .child(text_field(
            "car-name",
            "The car",
            move || store.read(|job| job.car.name.clone()),
            move |text| store.edit(|job| job.car.name = text),
        ))
        .child(text_field(
            "car-by",
            "Who does the work, for the sheet",
            move || store.read(|job| job.car.by.clone()),
            move |text| store.edit(|job| job.car.by = text),
        ))
        .children(ordered(store))
        .children(holes)
        .child(uses(store, used))
        .children((!notes.is_empty()).then(|| notes_of(store, &notes)))
}

/// What the maker says of the kit: read before the first count, out of the way after it.
fn notes_of(store: Store, notes: &[String]) -> El {
    let folded = el("details")
        .class("working")
        .child(el("summary").text(&format!("The maker's notes ({})", notes.len())))
        .child(div("stack").children(notes.iter().map(|note| p(note).class("note"))));
    if store.peek(|job| job.counts.is_empty()) {
        folded.attr("open", "")
    } else {
        folded
    }
}

fn count(store: Store, row: &CountRow) -> El {
    let expected = row.expected;
    let (get, set, is) = (row.id.clone(), row.id.clone(), row.id.clone());
    let state = move || {
        store.read(|job| {
            job.counts.get(&is).map(|entry| {
                if entry.is_empty() {
                    State::Open
                } else if read_count(&entry.text).is_ok_and(|received| received >= expected) {
                    State::Done
                } else {
                    State::Wrong
                }
            })
        })
    };
    let field = EntryField {
        id: format!("count-{}", row.id),
        label: row.name.clone(),
        ways: None,
        get: Rc::new(move || store.read(|job| job.counts.get(&get).cloned().unwrap_or_default())),
        set: Rc::new(move |entry| store.edit(|job| job.counts.insert(set.clone(), entry))),
        unit: Rc::new(|| Unit::Count),
        understood: Rc::new(move |entry| {
            let received = read_count(&entry.text).map_err(|error| error.to_string())?;
            Ok(match received {
                received if received < expected => format!("{} missing", expected - received),
                received if received > expected => {
                    format!("all here, {} more than ordered", received - expected)
                }
                _ => "all here".into(),
            })
        }),
    };
    el("li")
        .class("count")
        .child(field.view())
        .child(live_mark(move || {
            (
                state().unwrap_or(State::Open),
                format!("{expected} ordered"),
            )
        }))
}

fn fit(store: Store, check: &FitCheck) -> El {
    const ANSWERS: [(&str, Answer); 3] = [
        ("right", Answer::Right),
        ("usable", Answer::Usable),
        ("wrong", Answer::Wrong),
    ];
    let kind = check.kind;
    let id = StoredValue::new(check.id.clone());
    let finding = move || {
        store.read(|job| {
            id.with_value(|id| job.findings.get(id).cloned())
                .unwrap_or_default()
        })
    };
    let change = move |change: &dyn Fn(&mut Finding)| {
        store.edit(|job| change(job.findings.place(&id.get_value())))
    };
    let words =
        ANSWERS.map(|(value, answer)| (value.to_owned(), fit_words(kind, answer).to_owned()));
    let chosen = move || {
        let answer = finding().answer;
        ANSWERS
            .iter()
            .find(|(_, known)| Some(*known) == answer)
            .map(|(value, _)| (*value).to_owned())
            .unwrap_or_default()
    };
    let take = move |value: String| {
        let answer = ANSWERS
            .iter()
            .find(|(known, _)| *known == value)
            .map(|(_, answer)| *answer);
        change(&|finding| finding.answer = answer);
    };
    let asks = derived(move || {
        finding()
            .answer
            .is_some_and(|answer| answer != Answer::Right)
    });
    let note = div("").live(move || {
        if !asks.get() {
            return Vec::new();
        }
        let set = move |note: String| change(&|finding| finding.note = note.clone());
        vec![text_field(
            &format!("fit-note-{}", id.get_value()),
            "What is wrong with it",
            move || finding().note,
            set,
        )]
    });
    let is_answered = derived(move || finding().answer.is_some());
    let undo = div("row").live(move || {
        let undo = move || change(&|finding| finding.answer = None);
        let undo = || button("Undo", undo).class("quiet");
        is_answered.get().then(undo).into_iter().collect()
    });
    let answers = choices(
        &format!("fit-{}", check.id),
        &check.name,
        &words,
        chosen,
        take,
    );
    let line = el("li").child(answers).child(undo);
    match check.bolt {
        None => line,
        Some(bolt) => line.child(hole(store, check, bolt)),
    }
    .child(note)
}

/// A hole measured against its bolt, in two directions.
fn hole(store: Store, check: &FitCheck, bolt: Thread) -> El {
    let (id, slot) = (StoredValue::new(check.id.clone()), check.slot);
    let measured = move || {
        store.read(|job| {
            id.with_value(|id| job.findings.get(id).map(|finding| finding.hole.clone()))
                .unwrap_or_default()
        })
    };
    let field = |place: usize, label: &str| {
        EntryField {
            id: format!("hole-{}-{place}", check.id),
            label: label.to_owned(),
            ways: None,
            get: Rc::new(move || measured().get(place).cloned().unwrap_or_default()),
            set: Rc::new(move |entry| {
                store.edit(|job| {
                    let hole = &mut job.findings.place(&id.get_value()).hole;
                    hole.resize(2, Entry::default());
                    if let Some(here) = hole.get_mut(place) {
                        *here = entry;
                    }
                })
            }),
            unit: Rc::new(move || store.preferences.get().length.into()),
            understood: Rc::new(move |entry| {
                let length = station::length_of(entry, Limit::HoleDiameter)?;
                Ok(write_made_length(length, entry.meant_in()))
            }),
        }
        .view()
    };
    let [first, second] = if slot {
        ["Slot, across", "Slot, along"]
    } else {
        ["Hole, if measured", "The same, square to it"]
    };
    let says = div("").attr("role", "status").live(move || {
        let Some(found) = station::hole_fit(bolt, slot, &measured()) else {
            return Vec::new();
        };
        match found {
            Err(reason) => vec![p(&reason).class("reason")],
            Ok(fit) => vec![
                mark(
                    if fit.is_good() {
                        State::Done
                    } else {
                        State::Wrong
                    },
                    &format!(
                        "{}, {} play on {}",
                        if fit.worn { "oval" } else { fit.fit.name() },
                        write_made_length(fit.play, store.preferences.get().length),
                        bolt.designation()
                    ),
                ),
                p(&format!(
                    "{} {}",
                    hole_words(&fit, &store.preferences.get()),
                    fit.advice()
                ))
                .class("small"),
            ],
        }
    });
    div("stack")
        .child(div("fields").child(field(0, first)).child(field(1, second)))
        .child(says)
}

fn distance(store: Store, row: &DistanceRow) -> El {
    let (get, set) = (row.id.clone(), row.id.clone());
    let (distance, tolerance) = (row.distance, row.tolerance);
    let field = EntryField {
        id: format!("car-{}", row.id),
        label: row.name.clone(),
        ways: None,
        get: Rc::new(move || {
            store.read(|job| job.distances.get(&get).cloned().unwrap_or_default())
        }),
        set: Rc::new(move |entry| store.edit(|job| job.distances.insert(set.clone(), entry))),
        unit: Rc::new(move || store.preferences.get().length.into()),
        understood: Rc::new(move |entry| {
            let measured = point_distance(entry).map_err(|error| error.to_string())?;
            let preferences = store.preferences.get();
            if let Some(near) = wild(measured, distance) {
                return Err(wild_words(measured, distance, near, &preferences));
            }
            let off = measured - distance;
            let words = preferences.length(off.abs());
            Ok(match off {
                off if off.abs() <= tolerance => {
                    format!("within the card's tolerance, {words} off")
                }
                off => format!(
                    "LOOK: {words} {} than the card says. Measure again; a shell that was hit shows here.",
                    if off.as_metres() > 0.0 {
                        "longer"
                    } else {
                        "shorter"
                    }
                ),
            })
        }),
    };
    let card = p("").class("small soft").live_text(move || {
        let words = store.preferences.get();
        format!(
            "card: {} ± {}",
            words.length(distance),
            words.length(tolerance)
        )
    });
    el("li").child(field.view()).child(card)
}

/// What the distances say together, and the points from above.
fn car_points(store: Store) -> El {
    let found = result(move || store.read(station::car_points));
    let of = move |show: fn(&CarFinding, &Job, &Preferences) -> Vec<El>| {
        move || {
            let words = store.preferences.get();
            found.with(|found| {
                let found = found.as_ref();
                store.peek(|job| {
                    found
                        .map(|found| show(found, job, &words))
                        .unwrap_or_default()
                })
            })
        }
    };
    div("stack")
        .child(div("stack").attr("role", "status").live(of(car_says)))
        .child(div("stack").live(of(|found, _, _| car_plan(found))))
}

fn car_says(found: &CarFinding, job: &Job, words: &Preferences) -> Vec<El> {
    let Some((state, headline)) = found.headline() else {
        return Vec::new();
    };
    vec![
        mark(state, headline),
        sentences("", &found.sentences(job, words)),
    ]
}

fn car_plan(found: &CarFinding) -> Vec<El> {
    let odd = found.odd();
    let lines = found.lines.iter().enumerate();
    let plan = ShellPlan {
        points: found.points.iter().map(|point| point.at).collect(),
        lines: lines
            .map(|(place, line)| PlanLine {
                between: line.between,
                measured: line.measured.is_some(),
                odd: odd.contains(&place),
            })
            .collect(),
        off: found.off(),
    };
    let names: Vec<_> = found
        .points
        .iter()
        .enumerate()
        .map(|(place, point)| format!("{} {}", place + 1, point.name))
        .collect();
    vec![
        div("").markup(&plan.svg()),
        p(&names.join(", ")).class("small soft"),
    ]
}

/// What is missing, as a message that can be copied.
fn shortages(store: Store) -> El {
    let message = derived(move || store.read(|job| station::unpack(job).shortage_message(job)));
    let copied = RwSignal::new("");
    div("").live(move || {
        let Some(text) = message.get() else {
            return Vec::new();
        };
        let copy = text.clone();
        let copy = move || {
            device::copy(&copy, move |done| {
                copied.set(if done {
                    "Copied."
                } else {
                    "This browser does not copy: mark the text above and copy it by hand."
                })
            })
        };
        let said = p("")
            .attr("role", "status")
            .live_text(move || copied.get().to_owned());
        vec![frame(
            "For the shop: what is missing or unfit",
            body()
                .child(p(&text).class("message"))
                .child(button("Copy the message", copy))
                .child(said),
        )]
    })
}

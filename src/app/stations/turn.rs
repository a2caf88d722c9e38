//! Turn: per adjuster the dial and the thread rule, what to do, and what shows after it.

use super::base::{end_drawing, measure_field, set_entry};
use crate::adjuster::{Mechanism, Position, Turned};
use crate::app::device;
use crate::app::dom::{Derived, El, button, derived, div, el, folded, folded_while, later, p};
use crate::app::field::EntryField;
use crate::app::parts::{
    body, corner_link, frame, live_mark, live_working, mark, next_frame, sentences,
};
use crate::app::route::Route;
use crate::app::shell::link;
use crate::app::store::{Store, use_store};
use crate::document::{Adjuster, CamberSense, Preferences, Side, Taken, ToeSense};
use crate::drawing::{HexDial, Hold, LeverArm, SlotScale};
use crate::quantity::{Length, Limit};
use crate::reading::Estimate;
use crate::station::{
    self, CornerPlan, RateRow, State, Station, TurnRow, length_of, look_at, measured_names,
    position_words, verdict_state, verdict_words,
};
use reactive_graph::{owner::StoredValue, traits::*};
use std::rc::Rc;

/// The Turn station.
pub fn turn() -> Vec<El> {
    let store = use_store();
    // What is typed after a turn does not change the plan, so only the plan's own change redraws the cards.
    let result =
        derived(move || store.read(|job| station::turn(job, job.rounds.len().checked_sub(1)?)));
    let read = store.peek(|job| Route::Job(job.id.clone(), Station::Read));
    // An arm of one wheel mostly changes the plan of that wheel alone, and only what changed is drawn anew.
    let outline = derived(move || {
        result.with(|result| {
            let result = result.as_ref()?;
            Some((result.round, result.corners.len()))
        })
    });
    let notes =
        derived(move || result.with(|result| result.as_ref().map(|result| result.notes.clone())));
    result.first();
    let plans = later(move || {
        div("stack").live(move || {
        let to_read = || link(&read.href(store.here), "Go to Read").class("button main");
        let Some((round, count)) = outline.get() else {
            return vec![next_frame("Nothing to turn yet", body().child(p("The plan comes from what the wheels read.")).child(to_read()))];
        };
        let corners = (0..count).map(|place| {
            let corner = derived(move || {
                result.with(|result| result.as_ref()?.corners.get(place).cloned())
            });
            later(move || corner_plan(store, round, corner))
        });
        let again = body().child(p("Lock every jam nut, roll the car, settle it, and start another round. It is done when every wheel reads inside for certain.")).child(to_read());
        vec![
            p(&format!("Round {}", round + 1)).class("soft"),
            div("").live(move || vec![sentences("note", &notes.get().unwrap_or_default())]),
            div("two").children(corners),
            later(move || frame("Then read again", again)),
        ]
    })
    });
    let by_tape = "Lever arms by tape, instead of the card's";
    vec![
        plans,
        later(move || folded(by_tape, false, move || arms(store))),
    ]
}

/// What is to be turned at a corner. Each of its adjusters is drawn anew by itself, when what it is to do has changed.
fn corner_plan(store: Store, round: usize, corner: Derived<Option<CornerPlan>>) -> El {
    let Some(which) = corner.with_untracked(|corner| Some(corner.as_ref()?.corner)) else {
        return div("");
    };
    let verdict = derived(move || corner.with(|corner| corner.as_ref()?.verdict));
    let verdict = el("span").live(move || {
        let mark = |verdict| mark(verdict_state(verdict), verdict_words(verdict));
        verdict.get().map(mark).into_iter().collect()
    });
    let head = move || {
        let words = store.preferences.get();
        corner.with(|corner| {
            let head = |corner| corner_head(store, corner, &words);
            corner.iter().flat_map(head).collect()
        })
    };
    let count = derived(move || {
        corner.with(|corner| corner.as_ref().map_or(0, |corner| corner.rows.len()))
    });
    let cards = move || {
        let count = count.get();
        let card = |index: usize| {
            let row =
                derived(move || corner.with(|corner| corner.as_ref()?.rows.get(index).cloned()));
            let place = format!("{} of {count}", index + 1);
            let which = derived(move || row.with(|row| Some(row.as_ref()?.adjuster.id.clone())));
            later(move || {
                div("").live(move || {
                    which.track();
                    row.with_untracked(|first| {
                        let card =
                            |first: &TurnRow| turn_card(store, round, &first.adjuster, row, &place);
                        first.iter().map(card).collect()
                    })
                })
            })
        };
        (0..count).map(card).collect()
    };
    let drawn = store.peek(|job| job.card.geometry_of(which));
    el("section")
        .class("stack")
        .attr("aria-label", which.words())
        .child(
            div("row spread")
                .child(el("h2").text(which.words()))
                .child(verdict),
        )
        .child(div("stack").live(head))
        .child(div("stack").live(cards))
        .child(later(move || {
            corner_foot(store, corner).children(drawn.iter().map(corner_link))
        }))
}

/// What a corner reads, and what it comes to.
fn corner_head(store: Store, corner: &CornerPlan, words: &Preferences) -> Vec<El> {
    let rim = store.peek(station::rim_of);
    let toe = |reading: Option<Estimate>| {
        reading.map_or_else(|| "—".to_owned(), |toe| words.toe(toe.value, rim))
    };
    let camber = |reading: Option<Estimate>| {
        reading.map_or_else(|| "—".to_owned(), |camber| words.camber(camber.value))
    };
    let after = |words: &dyn Fn(&crate::plan::Reading) -> String| {
        el("td").child(el("strong").text(&corner.after.as_ref().map(words).unwrap_or_default()))
    };
    let line = |name: &str, now: String, after: El| {
        el("tr")
            .child(el("th").attr("scope", "row").text(name))
            .child(el("td").text(&now))
            .child(after)
    };
    let head = el("tr")
        .child(el("td"))
        .children(["reads", "after"].map(|name| el("th").attr("scope", "col").text(name)));
    let table = el("table").child(el("thead").child(head)).child(
        el("tbody")
            .child(line(
                "Toe",
                toe(corner.reading.toe),
                after(&|reading| toe(reading.toe)),
            ))
            .child(line(
                "Camber",
                camber(corner.reading.camber),
                after(&|reading| camber(reading.camber)),
            )),
    );
    vec![
        table,
        p("").child(el("strong").text(&corner.words)),
        sentences("reason", &corner.problems),
        sentences("note", &corner.notes),
    ]
}

const SOURCE: &str = "Tolerance narrowed by what the reading does not know: JCGM 106:2012, ISO 14253-1. Rates: the card's hardpoints by the implicit function theorem, or lever arms by plane trigonometry, and what turns and readings tell of them by least squares.";

/// How a corner's plan was found.
fn corner_foot(store: Store, corner: Derived<Option<CornerPlan>>) -> El {
    let is_planned = move || {
        let planned = |corner: &CornerPlan| !corner.working.is_empty();
        corner.with(|corner| corner.as_ref().is_some_and(planned))
    };
    let worked = move || {
        let worked = corner.with(|corner| Some(corner.as_ref()?.working.clone()));
        worked.unwrap_or_default()
    };
    let is_rated = move || {
        let rated = |corner: &CornerPlan| !corner.rates.is_empty();
        corner.with(|corner| corner.as_ref().is_some_and(rated))
    };
    let rates = move || {
        let words = store.preferences.get();
        corner.with(|corner| {
            let rates = corner.iter().flat_map(|corner| &corner.rates);
            rates.map(|rate| rate_line(rate, &words)).collect()
        })
    };
    div("stack")
        .child(live_working(is_planned, worked, SOURCE))
        .child(folded_while("What one step does", is_rated, move || {
            el("ul").class("lines").live(rates)
        }))
}

fn rate_line(rate: &RateRow, words: &Preferences) -> El {
    let does = format!(
        "{}: {} ± {}, {} ± {}",
        rate.step,
        words.way(rate.toe.value, ["toe-in", "toe-out"]),
        words.doubt(rate.toe.uncertainty),
        words.camber(rate.camber.value),
        words.doubt(rate.camber.uncertainty)
    );
    el("li")
        .child(el("strong").text(&rate.name))
        .child(el("span").text(&does))
        .child(el("span").class("small soft").text(&rate.basis.words()))
}

fn facts(row: &TurnRow, words: &Preferences) -> Vec<String> {
    let mut facts = Vec::new();
    if row.after.len() > 1 {
        facts.push(match row.left_hand.as_slice() {
            [] => "Both jam nuts loose first.".to_owned(),
            left => format!(
                "Both jam nuts loose first; the one at the {} end is left-hand.",
                left.join(" and ")
            ),
        });
        // A differential sleeve's ends differ in pitch: one goes out as the other goes in.
        if let [a, b] = row.adjuster.mechanism.ends()
            && a.thread.pitch() == b.thread.pitch()
        {
            facts.push("The same change of thread showing at both ends.".to_owned());
        }
    } else if !row.left_hand.is_empty() {
        facts.push("The jam nut is left-hand.".to_owned());
    }
    if !row.adjuster.how.is_empty() {
        facts.push(row.adjuster.how.clone());
    }
    facts.extend(row.lock.as_ref().map(|lock| lock.sentence(words)));
    facts.push(format!(
        "It should then measure {}.",
        position_words(&row.target, " and ", words)
    ));
    facts
}

/// The turn itself, and how it is made.
fn order(row: &TurnRow, words: &Preferences) -> Vec<El> {
    let mechanism = &row.adjuster.mechanism;
    let amount = div("")
        .child(p(row.way))
        .child(el("strong").class("big").text(&row.amount));
    let order = match &row.view {
        None => amount,
        Some(view) => {
            let clockwise = view.clockwise_lengthens == (row.steps > 0);
            let way = format!(
                "{}, seen from {}",
                if clockwise {
                    "clockwise"
                } else {
                    "counter-clockwise"
                },
                view.from
            );
            let eye = matches!(mechanism, Mechanism::RodEnd(rod) if rod.turned == Turned::Eye);
            let dial = HexDial {
                steps: row.steps.unsigned_abs(),
                step_degrees: row.step.degrees(),
                clockwise,
                eye,
                words: format!("{} {}: {way}", row.way, row.amount),
            };
            div("do")
                .child(div("").markup(&dial.svg()))
                .child(amount.child(p(&way).class("soft")))
        }
    };
    let slot = match (mechanism, &row.from, &row.target) {
        (Mechanism::Slot(slot), Position::Slide(from), Position::Slide(to)) => {
            let drawing = SlotScale {
                range: slot.range,
                step: slot.step,
                from: *from,
                to: *to,
                out_is_left: row.adjuster.corner.side() == Side::Left,
                words: format!(
                    "{} {}, from {} to {}",
                    row.way,
                    row.amount,
                    position_words(&row.from, "", words),
                    position_words(&row.target, "", words)
                ),
            };
            Some(div("").markup(&drawing.svg()))
        }
        _ => None,
    };
    let drawings = mechanism
        .ends()
        .iter()
        .zip(&row.before)
        .enumerate()
        .filter_map(|(index, (end, before))| {
            end_drawing(
                end,
                Some(*before),
                row.after.get(index).copied(),
                index == 1,
                words,
            )
        });
    let least = mechanism.ends().first().map(|end| {
        let needed = end.needed();
        p(&format!(
            "Least engaged: {}, {}.",
            words.length(needed.least),
            needed.rule
        ))
        .class("small soft")
    });
    let list = el("ul")
        .class("facts-list")
        .children(facts(row, words).iter().map(|fact| el("li").text(fact)));
    let mut parts = vec![order];
    parts.extend(slot);
    parts.extend(drawings);
    parts.extend(least);
    parts.push(list);
    parts
}

/// What is to be done on an adjuster, and what it measures after it. Only what the plan says of it follows the plan.
fn turn_card(
    store: Store,
    round: usize,
    adjuster: &Adjuster,
    row: Derived<Option<TurnRow>>,
    place: &str,
) -> El {
    let mechanism = Rc::new(adjuster.mechanism.clone());
    let id = StoredValue::new(adjuster.id.clone());
    let taken = derived(move || {
        store.read(|job| {
            job.rounds
                .get(round)
                .and_then(|round| id.with_value(|id| round.taken.get(id)).cloned())
                .unwrap_or_default()
        })
    });
    let change = move |change: &dyn Fn(&mut Taken)| {
        store.edit(|job| {
            if let Some(round) = job.rounds.get_mut(round) {
                change(round.taken.place(&id.get_value()));
            }
        });
    };
    let fields = measured_names(&mechanism)
        .into_iter()
        .enumerate()
        .map(|(end, name)| {
            measure_field(
                store,
                format!("now-{}-{end}", adjuster.id),
                format!("{name} now"),
                mechanism.clone(),
                end,
                Rc::new(move || taken.get().now.get(end).cloned().unwrap_or_default()),
                Rc::new(move |entry| {
                    change(&|taken| {
                        set_entry(&mut taken.now, end, entry.clone());
                        taken.at = None;
                    });
                }),
            )
        });
    let fields = div("fields").children(fields);
    let looked = mechanism.clone();
    let look = Rc::new(move || {
        let target = row.with(|row| Some(row.as_ref()?.target.clone()))?;
        taken.with(|taken| look_at(&looked, &target, &taken.now))
    });
    let (marked, said) = (look.clone(), look);
    let state = live_mark(move || match (taken.with(|taken| taken.at), marked()) {
        (Some(_), Some(_)) => (State::Wrong, "turned, look".into()),
        (Some(_), None) => (State::Done, "turned".into()),
        _ => (State::Open, "to do".into()),
    });
    let says = p("").class("reason").live_text(move || {
        said()
            .map(|look| format!("LOOK: {look}"))
            .unwrap_or_default()
    });
    let measured = mechanism.clone();
    let complete = move || {
        taken
            .with(|taken| station::measure(&measured, &taken.now).1)
            .is_some_and(|position| measured.check(&position).is_ok())
    };
    let complete = Rc::new(complete);
    let is_done = derived(move || taken.with(|taken| taken.at.is_some()));
    let answer = div("stack").live(move || {
        if is_done.get() {
            return vec![button("Undo", move || change(&|taken| taken.at = None)).class("quiet")];
        }
        let complete = complete.clone();
        let done = move || {
            let at = device::now();
            if let Some((steps, step)) =
                row.with_untracked(|row| row.as_ref().map(|row| (row.steps, row.step)))
            {
                change(&|taken| {
                    taken.steps = steps;
                    taken.step = Some(step);
                    taken.at = Some(at);
                });
            }
        };
        vec![
            button("Done: it now measures so", done)
                .class("main")
                .enabled_when(move || complete()),
        ]
    });
    let order = move || {
        let words = store.preferences.get();
        row.with(|row| {
            let order = |row| order(row, &words);
            row.iter().flat_map(order).collect()
        })
    };
    el("article")
        .class("frame")
        .attr("data-adjuster", &adjuster.id)
        .child(
            div("head row spread")
                .child(el("h3").text(&format!("{place} · {}", adjuster.name)))
                .child(state),
        )
        .child(
            body()
                .child(div("stack").live(order))
                .child(fields)
                .child(says)
                .child(answer),
        )
}

/// Lever arms measured with a tape, which stand in for the card's.
fn arms(store: Store) -> El {
    let adjusters = store.peek(|job| job.card.adjusters.clone());
    let corners = adjusters.chunk_by(|one, next| one.corner == next.corner);
    let lists = corners.map(|adjusters| {
        let adjusters = adjusters.to_vec();
        later(move || arms_of(store, &adjusters))
    });
    let how = "Toe arm: from the adjuster's line square to the axis the wheel toes about. Camber arm: in the front view from the adjuster's line square to the joint the wheel tips about. A taped arm is taken to be known to 10 %, the card's to 5 %: common practice, no source.";
    div("stack").child(p(how).class("small")).children(lists)
}

fn arms_of(store: Store, adjusters: &[Adjuster]) -> El {
    let words = store.preferences.get_untracked();
    let rows = adjusters.iter().map(|adjuster| {
        let toe = adjuster.toe.map(|toe| {
            arm_field(
                store,
                adjuster,
                format!("Toe arm (card: {})", words.length(toe.arm)),
                false,
            )
        });
        let camber = adjuster.camber.map(|camber| {
            arm_field(
                store,
                adjuster,
                format!("Camber arm (card: {})", words.length(camber.arm)),
                true,
            )
        });
        let name = format!("{}, {}", adjuster.corner.words(), adjuster.name);
        el("li")
            .child(el("strong").text(&name))
            .child(div("fields").children(toe.into_iter().chain(camber)))
            .child(what_to_tape(adjuster, &words))
    });
    el("ul").class("lines").children(rows)
}

/// The distances to tape on an adjuster, drawn.
fn what_to_tape(adjuster: &Adjuster, words: &Preferences) -> El {
    let arm = |hold: Hold, card: Length| LeverArm {
        hold,
        right: adjuster.corner.side() == Side::Right,
        card: words.length(card),
    };
    let toe = adjuster.toe.map(|toe| {
        let hold = match toe.lengthening {
            ToeSense::ToeIn => Hold::Behind,
            ToeSense::ToeOut => Hold::Ahead,
        };
        arm(hold, toe.arm)
    });
    let camber = adjuster.camber.map(|camber| {
        let hold = match camber.lengthening {
            CamberSense::TopOut => Hold::Above,
            CamberSense::TopIn => Hold::Below,
        };
        arm(hold, camber.arm)
    });
    let drawn = toe.into_iter().chain(camber);
    folded("What to measure", false, move || {
        div("").children(drawn.map(|arm| div("").markup(&arm.svg())))
    })
}

fn arm_field(store: Store, adjuster: &Adjuster, label: String, camber: bool) -> El {
    let (get, set) = (adjuster.id.clone(), adjuster.id.clone());
    EntryField {
        id: format!(
            "arm-{}-{}",
            if camber { "camber" } else { "toe" },
            adjuster.id
        ),
        label,
        ways: None,
        get: Rc::new(move || {
            store.read(|job| {
                job.arms
                    .get(&get)
                    .map(|arms| {
                        if camber {
                            arms.camber.clone()
                        } else {
                            arms.toe.clone()
                        }
                    })
                    .unwrap_or_default()
            })
        }),
        set: Rc::new(move |entry| {
            store.edit(|job| {
                let arms = job.arms.place(&set);
                *(if camber {
                    &mut arms.camber
                } else {
                    &mut arms.toe
                }) = entry;
            });
        }),
        unit: Rc::new(move || store.preferences.get().length.into()),
        understood: Rc::new(move |entry| {
            length_of(entry, Limit::LeverArm).map(|arm| store.preferences.get().length(arm))
        }),
    }
    .view()
}

//! Bolt up: one section open, its next step large, cautions before their step, joints signed off with the value set.

use super::to_chart;
use crate::app::device;
use crate::app::dom::{Derived, El, button, derived, div, effect, el, later, p, result};
use crate::app::field::{EntryField, text_field};
use crate::app::parts::{
    body, caution_box, facts, group, live_mark, next_frame, sentences, working,
};
use crate::app::signal::RwSignal;
use crate::app::store::{Store, use_store};
use crate::document::{Mark, SignOff};
use crate::station::{
    self, BoltUp, JointStep, SectionKind, State, StepRow, StepState, TorqueSet, bolt_words, signer,
    tighten_words, tool_words,
};
use reactive_graph::{owner::StoredValue, traits::*};
use std::rc::Rc;

type Result = Derived<Option<BoltUp>>;

/// What every step of the page needs.
#[derive(Clone, Copy)]
struct Page {
    store: Store,
    result: Result,
    next: Derived<Option<(usize, usize)>>,
    /// Who signs off: asked once, and carried on to the next joint.
    signer: RwSignal<String>,
}

/// The Bolt up station.
pub fn bolt_up() -> Vec<El> {
    let store = use_store();
    let result: Result = result(move || store.read(|job| Some(station::bolt_up(job))));
    let next = derived(move || result.with(|result| result.as_ref()?.next));
    let open = RwSignal::new(next.get_untracked().map(|(section, _)| section));
    // A finished section closes and the next one opens, so that what is next is always in sight.
    let place = derived(move || next.get().map(|(section, _)| section));
    effect(move || open.set(place.get()));
    let page = Page {
        store,
        result,
        next,
        signer: RwSignal::new(store.peek(signer)),
    };
    let now = result.now();
    let sections = now.iter().flat_map(|now| &now.sections).enumerate();
    let sections = sections.map(|(index, section)| {
        let name = section.name.clone();
        later(move || section_group(page, open, index, &name))
    });
    let so_far = p("").attr("role", "status").live_text(move || {
        result.with(|result| {
            let progress = result
                .as_ref()
                .map(|result| result.progress)
                .unwrap_or_default();
            let open = if progress.wrong > 0 {
                format!(", {} left open or to look at", progress.wrong)
            } else {
                String::new()
            };
            format!("{} of {} steps{open}", progress.done, progress.total)
        })
    });
    vec![
        back(store, result),
        so_far,
        to_chart(store),
        div("stack").children(sections),
    ]
}

fn section_group(page: Page, open: RwSignal<Option<usize>>, index: usize, name: &str) -> El {
    let of_section = move |result: &Option<BoltUp>| {
        result
            .as_ref()
            .and_then(|result| result.sections.get(index))
            .map(|section| (section.progress, section.fast))
            .unwrap_or_default()
    };
    group(
        name,
        index,
        open,
        move || page.result.with(of_section).0,
        move || {
            let now = page.result.now();
            let section = now
                .as_ref()
                .as_ref()
                .and_then(|now| now.sections.get(index));
            let Some(section) = section else {
                return Vec::new();
            };
            let mut content = Vec::new();
            if section.kind == SectionKind::Final {
                content.push(
                    p("Done already: go over it afresh, with your hand on each thing.")
                        .class("note"),
                );
            }
            if section.raised {
                content.push(
                    p("The car is raised: it stands on stands, never on a jack alone.")
                        .class("small soft"),
                );
            }
            content.push(div("").live(move || {
            let fast = page.result.with(of_section).1;
            if fast { vec![p("Ticked fast: several of these were marked within seconds. Go over them again, hand on each thing.").class("note")] } else { Vec::new() }
        }));
            let steps = section
                .steps
                .iter()
                .enumerate()
                .map(|(place, row)| step_line(page, (index, place), row));
            content.push(el("ol").class("lines").children(steps));
            content
        },
    )
}

/// After a break: where work stopped, the last thing done again, and whether the car is still held.
fn back(store: Store, result: Result) -> El {
    let held = RwSignal::new(Vec::<String>::new());
    div("").live(move || {
        if !store.back.get() {
            return Vec::new();
        }
        let now = result.now();
        let Some((now, last)) = now
            .as_ref()
            .as_ref()
            .and_then(|now| Some((now, now.last_done.as_ref()?)))
        else {
            return Vec::new();
        };
        let last_done = last.id.clone();
        let stopped = now
            .next
            .and_then(|(section, step)| now.sections.get(section)?.steps.get(step))
            .map(|row| format!("Work stopped before: {}", row.step.text));
        let needed = now.support.len();
        let support = now.support.iter().map(|step| {
            let (id, shown) = (step.id.clone(), step.id.clone());
            let look = button("Still so: I looked", move || {
                held.update(|held| {
                    if !held.contains(&id) {
                        held.push(id.clone());
                    }
                })
            });
            let looked = live_mark(move || {
                if held.with(|held| held.contains(&shown)) {
                    (State::Done, "looked at".into())
                } else {
                    (State::Open, "look first".into())
                }
            });
            el("li")
                .child(p(&step.text))
                .child(div("row").child(look).child(looked))
        });
        let mut content = body().child(p(&format!("Last done: {}", last.text)));
        if let Some(stopped) = stopped {
            content = content.child(p(&stopped));
        }
        if needed > 0 {
            content = content
                .child(
                    p("The car is raised. Look at each of these before you reach under it:")
                        .class("note"),
                )
                .child(el("ul").class("lines").children(support));
        }
        let redo = move || {
            store.edit(|job| drop(job.marks.remove(&last_done)));
            store.back.set(false);
        };
        let on = button("It still holds: go on", move || store.back.set(false))
            .class("main")
            .enabled_when(move || held.with(|held| held.len() >= needed));
        vec![next_frame(
            "Back from a break",
            content
                .child(on)
                .child(button("Do the last step again", redo)),
        )]
    })
}

fn step_line(page: Page, at: (usize, usize), row: &StepRow) -> El {
    let Page {
        store,
        result,
        next,
        signer,
    } = page;
    let now = move || {
        result.with(|result| {
            result.as_ref().and_then(|result| {
                result.sections.get(at.0)?.steps.get(at.1).map(|row| {
                    (
                        row.state.clone(),
                        row.state(),
                        row.joint.as_ref().map(|joint| joint.set.clone()),
                    )
                })
            })
        })
    };
    let is_next = derived(move || next.get() == Some(at));
    // What a step looks like changes with its state, not with each letter typed into it.
    let kind = derived(move || match now() {
        None | Some((StepState::Open, ..)) => None,
        Some((StepState::Done, ..)) => Some(None),
        Some((StepState::Skipped(reason), ..)) => Some(Some(reason)),
    });
    let id = StoredValue::new(row.step.id.clone());
    let state = live_mark(move || match now() {
        Some((StepState::Done, State::Wrong, _)) => (State::Wrong, "done, look".into()),
        Some((StepState::Done, ..)) => (State::Done, "done".into()),
        Some((StepState::Skipped(_), ..)) => (State::Wrong, "left open".into()),
        _ if is_next.get() => (State::Begun, "next".into()),
        _ => (State::Open, "to do".into()),
    });
    let mut inside = div("stack");
    if let Some(caution) = &row.step.caution {
        inside = inside.child(caution_box(caution));
    }
    inside = inside.child(
        div("row spread")
            .child(el("h3").text(&format!("{}. {}", at.1 + 1, row.step.text)))
            .child(state),
    );
    if !row.step.detail.is_empty() {
        inside = inside.child(p(&row.step.detail));
    }
    if let Some(joint) = &row.joint {
        inside = inside.child(joint_facts(store, joint, row.step.id.clone(), move || {
            now().and_then(|(.., set)| set)
        }));
    }
    let joint = StoredValue::new(row.joint.as_ref().map(|joint| joint.joint.id.clone()));
    let observe = StoredValue::new(row.step.observe.clone());
    let before = store.peek(|job| {
        let mark = job.marks.get(&row.step.id);
        mark.map(|mark| mark.observed.clone()).unwrap_or_default()
    });
    let observed = RwSignal::new(before);
    // A step with a value is answered with the value, not with a tick.
    let answered = move || {
        let set = now().and_then(|(.., set)| set);
        let torque = set.is_none_or(|set| {
            let named = signer.with(|signer| !signer.trim().is_empty());
            named && matches!(set, TorqueSet::Set(_) | TorqueSet::Off { .. })
        });
        torque
            && (observe.with_value(String::is_empty)
                || observed.with(|observed| !observed.trim().is_empty()))
    };
    let undo = move || {
        store.edit(|job| {
            if let Some(sign_off) = joint
                .get_value()
                .and_then(|joint| job.torques.get_mut(&joint))
            {
                sign_off.at = None;
            }
            job.marks.remove(&id.get_value());
        });
    };
    let answer = div("stack").live(move || match kind.get() {
        None => {
            let sign = move || {
                let at = device::now();
                store.edit(|job| {
                    if let Some(joint) = joint.get_value() {
                        let sign_off = job.torques.place(&joint);
                        sign_off.at = Some(at);
                        sign_off.by = signer.get_untracked();
                    }
                    job.marks.insert(
                        id.get_value(),
                        Mark {
                            at,
                            observed: observed.get_untracked(),
                            skipped: None,
                        },
                    );
                });
            };
            let mut ask = Vec::new();
            if observe.with_value(|observe| !observe.is_empty()) {
                ask.push(text_field(
                    &format!("observe-{}", id.get_value()),
                    &observe.get_value(),
                    move || observed.get(),
                    move |text| observed.set(text),
                ));
            }
            let signs = joint.with_value(Option::is_some);
            if signs {
                ask.push(text_field(
                    &format!("by-{}", id.get_value()),
                    "Signed off by",
                    move || signer.get(),
                    move |name| signer.set(name),
                ));
            }
            ask.push(
                button(
                    if signs {
                        "Sign off at the value set"
                    } else {
                        "Done"
                    },
                    sign,
                )
                .class("main")
                .enabled_when(answered),
            );
            if signs || !observe.with_value(String::is_empty) {
                ask.push(p("").class("small soft").live_text(move || {
                    if answered() {
                        String::new()
                    } else if signs {
                        "Type the torque set and who signs, then sign off.".into()
                    } else {
                        "Type what was seen, then mark it.".into()
                    }
                }));
            }
            ask.push(leave(store, id));
            ask
        }
        Some(None) => {
            let seen = if observed.with_untracked(String::is_empty) {
                String::new()
            } else {
                format!("{}: {}", observe.get_value(), observed.get_untracked())
            };
            let signed = joint.get_value().map(|joint| {
                store.peek(|job| job.torques.get(&joint).map(signed).unwrap_or_default())
            });
            vec![
                p(&seen).class("soft"),
                p(&signed.unwrap_or_default()).class("soft"),
                button("Undo", undo).class("quiet"),
            ]
        }
        Some(Some(reason)) => vec![
            p(&format!("OPEN: {reason}")),
            button("Take it up again", undo).class("quiet"),
        ],
    });
    let class = move || if is_next.get() { "step next" } else { "step" };
    el("li")
        .live_attr("class", move || Some(class().to_owned()))
        .child(inside.child(answer))
}

/// Who signed off, and when.
fn signed(sign_off: &SignOff) -> String {
    let at = sign_off.at.map(|at| device::local_time(at, true));
    format!("Signed off by {}, {}", sign_off.by, at.unwrap_or_default())
}

/// The way to leave a step open, which needs a reason.
fn leave(store: Store, id: StoredValue<String>) -> El {
    let leaving = RwSignal::new(false);
    let reason = RwSignal::new(String::new());
    div("stack leave").live(move || {
        if !leaving.get() {
            return vec![
                button("Leave it open, with a reason", move || leaving.set(true)).class("quiet"),
            ];
        }
        let leave = move || {
            let why = reason.get_untracked().trim().to_owned();
            store.edit(|job| {
                job.marks.insert(
                    id.get_value(),
                    Mark {
                        at: device::now(),
                        observed: String::new(),
                        skipped: Some(why),
                    },
                )
            });
        };
        let field = text_field(
            &format!("why-{}", id.get_value()),
            "Why is it left open",
            move || reason.get(),
            move |text| reason.set(text),
        );
        let open = button("Leave it open", leave)
            .enabled_when(move || reason.with(|reason| !reason.trim().is_empty()));
        vec![
            field,
            div("row")
                .child(open)
                .child(button("Do not", move || leaving.set(false)).class("quiet")),
        ]
    })
}

fn joint_facts(
    store: Store,
    step: &JointStep,
    step_id: String,
    set_now: impl Fn() -> Option<TorqueSet> + 'static,
) -> El {
    let (joint, torque) = (&step.joint, &step.torque);
    let state = tighten_words(joint.tighten);
    let known = [
        ("Bolt", bolt_words(joint)),
        ("Nut", joint.nut.clone()),
        ("Finish", joint.condition.clone()),
        ("Tools", tool_words(joint)),
        ("Order", joint.pattern.clone()),
        ("Locking", joint.locking.clone()),
        ("Check again", joint.recheck.clone()),
    ];
    let shown = Rc::new(torque.clone());
    let ranged = shown.clone();
    let large = el("strong").class("big").live_text(move || {
        let words = store.preferences.get();
        format!("{}, {state}", shown.words(&words))
    });
    let range = p("").class("small soft").live_text(move || {
        let words = store.preferences.get();
        ranged.range(&words)
    });
    let id = StoredValue::new(joint.id.clone());
    let field = EntryField {
        id: format!("torque-{}", joint.id),
        label: "Torque set on the wrench".into(),
        ways: None,
        get: Rc::new(move || {
            store.read(|job| {
                id.with_value(|id| job.torques.get(id).map(|sign_off| sign_off.set.clone()))
                    .unwrap_or_default()
            })
        }),
        // Another value is another sign-off: the step opens again.
        set: Rc::new(move |entry| {
            store.edit(|job| {
                let sign_off = job.torques.place(&id.get_value());
                sign_off.set = entry;
                sign_off.at = None;
                job.marks.remove(&step_id);
            });
        }),
        unit: Rc::new(move || store.preferences.get().torque.into()),
        understood: Rc::new(move |entry| {
            let words = store.preferences.get();
            let set = words.torque(entry.torque().map_err(|error| error.to_string())?);
            Ok(match set_now() {
                Some(TorqueSet::Off { wanted, .. }) => format!(
                    "LOOK: {set} is more than a tenth off the {} wanted.",
                    words.torque(wanted)
                ),
                _ => set,
            })
        }),
    };
    let mut shown = div("stack")
        .child(p(&joint.name))
        .child(large)
        .child(p(&torque.basis()))
        .child(range)
        .child(sentences("note", &torque.notes));
    if let Some(warning) = &torque.warning {
        shown = shown.child(p(warning).class("note reason"));
    }
    if let Ok(computed) = &torque.computed {
        shown = shown.child(working(
            &computed.working(store.preferences.get_untracked().torque),
            &computed.basis,
        ));
    }
    shown
        .child(facts(
            known.into_iter().filter(|(_, value)| !value.is_empty()),
        ))
        .child(field.view())
}

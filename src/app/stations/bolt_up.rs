//! Bolt up: one section open, its next step large, cautions before their step, joints signed off with the value set.

use crate::app::device;
use crate::app::field::{EntryField, TextField, Understood};
use crate::app::parts::{CautionBox, Group, Mark};
use crate::app::store::use_store;
use crate::document::{Entry, Mark as StepMark, Tighten};
use crate::station::{JointStep, SectionKind, State, StepRow, StepState, TorqueSet, bolt_up};
use leptos::prelude::*;

/// The Bolt up station.
#[component]
pub fn BoltUp() -> impl IntoView {
    let store = use_store();
    let result = Memo::new(move |_| store.job.with(|job| job.as_ref().map(bolt_up)));
    let Some(now) = result.get_untracked() else { return ().into_any() };
    let open = RwSignal::new(now.next.map(|(section, _)| section));
    // A finished section closes and the next one opens, so that what is next is always in sight.
    Effect::new(move |before: Option<Option<usize>>| {
        let next = result.with(|result| result.as_ref().and_then(|result| result.next)).map(|(section, _)| section);
        if before.is_some_and(|before| before != next) {
            open.set(next);
        }
        next
    });
    let sections = now.sections.iter().enumerate().map(|(index, section)| {
        let progress = Signal::derive(move || {
            result.with(|result| result.as_ref().and_then(|result| result.sections.get(index)).map(|section| section.progress)).unwrap_or_default()
        });
        let toggle = Callback::new(move |()| open.update(|open| *open = if *open == Some(index) { None } else { Some(index) }));
        let steps = StoredValue::new(section.steps.clone());
        let kind = section.kind;
        let raised = section.raised;
        let fast = move || {
            let fast = result.with(|result| result.as_ref().and_then(|result| result.sections.get(index)).is_some_and(|section| section.fast));
            fast.then(|| view! { <p class="note"><strong>"Ticked fast."</strong>" Several of these were marked within seconds. Go over them again, hand on each thing."</p> })
        };
        view! {
            <Group name=section.name.clone() progress=progress open=Signal::derive(move || open.get() == Some(index)) on_toggle=toggle>
                {(kind == SectionKind::Final).then(|| view! { <p class="note">"Done already: go over it afresh, with your hand on each thing."</p> })}
                {raised.then(|| view! { <p class="small soft">"The car is raised: it stands on stands, never on a jack alone."</p> })}
                {fast}
                <ol class="lines plain">
                    {steps.get_value().into_iter().enumerate().map(|(place, row)| view! { <StepLine section=index place=place row=row result=result /> }).collect_view()}
                </ol>
            </Group>
        }
    });
    let sections = sections.collect_view();
    view! {
        <Back result=result />
        <p class="row spread">
            <span>{move || result.with(|result| result.as_ref().map(|result| format!("{} of {} steps", result.progress.done, result.progress.total)))}</span>
            <span class="soft">{move || result.with(|result| result.as_ref().map(|result| if result.progress.wrong > 0 { format!("{} open or to look at", result.progress.wrong) } else { String::new() }))}</span>
        </p>
        {sections}
    }
    .into_any()
}

/// After a break: where work stopped, the last thing done again, and whether the car is still held.
#[component]
fn Back(result: Memo<Option<crate::station::BoltUp>>) -> impl IntoView {
    let store = use_store();
    let held = RwSignal::new(std::collections::BTreeSet::<String>::new());
    move || {
        let now = store.back.get().then(|| result.get_untracked()).flatten()?;
        let last = now.last_done.clone()?;
        let stopped = now.next.and_then(|(section, step)| now.sections.get(section)?.steps.get(step)).map(|row| row.step.text.clone());
        let needed = now.support.len();
        let support = now
            .support
            .iter()
            .map(|step| {
                let (id, shown) = (step.id.clone(), step.id.clone());
                let is_held = Signal::derive(move || held.with(|held| held.contains(&shown)));
                view! {
                    <li>
                        <p>{step.text.clone()}</p>
                        <div class="row">
                            <button type="button" on:click=move |_| held.update(|held| { held.insert(id.clone()); })>"Still so: I looked"</button>
                            <Mark state=Signal::derive(move || if is_held.get() { State::Done } else { State::Open }) words=Signal::derive(move || if is_held.get() { "looked at".to_owned() } else { "look first".to_owned() }) />
                        </div>
                    </li>
                }
            })
            .collect_view();
        let last_id = last.id.clone();
        let redo = move |_| {
            store.edit(|job| drop(job.marks.remove(&last_id)));
            store.back.set(false);
        };
        Some(view! {
            <section class="frame next" aria-label="Back from a break">
                <h2>"Back from a break"</h2>
                <div class="body">
                    <p>"Last done: "<strong>{last.text.clone()}</strong></p>
                    {stopped.map(|text| view! { <p>"Work stopped before: "<strong>{text}</strong></p> })}
                    {(needed > 0).then(|| view! { <p>"The car is raised. Look at each of these before you reach under it:"</p> })}
                    <ul class="lines">{support}</ul>
                    <button type="button" class="main" disabled=move || held.with(|held| held.len() < needed) on:click=move |_| store.back.set(false)>"It still holds: go on"</button>
                    <button type="button" on:click=redo>"Do the last step again"</button>
                </div>
            </section>
        })
    }
}

#[component]
fn StepLine(section: usize, place: usize, row: StepRow, result: Memo<Option<crate::station::BoltUp>>) -> impl IntoView {
    let store = use_store();
    let id = StoredValue::new(row.step.id.clone());
    let joint_id = StoredValue::new(row.joint.as_ref().map(|joint| joint.joint.id.clone()));
    let now = Memo::new(move |_| result.with(|result| result.as_ref().and_then(|result| result.sections.get(section)?.steps.get(place).cloned())));
    let is_next = Memo::new(move |_| result.with(|result| result.as_ref().and_then(|result| result.next) == Some((section, place))));
    let state = Signal::derive(move || now.with(|now| now.as_ref().map_or(State::Open, StepRow::state)));
    let words = Signal::derive(move || match now.with(|now| now.as_ref().map(|row| row.state.clone())) {
        Some(StepState::Done) if state.get() == State::Wrong => "done, look".to_owned(),
        Some(StepState::Done) => "done".to_owned(),
        Some(StepState::Skipped(_)) => "left open".to_owned(),
        _ if is_next.get() => "next".to_owned(),
        _ => "to do".to_owned(),
    });
    let observe = row.step.observe.clone();
    let observed = RwSignal::new(store.job.with_untracked(|job| job.as_ref().and_then(|job| job.marks.get(&id.get_value()).map(|mark| mark.observed.clone()))).unwrap_or_default());
    let reason = RwSignal::new(String::new());
    let leaving = RwSignal::new(false);
    let asks = !observe.is_empty();
    // A step with a value is answered with the value, not with a tick.
    let answered = Memo::new(move |_| {
        let set = now.with(|now| now.as_ref().and_then(|row| row.joint.as_ref().map(|joint| joint.set.clone())));
        let torque = set.is_none_or(|set| matches!(set, TorqueSet::Set(_) | TorqueSet::Off { .. }));
        torque && (!asks || !observed.get().trim().is_empty())
    });
    let sign = move |_| {
        let at = device::now();
        let mark = StepMark { at, observed: observed.get_untracked(), skipped: None };
        store.edit(|job| {
            if let Some(joint) = joint_id.get_value() {
                job.torques.entry(joint).or_default().at = Some(at);
            }
            job.marks.insert(id.get_value(), mark);
        });
    };
    let undo = move |_| {
        store.edit(|job| {
            if let Some(sign_off) = joint_id.get_value().and_then(|joint| job.torques.get_mut(&joint)) {
                sign_off.at = None;
            }
            job.marks.remove(&id.get_value());
        });
    };
    let leave = move |_| {
        let why = reason.get_untracked().trim().to_owned();
        if !why.is_empty() {
            store.edit(|job| drop(job.marks.insert(id.get_value(), StepMark { at: device::now(), observed: String::new(), skipped: Some(why) })));
            leaving.set(false);
        }
    };
    let caution = row.step.caution.clone().map(|caution| view! { <CautionBox caution=caution /> });
    let joint = row.joint.clone().map(|joint| view! { <JointFacts joint=joint now=now step=id.get_value() /> });
    let key = id.get_value();
    let detail = row.step.detail.clone();
    let text = row.step.text.clone();
    let observe = StoredValue::new(observe);
    let key = StoredValue::new(key);
    view! {
        <li class:frame=is_next class:next=is_next>
            <div class:body=is_next class="stack">
                {caution}
                <div class="row spread">
                    <h3>{format!("{}. {text}", place + 1)}</h3>
                    <Mark state=state words=words />
                </div>
                {(!detail.is_empty()).then(|| view! { <p>{detail}</p> })}
                {joint}
                {move || match now.with(|now| now.as_ref().map(|row| row.state.clone())) {
                    Some(StepState::Open) | None => view! {
                        {asks.then(|| view! {
                            <TextField id=format!("observe-{}", key.get_value()) label=observe.get_value() text=observed on_change=Callback::new(move |text| observed.set(text)) />
                        })}
                        <button type="button" class="main" disabled=move || !answered.get() on:click=sign>
                            {if joint_id.with_value(Option::is_some) { "Sign off at the value set" } else { "Done" }}
                        </button>
                        {move || (!answered.get()).then(|| view! { <p class="small soft">"Type what was set or seen, then mark it done."</p> })}
                        {move || if leaving.get() {
                            view! {
                                <div class="stack">
                                    <TextField id=format!("why-{}", key.get_value()) label="Why is it left open" text=reason on_change=Callback::new(move |text| reason.set(text)) />
                                    <div class="row">
                                        <button type="button" on:click=leave>"Leave it open"</button>
                                        <button type="button" class="quiet" on:click=move |_| leaving.set(false)>"Do not"</button>
                                    </div>
                                </div>
                            }.into_any()
                        } else {
                            view! { <button type="button" class="quiet" on:click=move |_| leaving.set(true)>"Leave it open, with a reason"</button> }.into_any()
                        }}
                    }.into_any(),
                    Some(StepState::Done) => view! {
                        {(asks && !observed.get().is_empty()).then(|| view! { <p class="soft">{format!("{}: {}", observe.get_value(), observed.get())}</p> })}
                        <button type="button" class="quiet" on:click=undo>"Undo"</button>
                    }.into_any(),
                    Some(StepState::Skipped(why)) => view! {
                        <p><strong>"OPEN: "</strong>{why}</p>
                        <button type="button" class="quiet" on:click=undo>"Take it up again"</button>
                    }.into_any(),
                }}
            </div>
        </li>
    }
    .into_any()
}

#[component]
fn JointFacts(joint: JointStep, now: Memo<Option<StepRow>>, step: String) -> impl IntoView {
    let store = use_store();
    let joint = StoredValue::new(joint.joint);
    let id = StoredValue::new(joint.with_value(|joint| joint.id.clone()));
    let torque = move || {
        let joint = joint.get_value();
        match joint.torque {
            Some(torque) => store.preferences.get().torque(torque),
            None => "not on the card: ask the kit's maker".to_owned(),
        }
    };
    let facts = joint.with_value(|joint| {
        let bolt = match joint.length {
            Some(length) => format!("{} × {}, {}", joint.thread.designation(), joint.thread.written_length(length), joint.grade),
            None => format!("{}, {}", joint.thread.designation(), joint.grade),
        };
        let tighten = match joint.tighten {
            Tighten::OnStands => "on stands",
            Tighten::AtRideHeight => "at ride height, weight on the wheels",
        };
        let mut facts = vec![("Tighten", tighten.to_owned()), ("Bolt", format!("{} of {bolt}", joint.count)), ("Nut", joint.nut.clone()), ("Finish", joint.condition.clone()), ("Tools", joint.tools.clone())];
        for (name, value) in [("Order", &joint.pattern), ("Locking", &joint.locking), ("Check again", &joint.recheck)] {
            if !value.is_empty() {
                facts.push((name, value.clone()));
            }
        }
        facts
    });
    let entry = Signal::derive(move || store.read(|job| job.torques.get(&id.get_value()).map(|sign_off| sign_off.set.clone()).unwrap_or_default()));
    // Another value is another sign-off: the step opens again.
    let on_change = Callback::new(move |entry: Entry| {
        store.edit(|job| {
            let sign_off = job.torques.entry(id.get_value()).or_default();
            sign_off.set = entry;
            sign_off.at = None;
            job.marks.remove(&step);
        });
    });
    let understood = Callback::new(move |entry: Entry| -> Understood {
        let set = entry.torque().map_err(|error| error.to_string())?;
        let words = store.preferences.get().torque(set);
        Ok(match now.get().and_then(|row| row.joint).map(|joint| joint.set) {
            Some(TorqueSet::Off { card, .. }) => format!("LOOK: {words} is more than a tenth off the card's {}.", store.preferences.get().torque(card)),
            _ => words,
        })
    });
    view! {
        <div class="stack">
            <p>{joint.with_value(|joint| joint.name.clone())}</p>
            <strong class="big">{torque}</strong>
            <dl class="facts">{facts.into_iter().map(|(name, value)| view! { <dt>{name}</dt><dd>{value}</dd> }).collect_view()}</dl>
            <EntryField
                id=format!("torque-{}", id.get_value())
                label="Torque set on the wrench"
                entry=entry
                unit=Signal::derive(move || store.preferences.get().torque.into())
                on_change=on_change
                understood=understood
            />
        </div>
    }
    .into_any()
}

//! Turn: per adjuster the dial and the thread rule, what to do, and what shows after it.

use super::base::{EndDrawing, MeasureField};
use crate::adjuster::Mechanism;
use crate::app::device;
use crate::app::drawing::{Dial, HexDial};
use crate::app::field::{EntryField, Understood};
use crate::app::parts::{Mark, Working};
use crate::app::route::Route;
use crate::app::store::use_store;
use crate::document::{Adjuster, Entry, Taken};
use crate::quantity::Limit;
use crate::station::{CornerPlan, OUT_IN, RateRow, State, Station, TurnRow, length_of, measured_names, turn, verdict_state, verdict_words};
use leptos::prelude::*;

/// The Turn station.
#[component]
pub fn Turn() -> impl IntoView {
    let store = use_store();
    let last = Memo::new(move |_| store.read(|job| job.rounds.len()).checked_sub(1));
    // What is typed after a turn does not change the plan, so only the plan's own change redraws the cards.
    let result = Memo::new(move |_| {
        let round = last.get()?;
        let mut result = store.job.with(|job| job.as_ref().and_then(|job| turn(job, round)))?;
        for row in result.corners.iter_mut().flat_map(|corner| &mut corner.rows) {
            row.taken = None;
            row.look = None;
        }
        Some(result)
    });
    let read_href = store.job.with_untracked(|job| job.as_ref().map(|job| Route::Job(job.id.clone(), Station::Read).href())).unwrap_or_default();
    move || match result.get() {
        None => view! {
            <section class="frame next">
                <h2>"Nothing to turn yet"</h2>
                <div class="body">
                    <p>"The plan comes from what the wheels read."</p>
                    <a class="button main" href=read_href.clone()>"Go to Read"</a>
                </div>
            </section>
        }
        .into_any(),
        Some(result) => {
            let round = result.round;
            let notes = result.notes.into_iter().map(|note| view! { <p class="note">{note}</p> }).collect_view();
            let corners = result.corners.into_iter().map(|corner| view! { <Corner corner=corner round=round /> }).collect_view();
            view! {
                <p class="soft">{format!("Round {}", round + 1)}</p>
                {notes}
                <div class="two">{corners}</div>
                <section class="frame">
                    <h2>"Then read again"</h2>
                    <div class="body">
                        <p>"Lock every jam nut, roll the car, settle it, and start another round. It is done when every wheel reads inside for certain."</p>
                        <a class="button main" href=read_href.clone()>"Go to Read"</a>
                    </div>
                </section>
                <Arms />
            }
            .into_any()
        }
    }
}

#[component]
fn Corner(corner: CornerPlan, round: usize) -> impl IntoView {
    let store = use_store();
    let preferences = store.preferences.get();
    let rim = store.job.with_untracked(|job| job.as_ref().and_then(|job| job.car.rim.length().ok()));
    let toe = |reading: Option<crate::reading::Estimate>| reading.map_or_else(|| "—".to_owned(), |toe| preferences.toe(toe.value, rim));
    let camber = |reading: Option<crate::reading::Estimate>| reading.map_or_else(|| "—".to_owned(), |camber| preferences.camber(camber.value));
    let after = corner.after;
    let mark = corner.verdict.map(|verdict| view! { <Mark state=verdict_state(verdict) words=verdict_words(verdict).to_owned() /> });
    let count = corner.rows.len();
    let rows = corner.rows.into_iter().enumerate().map(|(index, row)| view! { <TurnCard row=row round=round place=format!("{} of {count}", index + 1) /> }).collect_view();
    let problems = corner.problems.into_iter().map(|problem| view! { <li class="reason">{problem}</li> }).collect_view();
    let rates = corner.rates;
    view! {
        <section class="stack" aria-label=corner.corner.words()>
            <div class="row spread"><h2>{corner.corner.words()}</h2>{mark}</div>
            <table>
                <thead><tr><th></th><th scope="col">"read"</th><th scope="col">"should read after"</th></tr></thead>
                <tbody>
                    <tr><th scope="row">"Toe"</th><td>{toe(corner.reading.toe)}</td><td><strong>{after.map(|after| toe(after.toe))}</strong></td></tr>
                    <tr><th scope="row">"Camber"</th><td>{camber(corner.reading.camber)}</td><td><strong>{after.map(|after| camber(after.camber))}</strong></td></tr>
                </tbody>
            </table>
            <p><strong>{corner.words}</strong></p>
            <ul class="plain">{problems}</ul>
            {rows}
            {(!corner.working.is_empty()).then(|| view! { <Working formula=corner.working source="Tolerance narrowed by what the reading does not know: JCGM 106:2012, ISO 14253-1. Lever arms: plane trigonometry." /> })}
            {(!rates.is_empty()).then(|| view! { <Rates rates=rates /> })}
        </section>
    }
    .into_any()
}

#[component]
fn Rates(rates: Vec<RateRow>) -> impl IntoView {
    let preferences = use_store().preferences.get();
    let rows = rates.into_iter().map(|rate| {
        view! {
            <li>
                <strong>{rate.name}</strong>
                <span>{format!("{} longer: {}, {}", rate.step, preferences.way(rate.toe, ["toe-in", "toe-out"]), preferences.camber(rate.camber))}</span>
                <span class="small soft">{rate.basis}</span>
            </li>
        }
    });
    view! {
        <details class="working">
            <summary>"What one step does"</summary>
            <ul class="lines">{rows.collect_view()}</ul>
        </details>
    }
}

#[component]
fn TurnCard(row: TurnRow, round: usize, place: String) -> impl IntoView {
    let store = use_store();
    let mechanism = StoredValue::new(row.adjuster.mechanism.clone());
    let id = StoredValue::new(row.adjuster.id.clone());
    let steps = row.steps;
    let dial = row.view.as_ref().map(|view| {
        let clockwise = view.clockwise_lengthens == (steps > 0);
        let way = if clockwise { "clockwise" } else { "counter-clockwise" };
        let words = format!("{}: {} {way}, seen from {}", row.way, row.amount, view.from);
        let eye = matches!(&row.adjuster.mechanism, Mechanism::RodEnd(rod) if rod.turned == crate::adjuster::Turned::Eye);
        let dial = Dial { steps: steps.unsigned_abs(), step_degrees: row.step.degrees(), clockwise, eye, words };
        (view! { <HexDial dial=dial /> }, format!("{way}, seen from {}", view.from))
    });
    let has_dial = dial.is_some();
    let (dial, seen) = dial.unzip();
    let preferences = store.preferences.get();
    let drawings = row.adjuster.mechanism.ends().iter().cloned().zip(row.before.iter().copied()).enumerate().map(|(index, (end, before))| {
        let after = row.after.get(index).copied();
        view! { <EndDrawing end=end state=Some(before) after=after mirrored={index == 1} words=preferences.clone() /> }
    });
    let mut facts = Vec::new();
    if !row.left_hand.is_empty() {
        facts.push(if row.adjuster.mechanism.ends().len() > 1 {
            format!("Both jam nuts loose first; the one at the {} end is left-hand.", row.left_hand.join(" and "))
        } else {
            "The jam nut is left-hand.".to_owned()
        });
    }
    if row.after.len() > 1 {
        facts.push("The same thread showing at both ends.".to_owned());
    }
    if !row.adjuster.how.is_empty() {
        facts.push(row.adjuster.how.clone());
    }
    if let Some(torque) = row.adjuster.lock_torque {
        facts.push(format!("Then lock it again at {}.", preferences.torque(torque)));
    }
    let taken = Signal::derive(move || store.read(|job| job.rounds.get(round).and_then(|round| round.taken.get(&id.get_value())).cloned().unwrap_or_default()));
    let change = move |change: &dyn Fn(&mut Taken)| {
        store.edit(|job| {
            if let Some(round) = job.rounds.get_mut(round) {
                change(round.taken.entry(id.get_value()).or_default());
            }
        });
    };
    let fields = measured_names(&row.adjuster.mechanism)
        .into_iter()
        .enumerate()
        .map(|(end, name)| {
            let entry = Signal::derive(move || taken.get().now.get(end).cloned().unwrap_or_default());
            let on_change = Callback::new(move |entry: Entry| {
                change(&|taken| {
                    if taken.now.len() <= end {
                        taken.now.resize(end + 1, Entry::default());
                    }
                    if let Some(place) = taken.now.get_mut(end) {
                        *place = entry.clone();
                    }
                    taken.at = None;
                });
            });
            view! { <MeasureField id=format!("now-{}-{end}", id.get_value()) label=format!("{name} now") mechanism=mechanism index=end entry=entry on_change=on_change /> }
        })
        .collect_view();
    let target = row.target.clone();
    let expected = match &target {
        crate::adjuster::Position::Showing(showing) => showing.iter().map(|length| preferences.length(*length)).collect::<Vec<_>>().join(" and "),
        crate::adjuster::Position::Cam(turn) => preferences.way(*turn, OUT_IN),
        crate::adjuster::Position::Slide(slide) => format!("{} {}", preferences.length(slide.abs()), if slide.as_metres() < 0.0 { OUT_IN[1] } else { OUT_IN[0] }),
    };
    let complete = Memo::new(move |_| mechanism.with_value(|mechanism| crate::station::measure(mechanism, &taken.get().now).1.is_some_and(|position| mechanism.check(&position).is_ok())));
    let look = Memo::new(move |_| {
        store.job.with(|job| {
            let plan = job.as_ref().and_then(|job| turn(job, round))?;
            plan.corners.into_iter().flat_map(|corner| corner.rows).find(|row| row.adjuster.id == id.get_value())?.look
        })
    });
    let done = move |_| {
        let at = device::now();
        change(&|taken| {
            taken.steps = steps;
            taken.at = Some(at);
        });
    };
    let undo = move |_| change(&|taken| taken.at = None);
    let is_done = Signal::derive(move || taken.get().at.is_some());
    let state = Signal::derive(move || match (is_done.get(), look.with(Option::is_some)) {
        (true, true) => State::Wrong,
        (true, false) => State::Done,
        _ => State::Open,
    });
    let class = if has_dial { "do" } else { "stack" };
    view! {
        <article class="frame" data-adjuster=row.adjuster.id.clone()>
            <div class="head row spread"><h3>{format!("{place} · {}", row.adjuster.name)}</h3><Mark state=state words=Signal::derive(move || if is_done.get() { "turned".to_owned() } else { "to do".to_owned() }) /></div>
            <div class="body">
                <div class=class>
                    {dial}
                    <div><p>{row.way}</p><strong class="big">{row.amount.clone()}</strong>{seen.map(|seen| view! { <p class="soft">{seen}</p> })}</div>
                </div>
                {drawings.collect_view()}
                <ul class="stack">{facts.into_iter().map(|fact| view! { <li>{fact}</li> }).collect_view()}</ul>
                <p>{format!("It should then measure {expected}.")}</p>
                <div class="fields">{fields}</div>
                {move || look.get().map(|look| view! { <p class="reason">{format!("LOOK: {look}")}</p> })}
                {move || if is_done.get() {
                    view! { <button type="button" class="quiet" on:click=undo>"Undo"</button> }.into_any()
                } else {
                    view! { <button type="button" class="main" disabled=move || !complete.get() on:click=done>"Done: it now measures so"</button> }.into_any()
                }}
            </div>
        </article>
    }
    .into_any()
}

/// Lever arms measured with a tape, which stand in for the card's.
#[component]
fn Arms() -> impl IntoView {
    let store = use_store();
    let adjusters = store.job.with_untracked(|job| job.as_ref().map(|job| job.card.adjusters.clone())).unwrap_or_default();
    view! {
        <details class="working">
            <summary>"Lever arms by tape, instead of the card's"</summary>
            <div class="stack">
                <p class="small">"Toe arm: from the adjuster's line square to the axis the wheel toes about. Camber arm: in the front view from the adjuster's line square to the joint the wheel tips about. A taped arm is taken to be known to 10 %, the card's to 5 %: common practice, no source."</p>
                <ul class="lines">{adjusters.into_iter().map(|adjuster| view! { <ArmFields adjuster=adjuster /> }).collect_view()}</ul>
            </div>
        </details>
    }
}

#[component]
fn ArmFields(adjuster: Adjuster) -> impl IntoView {
    let store = use_store();
    let id = StoredValue::new(adjuster.id.clone());
    let field = move |key: &'static str, label: String, camber: bool| {
        let entry = Signal::derive(move || {
            store.read(|job| job.arms.get(&id.get_value()).map(|arms| if camber { arms.camber.clone() } else { arms.toe.clone() }).unwrap_or_default())
        });
        let on_change = Callback::new(move |entry: Entry| {
            store.edit(|job| {
                let arms = job.arms.entry(id.get_value()).or_default();
                if camber { arms.camber = entry } else { arms.toe = entry }
            });
        });
        let understood = Callback::new(move |entry: Entry| -> Understood { length_of(&entry, Limit::LeverArm).map(|arm| store.preferences.get().length(arm)) });
        view! { <EntryField id=format!("arm-{key}-{}", id.get_value()) label=label entry=entry unit=Signal::derive(move || store.preferences.get().length.into()) on_change=on_change understood=understood /> }
    };
    let preferences = store.preferences.get();
    let toe = adjuster.toe.map(|toe| field("toe", format!("Toe arm (card: {})", preferences.length(toe.arm)), false));
    let camber = adjuster.camber.map(|camber| field("camber", format!("Camber arm (card: {})", preferences.length(camber.arm)), true));
    view! {
        <li>
            <strong>{format!("{}, {}", adjuster.corner.words(), adjuster.name)}</strong>
            <div class="fields">{toe}{camber}</div>
        </li>
    }
    .into_any()
}

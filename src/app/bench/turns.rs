//! Turns for an angle: degrees from a rack to turns of a wrench, in ten seconds.

use super::{BenchNav, ThreadSelect};
use crate::adjuster::{Step, camber_turns, step_words, toe_turns};
use crate::app::field::{Choices, EntryField, Understood};
use crate::app::parts::Working;
use crate::app::route::Route;
use crate::app::store::use_store;
use crate::document::{Entry, Preferences};
use crate::hardware::Thread;
use crate::quantity::{Angle, Length, Limit};
use crate::station::length_of;
use leptos::prelude::*;

/// An angle without a way: how far to go.
fn change_of(entry: &Entry) -> Result<Angle, String> {
    entry.division().and_then(|angle| Limit::Camber.hold_angle(angle)).map_err(|error| error.to_string())
}

/// Turns for an angle.
#[component]
pub fn Turns() -> impl IntoView {
    let store = use_store();
    let change = RwSignal::new(Entry::default());
    let arm = RwSignal::new(Entry::default());
    let thread = RwSignal::new(Thread::default());
    let kind = RwSignal::new("single".to_owned());
    let what = RwSignal::new("toe".to_owned());
    let per_turn = move || {
        let pitch = thread.get().pitch();
        if kind.get() == "double" { pitch * 2.0 } else { pitch }
    };
    let answer = Memo::new(move |_| {
        let (angle, arm) = (change_of(&change.get()).ok()?, length_of(&arm.get(), Limit::LeverArm).ok()?);
        let turns = if what.get() == "toe" { toe_turns(angle, arm, per_turn()) } else { camber_turns(angle, arm, per_turn()) }?;
        Some((angle, arm, turns))
    });
    let formula = Signal::derive(move || answer.get().map_or_else(String::new, |(angle, arm, turns)| working(what.get() == "toe", angle, arm, per_turn(), turns)));
    let understood_change = Callback::new(move |entry: Entry| -> Understood { change_of(&entry).map(|angle| store.preferences.get().angle(angle)) });
    let understood_arm = Callback::new(move |entry: Entry| -> Understood { length_of(&entry, Limit::LeverArm).map(|arm| store.preferences.get().length(arm)) });
    let options = |options: [(&str, &str); 2]| options.map(|(value, words)| (value.to_owned(), words.to_owned())).to_vec();
    view! {
        <header><h1 id="top" tabindex="-1">"Turns for an angle"</h1></header>
        <main class="stack">
            <BenchNav here=Route::Turns />
            <div class="two">
                <section class="frame">
                    <h2>"Known"</h2>
                    <div class="body">
                        <Choices id="what".to_owned() label="What changes" options=options([("toe", "toe, by a toe link"), ("camber", "camber, by an upper or lower link")]) chosen=what on_change=Callback::new(move |value| what.set(value)) />
                        <EntryField id="change".to_owned() label="By how much" entry=change unit=Signal::derive(move || store.preferences.get().angle.into()) on_change=Callback::new(move |entry| change.set(entry)) understood=understood_change />
                        <EntryField id="arm".to_owned() label="Lever arm, square to the link" entry=arm unit=Signal::derive(move || store.preferences.get().length.into()) on_change=Callback::new(move |entry| arm.set(entry)) understood=understood_arm />
                        <ThreadSelect id="thread" label="Thread" chosen=thread />
                        <Choices id="kind".to_owned() label="Adjuster" options=options([("single", "rod end on its shank: one pitch a turn"), ("double", "sleeve, left- and right-hand: two pitches a turn")]) chosen=kind on_change=Callback::new(move |value| kind.set(value)) />
                    </div>
                </section>
                <section class="frame next" aria-label="Answer">
                    <h2>"Answer"</h2>
                    <div class="body" role="status">
                        {move || match answer.get() {
                            None => view! { <p class="soft">"Type by how much and the lever arm."</p> }.into_any(),
                            Some((_, _, turns)) => view! { <TurnsAnswer turns=turns per_turn=per_turn() words=store.preferences.get() /> }.into_any(),
                        }}
                    </div>
                    {move || (!formula.get().is_empty()).then(|| view! { <div class="body"><Working formula=formula source="Plane trigonometry; the link square to its arm. Check the thread that is left before turning." /></div> })}
                </section>
            </div>
        </main>
    }
}

#[component]
fn TurnsAnswer(turns: f64, per_turn: Length, words: Preferences) -> impl IntoView {
    let whole = |step: Step| {
        let count = (turns / step.turns()).round().clamp(0.0, 100_000.0);
        // The count is a whole number below 100 000.
        (step_words(step, count as u32), count * step.turns())
    };
    let (flats, flat_turns) = whole(Step::Flat);
    let (halves, half_turns) = whole(Step::HalfTurn);
    let length = words.length(per_turn * turns);
    let off = |taken: f64| format!("{} {}", words.length((per_turn * (taken - turns)).abs()), if taken >= turns { "over" } else { "short" });
    view! {
        <strong class="big">{format!("{turns:.2} turns")}</strong>
        <dl class="facts">
            <dt>"Length"</dt><dd>{length}</dd>
            <dt>"In whole flats"</dt><dd>{format!("{flats}, {}", off(flat_turns))}</dd>
            <dt>"In half turns"</dt><dd>{format!("{halves}, {}", off(half_turns))}</dd>
        </dl>
    }
}

fn working(toe: bool, angle: Angle, arm: Length, per_turn: Length, turns: f64) -> String {
    let (name, form) = if toe { ("r", "sin") } else { ("h", "tan") };
    format!(
        "turns = {name} {form} Δ / travel per turn\n= {:.2} mm × {form} {:.4}° / {:.4} mm\n= {turns:.4}",
        arm.as_mm(),
        angle.as_degrees(),
        per_turn.as_mm()
    )
}

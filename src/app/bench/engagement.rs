//! Thread showing and engagement of one rod end.

use super::{BenchNav, ThreadSelect};
use crate::adjuster::{EndError, EndState, ThreadedEnd};
use crate::app::drawing::{ThreadDrawing, ThreadRule};
use crate::app::field::{Choices, EntryField, Understood};
use crate::app::parts::{Mark, Working};
use crate::app::route::Route;
use crate::app::stations::engaged_working;
use crate::app::store::use_store;
use crate::document::{Entry, Unit};
use crate::hardware::{Hand, Material, Thread, jam_nut};
use crate::quantity::{Length, Limit};
use crate::station::{State, length_of};
use leptos::prelude::*;

/// Thread showing and engagement.
#[component]
pub fn Engagement() -> impl IntoView {
    let store = use_store();
    let thread = RwSignal::new(Thread::default());
    let insert = RwSignal::new("steel".to_owned());
    let nut = RwSignal::new(Entry::default());
    let lead = RwSignal::new(Entry { text: "0".into(), unit: Unit::Millimetre, sense: None });
    let [shank, showing, depth] = [RwSignal::new(Entry::default()), RwSignal::new(Entry::default()), RwSignal::new(Entry::default())];
    let standard_nut = move || jam_nut(thread.get());
    let end = Memo::new(move |_| {
        let length = |entry: RwSignal<Entry>| length_of(&entry.get(), Limit::ThreadShowing).ok();
        let nut = if nut.get().is_empty() { standard_nut().map(|nut| nut.basic) } else { length(nut) };
        Some(ThreadedEnd {
            name: "rod end".into(),
            thread: thread.get(),
            hand: Hand::Right,
            shank: length(shank)?,
            jam_nut: nut?,
            unthreaded_lead: length(lead)?,
            insert_depth: length(depth)?,
            insert: if insert.get() == "steel" { Material::Steel } else { Material::Aluminium },
            base_showing: Length::ZERO,
        })
    });
    let state = Memo::new(move |_| {
        let showing = length_of(&showing.get(), Limit::ThreadShowing).ok()?;
        end.get().map(|end| end.state(showing))
    });
    let understood = Callback::new(move |entry: Entry| -> Understood { length_of(&entry, Limit::ThreadShowing).map(|length| store.preferences.get().length(length)) });
    let field = move |id: &'static str, label: &'static str, entry: RwSignal<Entry>| {
        view! { <EntryField id=id.to_owned() label=label entry=entry unit=Signal::derive(move || store.preferences.get().length.into()) on_change=Callback::new(move |typed| entry.set(typed)) understood=understood /> }
    };
    let formula = Signal::derive(move || match (end.get(), state.get()) {
        (Some(end), Some(Ok(state))) => engaged_working(&end, &state),
        _ => String::new(),
    });
    view! {
        <header><h1 id="top" tabindex="-1">"Thread showing and engagement"</h1></header>
        <main class="stack">
            <BenchNav here=Route::Engagement />
            <div class="two">
                <section class="frame">
                    <h2>"Known"</h2>
                    <div class="body">
                        <ThreadSelect id="thread" label="Thread" chosen=thread />
                        <Choices
                            id="insert".to_owned()
                            label="The insert is"
                            options=[("steel", "steel"), ("aluminium", "aluminium")].map(|(value, words)| (value.to_owned(), words.to_owned())).to_vec()
                            chosen=insert
                            on_change=Callback::new(move |value| insert.set(value))
                        />
                        <div class="fields">
                            {field("shank", "Shank, shoulder to tip", shank)}
                            {field("showing", "Thread showing", showing)}
                            {field("depth", "Depth of the insert", depth)}
                            {field("lead", "Tip without thread", lead)}
                            {field("nut", "Jam nut, if not standard", nut)}
                        </div>
                        <p class="small soft">{move || standard_nut().map_or_else(
                            || "No standard jam nut for this size: measure yours.".to_owned(),
                            |nut| format!("Standard jam nut: {} thick, {} across flats (ASME B18.2.2, ISO 4035).", store.preferences.get().length(nut.basic), store.preferences.get().length(nut.across_flats)),
                        )}</p>
                    </div>
                </section>
                <section class="frame next" aria-label="Answer">
                    <h2>"Answer"</h2>
                    <div class="body" role="status">
                        {move || match (end.get(), state.get()) {
                            (Some(end), Some(result)) => view! { <EngagementAnswer end=end result=result /> }.into_any(),
                            _ => view! { <p class="soft">"Type the shank, the thread showing and the insert's depth."</p> }.into_any(),
                        }}
                        {move || (!formula.get().is_empty()).then(|| view! { <Working formula=formula source=end.get().map(|end| format!("Arithmetic. Least: {}, {}.", end.needed().rule, end.needed().source)).unwrap_or_default() /> })}
                    </div>
                </section>
            </div>
        </main>
    }
}

#[component]
fn EngagementAnswer(end: ThreadedEnd, result: Result<EndState, EndError>) -> impl IntoView {
    let preferences = use_store().preferences.get();
    let state = match result {
        Ok(state) => state,
        Err(error) => return view! { <p class="reason">{error.to_string()}</p> }.into_any(),
    };
    let (mark, words) = match state {
        state if !state.is_safe() => (State::Wrong, "too little engaged: screw it in"),
        state if state.engaged < state.needed.preferred => (State::Begun, "enough, less than preferred for a rod end"),
        _ => (State::Done, "enough engaged"),
    };
    let pitch = end.thread.pitch();
    let drawing = ThreadDrawing {
        diameter: end.thread.diameter().as_mm(),
        insert: end.insert_depth.as_mm(),
        jam_nut: end.jam_nut.as_mm(),
        showing: state.showing.as_mm(),
        engaged: state.engaged.as_mm(),
        lead: end.unthreaded_lead.as_mm(),
        least: state.needed.least.as_mm(),
        after: None,
        mirrored: false,
        left_hand: false,
        engaged_text: format!("{} engaged, least {}", preferences.length(state.engaged), preferences.length(state.needed.least)),
        showing_text: format!("{} showing", preferences.length(state.showing)),
    };
    let turns = |length: Length| format!("{}, {:.1} turns", preferences.length(length.max(Length::ZERO)), (length / pitch).max(0.0));
    view! {
        <Mark state=mark words=words.to_owned() />
        <strong class="big">{format!("{} engaged", preferences.length(state.engaged))}</strong>
        <ThreadRule drawing=drawing />
        <dl class="facts">
            <dt>"May still come out"</dt><dd>{turns(state.spare)}</dd>
            <dt>"May still go in"</dt><dd>{turns(state.inward)}</dd>
            <dt>"Least, preferred"</dt><dd>{format!("{}, {}", preferences.length(state.needed.least), preferences.length(state.needed.preferred))}</dd>
        </dl>
    }
    .into_any()
}

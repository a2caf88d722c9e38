//! Small parts of the page that several rooms use.

use super::drawing::StateMark;
use crate::document::{Caution, Signal as SignalWord};
use crate::station::{Progress, State};
use leptos::prelude::*;

/// A state as shape and word.
#[component]
pub fn Mark(#[prop(into)] state: Signal<State>, #[prop(into)] words: Signal<String>) -> impl IntoView {
    view! {
        <span class="mark" class:stop=move || state.get() == State::Wrong>
            <StateMark state=state />
            {words}
        </span>
    }
    .into_any()
}

/// How far something has come, in words.
pub fn progress_words(progress: Progress) -> String {
    let Progress { done, total, wrong } = progress;
    match wrong {
        0 => format!("{done} of {total}"),
        wrong => format!("{done} of {total}, {wrong} to look at"),
    }
}

/// A caution in its frame: signal word, hazard, consequence, how to avoid it.
#[component]
pub fn CautionBox(caution: Caution) -> impl IntoView {
    let class = match caution.signal {
        SignalWord::Danger => "caution danger",
        SignalWord::Warning => "caution warning",
        SignalWord::Caution => "caution caution-level",
        SignalWord::Notice => "caution notice",
    };
    // The alert triangle stands for injury, so never on a notice.
    let triangle = (caution.signal != SignalWord::Notice).then(|| {
        view! {
            <svg width="24" height="22" viewBox="0 0 24 22" aria-hidden="true">
                <path d="M12 1.5L23 20.5H1z" fill="none" stroke="currentColor" stroke-width="2.2"></path>
                <path d="M11 8h2v6h-2zM11 15.5h2v2h-2z" fill="currentColor"></path>
            </svg>
        }
    });
    view! {
        <div class=class role="note">
            <div class="word">{triangle} {caution.signal.word()}</div>
            <p>{format!("{} {} {}", caution.hazard, caution.consequence, caution.avoid)}</p>
        </div>
    }
    .into_any()
}

/// A framed group that opens and closes, with its state in the head.
#[component]
pub fn Group(
    /// Its name.
    #[prop(into)]
    name: String,
    /// Its state.
    #[prop(into)]
    progress: Signal<Progress>,
    /// Whether it is open.
    #[prop(into)]
    open: Signal<bool>,
    /// Takes a tap on the head.
    on_toggle: Callback<()>,
    children: ChildrenFn,
) -> impl IntoView {
    view! {
        <section class="frame">
            <h2 class="visually-hidden">{name.clone()}</h2>
            <button type="button" class="head" aria-expanded=move || open.get().to_string() on:click=move |_| on_toggle.run(())>
                <span>{name}</span>
                <Mark state=Signal::derive(move || progress.get().state()) words=Signal::derive(move || progress_words(progress.get())) />
            </button>
            {move || open.get().then(|| view! { <div class="body">{children()}</div> })}
        </section>
    }
    .into_any()
}

/// The working of a result: formula, numbers put in, source.
#[component]
pub fn Working(
    /// The formula with the numbers put in, line by line.
    #[prop(into)]
    formula: Signal<String>,
    /// Where it comes from.
    #[prop(into)]
    source: String,
) -> impl IntoView {
    view! {
        <details class="working">
            <summary>"Show the working"</summary>
            <p class="formula">{formula}</p>
            <p class="small soft">{source}</p>
        </details>
    }
    .into_any()
}

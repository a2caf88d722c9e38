//! State marks and the hatches that drawings share.

use crate::station::State;
use leptos::prelude::*;

/// The hatches, once in the page.
#[component]
pub fn Defs() -> impl IntoView {
    view! {
        <svg width="0" height="0" class="visually-hidden" aria-hidden="true">
            <defs>
                <pattern id="hatch-tube" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                    <path d="M0 0V6" class="thin"></path>
                </pattern>
                <pattern id="hatch-least" width="4.5" height="4.5" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)">
                    <path d="M0 0V4.5" class="accent-hatch"></path>
                </pattern>
                <pattern id="hatch-stop" width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)">
                    <path d="M0 0V4" class="stop-hatch"></path>
                </pattern>
            </defs>
        </svg>
    }
}

/// A state as a shape: an open ring, a half-filled one, a full one, a barred diamond.
#[component]
pub fn StateMark(#[prop(into)] state: Signal<State>) -> impl IntoView {
    let path = move || match state.get() {
        State::Open => "",
        State::Begun => "M8 2.6a5.4 5.4 0 0 1 0 10.8z",
        State::Done => "M8 2.6a5.4 5.4 0 1 1 0 10.8 5.4 5.4 0 1 1 0-10.8z",
        State::Wrong => "M7 4.6h2v4.4H7zM7 10h2v1.8H7z",
    };
    let outline = move || match state.get() {
        State::Wrong => "M8 .8L15.2 8 8 15.2.8 8z",
        _ => "M8 2.4a5.6 5.6 0 1 1 0 11.2 5.6 5.6 0 1 1 0-11.2z",
    };
    view! {
        <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
            <path d=outline fill="none" stroke="currentColor" stroke-width="1.5"></path>
            <path d=path fill="currentColor"></path>
        </svg>
    }
}

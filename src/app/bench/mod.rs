//! The bench: quick answers that need no job. What is typed here is not kept.

mod engagement;
mod turns;

pub use engagement::Engagement;
pub use turns::Turns;

use super::route::Route;
use crate::hardware::{Thread, threads};
use leptos::prelude::*;

/// The way between the bench's pages.
#[component]
fn BenchNav(here: Route) -> impl IntoView {
    let pages = [(Route::Turns, "Turns for an angle"), (Route::Engagement, "Thread showing and engagement")];
    view! {
        <nav class="row" aria-label="Bench">
            {pages.into_iter().map(|(route, name)| view! { <a class="button" href=route.href() aria-current=(route == here).then_some("page")>{name}</a> }).collect_view()}
        </nav>
    }
}

/// A list of every thread known here.
#[component]
fn ThreadSelect(id: &'static str, #[prop(into)] label: String, chosen: RwSignal<Thread>) -> impl IntoView {
    let options = threads()
        .map(|thread| {
            let name = thread.designation();
            view! { <option value=name.clone() selected=move || chosen.get() == thread>{name.clone()}</option> }
        })
        .collect_view();
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <select id=id on:change:target=move |event| {
                if let Ok(thread) = Thread::parse(&event.target().value()) {
                    chosen.set(thread);
                }
            }>{options}</select>
        </div>
    }
}

//! The page: Leptos views over the core.
//!
//! One root store, plain structs in it, core functions in memos, and [`device`] the only place that touches the browser.

mod bench;
mod device;
mod drawing;
mod field;
mod jobs;
mod parts;
mod preferences;
mod route;
mod stations;
mod store;

use crate::document::{Kind, Theme, save_job};
use leptos::ev;
use leptos::prelude::*;
use route::Route;
use store::{Store, file_name, use_store};

/// Puts the page in place of the skeleton.
pub fn mount() {
    console_error_panic_hook::set_once();
    leptos::mount::mount_to_body(App);
    device::remove_skeleton();
}

#[component]
fn App() -> impl IntoView {
    let store = Store::open();
    provide_context(store);
    let follow = move || {
        let route = Route::from_hash(&device::hash());
        if let Route::Job(id, _) = &route {
            store.open_job(id);
        }
        store.route.set(route);
    };
    follow();
    // The listeners live as long as the page.
    let _ = window_event_listener(ev::hashchange, move |_| {
        follow();
        device::to_top();
    });
    let _ = window_event_listener(ev::pagehide, move |_| store.flush());
    let _ = window_event_listener(ev::visibilitychange, move |_| {
        if device::hidden() {
            store.flush();
        }
    });
    Effect::new(move |_| {
        let theme = match store.preferences.get().theme {
            Theme::Light => "light",
            Theme::Dark => "dark",
        };
        device::set_root_attribute("data-theme", theme);
    });
    // Fields of one job must not stand while another is opened, so the page is rebuilt when the job changes.
    let page = Memo::new(move |_| store.route.get());
    view! {
        <drawing::Defs />
        <div class="page">
            <Top />
            <Unsaved />
            {move || match page.get() {
                Route::Jobs => view! { <jobs::Jobs /> }.into_any(),
                Route::Job(_, station) => view! { <stations::JobPage station=station /> }.into_any(),
                Route::Turns => view! { <bench::Turns /> }.into_any(),
                Route::Engagement => view! { <bench::Engagement /> }.into_any(),
                Route::Preferences => view! { <preferences::PreferencesPage /> }.into_any(),
            }}
        </div>
    }
}

#[component]
fn Top() -> impl IntoView {
    view! {
        <div class="top no-print">
            <a href=Route::Jobs.href()><strong>"Halfturn"</strong></a>
            <nav aria-label="Page">
                <a href=Route::Jobs.href()>"Jobs"</a>
                <a href=Route::Turns.href()>"Bench"</a>
                <a href=Route::Preferences.href()>"Preferences"</a>
            </nav>
        </div>
    }
}

/// Says plainly that the work is not being kept, and offers it as a file.
#[component]
fn Unsaved() -> impl IntoView {
    let store = use_store();
    let words = move || {
        store.unsaved.get().map(|error| match error {
            device::StoreError::Off => "Not saved on this device: storage is switched off in this browser. Keep the page open, and save the job to a file before you leave.",
            device::StoreError::Full => "Not saved on this device: its storage is full or refuses. Keep the page open, save the job to a file, then remove old jobs from the list.",
        })
    };
    view! {
        <div role="alert">
            {move || words().map(|words| view! {
                <div class="banner no-print">
                    <p>{words}</p>
                    <button type="button" on:click=move |_| save_open_job(store)>"Save the job to a file"</button>
                </div>
            })}
        </div>
    }
}

/// Offers the open job as a file.
fn save_open_job(store: Store) {
    store.job.with_untracked(|job| {
        if let Some(job) = job {
            device::save_file(&file_name(Kind::Job, &job.car.name), &save_job(job));
        }
    });
}

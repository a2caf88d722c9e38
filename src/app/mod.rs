//! The pages: views over the core, kept current by Leptos' signals.
//!
//! The page of jobs has one root store, plain structs in it, and core functions in what is derived from them. The bench is a page of its own.
//! `device` is the only place that touches the browser.

pub mod bench;
mod device;
mod dom;
mod field;
mod jobs;
mod parts;
mod preferences;
mod route;
mod shell;
mod signal;
mod stations;
mod store;

use crate::document::{Kind, save_job};
use dom::{El, button, div, on_window, p};
use reactive_graph::owner::provide_context;
use route::Route;
use store::{Store, file_name, use_store};

/// Puts the page of jobs in place of its skeleton.
pub fn mount() {
    shell::mount(page);
}

fn page() -> El {
    let store = Store::open();
    provide_context(store);
    let follow = move || {
        let route = Route::from_hash(&device::hash());
        if let Route::Job(id, _) | Route::Torques(id) = &route {
            store.open_job(id);
        }
        store.route.set(route);
    };
    follow();
    on_window("hashchange", move || {
        follow();
        device::to_top();
    });
    on_window("pagehide", move || store.flush());
    on_window("visibilitychange", move || {
        if device::hidden() {
            store.flush();
        }
    });
    let content = div("stack").live(move || match store.route.get() {
        Route::Jobs => jobs::jobs(),
        Route::Job(_, station) => stations::job_page(station),
        Route::Torques(id) => stations::torques(&id),
        Route::Preferences => preferences::preferences(),
    });
    // A job that is nowhere kept stays open behind the bench.
    let bench = shell::link("bench/", "Bench").live_attr("target", move || {
        store.unsaved.get().map(|_| "_blank".to_owned())
    });
    shell::page(store.preferences, "", bench)
        .child(unsaved())
        .child(content)
}

/// Says plainly that the work is not being kept, and offers it as a file.
fn unsaved() -> El {
    let store = use_store();
    div("").attr("role", "alert").live(move || {
        let words = match store.unsaved.get() {
            None => return Vec::new(),
            Some(device::StoreError::Off) => "Not saved on this device: storage is switched off in this browser. Keep the page open, and save the job to a file before you leave.",
            Some(device::StoreError::Full) => "Not saved on this device: its storage is full or refuses. Keep the page open, save the job to a file, then remove old jobs from the list.",
        };
        vec![div("banner no-print").child(p(words)).child(button("Save the job to a file", move || save_open_job(store)))]
    })
}

/// Offers the open job as a file.
fn save_open_job(store: Store) {
    store.job.with_untracked(|job| {
        if let Some(job) = job {
            device::save_file(&file_name(Kind::Job, &job.car.name), &save_job(job));
        }
    });
}

//! Boxes checked before they ship, on a page of their own: the list of them, and the start of another from a kit card.

mod check;

pub use check::check;

use super::device;
use super::dom::{El, button, div, el, p};
use super::field::{asking, opening};
use super::parts::{body, frame, mark, next_frame, unreadable};
use super::route::{Page, Route};
use super::shell::{heading, link};
use super::signal::RwSignal;
use super::store::{CARD, Listed, Store, use_store};
use super::{DEMO, fetch_own_card, new_version};
use crate::document::{Job, Kind, KitCard, LoadError, load_job, load_kit_card};
use crate::station::{State, slip};

/// The boxes on this device, and the start of another.
pub fn boxes() -> Vec<El> {
    let store = use_store();
    let problem = RwSignal::new(None::<String>);
    let listed_anew = RwSignal::new(0_u32);
    let from = body()
        .children(own_cards(store))
        .children(DEMO.map(|(address, words)| {
            button(words, move || {
                fetch_own_card(store, address, problem, move |card| begin(store, card));
            })
        }))
        .children(opening(
            "Open a kit card, or the check of a box",
            problem,
            move |text| open(store, text),
        ));
    let list = body().live(move || {
        listed_anew.track();
        store.elsewhere.track();
        let kept = store.list();
        if kept.is_empty() {
            let words =
                "None yet. A check stays on this device; save it to a file to keep it elsewhere.";
            return vec![p(words).class("soft")];
        }
        let rows = kept
            .into_iter()
            .map(|listed| row(store, listed, listed_anew));
        vec![el("ul").class("lines").children(rows)]
    });
    vec![
        el("header")
            .child(heading("Boxes that ship"))
            .child(p("Count a box against its kit card, try what is tried by hand, and print its packing slip.").class("soft")),
        el("main")
            .class("two")
            .child(div("stack").child(new_version(store)).child(next_frame("Check a box by its kit card", from)))
            .child(frame("Boxes checked", list)),
    ]
}

/// The kit cards written on this device, each to start from; one that is not whole leads to the desk.
fn own_cards(store: Store) -> Vec<El> {
    let kept = device::stored_below(CARD);
    kept.into_iter()
        .map(|(key, text)| match load_kit_card(&text) {
            Ok(card) => {
                let words = format!("{}, revision {}", card.name, card.revision);
                button(&words, move || begin(store, card.clone())).class("main")
            }
            Err(_) => {
                let id = key.strip_prefix(CARD).unwrap_or_default();
                let way = link(
                    &format!("{}desk/#/card/{id}/write", Page::Box.home()),
                    "A card on the desk is not whole yet",
                );
                p("").child(way)
            }
        })
        .collect()
}

/// Keeps a check of a box by a card, and opens it.
fn begin(store: Store, card: KitCard) {
    go_to(store, Job::to_ship(store.new_id(), card, device::now()));
}

fn go_to(store: Store, job: Job) {
    device::go(&Route::Box(store.begin(job)).href(store.here));
}

fn open(store: Store, text: &str) -> Result<(), String> {
    match load_kit_card(text) {
        Ok(card) => begin(store, card),
        Err(LoadError::OtherKind { found, .. }) if found == Kind::Job.name() => {
            let job = load_job(text).map_err(|error| error.to_string())?;
            if job.outgoing.is_none() {
                return Err("This file is a fitter's job. Open it on the list of jobs.".into());
            }
            let id = store.new_id();
            go_to(store, Job { id, ..job });
        }
        Err(error) => return Err(error.to_string()),
    }
    Ok(())
}

fn row(store: Store, listed: Listed, listed_anew: RwSignal<u32>) -> El {
    let key = listed.key;
    let removed = key.clone();
    let remove = asking("Remove", "Remove it for good", "Keep it", move || {
        store.forget(&removed);
        listed_anew.update(|count| *count += 1);
    });
    match listed.job {
        Ok(job) => {
            let slip = slip(&job);
            let order = match slip.order.as_str() {
                "" => "No order named",
                order => order,
            };
            let state = match slip.open.len() {
                0 => mark(State::Done, "may ship"),
                open => mark(State::Begun, &format!("{open} to settle")),
            };
            let changed = device::local_time(job.changed, true);
            let about = format!("Revision {}. Changed {changed}.", job.card.revision);
            let way = Route::Box(job.id).href(store.here);
            el("li")
                .child(link(&way, &format!("{order} — {}", job.card.name)).class("button main"))
                .child(p(&about).class("small soft"))
                .child(state)
                .child(div("row").child(remove))
        }
        Err(error) => {
            let said = p("A check that cannot be read. It is kept as it is.");
            let save = move || {
                if let Some(text) = store.kept_text(&key) {
                    device::save_file("halfturn-unreadable-box.json", &text);
                }
            };
            unreadable(said, &error, save, remove)
        }
    }
}

//! The kit maker's desk, on a page of its own: kit cards are written and revised here, and boxes checked before they ship.

mod cards;
mod form;
mod outgoing;
mod preview;
mod write;

use super::device::{self, StoreError};
use super::dom::{El, button, derived, div, el, on_window, p};
use super::field::opening;
use super::parts::{body, frame, mark, next_frame};
use super::route::Page;
use super::shell::{self, heading, link};
use super::signal::RwSignal;
use super::store::Store;
use crate::document::form::blank_card;
use crate::document::{Job, Kind, LoadError, load_job, open_draft};
use crate::station::{State, slip};
use cards::Cards;
use reactive_graph::owner::provide_context;

/// What the desk shows.
#[derive(Clone, Debug, PartialEq)]
enum Place {
    /// What is kept on this device.
    List,
    /// A card being written.
    Write(String),
    /// What the fitter will see of it.
    Preview(String),
    /// A box being checked.
    Box(String),
}

/// The place an address names, and the way to the field within it.
fn place_of(hash: &str) -> (Place, String) {
    let mut parts = hash.trim_start_matches('#').trim_matches('/').split('/');
    let (Some(what), Some(id)) = (parts.next(), parts.next()) else {
        return (Place::List, String::new());
    };
    let id = id.to_owned();
    match (what, parts.next()) {
        ("card", Some("preview")) => (Place::Preview(id), String::new()),
        ("card", _) => (
            Place::Write(id),
            parts.next().unwrap_or_default().to_owned(),
        ),
        ("box", _) => (Place::Box(id), String::new()),
        _ => (Place::List, String::new()),
    }
}

/// Puts the desk in place of its skeleton.
pub fn mount() {
    shell::mount(page);
}

fn page() -> El {
    let store = Store::open(Page::Desk);
    provide_context(store);
    let cards = Cards::new(store);
    let place = RwSignal::new(Place::List);
    let follow = move || {
        let (now, way) = place_of(&device::hash());
        match &now {
            Place::Write(id) | Place::Preview(id) => cards.open(id),
            Place::Box(id) => store.open_job(id),
            Place::List => cards.flush(),
        }
        let same = place.with_untracked(|place| *place == now);
        if !same {
            place.set(now);
            device::to_top_soon();
        }
        if !way.is_empty() {
            cards.reveal(&way);
        }
    };
    follow();
    on_window("hashchange", move |_| follow());
    on_window("storage", move |_| {
        cards.reread();
        store.reread();
    });
    on_window("pageshow", move |_| {
        cards.reread();
        store.come_back();
    });
    let flush = move || {
        cards.flush();
        store.flush();
    };
    on_window("pagehide", move |_| flush());
    on_window("visibilitychange", move |_| {
        if device::hidden() {
            flush();
        }
    });
    let shown = derived(move || place.get());
    let content = div("stack").live(move || match shown.get() {
        Place::List => list(store, cards),
        Place::Write(_) => write::write(cards),
        Place::Preview(_) => preview::preview(cards),
        Place::Box(_) => outgoing::check(store),
    });
    shell::page(
        store.preferences,
        "../",
        [link("../bench/", "Bench"), link("#/", "Desk")],
    )
    .child(unsaved(store))
    .child(content)
}

/// Says plainly that the work is not being kept.
fn unsaved(store: Store) -> El {
    div("").attr("role", "alert").live(move || {
        let why = match store.unsaved.get() {
            None => return Vec::new(),
            Some(StoreError::Off) => "storage is switched off in this browser",
            Some(StoreError::Full) => "its storage is full or refuses",
            Some(StoreError::Strange) => "another page or tab has stored something that cannot be read here",
        };
        vec![div("banner no-print").child(p(&format!(
            "Not saved on this device: {why}. Keep the page open, and save the card to a file before you leave."
        )))]
    })
}

/// The kit cards that come with the page.
const DEMO: [(&str, &str); 2] = [
    ("../cards/rear.json", "Start from the demo rear kit"),
    ("../cards/front.json", "Start from the demo front kit"),
];

fn list(store: Store, cards: Cards) -> Vec<El> {
    let problem = RwSignal::new(None::<String>);
    let listed = RwSignal::new(0_u32);
    let demo = DEMO.map(|(address, words)| {
        button(words, move || {
            device::fetch(
                address,
                Box::new(move |text| match text.map(|text| open_draft(&text)) {
                    Some(Ok(card)) => cards.begin(card),
                    _ => problem.set(Some(
                        "The demo card could not be fetched. Check the connection and try again."
                            .into(),
                    )),
                }),
            );
        })
    });
    let open = opening(
        "Open a kit card, or the check of a box",
        problem,
        move |text| open_text(store, cards, text),
    );
    let start = next_frame(
        "Write a kit card",
        body()
            .child(
                button("Start from a blank card", move || cards.begin(blank_card())).class("main"),
            )
            .child(div("row").children(demo))
            .children(open),
    );
    let kept = body().live(move || {
        listed.track();
        let rows = cards.rows(listed);
        match rows.is_empty() {
            true => vec![p("None yet. A card stays on this device; save it to a file to give it away or to keep it elsewhere.").class("soft")],
            false => vec![el("ul").class("lines").children(rows)],
        }
    });
    let boxes = body().live(move || {
        listed.track();
        let kept = store.list();
        if kept.is_empty() {
            return vec![
                p("None yet. Open a card and choose \"Check a box that ships\".").class("soft"),
            ];
        }
        let rows = kept
            .into_iter()
            .map(|listed_box| box_row(store, listed_box, listed));
        vec![el("ul").class("lines").children(rows)]
    });
    vec![
        el("header")
            .child(heading("The kit maker's desk"))
            .child(p("Write a kit card once: parts, bags, joints, adjusters, steps. See what the fitter will see, and check each box against it before it ships.").class("soft")),
        el("main")
            .class("two")
            .child(start)
            .child(
                div("stack")
                    .child(frame("Kit cards on this device", kept))
                    .child(frame("Boxes checked", boxes)),
            ),
    ]
}

fn box_row(store: Store, listed: super::store::Listed, refresh: RwSignal<u32>) -> El {
    let key = listed.key;
    let removed = key.clone();
    let remove = super::field::asking("Remove", "Remove it for good", "Keep it", move || {
        store.forget(&removed);
        refresh.update(|count| *count += 1);
    });
    let item = el("li");
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
            item.child(
                link(
                    &format!("#/box/{}", job.id),
                    &format!("{order} — {}", job.card.name),
                )
                .class("button main"),
            )
            .child(
                p(&format!(
                    "Revision {}. Changed {changed}.",
                    job.card.revision
                ))
                .class("small soft"),
            )
            .child(state)
            .child(div("row").child(remove))
        }
        Err(error) => {
            let save = button("Save what is there to a file", move || {
                if let Some(text) = store.kept_text(&key) {
                    device::save_file("halfturn-unreadable-box.json", &text);
                }
            });
            item.child(p("A check that cannot be read. It is kept as it is."))
                .child(p(&error.to_string()).class("reason"))
                .child(div("row").child(save).child(remove))
        }
    }
}

fn open_text(store: Store, cards: Cards, text: &str) -> Result<(), String> {
    match open_draft(text) {
        Ok(card) => cards.begin(card),
        Err(LoadError::OtherKind { found, .. }) if found == Kind::Job.name() => {
            let job = load_job(text).map_err(|error| error.to_string())?;
            if job.outgoing.is_none() {
                return Err("This file is a fitter's job. Open it on the list of jobs.".into());
            }
            let id = store.begin(Job {
                id: store.new_id(),
                ..job
            });
            device::go(&format!("#/box/{id}"));
        }
        Err(error) => return Err(error.to_string()),
    }
    Ok(())
}

/// Says why something is not shown, and leaves its bytes alone.
fn missing(what: &str, refused: Option<LoadError>) -> Vec<El> {
    let words = match refused {
        Some(error) => format!(
            "This {what} cannot be read. It is kept as it is; the list offers it as a file. {error}"
        ),
        None => format!(
            "There is no such {what} on this device. It may have been removed here, or written on another device."
        ),
    };
    vec![
        el("header").child(heading(&format!("This {what} is not here"))),
        el("main")
            .class("stack")
            .child(p(&words))
            .child(link("#/", "Go to the list").class("button main")),
    ]
}

//! The kit maker's desk, on a page of its own: kit cards are written and revised here.

mod cards;
mod form;
mod preview;
mod write;

use super::device::{self, StoreError};
use super::dom::{El, button, derived, div, el, on_window, p};
use super::field::opening;
use super::parts::{body, frame, next_frame};
use super::route::{Page, Route};
use super::shell::{self, heading, link};
use super::signal::RwSignal;
use crate::document::form::blank_card;
use crate::document::{LoadError, open_draft};
use cards::Cards;

/// What the desk shows.
#[derive(Clone, Debug, PartialEq)]
enum Place {
    /// What is kept on this device.
    List,
    /// A card being written.
    Write(String),
    /// What the fitter will see of it.
    Preview(String),
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
        _ => (Place::List, String::new()),
    }
}

/// Puts the desk in place of its skeleton.
pub fn mount() {
    shell::mount(Cards::new, [], page);
}

fn page(cards: Cards) -> (El, impl Fn() -> Vec<El>) {
    let place = RwSignal::new(Place::List);
    let follow = move || {
        let (now, way) = place_of(&device::hash());
        match &now {
            Place::Write(id) | Place::Preview(id) => cards.open(id),
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
    on_window("storage", move |_| cards.reread());
    on_window("pageshow", move |_| cards.reread());
    on_window("pagehide", move |_| cards.flush());
    on_window("visibilitychange", move |_| {
        if device::hidden() {
            cards.flush();
        }
    });
    let shown = derived(move || place.get());
    let content = move || match shown.get() {
        Place::List => list(cards),
        Place::Write(_) => write::write(cards),
        Place::Preview(_) => preview::preview(cards),
    };
    let page = shell::page(
        cards.preferences,
        "../",
        [link("../bench/", "Bench"), link("#/", "Desk")],
    )
    .child(unsaved(cards));
    (page, content)
}

/// Says plainly that the work is not being kept.
fn unsaved(cards: Cards) -> El {
    div("").attr("role", "alert").live(move || {
        let why = match cards.unsaved.get() {
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

fn list(cards: Cards) -> Vec<El> {
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
    let open = opening("Open a kit card", problem, move |text| {
        open_draft(text)
            .map(|card| cards.begin(card))
            .map_err(|error| error.to_string())
    });
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
    let boxes = body()
        .child(p(
            "Each box is counted against its card before it ships, and its packing slip printed.",
        ))
        .child(link(&Route::Boxes.href(Page::Desk), "Boxes that ship").class("button"));
    vec![
        el("header")
            .child(heading("The kit maker's desk"))
            .child(p("Write a kit card once: parts, bags, joints, adjusters, steps. See what the fitter will see.").class("soft")),
        el("main")
            .class("two")
            .child(start)
            .child(
                div("stack")
                    .child(frame("Kit cards on this device", kept))
                    .child(frame("Boxes that ship", boxes)),
            ),
    ]
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

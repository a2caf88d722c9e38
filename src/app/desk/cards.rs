//! The kit cards on this device, and the one that is open: untyped JSON, so that what is half written is kept as it was typed.
//!
//! Nothing is written before it was read, writes are at least 300 ms apart and read back, and what cannot be read stays byte for byte.

use crate::app::device::{self, StoreError};
use crate::app::dom::{Derived, El, button, div, el, p, result};
use crate::app::field::asking;
use crate::app::parts::{mark, unreadable};
use crate::app::shell::link;
use crate::app::signal::RwSignal;
use crate::app::store::{CARD, WRITE_GAP, file_name, free_id, kept_preferences};
use crate::document::form::{give_ids, title};
use crate::document::{Json, Kind, LoadError, Preferences, open_draft, save_draft};
use crate::station::{Finding, Judged, State, Weight, judge_card};
use reactive_graph::{owner::StoredValue, traits::*};

/// How many steps can be taken back.
const UNDO: usize = 20;

/// Handles to what the desk holds of cards. Copied freely; the signals live as long as the page.
#[derive(Clone, Copy)]
pub struct Cards {
    /// How numbers are shown.
    pub preferences: RwSignal<Preferences>,
    /// Why the last write was not kept.
    pub unsaved: RwSignal<Option<StoreError>>,
    /// Its id.
    pub id: RwSignal<String>,
    /// The open card.
    pub card: RwSignal<Option<Json>>,
    /// Why the card of the address could not be opened.
    pub refused: RwSignal<Option<LoadError>>,
    /// What there is to say of it.
    pub judged: Derived<Judged>,
    /// The way to what is unfolded.
    pub at: RwSignal<String>,
    /// Counts the changes that put things elsewhere.
    pub shape: RwSignal<u32>,
    /// What was done last that can be undone.
    pub done: RwSignal<Option<String>>,
    before: StoredValue<Vec<Json>>,
    pending: StoredValue<bool>,
}

impl Cards {
    /// None open yet.
    pub fn new() -> Self {
        let card = RwSignal::new(None::<Json>);
        Self {
            preferences: RwSignal::new(kept_preferences()),
            unsaved: RwSignal::new(device::stored_keys(CARD).err()),
            id: RwSignal::new(String::new()),
            card,
            refused: RwSignal::new(None),
            judged: result(move || {
                card.with(|card| judge_card(card.as_ref().unwrap_or(&Json::Null)))
            }),
            at: RwSignal::new(String::new()),
            shape: RwSignal::new(0),
            done: RwSignal::new(None),
            before: StoredValue::new(Vec::new()),
            pending: StoredValue::new(false),
        }
    }

    /// Opens the card of an address, unless it is open already.
    pub fn open(self, id: &str) {
        let open = self.card.with_untracked(Option::is_some);
        if open && self.id.with_untracked(|known| known == id) {
            return;
        }
        self.flush();
        self.take(id);
    }

    fn take(self, id: &str) {
        let kept = device::stored(&format!("{CARD}{id}")).ok().flatten();
        let (card, refused) = match kept.map(|text| open_draft(&text)) {
            Some(Ok(card)) => (Some(card), None),
            Some(Err(error)) => (None, Some(error)),
            None => (None, None),
        };
        self.show(id.to_owned(), card, refused);
    }

    fn show(self, id: String, card: Option<Json>, refused: Option<LoadError>) {
        self.id.set(id);
        self.refused.set(refused);
        self.at.set(String::new());
        self.before.set_value(Vec::new());
        self.done.set(None);
        self.card.set(card);
        self.shape.update(|count| *count += 1);
    }

    /// Takes the open card anew where another tab has changed it.
    pub fn reread(self) {
        let id = self.id.get_untracked();
        if self.pending.get_value() || self.card.with_untracked(Option::is_none) {
            return;
        }
        let kept = device::stored(&format!("{CARD}{id}")).ok().flatten();
        if let Some(Ok(kept)) = kept.map(|text| open_draft(&text))
            && self
                .card
                .with_untracked(|card| card.as_ref() != Some(&kept))
        {
            self.card.set(Some(kept));
            self.shape.update(|count| *count += 1);
        }
    }

    /// Keeps a card as a new one and goes to it.
    pub fn begin(self, card: Json) {
        self.flush();
        let id = free_id(CARD);
        let failed = device::store(&format!("{CARD}{id}"), &save_draft(&card)).err();
        self.unsaved.set(failed);
        self.show(id.clone(), Some(card), None);
        device::go(&format!("#/card/{id}/write"));
    }

    /// Something of the open card, following it.
    pub fn read<T: Default>(self, get: impl FnOnce(&Json) -> T) -> T {
        self.card
            .with(|card| card.as_ref().map(get))
            .unwrap_or_default()
    }

    /// Something of the open card, without following it.
    pub fn peek<T: Default>(self, get: impl FnOnce(&Json) -> T) -> T {
        self.card
            .with_untracked(|card| card.as_ref().map(get))
            .unwrap_or_default()
    }

    /// Puts a value into a field, or takes it out.
    pub fn set(self, way: &str, name: &str, value: Option<Json>) {
        self.change(&|card| card.set(way, name, value.clone()));
    }

    /// Puts a value in place of what stands on a way.
    pub fn change_at(self, way: &str, value: Json) {
        self.change(&|card| {
            if let Some(here) = card.at_mut(way) {
                *here = value.clone();
            }
        });
    }

    fn change(self, change: &dyn Fn(&mut Json)) {
        self.card.update(|card| {
            if let Some(card) = card {
                change(card);
            }
        });
        if !self.pending.get_value() {
            self.pending.set_value(true);
            device::after(WRITE_GAP, move || self.flush());
        }
    }

    /// Changes what stands where, in a way that can be undone; `said` says what was done.
    pub fn rebuild(self, said: String, change: &dyn Fn(&mut Json)) {
        if let Some(card) = self.card.get_untracked() {
            self.before.update_value(|before| {
                if before.len() == UNDO {
                    before.remove(0);
                }
                before.push(card);
            });
        }
        self.change(change);
        self.done.set(Some(said));
        self.shape.update(|count| *count += 1);
    }

    /// Takes the last rebuilding back, and what was typed since.
    pub fn undo(self) {
        let mut last = None;
        self.before.update_value(|before| last = before.pop());
        if let Some(card) = last {
            self.change(&|now| *now = card.clone());
            self.done.set(None);
            self.shape.update(|count| *count += 1);
        }
    }

    /// Gives names to what is called something by now.
    pub fn settle(self) {
        let before = self.card.get_untracked();
        if let Some(mut card) = before.clone() {
            give_ids(&mut card, false);
            if before.as_ref() != Some(&card) {
                self.change(&|now| *now = card.clone());
            }
        }
    }

    /// The open card with a name for everything that has to have one.
    pub fn whole(self) -> Json {
        let mut card = self.card.get_untracked().unwrap_or(Json::Null);
        give_ids(&mut card, true);
        card
    }

    /// Unfolds what is on a way, and moves the keyboard there.
    pub fn reveal(self, way: &str) {
        self.at.set(way.to_owned());
        self.focus(way.to_owned());
    }

    /// Moves the keyboard to a field, or to what holds it.
    pub fn focus(self, way: String) {
        // What is unfolded is built in the browser's next task.
        device::soon(move || {
            let mut way = way.as_str();
            while !way.is_empty() && !device::focus(way) {
                way = way.rsplit_once(['.', '[']).map_or("", |(outer, _)| outer);
            }
        });
    }

    /// Writes what is waiting.
    pub fn flush(self) {
        if !self.pending.try_get_value().unwrap_or(false) {
            return;
        }
        self.pending.set_value(false);
        if let Some(card) = self.card.get_untracked() {
            let key = format!("{CARD}{}", self.id.get_untracked());
            self.unsaved
                .set(device::store(&key, &save_draft(&card)).err());
        }
    }

    /// The cards on this device, a row for each.
    pub fn rows(self, listed: RwSignal<u32>) -> Vec<El> {
        let kept = device::stored_below(CARD).into_iter();
        kept.map(|(key, text)| self.row(key, text, listed))
            .collect()
    }

    fn row(self, key: String, text: String, listed: RwSignal<u32>) -> El {
        let id = key.strip_prefix(CARD).unwrap_or_default().to_owned();
        let gone = id.clone();
        let remove = asking("Remove", "Remove it for good", "Keep it", move || {
            if self.id.with_untracked(|open| *open == gone) {
                self.pending.set_value(false);
                self.card.set(None);
            }
            device::remove(&key);
            listed.update(|count| *count += 1);
        });
        match open_draft(&text) {
            Ok(card) => {
                let name = title(&card, "Card without a name", 0);
                let about = format!(
                    "{} Revision {}.",
                    match card.text_at("maker") {
                        "" => String::new(),
                        maker => format!("{maker}."),
                    },
                    card.text_at("revision")
                );
                let save = button("Save to a file", move || save_card(&card));
                el("li")
                    .child(link(&format!("#/card/{id}/write"), &name).class("button main"))
                    .child(p(about.trim()).class("small soft"))
                    .child(standing(
                        &judge_card(&open_draft(&text).unwrap_or(Json::Null)).findings,
                    ))
                    .child(div("row").child(save).child(remove))
            }
            Err(error) => {
                let said = p("A card that cannot be read. It is kept as it is.");
                let save = move || device::save_file("halfturn-unreadable-card.json", &text);
                unreadable(said, &error, save, remove)
            }
        }
    }
}

/// How far a card has come, as shape and words.
pub fn standing(findings: &[Finding]) -> El {
    let must = |finding: &&Finding| finding.weight == Weight::Must;
    let musts = findings.iter().filter(must).count();
    match (musts, findings.len()) {
        (0, 0) => mark(State::Done, "nothing to settle"),
        (0, looks) => mark(State::Begun, &format!("ready; {looks} worth a look")),
        (musts, _) => mark(State::Wrong, &format!("{musts} still to settle")),
    }
}

/// Offers a card as a file.
pub fn save_card(card: &Json) {
    let mut whole = card.clone();
    give_ids(&mut whole, true);
    let name = format!("{}-{}", card.text_at("name"), card.text_at("revision"));
    device::save_file(&file_name(Kind::KitCard, &name), &save_draft(&whole));
}

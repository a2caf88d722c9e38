//! The one root store: the open job, the preferences, and what is kept on the device.
//!
//! The job is a plain struct in one signal. Nothing is written before it was read. A change is written as soon as what follows from it is on
//! show, and read back; what comes within 300 ms waits for their end, or for the page to be hidden. What another page has stored since is merged, never written over.

use super::device::{self, StoreError};
use super::route::{Page, Route};
use super::signal::RwSignal;
use crate::document::{
    Clash, Job, Json, Kind, LoadError, Moment, Preferences, load_preferences, load_stored_job,
    merge_jobs, save_job, save_preferences, stored_job_of, tree_of,
};
use reactive_graph::{
    owner::{StoredValue, use_context},
    traits::*,
};
use wasm_bindgen::UnwrapThrowExt;

/// Where jobs are kept.
pub const JOB: &str = "halfturn.job.";
/// Where checks of boxes that ship are kept.
pub const OUTGOING: &str = "halfturn.outgoing.";
/// Where the kit maker's cards are kept, half written or whole.
pub const CARD: &str = "halfturn.card.";
const PREFERENCES: &str = "halfturn.preferences";
const KEPT: &str = "halfturn.kept.";
/// The shortest time between two writes, in milliseconds.
pub const WRITE_GAP: u32 = 300;
/// A break after which the page asks what still holds, in milliseconds.
const BREAK: Moment = 10 * 60 * 1000;

/// A job on this device, as the list shows it.
#[derive(Clone, PartialEq)]
pub struct Listed {
    /// Its storage key.
    pub key: String,
    /// The job, or why it cannot be read.
    pub job: Result<Job, LoadError>,
}

/// Handles to everything the page holds. Copied freely; the signals live as long as the page.
#[derive(Clone, Copy)]
pub struct Store {
    /// Which page this is.
    pub here: Page,
    /// Where the page is.
    pub route: RwSignal<Route>,
    /// The open job.
    pub job: RwSignal<Option<Job>>,
    /// Why the job of the address could not be opened.
    pub refused: RwSignal<Option<LoadError>>,
    /// How numbers are typed and shown.
    pub preferences: RwSignal<Preferences>,
    /// Why the last write was not kept.
    pub unsaved: RwSignal<Option<StoreError>>,
    /// Whether the person is back from a break and has not yet said what still holds.
    pub back: RwSignal<bool>,
    /// What was typed here and on another page at once, and could not both be kept.
    pub clashes: RwSignal<Vec<Clash>>,
    /// Counts what other pages have stored.
    pub elsewhere: RwSignal<u32>,
    /// Whether a change of the open job waits to be written.
    pending: StoredValue<bool>,
    /// Whether the last write is less than [`WRITE_GAP`] ago.
    resting: StoredValue<bool>,
    /// The open job as it was last read or written: what this page's changes started from.
    seen: StoredValue<String>,
    /// When what another page wrote, and is in the open job already, was changed.
    met: StoredValue<Moment>,
    /// The text that is kept of the job to be opened first, and how far it was read: in tasks before the one that opens it. Nobody follows it: a signal has no code
    /// of its own for what it holds.
    ahead: RwSignal<Option<(String, Ahead)>>,
}

/// How far a job was read ahead.
enum Ahead {
    Tree(Json),
    Job(Box<Result<Job, LoadError>>),
}

impl Store {
    /// The store, with the preferences read.
    pub fn open(here: Page) -> Self {
        let store = Self {
            here,
            route: RwSignal::new(Route::from_hash(&device::hash(), here)),
            job: RwSignal::new(None),
            refused: RwSignal::new(None),
            preferences: RwSignal::new(Preferences::default()),
            unsaved: RwSignal::new(None),
            back: RwSignal::new(false),
            clashes: RwSignal::new(Vec::new()),
            elsewhere: RwSignal::new(0),
            pending: StoredValue::new(false),
            resting: StoredValue::new(false),
            seen: StoredValue::new(String::new()),
            met: StoredValue::new(0),
            ahead: RwSignal::new(None),
        };
        match device::stored(PREFERENCES) {
            Ok(Some(text)) => match load_preferences(&text) {
                Ok(preferences) => store.preferences.set(preferences),
                // Kept byte for byte: the next change of a preference writes over the original.
                Err(_) => store
                    .unsaved
                    .set(device::store(&format!("{KEPT}preferences"), &text).err()),
            },
            Ok(None) => {}
            Err(error) => store.unsaved.set(Some(error)),
        }
        // What another page shows is read there.
        let first = store
            .route
            .with_untracked(|route| route.job().filter(|_| route.page() == here).cloned());
        store.ahead.set(first.and_then(|id| {
            let text = store.stored(&id)?;
            let tree = tree_of(&text).ok()?;
            Some((text, Ahead::Tree(tree)))
        }));
        store
    }

    /// Fills the job to be opened first.
    pub fn fill_ahead(self) {
        self.ahead.update(|kept| {
            if let Some((_, ahead)) = kept
                && let Ahead::Tree(tree) = ahead
            {
                let tree = std::mem::replace(tree, Json::Null);
                *ahead = Ahead::Job(Box::new(stored_job_of(tree)));
            }
        });
    }

    /// Opens the job of an address, unless it is open already.
    pub fn open_job(self, id: &str) {
        if self
            .job
            .with_untracked(|job| job.as_ref().is_some_and(|job| job.id == id))
        {
            return;
        }
        self.flush();
        self.take(id, device::given());
    }

    /// Takes what another page or tab has stored of the open job.
    pub fn reread(self) {
        let Some(id) = self.peek(|job| Some(job.id.clone())) else {
            return;
        };
        let stored = self.stored(&id);
        if stored.is_none_or(|stored| self.seen.with_value(|seen| *seen == stored)) {
            return;
        }
        if self.pending.get_value() || self.unsaved.get_untracked().is_some() {
            self.pending.set_value(true);
            self.flush();
        } else {
            self.take(&id, String::new());
        }
    }

    /// Another page or tab has stored something.
    pub fn heard(self, key: &str, before: &str, after: &str) {
        self.reread();
        self.elsewhere.update(|count| *count += 1);
        let is_open = self.peek(|job| key == key_of(job));
        if !is_open || self.seen.with_value(|seen| seen == after) {
            return;
        }
        // Two pages that wrote at one moment: what came first was written over by one that had not seen it. What comes late, and is
        // in the open job already, is no news.
        let is_news =
            load_stored_job(after).is_ok_and(|after| after.changed > self.met.get_value());
        if is_news {
            self.flush();
            if let Some(both) = self.peek(|job| self.merged(job, before, after)) {
                self.keep(&both);
                self.swap(both);
            }
        }
    }

    /// Another page of ours has shown the window since this one was left.
    pub fn come_back(self) {
        match self.peek(|job| Some(job.id.clone())) {
            Some(id) if self.unsaved.get_untracked().is_some() => self.take(&id, device::given()),
            _ => self.reread(),
        }
    }

    fn stored(self, id: &str) -> Option<String> {
        device::stored(&format!("{}{id}", self.prefix()))
            .ok()
            .flatten()
    }

    /// Opens the job of an id as it is kept, or as it was carried here where that is newer.
    fn take(self, id: &str, carried: String) {
        let stored = self.stored(id);
        let mut ahead = None;
        self.ahead.update(|kept| ahead = kept.take());
        let read = |text: &str| match ahead {
            Some((ahead, Ahead::Job(job))) if ahead == text => *job,
            _ => load_stored_job(text),
        };
        let (mut job, refused) = match stored.as_deref().map(read) {
            Some(Ok(job)) => (Some(job), None),
            Some(Err(error)) => (None, Some(error)),
            // Where it is nowhere kept, what is open is all there is.
            None => (self.job.get_untracked().filter(|job| job.id == id), None),
        };
        // What could not be read has not been seen, so nothing is written over it.
        self.seen
            .set_value(stored.filter(|_| refused.is_none()).unwrap_or_default());
        self.met
            .set_value(job.as_ref().map_or(0, |job| job.changed));
        // What could not be kept came along with the window.
        let carried = load_stored_job(&carried).ok();
        let newer = |carried: &Job| {
            carried.id == id && job.as_ref().is_none_or(|job| carried.changed > job.changed)
        };
        if let Some(carried) = carried.filter(newer) {
            self.keep(&carried);
            job = Some(carried);
        }
        self.back.set(job.as_ref().is_some_and(after_a_break));
        self.refused.set(refused);
        match job {
            Some(job) => self.swap(job),
            None => self.job.set(None),
        }
    }

    /// Opens another state of the open job, or another job.
    fn swap(self, job: Job) {
        // The steps and rows on show are those of an order.
        let is_ordered_anew = self.peek(|open| open.id == job.id && open.order != job.order);
        self.job.set(Some(job));
        if is_ordered_anew {
            self.route.update(|_| ());
        }
    }

    /// The job with what another page made of it, and says what they have in conflict.
    fn merged(self, job: &Job, base: &str, theirs: &str) -> Option<Job> {
        let (both, clashes) = merge_jobs(base, job, theirs).ok()?;
        let met = load_stored_job(theirs).map_or(0, |theirs| theirs.changed);
        self.met.update_value(|known| *known = met.max(*known));
        if !clashes.is_empty() {
            self.clashes.update(|known| known.extend(clashes));
        }
        Some(both)
    }

    /// Writes a job, or says why it is not kept and lets the window carry it. Gives the job with what another page had stored since, if
    /// one had.
    fn keep(self, job: &Job) -> Option<Job> {
        let stored = device::stored(&key_of(job)).ok().flatten();
        let stored = stored.filter(|stored| self.seen.with_value(|seen| seen != stored));
        let both = stored
            .as_ref()
            .map(|stored| self.merged(job, &self.seen.get_value(), stored));
        let text = save_job(both.iter().flatten().next().unwrap_or(job));
        let failed = match both {
            // Something is stored that cannot be read here.
            Some(None) => Some(StoreError::Strange),
            _ => device::store(&key_of(job), &text).err(),
        };
        device::carry(if failed.is_some() { &text } else { "" });
        if failed.is_none() {
            self.seen.set_value(text);
        }
        self.unsaved.set(failed);
        both.flatten()
    }

    /// Keeps a job and opens it.
    pub fn begin(self, job: Job) -> String {
        self.flush();
        self.seen.set_value(String::new());
        self.put(job)
    }

    fn put(self, job: Job) -> String {
        let id = job.id.clone();
        self.keep(&job);
        self.refused.set(None);
        self.back.set(false);
        self.job.set(Some(job));
        id
    }

    /// Keeps a job in place of one of the same id, of which a copy is kept first.
    ///
    /// # Errors
    /// Why the copy is not kept; nothing has changed then.
    pub fn replace(self, here: Job, by: Job) -> Result<String, StoreError> {
        let copy = Job {
            id: self.new_id(),
            ..here
        };
        device::store(&key_of(&copy), &save_job(&copy))?;
        self.flush();
        // What is there is seen, so that it is written over and not merged.
        self.seen.set_value(self.stored(&by.id).unwrap_or_default());
        Ok(self.put(by))
    }

    /// Where what this page lists is kept.
    fn prefix(self) -> &'static str {
        match self.here {
            Page::Box => OUTGOING,
            _ => JOB,
        }
    }

    /// An id that nothing this page lists has.
    pub fn new_id(self) -> String {
        free_id(self.prefix())
    }

    /// A job that came, as it may be kept beside those here. What the shop counted before a box shipped is not what came in it: the fitter counts anew, on
    /// the same order.
    pub fn taken_in(self, job: Job) -> Job {
        let is_taken = device::stored(&key_of(&job)).is_ok_and(|stored| stored.is_some());
        match job.outgoing {
            Some(_) => Job {
                order: job.order,
                ..Job::new(self.new_id(), job.card, device::now())
            },
            None if is_taken => Job {
                id: self.new_id(),
                ..job
            },
            None => job,
        }
    }

    /// The job on this device that was begun at the same moment as another: one job in two states. Ids tell nothing, since each device gives its own.
    pub fn like(self, job: &Job) -> Option<Job> {
        let like = self.list().into_iter().filter_map(|listed| listed.job.ok());
        let mut like: Vec<_> = like.filter(|known| known.started == job.started).collect();
        let place = like.iter().position(|known| known.id == job.id);
        (!like.is_empty()).then(|| like.swap_remove(place.unwrap_or(0)))
    }

    /// Whether there is any job on this device.
    pub fn keeps_any(self) -> bool {
        device::stored_keys(self.prefix()).is_ok_and(|keys| !keys.is_empty())
    }

    /// The jobs on this device, the last changed first.
    pub fn list(self) -> Vec<Listed> {
        let kept = device::stored_below(self.prefix()).into_iter();
        let changed = |listed: &Listed| listed.job.as_ref().map_or(Moment::MAX, |job| job.changed);
        let read = |(key, text): (String, String)| Listed {
            job: load_stored_job(&text),
            key,
        };
        let mut jobs: Vec<Listed> = Vec::new();
        for listed in kept.map(read) {
            let later = |known: &Listed| changed(known) < changed(&listed);
            let place = jobs.iter().position(later).unwrap_or(jobs.len());
            jobs.insert(place, listed);
        }
        jobs
    }

    /// Puts a job of the list away, or brings it back. It is no change of the job: its age stays.
    pub fn archive(self, id: &str, archived: bool) {
        self.flush();
        if let Some(stored) = self.stored(id)
            && let Ok(mut job) = load_stored_job(&stored)
        {
            job.archived = archived;
            self.job.set(None);
            self.seen.set_value(stored);
            self.keep(&job);
        }
    }

    /// The bytes kept under a key of the list.
    pub fn kept_text(self, key: &str) -> Option<String> {
        device::stored(key).ok().flatten()
    }

    /// Removes a job from this device.
    pub fn forget(self, key: &str) {
        if self.peek(|job| key == key_of(job)) {
            self.pending.set_value(false);
            self.job.set(None);
        }
        device::remove(key);
    }

    /// Changes the open job and writes it soon.
    pub fn edit(self, change: impl FnOnce(&mut Job)) {
        let mut change = Some(change);
        self.change(&mut |job| {
            if let Some(change) = change.take() {
                change(job);
            }
        });
    }

    // What is generic here, in `read` and in `peek` is only a wrapper, so that the work is there once in the page.
    fn change(self, change: &mut dyn FnMut(&mut Job)) {
        let now = device::now();
        self.job.update(|job| {
            if let Some(job) = job {
                if after_a_break(job) {
                    self.back.set(true);
                }
                change(job);
                job.changed = now;
            }
        });
        self.write_soon();
    }

    /// Something of the open job; its default where none is open.
    pub fn read<T: Default>(self, get: impl FnOnce(&Job) -> T) -> T {
        self.job.track();
        self.peek(get)
    }

    /// Something of the open job, without following it; its default where none is open.
    pub fn peek<T: Default>(self, get: impl FnOnce(&Job) -> T) -> T {
        let (mut get, mut got) = (Some(get), T::default());
        self.look(&mut |job| {
            if let Some(get) = get.take() {
                got = get(job);
            }
        });
        got
    }

    fn look(self, look: &mut dyn FnMut(&Job)) {
        self.job.with_untracked(|job| {
            if let Some(job) = job {
                look(job);
            }
        });
    }

    /// Changes the preferences and writes them.
    pub fn prefer(self, change: impl FnOnce(&mut Preferences)) {
        self.preferences.update(change);
        let text = self.preferences.with_untracked(save_preferences);
        self.unsaved.set(device::store(PREFERENCES, &text).err());
    }

    /// Writes what is waiting.
    pub fn flush(self) {
        if !self.pending.try_get_value().unwrap_or(false) {
            return;
        }
        self.pending.set_value(false);
        if let Some(both) = self.peek(|job| self.keep(job)) {
            self.swap(both);
        }
    }

    fn write_soon(self) {
        self.pending.set_value(true);
        if !self.resting.get_value() {
            self.resting.set_value(true);
            // As soon as the page has shown what follows from the change.
            self.write_after(0);
        }
    }

    fn write_after(self, wait: u32) {
        let write = move || {
            let waits = self.pending.get_value();
            if waits {
                self.flush();
                self.write_after(WRITE_GAP);
            }
            self.resting.set_value(waits);
        };
        device::after(wait, write);
    }
}

/// Keeps a new job for the page that will open it; where it cannot be kept, the window carries it there.
pub fn hand_on(job: &Job) {
    let text = save_job(job);
    let is_kept = device::store(&key_of(job), &text).is_ok();
    device::carry(if is_kept { "" } else { &text });
}

/// Under which a job is stored, or a check of a box.
fn key_of(job: &Job) -> String {
    let prefix = match job.outgoing {
        Some(_) => OUTGOING,
        None => JOB,
    };
    format!("{prefix}{}", job.id)
}

/// Whether work on a job begun stopped so long ago that what held the car may no longer do. A clock that was set back does not know.
fn after_a_break(job: &Job) -> bool {
    let away = device::now().checked_sub(job.changed);
    !job.marks.is_empty() && away.is_none_or(|away| away > BREAK)
}

/// An id under which nothing is kept.
pub fn free_id(prefix: &str) -> String {
    let taken = device::stored_keys(prefix).unwrap_or_default();
    let mut number = taken.len() + 1;
    while taken.contains(&format!("{prefix}{number}")) {
        number += 1;
    }
    number.to_string()
}

/// The preferences kept on this device; the usual ones where none can be read.
pub fn kept_preferences() -> Preferences {
    let text = device::stored(PREFERENCES).ok().flatten();
    text.and_then(|text| load_preferences(&text).ok())
        .unwrap_or_default()
}

/// The file name of a job or card.
pub fn file_name(kind: Kind, name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '-'
            }
        })
        .take(40)
        .collect();
    format!(
        "halfturn-{}-{}.json",
        kind.name().replace(' ', "-"),
        plain.trim_matches('-')
    )
}

/// The store of the page.
pub fn use_store() -> Store {
    // It is provided before anything asks; `expect_context` would bring the code that prints the caller's place.
    use_context::<Store>().unwrap_throw()
}

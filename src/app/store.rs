//! The one root store: the open job, the preferences, and what is kept on the device.
//!
//! The job is a plain struct in one signal. Nothing is written before it was read, writes are at least 300 ms apart and
//! read back, and what is waiting is written when the page is hidden.

use super::device::{self, StoreError};
use super::route::Route;
use super::signal::RwSignal;
use crate::document::{
    Job, Kind, LoadError, Moment, Preferences, load_job, load_preferences, save_job,
    save_preferences,
};
use reactive_graph::{
    owner::{StoredValue, use_context},
    traits::*,
};
use wasm_bindgen::UnwrapThrowExt;

const JOB: &str = "halfturn.job.";
const PREFERENCES: &str = "halfturn.preferences";
const KEPT: &str = "halfturn.kept.";
/// The shortest time between two writes, in milliseconds.
const WRITE_GAP: u32 = 300;
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
    pending: StoredValue<bool>,
}

impl Store {
    /// The store, with the preferences read.
    pub fn open() -> Self {
        let store = Self {
            route: RwSignal::new(Route::from_hash(&device::hash())),
            job: RwSignal::new(None),
            refused: RwSignal::new(None),
            preferences: RwSignal::new(Preferences::default()),
            unsaved: RwSignal::new(None),
            back: RwSignal::new(false),
            pending: StoredValue::new(false),
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
        store
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
        let (job, refused) = match device::stored(&format!("{JOB}{id}")) {
            Ok(Some(text)) => match load_job(&text) {
                Ok(job) => (Some(job), None),
                Err(error) => (None, Some(error)),
            },
            _ => (None, None),
        };
        self.back
            .set(job.as_ref().is_some_and(|job| !job.marks.is_empty()));
        self.refused.set(refused);
        self.job.set(job);
    }

    /// Keeps a job and opens it.
    pub fn begin(self, job: Job) -> String {
        self.flush();
        let id = job.id.clone();
        self.unsaved
            .set(device::store(&format!("{JOB}{id}"), &save_job(&job)).err());
        self.refused.set(None);
        self.back.set(false);
        self.job.set(Some(job));
        id
    }

    /// An id that no job on this device has.
    pub fn new_id(self) -> String {
        let taken = device::stored_keys(JOB).unwrap_or_default();
        let mut number = taken.len() + 1;
        while taken.contains(&format!("{JOB}{number}")) {
            number += 1;
        }
        number.to_string()
    }

    /// The jobs on this device, the last changed first.
    pub fn list(self) -> Vec<Listed> {
        let keys = device::stored_keys(JOB).unwrap_or_default();
        let changed = |listed: &Listed| listed.job.as_ref().map_or(Moment::MAX, |job| job.changed);
        let read = |key: String| {
            let text = device::stored(&key).ok().flatten()?;
            Some(Listed {
                job: load_job(&text),
                key,
            })
        };
        let mut jobs: Vec<Listed> = Vec::new();
        for listed in keys.into_iter().filter_map(read) {
            let later = |known: &Listed| changed(known) < changed(&listed);
            let place = jobs.iter().position(later).unwrap_or(jobs.len());
            jobs.insert(place, listed);
        }
        jobs
    }

    /// The bytes kept under a key of the list.
    pub fn kept_text(self, key: &str) -> Option<String> {
        device::stored(key).ok().flatten()
    }

    /// Removes a job from this device.
    pub fn forget(self, key: &str) {
        if self.job.with_untracked(|job| {
            job.as_ref()
                .is_some_and(|job| key == format!("{JOB}{}", job.id))
        }) {
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
                if now.saturating_sub(job.changed) > BREAK && !job.marks.is_empty() {
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
        let written = self.job.with_untracked(|job| {
            job.as_ref()
                .map(|job| device::store(&format!("{JOB}{}", job.id), &save_job(job)))
        });
        if let Some(result) = written {
            self.unsaved.set(result.err());
        }
    }

    fn write_soon(self) {
        if self.pending.get_value() {
            return;
        }
        self.pending.set_value(true);
        gloo::timers::callback::Timeout::new(WRITE_GAP, move || self.flush()).forget();
    }
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

//! What each station shows: for every question about a job one structured result, computed anew from what was typed.
//!
//! The page and the sheet render these results; neither computes.

mod advice;
mod base;
mod before;
mod bolt_up;
mod car_points;
mod card_check;
mod gauge;
mod listing;
mod outgoing;
mod over_travel;
mod rates;
mod read;
mod torque;
mod turn;
mod unpack;

pub use advice::*;
pub use base::*;
pub use before::*;
pub use bolt_up::*;
pub use car_points::*;
pub use card_check::*;
pub use gauge::*;
pub use listing::*;
pub use outgoing::*;
pub use over_travel::*;
pub use rates::{Foretold, RateBasis, RateSource, foretold, rate_by_arms};
pub use read::*;
pub use torque::*;
pub use turn::*;
pub use unpack::*;

use crate::document::Job;

/// The six stretches of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Station {
    /// Count and check what came.
    Unpack,
    /// Fit it, each joint at its torque.
    BoltUp,
    /// Set every adjuster to its base.
    Base,
    /// Measure toe and camber.
    Read,
    /// Turn the adjusters.
    Turn,
    /// The sheet of what was set.
    Sheet,
}

impl Station {
    /// All of them in order.
    pub const ALL: [Self; 6] = [
        Self::Unpack,
        Self::BoltUp,
        Self::Base,
        Self::Read,
        Self::Turn,
        Self::Sheet,
    ];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Unpack => "Unpack",
            Self::BoltUp => "Bolt up",
            Self::Base => "Base",
            Self::Read => "Read",
            Self::Turn => "Turn",
            Self::Sheet => "Sheet",
        }
    }

    /// Its name in an address.
    pub const fn slug(self) -> &'static str {
        match self {
            Self::Unpack => "unpack",
            Self::BoltUp => "bolt-up",
            Self::Base => "base",
            Self::Read => "read",
            Self::Turn => "turn",
            Self::Sheet => "sheet",
        }
    }

    /// The station of that name in an address.
    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|station| station.slug() == slug)
    }
}

/// How far something has come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Progress {
    /// How many things are answered.
    pub done: usize,
    /// How many there are.
    pub total: usize,
    /// How many of the answered are wrong: short, unfit, out of reach, or not readable.
    pub wrong: usize,
}

/// The state of something in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Nothing done.
    Open,
    /// Begun.
    Begun,
    /// Done, nothing wrong.
    Done,
    /// Something is wrong.
    Wrong,
}

impl State {
    /// In a word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Open => "to do",
            Self::Begun => "begun",
            Self::Done => "done",
            Self::Wrong => "look",
        }
    }
}

impl Progress {
    /// Counts one more thing.
    pub fn add(&mut self, state: State) {
        self.total += 1;
        if matches!(state, State::Done | State::Wrong) {
            self.done += 1;
        }
        if state == State::Wrong {
            self.wrong += 1;
        }
    }

    /// Both together.
    pub fn and(self, other: Self) -> Self {
        Self {
            done: self.done + other.done,
            total: self.total + other.total,
            wrong: self.wrong + other.wrong,
        }
    }

    /// In one word.
    pub fn state(self) -> State {
        match self {
            Self { wrong: 1.., .. } => State::Wrong,
            Self { done: 0, .. } => State::Open,
            Self { done, total, .. } if done >= total => State::Done,
            _ => State::Begun,
        }
    }
}

/// The state of each station, in order.
pub fn stations(job: &Job) -> [State; 6] {
    with_sheet(fitting_states(job), read_and_turn_states(job))
}

/// The states of Unpack, Bolt up and Base.
pub fn fitting_states(job: &Job) -> [State; 3] {
    [
        unpack_progress(job).state(),
        bolt_up_progress(job).state(),
        base_progress(job).state(),
    ]
}

/// The state of each station by [`fitting_states`] and [`read_and_turn_states`]: the sheet is whole once all before it are done.
pub fn with_sheet(fitting: [State; 3], read_and_turn: [State; 2]) -> [State; 6] {
    let mut before = fitting.iter().chain(&read_and_turn);
    let sheet = if before.all(|state| *state == State::Done) {
        State::Done
    } else {
        State::Open
    };
    let ([unpack, bolt_up, base], [read, turn]) = (fitting, read_and_turn);
    [unpack, bolt_up, base, read, turn, sheet]
}

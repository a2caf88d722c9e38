//! Read: what is done to the car before it is read, once in each round.

use super::{State, length_of};
use crate::document::{Corner, Job, Moment};
use crate::quantity::Limit;

/// What a check is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Check {
    /// Tyre pressures.
    Pressures,
    /// Fuel and ballast.
    Load,
    /// The steering wheel.
    Steering,
    /// The car on its springs.
    Settle,
    /// Ride heights.
    Heights,
    /// Rims that run out.
    Runout,
}

impl Check {
    /// All of them in the order in which they are done. Without the first four no reading means anything (common practice, no source).
    pub const ALL: [Self; 6] = [
        Self::Pressures,
        Self::Load,
        Self::Steering,
        Self::Settle,
        Self::Heights,
        Self::Runout,
    ];

    /// Its name in a document.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Pressures => "pressures",
            Self::Load => "load",
            Self::Steering => "steering",
            Self::Settle => "settle",
            Self::Heights => "heights",
            Self::Runout => "runout",
        }
    }

    /// What is done, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pressures => "Tyre pressures set, tyres cold",
            Self::Load => "Fuel, ballast and driver's weight as it will be driven",
            Self::Steering => "Steering wheel centred and held",
            Self::Settle => "Car settled on its springs",
            Self::Heights => "Ride heights measured",
            Self::Runout => "Rims looked at for runout",
        }
    }

    /// How it is done, in words.
    pub const fn how(self) -> &'static str {
        match self {
            Self::Pressures => "Type what the gauge says into Tyre pressures.",
            Self::Load => "Type what is in the car into Fuel and ballast.",
            Self::Steering => {
                "Turn it from lock to lock, count the turns, set it half-way and hold it with a stop or a strap. Front toe is shared between the wheels from there."
            }
            Self::Settle => {
                "Roll it back and forth by a wheel turn, bounce each end, let it come to rest. Brake off, nobody leaning on it. Do so again after every change."
            }
            Self::Heights => "Type all four: they tell later whether the car stood the same.",
            Self::Runout => {
                "Read each rim, roll half a wheel turn, read it again: the button is under each wheel. Or spin it past a fixed point: over 1 mm, find out why."
            }
        }
    }
}

/// A check and how it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckRow {
    /// Which check.
    pub check: Check,
    /// What was observed, for a check that asks for a value and has it.
    pub observed: String,
    /// Whether it asks for a value that is not there or cannot be read.
    pub lacks: bool,
    /// When it was marked.
    pub at: Option<Moment>,
}

impl CheckRow {
    /// Whether it is done. A value taken away later opens it again.
    pub const fn done(&self) -> bool {
        self.at.is_some() && !self.lacks
    }

    /// As a state.
    pub const fn state(&self) -> State {
        if self.done() {
            State::Done
        } else {
            State::Open
        }
    }
}

/// The checks of a round, in order. None where the job has no such round.
pub fn checks(job: &Job, index: usize) -> Option<Vec<CheckRow>> {
    let round = job.rounds.get(index)?;
    let row = |check: Check| {
        let observed = match check {
            Check::Pressures => Some(job.car.pressures.trim().to_owned()),
            Check::Load => Some(job.car.load.trim().to_owned()),
            Check::Heights => {
                let read = |corner: &Corner| {
                    job.car
                        .ride_heights
                        .get(corner.key())
                        .is_some_and(|entry| length_of(entry, Limit::RideHeight).is_ok())
                };
                let all = Corner::ALL.iter().all(read);
                Some(if all {
                    "all four".into()
                } else {
                    String::new()
                })
            }
            Check::Steering | Check::Settle | Check::Runout => None,
        };
        CheckRow {
            check,
            lacks: observed.as_ref().is_some_and(String::is_empty),
            observed: observed.unwrap_or_default(),
            at: round.checks.get(check.key()).map(|mark| mark.at),
        }
    };
    Some(Check::ALL.map(row).into())
}

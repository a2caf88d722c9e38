//! Which thread it is, by a caliper over the crests and a pitch gauge.

use super::{Thread, threads};
use crate::quantity::{Length, LengthUnit, write_made_length};

/// What a caliper and a pitch gauge may be off by on a thread in the hand: common practice, no source.
const CALIPER: Length = Length::mm(0.1);
/// The share by which a pitch held against a gauge or counted with a rule may be off: common practice, no source.
const GAUGE: f64 = 0.02;
/// Beyond so many times what the tools may be off by, it is another thread.
const FAR: f64 = 3.0;

/// A thread that a bolt may have.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// The thread.
    pub thread: Thread,
    /// How far the diameter is outside what its crests measure, in times what a caliper may be off by.
    pub diameter_off: f64,
    /// How far the pitch is off, in times what a gauge may be off by.
    pub pitch_off: f64,
    /// Why, in a sentence.
    pub why: String,
}

/// What a measured bolt is.
#[derive(Clone, Debug, PartialEq)]
pub struct Identity {
    /// The likely thread; none where nothing known here is near.
    pub likely: Option<Candidate>,
    /// The next nearest.
    pub runner_up: Option<Candidate>,
    /// Whether the runner-up is as near as the tools can tell.
    pub in_doubt: bool,
}

impl Candidate {
    fn of(thread: Thread, major: Length, pitch: Length) -> Self {
        let crests = thread.limits().bolt_major;
        let outside = (crests.least - major)
            .max(major - crests.most)
            .max(Length::ZERO);
        let diameter_off = outside / CALIPER;
        let pitch_off = (pitch - thread.pitch()).abs() / (thread.pitch() * GAUGE);
        Self {
            thread,
            diameter_off,
            pitch_off,
            why: String::new(),
        }
    }

    fn distance(&self) -> f64 {
        self.diameter_off.hypot(self.pitch_off)
    }

    /// Whether caliper and gauge allow it.
    pub fn fits(&self) -> bool {
        self.diameter_off <= FAR && self.pitch_off <= FAR
    }

    fn with_words(mut self, major: Length, pitch: Length) -> Self {
        let unit = self.thread.unit();
        let crests = self.thread.limits().bolt_major;
        let words = |length: Length| write_made_length(length, unit);
        let pitches = if self.thread.is_inch() {
            let per_inch = |pitch: Length| {
                write_made_length(
                    Length::mm(1.0) * (Length::inches(1.0) / pitch),
                    LengthUnit::Millimetre,
                )
                .replace(" mm", "")
            };
            format!(
                "it has {} threads per inch, yours {}",
                per_inch(self.thread.pitch()),
                per_inch(pitch)
            )
        } else {
            format!(
                "its pitch is {}, yours {}",
                words(self.thread.pitch()),
                words(pitch)
            )
        };
        self.why = format!(
            "Its crests measure {} to {}, yours {}; {pitches}.",
            words(crests.least),
            words(crests.most),
            words(major)
        );
        self
    }
}

/// The likely thread of a bolt by its measured major diameter and pitch, and the runner-up.
///
/// Major diameters are compared with the limits of the usual class (2A, 6g).
pub fn identify(major: Length, pitch: Length) -> Identity {
    let mut best: [Option<Candidate>; 2] = [None, None];
    for thread in threads() {
        let mut next = Some(Candidate::of(thread, major, pitch));
        for place in &mut best {
            let nearer = match (&next, &*place) {
                (Some(next), Some(here)) => next.distance() < here.distance(),
                (next, None) => next.is_some(),
                (None, _) => false,
            };
            if nearer {
                std::mem::swap(place, &mut next);
            }
        }
    }
    let [likely, runner_up] = best;
    let words = |candidate: Candidate| candidate.with_words(major, pitch);
    let in_doubt = runner_up.as_ref().is_some_and(Candidate::fits);
    Identity {
        likely: likely.filter(Candidate::fits).map(words),
        runner_up: runner_up.map(words),
        in_doubt,
    }
}

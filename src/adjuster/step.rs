//! The steps a hand can make, and how they are said.

use serde::{Deserialize, Serialize};

/// A step of a threaded adjuster.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Half a flat, a twelfth of a turn: a corner of the hex comes where a flat was.
    HalfFlat,
    /// One flat of a hex, a sixth of a turn.
    #[default]
    Flat,
    /// Half a turn, after which the eye of a rod end is in line with its bolt again.
    HalfTurn,
    /// A whole turn.
    Turn,
}

impl Step {
    /// Its share of a turn.
    pub const fn turns(self) -> f64 {
        match self {
            Self::HalfFlat => 1.0 / 12.0,
            Self::Flat => 1.0 / 6.0,
            Self::HalfTurn => 0.5,
            Self::Turn => 1.0,
        }
    }

    /// The next finer one.
    pub const fn finer(self) -> Option<Self> {
        match self {
            Self::HalfFlat => None,
            Self::Flat => Some(Self::HalfFlat),
            Self::HalfTurn => Some(Self::Flat),
            Self::Turn => Some(Self::HalfTurn),
        }
    }

    /// Its angle in degrees.
    pub const fn degrees(self) -> f64 {
        self.turns() * 360.0
    }
}

/// So many steps in words: `4 flats`, `1½ turns`, `2 turns`.
pub fn step_words(step: Step, count: u32) -> String {
    let plural = |count: u32, one: &str| {
        if count == 1 {
            format!("1 {one}")
        } else {
            format!("{count} {one}s")
        }
    };
    let halves = |count: u32, one: &str| match (count / 2, count % 2) {
        (0, 1) => format!("½ {one}"),
        (whole, 0) => plural(whole, one),
        (whole, _) => format!("{whole}½ {one}s"),
    };
    match step {
        Step::Flat => plural(count, "flat"),
        Step::Turn => plural(count, "turn"),
        Step::HalfFlat => halves(count, "flat"),
        Step::HalfTurn => halves(count, "turn"),
    }
}

//! The steps a hand can make, and how they are said.

use serde::{Deserialize, Serialize};

/// A step of a threaded adjuster.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Step {
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
            Self::Flat => 1.0 / 6.0,
            Self::HalfTurn => 0.5,
            Self::Turn => 1.0,
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
    match step {
        Step::Flat => plural(count, "flat"),
        Step::Turn => plural(count, "turn"),
        Step::HalfTurn => match (count / 2, count % 2) {
            (0, 1) => "½ turn".into(),
            (whole, 0) => plural(whole, "turn"),
            (whole, _) => format!("{whole}½ turns"),
        },
    }
}

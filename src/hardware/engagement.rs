//! How much thread must stay engaged.

use super::Thread;
use crate::quantity::Length;
use serde::{Deserialize, Serialize};

/// What an internal thread is cut in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// Steel.
    #[default]
    Steel,
    /// Aluminium alloy.
    Aluminium,
}

/// The engaged length an adjuster's thread needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Engagement {
    /// Below this it is not safe.
    pub least: Length,
    /// Below this it is less than a shop likes for a rod end.
    pub preferred: Length,
    /// The rule in words.
    pub rule: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The engaged length an adjuster on this thread needs in an insert of this material, by the shop rule: in steel one
/// diameter at least and one and a half preferred for a rod end, which also bends; in aluminium two diameters.
pub fn engagement(thread: Thread, insert: Material) -> Engagement {
    let d = thread.diameter();
    match insert {
        Material::Steel => Engagement {
            least: d,
            preferred: d * 1.5,
            rule: "steel insert: 1 diameter at least, 1.5 preferred for a rod end",
            source: "common practice, no source",
        },
        Material::Aluminium => Engagement {
            least: d * 2.0,
            preferred: d * 2.0,
            rule: "aluminium insert: 2 diameters at least",
            source: "US Army TM 5-3895-367-14&P, H-2",
        },
    }
}

//! The units a person may type or choose, each defined from exact roots.

use serde::{Deserialize, Serialize};

/// What a length is typed or shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub enum LengthUnit {
    /// Millimetre.
    #[default]
    #[serde(rename = "mm")]
    Millimetre,
    /// Inch of exactly 25.4 mm.
    #[serde(rename = "in")]
    Inch,
}

/// What an angle is typed or shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub enum AngleUnit {
    /// Decimal degrees.
    #[default]
    #[serde(rename = "deg")]
    Degree,
    /// Degrees and minutes; a bare number is minutes.
    #[serde(rename = "min")]
    Minute,
}

/// What a torque is typed or shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub enum TorqueUnit {
    /// Newton metre.
    #[default]
    #[serde(rename = "N·m")]
    NewtonMetre,
    /// Pound-force foot: 0.3048 m × 0.45359237 kg × 9.80665 m/s².
    #[serde(rename = "lbf·ft")]
    PoundFoot,
    /// Pound-force inch.
    #[serde(rename = "lbf·in")]
    PoundInch,
    /// Kilogram-force metre.
    #[serde(rename = "kgf·m")]
    KilogramForceMetre,
}

//! How a person wants numbers typed and shown. Kept on the device, never part of a job.

use crate::quantity::{AngleUnit, LengthUnit, TorqueUnit};
use serde::{Deserialize, Serialize};

/// What toe is typed and shown as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToeShown {
    /// As an angle.
    #[default]
    Angle,
    /// As a length at the rim.
    Rim,
}

/// Ink on paper, or paper on ink.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Theme {
    /// Dark ink on light paper, which stays readable in sunlight.
    #[default]
    Light,
    /// Light ink on dark paper.
    Dark,
}

/// How a person wants numbers typed and shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Preferences {
    /// Lengths.
    pub length: LengthUnit,
    /// Angles.
    pub angle: AngleUnit,
    /// Toe.
    pub toe: ToeShown,
    /// Torques.
    pub torque: TorqueUnit,
    /// Colours.
    pub theme: Theme,
}

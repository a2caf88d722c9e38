//! A torque wrench with an adapter or crowfoot on it.

use crate::quantity::{Angle, Length, Torque};
use std::fmt;

/// Why a setting cannot be given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AdapterError {
    /// The wrench has no length.
    NoLength,
    /// The extension is as long as the wrench, or longer.
    LongerThanWrench,
}

impl fmt::Display for AdapterError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoLength => "The wrench's length, from its square to the middle of the hand, is more than nothing.",
            Self::LongerThanWrench => "The extension is as long as the wrench: a torque wrench cannot be corrected for that. Use a longer wrench or a shorter extension.",
        })
    }
}

/// What to set a torque wrench to, so that the fastener gets a torque through an extension: `T L / (L + A cos a)`, with L from the wrench's square
/// to the middle of the hand, A from the square to the fastener and a the angle between the two; square to the wrench there is no correction,
/// and an extension that points back asks for more (US Army TM 9-254, figures 45 and 46).
///
/// # Errors
/// A wrench without length, or an extension that is as long.
pub fn wrench_setting(
    torque: Torque,
    wrench: Length,
    extension: Length,
    angle: Angle,
) -> Result<Torque, AdapterError> {
    if wrench <= Length::ZERO {
        return Err(AdapterError::NoLength);
    }
    if extension.abs() >= wrench {
        return Err(AdapterError::LongerThanWrench);
    }
    Ok(torque * (wrench / (wrench + extension * angle.cos())))
}

//! Read: a phone's two positions, kept as entries and read back.

use super::angle_of;
use crate::document::{Entry, PhonePair, PhoneTilt, Unit};
use crate::quantity::{Angle, Fixed, Limit};
use crate::reading::{Reversal, Tilt};

/// Two positions of a phone as they are kept, to a ten-thousandth of a degree.
pub fn phone_pair(a: &Tilt, b: &Tilt, turned: Angle) -> PhonePair {
    let entry = |sign: &str, angle: Angle| Entry {
        text: format!("{sign}{}", Fixed(angle.as_degrees(), 4)),
        unit: Unit::Degree,
        sense: None,
    };
    let tilt = |tilt: &Tilt| PhoneTilt {
        // A sign that is written speaks for itself.
        mean: entry(if tilt.mean < Angle::ZERO { "" } else { "+" }, tilt.mean),
        spread: entry("", tilt.spread),
        // A step too fine to be written is kept as the finest that is: none would mean a sensor that never changed.
        step: entry("", tilt.step.max(Angle::degrees(1e-4))),
        looks: tilt.looks,
    };
    PhonePair {
        a: tilt(a),
        b: tilt(b),
        turned: entry("", turned),
    }
}

/// What a pair that was kept comes to.
///
/// # Errors
/// What cannot be read, or is no reading, in words.
pub fn reversal_of(pair: &PhonePair) -> Result<Reversal, String> {
    let tilt = |tilt: &PhoneTilt| {
        Ok::<_, String>(Tilt {
            mean: angle_of(&tilt.mean, Limit::PhoneTilt)?,
            spread: angle_of(&tilt.spread, Limit::PhoneStep)?,
            step: angle_of(&tilt.step, Limit::PhoneStep)?,
            looks: tilt.looks,
        })
    };
    let turned = angle_of(&pair.turned, Limit::PhoneTurn)?;
    Reversal::of(&tilt(&pair.a)?, &tilt(&pair.b)?, turned).map_err(|error| error.to_string())
}

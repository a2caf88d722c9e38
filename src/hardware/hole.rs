//! Clearance holes: what a measured hole means for the bolt in it, at a suspension pivot.

use super::Thread;
use crate::quantity::{Angle, Length};
use std::fmt;

/// How a hole fits its bolt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd)]
pub enum Fit {
    /// The hole is smaller than the bolt.
    Interference,
    /// Close series (fine in ISO 273).
    Close,
    /// Normal series (medium in ISO 273).
    Normal,
    /// Loose series (coarse in ISO 273).
    Loose,
    /// Larger than the loose series.
    TooLoose,
}

/// A hole of a series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleSeries {
    /// Its nominal diameter, which is also its smallest.
    pub nominal: Length,
    /// Its largest: H12 for the close, H13 for the normal, H14 for the loose series (ISO 273, ISO 286-1).
    pub largest: Length,
}

/// An arm that a toe link usually has, to say what a slip does: common practice, no source.
pub const USUAL_ARM: Length = Length::mm(300.0);

/// What a measured hole means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleFit {
    /// The fit, by the larger of two diameters, or across a slot.
    pub fit: Fit,
    /// How far the bolt can move in it: the larger diameter less the bolt.
    pub play: Length,
    /// By how much the two diameters differ.
    pub oval: Length,
    /// Whether they differ by more than wear allows, though no slot was meant.
    pub worn: bool,
}

/// ASME B18.2.8: size in sixteenths; close, normal, loose hole in sixty-fourths of an inch.
const INCH: [(u8, [u8; 3]); 11] = [
    (4, [17, 18, 19]),
    (5, [21, 22, 23]),
    (6, [25, 26, 27]),
    (7, [29, 30, 31]),
    (8, [34, 36, 39]),
    (10, [42, 44, 47]),
    (12, [50, 52, 58]),
    (14, [58, 60, 66]),
    (16, [66, 70, 74]),
    (18, [74, 78, 84]),
    (20, [82, 86, 92]),
];

/// ISO 273: size in millimetres; fine, medium, coarse hole in tenths of a millimetre.
const METRIC: [(u8, [u16; 3]); 13] = [
    (5, [53, 55, 58]),
    (6, [64, 66, 70]),
    (8, [84, 90, 100]),
    (10, [105, 110, 120]),
    (12, [130, 135, 145]),
    (14, [150, 155, 165]),
    (16, [170, 175, 185]),
    (18, [190, 200, 210]),
    (20, [210, 220, 240]),
    (22, [230, 240, 260]),
    (24, [250, 260, 280]),
    (27, [280, 300, 320]),
    (30, [310, 330, 350]),
];

/// ISO 286-1, in micrometres: up to which diameter in millimetres, IT12, IT13, IT14.
const TOLERANCE: [(f64, [f64; 3]); 5] = [
    (6.0, [120.0, 180.0, 300.0]),
    (10.0, [150.0, 220.0, 360.0]),
    (18.0, [180.0, 270.0, 430.0]),
    (30.0, [210.0, 330.0, 520.0]),
    (50.0, [250.0, 390.0, 620.0]),
];

/// More than a round hole's two diameters differ when it is drilled: common practice, no source.
const OVAL: Length = Length::mm(0.2);

/// The hole of a series for a thread's size (ISO 273, ASME B18.2.8); none where the standard leaves the size out, and for the fits that are no
/// series.
pub fn clearance_hole(thread: Thread, fit: Fit) -> Option<HoleSeries> {
    let place = match fit {
        Fit::Close => 0,
        Fit::Normal => 1,
        Fit::Loose => 2,
        Fit::Interference | Fit::TooLoose => return None,
    };
    let size = thread.size();
    let nominal = if thread.is_inch() {
        let row = INCH.iter().find(|row| row.0 == size)?;
        Length::inches(f64::from(*row.1.get(place)?) / 64.0)
    } else {
        let row = METRIC.iter().find(|row| row.0 == size)?;
        Length::mm(f64::from(*row.1.get(place)?) / 10.0)
    };
    let tolerance = TOLERANCE
        .iter()
        .find(|row| nominal.as_mm() <= row.0)
        .and_then(|row| row.1.get(place))?;
    Some(HoleSeries {
        nominal,
        largest: nominal + Length::mm(tolerance / 1000.0),
    })
}

/// Why a hole says nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HoleError {
    /// The standard has no clearance hole for this size.
    NoSeries,
    /// The hole is less than half the bolt or more than twice it: a slip of the finger or the wrong unit.
    Unlikely,
}

impl fmt::Display for HoleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoSeries => "The standards have no clearance hole for this size: try the bolt itself in the hole.",
            Self::Unlikely => "This is less than half the bolt or more than twice it: check the number and its unit.",
        })
    }
}

/// What a hole of these two diameters, measured square to each other, means for a bolt. The bolt is taken at its nominal diameter. In a slot
/// only the width locates; its length is for adjusting.
///
/// # Errors
/// A size that the standards leave out, or a hole far from the bolt.
pub fn judge_hole(thread: Thread, hole: [Length; 2], slot: bool) -> Result<HoleFit, HoleError> {
    let bolt = thread.diameter();
    let [a, b] = hole;
    let (narrow, wide) = (a.min(b), a.max(b));
    let longest = if slot { narrow } else { wide };
    if narrow < bolt * 0.5 || longest > bolt * 2.0 {
        return Err(HoleError::Unlikely);
    }
    let across = if slot { narrow } else { wide };
    let within = |fit: Fit| {
        clearance_hole(thread, fit)
            .map(|hole| across <= hole.largest + Length::metres(1e-9))
            .ok_or(HoleError::NoSeries)
    };
    let fit = if narrow < bolt - Length::metres(1e-9) {
        Fit::Interference
    } else if within(Fit::Close)? {
        Fit::Close
    } else if within(Fit::Normal)? {
        Fit::Normal
    } else if within(Fit::Loose)? {
        Fit::Loose
    } else {
        Fit::TooLoose
    };
    let oval = wide - narrow;
    Ok(HoleFit {
        fit,
        play: (across - bolt).max(Length::ZERO),
        oval,
        worn: !slot && oval > OVAL,
    })
}

impl Fit {
    /// In a word or two.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Interference => "smaller than the bolt",
            Self::Close => "close",
            Self::Normal => "normal",
            Self::Loose => "loose",
            Self::TooLoose => "too loose to locate",
        }
    }
}

impl HoleFit {
    /// Whether the bolt may be fitted so.
    pub const fn is_good(&self) -> bool {
        !self.worn && matches!(self.fit, Fit::Close | Fit::Normal)
    }

    /// What it means at a suspension pivot: common practice, no source.
    pub const fn meaning(&self) -> &'static str {
        match self.fit {
            _ if self.worn => {
                "The hole is worn oval: the bolt has moved in it, and will again. Toe and camber will not stay."
            }
            Fit::Interference => "The bolt does not go through.",
            Fit::Close => "The bolt locates the joint to within this play.",
            Fit::Normal => {
                "The bolt goes in freely; the clamp load has to hold the joint where it is."
            }
            Fit::Loose => {
                "Only the clamp load holds the joint: it can slip under a kerb or a brake, and toe and camber with it."
            }
            Fit::TooLoose => "The hole does not locate the bolt: the joint moves under load.",
        }
    }

    /// By how much a wheel turns when the joint slips by all of the play, square to an arm of this length: the play over the arm.
    pub fn slip(&self, arm: Length) -> Angle {
        Angle::radians(self.play / arm)
    }

    /// What to do: common practice, no source.
    pub const fn advice(&self) -> &'static str {
        match self.fit {
            _ if self.worn => "Do not fit it: sleeve or replace the part.",
            Fit::Interference => {
                "Clean off paint or plating and try the bolt by hand. Do not force it, and ask before reaming."
            }
            Fit::Close => "Fit it.",
            Fit::Normal => {
                "Fit it, push it to one side while tightening, and tighten to the full torque."
            }
            Fit::Loose => {
                "Not for a pivot that locates a wheel. Ask the kit's maker for a sleeve or the right bolt."
            }
            Fit::TooLoose => "Do not fit it: wrong bolt or wrong hole. Ask the kit's maker.",
        }
    }
}

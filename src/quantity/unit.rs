//! The units a person may type or choose, each defined from exact roots.

use super::{Angle, Force, Length, Stress, Torque};
use serde::{Deserialize, Serialize};

/// Standard gravity, exact, in m/s² (NIST SP 811, Appendix B.8).
const GRAVITY: f64 = 9.806_65;
/// The pound, exact, in kilograms (NIST SP 811, Appendix B.8).
const POUND: f64 = 0.453_592_37;
/// The inch, exact, in metres (NIST SP 811, Appendix B.8).
const INCH: f64 = 0.0254;

/// What a length is typed or shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum LengthUnit {
    /// Millimetre.
    #[default]
    #[serde(rename = "mm")]
    Millimetre,
    /// Inch of exactly 25.4 mm.
    #[serde(rename = "in")]
    Inch,
}

impl LengthUnit {
    /// Its symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }

    /// So many of this unit.
    pub const fn of(self, count: f64) -> Length {
        match self {
            Self::Millimetre => Length::mm(count),
            Self::Inch => Length::inches(count),
        }
    }

    /// How many of this unit a length is.
    pub const fn count(self, length: Length) -> f64 {
        match self {
            Self::Millimetre => length.as_mm(),
            Self::Inch => length.as_inches(),
        }
    }
}

/// What an angle is typed or shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum AngleUnit {
    /// Decimal degrees.
    #[default]
    #[serde(rename = "deg")]
    Degree,
    /// Degrees and minutes; a bare number is minutes.
    #[serde(rename = "min")]
    Minute,
}

/// What toe is typed in: an angle, or how far the rim's front edge is from its rear edge across the car.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToeUnit {
    /// As an angle.
    Angle(AngleUnit),
    /// As a length at the rim, of one wheel.
    Rim(LengthUnit),
}

/// What a torque is typed or shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum TorqueUnit {
    /// Newton metre.
    #[default]
    #[serde(rename = "N·m")]
    NewtonMetre,
    /// Pound-force foot.
    #[serde(rename = "lbf·ft")]
    PoundFoot,
    /// Pound-force inch.
    #[serde(rename = "lbf·in")]
    PoundInch,
    /// Kilogram-force metre.
    #[serde(rename = "kgf·m")]
    KilogramForceMetre,
}

impl TorqueUnit {
    /// Its symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N·m",
            Self::PoundFoot => "lbf·ft",
            Self::PoundInch => "lbf·in",
            Self::KilogramForceMetre => "kgf·m",
        }
    }

    /// One of it in newton metres.
    const fn factor(self) -> f64 {
        match self {
            Self::NewtonMetre => 1.0,
            Self::PoundFoot => 12.0 * INCH * POUND * GRAVITY,
            Self::PoundInch => INCH * POUND * GRAVITY,
            Self::KilogramForceMetre => GRAVITY,
        }
    }

    /// So many of this unit.
    pub const fn of(self, count: f64) -> Torque {
        Torque::newton_metres(count * self.factor())
    }

    /// How many of this unit a torque is.
    pub const fn count(self, torque: Torque) -> f64 {
        torque.as_newton_metres() / self.factor()
    }

    /// The unit in which forces are told beside it.
    pub const fn forces(self) -> ForceUnit {
        match self {
            Self::NewtonMetre | Self::KilogramForceMetre => ForceUnit::Kilonewton,
            Self::PoundFoot | Self::PoundInch => ForceUnit::PoundForce,
        }
    }
}

/// What a force is shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ForceUnit {
    /// A thousand newtons.
    Kilonewton,
    /// Pound-force: a pound under standard gravity.
    PoundForce,
}

impl ForceUnit {
    /// Its symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Kilonewton => "kN",
            Self::PoundForce => "lbf",
        }
    }

    /// One of it in newtons.
    const fn factor(self) -> f64 {
        match self {
            Self::Kilonewton => 1000.0,
            Self::PoundForce => POUND * GRAVITY,
        }
    }

    /// So many of this unit.
    pub const fn of(self, count: f64) -> Force {
        Force::newtons(count * self.factor())
    }

    /// How many of this unit a force is.
    pub const fn count(self, force: Force) -> f64 {
        force.as_newtons() / self.factor()
    }
}

/// What a stress or strength is typed or shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StressUnit {
    /// Megapascal: a newton on a square millimetre.
    Megapascal,
    /// A thousand pound-force on a square inch.
    Ksi,
    /// Pound-force on a square inch.
    Psi,
}

impl StressUnit {
    /// Its symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Megapascal => "MPa",
            Self::Ksi => "ksi",
            Self::Psi => "psi",
        }
    }

    /// One of it in pascals.
    const fn factor(self) -> f64 {
        match self {
            Self::Megapascal => 1e6,
            Self::Ksi => 1000.0 * POUND * GRAVITY / (INCH * INCH),
            Self::Psi => POUND * GRAVITY / (INCH * INCH),
        }
    }

    /// So many of this unit.
    pub const fn of(self, count: f64) -> Stress {
        Stress::pascals(count * self.factor())
    }

    /// How many of this unit a stress is.
    pub const fn count(self, stress: Stress) -> f64 {
        stress.as_pascals() / self.factor()
    }
}

impl AngleUnit {
    /// So many of this unit.
    pub const fn of(self, count: f64) -> Angle {
        match self {
            Self::Degree => Angle::degrees(count),
            Self::Minute => Angle::minutes(count),
        }
    }
}

//! What a value on a car can be: one table behind the checks, the words of the errors and the test generators.

use super::write::short;
use super::{Angle, Length, LengthUnit, ReadError};

/// A limited value. The limits are common practice, no source: wide enough for any car, narrow enough to catch a wrong unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Bare thread between jam nut and shoulder.
    ThreadShowing,
    /// Diameter of a bolt hole.
    HoleDiameter,
    /// Setting of a slot or a shim stack.
    SlotSetting,
    /// Across the rim, between the two points measured to.
    RimDiameter,
    /// Between the two tread marks of one tyre.
    TyreDiameter,
    /// Axle to axle.
    Wheelbase,
    /// Hub face to hub face.
    Track,
    /// Between two of the car's own points.
    PointDistance,
    /// Ground or hub to arch.
    RideHeight,
    /// String to hub face or rim.
    StringDistance,
    /// String to string.
    StringSpacing,
    /// Between the places where the strings' spacing is measured.
    SpacingApart,
    /// Tread to tread across the car.
    TreadDistance,
    /// Plumb line to rim.
    PlumbOffset,
    /// Lever arm of an adjuster.
    LeverArm,
    /// Smallest division of a rule or tape.
    RuleDivision,
    /// Toe of one wheel.
    Toe,
    /// Camber.
    Camber,
    /// Cross-slope of the floor.
    FloorSlope,
    /// A phone's edge off the vertical or the horizontal.
    PhoneTilt,
    /// Spread or step of a phone's tilt.
    PhoneStep,
    /// Between the ways a phone's screen looked.
    PhoneTurn,
    /// Steer of a wheel in a swing.
    Steer,
    /// Camber of a steered wheel.
    SteeredCamber,
    /// Setting of a cam from its middle.
    CamSetting,
    /// Smallest division of a gauge or rack.
    GaugeDivision,
    /// Length of a bolt under its head.
    BoltLength,
    /// Diameter over the crests of a thread.
    Crests,
    /// Pitch of a thread.
    Pitch,
    /// Square to hand of a torque wrench.
    Wrench,
    /// Square to fastener of an extension.
    Extension,
    /// Between a torque wrench and its extension.
    ExtensionAngle,
    /// Of a wheel's centre from its drawn height, one way.
    WheelTravel,
    /// Of a rack from straight ahead, one way.
    RackTravel,
    /// Of a half-shaft from its drawn length, one way.
    Plunge,
    /// Of a rod end on its ball.
    Lean,
}

/// The span of a limited value, in millimetres or degrees.
struct Span {
    name: &'static str,
    least: f64,
    most: f64,
    angle: bool,
}

impl Limit {
    const fn span(self) -> Span {
        let (name, least, most, angle) = match self {
            Self::ThreadShowing => ("Thread showing", 0.0, 150.0, false),
            Self::HoleDiameter => ("The hole", 1.0, 100.0, false),
            Self::SlotSetting => ("The setting", 0.0, 60.0, false),
            Self::RimDiameter => ("The distance across the rim", 200.0, 800.0, false),
            Self::TyreDiameter => (
                "The distance between the two marks of a tyre",
                300.0,
                1200.0,
                false,
            ),
            Self::Wheelbase => ("The wheelbase", 1200.0, 5000.0, false),
            Self::Track => ("The track", 700.0, 2300.0, false),
            Self::PointDistance => ("The distance between two points", 10.0, 6000.0, false),
            Self::RideHeight => ("The ride height", 20.0, 1200.0, false),
            Self::StringDistance => ("The distance from the string", 0.0, 1000.0, false),
            Self::StringSpacing => ("The distance from string to string", 900.0, 3500.0, false),
            Self::SpacingApart => ("The distance between the two places", 1000.0, 9000.0, false),
            Self::TreadDistance => ("The distance between the treads", 700.0, 2500.0, false),
            Self::PlumbOffset => ("The distance from the plumb line", 0.0, 500.0, false),
            Self::LeverArm => ("The lever arm", 20.0, 5000.0, false),
            Self::RuleDivision => ("The smallest division", 0.01, 5.0, false),
            Self::Toe => ("Toe of one wheel", -6.0, 6.0, true),
            Self::Camber => ("Camber", -12.0, 12.0, true),
            Self::FloorSlope => ("The floor's cross-slope", -5.0, 5.0, true),
            Self::PhoneTilt => ("The phone's tilt", -45.0, 45.0, true),
            Self::PhoneStep => ("The phone's spread or step", 0.0, 10.0, true),
            Self::PhoneTurn => ("The phone's turn", 0.0, 180.0, true),
            Self::Steer => ("The steer each way", 5.0, 45.0, true),
            Self::SteeredCamber => ("Camber of the steered wheel", -25.0, 25.0, true),
            Self::CamSetting => ("The cam's setting", -90.0, 90.0, true),
            Self::GaugeDivision => ("The smallest division", 0.001, 1.0, true),
            Self::BoltLength => ("The bolt's length", 5.0, 500.0, false),
            Self::Crests => ("The diameter over the crests", 3.0, 60.0, false),
            Self::Pitch => ("The pitch", 0.25, 6.0, false),
            Self::Wrench => ("The wrench's length", 100.0, 2000.0, false),
            Self::Extension => ("The extension's length", 0.0, 1000.0, false),
            Self::ExtensionAngle => ("The extension's angle", 0.0, 180.0, true),
            Self::WheelTravel => ("The wheel's travel", 1.0, 250.0, false),
            Self::RackTravel => ("The rack's travel", 1.0, 120.0, false),
            Self::Plunge => ("The half-shaft's plunge", 0.5, 100.0, false),
            Self::Lean => ("The lean of a rod end", 0.5, 45.0, true),
        };
        Span {
            name,
            least,
            most,
            angle,
        }
    }

    /// A length within the limit.
    ///
    /// # Errors
    /// The value's name and its limits in the unit it was typed in.
    pub fn hold_length(self, length: Length, unit: LengthUnit) -> Result<Length, ReadError> {
        let words = |count: f64| format!("{} {}", short(count), unit.symbol());
        self.span()
            .hold(length.as_mm(), |mm| unit.count(Length::mm(mm)), words)
            .map(|()| length)
    }

    /// An angle within the limit.
    ///
    /// # Errors
    /// The value's name and its limits in degrees.
    pub fn hold_angle(self, angle: Angle) -> Result<Angle, ReadError> {
        self.span()
            .hold(
                angle.as_degrees(),
                |degrees| degrees,
                |degrees| format!("{}°", short(degrees)),
            )
            .map(|()| angle)
    }

    /// Whether it limits an angle, not a length.
    pub const fn is_angle(self) -> bool {
        self.span().angle
    }

    /// The least and the most, in millimetres or degrees.
    pub const fn ends(self) -> (f64, f64) {
        let span = self.span();
        (span.least, span.most)
    }
}

impl Span {
    /// `count` turns millimetres or degrees into the person's unit, and `words` says so many of it.
    fn hold(
        &self,
        value: f64,
        count: impl Fn(f64) -> f64,
        words: impl Fn(f64) -> String,
    ) -> Result<(), ReadError> {
        // A millionth of slack lets the limits themselves through after a change of unit.
        let slack = 1e-6;
        if value >= self.least - slack && value <= self.most + slack {
            return Ok(());
        }
        // Rounded inwards, so that what the words name is let through when it is typed.
        let least = (count(self.least) * 1000.0 - slack).ceil() / 1000.0;
        let most = (count(self.most) * 1000.0 + slack).floor() / 1000.0;
        Err(ReadError::OutOfRange {
            name: self.name,
            least: words(least),
            most: words(most),
        })
    }
}

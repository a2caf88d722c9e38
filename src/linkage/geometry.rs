//! A corner's hardpoints as they are drawn, and what can be wrong with them.

use super::Vector;
use crate::quantity::{Angle, Length, LengthUnit, Limit, ReadError, write_length};
use serde::Serialize;
use std::fmt;

/// Which side of the car.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left, where y is positive.
    Left,
    /// Right.
    Right,
}

impl Side {
    /// The way outwards along y.
    pub const fn outwards(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }
}

/// A wheel as drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Wheel {
    /// Its centre.
    pub centre: Vector,
    /// Its radius to the ground.
    pub radius: Length,
    /// Toe as drawn, toe-in positive.
    pub toe: Angle,
    /// Camber as drawn, negative where the top leans in.
    pub camber: Angle,
}

/// A rigid link between the car and the wheel carrier. An A-arm is two that share their joint at the carrier.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Link {
    /// Its name.
    pub name: String,
    /// Its joint at the car.
    pub car: Vector,
    /// Its joint at the carrier, as drawn.
    pub carrier: Vector,
}

/// A strut: a line of the carrier that slides through a point of the car.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Strut {
    /// Its top, at the car.
    pub top: Vector,
    /// Another point of its axis, on the carrier, as drawn.
    pub on_axis: Vector,
}

/// An end of the steering axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum AxisEnd {
    /// A point of the carrier, as drawn.
    Carrier(Vector),
    /// A point of the car, such as a strut's top.
    Car(Vector),
}

impl Default for AxisEnd {
    fn default() -> Self {
        Self::Carrier(Vector::default())
    }
}

impl AxisEnd {
    /// Where it is drawn.
    const fn drawn(self) -> Vector {
        match self {
            Self::Carrier(point) | Self::Car(point) => point,
        }
    }
}

/// The line about which the wheel steers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SteeringAxis {
    /// Its lower end.
    pub lower: AxisEnd,
    /// Its upper end.
    pub upper: AxisEnd,
}

/// The hardpoints of a corner at its drawn ride height.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {
    /// Which side it is on.
    pub side: Side,
    /// Its wheel.
    pub wheel: Wheel,
    /// Its links: five, or three beside a strut.
    pub links: Vec<Link>,
    /// Its strut, if it has one.
    pub strut: Option<Strut>,
    /// Its steering axis, if it has a real one. A five-link corner has none.
    pub steering_axis: Option<SteeringAxis>,
}

/// What is wrong with hardpoints.
#[derive(Clone, Debug, PartialEq)]
pub enum GeometryError {
    /// A coordinate is not a number.
    NotANumber {
        /// Of which part.
        part: String,
    },
    /// There are not five constraints: a link is one, a strut two.
    Count {
        /// How many there are.
        constraints: usize,
    },
    /// A link's two ends are one point.
    NoLength {
        /// Its name.
        link: String,
    },
    /// The strut's two points are one.
    NoStrut,
    /// The strut's top is not above the other point of its axis.
    StrutUpsideDown,
    /// Two links join the same two points.
    Twice {
        /// The one.
        first: String,
        /// The other.
        second: String,
    },
    /// The wheel is on the other side of the car than said: y is positive to the left.
    OtherSide,
    /// The wheel stands so close to the middle, or so far, that a unit is wrong.
    Track {
        /// From the middle of the car to the wheel's centre.
        half: Length,
    },
    /// The wheel's radius is no wheel's.
    Radius,
    /// The wheel's toe or camber is no wheel's.
    Angle(ReadError),
    /// The steering axis's two ends are one point.
    NoAxis,
    /// The steering axis's upper end is not above its lower one.
    UpsideDown,
    /// A joint at the carrier is so far from the wheel's centre that a unit or a digit is wrong.
    Far {
        /// The part it belongs to.
        part: String,
        /// From the wheel's centre to it.
        distance: Length,
    },
    /// A link is so long that a unit or a digit is wrong.
    Long {
        /// Its name.
        link: String,
        /// From joint to joint.
        length: Length,
    },
}

impl fmt::Display for GeometryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber { part } => write!(f, "{part}: a coordinate is not a number."),
            Self::Count { constraints } => write!(
                f,
                "A wheel carrier is held by five links, or by a strut and three: here are {constraints} of five."
            ),
            Self::NoLength { link } => write!(f, "{link}: both its ends are one point."),
            Self::NoStrut => {
                f.write_str("The strut's top and the other point of its axis are one point.")
            }
            Self::StrutUpsideDown => f.write_str(
                "The strut's top is not above the other point of its axis: z is positive upwards.",
            ),
            Self::Twice { first, second } => write!(
                f,
                "{first} and {second} join the same two points: one of them is listed twice."
            ),
            Self::OtherSide => f.write_str(
                "The wheel's centre is on the other side of the car: y is positive to the left.",
            ),
            Self::Track { half } => write!(
                f,
                "The wheel's centre is {} from the middle of the car: are these millimetres? Write the unit with every coordinate.",
                write_length(*half, LengthUnit::Millimetre)
            ),
            Self::Radius => f.write_str("The wheel's radius lies between 150 and 600 mm."),
            Self::Angle(error) => write!(f, "Wheel as drawn: {error}"),
            Self::NoAxis => f.write_str("The steering axis's two ends are one point."),
            Self::UpsideDown => f.write_str(
                "The steering axis's upper end is not above its lower one: z is positive upwards.",
            ),
            Self::Far { part, distance } => write!(
                f,
                "{part}: its point at the carrier is {} from the wheel's centre: is a unit or a digit wrong?",
                write_length(*distance, LengthUnit::Millimetre)
            ),
            Self::Long { link, length } => write!(
                f,
                "{link} is {} from joint to joint: is a unit or a digit wrong?",
                write_length(*length, LengthUnit::Millimetre)
            ),
        }
    }
}

/// Points nearer than this are one point.
const SAME: f64 = 1e-6;
/// No carrier reaches further from its wheel's centre, and no link is longer, in metres: common practice, no source.
const CARRIER: f64 = 0.7;
const LONGEST: f64 = 2.0;

impl Geometry {
    /// What is wrong with it; nothing where it can be solved.
    pub fn problems(&self) -> Vec<GeometryError> {
        let mut problems = Vec::new();
        let mut finite = |part: &str, point: Vector| {
            if !point.is_finite() {
                problems.push(GeometryError::NotANumber {
                    part: part.to_owned(),
                });
            }
        };
        finite("wheel", self.wheel.centre);
        for link in &self.links {
            finite(&link.name, link.car);
            finite(&link.name, link.carrier);
        }
        if let Some(strut) = &self.strut {
            finite("strut", strut.top);
            finite("strut", strut.on_axis);
        }
        if let Some(axis) = &self.steering_axis {
            finite("steering axis", axis.lower.drawn());
            finite("steering axis", axis.upper.drawn());
        }
        if !problems.is_empty() {
            return problems;
        }
        let constraints = self.links.len() + if self.strut.is_some() { 2 } else { 0 };
        if constraints != 5 {
            problems.push(GeometryError::Count { constraints });
        }
        let apart = |a: Vector, b: Vector| (a - b).length() > SAME;
        for (index, link) in self.links.iter().enumerate() {
            if !apart(link.car, link.carrier) {
                problems.push(GeometryError::NoLength {
                    link: link.name.clone(),
                });
            }
            for other in self.links.iter().skip(index + 1) {
                if !apart(link.car, other.car) && !apart(link.carrier, other.carrier) {
                    problems.push(GeometryError::Twice {
                        first: link.name.clone(),
                        second: other.name.clone(),
                    });
                }
            }
        }
        if let Some(Strut { top, on_axis }) = self.strut {
            if !apart(top, on_axis) {
                problems.push(GeometryError::NoStrut);
            } else if top.z <= on_axis.z {
                problems.push(GeometryError::StrutUpsideDown);
            }
        }
        let half = self.wheel.centre.y * self.side.outwards();
        if half < 0.0 {
            problems.push(GeometryError::OtherSide);
        } else if !(0.3..=1.2).contains(&half) {
            problems.push(GeometryError::Track {
                half: Length::metres(half),
            });
        }
        if !(0.15..=0.6).contains(&self.wheel.radius.as_metres()) {
            problems.push(GeometryError::Radius);
        }
        for (limit, angle) in [
            (Limit::Toe, self.wheel.toe),
            (Limit::Camber, self.wheel.camber),
        ] {
            if let Err(error) = limit.hold_angle(angle) {
                problems.push(GeometryError::Angle(error));
            }
        }
        if let Some(SteeringAxis { lower, upper }) = self.steering_axis {
            let (lower, upper) = (lower.drawn(), upper.drawn());
            if !apart(lower, upper) {
                problems.push(GeometryError::NoAxis);
            } else if upper.z <= lower.z {
                problems.push(GeometryError::UpsideDown);
            }
        }
        let strut = self.strut.map(|strut| ("Strut", strut.on_axis));
        let joints = self.links.iter().map(|link| (&*link.name, link.carrier));
        for (part, joint) in joints.chain(strut) {
            let distance = (joint - self.wheel.centre).length();
            if distance > CARRIER {
                problems.push(GeometryError::Far {
                    part: part.to_owned(),
                    distance: Length::metres(distance),
                });
            }
        }
        for link in &self.links {
            let length = (link.carrier - link.car).length();
            if length > LONGEST {
                problems.push(GeometryError::Long {
                    link: link.name.clone(),
                    length: Length::metres(length),
                });
            }
        }
        problems
    }
}

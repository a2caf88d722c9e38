//! Caster and kingpin inclination from a steer swing.

use super::{Estimate, ReadingError};
use crate::quantity::Angle;

/// The kingpin inclination taken where it was not read, and the half-width within which it lies: it only matters to second order. Common
/// practice, no source.
const KINGPIN: (Angle, Angle) = (Angle::degrees(10.0), Angle::degrees(10.0));

/// The least steer of which a swing is worth reading.
const LEAST: Angle = Angle::degrees(5.0);

/// By what the change of camber between a steer to either side is multiplied to give caster, for small angles: `1 / (2 sin δ)`. The procedure is
/// that of NAVEDTRA 14273 (20° swing); the exact angle is [`Swing::axis`]'s.
pub fn caster_multiplier(steer: Angle) -> f64 {
    1.0 / (2.0 * steer.sin())
}

/// Camber of one front wheel, steered by the same angle to either side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// By how much the wheel is steered each way, in the ground's plane.
    pub steer: Estimate,
    /// Camber with the wheel's front turned outward, as toe-out is.
    pub outward: Estimate,
    /// Camber with the wheel's front turned inward.
    pub inward: Estimate,
    /// Camber straight ahead, if it was read.
    pub straight: Option<Estimate>,
}

/// What a swing comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteeringAxis {
    /// Caster, positive where the axis' top leans back (ISO 8855:2011, 7.2.2).
    pub caster: Estimate,
    /// Kingpin inclination, positive where the axis' top leans in (ISO 8855:2011, 7.2.4); none where camber was not read straight ahead.
    pub kingpin: Option<Estimate>,
}

/// A direction in a left wheel's axes: forward, outward to the left, up.
type Direction = [f64; 3];

fn minus([a, b, c]: Direction, [d, e, f]: Direction) -> Direction {
    [a - d, b - e, c - f]
}

/// The spin axis of a wheel of that camber, steered outward by so much: camber tips its outer end down.
fn spin(camber: Angle, outward: Angle) -> Direction {
    let level = camber.cos();
    [-outward.sin() * level, outward.cos() * level, -camber.sin()]
}

/// The four numbers of a swing.
#[derive(Clone, Copy)]
struct Numbers {
    steer: Angle,
    outward: Angle,
    inward: Angle,
    /// Camber straight ahead, or else kingpin inclination.
    further: Angle,
}

impl Swing {
    /// Caster, and kingpin inclination where camber was read straight ahead too.
    ///
    /// Steering turns the wheel about the steering axis `k`, so the spin axis `a` runs round a cone and `k · a` stays: `k` is square to every
    /// difference of two of its places. Straight ahead and steered either way give two differences, and `k` is their vector product, with
    /// no small angle. Without straight ahead the one difference from side to side gives
    /// `tan caster = (sin γ_out − sin γ_in + tan kingpin · cos δ (cos γ_out − cos γ_in)) / (sin δ (cos γ_out + cos γ_in))`,
    /// in which the kingpin's inclination hardly matters: it is taken as 10° ± 10°. For small angles both are [`caster_multiplier`]'s.
    ///
    /// The uncertainty follows from that of each number, by differences (JCGM 100:2008, 5.1.3, note 2). The wheel is taken to turn about one axis:
    /// what the car rises and rolls when it is steered is not in it.
    ///
    /// # Errors
    /// A steer below 5°, or cambers that no such axis gives.
    pub fn axis(&self) -> Result<SteeringAxis, ReadingError> {
        if self.steer.value < LEAST {
            return Err(ReadingError::NoSteer);
        }
        let at = Numbers {
            steer: self.steer.value,
            outward: self.outward.value,
            inward: self.inward.value,
            further: self.straight.map_or(KINGPIN.0, |straight| straight.value),
        };
        let further = self.straight.map_or(
            Angle::radians(KINGPIN.1.as_radians() / 3.0_f64.sqrt()),
            |straight| straight.uncertainty,
        );
        let of = |numbers: &Numbers| match self.straight {
            Some(_) => by_three(numbers),
            None => by_two(numbers),
        };
        let (caster, kingpin) = of(&at);
        let (mut caster_squares, mut kingpin_squares) = (0.0, 0.0);
        type PlaceOf = fn(&mut Numbers) -> &mut Angle;
        let places: [(PlaceOf, Angle); 4] = [
            (|numbers| &mut numbers.steer, self.steer.uncertainty),
            (|numbers| &mut numbers.outward, self.outward.uncertainty),
            (|numbers| &mut numbers.inward, self.inward.uncertainty),
            (|numbers| &mut numbers.further, further),
        ];
        for (place, uncertainty) in places {
            let mut other = at;
            let moved = place(&mut other);
            *moved = *moved + uncertainty;
            let (c, k) = of(&other);
            caster_squares += (c - caster).powi(2);
            kingpin_squares += (k - kingpin).powi(2);
        }
        if ![caster, kingpin, caster_squares, kingpin_squares]
            .into_iter()
            .all(f64::is_finite)
        {
            return Err(ReadingError::NoAxis);
        }
        let estimate = |value: f64, squares: f64| {
            Estimate::new(Angle::radians(value), Angle::radians(squares.sqrt()))
        };
        Ok(SteeringAxis {
            caster: estimate(caster, caster_squares),
            kingpin: self.straight.map(|_| estimate(kingpin, kingpin_squares)),
        })
    }
}

/// Caster and kingpin inclination from three places of the spin axis.
fn by_three(numbers: &Numbers) -> (f64, f64) {
    let straight = spin(numbers.further, Angle::ZERO);
    let [a, b, c] = minus(spin(numbers.outward, numbers.steer), straight);
    let [d, e, f] = minus(spin(numbers.inward, -numbers.steer), straight);
    let (x, y, z) = (b * f - c * e, c * d - a * f, a * e - b * d);
    // Neither way along the axis matters to a ratio; a product that vanishes is not a number.
    ((-x / z).atan(), (-y / z).atan())
}

/// Caster from two places of the spin axis, and the kingpin inclination that was put in.
fn by_two(numbers: &Numbers) -> (f64, f64) {
    let [x, y, z] = minus(
        spin(numbers.outward, numbers.steer),
        spin(numbers.inward, -numbers.steer),
    );
    let kingpin = numbers.further;
    let slope = (z - kingpin.sin() / kingpin.cos() * y) / x;
    (slope.atan(), kingpin.as_radians())
}

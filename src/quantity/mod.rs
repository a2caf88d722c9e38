//! Shop numbers: typed quantities, and reading and writing them as people at a car do.
//!
//! A quantity is an `f64` in its SI unit with the kind of quantity in its type. Only the products that the job needs
//! exist, so a length cannot be used for an angle or a torque for an energy. Units appear where text is read and written.

mod limit;
mod read;
mod serial;
mod unit;
mod write;

pub use limit::Limit;
pub use read::{
    ReadAngle, ReadError, read_angle, read_count, read_length, read_number_of, read_stress,
    read_toe, read_torque,
};
pub use unit::{AngleUnit, ForceUnit, LengthUnit, StressUnit, ToeUnit, TorqueUnit};
pub use write::{
    Fixed, document_angle, document_length, document_stress, document_torque, fixed, write_angle,
    write_enough_length, write_force, write_length, write_made_length, write_sold_length,
    write_stress, write_torque, write_way,
};

use std::ops::{Add, Div, Mul, Neg, Sub};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $new:ident, $get:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// From its SI unit.
            pub const fn $new(si: f64) -> Self {
                Self(si)
            }

            /// In its SI unit.
            pub const fn $get(self) -> f64 {
                self.0
            }

            /// The size without the sign.
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The smaller of two.
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        /// The ratio of two of the same kind, a plain number.
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
                values.fold(Self::ZERO, Add::add)
            }
        }
    };
}

quantity!(
    /// A length, in metres.
    Length, metres, as_metres
);
quantity!(
    /// A plane angle, in radians.
    Angle, radians, as_radians
);
quantity!(
    /// A force, in newtons.
    Force, newtons, as_newtons
);
quantity!(
    /// A moment that turns a fastener, in newton metres. Not an energy, though the dimension agrees.
    Torque, newton_metres, as_newton_metres
);
quantity!(
    /// A stress or strength, in pascals.
    Stress, pascals, as_pascals
);
quantity!(
    /// An area, in square metres.
    Area, square_metres, as_square_metres
);

impl Length {
    /// From millimetres.
    pub const fn mm(value: f64) -> Self {
        Self(value / 1000.0)
    }

    /// In millimetres.
    pub const fn as_mm(self) -> f64 {
        self.0 * 1000.0
    }

    /// From inches of exactly 25.4 mm.
    pub const fn inches(value: f64) -> Self {
        Self(value * 0.0254)
    }

    /// In inches of exactly 25.4 mm.
    pub const fn as_inches(self) -> f64 {
        self.0 / 0.0254
    }
}

impl Angle {
    /// From degrees.
    pub const fn degrees(value: f64) -> Self {
        Self(value.to_radians())
    }

    /// In degrees.
    pub const fn as_degrees(self) -> f64 {
        self.0.to_degrees()
    }

    /// From minutes of arc.
    pub const fn minutes(value: f64) -> Self {
        Self::degrees(value / 60.0)
    }

    /// In minutes of arc.
    pub const fn as_minutes(self) -> f64 {
        self.as_degrees() * 60.0
    }

    /// Its sine, to 1e-15 of itself within 3 rad; not a number beyond 6000 rad.
    ///
    /// The standard library's sine serves angles of any size, for which it carries 1/π to a thousand digits: more code than all formulas
    /// here. Below, whole half turns are taken away and the power series about zero is summed (DLMF 4.19.1).
    pub fn sin(self) -> f64 {
        // π in two parts, the first so short that its multiples here are exact.
        const PI: [f64; 2] = [3.141_592_621_803_283_7, 3.178_650_954_705_639e-8];
        if self.0.is_nan() || self.0.abs() > 6000.0 {
            return f64::NAN;
        }
        let halves = (self.0 / std::f64::consts::PI).round_ties_even();
        let rest = self.0 - halves * PI[0] - halves * PI[1];
        let (mut term, mut sum) = (rest, rest);
        // The first term left out is below 1e-17 for a quarter turn.
        for n in 1..12 {
            let n = 2.0 * f64::from(n);
            term *= -rest * rest / (n * (n + 1.0));
            sum += term;
        }
        let odd = (halves / 2.0).fract() != 0.0;
        if odd { -sum } else { sum }
    }

    /// Its cosine, to 2e-15 within a turn; not a number beyond 5998 rad.
    pub fn cos(self) -> f64 {
        Self(self.0 + std::f64::consts::FRAC_PI_2).sin()
    }
}

impl Stress {
    /// From megapascals, which are newtons on a square millimetre.
    pub const fn mpa(value: f64) -> Self {
        Self(value * 1e6)
    }

    /// In megapascals.
    pub const fn as_mpa(self) -> f64 {
        self.0 / 1e6
    }
}

/// The area of a rectangle.
impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area(self.0 * other.0)
    }
}

/// The force of a stress on an area.
impl Mul<Area> for Stress {
    type Output = Force;
    fn mul(self, area: Area) -> Force {
        Force(self.0 * area.0)
    }
}

/// The moment of a force on an arm square to it.
impl Mul<Length> for Force {
    type Output = Torque;
    fn mul(self, arm: Length) -> Torque {
        Torque(self.0 * arm.0)
    }
}

/// The force whose moment this is, on an arm square to it.
impl Div<Length> for Torque {
    type Output = Force;
    fn div(self, arm: Length) -> Force {
        Force(self.0 / arm.0)
    }
}

//! Shop numbers written: rounded to what a hand can use, with their unit and their way in words.

use super::{
    Angle, AngleUnit, Force, ForceUnit, Length, LengthUnit, Stress, StressUnit, Torque, TorqueUnit,
};
use std::fmt;

/// A number with so many decimals, the half rounded away from zero as a hand does it, never as minus zero. Numbers here are far below the
/// fifteen digits to which it is exact.
///
/// The standard library's formatter, which is exact for every number there is, costs the page more bytes than all its drawings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fixed(pub f64, pub u32);

impl fmt::Display for Fixed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(value, decimals) = *self;
        if !value.is_finite() {
            return f.write_str("?");
        }
        let scale = 10_u64.saturating_pow(decimals);
        // The conversion saturates, and a product that is off by its last bit is still a half to the hand.
        let count = (value.abs() * scale as f64 * (1.0 + f64::EPSILON)).round() as u64;
        if value < 0.0 && count > 0 {
            f.write_str("-")?;
        }
        write!(f, "{}", count / scale)?;
        if decimals > 0 {
            write!(f, ".{:0width$}", count % scale, width = decimals as usize)?;
        }
        Ok(())
    }
}

/// A number with so many decimals and a true minus.
pub fn fixed(value: f64, decimals: u32) -> String {
    Fixed(value, decimals).to_string().replace('-', "\u{2212}")
}

/// To a thousandth at most, without trailing zeros: `200`, `0.25`.
pub(super) fn short(value: f64) -> String {
    fixed(value, 3)
        .trim_end_matches('0')
        .trim_end_matches('.')
        .to_owned()
}

/// A length: `6.4 mm`, `0.250 in`.
pub fn write_length(length: Length, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => format!("{} mm", fixed(length.as_mm(), 1)),
        LengthUnit::Inch => format!("{} in", fixed(length.as_inches(), 3)),
    }
}

/// A length that is to be reached or passed, rounded up: what is written is enough.
pub fn write_enough_length(length: Length, unit: LengthUnit) -> String {
    let last = match unit {
        LengthUnit::Millimetre => Length::mm(0.1),
        LengthUnit::Inch => Length::inches(0.001),
    };
    // A whole number of steps may be off by its last bit.
    write_length(last * (length / last - 1e-9).ceil(), unit)
}

/// A length that was made so, such as a shim: `0.25 mm`, `0.062 in`.
pub fn write_made_length(length: Length, unit: LengthUnit) -> String {
    format!("{} {}", short(unit.count(length)), unit.symbol())
}

/// A length that tools and drills are sold by: `13.5 mm`, `1 5/16 in`. Inches that are no whole sixty-fourths stay decimal.
pub fn write_sold_length(length: Length, unit: LengthUnit) -> String {
    let sixty_fourths = length.as_inches() * 64.0;
    let count = sixty_fourths.round();
    if unit == LengthUnit::Millimetre || count < 1.0 || (sixty_fourths - count).abs() > 1e-6 {
        return write_made_length(length, unit);
    }
    // A whole number that fits.
    let count = count as u32;
    let (whole, part) = (count / 64, count % 64);
    let shift = part.trailing_zeros().min(6);
    match (whole, part >> shift, 64_u32 >> shift) {
        (whole, 0, _) => format!("{whole} in"),
        (0, part, below) => format!("{part}/{below} in"),
        (whole, part, below) => format!("{whole} {part}/{below} in"),
    }
}

/// An angle: `0.20°`, `0°12′`.
pub fn write_angle(angle: Angle, unit: AngleUnit) -> String {
    match unit {
        AngleUnit::Degree => format!("{}°", fixed(angle.as_degrees(), 2)),
        AngleUnit::Minute => {
            let minutes = angle.as_minutes();
            let whole = minutes.abs().round();
            let sign = if minutes < 0.0 && whole > 0.0 {
                "\u{2212}"
            } else {
                ""
            };
            format!("{sign}{}°{:02}′", whole as u64 / 60, whole as u64 % 60)
        }
    }
}

/// An angle with its way in words: `0.20° toe-in`. A value that rounds to nothing has no way.
pub fn write_way(angle: Angle, unit: AngleUnit, [plus, minus]: [&str; 2]) -> String {
    let size = write_angle(angle.abs(), unit);
    if size == write_angle(Angle::ZERO, unit) {
        return size;
    }
    let way = if angle.as_radians() < 0.0 {
        minus
    } else {
        plus
    };
    format!("{size} {way}")
}

/// A torque: `75 N·m`, `55 lbf·ft`. Small ones keep a decimal.
pub fn write_torque(torque: Torque, unit: TorqueUnit) -> String {
    let count = unit.count(torque);
    format!(
        "{} {}",
        fixed(count, if count < 20.0 { 1 } else { 0 }),
        unit.symbol()
    )
}

/// A force: `33.7 kN`, `7580 lbf`.
pub fn write_force(force: Force, unit: ForceUnit) -> String {
    let decimals = match unit {
        ForceUnit::Kilonewton => 1,
        ForceUnit::PoundForce => 0,
    };
    format!("{} {}", fixed(unit.count(force), decimals), unit.symbol())
}

/// A stress: `830 MPa`, `120 ksi`.
pub fn write_stress(stress: Stress, unit: StressUnit) -> String {
    format!("{} {}", fixed(unit.count(stress), 0), unit.symbol())
}

/// Nine decimals at most, six for what is larger than any car: more than any rule or rack resolves, and short.
fn exact(value: f64) -> String {
    let text = Fixed(value, if value.abs() < 1e6 { 9 } else { 6 }).to_string();
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A length for a document, in millimetres to a billionth.
pub fn document_length(length: Length) -> String {
    format!("{} mm", exact(length.as_mm()))
}

/// An angle for a document, in degrees to a billionth.
pub fn document_angle(angle: Angle) -> String {
    format!("{} deg", exact(angle.as_degrees()))
}

/// A torque for a document, in newton metres to a billionth.
pub fn document_torque(torque: Torque) -> String {
    format!("{} N·m", exact(torque.as_newton_metres()))
}

/// A stress for a document, in megapascals to a billionth.
pub fn document_stress(stress: Stress) -> String {
    format!("{} MPa", exact(stress.as_mpa()))
}

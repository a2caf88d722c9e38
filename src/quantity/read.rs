//! Shop numbers read: what people type into a field at a car.
//!
//! A reader takes any text and either understands it whole or says what it expected. It never guesses: `1,234` may be one
//! and a bit or a thousand, so it is refused. Nothing on a car is a million metres, radians or newton metres: more is refused
//! too, so that every value read is finite and can be written and read again.

use super::{
    Angle, AngleUnit, Length, LengthUnit, Stress, StressUnit, ToeUnit, Torque, TorqueUnit,
};
use std::fmt;

/// Why a text was not understood.
#[derive(Clone, Debug, PartialEq)]
pub enum ReadError {
    /// Nothing was typed.
    Empty,
    /// Not a length.
    NotALength,
    /// Not an angle.
    NotAnAngle,
    /// Not a toe, where it may be typed as a length.
    NotAToe,
    /// Not a torque.
    NotATorque,
    /// Not a stress.
    NotAStress,
    /// Not a plain number.
    NotANumber,
    /// Not a whole count.
    NotACount,
    /// A comma before exactly three digits, or more than one comma or dot.
    Separators,
    /// A fraction with nothing below the line.
    ZeroBelow,
    /// A sign where there can be none.
    Signed,
    /// Sixty minutes or more beside degrees, or seconds beside minutes.
    Minutes,
    /// A toe typed as a length without knowing the distance across the rim.
    NoRim,
    /// A toe typed as a length that is not smaller than the distance across the rim.
    WiderThanRim,
    /// Which way a reading goes was not said.
    NoWay {
        /// The two ways.
        ways: [&'static str; 2],
    },
    /// Outside what the value can be.
    OutOfRange {
        /// The value's name.
        name: &'static str,
        /// The least, in the person's words.
        least: String,
        /// The most, in the person's words.
        most: String,
    },
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Empty => "Nothing is typed here yet.",
            Self::NotALength => "Write a length such as 6.35, 1/4, 1 3/8 or 6.35 mm.",
            Self::NotAnAngle => "Write an angle such as 0.2, 0°12' or 12'.",
            Self::NotAToe => "Write a toe such as 2 mm, 1/16 in, 0.2° or 0°12'.",
            Self::NotATorque => "Write a torque such as 75, 75 N·m or 55 lbf·ft.",
            Self::NotAStress => "Write a strength such as 800, 800 MPa or 120 ksi.",
            Self::NotANumber => "Write a number such as 0.2 or 20.",
            Self::NotACount => "Write a whole number such as 4.",
            Self::Separators => "One comma or dot at most, and a comma before three digits may mean thousands: write 1.234, 1,5 or 1234.",
            Self::ZeroBelow => "A fraction needs a number other than zero below the line, such as 3/8.",
            Self::Signed => "Leave the sign away: this cannot be negative.",
            Self::Minutes => "Minutes beside degrees, and seconds beside minutes, run from 0 to 59, such as 0°12'.",
            Self::NoRim => "A toe as a length needs the distance across the rim first, such as 430 mm.",
            Self::WiderThanRim => "A toe as a length is a few millimetres, such as 2 mm, far less than the distance across the rim.",
            Self::NoWay { ways: [plus, minus] } => return write!(f, "Choose which way: {plus} or {minus}."),
            Self::OutOfRange { name, least, most } => return write!(f, "{name} lies between {least} and {most}."),
        })
    }
}

/// An angle as typed, and whether the text carried a sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadAngle {
    /// The angle, negative after a minus.
    pub angle: Angle,
    /// Whether a plus or minus was typed.
    pub signed: bool,
}

/// The whole number of things counted, up to 9999.
///
/// # Errors
/// Anything but a whole number.
pub fn read_count(text: &str) -> Result<u32, ReadError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ReadError::Empty);
    }
    if text.len() > 4 || !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(ReadError::NotACount);
    }
    text.parse().map_err(|_| ReadError::NotACount)
}

/// A length: `6.35`, `6,35`, `1/4`, `1 3/8`, `1-3/8"`, `0.25 in`, `6.35mm`, `2.6 m`. Never negative.
///
/// # Errors
/// What was expected, where the text is not a length.
pub fn read_length(text: &str, default: LengthUnit) -> Result<Length, ReadError> {
    let (number, unit) = unsigned(text)?;
    let count = read_number(number, ReadError::NotALength)?;
    let length = match unit {
        "" => default.of(count),
        unit => length_unit(unit).ok_or(ReadError::NotALength)? * count,
    };
    plausible(length.as_metres(), ReadError::NotALength)?;
    Ok(length)
}

/// One of a length unit as it is typed behind a number.
fn length_unit(unit: &str) -> Option<Length> {
    Some(match unit.to_ascii_lowercase().as_str() {
        "mm" => Length::mm(1.0),
        "cm" => Length::mm(10.0),
        "m" => Length::metres(1.0),
        "in" | "in." | "inch" | "inches" | "\"" | "″" | "”" | "''" | "′′" | "’’" => {
            Length::inches(1.0)
        }
        "ft" | "ft." | "foot" | "feet" => Length::inches(12.0),
        _ => return None,
    })
}

/// A torque: `75`, `75 N·m`, `75 Nm`, `55 lbf·ft`, `55 ft-lb`, `7.6 kgf·m`. Never negative.
///
/// # Errors
/// What was expected, where the text is not a torque.
pub fn read_torque(text: &str, default: TorqueUnit) -> Result<Torque, ReadError> {
    let (number, unit) = unsigned(text)?;
    let count = read_number(number, ReadError::NotATorque)?;
    let plain: String = unit
        .chars()
        .filter(|c| !matches!(c, ' ' | '.' | '-' | '*' | '·' | '⋅' | '•'))
        .map(|c| c.to_ascii_lowercase())
        .collect();
    let unit = match plain.as_str() {
        "" if unit.is_empty() => default,
        "nm" => TorqueUnit::NewtonMetre,
        "lbfft" | "lbft" | "ftlb" | "ftlbs" | "ftlbf" | "lbsft" => TorqueUnit::PoundFoot,
        "lbfin" | "lbin" | "inlb" | "inlbs" | "inlbf" | "lbsin" => TorqueUnit::PoundInch,
        "kgfm" | "kgm" | "mkgf" | "mkg" => TorqueUnit::KilogramForceMetre,
        _ => return Err(ReadError::NotATorque),
    };
    let torque = unit.of(count);
    plausible(torque.as_newton_metres(), ReadError::NotATorque)?;
    Ok(torque)
}

/// A stress or strength: `800`, `800 MPa`, `800 N/mm²`, `120 ksi`, `120000 psi`. Never negative.
///
/// # Errors
/// What was expected, where the text is not a stress.
pub fn read_stress(text: &str, default: StressUnit) -> Result<Stress, ReadError> {
    let (number, unit) = unsigned(text)?;
    let count = read_number(number, ReadError::NotAStress)?;
    let unit = match unit.to_ascii_lowercase().as_str() {
        "" => default,
        "mpa" | "n/mm²" | "n/mm2" => StressUnit::Megapascal,
        "ksi" => StressUnit::Ksi,
        "psi" => StressUnit::Psi,
        _ => return Err(ReadError::NotAStress),
    };
    // A million megapascals is no material.
    plausible(count, ReadError::NotAStress)?;
    Ok(unit.of(count))
}

/// A plain number without a unit, or with the one named: `0.2`, `75`, `75 %`. Never negative.
///
/// # Errors
/// What was expected, where the text is not a number.
pub fn read_number_of(text: &str, unit: &str) -> Result<f64, ReadError> {
    let (number, typed) = unsigned(text)?;
    if !typed.is_empty() && typed != unit {
        return Err(ReadError::NotANumber);
    }
    let count = read_number(number, ReadError::NotANumber)?;
    plausible(count, ReadError::NotANumber)?;
    Ok(count)
}

/// An angle: `0.2`, `0.2°`, `0°12'`, `12'`, `-1 30'`, `0.2 deg`, `12 min`.
///
/// # Errors
/// What was expected, where the text is not an angle.
pub fn read_angle(text: &str, default: AngleUnit) -> Result<ReadAngle, ReadError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ReadError::Empty);
    }
    let (sign, rest) = take_sign(text);
    let size = read_angle_size(&rest.to_ascii_lowercase(), default)?;
    plausible(size.as_radians(), ReadError::NotAnAngle)?;
    Ok(ReadAngle {
        angle: if sign == Some(-1.0) { -size } else { size },
        signed: sign.is_some(),
    })
}

/// The toe of one wheel: an angle, or a length at the rim turned into an angle by `asin(length / across)`, where `across` is
/// the distance between the two rim points.
///
/// # Errors
/// What was expected, where the text is neither; that `across` is missing, where a length was typed.
pub fn read_toe(
    text: &str,
    default: ToeUnit,
    across: Option<Length>,
) -> Result<ReadAngle, ReadError> {
    let (sign, rest) = take_sign(text.trim());
    let (_, typed) = split(rest)?;
    let is_length = length_unit(typed).is_some();
    let unit = match default {
        ToeUnit::Rim(unit) if is_length || typed.is_empty() => unit,
        // A length beside an angle as default always has its own unit.
        ToeUnit::Angle(_) if is_length => LengthUnit::Millimetre,
        ToeUnit::Angle(unit) => return read_angle(text, unit),
        ToeUnit::Rim(_) => {
            let or_toe = |error| {
                if error == ReadError::NotAnAngle {
                    ReadError::NotAToe
                } else {
                    error
                }
            };
            return read_angle(text, AngleUnit::Degree).map_err(or_toe);
        }
    };
    let length = read_length(rest, unit)?;
    let across = across
        .filter(|across| across.as_metres() > 0.0)
        .ok_or(ReadError::NoRim)?;
    if length >= across {
        return Err(ReadError::WiderThanRim);
    }
    let size = Angle::radians((length / across).asin());
    Ok(ReadAngle {
        angle: if sign == Some(-1.0) { -size } else { size },
        signed: sign.is_some(),
    })
}

fn read_angle_size(text: &str, default: AngleUnit) -> Result<Angle, ReadError> {
    let plain = |part: &str| read_number(part, ReadError::NotAnAngle);
    if let Some((degrees, rest)) = text.split_once('°') {
        let minutes = if rest.trim().is_empty() {
            None
        } else {
            Some(read_minutes(rest)?)
        };
        return with_minutes(plain(degrees)?, minutes);
    }
    if let Some(degrees) = text
        .strip_suffix("degrees")
        .or_else(|| text.strip_suffix("deg"))
    {
        return Ok(Angle::degrees(plain(degrees)?));
    }
    if text.ends_with("min") || text.contains(MINUTE_MARKS) {
        // A number before the mark is minutes, 1 1/2' too; else a space parts degrees and minutes: 1 30'.
        return match (read_minutes(text), text.split_once(' ')) {
            (Err(_), Some((degrees, minutes))) => {
                with_minutes(plain(degrees)?, Some(read_minutes(minutes)?))
            }
            (minutes, _) => Ok(Angle::minutes(minutes?)),
        };
    }
    Ok(default.of(plain(text)?))
}

const MINUTE_MARKS: [char; 3] = ['\'', '′', '’'];

/// Minutes, and perhaps seconds, with or without their marks: `30`, `30'`, `30 min`, `30'15"`.
fn read_minutes(text: &str) -> Result<f64, ReadError> {
    let plain = |part: &str| read_number(part, ReadError::NotAnAngle);
    let text = text.trim();
    let Some((minutes, seconds)) = text.split_once(MINUTE_MARKS) else {
        return plain(text.strip_suffix("min").unwrap_or(text));
    };
    let seconds = seconds.trim();
    if seconds.is_empty() {
        return plain(minutes);
    }
    let seconds = plain(seconds.strip_suffix(['"', '″', '”']).unwrap_or(seconds))?;
    if seconds < 60.0 {
        Ok(plain(minutes)? + seconds / 60.0)
    } else {
        Err(ReadError::Minutes)
    }
}

/// Degrees, and perhaps minutes beside them.
fn with_minutes(degrees: f64, minutes: Option<f64>) -> Result<Angle, ReadError> {
    match minutes {
        None => Ok(Angle::degrees(degrees)),
        // 0.5°12' says the same thing twice.
        Some(_) if degrees.fract() != 0.0 => Err(ReadError::NotAnAngle),
        Some(minutes) if minutes >= 60.0 => Err(ReadError::Minutes),
        Some(minutes) => Ok(Angle::degrees(degrees + minutes / 60.0)),
    }
}

/// The number and the unit of a text.
fn split(text: &str) -> Result<(&str, &str), ReadError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ReadError::Empty);
    }
    let is_number = |c: char| {
        matches!(c, '0'..='9' | '.' | ',' | '/' | ' ' | '+' | '-')
            || matches!(c, '\u{2212}' | '\u{2013}' | '\u{2044}' | '\u{a0}')
            || fraction_sign(c).is_some()
    };
    let unit = text.trim_start_matches(is_number);
    let number = text.strip_suffix(unit).unwrap_or(text);
    Ok((number.trim(), unit.trim()))
}

/// Number and unit of what cannot be negative.
fn unsigned(text: &str) -> Result<(&str, &str), ReadError> {
    let (number, unit) = split(text)?;
    match take_sign(number) {
        (None, number) => Ok((number, unit)),
        (Some(_), _) => Err(ReadError::Signed),
    }
}

fn take_sign(text: &str) -> (Option<f64>, &str) {
    for (mark, sign) in [
        ('-', -1.0),
        ('\u{2212}', -1.0),
        ('\u{2013}', -1.0),
        ('+', 1.0),
    ] {
        if let Some(rest) = text.strip_prefix(mark) {
            return (Some(sign), rest.trim_start());
        }
    }
    (None, text)
}

/// The value of a fraction written as one sign.
const fn fraction_sign(c: char) -> Option<f64> {
    Some(match c {
        '¼' => 0.25,
        '½' => 0.5,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '⅙' => 1.0 / 6.0,
        '⅚' => 5.0 / 6.0,
        _ => return None,
    })
}

/// An unsigned number: decimal with dot or comma, fraction, or mixed.
fn read_number(text: &str, otherwise: ReadError) -> Result<f64, ReadError> {
    let text = text.trim();
    if let Some(last) = text.chars().last()
        && let Some(fraction) = fraction_sign(last)
    {
        let whole = text
            .get(..text.len() - last.len_utf8())
            .unwrap_or_default()
            .trim();
        let whole = whole.strip_suffix('-').unwrap_or(whole).trim();
        let whole = if whole.is_empty() {
            0.0
        } else {
            digits(whole).ok_or(otherwise)?
        };
        return Ok(whole + fraction);
    }
    if let Some((above, below)) = text.split_once(['/', '\u{2044}']) {
        // A whole number stands before a space or a hyphen: 1 3/8, 1-3/8.
        let above = above.trim();
        let (whole, above) = match above.rsplit_once([' ', '-', '\u{a0}']) {
            Some((whole, above)) => (Some(digits(whole.trim()).ok_or(otherwise.clone())?), above),
            None => (None, above),
        };
        let above = digits(above).ok_or(otherwise.clone())?;
        let below = digits(below.trim()).ok_or(otherwise.clone())?;
        return match whole {
            _ if below == 0.0 => Err(ReadError::ZeroBelow),
            // 1 23/8 is a slip of the finger for 12 3/8 or 1 3/8, not a length.
            Some(_) if above >= below => Err(otherwise),
            whole => Ok(whole.unwrap_or(0.0) + above / below),
        };
    }
    let separators = text
        .bytes()
        .filter(|byte| matches!(byte, b'.' | b','))
        .count();
    let only_number = !text.is_empty()
        && text
            .bytes()
            .all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    if only_number && separators > 1 {
        return Err(ReadError::Separators);
    }
    if !only_number || !text.bytes().any(|byte| byte.is_ascii_digit()) || text.len() > 20 {
        return Err(otherwise);
    }
    if let Some((whole, decimals)) = text.split_once(',')
        && decimals.len() == 3
        && !whole.trim_start_matches('0').is_empty()
    {
        return Err(ReadError::Separators);
    }
    decimal(text).ok_or(otherwise)
}

/// A decimal of at most fifteen significant digits: its digits over a power of ten, both exact, so the quotient is the nearest number
/// there is.
fn decimal(text: &str) -> Option<f64> {
    let (whole, decimals) = text.split_once(['.', ',']).unwrap_or((text, ""));
    let mut digits = 0_u64;
    for digit in whole.bytes().chain(decimals.bytes()) {
        digits = digits
            .checked_mul(10)?
            .checked_add(u64::from(digit.checked_sub(b'0')?))?;
    }
    let below = 10_u64.checked_pow(u32::try_from(decimals.len()).ok()?)?;
    let most = 1_u64 << 53;
    (digits <= most && below <= most).then(|| digits as f64 / below as f64)
}

/// A whole number of at most nine digits.
fn digits(text: &str) -> Option<f64> {
    let fits =
        !text.is_empty() && text.len() <= 9 && text.bytes().all(|byte| byte.is_ascii_digit());
    fits.then(|| decimal(text)).flatten()
}

/// Refuses what no car has, infinity and what is not a number included.
fn plausible(si: f64, otherwise: ReadError) -> Result<(), ReadError> {
    if si.abs() < 1e6 {
        Ok(())
    } else {
        Err(otherwise)
    }
}

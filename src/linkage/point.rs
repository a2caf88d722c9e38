//! Points read and written as a drawing lists them: three numbers in millimetres.

use super::Vector;
use crate::quantity::{Fixed, Length, LengthUnit, ReadError, read_length};
use std::fmt;

/// Why a text is not a point.
#[derive(Clone, Debug, PartialEq)]
pub enum PointError {
    /// Nothing was typed.
    Empty,
    /// There are not three numbers.
    Count {
        /// How many there are.
        found: usize,
    },
    /// One of the three is not a number.
    Number {
        /// Its place: 0 for x, 1 for y, 2 for z.
        place: usize,
        /// What is wrong with it.
        error: ReadError,
    },
    /// One of the three is further off than any car is long.
    Far {
        /// Its place: 0 for x, 1 for y, 2 for z.
        place: usize,
    },
}

impl fmt::Display for PointError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = |place: usize| match place {
            0 => "x, the first number",
            1 => "y, the second number",
            _ => "z, the third number",
        };
        match self {
            Self::Empty => {
                f.write_str("Write three numbers in mm: x forward, y to the left, z up.")
            }
            Self::Count { found } => write!(
                f,
                "A point has three numbers, x, y and z, with spaces between: here {} {found}.",
                if *found == 1 { "is" } else { "are" }
            ),
            Self::Number { place, error } => match error {
                ReadError::Separators | ReadError::ZeroBelow => {
                    write!(f, "{}: {error}", name(*place))
                }
                _ => write!(
                    f,
                    "{}, cannot be read: write it as 730, -190.5 or 28.7in.",
                    name(*place)
                ),
            },
            Self::Far { place } => write!(
                f,
                "{}, is more than 10 m: is it in millimetres, with a space after it?",
                name(*place)
            ),
        }
    }
}

/// No point of a car is further from its origin along an axis.
const FURTHEST: f64 = 10.0;

/// A point in car axes: `-2640 730 190`, `-2640; 730,5; 190`, `-104in 28.7in 7.5in`. Numbers without a unit are millimetres.
///
/// # Errors
/// Which number cannot be read and why, or how many there are where they are not three.
pub fn read_point(text: &str) -> Result<Vector, PointError> {
    let mut words: Vec<String> = Vec::new();
    let parts = text.split(|c: char| c.is_whitespace() || c == ';');
    for part in parts.map(|part| part.trim_end_matches(',')) {
        match words.last_mut() {
            // A unit belongs to the number before it.
            Some(last) if !part.bytes().any(|byte| byte.is_ascii_digit()) => last.push_str(part),
            _ if part.is_empty() => {}
            _ => words.push(part.to_owned()),
        }
    }
    let [x, y, z] = match words.as_slice() {
        [] => return Err(PointError::Empty),
        [x, y, z] => [x, y, z],
        words => return Err(PointError::Count { found: words.len() }),
    };
    let read = |place: usize, word: &str| {
        let (sign, size) = match word.strip_prefix(['-', '\u{2212}', '\u{2013}']) {
            Some(size) => (-1.0, size),
            None => (1.0, word.strip_prefix('+').unwrap_or(word)),
        };
        let length = read_length(size, LengthUnit::Millimetre)
            .map_err(|error| PointError::Number { place, error })?;
        if length.as_metres() > FURTHEST {
            return Err(PointError::Far { place });
        }
        Ok(sign * length.as_metres())
    };
    Ok(Vector::new(read(0, x)?, read(1, y)?, read(2, z)?))
}

/// A point as [`read_point`] reads it, in millimetres to a thousandth.
pub fn write_point(point: Vector) -> String {
    let write = |metres: f64| write_mm(Length::metres(metres));
    format!("{} {} {}", write(point.x), write(point.y), write(point.z))
}

/// Millimetres to a thousandth, without trailing zeros, with a plain minus.
pub(super) fn write_mm(length: Length) -> String {
    let text = Fixed(length.as_mm(), 3).to_string();
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

impl Vector {
    /// As it stands in a document.
    pub(crate) fn to_document(self) -> String {
        write_point(self) + " mm"
    }

    /// Out of a document, where the unit is written.
    pub(crate) fn from_document(text: &str) -> Result<Self, String> {
        let numbers = text
            .trim_end()
            .strip_suffix("mm")
            .ok_or("write the unit at the end, such as \"-2414 452 414 mm\"")?;
        read_point(numbers).map_err(|error| error.to_string())
    }
}

impl serde::Serialize for Vector {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.to_document())
    }
}

#[cfg(not(target_arch = "wasm32"))]
impl schemars::JsonSchema for Vector {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Point".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": "A point in car axes, in millimetres: x forward, y to the left, z up.",
            "examples": ["-2414 452 414 mm"]
        })
    }
}

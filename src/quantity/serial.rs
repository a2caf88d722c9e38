//! Quantities in documents: text with its unit, so that a number can never be taken in another one.

use super::{
    Angle, AngleUnit, Length, LengthUnit, ReadError, Stress, StressUnit, Torque, TorqueUnit,
    document_angle, document_length, document_stress, document_torque, read_angle, read_length,
    read_stress, read_torque,
};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

fn with_unit(text: &str) -> Result<(), &'static str> {
    match text.chars().last() {
        // A fraction sign such as ½ is numeric too.
        Some(last) if last.is_numeric() || last == '.' || last == ',' => {
            Err("write the unit too, such as \"6.35 mm\", \"0.1 deg\" or \"75 N·m\"")
        }
        _ => Ok(()),
    }
}

macro_rules! as_text {
    ($name:ident, $write:ident, $read:expr, $about:literal, $example:literal) => {
        impl $name {
            /// As it stands in a document.
            pub(crate) fn to_document(self) -> String {
                $write(self)
            }

            /// Out of a document.
            pub(crate) fn from_document(text: &str) -> Result<Self, String> {
                with_unit(text.trim())?;
                let read: fn(&str) -> Result<Self, ReadError> = $read;
                read(text).map_err(|error| error.to_string())
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(&self.to_document())
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                Self::from_document(&String::deserialize(deserializer)?).map_err(de::Error::custom)
            }
        }

        #[cfg(not(target_arch = "wasm32"))]
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({ "type": "string", "description": $about, "examples": [$example] })
            }
        }
    };
}

as_text!(
    Length,
    document_length,
    |text| read_length(text, LengthUnit::Millimetre),
    "A length with its unit: mm, cm, m, in or ft; fractions are read.",
    "1/4 in"
);
as_text!(
    Angle,
    document_angle,
    |text| read_angle(text, AngleUnit::Degree).map(|read| read.angle),
    "An angle with its unit: deg, min, or degrees and minutes.",
    "-1.2 deg"
);
as_text!(
    Torque,
    document_torque,
    |text| read_torque(text, TorqueUnit::NewtonMetre),
    "A torque with its unit: N·m, lbf·ft, lbf·in or kgf·m.",
    "75 N·m"
);
as_text!(
    Stress,
    document_stress,
    |text| read_stress(text, StressUnit::Megapascal),
    "A stress with its unit: MPa, ksi or psi.",
    "800 MPa"
);

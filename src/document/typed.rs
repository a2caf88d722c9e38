//! Typed documents out of untyped JSON and back, with the way to the field that does not fit.
//!
//! serde's derived code, which must serve every format, costs the page more bytes than all its formulas. A document has one shape: an
//! object whose fields are taken and written by name. [`record!`] lists them once; values are filled in place through one
//! `dyn` call, and the tests hold the lists to the published schema. Words (enums) and quantities read and write themselves as
//! text with serde.

use super::*;
use crate::adjuster::{
    CamBolt, Mechanism, RodEnd, Shims, Sleeve, Slot, Step as TurnStep, ThreadedEnd, Turned,
};
use crate::hardware::{Hand, Material, Thread};
use crate::quantity::{Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit};
use serde::de::value::StringDeserializer;
use serde::{Deserialize, de};
use serde_json::{Map, Value};
use std::fmt;

/// Something a document holds.
pub trait Typed {
    /// Fills it from JSON. What does not fit leaves it in any state: the document is not taken then.
    ///
    /// # Errors
    /// The field that does not fit, and why.
    fn fill(&mut self, value: Value) -> Result<(), Fault>;

    /// Writes itself as JSON.
    fn write(&self, json: &mut String);

    /// Whether a field that may be left out is left out.
    fn is_blank(&self) -> bool {
        false
    }
}

/// Why a value does not fit, and the way to it from where it was noticed.
#[derive(Debug)]
pub struct Fault(Box<Inner>);

#[derive(Debug)]
struct Inner {
    way: String,
    message: String,
}

impl Fault {
    fn here(message: impl Into<String>) -> Self {
        Self(Box::new(Inner {
            way: String::new(),
            message: message.into(),
        }))
    }

    /// Noticed one step further up.
    fn under(mut self, step: &str) -> Self {
        let join = if self.0.way.is_empty() || self.0.way.starts_with('[') {
            ""
        } else {
            "."
        };
        self.0.way = format!("{step}{join}{}", self.0.way);
        self
    }

    /// As a problem of a document.
    pub fn problem(self) -> Problem {
        let Inner { way, message } = *self.0;
        let field = if way.is_empty() {
            "document".to_owned()
        } else {
            way
        };
        let stop = if message.ends_with('.') { "" } else { "." };
        Problem::at(field, format!("{message}{stop}"))
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.message)
    }
}

impl std::error::Error for Fault {}

impl de::Error for Fault {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self::here(message.to_string())
    }
}

/// Something else than was expected, and what it is.
fn expected(what: &str, value: &Value) -> Fault {
    let is = match value {
        Value::Null => "nothing",
        Value::Bool(_) => "true or false",
        Value::Number(number) => {
            return Fault::here(format!(
                "must be {what}, and is {}",
                number.as_i64().map_or_else(
                    || "a number with decimals".into(),
                    |number| number.to_string()
                )
            ));
        }
        Value::String(text) => {
            return Fault::here(format!(
                "must be {what}, and is \"{}\"",
                text.chars().take(40).collect::<String>()
            ));
        }
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    };
    Fault::here(format!("must be {what}, and is {is}"))
}

/// The fields of an object, taken by name. The first that does not fit is kept, and the others are passed over.
struct Fields {
    left: Map<String, Value>,
    fault: Option<Fault>,
}

impl Fields {
    fn of(value: Value) -> Result<Self, Fault> {
        match value {
            Value::Object(left) => Ok(Self { left, fault: None }),
            other => Err(expected("an object in braces", &other)),
        }
    }

    fn keep(&mut self, fault: Fault, name: &str) {
        if self.fault.is_none() {
            self.fault = Some(fault.under(name));
        }
    }

    fn read(&mut self, name: &str, needed: bool, place: &mut dyn Typed) {
        let result = match self.left.remove(name) {
            Some(value) => place.fill(value),
            None if needed => Err(Fault::here("is missing: add it")),
            None => Ok(()),
        };
        if let Err(fault) = result {
            self.keep(fault, name);
        }
    }

    /// The first fault, or a field that is not known.
    fn end(mut self, known: &[&str]) -> Result<(), Fault> {
        if let Some((name, _)) = std::mem::take(&mut self.left).into_iter().next() {
            self.keep(
                Fault::here(format!("is not known here; known are {}", known.join(", "))),
                &name,
            );
        }
        self.fault.map_or(Ok(()), Err)
    }
}

/// How a struct is read and written: fields that must be there, then fields that may be.
macro_rules! record {
    ($name:ident { $($need:ident),* } or { $($may:ident),* }) => {
        impl Typed for $name {
            fn fill(&mut self, value: Value) -> Result<(), Fault> {
                let mut fields = Fields::of(value)?;
                $(fields.read(stringify!($need), true, &mut self.$need);)*
                $(fields.read(stringify!($may), false, &mut self.$may);)*
                fields.end(&[$(stringify!($need),)* $(stringify!($may)),*])
            }

            fn write(&self, json: &mut String) {
                object(json, &[$((stringify!($need), true, &self.$need),)* $((stringify!($may), false, &self.$may)),*]);
            }
        }
    };
}

/// Writes an object of the fields that are not left out.
fn object(json: &mut String, fields: &[(&str, bool, &dyn Typed)]) {
    json.push('{');
    for (name, _, value) in fields
        .iter()
        .filter(|(_, needed, value)| *needed || !value.is_blank())
    {
        key(json, name);
        value.write(json);
    }
    json.push('}');
}

/// Writes a field's name, and what stands between it and the field before.
pub(super) fn key(json: &mut String, name: &str) {
    comma(json);
    quoted(json, name);
    json.push(':');
}

fn comma(json: &mut String) {
    if !json.ends_with(['{', '[']) {
        json.push(',');
    }
}

/// Writes a text in quotes, with what JSON asks to be escaped (RFC 8259, section 7).
pub(super) fn quoted(json: &mut String, text: &str) {
    json.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                json.push('\\');
                json.push(c);
            }
            '\0'..='\u{1f}' => json.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => json.push(c),
        }
    }
    json.push('"');
}

/// Types that read and write themselves as text.
macro_rules! words {
    ($($name:ident),*) => {
        $(impl Typed for $name {
            fn fill(&mut self, value: Value) -> Result<(), Fault> {
                *self = Self::deserialize(StringDeserializer::<Fault>::new(text(value)?))?;
                Ok(())
            }

            fn write(&self, json: &mut String) {
                json.push_str(&serde_json::to_string(self).unwrap_or_default());
            }
        })*
    };
}

fn text(value: Value) -> Result<String, Fault> {
    match value {
        Value::String(text) => Ok(text),
        other => Err(expected("text in quotes", &other)),
    }
}

words!(
    Handed,
    FitKind,
    Tighten,
    Corner,
    Axle,
    Role,
    ToeSense,
    CamberSense,
    Signal,
    Unit,
    Sense,
    Answer,
    ToeBy,
    CamberBy,
    ToeShown,
    Theme,
    Turned,
    TurnStep
);
words!(
    Hand, Material, Thread, Length, Angle, Torque, LengthUnit, AngleUnit, TorqueUnit
);

record!(KitCard { name, maker, revision, fits, parts, joints, adjusters, targets, sections, before_load, before_drive } or { notes, options, bags, fit_checks, car_checks, pickups });
record!(OrderOption { id, name, choices } or {  });
record!(Choice { id, name } or {  });
record!(Part { id, name, count } or { hand, when });
record!(Bag { name, items } or { when });
record!(BagItem { id, name, count } or { thread, length, grade, when });
record!(FitCheck { id, name, kind } or { when });
record!(CarCheck { id, name, distance, tolerance } or { when });
record!(Joint { id, name, count, thread, grade, nut, condition, tools, tighten } or { length, torque, pattern, locking, recheck, when });
record!(ToeArm { arm, lengthening } or {  });
record!(CamberArm { arm, lengthening } or {  });
record!(Adjuster { id, name, corner, mechanism } or { step, role, toe, camber, lock_torque, how });
record!(Pickup { id, name, choices } or {  });
record!(AxleTarget { axle, toe, camber } or {  });
record!(Target { aim, tolerance } or {  });
record!(Section { name, steps } or { raised, when });
record!(Step { id, text } or { detail, caution, joint, observe, support, when });
record!(Caution { signal, hazard, consequence, avoid } or {  });
record!(ThreadedEnd { name, thread, shank, jam_nut, unthreaded_lead, insert_depth, base_showing } or { hand, insert });
record!(RodEnd { turned, end } or {  });
record!(Sleeve { ends } or {  });
record!(CamBolt { eccentricity, notch, range } or {  });
record!(Slot { range, step } or {  });
record!(Shims { thinnest, most } or {  });
record!(Entry { text } or { unit, sense });
record!(Job { id, started, changed, card, order } or { car, counts, findings, distances, pickups, marks, torques, settings, arms, rounds, notes });
record!(Car {  } or { name, by, pressures, load, ride_heights, rim, front_track, rear_track, wheelbase });
record!(Finding {  } or { answer, note });
record!(Mark { at } or { observed, skipped });
record!(SignOff { set } or { at });
record!(TapedArms {  } or { toe, camber });
record!(Round {  } or { started, rule, gauge, strings, front, rear, taken });
record!(Strings {  } or { left_front, left_rear, right_front, right_rear, ahead, behind, apart });
record!(AxleRound {  } or { toe_by, camber_by, treads, tread_points, floor, left, right });
record!(WheelRound {  } or { string, toe, plumb, camber });
record!(Pair {  } or { first, second, rolled });
record!(Taken {  } or { steps, now, at });
record!(Preferences {  } or { length, angle, toe, torque, theme });

impl Typed for Mechanism {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        const KINDS: &str = "must be an object of one kind: rod-end, sleeve, differential-sleeve, cam-bolt, slot or shims";
        let mut fields = Fields::of(value)
            .map_err(|_| Fault::here(KINDS))?
            .left
            .into_iter();
        let (Some((kind, held)), None) = (fields.next(), fields.next()) else {
            return Err(Fault::here(KINDS));
        };
        *self = match kind.as_str() {
            "rod-end" => Self::RodEnd(RodEnd::default()),
            "sleeve" => Self::Sleeve(Sleeve::default()),
            "differential-sleeve" => Self::DifferentialSleeve(Sleeve::default()),
            "cam-bolt" => Self::CamBolt(CamBolt::default()),
            "slot" => Self::Slot(Slot::default()),
            "shims" => Self::Shims(Shims::default()),
            _ => return Err(Fault::here(format!("is not known here; {KINDS}")).under(&kind)),
        };
        let place: &mut dyn Typed = match self {
            Self::RodEnd(held) => held,
            Self::Sleeve(held) | Self::DifferentialSleeve(held) => held,
            Self::CamBolt(held) => held,
            Self::Slot(held) => held,
            Self::Shims(held) => held,
        };
        place.fill(held).map_err(|fault| fault.under(&kind))
    }

    fn write(&self, json: &mut String) {
        let (kind, held): (&str, &dyn Typed) = match self {
            Self::RodEnd(held) => ("rod-end", held),
            Self::Sleeve(held) => ("sleeve", held),
            Self::DifferentialSleeve(held) => ("differential-sleeve", held),
            Self::CamBolt(held) => ("cam-bolt", held),
            Self::Slot(held) => ("slot", held),
            Self::Shims(held) => ("shims", held),
        };
        object(json, &[(kind, true, held)]);
    }
}

impl Typed for String {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        *self = text(value)?;
        Ok(())
    }

    fn write(&self, json: &mut String) {
        quoted(json, self);
    }

    fn is_blank(&self) -> bool {
        self.is_empty()
    }
}

impl Typed for bool {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        *self = value
            .as_bool()
            .ok_or_else(|| expected("true or false", &value))?;
        Ok(())
    }

    fn write(&self, json: &mut String) {
        json.push_str(if *self { "true" } else { "false" });
    }

    fn is_blank(&self) -> bool {
        !*self
    }
}

impl Typed for u64 {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        *self = value
            .as_u64()
            .ok_or_else(|| expected("a whole number, such as 4", &value))?;
        Ok(())
    }

    fn write(&self, json: &mut String) {
        json.push_str(&self.to_string());
    }
}

impl Typed for u32 {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        let number = value
            .as_u64()
            .and_then(|number| Self::try_from(number).ok());
        *self = number.ok_or_else(|| expected("a whole number, such as 4", &value))?;
        Ok(())
    }

    fn write(&self, json: &mut String) {
        json.push_str(&self.to_string());
    }
}

impl Typed for i32 {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        let number = value
            .as_i64()
            .and_then(|number| Self::try_from(number).ok());
        *self = number.ok_or_else(|| expected("a whole number, such as -4", &value))?;
        Ok(())
    }

    fn write(&self, json: &mut String) {
        json.push_str(&self.to_string());
    }
}

impl<T: Typed + Default> Typed for Option<T> {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        if value.is_null() {
            return Ok(());
        }
        self.insert(T::default()).fill(value)
    }

    fn write(&self, json: &mut String) {
        match self {
            Some(value) => value.write(json),
            None => json.push_str("null"),
        }
    }

    fn is_blank(&self) -> bool {
        self.is_none()
    }
}

impl<T: Typed + Default> Typed for Vec<T> {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        for (index, value) in list(value)?.into_iter().enumerate() {
            let mut item = T::default();
            filled(&mut item, value, index)?;
            self.push(item);
        }
        Ok(())
    }

    fn write(&self, json: &mut String) {
        json.push('[');
        for item in self {
            comma(json);
            item.write(json);
        }
        json.push(']');
    }

    fn is_blank(&self) -> bool {
        self.is_empty()
    }
}

fn list(value: Value) -> Result<Vec<Value>, Fault> {
    match value {
        Value::Array(values) => Ok(values),
        other => Err(expected("a list in brackets", &other)),
    }
}

fn filled(item: &mut dyn Typed, value: Value, index: usize) -> Result<(), Fault> {
    item.fill(value)
        .map_err(|fault| fault.under(&format!("[{index}]")))
}

impl Typed for [ThreadedEnd; 2] {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        let ends = list(value)?;
        if ends.len() != self.len() {
            return Err(Fault::here(format!(
                "must be two ends, and has {}",
                ends.len()
            )));
        }
        self.iter_mut()
            .zip(ends)
            .enumerate()
            .try_for_each(|(index, (end, value))| filled(end, value, index))
    }

    fn write(&self, json: &mut String) {
        let [one, two] = self;
        json.push('[');
        one.write(json);
        json.push(',');
        two.write(json);
        json.push(']');
    }
}

impl<T: Typed + Default> Typed for Named<T> {
    fn fill(&mut self, value: Value) -> Result<(), Fault> {
        for (name, value) in Fields::of(value)?.left {
            self.place(&name)
                .fill(value)
                .map_err(|fault| fault.under(&name))?;
        }
        Ok(())
    }

    fn write(&self, json: &mut String) {
        json.push('{');
        for (name, value) in self.iter() {
            key(json, name);
            value.write(json);
        }
        json.push('}');
    }

    fn is_blank(&self) -> bool {
        self.is_empty()
    }
}

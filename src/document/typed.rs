//! Reading typed documents out of untyped JSON, with the way to the field that does not fit.
//!
//! serde's derived readers carry code for every order of fields and every shape of value, several times the bytes of all the formulas of
//! the page. A document has one shape: an object whose fields are taken by name. [`record!`] writes that out, and the tests hold its
//! lists to the published schema. Words (enums) and
//! quantities read themselves from text with serde.

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
pub trait Typed: Sized {
    /// Reads it from JSON.
    ///
    /// # Errors
    /// The field that does not fit, and why.
    fn typed(value: Value) -> Result<Self, Fault>;
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
    #[cold]
    #[inline(never)]
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

/// What a value is, in words.
fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "nothing",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}

fn expected(what: &str, value: &Value) -> Fault {
    Fault::here(format!("must be {what}, and is {}", kind_of(value)))
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

    /// A field's value, if it is there; a field that must be there and is not is a fault.
    #[inline(never)]
    fn take(&mut self, name: &str, needed: bool) -> Option<Value> {
        let value = self.left.remove(name);
        if needed && value.is_none() {
            self.keep(Fault::here("is missing"), name);
        }
        value
    }

    #[cold]
    #[inline(never)]
    fn keep(&mut self, fault: Fault, name: &str) {
        if self.fault.is_none() {
            self.fault = Some(fault.under(name));
        }
    }

    #[inline(never)]
    fn read<T: Typed>(&mut self, name: &str, needed: bool, place: &mut T) {
        if let Some(value) = self.take(name, needed) {
            match T::typed(value) {
                Ok(value) => *place = value,
                Err(fault) => self.keep(fault, name),
            }
        }
    }

    /// The first fault, or a field that is not known.
    #[inline(never)]
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

/// How a struct is read: fields that must be there, then fields that may be.
macro_rules! record {
    ($name:ident { $($need:ident),* } or { $($may:ident),* }) => {
        impl Typed for $name {
            #[inline(never)]
            fn typed(value: Value) -> Result<Self, Fault> {
                let mut fields = Fields::of(value)?;
                let mut record = Self::default();
                $(fields.read(stringify!($need), true, &mut record.$need);)*
                $(fields.read(stringify!($may), false, &mut record.$may);)*
                fields.end(&[$(stringify!($need),)* $(stringify!($may)),*])?;
                Ok(record)
            }
        }
    };
}

/// Types that read themselves from text.
macro_rules! words {
    ($($name:ident),*) => {
        $(impl Typed for $name {
            #[inline(never)]
            fn typed(value: Value) -> Result<Self, Fault> {
                Self::deserialize(StringDeserializer::<Fault>::new(String::typed(value)?))
            }
        })*
    };
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
record!(OrderOption { id, name, choices } or {});
record!(Choice { id, name } or {});
record!(Part { id, name, count } or { hand, when });
record!(Bag { name, items } or { when });
record!(BagItem { id, name, count } or { thread, length, grade, when });
record!(FitCheck { id, name, kind } or { when });
record!(CarCheck { id, name, distance, tolerance } or { when });
record!(Joint { id, name, count, thread, grade, nut, condition, tools, tighten } or { length, torque, pattern, locking, recheck, when });
record!(ToeArm { arm, lengthening } or {});
record!(CamberArm { arm, lengthening } or {});
record!(Adjuster { id, name, corner, mechanism } or { step, role, toe, camber, lock_torque, how });
record!(Pickup { id, name, choices } or {});
record!(AxleTarget { axle, toe, camber } or {});
record!(Target { aim, tolerance } or {});
record!(Section { name, steps } or { raised, when });
record!(Step { id, text } or { detail, caution, joint, observe, support, when });
record!(Caution { signal, hazard, consequence, avoid } or {});
record!(ThreadedEnd { name, thread, shank, jam_nut, unthreaded_lead, insert_depth, base_showing } or { hand, insert });
record!(RodEnd { turned, end } or {});
record!(Sleeve { ends } or {});
record!(CamBolt { eccentricity, notch, range } or {});
record!(Slot { range, step } or {});
record!(Shims { thinnest, most } or {});
record!(Entry { text } or { unit, sense });
record!(Job { id, started, changed, card, order } or { car, counts, findings, distances, pickups, marks, torques, settings, arms, rounds, notes });
record!(Car {} or { name, by, pressures, load, ride_heights, rim, front_track, rear_track, wheelbase });
record!(Finding {} or { answer, note });
record!(Mark { at } or { observed, skipped });
record!(SignOff { set } or { at });
record!(TapedArms {} or { toe, camber });
record!(Round {} or { started, rule, gauge, strings, front, rear, taken });
record!(Strings {} or { left_front, left_rear, right_front, right_rear, ahead, behind, apart });
record!(AxleRound {} or { toe_by, camber_by, treads, tread_points, floor, left, right });
record!(WheelRound {} or { string, toe, plumb, camber });
record!(Pair {} or { first, second, rolled });
record!(Taken {} or { steps, now, at });
record!(Preferences {} or { length, angle, toe, torque, theme });

impl Typed for Mechanism {
    fn typed(value: Value) -> Result<Self, Fault> {
        const KINDS: &str = "must be an object of one kind: rod-end, sleeve, differential-sleeve, cam-bolt, slot or shims";
        let mut fields = Fields::of(value)
            .map_err(|_| Fault::here(KINDS))?
            .left
            .into_iter();
        let (Some((kind, held)), None) = (fields.next(), fields.next()) else {
            return Err(Fault::here(KINDS));
        };
        match kind.as_str() {
            "rod-end" => Typed::typed(held).map(Self::RodEnd),
            "sleeve" => Typed::typed(held).map(Self::Sleeve),
            "differential-sleeve" => Typed::typed(held).map(Self::DifferentialSleeve),
            "cam-bolt" => Typed::typed(held).map(Self::CamBolt),
            "slot" => Typed::typed(held).map(Self::Slot),
            "shims" => Typed::typed(held).map(Self::Shims),
            _ => Err(Fault::here(format!("is not known here; {KINDS}"))),
        }
        .map_err(|fault| fault.under(&kind))
    }
}

impl Typed for String {
    #[inline(never)]
    fn typed(value: Value) -> Result<Self, Fault> {
        match value {
            Value::String(text) => Ok(text),
            other => Err(expected("text in quotes", &other)),
        }
    }
}

impl Typed for bool {
    fn typed(value: Value) -> Result<Self, Fault> {
        value
            .as_bool()
            .ok_or_else(|| expected("true or false", &value))
    }
}

impl Typed for u64 {
    fn typed(value: Value) -> Result<Self, Fault> {
        value
            .as_u64()
            .ok_or_else(|| expected("a whole number, such as 4", &value))
    }
}

impl Typed for u32 {
    fn typed(value: Value) -> Result<Self, Fault> {
        value
            .as_u64()
            .and_then(|number| Self::try_from(number).ok())
            .ok_or_else(|| expected("a whole number, such as 4", &value))
    }
}

impl Typed for i32 {
    fn typed(value: Value) -> Result<Self, Fault> {
        value
            .as_i64()
            .and_then(|number| Self::try_from(number).ok())
            .ok_or_else(|| expected("a whole number, such as -4", &value))
    }
}

impl<T: Typed> Typed for Option<T> {
    #[inline(never)]
    fn typed(value: Value) -> Result<Self, Fault> {
        if value.is_null() {
            Ok(None)
        } else {
            T::typed(value).map(Some)
        }
    }
}

impl<T: Typed> Typed for Vec<T> {
    #[inline(never)]
    fn typed(value: Value) -> Result<Self, Fault> {
        let Value::Array(values) = value else {
            return Err(expected("a list in brackets", &value));
        };
        let mut list = Self::with_capacity(values.len());
        for (index, value) in values.into_iter().enumerate() {
            list.push(T::typed(value).map_err(|fault| fault.under(&format!("[{index}]")))?);
        }
        Ok(list)
    }
}

impl Typed for [ThreadedEnd; 2] {
    fn typed(value: Value) -> Result<Self, Fault> {
        Self::try_from(Vec::typed(value)?)
            .map_err(|ends| Fault::here(format!("must be two ends, and has {}", ends.len())))
    }
}

impl<T: Typed> Typed for Named<T> {
    #[inline(never)]
    fn typed(value: Value) -> Result<Self, Fault> {
        let mut map = Self::default();
        for (key, value) in Fields::of(value)?.left {
            let value = T::typed(value).map_err(|fault| fault.under(&key))?;
            map.insert(key, value);
        }
        Ok(map)
    }
}

//! Typed documents out of untyped JSON and back, with the way to the field that does not fit.
//!
//! serde's derived code, which must serve every format, costs the page more bytes than all its formulas. A document has one shape: an
//! object whose fields are taken and written by name. [`record!`] lists them once; values are filled in place through `dyn` calls, and the tests hold the lists to the published schema. Enums are listed by [`words!`], each variant with its word;
//! threads and quantities read and write themselves as text. serde describes the same documents natively, for the schema.

use super::*;
use crate::adjuster::{
    CamBolt, Mechanism, RodEnd, Shims, Sleeve, Slot, Step as TurnStep, ThreadedEnd, Turned,
};
use crate::hardware::{Hand, Material, Thread};
use crate::linkage::{AxisEnd, Link, SteeringAxis, Strut, Vector, Wheel};
use crate::quantity::{Angle, AngleUnit, Length, LengthUnit, Stress, Torque, TorqueUnit};

/// Something a document holds.
pub trait Typed {
    /// Fills it from JSON. What does not fit leaves it in any state: the document is not taken then.
    ///
    /// # Errors
    /// The field that does not fit, and why.
    fn fill(&mut self, value: Json) -> Result<(), Fault>;

    /// Writes itself as JSON.
    fn write(&self, json: &mut String);

    /// Whether a field that may be left out is left out.
    fn is_blank(&self) -> bool {
        false
    }
}

/// Why values do not fit, and the way to each from where it was noticed.
#[derive(Debug)]
pub struct Fault(Vec<Inner>);

#[derive(Debug)]
struct Inner {
    way: String,
    message: String,
}

impl Fault {
    fn here(message: impl Into<String>) -> Self {
        Self(vec![Inner {
            way: String::new(),
            message: message.into(),
        }])
    }

    /// Noticed one step further up.
    fn under(mut self, step: &str) -> Self {
        for Inner { way, .. } in &mut self.0 {
            let join = if way.is_empty() || way.starts_with('[') {
                ""
            } else {
                "."
            };
            *way = format!("{step}{join}{way}");
        }
        self
    }

    /// As problems of a document.
    pub fn problems(self) -> Vec<Problem> {
        let problem = |Inner { way, message }| {
            let field = if way.is_empty() {
                "document".to_owned()
            } else {
                way
            };
            let stop = if message.ends_with('.') { "" } else { "." };
            Problem::at(field, format!("{message}{stop}"))
        };
        self.0.into_iter().map(problem).collect()
    }
}

/// The faults of values that were filled one after the other: each is tried, whatever became of those before it.
#[derive(Default)]
struct Faults(Vec<Inner>);

impl Faults {
    fn keep(&mut self, filled: Result<(), Fault>, step: &str) {
        if let Err(fault) = filled {
            self.0.extend(fault.under(step).0);
        }
    }

    /// As [`Self::keep`], of a value at a place in a list.
    fn keep_at(&mut self, filled: Result<(), Fault>, place: usize) {
        if filled.is_err() {
            self.keep(filled, &format!("[{place}]"));
        }
    }

    /// As [`Self::end`], told in this order of the fields; what is not among them last.
    fn end_in_order_of(mut self, names: &[&str]) -> Result<(), Fault> {
        if self.0.is_empty() {
            return Ok(());
        }
        let place_of = |Inner { way, .. }: &Inner| {
            let name = way.split(['.', '[']).next();
            names.iter().position(|known| Some(*known) == name)
        };
        let mut ordered = Self::default();
        for place in (0..names.len()).map(Some).chain([None]) {
            let (here, rest): (Vec<_>, _) = self
                .0
                .into_iter()
                .partition(|inner| place_of(inner) == place);
            ordered.0.extend(here);
            self.0 = rest;
        }
        ordered.end()
    }

    fn end(self) -> Result<(), Fault> {
        match self.0.is_empty() {
            true => Ok(()),
            false => Err(Fault(self.0)),
        }
    }
}

/// Something else than was expected, and what it is.
fn expected(what: &str, value: &Json) -> Fault {
    let is = match value {
        Json::Null => "nothing".to_owned(),
        Json::Bool(_) => "true or false".to_owned(),
        Json::Number(number) => number.chars().take(40).collect(),
        Json::Text(text) => format!("\"{}\"", text.chars().take(40).collect::<String>()),
        Json::List(_) => "a list".to_owned(),
        Json::Object(_) => "an object".to_owned(),
    };
    Fault::here(format!("must be {what}, and is {is}"))
}

/// The fields of an object, to be taken by name.
fn fields(value: Json) -> Result<Named<Json>, Fault> {
    match value {
        Json::Object(fields) => Ok(fields),
        other => Err(expected("an object in braces", &other)),
    }
}

/// A struct as its fields, so that the code for reading and writing them is there once.
trait Record {
    /// The names of the fields, and how many of them, from the first, must be there.
    fn names(&self) -> (&'static [&'static str], usize);

    /// The field of that place among the names.
    fn field(&self, place: usize) -> Option<&dyn Typed>;

    /// The field of that place among the names, to be filled.
    fn field_mut(&mut self, place: usize) -> Option<&mut dyn Typed>;
}

/// How a struct is read and written: fields that must be there, then fields that may be.
macro_rules! record {
    ($name:ident { $($need:ident),* } or { $($may:ident),* }) => {
        const _: () = {
            #[expect(non_camel_case_types)]
            enum Place { $($need,)* $($may),* }

            impl Record for $name {
                fn names(&self) -> (&'static [&'static str], usize) {
                    const NEEDED: &[&str] = &[$(stringify!($need)),*];
                    (&[$(stringify!($need),)* $(stringify!($may)),*], NEEDED.len())
                }

                fn field(&self, place: usize) -> Option<&dyn Typed> {
                    $(if place == Place::$need as usize { return Some(&self.$need); })*
                    $(if place == Place::$may as usize { return Some(&self.$may); })*
                    None
                }

                fn field_mut(&mut self, place: usize) -> Option<&mut dyn Typed> {
                    $(if place == Place::$need as usize { return Some(&mut self.$need); })*
                    $(if place == Place::$may as usize { return Some(&mut self.$may); })*
                    None
                }
            }
        };

        impl Typed for $name {
            fn fill(&mut self, value: Json) -> Result<(), Fault> {
                fill_record(self, value)
            }

            fn write(&self, json: &mut String) {
                write_record(self, json, "");
            }
        }
    };
}

fn fill_record(record: &mut dyn Record, value: Json) -> Result<(), Fault> {
    let (names, needed) = record.names();
    let mut faults = Faults::default();
    // What is there is looked for among the names, not each name among what is there: objects leave most out, and who opens a job waits for this.
    // A bit for each field that is there: no record has half as many.
    let mut there = 0_u64;
    for (name, value) in fields(value)? {
        let place = names.iter().position(|known| *known == name);
        let field = place.and_then(|place| Some((place, record.field_mut(place)?)));
        let filled = match field {
            Some((place, field)) => {
                there |= 1 << place;
                field.fill(value)
            }
            None => {
                let known = names.join(", ");
                Err(Fault::here(format!("is not known here; known are {known}")))
            }
        };
        faults.keep(filled, &name);
    }
    for (place, name) in names.iter().enumerate().take(needed) {
        if there & 1 << place == 0 {
            faults.keep(Err(Fault::here("is missing: add it")), name);
        }
    }
    faults.end_in_order_of(names)
}

/// Writes a job without its kit card.
pub(super) fn write_job_alone(job: &Job, json: &mut String) {
    write_record(job, json, "card");
}

/// Writes an object of the fields that are not left out, but for one of this name.
fn write_record(record: &dyn Record, json: &mut String, without: &str) {
    json.push('{');
    let (names, needed) = record.names();
    for (place, name) in names.iter().enumerate() {
        match record.field(place) {
            Some(field) if *name != without && (place < needed || !field.is_blank()) => {
                key(json, name);
                field.write(json);
            }
            _ => {}
        }
    }
    json.push('}');
}

/// Writes a field's name, and what stands between it and the field before.
pub(super) fn key(json: &mut String, name: &str) {
    comma(json);
    quoted(json, name);
    json.push(':');
}

/// Writes what stands between a value and the one before.
pub(super) fn comma(json: &mut String) {
    if !matches!(json.as_bytes().last(), Some(b'{' | b'[')) {
        json.push(',');
    }
}

/// Whether a byte of a text is not written as it is (RFC 8259, section 7).
pub(super) fn is_escaped(byte: u8) -> bool {
    matches!(byte, b'"' | b'\\' | ..=0x1f)
}

/// Writes a text in quotes.
pub(super) fn quoted(json: &mut String, text: &str) {
    json.push('"');
    let mut written = 0;
    for (at, byte) in text.bytes().enumerate() {
        if is_escaped(byte) {
            // It is a character of one byte, so what stands before it is whole.
            json.push_str(text.get(written..at).unwrap_or_default());
            match byte {
                b'"' | b'\\' => json.push('\\'),
                byte => json.push_str(&format!("\\u{byte:04x}")),
            }
            written = at + usize::from(byte < b' ');
        }
    }
    json.push_str(text.get(written..).unwrap_or_default());
    json.push('"');
}

/// Types that read and write themselves as text.
macro_rules! texts {
    ($($name:ident),*) => {
        $(impl Typed for $name {
            fn fill(&mut self, value: Json) -> Result<(), Fault> {
                *self = Self::from_document(&text(value)?).map_err(Fault::here)?;
                Ok(())
            }

            fn write(&self, json: &mut String) {
                quoted(json, &self.to_document());
            }
        })*
    };
}

texts!(Thread, Vector, Length, Angle, Torque, Stress);

/// Enums, each with the word that stands for each of its variants.
macro_rules! words {
    ($($name:ident { $($variant:ident = $word:literal),* })*) => {
        $(impl Typed for $name {
            fn fill(&mut self, value: Json) -> Result<(), Fault> {
                let known = [$(Self::$variant),*];
                // The place of the word is the place of its variant.
                let place = place_of(&text(value)?, &[$($word),*])?;
                known.get(place).map_or(Ok(()), |variant| {
                    *self = *variant;
                    Ok(())
                })
            }

            fn write(&self, json: &mut String) {
                quoted(json, match self {
                    $(Self::$variant => $word),*
                });
            }
        })*
    };
}

fn place_of(word: &str, words: &[&str]) -> Result<usize, Fault> {
    words
        .iter()
        .position(|known| *known == word)
        .ok_or_else(|| {
            let known = match words {
                [one, other] => format!("`{one}` or `{other}`"),
                _ => format!("one of `{}`", words.join("`, `")),
            };
            Fault::here(format!("unknown variant `{word}`, expected {known}"))
        })
}

fn text(value: Json) -> Result<String, Fault> {
    match value {
        Json::Text(text) => Ok(text),
        other => Err(expected("text in quotes", &other)),
    }
}

words! {
    Handed { Left = "left", Right = "right", Either = "either" }
    FitKind { Hole = "hole", Thread = "thread", Spline = "spline", Bushing = "bushing", Finish = "finish" }
    Tighten { OnStands = "on-stands", AtRideHeight = "at-ride-height" }
    Corner { LeftFront = "left-front", RightFront = "right-front", LeftRear = "left-rear", RightRear = "right-rear" }
    Axle { Rear = "rear", Front = "front" }
    LinkEnd { Car = "car", Carrier = "carrier" }
    Role { First = "first", Further = "further" }
    ToeSense { ToeIn = "toe-in", ToeOut = "toe-out" }
    CamberSense { TopIn = "top-in", TopOut = "top-out" }
    Signal { Danger = "danger", Warning = "warning", Caution = "caution", Notice = "notice" }
    Unit {
        Count = "", Millimetre = "mm", Inch = "in", Degree = "deg", Minute = "min", NewtonMetre = "N·m", PoundFoot = "lbf·ft",
        PoundInch = "lbf·in", KilogramForceMetre = "kgf·m"
    }
    Sense { Plus = "plus", Minus = "minus" }
    Answer { Right = "right", Usable = "usable", Wrong = "wrong" }
    HeldWay { Hold = "hold", BackOrder = "back-order" }
    ToeBy { Strings = "strings", Treads = "treads", Rack = "rack" }
    CamberBy { Plumb = "plumb", Gauge = "gauge", Phone = "phone", Rack = "rack" }
    ToeShown { Angle = "angle", Rim = "rim" }
    Theme { Light = "light", Dark = "dark" }
    Hands { Usual = "usual", Big = "big" }
    Turned { Eye = "eye", Bar = "bar" }
    TurnStep { HalfFlat = "half-flat", Flat = "flat", HalfTurn = "half-turn", Turn = "turn" }
    Hand { Right = "right", Left = "left" }
    Material { Steel = "steel", Aluminium = "aluminium" }
    LengthUnit { Millimetre = "mm", Inch = "in" }
    AngleUnit { Degree = "deg", Minute = "min" }
    TorqueUnit { NewtonMetre = "N·m", PoundFoot = "lbf·ft", PoundInch = "lbf·in", KilogramForceMetre = "kgf·m" }
}

record!(KitCard { name, maker, revision, fits, parts, joints, adjusters, targets, sections, before_load, before_drive } or { notes, options, bags, fit_checks, car_points, car_checks, geometry, pickups, uses, advice, revisions });
record!(Use { id, name } or {  });
record!(Advice { uses, text } or { when });
record!(Revision { revision, note } or { date });
record!(OrderOption { id, name, choices } or {  });
record!(Choice { id, name } or {  });
record!(Part { id, name, count } or { hand, when });
record!(Bag { name, items } or { when });
record!(BagItem { id, name, count } or { thread, length, grade, when });
record!(FitCheck { id, name, kind } or { bolt, slot, on_car, when });
record!(CarPoint { id, name, at } or {  });
record!(CarCheck { id, name, distance, tolerance } or { between, when });
record!(Joint { id, name, count, thread, grade, nut, condition, tighten } or { length, torque, tools, pattern, locking, recheck, when });
record!(ToeArm { arm, lengthening } or {  });
record!(CamberArm { arm, lengthening } or {  });
record!(Adjuster { id, name, corner, mechanism } or { step, role, toe, camber, moves, lock_torque, how });
record!(Moves {  } or { links, joints, strut_top, towards });
record!(CornerGeometry { corner, wheel, links } or { strut, steering_axis, accuracy, rod_ends, travel, rack, half_shaft });
record!(Travel { bump, droop } or {  });
record!(RackTravel { link, each_way } or {  });
record!(HalfShaft { inner, outer, shorter, longer } or {  });
record!(RodEndLimit { link, at, bolt, most } or {  });
record!(Wheel { centre, radius, toe, camber } or {  });
record!(Link { name, car, carrier } or {  });
record!(Strut { top, on_axis } or {  });
record!(SteeringAxis { lower, upper } or {  });
record!(Pickup { id, name, choices } or {  });
record!(AxleTarget { axle, toe, camber } or { total_toe, thrust, cross_camber });
record!(Target { aim, tolerance } or {  });
record!(Section { name, steps } or { raised, when });
record!(Step { id, text } or { detail, caution, joint, observe, support, when });
record!(Caution { signal, hazard, consequence, avoid } or {  });
record!(ThreadedEnd { name, thread, shank, jam_nut, unthreaded_lead, insert_depth, base_showing } or { hand, insert, shank_strength, insert_strength });
record!(RodEnd { turned, end } or {  });
record!(Sleeve { ends } or {  });
record!(CamBolt { eccentricity, notch, range } or {  });
record!(Slot { range, step } or {  });
record!(Shims { thinnest, most } or {  });
record!(Entry { text } or { unit, sense });
record!(Job { id, started, changed, card, order } or { car, counts, findings, distances, pickups, marks, torques, settings, arms, rounds, notes, archived, uses, outgoing });
record!(Outgoing {  } or { order, held });
record!(Held { way } or { note });
record!(Car {  } or { name, by, pressures, load, ride_heights, rim, front_track, rear_track, wheelbase });
record!(Finding {  } or { answer, hole, note });
record!(Mark { at } or { observed, skipped });
record!(SignOff { set } or { at, by });
record!(TapedArms {  } or { toe, camber });
record!(Round {  } or { started, rule, gauge, checks, strings, front, rear, taken });
record!(Strings {  } or { left_front, left_rear, right_front, right_rear, ahead, behind, apart });
record!(AxleRound {  } or { toe_by, camber_by, treads, tread_points, floor, floor_phone, left, right });
record!(WheelRound {  } or { string, toe, plumb, camber, phone, swing });
record!(PhonePair {  } or { a, b, turned });
record!(PhoneTilt {  } or { mean, spread, step, looks });
record!(SwingRead {  } or { steer, left, straight, right });
record!(Pair {  } or { first, second, rolled });
record!(Taken {  } or { steps, step, now, at });
record!(Preferences {  } or { length, angle, toe, torque, theme, hands });

/// An object of one field, whose name says which kind of thing it holds.
fn one_of(value: Json, kinds: &'static str) -> Result<(String, Json), Fault> {
    let fields = fields(value).map_err(|_| Fault::here(kinds))?;
    let mut fields = fields.into_iter();
    match (fields.next(), fields.next()) {
        (Some(one), None) => Ok(one),
        _ => Err(Fault::here(kinds)),
    }
}

fn unknown_kind(kind: &str, kinds: &str) -> Fault {
    Fault::here(format!("is not known here; {kinds}")).under(kind)
}

fn write_one(json: &mut String, kind: &str, held: &dyn Typed) {
    json.push('{');
    key(json, kind);
    held.write(json);
    json.push('}');
}

impl Typed for Mechanism {
    fn fill(&mut self, value: Json) -> Result<(), Fault> {
        const KINDS: &str = "must be an object of one kind: rod-end, sleeve, differential-sleeve, cam-bolt, slot or shims";
        let (kind, held) = one_of(value, KINDS)?;
        *self = match kind.as_str() {
            "rod-end" => Self::RodEnd(RodEnd::default()),
            "sleeve" => Self::Sleeve(Sleeve::default()),
            "differential-sleeve" => Self::DifferentialSleeve(Sleeve::default()),
            "cam-bolt" => Self::CamBolt(CamBolt::default()),
            "slot" => Self::Slot(Slot::default()),
            "shims" => Self::Shims(Shims::default()),
            _ => return Err(unknown_kind(&kind, KINDS)),
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
        write_one(json, kind, held);
    }
}

impl Typed for AxisEnd {
    fn fill(&mut self, value: Json) -> Result<(), Fault> {
        const KINDS: &str = "must be an object of one kind: carrier or car";
        let (kind, held) = one_of(value, KINDS)?;
        let mut point = Vector::default();
        point.fill(held).map_err(|fault| fault.under(&kind))?;
        *self = match kind.as_str() {
            "carrier" => Self::Carrier(point),
            "car" => Self::Car(point),
            _ => return Err(unknown_kind(&kind, KINDS)),
        };
        Ok(())
    }

    fn write(&self, json: &mut String) {
        match self {
            Self::Carrier(point) => write_one(json, "carrier", point),
            Self::Car(point) => write_one(json, "car", point),
        }
    }
}

impl Typed for String {
    fn fill(&mut self, value: Json) -> Result<(), Fault> {
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
    fn fill(&mut self, value: Json) -> Result<(), Fault> {
        let Json::Bool(held) = value else {
            return Err(expected("true or false", &value));
        };
        *self = held;
        Ok(())
    }

    fn write(&self, json: &mut String) {
        json.push_str(if *self { "true" } else { "false" });
    }

    fn is_blank(&self) -> bool {
        !*self
    }
}

/// Whole numbers, each with an example.
macro_rules! whole {
    ($($name:ident $example:literal),*) => {
        $(impl Typed for $name {
            fn fill(&mut self, value: Json) -> Result<(), Fault> {
                *self = digits(&value)
                    .parse()
                    .map_err(|_| expected(concat!("a whole number, such as ", $example), &value))?;
                Ok(())
            }

            fn write(&self, json: &mut String) {
                json.push_str(&self.to_string());
            }
        })*
    };
}

whole!(u64 "4", u32 "4", i32 "-4");

/// A number as it is written; nothing for another value.
fn digits(value: &Json) -> &str {
    match value {
        Json::Number(digits) => digits,
        _ => "",
    }
}

/// A value that may be left out, seen without its type.
trait Maybe {
    /// A value there.
    fn put(&mut self) -> &mut dyn Typed;
}

impl<T: Typed + Default> Maybe for Option<T> {
    fn put(&mut self) -> &mut dyn Typed {
        self.insert(T::default())
    }
}

impl<T: Typed + Default> Typed for Option<T> {
    fn fill(&mut self, value: Json) -> Result<(), Fault> {
        fill_maybe(self, value)
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

fn fill_maybe(place: &mut dyn Maybe, value: Json) -> Result<(), Fault> {
    match value {
        Json::Null => Ok(()),
        value => place.put().fill(value),
    }
}

/// Values of one kind, seen without their type, so that the code for reading and writing them is there once.
trait Many {
    /// Another value, of a name where they have names.
    fn another(&mut self, name: &str) -> &mut dyn Typed;

    /// Each value with its name, in order.
    fn each(&self, see: &mut dyn FnMut(&str, &dyn Typed));
}

impl<T: Typed + Default> Many for Vec<T> {
    fn another(&mut self, _: &str) -> &mut dyn Typed {
        self.push_mut(T::default())
    }

    fn each(&self, see: &mut dyn FnMut(&str, &dyn Typed)) {
        for item in self {
            see("", item);
        }
    }
}

impl<T: Typed + Default> Typed for Vec<T> {
    fn fill(&mut self, value: Json) -> Result<(), Fault> {
        fill_list(self, value)
    }

    fn write(&self, json: &mut String) {
        write_list(self, json);
    }

    fn is_blank(&self) -> bool {
        self.is_empty()
    }
}

fn fill_list(items: &mut dyn Many, value: Json) -> Result<(), Fault> {
    let mut faults = Faults::default();
    for (index, value) in list(value)?.into_iter().enumerate() {
        faults.keep_at(items.another("").fill(value), index);
    }
    faults.end()
}

fn write_list(items: &dyn Many, json: &mut String) {
    json.push('[');
    items.each(&mut |_, item| {
        comma(json);
        item.write(json);
    });
    json.push(']');
}

fn list(value: Json) -> Result<Vec<Json>, Fault> {
    match value {
        Json::List(values) => Ok(values),
        other => Err(expected("a list in brackets", &other)),
    }
}

impl<T: Typed> Typed for [T; 2] {
    fn fill(&mut self, value: Json) -> Result<(), Fault> {
        let [one, two] = self;
        fill_two([one, two], value)
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

fn fill_two(places: [&mut dyn Typed; 2], value: Json) -> Result<(), Fault> {
    let values = list(value)?;
    if values.len() != places.len() {
        return Err(Fault::here(format!(
            "must be two, and has {}",
            values.len()
        )));
    }
    let mut faults = Faults::default();
    for (index, (place, value)) in places.into_iter().zip(values).enumerate() {
        faults.keep_at(place.fill(value), index);
    }
    faults.end()
}

impl<T: Typed + Default> Many for Named<T> {
    fn another(&mut self, name: &str) -> &mut dyn Typed {
        self.place(name)
    }

    fn each(&self, see: &mut dyn FnMut(&str, &dyn Typed)) {
        for (name, value) in self.iter() {
            see(name, value);
        }
    }
}

impl<T: Typed + Default> Typed for Named<T> {
    fn fill(&mut self, value: Json) -> Result<(), Fault> {
        fill_named(self, value)
    }

    fn write(&self, json: &mut String) {
        write_named(self, json);
    }

    fn is_blank(&self) -> bool {
        self.is_empty()
    }
}

fn fill_named(values: &mut dyn Many, value: Json) -> Result<(), Fault> {
    let mut faults = Faults::default();
    for (name, value) in fields(value)? {
        faults.keep(values.another(&name).fill(value), &name);
    }
    faults.end()
}

fn write_named(values: &dyn Many, json: &mut String) {
    json.push('{');
    values.each(&mut |name, value| {
        key(json, name);
        value.write(json);
    });
    json.push('}');
}

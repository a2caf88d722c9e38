//! A job: one car being done with one kit card. It holds what was typed and marked; every result is computed anew.

use super::Named;
use super::kit_card::{Axle, KitCard, Order, Side};
use crate::adjuster::Step as TurnStep;
use crate::quantity::{
    Angle, AngleUnit, Length, LengthUnit, ReadAngle, ReadError, ToeUnit, Torque, TorqueUnit,
    read_angle, read_length, read_toe, read_torque,
};
use serde::{Deserialize, Serialize};

/// A moment in milliseconds since 1970, as the device's clock gave it.
pub type Moment = u64;

/// The unit that a typed number without a unit is in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unit {
    /// A plain count.
    #[default]
    #[serde(rename = "")]
    Count,
    /// Millimetre.
    #[serde(rename = "mm")]
    Millimetre,
    /// Inch.
    #[serde(rename = "in")]
    Inch,
    /// Decimal degree.
    #[serde(rename = "deg")]
    Degree,
    /// Minute of arc.
    #[serde(rename = "min")]
    Minute,
    /// Newton metre.
    #[serde(rename = "N·m")]
    NewtonMetre,
    /// Pound-force foot.
    #[serde(rename = "lbf·ft")]
    PoundFoot,
    /// Pound-force inch.
    #[serde(rename = "lbf·in")]
    PoundInch,
    /// Kilogram-force metre.
    #[serde(rename = "kgf·m")]
    KilogramForceMetre,
}

impl Unit {
    /// As it stands beside a field.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Count => "",
            Self::Millimetre => "mm",
            Self::Inch => "in",
            Self::Degree => "°",
            Self::Minute => "′",
            Self::NewtonMetre => "N·m",
            Self::PoundFoot => "lbf·ft",
            Self::PoundInch => "lbf·in",
            Self::KilogramForceMetre => "kgf·m",
        }
    }
}

impl From<LengthUnit> for Unit {
    fn from(unit: LengthUnit) -> Self {
        match unit {
            LengthUnit::Millimetre => Self::Millimetre,
            LengthUnit::Inch => Self::Inch,
        }
    }
}

impl From<AngleUnit> for Unit {
    fn from(unit: AngleUnit) -> Self {
        match unit {
            AngleUnit::Degree => Self::Degree,
            AngleUnit::Minute => Self::Minute,
        }
    }
}

impl From<TorqueUnit> for Unit {
    fn from(unit: TorqueUnit) -> Self {
        match unit {
            TorqueUnit::NewtonMetre => Self::NewtonMetre,
            TorqueUnit::PoundFoot => Self::PoundFoot,
            TorqueUnit::PoundInch => Self::PoundInch,
            TorqueUnit::KilogramForceMetre => Self::KilogramForceMetre,
        }
    }
}

/// The way of a signed reading, chosen in words because phone keypads have no minus.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sense {
    /// Toe-in, top out, left side higher, towards the outside.
    #[default]
    Plus,
    /// Toe-out, top in, right side higher, towards the inside.
    Minus,
}

/// What was typed into a field, kept as it was typed, with the unit it was meant in.
///
/// A field keeps its unit when the preference changes later, so a number is never read in a unit it was not typed in.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// The text.
    pub text: String,
    /// What a number without a unit is in.
    #[serde(default)]
    pub unit: Unit,
    /// The way chosen, for signed readings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sense: Option<Sense>,
}

impl Entry {
    /// Whether nothing was typed.
    pub fn is_empty(&self) -> bool {
        self.text.trim().is_empty()
    }

    const fn length_unit(&self) -> LengthUnit {
        match self.unit {
            Unit::Inch => LengthUnit::Inch,
            _ => LengthUnit::Millimetre,
        }
    }

    const fn angle_unit(&self) -> AngleUnit {
        match self.unit {
            Unit::Minute => AngleUnit::Minute,
            _ => AngleUnit::Degree,
        }
    }

    /// The unit a length was meant in.
    pub const fn meant_in(&self) -> LengthUnit {
        self.length_unit()
    }

    /// As a length.
    ///
    /// # Errors
    /// What was expected.
    pub fn length(&self) -> Result<Length, ReadError> {
        read_length(&self.text, self.length_unit())
    }

    /// As a torque.
    ///
    /// # Errors
    /// What was expected.
    pub fn torque(&self) -> Result<Torque, ReadError> {
        let unit = match self.unit {
            Unit::PoundFoot => TorqueUnit::PoundFoot,
            Unit::PoundInch => TorqueUnit::PoundInch,
            Unit::KilogramForceMetre => TorqueUnit::KilogramForceMetre,
            _ => TorqueUnit::NewtonMetre,
        };
        read_torque(&self.text, unit)
    }

    /// As an angle without a way, such as a smallest division.
    ///
    /// # Errors
    /// What was expected.
    pub fn division(&self) -> Result<Angle, ReadError> {
        match read_angle(&self.text, self.angle_unit())? {
            ReadAngle { signed: true, .. } => Err(ReadError::Signed),
            read => Ok(read.angle),
        }
    }

    /// As an angle with its way: the sign that was typed, or else the way that was chosen.
    ///
    /// # Errors
    /// What was expected, or that the way is missing.
    pub fn angle(&self, ways: [&'static str; 2]) -> Result<Angle, ReadError> {
        self.with_way(read_angle(&self.text, self.angle_unit())?, ways)
    }

    /// As the toe of one wheel with its way. A length needs the distance across the rim.
    ///
    /// # Errors
    /// What was expected, or that the way or the rim is missing.
    pub fn toe(&self, across: Option<Length>) -> Result<Angle, ReadError> {
        let unit = match self.unit {
            Unit::Millimetre => ToeUnit::Rim(LengthUnit::Millimetre),
            Unit::Inch => ToeUnit::Rim(LengthUnit::Inch),
            _ => ToeUnit::Angle(self.angle_unit()),
        };
        self.with_way(read_toe(&self.text, unit, across)?, ["toe-in", "toe-out"])
    }

    fn with_way(&self, read: ReadAngle, ways: [&'static str; 2]) -> Result<Angle, ReadError> {
        match self.sense {
            // A typed sign speaks for itself, and nothing has no way.
            _ if read.signed || read.angle == Angle::ZERO => Ok(read.angle),
            Some(Sense::Plus) => Ok(read.angle),
            Some(Sense::Minus) => Ok(-read.angle),
            None => Err(ReadError::NoWay { ways }),
        }
    }

    /// The way the text and the choice come to together, for showing.
    pub fn way(&self) -> Option<Sense> {
        match self.text.trim_start().chars().next() {
            Some('-' | '\u{2212}' | '\u{2013}') => Some(Sense::Minus),
            Some('+') => Some(Sense::Plus),
            _ => self.sense,
        }
    }
}

/// One car being done with one kit card.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// Names it in storage and in the address: letters and digits.
    pub id: String,
    /// When it was started.
    pub started: Moment,
    /// When it was last changed.
    pub changed: Moment,
    /// The kit card as it was when the job was started.
    pub card: KitCard,
    /// The choices ordered.
    pub order: Order,
    /// The car.
    #[serde(default)]
    pub car: Car,
    /// How many came, by part or bag item.
    #[serde(default)]
    pub counts: Named<Entry>,
    /// What the hand found, by fit check.
    #[serde(default)]
    pub findings: Named<Finding>,
    /// Distances measured on the car, by check.
    #[serde(default)]
    pub distances: Named<Entry>,
    /// The hole taken, by bracket; none: the base choice.
    #[serde(default)]
    pub pickups: Named<String>,
    /// What became of each step.
    #[serde(default)]
    pub marks: Named<Mark>,
    /// Joints signed off.
    #[serde(default)]
    pub torques: Named<SignOff>,
    /// The base setting measured, by adjuster: an entry for each of its ends.
    #[serde(default)]
    pub settings: Named<Vec<Entry>>,
    /// Lever arms measured with a tape, by adjuster: they stand in for the card's.
    #[serde(default)]
    pub arms: Named<TapedArms>,
    /// Rounds of reading and turning, oldest first.
    #[serde(default)]
    pub rounds: Vec<Round>,
    /// Free notes.
    #[serde(default)]
    pub notes: String,
    /// Whether it was put away: the list folds it in at its end.
    #[serde(default)]
    pub archived: bool,
    /// How the car is used: ids of the card's uses.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub uses: Vec<String>,
    /// What makes it a check of a box before it ships, which has no car.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outgoing: Option<Outgoing>,
}

/// A check of a box before it ships: the card's list counted and tried in the maker's shop.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Outgoing {
    /// Whose order it is, in free words.
    pub order: String,
    /// What becomes of what is short, by part or bag item.
    pub held: Named<Held>,
}

/// What becomes of something that is short.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeldWay {
    /// The box is held until it is there.
    #[default]
    Hold,
    /// The box ships, and it is sent after.
    BackOrder,
}

/// What becomes of something that is short, and why.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Held {
    /// What becomes of it.
    pub way: HeldWay,
    /// Free words.
    #[serde(default)]
    pub note: String,
}

/// The car as it stands.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Car {
    /// What it is, in free words.
    pub name: String,
    /// Who works on it, in free words; printed on the sheet.
    pub by: String,
    /// Tyre pressures in free words.
    pub pressures: String,
    /// Fuel and ballast in free words.
    pub load: String,
    /// Ride height, by corner as the corner is written in a document.
    pub ride_heights: Named<Entry>,
    /// Distance across the rim between the two points measured to.
    pub rim: Entry,
    /// Hub face to hub face at the front.
    pub front_track: Entry,
    /// Hub face to hub face at the rear.
    pub rear_track: Entry,
    /// Axle to axle.
    pub wheelbase: Entry,
}

/// What the hand or the eye found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// As it should be.
    #[default]
    Right,
    /// Usable, with a note.
    Usable,
    /// Not to be fitted.
    Wrong,
}

/// What a fit check found.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Finding {
    /// The answer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answer: Option<Answer>,
    /// The hole's diameter, measured once or in two directions square to each other.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub hole: Vec<Entry>,
    /// Free words.
    pub note: String,
}

/// What became of a step.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// When.
    pub at: Moment,
    /// What was observed, for steps that ask.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub observed: String,
    /// Why it was skipped; none: it was done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skipped: Option<String>,
}

/// A joint signed off at the value set.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct SignOff {
    /// The torque set.
    pub set: Entry,
    /// When; none: not signed off yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Moment>,
    /// By whom, in free words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub by: String,
}

/// Lever arms of an adjuster measured with a tape.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct TapedArms {
    /// The arm on toe.
    pub toe: Entry,
    /// The arm on camber.
    pub camber: Entry,
}

/// How toe was read on an axle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToeBy {
    /// Strings on both sides of the car.
    #[default]
    Strings,
    /// A tape across the treads, front and rear of the tyres.
    Treads,
    /// Figures from an alignment rack.
    Rack,
}

/// How camber was read on an axle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CamberBy {
    /// A plumb line or straightedge beside the wheel.
    #[default]
    Plumb,
    /// A level or angle gauge on the wheel.
    Gauge,
    /// A phone along a bar across the rim, in two positions.
    Phone,
    /// Figures from an alignment rack.
    Rack,
}

/// One round: what was read, and what was turned after it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Round {
    /// When it was begun.
    pub started: Moment,
    /// Smallest division of the rule or tape.
    pub rule: Entry,
    /// Smallest division of the gauge or rack.
    pub gauge: Entry,
    /// What was done before reading, by check.
    pub checks: Named<Mark>,
    /// Where the strings run.
    pub strings: Strings,
    /// The front axle.
    pub front: AxleRound,
    /// The rear axle.
    pub rear: AxleRound,
    /// Adjusters turned, by adjuster.
    pub taken: Named<Taken>,
}

impl Round {
    /// What was read on an axle.
    pub const fn axle(&self, axle: Axle) -> &AxleRound {
        match axle {
            Axle::Front => &self.front,
            Axle::Rear => &self.rear,
        }
    }

    /// What was read on an axle, to be changed.
    pub const fn axle_mut(&mut self, axle: Axle) -> &mut AxleRound {
        match axle {
            Axle::Front => &mut self.front,
            Axle::Rear => &mut self.rear,
        }
    }
}

/// Where the two strings run past the car.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Strings {
    /// String to hub face, left front.
    pub left_front: Entry,
    /// String to hub face, left rear.
    pub left_rear: Entry,
    /// String to hub face, right front.
    pub right_front: Entry,
    /// String to hub face, right rear.
    pub right_rear: Entry,
    /// String to string, measured ahead of the car.
    pub ahead: Entry,
    /// String to string, measured behind the car.
    pub behind: Entry,
    /// How far apart those two places are.
    pub apart: Entry,
}

/// What was read on one axle.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct AxleRound {
    /// How toe was read.
    pub toe_by: ToeBy,
    /// How camber was read.
    pub camber_by: CamberBy,
    /// Tape across the treads: ahead and behind.
    pub treads: Vec<Pair>,
    /// Distance between the two tread points of one tyre.
    pub tread_points: Entry,
    /// Cross-slope of the floor under this axle.
    pub floor: Entry,
    /// The same by a phone along a bar on the floor: it goes before what was typed.
    pub floor_phone: Vec<PhonePair>,
    /// The left wheel.
    pub left: WheelRound,
    /// The right wheel.
    pub right: WheelRound,
}

impl AxleRound {
    /// What was read on a wheel.
    pub const fn wheel(&self, side: Side) -> &WheelRound {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }

    /// What was read on a wheel, to be changed.
    pub const fn wheel_mut(&mut self, side: Side) -> &mut WheelRound {
        match side {
            Side::Left => &mut self.left,
            Side::Right => &mut self.right,
        }
    }
}

/// What was read on one wheel, each with its repeats.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct WheelRound {
    /// String to the rim's front and rear edge.
    pub string: Vec<Pair>,
    /// Toe typed as an angle, or as a length at the rim.
    pub toe: Vec<Entry>,
    /// Plumb line to the rim's top and bottom edge.
    pub plumb: Vec<Pair>,
    /// Camber typed as an angle.
    pub camber: Vec<Entry>,
    /// A phone along a bar across the rim.
    pub phone: Vec<PhonePair>,
    /// Camber at a steer to either side, once it is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub swing: Option<SwingRead>,
}

/// Two positions of a phone: in A its screen looks backward along the car, in B forward.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct PhonePair {
    /// Position A.
    pub a: PhoneTilt,
    /// Position B.
    pub b: PhoneTilt,
    /// By how much the screen was turned between them.
    pub turned: Entry,
}

/// What a phone read in one position.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct PhoneTilt {
    /// The mean angle of its edge, clockwise positive, seen by who looks at the screen.
    pub mean: Entry,
    /// The standard deviation.
    pub spread: Entry,
    /// The sensor's step.
    pub step: Entry,
    /// How many looks went into it.
    pub looks: u32,
}

/// Camber of a front wheel steered to either side.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct SwingRead {
    /// By how much the wheel was steered each way.
    pub steer: Entry,
    /// Camber steered to the left.
    pub left: Entry,
    /// Camber straight ahead.
    pub straight: Entry,
    /// Camber steered to the right.
    pub right: Entry,
}

/// Two distances read together.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Pair {
    /// To the front edge, or the top.
    pub first: Entry,
    /// To the rear edge, or the bottom.
    pub second: Entry,
    /// Read after rolling the wheel half a turn.
    pub rolled: bool,
}

/// An adjuster turned.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Taken {
    /// Whole steps turned, lengthening positive.
    pub steps: i32,
    /// The step they were; none: the adjuster's usual one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<TurnStep>,
    /// What shows now, an entry for each of its ends.
    pub now: Vec<Entry>,
    /// When it was confirmed; none: still being done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Moment>,
}

impl Job {
    /// A new job on a card, with the usual order.
    pub fn new(id: String, card: KitCard, now: Moment) -> Self {
        Self {
            id,
            started: now,
            changed: now,
            order: card.usual_order(),
            car: Car {
                name: card.fits.split(',').next().unwrap_or_default().to_owned(),
                ..Car::default()
            },
            card,
            counts: Named::default(),
            findings: Named::default(),
            distances: Named::default(),
            pickups: Named::default(),
            marks: Named::default(),
            torques: Named::default(),
            settings: Named::default(),
            arms: Named::default(),
            rounds: Vec::new(),
            notes: String::new(),
            archived: false,
            uses: Vec::new(),
            outgoing: None,
        }
    }

    /// The check of a box by a card, before it ships.
    pub fn to_ship(id: String, card: KitCard, now: Moment) -> Self {
        Self {
            outgoing: Some(Outgoing::default()),
            ..Self::new(id, card, now)
        }
    }

    /// A job with the same kit on another car: its card, its order and who does the work. What was counted, found, measured and signed
    /// off was so for one kit on one car, and is not taken along.
    pub fn again(&self, id: String, now: Moment) -> Self {
        let mut job = Self::new(id, self.card.clone(), now);
        job.order = self.order.clone();
        job.car.by = self.car.by.clone();
        job
    }
}

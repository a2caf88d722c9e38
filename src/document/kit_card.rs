//! The kit card: what a kit maker writes once about a kit.
//!
//! Lengths, angles and torques are written with their unit (`"6.35 mm"`, `"1/4 in"`, `"0.1 deg"`, `"75 N·m"`), so that a
//! card can never be read in the wrong one.

use super::Named;
use crate::adjuster::{Mechanism, Step as TurnStep};
use crate::hardware::Thread;
use crate::linkage::{
    self, Geometry, JointLimit, Link, Mover, Rack, Range, SteeringAxis, Strut, Vector, Wheel,
    mirrored,
};
use crate::quantity::{Angle, Length, Torque};
use serde::{Deserialize, Serialize};

/// What was ordered: for each option of the card the choice taken.
pub type Order = Named<String>;

/// The document a kit maker writes once: parts, hardware, joints, adjusters, targets and steps.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct KitCard {
    /// What the kit is called.
    pub name: String,
    /// Who makes it.
    pub maker: String,
    /// Revision of this card, as the maker counts them.
    pub revision: String,
    /// The car it fits.
    pub fits: String,
    /// Anything the fitter should know before starting.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// What an order may choose.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<OrderOption>,
    /// Loose parts in the box.
    pub parts: Vec<Part>,
    /// Bags of hardware in the box.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bags: Vec<Bag>,
    /// What is tried by hand before anything is fitted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fit_checks: Vec<FitCheck>,
    /// The car's own mounting points. Distances between them say together which of them is off.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub car_points: Vec<CarPoint>,
    /// Distances between the car's own mounting points, measured before fitting.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub car_checks: Vec<CarCheck>,
    /// Every joint that is tightened.
    pub joints: Vec<Joint>,
    /// Every adjuster, corner by corner.
    pub adjusters: Vec<Adjuster>,
    /// Hardpoints, corner by corner, with every adjuster at its base: its base showing, the middle of its cam or slot, no shims. A corner without its own is
    /// its twin mirrored.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub geometry: Vec<CornerGeometry>,
    /// Brackets with more than one hole to choose from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pickups: Vec<Pickup>,
    /// What toe and camber should read, axle by axle.
    pub targets: Vec<AxleTarget>,
    /// The fitting, place by place.
    pub sections: Vec<Section>,
    /// Read afresh before the wheels take load.
    pub before_load: Vec<Step>,
    /// Read afresh before the first drive.
    pub before_drive: Vec<Step>,
    /// How a car may be used, of which advice depends.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub uses: Vec<Use>,
    /// What the maker advises for a use.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub advice: Vec<Advice>,
    /// What was changed from revision to revision, the oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub revisions: Vec<Revision>,
}

/// How a car may be used, such as `driven all winter`.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Use {
    /// Names it in advice.
    pub id: String,
    /// In words.
    pub name: String,
}

/// What the maker advises for a use, such as `fit the boots`.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Advice {
    /// The uses it is for, one or more: it is shown where the car has any of them.
    pub uses: Vec<String>,
    /// The advice, in one or two sentences.
    pub text: String,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// What a revision of the card changed.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Revision {
    /// The revision, as the maker counts them.
    pub revision: String,
    /// What changed.
    pub note: String,
    /// When, as the maker writes dates.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
}

/// Something an order may choose, such as rod-end boots.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OrderOption {
    /// Names it in a `when`.
    pub id: String,
    /// What it is called on the order.
    pub name: String,
    /// The choices, the first being the usual one. At least two.
    pub choices: Vec<Choice>,
}

/// One choice of an option or of a bracket.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// Names it in a `when`.
    pub id: String,
    /// What it is called.
    pub name: String,
}

/// The choices under which something belongs to the order: option to choice, all must hold. Empty: always.
pub type When = Named<String>;

/// Which side of the car a part is made for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Handed {
    /// Left side only.
    Left,
    /// Right side only.
    Right,
    /// Fits either side.
    #[default]
    Either,
}

/// A loose part in the box.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Unique among parts, bag items and checks.
    pub id: String,
    /// What it is.
    pub name: String,
    /// How many the order holds, 1 or more.
    pub count: u32,
    /// Which side it is made for.
    #[serde(default)]
    pub hand: Handed,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// A bag of hardware.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Bag {
    /// What is written on it, such as `Bag A`.
    pub name: String,
    /// What it holds.
    pub items: Vec<BagItem>,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// One kind of hardware in a bag.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BagItem {
    /// Unique among parts, bag items and checks.
    pub id: String,
    /// What it is, such as `hex bolt`.
    pub name: String,
    /// Its thread, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thread: Option<Thread>,
    /// Length under the head, for bolts and studs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// Grade or class marked on it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub grade: String,
    /// How many the order holds, 1 or more.
    pub count: u32,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// What a fit check looks at, and so which answers it can have.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum FitKind {
    /// A bolt in its hole.
    #[default]
    Hole,
    /// An adjuster thread run by hand along its whole length.
    Thread,
    /// A slip fit on a spline.
    Spline,
    /// A bushing: seated, or loose in the bag.
    Bushing,
    /// The finish.
    Finish,
}

/// Something tried by hand or looked at before fitting.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FitCheck {
    /// Unique among parts, bag items and checks.
    pub id: String,
    /// What to try, such as `Lower bracket hole on its 1/2 in bolt`.
    pub name: String,
    /// What kind of check it is.
    pub kind: FitKind,
    /// The bolt of a hole that locates something: with it the hole is measured too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bolt: Option<Thread>,
    /// Whether the hole is a slot, in which only the width locates.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub slot: bool,
    /// Whether it is tried on the car itself, and so not before the box ships.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub on_car: bool,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// One of the car's own mounting points.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CarPoint {
    /// Names it in a distance.
    pub id: String,
    /// What it is, such as `left lower inner bolt`.
    pub name: String,
    /// Where it is on a sound car.
    pub at: Vector,
}

/// A distance between two of the car's own mounting points.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CarCheck {
    /// Unique among parts, bag items and checks.
    pub id: String,
    /// From where to where.
    pub name: String,
    /// What it should be, more than zero.
    pub distance: Length,
    /// How far it may be off, either way, more than zero.
    pub tolerance: Length,
    /// The two of the car's points that it is between; left out, it stands by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub between: Option<[String; 2]>,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// The state in which a joint may be tightened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Tighten {
    /// With the car on stands.
    #[default]
    OnStands,
    /// With the suspension at ride height, as rubber bushings need.
    AtRideHeight,
}

/// A joint that is tightened.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// Names it in a step.
    pub id: String,
    /// What it joins.
    pub name: String,
    /// How many fasteners of this kind the joint has, 1 or more.
    pub count: u32,
    /// The bolt's thread.
    pub thread: Thread,
    /// The bolt's length under the head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// The bolt's grade or class, such as `8`, `10.9` or `A2-70`.
    pub grade: String,
    /// The nut with its grade or class, or what is tapped and how deep: `lock nut, grade C`, `tapped in steel, 20 mm deep`.
    pub nut: String,
    /// Finish and lubricant, which the torque depends on: `zinc plated, dry`.
    pub condition: String,
    /// Tightening torque given by the maker. Without one it is computed where grade, nut and finish are understood, and said to be computed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub torque: Option<Torque>,
    /// Tools, such as `3/4 in socket and wrench`; left out, those of the standards.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub tools: String,
    /// The state in which it may be tightened.
    pub tighten: Tighten,
    /// The order in which to tighten several fasteners.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub pattern: String,
    /// What keeps it tight.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub locking: String,
    /// When to check it again, such as `after 80 km`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub recheck: String,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// A corner of the car.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Corner {
    /// Left front.
    #[default]
    LeftFront,
    /// Right front.
    RightFront,
    /// Left rear.
    LeftRear,
    /// Right rear.
    RightRear,
}

/// An axle of the car.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Axle {
    /// The rear axle, which is set first.
    #[default]
    Rear,
    /// The front axle.
    Front,
}

/// A side of the car, as its driver sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Side {
    /// Both, left first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

impl Axle {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rear => "rear",
            Self::Front => "front",
        }
    }

    /// Its corner on a side.
    pub const fn corner(self, side: Side) -> Corner {
        match (self, side) {
            (Self::Front, Side::Left) => Corner::LeftFront,
            (Self::Front, Side::Right) => Corner::RightFront,
            (Self::Rear, Side::Left) => Corner::LeftRear,
            (Self::Rear, Side::Right) => Corner::RightRear,
        }
    }
}

impl Corner {
    /// All four, front first, left first.
    pub const ALL: [Self; 4] = [
        Self::LeftFront,
        Self::RightFront,
        Self::LeftRear,
        Self::RightRear,
    ];

    /// As it is written in a document.
    pub const fn key(self) -> &'static str {
        match self {
            Self::LeftFront => "left-front",
            Self::RightFront => "right-front",
            Self::LeftRear => "left-rear",
            Self::RightRear => "right-rear",
        }
    }

    /// In words, such as `Left rear`.
    pub const fn words(self) -> &'static str {
        match self {
            Self::LeftFront => "Left front",
            Self::RightFront => "Right front",
            Self::LeftRear => "Left rear",
            Self::RightRear => "Right rear",
        }
    }

    /// The axle it is on.
    pub const fn axle(self) -> Axle {
        match self {
            Self::LeftFront | Self::RightFront => Axle::Front,
            Self::LeftRear | Self::RightRear => Axle::Rear,
        }
    }

    /// The corner on the other side of its axle.
    pub const fn twin(self) -> Self {
        match self {
            Self::LeftFront => Self::RightFront,
            Self::RightFront => Self::LeftFront,
            Self::LeftRear => Self::RightRear,
            Self::RightRear => Self::LeftRear,
        }
    }

    /// The side it is on.
    pub const fn side(self) -> Side {
        match self {
            Self::LeftFront | Self::LeftRear => Side::Left,
            Self::RightFront | Self::RightRear => Side::Right,
        }
    }
}

/// Whether the plan turns an adjuster at once or only when the others cannot reach the target.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Turned first.
    #[default]
    First,
    /// Turned only when the first ones cannot reach the target.
    Further,
}

/// What happens to the wheel when the adjuster gets longer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum ToeSense {
    /// The front of the wheel comes in.
    #[default]
    ToeIn,
    /// The front of the wheel goes out.
    ToeOut,
}

/// What happens to the top of the wheel when the adjuster gets longer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum CamberSense {
    /// The top comes in: camber goes negative.
    #[default]
    TopIn,
    /// The top goes out: camber goes positive.
    TopOut,
}

/// The lever on which an adjuster turns the wheel about the vertical axis.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ToeArm {
    /// Square distance from the adjuster's line to the axis the wheel toes about, more than zero.
    pub arm: Length,
    /// What lengthening does.
    pub lengthening: ToeSense,
}

/// The lever on which an adjuster tips the wheel in the front view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CamberArm {
    /// Square distance in the front view from the adjuster's line to the joint the wheel tips about, more than zero.
    pub arm: Length,
    /// What lengthening does.
    pub lengthening: CamberSense,
}

/// An adjuster of the kit at one corner.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Adjuster {
    /// Unique among adjusters.
    pub id: String,
    /// What it is called, the same on both sides.
    pub name: String,
    /// The corner it sets.
    pub corner: Corner,
    /// How it changes the length between its joints.
    pub mechanism: Mechanism,
    /// The step a hand makes; left out, the usual one of the mechanism.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<TurnStep>,
    /// Turned first, or only when needed.
    #[serde(default)]
    pub role: Role,
    /// Its lever on toe; left out, it does not move toe.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub toe: Option<ToeArm>,
    /// Its lever on camber; left out, it does not move camber.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub camber: Option<CamberArm>,
    /// What it moves of its corner's hardpoints; left out, its lever arms stand for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moves: Option<Moves>,
    /// Torque that locks it again, given by the maker. Without one the jam nut's own is computed, and said to be computed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lock_torque: Option<Torque>,
    /// How to turn and lock it: what to hold, what to loosen first.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub how: String,
}

/// What an adjuster moves of its corner's hardpoints, by its travel.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Moves {
    /// Names of the links that it lengthens.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub links: Vec<String>,
    /// Names of the links whose joint at the car it shifts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joints: Vec<String>,
    /// Whether it shifts the strut's top.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub strut_top: bool,
    /// The way of the shift for positive travel, from the joint, of any length; left out, straight outwards.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub towards: Option<Vector>,
}

/// The hardpoints of a corner at its drawn ride height.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CornerGeometry {
    /// Which corner.
    pub corner: Corner,
    /// Its wheel.
    pub wheel: Wheel,
    /// Its links, each with a name of its own: five, or three beside a strut. An A-arm is two that share their joint at the carrier.
    pub links: Vec<Link>,
    /// Its strut, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strut: Option<Strut>,
    /// Its steering axis, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub steering_axis: Option<SteeringAxis>,
    /// How far a point of a car may be from the drawn one, along each axis; left out, 5 mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accuracy: Option<Length>,
    /// How far rod ends may lean on their balls.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rod_ends: Vec<RodEndLimit>,
    /// How far the wheel travels; left out, joints are looked at in the drawn height alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub travel: Option<Travel>,
    /// The rack that steers it, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rack: Option<RackTravel>,
    /// Its half-shaft, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half_shaft: Option<HalfShaft>,
}

/// How far a wheel's centre travels from its drawn height before the stops.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Travel {
    /// Upwards: 1 to 250 mm.
    pub bump: Length,
    /// Downwards: 1 to 250 mm.
    pub droop: Length,
}

/// How far a rack moves a tie rod.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RackTravel {
    /// The link whose joint at the car it moves.
    pub link: String,
    /// From straight ahead to each side: 1 to 120 mm.
    pub each_way: Length,
}

/// A half-shaft, and how far it may plunge from its drawn length.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HalfShaft {
    /// The middle of its inner joint, at the car.
    pub inner: Vector,
    /// The middle of its outer joint, at the carrier, as drawn.
    pub outer: Vector,
    /// By how much it may get shorter: 0.5 to 100 mm.
    pub shorter: Length,
    /// By how much it may get longer: 0.5 to 100 mm.
    pub longer: Length,
}

/// An end of a link.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum LinkEnd {
    /// The one at the car.
    #[default]
    Car,
    /// The one at the carrier.
    Carrier,
}

/// How far a rod end may lean on its ball.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RodEndLimit {
    /// The link it is on.
    pub link: String,
    /// At which end of it.
    pub at: LinkEnd,
    /// The way of the bolt through its eye as drawn, from the joint, of any length.
    pub bolt: Vector,
    /// The most it may lean either way from the plane square to the bolt: more than zero, at most 45 deg.
    pub most: Angle,
}

/// A bracket with more than one hole.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Pickup {
    /// Unique among brackets.
    pub id: String,
    /// Which bracket.
    pub name: String,
    /// Its holes, the base choice first. At least two.
    pub choices: Vec<Choice>,
}

/// What one wheel's toe and camber should read on an axle.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AxleTarget {
    /// Which axle.
    pub axle: Axle,
    /// Toe of each wheel, toe-in positive.
    pub toe: Target,
    /// Camber of each wheel, top in negative.
    pub camber: Target,
    /// How far total toe may be off the sum of both aims, either way, more than zero; left out, it is not asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub total_toe: Option<Angle>,
    /// How far half of left toe less right toe may be off: a rear axle's thrust angle, and what turns the steering wheel of a front one. More than
    /// zero; left out, it is not asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thrust: Option<Angle>,
    /// How far left camber less right camber may be off, more than zero; left out, it is not asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cross_camber: Option<Angle>,
}

/// A value to aim at and how far it may be off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Target {
    /// The value to aim at.
    pub aim: Angle,
    /// How far a wheel may be off, either way, more than zero.
    pub tolerance: Angle,
}

/// A stretch of the fitting at one place on the car.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// The place.
    pub name: String,
    /// Whether the car is raised while it is done.
    #[serde(default)]
    pub raised: bool,
    /// Five to nine steps, the most critical first.
    pub steps: Vec<Step>,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// One action.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Unique among steps.
    pub id: String,
    /// What to do, verb first.
    pub text: String,
    /// How, in more words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub detail: String,
    /// A caution that stands before the step.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<Caution>,
    /// The joint it signs off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub joint: Option<String>,
    /// What is observed and typed instead of a bare tick, such as `Pressure found`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub observe: String,
    /// Whether it holds the car up, and so is asked again after a break.
    #[serde(default)]
    pub support: bool,
    /// Only with these choices.
    #[serde(default, skip_serializing_if = "When::is_empty")]
    pub when: When,
}

/// The four signal words, after the scheme of ANSI Z535.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Signal {
    /// Will kill or seriously injure if not avoided.
    #[default]
    Danger,
    /// Could kill or seriously injure.
    Warning,
    /// Could injure, minor or moderate.
    Caution,
    /// Damage, no injury.
    Notice,
}

impl Signal {
    /// The word in capitals, as it stands in the frame.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Warning => "WARNING",
            Self::Caution => "CAUTION",
            Self::Notice => "NOTICE",
        }
    }
}

/// A caution: hazard, consequence, how to avoid it. Nothing to be done stands inside.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// How bad it is.
    pub signal: Signal,
    /// What the hazard is.
    pub hazard: String,
    /// What happens.
    pub consequence: String,
    /// How to avoid it.
    pub avoid: String,
}

/// Whether something with these conditions belongs to an order.
pub fn applies(when: &When, order: &Order) -> bool {
    when.iter()
        .all(|(option, choice)| order.get(option) == Some(choice))
}

impl CornerGeometry {
    /// As the linkage solves it.
    pub fn geometry(&self) -> Geometry {
        Geometry {
            side: match self.corner.side() {
                Side::Left => linkage::Side::Left,
                Side::Right => linkage::Side::Right,
            },
            wheel: self.wheel,
            links: self.links.clone(),
            strut: self.strut,
            steering_axis: self.steering_axis,
        }
    }

    /// The same corner on the other side of the car.
    pub fn mirrored(&self) -> Self {
        use linkage::AxisEnd;
        let end = |end: AxisEnd| match end {
            AxisEnd::Carrier(point) => AxisEnd::Carrier(mirrored(point)),
            AxisEnd::Car(point) => AxisEnd::Car(mirrored(point)),
        };
        let mut other = self.clone();
        other.corner = self.corner.twin();
        other.wheel.centre = mirrored(other.wheel.centre);
        for link in &mut other.links {
            link.car = mirrored(link.car);
            link.carrier = mirrored(link.carrier);
        }
        other.strut = self.strut.map(|strut| Strut {
            top: mirrored(strut.top),
            on_axis: mirrored(strut.on_axis),
        });
        other.steering_axis = self.steering_axis.map(|axis| SteeringAxis {
            lower: end(axis.lower),
            upper: end(axis.upper),
        });
        for rod_end in &mut other.rod_ends {
            rod_end.bolt = mirrored(rod_end.bolt);
        }
        if let Some(shaft) = &mut other.half_shaft {
            shaft.inner = mirrored(shaft.inner);
            shaft.outer = mirrored(shaft.outer);
        }
        other
    }

    /// The stretch over which its joints keep their limits: its travel and its rack's, or the drawn height alone.
    pub fn range(&self) -> Range {
        let travel = self.travel.unwrap_or_default();
        Range {
            droop: travel.droop,
            bump: travel.bump,
            rack: self.rack.as_ref().and_then(|rack| {
                Some(Rack {
                    link: self.link(&rack.link)?,
                    each_way: rack.each_way,
                })
            }),
        }
    }

    /// What its rod ends and its half-shaft may do. Rod ends on links that it does not have limit nothing.
    pub fn limits(&self) -> Vec<JointLimit> {
        let rod_ends = self.rod_ends.iter().filter_map(|rod_end| {
            Some(JointLimit::RodEnd {
                link: self.link(&rod_end.link)?,
                on_carrier: rod_end.at == LinkEnd::Carrier,
                bolt: rod_end.bolt,
                most: rod_end.most,
            })
        });
        let shaft = self.half_shaft.map(|shaft| JointLimit::HalfShaft {
            inner: shaft.inner,
            outer: shaft.outer,
            shorter: shaft.shorter,
            longer: shaft.longer,
        });
        rod_ends.chain(shaft).collect()
    }

    /// The place of a link among its links.
    pub fn link(&self, name: &str) -> Option<usize> {
        self.links.iter().position(|link| link.name == name)
    }

    /// What an adjuster moves of it. Names it does not know move nothing.
    pub fn mover(&self, moves: &Moves) -> Mover {
        let places = |names: &[String]| names.iter().filter_map(|name| self.link(name)).collect();
        let outwards = match self.corner.side() {
            Side::Left => Vector::new(0.0, 1.0, 0.0),
            Side::Right => Vector::new(0.0, -1.0, 0.0),
        };
        let way = moves.towards.unwrap_or(outwards);
        Mover {
            lengthens: places(&moves.links),
            shifts: places(&moves.joints),
            strut_top: moves.strut_top,
            way: if way.length() > 0.0 { way.unit() } else { way },
        }
    }
}

impl KitCard {
    /// The hardpoints of a corner: its own, or its twin's mirrored.
    pub fn geometry_of(&self, corner: Corner) -> Option<CornerGeometry> {
        let at = |corner| self.geometry.iter().find(move |own| own.corner == corner);
        at(corner)
            .cloned()
            .or_else(|| Some(at(corner.twin())?.mirrored()))
    }

    /// The order with the first choice of every option.
    pub fn usual_order(&self) -> Order {
        let mut order = Order::default();
        for option in &self.options {
            if let Some(choice) = option.choices.first() {
                order.insert(option.id.clone(), choice.id.clone());
            }
        }
        order
    }

    /// The usual order, and each order that differs from it in one option.
    pub fn orders(&self) -> Vec<Order> {
        let usual = self.usual_order();
        let mut orders = vec![usual.clone()];
        for option in &self.options {
            for choice in option.choices.iter().skip(1) {
                let mut order = usual.clone();
                order.insert(option.id.clone(), choice.id.clone());
                orders.push(order);
            }
        }
        orders
    }

    /// Shows every condition under which something belongs to an order.
    pub fn conditions<'a>(&'a self, see: &mut dyn FnMut(&'a When)) {
        self.parts.iter().for_each(|part| see(&part.when));
        for bag in &self.bags {
            see(&bag.when);
            bag.items.iter().for_each(|item| see(&item.when));
        }
        self.fit_checks.iter().for_each(|check| see(&check.when));
        self.car_checks.iter().for_each(|check| see(&check.when));
        self.joints.iter().for_each(|joint| see(&joint.when));
        for section in &self.sections {
            see(&section.when);
            section.steps.iter().for_each(|step| see(&step.when));
        }
        for step in self.before_load.iter().chain(&self.before_drive) {
            see(&step.when);
        }
        self.advice.iter().for_each(|advice| see(&advice.when));
    }

    /// The joint of this id.
    pub fn joint(&self, id: &str) -> Option<&Joint> {
        self.joints.iter().find(|joint| joint.id == id)
    }

    /// The place of one of the car's points among them.
    pub fn car_point(&self, id: &str) -> Option<usize> {
        self.car_points.iter().position(|point| point.id == id)
    }

    /// The target of an axle.
    pub fn target(&self, axle: Axle) -> Option<&AxleTarget> {
        self.targets.iter().find(|target| target.axle == axle)
    }

    /// Every step: of the sections, before load, before the drive.
    pub fn all_steps(&self) -> impl Iterator<Item = &Step> {
        let sections = self.sections.iter().flat_map(|section| &section.steps);
        sections.chain(&self.before_load).chain(&self.before_drive)
    }
}

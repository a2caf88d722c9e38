//! The mechanisms: rod end, sleeves, cam bolt, slot, shims.

use super::end::SLACK;
use super::{EndError, EndState, Step, ThreadedEnd, step_words};
use crate::hardware::{Engagement, Hand};
use crate::quantity::{
    Angle, AngleUnit, Length, LengthUnit, write_angle, write_enough_length, write_length,
    write_made_length,
};
use serde::{Deserialize, Serialize};
use std::fmt;

/// How an adjuster changes the length between its joints.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Mechanism {
    /// A rod end on its shank.
    RodEnd(RodEnd),
    /// A sleeve between ends of opposite hand: both move the same way.
    Sleeve(Sleeve),
    /// A sleeve between ends of the same hand and two pitches: what moves is the difference.
    DifferentialSleeve(Sleeve),
    /// An eccentric bolt.
    CamBolt(CamBolt),
    /// A slotted hole.
    Slot(Slot),
    /// A stack of shims.
    Shims(Shims),
}

impl Default for Mechanism {
    fn default() -> Self {
        Self::RodEnd(RodEnd::default())
    }
}

/// A rod end on its shank.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RodEnd {
    /// What is turned.
    pub turned: Turned,
    /// Its threaded end.
    pub end: ThreadedEnd,
}

/// What is turned on a rod end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Turned {
    /// Its eye, taken off its bolt.
    #[default]
    Eye,
    /// The bar it sits in, which turns freely at its other joint.
    Bar,
}

/// A sleeve between two threaded ends.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Sleeve {
    /// The two ends.
    pub ends: [ThreadedEnd; 2],
}

/// An eccentric bolt that moves a joint sideways.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CamBolt {
    /// From the bolt's axis to the middle of its cam, more than zero.
    pub eccentricity: Length,
    /// One mark of the cam, more than zero.
    pub notch: Angle,
    /// How far it turns either way from its middle, 90° at most.
    pub range: Angle,
}

/// A slotted hole in which a joint slides.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Slot {
    /// How far it slides either way from its middle, more than zero.
    pub range: Length,
    /// The smallest move a hand can set, more than zero.
    pub step: Length,
}

/// A stack of shims.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Shims {
    /// The thinnest shim, more than zero: one step.
    pub thinnest: Length,
    /// The thickest stack, more than zero.
    pub most: Length,
}

/// Where an adjuster stands, as it is measured.
#[derive(Clone, Debug, PartialEq)]
pub enum Position {
    /// Thread showing at each end.
    Showing(Vec<Length>),
    /// A cam's turn from its middle, positive outwards.
    Cam(Angle),
    /// A slot's slide from its middle, positive outwards.
    Slide(Length),
    /// The thickness of a stack of shims.
    Stack(Length),
}

/// How many whole steps remain each way, and how far each moves.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// The travel of each allowed count of steps, from the shortest to the longest.
    pub travels: Vec<Length>,
    /// The count of steps of the first travel, zero or less.
    pub least: i32,
}

impl Room {
    /// The count of steps of the last travel, zero or more.
    pub fn most(&self) -> i32 {
        self.least
            .saturating_add(i32::try_from(self.travels.len().saturating_sub(1)).unwrap_or(i32::MAX))
    }

    /// The travel of a count of steps within the room.
    pub fn travel(&self, steps: i32) -> Option<Length> {
        let index = usize::try_from(steps.checked_sub(self.least)?).ok()?;
        self.travels.get(index).copied()
    }
}

/// Where to look from, and the way that lengthens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct View {
    /// Where to look from, in words.
    pub from: String,
    /// Whether clockwise lengthens, seen so.
    pub clockwise_lengthens: bool,
}

/// What is wrong with a mechanism as a card describes it.
#[derive(Clone, Debug, PartialEq)]
pub enum MechanismError {
    /// A sleeve's ends must be of opposite hand.
    SameHand,
    /// A differential sleeve's ends must be of the same hand.
    OppositeHand,
    /// A differential sleeve's ends must differ in pitch.
    SamePitch,
    /// A value must be more than zero.
    NotPositive {
        /// Its name.
        field: &'static str,
    },
    /// A cam turns 90° at most.
    CamRange,
    /// More steps than any adjuster has.
    TooFine,
    /// An end is wrong.
    End {
        /// Its name.
        name: String,
        /// What is wrong.
        error: EndError,
    },
}

impl fmt::Display for MechanismError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SameHand => f.write_str("A sleeve's ends must be of opposite hand; for the same hand use a differential sleeve."),
            Self::OppositeHand => f.write_str("A differential sleeve's ends must be of the same hand; for opposite hands use a sleeve."),
            Self::SamePitch => f.write_str("A differential sleeve's ends must differ in pitch, or turning it moves nothing."),
            Self::NotPositive { field } => write!(f, "{field} must be more than zero, with its unit."),
            Self::CamRange => f.write_str("range must be 90 deg at most: beyond it the cam comes back."),
            Self::TooFine => write!(f, "The step is too fine: an adjuster has at most {MOST_STEPS} steps each way."),
            Self::End { name, error } => write!(f, "{name} end: {error}"),
        }
    }
}

/// Why a position cannot be.
#[derive(Clone, Debug, PartialEq)]
pub enum PositionError {
    /// Something else was measured than this mechanism shows.
    OtherKind,
    /// An end cannot stand so.
    End {
        /// Which of the ends, from 0.
        index: usize,
        /// Why.
        error: EndError,
    },
    /// Too little thread is engaged at an end.
    TooLong {
        /// Which of the ends, from 0.
        index: usize,
        /// How it stands.
        state: EndState,
    },
    /// Beyond the range.
    Beyond {
        /// The range in words.
        range: String,
    },
}

impl fmt::Display for PositionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = |length: Length| write_length(length, LengthUnit::Millimetre);
        match self {
            Self::OtherKind => f.write_str("This adjuster is measured another way."),
            Self::End { error, .. } => error.fmt(f),
            Self::TooLong { state, .. } => write!(
                f,
                "Only {} is engaged and {} is the least ({}). Screw it in by at least {}.",
                mm(state.engaged),
                mm(state.needed.least),
                state.needed.rule,
                write_enough_length(state.spare.abs(), LengthUnit::Millimetre)
            ),
            Self::Beyond { range } => write!(f, "The setting lies {range}."),
        }
    }
}

/// The most steps an adjuster is searched over, either way.
const MOST_STEPS: i32 = 240;

impl Mechanism {
    /// Its threaded ends.
    pub fn ends(&self) -> &[ThreadedEnd] {
        match self {
            Self::RodEnd(rod) => std::slice::from_ref(&rod.end),
            Self::Sleeve(sleeve) | Self::DifferentialSleeve(sleeve) => &sleeve.ends,
            Self::CamBolt(_) | Self::Slot(_) | Self::Shims(_) => &[],
        }
    }

    /// The usual step of a threaded mechanism: half a turn where the eye must come back in line with its bolt, else a flat.
    pub fn usual_step(&self) -> Step {
        match self {
            Self::RodEnd(RodEnd {
                turned: Turned::Eye,
                ..
            }) => Step::HalfTurn,
            _ => Step::Flat,
        }
    }

    /// The next finer step that a hand can make: an eye that must come back in line with its bolt has none below half a turn, and what is not threaded has
    /// none at all.
    pub fn finer(&self, step: Step) -> Option<Step> {
        match self {
            Self::RodEnd(RodEnd {
                turned: Turned::Eye,
                ..
            }) if step != Step::Turn => None,
            Self::CamBolt(_) | Self::Slot(_) | Self::Shims(_) => None,
            _ => step.finer(),
        }
    }

    /// How far the showing of each end goes in one turn that lengthens: one pitch out at a rod end; one pitch out at each end of a
    /// sleeve; at a differential sleeve the coarser pitch out and the finer in.
    fn showing_per_turn(&self) -> Vec<Length> {
        match self {
            Self::RodEnd(rod) => vec![rod.end.thread.pitch()],
            Self::Sleeve(sleeve) => sleeve.ends.iter().map(|end| end.thread.pitch()).collect(),
            Self::DifferentialSleeve(Sleeve { ends: [a, b] }) => {
                let (a, b) = (a.thread.pitch(), b.thread.pitch());
                if a > b { vec![a, -b] } else { vec![-a, b] }
            }
            Self::CamBolt(_) | Self::Slot(_) | Self::Shims(_) => Vec::new(),
        }
    }

    /// What one turn that lengthens adds to a threaded mechanism: one pitch, the sum of two, or their difference.
    pub fn travel_per_turn(&self) -> Length {
        self.showing_per_turn().into_iter().sum()
    }

    /// So many steps in words.
    pub fn words(&self, step: Step, steps: u32) -> String {
        match self {
            Self::CamBolt(cam) => {
                let mark = if steps == 1 { "mark" } else { "marks" };
                format!(
                    "{steps} {mark} ({})",
                    write_angle(cam.notch * f64::from(steps), AngleUnit::Degree)
                )
            }
            Self::Slot(slot) => made(slot.step * f64::from(steps)),
            Self::Shims(shims) => format!("{} of shim", made(shims.thinnest * f64::from(steps))),
            _ => step_words(step, steps),
        }
    }

    /// The words for longer and shorter.
    pub const fn ways(&self) -> [&'static str; 2] {
        match self {
            Self::RodEnd(_) | Self::Sleeve(_) | Self::DifferentialSleeve(_) => {
                ["Lengthen", "Shorten"]
            }
            Self::CamBolt(_) | Self::Slot(_) => ["Move outwards", "Move inwards"],
            Self::Shims(_) => ["Add", "Take out"],
        }
    }

    /// The word for one step of the positive way, after its amount: `1 flat longer`.
    pub const fn longer(&self) -> &'static str {
        match self {
            Self::RodEnd(_) | Self::Sleeve(_) | Self::DifferentialSleeve(_) => "longer",
            Self::CamBolt(_) | Self::Slot(_) => "outwards",
            Self::Shims(_) => "more",
        }
    }

    /// From where to look, and which way lengthens. None where nothing is turned.
    ///
    /// Seen from the eye, a right-hand rod end is unscrewed counter-clockwise, and unscrewing lengthens. A sleeve or bar is the nut
    /// instead of the screw: seen from the end with the right-hand thread it lengthens clockwise. A left hand reverses both.
    pub fn view(&self) -> Option<View> {
        match self {
            Self::RodEnd(rod) => Some(View {
                from: "the eye".into(),
                clockwise_lengthens: (rod.turned == Turned::Bar) == (rod.end.hand == Hand::Right),
            }),
            Self::Sleeve(Sleeve { ends: [a, b] }) => {
                let right = if a.hand == Hand::Right { a } else { b };
                Some(View {
                    from: format!("the {} end", right.name),
                    clockwise_lengthens: true,
                })
            }
            Self::DifferentialSleeve(Sleeve { ends: [a, b] }) => {
                let coarse = if a.thread.pitch() > b.thread.pitch() {
                    a
                } else {
                    b
                };
                Some(View {
                    from: format!("the {} end", coarse.name),
                    clockwise_lengthens: coarse.hand == Hand::Right,
                })
            }
            Self::CamBolt(_) | Self::Slot(_) | Self::Shims(_) => None,
        }
    }

    /// Where it stands when it is new and set to its base: base showing, or the middle.
    pub fn base(&self) -> Position {
        match self {
            Self::CamBolt(_) => Position::Cam(Angle::ZERO),
            Self::Slot(_) => Position::Slide(Length::ZERO),
            Self::Shims(_) => Position::Stack(Length::ZERO),
            _ => Position::Showing(self.ends().iter().map(|end| end.base_showing).collect()),
        }
    }

    /// Checks that it can stand so: enough engaged at each end, and within its range.
    ///
    /// # Errors
    /// Which end or range, and by how much.
    pub fn check(&self, position: &Position) -> Result<(), PositionError> {
        self.check_by(&self.needed(), position)
    }

    /// What must be engaged at each end.
    fn needed(&self) -> Vec<Engagement> {
        self.ends().iter().map(ThreadedEnd::needed).collect()
    }

    /// The same, given what must be engaged at each end.
    fn check_by(&self, needed: &[Engagement], position: &Position) -> Result<(), PositionError> {
        match (self, position) {
            (Self::CamBolt(cam), Position::Cam(turn)) => {
                within(turn.abs() <= cam.range + Angle::radians(1e-9), || {
                    either_way(write_angle(cam.range, AngleUnit::Degree))
                })
            }
            (Self::Slot(slot), Position::Slide(slide)) => {
                within(slide.abs() <= slot.range + SLACK, || {
                    either_way(made(slot.range))
                })
            }
            (Self::Shims(shims), Position::Stack(stack)) => {
                within(*stack >= -SLACK && *stack <= shims.most + SLACK, || {
                    format!("between no shim and {}", made(shims.most))
                })
            }
            (_, Position::Showing(showing))
                if !self.ends().is_empty() && showing.len() == self.ends().len() =>
            {
                let ends = self.ends().iter().zip(needed);
                for (index, ((end, needed), showing)) in ends.zip(showing).enumerate() {
                    let state = end
                        .state_by(*needed, *showing)
                        .map_err(|error| PositionError::End { index, error })?;
                    if !state.is_safe() {
                        return Err(PositionError::TooLong { index, state });
                    }
                }
                Ok(())
            }
            _ => Err(PositionError::OtherKind),
        }
    }

    /// Where it stands after so many steps, lengthening positive. None where something else was measured than it shows.
    pub fn after(&self, position: &Position, step: Step, steps: i32) -> Option<Position> {
        let count = f64::from(steps);
        Some(match (self, position) {
            (Self::CamBolt(cam), Position::Cam(turn)) => Position::Cam(*turn + cam.notch * count),
            (Self::Slot(slot), Position::Slide(slide)) => {
                Position::Slide(*slide + slot.step * count)
            }
            (Self::Shims(shims), Position::Stack(stack)) => {
                Position::Stack(*stack + shims.thinnest * count)
            }
            (_, Position::Showing(showing))
                if !self.ends().is_empty() && showing.len() == self.ends().len() =>
            {
                let turns = step.turns() * count;
                Position::Showing(
                    showing
                        .iter()
                        .zip(self.showing_per_turn())
                        .map(|(showing, per_turn)| *showing + per_turn * turns)
                        .collect(),
                )
            }
            _ => return None,
        })
    }

    /// What lies between two positions, in length or in shift: `e (sin θ₁ − sin θ₀)` for a cam, none between positions of different kinds.
    pub fn travel(&self, from: &Position, to: &Position) -> Length {
        match (self, from, to) {
            (Self::CamBolt(cam), Position::Cam(from), Position::Cam(to)) => {
                cam.eccentricity * (to.sin() - from.sin())
            }
            (_, Position::Slide(from), Position::Slide(to))
            | (_, Position::Stack(from), Position::Stack(to)) => *to - *from,
            (_, Position::Showing(from), Position::Showing(to)) => {
                to.iter().zip(from).map(|(to, from)| *to - *from).sum()
            }
            _ => Length::ZERO,
        }
    }

    /// Where it stands so much further in length or in shift; none where something else was measured than it shows, or a cam does not go so far.
    pub fn moved(&self, from: &Position, by: Length) -> Option<Position> {
        Some(match (self, from) {
            (Self::CamBolt(cam), Position::Cam(turn)) => {
                let sine = turn.sin() + by / cam.eccentricity;
                if sine.is_nan() || sine.abs() > 1.0 {
                    return None;
                }
                Position::Cam(Angle::radians(sine.asin()))
            }
            (Self::Slot(_), Position::Slide(slide)) => Position::Slide(*slide + by),
            (Self::Shims(_), Position::Stack(stack)) => Position::Stack(*stack + by),
            (_, Position::Showing(showing))
                if !self.ends().is_empty() && showing.len() == self.ends().len() =>
            {
                let turns = by / self.travel_per_turn();
                let ends = showing.iter().zip(self.showing_per_turn());
                Position::Showing(
                    ends.map(|(end, per_turn)| *end + per_turn * turns)
                        .collect(),
                )
            }
            _ => return None,
        })
    }

    /// How far it may still go: every whole number of steps that keeps enough thread engaged, the nut off the shoulder and the
    /// tip off the bottom at each end, or stays in range.
    ///
    /// # Errors
    /// Why it cannot stand where it does.
    pub fn room(&self, position: &Position, step: Step) -> Result<Room, PositionError> {
        let needed = self.needed();
        self.check_by(&needed, position)?;
        let reachable = |steps: &i32| -> Option<Length> {
            let to = self.after(position, step, *steps)?;
            let bottoms = match (position, &to) {
                // An end that is read past its bottom already may still be screwed out.
                (Position::Showing(from), Position::Showing(to)) => self
                    .ends()
                    .iter()
                    .zip(from.iter().zip(to))
                    .any(|(end, (from, to))| to < from && !end.clears(*to)),
                _ => false,
            };
            (!bottoms && self.check_by(&needed, &to).is_ok()).then(|| self.travel(position, &to))
        };
        let shorter: Vec<_> = (1..=MOST_STEPS)
            .map_while(|steps| reachable(&-steps))
            .collect();
        let longer = (1..=MOST_STEPS).map_while(|steps| reachable(&steps));
        let least = -i32::try_from(shorter.len()).unwrap_or(MOST_STEPS);
        let travels = shorter
            .iter()
            .rev()
            .copied()
            .chain([Length::ZERO])
            .chain(longer)
            .collect();
        Ok(Room { travels, least })
    }

    /// What is wrong with it as a card describes it.
    pub fn problems(&self) -> Vec<MechanismError> {
        let mut problems: Vec<_> = self
            .ends()
            .iter()
            .flat_map(|end| {
                end.problems().into_iter().map(|error| MechanismError::End {
                    name: end.name.clone(),
                    error,
                })
            })
            .collect();
        let mut positive = |field: &'static str, fine: bool| {
            if !fine {
                problems.push(MechanismError::NotPositive { field });
            }
        };
        match self {
            Self::RodEnd(_) => {}
            Self::Sleeve(Sleeve { ends: [a, b] }) if a.hand == b.hand => {
                problems.push(MechanismError::SameHand)
            }
            Self::Sleeve(_) => {}
            Self::DifferentialSleeve(Sleeve { ends: [a, b] }) => {
                if a.hand != b.hand {
                    problems.push(MechanismError::OppositeHand);
                }
                if a.thread.pitch() == b.thread.pitch() {
                    problems.push(MechanismError::SamePitch);
                }
            }
            Self::CamBolt(cam) => {
                positive("eccentricity", cam.eccentricity > Length::ZERO);
                positive("notch", cam.notch > Angle::ZERO);
                positive("range", cam.range > Angle::ZERO);
                if cam.range > Angle::degrees(90.0) {
                    problems.push(MechanismError::CamRange);
                } else if cam.notch > Angle::ZERO && cam.range / cam.notch > f64::from(MOST_STEPS) {
                    problems.push(MechanismError::TooFine);
                }
            }
            Self::Slot(slot) => {
                positive("range", slot.range > Length::ZERO);
                positive("step", slot.step > Length::ZERO);
                if slot.step > Length::ZERO && slot.range / slot.step > f64::from(MOST_STEPS) {
                    problems.push(MechanismError::TooFine);
                }
            }
            Self::Shims(shims) => {
                positive("thinnest", shims.thinnest > Length::ZERO);
                positive("most", shims.most > Length::ZERO);
                if shims.thinnest > Length::ZERO
                    && shims.most / shims.thinnest > f64::from(MOST_STEPS)
                {
                    problems.push(MechanismError::TooFine);
                }
            }
        }
        problems
    }
}

impl ThreadedEnd {
    /// Whether the nut is off the shoulder and the tip off the bottom.
    fn clears(&self, showing: Length) -> bool {
        let bottom = self.insert_depth + self.unthreaded_lead;
        showing >= -SLACK && self.shank - self.jam_nut - showing <= bottom + SLACK
    }
}

fn within(fine: bool, range: impl FnOnce() -> String) -> Result<(), PositionError> {
    if fine {
        Ok(())
    } else {
        Err(PositionError::Beyond { range: range() })
    }
}

fn either_way(most: String) -> String {
    format!("within {most} either way of the middle")
}

fn made(length: Length) -> String {
    write_made_length(length, LengthUnit::Millimetre)
}

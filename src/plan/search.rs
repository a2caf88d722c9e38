//! The search for whole steps of all adjusters together, within their thread.

use super::verdict::EDGE;
use super::{Target, Verdict, verdict};
use crate::adjuster::Room;
use crate::quantity::{Angle, Length};
use crate::reading::Estimate;
use std::fmt;

/// Settings whose misfits differ by less than this share of a tolerance cannot be told apart by any instrument here; among them
/// the one with the least turning is taken.
pub(super) const ALIKE: f64 = 0.05;
/// The most combinations looked through for one corner.
pub(super) const MOST: usize = 4_000_000;

/// What one metre of travel does to a wheel.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rate {
    /// To toe, in radians per metre, toe-in positive.
    pub toe: f64,
    /// To camber, in radians per metre, top out positive.
    pub camber: f64,
    /// Relative standard uncertainty of both.
    pub uncertainty: f64,
}

/// An adjuster as the plan sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lever {
    /// What its travel does.
    pub rate: Rate,
    /// How far it may go.
    pub room: Room,
    /// What one step costs in turns of a wrench.
    pub effort: f64,
    /// How far it stands from where its twin on the other side stands, in its own steps. Evens left and right among settings that are alike.
    pub ahead: f64,
}

impl Lever {
    pub(super) fn is_finite(&self) -> bool {
        let Rate {
            toe,
            camber,
            uncertainty,
        } = self.rate;
        let travels = self.room.travels.iter().map(|travel| travel.as_metres());
        [toe, camber, uncertainty, self.effort, self.ahead]
            .into_iter()
            .chain(travels)
            .all(f64::is_finite)
    }

    /// The steps at a place among the travels of its room.
    pub(super) fn steps(&self, place: usize) -> i32 {
        let place = i32::try_from(place).unwrap_or(i32::MAX);
        self.room.least.saturating_add(place)
    }
}

/// What one wheel reads. What was not read is not set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Toe.
    pub toe: Option<Estimate>,
    /// Camber.
    pub camber: Option<Estimate>,
}

/// What one wheel should read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Goal {
    /// Toe.
    pub toe: Target,
    /// Camber.
    pub camber: Target,
}

/// Why there is no plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanError {
    /// Neither toe nor camber was read.
    NoReading,
    /// A tolerance is not more than zero.
    NoTolerance,
    /// No adjuster here moves what was read.
    NothingMoves,
    /// A rate or a reading is not a number.
    NotFinite,
    /// More combinations than can be looked through.
    TooMany,
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoReading => "Read toe or camber of this wheel first.",
            Self::NoTolerance => "The target's tolerance must be more than zero, such as 0.05°.",
            Self::NothingMoves => "No adjuster at this corner moves what was read. Check the lever arms.",
            Self::NotFinite => "A lever arm or a reading is not a number. Type it again.",
            Self::TooMany => "There are too many adjusters here to search together. Mark some as further ones on the card.",
        })
    }
}

/// How far the steps get.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// The reading is inside for certain: leave it.
    Leave,
    /// After these steps it should read inside.
    Reaches,
    /// These steps do not reach; with one further adjuster they would.
    NeedsFurther(Further),
    /// No whole steps of any adjuster here reach it: these come nearest.
    OutOfReach,
}

/// A further adjuster and the steps with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Further {
    /// Which of the further adjusters.
    pub index: usize,
    /// Steps of each first adjuster, then of this one.
    pub steps: Vec<i32>,
    /// What the wheel should read then.
    pub after: Reading,
}

/// Whole steps for each first adjuster, and what the wheel should read after them.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Steps of each first adjuster, lengthening positive.
    pub steps: Vec<i32>,
    /// What the wheel should read after them.
    pub after: Reading,
    /// How far off that is, in tolerances: the root of the sum of squares.
    pub misfit: f64,
    /// How far the steps get.
    pub outcome: Outcome,
    /// What the reading says now, the worse of toe and camber.
    pub verdict: Verdict,
}

/// What a reading says about both targets: the worse.
fn both(reading: &Reading, goal: &Goal) -> Option<Verdict> {
    let toe = reading.toe.map(|toe| verdict(toe, goal.toe));
    let camber = reading.camber.map(|camber| verdict(camber, goal.camber));
    toe.max(camber)
}

/// The plan for one wheel: the whole steps of all first adjusters together that come nearest to the goal.
///
/// `misfit² = ((toe − aim)/tolerance)² + ((camber − aim)/tolerance)²` over every combination of allowed steps. Among combinations as near as
/// makes no difference the one with the least turning is taken, then the one that evens left and right.
///
/// # Errors
/// Nothing read, nothing that moves it, a tolerance that is not one, or too many combinations.
pub fn plan(
    reading: &Reading,
    goal: &Goal,
    first: &[Lever],
    further: &[Lever],
) -> Result<Plan, PlanError> {
    let verdict = both(reading, goal).ok_or(PlanError::NoReading)?;
    if goal.toe.tolerance <= Angle::ZERO || goal.camber.tolerance <= Angle::ZERO {
        return Err(PlanError::NoTolerance);
    }
    let start = Start::of(reading, goal)?;
    if !first.iter().chain(further).all(Lever::is_finite) {
        return Err(PlanError::NotFinite);
    }
    if verdict == Verdict::InsideForCertain {
        return Ok(Plan {
            steps: vec![0; first.len()],
            after: *reading,
            misfit: start.misfit(),
            outcome: Outcome::Leave,
            verdict,
        });
    }
    let levers: Vec<&Lever> = first.iter().collect();
    if !first.iter().chain(further).any(|lever| start.moves(lever)) {
        return Err(PlanError::NothingMoves);
    }
    let found = search(&start, &levers)?;
    let (steps, misfit) = (found.steps.clone(), found.misfit);
    let outcome = if found.inside {
        Outcome::Reaches
    } else {
        let mut opened: Option<(Found, usize)> = None;
        for (index, lever) in further
            .iter()
            .enumerate()
            .filter(|(_, lever)| start.moves(lever))
        {
            let mut with: Vec<&Lever> = levers.clone();
            with.push(lever);
            let found = search(&start, &with)?;
            if found.inside
                && opened
                    .as_ref()
                    .is_none_or(|(best, _)| found.better_than(best))
            {
                opened = Some((found, index));
            }
        }
        match opened {
            Some((found, index)) => {
                let mut with = levers.clone();
                with.extend(further.get(index));
                Outcome::NeedsFurther(Further {
                    index,
                    after: after(reading, &with, &found.steps),
                    steps: found.steps,
                })
            }
            None => Outcome::OutOfReach,
        }
    };
    Ok(Plan {
        after: after(reading, &levers, &steps),
        steps,
        misfit,
        outcome,
        verdict,
    })
}

/// The reading after these steps. Its uncertainty holds the reading's and that of the rates over the change.
fn after(reading: &Reading, levers: &[&Lever], steps: &[i32]) -> Reading {
    let moved = |rate: fn(&Rate) -> f64| {
        let mut change = 0.0;
        let mut variance = 0.0;
        for (lever, steps) in levers.iter().zip(steps) {
            let part = rate(&lever.rate)
                * lever
                    .room
                    .travel(*steps)
                    .unwrap_or(Length::ZERO)
                    .as_metres();
            change += part;
            variance += (part * lever.rate.uncertainty).powi(2);
        }
        Estimate::new(Angle::radians(change), Angle::radians(variance.sqrt()))
    };
    Reading {
        toe: reading.toe.map(|toe| toe.plus(moved(|rate| rate.toe))),
        camber: reading
            .camber
            .map(|camber| camber.plus(moved(|rate| rate.camber))),
    }
}

/// Where the wheel is from its goal, in tolerances. What was not read weighs nothing.
pub(super) struct Start {
    toe: Option<(f64, f64)>,
    camber: Option<(f64, f64)>,
}

impl Start {
    pub(super) fn of(reading: &Reading, goal: &Goal) -> Result<Self, PlanError> {
        let off =
            |estimate: Option<Estimate>, target: Target| -> Result<Option<(f64, f64)>, PlanError> {
                let Some(estimate) = estimate else {
                    return Ok(None);
                };
                let (off, per_radian) = (
                    (estimate.value - target.aim) / target.tolerance,
                    1.0 / target.tolerance.as_radians(),
                );
                if off.is_finite()
                    && per_radian.is_finite()
                    && estimate.uncertainty.as_radians().is_finite()
                {
                    Ok(Some((off, per_radian)))
                } else {
                    Err(PlanError::NotFinite)
                }
            };
        Ok(Self {
            toe: off(reading.toe, goal.toe)?,
            camber: off(reading.camber, goal.camber)?,
        })
    }

    pub(super) fn offset(&self) -> (f64, f64) {
        (
            self.toe.map_or(0.0, |(off, _)| off),
            self.camber.map_or(0.0, |(off, _)| off),
        )
    }

    fn misfit(&self) -> f64 {
        let (toe, camber) = self.offset();
        toe.hypot(camber)
    }

    /// What a lever's travels do, in tolerances.
    pub(super) fn effects(&self, lever: &Lever) -> Vec<(f64, f64)> {
        let share = |weight: Option<(f64, f64)>, rate: f64, travel: Length| {
            weight.map_or(0.0, |(_, per_radian)| {
                rate * travel.as_metres() * per_radian
            })
        };
        let effect = |travel: &Length| {
            (
                share(self.toe, lever.rate.toe, *travel),
                share(self.camber, lever.rate.camber, *travel),
            )
        };
        lever.room.travels.iter().map(effect).collect()
    }

    /// Whether a lever moves what was read, thread left or not.
    const fn moves(&self, lever: &Lever) -> bool {
        (self.toe.is_some() && lever.rate.toe != 0.0)
            || (self.camber.is_some() && lever.rate.camber != 0.0)
    }
}

/// A combination of steps.
#[derive(Clone)]
struct Found {
    steps: Vec<i32>,
    misfit: f64,
    inside: bool,
    effort: f64,
    uneven: f64,
}

impl Found {
    /// Inside where the other is not; else less turning; else evener; else nearer.
    fn better_than(&self, other: &Self) -> bool {
        if self.inside != other.inside {
            return self.inside;
        }
        (self.effort, self.uneven, self.misfit) < (other.effort, other.uneven, other.misfit)
    }
}

/// The nearest combination of whole steps: one inside both tolerances before any that is not, then the least misfit, then the
/// easiest among those alike.
fn search(start: &Start, levers: &[&Lever]) -> Result<Found, PlanError> {
    let effects: Vec<Vec<(f64, f64)>> = levers.iter().map(|lever| start.effects(lever)).collect();
    effects
        .iter()
        .try_fold(1_usize, |count, effects| count.checked_mul(effects.len()))
        .filter(|count| *count <= MOST)
        .ok_or(PlanError::TooMany)?;
    let inside = |toe: f64, camber: f64| toe.abs() <= 1.0 + EDGE && camber.abs() <= 1.0 + EDGE;
    let (mut least, mut least_inside) = (f64::INFINITY, f64::INFINITY);
    each(
        start.offset(),
        &effects,
        &mut Vec::new(),
        &mut |_, toe, camber| {
            let misfit = toe.hypot(camber);
            least = least.min(misfit);
            if inside(toe, camber) {
                least_inside = least_inside.min(misfit);
            }
        },
    );
    let reached = least_inside.is_finite();
    let enough = ALIKE + if reached { least_inside } else { least };
    let mut best: Option<Found> = None;
    each(
        start.offset(),
        &effects,
        &mut Vec::new(),
        &mut |indices, toe, camber| {
            let misfit = toe.hypot(camber);
            if misfit > enough || (reached && !inside(toe, camber)) {
                return;
            }
            let mut found = Found {
                steps: Vec::new(),
                misfit,
                inside: reached,
                effort: 0.0,
                uneven: 0.0,
            };
            for (lever, index) in levers.iter().zip(indices) {
                let steps = lever.steps(*index);
                found.steps.push(steps);
                found.effort += f64::from(steps.unsigned_abs()) * lever.effort;
                found.uneven += (f64::from(steps) + lever.ahead).abs();
            }
            if best.as_ref().is_none_or(|best| found.better_than(best)) {
                best = Some(found);
            }
        },
    );
    best.ok_or(PlanError::NotFinite)
}

/// Goes through every combination: its index at each lever, and where it leaves the wheel in tolerances.
pub(super) fn each(
    (toe, camber): (f64, f64),
    effects: &[Vec<(f64, f64)>],
    indices: &mut Vec<usize>,
    visit: &mut dyn FnMut(&[usize], f64, f64),
) {
    let Some((first, rest)) = effects.split_first() else {
        return visit(indices, toe, camber);
    };
    for (index, (of_toe, of_camber)) in first.iter().enumerate() {
        indices.push(index);
        each((toe + of_toe, camber + of_camber), rest, indices, visit);
        indices.pop();
    }
}

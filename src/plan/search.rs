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
}

/// An adjuster as the plan sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lever {
    /// Its place among the corner's adjusters: the same adjuster in finer steps has the same.
    pub place: usize,
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
        let Rate { toe, camber } = self.rate;
        let travels = self.room.travels.iter().map(|travel| travel.as_metres());
        [toe, camber, self.effort, self.ahead]
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

/// Whether a corner may stand so: travels by the place of their adjuster; what is not named stays.
pub type MayStand<'a> = dyn Fn(&[(usize, Length)]) -> bool + 'a;

/// The adjusters that a plan may turn.
pub struct Levers<'a> {
    /// Those turned first.
    pub first: &'a [Lever],
    /// The same in finer steps, one list after the other, the coarsest first. An adjuster that has no finer step stands in them as it does among the first.
    pub finer: &'a [Vec<Lever>],
    /// Those turned only where the first do not reach: one of them, or two.
    pub further: &'a [Lever],
    /// Whether the corner may stand so.
    pub may_stand: &'a MayStand<'a>,
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
    /// These steps do not reach; finer steps of the same adjusters would.
    InFiner(Finer),
    /// Nor do those; with one further adjuster, or with two, whole steps would.
    NeedsFurther(Further),
    /// No whole steps of any adjuster here reach it: these come nearest.
    OutOfReach,
}

/// Finer steps.
#[derive(Clone, Debug, PartialEq)]
pub struct Finer {
    /// Which of the lists of finer steps.
    pub level: usize,
    /// Steps of each adjuster of that list.
    pub steps: Vec<i32>,
    /// What the wheel should read then.
    pub after: Reading,
}

/// Further adjusters and the steps with them.
#[derive(Clone, Debug, PartialEq)]
pub struct Further {
    /// Which of the further adjusters: one, or two.
    pub which: Vec<usize>,
    /// Steps of each first adjuster, then of these.
    pub steps: Vec<i32>,
    /// What the wheel should read then.
    pub after: Reading,
}

/// Whole steps for each first adjuster, and what the wheel should read after them.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Steps of each first adjuster, lengthening positive.
    pub steps: Vec<i32>,
    /// What the wheel should read after them, as certain as the reading: what the rates do not know is for [`super::Belief`] to add.
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
pub fn plan(reading: &Reading, goal: &Goal, levers: &Levers) -> Result<Plan, PlanError> {
    let verdict = both(reading, goal).ok_or(PlanError::NoReading)?;
    if goal.toe.tolerance <= Angle::ZERO || goal.camber.tolerance <= Angle::ZERO {
        return Err(PlanError::NoTolerance);
    }
    let start = Start::of(reading, goal)?;
    let finer = levers.finer.iter().flatten();
    let mut all = levers.first.iter().chain(levers.further).chain(finer);
    if !all.all(Lever::is_finite) {
        return Err(PlanError::NotFinite);
    }
    let first: Vec<&Lever> = levers.first.iter().collect();
    if verdict == Verdict::InsideForCertain {
        return Ok(Plan {
            steps: vec![0; first.len()],
            after: *reading,
            misfit: start.misfit(),
            outcome: Outcome::Leave,
            verdict,
        });
    }
    let mut usable = levers.first.iter().chain(levers.further);
    if !usable.any(|lever| start.moves(lever)) {
        return Err(PlanError::NothingMoves);
    }
    let found = search(&start, &first, levers.may_stand)?;
    let outcome = if found.inside {
        Outcome::Reaches
    } else if let Some(finer) = in_finer(reading, &start, levers)? {
        Outcome::InFiner(finer)
    } else if let Some(further) = with_further(reading, &start, levers, &first)? {
        Outcome::NeedsFurther(further)
    } else {
        Outcome::OutOfReach
    };
    Ok(Plan {
        after: after(reading, &first, &found.steps),
        steps: found.steps,
        misfit: found.misfit,
        outcome,
        verdict,
    })
}

/// The coarsest of the finer steps that reach.
fn in_finer(reading: &Reading, start: &Start, levers: &Levers) -> Result<Option<Finer>, PlanError> {
    for (level, finer) in levers.finer.iter().enumerate() {
        let finer: Vec<&Lever> = finer.iter().collect();
        let found = match search(start, &finer, levers.may_stand) {
            // What cannot be looked through is no advice.
            Err(PlanError::TooMany) => continue,
            found => found?,
        };
        if found.inside {
            return Ok(Some(Finer {
                level,
                after: after(reading, &finer, &found.steps),
                steps: found.steps,
            }));
        }
    }
    Ok(None)
}

/// The best of all single further adjusters that open it, or else of all pairs.
fn with_further(
    reading: &Reading,
    start: &Start,
    levers: &Levers,
    first: &[&Lever],
) -> Result<Option<Further>, PlanError> {
    let useful: Vec<usize> = (0..levers.further.len())
        .filter(|index| {
            levers
                .further
                .get(*index)
                .is_some_and(|lever| start.moves(lever))
        })
        .collect();
    let singles: Vec<Vec<usize>> = useful.iter().map(|one| vec![*one]).collect();
    let pairs: Vec<Vec<usize>> = useful
        .iter()
        .enumerate()
        .flat_map(|(place, one)| {
            let others = useful.iter().skip(place + 1);
            others.map(|other| vec![*one, *other])
        })
        .collect();
    for (choices, single) in [(singles, true), (pairs, false)] {
        let mut best: Option<(Found, Vec<usize>)> = None;
        for which in choices {
            let mut with = first.to_vec();
            with.extend(which.iter().filter_map(|index| levers.further.get(*index)));
            let found = match search(start, &with, levers.may_stand) {
                // A pair that cannot be looked through is not offered.
                Err(PlanError::TooMany) if !single => continue,
                found => found?,
            };
            if found.inside
                && best
                    .as_ref()
                    .is_none_or(|(best, _)| found.better_than(best))
            {
                best = Some((found, which));
            }
        }
        if let Some((found, which)) = best {
            let mut with = first.to_vec();
            with.extend(which.iter().filter_map(|index| levers.further.get(*index)));
            return Ok(Some(Further {
                which,
                after: after(reading, &with, &found.steps),
                steps: found.steps,
            }));
        }
    }
    Ok(None)
}

/// The reading after these steps.
fn after(reading: &Reading, levers: &[&Lever], steps: &[i32]) -> Reading {
    let moved = |read: Option<Estimate>, rate: fn(&Rate) -> f64| {
        let change: f64 = levers
            .iter()
            .zip(steps)
            .map(|(lever, steps)| {
                let travel = lever.room.travel(*steps).unwrap_or(Length::ZERO);
                rate(&lever.rate) * travel.as_metres()
            })
            .sum();
        let change = Estimate::new(Angle::radians(change), Angle::ZERO);
        read.map(|read| read.plus(change))
    };
    Reading {
        toe: moved(reading.toe, |rate| rate.toe),
        camber: moved(reading.camber, |rate| rate.camber),
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
fn search(start: &Start, levers: &[&Lever], may_stand: &MayStand) -> Result<Found, PlanError> {
    let effects: Vec<Vec<(f64, f64)>> = levers.iter().map(|lever| start.effects(lever)).collect();
    effects
        .iter()
        .try_fold(1_usize, |count, effects| count.checked_mul(effects.len()))
        .filter(|count| *count <= MOST)
        .ok_or(PlanError::TooMany)?;
    // Asked of the few combinations alone that would be the nearest so far, and never of leaving all as it is.
    let allowed = |indices: &[usize]| {
        let travels: Vec<_> = levers
            .iter()
            .zip(indices)
            .filter_map(|(lever, index)| Some((lever.place, *lever.room.travels.get(*index)?)))
            .collect();
        travels.iter().all(|(_, travel)| *travel == Length::ZERO) || may_stand(&travels)
    };
    let inside = |toe: f64, camber: f64| toe.abs() <= 1.0 + EDGE && camber.abs() <= 1.0 + EDGE;
    let (mut least, mut least_inside) = (f64::INFINITY, f64::INFINITY);
    each(
        start.offset(),
        &effects,
        &mut Vec::new(),
        &mut |indices, toe, camber| {
            let misfit = toe.hypot(camber);
            let nearest_inside = inside(toe, camber) && misfit < least_inside;
            if (misfit < least || nearest_inside) && allowed(indices) {
                least = least.min(misfit);
                if nearest_inside {
                    least_inside = misfit;
                }
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
            if best.as_ref().is_none_or(|best| found.better_than(best)) && allowed(indices) {
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

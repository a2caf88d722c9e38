//! Both wheels of an axle together, where what they come to together has a tolerance too.
//!
//! Toe of the left wheel and toe of the right make total toe and, as half their difference, the thrust angle of a rear axle or the steering wheel's
//! angle of a front one. Two wheels each inside their own tolerance may come to a car that runs crooked.

use super::search::{ALIKE, MOST, Start, each};
use super::verdict::EDGE;
use super::{Goal, Lever, MayStand, PlanError, Reading};
use crate::quantity::{Angle, Length};

/// How far what both wheels come to together may be off, each either way and more than zero. What is left out is not asked.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ties {
    /// Total toe, off the sum of both aims.
    pub total_toe: Option<Angle>,
    /// Half of left toe less right toe, off half the difference of both aims: the thrust angle behind, the steering wheel in front.
    pub split: Option<Angle>,
    /// Left camber less right camber, off the difference of both aims.
    pub cross_camber: Option<Angle>,
}

/// One wheel of an axle: what it reads, what it should read, and the adjusters that may be turned.
#[derive(Clone, Copy)]
pub struct Wheel<'a> {
    /// What it reads, both angles.
    pub reading: &'a Reading,
    /// What it should read.
    pub goal: &'a Goal,
    /// Its adjusters, in the same order on both sides.
    pub levers: &'a [Lever],
    /// Whether its corner may stand so.
    pub may_stand: &'a MayStand<'a>,
}

impl Wheel<'_> {
    /// Whether its corner may stand so after these steps; as it stands, it may.
    fn stands(&self, steps: &[i32]) -> bool {
        let travels: Vec<_> = self
            .levers
            .iter()
            .zip(steps)
            .filter_map(|(lever, steps)| Some((lever.place, lever.room.travel(*steps)?)))
            .collect();
        travels.iter().all(|(_, travel)| *travel == Length::ZERO) || (self.may_stand)(&travels)
    }
}

/// Whole steps for all adjusters of an axle.
#[derive(Clone, Debug, PartialEq)]
pub struct AxlePlan {
    /// Steps of the left wheel's adjusters, lengthening positive.
    pub left: Vec<i32>,
    /// Steps of the right wheel's.
    pub right: Vec<i32>,
    /// How far off that leaves the axle, in tolerances: the root of the sum of squares over both wheels and their ties.
    pub misfit: f64,
    /// Whether every tolerance is kept, of each wheel and of both together.
    pub reaches: bool,
}

/// Where a combination of steps leaves one wheel.
struct Place {
    steps: Vec<i32>,
    /// Off the aim, in radians.
    toe: f64,
    camber: f64,
    /// Off the aim, in tolerances, squared and summed.
    square: f64,
    inside: bool,
    effort: f64,
}

/// The whole steps of all adjusters of both wheels that come nearest to every tolerance together.
///
/// Every combination of both wheels counts; what a wheel is off by itself bounds from below what a pair with it is off by, and so most pairs need
/// not be looked at. Among pairs as near as makes no difference the one with the least turning is taken, then the one that leaves both sides alike.
///
/// # Errors
/// An angle that was not read, a tolerance that is not more than zero, a number that is none, or too many combinations.
pub fn plan_axle(left: Wheel, right: Wheel, ties: &Ties) -> Result<AxlePlan, PlanError> {
    let tolerances = [ties.total_toe, ties.split, ties.cross_camber];
    if tolerances.iter().flatten().any(|tie| {
        // Not a number is not more than zero either.
        tie.partial_cmp(&Angle::ZERO) != Some(std::cmp::Ordering::Greater)
    }) {
        return Err(PlanError::NoTolerance);
    }
    let pair = Pair {
        ties,
        left: &left,
        right: &right,
    };
    let (ours, theirs) = (places(&left)?, places(&right)?);
    let inside = |all: &[Place]| all.iter().any(|place| place.inside);
    let mut least = f64::INFINITY;
    let mut reaches = false;
    if inside(&ours) && inside(&theirs) {
        pair.each(&ours, &theirs, true, &mut |a, b, misfit| {
            if misfit < least && pair.stands(a, b) {
                least = misfit;
                reaches = true;
            }
            least
        })?;
    }
    if !reaches {
        pair.each(&ours, &theirs, false, &mut |a, b, misfit| {
            if misfit < least && pair.stands(a, b) {
                least = misfit;
            }
            least
        })?;
    }
    let enough = least + ALIKE;
    let mut best: Option<(AxlePlan, [f64; 3])> = None;
    pair.each(&ours, &theirs, reaches, &mut |a, b, misfit| {
        if misfit <= enough {
            let rank = [a.effort + b.effort, pair.uneven(a, b), misfit];
            if best.as_ref().is_none_or(|(_, known)| rank < *known) && pair.stands(a, b) {
                let plan = AxlePlan {
                    left: a.steps.clone(),
                    right: b.steps.clone(),
                    misfit,
                    reaches,
                };
                best = Some((plan, rank));
            }
        }
        enough
    })?;
    best.map(|(plan, _)| plan).ok_or(PlanError::NotFinite)
}

/// Where every combination of a wheel's steps leaves it, the nearest first.
fn places(wheel: &Wheel) -> Result<Vec<Place>, PlanError> {
    if wheel.reading.toe.is_none() || wheel.reading.camber.is_none() {
        return Err(PlanError::NoReading);
    }
    let Goal { toe, camber } = wheel.goal;
    if toe.tolerance <= Angle::ZERO || camber.tolerance <= Angle::ZERO {
        return Err(PlanError::NoTolerance);
    }
    if !wheel.levers.iter().all(Lever::is_finite) {
        return Err(PlanError::NotFinite);
    }
    let start = Start::of(wheel.reading, wheel.goal)?;
    let effects: Vec<_> = wheel
        .levers
        .iter()
        .map(|lever| start.effects(lever))
        .collect();
    effects
        .iter()
        .try_fold(1_usize, |count, effects| count.checked_mul(effects.len()))
        .filter(|count| *count <= MOST)
        .ok_or(PlanError::TooMany)?;
    let mut all = Vec::new();
    each(
        start.offset(),
        &effects,
        &mut Vec::new(),
        &mut |indices, off_toe, off_camber| {
            let mut place = Place {
                steps: Vec::with_capacity(indices.len()),
                toe: off_toe * toe.tolerance.as_radians(),
                camber: off_camber * camber.tolerance.as_radians(),
                square: off_toe * off_toe + off_camber * off_camber,
                inside: kept(off_toe) && kept(off_camber),
                effort: 0.0,
            };
            for (lever, index) in wheel.levers.iter().zip(indices) {
                let steps = lever.steps(*index);
                place.effort += f64::from(steps.unsigned_abs()) * lever.effort;
                place.steps.push(steps);
            }
            all.push(place);
        },
    );
    all.sort_unstable_by(|a, b| a.square.total_cmp(&b.square));
    Ok(all)
}

/// Whether a tolerance is kept, given how much of it is used.
fn kept(share: f64) -> bool {
    share.abs() <= 1.0 + EDGE
}

struct Pair<'a> {
    ties: &'a Ties,
    left: &'a Wheel<'a>,
    right: &'a Wheel<'a>,
}

impl Pair<'_> {
    /// Goes through the pairs that may be less off than what `visit` last gave back, all of them where it gave nothing yet.
    fn each(
        &self,
        ours: &[Place],
        theirs: &[Place],
        inside: bool,
        visit: &mut dyn FnMut(&Place, &Place, f64) -> f64,
    ) -> Result<(), PlanError> {
        let mut enough = f64::INFINITY;
        let mut looked = 0_usize;
        for a in ours.iter().filter(|a| a.inside || !inside) {
            for b in theirs.iter().filter(|b| b.inside || !inside) {
                let own = a.square + b.square;
                if own > enough * enough {
                    break;
                }
                looked += 1;
                if looked > MOST {
                    return Err(PlanError::TooMany);
                }
                let shares = self.shares(a, b);
                if inside && !shares.iter().all(|share| kept(*share)) {
                    continue;
                }
                let square: f64 = shares.iter().map(|share| share * share).sum();
                enough = visit(a, b, (own + square).sqrt());
            }
        }
        Ok(())
    }

    /// Whether both corners may stand so. Asked of few pairs alone.
    fn stands(&self, a: &Place, b: &Place) -> bool {
        self.left.stands(&a.steps) && self.right.stands(&b.steps)
    }

    /// How much of each tie's tolerance a pair uses.
    fn shares(&self, a: &Place, b: &Place) -> [f64; 3] {
        let share = |off: f64, tie: Option<Angle>| tie.map_or(0.0, |tie| off / tie.as_radians());
        [
            share(a.toe + b.toe, self.ties.total_toe),
            share((a.toe - b.toe) / 2.0, self.ties.split),
            share(a.camber - b.camber, self.ties.cross_camber),
        ]
    }

    /// By how many steps the sides would stand apart. Adjusters that have no twin weigh nothing.
    fn uneven(&self, a: &Place, b: &Place) -> f64 {
        if self.left.levers.len() != self.right.levers.len() {
            return 0.0;
        }
        let apart = |((left, ours), theirs): ((&Lever, &i32), &i32)| {
            (f64::from(*ours) - f64::from(*theirs) + left.ahead).abs()
        };
        let steps = self.left.levers.iter().zip(&a.steps).zip(&b.steps);
        steps.map(apart).sum()
    }
}

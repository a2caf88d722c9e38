//! Both wheels of an axle together, where what they come to together has a tolerance too.
//!
//! Toe of the left wheel and toe of the right make total toe and, as half their difference, the thrust angle of a rear axle or the steering wheel's
//! angle of a front one. Two wheels each inside their own tolerance may come to a car that runs crooked.

use super::search::{ALIKE, Cut, Keyed, Lattice, MOST, Start, kept};
use super::{Goal, Lever, MayStand, PlanError, Reading};
use crate::quantity::{Angle, Length};
use std::collections::BinaryHeap;

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

/// Whole steps for all adjusters of an axle that keep every tolerance, of each wheel and of both together.
#[derive(Clone, Debug, PartialEq)]
pub struct AxlePlan {
    /// Steps of the left wheel's adjusters, lengthening positive.
    pub left: Vec<i32>,
    /// Steps of the right wheel's.
    pub right: Vec<i32>,
    /// How far off that leaves the axle, in tolerances: the root of the sum of squares over both wheels and their ties.
    pub misfit: f64,
}

/// Where a combination of steps leaves one wheel.
struct Place {
    steps: Vec<i32>,
    /// Off the aim, in radians.
    toe: f64,
    camber: f64,
    /// Off the aim, in tolerances, squared and summed.
    square: f64,
    effort: f64,
}

/// The whole steps of all adjusters of both wheels that keep every tolerance and come nearest to the middle of all; none where no steps keep them.
///
/// Every combination of both wheels counts; what a wheel is off by itself bounds from below what a pair with it is off by, and what is asked of both
/// toes bounds the other's toe, and so most pairs need not be looked at. Among pairs as near as makes no difference the one with the least turning is
/// taken, then the one that leaves both sides alike.
///
/// # Errors
/// An angle that was not read, a tolerance that is not more than zero, a number that is none, or too many combinations.
pub fn plan_axle(left: Wheel, right: Wheel, ties: &Ties) -> Result<Option<AxlePlan>, PlanError> {
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
        ours: places(&left, |place| place.square)?,
        theirs: places(&right, |place| place.toe)?,
    };
    let mut least = f64::INFINITY;
    pair.each(least, &mut |a, b, misfit| {
        if misfit < least && pair.stands(a, b) {
            least = misfit;
        }
        least
    })?;
    if least.is_infinite() {
        return Ok(None);
    }
    let enough = least + ALIKE;
    let mut best: Option<(AxlePlan, [f64; 3])> = None;
    pair.each(enough, &mut |a, b, misfit| {
        if misfit <= enough {
            let rank = [a.effort + b.effort, pair.uneven(a, b), misfit];
            if best.as_ref().is_none_or(|(_, known)| rank < *known) && pair.stands(a, b) {
                let plan = AxlePlan {
                    left: a.steps.clone(),
                    right: b.steps.clone(),
                    misfit,
                };
                best = Some((plan, rank));
            }
        }
        enough
    })?;
    Ok(best.map(|(plan, _)| plan))
}

/// Where the combinations of a wheel's steps leave it that are inside its own tolerances, ordered by something of them.
fn places(wheel: &Wheel, by: fn(&Place) -> f64) -> Result<Vec<Place>, PlanError> {
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
    let levers: Vec<&Lever> = wheel.levers.iter().collect();
    let lattice = Lattice::new(&start, &levers)?;
    let mut all = Vec::new();
    lattice.each(true, false, Cut::NONE, &mut |point| {
        if point.is_inside() {
            all.push(Some(Place {
                steps: lattice.steps(point.indices),
                toe: point.toe * toe.tolerance.as_radians(),
                camber: point.camber * camber.tolerance.as_radians(),
                square: point.toe * point.toe + point.camber * point.camber,
                effort: point.effort,
            }));
        }
        Cut::NONE
    });
    let keys = all.iter().flatten().map(by);
    let keyed = keys.enumerate().map(|(place, key)| Keyed { key, place });
    let mut keyed: BinaryHeap<Keyed> = keyed.collect();
    let ordered = std::iter::from_fn(|| keyed.pop());
    Ok(ordered
        .filter_map(|keyed| all.get_mut(keyed.place)?.take())
        .collect())
}

struct Pair<'a> {
    ties: &'a Ties,
    left: &'a Wheel<'a>,
    right: &'a Wheel<'a>,
    /// What is inside on the left, the nearest first.
    ours: Vec<Place>,
    /// What is inside on the right, by its toe.
    theirs: Vec<Place>,
}

impl Pair<'_> {
    /// Goes through the pairs that keep every tolerance and may be less off than `enough`, which is what `visit` last gave back.
    fn each(
        &self,
        mut enough: f64,
        visit: &mut dyn FnMut(&Place, &Place, f64) -> f64,
    ) -> Result<(), PlanError> {
        let mut looked = 0_usize;
        for a in &self.ours {
            if a.square > enough * enough {
                break;
            }
            let (least, most) = self.toe_beside(a);
            let from = self.theirs.partition_point(|b| b.toe < least);
            let near = self.theirs.iter().skip(from).take_while(|b| b.toe <= most);
            for b in near {
                looked += 1;
                if looked > MOST {
                    return Err(PlanError::TooMany);
                }
                let own = a.square + b.square;
                if own > enough * enough {
                    continue;
                }
                let shares = self.shares(a, b);
                if shares.iter().all(|share| kept(*share)) {
                    let square: f64 = shares.iter().map(|share| share * share).sum();
                    enough = visit(a, b, (own + square).sqrt());
                }
            }
        }
        Ok(())
    }

    /// Between which the right wheel's toe must be beside a left wheel's for both toes to keep what is asked of them, and a little more for rounding.
    fn toe_beside(&self, a: &Place) -> (f64, f64) {
        let about = |middle: f64, tie: Option<Angle>, times: f64| {
            let tie = tie.map_or(f64::INFINITY, |tie| tie.as_radians() * times * 1.001);
            (middle - tie, middle + tie)
        };
        let total = about(-a.toe, self.ties.total_toe, 1.0);
        let split = about(a.toe, self.ties.split, 2.0);
        (total.0.max(split.0), total.1.min(split.1))
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

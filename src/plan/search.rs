//! The search for whole steps of all adjusters together, within their thread.

use super::verdict::EDGE;
use super::{Target, Verdict, verdict};
use crate::adjuster::Room;
use crate::quantity::{Angle, Length};
use crate::reading::Estimate;
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::f64::consts::FRAC_1_SQRT_2;
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
    let (found, is_inside) = search(&start, &first, levers.may_stand)?;
    let outcome = if is_inside {
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
        let found = match search_inside(start, &finer, levers.may_stand) {
            // What cannot be looked through is no advice.
            Err(PlanError::TooMany) => continue,
            found => found?,
        };
        if let Some(found) = found {
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
            let found = match search_inside(start, &with, levers.may_stand) {
                // A pair that cannot be looked through is not offered.
                Err(PlanError::TooMany) if !single => continue,
                found => found?,
            };
            if let Some(found) = found
                && best
                    .as_ref()
                    .is_none_or(|(best, _)| found.rank() < best.rank())
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
struct Found {
    steps: Vec<i32>,
    misfit: f64,
    effort: f64,
    uneven: f64,
}

impl Found {
    /// The lesser is the better: less turning; else evener; else nearer.
    const fn rank(&self) -> (f64, f64, f64) {
        (self.effort, self.uneven, self.misfit)
    }
}

/// Whether a tolerance is kept, given how much of it is used.
pub(super) fn kept(share: f64) -> bool {
    share.abs() <= 1.0 + EDGE
}

/// Something in a place, by a key. Of a heap of them the one with the least key comes first.
pub(super) struct Keyed {
    pub key: f64,
    pub place: usize,
}

impl Ord for Keyed {
    fn cmp(&self, other: &Self) -> Ordering {
        let keys = other.key.total_cmp(&self.key);
        keys.then(other.place.cmp(&self.place))
    }
}

impl PartialOrd for Keyed {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Keyed {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Keyed {}

/// What is added up along a direction.
fn along((x, y): (f64, f64), (toe, camber): (f64, f64)) -> f64 {
    x * toe + y * camber
}

/// Along these is asked how far the adjusters still reach: all round in steps of an eighth of half a turn. To them comes, for each adjuster, across
/// what it does.
const ROUND: [(f64, f64); 8] = [
    (1.0, 0.0),
    (0.923_879_532_511_286_8, 0.382_683_432_365_089_8),
    (FRAC_1_SQRT_2, FRAC_1_SQRT_2),
    (0.382_683_432_365_089_8, 0.923_879_532_511_286_8),
    (0.0, 1.0),
    (-0.382_683_432_365_089_8, 0.923_879_532_511_286_8),
    (-FRAC_1_SQRT_2, FRAC_1_SQRT_2),
    (-0.923_879_532_511_286_8, 0.382_683_432_365_089_8),
];

/// The least and the most of something.
type Span = (f64, f64);

/// One adjuster's part of a combination.
struct Way {
    index: usize,
    effect: (f64, f64),
    /// How far its effect goes along the direction of its branch.
    along: f64,
    effort: f64,
}

/// One adjuster in every place it may take, and what those after it can still add to it.
struct Branch {
    ways: Vec<Way>,
    /// Along which direction its ways lie furthest apart: what is unwanted there need not be looked at along the others.
    direction: usize,
    /// The least turning of all after it.
    rest_effort: f64,
    /// How far all after it reach along each direction.
    rest: Vec<Span>,
}

/// How far is looked: what is off by more, or takes more turning, is not gone through.
#[derive(Clone, Copy)]
pub(super) struct Cut {
    pub misfit: f64,
    pub effort: f64,
}

impl Cut {
    pub(super) const NONE: Self = Self {
        misfit: f64::INFINITY,
        effort: f64::INFINITY,
    };
}

/// A combination that was come to: the place of each adjuster among its travels, how far off that leaves toe and camber in tolerances, and the turning.
pub(super) struct Point<'a> {
    pub indices: &'a [usize],
    pub toe: f64,
    pub camber: f64,
    pub effort: f64,
}

impl Point<'_> {
    pub(super) fn is_inside(&self) -> bool {
        kept(self.toe) && kept(self.camber)
    }
}

/// Every combination of whole steps of some adjusters.
///
/// It is gone through adjuster by adjuster, and a beginning from which the adjusters that are left reach nothing wanted is not followed: what they can
/// add lies between bounds along each direction, and so does what they leave. Branch and bound (Land and Doig, 1960; from memory): nothing is missed.
pub(super) struct Lattice<'a> {
    levers: &'a [&'a Lever],
    start: (f64, f64),
    directions: Vec<(f64, f64)>,
    branches: Vec<Branch>,
    /// More than what the sums may be rounded by.
    rounding: f64,
}

impl<'a> Lattice<'a> {
    /// # Errors
    /// Too many combinations.
    pub(super) fn new(start: &Start, levers: &'a [&'a Lever]) -> Result<Self, PlanError> {
        levers
            .iter()
            .try_fold(1_usize, |count, lever| {
                count.checked_mul(lever.room.travels.len())
            })
            .filter(|count| *count <= MOST)
            .ok_or(PlanError::TooMany)?;
        let mut directions = ROUND.to_vec();
        let (toe, camber) = start.offset();
        let mut size = toe.hypot(camber);
        let mut of_levers = Vec::new();
        for lever in levers {
            let effects = start.effects(lever);
            let longest = effects
                .iter()
                .fold((0.0_f64, (0.0, 0.0)), |longest, effect| {
                    let length = effect.0.hypot(effect.1);
                    if length > longest.0 {
                        (length, *effect)
                    } else {
                        longest
                    }
                });
            let (length, (toe, camber)) = longest;
            if length > 0.0 {
                directions.push((-camber / length, toe / length));
            }
            size += length;
            let ways = effects.into_iter().enumerate().map(|(index, effect)| Way {
                index,
                effect,
                along: 0.0,
                effort: f64::from(lever.steps(index).unsigned_abs()) * lever.effort,
            });
            of_levers.push((ways.collect::<Vec<_>>(), longest.1));
        }
        let mut rest = vec![(0.0, 0.0); directions.len()];
        let mut rest_effort = 0.0;
        let mut branches = Vec::new();
        for (mut ways, longest) in of_levers.into_iter().rev() {
            let reaches = directions.iter().enumerate();
            let reaches = reaches.map(|(place, way)| (along(*way, longest).abs(), place));
            let (_, direction) = reaches.fold((-1.0, 0), |a, b| if b.0 > a.0 { b } else { a });
            if let Some(direction) = directions.get(direction) {
                for way in &mut ways {
                    way.along = along(*direction, way.effect);
                }
            }
            let before = rest.clone();
            for (rest, direction) in rest.iter_mut().zip(&directions) {
                let (least, most) = span(ways.iter().map(|way| along(*direction, way.effect)));
                *rest = (rest.0 + least, rest.1 + most);
            }
            let (least, _) = span(ways.iter().map(|way| way.effort));
            branches.push(Branch {
                ways,
                direction,
                rest_effort,
                rest: before,
            });
            rest_effort += least;
        }
        branches.reverse();
        Ok(Self {
            levers,
            start: start.offset(),
            directions,
            branches,
            rounding: 1e-13 * size,
        })
    }

    /// Goes through the combinations that may be wanted: those inside both tolerances or all, within what `visit` says after each. The nearest beginnings
    /// first, or the easiest.
    pub(super) fn each(
        &self,
        inside: bool,
        nearest_first: bool,
        mut cut: Cut,
        visit: &mut dyn FnMut(&Point) -> Cut,
    ) {
        let walk = Walk {
            lattice: self,
            inside,
            nearest_first,
        };
        walk.on(
            &self.branches,
            self.start,
            0.0,
            &mut Vec::new(),
            &mut cut,
            visit,
        );
    }

    /// The least that a combination that may be is off by; infinite where there is none.
    fn least(&self, inside: bool, may_stand: &MayStand) -> f64 {
        let mut least = f64::INFINITY;
        self.each(inside, true, Cut::NONE, &mut |point| {
            let misfit = point.toe.hypot(point.camber);
            if misfit < least
                && (!inside || point.is_inside())
                && self.allows(point.indices, may_stand)
            {
                least = misfit;
            }
            Cut {
                misfit: least,
                ..Cut::NONE
            }
        });
        least
    }

    /// The easiest combination among those alike the nearest; none where none may be.
    fn best(&self, inside: bool, may_stand: &MayStand) -> Option<Found> {
        let least = self.least(inside, may_stand);
        if least.is_infinite() {
            return None;
        }
        let mut cut = Cut {
            misfit: least + ALIKE,
            ..Cut::NONE
        };
        let mut best: Option<Found> = None;
        self.each(inside, false, cut, &mut |point| {
            let misfit = point.toe.hypot(point.camber);
            if misfit > least + ALIKE || (inside && !point.is_inside()) {
                return cut;
            }
            let steps: Vec<i32> = self.steps(point.indices);
            let uneven = self.levers.iter().zip(&steps);
            let found = Found {
                misfit,
                effort: point.effort,
                uneven: uneven
                    .map(|(lever, steps)| (f64::from(*steps) + lever.ahead).abs())
                    .sum(),
                steps,
            };
            // Among equals the adjusters' steps decide, so that the order they are gone through in does not.
            let is_better = best
                .as_ref()
                .is_none_or(|best| (found.rank(), &found.steps) < (best.rank(), &best.steps));
            if is_better && self.allows(point.indices, may_stand) {
                cut.effort = found.effort;
                best = Some(found);
            }
            cut
        });
        best
    }

    /// The steps of each adjuster of a combination.
    pub(super) fn steps(&self, indices: &[usize]) -> Vec<i32> {
        let each = self.levers.iter().zip(indices);
        each.map(|(lever, index)| lever.steps(*index)).collect()
    }

    /// Asked of the few combinations alone that would be the nearest so far, and never of leaving all as it is.
    fn allows(&self, indices: &[usize], may_stand: &MayStand) -> bool {
        let travels: Vec<_> = self
            .levers
            .iter()
            .zip(indices)
            .filter_map(|(lever, index)| Some((lever.place, *lever.room.travels.get(*index)?)))
            .collect();
        travels.iter().all(|(_, travel)| *travel == Length::ZERO) || may_stand(&travels)
    }
}

/// The least and the most of some numbers.
fn span(numbers: impl Iterator<Item = f64>) -> Span {
    numbers.fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(least, most), number| (least.min(number), most.max(number)),
    )
}

/// A way through the combinations.
struct Walk<'a> {
    lattice: &'a Lattice<'a>,
    inside: bool,
    nearest_first: bool,
}

impl Walk<'_> {
    fn on(
        &self,
        branches: &[Branch],
        at: (f64, f64),
        effort: f64,
        indices: &mut Vec<usize>,
        cut: &mut Cut,
        visit: &mut dyn FnMut(&Point) -> Cut,
    ) {
        let Some((branch, after)) = branches.split_first() else {
            let (toe, camber) = at;
            *cut = visit(&Point {
                indices,
                toe,
                camber,
                effort,
            });
            return;
        };
        let mut take = |way: &Way, cut: &mut Cut| {
            let to = (at.0 + way.effect.0, at.1 + way.effect.1);
            indices.push(way.index);
            self.on(after, to, effort + way.effort, indices, cut, visit);
            indices.pop();
        };
        let mut next = BinaryHeap::new();
        let (first, last) = self.wanted(at, branch, cut);
        for (place, way) in branch.ways.iter().enumerate() {
            if way.along < first || way.along > last {
                continue;
            }
            let to = (at.0 + way.effect.0, at.1 + way.effect.1);
            let ends = effort + way.effort + branch.rest_effort;
            if ends > cut.effort + EASE {
                continue;
            }
            let Some(off) = self.off(to, branch, cut) else {
                continue;
            };
            if after.is_empty() {
                // Where nothing follows, to go in order saves nothing.
                take(way, cut);
            } else {
                let key = if self.nearest_first { off } else { ends };
                next.push(Keyed { key, place });
            }
        }
        while let Some(Keyed { key, place }) = next.pop() {
            let Some(way) = branch.ways.get(place) else {
                continue;
            };
            let most = if self.nearest_first {
                cut.misfit + self.lattice.rounding
            } else {
                cut.effort + EASE
            };
            if key > most {
                return;
            }
            take(way, cut);
        }
    }

    /// The least that is left from here whatever those after it add; none where nothing wanted is.
    fn off(&self, at: (f64, f64), branch: &Branch, cut: &Cut) -> Option<f64> {
        let mut off = 0.0_f64;
        for (direction, rest) in self.lattice.directions.iter().zip(&branch.rest) {
            let here = along(*direction, at);
            let least = (here + rest.0).max(-here - rest.1);
            if least > self.most(*direction, cut) {
                return None;
            }
            off = off.max(least);
        }
        Some(off)
    }

    /// How far off along a direction what is wanted may be.
    fn most(&self, direction: (f64, f64), cut: &Cut) -> f64 {
        let corner = if self.inside {
            (1.0 + EDGE) * (direction.0.abs() + direction.1.abs())
        } else {
            f64::INFINITY
        };
        cut.misfit.min(corner) + self.lattice.rounding
    }

    /// How far ways to something wanted go along the direction of their branch.
    fn wanted(&self, at: (f64, f64), branch: &Branch, cut: &Cut) -> Span {
        let direction = self.lattice.directions.get(branch.direction);
        let Some((direction, rest)) = direction.zip(branch.rest.get(branch.direction)) else {
            return (f64::NEG_INFINITY, f64::INFINITY);
        };
        let (here, most) = (along(*direction, at), self.most(*direction, cut));
        (-most - rest.1 - here, most - rest.0 - here)
    }
}

/// More than what sums of turning may be rounded by, in turns.
const EASE: f64 = 1e-9;

/// The nearest combination of whole steps: one inside both tolerances before any that is not, then the least misfit, then the
/// easiest among those alike. And whether it is inside.
fn search(
    start: &Start,
    levers: &[&Lever],
    may_stand: &MayStand,
) -> Result<(Found, bool), PlanError> {
    let lattice = Lattice::new(start, levers)?;
    let inside = lattice.best(true, may_stand).map(|found| (found, true));
    inside
        .or_else(|| lattice.best(false, may_stand).map(|found| (found, false)))
        .ok_or(PlanError::NotFinite)
}

/// The same, of those inside alone.
fn search_inside(
    start: &Start,
    levers: &[&Lever],
    may_stand: &MayStand,
) -> Result<Option<Found>, PlanError> {
    Ok(Lattice::new(start, levers)?.best(true, may_stand))
}

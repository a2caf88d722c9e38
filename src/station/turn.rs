//! Turn: from what was read to whole steps of the adjusters, and what they should come to.
//!
//! Steps are planned on what all readings and turns so far tell of the wheel and of its rates. The verdict on a wheel rests on its last reading alone: it
//! is what was measured on the car as it stands, holds whatever was turned before and however well, and keeps the share of wrong sayings that the guard
//! band gives up. What is kept of earlier rounds never calls a wheel inside for certain.

mod axle;

use super::base::{apart, lower_first, measure};
use super::rates::{Kept, Model, Strain, kept, over};
use super::{AxleResult, Lock, RateBasis, WheelResult, lock, read, targets};
use crate::adjuster::{EndState, Mechanism, Position, Room, Step, View};
use crate::document::{Adjuster, Axle, Corner, Entry, Job, Preferences, Role, Taken};
use crate::hardware::Hand;
use crate::plan::{
    Belief, Finer, Further, Goal, Lever, Levers, Outcome, Plan, PlanError, Rate, Reading, Target,
    Verdict, plan,
};
use crate::quantity::{Fixed, Length};
use crate::reading::Estimate;

/// What a step of a cam, slot or shim stack costs beside a turn of a wrench: common practice, no source.
const OTHER_EFFORT: f64 = 0.25;

/// What one adjuster is to do.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnRow {
    /// The adjuster.
    pub adjuster: Adjuster,
    /// The step a hand makes on it.
    pub step: Step,
    /// Whole steps, lengthening positive.
    pub steps: i32,
    /// The way in a word: lengthen, shorten.
    pub way: &'static str,
    /// The amount in words: `4 flats`.
    pub amount: String,
    /// From where to look.
    pub view: Option<View>,
    /// Where it stands before the turn.
    pub from: Position,
    /// The same, end by end.
    pub before: Vec<EndState>,
    /// Where it should stand after it, end by end.
    pub after: Vec<EndState>,
    /// What it should measure after it.
    pub target: Position,
    /// Ends whose jam nut has a left-hand thread.
    pub left_hand: Vec<String>,
    /// The torque that locks it again.
    pub lock: Option<Lock>,
}

/// What one step of an adjuster does.
#[derive(Clone, Debug, PartialEq)]
pub struct RateRow {
    /// The adjuster.
    pub name: String,
    /// The step and its way in words, such as `1 flat longer`.
    pub step: String,
    /// Its effect on toe of that step, and how sure it is.
    pub toe: Estimate,
    /// Its effect on camber of that step, and how sure it is.
    pub camber: Estimate,
    /// Where the rate comes from.
    pub basis: RateBasis,
}

/// The plan of one wheel.
#[derive(Clone, Debug, PartialEq)]
pub struct CornerPlan {
    /// Which wheel.
    pub corner: Corner,
    /// What it reads.
    pub reading: Reading,
    /// What it should read after the steps.
    pub after: Option<Reading>,
    /// What the reading says now.
    pub verdict: Option<Verdict>,
    /// What to do, in a sentence.
    pub words: String,
    /// The adjusters to turn.
    pub rows: Vec<TurnRow>,
    /// What one step of each adjuster does.
    pub rates: Vec<RateRow>,
    /// What keeps it from a plan.
    pub problems: Vec<String>,
    /// What should be known of it.
    pub notes: Vec<String>,
    /// Why these steps, as a working.
    pub working: String,
}

/// Everything the Turn station shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// Which round, from 0.
    pub round: usize,
    /// The wheels, rear axle first.
    pub corners: Vec<CornerPlan>,
    /// What should be known.
    pub notes: Vec<String>,
}

/// The step a hand makes on an adjuster.
pub fn step_of(adjuster: &Adjuster) -> Step {
    adjuster
        .step
        .unwrap_or_else(|| adjuster.mechanism.usual_step())
}

/// Where an adjuster stood before the turns of a round.
pub(super) fn stood_before<'a>(job: &'a Job, adjuster: &Adjuster, round: usize) -> &'a [Entry] {
    let confirmed = |taken: &'a Taken| taken.at.is_some().then_some(taken.now.as_slice());
    let earlier = job
        .rounds
        .iter()
        .take(round)
        .rev()
        .find_map(|round| round.taken.get(&adjuster.id).and_then(confirmed));
    earlier
        .or_else(|| job.settings.get(&adjuster.id).map(Vec::as_slice))
        .unwrap_or_default()
}

/// Where the same adjuster on the other side stood before the turns of a round.
fn twin_before(job: &Job, adjuster: &Adjuster, round: usize) -> Option<Position> {
    let other = |twin: &&Adjuster| {
        twin.name == adjuster.name
            && twin.corner != adjuster.corner
            && twin.corner.axle() == adjuster.corner.axle()
    };
    let twin = job.card.adjusters.iter().find(other)?;
    measure(&twin.mechanism, stood_before(job, twin, round)).1
}

/// An adjuster ready for the plan.
#[derive(Clone)]
struct Ready<'a> {
    adjuster: &'a Adjuster,
    position: Position,
    step: Step,
    lever: Lever,
    lock: Option<Lock>,
}

/// A single number for where an adjuster stands, in the unit its steps are measured in.
fn scalar(position: &Position) -> f64 {
    match position {
        Position::Showing(showing) => showing.iter().copied().sum::<Length>().as_mm(),
        Position::Slide(length) | Position::Stack(length) => length.as_mm(),
        Position::Cam(turn) => turn.as_degrees(),
    }
}

impl<'a> Ready<'a> {
    /// An adjuster where it stood before a round, its rate still to be given.
    fn of(
        job: &Job,
        adjuster: &'a Adjuster,
        place: usize,
        round: usize,
        twin: Option<&Position>,
    ) -> Result<Self, String> {
        let name = lower_first(&adjuster.name);
        let (measures, position) = measure(&adjuster.mechanism, stood_before(job, adjuster, round));
        if let Some(problem) = measures.iter().find_map(|measure| measure.problem.clone()) {
            return Err(format!("{}: {problem}", adjuster.name));
        }
        let position = position.ok_or_else(|| format!("Measure the {name} at the Base station first: without it nobody knows how much thread is left."))?;
        let lever = Lever {
            place,
            rate: Rate::default(),
            room: Room {
                travels: vec![Length::ZERO],
                least: 0,
            },
            effort: 0.0,
            ahead: 0.0,
        };
        let ready = Self {
            adjuster,
            position,
            step: step_of(adjuster),
            lever,
            lock: lock(&job.card, adjuster),
        };
        ready.in_steps(ready.step, twin)
    }

    /// The same in another step.
    fn in_steps(&self, step: Step, twin: Option<&Position>) -> Result<Self, String> {
        let mechanism = &self.adjuster.mechanism;
        let room = mechanism
            .room(&self.position, step)
            .map_err(|error| format!("{}: {error}", self.adjuster.name))?;
        let effort = if mechanism.ends().is_empty() {
            OTHER_EFFORT
        } else {
            step.turns()
        };
        let one = mechanism
            .after(&self.position, step, 1)
            .map_or(1.0, |after| scalar(&after) - scalar(&self.position));
        let ahead = twin.map_or(0.0, |twin| (scalar(&self.position) - scalar(twin)) / one);
        let mut ready = self.clone();
        ready.step = step;
        ready.lever.room = room;
        ready.lever.effort = effort;
        ready.lever.ahead = if ahead.is_finite() { ahead } else { 0.0 };
        Ok(ready)
    }

    /// In the next finer step; none where a hand can make none.
    fn finer(&self, twin: Option<&Position>) -> Option<Self> {
        let step = self.adjuster.mechanism.finer(self.step)?;
        self.in_steps(step, twin).ok()
    }
}

/// What the Turn station shows for a round. None where the job has no such round.
pub fn turn(job: &Job, round: usize) -> Option<Turn> {
    let mut result = read(job, round)?;
    let mut corners: Vec<CornerPlan> = Vec::new();
    let mut notes = Vec::new();
    if !result.settled() {
        // A verdict stands only on a car that was settled.
        for axle in &mut result.axles {
            (axle.left.verdict, axle.right.verdict) = (None, None);
        }
        notes.push("The car was not settled before it was read: do the checks in Read first, then read it again.".into());
    }
    for on in &result.axles {
        if on.axle == Axle::Front
            && job.card.target(Axle::Rear).is_some()
            && result
                .axles
                .iter()
                .find(|axle| axle.axle == Axle::Rear)
                .and_then(AxleResult::verdict)
                .is_none_or(|verdict| verdict > Verdict::InsideByReading)
        {
            notes.push("Set the rear axle first: it decides where the car goes straight. Then read the front again.".into());
        }
        let mut left = Draft::of(job, round, on, &on.left, &[]);
        let mut right = Draft::of(job, round, on, &on.right, &left.targets());
        notes.extend(axle::together(on, &mut left, &mut right));
        corners.extend([left.finish(), right.finish()]);
    }
    if result.axles.iter().any(|axle| axle.axle == Axle::Front) {
        notes.push(
            "Front toe: with the steering wheel held straight, each wheel is set to its own half."
                .into(),
        );
    }
    Some(Turn {
        round,
        corners,
        notes,
    })
}

/// A corner on its way to a plan.
struct Draft<'a> {
    corner: CornerPlan,
    planned: Option<Planned<'a>>,
}

/// A corner with a plan.
struct Planned<'a> {
    search: Search<'a>,
    on_axle: OnAxle<'a>,
    plan: Plan,
    /// What the plan starts from.
    from: Reading,
    /// Whether the reading alone says that the wheel is inside for certain.
    certain: bool,
}

impl<'a> Draft<'a> {
    fn of(
        job: &'a Job,
        round: usize,
        axle: &AxleResult,
        wheel: &WheelResult,
        twins: &[(String, Position)],
    ) -> Self {
        let reading = Reading {
            toe: wheel.toe,
            camber: wheel.camber,
        };
        let mut corner = CornerPlan {
            corner: wheel.corner,
            reading,
            after: None,
            verdict: wheel.verdict,
            words: "No plan yet.".into(),
            rows: Vec::new(),
            rates: Vec::new(),
            problems: Vec::new(),
            notes: Vec::new(),
            working: String::new(),
        };
        let planned = corner.plan(job, round, axle, wheel, twins);
        Self { corner, planned }
    }

    /// What the adjusters that it turns should measure then, by name.
    fn targets(&self) -> Vec<(String, Position)> {
        let Some(planned) = &self.planned else {
            return Vec::new();
        };
        planned
            .rows()
            .into_iter()
            .map(|row| (row.adjuster.name, row.target))
            .collect()
    }

    fn finish(mut self) -> CornerPlan {
        if let Some(planned) = &self.planned {
            planned.fill(&mut self.corner);
        }
        self.corner
    }
}

impl CornerPlan {
    fn plan<'a>(
        &mut self,
        job: &'a Job,
        round: usize,
        axle: &AxleResult,
        wheel: &WheelResult,
        twins: &[(String, Position)],
    ) -> Option<Planned<'a>> {
        let reading = self.reading;
        if reading.toe.is_none() || reading.camber.is_none() {
            self.problems.push(
                "Read both toe and camber of this wheel first: an adjuster of one moves the other."
                    .into(),
            );
        }
        let model = match Model::of(job, wheel.corner) {
            Ok(model) => model,
            Err(problem) => {
                self.problems.push(problem);
                return None;
            }
        };
        let mut on_axle = OnAxle {
            first: Vec::new(),
            finer: Vec::new(),
            further: Vec::new(),
        };
        for (place, adjuster) in model.adjusters.iter().enumerate() {
            let planned = twins
                .iter()
                .find(|(name, _)| *name == adjuster.name)
                .map(|(_, position)| position.clone());
            let twin = planned.or_else(|| twin_before(job, adjuster, round));
            match Ready::of(job, adjuster, place, round, twin.as_ref()) {
                Ok(ready) if adjuster.role == Role::First => on_axle.first.push((ready, twin)),
                Ok(ready) => on_axle.further.push((ready, twin)),
                Err(problem) => self.problems.push(problem),
            }
        }
        let from = model.travels(job, round)?;
        let Some(reckoned) = model.rates(&from) else {
            self.problems.push("The hardpoints of the card do not go together with what the adjusters measure. Measure them again, or tape their lever arms.".into());
            return None;
        };
        let known = kept(job, &model, wheel.corner, round);
        let all = on_axle.first.iter().chain(&on_axle.further);
        let ready: Vec<_> = all.map(|(ready, _)| ready).collect();
        self.rates = rate_rows(&model, &reckoned, known.as_ref(), &ready);
        let target = axle.target.as_ref().filter(|_| self.problems.is_empty())?;
        let (toe, camber) = targets(target);
        let known = known?;
        self.notes.extend(known.doubtful);
        self.notes.extend(model.passing(&from));
        on_axle.refine();
        // What a reading says for certain stands, whatever was reckoned before it.
        let certain = wheel.verdict == Some(Verdict::InsideForCertain);
        let planned_on = if certain {
            reading
        } else {
            known.belief.reading()
        };
        let search = Search {
            strains: model.strains(&from).unwrap_or_default(),
            model,
            from,
            belief: known.belief,
            goal: Goal { toe, camber },
        };
        match search.run(&planned_on, &mut on_axle) {
            Err(error) => {
                self.words = "No plan.".into();
                self.problems.push(error.to_string());
                None
            }
            Ok(plan) => Some(Planned {
                search,
                on_axle,
                plan,
                from: planned_on,
                certain,
            }),
        }
    }
}

/// A corner's adjusters ready for the plan, each with where its twin stands.
struct OnAxle<'a> {
    first: Vec<(Ready<'a>, Option<Position>)>,
    /// The first ones in finer steps, list after list.
    finer: Vec<Vec<(Ready<'a>, Option<Position>)>>,
    further: Vec<(Ready<'a>, Option<Position>)>,
}

/// Adjusters that a plan turns together.
#[derive(Clone, PartialEq)]
enum Set {
    /// The first ones, in their usual steps.
    First,
    /// The first ones in finer steps: which list.
    Finer(usize),
    /// The first ones and these of the further ones.
    Further(Vec<usize>),
}

impl Set {
    fn of(outcome: &Outcome) -> Self {
        match outcome {
            Outcome::InFiner(finer) => Self::Finer(finer.level),
            Outcome::NeedsFurther(further) => Self::Further(further.which.clone()),
            Outcome::Leave | Outcome::Reaches | Outcome::OutOfReach => Self::First,
        }
    }
}

impl<'a> OnAxle<'a> {
    /// Adds the finer steps, as far as a hand can make them.
    fn refine(&mut self) {
        let mut last = &self.first;
        loop {
            let mut changed = false;
            let next: Vec<_> = last
                .iter()
                .map(|(ready, twin)| {
                    let finer = ready.finer(twin.as_ref());
                    changed |= finer.is_some();
                    (finer.unwrap_or_else(|| ready.clone()), twin.clone())
                })
                .collect();
            if !changed {
                return;
            }
            self.finer.push(next);
            last = self.finer.last().unwrap_or(&self.first);
        }
    }

    /// The adjusters of a set.
    fn of(&self, set: &Set) -> Vec<&Ready<'a>> {
        let further = |which: &usize| self.further.get(*which);
        let ready: Vec<_> = match set {
            Set::First => self.first.iter().collect(),
            // A side that has no steps so fine has none finer.
            Set::Finer(level) => {
                let list = self.finer.get(*level).or(self.finer.last());
                list.unwrap_or(&self.first).iter().collect()
            }
            Set::Further(which) => {
                let others = which.iter().filter_map(further);
                self.first.iter().chain(others).collect()
            }
        };
        ready.into_iter().map(|(ready, _)| ready).collect()
    }

    fn levers(&self, set: &Set) -> Vec<Lever> {
        let ready = self.of(set);
        ready.into_iter().map(|ready| ready.lever.clone()).collect()
    }

    /// The adjusters that a plan turns, with their steps.
    fn used(&self, plan: &Plan) -> Vec<(&Ready<'a>, i32)> {
        let steps = match &plan.outcome {
            Outcome::InFiner(finer) => &finer.steps,
            Outcome::NeedsFurther(further) => &further.steps,
            _ => &plan.steps,
        };
        let ready = self.of(&Set::of(&plan.outcome));
        ready.into_iter().zip(steps.iter().copied()).collect()
    }

    fn each_lever(&mut self, change: &dyn Fn(&mut Lever)) {
        let finer = self.finer.iter_mut().flatten();
        for (ready, _) in self.first.iter_mut().chain(finer).chain(&mut self.further) {
            change(&mut ready.lever);
        }
    }
}

/// What a plan is searched with.
struct Search<'a> {
    model: Model<'a>,
    from: Vec<Length>,
    /// What the joints do at the ends of travel and steer, where the card limits it.
    strains: Vec<Strain>,
    belief: Belief,
    goal: Goal,
}

/// How often at most a plan is made anew with the rates of the turn that it came to.
const PLANS: usize = 4;

impl Search<'_> {
    /// The plan with the rates of its own turn: over a long turn they are not those at its start.
    fn run(&self, reading: &Reading, on_axle: &mut OnAxle) -> Result<Plan, PlanError> {
        let mut by = vec![Length::ZERO; self.from.len()];
        let mut found = None;
        for _ in 0..PLANS {
            let rates = self.rates(&by).unwrap_or_default();
            on_axle.each_lever(&|lever| {
                lever.rate = rates.get(lever.place).copied().unwrap_or_default();
            });
            let of = |list: &[(Ready, Option<Position>)]| {
                list.iter()
                    .map(|(ready, _)| ready.lever.clone())
                    .collect::<Vec<_>>()
            };
            let plan = plan(
                reading,
                &self.goal,
                &Levers {
                    first: &of(&on_axle.first),
                    finer: &on_axle
                        .finer
                        .iter()
                        .map(|list| of(list))
                        .collect::<Vec<_>>(),
                    further: &of(&on_axle.further),
                    may_stand: &|travels| self.may_stand(travels),
                },
            )?;
            let turns = self.travels(&on_axle.used(&plan));
            let settled = turns == by;
            by = turns;
            found = Some(plan);
            if settled {
                break;
            }
        }
        let mut plan = found.ok_or(PlanError::NotFinite)?;
        // What the rates of its own turn do not bring inside is not called reached.
        let claims = !matches!(plan.outcome, Outcome::Leave | Outcome::OutOfReach);
        if claims
            && !self
                .after(reading, &by)
                .is_some_and(|after| inside(&after, &self.goal))
        {
            plan.outcome = Outcome::OutOfReach;
        }
        // What no straight line foresaw is not turned.
        if by.iter().any(|by| *by != Length::ZERO) && !self.stands(&by) {
            plan.outcome = Outcome::OutOfReach;
            plan.steps = vec![0; on_axle.first.len()];
        }
        Ok(plan)
    }

    /// Whether every joint seems to keep its limit after these travels.
    fn may_stand(&self, travels: &[(usize, Length)]) -> bool {
        self.strains.iter().all(|strain| strain.keeps(travels))
    }

    /// The believed rates over a turn.
    fn rates(&self, by: &[Length]) -> Option<Vec<Rate>> {
        Some(self.belief.rates(&self.model.rates_over(&self.from, by)?))
    }

    /// How far each adjuster of the corner is turned.
    fn travels(&self, used: &[(&Ready, i32)]) -> Vec<Length> {
        let mut by = vec![Length::ZERO; self.from.len()];
        for (ready, steps) in used {
            if let Some(by) = by.get_mut(ready.lever.place) {
                *by = ready.lever.room.travel(*steps).unwrap_or(Length::ZERO);
            }
        }
        by
    }

    /// Whether no joint passes its limit anywhere in travel and steer after these turns, exactly.
    fn stands(&self, by: &[Length]) -> bool {
        let to: Vec<_> = self.from.iter().zip(by).map(|(a, b)| *a + *b).collect();
        self.model.passing(&to).is_empty()
    }

    /// What should be read after these turns from what a reading says.
    fn after(&self, reading: &Reading, by: &[Length]) -> Option<Reading> {
        let rates = self.model.rates_over(&self.from, by)?;
        let mut belief = self.belief.clone();
        let before = belief.reading();
        belief.turn(&rates, by);
        let after = belief.reading();
        // A reading that stands by itself is moved as the belief is.
        let moved = |read: Option<Estimate>, before: Option<Estimate>, after: Option<Estimate>| {
            let (read, before, after) = (read?, before?, after?);
            Some(if read == before {
                after
            } else {
                Estimate::new(read.value + after.value - before.value, read.uncertainty)
            })
        };
        Some(Reading {
            toe: moved(reading.toe, before.toe, after.toe),
            camber: moved(reading.camber, before.camber, after.camber),
        })
    }
}

/// Whether both angles are inside their tolerances.
fn inside(reading: &Reading, goal: &Goal) -> bool {
    let one = |read: Option<Estimate>, target: Target| {
        read.is_none_or(|read| (read.value - target.aim).abs() <= target.tolerance * (1.0 + 1e-9))
    };
    one(reading.toe, goal.toe) && one(reading.camber, goal.camber)
}

/// What one step of each adjuster of a corner does, by what was known in a round. Nothing while where they stand is not known.
pub fn step_rates(job: &Job, corner: Corner, round: usize) -> Vec<RateRow> {
    let Ok(model) = Model::of(job, corner) else {
        return Vec::new();
    };
    let adjusters = model.adjusters.iter().enumerate();
    let ready: Vec<_> = adjusters
        .filter_map(|(place, adjuster)| Ready::of(job, adjuster, place, round, None).ok())
        .collect();
    let reckoned = model
        .travels(job, round)
        .and_then(|from| model.rates(&from));
    let known = kept(job, &model, corner, round);
    reckoned.map_or_else(Vec::new, |reckoned| {
        let ready: Vec<_> = ready.iter().collect();
        rate_rows(&model, &reckoned, known.as_ref(), &ready)
    })
}

fn rate_rows(
    model: &Model,
    reckoned: &[Rate],
    known: Option<&Kept>,
    ready: &[&Ready],
) -> Vec<RateRow> {
    let rates = known.map_or_else(|| reckoned.to_vec(), |known| known.belief.rates(reckoned));
    let doubts = match known {
        Some(_) => Vec::new(),
        None => model.doubts(),
    };
    let row = |(place, adjuster): (usize, &&Adjuster)| {
        let ready = ready.iter().find(|ready| ready.lever.place == place)?;
        let rate = rates.get(place)?;
        let variance = |place: usize| doubts.get(place).and_then(|row| row.get(place)).copied();
        let [toe, camber] = match known {
            Some(known) => known.belief.doubt(place)?,
            None => [variance(2 * place)?, variance(2 * place + 1)?].map(f64::sqrt),
        };
        let room = &ready.lever.room;
        let travel = room
            .travel(1)
            .or_else(|| room.travel(-1).map(|travel| -travel))?;
        let source = model.source(place);
        Some(RateRow {
            name: adjuster.name.clone(),
            step: format!(
                "{} {}",
                adjuster.mechanism.words(ready.step, 1),
                adjuster.mechanism.longer()
            ),
            toe: Estimate::new(over(rate.toe, travel), over(toe, travel.abs())),
            camber: Estimate::new(over(rate.camber, travel), over(camber, travel.abs())),
            basis: known.map_or(
                RateBasis {
                    source,
                    turns: 0,
                    trial: false,
                },
                |known| known.basis(place, source),
            ),
        })
    };
    model.adjusters.iter().enumerate().filter_map(row).collect()
}

impl Planned<'_> {
    /// The adjusters to turn.
    fn rows(&self) -> Vec<TurnRow> {
        self.on_axle
            .used(&self.plan)
            .iter()
            .filter(|(_, steps)| *steps != 0)
            .filter_map(|(ready, steps)| turn_row(ready, *steps))
            .collect()
    }

    fn travels(&self) -> Vec<Length> {
        self.search.travels(&self.on_axle.used(&self.plan))
    }

    /// Plans these steps, at the rates of their own turn from then on. Whether they were planned so before.
    fn turn(&mut self, set: &Set, steps: Vec<i32>) -> bool {
        let before = self.travels();
        let after = self.plan.after;
        self.plan.outcome = match set {
            Set::First => {
                self.plan.steps = steps;
                Outcome::Reaches
            }
            Set::Finer(level) => Outcome::InFiner(Finer {
                level: *level,
                steps,
                after,
            }),
            Set::Further(which) => Outcome::NeedsFurther(Further {
                which: which.clone(),
                steps,
                after,
            }),
        };
        let by = self.travels();
        let rates = self.search.rates(&by).unwrap_or_default();
        self.on_axle.each_lever(&|lever| {
            lever.rate = rates.get(lever.place).copied().unwrap_or_default();
        });
        by == before
    }

    /// Whether no joint passes its limit after the turns.
    fn stands(&self) -> bool {
        let by = self.travels();
        by.iter().all(|by| *by == Length::ZERO) || self.search.stands(&by)
    }

    /// What the wheel should read after the turns.
    fn after(&self) -> Reading {
        let by = self.travels();
        self.search
            .after(&self.from, &by)
            .unwrap_or(self.plan.after)
    }

    fn fill(&self, corner: &mut CornerPlan) {
        let words = Preferences::default();
        let Self {
            search,
            on_axle,
            plan,
            certain,
            ..
        } = self;
        let certain = *certain;
        let used = on_axle.used(plan);
        let after = self.after();
        let goal = &search.goal;
        corner.after = Some(after);
        corner.rows = self.rows();
        corner.words = match &plan.outcome {
        Outcome::Leave if certain => "Inside for certain. Leave it.".into(),
        Outcome::Leave => "This reading alone is not certain, but by all that was read and turned the wheel is inside. Leave the adjusters and read again to be certain.".into(),
        Outcome::Reaches if corner.rows.is_empty() => {
            "No whole step comes nearer. Read again to be certain.".into()
        }
        Outcome::Reaches if certain => {
                "Inside by itself. These steps bring both wheels together inside.".into()
            }
        Outcome::Reaches => "These steps should bring it inside.".into(),
        Outcome::InFiner(_) => {
            let steps: Vec<_> = used
                .iter()
                .filter(|(ready, _)| ready.step != step_of(ready.adjuster))
                .map(|(ready, _)| {
                    format!(
                        "the {} by {}",
                        lower_first(&ready.adjuster.name),
                        match ready.step {
                            Step::HalfFlat => "half flats",
                            Step::Flat => "flats",
                            Step::HalfTurn => "half turns",
                            Step::Turn => "turns",
                        }
                    )
                })
                .collect();
            format!(
                "Out of reach in the usual steps. In finer ones, {}, these should bring it inside.",
                steps.join(" and ")
            )
        }
        Outcome::NeedsFurther(opened) => {
            let names: Vec<_> = opened
                .which
                .iter()
                .filter_map(|index| on_axle.further.get(*index))
                .map(|(ready, _)| lower_first(&ready.adjuster.name))
                .collect();
            format!(
                "Out of reach with the usual adjusters alone. With the {} too, these steps should bring it inside.",
                names.join(" and the ")
            )
        }
        Outcome::OutOfReach => {
            let off = |estimate: Option<Estimate>, target: Target| {
                estimate.map_or_else(String::new, |estimate| {
                    words.angle((estimate.value - target.aim).abs())
                })
            };
            format!(
                "OUT OF REACH with whole steps within the thread that is left{}. The nearest leaves toe {} and camber {} off the target.",
                if search.model.limited() {
                    " and what the joints may do"
                } else {
                    ""
                },
                off(after.toe, goal.toe),
                off(after.camber, goal.camber)
            )
        }
    };
        let combinations: usize = used
            .iter()
            .map(|(ready, _)| ready.lever.room.travels.len())
            .product();
        corner.working = format!(
            "misfit² = ((toe − aim) / tolerance)² + ((camber − aim) / tolerance)²\n\
         looked through: {combinations} combinations of whole steps within the thread\n\
         misfit after these steps: {} tolerances\n\
         among settings alike to a twentieth of a tolerance the least turning is taken, then the one that evens left and right",
            Fixed(misfit(&after, goal), 2)
        );
        let now = search.belief.reading();
        if corner.reading != now && !certain {
            let said = |estimate: Option<Estimate>| {
                estimate.map_or_else(String::new, |estimate| words.angle_with(estimate))
            };
            corner.working.push_str(&format!(
            "\nplanned on toe {} and camber {}: this reading, those before it and the turns between, each weighed by how sure it is",
            said(now.toe),
            said(now.camber)
        ));
        }
    }
}

fn misfit(reading: &Reading, goal: &Goal) -> f64 {
    let off = |estimate: Option<Estimate>, target: Target| {
        estimate.map_or(0.0, |estimate| {
            (estimate.value - target.aim) / target.tolerance
        })
    };
    off(reading.toe, goal.toe).hypot(off(reading.camber, goal.camber))
}

fn end_states(mechanism: &Mechanism, position: &Position) -> Vec<EndState> {
    match position {
        Position::Showing(showing) => mechanism
            .ends()
            .iter()
            .zip(showing)
            .filter_map(|(end, showing)| end.state(*showing).ok())
            .collect(),
        _ => Vec::new(),
    }
}

fn turn_row(ready: &Ready, steps: i32) -> Option<TurnRow> {
    let mechanism = &ready.adjuster.mechanism;
    let target = mechanism.after(&ready.position, ready.step, steps)?;
    let [longer, shorter] = mechanism.ways();
    Some(TurnRow {
        adjuster: ready.adjuster.clone(),
        step: ready.step,
        steps,
        way: if steps > 0 { longer } else { shorter },
        amount: mechanism.words(ready.step, steps.unsigned_abs()),
        view: mechanism.view(),
        from: ready.position.clone(),
        before: end_states(mechanism, &ready.position),
        after: end_states(mechanism, &target),
        target,
        left_hand: mechanism
            .ends()
            .iter()
            .filter(|end| end.hand == Hand::Left)
            .map(|end| end.name.clone())
            .collect(),
        lock: ready.lock.clone(),
    })
}

/// What does not agree between what was measured after a turn and what it should measure. None while it is not all measured.
pub fn look_at(mechanism: &Mechanism, target: &Position, now: &[Entry]) -> Option<String> {
    let (measures, position) = measure(mechanism, now);
    if let Some(problem) = measures.into_iter().find_map(|measure| measure.problem) {
        return Some(problem);
    }
    let position = position?;
    if let Err(error) = mechanism.check(&position) {
        return Some(error.to_string());
    }
    let off = apart(&position, target)?.words();
    Some(format!(
        "It should measure {off} other than it does. Was it turned the right way? Read again before the next turn."
    ))
}

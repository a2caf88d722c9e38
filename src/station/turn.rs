//! Turn: from what was read to whole steps of the adjusters, and what they should come to.

use super::base::{lower_first, measure, uneven};
use super::{AxleResult, Lock, WheelResult, axles, length_of, lock, read, targets};
use crate::adjuster::{EndState, Mechanism, Position, Room, Step, View};
use crate::document::{
    Adjuster, Axle, CamberSense, Corner, Entry, Job, Preferences, Role, Taken, ToeSense,
};
use crate::hardware::Hand;
use crate::plan::{Goal, Lever, Outcome, Plan, Rate, Reading, Verdict, plan};
use crate::quantity::{Angle, Fixed, Length, Limit};

/// How well a card's lever arm gives a rate, as a relative standard uncertainty: common practice, no source.
const CARD_ARM: f64 = 0.05;
/// How well a lever arm taped on the car does: common practice, no source.
const TAPED_ARM: f64 = 0.10;
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
    /// Where it stands before the turn, end by end.
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
    /// Its effect on toe of that step.
    pub toe: Angle,
    /// Its effect on camber of that step.
    pub camber: Angle,
    /// Where the rate comes from.
    pub basis: &'static str,
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

/// The rate of an adjuster from its lever arms: `1 / arm` radians per metre of travel, signed by what lengthening does. An arm taped on
/// the car stands in for the card's.
///
/// # Errors
/// A taped arm that cannot be read.
pub fn rate_of(job: &Job, adjuster: &Adjuster) -> Result<(Rate, &'static str), String> {
    let taped = job.arms.get(&adjuster.id);
    let arm = |card: Length, taped: Option<&Entry>| match taped.filter(|entry| !entry.is_empty()) {
        Some(entry) => length_of(entry, Limit::LeverArm)
            .map(|arm| (arm, true))
            .map_err(|message| format!("Lever arm by tape: {message}")),
        None => Ok((card, false)),
    };
    let toe = adjuster
        .toe
        .map(|toe| {
            arm(toe.arm, taped.map(|taped| &taped.toe))
                .map(|(arm, taped)| (arm, taped, toe.lengthening == ToeSense::ToeIn))
        })
        .transpose()?;
    let camber = adjuster
        .camber
        .map(|camber| {
            arm(camber.arm, taped.map(|taped| &taped.camber))
                .map(|(arm, taped)| (arm, taped, camber.lengthening == CamberSense::TopOut))
        })
        .transpose()?;
    let signed = |arm: Option<(Length, bool, bool)>| {
        arm.map_or(
            0.0,
            |(arm, _, plus)| if plus { 1.0 } else { -1.0 } / arm.as_metres(),
        )
    };
    let by_tape = [toe, camber].iter().flatten().any(|(_, taped, _)| *taped);
    let rate = Rate {
        toe: signed(toe),
        camber: signed(camber),
        uncertainty: if by_tape { TAPED_ARM } else { CARD_ARM },
    };
    Ok((
        rate,
        if by_tape {
            "lever arms by tape"
        } else {
            "lever arms of the card"
        },
    ))
}

/// Where an adjuster stood before the turns of a round.
fn stood_before<'a>(job: &'a Job, adjuster: &Adjuster, round: usize) -> &'a [Entry] {
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
        Position::Slide(slide) => slide.as_mm(),
        Position::Cam(turn) => turn.as_degrees(),
    }
}

fn ready<'a>(
    job: &Job,
    adjuster: &'a Adjuster,
    round: usize,
    twin: Option<&Position>,
) -> Result<Ready<'a>, String> {
    let name = lower_first(&adjuster.name);
    let (measures, position) = measure(&adjuster.mechanism, stood_before(job, adjuster, round));
    if let Some(problem) = measures.iter().find_map(|measure| measure.problem.clone()) {
        return Err(format!("{}: {problem}", adjuster.name));
    }
    let position = position.ok_or_else(|| format!("Measure the {name} at the Base station first: without it nobody knows how much thread is left."))?;
    let step = step_of(adjuster);
    let room: Room = adjuster
        .mechanism
        .room(&position, step)
        .map_err(|error| format!("{}: {error}", adjuster.name))?;
    let (rate, _) = rate_of(job, adjuster)?;
    let effort = if adjuster.mechanism.ends().is_empty() {
        OTHER_EFFORT
    } else {
        step.turns()
    };
    let one = adjuster
        .mechanism
        .after(&position, step, 1)
        .map_or(1.0, |after| scalar(&after) - scalar(&position));
    let ahead = twin.map_or(0.0, |twin| (scalar(&position) - scalar(twin)) / one);
    Ok(Ready {
        adjuster,
        position,
        step,
        lever: Lever {
            rate,
            room,
            effort,
            ahead: if ahead.is_finite() { ahead } else { 0.0 },
        },
        lock: lock(&job.card, adjuster),
    })
}

/// What the Turn station shows for a round. None where the job has no such round.
pub fn turn(job: &Job, round: usize) -> Option<Turn> {
    let result = read(job, round)?;
    let mut corners: Vec<CornerPlan> = Vec::new();
    let mut notes = Vec::new();
    if !result.settled() {
        notes.push("The car was not settled before it was read: do the checks in Read first, then read it again.".into());
    }
    for axle in &result.axles {
        if axle.axle == Axle::Front
            && job.card.target(Axle::Rear).is_some()
            && worst(&result.axles, Axle::Rear)
                .is_none_or(|verdict| verdict > Verdict::InsideByReading)
        {
            notes.push("Set the rear axle first: it decides where the car goes straight. Then read the front again.".into());
        }
        for wheel in [&axle.left, &axle.right] {
            let twins: Vec<_> = corners
                .iter()
                .filter(|corner| corner.corner.axle() == axle.axle)
                .flat_map(|corner| &corner.rows)
                .map(|row| (row.adjuster.name.clone(), row.target.clone()))
                .collect();
            corners.push(corner_plan(job, round, axle, wheel, &twins));
        }
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

fn worst(axles: &[AxleResult], which: Axle) -> Option<Verdict> {
    let axle = axles.iter().find(|axle| axle.axle == which)?;
    Some(axle.left.verdict?.max(axle.right.verdict?))
}

fn corner_plan(
    job: &Job,
    round: usize,
    axle: &AxleResult,
    wheel: &WheelResult,
    twins: &[(String, Position)],
) -> CornerPlan {
    let reading = Reading {
        toe: wheel.toe,
        camber: wheel.camber,
    };
    let here: Vec<&Adjuster> = job
        .card
        .adjusters
        .iter()
        .filter(|adjuster| adjuster.corner == wheel.corner)
        .collect();
    let mut corner = CornerPlan {
        corner: wheel.corner,
        reading,
        after: None,
        verdict: wheel.verdict,
        words: String::new(),
        rows: Vec::new(),
        rates: Vec::new(),
        problems: Vec::new(),
        working: String::new(),
    };
    let (mut first, mut further) = (Vec::new(), Vec::new());
    for adjuster in here {
        let planned = twins
            .iter()
            .find(|(name, _)| *name == adjuster.name)
            .map(|(_, position)| position.clone());
        let twin = planned.or_else(|| twin_before(job, adjuster, round));
        match ready(job, adjuster, round, twin.as_ref()) {
            Ok(ready) => {
                corner.rates.push(rate_row(job, &ready));
                if adjuster.role == Role::First {
                    first.push(ready)
                } else {
                    further.push(ready)
                }
            }
            Err(problem) => corner.problems.push(problem),
        }
    }
    let both = reading.toe.is_some() && reading.camber.is_some();
    if !both {
        corner.problems.insert(
            0,
            "Read both toe and camber of this wheel first: an adjuster of one moves the other."
                .into(),
        );
    }
    let Some(target) = axle.target.as_ref().filter(|_| corner.problems.is_empty()) else {
        corner.words = "No plan yet.".into();
        return corner;
    };
    let (toe, camber) = targets(target);
    let levers = |ready: &[Ready]| {
        ready
            .iter()
            .map(|ready| ready.lever.clone())
            .collect::<Vec<_>>()
    };
    match plan(
        &reading,
        &Goal { toe, camber },
        &levers(&first),
        &levers(&further),
    ) {
        Err(error) => {
            corner.words = "No plan.".into();
            corner.problems.push(error.to_string());
        }
        Ok(plan) => fill(&mut corner, &plan, &first, &further, &Goal { toe, camber }),
    }
    corner
}

fn fill(corner: &mut CornerPlan, plan: &Plan, first: &[Ready], further: &[Ready], goal: &Goal) {
    let words = Preferences::default();
    let mut used: Vec<&Ready> = first.iter().collect();
    let (steps, after) = match &plan.outcome {
        Outcome::NeedsFurther(opened) => {
            used.extend(further.get(opened.index));
            (&opened.steps, opened.after)
        }
        _ => (&plan.steps, plan.after),
    };
    corner.after = Some(after);
    corner.rows = used
        .iter()
        .zip(steps)
        .filter(|(_, steps)| **steps != 0)
        .filter_map(|(ready, steps)| turn_row(ready, *steps))
        .collect();
    corner.words = match &plan.outcome {
        Outcome::Leave => "Inside for certain. Leave it.".into(),
        Outcome::Reaches if corner.rows.is_empty() => {
            "No whole step comes nearer. Read again to be certain.".into()
        }
        Outcome::Reaches => "These steps should bring it inside.".into(),
        Outcome::NeedsFurther(opened) => {
            let name = further
                .get(opened.index)
                .map(|ready| lower_first(&ready.adjuster.name))
                .unwrap_or_default();
            format!(
                "Out of reach with the usual adjusters alone. With the {name} too, these steps should bring it inside."
            )
        }
        Outcome::OutOfReach => {
            let off = |estimate: Option<crate::reading::Estimate>, target: crate::plan::Target| {
                estimate.map_or_else(String::new, |estimate| {
                    words.angle((estimate.value - target.aim).abs())
                })
            };
            format!(
                "OUT OF REACH with whole steps within the thread that is left. The nearest leaves toe {} and camber {} off the target.",
                off(after.toe, goal.toe),
                off(after.camber, goal.camber)
            )
        }
    };
    let combinations: usize = used
        .iter()
        .map(|ready| ready.lever.room.travels.len())
        .product();
    corner.working = format!(
        "misfit² = ((toe − aim) / tolerance)² + ((camber − aim) / tolerance)²\n\
         looked through: {combinations} combinations of whole steps within the thread\n\
         misfit after these steps: {} tolerances\n\
         among settings alike to a twentieth of a tolerance the least turning is taken, then the one that evens left and right",
        Fixed(
            if let Outcome::NeedsFurther(_) = plan.outcome {
                misfit(&after, goal)
            } else {
                plan.misfit
            },
            2
        )
    );
}

fn misfit(reading: &Reading, goal: &Goal) -> f64 {
    let off = |estimate: Option<crate::reading::Estimate>, target: crate::plan::Target| {
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
    let off = uneven(&position, target)?;
    Some(format!(
        "It should measure {off} other than it does. Was it turned the right way? Read again before the next turn."
    ))
}

fn rate_row(job: &Job, ready: &Ready) -> RateRow {
    let travel = ready
        .lever
        .room
        .travel(1)
        .or_else(|| ready.lever.room.travel(-1).map(|travel| -travel))
        .unwrap_or(Length::ZERO)
        .as_metres();
    RateRow {
        name: ready.adjuster.name.clone(),
        step: format!(
            "{} {}",
            ready.adjuster.mechanism.words(ready.step, 1),
            ready.adjuster.mechanism.longer()
        ),
        toe: Angle::radians(ready.lever.rate.toe * travel),
        camber: Angle::radians(ready.lever.rate.camber * travel),
        basis: rate_of(job, ready.adjuster).map_or("", |(_, basis)| basis),
    }
}

/// The worst verdict over all wheels of the last round. None while one is not read.
pub fn turn_verdict(job: &Job) -> Option<Verdict> {
    let result = read(job, job.rounds.len().checked_sub(1)?)?;
    let axles = axles(&job.card);
    axles
        .into_iter()
        .map(|axle| worst(&result.axles, axle))
        .try_fold(Verdict::InsideForCertain, |sum, verdict| {
            Some(sum.max(verdict?))
        })
}

//! Bolt up: the steps of exactly this order, where work stands, and what holds after a break.

use super::{JointTorque, Progress, State, joint_torque, wanted_torque};
use crate::document::{Job, Joint, Mark, Moment, SignOff, Step, applies};
use crate::quantity::{ReadError, Torque};

/// Two marks closer together than this were hardly read, in milliseconds.
const FAST: Moment = 2000;
/// The share by which a torque set may differ from the one wanted before it is pointed out. Hand torque tools are held to
/// 4 % or 6 % of the value read (ISO 6789-1); beyond 10 % it is another value.
const TORQUE_SHARE: f64 = 0.10;

/// What the value set at a joint says.
#[derive(Clone, Debug, PartialEq)]
pub enum TorqueSet {
    /// Nothing typed yet.
    Open,
    /// It cannot be read.
    Unreadable(ReadError),
    /// As wanted, or no torque is known.
    Set(Torque),
    /// More than a tenth off the torque wanted.
    Off {
        /// What was set.
        set: Torque,
        /// What was wanted, by the card or computed.
        wanted: Torque,
    },
}

/// A joint as a step shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct JointStep {
    /// The joint.
    pub joint: Joint,
    /// What it is tightened to.
    pub torque: JointTorque,
    /// What was set.
    pub set: TorqueSet,
}

/// What became of a step.
#[derive(Clone, Debug, PartialEq)]
pub enum StepState {
    /// To do.
    Open,
    /// Done.
    Done,
    /// Skipped, with a reason: it stays open on the sheet.
    Skipped(String),
}

/// A step as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct StepRow {
    /// The step.
    pub step: Step,
    /// The joint it signs off.
    pub joint: Option<JointStep>,
    /// What became of it.
    pub state: StepState,
}

/// What a list of steps is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionKind {
    /// Read a step, then do it.
    Fitting,
    /// Done already: gone over afresh, hand on each thing.
    Final,
}

/// Steps at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionRow {
    /// The place.
    pub name: String,
    /// What it is for.
    pub kind: SectionKind,
    /// Whether the car is raised.
    pub raised: bool,
    /// Its steps for this order.
    pub steps: Vec<StepRow>,
    /// How far it has come. A skipped step counts as wrong.
    pub progress: Progress,
    /// Whether several steps were marked faster than they can be done.
    pub fast: bool,
}

/// Everything the Bolt up station shows.
#[derive(Clone, Debug, PartialEq)]
pub struct BoltUp {
    /// The sections, the two final lists last.
    pub sections: Vec<SectionRow>,
    /// How far it has come.
    pub progress: Progress,
    /// The section with the next open step, and its place in it.
    pub next: Option<(usize, usize)>,
    /// The step marked last.
    pub last_done: Option<Step>,
    /// Steps done that hold the car up while it is raised: asked again after a break.
    pub support: Vec<Step>,
}

/// What the Bolt up station shows for a job.
pub fn bolt_up(job: &Job) -> BoltUp {
    let card = &job.card;
    let fitting = card
        .sections
        .iter()
        .filter(|section| applies(&section.when, &job.order))
        .map(|section| {
            section_row(
                job,
                &section.name,
                SectionKind::Fitting,
                section.raised,
                &section.steps,
            )
        });
    let last = [
        section_row(
            job,
            "Before the wheels take load",
            SectionKind::Final,
            true,
            &card.before_load,
        ),
        section_row(
            job,
            "Before the first drive",
            SectionKind::Final,
            false,
            &card.before_drive,
        ),
    ];
    let sections: Vec<_> = fitting
        .chain(last)
        .filter(|section| !section.steps.is_empty())
        .collect();
    let next = sections.iter().enumerate().find_map(|(index, section)| {
        let open = section
            .steps
            .iter()
            .position(|row| row.state == StepState::Open)?;
        Some((index, open))
    });
    let done = || {
        sections
            .iter()
            .flat_map(|section| &section.steps)
            .filter(|row| row.state == StepState::Done)
    };
    let at = |row: &&StepRow| job.marks.get(&row.step.id).map_or(0, |mark| mark.at);
    let last_done = done().max_by_key(at).map(|row| row.step.clone());
    let raised = next
        .and_then(|(section, _)| sections.get(section))
        .is_some_and(|section| section.raised);
    let support = if raised {
        done()
            .filter(|row| row.step.support)
            .map(|row| row.step.clone())
            .collect()
    } else {
        Vec::new()
    };
    BoltUp {
        progress: bolt_up_progress(job),
        next,
        last_done,
        support,
        sections,
    }
}

fn section_row(
    job: &Job,
    name: &str,
    kind: SectionKind,
    raised: bool,
    steps: &[Step],
) -> SectionRow {
    let steps: Vec<_> = steps
        .iter()
        .filter(|step| applies(&step.when, &job.order))
        .map(|step| step_row(job, step))
        .collect();
    let mut progress = Progress::default();
    steps.iter().for_each(|row| progress.add(row.state()));
    let times: Vec<_> = steps
        .iter()
        .filter_map(|row| job.marks.get(&row.step.id))
        .map(|mark| mark.at)
        .collect();
    // In the order of the list: three in a row marked one after the other without the time to do any.
    let fast = times
        .windows(3)
        .any(|three| matches!(three, [a, b, c] if a.abs_diff(*b) < FAST && b.abs_diff(*c) < FAST));
    SectionRow {
        name: name.into(),
        kind,
        raised,
        steps,
        progress,
        fast,
    }
}

fn step_row(job: &Job, step: &Step) -> StepRow {
    let joint = joint_of(job, step);
    StepRow {
        step: step.clone(),
        joint: joint.map(|joint| {
            let torque = joint_torque(joint);
            JointStep {
                joint: joint.clone(),
                set: torque_set(job, joint, torque.wanted),
                torque,
            }
        }),
        state: became(job, step, joint),
    }
}

fn joint_of<'a>(job: &'a Job, step: &Step) -> Option<&'a Joint> {
    job.card.joint(step.joint.as_deref()?)
}

/// What became of a step that signs off this joint.
fn became(job: &Job, step: &Step, joint: Option<&Joint>) -> StepState {
    let signed = |joint: &Joint| {
        let sign_off = job.torques.get(&joint.id);
        sign_off.is_some_and(|sign_off| sign_off.at.is_some())
    };
    match job.marks.get(&step.id) {
        Some(Mark {
            skipped: Some(reason),
            ..
        }) => StepState::Skipped(reason.clone()),
        // A mark without the sign-off it came with is of a value that was typed over since, on another page.
        Some(_) if joint.is_none_or(signed) => StepState::Done,
        _ => StepState::Open,
    }
}

/// How far Bolt up has come, without what it shows.
pub fn bolt_up_progress(job: &Job) -> Progress {
    let card = &job.card;
    let sections = card.sections.iter();
    let fitting = sections
        .filter(|section| applies(&section.when, &job.order))
        .flat_map(|section| &section.steps);
    let mut progress = Progress::default();
    fitting
        .chain(&card.before_load)
        .chain(&card.before_drive)
        .filter(|step| applies(&step.when, &job.order))
        .for_each(|step| {
            let joint = joint_of(job, step);
            let set = joint.map(|joint| torque_set(job, joint, wanted_torque(joint)));
            progress.add(stands(&became(job, step, joint), set.as_ref()));
        });
    progress
}

/// What was typed as set at a joint, beside the torque wanted.
pub fn torque_set(job: &Job, joint: &Joint, wanted: Option<Torque>) -> TorqueSet {
    let Some(entry) = job
        .torques
        .get(&joint.id)
        .map(|sign_off: &SignOff| &sign_off.set)
        .filter(|entry| !entry.is_empty())
    else {
        return TorqueSet::Open;
    };
    match (entry.torque(), wanted) {
        (Err(error), _) => TorqueSet::Unreadable(error),
        (Ok(set), Some(wanted)) if (set - wanted).abs() > wanted * TORQUE_SHARE => {
            TorqueSet::Off { set, wanted }
        }
        (Ok(set), _) => TorqueSet::Set(set),
    }
}

/// Who signs off next, until another name is typed: who signed off last, or else who does the work.
pub fn signer(job: &Job) -> String {
    let signed = job.torques.iter().map(|(_, sign_off)| sign_off);
    signed
        .filter(|sign_off| sign_off.at.is_some() && !sign_off.by.is_empty())
        .max_by_key(|sign_off| sign_off.at)
        .map_or(&job.car.by, |sign_off| &sign_off.by)
        .clone()
}

impl StepRow {
    /// How it stands.
    pub fn state(&self) -> State {
        stands(&self.state, self.joint.as_ref().map(|joint| &joint.set))
    }
}

/// How a step stands at whose joint this was set.
const fn stands(became: &StepState, set: Option<&TorqueSet>) -> State {
    match (became, set) {
        (StepState::Open, _) => State::Open,
        (StepState::Skipped(_), _)
        | (StepState::Done, Some(TorqueSet::Off { .. } | TorqueSet::Unreadable(_))) => State::Wrong,
        (StepState::Done, _) => State::Done,
    }
}

//! The baseline sheet: one structured result of a job, rendered as page, as print and as plain text.

mod text;

pub use text::plain_text;

use crate::adjuster::Position;
use crate::document::{Axle, Corner, Entry, Job, Joint, Moment, Preferences, Target, applies};
use crate::plan::Verdict;
use crate::quantity::Limit;
use crate::reading::Estimate;
use crate::station::{
    AxleResult, RateRow, ReadResult, State, StepState, TorqueFrom, TorqueSet, WheelResult, advice,
    axles, base, bolt_up, car_points, joint_torque, joints_passed, length_of, lock, measure,
    order_words, position_words, read, rim_of, stands_now, step_rates, tighten_words, torque_set,
    unpack,
};

/// The most open items that are listed one by one; the rest is counted, so that the sheet stays one page.
const MOST_OPEN: usize = 12;

/// A label and its value.
pub type Fact = (String, String);

/// What one wheel read, as found and as left.
#[derive(Clone, Debug, PartialEq)]
pub struct WheelLine {
    /// Which wheel.
    pub corner: &'static str,
    /// Toe in the first round.
    pub toe_found: String,
    /// Toe in the last round.
    pub toe_left: String,
    /// Camber in the first round.
    pub camber_found: String,
    /// Camber in the last round.
    pub camber_left: String,
    /// What the last round says about the target.
    pub verdict: String,
}

/// How one adjuster was set.
#[derive(Clone, Debug, PartialEq)]
pub struct AdjusterLine {
    /// Corner and name.
    pub name: String,
    /// The base setting as measured, end by end.
    pub base: String,
    /// The setting now, end by end.
    pub now: String,
    /// Engaged thread and the least, the end with least to spare.
    pub engaged: String,
    /// What one step does to toe and camber.
    pub rate: String,
    /// Torque that locks it.
    pub lock: String,
}

/// A joint with its torque and sign-off.
#[derive(Clone, Debug, PartialEq)]
pub struct JointLine {
    /// What it joins.
    pub name: String,
    /// The torque wanted, and whether it is the card's or computed.
    pub torque: String,
    /// The torque set, or OPEN.
    pub set: String,
    /// Who signed it off.
    pub by: String,
    /// When it was signed off.
    pub at: Option<Moment>,
    /// The state in which it is tightened.
    pub tighten: &'static str,
    /// When to check it again.
    pub recheck: String,
}

/// The baseline sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The car.
    pub car: String,
    /// The kit card with its revision and maker.
    pub card: String,
    /// The choices ordered.
    pub order: String,
    /// Who did the work.
    pub by: String,
    /// Pressures, load, ride heights, rim, wheelbase: what was known.
    pub facts: Vec<Fact>,
    /// What the distances between the car's own points say; empty where none is measured.
    pub car_points: Vec<String>,
    /// What each wheel should read.
    pub targets: Vec<String>,
    /// What each wheel read.
    pub wheels: Vec<WheelLine>,
    /// Total toe and thrust angle, as found and as left, and caster where it was measured.
    pub axles: Vec<String>,
    /// How each adjuster is set.
    pub adjusters: Vec<AdjusterLine>,
    /// Every joint of the order.
    pub joints: Vec<JointLine>,
    /// When most of them are to be checked again: the page says it once.
    pub recheck: String,
    /// What is still open, or was found wrong.
    pub open: Vec<String>,
    /// How many more open items there are.
    pub open_more: usize,
    /// Free notes.
    pub notes: String,
    /// When the job was last changed.
    pub changed: Moment,
    /// What always stands on the sheet.
    pub cautions: [&'static str; 3],
    /// What the kit's maker advises for the uses of this car.
    pub advice: Vec<String>,
}

/// What one step of each adjuster does, corner by corner.
pub type Rates = Vec<(Corner, Vec<RateRow>)>;

/// What one step of each adjuster does by what was known in the last round; nothing before the first.
pub fn last_rates(job: &Job) -> Rates {
    let last = job.rounds.len().checked_sub(1);
    let of_corner = |last| {
        let rates = move |corner| (corner, step_rates(job, corner, last));
        Corner::ALL.into_iter().map(rates)
    };
    last.into_iter().flat_map(of_corner).collect()
}

/// The sheet of a job, in the units preferred.
pub fn sheet(job: &Job, words: &Preferences) -> Sheet {
    sheet_with(job, &last_rates(job), &open_items(job, words), words)
}

/// The sheet of a job whose [`last_rates`] and [`open_items`] are known.
pub fn sheet_with(
    job: &Job,
    rates: &Rates,
    (open, open_more): &OpenItems,
    words: &Preferences,
) -> Sheet {
    let last = job.rounds.len().checked_sub(1);
    let found = read(job, 0).map(|result| result.axles).unwrap_or_default();
    let last_read = last.and_then(|last| read(job, last));
    let left = last_read
        .as_ref()
        .map(|result| result.axles.as_slice())
        .unwrap_or_default();
    let joints: Vec<_> = ordered_joints(job)
        .map(|joint| joint_line(job, joint, words))
        .collect();
    let alike = |line: &&JointLine| {
        let same = |other: &&JointLine| other.recheck == line.recheck;
        joints.iter().filter(same).count()
    };
    let most = joints.iter().max_by_key(alike);
    Sheet {
        car: job.car.name.clone(),
        card: format!(
            "{} rev {}, {}",
            job.card.name, job.card.revision, job.card.maker
        ),
        order: order_words(job),
        by: job.car.by.clone(),
        facts: facts(job, words),
        car_points: car_points(job)
            .filter(|found| found.headline().is_some())
            .map(|found| found.sentences(job, words))
            .unwrap_or_default(),
        targets: axles(&job.card)
            .into_iter()
            .filter_map(|axle| target_words(axle, job, words))
            .collect(),
        wheels: last_read
            .as_ref()
            .map(|result| wheels(job, &found, result, words))
            .unwrap_or_default(),
        axles: left
            .iter()
            .zip(&found)
            .map(|(left, found)| axle_words(found, left, job, words))
            .chain(caster_words(left, words))
            .collect(),
        adjusters: job
            .card
            .adjusters
            .iter()
            .map(|adjuster| adjuster_line(job, adjuster, rates, words))
            .collect(),
        recheck: most.map(|line| line.recheck.clone()).unwrap_or_default(),
        joints,
        open: open.clone(),
        open_more: *open_more,
        notes: job.notes.clone(),
        changed: job.changed,
        advice: advice(job),
        cautions: [
            "The vehicle maker's and the kit maker's instructions and local law come first; alignment and brake work may need a licensed person.",
            "After any change of a rod end: enough thread engaged, jam nut at its torque, nothing rubs from lock to lock and from droop to bump.",
            "Check every joint and jam nut again at the distances given.",
        ],
    }
}

fn facts(job: &Job, words: &Preferences) -> Vec<Fact> {
    let car = &job.car;
    let mut facts: Vec<Fact> = Vec::new();
    let mut add = |name: &str, value: String| {
        if !value.trim().is_empty() {
            facts.push((name.to_owned(), value));
        }
    };
    let typed = |entry: &Entry, limit| {
        length_of(entry, limit)
            .map(|length| words.length(length))
            .unwrap_or_default()
    };
    add("Tyre pressures", car.pressures.clone());
    add("Fuel and ballast", car.load.clone());
    let heights: Vec<_> = Corner::ALL
        .into_iter()
        .filter_map(|corner| {
            car.ride_heights
                .get(corner.key())
                .map(|entry| typed(entry, Limit::RideHeight))
                .filter(|height| !height.is_empty())
                .map(|height| format!("{} {height}", corner.words().to_ascii_lowercase()))
        })
        .collect();
    add("Ride height", heights.join(", "));
    add("Across the rim", typed(&car.rim, Limit::RimDiameter));
    add("Wheelbase", typed(&car.wheelbase, Limit::Wheelbase));
    let holes: Vec<_> = job
        .card
        .pickups
        .iter()
        .filter_map(|pickup| {
            let taken = job
                .pickups
                .get(&pickup.id)
                .or_else(|| pickup.choices.first().map(|choice| &choice.id))?;
            pickup
                .choices
                .iter()
                .find(|choice| choice.id == *taken)
                .map(|choice| format!("{}: {}", pickup.name, choice.name))
        })
        .collect();
    add("Holes taken", holes.join("; "));
    facts
}

fn target_words(axle: Axle, job: &Job, words: &Preferences) -> Option<String> {
    let target = job.card.target(axle)?;
    // A tolerance is written as an uncertainty is: beside its value, in the same unit.
    let with = |target: Target| Estimate::new(target.aim, target.tolerance);
    Some(format!(
        "{} target, each wheel: toe {}, camber {}",
        if axle == Axle::Rear { "Rear" } else { "Front" },
        words.toe_with(with(target.toe), rim_of(job)),
        words.camber_with(with(target.camber))
    ))
}

fn wheels(
    job: &Job,
    found: &[AxleResult],
    result: &ReadResult,
    words: &Preferences,
) -> Vec<WheelLine> {
    let toe = |toe: Option<Estimate>| {
        toe.map_or_else(|| "—".to_owned(), |toe| words.toe(toe.value, rim_of(job)))
    };
    let camber = |camber: Option<Estimate>| {
        camber.map_or_else(|| "—".to_owned(), |camber| words.camber(camber.value))
    };
    let line = |(found, left): (&WheelResult, &WheelResult)| WheelLine {
        corner: left.corner.words(),
        toe_found: toe(found.toe),
        toe_left: toe(left.toe),
        camber_found: camber(found.camber),
        camber_left: camber(left.camber),
        verdict: said(result, left.verdict).to_owned(),
    };
    let pairs = found
        .iter()
        .zip(&result.axles)
        .flat_map(|(found, left)| [(&found.left, &left.left), (&found.right, &left.right)]);
    pairs.map(line).collect()
}

/// What is said of a wheel, or of both together, in the words of the reading.
fn said(result: &ReadResult, verdict: Option<Verdict>) -> &'static str {
    verdict.map_or("not read", |verdict| result.says(verdict).1)
}

fn axle_words(found: &AxleResult, left: &AxleResult, job: &Job, words: &Preferences) -> String {
    let toe = |axle: &AxleResult| {
        axle.total_toe.map_or_else(
            || "—".to_owned(),
            |total| words.toe(total.value, rim_of(job)),
        )
    };
    let mut line = format!(
        "{} total toe: found {}, left {}",
        if left.axle == Axle::Rear {
            "Rear"
        } else {
            "Front"
        },
        toe(found),
        toe(left)
    );
    if let (Some(before), Some(after)) = (found.thrust, left.thrust) {
        let ways = ["to the right", "to the left"];
        line = format!(
            "{line}. Thrust angle: found {}, left {}",
            words.way(before.value, ways),
            words.way(after.value, ways)
        );
    }
    line
}

/// Caster as the last round's steer swings gave it, in one line.
fn caster_words(axles: &[AxleResult], words: &Preferences) -> Option<String> {
    let of = |wheel: &WheelResult| {
        let axis = wheel.axis?;
        let name = wheel.corner.words().to_ascii_lowercase();
        Some(format!("{name} {}", words.angle_with(axis.caster)))
    };
    let measured: Vec<_> = axles
        .iter()
        .flat_map(|axle| [&axle.left, &axle.right])
        .filter_map(of)
        .collect();
    (!measured.is_empty()).then(|| format!("Caster, measured: {}", measured.join(", ")))
}

fn adjuster_line(
    job: &Job,
    adjuster: &crate::document::Adjuster,
    rates: &[(Corner, Vec<RateRow>)],
    words: &Preferences,
) -> AdjusterLine {
    let at = |entries: &[Entry]| measure(&adjuster.mechanism, entries);
    let (_, base) = at(job
        .settings
        .get(&adjuster.id)
        .map(Vec::as_slice)
        .unwrap_or_default());
    let (measures, now) = at(stands_now(job, adjuster));
    let tightest = measures
        .iter()
        .filter_map(|measure| measure.state)
        .min_by(|a, b| a.spare.as_metres().total_cmp(&b.spare.as_metres()));
    let engaged = tightest.map_or_else(String::new, |state| {
        format!(
            "{} (least {})",
            words.length(state.engaged),
            words.length(state.needed.least)
        )
    });
    let here = rates
        .iter()
        .filter(|(corner, _)| *corner == adjuster.corner);
    let rate = here
        .flat_map(|(_, rates)| rates)
        .find(|rate| rate.name == adjuster.name)
        .map_or_else(String::new, |rate| {
            format!(
                "{}: {}, {}",
                rate.step,
                words.way(rate.toe.value, ["toe-in", "toe-out"]),
                words.camber(rate.camber.value)
            )
        });
    let measured = |position: Option<&Position>| {
        position.map_or_else(
            || "OPEN".into(),
            |position| position_words(position, " / ", words),
        )
    };
    AdjusterLine {
        name: format!("{}, {}", adjuster.corner.words(), adjuster.name),
        base: measured(base.as_ref()),
        now: measured(now.as_ref()),
        engaged,
        rate,
        lock: lock(&job.card, adjuster).map_or_else(String::new, |lock| match lock.from {
            TorqueFrom::Computed => format!("{} (computed)", words.torque(lock.torque)),
            _ => words.torque(lock.torque),
        }),
    }
}

fn ordered_joints(job: &Job) -> impl Iterator<Item = &Joint> {
    job.card
        .joints
        .iter()
        .filter(|joint| applies(&joint.when, &job.order))
}

/// The torque set at a joint in words, once it is signed off.
fn signed_off(job: &Job, joint: &Joint, words: &Preferences) -> Option<String> {
    job.torques.get(&joint.id)?.at?;
    match torque_set(job, joint, joint_torque(joint).wanted) {
        TorqueSet::Set(set) => Some(words.torque(set)),
        TorqueSet::Off { set, .. } => Some(format!("{}, LOOK", words.torque(set))),
        TorqueSet::Open | TorqueSet::Unreadable(_) => None,
    }
}

fn joint_line(job: &Job, joint: &Joint, words: &Preferences) -> JointLine {
    let torque = joint_torque(joint);
    let set = signed_off(job, joint, words);
    let signed = set.as_ref().and_then(|_| job.torques.get(&joint.id));
    JointLine {
        name: joint.name.clone(),
        torque: match torque.from.word() {
            "" => torque.words(words),
            from => format!("{} ({from})", torque.words(words)),
        },
        by: signed.map_or_else(String::new, |signed| signed.by.clone()),
        at: signed.and_then(|signed| signed.at),
        set: set.unwrap_or_else(|| "OPEN".into()),
        tighten: tighten_words(joint.tighten),
        recheck: joint.recheck.clone(),
    }
}

/// What is open or wrong: the first ones in words, and how many more there are.
pub type OpenItems = (Vec<String>, usize);

/// What is open or wrong, station by station.
pub fn open_items(job: &Job, words: &Preferences) -> OpenItems {
    // What can break or bind stands first.
    let mut items = joints_passed(job, words.length);
    let unpacked = unpack(job);
    for row in unpacked
        .groups
        .iter()
        .flat_map(|group| &group.rows)
        .filter(|row| row.short() > 0)
    {
        items.push(format!("{} missing: {}", row.short(), row.name));
    }
    for row in unpacked
        .groups
        .iter()
        .flat_map(|group| &group.rows)
        .filter(|row| matches!(row.received, Some(Err(_))))
    {
        items.push(format!("OPEN: the count of {} cannot be read", row.name));
    }
    for row in unpacked
        .fits
        .iter()
        .filter(|row| row.state() == State::Wrong)
    {
        items.push(format!("Not to be fitted: {}", row.check.name));
    }
    for row in unpacked
        .distances
        .iter()
        .filter(|row| row.state() == State::Wrong)
    {
        items.push(format!("Off the card: {}", row.name));
    }
    let bolted = bolt_up(job);
    let steps = || bolted.sections.iter().flat_map(|section| &section.steps);
    for row in steps() {
        if let StepState::Skipped(reason) = &row.state {
            items.push(format!("OPEN: {} ({reason})", row.step.text));
        }
    }
    items.extend(base(job).blocks);
    let unticked = steps().filter(|row| row.state == StepState::Open).count();
    if unticked > 0 {
        items.push(format!(
            "OPEN: {unticked} of {} steps of Bolt up are not done",
            bolted.progress.total
        ));
    }
    let uncounted = unpacked
        .progress
        .total
        .saturating_sub(unpacked.progress.done);
    if uncounted > 0 {
        items.push(format!(
            "OPEN: {uncounted} of {} counts and checks of Unpack are not done",
            unpacked.progress.total
        ));
    }
    let unsigned = ordered_joints(job)
        .filter(|joint| signed_off(job, joint, &Preferences::default()).is_none())
        .count();
    if unsigned > 0 {
        items.push(format!(
            "OPEN: {unsigned} of {} joints are not signed off",
            ordered_joints(job).count()
        ));
    }
    match job.rounds.last() {
        None => items.push("OPEN: toe and camber are not read".into()),
        Some(last) if last.taken.iter().any(|(_, taken)| taken.at.is_some()) => {
            items.push("OPEN: adjusters were turned after the last reading, so what is given as left was read before".into());
        }
        Some(_) => {}
    }
    if let Some(result) = job
        .rounds
        .len()
        .checked_sub(1)
        .and_then(|last| read(job, last))
    {
        if !result.settled() {
            items.push("OPEN: the checks before the last reading are not all done".into());
        }
        for axle in &result.axles {
            for wheel in [&axle.left, &axle.right] {
                if wheel.verdict != Some(Verdict::InsideForCertain) {
                    items.push(format!(
                        "OPEN: {} wheel: {}",
                        wheel.corner.words(),
                        said(&result, wheel.verdict)
                    ));
                }
            }
            for tie in &axle.ties {
                // Of wheels that are not read, that both are not read says nothing new.
                let are_read = axle.left.verdict.and(axle.right.verdict).is_some();
                if tie
                    .verdict
                    .map_or(are_read, |verdict| verdict != Verdict::InsideForCertain)
                {
                    items.push(format!(
                        "OPEN: {}, {} axle: {}",
                        tie.what.words(),
                        axle.axle.words(),
                        said(&result, tie.verdict)
                    ));
                }
            }
        }
    }
    let more = items.len().saturating_sub(MOST_OPEN);
    items.truncate(MOST_OPEN);
    (items, more)
}

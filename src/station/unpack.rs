//! Unpack: what came against what was ordered, what the hand finds, and the car itself.

use super::{Progress, State, length_of};
use crate::document::{
    Answer, Bag, BagItem, CarCheck, Entry, FitCheck, Handed, Job, Order, Part, applies,
};
use crate::hardware::{HoleFit, Thread, judge_hole};
use crate::quantity::{
    Length, LengthUnit, Limit, ReadError, read_count, write_length, write_made_length,
};

/// The count of one part or kind of hardware.
#[derive(Clone, Debug, PartialEq)]
pub struct CountRow {
    /// Names it in the job.
    pub id: String,
    /// What it is, in full.
    pub name: String,
    /// How many the order holds.
    pub expected: u32,
    /// How many came; none: not counted yet.
    pub received: Option<Result<u32, ReadError>>,
}

impl CountRow {
    /// How many are missing.
    pub fn short(&self) -> u32 {
        match self.received {
            Some(Ok(received)) => self.expected.saturating_sub(received),
            _ => 0,
        }
    }

    /// How it stands.
    pub fn state(&self) -> State {
        count_state(self.received.as_ref(), self.expected)
    }
}

fn count_state(received: Option<&Result<u32, ReadError>>, expected: u32) -> State {
    match received {
        None => State::Open,
        Some(Ok(received)) if *received >= expected => State::Done,
        Some(_) => State::Wrong,
    }
}

/// Things counted together: the loose parts, or one bag.
#[derive(Clone, Debug, PartialEq)]
pub struct CountGroup {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub rows: Vec<CountRow>,
}

/// What the hand found at one check.
#[derive(Clone, Debug, PartialEq)]
pub struct FitRow {
    /// The check.
    pub check: FitCheck,
    /// The answer.
    pub answer: Option<Answer>,
    /// The hole as measured, or why it says nothing; none: not measured, or not to be.
    pub hole: Option<Result<HoleFit, String>>,
}

impl FitRow {
    /// What a wrong fit is, in words.
    pub fn why_not(&self) -> String {
        match &self.hole {
            Some(Err(reason)) => reason.clone(),
            Some(Ok(hole)) if !hole.is_good() => {
                let unit = self.check.bolt.map_or(LengthUnit::Millimetre, Thread::unit);
                let mut words = hole.fit.name().to_owned();
                if hole.worn {
                    words = format!("oval by {}", write_made_length(hole.oval, unit));
                }
                format!("hole {words}, {} play", write_made_length(hole.play, unit))
            }
            _ => fit_words(self.check.kind, Answer::Wrong).to_owned(),
        }
    }

    /// How it stands: hand and measured hole each can settle it, and each can refuse it.
    pub fn state(&self) -> State {
        fit_state(self.answer, self.hole.as_ref())
    }
}

fn fit_state(answer: Option<Answer>, hole: Option<&Result<HoleFit, String>>) -> State {
    let hand = answer.map(|answer| answer != Answer::Wrong);
    let measured = hole.map(|hole| hole.as_ref().is_ok_and(HoleFit::is_good));
    match (hand, measured) {
        (None, None) => State::Open,
        (Some(false), _) | (_, Some(false)) => State::Wrong,
        _ => State::Done,
    }
}

/// What a hole measured once or in two directions says of its bolt; none where nothing is typed.
///
/// # Errors
/// A diameter that cannot be read, or that says nothing.
pub fn hole_fit(bolt: Thread, slot: bool, hole: &[Entry]) -> Option<Result<HoleFit, String>> {
    let mut typed = hole.iter().filter(|entry| !entry.is_empty());
    let (first, second) = (typed.next()?, typed.next());
    let diameter = |entry: &Entry| length_of(entry, Limit::HoleDiameter);
    Some(diameter(first).and_then(|a| {
        let b = second.map_or(Ok(a), diameter)?;
        judge_hole(bolt, [a, b], slot).map_err(|error| error.to_string())
    }))
}

/// A distance on the car.
#[derive(Clone, Debug, PartialEq)]
pub struct DistanceRow {
    /// Names it in the job.
    pub id: String,
    /// From where to where.
    pub name: String,
    /// What it should be.
    pub distance: Length,
    /// How far it may be off.
    pub tolerance: Length,
    /// What it is: measured less card; none: not measured yet.
    pub off: Option<Result<Length, ReadError>>,
}

impl DistanceRow {
    /// How it stands.
    pub fn state(&self) -> State {
        distance_state(self.off.as_ref(), self.tolerance)
    }
}

fn distance_state(off: Option<&Result<Length, ReadError>>, tolerance: Length) -> State {
    match off {
        None => State::Open,
        // The edge of the tolerance belongs to it, whatever the last bit says.
        Some(Ok(off)) if off.abs() <= tolerance + Length::metres(1e-9) => State::Done,
        Some(_) => State::Wrong,
    }
}

/// A typed distance between two of the car's points.
///
/// # Errors
/// A text that is no length, or a length that is no such distance.
pub fn point_distance(entry: &Entry) -> Result<Length, ReadError> {
    Limit::PointDistance.hold_length(entry.length()?, entry.meant_in())
}

/// Everything the Unpack station shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Unpack {
    /// Parts and bags of exactly this order.
    pub groups: Vec<CountGroup>,
    /// Fit checks.
    pub fits: Vec<FitRow>,
    /// Distances on the car.
    pub distances: Vec<DistanceRow>,
    /// How far it has come.
    pub progress: Progress,
}

/// What the Unpack station shows for a job.
pub fn unpack(job: &Job) -> Unpack {
    let loose = CountGroup {
        name: "Loose parts".into(),
        rows: parts(job)
            .map(|part| count_row(job, &part.id, part_name(part), part.count))
            .collect(),
    };
    let bags = bags(job).map(|bag| CountGroup {
        name: bag.name.clone(),
        rows: items(job, bag)
            .map(|item| count_row(job, &item.id, item_name(item), item.count))
            .collect(),
    });
    Unpack {
        groups: std::iter::once(loose)
            .chain(bags)
            .filter(|group| !group.rows.is_empty())
            .collect(),
        fits: fits(job)
            .map(|check| {
                let (answer, hole) = found(job, check);
                FitRow {
                    check: check.clone(),
                    answer,
                    hole,
                }
            })
            .collect(),
        distances: distances(job)
            .map(|check| DistanceRow {
                id: check.id.clone(),
                name: check.name.clone(),
                distance: check.distance,
                tolerance: check.tolerance,
                off: off(job, check),
            })
            .collect(),
        progress: unpack_progress(job),
    }
}

/// How far Unpack has come, without what it shows.
pub fn unpack_progress(job: &Job) -> Progress {
    let mut progress = Progress::default();
    let mut count = |id: &str, expected| {
        progress.add(count_state(received(job, id).as_ref(), expected));
    };
    parts(job).for_each(|part| count(&part.id, part.count));
    bags(job).for_each(|bag| items(job, bag).for_each(|item| count(&item.id, item.count)));
    fits(job).for_each(|check| {
        let (answer, hole) = found(job, check);
        progress.add(fit_state(answer, hole.as_ref()));
    });
    distances(job).for_each(|check| {
        progress.add(distance_state(off(job, check).as_ref(), check.tolerance));
    });
    progress
}

fn parts(job: &Job) -> impl Iterator<Item = &Part> {
    let parts = job.card.parts.iter();
    parts.filter(|part| applies(&part.when, &job.order))
}

fn bags(job: &Job) -> impl Iterator<Item = &Bag> {
    let bags = job.card.bags.iter();
    bags.filter(|bag| applies(&bag.when, &job.order))
}

fn items<'a>(job: &'a Job, bag: &'a Bag) -> impl Iterator<Item = &'a BagItem> {
    let items = bag.items.iter();
    items.filter(|item| applies(&item.when, &job.order))
}

// A box that is checked before it ships has no car beside it.
fn fits(job: &Job) -> impl Iterator<Item = &FitCheck> {
    let in_shop = job.outgoing.is_some();
    let checks = job.card.fit_checks.iter();
    checks.filter(move |check| applies(&check.when, &job.order) && !(in_shop && check.on_car))
}

fn distances(job: &Job) -> impl Iterator<Item = &CarCheck> {
    let checks = job.card.car_checks.iter();
    checks.filter(|check| applies(&check.when, &job.order) && job.outgoing.is_none())
}

fn received(job: &Job, id: &str) -> Option<Result<u32, ReadError>> {
    let entry = job.counts.get(id).filter(|entry| !entry.is_empty());
    entry.map(|entry| read_count(&entry.text))
}

/// The answer at a check, and what its hole says.
fn found(job: &Job, check: &FitCheck) -> (Option<Answer>, Option<Result<HoleFit, String>>) {
    let finding = job.findings.get(&check.id);
    let hole = finding
        .zip(check.bolt)
        .and_then(|(finding, bolt)| hole_fit(bolt, check.slot, &finding.hole));
    (finding.and_then(|finding| finding.answer), hole)
}

/// By how much a distance measured is off the card's.
fn off(job: &Job, check: &CarCheck) -> Option<Result<Length, ReadError>> {
    let entry = job.distances.get(&check.id);
    entry
        .filter(|entry| !entry.is_empty())
        .map(|entry| Ok(point_distance(entry)? - check.distance))
}

fn count_row(job: &Job, id: &str, name: String, expected: u32) -> CountRow {
    CountRow {
        id: id.into(),
        name,
        expected,
        received: received(job, id),
    }
}

fn part_name(part: &Part) -> String {
    let side = match part.hand {
        Handed::Left => "left",
        Handed::Right => "right",
        Handed::Either => return part.name.clone(),
    };
    let mut places = part.name.as_bytes().windows(side.len());
    if places.any(|place| place == side.as_bytes()) {
        part.name.clone()
    } else {
        format!("{}, {side}", part.name)
    }
}

fn item_name(item: &BagItem) -> String {
    let mut name = item.name.clone();
    if let Some(thread) = &item.thread {
        name = format!("{name}, {}", thread.designation());
    }
    if let Some(length) = item.length {
        // Inch hardware is bought by the inch.
        let unit = item.thread.map_or(LengthUnit::Millimetre, Thread::unit);
        name = format!("{name} × {}", write_length(length, unit));
    }
    if !item.grade.is_empty() {
        name = format!("{name}, {}", item.grade);
    }
    name
}

impl Unpack {
    /// What is missing or not to be fitted, as a message to the shop; none when nothing is.
    pub fn shortage_message(&self, job: &Job) -> Option<String> {
        let mut lines = Vec::new();
        for group in &self.groups {
            for row in group.rows.iter().filter(|row| row.short() > 0) {
                if let Some(Ok(received)) = row.received {
                    lines.push(format!(
                        "- {} ({}): expected {}, received {received}",
                        row.name, group.name, row.expected
                    ));
                }
            }
        }
        for row in self.fits.iter().filter(|row| row.state() == State::Wrong) {
            let note = job
                .findings
                .get(&row.check.id)
                .map(|finding| finding.note.trim())
                .unwrap_or_default();
            let note = if note.is_empty() {
                String::new()
            } else {
                format!(" ({note})")
            };
            lines.push(format!(
                "- {}: not to be fitted, {}{note}",
                row.check.name,
                row.why_not()
            ));
        }
        if lines.is_empty() {
            return None;
        }
        let card = &job.card;
        let order = order_words(job);
        let order = if order.is_empty() {
            String::new()
        } else {
            format!("Order: {order}\n")
        };
        Some(format!(
            "{}, {} revision {}\n{order}{}\n",
            card.maker,
            card.name,
            card.revision,
            lines.join("\n")
        ))
    }
}

/// The choices ordered, in words.
pub fn order_words(job: &Job) -> String {
    let chosen = |order: &Order, id: &str| order.get(id).cloned();
    let words: Vec<_> = job
        .card
        .options
        .iter()
        .filter_map(|option| {
            let chosen = chosen(&job.order, &option.id)?;
            let choice = option.choices.iter().find(|choice| choice.id == chosen)?;
            Some(format!("{}: {}", option.name, choice.name))
        })
        .collect();
    words.join("; ")
}

/// What each answer of a fit check means.
///
/// A bolt that needs light persuasion is right and one that wobbles is wrong; a thread meant for adjustment turns by hand
/// along its whole length: common practice, no source.
pub const fn fit_words(kind: crate::document::FitKind, answer: Answer) -> &'static str {
    use crate::document::FitKind::{Bushing, Finish, Hole, Spline, Thread};
    match (kind, answer) {
        (Hole, Answer::Right) => "bolt slides with light persuasion",
        (Hole, Answer::Usable) => "bolt drops in, no wobble",
        (Hole, Answer::Wrong) => "bolt wobbles, or will not go in",
        (Thread, Answer::Right) => "turns by hand along its whole length",
        (Thread, Answer::Usable) => "turns by hand after cleaning",
        (Thread, Answer::Wrong) => "tight spot, or will not start",
        (Spline, Answer::Right) => "slides on by hand",
        (Spline, Answer::Usable) => "slides on after cleaning",
        (Spline, Answer::Wrong) => "will not slide, or rocks",
        (Bushing, Answer::Right) => "seated",
        (Bushing, Answer::Usable) => "loose in the bag, goes in by hand",
        (Bushing, Answer::Wrong) => "missing, cut or will not go in",
        (Finish, Answer::Right) => "accept",
        (Finish, Answer::Usable) => "touch up",
        (Finish, Answer::Wrong) => "send back",
    }
}

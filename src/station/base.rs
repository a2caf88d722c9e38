//! Base: every adjuster at a safe setting, the same on both ends and both sides, so that the car can be driven to be aligned.

use super::{Progress, State, length_of, lock};
use crate::adjuster::{EndState, Mechanism, Position, ThreadedEnd};
use crate::document::{Adjuster, Entry, Job, Preferences, Taken};
use crate::quantity::{Length, Limit};

/// How far a base setting may be from the card's, and from its twin, and still be called the same. What a rule resolves on a
/// thread in place: common practice, no source.
pub const SAME: Length = Length::mm(1.000_001);

/// One measured value of an adjuster: an end's thread showing, a cam's or a slot's setting.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureRow {
    /// What is measured, such as `outer end`.
    pub name: String,
    /// Why it cannot be used, if so.
    pub problem: Option<String>,
    /// How the end stands, for threads.
    pub state: Option<EndState>,
}

/// An adjuster at its base.
#[derive(Clone, Debug, PartialEq)]
pub struct BaseRow {
    /// The adjuster.
    pub adjuster: Adjuster,
    /// Its measured values, in the order of its ends.
    pub measures: Vec<MeasureRow>,
    /// Where it stands, if every value can be used.
    pub position: Option<Position>,
    /// What is wrong, in sentences.
    pub problems: Vec<String>,
    /// What should be known, in sentences.
    pub notes: Vec<String>,
    /// How it stands.
    pub state: State,
}

/// Everything the Base station shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Base {
    /// The adjusters, in the order of the card.
    pub rows: Vec<BaseRow>,
    /// How far it has come.
    pub progress: Progress,
    /// What keeps the car from being driven to alignment. None: it may be driven.
    pub blocks: Vec<String>,
}

/// What the Base station shows for a job.
pub fn base(job: &Job) -> Base {
    let mut rows: Vec<_> = job
        .card
        .adjusters
        .iter()
        .map(|adjuster| base_row(job, adjuster))
        .collect();
    level_sides(&mut rows);
    let mut progress = Progress::default();
    rows.iter().for_each(|row| progress.add(row.state));
    let mut blocks = Vec::new();
    for row in &rows {
        let name = format!(
            "{}, {}",
            row.adjuster.corner.words(),
            lower_first(&row.adjuster.name)
        );
        match row.state {
            State::Done => {}
            State::Wrong => blocks.extend(
                row.problems
                    .iter()
                    .map(|problem| format!("{name}: {problem}")),
            ),
            State::Open | State::Begun => blocks.push(format!("{name}: not measured yet.")),
        }
    }
    Base {
        rows,
        progress,
        blocks,
    }
}

/// A name inside a sentence.
pub(super) fn lower_first(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        std::iter::once(first.to_ascii_lowercase())
            .chain(letters)
            .collect()
    })
}

/// The names of what is measured on an adjuster.
pub fn measured_names(mechanism: &Mechanism) -> Vec<String> {
    match mechanism {
        Mechanism::CamBolt(_) => vec!["Cam mark from its middle".into()],
        Mechanism::Slot(_) => vec!["Slot from its middle".into()],
        Mechanism::Shims(_) => vec!["Thickness of the stack".into()],
        _ if mechanism.ends().len() == 1 => vec!["Thread showing".into()],
        _ => mechanism
            .ends()
            .iter()
            .map(|end| format!("Thread showing, {} end", end.name))
            .collect(),
    }
}

/// The two ways of a setting that is measured from a middle.
pub const OUT_IN: [&str; 2] = ["outwards", "inwards"];

/// Where an adjuster stands, as it is measured; the ends of a sleeve with a word or a mark between them.
pub fn position_words(position: &Position, between: &str, words: &Preferences) -> String {
    let [out, inwards] = OUT_IN;
    match position {
        Position::Showing(showing) => showing
            .iter()
            .map(|length| words.length(*length))
            .collect::<Vec<_>>()
            .join(between),
        Position::Cam(turn) => words.way(*turn, OUT_IN),
        Position::Stack(length) => words.length(*length),
        // In the middle is neither out nor in.
        Position::Slide(slide) if *slide == Length::ZERO => words.length(*slide),
        Position::Slide(slide) => format!(
            "{} {}",
            words.length(slide.abs()),
            if *slide < Length::ZERO { inwards } else { out }
        ),
    }
}

fn read_one(mechanism: &Mechanism, entry: &Entry) -> Result<Value, String> {
    match mechanism {
        Mechanism::CamBolt(_) => {
            let angle = entry
                .angle(OUT_IN)
                .and_then(|angle| Limit::CamSetting.hold_angle(angle))
                .map_err(|error| error.to_string())?;
            Ok(Value::Position(Position::Cam(angle)))
        }
        Mechanism::Slot(_) => {
            let size = length_of(entry, Limit::SlotSetting)?;
            let signed = match entry.sense {
                _ if size == Length::ZERO => size,
                Some(crate::document::Sense::Plus) => size,
                Some(crate::document::Sense::Minus) => -size,
                None => return Err(crate::quantity::ReadError::NoWay { ways: OUT_IN }.to_string()),
            };
            Ok(Value::Position(Position::Slide(signed)))
        }
        Mechanism::Shims(_) => length_of(entry, Limit::SlotSetting)
            .map(|stack| Value::Position(Position::Stack(stack))),
        _ => length_of(entry, Limit::ThreadShowing).map(Value::Showing),
    }
}

enum Value {
    Showing(Length),
    Position(Position),
}

/// What was measured on an adjuster, value by value, and where it stands if all of it can be used.
pub fn measure(mechanism: &Mechanism, entries: &[Entry]) -> (Vec<MeasureRow>, Option<Position>) {
    let nothing = Entry::default();
    let mut showing = Vec::new();
    let mut whole = None;
    let names = measured_names(mechanism);
    let measures: Vec<_> = names
        .into_iter()
        .enumerate()
        .map(|(index, name)| {
            let entry = entries.get(index).unwrap_or(&nothing);
            let mut row = MeasureRow {
                name,
                problem: None,
                state: None,
            };
            if entry.is_empty() {
                return row;
            }
            match read_one(mechanism, entry) {
                Err(problem) => row.problem = Some(problem),
                Ok(Value::Showing(length)) => match mechanism
                    .ends()
                    .get(index)
                    .map(|end: &ThreadedEnd| end.state(length))
                {
                    Some(Ok(state)) => {
                        row.state = Some(state);
                        showing.push(length);
                    }
                    Some(Err(error)) => row.problem = Some(error.to_string()),
                    None => {}
                },
                Ok(Value::Position(position)) => match mechanism.check(&position) {
                    Ok(()) => whole = Some(position),
                    Err(error) => row.problem = Some(error.to_string()),
                },
            }
            row
        })
        .collect();
    let ends = mechanism.ends().len();
    let position = if ends > 0 {
        (showing.len() == ends).then_some(Position::Showing(showing))
    } else {
        whole
    };
    (measures, position)
}

/// Where an adjuster stands now: after the last turn that was confirmed, or else as set at the base.
pub fn stands_now<'a>(job: &'a Job, adjuster: &Adjuster) -> &'a [Entry] {
    let taken = |taken: &'a Taken| (taken.at.is_some()).then_some(taken.now.as_slice());
    let turned = job
        .rounds
        .iter()
        .rev()
        .find_map(|round| round.taken.get(&adjuster.id).and_then(taken));
    turned
        .or_else(|| job.settings.get(&adjuster.id).map(Vec::as_slice))
        .unwrap_or_default()
}

fn base_row(job: &Job, adjuster: &Adjuster) -> BaseRow {
    let mechanism = &adjuster.mechanism;
    let entries = job
        .settings
        .get(&adjuster.id)
        .map(Vec::as_slice)
        .unwrap_or_default();
    let (measures, position) = measure(mechanism, entries);
    let words = Preferences::default();
    let mut problems: Vec<String> = measures
        .iter()
        .filter_map(|measure| measure.problem.clone())
        .collect();
    let locked = lock(&job.card, adjuster);
    let mut notes: Vec<_> = locked.and_then(|lock| lock.warning).into_iter().collect();
    if let Some(Position::Showing(showing)) = &position {
        for ((end, row), showing) in mechanism.ends().iter().zip(&measures).zip(showing) {
            let which = if mechanism.ends().len() > 1 {
                format!("{} end: ", end.name)
            } else {
                String::new()
            };
            let off = *showing - end.base_showing;
            if let Some(state) = row.state.filter(|state| !state.is_safe()) {
                problems.push(format!(
                    "{which}only {} is engaged and {} is the least ({}). Screw it in by at least {}.",
                    words.length(state.engaged),
                    words.length(state.needed.least),
                    state.needed.rule,
                    words.length(state.spare.abs())
                ));
            } else if off.abs() > SAME {
                problems.push(format!(
                    "{which}{} shows and the base is {}. Screw it {} by {}.",
                    words.length(*showing),
                    words.length(end.base_showing),
                    if off > Length::ZERO { "in" } else { "out" },
                    words.length(off.abs())
                ));
            }
            if let Some(state) = row
                .state
                .filter(|state| state.is_safe() && state.engaged < state.needed.preferred)
            {
                notes.push(format!(
                    "{which}{} is engaged; {} is preferred for a rod end.",
                    words.length(state.engaged),
                    words.length(state.needed.preferred)
                ));
            }
        }
        if let [a, b] = showing.as_slice()
            && let [first, second] = mechanism.ends()
        {
            let uneven = (*a - first.base_showing) - (*b - second.base_showing);
            if uneven.abs() > SAME {
                problems.push(format!(
                    "the two ends differ by {}: start both threads together and turn the sleeve.",
                    words.length(uneven.abs())
                ));
            }
        }
    } else if let Some(position) = &position
        && *position != mechanism.base()
    {
        notes.push("It is not at its middle. That is allowed; both sides must be the same.".into());
    }
    let state = match (
        &position,
        problems.is_empty(),
        entries.iter().all(Entry::is_empty),
    ) {
        (_, false, _) => State::Wrong,
        (Some(_), true, _) => State::Done,
        (None, true, true) => State::Open,
        (None, true, false) => State::Begun,
    };
    BaseRow {
        adjuster: adjuster.clone(),
        measures,
        position,
        problems,
        notes,
        state,
    }
}

/// Left and right must be the same, or the car pulls before it was ever aligned.
fn level_sides(rows: &mut [BaseRow]) {
    let twins: Vec<_> = rows
        .iter()
        .enumerate()
        .filter_map(|(index, row)| {
            let twin = rows.iter().skip(index + 1).find(|other| {
                other.adjuster.name == row.adjuster.name
                    && other.adjuster.corner.axle() == row.adjuster.corner.axle()
                    && other.adjuster.corner != row.adjuster.corner
            })?;
            let uneven = uneven(row.position.as_ref()?, twin.position.as_ref()?)?;
            Some((row.adjuster.id.clone(), twin.adjuster.id.clone(), uneven))
        })
        .collect();
    for (left, right, uneven) in twins {
        for row in rows
            .iter_mut()
            .filter(|row| row.adjuster.id == left || row.adjuster.id == right)
        {
            row.problems.push(format!(
                "left and right differ by {uneven}: set both the same."
            ));
            row.state = State::Wrong;
        }
    }
}

/// By how much two positions of the same kind differ, in words, if they do.
pub(super) fn uneven(a: &Position, b: &Position) -> Option<String> {
    let words = Preferences::default();
    match (a, b) {
        (Position::Showing(a), Position::Showing(b)) => {
            let most = a
                .iter()
                .zip(b)
                .map(|(a, b)| (*a - *b).abs())
                .fold(Length::ZERO, Length::max);
            (most > SAME).then(|| words.length(most))
        }
        (Position::Slide(a), Position::Slide(b)) | (Position::Stack(a), Position::Stack(b)) => {
            ((*a - *b).abs() > SAME).then(|| words.length((*a - *b).abs()))
        }
        (Position::Cam(a), Position::Cam(b)) => {
            ((*a - *b).abs().as_degrees() > 2.0).then(|| words.angle((*a - *b).abs()))
        }
        _ => None,
    }
}

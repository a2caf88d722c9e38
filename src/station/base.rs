//! Base: every adjuster at a safe setting, the same on both ends and both sides, so that the car can be driven to be aligned.

use super::{Progress, State, length_of, lock};
use crate::adjuster::{EndState, Mechanism, Position, ThreadedEnd};
use crate::document::{Adjuster, Entry, Job, KitCard, Preferences, Taken};
use crate::quantity::{Angle, Length, Limit, write_enough_length};

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

/// How far Base has come, without what it shows.
pub fn base_progress(job: &Job) -> Progress {
    let mut progress = Progress::default();
    let all = stands(job);
    all.iter().for_each(|stand| progress.add(stand.state()));
    progress
}

/// What the Base station shows for a job.
pub fn base(job: &Job) -> Base {
    let rows: Vec<_> = stands(job)
        .into_iter()
        .map(|stand| stand.row(&job.card))
        .collect();
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
        progress: base_progress(job),
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

/// How an adjuster stands at its base.
struct Stand<'a> {
    adjuster: &'a Adjuster,
    measures: Vec<MeasureRow>,
    position: Option<Position>,
    faults: Vec<Fault<'a>>,
    /// Whether anything of it was measured.
    begun: bool,
}

/// What is wrong with how an adjuster stands.
enum Fault<'a> {
    /// A value cannot be used.
    Unusable(String),
    /// Too little thread is engaged at an end.
    Engaged(&'a ThreadedEnd, EndState),
    /// So much shows at an end, and its base is another.
    Showing(&'a ThreadedEnd, Length),
    /// Its two ends are so far apart.
    Ends(Length),
    /// Left and right are so far apart: the car pulls before it was ever aligned.
    Sides(Apart),
}

/// How all adjusters stand, in the order of the card.
fn stands(job: &Job) -> Vec<Stand<'_>> {
    let adjusters = &job.card.adjusters;
    let mut all: Vec<_> = adjusters
        .iter()
        .map(|adjuster| {
            let entries = job.settings.get(&adjuster.id);
            Stand::new(adjuster, entries.map(Vec::as_slice).unwrap_or_default())
        })
        .collect();
    let twins: Vec<_> = all
        .iter()
        .enumerate()
        .filter_map(|(place, one)| {
            let (beside, twin) = all.iter().enumerate().skip(place + 1).find(|(_, other)| {
                other.adjuster.name == one.adjuster.name
                    && other.adjuster.corner.axle() == one.adjuster.corner.axle()
                    && other.adjuster.corner != one.adjuster.corner
            })?;
            let apart = apart(one.position.as_ref()?, twin.position.as_ref()?)?;
            Some(([place, beside], apart))
        })
        .collect();
    for (places, apart) in twins {
        for place in places {
            if let Some(stand) = all.get_mut(place) {
                stand.faults.push(Fault::Sides(apart));
            }
        }
    }
    all
}

impl<'a> Stand<'a> {
    fn new(adjuster: &'a Adjuster, entries: &[Entry]) -> Self {
        let ends = adjuster.mechanism.ends();
        let (measures, position) = measure(&adjuster.mechanism, entries);
        let unusable = measures.iter().filter_map(|row| row.problem.clone());
        let mut faults: Vec<_> = unusable.map(Fault::Unusable).collect();
        if let Some(Position::Showing(showing)) = &position {
            for ((end, row), showing) in ends.iter().zip(&measures).zip(showing) {
                if let Some(state) = row.state.filter(|state| !state.is_safe()) {
                    faults.push(Fault::Engaged(end, state));
                } else if (*showing - end.base_showing).abs() > SAME {
                    faults.push(Fault::Showing(end, *showing));
                }
            }
            if let ([a, b], [first, second]) = (showing.as_slice(), ends) {
                let uneven = (*a - first.base_showing) - (*b - second.base_showing);
                if uneven.abs() > SAME {
                    faults.push(Fault::Ends(uneven.abs()));
                }
            }
        }
        Self {
            adjuster,
            measures,
            position,
            faults,
            begun: !entries.iter().all(Entry::is_empty),
        }
    }

    fn state(&self) -> State {
        match (self.faults.is_empty(), &self.position, self.begun) {
            (false, ..) => State::Wrong,
            (true, Some(_), _) => State::Done,
            (true, None, true) => State::Begun,
            (true, None, false) => State::Open,
        }
    }

    /// In words.
    fn row(self, card: &KitCard) -> BaseRow {
        let mechanism = &self.adjuster.mechanism;
        let words = Preferences::default();
        let locked = lock(card, self.adjuster);
        let mut notes: Vec<_> = locked.and_then(|lock| lock.warning).into_iter().collect();
        match &self.position {
            Some(Position::Showing(_)) => {
                for (end, row) in mechanism.ends().iter().zip(&self.measures) {
                    let short = |state: &EndState| {
                        state.is_safe() && state.engaged < state.needed.preferred
                    };
                    if let Some(state) = row.state.filter(short) {
                        notes.push(format!(
                            "{}{} is engaged; {} is preferred for a rod end.",
                            which(mechanism, end),
                            words.length(state.engaged),
                            words.length(state.needed.preferred)
                        ));
                    }
                }
            }
            Some(position) if *position != mechanism.base() => {
                notes.push(
                    "It is not at its base. That is allowed; both sides must be the same.".into(),
                );
            }
            _ => {}
        }
        let faults = self.faults.iter();
        BaseRow {
            adjuster: self.adjuster.clone(),
            state: self.state(),
            problems: faults.map(|fault| fault.words(mechanism)).collect(),
            measures: self.measures,
            position: self.position,
            notes,
        }
    }
}

impl Fault<'_> {
    fn words(&self, mechanism: &Mechanism) -> String {
        let words = Preferences::default();
        match self {
            Self::Unusable(why) => why.clone(),
            Self::Engaged(end, state) => format!(
                "{}only {} is engaged and {} is the least ({}). Screw it in by at least {}.",
                which(mechanism, end),
                words.length(state.engaged),
                words.length(state.needed.least),
                state.needed.rule,
                write_enough_length(state.spare.abs(), words.length)
            ),
            Self::Showing(end, showing) => {
                let off = *showing - end.base_showing;
                format!(
                    "{}{} shows and the base is {}. Screw it {} by {}.",
                    which(mechanism, end),
                    words.length(*showing),
                    words.length(end.base_showing),
                    if off > Length::ZERO { "in" } else { "out" },
                    words.length(off.abs())
                )
            }
            Self::Ends(apart) => format!(
                "the two ends differ by {}: start both threads together and turn the sleeve.",
                words.length(*apart)
            ),
            Self::Sides(apart) => format!(
                "left and right differ by {}: set both the same.",
                apart.words()
            ),
        }
    }
}

/// Which end a sentence is about, on an adjuster that has two.
fn which(mechanism: &Mechanism, end: &ThreadedEnd) -> String {
    match mechanism.ends() {
        [_, _, ..] => format!("{} end: ", end.name),
        _ => String::new(),
    }
}

/// By how much two positions of one kind differ.
#[derive(Clone, Copy)]
pub(super) enum Apart {
    Length(Length),
    Angle(Angle),
}

impl Apart {
    pub(super) fn words(self) -> String {
        let words = Preferences::default();
        match self {
            Self::Length(length) => words.length(length),
            Self::Angle(angle) => words.angle(angle),
        }
    }
}

/// By how much two positions of the same kind differ, if they do.
pub(super) fn apart(a: &Position, b: &Position) -> Option<Apart> {
    let most = match (a, b) {
        (Position::Showing(a), Position::Showing(b)) => {
            let each = a.iter().zip(b).map(|(a, b)| (*a - *b).abs());
            each.fold(Length::ZERO, Length::max)
        }
        (Position::Slide(a), Position::Slide(b)) | (Position::Stack(a), Position::Stack(b)) => {
            (*a - *b).abs()
        }
        (Position::Cam(a), Position::Cam(b)) => {
            let off = (*a - *b).abs();
            return (off.as_degrees() > 2.0).then_some(Apart::Angle(off));
        }
        _ => return None,
    };
    (most > SAME).then_some(Apart::Length(most))
}

//! The car itself: what the distances between its own points say together, and what that does to the wheels.

use super::{State, point_distance, rim_of};
use crate::document::{CarCheck, CarPoint, Corner, Job, KitCard, Preferences, applies};
use crate::linkage::{
    Cause, Changes, Doubts, Explanation, FURTHEST_OUT, Linkage, Measured, Mover, PoseError, Shift,
    Vector, explain, telling,
};
use crate::quantity::{Angle, Fixed, Length};
use crate::reading::Estimate;

/// A cause that is believed less is not said alone. Common practice, no source.
const TOLD: f64 = 0.9;
/// The most causes that are named where none is told.
const MOST_NAMED: usize = 3;
/// A way known worse than this, a standard deviation, is not told: half of what a point that was hit may be off by.
const UNTOLD: Length = Length::mm(6.0);
/// Nearer to the car's middle than this a point is off to the left or right, not out or in.
const MIDDLE: f64 = 0.05;
/// A joint at the car so near to a point is on it.
const ON_POINT: f64 = 0.005;

/// A distance of the order between two of the car's points.
#[derive(Clone, Debug, PartialEq)]
pub struct CarLine {
    /// From where to where.
    pub name: String,
    /// The places of its two points.
    pub between: [usize; 2],
    /// What the card says.
    pub card: Length,
    /// What the tape said; none: not measured, or not readable.
    pub measured: Option<Length>,
    /// Where no shell is that far out: what the reading would be in the unit that it may have been meant in, if one comes near.
    pub wild: Option<Option<(&'static str, Length)>>,
}

/// What a shift of a point does to a wheel if the kit is fitted as it is, at the drawn ride height with every link as long as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct WheelEffect {
    /// Which wheel.
    pub corner: Corner,
    /// The changes of toe, camber and half-track, or that the links no longer go together.
    pub change: Result<WheelChange, String>,
}

/// Changes at a wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelChange {
    /// Of toe, toe-in positive.
    pub toe: Estimate,
    /// Of camber, top out positive.
    pub camber: Estimate,
    /// Of the distance from the car's middle to the wheel's contact, wider positive.
    pub half_track: Length,
    /// The standard uncertainty of that.
    pub half_track_doubt: Length,
}

/// A cause, what is to be believed of it, and what it does.
#[derive(Clone, Debug, PartialEq)]
pub struct CarCause {
    /// What it is. A reading is named by its place among the lines.
    pub cause: Cause,
    /// Its share of belief, from 0 to 1.
    pub belief: f64,
    /// What it does to each wheel it touches.
    pub effects: Vec<WheelEffect>,
}

/// A distance to take next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextDistance {
    /// The places of its two points.
    pub between: [usize; 2],
    /// Its place among the lines; none: the card does not ask for it.
    pub line: Option<usize>,
    /// Whether it has been measured already.
    pub again: bool,
    /// What it is by the first cause, and by the second.
    pub expected: [Length; 2],
}

/// What the distances say.
#[derive(Clone, Debug, PartialEq)]
pub enum CarSays {
    /// Too few are measured to say anything.
    TooFew,
    /// One cause explains them, a sound shell among others.
    Told(CarCause),
    /// Several causes explain them nearly as well.
    Undecided {
        /// The most believed first.
        causes: Vec<CarCause>,
        /// What would tell the first two apart.
        next: Option<NextDistance>,
    },
    /// No one point and no one reading explains them.
    Several,
}

/// What the distances between the car's own points say together.
#[derive(Clone, Debug, PartialEq)]
pub struct CarFinding {
    /// The points, as the card has them.
    pub points: Vec<CarPoint>,
    /// The distances of this order between them.
    pub lines: Vec<CarLine>,
    /// What they say.
    pub says: CarSays,
}

/// Fewer distances than this say nothing: two points that trade places with a reading need a third.
const LEAST: usize = 3;

/// What the distances say together; none where the card gives too few points and distances between them.
pub fn car_points(job: &Job) -> Option<CarFinding> {
    let card = &job.card;
    let checks: Vec<_> = card
        .car_checks
        .iter()
        .filter(|check| applies(&check.when, &job.order))
        .filter_map(|check| Some((check, places(card, check)?)))
        .collect();
    if checks.len() < LEAST {
        return None;
    }
    let lines: Vec<_> = checks
        .iter()
        .map(|(check, between)| line(job, check, *between))
        .collect();
    let taken: Vec<_> = lines
        .iter()
        .enumerate()
        .filter(|(_, line)| line.wild.is_none())
        .filter_map(|(place, line)| {
            let between = line.between;
            let distance = line.measured?;
            Some((place, Measured { between, distance }))
        })
        .collect();
    let tolerance = checks
        .iter()
        .map(|(check, _)| check.tolerance)
        .fold(Length::ZERO, Length::max);
    let says = says(card, &lines, &taken, &Doubts::of_tolerance(tolerance));
    Some(CarFinding {
        points: card.car_points.clone(),
        lines,
        says,
    })
}

fn places(card: &KitCard, check: &CarCheck) -> Option<[usize; 2]> {
    let [one, other] = check.between.as_ref()?;
    Some([card.car_point(one)?, card.car_point(other)?])
}

fn line(job: &Job, check: &CarCheck, between: [usize; 2]) -> CarLine {
    let entry = job.distances.get(&check.id);
    let measured = entry
        .filter(|entry| !entry.is_empty())
        .and_then(|entry| point_distance(entry).ok());
    CarLine {
        name: check.name.clone(),
        between,
        card: check.distance,
        measured,
        wild: measured.and_then(|measured| wild(measured, check.distance)),
    }
}

/// Whether no shell is that far out, and the unit in which the reading would come near: that it was typed in another is the likeliest.
pub fn wild(measured: Length, card: Length) -> Option<Option<(&'static str, Length)>> {
    if (measured - card).abs() <= FURTHEST_OUT {
        return None;
    }
    let units = [
        ("inches", 25.4),
        ("centimetres", 10.0),
        ("millimetres", 1.0 / 25.4),
    ];
    let near = units
        .into_iter()
        .map(|(unit, factor)| (unit, measured * factor))
        .find(|(_, length)| (*length - card).abs() <= FURTHEST_OUT);
    Some(near)
}

fn says(
    card: &KitCard,
    lines: &[CarLine],
    taken: &[(usize, Measured)],
    doubts: &Doubts,
) -> CarSays {
    if taken.len() < LEAST {
        return CarSays::TooFew;
    }
    let points: Vec<_> = card.car_points.iter().map(|point| point.at).collect();
    let measured: Vec<_> = taken.iter().map(|(_, measured)| *measured).collect();
    let Ok(found) = explain(&points, &measured, doubts) else {
        return CarSays::TooFew;
    };
    let Some(first) = found.first() else {
        return CarSays::TooFew;
    };
    if !first.fits {
        return CarSays::Several;
    }
    let named = |explanation: &Explanation| {
        let cause = match explanation.cause {
            Cause::Reading { reading, off } => Cause::Reading {
                reading: taken.get(reading).map_or(reading, |(line, _)| *line),
                off,
            },
            cause => cause,
        };
        CarCause {
            cause,
            belief: explanation.belief,
            effects: effects(card, &points, &cause),
        }
    };
    if first.belief >= TOLD {
        return CarSays::Told(named(first));
    }
    let mut believed = 0.0;
    let causes: Vec<_> = found
        .iter()
        .take(MOST_NAMED)
        .take_while(|explanation| {
            let more = believed < TOLD;
            believed += explanation.belief;
            more
        })
        .map(named)
        .collect();
    let next = found.get(1).and_then(|second| {
        let causes = [&first.cause, &second.cause];
        let asked: Vec<_> = lines.iter().map(|line| line.between).collect();
        let open = lines.iter().filter(|line| line.measured.is_none());
        let open: Vec<_> = open.map(|line| line.between).collect();
        let all = (0..points.len()).flat_map(|b| (0..b).map(move |a| [a, b]));
        // What the card asks for is within a tape's reach, and of that what is still to be measured says more than a repeat.
        let telling = [open, asked, all.collect()]
            .into_iter()
            .find_map(|pairs| telling(&points, &measured, causes, &pairs))?;
        Some(NextDistance {
            between: telling.between,
            line: lines.iter().position(|line| {
                let [a, b] = line.between;
                [a, b] == telling.between || [b, a] == telling.between
            }),
            again: telling.again.is_some(),
            expected: telling.expected,
        })
    });
    CarSays::Undecided { causes, next }
}

/// What a cause does to the wheels whose joints are on the point that is off.
fn effects(card: &KitCard, points: &[Vector], cause: &Cause) -> Vec<WheelEffect> {
    let Cause::Point { point, shift } = cause else {
        return Vec::new();
    };
    let Some(at) = points.get(*point) else {
        return Vec::new();
    };
    Corner::ALL
        .into_iter()
        .filter_map(|corner| effect(card, corner, *at, shift))
        .collect()
}

fn effect(card: &KitCard, corner: Corner, at: Vector, shift: &Shift) -> Option<WheelEffect> {
    let geometry = card.geometry_of(corner)?.geometry();
    let on_point = |joint: Vector| (joint - at).length() <= ON_POINT;
    let links = geometry.links.iter().enumerate();
    let shifts: Vec<_> = links
        .filter(|(_, link)| on_point(link.car))
        .map(|(place, _)| place)
        .collect();
    let strut_top = geometry.strut.is_some_and(|strut| on_point(strut.top));
    if shifts.is_empty() && !strut_top {
        return None;
    }
    let linkage = Linkage::new(&geometry).ok()?;
    let along = |way: Vector| Mover {
        lengthens: Vec::new(),
        shifts: shifts.clone(),
        strut_top,
        way,
    };
    let change = change(&linkage, &along, shift, corner).map_err(|error| error.words(&geometry));
    Some(WheelEffect { corner, change })
}

fn change(
    linkage: &Linkage,
    along: &dyn Fn(Vector) -> Mover,
    shift: &Shift,
    corner: Corner,
) -> Result<WheelChange, PoseError> {
    let drawn = linkage.wheel(&linkage.drawn());
    let way = along(shift.by);
    let moved = linkage.set(&[way], &[Length::metres(1.0)]);
    let pose = moved.pose(&Changes::default(), Length::ZERO)?;
    let wheel = moved.wheel(&pose);
    let axes = [
        Vector::new(1.0, 0.0, 0.0),
        Vector::new(0.0, 1.0, 0.0),
        Vector::new(0.0, 0.0, 1.0),
    ];
    let rates = moved.rates_of(&pose, &axes.map(along))?;
    let spread = |of: &dyn Fn(&crate::linkage::Rate) -> f64| {
        let mut parts = rates.iter().map(of);
        let mut next = || parts.next().unwrap_or(0.0);
        shift.spread(Vector::new(next(), next(), next()))
    };
    let outwards = match corner.side() {
        crate::document::Side::Left => 1.0,
        crate::document::Side::Right => -1.0,
    };
    let estimate = |value: Angle, spread: f64| Estimate::new(value, Angle::radians(spread));
    Ok(WheelChange {
        toe: estimate(wheel.toe - drawn.toe, spread(&|rate| rate.toe)),
        camber: estimate(wheel.camber - drawn.camber, spread(&|rate| rate.camber)),
        half_track: wheel.half_track - drawn.half_track,
        half_track_doubt: Length::metres(spread(&|rate| rate.contact.y * outwards)),
    })
}

fn percent(belief: f64) -> String {
    if belief >= 0.995 {
        "more than 99 %".to_owned()
    } else {
        format!("{} %", Fixed(belief * 100.0, 0))
    }
}

impl CarFinding {
    fn point_name(&self, place: usize) -> &str {
        self.points
            .get(place)
            .map_or("a point", |point| &*point.name)
    }

    fn line_name(&self, place: usize) -> &str {
        self.lines
            .get(place)
            .map_or("a distance", |line| &*line.name)
    }

    /// How many distances are measured and can be right, of how many.
    pub fn measured(&self) -> (usize, usize) {
        let right = |line: &&CarLine| line.measured.is_some() && line.wild.is_none();
        let measured = self.lines.iter().filter(right);
        (measured.count(), self.lines.len())
    }

    /// In a few words; none while nothing is measured.
    pub fn headline(&self) -> Option<(State, &'static str)> {
        self.lines.iter().find(|line| line.measured.is_some())?;
        Some(match &self.says {
            CarSays::TooFew => (State::Begun, "Too few to tell"),
            CarSays::Told(cause) => match cause.cause {
                Cause::Sound => match self.measured() {
                    (measured, all) if measured < all => (State::Begun, "Nothing off so far"),
                    _ => (State::Done, "The points are sound"),
                },
                Cause::Point { .. } => (State::Wrong, "One point is off"),
                Cause::Reading { .. } => (State::Wrong, "One reading is odd"),
            },
            CarSays::Undecided { .. } => (State::Begun, "Cannot tell yet"),
            CarSays::Several => (State::Wrong, "More than one thing is off"),
        })
    }

    /// The point that is off and its shift, where that is told.
    pub fn off(&self) -> Option<(usize, Vector)> {
        match &self.says {
            CarSays::Told(CarCause {
                cause: Cause::Point { point, shift },
                ..
            }) => Some((*point, shift.by)),
            _ => None,
        }
    }

    /// The lines whose readings are odd: those that no shell gives, and the one that is told.
    pub fn odd(&self) -> Vec<usize> {
        let told = match &self.says {
            CarSays::Told(CarCause {
                cause: Cause::Reading { reading, .. },
                ..
            }) => Some(*reading),
            _ => None,
        };
        let lines = self.lines.iter().enumerate();
        lines
            .filter(|(place, line)| line.wild.is_some() || Some(*place) == told)
            .map(|(place, _)| place)
            .collect()
    }

    /// In sentences, the finding first.
    pub fn sentences(&self, job: &Job, words: &Preferences) -> Vec<String> {
        let mut said: Vec<_> = self
            .lines
            .iter()
            .filter_map(|line| {
                let reading = wild_words(line.measured?, line.card, line.wild?, words);
                Some(format!(
                    "Odd reading: {}. {reading} It is left out of what follows.",
                    line.name
                ))
            })
            .collect();
        match &self.says {
            CarSays::TooFew => said.push(format!(
                "Fewer than {LEAST} distances are measured and readable: they say nothing together yet."
            )),
            CarSays::Told(cause) => {
                said.push(self.told(cause, words));
                said.extend(cause.effects.iter().map(|effect| effect.words(job, words)));
            }
            CarSays::Undecided { causes, next } => {
                let named: Vec<_> = causes.iter().map(|cause| self.brief(cause, words)).collect();
                said.push(format!(
                    "These distances cannot tell between: {}.",
                    named.join("; or ")
                ));
                if let Some(next) = next {
                    said.push(self.next(next, words));
                }
            }
            CarSays::Several => said.push(
                "No one point and no one reading explains these distances: more than one thing is off. Measure again what is marked to look at. If it reads the same, have the shell measured before anything is fitted.".to_owned(),
            ),
        }
        said
    }

    fn told(&self, cause: &CarCause, words: &Preferences) -> String {
        let sure = percent(cause.belief);
        match &cause.cause {
            Cause::Sound => match self.measured() {
                (measured, all) if measured < all => {
                    format!("{measured} of {all} distances: nothing is off so far ({sure}).")
                }
                (_, all) => {
                    format!("All {all} distances: the points are where the card has them ({sure}).")
                }
            },
            Cause::Point { point, shift } => format!(
                "{} is off ({sure}): {}",
                self.point_name(*point),
                self.shift_words(*point, shift, words)
            ),
            Cause::Reading { reading, off } => format!(
                "Odd reading ({sure}): {}. It reads {} than the others say: measure it again.",
                self.line_name(*reading),
                more_words(*off, words)
            ),
        }
    }

    fn brief(&self, cause: &CarCause, words: &Preferences) -> String {
        let sure = percent(cause.belief);
        match &cause.cause {
            Cause::Sound => format!("nothing is off ({sure})"),
            Cause::Point { point, shift } => {
                let (told, _) = self.ways(*point, shift, words);
                let told = if told.is_empty() {
                    String::new()
                } else {
                    format!(" by {}", told.join(", "))
                };
                format!("{} is off{told} ({sure})", self.point_name(*point))
            }
            Cause::Reading { reading, off } => format!(
                "the reading {} is {} than it should be ({sure})",
                self.line_name(*reading),
                more_words(*off, words)
            ),
        }
    }

    fn next(&self, next: &NextDistance, words: &Preferences) -> String {
        let [one, other] = next.expected.map(|length| words.length(length));
        let [a, b] = next.between.map(|place| self.point_name(place));
        let name = match next.line {
            Some(line) => self.line_name(line).to_owned(),
            None => format!("{a} to {b}"),
        };
        let measure = match (next.again, next.line) {
            (true, _) => "Measure again",
            (false, Some(_)) => "Measure next",
            (false, None) => "Measure also, if a tape reaches",
        };
        format!("{measure}: {name}. {one} speaks for the first, {other} for the second.")
    }

    /// The ways that are told, with their doubt, and those that are not.
    fn ways(
        &self,
        point: usize,
        shift: &Shift,
        words: &Preferences,
    ) -> (Vec<String>, Vec<&'static str>) {
        let y = self.points.get(point).map_or(0.0, |point| point.at.y);
        let across = if y.abs() < MIDDLE {
            ["to the left", "to the right", "to the left or right"]
        } else if y > 0.0 {
            ["out", "in", "out or in"]
        } else {
            ["in", "out", "out or in"]
        };
        let axes = [
            (
                shift.by.x,
                Vector::new(1.0, 0.0, 0.0),
                ["forward", "rearward", "forward or rearward"],
            ),
            (shift.by.y, Vector::new(0.0, 1.0, 0.0), across),
            (shift.by.z, Vector::UP, ["up", "down", "up or down"]),
        ];
        let (mut told, mut untold) = (Vec::new(), Vec::new());
        for (by, axis, [plus, minus, either]) in axes {
            let doubt = Length::metres(shift.spread(axis));
            if doubt > UNTOLD {
                untold.push(either);
            } else if by.abs() >= doubt.as_metres() {
                told.push(format!(
                    "{} {} ± {}",
                    words.length(Length::metres(by.abs())),
                    if by > 0.0 { plus } else { minus },
                    words.length(doubt)
                ));
            }
        }
        (told, untold)
    }

    fn shift_words(&self, point: usize, shift: &Shift, words: &Preferences) -> String {
        let (told, untold) = self.ways(point, shift, words);
        let told = if told.is_empty() {
            "which way, these distances do not tell".to_owned()
        } else {
            told.join(", ")
        };
        let untold: Vec<_> = untold
            .into_iter()
            .map(|way| format!(" Whether {way}, they do not tell."))
            .collect();
        format!("{told}.{}", untold.concat())
    }
}

/// How much more or less a reading is.
fn more_words(off: Length, words: &Preferences) -> String {
    let more = if off > Length::ZERO { "more" } else { "less" };
    format!("{} {more}", words.length(off.abs()))
}

/// What is said of a reading that no shell gives.
pub fn wild_words(
    measured: Length,
    card: Length,
    near: Option<(&'static str, Length)>,
    words: &Preferences,
) -> String {
    let unit = near.map_or_else(String::new, |(unit, length)| {
        format!(
            " Was it meant in {unit}? That would be {}.",
            words.length(length)
        )
    });
    format!(
        "It is {} than the card says, and no shell is that far out: measure it again.{unit}",
        more_words(measured - card, words)
    )
}

impl WheelEffect {
    /// In a sentence.
    pub fn words(&self, job: &Job, words: &Preferences) -> String {
        let wheel = self.corner.words();
        let change = match &self.change {
            Ok(change) => change,
            Err(reason) => {
                return format!("{wheel}, fitted as it is: the links do not go together. {reason}");
            }
        };
        let wider = if change.half_track < Length::ZERO {
            "narrower"
        } else {
            "wider"
        };
        format!(
            "{wheel}, fitted as it is: toe changes by {}, camber by {}, half-track {} {wider} ± {}.",
            words.toe_with(change.toe, rim_of(job)),
            words.camber_with(change.camber),
            words.length(change.half_track.abs()),
            words.length(change.half_track_doubt)
        )
    }
}

//! Read: what the entries of a round come to.

use super::{CheckRow, State, checks, reversal_of};
use crate::document::{
    Axle, AxleRound, AxleTarget, CamberBy, Corner, Entry, Job, KitCard, Moment, Named, Pair,
    PhonePair, Preferences, Problem, Round, Side, SwingRead, ToeBy, Unit, WheelRound,
};
use crate::plan::{Target, Verdict, verdict};
use crate::quantity::{Angle, Length, Limit, fixed};
use crate::reading::{
    AngleSample, AxleCamber, AxleToe, Estimate, Hubs, LengthSample, ReadingError, Rolled,
    SteeringAxis, StringLines, Swing, Taper, angle_to_string, camber_by_plumb, caster_multiplier,
    mean_of, total_toe_by_treads,
};

/// The two ways of toe.
pub const TOE_WAYS: [&str; 2] = ["toe-in", "toe-out"];
/// The two ways of camber.
pub const CAMBER_WAYS: [&str; 2] = ["top out", "top in"];
/// How finely a turn plate or a protractor on the floor is read (common practice, no source).
const STEER_DIVISION: Angle = Angle::degrees(1.0);
/// The two ways of a floor.
pub const FLOOR_WAYS: [&str; 2] = ["left side higher", "right side higher"];

/// What one wheel's readings come to.
#[derive(Clone, Debug, PartialEq)]
pub struct WheelResult {
    /// Which wheel.
    pub corner: Corner,
    /// Toe.
    pub toe: Option<Estimate>,
    /// Camber.
    pub camber: Option<Estimate>,
    /// What they say about the target, the worse of both. While one is not read, none, or outside where the other is.
    pub verdict: Option<Verdict>,
    /// Caster and kingpin inclination, of a front wheel whose swing was read.
    pub axis: Option<SteeringAxis>,
}

/// What both wheels of an axle come to together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Together {
    /// Total toe.
    TotalToe,
    /// Half of left toe less right toe.
    Thrust(Axle),
    /// Left camber less right camber.
    CrossCamber,
}

impl Together {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::TotalToe => "Total toe",
            Self::Thrust(Axle::Rear) => "Thrust angle",
            Self::Thrust(Axle::Front) => "Toe with the steering wheel straight",
            Self::CrossCamber => "Camber, left less right",
        }
    }
}

/// What a reading of both wheels together says about a tolerance of the card.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tie {
    /// What it is of.
    pub what: Together,
    /// What it should be.
    pub target: Target,
    /// What the reading says; none while it is not read.
    pub verdict: Option<Verdict>,
}

/// What an axle's readings come to.
#[derive(Clone, Debug, PartialEq)]
pub struct AxleResult {
    /// Which axle.
    pub axle: Axle,
    /// What its wheels should read.
    pub target: Option<AxleTarget>,
    /// The left wheel.
    pub left: WheelResult,
    /// The right wheel.
    pub right: WheelResult,
    /// Total toe.
    pub total_toe: Option<Estimate>,
    /// Camber, left less right.
    pub cross_camber: Option<Estimate>,
    /// Thrust angle, for the rear axle, positive to the right.
    pub thrust: Option<Estimate>,
    /// What the card asks of both wheels together.
    pub ties: Vec<Tie>,
}

impl AxleResult {
    /// The worst that is said of its wheels and of both together. None while one is not read.
    pub fn verdict(&self) -> Option<Verdict> {
        let wheels = self.left.verdict?.max(self.right.verdict?);
        self.ties
            .iter()
            .try_fold(wheels, |sum, tie| Some(sum.max(tie.verdict?)))
    }
}

/// What a round's readings come to.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadResult {
    /// What was to be done before reading.
    pub checks: Vec<CheckRow>,
    /// The axles that the kit adjusts, the rear one first.
    pub axles: Vec<AxleResult>,
    /// What is missing or cannot be read, field by field.
    pub problems: Vec<Problem>,
    /// What should be known about the readings.
    pub notes: Vec<String>,
    /// The formulas with the numbers put in.
    pub working: String,
}

/// The axles that a kit adjusts, the rear one first: it is set before the front.
pub fn axles(card: &KitCard) -> Vec<Axle> {
    [Axle::Rear, Axle::Front]
        .into_iter()
        .filter(|axle| card.target(*axle).is_some())
        .collect()
}

/// A typed length within its limit, or the reason why not.
pub fn length_of(entry: &Entry, limit: Limit) -> Result<Length, String> {
    entry
        .length()
        .and_then(|length| limit.hold_length(length, entry.meant_in()))
        .map_err(|error| error.to_string())
}

/// The distance across the rim, if what was typed can be one.
pub fn rim_of(job: &Job) -> Option<Length> {
    length_of(&job.car.rim, Limit::RimDiameter).ok()
}

/// A typed angle with its way, within its limit, or the reason why not.
pub fn angle_of(entry: &Entry, limit: Limit) -> Result<Angle, String> {
    let angle = match limit {
        Limit::GaugeDivision | Limit::PhoneStep | Limit::PhoneTurn | Limit::Steer => {
            entry.division()
        }
        Limit::FloorSlope => entry.angle(FLOOR_WAYS),
        _ => entry.angle(CAMBER_WAYS),
    };
    angle
        .and_then(|angle| limit.hold_angle(angle))
        .map_err(|error| error.to_string())
}

/// A typed toe with its way, within its limit, or the reason why not.
pub fn toe_of(entry: &Entry, rim: Option<Length>) -> Result<Angle, String> {
    entry
        .toe(rim)
        .and_then(|toe| Limit::Toe.hold_angle(toe))
        .map_err(|error| error.to_string())
}

/// A round to be filled: a first row everywhere, and the instruments of the round before.
pub fn new_round(job: &Job, started: Moment) -> Round {
    let pair = || vec![Pair::default()];
    let wheel = || WheelRound {
        string: pair(),
        toe: vec![Entry::default()],
        plumb: pair(),
        camber: vec![Entry::default()],
        phone: Vec::new(),
        swing: None,
    };
    let axle = |before: Option<&AxleRound>| AxleRound {
        toe_by: before.map_or(ToeBy::Strings, |before| before.toe_by),
        camber_by: before.map_or(CamberBy::Plumb, |before| before.camber_by),
        treads: pair(),
        tread_points: before
            .map(|before| before.tread_points.clone())
            .unwrap_or_default(),
        floor: before
            .map(|before| before.floor.clone())
            .unwrap_or_default(),
        floor_phone: before
            .map(|before| before.floor_phone.clone())
            .unwrap_or_default(),
        left: wheel(),
        right: wheel(),
    };
    let before = job.rounds.last();
    let typed = |text: &str, unit| Entry {
        text: text.into(),
        unit,
        sense: None,
    };
    Round {
        started,
        rule: before.map_or_else(
            || typed("0.5", Unit::Millimetre),
            |before| before.rule.clone(),
        ),
        gauge: before.map_or_else(|| typed("0.1", Unit::Degree), |before| before.gauge.clone()),
        checks: Named::default(),
        strings: before
            .map(|before| before.strings.clone())
            .unwrap_or_default(),
        front: axle(before.map(|before| &before.front)),
        rear: axle(before.map(|before| &before.rear)),
        taken: Named::default(),
    }
}

/// Collects what cannot be used, so that one bad field does not hide the others.
struct Reader<'a> {
    job: &'a Job,
    problems: Vec<Problem>,
    working: Vec<String>,
}

impl Reader<'_> {
    fn problem(&mut self, field: &str, message: impl ToString) {
        let problem = Problem::at(field, message.to_string());
        if !self.problems.contains(&problem) {
            self.problems.push(problem);
        }
    }

    /// A length that is needed.
    fn length(&mut self, field: &str, entry: &Entry, limit: Limit) -> Option<Length> {
        match length_of(entry, limit) {
            Ok(length) => Some(length),
            Err(message) => {
                self.problem(field, message);
                None
            }
        }
    }

    fn division(&mut self, field: &str, entry: &Entry) -> Option<Angle> {
        angle_of(entry, Limit::GaugeDivision)
            .map_err(|message| self.problem(field, message))
            .ok()
    }

    fn rule(&mut self, round: &Round) -> Option<Length> {
        self.length(
            "Smallest division of the rule or tape",
            &round.rule,
            Limit::RuleDivision,
        )
    }

    fn rim(&mut self) -> Option<Length> {
        let entry = &self.job.car.rim;
        self.length("Across the rim, edge to edge", entry, Limit::RimDiameter)
    }

    fn single(
        &mut self,
        field: &str,
        entry: &Entry,
        limit: Limit,
        division: Length,
    ) -> Option<LengthSample> {
        let length = self.length(field, entry, limit)?;
        LengthSample::of(&[length], division).ok()
    }

    /// Pairs read together. A pair with one empty half is a problem; an empty pair is not there.
    fn pairs(
        &mut self,
        field: &str,
        names: [&str; 2],
        pairs: &[Pair],
        limit: Limit,
        division: Length,
    ) -> Option<Rolled> {
        let (mut found, mut rolled) = (Vec::new(), Vec::new());
        let mut fine = true;
        for pair in pairs
            .iter()
            .filter(|pair| !(pair.first.is_empty() && pair.second.is_empty()))
        {
            let [one, two] = names;
            let first = self.length(&format!("{field}, {one}"), &pair.first, limit);
            let second = self.length(&format!("{field}, {two}"), &pair.second, limit);
            match first.zip(second) {
                Some(both) if pair.rolled => rolled.push(both),
                Some(both) => found.push(both),
                None => fine = false,
            }
        }
        match Rolled::of(&found, &rolled, division) {
            Ok(pairs) if fine => Some(pairs),
            Ok(_) => None,
            Err(error) => {
                if fine {
                    self.problem(field, error);
                }
                None
            }
        }
    }

    fn angles(
        &mut self,
        field: &str,
        entries: &[Entry],
        division: Angle,
        read: impl Fn(&Entry) -> Result<Angle, String>,
    ) -> Option<Estimate> {
        let mut angles = Vec::new();
        let mut fine = true;
        for entry in entries.iter().filter(|entry| !entry.is_empty()) {
            match read(entry) {
                Ok(angle) => angles.push(angle),
                Err(message) => {
                    fine = false;
                    self.problem(field, message);
                }
            }
        }
        match AngleSample::of(&angles, division) {
            Ok(sample) if fine => Some(sample.estimate()),
            Ok(_) => None,
            Err(error) => {
                if fine {
                    self.problem(field, error);
                }
                None
            }
        }
    }

    fn keep(&mut self, field: &str, result: Result<Estimate, ReadingError>) -> Option<Estimate> {
        result.map_err(|error| self.problem(field, error)).ok()
    }

    /// How the strings run.
    fn lines(&mut self, round: &Round, division: Length) -> Option<StringLines> {
        let strings = &round.strings;
        let mut hub =
            |field: &str, entry: &Entry| self.single(field, entry, Limit::StringDistance, division);
        let left_front = hub("Left front hub", &strings.left_front);
        let left_rear = hub("Left rear hub", &strings.left_rear);
        let right_front = hub("Right front hub", &strings.right_front);
        let right_rear = hub("Right rear hub", &strings.right_rear);
        let hubs = Hubs {
            left_front: left_front?,
            left_rear: left_rear?,
            right_front: right_front?,
            right_rear: right_rear?,
        };
        let car = &self.job.car;
        let wheelbase = self.length("Wheelbase, axle to axle", &car.wheelbase, Limit::Wheelbase)?;
        let spacing = [&strings.ahead, &strings.behind, &strings.apart];
        let taper = if spacing.iter().all(|entry| entry.is_empty()) {
            if car.front_track.is_empty() && car.rear_track.is_empty() {
                self.problem("Front track and rear track", "Enter both, or the strings' spacing ahead and behind instead: they tell how far the strings spread.");
                return None;
            }
            let front = self.single(
                "Front track, hub face to hub face",
                &car.front_track,
                Limit::Track,
                division,
            );
            let rear = self.single(
                "Rear track, hub face to hub face",
                &car.rear_track,
                Limit::Track,
                division,
            );
            Taper::Tracks {
                front: front?,
                rear: rear?,
            }
        } else {
            let ahead = self.single(
                "String to string, ahead",
                &strings.ahead,
                Limit::StringSpacing,
                division,
            );
            let behind = self.single(
                "String to string, behind",
                &strings.behind,
                Limit::StringSpacing,
                division,
            );
            let apart = self.length("From there to there", &strings.apart, Limit::SpacingApart);
            Taper::Spacing {
                ahead: ahead?,
                behind: behind?,
                apart: apart?,
            }
        };
        match StringLines::of(&hubs, wheelbase, &taper) {
            Ok(lines) => Some(lines),
            Err(error) => {
                self.problem("Strings", error);
                None
            }
        }
    }

    fn toe(&mut self, round: &Round, axle: Axle, notes: &mut Vec<String>) -> AxleToe {
        let entries = round.axle(axle);
        let wheels = [(Side::Left, &entries.left), (Side::Right, &entries.right)];
        let words = Preferences::default();
        match entries.toe_by {
            ToeBy::Strings => {
                let (Some(division), Some(rim)) = (self.rule(round), self.rim()) else {
                    return AxleToe::default();
                };
                let lines = self.lines(round, division);
                let [left, right] = wheels.map(|(side, wheel)| {
                    let name = axle.corner(side).words();
                    let edges = self.pairs(&format!("{name}, string to rim"), ["front edge", "rear edge"], &wheel.string, Limit::StringDistance, division)?;
                    notes.extend(runout_note(name, &edges));
                    let angle = self.keep(&format!("{name}, string to rim"), angle_to_string(&edges, rim))?;
                    self.working.push(format!("{name}: asin((front − rear) / rim) = asin({} mm / {} mm) = {} to its string", fixed(edges.difference.as_mm(), 2), fixed(rim.as_mm(), 1), words.way(angle.value, TOE_WAYS)));
                    Some(angle)
                });
                let Some(lines) = lines else {
                    return AxleToe::default();
                };
                self.working.push(format!(
                    "strings: skew {} and taper {}, so the left one leaves the car by {} and the right one by {}; each is taken from its wheel's angle",
                    words.angle(lines.skew.value),
                    words.angle(lines.taper.value),
                    words.angle(lines.left().value),
                    words.angle(lines.right().value)
                ));
                AxleToe::by_strings(left, right, &lines)
            }
            ToeBy::Treads => {
                let Some(division) = self.rule(round) else {
                    return AxleToe::default();
                };
                let field = format!("Between treads, {} axle", axle.words());
                let edges = self.pairs(
                    &field,
                    ["ahead", "behind"],
                    &entries.treads,
                    Limit::TreadDistance,
                    division,
                );
                let marks = self.length(
                    &format!("Between the two marks of one tyre, {} axle", axle.words()),
                    &entries.tread_points,
                    Limit::TyreDiameter,
                );
                let total = edges.zip(marks).and_then(|(edges, marks)| {
                    self.working.push(format!("{} axle: total toe = 2 asin((behind − ahead) / 2 D) = 2 asin({} mm / {} mm)", axle.words(), fixed(-edges.difference.as_mm(), 2), fixed(marks.as_mm() * 2.0, 1)));
                    self.keep(&field, total_toe_by_treads(&edges, marks))
                });
                if total.is_some() {
                    notes.push(format!("The {} axle's toe was read across the treads: it is total toe, taken as half to each wheel. Where the axle points is not known, and no wheel is inside for certain.", axle.words()));
                }
                total.map(AxleToe::by_total).unwrap_or_default()
            }
            ToeBy::Rack => {
                let Some(division) =
                    self.division("Smallest division of the gauge or rack", &round.gauge)
                else {
                    return AxleToe::default();
                };
                let rim = rim_of(self.job);
                let [left, right] = wheels.map(|(side, wheel)| {
                    self.angles(
                        &format!("{}, toe", axle.corner(side).words()),
                        &wheel.toe,
                        division,
                        |entry| toe_of(entry, rim),
                    )
                });
                AxleToe::by_wheels(left, right)
            }
        }
    }

    fn camber(&mut self, round: &Round, axle: Axle, notes: &mut Vec<String>) -> AxleCamber {
        let entries = round.axle(axle);
        let wheels = [(Side::Left, &entries.left), (Side::Right, &entries.right)];
        let [left, right] = match entries.camber_by {
            CamberBy::Plumb => {
                let (Some(division), Some(rim)) = (self.rule(round), self.rim()) else {
                    return AxleCamber::default();
                };
                wheels.map(|(side, wheel)| {
                    let name = axle.corner(side).words();
                    let field = format!("{name}, plumb line to rim");
                    let edges = self.pairs(
                        &field,
                        ["top edge", "bottom edge"],
                        &wheel.plumb,
                        Limit::PlumbOffset,
                        division,
                    )?;
                    notes.extend(runout_note(name, &edges));
                    self.working.push(format!(
                        "{name}: camber = −asin((top − bottom) / rim) = −asin({} mm / {} mm)",
                        fixed(edges.difference.as_mm(), 2),
                        fixed(rim.as_mm(), 1)
                    ));
                    self.keep(&field, camber_by_plumb(&edges, rim))
                })
            }
            CamberBy::Phone => wheels.map(|(side, wheel)| {
                let name = axle.corner(side).words();
                let lean =
                    self.phone(&format!("{name}, phone along the rim"), &wheel.phone, notes)?;
                // A lean to the right is out on the right, and in on the left.
                Some(match side {
                    Side::Left => lean.times(-1.0),
                    Side::Right => lean,
                })
            }),
            CamberBy::Gauge | CamberBy::Rack => {
                let Some(division) =
                    self.division("Smallest division of the gauge or rack", &round.gauge)
                else {
                    return AxleCamber::default();
                };
                wheels.map(|(side, wheel)| {
                    self.angles(
                        &format!("{}, camber", axle.corner(side).words()),
                        &wheel.camber,
                        division,
                        |entry| angle_of(entry, Limit::Camber),
                    )
                })
            }
        };
        // A rack knows its own floor.
        let rack = entries.camber_by == CamberBy::Rack;
        let (floor, floor_phone) = (&entries.floor, &entries.floor_phone);
        let unread = floor.is_empty() && floor_phone.is_empty();
        if !rack && unread && left.or(right).is_some() {
            notes.push(format!("The floor across the {} axle is taken as level: its slope was not read, and all of it is in the camber.", axle.words()));
        }
        let field = format!("Floor across the {} axle", axle.words());
        let slope = if rack || unread {
            Some(Estimate::new(Angle::ZERO, Angle::ZERO))
        } else if !floor_phone.is_empty() {
            self.phone(&field, floor_phone, notes).and_then(|slope| {
                let held = Limit::FloorSlope.hold_angle(slope.value);
                held.map_err(|error| self.problem(&field, error)).ok()?;
                Some(slope)
            })
        } else {
            let division = self.division("Smallest division of the gauge or rack", &round.gauge);
            division.and_then(|division| {
                self.angles(&field, std::slice::from_ref(floor), division, |entry| {
                    angle_of(entry, Limit::FloorSlope)
                })
            })
        };
        match slope {
            Some(slope) => AxleCamber::on_floor(left, right, slope),
            None => AxleCamber::default(),
        }
    }

    /// The lean of a bar to the right, from a phone's pairs of positions.
    fn phone(
        &mut self,
        field: &str,
        pairs: &[PhonePair],
        notes: &mut Vec<String>,
    ) -> Option<Estimate> {
        let words = Preferences::default();
        let mut leans = Vec::new();
        for pair in pairs {
            match reversal_of(pair) {
                Ok(reversal) => {
                    let [a, b] = reversal.positions();
                    self.working.push(format!(
                        "{field}: lean = (A − B) / 2 = ({} − {}) / 2 = {}, zero = (A + B) / 2 = {}, taken out; the sensor steps by {}°",
                        words.angle(a),
                        words.angle(b),
                        words.way(reversal.lean.value, ["to the right", "to the left"]),
                        words.angle(reversal.zero.value),
                        pair.a.step.text,
                    ));
                    leans.push(reversal.lean);
                }
                Err(message) => self.problem(field, message),
            }
        }
        if leans.len() < pairs.len() {
            return None;
        }
        if leans.len() == 1 {
            notes.push(format!("{field}: taken once, so how the phone and the bar sit anew is not in its uncertainty. Take A and B again to know it."));
        }
        let lean = mean_of(&leans);
        if lean.is_none() {
            self.problem(field, ReadingError::Nothing);
        }
        lean
    }

    /// Caster and kingpin inclination from a swing.
    fn axis(&mut self, round: &Round, corner: Corner, swing: &SwingRead) -> Option<SteeringAxis> {
        if swing.left.is_empty() && swing.right.is_empty() {
            return None;
        }
        let name = corner.words();
        let division = self.division("Smallest division of the gauge or rack", &round.gauge)?;
        let mut read = |what: &str, entry: &Entry, limit: Limit, division: Angle| {
            let angle = angle_of(entry, limit)
                .map_err(|message| self.problem(&format!("{name}, {what}"), message));
            let sample = AngleSample::of(&[angle.ok()?], division);
            sample.ok().map(AngleSample::estimate)
        };
        let steer = read("steer each way", &swing.steer, Limit::Steer, STEER_DIVISION);
        let left = read(
            "camber steered left",
            &swing.left,
            Limit::SteeredCamber,
            division,
        );
        let right = read(
            "camber steered right",
            &swing.right,
            Limit::SteeredCamber,
            division,
        );
        let straight = if swing.straight.is_empty() {
            None
        } else {
            Some(read(
                "camber straight ahead",
                &swing.straight,
                Limit::SteeredCamber,
                division,
            )?)
        };
        let (steer, left, right) = (steer?, left?, right?);
        // Steered left, the left wheel's front turns outward.
        let (outward, inward) = match corner.side() {
            Side::Left => (left, right),
            Side::Right => (right, left),
        };
        let swing = Swing {
            steer,
            outward,
            inward,
            straight,
        };
        let words = Preferences::default();
        self.working.push(format!(
            "{name}: caster ≈ (outward − inward) / (2 sin steer) = ({} − {}) × {} = {}; the exact axis is what is shown",
            words.angle(outward.value),
            words.angle(inward.value),
            fixed(caster_multiplier(steer.value), 3),
            words.angle((outward.value - inward.value) * caster_multiplier(steer.value)),
        ));
        swing
            .axis()
            .map_err(|error| self.problem(&format!("{name}, caster swing"), error))
            .ok()
    }
}

fn runout_note(name: &str, edges: &Rolled) -> Option<String> {
    match edges.runout {
        None => Some(format!(
            "{name}: read at one position only, so the rim's runout is in it. Roll half a wheel turn and read again to take it out."
        )),
        Some(runout) if runout.abs() > Length::mm(1.0) => Some(format!(
            "{name}: the rim runs out by {}; it is taken out.",
            Preferences::default().length(runout.abs())
        )),
        Some(_) => None,
    }
}

/// The target of an axle as the plan takes it: toe, then camber.
pub fn targets(target: &AxleTarget) -> (Target, Target) {
    let of = |target: crate::document::Target| Target {
        aim: target.aim,
        tolerance: target.tolerance,
    };
    (of(target.toe), of(target.camber))
}

/// What a card asks of both wheels of an axle together.
pub fn ties(target: &AxleTarget) -> Vec<(Together, Target)> {
    let sum = target.toe.aim + target.toe.aim;
    [
        (Together::TotalToe, sum, target.total_toe),
        (Together::Thrust(target.axle), Angle::ZERO, target.thrust),
        (Together::CrossCamber, Angle::ZERO, target.cross_camber),
    ]
    .into_iter()
    .filter_map(|(what, aim, tolerance)| {
        let tolerance = tolerance?;
        Some((what, Target { aim, tolerance }))
    })
    .collect()
}

/// What a round's readings come to. None where the job has no such round.
pub fn read(job: &Job, index: usize) -> Option<ReadResult> {
    let round = job.rounds.get(index)?;
    let mut reader = Reader {
        job,
        problems: Vec::new(),
        working: Vec::new(),
    };
    let mut notes = Vec::new();
    let axles = axles(&job.card)
        .into_iter()
        .map(|axle| {
            let toe = reader.toe(round, axle, &mut notes);
            let camber = reader.camber(round, axle, &mut notes);
            let target = job.card.target(axle).cloned();
            let mut wheel = |side: Side, toe: Option<Estimate>, camber: Option<Estimate>| {
                let corner = axle.corner(side);
                let (of_toe, of_camber) = target.as_ref().map(targets).unzip();
                let toe_verdict = toe.zip(of_toe).map(|(toe, target)| {
                    // Half of a total is no wheel's own toe.
                    verdict(toe, target).max(match round.axle(axle).toe_by {
                        ToeBy::Treads => Verdict::InsideByReading,
                        ToeBy::Strings | ToeBy::Rack => Verdict::InsideForCertain,
                    })
                });
                let camber_verdict = camber
                    .zip(of_camber)
                    .map(|(camber, target)| verdict(camber, target));
                WheelResult {
                    corner,
                    toe,
                    camber,
                    verdict: match (toe_verdict, camber_verdict) {
                        (Some(toe), Some(camber)) => Some(toe.max(camber)),
                        // What is not read may be outside too, so nothing better is said.
                        (one, other) => one.or(other).filter(|one| *one == Verdict::Outside),
                    },
                    axis: round
                        .axle(axle)
                        .wheel(side)
                        .swing
                        .as_ref()
                        .filter(|_| axle == Axle::Front)
                        .and_then(|swing| reader.axis(round, corner, swing)),
                }
            };
            let ties = target.as_ref().map(|target| {
                ties(target)
                    .into_iter()
                    .map(|(what, target)| {
                        let value = match what {
                            Together::TotalToe => toe.total,
                            Together::Thrust(_) => toe.thrust,
                            Together::CrossCamber => camber.cross,
                        };
                        let verdict = value.map(|value| verdict(value, target));
                        Tie {
                            what,
                            target,
                            verdict,
                        }
                    })
                    .collect()
            });
            AxleResult {
                axle,
                ties: ties.unwrap_or_default(),
                left: wheel(Side::Left, toe.left, camber.left),
                right: wheel(Side::Right, toe.right, camber.right),
                target,
                total_toe: toe.total,
                cross_camber: camber.cross,
                thrust: toe.thrust.filter(|_| axle == Axle::Rear),
            }
        })
        .collect();
    notes.dedup();
    Some(ReadResult {
        checks: checks(job, index)?,
        axles,
        problems: reader.problems,
        notes,
        working: reader.working.join("\n"),
    })
}

impl ReadResult {
    /// Where the formulas come from.
    pub const SOURCE: &str = "Plane trigonometry; signs after ISO 8855:2011. ± is one standard uncertainty: the rule's division as a rectangular distribution, and the spread of repeats (JCGM 100:2008).";

    /// Whether all was done before reading.
    pub fn settled(&self) -> bool {
        self.checks.iter().all(CheckRow::done)
    }

    /// The worst verdict over all wheels. None while one is not read.
    pub fn verdict(&self) -> Option<Verdict> {
        let mut verdicts = self.axles.iter().map(AxleResult::verdict);
        verdicts.try_fold(Verdict::InsideForCertain, |sum, verdict| {
            Some(sum.max(verdict?))
        })
    }

    /// What is said of a wheel: its verdict, if the car was settled.
    pub fn says(&self, verdict: Verdict) -> (State, &'static str) {
        if self.settled() {
            (verdict_state(verdict), verdict_words(verdict))
        } else {
            (State::Begun, NOT_SETTLED)
        }
    }
}

/// In place of a verdict on a car that was not settled.
pub const NOT_SETTLED: &str = "not settled: do the checks first";

/// A verdict in words.
pub const fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::InsideForCertain => "inside for certain",
        Verdict::InsideByReading => "inside by reading only",
        Verdict::CannotTell => "cannot tell: read again",
        Verdict::Outside => "outside",
    }
}

/// A verdict as a state.
pub const fn verdict_state(verdict: Verdict) -> State {
    match verdict {
        Verdict::InsideForCertain => State::Done,
        Verdict::InsideByReading | Verdict::CannotTell => State::Begun,
        Verdict::Outside => State::Wrong,
    }
}

/// How the Read station stands, done once the car was settled and every wheel's toe and camber are read; and how the Turn station does, by the verdict over
/// all wheels of the last round, on a car that was settled.
pub fn read_and_turn_states(job: &Job) -> [State; 2] {
    let last = job.rounds.len().checked_sub(1);
    let Some(result) = last.and_then(|last| read(job, last)) else {
        return [State::Open; 2];
    };
    let is_read = |wheel: &WheelResult| wheel.toe.is_some() && wheel.camber.is_some();
    let mut axles = result.axles.iter();
    let all_read = axles.all(|axle| is_read(&axle.left) && is_read(&axle.right));
    let read = match result.settled() && all_read {
        true => State::Done,
        false => State::Begun,
    };
    let turn = result.verdict().map(|verdict| result.says(verdict).0);
    [read, turn.unwrap_or(State::Open)]
}

//! What each adjuster of a corner does to its wheel, where that comes from and how sure it is, and what all rounds so far tell of both.

use super::base::{SAME, lower_first, measure};
use super::turn::{step_of, stood_before};
use super::{length_of, read};
use crate::adjuster::{Mechanism, Position};
use crate::document::{Adjuster, CamberSense, Corner, CornerGeometry, Entry, Job, Role, ToeSense};
use crate::linkage::{JointLimit, Linkage, Mover, OverRange, Range};
use crate::plan::{Belief, Doubts, Rate, Reading, predict, rate_doubts, rates_at};
use crate::quantity::{Angle, Fixed, Length, LengthUnit, Limit};

/// How well a card's lever arm gives a rate, as a relative standard uncertainty: common practice, no source.
const CARD_ARM: f64 = 0.05;
/// How well a lever arm taped on the car does: common practice, no source.
const TAPED_ARM: f64 = 0.10;
/// Where there is no arm the adjuster is taken to move that angle not at all, but for this share of what it does to the other: common practice, no source.
const NO_ARM: f64 = 0.2;
/// How far a car's points may be from the drawn ones along each axis where the card does not say: a tape's accuracy, common practice, no source.
pub(super) const POINT: Length = Length::mm(5.0);
/// How far a link may be off its drawn length when its adjuster stands where the plan takes it: common practice, no source.
const LINK: Length = Length::mm(8.0);
/// How well a rule tells where an end stands, as a standard uncertainty: common practice, no source.
const RULE: Length = Length::mm(0.5);
/// To what toe and camber a car settles again that was rolled or raised between two readings, as a standard uncertainty: common practice, no source.
const SETTLED: Angle = Angle::degrees(0.03);
/// A reading further than this from what is believed, in standard deviations, comes with one in 16 000 of honest turns and readings.
const SURPRISE: f64 = 4.0;

/// Where a rate comes from before any turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RateSource {
    /// The card's hardpoints, exactly.
    Geometry,
    /// The card's lever arms.
    CardArms,
    /// Lever arms taped on the car.
    TapedArms,
}

/// Where a rate comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RateBasis {
    /// What is drawn or measured.
    pub source: RateSource,
    /// Turns of the adjuster with a reading before and after.
    pub turns: usize,
    /// Whether one of them was its alone and has told most of what is known: a trial turn.
    pub trial: bool,
}

impl RateBasis {
    /// In words.
    pub fn words(&self) -> String {
        let source = match self.source {
            RateSource::Geometry => "geometry of the card",
            RateSource::CardArms => "lever arms of the card",
            RateSource::TapedArms => "lever arms by tape",
        };
        match (self.trial, self.turns) {
            (true, 1) => "a trial turn".into(),
            (true, turns) => format!("{turns} turns read, one of them a trial turn"),
            (_, 0) => source.into(),
            (_, 1) => format!("{source} and 1 turn read"),
            (_, turns) => format!("{source} and {turns} turns read"),
        }
    }
}

/// How far a point may be off along one axis as a standard uncertainty: anywhere within it alike (JCGM 100:2008, 4.3.7).
pub(super) fn deviation(most: Length) -> Length {
    most * (1.0 / 3.0_f64.sqrt())
}

/// The rate of an adjuster from its lever arms: `1 / arm` radians per metre of travel, signed by what lengthening does, with its relative standard
/// uncertainty. An arm taped on the car stands in for the card's.
///
/// # Errors
/// A taped arm that cannot be read.
pub fn rate_by_arms(job: &Job, adjuster: &Adjuster) -> Result<(Rate, f64, RateSource), String> {
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
    };
    Ok(if by_tape {
        (rate, TAPED_ARM, RateSource::TapedArms)
    } else {
        (rate, CARD_ARM, RateSource::CardArms)
    })
}

/// What is drawn of a corner.
pub(super) struct Drawn {
    /// As the card gives it.
    pub(super) corner: CornerGeometry,
    /// Ready to be solved, every adjuster at its base.
    pub(super) linkage: Linkage,
    /// What its joints may do.
    pub(super) limits: Vec<JointLimit>,
    /// The travel and the steer over which they are looked at.
    pub(super) range: Range,
}

impl Drawn {
    /// The drawing of a corner; none where the card has none that can be solved.
    pub(super) fn of(job: &Job, corner: Corner) -> Option<Self> {
        let corner = job.card.geometry_of(corner)?;
        let linkage = Linkage::new(&corner.geometry()).ok()?;
        Some(Self {
            limits: corner.limits(),
            range: corner.range(),
            corner,
            linkage,
        })
    }

    /// How far its points may be off, as a standard uncertainty along each axis.
    pub(super) fn deviation(&self) -> Length {
        deviation(self.corner.accuracy.unwrap_or(POINT))
    }

    /// How its joints keep their limits as it is set.
    pub(super) fn over(&self, set: &Linkage) -> OverRange {
        set.over(&self.range, &self.limits)
    }

    /// What each limit is of, at each end of travel and steer as it is set: limit by limit within end by end.
    fn values(&self, set: &Linkage) -> Vec<f64> {
        let ends = set.ends_of(&self.range);
        let values = ends.iter().flat_map(|(steered, pose)| {
            let limits = self.limits.iter();
            limits.map(move |limit| limit.value(steered, pose))
        });
        values.collect()
    }
}

/// What a limit is of, and how fast it changes with each adjuster.
pub(super) struct Strain {
    value: f64,
    slopes: Vec<f64>,
    /// Within what a straight line may miss.
    bounds: [f64; 2],
}

/// The travel over which a strain's slopes are taken.
const SLOPE: Length = Length::mm(1.0);
/// What a straight line may miss within any thread: of a lean's sine, a tenth of a degree, and of a half-shaft's length, in metres. What it misses beyond
/// that the exact look at the plan finds.
const BENT: [f64; 2] = [0.002, 0.0005];

impl Strain {
    /// Whether it stays within its limit after these travels, by a straight line and what that may miss.
    pub(super) fn keeps(&self, travels: &[(usize, Length)]) -> bool {
        let moved: f64 = travels
            .iter()
            .filter_map(|(place, travel)| Some(self.slopes.get(*place)? * travel.as_metres()))
            .sum();
        let [least, most] = self.bounds;
        (least..=most).contains(&(self.value + moved))
    }
}

/// A corner's adjusters, and what they do.
pub(super) struct Model<'a> {
    /// In the order of the card.
    pub(super) adjusters: Vec<&'a Adjuster>,
    drawn: Option<Drawn>,
    /// What each moves of the drawing, nothing where its lever arms stand for it.
    movers: Vec<Mover>,
    /// The lever arms' rates, relative uncertainties and source; of the drawing, where it is the source, they are not used.
    arms: Vec<(Rate, f64, RateSource)>,
}

impl<'a> Model<'a> {
    /// The adjusters of a corner. Hardpoints stand before lever arms, and what was taped on the car before both.
    ///
    /// # Errors
    /// Taped arms that cannot be read.
    pub(super) fn of(job: &'a Job, corner: Corner) -> Result<Self, String> {
        let of_corner = |adjuster: &&Adjuster| adjuster.corner == corner;
        let adjusters: Vec<_> = job.card.adjusters.iter().filter(of_corner).collect();
        let drawn = Drawn::of(job, corner);
        let mut model = Self {
            adjusters: Vec::new(),
            drawn: None,
            movers: Vec::new(),
            arms: Vec::new(),
        };
        for adjuster in &adjusters {
            let mut arms = rate_by_arms(job, adjuster)?;
            let mover = drawn
                .as_ref()
                .zip(adjuster.moves.as_ref())
                .filter(|_| arms.2 != RateSource::TapedArms)
                .map(|(drawn, moves)| drawn.corner.mover(moves));
            if mover.is_some() {
                arms.2 = RateSource::Geometry;
            }
            model.arms.push(arms);
            model.movers.push(mover.unwrap_or_default());
        }
        model.drawn = drawn.filter(|_| {
            let mut sources = model.arms.iter().map(|(_, _, source)| *source);
            sources.any(|source| source == RateSource::Geometry)
        });
        model.adjusters = adjusters;
        Ok(model)
    }

    /// Where each rate comes from.
    pub(super) fn source(&self, place: usize) -> RateSource {
        self.arms
            .get(place)
            .map_or(RateSource::CardArms, |(_, _, source)| *source)
    }

    /// The rates with each adjuster so far from its base; none where the drawn corner cannot stand so.
    pub(super) fn rates(&self, travels: &[Length]) -> Option<Vec<Rate>> {
        let exact = match &self.drawn {
            None => Vec::new(),
            Some(drawn) => {
                let set = drawn.linkage.set(&self.movers, travels);
                rates_at(&set, &[Length::ZERO; 5], &self.movers)?
            }
        };
        let one = |(place, (arms, _, source)): (usize, &(Rate, f64, RateSource))| match source {
            RateSource::Geometry => exact.get(place).copied(),
            _ => Some(*arms),
        };
        self.arms.iter().enumerate().map(one).collect()
    }

    /// The rates half way through a turn, which over all of it are right to the second order.
    pub(super) fn rates_over(&self, from: &[Length], by: &[Length]) -> Option<Vec<Rate>> {
        let half: Vec<_> = from.iter().zip(by).map(|(a, b)| *a + *b * 0.5).collect();
        self.rates(&half)
    }

    /// What is not known of the rates before any turn.
    pub(super) fn doubts(&self) -> Doubts {
        let size = 2 * self.arms.len();
        let drawn = self.drawn.as_ref().and_then(|drawn| {
            rate_doubts(
                &drawn.corner.geometry(),
                &self.movers,
                drawn.deviation(),
                deviation(LINK),
            )
        });
        let exact = drawn.is_some();
        let mut doubts = drawn.unwrap_or_else(|| vec![vec![0.0; size]; size]);
        for (place, (rate, share, source)) in self.arms.iter().enumerate() {
            if *source == RateSource::Geometry && exact {
                continue;
            }
            let off = |rate: f64, other: f64| {
                if rate == 0.0 {
                    other * NO_ARM
                } else {
                    rate * share
                }
                .powi(2)
            };
            let (toe, camber) = (off(rate.toe, rate.camber), off(rate.camber, rate.toe));
            for (row, square) in [(2 * place, toe), (2 * place + 1, camber)] {
                if let Some(cell) = doubts.get_mut(row).and_then(|cells| cells.get_mut(row)) {
                    *cell = square;
                }
            }
        }
        doubts
    }

    /// Whether joints have limits here.
    pub(super) fn limited(&self) -> bool {
        let drawn = self.drawn.as_ref();
        drawn.is_some_and(|drawn| !drawn.limits.is_empty())
    }

    /// The joints that pass their limits somewhere in travel and steer with each adjuster so far from its base, and where the links end before that, in
    /// sentences.
    pub(super) fn passing(&self, travels: &[Length]) -> Vec<String> {
        let Some(drawn) = self.drawn.as_ref().filter(|_| self.limited()) else {
            return Vec::new();
        };
        drawn
            .over(&drawn.linkage.set(&self.movers, travels))
            .problems(
                &drawn.limits,
                &drawn.corner.geometry(),
                LengthUnit::Millimetre,
            )
    }

    /// What each joint with a limit does at the ends of travel and steer about where the adjusters stand: cheap enough to ask of every combination of steps.
    /// None where a travel that small cannot be solved.
    pub(super) fn strains(&self, from: &[Length]) -> Option<Vec<Strain>> {
        let Some(drawn) = self.drawn.as_ref().filter(|_| self.limited()) else {
            return Some(Vec::new());
        };
        let values = |travels: &[Length]| drawn.values(&drawn.linkage.set(&self.movers, travels));
        let now = values(from);
        let mut strains: Vec<Strain> = now
            .iter()
            .zip(drawn.limits.iter().cycle())
            .map(|(value, limit)| {
                let [least, most] = limit.bounds();
                let [of_sine, of_length] = BENT;
                let bent = match limit {
                    JointLimit::RodEnd { .. } => of_sine,
                    JointLimit::HalfShaft { .. } => of_length,
                };
                Strain {
                    value: *value,
                    slopes: Vec::new(),
                    bounds: [least + bent, most - bent],
                }
            })
            .collect();
        for place in 0..from.len() {
            let mut further = from.to_vec();
            if let Some(travel) = further.get_mut(place) {
                *travel = *travel + SLOPE;
            }
            let then = values(&further);
            // Ends that a millimetre more does not reach would be taken for others.
            if then.len() != now.len() {
                return None;
            }
            for ((strain, then), now) in strains.iter_mut().zip(then).zip(&now) {
                strain.slopes.push((then - now) / SLOPE.as_metres());
            }
        }
        // The one nearest to its limit first: it is the one that forbids most.
        let share = |strain: &Strain| {
            let [least, most] = strain.bounds;
            (strain.value / least).max(strain.value / most)
        };
        let mut worst = (0, f64::NEG_INFINITY);
        for (place, strain) in strains.iter().enumerate() {
            if share(strain) > worst.1 {
                worst = (place, share(strain));
            }
        }
        if worst.0 > 0 {
            strains.swap(0, worst.0);
        }
        Some(strains)
    }

    /// How far each adjuster stood from its base before the turns of a round; none where one is not known.
    pub(super) fn travels(&self, job: &Job, round: usize) -> Option<Vec<Length>> {
        let travel = |adjuster: &&Adjuster| {
            let mechanism = &adjuster.mechanism;
            let position = measure(mechanism, stood_before(job, adjuster, round)).1?;
            Some(mechanism.travel(&mechanism.base(), &position))
        };
        self.adjusters.iter().map(travel).collect()
    }
}

/// What a corner's hardpoints say before any reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Foretold {
    /// Which corner.
    pub corner: Corner,
    /// How far each of its points may be off along each axis.
    pub points: Length,
    /// What toe and camber the measured adjusters should give; none while one is not measured. Its uncertainty is that of points so far off, and of a rule
    /// on the thread.
    pub reads: Option<Reading>,
    /// Where the two adjusters that are turned first give the target on the drawn car, the others where they stand, or at their base while they are not
    /// measured; or why no setting does, in a sentence.
    pub at_target: Result<Vec<(String, Position)>, String>,
}

/// What the hardpoints of a corner say of the base, before the car is on strings; none for a corner without any that its adjusters move.
pub fn foretold(job: &Job, corner: Corner) -> Option<Foretold> {
    let drawn = Drawn::of(job, corner)?;
    let target = job.card.target(corner.axle())?;
    let movers: Vec<(&Adjuster, Mover)> = job
        .card
        .adjusters
        .iter()
        .filter(|adjuster| adjuster.corner == corner)
        .filter_map(|adjuster| {
            let moves = adjuster.moves.as_ref()?;
            Some((adjuster, drawn.corner.mover(moves)))
        })
        .collect();
    if movers.is_empty() {
        return None;
    }
    let stands = |adjuster: &Adjuster| {
        let entries = job.settings.get(&adjuster.id);
        measure(
            &adjuster.mechanism,
            entries.map(Vec::as_slice).unwrap_or_default(),
        )
        .1
    };
    let positions: Vec<Option<Position>> = movers
        .iter()
        .map(|(adjuster, _)| stands(adjuster))
        .collect();
    let from_base = |((adjuster, _), position): (&(&Adjuster, Mover), &Option<Position>)| {
        let mechanism = &adjuster.mechanism;
        position.as_ref().map_or(Length::ZERO, |position| {
            mechanism.travel(&mechanism.base(), position)
        })
    };
    let travels: Vec<Length> = movers.iter().zip(&positions).map(from_base).collect();
    let by_rule =
        |adjuster: &Adjuster| RULE * (adjuster.mechanism.ends().len().max(1) as f64).sqrt();
    let known: Vec<_> = movers
        .iter()
        .map(|(adjuster, _)| by_rule(adjuster))
        .collect();
    let moved: Vec<_> = movers.iter().map(|(_, mover)| mover.clone()).collect();
    let reads = if positions.iter().all(Option::is_some) {
        predict(
            &drawn.corner.geometry(),
            &moved,
            &travels,
            drawn.deviation(),
            &known,
        )
    } else {
        None
    };
    Some(Foretold {
        corner,
        points: drawn.corner.accuracy.unwrap_or(POINT),
        reads,
        at_target: at_target(
            &drawn,
            &movers,
            &travels,
            [target.toe.aim, target.camber.aim],
        ),
    })
}

/// Whether no end stands past its bottom.
fn off_bottom(mechanism: &Mechanism, position: &Position) -> bool {
    let Position::Showing(showing) = position else {
        return true;
    };
    let mut ends = mechanism.ends().iter().zip(showing);
    ends.all(|(end, showing)| {
        end.state(*showing)
            .is_ok_and(|state| state.inward >= Length::ZERO)
    })
}

/// Where the first two adjusters give a toe and a camber on the drawn car.
fn at_target(
    drawn: &Drawn,
    movers: &[(&Adjuster, Mover)],
    travels: &[Length],
    aims: [Angle; 2],
) -> Result<Vec<(String, Position)>, String> {
    let mut first = Vec::new();
    let mut set = drawn.linkage.clone();
    for ((adjuster, mover), travel) in movers.iter().zip(travels) {
        if adjuster.role == Role::First && first.len() < 2 {
            first.push((*adjuster, mover.clone()));
        } else {
            set = set.set(std::slice::from_ref(mover), &[*travel]);
        }
    }
    let [(one, first), (other, second)] = first.as_slice() else {
        return Err("One adjuster alone cannot set toe and camber.".into());
    };
    let by = set
        .reach(&[Length::ZERO; 5], &[first.clone(), second.clone()], aims)
        .map_err(|_| "No setting of these adjusters gives the target on the drawn car.")?;
    let position = |adjuster: &Adjuster, by: Length| -> Result<(String, Position), String> {
        let mechanism = &adjuster.mechanism;
        let beyond = || {
            format!(
                "On the drawn car the target lies beyond the {}'s travel.",
                lower_first(&adjuster.name)
            )
        };
        let position = mechanism
            .moved(&mechanism.base(), by)
            .filter(|position| mechanism.check(position).is_ok() && off_bottom(mechanism, position))
            .ok_or_else(beyond)?;
        Ok((adjuster.name.clone(), position))
    };
    let [by_one, by_other] = by;
    Ok(vec![position(one, by_one)?, position(other, by_other)?])
}

/// What all readings and turns up to a round tell of a wheel.
pub(super) struct Kept {
    /// Of toe, camber and rates.
    pub(super) belief: Belief,
    /// Turns of each adjuster that were read after.
    turns: Vec<usize>,
    /// Those that alone were turned once.
    alone: Vec<bool>,
    /// How well each adjuster's rates were known before any turn.
    before: Vec<Option<[f64; 2]>>,
    /// What is doubtful of the last reading, in a sentence.
    pub(super) doubtful: Option<String>,
}

impl Kept {
    fn start(reading: &Reading, model: &Model) -> Option<Self> {
        let belief = Belief::new(reading.toe?, reading.camber?, &model.doubts());
        let count = model.adjusters.len();
        Some(Self {
            turns: vec![0; count],
            alone: vec![false; count],
            before: (0..count).map(|place| belief.doubt(place)).collect(),
            belief,
            doubtful: None,
        })
    }

    /// Where the rate of an adjuster comes from.
    pub(super) fn basis(&self, place: usize, source: RateSource) -> RateBasis {
        // It has told most where it holds more of what is known than what was known before: variances add as their inverses.
        let told = self
            .belief
            .doubt(place)
            .zip(self.before.get(place).copied().flatten());
        let most = told.is_some_and(|(now, before)| {
            let mut pairs = now.iter().zip(before);
            pairs.any(|(now, before)| now * now < 0.5 * before * before)
        });
        RateBasis {
            source,
            turns: self.turns.get(place).copied().unwrap_or(0),
            trial: most && self.alone.get(place).copied().unwrap_or(false),
        }
    }
}

/// What one wheel read in a round.
fn reading_of(job: &Job, round: usize, corner: Corner) -> Option<Reading> {
    let result = read(job, round)?;
    let wheels = result
        .axles
        .iter()
        .flat_map(|axle| [&axle.left, &axle.right]);
    wheels
        .into_iter()
        .find(|wheel| wheel.corner == corner)
        .map(|wheel| Reading {
            toe: wheel.toe,
            camber: wheel.camber,
        })
}

/// What a round's confirmed turn of an adjuster came to, and its standard uncertainty. The turns of a wrench are counted; where what was measured after
/// them does not agree, the measure is taken, as well as a rule tells.
fn turned(job: &Job, adjuster: &Adjuster, round: usize) -> Option<(Length, Length)> {
    let mechanism = &adjuster.mechanism;
    let taken = job.rounds.get(round)?.taken.get(&adjuster.id);
    let Some(taken) = taken.filter(|taken| taken.at.is_some()) else {
        return Some((Length::ZERO, Length::ZERO));
    };
    let position = |entries: &[Entry]| measure(mechanism, entries).1;
    let before = position(stood_before(job, adjuster, round))?;
    let measured = mechanism.travel(&before, &position(&taken.now)?);
    let step = taken.step.unwrap_or_else(|| step_of(adjuster));
    let counted = mechanism
        .after(&before, step, taken.steps)
        .map(|after| mechanism.travel(&before, &after))?;
    let ends = mechanism.ends().len().max(1) as f64;
    if taken.steps == 0 || (measured - counted).abs() > SAME * ends {
        return Some((measured, RULE * ends.sqrt()));
    }
    let one = mechanism
        .after(&before, step, 1)
        .map_or(Length::ZERO, |after: Position| {
            mechanism.travel(&before, &after).abs()
        });
    // A mark of a scale is set to half a mark either way; a wrench stops at its flat.
    let off = if mechanism.ends().is_empty() {
        deviation(one * 0.5)
    } else {
        Length::ZERO
    };
    Some((counted, off))
}

/// What is known of a wheel after the readings of a round; none while it never had both angles read, or nobody knows what was turned since.
pub(super) fn kept(job: &Job, model: &Model, corner: Corner, round: usize) -> Option<Kept> {
    let mut kept: Option<Kept> = None;
    let mut moved: Vec<usize> = Vec::new();
    for index in 0..=round {
        let reading = reading_of(job, index, corner)?;
        kept = match kept {
            None => Kept::start(&reading, model),
            Some(before) => {
                let surprise = before.belief.surprise(&reading);
                if surprise > SURPRISE {
                    let names: Vec<_> = moved
                        .iter()
                        .filter_map(|place| model.adjusters.get(*place))
                        .map(|adjuster| lower_first(&adjuster.name))
                        .collect();
                    let what = if names.is_empty() {
                        "Nothing was turned since the last reading".to_owned()
                    } else {
                        format!("After turning the {}", names.join(" and the "))
                    };
                    let doubtful = format!(
                        "{what}, and this reading is {} times as far from what should be read as readings and turns are uncertain. One of them is doubtful: was the right adjuster turned, and the right way? This plan rests on the new reading alone: read once more before the next turn.",
                        Fixed(surprise, 0)
                    );
                    Kept::start(&reading, model).map(|kept| Kept {
                        doubtful: Some(doubtful),
                        ..kept
                    })
                } else {
                    let mut after = before;
                    after.belief.read(&reading);
                    after.doubtful = None;
                    if reading.toe.is_some() && reading.camber.is_some() {
                        for place in &moved {
                            if let Some(turns) = after.turns.get_mut(*place) {
                                *turns += 1;
                            }
                            if let ([_], Some(alone)) =
                                (moved.as_slice(), after.alone.get_mut(*place))
                            {
                                *alone = true;
                            }
                        }
                    }
                    Some(after)
                }
            }
        };
        if index < round {
            moved.clear();
            kept = kept.and_then(|mut kept| {
                let from = model.travels(job, index)?;
                let turns: Option<Vec<_>> = model
                    .adjusters
                    .iter()
                    .map(|adjuster| turned(job, adjuster, index))
                    .collect();
                let (by, off): (Vec<_>, Vec<_>) = turns?.into_iter().unzip();
                let rates = model.rates_over(&from, &by)?;
                kept.belief.turn(&rates, &by);
                for (rate, off) in rates.iter().zip(&off) {
                    kept.belief.blur(rate, *off);
                }
                kept.belief.settle(SETTLED);
                moved.extend(
                    (0..by.len())
                        .filter(|place| by.get(*place).is_some_and(|by| *by != Length::ZERO)),
                );
                Some(kept)
            });
        }
    }
    kept
}

/// An angle of a rate over a travel.
pub(super) fn over(rate: f64, travel: Length) -> Angle {
    Angle::radians(rate * travel.as_metres())
}

//! Cars set up on paper: what was drawn is not quite what stands there, readings are noisy, and wrenches turn whole steps.

use super::corners::{adjusters, corners};
pub use super::random::Random;
use halfturn::adjuster::Room;
use halfturn::linkage::{Changes, Geometry, Linkage, Mover, Pose, Vector};
use halfturn::plan::{
    Belief, Doubts, Goal, Lever, Levers, Outcome, Plan, Rate, Reading, Target, Verdict, joints,
    plan, rate_doubts, rates_at, verdict, with_joints,
};
use halfturn::quantity::{Angle, Length};
use halfturn::reading::Estimate;

/// Each coordinate of a true joint is off the drawn one by up to this.
const JOINT: f64 = 5.0;
/// Each link is off its length by up to this.
const LINK: f64 = 8.0;
/// How far an adjuster goes either way from where it starts, and a third one.
const ROOM: f64 = 25.0;
const THIRD_ROOM: f64 = 6.0;
/// A round that has not ended by then never does.
pub const CAP: usize = 12;
/// Lengths are changed by setting the linkage.
const DRAWN: Changes = [Length::ZERO; 5];
/// How often at most a plan is made anew with the rates of the turn that it came to.
const PLANS: usize = 3;
/// Standard deviations of readings, in degrees.
const TOE_NOISE: f64 = 0.03;
const CAMBER_NOISE: f64 = 0.05;
/// Tolerances, in degrees.
const TOE: f64 = 0.05;
const CAMBER: f64 = 0.10;

impl Random {
    /// Standard normal, by Box and Muller.
    fn normal(&mut self) -> f64 {
        let (a, b) = (1.0 - self.share(), self.share());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

/// A corner as drawn, and what is worked out from the drawing alone.
pub struct Drawn {
    pub geometry: Geometry,
    pub linkage: Linkage,
    /// Toe adjuster, camber adjuster, third adjuster.
    pub adjusters: Vec<Mover>,
    pub goal: Goal,
    /// By exact rates at the drawn pose.
    exact: Vec<Rate>,
    /// By lever arms of plane geometry, with their effects on each other.
    arms: Vec<Rate>,
    doubts: Doubts,
    doubts_of_three: Doubts,
}

impl Drawn {
    /// The six corners that differ in layout: the seventh is a right-hand copy of one of them.
    pub fn all() -> Vec<Self> {
        let six = corners().into_iter().take(6);
        six.map(|(_, geometry, case)| {
            let [toe, camber] = adjusters(&geometry, &case["geometry"]["adjusters"]);
            Self::new(geometry, toe, camber)
        })
        .collect()
    }

    fn new(geometry: Geometry, toe: Vec<usize>, camber: Vec<usize>) -> Self {
        let linkage = Linkage::new(&geometry).expect("it stands");
        // Another link, and where there is none one of a pair.
        let third = (0..linkage.links())
            .find(|link| !toe.contains(link) && !camber.contains(link))
            .or_else(|| camber.first().copied())
            .expect("a link");
        let arms = arms(&geometry, [&toe, &camber]);
        let adjusters = [toe, camber, vec![third]].map(Mover::links).to_vec();
        let drawn = [Length::ZERO; 5];
        let exact = rates_at(&linkage, &drawn, &adjusters).expect("it stands");
        let deviation = |most: f64| Length::mm(most / 3.0_f64.sqrt());
        let doubts = |adjusters: &[Mover]| {
            rate_doubts(&geometry, adjusters, deviation(JOINT), deviation(LINK)).expect("it stands")
        };
        let target = |aim, tolerance| Target {
            aim,
            tolerance: Angle::degrees(tolerance),
        };
        Self {
            arms,
            doubts: doubts(&adjusters[..2]),
            doubts_of_three: doubts(&adjusters),
            goal: Goal {
                toe: target(geometry.wheel.toe, TOE),
                camber: target(geometry.wheel.camber, CAMBER),
            },
            geometry,
            linkage,
            adjusters,
            exact,
        }
    }
}

/// Rates by lever arms: toe by the distance along the car from the toe link's outer joint to the steering axis, camber by the height between the ends of that
/// axis. The axis is the steering axis, or joins the outer joints below and above the wheel's centre, each weighed by how much its link lies across. On
/// each other: a carrier that turns about an axis that leans back cambers as it steers, and one that cambers draws on a toe link above or below its pivot.
fn arms(geometry: &Geometry, [toe, camber]: [&Vec<usize>; 2]) -> Vec<Rate> {
    use halfturn::linkage::AxisEnd::{Car, Carrier};
    let centre = geometry.wheel.centre;
    let joint = |links: &Vec<usize>| {
        let sum = links.iter().fold(Vector::default(), |sum, link| {
            sum + geometry.links[*link].carrier
        });
        sum * (1.0 / links.len() as f64)
    };
    let mean = |upper: bool| {
        let (mut sum, mut weight) = (Vector::default(), 0.0);
        for (place, link) in geometry.links.iter().enumerate() {
            if toe.contains(&place) || (link.carrier.z > centre.z) != upper {
                continue;
            }
            let across = ((link.carrier - link.car).unit().y).powi(2);
            sum = sum + link.carrier * across;
            weight += across;
        }
        sum * (1.0 / weight)
    };
    let (lower, upper) = match (geometry.steering_axis, geometry.strut) {
        (Some(axis), _) => {
            let point = |end| match end {
                Car(point) | Carrier(point) => point,
            };
            (point(axis.lower), point(axis.upper))
        }
        (None, Some(strut)) => (mean(false), strut.top),
        (None, None) => (mean(false), mean(true)),
    };
    let (of_toe, of_camber) = (joint(toe), joint(camber));
    let pivot = if of_camber.z > centre.z { lower } else { upper };
    let lean = (upper.x - lower.x) / (upper.z - lower.z);
    let arm = lower.x + lean * (of_toe.z - lower.z) - of_toe.x;
    let height = of_camber.z - pivot.z;
    let rate = |toe, camber| Rate { toe, camber };
    vec![
        rate(1.0 / arm, lean / arm),
        rate(-(of_toe.z - pivot.z) / height / arm, 1.0 / height),
    ]
}

/// A car: joints and links are not where they were drawn.
pub struct Car {
    /// As it stands before any turn.
    pub linkage: Linkage,
}

impl Car {
    /// Joints and links off at random. With its links at their own lengths it would stand as drawn.
    pub fn new(drawn: &Drawn, random: &mut Random) -> Self {
        let shifts: Vec<(Vector, Vector)> = joints(&drawn.geometry)
            .into_iter()
            .map(|joint| {
                let mut by = || random.within(JOINT);
                (joint, Vector::mm(by(), by(), by()))
            })
            .collect();
        let geometry = with_joints(&drawn.geometry, &|at| {
            let shift = shifts.iter().find(|(joint, _)| *joint == at);
            shift.map_or(at, |(_, shift)| at + *shift)
        });
        let count = drawn.linkage.links();
        let links: Vec<_> = (0..count).map(|link| Mover::links([link])).collect();
        let off: Vec<_> = links
            .iter()
            .map(|_| Length::mm(random.within(LINK)))
            .collect();
        let linkage = Linkage::new(&geometry).expect("still a corner");
        Self {
            linkage: linkage.set(&links, &off),
        }
    }

    /// Whether whole steps of the first adjusters can bring it inside, and what of three: every combination near the continuous optimum.
    pub fn reachable(&self, drawn: &Drawn, step: Option<Length>) -> (bool, bool) {
        let Some(step) = step else {
            return (true, true);
        };
        let pair = &drawn.adjusters[..2];
        let near = |from: &Linkage| lattice(drawn, pair, from, step);
        let two = near(&self.linkage);
        let most = (Length::mm(THIRD_ROOM) / step).floor() as i32;
        let three = two
            || (1..=most).flat_map(|count| [count, -count]).any(|count| {
                let third = [step * f64::from(count)];
                near(&self.linkage.set(&drawn.adjusters[2..], &third))
            });
        (two, three)
    }
}

/// Whether whole steps of two adjusters from where it stands bring it inside.
fn lattice(drawn: &Drawn, pair: &[Mover], from: &Linkage, step: Length) -> bool {
    let goal = &drawn.goal;
    let Some(best) = reach(from, pair, [goal.toe.aim, goal.camber.aim]) else {
        return false;
    };
    let rates = rates_at(&from.set(pair, &best), &DRAWN, pair).expect("rates");
    let [a, b] = &rates[..] else { panic!("two") };
    let determinant = (a.toe * b.camber - a.camber * b.toe).abs();
    let (toe, camber) = (
        goal.toe.tolerance.as_radians(),
        goal.camber.tolerance.as_radians(),
    );
    // How far the tolerances reach along each adjuster, a step to spare.
    let spans = [
        (b.camber.abs() * toe + b.toe.abs() * camber) / determinant,
        (a.camber.abs() * toe + a.toe.abs() * camber) / determinant,
    ];
    let [first, second] = [0, 1].map(|which| {
        let (best, span, step) = (best[which].as_metres(), spans[which], step.as_metres());
        ((best - span) / step).floor() as i32 - 1..=((best + span) / step).ceil() as i32 + 1
    });
    let most = Length::mm(ROOM);
    let mut pose: Option<Pose> = None;
    for i in first {
        for j in second.clone() {
            let travels = [step * f64::from(i), step * f64::from(j)];
            if travels.iter().any(|travel| travel.abs() > most) {
                continue;
            }
            let off = [
                travels[0].as_metres() - best[0].as_metres(),
                travels[1].as_metres() - best[1].as_metres(),
            ];
            // Far outside by the rates there: no need to solve it.
            if (a.toe * off[0] + b.toe * off[1]).abs() > 1.5 * toe
                || (a.camber * off[0] + b.camber * off[1]).abs() > 1.5 * camber
            {
                continue;
            }
            let set = from.set(pair, &travels);
            let solved = match &pose {
                Some(near) => set.pose_from(near, &DRAWN, Length::ZERO),
                None => set.pose(&DRAWN, Length::ZERO),
            }
            .expect("a pose");
            pose = Some(solved);
            let wheel = set.wheel(&solved);
            if inside(goal, [wheel.toe, wheel.camber]) {
                return true;
            }
        }
    }
    false
}

/// The travels of two adjusters that bring a wheel to this toe and camber, by Newton's method on the linkage itself; none where it cannot.
fn reach(from: &Linkage, pair: &[Mover], [toe, camber]: [Angle; 2]) -> Option<Vec<Length>> {
    let mut travels = vec![Length::ZERO; 2];
    for _ in 0..20 {
        let set = from.set(pair, &travels);
        let wheel = set.wheel(&set.pose(&DRAWN, Length::ZERO).ok()?);
        let rates = rates_at(&set, &DRAWN, pair)?;
        let off = [
            (toe - wheel.toe).as_radians(),
            (camber - wheel.camber).as_radians(),
        ];
        if off.iter().all(|off| off.abs() < 1e-9) {
            return Some(travels);
        }
        for (travel, by) in travels.iter_mut().zip(solve(&rates, off)) {
            *travel = *travel + by;
        }
    }
    None
}

/// The travels of two adjusters that change toe and camber by so many radians.
fn solve(rates: &[Rate], [toe, camber]: [f64; 2]) -> [Length; 2] {
    let (a, b) = (&rates[0], &rates[1]);
    let determinant = a.toe * b.camber - a.camber * b.toe;
    [
        Length::metres((toe * b.camber - camber * b.toe) / determinant),
        Length::metres((camber * a.toe - toe * a.camber) / determinant),
    ]
}

/// The rates for a whole turn of the adjusters: those half way through it, which over all of it are right to the second order.
fn rates_over(from: &Linkage, adjusters: &[Mover], travels: &[Length]) -> Vec<Rate> {
    let half: Vec<_> = travels.iter().map(|travel| *travel * 0.5).collect();
    rates_at(&from.set(adjusters, &half), &DRAWN, adjusters).expect("it stands there")
}

fn inside(goal: &Goal, [toe, camber]: [Angle; 2]) -> bool {
    (toe - goal.toe.aim).abs() <= goal.toe.tolerance
        && (camber - goal.camber.aim).abs() <= goal.camber.tolerance
}

/// Where the rates come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Knows {
    /// Lever arms, one adjuster at a time.
    OneArm,
    /// Lever arms with their effects on each other.
    Arms,
    /// The drawn linkage.
    Drawing,
    /// The car's own linkage and lengths.
    Car,
}

/// What is kept of a round after turning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keeps {
    /// Nothing: the readings of a round are averaged, and that is all.
    Nothing,
    /// What should be read after.
    Predicted,
    /// That, and what the turn told of the rates.
    All,
}

/// How a car is set up.
#[derive(Clone, Copy, Debug)]
pub struct Strategy {
    pub name: &'static str,
    pub knows: Knows,
    /// Whether a third adjuster may be taken.
    pub third: bool,
    pub keeps: Keeps,
    /// Readings of a round: before turning at least, and at most while they do not tell.
    pub readings: (usize, usize),
    /// Whether one more reading must say the same before it is said to be inside for certain.
    pub confirm: bool,
}

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Said to be inside for certain.
    Inside,
    /// Nothing is nearer, and by reading it is inside.
    ByReading,
    /// Nothing is nearer, and it is not inside.
    Unreachable,
    /// After the last round still none of these.
    Never,
}

/// What setting up one car took.
#[derive(Clone, Debug)]
pub struct Run {
    pub end: End,
    /// Turns of the wrench under the car, each with the readings before it.
    pub rounds: usize,
    pub readings: usize,
    /// Whether it truly stood inside at the start and after each round.
    pub truly: Vec<bool>,
    /// Plans said to reach that by their own rates do not.
    pub broken: usize,
}

/// Sets one car up.
pub fn run(
    drawn: &Drawn,
    car: &Car,
    strategy: &Strategy,
    step: Option<Length>,
    noise: &mut Random,
) -> Run {
    let goal = &drawn.goal;
    let count = if strategy.third { 3 } else { 2 };
    let adjusters = &drawn.adjusters[..count];
    let none = vec![vec![0.0; 2 * count]; 2 * count];
    let doubts = match strategy.knows {
        Knows::Car => &none,
        _ if strategy.third => &drawn.doubts_of_three,
        _ => &drawn.doubts,
    };
    let mut travels = vec![Length::ZERO; count];
    let mut belief: Option<Belief> = None;
    let mut run = Run {
        end: End::Never,
        rounds: 0,
        readings: 0,
        truly: Vec::new(),
        broken: 0,
    };
    loop {
        let now = car.linkage.set(adjusters, &travels);
        let wheel = now.wheel(&now.pose(&DRAWN, Length::ZERO).expect("a pose"));
        let stands = [wheel.toe, wheel.camber];
        run.truly.push(inside(goal, stands));
        let (mut here, mut certain_before) = (0, false);
        let (reading, said) = loop {
            let read = read(stands, noise);
            here += 1;
            let now = match belief.as_mut() {
                None => belief.insert(Belief::new(
                    read.toe.expect("read"),
                    read.camber.expect("read"),
                    doubts,
                )),
                Some(belief) => {
                    belief.read(&read);
                    belief
                }
            };
            let reading = now.reading();
            let says = |read: Option<Estimate>, target| verdict(read.expect("believed"), target);
            let said = says(reading.toe, goal.toe).max(says(reading.camber, goal.camber));
            let certain = said == Verdict::InsideForCertain;
            if certain && strategy.confirm && !certain_before {
                certain_before = true;
                continue;
            }
            certain_before = false;
            let off = said == Verdict::Outside && here >= strategy.readings.0;
            if certain || off || here >= strategy.readings.1 {
                break (reading, said);
            }
        };
        run.readings += here;
        let mut known = belief.take().expect("read");
        if said == Verdict::InsideForCertain {
            run.end = End::Inside;
            return run;
        }
        let aims = [goal.toe.aim, goal.camber.aim];
        // Where the car itself is known, the rates are those of the turn that they lead to: found again from each plan.
        let over = |moves: &[Length]| {
            (strategy.knows == Knows::Car).then(|| rates_over(&now, adjusters, moves))
        };
        let mut reckoned = match strategy.knows {
            Knows::OneArm | Knows::Arms => drawn.arms.clone(),
            Knows::Drawing => drawn.exact[..count].to_vec(),
            Knows::Car => {
                let mut moves = reach(&now, &adjusters[..2], aims).expect("it is reached");
                moves.resize(count, Length::ZERO);
                rates_over(&now, adjusters, &moves)
            }
        };
        let (mut before, mut tries) = (None, 0);
        let (moves, reaches) = loop {
            let (moves, reaches) = decide(
                &reading,
                goal,
                &known.rates(&reckoned),
                &travels,
                strategy,
                step,
                &mut run.broken,
            );
            let Some(rates) = over(&moves) else {
                break (moves, reaches);
            };
            reckoned = rates;
            tries += 1;
            if tries == PLANS || before.as_ref() == Some(&moves) {
                break (moves, reaches);
            }
            before = Some(moves);
        };
        if moves.iter().all(|travel| *travel == Length::ZERO) {
            run.end = if reaches {
                End::ByReading
            } else {
                End::Unreachable
            };
            return run;
        }
        if run.rounds == CAP {
            return run;
        }
        run.rounds += 1;
        for (travel, by) in travels.iter_mut().zip(&moves) {
            *travel = *travel + *by;
        }
        known.turn(&reckoned, &moves);
        belief = match strategy.keeps {
            Keeps::Nothing => None,
            Keeps::Predicted => {
                let predicted = known.reading();
                Some(Belief::new(
                    predicted.toe.expect("believed"),
                    predicted.camber.expect("believed"),
                    doubts,
                ))
            }
            Keeps::All => Some(known),
        };
    }
}

fn read([toe, camber]: [Angle; 2], noise: &mut Random) -> Reading {
    let mut with = |angle: Angle, deviation: f64| {
        let off = Angle::degrees(noise.normal() * deviation);
        Some(Estimate::new(angle + off, Angle::degrees(deviation)))
    };
    Reading {
        toe: with(toe, TOE_NOISE),
        camber: with(camber, CAMBER_NOISE),
    }
}

/// What to turn, and whether the plan is to reach.
fn decide(
    reading: &Reading,
    goal: &Goal,
    rates: &[Rate],
    travels: &[Length],
    strategy: &Strategy,
    step: Option<Length>,
    broken: &mut usize,
) -> (Vec<Length>, bool) {
    let rooms = |rates: &[Rate]| -> Vec<Room> {
        match step {
            Some(step) => travels
                .iter()
                .enumerate()
                .map(|(place, at)| room(step, *at, if place < 2 { ROOM } else { THIRD_ROOM }))
                .collect(),
            None => exact_rooms(reading, goal, rates),
        }
    };
    if strategy.knows == Knows::OneArm {
        let off = |read: Option<Estimate>, target: Target| {
            ((read.expect("read").value - target.aim) / target.tolerance).abs()
        };
        let toe_first = off(reading.toe, goal.toe) > off(reading.camber, goal.camber);
        // The worse of the two, and the other where the worse stands as near as it can.
        for which in if toe_first { [0, 1] } else { [1, 0] } {
            let (alone, rate) = if which == 0 {
                let toe = rates[0].toe;
                (
                    Reading {
                        camber: None,
                        ..*reading
                    },
                    Rate { camber: 0.0, toe },
                )
            } else {
                let camber = rates[1].camber;
                (
                    Reading {
                        toe: None,
                        ..*reading
                    },
                    Rate { toe: 0.0, camber },
                )
            };
            let room = match step {
                Some(_) => rooms(rates)[which].clone(),
                None => {
                    let off = if which == 0 {
                        (goal.toe.aim - reading.toe.expect("read").value).as_radians() / rate.toe
                    } else {
                        (goal.camber.aim - reading.camber.expect("read").value).as_radians()
                            / rate.camber
                    };
                    Room {
                        travels: vec![Length::ZERO, Length::metres(off)],
                        least: 0,
                    }
                }
            };
            let lever = lever(rate, room);
            let found = of(&alone, goal, std::slice::from_ref(&lever), &[]);
            *broken += usize::from(
                found.outcome == Outcome::Reaches
                    && !lands(&alone, goal, std::slice::from_ref(&lever), &found.steps),
            );
            let by = lever.room.travel(found.steps[0]).expect("in its room");
            if by != Length::ZERO {
                let mut moves = vec![Length::ZERO; 2];
                moves[which] = by;
                return (moves, true);
            }
        }
        let [toe, camber] = [off(reading.toe, goal.toe), off(reading.camber, goal.camber)];
        return (vec![Length::ZERO; 2], toe <= 1.0 && camber <= 1.0);
    }
    let levers: Vec<Lever> = rates
        .iter()
        .zip(rooms(rates))
        .map(|(rate, room)| lever(*rate, room))
        .collect();
    let (first, further) = levers.split_at(2);
    let found = of(reading, goal, first, further);
    let (steps, with, reaches) = match &found.outcome {
        Outcome::NeedsFurther(further) => (&further.steps, &levers[..], true),
        outcome => (&found.steps, first, *outcome == Outcome::Reaches),
    };
    *broken += usize::from(reaches && !lands(reading, goal, with, steps));
    let mut moves = vec![Length::ZERO; travels.len()];
    for ((by, lever), steps) in moves.iter_mut().zip(with).zip(steps) {
        *by = lever.room.travel(*steps).expect("in its room");
    }
    (moves, reaches)
}

fn of(reading: &Reading, goal: &Goal, first: &[Lever], further: &[Lever]) -> Plan {
    let levers = Levers {
        first,
        finer: &[],
        further,
        may_stand: &|_| true,
    };
    plan(reading, goal, &levers).expect("a plan")
}

fn lever(rate: Rate, room: Room) -> Lever {
    Lever {
        place: 0,
        rate,
        room,
        effort: 0.5,
        ahead: 0.0,
    }
}

/// Whether these steps land inside by their own rates, reckoned in degrees and apart from the plan.
pub fn lands(reading: &Reading, goal: &Goal, levers: &[Lever], steps: &[i32]) -> bool {
    let moved = |rate: fn(&Rate) -> f64| -> f64 {
        levers
            .iter()
            .zip(steps)
            .map(|(lever, steps)| {
                let travel = lever.room.travel(*steps).expect("in its room");
                rate(&lever.rate).to_degrees() / 1e3 * travel.as_mm()
            })
            .sum()
    };
    let within = |read: Option<Estimate>, moved: f64, target: Target| {
        read.is_none_or(|read| {
            let off = read.value.as_degrees() + moved - target.aim.as_degrees();
            off.abs() <= target.tolerance.as_degrees() * (1.0 + 1e-6)
        })
    };
    within(reading.toe, moved(|rate| rate.toe), goal.toe)
        && within(reading.camber, moved(|rate| rate.camber), goal.camber)
}

/// Whole steps from where an adjuster stands.
fn room(step: Length, at: Length, most: f64) -> Room {
    let most = Length::mm(most + 1e-6);
    let down = ((most + at) / step).floor() as i32;
    let up = ((most - at) / step).floor() as i32;
    Room {
        travels: (-down..=up).map(|count| step * f64::from(count)).collect(),
        least: -down,
    }
}

/// The one travel of each of two adjusters that does it exactly, or none; a third stays.
fn exact_rooms(reading: &Reading, goal: &Goal, rates: &[Rate]) -> Vec<Room> {
    let toe = (goal.toe.aim - reading.toe.expect("read").value).as_radians();
    let camber = (goal.camber.aim - reading.camber.expect("read").value).as_radians();
    let [first, second] = solve(rates, [toe, camber]);
    [first, second, Length::ZERO]
        .into_iter()
        .zip(rates)
        .map(|(travel, _)| Room {
            travels: vec![Length::ZERO, travel],
            least: 0,
        })
        .collect()
}

//! The Turn station's rates and what it keeps of them, against poses of the linkage itself: cars on paper whose wheels are read, turned and read again.

#[path = "common/mod.rs"]
#[allow(dead_code)]
mod common;

use approx::{assert_abs_diff_eq, assert_relative_eq};
use common::{card, moment, typed, whole};
use halfturn::adjuster::{Mechanism, Position};
use halfturn::document::{
    Axle, AxleRound, CamberBy, Corner, Entry, Job, Role, Sense, Taken, ToeBy, Unit, WheelRound,
};
use halfturn::linkage::{Linkage, Mover, Vector};
use halfturn::plan::Verdict;
use halfturn::quantity::{Angle, Length};
use halfturn::station::{CornerPlan, RateSource, Turn, foretold, new_round, turn};

/// A car on paper: the card's corner, its adjusters' travels from where it is drawn, and what its links are longer than drawn.
struct Paper {
    linkage: Linkage,
    movers: Vec<Mover>,
    travels: Vec<Length>,
}

impl Paper {
    fn new(job: &Job, corner: Corner, off: f64) -> Self {
        let drawn = job.card.geometry_of(corner).unwrap();
        let linkage = Linkage::new(&drawn.geometry()).unwrap();
        let here = job
            .card
            .adjusters
            .iter()
            .filter(|adjuster| adjuster.corner == corner);
        let movers: Vec<_> = here
            .map(|adjuster| drawn.mover(adjuster.moves.as_ref().unwrap()))
            .collect();
        let travels = vec![Length::ZERO; movers.len()];
        Self {
            linkage: linkage.set(&movers, &vec![Length::mm(off); movers.len()]),
            movers,
            travels,
        }
    }

    fn stands(&self) -> [Angle; 2] {
        let set = self.linkage.set(&self.movers, &self.travels);
        let wheel = set.wheel(&set.pose(&Default::default(), Length::ZERO).unwrap());
        [wheel.toe, wheel.camber]
    }
}

/// A number of degrees to five places with its way.
fn degrees(angle: Angle) -> Entry {
    Entry {
        sense: Some(if angle < Angle::ZERO {
            Sense::Minus
        } else {
            Sense::Plus
        }),
        ..typed(&format!("{:.5}", angle.abs().as_degrees()), Unit::Degree)
    }
}

/// A job with every adjuster at its base and nothing read.
fn at_base(name: &str) -> Job {
    let mut job = Job::new("7".into(), card(name), moment(0));
    let settings = job.card.adjusters.iter().map(|adjuster| {
        let Position::Showing(showing) = adjuster.mechanism.base() else {
            return (
                adjuster.id.clone(),
                vec![Entry {
                    sense: Some(Sense::Plus),
                    ..typed("0", Unit::Millimetre)
                }],
            );
        };
        (
            adjuster.id.clone(),
            showing
                .iter()
                .map(|showing| millimetres(*showing))
                .collect(),
        )
    });
    job.settings = settings.collect();
    job
}

fn millimetres(length: Length) -> Entry {
    typed(&format!("{:.4}", length.as_mm()), Unit::Millimetre)
}

/// One more round, in which both wheels of the rear axle read so on a rack with a division of so much.
fn read_on_rack(job: &mut Job, [toe, camber]: [Angle; 2], division: &str) {
    let mut round = new_round(job, moment(100));
    round.gauge = typed(division, Unit::Degree);
    let wheel = || WheelRound {
        toe: vec![degrees(toe)],
        camber: vec![degrees(camber)],
        ..WheelRound::default()
    };
    round.rear = AxleRound {
        toe_by: ToeBy::Rack,
        camber_by: CamberBy::Rack,
        left: wheel(),
        right: wheel(),
        ..AxleRound::default()
    };
    job.rounds.push(round);
}

/// Confirms a turn of so many steps in the last round, with what should show after it.
fn confirm(job: &mut Job, id: &str, steps: i32) {
    let adjuster = job
        .card
        .adjusters
        .iter()
        .find(|adjuster| adjuster.id == id)
        .unwrap();
    let step = adjuster.step.unwrap();
    let Some(Position::Showing(now)) =
        adjuster
            .mechanism
            .after(&adjuster.mechanism.base(), step, steps)
    else {
        panic!("a thread")
    };
    let taken = Taken {
        steps,
        step: Some(step),
        now: now.into_iter().map(millimetres).collect(),
        at: Some(moment(200)),
    };
    job.rounds
        .last_mut()
        .unwrap()
        .taken
        .insert(id.into(), taken);
}

fn travel(mechanism: &Mechanism, job: &Job, id: &str, steps: i32) -> Length {
    let adjuster = job
        .card
        .adjusters
        .iter()
        .find(|adjuster| adjuster.id == id)
        .unwrap();
    let base = mechanism.base();
    let after = mechanism
        .after(&base, adjuster.step.unwrap(), steps)
        .unwrap();
    mechanism.travel(&base, &after)
}

fn left(plan: &Turn) -> &CornerPlan {
    plan.corners
        .iter()
        .find(|corner| corner.corner == Corner::LeftRear)
        .unwrap()
}

/// What one step does is what the poses on either side of where the adjusters stand say, by central differences of the linkage.
#[test]
fn rates_are_those_of_the_card_where_the_adjusters_stand() {
    let mut job = at_base("rear");
    let mut paper = Paper::new(&job, Corner::LeftRear, 0.0);
    // Away from base: 6 mm longer at both ends of the toe link, 4 mm shorter at the upper link.
    job.settings
        .insert("lr-toe".into(), vec![millimetres(Length::mm(12.35)); 2]);
    job.settings
        .insert("lr-camber".into(), vec![millimetres(Length::mm(2.35))]);
    paper.travels[0] = Length::mm(12.0);
    paper.travels[1] = Length::mm(-4.0);
    read_on_rack(&mut job, paper.stands(), "0.01");
    let plan = turn(&job, 0).unwrap();
    let corner = left(&plan);
    assert_eq!(corner.rates.len(), 3);
    for (place, row) in corner.rates.iter().enumerate() {
        let steps = [
            25.4 / 20.0 * 2.0 / 6.0,
            25.4 / 18.0 / 2.0,
            25.4 / 16.0 / 2.0,
        ];
        let at = |by: f64| {
            let mut travels = paper.travels.clone();
            travels[place] = travels[place] + Length::mm(by);
            let set = paper.linkage.set(&paper.movers, &travels);
            let wheel = set.wheel(&set.pose(&Default::default(), Length::ZERO).unwrap());
            [wheel.toe.as_degrees(), wheel.camber.as_degrees()]
        };
        let ([a, b], [c, d]) = (at(0.01), at(-0.01));
        assert_relative_eq!(
            row.toe.value.as_degrees(),
            (a - c) / 0.02 * steps[place],
            max_relative = 1e-5
        );
        assert_relative_eq!(
            row.camber.value.as_degrees(),
            (b - d) / 0.02 * steps[place],
            max_relative = 1e-5
        );
        assert_eq!(row.basis.words(), "geometry of the card");
        // Points known to 5 mm give the larger rate to some hundredths, and never exactly.
        let (value, doubt) = (
            row.toe.value.abs().max(row.camber.value.abs()),
            row.toe.uncertainty.max(row.camber.uncertainty),
        );
        assert!(doubt > value * 0.002 && doubt < value * 0.1, "{row:?}");
    }
}

/// Without hardpoints, and with arms a quarter too long: turning one adjuster alone and reading again gives its rates to some hundredths, and says so.
#[test]
fn a_trial_turn_teaches_the_rates() {
    let drawn = at_base("rear");
    let mut paper = Paper::new(&drawn, Corner::LeftRear, 1.0);
    let mut job = drawn.clone();
    job.card.geometry.clear();
    for adjuster in &mut job.card.adjusters {
        adjuster.moves = None;
        for arm in adjuster.toe.iter_mut() {
            arm.arm = arm.arm * 1.15;
        }
    }
    read_on_rack(&mut job, paper.stands(), "0.01");
    let before = left(&turn(&job, 0).unwrap()).rates[0].clone();
    assert_eq!(before.basis.words(), "lever arms of the card");
    let truth = {
        let set = paper.linkage.set(&paper.movers, &paper.travels);
        set.rates_of(
            &set.pose(&Default::default(), Length::ZERO).unwrap(),
            &paper.movers,
        )
        .unwrap()[0]
            .toe
    };
    let (id, steps) = ("lr-toe", 12);
    let by = travel(&job.card.adjusters[0].mechanism, &job, id, 1);
    let off = |toe: Angle| (toe.as_radians() / by.as_metres() / truth - 1.0).abs();
    assert!(off(before.toe.value) > 0.1);
    confirm(&mut job, id, steps);
    paper.travels[0] = by * f64::from(steps);
    read_on_rack(&mut job, paper.stands(), "0.01");
    let plan = turn(&job, 1).unwrap();
    let corner = left(&plan);
    let after = &corner.rates[0];
    assert_eq!(corner.notes, Vec::<String>::new());
    assert_eq!(after.basis.words(), "a trial turn");
    assert!(off(after.toe.value) < 0.05, "{}", off(after.toe.value));
    assert!(after.toe.uncertainty < before.toe.uncertainty * 0.7);
    // What is said to be unknown covers what is.
    let error = (after.toe.value - over(truth, by)).abs();
    assert!(
        error < after.toe.uncertainty * 2.0,
        "{error:?} {:?}",
        after.toe.uncertainty
    );
    // The others learned nothing of their own.
    assert_eq!(corner.rates[1].basis.words(), "lever arms of the card");
    assert_eq!(
        (after.basis.source, after.basis.turns),
        (RateSource::CardArms, 1)
    );
}

fn over(rate: f64, travel: Length) -> Angle {
    Angle::radians(rate * travel.as_metres())
}

/// A turn the wrong way, or of the wrong adjuster, is noticed, and the plan after it is that of its reading alone.
#[test]
fn a_wrong_turn_is_noticed_and_forgotten() {
    for (wrong, place, factor) in [
        ("the wrong way", 0, -1.0),
        ("the other adjuster", 1, 1.0),
        ("three times as far", 0, 3.0),
    ] {
        let mut job = at_base("rear");
        let mut paper = Paper::new(&job, Corner::LeftRear, 1.0);
        read_on_rack(&mut job, paper.stands(), "0.01");
        confirm(&mut job, "lr-toe", 6);
        let by = travel(&job.card.adjusters[0].mechanism, &job, "lr-toe", 6);
        paper.travels[place] = by * factor;
        read_on_rack(&mut job, paper.stands(), "0.01");
        let plan = turn(&job, 1).unwrap();
        let corner = left(&plan);
        assert!(
            corner
                .notes
                .iter()
                .any(|note| note.contains("After turning the toe link")
                    && note.contains("right way")),
            "{wrong}: {:?}",
            corner.notes
        );
        let mut alone = job.clone();
        alone.settings.insert(
            "lr-toe".into(),
            job.rounds[0].taken.get("lr-toe").unwrap().now.clone(),
        );
        alone.rounds.remove(0);
        let fresh = turn(&alone, 0).unwrap();
        let fresh = left(&fresh);
        let steps = |corner: &CornerPlan| {
            corner
                .rows
                .iter()
                .map(|row| (row.adjuster.id.clone(), row.steps))
                .collect::<Vec<_>>()
        };
        assert_eq!(steps(corner), steps(fresh), "{wrong}");
        assert_eq!(corner.rates, fresh.rates, "{wrong}");
        assert!(!steps(corner).is_empty());
    }
    // The right turn is not doubted, nor is reading again without any.
    let mut job = at_base("rear");
    let mut paper = Paper::new(&job, Corner::LeftRear, 1.0);
    read_on_rack(&mut job, paper.stands(), "0.01");
    confirm(&mut job, "lr-toe", 6);
    paper.travels[0] = travel(&job.card.adjusters[0].mechanism, &job, "lr-toe", 6);
    read_on_rack(&mut job, paper.stands(), "0.01");
    read_on_rack(&mut job, paper.stands(), "0.01");
    for round in [1, 2] {
        assert_eq!(
            left(&turn(&job, round).unwrap()).notes,
            Vec::<String>::new()
        );
    }
    let other = Angle::degrees(0.5);
    let [toe, camber] = paper.stands();
    read_on_rack(&mut job, [toe + other, camber], "0.01");
    assert!(left(&turn(&job, 3).unwrap()).notes[0].starts_with("Nothing was turned since"));
}

/// A verdict is the last reading's own: a coarse reading inside is not called certain however sure the rounds before were.
#[test]
fn a_verdict_rests_on_its_reading_alone() {
    let mut job = at_base("rear");
    let target = job.card.target(Axle::Rear).unwrap().clone();
    read_on_rack(&mut job, [target.toe.aim, target.camber.aim], "0.01");
    read_on_rack(&mut job, [target.toe.aim, target.camber.aim], "0.2");
    // Nor does it stand on a car that was not settled.
    let unsettled = turn(&job, 0).unwrap();
    let unsettled = left(&unsettled);
    assert_eq!(unsettled.verdict, None);
    assert!(
        unsettled
            .words
            .starts_with("This reading alone is not certain"),
        "{}",
        unsettled.words
    );
    let done = whole("rear");
    job.car = done.car.clone();
    for round in &mut job.rounds {
        round.checks = done.rounds[0].checks.clone();
    }
    let fine = turn(&job, 0).unwrap();
    assert_eq!(left(&fine).words, "Inside for certain. Leave it.");
    let coarse = turn(&job, 1).unwrap();
    let coarse = left(&coarse);
    assert_eq!(coarse.verdict, Some(Verdict::InsideByReading));
    assert!(
        coarse
            .words
            .starts_with("This reading alone is not certain")
            || coarse.words.starts_with("No whole step"),
        "{}",
        coarse.words
    );
    assert!(coarse.rows.is_empty());
}

/// A long turn's rates are those of its middle: what should be read after is what the drawn corner then does, to a thousandth of a degree.
#[test]
fn what_should_be_read_after_is_what_the_linkage_does() {
    let mut job = at_base("rear");
    for adjuster in &mut job.card.adjusters {
        adjuster.role = Role::First;
    }
    let paper = Paper::new(&job, Corner::LeftRear, 0.0);
    // The car reads as one does whose toe link is 10 mm and whose upper link is 5 mm out.
    let mut off = Paper::new(&job, Corner::LeftRear, 0.0);
    off.travels = vec![Length::mm(-7.0), Length::mm(5.0), Length::mm(0.0)];
    read_on_rack(&mut job, off.stands(), "0.01");
    let plan = turn(&job, 0).unwrap();
    let corner = left(&plan);
    assert!(!corner.rows.is_empty(), "{}", corner.words);
    let mut moved = vec![Length::ZERO; 3];
    for row in &corner.rows {
        let place = job
            .card
            .adjusters
            .iter()
            .position(|adjuster| adjuster.id == row.adjuster.id)
            .unwrap();
        let mechanism = &row.adjuster.mechanism;
        moved[place] = mechanism.travel(&mechanism.base(), &row.target);
    }
    let pose = |travels: &[Length]| {
        let set = paper.linkage.set(&paper.movers, travels);
        let wheel = set.wheel(&set.pose(&Default::default(), Length::ZERO).unwrap());
        [wheel.toe.as_degrees(), wheel.camber.as_degrees()]
    };
    let ([a, b], [c, d]) = (pose(&moved), pose(&[Length::ZERO; 3]));
    let after = corner.after.unwrap();
    let reading = corner.reading;
    let change = |after: Option<halfturn::reading::Estimate>,
                  before: Option<halfturn::reading::Estimate>| {
        (after.unwrap().value - before.unwrap().value).as_degrees()
    };
    assert_abs_diff_eq!(change(after.toe, reading.toe), a - c, epsilon = 1e-3);
    assert_abs_diff_eq!(change(after.camber, reading.camber), b - d, epsilon = 1e-3);
    assert!((a - c).abs() > 0.3, "a long turn: {}", a - c);
}

/// Rod ends that may lean no further than they do now are never asked to: at the drawn height where the card gives no travel, and over all of it where it
/// does.
#[test]
fn a_rod_ends_limit_is_kept() {
    let given = at_base("rear");
    let mut untravelled = given.clone();
    untravelled.card.geometry[0].travel = None;
    rod_ends_keep(untravelled);
    rod_ends_keep(given);
}

fn rod_ends_keep(mut job: Job) {
    // A limit below what the rod end does over travel says so from the start.
    let range = job.card.geometry[0].range();
    let travelled = range.bump > Length::ZERO;
    let mut off = Paper::new(&job, Corner::LeftRear, 0.0);
    off.travels = vec![Length::mm(-7.0), Length::mm(5.0), Length::mm(0.0)];
    read_on_rack(&mut job, off.stands(), "0.01");
    let free = turn(&job, 0).unwrap();
    assert!(!left(&free).rows.is_empty() && left(&free).notes.is_empty());
    let paper = Paper::new(&job, Corner::LeftRear, 0.0);
    let drawn = job.card.geometry_of(Corner::LeftRear).unwrap();
    let limit = drawn.rod_ends[0].clone();
    let link = drawn.link(&limit.link).unwrap();
    let leans = |travels: &[Length]| {
        let set = paper.linkage.set(&paper.movers, travels);
        let at = |travel| {
            let pose = set.pose(&Default::default(), travel).unwrap();
            set.misalignment(&pose, link, limit.bolt, false).unwrap()
        };
        let places = (0..=100).map(|step| {
            let share = f64::from(step) / 100.0;
            -range.droop + (range.bump + range.droop) * share
        });
        places.map(at).fold(Angle::ZERO, Angle::max)
    };
    let moved = |corner: &CornerPlan| {
        let mut moved = vec![Length::ZERO; 3];
        for row in &corner.rows {
            let place = job
                .card
                .adjusters
                .iter()
                .position(|adjuster| adjuster.id == row.adjuster.id)
                .unwrap();
            moved[place] = row
                .adjuster
                .mechanism
                .travel(&row.adjuster.mechanism.base(), &row.target);
        }
        moved
    };
    let (now, then) = (leans(&[Length::ZERO; 3]), leans(&moved(left(&free))));
    assert!((then - now).abs() > Angle::degrees(0.001));
    // A limit between the two: the free plan would pass it, or leaves it.
    let most = now + (then - now) * 0.5;
    let mut limited = job.clone();
    limited.card.geometry[0].rod_ends[0].most = most;
    let plan = turn(&limited, 0).unwrap();
    let corner = left(&plan);
    if then > now {
        assert!(leans(&moved(corner)) <= most);
        assert_ne!(moved(corner), moved(left(&free)));
        assert!(corner.notes.is_empty());
    } else {
        assert!(
            corner
                .notes
                .iter()
                .any(|note| note.contains("rod end at the car"))
        );
        assert_eq!(moved(corner), moved(left(&free)));
    }
    limited.card.geometry[0].rod_ends[0].most = now.min(then) * 0.5;
    let plan = turn(&limited, 0).unwrap();
    assert!(left(&plan).rows.is_empty());
    let words =
        "OUT OF REACH with whole steps within the thread that is left and what the joints may do.";
    assert!(
        left(&plan).words.starts_with(words),
        "{}",
        left(&plan).words
    );
    let note = &left(&plan).notes[0];
    assert!(
        note.contains(if travelled {
            "rod end at the car passes its"
        } else {
            "rod end at the car leans"
        }),
        "{note}"
    );
}

/// A sleeve that is turned by whole turns and does not get there does so by flats, and the words say so.
#[test]
fn finer_steps_are_named_where_they_open_it() {
    let mut job = at_base("rear");
    for adjuster in &mut job.card.adjusters {
        if adjuster.name == "Toe link" {
            adjuster.step = Some(halfturn::adjuster::Step::Turn);
        }
    }
    let mut off = Paper::new(&job, Corner::LeftRear, 0.0);
    let mut seen = 0;
    for by in [-3.0, -2.2, -1.4, -0.6, 0.2] {
        off.travels[0] = Length::mm(by);
        let mut job = job.clone();
        read_on_rack(&mut job, off.stands(), "0.01");
        let plan = turn(&job, 0).unwrap();
        let corner = left(&plan);
        if corner
            .words
            .starts_with("Out of reach in the usual steps. In finer ones, the toe link by")
        {
            seen += 1;
            let row = corner
                .rows
                .iter()
                .find(|row| row.adjuster.id == "lr-toe")
                .unwrap();
            assert_ne!(row.step, halfturn::adjuster::Step::Turn);
            let target = job.card.target(Axle::Rear).unwrap();
            let after = corner.after.unwrap();
            assert!((after.toe.unwrap().value - target.toe.aim).abs() <= target.toe.tolerance);
            assert!(
                (after.camber.unwrap().value - target.camber.aim).abs() <= target.camber.tolerance
            );
        }
    }
    assert!(seen > 0, "a case ran");
}

/// Where the card's hardpoints give the target: put there, the linkage itself reads the target; and what the measured adjusters should read is its pose.
#[test]
fn a_base_from_geometry_reads_the_target() {
    for (name, corner, count) in [
        ("rear", Corner::RightRear, 2),
        ("front", Corner::LeftFront, 2),
    ] {
        let job = at_base(name);
        let says = foretold(&job, corner).unwrap();
        assert_eq!(says.corner, corner);
        let drawn = job.card.geometry_of(corner).unwrap();
        let reads = says.reads.unwrap();
        let (toe, camber) = (reads.toe.unwrap(), reads.camber.unwrap());
        assert_abs_diff_eq!(
            toe.value.as_degrees(),
            drawn.wheel.toe.as_degrees(),
            epsilon = 1e-9
        );
        assert_abs_diff_eq!(
            camber.value.as_degrees(),
            drawn.wheel.camber.as_degrees(),
            epsilon = 1e-9
        );
        // A millimetre at a tie rod of 150 to 300 mm is 0.2 to 0.4 degrees: points that far off foretell no better.
        assert!(
            toe.uncertainty > Angle::degrees(0.3) && toe.uncertainty < Angle::degrees(3.0),
            "{toe:?}"
        );
        let settings = says.at_target.unwrap();
        assert_eq!(settings.len(), count);
        let mut paper = Paper::new(&job, corner, 0.0);
        let here: Vec<_> = job
            .card
            .adjusters
            .iter()
            .filter(|adjuster| adjuster.corner == corner)
            .collect();
        for (name, position) in &settings {
            let place = here
                .iter()
                .position(|adjuster| adjuster.name == *name)
                .unwrap();
            let mechanism = &here[place].mechanism;
            paper.travels[place] = mechanism.travel(&mechanism.base(), position);
        }
        let target = job.card.target(corner.axle()).unwrap();
        let [toe, camber] = paper.stands();
        assert_abs_diff_eq!(
            toe.as_degrees(),
            target.toe.aim.as_degrees(),
            epsilon = 1e-9
        );
        assert_abs_diff_eq!(
            camber.as_degrees(),
            target.camber.aim.as_degrees(),
            epsilon = 1e-9
        );
    }
    // Away from base, and with a target that no thread reaches.
    let mut job = at_base("rear");
    job.settings
        .insert("lr-toe".into(), vec![millimetres(Length::mm(9.35)); 2]);
    let mut paper = Paper::new(&job, Corner::LeftRear, 0.0);
    paper.travels[0] = Length::mm(6.0);
    let says = foretold(&job, Corner::LeftRear).unwrap();
    let toe = says.reads.unwrap().toe.unwrap().value;
    assert_abs_diff_eq!(
        toe.as_degrees(),
        paper.stands()[0].as_degrees(),
        epsilon = 1e-9
    );
    job.card.targets[0].camber.aim = Angle::degrees(-6.0);
    let says = foretold(&job, Corner::LeftRear).unwrap();
    assert!(
        says.at_target
            .unwrap_err()
            .contains("beyond the upper link's travel")
    );
    job.card.targets[0].camber.aim = Angle::degrees(-60.0);
    let says = foretold(&job, Corner::LeftRear).unwrap();
    assert!(says.at_target.unwrap_err().starts_with("No setting"));
    job.settings.remove("lr-toe");
    assert_eq!(foretold(&job, Corner::LeftRear).unwrap().reads, None);
    job.card.geometry.clear();
    assert_eq!(foretold(&job, Corner::LeftRear), None);
}

/// Random cars scatter about what is foretold as it says, points and thread alike: joints anywhere within 3 mm, a millimetre of thread.
#[test]
fn what_is_foretold_is_the_scatter_of_cars() {
    use halfturn::plan::{joints, predict};
    const CARS: u32 = 3000;
    for (name, corner) in [("rear", Corner::LeftRear), ("front", Corner::RightFront)] {
        let job = at_base(name);
        let drawn = job.card.geometry_of(corner).unwrap();
        let paper = Paper::new(&job, corner, 0.0);
        let geometry = drawn.geometry();
        let deviation = |most: f64| Length::mm(most / 3.0_f64.sqrt());
        let known = vec![deviation(1.0); paper.movers.len()];
        let travels = vec![Length::mm(2.0); paper.movers.len()];
        let says = predict(&geometry, &paper.movers, &travels, deviation(3.0), &known).unwrap();
        // A congruential generator of Knuth's (MMIX).
        let mut state = 1_u64;
        let mut within = |most: f64| {
            state = state
                .wrapping_mul(6364136223846793005)
                .wrapping_add(1442695040888963407);
            ((state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0) * most
        };
        let linkage = Linkage::new(&geometry).unwrap();
        let mut squares = [0.0; 2];
        for _ in 0..CARS {
            let shifts: Vec<_> = joints(&geometry)
                .into_iter()
                .map(|joint| (joint, Vector::mm(within(3.0), within(3.0), within(3.0))))
                .collect();
            let place = |at: Vector| at + shifts.iter().find(|(joint, _)| *joint == at).unwrap().1;
            let moved: Vec<_> = travels
                .iter()
                .map(|travel| *travel + Length::mm(within(1.0)))
                .collect();
            let car = linkage
                .with_joints(&geometry, &place)
                .set(&paper.movers, &moved);
            let wheel = car.wheel(&car.pose(&Default::default(), Length::ZERO).unwrap());
            squares[0] += (wheel.toe - says.toe.unwrap().value).as_degrees().powi(2);
            squares[1] += (wheel.camber - says.camber.unwrap().value)
                .as_degrees()
                .powi(2);
        }
        for (square, said) in squares.into_iter().zip([says.toe, says.camber]) {
            let scatter = (square / f64::from(CARS)).sqrt();
            assert_relative_eq!(
                scatter,
                said.unwrap().uncertainty.as_degrees(),
                max_relative = 0.06
            );
        }
    }
}

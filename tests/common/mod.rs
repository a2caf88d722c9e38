//! Jobs to test with: both demo cards, filled in as a person at a car would.

use halfturn::adjuster::Position;
use halfturn::document::{
    Answer, Axle, AxleRound, CamberBy, Car, Corner, Entry, Finding, Job, KitCard, Mark, Moment,
    Pair, Sense, SignOff, Strings, Taken, ToeBy, Unit, WheelRound, applies, load_kit_card,
};
use halfturn::station::{Check, joint_torque, new_round, turn, unpack};

/// The demo cards by name.
pub const CARDS: [&str; 2] = ["rear", "front"];

/// A demo card.
pub fn card(name: &str) -> KitCard {
    let text = std::fs::read_to_string(format!("public/cards/{name}.json")).unwrap();
    load_kit_card(&text).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// So many seconds after a fixed moment.
pub fn moment(seconds: u32) -> Moment {
    Moment::from(1_700_000_000_u32) * Moment::from(1000_u32)
        + Moment::from(seconds) * Moment::from(1000_u32)
}

/// Text typed into a field of a unit.
pub fn typed(text: &str, unit: Unit) -> Entry {
    Entry {
        text: text.into(),
        unit,
        sense: None,
    }
}

fn mm(text: &str) -> Entry {
    typed(text, Unit::Millimetre)
}

fn degrees(text: &str, sense: Sense) -> Entry {
    Entry {
        sense: Some(sense),
        ..typed(text, Unit::Degree)
    }
}

fn pair(first: &str, second: &str, rolled: bool) -> Pair {
    Pair {
        first: mm(first),
        second: mm(second),
        rolled,
    }
}

/// A job on a demo card from the box to two rounds: read by strings and plumb line, turned, and read again on a rack.
pub fn whole(name: &str) -> Job {
    let mut job = Job::new("7".into(), card(name), moment(0));
    job.car = Car {
        name: "Orrin 1600 coupe, blue".into(),
        by: "Bay 2".into(),
        pressures: "2.0 bar all round".into(),
        load: "half a tank, nobody in it".into(),
        ride_heights: Corner::ALL
            .into_iter()
            .map(|corner| (corner.key().to_owned(), mm("352")))
            .collect(),
        rim: mm("420"),
        front_track: mm("1405"),
        rear_track: mm("1398"),
        wheelbase: mm("2400"),
    };
    let unpacked = unpack(&job);
    job.counts = unpacked
        .groups
        .iter()
        .flat_map(|group| &group.rows)
        .map(|row| {
            (
                row.id.clone(),
                typed(&row.expected.to_string(), Unit::Count),
            )
        })
        .collect();
    job.findings = unpacked
        .fits
        .iter()
        .map(|row| {
            (
                row.check.id.clone(),
                Finding {
                    answer: Some(Answer::Right),
                    ..Finding::default()
                },
            )
        })
        .collect();
    job.distances = unpacked
        .distances
        .iter()
        .map(|row| {
            (
                row.id.clone(),
                mm(&format!("{:.1}", row.distance.as_mm() + 1.0)),
            )
        })
        .collect();
    sign_off(&mut job);
    let settings = job
        .card
        .adjusters
        .iter()
        .map(|adjuster| (adjuster.id.clone(), measured(&adjuster.mechanism.base())))
        .collect();
    job.settings = settings;
    by_strings(&mut job);
    turn_all(&mut job);
    by_rack(&mut job);
    job.notes = "Left rear wheel has a mark on its rim.".into();
    job
}

/// Every step of the order done a minute after the other, every joint at the card's torque.
fn sign_off(job: &mut Job) {
    let order = &job.order;
    let sections = job
        .card
        .sections
        .iter()
        .filter(|section| applies(&section.when, order))
        .flat_map(|section| &section.steps);
    let steps: Vec<_> = sections
        .chain(&job.card.before_load)
        .chain(&job.card.before_drive)
        .filter(|step| applies(&step.when, order))
        .cloned()
        .collect();
    for (step, minute) in steps.iter().zip(1..) {
        let observed = if step.observe.is_empty() {
            String::new()
        } else {
            "12".into()
        };
        job.marks.insert(
            step.id.clone(),
            Mark {
                at: moment(60 * minute),
                observed,
                skipped: None,
            },
        );
        if let Some(joint) = step.joint.as_deref().and_then(|id| job.card.joint(id)) {
            let torque = joint_torque(joint).wanted.expect("every torque is known");
            let set = typed(
                &format!("{:.1}", torque.as_newton_metres()),
                Unit::NewtonMetre,
            );
            job.torques.insert(
                joint.id.clone(),
                SignOff {
                    set,
                    at: Some(moment(60 * minute)),
                    by: "Bay 2".into(),
                },
            );
        }
    }
}

/// What a rule or a scale shows of a position.
pub fn measured(position: &Position) -> Vec<Entry> {
    let way = |negative: bool| Some(if negative { Sense::Minus } else { Sense::Plus });
    match position {
        Position::Showing(showing) => showing
            .iter()
            .map(|length| mm(&format!("{:.2}", length.as_mm())))
            .collect(),
        Position::Slide(slide) => vec![Entry {
            sense: way(slide.as_mm() < 0.0),
            ..mm(&format!("{:.2}", slide.as_mm().abs()))
        }],
        Position::Stack(stack) => vec![mm(&format!("{:.2}", stack.as_mm()))],
        Position::Cam(cam) => vec![Entry {
            sense: way(cam.as_degrees() < 0.0),
            ..typed(&format!("{:.1}", cam.as_degrees().abs()), Unit::Degree)
        }],
    }
}

/// Everything done that is to be done before reading.
fn settle(round: &mut halfturn::document::Round) {
    for check in Check::ALL {
        let mark = Mark {
            at: round.started,
            ..Mark::default()
        };
        round.checks.insert(check.key().to_owned(), mark);
    }
}

/// A first round: strings and plumb line, each wheel read again after half a turn.
fn by_strings(job: &mut Job) {
    let mut round = new_round(job, moment(20_000));
    settle(&mut round);
    round.strings = Strings {
        left_front: mm("208.0"),
        left_rear: mm("210.0"),
        right_front: mm("203.0"),
        right_rear: mm("207.5"),
        ..Strings::default()
    };
    let wheel = |[front, rear, top, bottom]: [f64; 4]| {
        let text = |mm: f64| format!("{mm:.1}");
        let twice = |first: f64, second: f64| {
            vec![
                pair(&text(first + 0.5), &text(second), false),
                pair(&text(first - 0.5), &text(second), true),
            ]
        };
        WheelRound {
            string: twice(front, rear),
            plumb: twice(top, bottom),
            ..WheelRound::default()
        }
    };
    let axle = |before: &AxleRound| AxleRound {
        floor: degrees("0.1", Sense::Plus),
        left: wheel([181.0, 178.5, 58.0, 52.5]),
        right: wheel([179.0, 180.5, 61.5, 51.5]),
        ..before.clone()
    };
    (round.front, round.rear) = (axle(&round.front), axle(&round.rear));
    job.rounds.push(round);
}

/// Everything the last round's plan asks for turned and measured.
fn turn_all(job: &mut Job) {
    let last = job.rounds.len() - 1;
    let plan = turn(job, last).unwrap();
    let rows: Vec<_> = plan
        .corners
        .iter()
        .flat_map(|corner| &corner.rows)
        .collect();
    assert!(!rows.is_empty(), "there is something to turn");
    for row in rows {
        let taken = Taken {
            steps: row.steps,
            step: Some(row.step),
            now: measured(&row.target),
            at: Some(moment(21_000)),
        };
        job.rounds[last]
            .taken
            .insert(row.adjuster.id.clone(), taken);
    }
}

/// A round from a rack that reads everything at its target.
fn by_rack(job: &mut Job) {
    let mut round = new_round(job, moment(22_000));
    settle(&mut round);
    round.gauge = typed("0.01", Unit::Degree);
    for axle in [Axle::Front, Axle::Rear] {
        let Some(target) = job.card.target(axle) else {
            continue;
        };
        let read = |aim: f64| {
            vec![degrees(
                &format!("{:.2}", aim.abs()),
                if aim < 0.0 { Sense::Minus } else { Sense::Plus },
            )]
        };
        let wheel = || WheelRound {
            toe: read(target.toe.aim.as_degrees() + 0.01),
            camber: read(target.camber.aim.as_degrees() - 0.02),
            ..WheelRound::default()
        };
        let read = AxleRound {
            toe_by: ToeBy::Rack,
            camber_by: CamberBy::Rack,
            left: wheel(),
            right: wheel(),
            ..AxleRound::default()
        };
        *if axle == Axle::Front {
            &mut round.front
        } else {
            &mut round.rear
        } = read;
    }
    job.rounds.push(round);
}

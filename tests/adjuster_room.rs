//! The room of an adjuster against a closed form: the steps that keep every end between its bottom and its least engagement
//! are the whole numbers in an interval, which needs no search. Plain arithmetic on millimetres, written apart from the core.

use halfturn::adjuster::{CamBolt, Mechanism, Position, RodEnd, Sleeve, Step, ThreadedEnd, Turned};
use halfturn::hardware::{Hand, Material, Pair, Thread, engagement, threads};
use halfturn::quantity::{Angle, Length};
use proptest::prelude::*;

/// Measures in millimetres on a grid of a hundredth, so that no bound falls within rounding of a step.
#[derive(Clone, Debug)]
struct End {
    thread: Thread,
    material: Material,
    jam_nut: f64,
    lead: f64,
    depth: f64,
    inside: f64,
    showing: f64,
}

impl End {
    fn shank(&self) -> f64 {
        self.showing + self.jam_nut + self.lead + self.inside
    }

    fn least(&self) -> f64 {
        engagement(self.thread, Pair::usual(self.material))
            .least
            .as_mm()
    }

    fn build(&self, name: &str, hand: Hand) -> ThreadedEnd {
        ThreadedEnd {
            name: name.into(),
            thread: self.thread,
            hand,
            shank: Length::mm(self.shank()),
            jam_nut: Length::mm(self.jam_nut),
            unthreaded_lead: Length::mm(self.lead),
            insert_depth: Length::mm(self.depth),
            insert: self.material,
            shank_strength: None,
            insert_strength: None,
            base_showing: Length::mm(self.showing),
        }
    }

    /// How far the showing may grow and shrink, in millimetres.
    fn play(&self) -> (f64, f64) {
        (
            self.inside - self.least(),
            self.showing.min((self.depth - self.inside).max(0.0)),
        )
    }
}

fn end() -> impl Strategy<Value = End> {
    let all: Vec<Thread> = threads().collect();
    (
        0..all.len(),
        any::<bool>(),
        3..15_i32,
        0..4_i32,
        0..3000_i32,
        0..3000_i32,
        0..3000_i32,
    )
        .prop_map(move |(index, steel, jam_nut, lead, more, past, showing)| {
            let thread = all[index];
            let material = if steel {
                Material::Steel
            } else {
                Material::Aluminium
            };
            let least = engagement(thread, Pair::usual(material)).least.as_mm();
            let hundredths = |count: i32| f64::from(count) / 100.0 + 0.003;
            let inside = least + hundredths(more);
            End {
                thread,
                material,
                jam_nut: f64::from(jam_nut),
                lead: f64::from(lead),
                depth: inside + hundredths(past),
                inside,
                showing: hundredths(showing),
            }
        })
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![Just(Step::Flat), Just(Step::HalfTurn), Just(Step::Turn)]
}

/// Whole steps each way for ends whose showing grows by `per_step` at a step that lengthens.
fn interval(ends: &[(&End, f64)]) -> (i32, i32) {
    let mut least = f64::NEG_INFINITY;
    let mut most = f64::INFINITY;
    for (end, per_step) in ends {
        let (grow, shrink) = end.play();
        let (longer, shorter) = if *per_step > 0.0 {
            (grow, shrink)
        } else {
            (shrink, grow)
        };
        most = most.min((longer / per_step.abs()).floor());
        least = least.max((-shorter / per_step.abs()).ceil());
    }
    (least.max(-240.0) as i32, most.min(240.0) as i32)
}

fn agrees(mechanism: &Mechanism, ends: &[(&End, f64)], step: Step) -> Result<(), TestCaseError> {
    // A bound within a nanometre or so of a step is a tie that either side may take.
    for (end, per_step) in ends {
        let (grow, shrink) = end.play();
        for play in [grow, shrink] {
            let steps = play / per_step.abs();
            prop_assume!(play == 0.0 || (steps - steps.round()).abs() > 1e-4);
        }
    }
    let position = mechanism.base();
    let room = mechanism
        .room(&position, step)
        .map_err(|error| TestCaseError::fail(error.to_string()))?;
    let (least, most) = interval(ends);
    prop_assert_eq!((room.least, room.most()), (least, most));
    let per_step: f64 = ends.iter().map(|(_, per_step)| per_step).sum();
    for steps in [least, most] {
        let travel = room.travel(steps).map(Length::as_mm);
        prop_assert!(
            travel.is_some_and(|travel| (travel - per_step * f64::from(steps)).abs() < 1e-9)
        );
        let there = mechanism.after(&position, step, steps);
        prop_assert!(
            there
                .as_ref()
                .is_some_and(|there| mechanism.check(there).is_ok())
        );
        let back = there.and_then(|there| mechanism.after(&there, step, -steps));
        let Some(Position::Showing(back)) = back else {
            return Err(TestCaseError::fail("no way back"));
        };
        for (back, (end, _)) in back.iter().zip(ends) {
            prop_assert!((back.as_mm() - end.showing).abs() < 1e-9);
        }
    }
    prop_assert_eq!(room.travel(most + 1), None);
    prop_assert_eq!(room.travel(least - 1), None);
    Ok(())
}

proptest! {
    #[test]
    fn of_a_rod_end(end in end(), step in step(), left in any::<bool>(), bar in any::<bool>()) {
        let hand = if left { Hand::Left } else { Hand::Right };
        let turned = if bar { Turned::Bar } else { Turned::Eye };
        let per_step = end.thread.pitch().as_mm() * step.turns();
        let mechanism = Mechanism::RodEnd(RodEnd { turned, end: end.build("outer", hand) });
        agrees(&mechanism, &[(&end, per_step)], step)?;
    }

    #[test]
    fn of_a_sleeve(a in end(), b in end(), step in step()) {
        let ends = [a.build("outer", Hand::Right), b.build("inner", Hand::Left)];
        let per_step = |end: &End| end.thread.pitch().as_mm() * step.turns();
        agrees(&Mechanism::Sleeve(Sleeve { ends }), &[(&a, per_step(&a)), (&b, per_step(&b))], step)?;
    }

    #[test]
    fn of_a_differential_sleeve(a in end(), b in end(), step in step()) {
        let pitches = [a.thread.pitch().as_mm(), b.thread.pitch().as_mm()];
        prop_assume!(pitches[0] != pitches[1]);
        let ends = [a.build("outer", Hand::Right), b.build("inner", Hand::Right)];
        let sign = if pitches[0] > pitches[1] { 1.0 } else { -1.0 };
        let turns = step.turns() * sign;
        agrees(&Mechanism::DifferentialSleeve(Sleeve { ends }), &[(&a, pitches[0] * turns), (&b, -pitches[1] * turns)], step)?;
    }

    /// Half a notch beyond the last mark of the range, so that the count of marks is certain.
    #[test]
    fn of_a_cam(eccentricity in 1..10_i32, notch in 1..20_i32, marks in 1..5_i32, from in -5..5_i32) {
        let notch = f64::from(notch);
        let range = notch * (f64::from(marks) + 0.5);
        prop_assume!(range <= 90.0 && from.abs() <= marks);
        let cam = CamBolt {
            eccentricity: Length::mm(f64::from(eccentricity)),
            notch: Angle::degrees(notch),
            range: Angle::degrees(range),
        };
        let position = Position::Cam(Angle::degrees(notch * f64::from(from)));
        let room = Mechanism::CamBolt(cam).room(&position, Step::Turn).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert_eq!((room.least, room.most()), (-marks - from, marks - from));
        for steps in room.least..=room.most() {
            let sine = |marks: i32| (notch * f64::from(marks)).to_radians().sin();
            let travel = f64::from(eccentricity) * (sine(from + steps) - sine(from));
            prop_assert!(room.travel(steps).is_some_and(|read| (read.as_mm() - travel).abs() < 1e-9));
        }
    }

    /// To a travel and back by the travel it makes.
    #[test]
    fn a_travel_is_found_again(a in end(), b in end(), by in -20.0..20.0f64, from in -1.5..1.5f64) {
        let pair = [a.build("outer", Hand::Right), b.build("inner", Hand::Left)];
        let same = [a.build("outer", Hand::Right), b.build("inner", Hand::Right)];
        let cam = CamBolt { eccentricity: Length::mm(6.0), notch: Angle::degrees(15.0), range: Angle::degrees(90.0) };
        let showing = |count: usize| Position::Showing(vec![Length::mm(6.0); count]);
        let rod_end = RodEnd { turned: Turned::Bar, end: a.build("outer", Hand::Right) };
        let mut cases = vec![
            (Mechanism::RodEnd(rod_end), showing(1)),
            (Mechanism::Sleeve(Sleeve { ends: pair }), showing(2)),
            (Mechanism::CamBolt(cam), Position::Cam(Angle::radians(from))),
        ];
        if a.thread.pitch() != b.thread.pitch() {
            cases.push((Mechanism::DifferentialSleeve(Sleeve { ends: same }), showing(2)));
        }
        for (mechanism, from) in cases {
            match mechanism.moved(&from, Length::mm(by)) {
                Some(to) => prop_assert!((mechanism.travel(&from, &to).as_mm() - by).abs() < 1e-9),
                // Only a cam ends: a shift of its eccentricity either side of the middle.
                None => {
                    let Position::Cam(turn) = from else { panic!("{mechanism:?}") };
                    prop_assert!((6.0 * turn.sin() + by).abs() > 6.0 - 1e-9);
                }
            }
            prop_assert_eq!(mechanism.moved(&Position::Slide(Length::ZERO), Length::mm(by)), None);
        }
    }
}

//! What a job says of its joints over travel and steer: against poses of the linkage itself, solved one by one.

#[path = "common/mod.rs"]
#[allow(dead_code)]
mod common;

use approx::assert_abs_diff_eq;
use common::{CARDS, card, moment, typed, whole};
use halfturn::document::{Corner, Job, LinkEnd, Preferences, Taken, Unit};
use halfturn::linkage::{Linkage, Vector};
use halfturn::quantity::{Angle, Length, LengthUnit};
use halfturn::sheet::{plain_text, sheet};
use halfturn::station::{joints_passed, over_travel};

const MM: LengthUnit = LengthUnit::Millimetre;

fn fresh(name: &str) -> Job {
    Job::new("7".into(), card(name), moment(0))
}

/// How far a rod end of the left rear corner leans as drawn at a travel.
fn leans(job: &Job, rod_end: usize, travel: f64) -> Angle {
    let corner = job.card.geometry_of(Corner::LeftRear).unwrap();
    let linkage = Linkage::new(&corner.geometry()).unwrap();
    let rod_end = &corner.rod_ends[rod_end];
    let pose = linkage
        .pose(&Default::default(), Length::mm(travel))
        .unwrap();
    let link = corner.link(&rod_end.link).unwrap();
    linkage
        .misalignment(&pose, link, rod_end.bolt, rod_end.at == LinkEnd::Carrier)
        .unwrap()
}

#[test]
fn the_cards_keep_their_limits_at_their_base() {
    for name in CARDS {
        for job in [fresh(name), whole(name)] {
            assert_eq!(joints_passed(&job, MM), Vec::<String>::new(), "{name}");
        }
    }
    let rear = over_travel(&fresh("rear"), Corner::RightRear).unwrap();
    assert_eq!(
        rear.basis(MM),
        "By the card's hardpoints as the adjusters stand, from 60.0 mm of bump to 65.0 mm of droop. Not measured yet, and taken at base: Toe link, Upper link, Lower link."
    );
    let rear = over_travel(&whole("rear"), Corner::RightRear).unwrap();
    assert_eq!(
        rear.basis(MM),
        "By the card's hardpoints as the adjusters stand, from 60.0 mm of bump to 65.0 mm of droop."
    );
    let nearest = rear.nearest(MM).unwrap();
    assert!(
        nearest.starts_with("Upper link: the rod end at the car leans"),
        "{nearest}"
    );
    let front = over_travel(&whole("front"), Corner::LeftFront).unwrap();
    assert_eq!(
        front.basis(MM),
        "By the card's hardpoints as the adjusters stand, from 55.0 mm of bump to 60.0 mm of droop, the rack to 62.0 mm each way."
    );
    assert_eq!(over_travel(&whole("rear"), Corner::LeftFront), None);
}

/// Halving the travel by hand, pose by pose, finds the place that is named.
#[test]
fn a_rod_end_that_leans_too_far_in_bump_is_named_with_the_travel() {
    let mut job = fresh("rear");
    // On an upright bolt the toe link's end at the car leans ever further in bump.
    job.card.geometry[0].rod_ends[0].bolt = Vector::UP;
    let most = leans(&job, 0, 40.0);
    assert!(leans(&job, 0, 60.0) > most + Angle::degrees(1.0));
    job.card.geometry[0].rod_ends[0].most = most;
    for corner in [Corner::LeftRear, Corner::RightRear] {
        let over = over_travel(&job, corner).unwrap();
        assert_eq!(over.nearest(MM), None);
        let kept = &over.over.limits[0];
        let bump = kept.passed.iter().find(|at| at.travel > Length::ZERO);
        let travel = bump.expect("it is passed in bump").travel;
        assert_abs_diff_eq!(travel.as_mm(), 40.0, epsilon = 0.01);
        assert!(
            over.over
                .limits
                .iter()
                .skip(1)
                .all(|kept| kept.passed.is_empty())
        );
    }
    let said = joints_passed(&job, MM);
    assert_eq!(said.len(), 2);
    assert!(
        said[0].starts_with("Left rear. Toe link: the rod end at the car passes its ")
            && said[0].contains("at 40.0 mm of bump"),
        "{said:?}"
    );
    assert!(said[1].starts_with("Right rear. "), "{said:?}");
    // It stands on the sheet before all else that is open.
    let sheet = sheet(&job, &Preferences::default());
    assert_eq!(sheet.open[..2], said[..]);
    assert!(plain_text(&sheet, &|_| String::new()).contains(&said[0]));
    // Without a travel the drawn height alone is looked at, and that is said.
    job.card.geometry[0].travel = None;
    let over = over_travel(&job, Corner::LeftRear).unwrap();
    assert_eq!(over.problems(MM), Vec::<String>::new());
    assert!(
        over.basis(MM).starts_with(
            "By the card's hardpoints as the adjusters stand, at the drawn height alone: the card gives no travel"
        ),
        "{}",
        over.basis(MM)
    );
}

/// The half-shaft's length is the distance between its joints, the outer one carried along.
#[test]
fn a_half_shaft_that_plunges_too_far_is_named() {
    let mut job = fresh("rear");
    let corner = job.card.geometry_of(Corner::LeftRear).unwrap();
    let linkage = Linkage::new(&corner.geometry()).unwrap();
    let shaft = corner.half_shaft.unwrap();
    let plunge = |travel: f64| {
        let pose = linkage
            .pose(&Default::default(), Length::mm(travel))
            .unwrap();
        (linkage.point(&pose, shaft.outer) - shaft.inner).length()
            - (shaft.outer - shaft.inner).length()
    };
    let most = plunge(-50.0);
    assert!(most < -0.001 && plunge(-65.0) < most, "{most}");
    job.card.geometry[0].half_shaft.as_mut().unwrap().shorter = Length::metres(-most);
    let over = over_travel(&job, Corner::RightRear).unwrap();
    let passed = &over.over.limits.last().unwrap().passed;
    assert_eq!(passed.len(), 1, "{passed:?}");
    assert_abs_diff_eq!(passed[0].travel.as_mm(), -50.0, epsilon = 0.01);
    let said = over.problems(MM);
    assert!(
        said[0].starts_with("The half-shaft passes its ")
            && said[0].contains("shorter than drawn at 50.0 mm of droop: it gets"),
        "{said:?}"
    );
}

/// Lengths as they are set now count, not those of the base.
#[test]
fn a_turned_adjuster_counts_as_it_stands() {
    let mut job = whole("rear");
    let over = |job: &Job| over_travel(job, Corner::LeftRear).unwrap().over.limits[2].extreme;
    let before = over(&job);
    let id = job
        .card
        .adjusters
        .iter()
        .find(|adjuster| adjuster.corner == Corner::LeftRear && adjuster.name == "Upper link")
        .map(|adjuster| adjuster.id.clone())
        .unwrap();
    let taken = Taken {
        now: vec![typed("14", Unit::Millimetre)],
        at: Some(moment(5)),
        ..Taken::default()
    };
    job.rounds.last_mut().unwrap().taken.insert(id, taken);
    let after = over(&job);
    assert!((after - before).abs() > 1e-3, "{before} {after}");
}

/// A tie rod's end that is kept straight ahead and passed by the rack.
#[test]
fn a_rod_end_that_leans_too_far_when_steered_is_named_with_the_rack() {
    let mut job = fresh("front");
    job.card.geometry[0].travel = None;
    job.card.geometry[0].rod_ends[0].bolt = Vector::new(1.0, 0.0, 0.0);
    let said = joints_passed(&job, MM);
    assert!(
        said.len() == 2 && said[0].contains("passes its 20.00° at the drawn height with the rack"),
        "{said:?}"
    );
    // Mirrored, the rack is on the other side.
    let first = |corner| over_travel(&job, corner).unwrap().over.limits[0].passed[0].rack;
    let racks = [Corner::LeftFront, Corner::RightFront].map(|corner| {
        let passed = over_travel(&job, corner).unwrap().over.limits[0]
            .passed
            .clone();
        let mut racks: Vec<_> = passed.iter().map(|at| at.rack.as_mm()).collect();
        racks.sort_by(f64::total_cmp);
        racks
    });
    assert!(first(Corner::LeftFront) != Length::ZERO);
    let mirrored: Vec<_> = racks[1].iter().rev().map(|rack| -rack).collect();
    for (left, right) in racks[0].iter().zip(&mirrored) {
        assert_abs_diff_eq!(left, right, epsilon = 1e-6);
    }
}

//! Both wheels of an axle, where the card asks something of them together.

use super::{Draft, Planned, Set, inside, lower_first};
use crate::document::{Axle, Preferences};
use crate::plan::{Reading, Ties, Wheel, plan_axle};
use crate::quantity::Angle;
use crate::station::{AxleResult, Tie, Together};

/// How often at most the wheels are planned anew with the rates of the turns that they came to.
const PLANS: usize = 4;

/// Plans both wheels together where each by itself would leave what they come to outside. What should be known of it, in sentences.
pub(super) fn together(axle: &AxleResult, left: &mut Draft, right: &mut Draft) -> Option<String> {
    let (left, right) = (left.planned.as_mut()?, right.planned.as_mut()?);
    let (tie, off) = worst(&axle.ties, &left.after(), &right.after())?;
    let words = Preferences::default();
    let alone = format!(
        "{} axle: each wheel planned by itself, the {} comes out {} off, more than its {}.",
        match axle.axle {
            Axle::Rear => "Rear",
            Axle::Front => "Front",
        },
        lower_first(tie.what.words()),
        words.angle(off),
        words.angle(tie.target.tolerance)
    );
    let finer = left.on_axle.finer.len().max(right.on_axle.finer.len());
    let further = left.on_axle.further.len().max(right.on_axle.further.len());
    let both = |set: Set| [set.clone(), set];
    let sets = std::iter::once([&left.plan, &right.plan].map(|plan| Set::of(&plan.outcome)))
        .chain((0..finer).map(|level| both(Set::Finer(level))))
        .chain((0..further).map(|which| both(Set::Further(vec![which]))));
    let by_themselves = [left.plan.clone(), right.plan.clone()];
    for sets in sets {
        if turned(&axle.ties, left, right, &sets) == Some(true) {
            return Some(format!(
                "{alone} Both are planned together: these steps keep it too."
            ));
        }
    }
    [left.plan, right.plan] = by_themselves;
    Some(format!(
        "{alone} No whole steps of both within the thread that is left keep every tolerance."
    ))
}

/// Plans both wheels with these adjusters, and tells whether that keeps every tolerance by the rates of its own turn. None where nothing does.
fn turned(
    ties: &[Tie],
    left: &mut Planned,
    right: &mut Planned,
    [ours, theirs]: &[Set; 2],
) -> Option<bool> {
    for _ in 0..PLANS {
        let plan = plan_axle(
            Wheel {
                reading: &left.from,
                goal: &left.search.goal,
                levers: &left.on_axle.levers(ours),
                may_stand: &|travels| left.search.may_stand(travels),
            },
            Wheel {
                reading: &right.from,
                goal: &right.search.goal,
                levers: &right.on_axle.levers(theirs),
                may_stand: &|travels| right.search.may_stand(travels),
            },
            &asked(ties),
        );
        let plan = plan.ok()??;
        let settled = left.turn(ours, plan.left) & right.turn(theirs, plan.right);
        if settled {
            break;
        }
    }
    let (a, b) = (left.after(), right.after());
    Some(
        inside(&a, &left.search.goal)
            && inside(&b, &right.search.goal)
            && worst(ties, &a, &b).is_none()
            && left.stands()
            && right.stands(),
    )
}

fn asked(ties: &[Tie]) -> Ties {
    let mut asked = Ties::default();
    for tie in ties {
        let tolerance = Some(tie.target.tolerance);
        match tie.what {
            Together::TotalToe => asked.total_toe = tolerance,
            Together::Thrust(_) => asked.split = tolerance,
            Together::CrossCamber => asked.cross_camber = tolerance,
        }
    }
    asked
}

/// The tie that is furthest outside, and by how much it is off its aim; none where all are kept.
fn worst<'a>(ties: &'a [Tie], left: &Reading, right: &Reading) -> Option<(&'a Tie, Angle)> {
    let mut worst: Option<(&Tie, Angle, f64)> = None;
    for tie in ties {
        let value = match tie.what {
            Together::TotalToe => left.toe?.value + right.toe?.value,
            Together::Thrust(_) => (left.toe?.value - right.toe?.value) * 0.5,
            Together::CrossCamber => left.camber?.value - right.camber?.value,
        };
        let off = (value - tie.target.aim).abs();
        let share = off / tie.target.tolerance;
        if share > 1.0 + 1e-9 && worst.is_none_or(|(_, _, known)| share > known) {
            worst = Some((tie, off, share));
        }
    }
    worst.map(|(tie, off, _)| (tie, off))
}

//! What a corner's joints do over its travel and steer, with the adjusters as they stand.

use super::base::{measure, stands_now};
use super::rates::Drawn;
use crate::document::{Adjuster, Corner, Job};
use crate::linkage::{Geometry, JointLimit, Mover, OverRange, Range};
use crate::quantity::{Length, LengthUnit, write_length};

/// How the rod ends and the half-shaft of a corner keep their limits.
#[derive(Clone, Debug, PartialEq)]
pub struct OverTravel {
    /// Which corner.
    pub corner: Corner,
    /// The stretch that was looked at.
    pub range: Range,
    /// The limits of the card.
    pub limits: Vec<JointLimit>,
    /// How they are kept.
    pub over: OverRange,
    /// The adjusters that are not measured, which were taken to stand at their base.
    pub at_base: Vec<String>,
    geometry: Geometry,
}

/// How the rod ends and the half-shaft of a corner keep their limits with the adjusters as they stand; none where the card gives no limit there, or no
/// hardpoints that can be solved.
pub fn over_travel(job: &Job, corner: Corner) -> Option<OverTravel> {
    let drawn = Drawn::of(job, corner)?;
    if drawn.limits.is_empty() {
        return None;
    }
    let mut at_base = Vec::new();
    let movers: Vec<(Mover, Length)> = job
        .card
        .adjusters
        .iter()
        .filter(|adjuster| adjuster.corner == corner)
        .filter_map(|adjuster| {
            let moves = adjuster.moves.as_ref()?;
            Some((
                drawn.corner.mover(moves),
                travel(job, adjuster, &mut at_base),
            ))
        })
        .collect();
    let (movers, travels): (Vec<_>, Vec<_>) = movers.into_iter().unzip();
    Some(OverTravel {
        corner,
        range: drawn.range,
        over: drawn.over(&drawn.linkage.set(&movers, &travels)),
        limits: drawn.limits,
        at_base,
        geometry: drawn.corner.geometry(),
    })
}

/// What is wrong with the joints of every corner as its adjusters stand, in sentences that begin with the corner.
pub fn joints_passed(job: &Job, unit: LengthUnit) -> Vec<String> {
    let corners = Corner::ALL.into_iter();
    corners
        .filter_map(|corner| over_travel(job, corner))
        .flat_map(|over| {
            let problems = over.problems(unit).into_iter();
            problems.map(move |problem| format!("{}. {problem}", over.corner.words()))
        })
        .collect()
}

/// How far an adjuster stands from its base.
fn travel(job: &Job, adjuster: &Adjuster, at_base: &mut Vec<String>) -> Length {
    let mechanism = &adjuster.mechanism;
    match measure(mechanism, stands_now(job, adjuster)).1 {
        Some(position) => mechanism.travel(&mechanism.base(), &position),
        None => {
            at_base.push(adjuster.name.clone());
            Length::ZERO
        }
    }
}

impl OverTravel {
    /// What is wrong, in sentences; nothing where every limit is kept.
    pub fn problems(&self, unit: LengthUnit) -> Vec<String> {
        self.over.problems(&self.limits, &self.geometry, unit)
    }

    /// The limit with the least to spare, in a sentence, where all are kept.
    pub fn nearest(&self, unit: LengthUnit) -> Option<String> {
        self.over.nearest(&self.limits, &self.geometry, unit)
    }

    /// Over what stretch it was looked at, and for which adjusters, in a sentence.
    pub fn basis(&self, unit: LengthUnit) -> String {
        let length = |length| write_length(length, unit);
        let mut words = if self.range.bump == Length::ZERO && self.range.droop == Length::ZERO {
            "By the card's hardpoints as the adjusters stand, at the drawn height alone: the card gives no travel"
                .to_owned()
        } else {
            format!(
                "By the card's hardpoints as the adjusters stand, from {} of bump to {} of droop",
                length(self.range.bump),
                length(self.range.droop)
            )
        };
        if let Some(rack) = self.range.rack {
            words.push_str(&format!(", the rack to {} each way", length(rack.each_way)));
        }
        words.push('.');
        if !self.at_base.is_empty() {
            words.push_str(&format!(
                " Not measured yet, and taken at base: {}.",
                self.at_base.join(", ")
            ));
        }
        words
    }
}

//! The check of a box before it ships: what goes into it, what is held or sent after, and its packing slip.

use super::{State, order_words, unpack};
use crate::document::{Answer, HeldWay, Job, Moment};

/// A line of the packing slip.
#[derive(Clone, Debug, PartialEq)]
pub struct SlipLine {
    /// What it is, in full.
    pub name: String,
    /// How many were ordered.
    pub ordered: u32,
    /// How many are in the box; none where they are not counted, or their count cannot be read.
    pub ships: Option<u32>,
    /// How many are sent after.
    pub later: u32,
}

/// Lines counted together.
#[derive(Clone, Debug, PartialEq)]
pub struct SlipGroup {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub lines: Vec<SlipLine>,
}

/// A check of a box, as it goes on its packing slip.
#[derive(Clone, Debug, PartialEq)]
pub struct Slip {
    /// Whose order it is.
    pub order: String,
    /// The kit card with its revision and maker.
    pub card: String,
    /// The choices ordered.
    pub options: String,
    /// Parts and bags.
    pub groups: Vec<SlipGroup>,
    /// What is sent after, with the note on it.
    pub back_ordered: Vec<String>,
    /// Holes, threads and the rest, each with what was found.
    pub tried: Vec<String>,
    /// Who checked it.
    pub by: String,
    /// When it was last changed.
    pub changed: Moment,
    /// What keeps the box from shipping. None: it may ship.
    pub open: Vec<String>,
}

/// The check of a box.
pub fn slip(job: &Job) -> Slip {
    let unpacked = unpack(job);
    let outgoing = job.outgoing.clone().unwrap_or_default();
    let (mut open, mut back_ordered) = (Vec::new(), Vec::new());
    let mut uncounted = 0_usize;
    let mut groups = Vec::new();
    for group in &unpacked.groups {
        let mut lines = Vec::new();
        for row in &group.rows {
            let (name, ordered) = (&row.name, row.expected);
            let ships = match &row.received {
                None => {
                    uncounted += 1;
                    None
                }
                Some(Err(_)) => {
                    open.push(format!(
                        "{name} ({}): its count cannot be read.",
                        group.name
                    ));
                    None
                }
                Some(Ok(count)) => Some(*count),
            };
            let short = row.short();
            let over = ships.unwrap_or_default().saturating_sub(ordered);
            if over > 0 {
                open.push(format!(
                    "{name} ({}): {over} too many, take out what was not ordered.",
                    group.name
                ));
            }
            let mut later = 0;
            if short > 0 {
                let held = outgoing.held.get(&row.id);
                let note = held.map_or("", |held| held.note.trim());
                let note = match note {
                    "" => String::new(),
                    note => format!(" ({note})"),
                };
                match held.map(|held| held.way) {
                    Some(HeldWay::BackOrder) => {
                        later = short;
                        back_ordered.push(format!("{short} × {name}{note}"));
                    }
                    Some(HeldWay::Hold) => open.push(format!(
                        "{name} ({}): {short} short, the box is held for it{note}.",
                        group.name
                    )),
                    None => open.push(format!(
                        "{name} ({}): {short} short. Hold the box for it, or send it after.",
                        group.name
                    )),
                }
            }
            lines.push(SlipLine {
                name: name.clone(),
                ordered,
                ships,
                later,
            });
        }
        groups.push(SlipGroup {
            name: group.name.clone(),
            lines,
        });
    }
    if uncounted > 0 {
        open.push(match uncounted {
            1 => "1 line is not counted yet.".into(),
            many => format!("{many} lines are not counted yet."),
        });
    }
    let mut tried = Vec::new();
    let mut untried = 0_usize;
    for row in &unpacked.fits {
        match row.state() {
            State::Wrong => open.push(format!(
                "{}: {}. Put in another one and try it again.",
                row.check.name,
                row.why_not()
            )),
            State::Done => {
                let note = job.findings.get(&row.check.id).map(|found| &found.note);
                let note = note.map_or("", |note| note.trim());
                let mut words =
                    super::fit_words(row.check.kind, row.answer.unwrap_or(Answer::Right))
                        .to_owned();
                if let Some(Ok(hole)) = &row.hole {
                    words = format!("hole {}", hole.fit.name());
                }
                if !note.is_empty() {
                    words = format!("{words} ({note})");
                }
                tried.push(format!("{}: {words}", row.check.name));
            }
            State::Open | State::Begun => untried += 1,
        }
    }
    if untried > 0 {
        open.push(match untried {
            1 => "1 hole, thread or other fit is not tried yet.".into(),
            many => format!("{many} holes, threads and other fits are not tried yet."),
        });
    }
    let by = job.car.by.trim();
    if by.is_empty() {
        open.push("Nobody is named as having checked it.".into());
    }
    Slip {
        order: outgoing.order.trim().to_owned(),
        card: format!(
            "{} rev {}, {}",
            job.card.name, job.card.revision, job.card.maker
        ),
        options: order_words(job),
        groups,
        back_ordered,
        tried,
        by: by.to_owned(),
        changed: job.changed,
        open,
    }
}

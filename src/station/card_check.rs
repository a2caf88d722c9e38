//! The maker's desk: what keeps a half-written kit card from being used, and what a careful reader of a whole one would ask about.

use super::torque::{TorqueFrom, joint_torque, lock};
use crate::adjuster::{Mechanism, Position};
use crate::document::{
    Adjuster, BagItem, CornerGeometry, Handed, Joint, Json, KitCard, Order, Part, Problem, Signal,
    Step, When, applies, form, read_draft, speaks_clear_of,
};
use crate::hardware::{Thread, holds};
use crate::quantity::{Fixed, Length, write_sold_length};

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// No job can start on the card before it is settled.
    Must,
    /// It may be meant so; somebody should look.
    Look,
}

/// Something said of a card.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// How much it weighs.
    pub weight: Weight,
    /// The way to the field in the document.
    pub field: String,
    /// What is wrong or strange, as a sentence.
    pub message: String,
}

/// What there is to say of a half-written card.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The card, once nothing must be settled.
    pub card: Option<KitCard>,
    /// Everything said of it, what must be settled first.
    pub findings: Vec<Finding>,
    /// The corners of its geometry that can be looked at already.
    pub corners: Vec<CornerGeometry>,
}

/// Judges a half-written card.
pub fn judge_card(draft: &Json) -> Judged {
    let mut whole = draft.clone();
    form::give_ids(&mut whole, true);
    let read = read_draft(&whole);
    let must = |Problem { field, message }: &Problem| Finding {
        weight: Weight::Must,
        field: field.clone(),
        message: message.clone(),
    };
    let mut findings: Vec<_> = read.unread.iter().chain(&read.wrong).map(must).collect();
    let usable = findings.is_empty();
    let mut more = check_card(&read.card);
    more.retain(|finding| speaks_clear_of(&read.unread, &finding.field));
    findings.extend(more);
    let corners = read.card.geometry.iter();
    Judged {
        corners: corners
            .filter(|corner| corner.geometry().problems().is_empty())
            .cloned()
            .collect(),
        card: usable.then_some(read.card),
        findings,
    }
}

/// What a careful reader would ask about a card that can be used.
pub fn check_card(card: &KitCard) -> Vec<Finding> {
    let mut check = Check {
        orders: card.orders(),
        card,
        findings: Vec::new(),
    };
    check.options();
    check.parts();
    check.bags();
    check.hardware();
    check.joints();
    check.signatures();
    check.adjusters();
    check.steps();
    check.uses();
    check.findings
}

struct Check<'a> {
    card: &'a KitCard,
    orders: Vec<Order>,
    findings: Vec<Finding>,
}

/// Fewest and most steps of a list that is gone through without losing the place: common practice, no source.
const STEPS: std::ops::RangeInclusive<usize> = 5..=9;

impl Check<'_> {
    /// Says something once, whatever number of orders it is found in.
    fn look(&mut self, field: String, message: String) {
        let finding = Finding {
            weight: Weight::Look,
            field,
            message,
        };
        if !self.findings.contains(&finding) {
            self.findings.push(finding);
        }
    }

    fn options(&mut self) {
        let mut asked: Vec<&str> = Vec::new();
        self.card.conditions(&mut |when| {
            asked.extend(when.iter().map(|(option, _)| option));
        });
        for (i, option) in self.card.options.iter().enumerate() {
            if !asked.contains(&option.id.as_str()) {
                self.look(
                    format!("options[{i}]"),
                    "Nothing on the card depends on this option: say with a part, bag, joint or step which choice it belongs to.".into(),
                );
            }
        }
    }

    /// A part for one side has one for the other.
    fn parts(&mut self) {
        let parts = &self.card.parts;
        for (i, part) in parts.iter().enumerate() {
            let (other, word) = match part.hand {
                Handed::Left => (Handed::Right, "right"),
                Handed::Right => (Handed::Left, "left"),
                Handed::Either => continue,
            };
            let (same, swapped) = (&part.name, other_side(&part.name));
            let twin =
                |twin: &&Part| twin.hand == other && (twin.name == *same || twin.name == swapped);
            match parts.iter().find(twin) {
                None => self.look(
                    format!("parts[{i}].hand"),
                    format!("No part for the {word} side goes with it: add \"{swapped}\"."),
                ),
                Some(twin) if twin.count != part.count => self.look(
                    format!("parts[{i}].count"),
                    format!(
                        "{} of it, and {} for the {word} side.",
                        part.count, twin.count
                    ),
                ),
                Some(_) => {}
            }
        }
    }

    /// Where a bag holds both bolts and nuts of a thread it holds as many of each.
    fn bags(&mut self) {
        let card = self.card;
        for (b, bag) in card.bags.iter().enumerate() {
            if bag.items.is_empty() {
                self.look(format!("bags[{b}]"), "It holds nothing.".into());
            }
            for order in self.orders.clone() {
                let held = || {
                    bag.items
                        .iter()
                        .filter(|item| applies(&bag.when, &order) && applies(&item.when, &order))
                };
                for thread in held().filter_map(|item| item.thread) {
                    let count = |kind: Hardware| -> u32 {
                        held()
                            .filter(|item| item.thread == Some(thread) && hardware(item) == kind)
                            .fold(0, |sum, item| sum.saturating_add(item.count))
                    };
                    let (bolts, nuts) = (count(Hardware::Bolt), count(Hardware::Nut));
                    if bolts > 0 && nuts > 0 && bolts != nuts {
                        self.look(
                            format!("bags[{b}]"),
                            format!(
                                "It holds {bolts} {} and {nuts} {} of {}.",
                                if bolts == 1 { "bolt" } else { "bolts" },
                                if nuts == 1 { "nut" } else { "nuts" },
                                thread.designation()
                            ),
                        );
                    }
                }
            }
        }
    }

    /// The bags hold the bolts that the joints take, where they hold any of that thread and length.
    fn hardware(&mut self) {
        let card = self.card;
        for order in self.orders.clone() {
            for (b, bag) in card.bags.iter().enumerate() {
                for (i, item) in bag.items.iter().enumerate() {
                    let (Some(thread), Some(length), Hardware::Bolt) =
                        (item.thread, item.length, hardware(item))
                    else {
                        continue;
                    };
                    let joints = card.joints.iter().filter(|joint| {
                        joint.thread == thread
                            && joint.length == Some(length)
                            && applies(&joint.when, &order)
                    });
                    let taken = joints.fold(0_u32, |sum, joint| sum.saturating_add(joint.count));
                    let held = bolts_of(card, thread, length, &order);
                    if held > 0 && taken > held {
                        self.look(
                            format!("bags[{b}].items[{i}].count"),
                            format!(
                                "The joints take {taken} of {} × {}, and the bags hold {held}.",
                                thread.designation(),
                                write_sold_length(length, thread.unit())
                            ),
                        );
                    }
                }
            }
        }
    }

    fn joints(&mut self) {
        for (i, joint) in self.card.joints.iter().enumerate() {
            let torque = joint_torque(joint);
            if let Some(warning) = torque.warning {
                self.look(format!("joints[{i}].torque"), warning);
            }
            if let (TorqueFrom::Nowhere, Err(why)) = (torque.from, torque.computed) {
                self.look(
                    format!("joints[{i}].torque"),
                    format!("No torque is given, and none is computed, so the fitter has to ask you. {why}"),
                );
            }
        }
    }

    /// A step that signs off a joint stands in the orders that have the joint, and no other signs it off again.
    fn signatures(&mut self) {
        let card = self.card;
        let nothing = When::default();
        for order in self.orders.clone() {
            let mut signed: Vec<&str> = Vec::new();
            for (field, step, section) in steps(card, &nothing) {
                let Some(joint) = step.joint.as_deref().and_then(|id| card.joint(id)) else {
                    continue;
                };
                if !applies(&step.when, &order) || !applies(section, &order) {
                    continue;
                }
                let Joint { id, name, when, .. } = joint;
                if !applies(when, &order) {
                    self.look(
                        format!("{field}.joint"),
                        format!("An order that has this step has no joint \"{name}\": let both depend on the same choice."),
                    );
                }
                if signed.contains(&id.as_str()) {
                    self.look(
                        format!("{field}.joint"),
                        format!("A step before it signs off \"{name}\" already."),
                    );
                }
                signed.push(id);
            }
        }
    }

    fn adjusters(&mut self) {
        let card = self.card;
        for (i, adjuster) in card.adjusters.iter().enumerate() {
            let field = format!("adjusters[{i}]");
            self.base_of(&field, adjuster);
            if let Some(warning) = lock(card, adjuster).and_then(|lock| lock.warning) {
                self.look(format!("{field}.lock_torque"), warning);
            }
            let side = adjuster.corner.side();
            let twin = card.adjusters.iter().find(|twin| {
                twin.name == adjuster.name
                    && twin.corner.axle() == adjuster.corner.axle()
                    && twin.corner.side() != side
            });
            match twin {
                None => self.look(
                    format!("{field}.name"),
                    format!(
                        "Nothing of this name is at the {} corner: left and right cannot be compared.",
                        adjuster.corner.twin().words().to_ascii_lowercase()
                    ),
                ),
                Some(twin) if side.words() == "right" => {
                    for (part, differs) in [
                        ("mechanism", twin.mechanism != adjuster.mechanism),
                        ("step", twin.step != adjuster.step),
                        ("role", twin.role != adjuster.role),
                        ("toe", twin.toe != adjuster.toe),
                        ("camber", twin.camber != adjuster.camber),
                        ("moves", twin.moves != adjuster.moves),
                        ("lock_torque", twin.lock_torque != adjuster.lock_torque),
                    ] {
                        if differs {
                            self.look(
                                format!("{field}.{part}"),
                                "It is not the same as on the left.".into(),
                            );
                        }
                    }
                }
                Some(_) => {}
            }
        }
    }

    /// The base setting leaves enough thread for comfort, and a step each way.
    fn base_of(&mut self, field: &str, adjuster: &Adjuster) {
        let mechanism = &adjuster.mechanism;
        let base = mechanism.base();
        if let Position::Showing(showing) = &base {
            for (end, showing) in mechanism.ends().iter().zip(showing) {
                let Ok(state) = end.state(*showing) else {
                    continue;
                };
                if state.is_safe() && state.engaged < state.needed.preferred {
                    let d = end.thread.diameter();
                    self.look(
                        format!("{field}.mechanism"),
                        format!(
                            "{} end: the base setting leaves {} d engaged, and {} d is preferred for a rod end.",
                            end.name,
                            Fixed(state.engaged / d, 1),
                            Fixed(state.needed.preferred / d, 1)
                        ),
                    );
                }
            }
        }
        let step = adjuster.step.unwrap_or(mechanism.usual_step());
        if let Ok(room) = mechanism.room(&base, step) {
            let stack = matches!(mechanism, Mechanism::Shims(_));
            let [more, less] = mechanism.ways().map(str::to_ascii_lowercase);
            for (none, way) in [(room.most() == 0, more), (room.least == 0 && !stack, less)] {
                if none {
                    self.look(
                        format!("{field}.mechanism"),
                        format!("From its base setting there is not one step to {way}."),
                    );
                }
            }
        }
    }

    fn steps(&mut self) {
        let card = self.card;
        let (mut warned, mut carried) = (false, false);
        for (s, section) in card.sections.iter().enumerate() {
            let field = format!("sections[{s}]");
            let alarms = |step: &Step| {
                let signal = step.caution.as_ref().map(|caution| caution.signal);
                matches!(signal, Some(Signal::Danger | Signal::Warning))
            };
            warned |= section.steps.iter().any(alarms);
            carried |= section.steps.iter().any(|step| step.support);
            if section.raised && !warned {
                self.look(
                    format!("{field}.raised"),
                    "The car is raised, and no DANGER or WARNING stands here or before.".into(),
                );
                warned = true;
            }
            if section.raised && !carried {
                self.look(
                    format!("{field}.raised"),
                    "The car is raised, and no step here or before is marked as holding it up, so nothing is asked again after a break.".into(),
                );
                carried = true;
            }
            self.length_of(&field, &section.steps, &section.when);
            let confirms = |step: &Step| holds(&step.text.to_ascii_lowercase(), "confirm");
            if section.steps.last().is_some_and(|step| !confirms(step)) {
                self.look(
                    field,
                    "Its last step does not confirm that the section is complete: end with one such as \"Confirm section complete: bolts at torque and marked\".".into(),
                );
            }
        }
        let nothing = When::default();
        for (field, list, what) in [
            ("before_load", &card.before_load, "the wheels take load"),
            ("before_drive", &card.before_drive, "the first drive"),
        ] {
            match list.is_empty() {
                true => self.look(field.into(), format!("Nothing is gone over before {what}.")),
                false => self.length_of(field, list, &nothing),
            }
        }
    }

    fn length_of(&mut self, field: &str, steps: &[Step], when: &When) {
        for order in self.orders.clone() {
            let count = steps
                .iter()
                .filter(|step| applies(&step.when, &order))
                .count();
            if applies(when, &order) && !STEPS.contains(&count) {
                self.look(
                    field.to_owned(),
                    format!(
                        "It has {count} {} in one order: five to nine are gone through without losing the place.",
                        if count == 1 { "step" } else { "steps" }
                    ),
                );
            }
        }
    }

    fn uses(&mut self) {
        for (i, one) in self.card.uses.iter().enumerate() {
            if !self
                .card
                .advice
                .iter()
                .any(|advice| advice.uses.contains(&one.id))
            {
                self.look(format!("uses[{i}]"), "No advice is for this use.".into());
            }
        }
    }
}

/// Every step with the way to it and the choices of its section.
fn steps<'a>(card: &'a KitCard, nothing: &'a When) -> Vec<(String, &'a Step, &'a When)> {
    let mut steps = Vec::new();
    for (s, section) in card.sections.iter().enumerate() {
        for (i, step) in section.steps.iter().enumerate() {
            steps.push((format!("sections[{s}].steps[{i}]"), step, &section.when));
        }
    }
    for (name, list) in [
        ("before_load", &card.before_load),
        ("before_drive", &card.before_drive),
    ] {
        for (i, step) in list.iter().enumerate() {
            steps.push((format!("{name}[{i}]"), step, nothing));
        }
    }
    steps
}

/// What a kind of hardware is by its name.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Hardware {
    Bolt,
    Nut,
    Other,
}

/// By the name before its colon, after which it says where it goes. A jam nut locks an adjuster and has no bolt.
fn hardware(item: &BagItem) -> Hardware {
    let name = item.name.to_ascii_lowercase();
    let what = name.split(':').next().unwrap_or_default();
    let is = |word| holds(what, word);
    match (is("nut"), is("bolt") || is("screw") || is("stud")) {
        (true, false) if is("jam") || is("thin") => Hardware::Other,
        (true, false) => Hardware::Nut,
        (false, true) => Hardware::Bolt,
        _ => Hardware::Other,
    }
}

fn bolts_of(card: &KitCard, thread: Thread, length: Length, order: &Order) -> u32 {
    let bags = card.bags.iter().filter(|bag| applies(&bag.when, order));
    bags.flat_map(|bag| &bag.items)
        .filter(|item| {
            item.thread == Some(thread)
                && item.length == Some(length)
                && hardware(item) == Hardware::Bolt
                && applies(&item.when, order)
        })
        .fold(0, |sum, item| sum.saturating_add(item.count))
}

/// A name with the words left and right exchanged.
fn other_side(name: &str) -> String {
    let mut other = String::new();
    let mut word = String::new();
    for c in name.chars().chain(['\n']) {
        if c.is_ascii_alphabetic() {
            word.push(c);
            continue;
        }
        other.push_str(match word.as_str() {
            "left" => "right",
            "right" => "left",
            "Left" => "Right",
            "Right" => "Left",
            word => word,
        });
        word.clear();
        other.push(c);
    }
    other.pop();
    other
}

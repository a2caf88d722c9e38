//! Torques of a card's joints and jam nuts: the maker's first, a computed one beside it or in its place, and the chart of them all.

use super::order_words;
use crate::adjuster::ThreadedEnd;
use crate::document::{Adjuster, BagItem, Job, Joint, KitCard, Preferences, Tighten, applies};
use crate::hardware::{
    Condition, Fastening, Given, Grade, MATE_UNKNOWN, Mate, Nut, Thread, Tightening, hex_nut,
    holds, lock_nut_note, tighten, wrenches,
};
use crate::quantity::{Length, Torque, TorqueUnit, write_sold_length, write_torque};

/// Where a torque is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TorqueFrom {
    /// The kit's maker gives it on the card. It always holds.
    Card,
    /// The card gives none: it is computed from thread, grade, nut and finish.
    Computed,
    /// The card gives none, and none can be computed.
    Nowhere,
}

impl TorqueFrom {
    /// In a word, beside the torque.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Card => "card",
            Self::Computed => "computed",
            Self::Nowhere => "",
        }
    }
}

/// What stands where no torque is known.
pub const ASK: &str = "ask the kit's maker";

/// What a joint is tightened to, and what that rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct JointTorque {
    /// The torque to tighten to; none: the kit's maker is to be asked.
    pub wanted: Option<Torque>,
    /// Where it is from.
    pub from: TorqueFrom,
    /// The computed torque; or which words of the card were not understood. Beside a card's torque the bolt alone is counted where the nut is
    /// not understood.
    pub computed: Result<Tightening, String>,
    /// What speaks against the card's torque, in a sentence.
    pub warning: Option<String>,
    /// What else should be known, in sentences.
    pub notes: Vec<String>,
}

/// The torque of a joint.
pub fn joint_torque(joint: &Joint) -> JointTorque {
    let mate = Mate::parse(&joint.nut);
    let known = mate != Mate::Unknown;
    let mut computed = computed(joint, mate);
    let mut notes = Vec::new();
    if let Ok(computed) = &mut computed {
        notes = std::mem::take(&mut computed.notes);
        notes.retain(|note| note != MATE_UNKNOWN);
    }
    let (wanted, from) = match (joint.torque, &computed) {
        (Some(card), _) => (Some(card), TorqueFrom::Card),
        (None, Ok(computed)) => (Some(computed.torque), TorqueFrom::Computed),
        (None, Err(_)) => (None, TorqueFrom::Nowhere),
    };
    let held = joint.torque.zip(computed.as_ref().ok());
    let warning = held.and_then(|(card, computed)| {
        // Where the nut is not known it may be the weaker one, and a low torque right.
        let guess = !known && computed.judge(card) == Given::Low;
        computed.judgement(card).filter(|_| !guess)
    });
    if from == TorqueFrom::Computed && holds(&joint.nut, "lock nut") {
        notes.push(lock_nut_note(joint.thread));
    }
    JointTorque {
        wanted,
        from,
        computed,
        warning,
        notes,
    }
}

/// The torque that a joint is tightened to, as [`JointTorque::wanted`], without what it rests on.
pub fn wanted_torque(joint: &Joint) -> Option<Torque> {
    joint.torque.or_else(|| {
        let computed = computed(joint, Mate::parse(&joint.nut)).ok()?;
        Some(computed.torque)
    })
}

fn computed(joint: &Joint, mate: Mate) -> Result<Tightening, String> {
    let grade = Grade::parse(&joint.grade)
        .map_err(|error| format!("Grade \"{}\": {error}", joint.grade))?;
    // Of two systems a bolt may be, when its grade is named: 8 on M12 may be meant as 8.8.
    if grade.is_inch() && !joint.thread.is_inch() && matches!(joint.grade.trim(), "2" | "5" | "8") {
        return Err(format!(
            "Grade \"{}\" on a metric thread does not say which: write its class, such as 8.8, or SAE before the grade.",
            joint.grade
        ));
    }
    let condition = Condition::parse(&joint.condition).ok_or_else(|| {
        format!(
            "Finish \"{}\" is not understood: write such as zinc plated, dry, or oiled.",
            joint.condition
        )
    })?;
    if mate == Mate::Unknown && joint.torque.is_none() {
        return Err(format!(
            "Nut \"{}\" is not understood: write its grade or class, or what is tapped and how deep.",
            joint.nut
        ));
    }
    let mut fastening = Fastening::new(joint.thread, grade, mate, condition);
    fastening.length = joint.length;
    tighten(&fastening).map_err(|error| error.to_string())
}

impl JointTorque {
    /// The torque in words, or that the kit's maker is to be asked.
    pub fn words(&self, words: &Preferences) -> String {
        self.wanted
            .map_or_else(|| ASK.into(), |torque| words.torque(torque))
    }

    /// Where the torque is from and what it rests on, in a line.
    pub fn basis(&self) -> String {
        match (self.from, &self.computed) {
            (TorqueFrom::Card, _) => "The kit maker's, from the card.".into(),
            (_, Ok(computed)) => format!("COMPUTED, not from the card: {}.", computed.basis),
            (_, Err(why)) => format!("Not on the card, and not computed. {why}"),
        }
    }

    /// The computed torque with its range beside a card's; the range of a computed one.
    pub fn range(&self, words: &Preferences) -> String {
        match (self.from, &self.computed) {
            (TorqueFrom::Nowhere, _) => String::new(),
            (_, Err(why)) => format!("Not held against a computed torque. {why}"),
            (from, Ok(computed)) => {
                let beside = match from {
                    TorqueFrom::Card => {
                        format!("Computed beside it: {}. ", words.torque(computed.torque))
                    }
                    _ => String::new(),
                };
                format!(
                    "{beside}By the scatter of friction {} to {} may as well be right.",
                    words.torque(computed.range.0),
                    words.torque(computed.range.1)
                )
            }
        }
    }
}

/// The state in which a joint is tightened, in words. It stands beside every torque.
pub const fn tighten_words(tighten: Tighten) -> &'static str {
    match tighten {
        Tighten::OnStands => "on stands",
        Tighten::AtRideHeight => "at ride height",
    }
}

/// A joint's bolts in words: `2 of 3/8-24 UNF × 1.250 in, grade 8`.
pub fn bolt_words(joint: &Joint) -> String {
    let length = joint.length.map_or_else(String::new, |length| {
        let unit = joint.thread.unit();
        format!(" × {}", write_sold_length(length, unit))
    });
    // A bare number is a grade to nobody: 8, and 8.8.
    let grade = Grade::parse(&joint.grade).map_or_else(|_| joint.grade.clone(), Grade::name);
    format!(
        "{} of {}{length}, {grade}",
        joint.count,
        joint.thread.designation()
    )
}

/// The tools that the card names, or else the wrenches that the standards give the size.
pub fn tool_words(joint: &Joint) -> String {
    if !joint.tools.is_empty() {
        return joint.tools.clone();
    }
    let Some(sizes) = wrenches(joint.thread) else {
        return String::new();
    };
    let unit = joint.thread.unit();
    let size = |length: Length| write_sold_length(length, unit);
    let head = match sizes.key {
        Some(key) if Grade::parse(&joint.grade) == Ok(Grade::A574) => {
            format!("{} hex key", size(key))
        }
        _ => format!("{} for the bolt", size(sizes.bolt)),
    };
    let old = sizes.old.map_or_else(String::new, |old| {
        format!(" ({} where it is made to DIN)", size(old))
    });
    format!(
        "By standard {head}, {} for a nut{old}: try it first",
        size(sizes.nut)
    )
}

/// The torque that locks an adjuster again.
#[derive(Clone, Debug, PartialEq)]
pub struct Lock {
    /// The torque.
    pub torque: Torque,
    /// The card's, or computed for the thin nut.
    pub from: TorqueFrom,
    /// The thin nut that was counted, in words.
    pub nut: Option<&'static str>,
    /// That the card's torque is more than that nut bears, in a sentence.
    pub warning: Option<String>,
}

/// The torque that locks an adjuster again: the card's, or else what its jam nuts bear by themselves, never a full nut's. None where the card
/// gives none and the adjuster has no thin nut.
pub fn lock(card: &KitCard, adjuster: &Adjuster) -> Option<Lock> {
    let ends = adjuster.mechanism.ends().iter();
    let weakest = ends
        .filter_map(|end| thin_nut(card, end))
        .reduce(|a, b| if b.1.torque < a.1.torque { b } else { a });
    let Some(torque) = adjuster.lock_torque else {
        let (nut, computed) = weakest?;
        return Some(Lock {
            torque: computed.torque,
            from: TorqueFrom::Computed,
            nut: Some(nut.name()),
            warning: None,
        });
    };
    let above = weakest.as_ref().filter(|(_, computed)| {
        matches!(
            computed.judge(torque),
            Given::High | Given::AboveLimit | Given::AboveYield
        )
    });
    let warning = above.map(|(nut, computed)| {
        let by = Preferences::default();
        format!(
            "The card's lock torque of {} is more than a {} bears: computed for it, {}. Ask the kit's maker before locking to it.",
            by.torque(torque),
            nut.name(),
            by.torque(computed.torque)
        )
    });
    Some(Lock {
        torque,
        from: TorqueFrom::Card,
        nut: weakest.map(|(nut, _)| nut.name()),
        warning,
    })
}

/// The thin nut of an end and its own torque, on plain dry steel. Its class is that of the card's bag, or else the weaker one of the standard.
/// None where the nut is as thick as a full one.
fn thin_nut(card: &KitCard, end: &ThreadedEnd) -> Option<(Nut, Tightening)> {
    let thread: Thread = end.thread;
    if end.jam_nut >= hex_nut(thread)?.thinnest {
        return None;
    }
    let (word, grade, weaker) = if thread.is_inch() {
        ("grade", Grade::Sae8, Nut::Jam5)
    } else {
        ("class", Grade::Iso8_8, Nut::Thin04)
    };
    let jam = |item: &&BagItem| {
        let name = item.name.to_ascii_lowercase();
        item.thread == Some(thread) && (holds(&name, "jam") || holds(&name, "thin"))
    };
    let mut items = card.bags.iter().flat_map(|bag| &bag.items);
    let named = items.find(jam).and_then(|item| {
        match Mate::parse(&format!("thin nut, {word} {}", item.grade)) {
            Mate::Nut(nut) => Some(nut),
            _ => None,
        }
    });
    let nut = named.unwrap_or(weaker);
    let joint = Fastening::new(thread, grade, Mate::Nut(nut), Condition::PlainDry);
    Some((nut, tighten(&joint).ok()?))
}

impl Lock {
    /// What to do, in a sentence or two.
    pub fn sentence(&self, words: &Preferences) -> String {
        let torque = words.torque(self.torque);
        match (self.from, self.nut) {
            (TorqueFrom::Computed, Some(nut)) => format!(
                "Then lock it again at {torque}: COMPUTED for a {nut}, plain and dry, not from the card. Never a full nut's torque."
            ),
            _ => format!(
                "Then lock it again at {torque}. {}",
                self.warning.as_deref().unwrap_or_default()
            )
            .trim_end()
            .to_owned(),
        }
    }
}

/// A line of the chart.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartRow {
    /// What is joined, or the jam nut of what.
    pub name: String,
    /// Where: `left and right` where both sides are alike.
    pub side: &'static str,
    /// How many bolts of what size and grade.
    pub bolt: String,
    /// The torque in N·m, or that the kit's maker is to be asked.
    pub newton_metres: String,
    /// The torque in lbf·ft.
    pub pound_feet: String,
    /// Where it is from, in a word.
    pub from: TorqueFrom,
    /// The state in which it is tightened.
    pub state: &'static str,
    /// Finish, order, locking, tools and when to check again: those that the card names.
    pub how: String,
    /// What speaks against it or should be known, in sentences.
    pub notes: Vec<String>,
}

/// The torques of an order on one page for the wall.
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueChart {
    /// The kit card with its revision and maker.
    pub card: String,
    /// The choices ordered.
    pub order: String,
    /// The joints, then the jam nuts.
    pub rows: Vec<ChartRow>,
    /// What always stands on it.
    pub cautions: [&'static str; 4],
}

/// A name without its side, and the side.
fn sided(name: &str) -> (&str, &'static str) {
    let strip = |side| name.strip_suffix(side);
    match (strip(", left"), strip(", right")) {
        (Some(plain), _) => (plain, "left"),
        (_, Some(plain)) => (plain, "right"),
        _ => (name, ""),
    }
}

/// The torques of a job's order: rows that differ only in their side are one.
pub fn torque_chart(job: &Job) -> TorqueChart {
    let card = &job.card;
    let mut rows = Vec::new();
    for joint in &card.joints {
        if applies(&joint.when, &job.order) {
            add(&mut rows, joint_row(joint));
        }
    }
    for adjuster in &card.adjusters {
        if !adjuster.mechanism.ends().is_empty()
            && let Some(lock) = lock(card, adjuster)
        {
            add(&mut rows, nut_row(adjuster, &lock));
        }
    }
    TorqueChart {
        card: format!("{} rev {}, {}", card.name, card.revision, card.maker),
        order: order_words(job),
        rows,
        cautions: [
            "The vehicle maker's and the kit maker's instructions and local law come first.",
            "At ride height: weight on the wheels, or rubber bushings stay twisted.",
            "Threads as the finish says: oil on a thread meant dry raises the clamp load.",
            "COMPUTED: not the maker's word.",
        ],
    }
}

/// Adds a row, or its side to the row that is the same on the other side.
fn add(rows: &mut Vec<ChartRow>, row: ChartRow) {
    let sided = |row: &ChartRow| matches!(row.side, "left" | "right");
    let alike = |known: &&mut ChartRow| {
        sided(known)
            && sided(&row)
            && known.side != row.side
            && known.name == row.name
            && known.bolt == row.bolt
            && known.newton_metres == row.newton_metres
            && known.pound_feet == row.pound_feet
            && known.from == row.from
            && known.state == row.state
            && known.how == row.how
            && known.notes == row.notes
    };
    match rows.iter_mut().find(alike) {
        Some(known) => known.side = "left and right",
        None => rows.push(row),
    }
}

fn both(torque: Option<Torque>) -> (String, String) {
    let words = |unit| torque.map(|torque| write_torque(torque, unit));
    (
        words(TorqueUnit::NewtonMetre).unwrap_or_else(|| ASK.into()),
        words(TorqueUnit::PoundFoot).unwrap_or_default(),
    )
}

fn joint_row(joint: &Joint) -> ChartRow {
    let (name, side) = sided(&joint.name);
    let torque = joint_torque(joint);
    let (newton_metres, pound_feet) = both(torque.wanted);
    let mut how = joint.condition.clone();
    let tools = tool_words(joint);
    for text in [&joint.pattern, &joint.locking, &tools] {
        if !text.is_empty() {
            how.push_str("; ");
            how.push_str(text);
        }
    }
    if !joint.recheck.is_empty() {
        how.push_str("; check again ");
        how.push_str(&joint.recheck);
    }
    let mut notes = torque.notes;
    notes.extend(torque.warning);
    match torque.computed {
        Err(why) => notes.push(why),
        Ok(computed) if torque.from == TorqueFrom::Computed => {
            notes.push(format!("COMPUTED: {}.", computed.basis))
        }
        Ok(_) => {}
    }
    ChartRow {
        name: name.into(),
        side,
        bolt: format!("{}; {}", bolt_words(joint), joint.nut),
        newton_metres,
        pound_feet,
        from: torque.from,
        state: tighten_words(joint.tighten),
        how,
        notes,
    }
}

fn nut_row(adjuster: &Adjuster, lock: &Lock) -> ChartRow {
    let (newton_metres, pound_feet) = both(Some(lock.torque));
    let of = |count: u32, end: &ThreadedEnd| format!("{count} of {}", end.thread.designation());
    let threads = match adjuster.mechanism.ends() {
        [a, b] if a.thread == b.thread => of(2, a),
        ends => ends
            .iter()
            .map(|end| of(1, end))
            .collect::<Vec<_>>()
            .join(" and "),
    };
    let nut = lock.nut.unwrap_or("lock nut");
    ChartRow {
        name: format!("{}, jam nut", adjuster.name),
        side: adjuster.corner.side().words(),
        bolt: format!("{threads}, {nut}"),
        newton_metres,
        pound_feet,
        from: lock.from,
        state: "once set",
        how: "lock again after every turn of the adjuster".into(),
        notes: lock.warning.clone().into_iter().collect(),
    }
}

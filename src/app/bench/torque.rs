//! Torque by grade and thread: what to set the wrench to, what that clamps, and what limits it.

use super::{
    Pick, empty, field, length_field, list, place_of, spoken, thread_at, thread_list, typed,
};
use crate::app::dom::{El, div, el, p};
use crate::app::parts::{Working, body, facts, sentences};
use crate::app::signal::RwSignal;
use crate::document::{Entry, Preferences, Unit};
use crate::drawing::{AdapterDrawing, HeadDrawing};
use crate::hardware::{
    ALUMINIUM, AdapterError, CAST_IRON, Condition, Fastening, Grade, HeadMark, Mate, Member, Nut,
    STEEL, Thread, Tightening, TighteningError, lock_nut_note, tighten, wrench_setting, wrenches,
};
use crate::quantity::{
    Angle, Fixed, Length, Limit, Stress, Torque, TorqueUnit, read_number_of, write_sold_length,
    write_torque,
};
use crate::station::length_of;

/// Metals that a hole may be tapped in, after the nuts in the list.
const TAPPED: [(&str, Stress); 3] = [
    ("tapped hole in steel", STEEL),
    ("tapped hole in aluminium", ALUMINIUM),
    ("tapped hole in cast iron", CAST_IRON),
];

const UNITS: [TorqueUnit; 4] = [
    TorqueUnit::NewtonMetre,
    TorqueUnit::PoundFoot,
    TorqueUnit::PoundInch,
    TorqueUnit::KilogramForceMetre,
];

/// What is asked.
#[derive(Clone, Copy)]
struct Asked {
    preferences: RwSignal<Preferences>,
    thread: Pick,
    grade: Pick,
    /// The nut made for the grade, then every nut, then every metal of a tapped hole.
    mate: Pick,
    condition: Pick,
    engaged: RwSignal<Entry>,
    share: RwSignal<Entry>,
    factor: RwSignal<Entry>,
    length: RwSignal<Entry>,
    wrench: RwSignal<Entry>,
    extension: RwSignal<Entry>,
    angle: RwSignal<Entry>,
}

/// Torque by grade and thread.
pub fn torque(preferences: RwSignal<Preferences>) -> [El; 2] {
    let usual = Thread::parse("1/2-20 UNF").unwrap_or_default();
    let place = |found: Option<usize>| RwSignal::new(found.unwrap_or_default());
    let asked = Asked {
        preferences,
        thread: RwSignal::new(place_of(usual)),
        grade: place(Grade::ALL.iter().position(|grade| *grade == Grade::Sae8)),
        mate: RwSignal::new(0),
        condition: place(
            Condition::ALL
                .iter()
                .position(|condition| *condition == Condition::ZincDry),
        ),
        engaged: empty(),
        share: typed("75", Unit::Count),
        factor: empty(),
        length: empty(),
        wrench: empty(),
        extension: empty(),
        angle: typed("0", Unit::Degree),
    };
    let working = Working::new();
    let answer = spoken(move || asked.answer(&working));
    [asked.known(), answer]
}

impl Asked {
    fn thread(self) -> Thread {
        thread_at(self.thread.get())
    }

    fn grade(self) -> Grade {
        Grade::ALL
            .get(self.grade.get())
            .copied()
            .unwrap_or_default()
    }

    fn condition(self) -> Condition {
        Condition::ALL
            .get(self.condition.get())
            .copied()
            .unwrap_or_default()
    }

    /// The metal of a tapped hole, where that is what the bolt screws into.
    fn metal(self) -> Option<Stress> {
        let place = self.mate.get().checked_sub(Nut::ALL.len() + 1)?;
        TAPPED.get(place).map(|(_, tensile)| *tensile)
    }

    fn nut(self) -> Nut {
        let picked = self.mate.get().checked_sub(1);
        picked
            .and_then(|place| Nut::ALL.get(place).copied())
            .unwrap_or(Nut::for_bolt(self.grade()))
    }

    /// The joint with what stands in its lists alone.
    fn listed(self) -> Fastening {
        let mate = Mate::Nut(self.nut());
        Fastening::new(self.thread(), self.grade(), mate, self.condition())
    }

    /// Whether the core lets one typed value through, all else being usual.
    fn allows(
        self,
        change: impl FnOnce(&mut Fastening),
        refusal: TighteningError,
    ) -> Result<(), String> {
        let mut joint = self.listed();
        change(&mut joint);
        match tighten(&joint) {
            Err(error) if error == refusal => Err(error.to_string()),
            _ => Ok(()),
        }
    }

    fn share_of(self, entry: &Entry) -> Result<f64, String> {
        let share = read_number_of(&entry.text, "%").map_err(|error| error.to_string())? / 100.0;
        self.allows(|joint| joint.share = share, TighteningError::Share)?;
        Ok(share)
    }

    fn factor_of(self, entry: &Entry) -> Result<f64, String> {
        let factor = read_number_of(&entry.text, "").map_err(|error| error.to_string())?;
        self.allows(
            |joint| joint.nut_factor = Some(factor),
            TighteningError::NutFactor,
        )?;
        Ok(factor)
    }

    fn engaged_of(self, entry: &Entry) -> Result<Length, String> {
        let engaged = entry.length().map_err(|error| error.to_string())?;
        let tensile = self.metal().unwrap_or(STEEL);
        self.allows(
            |joint| joint.mate = Mate::Tapped { tensile, engaged },
            TighteningError::Tapped,
        )?;
        Ok(engaged)
    }

    /// The wrench's length and its extension, where both are known.
    fn adapter(self) -> Option<(Length, Length, Angle)> {
        let wrench = length_of(&self.wrench.get(), Limit::Wrench).ok()?;
        let extension = self.extension_of(&self.extension.get()).ok()?;
        let angle = angle_of(&self.angle.get()).ok()?;
        Some((wrench, extension, angle))
    }

    fn extension_of(self, entry: &Entry) -> Result<Length, String> {
        let extension = length_of(entry, Limit::Extension)?;
        match length_of(&self.wrench.get(), Limit::Wrench) {
            Ok(wrench) if extension >= wrench => Err(AdapterError::LongerThanWrench.to_string()),
            _ => Ok(extension),
        }
    }

    /// The joint as it was typed, or the name of the field that cannot be right.
    fn joint(self) -> Result<Fastening, &'static str> {
        let mut joint = self.listed();
        if let Some(tensile) = self.metal() {
            let engaged = self
                .engaged_of(&self.engaged.get())
                .map_err(|_| "how much thread is engaged")?;
            joint.mate = Mate::Tapped { tensile, engaged };
        }
        let (share, factor, length) = (self.share.get(), self.factor.get(), self.length.get());
        joint.share = self
            .share_of(&share)
            .map_err(|_| "the share of proof load")?;
        if !factor.is_empty() {
            let factor = self.factor_of(&factor).map_err(|_| "the nut factor K")?;
            joint.nut_factor = Some(factor);
        }
        if !length.is_empty() {
            let length = length_of(&length, Limit::BoltLength).map_err(|_| "the bolt's length")?;
            joint.length = Some(length);
        }
        Ok(joint)
    }

    fn known(self) -> El {
        let preferences = self.preferences;
        let length = |id: &str, label: &str, entry: RwSignal<Entry>, limit: Limit| {
            length_field(preferences, id, label, entry, limit)
        };
        let number = |id: &str,
                      label: &str,
                      entry: RwSignal<Entry>,
                      read: fn(Self, &Entry) -> Result<f64, String>,
                      words: fn(f64) -> String| {
            field(
                preferences,
                id,
                label,
                entry,
                |_| Unit::Count,
                move |entry, _| read(self, entry).map(words),
            )
        };
        let engaged = move || {
            field(
                preferences,
                "engaged",
                "Thread engaged",
                self.engaged,
                |words| words.length.into(),
                move |entry, words| self.engaged_of(entry).map(|length| words.length(length)),
            )
        };
        let extension = field(
            preferences,
            "extension",
            "Extension, square to bolt",
            self.extension,
            |words| words.length.into(),
            move |entry, words| self.extension_of(entry).map(|length| words.length(length)),
        );
        let angle = field(
            preferences,
            "angle",
            "Angle between the two",
            self.angle,
            |words| words.angle.into(),
            |entry, words| angle_of(entry).map(|angle| words.angle(angle)),
        );
        let more = el("details")
            .class("working")
            .child(el("summary").text("More: share, K, bolt length, extension"))
            .child(div("stack").child(
                div("fields")
                    .child(number(
                        "share",
                        "Share of proof load, %",
                        self.share,
                        Self::share_of,
                        |share| format!("{} %", Fixed(share * 100.0, 0)),
                    ))
                    .child(number(
                        "factor",
                        "Nut factor K, if your own",
                        self.factor,
                        Self::factor_of,
                        |factor| format!("K {}", Fixed(factor, 3)),
                    ))
                    .child(length(
                        "length",
                        "Bolt, under the head",
                        self.length,
                        Limit::BoltLength,
                    ))
                    .child(length(
                        "wrench",
                        "Torque wrench, square to hand",
                        self.wrench,
                        Limit::Wrench,
                    ))
                    .child(extension)
                    .child(angle),
            ).child(
                p("The bolt's length matters for grade 2 alone. An extension in line with the wrench is at 0°, square to it at 90°, pointing back at 180°.")
                    .class("small soft"),
            ));
        body()
            .child(
                div("fields")
                    .child(thread_list("Thread", self.thread))
                    .child(grade_list(self.grade)),
            )
            .child(div("head-mark").live(move || head_mark(self.grade())))
            .child(p("").class("reason").live_text(move || {
                let strength = self.grade().strength(self.thread(), None);
                strength
                    .err()
                    .map(|error| error.to_string())
                    .unwrap_or_default()
            }))
            .child(self.mate_list())
            .child(div("").live(move || self.metal().map(|_| engaged()).into_iter().collect()))
            .child(list(
                "condition",
                "Finish and lubricant",
                [("", named(Condition::ALL.map(Condition::name), 0))],
                self.condition,
            ))
            .child(more)
    }

    fn mate_list(self) -> El {
        let nuts = named(Nut::ALL.map(Nut::name), 1);
        let tapped = named(TAPPED.map(|(name, _)| name), Nut::ALL.len() + 1);
        list(
            "mate",
            "Screws into",
            [
                ("", vec![(0, "the nut made for this grade".to_owned())]),
                ("Tapped hole", tapped),
                ("Nut", nuts),
            ],
            self.mate,
        )
    }

    fn answer(self, working: &Working) -> Vec<El> {
        let words = self.preferences.get();
        let reason = |text: &str| vec![p(text).class("reason")];
        let joint = match self.joint() {
            Ok(joint) => joint,
            Err(_) if self.metal().is_some() && self.engaged.with(Entry::is_empty) => {
                return vec![p("Type how much thread is engaged.").class("soft")];
            }
            Err(field) => {
                return reason(&format!(
                    "No torque: {field} cannot be right. See the reason there."
                ));
            }
        };
        let found = match tighten(&joint) {
            Ok(found) => found,
            Err(error) => return reason(&format!("No torque. {error}")),
        };
        let mut answer = torques(found.torque, words.torque);
        let (least, most) = found.clamp_range;
        let mut list = vec![
            ("Torque range", torque_range(found.range, &words)),
            ("Clamp load", words.force(found.clamp)),
            (
                "Clamp range",
                range(&words.force(least), &words.force(most)),
            ),
            (
                "Share of proof",
                format!(
                    "{} % of the bolt's {}",
                    Fixed(found.clamp / found.proof * 100.0, 0),
                    words.force(found.proof)
                ),
            ),
            ("Limited by", found.weakest.name().to_owned()),
        ];
        match joint.mate {
            Mate::Nut(nut) => list.push(("Screws into", nut.name().to_owned())),
            Mate::Tapped { engaged, .. } if found.weakest == Member::TappedHole => list.push((
                "Bolt at full load from",
                format!(
                    "{} engaged",
                    words.length(engaged * (found.proof / found.limit))
                ),
            )),
            _ => {}
        }
        answer.push(facts(list));
        answer.push(p(&format!("Basis: {}.", found.basis)).class("small"));
        answer.push(sentences("note", &found.notes));
        if let Mate::Nut(Nut::LockB | Nut::LockC) = joint.mate {
            answer.push(p(&lock_nut_note(joint.thread)).class("note"));
        }
        answer.push(sentences("note", &differs(&found, &words)));
        let mut formula = found.working(words.torque);
        if let Some(adapter) = self.adapter() {
            let setting = setting(found.torque, adapter, words.torque);
            answer.extend(setting.0);
            formula.push_str(&setting.1);
        }
        answer.push(wrench_sizes(&joint));
        answer.push(working.says(&formula, &sources(&joint)));
        answer
    }
}

/// Options of a list, from a place on.
fn named<const N: usize>(names: [&str; N], from: usize) -> Vec<(usize, String)> {
    (from..).zip(names.map(str::to_owned)).collect()
}

fn grade_list(picked: Pick) -> El {
    let of = |standard: &'static str| {
        let grades = Grade::ALL.into_iter().enumerate();
        let here = grades.filter(|(_, grade)| grade.standard() == standard);
        here.map(|(place, grade)| (place, grade.name())).collect()
    };
    list(
        "grade",
        "Grade",
        ["SAE J429", "ASTM A574", "ISO 898-1", "ISO 3506-1"]
            .map(|standard| (standard, of(standard))),
        picked,
    )
}

/// How the head says the grade.
fn head_mark(grade: Grade) -> Vec<El> {
    let words = match grade.head_mark() {
        HeadMark::Lines(0) => "No mark on the head".to_owned(),
        HeadMark::Lines(count) => format!("{count} lines on the head"),
        HeadMark::Words(words) => format!("{words} on the head"),
        HeadMark::Socket => "A socket head, knurled: the grade is on the box".to_owned(),
    };
    vec![
        div("").markup(&HeadDrawing { grade }.svg()),
        p(&words).class("small soft"),
    ]
}

/// An angle between wrench and extension.
fn angle_of(entry: &Entry) -> Result<Angle, String> {
    entry
        .division()
        .and_then(|angle| Limit::ExtensionAngle.hold_angle(angle))
        .map_err(|error| error.to_string())
}

/// A torque large in one unit, and small in the others.
fn torques(torque: Torque, unit: TorqueUnit) -> Vec<El> {
    let others: Vec<String> = UNITS
        .into_iter()
        .filter(|other| *other != unit)
        .map(|unit| unbroken(&write_torque(torque, unit)))
        .collect();
    vec![
        el("strong").class("big").text(&write_torque(torque, unit)),
        p(&others.join(" = ")).class("soft"),
    ]
}

/// From one value to another, the unit said once.
fn range(least: &str, most: &str) -> String {
    let least = least.split(' ').next().unwrap_or_default();
    format!("{least} to {}", unbroken(most))
}

fn torque_range((least, most): (Torque, Torque), words: &Preferences) -> String {
    range(&words.torque(least), &words.torque(most))
}

/// A value that stays beside its unit at the end of a line.
fn unbroken(value: &str) -> String {
    value.replace(' ', "\u{a0}")
}

/// Where the friction class puts the torque elsewhere, that is said.
fn differs(found: &Tightening, words: &Preferences) -> Option<String> {
    let (least, most) = found.friction?.torque;
    (found.torque < least || found.torque > most).then(|| {
        format!(
            "The friction class of VDI 2230 asks {} for the same clamp load: published sources differ. Where it matters, measure the bolt's stretch.",
            torque_range((least, most), words)
        )
    })
}

/// What to set a torque wrench to that has an extension on it, and its working.
fn setting(
    torque: Torque,
    (wrench, extension, angle): (Length, Length, Angle),
    unit: TorqueUnit,
) -> (Vec<El>, String) {
    match wrench_setting(torque, wrench, extension, angle) {
        Err(error) => (vec![p(&error.to_string()).class("reason")], String::new()),
        Ok(set) => {
            let formula = format!(
                "\n\nsetting = T L / (L + A cos a) = {} × {} / ({} + {} × cos {}°) = {}",
                write_torque(torque, unit),
                Fixed(wrench.as_mm(), 1),
                Fixed(wrench.as_mm(), 1),
                Fixed(extension.as_mm(), 1),
                Fixed(angle.as_degrees(), 1),
                write_torque(set, unit)
            );
            let mut said = vec![el("h3").text("Set the wrench, with its extension, to")];
            said.extend(torques(set, unit));
            let drawing = AdapterDrawing {
                wrench,
                extension,
                angle,
                words: format!(
                    "A torque wrench seen from above, its extension at {}° to it",
                    Fixed(angle.as_degrees(), 0)
                ),
            };
            said.push(div("").markup(&drawing.svg()));
            (said, formula)
        }
    }
}

/// The wrenches for bolt and nut.
fn wrench_sizes(joint: &Fastening) -> El {
    let sizes = div("stack").child(el("h3").text("Wrenches"));
    let Some(wrenches) = wrenches(joint.thread) else {
        return sizes.child(p("The standards have no hex for this size: measure yours."));
    };
    let unit = joint.thread.unit();
    let sold = |length: Length| write_sold_length(length, unit);
    let mut list = vec![("Hex bolt", sold(wrenches.bolt))];
    match joint.mate {
        Mate::Nut(nut) if nut.is_thin() => list.push(("Jam nut", sold(wrenches.jam_nut))),
        Mate::Nut(_) => list.push(("Nut", sold(wrenches.nut))),
        _ => {}
    }
    list.extend(wrenches.key.map(|key| ("Socket head, key", sold(key))));
    list.extend(
        wrenches
            .old
            .map(|old| ("Older hex (DIN 931, 934)", sold(old))),
    );
    sizes.child(facts(list))
}

/// Where the numbers come from.
fn sources(joint: &Fastening) -> String {
    let thread = if joint.thread.is_inch() {
        "ASME B1.1"
    } else {
        "ISO 898-1"
    };
    let into = match joint.mate {
        Mate::Tapped { .. } => {
            " The tapped thread: areas of FED-STD-H28/2, half the tensile strength in shear (Machinery's Handbook)."
        }
        _ => " Nuts: SAE J995, ISO 898-2, ISO 3506-2; lock nut grades from memory.",
    };
    format!(
        "Proof stress: {}. Stress area As: {thread}. 75 % of proof is usual for a joint that may be taken apart (SAE, IFI and ISO 898 based tables). Scatter of a torque wrench by hand, and 5 % of settling: NASA TM-106943. Friction classes: VDI 2230; the form with its bearing face also in Machinery's Handbook and NASA RP-1228.{into} Wrenches: ASME B18.2.1, B18.2.2, B18.3, ISO 4014, 4032, 4035, 4762. Extension: US Army TM 9-254, figures 45 and 46.",
        joint.grade.standard()
    )
}

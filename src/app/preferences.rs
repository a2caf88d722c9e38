//! How numbers are typed and shown.

use super::dom::{El, el, p};
use super::field::choices;
use super::new_version;
use super::parts::{body, frame};
use super::shell::heading;
use super::store::use_store;
use crate::document::{Hands, Preferences, Theme, ToeShown};
use crate::quantity::{AngleUnit, LengthUnit, TorqueUnit};

/// A choice: its words, and what taking it does.
type Choice = (&'static str, fn(&mut Preferences));

const LENGTHS: &[Choice] = &[
    ("Millimetres", |all| all.length = LengthUnit::Millimetre),
    ("Inches", |all| all.length = LengthUnit::Inch),
];
const ANGLES: &[Choice] = &[
    ("Decimal degrees", |all| all.angle = AngleUnit::Degree),
    ("Degrees and minutes", |all| all.angle = AngleUnit::Minute),
];
const TOES: &[Choice] = &[
    ("As an angle", |all| all.toe = ToeShown::Angle),
    ("As a length at the rim", |all| all.toe = ToeShown::Rim),
];
const TORQUES: &[Choice] = &[
    ("N·m", |all| all.torque = TorqueUnit::NewtonMetre),
    ("lbf·ft", |all| all.torque = TorqueUnit::PoundFoot),
    ("lbf·in", |all| all.torque = TorqueUnit::PoundInch),
    ("kgf·m", |all| all.torque = TorqueUnit::KilogramForceMetre),
];
const PAPERS: &[Choice] = &[
    ("Light, readable in sunlight", |all| {
        all.theme = Theme::Light
    }),
    ("Dark", |all| all.theme = Theme::Dark),
];
const SIZES: &[Choice] = &[
    ("As usual", |all| all.hands = Hands::Usual),
    ("Big hands: larger targets and type", |all| {
        all.hands = Hands::Big
    }),
];

/// The preferences page.
pub fn preferences() -> Vec<El> {
    let units = body()
        .child(choice("length", "Lengths", LENGTHS))
        .child(choice("angle", "Angles", ANGLES))
        .child(choice("toe", "Toe of each wheel", TOES))
        .child(choice("torque", "Torque", TORQUES));
    let look = body()
        .child(choice("theme", "Paper", PAPERS))
        .child(choice("hands", "Size", SIZES));
    vec![
        el("header").child(heading("Preferences")).child(
            p("Kept on this device. A number typed before keeps the unit it was typed in.")
                .class("soft"),
        ),
        el("main")
            .class("stack")
            .child(new_version(use_store()))
            .child(frame("Units", units))
            .child(frame("Look", look)),
    ]
}

fn choice(id: &str, label: &str, values: &'static [Choice]) -> El {
    let store = use_store();
    let words: Vec<_> = values
        .iter()
        .enumerate()
        .map(|(index, (words, _))| (index.to_string(), (*words).to_owned()))
        .collect();
    let get = move || {
        let now = store.preferences.get();
        // What is taken already changes nothing when it is taken again.
        let is_taken = |(_, take): &Choice| {
            let mut then = now;
            take(&mut then);
            then == now
        };
        let index = values.iter().position(is_taken);
        index.map(|index| index.to_string()).unwrap_or_default()
    };
    let set = move |index: String| {
        if let Ok(index) = index.parse::<usize>()
            && let Some((_, take)) = values.get(index)
        {
            store.prefer(take);
        }
    };
    choices(id, label, &words, get, set)
}

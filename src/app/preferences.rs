//! How numbers are typed and shown.

use super::dom::{El, el, p};
use super::field::choices;
use super::heading;
use super::parts::{body, frame};
use super::store::use_store;
use crate::document::{Preferences, Theme, ToeShown};
use crate::quantity::{AngleUnit, LengthUnit, TorqueUnit};
use reactive_graph::traits::*;

/// The preferences page.
pub fn preferences() -> Vec<El> {
    let units = body()
        .child(choice(
            "length",
            "Lengths",
            &[
                (LengthUnit::Millimetre, "Millimetres"),
                (LengthUnit::Inch, "Inches"),
            ],
            |all| &mut all.length,
        ))
        .child(choice(
            "angle",
            "Angles",
            &[
                (AngleUnit::Degree, "Decimal degrees"),
                (AngleUnit::Minute, "Degrees and minutes"),
            ],
            |all| &mut all.angle,
        ))
        .child(choice(
            "toe",
            "Toe of each wheel",
            &[
                (ToeShown::Angle, "As an angle"),
                (ToeShown::Rim, "As a length at the rim"),
            ],
            |all| &mut all.toe,
        ))
        .child(choice(
            "torque",
            "Torque",
            &[
                (TorqueUnit::NewtonMetre, "N·m"),
                (TorqueUnit::PoundFoot, "lbf·ft"),
                (TorqueUnit::PoundInch, "lbf·in"),
                (TorqueUnit::KilogramForceMetre, "kgf·m"),
            ],
            |all| &mut all.torque,
        ));
    let look = body().child(choice(
        "theme",
        "Paper",
        &[
            (Theme::Light, "Light, readable in sunlight"),
            (Theme::Dark, "Dark"),
        ],
        |all| &mut all.theme,
    ));
    vec![
        el("header").child(heading("Preferences")).child(
            p("Kept on this device. A number typed before keeps the unit it was typed in.")
                .class("soft"),
        ),
        el("main")
            .class("stack")
            .child(frame("Units", units))
            .child(frame("Look", look)),
    ]
}

fn choice<T: Copy + PartialEq + 'static>(
    id: &str,
    label: &str,
    values: &[(T, &str)],
    place: fn(&mut Preferences) -> &mut T,
) -> El {
    let store = use_store();
    let words: Vec<_> = values
        .iter()
        .enumerate()
        .map(|(index, (_, words))| (index.to_string(), (*words).to_owned()))
        .collect();
    let known: Vec<T> = values.iter().map(|(value, _)| *value).collect();
    let taken = known.clone();
    let get = move || {
        let mut all = store.preferences.get();
        let value = *place(&mut all);
        known
            .iter()
            .position(|known| *known == value)
            .map(|index| index.to_string())
            .unwrap_or_default()
    };
    let set = move |index: String| {
        if let Some(value) = index
            .parse::<usize>()
            .ok()
            .and_then(|index| taken.get(index))
        {
            store.prefer(|all| *place(all) = *value);
        }
    };
    choices(id, label, &words, get, set)
}

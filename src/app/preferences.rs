//! How numbers are typed and shown.

use super::field::Choices;
use super::store::use_store;
use crate::document::{Preferences, Theme, ToeShown};
use crate::quantity::{AngleUnit, LengthUnit, TorqueUnit};
use leptos::prelude::*;

/// The preferences page.
#[component]
pub fn PreferencesPage() -> impl IntoView {
    view! {
        <header>
            <h1 id="top" tabindex="-1">"Preferences"</h1>
            <p class="soft">"Kept on this device. A number typed before keeps the unit it was typed in."</p>
        </header>
        <main class="stack">
            <section class="frame">
                <h2>"Units"</h2>
                <div class="body">
                    <Preference
                        id="length"
                        label="Lengths"
                        options=vec![(LengthUnit::Millimetre, "Millimetres"), (LengthUnit::Inch, "Inches")]
                        get=|preferences| preferences.length
                        set=|preferences, value| preferences.length = value
                    />
                    <Preference
                        id="angle"
                        label="Angles"
                        options=vec![(AngleUnit::Degree, "Decimal degrees"), (AngleUnit::Minute, "Degrees and minutes")]
                        get=|preferences| preferences.angle
                        set=|preferences, value| preferences.angle = value
                    />
                    <Preference
                        id="toe"
                        label="Toe of each wheel"
                        options=vec![(ToeShown::Angle, "As an angle"), (ToeShown::Rim, "As a length at the rim")]
                        get=|preferences| preferences.toe
                        set=|preferences, value| preferences.toe = value
                    />
                    <Preference
                        id="torque"
                        label="Torque"
                        options=vec![(TorqueUnit::NewtonMetre, "N·m"), (TorqueUnit::PoundFoot, "lbf·ft"), (TorqueUnit::PoundInch, "lbf·in"), (TorqueUnit::KilogramForceMetre, "kgf·m")]
                        get=|preferences| preferences.torque
                        set=|preferences, value| preferences.torque = value
                    />
                </div>
            </section>
            <section class="frame">
                <h2>"Look"</h2>
                <div class="body">
                    <Preference
                        id="theme"
                        label="Paper"
                        options=vec![(Theme::Light, "Light, readable in sunlight"), (Theme::Dark, "Dark")]
                        get=|preferences| preferences.theme
                        set=|preferences, value| preferences.theme = value
                    />
                </div>
            </section>
        </main>
    }
}

#[component]
fn Preference<T: Copy + PartialEq + Send + Sync + 'static>(
    id: &'static str,
    label: &'static str,
    options: Vec<(T, &'static str)>,
    get: fn(&Preferences) -> T,
    set: fn(&mut Preferences, T),
) -> impl IntoView {
    let store = use_store();
    let values: Vec<T> = options.iter().map(|(value, _)| *value).collect();
    let words = options.iter().enumerate().map(|(index, (_, words))| (index.to_string(), (*words).to_owned())).collect();
    let known = values.clone();
    let chosen = Signal::derive(move || {
        let value = store.preferences.with(get);
        known.iter().position(|known| *known == value).map(|index| index.to_string()).unwrap_or_default()
    });
    let on_change = Callback::new(move |index: String| {
        if let Some(value) = index.parse::<usize>().ok().and_then(|index| values.get(index)) {
            store.prefer(|preferences| set(preferences, *value));
        }
    });
    view! { <Choices id=id.to_owned() label=label options=words chosen=chosen on_change=on_change /> }
}

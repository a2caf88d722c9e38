//! Fields: text kept as typed, its unit beside it, what was understood below it, or why it was not.

use crate::document::{Entry, Sense, Unit};
use leptos::prelude::*;

/// What became of a typed value: understood so, or not for this reason.
pub type Understood = Result<String, String>;

/// A field for a value with a unit. An empty field takes the unit preferred today; a filled one keeps its own.
#[component]
pub fn EntryField(
    /// Unique in the page.
    id: String,
    /// What is asked.
    #[prop(into)]
    label: String,
    /// What stands in it.
    #[prop(into)]
    entry: Signal<Entry>,
    /// The unit of an empty field.
    #[prop(into)]
    unit: Signal<Unit>,
    /// Takes every change.
    on_change: Callback<Entry>,
    /// Reads it; only asked when something stands in it.
    understood: Callback<Entry, Understood>,
    /// The two ways of a signed reading, plus first.
    #[prop(optional)]
    senses: Option<[&'static str; 2]>,
) -> impl IntoView {
    let shown_unit = move || {
        let entry = entry.get();
        if entry.is_empty() { unit.get() } else { entry.unit }
    };
    let outcome = Memo::new(move |_| {
        let entry = entry.get();
        if entry.is_empty() { None } else { Some(understood.run(entry)) }
    });
    let typed = move |text: String| {
        let mut entry = entry.get_untracked();
        if entry.is_empty() {
            entry.unit = unit.get_untracked();
        }
        entry.text = text;
        on_change.run(entry);
    };
    let note = format!("{id}-note");
    let ways = senses.map(|words| {
        let pick = move |sense: Sense| {
            let mut entry = entry.get_untracked();
            // A typed sign and a chosen way must not contradict each other: the last said holds.
            entry.text = entry.text.trim_start_matches(['+', '-', '\u{2212}', '\u{2013}', ' ']).to_owned();
            entry.sense = Some(sense);
            on_change.run(entry);
        };
        let group = format!("{id}-way");
        let option = |sense: Sense, word: &'static str| {
            let checked = move || entry.with(Entry::way) == Some(sense);
            view! {
                <label>
                    <input type="radio" name=group.clone() prop:checked=checked on:change=move |_| pick(sense) />
                    {word}
                </label>
            }
        };
        let [plus, minus] = words;
        view! {
            <fieldset class="choices">
                <legend class="visually-hidden">{format!("{label}: which way")}</legend>
                <div class="set">{option(Sense::Plus, plus)} {option(Sense::Minus, minus)}</div>
            </fieldset>
        }
    });
    let invalid = move || outcome.with(|outcome| matches!(outcome, Some(Err(_)))).then_some("true");
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <div class="box">
                <input
                    id=id
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    spellcheck="false"
                    aria-describedby=note.clone()
                    aria-invalid=invalid
                    prop:value=move || entry.get().text
                    on:input:target=move |event| typed(event.target().value())
                />
                {move || {
                    let symbol = shown_unit().symbol();
                    (!symbol.is_empty()).then(|| view! { <span class="unit">{symbol}</span> })
                }}
            </div>
            {ways}
            <p id=note class="echo">
                {move || match outcome.get() {
                    None => ().into_any(),
                    Some(Ok(words)) => words.into_any(),
                    Some(Err(reason)) => view! { <span class="reason">{reason}</span> }.into_any(),
                }}
            </p>
        </div>
    }
    .into_any()
}

/// A field for free words.
#[component]
pub fn TextField(
    /// Unique in the page.
    id: String,
    /// What is asked.
    #[prop(into)]
    label: String,
    /// What stands in it.
    #[prop(into)]
    text: Signal<String>,
    /// Takes every change.
    on_change: Callback<String>,
) -> impl IntoView {
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <div class="box">
                <input id=id type="text" autocomplete="off" prop:value=text on:input:target=move |event| on_change.run(event.target().value()) />
            </div>
        </div>
    }
    .into_any()
}

/// One choice out of a few, each a big target.
#[component]
pub fn Choices(
    /// Unique in the page.
    id: String,
    /// What is asked.
    #[prop(into)]
    label: String,
    /// Value and words of each choice.
    options: Vec<(String, String)>,
    /// The value chosen, empty for none.
    #[prop(into)]
    chosen: Signal<String>,
    /// Takes the value chosen.
    on_change: Callback<String>,
) -> impl IntoView {
    let option = move |(value, words): (String, String)| {
        let (mine, taken) = (value.clone(), value);
        view! {
            <label>
                <input type="radio" name=id.clone() prop:checked=move || chosen.get() == mine on:change=move |_| on_change.run(taken.clone()) />
                {words}
            </label>
        }
    };
    view! {
        <fieldset class="choices">
            <legend>{label}</legend>
            <div class="set">{options.into_iter().map(option).collect_view()}</div>
        </fieldset>
    }
    .into_any()
}

//! Base: each adjuster drawn to scale, its thread showing measured, and the way out when all pass.

use crate::adjuster::EndState;
use crate::app::drawing::{ThreadDrawing, ThreadRule};
use crate::app::field::{EntryField, Understood};
use crate::app::parts::{Mark, Working};
use crate::app::store::use_store;
use crate::document::{Adjuster, Corner, Entry, Preferences, Unit};
use crate::adjuster::{Mechanism, ThreadedEnd};
use crate::hardware::Hand;
use crate::station::{BaseRow, OUT_IN, State, base, measure, measured_names};
use leptos::prelude::*;

/// The Base station.
#[component]
pub fn Base() -> impl IntoView {
    let store = use_store();
    let result = Memo::new(move |_| store.job.with(|job| job.as_ref().map(base)));
    let adjusters = store.job.with_untracked(|job| job.as_ref().map(|job| job.card.adjusters.clone())).unwrap_or_default();
    let mut corners: Vec<Corner> = adjusters.iter().map(|adjuster| adjuster.corner).collect();
    corners.dedup();
    let frames = corners
        .into_iter()
        .map(|corner| {
            let here: Vec<_> = adjusters.iter().enumerate().filter(|(_, adjuster)| adjuster.corner == corner).map(|(index, adjuster)| (index, adjuster.clone())).collect();
            view! {
                <section class="frame">
                    <h2>{corner.words()}</h2>
                    <div class="body">
                        {here.into_iter().map(|(index, adjuster)| view! { <AdjusterAtBase index=index adjuster=adjuster result=result /> }).collect_view()}
                    </div>
                </section>
            }
        })
        .collect_view();
    view! {
        <p>"Jam nuts loose. Set each adjuster to its base, measure what shows, the same at both ends and on both sides. Then lock the jam nuts."</p>
        <WayOut result=result />
        <div class="two">{frames}</div>
    }
}

#[component]
fn WayOut(result: Memo<Option<crate::station::Base>>) -> impl IntoView {
    let blocks = move || result.with(|result| result.as_ref().map(|result| result.blocks.clone())).unwrap_or_default();
    let state = Signal::derive(move || if blocks().is_empty() { State::Done } else { State::Open });
    view! {
        <section class="frame next" aria-label="May it be driven to alignment">
            <h2>"May it be driven to alignment?"</h2>
            <div class="body" role="status">
                <Mark state=state words=Signal::derive(move || match blocks().len() {
                    0 => "It may be driven to alignment: slowly, every jam nut tight, and only after the lists of Bolt up.".to_owned(),
                    1 => "Not yet: 1 thing stands against it.".to_owned(),
                    count => format!("Not yet: {count} things stand against it."),
                }) />
                {move || {
                    let blocks = blocks();
                    (!blocks.is_empty()).then(|| view! {
                        <details class="working">
                            <summary>"Show them"</summary>
                            <ul class="lines">{blocks.into_iter().map(|block| view! { <li>{block}</li> }).collect_view()}</ul>
                        </details>
                    })
                }}
            </div>
        </section>
    }
}

/// The entries of the base setting of an adjuster, one for each end.
fn set_entry(entries: &mut Vec<Entry>, index: usize, entry: Entry) {
    if entries.len() <= index {
        entries.resize(index + 1, Entry::default());
    }
    if let Some(place) = entries.get_mut(index) {
        *place = entry;
    }
}

/// What an entry of an adjuster is understood as, in words.
pub fn measured_words(mechanism: &Mechanism, index: usize, entry: Entry, words: &Preferences) -> Understood {
    let mut entries = vec![Entry::default(); index];
    entries.push(entry);
    let (measures, position) = measure(mechanism, &entries);
    match measures.into_iter().nth(index) {
        Some(measure) => match (measure.problem, measure.state, position) {
            (Some(problem), ..) => Err(problem),
            (_, Some(state), _) => Ok(format!("{} engaged, {} at least", words.length(state.engaged), words.length(state.needed.least))),
            (_, _, Some(crate::adjuster::Position::Slide(slide))) => Ok(words.length(slide.abs())),
            (_, _, Some(crate::adjuster::Position::Cam(turn))) => Ok(words.way(turn, OUT_IN)),
            _ => Ok(String::new()),
        },
        None => Ok(String::new()),
    }
}

/// The unit and ways of what is measured on a mechanism.
pub fn measured_unit(mechanism: &Mechanism, words: &Preferences) -> (Unit, Option<[&'static str; 2]>) {
    match mechanism {
        Mechanism::CamBolt(_) => (Unit::Degree, Some(OUT_IN)),
        Mechanism::Slot(_) => (words.length.into(), Some(OUT_IN)),
        _ => (words.length.into(), None),
    }
}

/// A field for one measured value of an adjuster.
#[component]
pub fn MeasureField(id: String, label: String, mechanism: StoredValue<Mechanism>, index: usize, #[prop(into)] entry: Signal<Entry>, on_change: Callback<Entry>) -> impl IntoView {
    let store = use_store();
    let unit = Signal::derive(move || mechanism.with_value(|mechanism| measured_unit(mechanism, &store.preferences.get()).0));
    let understood = Callback::new(move |entry: Entry| mechanism.with_value(|mechanism| measured_words(mechanism, index, entry, &store.preferences.get())));
    let senses = mechanism.with_value(|mechanism| measured_unit(mechanism, &Preferences::default()).1);
    match senses {
        Some(senses) => view! { <EntryField id=id label=label entry=entry unit=unit on_change=on_change understood=understood senses=senses /> }.into_any(),
        None => view! { <EntryField id=id label=label entry=entry unit=unit on_change=on_change understood=understood /> }.into_any(),
    }
}

#[component]
fn AdjusterAtBase(index: usize, adjuster: Adjuster, result: Memo<Option<crate::station::Base>>) -> impl IntoView {
    let store = use_store();
    let row = Memo::new(move |_| result.with(|result| result.as_ref().and_then(|result| result.rows.get(index).cloned())));
    let id = StoredValue::new(adjuster.id.clone());
    let mechanism = StoredValue::new(adjuster.mechanism.clone());
    let fields = measured_names(&adjuster.mechanism)
        .into_iter()
        .enumerate()
        .map(|(end, name)| {
            let entry = Signal::derive(move || store.read(|job| job.settings.get(&id.get_value()).and_then(|entries| entries.get(end)).cloned().unwrap_or_default()));
            let on_change = Callback::new(move |entry: Entry| store.edit(|job| set_entry(job.settings.entry(id.get_value()).or_default(), end, entry)));
            view! { <MeasureField id=format!("base-{}-{end}", id.get_value()) label=name mechanism=mechanism index=end entry=entry on_change=on_change /> }
        })
        .collect_view();
    let base_words = move || {
        let preferences = store.preferences.get();
        mechanism.with_value(|mechanism| match mechanism.ends() {
            [] => "Base: at its middle".to_owned(),
            ends => {
                let each: Vec<_> = ends.iter().map(|end| preferences.length(end.base_showing)).collect();
                let thread: Vec<_> = ends.iter().map(|end| format!("{}{}", end.thread.designation(), if end.hand == Hand::Left { " left-hand" } else { "" })).collect();
                format!("Base: {} showing. {}", each.join(" and "), thread.join(" and "))
            }
        })
    };
    let drawings = move || {
        let row = row.get()?;
        let preferences = store.preferences.get();
        let ends = mechanism.with_value(|mechanism| mechanism.ends().to_vec());
        let drawn = ends.into_iter().enumerate().map(|(end, threaded)| {
            let state = row.measures.get(end).and_then(|measure| measure.state);
            view! { <EndDrawing end=threaded state=state after=None mirrored={end == 1} words=preferences.clone() /> }
        });
        Some(drawn.collect_view())
    };
    let state = Signal::derive(move || row.with(|row| row.as_ref().map_or(State::Open, |row: &BaseRow| row.state)));
    let name = adjuster.name.clone();
    let how = adjuster.how.clone();
    view! {
        <div class="stack" data-adjuster=adjuster.id.clone()>
            <div class="row spread"><h3>{name}</h3><Mark state=state words=Signal::derive(move || state.get().word().to_owned()) /></div>
            <p class="soft">{base_words}</p>
            {drawings}
            <div class="fields">{fields}</div>
            {move || row.get().map(|row| view! {
                <ul class="plain">
                    {row.problems.into_iter().map(|problem| view! { <li class="reason">{problem}</li> }).collect_view()}
                    {row.notes.into_iter().map(|note| view! { <li class="note">{note}</li> }).collect_view()}
                </ul>
            })}
            {(!how.is_empty()).then(|| view! { <p class="small soft">{how}</p> })}
            <EndWorking mechanism=mechanism row=row />
        </div>
    }
    .into_any()
}

#[component]
fn EndWorking(mechanism: StoredValue<Mechanism>, row: Memo<Option<BaseRow>>) -> impl IntoView {
    let formula = Signal::derive(move || {
        let Some(row) = row.get() else { return String::new() };
        let ends = mechanism.with_value(|mechanism| mechanism.ends().to_vec());
        let lines = ends.iter().zip(&row.measures).filter_map(|(end, measure)| measure.state.map(|state| engaged_working(end, &state)));
        lines.collect::<Vec<_>>().join("\n")
    });
    let source = mechanism.with_value(|mechanism| mechanism.ends().first().map(|end| format!("Arithmetic on the card's lengths. Least: {}, {}.", end.needed().rule, end.needed().source)));
    move || (!formula.get().is_empty()).then(|| view! { <Working formula=formula source=source.clone().unwrap_or_default() /> })
}

/// `engaged = shank − showing − jam nut − unthreaded lead`, with the numbers put in.
pub fn engaged_working(end: &ThreadedEnd, state: &EndState) -> String {
    format!(
        "{}: engaged = shank − showing − jam nut − lead = {:.1} − {:.1} − {:.1} − {:.1} = {:.1} mm, insert {:.1} mm deep\nspare before the least: {:.1} mm = {:.1} turns; room inwards: {:.1} mm = {:.1} turns",
        end.name,
        end.shank.as_mm(),
        state.showing.as_mm(),
        end.jam_nut.as_mm(),
        end.unthreaded_lead.as_mm(),
        state.engaged.as_mm(),
        end.insert_depth.as_mm(),
        state.spare.as_mm(),
        state.spare / end.thread.pitch(),
        state.inward.as_mm(),
        state.inward / end.thread.pitch()
    )
}

/// An end drawn to scale, at what was measured, or at its base while nothing is.
#[component]
pub fn EndDrawing(end: ThreadedEnd, state: Option<EndState>, after: Option<EndState>, mirrored: bool, words: Preferences) -> impl IntoView {
    let measured = state.is_some();
    let shown = state.or_else(|| end.state(end.base_showing).ok());
    shown.map(|shown| {
        let least = words.length(shown.needed.least);
        let engaged_text = match after {
            Some(after) => format!("{} engaged after, least {least}", words.length(after.engaged)),
            None => format!("{} engaged, least {least}", words.length(shown.engaged)),
        };
        let showing_text = match (after, measured) {
            (Some(after), _) => format!("{} → {} showing", words.length(shown.showing), words.length(after.showing)),
            (None, true) => format!("{} showing", words.length(shown.showing)),
            (None, false) => format!("base: {} showing", words.length(shown.showing)),
        };
        let drawing = ThreadDrawing {
            diameter: end.thread.diameter().as_mm(),
            insert: end.insert_depth.as_mm(),
            jam_nut: end.jam_nut.as_mm(),
            showing: shown.showing.as_mm(),
            engaged: shown.engaged.as_mm(),
            lead: end.unthreaded_lead.as_mm(),
            least: shown.needed.least.as_mm(),
            after: after.map(|after| after.showing.as_mm()),
            mirrored,
            left_hand: end.hand == Hand::Left,
            engaged_text,
            showing_text,
        };
        view! { <ThreadRule drawing=drawing /> }
    })
}

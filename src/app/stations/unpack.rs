//! Unpack: the order, the counts, the fits and the car.

use crate::app::device;
use crate::app::field::{Choices, EntryField, TextField, Understood};
use crate::app::parts::{Group, Mark};
use crate::app::store::use_store;
use crate::document::{Answer, Entry, FitCheck, Unit};
use crate::quantity::read_count;
use crate::station::{CountRow, DistanceRow, Progress, State, fit_words, unpack};
use leptos::prelude::*;
use leptos::task::spawn_local;

/// The Unpack station.
#[component]
pub fn Unpack() -> impl IntoView {
    let store = use_store();
    let result = Memo::new(move |_| store.job.with(|job| job.as_ref().map(unpack)));
    // The rows change with the order only; what stands in them follows by itself.
    let order = Memo::new(move |_| store.read(|job| job.order.clone()));
    let open = RwSignal::new(first_open(&result.get_untracked()));
    let toggle = move |index: usize| Callback::new(move |()| open.update(|open| *open = if *open == Some(index) { None } else { Some(index) }));
    let is_open = move |index: usize| Signal::derive(move || open.get() == Some(index));
    let groups = move || {
        order.track();
        let Some(result_now) = result.get_untracked() else { return ().into_any() };
        let counted = result_now.groups.len();
        let count_groups = result_now.groups.into_iter().enumerate().map(|(index, group)| {
            let progress = Signal::derive(move || {
                let mut progress = Progress::default();
                if let Some(group) = result.get().as_ref().and_then(|result| result.groups.get(index)) {
                    group.rows.iter().for_each(|row| progress.add(row.state()));
                }
                progress
            });
            let rows = StoredValue::new(group.rows);
            view! {
                <Group name=group.name progress=progress open=is_open(index) on_toggle=toggle(index)>
                    <ul class="lines">{rows.get_value().into_iter().map(|row| view! { <Count row=row /> }).collect_view()}</ul>
                </Group>
            }
        });
        let fits = StoredValue::new(result_now.fits);
        let fit_progress = Signal::derive(move || {
            let mut progress = Progress::default();
            result.get().iter().flat_map(|result| &result.fits).for_each(|row| progress.add(row.state()));
            progress
        });
        let distances = StoredValue::new(result_now.distances);
        let distance_progress = Signal::derive(move || {
            let mut progress = Progress::default();
            result.get().iter().flat_map(|result| &result.distances).for_each(|row| progress.add(row.state()));
            progress
        });
        view! {
            {count_groups.collect_view()}
            <Group name="Try by hand" progress=fit_progress open=is_open(counted) on_toggle=toggle(counted)>
                <ul class="lines">{fits.get_value().into_iter().map(|row| view! { <Fit check=row.check /> }).collect_view()}</ul>
            </Group>
            <Group name="The car's own points, before fitting" progress=distance_progress open=is_open(counted + 1) on_toggle=toggle(counted + 1)>
                <p class="soft">"Tape from centre to centre of the mounting points, diagonals included."</p>
                <ul class="lines">{distances.get_value().into_iter().map(|row| view! { <Distance row=row /> }).collect_view()}</ul>
            </Group>
        }
        .into_any()
    };
    view! {
        <section class="frame">
            <h2>"The order and the car"</h2>
            <div class="body"><Order /></div>
        </section>
        {groups}
        <Shortages />
    }
}

fn first_open(result: &Option<crate::station::Unpack>) -> Option<usize> {
    let result = result.as_ref()?;
    let group = result.groups.iter().position(|group| group.rows.iter().any(|row| row.state() == State::Open));
    group.or_else(|| result.fits.iter().any(|row| row.state() == State::Open).then_some(result.groups.len()))
}

#[component]
fn Order() -> impl IntoView {
    let store = use_store();
    let options = store.job.with_untracked(|job| job.as_ref().map(|job| job.card.options.clone())).unwrap_or_default();
    let pickups = store.job.with_untracked(|job| job.as_ref().map(|job| job.card.pickups.clone())).unwrap_or_default();
    let notes = store.job.with_untracked(|job| job.as_ref().map(|job| job.card.notes.clone())).unwrap_or_default();
    let ordered = options.into_iter().map(|option| {
        let (get, set) = (option.id.clone(), option.id.clone());
        let chosen = Signal::derive(move || store.read(|job| job.order.get(&get).cloned().unwrap_or_default()));
        let on_change = Callback::new(move |choice: String| store.edit(|job| drop(job.order.insert(set.clone(), choice))));
        let choices = option.choices.into_iter().map(|choice| (choice.id, choice.name)).collect();
        view! { <Choices id=format!("order-{}", option.id) label=option.name options=choices chosen=chosen on_change=on_change /> }
    });
    let holes = pickups.into_iter().map(|pickup| {
        let base = pickup.choices.first().map(|choice| choice.id.clone()).unwrap_or_default();
        let (get, set) = (pickup.id.clone(), pickup.id.clone());
        let chosen = Signal::derive(move || store.read(|job| job.pickups.get(&get).cloned().unwrap_or_else(|| base.clone())));
        let on_change = Callback::new(move |choice: String| store.edit(|job| drop(job.pickups.insert(set.clone(), choice))));
        let choices = pickup.choices.into_iter().map(|choice| (choice.id, choice.name)).collect();
        view! { <Choices id=format!("pickup-{}", pickup.id) label=pickup.name options=choices chosen=chosen on_change=on_change /> }
    });
    view! {
        <TextField
            id="car-name".to_owned()
            label="The car"
            text=Signal::derive(move || store.read(|job| job.car.name.clone()))
            on_change=Callback::new(move |text| store.edit(|job| job.car.name = text))
        />
        <TextField
            id="car-by".to_owned()
            label="Who does the work, for the sheet"
            text=Signal::derive(move || store.read(|job| job.car.by.clone()))
            on_change=Callback::new(move |text| store.edit(|job| job.car.by = text))
        />
        {ordered.collect_view()}
        {holes.collect_view()}
        {notes.into_iter().map(|note| view! { <p class="note">{note}</p> }).collect_view()}
    }
}

#[component]
fn Count(row: CountRow) -> impl IntoView {
    let store = use_store();
    let (get, set) = (row.id.clone(), row.id.clone());
    let expected = row.expected;
    let entry = Signal::derive(move || store.read(|job| job.counts.get(&get).cloned().unwrap_or_default()));
    let on_change = Callback::new(move |entry: Entry| store.edit(|job| drop(job.counts.insert(set.clone(), entry))));
    let understood = Callback::new(move |entry: Entry| -> Understood {
        let received = read_count(&entry.text).map_err(|error| error.to_string())?;
        Ok(match received {
            received if received < expected => format!("{} missing", expected - received),
            received if received > expected => format!("all here, {} more than ordered", received - expected),
            _ => "all here".into(),
        })
    });
    let state = Signal::derive(move || match read_count(&entry.get().text) {
        Ok(received) if received >= expected => State::Done,
        _ if entry.get().is_empty() => State::Open,
        _ => State::Wrong,
    });
    view! {
        <li>
            <div class="row spread">
                <span>{row.name.clone()}</span>
                <Mark state=state words=Signal::derive(move || format!("{expected} ordered")) />
            </div>
            <EntryField id=format!("count-{}", row.id) label=format!("How many came: {}", row.name) entry=entry unit=Unit::Count on_change=on_change understood=understood />
        </li>
    }
    .into_any()
}

#[component]
fn Fit(check: FitCheck) -> impl IntoView {
    let store = use_store();
    let kind = check.kind;
    let id = StoredValue::new(check.id.clone());
    let finding = Signal::derive(move || store.read(|job| job.findings.get(&id.get_value()).cloned().unwrap_or_default()));
    let answers = [("right", Answer::Right), ("usable", Answer::Usable), ("wrong", Answer::Wrong)];
    let options = answers.map(|(value, answer)| (value.to_owned(), fit_words(kind, answer).to_owned())).to_vec();
    let chosen = Signal::derive(move || {
        let answer = finding.get().answer;
        answers.iter().find(|(_, known)| Some(*known) == answer).map(|(value, _)| (*value).to_owned()).unwrap_or_default()
    });
    let on_change = Callback::new(move |value: String| {
        let answer = answers.iter().find(|(known, _)| *known == value).map(|(_, answer)| *answer);
        store.edit(|job| job.findings.entry(id.get_value()).or_default().answer = answer);
    });
    let on_note = Callback::new(move |note: String| store.edit(|job| job.findings.entry(id.get_value()).or_default().note = note));
    view! {
        <li>
            <Choices id=format!("fit-{}", check.id) label=check.name options=options chosen=chosen on_change=on_change />
            {move || (finding.with(|finding| finding.answer.is_some_and(|answer| answer != Answer::Right))).then(|| view! {
                <TextField id=format!("fit-note-{}", id.get_value()) label="What is wrong with it" text=Signal::derive(move || finding.get().note) on_change=on_note />
            })}
        </li>
    }
    .into_any()
}

#[component]
fn Distance(row: DistanceRow) -> impl IntoView {
    let store = use_store();
    let (get, set) = (row.id.clone(), row.id.clone());
    let (distance, tolerance) = (row.distance, row.tolerance);
    let entry = Signal::derive(move || store.read(|job| job.distances.get(&get).cloned().unwrap_or_default()));
    let on_change = Callback::new(move |entry: Entry| store.edit(|job| drop(job.distances.insert(set.clone(), entry))));
    let understood = Callback::new(move |entry: Entry| -> Understood {
        let measured = entry.length().map_err(|error| error.to_string())?;
        let off = measured - distance;
        let words = store.preferences.get().length(off.abs());
        Ok(if off.abs() <= tolerance {
            format!("within the card's tolerance, {words} off")
        } else if off.as_metres() > 0.0 {
            format!("LOOK: {words} longer than the card says. Measure again; a shell that was hit shows here.")
        } else {
            format!("LOOK: {words} shorter than the card says. Measure again; a shell that was hit shows here.")
        })
    });
    let label = move || {
        let preferences = store.preferences.get();
        format!("card: {} ± {}", preferences.length(distance), preferences.length(tolerance))
    };
    view! {
        <li>
            <EntryField
                id=format!("car-{}", row.id)
                label=row.name
                entry=entry
                unit=Signal::derive(move || store.preferences.get().length.into())
                on_change=on_change
                understood=understood
            />
            <p class="small soft">{label}</p>
        </li>
    }
    .into_any()
}

/// What is missing, as a message that can be copied.
#[component]
fn Shortages() -> impl IntoView {
    let store = use_store();
    let message = Memo::new(move |_| store.job.with(|job| job.as_ref().and_then(|job| unpack(job).shortage_message(job))));
    let copied = RwSignal::new("");
    let copy = move |_| {
        let Some(text) = message.get_untracked() else { return };
        spawn_local(async move {
            copied.set(if device::copy(text).await { "Copied." } else { "This browser does not copy: mark the text above and copy it by hand." });
        });
    };
    view! {
        {move || message.get().map(|text| view! {
            <section class="frame">
                <h2>"For the shop: what is missing or unfit"</h2>
                <div class="body">
                    <p class="working formula">{text}</p>
                    <button type="button" on:click=copy>"Copy the message"</button>
                    <p role="status">{copied}</p>
                </div>
            </section>
        })}
    }
}

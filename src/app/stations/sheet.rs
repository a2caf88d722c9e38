//! Sheet: one page to print, to copy and to keep.

use crate::app::device;
use crate::app::save_open_job;
use crate::app::store::use_store;
use crate::sheet::{Fact, Sheet, plain_text, sheet};
use leptos::prelude::*;
use leptos::task::spawn_local;

/// The Sheet station.
#[component]
pub fn SheetPage() -> impl IntoView {
    let store = use_store();
    let result = Memo::new(move |_| store.job.with(|job| job.as_ref().map(|job| sheet(job, &store.preferences.get()))));
    let changed = Signal::derive(move || store.read(|job| device::local_time(job.changed, true)));
    let copied = RwSignal::new("");
    let copy = move |_| {
        let Some(text) = result.get_untracked().map(|sheet| plain_text(&sheet, &changed.get_untracked())) else { return };
        spawn_local(async move {
            copied.set(if device::copy(text).await { "Copied." } else { "This browser does not copy: save the text to a file instead." });
        });
    };
    let save_text = move |_| {
        if let Some(sheet) = result.get_untracked() {
            device::save_file("halfturn-sheet.txt", &plain_text(&sheet, &changed.get_untracked()));
        }
    };
    let notes = Signal::derive(move || store.read(|job| job.notes.clone()));
    view! {
        <div class="stack no-print">
            <button type="button" class="main" on:click=move |_| device::print()>"Print the sheet"</button>
            <div class="row">
                <button type="button" on:click=copy>"Copy as text"</button>
                <button type="button" on:click=save_text>"Save as text"</button>
                <button type="button" on:click=move |_| save_open_job(store)>"Save the job to a file"</button>
            </div>
            <p role="status">{copied}</p>
            <div class="field">
                <label for="notes">"Notes for the sheet"</label>
                <textarea id="notes" prop:value=notes on:input:target=move |event| store.edit(|job| job.notes = event.target().value())></textarea>
            </div>
        </div>
        {move || result.get().map(|sheet| view! { <Paper sheet=sheet changed=changed.get() /> })}
    }
}

#[component]
fn Paper(sheet: Sheet, changed: String) -> impl IntoView {
    let fact = |(name, value): Fact| view! { <span><span class="soft">{format!("{name}: ")}</span>{value}</span> };
    let mut head = vec![("Kit card".to_owned(), sheet.card.clone())];
    for (name, value) in [("Order", &sheet.order), ("Done by", &sheet.by)] {
        if !value.is_empty() {
            head.push((name.to_owned(), value.clone()));
        }
    }
    head.push(("Changed".to_owned(), changed));
    head.extend(sheet.facts.clone());
    let wheels = sheet.wheels.into_iter().map(|wheel| {
        view! {
            <tr>
                <th scope="row">{wheel.corner}</th>
                <td>{wheel.toe_found}</td>
                <td><strong>{wheel.toe_left}</strong></td>
                <td>{wheel.camber_found}</td>
                <td><strong>{wheel.camber_left}</strong></td>
                <td>{wheel.verdict}</td>
            </tr>
        }
    });
    let adjusters = sheet.adjusters.into_iter().map(|adjuster| {
        view! {
            <tr>
                <th scope="row">{adjuster.name}</th>
                <td>{adjuster.base}</td>
                <td><strong>{adjuster.now}</strong></td>
                <td>{adjuster.engaged}</td>
                <td>{adjuster.rate}</td>
                <td>{adjuster.lock}</td>
            </tr>
        }
    });
    let joints = sheet.joints.into_iter().map(|joint| {
        let again = if joint.recheck.is_empty() { joint.tighten.to_owned() } else { format!("{}, {}", joint.tighten, joint.recheck) };
        view! {
            <tr>
                <th scope="row">{joint.name}</th>
                <td>{joint.torque}</td>
                <td><strong>{joint.set}</strong></td>
                <td>{again}</td>
            </tr>
        }
    });
    let open = if sheet.open.is_empty() { vec!["Nothing.".to_owned()] } else { sheet.open };
    let more = (sheet.open_more > 0).then(|| view! { <li>{format!("and {} more", sheet.open_more)}</li> });
    view! {
        <article class="sheet" aria-label="Baseline sheet">
            <h1>{format!("Baseline sheet: {}", sheet.car)}</h1>
            <p class="facts-line">{head.into_iter().map(fact).collect_view()}</p>
            <h2>"Toe and camber, as found and as left"</h2>
            {sheet.targets.into_iter().map(|target| view! { <p>{target}</p> }).collect_view()}
            <table>
                <thead><tr><th scope="col">"Wheel"</th><th scope="col">"Toe found"</th><th scope="col">"Toe left"</th><th scope="col">"Camber found"</th><th scope="col">"Camber left"</th><th scope="col">"Against the target"</th></tr></thead>
                <tbody>{wheels.collect_view()}</tbody>
            </table>
            {sheet.axles.into_iter().map(|axle| view! { <p>{axle}</p> }).collect_view()}
            <h2>"Adjusters"</h2>
            <table>
                <thead><tr><th scope="col">"Adjuster"</th><th scope="col">"Base shows"</th><th scope="col">"Now shows"</th><th scope="col">"Engaged"</th><th scope="col">"One step"</th><th scope="col">"Lock"</th></tr></thead>
                <tbody>{adjusters.collect_view()}</tbody>
            </table>
            <h2>"Joints"</h2>
            <table class="joints">
                <thead><tr><th scope="col">"Joint"</th><th scope="col">"Card"</th><th scope="col">"Set"</th><th scope="col">"Tightened; check again"</th></tr></thead>
                <tbody>{joints.collect_view()}</tbody>
            </table>
            <h2>"Open"</h2>
            <ul class="open">{open.into_iter().map(|item| view! { <li>{item}</li> }).collect_view()}{more}</ul>
            {(!sheet.notes.trim().is_empty()).then(|| view! { <h2>"Notes"</h2><p class="notes">{sheet.notes.clone()}</p> })}
            <p class="cautions">{sheet.cautions.join(" ")}</p>
            <div class="sign"><div>"Set by, date"</div><div>"Checked by, date"</div></div>
        </article>
    }
    .into_any()
}

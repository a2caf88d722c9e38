//! A job's six stations on one page each, with the rail above and the title block at the foot.

mod base;
mod bolt_up;
mod read;
mod sheet;
mod turn;
mod unpack;

pub use base::engaged_working;

use super::device;
use super::drawing::StateMark;
use super::route::Route;
use super::store::use_store;
use crate::station::{Station, stations};
use leptos::prelude::*;

/// A station of the open job.
#[component]
pub fn JobPage(station: Station) -> impl IntoView {
    let store = use_store();
    let open = Memo::new(move |_| store.job.with(|job| job.as_ref().map(|job| job.id.clone())));
    move || match open.get() {
        Some(id) => view! { <OpenJob id=id station=station /> }.into_any(),
        None => view! { <Missing /> }.into_any(),
    }
}

/// Says why a job is not shown, and leaves its bytes alone.
#[component]
fn Missing() -> impl IntoView {
    let store = use_store();
    let words = move || match store.refused.get() {
        Some(error) => format!("This job cannot be read. It is kept as it is; the list offers it as a file. {error}"),
        None => "There is no such job on this device. It may have been removed here, or started on another device.".to_owned(),
    };
    view! {
        <header><h1 id="top" tabindex="-1">"This job is not here"</h1></header>
        <main class="stack">
            <p>{words}</p>
            <a class="button main" href=Route::Jobs.href()>"Go to the list of jobs"</a>
        </main>
    }
}

#[component]
fn OpenJob(id: String, station: Station) -> impl IntoView {
    let store = use_store();
    let heading = move || store.read(|job| format!("{} · {}", job.car.name, job.card.name));
    let content = match station {
        Station::Unpack => view! { <unpack::Unpack /> }.into_any(),
        Station::BoltUp => view! { <bolt_up::BoltUp /> }.into_any(),
        Station::Base => view! { <base::Base /> }.into_any(),
        Station::Read => view! { <read::Read /> }.into_any(),
        Station::Turn => view! { <turn::Turn /> }.into_any(),
        Station::Sheet => view! { <sheet::SheetPage /> }.into_any(),
    };
    view! {
        <header class="no-print">
            <p class="soft">{heading}</p>
            <h1 id="top" tabindex="-1">{station.name()}</h1>
        </header>
        <Rail id=id.clone() here=station />
        <main class="stack">{content}</main>
        <Onward id=id here=station />
        <TitleBlock here=station />
    }
}

#[component]
fn Rail(id: String, here: Station) -> impl IntoView {
    let store = use_store();
    let states = Memo::new(move |_| store.job.with(|job| job.as_ref().map(stations)));
    let entry = move |(index, station): (usize, Station)| {
        let state = Signal::derive(move || states.get().and_then(|states| states.get(index).copied()).unwrap_or(crate::station::State::Open));
        view! {
            <li>
                <a href=Route::Job(id.clone(), station).href() aria-current=(station == here).then_some("step")>
                    <StateMark state=state />
                    {station.name()}
                    <span class="word">{move || state.get().word()}</span>
                </a>
            </li>
        }
    };
    view! {
        <nav aria-label="Stations" class="no-print">
            <ol class="rail">{Station::ALL.into_iter().enumerate().map(entry).collect_view()}</ol>
        </nav>
    }
}

/// The way to the next station, at the end of this one.
#[component]
fn Onward(id: String, here: Station) -> impl IntoView {
    let next = Station::ALL.into_iter().skip_while(|station| *station != here).nth(1);
    next.map(|next| {
        view! {
            <nav class="no-print" aria-label="Next station">
                <a class="button main" href=Route::Job(id, next).href()>{format!("Go on to {}", next.name())}</a>
            </nav>
        }
    })
}

/// The block at the foot of every drawing: what it is, when, which sheet.
#[component]
fn TitleBlock(here: Station) -> impl IntoView {
    let store = use_store();
    let card = move || store.read(|job| format!("{} rev {}, {}", job.card.name, job.card.revision, job.card.maker));
    let changed = move || store.read(|job| device::local_time(job.changed, false));
    let place = Station::ALL.iter().position(|station| *station == here).unwrap_or(0) + 1;
    view! {
        <footer class="title-block no-print">
            <div><small>"Kit card"</small>{card}</div>
            <div><small>"Changed"</small>{changed}</div>
            <div><small>"Station"</small>{format!("{place} of 6")}</div>
        </footer>
    }
}

//! A job's six stations on one page each, with the rail above and the title block at the foot.

mod base;
mod before;
mod bolt_up;
mod chart;
mod phone;
mod read;
mod sheet;
mod turn;
mod unpack;

pub use base::{base, end_drawing};
pub use bolt_up::bolt_up;
pub use chart::torques;
pub use read::read;
pub use sheet::{sheet, table};
pub use turn::turn;
pub use unpack::{counted, ordered, unpack};

use super::device;
use super::dom::{Derived, El, behind, derived, div, el, later, p};
use super::parts::state_shape;
use super::route::{Page, Route};
use super::shell::{at_work, heading, link};
use super::store::{Store, use_store};
use crate::station::{State, Station, fitting_states, read_and_turn_states, with_sheet};

/// A station of the open job, with what it shows.
pub fn job_page(station: Station, content: fn() -> Vec<El>) -> Vec<El> {
    let store = use_store();
    let Some(id) = store.peek(|job| Some(job.id.clone())) else {
        return missing();
    };
    let what = p("")
        .class("soft")
        .live_text(move || store.read(|job| format!("{} · {}", job.car.name, job.card.name)));
    // Nobody who types waits for the rail.
    let changes = behind(move || store.job.track());
    let fitting = derived(move || {
        changes.track();
        store.peek(|job| Some(fitting_states(job)))
    });
    let alignment = derived(move || {
        changes.track();
        store.peek(|job| Some(read_and_turn_states(job)))
    });
    fitting.first();
    alignment.first();
    let states: States = derived(move || Some(with_sheet(fitting.get()?, alignment.get()?)));
    let onward_from = id.clone();
    vec![
        el("header")
            .class("no-print station")
            .child(what)
            .child(heading(station.name())),
        later(move || rail(&id, station, states)),
        later(move || el("main").class("stack").children(content())),
        later(move || {
            div("stack")
                .children(onward(&onward_from, station))
                .child(title_block(station).child(at_work()))
        }),
    ]
}

/// The way to the torque chart.
fn to_chart(store: Store) -> El {
    let id = store.peek(|job| job.id.clone());
    link(
        &Route::Torques(id).href(store.here),
        "Torque chart for the wall",
    )
    .class("button")
}

/// Says why a job, or the check of a box, is not shown, and leaves its bytes alone.
pub fn missing() -> Vec<El> {
    let store = use_store();
    let (what, list, all) = match store.here {
        Page::Box => ("check", Route::Boxes, "boxes"),
        _ => ("job", Route::Jobs, "jobs"),
    };
    let words = match store.refused.get_untracked() {
        Some(error) => format!(
            "This {what} cannot be read. It is kept as it is; the list offers it as a file. {error}"
        ),
        None => format!(
            "There is no such {what} on this device. It may have been removed here or started on another device, or this browser has cleared what it kept: open it from the file it was saved to."
        ),
    };
    vec![
        el("header").child(heading(&format!("This {what} is not here"))),
        el("main").class("stack").child(p(&words)).child(
            link(&list.href(store.here), &format!("Go to the list of {all}")).class("button main"),
        ),
    ]
}

/// How far each station is; none where no job is open.
type States = Derived<Option<[State; 6]>>;

fn rail(id: &str, here: Station, states: States) -> El {
    let store = use_store();
    let entries = Station::ALL
        .into_iter()
        .enumerate()
        .map(|(index, station)| {
            let state = move || {
                states
                    .get()
                    .and_then(|states| states.get(index).copied())
                    .unwrap_or(State::Open)
            };
            let way = link(&Route::Job(id.to_owned(), station).href(store.here), "");
            let way = if station == here {
                way.attr("aria-current", "step")
            } else {
                way
            };
            el("li").child(
                way.child(
                    el("span")
                        .class("shape")
                        .live(move || vec![state_shape(state())]),
                )
                .child(el("span").text(station.name()))
                .child(
                    el("span")
                        .class("word")
                        .live_text(move || state().word().to_owned()),
                ),
            )
        });
    el("nav")
        .attr("aria-label", "Stations")
        .class("no-print")
        .child(el("ol").class("rail").children(entries))
}

/// The way to the next station, at the end of this one.
fn onward(id: &str, here: Station) -> Option<El> {
    let next = Station::ALL
        .into_iter()
        .skip_while(|station| *station != here)
        .nth(1)?;
    let way = link(
        &Route::Job(id.to_owned(), next).href(use_store().here),
        &format!("Go on to {}", next.name()),
    )
    .class("button main");
    Some(
        el("nav")
            .class("no-print")
            .attr("aria-label", "Next station")
            .child(way),
    )
}

/// The block at the foot of every drawing: what it is, when, which sheet.
fn title_block(here: Station) -> El {
    let store = use_store();
    let place = Station::ALL
        .iter()
        .position(|station| *station == here)
        .unwrap_or(0)
        + 1;
    let cell = |name: &str| el("div").child(el("small").text(name));
    el("footer")
        .class("title-block no-print")
        .child(cell("Kit card").live_text(move || {
            store.read(|job| {
                format!(
                    "{} rev {}, {}",
                    job.card.name, job.card.revision, job.card.maker
                )
            })
        }))
        .child(
            cell("Changed")
                .live_text(move || store.read(|job| device::local_time(job.changed, false))),
        )
        .child(
            div("")
                .child(el("small").text("Station"))
                .text(&format!("{place} of 6")),
        )
}

//! The bench: quick answers that need no job. What is typed here is not kept.

mod engagement;
mod turns;

pub use engagement::engagement;
pub use turns::turns;

use super::dom::{El, div, el};
use super::field::EntryField;
use super::link;
use super::route::Route;
use super::store::Store;
use crate::document::{Entry, Preferences, Unit};
use crate::hardware::{Thread, threads};
use reactive_graph::{signal::RwSignal, traits::*};
use std::rc::Rc;

/// The way between the bench's pages.
fn nav(here: &Route) -> El {
    let pages = [
        (Route::Turns, "Turns for an angle"),
        (Route::Engagement, "Thread showing and engagement"),
    ];
    let ways = pages.iter().map(|(route, name)| {
        let way = link(route, name).class("button");
        if route == here {
            way.attr("aria-current", "page")
        } else {
            way
        }
    });
    el("nav")
        .class("row")
        .attr("aria-label", "Bench")
        .children(ways)
}

/// A list of every thread known here.
fn thread_list(chosen: RwSignal<Thread>) -> El {
    let now = chosen.get_untracked();
    let options = threads().map(|thread| {
        let name = thread.designation();
        let option = el("option").attr("value", &name).text(&name);
        if thread == now {
            option.attr("selected", "")
        } else {
            option
        }
    });
    let list = el("select")
        .attr("id", "thread")
        .children(options)
        .on_value("change", move |name| {
            if let Ok(thread) = Thread::parse(&name) {
                chosen.set(thread);
            }
        });
    div("field")
        .child(el("label").attr("for", "thread").text("Thread"))
        .child(list)
}

/// A field of the bench.
fn field(
    store: Store,
    id: &str,
    label: &str,
    entry: RwSignal<Entry>,
    unit: fn(&Preferences) -> Unit,
    read: fn(&Entry, &Preferences) -> Result<String, String>,
) -> El {
    EntryField {
        id: id.to_owned(),
        label: label.to_owned(),
        ways: None,
        get: Rc::new(move || entry.get()),
        set: Rc::new(move |typed| entry.set(typed)),
        unit: Rc::new(move || unit(&store.preferences.get())),
        understood: Rc::new(move |entry| read(entry, &store.preferences.get())),
    }
    .view()
}

//! The bench: quick answers that need no job, on a page of their own. What is typed here is not kept.

mod engagement;
mod turns;

use super::dom::{El, div, el, on_window};
use super::field::EntryField;
use super::parts::{frame, next_frame};
use super::shell::{self, heading, link};
use super::{device, store};
use crate::app::signal::RwSignal;
use crate::document::{Entry, Preferences, Unit};
use crate::hardware::{Thread, threads};
use std::rc::Rc;

/// One question: its address after `#/`, its name, and the bodies of what is known and of what follows.
type Question = (
    &'static str,
    &'static str,
    fn(RwSignal<Preferences>) -> [El; 2],
);

/// The first is asked where the address names none.
const QUESTIONS: [Question; 2] = [
    ("turns", "Turns for an angle", turns::turns),
    (
        "thread",
        "Thread showing and engagement",
        engagement::engagement,
    ),
];

/// Puts the bench in place of its skeleton.
pub fn mount() {
    shell::mount(page);
}

fn page() -> El {
    // The page of jobs sets the preferences, maybe while the bench stands in another tab or waits to be gone back to.
    let preferences = RwSignal::new(store::kept_preferences());
    let read = move || {
        let kept = store::kept_preferences();
        if kept != preferences.get_untracked() {
            preferences.set(kept);
        }
    };
    on_window("storage", read);
    on_window("pageshow", read);
    let here = RwSignal::new(device::hash());
    on_window("hashchange", move || {
        here.set(device::hash());
        device::to_top();
    });
    let content = div("stack").live(move || {
        let hash = here.get();
        let asked = QUESTIONS
            .iter()
            .find(|(slug, ..)| hash.strip_prefix("#/") == Some(*slug));
        let (slug, name, ask) = asked.unwrap_or(&QUESTIONS[0]);
        let [known, answer] = ask(preferences);
        let both = div("two")
            .child(frame("Known", known))
            .child(next_frame("Answer", answer));
        vec![
            el("header").child(heading(name)),
            el("main").class("stack").child(nav(slug)).child(both),
        ]
    });
    shell::page(preferences, "../", link("#/", "Bench")).child(content)
}

/// The way between the questions.
fn nav(here: &str) -> El {
    let ways = QUESTIONS.iter().map(|(slug, name, _)| {
        let way = link(&format!("#/{slug}"), name).class("button");
        if *slug == here {
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
    preferences: RwSignal<Preferences>,
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
        unit: Rc::new(move || unit(&preferences.get())),
        understood: Rc::new(move |entry| read(entry, &preferences.get())),
    }
    .view()
}

//! The list of jobs on this device, and the start of a new one from a kit card.

use super::dom::{Derived, El, button, derived, div, el, later, p, result};
use super::field::{asking, opening, text_field};
use super::parts::{body, frame, mark, next_frame, progress_words, unreadable};
use super::route::Route;
use super::shell::{heading, link};
use super::signal::RwSignal;
use super::store::{Listed, Store, file_name, use_store};
use super::{DEMO, device, fetch_own_card, new_version};
use crate::document::{Job, Kind, Moment, save_job};
use crate::station::{Standing, Station, age, is_found, standing};
use std::rc::Rc;

/// The list of jobs, and the start of a new one.
pub fn jobs() -> Vec<El> {
    let store = use_store();
    let listed_anew = RwSignal::new(0_u32);
    let jobs = result(move || {
        listed_anew.track();
        store.elsewhere.track();
        store.list()
    });
    let main = el("main").class("two");
    // Who comes back comes for a job of theirs.
    let main = if store.keeps_any() {
        jobs.first();
        main.child(
            div("stack")
                .child(new_version(store))
                .child(later(move || begun(store, jobs, listed_anew))),
        )
        .child(later(move || start(store)))
    } else {
        main.child(div("stack").child(new_version(store)).child(start(store)))
            .child(begun(store, jobs, listed_anew))
    };
    vec![
        el("header")
            .child(heading("From the box to a printed baseline sheet"))
            .child(p("Count and check the kit, bolt it on, set a safe base, read toe and camber, turn, print.").class("soft")),
        main,
    ]
}

/// The start of a job.
fn start(store: Store) -> El {
    let problem = RwSignal::new(None::<String>);
    let demo = DEMO.map(|(address, words)| {
        let start = move |card| begin(store, Job::new(store.new_id(), card, device::now()));
        button(words, move || {
            fetch_own_card(store, address, problem, start)
        })
        .class("main")
    });
    // What comes is read and checked on the page of what came.
    let open = opening("Open a kit card or a saved job", problem, move |text| {
        hand_over(store, text);
        Ok(())
    });
    let card = p("A kit's card comes from its maker: as a file, as a link, or as a code to point the phone's camera at. Without one, a demo shows the way.").class("soft");
    let start = next_frame(
        "Start a job",
        body().child(card).children(open).children(demo),
    );
    let first = frame(
        "Before anything else",
        body().child(p("The vehicle maker's and the kit maker's instructions and local law come first. Alignment and brake work may need a licensed person. Never go under a car that stands on a jack alone.")),
    );
    div("stack").child(start).child(first)
}

/// The jobs begun.
fn begun(store: Store, jobs: Derived<Vec<Listed>>, listed_anew: RwSignal<u32>) -> El {
    let search = RwSignal::new(String::new());
    let field = text_field(
        "search",
        "Search: car, card, maker, notes",
        move || search.get(),
        move |words| search.set(words),
    );
    // What is short enough to be seen at once is not searched.
    let is_long = derived(move || jobs.with(|jobs| jobs.len() > 5));
    let field = div("").live(move || is_long.get().then(|| field.clone()).into_iter().collect());
    let list = div("stack").live(move || {
        jobs.with(|jobs| {
            if jobs.is_empty() {
                return vec![p("None yet. A job stays in this browser, which may clear what it keeps when the device is short of room or when the page was not opened for long. Save a job to a file to be sure of it.").class("soft")];
            }
            let words = search.get();
            let is_wanted = |listed: &&Listed| {
                let words = if is_long.get() { &words } else { "" };
                listed.job.as_ref().map_or(words.is_empty(), |job| is_found(job, words))
            };
            let is_archived = |listed: &&Listed| listed.job.as_ref().is_ok_and(|job| job.archived);
            let now = device::now();
            let wanted: Vec<&Listed> = jobs.iter().filter(is_wanted).collect();
            let row = |listed: &&Listed| row(store, listed, now, listed_anew);
            let (archived, at_hand): (Vec<_>, Vec<_>) = wanted.iter().copied().partition(is_archived);
            let rows = |jobs: &[&Listed]| el("ul").class("lines").children(jobs.iter().map(row));
            let mut all = vec![rows(&at_hand)];
            if at_hand.is_empty() {
                all.push(p(if wanted.is_empty() { "No job has these words." } else { "All are archived." }).class("soft"));
            }
            if !archived.is_empty() {
                let folded = el("details")
                    .class("working")
                    .child(el("summary").text(&format!("Archived ({})", archived.len())))
                    .child(rows(&archived));
                // What was searched for is shown.
                let is_searched = is_long.get() && !words.is_empty();
                all.push(if is_searched { folded.attr("open", "") } else { folded });
            }
            all
        })
    });
    frame("Jobs on this device", body().child(field).child(list))
}

/// Keeps a job and opens it.
fn begin(store: Store, job: Job) {
    let id = store.begin(job);
    device::go(&Route::Job(id, Station::Unpack).href(store.here));
}

/// Gives a file to the page of what came.
fn hand_over(store: Store, text: &str) {
    device::carry(text);
    device::go(&Route::CameInFile.href(store.here));
}

fn row(store: Store, listed: &Listed, now: Moment, listed_anew: RwSignal<u32>) -> El {
    let again = move || listed_anew.update(|count| *count += 1);
    let (key, removed) = (listed.key.clone(), listed.key.clone());
    let remove = asking("Remove", "Remove it for good", "Keep it", move || {
        store.forget(&removed);
        again();
    });
    let job = match &listed.job {
        Ok(job) => job.clone(),
        Err(error) => {
            let said = el("strong").text("A job that cannot be read. It is kept as it is.");
            let save = move || {
                if let Some(text) = store.kept_text(&key) {
                    device::save_file("halfturn-unreadable-job.json", &text);
                }
            };
            return unreadable(p("").child(said), error, save, remove);
        }
    };
    let Standing {
        station,
        state,
        progress,
    } = standing(&job);
    let changed = age(job.changed, now).unwrap_or_else(|| {
        let then = device::local_time(job.changed, true);
        format!("{then}, which by this device's clock is still to come: was the clock set back?")
    });
    let line = format!(
        "{}, {} revision {}. Changed {changed}",
        job.card.maker, job.card.name, job.card.revision,
    );
    let open = link(
        &Route::Job(job.id.clone(), station).href(store.here),
        &format!("{} — {}", job.car.name, station.name()),
    )
    .class("button main");
    let so_far = progress.map_or_else(|| state.word().to_owned(), progress_words);
    let send = link(
        &Route::Send(job.id.clone()).href(store.here),
        "Share this job",
    );
    let send_card = link(
        &Route::SendCard(job.id.clone()).href(store.here),
        "Share its kit card",
    );
    let (archived, id) = (job.archived, job.id.clone());
    let archive = button(if archived { "Bring back" } else { "Archive" }, move || {
        store.archive(&id, !archived);
        again();
    });
    let job = Rc::new(job);
    let saved = job.clone();
    let save = button("Save to a file", move || {
        device::save_file(&file_name(Kind::Job, &saved.car.name), &save_job(&saved))
    });
    let same = button("Same kit, another car", move || {
        begin(store, job.again(store.new_id(), device::now()))
    });
    let more = el("details")
        .class("working")
        .child(el("summary").text("More"))
        .child(
            div("row")
                .child(save)
                .child(send.class("button"))
                .child(send_card.class("button"))
                .child(same)
                .child(archive)
                .child(remove),
        );
    el("li")
        .child(open)
        .child(p(&line).class("small soft"))
        .child(mark(state, &format!("{}: {so_far}", station.name())))
        .child(more)
}

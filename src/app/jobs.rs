//! The list of jobs on this device, and the start of a new one from a kit card.

use super::dom::{El, button, div, el, p};
use super::field::{asking, file_field};
use super::parts::{body, frame, mark, next_frame};
use super::route::Route;
use super::shell::{heading, link};
use super::signal::RwSignal;
use super::store::{Listed, Store, file_name, use_store};
use super::{device, new_version};
use crate::document::{Job, Kind, KitCard, LoadError, load_job, load_kit_card, save_job};
use crate::station::{State, Station, stations};

/// The kit cards that come with the page: address from the folder of the pages, and words.
pub const DEMO: [(&str, &str); 2] = [
    (
        "cards/rear.json",
        "Demo: rear double-wishbone kit, inch rod ends",
    ),
    ("cards/front.json", "Demo: front strut kit, metric tie rods"),
];

/// The list of jobs, and the start of a new one.
pub fn jobs() -> Vec<El> {
    let store = use_store();
    let problem = RwSignal::new(None::<String>);
    let listed = RwSignal::new(0_u32);
    let demo = DEMO.map(|(address, words)| {
        button(words, move || start_demo(store, address, problem)).class("main")
    });
    let open = file_field("open-file", "Open a kit card or a saved job", move |text| {
        problem.set(text.and_then(|text| open_text(store, &text)).err());
    });
    let refused = div("").attr("role", "alert").live(move || {
        let Some(words) = problem.get() else {
            return Vec::new();
        };
        vec![
            div("banner")
                .child(el("h3").text("The file was not opened"))
                .children(words.lines().map(p)),
        ]
    });
    let start = next_frame(
        "Start a job",
        body().children(demo).child(open).child(refused),
    );
    let first = frame(
        "Before anything else",
        body().child(p("The vehicle maker's and the kit maker's instructions and local law come first. Alignment and brake work may need a licensed person. Never go under a car that stands on a jack alone.")),
    );
    let list = body().live(move || {
        listed.track();
        let jobs = store.list();
        if jobs.is_empty() {
            return vec![
                p("None yet. A job stays on this device; save it to a file to keep it elsewhere.")
                    .class("soft"),
            ];
        }
        vec![
            el("ul")
                .class("lines")
                .children(jobs.into_iter().map(|job| row(store, job, listed))),
        ]
    });
    vec![
        el("header")
            .child(heading("From the box to a printed baseline sheet"))
            .child(p("Count and check the kit, bolt it on, set a safe base, read toe and camber, turn, print.").class("soft")),
        el("main").class("two").child(div("stack").child(new_version(store)).child(start).child(first)).child(frame("Jobs on this device", list)),
    ]
}

/// Starts a job on a card and opens it.
fn start(store: Store, card: KitCard) {
    let id = store.begin(Job::new(store.new_id(), card, device::now()));
    device::go(&Route::Job(id, Station::Unpack).href(store.here));
}

fn start_demo(store: Store, address: &'static str, problem: RwSignal<Option<String>>) {
    device::fetch(
        address,
        Box::new(move |text| {
            match text.map(|text| load_kit_card(&text)) {
            Some(Ok(card)) => start(store, card),
            Some(Err(error)) => problem.set(Some(error.to_string())),
            None => problem.set(Some(format!("The card {address} could not be fetched. Check the connection and try again, or open a kit card from a file."))),
        }
        }),
    );
}

/// Starts a job on a kit card, or takes in a job that was saved to a file.
fn open_text(store: Store, text: &str) -> Result<(), String> {
    match load_kit_card(text) {
        Ok(card) => start(store, card),
        Err(LoadError::OtherKind { found, .. }) if found == Kind::Job.name() => {
            let job = load_job(text).map_err(|error| error.to_string())?;
            // The window may hold the one job that could not be kept.
            if store.like(&job).is_some() && store.unsaved.get_untracked().is_none() {
                device::carry(text);
                device::go(&Route::CameInFile.href(store.here));
                return Ok(());
            }
            let id = store.begin(Job {
                id: store.free_id(&job.id),
                ..job
            });
            device::go(&Route::Job(id, Station::Unpack).href(store.here));
        }
        Err(error) => return Err(error.to_string()),
    }
    Ok(())
}

fn row(store: Store, listed: Listed, refresh: RwSignal<u32>) -> El {
    let key = listed.key;
    let removed = key.clone();
    let remove = asking("Remove", "Remove it for good", "Keep it", move || {
        store.forget(&removed);
        refresh.update(|count| *count += 1);
    });
    let item = el("li");
    match listed.job {
        Ok(job) => {
            let at = Station::ALL
                .into_iter()
                .zip(stations(&job))
                .find(|(_, state)| *state != State::Done);
            let (station, state) = at.unwrap_or((Station::Sheet, State::Done));
            let line = format!(
                "{}, {} revision {}. Changed {}.",
                job.card.maker,
                job.card.name,
                job.card.revision,
                device::local_time(job.changed, true)
            );
            let open = link(
                &Route::Job(job.id.clone(), station).href(store.here),
                &format!("{} — {}", job.car.name, station.name()),
            )
            .class("button main");
            let send = link(
                &Route::Send(job.id.clone()).href(store.here),
                "Share this job",
            )
            .class("button");
            let send_card = link(
                &Route::SendCard(job.id.clone()).href(store.here),
                "Share its kit card",
            )
            .class("button");
            let save = button("Save to a file", move || {
                device::save_file(&file_name(Kind::Job, &job.car.name), &save_job(&job))
            });
            item.child(open)
                .child(p(&line).class("small soft"))
                .child(mark(
                    state,
                    &format!("{}: {}", station.name(), state.word()),
                ))
                .child(
                    div("row")
                        .child(save)
                        .child(send)
                        .child(send_card)
                        .child(remove),
                )
        }
        Err(error) => {
            let save = button("Save what is there to a file", move || {
                if let Some(text) = store.kept_text(&key) {
                    device::save_file("halfturn-unreadable-job.json", &text);
                }
            });
            item.child(
                p("").child(el("strong").text("A job that cannot be read. It is kept as it is.")),
            )
            .child(p(&error.to_string()).class("reason"))
            .child(div("row").child(save).child(remove))
        }
    }
}

//! What came with a link, or in a file that holds a job of this device: what it is, what differs, and the choice. Nothing is written before that.

use super::code::{own_card, unfolded};
use super::device;
use super::dom::{El, button, div, el, p};
use super::field::file_field;
use super::parts::{body, facts, frame, next_frame, sentences};
use super::route::Route;
use super::shell::heading;
use super::signal::RwSignal;
use super::store::{Store, use_store};
use crate::document::{
    CardName, Job, Kind, KitCard, LoadError, Moment, Shared, card_named, differences, fingerprint,
    load_job, load_kit_card, load_own_kit_card, open_packed,
};
use crate::station::Station;
use std::rc::Rc;
use std::sync::Arc;

/// What became of it so far.
#[derive(Clone)]
enum Came {
    Reading,
    Refused(String),
    /// The packed job needs a kit card that is not here; and why the one that was given is not it.
    Needs(Arc<Vec<u8>>, CardName, Option<String>),
    Here(Shared),
}

/// What came with a link.
pub fn with_link(link: &str) -> Vec<El> {
    let store = use_store();
    let came = RwSignal::new(Came::Reading);
    unfolded(link, move |bytes| {
        let read = bytes.and_then(|bytes| Ok((card_named(&bytes)?, Arc::new(bytes))));
        let (named, packed) = match read {
            Ok((Some(named), packed)) => (named, packed),
            Ok((None, packed)) => return came.set(opened(&packed, None)),
            Err(error) => return came.set(Came::Refused(error.to_string())),
        };
        if let Some(card) = here(store, named.fingerprint) {
            return came.set(opened(&packed, Some(&card)));
        }
        let Some(address) = own_card(named.fingerprint) else {
            return came.set(Came::Needs(packed, named, None));
        };
        let fetched = move |text: Option<String>| {
            came.set(match text.and_then(|text| load_own_kit_card(&text).ok()) {
                Some(card) => opened(&packed, Some(&card)),
                None => Came::Needs(packed, named, None),
            });
        };
        let address = format!("{}{address}", store.here.home());
        device::fetch(&address, Box::new(fetched));
    });
    page(store, "with this address", came)
}

/// A kit card or a job that came in a file, which the window holds. What asks for no choice is begun at once: a job on the kit card, or the job where it
/// is not here yet.
pub fn in_file() -> Vec<El> {
    let store = use_store();
    let text = device::given();
    let start = |job: Job| {
        let id = store.begin(job);
        go(store, &Route::Job(id, Station::Unpack));
        Came::Reading
    };
    let came = match load_kit_card(&text) {
        Ok(card) => start(Job::new(store.new_id(), card, device::now())),
        Err(LoadError::OtherKind { found, .. }) if found == Kind::Job.name() => {
            match load_job(&text) {
                Ok(job) if store.like(&job).is_none() => start(store.taken_in(job)),
                Ok(job) => Came::Here(Shared::Job(Box::new(job))),
                Err(error) => Came::Refused(error.to_string()),
            }
        }
        Err(_) if text.is_empty() => Came::Refused(
            "The file is not at hand any more. Choose it again in the list of jobs.".to_owned(),
        ),
        Err(error) => Came::Refused(error.to_string()),
    };
    page(store, "in this file", RwSignal::new(came))
}

fn opened(packed: &[u8], card: Option<&KitCard>) -> Came {
    match open_packed(packed, card) {
        Ok(shared) => Came::Here(shared),
        Err(error) => Came::Refused(error.to_string()),
    }
}

/// The kit card of this fingerprint, if a job on this device holds it.
fn here(store: Store, wanted: u64) -> Option<KitCard> {
    let mut cards = store
        .list()
        .into_iter()
        .filter_map(|listed| Some(listed.job.ok()?.card));
    cards.find(|card| fingerprint(card) == wanted)
}

fn page(store: Store, how: &'static str, came: RwSignal<Came>) -> Vec<El> {
    let content = div("stack").live(move || {
        let (words, parts) = match came.get() {
            Came::Reading => ("Opening what came".to_owned(), Vec::new()),
            Came::Refused(words) => (
                "This was not opened".to_owned(),
                vec![
                    div("banner")
                        .attr("role", "alert")
                        .children(words.lines().map(p)),
                    leave(store, "Go to the list of jobs"),
                ],
            ),
            Came::Needs(packed, named, why) => (
                "A kit card is missing".to_owned(),
                needs(store, packed, named, why, came),
            ),
            Came::Here(Shared::Job(job)) => (format!("A job came {how}"), job_came(store, *job)),
            Came::Here(Shared::KitCard(card)) => {
                (format!("A kit card came {how}"), card_came(store, *card))
            }
        };
        vec![
            el("header").child(heading(&words)),
            el("main").class("stack").children(parts),
        ]
    });
    vec![content]
}

/// Goes where nothing is asked again, also on the way back.
fn go(store: Store, route: &Route) {
    device::go_instead(&route.href(store.here));
}

fn open(store: Store, id: String, job: &Job) {
    let station = match job.rounds.is_empty() {
        true => Station::Unpack,
        false => Station::Sheet,
    };
    go(store, &Route::Job(id, station));
}

fn leave(store: Store, words: &str) -> El {
    button(words, move || {
        // A file that was held for this page is let go; a job that is nowhere kept stays.
        if store.unsaved.get_untracked().is_none() {
            device::carry("");
        }
        go(store, &Route::Jobs);
    })
}

fn needs(
    store: Store,
    packed: Arc<Vec<u8>>,
    named: CardName,
    why: Option<String>,
    came: RwSignal<Came>,
) -> Vec<El> {
    let words = format!(
        "A job came, done on the kit card {} revision {}. The link does not hold the card, and it is neither on this device nor with this page. Nothing can be shown without it: on another card the numbers would be wrong.",
        named.name, named.revision
    );
    let file = file_field(
        "card-file",
        "Open the kit card, or a job on it",
        move |text| {
            let card = text.and_then(|text| {
                load_kit_card(&text)
                    .or_else(|_| load_job(&text).map(|job| job.card))
                    .map_err(|error| error.to_string())
            });
            let other = |card: &KitCard| {
                format!(
                    "This file holds {} revision {}, and it is not the card that is needed.",
                    card.name, card.revision
                )
            };
            let why = match card {
                Ok(card) if fingerprint(&card) == named.fingerprint => {
                    return came.set(opened(&packed, Some(&card)));
                }
                Ok(card) => other(&card),
                Err(why) => why,
            };
            came.set(Came::Needs(packed.clone(), named.clone(), Some(why)));
        },
    );
    let why = why.map(|why| {
        div("banner")
            .attr("role", "alert")
            .children(why.lines().map(p))
    });
    let frame = next_frame(
        "The kit card",
        body().child(p(&words)).child(file).children(why),
    );
    vec![frame, leave(store, "Leave it")]
}

fn when(moment: Moment) -> String {
    device::local_time(moment, true)
}

fn card_words(card: &KitCard) -> String {
    format!("{} revision {}, {}", card.name, card.revision, card.maker)
}

fn job_came(store: Store, job: Job) -> Vec<El> {
    let what = facts([
        ("Car", job.car.name.clone()),
        ("Kit card", card_words(&job.card)),
        ("Done by", job.car.by.clone()),
        ("Begun", when(job.started)),
        ("Changed", when(job.changed)),
        ("Rounds of readings", job.rounds.len().to_string()),
    ]);
    let what = frame("The job", body().child(what));
    let Some(here) = store.like(&job) else {
        let keep = button("Keep it on this device", move || keep(store, &job)).class("main");
        let choice = body()
            .child(p("This job is not on this device yet."))
            .child(keep)
            .child(leave(store, "Leave it"));
        return vec![what, next_frame("Your choice", choice)];
    };
    let found = differences(&here, &job);
    if found.is_empty() {
        let open_here = button("Open the one here", move || {
            open(store, here.id.clone(), &here)
        });
        let choice = body()
            .child(p(
                "This job is on this device already, and nothing differs.",
            ))
            .child(open_here.class("main"))
            .child(leave(store, "Leave it"));
        return vec![what, next_frame("Your choice", choice)];
    }
    let said: Vec<String> = found.iter().map(ToString::to_string).collect();
    let later = match job.changed > here.changed {
        true => "The one that came was changed later.",
        false => "The one here was changed later.",
    };
    let times = format!(
        "This job is on this device already, changed {}. The one that came was changed {}. {later}",
        when(here.changed),
        when(job.changed)
    );
    let differ = frame(
        "What differs",
        body().child(p(&times)).child(sentences("", &said)),
    );
    let full = RwSignal::new("");
    let jobs = Rc::new((here, job));
    let both = jobs.clone();
    let take = move || {
        let (here, came) = &*jobs;
        let by = Job {
            id: here.id.clone(),
            ..came.clone()
        };
        match store.replace(here.clone(), by) {
            Ok(id) => open(store, id, came),
            Err(_) => full.set("Not taken: there is no room to keep the one here as a copy. Save jobs to files and remove old ones first."),
        }
    };
    let choice = body()
        .child(button("Keep both", move || keep(store, &both.1)).class("main"))
        .child(button(
            "Take the one that came; keep the one here as a copy",
            take,
        ))
        .child(leave(store, "Leave it"))
        .child(
            p("")
                .class("reason")
                .attr("role", "status")
                .live_text(move || full.get().to_owned()),
        );
    vec![what, differ, next_frame("Your choice", choice)]
}

/// Keeps a job beside those here.
fn keep(store: Store, job: &Job) {
    let id = store.begin(store.taken_in(job.clone()));
    open(store, id, job);
}

fn card_came(store: Store, card: KitCard) -> Vec<El> {
    let what = facts([
        ("Kit card", card.name.clone()),
        ("Maker", card.maker.clone()),
        ("Revision", card.revision.clone()),
        ("Fits", card.fits.clone()),
        ("Joints", card.joints.len().to_string()),
        ("Adjusters", card.adjusters.len().to_string()),
        ("Steps", card.all_steps().count().to_string()),
    ]);
    let mut what = body().child(what);
    let jobs = store
        .list()
        .into_iter()
        .filter_map(|listed| listed.job.ok());
    let (mut same, mut other) = (0, 0);
    for job in jobs.filter(|job| job.card.name == card.name && job.card.maker == card.maker) {
        match fingerprint(&job.card) == fingerprint(&card) {
            true => same += 1,
            false => other += 1,
        }
    }
    if same + other > 0 {
        what = what.child(p(&format!("Jobs here on this very card: {same}. Jobs here on another state of it: {other}; they keep theirs.")));
    }
    let start = button("Start a job on it", move || {
        let id = store.begin(Job::new(store.new_id(), card.clone(), device::now()));
        go(store, &Route::Job(id, Station::Unpack));
    });
    let choice = body()
        .child(p(
            "A kit card changes no job that is here. Check that it comes from the kit's maker.",
        ))
        .child(start.class("main"))
        .child(leave(store, "Leave it"));
    vec![
        frame("The kit card", what),
        next_frame("Your choice", choice),
    ]
}

//! The pages: views over the core, kept current by Leptos' signals.
//!
//! A job is shown by pages of their own for its stations, each with one root store, plain structs in it, and core functions in what is derived from them. The list of jobs, the
//! bench, the kit maker's desk and the boxes that ship are pages too.
//! `device` is the only place that touches the browser.

pub mod bench;
mod boxes;
mod came;
mod code;
pub mod desk;
mod device;
mod dom;
mod field;
mod gauge;
mod jobs;
mod parts;
mod preferences;
mod route;
mod send;
mod shell;
mod signal;
mod stations;
mod store;

use crate::document::{Kind, KitCard, OWN_KIT_CARDS, load_own_kit_card, save_job};
use crate::station::Station;
use dom::{El, button, div, on_window, p};
use reactive_graph::owner::provide_context;
use route::{Page, Route};
use signal::RwSignal;
use store::{Store, file_name, use_store};

/// The kit cards that come with the page: address from the folder of the pages, and words.
const DEMO: [(&str, &str); 2] = {
    let [(rear, _), (front, _)] = OWN_KIT_CARDS;
    [
        (rear, "Demo: rear double-wishbone kit, inch rod ends"),
        (front, "Demo: front strut kit, metric tie rods"),
    ]
};

/// Puts the list of jobs in place of its skeleton.
pub fn mount_home() {
    mount(Page::Home, |route| match route {
        Route::Preferences => preferences::preferences(),
        _ => jobs::jobs(),
    });
}

/// Puts the page on which a kit is unpacked in place of its skeleton.
pub fn mount_unpack() {
    mount(Page::Unpack, |_| {
        stations::job_page(Station::Unpack, stations::unpack)
    });
}

/// Puts the page of what is done after it and before the wheels are read in place of its skeleton.
pub fn mount_fit() {
    mount(Page::Fit, |route| match route {
        Route::Job(_, Station::BoltUp) => stations::job_page(Station::BoltUp, stations::bolt_up),
        Route::Torques(id) => stations::torques(id),
        _ => stations::job_page(Station::Base, stations::base),
    });
}

/// Puts the page of a job's readings in place of its skeleton.
pub fn mount_read() {
    mount(Page::Read, |_| {
        stations::job_page(Station::Read, stations::read)
    });
}

/// Puts the page of a job's turns in place of its skeleton.
pub fn mount_align() {
    mount(Page::Align, |_| {
        stations::job_page(Station::Turn, stations::turn)
    });
}

/// Puts the page of a job's sheet in place of its skeleton.
pub fn mount_sheet() {
    mount(Page::Sheet, |_| {
        stations::job_page(Station::Sheet, stations::sheet)
    });
}

/// Puts the page of what is sent, and of what came, in place of its skeleton.
pub fn mount_share() {
    mount(Page::Share, |route| match route {
        Route::Send(_) => send::job(),
        Route::SendCard(_) => send::card(),
        Route::Came(link) => came::with_link(link),
        _ => came::in_file(),
    });
}

/// Puts the boxes that ship in place of their skeleton.
pub fn mount_boxes() {
    mount(Page::Box, |route| match route {
        Route::Box(_) => boxes::check(),
        _ => boxes::boxes(),
    });
}

fn mount(here: Page, content: fn(&Route) -> Vec<El>) {
    let open = move || {
        let store = Store::open(here);
        provide_context(store);
        store
    };
    shell::mount(
        open,
        [|store| store.fill_ahead(), |store| follow(*store)],
        move |store| page(store, content),
    );
}

/// Opens what the address leads to, now and whenever it changes, and hears what other pages do. Another page's address leads there.
fn follow(store: Store) {
    let here = store.here;
    let follow = move || {
        let route = Route::from_hash(&device::hash(), here);
        if route.page() != here {
            return device::go_instead(&route.href(here));
        }
        store.flush();
        if let Some(id) = route.job() {
            store.open_job(id);
        }
        store.route.set(route);
    };
    follow();
    on_window("hashchange", move |_| {
        follow();
        device::to_top_soon();
    });
    on_window("storage", move |event| {
        let [key, before, after] = device::stored_elsewhere(&event);
        store.heard(&key, &before, &after);
    });
    on_window("pageshow", move |_| store.come_back());
    on_window("pagehide", move |_| store.flush());
    on_window("visibilitychange", move |_| {
        if device::hidden() {
            store.flush();
        }
    });
}

/// What a page shows at each of its own addresses.
fn page(store: Store, content: fn(&Route) -> Vec<El>) -> (El, impl Fn() -> Vec<El>) {
    let here = store.here;
    // As where a page changes within itself.
    if device::arrives() {
        device::to_top_soon();
    }
    let shown = move || {
        let route = store.route.get();
        if route.page() == here {
            content(&route)
        } else {
            Vec::new()
        }
    };
    // A job that is nowhere kept stays open behind another page.
    let others = [("bench/", "Bench"), ("desk/", "Desk")].map(|(folder, name)| {
        shell::link(&format!("{}{folder}", here.home()), name).live_attr("target", move || {
            store.unsaved.get().map(|_| "_blank".to_owned())
        })
    });
    let page = shell::page(store.preferences, here.home(), others)
        .child(unsaved())
        .child(clashes());
    (page, shown)
}

/// Says what was typed on two pages at once, until it was looked at.
fn clashes() -> El {
    let store = use_store();
    div("").attr("role", "alert").live(move || {
        let clashes = store.clashes.get();
        if clashes.is_empty() {
            return Vec::new();
        }
        let said = |words: &str| match words {
            "" => "nothing".to_owned(),
            words => format!("“{words}”"),
        };
        let lines = clashes.iter().map(|clash| {
            let (kept, dropped) = (said(&clash.kept), said(&clash.dropped));
            p(&format!(
                "Typed in two tabs: {}. Kept is {kept}, and not {dropped}.",
                clash.what
            ))
        });
        let seen = button("I have looked at them", move || {
            store.clashes.set(Vec::new())
        });
        vec![div("banner no-print").children(lines).child(seen)]
    })
}

/// Says plainly that the work is not being kept, and offers it as a file.
fn unsaved() -> El {
    let store = use_store();
    div("").attr("role", "alert").live(move || {
        let words = match store.unsaved.get() {
            None => return Vec::new(),
            Some(device::StoreError::Off) => "Not saved on this device: storage is switched off in this browser. Keep the page open, and save the job to a file before you leave.",
            Some(device::StoreError::Strange) => "Not saved on this device: another page or tab has stored something for this job that cannot be read here. It is kept as it is. Save the job to a file, then reload the page.",
            Some(device::StoreError::Full) => "Not saved on this device: its storage is full or refuses. Keep the page open, save the job to a file, then remove old jobs from the list.",
        };
        vec![div("banner no-print").child(p(words)).child(button("Save the job to a file", move || save_open_job(store)))]
    })
}

/// The offer of a newer version. Not while what is open is nowhere kept: loading the page again would lose it.
fn new_version(store: Store) -> El {
    div("").live(move || match store.unsaved.get() {
        None => vec![shell::new_version()],
        Some(_) => Vec::new(),
    })
}

/// Offers the open job as a file.
fn save_open_job(store: Store) {
    store.job.with_untracked(|job| {
        if let Some(job) = job {
            device::save_file(&file_name(Kind::Job, &job.car.name), &save_job(job));
        }
    });
}

/// Fetches a kit card that comes with the pages, and takes it.
fn fetch_own_card(
    store: Store,
    address: &str,
    problem: RwSignal<Option<String>>,
    take: impl FnOnce(KitCard) + 'static,
) {
    let told = address.to_owned();
    device::fetch(
        &format!("{}{address}", store.here.home()),
        Box::new(move |text| {
            match text.map(|text| load_own_kit_card(&text)) {
            Some(Ok(card)) => take(card),
            Some(Err(error)) => problem.set(Some(error.to_string())),
            None => problem.set(Some(format!("The card {told} could not be fetched. Check the connection and try again, or open a kit card from a file."))),
        }
        }),
    );
}

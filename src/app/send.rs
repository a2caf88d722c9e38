//! A job or a kit card to be sent: as a link, as a code, as a file. Nothing is sent from here but by the person.

use super::code::{address, code, letter, own_card, packed_alone};
use super::device;
use super::dom::{El, button, div, el, p};
use super::parts::{body, frame, next_frame};
use super::shell::heading;
use super::signal::RwSignal;
use super::stations::missing;
use super::store::{Store, file_name, use_store};
use crate::document::{Job, Kind, Letter, pack_job, pack_kit_card, save_job, save_kit_card};
use std::rc::Rc;

/// The most digits a code holds (ISO/IEC 18004, version 40-L).
const MOST_DIGITS: usize = 7089;
/// A longer link may not pass every program; common practice, no source.
const LONG: usize = 2000;

/// What is sent, in its words.
struct Parcel {
    kind: Kind,
    name: String,
    what: String,
}

/// What the code says, and what it looks like: markup of its own.
type Code = (String, Option<String>);

/// The open job, to be sent.
pub fn job() -> Vec<El> {
    let store = use_store();
    let called = |job: &Job| {
        let card = format!("{} revision {}", job.card.name, job.card.revision);
        Some((job.car.name.clone(), card))
    };
    let Some((name, card)) = store.peek(called) else {
        return missing();
    };
    let (link, drawn) = (RwSignal::new(None), RwSignal::new(None));
    let parcel = Parcel {
        kind: Kind::Job,
        what: format!("{name} · {card}"),
        name,
    };
    let pack = move |fingerprint, alone: Vec<u8>| {
        let comes = own_card(fingerprint).is_some();
        let words = match comes {
            true => "The code holds the whole job. Its kit card comes with this page.".to_owned(),
            false => format!(
                "The code holds the whole job but not its kit card: {card} must be on the phone that reads it, in a job or as a file. The link holds both."
            ),
        };
        let links = move |letter: &Letter| link.set(Some(address(store, letter.to_link())));
        if !comes {
            letter(store.peek(pack_job), move |whole| links(&whole));
        }
        letter(alone, move |alone| {
            if comes {
                links(&alone);
            }
            draw(store, &alone, words, drawn);
        });
    };
    device::soon(move || packed_alone(store, pack));
    page(store, parcel, link, drawn)
}

/// The kit card of the open job, to be sent.
pub fn card() -> Vec<El> {
    let store = use_store();
    let Some(card) = store.peek(|job| Some(job.card.clone())) else {
        return missing();
    };
    let (link, drawn) = (RwSignal::new(None), RwSignal::new(None));
    letter(pack_kit_card(&card), move |letter| {
        link.set(Some(address(store, letter.to_link())));
        let words = "The code holds the whole kit card.".to_owned();
        draw(store, &letter, words, drawn);
    });
    let parcel = Parcel {
        kind: Kind::KitCard,
        name: card.name.clone(),
        what: format!("{} revision {}, {}", card.name, card.revision, card.maker),
    };
    page(store, parcel, link, drawn)
}

/// Makes the code, and draws it in a task of its own.
fn draw(store: Store, letter: &Letter, words: String, drawn: RwSignal<Option<Code>>) {
    let Some(code) = code(store, letter) else {
        let digits = letter.to_digits().len();
        let words = format!(
            "Too large for a code: it takes {digits} digits, and a QR code holds at most {MOST_DIGITS}. Send the link or the file instead."
        );
        return drawn.set(Some((words, None)));
    };
    device::soon(move || {
        let says = "QR code of the link to this. The link beside it can be copied.";
        drawn.set(Some((words, Some(code.svg("100%", says)))));
    });
}

fn page(
    store: Store,
    parcel: Parcel,
    link: RwSignal<Option<String>>,
    drawn: RwSignal<Option<Code>>,
) -> Vec<El> {
    let Parcel { kind, name, what } = parcel;
    let said = RwSignal::new("");
    let refused = move |done: bool| {
        said.set(match done {
            true => "Handed over.",
            false => "Not handed over. Copy the link, or save the file and send that.",
        });
    };
    let copy = move || {
        let link = link.get_untracked().unwrap_or_default();
        device::copy(&link, move |done| {
            said.set(match done {
                true => "The link is copied.",
                false => "This browser does not copy: mark the whole link and copy it by hand.",
            });
        });
    };
    let title = Rc::new(what.clone());
    let shared_title = title.clone();
    let share = move || {
        let link = link.get_untracked().unwrap_or_default();
        device::share_link(&shared_title, &link, refused);
    };
    let ready = move || link.with(Option::is_some);
    let field = el("input")
        .attr("id", "link")
        .attr("type", "text")
        .attr("readonly", "")
        .live_value(move || link.get().unwrap_or_default());
    let length = move || match link.with(|link| link.as_ref().map_or(0, String::len)) {
        0 => "The link is being made.".to_owned(),
        long if long > LONG => format!(
            "{long} characters. Some programs cut links as long as this; a cut one is refused with a sentence when it is opened. Then send the file."
        ),
        short => format!("{short} characters."),
    };
    let mut link_row = div("row");
    if device::shares() {
        link_row = link_row.child(button("Share the link…", share).enabled_when(ready));
    }
    let link_frame = next_frame(
        "As a link",
        body()
            .child(p("All of it stands in the link itself. No server keeps it, and none is told what comes after the # of an address."))
            .child(button("Copy the link", copy).class("main").enabled_when(ready))
            .child(link_row)
            .child(
                div("field")
                    .child(el("label").attr("for", "link").text("The link"))
                    .child(div("box").child(field))
                    .child(p("").class("echo").live_text(length)),
            )
            .child(p("").attr("role", "status").live_text(move || said.get().to_owned())),
    );
    let code_frame = frame(
        "As a code",
        body().live(move || match drawn.get() {
            None => vec![p("The code is being drawn.").class("soft")],
            Some((words, None)) => vec![p(&words)],
            Some((words, Some(svg))) => vec![div("code").markup(&svg), p(&words)],
        }),
    );
    let text = move || match kind {
        Kind::KitCard => store.peek(|job| save_kit_card(&job.card)),
        _ => store.peek(save_job),
    };
    let file = Rc::new(file_name(kind, &name));
    let shared_file = file.clone();
    let mut file_row = div("row").child(button("Save to a file", move || {
        device::save_file(&file, &text());
    }));
    if device::shares() {
        file_row = file_row.child(button("Share the file…", move || {
            device::share_file(&shared_file, &text(), refused);
        }));
    }
    let file_frame = frame("As a file", body().child(file_row));
    let words = match kind {
        Kind::KitCard => "Share this kit card",
        _ => "Share this job",
    };
    vec![
        el("header")
            .child(p(&title).class("soft"))
            .child(heading(words)),
        el("main")
            .class("two")
            .child(div("stack").child(link_frame).child(file_frame))
            .child(code_frame),
    ]
}

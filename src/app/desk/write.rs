//! Writing a card: the form, and beside it what is still to settle and what can be done with the card.

use super::cards::{Cards, save_card, standing};
use super::form::card_form;
use super::missing;
use crate::app::device;
use crate::app::dom::{El, button, div, el, p};
use crate::app::field::text_field;
use crate::app::parts::{body, corner_link, frame};
use crate::app::route::{Page, Route};
use crate::app::shell::{heading, link};
use crate::app::signal::RwSignal;
use crate::app::store::{JOB, OUTGOING, free_id, hand_on};
use crate::document::form::{is_shown, revise, take_out, title, way_words};
use crate::document::{Job, Json};
use crate::station::{Finding, Station, Weight};

/// The most findings of a kind that are listed one by one.
const MOST: usize = 12;

/// A card being written.
pub fn write(cards: Cards) -> Vec<El> {
    if cards.card.with_untracked(Option::is_none) {
        return missing("card", cards.refused.get_untracked());
    }
    let head = el("header")
        .child(heading("Write the kit card"))
        .child(p("").class("soft").live_text(move || {
            cards.read(|card| {
                format!(
                    "{}, revision {}",
                    title(card, "Card without a name", 0),
                    card.text_at("revision")
                )
            })
        }))
        .child(ways(cards, "write"));
    let form = div("stack")
        .live(move || {
            // Another card, or this one as another tab or an undo left it.
            cards.id.track();
            card_form(cards)
        })
        .on("change", move |_| cards.settle());
    let undo = div("").attr("role", "status").live(move || {
        let Some(done) = cards.done.get() else {
            return Vec::new();
        };
        vec![
            div("row note")
                .child(el("span").text(&done))
                .child(button("Undo", move || cards.undo()).attr("id", "undo")),
        ]
    });
    let side = div("stack side")
        .child(undo)
        .child(frame("Still to settle", settle(cards)))
        .child(frame("With this card", tools(cards)));
    vec![head, el("main").class("desk").child(form).child(side)]
}

/// The ways between writing and seeing.
pub fn ways(cards: Cards, here: &str) -> El {
    let id = cards.id.get_untracked();
    let way = |slug: &str, words: &str| {
        let way = link(&format!("#/card/{id}/{slug}"), words).class("button");
        match slug == here {
            true => way.attr("aria-current", "page"),
            false => way,
        }
    };
    el("nav")
        .class("row")
        .attr("aria-label", "Card")
        .child(way("write", "Write"))
        .child(way("preview", "What the fitter sees"))
}

/// Everything that is to settle, each a link to its field.
fn settle(cards: Cards) -> El {
    body().attr("role", "status").live(move || {
        let id = cards.id.get();
        cards.judged.with(|judged| {
            let mut content = vec![standing(&judged.findings)];
            for (weight, words) in [
                (Weight::Must, "Before a job can start"),
                (Weight::Look, "Worth a look"),
            ] {
                let of: Vec<_> = judged
                    .findings
                    .iter()
                    .filter(|finding| finding.weight == weight)
                    .collect();
                if of.is_empty() {
                    continue;
                }
                let rows = of
                    .iter()
                    .take(MOST)
                    .map(|finding| el("li").child(finding_link(cards, &id, finding)));
                content.push(el("h3").text(words));
                content.push(el("ul").class("plain findings").children(rows));
                if let Some(more @ 1..) = of.len().checked_sub(MOST) {
                    content.push(p(&format!("and {more} more.")).class("soft"));
                }
            }
            content
        })
    })
}

fn finding_link(cards: Cards, id: &str, finding: &Finding) -> El {
    let Finding { field, message, .. } = finding;
    let place = cards.peek(|card| way_words(card, field));
    let words = match message.chars().next() {
        Some(first) if first.is_ascii_lowercase() => format!("{place} {message}"),
        _ => format!("{place}: {message}"),
    };
    let way = field.clone();
    if cards.peek(|card| !is_shown(card, field)) {
        let take = button(&format!("Take out {place}"), move || {
            cards.rebuild("Took out what no form shows.".into(), &|card| {
                take_out(card, &way)
            });
        });
        return div("row").child(p(&words)).child(take);
    }
    link(&format!("#/card/{id}/write/{field}"), &words).on("click", move |_| cards.reveal(&way))
}

fn tools(cards: Cards) -> El {
    let problem = RwSignal::new("");
    let usable = move || {
        let card = cards.judged.with_untracked(|judged| judged.card.clone());
        if card.is_none() {
            problem.set("Settle first what a job cannot start without.");
        }
        card
    };
    let try_it = move || {
        if let Some(card) = usable() {
            let id = free_id(JOB);
            hand_on(&Job::new(id.clone(), card, device::now()));
            device::go(&Route::Job(id, Station::Unpack).href(Page::Desk));
        }
    };
    let ship = move || {
        if let Some(card) = usable() {
            let id = free_id(OUTGOING);
            hand_on(&Job::to_ship(id.clone(), card, device::now()));
            device::go(&Route::Box(id).href(Page::Desk));
        }
    };
    let duplicate = move || {
        let mut copy = cards.whole();
        let name = format!("{} (copy)", copy.text_at("name"));
        copy.set("", "name", Some(Json::Text(name)));
        cards.begin(copy);
    };
    let note = RwSignal::new(String::new());
    let next = move || {
        let said = note.get_untracked();
        if said.trim().is_empty() {
            return problem.set("Say first what the new revision changes.");
        }
        let mut card = cards.whole();
        revise(
            &mut card,
            said.trim(),
            &device::local_time(device::now(), false),
        );
        cards.begin(card);
    };
    body()
        .child(button("Try it as a job", try_it).class("main"))
        .child(button("Check a box that ships", ship))
        .child(button("Save the card to a file", move || {
            save_card(&cards.whole())
        }))
        .child(text_field(
            "next-revision",
            "What the next revision changes",
            move || note.get(),
            move |text| note.set(text),
        ))
        .child(button("Make the next revision", next))
        .child(button("Duplicate for another kit", duplicate))
        .child(div("stack").live(move || {
            cards.judged.with(|judged| {
                let corners = judged.corners.iter();
                corners.map(corner_link).collect()
            })
        }))
        .child(
            p("")
                .class("reason")
                .attr("role", "status")
                .live_text(move || problem.get().to_owned()),
        )
        .child(
            p("A new revision and a duplicate are cards of their own: this one stays as it is.")
                .class("small soft"),
        )
}

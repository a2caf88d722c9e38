//! What the fitter will see of a card, for an order that is chosen here.

use super::cards::Cards;
use super::missing;
use super::write::ways;
use crate::app::dom::{El, div, el, p};
use crate::app::field::choices;
use crate::app::parts::{body, caution_box, frame};
use crate::app::shell::{heading, link};
use crate::app::signal::RwSignal;
use crate::document::{Job, KitCard, Order, Preferences};
use crate::station::{
    BoltUp, StepRow, Unpack, bolt_up, lock, revision_note, tighten_words, tool_words, unpack,
};

/// What the fitter will see.
pub fn preview(cards: Cards) -> Vec<El> {
    if cards.card.with_untracked(Option::is_none) {
        return missing("card", cards.refused.get_untracked());
    }
    let head = el("header")
        .child(heading("What the fitter sees"))
        .child(ways(cards, "preview"));
    let Some(card) = cards.judged.with_untracked(|judged| judged.card.clone()) else {
        let id = cards.id.get_untracked();
        return vec![
            head,
            el("main")
                .class("stack")
                .child(p(
                    "The card is not whole yet. Settle first what a job cannot start without.",
                ))
                .child(link(&format!("#/card/{id}/write"), "Go on writing").class("button main")),
        ];
    };
    let order = RwSignal::new(card.usual_order());
    let options = card.options.iter().map(|option| {
        let words: Vec<_> = option
            .choices
            .iter()
            .map(|choice| (choice.id.clone(), choice.name.clone()))
            .collect();
        let (get, set) = (option.id.clone(), option.id.clone());
        choices(
            &format!("order-{}", option.id),
            &option.name,
            &words,
            move || order.with(|order| order.get(&get).cloned().unwrap_or_default()),
            move |choice| order.update(|order| order.insert(set.clone(), choice)),
        )
    });
    let ordered = frame("The order", body().children(options).child(notes(&card)));
    let words = cards.preferences;
    let seen = div("stack").live(move || seen(&card, &order.get(), &words.get()));
    vec![head, el("main").class("stack").child(ordered).child(seen)]
}

fn notes(card: &KitCard) -> El {
    let note = revision_note(card);
    div("stack").children(
        card.notes
            .iter()
            .chain(&note)
            .map(|note| p(note).class("note")),
    )
}

fn seen(card: &KitCard, order: &Order, words: &Preferences) -> Vec<El> {
    let mut job = Job::new("preview".into(), card.clone(), 0);
    job.order = order.clone();
    vec![
        frame("Unpack", unpacked(&unpack(&job), words)),
        frame("Bolt up", bolted(&bolt_up(&job), words)),
        frame("Base", set(&job, words)),
    ]
}

fn unpacked(unpack: &Unpack, words: &Preferences) -> El {
    let mut content = Vec::new();
    let mut part = |name: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            content.push(el("h3").text(name));
            content.push(
                el("ul")
                    .class("facts-list")
                    .children(lines.iter().map(|line| el("li").text(line))),
            );
        }
    };
    for group in &unpack.groups {
        let line = |row: &crate::station::CountRow| format!("{} × {}", row.expected, row.name);
        part(&group.name, group.rows.iter().map(line).collect());
    }
    let tried = unpack.fits.iter().map(|row| row.check.name.clone());
    part("Try by hand", tried.collect());
    let distances = unpack.distances.iter().map(|row| {
        format!(
            "{}: {} ± {}",
            row.name,
            words.length(row.distance),
            words.length(row.tolerance)
        )
    });
    part("The car's own points", distances.collect());
    body().children(content)
}

fn bolted(bolt_up: &BoltUp, words: &Preferences) -> El {
    let mut content = Vec::new();
    for section in &bolt_up.sections {
        let raised = if section.raised { ", car raised" } else { "" };
        content.push(el("h3").text(&format!("{}{raised}", section.name)));
        let steps = section
            .steps
            .iter()
            .map(|row| el("li").children(step(row, words)));
        content.push(el("ol").class("lines").children(steps));
    }
    body().children(content)
}

fn step(row: &StepRow, words: &Preferences) -> Vec<El> {
    let mut content: Vec<El> = row.step.caution.iter().map(caution_box).collect();
    content.push(p("").child(el("strong").text(&row.step.text)));
    if !row.step.detail.is_empty() {
        content.push(p(&row.step.detail));
    }
    if let Some(joint) = &row.joint {
        content.push(p(&format!(
            "{}: {} {}. {}",
            joint.joint.name,
            joint.torque.words(words),
            tighten_words(joint.joint.tighten),
            tool_words(&joint.joint)
        )));
        content.push(p(&joint.torque.basis()).class("small soft"));
    }
    if !row.step.observe.is_empty() {
        content.push(p(&format!("Typed instead of ticked: {}", row.step.observe)).class("small"));
    }
    content
}

fn set(job: &Job, words: &Preferences) -> El {
    let rows = job.card.adjusters.iter().map(|adjuster| {
        let ends = adjuster.mechanism.ends().iter().map(|end| {
            let engaged = match end.state(end.base_showing) {
                Ok(state) => format!(", {} engaged", words.length(state.engaged)),
                Err(error) => format!(". {error}"),
            };
            format!(
                "{} end: {} shows{engaged}",
                end.name,
                words.length(end.base_showing)
            )
        });
        let mut lines: Vec<String> = ends.collect();
        if lines.is_empty() {
            lines.push("at its middle, or no shims".into());
        }
        lines.extend(lock(&job.card, adjuster).map(|lock| lock.sentence(words)));
        if !adjuster.how.is_empty() {
            lines.push(adjuster.how.clone());
        }
        el("li")
            .child(p("").child(el("strong").text(&format!(
                "{}, {}",
                adjuster.corner.words(),
                adjuster.name
            ))))
            .children(lines.iter().map(|line| p(line)))
    });
    body().child(el("ul").class("lines").children(rows))
}

//! The check of a box before it ships, and its packing slip.

use crate::app::device;
use crate::app::dom::{El, button, derived, div, el, p, result};
use crate::app::field::{choices, options, text_field};
use crate::app::parts::{body, frame, mark, next_frame};
use crate::app::shell::heading;
use crate::app::stations::{counted, missing, ordered, table};
use crate::app::store::{Store, file_name, use_store};
use crate::document::{Held, HeldWay, Kind, Outgoing, save_job};
use crate::station::{Slip, SlipGroup, State, slip, unpack};

/// A box being checked.
pub fn check() -> Vec<El> {
    let store = use_store();
    if store.job.with_untracked(Option::is_none) {
        return missing();
    }
    let outgoing = move |change: &dyn Fn(&mut Outgoing)| {
        store.edit(|job| change(job.outgoing.get_or_insert_default()))
    };
    let about = p("").class("soft").live_text(move || {
        store.read(|job| format!("{}, revision {}", job.card.name, job.card.revision))
    });
    let order = body()
        .child(text_field(
            "order",
            "Whose order it is",
            move || store.read(|job| job.outgoing.clone().unwrap_or_default().order),
            move |text| outgoing(&|outgoing| outgoing.order = text.clone()),
        ))
        .child(text_field(
            "by",
            "Who checks it",
            move || store.read(|job| job.car.by.clone()),
            move |text| store.edit(|job| job.car.by = text),
        ))
        .children(ordered(store));
    let result = result(move || store.read(|job| Some(slip(job))));
    let open = body().attr("role", "status").live(move || {
        result.with(|slip| {
            let open = slip
                .as_ref()
                .map(|slip| slip.open.as_slice())
                .unwrap_or_default();
            match open.is_empty() {
                true => vec![mark(State::Done, "The box may ship.")],
                false => vec![
                    el("ul")
                        .class("facts-list")
                        .children(open.iter().map(|line| el("li").text(line))),
                ],
            }
        })
    });
    let tools = body()
        .child(button("Print the packing slip", device::print).class("main"))
        .child(button("Save the check to a file", move || {
            store.peek(|job| {
                let order = job.outgoing.clone().unwrap_or_default().order;
                let name = file_name(Kind::Job, &format!("box {order}"));
                device::save_file(&name, &save_job(job));
            });
        }));
    let paper = div("").live(move || result.with(|slip| slip.iter().map(paper).collect()));
    vec![
        el("header")
            .class("no-print")
            .child(heading("Check a box that ships"))
            .child(about),
        el("main")
            .class("stack")
            .child(
                div("stack no-print")
                    .child(frame("The order", order))
                    .child(counted(store, |_| Vec::new()))
                    .child(short(store))
                    .child(next_frame("Before it ships", open))
                    .child(frame("The packing slip", tools)),
            )
            .child(paper),
    ]
}

/// What is short, each to be held or sent after.
fn short(store: Store) -> El {
    let rows = derived(move || {
        store.read(|job| {
            let groups = unpack(job).groups;
            let rows = groups.into_iter().flat_map(|group| group.rows);
            rows.filter(|row| row.short() > 0)
                .map(|row| (row.short(), row.id, row.name))
                .collect::<Vec<_>>()
        })
    });
    div("").live(move || {
        let rows = rows.get();
        if rows.is_empty() {
            return Vec::new();
        }
        let rows = rows
            .into_iter()
            .map(|(short, id, name)| el("li").child(held(store, short, id, &name)));
        vec![frame(
            "Short",
            body().child(el("ul").class("lines").children(rows)),
        )]
    })
}

fn held(store: Store, short: u32, id: String, name: &str) -> El {
    const WAYS: [(&str, HeldWay, &str); 2] = [
        ("hold", HeldWay::Hold, "Hold the box for it"),
        ("after", HeldWay::BackOrder, "Ship now, send it after"),
    ];
    let words = options(&WAYS.map(|(value, _, words)| (value, words)));
    let now = {
        let id = id.clone();
        move || -> Option<Held> { store.read(|job| job.outgoing.as_ref()?.held.get(&id).cloned()) }
    };
    let (chosen, noted) = (now.clone(), now.clone());
    let change = {
        let id = id.clone();
        move |change: &dyn Fn(&mut Held)| {
            store.edit(|job| change(job.outgoing.get_or_insert_default().held.place(&id)))
        }
    };
    let note_of = change.clone();
    let way = choices(
        &format!("held-{id}"),
        &format!("{short} short: {name}"),
        &words,
        move || {
            let way = chosen().map(|held| held.way);
            let known = WAYS.iter().find(|(_, known, _)| Some(*known) == way);
            known
                .map(|(value, ..)| (*value).to_owned())
                .unwrap_or_default()
        },
        move |value| {
            let known = WAYS.iter().find(|(known, ..)| *known == value);
            if let Some((_, way, _)) = known {
                change(&|held| held.way = *way);
            }
        },
    );
    let asks = derived(move || now().is_some());
    let note = div("").live(move || {
        if !asks.get() {
            return Vec::new();
        }
        let (noted, note_of) = (noted.clone(), note_of.clone());
        vec![text_field(
            &format!("held-note-{id}"),
            "Note, such as when it comes",
            move || noted().map(|held| held.note).unwrap_or_default(),
            move |text| note_of(&|held| held.note = text.clone()),
        )]
    });
    div("stack").child(way).child(note)
}

fn paper(slip: &Slip) -> El {
    let changed = device::local_time(slip.changed, true);
    let mut about = p("").class("facts-line");
    for (name, value) in [
        ("Kit card", slip.card.as_str()),
        ("Order", &slip.options),
        ("Checked by", &slip.by),
        ("On", &changed),
    ] {
        if !value.is_empty() {
            let name = el("span").class("soft").text(name).text(": ");
            about = about.child(el("span").child(name).text(value));
        }
    }
    let order = match slip.order.as_str() {
        "" => "order not named",
        order => order,
    };
    let mut page = el("article")
        .class("sheet")
        .attr("tabindex", "0")
        .attr("aria-label", "Packing slip")
        .child(
            el("h2")
                .class("title")
                .text(&format!("Packing slip: {order}")),
        )
        .child(about);
    for (name, lines) in [
        ("NOT TO SHIP YET", &slip.open),
        ("Sent after", &slip.back_ordered),
    ] {
        if !lines.is_empty() {
            page = page.child(el("h3").text(name)).child(
                el("ul")
                    .class("open")
                    .children(lines.iter().map(|line| el("li").text(line))),
            );
        }
    }
    page = page
        .child(el("h3").text("In the box"))
        .child(div("columns").children(slip.groups.iter().map(group)));
    if !slip.tried.is_empty() {
        page = page.child(el("h3").text("Tried and gauged")).child(
            el("ul")
                .class("open")
                .children(slip.tried.iter().map(|line| el("li").text(line))),
        );
    }
    page.child(
        div("sign")
            .child(div("").text("Packed by, date"))
            .child(div("").text("Received by, date")),
    )
}

fn group(group: &SlipGroup) -> El {
    let numbers: Vec<[String; 3]> = group
        .lines
        .iter()
        .map(|line| {
            let later = match line.later {
                0 => String::new(),
                later => later.to_string(),
            };
            // What is not counted is left free for the pen.
            let ships = line
                .ships
                .map_or_else(String::new, |count| count.to_string());
            [line.ordered.to_string(), ships, later]
        })
        .collect();
    let rows: Vec<Vec<&str>> = group
        .lines
        .iter()
        .zip(&numbers)
        .map(|(line, [ordered, ships, later])| vec![&*line.name, ordered, ships, later])
        .collect();
    table(
        "slip",
        &[&group.name, "Ordered", "In box", "After"],
        &rows,
        &[2],
    )
}

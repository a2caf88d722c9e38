//! Sheet: one page to print, to copy and to keep.

use super::to_chart;
use crate::app::code::{code, letter, packed_alone};
use crate::app::device;
use crate::app::dom::{El, button, div, effect, el, later, p, result};
use crate::app::route::Route;
use crate::app::save_open_job;
use crate::app::shell::link;
use crate::app::signal::RwSignal;
use crate::app::store::{Store, use_store};
use crate::document::Job;
use crate::sheet::{self, Sheet, plain_text};
use reactive_graph::{graph::untrack, owner::on_cleanup};
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering::Relaxed};

/// How long after a change the code is drawn anew, in milliseconds. Until then there is none, so that none is printed that tells of less than the sheet.
const DRAWN_AFTER: u32 = 300;

/// The Sheet station.
pub fn sheet() -> Vec<El> {
    let store = use_store();
    let rates = result(move || store.read(sheet::last_rates));
    let words = move || store.preferences.get();
    let open = result(move || store.read(|job| sheet::open_items(job, &words())));
    let result = result(move || {
        let with = |job: &Job| {
            rates.with(|rates| open.with(|open| sheet::sheet_with(job, rates, open, &words())))
        };
        store.read(|job| Some(with(job)))
    });
    let text = move || {
        let sheet = result.now();
        let sheet = sheet.as_ref().as_ref();
        untrack(|| {
            sheet
                .map(|sheet| plain_text(sheet, &|at| device::local_time(at, true)))
                .unwrap_or_default()
        })
    };
    let copied = RwSignal::new("");
    let copy = move || {
        device::copy(&text(), move |done| {
            copied.set(if done {
                "Copied."
            } else {
                "This browser does not copy: save the text to a file instead."
            })
        })
    };
    let notes = el("textarea")
        .attr("id", "notes")
        .live_value(move || store.read(|job| job.notes.clone()))
        .on_value("input", move |text| store.edit(|job| job.notes = text));
    // All of it is printed, also where some has not come yet.
    let print = || device::once_painted(Box::new(device::print));
    let tools = div("stack no-print")
        .child(button("Print the sheet", print).class("main"))
        .child(
            div("row")
                .child(button("Copy as text", copy))
                .child(button("Save as text", move || {
                    device::save_file("halfturn-sheet.txt", &text())
                }))
                .child(button("Save the job to a file", move || {
                    save_open_job(store)
                })),
        )
        .child(
            div("row")
                .child(
                    link(
                        &Route::Send(store.peek(|job| job.id.clone())).href(store.here),
                        "Share this job",
                    )
                    .class("button"),
                )
                .child(to_chart(store)),
        )
        .child(
            p("")
                .attr("role", "status")
                .live_text(move || copied.get().to_owned()),
        )
        .child(
            div("field")
                .child(el("label").attr("for", "notes").text("Notes for the sheet"))
                .child(notes),
        );
    let drawn = paper_code(store);
    rates.first();
    open.first();
    result.first();
    let follow =
        move |part: &dyn Fn(&Sheet) -> El| result.with(|result| result.iter().map(part).collect());
    let paper = later(move || {
        let joints = later(move || div("").live(move || follow(&joints)));
        let foot = later(move || div("").live(move || follow(&|sheet| foot(sheet, drawn))));
        el("article")
            .class("sheet")
            .attr("tabindex", "0")
            .attr("aria-label", "Baseline sheet")
            .child(div("").live(move || follow(&settings)))
            .child(joints.class(""))
            .child(foot.class(""))
    });
    vec![tools, paper]
}

/// The code that opens the job as it stands: its markup, empty where it is too large; none while it is being drawn.
fn paper_code(store: Store) -> RwSignal<Option<String>> {
    let drawn = RwSignal::new(None);
    // Outlives the signal: what is being drawn when the station is left is not wanted any more.
    let changes = Arc::new(AtomicU32::new(0));
    let left = changes.clone();
    on_cleanup(move || {
        left.fetch_add(1, Relaxed);
    });
    effect(move || {
        store.job.track();
        drawn.set(None);
        let mine = changes.fetch_add(1, Relaxed) + 1;
        let changes = changes.clone();
        let current = move || changes.load(Relaxed) == mine;
        let draw = move || {
            packed_alone(store, move |_, packed| {
                letter(packed, move |letter| {
                    if !current() {
                        return;
                    }
                    let code = code(store, &letter);
                    device::soon(move || {
                        if current() {
                            let svg = code
                                .and_then(|code| code.on_paper("QR code of the link to this job"));
                            drawn.set(Some(svg.unwrap_or_default()));
                        }
                    });
                });
            });
        };
        device::after(DRAWN_AFTER, draw);
    });
    drawn
}

/// A table of figures, whose first column names the rows.
pub fn table(class: &str, heads: &[&str], rows: &[Vec<&str>], strong: &[usize]) -> El {
    let mut body = el("tbody");
    for row in rows {
        let cells = row.iter().enumerate().map(|(index, text)| match index {
            0 => el("th").attr("scope", "row").text(text),
            index if strong.contains(&index) => el("td").child(el("strong").text(text)),
            _ => el("td").text(text),
        });
        body = body.child(el("tr").children(cells));
    }
    let head = heads
        .iter()
        .map(|name| el("th").attr("scope", "col").text(name));
    let head = el("thead").child(el("tr").children(head));
    el("table").class(class).child(head).child(body)
}

/// The texts as paragraphs of the sheet.
fn lines(texts: &[String]) -> impl Iterator<Item = El> {
    texts.iter().map(|text| p(text))
}

/// What the car's own points say, in one paragraph.
fn car_points(sheet: &Sheet) -> Option<El> {
    if sheet.car_points.is_empty() {
        return None;
    }
    let name = el("span").class("soft").text("The car's own points: ");
    Some(p("").child(name).text(&sheet.car_points.join(" ")))
}

/// What the car is, what its wheels read, and what its adjusters show.
fn settings(sheet: &Sheet) -> El {
    let changed = device::local_time(sheet.changed, true);
    let head = [
        ("Kit card", sheet.card.as_str()),
        ("Order", &sheet.order),
        ("Done by", &sheet.by),
        ("Changed", &changed),
    ];
    let facts = sheet.facts.iter().map(|(name, value)| (&**name, &**value));
    let mut facts_line = p("").class("facts-line");
    for (name, value) in head.into_iter().chain(facts) {
        if !value.is_empty() {
            let name = el("span").class("soft").text(name).text(": ");
            facts_line = facts_line.child(el("span").child(name).text(value));
        }
    }
    let wheels: Vec<Vec<&str>> = sheet
        .wheels
        .iter()
        .map(|wheel| {
            vec![
                wheel.corner,
                &wheel.toe_found,
                &wheel.toe_left,
                &wheel.camber_found,
                &wheel.camber_left,
                &wheel.verdict,
            ]
        })
        .collect();
    let adjusters: Vec<Vec<&str>> = sheet
        .adjusters
        .iter()
        .map(|row| {
            vec![
                &*row.name,
                &row.base,
                &row.now,
                &row.engaged,
                &row.rate,
                &row.lock,
            ]
        })
        .collect();
    div("")
        .child(
            el("h2")
                .class("title")
                .text(&format!("Baseline sheet: {}", sheet.car)),
        )
        .child(facts_line)
        .children(car_points(sheet))
        .child(el("h3").text("Toe and camber, as found and as left"))
        .children(lines(&sheet.targets))
        .child(table(
            "",
            &[
                "Wheel",
                "Toe found",
                "Toe left",
                "Camber found",
                "Camber left",
                "Against the target",
            ],
            &wheels,
            &[2, 4],
        ))
        .children(lines(&sheet.axles))
        .child(el("h3").text("Adjusters"))
        .child(table(
            "",
            &[
                "Adjuster",
                "Base shows",
                "Now shows",
                "Engaged",
                "One step",
                "Lock",
            ],
            &adjusters,
            &[2],
        ))
}

/// The joints with the torque of each, as a table.
fn joints(sheet: &Sheet) -> El {
    let again: Vec<[String; 2]> = sheet
        .joints
        .iter()
        .map(|row| {
            let usual = row.recheck.is_empty() || row.recheck == sheet.recheck;
            let again = match usual {
                true => row.tighten.to_owned(),
                false => format!("{}; {}", row.tighten, row.recheck),
            };
            let signed = row.at.map_or_else(String::new, |at| {
                format!("{}, {}", row.by, device::local_time(at, false))
            });
            [signed, again]
        })
        .collect();
    let joints: Vec<Vec<&str>> = sheet
        .joints
        .iter()
        .zip(&again)
        .map(|(row, [signed, again])| vec![&*row.name, &row.torque, &row.set, signed, again])
        .collect();
    let joints_head = match sheet.recheck.as_str() {
        "" => "Joints".to_owned(),
        again => format!("Joints: check again {again}, where nothing else is said"),
    };
    div("")
        .child(el("h3").text(&joints_head))
        .child(div("joints").child(table(
            "",
            &["Joint", "Torque", "Set", "Signed off", "Tightened"],
            &joints,
            &[2],
        )))
}

/// What is left to do, what else to know, and the code that opens the job.
fn foot(sheet: &Sheet, drawn: RwSignal<Option<String>>) -> El {
    let mut open: Vec<_> = sheet.open.iter().map(|item| el("li").text(item)).collect();
    if open.is_empty() {
        open.push(el("li").text("Nothing."));
    }
    if sheet.open_more > 0 {
        open.push(el("li").text(&format!("and {} more", sheet.open_more)));
    }
    let mut foot = div("")
        .child(el("h3").text("Open"))
        .child(el("ul").class("open").children(open));
    if !sheet.notes.trim().is_empty() {
        foot = foot
            .child(el("h3").text("Notes"))
            .child(p(&sheet.notes).class("notes"));
    }
    let says = move || {
        match drawn.with(|drawn| drawn.as_ref().map(String::is_empty)) {
            Some(true) => "The job is too large for a code that prints readably: share its link or its file instead.",
            _ => "The code opens this job on another phone, if its kit card comes with the page or is on that phone.",
        }
        .to_owned()
    };
    foot = foot
        .children(lines(&sheet.advice))
        .child(p(&sheet.cautions.join(" ")).class("cautions"))
        .child(p("").class("small code-note").live_text(says))
        .child(
            div("sign")
                .child(div("").text("Set by, date"))
                .child(div("").text("Checked by, date")),
        );
    let code = div("").live(move || match drawn.get() {
        Some(svg) if !svg.is_empty() => vec![div("code").markup(&svg)],
        _ => Vec::new(),
    });
    div("foot").child(foot).child(code)
}

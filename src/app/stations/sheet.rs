//! Sheet: one page to print, to copy and to keep.

use crate::app::device;
use crate::app::dom::{El, button, derived, div, el, p};
use crate::app::save_open_job;
use crate::app::store::use_store;
use crate::sheet::{self, Sheet, plain_text};
use reactive_graph::{graph::untrack, signal::RwSignal, traits::*};

/// The Sheet station.
pub fn sheet() -> Vec<El> {
    let store = use_store();
    let result =
        derived(move || store.read(|job| Some(sheet::sheet(job, &store.preferences.get()))));
    let changed = move || store.read(|job| device::local_time(job.changed, true));
    let text = move || {
        untrack(|| {
            result
                .get()
                .map(|sheet| plain_text(&sheet, &changed()))
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
    let tools = div("stack no-print")
        .child(button("Print the sheet", device::print).class("main"))
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
            p("")
                .attr("role", "status")
                .live_text(move || copied.get().to_owned()),
        )
        .child(
            div("field")
                .child(el("label").attr("for", "notes").text("Notes for the sheet"))
                .child(notes),
        );
    let paper = div("").live(move || {
        result
            .with(|result| result.as_ref().map(|sheet| vec![paper(sheet, changed())]))
            .unwrap_or_default()
    });
    vec![tools, paper]
}

fn table(
    class: &str,
    heads: &[&str],
    rows: impl Iterator<Item = Vec<String>>,
    strong: &[usize],
) -> El {
    let head = el("tr").children(
        heads
            .iter()
            .map(|name| el("th").attr("scope", "col").text(name)),
    );
    let rows = rows.map(|cells| {
        let cells = cells
            .into_iter()
            .enumerate()
            .map(|(index, text)| match index {
                0 => el("th").attr("scope", "row").text(&text),
                index if strong.contains(&index) => el("td").child(el("strong").text(&text)),
                _ => el("td").text(&text),
            });
        el("tr").children(cells)
    });
    el("table")
        .class(class)
        .child(el("thead").child(head))
        .child(el("tbody").children(rows))
}

fn paper(sheet: &Sheet, changed: String) -> El {
    let mut head = vec![
        ("Kit card".to_owned(), sheet.card.clone()),
        ("Order".to_owned(), sheet.order.clone()),
        ("Done by".to_owned(), sheet.by.clone()),
        ("Changed".to_owned(), changed),
    ];
    head.extend(sheet.facts.clone());
    let head = head
        .into_iter()
        .filter(|(_, value)| !value.is_empty())
        .map(|(name, value)| {
            el("span")
                .child(el("span").class("soft").text(&format!("{name}: ")))
                .text(&value)
        });
    let wheels = sheet.wheels.iter().map(|wheel| {
        vec![
            wheel.corner.to_owned(),
            wheel.toe_found.clone(),
            wheel.toe_left.clone(),
            wheel.camber_found.clone(),
            wheel.camber_left.clone(),
            wheel.verdict.clone(),
        ]
    });
    let adjusters = sheet.adjusters.iter().map(|row| {
        vec![
            row.name.clone(),
            row.base.clone(),
            row.now.clone(),
            row.engaged.clone(),
            row.rate.clone(),
            row.lock.clone(),
        ]
    });
    let joints = sheet.joints.iter().map(|row| {
        let again = if row.recheck.is_empty() {
            row.tighten.to_owned()
        } else {
            format!("{}; {}", row.tighten, row.recheck)
        };
        vec![row.name.clone(), row.torque.clone(), row.set.clone(), again]
    });
    let mut open: Vec<_> = sheet.open.iter().map(|item| el("li").text(item)).collect();
    if open.is_empty() {
        open.push(el("li").text("Nothing."));
    }
    if sheet.open_more > 0 {
        open.push(el("li").text(&format!("and {} more", sheet.open_more)));
    }
    let mut page = el("article")
        .class("sheet")
        .attr("aria-label", "Baseline sheet")
        .child(
            el("h2")
                .class("title")
                .text(&format!("Baseline sheet: {}", sheet.car)),
        )
        .child(p("").class("facts-line").children(head))
        .child(el("h3").text("Toe and camber, as found and as left"))
        .children(sheet.targets.iter().map(|target| p(target)))
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
            wheels,
            &[2, 4],
        ))
        .children(sheet.axles.iter().map(|axle| p(axle)))
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
            adjusters,
            &[2],
        ))
        .child(el("h3").text("Joints"))
        .child(div("joints").child(table(
            "",
            &["Joint", "Card", "Set", "Tightened; check again"],
            joints,
            &[2],
        )))
        .child(el("h3").text("Open"))
        .child(el("ul").class("open").children(open));
    if !sheet.notes.trim().is_empty() {
        page = page
            .child(el("h3").text("Notes"))
            .child(p(&sheet.notes).class("notes"));
    }
    page.child(p(&sheet.cautions.join(" ")).class("cautions"))
        .child(
            div("sign")
                .child(div("").text("Set by, date"))
                .child(div("").text("Checked by, date")),
        )
}

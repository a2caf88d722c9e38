//! The torques of an order on one page, to hang on the wall.

use super::missing;
use crate::app::device;
use crate::app::dom::{El, button, div, el, p};
use crate::app::route::Route;
use crate::app::shell::{heading, link};
use crate::app::store::use_store;
use crate::station::{ChartRow, Station, TorqueChart, torque_chart};

/// The torque chart of the open job.
pub fn torques(id: &str) -> Vec<El> {
    let store = use_store();
    let Some(chart) = store.peek(|job| Some(torque_chart(job))) else {
        return missing();
    };
    let back = |station: Station| {
        link(
            &Route::Job(id.to_owned(), station).href(store.here),
            station.name(),
        )
        .class("button")
    };
    vec![
        el("header")
            .class("no-print")
            .child(heading("Torque chart")),
        el("main")
            .class("stack")
            .child(
                div("stack no-print")
                    .child(button("Print the chart", device::print).class("main"))
                    .child(
                        div("row")
                            .child(back(Station::BoltUp))
                            .child(back(Station::Sheet)),
                    ),
            )
            .child(paper(&chart)),
    ]
}

fn paper(chart: &TorqueChart) -> El {
    el("article")
        .class("sheet chart")
        .attr("tabindex", "0")
        .attr("aria-label", "Torque chart")
        .child(
            el("h2")
                .class("title")
                .text(&format!("Torques: {}", chart.card)),
        )
        .child(p(&chart.order))
        .child(
            el("ul")
                .class("plain")
                .children(chart.rows.iter().map(line)),
        )
        .child(p(&chart.cautions.join(" ")).class("cautions"))
}

fn line(row: &ChartRow) -> El {
    let strong = |text: &str| el("strong").text(text);
    let state = match row.from.word() {
        "" => row.state.to_owned(),
        from => format!("{}, {from}", row.state),
    };
    let figures = div("row")
        .child(strong(&row.name))
        .child(strong(&row.newton_metres).class("big"))
        .child(strong(&row.pound_feet))
        .child(el("span").text(&state));
    let side = match row.side {
        "" => String::new(),
        side => format!("{side}, each: "),
    };
    let notes = row.notes.iter().map(|note| p(note).class("note"));
    el("li")
        .child(figures)
        .child(p(&format!("{side}{}; {}", row.bolt, row.how)))
        .children(notes)
}

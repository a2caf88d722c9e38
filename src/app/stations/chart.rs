//! The torques of an order on one page, to hang on the wall.

use super::missing;
use super::sheet::under;
use crate::app::device;
use crate::app::dom::{El, button, div, el, p};
use crate::app::route::Route;
use crate::app::shell::{heading, link};
use crate::app::store::use_store;
use crate::station::{ChartRow, Station, TorqueChart, torque_chart};

/// The torque chart of the open job.
pub fn torques(id: &str) -> Vec<El> {
    let Some(chart) = use_store().peek(|job| Some(torque_chart(job))) else {
        return missing();
    };
    let back = |station: Station| {
        link(&Route::Job(id.to_owned(), station).href(), station.name()).class("button")
    };
    vec![
        el("header")
            .class("no-print")
            .child(heading("Torque chart")),
        div("stack no-print")
            .child(button("Print the chart", device::print).class("main"))
            .child(
                div("row")
                    .child(back(Station::BoltUp))
                    .child(back(Station::Sheet)),
            ),
        el("main").child(paper(&chart)),
    ]
}

fn paper(chart: &TorqueChart) -> El {
    let mut body = el("tbody");
    for row in &chart.rows {
        body = body.child(line(row));
    }
    el("article")
        .class("sheet chart")
        .attr("aria-label", "Torque chart")
        .child(el("h2").class("title").text("Torques: ").text(&chart.card))
        .child(p(&chart.order).class("soft"))
        .child(under(&["Joint", "Torque", "How"], body))
        .child(p(&chart.cautions.join(" ")).class("cautions"))
}

fn line(row: &ChartRow) -> El {
    let mut joint = el("th").attr("scope", "row").text(&row.name);
    let mut torque = el("td").child(el("strong").class("big").text(&row.newton_metres));
    let mut how = el("td").text(&row.how.join("; "));
    for note in &row.notes {
        how = how.child(p(note).class("note"));
    }
    joint = joint.child(p(row.side)).child(p(&row.bolt).class("small"));
    for text in [&*row.pound_feet, row.state, row.from.word()] {
        torque = torque.child(p(text));
    }
    el("tr").child(joint).child(torque).child(how)
}

//! Read: the checks before reading.

use super::read::edit_round;
use crate::app::device;
use crate::app::dom::{El, button, div, el, p};
use crate::app::parts::{body, frame, mark, next_frame};
use crate::app::store::Store;
use crate::document::{Mark, Moment};
use crate::station::{Check, CheckRow, State};

/// What is done before reading: the next check in full, the others in a line each.
pub fn before(store: Store, checks: &[CheckRow]) -> El {
    let mark_it = move |check: Check, at: Option<Moment>| {
        edit_round(store, |round| match at {
            Some(at) => round.checks.insert(
                check.key().to_owned(),
                Mark {
                    at,
                    ..Mark::default()
                },
            ),
            None => drop(round.checks.remove(check.key())),
        })
    };
    let next = checks.iter().position(|row| !row.done());
    let rows = checks.iter().enumerate().map(|(index, row)| {
        let check = row.check;
        let words = if row.observed.is_empty() {
            check.words().to_owned()
        } else {
            format!("{}: {}", check.words(), row.observed)
        };
        let line = div("row spread").child(mark(row.state(), &words));
        if row.done() {
            return el("li").child(
                line.child(
                    button("Undo", move || mark_it(check, None))
                        .class("quiet")
                        .attr("aria-label", &format!("Undo: {}", check.words())),
                ),
            );
        }
        if next != Some(index) {
            return el("li").child(line);
        }
        let done = button("Done", move || mark_it(check, Some(device::now()))).class("main");
        let row_view = el("li").child(line).child(p(check.how()));
        if row.lacks {
            row_view
                .child(p("It is not typed yet: see The car as it stands, below.").class("reason"))
        } else {
            row_view.child(done)
        }
    });
    let list = el("ul").class("lines").children(rows);
    if next.is_some() {
        return next_frame("Before reading", body().child(list)).attr("data-before", "");
    }
    let shown = el("details")
        .child(el("summary").text("Show the checks"))
        .child(list);
    frame(
        "Before reading",
        body()
            .child(mark(State::Done, "settled: all checks are done"))
            .child(shown),
    )
    .attr("data-before", "")
}

//! Small parts of the page that several rooms use.

use super::device;
use super::dom::{Ask, El, button, derived, div, el, folded_while, icon, p, show};
use super::shell::link;
use super::signal::RwSignal;
use crate::document::{
    Caution, CornerGeometry, LoadError, Preferences, Signal as SignalWord, write_corner,
};
use crate::hardware::{HoleFit, USUAL_ARM};
use crate::quantity::Length;
use crate::station::{Progress, State};

const RING: &str = "M8 2.4a5.6 5.6 0 1 1 0 11.2 5.6 5.6 0 1 1 0-11.2z";

/// A state as a shape: an open ring, a half-filled one, a full one, a barred diamond.
pub fn state_shape(state: State) -> El {
    let (outline, filled) = match state {
        State::Open => (RING, ""),
        State::Begun => (RING, "M8 2.4a5.6 5.6 0 0 1 0 11.2z"),
        State::Done => (RING, RING),
        State::Wrong => (
            "M8 .8L15.2 8 8 15.2.8 8z",
            "M7 4.4h2v4.800H7zM7 10.200h2V12H7z",
        ),
    };
    icon(
        "16",
        "0 0 16 16",
        &format!(
            "<path d='{outline}' fill='none' stroke='currentColor' stroke-width='1.5'/><path d='{filled}' fill='currentColor'/>"
        ),
    )
}

/// A state as shape and word.
pub fn mark(state: State, words: &str) -> El {
    el("span")
        .class(if state == State::Wrong {
            "mark stop"
        } else {
            "mark"
        })
        .child(state_shape(state))
        .child(el("span").text(words))
}

/// A state as shape and word that follows what it reads.
pub fn live_mark(get: impl Fn() -> (State, String) + 'static) -> El {
    fn make(get: Box<dyn Ask<(State, String)>>) -> El {
        let place = el("span");
        let shown = place.clone();
        show(
            move || get.ask(),
            move |(state, words)| shown.holds(mark(*state, words)),
        );
        place
    }
    make(Box::new(get))
}

/// How far something has come, in words.
pub fn progress_words(progress: Progress) -> String {
    let Progress { done, total, wrong } = progress;
    match wrong {
        0 => format!("{done} of {total}"),
        wrong => format!("{done} of {total}, {wrong} to look at"),
    }
}

/// A framed group.
pub fn frame(name: &str, body: El) -> El {
    el("section")
        .class("frame")
        .child(el("h2").text(name))
        .child(body)
}

/// A framed group for what is next.
pub fn next_frame(name: &str, body: El) -> El {
    frame(name, body)
        .class("frame next")
        .attr("aria-label", name)
}

/// The body of a frame.
pub fn body() -> El {
    div("body")
}

/// A caution in its frame: signal word, hazard, consequence, how to avoid it.
pub fn caution_box(caution: &Caution) -> El {
    let class = match caution.signal {
        SignalWord::Danger => "caution danger",
        SignalWord::Warning => "caution warning",
        SignalWord::Caution => "caution caution-level",
        SignalWord::Notice => "caution notice",
    };
    let word = div("word");
    // The alert triangle stands for injury, so never on a notice.
    let word = match caution.signal {
        SignalWord::Notice => word,
        _ => word.child(icon("24", "0 0 24 22", "<path d='M12 1.5L23 20.500H1z' fill='none' stroke='currentColor' stroke-width='2.2'/><path d='M11 8h2v6h-2zM11 15.500h2v2h-2z' fill='currentColor'/>")),
    };
    div(class)
        .attr("role", "note")
        .child(word.text(caution.signal.word()))
        .child(p(&format!(
            "{} {} {}",
            caution.hazard, caution.consequence, caution.avoid
        )))
}

/// A framed group that opens and closes, one of several of which one is open. Its content is built when it opens.
pub fn group(
    name: &str,
    index: usize,
    open: RwSignal<Option<usize>>,
    progress: impl Fn() -> Progress + 'static,
    content: impl Fn() -> Vec<El> + 'static,
) -> El {
    fn make(
        name: &str,
        index: usize,
        open: RwSignal<Option<usize>>,
        progress: Box<dyn Ask<Progress>>,
        content: Box<dyn Ask<Vec<El>>>,
    ) -> El {
        let is_open = derived(move || open.get() == Some(index));
        let head = button("", move || {
            open.update(|open| {
                *open = if *open == Some(index) {
                    None
                } else {
                    Some(index)
                }
            })
        })
        .class("head")
        .live_attr("aria-expanded", move || Some(is_open.get().to_string()))
        .child(el("span").text(name))
        .child(live_mark(move || {
            let progress = progress.ask();
            (progress.state(), progress_words(progress))
        }));
        el("section")
            .class("frame")
            .child(el("h2").child(head))
            .child(div("").live(move || {
                if is_open.get() {
                    vec![body().children(content.ask())]
                } else {
                    Vec::new()
                }
            }))
    }
    make(name, index, open, Box::new(progress), Box::new(content))
}

const SHOW_WORKING: &str = "Show the working";

/// The working of a result: formula with the numbers put in, and source.
pub fn working(formula: &str, source: &str) -> El {
    Working::new().says(formula, source)
}

/// A working that stays open while what it says changes.
#[derive(Clone)]
pub struct Working {
    details: El,
    formula: El,
    source: El,
}

impl Working {
    /// A working that says nothing yet.
    pub fn new() -> Self {
        let formula = p("").class("formula");
        let source = p("").class("small soft");
        let details = el("details")
            .class("working")
            .child(el("summary").text(SHOW_WORKING))
            .child(formula.clone())
            .child(source.clone());
        Self {
            details,
            formula,
            source,
        }
    }

    /// The formula with the numbers put in, and the source.
    pub fn says(&self, formula: &str, source: &str) -> El {
        self.formula.say(formula);
        self.source.say(source);
        self.details.clone()
    }
}

/// The working of what changes.
pub fn live_working(
    is_known: impl Fn() -> bool + Send + Sync + 'static,
    formula: impl Fn() -> String + Clone + 'static,
    source: &str,
) -> El {
    let source = source.to_owned();
    folded_while(SHOW_WORKING, is_known, move || {
        div("stack")
            .child(p("").class("formula").live_text(formula.clone()))
            .child(p(&source).class("small soft"))
    })
}

/// Facts: a label beside each value.
pub fn facts<'a>(facts: impl IntoIterator<Item = (&'a str, String)>) -> El {
    facts
        .into_iter()
        .fold(el("dl").class("facts"), |list, (name, value)| {
            list.child(el("dt").text(name)).child(el("dd").text(&value))
        })
}

/// A link from one of the folders of the pages to the bench, where a corner of a kit card opens with its hardpoints in the fields.
pub fn corner_link(corner: &CornerGeometry) -> El {
    let words = format!(
        "See the geometry, {}",
        corner.corner.words().to_ascii_lowercase()
    );
    let corner = device::encoded(&write_corner(corner));
    link(&format!("../bench/#/geometry/{corner}"), &words).class("button")
}

/// In a list, what cannot be read: that it is kept, why, and the ways to save it and to remove it.
pub fn unreadable(said: El, error: &LoadError, save: impl Fn() + 'static, remove: El) -> El {
    let save = button("Save what is there to a file", save);
    el("li")
        .child(said)
        .child(p(&error.to_string()).class("reason"))
        .child(div("row").child(save).child(remove))
}

/// A list of sentences of a class; nothing where there are none.
pub fn sentences<'a>(class: &str, sentences: impl IntoIterator<Item = &'a String>) -> El {
    el("ul").class("plain stack").children(
        sentences
            .into_iter()
            .map(|sentence| el("li").class(class).text(sentence)),
    )
}

/// What a hole means at a pivot, and what its play is worth at a wheel.
pub fn hole_words(fit: &HoleFit, words: &Preferences) -> String {
    if fit.play <= Length::ZERO {
        return fit.meaning().to_owned();
    }
    format!(
        "{} Slipping by all of it is {} of toe on a {} arm.",
        fit.meaning(),
        words.angle(fit.slip(USUAL_ARM)),
        words.length(USUAL_ARM)
    )
}

//! Fields: text kept as typed, its unit beside it, what was understood below it, or why it was not.

use super::device;
use super::dom::{Ask, El, button, div, el, p, show};
use super::signal::RwSignal;
use crate::document::{Entry, LoadError, MAX_BYTES, Sense, Unit};
use reactive_graph::graph::untrack;
use std::rc::Rc;

/// What became of a typed value: understood so, or not for this reason.
pub type Understood = Result<String, String>;

/// A field for a value with a unit. An empty field takes the unit preferred today; a filled one keeps its own.
pub struct EntryField {
    /// Unique in the page.
    pub id: String,
    /// What is asked.
    pub label: String,
    /// The two ways of a signed reading, plus first.
    pub ways: Option<[&'static str; 2]>,
    /// What stands in it.
    pub get: Rc<dyn Ask<Entry>>,
    /// Takes every change.
    pub set: Rc<dyn Fn(Entry)>,
    /// The unit of an empty field.
    pub unit: Rc<dyn Ask<Unit>>,
    /// Reads it; only asked when something stands in it.
    pub understood: Rc<dyn Fn(&Entry) -> Understood>,
}

impl EntryField {
    /// As an element.
    pub fn view(self) -> El {
        let Self {
            id,
            label,
            ways,
            get,
            set,
            unit,
            understood,
        } = self;
        let note = format!("{id}-note");
        let (typed_get, typed_set, typed_unit) = (get.clone(), set.clone(), unit.clone());
        let typed = move |text: String| {
            let mut entry = untrack(|| typed_get.ask());
            if entry.is_empty() {
                entry.unit = untrack(|| typed_unit.ask());
            }
            entry.text = text;
            typed_set(entry);
        };
        let input = el("input")
            .attr("id", &id)
            .attr("type", "text")
            .attr("inputmode", "decimal")
            .attr("autocomplete", "off")
            .attr("spellcheck", "false")
            .attr("aria-describedby", &note)
            .on_value("input", typed);
        let symbol = el("span").class("unit");
        let echo = el("p").attr("id", &note).class("echo");
        let field = div("field")
            .child(el("label").attr("for", &id).text(&label))
            .child(div("box").child(input.clone()).child(symbol.clone()));
        let field = match ways {
            Some(words) => field.child(ways_of(&id, &label, words, get.clone(), set)),
            None => field,
        }
        .child(echo.clone());
        // All fields of a page follow its one job, so each has one effect for all of its parts.
        let value = input.input();
        let see = move || {
            let entry = get.ask();
            // What is typed is not touched while it is the same.
            if value.value() != entry.text {
                value.set_value(&entry.text);
            }
            if entry.is_empty() {
                (unit.ask(), None)
            } else {
                (entry.unit, Some(understood(&entry)))
            }
        };
        show(see, move |(unit, understood)| {
            symbol.say(unit.symbol());
            let is_wrong = matches!(understood, Some(Err(_)));
            input.set("aria-invalid", is_wrong.then_some("true"));
            match understood {
                None => echo.say(""),
                Some(Ok(words)) => echo.holds(el("span").text(words)),
                Some(Err(reason)) => echo.holds(el("span").class("reason").text(reason)),
            }
        });
        field
    }
}

/// The two ways of a signed reading. A typed sign and a chosen way must not contradict each other: the last said holds.
fn ways_of(
    id: &str,
    label: &str,
    words: [&'static str; 2],
    get: Rc<dyn Ask<Entry>>,
    set: Rc<dyn Fn(Entry)>,
) -> El {
    let option = |sense: Sense, word: &str| {
        let (is, get, set) = (get.clone(), get.clone(), set.clone());
        let pick = move || {
            let mut entry = untrack(|| get.ask());
            entry.text = entry
                .text
                .trim_start_matches(['+', '-', '\u{2212}', '\u{2013}', ' '])
                .to_owned();
            entry.sense = Some(sense);
            set(entry);
        };
        radio(
            &format!("{id}-way"),
            word,
            Box::new(move || is.ask().way() == Some(sense)),
            Box::new(pick),
        )
    };
    let [plus, minus] = words;
    el("fieldset")
        .class("choices")
        .child(
            el("legend")
                .class("visually-hidden")
                .text(&format!("{label}: which way")),
        )
        .child(
            div("set")
                .child(option(Sense::Plus, plus))
                .child(option(Sense::Minus, minus)),
        )
}

/// One big target of a few, of which one is chosen.
fn radio(group: &str, words: &str, chosen: Box<dyn Ask<bool>>, pick: Box<dyn Ask<()>>) -> El {
    let input = el("input")
        .attr("type", "radio")
        .attr("name", group)
        .live_checked(move || chosen.ask())
        .on("change", move |_| pick.ask());
    el("label").child(input).child(el("span").text(words))
}

/// A field for free words.
pub fn text_field(
    id: &str,
    label: &str,
    get: impl Fn() -> String + 'static,
    set: impl Fn(String) + 'static,
) -> El {
    fn make(id: &str, label: &str, get: Box<dyn Ask<String>>, set: Box<dyn Fn(String)>) -> El {
        let input = el("input")
            .attr("id", id)
            .attr("type", "text")
            .attr("autocomplete", "off")
            .live_value(move || get.ask())
            .on_value("input", set);
        div("field")
            .child(el("label").attr("for", id).text(label))
            .child(div("box").child(input))
    }
    make(id, label, Box::new(get), Box::new(set))
}

/// One choice out of a few, each a big target.
pub fn choices(
    id: &str,
    label: &str,
    options: &[(String, String)],
    get: impl Fn() -> String + 'static,
    set: impl Fn(String) + 'static,
) -> El {
    choices_of(id, label, options, Rc::new(get), Rc::new(set))
}

fn choices_of(
    id: &str,
    label: &str,
    options: &[(String, String)],
    get: Rc<dyn Ask<String>>,
    set: Rc<dyn Fn(String)>,
) -> El {
    let options = options.iter().map(|(value, words)| {
        let (get, set, mine, taken) = (get.clone(), set.clone(), value.clone(), value.clone());
        radio(
            id,
            words,
            Box::new(move || get.ask() == mine),
            Box::new(move || set(taken.clone())),
        )
    });
    el("fieldset")
        .class("choices")
        .child(el("legend").text(label))
        .child(div("set").children(options))
}

/// Value and words of choices that stand in the code.
pub fn options(options: &[(&str, &str)]) -> Vec<(String, String)> {
    options
        .iter()
        .map(|(value, words)| ((*value).to_owned(), (*words).to_owned()))
        .collect()
}

/// A button that asks before it does something that cannot be undone.
pub fn asking(
    words: &'static str,
    sure: &'static str,
    keep: &'static str,
    run: impl Fn() + 'static,
) -> El {
    let asked = RwSignal::new(false);
    let run = Rc::new(run);
    div("row").live(move || {
        if asked.get() {
            let run = run.clone();
            vec![
                button(sure, move || run()),
                button(keep, move || asked.set(false)).class("quiet"),
            ]
        } else {
            vec![button(words, move || asked.set(true)).class("quiet")]
        }
    })
}

/// A field for a file, and what becomes of one that is chosen: its text, or why there is none.
pub fn file_field(id: &str, label: &str, taken: impl Fn(Result<String, String>) + 'static) -> El {
    let file = el("input")
        .attr("id", id)
        .attr("type", "file")
        .attr("accept", ".json,application/json,text/plain");
    let (input, taken) = (file.input(), Rc::new(taken));
    let file = file.on("change", move |_| {
        let Some(file) = input.files().and_then(|files| files.get(0)) else {
            return;
        };
        // The same file can be chosen again after it was mended.
        input.set_value("");
        // A number of bytes that fits no document need not be read to be refused.
        let bytes = file.size() as usize;
        if bytes > MAX_BYTES {
            return taken(Err(LoadError::TooLarge { bytes }.to_string()));
        }
        let taken = taken.clone();
        device::read_file(
            &file,
            Box::new(move |text| {
                taken(text.ok_or_else(|| "This file cannot be read. Choose it again, or save it anew where it came from.".to_owned()));
            }),
        );
    });
    div("field")
        .child(el("label").attr("for", id).text(label))
        .child(file)
}

/// A field for a file to open, and below it why what was chosen last was not opened.
pub fn opening(
    label: &str,
    problem: RwSignal<Option<String>>,
    open: impl Fn(&str) -> Result<(), String> + 'static,
) -> [El; 2] {
    let field = file_field("open-file", label, move |text| {
        problem.set(text.and_then(|text| open(&text)).err());
    });
    let refused = div("").attr("role", "alert").live(move || {
        let Some(words) = problem.get() else {
            return Vec::new();
        };
        vec![
            div("banner")
                .child(el("h3").text("The file was not opened"))
                .children(words.lines().map(p)),
        ]
    });
    [field, refused]
}

//! The form of a card: one recursive view over the list of fields. What is typed goes into the untyped JSON as it is.

use super::cards::Cards;
use crate::app::dom::{El, button, derived, div, el, p};
use crate::app::parts::{frame, mark};
use crate::document::Json;
use crate::document::form::{CARD, Field, Holds, blank, take_ids, title, typed_value};
use crate::hardware::{Thread, threads};
use crate::station::State;

/// What stands on the page beside what is missing.
const MISSING: &str = "is missing: add it.";

/// The whole form: the kit in a frame, then a fold for each list.
pub fn card_form(cards: Cards) -> Vec<El> {
    let is_list = |field: &&'static Field| matches!(field.holds, Holds::Records(..));
    let kit = div("body").children(
        CARD.iter()
            .filter(|field| !is_list(field))
            .map(|field| view(cards, "", field)),
    );
    let threads = el("datalist").attr("id", "threads").children(
        threads()
            .map(Thread::designation)
            .map(|thread| el("option").attr("value", &thread)),
    );
    let lists = CARD.iter().filter(is_list).map(|field| {
        let Holds::Records(one, fields) = &field.holds else {
            return div("");
        };
        let name = move || {
            let count = cards.read(|card| card.list_at(field.name).len());
            format!("{} ({count})", field.label)
        };
        fold(cards, "h2", field.name.to_owned(), name, move || {
            vec![
                p(field.help).class("soft"),
                said_of(cards, field.name),
                items(cards, "h3", field.name.to_owned(), one, fields),
            ]
        })
    });
    let mut form = vec![threads, frame("The kit", kit)];
    form.extend(lists);
    form
}

/// The way to a field of a record.
fn under(way: &str, name: &str) -> String {
    match way {
        "" => name.to_owned(),
        way => format!("{way}.{name}"),
    }
}

/// Whether a way leads to a place or into it.
fn leads_to(way: &str, place: &str) -> bool {
    way.strip_prefix(place)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
}

/// A framed group that opens and closes: it is open while the way to what is unfolded leads through it.
fn fold(
    cards: Cards,
    heading: &str,
    way: String,
    name: impl Fn() -> String + 'static,
    content: impl Fn() -> Vec<El> + 'static,
) -> El {
    let (here, place, id) = (way.clone(), way.clone(), way.clone());
    let is_open = derived(move || cards.at.with(|at| leads_to(at, &here)));
    let outer = match way.rsplit_once('[') {
        Some((list, _)) => list.to_owned(),
        None => String::new(),
    };
    let head = button("", move || {
        cards.at.set(match is_open.get_untracked() {
            true => outer.clone(),
            false => place.clone(),
        })
    })
    .class("head")
    .attr("id", &id)
    .live_attr("aria-expanded", move || Some(is_open.get().to_string()))
    .child(el("span").live_text(name))
    .child(el("span").live(move || {
        let count = cards.judged.with(|judged| {
            let here = judged
                .findings
                .iter()
                .filter(|finding| leads_to(&finding.field, &way));
            here.count()
        });
        match count {
            0 => Vec::new(),
            count => vec![mark(State::Wrong, &format!("{count} to settle"))],
        }
    }));
    el("section")
        .class("frame fold")
        .child(el(heading).child(head))
        .child(div("").live(move || match is_open.get() {
            true => vec![div("body").children(content())],
            false => Vec::new(),
        }))
}

/// What is said of a place itself, not of a field within it.
fn said_of(cards: Cards, way: &str) -> El {
    let (way, id) = (way.to_owned(), format!("{way}.id"));
    div("stack").attr("role", "status").live(move || {
        cards.judged.with(|judged| {
            let here = judged
                .findings
                .iter()
                .filter(|finding| finding.field == way || finding.field == id);
            here.map(|finding| p(&finding.message).class("reason"))
                .collect()
        })
    })
}

/// The fields of a record.
fn fields(cards: Cards, way: &str, fields: &'static [Field]) -> Vec<El> {
    fields
        .iter()
        .filter(|field| !matches!(field.holds, Holds::Id))
        .map(|field| view(cards, way, field))
        .collect()
}

/// A list of records, each in a fold, with the way to one more.
fn items(
    cards: Cards,
    heading: &'static str,
    way: String,
    one: &'static str,
    of: &'static [Field],
) -> El {
    let list = way.clone();
    let rows = div("stack").live(move || {
        cards.shape.track();
        let count = cards.peek(|card| card.list_at(&list).len());
        (0..count)
            .map(|place| item(cards, heading, list.clone(), place, one, of))
            .collect()
    });
    let add = button(&format!("Add a {one}"), move || {
        let place = cards.peek(|card| card.list_at(&way).len());
        let new = blank(of);
        cards.rebuild(format!("Added a {one}."), &|card| {
            edit_list(card, &way, &|list| list.push(new.clone()));
        });
        let here = format!("{way}[{place}]");
        cards.at.set(here.clone());
        // To the first field that is typed into.
        let first = of.iter().find(|field| !matches!(field.holds, Holds::Id));
        cards.focus(under(&here, first.map_or("", |field| field.name)));
    });
    div("stack").child(rows).child(add)
}

/// Changes a list, which is there afterwards.
fn edit_list(card: &mut Json, way: &str, change: &dyn Fn(&mut Vec<Json>)) {
    let (outer, name) = way.rsplit_once('.').unwrap_or(("", way));
    if card.at(way).is_none() {
        card.set(outer, name, Some(Json::List(Vec::new())));
    }
    if let Some(Json::List(list)) = card.at_mut(way) {
        change(list);
    }
}

fn item(
    cards: Cards,
    heading: &'static str,
    list: String,
    place: usize,
    one: &'static str,
    of: &'static [Field],
) -> El {
    let way = format!("{list}[{place}]");
    let (titled, inner) = (way.clone(), way.clone());
    let name =
        move || cards.read(|card| title(card.at(&titled).unwrap_or(&Json::Null), one, place));
    fold(cards, heading, way, name, move || {
        let mut content = vec![said_of(cards, &inner)];
        content.extend(fields(cards, &inner, of));
        content.push(tools(cards, list.clone(), place, one, of));
        content
    })
}

/// What can be done with an item of a list.
fn tools(cards: Cards, list: String, place: usize, one: &'static str, of: &'static [Field]) -> El {
    let (raised, copied, removed) = (list.clone(), list.clone(), list);
    let raise = button(&format!("Move this {one} up"), move || {
        let Some(above) = place.checked_sub(1) else {
            return;
        };
        cards.rebuild(format!("Moved a {one} up."), &|card| {
            edit_list(card, &raised, &|list| {
                if place < list.len() {
                    list.swap(above, place);
                }
            });
        });
        cards.reveal(&format!("{raised}[{above}]"));
    });
    let raise = if place == 0 {
        raise.attr("disabled", "")
    } else {
        raise
    };
    let copy = button(&format!("Duplicate this {one}"), move || {
        cards.rebuild(format!("Duplicated a {one}."), &|card| {
            edit_list(card, &copied, &|list| {
                if let Some(mut copy) = list.get(place).cloned() {
                    take_ids(&mut copy, of);
                    list.insert(place + 1, copy);
                }
            });
        });
        cards.settle();
        cards.reveal(&format!("{copied}[{}]", place + 1));
    });
    let remove = button(&format!("Remove this {one}"), move || {
        let what = cards.peek(|card| {
            let way = format!("{removed}[{place}]");
            title(card.at(&way).unwrap_or(&Json::Null), one, place)
        });
        cards.rebuild(format!("Removed: {what}."), &|card| {
            edit_list(card, &removed, &|list| {
                if place < list.len() {
                    list.remove(place);
                }
            });
        });
        cards.at.set(removed.clone());
        cards.focus("undo".to_owned());
    });
    div("row")
        .child(raise)
        .child(copy)
        .child(remove.class("quiet"))
}

/// A field, whatever it holds.
fn view(cards: Cards, way: &str, field: &'static Field) -> El {
    let here = under(way, field.name);
    match &field.holds {
        Holds::Id => div(""),
        Holds::Line | Holds::Count | Holds::Thread | Holds::Quantity => {
            let input = el("input").attr("type", "text").attr("autocomplete", "off");
            let input = match field.holds {
                Holds::Thread => input.attr("list", "threads"),
                Holds::Count => input.attr("inputmode", "numeric"),
                _ => input,
            };
            typed(cards, way, field, input)
        }
        Holds::Text => typed(cards, way, field, el("textarea")),
        Holds::Word(words) => {
            let words: Vec<_> = words
                .iter()
                .map(|(word, called)| ((*word).to_owned(), (*called).to_owned()))
                .collect();
            chosen(cards, way, field, words)
        }
        Holds::Joint => {
            let joints = cards.peek(|card| named(card.list_at("joints")));
            chosen(cards, way, field, joints)
        }
        Holds::Tick => tick(cards, way, field),
        Holds::Texts(one) => texts(cards, here, field, one),
        Holds::Uses => uses(cards, way, field),
        Holds::When => when(cards, way, field),
        Holds::Record(of) if field.needed => {
            group(cards, field.label, &here, fields(cards, &here, of))
        }
        Holds::Record(of) => maybe(cards, way.to_owned(), field, of),
        Holds::Records(one, of) => div("stack")
            .child(el("h4").text(field.label))
            .child(p(field.help).class("small soft"))
            .child(said_of(cards, &here))
            .child(items(cards, "h5", here, one, of)),
        Holds::Pair(names, of) => {
            div("stack").children(names.iter().enumerate().map(|(place, name)| {
                let here = format!("{here}[{place}]");
                group(cards, name, &here, fields(cards, &here, of))
            }))
        }
        Holds::Kind(kinds) => kind(cards, way.to_owned(), field, kinds),
    }
}

/// The ids and names of a list's items that have an id by now.
fn named(items: &[Json]) -> Vec<(String, String)> {
    items
        .iter()
        .enumerate()
        .map(|(place, item)| {
            let id = item.text_at("id").to_owned();
            (id, title(item, "number", place))
        })
        .filter(|(id, _)| !id.is_empty())
        .collect()
}

/// A named group of fields.
fn group(cards: Cards, name: &str, way: &str, fields: Vec<El>) -> El {
    el("fieldset")
        .class("group")
        .child(el("legend").text(name))
        .child(said_of(cards, way))
        .child(div("stack").children(fields))
}

/// A control with its label, its help, and what is said of what stands in it.
fn labelled(cards: Cards, way: &str, field: &'static Field, control: El) -> El {
    let here = under(way, field.name);
    let note = format!("{here}-note");
    let (invalid, said) = (here.clone(), here.clone());
    let control = control
        .attr("id", &here)
        .attr("aria-describedby", &note)
        .live_attr("aria-invalid", move || {
            let wrong = cards.judged.with(|judged| {
                let here = |field: &str| leads_to(field, &invalid);
                judged
                    .findings
                    .iter()
                    .any(|finding| here(&finding.field) && finding.message != MISSING)
            });
            wrong.then(|| "true".to_owned())
        });
    let said = el("span").live(move || {
        cards.judged.with(|judged| {
            let here = judged
                .findings
                .iter()
                .filter(|finding| leads_to(&finding.field, &said));
            here.map(|finding| match finding.message.as_str() {
                MISSING => el("span").text(" To be filled in."),
                message => el("span").class("reason").text(&format!(" {message}")),
            })
            .collect()
        })
    });
    div("field")
        .child(el("label").attr("for", &here).text(field.label))
        .child(div("box").child(control))
        .child(
            p("")
                .attr("id", &note)
                .class("echo")
                .child(el("span").text(field.help))
                .child(said),
        )
}

/// A field that is typed into.
fn typed(cards: Cards, way: &str, field: &'static Field, control: El) -> El {
    let (place, here) = (way.to_owned(), under(way, field.name));
    let control = control
        .live_value(move || cards.read(|card| card.text_at(&here).to_owned()))
        .on_value("input", move |text| {
            cards.set(&place, field.name, typed_value(&field.holds, text))
        });
    labelled(cards, way, field, control)
}

/// A list of which one is chosen. What stands there already can stay, whatever it is.
fn chosen(cards: Cards, way: &str, field: &'static Field, mut words: Vec<(String, String)>) -> El {
    let (place, here) = (way.to_owned(), under(way, field.name));
    let now = cards.peek(|card| card.text_at(&here).to_owned());
    if words.iter().all(|(word, _)| *word != now) && !now.is_empty() {
        words.push((now.clone(), format!("{now}, which is not on the card")));
    }
    let none = if field.needed { "choose" } else { "not said" };
    words.insert(0, (String::new(), none.to_owned()));
    let list = el("select")
        .children(
            words
                .iter()
                .map(|(word, called)| el("option").attr("value", word).text(called)),
        )
        .live_value(move || cards.read(|card| card.text_at(&here).to_owned()))
        .on_value("change", move |word| {
            cards.set(
                &place,
                field.name,
                (!word.is_empty()).then_some(Json::Text(word)),
            )
        });
    labelled(cards, way, field, list)
}

/// A box to tick, with its words.
fn ticked(id: &str, words: &str, is: impl Fn() -> bool + 'static, flip: impl Fn() + 'static) -> El {
    let input = el("input")
        .attr("type", "checkbox")
        .attr("id", id)
        .live_checked(is)
        .on("change", move |_| flip());
    el("label").child(input).child(el("span").text(words))
}

fn tick(cards: Cards, way: &str, field: &'static Field) -> El {
    let (place, here) = (way.to_owned(), under(way, field.name));
    let is = move |card: &Json| card.at(&here) == Some(&Json::Bool(true));
    let (shown, id) = (is.clone(), under(way, field.name));
    let input = ticked(
        &id,
        field.label,
        move || cards.read(&shown),
        move || {
            let now = !cards.peek(&is);
            cards.set(&place, field.name, now.then_some(Json::Bool(true)));
        },
    );
    div("stack")
        .child(div("choices").child(div("set").child(input)))
        .child(said_of(cards, &id))
}

/// A list of texts.
fn texts(cards: Cards, way: String, field: &'static Field, one: &'static str) -> El {
    let (list, grown) = (way.clone(), way.clone());
    let rows = div("stack").live(move || {
        cards.shape.track();
        let count = cards.peek(|card| card.list_at(&list).len());
        let row = |place: usize| {
            let here = format!("{list}[{place}]");
            let (get, set, gone) = (here.clone(), here.clone(), list.clone());
            let area = el("textarea")
                .attr("id", &here)
                .live_value(move || cards.read(|card| card.text_at(&get).to_owned()))
                .on_value("input", move |text| {
                    cards.change_at(&set, Json::Text(text));
                });
            let remove = button(&format!("Remove this {one}"), move || {
                cards.rebuild(format!("Removed a {one}."), &|card| {
                    edit_list(card, &gone, &|list| {
                        if place < list.len() {
                            list.remove(place);
                        }
                    });
                });
                cards.focus("undo".to_owned());
            });
            div("field")
                .child(el("label").attr("for", &here).text(&format!(
                    "{}: {}",
                    field.label,
                    place + 1
                )))
                .child(area)
                .child(div("row").child(remove.class("quiet")))
        };
        (0..count).map(row).collect()
    });
    let add = button(&format!("Add a {one}"), move || {
        let place = cards.peek(|card| card.list_at(&grown).len());
        cards.rebuild(format!("Added a {one}."), &|card| {
            edit_list(card, &grown, &|list| list.push(Json::Text(String::new())));
        });
        cards.focus(format!("{grown}[{place}]"));
    });
    div("stack")
        .child(p(field.help).class("small soft"))
        .child(said_of(cards, &way))
        .child(rows)
        .child(div("row").child(add))
}

/// The uses that advice is for.
fn uses(cards: Cards, way: &str, field: &'static Field) -> El {
    let here = under(way, field.name);
    let known = cards.peek(|card| named(card.list_at("uses")));
    let none = known.is_empty();
    let ticks = known.into_iter().map(|(id, name)| {
        let is = {
            let (here, id) = (here.clone(), Json::Text(id.clone()));
            move |card: &Json| card.list_at(&here).contains(&id)
        };
        let (here, shown) = (here.clone(), is.clone());
        let field_id = format!("{here}-{id}");
        let flip = move || {
            cards.rebuild("Changed what advice is for.".into(), &|card| {
                let id = Json::Text(id.clone());
                edit_list(
                    card,
                    &here,
                    &|list| match list.iter().position(|known| *known == id) {
                        Some(place) => {
                            list.remove(place);
                        }
                        None => list.push(id.clone()),
                    },
                );
            });
        };
        ticked(&field_id, &name, move || cards.read(&shown), flip)
    });
    let set = el("fieldset")
        .class("choices")
        .child(
            el("legend")
                .attr("id", &here)
                .attr("tabindex", "-1")
                .text(field.label),
        )
        .child(div("set").children(ticks))
        .child(said_of(cards, &here));
    match none {
        true => set.child(p("Write the uses first, further up.").class("soft")),
        false => set,
    }
}

/// The choices under which something belongs to an order, option by option.
fn when(cards: Cards, way: &str, field: &'static Field) -> El {
    let here = under(way, field.name);
    let options = cards.peek(|card| {
        let choices = |(place, (id, name)): (usize, (String, String))| {
            let list = card.list_at("options").get(place)?.list_at("choices");
            Some((id, name, named(list)))
        };
        named(card.list_at("options"))
            .into_iter()
            .enumerate()
            .filter_map(choices)
            .collect::<Vec<_>>()
    });
    let written = cards.peek(|card| match card.at(&here) {
        Some(Json::Object(when)) => when.iter().map(|(id, _)| id.to_owned()).collect(),
        _ => Vec::new(),
    });
    let gone = written
        .iter()
        .any(|id| options.iter().all(|(known, ..)| known != id));
    if options.is_empty() && !gone {
        return div("");
    }
    let lists = options.into_iter().map(|(id, name, choices)| {
        let at = under(&here, &id);
        let (get, set, key) = (at.clone(), here.clone(), id.clone());
        let list = el("select")
            .attr("id", &at)
            .child(el("option").attr("value", "").text("any choice"))
            .children(
                choices
                    .iter()
                    .map(|(choice, called)| el("option").attr("value", choice).text(called)),
            )
            .live_value(move || cards.read(|card| card.text_at(&get).to_owned()))
            .on_value("change", move |choice| {
                let choice = (!choice.is_empty()).then_some(Json::Text(choice));
                cards.set(&set, &key, choice);
            });
        div("field")
            .child(el("label").attr("for", &at).text(&name))
            .child(list)
    });
    let (place, name) = (way.to_owned(), field.name);
    let clear = gone.then(|| {
        button(
            "Take out the choices that are no longer on the card",
            move || {
                cards.rebuild("Took out choices.".into(), &|card| {
                    card.set(&place, name, None)
                })
            },
        )
    });
    let mut content: Vec<El> = vec![div("fields wide").children(lists)];
    content.extend(clear);
    group(cards, field.label, &here, content)
}

/// A record that may be left out.
fn maybe(cards: Cards, way: String, field: &'static Field, of: &'static [Field]) -> El {
    let here = under(&way, field.name);
    div("stack").live(move || {
        cards.shape.track();
        let (place, gone) = (way.clone(), way.clone());
        if cards.peek(|card| card.at(&here).is_none()) {
            let add = button(&format!("Add a {}", field.label), move || {
                cards.rebuild(format!("Added a {}.", field.label), &|card| {
                    card.set(&place, field.name, Some(blank(of)))
                });
                let first = of.first().map_or("", |field| field.name);
                cards.focus(under(&under(&place, field.name), first));
            });
            return vec![div("row").child(add)];
        }
        let remove = button(&format!("Take out the {}", field.label), move || {
            cards.rebuild(format!("Took out a {}.", field.label), &|card| {
                card.set(&gone, field.name, None)
            });
            cards.focus("undo".to_owned());
        });
        let mut content = fields(cards, &here, of);
        content.push(div("row").child(remove.class("quiet")));
        let name = capital(field.label);
        vec![group(cards, &name, &here, content)]
    })
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        std::iter::once(first.to_ascii_uppercase())
            .chain(letters)
            .collect()
    })
}

/// One of several kinds, each with fields of its own. What two kinds have in common goes along.
fn kind(cards: Cards, way: String, field: &'static Field, kinds: &'static [Field]) -> El {
    let here = under(&way, field.name);
    let kind_now = move |card: &Json| match card.at(&here) {
        Some(Json::Object(held)) => held.iter().next().map_or("", |(name, _)| name).to_owned(),
        _ => String::new(),
    };
    let here = under(&way, field.name);
    let (shown, built) = (kind_now.clone(), kind_now.clone());
    let id = here.clone();
    let list = el("select")
        .child(el("option").attr("value", "").text("choose"))
        .children(
            kinds
                .iter()
                .map(|kind| el("option").attr("value", kind.name).text(kind.label)),
        )
        .live_value(move || cards.read(&shown))
        .on_value("change", move |name| {
            let Some(Holds::Record(of)) = kinds
                .iter()
                .find(|kind| kind.name == name)
                .map(|kind| &kind.holds)
            else {
                return;
            };
            let held = cards.peek(|card| {
                let held = under(&under(&way, field.name), &kind_now(card));
                card.at(&held).cloned()
            });
            let mut new = blank(of);
            for field in *of {
                if let Some(value) = held.as_ref().and_then(|held| held.at(field.name)) {
                    new.set("", field.name, Some(value.clone()));
                }
            }
            cards.rebuild("Changed what adjusts.".into(), &|card| {
                card.set(&way, field.name, None);
                card.set(&under(&way, field.name), &name, Some(new.clone()));
            });
            cards.focus(under(&way, field.name));
        });
    let within = div("stack").live(move || {
        cards.shape.track();
        let now = cards.peek(&built);
        let of = kinds.iter().find(|kind| kind.name == now);
        match of.map(|kind| &kind.holds) {
            Some(Holds::Record(of)) => fields(cards, &under(&here, &now), of),
            _ => Vec::new(),
        }
    });
    let choice = div("field")
        .child(el("label").attr("for", &id).text(field.label))
        .child(list.attr("id", &id))
        .child(said_of(cards, &id));
    div("stack").child(choice).child(within)
}

//! Two changes of one job into one: what was done on two pages at once is all kept.
//!
//! A three-way merge over JSON: what only one side changed is taken from that side. Objects merge by name. Lists merge by place while
//! nothing was taken out of them, and are otherwise taken whole. What both changed to different things cannot both stand: the job
//! changed later has it, and the other is told as a [`Clash`].

use super::envelope::{filled, open};
use super::{Job, Json, Kind, LoadError, Named, save_job};

/// What two pages changed to different things.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// What it is.
    pub what: String,
    /// What stands there now, in words; empty: nothing.
    pub kept: String,
    /// What the other page had, in words; empty: nothing.
    pub dropped: String,
}

/// The fields that tell a record whose fields mean something only together: an entry (a number in the unit it was not typed in is
/// another number), a mark, a sign-off (one for the value that was set, not for another), an adjuster turned, two distances read together, two positions
/// of one phone, a steer with its cambers.
const TOGETHER: [&str; 7] = ["text", "at", "set", "steps", "first", "turned", "steer"];

/// The fields that are moments: nobody typed them, and the later of a job's own stands.
const MOMENTS: [&str; 3] = ["started", "changed", "at"];

/// Puts what is open and what is stored together: both came from `base`, as text. Without a base that can be read, all that differs
/// was changed by both.
///
/// # Errors
/// Says why the stored text cannot be read, or why both together are no job.
pub fn merge_jobs(base: &str, mine: &Job, theirs: &str) -> Result<(Job, Vec<Clash>), LoadError> {
    let read = |text: &str| open(text, Kind::Job).map(Json::Object);
    let theirs = read(theirs)?;
    let base = read(base).unwrap_or(Json::Null);
    let mine = read(&save_job(mine))?;
    let mine_is_later = number(field(&mine, "changed")) >= number(field(&theirs, "changed"));
    let (merged, mut clashes) = merge_json(&base, &mine, &theirs, mine_is_later);
    // What reads the same was marked twice.
    clashes.retain(|clash| clash.kept != clash.dropped);
    for clash in &mut clashes {
        let mut what = String::new();
        for part in clash.what.split('\n') {
            if !what.is_empty() {
                what.push_str(", ");
            }
            what.push_str(name(&mine, part).unwrap_or(part));
        }
        clash.what = what;
    }
    Ok((filled(merged)?, clashes))
}

/// What a job calls what has this id.
fn name<'a>(job: &'a Json, id: &str) -> Option<&'a str> {
    match job {
        Json::List(items) => items.iter().find_map(|item| name(item, id)),
        Json::Object(fields) => match (field(job, "id"), field(job, "name").or(field(job, "text")))
        {
            (Some(Json::Text(known)), Some(Json::Text(name))) if known == id => Some(name),
            _ => fields.iter().find_map(|(_, value)| name(value, id)),
        },
        _ => None,
    }
}

/// The merge of two values that came from one. [`Clash::what`] is the way to what clashes, a name or a number from 1 on each line.
pub fn merge_json(
    base: &Json,
    mine: &Json,
    theirs: &Json,
    mine_is_later: bool,
) -> (Json, Vec<Clash>) {
    let mut merging = Merging {
        mine_is_later,
        clashes: Vec::new(),
    };
    let merged = merging.value("", Some(base), Some(mine), Some(theirs));
    (merged.unwrap_or(Json::Null), merging.clashes)
}

struct Merging {
    mine_is_later: bool,
    clashes: Vec<Clash>,
}

impl Merging {
    fn value(
        &mut self,
        way: &str,
        base: Option<&Json>,
        mine: Option<&Json>,
        theirs: Option<&Json>,
    ) -> Option<Json> {
        let taken = if mine == theirs || theirs == base {
            mine
        } else if mine == base {
            theirs
        } else {
            match (mine, theirs) {
                (Some(Json::Object(here)), Some(Json::Object(there)))
                    if !stands_together(mine) && !stands_together(theirs) =>
                {
                    let mut merged = Named::default();
                    let only_there = there.iter().filter(|(name, _)| here.get(name).is_none());
                    for (name, _) in here.iter().chain(only_there) {
                        let [base, mine, theirs] =
                            [base, mine, theirs].map(|value| field(value?, name));
                        if let Some(value) = self.value(&under(way, name), base, mine, theirs) {
                            merged.insert(name.to_owned(), value);
                        }
                    }
                    return Some(merged.into());
                }
                (Some(Json::List(here)), Some(Json::List(there)))
                    if items(base).len() <= here.len().min(there.len()) =>
                {
                    let mut merged = Vec::new();
                    for place in 0..here.len().max(there.len()) {
                        let [base, mine, theirs] =
                            [base, mine, theirs].map(|value| items(value).get(place));
                        let way = under(way, &(place + 1).to_string());
                        merged.extend(self.value(&way, base, mine, theirs));
                    }
                    return Some(Json::List(merged));
                }
                _ => self.one_of(way, base, mine, theirs),
            }
        };
        taken.cloned()
    }

    /// Both changed it, and only one of them can stand.
    fn one_of<'a>(
        &mut self,
        way: &str,
        base: Option<&Json>,
        mine: Option<&'a Json>,
        theirs: Option<&'a Json>,
    ) -> Option<&'a Json> {
        let (mut kept, mut dropped) = (words(mine), words(theirs));
        let moments = number(mine).cmp(&number(theirs));
        let name = way.rsplit('\n').next();
        // Of two moments the later stands, and a place that is still empty on one side is no other opinion.
        let (keep_mine, agreed) = if MOMENTS.map(Some).contains(&name) && moments.is_ne() {
            (moments.is_gt(), true)
        } else if base.is_none() && kept.is_empty() != dropped.is_empty() {
            (dropped.is_empty(), true)
        } else {
            (self.mine_is_later, false)
        };
        if !keep_mine {
            std::mem::swap(&mut kept, &mut dropped);
        }
        if !agreed {
            let what = way.to_owned();
            self.clashes.push(Clash {
                what,
                kept,
                dropped,
            });
        }
        if keep_mine { mine } else { theirs }
    }
}

/// The way to what a name stands for.
fn under(way: &str, name: &str) -> String {
    let mut under = way.to_owned();
    if !way.is_empty() {
        under.push('\n');
    }
    under.push_str(name);
    under
}

fn stands_together(value: Option<&Json>) -> bool {
    value.is_some_and(|value| TOGETHER.iter().any(|name| field(value, name).is_some()))
}

fn field<'a>(value: &'a Json, name: &str) -> Option<&'a Json> {
    match value {
        Json::Object(fields) => fields.get(name),
        _ => None,
    }
}

fn items(value: Option<&Json>) -> &[Json] {
    match value {
        Some(Json::List(items)) => items,
        _ => &[],
    }
}

fn number(value: Option<&Json>) -> u64 {
    match value {
        Some(Json::Number(digits)) => digits.parse().unwrap_or(0),
        _ => 0,
    }
}

/// What a person typed in a value, in words; nothing where there is an empty field.
fn words(value: Option<&Json>) -> String {
    fn add(value: &Json, words: &mut String) {
        match value {
            // Nobody counted, turned or looked.
            Json::Number(text) if text == "0" => {}
            Json::Text(text) | Json::Number(text) => {
                if !words.is_empty() && !text.is_empty() {
                    words.push(' ');
                }
                words.push_str(text);
            }
            Json::Bool(true) => words.push_str(" yes"),
            Json::List(items) => items.iter().for_each(|item| add(item, words)),
            Json::Object(fields) => {
                let is_empty =
                    matches!(fields.get("text"), Some(Json::Text(text)) if text.is_empty());
                for (name, value) in fields.iter() {
                    if !is_empty && !MOMENTS.contains(&name) {
                        add(value, words);
                    }
                }
            }
            _ => {}
        }
    }
    let mut all = String::new();
    if let Some(value) = value {
        add(value, &mut all);
    }
    all
}

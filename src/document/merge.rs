//! Two changes of one job into one: what was done on two pages at once is all kept.
//!
//! A three-way merge over JSON: what only one side changed is taken from that side. Objects merge by name. Lists merge by place while
//! nothing was taken out of them, and are otherwise taken whole. What both changed to different things cannot both stand: the job
//! changed later has it, and the other is told as a [`Clash`].

use super::envelope::{accept, filled, open};
use super::validate::problems_of_job;
use super::{Job, Json, Kind, KitCard, LoadError, Named, save_job};

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
/// another number), a mark, a sign-off (one for the value that was set, not for another), an adjuster turned, two distances read together.
const TOGETHER: [&str; 5] = ["text", "at", "set", "steps", "first"];

/// The fields that are moments: nobody typed them, and the later of a job's own stands.
const MOMENTS: [&str; 3] = ["started", "changed", "at"];

/// Puts what is open and what is stored together: both came from `base`, as text. Without a base that can be read, all that differs
/// was changed by both.
///
/// # Errors
/// Says why the stored text cannot be read, or why both together are no job.
pub fn merge_jobs(base: &str, mine: &Job, theirs: &str) -> Result<(Job, Vec<Clash>), LoadError> {
    let theirs = open(theirs, Kind::Job)?;
    let base = open(base, Kind::Job).unwrap_or_default();
    let card = mine.card.clone();
    let mine = open(&save_job(mine), Kind::Job)?;
    let changed = |job: &Named<Json>| job.get("changed").map_or(0, moment);
    let mine_is_later = changed(&mine) >= changed(&theirs);
    let (merged, clashes) = merge_json(&base.into(), mine.into(), theirs.into(), mine_is_later);
    let job = accept(filled(merged)?, problems_of_job)?;
    let named = |mut clash: Clash| {
        let parts: Vec<_> = clash
            .what
            .split('\n')
            .map(|part| name(&card, part))
            .collect();
        clash.what = parts.join(", ");
        clash
    };
    // What reads the same was marked twice.
    let differ = clashes
        .into_iter()
        .filter(|clash| clash.kept != clash.dropped);
    Ok((job, differ.map(named).collect()))
}

/// What the card calls what has this id.
fn name<'a>(card: &'a KitCard, id: &'a str) -> &'a str {
    let joints = card.joints.iter().map(|joint| (&joint.id, &joint.name));
    let adjusters = card.adjusters.iter().map(|one| (&one.id, &one.name));
    let steps = card.all_steps().map(|step| (&step.id, &step.text));
    let parts = card.parts.iter().map(|part| (&part.id, &part.name));
    let mut all = joints.chain(adjusters).chain(steps).chain(parts);
    all.find(|(known, _)| *known == id)
        .map_or(id, |(_, name)| name)
}

/// The merge of two values that came from one. [`Clash::what`] is the way to what clashes, a name or a number from 1 on each line.
pub fn merge_json(
    base: &Json,
    mine: Json,
    theirs: Json,
    mine_is_later: bool,
) -> (Json, Vec<Clash>) {
    let mut merging = Merging {
        mine_is_later,
        way: Vec::new(),
        clashes: Vec::new(),
    };
    let merged = merging.value(Some(base), Some(mine), Some(theirs));
    (merged.unwrap_or(Json::Null), merging.clashes)
}

struct Merging {
    mine_is_later: bool,
    way: Vec<String>,
    clashes: Vec<Clash>,
}

impl Merging {
    fn value(
        &mut self,
        base: Option<&Json>,
        mine: Option<Json>,
        theirs: Option<Json>,
    ) -> Option<Json> {
        if mine == theirs || theirs.as_ref() == base {
            return mine;
        }
        if mine.as_ref() == base {
            return theirs;
        }
        match (mine, theirs) {
            (Some(Json::Object(mine)), Some(Json::Object(theirs)))
                if !stands_together(&mine) && !stands_together(&theirs) =>
            {
                let none = Named::default();
                let base = match base {
                    Some(Json::Object(base)) => base,
                    _ => &none,
                };
                Some(self.object(base, mine, theirs).into())
            }
            (Some(Json::List(mine)), Some(Json::List(theirs)))
                if length(base) <= mine.len().min(theirs.len()) =>
            {
                Some(Json::List(self.list(base, mine, theirs)))
            }
            (mine, theirs) => self.one_of(base, mine, theirs),
        }
    }

    fn object(
        &mut self,
        base: &Named<Json>,
        mine: Named<Json>,
        mut theirs: Named<Json>,
    ) -> Named<Json> {
        let mut merged = Named::default();
        let mut take = |name: String, mine, theirs| {
            let base = base.get(&name);
            self.way.push(name);
            let value = self.value(base, mine, theirs);
            if let Some((name, value)) = self.way.pop().zip(value) {
                merged.insert(name, value);
            }
        };
        for (name, value) in mine {
            let other = theirs.remove(&name);
            take(name, Some(value), other);
        }
        for (name, value) in theirs {
            take(name, None, Some(value));
        }
        merged
    }

    fn list(&mut self, base: Option<&Json>, mine: Vec<Json>, theirs: Vec<Json>) -> Vec<Json> {
        let longest = mine.len().max(theirs.len());
        let (mut mine, mut theirs) = (mine.into_iter(), theirs.into_iter());
        let place = |index: usize| {
            self.way.push((index + 1).to_string());
            let value = self.value(item(base, index), mine.next(), theirs.next());
            self.way.pop();
            value
        };
        (0..longest).filter_map(place).collect()
    }

    /// Both changed it, and only one of them can stand.
    fn one_of(
        &mut self,
        base: Option<&Json>,
        mine: Option<Json>,
        theirs: Option<Json>,
    ) -> Option<Json> {
        let said = [&mine, &theirs].map(|value| value.as_ref().map(words).unwrap_or_default());
        let moments = [&mine, &theirs].map(|value| value.as_ref().map_or(0, moment));
        let is_moment = self
            .way
            .last()
            .is_some_and(|name| MOMENTS.contains(&name.as_str()));
        // Of two moments the later stands, and a place that is still empty on one side is no other opinion.
        let (keep_mine, agreed) = match (base, said.each_ref().map(String::is_empty)) {
            _ if is_moment && moments[0] != moments[1] => (moments[0] > moments[1], true),
            (None, [false, true]) => (true, true),
            (None, [true, false]) => (false, true),
            _ => (self.mine_is_later, false),
        };
        let [mine_said, theirs_said] = said;
        let (kept, dropped, value) = match keep_mine {
            true => (mine_said, theirs_said, mine),
            false => (theirs_said, mine_said, theirs),
        };
        if !agreed {
            self.clashes.push(Clash {
                what: self.way.join("\n"),
                kept,
                dropped,
            });
        }
        value
    }
}

fn stands_together(fields: &Named<Json>) -> bool {
    TOGETHER.iter().any(|name| fields.get(name).is_some())
}

fn length(value: Option<&Json>) -> usize {
    match value {
        Some(Json::List(items)) => items.len(),
        _ => 0,
    }
}

fn item(value: Option<&Json>, index: usize) -> Option<&Json> {
    match value {
        Some(Json::List(items)) => items.get(index),
        _ => None,
    }
}

fn moment(value: &Json) -> u64 {
    match value {
        Json::Number(digits) => digits.parse().unwrap_or(0),
        _ => 0,
    }
}

/// What a person typed in a value, in words; nothing where there is an empty field.
fn words(value: &Json) -> String {
    fn add(value: &Json, words: &mut String) {
        match value {
            Json::Text(text) | Json::Number(text) if !text.is_empty() => {
                if !words.is_empty() {
                    words.push(' ');
                }
                words.push_str(text);
            }
            Json::Bool(true) => add(&Json::Text("yes".into()), words),
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
    add(value, &mut all);
    all
}

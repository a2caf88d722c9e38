//! What differs between two states of one job, place by place.

use super::{Job, Json, Named, save_job};
use std::fmt;

/// How many things are named; more are counted.
const NAMED: usize = 3;

/// What differs at one place of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// The place, such as `Counts`.
    pub place: &'static str,
    /// How many things either job has there.
    pub of: usize,
    /// What both have, and have otherwise.
    pub other: Vec<String>,
    /// What only the job on this device has.
    pub only_here: Vec<String>,
    /// What only the job that came has.
    pub only_there: Vec<String>,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: ", self.place)?;
        let others = format!("of {} differ", self.of);
        let groups = [
            (&self.other, &*others),
            (&self.only_here, "only on this device"),
            (&self.only_there, "only in what came"),
        ];
        let mut join = "";
        for (names, how) in groups {
            if names.is_empty() {
                continue;
            }
            write!(f, "{join}{} {how} (", names.len())?;
            for (index, name) in names.iter().take(NAMED).enumerate() {
                let comma = if index > 0 { ", " } else { "" };
                write!(f, "{comma}{name}")?;
            }
            match names.len().saturating_sub(NAMED) {
                0 => f.write_str(")")?,
                more => write!(f, " and {more} more)")?,
            }
            join = "; ";
        }
        f.write_str(".")
    }
}

/// Places whose things have names of their own in the kit card.
const BY_NAME: [(&str, &str); 9] = [
    ("order", "Options ordered"),
    ("counts", "Counts"),
    ("findings", "Tried by hand"),
    ("distances", "Distances on the car"),
    ("pickups", "Holes taken"),
    ("marks", "Steps"),
    ("torques", "Torques signed off"),
    ("settings", "Base settings"),
    ("arms", "Lever arms"),
];

/// What stands about the car, in words.
const CAR: [(&str, &str); 9] = [
    ("name", "what it is"),
    ("by", "who does the work"),
    ("pressures", "tyre pressures"),
    ("load", "fuel and ballast"),
    ("ride_heights", "ride heights"),
    ("rim", "across the rim"),
    ("front_track", "front track"),
    ("rear_track", "rear track"),
    ("wheelbase", "wheelbase"),
];

/// What differs between a job on this device and one that came. Ids and times of change are no difference.
pub fn differences(here: &Job, there: &Job) -> Vec<Difference> {
    let mut found = Vec::new();
    let revisions = [here, there].map(|job| format!("revision {}", job.card.revision));
    let (here, there) = (fields(here), fields(there));
    let cards = [here.get("card"), there.get("card")];
    if cards[0] != cards[1] {
        let [ours, theirs] = revisions;
        let (other, only_here, only_there) = match ours == theirs {
            true => (vec![ours], Vec::new(), Vec::new()),
            false => (Vec::new(), vec![ours], vec![theirs]),
        };
        found.push(Difference {
            place: "Kit card",
            of: 1,
            other,
            only_here,
            only_there,
        });
    }
    let mut compare = |place, a: &Named<Json>, b: &Named<Json>, name: &dyn Fn(&str) -> String| {
        let difference = compare(place, a, b, name);
        found.extend(difference);
    };
    let car = |id: &str| {
        let known = CAR.iter().find(|(field, _)| *field == id);
        known.map_or(id, |(_, words)| *words).to_owned()
    };
    let nothing = Named::default();
    let named = |job: &Named<Json>, field: &str| match job.get(field) {
        Some(Json::Object(fields)) => fields.clone(),
        _ => nothing.clone(),
    };
    compare("The car", &named(&here, "car"), &named(&there, "car"), &car);
    let of_card = |id: &str| {
        let known = cards.iter().find_map(|card| name_of((*card)?, id));
        known.unwrap_or_else(|| id.to_owned())
    };
    for (field, place) in BY_NAME {
        compare(place, &named(&here, field), &named(&there, field), &of_card);
    }
    let round = |id: &str| format!("round {id}");
    let rounds = |job: &Named<Json>| numbered(job.get("rounds"));
    compare("Readings", &rounds(&here), &rounds(&there), &round);
    let notes = |job: &Named<Json>| numbered(job.get("notes"));
    let words = |_: &str| "the text for the sheet".to_owned();
    compare("Notes", &notes(&here), &notes(&there), &words);
    found
}

fn fields(job: &Job) -> Named<Json> {
    match Json::parse(&save_job(job)) {
        Ok(Json::Object(fields)) => fields,
        _ => Named::default(),
    }
}

/// The values of a list by their number, from 1; a value alone is the first.
fn numbered(value: Option<&Json>) -> Named<Json> {
    let values = match value {
        Some(Json::List(values)) => values.as_slice(),
        Some(value) => std::slice::from_ref(value),
        None => &[],
    };
    (1..)
        .zip(values)
        .map(|(number, value): (u32, _)| (number.to_string(), value.clone()))
        .collect()
}

fn compare(
    place: &'static str,
    here: &Named<Json>,
    there: &Named<Json>,
    name: &dyn Fn(&str) -> String,
) -> Option<Difference> {
    let mut difference = Difference {
        place,
        of: here.len(),
        other: Vec::new(),
        only_here: Vec::new(),
        only_there: Vec::new(),
    };
    for (id, value) in here.iter() {
        match there.get(id) {
            Some(other) if other == value => {}
            Some(_) => difference.other.push(name(id)),
            None => difference.only_here.push(name(id)),
        }
    }
    for (id, _) in there.iter() {
        if here.get(id).is_none() {
            difference.of += 1;
            difference.only_there.push(name(id));
        }
    }
    let Difference {
        other,
        only_here,
        only_there,
        ..
    } = &difference;
    let same = other.is_empty() && only_here.is_empty() && only_there.is_empty();
    (!same).then_some(difference)
}

/// What a kit card calls the thing of an id.
fn name_of(value: &Json, id: &str) -> Option<String> {
    match value {
        Json::List(values) => values.iter().find_map(|value| name_of(value, id)),
        Json::Object(fields) => {
            let text = |field| match fields.get(field) {
                Some(Json::Text(text)) => Some(text.as_str()),
                _ => None,
            };
            if text("id") != Some(id) {
                return fields.iter().find_map(|(_, value)| name_of(value, id));
            }
            let name = text("name").or(text("text"))?;
            // An adjuster is called the same on both sides.
            Some(match text("corner") {
                Some(corner) => format!("{} {name}", corner.replace('-', " ")),
                None => name.to_owned(),
            })
        }
        _ => None,
    }
}

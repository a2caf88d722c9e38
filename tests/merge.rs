//! Two changes of one document into one. The laws are those of a three-way merge: what one side changed is taken, what both changed
//! the same is taken once, and what cannot both stand is told.

mod common;

use common::{CARDS, moment, typed, whole};
use halfturn::document::{
    Clash, Job, Json, Mark, Named, Pair, SignOff, Taken, Unit, load_job, merge_jobs, merge_json,
    save_job,
};
use halfturn::station::{StepState, bolt_up};
use proptest::prelude::*;

/// Trees of few names and few values, so that two of them often meet in the same place.
fn tree() -> impl Strategy<Value = Json> {
    let leaf = prop_oneof![
        Just(Json::Null),
        any::<bool>().prop_map(Json::Bool),
        (0..4_u8).prop_map(|number| Json::Number(number.to_string())),
        "[ab]?".prop_map(Json::Text),
    ];
    leaf.prop_recursive(4, 24, 4, |inner| {
        let name = prop::sample::select(vec!["a", "b", "c", "changed", "text", "at", "set"]);
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Json::List),
            prop::collection::vec((name, inner), 0..5).prop_map(object),
        ]
    })
}

fn object(fields: Vec<(&str, Json)>) -> Json {
    let fields = fields
        .into_iter()
        .map(|(name, value)| (name.to_owned(), value));
    Json::Object(fields.collect())
}

/// Every leaf with the way to it.
fn leaves(value: &Json, way: &str, all: &mut Vec<(String, Json)>) {
    match value {
        Json::Object(fields) if !fields.is_empty() => {
            for (name, value) in fields.iter() {
                leaves(value, &format!("{way}.{name}"), all);
            }
        }
        Json::List(items) if !items.is_empty() => {
            for (index, value) in items.iter().enumerate() {
                leaves(value, &format!("{way}[{index}]"), all);
            }
        }
        other => all.push((way.to_owned(), other.clone())),
    }
}

fn leaves_of(value: &Json) -> Vec<(String, Json)> {
    let mut all = Vec::new();
    leaves(value, "", &mut all);
    all
}

fn merged(base: &Json, mine: &Json, theirs: &Json, mine_is_later: bool) -> (Json, Vec<Clash>) {
    merge_json(base, mine, theirs, mine_is_later)
}

proptest! {
    #[test]
    fn what_one_side_changed_is_taken(base in tree(), other in tree(), later: bool) {
        prop_assert_eq!(merged(&base, &base, &base, later), (base.clone(), vec![]));
        prop_assert_eq!(merged(&base, &other, &base, later), (other.clone(), vec![]));
        prop_assert_eq!(merged(&base, &base, &other, later), (other.clone(), vec![]));
        prop_assert_eq!(merged(&base, &other, &other, later), (other.clone(), vec![]));
    }

    #[test]
    fn it_does_not_matter_who_merges(base in tree(), mine in tree(), theirs in tree(), later: bool) {
        let (here, told_here) = merged(&base, &mine, &theirs, later);
        let (there, told_there) = merged(&base, &theirs, &mine, !later);
        prop_assert_eq!(here, there);
        prop_assert_eq!(told_here.len(), told_there.len());
    }

    #[test]
    fn where_nothing_clashes_it_does_not_matter_who_is_later(base in tree(), mine in tree(), theirs in tree()) {
        let (one, clashes) = merged(&base, &mine, &theirs, true);
        let (other, _) = merged(&base, &mine, &theirs, false);
        prop_assert!(one == other || !clashes.is_empty());
    }

    #[test]
    fn nothing_is_invented(base in tree(), mine in tree(), theirs in tree(), later: bool) {
        let (both, _) = merged(&base, &mine, &theirs, later);
        let (mine, theirs) = (leaves_of(&mine), leaves_of(&theirs));
        let empty = |value: &Json| matches!(value, Json::Object(fields) if fields.is_empty());
        for leaf in leaves_of(&both) {
            // Of an object, nothing but its braces may be left: all that was in it was taken out by one side or the other.
            prop_assert!(mine.contains(&leaf) || theirs.contains(&leaf) || empty(&leaf.1), "{leaf:?}");
        }
    }

    #[test]
    fn edits_in_different_places_are_all_there(
        values in prop::collection::vec("[a-z]{0,3}", 1..9),
        edits in prop::collection::vec((0..9_usize, any::<bool>(), prop::option::of("[A-Z]{1,3}")), 0..9),
        later: bool,
    ) {
        // A page of names, each edited by one side at most: changed, added or taken out.
        let base: Named<Json> = values.into_iter().enumerate().map(|(index, text)| (index.to_string(), Json::Text(text))).collect();
        let (mut mine, mut theirs, mut both) = (base.clone(), base.clone(), base.clone());
        let mut edited = Vec::new();
        for (index, is_mine, value) in edits {
            if edited.contains(&index) {
                continue;
            }
            edited.push(index);
            let side = if is_mine { &mut mine } else { &mut theirs };
            for page in [side, &mut both] {
                match &value {
                    Some(text) => page.insert(index.to_string(), Json::Text(text.clone())),
                    None => drop(page.remove(&index.to_string())),
                }
            }
        }
        let result = merge_json(&base.into(), &mine.into(), &theirs.into(), later);
        prop_assert_eq!(result, (both.into(), vec![]));
    }

    #[test]
    fn no_text_that_is_stored_stops_it(base in ".{0,40}", theirs in ".{0,40}") {
        let job = Job { id: "7".into(), ..Job::default() };
        prop_assert!(merge_jobs(&base, &job, &theirs).is_err());
    }
}

/// The job that two pages came from, and what each makes of it: mine is the later.
fn both(
    card: &str,
    mine: impl FnOnce(&mut Job),
    theirs: impl FnOnce(&mut Job),
) -> (Job, Vec<Clash>) {
    let base = whole(card);
    let (mut here, mut there) = (base.clone(), base.clone());
    mine(&mut here);
    here.changed = moment(90_002);
    theirs(&mut there);
    there.changed = moment(90_001);
    merge_jobs(&save_job(&base), &here, &save_job(&there)).unwrap()
}

fn mark(seconds: u32) -> Mark {
    Mark {
        at: moment(seconds),
        ..Mark::default()
    }
}

#[test]
fn marks_of_two_pages_are_all_there() {
    for card in CARDS {
        let (job, clashes) = both(
            card,
            |job| {
                job.marks.remove("s101");
                job.counts
                    .insert("toe-sleeve".into(), typed("3", Unit::Count));
                job.car.name = "Orrin, green".into();
            },
            |job| {
                job.marks.insert("s102".into(), mark(90_000));
                job.notes = "Second page.".into();
                let mut round = job.rounds[1].clone();
                round.started = moment(90_000);
                job.rounds.push(round);
            },
        );
        assert_eq!(clashes, []);
        assert_eq!(job.marks.get("s101"), None);
        assert_eq!(job.marks.get("s102"), Some(&mark(90_000)));
        assert_eq!(job.counts.get("toe-sleeve").unwrap().text, "3");
        assert_eq!(job.car.name, "Orrin, green");
        assert_eq!(job.notes, "Second page.");
        assert_eq!(job.rounds.len(), 3);
        assert_eq!(job.changed, moment(90_002));
    }
}

#[test]
fn a_page_whose_field_was_empty_is_filled_by_the_other() {
    let base = Job {
        rounds: Vec::new(),
        ..whole("rear")
    };
    // Both pages begin the first round; only one types into it.
    let round = &whole("rear").rounds[0];
    let mut here = base.clone();
    here.rounds
        .push(halfturn::station::new_round(&base, moment(90_000)));
    let mut there = base.clone();
    there.rounds.push(halfturn::document::Round {
        started: moment(90_001),
        ..halfturn::station::new_round(&base, moment(90_001))
    });
    there.rounds[0].rear.left.string = vec![round.rear.left.string[0].clone()];
    here.changed = moment(90_003);
    let (job, clashes) = merge_jobs(&save_job(&base), &here, &save_job(&there)).unwrap();
    assert_eq!(clashes, []);
    assert_eq!(job.rounds.len(), 1);
    assert_eq!(
        job.rounds[0].rear.left.string,
        there.rounds[0].rear.left.string
    );
}

#[test]
fn what_both_typed_is_told() {
    let (job, clashes) = both(
        "rear",
        |job| job.notes = "Mine.".into(),
        |job| {
            job.notes = "Theirs.".into();
            job.car.by = "Bay 3".into();
        },
    );
    assert_eq!(job.notes, "Mine.");
    assert_eq!(job.car.by, "Bay 3");
    let told = Clash {
        what: "notes".into(),
        kept: "Mine.".into(),
        dropped: "Theirs.".into(),
    };
    assert_eq!(clashes, [told]);
}

#[test]
fn a_number_stays_in_the_unit_it_was_typed_in() {
    let adjuster = whole("rear").card.adjusters[0].clone();
    let (job, clashes) = both(
        "rear",
        |job| job.settings.place(&adjuster.id)[0] = typed("0.25", Unit::Inch),
        |job| job.settings.place(&adjuster.id)[0] = typed("6.5", Unit::Millimetre),
    );
    assert_eq!(
        job.settings.get(&adjuster.id).unwrap()[0],
        typed("0.25", Unit::Inch)
    );
    assert_eq!(clashes.len(), 1);
    assert_eq!(clashes[0].what, format!("settings, {}, 1", adjuster.name));
    assert_eq!(clashes[0].kept, "0.25 in");
    assert_eq!(clashes[0].dropped, "6.5 mm");
}

#[test]
fn two_distances_read_together_stay_together() {
    let pair = |first: &str, second: &str| Pair {
        first: typed(first, Unit::Millimetre),
        second: typed(second, Unit::Millimetre),
        rolled: false,
    };
    let (mine, theirs) = (pair("181", "178"), pair("190", "178.5"));
    let (job, clashes) = both(
        "rear",
        |job| job.rounds[0].rear.left.string[0] = mine.clone(),
        |job| job.rounds[0].rear.left.string[0] = theirs,
    );
    assert_eq!(job.rounds[0].rear.left.string[0], mine);
    assert_eq!(clashes.len(), 1);
    assert_eq!(clashes[0].kept, "181 mm 178 mm");
}

#[test]
fn a_sign_off_stands_for_the_value_that_was_set() {
    let mut base = whole("rear");
    let step = base
        .card
        .all_steps()
        .find(|step| step.joint.is_some())
        .unwrap()
        .clone();
    let joint = step.joint.clone().unwrap();
    let set = base.torques.get(&joint).unwrap().set.clone();
    base.marks.remove(&step.id);
    base.torques.insert(
        joint.clone(),
        SignOff {
            set: set.clone(),
            ..SignOff::default()
        },
    );
    // The other page signs off the value that stands there, while another value is typed here.
    let (mut here, mut there) = (base.clone(), base.clone());
    let other = typed("1", set.unit);
    here.torques.insert(
        joint.clone(),
        SignOff {
            set: other.clone(),
            ..SignOff::default()
        },
    );
    there.marks.insert(step.id.clone(), mark(90_000));
    there.torques.insert(
        joint.clone(),
        SignOff {
            set,
            at: Some(moment(90_000)),
            by: "Bay 2".into(),
        },
    );
    here.changed = moment(90_002);
    there.changed = moment(90_001);
    let (job, clashes) = merge_jobs(&save_job(&base), &here, &save_job(&there)).unwrap();
    assert_eq!(clashes.len(), 1);
    let kept = job.torques.get(&joint).unwrap();
    assert_eq!((&kept.set, kept.at), (&other, None));
    // So the step is open, though the other page marked it.
    let shown = bolt_up(&job);
    let row = shown
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .find(|row| row.step.id == step.id);
    assert_eq!(row.unwrap().state, StepState::Open);
}

#[test]
fn an_adjuster_turned_stays_with_what_was_measured_after_it() {
    let id = whole("rear").rounds[0]
        .taken
        .iter()
        .next()
        .unwrap()
        .0
        .to_owned();
    let (job, clashes) = both(
        "rear",
        |job| job.rounds[0].taken.place(&id).at = None,
        |job| job.rounds[0].taken.place(&id).steps += 1,
    );
    assert_eq!(clashes.len(), 1);
    let before = whole("rear").rounds[0].taken.get(&id).unwrap().clone();
    assert_eq!(
        job.rounds[0].taken.get(&id),
        Some(&Taken { at: None, ..before })
    );
}

#[test]
fn a_reading_taken_away_takes_no_part_of_another_along() {
    let (job, clashes) = both(
        "rear",
        |job| drop(job.rounds[0].rear.left.string.remove(0)),
        |job| job.rounds[0].rear.left.string[1].first.text = "200".into(),
    );
    assert_eq!(
        job.rounds[0].rear.left.string,
        [whole("rear").rounds[0].rear.left.string[1].clone()]
    );
    assert_eq!(clashes.len(), 1);
}

#[test]
fn a_stored_job_that_cannot_be_read_is_said() {
    // Saved once, the card's lengths are in millimetres to the last bit.
    let job = load_job(&save_job(&whole("rear"))).unwrap();
    let newer = save_job(&job).replacen("\"version\":1", "\"version\":99", 1);
    assert!(merge_jobs("", &job, &newer).is_err());
    assert!(merge_jobs("", &job, "").is_err());
    assert_eq!(
        merge_jobs("", &job, &save_job(&job)).unwrap(),
        (job, vec![])
    );
}

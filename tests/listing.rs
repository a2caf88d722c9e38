//! What the list of jobs says, and what a job takes along to another car.

mod common;

use common::{CARDS, card, moment, whole};
use halfturn::document::{Job, load_job, save_job};
use halfturn::station::{SectionKind, State, Station, age, bolt_up, is_found, standing};
use proptest::prelude::*;

#[test]
fn a_job_stands_at_its_first_station_that_is_not_done() {
    for name in CARDS {
        let new = Job::new("1".into(), card(name), moment(0));
        let at = standing(&new);
        assert_eq!((at.station, at.state), (Station::Unpack, State::Open));
        assert_eq!(at.progress.unwrap().done, 0);
        let done = standing(&whole(name));
        assert_eq!((done.station, done.state), (Station::Sheet, State::Done));
        assert_eq!(done.progress, None);
        let mut half = whole(name);
        let last = half.marks.iter().next().unwrap().0.to_owned();
        half.marks.remove(&last);
        let at = standing(&half);
        assert_eq!((at.station, at.state), (Station::BoltUp, State::Begun));
        let progress = at.progress.unwrap();
        assert_eq!(progress.done + 1, progress.total);
    }
}

#[test]
fn an_age_is_in_the_largest_whole_unit() {
    let second = 1000;
    for (seconds, words) in [
        (0, "just now"),
        (59, "just now"),
        (60, "1 minute ago"),
        (3599, "59 minutes ago"),
        (3600, "1 hour ago"),
        (86_399, "23 hours ago"),
        (86_400, "1 day ago"),
        (2 * 86_400, "2 days ago"),
        (400 * 86_400, "400 days ago"),
    ] {
        let words = Some(words.to_owned());
        assert_eq!(age(moment(7), moment(7) + seconds * second), words);
    }
    // A clock that was set back.
    assert_eq!(age(moment(8), moment(7)), None);
}

#[test]
fn a_search_finds_every_word_wherever_it_stands() {
    let job = whole("rear");
    for search in [
        "",
        "  ",
        "orrin",
        "BLUE",
        "thistle yard",
        "rear kit",
        "blue bay",
        "mark on its rim",
        "1600 Thistle",
    ] {
        assert!(is_found(&job, search), "{search}");
    }
    for search in ["green", "blue green", "qq", "thistleyard"] {
        assert!(!is_found(&job, search), "{search}");
    }
}

#[test]
fn the_same_kit_on_another_car_takes_nothing_of_the_first_car_along() {
    for name in CARDS {
        let first = whole(name);
        let other = first.again("8".into(), moment(99));
        let new = Job::new("8".into(), first.card.clone(), moment(99));
        assert_eq!(other.order, first.order);
        assert_eq!(other.car.by, "Bay 2");
        let bare = Job {
            order: new.order.clone(),
            car: new.car.clone(),
            ..other
        };
        assert!(bare == new);
    }
}

#[test]
fn an_archived_job_is_kept_as_one() {
    let job = load_job(&save_job(&whole("rear"))).unwrap();
    assert!(!job.archived);
    let archived = Job {
        archived: true,
        ..job
    };
    assert!(load_job(&save_job(&archived)).unwrap() == archived);
}

/// Degani and Wiener, "Human Factors of Flight-Deck Checklists" (NASA CR-177549, 1990), guidelines on checklists: long lists in
/// short groups, a completion call at the end of each, the most critical items first, and duplicated where they may kill. From memory.
#[test]
fn the_demo_cards_keep_to_the_rules_of_checklists() {
    for name in CARDS {
        let shown = bolt_up(&Job::new("1".into(), card(name), moment(0)));
        let count = shown.sections.len();
        for (place, section) in shown.sections.iter().enumerate() {
            let what = format!("{name}, {}", section.name);
            assert!(
                (5..=9).contains(&section.steps.len()),
                "{what}: {}",
                section.steps.len()
            );
            let last = section.kind == SectionKind::Final;
            assert_eq!(
                last,
                place + 2 >= count,
                "{what}: the two final lists come last"
            );
            let end = &section.steps.last().unwrap().step.text;
            // The list before the wheels take load ends with the load itself.
            let ended = end.starts_with("Confirm")
                || end.starts_with("Raise the car, take out both stands, lower it");
            assert!(ended, "{what}: {end}");
        }
        let stands_at = |section: usize, words: &str| {
            let steps = &shown.sections[section].steps;
            steps
                .iter()
                .position(|row| row.step.text.to_lowercase().contains(words))
        };
        // What may kill stands in the first half of the list before load, and first of all before the drive.
        for words in ["jam nuts", "paint mark", "brake hoses"] {
            assert!(
                stands_at(count - 2, words).is_some_and(|place| place < 5),
                "{name}: {words}"
            );
        }
        assert_eq!(stands_at(count - 1, "wheel nuts"), Some(0), "{name}");
        assert_eq!(stands_at(count - 1, "brake pedal"), Some(1), "{name}");
    }
}

proptest! {
    #[test]
    fn any_search_is_answered(search in ".{0,40}") {
        let mut job = Job { notes: search.clone(), ..Job::default() };
        prop_assert!(is_found(&job, &search));
        job.notes = "Räder".into();
        let _ = is_found(&job, &search);
    }

    #[test]
    fn any_two_moments_have_an_age_or_none(then: u64, now: u64) {
        prop_assert_eq!(age(then, now).is_some(), now >= then);
    }
}

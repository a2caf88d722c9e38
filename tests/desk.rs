//! The maker's desk: the list of fields, half-written cards, what is said of a card, advice by use, and the check of a box that ships.

mod common;

use common::{CARDS, card, moment, typed, whole};
use halfturn::document::form::{
    self, CARD, Field, Holds, blank, blank_card, give_ids, next_revision, revise, take_ids,
    typed_value, way_words,
};
use halfturn::document::{
    Answer, Finding as Found, Held, HeldWay, Job, Json, KitCard, LoadError, Outgoing, Unit,
    kit_card_schema, load_job, load_kit_card, open_draft, save_draft, save_job, save_kit_card,
};
use halfturn::quantity::Length;
use halfturn::station::{
    Finding, Slip, Weight, advice, check_card, judge_card, revision_note, slip, unpack,
};
use proptest::prelude::*;
use serde_json::Value;
use std::fs;

fn draft(name: &str) -> Json {
    open_draft(&fs::read_to_string(format!("public/cards/{name}.json")).unwrap()).unwrap()
}

fn set(card: &mut Json, way: &str, name: &str, text: &str) {
    card.set(way, name, Some(Json::Text(text.into())));
}

/// Every record of the schema has the fields that the form lists, needed or not, with the same words.
#[test]
fn the_form_lists_what_the_schema_does() {
    let schema = kit_card_schema();
    let mut seen = 0;
    record_is_listed(&schema, &schema, CARD, "card", &mut seen);
    assert!(seen > 100, "{seen} fields");
}

fn resolved<'a>(schema: &'a Value, mut one: &'a Value) -> &'a Value {
    loop {
        if let Some(way) = one["$ref"].as_str() {
            one = schema.pointer(way.trim_start_matches('#')).unwrap();
        } else if let Some(some) = one["anyOf"].as_array() {
            one = some.iter().find(|one| one["type"] != "null").unwrap();
        } else {
            return one;
        }
    }
}

fn record_is_listed(schema: &Value, record: &Value, fields: &[Field], way: &str, seen: &mut usize) {
    let record = resolved(schema, record);
    let properties = record["properties"].as_object().unwrap();
    let known: Vec<_> = properties
        .keys()
        .filter(|name| !["halfturn", "version"].contains(&name.as_str()))
        .collect();
    let mut listed: Vec<_> = fields.iter().map(|field| field.name).collect();
    listed.sort_unstable();
    assert_eq!(known, listed, "{way}");
    for field in fields {
        *seen += 1;
        let way = format!("{way}.{}", field.name);
        let property = resolved(schema, &properties[field.name]);
        let required = record["required"].as_array();
        let needed = required.is_some_and(|names| names.iter().any(|name| name == field.name));
        assert_eq!(needed, field.needed, "{way}");
        match &field.holds {
            Holds::Record(fields) => record_is_listed(schema, property, fields, &way, seen),
            Holds::Records(_, fields) => {
                record_is_listed(schema, &property["items"], fields, &way, seen);
            }
            Holds::Pair(_, fields) => {
                assert_eq!(property["minItems"], 2, "{way}");
                record_is_listed(schema, &property["items"], fields, &way, seen);
            }
            Holds::Kind(kinds) => {
                let variants = property["oneOf"].as_array().unwrap();
                assert_eq!(variants.len(), kinds.len(), "{way}");
                for variant in variants {
                    let (name, held) = variant["properties"]
                        .as_object()
                        .unwrap()
                        .iter()
                        .next()
                        .unwrap();
                    let kind = kinds.iter().find(|kind| kind.name == name).unwrap();
                    match &kind.holds {
                        Holds::Record(fields) => {
                            let way = format!("{way}.{name}");
                            record_is_listed(schema, held, fields, &way, seen);
                        }
                        _ => assert!(resolved(schema, held)["examples"].is_array(), "{way}"),
                    }
                }
            }
            Holds::Word(words) => {
                let known: Vec<_> = match property["oneOf"].as_array() {
                    Some(some) => some.iter().map(|word| word["const"].clone()).collect(),
                    None => property["enum"].as_array().unwrap().clone(),
                };
                let mut known: Vec<_> = known.iter().map(|word| word.as_str().unwrap()).collect();
                let mut listed: Vec<_> = words.iter().map(|(word, _)| *word).collect();
                known.sort_unstable();
                listed.sort_unstable();
                assert_eq!(known, listed, "{way}");
            }
            Holds::Count => assert_eq!(property["type"], "integer", "{way}"),
            Holds::Tick => assert_eq!(property["type"], "boolean", "{way}"),
            Holds::When => assert_eq!(property["type"], "object", "{way}"),
            Holds::Texts(_) | Holds::Uses | Holds::Points => {
                assert_eq!(property["items"]["type"], "string", "{way}");
            }
            Holds::Thread => assert!(property["enum"].is_array(), "{way}"),
            Holds::Quantity => assert!(property["examples"].is_array(), "{way}"),
            Holds::Id | Holds::Line | Holds::Text | Holds::Joint => {
                assert!(
                    property["enum"].is_null() && property["oneOf"].is_null(),
                    "{way}"
                );
            }
        }
    }
}

#[test]
fn a_card_goes_through_a_draft_as_it_was_written() {
    for name in CARDS {
        let draft = draft(name);
        let text = save_draft(&draft);
        assert_eq!(open_draft(&text).unwrap(), draft);
        assert_eq!(load_kit_card(&text).unwrap(), card(name));
        // Typed as "1/4 in", and still so.
        assert!(text.contains("in\""), "{name}");
        let judged = judge_card(&draft);
        assert_eq!(judged.card.unwrap(), card(name));
    }
}

#[test]
fn the_demo_cards_have_nothing_to_settle() {
    for name in CARDS {
        assert_eq!(judge_card(&draft(name)).findings, [], "{name}");
    }
}

#[test]
fn what_is_half_written_is_kept_and_every_hole_in_it_is_said() {
    let mut card = blank_card();
    set(&mut card, "", "name", "Rear kit");
    let mut part = blank(fields_of("parts"));
    part.set("", "count", typed_value(&Holds::Count, "six".into()));
    card.set("", "parts", Some(Json::List(vec![part])));
    let mut joint = blank(fields_of("joints"));
    set(&mut joint, "", "thread", "1/2-99");
    card.set("", "joints", Some(Json::List(vec![joint])));
    let text = save_draft(&card);
    assert_eq!(open_draft(&text).unwrap(), card);
    assert!(matches!(load_kit_card(&text), Err(LoadError::Invalid(_))));
    let judged = judge_card(&card);
    assert!(judged.card.is_none());
    let said: Vec<_> = judged
        .findings
        .iter()
        .filter(|finding| finding.weight == Weight::Must)
        .map(|finding| format!("{}: {}", way_words(&card, &finding.field), finding.message))
        .collect();
    for words in [
        "Who makes it: is missing: add it.",
        "The car it fits: is missing: add it.",
        "Loose parts: part 1: What it is: is missing: add it.",
        "Loose parts: part 1: How many: must be a whole number, such as 4, and is \"six\".",
        "Joints: joint 1: Tightened: is missing: add it.",
    ] {
        assert!(said.contains(&words.to_owned()), "{words}: {said:#?}");
    }
    assert!(
        said.iter()
            .any(|said| said.starts_with("Joints: joint 1: Thread: \"1/2-99\"")),
        "{said:#?}"
    );
    // The names that the person is never asked for are no hole.
    assert!(said.iter().all(|said| !said.contains("id")), "{said:#?}");
}

fn fields_of(name: &str) -> &'static [Field] {
    let field = CARD.iter().find(|field| field.name == name).unwrap();
    match &field.holds {
        Holds::Records(_, fields) => fields,
        _ => panic!("{name} is a list"),
    }
}

/// What a file holds that no field is for can be taken out, and nothing else is offered to be.
#[test]
fn what_no_form_shows_is_told_apart() {
    let mut card = draft("rear");
    let set_json = |card: &mut Json, way: &str, name: &str, text: &str| {
        card.set(way, name, Some(Json::parse(text).unwrap()));
    };
    for (way, name, text) in [
        ("parts[0]", "colour", "\"red\""),
        ("", "bags", "7"),
        ("", "notes", "[3]"),
        ("joints[1]", "thread", "[]"),
        ("adjusters[0].mechanism", "turnbuckle", "{}"),
        ("targets[0]", "toe", "\"0.1 deg\""),
        ("sections[0].steps[0]", "support", "\"yes\""),
        ("joints[2]", "when", "\"boots\""),
    ] {
        set_json(&mut card, way, name, text);
    }
    let unshown: Vec<_> = judge_card(&card)
        .findings
        .into_iter()
        .map(|finding| finding.field)
        .filter(|way| !form::is_shown(&card, way))
        .collect();
    for way in [
        "parts[0].colour",
        "bags",
        "notes[0]",
        "joints[1].thread",
        "targets[0].toe",
        "sections[0].steps[0].support",
        "joints[2].when",
    ] {
        assert!(unshown.contains(&way.to_owned()), "{way}: {unshown:?}");
        form::take_out(&mut card, way);
        assert!(card.at(way).is_none(), "{way}");
    }
    for way in [
        "parts[0].name",
        "joints[1].when.boots",
        "notes",
        "notes[1]",
        "sections[0].steps[0].caution.hazard",
        "adjusters[0].mechanism.sleeve.ends[1].shank",
    ] {
        assert!(form::is_shown(&card, way), "{way}");
    }
    assert_eq!(card.list_at("notes").len(), 0);
}

#[test]
fn a_card_from_blank_needs_what_is_asked_for_and_no_more() {
    let mut card = blank_card();
    for (name, text) in [("name", "Kit"), ("maker", "Yard"), ("fits", "Coupe")] {
        set(&mut card, "", name, text);
    }
    let judged = judge_card(&card);
    assert!(judged.card.is_some());
    let looks: Vec<_> = judged
        .findings
        .iter()
        .map(|finding| finding.field.as_str())
        .collect();
    assert_eq!(looks, ["before_load", "before_drive"]);
}

#[test]
fn names_are_made_from_what_things_are_called_and_never_stand_twice() {
    let mut card = blank_card();
    let part = |name: &str| {
        let mut part = blank(fields_of("parts"));
        if !name.is_empty() {
            set(&mut part, "", "name", name);
        }
        part
    };
    let parts = vec![
        part("Upper link, left"),
        part("Upper link, left"),
        part("½ Größe"),
        part(""),
    ];
    card.set("", "parts", Some(Json::List(parts)));
    let ids = |card: &Json| -> Vec<String> {
        card.list_at("parts")
            .iter()
            .map(|part| part.text_at("id").to_owned())
            .collect()
    };
    give_ids(&mut card, false);
    assert_eq!(
        ids(&card),
        ["upper-link-left", "upper-link-left-2", "gr-e", ""]
    );
    give_ids(&mut card, true);
    assert_eq!(
        ids(&card),
        ["upper-link-left", "upper-link-left-2", "gr-e", "part"]
    );
    // A copy gets its own, down to what it holds; what is named already keeps its name whatever it is called later.
    set(&mut card, "parts[0]", "name", "Lower link");
    let mut copy = card.list_at("parts")[0].clone();
    take_ids(&mut copy, fields_of("parts"));
    assert_eq!(copy.text_at("id"), "");
    give_ids(&mut card, true);
    assert_eq!(ids(&card)[0], "upper-link-left");
    let mut section = draft("rear").list_at("sections")[0].clone();
    take_ids(&mut section, fields_of("sections"));
    assert!(
        section
            .list_at("steps")
            .iter()
            .all(|step| step.text_at("id").is_empty())
    );
}

#[test]
fn revisions_count_up_as_shops_count() {
    for (from, to) in [
        ("4", "5"),
        ("9", "10"),
        ("2.1", "2.2"),
        ("B", "C"),
        ("2a", "2b"),
        ("Z", "Z 2"),
        ("draft", "draft 2"),
        ("", "1"),
    ] {
        assert_eq!(next_revision(from), to, "{from}");
    }
    let mut card = draft("rear");
    revise(&mut card, "Longer toe sleeves.", "2026-03-01");
    let card = judge_card(&card).card.unwrap();
    assert_eq!(card.revision, "5");
    assert_eq!(
        revision_note(&card).unwrap(),
        "New in revision 5 (2026-03-01): Longer toe sleeves."
    );
}

/// What is said anew of a demo card after a change: way and message.
fn said(name: &str, change: impl Fn(&mut KitCard)) -> Vec<(String, String)> {
    let mut card = card(name);
    change(&mut card);
    let text = save_kit_card(&card);
    load_kit_card(&text).unwrap_or_else(|error| panic!("the card is still a card: {error}"));
    check_card(&card)
        .into_iter()
        .map(|Finding { field, message, .. }| (field, message))
        .collect()
}

#[track_caller]
fn says_only(said: &[(String, String)], field: &str, words: &str) {
    match said {
        [(way, message)] => {
            assert_eq!(way, field);
            assert!(message.contains(words), "{message}");
        }
        said => panic!("one thing should be said: {said:#?}"),
    }
}

#[test]
fn bolts_and_nuts_of_a_bag_go_together() {
    says_only(
        &said("rear", |card| card.bags[1].items[2].count = 3),
        "bags[1]",
        "It holds 4 bolts and 3 nuts of 5/8-18 UNF.",
    );
}

#[test]
fn the_bags_hold_what_the_joints_take() {
    let said = said("front", |card| card.bags[0].items[0].count = 3);
    says_only(
        &said,
        "bags[0].items[0].count",
        "The joints take 4 of M10x1.25 × 30 mm, and the bags hold 3.",
    );
}

#[test]
fn a_torque_beyond_the_scatter_is_said() {
    let twice = |card: &mut KitCard| {
        card.joints[2].torque = card.joints[2].torque.map(|torque| torque * 2.0)
    };
    says_only(&said("rear", twice), "joints[2].torque", "");
}

#[test]
fn a_joint_without_any_torque_is_said() {
    let odd = |card: &mut KitCard| {
        card.joints[2].torque = None;
        card.joints[2].nut = "a nut".into();
    };
    says_only(
        &said("rear", odd),
        "joints[2].torque",
        "the fitter has to ask you",
    );
}

#[test]
fn a_joint_is_signed_off_once_and_only_in_orders_that_have_it() {
    let again = |card: &mut KitCard| card.sections[5].steps[4].joint = Some("j7".into());
    says_only(
        &said("rear", again),
        "sections[5].steps[4].joint",
        "signs off \"Upper link, outer bushing to upright, left\" already",
    );
    let always = |card: &mut KitCard| card.sections[3].steps[5].when = Default::default();
    let said = said("rear", always);
    says_only(
        &said,
        "sections[3].steps[5].joint",
        "An order that has this step has no joint",
    );
}

#[test]
fn left_and_right_go_together() {
    let arm = |card: &mut KitCard| {
        let right = card
            .adjusters
            .iter_mut()
            .find(|one| one.id == "rr-toe")
            .unwrap();
        right.toe.as_mut().unwrap().arm = Length::mm(310.0);
    };
    let place = card("rear")
        .adjusters
        .iter()
        .position(|one| one.id == "rr-toe")
        .unwrap();
    says_only(
        &said("rear", arm),
        &format!("adjusters[{place}].toe"),
        "not the same as on the left",
    );
    let lone = |card: &mut KitCard| card.adjusters.retain(|one| one.id != "rr-toe");
    says_only(
        &said("rear", lone),
        "adjusters[0].name",
        "Nothing of this name is at the right rear corner",
    );
    let part = |card: &mut KitCard| card.parts.retain(|part| part.id != "p-upper-link-r");
    says_only(
        &said("rear", part),
        "parts[0].hand",
        "add \"Upper link, right, rubber bushing pressed in\"",
    );
    let two = |card: &mut KitCard| card.parts[1].count = 2;
    assert_eq!(said("rear", two).len(), 2);
}

#[test]
fn a_base_setting_leaves_thread_and_room() {
    // 1/2-20: 0.5 in across, so 17.5 mm engaged is 1.4 d; the insert is as deep.
    let short = |card: &mut KitCard| {
        for adjuster in card
            .adjusters
            .iter_mut()
            .filter(|one| one.name == "Toe link")
        {
            let halfturn::adjuster::Mechanism::Sleeve(sleeve) = &mut adjuster.mechanism else {
                panic!("a sleeve");
            };
            for end in &mut sleeve.ends {
                end.insert_depth = Length::mm(17.5);
                end.shank = end.base_showing + end.jam_nut + end.unthreaded_lead + Length::mm(17.5);
            }
        }
    };
    let said_of = said("rear", short);
    assert!(
        said_of
            .iter()
            .any(|(way, message)| way == "adjusters[0].mechanism"
                && message
                    .contains("the base setting leaves 1.4 d engaged, and 1.5 d is preferred")),
        "{said_of:#?}"
    );
    let flush = |card: &mut KitCard| {
        for adjuster in card
            .adjusters
            .iter_mut()
            .filter(|one| one.name == "Tie rod")
        {
            let halfturn::adjuster::Mechanism::RodEnd(rod) = &mut adjuster.mechanism else {
                panic!("a rod end");
            };
            rod.end.base_showing = Length::ZERO;
        }
    };
    let said_of = said("front", flush);
    assert_eq!(said_of.len(), 2, "{said_of:#?}");
    assert!(
        said_of[0].1.contains("not one step to shorten"),
        "{said_of:#?}"
    );
}

#[test]
fn sections_are_of_a_length_and_confirm_their_end() {
    let short = |card: &mut KitCard| {
        card.sections[0].steps.drain(2..6);
    };
    says_only(
        &said("rear", short),
        "sections[0]",
        "It has 4 steps in one order",
    );
    let open = |card: &mut KitCard| {
        card.sections[0].steps.pop();
    };
    says_only(
        &said("rear", open),
        "sections[0]",
        "does not confirm that the section is complete",
    );
    let none = |card: &mut KitCard| card.before_load.clear();
    says_only(
        &said("rear", none),
        "before_load",
        "Nothing is gone over before the wheels take load.",
    );
}

#[test]
fn a_raised_car_is_warned_of_and_held() {
    let mute = |card: &mut KitCard| {
        for step in card
            .sections
            .iter_mut()
            .take(2)
            .flat_map(|section| &mut section.steps)
        {
            step.caution = None;
        }
    };
    says_only(
        &said("rear", mute),
        "sections[1].raised",
        "no DANGER or WARNING",
    );
    let loose = |card: &mut KitCard| {
        for step in card
            .sections
            .iter_mut()
            .take(2)
            .flat_map(|section| &mut section.steps)
        {
            step.support = false;
        }
    };
    says_only(&said("rear", loose), "sections[1].raised", "holding it up");
}

#[test]
fn options_and_uses_that_nothing_asks_for_are_said() {
    let idle = |card: &mut KitCard| {
        let mut option = card.options[0].clone();
        option.id = "colour".into();
        card.options.push(option);
        let mut one = card.uses[0].clone();
        one.id = "trailer".into();
        card.uses.push(one);
    };
    let said = said("rear", idle);
    assert_eq!(said.len(), 2, "{said:#?}");
    assert_eq!(
        (said[0].0.as_str(), said[1].0.as_str()),
        ("options[3]", "uses[2]")
    );
}

#[test]
fn advice_must_be_for_a_use_of_the_card() {
    let mut card = draft("rear");
    card.set(
        "advice[0]",
        "uses",
        Some(Json::List(vec![Json::Text("moon".into())])),
    );
    let judged = judge_card(&card);
    assert_eq!(judged.findings[0].field, "advice[0].uses");
    card.set("advice[0]", "uses", Some(Json::List(Vec::new())));
    assert!(judge_card(&card).card.is_none());
}

#[test]
fn advice_follows_the_uses_and_the_order_of_a_job() {
    let mut job = whole("rear");
    assert_eq!(advice(&job), Vec::<String>::new());
    job.uses = vec!["winter".into()];
    assert_eq!(
        advice(&job),
        ["Driven all winter: Fit the rod-end boots before the first salted road."]
    );
    job.order.insert("boots".into(), "with".into());
    assert!(advice(&job)[0].contains("turn each boot back"));
    job.uses.push("track".into());
    assert_eq!(
        advice(&job)[1],
        "Track days: Check every joint and jam nut again after each day."
    );
    let sheet = halfturn::sheet::sheet(&job, &Default::default());
    assert_eq!(sheet.advice, advice(&job));
    let text = halfturn::sheet::plain_text(&sheet, &|_| String::new());
    assert!(text.contains("Track days: Check every joint"), "{text}");
}

/// A box of which everything is there and right.
fn boxed(name: &str) -> Job {
    let mut job = Job::new("1".into(), card(name), moment(0));
    job.outgoing = Some(Outgoing {
        order: "417, M. Ohm".into(),
        ..Outgoing::default()
    });
    job.car.by = "Bench 1".into();
    for row in unpack(&job).groups.iter().flat_map(|group| &group.rows) {
        job.counts.insert(
            row.id.clone(),
            typed(&row.expected.to_string(), Unit::Count),
        );
    }
    for row in unpack(&job).fits {
        job.findings.insert(
            row.check.id,
            Found {
                answer: Some(Answer::Right),
                ..Found::default()
            },
        );
    }
    job
}

fn opened(job: &Job) -> Slip {
    // What is kept is what is shown.
    let kept = load_job(&save_job(job)).unwrap();
    assert_eq!(slip(&kept), slip(job));
    slip(job)
}

#[test]
fn a_whole_box_ships() {
    for name in CARDS {
        let job = boxed(name);
        let shown = opened(&job);
        assert_eq!(shown.open, Vec::<String>::new(), "{name}");
        assert_eq!(shown.order, "417, M. Ohm");
        let lines: Vec<_> = shown.groups.iter().flat_map(|group| &group.lines).collect();
        assert!(
            lines.len() > 30
                && lines
                    .iter()
                    .all(|line| line.ships == Some(line.ordered) && line.later == 0)
        );
        // The car's own holes are not in the shop, and no car is measured.
        assert!(!shown.tried.is_empty() && shown.tried.len() < job.card.fit_checks.len());
        assert!(shown.tried.iter().all(|line| !line.starts_with("Upright")
            && !line.starts_with("Floor")
            && !line.starts_with("Bulkhead")
            && !line.starts_with("Half-shaft")));
        assert!(unpack(&job).distances.is_empty());
    }
}

#[test]
fn a_box_ships_only_as_the_options_of_its_order_say() {
    let mut job = boxed("rear");
    let lines = slip(&job)
        .groups
        .iter()
        .map(|group| group.lines.len())
        .sum::<usize>();
    job.order.insert("boots".into(), "with".into());
    let with = slip(&job);
    assert!(
        with.groups
            .iter()
            .map(|group| group.lines.len())
            .sum::<usize>()
            > lines
    );
    assert_eq!(with.open, ["3 lines are not counted yet."]);
    let lines = with.groups.iter().flat_map(|group| &group.lines);
    assert_eq!(lines.filter(|line| line.ships.is_none()).count(), 3);
}

#[test]
fn a_short_box_is_held_or_sent_after_and_never_quietly_shipped() {
    let mut job = boxed("rear");
    job.counts.insert("a5".into(), typed("7", Unit::Count));
    assert!(slip(&job).open[0].ends_with("3 short. Hold the box for it, or send it after."));
    let held = |way, note: &str| Held {
        way,
        note: note.into(),
    };
    let mut put = |way, note| {
        job.outgoing
            .as_mut()
            .unwrap()
            .held
            .insert("a5".into(), held(way, note));
        opened(&job)
    };
    let hold = put(HeldWay::Hold, "Tuesday");
    assert!(
        hold.open[0].ends_with("3 short, the box is held for it (Tuesday)."),
        "{:?}",
        hold.open
    );
    let after = put(HeldWay::BackOrder, "in two weeks");
    assert_eq!(after.open, Vec::<String>::new());
    assert_eq!(
        after.back_ordered,
        ["3 × All-metal lock nut, zinc plated, 1/2-20 UNF, C (in two weeks)"]
    );
    let line = after
        .groups
        .iter()
        .flat_map(|group| &group.lines)
        .find(|line| line.later > 0)
        .unwrap();
    assert_eq!((line.ordered, line.ships, line.later), (10, Some(7), 3));
}

#[test]
fn what_is_wrong_with_a_box_keeps_it() {
    let mut job = boxed("rear");
    job.counts.insert("a5".into(), typed("12", Unit::Count));
    job.counts.insert("a6".into(), typed("some", Unit::Count));
    job.counts.insert("b1".into(), typed("", Unit::Count));
    job.car.by = " ".into();
    let thread = "fit-toe-thread-outer-l";
    job.findings.insert(
        thread.into(),
        Found {
            answer: Some(Answer::Wrong),
            ..Found::default()
        },
    );
    let hole = "fit-bracket-hole-l";
    let wide = vec![typed("16", Unit::Millimetre)];
    job.findings.insert(
        hole.into(),
        Found {
            hole: wide,
            ..Found::default()
        },
    );
    job.findings.remove("fit-finish-r");
    let open = opened(&job).open;
    for words in [
        "2 too many, take out what was not ordered.",
        "its count cannot be read.",
        "1 line is not counted yet.",
        "outer rod end run in along its whole length: tight spot, or will not start. Put in another one",
        "base hole on its 1/2 in bolt: hole ",
        "1 hole, thread or other fit is not tried yet.",
        "Nobody is named as having checked it.",
    ] {
        assert!(
            open.iter().any(|line| line.contains(words)),
            "{words}: {open:#?}"
        );
    }
}

/// Ways and values to throw at a card.
fn edits() -> impl Strategy<Value = Vec<(String, String, Option<String>)>> {
    let ways = prop::sample::select(vec![
        "",
        "parts[0]",
        "bags[0].items[1]",
        "joints[3]",
        "adjusters[0].mechanism.sleeve.ends[1]",
        "adjusters[1].toe",
        "targets[0].camber",
        "sections[1].steps[2].caution",
        "options[0].choices[1]",
        "advice[0]",
        "revisions[0]",
        "fit_checks[0].when",
        "nowhere.at[9].all",
        "parts[99]",
    ]);
    let names = prop::sample::select(vec![
        "id",
        "name",
        "count",
        "thread",
        "length",
        "hand",
        "shank",
        "when",
        "uses",
        "text",
        "joint",
        "aim",
        "mechanism",
        "steps",
        "ends",
    ]);
    let values = prop::option::of(prop_oneof![
        any::<String>(),
        "[0-9]{1,12}",
        "-?[0-9]{1,3} ?(mm|in|deg)",
        "[A-Za-z ]{0,60}"
    ]);
    prop::collection::vec(
        (
            ways.prop_map(String::from),
            names.prop_map(String::from),
            values,
        ),
        0..12,
    )
}

proptest! {
    /// Whatever is typed where: it is kept as it is, judged without a panic, and a card that needs nothing settled loads.
    #[test]
    fn any_edit_is_kept_and_judged(edits in edits(), name in prop::sample::select(CARDS.to_vec())) {
        let mut card = draft(name);
        for (way, field, value) in edits {
            let holds = if field == "count" { Holds::Count } else { Holds::Line };
            card.set(&way, &field, value.and_then(|text| typed_value(&holds, text)));
        }
        give_ids(&mut card, true);
        let text = save_draft(&card);
        prop_assert_eq!(&open_draft(&text).unwrap(), &card);
        let judged = judge_card(&card);
        prop_assert_eq!(judged.card.is_some(), load_kit_card(&text).is_ok());
        for finding in &judged.findings {
            prop_assert!(!way_words(&card, &finding.field).is_empty());
        }
        let _ = form::title(&card, "card", 0);
    }
}

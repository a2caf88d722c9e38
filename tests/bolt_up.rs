//! Torques: the working, what a joint of a card is tightened to and why, sign-off, jam nuts, and the chart for the wall.

mod common;

use common::{CARDS, card, moment, typed, whole};
use halfturn::adjuster::{Mechanism, Sleeve};
use halfturn::document::{
    Adjuster, Job, Joint, Preferences, SignOff, Tighten, Unit, load_job, problems_of_card, save_job,
};
use halfturn::hardware::{
    Condition, Fastening, Given, Grade, Mate, Member, Nut, Thread, hex_nut, tighten,
};
use halfturn::quantity::{Length, Torque, TorqueUnit};
use halfturn::station::{
    ASK, TorqueFrom, TorqueSet, base, bolt_words, joint_torque, lock, signer, tool_words,
    torque_chart, torque_set, turn,
};

fn fastening(thread: &str, grade: Grade, mate: Mate, condition: Condition) -> Fastening {
    Fastening::new(Thread::parse(thread).unwrap(), grade, mate, condition)
}

/// By hand: 0.1599 in² (ASME B1.1) × 120 ksi (SAE J429) = 19 190 lbf = 85.4 kN; bearing ring (0.93 × 19.05 + 14.29) / 2 = 16.00 mm.
#[test]
fn the_working_puts_the_numbers_in() {
    let nut = Mate::Nut(Nut::LockC);
    let bolt = fastening("1/2-20", Grade::Sae8, nut, Condition::ZincDry);
    let bolt = tighten(&bolt).unwrap();
    let working = bolt.working(TorqueUnit::NewtonMetre);
    let lines: Vec<_> = working.lines().collect();
    assert_eq!(
        lines,
        [
            "the bolt: proof stress × As = 827 MPa × 103.2 mm² = 85.4 kN",
            "F = share × that = 0.75 × 85.4 kN = 64.0 kN",
            "T = K d F = 0.200 × 12.700 mm × 64.0 kN = 163 N·m",
            "that torque clamps 39.6 kN to 86.4 kN: ±35 %, less 5 % of settling at the low end",
            "",
            "by friction, the same F:",
            "T = F (P/2π + 0.577 μ d2 + μ Db/2)",
            "μ 0.20: 64.0 kN × (1.270/6.283 + 0.577 × 0.20 × 11.875 + 0.20 × 16.002/2) mm = 203 N·m",
            "μ 0.35: 64.0 kN × (1.270/6.283 + 0.577 × 0.35 × 11.875 + 0.35 × 16.002/2) mm = 346 N·m",
        ]
    );
    // In pounds the same, in units that multiply as they stand: 0.2 × 0.5 in × 14 391 lbf is 1439 lbf·in.
    let pounds = bolt.working(TorqueUnit::PoundFoot);
    assert!(
        pounds.contains("T = K d F = 0.200 × 0.5000 in × 14391 lbf = 1439 lbf·in = 120 lbf·ft"),
        "{pounds}"
    );
    // No class of VDI 2230, no friction form.
    let cadmium = fastening("M12x1.25", Grade::Iso10_9, nut, Condition::CadmiumDry);
    let working = tighten(&cadmium).unwrap().working(TorqueUnit::NewtonMetre);
    assert_eq!(working.lines().count(), 4);
}

/// A 1/2-20 grade 8 bolt with its lock nut, zinc plated and dry, without a torque on the card.
fn joint() -> Joint {
    Joint {
        id: "j".into(),
        name: "Link to bracket, left".into(),
        count: 1,
        thread: Thread::parse("1/2-20 UNF").unwrap(),
        grade: "8".into(),
        nut: "all-metal lock nut, grade C".into(),
        condition: "zinc plated, dry".into(),
        tighten: Tighten::OnStands,
        ..Joint::default()
    }
}

fn newton_metres(count: f64) -> Option<Torque> {
    Some(Torque::newton_metres(count))
}

#[test]
fn words_of_a_card_are_understood_or_not() {
    for (text, condition) in [
        ("zinc plated, dry", Some(Condition::ZincDry)),
        ("Zinc plated, threads oiled", Some(Condition::Oiled)),
        ("plain, free of oil", Some(Condition::PlainDry)),
        ("uncoated, dry", Some(Condition::PlainDry)),
        ("copper anti seize", Some(Condition::AntiSeize)),
        ("zinc, medium threadlocker", Some(Condition::Threadlocker)),
        // Their friction is their maker's to tell: nothing is guessed from the word dry.
        ("PTFE coated, dry", None),
        ("dry film lubricant", None),
        ("zinc flake, dry", None),
        ("nickel plated, dry", None),
        ("", None),
        ("as supplied", None),
    ] {
        assert_eq!(Condition::parse(text), condition, "{text:?}");
    }
}

#[test]
fn a_torque_is_the_cards_or_computed_or_asked_for() {
    let mut joint = joint();
    let torque = joint_torque(&joint);
    assert_eq!(torque.from, TorqueFrom::Computed);
    assert_eq!(torque.words(&Preferences::default()), "163 N·m");
    let basis = torque.basis();
    assert!(
        basis.starts_with("COMPUTED, not from the card: 75 % of the proof load of grade 8 (SAE J429); zinc plated, dry: K 0.20"),
        "{basis}"
    );
    assert_eq!(
        torque.range(&Preferences::default()),
        "By the scatter of friction 106 N·m to 220 N·m may as well be right."
    );
    assert!(torque.notes[0].starts_with("The lock nut turns hard before it clamps"));

    joint.torque = newton_metres(142.0);
    let torque = joint_torque(&joint);
    assert_eq!(
        (torque.from, torque.wanted, &torque.warning),
        (TorqueFrom::Card, joint.torque, &None)
    );
    assert_eq!(torque.basis(), "The kit maker's, from the card.");
    let range = torque.range(&Preferences::default());
    assert_eq!(
        range,
        "Computed beside it: 163 N·m. By the scatter of friction 106 N·m to 220 N·m may as well be right."
    );

    // What is not understood is named, and gives no number.
    type Change = fn(&mut Joint);
    let bad: [(Change, &str); 7] = [
        (
            |joint| joint.grade = "hard".into(),
            "Grade \"hard\": The grade is not known here",
        ),
        (
            |joint| joint.grade = "8.9".into(),
            "Grade \"8.9\": The grade is not known here",
        ),
        (
            |joint| joint.condition = "as supplied".into(),
            "Finish \"as supplied\" is not understood",
        ),
        (
            |joint| joint.nut = "the car's own".into(),
            "Nut \"the car's own\" is not understood",
        ),
        (
            |joint| joint.nut = "tapped in the rack".into(),
            "Nut \"tapped in the rack\" is not understood",
        ),
        (
            |joint| joint.nut = "tapped in aluminium, 80 mm deep".into(),
            "Thread engaged in a tapped hole",
        ),
        (
            |joint| {
                joint.grade = "9.8".into();
                joint.thread = Thread::parse("M20").unwrap();
            },
            "class 9.8 is not made above 16 mm",
        ),
    ];
    for (change, why) in bad {
        let mut joint = self::joint();
        change(&mut joint);
        let torque = joint_torque(&joint);
        assert_eq!((torque.from, torque.wanted), (TorqueFrom::Nowhere, None));
        assert_eq!(torque.words(&Preferences::default()), ASK);
        let basis = torque.basis();
        assert!(
            basis.starts_with(&format!("Not on the card, and not computed. {why}")),
            "{basis}"
        );
        assert_eq!(torque.range(&Preferences::default()), "");
        // The maker's torque holds whatever is not understood.
        joint.torque = newton_metres(100.0);
        let torque = joint_torque(&joint);
        assert_eq!(
            (torque.from, torque.wanted),
            (TorqueFrom::Card, joint.torque)
        );
    }
}

#[test]
fn a_card_torque_is_held_against_the_computed_one() {
    let judged = |change: fn(&mut Joint), torque: f64| {
        let mut joint = joint();
        change(&mut joint);
        joint.torque = newton_metres(torque);
        let torque = joint_torque(&joint);
        assert_eq!(torque.wanted, joint.torque, "the card's holds all the same");
        torque.warning.unwrap_or_default()
    };
    let same: fn(&mut Joint) = |_| {};
    // Computed: 163 N·m of 75 % of proof, so 217 N·m is proof and 235 N·m yields (120 and 130 ksi of SAE J429).
    assert_eq!(judged(same, 163.0), "");
    assert_eq!(judged(same, 107.0), "");
    assert!(judged(same, 105.0).contains("below the published scatter"));
    assert_eq!(judged(same, 216.0), "");
    assert!(judged(same, 218.0).contains("loads the bolt beyond what it is proved for"));
    assert!(judged(same, 236.0).contains("yields the bolt"));
    let weak: fn(&mut Joint) = |joint| joint.nut = "lock nut, grade B".into();
    assert!(judged(weak, 163.0).contains("loads the nut beyond what it is proved for"));
    let thin: fn(&mut Joint) = |joint| joint.nut = "jam nut, grade 5".into();
    assert!(judged(thin, 163.0).contains("loads the thin nut beyond what it is proved for"));
    // An unknown nut may be the weaker one: a low torque says nothing, one that yields the bolt does.
    let unknown: fn(&mut Joint) = |joint| joint.nut = "the car's own".into();
    assert_eq!(judged(unknown, 80.0), "");
    assert!(judged(unknown, 236.0).contains("yields the bolt"));
}

#[test]
fn a_bare_number_on_a_metric_thread_is_no_grade() {
    let mut joint = joint();
    (joint.thread, joint.torque) = (Thread::parse("M12x1.25").unwrap(), None);
    (joint.grade, joint.nut) = ("8".into(), "nut, class 8".into());
    let torque = joint_torque(&joint);
    assert_eq!(torque.wanted, None);
    let why = torque.computed.unwrap_err();
    assert!(why.contains("write its class, such as 8.8"), "{why}");
    joint.grade = "SAE 8".into();
    assert!(joint_torque(&joint).wanted.is_some());
}

#[test]
fn a_metric_class_on_an_inch_thread_is_allowed_and_said() {
    let mut joint = joint();
    (joint.grade, joint.nut) = ("8.8".into(), "nut, class 8".into());
    let torque = joint_torque(&joint);
    assert_eq!(torque.from, TorqueFrom::Computed);
    assert!(
        torque.notes.iter().any(|note| note.contains("two systems")),
        "{:?}",
        torque.notes
    );
}

#[test]
fn tools_and_bolts_are_said_as_they_are_sold() {
    let mut joint = joint();
    joint.length = Some(Length::inches(2.5));
    assert_eq!(bolt_words(&joint), "1 of 1/2-20 UNF × 2 1/2 in, grade 8");
    assert_eq!(
        tool_words(&joint),
        "By standard 3/4 in for the bolt, 3/4 in for a nut: try it first"
    );
    joint.grade = "A574".into();
    assert!(tool_words(&joint).contains("3/8 in hex key"));
    joint.tools = "a socket".into();
    assert_eq!(tool_words(&joint), "a socket");
    joint.tools.clear();
    (joint.thread, joint.grade) = (Thread::parse("M12x1.25").unwrap(), "hard".into());
    assert_eq!(
        tool_words(&joint),
        "By standard 18 mm for the bolt, 18 mm for a nut (19 mm where it is made to DIN): try it first"
    );
    assert_eq!(bolt_words(&joint), "1 of M12x1.25 × 63.5 mm, hard");
}

/// Every joint of a demo card has a torque, the maker's agrees with the computed one, and one is computed.
#[test]
fn the_demo_cards_agree_with_what_is_computed() {
    for name in CARDS {
        let card = card(name);
        assert_eq!(problems_of_card(&card), []);
        let mut computed = 0;
        for joint in &card.joints {
            let torque = joint_torque(joint);
            assert!(torque.wanted.is_some(), "{name} {}", joint.id);
            assert_eq!(torque.warning, None, "{name} {}", joint.id);
            let beside = torque.computed.unwrap();
            assert_eq!(beside.weakest, Member::Bolt, "{name} {}", joint.id);
            if let Some(given) = joint.torque {
                assert_eq!(beside.judge(given), Given::Agrees, "{name} {}", joint.id);
            } else {
                computed += 1;
            }
            // Only the steering rack and the car's own wheel nuts are not the kit's to grade.
            let unknown = Mate::parse(&joint.nut) == Mate::Unknown;
            assert_eq!(
                unknown,
                joint.nut.contains("rack") || joint.nut.contains("car's own"),
                "{}",
                joint.nut
            );
        }
        assert_eq!(computed, 2, "{name}");
    }
}

#[test]
fn a_card_that_asks_too_much_loads_and_is_warned_of() {
    let mut card = card("rear");
    card.joints[0].torque = newton_metres(900.0);
    card.joints[1].grade = "unheard of".into();
    assert_eq!(problems_of_card(&card), []);
    let job = Job::new("1".into(), card, moment(0));
    let chart = torque_chart(&job);
    let notes: Vec<_> = chart.rows.iter().flat_map(|row| &row.notes).collect();
    assert!(notes.iter().any(|note| note.contains("yields the bolt")));
    assert!(notes.iter().any(|note| note.contains("unheard of")));
}

#[test]
fn what_is_set_is_held_against_the_torque_wanted() {
    let joint = joint();
    let wanted = joint_torque(&joint).wanted;
    let mut job = whole("rear");
    let mut set = |text: &str, wanted| {
        let set = typed(text, Unit::NewtonMetre);
        job.torques.insert(
            joint.id.clone(),
            SignOff {
                set,
                ..SignOff::default()
            },
        );
        torque_set(&job, &joint, wanted)
    };
    assert!(matches!(set("163", wanted), TorqueSet::Set(_)));
    assert!(matches!(set("180", wanted), TorqueSet::Off { .. }));
    // Nothing is known: what was set stands.
    assert!(matches!(set("180", None), TorqueSet::Set(_)));
}

#[test]
fn a_sign_off_keeps_its_name_and_gives_it_to_the_next() {
    let mut job = whole("rear");
    job.car.by = "Bay 3".into();
    job.torques = Default::default();
    assert_eq!(signer(&job), "Bay 3");
    for (id, by, at) in [
        ("j2", "Kim", Some(5)),
        ("j1", "Ada", Some(9)),
        ("j3", "Bo", None),
    ] {
        let sign_off = job.torques.place(id);
        (sign_off.by, sign_off.at) = (by.into(), at.map(moment));
    }
    assert_eq!(
        signer(&job),
        "Ada",
        "the last who signed, not who only typed"
    );
    let text = save_job(&job);
    assert_eq!(load_job(&text).unwrap().torques, job.torques);
    // A job from before names were kept.
    let before = text.replace(",\"by\":\"Ada\"", "");
    assert!(before.len() < text.len());
    let loaded = load_job(&before).unwrap();
    assert_eq!(loaded.torques.get("j1").unwrap().by, "");
    assert_eq!(signer(&loaded), "Kim");
}

fn adjuster<'a>(job: &'a mut Job, id: &str) -> &'a mut Adjuster {
    let mut all = job.card.adjusters.iter_mut();
    all.find(|adjuster| adjuster.id == id).unwrap()
}

/// By hand, 1/2-20 jam nut grade 5: 0.1599 in² × 65 ksi (SAE J995, fine) × 75 % × 0.20 × 12.7 mm = 88 N·m.
#[test]
fn a_jam_nut_never_gets_the_torque_of_a_full_nut() {
    let mut job = whole("rear");
    let words = Preferences::default();
    let (card, toe) = (job.card.clone(), adjuster(&mut job, "lr-toe").clone());
    let given = lock(&card, &toe).unwrap();
    assert_eq!(
        (given.from, given.nut),
        (TorqueFrom::Card, Some("jam nut grade 5"))
    );
    assert_eq!(given.warning, None);
    assert_eq!(given.sentence(&words), "Then lock it again at 54 N·m.");

    let bare = Adjuster {
        lock_torque: None,
        ..toe.clone()
    };
    let own = lock(&card, &bare).unwrap();
    assert_eq!(own.from, TorqueFrom::Computed);
    assert_eq!(words.torque(own.torque), "88 N·m");
    assert_eq!(
        own.sentence(&words),
        "Then lock it again at 88 N·m: COMPUTED for a jam nut grade 5, plain and dry, not from the card. Never a full nut's torque."
    );
    let full = joint_torque(&joint()).wanted.unwrap();
    assert!(own.torque < full);

    // A full nut's torque on it is said at the Base station and in the plan.
    adjuster(&mut job, "lr-toe").lock_torque = Some(full);
    let above = "The card's lock torque of 163 N·m is more than a jam nut grade 5 bears";
    let rows = base(&job).rows;
    let row = rows.iter().find(|row| row.adjuster.id == "lr-toe").unwrap();
    assert!(row.notes[0].starts_with(above), "{:?}", row.notes);
    let others = rows.iter().filter(|row| row.adjuster.id != "lr-toe");
    assert!(
        others
            .flat_map(|row| &row.notes)
            .all(|note| !note.contains("lock torque"))
    );
    job.rounds.truncate(1);
    job.rounds[0].taken = Default::default();
    let plan = turn(&job, 0).unwrap();
    let rows: Vec<_> = plan
        .corners
        .iter()
        .flat_map(|corner| &corner.rows)
        .collect();
    let row = rows.iter().find(|row| row.adjuster.id == "lr-toe").unwrap();
    assert!(row.lock.as_ref().unwrap().sentence(&words).contains(above));

    // A nut of no known class is the weaker one of its standard; a full nut is not judged as a thin one; a cam has none.
    let mut unnamed = card.clone();
    unnamed.bags.clear();
    assert_eq!(lock(&unnamed, &bare).unwrap().nut, Some("jam nut grade 5"));
    let mut thick = bare.clone();
    if let Mechanism::Sleeve(sleeve) = &mut thick.mechanism {
        for end in &mut sleeve.ends {
            end.jam_nut = hex_nut(end.thread).unwrap().thickness;
        }
    }
    assert_eq!(lock(&card, &thick), None);
    let front = common::card("front");
    let mut cam = front.adjusters[2].clone();
    assert!(matches!(cam.mechanism, Mechanism::CamBolt(_)));
    assert_eq!(lock(&front, &cam).unwrap().warning, None);
    cam.lock_torque = None;
    assert_eq!(lock(&front, &cam), None);
    let tie = Adjuster {
        lock_torque: None,
        ..front.adjusters[0].clone()
    };
    assert_eq!(lock(&front, &tie).unwrap().nut, Some("thin nut class 05"));
    let mut unnamed = front.clone();
    unnamed.bags.clear();
    assert_eq!(lock(&unnamed, &tie).unwrap().nut, Some("thin nut class 04"));
}

#[test]
fn the_chart_holds_every_joint_once() {
    for name in CARDS {
        let job = whole(name);
        let chart = torque_chart(&job);
        let ordered = job.torques.len();
        let joints = chart.rows.iter().filter(|row| row.state != "once set");
        let each = joints.map(|row| if row.side == "left and right" { 2 } else { 1 });
        assert_eq!(each.sum::<usize>(), ordered, "{name}");
        assert!(chart.rows.iter().all(|row| !row.name.ends_with("left")));
        assert_eq!(
            chart
                .rows
                .iter()
                .filter(|row| row.from == TorqueFrom::Computed)
                .count(),
            1
        );
        insta::assert_debug_snapshot!(format!("chart_{name}"), chart);
    }
    // A sleeve of two threads has a nut on each.
    let mut job = whole("rear");
    for adjuster in &mut job.card.adjusters {
        if let Mechanism::Sleeve(Sleeve { ends: [_, inner] }) = &mut adjuster.mechanism {
            inner.thread = Thread::parse("5/8-18 UNF").unwrap();
        }
    }
    let rows = torque_chart(&job).rows;
    let sleeve = rows.iter().find(|row| row.name == "Toe link, jam nut");
    assert_eq!(
        sleeve.unwrap().bolt,
        "1 of 1/2-20 UNF and 1 of 5/8-18 UNF, jam nut grade 5"
    );
    // What differs in more than its side has a row of its own.
    let mut job = whole("rear");
    let before = torque_chart(&job).rows.len();
    job.card.joints[0].torque = newton_metres(58.0);
    let rows = torque_chart(&job).rows;
    assert_eq!(rows.len(), before + 1);
    let bracket: Vec<_> = rows
        .iter()
        .filter(|row| row.name == "Upper bracket to subframe")
        .map(|row| (row.side, row.newton_metres.as_str()))
        .collect();
    assert_eq!(bracket, [("left", "58 N·m"), ("right", "60 N·m")]);
    // Nothing known is asked for, and has no number.
    job.card.joints[0].torque = None;
    job.card.joints[0].condition = "as supplied".into();
    let rows = torque_chart(&job).rows;
    assert_eq!(
        (rows[0].newton_metres.as_str(), rows[0].pound_feet.as_str()),
        (ASK, "")
    );
}

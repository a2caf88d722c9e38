//! Tightening, grades, holes, adapters and unknown threads: what is refused, what limits a joint, and the round trips. The tables of standards
//! are in `published_values`.

use approx::assert_relative_eq;
use halfturn::hardware::{
    AdapterError, Condition, Fastening, Fit, Given, Grade, GradeError, HeadMark, HoleError, Mate,
    Member, Nut, Series, Thread, TighteningError, clearance_hole, identify, jam_nut, judge_hole,
    least_prevailing_torque, threads, tighten, torque_by_friction, wrench_setting, wrenches,
};
use halfturn::quantity::{
    Angle, ForceUnit, Length, Stress, StressUnit, Torque, TorqueUnit, document_stress,
    read_number_of, read_stress, write_force, write_stress,
};
use proptest::prelude::*;

#[track_caller]
fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|error| panic!("\"{text}\" {error}"))
}

fn joint(text: &str, grade: Grade) -> Fastening {
    let mate = Mate::Nut(Nut::for_bolt(grade));
    Fastening::new(thread(text), grade, mate, Condition::PlainDry)
}

#[test]
fn limits_nest_and_a_bolt_enters_its_nut() {
    for thread in threads() {
        let (name, limits) = (thread.designation(), thread.limits());
        for span in [
            limits.bolt_major,
            limits.bolt_pitch,
            limits.nut_pitch,
            limits.nut_minor,
        ] {
            assert!(span.least < span.most, "{name}: {span:?}");
        }
        assert!(limits.bolt_major.most < thread.diameter(), "{name}");
        assert!(limits.bolt_pitch.most < limits.nut_pitch.least, "{name}");
        // The finest threads hold by their crests alone in the worst case.
        assert!(limits.nut_minor.most < limits.bolt_major.least, "{name}");
        // A bolt's thread is cut at a smaller diameter than its nut's, and shears there over less metal.
        assert!(
            thread.bolt_shear_per_length() < thread.nut_shear_per_length(),
            "{name}"
        );
        let areas = thread.nominal_stress_area() / thread.stress_area();
        assert!((areas - 1.0).abs() < 4e-3, "{name}: {areas}");
    }
}

/// ASME B1.1's formula with the standard library's cube root.
#[test]
fn the_pitch_tolerance_is_its_formula_to_the_last_digits() {
    for thread in threads().filter(|thread| thread.is_inch()) {
        let (d, p) = (thread.diameter().as_inches(), thread.pitch().as_inches());
        let engaged = match thread.series() {
            Series::Unc | Series::Unf => d,
            _ => 9.0 * p,
        };
        let formula = 0.0015 * d.cbrt() + 0.0015 * engaged.sqrt() + 0.015 * (p * p).cbrt();
        let got = thread.pitch_tolerance().as_inches();
        assert_relative_eq!(got, formula, max_relative = 1e-14);
    }
}

#[test]
fn a_grade_is_read_as_people_write_it() {
    for grade in Grade::ALL {
        for text in [
            grade.key().to_owned(),
            grade.name(),
            grade.key().to_ascii_lowercase(),
        ] {
            assert_eq!(Grade::parse(&text), Ok(grade), "{text}");
        }
    }
    assert_eq!(Grade::parse(" SAE grade 8 "), Ok(Grade::Sae8));
    assert_eq!(Grade::parse("Gr.5"), Ok(Grade::Sae5));
    for text in [
        "", "9", "10", "8,8", "grade", "C", "super 8", "A2", "8.8.8", "🔩",
        // ISO 898-1 has classes, and no 8 among them: on a metric bolt it is no SAE J429 grade 8.
        "class 8", "class 5", "ISO 8",
    ] {
        assert_eq!(Grade::parse(text), Err(GradeError::Unknown), "{text}");
    }
    assert!(GradeError::Unknown.to_string().contains("4.6 to 12.9"));
}

/// What heads say: SAE J429 and ISO 898-1, clause on marking.
#[test]
fn heads_say_their_grade() {
    assert_eq!(Grade::Sae2.head_mark(), HeadMark::Lines(0));
    assert_eq!(Grade::Sae5.head_mark(), HeadMark::Lines(3));
    assert_eq!(Grade::Sae8.head_mark(), HeadMark::Lines(6));
    assert_eq!(Grade::Iso10_9.head_mark(), HeadMark::Words("10.9"));
    assert_eq!(Grade::A4_80.head_mark(), HeadMark::Words("A4-80"));
    assert_eq!(Grade::A574.head_mark(), HeadMark::Socket);
}

#[test]
fn strength_steps_where_the_standards_step() {
    let proof = |grade: Grade, text: &str, length: Option<Length>| {
        grade.strength(thread(text), length).unwrap().proof
    };
    let ksi = |count| StressUnit::Ksi.of(count);
    let six = Some(Length::inches(6.0));
    let longer = Some(Length::inches(6.1));
    assert_eq!(proof(Grade::Sae2, "3/4-10", None), ksi(55.0));
    assert_eq!(proof(Grade::Sae2, "3/4-10", six), ksi(55.0));
    assert_eq!(proof(Grade::Sae2, "3/4-10", longer), ksi(33.0));
    assert_eq!(proof(Grade::Sae2, "7/8-9", None), ksi(33.0));
    assert_eq!(proof(Grade::Sae5, "1-8", None), ksi(85.0));
    assert_eq!(proof(Grade::Sae5, "1 1/8-7", None), ksi(74.0));
    assert_eq!(proof(Grade::A574, "1/2-13", None), ksi(140.0));
    assert_eq!(proof(Grade::A574, "5/8-11", None), ksi(135.0));
    assert_eq!(proof(Grade::Iso8_8, "M16", None), Stress::mpa(580.0));
    assert_eq!(proof(Grade::Iso8_8, "M18", None), Stress::mpa(600.0));
    // On an inch thread the size decides as well: 5/8 in is below 16 mm, 3/4 in above.
    assert_eq!(proof(Grade::Iso8_8, "5/8-18", None), Stress::mpa(580.0));
    assert_eq!(proof(Grade::Iso8_8, "3/4-16", None), Stress::mpa(600.0));
    let error = Grade::Iso9_8.strength(thread("M20"), None).unwrap_err();
    assert_eq!(
        error.to_string(),
        "class 9.8 is not made above 16 mm (ISO 898-1): check grade and thread."
    );
    assert!(Grade::A2_70.strength(thread("M30"), None).is_err());
    for grade in Grade::ALL {
        for thread in threads() {
            let Ok(strength) = grade.strength(thread, None) else {
                continue;
            };
            assert!(strength.proof <= strength.yielding && strength.yielding < strength.tensile);
        }
    }
}

#[test]
fn the_weakest_member_sets_the_limit() {
    let at = |mate| {
        tighten(&Fastening {
            mate,
            ..joint("1/2-20", Grade::Sae8)
        })
        .unwrap()
    };
    let full = at(Mate::Nut(Nut::Grade8));
    assert_eq!(full.weakest, Member::Bolt);
    assert_eq!(full.limit, full.proof);
    assert!(full.notes.is_empty(), "{:?}", full.notes);
    let soft = at(Mate::Nut(Nut::Grade5));
    assert_eq!(soft.weakest, Member::Nut);
    // A grade 5 nut is for a grade 5 bolt: 85 to 120.
    assert_relative_eq!(
        soft.torque / full.torque,
        85.0 / 120.0,
        max_relative = 1e-12
    );
    let jam = at(Mate::Nut(Nut::Jam8));
    assert_eq!(jam.weakest, Member::ThinNut);
    assert_relative_eq!(jam.torque / full.torque, 90.0 / 120.0, max_relative = 1e-12);
    assert!(
        jam.notes
            .iter()
            .any(|note| note.contains("Never give it a full nut's torque"))
    );
    // ISO 898-1 has no class 5.8 bolt above M24, ISO 898-2:1992 a class 5 nut: 630 MPa. It bears no class 10.9 bolt.
    let large = tighten(&Fastening {
        mate: Mate::Nut(Nut::Class5),
        ..joint("M27", Grade::Iso10_9)
    })
    .unwrap();
    assert_eq!(large.weakest, Member::Nut);
    assert_relative_eq!(
        large.limit / large.proof,
        630.0 / 830.0,
        max_relative = 1e-12
    );
    // A thin nut on a soft bolt: the bolt is the weaker, and the torque is not more for that.
    let soft_bolt = tighten(&Fastening {
        mate: Mate::Nut(Nut::Jam8),
        ..joint("1/2-20", Grade::Sae5)
    })
    .unwrap();
    assert_eq!(soft_bolt.weakest, Member::Bolt);
    let tapped = |tensile, engaged| {
        at(Mate::Tapped {
            tensile: Stress::mpa(tensile),
            engaged: Length::mm(engaged),
        })
    };
    let shallow = tapped(260.0, 12.0);
    assert_eq!(shallow.weakest, Member::TappedHole);
    let deep = tapped(260.0, 38.0);
    assert!(deep.torque > shallow.torque);
    assert_eq!(tapped(900.0, 19.0).weakest, Member::Bolt);
    let unknown = at(Mate::Unknown);
    assert_eq!(unknown.torque, full.torque);
    assert!(unknown.notes.iter().any(|note| note.contains("not known")));
}

#[test]
fn what_cannot_be_is_refused_in_words() {
    let half = joint("1/2-20", Grade::Sae8);
    for (joint, error) in [
        (Fastening { share: 0.0, ..half }, TighteningError::Share),
        (Fastening { share: 1.0, ..half }, TighteningError::Share),
        (
            Fastening {
                share: f64::NAN,
                ..half
            },
            TighteningError::Share,
        ),
        (
            Fastening {
                nut_factor: Some(0.0),
                ..half
            },
            TighteningError::NutFactor,
        ),
        (
            Fastening {
                nut_factor: Some(5.0),
                ..half
            },
            TighteningError::NutFactor,
        ),
        (
            Fastening {
                nut_factor: Some(f64::NAN),
                ..half
            },
            TighteningError::NutFactor,
        ),
        (
            Fastening {
                mate: Mate::Tapped {
                    tensile: Stress::mpa(260.0),
                    engaged: Length::mm(2.0),
                },
                ..half
            },
            TighteningError::Tapped,
        ),
        (
            Fastening {
                mate: Mate::Tapped {
                    tensile: Stress::ZERO,
                    engaged: Length::mm(20.0),
                },
                ..half
            },
            TighteningError::Tapped,
        ),
    ] {
        assert_eq!(tighten(&joint), Err(error));
        assert!(error.to_string().ends_with('.'));
    }
    let large = joint("M20", Grade::Iso9_8);
    assert!(matches!(
        tighten(&large),
        Err(TighteningError::Grade(GradeError::Size { .. }))
    ));
}

#[test]
fn mixed_systems_are_allowed_and_said() {
    let mixed = tighten(&joint("1/2-20", Grade::Iso8_8)).unwrap();
    assert!(
        mixed.notes.iter().any(|note| note.contains("two systems")),
        "{:?}",
        mixed.notes
    );
    // 580 MPa, not 120 ksi, over the area of 1/2-20.
    let area = thread("1/2-20").nominal_stress_area();
    assert_relative_eq!(
        (mixed.proof / (Stress::mpa(580.0) * area)),
        1.0,
        max_relative = 1e-12
    );
    let plated = Fastening {
        condition: Condition::ZincDry,
        ..joint("M12", Grade::Iso12_9)
    };
    assert!(
        tighten(&plated)
            .unwrap()
            .notes
            .iter()
            .any(|note| note.contains("embrittle"))
    );
    let stainless = tighten(&joint("M12", Grade::A2_70)).unwrap();
    assert!(stainless.notes.iter().any(|note| note.contains("gall")));
    assert!(stainless.nut_factor > 0.3);
    let soft = tighten(&joint("1/2-13", Grade::Sae2)).unwrap();
    assert!(
        soft.notes
            .iter()
            .any(|note| note.contains("longer than 6 in"))
    );
}

#[test]
fn a_given_torque_is_judged() {
    let result = tighten(&joint("1/2-20", Grade::Sae8)).unwrap();
    for (share, given) in [
        (1.0, Given::Agrees),
        (0.66, Given::Agrees),
        (0.6, Given::Low),
        (1.3, Given::Agrees),
        // The range ends beyond the proof load, at which the bolt is no longer what it was.
        (1.34, Given::AboveLimit),
        (1.5, Given::AboveYield),
    ] {
        assert_eq!(result.judge(result.torque * share), given, "{share}");
        assert_eq!(
            result.judgement(result.torque * share).is_none(),
            given == Given::Agrees
        );
    }
    let careful = tighten(&Fastening {
        share: 0.4,
        ..joint("1/2-20", Grade::Sae8)
    })
    .unwrap();
    assert_eq!(careful.judge(careful.torque * 1.5), Given::High);
    let jam = Fastening {
        mate: Mate::Nut(Nut::Jam5),
        ..joint("1/2-20", Grade::Sae8)
    };
    let jam = tighten(&jam).unwrap();
    assert_eq!(
        jam.judge(result.torque),
        Given::AboveLimit,
        "a thin nut given a full torque"
    );
}

#[test]
fn words_of_a_card_are_understood_or_not_at_all() {
    for (text, condition) in [
        ("zinc plated, dry", Some(Condition::ZincDry)),
        ("zinc plated, oiled", Some(Condition::Oiled)),
        ("Plain, dry", Some(Condition::PlainDry)),
        ("black oxide", Some(Condition::PlainDry)),
        ("cadmium plated, oil-free", Some(Condition::CadmiumDry)),
        ("moly paste on zinc", Some(Condition::AntiSeize)),
        ("copper-free anti-seize", Some(Condition::AntiSeize)),
        ("wax finish", Some(Condition::Waxed)),
        ("medium threadlocker", Some(Condition::Threadlocker)),
        ("unlubricated zinc", Some(Condition::ZincDry)),
        ("plain, not plated", Some(Condition::PlainDry)),
        ("Unplated, dry", Some(Condition::PlainDry)),
        ("black, no zinc", Some(Condition::PlainDry)),
        ("not plated", None),
        ("cadmium-free zinc", None),
        // Chromium-molybdenum steel is no moly paste, and what is taken back is not there.
        ("plain chromoly, dry", None),
        ("zinc plated, no anti-seize", None),
        ("zinc plated, no threadlocker", None),
        ("zinc plated, not waxed", None),
        ("zinc plated, degreased", None),
        ("clean and dry, free of grease", None),
        ("plain, without oil", None),
        ("plain; do not oil", None),
        ("unoiled zinc", None),
        ("grease-free zinc", None),
        ("", None),
        ("as it comes", None),
    ] {
        assert_eq!(Condition::parse(text), condition, "{text}");
    }
    for condition in Condition::ALL {
        assert_eq!(Condition::parse(condition.name()), Some(condition));
        let friction = condition.friction(false);
        assert!(
            (0.05..0.5).contains(&friction.nut_factor) && (0.0..0.5).contains(&friction.scatter)
        );
    }
    for (text, mate) in [
        ("all-metal lock nut, grade C", Mate::Nut(Nut::LockC)),
        ("nylon-insert lock nut, grade 5", Mate::Nut(Nut::Grade5)),
        ("all-metal lock nut, class 10", Mate::Nut(Nut::Class10)),
        (
            "captive nut of the bulkhead, class 8",
            Mate::Nut(Nut::Class8),
        ),
        (
            "flanged lock nut, class 8, on the stud",
            Mate::Nut(Nut::Class8),
        ),
        ("jam nut, grade 5", Mate::Nut(Nut::Jam5)),
        ("thin nut, class 05", Mate::Nut(Nut::Thin05)),
        ("thin nut, class 8", Mate::Unknown),
        ("the car's own wheel nut, conical seat", Mate::Unknown),
        (
            "tapped in the rack; the axial joint's own stud",
            Mate::Unknown,
        ),
        ("class", Mate::Unknown),
        ("class 11", Mate::Unknown),
        ("", Mate::Unknown),
    ] {
        assert_eq!(Mate::parse(text), mate, "{text}");
    }
    let Mate::Tapped { tensile, engaged } = Mate::parse("tapped in aluminium, 24 mm deep") else {
        panic!("a tapped hole");
    };
    assert_eq!((tensile, engaged), (Stress::mpa(260.0), Length::mm(24.0)));
    // A decimal comma, by hand: 12.7 mm are half an inch.
    for (text, depth) in [
        ("tapped in aluminium, 24,5 mm deep", Length::mm(24.5)),
        ("tapped in aluminium,24 mm deep", Length::mm(24.0)),
        ("tapped, steel; 1/2 in deep, M12", Length::mm(12.7)),
        ("tapped in steel, 7,25 mm deep", Length::mm(7.25)),
    ] {
        let Mate::Tapped { engaged, .. } = Mate::parse(text) else {
            panic!("a tapped hole: {text}");
        };
        assert_relative_eq!(engaged.as_mm(), depth.as_mm(), epsilon = 1e-9);
    }
    for nut in Nut::ALL {
        assert!(nut.is_thin() == nut.made_for().is_none());
    }
}

#[test]
fn a_hole_is_judged_by_what_it_does_to_a_pivot() {
    let m12 = thread("M12");
    let fit = |a: f64, b: f64, slot| judge_hole(m12, [Length::mm(a), Length::mm(b)], slot);
    for (size, expected) in [
        (11.9, Fit::Interference),
        (12.0, Fit::Close),
        (13.0, Fit::Close),
        // H12 on 13 mm is 0.18 mm.
        (13.18, Fit::Close),
        (13.2, Fit::Normal),
        (13.5, Fit::Normal),
        (14.0, Fit::Loose),
        (14.93, Fit::Loose),
        (15.0, Fit::TooLoose),
    ] {
        let hole = fit(size, size, false).unwrap();
        assert_eq!(hole.fit, expected, "{size}");
        assert!(!hole.meaning().is_empty() && !hole.advice().is_empty());
        assert_relative_eq!(hole.play.as_mm(), (size - 12.0).max(0.0), epsilon = 1e-9);
    }
    let worn = fit(12.4, 13.0, false).unwrap();
    assert!(worn.worn && !worn.is_good());
    assert_relative_eq!(worn.oval.as_mm(), 0.6, epsilon = 1e-9);
    assert!(worn.advice().starts_with("Do not fit"));
    // 0.6 mm on 300 mm is 2 mrad.
    let slipped = fit(12.6, 12.6, false).unwrap().slip(Length::mm(300.0));
    assert_relative_eq!(slipped.as_radians(), 0.002, epsilon = 1e-12);
    let slot = fit(12.4, 30.0, true).unwrap();
    assert_eq!((slot.fit, slot.worn), (Fit::Close, false));
    assert_relative_eq!(slot.play.as_mm(), 0.4, epsilon = 1e-9);
    for wrong in [
        fit(0.0, 0.0, false),
        fit(1.3, 1.3, false),
        fit(12.5, 125.0, false),
    ] {
        assert_eq!(wrong, Err(HoleError::Unlikely));
    }
    let odd = judge_hole(thread("9/16-18"), [Length::inches(0.6); 2], false);
    assert_eq!(odd, Err(HoleError::NoSeries));
    for thread in threads() {
        let series = [Fit::Close, Fit::Normal, Fit::Loose].map(|fit| clearance_hole(thread, fit));
        if let [Some(close), Some(normal), Some(loose)] = series {
            assert!(thread.diameter() < close.nominal && close.nominal < close.largest);
            assert!(close.nominal < normal.nominal && normal.nominal < loose.nominal);
        }
    }
}

#[test]
fn an_extension_longer_than_its_wrench_is_refused() {
    let torque = Torque::newton_metres(100.0);
    let mm = Length::mm;
    for angle in [0.0, 45.0, 90.0, 180.0].map(Angle::degrees) {
        for (wrench, extension, error) in [
            (0.0, 0.0, AdapterError::NoLength),
            (300.0, 300.0, AdapterError::LongerThanWrench),
            (300.0, 500.0, AdapterError::LongerThanWrench),
        ] {
            assert_eq!(
                wrench_setting(torque, mm(wrench), mm(extension), angle),
                Err(error)
            );
        }
    }
    let square = wrench_setting(torque, mm(450.0), mm(75.0), Angle::degrees(90.0)).unwrap();
    assert_relative_eq!(square.as_newton_metres(), 100.0, epsilon = 1e-9);
    let back = wrench_setting(torque, mm(450.0), mm(75.0), Angle::degrees(180.0)).unwrap();
    assert!(back > torque);
}

/// Likely threads that people take for one another: common practice, no source.
#[test]
fn a_measured_bolt_is_named_with_its_runner_up() {
    for (major, pitch, likely, runner_up) in [
        (12.60, Length::inches(1.0 / 20.0), "1/2-20 UNF", "M12x1.25"),
        (11.85, Length::mm(1.25), "M12x1.25", "1/2-20 UNF"),
        (14.15, Length::inches(1.0 / 18.0), "9/16-18 UNF", "M14x1.5"),
        (13.85, Length::mm(1.5), "M14x1.5", "9/16-18 UNF"),
        (15.75, Length::inches(1.0 / 18.0), "5/8-18 UNF", "M16x1.5"),
    ] {
        let found = identify(Length::mm(major), pitch);
        let (first, second) = (found.likely.unwrap(), found.runner_up.unwrap());
        assert_eq!(first.thread.designation(), likely);
        assert_eq!(second.thread.designation(), runner_up, "{likely}");
        assert!(first.why.contains("Its crests measure"), "{}", first.why);
    }
    // 9/16-12 and M14x2 differ by 0.3 mm over the crests and by 6 % in pitch: a worn bolt between them leaves doubt.
    let doubt = identify(Length::mm(13.97), Length::mm(2.06));
    assert!(doubt.in_doubt, "{doubt:?}");
    for (major, pitch) in [
        (3.0, 0.5),
        (12.0, 3.0),
        (50.0, 1.0),
        (0.0, 0.0),
        (12.0, 0.0),
    ] {
        let none = identify(Length::mm(major), Length::mm(pitch));
        assert_eq!(none.likely, None, "{major} x {pitch}");
        assert!(none.runner_up.is_some());
    }
}

#[test]
fn every_usual_size_has_its_wrenches() {
    let m12 = wrenches(thread("M12")).unwrap();
    assert_eq!(
        (m12.bolt, m12.old),
        (Length::mm(18.0), Some(Length::mm(19.0)))
    );
    let half = wrenches(thread("1/2-20")).unwrap();
    assert_eq!((half.bolt, half.old), (Length::inches(0.75), None));
    // 7/16 and 9/16 nuts are larger than their bolts.
    let seven = wrenches(thread("7/16-20")).unwrap();
    assert!(seven.nut > seven.bolt);
    for thread in threads() {
        assert_eq!(wrenches(thread).is_some(), jam_nut(thread).is_some());
        if let Some(sizes) = wrenches(thread) {
            assert!(sizes.key.is_some_and(|key| key < sizes.bolt));
        }
    }
    assert!(least_prevailing_torque(thread("1/2-20")).is_some());
    assert!(least_prevailing_torque(thread("1/2-13")).is_none());
    assert!(least_prevailing_torque(thread("M12")).is_none());
}

#[test]
fn forces_and_stresses_are_read_and_written() {
    assert_eq!(
        read_stress("120 ksi", StressUnit::Megapascal),
        Ok(StressUnit::Ksi.of(120.0))
    );
    assert_eq!(
        read_stress("800", StressUnit::Megapascal),
        Ok(Stress::mpa(800.0))
    );
    assert_eq!(
        read_stress("800 N/mm²", StressUnit::Psi),
        Ok(Stress::mpa(800.0))
    );
    for wrong in ["", "-800", "800 mm", "strong", "1e9", "9999999"] {
        assert!(
            read_stress(wrong, StressUnit::Megapascal).is_err(),
            "{wrong}"
        );
    }
    assert_eq!(read_number_of("75 %", "%"), Ok(75.0));
    assert_eq!(read_number_of("0,2", ""), Ok(0.2));
    assert!(read_number_of("75 mm", "%").is_err());
    assert_eq!(
        write_force(ForceUnit::PoundForce.of(7580.4), ForceUnit::PoundForce),
        "7580 lbf"
    );
    assert_eq!(
        write_force(ForceUnit::Kilonewton.of(33.68), ForceUnit::Kilonewton),
        "33.7 kN"
    );
    assert_eq!(write_stress(Stress::mpa(830.0), StressUnit::Ksi), "120 ksi");
    assert_eq!(TorqueUnit::PoundInch.forces(), ForceUnit::PoundForce);
}

fn any_joint() -> impl Strategy<Value = Fastening> {
    let threads: Vec<_> = threads().collect();
    (
        prop::sample::select(threads),
        prop::sample::select(Grade::ALL.to_vec()),
        prop::sample::select(Nut::ALL.to_vec()),
        prop::sample::select(Condition::ALL.to_vec()),
        0.1..0.9_f64,
    )
        .prop_map(|(thread, grade, nut, condition, share)| Fastening {
            share,
            ..Fastening::new(thread, grade, Mate::Nut(nut), condition)
        })
}

proptest! {
    /// Torque and clamp load are each other's round trip, the range holds the target, and nothing is loaded beyond its limit.
    #[test]
    fn a_joint_has_a_torque_or_a_reason(joint in any_joint()) {
        match tighten(&joint) {
            Err(error) => prop_assert!(!error.to_string().is_empty()),
            Ok(result) => {
                let arm = joint.thread.diameter() * result.nut_factor;
                prop_assert!(((result.torque / arm) / result.clamp - 1.0).abs() < 1e-12);
                prop_assert!((result.clamp / result.limit - joint.share).abs() < 1e-12);
                prop_assert!(result.limit <= result.proof && result.proof <= result.yielding);
                prop_assert!(result.range.0 < result.torque && result.torque < result.range.1);
                prop_assert!(result.clamp_range.0 < result.clamp && result.clamp < result.clamp_range.1);
                prop_assert_eq!(result.judge(result.torque), Given::Agrees);
                prop_assert!(!result.basis.is_empty());
                if let Some(form) = result.friction {
                    prop_assert!(form.torque.0 < form.torque.1);
                    let (mu, _) = form.coefficient;
                    let again = torque_by_friction(joint.thread, result.clamp, mu, mu, form.bearing);
                    prop_assert!((again / form.torque.0 - 1.0).abs() < 1e-12);
                }
            }
        }
    }

    /// Through an extension and back again.
    #[test]
    fn an_adapter_gives_the_torque_asked(torque in 1.0..500.0_f64, wrench in 200.0..800.0_f64, share in 0.0..0.99_f64, angle in 0.0..180.0_f64) {
        let (wrench, angle) = (Length::mm(wrench), Angle::degrees(angle));
        let extension = wrench * share;
        let set = wrench_setting(Torque::newton_metres(torque), wrench, extension, angle).unwrap();
        let hand = set / wrench;
        let at_fastener = hand * (wrench + extension * angle.cos());
        prop_assert!((at_fastener.as_newton_metres() / torque - 1.0).abs() < 1e-12);
    }

    /// A bolt at the middle of its own limits is itself, or in doubt with one that its crests and pitch fit as well.
    #[test]
    fn a_bolt_is_itself(thread in prop::sample::select(threads().collect::<Vec<_>>())) {
        let crests = thread.limits().bolt_major;
        let found = identify((crests.least + crests.most) / 2.0, thread.pitch());
        let likely = found.likely.expect("itself");
        prop_assert!(likely.thread == thread || likely.thread.pitch() == thread.pitch() && likely.thread.diameter() == thread.diameter());
    }

    #[test]
    fn no_words_panic_a_parser(text in any::<String>()) {
        let _ = (Grade::parse(&text), Condition::parse(&text), Mate::parse(&text));
        let _ = (read_stress(&text, StressUnit::Ksi), read_number_of(&text, "%"));
    }

    #[test]
    fn no_near_words_panic_a_parser(text in "[a-z0-9.,; -]{0,20}(tapped|class|grade|deep|jam|steel| ){0,4}[a-z0-9.,; -]{0,12}") {
        let _ = (Grade::parse(&text), Condition::parse(&text), Mate::parse(&text));
    }

    #[test]
    fn a_stress_is_itself_in_a_document(mpa in 0.0..900_000.0_f64) {
        let text = document_stress(Stress::mpa(mpa));
        let read = read_stress(&text, StressUnit::Psi).unwrap();
        prop_assert!((read.as_mpa() - mpa).abs() <= 1e-6 * mpa.max(1.0));
    }

    #[test]
    fn a_hole_has_a_fit_or_a_reason(thread in prop::sample::select(threads().collect::<Vec<_>>()), a in -1.0..100.0_f64, b in -1.0..100.0_f64, slot: bool) {
        match judge_hole(thread, [Length::mm(a), Length::mm(b)], slot) {
            Ok(fit) => prop_assert!(fit.play >= Length::ZERO && fit.oval >= Length::ZERO),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }

    #[test]
    fn any_two_numbers_identify_something_or_nothing(major in -1e9..1e9_f64, pitch in -1e9..1e9_f64) {
        let found = identify(Length::mm(major), Length::mm(pitch));
        prop_assert!(found.runner_up.is_some());
    }
}

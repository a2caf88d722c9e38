//! Threads, nuts and the engagement rule. The tables of standards are in `published_values`; here are the designations and spot
//! values, each with its source.

use approx::assert_relative_eq;
use halfturn::hardware::{
    Hand, Material, Pair, Series, Thread, engagement, equal_strength_length, hex_nut, jam_nut,
    threads,
};
use halfturn::quantity::{Length, LengthUnit, Stress};
use proptest::prelude::*;

#[track_caller]
fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|error| panic!("\"{text}\" {error}"))
}

#[test]
fn every_designation_reads_back() {
    let mut seen = Vec::new();
    for thread in threads() {
        let designation = thread.designation();
        assert_eq!(Thread::parse(&designation), Ok(thread), "{designation}");
        assert_eq!(
            Thread::parse(&designation.to_lowercase()),
            Ok(thread),
            "{designation}"
        );
        let json = serde_json::to_string(&thread).unwrap();
        assert_eq!(json, format!("\"{designation}\""));
        assert_eq!(
            serde_json::from_str::<Thread>(&json).unwrap(),
            thread,
            "{designation}"
        );
        assert!(!seen.contains(&designation), "{designation} is there twice");
        seen.push(designation);
    }
    assert_eq!(seen.len(), 95, "threads of the tables");
}

#[test]
fn threads_are_read_as_people_write_them() {
    for (text, designation) in [
        ("5/8-18", "5/8-18 UNF"),
        ("5/8-18 UNF", "5/8-18 UNF"),
        (" 5/8-18 unf ", "5/8-18 UNF"),
        ("1/2-20", "1/2-20 UNF"),
        ("1 1/8-12 UNF", "1 1/8-12 UNF"),
        ("1 1/4-7", "1 1/4-7 UNC"),
        ("1-8", "1-8 UNC"),
        ("M12", "M12x1.75"),
        ("m12×1.25", "M12x1.25"),
        ("M12X1.25", "M12x1.25"),
        ("M8x1", "M8x1"),
        ("m6", "M6x1"),
    ] {
        assert_eq!(thread(text).designation(), designation, "{text:?}");
    }
}

#[test]
fn an_unknown_thread_names_those_of_its_size() {
    let example = "is not a thread known here: write one such as 5/8-18 UNF, 1/2-20 or M12x1.25";
    let known = "is not a thread known here: this size comes as ";
    let eighth = "1 1/8-7 UNC, 1 1/8-12 UNF, 1 1/8-18 UNEF, 1 1/8-8 UN";
    for (text, near) in [
        ("5/8-19", "5/8-11 UNC, 5/8-18 UNF, 5/8-24 UNEF, 5/8-12 UN"),
        ("5/8", "5/8-11 UNC, 5/8-18 UNF, 5/8-24 UNEF, 5/8-12 UN"),
        ("5/8 UNF", "5/8-11 UNC, 5/8-18 UNF, 5/8-24 UNEF, 5/8-12 UN"),
        (
            "5/8-18 UNC",
            "5/8-11 UNC, 5/8-18 UNF, 5/8-24 UNEF, 5/8-12 UN",
        ),
        ("M12x2", "M12x1.75, M12x1.5, M12x1.25, M12x1"),
        ("1 1/8-13", eighth),
        ("1", "1-8 UNC, 1-12 UNF, 1-20 UNEF, 1-14 UNS"),
        ("1-13", "1-8 UNC, 1-12 UNF, 1-20 UNEF, 1-14 UNS"),
    ] {
        let error = Thread::parse(text).unwrap_err();
        assert_eq!(error.to_string(), format!("{known}{near}"), "{text:?}");
    }
    for text in [
        "", "M13", "M", "G1/2", "5/8x18", "3/16-24", "1/0-20", "M12,5", "-", "🔩",
    ] {
        let error = Thread::parse(text).unwrap_err();
        assert!(
            error.near.is_empty() || text == "5/8x18",
            "{text:?}: {:?}",
            error.near
        );
        if error.near.is_empty() {
            assert_eq!(error.to_string(), example, "{text:?}");
        }
    }
    let error = serde_json::from_str::<Thread>("\"M13\"").unwrap_err();
    assert_eq!(error.to_string(), format!("\"M13\" {example}"));
}

#[test]
fn one_inch_fine_is_not_one_inch_special() {
    let (fine, special) = (thread("1-12"), thread("1-14"));
    assert_eq!(
        (fine.series(), special.series()),
        (Series::Unf, Series::Uns)
    );
    assert_eq!(special.designation(), "1-14 UNS");
    assert!(fine.stress_area() < special.stress_area());
    // ASME B1.1: 0.663 in² and 0.680 in².
    assert_relative_eq!(
        fine.stress_area().as_square_metres() / 0.0254_f64.powi(2),
        0.663,
        epsilon = 5e-4
    );
    assert_relative_eq!(
        special.stress_area().as_square_metres() / 0.0254_f64.powi(2),
        0.680,
        epsilon = 5e-4
    );
}

/// Coarse stress areas that the other tables lack: ISO 898-1:2013, Table 4, and ASME B1.1, Table 6, from memory.
#[test]
fn stress_areas_of_common_sizes() {
    for (text, mm2) in [
        ("M5", 14.2),
        ("M6", 20.1),
        ("M14", 115.0),
        ("M16", 157.0),
        ("M20", 245.0),
        ("M24", 353.0),
        ("M30", 561.0),
    ] {
        let area = thread(text).stress_area().as_square_metres() * 1e6;
        assert_relative_eq!(area, mm2, max_relative = 5e-3);
    }
    for (text, in2) in [
        ("1/2-20", 0.1599),
        ("5/8-18", 0.256),
        ("3/8-24", 0.0878),
        ("7/8-14", 0.509),
        ("1 1/4-12", 1.073),
    ] {
        let area = thread(text).stress_area().as_square_metres() / 0.0254_f64.powi(2);
        assert_relative_eq!(area, in2, max_relative = 5e-3);
    }
}

#[test]
fn every_thread_has_sane_dimensions() {
    for thread in threads() {
        let name = thread.designation();
        let (d, p) = (thread.diameter(), thread.pitch());
        assert!(
            thread.minor_diameter() < thread.pitch_diameter() && thread.pitch_diameter() < d,
            "{name}"
        );
        assert!(
            p / d > 0.04 && p / d < 0.21,
            "{name}: pitch {} of the diameter",
            p / d
        );
        // The stress area lies between those of the minor and the pitch diameter.
        let area = thread.stress_area().as_square_metres();
        let disc = |across: Length| std::f64::consts::PI / 4.0 * across.as_metres().powi(2);
        assert!(
            area > disc(thread.minor_diameter()) && area < disc(thread.pitch_diameter()),
            "{name}"
        );
    }
}

#[test]
fn nuts_exist_for_every_usual_size() {
    for thread in threads() {
        let name = thread.designation();
        match (hex_nut(thread), jam_nut(thread)) {
            (Some(nut), Some(jam)) => {
                assert_eq!(nut.across_flats, jam.across_flats, "{name}");
                assert!(jam.thickness < nut.thickness, "{name}");
                assert!(
                    jam.thickness > thread.diameter() * 0.45 && nut.thickness < thread.diameter(),
                    "{name}"
                );
                assert!(
                    nut.across_flats > thread.diameter() * 1.4
                        && nut.across_flats < thread.diameter() * 1.8,
                    "{name}"
                );
                for nut in [nut, jam] {
                    assert!(
                        nut.basic <= nut.thickness && nut.basic > nut.thickness * 0.9,
                        "{name}"
                    );
                }
            }
            (None, None) => {
                // Sizes that ASME B18.2.2 and ISO 4032 leave out.
                let left_out = ["M7x", "11/16-", "13/16-", "15/16-", "1 1/16-", "1 3/16-"];
                assert!(left_out.iter().any(|size| name.starts_with(size)), "{name}");
            }
            either => panic!("{name}: {either:?}"),
        }
    }
}

/// ISO 4032 and ISO 4035, and ASME B18.2.2, from memory: sizes and columns that `published_values` lacks. Across flats, nut
/// largest, jam nut largest, in millimetres or inches.
#[test]
fn nuts_of_other_sizes() {
    for (text, expected) in [
        ("M5", [8.0, 4.7, 2.7]),
        ("M6", [10.0, 5.2, 3.2]),
        ("M10", [16.0, 8.4, 5.0]),
        ("M12", [18.0, 10.8, 6.0]),
        ("M18", [27.0, 15.8, 9.0]),
        ("M22", [34.0, 19.4, 11.0]),
        ("M24", [36.0, 21.5, 12.0]),
        ("M27", [41.0, 23.8, 13.5]),
        ("M30", [46.0, 25.6, 15.0]),
        ("5/16-24", [0.5, 0.273, 0.195]),
        ("7/16-20", [0.6875, 0.385, 0.260]),
        ("1/2-20", [0.75, 0.448, 0.323]),
        ("9/16-18", [0.875, 0.496, 0.324]),
        ("5/8-18", [0.9375, 0.559, 0.387]),
        ("3/4-16", [1.125, 0.665, 0.446]),
        ("7/8-14", [1.3125, 0.776, 0.510]),
        ("1-12", [1.5, 0.887, 0.575]),
        ("1 1/8-12", [1.6875, 0.999, 0.639]),
        ("1 1/4-12", [1.875, 1.094, 0.751]),
    ] {
        let thread = thread(text);
        let (nut, jam) = (hex_nut(thread).unwrap(), jam_nut(thread).unwrap());
        let unit = if thread.is_inch() {
            LengthUnit::Inch
        } else {
            LengthUnit::Millimetre
        };
        for (length, expected) in [nut.across_flats, nut.thickness, jam.thickness]
            .into_iter()
            .zip(expected)
        {
            assert_relative_eq!(unit.count(length), expected, max_relative = 1e-12);
        }
    }
}

/// The larger of the shop rule and the strip length governs, and says so.
#[test]
fn engagement_is_the_larger_of_two_rules() {
    for thread in threads() {
        let d = thread.diameter();
        for material in [Material::Steel, Material::Aluminium] {
            let shop = if material == Material::Steel {
                d
            } else {
                d * 2.0
            };
            let usual = engagement(thread, Pair::usual(material));
            let weak = Pair {
                insert: Stress::mpa(120.0),
                ..Pair::usual(material)
            };
            let weak = engagement(thread, weak);
            for rule in [usual, weak] {
                assert_eq!(rule.shop, shop);
                assert_eq!(rule.least, rule.shop.max(rule.strip));
                assert!(rule.preferred >= rule.least);
                assert_eq!(
                    rule.rule.contains("shank breaks"),
                    rule.strip > rule.shop,
                    "{}",
                    thread.designation()
                );
                assert!(!rule.source.is_empty());
            }
            // A weak insert: the strip length, six times that of equal strength or more.
            assert_eq!(weak.least, weak.strip);
            assert!(weak.weaker > 800.0 / 120.0 * 0.5);
            // An insert stronger than its shank needs what equal strength needs, no less.
            let strong = engagement(
                thread,
                Pair {
                    insert: Stress::mpa(2000.0),
                    ..Pair::usual(material)
                },
            );
            assert!(strong.weaker < 1.0);
            assert_eq!(strong.strip, equal_strength_length(thread));
        }
    }
}

#[test]
fn words_in_documents() {
    assert_eq!(serde_json::to_string(&Hand::Left).unwrap(), "\"left\"");
    assert_eq!(
        serde_json::to_string(&Material::Aluminium).unwrap(),
        "\"aluminium\""
    );
    assert_eq!(
        thread("5/8-18").written_length(Length::inches(0.25)),
        "0.250 in"
    );
    assert_eq!(thread("M12").written_length(Length::mm(6.35)), "6.4 mm");
}

proptest! {
    #[test]
    fn no_text_panics_the_parser(text in any::<String>()) {
        if let Err(error) = Thread::parse(&text) {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn no_near_designation_panics_the_parser(text in "[M1-8 /x×.uncfUNCF-]{0,12}") {
        if let Ok(thread) = Thread::parse(&text) {
            prop_assert_eq!(Thread::parse(&thread.designation()), Ok(thread));
        }
    }
}

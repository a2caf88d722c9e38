//! The bench driven as a person at a car does it: published values come out, and what cannot be right gives no number.

use crate::common::{card, whole};
use crate::page::{Page, Part, Screen};
use crate::site::Site;
use crate::tour::unfold;
use halfturn::document::{Corner, CornerGeometry, save_job, save_kit_card};
use halfturn::linkage::{
    Geometry, JointLimit, LAYOUTS, Linkage, Mover, Rack, Range, Side, Vector, write_curves,
};
use halfturn::quantity::{Angle, Length, LengthUnit};
use serde_json::Value;

fn answer<'page>(page: &'page Page) -> Part<'page> {
    page.part("section[aria-label='Answer']")
}

/// The first number that the answer shows in a unit is the published one of this name, to the tolerance given there.
#[track_caller]
fn shows_published(page: &Page, unit: &str, id: &str) {
    let table: Value = serde_json::from_str(include_str!("../data/published-values.json")).unwrap();
    let case = table
        .as_array()
        .unwrap()
        .iter()
        .find(|case| case["id"] == id);
    let case = case.unwrap_or_else(|| panic!("no published value {id}"));
    let (expected, tolerance) = (
        case["expected"].as_f64().unwrap(),
        case["tolerance"].as_f64().unwrap(),
    );
    // Half of the last digit shown comes on top.
    page.waits_for(&format!("{unit} of {id}, {expected}"), || {
        let text = answer(page).text();
        let (before, _) = text.split_once(&format!(" {unit}"))?;
        let shown: f64 = before.rsplit(' ').next()?.parse().ok()?;
        ((shown - expected).abs() <= tolerance + 0.5).then_some(())
    });
}

fn known<'page>(page: &'page Page) -> Part<'page> {
    page.part("main .frame:not(.next)")
}

#[test]
fn torques_are_those_of_the_published_tables() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/#/torque");
        page.arrives("Tightening torque");
        // It stands at once: 1/2-20 UNF, grade 8, its nut, zinc plated: K 0.20. SAE based tables print 120 lbf·ft for it.
        let answer = answer(page);
        answer.shows("163 N·m");
        answer.shows("120 lbf·ft = 1439 lbf·in = 16.6 kgf·m");
        answer.shows("the bolt");
        answer.shows("nut grade 8");
        answer.shows("Hex bolt 3/4 in Nut 3/4 in Socket head, key 3/8 in");
        known(page).shows("6 lines on the head");
        page.fits();
        page.look("bench-torque-first");

        page.choose("Finish and lubricant", "oiled");
        answer.shows("64.0 kN");
        shows_published(page, "lbf·in", "TQ-EPS-1/2-20-G8-lub");
        page.choose("Grade", "grade 5");
        answer.shows("nut grade 5");
        known(page).shows("3 lines on the head");
        shows_published(page, "lbf·in", "TQ-EPS-1/2-20-G5-lub");
        shows_published(page, "lbf·ft", "TQ-IFI5-1/2-20-G5-plated");
        page.choose("Finish and lubricant", "plain steel, dry");
        shows_published(page, "lbf·in", "TQ-EPS-1/2-20-G5-dry");

        page.choose("Thread", "M12x1.75");
        page.choose("Grade", "class 10.9");
        page.choose("Finish and lubricant", "oiled");
        shows_published(page, "lbf·ft", "TQ-M75-M12x1.75-10.9-lub");
        known(page).shows("10.9 on the head");
        answer.shows(
            "Hex bolt 18 mm Nut 18 mm Socket head, key 10 mm Older hex (DIN 931, 934) 19 mm",
        );

        // A thin nut never gets the torque of a full one.
        page.choose("Screws into", "thin nut class 04");
        answer.shows("the thin nut");
        answer.shows("Never give it a full nut's torque.");
        answer.lacks("70 lbf·ft");

        // A tapped hole asks how much is engaged.
        page.choose("Screws into", "tapped hole in aluminium");
        answer.shows("Type how much thread is engaged.");
        answer.lacks("N·m");
        page.fill("Thread engaged", "12");
        answer.shows("the tapped hole");
        answer.lacks("70 lbf·ft");
        page.fill("Thread engaged", "36");
        answer.shows("Limited by the bolt");
        shows_published(page, "lbf·ft", "TQ-M75-M12x1.75-10.9-lub");
        page.fill("Thread engaged", "2");
        page.shows("Thread engaged in a tapped hole lies between half a diameter and three");
        answer.shows("No torque");
        answer.lacks("lbf");
        page.look("bench-torque-refused");
        page.fits();

        page.choose("Screws into", "the nut made for this grade");
        page.choose("Grade", "A2-70");
        answer.shows("Stainless threads gall");
        page.choose("Grade", "class 12.9");
        page.choose("Finish and lubricant", "zinc plated, dry");
        answer.shows("Plating can embrittle");
        page.choose("Thread", "1/2-20 UNF");
        answer.shows("Grade and thread are of two systems.");
        page.fits();
        page.look("bench-torque-notes");
    });
}

#[test]
fn a_torque_shows_its_working_which_stays_open() {
    Site::release().visit(Screen::DESK, |page| {
        page.open("bench/#/torque");
        let answer = answer(page);
        page.choose("Finish and lubricant", "oiled");
        page.click("Show the working");
        answer.shows("T = K d F = 0.150 × 12.700 mm × 64.0 kN = 122 N·m");
        answer.shows("by friction, the same F: T = F (P/2π + 0.577 μ d2 + μ Db/2)");
        answer.shows("proof stress × As = 827 MPa × 103.2 mm² = 85.4 kN");
        page.click("More: share, K, bolt length, extension");
        for (label, typed, words) in [
            (
                "Nut factor K, if your own",
                "0",
                "The nut factor K lies between 0.05 (slippery) and 0.5 (galling)",
            ),
            (
                "Nut factor K, if your own",
                "5",
                "The nut factor K lies between 0.05 (slippery) and 0.5 (galling)",
            ),
            (
                "Nut factor K, if your own",
                "0,1,5",
                "One comma or dot at most",
            ),
            (
                "Share of proof load, %",
                "95",
                "The share of proof load lies between 10 % and 90 %",
            ),
            (
                "Share of proof load, %",
                "",
                "No torque: the share of proof load cannot be right.",
            ),
            (
                "Bolt, under the head",
                "0",
                "The bolt's length lies between",
            ),
            ("Bolt, under the head", "3 lbf", "Write a length such as"),
        ] {
            page.fill(label, typed);
            page.shows(words);
            answer.shows("No torque");
            answer.lacks("N·m");
            assert_eq!(page.value(label), typed, "what was typed stays");
            page.fill(label, if label.starts_with("Share") { "75" } else { "" });
            answer.shows("122 N·m");
        }
        // It was opened once, and is still.
        page.fill("Nut factor K, if your own", "0.2");
        answer.shows("T = K d F = 0.200 × 12.700 mm × 64.0 kN = 163 N·m");
        page.fill("Nut factor K, if your own", "");

        // US Army TM 9-254, figures 45 and 46: a wrench of 12 in with 2 in in line turns 60 into 70.
        page.fill("Torque wrench, square to hand", "12 in");
        page.fill("Extension, square to bolt", "2 in");
        answer.shows("Set the wrench, with its extension, to 105 N·m");
        page.fill("Angle between the two", "90");
        answer.shows("Set the wrench, with its extension, to 122 N·m");
        page.fill("Angle between the two", "181");
        page.shows("The extension's angle lies between 0° and 180°.");
        answer.lacks("Set the wrench");
        page.fill("Angle between the two", "0");
        answer.shows("Set the wrench");
        page.look("bench-torque-more");
        page.fill("Extension, square to bolt", "12 in");
        page.shows("The extension is as long as the wrench");
        answer.lacks("Set the wrench");
        page.fits();

        // SAE J429 makes no grade 5 above 1 1/2 in, and ISO 898-1 no class 4.8 above M16.
        page.choose("Thread", "M20x2.5");
        page.choose("Grade", "class 4.8");
        page.part(".reason")
            .shows("class 4.8 is not made above 16 mm (ISO 898-1)");
        answer.shows("No torque");
        answer.lacks("N·m");
    });
}

#[test]
fn holes_are_judged_by_the_series_of_the_standards() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/#/holes");
        let answer = answer(page);
        // ISO 273: M12 fine 13, medium 13.5 mm; H13 on 13.5 is 0.27 mm (ISO 286-1).
        page.choose("Bolt", "M12x1.75");
        answer.shows("Clearance holes for M12x1.75 (ISO 273)");
        answer.shows("normal (medium) 13.5 mm 13.77 mm");
        page.fill("Hole, one way", "13.5");
        answer.shows("normal fit");
        answer.shows("1.5 mm of play");
        answer.shows("push it to one side while tightening");
        page.fill("Hole, one way", "13");
        answer.shows("close fit");
        page.fits();
        page.look("bench-holes");
        page.fill("Square to it", "13.4");
        answer.shows("worn oval");
        answer.shows("sleeve or replace the part");
        page.look("bench-holes-worn");
        page.click("a slot");
        answer.shows("close fit");
        page.click("round");
        page.fill("Square to it", "");
        page.fill("Hole, one way", "14.4");
        answer.shows("loose fit");
        answer.shows("Not for a pivot that locates a wheel.");
        page.fill("Hole, one way", "11.9");
        answer.shows("0.1 mm too small");
        for (typed, words) in [
            ("0", "The hole lies between 1 mm and 100 mm."),
            ("12x", "Write a length such as"),
        ] {
            page.fill("Hole, one way", typed);
            page.shows(words);
            answer.shows("No answer");
            answer.lacks("play");
        }
        page.fill("Hole, one way", "1/2 in");
        page.fill("Square to it", "40");
        answer.shows("less than half the bolt or more than twice it");
        page.fill("Square to it", "");

        // ASME B18.2.8: 3/8 normal 13/32 in, 0.4062.
        page.choose("Bolt", "3/8-24 UNF");
        page.fill("Hole, one way", "13/32 in");
        answer.shows("normal, 13/32 in 10.319 mm");
        answer.shows("normal fit");
        page.fits();
    });
}

#[test]
fn a_measured_bolt_is_named() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/#/which");
        let answer = answer(page);
        answer.shows("Type the diameter over the crests and the pitch.");
        page.fill("Over the crests", "0.496 in");
        page.click("threads per inch");
        page.fill("Threads per inch", "20");
        page.shows("pitch 1.27 mm");
        answer.shows("likely 1/2-20 UNF");
        answer.shows("Next nearest");
        // ASME B1.1: 1/2-20 UNF 2A major 0.4906 to 0.4987, 2B minor 0.446 to 0.457 in, stress area 0.1599 in².
        answer.shows("bolt, crests (2A) 0.4906 0.4987");
        answer.shows("nut, bore (2B) 0.4460 0.4570");
        page.fits();
        page.look("bench-which");
        // A pitch of one way is never taken for one of the other.
        page.click("mm");
        answer.shows("Type the diameter over the crests and the pitch.");
        page.fill("Over the crests", "11.85");
        page.shows("11.85 mm");
        page.fill("Pitch, crest to crest", "1.25");
        answer.shows("M12x1.25");
        // ISO 965-1: M12x1.25 6g major 11.760 to 11.972 mm.
        answer.shows("bolt, crests (6g) 11.760 11.972");
        page.fill("Pitch, crest to crest", "2.1");
        answer.shows("nothing known here is near");
        page.look("bench-which-none");
        answer.shows("count");
        page.fill("Pitch, crest to crest", "20");
        page.shows("The pitch lies between 0.25 mm and 6 mm.");
        answer.shows("No answer");
        page.click("threads per inch");
        page.fill("Threads per inch", "200");
        page.shows("Threads per inch lie between 4 and 100.");
        answer.shows("No answer");
    });
}

#[test]
fn engagement_goes_by_the_strengths() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/#/thread");
        let answer = answer(page);
        page.fill("Shank, shoulder to tip", "60");
        page.fill("Thread showing", "6");
        page.fill("Depth of the insert", "50");
        // S355 under a shank of 800 MPa: the insert is the weaker.
        answer.shows("The strip length governs");
        // Machinery's Handbook: M10x1.25, class 10.9 in aluminium of 310 MPa: 19.4 mm at J 2.485.
        page.choose("Thread", "M10x1.25");
        page.click("aluminium");
        page.fill("Shank, tensile strength", "1040");
        page.fill("Insert, tensile strength", "310 MPa");
        answer.shows("So as not to strip 19.4 mm");
        answer.shows("The shop rule governs");
        answer.shows("J 2.49");
        page.fill("Shank, tensile strength", "180 ksi");
        page.shows("1241 MPa, 180 ksi");
        answer.shows("The strip length governs");
        page.fits();
        page.look("bench-engagement");
        page.fill("Shank, tensile strength", "10");
        page.shows("A tensile strength lies between 50 MPa (7.3 ksi) and 2000 MPa (290 ksi).");
        answer.shows("No answer");
        answer.lacks("engaged");
    });
}

/// The invented corner of a layout with changes, as the fields are.
fn corner(layout: usize, change: impl FnOnce(&mut Vec<Vector>)) -> Geometry {
    let layout = &LAYOUTS[layout];
    let mut points = layout.example(Side::Left);
    change(&mut points);
    let geometry = layout.geometry(Side::Left, &points, layout.wheel(Side::Left));
    geometry.unwrap()
}

/// What a millimetre on a link does to toe and to camber in degrees, as the page writes it, by solving the corner with the link longer and shorter.
fn rates(geometry: &Geometry, link: usize) -> String {
    let linkage = Linkage::new(geometry).unwrap();
    let at = |mm: f64| {
        let mut changes = [Length::ZERO; 5];
        changes[link] = Length::mm(mm);
        linkage.wheel(&linkage.pose(&changes, Length::ZERO).unwrap())
    };
    let (more, less) = (at(0.01), at(-0.01));
    let words = |change: Angle| {
        let rate = change.as_degrees() / 0.02;
        format!("{rate:+.4}").replace('-', "\u{2212}")
    };
    format!(
        "{} {} {}",
        geometry.links[link].name,
        words(more.toe - less.toe),
        words(more.camber - less.camber)
    )
}

#[test]
fn a_corners_links_are_told_by_what_they_do() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/#/geometry");
        page.arrives("A corner's geometry");
        let answer = answer(page);
        // An answer stands at once.
        let first = corner(0, |_| {});
        for link in 0..5 {
            answer.shows(&rates(&first, link));
        }
        answer.shows("Toe 0.05° toe-in");
        answer.shows("Camber 1.00° top in");
        answer.shows("Caster");
        answer.shows("Anti-dive under brakes");
        page.fits();
        page.look("bench-geometry-first");

        // A joint moved changes the rates, and the drawing follows.
        let drawn = || page.script("return document.querySelector('svg.drawing').outerHTML");
        let before = drawn();
        page.fill("5 Toe link: at the carrier", "-150 692 229");
        let shorter = corner(0, |points| points[7] = Vector::mm(-150.0, 692.0, 229.0));
        assert_ne!(rates(&first, 4), rates(&shorter, 4));
        answer.shows(&rates(&shorter, 4));
        assert_ne!(drawn(), before);

        // What cannot be read has its reason, gives no number, and leaves the drawing.
        let before = drawn();
        page.fill("5 Toe link: at the carrier", "-150 69o 229");
        page.shows("y, the second number, cannot be read: write it as 730, -190.5 or 28.7in.");
        answer.shows("No answer: 5 Toe link: at the carrier cannot be right.");
        answer.lacks("°");
        page.shows("Drawn as it last could be");
        assert_eq!(drawn(), before);
        assert_eq!(page.value("5 Toe link: at the carrier"), "-150 69o 229");
        page.fits();
        page.look("bench-geometry-refused");
        page.fill("5 Toe link: at the carrier", "-4.6 27.2 9");
        answer.shows("Toe link: its point at the carrier is");
        answer.lacks("°");
        page.fill("5 Toe link: at the carrier", "-116 692 229");
        answer.shows(&rates(&first, 4));
        page.fill("Wheel: its centre", "0 29.3 304");
        answer.shows(
            "The wheel's centre is 29.3 mm from the middle of the car: are these millimetres?",
        );
        // A track of 300 mm is one of some other unit.
        page.fill("Wheel: its centre", "0 150 304");
        answer.shows("150.0 mm from the middle of the car: are these millimetres?");
        page.fill("Wheel: its centre", "0 744 304");
        answer.shows(&rates(&first, 4));
        // Both ends in one point, one link twice, and coordinates of the other hand: no number, and the drawing stays.
        for (label, wrong, words) in [
            (
                "5 Toe link: at the car",
                "-116 692 229",
                "Toe link: both its ends are one point.",
            ),
            (
                "2 Upper arm, rear leg: at the car",
                "122 408 466",
                "Upper arm, front leg and Upper arm, rear leg join the same two points: one of them is listed twice.",
            ),
            (
                "Wheel: its centre",
                "0 -744 304",
                "The wheel's centre is on the other side of the car: y is positive to the left.",
            ),
        ] {
            let right = page.value(label);
            page.fill(label, wrong);
            answer.shows(words);
            answer.lacks("°");
            page.shows("Drawn as it last could be");
            assert_eq!(page.value(label), wrong);
            page.fill(label, &right);
            answer.shows(&rates(&first, 4));
        }

        // The other side is the same corner.
        page.click("right");
        assert_eq!(page.value("5 Toe link: at the carrier"), "-116 -692 229");
        answer.shows(&rates(&first, 4));

        page.click("five links");
        answer.shows(&rates(&corner(2, |_| {}), 3));
        answer.lacks("Caster");
        answer.shows("Anti-lift under brakes");
        page.fits();
        page.look("bench-geometry-five");
        page.click("strut, lower arm, toe link");
        answer.shows(&rates(&corner(1, |_| {}), 2));
        page.fits();
        page.look("bench-geometry-strut");
        page.fill("S Strut: on its axis, at the carrier", "-40 -552 868");
        answer.shows("The strut's top and the other point of its axis are one point.");
        answer.lacks("°");
        page.fill("S Strut: on its axis, at the carrier", "-12 -603 424");
        page.choose("Another hole for", "3 Toe link");
        page.fill("The other hole, at the car", "-144 -338 230");
        answer.shows("In the other hole Toe link is set");
        page.fits();
        // The strut's top as well, which moves the wheel.
        page.choose("Another hole for", "S Strut: top");
        assert_eq!(page.value("The other hole, at the car"), "-40 -552 868");
        answer.shows("With the strut's top there and nothing else set, toe would be 0.10° toe-in and camber 0.80° top in.");
        page.fill("The other hole, at the car", "-40 -546 868");
        let strut = corner(1, |_| {});
        let mover = Mover {
            strut_top: true,
            way: Vector::new(0.0, -1.0, 0.0),
            ..Mover::default()
        };
        let moved = Linkage::new(&strut).unwrap().set(&[mover], &[Length::mm(6.0)]);
        let pose = moved.pose(&Default::default(), Length::ZERO).unwrap();
        let camber = moved.wheel(&pose).camber.as_degrees();
        assert!(camber < -0.9, "{camber}");
        answer.shows(&format!("camber {:.2}° top in.", -camber));
        page.fits();
        page.look("bench-geometry-strut-top");
        // By the rack the wheels steer together.
        answer.lacks("Toe by the rack");
        page.click("Travel, steer and limits: rod ends, half-shaft");
        page.choose("Rack moves", "3 Toe link");
        answer.shows("Toe by the rack towards this side");
        let rack = Rack {
            link: 2,
            each_way: Length::mm(60.0),
        };
        let steered = Linkage::new(&strut).unwrap().steered(&rack, 4);
        for (shift, both) in steered {
            let words = both
                .unwrap()
                .map(|toe| format!("{:+.2}", toe.as_degrees()).replace('-', "\u{2212}"));
            answer.shows(&format!("{:.1} {}", shift.as_mm(), words.join(" ")));
        }
        page.fits();
        page.look("bench-geometry-rack");
    });
}

#[test]
fn another_hole_stands_beside_the_corner_and_its_curves_are_saved() {
    Site::release().visit(Screen::DESK, |page| {
        page.open("bench/#/geometry");
        let answer = answer(page);
        answer.lacks("other hole");
        page.choose("Another hole for", "5 Toe link");
        // It begins where the joint is.
        assert_eq!(page.value("The other hole, at the car"), "-128 340 234.5");
        answer.shows("In the other hole Toe link keeps its length.");
        page.fill("The other hole, at the car", "-128 340 247");
        answer.shows("In the other hole Toe link is set");
        answer.shows("other hole");
        page.look("bench-geometry-hole");

        let hole = corner(0, |points| points[6] = Vector::mm(-128.0, 340.0, 247.0));
        let curve = |geometry: &Geometry| {
            let linkage = Linkage::new(geometry).unwrap();
            linkage.both_ways(Length::mm(60.0), Length::mm(60.0), 12)
        };
        let (typed, other) = (curve(&corner(0, |_| {})), curve(&hole));
        page.click("Save the curves as CSV");
        let (name, bytes) = page.saved_file();
        assert_eq!(name, "corner-curves.csv");
        assert_eq!(
            String::from_utf8(bytes).unwrap(),
            write_curves(&[("as typed", &typed), ("other hole", &other)])
        );
        page.click("Save the curves as SVG");
        let (name, bytes) = page.saved_file();
        assert_eq!(name, "corner-curves.svg");
        let text = String::from_utf8(bytes).unwrap();
        assert!(
            text.starts_with("<svg xmlns='http://www.w3.org/2000/svg'"),
            "{text}"
        );
        // The other hole's line and its sample below, in each of four charts.
        assert_eq!(text.matches("stroke-dasharray").count(), 2 * 4);

        page.fill("The other hole, at the car", "-128 340");
        answer.shows("No answer: the other hole cannot be right.");
        answer.shows(&rates(&corner(0, |_| {}), 4));
        page.click("More: axle, wheelbase, centre of gravity, brakes");
        page.fill("Centre of gravity over the ground", "4");
        page.shows("The centre of gravity lies between 100 and 1500 mm above the ground.");
        answer.shows("No anti-dive or anti-lift");
        answer.lacks("Anti-dive under brakes");
    });
}

/// What the page says of a limit, by the corner solved here.
fn limit_words(geometry: &Geometry, range: &Range, limit: JointLimit) -> String {
    let linkage = Linkage::new(geometry).unwrap();
    let over = linkage.over(range, &[limit]);
    limit.words(&over.limits[0], geometry, LengthUnit::Millimetre)
}

#[test]
fn a_rod_end_that_leans_too_far_in_bump_is_told() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/#/geometry");
        let answer = answer(page);
        answer.lacks("Limits over travel");
        page.click("Travel, steer and limits: rod ends, half-shaft");
        page.click("Add a rod end");
        page.choose("Rod end 1, on", "5 Toe link");
        page.fill("Way of bolt 1", "0 0 100");
        page.fill("Rod end 1 may lean by", "5");
        let range = |bump: f64| Range {
            bump: Length::mm(bump),
            droop: Length::mm(60.0),
            rack: None,
        };
        let limit = JointLimit::RodEnd {
            link: 4,
            on_carrier: false,
            bolt: Vector::UP,
            most: Angle::degrees(5.0),
        };
        let geometry = corner(0, |_| {});
        let said = limit_words(&geometry, &range(60.0), limit);
        assert!(
            said.contains("passes its 5.00° at") && said.contains("mm of bump"),
            "{said}"
        );
        answer.shows(&said);
        page.click("Their curves");
        page.fits();
        page.look("bench-geometry-limits");
        // Less travel, and what is told follows; the curves stay unfolded.
        page.fill("Bump, up from here", "20");
        answer.shows(&limit_words(&geometry, &range(20.0), limit));
        assert_eq!(
            page.script(
                "return document.querySelectorAll('section.next details[open] svg').length"
            ),
            1
        );
        // A bolt without a way, and a travel of another unit, give no number.
        page.fill("Way of bolt 1", "0 0 0");
        page.shows("Write the way along the bolt, such as 100 0 0");
        answer.shows("No answer: rod end 1 cannot be right.");
        answer.lacks("on its ball");
        page.fill("Way of bolt 1", "0 0 100");
        page.fill("Bump, up from here", "20 in");
        page.shows("The wheel's travel lies between");
        answer.shows("No answer: bump cannot be right.");
        answer.lacks("°");
        page.fill("Bump, up from here", "60");
        page.fill("Half-shaft: inner joint, at the car", "0 300 304");
        answer.shows("No answer: the half-shaft cannot be right.");
        page.fill("Half-shaft: outer joint, at the carrier", "0 700 304");
        let shaft = JointLimit::HalfShaft {
            inner: Vector::mm(0.0, 300.0, 304.0),
            outer: Vector::mm(0.0, 700.0, 304.0),
            shorter: Length::mm(20.0),
            longer: Length::mm(20.0),
        };
        answer.shows(&limit_words(&geometry, &range(60.0), shaft));
        answer.shows(&said);
        page.click("Take out rod end 1");
        answer.lacks("on its ball");
    });
}

/// The kit card's corner in the fields of the bench, with its own links and limits.
fn shows_card(page: &Page, given: &CornerGeometry) {
    page.arrives("A corner's geometry");
    let geometry = given.geometry();
    let answer = answer(page);
    for link in 0..geometry.links.len() {
        answer.shows(&rates(&geometry, link));
    }
    for limit in given.limits() {
        answer.shows(&limit_words(&geometry, &given.range(), limit));
    }
    page.fits();
}

#[test]
fn a_kit_cards_corner_opens_from_turn_and_from_the_desk() {
    let folder = std::path::PathBuf::from(env!("CARGO_TARGET_TMPDIR"));
    for (name, corner, label) in [
        ("rear", Corner::LeftRear, "5 Lower radius rod: at the car"),
        ("front", Corner::LeftFront, "S Strut: top, at the car"),
    ] {
        let job = folder.join(format!("bench-{name}-job.json"));
        std::fs::write(&job, save_job(&whole(name))).unwrap();
        let file = folder.join(format!("bench-{name}-card.json"));
        std::fs::write(&file, save_kit_card(&card(name))).unwrap();
        let given = card(name).geometry_of(corner).unwrap();
        Site::release().visit(Screen::PHONE, |page| {
            page.open("");
            page.attach("Open a kit card or a saved job", &job);
            page.arrives("Unpack");
            page.script("location.href = '../align/#/job/7/turn'");
            page.arrives("Turn");
            let see = format!("See the geometry, {}", corner.words().to_ascii_lowercase());
            page.click(&see);
            shows_card(page, &given);
            page.shows("The corner in the fields is the kit card's");
            page.look(&format!("bench-card-{name}"));
            // Another layout and back: the card's corner is there again, whatever was typed.
            let before = page.value(label);
            page.fill(label, "1 2");
            answer(page).shows("No answer");
            page.click("five links");
            answer(page).lacks("No answer");
            page.click(&format!(
                "kit card, {}",
                corner.words().to_ascii_lowercase()
            ));
            assert_eq!(page.value(label), before);
            shows_card(page, &given);
            // The other side is its twin.
            page.click("right");
            shows_card(page, &card(name).geometry_of(corner.twin()).unwrap());

            page.open("desk/");
            page.attach("Open a kit card", &file);
            page.arrives("Write the kit card");
            page.click(&see);
            shows_card(page, &given);

            // A link that was cut says so, and the question stands with its invented corner.
            page.script("location.hash = location.hash.slice(0, 300)");
            page.shows("The address holds no corner that can be read");
            answer(page).shows(&rates(&self::corner(0, |_| {}), 4));
        });
    }
}

/// A finger needs 48 pixels, and one hand cannot scroll across.
#[test]
fn every_question_is_for_one_hand() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/");
        page.arrives("Turns for an angle");
        for slug in ["turns", "torque", "holes", "thread", "which", "geometry"] {
            page.script(&format!("location.hash = '#/{slug}'"));
            page.part(&format!("nav a[aria-current][href='#/{slug}']")).shows("");
            page.fits();
            unfold(page);
            let small = page.script(
                "const targets = 'main a, main button, main select, main summary, main label:has(input), main input[type=text]';
                 return [...document.querySelectorAll(targets)]
                   .map((target) => [target.getBoundingClientRect(), target.outerHTML])
                   .filter(([box]) => box.width < 48 || box.height < 48)
                   .map(([box, html]) => `${box.width} x ${box.height}: ${html.slice(0, 80)}`)",
            );
            assert_eq!(small, serde_json::json!([]), "{slug}");
            page.fits();
        }
    });
}

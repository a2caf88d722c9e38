//! The drawings, read back from their markup: what they show is where the numbers say.

use approx::assert_abs_diff_eq as assert_close;
use halfturn::drawing::{
    AdapterDrawing, ChartLine, CornerViews, HeadDrawing, Hold, HolePlay, LeverArm, LineChart,
    PhoneGauge, PlanLine, ShellPlan, SlotScale, charts_file,
};
use halfturn::hardware::{Grade, Thread, judge_hole, threads, wrench_setting};
use halfturn::linkage::{Geometry, LAYOUTS, Linkage, Side, Vector};
use halfturn::quantity::{Angle, Length, Torque};
use proptest::prelude::*;

/// One element of a drawing, with the text that follows its opening tag.
#[derive(Debug)]
struct Element {
    name: String,
    attributes: Vec<(String, String)>,
    text: String,
}

impl Element {
    fn get(&self, name: &str) -> &str {
        self.attributes
            .iter()
            .find(|(key, _)| key == name)
            .map_or("", |(_, value)| value)
    }

    #[track_caller]
    fn number(&self, name: &str) -> f64 {
        self.get(name)
            .parse()
            .unwrap_or_else(|_| panic!("{name} in {self:?}"))
    }

    fn is(&self, name: &str, class: &str) -> bool {
        self.name == name && self.get("class").split(' ').any(|word| word == class)
    }
}

/// Reads markup strictly: every tag closed in order, every attribute quoted and named once, nothing unescaped, one element round all.
fn read(markup: &str) -> Result<Vec<Element>, String> {
    let mut elements: Vec<Element> = Vec::new();
    let mut open: Vec<String> = Vec::new();
    let mut rest = markup;
    while let Some(tag) = rest.strip_prefix('<') {
        let mut end = None;
        let mut quote = None;
        for (at, c) in tag.char_indices() {
            match (quote, c) {
                (None, '>') => {
                    end = Some(at);
                    break;
                }
                (_, '<') => return Err(format!("< inside a tag: {tag}")),
                (None, '\'' | '"') => quote = Some(c),
                (Some(mark), c) if c == mark => quote = None,
                _ => {}
            }
        }
        let end = end.ok_or("a tag without an end")?;
        let (body, after) = (&tag[..end], &tag[end + 1..]);
        let text = &after[..after.find('<').unwrap_or(after.len())];
        rest = &after[text.len()..];
        if let Some(name) = body.strip_prefix('/') {
            if open.pop().as_deref() != Some(name) {
                return Err(format!("{name} closed out of order"));
            }
            if !text.is_empty() || (open.is_empty() && !rest.is_empty()) {
                return Err(format!("{text}{rest} after {name}"));
            }
            continue;
        }
        let (body, empty) = match body.strip_suffix('/') {
            Some(body) => (body, true),
            None => (body, false),
        };
        let (name, mut left) = body.split_once(' ').unwrap_or((body, ""));
        let mut attributes: Vec<(String, String)> = Vec::new();
        while !left.trim().is_empty() {
            let (key, value) = left.trim_start().split_once('=').ok_or("no value")?;
            let mark = value.chars().next().filter(|c| "'\"".contains(*c));
            let mark = mark.ok_or_else(|| format!("{key} is not quoted"))?;
            let (value, next) = value[1..].split_once(mark).ok_or("no end of value")?;
            if attributes.iter().any(|(other, _)| other == key) {
                return Err(format!("{key} twice in {body}"));
            }
            attributes.push((key.to_owned(), unescaped(value)?));
            left = next;
        }
        if name != "text" && !text.is_empty() {
            return Err(format!("{text} outside a text"));
        }
        elements.push(Element {
            name: name.to_owned(),
            attributes,
            text: unescaped(text)?,
        });
        if !empty {
            open.push(name.to_owned());
        }
    }
    if open.is_empty() && rest.is_empty() {
        Ok(elements)
    } else {
        Err(format!("left open: {open:?}, left over: {rest}"))
    }
}

fn unescaped(text: &str) -> Result<String, String> {
    let mut plain = text.to_owned();
    for (entity, c) in [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\"")] {
        plain = plain.replace(entity, c);
    }
    if plain.replace("&amp;", "").contains('&') {
        return Err(format!("a bare & in {text}"));
    }
    Ok(plain.replace("&amp;", "&"))
}

#[track_caller]
fn elements(markup: &str) -> Vec<Element> {
    read(markup).unwrap_or_else(|error| panic!("{error}\n{markup}"))
}

/// Markup that a browser takes whole and that shows no number which is none.
fn sound(markup: &str) -> Result<Vec<Element>, String> {
    let elements = read(markup)?;
    for element in &elements {
        for (key, value) in &element.attributes {
            // `?` is what a number that is none is written as.
            if key != "aria-label" && ["NaN", "inf", "?"].iter().any(|bad| value.contains(bad)) {
                return Err(format!("{key} is {value}"));
            }
            if ["width", "height", "r", "rx", "ry"].contains(&key.as_str())
                && value.starts_with('-')
            {
                return Err(format!("{key} is {value}"));
            }
        }
    }
    let drawing = elements.first().ok_or("nothing drawn")?;
    if drawing.get("role") != "img" || drawing.get("aria-label").is_empty() {
        return Err("no words for those who do not see it".into());
    }
    Ok(elements)
}

#[test]
fn unsound_markup_is_found() {
    for bad in [
        "<svg><g></svg></g>",
        "<svg><path d='M0 0'></svg>",
        "<svg><text>a & b</text></svg>",
        "<svg><text>a < b</text></svg>",
        "<svg class=a></svg>",
        "<svg a='1' a='2'></svg>",
        "<svg></svg><svg",
        "<svg></svg> more",
        "more",
    ] {
        assert!(read(bad).is_err(), "{bad}");
    }
    let label = "role='img' aria-label='words'";
    for bad in ["cx='?'", "cx='NaN'", "d='M0 inf'", "r='-1'"] {
        let markup = format!("<svg {label}><circle {bad}/></svg>");
        assert!(sound(&markup).is_err(), "{bad}");
    }
    assert!(sound("<svg role='img'></svg>").is_err());
    assert!(sound(&format!("<svg {label}><circle r='1'/></svg>")).is_ok());
}

/// The numbers of a path or a list, whatever letters stand between them.
fn numbers(path: &str) -> Vec<f64> {
    path.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter(|word| !word.is_empty())
        .map(|word| word.parse().unwrap())
        .collect()
}

/// The lines on a head: from and to, each from the middle.
fn lines(grade: Grade) -> Vec<[(f64, f64); 2]> {
    let head = elements(&HeadDrawing { grade }.svg());
    head.iter()
        .filter(|element| element.is("path", "accent"))
        .flat_map(|element| numbers(element.get("d")))
        .collect::<Vec<_>>()
        .chunks(4)
        .map(|at| [(at[0] - 80.0, at[1] - 80.0), (at[2] - 80.0, at[3] - 80.0)])
        .collect()
}

/// Sources: SAE J429, in which grade 2 has no lines, grade 5 three at 120° and grade 8 six at 60°.
#[test]
fn lines_on_a_head_are_even_and_inside_its_chamfer() {
    for (grade, count) in [(Grade::Sae2, 0), (Grade::Sae5, 3), (Grade::Sae8, 6)] {
        let lines = lines(grade);
        assert_eq!(lines.len(), count, "{grade:?}");
        let head = elements(&HeadDrawing { grade }.svg());
        let chamfer = head
            .iter()
            .find(|element| element.is("circle", "thin"))
            .unwrap()
            .number("r");
        for (k, [from, to]) in lines.iter().enumerate() {
            let (inner, outer) = (from.0.hypot(from.1), to.0.hypot(to.1));
            assert!(0.0 < inner && outer < chamfer, "{inner} to {outer}");
            assert_close!(outer - inner, 22.0, epsilon = 0.15);
            // Radial: both ends in one direction from the middle.
            assert_close!(from.0 * to.1 - from.1 * to.0, 0.0, epsilon = 10.0);
            assert!(from.0 * to.0 + from.1 * to.1 > 0.0);
            let next = lines[(k + 1) % count][1];
            let turned = next.1.atan2(next.0) - to.1.atan2(to.0);
            assert_close!(
                turned.to_degrees().rem_euclid(360.0),
                360.0 / count as f64,
                epsilon = 0.3
            );
        }
    }
}

/// The corners of a head's or a socket's hexagon, from the middle.
fn corners(element: &Element) -> Vec<(f64, f64)> {
    let mut at = (0.0, 0.0);
    let mut corners = Vec::new();
    let path = element.get("d").trim_end_matches('z');
    let mut letter = 'M';
    let mut rest = path;
    while !rest.is_empty() {
        if let Some(c) = rest.chars().next().filter(char::is_ascii_alphabetic) {
            letter = c;
            rest = &rest[1..];
            continue;
        }
        let end = |text: &str| {
            text.find(|c: char| c == ' ' || c.is_ascii_alphabetic())
                .unwrap_or(text.len())
        };
        rest = rest.trim_start();
        let (word, after) = rest.split_at(end(rest));
        let first: f64 = word.parse().unwrap();
        rest = after.trim_start();
        if letter == 'H' {
            at.0 = first;
        } else {
            let (word, after) = rest.split_at(end(rest));
            at = (first, word.parse().unwrap());
            rest = after.trim_start();
        }
        corners.push((at.0 - 80.0, at.1 - 80.0));
    }
    corners
}

#[test]
fn hexagons_are_regular() {
    for (grade, across_corners) in [(Grade::Iso8_8, 140.0), (Grade::A574, 77.4)] {
        let head = elements(&HeadDrawing { grade }.svg());
        let hex = head.iter().find(|element| element.is("path", "heavy"));
        let corners = corners(hex.unwrap());
        assert_eq!(corners.len(), 6);
        for (k, (x, y)) in corners.iter().enumerate() {
            assert_close!(x.hypot(*y), across_corners / 2.0, epsilon = 0.1);
            let next = corners[(k + 1) % 6];
            assert_close!(
                (next.0 - x).hypot(next.1 - y),
                across_corners / 2.0,
                epsilon = 0.15
            );
        }
    }
}

/// Source: ASME B18.3, in which a 3/8 in screw has a head of 9/16 in and a key of 5/16 in, a 1/2 in screw 3/4 in and 3/8 in.
#[test]
fn a_socket_head_is_round_with_a_socket_of_its_size() {
    let head = elements(&HeadDrawing { grade: Grade::A574 }.svg());
    let socket = head.iter().find(|element| element.is("path", "heavy"));
    let (x, y) = corners(socket.unwrap())[0];
    let across_flats = x.hypot(y) * 3_f64.sqrt();
    let edge = head
        .iter()
        .find(|element| element.is("circle", "solid"))
        .unwrap()
        .number("r");
    let share = across_flats / (2.0 * edge);
    assert!((3.0 / 6.0 - 1e-3..5.0 / 9.0).contains(&share), "{share}");
}

#[test]
fn a_head_says_its_grade_in_its_standards_way() {
    for grade in Grade::ALL {
        let head = sound(&HeadDrawing { grade }.svg()).unwrap();
        let label = head[0].get("aria-label");
        assert!(label.contains(&grade.name()), "{label}");
        assert!(label.contains(grade.standard()), "{label}");
        let strong: Vec<_> = head
            .iter()
            .filter(|element| element.is("text", "strong"))
            .map(|element| element.text.as_str())
            .collect();
        match grade.standard() {
            "ISO 898-1" | "ISO 3506-1" => assert_eq!(strong, [grade.key()]),
            _ => assert!(strong.is_empty(), "{grade:?} bears {strong:?}"),
        }
        let maker = head.iter().any(|element| element.text == "maker");
        assert_eq!(maker, label.contains("maker"), "{label}");
    }
}

/// What a drawn hole and bolt measure, in drawing units.
#[derive(Debug)]
struct Drawn {
    left: f64,
    across: f64,
    down: f64,
    ends: (f64, f64),
    bolt: (f64, f64),
    times: f64,
    dimension: Option<(f64, f64)>,
}

impl Drawn {
    fn of(play: &HolePlay) -> Self {
        let all = sound(&play.svg()).unwrap();
        let hole = all.iter().find(|element| element.is("rect", "heavy"));
        let hole = hole.unwrap_or_else(|| panic!("no whole hole: {play:?}"));
        let bolt = all.iter().find(|element| element.name == "circle").unwrap();
        let note = all
            .iter()
            .find_map(|element| element.text.split(" drawn ").nth(1));
        Self {
            left: hole.number("x"),
            across: hole.number("width"),
            down: hole.number("height"),
            ends: (hole.number("rx"), hole.number("ry")),
            bolt: (bolt.number("cx"), bolt.number("r")),
            times: note.map_or(1.0, |note| {
                note.strip_suffix(" times larger").unwrap().parse().unwrap()
            }),
            dimension: all
                .iter()
                .find(|element| element.is("path", "thin") && element.get("d").contains('H'))
                .map(|element| {
                    let at = numbers(element.get("d"));
                    (at[0], at[3])
                }),
        }
    }

    /// Drawing units for a millimetre of the bolt.
    fn scale(&self, bolt: f64) -> f64 {
        2.0 * self.bolt.1 / bolt
    }
}

fn hole_play(bolt: f64, hole: [f64; 2], slot: bool) -> HolePlay {
    HolePlay {
        bolt: Length::mm(bolt),
        hole: hole.map(Length::mm),
        slot,
        words: "play".into(),
    }
}

#[test]
fn play_is_drawn_as_large_as_it_is_or_says_how_much_larger() {
    for (bolt, hole, slot, play, times) in [
        (12.0, [13.0, 13.0], false, 1.0, 1.0),
        (12.0, [13.5, 13.5], false, 1.5, 1.0),
        (12.0, [12.5, 12.5], false, 0.5, 2.0),
        (12.0, [12.1, 12.1], false, 0.1, 10.0),
        (12.0, [12.01, 12.01], false, 0.01, 50.0),
        (12.0, [12.4, 13.2], false, 1.2, 1.0),
        (12.0, [13.2, 12.4], false, 1.2, 1.0),
        (12.0, [24.0, 24.0], false, 12.0, 1.0),
        (12.0, [18.0, 13.0], true, 1.0, 1.0),
        (12.7, [12.7, 12.7], false, 0.0, 1.0),
        (12.0, [11.8, 11.8], false, -0.2, 5.0),
        (12.0, [11.0, 14.0], false, -1.0, 1.0),
    ] {
        let drawn = Drawn::of(&hole_play(bolt, hole, slot));
        let scale = drawn.scale(bolt);
        let (centre, radius) = drawn.bolt;
        let gap = (drawn.left + drawn.across) - (centre + radius);
        assert_close!(drawn.left, centre - radius, epsilon = 0.02);
        assert_eq!(drawn.times, times, "{hole:?}");
        assert_close!(gap, play * scale * times, epsilon = 0.05);
        // The dimension lies where the play is.
        match drawn.dimension {
            Some((a, b)) => assert_close!((b - a).abs(), gap.abs(), epsilon = 0.11),
            None => assert!(play == 0.0, "{hole:?}"),
        }
    }
}

#[test]
fn a_slot_has_its_length_and_a_long_one_is_broken_off() {
    let drawn = Drawn::of(&hole_play(12.0, [13.0, 18.0], true));
    assert_close!(drawn.down, 18.0 * drawn.scale(12.0), epsilon = 0.1);
    assert_close!(drawn.ends.0, drawn.across / 2.0, epsilon = 0.02);
    let long = elements(&hole_play(12.0, [13.0, 60.0], true).svg());
    assert!(!long.iter().any(|element| element.is("rect", "heavy")));
    assert!(long.iter().any(|element| element.is("path", "heavy")));
}

#[test]
fn only_a_bolt_too_large_is_hatched_with_the_accent() {
    for (hole, tight) in [
        ([11.8, 11.8], true),
        ([11.0, 14.0], true),
        ([12.0, 12.0], false),
        ([12.1, 12.5], false),
    ] {
        for slot in [false, true] {
            let svg = hole_play(12.0, hole, slot).svg();
            assert_eq!(svg.contains("hatch-least"), tight, "{hole:?}");
            assert_eq!(svg.contains("overlap drawn"), hole == [11.8, 11.8]);
        }
    }
}

#[test]
fn what_stands_at_a_dimension_fits_or_is_only_read_aloud() {
    for (words, written) in [("x".repeat(44), true), ("x".repeat(45), false)] {
        let mut play = hole_play(12.0, [12.1, 12.1], false);
        play.words.clone_from(&words);
        let all = elements(&play.svg());
        assert_eq!(
            all[0].get("aria-label"),
            format!("{words}; play drawn 10 times larger")
        );
        assert_eq!(all.iter().any(|element| element.text == words), written);
    }
}

fn adapter_drawing(wrench: f64, extension: f64, degrees: f64) -> Vec<Element> {
    let drawing = AdapterDrawing {
        wrench: Length::mm(wrench),
        extension: Length::mm(extension),
        angle: Angle::degrees(degrees),
        words: "words".into(),
    };
    sound(&drawing.svg()).unwrap()
}

/// Where the fastener and the hand are drawn, with the square at nothing and up counted as up; and whether the wrench is broken off.
fn adapter(wrench: f64, extension: f64, degrees: f64) -> ([(f64, f64); 2], bool) {
    let all = adapter_drawing(wrench, extension, degrees);
    let turned = all
        .iter()
        .find_map(|element| element.get("transform").strip_prefix("rotate("))
        .map_or(0.0, |turn| numbers(turn)[0]);
    // The hexagon begins at its left corner, 9.4 from its middle.
    let hexagon = all
        .iter()
        .find(|element| element.is("path", "heavy"))
        .unwrap();
    let out = numbers(hexagon.get("d"))[0] + 9.4;
    // A positive turn of SVG is clockwise.
    let (sin, cos) = (-turned).to_radians().sin_cos();
    let hand = all
        .iter()
        .find(|element| element.is("path", "accent-fill"))
        .map(|element| numbers(element.get("d"))[0])
        .unwrap();
    let broken = all
        .iter()
        .any(|element| element.name == "path" && element.get("class") == "solid");
    ([(out * cos, out * sin), (hand, 0.0)], broken)
}

#[test]
fn an_extension_is_drawn_at_its_angle() {
    let ([straight, hand], _) = adapter(300.0, 100.0, 0.0);
    assert_close!(straight.0, -hand.0 / 3.0, epsilon = 0.2);
    assert_close!(straight.1, 0.0);
    let ([square, _], _) = adapter(300.0, 100.0, 90.0);
    assert_close!(square.0, 0.0, epsilon = 0.1);
    assert_close!(square.1, straight.0, epsilon = 0.1);
    let ([back, _], _) = adapter(300.0, 100.0, 180.0);
    assert_close!(back.0, -straight.0, epsilon = 0.1);
    assert_close!(back.1, 0.0, epsilon = 0.1);
    let ([mirrored, _], _) = adapter(300.0, 100.0, -90.0);
    assert_close!(mirrored.1, square.1);
    let ([none, _], _) = adapter(300.0, 100.0, f64::NAN);
    assert_close!(none.0, straight.0);
    let said = |degrees| {
        adapter_drawing(300.0, 100.0, degrees)
            .into_iter()
            .find_map(|element| element.text.strip_suffix('°').map(str::to_owned))
    };
    assert_eq!(said(0.0), None);
    assert_eq!(said(22.5).as_deref(), Some("22.5"));
    assert_eq!(said(90.0).as_deref(), Some("90"));
}

#[test]
fn wrench_and_extension_are_dimensioned_from_middle_to_middle() {
    let all = adapter_drawing(300.0, 100.0, 90.0);
    let lines: Vec<_> = all
        .iter()
        .filter(|element| element.is("path", "thin") && element.get("d").contains("l6 -6"))
        .map(|element| numbers(element.get("d")))
        .collect();
    // Two extension lines of three numbers each, then from, height and to.
    let spans: Vec<_> = lines.iter().map(|at| (at[6], at[8])).collect();
    let ([fastener, hand], _) = adapter(300.0, 100.0, 90.0);
    assert_eq!(spans.len(), 2);
    assert_close!(spans[0].0, 0.0);
    assert_close!(spans[0].1, fastener.1, epsilon = 0.1);
    assert_close!(spans[1].0, hand.0);
    assert_close!(spans[1].1, 0.0);
}

#[test]
fn a_wrench_much_longer_than_its_extension_is_broken_off() {
    assert!(!adapter(400.0, 100.0, 0.0).1);
    assert!(adapter(401.0, 100.0, 0.0).1);
    assert!(!adapter(400.0, 0.0, 0.0).1);
    let ([fastener, _], _) = adapter(400.0, 0.0, 0.0);
    assert_close!(fastener.0, 0.0, epsilon = 1e-9);
}

#[test]
fn words_are_escaped() {
    let words = "5 < 6 & \"it's\" > </svg><script>";
    let mut play = hole_play(12.0, [13.0, 13.0], false);
    play.words = words.into();
    let adapter = AdapterDrawing {
        wrench: Length::mm(400.0),
        extension: Length::mm(50.0),
        angle: Angle::degrees(90.0),
        words: words.into(),
    };
    for svg in [play.svg(), adapter.svg()] {
        assert_eq!(sound(&svg).unwrap()[0].get("aria-label"), words);
    }
    assert!(elements(&play.svg()).iter().any(|e| e.text == words));
}

/// Any number there is, and the ones that are none.
fn any_size() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        -100.0..1000.0,
        Just(0.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(f64::MAX),
        Just(f64::MIN_POSITIVE),
    ]
}

proptest! {
    #[test]
    fn any_hole_gives_sound_markup(bolt in any_size(), a in any_size(), b in any_size(), slot: bool, words in ".{0,60}") {
        let mut play = hole_play(bolt, [a, b], slot);
        play.words = format!("w{words}");
        prop_assert_eq!(sound(&play.svg()).map(|_| ()), Ok(()));
    }

    #[test]
    fn any_adapter_gives_sound_markup(l in any_size(), a in any_size(), degrees in any_size(), words in ".{0,60}") {
        let drawing = AdapterDrawing {
            wrench: Length::mm(l),
            extension: Length::mm(a),
            angle: Angle::degrees(degrees),
            words: format!("w{words}"),
        };
        prop_assert_eq!(sound(&drawing.svg()).map(|_| ()), Ok(()));
    }

    /// A bolt that goes in lies in its hole, and the hole is no tighter at its ends than the bolt; the play is the one that is judged.
    #[test]
    fn a_bolt_lies_in_its_hole(size in 0usize..20, a in 1.0..1.9, b in 1.0..1.9) {
        let all: Vec<Thread> = threads().collect();
        let thread = all[size % all.len()];
        let bolt = thread.diameter();
        let hole = [bolt * a, bolt * b];
        let play = HolePlay { bolt, hole, slot: false, words: "play".into() };
        let drawn = Drawn::of(&play);
        let radius = drawn.bolt.1;
        prop_assert!(drawn.down >= 2.0 * radius - 0.02);
        prop_assert!(drawn.ends.1 * drawn.ends.1 / drawn.ends.0 > radius - 0.05, "{:?}", drawn);
        prop_assert!(drawn.ends.0 <= drawn.across / 2.0 + 0.01);
        if let Ok(fit) = judge_hole(thread, hole, false) {
            let gap = drawn.across - 2.0 * radius;
            let told = fit.play.as_mm() * drawn.scale(bolt.as_mm()) * drawn.times;
            prop_assert!((gap - told).abs() < 0.1, "{gap} {told}");
        }
    }

    /// The setting is the torque times L over the drawn distance from hand to fastener, measured along the wrench.
    #[test]
    fn the_drawing_and_the_setting_agree(l in 200.0..600.0, share in 0.26..0.99, degrees in 0.0..180.0) {
        let a = l * share;
        let ([fastener, hand], broken) = adapter(l, a, degrees);
        prop_assert!(!broken);
        let drawn = -hand.0 / (fastener.0 - hand.0);
        let torque = Torque::newton_metres(100.0);
        let set = wrench_setting(torque, Length::mm(l), Length::mm(a), Angle::degrees(degrees)).unwrap();
        // A tenth of a unit or of a degree, as the markup is rounded.
        let off = (fastener.0 - hand.0) * (set / torque - drawn).abs() / drawn;
        prop_assert!(off < 0.5, "{off}");
    }

    #[test]
    fn an_adapter_lies_inside_its_drawing(l in 100.0..1000.0, share in 0.0..1.0, degrees in 0.0..180.0) {
        let all = adapter_drawing(l, l * share, degrees);
        let frame = numbers(all[0].get("viewBox"));
        let square = numbers(all.iter().find(|element| element.name == "g").unwrap().get("transform"));
        let ([fastener, hand], _) = adapter(l, l * share, degrees);
        // The jaw is 17 round the fastener, the grip goes on 28 beyond the hand, and half a line of text is 6 high and 16 wide.
        let mut points = vec![(fastener.0, -fastener.1, 17.0, 17.0), (hand.0, 0.0, 28.0, 8.0)];
        for text in all.iter().filter(|element| element.name == "text") {
            points.push((text.number("x"), text.number("y") - 4.0, 16.0, 6.0));
        }
        for (x, y, across, down) in points {
            let (x, y) = (square[0] + x, square[1] + y);
            prop_assert!(x - across >= 0.0 && x + across <= frame[2], "{} in {:?}", x, frame);
            prop_assert!(y - down >= 0.0 && y + down <= frame[3], "{} in {:?}", y, frame);
        }
    }
}

fn views(layout: usize, side: Side) -> (Geometry, CornerViews) {
    let layout = &LAYOUTS[layout];
    let points = layout.example(side);
    let geometry = layout.geometry(side, &points, layout.wheel(side));
    let geometry = geometry.unwrap();
    let views = CornerViews::new(&geometry).unwrap();
    (geometry, views)
}

/// Drawing units for a metre, by the scale bar.
fn corner_scale(all: &[Element]) -> f64 {
    let bar = all.iter().find(|element| element.is("path", "scale"));
    let bar = numbers(bar.unwrap().get("d"));
    let words = all.iter().find(|element| element.text.ends_with(" mm"));
    let length: f64 = words.unwrap().text.replace(" mm", "").parse().unwrap();
    (bar[2] - bar[0]) / length * 1e3
}

/// Each link is as long in each view as its two coordinates there say, and lies as they say.
#[test]
fn a_corner_is_drawn_to_scale_in_three_views() {
    for layout in 0..LAYOUTS.len() {
        for side in [Side::Left, Side::Right] {
            let (geometry, views) = views(layout, side);
            let all = sound(&views.svg()).unwrap();
            let scale = corner_scale(&all);
            let out = side.outwards();
            let bars: Vec<_> = all
                .iter()
                .filter(|element| element.is("path", "heavy"))
                .map(|element| numbers(element.get("d")))
                .collect();
            let mut links: Vec<_> = geometry
                .links
                .iter()
                .map(|link| (link.car, link.carrier))
                .collect();
            links.extend(geometry.strut.map(|strut| (strut.top, strut.on_axis)));
            assert_eq!(bars.len(), 3 * links.len());
            for (view, bars) in bars.chunks(links.len()).enumerate() {
                for (bar, (car, carrier)) in bars.iter().zip(&links) {
                    let way = *carrier - *car;
                    let [across, down] = match view {
                        0 => [-way.y, -way.z],
                        1 => [-out * way.x, -way.z],
                        _ => [-way.y, -way.x],
                    };
                    assert_close!(bar[2] - bar[0], across * scale, epsilon = 0.3);
                    assert_close!(bar[3] - bar[1], down * scale, epsilon = 0.3);
                }
            }
            // From the side the wheel is round and as large as it is.
            let wheel = all.iter().filter(|element| element.is("path", "wheel"));
            let wheel = numbers(wheel.into_iter().nth(1).unwrap().get("d"));
            let across = |pick: usize| {
                let values = wheel.iter().skip(pick).step_by(2).copied();
                let (least, most) =
                    values.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
                most - least
            };
            let diameter = 2.0 * geometry.wheel.radius.as_metres() * scale;
            assert_close!(across(0), diameter, epsilon = 0.5);
            assert_close!(across(1), diameter, epsilon = 0.5);
            // Everything is inside, and every link has its number in every view.
            let frame = numbers(all[0].get("viewBox"));
            for element in all.iter().filter(|element| element.name == "circle") {
                let r = element.number("r");
                assert!(element.number("cx") - r >= 0.0, "{element:?}");
                assert!(element.number("cx") + r <= frame[2], "{element:?}");
                assert!(element.number("cy") + r <= frame[3], "{element:?}");
            }
            for name in all.iter().filter(|element| element.is("text", "strong")) {
                // A bold letter of 13 px is 7.6 px wide on the whole.
                let end = name.number("x") + 7.6 * name.text.chars().count() as f64;
                assert!(end <= frame[2], "{name:?}");
            }
            for place in 1..=geometry.links.len() {
                let number = place.to_string();
                let times = all.iter().filter(|element| element.text == number);
                assert_eq!(times.count(), 3);
            }
        }
    }
}

#[test]
fn a_corner_with_another_hole_shows_both_and_escapes_names() {
    let (mut geometry, _) = views(0, Side::Left);
    geometry.links[4].name = "a <b> & \"c\"".into();
    let mut views = CornerViews::new(&geometry).unwrap();
    let dashed = |views: &CornerViews| {
        let all = sound(&views.svg()).unwrap();
        assert!(all[0].get("aria-label").contains("5 a <b> & \"c\""));
        all.iter()
            .filter(|element| element.get("stroke-dasharray") == "5 3")
            .count()
    };
    assert_eq!(dashed(&views), 0);
    views.other = Some((Vector::mm(-128.0, 340.0, 250.0), geometry.links[4].carrier));
    // In three views and in the key.
    assert_eq!(dashed(&views), 4);
    geometry.wheel.radius = Length::mm(f64::NAN);
    assert!(CornerViews::new(&geometry).is_err());
}

fn chart(lines: &[&[(f64, f64)]]) -> LineChart {
    LineChart {
        title: "Toe <°> & more".into(),
        decimals: 2,
        lines: lines
            .iter()
            .map(|points| ChartLine {
                name: "as \"typed\"".into(),
                points: points.to_vec(),
            })
            .collect(),
    }
}

#[test]
fn a_chart_is_to_scale_and_says_its_ends() {
    let line = [(-60.0, -0.31), (0.0, 0.1), (60.0, 0.42)];
    let other = [(-60.0, 0.2), (0.0, 0.1)];
    let all = sound(&chart(&[&line, &other]).svg()).unwrap();
    let lines: Vec<_> = all
        .iter()
        .filter(|element| element.is("path", "line"))
        .collect();
    assert_eq!(lines.len(), 2);
    // Solid and dashed: never by colour alone.
    assert_eq!(lines[0].get("stroke-dasharray"), "");
    assert_ne!(lines[1].get("stroke-dasharray"), "");
    // By the grid's labels, the line is where its values are.
    let labels: Vec<(f64, f64)> = all
        .iter()
        .filter(|element| element.name == "text" && element.get("x") == "40.0")
        .map(|element| {
            let value = element.text.replace('\u{2212}', "-").parse().unwrap();
            (value, element.number("y") - 4.5)
        })
        .collect();
    assert!(labels.len() >= 3, "{labels:?}");
    let (low, high) = (labels[0], labels[labels.len() - 1]);
    let value = |y: f64| low.0 + (y - low.1) / (high.1 - low.1) * (high.0 - low.0);
    let path = numbers(lines[0].get("d"));
    for (place, (_, expected)) in line.iter().enumerate() {
        assert_close!(value(path[2 * place + 1]), *expected, epsilon = 2e-3);
    }
    assert_close!(path[2] - path[0], path[4] - path[2], epsilon = 0.2);
    let figures: Vec<_> = all
        .iter()
        .filter(|element| element.is("text", "strong") && element.get("text-anchor") == "end")
        .map(|element| element.text.as_str())
        .collect();
    assert_eq!(
        figures,
        ["\u{2212}0.31", "0.10", "0.42", "0.20", "0.10", "none"]
    );
}

#[test]
fn a_file_of_charts_stands_alone() {
    let line = [(-60.0, -0.31), (0.0, 0.1), (60.0, 0.42)];
    let text = charts_file("A <corner>", &[chart(&[&line]), chart(&[&line, &line])]);
    let text = text.trim_end();
    assert!(text.starts_with("<svg xmlns='http://www.w3.org/2000/svg'"));
    let (before, rest) = text.split_once("<style>").unwrap();
    let (style, after) = rest.split_once("</style>").unwrap();
    let all = sound(&format!("{before}{after}")).unwrap();
    assert_eq!(all[0].get("aria-label"), "A <corner>");
    let lines = all.iter().filter(|element| element.is("path", "line"));
    assert_eq!(lines.count(), 3);
    // Every class that strokes has its style in the file.
    for class in ["ink", "thin", "faint", "accent-hatch", "heavy", "strong"] {
        assert!(style.contains(&format!(".{class}")), "{class}");
    }
}

proptest! {
    /// Whatever stands in a chart, it is sound.
    #[test]
    fn charts_are_sound(
        one in prop::collection::vec((-1e3..1e3_f64, prop::num::f64::ANY), 0..30),
        other in prop::collection::vec((prop::num::f64::ANY, -1e-9..1e9_f64), 0..5),
    ) {
        let drawn = sound(&chart(&[&one, &other]).svg());
        prop_assert!(drawn.is_ok(), "{drawn:?}");
    }

    /// Whatever is typed over an invented corner's points, its views are sound or there are none.
    #[test]
    fn corners_are_sound(
        layout in 0..3_usize,
        place in 0..10_usize,
        x in -10.0..10.0_f64, y in -10.0..10.0_f64, z in -10.0..10.0_f64,
    ) {
        let layout = &LAYOUTS[layout];
        let mut points = layout.example(Side::Left);
        let place = place % points.len();
        points[place] = Vector::new(x, y, z);
        let geometry = layout.geometry(Side::Left, &points, layout.wheel(Side::Left)).unwrap();
        if let Ok(views) = CornerViews::new(&geometry) {
            let drawn = sound(&views.svg());
            prop_assert!(drawn.is_ok(), "{drawn:?}");
        }
    }
}

fn plan(off: Option<(usize, Vector)>) -> ShellPlan {
    let points = [
        (-2347.0, 320.0, 214.0),
        (-2347.0, -320.0, 214.0),
        (-2665.0, 295.0, 284.0),
        (-2665.0, -295.0, 284.0),
    ];
    let line = |between, measured, odd| PlanLine {
        between,
        measured,
        odd,
    };
    ShellPlan {
        points: points.map(|(x, y, z)| Vector::mm(x, y, z)).to_vec(),
        lines: vec![
            line([0, 1], true, false),
            line([0, 2], true, true),
            line([1, 2], false, false),
            line([3, 9], true, false),
        ],
        off,
    }
}

/// Where the points are drawn, and the scale in drawing units a metre.
fn plan_places(all: &[Element]) -> (Vec<(f64, f64)>, f64) {
    let dots = all.iter().filter(|element| element.is("circle", "solid"));
    let places: Vec<_> = dots
        .map(|dot| (dot.number("cx"), dot.number("cy")))
        .collect();
    (places, corner_scale(all))
}

/// Front up, left to the left, to the scale of its bar; a distance without its point is left out, and each line shows by dashes, cross and word what it is.
#[test]
fn a_shell_is_drawn_to_scale_from_above() {
    let plan = plan(None);
    let all = sound(&plan.svg()).unwrap();
    let (places, scale) = plan_places(&all);
    assert_eq!(places.len(), 4);
    for (place, point) in places.iter().zip(&plan.points) {
        let by = *point - plan.points[0];
        assert_close!(place.0 - places[0].0, -by.y * scale, epsilon = 0.2);
        assert_close!(place.1 - places[0].1, -by.x * scale, epsilon = 0.2);
    }
    let lines: Vec<_> = all
        .iter()
        .filter(|element| element.is("path", "line"))
        .collect();
    assert_eq!(lines.len(), 3);
    let dashed: Vec<_> = lines
        .iter()
        .map(|line| !line.get("stroke-dasharray").is_empty())
        .collect();
    assert_eq!(dashed, [false, false, true]);
    let crosses: Vec<_> = all
        .iter()
        .filter(|element| element.is("path", "odd"))
        .collect();
    let [cross] = &crosses[..] else {
        panic!("{crosses:?}");
    };
    // The cross lies on its line.
    let start = numbers(cross.get("d"));
    let (x, y) = (start[0] + 5.0, start[1] + 5.0);
    let (a, b) = (places[0], places[2]);
    let along = (y - a.1) / (b.1 - a.1);
    assert!((0.2..0.5).contains(&along), "{along}");
    assert_close!(x, a.0 + (b.0 - a.0) * along, epsilon = 0.2);
    let words = |word: &str| all.iter().filter(|element| element.text == word).count();
    assert_eq!((words("odd"), words("off")), (1, 0));
    for number in ["1", "2", "3", "4"] {
        assert_eq!(words(number), 1, "{number}");
    }
    assert!(
        all[0]
            .get("aria-label")
            .ends_with("4 points, 3 of 4 distances measured, odd reading from 1 to 3")
    );
}

/// The arrow points where the point has gone, as much larger as is said; what went up or down alone has the word and no arrow.
#[test]
fn a_point_that_is_off_has_an_arrow_as_large_as_is_said() {
    for by in [
        Vector::mm(-8.0, 0.0, 0.0),
        Vector::mm(3.0, 5.0, -4.0),
        Vector::mm(0.0, -45.0, 0.0),
        Vector::mm(0.4, 0.3, 0.0),
    ] {
        let all = sound(&plan(Some((2, by))).svg()).unwrap();
        let (places, scale) = plan_places(&all);
        let arrow = all.iter().find(|element| element.is("path", "arrow"));
        let d = numbers(arrow.unwrap().get("d"));
        let times = all
            .iter()
            .find_map(|element| element.text.strip_prefix("shift drawn "))
            .map_or(1.0, |text| {
                text.strip_suffix(" times larger").unwrap().parse().unwrap()
            });
        assert_close!(d[0], places[2].0, epsilon = 0.1);
        assert_close!(d[1], places[2].1, epsilon = 0.1);
        assert_close!(d[2] - d[0], -by.y * scale * times, epsilon = 0.2);
        assert_close!(d[3] - d[1], -by.x * scale * times, epsilon = 0.2);
        assert!(all.iter().any(|element| element.text == "off"));
        let frame = numbers(all[0].get("viewBox"));
        for pair in d.chunks(2) {
            assert!((0.0..frame[2]).contains(&pair[0]) && (0.0..frame[3]).contains(&pair[1]));
        }
        assert!(all[0].get("aria-label").contains(", point 3 off"));
    }
    let all = sound(&plan(Some((1, Vector::mm(0.0, 1.0, -9.0)))).svg()).unwrap();
    assert!(all.iter().any(|element| element.text == "off, down"));
    assert!(!all.iter().any(|element| element.is("path", "arrow")));
}

proptest! {
    /// Whatever the points and places are, the markup is sound, or there is none.
    #[test]
    fn any_shell_is_drawn_or_left_out(points in prop::collection::vec(prop::array::uniform3(-1e4..1e4_f64), 0..12), places in prop::collection::vec((0..14_usize, 0..14_usize, any::<bool>()), 0..12), off in 0..14_usize, by in prop::array::uniform3(-100.0..100.0_f64)) {
        let plan = ShellPlan {
            points: points.iter().map(|[x, y, z]| Vector::mm(*x, *y, *z)).collect(),
            lines: places.iter().map(|(a, b, odd)| PlanLine { between: [*a, *b], measured: *odd, odd: *odd }).collect(),
            off: Some((off, Vector::mm(by[0], by[1], by[2]))),
        };
        let svg = plan.svg();
        prop_assert!(svg.is_empty() == (points.len() < 2));
        if !svg.is_empty() {
            prop_assert!(sound(&svg).is_ok(), "{svg}");
        }
    }
}

/// Seen from behind the car: a left wheel's bar and phone are to the left of it, a right wheel's to the right; in B the phone shows its back, at the
/// same edge of the bar, its marked end at the other end.
#[test]
fn a_phone_lies_outside_its_wheel_and_is_turned_end_for_end() {
    for (gauge, outward) in [(PhoneGauge::LeftWheel, -1.0), (PhoneGauge::RightWheel, 1.0)] {
        let svg = gauge.svg();
        let all = sound(&svg).unwrap();
        let rects: Vec<_> = all.iter().filter(|e| e.name == "rect").collect();
        let dots: Vec<_> = all.iter().filter(|e| e.name == "circle").collect();
        assert_eq!((rects.len(), dots.len()), (8, 2));
        let middle = |e: &Element| e.number("x") + e.number("width") / 2.0;
        for position in rects.chunks(4) {
            let [tyre, bar, phone, _] = position else {
                panic!("tyre, bar, phone and what is seen of it")
            };
            assert!((middle(bar) - middle(tyre)) * outward > 0.0);
            // The phone touches the bar and neither covers the other.
            let gap = (middle(phone) - middle(bar)).abs();
            assert!((gap - (phone.number("width") + bar.number("width")) / 2.0).abs() < 0.11);
            assert!((middle(phone) - middle(bar)) * outward > 0.0);
        }
        let height = |e: &Element, phone: &Element| {
            (e.number("cy") - phone.number("y")) / phone.number("height")
        };
        assert!((height(dots[0], rects[2]) + height(dots[1], rects[6]) - 1.0).abs() < 0.01);
        assert_eq!(
            svg.matches("hatch-tube").count(),
            1,
            "only B shows its back"
        );
    }
}

#[test]
fn a_phone_on_the_floor_stands_on_its_bar() {
    let svg = PhoneGauge::Floor.svg();
    let all = sound(&svg).unwrap();
    let rects: Vec<_> = all.iter().filter(|e| e.name == "rect").collect();
    for position in rects.chunks(3) {
        let [bar, phone, _] = position else {
            panic!("bar, phone and what is seen of it")
        };
        let foot = phone.number("y") + phone.number("height");
        assert!((foot - bar.number("y")).abs() < 0.11);
        assert!(
            phone.number("width") > phone.number("height"),
            "on its long edge"
        );
    }
    let x: Vec<_> = all
        .iter()
        .filter(|e| e.name == "circle")
        .map(|e| e.number("cx"))
        .collect();
    assert!(
        (x[0] - 86.0 + x[1] - 258.0).abs() < 0.11,
        "turned about the vertical"
    );
}

/// The two ends of a drawn line of a class.
fn ends(all: &[Element], class: &str) -> [(f64, f64); 2] {
    let line = all.iter().find(|element| element.is("path", class));
    let numbers = numbers(line.expect(class).get("d"));
    assert_eq!(numbers.len(), 4, "{class}");
    [(numbers[0], numbers[1]), (numbers[2], numbers[3])]
}

/// The arm that is to be taped is square to the line of the adjuster, which lies where lengthening it does what the card says: by the invented corner's
/// own links, solved.
#[test]
fn a_lever_arm_is_square_to_its_adjuster_on_the_right_side() {
    let layout = &LAYOUTS[0];
    let rates = |side: Side| {
        let geometry = layout.geometry(side, &layout.example(side), layout.wheel(side));
        let linkage = Linkage::new(&geometry.unwrap()).unwrap();
        linkage.rates(&linkage.drawn()).unwrap().links
    };
    for (side, right) in [(Side::Left, false), (Side::Right, true)] {
        let rates = rates(side);
        // The toe link holds the carrier behind the ball joints, the upper arm above the lower one.
        assert!(rates[4].toe > 0.0);
        assert!(rates[0].camber + rates[1].camber > 0.0);
        assert!(rates[2].camber + rates[3].camber < 0.0);
        for (hold, low, view) in [
            (Hold::Behind, true, "From above, front ↑"),
            (Hold::Ahead, false, "From above, front ↑"),
            (Hold::Above, false, "From behind"),
            (Hold::Below, true, "From behind"),
        ] {
            let drawing = LeverArm {
                hold,
                right,
                card: "150.0 mm <card>".to_owned(),
            };
            let all = elements(&drawing.svg());
            let [pivot, foot] = ends(&all, "arm");
            let adjuster = all
                .iter()
                .find(|element| element.get("class") == "ink heavy")
                .map(|element| numbers(element.get("d")))
                .unwrap();
            let [a, b, c, d] = adjuster[..] else {
                panic!("{adjuster:?}")
            };
            let square = (pivot.0 - foot.0) * (c - a) + (pivot.1 - foot.1) * (d - b);
            let lengths = (pivot.0 - foot.0).hypot(pivot.1 - foot.1) * (c - a).hypot(d - b);
            assert_close!(square / lengths, 0.0, epsilon = 2e-3);
            // Paper is downwards: behind is below ahead, and below is below above.
            assert_eq!(foot.1 > pivot.1, low, "{hold:?}");
            // The adjuster goes to the middle of the car.
            assert_eq!(c > a, !right, "{hold:?}");
            assert!(all.iter().any(|element| element.text == view));
            assert!(
                all.iter()
                    .any(|element| element.text == "card: 150.0 mm <card>"),
                "{all:?}"
            );
            // Left and right are mirror images.
            let other = LeverArm {
                right: !right,
                ..drawing.clone()
            };
            let [mirrored, _] = ends(&elements(&other.svg()), "arm");
            assert_close!(mirrored.0 + pivot.0, 344.0, epsilon = 0.11);
            assert_close!(mirrored.1, pivot.1, epsilon = 1e-9);
        }
    }
}

proptest! {
    /// The bolt stands on its scale where the numbers say, and outwards is on its side.
    #[test]
    fn a_slot_shows_where_its_bolt_goes(from in -8.0..8.0_f64, to in -8.0..8.0_f64, out_is_left: bool) {
        let drawing = SlotScale {
            range: Length::mm(8.0),
            step: Length::mm(0.5),
            from: Length::mm(from),
            to: Length::mm(to),
            out_is_left,
            words: "Move outwards < 3 mm".into(),
        };
        let elements = read(&drawing.svg()).unwrap();
        let at: Vec<f64> = elements.iter().filter(|element| element.name == "circle").map(|bolt| bolt.number("cx")).collect();
        let [was, is] = at[..] else { panic!("{at:?}") };
        let slot = elements.iter().find(|element| element.name == "rect").unwrap();
        let middle = slot.number("x") + slot.number("width") / 2.0;
        let radius = slot.number("rx");
        let scale = (slot.number("width") / 2.0 - radius) / 8.0;
        let out = if out_is_left { -1.0 } else { 1.0 };
        assert_close!(was, middle + out * scale * from, epsilon = 0.06);
        assert_close!(is, middle + out * scale * to, epsilon = 0.06);
        let words: Vec<&str> = elements.iter().filter(|element| element.name == "text").map(|element| element.text.as_str()).collect();
        prop_assert_eq!(words[0], if out_is_left { "outwards" } else { "inwards" });
    }
}

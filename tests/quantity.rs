//! Shop numbers: what is read, what is refused and how, what is written, and the units against exact roots and another library.

use approx::assert_relative_eq;
use halfturn::quantity::{
    Angle, AngleUnit, Length, LengthUnit, Limit, ReadError, ToeUnit, Torque, TorqueUnit,
    document_angle, document_length, document_torque, read_angle, read_count, read_length,
    read_toe, read_torque, write_angle, write_enough_length, write_length, write_made_length,
    write_sold_length, write_torque, write_way,
};
use proptest::prelude::*;

const RIM: Option<Length> = Some(Length::mm(400.0));

fn mm(text: &str) -> Result<f64, ReadError> {
    read_length(text, LengthUnit::Millimetre).map(Length::as_mm)
}

fn degrees(text: &str) -> Result<f64, ReadError> {
    read_angle(text, AngleUnit::Degree).map(|read| read.angle.as_degrees())
}

fn newton_metres(text: &str) -> Result<f64, ReadError> {
    read_torque(text, TorqueUnit::NewtonMetre).map(Torque::as_newton_metres)
}

fn toe(text: &str, default: ToeUnit, across: Option<Length>) -> Result<f64, ReadError> {
    read_toe(text, default, across).map(|read| read.angle.as_degrees())
}

#[track_caller]
fn reads(read: impl Fn(&str) -> Result<f64, ReadError>, table: &[(&str, f64)]) {
    for (text, expected) in table {
        let got = read(text).unwrap_or_else(|error| panic!("{text:?} is refused: {error}"));
        assert!(
            (got - expected).abs() <= 1e-12 * expected.abs().max(1.0),
            "{text:?} reads {got}, not {expected}"
        );
    }
}

#[track_caller]
fn refuses(read: impl Fn(&str) -> Result<f64, ReadError>, table: &[(&str, ReadError)]) {
    for (text, expected) in table {
        assert_eq!(read(text), Err(expected.clone()), "{text:?}");
    }
}

#[test]
fn lengths_are_read() {
    reads(
        mm,
        &[
            ("6.35", 6.35),
            ("6,35", 6.35),
            (" 6.35 ", 6.35),
            ("1/4", 0.25),
            ("1/4 in", 6.35),
            ("1 3/8 in", 34.925),
            ("1-3/8\"", 34.925),
            ("1-3/8″", 34.925),
            ("1 3⁄8 in", 34.925),
            ("0.25 in", 6.35),
            ("0.250 in.", 6.35),
            ("0,25 inch", 6.35),
            ("1.234", 1.234),
            ("0,125", 0.125),
            (".5", 0.5),
            ("5.", 5.0),
            ("6.35mm", 6.35),
            ("1.5 cm", 15.0),
            ("2.6 m", 2600.0),
            ("1 ft", 304.8),
            ("½ in", 12.7),
            ("1½ in", 38.1),
            ("1 ½ in", 38.1),
            ("1-½ in", 38.1),
            ("6.35 MM", 6.35),
            ("1/4 In", 6.35),
            ("⅜\"", 9.525),
            ("0", 0.0),
            ("1234", 1234.0),
        ],
    );
    assert_eq!(
        read_length("1/4", LengthUnit::Inch),
        Ok(Length::inches(0.25)),
        "a bare number takes the field's unit"
    );
}

#[test]
fn what_is_no_length_is_refused() {
    use ReadError::{Empty, NotALength, Separators, Signed, ZeroBelow};
    refuses(
        mm,
        &[
            ("", Empty),
            ("  ", Empty),
            ("-6.35", Signed),
            ("−1/4 in", Signed),
            ("+5", Signed),
            ("1,2,3", Separators),
            ("1.2.3", Separators),
            ("1,234", Separators),
            ("12,345 mm", Separators),
            ("1.234,5", Separators),
            ("6.3S", NotALength),
            ("6o35", NotALength),
            ("six", NotALength),
            ("1/0", ZeroBelow),
            ("1 3/0 in", ZeroBelow),
            ("1/", NotALength),
            ("/4", NotALength),
            ("1/2/3", NotALength),
            ("1.5 3/8", NotALength),
            ("1 23/8", NotALength),
            ("2 81/4 in", NotALength),
            ("1 8/8", NotALength),
            ("59--3/8", NotALength),
            ("½0", NotALength),
            ("1 2", NotALength),
            ("mm", NotALength),
            (".", NotALength),
            ("1e5", NotALength),
            ("NaN", NotALength),
            ("inf", NotALength),
            ("5 furlongs", NotALength),
            ("5 mm mm", NotALength),
            ("0.2°", NotALength),
            ("12'", NotALength),
            ("99999999999999999999999999", NotALength),
            ("1000000 m", NotALength),
            ("٣", NotALength),
        ],
    );
}

#[test]
fn angles_are_read() {
    reads(
        degrees,
        &[
            ("0.2", 0.2),
            ("0,2", 0.2),
            ("0.2°", 0.2),
            ("0.2 °", 0.2),
            ("0.2 deg", 0.2),
            ("2 degrees", 2.0),
            ("0°12'", 0.2),
            ("0° 12′", 0.2),
            ("0°12", 0.2),
            ("12'", 0.2),
            ("12 '", 0.2),
            ("12 min", 0.2),
            ("12 Min", 0.2),
            ("90'", 1.5),
            ("1½'", 0.025),
            ("1 1/2'", 0.025),
            ("1 30'", 1.5),
            ("1 30 min", 1.5),
            ("-1 30'", -1.5),
            ("-1°30'", -1.5),
            ("−0°12′", -0.2),
            ("+0.2", 0.2),
            ("1° 30′", 1.5),
            ("1°30'36\"", 1.51),
            ("30'36\"", 0.51),
            ("30' 36\"", 0.51),
            ("1/4", 0.25),
        ],
    );
    assert_eq!(
        read_angle("12", AngleUnit::Minute).map(|read| read.angle),
        Ok(Angle::minutes(12.0)),
        "a bare number takes the field's unit"
    );
    for (text, signed) in [("0.2", false), ("+0.2", true), ("-0.2", true)] {
        assert_eq!(
            read_angle(text, AngleUnit::Degree).map(|read| read.signed),
            Ok(signed),
            "{text}"
        );
    }
}

#[test]
fn what_is_no_angle_is_refused() {
    use ReadError::{Empty, Minutes, NotAnAngle, Separators, ZeroBelow};
    refuses(
        degrees,
        &[
            ("", Empty),
            ("0°75'", Minutes),
            ("0°60'", Minutes),
            ("1 75'", Minutes),
            ("0°12'60\"", Minutes),
            ("0.5°12'", NotAnAngle),
            ("0°-5'", NotAnAngle),
            ("--1", NotAnAngle),
            ("12''", NotAnAngle),
            ("12minmin", NotAnAngle),
            ("12'min", NotAnAngle),
            ("°", NotAnAngle),
            ("'", NotAnAngle),
            ("-", NotAnAngle),
            ("two", NotAnAngle),
            ("0.2 mm", NotAnAngle),
            ("1e1", NotAnAngle),
            ("nan", NotAnAngle),
            ("infinity", NotAnAngle),
            ("0.1.2", Separators),
            ("1,200", Separators),
            ("1/0", ZeroBelow),
        ],
    );
}

#[test]
fn a_toe_is_read_as_an_angle_or_a_length_at_the_rim() {
    let rim = ToeUnit::Rim(LengthUnit::Millimetre);
    let inch = ToeUnit::Rim(LengthUnit::Inch);
    let angle = ToeUnit::Angle(AngleUnit::Degree);
    let minute = ToeUnit::Angle(AngleUnit::Minute);
    let at_rim = |length: f64| (length / 400.0).asin().to_degrees();
    for (text, default, expected) in [
        ("2", rim, at_rim(2.0)),
        ("2 mm", rim, at_rim(2.0)),
        ("-2 mm", rim, at_rim(-2.0)),
        ("2 mm", angle, at_rim(2.0)),
        ("0.2 cm", angle, at_rim(2.0)),
        ("1/16 in", rim, at_rim(1.5875)),
        ("1/16", inch, at_rim(1.5875)),
        ("1/16\"", angle, at_rim(1.5875)),
        ("1/16 in.", minute, at_rim(1.5875)),
        ("0.0625''", angle, at_rim(1.5875)),
        ("½ mm", rim, at_rim(0.5)),
        ("½", rim, at_rim(0.5)),
        ("0.2°", rim, 0.2),
        ("0°12'", rim, 0.2),
        ("12'", inch, 0.2),
        ("12 min", rim, 0.2),
        ("-0.2 deg", rim, -0.2),
        ("0.2", angle, 0.2),
        ("12", minute, 0.2),
    ] {
        reads(|text| toe(text, default, RIM), &[(text, expected)]);
    }
    let expected = Err(ReadError::NoRim);
    for across in [None, Some(Length::ZERO), Some(Length::mm(f64::NAN))] {
        assert_eq!(toe("2 mm", angle, across), expected, "{across:?}");
        assert_eq!(toe("2", rim, across), expected, "{across:?}");
    }
    assert!(toe("0.2°", rim, None).is_ok(), "an angle needs no rim");
}

#[test]
fn what_is_no_toe_is_refused() {
    use ReadError::{Empty, Minutes, NotALength, NotAToe, NotAnAngle, Separators, WiderThanRim};
    let rim = ToeUnit::Rim(LengthUnit::Millimetre);
    refuses(
        |text| toe(text, rim, RIM),
        &[
            ("", Empty),
            ("two", NotAToe),
            ("2 mn", NotAToe),
            ("12 minmin", NotAToe),
            ("2 2", NotALength),
            ("1,2,3", Separators),
            ("400 mm", WiderThanRim),
            ("2 m", WiderThanRim),
            ("0°75'", Minutes),
            ("NaN mm", NotAToe),
        ],
    );
    refuses(
        |text| toe(text, ToeUnit::Angle(AngleUnit::Degree), RIM),
        &[("two", NotAnAngle), ("-", Empty)],
    );
}

#[test]
fn torques_are_read() {
    let pound_foot = 0.3048 * 0.453_592_37 * 9.806_65;
    reads(
        newton_metres,
        &[
            ("75", 75.0),
            ("75 N·m", 75.0),
            ("75 N.m", 75.0),
            ("75 N m", 75.0),
            ("75Nm", 75.0),
            ("75 nm", 75.0),
            ("7,5 Nm", 7.5),
            ("55 lbf·ft", 55.0 * pound_foot),
            ("55 lb ft", 55.0 * pound_foot),
            ("55 ft-lb", 55.0 * pound_foot),
            ("55 ft·lbf", 55.0 * pound_foot),
            ("55 FT LBS", 55.0 * pound_foot),
            ("120 in-lb", 10.0 * pound_foot),
            ("120 lbf·in", 10.0 * pound_foot),
            ("7.6 kgf·m", 7.6 * 9.806_65),
            ("7.6 mkg", 7.6 * 9.806_65),
        ],
    );
}

#[test]
fn what_is_no_torque_is_refused() {
    use ReadError::{Empty, NotATorque, Separators, Signed};
    refuses(
        newton_metres,
        &[
            ("", Empty),
            ("-75 Nm", Signed),
            ("75 J", NotATorque),
            ("75 N/m", NotATorque),
            ("75 Nm 5", NotATorque),
            ("75 Nm2", NotATorque),
            ("75 !", NotATorque),
            ("75 ·", NotATorque),
            ("7S Nm", NotATorque),
            ("75 ft", NotATorque),
            ("1.2.3 Nm", Separators),
            ("NaN", NotATorque),
        ],
    );
}

#[test]
fn counts_are_whole() {
    for (text, expected) in [("0", 0), ("4", 4), (" 12 ", 12), ("9999", 9999)] {
        assert_eq!(read_count(text), Ok(expected), "{text:?}");
    }
    assert_eq!(read_count(""), Err(ReadError::Empty));
    for text in [
        "-1", "+1", "1.5", "1,5", "four", "10000", "1 2", "1/2", "½", "٣",
    ] {
        assert_eq!(read_count(text), Err(ReadError::NotACount), "{text:?}");
    }
}

/// Every sentence names what is wrong and shows a text that would be right.
#[test]
fn errors_say_what_to_write() {
    let ways = ["toe-in", "toe-out"];
    let range = Limit::Toe.hold_angle(Angle::degrees(40.0)).unwrap_err();
    for (error, sentence) in [
        (ReadError::Empty, "Nothing is typed here yet."),
        (
            ReadError::NotALength,
            "Write a length such as 6.35, 1/4, 1 3/8 or 6.35 mm.",
        ),
        (
            ReadError::NotAnAngle,
            "Write an angle such as 0.2, 0°12' or 12'.",
        ),
        (
            ReadError::NotAToe,
            "Write a toe such as 2 mm, 1/16 in, 0.2° or 0°12'.",
        ),
        (
            ReadError::NotATorque,
            "Write a torque such as 75, 75 N·m or 55 lbf·ft.",
        ),
        (ReadError::NotACount, "Write a whole number such as 4."),
        (
            ReadError::Separators,
            "One comma or dot at most, and a comma before three digits may mean thousands: write 1.234, 1,5 or 1234.",
        ),
        (
            ReadError::ZeroBelow,
            "A fraction needs a number other than zero below the line, such as 3/8.",
        ),
        (
            ReadError::Signed,
            "Leave the sign away: this cannot be negative.",
        ),
        (
            ReadError::Minutes,
            "Minutes beside degrees, and seconds beside minutes, run from 0 to 59, such as 0°12'.",
        ),
        (
            ReadError::NoRim,
            "A toe as a length needs the distance across the rim first, such as 430 mm.",
        ),
        (
            ReadError::WiderThanRim,
            "A toe as a length is a few millimetres, such as 2 mm, far less than the distance across the rim.",
        ),
        (
            ReadError::NoWay { ways },
            "Choose which way: toe-in or toe-out.",
        ),
        (range, "Toe of one wheel lies between −6° and 6°."),
    ] {
        assert_eq!(error.to_string(), sentence);
    }
}

/// The texts that the sentences give as examples are read.
#[test]
fn examples_in_errors_are_right() {
    reads(
        mm,
        &[
            ("6.35", 6.35),
            ("1/4", 0.25),
            ("1 3/8", 1.375),
            ("6.35 mm", 6.35),
        ],
    );
    reads(
        mm,
        &[
            ("1.234", 1.234),
            ("1,5", 1.5),
            ("1234", 1234.0),
            ("3/8", 0.375),
        ],
    );
    reads(degrees, &[("0.2", 0.2), ("0°12'", 0.2), ("12'", 0.2)]);
    for text in ["2 mm", "1/16 in", "0.2°", "0°12'"] {
        let read = toe(text, ToeUnit::Rim(LengthUnit::Millimetre), RIM);
        assert!(read.is_ok(), "{text}: {read:?}");
    }
    for text in ["75", "75 N·m", "55 lbf·ft"] {
        assert!(newton_metres(text).is_ok(), "{text}");
    }
    assert_eq!(read_count("4"), Ok(4));
}

#[test]
fn values_are_written() {
    use LengthUnit::{Inch, Millimetre};
    assert_eq!(write_length(Length::mm(6.35), Inch), "0.250 in");
    assert_eq!(write_length(Length::mm(-6.35), Millimetre), "−6.4 mm");
    assert_eq!(write_length(Length::mm(-0.01), Millimetre), "0.0 mm");
    assert_eq!(write_made_length(Length::mm(0.25), Millimetre), "0.25 mm");
    assert_eq!(write_made_length(Length::mm(2600.0), Millimetre), "2600 mm");
    assert_eq!(
        write_made_length(Length::inches(1.0 / 16.0), Inch),
        "0.063 in"
    );
    for (inches, words) in [
        (0.4375, "7/16 in"),
        (1.3125, "1 5/16 in"),
        (33.0 / 64.0, "33/64 in"),
        (2.0, "2 in"),
        (0.51, "0.51 in"),
        (0.0, "0 in"),
    ] {
        assert_eq!(write_sold_length(Length::inches(inches), Inch), words);
    }
    assert_eq!(write_sold_length(Length::mm(13.5), Millimetre), "13.5 mm");
    assert_eq!(
        write_angle(Angle::degrees(-0.2), AngleUnit::Degree),
        "−0.20°"
    );
    assert_eq!(
        write_angle(Angle::degrees(-1.5), AngleUnit::Minute),
        "−1°30′"
    );
    assert_eq!(
        write_angle(Angle::minutes(59.6), AngleUnit::Minute),
        "1°00′"
    );
    assert_eq!(
        write_angle(Angle::minutes(-0.4), AngleUnit::Minute),
        "0°00′"
    );
    let ways = ["toe-in", "toe-out"];
    assert_eq!(
        write_way(Angle::degrees(-0.2), AngleUnit::Degree, ways),
        "0.20° toe-out"
    );
    assert_eq!(
        write_way(Angle::degrees(-0.004), AngleUnit::Degree, ways),
        "0.00°"
    );
    assert_eq!(
        write_torque(Torque::newton_metres(75.4), TorqueUnit::NewtonMetre),
        "75 N·m"
    );
    assert_eq!(
        write_torque(Torque::newton_metres(7.54), TorqueUnit::NewtonMetre),
        "7.5 N·m"
    );
}

const LENGTH_UNITS: [LengthUnit; 2] = [LengthUnit::Millimetre, LengthUnit::Inch];
const ANGLE_UNITS: [AngleUnit; 2] = [AngleUnit::Degree, AngleUnit::Minute];
const TORQUE_UNITS: [TorqueUnit; 4] = [
    TorqueUnit::NewtonMetre,
    TorqueUnit::PoundFoot,
    TorqueUnit::PoundInch,
    TorqueUnit::KilogramForceMetre,
];

/// Texts near enough to shop numbers to get past the first check.
fn near_numbers() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "0",
        "1",
        "3",
        "8",
        "12",
        "30",
        "59",
        "75",
        "999999999",
        ".",
        ",",
        "/",
        "⁄",
        " ",
        "-",
        "−",
        "+",
        "½",
        "⅞",
        "°",
        "'",
        "′",
        "\"",
        "''",
        "mm",
        "cm",
        "m",
        "in",
        "ft",
        "min",
        "deg",
        "N·m",
        "lbf·ft",
        "kgf",
        "e",
        "NaN",
        "inf",
        "\u{a0}",
        "٣",
        "é",
    ]);
    prop::collection::vec(piece, 0..9).prop_map(|pieces| pieces.concat())
}

/// Reads a text every way there is; each value read must be finite.
fn read_every_way(text: &str) -> Result<(), TestCaseError> {
    let _ = read_count(text);
    let mut values = Vec::new();
    for unit in LENGTH_UNITS {
        values.extend(read_length(text, unit).map(Length::as_metres));
        for across in [
            None,
            RIM,
            Some(Length::ZERO),
            Some(Length::metres(f64::INFINITY)),
        ] {
            values.extend(
                read_toe(text, ToeUnit::Rim(unit), across).map(|read| read.angle.as_radians()),
            );
        }
    }
    for unit in ANGLE_UNITS {
        values.extend(read_angle(text, unit).map(|read| read.angle.as_radians()));
        values
            .extend(read_toe(text, ToeUnit::Angle(unit), RIM).map(|read| read.angle.as_radians()));
    }
    for unit in TORQUE_UNITS {
        values.extend(read_torque(text, unit).map(Torque::as_newton_metres));
    }
    for value in values {
        prop_assert!(value.is_finite(), "{text:?} reads {value}");
    }
    Ok(())
}

/// Whether a written value reads back within half of its last digit.
fn reads_back(written: &str, got: f64, value: f64, last_digit: f64) -> Result<(), TestCaseError> {
    let off = (got - value).abs();
    prop_assert!(
        off <= last_digit * 0.500_001,
        "{value} is written {written:?} and reads {got}"
    );
    Ok(())
}

#[test]
fn sines_are_those_of_the_standard_library() {
    for step in -300_000..=300_000 {
        let angle = f64::from(step) * 1e-5;
        assert_relative_eq!(
            Angle::radians(angle).sin(),
            angle.sin(),
            epsilon = 0.0,
            max_relative = 1e-15
        );
        for angle in [angle, angle * 1999.0] {
            let ours = [Angle::radians(angle).sin(), Angle::radians(angle).cos()];
            assert!((ours[0] - angle.sin()).abs() <= 2e-15, "sin {angle}");
            assert!(
                (ours[1] - angle.cos()).abs() <= 2e-15 + angle.abs() * 1.2e-16,
                "cos {angle}"
            );
        }
    }
    for small in [0.0, 1e-300, -1e-9, 1e-5] {
        assert_eq!(Angle::radians(small).sin(), small.sin());
    }
    for beyond in [6000.1, -1e300, f64::INFINITY, f64::NAN] {
        assert!(Angle::radians(beyond).sin().is_nan(), "{beyond}");
        assert!(Angle::radians(beyond).cos().is_nan(), "{beyond}");
    }
}

proptest! {
    #[test]
    fn no_text_panics_a_reader(text in any::<String>()) {
        read_every_way(&text)?;
    }

    #[test]
    fn no_near_number_panics_a_reader(text in near_numbers()) {
        read_every_way(&text)?;
    }

    #[test]
    fn a_written_length_reads_back(value in 0.0..10_000.0_f64) {
        for (unit, last) in [(LengthUnit::Millimetre, 0.1), (LengthUnit::Inch, 0.001)] {
            let written = write_length(unit.of(value), unit);
            let read = read_length(&written, LengthUnit::Millimetre).map_err(|error| TestCaseError::fail(format!("{written}: {error}")))?;
            reads_back(&written, unit.count(read), value, last)?;
            let written = write_made_length(unit.of(value), unit);
            let read = read_length(&written, LengthUnit::Millimetre).map_err(|error| TestCaseError::fail(format!("{written}: {error}")))?;
            reads_back(&written, unit.count(read), value, 0.001)?;
        }
    }

    #[test]
    fn a_length_to_be_reached_is_never_written_short(value in 0.0..1_000.0_f64) {
        for (unit, last) in [(LengthUnit::Millimetre, 0.1), (LengthUnit::Inch, 0.001)] {
            let written = write_enough_length(unit.of(value), unit);
            let read = unit.count(read_length(&written, LengthUnit::Millimetre).unwrap());
            prop_assert!(read >= value - 1e-9 && read < value + last, "{written} for {value}");
        }
    }

    #[test]
    fn a_written_angle_reads_back(value in -180.0..180.0_f64) {
        for (unit, last) in [(AngleUnit::Degree, 0.01), (AngleUnit::Minute, 1.0 / 60.0)] {
            let written = write_angle(Angle::degrees(value), unit);
            let read = degrees(&written).map_err(|error| TestCaseError::fail(format!("{written}: {error}")))?;
            reads_back(&written, read, value, last)?;
            let worded = write_way(Angle::degrees(value), unit, ["in", "out"]);
            let size = worded.split(' ').next().unwrap_or_default();
            let read = degrees(size).map_err(|error| TestCaseError::fail(format!("{worded}: {error}")))?;
            reads_back(&worded, read, value.abs(), last)?;
        }
    }

    #[test]
    fn a_written_torque_reads_back(value in 0.0..2_000.0_f64) {
        for unit in TORQUE_UNITS {
            let written = write_torque(unit.of(value), unit);
            let read = newton_metres(&written).map_err(|error| TestCaseError::fail(format!("{written}: {error}")))?;
            reads_back(&written, unit.count(Torque::newton_metres(read)), value, if value < 20.0 { 0.1 } else { 1.0 })?;
        }
    }

    /// To 1e-9, or half a billionth of the unit where that is coarser; and then again without change.
    #[test]
    fn a_document_reads_back(value in prop_oneof![0.0..1.0_f64, 0.0..10_000.0_f64, 0.0..1e6_f64]) {
        let length = document_length(Length::mm(value));
        let angle = document_angle(Angle::degrees(-value));
        let torque = document_torque(Torque::newton_metres(value));
        let read_length: Length = serde_json::from_value(length.clone().into()).map_err(|error| TestCaseError::fail(format!("{length}: {error}")))?;
        let read_angle: Angle = serde_json::from_value(angle.clone().into()).map_err(|error| TestCaseError::fail(format!("{angle}: {error}")))?;
        let read_torque: Torque = serde_json::from_value(torque.clone().into()).map_err(|error| TestCaseError::fail(format!("{torque}: {error}")))?;
        for (written, got, value) in [(&length, read_length.as_mm(), value), (&angle, read_angle.as_degrees(), -value), (&torque, read_torque.as_newton_metres(), value)] {
            prop_assert!((got - value).abs() <= (1e-9 * value.abs()).max(0.500_001e-9), "{value} is written {written:?} and reads {got}");
        }
        prop_assert_eq!(document_length(read_length), length);
        prop_assert_eq!(document_angle(read_angle), angle);
        prop_assert_eq!(document_torque(read_torque), torque);
    }

    /// Whatever a reader takes can be kept in a document.
    #[test]
    fn what_is_read_can_be_kept(text in near_numbers()) {
        if let Ok(length) = read_length(&text, LengthUnit::Inch) {
            let json = serde_json::to_string(&length).expect("a length is text");
            prop_assert!(serde_json::from_str::<Length>(&json).is_ok(), "{text:?} is kept as {json}");
        }
        if let Ok(read) = read_angle(&text, AngleUnit::Degree) {
            let json = serde_json::to_string(&read.angle).expect("an angle is text");
            prop_assert!(serde_json::from_str::<Angle>(&json).is_ok(), "{text:?} is kept as {json}");
        }
        if let Ok(torque) = read_torque(&text, TorqueUnit::PoundFoot) {
            let json = serde_json::to_string(&torque).expect("a torque is text");
            prop_assert!(serde_json::from_str::<Torque>(&json).is_ok(), "{text:?} is kept as {json}");
        }
    }
}

#[test]
fn documents_keep_the_unit_in_the_text() {
    assert_eq!(
        serde_json::to_string(&Length::inches(0.25)).unwrap(),
        "\"6.35 mm\""
    );
    assert_eq!(
        serde_json::to_string(&Angle::degrees(-1.2)).unwrap(),
        "\"-1.2 deg\""
    );
    assert_eq!(
        serde_json::to_string(&Torque::newton_metres(75.0)).unwrap(),
        "\"75 N·m\""
    );
    assert_eq!(
        serde_json::from_str::<Length>("\"1 3/8 in\"").unwrap(),
        Length::inches(1.375)
    );
    assert_eq!(
        serde_json::from_str::<Angle>("\"1°30'\"").unwrap(),
        Angle::degrees(1.5)
    );
    assert_relative_eq!(
        serde_json::from_str::<Torque>("\"55 lbf·ft\"")
            .unwrap()
            .as_newton_metres(),
        74.569_97,
        max_relative = 1e-6
    );
}

#[test]
fn a_number_without_unit_is_refused_in_a_document() {
    let unit = "write the unit too, such as";
    for text in ["6.35", "1/4", "½", "1½", "5.", "0°12", " 7 "] {
        for error in [
            serde_json::from_value::<Length>(text.into()).unwrap_err(),
            serde_json::from_value::<Angle>(text.into()).unwrap_err(),
            serde_json::from_value::<Torque>(text.into()).unwrap_err(),
        ] {
            assert!(error.to_string().contains(unit), "{text}: {error}");
        }
    }
    assert!(
        serde_json::from_str::<Length>("6.35").is_err(),
        "a bare JSON number"
    );
    let error = serde_json::from_value::<Length>("-5 mm".into()).unwrap_err();
    assert_eq!(
        error.to_string(),
        "Leave the sign away: this cannot be negative."
    );
}

/// Exact roots: the inch 25.4 mm, the pound 0.45359237 kg, standard gravity 9.80665 m/s² (NIST SP 811, Appendix B.8), and products
/// worked by hand from them.
#[test]
fn units_agree_with_their_exact_roots() {
    let inch = LengthUnit::Inch.of(1.0);
    assert_relative_eq!(inch.as_metres(), 0.0254, max_relative = 1e-15);
    for (unit, newton_metres) in [
        (TorqueUnit::NewtonMetre, 1.0),
        (TorqueUnit::PoundFoot, 1.355_817_948_331_400_4),
        (TorqueUnit::PoundInch, 0.112_984_829_027_616_7),
        (TorqueUnit::KilogramForceMetre, 9.806_65),
    ] {
        assert_relative_eq!(
            unit.of(1.0).as_newton_metres(),
            newton_metres,
            max_relative = 1e-15
        );
        assert_relative_eq!(
            unit.count(Torque::newton_metres(newton_metres)),
            1.0,
            max_relative = 1e-15
        );
    }
    assert_relative_eq!(
        AngleUnit::Minute.of(60.0).as_degrees(),
        1.0,
        max_relative = 1e-15
    );
    assert_relative_eq!(
        Angle::degrees(180.0).as_radians(),
        std::f64::consts::PI,
        max_relative = 1e-15
    );
}

/// The `uom` crate as a second opinion. Its pound is rounded to seven digits, so forces and torques agree to 1e-7 only.
#[test]
fn units_agree_with_another_library() {
    use uom::si::{angle, f64 as si, force, length, torque};
    for value in [0.25, 1.0, 6.35, 75.0] {
        let inches = si::Length::new::<length::inch>(value);
        assert_relative_eq!(
            LengthUnit::Inch.of(value).as_metres(),
            inches.get::<length::meter>(),
            max_relative = 1e-12
        );
        let feet = si::Length::new::<length::foot>(value);
        assert_relative_eq!(
            mm(&format!("{value} ft")).unwrap(),
            feet.get::<length::millimeter>(),
            max_relative = 1e-12
        );
        let minutes = si::Angle::new::<angle::minute>(value);
        assert_relative_eq!(
            Angle::minutes(value).as_radians(),
            minutes.get::<angle::radian>(),
            max_relative = 1e-12
        );
        let foot_pounds = si::Torque::new::<torque::pound_force_foot>(value);
        assert_relative_eq!(
            TorqueUnit::PoundFoot.of(value).as_newton_metres(),
            foot_pounds.get::<torque::newton_meter>(),
            max_relative = 1e-7
        );
        let inch_pounds = si::Torque::new::<torque::pound_force_inch>(value);
        assert_relative_eq!(
            TorqueUnit::PoundInch.of(value).as_newton_metres(),
            inch_pounds.get::<torque::newton_meter>(),
            max_relative = 1e-7
        );
        let kilograms =
            si::Force::new::<force::kilogram_force>(value) * si::Length::new::<length::meter>(1.0);
        let kilograms = si::Torque::new::<torque::newton_meter>(kilograms.value);
        assert_relative_eq!(
            TorqueUnit::KilogramForceMetre.of(value).as_newton_metres(),
            kilograms.get::<torque::newton_meter>(),
            max_relative = 1e-12
        );
    }
}

const LIMITS: [Limit; 35] = [
    Limit::ThreadShowing,
    Limit::HoleDiameter,
    Limit::SlotSetting,
    Limit::RimDiameter,
    Limit::TyreDiameter,
    Limit::Wheelbase,
    Limit::Track,
    Limit::RideHeight,
    Limit::StringDistance,
    Limit::StringSpacing,
    Limit::SpacingApart,
    Limit::TreadDistance,
    Limit::PlumbOffset,
    Limit::LeverArm,
    Limit::RuleDivision,
    Limit::Toe,
    Limit::Camber,
    Limit::FloorSlope,
    Limit::PhoneTilt,
    Limit::PhoneStep,
    Limit::PhoneTurn,
    Limit::Steer,
    Limit::SteeredCamber,
    Limit::CamSetting,
    Limit::GaugeDivision,
    Limit::BoltLength,
    Limit::Crests,
    Limit::Pitch,
    Limit::Wrench,
    Limit::Extension,
    Limit::ExtensionAngle,
    Limit::WheelTravel,
    Limit::RackTravel,
    Limit::Plunge,
    Limit::Lean,
];

/// Holds so many millimetres or degrees.
fn hold(limit: Limit, value: f64, unit: LengthUnit) -> Result<(), ReadError> {
    if limit.is_angle() {
        limit.hold_angle(Angle::degrees(value)).map(|_| ())
    } else {
        limit.hold_length(Length::mm(value), unit).map(|_| ())
    }
}

#[test]
fn limits_let_their_ends_through_and_nothing_beyond() {
    for limit in LIMITS {
        let (least, most) = limit.ends();
        assert!(least < most, "{limit:?}");
        for unit in LENGTH_UNITS {
            for inside in [least, most, f64::midpoint(least, most)] {
                assert_eq!(hold(limit, inside, unit), Ok(()), "{limit:?} {inside}");
            }
            for outside in [least - 0.001, most + 0.001, f64::NAN, f64::INFINITY] {
                assert!(hold(limit, outside, unit).is_err(), "{limit:?} {outside}");
            }
        }
    }
}

/// A person told the ends may type them.
#[test]
fn the_ends_in_words_are_let_through() {
    for limit in LIMITS {
        for unit in LENGTH_UNITS {
            let Err(ReadError::OutOfRange { name, least, most }) = hold(limit, 1e6, unit) else {
                panic!("{limit:?} has no end")
            };
            assert!(!name.is_empty());
            assert_ne!(least, most, "{limit:?}");
            for end in [least, most] {
                let value = if limit.is_angle() {
                    degrees(&end)
                } else {
                    mm(&end)
                };
                let value = value.unwrap_or_else(|error| panic!("{limit:?}: {end:?}: {error}"));
                assert_eq!(hold(limit, value, unit), Ok(()), "{limit:?}: {end}");
            }
        }
    }
}

#[test]
fn what_no_car_has_is_refused_by_name() {
    for (limit, value, unit, sentence) in [
        (
            Limit::RimDiameter,
            0.0,
            LengthUnit::Millimetre,
            "The distance across the rim lies between 200 mm and 800 mm.",
        ),
        (
            Limit::RimDiameter,
            0.0,
            LengthUnit::Inch,
            "The distance across the rim lies between 7.875 in and 31.496 in.",
        ),
        (
            Limit::Toe,
            40.0,
            LengthUnit::Millimetre,
            "Toe of one wheel lies between −6° and 6°.",
        ),
        (
            Limit::RuleDivision,
            0.0,
            LengthUnit::Millimetre,
            "The smallest division lies between 0.01 mm and 5 mm.",
        ),
        (
            Limit::GaugeDivision,
            0.0,
            LengthUnit::Millimetre,
            "The smallest division lies between 0.001° and 1°.",
        ),
        (
            Limit::ThreadShowing,
            151.0,
            LengthUnit::Millimetre,
            "Thread showing lies between 0 mm and 150 mm.",
        ),
    ] {
        let error = hold(limit, value, unit).unwrap_err();
        assert_eq!(error.to_string(), sentence);
    }
}

//! A second opinion: the tables of a general-purpose CAD library of fasteners (bd-warehouse, Apache-2.0), with its known errors.

use halfturn::hardware::{Fit, Thread, clearance_hole, hex_nut, jam_nut, threads, wrenches};
use halfturn::quantity::{Length, LengthUnit};
use serde::Deserialize;

#[derive(Deserialize)]
struct Tables {
    values: Vec<Value>,
    known_errors: Vec<Value>,
}

#[derive(Deserialize)]
struct Value {
    thing: String,
    size: String,
    value: f64,
    #[serde(default)]
    unit: String,
    #[serde(default)]
    reason: String,
}

impl Value {
    fn thread(&self) -> Option<Thread> {
        let size = self.size.replace("UNC", "").replace("UNF", "");
        Thread::parse(size.trim()).ok().or_else(|| {
            threads().find(|thread| {
                thread
                    .designation()
                    .starts_with(&format!("{}-", size.trim()))
            })
        })
    }

    /// The same by our tables; none where our tables do not go.
    fn ours(&self) -> Option<f64> {
        let thread = self.thread()?;
        let unit = if self.unit == "in" {
            LengthUnit::Inch
        } else {
            LengthUnit::Millimetre
        };
        let hole = |fit| clearance_hole(thread, fit).map(|hole| hole.nominal);
        let length = match self.thing.as_str() {
            "thread pitch" => Some(thread.pitch()),
            "threads per inch" => return Some(Length::inches(1.0) / thread.pitch()),
            "clearance hole close" => hole(Fit::Close),
            "clearance hole normal" => hole(Fit::Normal),
            "clearance hole loose" => hole(Fit::Loose),
            "across flats bolt DIN 931" => wrenches(thread).map(|it| it.old.unwrap_or(it.bolt)),
            "across flats bolt ISO 4014" | "across flats bolt ISO 4017" => {
                wrenches(thread).map(|it| it.bolt)
            }
            "across flats nut ISO 4032" => hex_nut(thread).map(|nut| nut.across_flats),
            "height nut ISO 4032" => hex_nut(thread).map(|nut| nut.thickness),
            "across flats nut ISO 4035" => jam_nut(thread).map(|nut| nut.across_flats),
            "height nut ISO 4035" => jam_nut(thread).map(|nut| nut.thickness),
            "socket screw key ISO 4762" | "socket screw key ASME B18.3" => {
                wrenches(thread).and_then(|it| it.key)
            }
            _ => None,
        };
        length.map(|length| unit.count(length))
    }
}

#[test]
fn a_second_opinion_agrees_but_for_its_known_errors() {
    let text =
        std::fs::read_to_string("tests/data/second-opinion-fasteners.json").expect("it is there");
    let tables: Tables = serde_json::from_str(&text).expect("each value has its fields");
    let mut compared = 0;
    let mut failures = Vec::new();
    for value in &tables.values {
        let Some(ours) = value.ours() else { continue };
        compared += 1;
        // Inch holes are printed as decimals of their drill.
        let agrees = (ours - value.value).abs() < if value.unit == "in" { 6e-4 } else { 1e-9 };
        let error = tables
            .known_errors
            .iter()
            .find(|error| error.thing == value.thing && error.size == value.size);
        match error {
            Some(error) if agrees => failures.push(format!(
                "{} {}: no error: {}",
                value.thing, value.size, error.reason
            )),
            None if !agrees => failures.push(format!(
                "{} {}: ours {ours}, theirs {}",
                value.thing, value.size, value.value
            )),
            _ => {}
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert!(
        compared > 200,
        "only {compared} of {} were compared",
        tables.values.len()
    );
}

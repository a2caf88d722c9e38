//! The computation against published values. Each case of the lists in `data` has its source and tolerance. Every case is computed here, or stands
//! among the deliberate differences with the reason, so none is skipped in silence.

mod differences;
mod hardware;
mod second_opinion;

use differences::DIFFERENCES;

use halfturn::adjuster::{Mechanism, RodEnd, Sleeve, ThreadedEnd, Turned, camber_turns, toe_turns};
use halfturn::hardware::{
    Hand, HexNut, Material, Pair, Thread, engagement, hex_nut, jam_nut, threads,
};
use halfturn::quantity::{
    Angle, AngleUnit, Length, LengthUnit, ToeUnit, Torque, TorqueUnit, read_toe,
};
use halfturn::reading::{
    AxleToe, Estimate, Rolled, Swing, angle_to_string, camber_by_plumb, total_toe_by_treads,
};
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    id: String,
    quantity: String,
    inputs: BTreeMap<String, Input>,
    expected: f64,
    unit: String,
    tolerance: f64,
    source: String,
    /// Whether the value was read in its source, computed from it, or remembered.
    provenance: String,
    #[serde(default)]
    note: String,
}

#[derive(Clone, Deserialize)]
#[serde(untagged)]
enum Input {
    Number(f64),
    Text(String),
}

fn cases(file: &str) -> Vec<Case> {
    let text = std::fs::read_to_string(format!("tests/data/{file}.json")).expect(file);
    serde_json::from_str(&text).expect("each case has its fields")
}

#[test]
fn published_values_agree() {
    let cases = [cases("published-values"), cases("more-published-values")].concat();
    assert_eq!(cases.len(), 308 + 600);
    let mut differences = Vec::new();
    let mut failures = Vec::new();
    let mut ran = 0;
    for case in &cases {
        let got = case.compute();
        // Decimal fractions are rounded in binary: a tolerance of nothing means to the last digit printed, and its edge belongs to it.
        let tolerance = case.tolerance + 1e-12 * case.expected.abs();
        let agrees = got.is_some_and(|got| (got - case.expected).abs() <= tolerance);
        if let Some((id, ..)) = DIFFERENCES.iter().find(|(id, ..)| *id == case.id) {
            differences.push(*id);
            if agrees {
                failures.push(format!("{id} agrees: it is no difference"));
            }
            continue;
        }
        ran += 1;
        if !agrees {
            let got = got.map_or("nothing computes it".to_owned(), |got| got.to_string());
            failures.push(format!(
                "{} ({}): got {got}, expected {} ± {tolerance} {}; source ({}): {} {}",
                case.id,
                case.quantity,
                case.expected,
                case.unit,
                case.provenance,
                case.source,
                case.note
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert_eq!(
        differences.len(),
        DIFFERENCES.len(),
        "each difference is a case, once"
    );
    assert_eq!(ran + differences.len(), cases.len());
}

/// Each difference is held to a range of its own, so that it cannot hide a mistake.
#[test]
fn differences_are_as_large_as_they_are_said_to_be() {
    let cases = [cases("published-values"), cases("more-published-values")].concat();
    for (id, [least, most], reason) in DIFFERENCES {
        let case = cases.iter().find(|case| case.id == id).expect(id);
        assert!(!reason.is_empty());
        // A value that nothing computes is told by a range of nothing.
        let ratio = case.compute().map_or(0.0, |got| got / case.expected);
        assert!(
            (least..=most).contains(&ratio),
            "{id}: {ratio} of the printed value; {reason}"
        );
    }
}

impl Case {
    fn number(&self, name: &str) -> f64 {
        match self.inputs.get(name) {
            Some(Input::Number(number)) => *number,
            _ => panic!("{}: no number {name}", self.id),
        }
    }

    fn mm(&self, name: &str) -> Length {
        Length::mm(self.number(name))
    }

    fn degrees(&self, name: &str) -> Angle {
        Angle::degrees(self.number(name))
    }

    /// The thread by diameter and pitch, by its designation, or by its size alone.
    fn thread(&self) -> Thread {
        let near = |a: Length, b: Length| (a - b).abs() < Length::mm(1e-6);
        let found = if self.inputs.contains_key("tpi") {
            let (d, p) = (
                Length::inches(self.number("D_in")),
                Length::inches(1.0 / self.number("tpi")),
            );
            threads().find(|thread| near(thread.diameter(), d) && near(thread.pitch(), p))
        } else if self.inputs.contains_key("P_mm") {
            threads().find(|thread| {
                near(thread.diameter(), self.mm("d_mm")) && near(thread.pitch(), self.mm("P_mm"))
            })
        } else {
            match (self.inputs.get("thread"), self.inputs.get("size")) {
                (Some(Input::Text(designation)), _) => Thread::parse(designation).ok(),
                (_, Some(Input::Text(size))) => {
                    let (inch, metric) = (format!("{size}-"), format!("{size}x"));
                    threads().find(|thread| {
                        let name = thread.designation();
                        name.starts_with(&inch) || name.starts_with(&metric)
                    })
                }
                _ => None,
            }
        };
        let thread = found.unwrap_or_else(|| panic!("{}: no such thread", self.id));
        if let Some(Input::Text(designation)) = self.inputs.get("thread") {
            assert_eq!(
                Thread::parse(designation),
                Ok(thread),
                "{}: both ways name one thread",
                self.id
            );
        }
        thread
    }

    /// The thread that the case's name holds, such as `TRAV-5/8-18-single`.
    fn thread_in_name(&self) -> Thread {
        let inner = self
            .id
            .split_once('-')
            .and_then(|(_, rest)| rest.rsplit_once('-'));
        let thread = inner.and_then(|(name, _)| Thread::parse(name).ok());
        thread.unwrap_or_else(|| panic!("{}: no thread in its name", self.id))
    }

    fn text(&self, name: &str) -> &str {
        match self.inputs.get(name) {
            Some(Input::Text(text)) => text,
            _ => panic!("{}: no text {name}", self.id),
        }
    }

    /// A length in the case's unit.
    fn length(&self, length: Length) -> f64 {
        match self.unit.as_str() {
            "mm" | "mm/turn" => length.as_mm(),
            "in" => length.as_inches(),
            unit => panic!("{}: {unit} is no length", self.id),
        }
    }

    fn nut(&self, nut: fn(Thread) -> Option<HexNut>, part: fn(HexNut) -> Length) -> Option<f64> {
        nut(self.thread()).map(|nut| self.length(part(nut)))
    }

    /// The case by the core's own functions, in the case's unit.
    fn compute(&self) -> Option<f64> {
        if let Some(Input::Text(name)) = self.inputs.get("thread") {
            Thread::parse(name).ok()?;
        }
        Some(match self.quantity.as_str() {
            "tensile stress area" | "tensile stress area of 1-14 UNS (not the UNF 1-12)" => {
                let area = self.thread().stress_area().as_square_metres();
                match self.unit.as_str() {
                    "mm2" => area * 1e6,
                    "in2" => area / 0.0254 / 0.0254,
                    unit => panic!("{}: {unit} is no area", self.id),
                }
            }
            "basic minor diameter (internal)" => self.length(self.thread().minor_diameter()),
            "basic pitch diameter" => self.length(self.thread().pitch_diameter()),
            "engagement in aluminium, capscrews" => {
                let thread = Thread::default();
                engagement(thread, Pair::usual(Material::Aluminium)).shop / thread.diameter()
            }
            "regular nut height max" | "hex nut thickness max" => {
                self.nut(hex_nut, |nut| nut.thickness)?
            }
            "thin (jam) nut height max" | "hex jam nut thickness max" => {
                self.nut(jam_nut, |nut| nut.thickness)?
            }
            "hex across flats (ISO 4014/4032)" | "hex nut across flats" => {
                self.nut(hex_nut, |nut| nut.across_flats)?
            }
            "hex nut thickness basic" => self.nut(hex_nut, |nut| nut.basic)?,
            "hex jam nut thickness basic" => self.nut(jam_nut, |nut| nut.basic)?,
            "1 lbf*ft" => TorqueUnit::PoundFoot.of(1.0).as_newton_metres(),
            "unit factor lbfin-Nm" => TorqueUnit::PoundInch.of(1.0).as_newton_metres(),
            "unit factor kgfm-Nm" => TorqueUnit::KilogramForceMetre.of(1.0).as_newton_metres(),
            "unit factor Nm-lbfft" => TorqueUnit::PoundFoot.count(Torque::newton_metres(1.0)),
            "unit factor in-mm" => LengthUnit::Inch.of(1.0).as_mm(),
            "unit factor in2-mm2" => Length::inches(1.0).as_mm().powi(2),
            "unit factor deg-rad" => Angle::degrees(1.0).as_radians(),
            "unit factor arcmin-deg" => AngleUnit::Minute.of(1.0).as_degrees(),
            "single-wheel toe angle = asin(delta/D)" => {
                let edges = edges(self.mm("delta_mm"), Length::ZERO);
                angle_to_string(&edges, self.mm("D_mm"))
                    .ok()?
                    .value
                    .as_degrees()
            }
            "toe offset delta = D sin(theta)" => {
                // The reader goes the other way: what its angle is off by, as a length at the rim.
                let (theta, across) = (self.degrees("theta_deg"), self.mm("D_mm"));
                let text = format!("{} {}", self.expected, self.unit);
                let read = read_toe(&text, ToeUnit::Angle(AngleUnit::Degree), Some(across)).ok()?;
                let off = across * ((theta - read.angle).as_radians() * theta.as_radians().cos());
                self.expected + self.length(off)
            }
            "caster multiplier 1/(2 sin steer) on camber change between -steer and +steer" => {
                // The exact axis of a swing so small that its small angles are small.
                let known = |degrees: f64| Estimate::new(Angle::degrees(degrees), Angle::ZERO);
                let change = 1e-3;
                let swing = Swing {
                    steer: Estimate::new(self.degrees("steer_deg"), Angle::ZERO),
                    outward: known(change / 2.0),
                    inward: known(-change / 2.0),
                    straight: None,
                };
                swing.axis().ok()?.caster.value.as_degrees() / change
            }
            "total toe = left + right" => {
                self.axle("left_deg", "right_deg").total?.value.as_degrees()
            }
            "thrust angle=(LR toe - RR toe)/2, positive = points right" => {
                self.axle("LR_deg", "RR_deg").thrust?.value.as_degrees()
            }
            "total toe from front and rear tread-centre distances = rear - front" => {
                // The total angle, spread over the two tyres' marks, gives the difference back.
                let marks = Length::inches(25.0);
                let treads = edges(
                    Length::inches(self.number("front_in")),
                    Length::inches(self.number("rear_in")),
                );
                let total = total_toe_by_treads(&treads, marks).ok()?.value;
                self.length(marks * (2.0 * (total / 2.0).sin()))
            }
            "camber from plumb offset, rim points D apart in wheel plane: asin(e/D)" => {
                let edges = edges(Length::ZERO, self.mm("e_mm"));
                camber_by_plumb(&edges, self.mm("D_mm"))
                    .ok()?
                    .value
                    .as_degrees()
            }
            "camber from plumb offset over vertical height h: atan(e/h)" => {
                let across = self.number("e_mm").hypot(self.number("h_mm"));
                let edges = edges(Length::ZERO, self.mm("e_mm"));
                camber_by_plumb(&edges, Length::mm(across))
                    .ok()?
                    .value
                    .as_degrees()
            }
            "length change per turn, one rod end turned on its shank" => {
                let rod = RodEnd {
                    turned: Turned::Eye,
                    end: end(self.thread_in_name(), Hand::Right),
                };
                self.length(Mechanism::RodEnd(rod).travel_per_turn())
            }
            "length change per turn of a sleeve with RH and LH thread of this pitch" => {
                let ends = [Hand::Right, Hand::Left].map(|hand| end(self.thread_in_name(), hand));
                self.length(Mechanism::Sleeve(Sleeve { ends }).travel_per_turn())
            }
            "differential sleeve, both RH, 5/8-18 and 5/8-11" => {
                let ends = ["5/8-18", "5/8-11"]
                    .map(|name| end(Thread::parse(name).expect(name), Hand::Right));
                self.length(Mechanism::DifferentialSleeve(Sleeve { ends }).travel_per_turn())
            }
            "adjuster turns = r sin(dtheta)/travel (tie rod square to steering arm)" => toe_turns(
                self.degrees("dtoe_deg"),
                self.mm("arm_mm"),
                self.mm("travel_mm_per_turn"),
            )?,
            "adjuster turns = h tan(dcamber)/travel (upper link, h between upper and lower ball centres)" => {
                camber_turns(
                    self.degrees("dcamber_deg"),
                    self.mm("h_mm"),
                    self.mm("travel_mm_per_turn"),
                )?
            }
            "bare thread between jam nut and shank end = shank - jam - engaged" => {
                let thread = Thread::parse("M16x1.5").expect("M16x1.5");
                let end = ThreadedEnd {
                    shank: self.mm("shank_mm"),
                    jam_nut: self.mm("jam_mm"),
                    ..end(thread, Hand::Right)
                };
                // What more is engaged than the case says is what less shows.
                let state = end.state(Length::mm(self.expected)).ok()?;
                self.length(state.showing + (state.engaged - self.mm("engaged_mm")))
            }
            _ => return self.hardware(),
        })
    }

    fn axle(&self, left: &str, right: &str) -> AxleToe {
        let known = |name: &str| Some(Estimate::new(self.degrees(name), Angle::ZERO));
        AxleToe::by_wheels(known(left), known(right))
    }
}

/// Two distances read once, as found.
fn edges(first: Length, second: Length) -> Rolled {
    Rolled::of(&[(first, second)], &[], Length::mm(0.5)).expect("one pair is read")
}

/// An end with room to spare and no lead.
fn end(thread: Thread, hand: Hand) -> ThreadedEnd {
    ThreadedEnd {
        name: "outer".into(),
        thread,
        hand,
        shank: Length::mm(60.0),
        jam_nut: Length::mm(8.0),
        unthreaded_lead: Length::ZERO,
        insert_depth: Length::mm(60.0),
        insert: Material::Steel,
        shank_strength: None,
        insert_strength: None,
        base_showing: Length::mm(8.0),
    }
}

//! The corners of `data/linkage-cases.json`.

use halfturn::linkage::{AxisEnd, Geometry, Link, Side, SteeringAxis, Strut, Vector, Wheel};
use halfturn::quantity::{Angle, Length};
use serde_json::Value;

fn point(value: &Value) -> Vector {
    let [x, y, z] = value.as_array().expect("a list").as_slice() else {
        panic!("three numbers")
    };
    let [x, y, z] = [x, y, z].map(|number| number.as_f64().expect("a number"));
    Vector::mm(x, y, z)
}

fn number(value: &Value, name: &str) -> f64 {
    value[name]
        .as_f64()
        .unwrap_or_else(|| panic!("{name} in {value}"))
}

fn geometry(case: &Value) -> Geometry {
    let drawn = &case["geometry"];
    let wheel = &drawn["wheel"];
    let end = |end: &Value| {
        let point = point(&end["point"]);
        match end["on"].as_str() {
            Some("upright") => AxisEnd::Carrier(point),
            Some("chassis") => AxisEnd::Car(point),
            on => panic!("{on:?}"),
        }
    };
    let axis = &drawn["steering_axis"];
    Geometry {
        side: if drawn["side"] == "left" {
            Side::Left
        } else {
            Side::Right
        },
        wheel: Wheel {
            centre: point(&wheel["center"]),
            radius: Length::mm(number(wheel, "radius")),
            toe: Angle::degrees(number(wheel, "design_toe_deg")),
            camber: Angle::degrees(number(wheel, "design_camber_deg")),
        },
        links: drawn["links"]
            .as_array()
            .expect("links")
            .iter()
            .map(|link| Link {
                name: link["name"].as_str().expect("a name").to_owned(),
                car: point(&link["chassis"]),
                carrier: point(&link["upright"]),
            })
            .collect(),
        strut: drawn["strut"].as_object().map(|strut| Strut {
            top: point(&strut["top"]),
            on_axis: point(&strut["axis_point"]),
        }),
        steering_axis: axis.is_object().then(|| SteeringAxis {
            lower: end(&axis["lower"]),
            upper: end(&axis["upper"]),
        }),
    }
}

/// The corners, each with its name.
pub fn corners() -> Vec<(String, Geometry, Value)> {
    let text = std::fs::read_to_string("tests/data/linkage-cases.json").expect("it is there");
    let file: Value = serde_json::from_str(&text).expect("it is JSON");
    let cases = file["cases"].as_array().expect("cases").clone();
    assert_eq!(cases.len(), 7);
    cases
        .into_iter()
        .map(|case| {
            let name = case["geometry"]["id"].as_str().expect("an id").to_owned();
            (name, geometry(&case), case)
        })
        .collect()
}

/// The place of a link.
pub fn place(geometry: &Geometry, name: &str) -> usize {
    geometry
        .links
        .iter()
        .position(|link| link.name == name)
        .expect(name)
}

/// The places of the links of the toe and the camber adjuster.
pub fn adjusters(geometry: &Geometry, adjusters: &Value) -> [Vec<usize>; 2] {
    ["toe", "camber"].map(|which| {
        let links = adjusters[which].as_array().expect(which);
        links
            .iter()
            .map(|link| place(geometry, link.as_str().expect(which)))
            .collect()
    })
}

//! Which points a corner asks for, and how they are joined: by the layouts known here, or by a corner's own links.

use super::geometry::{AxisEnd, Geometry, Link, Side, SteeringAxis, Strut, Wheel};
use super::vector::Vector;
use crate::quantity::{Angle, Length};

/// A layout of a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layout {
    /// Its name.
    pub name: &'static str,
    /// The points it asks for, link by link.
    pub spots: &'static [Spot],
    /// Its links: name, place of the joint at the car and of the joint at the carrier among the points.
    links: &'static [(&'static str, usize, usize)],
    /// The places of a strut's top and of another point on its axis.
    strut: Option<[usize; 2]>,
    /// The places of the lower and the upper end of the steering axis, and whether the upper one is a point of the car.
    axis: Option<(usize, usize, bool)>,
    wheel: Example,
}

/// A point that a layout asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// What it is, with the numbers of its links.
    pub label: &'static str,
    example: [f64; 3],
}

/// A wheel as drawn, in millimetres and degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Example {
    centre: [f64; 3],
    radius: f64,
    toe: f64,
    camber: f64,
}

const fn spot(label: &'static str, x: f64, y: f64, z: f64) -> Spot {
    Spot {
        label,
        example: [x, y, z],
    }
}

/// The layouts, each with an invented left corner to begin with.
pub const LAYOUTS: [Layout; 3] = [
    Layout {
        name: "double wishbone, toe link",
        spots: &[
            spot("1 Upper arm, front leg: at the car", 122.0, 408.0, 466.0),
            spot("2 Upper arm, rear leg: at the car", -168.0, 414.0, 456.0),
            spot("1, 2 Upper arm: at the carrier", -15.0, 658.0, 478.0),
            spot("3 Lower arm, front leg: at the car", 186.0, 322.0, 184.0),
            spot("4 Lower arm, rear leg: at the car", -152.0, 328.0, 199.0),
            spot("3, 4 Lower arm: at the carrier", 6.0, 704.0, 181.0),
            spot("5 Toe link: at the car", -128.0, 340.0, 234.5),
            spot("5 Toe link: at the carrier", -116.0, 692.0, 229.0),
        ],
        links: &[
            ("Upper arm, front leg", 0, 2),
            ("Upper arm, rear leg", 1, 2),
            ("Lower arm, front leg", 3, 5),
            ("Lower arm, rear leg", 4, 5),
            ("Toe link", 6, 7),
        ],
        strut: None,
        axis: Some((5, 2, false)),
        wheel: Example {
            centre: [0.0, 744.0, 304.0],
            radius: 306.0,
            toe: 0.05,
            camber: -1.0,
        },
    },
    Layout {
        name: "strut, lower arm, toe link",
        spots: &[
            spot("1 Lower arm, front leg: at the car", 14.0, 374.0, 176.0),
            spot("2 Lower arm, rear leg: at the car", -288.0, 382.0, 182.0),
            spot("1, 2 Lower arm: at the carrier", -4.0, 690.0, 164.0),
            spot("3 Toe link: at the car", -144.0, 338.0, 218.0),
            spot("3 Toe link: at the carrier", -134.0, 678.0, 203.0),
            spot("S Strut: top, at the car", -40.0, 552.0, 868.0),
            spot("S Strut: on its axis, at the carrier", -12.0, 603.0, 424.0),
        ],
        links: &[
            ("Lower arm, front leg", 0, 2),
            ("Lower arm, rear leg", 1, 2),
            ("Toe link", 3, 4),
        ],
        strut: Some([5, 6]),
        axis: Some((2, 5, true)),
        wheel: Example {
            centre: [0.0, 737.0, 302.0],
            radius: 304.0,
            toe: 0.1,
            camber: -0.8,
        },
    },
    Layout {
        name: "five links",
        spots: &[
            spot("1 Upper link, front: at the car", -2414.0, 452.0, 414.0),
            spot("1 Upper link, front: at the carrier", -2509.0, 676.0, 432.0),
            spot("2 Upper link, rear: at the car", -2652.0, 466.0, 436.0),
            spot("2 Upper link, rear: at the carrier", -2561.0, 681.0, 446.0),
            spot("3 Lower link, front: at the car", -2264.0, 396.0, 234.0),
            spot("3 Lower link, front: at the carrier", -2507.0, 688.0, 206.0),
            spot("4 Lower link, rear: at the car", -2558.0, 292.0, 196.0),
            spot("4 Lower link, rear: at the carrier", -2562.0, 703.0, 184.0),
            spot("5 Toe link: at the car", -2678.0, 346.0, 228.0),
            spot("5 Toe link: at the carrier", -2671.0, 694.0, 219.0),
        ],
        links: &[
            ("Upper link, front", 0, 1),
            ("Upper link, rear", 2, 3),
            ("Lower link, front", 4, 5),
            ("Lower link, rear", 6, 7),
            ("Toe link", 8, 9),
        ],
        strut: None,
        axis: None,
        wheel: Example {
            centre: [-2540.0, 746.0, 306.0],
            radius: 308.0,
            toe: 0.1,
            camber: -1.2,
        },
    },
];

/// The most points that a corner asks for: two for each of five links, and two of a steering axis.
pub const MOST_SPOTS: usize = 12;

/// On the other side of the car.
pub const fn mirrored(point: Vector) -> Vector {
    Vector::new(point.x, -point.y, point.z)
}

const fn example(side: Side, [x, y, z]: [f64; 3]) -> Vector {
    Vector::mm(x, y * side.outwards(), z)
}

impl Layout {
    /// The points of its invented corner.
    pub fn example(&self, side: Side) -> Vec<Vector> {
        let points = self.spots.iter();
        points.map(|spot| example(side, spot.example)).collect()
    }

    /// The wheel of its invented corner.
    pub const fn wheel(&self, side: Side) -> Wheel {
        Wheel {
            centre: example(side, self.wheel.centre),
            radius: Length::mm(self.wheel.radius),
            toe: Angle::degrees(self.wheel.toe),
            camber: Angle::degrees(self.wheel.camber),
        }
    }

    /// What it asks for.
    pub fn hardpoints(&self) -> Hardpoints {
        let links = self.links.iter();
        Hardpoints {
            labels: self
                .spots
                .iter()
                .map(|spot| spot.label.to_owned())
                .collect(),
            links: links
                .map(|(name, car, carrier)| ((*name).to_owned(), *car, *carrier))
                .collect(),
            strut: self.strut,
            axis: self
                .axis
                .map(|(lower, upper, at_car)| [(lower, false), (upper, at_car)]),
        }
    }

    /// The corner with these points; none where there are fewer than it asks for.
    pub fn geometry(&self, side: Side, points: &[Vector], wheel: Wheel) -> Option<Geometry> {
        self.hardpoints().geometry(side, points, wheel)
    }
}

/// The points that a corner asks for, and how they are joined.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hardpoints {
    /// What each point is, with the numbers of its links.
    pub labels: Vec<String>,
    /// Its links: name, place of the joint at the car and of the joint at the carrier among the points.
    pub links: Vec<(String, usize, usize)>,
    /// The places of a strut's top and of another point on its axis.
    pub strut: Option<[usize; 2]>,
    /// The places of the lower and the upper end of the steering axis, each with whether it is a point of the car.
    axis: Option<[(usize, bool); 2]>,
}

impl Hardpoints {
    /// Those of a corner by its own links, and where they are. Joints that it has at one point of the car, or at one of the carrier, are one.
    pub fn of(geometry: &Geometry) -> (Self, Vec<Vector>) {
        let mut asked = Self::default();
        let mut points: Vec<(Vector, bool)> = Vec::new();
        // The links that meet in each point, by their numbers.
        let mut meet: Vec<(Vec<String>, String)> = Vec::new();
        let mut place = |point: Vector, at_car: bool, number: &str, what: &str| {
            let known = points.iter().position(|known| *known == (point, at_car));
            let place = known.unwrap_or(points.len());
            if known.is_none() {
                points.push((point, at_car));
                meet.push((Vec::new(), what.to_owned()));
            }
            if let Some((numbers, _)) = meet.get_mut(place).filter(|_| !number.is_empty()) {
                numbers.push(number.to_owned());
            }
            place
        };
        for (index, link) in geometry.links.iter().enumerate() {
            let number = (index + 1).to_string();
            let car = place(link.car, true, &number, &link.name);
            let carrier = place(link.carrier, false, &number, &link.name);
            asked.links.push((link.name.clone(), car, carrier));
        }
        asked.strut = geometry.strut.map(|strut| {
            [
                place(strut.top, true, "S", "Strut: top"),
                place(strut.on_axis, false, "S", "Strut: on its axis"),
            ]
        });
        asked.axis = geometry.steering_axis.map(|axis| {
            [(axis.lower, "lower"), (axis.upper, "upper")].map(|(end, which)| {
                let (point, at_car) = match end {
                    AxisEnd::Car(point) => (point, true),
                    AxisEnd::Carrier(point) => (point, false),
                };
                let what = format!("Steering axis: {which} end");
                (place(point, at_car, "", &what), at_car)
            })
        });
        let labels = meet.iter().zip(&points);
        asked.labels = labels
            .map(|((numbers, what), (_, at_car))| {
                let end = if *at_car {
                    "at the car"
                } else {
                    "at the carrier"
                };
                match numbers.as_slice() {
                    [] => format!("{what}, {end}"),
                    [number] if number == "S" => format!("{number} {what}, {end}"),
                    [number] => format!("{number} {what}: {end}"),
                    numbers => format!("{} meet {end}", numbers.join(", ")),
                }
            })
            .collect();
        (asked, points.into_iter().map(|(point, _)| point).collect())
    }

    /// The place among its points of a link's joint at the car.
    pub fn car_joint(&self, link: usize) -> Option<usize> {
        self.links.get(link).map(|(_, car, _)| *car)
    }

    /// The pairs of links that are the two legs of one arm: one after the other, with one joint at the carrier.
    pub fn arms(&self) -> impl Iterator<Item = [usize; 2]> {
        let pairs = self.links.windows(2).enumerate();
        pairs.filter_map(|(place, pair)| match pair {
            [(_, _, one), (_, _, other)] if one == other => Some([place, place + 1]),
            _ => None,
        })
    }

    /// The corner with these points; none where there are fewer than it asks for.
    pub fn geometry(&self, side: Side, points: &[Vector], wheel: Wheel) -> Option<Geometry> {
        let at = |place: usize| points.get(place).copied();
        let mut links = Vec::new();
        for (name, car, carrier) in &self.links {
            links.push(Link {
                name: name.clone(),
                car: at(*car)?,
                carrier: at(*carrier)?,
            });
        }
        let strut = match self.strut {
            None => None,
            Some([top, on_axis]) => Some(Strut {
                top: at(top)?,
                on_axis: at(on_axis)?,
            }),
        };
        let end = |(place, at_car): (usize, bool)| {
            let point = at(place)?;
            Some(if at_car {
                AxisEnd::Car(point)
            } else {
                AxisEnd::Carrier(point)
            })
        };
        let steering_axis = match self.axis {
            None => None,
            Some([lower, upper]) => Some(SteeringAxis {
                lower: end(lower)?,
                upper: end(upper)?,
            }),
        };
        Some(Geometry {
            side,
            wheel,
            links,
            strut,
            steering_axis,
        })
    }
}

//! Rates for the plan from a corner's linkage.

use super::belief::Doubts;
use super::{Rate, Reading};
use crate::linkage::{Changes, Geometry, Linkage, Mover, Vector};
use crate::quantity::{Angle, Length};
use crate::reading::Estimate;

/// The exact rates of adjusters where links are so much longer than set; none where the lengths do not go together. What drawing and car
/// differ by is in [`rate_doubts`].
pub fn rates_at(linkage: &Linkage, changes: &Changes, adjusters: &[Mover]) -> Option<Vec<Rate>> {
    let pose = linkage.pose(changes, Length::ZERO).ok()?;
    let rates = linkage.rates_of(&pose, adjusters).ok()?;
    let rate = |rate: &crate::linkage::Rate| Rate {
        toe: rate.toe,
        camber: rate.camber,
    };
    Some(rates.iter().map(rate).collect())
}

/// What is not known of the rates of adjusters, where each coordinate of each joint may be off by a standard deviation and each link's length by
/// another: the rates' change with each, one at a time, squared and summed (JCGM 100:2008, 5.1.2). Joints drawn at one point are one joint.
/// None where the corner cannot be solved.
pub fn rate_doubts(
    geometry: &Geometry,
    adjusters: &[Mover],
    joint: Length,
    link: Length,
) -> Option<Doubts> {
    let flat = |rates: Vec<Rate>| -> Vec<f64> {
        rates
            .iter()
            .flat_map(|rate| [rate.toe, rate.camber])
            .collect()
    };
    let drawn = [Length::ZERO; 5];
    let linkage = Linkage::new(geometry).ok()?;
    let nominal = flat(rates_at(&linkage, &drawn, adjusters)?);
    let mut doubts = vec![vec![0.0; nominal.len()]; nominal.len()];
    let mut add = |rates: Vec<f64>| {
        let change: Vec<f64> = rates.iter().zip(&nominal).map(|(a, b)| a - b).collect();
        for (row, a) in doubts.iter_mut().zip(&change) {
            for (cell, b) in row.iter_mut().zip(&change) {
                *cell += a * b;
            }
        }
    };
    for point in joints(geometry) {
        for way in ways(joint) {
            let moved = Linkage::new(&with_joints(geometry, &|at| {
                if at == point { at + way } else { at }
            }))
            .ok()?;
            add(flat(rates_at(&moved, &drawn, adjusters)?));
        }
    }
    for place in 0..linkage.links() {
        let longer = linkage.set(&[Mover::links([place])], &[link]);
        add(flat(rates_at(&longer, &drawn, adjusters)?));
    }
    Some(doubts)
}

/// What toe and camber a drawn corner gives with its adjusters so far from where it is drawn, where each coordinate of each joint of the car may be off by
/// a standard deviation while the links keep their lengths, and each adjuster's travel is known so well: the changes with each, one at a time, squared and
/// summed (JCGM 100:2008, 5.1.2). None where the corner cannot stand so.
pub fn predict(
    geometry: &Geometry,
    adjusters: &[Mover],
    travels: &[Length],
    joint: Length,
    known: &[Length],
) -> Option<Reading> {
    let drawn = Linkage::new(geometry).ok()?;
    let stands = |linkage: &Linkage, travels: &[Length]| -> Option<[f64; 2]> {
        let set = linkage.set(adjusters, travels);
        let wheel = set.wheel(&set.pose(&[Length::ZERO; 5], Length::ZERO).ok()?);
        Some([wheel.toe.as_radians(), wheel.camber.as_radians()])
    };
    let nominal = stands(&drawn, travels)?;
    let mut squares = [0.0; 2];
    let mut add = |moved: [f64; 2]| {
        for ((square, moved), nominal) in squares.iter_mut().zip(moved).zip(nominal) {
            *square += (moved - nominal).powi(2);
        }
    };
    for point in joints(geometry) {
        for way in ways(joint) {
            let moved = drawn.with_joints(geometry, &|at| if at == point { at + way } else { at });
            add(stands(&moved, travels)?);
        }
    }
    for (place, known) in known.iter().enumerate().take(travels.len()) {
        let mut travels = travels.to_vec();
        if let Some(travel) = travels.get_mut(place) {
            *travel = *travel + *known;
        }
        add(stands(&drawn, &travels)?);
    }
    let [toe, camber] = nominal;
    let [of_toe, of_camber] = squares.map(f64::sqrt);
    let estimate = |value, off| Some(Estimate::new(Angle::radians(value), Angle::radians(off)));
    Some(Reading {
        toe: estimate(toe, of_toe),
        camber: estimate(camber, of_camber),
    })
}

/// So much along each axis.
const fn ways(by: Length) -> [Vector; 3] {
    let by = by.as_metres();
    [
        Vector::new(by, 0.0, 0.0),
        Vector::new(0.0, by, 0.0),
        Vector::new(0.0, 0.0, by),
    ]
}

/// Every joint of links and strut, once.
pub fn joints(geometry: &Geometry) -> Vec<Vector> {
    let mut joints: Vec<Vector> = Vec::new();
    let ends = geometry
        .links
        .iter()
        .flat_map(|link| [link.car, link.carrier]);
    let strut = geometry
        .strut
        .iter()
        .flat_map(|strut| [strut.top, strut.on_axis]);
    for point in ends.chain(strut) {
        if !joints.contains(&point) {
            joints.push(point);
        }
    }
    joints
}

/// The same corner with the joints of links and strut elsewhere. Joints drawn at one point stay at one. Wheel and steering axis stay as drawn: no rate of
/// toe or camber rests on the axis.
pub fn with_joints(geometry: &Geometry, place: &dyn Fn(Vector) -> Vector) -> Geometry {
    let mut moved = geometry.clone();
    for link in &mut moved.links {
        link.car = place(link.car);
        link.carrier = place(link.carrier);
    }
    if let Some(strut) = &mut moved.strut {
        strut.top = place(strut.top);
        strut.on_axis = place(strut.on_axis);
    }
    moved
}

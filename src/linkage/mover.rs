//! What an adjuster moves at a corner, and how fast the wheel follows.

use super::pose::{Linkage, Pose, PoseError, Rate};
use super::vector::Vector;
use crate::quantity::Length;

/// What an adjuster moves by its travel. Links are named by their places; places beyond the corner's links move nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mover {
    /// Links that it lengthens, all by the same length.
    pub lengthens: Vec<usize>,
    /// Links whose joint at the car it shifts.
    pub shifts: Vec<usize>,
    /// Whether it shifts the strut's top.
    pub strut_top: bool,
    /// The way of the shift for positive travel, of length one.
    pub way: Vector,
}

impl Mover {
    /// An adjuster that lengthens links.
    pub fn links(links: impl Into<Vec<usize>>) -> Self {
        Self {
            lengthens: links.into(),
            ..Self::default()
        }
    }

    /// Whether it moves something of a corner with so many links.
    pub fn moves(&self, links: usize, strut: bool) -> bool {
        let known = |places: &[usize]| places.iter().any(|place| *place < links);
        known(&self.lengthens)
            || ((known(&self.shifts) || self.strut_top && strut) && self.way.length() > 0.0)
    }
}

impl Linkage {
    /// The same corner with each adjuster further by its travel.
    pub fn set(&self, movers: &[Mover], travels: &[Length]) -> Self {
        let mut set = self.clone();
        for (mover, travel) in movers.iter().zip(travels) {
            for link in &mover.lengthens {
                set.lengthen(*link, *travel);
            }
            let by = mover.way * travel.as_metres();
            for link in &mover.shifts {
                set = set.with_car_joint(*link, by);
            }
            if mover.strut_top {
                set = set.with_strut_top(by);
            }
        }
        set
    }

    /// How fast the wheel moves with each adjuster's travel in a pose, exactly: a joint at the car that shifts along a link does what lengthening that
    /// link does.
    ///
    /// # Errors
    /// Links that do not hold the wheel in this pose.
    pub fn rates_of(&self, pose: &Pose, movers: &[Mover]) -> Result<Vec<Rate>, PoseError> {
        let rights: Vec<[f64; 6]> = movers
            .iter()
            .map(|mover| {
                let mut right = [0.0; 6];
                for (link, right) in right.iter_mut().enumerate().take(self.links()) {
                    let times =
                        |places: &[usize]| places.iter().filter(|place| **place == link).count();
                    *right = times(&mover.lengthens) as f64;
                    if let Some(along) = self.link_now(pose, link) {
                        *right += times(&mover.shifts) as f64 * along.unit().dot(mover.way);
                    }
                }
                if mover.strut_top {
                    self.strut_top_rights(pose, mover.way, &mut right);
                }
                right
            })
            .collect();
        self.rates_for(pose, &rights)
    }
}

//! What a corner does over its travel: curves, roll centre, anti-dive and its like, half-shafts, rod ends.

use super::pose::{Changes, Linkage, Pose, PoseError, Rate, WheelPose};
use super::vector::Vector;
use crate::quantity::{Angle, Length};

/// One place on a curve over travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// How far the wheel's centre is above where it is drawn: bump positive.
    pub travel: Length,
    /// The pose.
    pub pose: Pose,
    /// What the wheel does there.
    pub wheel: WheelPose,
    /// How fast it moves with travel there.
    pub rate: Rate,
}

/// What the suspension's side view is asked about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pitch {
    /// Axle to axle, more than zero.
    pub wheelbase: Length,
    /// Height of the centre of gravity over the ground, more than zero.
    pub gravity: Length,
    /// Share of the force that this axle takes, from 0 to 1: its brakes', or its drive's.
    pub share: f64,
    /// Whether this is the front axle.
    pub front: bool,
    /// Whether the torque goes through half-shafts to the body: brakes or final drive inboard. Otherwise the carrier holds it.
    pub inboard: bool,
}

impl Linkage {
    /// The curve from one travel to another in so many places, two at least, from the drawn height outwards so that no place is far from one
    /// already solved. It ends where the linkage does, and says why.
    pub fn sweep(
        &self,
        changes: &Changes,
        [lowest, highest]: [Length; 2],
        places: u32,
    ) -> (Vec<Place>, Option<PoseError>) {
        let mut curve = Vec::new();
        let step = (highest - lowest) / f64::from(places.max(2) - 1);
        let mut near = self.drawn();
        for index in 0..places.max(2) {
            let travel = lowest + step * f64::from(index);
            let place = self
                .pose_from(&near, changes, travel)
                .or_else(|_| self.pose(changes, travel))
                .and_then(|pose| {
                    let rate = self.rates(&pose)?.travel;
                    Ok(Place {
                        travel,
                        pose,
                        wheel: self.wheel(&pose),
                        rate,
                    })
                });
            match place {
                Ok(place) => {
                    near = place.pose;
                    curve.push(place);
                }
                Err(error) => return (curve, Some(error)),
            }
        }
        (curve, None)
    }

    /// The same corner with a link's joint at the car moved across, as a rack moves its tie rod. Nothing moves where there is no such link.
    pub fn racked(&self, link: usize, left: Length) -> Self {
        self.with_car_joint(link, Vector::new(0.0, left.as_metres(), 0.0))
    }
}

impl Place {
    /// Height over the ground of the roll centre of two such corners: where the line from the contact to the front-view instant centre crosses the
    /// middle of the car (SAE J670). Not a number where the contact does not move up.
    pub fn roll_centre(&self) -> Length {
        let moves = self.rate.contact_of_carrier;
        Length::metres(self.wheel.contact.y * (moves.y / moves.z))
    }

    /// Share of the load that braking or drive shifts which the linkage takes without the springs: anti-dive of a front and anti-lift of a rear
    /// axle under brakes, anti-squat of a rear and anti-lift of a front one under drive. One is all of it; negative is pro-dive and its like.
    ///
    /// `share · tan φ · wheelbase / height`, with φ the slope of the line to the side-view instant centre, from the contact where the carrier holds
    /// the torque and from the wheel's centre where half-shafts carry it to the body (Milliken and Milliken, Race Car Vehicle Dynamics, ch. 17).
    pub fn anti(&self, pitch: &Pitch) -> f64 {
        let moves = if pitch.inboard {
            self.rate.centre
        } else {
            self.rate.contact_of_carrier
        };
        let forward = if pitch.front { 1.0 } else { -1.0 };
        forward * pitch.share * (moves.x / moves.z) * (pitch.wheelbase / pitch.gravity)
    }

    /// By how much a half-shaft from a point of the car to a point of the carrier, as drawn, is longer than drawn.
    pub fn plunge(&self, linkage: &Linkage, inner: Vector, outer: Vector) -> Length {
        let now = linkage.point(&self.pose, outer);
        Length::metres((now - inner).length() - (outer - inner).length())
    }

    /// The angle by which a rod end on a link leans on its ball there: [`Linkage::misalignment`].
    pub fn misalignment(
        &self,
        linkage: &Linkage,
        link: usize,
        bolt: Vector,
        on_carrier: bool,
    ) -> Option<Angle> {
        linkage.misalignment(&self.pose, link, bolt, on_carrier)
    }
}

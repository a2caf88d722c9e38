//! Turns for an angle, by plane trigonometry: what a technician asks with a figure from the rack in hand.

use crate::quantity::{Angle, Length};

/// Turns of an adjuster that change toe by an angle: `r sin Δ / travel per turn`, where `r` is the arm square to the adjuster.
///
/// Lengthening is positive. None where the arm or the travel is not more than zero.
pub fn toe_turns(change: Angle, arm: Length, travel_per_turn: Length) -> Option<f64> {
    turns(arm * change.sin(), arm, travel_per_turn)
}

/// Turns of an upper or lower link that change camber by an angle: `h tan Δ / travel per turn`, where `h` is the height between
/// the two outer joints.
///
/// Lengthening is positive. None where the height or the travel is not more than zero.
pub fn camber_turns(change: Angle, height: Length, travel_per_turn: Length) -> Option<f64> {
    turns(
        height * (change.sin() / change.cos()),
        height,
        travel_per_turn,
    )
}

fn turns(travel: Length, arm: Length, per_turn: Length) -> Option<f64> {
    let turns = travel / per_turn;
    (arm > Length::ZERO && per_turn > Length::ZERO && turns.is_finite()).then_some(turns)
}

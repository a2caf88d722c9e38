//! Adjusters: what one step does to a length, and how far it may still go.
//!
//! Every mechanism changes one length between two joints of the suspension, its *travel*, longer being positive. A slot, a
//! cam or a shim stack moves a joint outwards instead of lengthening a link; outwards is then the positive way.

mod end;
mod mechanism;
mod step;
mod turns;

pub use end::{EndError, EndState, ThreadedEnd};
pub use mechanism::{
    CamBolt, Mechanism, MechanismError, Position, PositionError, RodEnd, Room, Shims, Sleeve, Slot,
    Turned, View,
};
pub use step::{Step, step_words};
pub use turns::{camber_turns, toe_turns};

//! Drawn parts, to scale. They take plain numbers and know nothing of jobs.

mod hex_dial;
mod marks;
mod thread_rule;

pub use hex_dial::{Dial, HexDial};
pub use marks::{Defs, StateMark};
pub use thread_rule::{ThreadDrawing, ThreadRule};

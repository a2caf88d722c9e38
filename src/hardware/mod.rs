//! Hardware: threads, the nuts that lock them, and how much must stay engaged.

mod engagement;
mod nut;
mod thread;

pub use engagement::{Engagement, Material, engagement};
pub use nut::{HexNut, hex_nut, jam_nut};
pub use thread::{Hand, Series, Thread, UnknownThread, threads};

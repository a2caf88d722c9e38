//! Hardware: threads and their limits, grades, tightening, engagement, holes and wrenches.

mod adapter;
mod engagement;
mod grade;
mod hex;
mod hole;
mod identify;
mod limits;
mod nut;
mod thread;
mod tightening;

pub use adapter::{AdapterError, wrench_setting};
pub use engagement::{
    ALUMINIUM, CAST_IRON, Engagement, Material, Pair, SHANK, STEEL, engagement,
    equal_strength_length,
};
pub use grade::{Grade, GradeError, HeadMark, Strength};
pub use hex::{Wrenches, wrenches};
pub use hole::{Fit, HoleError, HoleFit, HoleSeries, USUAL_ARM, clearance_hole, judge_hole};
pub use identify::{Candidate, Identity, identify};
pub use limits::{Span, ThreadLimits};
pub use nut::{HexNut, Nut, hex_nut, jam_nut, least_prevailing_torque, lock_nut_note};
pub use thread::{Hand, Series, Thread, UnknownThread, threads};
pub(crate) use tightening::holds;
pub use tightening::{
    Condition, Fastening, Friction, FrictionForm, Given, MATE_UNKNOWN, Mate, Member, Tightening,
    TighteningError, USUAL_SHARE, assembly_preload, bearing_diameter, tighten, torque_by_friction,
};

//! A corner's linkage: hardpoints to the wheel's pose, and how fast toe and camber move with each link and with travel.
//!
//! A wheel carrier is a rigid body with six unknowns, held by five length-like constraints and its ride height: rigid links (an A-arm is two that
//! share a joint), and a strut as a point of the car on a line of the carrier, which is two constraints.

mod curves;
mod geometry;
mod layout;
mod limits;
mod mover;
mod point;
mod pose;
mod reach;
mod shell;
mod steer;
mod travel;
mod vector;

pub use curves::{Travelled, write_curves};
pub use geometry::{AxisEnd, Geometry, GeometryError, Link, Side, SteeringAxis, Strut, Wheel};
pub use layout::{Hardpoints, LAYOUTS, Layout, MOST_SPOTS, Spot, mirrored};
pub use limits::{At, JointLimit, Kept, OverRange, Rack, Range};
pub use mover::Mover;
pub use point::{PointError, read_point, write_point};
pub use pose::{Changes, Linkage, Pose, PoseError, Rate, Rates, WheelPose};
pub use reach::ReachError;
pub use shell::{
    Cause, Doubts, Explanation, FURTHEST_OUT, Measured, ShellError, Shift, Telling, explain,
    telling,
};
pub use steer::{Steered, rolling_true};
pub use travel::{Pitch, Place};
pub use vector::{Rotation, Vector};

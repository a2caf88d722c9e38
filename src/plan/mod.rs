//! The plan: readings, targets, rates and adjusters to whole steps.
//!
//! The plan takes a matrix of rates and does not care where it comes from: lever arms, or a corner's linkage ([`rates_at`]). What is known between one
//! round and the next is a [`Belief`].

mod axle;
mod belief;
mod corner;
mod search;
mod verdict;

pub use axle::{AxlePlan, Ties, Wheel, plan_axle};
pub use belief::{Belief, Doubts};
pub use corner::{joints, predict, rate_doubts, rates_at, with_joints};
pub use search::{
    Finer, Further, Goal, Lever, Levers, MayStand, Outcome, Plan, PlanError, Rate, Reading, plan,
};
pub use verdict::{Target, Verdict, guard_band, verdict};

//! The plan: readings, targets, rates and adjusters to whole steps.
//!
//! The plan takes a matrix of rates and does not care where it comes from.

mod search;
mod verdict;

pub use search::{Further, Goal, Lever, Outcome, Plan, PlanError, Rate, Reading, plan};
pub use verdict::{Target, Verdict, guard_band, verdict};

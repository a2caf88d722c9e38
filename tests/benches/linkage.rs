//! `cargo bench`: one solve with its rates from a cold start 5 mm away, on one thread.
//!
//! It prints the median of many batches. Nothing is asserted: machines differ, and a time belongs in no test.

#[path = "../common/solve.rs"]
mod solve;

use std::hint::black_box;
use std::time::Instant;

fn main() {
    const BATCHES: usize = 400;
    const SOLVES: u32 = 200;
    let mut times: Vec<f64> = (0..BATCHES)
        .map(|_| {
            let start = Instant::now();
            black_box(solve::solves(SOLVES));
            start.elapsed().as_secs_f64() / f64::from(SOLVES)
        })
        .collect();
    times.sort_by(f64::total_cmp);
    let micro = |share: f64| times[((BATCHES - 1) as f64 * share) as usize] * 1e6;
    println!(
        "one solve with rates, cold, 5 mm away: median {:.2} µs, tenth {:.2} µs, ninetieth {:.2} µs ({BATCHES} batches of {SOLVES})",
        micro(0.5),
        micro(0.1),
        micro(0.9)
    );
}

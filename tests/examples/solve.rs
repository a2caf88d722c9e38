//! The timed solve as a wasm module, to be called from a page: `make solve`.

#[path = "../common/solve.rs"]
mod solve;

/// See `solve::solves`.
#[unsafe(no_mangle)]
pub extern "C" fn solves(count: u32) -> f64 {
    solve::solves(count)
}

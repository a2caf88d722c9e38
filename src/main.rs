//! Mounts the page. Everything else is in the library.

/// A fraction of the code of the standard allocator. The page has one thread and holds a few hundred kilobytes.
#[cfg(target_arch = "wasm32")]
#[global_allocator]
static ALLOCATOR: rlsf::SmallGlobalTlsf = rlsf::SmallGlobalTlsf::new();

#[cfg(target_arch = "wasm32")]
fn main() {
    halfturn::app::mount();
}

/// The page is built for the browser by `make run`; natively there is nothing to start.
#[cfg(not(target_arch = "wasm32"))]
fn main() {
    eprintln!("Halfturn is a web page: start it with `make run`.");
    std::process::exit(2);
}

//! Mounts the kit maker's desk. Everything else is in the library.

#[cfg(target_arch = "wasm32")]
fn main() {
    halfturn::app::desk::mount();
}

/// The page is built for the browser by `make run`; natively there is nothing to start.
#[cfg(not(target_arch = "wasm32"))]
fn main() {
    eprintln!("Halfturn's desk is a web page: start it with `make run`.");
    std::process::exit(2);
}

//! Mounts the page of a job's sheet. Everything else is in the library.

#[cfg(target_arch = "wasm32")]
fn main() {
    halfturn::app::mount_sheet();
}

/// The page is built for the browser by `make run`; natively there is nothing to start.
#[cfg(not(target_arch = "wasm32"))]
fn main() {
    eprintln!("Halfturn is a web page: start it with `make run`.");
    std::process::exit(2);
}

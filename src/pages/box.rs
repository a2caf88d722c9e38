//! Mounts the boxes that ship. Everything else is in the library.

#[cfg(target_arch = "wasm32")]
fn main() {
    halfturn::app::mount_boxes();
}

/// The page is built for the browser by `make run`; natively there is nothing to start.
#[cfg(not(target_arch = "wasm32"))]
fn main() {
    eprintln!("Halfturn's boxes are a web page: start it with `make run`.");
    std::process::exit(2);
}

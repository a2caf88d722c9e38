//! The page: Leptos views over the core.

use leptos::prelude::*;

/// Puts the page in place of the skeleton.
pub fn mount() {
    console_error_panic_hook::set_once();
    leptos::mount::mount_to_body(|| view! { <main><h1>"Halfturn"</h1></main> });
}

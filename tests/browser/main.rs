//! The release page in a real Chromium, driven over WebDriver: `make test` builds the page and runs these.
//!
//! A test opens a [`site::Site`], visits it on a [`page::Screen`], and says what a person does and sees:
//!
//! ```ignore
//! Site::release().visit(Screen::PHONE, |page| {
//!     page.open("");
//!     page.click("Start");
//!     page.fill("Track", "1420 mm");
//!     page.shows("1420 mm");
//! });
//! ```
//!
//! Each visit ends with a check that the console stayed clean, that the content security policy was kept, that no file
//! was missing and that no request left the page's own origin.

mod audit;
mod bad_input;
mod bench;
mod browser;
mod car_points;
#[path = "../common/mod.rs"]
mod common;
mod desk;
mod gauge;
mod harness;
mod journey;
mod keeping;
mod keyboard;
mod latency;
mod many;
mod offline;
mod opening;
mod over_travel;
mod page;
mod paper;
mod pictures;
mod reach;
mod reloads;
mod share;
mod site;
mod solve;
mod torques;
mod tour;

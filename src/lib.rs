//! Halfturn's core: from a kit card and typed readings to wrench turns and a baseline sheet.
//!
//! Everything outside `app` is pure: no browser, no storage, no clock. Values are held in SI and
//! carry their quantity in their type; units appear only where text is read or written ([`quantity`]).
//!
//! Data runs one way: a document ([`document`]) is read by a core function ([`station`]), which returns one structured
//! result, which a view renders. `DEVELOPERS.md` shows the rooms.

#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod adjuster;
pub mod document;
pub mod drawing;
pub mod hardware;
pub mod linkage;
pub mod plan;
pub mod quantity;
pub mod reading;
pub mod sheet;
pub mod station;

#[cfg(target_arch = "wasm32")]
pub mod app;

//! Documents: what is kept. Kit card, job and preferences, all JSON in one envelope.
//!
//! A document holds inputs only. Loading goes parse, envelope, version, migrate, fit to the types, validate; the caller
//! swaps only after all of it went well, and otherwise keeps the bytes as they came.

mod difference;
mod envelope;
pub mod form;
mod handed;
mod job;
mod json;
mod kit_card;
mod merge;
mod named;
mod pack;
mod preferences;
mod problem;
mod share;
mod typed;
mod validate;

pub use difference::{Difference, differences};
pub use envelope::{
    Draft, Kind, LoadError, MAX_BYTES, MIGRATIONS, Migration, load_job, load_kit_card,
    load_own_kit_card, load_preferences, load_stored_job, open_draft, read_draft, save_draft,
    save_job, save_job_alone, save_kit_card, save_preferences, speaks_clear_of, stored_job_of,
    tree_of,
};
pub use handed::{read_corner, write_corner};
pub use job::*;
pub use json::{Json, JsonError};
pub use kit_card::*;
pub use merge::{Clash, merge_jobs, merge_json};
pub use named::Named;
pub use preferences::{Hands, Preferences, Theme, ToeShown};
pub use problem::Problem;
pub use share::{
    CardName, LONGEST_LINK, Letter, LinkError, NamedCard, OWN_KIT_CARDS, Shared, card_named,
    fingerprint, open_packed, pack_job, pack_kit_card,
};
pub use validate::problems_of_card;

/// The JSON Schema of a kit card document, envelope included.
#[cfg(not(target_arch = "wasm32"))]
pub fn kit_card_schema() -> serde_json::Value {
    let mut schema = schemars::schema_for!(KitCard).to_value();
    if let Some(object) = schema.as_object_mut() {
        object.insert("title".into(), "Halfturn kit card".into());
    }
    for (key, rule) in [
        (
            "halfturn",
            serde_json::json!({ "const": Kind::KitCard.name() }),
        ),
        (
            "version",
            serde_json::json!({ "const": Kind::KitCard.version() }),
        ),
    ] {
        if let Some(properties) = schema
            .pointer_mut("/properties")
            .and_then(|value| value.as_object_mut())
        {
            properties.insert(key.into(), rule);
        }
        if let Some(required) = schema
            .pointer_mut("/required")
            .and_then(|value| value.as_array_mut())
        {
            required.insert(0, key.into());
        }
    }
    schema
}

//! The envelope `{ "halfturn": kind, "version": n, ... }`, and the way from bytes to a document.

use super::typed::{Typed, write_job_alone};
use super::validate::{problems_of_card, problems_of_job};
use super::{Job, Json, JsonError, KitCard, Named, Preferences, Problem};
use std::fmt;

/// The largest document that is read, in bytes. A full job is a tenth of it.
pub const MAX_BYTES: usize = 2 * 1024 * 1024;

/// The kinds of document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A kit card.
    KitCard,
    /// A job.
    Job,
    /// Preferences.
    Preferences,
}

impl Kind {
    /// As it stands in the envelope.
    pub const fn name(self) -> &'static str {
        match self {
            Self::KitCard => "kit card",
            Self::Job => "job",
            Self::Preferences => "preferences",
        }
    }

    /// The version written today: one more than the migrations that lead to it.
    pub fn version(self) -> u64 {
        1 + MIGRATIONS
            .iter()
            .filter(|migration| migration.kind == self)
            .count() as u64
    }
}

/// A step from one version of a kind of document to the next, over untyped JSON.
pub struct Migration {
    /// The kind it is for.
    pub kind: Kind,
    /// The version it starts from. Numbers of one kind run from 1 without a gap.
    pub from: u64,
    /// What it does to the fields.
    pub run: fn(&mut Named<Json>),
}

/// Every migration, oldest first. A stored document of each version stands in `tests/data/documents`.
pub const MIGRATIONS: &[Migration] = &[];

/// Why a document was not taken. The bytes stay as they are.
#[derive(Clone, Debug, PartialEq)]
pub enum LoadError {
    /// More bytes than any document has.
    TooLarge {
        /// Its size in bytes.
        bytes: usize,
    },
    /// It ends in the middle.
    Truncated,
    /// It is not JSON.
    NotJson {
        /// The line, from 1.
        line: usize,
        /// The column, from 1.
        column: usize,
    },
    /// It is JSON without the envelope.
    NotOurs,
    /// It is another kind of document.
    OtherKind {
        /// What it says it is.
        found: String,
        /// What was wanted.
        wanted: Kind,
    },
    /// Its version is not a whole number from 1.
    BadVersion,
    /// It was written by a newer Halfturn.
    Newer {
        /// Its version.
        found: u64,
        /// The newest known here.
        known: u64,
    },
    /// Its fields do not fit.
    Invalid(Vec<Problem>),
}

impl fmt::Display for LoadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge { bytes } => write!(
                f,
                "This file holds {} MB. A kit card or job is never larger than {} MB: choose the right file.",
                bytes / 1_000_000,
                MAX_BYTES / 1_000_000
            ),
            Self::Truncated => f.write_str("This file ends in the middle, so part of it is missing. Save or send it again."),
            Self::NotJson { line, column } => {
                write!(f, "This file is not a Halfturn document: line {line}, column {column} cannot be read as JSON.")
            }
            Self::NotOurs => f.write_str("This file is not a Halfturn document: the field halfturn is missing. Choose a kit card or a job."),
            Self::OtherKind { found, wanted } => {
                let found = found.chars().take(40).collect::<String>();
                write!(f, "The field halfturn says \"{found}\", and a {} is needed here. Choose another file.", wanted.name())
            }
            Self::BadVersion => f.write_str("The field version must be a whole number from 1, such as 1."),
            Self::Newer { found, known } => {
                write!(f, "The field version is {found}, and this page knows versions up to {known}. Open the list of jobs with a connection, change to the new version when it is offered there, then try again.")
            }
            Self::Invalid(problems) => {
                for (index, problem) in problems.iter().take(8).enumerate() {
                    if index > 0 {
                        f.write_str("\n")?;
                    }
                    write!(f, "{problem}")?;
                }
                if problems.len() > 8 {
                    write!(f, "\nand {} more.", problems.len() - 8)?;
                }
                Ok(())
            }
        }
    }
}

/// Reads a kit card.
///
/// # Errors
/// Says why the text is not a kit card that can be used.
pub fn load_kit_card(text: &str) -> Result<KitCard, LoadError> {
    kit_card_of(tree_of(text)?)
}

/// A kit card out of its tree.
pub(super) fn kit_card_of(value: Json) -> Result<KitCard, LoadError> {
    let card = filled(brought(value, Kind::KitCard)?.into())?;
    accept(card, problems_of_card)
}

/// Reads a kit card that comes with the pages. The tests hold it to the checks, so here its fields must only fit.
///
/// # Errors
/// Says why the text is not a kit card.
pub fn load_own_kit_card(text: &str) -> Result<KitCard, LoadError> {
    filled(open(text, Kind::KitCard)?.into())
}

/// Reads a job.
///
/// # Errors
/// Says why the text is not a job that can be used.
pub fn load_job(text: &str) -> Result<Job, LoadError> {
    job_of(tree_of(text)?, None)
}

/// A job out of its tree, on a card that the tree does not hold itself.
pub(super) fn job_of(value: Json, card: Option<Named<Json>>) -> Result<Job, LoadError> {
    let mut fields = brought(value, Kind::Job)?;
    if let Some(card) = card {
        fields.insert("card".to_owned(), Json::Object(card));
    }
    accept(filled(fields.into())?, problems_of_job)
}

/// Reads a job that a page of ours has stored. What it holds was checked when it came in, so here its fields must only fit: a page that shows one
/// station need not hold the checks of a whole card. No check is needed for safety: what a formula cannot take, it refuses.
///
/// # Errors
/// Says why the text is not a job.
pub fn load_stored_job(text: &str) -> Result<Job, LoadError> {
    stored_job_of(tree_of(text)?)
}

/// A stored job out of its tree, as [`load_stored_job`] reads it.
///
/// # Errors
/// Says why the tree is not a job.
pub fn stored_job_of(tree: Json) -> Result<Job, LoadError> {
    filled(brought(tree, Kind::Job)?.into())
}

/// Reads preferences.
///
/// # Errors
/// Says why the text is not preferences.
pub fn load_preferences(text: &str) -> Result<Preferences, LoadError> {
    filled(open(text, Kind::Preferences)?.into())
}

/// Writes a kit card in its envelope.
pub fn save_kit_card(card: &KitCard) -> String {
    save(Kind::KitCard, card)
}

/// Writes a job in its envelope.
pub fn save_job(job: &Job) -> String {
    save(Kind::Job, job)
}

/// Writes a job in its envelope without its kit card, as something is to hold it that names the card.
pub fn save_job_alone(job: &Job) -> String {
    let mut json = String::new();
    write_job_alone(job, &mut json);
    enveloped(Kind::Job, &json)
}

/// Writes preferences in their envelope.
pub fn save_preferences(preferences: &Preferences) -> String {
    save(Kind::Preferences, preferences)
}

/// Reads a kit card that may be half written: every field stays as it was typed.
///
/// # Errors
/// Says why the text is not a kit card at all.
pub fn open_draft(text: &str) -> Result<Json, LoadError> {
    Ok(Json::Object(open(text, Kind::KitCard)?))
}

/// Writes a kit card that may be half written in its envelope.
pub fn save_draft(draft: &Json) -> String {
    let mut json = String::new();
    draft.write(&mut json);
    enveloped(Kind::KitCard, &json)
}

/// A half-written kit card as far as it can be read.
pub struct Draft {
    /// The card. What cannot be read has its default in it.
    pub card: KitCard,
    /// What is missing or cannot be read.
    pub unread: Vec<Problem>,
    /// What else keeps it from being a whole card. Nothing is said of what holds something unread or stands in it.
    pub wrong: Vec<Problem>,
}

/// Reads a half-written kit card.
pub fn read_draft(draft: &Json) -> Draft {
    let mut card = KitCard::default();
    let unread = match card.fill(draft.clone()) {
        Ok(()) => Vec::new(),
        Err(fault) => fault.problems(),
    };
    let mut wrong = problems_of_card(&card);
    wrong.retain(|problem| speaks_clear_of(&unread, &problem.field));
    Draft {
        card,
        unread,
        wrong,
    }
}

/// Whether what is said of a field is said of something that was read: neither it nor what it holds is among those that were not.
pub fn speaks_clear_of(unread: &[Problem], field: &str) -> bool {
    let within = |inner: &str, outer: &str| {
        inner
            .strip_prefix(outer)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
    };
    !unread
        .iter()
        .any(|unread| within(&unread.field, field) || within(field, &unread.field))
}

fn save(kind: Kind, fields: &dyn Typed) -> String {
    let mut json = String::new();
    fields.write(&mut json);
    enveloped(kind, &json)
}

fn enveloped(kind: Kind, json: &str) -> String {
    let rest = json.strip_prefix('{').unwrap_or("}");
    let comma = if rest == "}" { "" } else { "," };
    format!(
        "{{\"halfturn\":\"{}\",\"version\":{}{comma}{rest}",
        kind.name(),
        kind.version()
    )
}

/// A document without problems.
pub(super) fn accept<T>(
    document: T,
    problems: impl FnOnce(&T) -> Vec<Problem>,
) -> Result<T, LoadError> {
    let problems = problems(&document);
    if problems.is_empty() {
        Ok(document)
    } else {
        Err(LoadError::Invalid(problems))
    }
}

/// A document of fields.
pub(super) fn filled<T: Typed + Default>(fields: Json) -> Result<T, LoadError> {
    let mut document = T::default();
    let filled = document.fill(fields);
    filled
        .map(|()| document)
        .map_err(|fault| LoadError::Invalid(fault.problems()))
}

/// The fields of a document of the wanted kind, brought to today's version.
pub(super) fn open(text: &str, kind: Kind) -> Result<Named<Json>, LoadError> {
    brought(tree_of(text)?, kind)
}

/// The tree of a text, whatever document it is.
///
/// # Errors
/// Says why it is no JSON, or too much.
pub fn tree_of(text: &str) -> Result<Json, LoadError> {
    if text.len() > MAX_BYTES {
        return Err(LoadError::TooLarge { bytes: text.len() });
    }
    Json::parse(text).map_err(|error| match error {
        JsonError::Truncated => LoadError::Truncated,
        JsonError::At { line, column } => LoadError::NotJson { line, column },
    })
}

/// The fields of a document of the wanted kind, brought to today's version.
fn brought(value: Json, kind: Kind) -> Result<Named<Json>, LoadError> {
    let Json::Object(mut fields) = value else {
        return Err(LoadError::NotOurs);
    };
    let Some(Json::Text(found)) = fields.remove("halfturn") else {
        return Err(LoadError::NotOurs);
    };
    if found != kind.name() {
        return Err(LoadError::OtherKind {
            found,
            wanted: kind,
        });
    }
    let version = match fields.remove("version") {
        Some(Json::Number(digits)) => digits.parse().unwrap_or(0),
        _ => 0,
    };
    if version == 0 {
        return Err(LoadError::BadVersion);
    }
    if version > kind.version() {
        return Err(LoadError::Newer {
            found: version,
            known: kind.version(),
        });
    }
    for migration in MIGRATIONS
        .iter()
        .filter(|migration| migration.kind == kind && migration.from >= version)
    {
        (migration.run)(&mut fields);
    }
    Ok(fields)
}

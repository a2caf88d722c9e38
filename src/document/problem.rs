//! What is wrong with a document, field by field.

use std::fmt;

/// One thing wrong: which field, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The way to the field, such as `adjusters[3].mechanism`.
    pub field: String,
    /// What is wrong and how to mend it, as a sentence.
    pub message: String,
}

impl Problem {
    /// A problem at a field.
    pub fn at(field: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            field: field.into(),
            message: message.into(),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.field, self.message)
    }
}

//! What went wrong, and what to do next.

use std::fmt;

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A message for the maker: the thing and its numbers, and a next step.
/// Lower case, no final stop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Problem {
    /// What is wrong, with the thing and its numbers.
    pub message: String,
    /// The next step that the maker can take.
    pub hint: Option<String>,
}

impl Problem {
    /// Says what is wrong.
    pub fn new(message: impl Into<String>) -> Problem {
        Problem { message: message.into(), hint: None }
    }

    /// Adds the next step.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Problem {
        self.hint = Some(hint.into());
        self
    }

    /// Says where the trouble is, in front of the message: `piece 3: …`.
    #[must_use]
    pub fn within(mut self, place: &str) -> Problem {
        self.message = format!("{place}: {}", self.message);
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.hint {
            Some(hint) => write!(out, "{} ({hint})", self.message),
            None => out.write_str(&self.message),
        }
    }
}

impl std::error::Error for Problem {}

/// As much of the answer as could be worked out, and what went wrong on the way.
#[must_use]
#[derive(Clone, Debug, PartialEq)]
pub struct Checked<T> {
    /// The answer.
    pub value: T,
    /// What went wrong on the way.
    pub problems: Vec<Problem>,
}

impl<T> Checked<T> {
    /// An answer without trouble.
    pub fn clean(value: T) -> Checked<T> {
        Checked { value, problems: Vec::new() }
    }
}

//! A figure that can be opened.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A figure shown to a person, with all that stands behind it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Figure {
    /// What it is: `narrowest section`.
    pub name: String,
    /// The value in the maker's own units: `1 1/4 in`.
    pub value: String,
    /// How it was worked out: `b · h² / 6`.
    pub formula: String,
    /// What went in.
    pub inputs: Vec<Input>,
    /// Where the formula comes from, or `common practice, no source`.
    pub source: String,
}

/// One value that went into a figure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Input {
    /// What it is.
    pub name: String,
    /// Its value with its unit.
    pub value: String,
}

impl Figure {
    /// Names a figure and its value; formula, inputs and source follow.
    pub fn new(name: impl Into<String>, value: impl Into<String>) -> Figure {
        Figure {
            name: name.into(),
            value: value.into(),
            formula: String::new(),
            inputs: Vec::new(),
            source: String::new(),
        }
    }

    /// Says how it was worked out, and who says that this is right.
    #[must_use]
    pub fn by(mut self, formula: impl Into<String>, source: impl Into<String>) -> Figure {
        self.formula = formula.into();
        self.source = source.into();
        self
    }

    /// Adds a value that went in.
    #[must_use]
    pub fn from(mut self, name: impl Into<String>, value: impl Into<String>) -> Figure {
        self.inputs.push(Input { name: name.into(), value: value.into() });
        self
    }
}

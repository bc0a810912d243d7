//! What went wrong, sorted by who can do something about it.

use std::fmt;

use measure::Problem;

/// What went wrong, sorted by who can do something about it.
#[derive(Clone, Debug, PartialEq)]
pub enum Trouble {
    /// What was given cannot be used.
    Input(Problem),
    /// There is no such thing.
    Missing(Problem),
    /// It does not go together with what is there.
    Conflict(Problem),
    /// The shop's folder cannot be read or written.
    Folder(Problem),
}

impl Trouble {
    /// The message for the maker.
    pub fn problem(&self) -> &Problem {
        match self {
            Trouble::Input(it) | Trouble::Missing(it) | Trouble::Conflict(it) | Trouble::Folder(it) => it,
        }
    }

    pub(crate) fn missing(what: &str, id: impl fmt::Display) -> Trouble {
        Trouble::Missing(Problem::new(format!("there is no {what} {id}")).hint("it may have been taken away"))
    }
}

impl From<Problem> for Trouble {
    fn from(it: Problem) -> Trouble {
        Trouble::Input(it)
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.problem().fmt(out)
    }
}

impl std::error::Error for Trouble {}

//! How tables of facts are read, and how sure we are of a row.

use measure::Problem;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How sure we are of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Confidence {
    /// Seen in the named text.
    Read,
    /// Worked out from a row that was seen.
    Computed,
    /// From memory; not seen in print.
    Memory,
    /// What the trade does; nobody publishes it.
    CommonPractice,
}

impl Confidence {
    /// A source, and how sure we are of it, in one line.
    pub fn of(self, source: &str) -> String {
        match self {
            Confidence::Read => source.to_owned(),
            Confidence::Computed => format!("{source} (computed)"),
            Confidence::Memory => format!("{source} (from memory)"),
            Confidence::CommonPractice => format!("{source} (common practice)"),
        }
    }
}

/// Reads a table that is built into the program.
///
/// # Panics
/// If the table is not what its type says; a test reads every one.
pub(crate) fn table<T: DeserializeOwned>(name: &str, text: &str) -> T {
    toml::from_str(text).unwrap_or_else(|trouble| panic!("table {name}: {trouble}"))
}

/// Finds the row with a key; an unknown key is answered with the known ones.
pub(crate) fn find<'a, T>(
    what: &str,
    key: &str,
    rows: &'a [T],
    key_of: impl Fn(&T) -> &str,
) -> Result<&'a T, Problem> {
    rows.iter().find(|row| key_of(row) == key).ok_or_else(|| {
        let known: Vec<&str> = rows.iter().map(key_of).collect();
        Problem::new(format!("no {what} is called “{key}”")).hint(format!("known are {}", known.join(", ")))
    })
}

/// A number with at most `places` decimals and no trailing zeros.
pub(crate) fn number(it: f64, places: usize) -> String {
    let text = format!("{it:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

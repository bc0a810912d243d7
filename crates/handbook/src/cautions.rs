//! Cautions: what can hurt someone, in a line.

use std::sync::LazyLock;

use measure::Problem;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::facts::{table, unknown};
use crate::{CautionKey, Confidence};

/// What to take care of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Its key: `oily_rags`.
    pub key: CautionKey,
    /// In a line.
    pub text: String,
    /// Who says so.
    pub source: String,
    /// How sure we are of it.
    pub confidence: Confidence,
}

#[derive(Deserialize)]
struct Rows {
    caution: Vec<Caution>,
}

static CAUTIONS: LazyLock<Rows> =
    LazyLock::new(|| table("cautions.toml", include_str!("../data/cautions.toml")));

/// Every caution that is known.
pub fn all_cautions() -> &'static [Caution] {
    &CAUTIONS.caution
}

/// A caution.
///
/// # Errors
/// None has this key; the hint lists the known ones.
pub fn caution(key: &CautionKey) -> Result<&'static Caution, Problem> {
    all_cautions()
        .iter()
        .find(|it| it.key == *key)
        .ok_or_else(|| unknown("caution", &key.0, all_cautions().iter().map(|it| it.key.0.as_str())))
}

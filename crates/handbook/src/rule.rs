//! Rules on food contact that a maker should look up.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::Confidence;
use crate::facts::table;

/// What stands over every list of them.
pub const LOOK_UP: &str =
    "look these up where you sell: no legal advice, and no claim that a board meets them";

/// A pointer to a text in force somewhere.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// What to look up: `21 CFR 175.300`.
    pub text: String,
    /// Where it holds.
    pub place: String,
    /// What it is about, shortly.
    pub says: String,
    source: String,
    confidence: Confidence,
}

#[derive(Deserialize)]
struct Rows {
    rule: Vec<Rule>,
}

static RULES: LazyLock<Rows> = LazyLock::new(|| table("rules.toml", include_str!("../data/rules.toml")));

/// Every rule that is pointed to.
pub fn all_rules() -> &'static [Rule] {
    &RULES.rule
}

impl Rule {
    /// Where the short wording comes from, and how sure we are of it.
    pub fn origin(&self) -> String {
        self.confidence.of(&self.source)
    }
}

//! What a fact is, how sure we are of it, and how tables of facts are read.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use measure::Problem;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use toml::{Table, Value};
use ts_rs::TS;

/// How sure we are of a fact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Confidence {
    /// Seen in a copy of the named text itself.
    Published,
    /// Seen where others have copied the named text.
    SecondHand,
    /// Worked out from facts that were seen.
    Computed,
    /// From memory; not seen in print.
    Memory,
    /// What the trade does; nobody publishes it.
    CommonPractice,
    /// Our own judgement.
    Estimate,
    /// The shop's own: read on its can, measured on its wood.
    Own,
}

impl Confidence {
    /// Every grade, surest first.
    pub const ALL: [Confidence; 7] = [
        Confidence::Published,
        Confidence::SecondHand,
        Confidence::Computed,
        Confidence::Memory,
        Confidence::CommonPractice,
        Confidence::Estimate,
        Confidence::Own,
    ];

    /// The grade in words: `second hand`.
    pub const fn words(self) -> &'static str {
        match self {
            Confidence::Published => "published",
            Confidence::SecondHand => "second hand",
            Confidence::Computed => "computed",
            Confidence::Memory => "from memory",
            Confidence::CommonPractice => "common practice",
            Confidence::Estimate => "estimate",
            Confidence::Own => "the shop's own",
        }
    }

    /// A source, and how sure we are of it, in one line.
    pub fn of(self, source: &str) -> String {
        match self {
            Confidence::Published => source.to_owned(),
            other => format!("{source} ({})", other.words()),
        }
    }
}

/// A value with its source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Fact<T> {
    /// The value, in the unit of its quantity.
    pub value: T,
    /// The value as its source prints it, where that is another unit: `15800 psi`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub printed: Option<String>,
    /// Where it comes from.
    pub source: String,
    /// How sure we are of it.
    pub confidence: Confidence,
    /// What else to know of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub note: Option<String>,
}

impl<T> Fact<T> {
    /// Its source, and how sure we are of it, in one line.
    pub fn origin(&self) -> String {
        self.confidence.of(&self.source)
    }
}

/// A value to reckon with: a fact, or what is assumed where none is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Known<T> {
    /// The value.
    pub value: T,
    /// Where it comes from, or what was assumed in its place.
    pub basis: String,
    /// Whether nothing was known and it was assumed.
    pub assumed: bool,
}

impl<T> Known<T> {
    pub(crate) fn fact(fact: &Fact<T>) -> Known<T>
    where
        T: Clone,
    {
        Known { value: fact.value.clone(), basis: fact.origin(), assumed: false }
    }

    pub(crate) fn computed(value: T, from: &str) -> Known<T> {
        Known { value, basis: Confidence::Computed.of(from), assumed: false }
    }

    pub(crate) fn assumed(value: T, from: impl AsRef<str>) -> Known<T> {
        Known { value, basis: format!("not known; assumed {}", from.as_ref()), assumed: true }
    }
}

/// A source of facts as `sources.toml` names it.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Source {
    text: String,
    confidence: String,
}

static SOURCES: LazyLock<BTreeMap<String, Source>> =
    LazyLock::new(|| table("sources.toml", include_str!("../data/sources.toml")));

/// Units in which facts are printed, and what one of them is in the unit that
/// its quantity is held in: megapascals, newtons, percent, kilograms in a cubic metre.
const UNITS: [(&str, &str, f64); 8] = [
    ("mpa", "MPa", 1.0),
    ("psi", "psi", 0.006_894_757_293_168),
    ("million_psi", "10⁶ psi", 6_894.757_293_168),
    ("newtons", "N", 1.0),
    ("lbf", "lbf", 4.448_221_615_260_5),
    ("percent", "%", 1.0),
    ("kg_m3", "kg/m³", 1.0),
    ("celsius", "°C", 1.0),
];

/// Reads a table whose facts are written as `{ psi = 15800, from = "source" }`
/// or `{ is = "ring", from = "source" }`.
///
/// # Panics
/// As [`table`], and if a fact names no unit or an unknown source.
pub(crate) fn table_of_facts<T: DeserializeOwned>(name: &str, text: &str) -> T {
    let mut whole: Value = table(name, text);
    spell_out(&mut whole).unwrap_or_else(|trouble| panic!("table {name}: {trouble}"));
    whole.try_into().unwrap_or_else(|trouble| panic!("table {name}: {trouble}"))
}

/// Turns every fact inside of a value into the form of [`Fact`].
fn spell_out(it: &mut Value) -> Result<(), Problem> {
    match it {
        Value::Table(entry) if entry.contains_key("from") => *entry = fact(entry)?,
        Value::Table(entries) => {
            for (_, entry) in entries.iter_mut() {
                spell_out(entry)?;
            }
        }
        Value::Array(entries) => entries.iter_mut().try_for_each(spell_out)?,
        Value::String(_) | Value::Integer(_) | Value::Float(_) | Value::Boolean(_) | Value::Datetime(_) => {}
    }
    Ok(())
}

fn fact(entry: &Table) -> Result<Table, Problem> {
    let wrong = |why: &str| Problem::new(format!("{why} in {entry:?}"));
    let key = entry.get("from").and_then(Value::as_str).unwrap_or_default();
    let source = SOURCES.get(key).ok_or_else(|| wrong("an unknown source"))?;
    let mut spelt = Table::new();
    for (name, value) in entry {
        if let Some((_, unit, factor)) = UNITS.iter().find(|unit| unit.0 == name) {
            let number = value.as_float().or_else(|| value.as_integer().map(|it| it as f64));
            let number = number.ok_or_else(|| wrong("no number"))?;
            spelt.insert("value".to_owned(), (number * factor).into());
            if *factor != 1.0 {
                spelt.insert("printed".to_owned(), format!("{number} {unit}").into());
            }
        } else if name == "is" {
            spelt.insert("value".to_owned(), value.clone());
        } else if name != "from" {
            spelt.insert(name.clone(), value.clone());
        }
    }
    spelt.insert("source".to_owned(), source.text.clone().into());
    spelt.insert("confidence".to_owned(), source.confidence.clone().into());
    Ok(spelt)
}

/// Reads a table that is built into the program.
///
/// # Panics
/// If the table is not what its type says; a test reads every one.
pub(crate) fn table<T: DeserializeOwned>(name: &str, text: &str) -> T {
    toml::from_str(text).unwrap_or_else(|trouble| panic!("table {name}: {trouble}"))
}

/// More known keys than this are not all listed.
const MOST_LISTED: usize = 20;

/// The trouble with a key that no row has, and the known ones; of many, those
/// that share a word with it.
pub(crate) fn unknown<'a>(what: &str, key: &str, known: impl Iterator<Item = &'a str>) -> Problem {
    let mut known: Vec<&str> = known.collect();
    let all = known.len();
    if all > MOST_LISTED {
        let key = key.to_lowercase();
        let words: Vec<&str> =
            key.split(|it: char| !it.is_alphanumeric()).filter(|it| it.len() > 2).collect();
        known.retain(|it| words.iter().any(|word| it.contains(word)));
        known.truncate(MOST_LISTED);
    }
    let hint = match known.as_slice() {
        [] => format!("{all} are known, none of them with such a word in its name"),
        some => format!("known are {}", some.join(", ")),
    };
    Problem::new(format!("no {what} is called “{key}”")).hint(hint)
}

/// A number with at most `places` decimals and no trailing zeros.
pub(crate) fn number(it: f64, places: usize) -> String {
    let text = format!("{it:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

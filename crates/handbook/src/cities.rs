//! What wood comes to out of doors, town by town, over the year.

use std::sync::LazyLock;

use measure::Moisture;
use serde::Deserialize;

use crate::Confidence;
use crate::facts::table;

/// A town with the moisture of wood under cover out of doors.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct City {
    /// The town and its state: `Boston, MA`.
    pub name: String,
    /// From January to December.
    pub months: [Moisture; 12],
}

#[derive(Deserialize)]
struct Rows {
    source: String,
    confidence: Confidence,
    city: Vec<City>,
}

static CITIES: LazyLock<Rows> = LazyLock::new(|| table("cities.toml", include_str!("../data/cities.toml")));

/// Every town of the table; a guide for unheated shops alone.
pub fn all_cities() -> &'static [City] {
    &CITIES.city
}

/// Where the table comes from.
pub fn cities_source() -> String {
    CITIES.confidence.of(&CITIES.source)
}

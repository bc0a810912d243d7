//! What the tables say, against what is printed elsewhere.

mod cities;
mod facts;
mod moisture;
mod oracles;
mod species;

use handbook::{OwnRows, Species, SpeciesKey};

/// A shop without rows of its own: the tables alone.
static TABLES: OwnRows = OwnRows::NONE;

/// The rows of a file of published values, header left out.
fn rows(text: &str) -> Vec<Vec<&str>> {
    text.lines().skip(1).map(|line| line.split(',').collect()).collect()
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("`{text}` is no number"))
}

fn wood(key: &str) -> &'static Species {
    TABLES.wood(&SpeciesKey::from(key)).unwrap()
}

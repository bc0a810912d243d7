//! Species: what each kind of wood weighs, bears, and does when it dries.

use std::sync::LazyLock;

use measure::{Force, Mass, Problem, Stress, Volume};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::facts::{find, table};
use crate::{Confidence, SpeciesKey};

/// What is known of a species. Strength is of small clear specimens at 12 %
/// moisture: means, not design values.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Species {
    /// Its key: `hard_maple`.
    pub key: SpeciesKey,
    /// The trade's name.
    pub name: String,
    /// The botanists' name.
    pub latin: String,
    /// Oven-dry mass over volume at 12 % moisture, against water.
    pub specific_gravity: f64,
    /// Force that presses an 11.28 mm ball half into the side grain.
    pub side_hardness: Force,
    /// Modulus of rupture: bending strength along the grain.
    pub rupture: Stress,
    /// The same when green.
    pub rupture_green: Stress,
    /// Modulus of elasticity in bending along the grain.
    pub elasticity: Stress,
    /// Crushing strength along the grain.
    pub compression_along: Stress,
    /// Stress across the grain at the proportional limit.
    pub compression_across: Stress,
    /// Tension across the grain; the table leaves some species out.
    pub tension_across: Option<Stress>,
    /// Shear along the grain.
    pub shear: Stress,
    /// Where the strength figures come from.
    pub strength_source: String,
    /// How sure we are of them.
    pub strength_confidence: Confidence,
    /// Shrinkage across the rings, percent of the green size, to oven-dry.
    pub shrinkage_radial: f64,
    /// Shrinkage along the rings, percent of the green size, to oven-dry.
    pub shrinkage_tangential: f64,
    /// Where the shrinkage comes from.
    pub shrinkage_source: String,
    /// How sure we are of it.
    pub shrinkage_confidence: Confidence,
    /// Movement across the rings per 1 % of moisture, between 6 and 14 %.
    pub coefficient_radial: f64,
    /// Movement along the rings per 1 % of moisture, between 6 and 14 %.
    pub coefficient_tangential: f64,
    /// Where the coefficients come from.
    pub coefficient_source: String,
    /// How sure we are of them.
    pub coefficient_confidence: Confidence,
    /// Whether its pores are too small to hold food.
    pub closed_pored: bool,
    /// How it suits food.
    pub food: FoodFit,
    /// Why.
    pub food_note: String,
    /// What its dust does to people.
    pub dust_note: String,
    /// Where the last three come from.
    pub notes_source: String,
    /// How sure we are of them.
    pub notes_confidence: Confidence,
}

/// How a wood suits food; our judgement, no law lists species.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum FoodFit {
    /// For cutting and serving.
    Good,
    /// For serving.
    Fair,
    /// Not for wet food.
    Poor,
}

#[derive(Deserialize)]
struct Rows {
    species: Vec<Species>,
}

static SPECIES: LazyLock<Rows> =
    LazyLock::new(|| table("species.toml", include_str!("../data/species.toml")));

/// Every species that is known.
pub fn all_species() -> &'static [Species] {
    &SPECIES.species
}

/// What is known of a species.
///
/// # Errors
/// None has this key; the hint lists the known ones.
pub fn species(key: &SpeciesKey) -> Result<&'static Species, Problem> {
    find("species", &key.0, all_species(), |it| &it.key.0)
}

impl Species {
    /// Density at 12 % moisture, kilograms in a cubic metre: 1000 G (1 + 12/100)
    /// (Wood Handbook FPL-GTR-282, eq. 4-14).
    pub fn density(&self) -> f64 {
        1000.0 * self.specific_gravity * 1.12
    }

    /// What so much of it weighs at 12 % moisture.
    pub fn mass(&self, volume: Volume) -> Mass {
        Mass::kg(volume.to_litres() / 1000.0 * self.density())
    }
}

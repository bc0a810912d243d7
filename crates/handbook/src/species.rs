//! Species: what each kind of wood weighs, bears, and does when it dries.

mod known;
mod sheet;

use std::sync::LazyLock;

use measure::{Force, Stress};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

pub use sheet::SheetLine;
pub(crate) use sheet::line;

use crate::facts::table_of_facts;
use crate::{Fact, SpeciesKey};

/// What is known of a species; what is not known is left out. Strength is of
/// small clear specimens: means, not design values.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Species {
    /// Its key: `hard_maple`.
    pub key: SpeciesKey,
    /// The trade's name.
    pub name: String,
    /// Of a broad-leaved tree or of a conifer.
    pub kind: WoodKind,
    /// The botanists' name.
    pub latin: Option<Fact<String>>,
    /// How the vessels lie in a year's ring.
    pub pores: Option<Fact<Pores>>,
    /// What blocks the vessels of the heartwood.
    pub vessels: Option<Fact<Vessels>>,
    /// How wide the vessels are.
    pub texture: Option<Fact<Texture>>,
    /// Oven-dry mass over volume at 12 % moisture, against water.
    pub specific_gravity: Option<Fact<f64>>,
    /// Mass over volume at 12 % moisture, kilograms in a cubic metre.
    pub density: Option<Fact<f64>>,
    /// Oven-dry mass over green volume, against water.
    pub specific_gravity_green: Option<Fact<f64>>,
    /// Modulus of rupture: bending strength along the grain, at 12 %.
    pub rupture: Option<Fact<Stress>>,
    /// The same when green.
    pub rupture_green: Option<Fact<Stress>>,
    /// Modulus of elasticity in bending along the grain, at 12 %.
    pub elasticity: Option<Fact<Stress>>,
    /// Crushing strength along the grain, at 12 %.
    pub compression_along: Option<Fact<Stress>>,
    /// Stress across the grain at the proportional limit, at 12 %.
    pub compression_across: Option<Fact<Stress>>,
    /// Tension across the grain, at 12 %.
    pub tension_across: Option<Fact<Stress>>,
    /// Shear along the grain, at 12 %.
    pub shear: Option<Fact<Stress>>,
    /// Force that presses an 11.28 mm ball half into the side grain, at 12 %.
    pub side_hardness: Option<Fact<Force>>,
    /// Shrinkage across the rings, percent of the green size, to oven-dry.
    pub shrinkage_radial: Option<Fact<f64>>,
    /// Shrinkage along the rings, percent of the green size, to oven-dry.
    pub shrinkage_tangential: Option<Fact<f64>>,
    /// Shrinkage of the volume, percent of the green size, to oven-dry.
    pub shrinkage_volumetric: Option<Fact<f64>>,
    /// Movement across the rings per 1 % of moisture, between 6 and 14 %.
    pub coefficient_radial: Option<Fact<f64>>,
    /// Movement along the rings per 1 % of moisture, between 6 and 14 %.
    pub coefficient_tangential: Option<Fact<f64>>,
    /// Moisture above which it neither swells nor shrinks, percent.
    pub fibre_saturation: Option<Fact<f64>>,
    /// Stiffness in other directions against that along the grain.
    pub ratios: Option<Fact<Ratios>>,
    /// How well it takes glue.
    pub bonding: Option<Fact<Bonding>>,
    /// How it suits food, and in the note, why.
    pub food: Option<Fact<FoodFit>>,
    /// What its dust does to people.
    pub dust: Option<Fact<String>>,
    /// The heartwood's colour, `#5B3E2C`.
    pub heartwood: Option<Fact<String>>,
    /// The sapwood's colour.
    pub sapwood: Option<Fact<String>>,
}

/// Which kind of tree a wood is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum WoodKind {
    /// A broad-leaved tree.
    Hardwood,
    /// A conifer.
    Softwood,
}

/// How the vessels lie in a year's ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Pores {
    /// Large ones in spring, small ones later.
    Ring,
    /// Large ones in spring, getting smaller.
    SemiRing,
    /// Much the same all year.
    Diffuse,
}

/// What blocks the vessels of the heartwood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Vessels {
    /// Nothing.
    None,
    /// A few tyloses.
    Few,
    /// Some tyloses.
    Some,
    /// Many tyloses: they hold water back.
    Abundant,
    /// Gum or other deposits.
    Gum,
}

/// How wide the vessels are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Texture {
    /// Too small to hold food.
    Fine,
    /// Just seen by the eye.
    Medium,
    /// Plainly seen.
    Coarse,
}

/// How well a wood takes glue.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Bonding {
    /// With all glues, over a wide span of conditions.
    Easy,
    /// Well, over a moderate span.
    Well,
    /// With good glue and well kept conditions.
    Satisfactory,
    /// Only with great care or special surfaces.
    Difficult,
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

/// Stiffness in other directions, each as a share of that along the grain, and
/// Poisson's ratios; L along the grain, R across the rings, T along the rings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Ratios {
    /// E across the rings.
    pub er: f64,
    /// E along the rings.
    pub et: f64,
    /// G in the L-R plane.
    pub glr: Option<f64>,
    /// G in the L-T plane.
    pub glt: Option<f64>,
    /// G in the R-T plane.
    pub grt: Option<f64>,
    /// Poisson's ratio, load along L, strain along R.
    pub nu_lr: Option<f64>,
    /// Poisson's ratio, load along L, strain along T.
    pub nu_lt: Option<f64>,
    /// Poisson's ratio, load along R, strain along T.
    pub nu_rt: Option<f64>,
}

#[derive(Deserialize)]
struct Rows {
    species: Vec<Species>,
}

static SPECIES: LazyLock<Rows> =
    LazyLock::new(|| table_of_facts("species.toml", include_str!("../data/species.toml")));

/// Every species that is in the tables.
pub fn all_species() -> &'static [Species] {
    &SPECIES.species
}

//! All that is known of a wood, line by line, for a screen.

use measure::{Force, Stress, Units};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Bonding, FoodFit, Pores, Species, Texture, Vessels, WoodKind};
use crate::facts::number;
use crate::{Confidence, Fact};

/// One fact of a wood or a glue in words; a value that nobody knows has none.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SheetLine {
    /// What it is.
    pub name: String,
    /// Its value with its unit, in the shop's units.
    pub value: Option<String>,
    /// As its source prints it.
    pub printed: Option<String>,
    /// Where it comes from.
    pub source: Option<String>,
    /// How sure we are of it.
    pub confidence: Option<Confidence>,
    /// What else to know of it.
    pub note: Option<String>,
}

/// A fact as a line, its value in these words.
pub(crate) fn line<T>(name: &str, fact: Option<&Fact<T>>, words: impl Fn(&T) -> String) -> SheetLine {
    SheetLine {
        name: name.to_owned(),
        value: fact.map(|it| words(&it.value)),
        printed: fact.and_then(|it| it.printed.clone()),
        source: fact.map(|it| it.source.clone()),
        confidence: fact.map(|it| it.confidence),
        note: fact.and_then(|it| it.note.clone()),
    }
}

impl Species {
    /// All that is known of it, and what is not.
    pub fn sheet(&self, units: Units) -> Vec<SheetLine> {
        let stress = |it: &Stress| units.stress(*it);
        let force = |it: &Force| units.force(*it);
        let percent = |it: &f64| format!("{} %", number(*it, 1));
        let gravity = |it: &f64| number(*it, 2);
        let coefficient = |it: &f64| format!("{} per 1 %", number(*it, 5));
        let mut lines = vec![
            line("botanical name", self.latin.as_ref(), String::clone),
            line("food", self.food.as_ref(), |it| it.words().to_owned()),
            line("dust", self.dust.as_ref(), String::clone),
            line("specific gravity at 12 %", self.specific_gravity.as_ref(), gravity),
            line("density at 12 %", self.density.as_ref(), |it| format!("{} kg/m³", number(*it, 0))),
            line("specific gravity, green", self.specific_gravity_green.as_ref(), gravity),
            line("hardness of the side grain", self.side_hardness.as_ref(), force),
            line("bending strength", self.rupture.as_ref(), stress),
            line("bending strength, green", self.rupture_green.as_ref(), stress),
            line("stiffness in bending", self.elasticity.as_ref(), stress),
            line("crushing along the grain", self.compression_along.as_ref(), stress),
            line("crushing across the grain", self.compression_across.as_ref(), stress),
            line("tension across the grain", self.tension_across.as_ref(), stress),
            line("shear along the grain", self.shear.as_ref(), stress),
            line("shrinkage across the rings", self.shrinkage_radial.as_ref(), percent),
            line("shrinkage along the rings", self.shrinkage_tangential.as_ref(), percent),
            line("shrinkage of the volume", self.shrinkage_volumetric.as_ref(), percent),
            line("movement across the rings", self.coefficient_radial.as_ref(), coefficient),
            line("movement along the rings", self.coefficient_tangential.as_ref(), coefficient),
            line("stiffness across the rings", self.ratios.as_ref(), |it| share(it.er)),
            line("stiffness along the rings", self.ratios.as_ref(), |it| share(it.et)),
            line("glueing", self.bonding.as_ref(), |it| it.words().to_owned()),
        ];
        if self.fibre_saturation.is_some() {
            lines.push(line("fibre saturation", self.fibre_saturation.as_ref(), percent));
        }
        if self.kind == WoodKind::Hardwood {
            lines.push(line("pores", self.pores.as_ref(), |it| it.words().to_owned()));
            lines.push(line("width of the pores", self.texture.as_ref(), |it| it.words().to_owned()));
            lines.push(line("in the heartwood's vessels", self.vessels.as_ref(), |it| it.words().to_owned()));
        }
        lines
    }
}

fn share(it: f64) -> String {
    format!("{} of that along the grain", number(it, 3))
}

impl FoodFit {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            FoodFit::Good => "suits cutting and serving",
            FoodFit::Fair => "suits serving",
            FoodFit::Poor => "not for wet food",
        }
    }
}

impl Pores {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Pores::Ring => "large ones in spring, small ones later",
            Pores::SemiRing => "large ones in spring, getting smaller",
            Pores::Diffuse => "much the same all year",
        }
    }
}

impl Texture {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Texture::Fine => "fine: too small to hold food",
            Texture::Medium => "medium: just seen by the eye",
            Texture::Coarse => "coarse: plainly seen",
        }
    }
}

impl Vessels {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Vessels::None => "nothing: open",
            Vessels::Few => "few tyloses: mostly open",
            Vessels::Some => "some tyloses",
            Vessels::Abundant => "many tyloses: they hold water back",
            Vessels::Gum => "gum or other deposits",
        }
    }
}

impl Bonding {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Bonding::Easy => "easy, with all glues",
            Bonding::Well => "well",
            Bonding::Satisfactory => "satisfactory, with good glue and care",
            Bonding::Difficult => "difficult: fresh surfaces, the right glue, a trial joint",
        }
    }
}

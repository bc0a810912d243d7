//! Glues: how long they stay open, how hard they are pressed, how long they take.

use std::sync::LazyLock;

use measure::{Area, Minutes, Moisture, Stress, Temperature, Units, Volume};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::facts::{number, table_of_facts};
use crate::moisture::percent;
use crate::{CautionKey, Confidence, Fact, GlueKey, SheetLine, Species};

/// A family of wood glue.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Glue {
    /// Its key: `pva_water_resistant`.
    pub key: GlueKey,
    /// The trade's name.
    pub name: String,
    /// From the first bead to the last joint closed.
    pub open: Minutes,
    /// From the first bead to full pressure.
    pub closed: Minutes,
    /// In clamps, for joints without stress.
    pub clamp: Minutes,
    /// From clamping until it may be planed or sanded.
    pub machine: Minutes,
    /// From clamping to full strength.
    pub full: Minutes,
    /// Grams on a square metre, one side.
    pub spread: f64,
    /// What a litre weighs, grams.
    pub grams_per_litre: f64,
    /// Joint pressure for woods such as cherry and walnut.
    pub pressure_medium: Stress,
    /// Joint pressure for woods such as oak and hard maple.
    pub pressure_dense: Stress,
    /// Neither glue, wood nor air may be colder.
    pub coldest: Temperature,
    /// The wood may be no drier when it is glued, where the glue minds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub driest: Option<Fact<Moisture>>,
    /// The wood may be no wetter when it is glued, where the glue minds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub wettest: Option<Fact<Moisture>>,
    /// What water does to it.
    pub water: String,
    /// What is known of food contact.
    pub food: String,
    /// Whether it suits a board that gets washed.
    pub for_boards: bool,
    /// What to take care of.
    pub cautions: Vec<CautionKey>,
    /// Where that comes from.
    pub source: String,
    /// How sure we are of it.
    pub confidence: Confidence,
}

/// From this specific gravity a wood takes the pressure for dense ones: soft
/// maple (0.54) and cherry (0.50) are named as medium, birch (0.62) and oak as
/// dense in glue makers' guidance; this lies between.
const DENSE_FROM: f64 = 0.58;

#[derive(Deserialize)]
struct Rows {
    glue: Vec<Glue>,
}

static GLUES: LazyLock<Rows> =
    LazyLock::new(|| table_of_facts("glues.toml", include_str!("../data/glues.toml")));

/// Every glue that is known.
pub fn all_glues() -> &'static [Glue] {
    &GLUES.glue
}

impl Glue {
    /// How hard joints in this wood are pressed.
    pub fn pressure(&self, wood: &Species) -> Stress {
        if wood.gravity().value >= DENSE_FROM { self.pressure_dense } else { self.pressure_medium }
    }

    /// How much of it joints of this area take, spread on one side.
    pub fn quantity(&self, joints: Area) -> Volume {
        Volume::mm3(self.spread * joints.to_m2() / self.grams_per_litre * 1e6)
    }

    /// All that is known of it, line by line.
    pub fn sheet(&self, units: Units) -> Vec<SheetLine> {
        let line = |name: &str, value: String| SheetLine {
            name: name.to_owned(),
            value: Some(value),
            printed: None,
            source: Some(self.source.clone()),
            confidence: Some(self.confidence),
            note: None,
        };
        let limit = |name, fact: &Option<Fact<Moisture>>| {
            crate::species::line(name, fact.as_ref(), |it| percent(*it))
        };
        vec![
            line("water", self.water.clone()),
            line("open, to the last joint", self.open.to_words()),
            line("closed, to full pressure", self.closed.to_words()),
            line("in clamps", self.clamp.to_words()),
            line("until it is planed", self.machine.to_words()),
            line("until full strength", self.full.to_words()),
            line("no colder than", units.temperature(self.coldest)),
            limit("wood no drier than", &self.driest),
            limit("wood no wetter than", &self.wettest),
            line("pressure, medium woods", units.stress(self.pressure_medium)),
            line("pressure, dense woods", units.stress(self.pressure_dense)),
            line("spread on one side", format!("{} g/m²", number(self.spread, 0))),
            line("food", self.food.clone()),
        ]
    }
}

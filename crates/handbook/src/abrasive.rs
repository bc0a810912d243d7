//! Abrasives: grits, the way from a rough face to a fine one, time and sheets.

use std::sync::LazyLock;

use measure::{Area, Force, Length, Minutes};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::Confidence;
use crate::facts::table;

/// What a face was last touched by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// A saw.
    Sawn,
    /// Knives.
    #[default]
    Planed,
}

/// What sands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Sander {
    /// A random-orbit sander.
    Orbital,
    /// A block in the hand.
    Block,
}

/// A grade of abrasive: the same number names two sizes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Grit {
    /// The number on its back: 150, or P150.
    pub grade: u32,
    /// Mean particle as P grade (FEPA P, ISO 6344), micrometres.
    pub fepa_um: f64,
    /// Mean particle as plain number (ANSI B74.18), micrometres.
    pub ansi_um: f64,
}

/// The two scales of grades.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// P grades: FEPA P, ISO 6344.
    PGrade,
    /// Plain numbers: ANSI B74.18.
    PlainNumber,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    grit: Vec<Grit>,
    sizes: Sizes,
    ladder: Ladder,
    sander: Vec<Rate>,
    hardness: Hardness,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Sizes {
    fepa_source: String,
    fepa_confidence: Confidence,
    ansi_source: String,
    ansi_confidence: Confidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Ladder {
    sawn: Vec<u32>,
    planed: Vec<u32>,
    finest_step: f64,
    source: String,
    confidence: Confidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rate {
    tool: Sander,
    minutes_per_m2: f64,
    m2_per_sheet: f64,
    source: String,
    confidence: Confidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Hardness {
    wood: String,
    newtons: f64,
    power: f64,
    source: String,
    confidence: Confidence,
}

static ABRASIVES: LazyLock<Rows> =
    LazyLock::new(|| table("abrasives.toml", include_str!("../data/abrasives.toml")));

/// Every grit that is known, coarse to fine.
pub fn all_grits() -> &'static [Grit] {
    &ABRASIVES.grit
}

/// The grits from a surface to the wanted one, which ends the list.
pub fn steps(from: Surface, to: u32) -> Vec<u32> {
    let ladder = match from {
        Surface::Sawn => &ABRASIVES.ladder.sawn,
        Surface::Planed => &ABRASIVES.ladder.planed,
    };
    ladder.iter().copied().filter(|&grit| grit < to).chain([to]).collect()
}

/// Where the steps come from.
pub fn steps_source() -> String {
    ABRASIVES.ladder.confidence.of(&ABRASIVES.ladder.source)
}

/// A grit may be so many times finer than the one before: the scratches of a
/// coarser one would stay.
pub fn finest_step() -> f64 {
    ABRASIVES.ladder.finest_step
}

/// How many times finer, at the most, a grit of the list is than the one before.
pub fn widest_step(grits: &[u32], scale: Scale) -> f64 {
    let size = |grade: u32| all_grits().iter().find(|it| it.grade == grade).map(|it| it.size(scale));
    let ratio = |pair: &[u32]| Some(size(pair[0])? / size(pair[1])?);
    grits.windows(2).filter_map(ratio).fold(1.0, f64::max)
}

/// Minutes of hands for one grit on the area of wood so hard.
pub fn sanding_time(with: Sander, area: Area, hardness: Force) -> Minutes {
    Minutes::minutes(rate(with).minutes_per_m2 * area.to_m2() * slower_for(hardness))
}

/// Sheets or discs that one grit on the area of wood so hard wears out, at least one.
pub fn sheets(with: Sander, area: Area, hardness: Force) -> u32 {
    (area.to_m2() / rate(with).m2_per_sheet * slower_for(hardness)).ceil().max(1.0) as u32
}

/// How many times as long wood of this hardness takes as the reference.
pub fn slower_for(hardness: Force) -> f64 {
    let it = &ABRASIVES.hardness;
    (hardness.to_newtons().max(1.0) / it.newtons).powf(it.power)
}

/// What the hardness is held against, and where the rule comes from.
pub fn hardness_source() -> (String, Force, String) {
    let it = &ABRASIVES.hardness;
    (it.wood.clone(), Force::newtons(it.newtons), it.confidence.of(&it.source))
}

/// Where time and sheets come from.
pub fn sanding_source(with: Sander) -> String {
    rate(with).confidence.of(&rate(with).source)
}

fn rate(with: Sander) -> &'static Rate {
    let found = ABRASIVES.sander.iter().find(|it| it.tool == with);
    found.expect("the table has both tools; a test reads it")
}

impl Scale {
    /// Where its sizes come from.
    pub fn source(self) -> String {
        let sizes = &ABRASIVES.sizes;
        match self {
            Scale::PGrade => sizes.fepa_confidence.of(&sizes.fepa_source),
            Scale::PlainNumber => sizes.ansi_confidence.of(&sizes.ansi_source),
        }
    }
}

impl Grit {
    /// Mean particle under this number of a scale.
    pub fn size(&self, scale: Scale) -> Length {
        Length::mm(self.micrometres(scale) / 1000.0)
    }

    /// The same in micrometres.
    pub const fn micrometres(&self, scale: Scale) -> f64 {
        match scale {
            Scale::PGrade => self.fepa_um,
            Scale::PlainNumber => self.ansi_um,
        }
    }

    /// The plain number whose particles come nearest to this P grade.
    pub fn nearest_plain(&self) -> &'static Grit {
        let away = |it: &&Grit| (it.ansi_um / self.fepa_um).ln().abs();
        let nearest = all_grits().iter().min_by(|a, b| away(a).total_cmp(&away(b)));
        nearest.expect("the table has grits; a test reads it")
    }
}

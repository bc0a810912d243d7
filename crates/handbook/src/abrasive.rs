//! Abrasives: grits, the way from a rough face to a fine one, time and sheets.

use std::sync::LazyLock;

use measure::{Area, Length, Minutes};
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

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    grit: Vec<Grit>,
    sizes: Sizes,
    ladder: Ladder,
    sander: Vec<Rate>,
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

/// Minutes of hands for one grit on the area.
pub fn sanding_time(with: Sander, area: Area) -> Minutes {
    Minutes::minutes(rate(with).minutes_per_m2 * area.to_m2())
}

/// Sheets or discs that one grit on the area wears out, at least one.
pub fn sheets(with: Sander, area: Area) -> u32 {
    (area.to_m2() / rate(with).m2_per_sheet).ceil().max(1.0) as u32
}

/// Where time and sheets come from.
pub fn sanding_source(with: Sander) -> String {
    rate(with).confidence.of(&rate(with).source)
}

fn rate(with: Sander) -> &'static Rate {
    let found = ABRASIVES.sander.iter().find(|it| it.tool == with);
    found.expect("the table has both tools; a test reads it")
}

impl Grit {
    /// Mean particle as P grade, with its source.
    pub fn as_p_grade(self) -> (Length, String) {
        let sizes = &ABRASIVES.sizes;
        (Length::mm(self.fepa_um / 1000.0), sizes.fepa_confidence.of(&sizes.fepa_source))
    }

    /// Mean particle as plain number, with its source.
    pub fn as_plain_number(self) -> (Length, String) {
        let sizes = &ABRASIVES.sizes;
        (Length::mm(self.ansi_um / 1000.0), sizes.ansi_confidence.of(&sizes.ansi_source))
    }
}

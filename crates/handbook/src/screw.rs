//! Wood screws: sizes, lead holes, counterbores.

use std::sync::LazyLock;

use measure::{Force, Length, Problem};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::facts::table;
use crate::{Confidence, Species, WoodKind};

/// A wood screw by its number.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Screw {
    /// Its number: 8.
    pub number: u32,
    /// Diameter of the plain shank.
    pub shank: Length,
    /// Diameter between the threads; tables differ by up to 30 %.
    pub root: Length,
    /// Diameter of a flat head.
    pub head: Length,
    /// Diameter of counterbore and plug.
    pub plug: Length,
    /// Where that comes from.
    pub source: String,
    /// How sure we are of it.
    pub confidence: Confidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    screw: Vec<Screw>,
    lead: Lead,
    thread: Thread,
    lateral: Lateral,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Lateral {
    softwood: Vec<(f64, f64)>,
    hardwood: Vec<(f64, f64)>,
    source: String,
    confidence: Confidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Lead {
    softwood: f64,
    hardwood: f64,
    source: String,
    confidence: Confidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Thread {
    share: f64,
    source: String,
    confidence: Confidence,
}

static SCREWS: LazyLock<Rows> = LazyLock::new(|| table("screws.toml", include_str!("../data/screws.toml")));

/// Every screw that is known, thin to thick.
pub fn all_screws() -> &'static [Screw] {
    &SCREWS.screw
}

/// The screw with this number.
///
/// # Errors
/// None has it; the hint lists the known ones.
pub fn screw(number: u32) -> Result<&'static Screw, Problem> {
    all_screws().iter().find(|it| it.number == number).ok_or_else(|| {
        let known: Vec<String> = all_screws().iter().map(|it| it.number.to_string()).collect();
        Problem::new(format!("no wood screw No. {number} is known"))
            .hint(format!("known are {}", known.join(", ")))
    })
}

/// From this specific gravity a hardwood gets the lead hole for hardwood; a
/// lighter one splits as little as a softwood does and is bored like it.
const HARD_FROM: f64 = 0.45;

impl Screw {
    /// The lead hole for the thread in this wood.
    pub fn lead_hole(&self, wood: &Species) -> Length {
        let lead = &SCREWS.lead;
        let hard = wood.kind == WoodKind::Hardwood && wood.gravity().value >= HARD_FROM;
        self.root * if hard { lead.hardwood } else { lead.softwood }
    }

    /// The pull that tears its thread out of the side grain of seasoned wood:
    /// 108.25 G² D L newtons, millimetres (Wood Handbook FPL-GTR-282, eq. 8-10);
    /// a mean of tests with the lead hole of [`Screw::lead_hole`].
    pub fn pull_out(&self, wood: &Species, thread: Length) -> Force {
        let gravity = wood.gravity().value;
        Force::newtons(108.25 * gravity * gravity * self.shank.to_mm() * thread.max(Length::ZERO).to_mm())
    }

    /// The push square to it, at the proportional limit, that it bears in the
    /// side grain of seasoned wood: K D² newtons, millimetres (Wood Handbook
    /// FPL-GTR-282, eq. 8-13, table 8-4), if it reaches in by seven shanks; less
    /// in proportion down to four (design rule for wood screws, from memory).
    /// `None` below that, and in wood lighter than the table.
    pub fn sideways(&self, wood: &Species, reach: Length) -> Option<Force> {
        let rows = match wood.kind {
            WoodKind::Softwood => &SCREWS.lateral.softwood,
            WoodKind::Hardwood => &SCREWS.lateral.hardwood,
        };
        let gravity = wood.gravity().value;
        let (_, k) = rows.iter().rev().find(|(from, _)| gravity >= *from)?;
        let shanks = reach / self.shank;
        let share = (shanks / FULL_REACH).min(1.0);
        (shanks >= LEAST_REACH).then(|| Force::newtons(k * self.shank.to_mm().powi(2) * share))
    }

    /// How much of a screw of this length is thread.
    pub fn thread(&self, length: Length) -> Length {
        length * SCREWS.thread.share
    }
}

// In shanks, for a push sideways.
const FULL_REACH: f64 = 7.0;
const LEAST_REACH: f64 = 4.0;

/// A screw is loaded with no more than this share of its pull-out: design rules
/// take 2850 G² D pounds to the inch of thread, of 15700 that tear it out.
pub const SAFE_PULL: f64 = 2850.0 / 15_700.0;

/// Where the lead holes come from.
pub fn lead_source() -> String {
    SCREWS.lead.confidence.of(&SCREWS.lead.source)
}

/// Where the loads sideways come from.
pub fn sideways_source() -> String {
    SCREWS.lateral.confidence.of(&SCREWS.lateral.source)
}

/// Where the length of the thread comes from.
pub fn thread_source() -> String {
    SCREWS.thread.confidence.of(&SCREWS.thread.source)
}

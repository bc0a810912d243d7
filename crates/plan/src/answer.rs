//! The plan itself, as screens and paper read it.

use jiff::civil::{Date, DateTime};
use measure::{Area, Figure, Mass, Money};
use serde::{Deserialize, Serialize};
use stock::{FaceKey, Finding, Layout, PartKey, PersonId};
use ts_rs::TS;
use work::{CutSheet, Operation, OperationId};

/// All that was worked out for a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Plan {
    /// Where each part lies.
    pub layout: Layout,
    /// What is known of each placed part.
    pub parts: Vec<PlannedPart>,
    /// What is done, in order.
    pub operations: Vec<Operation>,
    /// How each face is sawn apart, by face.
    #[serde(default)]
    pub cut_sheets: Vec<CutSheet>,
    /// What is wrong, worst first.
    pub findings: Vec<Finding>,
    /// Who does what when.
    pub schedule: Schedule,
    /// What it costs.
    pub bill: Bill,
    /// What the owner has to know.
    pub care: CareCard,
}

/// What is known of a placed part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PlannedPart {
    /// Which part.
    pub part: PartKey,
    /// What it is called.
    pub name: String,
    /// The face that it comes from.
    pub face: FaceKey,
    /// Its face's area.
    pub area: Area,
    /// Its weight when finished.
    pub mass: Mass,
    /// Its figures: size, weight, sections, hollow volume.
    pub figures: Vec<Figure>,
}

/// Who does what when.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Schedule {
    /// One for each operation, by start.
    pub slots: Vec<Slot>,
    /// The day from which food may touch the boards if work starts today.
    #[ts(type = "string")]
    pub ready_on: Date,
    /// The last day on which work can start for the day to hold.
    #[ts(type = "string | null")]
    pub start_by: Option<Date>,
    /// Whether the job's day is held.
    pub holds: bool,
    /// How the two dates came about.
    pub figures: Vec<Figure>,
}

/// When one operation is done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Slot {
    /// Which.
    pub operation: OperationId,
    /// Whose hands.
    pub person: Option<PersonId>,
    /// Hands on.
    #[ts(type = "string")]
    pub from: DateTime,
    /// Hands off.
    #[ts(type = "string")]
    pub to: DateTime,
    /// The wait is over.
    #[ts(type = "string")]
    pub done: DateTime,
    /// The latest start that still holds the day.
    #[ts(type = "string | null")]
    pub latest_from: Option<DateTime>,
}

/// What it costs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Bill {
    /// Line by line.
    pub lines: Vec<BillLine>,
    /// What making it costs: the sum of the lines.
    pub cost: Money,
    /// With the margin.
    pub price: Money,
    /// Board feet used, yield, hours and the like.
    pub figures: Vec<Figure>,
}

/// One line of the bill.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct BillLine {
    /// Where it belongs.
    pub group: BillGroup,
    /// What it is for.
    pub what: String,
    /// How much of it: `4.2 board feet`.
    pub quantity: String,
    /// How the amount came about.
    pub figure: Figure,
    /// The amount.
    pub amount: Money,
}

/// The groups of a bill.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum BillGroup {
    /// Wood, waste and all.
    Wood,
    /// Glue, finish, abrasives, screws.
    Supplies,
    /// Hours of hands.
    Hours,
}

/// What the owner of a board has to know.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CareCard {
    /// The species, in words.
    pub wood: String,
    /// The finish, in words.
    pub finish: String,
    /// How to treat it, line by line.
    pub lines: Vec<String>,
    /// Not before this day may food touch it.
    #[ts(type = "string")]
    pub food_from: Date,
}

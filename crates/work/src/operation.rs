//! One thing done at the bench, and the route of all of them.

use measure::{Figure, Length, Minutes};
use outline::Point;
use serde::{Deserialize, Serialize};
use stock::{Finding, PanelId, PartKey, PieceId};
use ts_rs::TS;

use crate::Fixing;
use crate::cut_sheet::CutSheet;

measure::id!(
    /// One operation, unique within its route and in reading order.
    OperationId
);

/// The operations of a job, and everything wrong with it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct Route {
    /// In an order that can be carried out: what comes first stands first.
    pub operations: Vec<Operation>,
    /// Worst first.
    pub findings: Vec<Finding>,
    /// How each face is sawn apart, by face.
    #[serde(default)]
    pub cut_sheets: Vec<CutSheet>,
}

/// One thing done at the bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Operation {
    /// Unique within its route.
    pub id: OperationId,
    /// What is done.
    pub kind: OperationKind,
    /// In one line: `Saw leaf board 1 out of the walnut slab`.
    pub title: String,
    /// What lies on the bench before.
    pub inputs: Vec<Workpiece>,
    /// What lies there after.
    pub outputs: Vec<Workpiece>,
    /// The operations that have to be done before.
    pub after: Vec<OperationId>,
    /// The machine that it takes.
    pub machine: Option<Machine>,
    /// How many clamps it takes, while hands are on it and through its wait.
    pub clamps: u32,
    /// How the machine is set up.
    pub set_up: Vec<Setting>,
    /// What is done, step by step; each is checked off at the bench.
    pub steps: Vec<Step>,
    /// Time of somebody's hands.
    pub hands: Minutes,
    /// Whether the hands' time must not be split by the end of a day (glue, a coat).
    pub unbroken: bool,
    /// Time of waiting afterwards, nights and weekends too.
    pub wait: Minutes,
    /// What to take care of.
    pub cautions: Vec<String>,
    /// What it uses up.
    pub uses: Vec<Use>,
    /// The figures worked out for it.
    pub figures: Vec<Figure>,
    /// Where its holes are, for the template.
    #[serde(default)]
    pub marks: Vec<Mark>,
    /// The cuts that are sawn in it, by their numbers on the face's cut sheet.
    #[serde(default)]
    pub cuts: Vec<u32>,
    /// The lines that are sawn by hand in it, by their letters on the face's cut sheet.
    #[serde(default)]
    pub lines: Vec<char>,
    /// What is put on or in, with every size, for the drawing of it.
    #[serde(default)]
    pub fixings: Vec<Fixing>,
}

/// A hole that is drilled, on the drawing of the part's pattern.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Mark {
    /// In which part.
    pub part: PartKey,
    /// Its middle.
    pub at: Point,
    /// The bit.
    pub diameter: Length,
    /// What it is for.
    pub is: MarkKind,
}

/// What a hole is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum MarkKind {
    /// To hang it by; through.
    HangingHole,
    /// For a handle's screw; through.
    Through,
    /// For something let in; from the underside, to the stop.
    Pocket,
    /// For a foot's screw; from the underside, to the stop.
    Pilot,
    /// In the waste of an inside corner; through.
    Corner,
    /// In an opening, to thread a saw in; through.
    Start,
}

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum OperationKind {
    /// Make a face flat and the other parallel to it.
    Flatten,
    /// Make an edge straight and square.
    Joint,
    /// Bring to thickness.
    Plane,
    /// Saw along the grain.
    Rip,
    /// Saw across the grain.
    Crosscut,
    /// Glue and clamp.
    Glue,
    /// Saw to the outline.
    Saw,
    /// Make a recess.
    Hollow,
    /// Make a hole.
    Drill,
    /// Sand.
    Sand,
    /// Put on a coat.
    Finish,
    /// Wait for the last coat to cure.
    Cure,
    /// Screw on feet and the like.
    Fit,
}

/// What lies on the bench between two operations.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "is", content = "of")]
pub enum Workpiece {
    /// A piece from the rack.
    Piece(PieceId),
    /// The strips for a panel.
    Strips(PanelId),
    /// A glued panel.
    Panel(PanelId),
    /// A part, from the first cut to the last coat.
    Part(PartKey),
}

/// The machines that an operation may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Machine {
    /// Makes faces flat and edges straight.
    Jointer,
    /// Brings to thickness.
    Planer,
    /// Rips and crosscuts.
    TableSaw,
    /// Saws curves.
    Bandsaw,
    /// Drills square to the face.
    DrillPress,
    /// Hollows along a template.
    Router,
    /// Sands.
    Sander,
}

/// One line of a set-up card.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Setting {
    /// What is set: `blade`.
    pub label: String,
    /// To what: `1/4 in, 6 teeth per inch`.
    pub value: String,
}

/// One step to check off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Step {
    /// What to do, as one instruction.
    pub text: String,
    /// How long to wait before the next one, if there is a timer to set.
    pub timer: Option<Minutes>,
}

/// What an operation uses up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Use {
    /// What.
    pub supply: Supply,
    /// How much, in the supply's own unit.
    pub amount: f64,
}

/// What gets used up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Supply {
    /// Glue, in litres.
    Glue,
    /// Finish, in litres.
    Finish,
    /// Abrasive sheets or discs, counted.
    Abrasive,
    /// Screws and plugs, counted.
    Screw,
}

impl OperationKind {
    /// The trade's word for what is done.
    pub const fn word(self) -> &'static str {
        match self {
            OperationKind::Flatten => "flatten",
            OperationKind::Joint => "joint",
            OperationKind::Plane => "plane",
            OperationKind::Rip => "rip",
            OperationKind::Crosscut => "crosscut",
            OperationKind::Glue => "glue",
            OperationKind::Saw => "saw",
            OperationKind::Hollow => "hollow",
            OperationKind::Drill => "drill",
            OperationKind::Sand => "sand",
            OperationKind::Finish => "finish",
            OperationKind::Cure => "cure",
            OperationKind::Fit => "fit",
        }
    }
}

impl Machine {
    /// The trade's word.
    pub const fn word(self) -> &'static str {
        match self {
            Machine::Jointer => "jointer",
            Machine::Planer => "planer",
            Machine::TableSaw => "table saw",
            Machine::Bandsaw => "bandsaw",
            Machine::DrillPress => "drill press",
            Machine::Router => "router",
            Machine::Sander => "sander",
        }
    }
}

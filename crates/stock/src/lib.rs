//! The given and the wanted: pieces, patterns, jobs and the shop.
//!
//! Holds the nouns that everything after it speaks, and no algorithm beyond
//! questions about them. Each noun has one written form, its own: the store
//! keeps it, the wire sends it, and `serde(try_from)` guards its invariants.

mod brief;
mod cut_out;
mod cutting;
mod finding;
mod flip;
mod glue_up;
mod grain;
mod job;
mod keenness;
mod kit;
mod layout;
mod pattern;
mod piece;
mod sheet;
mod through;
mod traced;
mod zone;

pub use brief::Brief;
pub use cut_out::CutOut;
pub use cutting::{CutPlan, SawCut, SawCutKind, SawHole, SawHoleUse, SawLeg};
pub use finding::{Finding, Grade, Mending, Spot};
pub use flip::{Registered, register};
pub use glue_up::{Panel, StripRun};
pub use grain::{GrainField, GrainSample};
pub use job::{
    Change, Choices, Climate, FinishedFaces, Job, OwnCut, PartSet, Pin, Saving, SawWish, Shown, Source, Want,
};
pub use keenness::{Keenness, Verdict, Verdicts};
pub use kit::{
    Allowances, Bandsaw, Blade, Clamp, Machines, Paper, Person, Prices, SandingTool, ShopKit, WorkingDay,
};
pub use layout::{FaceKey, Layout, Offcut, PartKey, Placement, StripKey, StripPlacement};
pub use pattern::{Feature, FeatureKind, LetIn, Origin, Pattern};
pub use piece::{Face, FacePicture, FarFace, Form, PictureId, Piece, Price, Reading, SameMark, Sawn, Side};
pub use sheet::{ScaleSheet, Tag};
pub use traced::TracedLine;
pub use zone::{Candidate, Zone, ZoneKind};

measure::id!(
    /// One piece of wood on the rack.
    PieceId
);
measure::id!(
    /// One pattern.
    PatternId
);
measure::id!(
    /// One job.
    JobId
);
measure::id!(
    /// One zone, unique within its face.
    ZoneId
);
measure::id!(
    /// One feature, unique within its pattern.
    FeatureId
);
measure::id!(
    /// One want, unique within its job.
    WantId
);
measure::id!(
    /// One panel, unique within its job.
    PanelId
);
measure::id!(
    /// One blade, unique within the shop.
    BladeId
);
measure::id!(
    /// One person, unique within the shop.
    PersonId
);

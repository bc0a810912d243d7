//! What is wanted, by when, and what the maker has decided by hand.

use std::collections::BTreeMap;

use handbook::{FinishKey, GlueKey};
use jiff::civil::Date;
use measure::{Angle, Length, Moisture, Temperature};
use outline::{Place, Point, Ring};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{
    BladeId, FaceKey, FeatureId, JobId, Panel, PanelId, PartKey, PatternId, PersonId, PieceId, WantId,
    ZoneKind,
};

/// The parts wanted, the date, the finish, the people.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Job {
    /// Made by the store.
    pub id: JobId,
    /// What the maker calls it.
    pub name: String,
    /// The parts wanted.
    pub wants: Vec<Want>,
    /// The panels to be glued up for them.
    pub panels: Vec<Panel>,
    /// The pieces that may be sawn for it.
    pub pieces: Vec<PieceId>,
    /// Who works on it; everyone in the shop if empty.
    pub people: Vec<PersonId>,
    /// The day on which food may touch it.
    #[ts(type = "string")]
    pub due: Date,
    /// How it is finished.
    pub finish: FinishKey,
    /// How its panels and plugs are glued.
    pub glue: GlueKey,
    /// The room where the boards will live.
    pub home: Climate,
    /// What the maker has decided by hand.
    pub choices: Choices,
    /// The same seed gives the same plan.
    pub seed: u32,
}

/// One pattern wanted, so many times.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Want {
    /// Unique within its job.
    pub id: WantId,
    /// Which pattern.
    pub pattern: PatternId,
    /// How many.
    pub count: u32,
    /// Finished thickness.
    pub thickness: Length,
    /// What it is sawn from.
    pub source: Source,
    /// Its worth against the other wants when there is not room for all.
    pub worth: u32,
    /// Whether its parts may be made as mirror images.
    #[serde(default)]
    pub may_mirror: bool,
    /// Whether the underside of its parts shows, so that the wood's other face
    /// has to be clear there too.
    #[serde(default)]
    pub underside_shows: bool,
}

impl Want {
    /// A want as it begins: from the pieces, worth as much as any other.
    pub fn new(id: WantId, pattern: PatternId, count: u32, thickness: Length) -> Want {
        let source = Source::Pieces;
        Want { id, pattern, count, thickness, source, worth: 1, may_mirror: false, underside_shows: false }
    }
}

/// What a part is sawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "of", content = "id")]
pub enum Source {
    /// Any piece of the job that is thick enough.
    Pieces,
    /// A panel of the job.
    Panel(PanelId),
}

/// The air that wood lives in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Climate {
    /// How warm.
    pub temperature: Temperature,
    /// Relative humidity, as percent.
    pub humidity: Moisture,
}

/// What the maker has decided by hand; every planning keeps to it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct Choices {
    /// Parts put in place by hand.
    pub pins: Vec<Pin>,
    /// Another blade for a pattern.
    #[ts(type = "Record<string, number>")]
    pub blades: BTreeMap<PatternId, BladeId>,
    /// Kinds of zone that parts of this job may hold after all.
    pub allowed_zones: Vec<ZoneKind>,
    /// Which faces get the finish.
    #[serde(default)]
    pub finished: FinishedFaces,
    /// Parts that come from one piece together.
    #[serde(default)]
    pub sets: Vec<PartSet>,
    /// Places of the wood that parts are to show.
    #[serde(default)]
    pub shows: Vec<Shown>,
    /// What the wood is saved for, once every part has a place that can have one.
    #[serde(default)]
    pub saving: Saving,
    /// Blades that stay on the wall in this job.
    #[serde(default)]
    pub blades_left: Vec<BladeId>,
    /// What the sawing is planned for.
    #[serde(default)]
    pub sawing: SawWish,
    /// Cuts that the maker has drawn; they are sawn first, in this order.
    #[serde(default)]
    pub own_cuts: Vec<OwnCut>,
}

/// What the sawing is planned for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SawWish {
    /// The fewest minutes: few cuts, and few changes of the blade.
    #[default]
    Quick,
    /// One blade for all parts, wherever one can saw them.
    OneBlade,
    /// The widest blade that follows each line, which leaves the smoothest edge.
    Smooth,
}

/// A cut that the maker has drawn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct OwnCut {
    /// On which face.
    pub face: FaceKey,
    /// With which blade; the program's choice where none is named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub blade: Option<BladeId>,
    /// The way of the teeth on the face, two points or more.
    pub way: Vec<Point>,
}

/// All parts of a few wants, which come from one piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PartSet {
    /// Which wants.
    pub wants: Vec<WantId>,
    /// Whether they have to match: the grain runs along the length of each.
    pub alike: bool,
}

/// A figure of the wood that a part is to show: its middle lies in there.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Shown {
    /// Which part.
    pub part: PartKey,
    /// On which face.
    pub face: FaceKey,
    /// Where, on that face.
    pub area: Ring,
}

/// What decides between layouts that hold the same parts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Saving {
    /// As few pieces as can be are sawn, and the cheaper ones.
    #[default]
    Pieces,
    /// What is left in one clear rectangle is as large as can be.
    Leftover,
    /// Grain and colour suit each part as well as can be.
    Grain,
}

/// Which faces get the finish; edges and hollows always do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum FinishedFaces {
    /// Both faces.
    #[default]
    Both,
    /// The upper one; the underside stays bare.
    Upper,
}

/// A part put in place by hand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Pin {
    /// Which part.
    pub part: PartKey,
    /// On which face.
    pub face: FaceKey,
    /// How it lies there.
    pub place: Place,
}

/// A change that a finding offers and the program can make.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "change")]
pub enum Change {
    /// Move the day.
    Due {
        /// To this date.
        #[ts(type = "string")]
        to: Date,
    },
    /// Finish it otherwise.
    Finish {
        /// With this.
        to: FinishKey,
    },
    /// Finish the underside as well.
    FinishBothFaces,
    /// Make a want of another thickness.
    Thickness {
        /// Which want.
        want: WantId,
        /// To this.
        to: Length,
    },
    /// Make fewer or more.
    Count {
        /// Which want.
        want: WantId,
        /// So many.
        to: u32,
    },
    /// Saw a pattern with another blade.
    Blade {
        /// Which pattern.
        pattern: PatternId,
        /// With this blade.
        to: BladeId,
    },
    /// Let a part find its place again.
    Unpin {
        /// Which part.
        part: PartKey,
    },
    /// Turn a foot, a batten or a handle, so that the wood may move.
    Turn {
        /// Of which pattern.
        pattern: PatternId,
        /// Which of them.
        feature: FeatureId,
        /// Its length lies this way on the pattern.
        to: Angle,
    },
    /// Make a hanging hole elsewhere, or of another width.
    Hole {
        /// Of which pattern.
        pattern: PatternId,
        /// Which hole.
        hole: FeatureId,
        /// Its middle on the pattern.
        at: Point,
        /// Its width.
        diameter: Length,
    },
    /// Make a hollow or a pocket less deep.
    Depth {
        /// Of which pattern.
        pattern: PatternId,
        /// Which hollow or pocket.
        feature: FeatureId,
        /// To this.
        to: Length,
    },
}

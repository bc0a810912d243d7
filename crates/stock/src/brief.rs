//! All that a planning reads.

use handbook::OwnRows;
use jiff::civil::Date;
use measure::{Problem, Units};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{
    Face, FaceKey, Job, Panel, PanelId, PartKey, Pattern, PatternId, Piece, PieceId, ShopKit, Want, WantId,
};

/// All that a planning reads: the same brief gives the same plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Brief {
    /// What is wanted.
    pub job: Job,
    /// The job's pieces.
    pub pieces: Vec<Piece>,
    /// The job's patterns.
    pub patterns: Vec<Pattern>,
    /// The shop.
    pub kit: ShopKit,
    /// No step begins before this day.
    #[ts(type = "string")]
    pub today: Date,
}

impl Brief {
    /// The most parts that one job may ask for.
    pub const MOST_PARTS: u32 = 500;

    /// How figures are written for this maker.
    pub fn units(&self) -> Units {
        self.kit.units
    }

    /// The shop's own facts, and through them the tables.
    pub fn facts(&self) -> &OwnRows {
        &self.kit.own
    }

    /// A piece of the job.
    ///
    /// # Errors
    /// None has this id.
    pub fn piece(&self, id: PieceId) -> Result<&Piece, Problem> {
        let found = self.pieces.iter().find(|it| it.id == id);
        found.ok_or_else(|| Problem::new(format!("piece {id} is not among the job's pieces")))
    }

    /// A pattern of the job.
    ///
    /// # Errors
    /// None has this id.
    pub fn pattern(&self, id: PatternId) -> Result<&Pattern, Problem> {
        let found = self.patterns.iter().find(|it| it.id == id);
        found.ok_or_else(|| Problem::new(format!("pattern {id} is not among the job's patterns")))
    }

    /// A want of the job.
    ///
    /// # Errors
    /// None has this id.
    pub fn want(&self, id: WantId) -> Result<&Want, Problem> {
        let found = self.job.wants.iter().find(|it| it.id == id);
        found.ok_or_else(|| Problem::new(format!("the job has no want {id}")))
    }

    /// A panel of the job.
    ///
    /// # Errors
    /// None has this id.
    pub fn panel(&self, id: PanelId) -> Result<&Panel, Problem> {
        let found = self.job.panels.iter().find(|it| it.id == id);
        found.ok_or_else(|| Problem::new(format!("the job has no panel {id}")))
    }

    /// The face behind a key; a panel's is made from its strips.
    ///
    /// # Errors
    /// There is no such piece or panel, or the panel has no strips.
    pub fn face(&self, key: FaceKey) -> Result<Face, Problem> {
        match key {
            FaceKey::Piece(id) => Ok(self.piece(id)?.face.clone()),
            FaceKey::Panel(id) => self.panel(id)?.face(),
        }
    }

    /// The pattern of a part.
    ///
    /// # Errors
    /// There is no such want or pattern.
    pub fn pattern_of(&self, part: PartKey) -> Result<&Pattern, Problem> {
        self.pattern(self.want(part.want)?.pattern)
    }

    /// Every part asked for, want by want, up to [`Brief::MOST_PARTS`].
    pub fn parts(&self) -> Vec<PartKey> {
        let each = |want: &Want| {
            let id = want.id;
            (1..=want.count.min(Brief::MOST_PARTS)).map(move |copy| PartKey { want: id, copy })
        };
        self.job.wants.iter().flat_map(each).take(Brief::MOST_PARTS as usize).collect()
    }

    /// What a part is called: its pattern's name, numbered if there are more.
    pub fn part_name(&self, part: PartKey) -> String {
        let name = self.pattern_of(part).map_or("part", |pattern| pattern.name.as_str());
        match self.want(part.want) {
            Ok(want) if want.count > 1 => format!("{name} {}", part.copy),
            Ok(_) | Err(_) => name.to_owned(),
        }
    }

    /// What a face is called.
    pub fn face_name(&self, face: FaceKey) -> String {
        match face {
            FaceKey::Piece(id) => self.piece(id).map_or_else(|_| format!("piece {id}"), |it| it.name.clone()),
            FaceKey::Panel(id) => self.panel(id).map_or_else(|_| format!("panel {id}"), |it| it.name.clone()),
        }
    }
}

//! Panels glued up from strips.

use measure::{Length, Problem};
use outline::Point;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{Face, PanelId, PieceId};

/// A panel to be glued up, strip beside strip, their length along x.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Panel {
    /// Unique within its job.
    pub id: PanelId,
    /// What the maker calls it.
    pub name: String,
    /// The strips' length when trimmed.
    pub length: Length,
    /// The panel's thickness when planed.
    pub thickness: Length,
    /// The strips from the lower edge up.
    pub runs: Vec<StripRun>,
}

/// Equal strips side by side, out of one piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct StripRun {
    /// The piece they are ripped from; it need not be among those that parts
    /// may be sawn from.
    pub piece: PieceId,
    /// Each strip's width in the panel.
    pub width: Length,
    /// How many of them.
    pub count: u32,
}

impl Panel {
    /// The most strips that one panel may have.
    pub const MOST_STRIPS: u32 = 200;

    /// Each strip from the lower edge up: its piece and its width.
    pub fn strips(&self) -> impl Iterator<Item = (PieceId, Length)> + '_ {
        let most = Panel::MOST_STRIPS as usize;
        let each = |run: &StripRun| std::iter::repeat_n((run.piece, run.width), run.count as usize);
        self.runs.iter().flat_map(each).take(most)
    }

    /// All strips side by side.
    pub fn width(&self) -> Length {
        self.strips().map(|(_, width)| width).sum()
    }

    /// The panel's face: a bare rectangle, grain along x.
    ///
    /// # Errors
    /// No strips, or a side of zero or less.
    pub fn face(&self) -> Result<Face, Problem> {
        Face::rectangle(self.length, self.width()).map_err(|it| it.within(&format!("panel “{}”", self.name)))
    }

    /// The heights of the glue lines above the lower edge, as points on x = 0.
    pub fn glue_lines(&self) -> Vec<Point> {
        let mut above = 0.0;
        let mut lines: Vec<Point> = self
            .strips()
            .map(|(_, width)| {
                above += width.to_mm();
                Point::new(0.0, above)
            })
            .collect();
        lines.pop();
        lines
    }
}

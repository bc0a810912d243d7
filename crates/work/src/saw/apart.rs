//! Wood that is too long for the bandsaw is sawn apart by hand first.

use cuts::{Planned, Task, Trouble, TroubleKind};
use judge::{Bench, Ruling};
use measure::{Area, Length};
use outline::{Outline, Point, band};

use crate::cut_sheet::HandCut;
use crate::making::Laid;
use crate::saw::OFF_THE_LINE;
use crate::saw::proof::plan_cuts;

/// No more cuts than this are made by hand on one face; each has a letter.
const MOST: usize = 6;

/// A kerf may take no more of a part and its spare stock than a rounding.
const NOTHING: Area = Area::mm2(0.01);

/// A piece of a face with its parts, and how it is sawn.
#[derive(Clone)]
pub(super) struct Piece<'a> {
    pub(super) wood: Outline,
    pub(super) parts: Vec<&'a Laid<'a>>,
    pub(super) planned: Planned,
    pub(super) ruling: Ruling,
}

/// What a piece is planned by, but for its own wood and parts.
pub(super) struct Saw<'p, 'a> {
    /// The whole face's.
    pub(super) task: &'p Task<'p>,
    pub(super) bench: &'p Bench<'p>,
    pub(super) parts: &'a [&'a Laid<'a>],
    /// Of the hand-held saw.
    pub(super) kerf: Length,
}

impl<'a> Saw<'_, 'a> {
    /// The face in one piece or, where parts of it hang together that the column
    /// keeps from being parted, crosscut by hand so that more can be sawn.
    pub(super) fn pieces(&self) -> (Vec<HandCut>, Vec<Piece<'a>>) {
        let whole = self.piece(self.task.wood.clone(), self.parts.to_vec());
        // After cuts of a maker's own the wood is another.
        if !self.task.first.is_empty() {
            return (Vec::new(), vec![whole]);
        }
        let before = troubles(std::slice::from_ref(&whole));
        let (mut apart, mut pieces) = (Vec::new(), vec![whole.clone()]);
        while apart.len() < MOST {
            let halved = pieces.iter().enumerate().find_map(|(index, it)| Some((index, self.halved(it)?)));
            let Some((index, ([from, to], halves))) = halved else { break };
            let letter = char::from(b'A' + apart.len() as u8);
            apart.push(HandCut { letter, from, to, kerf: self.kerf });
            pieces.splice(index..=index, halves);
        }
        if troubles(&pieces) < before { (apart, pieces) } else { (Vec::new(), vec![whole]) }
    }

    fn piece(&self, wood: Outline, parts: Vec<&'a Laid<'a>>) -> Piece<'a> {
        let outlines: Vec<_> = parts.iter().map(|it| (it.key, &it.placement.outline)).collect();
        let (planned, ruling) =
            plan_cuts(&self.task_on(&wood, &parts), &Bench { wood: &wood, parts: &outlines, ..*self.bench });
        Piece { wood, parts, planned, ruling }
    }

    fn task_on<'t>(&'t self, wood: &'t Outline, parts: &[&Laid]) -> Task<'t> {
        let is_here = |key| parts.iter().any(|it| it.key == key);
        Task {
            wood,
            parts: self.task.parts.iter().filter(|it| is_here(it.part)).copied().collect(),
            starts: self.task.starts.iter().filter(|it| is_here(it.part)).copied().collect(),
            ..self.task.clone()
        }
    }

    /// A piece whose parts the column keeps together, sawn apart between them.
    fn halved(&self, piece: &Piece<'a>) -> Option<([Point; 2], Vec<Piece<'a>>)> {
        if !piece.planned.troubles.iter().any(meets_column) || piece.parts.len() < 2 {
            return None;
        }
        let [from, to] = cuts::straight_between(&self.task_on(&piece.wood, &piece.parts), self.kerf)?;
        // Looked at once more, on the true outlines.
        let spared = band(&[from, to], self.kerf + OFF_THE_LINE * 2.0);
        let taken =
            |part: &Laid| -> Area { spared.iter().map(|it| it.overlap_area(&part.placement.outline)).sum() };
        if piece.parts.iter().any(|it| taken(it) > NOTHING) {
            return None;
        }
        let left = piece.wood.minus(&band(&[from, to], self.kerf));
        let halves = left.into_iter().filter_map(|wood| {
            let lies = |it: &&&Laid| wood.contains(it.placement.outline.outer().corners()[0]);
            let parts: Vec<&Laid> = piece.parts.iter().filter(lies).copied().collect();
            (!parts.is_empty()).then(|| self.piece(wood, parts))
        });
        let mut halves: Vec<Piece> = halves.collect();
        halves.sort_by(|a, b| a.wood.bounds().low.x.total_cmp(&b.wood.bounds().low.x));
        (halves.len() > 1).then_some(([from, to], halves))
    }
}

fn meets_column(trouble: &Trouble) -> bool {
    matches!(trouble.kind, TroubleKind::Crowded { column: true } | TroubleKind::Column { .. })
}

fn troubles(pieces: &[Piece]) -> usize {
    pieces.iter().map(|it| it.planned.troubles.len()).sum()
}

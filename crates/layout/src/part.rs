//! One part by itself: whether a piece has room for it, and for how many.

use measure::{Area, Length};
use nest::{Bed, Kind, Task, fill_looking, find_room};
use outline::{Outline, Place};
use stock::{Brief, FaceKey, Layout, PartKey, Pattern, Piece, Placement, Want};

use crate::answer::as_laid;
use crate::asks::Asked;
use crate::ground::GrainGrid;
use crate::judge::judge;
use crate::plain::{SURE, Things, bed, plain, turns};
use crate::rules;

/// The most parts looked for on one piece.
const MOST_PARTS: usize = 24;
/// Tries to find one place.
const TRIES: u32 = 6;
/// Looks at a piece while it is filled.
const LOOKS: u32 = 60;

/// A part that wood is looked for.
pub(crate) struct Part<'a> {
    /// The brief without its pieces, panels and pins.
    bare: Brief,
    want: &'a Want,
    pattern: &'a Pattern,
    kind: Kind,
    /// What its plain outlines may be off.
    off: Length,
    /// The shorter side of the smallest box around it, however it is turned, in
    /// millimetres: no piece is narrower.
    least: f64,
    /// The area of what has to lie in the wood whatever its edge does.
    core_area: Area,
}

impl<'a> Part<'a> {
    /// A want's part, made ready.
    pub(crate) fn of(brief: &'a Brief, want: &'a Want, pattern: &'a Pattern) -> Part<'a> {
        let (outline, off) = plain(&pattern.outline);
        let asked = Asked::of(pattern, want, None);
        let off = off.max(asked.off);
        let core = asked.asks.live.as_ref().map_or(&outline, |it| &it.core);
        let core_area = core.area().min(pattern.outline.area());
        let least = least_width(core);
        let Asked { bears, asks, .. } = asked;
        let kind = Kind {
            outline,
            turns: turns(&rules::lines_with_grain(pattern)),
            mirrors: want.may_mirror,
            value: 1.0,
            bears,
            asks,
        };
        let mut job = brief.job.clone();
        job.panels.clear();
        let choices = &mut job.choices;
        (choices.pins, choices.sets, choices.shows) = (Vec::new(), Vec::new(), Vec::new());
        let patterns = vec![pattern.clone()];
        let bare = Brief { job, pieces: Vec::new(), patterns, kit: brief.kit.clone(), today: brief.today };
        Part { bare, want, pattern, kind, off, least, core_area }
    }

    /// A place for one on a piece, if one was found.
    pub(crate) fn place_on(&self, piece: &Piece) -> Option<Place> {
        let bounds = piece.face.outline.bounds();
        let narrow = bounds.width().min(bounds.height()).to_mm() < self.least;
        let no_edge = self.kind.asks.live.is_some() && !rules::has_natural_edges(piece.form);
        if narrow || no_edge || piece.face.area() < self.core_area {
            return None;
        }
        let bed = self.bed(piece);
        let place = find_room(&self.kind, &bed, u64::from(self.bare.job.seed), TRIES)?;
        self.stands(piece, &[place]).then_some(place)
    }

    /// Places for as many as were found; at least the one that is known.
    pub(crate) fn places_on(&self, piece: &Piece, known: Place) -> Vec<Place> {
        let area = self.pattern.outline.area();
        let most = ((piece.face.area() / area) as usize).clamp(1, MOST_PARTS);
        let kerf = (rules::kerf(&self.bare, self.want.pattern), false);
        let gap = rules::gap(kerf, kerf) + self.off * 2.0 + SURE;
        let (kinds, beds) = ([(self.kind.clone(), most)], [self.bed(piece)]);
        let task = Task { kinds: &kinds, beds: &beds, gap: &|_, _| gap, may: &|_, _| true };
        let found = fill_looking(&task, &[], u64::from(self.bare.job.seed), LOOKS, &|| false);
        let places: Vec<Place> = found.lying.iter().map(|it| it.place).collect();
        if places.len() > 1 && self.stands(piece, &places) { places } else { vec![known] }
    }

    /// The part where it lies on a piece.
    pub(crate) fn outlines(&self, piece: &Piece, places: &[Place]) -> Vec<Outline> {
        let live = self.kind.asks.live.is_some();
        let lies = |it: &Place| as_laid(&self.pattern.outline, *it, live, &piece.face.outline);
        places.iter().map(lies).collect()
    }

    fn bed(&self, piece: &Piece) -> Bed<'static> {
        let grain = GrainGrid::over(&piece.face);
        let (kit, choices) = (&self.bare.kit, &self.bare.job.choices);
        let kept_out = rules::kept_out(kit, choices, &piece.face, piece.far_face.as_ref());
        let live = self.kind.asks.live.is_some();
        let things = Things { edge: kit.allowances.edge, off: self.off, live };
        bed(&piece.face, &kept_out, things, move |at| grain.at(at))
    }

    /// Whether the judge lets so many parts stand on a piece.
    fn stands(&self, piece: &Piece, places: &[Place]) -> bool {
        let mut brief = self.bare.clone();
        brief.pieces = vec![piece.clone()];
        brief.job.pieces = vec![piece.id];
        brief.job.wants = vec![Want { count: places.len() as u32, ..self.want.clone() }];
        let placements =
            brief.parts().into_iter().zip(places).map(|(part, &place)| self.placed(piece, part, place));
        judge(&brief, &Layout { placements: placements.collect(), ..Layout::default() }).is_empty()
    }

    fn placed(&self, piece: &Piece, part: PartKey, place: Place) -> Placement {
        let outline = self.outlines(piece, &[place]).remove(0);
        Placement { part, face: FaceKey::Piece(piece.id), place, outline, pinned: false }
    }
}

/// No piece narrower than this holds a shape, however it is turned, in
/// millimetres.
fn least_width(outline: &Outline) -> f64 {
    const TURNS: u32 = 90;
    let corners = outline.outer().corners();
    let step = std::f64::consts::PI / f64::from(TURNS);
    let width = |turn: u32| {
        let (sin, cos) = (f64::from(turn) * step).sin_cos();
        let along = corners.iter().map(|it| it.x * cos + it.y * sin);
        let ends =
            along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), it| (low.min(it), high.max(it)));
        ends.1 - ends.0
    };
    let bounds = outline.bounds();
    // Between two of the turns it may be narrower by what half a step takes.
    let between = bounds.width().to_mm().hypot(bounds.height().to_mm()) * (step / 2.0).sin();
    (0..TURNS).map(width).fold(f64::INFINITY, f64::min) - between
}

//! What has to be laid: each part and each strip, its shape, its gap, and the
//! faces that it may lie on.

use std::collections::BTreeMap;

use measure::Length;
use outline::{Place, Ring};
use stock::{
    Brief, FaceKey, Panel, PartKey, Pattern, Piece, PieceId, Saving, Source, StripKey, Want, WantId,
};

use crate::asks::Asked;
use crate::ground::Ground;
use crate::rules;
use crate::shape::Shape;

/// What one thing to be laid is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Name {
    /// A strip of a panel.
    Strip(StripKey),
    /// A part.
    Part(PartKey),
}

impl Name {
    /// The part, if it is one.
    pub(crate) fn part(self) -> Option<PartKey> {
        match self {
            Name::Part(part) => Some(part),
            Name::Strip(_) => None,
        }
    }
}

/// Things that are alike: one shape, one thickness, one source.
pub(crate) struct Kind {
    pub(crate) shape: Shape,
    /// The faces that it may lie on, as numbers into the grounds.
    pub(crate) grounds: Vec<usize>,
    pub(crate) kerf: Length,
    pub(crate) straight: bool,
    /// What one of them is worth.
    pub(crate) worth: u32,
    /// The panel that has to be glued up before it can be sawn.
    pub(crate) panel: Option<stock::PanelId>,
    pub(crate) may_mirror: bool,
    pub(crate) underside_shows: bool,
    /// The number of the set that comes from one piece.
    pub(crate) set: Option<usize>,
    pub(crate) asked: Asked,
}

/// One thing to be laid.
pub(crate) struct Item {
    pub(crate) name: Name,
    pub(crate) kind: usize,
    /// Where the maker put it.
    pub(crate) pin: Option<(usize, Place)>,
}

/// All that has to be laid, and the faces for it.
pub(crate) struct Goods {
    pub(crate) kinds: Vec<Kind>,
    pub(crate) items: Vec<Item>,
    pub(crate) grounds: Vec<Ground>,
    /// Parts and strips that cannot be looked at: their pattern or face is gone.
    pub(crate) lost: Vec<Name>,
    /// The wood kept clear of edges.
    pub(crate) edge: f64,
    /// Kept between parts beyond what their kerf asks for, millimetres.
    pub(crate) room: f64,
    /// How many sets come from one piece each.
    pub(crate) sets: usize,
    /// What decides between layouts that hold the same.
    pub(crate) saving: Saving,
}

/// The most strips of all panels together.
const MOST_STRIPS: usize = 400;

impl Goods {
    /// Reads a brief, for parts that keep so many millimetres more apart than their kerf asks for.
    pub(crate) fn read(brief: &Brief, room: f64) -> Goods {
        let mut goods = Goods {
            kinds: Vec::new(),
            items: Vec::new(),
            grounds: grounds(brief),
            lost: Vec::new(),
            edge: brief.kit.allowances.edge.to_mm(),
            room,
            sets: brief.job.choices.sets.len(),
            saving: brief.job.choices.saving,
        };
        brief.job.panels.iter().for_each(|panel| goods.take_panel(brief, panel));
        let mut kinds = BTreeMap::new();
        for part in brief.parts() {
            let kind = *kinds.entry(part.want).or_insert_with(|| goods.take_want(brief, part.want));
            goods.take_part(brief, part, kind);
        }
        goods
    }

    /// The largest face that every part of a set may come from.
    pub(crate) fn widest_for_set(&self, set: usize) -> Option<usize> {
        let of_set: Vec<&Kind> = self.kinds.iter().filter(|it| it.set == Some(set)).collect();
        let area = |ground: &usize| self.grounds[*ground].face.area().to_mm2();
        let all = 0..self.grounds.len();
        all.filter(|it| of_set.iter().all(|kind| kind.grounds.contains(it)))
            .max_by(|one, other| area(one).total_cmp(&area(other)))
    }

    fn take_part(&mut self, brief: &Brief, part: PartKey, kind: Option<usize>) {
        let choices = &brief.job.choices;
        let pin = choices.pins.iter().find(|pin| pin.part == part);
        let place = pin.map(|pin| (self.ground(pin.face), pin.place));
        let (Some(kind), None | Some((Some(_), _))) = (kind, place) else {
            return self.lost.push(Name::Part(part));
        };
        let pin = place.and_then(|(ground, place)| Some((ground?, place)));
        let shown = choices.shows.iter().find(|it| it.part == part).filter(|_| pin.is_none());
        let shown = shown.and_then(|it| {
            let want = brief.want(part.want).ok()?;
            let pattern = brief.pattern(want.pattern).ok()?;
            let mut own = self.kind_of(brief, want, pattern, Some(&it.area));
            own.grounds.retain(|&ground| self.grounds[ground].key == it.face);
            Some(own)
        });
        let kind = shown.map_or(kind, |own| {
            self.kinds.push(own);
            self.kinds.len() - 1
        });
        self.items.push(Item { name: Name::Part(part), kind, pin });
    }

    /// The number of a face.
    pub(crate) fn ground(&self, key: FaceKey) -> Option<usize> {
        self.grounds.iter().position(|ground| ground.key == key)
    }

    /// The kind of an item.
    pub(crate) fn kind(&self, item: usize) -> &Kind {
        &self.kinds[self.items[item].kind]
    }

    /// The clear way that two kinds keep between them, in millimetres.
    pub(crate) fn gap(&self, one: &Kind, other: &Kind) -> f64 {
        let room = if one.straight && other.straight { 0.0 } else { self.room };
        rules::gap((one.kerf, one.straight), (other.kerf, other.straight)).to_mm() + room
    }

    fn take_want(&mut self, brief: &Brief, want: WantId) -> Option<usize> {
        let want = brief.want(want).ok()?;
        let kind = self.kind_of(brief, want, brief.pattern(want.pattern).ok()?, None);
        self.kinds.push(kind);
        Some(self.kinds.len() - 1)
    }

    /// The kind of a want's parts, or of one that is to show an area.
    fn kind_of(&self, brief: &Brief, want: &Want, pattern: &Pattern, shown: Option<&Ring>) -> Kind {
        let from_panel = match want.source {
            Source::Pieces => None,
            Source::Panel(panel) => Some(panel),
        };
        let is_live = pattern.has_live_edge();
        let may = |ground: &&usize| {
            let ground = &self.grounds[**ground];
            match (want.source, ground.key) {
                (Source::Pieces, FaceKey::Piece(id)) => {
                    let form = brief.piece(id).map(|it| it.form);
                    brief.job.pieces.contains(&id)
                        && rules::part_needs(brief, want) <= ground.thickness
                        && (!is_live || form.is_ok_and(rules::has_natural_edges))
                }
                (Source::Panel(panel), FaceKey::Panel(found)) => {
                    panel == found && rules::part_needs(brief, want) <= ground.thickness && !is_live
                }
                (Source::Pieces, FaceKey::Panel(_)) | (Source::Panel(_), FaceKey::Piece(_)) => false,
            }
        };
        let all: Vec<usize> = (0..self.grounds.len()).collect();
        let sets = &brief.job.choices.sets;
        let set = sets.iter().position(|it| it.wants.contains(&want.id));
        let mut shape = Shape::of_pattern(pattern, self.room);
        if set.is_some_and(|it| sets[it].alike) {
            shape.run_with_grain(rules::ALIKE_WITHIN);
        }
        Kind {
            shape,
            grounds: all.iter().filter(may).copied().collect(),
            kerf: rules::kerf(brief, want.pattern),
            straight: false,
            worth: want.worth,
            panel: from_panel,
            may_mirror: want.may_mirror,
            underside_shows: want.underside_shows,
            set,
            asked: Asked::of(pattern, want, shown),
        }
    }

    fn take_panel(&mut self, brief: &Brief, panel: &Panel) {
        let mut kinds: BTreeMap<(PieceId, u64), Option<usize>> = BTreeMap::new();
        for (index, (piece, width)) in panel.strips().enumerate() {
            let strip = StripKey { panel: panel.id, strip: index as u32 + 1 };
            let known = kinds.entry((piece, width.to_mm().to_bits()));
            let kind = *known.or_insert_with(|| {
                let (long, wide) = rules::rough_strip(brief, panel, width);
                let ring = Ring::rectangle(long, wide).ok()?;
                let ground = self.ground(FaceKey::Piece(piece));
                let thick = rules::strip_needs(brief, panel);
                let fits = ground.filter(|&it| thick <= self.grounds[it].thickness);
                self.kinds.push(Kind {
                    shape: Shape::of_strip(ring, long, wide),
                    grounds: fits.into_iter().collect(),
                    kerf: brief.kit.machines.straight_kerf,
                    straight: true,
                    worth: 0,
                    panel: Some(panel.id),
                    may_mirror: false,
                    underside_shows: false,
                    set: None,
                    asked: Asked::of_strip(),
                });
                Some(self.kinds.len() - 1)
            });
            let room = self.items.len() < MOST_STRIPS;
            match kind.filter(|_| room) {
                Some(kind) => self.items.push(Item { name: Name::Strip(strip), kind, pin: None }),
                None => self.lost.push(Name::Strip(strip)),
            }
        }
    }
}

/// The faces of the job, by key: its pieces that exist, those that its panels'
/// strips are ripped from, and its panels.
fn grounds(brief: &Brief) -> Vec<Ground> {
    let of_panels = |id| brief.job.panels.iter().flat_map(|panel| &panel.runs).any(|run| run.piece == id);
    let reached = |piece: &&Piece| brief.job.pieces.contains(&piece.id) || of_panels(piece.id);
    let pieces = brief.pieces.iter().filter(reached).map(|piece| {
        let cost = piece.cost().map_or(0.0, measure::Money::to_units);
        let (face, far_face) = (piece.face.clone(), piece.far_face.as_ref());
        Ground::new(brief, FaceKey::Piece(piece.id), face, far_face, piece.thickness, cost)
    });
    let panels = brief.job.panels.iter().filter_map(|panel| {
        let face = panel.face().ok()?;
        Some(Ground::new(brief, FaceKey::Panel(panel.id), face, None, panel.thickness, 0.0))
    });
    let mut grounds: Vec<Ground> = pieces.chain(panels).collect();
    grounds.sort_by_key(|ground| ground.key);
    grounds.dedup_by_key(|ground| ground.key);
    grounds
}

//! Why a part or a strip found no place: the figure and its limit.

use std::collections::BTreeMap;

use measure::{Area, Length, Problem};
use nest::Live;
use outline::Ring;
use stock::{Brief, FaceKey, Layout, PartKey, Source, StripKey};

use crate::answer::shapes_on;
use crate::goods::{Goods, Kind, Name};
use crate::pool::{Pool, best_stem_share};
use crate::room::Room;
use crate::rules;
use crate::score::largest_clear;
use crate::shape::Shape;

/// What is needed to say why.
pub(crate) struct Reasons<'a> {
    pub(crate) brief: &'a Brief,
    pub(crate) goods: &'a Goods,
    pub(crate) pools: &'a [Vec<Pool>],
    pub(crate) empty: &'a Room<'a>,
    pub(crate) full: &'a Room<'a>,
    /// Whether the search was stopped before its last try.
    pub(crate) stopped: bool,
}

impl Reasons<'_> {
    /// One problem for every part and strip that a layout leaves out.
    pub(crate) fn all(&self, layout: &Layout) -> Vec<Problem> {
        let mut known: BTreeMap<usize, (String, Option<String>)> = BTreeMap::new();
        let parts = layout.unplaced.iter().map(|&part| Name::Part(part));
        let strips = layout.unplaced_strips.iter().map(|&strip| Name::Strip(strip));
        parts
            .chain(strips)
            .map(|name| {
                let Some(item) = self.goods.items.iter().find(|item| item.name == name) else {
                    return self.lost(name);
                };
                let why = known.entry(item.kind).or_insert_with(|| {
                    let problem = self.why(item.kind, name, layout);
                    (problem.message, problem.hint)
                });
                let told = Problem::new(format!("“{}” {}", self.called(name), why.0));
                match &why.1 {
                    Some(hint) => told.hint(hint.clone()),
                    None => told,
                }
            })
            .collect()
    }

    fn called(&self, name: Name) -> String {
        match name {
            Name::Part(part) => self.brief.part_name(part),
            Name::Strip(StripKey { panel, strip }) => {
                format!("{} strip {strip}", self.brief.face_name(FaceKey::Panel(panel)))
            }
        }
    }

    fn lost(&self, name: Name) -> Problem {
        let called = self.called(name);
        let pin = |part: &PartKey| self.brief.job.choices.pins.iter().find(|pin| pin.part == *part);
        match name {
            Name::Part(part) => match (self.brief.pattern_of(part), pin(&part)) {
                (Err(problem), _) => problem.within(&format!("“{called}”")),
                (Ok(_), Some(pin)) => {
                    let face = self.brief.face_name(pin.face);
                    Problem::new(format!("“{called}” is pinned on {face}, which the job does not hold"))
                        .hint("take the pin off, or add the piece to the job")
                }
                (Ok(_), None) => Problem::new(format!("“{called}” cannot be read")),
            },
            Name::Strip(strip) => {
                Problem::new(format!("“{called}” has no size, or the panels have too many strips"))
                    .hint(format!("give panel {} strips with a length and a width above zero", strip.panel))
            }
        }
    }

    fn why(&self, number: usize, name: Name, layout: &Layout) -> Problem {
        let kind = &self.goods.kinds[number];
        if kind.grounds.is_empty() {
            return match kind.asked.asks.live.is_some() && !self.has_natural_edges() {
                true => Problem::new("has a live edge, and no piece of the job has a natural one: 0 of 1")
                    .hint("add a slab to the job, or say of a piece that it is one"),
                false => self.too_thin(name),
            };
        }
        if self.stopped {
            return Problem::new("has no place yet: the search was stopped before it ended")
                .hint("plan again");
        }
        if let Some((_, area)) = &kind.asked.asks.shows {
            return self.cannot_show(kind, area);
        }
        if let Some(live) = &kind.asked.asks.live {
            return self.no_live_edge(kind, live);
        }
        if self.pools[number].iter().all(|pool| pool.seats.is_empty()) {
            return self.never_fits(number);
        }
        let home = kind.set.and_then(|set| self.full.ground_of_set(set));
        let grounds: Vec<usize> = home.map_or_else(|| kind.grounds.clone(), |it| vec![it]);
        let told = self.no_room(kind, &grounds, layout);
        match home {
            Some(home) => {
                let face = self.brief.face_name(self.goods.grounds[home].key);
                let why = format!("comes from {face} with the rest of its set; it {}", told.message);
                Problem::new(why).hint("take it out of the set, or use a larger piece")
            }
            None => told.hint("add a piece to the job, or make fewer"),
        }
    }

    /// What lies on its faces leaves no room.
    fn no_room(&self, kind: &Kind, grounds: &[usize], layout: &Layout) -> Problem {
        let units = self.brief.units();
        let area = kind.shape.outline.area();
        let clear: Area = grounds.iter().map(|&it| self.goods.grounds[it].face.area()).sum();
        let taken: Area = grounds
            .iter()
            .flat_map(|&it| shapes_on(layout, self.goods.grounds[it].key))
            .map(outline::Outline::area)
            .sum();
        let (long, wide) = size(&kind.shape);
        let left = grounds.iter().filter_map(|&it| largest_clear(self.full, it));
        let left = left.max_by(|one, other| (one.0 * one.1).total_cmp(&(other.0 * other.1)));
        let left = left.map_or_else(
            || "nothing clear is left".to_owned(),
            |(x, y)| {
                let (x, y) = (units.length(Length::mm(x)), units.length(Length::mm(y)));
                format!("the largest clear rectangle left is {x} by {y}")
            },
        );
        Problem::new(format!(
            "is {} by {} ({}) and finds no room: {} of {} is taken, and {left}",
            units.length(long),
            units.length(wide),
            units.area(area),
            units.area(taken),
            units.area(clear),
        ))
    }

    /// With its middle in the figure it does not fit.
    fn cannot_show(&self, kind: &Kind, area: &Ring) -> Problem {
        let units = self.brief.units();
        let (long, wide) = size(&kind.shape);
        let Some(&ground) = kind.grounds.first() else {
            return Problem::new("is to show a figure on a face that it cannot come from: 0 of 1 serve")
                .hint("draw the figure on a piece of the job that is thick enough, or take it off");
        };
        let clear = self.goods.grounds[ground].field.at(area.centroid()).max(0.0);
        Problem::new(format!(
            "is {} by {} with {} at its widest circle, and finds no place with its middle in the figure that \
             it is to show: from the figure's middle {} is clear on {}",
            units.length(long),
            units.length(wide),
            units.length(Length::mm(kind.shape.clear_width())),
            units.length(Length::mm(clear)),
            self.brief.face_name(self.goods.grounds[ground].key),
        ))
        .hint("draw the figure larger or elsewhere, make the part smaller, or take the figure off")
    }

    /// No natural edge lies as its live edge needs it.
    fn no_live_edge(&self, kind: &Kind, live: &Live) -> Problem {
        let units = self.brief.units();
        let long = live.past.iter().map(|row| match (row.first(), row.last()) {
            (Some(from), Some(to)) => from.distance(*to),
            (None, _) | (_, None) => Length::ZERO,
        });
        let depth = kind.shape.outline.area() - live.core.area();
        let long: Length = long.sum();
        Problem::new(format!(
            "has {} of live edge, which the wood may end {} of it, and finds no place where an edge of its \
             wood runs through there, with {} kept from the other edges and from faults",
            units.length(long),
            units.area(depth),
            units.length(Length::mm(self.goods.edge)),
        ))
        .hint("let the live edge reach deeper into the pattern, or use a slab whose edge is straighter there")
    }

    fn has_natural_edges(&self) -> bool {
        let job = &self.brief.job;
        let mut pieces = self.brief.pieces.iter().filter(|it| job.pieces.contains(&it.id));
        pieces.any(|it| rules::has_natural_edges(it.form))
    }

    /// No piece is thick enough, or there is none at all.
    fn too_thin(&self, name: Name) -> Problem {
        let units = self.brief.units();
        let (need, made, from) = match name {
            Name::Part(part) => match self.brief.want(part.want) {
                Ok(want) => (rules::part_needs(self.brief, want), want.thickness, want.source),
                Err(problem) => return problem,
            },
            Name::Strip(strip) => match self.brief.panel(strip.panel) {
                Ok(panel) => (rules::strip_needs(self.brief, panel), panel.thickness, Source::Pieces),
                Err(problem) => return problem,
            },
        };
        let suits = |key: FaceKey| match (from, key) {
            (Source::Pieces, FaceKey::Piece(piece)) => match name {
                Name::Part(_) => true,
                Name::Strip(strip) => self.strips_piece(strip) == Some(piece),
            },
            (Source::Panel(panel), FaceKey::Panel(found)) => panel == found,
            (Source::Pieces, FaceKey::Panel(_)) | (Source::Panel(_), FaceKey::Piece(_)) => false,
        };
        let thickest = self
            .goods
            .grounds
            .iter()
            .filter(|ground| suits(ground.key))
            .max_by(|one, other| one.thickness.to_mm().total_cmp(&other.thickness.to_mm()));
        match thickest {
            Some(ground) => Problem::new(format!(
                "needs {} of thickness to finish at {}, but the thickest it may come from, {}, has {}",
                units.fine_length(need),
                units.fine_length(made),
                self.brief.face_name(ground.key),
                units.fine_length(ground.thickness),
            ))
            .hint("make it thinner, or add a thicker piece to the job"),
            None => Problem::new("has no piece or panel to come from: 0 of 1 are in the job")
                .hint("add its piece or panel to the job"),
        }
    }

    fn strips_piece(&self, strip: StripKey) -> Option<stock::PieceId> {
        let panel = self.brief.panel(strip.panel).ok()?;
        panel.strips().nth(strip.strip as usize - 1).map(|(piece, _)| piece)
    }

    /// There is no spot even on an empty face: too wide, too long, or the grain.
    fn never_fits(&self, number: usize) -> Problem {
        let kind = &self.goods.kinds[number];
        let units = self.brief.units();
        let shares = kind
            .grounds
            .iter()
            .filter_map(|&it| best_stem_share(self.empty, kind, &self.goods.grounds[it], it));
        let share = shares.min_by(f64::total_cmp);
        let within =
            kind.shape.stems.iter().map(|&(_, within)| within.to_degrees()).fold(f64::INFINITY, f64::min);
        if let Some(share) = share.filter(|&share| share > 1.0 && within.is_finite()) {
            let line = if kind.set.is_some() { "length or stem" } else { "stem" };
            return Problem::new(format!(
                "fits only with its {line} about {:.0}° or more off the grain; the limit is {within:.0}°",
                (share * within).min(90.0)
            ))
            .hint("use a piece that is longer along its grain, or allow the stem a wider angle");
        }
        let widths = kind.grounds.iter().map(|&it| self.goods.grounds[it].clear_width(self.goods.edge));
        let widest = Length::mm(widths.fold(0.0, f64::max));
        let (long, wide) = size(&kind.shape);
        Problem::new(format!(
            "is {} by {} with {} at its widest circle, and fits on no face: the widest clear circle there is {}, \
             with {} kept from edges and faults",
            units.length(long),
            units.length(wide),
            units.length(Length::mm(kind.shape.clear_width())),
            units.length(widest),
            units.length(Length::mm(self.goods.edge)),
        ))
        .hint("use a larger piece, make it smaller, or allow a kind of zone that it may hold")
    }
}

/// Length and width along and across the longest direction.
fn size(shape: &Shape) -> (Length, Length) {
    let (sin, cos) = (shape.long.sin(), shape.long.cos());
    let spread = |to: &dyn Fn(f64, f64) -> f64| {
        let values = shape.samples.iter().map(|it| to(it.x, it.y));
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), it| {
            (f64::min(low, it), f64::max(high, it))
        });
        Length::mm(high - low)
    };
    (spread(&|x, y| x * cos + y * sin), spread(&|x, y| y * cos - x * sin))
}

//! The cuts that free one part from the wood in the hands.

use measure::Length;
use outline::{Outline, Point};
use stock::{SawCut, SawCutKind, SawLeg};

use crate::facet;
use crate::fence::Fence;
use crate::lead::{End, Ground, lead};
use crate::line::{Line, MOST_LEFT};
use crate::wood::{Wood, thinned};

/// A line that cannot be sawn in one go is looked at in so many places.
const PLACES: usize = 28;

/// A cut that ends in its own beginning saws on by so much, millimetres.
const PAST_BEGIN: f64 = 2.0;

/// The column is looked at in so many places along a line.
const LOOKS: usize = 200;

/// No line is sawn in more cuts than this.
const MOST_CUTS: usize = 24;

/// A part and what it is sawn among.
#[derive(Clone, Copy)]
pub(crate) struct Setting<'a> {
    pub(crate) line: &'a Line<'a>,
    /// Around every part.
    pub(crate) fences: &'a [Fence],
    /// A point within each other part.
    pub(crate) others: &'a [Point],
    /// From the blade to the column, millimetres.
    pub(crate) throat: f64,
}

/// What has been sawn so far.
#[derive(Clone)]
pub(crate) struct Sawn {
    pub(crate) cuts: Vec<SawCut>,
    /// The wood with the part in it.
    pub(crate) wood: Wood,
    /// Wood that has come off with other parts in it.
    pub(crate) rest: Vec<Outline>,
}

/// A stretch of the line: places by number, the end after the beginning.
type Stretch = (usize, usize);

impl Setting<'_> {
    /// Frees the part; none if the blade finds no way.
    pub(crate) fn saw_out(&self, wood: &Wood) -> Option<Sawn> {
        let mut sawn = Sawn { cuts: Vec::new(), wood: wood.clone(), rest: Vec::new() };
        if self.line.breaks.is_empty() {
            if let Some(cut) = self.all_round(wood) {
                self.apply(&mut sawn, cut)?;
                return Some(sawn);
            }
        }
        let mut open = self.stretches();
        while !open.is_empty() {
            if sawn.cuts.len() >= MOST_CUTS {
                return None;
            }
            let (index, (from, to), cut) = self.whole(&sawn, &open).or_else(|| self.longest(&sawn, &open))?;
            self.apply(&mut sawn, cut)?;
            let (begin, end) = open.remove(index);
            open.extend((from > begin).then_some((begin, from)));
            open.extend((to < end).then_some((to, end)));
        }
        facet::corners(self, &mut sawn);
        Some(sawn)
    }

    /// What the blade sees of some wood.
    pub(crate) fn ground<'b>(&'b self, wood: &'b Wood) -> Ground<'b> {
        Ground { wood, fences: self.fences, throat: self.throat, blade: &self.line.blade }
    }

    /// The stretches between the corners where the blade leaves the line.
    fn stretches(&self) -> Vec<Stretch> {
        let (breaks, count) = (&self.line.breaks, self.line.way.count());
        if breaks.is_empty() {
            return vec![(0, count)];
        }
        let next = |index: usize| match breaks.get(index + 1) {
            Some(it) => it.leave,
            None => breaks[0].leave + count,
        };
        let every = breaks.iter().enumerate().map(|(index, it)| (it.enter, next(index)));
        every.filter(|(from, to)| to > from).collect()
    }

    /// Of the stretches that can be sawn whole now, the one that takes the least
    /// wood away: what is large stays on to be held by.
    fn whole(&self, sawn: &Sawn, open: &[Stretch]) -> Option<(usize, Stretch, SawCut)> {
        let every = open.iter().enumerate();
        let cuts = every.filter_map(|(index, it)| Some((index, *it, self.cut(&sawn.wood, *it)?)));
        if open.len() == 1 {
            return cuts.into_iter().next();
        }
        let left = |cut: &SawCut| {
            let way: Vec<Point> = cut.sawn().collect();
            let rest = sawn.wood.without(&way, self.line.blade.kerf);
            rest.iter().find(|it| it.contains(self.within())).map_or(0.0, |it| it.area().to_mm2())
        };
        cuts.map(|it| (left(&it.2), it)).max_by(|a, b| a.0.total_cmp(&b.0)).map(|it| it.1)
    }

    /// The cut along a stretch, with its way in and out.
    fn cut(&self, wood: &Wood, (from, to): Stretch) -> Option<SawCut> {
        let ground = self.ground(wood);
        let way = &self.line.way;
        if !self.clears(&ground, from, to) {
            return None;
        }
        let lead_in = lead(&ground, way.at(from), way.heading(from), End::In, self.corner_before(from))?;
        let lead_out = lead(&ground, way.at(to), way.heading(to), End::Out, self.corner_after(to))?;
        Some(self.put_together(lead_in.points, (from, to), lead_out.points))
    }

    /// How far the line turns behind a place where the blade leaves it, as far
    /// as straight ways on would leave too much wood there.
    fn corner_after(&self, at: usize) -> f64 {
        self.corner(|it| it.leave == at || it.leave + self.line.way.count() == at)
    }

    fn corner_before(&self, at: usize) -> f64 {
        self.corner(|it| it.enter == at || it.enter + self.line.way.count() == at)
    }

    fn corner(&self, here: impl Fn(&crate::way::Tight) -> bool) -> f64 {
        let Some(corner) = self.line.breaks.iter().find(|it| here(it)) else { return 0.0 };
        let way = &self.line.way;
        let off = self.line.blade.kerf.to_mm() / 2.0;
        let long = corner.enter.saturating_sub(corner.leave) as f64 * way.step();
        let radius = (long / corner.turn.max(0.01)).max(off);
        let rise = radius / (corner.turn / 2.0).min(1.5).cos() - radius;
        if rise + off > (MOST_LEFT).to_mm() - off { corner.turn.clamp(0.0, 3.0) } else { 0.0 }
    }

    /// Whether the work clears the column all along a stretch.
    fn clears(&self, ground: &Ground, from: usize, to: usize) -> bool {
        let way = &self.line.way;
        let step = ((to - from) / LOOKS).max(1);
        let mut looks = (from..=to).step_by(step).chain([to]);
        looks.all(|it| ground.clears(way.at(it), way.heading(it)))
    }

    /// One cut all round, from where its way in is shortest; it ends in its own
    /// beginning.
    fn all_round(&self, wood: &Wood) -> Option<SawCut> {
        let ground = self.ground(wood);
        let way = &self.line.way;
        let count = way.count();
        if !self.clears(&ground, 0, count) {
            return None;
        }
        let places = (0..PLACES).map(|it| it * count / PLACES).filter(|it| !self.is_in_hole(*it));
        let leads =
            places.filter_map(|it| Some((it, lead(&ground, way.at(it), way.heading(it), End::In, 0.0)?)));
        let (from, lead_in) = leads.min_by(|a, b| a.1.cost.total_cmp(&b.1.cost))?;
        let past = way.steps(PAST_BEGIN);
        Some(self.put_together(lead_in.points, (from, from + count + past), Vec::new()))
    }

    /// Where no stretch can be sawn whole: the longest that can, of any.
    fn longest(&self, sawn: &Sawn, open: &[Stretch]) -> Option<(usize, Stretch, SawCut)> {
        let ground = self.ground(&sawn.wood);
        let way = &self.line.way;
        let step = (way.count() / PLACES).max(1);
        let mut best: Option<(usize, Stretch, Vec<Point>, Vec<Point>)> = None;
        for (index, (begin, end)) in open.iter().enumerate() {
            let inner = (begin + step..*end).step_by(step).filter(|it| !self.is_in_hole(*it));
            let places: Vec<usize> = [*begin].into_iter().chain(inner).chain([*end]).collect();
            let ways = |at: usize, end: End, corner: f64| {
                lead(&ground, way.at(at), way.heading(at), end, corner).map(|it| it.points)
            };
            let outs: Vec<_> = places.iter().map(|it| ways(*it, End::Out, self.corner_after(*it))).collect();
            for (first, from) in places.iter().enumerate() {
                let longer = |to: usize| best.as_ref().is_none_or(|it| to - from > it.1.1 - it.1.0);
                if !longer(*end) {
                    break;
                }
                let Some(way_in) = ways(*from, End::In, self.corner_before(*from)) else { continue };
                for (last, to) in places.iter().enumerate().skip(first + 1) {
                    if !self.clears(&ground, places[last - 1], *to) {
                        break;
                    }
                    if let Some(way_out) = &outs[last]
                        && best.as_ref().is_none_or(|it| to - from > it.1.1 - it.1.0)
                    {
                        best = Some((index, (*from, *to), way_in.clone(), way_out.clone()));
                    }
                }
            }
        }
        let (index, stretch, way_in, way_out) = best?;
        Some((index, stretch, self.put_together(way_in, stretch, way_out)))
    }

    /// Whether a place of the line lies in or close to a drilled hole.
    fn is_in_hole(&self, at: usize) -> bool {
        let count = self.line.way.count();
        let near = self.line.way.steps(self.line.blade.width.to_mm() * 1.5);
        self.line.pivots.iter().any(|it| {
            let after = (at + 2 * count - (it.from + count - near)) % count;
            after <= it.to - it.from + 2 * near
        })
    }

    /// A cut from its way in, its stretch with the holes in it, and its way out.
    fn put_together(&self, way_in: Vec<Point>, (from, to): Stretch, way_out: Vec<Point>) -> SawCut {
        let (line, way) = (self.line, &self.line.way);
        let half = line.blade.width.to_mm() / 2.0;
        let mut holes: Vec<_> = line.pivots.iter().map(|it| (it.from, it)).collect();
        for hole in &mut holes {
            while hole.0 < from {
                hole.0 += way.count();
            }
        }
        holes.retain(|it| it.0 < to);
        holes.sort_by_key(|it| it.0);
        let mut legs = Vec::new();
        let mut points = way_in;
        let mut at = from;
        for (begin, hole) in holes {
            points.extend((at..=begin).map(|it| way.at(it)));
            points.push(way.heading(begin).from(way.at(begin), half));
            legs.push(SawLeg::Sawn { way: thinned(&points) });
            legs.push(SawLeg::Turned { about: hole.middle, by: hole.by() });
            let end = begin + (hole.to - hole.from);
            points = vec![way.heading(end).from(way.at(end), half)];
            at = end + way.steps(half) + 1;
        }
        points.extend((at..=to).map(|it| way.at(it)));
        points.extend(way_out);
        legs.push(SawLeg::Sawn { way: thinned(&points) });
        SawCut { kind: SawCutKind::Outline, parts: vec![line.wanted.part], blade: line.blade.id, legs }
    }

    /// Takes a cut's kerf away; none if the part would be lost.
    pub(crate) fn apply(&self, sawn: &mut Sawn, cut: SawCut) -> Option<()> {
        let way: Vec<Point> = cut.sawn().collect();
        let pieces = sawn.wood.without(&way, self.line.blade.kerf);
        let own = pieces.iter().position(|it| it.contains(self.within()))?;
        for (index, piece) in pieces.iter().enumerate() {
            if index != own && self.others.iter().any(|it| piece.contains(*it)) {
                sawn.rest.push(piece.clone());
            }
        }
        sawn.wood = Wood::new(pieces[own].clone());
        sawn.cuts.push(cut);
        Some(())
    }

    /// A point of the part.
    fn within(&self) -> Point {
        self.line.wanted.outline.outer().corners()[0]
    }

    /// The farthest that wood stands out from the part's line, and where.
    pub(crate) fn left(&self, wood: &Wood) -> (Length, Point) {
        let part = self.line.wanted.outline.outer();
        let every = wood.outline.outer().corners().iter().map(|it| (part.distance(*it), *it));
        every.fold((Length::ZERO, self.within()), |most, it| if it.0 > most.0 { it } else { most })
    }
}

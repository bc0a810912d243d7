//! The cuts that free one part from the wood in the hands.

use measure::Length;
use outline::{Outline, Point};
use stock::{PartKey, SawCut, SawCutKind, SawLeg};

use crate::facet;
use crate::fence::Fence;
use crate::lead::{End, Ground, Lead, PartOn, lead};
use crate::line::{Line, MOST_LEFT};
use crate::wood::{Wood, thinned};

/// A line that cannot be sawn in one go is looked at in so many places.
const PLACES: usize = 28;

/// A cut that ends in its own beginning saws on by so much, millimetres.
const PAST_BEGIN: f64 = 2.0;

/// Behind a hole the blade goes straight on so far, and joins the way within so
/// much more, millimetres.
const STRAIGHT_ON: f64 = 0.5;
const JOINED_AFTER: f64 = 1.5;

/// The column is looked at in so many places along a line.
const LOOKS: usize = 200;

/// No line is sawn in more cuts than this.
const MOST_CUTS: usize = 40;

/// With more stretches than this the first that can be sawn is.
const MOST_COMPARED: usize = 6;

/// So often the longest stretch is looked for where none can be sawn whole.
const MOST_SPLITS: usize = 8;

/// A part and what it is sawn among.
#[derive(Clone, Copy)]
pub(crate) struct Setting<'a> {
    pub(crate) line: &'a Line<'a>,
    /// Around every part.
    pub(crate) fences: &'a [Fence],
    /// Every other part, with a point within it.
    pub(crate) others: &'a [(PartKey, Point)],
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

impl Sawn {
    /// The same with cuts before its own.
    pub(crate) fn after(self, cuts: Vec<SawCut>) -> Sawn {
        Sawn { cuts: cuts.into_iter().chain(self.cuts).collect(), ..self }
    }
}

/// The part away from the column is tried first: it is the better seen and held.
const SIDES: [PartOn; 2] = [PartOn::Left, PartOn::Right];

/// An end of a stretch, counter-clockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tip {
    Begin,
    End,
}

/// A stretch of the line: places by number, the end after the beginning.
pub(crate) type Stretch = (usize, usize);

impl Setting<'_> {
    /// Frees the part; none if the blade finds no way.
    pub(crate) fn saw_out(&self, wood: &Wood) -> Option<Sawn> {
        let mut sawn = Sawn { cuts: Vec::new(), wood: wood.clone(), rest: Vec::new() };
        if self.line.breaks.is_empty()
            && let Some(cut) = self.all_round(wood)
        {
            self.apply(&mut sawn, cut)?;
            return Some(sawn);
        }
        let mut open = self.stretches();
        let mut splits = 0;
        while !open.is_empty() {
            if sawn.cuts.len() >= MOST_CUTS || splits > MOST_SPLITS {
                return None;
            }
            let whole = self.whole(&sawn, &open);
            splits += usize::from(whole.is_none());
            let (index, (from, to), cut) = whole.or_else(|| self.longest(&sawn, &open))?;
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
    pub(crate) fn stretches(&self) -> Vec<Stretch> {
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
        if open.len() == 1 || open.len() > MOST_COMPARED {
            return cuts.into_iter().next();
        }
        let left = |cut: &SawCut| {
            let way: Vec<Point> = cut.sawn().collect();
            let rest = sawn.wood.without(&way, self.line.blade.kerf);
            rest.iter().find(|it| it.contains(self.line.wanted.within())).map_or(0.0, |it| it.area().to_mm2())
        };
        cuts.map(|it| (left(&it.2), it)).max_by(|a, b| a.0.total_cmp(&b.0)).map(|it| it.1)
    }

    /// The cut along a stretch, with its way in and out: the part away from the
    /// column, or toward it where the waste is the larger.
    fn cut(&self, wood: &Wood, stretch: Stretch) -> Option<SawCut> {
        let ground = self.ground(wood);
        let (from, to) = stretch;
        SIDES.into_iter().filter(|it| self.clears(&ground, stretch, *it)).find_map(|part| {
            let begin = self.lead(&ground, from, Tip::Begin, part)?;
            let end = self.lead(&ground, to, Tip::End, part)?;
            self.put_together(begin.points, (from, to), end.points, part)
        })
    }

    /// The lead at an end of a stretch, in the order of sawing.
    pub(crate) fn lead(&self, ground: &Ground, at: usize, tip: Tip, part: PartOn) -> Option<Lead> {
        let way = &self.line.way;
        let (heading, end) = match (tip, part) {
            (Tip::Begin, PartOn::Left) => (way.heading(at), End::In),
            (Tip::End, PartOn::Left) => (way.heading(at), End::Out),
            (Tip::Begin, PartOn::Right) => (way.heading(at).back(), End::Out),
            (Tip::End, PartOn::Right) => (way.heading(at).back(), End::In),
        };
        let corner = match tip {
            Tip::Begin => self.corner_before(at),
            Tip::End => self.corner_after(at),
        };
        lead(ground, way.at(at), heading, (end, part), corner)
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
    pub(crate) fn clears(&self, ground: &Ground, (from, to): Stretch, part: PartOn) -> bool {
        let way = &self.line.way;
        let heading = |it: usize| match part {
            PartOn::Left => way.heading(it),
            PartOn::Right => way.heading(it).back(),
        };
        let step = ((to - from) / LOOKS).max(1);
        let mut looks = (from..=to).step_by(step).chain([to]);
        looks.all(|it| ground.clears(way.at(it), heading(it)))
    }

    /// One cut all round, from where its way in is shortest; it ends in its own
    /// beginning.
    fn all_round(&self, wood: &Wood) -> Option<SawCut> {
        let ground = self.ground(wood);
        let way = &self.line.way;
        let count = way.count();
        SIDES.into_iter().filter(|it| self.clears(&ground, (0, count), *it)).find_map(|part| {
            let tip = if part == PartOn::Left { Tip::Begin } else { Tip::End };
            let places = (0..PLACES).map(|it| it * count / PLACES).filter(|it| !self.is_in_hole(*it));
            let leads = places.filter_map(|it| Some((it, self.lead(&ground, it, tip, part)?)));
            let (at, lead) = leads.min_by(|a, b| a.1.cost.total_cmp(&b.1.cost))?;
            let past = way.steps(PAST_BEGIN);
            match part {
                PartOn::Left => self.put_together(lead.points, (at, at + count + past), Vec::new(), part),
                PartOn::Right => {
                    let end = at + count;
                    self.put_together(Vec::new(), (end - count - past.min(at), end), lead.points, part)
                }
            }
        })
    }

    /// Where no stretch can be sawn whole: the longest that can, of any.
    fn longest(&self, sawn: &Sawn, open: &[Stretch]) -> Option<(usize, Stretch, SawCut)> {
        let mut best: Option<(usize, Stretch, SawCut)> = None;
        for (index, stretch) in open.iter().enumerate() {
            for part in SIDES {
                let longer = best.as_ref().map_or(0, |it| it.1.1 - it.1.0);
                if let Some((stretch, cut)) = self.longest_in(&sawn.wood, *stretch, part, longer) {
                    best = Some((index, stretch, cut));
                }
            }
        }
        best
    }

    /// The longest cut within a stretch, if it has more than so many steps.
    fn longest_in(
        &self,
        wood: &Wood,
        (begin, end): Stretch,
        part: PartOn,
        longer: usize,
    ) -> Option<(Stretch, SawCut)> {
        let ground = self.ground(wood);
        let step = (self.line.way.count() / PLACES).max(1);
        let inner = (begin + step..end).step_by(step).filter(|it| !self.is_in_hole(*it));
        let places: Vec<usize> = [begin].into_iter().chain(inner).chain([end]).collect();
        let clear: Vec<bool> =
            places.windows(2).map(|it| self.clears(&ground, (it[0], it[1]), part)).collect();
        let ends: Vec<_> = places.iter().map(|it| self.lead(&ground, *it, Tip::End, part)).collect();
        let mut best: Option<(Stretch, SawCut)> = None;
        for (first, from) in places.iter().enumerate() {
            let reached = clear[first..].iter().take_while(|it| **it).count();
            let last = (first + 1..=first + reached).rev().find(|it| ends[*it].is_some());
            let Some((to, Some(way_out))) = last.map(|it| (places[it], &ends[it])) else { continue };
            if to - from <= best.as_ref().map_or(longer, |it| it.0.1 - it.0.0) {
                continue;
            }
            let Some(way_in) = self.lead(&ground, *from, Tip::Begin, part) else { continue };
            let stretch = (*from, to);
            let cut = self.put_together(way_in.points, stretch, way_out.points.clone(), part);
            best = cut.map(|it| (stretch, it)).or(best);
        }
        best
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

    /// A cut from the lead at the beginning of a stretch, the stretch with the
    /// holes in it, and the lead at its end; sawn backwards if the part lies
    /// toward the column, which no hole allows.
    pub(crate) fn put_together(
        &self,
        begin: Vec<Point>,
        (from, to): Stretch,
        end: Vec<Point>,
        part: PartOn,
    ) -> Option<SawCut> {
        let (line, way) = (self.line, &self.line.way);
        let mut holes: Vec<_> = line.pivots.iter().map(|it| (it.from, it)).collect();
        for hole in &mut holes {
            while hole.0 < from {
                hole.0 += way.count();
            }
        }
        holes.retain(|it| it.0 < to);
        holes.sort_by_key(|it| it.0);
        if part == PartOn::Right {
            if !holes.is_empty() {
                return None;
            }
            let along = (from..=to).rev().map(|it| way.at(it));
            let points: Vec<Point> = end.into_iter().chain(along).chain(begin).collect();
            return Some(self.outline_cut(vec![SawLeg::Sawn { way: thinned(&points) }]));
        }
        let mut legs = Vec::new();
        let mut points = begin;
        let mut at = from;
        for (place, hole) in holes {
            points.extend((at..=place).map(|it| way.at(it)));
            points.push(hole.teeth);
            legs.push(SawLeg::Sawn { way: thinned(&points) });
            legs.push(SawLeg::Turned { about: hole.middle, by: hole.by() });
            let again = place + (hole.to - hole.from);
            let (turned, heading) = (hole.turned(), way.heading(place).turned(hole.turn));
            // The work has been turned as a whole: the way is joined a little on.
            points = vec![turned, heading.from(turned, STRAIGHT_ON)];
            at = again + way.steps(STRAIGHT_ON + JOINED_AFTER);
        }
        points.extend((at..=to).map(|it| way.at(it)));
        points.extend(end);
        legs.push(SawLeg::Sawn { way: thinned(&points) });
        Some(self.outline_cut(legs))
    }

    fn outline_cut(&self, legs: Vec<SawLeg>) -> SawCut {
        let (part, blade) = (self.line.wanted.part, self.line.blade.id);
        SawCut { kind: SawCutKind::Outline, parts: vec![part], blade, legs }
    }

    /// Takes a cut's kerf away; none if the part would be lost.
    pub(crate) fn apply(&self, sawn: &mut Sawn, mut cut: SawCut) -> Option<()> {
        let way: Vec<Point> = cut.sawn().collect();
        let pieces = sawn.wood.without(&way, self.line.blade.kerf);
        let own = pieces.iter().position(|it| it.contains(self.line.wanted.within()))?;
        for (index, piece) in pieces.iter().enumerate() {
            let others = || self.others.iter().filter(|it| piece.contains(it.1)).map(|it| it.0);
            if index != own && others().next().is_some() {
                cut.parts.extend(others());
                sawn.rest.push(piece.clone());
            }
        }
        sawn.wood = Wood::new(pieces[own].clone());
        sawn.cuts.push(cut);
        Some(())
    }

    /// The farthest that wood stands out from the part's line, and where.
    pub(crate) fn left(&self, wood: &Wood) -> (Length, Point) {
        let part = self.line.wanted.outline.outer();
        let every = wood.outline.outer().corners().iter().map(|it| (part.distance(*it), *it));
        every
            .fold((Length::ZERO, self.line.wanted.within()), |most, it| if it.0 > most.0 { it } else { most })
    }
}

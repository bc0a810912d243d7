//! Curved cuts between parts that no straight one parts.

use outline::{Outline, Point, union};
use stock::{SawCut, SawCutKind};

use crate::fence::Fence;
use crate::lead::{Lead, PartOn};
use crate::line::{Line, filled};
use crate::part::{Setting, Tip};
use crate::way::Way;
use crate::wood::Wood;
use crate::{BladeSize, Wanted};

/// A cut around a group may begin and end at places so far apart, millimetres: a
/// gap between parts may be no wider than a blade's own bend.
const APART: f64 = 4.0;

/// Where it comes nearest to another part is looked for in such steps, millimetres.
const LOOK: f64 = 3.0;

/// So many groups are tried in each direction.
const MOST_GROUPS: usize = 12;

/// So many cuts along a group's way are tried, that begin so far apart, millimetres.
const TRIES: usize = 6;
const UNLIKE: f64 = 20.0;

/// Parts in one piece of wood, each with its fence.
pub(crate) struct Crowd<'a> {
    pub(crate) parts: Vec<(Wanted<'a>, &'a Fence)>,
    pub(crate) fences: &'a [Fence],
    pub(crate) throat: f64,
    pub(crate) wood: &'a Wood,
}

/// A way along a group's line past all the others, with its leads.
struct Past {
    part: PartOn,
    from: usize,
    to: usize,
    begin: Lead,
    end: Lead,
}

impl Crowd<'_> {
    /// A cut that parts some of the parts from the others, with what it leaves:
    /// along the line around those at one end, its bays filled so far that the
    /// blade follows it.
    pub(crate) fn part(&self, blade: &BladeSize) -> Option<(SawCut, Vec<Outline>)> {
        self.groups().iter().find_map(|group| self.around(group, blade))
    }

    /// The parts at one end of the wood, along it and across, small groups first.
    fn groups(&self) -> Vec<Vec<usize>> {
        let centre: Vec<Point> = self.parts.iter().map(|it| it.1.ring.centroid()).collect();
        let across = |it: &usize| centre[*it].y;
        let along = |it: &usize| centre[*it].x;
        let orders: [&dyn Fn(&usize) -> f64; 2] = [&along, &across];
        let mut found: Vec<Vec<usize>> = Vec::new();
        for order in orders {
            let mut sorted: Vec<usize> = (0..self.parts.len()).collect();
            sorted.sort_by(|a, b| order(a).total_cmp(&order(b)));
            let mut groups: Vec<Vec<usize>> =
                (1..sorted.len()).flat_map(|it| [sorted[..it].to_vec(), sorted[it..].to_vec()]).collect();
            groups.iter_mut().for_each(|it| it.sort_unstable());
            groups.sort_by_key(Vec::len);
            groups.truncate(MOST_GROUPS);
            groups.retain(|it| !found.contains(it));
            found.extend(groups);
        }
        found
    }

    /// A cut around a group.
    fn around(&self, group: &[usize], blade: &BladeSize) -> Option<(SawCut, Vec<Outline>)> {
        let line = self.line(group, blade)?;
        let setting = Setting { line: &line, fences: self.fences, others: &[], throat: self.throat };
        let past = self.nearest(group, &line.way);
        let sides = [PartOn::Left, PartOn::Right].into_iter();
        let mut found: Vec<Past> = sides.flat_map(|it| self.ways_past(&setting, &past, it)).collect();
        found.sort_by_key(|it| it.to - it.from);
        // Of ways that begin close to one another the shortest is tried.
        let close = line.way.steps(UNLIKE);
        let mut tried: Vec<Past> = Vec::new();
        for it in found {
            let is_like = |other: &Past| other.part == it.part && other.from.abs_diff(it.from) < close;
            if !tried.iter().any(is_like) {
                tried.push(it);
            }
        }
        tried.into_iter().take(TRIES).find_map(|it| {
            let cut = setting.put_together(it.begin.points, (it.from, it.to), it.end.points, it.part)?;
            self.parted(cut, group, blade)
        })
    }

    /// Where a group's way comes nearest to each of the other parts.
    fn nearest(&self, group: &[usize], way: &Way) -> Vec<usize> {
        let others = (0..self.parts.len()).filter(|it| !group.contains(it));
        let nearest = |other: usize| {
            let ring = &self.parts[other].1.ring;
            let places = (0..way.count()).step_by(way.steps(LOOK));
            let apart = places.map(|it| (ring.distance(way.at(it)), it));
            apart.min_by(|a, b| a.0.to_mm().total_cmp(&b.0.to_mm())).map(|it| it.1)
        };
        others.filter_map(nearest).collect()
    }

    /// The shortest way from each place of a line on that runs past all the others.
    fn ways_past(&self, setting: &Setting, past: &[usize], part: PartOn) -> Vec<Past> {
        let mut found = Vec::new();
        let (ground, way) = (setting.ground(self.wood), &setting.line.way);
        let count = way.count();
        let bars: Vec<bool> = (0..count)
            .map(|it| ground.is_barred(way.at(it)) || !setting.clears(&ground, (it, it), part))
            .collect();
        for (begin, end) in setting.stretches() {
            let mut places: Vec<usize> = (begin..end).step_by(way.steps(APART)).chain([end]).collect();
            let first_lap = places.len();
            // A way without a corner goes round and round.
            if setting.line.breaks.is_empty() {
                places.extend(places.clone().iter().map(|it| it + count));
            }
            let mut ends: Vec<Option<Option<Lead>>> = vec![None; places.len()];
            for (first, from) in places[..first_lap].iter().enumerate() {
                let least = past.iter().map(|it| (it + count - from % count) % count).max().unwrap_or(0);
                let free = (*from..from + count).take_while(|it| !bars[it % count]).count();
                let reached = |it: &usize| (least + 1..free).contains(&(places[*it] - from));
                let mut last = (first..places.len()).filter(reached).peekable();
                if last.peek().is_none() {
                    continue;
                }
                let Some(begin) = setting.lead(&ground, *from, Tip::Begin, part) else { continue };
                let mut end_at = |it: usize| {
                    let lead = || setting.lead(&ground, places[it], Tip::End, part);
                    Some((places[it], ends[it].get_or_insert_with(lead).clone()?))
                };
                let Some((to, end)) = last.find_map(&mut end_at) else { continue };
                found.push(Past { part, from: *from, to, begin, end });
            }
        }
        found
    }

    /// The line around a group as a blade can follow it; none if its bays cannot
    /// be filled without making it fall apart.
    fn line(&self, group: &[usize], blade: &BladeSize) -> Option<Line<'_>> {
        let rings: Vec<Outline> = group.iter().map(|it| self.parts[*it].1.ring.clone().into()).collect();
        let joined = union(&rings);
        let ring = filled(&joined, blade)?;
        let held = |it: &usize| ring.contains(self.parts[*it].1.ring.centroid());
        if !group.iter().all(held) {
            return None;
        }
        let first = self.parts[group[0]];
        let way = Way::along(&ring, blade);
        Line::plain(first.0, *blade, first.1.clone(), way)
    }

    /// What a cut leaves, if it parts the group from all others.
    fn parted(&self, mut cut: SawCut, group: &[usize], blade: &BladeSize) -> Option<(SawCut, Vec<Outline>)> {
        let way: Vec<Point> = cut.sawn().collect();
        let pieces = self.wood.without(&way, blade.kerf);
        let piece_of = |index: usize| {
            let within = self.parts[index].0.within();
            pieces.iter().position(|it| it.contains(within))
        };
        let of_group: Vec<_> = group.iter().map(|it| piece_of(*it)).collect();
        let mut others = (0..self.parts.len()).filter(|it| !group.contains(it));
        let parted = others.all(|it| piece_of(it).is_some_and(|it| !of_group.contains(&Some(it))));
        if !parted || of_group.contains(&None) {
            return None;
        }
        cut.kind = SawCutKind::Parting;
        cut.parts = self.parts.iter().map(|it| it.0.part).collect();
        Some((cut, pieces))
    }
}

//! Curved cuts between parts that no straight one parts.

use outline::{Outline, Point, union};
use stock::{SawCut, SawCutKind};

use crate::fence::Fence;
use crate::lead::PartOn;
use crate::line::{Line, filled};
use crate::part::{Setting, Tip};
use crate::way::Way;
use crate::wood::Wood;
use crate::{BladeSize, Wanted};

/// The way around a group is looked at in so many places.
const PLACES: usize = 48;

/// So many groups are tried in each direction.
const MOST_GROUPS: usize = 12;

/// So many cuts along a group's way are tried.
const TRIES: usize = 4;

/// Parts in one piece of wood, each with its fence.
pub(crate) struct Crowd<'a> {
    pub(crate) parts: Vec<(Wanted<'a>, &'a Fence)>,
    pub(crate) fences: &'a [Fence],
    pub(crate) throat: f64,
    pub(crate) wood: &'a Wood,
}

impl Crowd<'_> {
    /// A cut that parts some of the parts from the others, with what it leaves:
    /// along the line around those at one end, its bays filled so far that the
    /// blade follows it.
    pub(crate) fn part(&self, blade: &BladeSize) -> Option<(SawCut, Vec<Outline>)> {
        let across = |it: &Point| it.y;
        let along = |it: &Point| it.x;
        let orders: [&dyn Fn(&Point) -> f64; 2] = [&along, &across];
        orders.into_iter().find_map(|order| {
            let place = |it: &(Wanted, &Fence)| order(&it.1.ring.centroid());
            let mut sorted: Vec<usize> = (0..self.parts.len()).collect();
            sorted.sort_by(|a, b| place(&self.parts[*a]).total_cmp(&place(&self.parts[*b])));
            let ends = (1..sorted.len()).flat_map(|it| [sorted[..it].to_vec(), sorted[it..].to_vec()]);
            let mut groups: Vec<Vec<usize>> = ends.collect();
            groups.sort_by_key(Vec::len);
            groups.iter().take(MOST_GROUPS).find_map(|group| self.around(group, blade))
        })
    }

    /// A cut around a group.
    fn around(&self, group: &[usize], blade: &BladeSize) -> Option<(SawCut, Vec<Outline>)> {
        let line = self.line(group, blade)?;
        let setting = Setting { line: &line, fences: self.fences, others: &[], throat: self.throat };
        let ground = setting.ground(self.wood);
        let others: Vec<usize> = (0..self.parts.len()).filter(|it| !group.contains(it)).collect();
        let way = &line.way;
        let count = way.count();
        let nearest = |other: usize| {
            let ring = &self.parts[other].1.ring;
            (0..count).min_by(|a, b| {
                ring.distance(way.at(*a)).to_mm().total_cmp(&ring.distance(way.at(*b)).to_mm())
            })
        };
        let near: Vec<usize> = others.iter().filter_map(|it| nearest(*it)).collect();
        let places: Vec<usize> = (0..PLACES).map(|it| it * count / PLACES).collect();
        let mut found: Vec<(usize, SawCut)> = Vec::new();
        for part in [PartOn::Left, PartOn::Right] {
            let ends: Vec<_> = places.iter().map(|it| setting.lead(&ground, *it, Tip::End, part)).collect();
            for from in &places {
                let Some(begin) = setting.lead(&ground, *from, Tip::Begin, part) else { continue };
                // As far as the farthest of the others, counted from here.
                let past = near.iter().map(|it| (it + count - from) % count).max().unwrap_or(0);
                let last = places.iter().zip(&ends).filter_map(|(place, end)| {
                    let on = (place + count - from) % count;
                    (on > past).then_some((on, end.as_ref()?))
                });
                let Some((on, end)) = last.min_by_key(|it| it.0) else { continue };
                let stretch = (*from, from + on);
                if setting.clears(&ground, stretch, part)
                    && (*from..=from + on).all(|it| !ground.is_barred(way.at(it)))
                    && let Some(cut) = setting.put_together(begin.points, stretch, end.points.clone(), part)
                {
                    found.push((on, cut));
                }
            }
        }
        found.sort_by_key(|it| it.0);
        found.into_iter().take(TRIES).find_map(|(_, cut)| self.parted(cut, group, blade))
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
        Some(Line::plain(first.0, *blade, first.1.clone(), way))
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

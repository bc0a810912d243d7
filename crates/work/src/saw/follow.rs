//! Which blade follows a pattern, and where none does.

use measure::Length;
use outline::{Bend, Point};
use stock::{Blade, BladeId, Brief, Origin, Pattern};

use crate::saw::blade::least_radius;

/// Left on outside of the line, for the sander (common practice, no source).
pub(super) const OFF_THE_LINE: Length = Length::inches(1.0 / 16.0);

/// Bends of drawn lines are read over this much of the line, of traced ones
/// over twice the width that smooths the tracing.
const DRAWN: Length = Length::mm(2.0);
const TRACED: Length = Length::mm(6.0);

/// Bends closer together than this are one place to the hand that saws.
const SAME_PLACE: Length = Length::mm(8.0);

/// A hole is wider than the blade by this, so that the blade can turn in it
/// (derived: half the blade's diagonal, and a millimetre each side).
const HOLE_OVER_BLADE: Length = Length::mm(2.0);

/// Where inside corners are drilled, a wider blade would need wider holes
/// (common practice, no source).
const WIDEST_IN_HOLES: Length = Length::inches(3.0 / 8.0);

/// A place where the blade cannot just follow the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tight {
    /// On the pattern.
    pub(super) at: Point,
    /// The line's radius there; zero at a sharp corner.
    pub(super) radius: Length,
    /// What is done about it.
    pub(super) way: Way,
}

/// What is done at a tight place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Way {
    /// Outside: saw straight on through the edge and come back.
    RunOut,
    /// Inside: drill a hole in the waste that touches the line, so wide.
    Hole(Length),
    /// Inside, and no bit is so wide: relief cuts close together.
    Relief,
}

/// A pattern's blade, and what it cannot follow.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Choice<'a> {
    /// The blade it is sawn with, if the shop has one.
    pub(super) blade: Option<&'a Blade>,
    /// The blade that would be chosen if the maker had not.
    pub(super) best: Option<&'a Blade>,
    /// The smallest radius of a path around an outside bend, sharp corners left out.
    pub(super) outside: Option<Bend>,
    /// The same of inside bends.
    pub(super) inside: Option<Bend>,
    /// The places that the blade cannot follow.
    pub(super) tight: Vec<Tight>,
}

/// The radius that the middle of the blade runs on past a bend.
pub(super) fn path_radius(bend: &Bend, kerf: Length) -> Length {
    let off = kerf / 2.0 + OFF_THE_LINE;
    if bend.inside { bend.radius - off } else { bend.radius + off }
}

fn follows(blade: &Blade, bends: &[Bend]) -> bool {
    let least = least_radius(blade.width);
    bends.iter().filter(|it| !it.corner).all(|it| path_radius(it, blade.kerf) >= least)
}

/// The bends of a pattern's outer line.
fn bends(pattern: &Pattern) -> Vec<Bend> {
    let scale = match pattern.origin {
        Origin::Family { .. } | Origin::Drawing { .. } => DRAWN,
        Origin::Traced { .. } => TRACED,
    };
    pattern.outline.outer().bends(scale)
}

/// The widest blade that follows every bend, or the narrowest there is; no
/// wide one where holes have to be drilled for it. The maker's own choice comes
/// first.
pub(super) fn choose<'a>(brief: &'a Brief, pattern: &Pattern) -> Choice<'a> {
    let bends = bends(pattern);
    let blades = &brief.kit.bandsaw.blades;
    let by_width = |a: &&Blade, b: &&Blade| a.width.to_mm().total_cmp(&b.width.to_mm());
    let holes = bends.iter().any(|it| it.corner && it.inside);
    let narrow = |it: &&Blade| !holes || it.width <= WIDEST_IN_HOLES;
    let following = || blades.iter().filter(|it| follows(it, &bends));
    let widest = following().filter(narrow).max_by(by_width).or_else(|| following().min_by(by_width));
    let best = widest.or_else(|| blades.iter().min_by(by_width));
    let named = brief.job.choices.blades.get(&pattern.id);
    let chosen = named.and_then(|&id: &BladeId| blades.iter().find(|it| it.id == id));
    let blade = chosen.or(best);
    let tightest = |inside: bool| {
        let of_kind = bends.iter().filter(move |it| it.inside == inside && !it.corner);
        of_kind.min_by(|a, b| a.radius.to_mm().total_cmp(&b.radius.to_mm())).copied()
    };
    Choice {
        blade,
        best,
        outside: tightest(false),
        inside: tightest(true),
        tight: blade.map_or_else(Vec::new, |it| tight(brief, it, &bends)),
    }
}

/// The places that a blade cannot follow, sharp corners among them.
fn tight(brief: &Brief, blade: &Blade, bends: &[Bend]) -> Vec<Tight> {
    let least = least_radius(blade.width);
    let mut places: Vec<(Bend, Point)> = Vec::new();
    for bend in bends {
        if !bend.corner && path_radius(bend, blade.kerf) >= least {
            continue;
        }
        match places.last_mut() {
            Some((worst, last)) if worst.inside == bend.inside && last.distance(bend.at) < SAME_PLACE => {
                *last = bend.at;
                if bend.radius < worst.radius {
                    *worst = *bend;
                }
            }
            Some(_) | None => places.push((*bend, bend.at)),
        }
    }
    let way = |bend: &Bend| {
        let hole = (blade.width + HOLE_OVER_BLADE).max(bend.radius * 2.0);
        match bend.inside {
            false => Way::RunOut,
            true if hole <= brief.kit.machines.widest_bit => Way::Hole(hole),
            true => Way::Relief,
        }
    };
    places.iter().map(|(bend, _)| Tight { at: bend.at, radius: bend.radius, way: way(bend) }).collect()
}

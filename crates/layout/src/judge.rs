//! Whether a layout can be sawn: every rule once more, on true outlines, with
//! nothing taken over from the search but the figures that it goes by.

use std::collections::BTreeMap;

use measure::{Angle, Area, Length, Problem, Units};
use outline::{OnGrid, Outline, Place, Point, Ring, Segment};
use stock::{
    Brief, Face, FaceKey, Layout, PartKey, PartSet, Pattern, Placement, Shown, Side, Source, StripKey,
    StripPlacement, Want,
};

use crate::goods::Name;
use crate::rules;
use crate::shape::STRIP_WITHIN;

/// What a layout may miss of a distance: a hundredth of a millimetre, which no
/// saw can tell.
const TOLERANCE: Length = Length::mm(0.01);

/// What a stem may miss of its angle: a hundredth of a degree, which no eye can tell.
const ANGLE_TOLERANCE: Angle = Angle::degrees(0.01);

/// A natural edge is not known finer than this.
const LIVE_TOLERANCE: Length = Length::mm(0.5);

/// The drawn line of a live edge is looked at this often.
const LIVE_STEP: Length = Length::mm(2.0);

/// What a part with a live edge may differ from its drawing: a crumb.
const LIVE_AREA: Area = Area::mm2(2.0);

/// The grain is looked up this often along a stem.
const GRAIN_STEP: Length = Length::mm(4.0);

/// Everything that is wrong with a layout; nothing for one that can be sawn.
pub fn judge(brief: &Brief, layout: &Layout) -> Vec<Problem> {
    faults(brief, layout).into_iter().map(|fault| fault.problem).collect()
}

/// One thing that is wrong, and whom it concerns.
pub(crate) struct Fault {
    pub(crate) names: Vec<Name>,
    pub(crate) problem: Problem,
}

/// Everything that is wrong with a layout, with the parts and strips concerned.
pub(crate) fn faults(brief: &Brief, layout: &Layout) -> Vec<Fault> {
    let mut judge =
        Judge { brief, units: brief.units(), faults: Vec::new(), lies: Vec::new(), woods: BTreeMap::new() };
    judge.everything_once(layout);
    layout.placements.iter().for_each(|it| judge.part(it));
    layout.strips.iter().for_each(|it| judge.strip(it));
    judge.apart();
    brief.job.choices.sets.iter().for_each(|set| judge.set(set, layout));
    brief.job.choices.shows.iter().for_each(|it| judge.shows(it, layout));
    judge.faults
}

/// What of a part keeps from faults, where that is not all of it.
#[derive(Default)]
struct Faults {
    /// Keeps from bark and wane; all of the part if there is no live edge.
    core: Option<OnShapes>,
    /// Keeps from faults of the far face: nothing if its underside does not show.
    shown_below: OnShapes,
}

/// A few shapes that are one thing, on the grid too.
#[derive(Default)]
struct OnShapes {
    outlines: Vec<Outline>,
    grids: Vec<OnGrid>,
}

impl OnShapes {
    fn of(outlines: &[Outline]) -> OnShapes {
        OnShapes { outlines: outlines.to_vec(), grids: outlines.iter().map(OnGrid::from).collect() }
    }
}

impl Faults {
    fn of(pattern: &Pattern, want: &Want, place: Place) -> Faults {
        let laid = |shapes: &[Outline]| {
            let laid: Vec<Outline> = shapes.iter().map(|it| place.outline(it)).collect();
            OnShapes::of(&laid)
        };
        let below = if want.underside_shows { rules::shown_below(pattern) } else { Vec::new() };
        Faults {
            core: pattern.has_live_edge().then(|| laid(rules::core(pattern).as_slice())),
            shown_below: laid(&below),
        }
    }
}

/// A thing that lies on a face, ready to be compared with its neighbours.
struct Lies<'a> {
    name: Name,
    face: FaceKey,
    outline: &'a Outline,
    kerf: Length,
    straight: bool,
}

struct Judge<'a> {
    brief: &'a Brief,
    units: Units,
    faults: Vec<Fault>,
    lies: Vec<Lies<'a>>,
    /// The wood of each face that something lies on.
    woods: BTreeMap<FaceKey, Vec<OnGrid>>,
}

impl<'a> Judge<'a> {
    fn say(&mut self, name: Name, what: String) {
        let problem = Problem::new(format!("“{}” {what}", self.called(name)));
        self.faults.push(Fault { names: vec![name], problem });
    }

    fn called(&self, name: Name) -> String {
        match name {
            Name::Part(part) => self.brief.part_name(part),
            Name::Strip(strip) => {
                format!("{} strip {}", self.brief.face_name(FaceKey::Panel(strip.panel)), strip.strip)
            }
        }
    }

    /// Each part and strip of the brief is either placed or listed, just once.
    fn everything_once(&mut self, layout: &Layout) {
        let mut seen: BTreeMap<Name, u32> = BTreeMap::new();
        let parts = layout.placements.iter().map(|it| it.part).chain(layout.unplaced.iter().copied());
        let strips = layout.strips.iter().map(|it| it.strip).chain(layout.unplaced_strips.iter().copied());
        let all = parts.map(Name::Part).chain(strips.map(Name::Strip));
        all.for_each(|name| *seen.entry(name).or_default() += 1);
        let asked = self.asked();
        for &name in &asked {
            match seen.remove(&name).unwrap_or(0) {
                1 => {}
                times => self.say(name, format!("is listed {times} times; expected once")),
            }
        }
        for (name, times) in seen {
            self.say(name, format!("is listed {times} times, but the job does not ask for it"));
        }
    }

    fn asked(&self) -> Vec<Name> {
        let parts = self.brief.parts().into_iter().map(Name::Part);
        let panels = self.brief.job.panels.iter();
        let strips = panels.flat_map(|panel| {
            let count = panel.strips().count() as u32;
            (1..=count).map(|strip| Name::Strip(StripKey { panel: panel.id, strip }))
        });
        parts.chain(strips).collect()
    }

    fn part(&mut self, it: &'a Placement) {
        let name = Name::Part(it.part);
        let (want, pattern) = match (self.brief.want(it.part.want), self.brief.pattern_of(it.part)) {
            (Ok(want), Ok(pattern)) => (want, pattern),
            (Err(problem), _) | (_, Err(problem)) => return self.say(name, problem.message),
        };
        self.source(want, it.part, it.face);
        let is_live = pattern.has_live_edge();
        if !is_live && !is_same(&it.place.outline(&pattern.outline), &it.outline) {
            self.say(name, "lies otherwise than its place says".to_owned());
        }
        let pinned = self.brief.job.choices.pins.iter().find(|pin| pin.part == it.part);
        let kept = pinned.is_none_or(|pin| pin.face == it.face && pin.place == it.place);
        if !kept || pinned.is_some() != it.pinned {
            self.say(name, "is not where it is pinned".to_owned());
        }
        for (line, within) in rules::lines_with_grain(pattern) {
            self.along(name, it.face, line, within, it.place);
        }
        if !it.pinned && it.place.mirrored && !want.may_mirror {
            self.say(name, "is mirrored, which its want does not allow".to_owned());
        }
        match is_live {
            true => self.live(name, it, pattern),
            false => self.clear_wood(name, it.face, &it.outline),
        }
        self.clear_of_faults(name, it.face, &it.outline, &Faults::of(pattern, want, it.place));
        let kerf = rules::kerf(self.brief, want.pattern);
        self.lies.push(Lies { name, face: it.face, outline: &it.outline, kerf, straight: false });
    }

    /// The part comes from where the maker wants it, and that is thick enough.
    fn source(&mut self, want: &Want, part: PartKey, face: FaceKey) {
        let name = Name::Part(part);
        let thickness = match (want.source, face) {
            (Source::Pieces, FaceKey::Piece(id)) if self.brief.job.pieces.contains(&id) => {
                self.brief.piece(id).map(|piece| piece.thickness)
            }
            (Source::Panel(wanted), FaceKey::Panel(id)) if wanted == id => {
                self.brief.panel(id).map(|panel| panel.thickness)
            }
            (Source::Pieces | Source::Panel(_), FaceKey::Piece(_) | FaceKey::Panel(_)) => {
                Err(Problem::new("lies on a face that it may not come from"))
            }
        };
        match thickness {
            Err(problem) => self.say(name, problem.message),
            Ok(thickness) => self.thickness(name, rules::part_needs(self.brief, want), thickness),
        }
    }

    fn thickness(&mut self, name: Name, need: Length, has: Length) {
        if need > has {
            let (need, has) = (self.units.fine_length(need), self.units.fine_length(has));
            self.say(name, format!("needs {need} of thickness, but its wood has {has}"));
        }
    }

    fn strip(&mut self, it: &'a StripPlacement) {
        let name = Name::Strip(it.strip);
        let face = FaceKey::Piece(it.piece);
        let panel = match self.brief.panel(it.strip.panel) {
            Ok(panel) => panel,
            Err(problem) => return self.say(name, problem.message),
        };
        let index = (it.strip.strip as usize).wrapping_sub(1);
        let Some((from, width)) = panel.strips().nth(index) else {
            return self.say(name, "is not one of its panel's strips".to_owned());
        };
        match self.brief.piece(it.piece) {
            Ok(piece) if from == it.piece => {
                self.thickness(name, rules::strip_needs(self.brief, panel), piece.thickness);
            }
            Ok(_) => {
                self.say(name, format!("is to be ripped from piece {from}, not from piece {}", it.piece))
            }
            Err(problem) => self.say(name, problem.message),
        }
        let (long, wide) = rules::rough_strip(self.brief, panel, width);
        match middle_line(it.outline.outer(), long, wide) {
            Some(line) => self.along(name, face, line, STRIP_WITHIN, Place::default()),
            None => {
                let (long, wide) = (self.units.length(long), self.units.length(wide));
                self.say(name, format!("is not a rectangle of {long} by {wide}"));
            }
        }
        self.clear_wood(name, face, &it.outline);
        self.clear_of_faults(name, face, &it.outline, &Faults::default());
        let kerf = self.brief.kit.machines.straight_kerf;
        self.lies.push(Lies { name, face, outline: &it.outline, kerf, straight: true });
    }

    /// A line keeps within its angle of the grain all along.
    fn along(&mut self, name: Name, face: FaceKey, axis: Segment, within: Angle, place: Place) {
        let Ok(face) = self.brief.face(face) else { return };
        let lies = place.segment(axis);
        let steps = (lies.length() / GRAIN_STEP).ceil().clamp(1.0, 10_000.0) as u32;
        let off = |step: u32| {
            let spot = lies.from.toward(lies.to, f64::from(step) / f64::from(steps));
            face.grain.at(spot).between_lines(lies.direction())
        };
        let worst = (0..=steps).map(off).fold(Angle::ZERO, Angle::max);
        if worst > within + ANGLE_TOLERANCE {
            let (worst, within) = (worst.to_degrees(), within.to_degrees());
            self.say(name, format!("turns {worst:.1}° away from the grain; the limit is {within:.1}°"));
        }
    }

    /// It lies on the face, away from its edges.
    fn clear_wood(&mut self, name: Name, key: FaceKey, outline: &Outline) {
        let face = match self.brief.face(key) {
            Ok(face) => face,
            Err(problem) => return self.say(name, problem.message),
        };
        let edge = self.brief.kit.allowances.edge;
        let grid = OnGrid::from(outline);
        let wood = self.woods.entry(key).or_insert_with(|| wood_on_grid(&face, edge));
        if !wood.iter().any(|it| it.holds(&grid)) {
            self.say(name, format!("reaches past the edge of {}", self.brief.face_name(key)));
        } else if edge > TOLERANCE && !wood.iter().all(|it| it.lines_apart(&grid, edge - TOLERANCE)) {
            let way = between_lines(&face.outline, outline, edge);
            let (way, edge) = (self.units.fine_length(way), self.units.fine_length(edge));
            self.say(name, format!("lies {way} from the edge of its wood; the limit is {edge}"));
        }
    }

    /// It keeps its way from every fault that it may not hold.
    fn clear_of_faults(&mut self, name: Name, key: FaceKey, outline: &Outline, faults: &Faults) {
        let Ok(face) = self.brief.face(key) else { return };
        let far_face = match key {
            FaceKey::Piece(id) => self.brief.piece(id).ok().and_then(|it| it.far_face.as_ref()),
            FaceKey::Panel(_) => None,
        };
        let whole = OnShapes::of(std::slice::from_ref(outline));
        for fault in rules::kept_out(&self.brief.kit, &self.brief.job.choices, &face, far_face) {
            let shapes = match (fault.side, &faults.core) {
                (Side::Far, _) => &faults.shown_below,
                (Side::Near, Some(core)) if rules::may_be_live(fault.kind) => core,
                (Side::Near, _) => &whole,
            };
            let area = Outline::from(fault.area.clone());
            let grid = OnGrid::from(&area);
            let limit = (fault.clear - TOLERANCE).max(Length::ZERO);
            if shapes.grids.iter().any(|it| !it.apart(&grid, limit)) {
                let ways = shapes.outlines.iter().map(|it| it.distance(&area));
                let way = ways.fold(Length::mm(1e9), Length::min);
                let (way, limit) = (self.units.fine_length(way), self.units.fine_length(fault.clear));
                let below = if fault.side == Side::Far { " on the other face" } else { "" };
                let kind = fault.kind.word();
                self.say(name, format!("lies {way} from a zone of {kind}{below}; the limit is {limit}"));
            }
        }
    }

    /// A part with a live edge: what is not live lies well within the wood, all
    /// of its drawn live line past the wood's edge, and the part is what the
    /// wood and the drawing have in common.
    fn live(&mut self, name: Name, it: &Placement, pattern: &Pattern) {
        let Ok(face) = self.brief.face(it.face) else { return };
        let form = match it.face {
            FaceKey::Piece(id) => self.brief.piece(id).map(|piece| piece.form).ok(),
            FaceKey::Panel(_) => None,
        };
        if !form.is_some_and(rules::has_natural_edges) {
            let face = self.brief.face_name(it.face);
            self.say(name, format!("has a live edge, but {face} has only sawn ones"));
        }
        if let Some(core) = rules::core(pattern) {
            self.clear_wood(name, it.face, &it.place.outline(&core));
        }
        let spots = rules::live_lines(pattern, LIVE_STEP).concat();
        let inside = spots
            .iter()
            .map(|spot| it.place.point(*spot))
            .filter(|spot| face.outline.contains(*spot) && face.outline.to_line(*spot) > LIVE_TOLERANCE)
            .count();
        if inside > 0 || spots.is_empty() {
            let share = 100.0 * inside as f64 / spots.len().max(1) as f64;
            let edge = "of its live edge is drawn inside the wood, where no natural edge is";
            self.say(name, format!("has no live edge there: {share:.0} % {edge}; the limit is 0 %"));
        }
        let whole = it.place.outline(&pattern.outline);
        let common: Area = whole.common(&face.outline).iter().map(Outline::area).sum();
        let outside = it.outline.area_outside(&whole) + it.outline.area_outside(&face.outline);
        let missed = (common - it.outline.area()).abs() + outside;
        if missed > LIVE_AREA {
            let (missed, limit) = (self.units.area(missed), self.units.area(LIVE_AREA));
            self.say(
                name,
                format!("differs by {missed} from its drawing as the wood ends it; the limit is {limit}"),
            );
        }
    }

    /// The parts of a set lie on one face, and those of a matching one with their
    /// length along its grain. The parts on the face that holds most of them are
    /// not to blame.
    fn set(&mut self, set: &PartSet, layout: &Layout) {
        let parts: Vec<&Placement> =
            layout.placements.iter().filter(|it| set.wants.contains(&it.part.want)).collect();
        let on = |face: FaceKey| parts.iter().filter(|it| it.face == face).count();
        let pinned = |face: FaceKey| parts.iter().any(|it| it.face == face && it.pinned);
        let Some(home) = parts.iter().map(|it| it.face).max_by_key(|it| (pinned(*it), on(*it), *it)) else {
            return;
        };
        for it in &parts {
            if it.face != home {
                let (home, face) = (self.brief.face_name(home), self.brief.face_name(it.face));
                let what = format!("comes from {face}, but the rest of its set from {home}");
                self.say(Name::Part(it.part), what);
            }
            if let Ok(pattern) = self.brief.pattern_of(it.part)
                && set.alike
            {
                let line = rules::length_line(&pattern.outline);
                self.along(Name::Part(it.part), it.face, line, rules::ALIKE_WITHIN, it.place);
            }
        }
    }

    /// A part shows the figure that it is to show.
    fn shows(&mut self, shown: &Shown, layout: &Layout) {
        let Some(it) = layout.placement(shown.part).filter(|it| !it.pinned) else { return };
        let Ok(pattern) = self.brief.pattern_of(it.part) else { return };
        let middle = it.place.point(pattern.outline.outer().centroid());
        let off = if shown.area.contains(middle) { Length::ZERO } else { shown.area.distance(middle) };
        if it.face != shown.face {
            let face = self.brief.face_name(shown.face);
            self.say(Name::Part(it.part), format!("does not lie on {face}, whose figure it is to show"));
        } else if off > TOLERANCE {
            let off = self.units.fine_length(off);
            let what =
                format!("has its middle {off} outside of the figure that it is to show; the limit is 0");
            self.say(Name::Part(it.part), what);
        }
    }

    /// Whatever lies on one face keeps kerf and steering room between.
    fn apart(&mut self) {
        let lies = std::mem::take(&mut self.lies);
        let grids: Vec<OnGrid> = lies.iter().map(|it| OnGrid::from(it.outline)).collect();
        for (index, (one, grid)) in lies.iter().zip(&grids).enumerate() {
            for (other, near) in lies[..index].iter().zip(&grids).filter(|it| it.0.face == one.face) {
                let gap = rules::gap((one.kerf, one.straight), (other.kerf, other.straight));
                if !grid.apart(near, gap - TOLERANCE) {
                    let way = one.outline.distance(other.outline);
                    let problem = Problem::new(format!(
                        "“{}” and “{}” lie {} apart; kerf and room to steer need {}",
                        self.called(one.name),
                        self.called(other.name),
                        self.units.fine_length(way),
                        self.units.fine_length(gap),
                    ));
                    self.faults.push(Fault { names: vec![one.name, other.name], problem });
                }
            }
        }
    }
}

/// A face's wood on the grid. Where nothing is kept clear of its line, what lies
/// on that line may be a rounding past it, so the wood is as much larger.
fn wood_on_grid(face: &Face, edge: Length) -> Vec<OnGrid> {
    match edge > TOLERANCE {
        true => vec![OnGrid::from(&face.outline)],
        false => face.outline.offset(TOLERANCE, TOLERANCE / 10.0).iter().map(OnGrid::from).collect(),
    }
}

/// The shortest way between the lines of two outlines that do not cross, one
/// inside the other or not; ways longer than `limit` are not told apart.
fn between_lines(one: &Outline, other: &Outline, limit: Length) -> Length {
    let from_corners = |of: &Outline, to: &Outline| {
        let near = to.bounds().grown(limit);
        let corners = of.rings().flat_map(|ring| ring.corners().iter().copied());
        corners
            .filter(|&it| near.covers(outline::Bounds { low: it, high: it }))
            .map(|it| to.to_line(it))
            .fold(limit, Length::min)
    };
    from_corners(one, other).min(from_corners(other, one))
}

/// Whether two outlines have the same corners.
fn is_same(one: &Outline, other: &Outline) -> bool {
    let near = |(a, b): (&Point, &Point)| a.distance(*b) < TOLERANCE;
    let alike = |a: &Ring, b: &Ring| {
        a.corners().len() == b.corners().len() && a.corners().iter().zip(b.corners()).all(near)
    };
    one.rings().count() == other.rings().count() && one.rings().zip(other.rings()).all(|(a, b)| alike(a, b))
}

/// The middle line of a rectangle of this size, along its length; `None` if the
/// ring is none.
fn middle_line(ring: &Ring, long: Length, wide: Length) -> Option<Segment> {
    let &[a, b, c, d] = ring.corners() else { return None };
    let is = |found: Length, wanted: Length| (found - wanted).abs() < TOLERANCE;
    let diagonal = Length::mm(long.to_mm().hypot(wide.to_mm()));
    let lies = |a: Point, b: Point, c: Point, d: Point| {
        let sides = is(a.distance(b), long) && is(c.distance(d), long) && is(b.distance(c), wide);
        let square = is(a.distance(c), diagonal) && is(b.distance(d), diagonal);
        (sides && square).then(|| Segment { from: a.toward(d, 0.5), to: b.toward(c, 0.5) })
    };
    lies(a, b, c, d).or_else(|| lies(b, c, d, a))
}

//! The lengths that a piece is crosscut to before it goes over the machines.

use measure::{Angle, Figure, Length, Minutes};
use outline::Bounds;
use stock::{FaceKey, Piece, PieceId};

use super::{EACH_CUT, SET_UP, snipe};
use crate::making::Making;
use crate::{Machine, Operation, OperationKind, Workpiece};

/// Finding the ends' checks and cutting them away (common practice, no source).
const LOOK_OVER: Minutes = Minutes::minutes(3.0);

/// Two ends nearer than this are one: no cut takes so little.
const SAME_END: Length = Length::mm(1.0);

/// A crosscut may take this share of the trim of a strip that reaches into its
/// way, since layouts lie a little staggered (common practice, no source).
const OF_THE_TRIM: f64 = 0.25;

/// Which side of an upright box lies along the grain, the way that wood is fed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Along {
    X,
    Y,
}

impl Along {
    pub(super) fn of(grain: Angle) -> Along {
        if grain.cos().abs() >= grain.sin().abs() { Along::X } else { Along::Y }
    }

    /// From where to where a box reaches along the grain.
    pub(super) fn span(self, it: Bounds) -> Span {
        let (from, to) = match self {
            Along::X => (it.low.x, it.high.x),
            Along::Y => (it.low.y, it.high.y),
        };
        Span { from: Length::mm(from), to: Length::mm(to) }
    }

    /// How far a box reaches across the grain.
    pub(super) fn across(self, it: Bounds) -> Length {
        match self {
            Along::X => it.height(),
            Along::Y => it.width(),
        }
    }
}

/// From where to where, along the grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Span {
    pub(super) from: Length,
    pub(super) to: Length,
}

impl Span {
    pub(super) fn length(self) -> Length {
        self.to - self.from
    }

    fn with(self, other: Span) -> Span {
        Span { from: self.from.min(other.from), to: self.to.max(other.to) }
    }

    /// The least wood that it leaves at either end of another that holds it.
    pub(super) fn spare_in(self, other: Span) -> Length {
        (self.from - other.from).min(other.to - self.to).max(Length::ZERO)
    }
}

/// How a piece goes over the machines: whole, or in lengths.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Lengths {
    whole: Span,
    /// From one end to the other, one at least.
    pub(super) each: Vec<Span>,
    /// The least wood at an end of them that is cut away again later.
    pub(super) spare: Length,
}

impl Lengths {
    /// A piece that parts are sawn out of stays whole, since the saw follows their
    /// lines over all of it; one that holds strips alone is cut where they allow.
    pub(super) fn of(making: &Making, wood: &Piece) -> Lengths {
        let along = Along::of(wood.face.grain.overall);
        let whole = along.span(wood.face.outline.bounds());
        let strips = making.layout.strips.iter().filter(|it| it.piece == wood.id);
        let strips: Vec<Span> = strips.map(|it| along.span(it.outline.bounds())).collect();
        let face = FaceKey::Piece(wood.id);
        let parts = making.layout.placements.iter().filter(|it| it.face == face);
        let parts: Vec<Span> = parts.map(|it| along.span(it.outline.bounds())).collect();
        let trim = making.brief.kit.allowances.trim;
        if !parts.is_empty() || strips.is_empty() {
            let spare = parts.iter().chain(&strips).map(|it| it.spare_in(whole)).reduce(Length::min);
            return Lengths { whole, each: vec![whole], spare: spare.unwrap_or(Length::ZERO) };
        }
        let machines = &making.brief.kit.machines;
        let least = machines.shortest_feed.max(machines.shortest_rip).max(machines.shortest_crosscut);
        let kerf = machines.straight_kerf;
        let apart = kerf - trim * (2.0 * OF_THE_TRIM);
        let groups = groups(strips, whole, (kerf, apart), least);
        let rooms = rooms(&groups, whole, kerf);
        let each: Vec<Span> =
            groups.iter().zip(rooms).map(|(group, room)| rough(*group, room, trim, least)).collect();
        let spares = groups.iter().zip(&each).map(|(group, length)| group.spare_in(*length) + trim);
        let spare = spares.reduce(Length::min).unwrap_or(Length::ZERO);
        Lengths { whole, each, spare }
    }

    /// The shortest and the longest.
    pub(super) fn ends(&self) -> (Length, Length) {
        let each = || self.each.iter().map(|it| it.length());
        let whole = self.whole.length();
        (each().reduce(Length::min).unwrap_or(whole), each().reduce(Length::max).unwrap_or(whole))
    }

    /// How much of the whole piece they are.
    pub(super) fn share(&self) -> f64 {
        let all: Length = self.each.iter().map(|it| it.length()).sum();
        all / self.whole.length()
    }

    /// One cut makes both ends where two lengths touch but for the kerf.
    fn cuts(&self, kerf: Length) -> usize {
        let off = |gap: Length| usize::from(gap > SAME_END);
        let first = self.each.first().map_or(0, |it| off(it.from - self.whole.from));
        let last = self.each.last().map_or(0, |it| off(self.whole.to - it.to));
        let between = self.each.windows(2).map(|pair| 1 + off(pair[1].from - pair[0].to - kerf));
        first + between.sum::<usize>() + last
    }
}

/// Strips that no cut can part lie in one group, and so do those that would
/// leave a length too short for the machines.
fn groups(mut strips: Vec<Span>, whole: Span, (kerf, apart): (Length, Length), least: Length) -> Vec<Span> {
    strips.sort_by(|a, b| a.from.to_mm().total_cmp(&b.from.to_mm()));
    let mut groups: Vec<Span> = Vec::new();
    for strip in strips {
        match groups.last_mut() {
            Some(last) if strip.from < last.to + apart => *last = last.with(strip),
            Some(_) | None => groups.push(strip),
        }
    }
    while groups.len() > 1 {
        let rooms = rooms(&groups, whole, kerf);
        let Some(short) = rooms.iter().position(|it| it.length() < least) else { break };
        let after = short.min(groups.len() - 2) + 1;
        let joined = groups.remove(after);
        groups[after - 1] = groups[after - 1].with(joined);
    }
    groups
}

/// The wood that each group may take: up to the ends, or half way to its neighbour.
fn rooms(groups: &[Span], whole: Span, kerf: Length) -> Vec<Span> {
    let half_way = |one: &Span, other: &Span| (one.to + other.from) / 2.0;
    let room = |index: usize, group: &Span| {
        let before = index.checked_sub(1).and_then(|it| groups.get(it));
        let from = before.map_or(whole.from, |it| half_way(it, group) + kerf / 2.0);
        let to = groups.get(index + 1).map_or(whole.to, |it| half_way(group, it) - kerf / 2.0);
        Span { from, to }
    };
    groups.iter().enumerate().map(|(index, group)| room(index, group)).collect()
}

/// A group with what the planer spoils at its ends, as long as the machines
/// ask; what would be too short to be machined later stays on.
fn rough(group: Span, room: Span, trim: Length, least: Length) -> Span {
    let snipe = (snipe::LENGTH - trim).max(Length::ZERO);
    let mut from = (group.from - snipe).max(room.from);
    let mut to = (group.to + snipe).min(room.to);
    to = to.max((from + least).min(room.to));
    from = from.min((to - least).max(room.from));
    if room.to - to < least {
        to = room.to;
    }
    if from - room.from < least {
        from = room.from;
    }
    Span { from, to }
}

/// Crosscuts a piece to its rough lengths, if that takes any cut.
pub(super) fn crosscut(making: &mut Making, piece: PieceId, lengths: &Lengths) {
    let Ok(wood) = making.brief.piece(piece) else { return };
    let cuts = lengths.cuts(making.brief.kit.machines.straight_kerf);
    if cuts == 0 {
        return;
    }
    let units = making.units();
    let count = lengths.each.len();
    let (_, longest) = lengths.ends();
    let title = match count {
        1 => format!("Crosscut {} to length", wood.name),
        _ => format!("Crosscut {} in {count} lengths", wood.name),
    };
    let bow = longest / lengths.whole.length();
    let figure = Figure::new("bow left in the longest length", format!("{:.0} %", bow * bow * 100.0))
        .by("(length / whole length)²", "geometry of a shallow arc")
        .from("length", units.length(longest))
        .from("whole length", units.length(lengths.whole.length()));
    let mut operation = Operation::begin(OperationKind::Crosscut, title)
        .working_on(vec![Workpiece::Piece(piece)])
        .at(Machine::TableSaw)
        .taking(SET_UP + LOOK_OVER + EACH_CUT * cuts as f64)
        .step("Look over the ends for checks and cut them away first")
        .step("Before the machines, not after: in shorter lengths a bow costs less of the thickness")
        .minding(["first", "table_saw", "crosscut", "eyes_ears_lungs", "no_gloves"])
        .figure(figure);
    for (number, span) in (1..).zip(&lengths.each) {
        let (from, to) = (span.from - lengths.whole.from, span.to - lengths.whole.from);
        let at = format!("from {} to {} of the piece", units.length(from), units.length(to));
        operation = operation
            .set(&format!("length {number}"), units.length(span.length()))
            .step(format!("Crosscut length {number}, {}: {at}", units.length(span.length())));
    }
    making.add(
        operation.step("Hold up the long end level with the table, so that it does not pinch the blade"),
    );
}

#[cfg(test)]
mod tests {
    use outline::Outline;
    use stock::{Brief, Layout};

    use super::*;
    use crate::fixture::{MAPLE, brief, layout, of_kind, ring};
    use crate::{Route, route};

    const KERF: Length = Length::inches(0.125);

    /// The strips of the maple plank, 1500 mm long, from here on, 450 mm each.
    fn lying(starts: [f64; 4]) -> (Brief, Layout) {
        let brief = brief();
        let mut layout = layout(&brief);
        let maple = layout.strips.iter_mut().filter(|it| it.piece == MAPLE);
        for ((strip, from), low) in maple.zip(starts).zip([5.0, 60.0, 5.0, 60.0]) {
            let (to, high) = (from + 450.0, low + 48.0);
            strip.outline = Outline::from(ring(&[[from, low], [to, low], [to, high], [from, high]]));
        }
        (brief, layout)
    }

    fn of_maple((brief, layout): &(Brief, Layout)) -> Lengths {
        Lengths::of(&Making::new(brief, layout), brief.piece(MAPLE).unwrap())
    }

    fn crosscuts(it: &(Brief, Layout)) -> Route {
        route(&it.0, &it.1)
    }

    #[test]
    fn strips_one_behind_the_other_part_a_plank_in_two() {
        // Half way between 454 and 520, and 49 mm past the last strip for the
        // snipe, 15 mm of 64 being in the trim; the 480 mm left go back on the rack.
        let two = lying([4.0, 4.0, 520.0, 520.0]);
        let found = of_maple(&two);
        let spans: Vec<(f64, f64)> =
            found.each.iter().map(|it| (it.from.to_mm().round(), it.to.to_mm().round())).collect();
        assert_eq!(spans, [(0.0, 485.0), (489.0, 1019.0)]);
        assert_eq!(found.cuts(KERF), 2);
        let route = crosscuts(&two);
        let cut = of_kind(&route, OperationKind::Crosscut)[0];
        assert!(cut.title.ends_with("in 2 lengths"), "{}", cut.title);
        // (529 / 1500)².
        assert_eq!(cut.figures[0].value, "12 %");
    }

    #[test]
    fn a_cut_may_take_a_little_of_the_trim_and_no_more() {
        // 1.5 mm between 454.5 and 456 mm, and a quarter of 15 mm from each side.
        assert_eq!(of_maple(&lying([4.0, 4.5, 458.0, 456.0])).each.len(), 2);
        assert_eq!(of_maple(&lying([4.0, 14.5, 458.0, 456.0])).each.len(), 1, "8.5 mm over one another");
    }

    #[test]
    fn strips_that_overlap_along_the_plank_leave_it_in_one_length() {
        let found = of_maple(&lying([4.0, 300.0, 520.0, 800.0]));
        assert_eq!(found.each.len(), 1);
        assert_eq!(found.each[0].to.to_mm(), 1500.0, "250 mm alone would be too short to machine");
        assert_eq!(found.cuts(KERF), 0);
        let mut short = lying([4.0, 4.0, 520.0, 520.0]);
        short.0.kit.machines.shortest_feed = Length::mm(500.0);
        assert_eq!(of_maple(&short).each.len(), 1, "485 mm would be too short to feed");
    }

    #[test]
    fn a_piece_with_parts_on_it_stays_whole() {
        let mut both = lying([4.0, 4.0, 520.0, 520.0]);
        both.1.placements[0].face = FaceKey::Piece(MAPLE);
        let found = of_maple(&both);
        assert_eq!((found.each.len(), found.cuts(KERF)), (1, 0));
        let route = crosscuts(&both);
        let cut = of_kind(&route, OperationKind::Crosscut);
        assert!(!cut.iter().any(|it| it.title.contains("maple")), "{cut:?}");
    }
}

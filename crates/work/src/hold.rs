//! Will it hold: stems against their load, faults against the outline.

mod zones;

use handbook::{SAFETY, rupture_at};
use measure::{Angle, Figure, Force, Length, Problem, Stress};
use outline::{Point, Segment};
use stock::{Change, FeatureId, Finding, Grade, Mending};

use crate::making::{Laid, Making};

/// Stations along a stem: a stem of a hand's length is looked at every few
/// millimetres, less than its width changes in.
const STATIONS: u32 = 40;

/// One cut through a stem, square to its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Section {
    at: Point,
    /// From the section to the tip, where the load hangs.
    arm: Length,
    width: Length,
    height: Length,
    /// Between the fibres there and the axis.
    slope: Angle,
    stress: Stress,
    strength: Stress,
}

impl Section {
    /// Strength over stress.
    fn factor(&self) -> f64 {
        self.strength / self.stress
    }
}

/// Looks at every stem and every fault of every part.
pub(crate) fn parts(making: &mut Making, parts: &[Laid]) {
    for part in parts {
        zones::part(making, part);
        for (id, axis, within, load) in part.pattern.stems() {
            match sections(making, part, axis, load) {
                Ok(sections) => {
                    across(making, part, &sections, within);
                    weak(making, part, id, &sections, load);
                }
                Err(problem) => making.cannot(part.spot(part.placement.place.point(axis.from)), &problem),
            }
        }
    }
}

/// The sections of a stem from its root to its tip.
fn sections(making: &Making, part: &Laid, axis: Segment, load: Force) -> Result<Vec<Section>, Problem> {
    let place = part.placement.place;
    let grain = making.brief.face(part.placement.face)?.grain;
    let long = axis.length();
    let square = axis.direction() + Angle::degrees(90.0);
    let mut found = Vec::new();
    for station in 0..STATIONS {
        let share = (f64::from(station) + 0.5) / f64::from(STATIONS);
        let drawn = axis.from.toward(axis.to, share);
        let Some(width) = part.pattern.outline.width_across(drawn, square) else { continue };
        let width = width - holes(part, drawn, axis.direction(), width);
        let lies = place.segment(axis).direction();
        let slope = grain.at(place.point(drawn)).between_lines(lies);
        let arm = long * (1.0 - f64::from(station) / f64::from(STATIONS));
        let height = height(part, drawn);
        let stress = bending(load, arm, width, height)?;
        let weakest = part.woods.iter().map(|wood| rupture_at(wood, slope)).reduce(Stress::min);
        let strength = weakest.unwrap_or(Stress::ZERO);
        found.push(Section { at: place.point(drawn), arm, width, height, slope, stress, strength });
    }
    if found.is_empty() {
        return Err(Problem::new(format!("the stem's middle line lies outside of {}", part.pattern.name))
            .hint("draw the line again from the body out to the tip"));
    }
    Ok(found)
}

/// What hanging holes take out of a section through a point, square to a direction.
fn holes(part: &Laid, drawn: Point, along: Angle, width: Length) -> Length {
    let (sin, cos) = (along.sin(), along.cos());
    let taken = part.pattern.hanging_holes().filter_map(|(_, at, diameter)| {
        let (dx, dy) = (at.x - drawn.x, at.y - drawn.y);
        let (ahead, aside) = (dx * cos + dy * sin, dy * cos - dx * sin);
        let radius = diameter.max(Length::ZERO).min(Point::FARTHEST).to_mm() / 2.0;
        let meets = ahead.abs() < radius && aside.abs() < width.to_mm();
        meets.then(|| Length::mm(2.0 * (radius * radius - ahead * ahead).sqrt()))
    });
    taken.sum()
}

/// The thickness at a point of the drawing: a hollow takes its depth away.
pub(crate) fn height(part: &Laid, drawn: Point) -> Length {
    let over = part.pattern.hollows().filter(|(_, area, ..)| area.contains(drawn));
    part.want.thickness - over.map(|(_, _, depth, _)| depth).fold(Length::ZERO, Length::max)
}

/// Stress at the skin of a beam that is held on one side and loaded at the
/// other end, flat: 6 F a / (b h²) (textbook beam formula; good for stems
/// longer than they are thick).
fn bending(load: Force, arm: Length, width: Length, height: Length) -> Result<Stress, Problem> {
    let (b, h) = (width.to_mm(), height.to_mm());
    if b <= 0.0 || h <= 0.0 {
        return Err(Problem::new("nothing is left of the stem where a hollow or a hole runs through it")
            .hint("make it smaller or end it before the stem"));
    }
    Stress::try_from(6.0 * load.abs().to_newtons() * arm.to_mm() / (b * h * h))
        .map_err(|it| it.within("stress in the stem"))
}

fn narrowest(sections: &[Section]) -> &Section {
    let mut found = &sections[0];
    for section in sections {
        if section.width < found.width {
            found = section;
        }
    }
    found
}

fn weakest(sections: &[Section]) -> &Section {
    let mut found = &sections[0];
    for section in sections {
        if section.factor() < found.factor() {
            found = section;
        }
    }
    found
}

/// Finding `stem across the grain`, at the section where the fibres turn away most.
fn across(making: &mut Making, part: &Laid, sections: &[Section], within: Angle) {
    let mut worst = &sections[0];
    for section in sections {
        if section.slope > worst.slope {
            worst = section;
        }
    }
    if worst.slope <= within {
        return;
    }
    let mut mendings = Vec::new();
    if part.placement.pinned {
        let change = Change::Unpin { part: part.key };
        mendings.push(Mending::by(change, "let it find a place with the stem along the grain"));
    }
    mendings.push(Mending::by_hand("turn it on the face so that the stem runs with the grain"));
    mendings
        .push(Mending::by_hand("take another piece, or draw the grain again if the wood shows it otherwise"));
    making.find(Finding {
        grade: Grade::Mend,
        rule: "stem across the grain".to_owned(),
        what: format!(
            "the grain runs {} off the stem of {}, it may run {} off",
            degrees(worst.slope),
            part.name,
            degrees(within)
        ),
        spot: part.spot(worst.at),
        figure: Figure::new("grain off the stem", degrees(worst.slope))
            .by("angle between the fibres and the stem's middle line as it lies", "measured on the face")
            .from("sections looked at", sections.len().to_string())
            .from("wood", part.wood_words()),
        limit: degrees(within),
        why: "wood splits between its fibres: a stem with short grain snaps".to_owned(),
        mendings,
    });
}

/// Finding `stem too weak`.
fn weak(making: &mut Making, part: &Laid, stem: FeatureId, sections: &[Section], load: Force) {
    let worst = weakest(sections);
    if worst.factor() >= SAFETY {
        return;
    }
    let units = making.units();
    let more = SAFETY / worst.factor().max(f64::MIN_POSITIVE);
    let thicker = worst.height * more.sqrt();
    let mut mendings = Vec::new();
    if let (true, Some(most)) = (more.is_finite(), thickest(making, part)) {
        let to = part.want.thickness + (rounded_up(making, thicker) - worst.height);
        if to <= most {
            let label = format!("make {} {} thick", part.pattern.name, units.length(to));
            mendings.push(Mending::by(Change::Thickness { want: part.want.id, to }, label));
        }
        let wider = units.length(rounded_up(making, worst.width * more));
        mendings.push(Mending::by_hand(format!("draw the stem {wider} wide there")));
    }
    mendings.push(Mending::by_hand("turn it so that the stem runs with the grain"));
    making.find(Finding {
        grade: Grade::Mend,
        rule: "stem too weak".to_owned(),
        what: format!(
            "stem {stem} of {} bears {:.1} times its load of {}, wanted is {SAFETY:.0} times",
            part.name,
            worst.factor(),
            units.force(load.abs())
        ),
        spot: part.spot(worst.at),
        figure: figure(making, part, sections, load),
        limit: format!("{SAFETY:.1}"),
        why: "tables hold for clear wood: scatter, hidden faults and knocks take the rest".to_owned(),
        mendings,
    });
}

/// The factor of a stem, with all that went in.
fn figure(making: &Making, part: &Laid, sections: &[Section], load: Force) -> Figure {
    let units = making.units();
    let (worst, thin) = (weakest(sections), narrowest(sections));
    let mut figure = Figure::new("strength over stress", format!("{:.1}", worst.factor()))
        .by(
            "strength at this grain / (6 F a / (b h²))",
            "beam formula; Hankinson's formula, Wood Handbook FPL-GTR-190 (2010), eq. 5-2, set to table 5-12",
        )
        .from("load at the tip F", units.force(load.abs()))
        .from("arm to the tip a", units.length(worst.arm))
        .from("width there b", units.length(worst.width))
        .from("thickness there h", units.length(worst.height))
        .from("stress", units.stress(worst.stress))
        .from("grain off the stem", degrees(worst.slope))
        .from("strength at this grain", units.stress(worst.strength))
        .from("narrowest section", units.length(thin.width));
    if let Some(wood) = part.woods.first() {
        figure = figure.from("strength from", wood.bending().basis);
    }
    figure
}

/// The figures of every stem of a part, for its set-up card.
pub(crate) fn figures(making: &Making, part: &Laid) -> Vec<Figure> {
    let stems = part.pattern.stems();
    let found = stems.filter_map(|(_, axis, _, load)| {
        let sections = sections(making, part, axis, load).ok()?;
        Some(figure(making, part, &sections, load))
    });
    found.collect()
}

/// The thickest that this part can be made of its face.
pub(crate) fn thickest(making: &Making, part: &Laid) -> Option<Length> {
    let allow = making.brief.kit.allowances;
    match part.placement.face {
        stock::FaceKey::Piece(id) => {
            let piece = making.brief.piece(id).ok()?;
            Some(piece.thickness - (allow.planing + allow.sanding) * 2.0)
        }
        stock::FaceKey::Panel(id) => Some(making.brief.panel(id).ok()?.thickness - allow.sanding * 2.0),
    }
}

/// Up to the next mark of the maker's rule.
fn rounded_up(making: &Making, it: Length) -> Length {
    match making.units().system {
        measure::System::Inches => Length::inches(1.0 / 16.0) * (it.to_inches() * 16.0).ceil(),
        measure::System::Millimetres => Length::mm(1.0) * it.to_mm().ceil(),
    }
}

/// An angle in words: `12°`.
pub(crate) fn degrees(it: Angle) -> String {
    format!("{:.0}°", it.to_degrees())
}

#[cfg(test)]
mod tests {
    use handbook::BENDING_ACROSS;
    use stock::{FeatureKind, GrainField, Zone, ZoneId, ZoneKind};

    use super::*;
    use crate::fixture::{brief, layout, ring, routed, told};
    use crate::route;

    #[test]
    fn a_beam_breaks_where_the_textbook_says() {
        // By hand, 6 F a / (b h²): 10 lbf at 110 mm on 40 by 19 mm: 6 · 44.48 · 110 / (40 · 361) = 2.033 MPa.
        let stress = bending(Force::pounds(10.0), Length::mm(110.0), Length::mm(40.0), Length::mm(19.0));
        assert!((stress.unwrap().to_mpa() - 2.033).abs() < 0.001);
    }

    #[test]
    fn a_hole_in_a_stem_takes_its_width_away() {
        // By hand: 40 mm of stem, a hole of 24 mm in its middle leaves 16 mm; the
        // sections stand 2.75 mm apart, so one lies within 1.4 mm of the middle.
        let mut brief = brief();
        let at = Point::new(340.0, 100.0);
        let hole = FeatureKind::HangingHole { at, diameter: Length::mm(24.0) };
        brief.patterns[0].features.push(stock::Feature { id: FeatureId(9), kind: hole });
        let layout = layout(&brief);
        let mut making = Making::new(&brief, &layout);
        let parts = making.laid_parts();
        let (_, axis, _, load) = parts[0].pattern.stems().next().unwrap();
        let sections = sections(&making, &parts[0], axis, load).unwrap();
        assert!((narrowest(&sections).width.to_mm() - 16.0).abs() < 0.2, "{:?}", narrowest(&sections));
        assert!(sections.iter().any(|it| it.width == Length::mm(40.0)));
    }

    #[test]
    fn along_the_grain_a_stem_holds_and_across_it_both_rules_fire() {
        let mut brief = brief();
        let quiet = routed(&brief);
        assert!(told(&quiet, "stem across the grain").is_empty());
        assert!(told(&quiet, "stem too weak").is_empty());
        brief.pieces[0].face.grain = GrainField::straight(Angle::degrees(90.0));
        let route = routed(&brief);
        assert_eq!(told(&route, "stem across the grain").len(), 1);
        let [finding] = told(&route, "stem too weak")[..] else { panic!("{:?}", route.findings) };
        // Hankinson at 90° is the strength across: 0.047 of 100.7 MPa for walnut
        // (Wood Handbook table 5-3: 14,600 psi), over 2.033 MPa: 2.3.
        let walnut = brief.facts().wood(&brief.pieces[0].species).unwrap();
        let factor = walnut.bending().value.to_mpa() * BENDING_ACROSS / 2.033;
        assert_eq!(finding.figure.value, format!("{factor:.1}"));
        assert_eq!(finding.figure.value, "2.3");
        // 19 mm · √(4 / 2.3) is more than the slab has: no thickness is offered.
        assert!(finding.mendings.iter().all(|it| it.change.is_none()), "{:?}", finding.mendings);
    }

    #[test]
    fn grain_a_little_off_is_silent_and_a_pinned_stem_can_be_freed() {
        let mut brief = brief();
        brief.pieces[0].face.grain = GrainField::straight(Angle::degrees(-14.0));
        assert!(told(&routed(&brief), "stem across the grain").is_empty());
        brief.pieces[0].face.grain = GrainField::straight(Angle::degrees(-16.0));
        let mut layout = layout(&brief);
        layout.placements[0].pinned = true;
        let route = route(&brief, &layout);
        let [finding] = told(&route, "stem across the grain")[..] else { panic!() };
        assert_eq!((finding.figure.value.as_str(), finding.limit.as_str()), ("16°", "15°"));
        assert!(matches!(finding.mendings[0].change, Some(Change::Unpin { .. })));
    }

    #[test]
    fn a_thin_stem_is_told_and_offered_a_thickness_that_then_holds() {
        let mut brief = brief();
        brief.job.wants[0].thickness = Length::mm(5.0);
        let route = routed(&brief);
        let [finding] = told(&route, "stem too weak")[..] else { panic!() };
        let Some(Change::Thickness { to, .. }) = finding.mendings[0].change else { panic!() };
        brief.job.wants[0].thickness = to;
        assert!(told(&routed(&brief), "stem too weak").is_empty());
    }

    #[test]
    fn faults_are_told_where_they_lie_and_sapwood_is_not() {
        let mut brief = brief();
        let mut zone = Zone {
            id: ZoneId(1),
            kind: ZoneKind::Sapwood,
            area: ring(&[[100.0, 100.0], [130.0, 100.0], [130.0, 120.0], [100.0, 120.0]]),
            through: false,
            note: String::new(),
        };
        brief.pieces[0].face.zones = vec![zone.clone()];
        assert!(told(&routed(&brief), "fault in the part").is_empty());
        zone.kind = ZoneKind::Knot;
        brief.pieces[0].face.zones = vec![zone];
        let route = routed(&brief);
        let [finding] = told(&route, "fault in the part")[..] else { panic!("{:?}", route.findings) };
        assert_eq!(finding.figure.value, "0.9 sq in", "30 by 20 mm");
        brief.job.choices.allowed_zones = vec![ZoneKind::Knot];
        assert!(told(&routed(&brief), "fault in the part").is_empty());
        let area = ring(&[[20.0, 20.0], [280.0, 20.0], [280.0, 180.0], [20.0, 180.0]]);
        let food = stock::Feature { id: FeatureId(9), kind: FeatureKind::FoodArea { area } };
        brief.patterns[0].features.push(food);
        let route = routed(&brief);
        assert_eq!(told(&route, "fault in the food area").len(), 1);
        assert!(told(&route, "fault in the part").is_empty());
    }
}

//! Hollowing: a recess with a flat floor and sloping walls.

mod recess;

use std::collections::{BTreeMap, BTreeSet};

use measure::{Area, Figure, Length, Minutes, Problem, Units};
use outline::{Point, Ring};
use stock::{Change, FeatureId, Finding, Grade, Mending, PartKey, PatternId, WantId};

use crate::hold;
use crate::hollow::recess::Recess;
use crate::machining;
use crate::making::{Laid, Making};
use crate::{Machine, Operation, OperationKind};

// Rates of hands (common practice, no source).
const TEMPLATE: Minutes = Minutes::minutes(30.0);
const PASS_PER_M2: Minutes = Minutes::minutes(90.0);
const WALL_PER_M: Minutes = Minutes::minutes(15.0);

/// A router takes no more at once (common practice, no source).
const PASS: Length = Length::inches(1.0 / 8.0);

/// Left below a hollow, and between it and the edge (common practice, no source).
const LEAST_FLOOR: Length = Length::mm(6.0);
const LEAST_RIM: Length = Length::mm(10.0);

/// One hollow of one part.
struct Hollow<'a> {
    id: FeatureId,
    area: &'a Ring,
    depth: Length,
    rim: Length,
    recess: Recess,
}

/// The hollows of one part.
pub(crate) struct Hollowed<'a> {
    part: &'a Laid<'a>,
    hollows: Vec<Hollow<'a>>,
    // Whether its face has its thickness when it is sawn out.
    to_thickness: bool,
}

/// Looks at every hollow, and answers with the parts that have any.
pub(crate) fn looked_at<'a>(making: &mut Making, parts: &'a [Laid<'a>]) -> Vec<Hollowed<'a>> {
    let mut known: BTreeMap<(PatternId, FeatureId), Result<(Recess, Length), Problem>> = BTreeMap::new();
    let mut told: BTreeSet<(WantId, FeatureId)> = BTreeSet::new();
    let mut found = Vec::new();
    for part in parts {
        let mut hollows = Vec::new();
        for (id, area, depth, wall) in part.pattern.hollows() {
            let worked_out = known
                .entry((part.pattern.id, id))
                .or_insert_with(|| Recess::of(area, depth, wall).map(|it| (it, rim(part, area))));
            let first = told.insert((part.want.id, id));
            match worked_out {
                Ok((recess, rim)) => {
                    let hollow = Hollow { id, area, depth, rim: *rim, recess: *recess };
                    if first {
                        check(making, part, &hollow);
                    }
                    hollows.push(hollow);
                }
                Err(problem) if first => {
                    making.cannot(part.spot(part.placement.place.point(area.centroid())), problem);
                }
                Err(_) => {}
            }
        }
        if !hollows.is_empty() {
            let to_thickness = !machining::is_thin(making, part, parts);
            found.push(Hollowed { part, hollows, to_thickness });
        }
    }
    found
}

/// What the hollows of a part take off its face, and their floors and walls.
pub(crate) fn mouths_and_skins(all: &[Hollowed], part: PartKey) -> (Area, Area) {
    let own = all.iter().filter(|it| it.part.key == part).flat_map(|it| &it.hollows);
    own.map(|it| (it.recess.mouth, it.recess.skin()))
        .fold((Area::ZERO, Area::ZERO), |(mouths, skins), (mouth, skin)| (mouths + mouth, skins + skin))
}

/// Hollows the parts whose face has their thickness, while it is still square
/// and easy to hold.
pub(crate) fn in_faces(making: &mut Making, parts: &[Hollowed]) {
    for it in parts.iter().filter(|it| it.to_thickness) {
        let operation = hollowing(making, it);
        making.add(operation);
    }
}

/// Hollows the parts that were planed thinner than their face. They share it
/// with thicker ones, so it cannot be planed for them before they are sawn out,
/// and a hollow made before would lose depth to the planer.
pub(crate) fn in_thin_parts(making: &mut Making, parts: &[Hollowed]) {
    for it in parts.iter().filter(|it| !it.to_thickness) {
        let operation = hollowing(making, it);
        making.add(operation);
    }
}

/// The least wood between a hollow's rim and the part's lines; below zero if
/// the rim runs over them.
fn rim(part: &Laid, area: &Ring) -> Length {
    let outline = &part.pattern.outline;
    let near = |line: &Ring| {
        let there = area.corners().iter().map(|&it| line.distance(it));
        let back = line.corners().iter().map(|&it| area.distance(it));
        there.chain(back).reduce(Length::min)
    };
    let least = outline.rings().filter_map(near).reduce(Length::min).unwrap_or(Length::ZERO);
    let outside = area.corners().iter().filter(|&&it| !outline.contains(it));
    let over = outside.map(|&it| outline.outer().distance(it)).reduce(Length::max);
    over.map_or(least, |over| -over)
}

fn check(making: &mut Making, part: &Laid, hollow: &Hollow) {
    let at = part.placement.place.point(hollow.area.centroid());
    let floor = part.want.thickness - hollow.recess.depth;
    if floor < LEAST_FLOOR {
        let finding = thin_floor(making, part, hollow, floor, at);
        making.find(finding);
    }
    if hollow.rim < LEAST_RIM {
        let finding = thin_rim(making, part, hollow, at);
        making.find(finding);
    }
    if hollow.recess.falls_short() {
        let finding = too_narrow(making, part, hollow, at);
        making.find(finding);
    }
}

fn less_deep(units: Units, part: &Laid, hollow: &Hollow, to: Length) -> Option<Mending> {
    let change = Change::Depth { pattern: part.pattern.id, feature: hollow.id, to };
    (to > Length::ZERO).then(|| Mending::by(change, format!("make the hollow {} deep", units.length(to))))
}

fn thin_floor(making: &Making, part: &Laid, hollow: &Hollow, floor: Length, at: Point) -> Finding {
    let units = making.units();
    let mut mendings: Vec<Mending> =
        less_deep(units, part, hollow, part.want.thickness - LEAST_FLOOR).into_iter().collect();
    let to = hollow.recess.depth + LEAST_FLOOR;
    let label = format!("make {} {} thick", part.pattern.name, units.length(to));
    match hold::thickest(making, part) {
        Some(most) if to <= most => {
            mendings.push(Mending::by(Change::Thickness { want: part.want.id, to }, label));
        }
        _ => mendings.push(Mending::by_hand(format!("{label}, out of thicker wood"))),
    }
    Finding {
        grade: if floor <= Length::ZERO { Grade::Stop } else { Grade::Mend },
        rule: "floor too thin".to_owned(),
        what: if floor <= Length::ZERO {
            format!("the hollow of {} goes through its floor", part.name)
        } else {
            format!("the hollow of {} leaves a floor of {}", part.name, units.length(floor))
        },
        spot: part.spot(at),
        figure: floor_figure(units, part, hollow),
        limit: units.length(LEAST_FLOOR),
        why: "a thin floor breaks under a knife, warps, and lets the router through".to_owned(),
        mendings,
    }
}

fn floor_figure(units: Units, part: &Laid, hollow: &Hollow) -> Figure {
    Figure::new("floor left", units.length(part.want.thickness - hollow.recess.depth))
        .by("finished thickness - depth", "common practice, no source")
        .from("finished thickness", units.length(part.want.thickness))
        .from("depth", units.length(hollow.recess.depth))
}

fn rim_figure(units: Units, hollow: &Hollow) -> Figure {
    Figure::new("rim left", units.length(hollow.rim))
        .by("least distance from the hollow's rim to the part's lines", "measured on the pattern")
        .from("way round the rim", units.length(hollow.recess.around))
}

fn thin_rim(making: &Making, part: &Laid, hollow: &Hollow, at: Point) -> Finding {
    let units = making.units();
    Finding {
        grade: if hollow.rim <= Length::ZERO { Grade::Stop } else { Grade::Mend },
        rule: "rim too thin".to_owned(),
        what: format!("the hollow of {} leaves a rim of {}", part.name, units.length(hollow.rim)),
        spot: part.spot(at),
        figure: rim_figure(units, hollow),
        limit: units.length(LEAST_RIM),
        why: "a thin rim splits off along the grain".to_owned(),
        mendings: vec![Mending::by_hand(format!(
            "draw the hollow {} smaller all round",
            units.length(LEAST_RIM - hollow.rim)
        ))],
    }
}

fn too_narrow(making: &Making, part: &Laid, hollow: &Hollow, at: Point) -> Finding {
    let units = making.units();
    let recess = &hollow.recess;
    let mut mendings: Vec<Mending> = less_deep(units, part, hollow, recess.depth).into_iter().collect();
    mendings.push(Mending::by_hand("make its walls steeper or its rim wider"));
    Finding {
        grade: Grade::Mend,
        rule: "hollow too narrow for its depth".to_owned(),
        what: format!(
            "the walls of the hollow of {} meet at {}, before its {}",
            part.name,
            units.length(recess.depth),
            units.length(hollow.depth)
        ),
        spot: part.spot(at),
        figure: Figure::new("depth where the walls meet", units.length(recess.depth))
            .by("inset of the rim by depth / tan(wall) until nothing is left", "geometry of offset lines")
            .from("wall", format!("{:.0}°", recess.wall.to_degrees()))
            .from("area at the rim", units.area(recess.mouth)),
        limit: units.length(hollow.depth),
        why: "what is drawn cannot be cut".to_owned(),
        mendings,
    }
}

fn hollowing(making: &Making, it: &Hollowed) -> Operation {
    let (units, part) = (making.units(), it.part);
    let mut operation = if it.to_thickness { in_face(making, part) } else { in_part(part) }
        .at(Machine::Router)
        .taking(TEMPLATE)
        .minding(["first", "router", "eyes_ears_lungs", "no_gloves", "dust"]);
    for hollow in &it.hollows {
        operation = one(units, operation, part, hollow);
    }
    operation.step("Smooth floor and walls with a curved scraper")
}

fn in_face(making: &Making, part: &Laid) -> Operation {
    let face = making.brief.face_name(part.placement.face);
    let mut operation =
        Operation::begin(OperationKind::Hollow, format!("Draw {} on {face} and hollow it", part.name))
            .working_on(vec![part.blank()])
            .step(
                "Draw the outline on the face, as the layout drawing shows, and the rim of the hollow in it",
            )
            .step("Make a template for the rim from sheet stock and fix it to the rim with double-sided tape")
            .step(format!("Clamp {face} to the bench at its ends, outside of the router's way"));
    operation.cautions.push("No clamp or screw where the router's base or the saw will run".to_owned());
    operation
}

fn in_part(part: &Laid) -> Operation {
    let mut operation = Operation::begin(OperationKind::Hollow, format!("Hollow {}", part.name))
        .working_on(vec![part.workpiece()])
        .step("Make a template for the rim from sheet stock and fix it over the part with double-sided tape")
        .step("Lay the part in a frame of its own thickness, screwed to the bench, and wedge it tight");
    operation.cautions.push("A sawn part slips more easily than a square blank: pull at it first".to_owned());
    operation
}

fn one(units: Units, operation: Operation, part: &Laid, hollow: &Hollow) -> Operation {
    let recess = &hollow.recess;
    let passes = passes(recess.depth);
    let volume = Figure::new("wood taken out", format!("{:.0} ml", recess.volume.to_litres() * 1000.0))
        .by(
            "area inside the rim, inset by depth / tan(wall), summed over the depth",
            "Simpson's rule over offset lines",
        )
        .from("area at the rim", units.area(recess.mouth))
        .from("area of the floor", units.area(recess.floor))
        .from("depth", units.length(recess.depth))
        .from("wall", format!("{:.0}°", recess.wall.to_degrees()));
    operation
        .taking(PASS_PER_M2 * recess.mouth.to_m2() * passes)
        .taking(WALL_PER_M * (recess.around.to_mm() / 1000.0))
        .set(&format!("depth of hollow {}", hollow.id), units.length(recess.depth))
        .set("walls", format!("{:.0}°, from the face downward", recess.wall.to_degrees()))
        .set("passes", format!("{passes:.0}, {} each at most", units.length(PASS)))
        .step(format!(
            "Rout hollow {} in {passes:.0} passes down to {}, from the middle outward",
            hollow.id,
            units.length(recess.depth)
        ))
        .figure(volume)
        .figure(floor_figure(units, part, hollow))
        .figure(rim_figure(units, hollow))
}

fn passes(depth: Length) -> f64 {
    (depth / PASS).ceil().max(1.0)
}

#[cfg(test)]
mod tests {
    use measure::Angle;
    use stock::{Feature, FeatureKind};

    use super::*;
    use crate::Workpiece;
    use crate::fixture::{STRIPED, brief, disc, layout, of_kind, routed, told};

    fn with(radius: f64, depth: f64) -> stock::Brief {
        let mut brief = brief();
        let area = disc(Point::new(190.0, 110.0), radius, 180);
        let kind = FeatureKind::Hollow { area, depth: Length::mm(depth), wall: Angle::degrees(45.0) };
        brief.patterns[1].features = vec![Feature { id: FeatureId(7), kind }];
        brief
    }

    #[test]
    fn a_hollow_that_leaves_floor_and_rim_is_silent_and_made_in_passes() {
        let route = routed(&with(90.0, 10.0));
        for rule in ["floor too thin", "rim too thin", "hollow too narrow for its depth"] {
            assert!(told(&route, rule).is_empty(), "{rule}");
        }
        let hollowed = of_kind(&route, OperationKind::Hollow);
        assert_eq!(hollowed.len(), 1);
        assert_eq!(hollowed[0].inputs, vec![Workpiece::Panel(STRIPED)], "before it is sawn");
        let passes = hollowed[0].set_up.iter().find(|it| it.label == "passes").unwrap();
        assert_eq!(passes.value, "4, 1/8 in each at most", "10 mm by eighths of an inch");
        // π h/3 (R² + R r + r²), R = 90, r = 80: 227.2 cm³.
        assert_eq!(hollowed[0].figures[0].value, "227 ml");
    }

    #[test]
    fn a_part_thinner_than_its_face_is_hollowed_after_it_is_planed() {
        let mut brief = with(90.0, 4.0);
        let mut thin = brief.job.wants[1].clone();
        (thin.id, thin.thickness) = (WantId(3), Length::mm(12.0));
        brief.job.wants.push(thin);
        let mut layout = layout(&brief);
        let mut second = layout.placements[1].clone();
        second.part.want = WantId(3);
        layout.placements.push(second);
        let route = crate::route(&brief, &layout);
        let [thick, thin] = of_kind(&route, OperationKind::Hollow)[..] else { panic!() };
        let first_saw = of_kind(&route, OperationKind::Saw)[0].id;
        let last_plane = of_kind(&route, OperationKind::Plane).last().unwrap().id;
        assert!(thick.id < first_saw && first_saw < last_plane && thin.after == vec![last_plane]);
        let sawn = of_kind(&route, OperationKind::Saw);
        let from_panel: Vec<_> = sawn.iter().filter(|it| it.inputs == thick.inputs).collect();
        assert!(from_panel.len() == 2 && from_panel[0].after.contains(&thick.id));
        assert!(from_panel[1].after.contains(&from_panel[0].id), "one after the other, as the cuts go");
    }

    #[test]
    fn floor_and_rim_are_told_and_the_offered_depth_mends_it() {
        let mut brief = with(105.0, 14.0);
        let route = routed(&brief);
        let [finding] = told(&route, "floor too thin")[..] else { panic!("{:?}", route.findings) };
        assert_eq!((finding.figure.value.as_str(), finding.limit.as_str()), ("3/16 in", "1/4 in"));
        let Some(Change::Depth { to, .. }) = finding.mendings[0].change else { panic!() };
        // A floor of 6 mm under 14 mm takes 20 mm, of a panel that leaves 19.5.
        assert_eq!(finding.mendings[1].change, None, "no thickness that the wood has not");
        assert_eq!(told(&route, "rim too thin").len(), 1, "110 - 105 mm are left");
        if let FeatureKind::Hollow { depth, .. } = &mut brief.patterns[1].features[0].kind {
            *depth = to;
        }
        assert!(told(&routed(&brief), "floor too thin").is_empty());
        assert_eq!(told(&routed(&with(90.0, 25.0)), "floor too thin")[0].grade, Grade::Stop);
    }

    #[test]
    fn walls_that_meet_too_soon_are_told() {
        let mut brief = with(5.0, 9.0);
        let route = routed(&brief);
        assert_eq!(told(&route, "hollow too narrow for its depth").len(), 1);
        brief.patterns[1].features[0].kind = FeatureKind::Hollow {
            area: disc(Point::new(190.0, 110.0), 5.0, 36),
            depth: Length::mm(-1.0),
            wall: Angle::degrees(45.0),
        };
        assert_eq!(told(&routed(&brief), "cannot be worked out").len(), 1);
    }
}

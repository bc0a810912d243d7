//! Sawing to the outline: which blade, how it is set, what it cannot follow.

mod blade;
mod checks;
mod corner;
mod follow;
mod reach;

use std::collections::BTreeMap;

use measure::{Figure, Length, Minutes, System, Units};
use outline::{Point, hull};
use stock::{BladeId, FaceKey, PatternId};

use crate::hold;
use crate::machining::{counted, thickness_when_sawn};
use crate::making::{Laid, Making};
use crate::saw::follow::{Choice, OFF_THE_LINE, Tight, Way, choose};
use crate::{Machine, Mark, MarkKind, Operation, OperationKind};

// Rates of hands (common practice, no source): hardwood an inch thick, along a
// curve, by hand about 0.3 m in a minute, with the guiding and looking twice that.
const SET_UP: Minutes = Minutes::minutes(5.0);
const BLADE_CHANGE: Minutes = Minutes::minutes(12.0);
const PER_M: Minutes = Minutes::minutes(6.0);
const EACH_RUN_OUT: Minutes = Minutes::minutes(1.5);
const EACH_HOLE: Minutes = Minutes::minutes(3.0);
const EACH_TRIM: Minutes = Minutes::minutes(1.5);
const EACH_OPENING: Minutes = Minutes::minutes(20.0);

/// The guide stands so far above the work (common practice, no source).
const GUIDE_ABOVE: Length = Length::inches(0.25);

/// A blade is tight enough if its push from the side, midway between guide and
/// table, moves it no farther than this (common practice, no source).
const TENSION_GIVE: Length = Length::inches(1.0 / 16.0);

/// With the guide raised so far: the same push moves a longer span more, so the
/// test says nothing without it (derived: at 6 in about 25,000 psi in the blade).
const TENSION_SPAN: Length = Length::inches(6.0);

/// From one relief cut to the next: a rigid blade clears no more waste than
/// this behind its teeth (derived from its width and kerf).
const RELIEF_EVERY: Length = Length::inches(1.0 / 8.0);

/// Saws every part out of its face.
pub(crate) fn parts(making: &mut Making, parts: &[Laid]) {
    let mut choices: BTreeMap<PatternId, Choice> = BTreeMap::new();
    let mut hulls: BTreeMap<FaceKey, Vec<Point>> = BTreeMap::new();
    let mut mounted: Option<BladeId> = None;
    for part in parts {
        let brief = making.brief;
        let choice = &*choices.entry(part.pattern.id).or_insert_with(|| {
            let choice = choose(brief, part.pattern);
            checks::pattern(making, part, &choice);
            choice
        });
        let face = part.placement.face;
        let wood = hulls.entry(face).or_insert_with(|| {
            let corners = brief.face(face).map(|it| it.outline.outer().corners().to_vec());
            hull(corners.unwrap_or_default())
        });
        let thickness = thickness_when_sawn(making, part, parts);
        let freed = reach::check(making, part, wood, thickness);
        drill_corners(making, part, choice);
        let change = choice.blade.is_some_and(|it| mounted != Some(it.id));
        mounted = choice.blade.map_or(mounted, |it| Some(it.id));
        let operation = sawing(making, part, choice, thickness, freed);
        let operation = if change { mounting(operation) } else { operation };
        making.add(operation);
    }
}

/// Holes in the waste at the inside corners that the blade cannot follow.
fn drill_corners(making: &mut Making, part: &Laid, choice: &Choice) {
    let units = making.units();
    let hole = |it: &Tight| match it.way {
        Way::Hole(diameter) => {
            let at = corner::middle(&part.pattern.outline, it.at, diameter);
            Some(Mark { part: part.key, at, diameter, is: MarkKind::Corner })
        }
        Way::RunOut | Way::Relief => None,
    };
    let holes: Vec<Mark> = choice.tight.iter().filter_map(hole).collect();
    if holes.is_empty() {
        return;
    }
    let face = making.brief.face_name(part.placement.face);
    let title = format!("Draw {} on {face} and drill its inside corners", part.name);
    let mut operation = Operation::begin(OperationKind::Drill, title)
        .working_on(vec![part.blank()])
        .at(Machine::DrillPress)
        .taking(SET_UP + EACH_HOLE * holes.len() as f64)
        .step(TEMPLATE)
        .minding(["first", "drill_press", "blade_change", "eyes_ears_lungs", "no_gloves"]);
    for (index, hole) in holes.iter().enumerate() {
        let wide = units.length(hole.diameter);
        operation = operation.set(&format!("hole {}", index + 1), wide.clone()).step(format!(
            "Hole {}: {wide}, in the waste, so that it just touches the line on both sides",
            index + 1
        ));
    }
    operation.marks = holes;
    making.add(operation);
}

const LIVE_EDGE: &str = "Leave the wood's own edge as it is: saw up to it and out; pry off what bark is loose, and brush \
     along the edge until nothing crumbles";

const TEMPLATE: &str = "Lay the template on the face as the layout drawing shows and draw round it";

fn sawing(making: &Making, part: &Laid, choice: &Choice, thickness: Length, freed: bool) -> Operation {
    let units = making.units();
    let title = format!("Saw {} out of {}", part.name, making.brief.face_name(part.placement.face));
    let around = part.placement.outline.outer().perimeter();
    let run_outs = choice.tight.iter().filter(|it| it.way == Way::RunOut).count();
    let openings = part.placement.outline.openings().len();
    let mut operation = Operation::begin(OperationKind::Saw, title)
        .turning(vec![part.blank()], vec![part.workpiece()])
        .at(Machine::Bandsaw)
        .taking(SET_UP + PER_M * (around.to_mm() / 1000.0))
        .taking(EACH_RUN_OUT * run_outs as f64 + EACH_OPENING * openings as f64)
        .minding(["first", "bandsaw", "blade_change", "eyes_ears_lungs", "no_gloves"]);
    operation = set_up(making, operation, choice, thickness);
    operation = operation.step(TEMPLATE);
    if freed {
        operation = operation.taking(EACH_TRIM * 4.0).step(
            "Saw the blank free with straight cuts, a hand's breadth off the line, so that it clears the column",
        );
    }
    operation = order_of_cuts(making, operation, choice, openings);
    if part.pattern.has_live_edge() {
        operation = operation.step(LIVE_EDGE);
    }
    if let (Some(blade), Some(bend)) = (choice.blade, choice.inside) {
        operation = operation.figure(bend_figure(making, "tightest inside bend", &bend, blade.kerf));
    }
    if let (Some(blade), Some(bend)) = (choice.blade, choice.outside) {
        operation = operation.figure(bend_figure(making, "tightest outside bend", &bend, blade.kerf));
    }
    if let Some(blade) = choice.blade {
        operation = operation.figure(blade::figure(blade, units));
    }
    operation.figures.extend(hold::figures(making, part));
    operation
}

fn mounting(mut operation: Operation) -> Operation {
    operation = operation.taking(BLADE_CHANGE);
    let text = "Power off: put the blade on, track it, set guides just clear behind the gullets and the bearing just clear of the back, above and below";
    operation.steps.insert(0, crate::Step { text: text.to_owned(), timer: None });
    operation
        .steps
        .push(crate::Step { text: "Take the tension off at the end of the day".to_owned(), timer: None });
    operation
}

fn set_up(making: &Making, operation: Operation, choice: &Choice, thickness: Length) -> Operation {
    let units = making.units();
    let saw = &making.brief.kit.bandsaw;
    let guide = thickness + GUIDE_ABOVE;
    let span = TENSION_SPAN.min(saw.height);
    let operation = match choice.blade {
        Some(blade) => operation
            .set("blade", format!("{}, {} teeth per inch", units.length(blade.width), blade.teeth_per_inch))
            .set("kerf", units.fine_length(blade.kerf))
            .set(
                "tension",
                format!(
                    "{} from the side, midway, guide raised to {}, moves it {} at most; \
                     never more than the blade's maker says",
                    units.force(blade::push(blade)),
                    units.length(span),
                    units.length(TENSION_GIVE)
                ),
            ),
        None => operation.set("blade", "none in the shop: a narrow one"),
    };
    operation
        .set("guide above the table", units.length(guide))
        .set("guides", "just clear of the blade, behind the gullets; bearing just clear of the back")
        .set("speed", speed(units, saw.speed_fpm))
        .set("off the line", format!("{}, left for the sander", units.length(OFF_THE_LINE)))
}

fn speed(units: Units, feet_per_minute: u32) -> String {
    match units.system {
        System::Inches => format!("{feet_per_minute} ft/min"),
        System::Millimetres => format!("{:.0} m/min", f64::from(feet_per_minute) * 0.3048),
    }
}

/// The cuts in order, the way out of each before its way in.
fn order_of_cuts(making: &Making, operation: Operation, choice: &Choice, openings: usize) -> Operation {
    let units = making.units();
    let of_way = |wanted: fn(&Way) -> bool| choice.tight.iter().filter(|it| wanted(&it.way)).count();
    let outs = of_way(|it| matches!(it, Way::RunOut));
    let holes = of_way(|it| matches!(it, Way::Hole(_)));
    let reliefs = of_way(|it| matches!(it, Way::Relief));
    let mut operation = operation;
    if reliefs > 0 {
        operation = operation.step(format!(
            "Saw relief cuts square to the line at {}, {} apart, stopping short of the line",
            counted(reliefs as u32, "inside bend"),
            units.length(RELIEF_EVERY)
        ));
    }
    if holes > 0 {
        operation = operation.step(format!(
            "Saw from the edge into each drilled hole first, {} in all: the way out of every long cut ends there",
            counted(holes as u32, "hole")
        ));
    }
    operation = if outs > 0 {
        operation.step(format!(
            "{}: the way out of each cut runs straight on through the edge, the way in of the next comes along the other side",
            counted(outs as u32, "outside corner")
        ))
    } else {
        operation.step(
            "Way out first: the cut ends in its own beginning and the ring of waste falls off; way in: from the nearest edge, running into the line at a slant",
        )
    };
    operation = operation.step(format!(
        "Saw on the waste side, {} off the line, in one go; stop the saw before you ever back out",
        units.length(OFF_THE_LINE)
    ));
    if openings > 0 {
        operation = operation.step(format!(
            "{}: drill a starting hole in each and saw it with a coping saw or jig saw",
            counted(openings as u32, "opening")
        ));
    }
    operation
}

fn bend_figure(making: &Making, name: &str, bend: &outline::Bend, kerf: Length) -> Figure {
    let units = making.units();
    Figure::new(name, units.length(bend.radius))
        .by("circle that fits the line there best", "Taubin's fit (1991), sharp corners left out")
        .from("the blade's own way", units.length(follow::path_radius(bend, kerf)))
        .from("off the line", units.length(OFF_THE_LINE))
        .from("kerf", units.fine_length(kerf))
}

#[cfg(test)]
mod tests {
    use outline::{Family, Outline};
    use stock::Change;

    use super::*;
    use crate::fixture::{BOARD, brief, of_kind, routed, told};

    /// The second blade is 1/4 in wide, the third 3/8 in, the fourth 3/4 in.
    fn blade_for(outline: Outline) -> (BladeId, Vec<Way>) {
        let mut brief = brief();
        brief.patterns[1].outline = outline;
        let choice = choose(&brief, &brief.patterns[1]);
        (choice.blade.unwrap().id, choice.tight.iter().map(|it| it.way).collect())
    }

    fn handled(neck: f64) -> Outline {
        let family = Family::Handled {
            length: Length::inches(18.0),
            width: Length::inches(9.0),
            corner: Length::inches(neck),
            handle_length: Length::inches(5.0),
            handle_width: Length::inches(1.75),
            neck: Length::inches(neck),
        };
        family.outline().unwrap()
    }

    #[test]
    fn the_widest_blade_that_follows_is_chosen() {
        // Common practice, no source: a wide blade for straight and gentle lines,
        // 3/8 in for gentle curves, 1/4 in for tight ones.
        let round = |inches: f64| Family::Round { diameter: Length::inches(inches) }.outline().unwrap();
        assert_eq!(blade_for(round(16.0)).0, BladeId(4), "8 in of radius: 3/4 in turns 5 7/16");
        assert_eq!(blade_for(round(10.0)).0, BladeId(3), "5 in: 3/8 in turns 1 7/16");
        assert_eq!(blade_for(round(2.5)).0, BladeId(2), "1 1/4 in: 1/4 in turns 5/8");
        let (blade, tight) = blade_for(round(16.0));
        assert!(tight.is_empty(), "{blade:?} {tight:?}");
    }

    #[test]
    fn inside_bends_count_for_less_and_outside_bends_for_more() {
        // Off the line by 1/16 in and half a kerf of 0.042: an inside radius of 5/8
        // in leaves the blade 0.54 in, less than 1/4 in turns; 3/4 in leaves 0.67.
        assert_eq!(blade_for(handled(0.75)).0, BladeId(2));
        assert_eq!(blade_for(handled(0.625)).0, BladeId(1));
    }

    #[test]
    fn inside_corners_get_a_hole_and_outside_corners_a_way_out() {
        let brief = brief();
        let choice = choose(&brief, &brief.patterns[0]);
        let holes = choice.tight.iter().filter(|it| matches!(it.way, Way::Hole(_))).count();
        let outs = choice.tight.iter().filter(|it| it.way == Way::RunOut).count();
        assert_eq!((holes, outs), (2, 6));
        let route = routed(&brief);
        assert_eq!(told(&route, "inside corner").len(), 1);
        let drilled = of_kind(&route, OperationKind::Drill);
        assert_eq!(drilled.len(), 1);
        let sawn = of_kind(&route, OperationKind::Saw);
        assert!(sawn[0].after.contains(&drilled[0].id));
    }

    #[test]
    fn a_chosen_blade_stays_chosen_and_is_told_if_it_cannot_turn() {
        let mut brief = brief();
        brief.patterns[1].outline = handled(0.75);
        assert!(told(&routed(&brief), "curve tighter than the blade").is_empty());
        brief.job.choices.blades.insert(BOARD, BladeId(3));
        let route = routed(&brief);
        let [finding] = told(&route, "curve tighter than the blade")[..] else { panic!() };
        assert_eq!(finding.mendings[0].change, Some(Change::Blade { pattern: BOARD, to: BladeId(2) }));
        let sawn = of_kind(&route, OperationKind::Saw);
        let blade = sawn[1].set_up.iter().find(|it| it.label == "blade").unwrap();
        assert_eq!(blade.value, "3/8 in, 4 teeth per inch");
        brief.kit.bandsaw.blades.clear();
        let route = routed(&brief);
        assert_eq!(told(&route, "no blade for the bandsaw").len(), 2);
        assert_eq!(of_kind(&route, OperationKind::Saw).len(), 2);
    }

    #[test]
    fn column_guide_and_openings_are_minded() {
        let mut brief = brief();
        let quiet = routed(&brief);
        for rule in ["work meets the column", "too thick for the bandsaw", "opening inside the part"] {
            assert!(told(&quiet, rule).is_empty(), "{rule}");
        }
        let guide = of_kind(&quiet, OperationKind::Saw)[0]
            .set_up
            .iter()
            .find(|it| it.label == "guide above the table");
        assert_eq!(guide.unwrap().value, "1 in", "19.5 mm and 1/4 in");
        brief.kit.bandsaw.throat = Length::mm(150.0);
        assert!(
            told(&routed(&brief), "work meets the column").is_empty(),
            "straight cuts free the blank first"
        );
        brief.kit.bandsaw.throat = Length::mm(30.0);
        brief.kit.bandsaw.height = Length::mm(15.0);
        let hole = crate::fixture::disc(Point::new(190.0, 110.0), 20.0, 60);
        let outer = brief.patterns[1].outline.outer().clone();
        brief.patterns[1].outline = Outline::new(outer, vec![hole]).unwrap();
        let route = routed(&brief);
        assert_eq!(told(&route, "work meets the column").len(), 1, "beside the handle the blank stands out");
        assert_eq!(told(&route, "too thick for the bandsaw").len(), 2);
        assert_eq!(told(&route, "opening inside the part").len(), 1);
    }
}

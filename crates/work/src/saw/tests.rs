//! What becomes of the invented shop's parts at the bandsaw.

use outline::{Family, Outline};
use stock::{Change, OwnCut, SawLeg};

use super::*;
use crate::Route;
use crate::fixture::{BOARD, PADDLE, SLAB, brief, disc, layout, of_kind, routed, told};

/// The blade of the board out of the panel: the second is 1/4 in wide, the third
/// 3/8 in, the fourth 3/4 in.
fn blade_for(outline: Outline, wish: SawWish) -> (BladeId, usize) {
    let mut brief = brief();
    brief.patterns[1].outline = outline;
    brief.job.choices.sawing = wish;
    // As thick as three teeth of the widest blade want it.
    brief.kit.bandsaw.blades.iter_mut().for_each(|it| it.teeth_per_inch = 6.0);
    let (layout, key) = (layout(&brief), brief.job.wants[1].id);
    let sawn = SawnFaces::of(&brief, &layout);
    let part = PartKey { want: key, copy: 1 };
    let sheet = sawn.0.iter().filter_map(|it| it.sheet.as_ref()).find(|it| blade_of(it, part).is_some());
    let sheet = sheet.expect("cuts for the board");
    (blade_of(sheet, part).expect("a blade"), pivots(sheet, part).count())
}

fn round(inches: f64) -> Outline {
    Family::Round { diameter: Length::inches(inches) }.outline().unwrap()
}

fn handled(neck: f64) -> Outline {
    let family = Family::Handled {
        length: Length::inches(15.0),
        width: Length::inches(8.0),
        corner: Length::inches(1.5),
        handle_length: Length::inches(4.0),
        handle_width: Length::inches(1.75),
        neck: Length::inches(neck),
    };
    family.outline().unwrap()
}

fn sheet_of(route: &Route, face: FaceKey) -> &CutSheet {
    route.cut_sheets.iter().find(|it| it.plan.face == face).expect("a sheet")
}

#[test]
fn the_widest_blade_that_follows_is_chosen() {
    // Common practice, no source: a wide blade for straight and gentle lines,
    // 3/8 in for gentle curves, 1/4 in for tight ones.
    assert_eq!(blade_for(round(7.0), SawWish::Quick).0, BladeId(3), "3 1/2 in: 3/8 in turns 1 7/16");
    assert_eq!(blade_for(round(2.5), SawWish::Smooth).0, BladeId(2), "1 1/4 in: 1/4 in turns 5/8");
    assert_eq!(blade_for(round(7.0), SawWish::Smooth).0, BladeId(3));
}

#[test]
fn inside_bends_count_for_less_and_outside_bends_for_more() {
    // Off the line by 1/16 in and half a kerf of 0.042: an inside radius of 5/8 in
    // leaves the blade 0.54 in, less than 1/4 in turns; 3/4 in leaves 0.67.
    assert_eq!(blade_for(handled(0.75), SawWish::Smooth), (BladeId(2), 0));
    assert_eq!(blade_for(handled(0.5), SawWish::Smooth), (BladeId(1), 0));
}

#[test]
fn inside_corners_get_a_hole_that_the_blade_turns_in() {
    let brief = brief();
    let route = routed(&brief);
    assert_eq!(told(&route, "inside corner").len(), 1);
    let drilled = of_kind(&route, OperationKind::Drill);
    assert_eq!(drilled.len(), 1);
    assert_eq!(drilled[0].marks.len(), 2, "one on each side of the stem");
    let sawn = of_kind(&route, OperationKind::Saw);
    let paddle = sawn.iter().find(|it| it.title.contains("paddle")).unwrap();
    assert!(paddle.after.contains(&drilled[0].id));
    let sheet = sheet_of(&route, FaceKey::Piece(SLAB));
    let legs = sheet.plan.cuts.iter().flat_map(|it| &it.legs);
    assert_eq!(legs.filter(|it| matches!(it, SawLeg::Turned { .. })).count(), 2);
}

#[test]
fn every_cut_is_a_step_with_its_number_and_the_figures_of_the_judge() {
    let route = routed(&brief());
    assert_eq!(route.cut_sheets.len(), 2);
    for sheet in &route.cut_sheets {
        assert_eq!(sheet.cuts.len(), sheet.plan.cuts.len());
        let every = (1..=sheet.cuts.len() as u32).collect::<Vec<_>>();
        let of_face = of_kind(&route, OperationKind::Saw);
        let named = of_face.iter().filter(|it| it.inputs.contains(&blank_of(sheet.plan.face)));
        assert_eq!(named.flat_map(|it| it.cuts.clone()).collect::<Vec<_>>(), every);
        for left in &sheet.left {
            assert!(left.mean >= Length::mm(0.5) && left.most >= left.mean, "{left:?}");
        }
        let (throat, reach) = (sheet.throat, sheet.cuts.iter().map(|it| it.reach));
        assert!(reach.fold(Length::ZERO, Length::max) <= throat);
    }
    let sawn = of_kind(&route, OperationKind::Saw);
    assert!(sawn[0].steps.iter().any(|it| it.text.starts_with("Cut 1: ")), "{:?}", sawn[0].steps);
}

fn blank_of(face: FaceKey) -> crate::Workpiece {
    match face {
        FaceKey::Piece(id) => crate::Workpiece::Piece(id),
        FaceKey::Panel(id) => crate::Workpiece::Panel(id),
    }
}

#[test]
fn what_is_in_the_hands_is_all_of_the_wood_and_then_what_is_left_of_it() {
    let mut brief = brief();
    let face = FaceKey::Piece(SLAB);
    let wood = brief.face(face).unwrap().outline;
    let part = layout(&brief).placements.iter().find(|it| it.face == face).unwrap().outline.clone();
    let beside = part.bounds().high.x + 12.0;
    let (low, high) = (wood.bounds().low.y - 5.0, wood.bounds().high.y + 5.0);
    let way = vec![Point::new(beside, low), Point::new(beside, high)];
    brief.job.choices.own_cuts = vec![OwnCut { face, blade: None, way }];
    let route = routed(&brief);
    let cuts = &sheet_of(&route, face).cuts;
    let area = |it: &Outline| it.area().to_mm2();
    assert!((area(&cuts[0].held) / area(&wood) - 1.0).abs() < 1e-3, "all of it at first");
    assert!(cuts[1].held.bounds().high.x < beside, "then without what was sawn off");
    for pair in cuts.windows(2) {
        let fell: f64 = pair[0].falls.iter().map(|it| it.area.to_mm2()).sum();
        let left = area(&pair[1].held);
        assert!(left <= area(&pair[0].held) - fell + 1.0, "{left}");
        assert!(pair[1].held.contains(part.outer().corners()[0]));
    }
}

#[test]
fn a_blade_is_mounted_once_for_all_that_it_saws() {
    let mut brief = brief();
    brief.job.choices.sawing = SawWish::OneBlade;
    let route = routed(&brief);
    let mounts = |route: &Route| {
        let steps = route.operations.iter().flat_map(|it| &it.steps);
        steps.filter(|it| it.text.starts_with("Power off and locked")).count()
    };
    assert_eq!(mounts(&route), 1);
    let card = of_kind(&route, OperationKind::Saw)[0];
    let labels: Vec<&str> = card.set_up.iter().map(|it| it.label.as_str()).collect();
    for label in ["blade", "kerf", "teeth in the work", "tension", "guide above the table", "guides", "speed"]
    {
        assert!(labels.contains(&label), "{labels:?}");
    }
    assert!(card.steps.iter().any(|it| it.text.starts_with("Test cut")));
    assert!(card.steps.iter().any(|it| it.text.starts_with("Take the tension off")));
    assert!(!card.cautions.is_empty());
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
    let board = sawn.iter().find(|it| it.title.contains("board")).unwrap();
    let blade = board.set_up.iter().find(|it| it.label == "blade").unwrap();
    assert_eq!(blade.value, "3/8 in, 4 teeth per inch");
}

#[test]
fn without_a_blade_the_parts_are_sawn_by_hand_and_that_is_told() {
    let mut brief = brief();
    assert!(told(&routed(&brief), "no blade for the bandsaw").is_empty());
    brief.job.choices.blades_left = brief.kit.bandsaw.blades.iter().map(|it| it.id).collect();
    assert_eq!(told(&routed(&brief), "no blade for the bandsaw").len(), 2);
    brief.kit.bandsaw.blades.clear();
    let route = routed(&brief);
    assert_eq!(told(&route, "no blade for the bandsaw").len(), 2);
    let sawn = of_kind(&route, OperationKind::Saw);
    assert_eq!(sawn.len(), 2);
    assert!(sawn[0].steps.iter().any(|it| it.text.contains("jig saw or a bow saw")));
    assert!(route.cut_sheets.is_empty());
}

#[test]
fn column_guide_and_openings_are_minded() {
    let mut brief = brief();
    let quiet = routed(&brief);
    for rule in ["work meets the column", "too thick for the bandsaw", "opening inside the part"] {
        assert!(told(&quiet, rule).is_empty(), "{rule}");
    }
    let guide =
        of_kind(&quiet, OperationKind::Saw)[0].set_up.iter().find(|it| it.label == "guide above the table");
    assert_eq!(guide.unwrap().value, "1 in", "19.5 mm and 1/4 in");
    brief.kit.bandsaw.throat = Length::mm(150.0);
    let trimmed = routed(&brief);
    assert!(told(&trimmed, "work meets the column").is_empty(), "more cuts clear it");
    let cuts = |route: &Route| route.cut_sheets.iter().map(|it| it.plan.cuts.len()).sum::<usize>();
    assert!(cuts(&trimmed) > cuts(&quiet), "it takes more cuts");
    brief.kit.bandsaw.throat = Length::mm(8.0);
    brief.kit.bandsaw.height = Length::mm(15.0);
    let hole = disc(Point::new(190.0, 110.0), 20.0, 60);
    let outer = brief.patterns[1].outline.outer().clone();
    brief.patterns[1].outline = Outline::new(outer, vec![hole]).unwrap();
    let route = routed(&brief);
    assert!(!told(&route, "work meets the column").is_empty());
    assert_eq!(told(&route, "too thick for the bandsaw").len(), 2);
    assert_eq!(told(&route, "opening inside the part").len(), 1);
}

#[test]
fn an_opening_is_begun_in_a_hole_that_is_drilled_and_marked() {
    let mut brief = brief();
    let starts = |route: &Route| -> Vec<Mark> {
        let drilled = of_kind(route, OperationKind::Drill);
        drilled.iter().flat_map(|it| it.marks.clone()).filter(|it| it.is == MarkKind::Start).collect()
    };
    assert_eq!(starts(&routed(&brief)), []);
    let opening = disc(Point::new(190.0, 110.0), 20.0, 60);
    let outer = brief.patterns[1].outline.outer().clone();
    brief.patterns[1].outline = Outline::new(outer, vec![opening.clone()]).unwrap();
    let route = routed(&brief);
    let [start] = &starts(&route)[..] else { panic!("one starting hole") };
    assert_eq!(start.diameter, cuts::JIG_SAW_HOLE);
    let off = opening.distance(start.at) - start.diameter / 2.0;
    assert!(opening.contains(start.at) && off >= OFF_THE_LINE, "{off:?}");
    let sawn = of_kind(&route, OperationKind::Saw);
    let text = "1 opening: thread a jig saw or a coping saw into its starting hole";
    assert!(sawn.iter().flat_map(|it| &it.steps).any(|it| it.text.starts_with(text)));
}

#[test]
fn a_cut_of_ones_own_comes_first_and_a_bad_one_is_told() {
    let mut brief = brief();
    let face = FaceKey::Piece(SLAB);
    let part = layout(&brief).placements.iter().find(|it| it.face == face).unwrap().outline.clone();
    let (low, high) = (part.bounds().low, part.bounds().high);
    let wood = brief.face(face).unwrap().outline.bounds();
    let beside = high.x + 12.0;
    assert!(beside < wood.high.x, "there is room for a cut beside the part");
    let across = |x: f64| vec![Point::new(x, wood.low.y - 5.0), Point::new(x, wood.high.y + 5.0)];
    brief.job.choices.own_cuts = vec![OwnCut { face, blade: None, way: across(beside) }];
    let route = routed(&brief);
    assert!(told(&route, "own cut cannot be sawn").is_empty());
    let first = &sheet_of(&route, face).plan.cuts[0];
    assert_eq!(first.sawn().collect::<Vec<_>>(), across(beside));
    let through = across(f64::midpoint(low.x, high.x));
    brief.job.choices.own_cuts = vec![OwnCut { face, blade: None, way: through.clone() }];
    let route = routed(&brief);
    assert_eq!(told(&route, "own cut cannot be sawn").len(), 1);
    assert_ne!(sheet_of(&route, face).plan.cuts[0].sawn().collect::<Vec<_>>(), through);
    for way in [vec![], vec![Point::new(0.0, 0.0)], vec![Point::new(f64::MAX, 0.0), Point::new(0.0, 1.0)]] {
        brief.job.choices.own_cuts = vec![OwnCut { face, blade: None, way }];
        assert_eq!(told(&routed(&brief), "own cut cannot be sawn").len(), 1);
    }
}

#[test]
fn teeth_band_and_speed_are_minded() {
    let mut brief = brief();
    let quiet = routed(&brief);
    for rule in ["teeth do not suit the thickness", "kerf below the band", "speed beyond the usual"] {
        assert!(told(&quiet, rule).is_empty(), "{rule}");
    }
    brief.kit.bandsaw.blades.iter_mut().for_each(|it| it.teeth_per_inch = 1.5);
    brief.kit.bandsaw.speed_fpm = 9000;
    let route = routed(&brief);
    assert!(!told(&route, "teeth do not suit the thickness").is_empty());
    assert_eq!(told(&route, "speed beyond the usual").len(), 1);
    brief.kit.bandsaw.blades.iter_mut().for_each(|it| it.thickness = Some(it.kerf));
    let route = routed(&brief);
    assert_eq!(told(&route, "kerf below the band").len(), 4);
    assert_eq!(told(&route, "no blade for the bandsaw").len(), 2, "no cut is planned with such a blade");
}

#[test]
fn what_the_blade_leaves_is_told_where_it_is_much() {
    let mut brief = brief();
    assert!(told(&routed(&brief), "much left to sand").is_empty());
    // A bay of 1/2 in that 3/8 in has to saw, and no bit is wide enough to turn in.
    brief.kit.bandsaw.blades.retain(|it| it.id == BladeId(3));
    brief.kit.machines.widest_bit = Length::mm(5.0);
    brief.patterns[0].outline = handled(0.5);
    let route = routed(&brief);
    assert_eq!(told(&route, "much left to sand").len(), 1, "{:?}", route.findings);
    assert_eq!(brief.patterns[0].id, PADDLE);
}

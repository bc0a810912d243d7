//! Sanding: grit steps, time and sheets.

use handbook::{
    Grit, Known, Sander, Scale, Surface, all_grits, finest_step, hardness_source, sanding_source,
    sanding_time, sheets, slower_for, steps, steps_source, widest_step,
};
use measure::{Area, Figure, Force, Length, Minutes};
use stock::SandingTool;

use crate::hollow::Hollowed;
use crate::making::{Laid, Making};
use crate::skin::Skin;
use crate::{Machine, Operation, OperationKind, Supply};

/// The last grit before a finish: finer closes the pores against oil, coarser
/// shows under a film (common practice, no source).
const LAST_GRIT: u32 = 150;

/// Breaking both corners of a metre of edge by hand (common practice, no source).
const BREAK_EDGES_PER_M: Minutes = Minutes::minutes(6.0);

/// Two sizes nearer than this read the same on the card.
const ALIKE: f64 = 0.02;

/// One grit, and what it goes over: edges and hollows start coarser than faces.
struct Round {
    grit: u32,
    faces: bool,
    area: Area,
}

/// Sands every part.
pub(crate) fn parts(making: &mut Making, parts: &[Laid], hollows: &[Hollowed]) {
    for part in parts {
        let operation = sanding(making, part, &Skin::of(part, hollows));
        making.add(operation);
    }
}

fn sanding(making: &Making, part: &Laid, skin: &Skin) -> Operation {
    let (with, word) = match making.brief.kit.sanding {
        SandingTool::Orbital => (Sander::Orbital, "orbital sander"),
        SandingTool::Block => (Sander::Block, "sanding block"),
    };
    let (hardest, hardness) = hardest(part);
    let rounds = rounds(skin);
    let used: u32 = rounds.iter().map(|it| sheets(with, it.area, hardness.value)).sum();
    let mut operation = Operation::begin(OperationKind::Sand, format!("Sand {}", part.name))
        .working_on(vec![part.workpiece()])
        .set("with", word)
        .minding(["first", "sander", "dust", "eyes_ears_lungs"])
        .using(Supply::Abrasive, f64::from(used));
    operation = timed(operation, making, skin, with, &rounds, (hardest, &hardness));
    operation = graded(operation, skin);
    if with == Sander::Orbital {
        operation = operation.at(Machine::Sander);
    }
    for wood in &part.woods {
        let does =
            wood.dust.as_ref().map_or("nothing is known of it; take it for an irritant", |it| &it.value);
        operation.cautions.push(format!("Dust of {}: {does}", wood.name));
    }
    for (index, round) in rounds.iter().enumerate() {
        operation = operation.step(instruction(&rounds[..index], round, rough_words(skin)));
    }
    operation.step("Break every edge, wipe with a damp cloth, let it dry and sand the raised fibres lightly")
}

/// The hardest of its woods: the sander has to get through that as well.
fn hardest<'a>(part: &'a Laid) -> (&'a str, Known<Force>) {
    let each = part.woods.iter().map(|it| (it.name.as_str(), it.hardness()));
    let harder = |a: (&'a str, Known<Force>), b: (&'a str, Known<Force>)| {
        if b.1.value > a.1.value { b } else { a }
    };
    let (_, reference, source) = hardness_source();
    let none = ("wood", Known { value: reference, basis: source, assumed: true });
    each.reduce(harder).unwrap_or(none)
}

fn rounds(skin: &Skin) -> Vec<Round> {
    let planed = steps(Surface::Planed, LAST_GRIT);
    let round = |grit| {
        let faces = planed.contains(&grit);
        Round { grit, faces, area: if faces { skin.all() } else { skin.rough() } }
    };
    steps(Surface::Sawn, LAST_GRIT).into_iter().map(round).collect()
}

fn rough_words(skin: &Skin) -> &'static str {
    if skin.hollows > Area::ZERO { "edges and hollows" } else { "edges" }
}

fn timed(
    operation: Operation,
    making: &Making,
    skin: &Skin,
    with: Sander,
    rounds: &[Round],
    (hardest, hardness): (&str, &Known<Force>),
) -> Operation {
    let units = making.units();
    let breaking = BREAK_EDGES_PER_M * (skin.around / Length::mm(1000.0));
    let hands: Minutes =
        rounds.iter().map(|it| sanding_time(with, it.area, hardness.value)).sum::<Minutes>() + breaking;
    let (reference, than, source) = hardness_source();
    let figure = Figure::new("time of sanding", format!("{:.0} min", hands.to_minutes())).by(
        "grit by grit: area · minutes for a square metre · (hardness / reference)^⅓; and edges",
        sanding_source(with),
    );
    let each = sanding_time(with, skin.all(), hardness.value);
    let figure = skin
        .told(figure, units)
        .from("each grit on all of it", format!("{:.0} min", each.to_minutes()))
        .from(
            format!("hardness of {hardest}, the hardest"),
            format!("{}, {}", units.force(hardness.value), hardness.basis),
        )
        .from(
            format!("times as long as {reference} of {}", units.force(than)),
            format!("{:.2}, {source}", slower_for(hardness.value)),
        )
        .from("breaking the edges", format!("{:.0} min", breaking.to_minutes()));
    operation.taking(hands).figure(figure)
}

/// The grits on the set-up card, by both scales, and that none leaves scratches.
fn graded(operation: Operation, skin: &Skin) -> Operation {
    let (faces, rough) = (steps(Surface::Planed, LAST_GRIT), steps(Surface::Sawn, LAST_GRIT));
    let widest = |scale| format!("{:.2} to 1", widest_step(&rough, scale));
    let ladder = Figure::new("grits", by_number(&rough))
        .by(
            format!("from a sawn edge to the last grit, each at most {} times finer", finest_step()),
            steps_source(),
        )
        .from("from a planed face", by_number(&faces))
        .from("widest step, P grades", format!("{}, {}", widest(Scale::PGrade), Scale::PGrade.source()))
        .from(
            "widest step, plain numbers",
            format!("{}, {}", widest(Scale::PlainNumber), Scale::PlainNumber.source()),
        );
    let mut operation = operation
        .set("grits on faces", by_number(&faces))
        .set(&format!("grits on {}", rough_words(skin)), by_number(&rough));
    let grits: Vec<&Grit> = all_grits().iter().filter(|it| rough.contains(&it.grade)).collect();
    let off = |it: &&&Grit| (it.ansi_um / it.fepa_um).ln().abs() > ALIKE;
    let plain: Vec<String> = grits.iter().filter(off).map(|it| beside(it)).collect();
    if !plain.is_empty() {
        operation = operation.set("by plain numbers", plain.join("; "));
    }
    operation.figure(ladder)
}

/// A P grade and the plain number that comes nearest: `P150 (100 µm) about 150 (92 µm)`.
fn beside(it: &Grit) -> String {
    let plain = it.nearest_plain();
    format!(
        "P{} ({} µm) is about {} ({} µm)",
        it.grade,
        it.micrometres(Scale::PGrade),
        plain.grade,
        plain.micrometres(Scale::PlainNumber)
    )
}

fn by_number(grits: &[u32]) -> String {
    let words: Vec<String> = grits.iter().map(|it| format!("P{it}")).collect();
    words.join(", ")
}

fn instruction(before: &[Round], it: &Round, rough: &str) -> String {
    let first_on_faces = it.faces && !before.iter().any(|earlier| earlier.faces);
    let over = match (it.faces, rough) {
        (true, "edges") => "faces and edges".to_owned(),
        (true, rough) => format!("faces, {rough}"),
        (false, rough) => rough.to_owned(),
    };
    let gone = match (before.is_empty(), first_on_faces) {
        (true, true) => "all saw and planer marks are",
        (true, false) => "all saw marks are",
        (false, true) => "all planer marks and the scratches of the grit before are",
        (false, false) => "all scratches of the grit before are",
    };
    format!("Sand {over} with P{} until {gone} gone", it.grit)
}

#[cfg(test)]
mod tests {
    use measure::{Angle, Length, Minutes};
    use outline::{Outline, Point, Ring};
    use stock::{Feature, FeatureId, FeatureKind, SandingTool};

    use super::*;
    use crate::fixture::{brief, disc, of_kind, routed};

    #[test]
    fn a_large_hand_sanded_board_takes_about_three_hours() {
        // Common practice, no source: about three hours for one large hand-shaped
        // serving board, 80, 100, 150 from a planed face.
        let mut brief = brief();
        brief.kit.sanding = SandingTool::Block;
        let large = Ring::rectangle(Length::mm(560.0), Length::mm(270.0)).unwrap();
        brief.patterns[0].outline = Outline::from(large);
        brief.patterns[0].features.clear();
        let route = routed(&brief);
        let sanded = of_kind(&route, OperationKind::Sand)[0];
        let off = sanded.hands - Minutes::hours(3.0);
        assert!(off.abs() <= Minutes::minutes(30.0), "{:?}", sanded.hands);
        assert_eq!(sanded.machine, None);
        let set = |label: &str| &sanded.set_up.iter().find(|it| it.label == label).unwrap().value;
        assert_eq!(set("grits on faces"), "P80, P100, P150");
        assert_eq!(set("grits on edges"), "P60, P80, P100, P150", "a saw leaves more than a planer");
        assert!(set("by plain numbers").contains("P100 (162 µm) is about 100 (141 µm)"), "{sanded:?}");
        assert!(!set("by plain numbers").contains("P60"), "269 and 268 µm read the same");
        assert_eq!(sanded.uses[0].supply, Supply::Abrasive);
        assert!(sanded.uses[0].amount >= 3.0);
    }

    #[test]
    fn a_machine_sands_faster() {
        let mut brief = brief();
        let orbital = of_kind(&routed(&brief), OperationKind::Sand)[0].clone();
        brief.kit.sanding = SandingTool::Block;
        let block = of_kind(&routed(&brief), OperationKind::Sand)[0].clone();
        assert!(orbital.hands < block.hands);
        assert_eq!(orbital.machine, Some(Machine::Sander));
    }

    #[test]
    fn time_follows_edges_hollows_and_the_hardest_wood() {
        // Paddle, orbital: faces 2 · 64400 mm², edges 1220 · 19 mm². Minutes for a square
        // metre 70; three grits on all and one on the edges, and 6 min for a metre.
        let mut brief = brief();
        let minutes = |brief: &stock::Brief, part: usize| {
            of_kind(&routed(brief), OperationKind::Sand)[part].hands.to_minutes()
        };
        let by_hand = 70.0 * (3.0 * (0.1288 + 0.02318) + 0.02318) + 6.0 * 1.22;
        assert!((minutes(&brief, 0) / by_hand - 1.0).abs() < 0.002, "{}", minutes(&brief, 0));
        // The panel has maple beside cherry: 1450 lbf against 1010, to a third, 1.128.
        let faces = 2.0 * 0.0836 + 1.2 * 0.019;
        let by_hand = 1.128 * 70.0 * (3.0 * faces + 0.0228) + 6.0 * 1.2;
        assert!((minutes(&brief, 1) / by_hand - 1.0).abs() < 0.002, "{}", minutes(&brief, 1));
        // A hollow adds its walls, and its floor takes one grit more than a face.
        let flat = minutes(&brief, 1);
        let area = disc(Point::new(190.0, 110.0), 60.0, 180);
        let (depth, wall) = (Length::mm(10.0), Angle::degrees(90.0));
        let kind = FeatureKind::Hollow { area, depth, wall };
        brief.patterns[1].features = vec![Feature { id: FeatureId(7), kind }];
        let more = 1.128 * 70.0 * (4.0 * 0.003_770 + 0.011_310);
        assert!((minutes(&brief, 1) - flat - more).abs() < 0.01, "{} {more}", minutes(&brief, 1) - flat);
        let route = routed(&brief);
        let hollowed = of_kind(&route, OperationKind::Sand)[1];
        assert!(hollowed.steps[0].text.contains("edges and hollows with P60"), "{:?}", hollowed.steps);
        assert!(hollowed.steps[1].text.contains("faces, edges and hollows with P80"), "{:?}", hollowed.steps);
    }
}

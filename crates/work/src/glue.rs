//! Glue-up: strips to a panel.

mod bonding;
mod checks;
mod clamping;
mod cupping;
mod dampness;
mod moving;

use std::ops::Range;

use handbook::{Glue, percent};
use measure::{Figure, Length, Minutes};
use stock::{FaceKey, Panel, PieceId, Spot};

use crate::glue::clamping::Clamping;
use crate::machining::{counted, edge};
use crate::making::{Laid, Making};
use crate::{Operation, OperationKind, Step, Supply, Workpiece};

// Rates of hands (common practice, no source).
const DRY_FIT: Minutes = Minutes::minutes(10.0);
const SPREAD_EACH: Minutes = Minutes::minutes(0.75);
const CLAMP_EACH: Minutes = Minutes::minutes(0.75);
const SCRAPE: Minutes = Minutes::minutes(10.0);

/// Squeezed-out glue is scraped when it has gelled (common practice, no source).
const GELLED: Minutes = Minutes::minutes(30.0);

/// Glues every panel that parts lie on.
pub(crate) fn panels(making: &mut Making, parts: &[Laid]) {
    let glue = making.brief.facts().glue(&making.brief.job.glue);
    for panel in &making.brief.job.panels {
        let key = FaceKey::Panel(panel.id);
        if !parts.iter().any(|it| it.placement.face == key) {
            continue;
        }
        let spot = Spot::Panel { panel: panel.id };
        match (&glue, &making.woods(key)) {
            (Ok(glue), Ok(woods)) => {
                let clamping = Clamping::of(&making.brief.kit, panel, glue, woods);
                checks::panel(making, panel, glue, &clamping);
                bonding::check(making, panel, woods);
                dampness::check(making, panel, glue);
                cupping::check(making, panel);
                glue_up(making, panel, glue, &clamping);
            }
            (Err(problem), _) | (_, Err(problem)) => making.cannot(spot, problem),
        }
    }
}

/// The most joints that can be spread and clamped while the glue stays open.
fn most_joints(glue: &Glue, clamps: u32) -> usize {
    let by_open = (glue.open / SPREAD_EACH).floor();
    let left = glue.closed - CLAMP_EACH * f64::from(clamps);
    let by_closed = (left / SPREAD_EACH).floor();
    by_open.min(by_closed).max(1.0) as usize
}

/// The strips, dealt out into groups that can each be glued in one go, and the
/// groups again, until one is left: `[[2, 2, 1], [3]]` glues five strips as two
/// pairs and a single, then these three.
fn stages(strips: usize, most: usize) -> Vec<Vec<usize>> {
    let mut stages = Vec::new();
    let mut count = strips;
    while count > 1 {
        let groups = count.div_ceil(most + 1);
        let (each, more) = (count / groups, count % groups);
        stages.push((0..groups).map(|it| if it < more { each + 1 } else { each }).collect());
        count = groups;
    }
    stages
}

fn glue_up(making: &mut Making, panel: &Panel, glue: &Glue, clamping: &Clamping) {
    let strips: Vec<(PieceId, Length)> = panel.strips().collect();
    let stages = stages(strips.len(), most_joints(glue, clamping.count));
    let Some(last) = stages.len().checked_sub(1) else { return single(making, panel) };
    // What lies on the bench, from the lower edge up: the strips that each holds.
    let mut bench: Vec<Range<usize>> = (0..strips.len()).map(|it| it..it + 1).collect();
    for (index, groups) in stages.iter().enumerate() {
        let mut glued = Vec::new();
        let mut rest = bench.as_slice();
        for &size in groups {
            let (group, after) = rest.split_at(size);
            rest = after;
            let (Some(low), Some(high)) = (group.first(), group.last()) else { continue };
            let span = low.start..high.end;
            glued.push(span.clone());
            if size < 2 {
                continue;
            }
            let (title, output) = if index == last {
                (format!("Glue up {}", panel.name), Workpiece::Panel(panel.id))
            } else {
                (format!("Glue {} of {}", numbered(&span), panel.name), Workpiece::Strips(panel.id))
            };
            let mut operation = press(making, panel, glue, clamping, size - 1, title);
            if last > 0 {
                operation = operation.set("stage", format!("{} of {}", index + 1, last + 1));
            }
            let operation = operation.turning(vec![Workpiece::Strips(panel.id)], vec![output]);
            let operation =
                if index == 0 { listed(making, operation, &strips, span) } else { joined(operation, group) };
            making.add(operation);
        }
        bench = glued;
    }
    rest(making, panel, glue);
}

/// The numbers of some strips: `strips 1 to 3`.
fn numbered(span: &Range<usize>) -> String {
    match span.len() {
        1 => format!("strip {}", span.end),
        _ => format!("strips {} to {}", span.start + 1, span.end),
    }
}

/// What was glued before, in order on the set-up card.
fn joined(operation: Operation, group: &[Range<usize>]) -> Operation {
    let each = group.iter().zip(1..);
    each.fold(operation, |operation, (span, number)| {
        operation.set(&format!("piece {number}"), numbered(span))
    })
}

/// One go with glue and clamps over so many joints.
fn press(
    making: &Making,
    panel: &Panel,
    glue: &Glue,
    clamping: &Clamping,
    joints: usize,
    title: String,
) -> Operation {
    let units = making.units();
    let area = panel.length * panel.thickness * joints as f64;
    let litres = glue.quantity(area).to_litres();
    let spread = SPREAD_EACH * joints as f64;
    let close = spread + CLAMP_EACH * f64::from(clamping.count);
    let source = glue.confidence.of(&glue.source);
    let amount = Figure::new("glue", format!("{:.0} ml", litres * 1000.0))
        .by("spread · area of the joints / density", source.clone())
        .from("spread on one side", format!("{:.0} g/m²", glue.spread))
        .from("joints", joints.to_string())
        .from("area of the joints", units.area(area));
    let pace = Figure::new("time to full pressure", close.to_words())
        .by("joints · spreading + clamps · tightening", "common practice, no source")
        .from("spreading, each joint", format!("{} min", SPREAD_EACH.to_minutes()))
        .from("tightening, each clamp", format!("{} min", CLAMP_EACH.to_minutes()))
        .from("the glue allows", glue.closed.to_words());
    let mut operation = Operation::begin(OperationKind::Glue, title)
        .taking(DRY_FIT + close)
        .then_waiting(glue.clamp)
        .set("glue", glue.name.clone())
        .set("joints", joints.to_string())
        .set("clamps", format!("{}, every {}", clamping.count, units.length(clamping.spacing)))
        .set("from the first bead to the last joint", glue.open.to_words())
        .step("Clamp it up dry: every joint closes without force; slide the strips to make the best picture")
        .step(format!("Spread glue on one side, {} in all, and close them", counted(joints as u32, "joint")))
        .step("Tighten from the middle outward, clamps above and below in turn, cauls across the ends")
        .timed_step("Scrape off the squeezed-out glue when it has gelled", GELLED)
        .timed_step("Leave it in the clamps", glue.clamp - GELLED.min(glue.clamp))
        .minding(["first", "clamps"])
        .minding(glue.cautions.iter().map(|it| it.0.as_str()))
        .using(Supply::Glue, litres)
        .figure(amount)
        .figure(pace)
        .figure(clamping.figure(units));
    operation.clamps = clamping.count;
    operation.unbroken = true;
    operation
}

/// Whether a strip lies with its bark side up: every other one.
fn bark_up(strip: usize) -> bool {
    strip.is_multiple_of(2)
}

/// The strips in order on the set-up card, and how they are turned.
fn listed(
    making: &Making,
    mut operation: Operation,
    strips: &[(PieceId, Length)],
    span: Range<usize>,
) -> Operation {
    let units = making.units();
    for (index, &(piece, width)) in strips.iter().enumerate().take(span.end).skip(span.start) {
        let name = making.brief.face_name(FaceKey::Piece(piece));
        let turned = if bark_up(index) { "bark side up" } else { "bark side down" };
        operation = operation
            .set(&format!("strip {}", index + 1), format!("{name}, {}, {turned}", units.length(width)));
    }
    let text = "Lay every other strip with the bark side down, all with the grain rising one way";
    operation.steps.insert(0, Step { text: text.to_owned(), timer: None });
    operation
}

/// A panel of one strip needs no glue.
fn single(making: &mut Making, panel: &Panel) {
    let long = panel.length + making.brief.kit.allowances.trim * 2.0;
    let operation = Operation::begin(OperationKind::Joint, format!("Joint the one strip of {}", panel.name))
        .turning(vec![Workpiece::Strips(panel.id)], vec![Workpiece::Panel(panel.id)]);
    let operation =
        edge(making, operation, long, long * 2.0).step("And the other edge; one strip needs no glue");
    making.add(operation);
}

fn rest(making: &mut Making, panel: &Panel, glue: &Glue) {
    let wait = glue.machine - glue.clamp.min(glue.machine);
    let figure = Figure::new("from clamping to planing", glue.machine.to_words())
        .by("what the glue needs before it is planed", glue.confidence.of(&glue.source))
        .from("of it in the clamps", glue.clamp.to_words());
    let operation = Operation::begin(OperationKind::Glue, format!("Take {} out of the clamps", panel.name))
        .working_on(vec![Workpiece::Panel(panel.id)])
        .taking(SCRAPE)
        .then_waiting(wait)
        .step("Scrape off what is left of the glue")
        .timed_step("Stand it on edge so that air reaches both faces; do not plane it yet", wait)
        .minding(["first", "clamps", "hand_tools"])
        .figure(figure)
        .figure(moving::movement_figure(making, panel));
    making.add(operation);
}

/// The moisture of a piece in words.
fn reading(moisture: Option<stock::Reading>) -> String {
    moisture.map_or_else(|| "not measured".to_owned(), |it| percent(it.moisture))
}

#[cfg(test)]
mod tests {
    use handbook::GlueKey;
    use measure::{Force, Length, Moisture, Temperature};
    use stock::ShopKit;

    use super::*;
    use crate::fixture::{CHERRY, MAPLE, STRIPED, brief, of_kind, routed, told};

    #[test]
    fn stages_end_in_one_and_never_close_more_joints_than_the_glue_allows() {
        assert_eq!(stages(5, 6), vec![vec![5]]);
        assert_eq!(stages(5, 2), vec![vec![3, 2], vec![2]]);
        assert_eq!(stages(1, 2), Vec::<Vec<usize>>::new());
        for strips in 2..=200 {
            let found = stages(strips, 3);
            assert_eq!(found.last().unwrap().len(), 1);
            assert!(found.iter().flatten().all(|it| *it <= 4));
            assert_eq!(found[0].iter().sum::<usize>(), strips);
        }
    }

    #[test]
    fn clamps_follow_pressure_and_spacing() {
        // By hand: 200 psi (oak, birch, maple: glue makers' guidance) on a joint
        // of 420 by 20 mm is 13.02 sq in, 2604 lbf: three clamps of 1000 lbf.
        // Outer strips of 45 mm: 420 / 90 gives 5 by spacing, which rules.
        let brief = brief();
        let panel = brief.panel(STRIPED).unwrap();
        let glue = brief.facts().glue(&brief.job.glue).unwrap();
        let woods = [brief.facts().wood(&brief.piece(MAPLE).unwrap().species).unwrap()];
        let found = Clamping::of(&brief.kit, panel, glue, &woods);
        assert_eq!((found.count, found.there), (5, 8));
        let mut kit = brief.kit.clone();
        kit.clamps[0].force = Force::pounds(300.0);
        assert_eq!(Clamping::of(&kit, panel, glue, &woods).count, 9, "2604 / 300 = 8.7");
        // A caul of 40 mm: 420 / (2 · (45 + 40)) gives 3 by spacing, as by force; the
        // clamps have to reach over both cauls, too.
        let kit = ShopKit { caul: Some(Length::mm(40.0)), ..brief.kit.clone() };
        let cauled = Clamping::of(&kit, panel, glue, &woods);
        assert_eq!((cauled.count, cauled.reach), (3, found.reach + Length::mm(80.0)));
    }

    #[test]
    fn glue_is_an_unbroken_operation_that_holds_its_clamps() {
        // Joints: 4 · 420 · 20 mm = 0.0336 m², at 200 g/m² and 1.1 kg/l: 6.1 ml.
        let route = routed(&brief());
        let glued = of_kind(&route, OperationKind::Glue);
        assert_eq!(glued.len(), 2);
        assert!(glued[0].unbroken && glued[0].clamps == 5);
        assert!((glued[0].uses[0].amount - 0.0061).abs() < 1e-4);
        // An hour in the clamps, a day until it is planed (common practice, no source).
        assert_eq!(glued[0].wait, Minutes::hours(1.0));
        assert_eq!(glued[0].wait + glued[1].wait, Minutes::days(1.0));
    }

    #[test]
    fn many_joints_are_glued_in_stages_and_told() {
        let mut brief = brief();
        assert!(told(&routed(&brief), "more joints than the glue stays open").is_empty());
        brief.job.panels[0].runs[1].count = 16;
        brief.job.panels[0].runs[1].width = Length::mm(20.0);
        let route = routed(&brief);
        assert_eq!(told(&route, "more joints than the glue stays open").len(), 1);
        let glued = of_kind(&route, OperationKind::Glue);
        assert!(glued.len() > 3);
        // Twenty strips in groups of at most 7: 7, 7 and 6, then these three; each
        // card names its own strips alone.
        let labels = |it: &Operation| {
            let lines = it.set_up.iter().map(|it| it.label.clone());
            lines.filter(|it| it.starts_with("strip ") || it.starts_with("piece ")).collect::<Vec<_>>()
        };
        let first =
            stages(20, most_joints(brief.facts().glue(&brief.job.glue).unwrap(), glued[0].clamps))[0][0];
        assert_eq!(labels(glued[0]).len(), first);
        assert_eq!(labels(glued[1])[0], format!("strip {}", first + 1));
        assert_eq!(labels(glued[glued.len() - 2])[0], "piece 1");
        let stage =
            |it: &Operation| it.set_up.iter().find(|it| it.label == "stage").map(|it| it.value.clone());
        assert!(glued[0].title.ends_with("striped panel") && stage(glued[0]).as_deref() == Some("1 of 2"));
        assert_eq!(stage(glued[glued.len() - 2]).as_deref(), Some("2 of 2"));
    }

    #[test]
    fn clamps_that_take_longer_than_the_glue_allows_are_told() {
        // Hide glue: pressed within 5 min (usual range of the trade, memory).
        // 420 mm take 5 clamps, 0.75 + 5 · 0.75 = 4.5 min; 700 mm take 8, 6.75 min.
        let mut brief = brief();
        brief.job.glue = GlueKey::from("hide");
        assert!(told(&routed(&brief), "more clamps than the glue allows").is_empty());
        brief.job.panels[0].length = Length::mm(700.0);
        let route = routed(&brief);
        let [finding] = told(&route, "more clamps than the glue allows")[..] else { panic!() };
        assert_eq!((finding.figure.value.as_str(), finding.limit.as_str()), ("7 min", "5 min"));
    }

    #[test]
    fn too_few_clamps_cold_air_and_the_wrong_glue_are_told() {
        let mut brief = brief();
        let quiet = routed(&brief);
        for rule in ["too few clamps", "too cold for the glue", "glue that water opens"] {
            assert!(told(&quiet, rule).is_empty(), "{rule}");
        }
        brief.kit.clamps[0].count = 3;
        brief.kit.air.temperature = Temperature::celsius(8.0);
        brief.job.glue = GlueKey::from("pva_interior");
        let route = routed(&brief);
        for rule in ["too few clamps", "too cold for the glue", "glue that water opens"] {
            assert_eq!(told(&route, rule).len(), 1, "{rule}");
        }
    }

    #[test]
    fn strips_of_different_moisture_and_movement_are_told() {
        let mut brief = brief();
        let quiet = routed(&brief);
        assert!(told(&quiet, "strips of different moisture").is_empty());
        assert!(told(&quiet, "woods that move differently").is_empty());
        let cherry = brief.pieces.iter_mut().find(|it| it.id == CHERRY).unwrap();
        cherry.moisture.as_mut().unwrap().moisture = Moisture::percent(11.5);
        brief.job.panels[0].thickness = Length::mm(45.0);
        let route = routed(&brief);
        assert_eq!(told(&route, "strips of different moisture").len(), 1);
        // 45 mm · (0.00353 - 0.00248) · 4 = 0.19 mm (table 13-5).
        let [finding] = told(&route, "woods that move differently")[..] else { panic!() };
        assert_eq!(finding.figure.value, "0.0074 in");
    }
}

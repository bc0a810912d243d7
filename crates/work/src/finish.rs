//! Finishing: which layers in which order, how much, how long until food.

mod air;
mod faces;
mod rules;

use handbook::{Coats, Layer, OrderRule};
use measure::{Figure, Minutes};
use stock::{FinishedFaces, Spot};

use crate::hollow::Hollowed;
use crate::making::{Laid, Making};
use crate::skin::Skin;
use crate::{Operation, OperationId, OperationKind, Supply, Workpiece};

/// Hands for setting out and cleaning up, each coat (common practice, no source).
const SET_OUT: Minutes = Minutes::minutes(10.0);

/// Looking the parts over and writing down the day.
const SET_ASIDE: Minutes = Minutes::minutes(5.0);

/// All coats on all parts, from the wood up; answers with the last of them.
pub(crate) fn coats(making: &mut Making, parts: &[Laid], hollows: &[Hollowed]) -> Option<OperationId> {
    rules::check(making, parts);
    let finish = match making.brief.facts().finish(&making.brief.job.finish) {
        Ok(finish) => finish,
        Err(problem) => {
            making.cannot(Spot::Job, &problem);
            return None;
        }
    };
    if parts.is_empty() {
        return None;
    }
    air::check(making, &finish);
    faces::check(making, parts);
    let which = making.brief.job.choices.finished;
    let skin: Skin = parts.iter().map(|it| Skin::of(it, hollows).coated(it, which)).sum();
    let count: u32 = finish.layers.iter().map(|it| it.coats).sum();
    let (mut done, mut last) = (0, None);
    for (index, layer) in finish.layers.iter().enumerate() {
        for coat in 1..=layer.coats {
            done += 1;
            let wait = wait(&finish, index, layer, coat) * layer.slowed(making.brief.kit.air.temperature);
            let scuffed = coat > 1 || finish.rule_below(index).is_some_and(|it| it.scuff);
            let next = finish.rule_below(index + 1).filter(|_| coat == layer.coats);
            let operation = one_coat(making, parts, layer, (coat, done, count), &skin, (wait, next, scuffed));
            last = Some(making.add(operation));
        }
    }
    last
}

/// The wait after a coat: to the next coat of the layer, to the next layer, or,
/// after the last of all, until it may be handled.
fn wait(finish: &Coats, index: usize, layer: &Layer, coat: u32) -> Minutes {
    if coat < layer.coats {
        return layer.recoat;
    }
    let last = index + 1 == finish.layers.len();
    if last { layer.handle.min(layer.food) } else { finish.wait_after(index) }
}

fn one_coat(
    making: &Making,
    parts: &[Laid],
    layer: &Layer,
    (coat, done, count): (u32, u32, u32),
    skin: &Skin,
    (wait, next, scuffed): (Minutes, Option<&OrderRule>, bool),
) -> Operation {
    let units = making.units();
    let litres = layer.quantity(skin.all()).to_litres() / f64::from(layer.coats.max(1));
    let amount = Figure::new("finish for this coat", format!("{:.0} ml", litres * 1000.0))
        .by("area / square metres to a litre", layer.confidence.of(&layer.source))
        .from("a litre covers", format!("{:.0} m²", layer.coverage));
    let amount = skin.told(amount, units);
    let between = Figure::new("wait after it", wait.to_words())
        .by("what the layer needs before the next", layer.confidence.of(&layer.source))
        .from("coat", format!("{done} of {count}"));
    let between =
        next.into_iter().fold(between, |it, rule| it.from("before the next layer", rule.why.clone()));
    let workpieces: Vec<Workpiece> = parts.iter().map(Laid::workpiece).collect();
    let mut operation = Operation::begin(
        OperationKind::Finish,
        format!("Put on {}, coat {coat} of {}", layer.name, layer.coats),
    )
    .working_on(workpieces)
    .taking(SET_OUT + layer.hands_for(skin.all()))
    .then_waiting(wait)
    .minding(["first"])
    .minding(layer.cautions.iter().map(|it| it.0.as_str()))
    .using(Supply::Finish, litres)
    .figure(amount)
    .figure(between);
    // A coat that stops halfway dries with a seam.
    operation.unbroken = true;
    operation = operation.step(if scuffed {
        "Scuff lightly with worn fine grit and wipe the dust off"
    } else {
        "Wipe all dust off"
    });
    if let Some(thinned) = layer.thinned.as_ref().filter(|_| coat == 1) {
        operation = operation.set("thinned", thinned.clone());
    }
    let operation = operation
        .step(match making.brief.job.choices.finished {
            FinishedFaces::Both => {
                "Coat the underside and the edges first, then the food face: every face gets the same"
            }
            FinishedFaces::Upper => "Coat the edges first, then the upper face; the underside stays bare",
        })
        .step("Stand it on points so that air reaches all faces");
    let rags = layer.cautions.iter().any(|it| it.0 == "oily_rags");
    if rags { operation.step("Spread the rags flat outdoors or sink them in water, now") } else { operation }
}

/// The last wait, from the last coat until food may touch the parts. Feet are
/// screwed on meanwhile.
pub(crate) fn cure(making: &mut Making, parts: &[Laid], last_coat: OperationId) {
    let Ok(finish) = making.brief.facts().finish(&making.brief.job.finish) else { return };
    let (Some(last), false) = (finish.layers.last(), parts.is_empty()) else { return };
    let slowed = last.slowed(making.brief.kit.air.temperature);
    let (food, handle) = (last.food * slowed, last.handle.min(last.food) * slowed);
    let rest = food - handle;
    let figure = Figure::new("from the last coat to food", food.to_words())
        .by(
            "curing time of the last layer; the can's own sheet comes first",
            last.confidence.of(&last.source),
        )
        .from("of it before handling", handle.to_words())
        .from("times as long in the shop's air", format!("{slowed:.2}"));
    let operation = Operation::begin(OperationKind::Cure, format!("Let the {} cure before food", last.name))
        .working_on(parts.iter().map(Laid::workpiece).collect())
        .taking(SET_ASIDE)
        .then_waiting(rest)
        .step("Write the day of the last coat on a slip and leave it with the parts")
        .step("Read on the can how long it cures before food: if that is longer, wait so long")
        .step("Stand them where air reaches all faces, warm and out of the sun")
        .timed_step("No food on it, no stacking, no wrapping until it has cured", rest)
        .minding(["first", "food_rules"])
        .figure(figure);
    making.add_after(operation, vec![last_coat]);
}

#[cfg(test)]
mod tests {
    use handbook::{FinishKey, all_finishes};
    use stock::{Change, Feature, FeatureId, FeatureKind};

    use super::*;
    use crate::fixture::{BOARD, brief, of_kind, ring, routed, told};

    fn finished(key: &str) -> crate::Route {
        let mut brief = brief();
        brief.job.finish = FinishKey::from(key);
        routed(&brief)
    }

    #[test]
    fn coats_wait_for_one_another_and_food_waits_a_week() {
        // Common practice, no source: about a week before food touches a film.
        let route = finished("wiping_varnish");
        let coats = of_kind(&route, OperationKind::Finish);
        assert_eq!(coats.len(), 3);
        for pair in coats.windows(2) {
            assert_eq!(pair[1].after, vec![pair[0].id]);
        }
        let cure = of_kind(&route, OperationKind::Cure)[0];
        assert_eq!(cure.after, vec![coats[2].id]);
        assert_eq!(coats[2].wait + cure.wait, Minutes::days(7.0));
        assert!(coats[0].cautions.iter().any(|it| it.contains("Rags")));
        assert!(coats[0].steps.iter().any(|it| it.text.contains("underside")));
        assert!(coats.iter().all(|it| it.unbroken), "no coat waits for the morning halfway");
    }

    #[test]
    fn wax_waits_until_the_varnish_under_it_has_cured() {
        let route = finished("varnish_then_wax");
        let coats = of_kind(&route, OperationKind::Finish);
        assert_eq!(coats.len(), 4);
        assert_eq!(coats[2].wait, Minutes::days(7.0));
        let scuffed = |it: &&&crate::Operation| it.steps[0].text.contains("Scuff");
        assert_eq!(coats.iter().filter(scuffed).count(), 2, "between coats of varnish, not below wax");
        let waits = coats[2].figures.iter().find(|it| it.name == "wait after it").unwrap();
        assert!(waits.inputs.iter().any(|it| it.value.contains("shields")), "{waits:?}");
        assert!(told(&route, "wrong order of finish").is_empty());
    }

    #[test]
    fn a_curing_finish_over_wax_or_oil_is_stopped_and_offered_what_holds() {
        // Common practice, no source: a curing finish first, wax and oil on top,
        // never the other way round.
        for (wrong, right) in
            [("wax_then_varnish", "varnish_then_wax"), ("mineral_oil_then_varnish", "wiping_varnish")]
        {
            let route = finished(wrong);
            let [finding] = told(&route, "wrong order of finish")[..] else { panic!("{wrong}") };
            let to = FinishKey::from(right);
            assert_eq!(finding.mendings[0].change, Some(Change::Finish { to }), "{wrong}");
            assert!(told(&finished(right), "wrong order of finish").is_empty());
        }
    }

    #[test]
    fn every_finish_of_the_handbook_ends_in_a_cure() {
        for finish in all_finishes() {
            let route = finished(&finish.key.0);
            assert_eq!(of_kind(&route, OperationKind::Cure).len(), 1, "{}", finish.name);
        }
        let route = finished("moonlight");
        assert_eq!(told(&route, "cannot be worked out").len(), 1);
        assert!(of_kind(&route, OperationKind::Finish).is_empty());
    }

    #[test]
    fn the_amount_follows_the_area() {
        // Paddle 300 by 200 and 110 by 40 mm, way round 1220 mm; board 380 by 220,
        // 1200 mm; 19 mm thick: 2 · (64400 + 83600) + 19 · 2420 = 341980 mm²; hardwax
        // oil, 20 m² to a litre: 17.1 ml each coat.
        let route = finished("hardwax_oil");
        let used = of_kind(&route, OperationKind::Finish)[0].uses[0].amount;
        assert!((used - 0.0171).abs() < 1e-4, "{used}");
        // A hollow of 60 mm radius and 10 mm depth with upright walls adds 2 π · 60 · 10
        // mm² of wall; floor and mouth are equal: 3770 mm², 0.19 ml.
        let mut brief = brief();
        brief.job.finish = FinishKey::from("hardwax_oil");
        let area = crate::fixture::disc(outline::Point::new(190.0, 110.0), 60.0, 180);
        let (depth, wall) = (measure::Length::mm(10.0), measure::Angle::degrees(90.0));
        let hollow = Feature { id: FeatureId(7), kind: FeatureKind::Hollow { area, depth, wall } };
        brief.patterns.iter_mut().find(|it| it.id == BOARD).unwrap().features.push(hollow);
        let more = of_kind(&routed(&brief), OperationKind::Finish)[0].uses[0].amount;
        assert!((more - used - 0.000_188).abs() < 2e-6, "{more} {used}");
    }

    #[test]
    fn nut_oils_and_open_pores_are_told() {
        assert!(told(&finished("hardwax_oil"), "oil that some are allergic to").is_empty());
        assert_eq!(told(&finished("walnut_oil"), "oil that some are allergic to").len(), 1);
        let mut brief = brief();
        let area = ring(&[[20.0, 20.0], [200.0, 20.0], [200.0, 150.0], [20.0, 150.0]]);
        let food = Feature { id: FeatureId(5), kind: FeatureKind::FoodArea { area } };
        let board = brief.patterns.iter_mut().find(|it| it.id == BOARD).unwrap();
        board.features.push(food);
        assert!(told(&routed(&brief), "open pores in a food area").is_empty());
        brief.pieces[1].species = handbook::SpeciesKey::from("red_oak");
        let route = routed(&brief);
        let [oak] = told(&route, "open pores in a food area")[..] else { panic!("{:?}", route.findings) };
        assert!(oak.why.contains("water runs through"), "{oak:?}");
        // Two parts of one wood are told of once; the vessels of white oak are blocked.
        brief.pieces[1].species = handbook::SpeciesKey::from("white_oak");
        brief.job.wants[1].count = 2;
        let mut layout = crate::fixture::layout(&brief);
        let mut second = layout.placements[1].clone();
        second.part.copy = 2;
        layout.placements.push(second);
        let route = crate::route(&brief, &layout);
        let [oak] = told(&route, "open pores in a food area")[..] else { panic!("{:?}", route.findings) };
        assert!(!oak.why.contains("runs through"), "{oak:?}");
        assert_eq!(oak.grade, stock::Grade::Note);
    }
}

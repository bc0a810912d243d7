//! What may go over what, and what suits food.

use std::collections::BTreeSet;

use handbook::{Coats, FoodFit, ORDER_SOURCE, OrderFault, OwnRows};
use measure::Figure;
use stock::{Change, Finding, Grade, Mending, Spot};

use crate::making::{Laid, Making};

/// All findings about the finish and the wood under it.
pub(super) fn check(making: &mut Making, parts: &[Laid]) {
    let brief = making.brief;
    if let Ok(finish) = brief.facts().finish(&brief.job.finish) {
        for fault in finish.faults() {
            making.find(order(brief.facts(), &finish, &fault));
        }
        if !parts.is_empty() {
            nut_oil(making, &finish);
        }
    }
    open_pores(making, parts);
}

/// The same layers in an order that holds, or the upper layer on bare wood.
fn mended<'a>(facts: &'a OwnRows, finish: &Coats, fault: &OrderFault) -> Option<Coats<'a>> {
    let names = |it: &Coats| it.layers.iter().map(|layer| layer.key.clone()).collect::<BTreeSet<_>>();
    let layers = names(finish);
    let same = facts.sound_finishes().find(|it| names(it) == layers);
    same.or_else(|| facts.sound_finishes().find(|it| it.finish.layers == [fault.over.key.clone()]))
}

fn order(facts: &OwnRows, finish: &Coats, fault: &OrderFault) -> Finding {
    let (under, over) = (&fault.under.name, &fault.over.name);
    let mut mendings = Vec::new();
    if let Some(other) = mended(facts, finish, fault) {
        let change = Change::Finish { to: other.finish.key.clone() };
        mendings.push(Mending::by(change, format!("finish it with {}", other.finish.name)));
    }
    mendings.push(Mending::by_hand(format!("sand the {under} off to bare wood before the {over}")));
    Finding {
        grade: Grade::Stop,
        rule: "wrong order of finish".to_owned(),
        what: format!("{over} over {under} does not hold"),
        spot: Spot::Job,
        figure: Figure::new("layers that do not hold", "1")
            .by("each layer against every layer under it", ORDER_SOURCE)
            .from("under", under.clone())
            .from("over", over.clone()),
        limit: "0".to_owned(),
        why: fault.why.to_owned(),
        mendings,
    }
}

fn nut_oil(making: &mut Making, finish: &Coats) {
    let nuts: Vec<_> =
        finish.layers.iter().filter(|it| it.cautions.iter().any(|caution| caution.0 == "nut_oil")).collect();
    let Some(first) = nuts.first() else { return };
    let mut figure = Figure::new("layers of nut or seed oil", nuts.len().to_string())
        .by("counted among the layers", first.confidence.of(&first.source));
    for layer in &nuts {
        figure = figure.from("layer", layer.name.clone());
    }
    let mut mendings = vec![Mending::by_hand("ask everyone in the shop, and write the oil on the care card")];
    let other = making.brief.facts().sound_finishes().find(|it| {
        let mut cautions = it.layers.iter().flat_map(|layer| &layer.cautions);
        it.layers.iter().any(|layer| layer.cures()) && !cautions.any(|caution| caution.0 == "nut_oil")
    });
    if let Some(other) = other {
        let change = Change::Finish { to: other.finish.key.clone() };
        mendings.push(Mending::by(change, format!("finish it with {}", other.finish.name)));
    }
    making.find(Finding {
        grade: Grade::Note,
        rule: "oil that some are allergic to".to_owned(),
        what: format!("{} is a nut or seed oil", first.name),
        spot: Spot::Job,
        figure,
        limit: "0 where anyone is allergic".to_owned(),
        why: "a person with a nut allergy may react to the oil, in the shop or at the table".to_owned(),
        mendings,
    });
}

/// Finding `open pores in a food area`, once for each pattern, face and wood.
fn open_pores(making: &mut Making, parts: &[Laid]) {
    let mut told = BTreeSet::new();
    for part in parts {
        let food = part.pattern.food_areas().next().is_some();
        for wood in part.woods.iter().filter(|it| food && !it.closed_pored()) {
            if !told.insert((part.pattern.id, part.placement.face, &wood.key)) {
                continue;
            }
            let (grade, fit, source) = match &wood.food {
                Some(it) if it.value == FoodFit::Poor => (Grade::Mend, it.value.words(), it.origin()),
                Some(it) => (Grade::Note, it.value.words(), it.origin()),
                None => (Grade::Mend, "not known", "no fact of it is kept".to_owned()),
            };
            making.find(Finding {
                grade,
                rule: "open pores in a food area".to_owned(),
                what: format!("the food area of {} is {}: {}", part.name, wood.name, wood.food_note()),
                spot: part.spot_within(),
                figure: Figure::new("pores", "open")
                    .by("looked up for the species", source)
                    .from("wood", wood.name.clone())
                    .from("fit for food", fit),
                limit: "closed".to_owned(),
                why: "open pores hold food and water where no cloth reaches".to_owned(),
                mendings: vec![
                    Mending::by_hand("use it for dry food only and say so on the care card"),
                    Mending::by_hand("make it of a close-grained wood: hard maple first"),
                ],
            });
        }
    }
}

//! What may go over what, and what suits food.

use std::collections::BTreeSet;

use handbook::{Finish, FoodFit, ORDER_SOURCE, OrderFault, all_finishes, finish};
use measure::Figure;
use stock::{Change, FeatureKind, Finding, Grade, Mending, Spot};

use crate::making::{Laid, Making};

/// All findings about the finish and the wood under it.
pub(super) fn check(making: &mut Making, parts: &[Laid]) {
    if let Ok(finish) = finish(&making.brief.job.finish) {
        for fault in finish.faults() {
            making.find(order(finish, &fault));
        }
        if !parts.is_empty() {
            nut_oil(making, finish);
        }
    }
    open_pores(making, parts);
}

/// The same layers in an order that holds, or the upper layer on bare wood.
fn mended(finish: &Finish, fault: &OrderFault) -> Option<&'static Finish> {
    let layers: BTreeSet<&str> = finish.layers.iter().map(|it| it.0.as_str()).collect();
    let holds = |it: &&Finish| it.faults().is_empty();
    let same = all_finishes()
        .iter()
        .filter(holds)
        .find(|it| it.layers.iter().map(|it| it.0.as_str()).collect::<BTreeSet<_>>() == layers);
    same.or_else(|| {
        let alone = std::slice::from_ref(&fault.over.key);
        all_finishes().iter().filter(holds).find(|it| it.layers == alone)
    })
}

fn order(finish: &Finish, fault: &OrderFault) -> Finding {
    let (under, over) = (&fault.under.name, &fault.over.name);
    let mut mendings = Vec::new();
    if let Some(other) = mended(finish, fault) {
        let change = Change::Finish { to: other.key.clone() };
        mendings.push(Mending::by(change, format!("finish it with {}", other.name)));
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

fn nut_oil(making: &mut Making, finish: &Finish) {
    let layers = finish.layers();
    let nuts: Vec<_> =
        layers.iter().filter(|it| it.cautions.iter().any(|caution| caution.0 == "nut_oil")).collect();
    let Some(first) = nuts.first() else { return };
    let mut figure = Figure::new("layers of nut or seed oil", nuts.len().to_string())
        .by("counted among the layers", first.confidence.of(&first.source));
    for layer in &nuts {
        figure = figure.from("layer", layer.name.clone());
    }
    let mut mendings = vec![Mending::by_hand("ask everyone in the shop, and write the oil on the care card")];
    let other = all_finishes().iter().find(|it| {
        let mut cautions = it.layers().into_iter().flat_map(|layer| &layer.cautions);
        it.faults().is_empty()
            && it.layers().iter().any(|layer| layer.cures())
            && !cautions.any(|caution| caution.0 == "nut_oil")
    });
    if let Some(other) = other {
        let change = Change::Finish { to: other.key.clone() };
        mendings.push(Mending::by(change, format!("finish it with {}", other.name)));
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
        let food = part.pattern.features.iter().any(|it| match it.kind {
            FeatureKind::FoodArea { .. } => true,
            FeatureKind::Stem { .. }
            | FeatureKind::Hollow { .. }
            | FeatureKind::HangingHole { .. }
            | FeatureKind::FootSeat { .. } => false,
        });
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

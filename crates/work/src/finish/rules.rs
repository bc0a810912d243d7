//! What may go over what, and what suits food.

use std::collections::{BTreeMap, BTreeSet};

use handbook::{Coats, FoodFit, ORDER_SOURCE, OrderFault, OwnRows, Species};
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

/// Finding `open pores in a food area`, once for each wood.
fn open_pores(making: &mut Making, parts: &[Laid]) {
    let food = |it: &&Laid| it.pattern.food_areas().next().is_some();
    let mut woods: BTreeMap<&str, (&Species, Vec<&Laid>)> = BTreeMap::new();
    for part in parts.iter().filter(food) {
        for &wood in part.woods.iter().filter(|it| !it.closed_pored()) {
            woods.entry(&wood.key.0).or_insert_with(|| (wood, Vec::new())).1.push(part);
        }
    }
    for (wood, parts) in woods.values() {
        making.find(pores(wood, parts));
    }
}

fn pores(wood: &Species, parts: &[&Laid]) -> Finding {
    let (fit, source) = wood.food.as_ref().map_or_else(
        || ("not known", "no fact of it is kept".to_owned()),
        |it| (it.value.words(), it.origin()),
    );
    let poor = wood.food.as_ref().is_none_or(|it| it.value == FoodFit::Poor);
    let through = wood.lets_water_through();
    let names: BTreeSet<&str> = parts.iter().map(|it| it.pattern.name.as_str()).collect();
    let names = names.into_iter().collect::<Vec<_>>().join(", ");
    let mut why = "open pores hold food and water where no cloth reaches".to_owned();
    if through {
        why.push_str("; its vessels are open from end to end, so that water runs through");
    }
    Finding {
        grade: if poor || through { Grade::Mend } else { Grade::Note },
        rule: "open pores in a food area".to_owned(),
        what: format!("{} in the food area of {names}: {}", wood.name, wood.food_note()),
        spot: parts.first().map_or(Spot::Job, |it| it.spot_within()),
        figure: Figure::new("pores", "open")
            .by("looked up for the species; our own judgement, no approval", source)
            .from("wood", wood.name.clone())
            .from("parts", parts.len().to_string())
            .from("lets water through", if through { "yes" } else { "no, as far as is known" })
            .from("fit for food", fit),
        limit: "closed".to_owned(),
        why,
        mendings: vec![
            Mending::by_hand("use it for dry food only and say so on the care card"),
            Mending::by_hand("make it of a close-grained wood: hard maple first"),
        ],
    }
}

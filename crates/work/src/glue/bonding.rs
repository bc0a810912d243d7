//! Woods that glue does not hold on without care.

use handbook::{Bonding, Species};
use measure::Figure;
use stock::{Finding, Grade, Mending, Panel, Spot};

use crate::making::Making;

/// Finding `wood that is hard to glue`, once for each wood of a panel.
pub(super) fn check(making: &mut Making, panel: &Panel, woods: &[&Species]) {
    for wood in woods {
        let Some(bonding) = wood.bonding.as_ref().filter(|it| it.value == Bonding::Difficult) else {
            continue;
        };
        making.find(Finding {
            grade: Grade::Note,
            rule: "wood that is hard to glue".to_owned(),
            what: format!("glue holds badly on {} in {}", wood.name, panel.name),
            spot: Spot::Panel { panel: panel.id },
            figure: Figure::new("ease of glueing", bonding.value.words())
                .by("looked up for the species", bonding.origin())
                .from("wood", wood.name.clone()),
            limit: Bonding::Satisfactory.words().to_owned(),
            why: "oils, resins or gums come to the face within hours and keep the glue from wetting it".to_owned(),
            mendings: vec![
                Mending::by_hand(
                    "plane or sand the joints within minutes of glueing, wipe them with acetone where they are oily, \
                     and break a trial joint first: the wood has to tear, not the glue",
                ),
                Mending::by_hand("take a wood that glues well"),
            ],
        });
    }
}

#[cfg(test)]
mod tests {
    use handbook::SpeciesKey;

    use crate::fixture::{brief, routed, told};

    #[test]
    fn an_oily_wood_is_told_and_maple_is_not() {
        let mut brief = brief();
        assert!(told(&routed(&brief), "wood that is hard to glue").is_empty());
        let strip = brief.job.panels[0].runs[0].piece;
        brief.pieces.iter_mut().find(|it| it.id == strip).unwrap().species = SpeciesKey::from("teak");
        let route = routed(&brief);
        let [finding] = told(&route, "wood that is hard to glue")[..] else { panic!("{:?}", route.findings) };
        assert!(finding.what.contains("teak") && finding.figure.source.contains("table 10-1"), "{finding:?}");
    }
}

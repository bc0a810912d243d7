//! What nobody knows of the woods in hand, and what is assumed in its place.

use std::collections::BTreeSet;

use measure::Figure;
use stock::{Finding, Grade, Mending, Spot};

use crate::machining::used_pieces;
use crate::making::Making;

/// One note for each wood that is reckoned with although facts are missing.
pub(crate) fn woods(making: &mut Making) {
    let mut told = BTreeSet::new();
    for id in used_pieces(making) {
        let Ok(piece) = making.brief.piece(id) else { continue };
        let Ok(wood) = making.brief.facts().wood(&piece.species) else { continue };
        let assumed = wood.assumptions();
        if assumed.is_empty() || !told.insert(&wood.key) {
            continue;
        }
        let names: Vec<&str> = assumed.iter().map(|it| it.0).collect();
        let mut figure = Figure::new("values assumed", assumed.len().to_string())
            .by("looked up for the species and its weight", "the tables and the shop's own rows");
        for (name, basis) in &assumed {
            figure = figure.from(*name, basis.clone());
        }
        making.find(Finding {
            grade: Grade::Note,
            rule: "wood not fully known".to_owned(),
            what: format!(
                "nobody knows the {} of {}: a value was assumed",
                names.join(" and the "),
                wood.name
            ),
            spot: Spot::Piece { piece: id },
            figure,
            limit: "0".to_owned(),
            why: "what follows from an assumed value may be off by a half or more".to_owned(),
            mendings: vec![Mending::by_hand(format!(
                "weigh and measure a dry piece of {} and keep its density among the shop's own woods",
                wood.name
            ))],
        });
    }
}

#[cfg(test)]
mod tests {
    use handbook::{Species, SpeciesKey};

    use crate::fixture::{SLAB, brief, routed, told};

    #[test]
    fn a_wood_without_facts_is_told_once_and_a_tabled_one_is_not() {
        let mut brief = brief();
        assert!(told(&routed(&brief), "wood not fully known").is_empty());
        let tabled = brief.facts().wood(&brief.pieces[0].species).unwrap().clone();
        let key = SpeciesKey::from("plum");
        let plum = Species { key: key.clone(), name: "plum".to_owned(), rupture: None, ..tabled };
        brief.kit.own.species.push(plum);
        brief.pieces.iter_mut().find(|it| it.id == SLAB).unwrap().species = key;
        let route = routed(&brief);
        let [finding] = told(&route, "wood not fully known")[..] else { panic!("{:?}", route.findings) };
        assert!(finding.what.contains("bending strength of plum"), "{}", finding.what);
    }
}

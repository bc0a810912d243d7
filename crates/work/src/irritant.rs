//! Woods whose dust or touch irritates people.

use std::collections::BTreeSet;

use handbook::{CautionKey, Fact, Species, caution};
use measure::Figure;
use stock::{Finding, Grade, Mending, PieceId, Spot};

use crate::machining::used_pieces;
use crate::making::Making;

/// Finding `irritant wood`: one note for each such wood of the job.
pub(crate) fn woods(making: &mut Making) {
    let mut told = BTreeSet::new();
    for id in used_pieces(making) {
        let Ok(piece) = making.brief.piece(id) else { continue };
        let Ok(wood) = making.brief.facts().wood(&piece.species) else { continue };
        if let Some(does) = wood.irritant().filter(|_| told.insert(&wood.key)) {
            making.find(note(id, wood, does));
        }
    }
}

fn note(piece: PieceId, wood: &Species, does: &Fact<String>) -> Finding {
    let food = wood.food.as_ref().map_or_else(|| "nobody has said".to_owned(), |it| it.origin());
    let dust = caution(&CautionKey::from("dust")).map(|it| it.text.clone());
    let mut mendings = vec![Mending::by_hand(
        "catch the dust at the machine, wear a dust mask and long sleeves, and stop when skin or breath complain",
    )];
    mendings.extend(dust.into_iter().map(Mending::by_hand));
    Finding {
        grade: Grade::Note,
        rule: "irritant wood".to_owned(),
        what: format!("dust or touch of {}: {}", wood.name, does.value),
        spot: Spot::Piece { piece },
        figure: Figure::new("dust and touch", does.value.clone())
            .by("looked up for the species", does.origin())
            .from("with food", format!("{}; {food}; no approval", wood.food_note())),
        limit: "slight".to_owned(),
        why: "people who have become allergic to a wood stay so, and dust travels beyond who makes it"
            .to_owned(),
        mendings,
    }
}

#[cfg(test)]
mod tests {
    use handbook::SpeciesKey;

    use crate::fixture::{SLAB, brief, routed, told};

    #[test]
    fn an_irritant_wood_is_told_once_and_a_mild_one_is_not() {
        let mut brief = brief();
        let route = routed(&brief);
        let walnut = |it: &&&stock::Finding| it.what.contains("walnut");
        let found = told(&route, "irritant wood");
        // Walnut, maple, cherry: each irritates (from memory); maple lies in four strips.
        assert_eq!((found.len(), found.iter().filter(walnut).count()), (3, 1));
        let it = found.iter().find(walnut).unwrap();
        assert!(it.figure.source.contains("from memory"), "{it:?}");
        assert!(it.figure.inputs[0].value.contains("no approval"), "{it:?}");
        brief.pieces.iter_mut().find(|it| it.id == SLAB).unwrap().species = SpeciesKey::from("basswood");
        let route = routed(&brief);
        assert!(told(&route, "irritant wood").iter().all(|it| !it.what.contains("basswood")));
    }
}

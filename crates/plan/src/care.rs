//! What the owner of a board has to know.

use std::collections::BTreeSet;

use handbook::{Coats, Species};
use jiff::civil::Date;
use stock::{Brief, FaceKey, Layout, PieceId};

use crate::CareCard;
use crate::words::day;

/// Washing, as the US food safety service advises it.
const WASH: [&str; 3] = [
    "Wash it by hand in hot soapy water, rinse it, dry it standing up",
    "Never soak it, and keep it out of the dishwasher and the oven",
    "Raw meat, poultry and fish get a board of their own",
];

/// Writes the care card: wood, finish, how to treat it, from when food may touch it.
pub(crate) fn care_card(brief: &Brief, layout: &Layout, food_from: Date) -> CareCard {
    let finish = brief.facts().finish(&brief.job.finish).ok();
    let mut lines = vec![format!("No food on it before {}", day(food_from))];
    lines.extend(WASH.map(str::to_owned));
    if let Some(Coats { finish, layers }) = &finish {
        lines.push(sentence(&finish.care));
        lines.extend(layers.iter().map(|layer| sentence(&format!("{}: {}", layer.name, layer.food_note))));
    }
    let woods = woods(brief, layout);
    lines.extend(woods.iter().map(|it| sentence(&format!("{}: {}", it.name, it.food_note()))));
    lines.push("Sand it and finish it anew, or retire it, when knives have cut deep grooves".to_owned());
    let names: Vec<&str> = woods.iter().map(|it| it.name.as_str()).collect();
    CareCard {
        wood: if names.is_empty() { "no wood laid yet".to_owned() } else { names.join(", ") },
        finish: finish.map_or_else(|| brief.job.finish.to_string(), |it| it.finish.name.clone()),
        lines,
        food_from,
    }
}

/// The species that parts or strips are sawn from, each once, by key.
fn woods<'a>(brief: &'a Brief, layout: &Layout) -> Vec<&'a Species> {
    let of_parts = layout.placements.iter().filter_map(|it| match it.face {
        FaceKey::Piece(piece) => Some(piece),
        FaceKey::Panel(_) => None,
    });
    let pieces: BTreeSet<PieceId> = of_parts.chain(layout.strips.iter().map(|it| it.piece)).collect();
    let keys: BTreeSet<_> =
        pieces.into_iter().filter_map(|id| brief.piece(id).ok()).map(|it| &it.species).collect();
    keys.into_iter().filter_map(|key| brief.facts().wood(key).ok()).collect()
}

/// The first letter made a capital.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

//! What the owner of a board has to know.

use std::collections::BTreeSet;

use handbook::{CautionKey, Coats, Layer, Species, caution};
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
    if let Some(coats) = &finish {
        lines.extend(of_finish(coats));
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

/// What it suits, what is in it, and how and when it is renewed.
fn of_finish(coats: &Coats) -> Vec<String> {
    let mut lines = vec![sentence(&coats.finish.care)];
    lines.extend(coats.layers.iter().map(|it| sentence(&format!("{}: {}", it.name, it.food_note))));
    let told: Vec<&str> = coats.layers.iter().filter_map(|it| it.tell.as_deref()).collect();
    if !told.is_empty() {
        lines.push(format!("In the finish: {}", told.join("; ")));
    }
    let renewed: Vec<(&Layer, u32)> = coats.renewed().collect();
    let each: Vec<String> =
        renewed.iter().map(|(it, months)| format!("{} {}", it.name, every(*months))).collect();
    if !each.is_empty() {
        let often = each.join(", ");
        lines.push(format!("In daily use renew the {often} (from memory); sooner where it looks dry"));
    }
    let oily = CautionKey::from("oily_rags");
    if renewed.iter().any(|(it, _)| it.cautions.contains(&oily))
        && let Ok(rags) = caution(&oily)
    {
        lines.push(rags.text.clone());
    }
    lines
}

/// `every month`, `every 6 months`.
fn every(months: u32) -> String {
    if months == 1 { "every month".to_owned() } else { format!("every {months} months") }
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

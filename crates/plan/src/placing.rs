//! What placing has to tell: parts and strips without a place, pins that clash.

use measure::{Checked, Figure, Problem};
use stock::{Brief, Finding, Grade, Layout, Mending, Spot};

/// Turns what placing tells into findings.
///
/// `lay_out` tells the faults of pinned parts first, then one problem for each
/// part and each strip without a place, in the layout's own order.
pub(crate) fn findings(brief: &Brief, laid: &Checked<Layout>) -> Vec<Finding> {
    let layout = &laid.value;
    let reasons = layout.unplaced.len() + layout.unplaced_strips.len();
    let (pins, reasons) = laid.problems.split_at(laid.problems.len().saturating_sub(reasons));
    let parts = layout.unplaced.iter().map(|&part| Spot::Unplaced { part });
    let strips = layout.unplaced_strips.iter().map(|strip| Spot::Panel { panel: strip.panel });
    let without =
        reasons.iter().zip(parts.chain(strips)).map(|(why, spot)| no_place(brief, layout, why, spot));
    let clashing = pins.iter().map(|why| clash(brief, why));
    clashing.chain(without).collect()
}

fn no_place(brief: &Brief, layout: &Layout, why: &Problem, spot: Spot) -> Finding {
    let wanted = brief.parts().len();
    let without = layout.unplaced.len() + layout.unplaced_strips.len();
    let figure = Figure::new("parts and strips without a place", without.to_string())
        .by("exact check of outlines, zones, grain and kerf", "the pieces, panels and patterns of the job")
        .from("parts wanted", wanted.to_string())
        .from("parts that found a place", layout.placements.len().to_string())
        .from("strips without a place", layout.unplaced_strips.len().to_string());
    Finding {
        grade: Grade::Stop,
        rule: "no place in the wood".to_owned(),
        what: why.message.clone(),
        spot,
        figure,
        limit: "0".to_owned(),
        why: "what has no place cannot be sawn".to_owned(),
        mendings: by_hand(why, "add wood to the job, or want fewer"),
    }
}

fn clash(brief: &Brief, why: &Problem) -> Finding {
    let pins = brief.job.choices.pins.len();
    Finding {
        grade: Grade::Stop,
        rule: "pinned where it cannot be".to_owned(),
        what: why.message.clone(),
        spot: Spot::Job,
        figure: Figure::new("pinned parts", pins.to_string())
            .by("exact check of outlines, zones, grain and kerf", "where the maker has put them"),
        limit: "clear wood, apart by the kerf".to_owned(),
        why: "a part that is pinned stays where it is, and the rest is planned around it".to_owned(),
        mendings: by_hand(why, "move it, or take its pin off"),
    }
}

fn by_hand(why: &Problem, otherwise: &str) -> Vec<Mending> {
    vec![Mending::by_hand(why.hint.clone().unwrap_or_else(|| otherwise.to_owned()))]
}

//! Whether the wood is dry enough for the glue, and wet enough.

use handbook::{Fact, Glue, percent};
use measure::{Figure, Moisture};
use stock::{Finding, Grade, Mending, Panel, Piece, Spot};

use crate::making::Making;

/// Findings `too wet to glue` and `too dry to glue`, once for each piece that
/// strips are ripped from and somebody has measured.
pub(super) fn check(making: &mut Making, panel: &Panel, glue: &Glue) {
    let mut pieces: Vec<&Piece> =
        panel.runs.iter().filter_map(|run| making.brief.piece(run.piece).ok()).collect();
    pieces.sort_by_key(|it| it.id);
    pieces.dedup_by_key(|it| it.id);
    for piece in pieces {
        let Some(now) = piece.moisture.map(|it| it.moisture) else { continue };
        if let Some(limit) = glue.wettest.as_ref().filter(|it| now > it.value) {
            making.find(Finding {
                rule: "too wet to glue".to_owned(),
                why: "water in the wood thins the glue and keeps it from setting, and the strip shrinks away from \
                      its joint"
                    .to_owned(),
                mendings: vec![Mending::by_hand(format!(
                    "sticker it in the shop until the meter shows no more than {}",
                    percent(limit.value)
                ))],
                ..off(panel, glue, piece, now, limit)
            });
        }
        if let Some(limit) = glue.driest.as_ref().filter(|it| now < it.value) {
            making.find(Finding {
                rule: "too dry to glue".to_owned(),
                why: "wood that is too dry draws the water out of the glue before the joint is closed"
                    .to_owned(),
                mendings: vec![Mending::by_hand(format!(
                    "let it lie in damper air until the meter shows at least {}",
                    percent(limit.value)
                ))],
                ..off(panel, glue, piece, now, limit)
            });
        }
    }
}

/// What both findings share.
fn off(panel: &Panel, glue: &Glue, piece: &Piece, now: Moisture, limit: &Fact<Moisture>) -> Finding {
    let mut figure = Figure::new("moisture of the wood", percent(now))
        .by("as the meter showed; the limit looked up for the glue", limit.origin())
        .from("piece", piece.name.clone())
        .from("glue", glue.name.clone());
    if let Some(note) = &limit.note {
        figure = figure.from("of the glue", note.clone());
    }
    Finding {
        grade: Grade::Mend,
        rule: String::new(),
        what: format!(
            "{} in {} has {}, the limit of {} is {}",
            piece.name,
            panel.name,
            percent(now),
            glue.name,
            percent(limit.value)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure,
        limit: percent(limit.value),
        why: String::new(),
        mendings: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use handbook::{Glue, GlueKey, all_glues};
    use measure::Moisture;
    use stock::Brief;

    use crate::fixture::{CHERRY, brief, routed, told};

    fn cherry_at(percent: f64) -> Brief {
        let mut brief = brief();
        let cherry = brief.pieces.iter_mut().find(|it| it.id == CHERRY).unwrap();
        cherry.moisture.as_mut().unwrap().moisture = Moisture::percent(percent);
        brief
    }

    #[test]
    fn wood_outside_of_what_the_glue_bears_is_told_and_within_it_is_not() {
        // Glue makers' guidance: 6 to 8 %; usual data sheets up to 12 %.
        for within in [6.0, 9.0, 12.0] {
            let route = routed(&cherry_at(within));
            assert!(told(&route, "too wet to glue").is_empty() && told(&route, "too dry to glue").is_empty());
        }
        let route = routed(&cherry_at(13.0));
        let [finding] = told(&route, "too wet to glue")[..] else { panic!() };
        assert_eq!((finding.figure.value.as_str(), finding.limit.as_str()), ("13 %", "12 %"));
        let route = routed(&cherry_at(5.0));
        let [finding] = told(&route, "too dry to glue")[..] else { panic!() };
        assert_eq!((finding.figure.value.as_str(), finding.limit.as_str()), ("5 %", "6 %"));
        assert_eq!(finding.figure.source, "glue makers' guidance (second hand)");
    }

    #[test]
    fn a_glue_of_which_no_limit_is_known_is_silent() {
        let mut brief = cherry_at(25.0);
        let own = Glue { key: GlueKey::from("ours"), driest: None, wettest: None, ..all_glues()[0].clone() };
        brief.job.glue = own.key.clone();
        brief.kit.own.glues.push(own);
        assert!(told(&routed(&brief), "too wet to glue").is_empty());
    }
}

//! Whether a glued panel stays flat: its strips' rings, and one face that dries first.

use handbook::{Cut, Species, cup, movement, one_faced_cup, percent};
use measure::{Figure, Length, Moisture};
use stock::{Finding, Grade, Mending, Panel, Piece, Spot};

use crate::glue::{bark_up, reading};
use crate::making::Making;
use crate::moisture::{PITH, year};

/// A board that stands so far off its table rocks, and is seen to (1/32 in;
/// common practice, no source).
const ROCKS: Length = Length::inches(0.03125);

/// One strip: out of which piece, of which wood, how wide.
type Strip<'a> = (&'a Piece, &'a Species, Length);

/// Finding `panel will cup`, once for each of its two causes.
pub(super) fn check(making: &mut Making, panel: &Panel) {
    let brief = making.brief;
    let known = |(piece, width): (_, Length)| {
        let piece = brief.piece(piece).ok()?;
        Some((piece, brief.facts().wood(&piece.species).ok()?, width)).filter(|it| it.2 > Length::ZERO)
    };
    let strips: Vec<Strip> = panel.strips().filter_map(known).collect();
    if strips.is_empty() {
        return;
    }
    by_rings(making, panel, &strips);
    by_one_face(making, panel, &strips);
}

/// Each strip is taken for flat-sawn and cups away from its pith; bark sides up
/// and down in turn, equal strips cancel and a wide one does not.
fn by_rings(making: &mut Making, panel: &Panel, strips: &[Strip]) {
    let units = making.units();
    let (low, high) = year(making);
    let cups = |to: Moisture| -> Vec<Length> {
        let from = |it: &Strip| it.0.moisture.map_or((low + high) / 2.0, |it| it.moisture);
        strips.iter().map(|it| cup(it.1, it.2, PITH, from(it), to)).collect()
    };
    let of_panel = |to| out_of_flat(strips, &cups(to));
    let then = if of_panel(low) >= of_panel(high) { low } else { high };
    let whole = of_panel(then);
    if whole <= ROCKS {
        return;
    }
    let alone = cups(then).into_iter().map(Length::abs).fold(Length::ZERO, Length::max);
    let widest = strips.iter().map(|it| it.2).fold(Length::ZERO, Length::max);
    let up = (0..strips.len()).filter(|it| bark_up(*it)).count();
    let mut figure = Figure::new("out of flat by its rings", units.fine_length(whole))
        .by(
            "arcs of the strips laid end to end, each away from its pith, against the line between its edges",
            "polar strains, checked by finite elements; pith: estimate",
        )
        .from("moisture at its worst", percent(then))
        .from("strips bark side up", up.to_string())
        .from("strips bark side down", (strips.len() - up).to_string())
        .from("widest strip", units.length(widest))
        .from("most that one strip cups alone", units.fine_length(alone))
        .from("pith below or above each strip", units.length(PITH));
    for piece in each_piece(strips) {
        figure = figure.from(piece.name.clone(), reading(piece.moisture));
    }
    making.find(Finding {
        grade: Grade::Mend,
        rule: RULE.to_owned(),
        what: format!(
            "{} stands {} out of flat at {}: its strips' rings do not cancel",
            panel.name,
            units.fine_length(whole),
            percent(then)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure,
        limit: units.fine_length(ROCKS),
        why: "a board that is not flat rocks on its table".to_owned(),
        mendings: vec![
            Mending::by_hand("rip the widest strip through its middle and turn one half over"),
            Mending::by_hand("take a quarter-sawn strip there: it does not cup"),
            Mending::by_hand(format!(
                "let the wood lie until the meter shows about {}",
                percent((low + high) / 2.0)
            )),
        ],
    });
}

/// One face comes to the air of the home while the other, finished or lying on
/// a table, is still as wet or dry as it was glued; evenly in between.
fn by_one_face(making: &mut Making, panel: &Panel, strips: &[Strip]) {
    let units = making.units();
    let (low, high) = year(making);
    let home = (low + high) / 2.0;
    let wide: Length = strips.iter().map(|it| it.2).sum();
    let grows = |it: &Strip| {
        let from = it.0.moisture.map_or(home, |it| it.moisture);
        movement(it.1, Cut::FlatSawn, it.2, from, home).change
    };
    let apart = strips.iter().map(grows).sum::<Length>() / wide;
    let cups = one_faced_cup(wide, panel.thickness, apart);
    if cups.abs() <= ROCKS {
        return;
    }
    let mut figure = Figure::new("cup with one face at home", units.fine_length(cups))
        .by("- difference of the faces · width² / (8 thickness)", "elasticity, checked by finite elements")
        .from("difference of the faces", format!("{:.2} %", apart * 100.0))
        .from("width", units.length(wide))
        .from("thickness", units.length(panel.thickness))
        .from("moisture at home", percent(home));
    for piece in each_piece(strips) {
        figure = figure.from(piece.name.clone(), reading(piece.moisture));
    }
    making.find(Finding {
        grade: Grade::Note,
        rule: RULE.to_owned(),
        what: format!(
            "{} cups by {} while one face has come to the {} of its home and the other has not",
            panel.name,
            units.fine_length(cups.abs()),
            percent(home)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure,
        limit: units.fine_length(ROCKS),
        why: "a face that dries first shrinks first and pulls the panel hollow".to_owned(),
        mendings: vec![
            Mending::by_hand(
                "stand it on edge or on stickers, so that air reaches both faces, and finish both alike",
            ),
            Mending::by_hand(format!("let the wood lie until the meter shows about {}", percent(home))),
        ],
    });
}

const RULE: &str = "panel will cup";

/// The pieces that strips come from, each once.
fn each_piece<'a>(strips: &[Strip<'a>]) -> Vec<&'a Piece> {
    let mut pieces: Vec<&Piece> = Vec::new();
    for (piece, ..) in strips {
        if !pieces.iter().any(|it| it.id == piece.id) {
            pieces.push(piece);
        }
    }
    pieces
}

/// How far a row of arcs, each of them so high, runs out of the line between
/// its two ends, above and below together.
fn out_of_flat(strips: &[Strip], cups: &[Length]) -> Length {
    let wide: Length = strips.iter().map(|it| it.2).sum();
    // Where it has come to: how far along, how high, how steep.
    let (mut x, mut y, mut slope) = (0.0, 0.0, 0.0);
    let mut profile = vec![(x, y)];
    for (index, (&(_, _, width), cup)) in strips.iter().zip(cups).enumerate() {
        let (width, cup) = (width.to_mm(), if bark_up(index) { cup.to_mm() } else { -cup.to_mm() });
        // An arc of height h over a width w turns by 8 h / w.
        profile.push((x + width / 2.0, y + slope * width / 2.0 + cup));
        y += slope * width + 4.0 * cup;
        slope += 8.0 * cup / width;
        x += width;
        profile.push((x, y));
    }
    let off = |&(at, high): &(f64, f64)| high - y * at / wide.to_mm();
    let least = profile.iter().map(off).fold(0.0, f64::min);
    let most = profile.iter().map(off).fold(0.0, f64::max);
    Length::mm(most - least)
}

#[cfg(test)]
mod tests {
    use measure::Units;
    use stock::Brief;

    use super::*;
    use crate::fixture::{CHERRY, MAPLE, brief, routed, told};

    fn wetted(percent: f64) -> Brief {
        let mut brief = brief();
        brief.kit.units = Units::MILLIMETRES;
        brief
            .pieces
            .iter_mut()
            .for_each(|it| it.moisture.as_mut().unwrap().moisture = Moisture::percent(percent));
        brief
    }

    fn causes(brief: &Brief) -> Vec<(Grade, String)> {
        told(&routed(brief), RULE).iter().map(|it| (it.grade, it.figure.value.clone())).collect()
    }

    #[test]
    fn a_face_that_dries_first_is_told_and_wood_at_home_is_not() {
        assert!(causes(&wetted(9.0)).is_empty());
        // By hand, home 9.2 %: 13 - 9.2 = 3.8 points. Four maple strips of 45 mm and
        // one of cherry of 60: (180 · 0.00353 + 60 · 0.00248) / 240 = 0.00327 (table
        // 13-5), 1.24 %; 0.0124 · 240² / (8 · 20) = 4.5 mm.
        let [(grade, cup)] = &causes(&wetted(13.0))[..] else { panic!() };
        let cup: f64 = cup.trim_end_matches(" mm").parse().unwrap();
        assert!(*grade == Grade::Note && (cup - 4.48).abs() < 0.08, "{cup}");
    }

    #[test]
    fn a_wide_flat_sawn_strip_is_told_and_narrow_ones_in_turn_cancel() {
        let rings = |brief: &Brief| causes(brief).iter().filter(|it| it.0 == Grade::Mend).count();
        let mut brief = wetted(13.0);
        assert_eq!(rings(&brief), 0, "strips of 45 and 60 mm, bark sides up and down");
        let narrow = brief.job.panels[0].runs[0].clone();
        brief.job.panels[0].runs = vec![narrow.clone(), narrow.clone(), narrow];
        brief.job.panels[0].runs[0].count = 1;
        brief.job.panels[0].runs[1].width = Length::mm(200.0);
        brief.job.panels[0].runs[1].count = 1;
        brief.job.panels[0].runs[2].count = 1;
        // By hand, 13 to 7.2 %: 5.8 / (3000/9.9 - 17) = 2.03 % along and 5.8 / (3000/4.8
        // - 17) = 0.95 % across the rings (table 4-3); 1.08 % · 100 mm · θ tan θ, θ 45°:
        // 0.85 mm of the wide strip alone.
        assert_eq!(rings(&brief), 1, "one of 200 mm between two narrow ones");
    }

    #[test]
    fn arcs_turned_over_in_turn_cancel() {
        let brief = brief();
        let piece = |id| brief.piece(id).unwrap();
        let wood = brief.facts().wood(&piece(MAPLE).species).unwrap();
        let strips = |widths: &[f64]| -> Vec<Strip> {
            widths.iter().map(|it| (piece(CHERRY), wood, Length::mm(*it))).collect()
        };
        let one = Length::mm(0.2);
        assert!(
            (out_of_flat(&strips(&[100.0]), &[one]) - one).abs() < Length::mm(1e-9),
            "one arc is its height"
        );
        // Two arcs of 100 mm that turn the same way are one of 200 mm: four times as
        // high; in turn they are an S, once up and once down.
        assert!((out_of_flat(&strips(&[100.0; 2]), &[one, -one]).to_mm() - 0.8).abs() < 1e-9);
        assert!((out_of_flat(&strips(&[100.0; 2]), &[one, one]).to_mm() - 0.4).abs() < 1e-9);
        // Forty strips the same way would be 1600 times as high.
        assert!(out_of_flat(&strips(&[100.0; 40]), &[one; 40]) < one * 4.0);
    }
}

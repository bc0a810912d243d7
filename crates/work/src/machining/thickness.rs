//! What a thickness holds: too little for what is wanted, or far too much.

use std::collections::BTreeSet;

use measure::{Figure, Length};
use stock::{Change, FaceKey, Finding, Grade, Mending, PanelId, Piece, PieceId, Spot};

use super::blank::Blank;
use crate::making::{Laid, Making};

/// More than this share of a thickness planed to shavings is told (common
/// practice, no source).
const MOST_SHAVINGS: f64 = 1.0 / 3.0;

// What the trade takes off both faces together of a rough board, up to 6/4 and
// from 8/4 on: 4/4 is sold planed at 13/16 in, 5/4 at 1 1/16, 6/4 at 1 5/16, 8/4
// at 1 3/4 (NHLA standard thicknesses, from memory; 4/4 read on a public page).
const TRADE_THIN: Length = Length::inches(3.0 / 16.0);
const TRADE_THICK: Length = Length::inches(1.0 / 4.0);
const THICK_BOARD: Length = Length::inches(2.0);
const TRADE_SOURCE: &str = "NHLA standard thicknesses of rough and planed boards, from memory";

/// The shortest board that the trade grades: shorter ones are flat with less
/// (NHLA grading rules, a summary).
const TRADE_BOARD: Length = Length::inches(48.0);

/// Findings `too thin for its thickness`: pieces and panels against the parts
/// out of them, pieces against the panels out of them.
pub(super) fn too_thin(making: &mut Making, parts: &[Laid]) {
    let planing = making.brief.kit.allowances.planing;
    let mut told = BTreeSet::new();
    for part in parts {
        let face = part.placement.face;
        let (now, taken) = match face {
            FaceKey::Piece(id) => (making.brief.piece(id).map(|it| it.thickness), planing),
            FaceKey::Panel(id) => (making.brief.panel(id).map(|it| it.thickness), Length::ZERO),
        };
        let Ok(now) = now else { continue };
        if told.insert((face, part.want.id)) {
            part_thickness(making, part, now, taken);
        }
    }
    let strips: BTreeSet<(PieceId, PanelId)> =
        making.layout.strips.iter().map(|it| (it.piece, it.strip.panel)).collect();
    for (piece, panel) in strips {
        strip_thickness(making, piece, panel);
    }
}

fn part_thickness(making: &mut Making, part: &Laid, now: Length, taken: Length) {
    let units = making.units();
    let sanding = making.brief.kit.allowances.sanding;
    let left = now - taken * 2.0 - sanding * 2.0;
    let wanted = part.want.thickness;
    if left >= wanted {
        return;
    }
    let face = making.brief.face_name(part.placement.face);
    let mut mendings = Vec::new();
    if left > Length::ZERO {
        mendings.push(Mending::by(
            Change::Thickness { want: part.want.id, to: left },
            format!("make {} {} thick", part.pattern.name, units.length(left)),
        ));
    }
    mendings.push(Mending::by_hand("take a thicker piece"));
    making.find(Finding {
        grade: Grade::Stop,
        rule: "too thin for its thickness".to_owned(),
        what: format!(
            "{face} leaves {} after planing and sanding, {} wants {}",
            units.length(left),
            part.pattern.name,
            units.length(wanted)
        ),
        spot: part.spot_within(),
        figure: Figure::new("thickness left", units.length(left))
            .by("rough thickness - 2 · planing - 2 · sanding", "the shop's own allowances")
            .from("thickness now", units.length(now))
            .from("planing, each face", units.fine_length(taken))
            .from("sanding, each face", units.fine_length(sanding)),
        limit: units.length(wanted),
        why: "what the machines take off cannot be put back".to_owned(),
        mendings,
    });
}

fn strip_thickness(making: &mut Making, piece: PieceId, panel: PanelId) {
    let (Ok(wood), Ok(panel)) = (making.brief.piece(piece), making.brief.panel(panel)) else { return };
    let units = making.units();
    let planing = making.brief.kit.allowances.planing;
    let left = wood.thickness - planing * 2.0;
    if left >= panel.thickness {
        return;
    }
    making.find(Finding {
        grade: Grade::Stop,
        rule: "strip too thin for its panel".to_owned(),
        what: format!(
            "{} leaves {} after planing, {} wants {}",
            wood.name,
            units.length(left),
            panel.name,
            units.length(panel.thickness)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("thickness left", units.length(left))
            .by("rough thickness - 2 · planing", "the shop's own allowances")
            .from("thickness now", units.length(wood.thickness))
            .from("planing, each face", units.fine_length(planing))
            .from("of it before glue-up", units.fine_length(planing / 2.0)),
        limit: units.length(panel.thickness),
        why: "a thin strip leaves a trough in the panel".to_owned(),
        mendings: vec![
            Mending::by_hand(format!("make {} {} thick", panel.name, units.length(left))),
            Mending::by_hand("rip these strips out of a thicker piece"),
        ],
    });
}

/// Finding `thick wood for a thin part`: what is planed away could have been a board.
pub(super) fn too_thick(making: &mut Making, wood: &Piece, name: &str, width: Length, to: Length) {
    let taken = wood.thickness - to;
    let share = taken / wood.thickness;
    if taken <= Length::ZERO || share <= MOST_SHAVINGS {
        return;
    }
    let units = making.units();
    let kit = &making.brief.kit;
    let kerf = kit.bandsaw.blades.iter().map(|it| it.kerf).reduce(Length::max).unwrap_or(Length::ZERO);
    let half = (wood.thickness - kerf) / 2.0;
    let needs = to + kit.allowances.planing * 2.0;
    let mut mendings = Vec::new();
    if half >= needs && width <= kit.bandsaw.height {
        mendings.push(Mending::by_hand(format!(
            "resaw it on the bandsaw into two boards of {}, with the widest blade and a tall fence",
            units.length(half)
        )));
    } else if width <= kit.bandsaw.height && taken - kit.allowances.planing - kerf > kit.allowances.planing {
        mendings.push(Mending::by_hand(format!(
            "resaw it on the bandsaw to {} and keep the thin board that falls off",
            units.length(needs)
        )));
    }
    mendings.push(Mending::by_hand(format!("lay it on wood about {} thick", units.length(needs))));
    making.find(Finding {
        grade: Grade::Note,
        rule: "thick wood for a thin part".to_owned(),
        what: format!(
            "{name} is planed from {} of {} down to {}: {:.0} % of it goes to shavings",
            units.length(wood.thickness),
            wood.name,
            units.length(to),
            share * 100.0
        ),
        spot: Spot::Piece { piece: wood.id },
        figure: Figure::new("planed to shavings", format!("{:.0} %", share * 100.0))
            .by("(rough thickness - planed thickness) / rough thickness", "measured on the piece")
            .from("rough thickness", units.length(wood.thickness))
            .from("planed thickness", units.fine_length(to)),
        limit: format!("{:.0} % (common practice, no source)", MOST_SHAVINGS * 100.0),
        why: "it costs wood and time, and wood planed far on one side comes out of balance and cups"
            .to_owned(),
        mendings,
    });
}

/// Finding `less to plane than the trade takes`: a long rough board that has to
/// lose less than mills take off such boards.
pub(super) fn too_little(making: &mut Making, wood: &Piece, blank: &Blank, last: Length) {
    let taken = wood.thickness - last;
    let usual = if wood.thickness < THICK_BOARD { TRADE_THIN } else { TRADE_THICK };
    let least = making.brief.kit.allowances.planing * 2.0;
    if taken >= usual || taken < least || blank.longest < TRADE_BOARD {
        return;
    }
    let units = making.units();
    making.find(Finding {
        grade: Grade::Note,
        rule: "less to plane than the trade takes".to_owned(),
        what: format!(
            "{} may lose {} to get flat over {}; mills take {} off such boards",
            wood.name,
            units.fine_length(taken),
            units.length(blank.longest),
            units.fine_length(usual)
        ),
        spot: Spot::Piece { piece: wood.id },
        figure: Figure::new("both faces may lose", units.fine_length(taken))
            .by("rough thickness - thickness before sanding", "measured on the piece")
            .from("rough thickness", units.length(wood.thickness))
            .from("planed to", units.fine_length(last))
            .from("length over the machines", units.length(blank.longest)),
        limit: format!("{} ({TRADE_SOURCE})", units.fine_length(usual)),
        why: "a rough board that is bowed, cupped or twisted still has hollows at its thickness".to_owned(),
        mendings: vec![
            Mending::by_hand("lay a straightedge on both faces: its gaps together must be less than that"),
            Mending::by_hand("crosscut it between the parts first: half the length has a quarter of the bow"),
            Mending::by_hand("take a thicker piece"),
        ],
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{brief, layout, routed, told};

    #[test]
    fn a_thickness_that_the_piece_does_not_hold_is_stopped_and_mended() {
        // By hand: 27 mm, 1.5 mm planed and 0.25 mm sanded from each face: 23.5 mm.
        let mut brief = brief();
        brief.job.wants[0].thickness = Length::mm(23.5);
        assert!(told(&routed(&brief), "too thin for its thickness").is_empty());
        brief.job.wants[0].thickness = Length::mm(24.0);
        let route = routed(&brief);
        let [finding] = told(&route, "too thin for its thickness")[..] else { panic!() };
        let Some(Change::Thickness { to, .. }) = finding.mendings[0].change else { panic!() };
        assert!((to.to_mm() - 23.5).abs() < 1e-9);
    }

    #[test]
    fn a_panel_thicker_than_its_strips_is_stopped() {
        let mut brief = brief();
        assert!(told(&routed(&brief), "strip too thin for its panel").is_empty());
        brief.job.panels[0].thickness = Length::mm(24.0);
        assert_eq!(
            told(&routed(&brief), "strip too thin for its panel").len(),
            2,
            "26 - 3 = 23 mm, two planks"
        );
    }

    #[test]
    fn thick_wood_for_a_thin_part_is_resawn_where_the_saw_is_high_enough() {
        const RULE: &str = "thick wood for a thin part";
        // 29 mm to 19.5 are 33 %, 30 mm are 35 %.
        let mut brief = brief();
        brief.pieces[0].thickness = Length::mm(29.0);
        assert!(told(&routed(&brief), RULE).is_empty());
        brief.pieces[0].thickness = Length::mm(30.0);
        let route = routed(&brief);
        let [finding] = told(&route, RULE)[..] else { panic!() };
        assert_eq!(finding.figure.value, "35 %");
        assert_eq!(finding.mendings.len(), 1, "290 mm do not pass 6 in of bandsaw");
        brief.kit.bandsaw.height = Length::mm(300.0);
        brief.pieces[0].thickness = Length::mm(48.0);
        let route = routed(&brief);
        // (48 - 1.27) / 2 mm, and 22.5 are needed.
        let resaw = &told(&route, RULE)[0].mendings[0].label;
        assert!(resaw.contains("two boards of 15/16 in"), "{resaw}");
    }

    #[test]
    fn a_part_thinner_than_its_neighbours_is_told_of_its_own_shavings() {
        const RULE: &str = "thick wood for a thin part";
        let mut brief = brief();
        let mut thin = brief.job.wants[0].clone();
        (thin.id, thin.thickness) = (stock::WantId(3), Length::mm(17.0));
        brief.job.wants.push(thin);
        let mut layout = layout(&brief);
        let mut second = layout.placements[0].clone();
        second.part.want = stock::WantId(3);
        layout.placements.push(second);
        assert_eq!(told(&crate::route(&brief, &layout), RULE).len(), 1, "17.5 of 27 mm: 35 %");
        brief.job.wants[2].thickness = Length::mm(18.0);
        assert!(told(&crate::route(&brief, &layout), RULE).is_empty(), "18.5 of 27 mm: 31 %");
    }

    /// 4/4 to 13/16 in, 8/4 to 1 3/4 in: so far a long board may be planed in silence.
    #[test]
    fn a_long_board_that_may_lose_less_than_mills_take_is_told() {
        const RULE: &str = "less to plane than the trade takes";
        let mut brief = brief();
        let inch = |it: f64| Length::inches(it);
        let mut told_at = |length: f64, rough: f64, planed: f64| {
            let face = stock::Face::rectangle(Length::mm(length), Length::mm(290.0));
            brief.pieces[0].face = face.expect("a sound face");
            brief.pieces[0].thickness = inch(rough);
            // Sanding takes 0.25 mm from each face.
            brief.job.wants[0].thickness = inch(planed) - Length::mm(0.5);
            told(&routed(&brief), RULE).len()
        };
        assert_eq!(told_at(1500.0, 1.0, 13.0 / 16.0 - 0.001), 0);
        assert_eq!(told_at(1500.0, 1.0, 13.0 / 16.0 + 0.01), 1);
        assert_eq!(told_at(1500.0, 2.0, 1.75 - 0.001), 0);
        assert_eq!(told_at(1500.0, 2.0, 1.75 + 0.01), 1);
        assert_eq!(told_at(620.0, 1.0, 13.0 / 16.0 + 0.01), 0, "two feet are flat with less");
    }
}

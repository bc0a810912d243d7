//! How the strips of a panel move against each other through the year.

use handbook::{Cut, Species, joint_stress, movement, percent};
use measure::{Figure, Length};
use stock::{Finding, Grade, Mending, Panel, Piece, Spot};

use crate::glue::reading;
use crate::making::Making;
use crate::moisture::{SWING, year};

/// A step that a fingertip feels on a smooth face (common practice, no source).
const FELT: Length = Length::mm(0.1);

/// Of twenty boards the weakest bears this share of its wood's mean: tension
/// across the grain scatters by a quarter of it (Wood Handbook FPL-GTR-190,
/// table 5-6, from memory), and 1 − 1.645 · 0.25 is left.
const WEAK_BOARD: f64 = 0.59;

/// Finding `woods that move differently`.
pub(super) fn step(making: &mut Making, panel: &Panel, one: &Species, other: &Species) {
    let units = making.units();
    let (first, second) = (one.tangential_coefficient(), other.tangential_coefficient());
    let differ = (first.value - second.value).abs();
    let step = panel.thickness * (differ * SWING.to_percent());
    if step <= FELT {
        return;
    }
    making.find(Finding {
        grade: Grade::Note,
        rule: "woods that move differently".to_owned(),
        what: format!(
            "{} and {} in {} will stand {} apart at the joint through the year",
            one.name,
            other.name,
            panel.name,
            units.fine_length(step)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("step at the joint", units.fine_length(step))
            .by("|C₁ - C₂| · thickness · swing, rings upright in both", first.basis)
            .from(format!("C of {}", one.name), format!("{:.5} per 1 %", first.value))
            .from(format!("C of {}", other.name), format!("{:.5} per 1 %", second.value))
            .from("thickness", units.length(panel.thickness))
            .from("swing of moisture in a year", percent(SWING)),
        limit: units.fine_length(FELT),
        why: "the finger feels a ridge, and a film cracks along it".to_owned(),
        mendings: vec![
            Mending::by_hand(
                "take flat-sawn strips of the wood that moves more: their rings lie along the face",
            ),
            Mending::by_hand("finish it with an oil, which cannot crack"),
        ],
    });
}

/// Finding `panel may open at its joints`: from its moisture at glueing, each
/// strip goes to that of a winter and a summer, and moves in thickness as its
/// wood does along the rings, were they upright: the most that it can.
pub(super) fn joint(making: &mut Making, panel: &Panel, one: (&Piece, &Species), other: (&Piece, &Species)) {
    let units = making.units();
    let (low, high) = year(making);
    let whole = Length::mm(1000.0);
    let strain = |(piece, wood): (&Piece, &Species), to| {
        let from = piece.moisture.map_or((low + high) / 2.0, |it| it.moisture);
        movement(wood, Cut::FlatSawn, whole, from, to).change / whole
    };
    let apart = |to| (strain(one, to) - strain(other, to)).abs();
    let then = if apart(low) >= apart(high) { low } else { high };
    let (stiff, other_stiff) = (one.1.stiffness_along_the_rings(), other.1.stiffness_along_the_rings());
    let stress = joint_stress(stiff.value, other_stiff.value, apart(then));
    let (first, second) = (one.1.tension(), other.1.tension());
    let (weak, bears) = if first.value <= second.value { (one.1, first) } else { (other.1, second) };
    let limit = bears.value * WEAK_BOARD;
    if stress.tension <= limit {
        return;
    }
    making.find(Finding {
        grade: Grade::Mend,
        rule: "panel may open at its joints".to_owned(),
        what: format!(
            "at {} the joint of {} and {} in {} draws the wood beside it with {}; a weak board of {} bears {}",
            percent(then),
            one.0.name,
            other.0.name,
            panel.name,
            units.stress(stress.tension),
            weak.name,
            units.stress(limit)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("tension beside the joint", units.stress(stress.tension))
            .by(
                "0.655 · 2 E₁E₂/(E₁ + E₂) · |ε₁ - ε₂|, rings upright, no creep",
                "elasticity of a half-loaded face, checked by finite elements; scatter: Wood Handbook table 5-6 (from memory)",
            )
            .from(one.0.name.clone(), reading(one.0.moisture))
            .from(other.0.name.clone(), reading(other.0.moisture))
            .from("moisture at its worst", percent(then))
            .from("difference |ε₁ - ε₂|", format!("{:.2} %", apart(then) * 100.0))
            .from(format!("E₁ of {}", one.1.name), units.stress(stiff.value))
            .from("E₁ from", stiff.basis)
            .from(format!("E₂ of {}", other.1.name), units.stress(other_stiff.value))
            .from("E₂ from", other_stiff.basis)
            .from("shear of the glue", units.stress(stress.shear))
            .from(format!("tension across that {} bears on the average", weak.name), units.stress(bears.value))
            .from("tension across from", bears.basis),
        limit: units.stress(limit),
        why: "strips that want different thicknesses tear at each other where they meet, most at the face".to_owned(),
        mendings: vec![
            Mending::by_hand(format!(
                "let both lie in one air until the meter shows about {}",
                percent((low + high) / 2.0)
            )),
            Mending::by_hand("glue strips of one wood, or of woods that move alike"),
            Mending::by_hand(
                "take flat-sawn strips: with their rings along the face they move less in thickness",
            ),
            Mending::by_hand("finish all faces alike: wood that changes slowly creeps and bears more"),
        ],
    });
}

/// How much the whole panel's width changes through a year.
pub(super) fn movement_figure(making: &Making, panel: &Panel) -> Figure {
    let units = making.units();
    let (low, high) = year(making);
    let mut whole = Length::ZERO;
    let mut inputs = Vec::new();
    for run in &panel.runs {
        let wood = making.brief.piece(run.piece).and_then(|it| making.brief.facts().wood(&it.species));
        let Ok(wood) = wood else { continue };
        let width = run.width * f64::from(run.count.min(Panel::MOST_STRIPS));
        whole += movement(wood, Cut::FlatSawn, width, low, high).change;
        inputs.push((wood.name.clone(), units.length(width)));
    }
    let figure = Figure::new("movement of the panel through a year", units.fine_length(whole)).by(
        "sum over the strips of D · C · (M₂ - M₁)",
        "Wood Handbook FPL-GTR-190 (2010), ch. 13, table 13-5; swing: common practice, no source",
    );
    let figure = figure.from("from", percent(low)).from("to", percent(high));
    inputs.into_iter().fold(figure, |figure, (name, width)| figure.from(name, width))
}

#[cfg(test)]
mod tests {
    use measure::{Moisture, Units};

    use crate::fixture::{CHERRY, brief, routed, told};

    #[test]
    fn a_wet_strip_beside_a_dry_one_is_told_and_two_dry_woods_are_not() {
        // By hand: home 9.2 %, summer 11.2. Cherry from 16 %: -4.8 / (3000/7.1 - 14) =
        // -1.17 %; maple from 9 %: 0.00353 · 2.2 = 0.78 % (tables 4-3, 13-5); 1.95 %
        // apart. E along the rings: 1.1 · 12.6 GPa · 0.065 and 1.1 · 10.3 GPa · 0.086
        // (tables 5-3b, 5-1), together 935 MPa: 0.655 · 935 · 0.0195 = 12.0 MPa. Cherry
        // bears 560 psi, 3.9 MPa; of that 0.59.
        let mut brief = brief();
        brief.kit.units = Units::MILLIMETRES;
        assert!(told(&routed(&brief), "panel may open at its joints").is_empty());
        let cherry = brief.pieces.iter_mut().find(|it| it.id == CHERRY).unwrap();
        cherry.moisture.as_mut().unwrap().moisture = Moisture::percent(16.0);
        let route = routed(&brief);
        let [finding] = told(&route, "panel may open at its joints")[..] else { panic!() };
        assert_eq!((finding.figure.value.as_str(), finding.limit.as_str()), ("11.99 MPa", "2.28 MPa"));
        assert!(finding.what.contains("a weak board of black cherry"), "{}", finding.what);
    }

    #[test]
    fn woods_that_move_alike_are_not_told_however_far_the_air_is_from_the_wood() {
        let mut brief = brief();
        brief.job.panels[0].runs.truncate(1);
        brief
            .pieces
            .iter_mut()
            .for_each(|it| it.moisture.as_mut().unwrap().moisture = Moisture::percent(20.0));
        assert!(told(&routed(&brief), "panel may open at its joints").is_empty());
    }
}

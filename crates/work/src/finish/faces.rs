//! Whether both faces get the finish.

use handbook::{Cut, Species, equilibrium_moisture, movement, percent};
use measure::{Figure, Length, Moisture};
use stock::{Change, Finding, FinishedFaces, Grade, Mending};

use crate::making::{Laid, Making};
use crate::moisture::across;

/// How far the moisture of a bare face runs ahead of a finished one's when the
/// season changes (estimate: half of what a heated room's seasons differ by).
const AHEAD: Moisture = Moisture::percent(2.0);

/// A board whose edges rise by more than this rocks on the table (common
/// practice, no source).
const ROCKS: Length = Length::inches(1.0 / 32.0);

/// Finding `one face left unfinished`, for the part that cups most.
pub(super) fn check(making: &mut Making, parts: &[Laid]) {
    if making.brief.job.choices.finished == FinishedFaces::Both {
        return;
    }
    let home = making.brief.job.home;
    // Air beyond the table is told of with the moisture of the pieces.
    let Ok(then) = equilibrium_moisture(home.temperature, home.humidity) else { return };
    let each = parts.iter().filter_map(|it| Cupped::of(making, it, then));
    let Some(worst) = each.reduce(|a, b| if b.rise > a.rise { b } else { a }) else { return };
    if worst.rise > ROCKS {
        let finding = worst.finding(making, then);
        making.find(finding);
    }
}

/// A part whose faces differ in moisture.
struct Cupped<'a> {
    part: &'a Laid<'a>,
    wood: &'a Species,
    width: Length,
    strain: f64,
    rise: Length,
}

impl<'a> Cupped<'a> {
    /// A strain that falls evenly from face to face bends a board without stress
    /// to a curvature of strain / thickness; over its width the edges rise by
    /// width² · curvature / 8 (geometry of a flat arc).
    fn of(making: &Making, part: &'a Laid<'a>, then: Moisture) -> Option<Cupped<'a>> {
        let grain = making.brief.face(part.placement.face).ok()?.grain.overall;
        let width = across(part.placement.outline.outer(), grain);
        let whole = Length::mm(1000.0);
        let strain =
            |wood: &Species| movement(wood, Cut::FlatSawn, whole, then, then - AHEAD).change.abs() / whole;
        let all = part.woods.iter().map(|&wood| (wood, strain(wood)));
        let (wood, strain) = all.reduce(|a, b| if b.1 > a.1 { b } else { a })?;
        let rise = width * (width / part.want.thickness * strain / 8.0);
        Some(Cupped { part, wood, width, strain, rise })
    }

    fn finding(&self, making: &Making, then: Moisture) -> Finding {
        let units = making.units();
        let rise = units.fine_length(self.rise);
        Finding {
            grade: Grade::Mend,
            rule: "one face left unfinished".to_owned(),
            what: format!("{} may cup by {rise} while its bare underside dries first", self.part.name),
            spot: self.part.spot_within(),
            figure: Figure::new("edges over the middle", rise)
                .by(
                    "width² · strain / (8 · thickness), the strain falling evenly from face to face",
                    "geometry; movement by Wood Handbook FPL-GTR-190 (2010), table 13-5",
                )
                .from("width across the grain", units.length(self.width))
                .from("thickness", units.length(self.part.want.thickness))
                .from("moisture where it will live", percent(then))
                .from("the bare face is ahead by", format!("{} (estimate)", percent(AHEAD)))
                .from(
                    format!("{}, flat-sawn, moves by", self.wood.name),
                    format!("{:.2} %", self.strain * 100.0),
                ),
            limit: units.fine_length(ROCKS),
            why: "a bare face takes up and gives off water sooner than a finished one, and the board bends"
                .to_owned(),
            mendings: vec![Mending::by(Change::FinishBothFaces, "finish the underside as well")],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::OperationKind;
    use crate::fixture::{brief, of_kind, routed, told};

    #[test]
    fn a_bare_underside_is_told_and_finishing_it_mends() {
        let mut brief = brief();
        brief.kit.units = measure::Units::MILLIMETRES;
        let both = routed(&brief);
        assert!(told(&both, "one face left unfinished").is_empty());
        brief.job.choices.finished = FinishedFaces::Upper;
        let upper = routed(&brief);
        let [finding] = told(&upper, "one face left unfinished")[..] else { panic!("{:?}", upper.findings) };
        // The panel, 220 mm wide and 19 thick; maple, C 0.00353 (table 13-5):
        // 220² · 2 · 0.00353 / (8 · 19) = 2.25 mm.
        assert!(finding.what.contains("board"), "{}", finding.what);
        let rise: f64 = finding.figure.value.trim_end_matches(" mm").parse().unwrap();
        assert!((rise - 2.25).abs() < 0.02, "{rise}");
        assert_eq!(finding.mendings[0].change, Some(Change::FinishBothFaces));
        // Hardwax oil, 20 m² to a litre, two faces of 64400 and 83600 mm² less: 7.4 ml.
        let used = |it: &crate::Route| of_kind(it, OperationKind::Finish)[0].uses[0].amount;
        assert!((used(&both) - used(&upper) - 0.0074).abs() < 1e-5);
        let coat = of_kind(&upper, OperationKind::Finish)[0];
        assert!(coat.steps.iter().any(|it| it.text.contains("stays bare")), "{:?}", coat.steps);
    }

    #[test]
    fn a_thick_board_with_a_bare_underside_is_not_told() {
        let mut brief = brief();
        brief.job.choices.finished = FinishedFaces::Upper;
        // 200² · 0.0055 / (8 · 100) = 0.27 mm, and the panel 0.43 mm.
        brief.job.wants.iter_mut().for_each(|it| it.thickness = Length::mm(100.0));
        assert!(told(&routed(&brief), "one face left unfinished").is_empty());
    }
}

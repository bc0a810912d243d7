//! What the planer takes too much at both ends.

use measure::{Figure, Length, Units};
use stock::{Finding, Grade, Mending};

use super::blank::{Blank, Until};
use crate::Operation;
use crate::making::Making;

/// So far from each end the planer takes a little more, where one roller alone
/// holds the work: 2 to 3 in (common practice, no source).
pub(super) const LENGTH: Length = Length::inches(2.5);

/// So much more (common practice, no source: 0.05 to 0.2 mm).
const DEPTH: Length = Length::mm(0.2);

/// How the ends are fed where they are not cut away again.
pub(super) fn told(operation: Operation, units: Units, blank: &Blank) -> Operation {
    let (spare, spoils) = (units.length(blank.spare), units.length(LENGTH));
    let operation = operation.set("spare wood at the ends", spare.clone());
    if blank.spare >= LENGTH {
        return operation.step(format!(
            "The planer takes more off the first and last {spoils} (snipe): that lies in the {spare} of waste"
        ));
    }
    operation.step(format!(
        "The planer takes more off the first and last {spoils} (snipe), and only {spare} there is waste: feed a \
         scrap just as thick before and after it, end to end, or lift its free end a little going in and coming out"
    ))
}

/// Finding `snipe deeper than the sanding`: where neither waste nor sanding takes it away.
pub(super) fn check(making: &mut Making, blank: &Blank) {
    let sanding = making.brief.kit.allowances.sanding;
    if blank.until != Until::Sanding || blank.spare >= LENGTH || sanding >= DEPTH {
        return;
    }
    let units = making.units();
    making.find(Finding {
        grade: Grade::Note,
        rule: "snipe deeper than the sanding".to_owned(),
        what: format!(
            "the planer spoils the ends of {} {} deep, and {} are sanded away",
            blank.name,
            units.fine_length(DEPTH),
            units.fine_length(sanding)
        ),
        spot: blank.spot.clone(),
        figure: Figure::new("sanding, each face", units.fine_length(sanding))
            .by("left on for sanding", "the shop's own allowances")
            .from("spare wood at the ends", units.length(blank.spare))
            .from("the planer spoils at each end", units.length(LENGTH)),
        limit: format!("{} (common practice, no source)", units.fine_length(DEPTH)),
        why: "a step across the end shows in the finish and rocks on a flat table".to_owned(),
        mendings: vec![
            Mending::by_hand("feed a scrap just as thick before and after it, end to end"),
            Mending::by_hand(format!("lay the parts {} from the ends", units.length(LENGTH))),
            Mending::by_hand(format!("leave {} for sanding on each face", units.fine_length(DEPTH))),
        ],
    });
}

#[cfg(test)]
mod tests {
    use measure::Length;
    use outline::{Place, Point};
    use stock::Layout;

    use crate::fixture::{brief, layout, of_kind, routed, told};
    use crate::{OperationKind, Route, route};

    const RULE: &str = "snipe deeper than the sanding";

    fn asks_for_a_scrap(route: &Route, of: &str) -> bool {
        let planed = of_kind(route, OperationKind::Plane);
        let it = planed.iter().find(|it| it.title.contains(of)).unwrap();
        it.steps.iter().any(|it| it.text.contains("scrap"))
    }

    /// The paddle, from this far into the slab of 620 mm; it is 410 mm long.
    fn lying_at(from: f64) -> Layout {
        let brief = brief();
        let mut layout = layout(&brief);
        let it = &mut layout.placements[0];
        it.place = Place { at: Point::new(from, 40.0), ..Place::default() };
        it.outline = it.place.outline(&brief.patterns[0].outline);
        layout
    }

    #[test]
    fn spare_wood_at_the_ends_takes_the_snipe_and_else_a_scrap_does() {
        let brief = brief();
        assert!(asks_for_a_scrap(&route(&brief, &lying_at(40.0)), "walnut slab"), "40 mm are waste");
        assert!(!asks_for_a_scrap(&route(&brief, &lying_at(100.0)), "walnut slab"), "100 and 110 mm");
    }

    #[test]
    fn snipe_that_sanding_does_not_reach_is_told() {
        let mut brief = brief();
        assert!(told(&routed(&brief), RULE).is_empty());
        brief.kit.allowances.sanding = Length::mm(0.1);
        assert_eq!(told(&routed(&brief), RULE).len(), 2, "the slab and the panel");
        assert_eq!(told(&route(&brief, &lying_at(100.0)), RULE).len(), 1, "the panel");
    }
}

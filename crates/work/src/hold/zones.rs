//! Faults of the wood inside a part.

use measure::{Area, Figure};
use outline::{Outline, Ring};
use stock::{Change, Finding, Grade, Mending, Zone};

use crate::making::{Laid, Making};

/// Less than this overlap is a line touching a line: a pinhole is larger.
const TOUCH: Area = Area::mm2(1.0);

/// Findings `fault in the food area` and `fault in the part`.
pub(super) fn part(making: &mut Making, part: &Laid) {
    let Ok(face) = making.brief.face(part.placement.face) else { return };
    for zone in &face.zones {
        let area = Outline::from(zone.area.clone());
        let food: Area = food_areas(part).map(|it| Outline::from(it).overlap_area(&area)).sum();
        let whole = part.placement.outline.overlap_area(&area);
        if food > TOUCH && !zone.kind.is_sound() {
            in_food(making, part, zone, food);
        } else if whole > TOUCH && !making.may_hold(zone.kind) {
            in_part(making, part, zone, whole);
        }
    }
}

/// The areas that food touches, as they lie on the face.
fn food_areas(part: &Laid) -> impl Iterator<Item = Ring> {
    part.pattern.food_areas().map(|area| part.placement.place.ring(area))
}

fn in_food(making: &mut Making, part: &Laid, zone: &Zone, area: Area) {
    let mut mendings = elsewhere(part);
    if !zone.through {
        mendings.push(Mending::by_hand("turn the other face up, if it is clear there"));
    }
    mendings.push(Mending::by_hand("cut it out, or use the board for dry food only"));
    let finding = Finding {
        grade: Grade::Stop,
        rule: "fault in the food area".to_owned(),
        what: format!(
            "{} of {} lie in the food area of {}",
            making.units().area(area),
            zone.kind.word(),
            part.name
        ),
        spot: part.spot(zone.area.centroid()),
        figure: figure(making, zone, area),
        limit: making.units().area(Area::ZERO),
        why: "food and water stay where no cloth reaches".to_owned(),
        mendings,
    };
    making.find(finding);
}

fn in_part(making: &mut Making, part: &Laid, zone: &Zone, area: Area) {
    let mut mendings = elsewhere(part);
    let word = zone.kind.word();
    mendings.push(Mending::by_hand(format!("let parts of this job hold {word}, if it shall be seen")));
    let finding = Finding {
        grade: Grade::Mend,
        rule: "fault in the part".to_owned(),
        what: format!("{} of {word} lie in {}", making.units().area(area), part.name),
        spot: part.spot(zone.area.centroid()),
        figure: figure(making, zone, area),
        limit: making.units().area(Area::ZERO),
        why: "a fault weakens the part, opens when the wood moves, and holds dirt".to_owned(),
        mendings,
    };
    making.find(finding);
}

fn elsewhere(part: &Laid) -> Vec<Mending> {
    let by_hand = Mending::by_hand("move it off the fault");
    if part.placement.pinned {
        let change = Change::Unpin { part: part.key };
        vec![Mending::by(change, "let it find a clear place"), by_hand]
    } else {
        vec![by_hand]
    }
}

fn figure(making: &Making, zone: &Zone, area: Area) -> Figure {
    let units = making.units();
    Figure::new("area of the fault inside", units.area(area))
        .by(
            "area common to fault and outline",
            "measured on the face; clear wood only: common practice, no source",
        )
        .from("kind", zone.kind.word())
        .from("whole fault", units.area(zone.area.area()))
        .from("reaches through", if zone.through { "yes" } else { "no" })
}

//! Hanging holes: wood left beside them, and where they hold.

use measure::{Figure, Length, System, Units};
use outline::Point;
use stock::{Change, FeatureId, Finding, Grade, Mending};

use super::checks::spot;
use crate::making::{Laid, Making};

/// Wood left between a hanging hole and the edge: the hole's diameter, and this
/// at least (common practice, no source).
const LEAST_RIM: Length = Length::mm(10.0);

/// No cord goes through a smaller hole (common practice, no source).
const LEAST_HOLE: Length = Length::mm(6.0);

/// How many places are tried on the way from the hole into the board.
const PLACES: u32 = 200;

/// Between the hole's middle and the edge; below zero outside of the part.
pub(super) fn far(part: &Laid, at: Point) -> Length {
    let outline = &part.pattern.outline;
    let far = outline.to_line(at);
    if outline.contains(at) { far } else { -far }
}

fn least_rim(diameter: Length) -> Length {
    diameter.max(LEAST_RIM)
}

/// How far a hole's middle has to stay from the edge.
pub(super) fn needs(diameter: Length) -> Length {
    diameter / 2.0 + least_rim(diameter)
}

/// The largest hole that leaves its rim so far from the edge: half of it and
/// its own width, or half of it and the least rim.
fn largest(far: Length) -> Length {
    let wide = far / 1.5;
    if wide >= LEAST_RIM { wide } else { (far - LEAST_RIM) * 2.0 }
}

/// The nearest place on the way into the board where the hole leaves its rim:
/// along the stem that it sits on, else towards the middle.
fn inward(part: &Laid, at: Point, diameter: Length) -> Option<Point> {
    let needed = needs(diameter);
    let stems = part.pattern.stems().map(|(_, axis, _, _)| axis);
    let near = stems.min_by(|a, b| a.to.distance(at).to_mm().total_cmp(&b.to.distance(at).to_mm()));
    let middle = part.pattern.outline.outer().centroid();
    let ways = near.map(|axis| [axis.to, axis.from]).into_iter().flatten().chain([middle]);
    let mut from = at;
    for to in ways {
        let tried = (0..=PLACES).map(|it| from.toward(to, f64::from(it) / f64::from(PLACES)));
        if let Some(place) = tried.into_iter().find(|&it| far(part, it) >= needed) {
            return Some(place);
        }
        from = to;
    }
    None
}

/// Findings `hanging hole near the edge` and `hole wider than the bits`.
pub(super) fn check(making: &mut Making, part: &Laid, hole: FeatureId, at: Point, diameter: Length) {
    let units = making.units();
    let far = far(part, at);
    let (rim, least) = (far - diameter / 2.0, least_rim(diameter));
    if rim < least {
        making.find(Finding {
            grade: Grade::Mend,
            rule: "hanging hole near the edge".to_owned(),
            what: format!("{} of wood are left beside the hanging hole of {}", units.length(rim), part.name),
            spot: spot(part, at),
            figure: Figure::new("wood beside the hole", units.length(rim))
                .by("distance of its middle from the edge - diameter / 2", "common practice, no source")
                .from("middle to edge", units.length(far))
                .from("diameter", units.length(diameter)),
            limit: units.length(least),
            why: "a thin rim breaks out when the board swings or falls".to_owned(),
            mendings: mendings(making, part, hole, at, diameter),
        });
    }
    let widest = making.brief.kit.machines.widest_bit;
    if diameter > widest {
        making.find(too_wide(making, part, at, diameter, widest));
    }
}

fn mendings(making: &Making, part: &Laid, hole: FeatureId, at: Point, diameter: Length) -> Vec<Mending> {
    let units = making.units();
    let pattern = part.pattern.id;
    let mut mendings = Vec::new();
    if let Some(to) = inward(part, at, diameter) {
        let change = Change::Hole { pattern, hole, at: to, diameter };
        let label = format!("move the hole {} inward", units.length(to.distance(at)));
        mendings.push(Mending::by(change, label));
    }
    let smaller = rounded_down(units, largest(far(part, at)));
    if smaller >= LEAST_HOLE {
        let change = Change::Hole { pattern, hole, at, diameter: smaller };
        mendings.push(Mending::by(change, format!("make the hole {} wide", units.length(smaller))));
    }
    let needed = diameter + least_rim(diameter) * 2.0;
    mendings.push(Mending::by_hand(format!("draw the wood around it {} wide", units.length(needed))));
    mendings
}

/// Down to the last mark that this maker's figures show, so that the width also
/// holds as it is read.
fn rounded_down(units: Units, it: Length) -> Length {
    match units.system {
        System::Inches => {
            let marks = f64::from(units.fraction.max(1));
            Length::inches((it.to_inches() * marks).floor() / marks)
        }
        System::Millimetres if it.to_mm() < 10.0 => Length::mm((it.to_mm() * 10.0).floor() / 10.0),
        System::Millimetres => Length::mm(it.to_mm().floor()),
    }
}

fn too_wide(making: &Making, part: &Laid, at: Point, diameter: Length, widest: Length) -> Finding {
    let units = making.units();
    Finding {
        grade: Grade::Note,
        rule: "hole wider than the bits".to_owned(),
        what: format!(
            "the hole of {} is {} wide, the widest bit {}",
            part.name,
            units.length(diameter),
            units.length(widest)
        ),
        spot: spot(part, at),
        figure: Figure::new("diameter", units.length(diameter))
            .by("as drawn", "the pattern itself")
            .from("pattern", part.pattern.name.clone()),
        limit: units.length(widest),
        why: "the drill press has nothing to make it with".to_owned(),
        mendings: vec![Mending::by_hand("saw it out from a drilled hole, or rout it along a template")],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_width_is_never_shown_wider_than_it_holds() {
        // By hand: 15.0 mm is 9.45 sixteenths of an inch; 9.96 mm would read 10 mm.
        let shown = |units: Units, mm: f64| units.length(rounded_down(units, Length::mm(mm)));
        assert_eq!(shown(Units::INCHES, 15.0), "9/16 in");
        assert_eq!(shown(Units::INCHES, 15.8), "9/16 in");
        assert_eq!(shown(Units::MILLIMETRES, 9.96), "9.9 mm");
        assert_eq!(shown(Units::MILLIMETRES, 12.7), "12 mm");
    }
}

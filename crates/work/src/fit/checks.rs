//! What can go wrong with feet and holes.

use std::collections::BTreeSet;

use measure::{Angle, Figure, Length};
use outline::Point;
use stock::{Change, FeatureId, Finding, Grade, Mending, PatternId, Spot, WantId};

use crate::fit::edges::Driven;
use crate::fit::feet::{COVER, Fastening, Foot, drawn};
use crate::fit::{Fixed, edges, handle, hang, hole, pocket, rocking, standing};
use crate::making::{Laid, Making};

/// All findings about feet and holes, once for each pattern on each kind of face.
pub(super) fn parts(making: &mut Making, parts: &[Fixed]) {
    let mut told: BTreeSet<(PatternId, FeatureId)> = BTreeSet::new();
    let mut wants: BTreeSet<WantId> = BTreeSet::new();
    for fixed in parts {
        let part = fixed.part;
        for foot in drawn(&part.pattern.features) {
            match foot.sound() {
                Ok(()) => foot_finding(making, part, &foot, &mut told),
                Err(problem) if told.insert((part.pattern.id, foot.id)) => {
                    making.cannot(spot(part, foot.at), &problem);
                }
                Err(_) => {}
            }
        }
        for (id, at, diameter) in part.pattern.hanging_holes() {
            if told.insert((part.pattern.id, id)) {
                hole::check(making, part, id, at, diameter);
                hang::check(making, part, id, at, diameter);
            }
        }
        if wants.insert(part.want.id) {
            whole(making, fixed);
        }
    }
}

/// What is looked at once for each want: how it stands, and what is in it.
fn whole(making: &mut Making, fixed: &Fixed) {
    let part = fixed.part;
    standing::part(making, part);
    for (foot, it) in &fixed.feet {
        let place = |at| Driven { of: foot.name(), at, diameter: it.screw.shank, room: edges::SCREW };
        edges::check(making, part, &foot.screws(it).map(place).collect::<Vec<_>>());
        if foot.batten {
            along_the_grain(making, part, foot);
        }
    }
    for it in &fixed.handles {
        handle::check(making, part, it);
        let place =
            |at| Driven { of: format!("handle {}", it.id), at, diameter: it.screw, room: edges::BOLT };
        edges::check(making, part, &it.holes().map(place));
    }
    for it in &fixed.pockets {
        pocket::check(making, part, it);
        let of = format!("the {} in pocket {}", it.word(), it.id);
        edges::check(making, part, &[Driven { of, at: it.at, diameter: it.diameter, room: edges::POCKET }]);
    }
    if fixed.feet.is_empty() {
        rocking::check(making, part);
    }
}

/// A batten nearer to the grain than this keeps nothing flat (common practice,
/// no source).
const ACROSS: Angle = Angle::degrees(45.0);

/// Finding `batten along the grain`.
fn along_the_grain(making: &mut Making, part: &Laid, batten: &Foot) {
    let Some((off, to)) = batten.off_the_grain(making, part) else { return };
    if off >= ACROSS {
        return;
    }
    let square = Angle::degrees((to.to_degrees() + 90.0).rem_euclid(180.0));
    let change = Change::Turn { pattern: part.pattern.id, feature: batten.id, to: square };
    making.find(Finding {
        grade: Grade::Note,
        rule: "batten along the grain".to_owned(),
        what: format!("{} of {} lies {:.0}° off the grain", batten.name(), part.name, off.to_degrees()),
        spot: spot(part, batten.at),
        figure: Figure::new("off the grain", format!("{:.0}°", off.to_degrees()))
            .by("angle between batten and fibres", "common practice, no source")
            .from("batten", making.units().length(batten.length)),
        limit: format!("{:.0}° at least", ACROSS.to_degrees()),
        why: "wood cups across its grain; a batten along it holds nothing flat".to_owned(),
        mendings: vec![Mending::by(change, "turn the batten square to the grain")],
    });
}

fn foot_finding(making: &mut Making, part: &Laid, foot: &Foot, told: &mut BTreeSet<(PatternId, FeatureId)>) {
    let outside = foot.corners().iter().any(|&it| !part.pattern.outline.contains(it));
    let found = match foot.fastening(part) {
        Ok(_) if foot.batten => None,
        Ok(fastening) => across(making, part, foot, &fastening),
        Err(_) => Some(through(making, part, foot)),
    };
    if !outside && found.is_none() || !told.insert((part.pattern.id, foot.id)) {
        return;
    }
    if outside {
        let finding = beyond(making, part, foot);
        making.find(finding);
    }
    if let Some(found) = found {
        making.find(found);
    }
}

pub(super) fn spot(part: &Laid, at: Point) -> Spot {
    part.spot(part.placement.place.point(at))
}

/// Finding `foot across the grain`: the top moves more than the screws let it.
fn across(making: &Making, part: &Laid, foot: &Foot, fastening: &Fastening) -> Option<Finding> {
    let (off, to) = foot.off_the_grain(making, part)?;
    let (moved, figure) = fastening.movement(making, part, off)?;
    let play = fastening.play();
    if moved <= play {
        return None;
    }
    let units = making.units();
    let change = Change::Turn { pattern: part.pattern.id, feature: foot.id, to };
    Some(Finding {
        grade: Grade::Mend,
        rule: "foot across the grain".to_owned(),
        what: format!(
            "a foot of {} lies {:.0}° off the top's grain: the top moves {} between its screws, the holes give {}",
            part.name,
            off.to_degrees(),
            units.fine_length(moved),
            units.fine_length(play)
        ),
        spot: spot(part, foot.at),
        figure: figure.from("clearance hole", units.fine_length(fastening.clearance)),
        limit: units.fine_length(play),
        why: "a top that is held across its grain splits, or cups".to_owned(),
        mendings: vec![
            Mending::by(change, "turn the foot to run with the top"),
            Mending::by_hand(format!(
                "slot the outer hole, {} long or more",
                units.fine_length(fastening.clearance + moved)
            )),
            Mending::by_hand("take one screw in the middle"),
        ],
    })
}

/// Finding `screw comes through`: none is long enough and short enough.
fn through(making: &Making, part: &Laid, foot: &Foot) -> Finding {
    let units = making.units();
    let top = foot.top(part);
    let room = top - COVER;
    let least = foot.least_bite();
    let reach = least.map_or_else(|| "none that is kept".to_owned(), |it| units.length(it));
    let mut mendings = Vec::new();
    for (hollow, depth) in foot.hollows(part) {
        let to = part.want.thickness - COVER - least.unwrap_or(part.want.thickness);
        if to > Length::ZERO && to < depth {
            let change = Change::Depth { pattern: part.pattern.id, feature: hollow, to };
            mendings.push(Mending::by(change, format!("make the hollow {} deep", units.length(to))));
        }
    }
    mendings.push(Mending::by_hand("make the foot lower, or move it to where the top is thicker"));
    mendings.push(Mending::by_hand("glue the foot with its grain along the top's, without a screw"));
    Finding {
        grade: Grade::Stop,
        rule: "screw comes through".to_owned(),
        what: format!(
            "{} of wood lie above {} of {}: the shortest screw that holds reaches in {reach}, and {} stay over its tip",
            units.length(top),
            foot.name(),
            part.name,
            units.length(COVER)
        ),
        spot: spot(part, foot.at),
        figure: Figure::new("least reach of a screw that holds", reach.clone())
            .by("screw - (height of the foot - counterbore), the shortest kept", "common practice, no source")
            .from("wood above the foot", units.length(top))
            .from("left over the tip", units.length(COVER))
            .from("height of the foot", units.length(foot.height))
            .from("counterbore", units.length(foot.counterbore())),
        limit: units.length(room),
        why: "a tip that comes through cuts the hand and spoils the food face".to_owned(),
        mendings,
    }
}

/// Finding `foot beyond the edge`.
fn beyond(making: &Making, part: &Laid, foot: &Foot) -> Finding {
    let units = making.units();
    let over = foot.corners().into_iter().filter(|&it| !part.pattern.outline.contains(it));
    let over = over.map(|it| part.pattern.outline.outer().distance(it)).fold(Length::ZERO, Length::max);
    Finding {
        grade: Grade::Mend,
        rule: "foot beyond the edge".to_owned(),
        what: format!("{} of {} stands {} over its edge", foot.name(), part.name, units.length(over)),
        spot: spot(part, foot.at),
        figure: Figure::new("over the edge", units.length(over))
            .by("farthest corner of the foot outside of the outline", "measured on the pattern")
            .from("foot", format!("{} by {}", units.length(foot.length), units.length(foot.width))),
        limit: units.length(Length::ZERO),
        why: "it shows, catches and knocks off".to_owned(),
        mendings: vec![Mending::by_hand("move it inward or make it shorter")],
    }
}

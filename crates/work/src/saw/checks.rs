//! What can go wrong when a pattern is sawn.

use measure::Figure;
use outline::Bend;
use stock::{Blade, Change, Finding, Grade, Mending, Spot};

use crate::machining::counted;
use crate::making::{Laid, Making};
use crate::saw::blade::{figure, least_radius};
use crate::saw::follow::{Choice, OFF_THE_LINE, Way, path_radius};

/// All findings about a pattern's line, once for each pattern.
pub(super) fn pattern(making: &mut Making, part: &Laid, choice: &Choice) {
    let Some(blade) = choice.blade else {
        let finding = no_blade(making, part);
        return making.find(finding);
    };
    too_tight(making, part, choice, blade);
    corners(making, part, choice);
    openings(making, part);
}

fn spot(part: &Laid, at: Option<outline::Point>) -> Spot {
    Spot::Pattern { pattern: part.pattern.id, at }
}

fn no_blade(making: &Making, part: &Laid) -> Finding {
    Finding {
        grade: Grade::Mend,
        rule: "no blade for the bandsaw".to_owned(),
        what: format!("{} is sawn on the bandsaw, and the shop has no blade for it", part.pattern.name),
        spot: spot(part, None),
        figure: Figure::new("blades", making.brief.kit.bandsaw.blades.len().to_string())
            .by("counted", "the shop's own list"),
        limit: "1".to_owned(),
        why: "without its width nobody can say which curves it follows".to_owned(),
        mendings: vec![Mending::by_hand("write the blades on the wall into the shop's list")],
    }
}

/// Finding `curve tighter than the blade`.
fn too_tight(making: &mut Making, part: &Laid, choice: &Choice, blade: &Blade) {
    let units = making.units();
    let least = least_radius(blade.width);
    let bends = [choice.inside, choice.outside].into_iter().flatten();
    let worst = bends
        .filter(|it| path_radius(it, blade.kerf) < least)
        .min_by(|a, b| path_radius(a, blade.kerf).to_mm().total_cmp(&path_radius(b, blade.kerf).to_mm()));
    let Some(worst) = worst else { return };
    let mut mendings = Vec::new();
    if let Some(best) = choice.best.filter(|it| it.id != blade.id) {
        let change = Change::Blade { pattern: part.pattern.id, to: best.id };
        mendings.push(Mending::by(change, format!("saw it with the {} blade", units.length(best.width))));
    }
    mendings.push(Mending::by_hand(way_round(making, &worst, choice)));
    mendings.push(Mending::by_hand("draw the curve wider"));
    let path = path_radius(&worst, blade.kerf).max(measure::Length::ZERO);
    let bends = if path > measure::Length::ZERO {
        format!("bends to {}", units.length(path))
    } else {
        "comes to a point".to_owned()
    };
    making.find(Finding {
        grade: if mendings.iter().any(|it| it.change.is_some()) { Grade::Mend } else { Grade::Note },
        rule: "curve tighter than the blade".to_owned(),
        what: format!(
            "{} {bends} on the blade's way, the {} blade turns {}",
            part.pattern.name,
            units.length(blade.width),
            units.length(least)
        ),
        spot: spot(part, Some(worst.at)),
        figure: Figure::new("radius of the blade's way", units.length(path))
            .by(
                if worst.inside {
                    "radius - kerf / 2 - off the line, no less than 0"
                } else {
                    "radius + kerf / 2 + off the line"
                },
                "geometry; off the line: common practice, no source",
            )
            .from("radius of the line", units.length(worst.radius))
            .from("bends", if worst.inside { "inward" } else { "outward" })
            .from("off the line", units.length(OFF_THE_LINE))
            .from("kerf", units.fine_length(blade.kerf))
            .from("least radius from", figure(blade, units).source),
        limit: units.length(least),
        why: "a blade that cannot turn binds in its own kerf, burns the wood and is pulled off".to_owned(),
        mendings,
    });
}

/// What the hand does where no blade follows.
fn way_round(making: &Making, bend: &Bend, choice: &Choice) -> String {
    let units = making.units();
    let place = choice.tight.iter().find(|it| it.at.distance(bend.at) < measure::Length::mm(1.0));
    match place.map(|it| it.way) {
        Some(Way::Hole(diameter)) => {
            format!("drill {} in the waste there, as planned", units.length(diameter))
        }
        Some(Way::Relief) => "saw relief cuts close together there, as planned".to_owned(),
        Some(Way::RunOut) | None => {
            "saw straight pieces along it and sand to the line, as planned".to_owned()
        }
    }
}

/// Finding `inside corner`: a blade cannot turn on the spot.
fn corners(making: &mut Making, part: &Laid, choice: &Choice) {
    let sharp = choice.tight.iter().filter(|it| it.radius == measure::Length::ZERO && it.way != Way::RunOut);
    let sharp: Vec<_> = sharp.collect();
    let Some(first) = sharp.first() else { return };
    let units = making.units();
    let planned = match first.way {
        Way::Hole(diameter) => {
            format!("drill {} in the waste at each and pare the rest, as planned", units.length(diameter))
        }
        Way::Relief | Way::RunOut => "saw into each from both sides and let the waste fall".to_owned(),
    };
    making.find(Finding {
        grade: Grade::Note,
        rule: "inside corner".to_owned(),
        what: format!(
            "{} has {} that no blade turns in",
            part.pattern.name,
            counted(sharp.len() as u32, "sharp inside corner")
        ),
        spot: spot(part, Some(first.at)),
        figure: Figure::new("sharp inside corners", sharp.len().to_string())
            .by("turns that no radius explains", "measured on the pattern")
            .from("pattern", part.pattern.name.clone()),
        limit: "0".to_owned(),
        why: "a blade cannot turn on the spot, and a sharp corner is where a board begins to split"
            .to_owned(),
        mendings: vec![Mending::by_hand(planned), Mending::by_hand("round the corner in the drawing")],
    });
}

/// Finding `opening inside the part`: no bandsaw cut leads there.
fn openings(making: &mut Making, part: &Laid) {
    let openings = part.pattern.outline.openings();
    let Some(first) = openings.first() else { return };
    making.find(Finding {
        grade: Grade::Note,
        rule: "opening inside the part".to_owned(),
        what: format!(
            "{} has {}; no bandsaw cut leads there",
            part.pattern.name,
            counted(openings.len() as u32, "opening")
        ),
        spot: spot(part, Some(first.centroid())),
        figure: Figure::new("openings", openings.len().to_string())
            .by("counted", "the pattern itself")
            .from("the first", making.units().area(first.area())),
        limit: "0".to_owned(),
        why: "every way of the blade from outside would cross the part".to_owned(),
        mendings: vec![Mending::by_hand(
            "drill a starting hole and saw it with a coping saw or jig saw, as planned",
        )],
    });
}

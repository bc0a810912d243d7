//! Whether a board stands on its feet.

use measure::{Area, Figure, Force, Length, Mass};
use outline::{Point, hull};
use stock::{Finding, Grade, Mending};

use crate::fit::feet::{Foot, feet};
use crate::making::{Laid, Making};

/// What a hand or a loaf at the edge presses with (common practice, no source).
const LEANING: Force = Force::pounds(5.0);

/// Standard gravity, metres for every second squared (ISO 80000-3).
const GRAVITY: f64 = 9.806_65;

/// Where a board's weight acts, and how much it is.
pub(super) struct Weight {
    pub(super) at: Point,
    force: Force,
    mass: Mass,
}

/// Findings `does not stand on its feet` and `tips on its feet`.
pub(super) fn part(making: &mut Making, part: &Laid) {
    let feet: Vec<Foot> = feet(&part.pattern.features).collect();
    if feet.is_empty() {
        return;
    }
    let hull = hull(feet.iter().flat_map(Foot::corners).collect());
    let Some(weight) = weight(part) else { return };
    let corners = part.pattern.outline.outer().corners();
    let Some((tips, at)) = tipping(&hull, &weight, corners) else { return };
    if tips >= LEANING {
        return;
    }
    let units = making.units();
    let falls = tips < Force::ZERO;
    let (grade, rule, what) = if falls {
        (Grade::Stop, "does not stand on its feet", format!("{} falls over by itself", part.name))
    } else {
        (
            Grade::Mend,
            "tips on its feet",
            format!("{} on its edge tip {} over its feet", units.force(tips), part.name),
        )
    };
    making.find(Finding {
        grade,
        rule: rule.to_owned(),
        what,
        spot: part.spot(part.placement.place.point(at)),
        figure: Figure::new("load at the edge that tips it", units.force(tips))
            .by(
                "W (o - n·c) / (n·p - o), least over the edges between the feet",
                "statics: moments about that edge",
            )
            .from("weight W", units.mass(weight.mass))
            .from("feet", feet.len().to_string())
            .from("wood", part.wood_words()),
        limit: units.force(LEANING),
        why: "a board that tips throws what stands on it".to_owned(),
        mendings: vec![
            Mending::by_hand("set the feet farther out, under the part that juts"),
            Mending::by_hand("leave the feet off"),
        ],
    });
}

/// Weight and middle of the board, hollows taken out; counted light, with the
/// lightest of its woods.
pub(super) fn weight(part: &Laid) -> Option<Weight> {
    let wood = part.lightest()?;
    let thick = part.want.thickness;
    let outer = part.pattern.outline.outer();
    let mut bodies = vec![(outer.area(), thick, outer.centroid())];
    let openings = part.pattern.outline.openings().iter();
    bodies.extend(openings.map(|it| (-it.area(), thick, it.centroid())));
    for (_, area, depth, _) in part.pattern.hollows() {
        let deep = depth.max(Length::ZERO).min(thick);
        bodies.push((-area.area(), deep, area.centroid()));
    }
    let volume = |&(area, deep, _): &(Area, Length, Point)| area.to_mm2() * deep.to_mm();
    let whole: f64 = bodies.iter().map(volume).sum();
    if whole <= 0.0 {
        return None;
    }
    let x = bodies.iter().map(|it| volume(it) * it.2.x).sum::<f64>() / whole;
    let y = bodies.iter().map(|it| volume(it) * it.2.y).sum::<f64>() / whole;
    let mass = wood.mass(measure::Volume::mm3(whole));
    Some(Weight { at: Point::new(x, y), force: Force::newtons(mass.to_kg() * GRAVITY), mass })
}

/// The least load at a corner of the board that lifts it off a foot, and that
/// corner; below zero if it falls by itself; `None` if nothing juts out.
fn tipping(hull: &[Point], weight: &Weight, corners: &[Point]) -> Option<(Force, Point)> {
    let mut least: Option<(Force, Point)> = None;
    for (index, &from) in hull.iter().enumerate() {
        let to = hull[(index + 1) % hull.len()];
        let long = from.distance(to).to_mm();
        if long <= 0.0 {
            continue;
        }
        // Outward: right of an edge that runs counter-clockwise.
        let (nx, ny) = ((to.y - from.y) / long, (from.x - to.x) / long);
        let out = |it: Point| (it.x - from.x) * nx + (it.y - from.y) * ny;
        let inside = -out(weight.at);
        for &corner in corners {
            let juts = out(corner);
            let load = if inside < 0.0 {
                weight.force * (inside / long)
            } else if juts > 0.0 {
                weight.force * (inside / juts)
            } else {
                continue;
            };
            if least.is_none_or(|(so_far, _)| load < so_far) {
                least = Some((load, corner));
            }
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plank_tips_as_a_lever_does() {
        // A lever by hand: feet from x = 100 to 300 under a plank from 0 to 600
        // with its weight of 10 N at 250: 10 · 50 = P · 300, P = 1.667 N.
        let at = |x: f64, y: f64| Point::new(x, y);
        let feet =
            hull(vec![at(100.0, 0.0), at(300.0, 0.0), at(300.0, 50.0), at(100.0, 50.0), at(200.0, 20.0)]);
        assert_eq!(feet.len(), 4);
        let mass = Mass::kg(1.0);
        let weight = Weight { at: at(250.0, 25.0), force: Force::newtons(10.0), mass };
        let corners = [at(0.0, 0.0), at(600.0, 0.0), at(600.0, 50.0), at(0.0, 50.0)];
        let (load, corner) = tipping(&feet, &weight, &corners).unwrap();
        assert!((load.to_newtons() - 10.0 * 50.0 / 300.0).abs() < 1e-9);
        assert_eq!(corner.x, 600.0);
        let outside = Weight { at: at(320.0, 25.0), force: Force::newtons(10.0), mass };
        assert!(tipping(&feet, &outside, &corners).unwrap().0 < Force::ZERO);
    }
}

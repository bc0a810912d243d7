//! Slabs of our own from which parts are cut, so that all of them are known to
//! find room: with knots, and with grain that each part keeps to.

use measure::{Angle, Length};
use nest::{Asks, Kind, Turns};
use outline::{Outline, Point, Ring, Segment};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::instance::{Aim, Face, Instance, Known};

/// Slabs of the study.
pub(crate) const COUNT: u64 = 4;
/// About so many parts are cut from each.
pub(crate) const PARTS: usize = 30;

/// Between parts: a kerf and room to steer.
const GAP: f64 = 3.0;
/// How far a part's line may run off the grain.
const WITHIN: Angle = Angle::degrees(8.0);
/// The area of one part, in square millimetres.
const PART: f64 = 9000.0;

/// Grain that runs along the slab and bends, as beside a fork.
fn grain(at: Point) -> Angle {
    Angle::degrees(14.0 * (at.x / 310.0).sin() + 6.0 * (at.y / 170.0).cos())
}

/// A slab of a number with about so many parts cut from it, and as many decoys
/// of half the worth by area.
pub(crate) fn instance(number: u64, parts: usize) -> Instance {
    let mut rng = Pcg64Mcg::seed_from_u64(number);
    let (outline, knots) = slab(parts, &mut rng);
    let grown: Vec<Outline> = knots.iter().flat_map(|it| offset(it, GAP)).collect();
    let whole = offset(&outline, -GAP);
    let mut cells = whole;
    // The largest is cut in two until there are enough, some of them waste.
    while cells.len() < parts + parts / 5 {
        cells.sort_by(|one, other| one.area().to_mm2().total_cmp(&other.area().to_mm2()));
        let Some(largest) = cells.pop() else { break };
        cells.extend(halves(&largest, &mut rng));
    }
    let sound = |it: &Outline| grown.iter().all(|knot| it.overlap_area(knot).to_mm2() < 1e-3);
    let cut: Vec<Outline> = cells.into_iter().filter(sound).take(parts).collect();
    let known = cut.iter().map(|it| it.area().to_mm2()).sum();
    let kinds = cut.iter().map(|it| (kind(it, 1.0), 1));
    let decoys = cut.iter().map(|it| {
        let (wide, high) = (rng.random_range(0.7..1.2), rng.random_range(0.7..1.2));
        let centre = it.centroid();
        let corners =
            it.outer().corners().iter().map(|at| {
                Point::new(centre.x + (at.x - centre.x) * wide, centre.y + (at.y - centre.y) * high)
            });
        (kind(&Outline::from(Ring::new(corners.collect()).expect("a stretched part is a ring")), 0.5), 1)
    });
    let decoys: Vec<(Kind, usize)> = decoys.collect();
    let kinds = kinds.chain(decoys).collect();
    let bad = knots.iter().map(|it| (it.outer().clone(), 1)).collect();
    let face = Face { outline, edge: Length::mm(GAP), bad, grain: Some(grain) };
    let aim = Aim::Value { known, of: Known::Cut };
    Instance { name: format!("slab-{number}-{parts}"), kinds, faces: vec![face], gap: Length::mm(GAP), aim }
}

/// The slab of a number for so many parts, and its knots.
pub(crate) fn slab_of(number: u64, parts: usize) -> (Outline, Vec<Outline>) {
    slab(parts, &mut Pcg64Mcg::seed_from_u64(number))
}

/// A live-edge slab for so many parts, and its knots.
fn slab(parts: usize, rng: &mut Pcg64Mcg) -> (Outline, Vec<Outline>) {
    let area = PART * parts as f64 * 1.25;
    let (long, wide) = ((area * 2.4).sqrt(), (area / 2.4).sqrt());
    let phases: [f64; 4] = std::array::from_fn(|_| rng.random_range(0.0..6.3));
    let edge =
        |x: f64, phase: f64| wide * (0.05 * (x / 90.0 + phase).sin() + 0.04 * (x / 37.0 + 2.0 * phase).sin());
    let steps = (long / 12.0) as usize;
    let at = |step: usize| long * step as f64 / steps as f64;
    let lower = (0..=steps).map(|it| Point::new(at(it), edge(at(it), phases[0])));
    let upper = (0..=steps).rev().map(|it| Point::new(at(it), wide + edge(at(it), phases[1])));
    let outline = Outline::from(Ring::new(lower.chain(upper).collect()).expect("a slab is a ring"));
    let knots = (0..(parts / 8).max(1)).map(|_| {
        let centre = Point::new(long * rng.random_range(0.1..0.9), wide * rng.random_range(0.15..0.85));
        let radius = rng.random_range(8.0..22.0);
        let corners = (0..16).map(|it| {
            let turn = f64::from(it) * std::f64::consts::TAU / 16.0;
            Point::new(centre.x + radius * 1.3 * turn.cos(), centre.y + radius * turn.sin())
        });
        Outline::from(Ring::new(corners.collect()).expect("a knot is a ring"))
    });
    (outline, knots.collect())
}

/// A piece sawn in two across its longer side, askew, a gap wide.
fn halves(piece: &Outline, rng: &mut Pcg64Mcg) -> Vec<Outline> {
    let bounds = piece.bounds();
    let (width, height) = (bounds.width().to_mm(), bounds.height().to_mm());
    let share = rng.random_range(0.35..0.65);
    let middle = Point::new(bounds.low.x + width * share, bounds.low.y + height * share);
    let across = if width > height * 1.4 { 90.0 } else { 0.0 };
    let turn = Angle::degrees(across + rng.random_range(-18.0..18.0));
    let far = width + height;
    let (along, aside) = ((turn.cos(), turn.sin()), (-turn.sin(), turn.cos()));
    let corner = |far_along: f64, by: f64| {
        let middle = (middle.x + along.0 * far_along, middle.y + along.1 * far_along);
        Point::new(middle.0 + aside.0 * by, middle.1 + aside.1 * by)
    };
    let half = GAP / 2.0;
    let kerf = [corner(-far, -half), corner(far, -half), corner(far, half), corner(-far, half)];
    let kerf = Outline::from(Ring::new(kerf.to_vec()).expect("a kerf is a ring"));
    piece.minus(&[kerf])
}

/// A part as its maker draws it: turned as it likes, its line along the grain.
fn kind(cut: &Outline, worth: f64) -> Kind {
    let centre = cut.centroid();
    let direction = grain(centre);
    let reach = 20.0;
    let end = |sign: f64| {
        Point::new(centre.x + sign * reach * direction.cos(), centre.y + sign * reach * direction.sin())
    };
    let line = Segment { from: end(-1.0), to: end(1.0) };
    let value = cut.area().to_mm2() * worth;
    Kind {
        outline: cut.clone(),
        turns: Turns::Grain(vec![(line, WITHIN)]),
        mirrors: false,
        value,
        bears: 0,
        asks: Asks::default(),
    }
}

fn offset(outline: &Outline, by: f64) -> Vec<Outline> {
    outline.offset(Length::mm(by), Length::mm(0.05))
}

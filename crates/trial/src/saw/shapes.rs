//! Outlines for the study of sawing, smooth and with concave features, and the
//! boards that they lie on.

use outline::{Outline, Point, Ring};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// Corners of an outline: closer together than any blade could tell.
const CORNERS: usize = 360;

/// A part on a board of its own.
pub(crate) struct Lying {
    pub(crate) name: String,
    pub(crate) part: Outline,
    pub(crate) wood: Outline,
}

/// The outline of a number, with its board: a wave around an oval, and one to
/// three bays cut into it.
pub(crate) fn shape(seed: u64, number: u64) -> Lying {
    let mut rng = Pcg64Mcg::seed_from_u64(seed.wrapping_mul(1_000_003).wrapping_add(number));
    let (long, wide) = (rng.random_range(180.0..480.0), rng.random_range(110.0..240.0));
    let waves: Vec<(f64, f64, f64)> = (2..=rng.random_range(3..6))
        .map(|order| {
            let most = 0.16 / f64::from(order - 1);
            (f64::from(order), rng.random_range(0.0..most), rng.random_range(0.0..std::f64::consts::TAU))
        })
        .collect();
    let bays: Vec<(f64, f64, f64)> = (0..rng.random_range(1..4))
        .map(|_| {
            let at = rng.random_range(0.0..std::f64::consts::TAU);
            (at, rng.random_range(0.06..0.28), rng.random_range(0.22..0.6))
        })
        .collect();
    let corner = |index: usize| {
        let angle = index as f64 / CORNERS as f64 * std::f64::consts::TAU;
        let wave: f64 = waves.iter().map(|(order, high, phase)| high * (order * angle + phase).cos()).sum();
        let bay: f64 = bays
            .iter()
            .map(|(at, deep, broad)| {
                let off = (angle - at).sin().atan2((angle - at).cos()) / broad;
                deep * (-off * off).exp()
            })
            .sum();
        let far = (1.0 + wave - bay).max(0.3);
        Point::new(long / 2.0 * far * angle.cos(), wide / 2.0 * far * angle.sin())
    };
    let ring = Ring::new((0..CORNERS).map(corner).collect()).expect("a wave around an oval is a ring");
    let part = Outline::from(ring);
    let wood = board(&part, &mut rng);
    Lying { name: format!("shape-{number:03}"), part, wood }
}

/// A board with some waste on each side, at times far more at one end.
pub(crate) fn board(part: &Outline, rng: &mut Pcg64Mcg) -> Outline {
    let sides = part.bounds();
    let mut waste = || rng.random_range(12.0..60.0);
    let (left, right, low, high) = (waste(), waste(), waste(), waste());
    let far = if rng.random_bool(0.25) { rng.random_range(100.0..500.0) } else { 0.0 };
    let corners = [
        (sides.low.x - left, sides.low.y - low),
        (sides.high.x + right + far, sides.low.y - low),
        (sides.high.x + right + far, sides.high.y + high),
        (sides.low.x - left, sides.high.y + high),
    ];
    let ring = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).expect("a board is a ring");
    Outline::from(ring)
}

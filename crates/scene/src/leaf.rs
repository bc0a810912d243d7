//! An invented lobed leaf with its stem, lying flat on paper.

use measure::{Angle, Length, Problem};
use outline::{Place, Point, Ring};

use crate::distance::Distance;
use crate::noise::{Noise, step};
use crate::wood::{Colour, mixed};

/// What leaf to grow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeafAsk {
    /// The same seed grows the same leaf.
    pub seed: u32,
    /// From the tip to the foot of the blade, without the stem.
    pub length: Length,
    /// How it lies: its foot's place, and the way from foot to tip.
    pub place: Place,
}

/// A leaf, known exactly. Its outline is on the bench, in millimetres.
#[derive(Clone, Debug)]
pub struct Leaf {
    ask: LeafAsk,
    outline: Ring,
    veins: Vec<Vein>,
    pub(crate) to_outline: Distance,
}

/// A vein in the leaf's own coordinates: foot at the origin, tip on +x.
#[derive(Clone, Copy, Debug)]
struct Vein {
    from: Point,
    to: Point,
    wide: f64,
}

/// Lobes on each side of the leaf, from foot to tip: where their vein leaves the
/// midrib, how far it reaches along and out (shares of the length), and how broad.
const LOBES: [[f64; 4]; 4] = [
    [0.10, 0.14, 0.26, 0.080],
    [0.31, 0.42, 0.33, 0.085],
    [0.53, 0.66, 0.27, 0.075],
    [0.72, 0.85, 0.18, 0.055],
];
/// How far out the bay before each lobe lies, a share of the length.
const BAYS: [f64; 4] = [0.07, 0.14, 0.15, 0.115];
/// The stem's length as a share of the blade's.
const STEM: f64 = 0.28;
/// Half the stem's width, a share of the blade's length: a thick-stemmed plant.
const HALF_STEM: f64 = 0.03;

impl Leaf {
    /// Grows the leaf.
    ///
    /// # Errors
    /// A leaf shorter than 40 mm or longer than 600 mm.
    pub fn grow(ask: &LeafAsk) -> Result<Leaf, Problem> {
        let length = ask.length.to_mm();
        if !(40.0..=600.0).contains(&length) {
            return Err(
                Problem::new(format!("a leaf of {length} mm cannot be grown")).hint("ask for 40 to 600 mm")
            );
        }
        let veins = veins(ask);
        let outline = ask.place.ring(&Ring::new(rim(ask, &veins))?);
        let to_outline = Distance::to(&outline);
        Ok(Leaf { ask: *ask, outline, veins, to_outline })
    }

    /// Its edge, stem and all.
    pub fn outline(&self) -> &Ring {
        &self.outline
    }

    pub(crate) fn colour(&self, x: f64, y: f64) -> Colour {
        let own = self.own(x, y);
        let layer = |it| Noise::new(self.ask.seed, it);
        let (blotch, fine) = (layer(3).rough(x / 30.0, y / 30.0, 3), layer(4).rough(x / 1.6, y / 1.6, 2));
        let away = self.veins.iter().map(|vein| vein.away(own)).fold(f64::INFINITY, f64::min);
        let green = [0.105, 0.175, 0.028];
        let yellow = [0.34, 0.25, 0.045];
        let blade = mixed(green, yellow, step(0.4, 2.2, blotch + 0.5 * step(0.0, 60.0, own.x)));
        let blade = mixed(blade, [0.25, 0.27, 0.09], step(0.9, 0.2, away));
        let inner = self.to_outline.at(x, y);
        let rim = step(2.5, 0.0, inner) * 0.25;
        let stem = step(2.0, -2.0, own.x);
        let colour = mixed(mixed(blade, [0.21, 0.13, 0.04], rim), [0.22, 0.16, 0.05], stem);
        colour.map(|it| it * (1.0 + 0.05 * fine + 0.03 * blotch))
    }

    fn own(&self, x: f64, y: f64) -> Point {
        let place = self.ask.place;
        let (sin, cos) = (place.turn.sin(), place.turn.cos());
        let (dx, dy) = (x - place.at.x, y - place.at.y);
        Point::new(dx * cos + dy * sin, dy * cos - dx * sin)
    }
}

impl Vein {
    /// From its middle, less its width: 0 on its edge.
    fn away(&self, at: Point) -> f64 {
        let line = outline::Segment { from: self.from, to: self.to };
        let share = self.from.distance(at).to_mm() / line.length().to_mm();
        line.distance(at).to_mm() - self.wide * (1.0 - 0.7 * share.min(1.0))
    }
}

/// The midrib, then a pair for each lobe.
fn veins(ask: &LeafAsk) -> Vec<Vein> {
    let length = ask.length.to_mm();
    let noise = Noise::new(ask.seed, 5);
    let mut veins = vec![Vein { from: Point::new(0.0, 0.0), to: Point::new(0.96 * length, 0.0), wide: 0.9 }];
    for (index, [leaves, along, out, _]) in LOBES.iter().enumerate() {
        for side in [-1.0, 1.0] {
            let uneven = 1.0 + 0.05 * noise.plane(index as f64 * 3.1, side * 5.3);
            let from = Point::new(leaves * length, 0.0);
            veins.push(Vein {
                from,
                to: Point::new(along * length * uneven, side * out * length * uneven),
                wide: 0.5,
            });
        }
    }
    veins
}

/// The edge in the leaf's own coordinates: a smooth line through the stem, then
/// bay and lobe in turn along one side, round the tip, and back along the other.
fn rim(ask: &LeafAsk, veins: &[Vein]) -> Vec<Point> {
    let length = ask.length.to_mm();
    let near = |side: f64| {
        let mut points = Vec::new();
        for (index, [leaves, _, _, broad]) in LOBES.iter().enumerate() {
            let vein = veins[1 + 2 * index + usize::from(side > 0.0)];
            points.push(Point::new((leaves - 0.03) * length, side * BAYS[index] * length));
            lobe(&mut points, vein, broad * length, side);
        }
        points.push(Point::new(0.90 * length, side * 0.105 * length));
        points.push(Point::new(0.97 * length, side * 0.06 * length));
        points
    };
    let stem = |side: f64| {
        let end = -STEM * length;
        let curve = move |x: f64| 0.02 * length * (x / end).powi(2);
        (0..=12).map(move |it| {
            let x = end * (1.0 - f64::from(it) / 12.0);
            Point::new(x, curve(x) + side * HALF_STEM * length * (1.0 + 0.15 * step(0.75 * end, end, x)))
        })
    };
    let mut control: Vec<Point> = stem(-1.0).collect();
    control.extend(near(-1.0));
    control.push(Point::new(length, 0.0));
    control.extend(near(1.0).into_iter().rev());
    control.extend(stem(1.0).collect::<Vec<_>>().into_iter().rev());
    smooth(&control)
}

/// The rounded end of a lobe: out along one flank, round the tip, back along the other.
fn lobe(points: &mut Vec<Point>, vein: Vein, broad: f64, side: f64) {
    let way = vein.from.direction(vein.to);
    let turn = |it: f64| way + Angle::degrees(-side * it);
    let from_tip = |back: f64, off: f64, angle: f64| {
        let middle = vein.to.toward(vein.from, back);
        Point::new(middle.x + off * turn(angle).cos(), middle.y + off * turn(angle).sin())
    };
    // Seen from the foot, the flank on the foot's side comes first.
    points.push(from_tip(0.45, 0.62 * broad, -90.0));
    points.push(from_tip(0.14, 0.86 * broad, -80.0));
    points.push(from_tip(0.0, 0.72 * broad, -38.0));
    points.push(from_tip(0.0, 0.80 * broad, 0.0));
    points.push(from_tip(0.0, 0.72 * broad, 38.0));
    points.push(from_tip(0.14, 0.86 * broad, 80.0));
    points.push(from_tip(0.45, 0.62 * broad, 90.0));
}

/// A closed Catmull-Rom spline through the points (centripetal form by chord).
fn smooth(control: &[Point]) -> Vec<Point> {
    const PIECES: usize = 10;
    let count = control.len();
    let mut out = Vec::with_capacity(count * PIECES);
    for index in 0..count {
        let [a, b, c, d] = [count - 1, 0, 1, 2].map(|ahead| control[(index + ahead) % count]);
        let reach = b.distance(c).to_mm();
        let slope = |p: Point, q: Point| {
            let chord = p.distance(q).to_mm().max(1e-9);
            [(q.x - p.x) / chord * reach * 0.8, (q.y - p.y) / chord * reach * 0.8]
        };
        let (start, end) = (slope(a, c), slope(b, d));
        for piece in 0..PIECES {
            let t = piece as f64 / PIECES as f64;
            let (t2, t3) = (t * t, t * t * t);
            let mix = |p: f64, q: f64, s: f64, e: f64| {
                p * (2.0 * t3 - 3.0 * t2 + 1.0)
                    + s * (t3 - 2.0 * t2 + t)
                    + q * (3.0 * t2 - 2.0 * t3)
                    + e * (t3 - t2)
            };
            out.push(Point::new(mix(b.x, c.x, start[0], end[0]), mix(b.y, c.y, start[1], end[1])));
        }
    }
    out
}

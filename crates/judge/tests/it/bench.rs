//! A small shop, boards, parts and ways to write a plan down.

use std::f64::consts::PI;

use judge::{Bench, Fault, Ruling, judge};
use measure::Length;
use outline::{Outline, Point, Ring};
use stock::{
    Bandsaw, BladeId, CutPlan, FaceKey, PartKey, PieceId, SawCut, SawCutKind, SawHole, SawLeg, ShopKit,
    WantId,
};

/// The starting shop's blades: 1/8, 1/4, 3/8 and 3/4 in.
pub(crate) const QUARTER: BladeId = BladeId(2);
pub(crate) const THREE_EIGHTHS: BladeId = BladeId(3);
pub(crate) const THREE_QUARTERS: BladeId = BladeId(4);

/// Half the kerf of the 1/4 in blade, and what it leaves.
pub(crate) const HALF: f64 = 0.042 * 25.4 / 2.0;
pub(crate) const SPARE: f64 = 25.4 / 16.0;

/// A board with its parts.
pub(crate) struct Scene {
    pub(crate) wood: Outline,
    pub(crate) parts: Vec<(PartKey, Outline)>,
    pub(crate) saw: Bandsaw,
    pub(crate) thickness: Length,
}

pub(crate) fn key(number: u32) -> PartKey {
    PartKey { want: WantId(1), copy: number }
}

pub(crate) fn points(all: &[(f64, f64)]) -> Vec<Point> {
    all.iter().map(|&(x, y)| Point::new(x, y)).collect()
}

pub(crate) fn shape(corners: Vec<Point>) -> Outline {
    Outline::from(Ring::new(corners).unwrap())
}

pub(crate) fn bar(x: f64, y: f64, long: f64, high: f64) -> Outline {
    shape(points(&[(x, y), (x + long, y), (x + long, y + high), (x, y + high)]))
}

pub(crate) fn disc(x: f64, y: f64, radius: f64) -> Outline {
    let round = arc((x, y), radius, -90.0, 269.0);
    shape(round)
}

/// Points on an arc, from one angle to the other in degrees.
pub(crate) fn arc(middle: (f64, f64), radius: f64, from: f64, to: f64) -> Vec<Point> {
    let count = ((to - from).abs() * PI / 180.0 * radius / 0.8).ceil().max(2.0);
    let at = |it: f64| {
        let turn = (from + (to - from) * it / count) * PI / 180.0;
        Point::new(middle.0 + radius * turn.cos(), middle.1 + radius * turn.sin())
    };
    (0..=count as usize).map(|it| at(it as f64)).collect()
}

pub(crate) fn sawn(way: Vec<Point>) -> SawLeg {
    SawLeg::Sawn { way }
}

pub(crate) fn cut(kind: SawCutKind, parts: &[u32], way: Vec<Point>) -> SawCut {
    SawCut { kind, parts: parts.iter().map(|&it| key(it)).collect(), blade: QUARTER, legs: vec![sawn(way)] }
}

pub(crate) fn trim(way: &[(f64, f64)]) -> SawCut {
    cut(SawCutKind::Trim, &[], points(way))
}

impl Scene {
    pub(crate) fn new(wood: Outline, parts: &[Outline]) -> Scene {
        let parts = (1..).zip(parts).map(|(number, it)| (key(number), it.clone())).collect();
        Scene { wood, parts, saw: ShopKit::starting().bandsaw, thickness: Length::inches(1.0) }
    }

    pub(crate) fn judge_with(&self, holes: Vec<SawHole>, cuts: Vec<SawCut>) -> Ruling {
        let parts: Vec<(PartKey, &Outline)> = self.parts.iter().map(|(key, it)| (*key, it)).collect();
        let bench = Bench {
            wood: &self.wood,
            parts: &parts,
            saw: &self.saw,
            thickness: self.thickness,
            spare: Length::mm(SPARE),
        };
        judge(&bench, &CutPlan { face: FaceKey::Piece(PieceId(1)), holes, cuts })
    }

    pub(crate) fn judge(&self, cuts: Vec<SawCut>) -> Ruling {
        self.judge_with(Vec::new(), cuts)
    }
}

pub(crate) fn faults(ruling: &Ruling) -> Vec<Fault> {
    ruling.refusals.iter().map(|it| it.fault).collect()
}

#[track_caller]
pub(crate) fn near(found: Length, expected: f64, within: f64) {
    let found = found.to_mm();
    assert!((found - expected).abs() <= within, "expected {expected} mm, found {found} mm");
}

/// A disc of 80 mm radius in the middle of a square of 240 mm.
pub(crate) fn round_board() -> Scene {
    Scene::new(bar(0.0, 0.0, 240.0, 240.0), &[disc(120.0, 120.0, 80.0)])
}

/// In along the tangent from the left, and once round; the way as far from the
/// line as the spare wood and half the kerf say, and some more.
pub(crate) fn loop_round(more: f64) -> Vec<Point> {
    let radius = 80.0 + SPARE + HALF + more;
    let mut way = points(&[(-10.0, 120.0 - radius)]);
    way.extend(arc((120.0, 120.0), radius, -90.0, 270.0));
    way
}

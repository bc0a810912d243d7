//! How the wood grew: pith, rings, knots and fibres, as functions of the place.

use measure::{Angle, Length, Problem};
use outline::{Point, Ring};

use crate::distance::Distance;
use crate::nature::Nature;
use crate::noise::{Dice, Noise, step};
use crate::slab::{Knot, Look, SlabAsk};

/// The wood of one slab.
#[derive(Clone, Debug)]
pub(crate) struct Growth {
    seed: u32,
    thickness: f64,
    pith_y: f64,
    pith_depth: f64,
    taper: f64,
    noise: Noise,
    bend: Noise,
    flow: Noise,
    /// Radius at the end of each year, in millimetres.
    years: Vec<f64>,
    cones: Vec<Cone>,
}

/// The inside of a branch: a cone from the pith out to the upper face.
#[derive(Clone, Debug)]
pub(crate) struct Cone {
    apex: [f64; 3],
    axis: [f64; 3],
    tangent: f64,
    pub(crate) at: Point,
    pub(crate) radius: f64,
    pub(crate) dead: bool,
    pub(crate) wobble: Noise,
    /// See [`Nature::ragged`].
    ragged: f64,
    /// How like the wood round it it is.
    pub(crate) faint: f64,
}

/// A branch changes the wood out to this many times its radius.
const SURROUNDINGS: f64 = 3.0;
/// How far from round a branch may be.
const UNEVEN: [f64; 2] = [0.75, 1.3];

/// Where a place is in a branch.
#[derive(Clone, Copy, Debug)]
pub(crate) struct InCone {
    /// 0 on the branch's own pith, 1 on its rim.
    pub(crate) share: f64,
    /// From the branch's pith, in millimetres.
    pub(crate) radius: f64,
    /// Round the branch, in radians.
    pub(crate) turn: f64,
}

impl Growth {
    pub(crate) fn start(ask: &SlabAsk, dice: &mut Dice) -> Growth {
        let width = ask.width.to_mm();
        let yearly = match ask.look {
            Look::Walnut => 2.9,
            Look::Maple => 2.8,
            Look::Cherry => 2.6,
            Look::Oak | Look::Ash => 2.4,
            Look::Pine => 3.4,
            Look::Beech => 2.1,
            Look::Wenge => 1.9,
        };
        let noise = Noise::new(ask.seed, 30);
        let mut years = Vec::new();
        let mut radius = 0.0;
        while radius < 3.0 * width + 600.0 {
            let year = years.len() as f64;
            radius += yearly * (1.0 + 0.28 * noise.line(year * 0.71)).max(0.35);
            years.push(radius);
        }
        Growth {
            seed: ask.seed,
            thickness: ask.thickness.to_mm(),
            pith_y: width * dice.between(-0.12, 0.12),
            pith_depth: width * dice.between(0.28, 0.45),
            taper: dice.between(0.026, 0.036),
            noise,
            bend: Noise::new(ask.seed, 31),
            flow: Noise::new(ask.seed, 32),
            years,
            cones: Vec::new(),
        }
    }

    /// How thick the slab is.
    pub(crate) fn thickness(&self) -> Length {
        Length::mm(self.thickness)
    }

    /// Across and up, where the pith passes `x`.
    fn pith(&self, x: f64) -> [f64; 2] {
        let y = self.pith_y + 7.0 * self.bend.line(x / 330.0);
        [y, self.thickness - self.pith_depth + 5.0 * self.bend.line(x / 340.0 + 50.0)]
    }

    /// The year a place grew in, with the share of that year that had passed.
    pub(crate) fn age(&self, [x, y, z]: [f64; 3]) -> f64 {
        let [pith_y, pith_z] = self.pith(x);
        let (across, up) = (y - pith_y, z - pith_z);
        let straight = across.hypot(up);
        let (cos, sin) = (across / (straight + 1e-9), up / (straight + 1e-9));
        let wave = 2.2 * self.noise.space(x / 230.0, 2.0 * cos, 2.0 * sin)
            + 0.7 * self.noise.space(x / 85.0, 5.0 * cos + 9.0, 5.0 * sin)
            + 0.16 * self.noise.space(x / 24.0, across / 6.0, up / 6.0);
        let lift: f64 = self.cones.iter().map(|cone| cone.lift([x, y, z])).sum();
        let radius = straight + wave.clamp(-7.0, 7.0) + self.taper * (x + 900.0) + lift;
        let year = self.years.partition_point(|&it| it < radius);
        let before = if year == 0 { 0.0 } else { self.years[year - 1] };
        let after = self.years.get(year).copied().unwrap_or(before + 4.0);
        year as f64 + ((radius - before) / (after - before)).clamp(0.0, 0.999)
    }

    /// The branch whose inside or near surroundings a place is in.
    pub(crate) fn branch(&self, at: [f64; 3]) -> Option<(&Cone, InCone)> {
        let near = self.cones.iter().filter(|it| (at[0] - it.at.x).abs() < 90.0 && it.is_near(at));
        let all = near.map(|it| (it, it.place(at)));
        all.min_by(|a, b| a.1.share.total_cmp(&b.1.share)).filter(|(_, it)| it.share < SURROUNDINGS)
    }

    /// Constant along a fibre: the stream function of wood that flows round its knots.
    pub(crate) fn fibre(&self, x: f64, y: f64) -> f64 {
        let sway =
            3.2 * self.flow.plane(x / 300.0, y / 300.0) + 1.0 * self.flow.plane(x / 120.0 + 30.0, y / 120.0);
        let round: f64 = self.cones.iter().map(|cone| cone.part(x, y)).sum();
        y + sway - round
    }

    pub(crate) fn fibre_at(&self, at: Point) -> Angle {
        const REACH: f64 = 0.25;
        let slope_x = self.fibre(at.x + REACH, at.y) - self.fibre(at.x - REACH, at.y);
        let slope_y = self.fibre(at.x, at.y + REACH) - self.fibre(at.x, at.y - REACH);
        Angle::radians((-slope_x).atan2(slope_y))
    }

    /// Sets the branches, clear of each other and of the edge.
    pub(crate) fn add_knots(
        &mut self,
        ask: &SlabAsk,
        nature: &Nature,
        to_wood_line: &Distance,
        dice: &mut Dice,
    ) {
        let (half_x, half_y) = (ask.length.to_mm() / 2.0, ask.width.to_mm() / 2.0);
        let mut tries = 0;
        while self.cones.len() < ask.knots + nature.pins && tries < 2000 {
            tries += 1;
            let at = Point::new(dice.between(-half_x, half_x), dice.between(-half_y, half_y));
            let pin = self.cones.len() >= ask.knots;
            let radius = if pin {
                dice.between(1.5, 3.5)
            } else {
                dice.between(0.35, 1.0) * (0.07 * ask.width.to_mm()).min(17.0)
            };
            let apart = if pin { 5.0 } else { 9.0 };
            let clear = self.cones.iter().all(|it| it.at.distance(at).to_mm() > apart * (it.radius + radius));
            // A knot that the end cuts through has no rim to be known.
            let whole = *nature == Nature::CLEAN || at.x.abs() < half_x - 2.5 * radius - 12.0;
            let clear = clear && whole;
            let [pith_y, pith_z] = self.pith(at.x);
            let off_pith = (at.y - pith_y).abs() > 12.0 + radius && self.thickness - pith_z > 20.0;
            if clear && off_pith && to_wood_line.at(at.x, at.y) >= 2.5 * radius + 10.0 {
                self.add_knot(at, radius, nature, dice);
            }
        }
        self.cones.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    }

    fn add_knot(&mut self, at: Point, radius: f64, nature: &Nature, dice: &mut Dice) {
        let lean = dice.between(10.0, 45.0);
        let foot = self.pith(at.x - lean);
        let apex = [at.x - lean, foot[0], foot[1]];
        let out = [lean, at.y - foot[0], self.thickness - foot[1]];
        let long = dot(out, out).sqrt();
        let dead = dice.chance(0.45);
        let wobble = Noise::new(self.seed, 60 + self.cones.len() as u32);
        let axis = out.map(|it| it / long);
        // A slanting branch is cut on the slant; this keeps the asked size across.
        let tangent = radius / long;
        let faint = if dead || nature.faint == 0.0 { 0.0 } else { dice.between(0.0, nature.faint) };
        let ragged = nature.ragged;
        self.cones.push(Cone { apex, axis, tangent, at, radius, dead, wobble, ragged, faint });
    }

    /// The knots' rims on the upper face.
    pub(crate) fn knots_on_face(&self) -> Result<Vec<Knot>, Problem> {
        let rim = |cone: &Cone| {
            let corners = (0..64).map(|it| {
                let turn = f64::from(it) * std::f64::consts::TAU / 64.0;
                let on = |away: f64| Point::new(cone.at.x + away * turn.cos(), cone.at.y + away * turn.sin());
                let inside = |away: f64| cone.place([on(away).x, on(away).y, self.thickness]).share < 1.0;
                let (mut low, mut high) = (0.0, 0.5);
                while inside(high) && high < 12.0 * cone.radius {
                    (low, high) = (high, high + 0.5);
                }
                for _ in 0..30 {
                    let middle = (low + high) / 2.0;
                    if inside(middle) { low = middle } else { high = middle }
                }
                on(low)
            });
            Ok(Knot { ring: Ring::new(corners.collect())?, centre: cone.at, dead: cone.dead })
        };
        self.cones.iter().map(rim).collect()
    }

    /// Drying checks: from an end, along the fibres.
    pub(crate) fn checks(
        &self,
        ask: &SlabAsk,
        inside: &Distance,
        dice: &mut Dice,
    ) -> Result<Vec<Ring>, Problem> {
        let (half_x, half_y) = (ask.length.to_mm() / 2.0, ask.width.to_mm() / 2.0);
        let mut starts: Vec<[f64; 2]> = Vec::new();
        let mut rings = Vec::new();
        let mut tries = 0;
        while rings.len() < ask.checks && tries < 500 {
            tries += 1;
            let way = if (rings.len() + usize::from(dice.chance(0.3))) % 2 == 0 { 1.0 } else { -1.0 };
            let y = dice.between(-0.6, 0.6) * half_y;
            let long = ask.length.to_mm() * dice.between(0.07, 0.17);
            let wide = dice.between(1.5, 3.4);
            if starts.iter().any(|it| it[0] == way && (it[1] - y).abs() < 30.0) {
                continue;
            }
            let Some(x) = end_at(inside, -way * (half_x + 25.0), y, way) else { continue };
            starts.push([way, y]);
            let check = Check { way, long, wide, wobble: Noise::new(self.seed, 80 + tries) };
            rings.push(self.check_along(Point::new(x, y), &check)?);
        }
        Ok(rings)
    }

    fn check_along(&self, from: Point, check: &Check) -> Result<Ring, Problem> {
        const PITCH: f64 = 1.0;
        let (mut near, mut far) = (Vec::new(), Vec::new());
        let mut at = from;
        let count = (check.long / PITCH) as usize;
        for it in 0..count {
            let gone = it as f64 / count as f64;
            let half =
                0.5 * check.wide * (1.0 - gone).powf(0.7) * (1.0 + 0.18 * check.wobble.line(at.x / 7.0));
            let turn = self.fibre_at(at);
            let off = 0.35 * check.wobble.line(at.x / 13.0 + 60.0);
            let across = |away: f64| Point::new(at.x - away * turn.sin(), at.y + away * turn.cos());
            near.push(across(off - half));
            far.push(across(off + half));
            at = Point::new(at.x + check.way * PITCH * turn.cos(), at.y + check.way * PITCH * turn.sin());
        }
        near.push(at);
        near.extend(far.into_iter().rev());
        Ring::new(near)
    }
}

/// How one check runs.
struct Check {
    way: f64,
    long: f64,
    wide: f64,
    wobble: Noise,
}

/// Where the end of the slab is, coming from outside at height `y`.
fn end_at(inside: &Distance, from: f64, y: f64, way: f64) -> Option<f64> {
    (0..800).map(|it| from + way * f64::from(it) * 0.25).find(|&x| inside.at(x, y) > 0.0)
}

impl Cone {
    /// Whether a place may be in the branch's surroundings.
    fn is_near(&self, at: [f64; 3]) -> bool {
        let (off, rim) = self.off(at);
        dot(off, off) < (SURROUNDINGS * UNEVEN[1] * rim).powi(2)
    }

    pub(crate) fn place(&self, at: [f64; 3]) -> InCone {
        let (off, rim) = self.off(at);
        let [_, axis_y, axis_z] = self.axis;
        let up = (off[1] * axis_z - off[2] * axis_y) / axis_y.hypot(axis_z).max(1e-9);
        let turn = up.atan2(off[0]);
        let radius = dot(off, off).sqrt();
        let mut uneven = 1.0 + self.ragged * self.wobble.plane(turn.cos() * 1.3, turn.sin() * 1.3);
        if self.ragged > Nature::CLEAN.ragged {
            let fine = self.wobble.plane(turn.cos() * 3.1 + 7.0, turn.sin() * 3.1);
            uneven += 0.5 * (self.ragged - Nature::CLEAN.ragged) * fine;
        }
        InCone { share: radius / (rim * uneven.clamp(UNEVEN[0], UNEVEN[1])), radius, turn }
    }

    /// The way from the branch's pith, square to it, and the branch's radius there.
    fn off(&self, at: [f64; 3]) -> ([f64; 3], f64) {
        let out = [0, 1, 2].map(|axis| at[axis] - self.apex[axis]);
        let along = dot(out, self.axis);
        let off = [0, 1, 2].map(|axis| out[axis] - along * self.axis[axis]);
        (off, along.max(0.0) * self.tangent + 0.3)
    }

    /// How far the yearly rings are drawn out along the branch, in millimetres.
    fn lift(&self, at: [f64; 3]) -> f64 {
        if (at[0] - self.at.x).abs() > 90.0 || (at[1] - self.at.y).abs() > 90.0 {
            return 0.0;
        }
        let (off, rim) = self.off(at);
        let square = dot(off, off) / (rim * rim);
        -0.6 * self.radius * (-(square - 1.0).max(0.0) / 2.2).exp()
    }

    /// How far fibres are pushed aside: flow round a cylinder, faded with distance.
    fn part(&self, x: f64, y: f64) -> f64 {
        let (dx, dy) = (x - self.at.x, y - self.at.y);
        let radius = 1.25 * self.radius;
        if dx.abs() > 12.0 * radius || dy.abs() > 12.0 * radius {
            return 0.0;
        }
        let square = dx * dx / 2.6 + dy * dy;
        let away = square.sqrt();
        let fade = (-(away - radius).max(0.0) / (7.0 * radius)).exp() * step(7.4, 5.5, away / radius);
        0.85 * dy * radius * radius / square.max(radius * radius) * fade
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

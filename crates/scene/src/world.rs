//! What every ray of the camera meets, and how bright it is there.

use outline::{Bounds, Point};
use rayon::prelude::*;

use crate::camera::Camera;
use crate::light::{FARTHEST, Lamp, Lights, Shadow};
use crate::noise::step;
use crate::paper::{Printed, Rest};
use crate::shot::{Shot, Subject};
use crate::slab::Slab;
use crate::surface::Ground;
use crate::wood::{Colour, Skin, Wood};

/// A picture's contents, ready to be looked at.
pub(crate) struct World<'a> {
    shot: &'a Shot,
    level: f64,
    sheets: Vec<Printed>,
    lights: Lights,
    ground: Ground,
    wood: Option<(Wood<'a>, Skin)>,
}

/// What a ray meets.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Bench,
    Top,
    Side,
    Sheet(usize),
    BlockSide,
    Leaf,
}

/// Where a ray meets it.
#[derive(Clone, Copy, Debug)]
struct Hit {
    kind: Kind,
    at: [f64; 3],
}

/// A corner of a pixel: its ray, and what that meets.
#[derive(Clone, Copy)]
struct Corner {
    ray: [f64; 3],
    hit: Hit,
}

/// Samples along each side of a pixel that more than one thing shares. Six put
/// an edge within a twelfth of a pixel before the blur evens it out further.
const SAMPLES: usize = 6;
/// Rows that one worker exposes at a time.
const BAND: usize = 16;
/// Levels at which a side face is looked for.
const LEVELS: usize = 14;
/// A sheet darkens the wood out to this far beside it, in millimetres.
const CONTACT: f64 = 14.0;
/// A curled sheet, or a cupped face, may be met this far outside its outline as
/// seen on its level.
const NEAR_CURL: f64 = 12.0;
/// Rays this far beside a missing edge, in millimetres, may still meet it.
const NEAR_WANE: f64 = 30.0;
/// No face is cupped by more than this to either side, in millimetres.
const CUPPED: f64 = 3.0;
/// Halvings of the depth of a missing edge: to a thousandth of a millimetre.
const WANE_ROUNDS: usize = 15;
/// A surface is met to this, in millimetres; a slope of a tenth comes there in
/// half of these rounds.
const SETTLED: f64 = 1e-6;
const SETTLE_ROUNDS: usize = 12;
/// The block under a raised sheet is this much smaller than its paper, each side.
const BLOCK_INSET: f64 = 4.0;

impl World<'_> {
    pub(crate) fn of(shot: &Shot) -> World<'_> {
        let wood = match &shot.subject {
            Subject::Slab(slab) => {
                let wood = Wood::of(slab);
                let above = shot.camera.pose.centre_mm[2] - slab.ask().thickness.to_mm();
                let skin = Skin::of(slab, &wood, above / shot.camera.focal_px);
                Some((wood, skin))
            }
            Subject::Leaf(_) => None,
        };
        let level = shot.sheets_level.to_mm();
        let sheets = shot.printed();
        let mut lights = Lights::of(shot);
        if let Some(bounds) = shaded(shot, &sheets) {
            lights.cast(bounds, |lamp, x, y| open(shot, &sheets, lamp, [x, y]));
        }
        World { shot, level, sheets, lights, ground: Ground::of(shot), wood }
    }

    /// The light on every pixel, row by row.
    pub(crate) fn expose(&self, camera: &Camera) -> Vec<[f32; 3]> {
        let width = camera.width_px as usize;
        let mut picture = vec![[0.0_f32; 3]; width * camera.height_px as usize];
        picture.par_chunks_mut(width * BAND).enumerate().for_each(|(band, rows)| {
            let mut above = self.corners(camera, band * BAND);
            for (index, row) in rows.chunks_mut(width).enumerate() {
                let below = self.corners(camera, band * BAND + index + 1);
                for (column, pixel) in row.iter_mut().enumerate() {
                    let corners = [above[column], above[column + 1], below[column], below[column + 1]];
                    let dimmed = vignette(camera, column as f64 + 0.5, (band * BAND + index) as f64 + 0.5);
                    *pixel = self.pixel(camera, &corners).map(|it| (it * dimmed) as f32);
                }
                above = below;
            }
        });
        picture
    }

    /// Whether a pixel position shows this sheet.
    pub(crate) fn shows_sheet(&self, camera: &Camera, pixel: [f64; 2], sheet: usize) -> bool {
        self.meet(camera.pose.centre_mm, camera.ray(pixel)).kind == Kind::Sheet(sheet)
    }

    fn corners(&self, camera: &Camera, row: usize) -> Vec<Corner> {
        let corner = |column: u32| {
            let ray = camera.ray([f64::from(column), row as f64]);
            Corner { ray, hit: self.meet(camera.pose.centre_mm, ray) }
        };
        (0..=camera.width_px).map(corner).collect()
    }

    fn pixel(&self, camera: &Camera, corners: &[Corner; 4]) -> Colour {
        let centre = camera.pose.centre_mm;
        let places = corners.map(|it| it.hit.at);
        let kind = corners[0].hit.kind;
        if corners.iter().all(|it| it.hit.kind == kind) {
            let middle = Hit { kind, at: between(&places, 0.5, 0.5) };
            return match kind {
                Kind::Sheet(index) => self.paper(middle, self.print(&places, index)),
                Kind::Bench | Kind::Top | Kind::Side | Kind::BlockSide | Kind::Leaf => {
                    self.shade(middle, centre)
                }
            };
        }
        let rays = corners.map(|it| it.ray);
        let mut sum = [0.0; 3];
        for (across, down) in samples() {
            let seen = self.shade(self.meet(centre, between(&rays, across, down)), centre);
            (0..3).for_each(|it| sum[it] += seen[it]);
        }
        sum.map(|it| it / (SAMPLES * SAMPLES) as f64)
    }

    /// Light that a pixel's part of a sheet gives back.
    fn print(&self, places: &[[f64; 3]; 4], index: usize) -> f64 {
        let sheet = &self.sheets[index];
        let [x, y, _] = between(places, 0.5, 0.5);
        let reach = (places[0][0] - places[3][0]).abs() + (places[0][1] - places[3][1]).abs();
        if sheet.is_plain(x, y, reach) {
            return sheet.light(x, y);
        }
        let each = samples().map(|(across, down)| {
            let [x, y, _] = between(places, across, down);
            sheet.light(x, y)
        });
        each.sum::<f64>() / (SAMPLES * SAMPLES) as f64
    }

    /// How paper looks whose print gives back this much light.
    fn paper(&self, hit: Hit, light: f64) -> Colour {
        let [x, y, _] = hit.at;
        let slope = if let Kind::Sheet(index) = hit.kind { self.sheets[index].slope(x, y) } else { [0.0; 2] };
        self.lights.lit([light, light * 0.995, light * 0.97], hit.at, |lamp| {
            let leaning = if slope == [0.0; 2] { 1.0 } else { lamp.leaning(slope) };
            leaning * if self.level == 0.0 { lamp.open(x, y) } else { 1.0 }
        })
    }

    fn meet(&self, centre: [f64; 3], ray: [f64; 3]) -> Hit {
        let on = |z: f64| {
            let share = (z - centre[2]) / ray[2];
            [centre[0] + share * ray[0], centre[1] + share * ray[1], z]
        };
        let raised = if self.level > 0.0 { self.raised(&on) } else { None };
        raised.or_else(|| self.slab(&on)).unwrap_or_else(|| self.flat(&on))
    }

    /// What lies on the bench, without height.
    fn flat(&self, on: &dyn Fn(f64) -> [f64; 3]) -> Hit {
        if self.level == 0.0
            && let Some(sheet) = self.sheet(on)
        {
            return sheet;
        }
        let at = on(0.0);
        let kind = match &self.shot.subject {
            Subject::Leaf(leaf) if leaf.to_outline.at(at[0], at[1]) > 0.0 => Kind::Leaf,
            Subject::Leaf(_) | Subject::Slab(_) => Kind::Bench,
        };
        Hit { kind, at }
    }

    /// The sheet that a ray meets.
    fn sheet(&self, on: &dyn Fn(f64) -> [f64; 3]) -> Option<Hit> {
        self.sheets.iter().enumerate().find_map(|(index, sheet)| {
            let mut at = on(sheet.level());
            if sheet.is_far(at[0], at[1]) {
                return None;
            }
            if sheet.is_curled() && sheet.inside(at[0], at[1], -NEAR_CURL) > 0.0 {
                at = settled(at, on, &|x, y| sheet.height(x, y));
            }
            (sheet.inside(at[0], at[1], 0.0) > 0.0).then_some(Hit { kind: Kind::Sheet(index), at })
        })
    }

    /// A raised sheet, or the block below it.
    fn raised(&self, on: &dyn Fn(f64) -> [f64; 3]) -> Option<Hit> {
        if let Some(sheet) = self.sheet(on) {
            return Some(sheet);
        }
        let top = on(self.level);
        let foot = on(0.0);
        let drift = (foot[0] - top[0]).hypot(foot[1] - top[1]);
        self.sheets.iter().filter(|it| it.rest() == Rest::Block).find_map(|sheet| {
            let inside = |at: [f64; 3]| sheet.inside(at[0], at[1], BLOCK_INSET);
            if inside(top) < -drift - BLOCK_INSET {
                return None;
            }
            side(self.level, on, &inside).map(|at| Hit { kind: Kind::BlockSide, at })
        })
    }

    fn slab(&self, on: &dyn Fn(f64) -> [f64; 3]) -> Option<Hit> {
        let Subject::Slab(slab) = &self.shot.subject else { return None };
        let top = slab.ask().thickness.to_mm();
        let mut at = on(top);
        if !slab.is_flat() && slab.to_outline.at(at[0], at[1]) > -NEAR_CURL {
            at = top_of(slab, at, on);
        }
        let inside = |at: [f64; 3]| {
            let side = slab.to_outline.at(at[0], at[1]) - slab.undercut(at[2]);
            if slab.faults().wane.is_some() { side.min(slab.height(at[0], at[1]) - at[2]) } else { side }
        };
        let margin = slab.to_outline.at(at[0], at[1]);
        if margin > 0.0 {
            return Some(Hit { kind: Kind::Top, at });
        }
        let foot = on(0.0);
        let drift = (foot[0] - at[0]).hypot(foot[1] - at[1]);
        if margin < -drift - 1.0 {
            return None;
        }
        side(top, on, &inside).map(|at| Hit { kind: Kind::Side, at })
    }

    fn shade(&self, hit: Hit, centre: [f64; 3]) -> Colour {
        let [x, y, z] = hit.at;
        let lit = |colour: Colour, share: &dyn Fn(&Lamp) -> f64| self.lights.lit(colour, hit.at, share);
        match (hit.kind, &self.shot.subject) {
            (Kind::Bench, _) => lit(self.ground.colour(x, y), &|lamp| lamp.open(x, y)),
            (Kind::Sheet(index), _) => self.paper(hit, self.sheets[index].light(x, y)),
            (Kind::Top, _) => {
                let wood = self.wood.as_ref().map_or([0.0; 3], |(_, skin)| skin.colour(x, y));
                let gloss = self.lights.gloss(hit.at, centre);
                if self.is_round(x, y) {
                    return lit(wood, &|lamp| 0.6 + 0.4 * lamp.facing([0.0, 1.0]));
                }
                let open = self.beside_sheets(hit.at);
                lit(wood, &|_| open).map(|it| it + gloss * open)
            }
            (Kind::Side, Subject::Slab(slab)) => {
                let (wood, outward, low) = self.side_face(slab, hit.at);
                lit(wood, &|lamp| (0.35 + 0.65 * lamp.facing(outward)) * low)
            }
            (Kind::BlockSide, _) => lit(self.ground.block(x, y, z), &|_| 0.55),
            (Kind::Leaf, Subject::Leaf(leaf)) => lit(leaf.colour(x, y), &|_| 1.0),
            (Kind::Side, Subject::Leaf(_)) | (Kind::Leaf, Subject::Slab(_)) => [0.0; 3],
        }
    }

    /// Whether the upper face falls off to the round of the log here.
    fn is_round(&self, x: f64, y: f64) -> bool {
        matches!(&self.shot.subject, Subject::Slab(slab) if slab.fallen(x, y) > 0.1)
    }

    /// A slab's side face: its colour, the way it looks, and the share of the light
    /// that gets down to it.
    fn side_face(&self, slab: &Slab, at: [f64; 3]) -> (Colour, [f64; 2], f64) {
        let [x, y, z] = at;
        let field = |x: f64, y: f64| slab.to_outline.at(x, y);
        let outward = [field(x - 1.0, y) - field(x + 1.0, y), field(x, y - 1.0) - field(x, y + 1.0)];
        let end = slab.is_end(x, y);
        let colour = self.wood.as_ref().map_or([0.0; 3], |(wood, _)| {
            if slab.ask().live_edge && !end { wood.bark_at(at) } else { wood.colour(at, end) }
        });
        let low = step(-0.2, 0.5, z / slab.ask().thickness.to_mm());
        (colour, outward, 0.45 + 0.55 * low)
    }

    /// How much of the light reaches the wood close to sheets that lie on it.
    fn beside_sheets(&self, [x, y, z]: [f64; 3]) -> f64 {
        let near = self.sheets.iter().filter(|it| it.rest() == Rest::Wood && it.level() > 0.0);
        let open = near.filter(|it| !it.is_far(x, y)).map(|sheet| {
            let outside = -sheet.inside(x, y, 0.0);
            if outside > CONTACT {
                return 1.0;
            }
            let gap = (sheet.height(x, y) - z).max(0.0);
            1.0 - 0.3 * (-outside.max(0.0) / (0.6 + 1.2 * gap)).exp()
        });
        open.product()
    }
}

/// The part of the bench on which shadows may fall.
fn shaded(shot: &Shot, sheets: &[Printed]) -> Option<Bounds> {
    let edge = match &shot.subject {
        Subject::Slab(slab) => slab.outline(),
        Subject::Leaf(leaf) => leaf.outline(),
    };
    let paper = sheets.iter().flat_map(Printed::corners).map(|[x, y, _]| Point::new(x, y));
    let bounds = Bounds::around(edge.corners().iter().copied().chain(paper))?;
    let [low, high] =
        [(bounds.low, -FARTHEST), (bounds.high, FARTHEST)].map(|(at, by)| Point::new(at.x + by, at.y + by));
    Some(Bounds { low, high })
}

/// How much of a lamp's light reaches a place on the bench: 1 is all.
fn open(shot: &Shot, sheets: &[Printed], lamp: &Lamp, [x, y]: [f64; 2]) -> f64 {
    let mut light = match &shot.subject {
        Subject::Slab(slab) => {
            let high = slab.ask().thickness.to_mm();
            lamp.shadow(&Shadow { x, y, high, inside: &|x, y| slab.to_outline.at(x, y) })
        }
        Subject::Leaf(leaf) => {
            lamp.shadow(&Shadow { x, y, high: 2.5, inside: &|x, y| leaf.to_outline.at(x, y) })
        }
    };
    let high = shot.sheets_level.to_mm();
    if high > 0.0 {
        for sheet in sheets {
            let inset = if sheet.rest() == Rest::Block { BLOCK_INSET } else { 0.0 };
            let inside = |x: f64, y: f64| sheet.inside(x, y, inset);
            light *= lamp.shadow(&Shadow { x, y, high, inside: &inside });
        }
    }
    light
}

/// Where a ray that meets the face's level at `at` meets the upper face itself.
fn top_of(slab: &Slab, at: [f64; 3], on: &dyn Fn(f64) -> [f64; 3]) -> [f64; 3] {
    let height = |x: f64, y: f64| slab.height(x, y);
    let Some(wane) = slab.faults().wane.as_ref().filter(|it| it.is_near(at[0], at[1], NEAR_WANE)) else {
        return settled(at, on, &height);
    };
    let (mut low, mut high) = (at[2] - wane.deepest() - CUPPED, at[2] + CUPPED);
    for _ in 0..WANE_ROUNDS {
        let middle = (low + high) / 2.0;
        let [x, y, z] = on(middle);
        if z > height(x, y) { high = middle } else { low = middle }
    }
    on(high)
}

/// Where a ray meets a surface of gentle height, begun at `at`: each round leaves
/// the slope's share of what was off.
fn settled(at: [f64; 3], on: &dyn Fn(f64) -> [f64; 3], height: &dyn Fn(f64, f64) -> f64) -> [f64; 3] {
    let mut at = at;
    for _ in 0..SETTLE_ROUNDS {
        let next = on(height(at[0], at[1]));
        let off = (next[2] - at[2]).abs();
        at = next;
        if off < SETTLED {
            break;
        }
    }
    at
}

/// Where a ray meets a side face: `inside` is positive within the thing.
fn side(top: f64, on: &dyn Fn(f64) -> [f64; 3], inside: &dyn Fn([f64; 3]) -> f64) -> Option<[f64; 3]> {
    let mut above = top;
    for level in 1..=LEVELS {
        let z = top * (1.0 - level as f64 / LEVELS as f64);
        if inside(on(z)) > 0.0 {
            let (mut out, mut within) = (above, z);
            for _ in 0..6 {
                let middle = (out + within) / 2.0;
                if inside(on(middle)) > 0.0 { within = middle } else { out = middle }
            }
            return Some(on(within));
        }
        above = z;
    }
    None
}

/// Where in a pixel it is looked at: shares across and down.
fn samples() -> impl Iterator<Item = (f64, f64)> {
    let part = |it: usize| (it as f64 + 0.5) / SAMPLES as f64;
    (0..SAMPLES * SAMPLES).map(move |it| (part(it % SAMPLES), part(it / SAMPLES)))
}

fn between([a, b, c, d]: &[[f64; 3]; 4], across: f64, down: f64) -> [f64; 3] {
    [0, 1, 2].map(|it| {
        let upper = a[it] + (b[it] - a[it]) * across;
        let lower = c[it] + (d[it] - c[it]) * across;
        upper + (lower - upper) * down
    })
}

/// The lens passes less light to the picture's corners.
fn vignette(camera: &Camera, x: f64, y: f64) -> f64 {
    let (half_x, half_y) = (f64::from(camera.width_px) / 2.0, f64::from(camera.height_px) / 2.0);
    let square = ((x - half_x).powi(2) + (y - half_y).powi(2)) / (half_x * half_x + half_y * half_y);
    1.0 - 0.2 * square
}

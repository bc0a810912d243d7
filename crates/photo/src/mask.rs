//! Tells the thing from its ground by colour.

use measure::Problem;
use rayon::prelude::*;

use crate::clean::Mask;
use crate::colour::{self, Lab, Material};
use crate::field::Field;

/// What is known of a cell before its colour is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Known {
    /// The photograph does not show it.
    Unseen,
    /// Scale sheet, lying on the ground.
    Sheet,
    /// Scale sheet, lying on the thing or beside it: what is below shows at its rim.
    SheetOver,
    /// Bare paper round a sheet.
    Paper,
    /// Near the edge of the photograph: ground.
    Rim,
    /// In the middle of the photograph: most likely the thing.
    Middle,
    /// Nothing.
    Open,
}

/// A scene cut into cells.
pub(crate) struct Cells {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) known: Vec<Known>,
    pub(crate) lab: Vec<Lab>,
}

/// What a thing lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum On {
    /// Plain ground: whatever is not ground belongs to the thing.
    Plain,
    /// A bench or floor, with seams, shavings and other things on it.
    Bench,
}

/// How likely any colour at all is for a thing on plain ground: a logarithm.
/// All of L*a*b* is about a million units large.
const ANY_COLOUR: f32 = -13.0;

/// Colour clouds of the ground and of the thing.
const GROUND_CLOUDS: usize = 5;
const THING_CLOUDS: usize = 5;

/// Colour clouds of the ground in shadow.
const SHADE_CLOUDS: usize = 6;

/// How much of the light falls where something shades the ground, from the rim
/// of a soft shadow to the foot of the thing.
const SHADES: [f32; 5] = [0.8, 0.62, 0.47, 0.35, 0.25];

/// Rounds of telling apart and learning anew; the line settles in three or four.
const ROUNDS: usize = 4;

/// One cell's colour counts for this much at most (a logarithm), so that a
/// knot does not outweigh all that is round it.
const MOST_SAID: f32 = 6.0;

/// Cells listen to their neighbours within about this many.
const NEIGHBOURS: f64 = 1.2;

/// What the wider neighbourhood says, against what the near one says.
const COMPANY_SHARE: f32 = 1.0;

/// Materials are learned this many cells off the line.
const CLEAR: f32 = 4.0;

/// This share of the ground's own colours may be unlikely for it.
const ODD_SHARE: f64 = 0.03;

/// Fewer cells than this share are not the thing that was photographed.
const LEAST_SHARE: f64 = 0.005;

/// The largest thing that stands out from the ground.
///
/// # Errors
/// Nothing large enough does.
pub(crate) fn silhouette(cells: &Cells, on: On) -> Result<Mask, Problem> {
    let paper = Material::of(&cells.colours(|_, known| known == Known::Paper), 2);
    let mut ground = cells.colours(|_, known| known == Known::Rim);
    let seeds = match on {
        On::Plain => cells.farthest(&ground),
        On::Bench => cells.standing_out(&ground),
    };
    let mut thing = seeds.ok_or_else(nothing)?;
    let mut mask = None;
    for _ in 0..ROUNDS {
        let ground_now = Material::of(&ground, GROUND_CLOUDS).ok_or_else(nothing)?;
        let thing_now = Material::of(&thing, THING_CLOUDS).ok_or_else(nothing)?;
        let shade = Material::of(&in_shade(&ground), SHADE_CLOUDS);
        let found = cells.apart(&thing_now, &[Some(&ground_now), shade.as_ref(), paper.as_ref()], on);
        if found.count() < (LEAST_SHARE * found.cells.len() as f64) as usize {
            return Err(nothing());
        }
        let (well_in, near) = (found.shrunk(CLEAR), found.grown(CLEAR));
        thing = cells.colours(|at, known| well_in.cells[at] && !known.is_sheet());
        ground = cells.colours(|at, known| !near.cells[at] && !known.is_sheet() && known != Known::Paper);
        mask = Some(found);
    }
    mask.ok_or_else(nothing)
}

/// The ground's colours as they are in the thing's own shadow.
pub(crate) fn in_shade(ground: &[Lab]) -> Vec<Lab> {
    let some = ground.iter().step_by(SHADES.len());
    some.flat_map(|it| SHADES.map(|share| colour::shaded(*it, share))).collect()
}

pub(crate) fn nothing() -> Problem {
    Problem::new("nothing stands out from its ground").hint(
        "photograph it on plain ground of another colour, whole, in the middle of the picture, ground all round",
    )
}

impl On {
    /// How far, in cells, the neighbourhood reaches that decides where a cell's
    /// own colour is doubtful; narrow parts of a leaf have less of it.
    fn company(self) -> f64 {
        match self {
            On::Plain => 2.0,
            On::Bench => 6.0,
        }
    }

    /// Bridges and spurs narrower than twice this many cells are cut: bark,
    /// shadow and seams of a bench, but not a leaf's stalk.
    pub(crate) fn opening(self) -> f32 {
        match self {
            On::Plain => 1.0,
            On::Bench => 3.0,
        }
    }
}

impl Known {
    /// Whether a cell lies open to the eye, thing or ground.
    pub(crate) fn is_open(self) -> bool {
        matches!(self, Known::Rim | Known::Middle | Known::Open)
    }

    /// Whether a cell's colour says nothing of thing or ground.
    pub(crate) fn is_sheet(self) -> bool {
        matches!(self, Known::Sheet | Known::SheetOver | Known::Unseen)
    }
}

impl Cells {
    /// The colours of the cells that are wanted.
    pub(crate) fn colours(&self, wanted: impl Fn(usize, Known) -> bool) -> Vec<Lab> {
        let all = self.known.iter().zip(&self.lab).enumerate();
        all.filter(|(at, (known, _))| wanted(*at, **known)).map(|(_, (_, lab))| *lab).collect()
    }

    /// The cell so many columns to the right of one and so many rows below it.
    pub(crate) fn at(&self, from: usize, (right, down): Spot) -> Option<usize> {
        let (column, row) = ((from % self.width) as i64 + right, (from / self.width) as i64 + down);
        let inside = (0..self.width as i64).contains(&column) && (0..self.height as i64).contains(&row);
        inside.then(|| row as usize * self.width + column as usize)
    }

    /// How far apart two cells' colours are.
    pub(crate) fn unlike(&self, one: usize, other: usize) -> f32 {
        self.lab[one].iter().zip(self.lab[other]).map(|(a, b)| (a - b).powi(2)).sum::<f32>().sqrt()
    }

    /// The colours far from the ground's middle one, beyond Otsu's threshold
    /// ("A threshold selection method from gray-level histograms", 1979).
    fn farthest(&self, ground: &[Lab]) -> Option<Vec<Lab>> {
        let middle: [Option<f32>; 3] = std::array::from_fn(|channel| {
            let mut values: Vec<f32> = ground.iter().map(|it| it[channel]).collect();
            values.sort_by(f32::total_cmp);
            values.get(values.len() / 2).copied()
        });
        let [Some(light), Some(red), Some(yellow)] = middle else { return None };
        let far =
            |it: &Lab| ((it[0] - light).powi(2) + (it[1] - red).powi(2) + (it[2] - yellow).powi(2)).sqrt();
        let open = self.colours(|_, known| matches!(known, Known::Open | Known::Middle));
        let ways: Vec<f32> = open.iter().map(far).collect();
        let threshold = otsu(&ways);
        Some(open.into_iter().zip(ways).filter(|(_, way)| *way > threshold).map(|(lab, _)| lab).collect())
    }

    /// The colours in the middle that the ground does not have.
    fn standing_out(&self, ground: &[Lab]) -> Option<Vec<Lab>> {
        let material = Material::of(ground, GROUND_CLOUDS)?;
        let mut usual: Vec<f32> = ground.iter().step_by(7).map(|it| material.likelihood(*it)).collect();
        usual.sort_by(f32::total_cmp);
        let odd = *usual.get((usual.len() as f64 * ODD_SHARE) as usize)?;
        let middle = self.colours(|_, known| known == Known::Middle);
        let unlike: Vec<Lab> = middle.iter().copied().filter(|it| material.likelihood(*it) < odd).collect();
        Some(if unlike.len() * 10 > middle.len() { unlike } else { middle })
    }

    /// Parts the cells by what they are most like.
    fn apart(&self, thing: &Material, ground: &[Option<&Material>], on: On) -> Mask {
        let least = match on {
            On::Plain => ANY_COLOUR,
            On::Bench => f32::NEG_INFINITY,
        };
        let said = self.known.par_iter().zip(&self.lab).map(|(known, lab)| match known {
            Known::Unseen | Known::Sheet | Known::Rim => -MOST_SAID,
            Known::SheetOver => 0.0,
            Known::Paper | Known::Middle | Known::Open => {
                let other = ground.iter().flatten().map(|it| it.likelihood(*lab));
                let other = other.fold(f32::NEG_INFINITY, f32::max);
                (thing.likelihood(*lab).max(least) - other).clamp(-MOST_SAID, MOST_SAID)
            }
        });
        let own = Field::new(self.width, self.height, said.collect());
        let near = own.smeared(NEIGHBOURS);
        let said = near.with(&own.smeared(on.company()), |near, company| near + COMPANY_SHARE * company);
        let cells = said.values.iter().map(|it| *it > 0.0).collect();
        let rough = Mask { width: self.width, height: self.height, cells };
        self.bridged(rough.opened(on.opening())).opened(on.opening()).largest().filled()
    }

    /// Under a sheet that lies over the thing, the thing reaches straight from
    /// where it comes out on one side to where it comes out on the other.
    fn bridged(&self, mut mask: Mask) -> Mask {
        let cells = self.known.iter().map(|it| *it == Known::SheetOver).collect();
        let over = Mask { cells, ..mask };
        let (part, sizes) = over.parts();
        let mut rims = vec![Vec::new(); sizes.len() + 1];
        for (at, &number) in part.iter().enumerate().filter(|(_, number)| **number != 0) {
            let beside = over.beside(at).into_iter().flatten();
            let out = beside.filter(|&next| !over.cells[next] && mask.cells[next]);
            rims[number as usize].extend(out.map(|next| self.spot(next)));
        }
        let hulls: Vec<Vec<Spot>> = rims.into_iter().map(hull).collect();
        for (at, &number) in part.iter().enumerate().filter(|(_, number)| **number != 0) {
            mask.cells[at] = within(&hulls[number as usize], self.spot(at));
        }
        mask
    }

    fn spot(&self, at: usize) -> Spot {
        ((at % self.width) as i64, (at / self.width) as i64)
    }
}

/// A cell's column and row.
pub(crate) type Spot = (i64, i64);

/// Twice the area of the triangle, with its sign.
fn side(a: Spot, b: Spot, c: Spot) -> i64 {
    (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)
}

/// The convex line around spots, every turn to the same side (Andrew, "Another
/// efficient algorithm for convex hulls in two dimensions", 1979).
pub(crate) fn hull(mut spots: Vec<Spot>) -> Vec<Spot> {
    spots.sort_unstable();
    spots.dedup();
    let half = |spots: &mut dyn Iterator<Item = Spot>| {
        let mut line: Vec<Spot> = Vec::new();
        for spot in spots {
            while line.len() > 1 && side(line[line.len() - 2], line[line.len() - 1], spot) <= 0 {
                line.pop();
            }
            line.push(spot);
        }
        line.pop();
        line
    };
    let mut line = half(&mut spots.iter().copied());
    line.extend(half(&mut spots.iter().rev().copied()));
    line
}

pub(crate) fn within(hull: &[Spot], spot: Spot) -> bool {
    let next = hull.iter().cycle().skip(1);
    hull.len() > 2 && hull.iter().zip(next).all(|(a, b)| side(*a, *b, spot) >= 0)
}

/// The threshold that parts values into the two classes farthest apart, to one
/// part in a few hundred.
fn otsu(values: &[f32]) -> f32 {
    const BINS: usize = 256;
    let most = values.iter().copied().fold(f32::MIN_POSITIVE, f32::max);
    let mut counts = [0.0_f64; BINS];
    for value in values {
        counts[((value / most * BINS as f32) as usize).min(BINS - 1)] += 1.0;
    }
    let count: f64 = counts.iter().sum();
    let sum: f64 = counts.iter().enumerate().map(|(bin, it)| bin as f64 * it).sum();
    let (mut below, mut sum_below, mut best) = (0.0, 0.0, (0.0, 0));
    for (bin, it) in counts.iter().enumerate() {
        below += it;
        sum_below += bin as f64 * it;
        let above = count - below;
        if below > 0.0 && above > 0.0 {
            let apart = sum_below / below - (sum - sum_below) / above;
            let between = below * above * apart * apart;
            if between > best.0 {
                best = (between, bin);
            }
        }
    }
    most * (best.1 + 1) as f32 / BINS as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A brown disc on gray ground, with noise and a sheet.
    fn scene(sheet: Known) -> Cells {
        let (width, height) = (160, 120);
        let mut cells = Cells { width, height, known: Vec::new(), lab: Vec::new() };
        for index in 0..width * height {
            let (x, y) = ((index % width) as f32 - 80.0, (index / width) as f32 - 60.0);
            let noise = ((index * 7919) % 13) as f32 - 6.0;
            let disc = x.hypot(y) < 40.0;
            let on_sheet = (30.0..50.0).contains(&x) && y.abs() < 8.0;
            let rim = x.abs() > 74.0 || y.abs() > 54.0;
            cells.known.push(match (on_sheet, rim) {
                (true, _) => sheet,
                (_, true) => Known::Rim,
                _ if x.abs() < 15.0 && y.abs() < 15.0 => Known::Middle,
                _ => Known::Open,
            });
            cells.lab.push(match (on_sheet, disc) {
                (true, _) => [95.0, 0.0, 0.0],
                (_, true) => [40.0 + noise, 12.0, 20.0 + noise / 3.0],
                (_, false) => [60.0 + noise, 0.0, 3.0],
            });
        }
        cells
    }

    #[test]
    fn a_disc_is_told_from_its_ground() {
        let found = silhouette(&scene(Known::SheetOver), On::Bench).unwrap().count() as f64;
        let disc = std::f64::consts::PI * 40.0 * 40.0;
        assert!((found / disc - 1.0).abs() < 0.03, "{found} of {disc}");
        let cut = silhouette(&scene(Known::Sheet), On::Bench).unwrap().count() as f64;
        assert!(found - cut > 100.0, "{cut} of {found}");
    }

    #[test]
    fn a_thing_off_the_middle_is_found_on_plain_ground() {
        let mut cells = scene(Known::Open);
        cells.known.iter_mut().filter(|it| **it == Known::Middle).for_each(|it| *it = Known::Open);
        let found = silhouette(&cells, On::Plain).unwrap().count() as f64;
        assert!((found / (std::f64::consts::PI * 40.0 * 40.0) - 1.0).abs() < 0.06, "{found}");
    }

    #[test]
    fn bare_ground_holds_nothing() {
        let mut bare = scene(Known::Open);
        bare.lab.fill([60.0, 0.0, 3.0]);
        assert!(silhouette(&bare, On::Bench).is_err());
    }
}

//! Tells a slab, bark, sides and all, from the bench it lies on.

use measure::{Length, Problem};
use rayon::prelude::*;

use crate::calm::calmed;
use crate::clean::Mask;
use crate::colour::{Lab, Material};
use crate::cut::Parting;
use crate::dark_line::{ringed, seen, settled};
use crate::girth::{Girth, girth};
use crate::light::evened;
use crate::mask::{Cells, Known, in_shade, nothing};

/// A slab on its bench, roughly.
pub(crate) struct Body {
    /// The slab with bark and sides, and every sheet that lies on it.
    pub(crate) mask: Mask,
    /// Strips of the bench's own colours that dark edges shut in: pale sapwood.
    pub(crate) pale: Mask,
    pub(crate) bench: Bench,
    /// How large the next largest thing is beside the slab, as a share of it.
    pub(crate) second: f64,
}

/// What lies round a slab.
pub(crate) struct Bench {
    lit: Material,
    shade: Option<Material>,
    paper: Option<Material>,
}

impl Bench {
    /// How likely it shows a colour: a logarithm.
    pub(crate) fn likelihood(&self, lab: Lab) -> f32 {
        let dim = self.shade.iter().chain(&self.paper).map(|it| it.likelihood(lab));
        dim.fold(self.lit.likelihood(lab), f32::max)
    }
}

/// Colour clouds of the bench, of the bench in shadow, and of the slab.
const BENCH_CLOUDS: usize = 5;
const SHADE_CLOUDS: usize = 6;
const SLAB_CLOUDS: usize = 5;

/// Rounds of parting and learning anew; the line settles in three or four.
const ROUNDS: usize = 4;

/// How likely any colour at all is for a slab: a logarithm.
const ANY_COLOUR: f32 = -14.0;

/// One cell's colour counts for this much at most (a logarithm).
const MOST_SAID: f32 = 5.0;

/// How much alike neighbours stand together, in the same unit.
const STRENGTH: f32 = 2.5;

/// The slab is learned a cell inside its line, the bench this far outside.
const INSIDE: f32 = 1.0;
const OUTSIDE: Length = Length::mm(20.0);

/// A thing aside of the picture's middle is no slab if it is narrower than this: rules,
/// pencils and seams are. Nor if it is a smaller share of the picture.
const NARROWEST: Length = Length::mm(60.0);
const ASIDE_SHARE: f64 = 0.02;

/// Round a sheet that lies on the wood, wood shows within this.
const ROUND_SHEET: Length = Length::mm(30.0);

/// A strip of the bench's colours that no disc of this radius gets into from
/// the open bench belongs to the slab: sapwood is seldom twice as wide.
const SHUT_IN: Length = Length::mm(15.0);

/// Paper may show this far round what is surely sheet.
const PAPER: Length = Length::mm(24.0);

/// This share of the lit bench's own colours may be unlikely for it.
const ODD_SHARE: f64 = 0.02;

/// Fewer cells than this share are not the thing that was photographed.
const LEAST_SHARE: f64 = 0.005;

/// Spurs thinner than twice this many cells are seams of the bench.
const OPENING: f32 = 1.0;

/// A line of which less than this share is seen as an edge is doubted.
const SEEN_ENOUGH: f64 = 0.95;

/// Another line is believed instead of the one in hand if it is worth so many
/// times as much, and holds at least this share of what that one does: a stripe
/// of sapwood has a plain line too.
const BETTER: f32 = 1.2;
const LEAST_HELD: f64 = 0.33;

/// A mask that has this share in common with the one by colours leaves it as it is.
const ALIKE: f64 = 0.9;

/// Finds the slab in cells of about 5 mm: by its colours, or where these are
/// its bench's own, by the line round it that is seen best.
///
/// # Errors
/// Nothing large enough stands out.
pub(crate) fn body(cells: &Cells, cell: Length) -> Result<Body, Problem> {
    let found = by_colour(cells, cell);
    let calm = Cells { lab: calmed(cells), known: cells.known.clone(), ..*cells };
    let seen = found.as_ref().map_or(0.0, |it| seen(&calm, &it.mask));
    if seen >= SEEN_ENOUGH {
        return found;
    }
    let even = Cells { lab: evened(&calm, |at| cells.known[at] == Known::Rim), ..calm };
    let other = by_line(&even, cell, found.as_ref().ok().map(|it| &it.mask));
    let other = other.filter(|it| found.as_ref().map_or(true, |found| alike(&found.mask, it) < ALIKE));
    other
        .and_then(|it| settled(&even, cell, it))
        .and_then(|it| within_line(cells, cell, it))
        .map_or(found, Ok)
}

/// The slab within the line that is worth most: the one near that by colours, or
/// near the dark strips, or round sheets that lie on the slab.
fn by_line(even: &Cells, cell: Length, by_colour: Option<&Mask>) -> Option<Mask> {
    let over = even.known.iter().map(|it| *it == Known::SheetOver).collect();
    let over = Mask { width: even.width, height: even.height, cells: over };
    let ringed = ringed(even, cell);
    let firsts = by_colour.into_iter().chain(&ringed).chain([&over]);
    let mut best: Option<Girth> = None;
    for it in firsts.filter_map(|it| girth(even, it)).filter(|it| is_whole(&it.mask)) {
        let better = |best: &Girth| {
            it.worth() > BETTER * best.worth()
                && it.mask.count() as f64 > LEAST_HELD * best.mask.count() as f64
        };
        if best.as_ref().is_none_or(better) {
            best = Some(it);
        }
    }
    best.map(|it| it.mask)
}

/// The cells that two masks have in common, as a share of those of either.
fn alike(one: &Mask, other: &Mask) -> f64 {
    let both = one.cells.iter().zip(&other.cells).filter(|(one, other)| **one && **other).count();
    both as f64 / (one.count() + other.count() - both).max(1) as f64
}

/// Whether there are enough cells for a slab.
fn is_whole(mask: &Mask) -> bool {
    mask.count() >= (LEAST_SHARE * mask.cells.len() as f64) as usize
}

/// The slab within a dark line, with the bench that is learned round it.
fn within_line(cells: &Cells, cell: Length, mask: Mask) -> Option<Body> {
    let near = mask.grown((OUTSIDE / cell) as f32);
    let bench = cells.colours(|at, known| !near.cells[at] && known.is_open());
    let bench = Bench {
        lit: Material::of(&bench, BENCH_CLOUDS)?,
        shade: Material::of(&in_shade(&bench), SHADE_CLOUDS),
        paper: Material::of(&cells.colours(|_, known| known == Known::Paper), 2),
    };
    let pale = Mask { cells: vec![false; mask.cells.len()], ..mask };
    Some(Body { mask, pale, bench, second: 0.0 })
}

fn by_colour(cells: &Cells, cell: Length) -> Result<Body, Problem> {
    let paper = Material::of(&cells.colours(|_, known| known == Known::Paper), 2);
    let mut bench = cells.colours(|_, known| known == Known::Rim);
    let mut slab = seeds(cells, cell, &bench).ok_or_else(nothing)?;
    let mut found = None;
    for _ in 0..ROUNDS {
        let lit = Material::of(&bench, BENCH_CLOUDS).ok_or_else(nothing)?;
        let own = Material::of(&slab, SLAB_CLOUDS).ok_or_else(nothing)?;
        let shade = Material::of(&in_shade(&bench), SHADE_CLOUDS);
        let other = Bench { lit, shade, paper: paper.clone() };
        let rough = parted(cells, &own, &other).opened(OPENING);
        let mask = rough.largest().filled();
        if !is_whole(&mask) {
            return Err(nothing());
        }
        let (well_in, near) = (mask.shrunk(INSIDE), mask.grown((OUTSIDE / cell) as f32));
        slab = cells.colours(|at, known| well_in.cells[at] && !known.is_sheet());
        bench = cells.colours(|at, known| !near.cells[at] && known.is_open());
        found = Some((mask, rough, other));
    }
    let (mask, rough, bench_now) = found.ok_or_else(nothing)?;
    let second = second(&rough, &mask);
    let pale = shut_in(cells, cell, &mask, &bench_now, &bench);
    let mask = joined(&mask, &pale).filled();
    Ok(Body { mask, pale, bench: bench_now, second })
}

/// The colours in the picture's middle, and round sheets that lie on the wood,
/// that the bench does not have.
fn seeds(cells: &Cells, cell: Length, bench: &[Lab]) -> Option<Vec<Lab>> {
    let over = Mask {
        width: cells.width,
        height: cells.height,
        cells: cells.known.iter().map(|it| *it == Known::SheetOver).collect(),
    };
    let near = over.grown((ROUND_SHEET / cell) as f32);
    let likely = cells.colours(|at, known| {
        known == Known::Middle || near.cells[at] && matches!(known, Known::Open | Known::Middle)
    });
    let lit = Material::of(bench, BENCH_CLOUDS)?;
    let odd = lit.odd_below(bench, ODD_SHARE)?;
    let shade = Material::of(&in_shade(bench), SHADE_CLOUDS)?;
    let unlike: Vec<Lab> = likely.iter().copied().filter(|it| lit.likelihood(*it) < odd).collect();
    let unshaded: Vec<Lab> = unlike.iter().copied().filter(|it| shade.likelihood(*it) < odd).collect();
    let all = likely.len();
    let aside = || stands_out(cells, cell, &lit, odd);
    let middle = [unshaded, unlike].into_iter().find(|it| it.len() * 10 > all);
    middle.or_else(aside).or((all > 0).then_some(likely))
}

/// Where the picture's middle shows the bench: the largest thing beside it that is
/// unlike the bench, if it is wide and large enough for a slab.
fn stands_out(cells: &Cells, cell: Length, lit: &Material, odd: f32) -> Option<Vec<Lab>> {
    let unlike = |(known, lab): (&Known, &Lab)| known.is_open() && lit.likelihood(*lab) < odd;
    let unlike = cells.known.iter().zip(&cells.lab).map(unlike).collect();
    let unlike = Mask { width: cells.width, height: cells.height, cells: unlike };
    let largest = unlike.opened((NARROWEST / cell / 2.0) as f32).largest();
    let large = largest.count() as f64 > ASIDE_SHARE * largest.cells.len() as f64;
    large.then(|| cells.colours(|at, _| largest.cells[at]))
}

fn parted(cells: &Cells, slab: &Material, bench: &Bench) -> Mask {
    let said = cells.known.par_iter().zip(&cells.lab).map(|(known, lab)| match known {
        Known::Unseen | Known::Sheet | Known::Rim => f32::NEG_INFINITY,
        Known::SheetOver => f32::INFINITY,
        Known::Paper | Known::Middle | Known::Open => {
            (slab.likelihood(*lab).max(ANY_COLOUR) - bench.likelihood(*lab)).clamp(-MOST_SAID, MOST_SAID)
        }
    });
    let said: Vec<f32> = said.collect();
    let parting = Parting { width: cells.width, lab: &cells.lab, said: &said, strength: STRENGTH };
    Mask { width: cells.width, height: cells.height, cells: parting.parted() }
}

/// The size of the largest part that is not in the mask, as a share of the mask's.
fn second(rough: &Mask, mask: &Mask) -> f64 {
    let cells = rough.cells.iter().zip(&mask.cells).map(|(one, other)| *one && !*other).collect();
    let (_, sizes) = Mask { cells, ..*rough }.parts();
    sizes.into_iter().max().unwrap_or(0) as f64 / mask.count().max(1) as f64
}

/// Cells of the lit bench's colours that a disc cannot reach from the open bench
/// without touching the slab or what is dark round it.
fn shut_in(cells: &Cells, cell: Length, mask: &Mask, bench: &Bench, samples: &[Lab]) -> Mask {
    let mut pale = Mask { cells: vec![false; mask.cells.len()], ..*mask };
    let Some(odd) = bench.lit.odd_below(samples, ODD_SHARE) else { return pale };
    let sheets = Mask { cells: cells.known.iter().map(|it| it.is_sheet()).collect(), ..*mask };
    let near_sheet = sheets.grown((PAPER / cell) as f32);
    let is_paper = |at: usize| {
        let known = cells.known[at];
        let white = || bench.paper.as_ref().is_some_and(|it| it.likelihood(cells.lab[at]) > ANY_COLOUR);
        known.is_sheet() || known == Known::Paper || near_sheet.cells[at] && white()
    };
    let shows = |at: usize| is_paper(at) || bench.lit.likelihood(cells.lab[at]) >= odd;
    let lit: Vec<bool> = (0..mask.cells.len()).map(shows).collect();
    let reach = (SHUT_IN / cell) as f32;
    let near = mask.grown(reach * 2.0);
    for _ in 0..ROUNDS {
        let slab = joined(mask, &pale);
        let open = Mask { cells: (0..lit.len()).map(|at| lit[at] && !slab.cells[at]).collect(), ..*mask };
        let reached = open.shrunk(reach).largest().grown(reach);
        let more = (0..lit.len())
            .map(|at| open.cells[at] && !reached.cells[at] && near.cells[at] && cells.known[at].is_open());
        let more = Mask { cells: more.collect(), ..*mask };
        let wood = Mask {
            cells: (0..lit.len()).map(|at| slab.cells[at] && !cells.known[at].is_sheet()).collect(),
            ..*mask
        };
        pale = joined(&pale, &walled(&more, &wood, &open));
    }
    pale.opened(OPENING)
}

fn joined(one: &Mask, other: &Mask) -> Mask {
    Mask { cells: one.cells.iter().zip(&other.cells).map(|(one, other)| *one || *other).collect(), ..*one }
}

/// The parts that lie between the slab and a dark edge, open only at their ends.
fn walled(parts: &Mask, slab: &Mask, open: &Mask) -> Mask {
    let (part, sizes) = parts.parts();
    let mut beside = vec![[0; 3]; sizes.len() + 1];
    for at in (0..part.len()).filter(|&at| part[at] != 0) {
        for next in parts.beside(at).into_iter().flatten().filter(|&next| !parts.cells[next]) {
            let which = if slab.cells[next] { 0 } else { 1 + usize::from(open.cells[next]) };
            beside[part[at] as usize][which] += 1;
        }
    }
    let keeps = |number: u32| {
        let [slab, dark, open] = beside[number as usize];
        number != 0 && slab > open && dark > open && slab * LEAST_TOUCHING > sizes[number as usize - 1]
    };
    Mask { cells: part.iter().map(|it| keeps(*it)).collect(), ..*parts }
}

/// At least one in so many cells of a strip of sapwood lies at the slab.
const LEAST_TOUCHING: usize = 10;

#[cfg(test)]
mod tests {
    use super::*;

    const WIDE: usize = 120;
    const TALL: usize = 80;

    /// A bench of pale planks, with a dark thing from `low` to `high` in its upper left.
    fn bench(low: (usize, usize), high: (usize, usize)) -> Cells {
        let spots = || (0..WIDE * TALL).map(|at| (at % WIDE, at / WIDE));
        let on = |(x, y)| (low.0..high.0).contains(&x) && (low.1..high.1).contains(&y);
        let streaks = |(x, y): (usize, usize)| ((x * 7 + y * 13) % 11) as f32 * 0.4;
        let lab = spots().map(|it| {
            let light = streaks(it);
            if on(it) { [32.0 + light, 9.0, 14.0] } else { [78.0 + light, 5.0, 24.0] }
        });
        let known = spots().map(|(x, y)| match (x, y) {
            _ if x < 3 || y < 3 || x + 3 >= WIDE || y + 3 >= TALL => Known::Rim,
            _ if x.abs_diff(WIDE / 2) < 12 && y.abs_diff(TALL / 2) < 8 => Known::Middle,
            _ => Known::Open,
        });
        Cells { width: WIDE, height: TALL, known: known.collect(), lab: lab.collect() }
    }

    #[test]
    fn a_slab_aside_of_the_pictures_middle_is_found() {
        let (low, high) = ((8, 6), (46, 30));
        let found = body(&bench(low, high), Length::mm(5.0)).unwrap();
        let on =
            |at: &usize| (low.0..high.0).contains(&(at % WIDE)) && (low.1..high.1).contains(&(at / WIDE));
        let right = (0..WIDE * TALL).filter(|at| found.mask.cells[*at] == on(at)).count();
        assert!(WIDE * TALL - right < 100, "{} cells are wrong", WIDE * TALL - right);
    }

    #[test]
    fn a_pencil_aside_is_no_slab() {
        let cells = bench((8, 6), (60, 9));
        let lit = Material::of(&cells.colours(|_, known| known == Known::Rim), BENCH_CLOUDS).unwrap();
        assert!(stands_out(&cells, Length::mm(5.0), &lit, -20.0).is_none());
    }
}

//! Finds the closed line round a slab that is seen best as an edge, over places
//! where its wood looks like the bench and nothing shows.

use std::f64::consts::{FRAC_PI_2, PI};

use rayon::prelude::*;

use crate::clean::Mask;
use crate::colour::Material;
use crate::mask::{Cells, Known};

/// Colours so far apart over an edge, in L*a*b* units, are as good as any.
const PLAIN_EDGE: f32 = 8.0;

/// An edge is looked for over so many cells to either side.
const ACROSS: i64 = 2;

/// Where less than this of a plain edge is seen, the line rather runs elsewhere;
/// of what a sheet hides nothing is known, so it counts as just that.
const FAINT: f32 = 0.35;

/// What a cell's length of the line counts for, if it is wholly seen or not at all.
const EDGE_SAID: f32 = 6.0;

/// What a cell's colour says of slab or bench: at most this (a logarithm), and so
/// little of it that it decides only where no edge does.
const MOST_SAID: f32 = 2.0;
const COLOUR_SHARE: f32 = 0.15;

/// What the line costs for each cell that it steps outward or inward, and how
/// many it may from one ray to the next.
const STEP: f32 = 0.8;
const MOST_STEPS: usize = 3;

/// What no line runs over.
const NEVER: f32 = 1e6;

/// The line is drawn, and all learned anew from what it holds, so many times.
const ROUNDS: usize = 3;

/// The rays start from this share of the slab's length beyond its width.
const SPINE: f64 = 0.9;

const CLOUDS: usize = 4;

/// A slab within its line.
pub(crate) struct Girth {
    pub(crate) mask: Mask,
    /// How long the line is, in rays, and how much of it is seen.
    length: f32,
    seen: f32,
}

impl Girth {
    /// How much the line is worth: long ones that are seen more than half.
    pub(crate) fn worth(&self) -> f32 {
        self.seen - self.length / 2.0
    }
}

/// The line that a mask may have missed. The cells' colours are calm and lit evenly.
pub(crate) fn girth(cells: &Cells, first: &Mask) -> Option<Girth> {
    let edges = edges(cells);
    let mut found: Option<Girth> = None;
    for _ in 0..ROUNDS {
        let mask = found.as_ref().map_or(first, |it| &it.mask);
        let Some((rays, said)) = rays(mask).zip(said(cells, mask)) else { break };
        found = Some(drawn(cells, &rays, &edges, &said));
    }
    found
}

/// How plain an edge each cell lies on, from 0 to 1.
fn edges(cells: &Cells) -> Vec<f32> {
    let edge = |at: usize| {
        let mut square = 0.0;
        for (right, down) in [(ACROSS, 0), (0, ACROSS)] {
            let (one, other) = (cells.at(at, (-right, -down))?, cells.at(at, (right, down))?);
            if [at, one, other].iter().any(|it| cells.known[*it].is_sheet()) {
                return Some(FAINT);
            }
            let apart = cells.unlike(one, other).max(cells.unlike(one, at)).max(cells.unlike(other, at));
            square += apart * apart;
        }
        Some((square.sqrt() / PLAIN_EDGE).min(1.0))
    };
    (0..cells.lab.len()).into_par_iter().map(|at| edge(at).unwrap_or(0.0)).collect()
}

/// What the colours say for each cell's being slab.
fn said(cells: &Cells, mask: &Mask) -> Option<Vec<f32>> {
    let learned = |own: bool| {
        Material::of(&cells.colours(|at, known| mask.cells[at] == own && known.is_open()), CLOUDS)
    };
    let (slab, bench) = (learned(true)?, learned(false)?);
    let said = cells.known.par_iter().zip(&cells.lab).map(|(known, lab)| match known {
        Known::SheetOver => MOST_SAID / 2.0,
        Known::Sheet | Known::Unseen | Known::Rim => -NEVER,
        Known::Paper => -MOST_SAID,
        Known::Middle | Known::Open => {
            (slab.likelihood(*lab) - bench.likelihood(*lab)).clamp(-MOST_SAID, MOST_SAID)
        }
    });
    Some(said.collect())
}

/// A way from a slab's spine outward, in cells.
struct Ray {
    from: [f64; 2],
    way: [f64; 2],
    /// The angle to the next ray.
    fan: f64,
}

impl Ray {
    fn place(&self, out: usize) -> [f64; 2] {
        [0, 1].map(|axis| self.from[axis] + self.way[axis] * out as f64)
    }

    fn cell(&self, out: usize, cells: &Cells) -> Option<usize> {
        let [x, y] = self.place(out);
        let inside = x >= 0.0 && y >= 0.0 && x < cells.width as f64 && y < cells.height as f64;
        inside.then(|| y as usize * cells.width + x as usize)
    }

    /// How far apart it is from its neighbours.
    fn width(&self, out: usize) -> f32 {
        if self.fan > 0.0 { (self.fan * out as f64) as f32 } else { 1.0 }
    }
}

/// Rays square to a mask's spine and fanned out round its ends, one round.
fn rays(mask: &Mask) -> Option<Vec<Ray>> {
    let (middle, [along, across], [half_long, half_wide]) = box_round(mask)?;
    let half = (half_long - half_wide).max(1.0) * SPINE;
    let at = |far: f64| [middle[0] + along[0] * far, middle[1] + along[1] * far];
    let steps = (2.0 * half).ceil().max(1.0) as usize;
    let fans = (PI * half_wide).ceil().max(12.0) as usize;
    let fan = PI / fans as f64;
    let side = |sign: f64| {
        (0..steps).map(move |step| {
            let far = sign * (2.0 * half * (step as f64 + 0.5) / steps as f64 - half);
            Ray { from: at(far), way: across.map(|it| sign * it), fan: 0.0 }
        })
    };
    let end = |sign: f64| {
        (0..fans).map(move |step| {
            let (sin, cos) = (FRAC_PI_2 - (step as f64 + 0.5) * fan).sin_cos();
            let way = [0, 1].map(|axis| sign * (along[axis] * cos + across[axis] * sin));
            Ray { from: at(sign * half), way, fan }
        })
    };
    Some(side(1.0).chain(end(1.0)).chain(side(-1.0)).chain(end(-1.0)).collect())
}

/// The middle, axes and half sides of the rectangle with a mask's moments.
type Rectangle = ([f64; 2], [[f64; 2]; 2], [f64; 2]);

fn box_round(mask: &Mask) -> Option<Rectangle> {
    let spots = || {
        let own = mask.cells.iter().enumerate().filter(|(_, own)| **own);
        own.map(|(at, _)| [(at % mask.width) as f64 + 0.5, (at / mask.width) as f64 + 0.5])
    };
    let count = mask.count() as f64;
    let mean = |of: &dyn Fn([f64; 2]) -> f64| spots().map(of).sum::<f64>() / count;
    let middle = [mean(&|it| it[0]), mean(&|it| it[1])];
    let moment = |one: usize, other: usize| mean(&|it| (it[one] - middle[one]) * (it[other] - middle[other]));
    let (xx, xy, yy) = (moment(0, 0), moment(0, 1), moment(1, 1));
    let (sin, cos) = (0.5 * (2.0 * xy).atan2(xx - yy)).sin_cos();
    let long = xx * cos * cos + 2.0 * xy * cos * sin + yy * sin * sin;
    // A rectangle's half side is the root of three times its second moment.
    let halves = [long, xx + yy - long].map(|it| (3.0 * it).sqrt());
    (count > 0.0).then_some((middle, [[cos, sin], [-sin, cos]], halves))
}

/// The line of least cost round all rays, by dynamic programming (Amini, Weymouth,
/// Jain, "Using dynamic programming for solving variational problems in vision",
/// 1990). It is drawn twice round, and the middle round kept, so that it closes.
fn drawn(cells: &Cells, rays: &[Ray], edges: &[f32], said: &[f32]) -> Girth {
    let costs: Vec<Vec<f32>> = rays.par_iter().map(|it| costs(cells, it, edges, said)).collect();
    let reach = costs[0].len();
    let turns = rays.len() * 2;
    let (mut best, mut from) = (costs[0].clone(), vec![Vec::new()]);
    for turn in 1..turns {
        let step = |out: usize| {
            let near = out.saturating_sub(MOST_STEPS)..=(out + MOST_STEPS).min(reach - 1);
            let cost = |last: usize| best[last] + STEP * last.abs_diff(out) as f32;
            near.map(|last| (last, cost(last))).min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((out, NEVER))
        };
        let steps: Vec<(usize, f32)> = (0..reach).map(step).collect();
        best = steps.iter().zip(&costs[turn % rays.len()]).map(|((_, cost), own)| cost + own).collect();
        from.push(steps.into_iter().map(|(last, _)| last as u16).collect());
    }
    let mut out = (0..reach).min_by(|a, b| best[*a].total_cmp(&best[*b])).unwrap_or(0);
    let mut line = vec![0; rays.len()];
    for turn in (1..turns).rev() {
        if (rays.len() / 2..rays.len() * 3 / 2).contains(&turn) {
            line[turn % rays.len()] = out;
        }
        out = usize::from(from[turn][out]);
    }
    within_line(cells, rays, edges, &line)
}

/// What the line costs on each place of a ray.
fn costs(cells: &Cells, ray: &Ray, edges: &[f32], said: &[f32]) -> Vec<f32> {
    let mut inside = 0.0;
    let cost = |out: usize| {
        let Some(at) = ray.cell(out, cells) else { return NEVER };
        inside -= ray.width(out).max(0.1) * said[at] * COLOUR_SHARE;
        ray.width(out) * EDGE_SAID * (FAINT - edges[at]) + inside
    };
    (0..cells.width.max(cells.height).min(usize::from(u16::MAX))).map(cost).collect()
}

fn within_line(cells: &Cells, rays: &[Ray], edges: &[f32], line: &[usize]) -> Girth {
    let (mut length, mut seen) = (0.0, 0.0);
    for (ray, out) in rays.iter().zip(line) {
        let open = ray.cell(*out, cells).filter(|at| !cells.known[*at].is_sheet());
        length += open.map_or(0.0, |_| ray.width(*out));
        seen += open.map_or(0.0, |at| ray.width(*out) * edges[at]);
    }
    let corners: Vec<[f64; 2]> = rays.iter().zip(line).map(|(ray, out)| ray.place(*out)).collect();
    Girth { mask: filled(cells, &corners), length, seen }
}

/// The cells whose middles lie within a closed line.
fn filled(cells: &Cells, corners: &[[f64; 2]]) -> Mask {
    let mut own = vec![false; cells.lab.len()];
    for row in 0..cells.height {
        let y = row as f64 + 0.5;
        let sides = corners.iter().zip(corners.iter().cycle().skip(1));
        let cuts = sides.filter(|(a, b)| (a[1] <= y) != (b[1] <= y));
        let mut cuts: Vec<f64> =
            cuts.map(|(a, b)| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])).collect();
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.chunks_exact(2) {
            let column = |x: f64| ((x + 0.5).floor().max(0.0) as usize).min(cells.width);
            own[row * cells.width + column(pair[0])..row * cells.width + column(pair[1])].fill(true);
        }
    }
    Mask { width: cells.width, height: cells.height, cells: own }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDE: usize = 120;
    const TALL: usize = 70;

    /// A bench with a slab of its own colour on it, a dark line round that but for a gap.
    fn bench(gap: impl Fn(usize, usize) -> bool) -> (Cells, Mask) {
        let inside = |x: usize, y: usize, by: usize| {
            (20 - by..100 + by).contains(&x) && (25 - by..45 + by).contains(&y)
        };
        let spots = || (0..WIDE * TALL).map(|at| (at % WIDE, at / WIDE));
        let dark = |(x, y)| inside(x, y, 2) && !inside(x, y, 0) && !gap(x, y);
        let lab = spots().map(|it| if dark(it) { [40.0, 5.0, 15.0] } else { [70.0, 5.0, 20.0] });
        let rim = |(x, y)| x < 3 || y < 3 || x + 3 >= WIDE || y + 3 >= TALL;
        let known = spots().map(|it| if rim(it) { Known::Rim } else { Known::Open });
        let cells = Cells { width: WIDE, height: TALL, known: known.collect(), lab: lab.collect() };
        let part = spots().map(|(x, y)| (35..70).contains(&x) && (30..42).contains(&y)).collect();
        (cells, Mask { width: WIDE, height: TALL, cells: part })
    }

    fn columns(found: &Mask, row: usize) -> (usize, usize) {
        let on = |x: &usize| found.cells[row * WIDE + x];
        ((0..WIDE).find(on).unwrap(), (0..WIDE).rfind(on).unwrap())
    }

    #[test]
    fn a_part_of_a_slab_grows_to_the_line_round_it() {
        let (cells, part) = bench(|_, _| false);
        let found = girth(&cells, &part).unwrap();
        let (left, right) = columns(&found.mask, 35);
        assert!(left.abs_diff(19) <= 3 && right.abs_diff(100) <= 3, "{left} to {right}");
        assert!(found.worth() > 0.3 * found.length, "{} of {}", found.seen, found.length);
    }

    #[test]
    fn the_line_goes_on_over_a_gap() {
        let (cells, part) = bench(|x, _| (50..62).contains(&x));
        let found = girth(&cells, &part).unwrap();
        let middle = (0..TALL).filter(|y| found.mask.cells[y * WIDE + 56]).count();
        assert!(middle.abs_diff(22) <= 5, "{middle}");
    }

    #[test]
    fn bare_bench_is_worth_nothing_and_an_empty_mask_has_no_line() {
        let (cells, part) = bench(|_, _| true);
        assert!(girth(&cells, &part).is_none_or(|it| it.worth() < 0.0));
        let empty = Mask { cells: vec![false; part.cells.len()], ..part };
        assert!(girth(&cells, &empty).is_none());
    }
}

//! Checks: dark lines along the fibres.

use stock::ZoneKind;

use super::Suspect;
use super::model;
use super::view::View;
use crate::clean::Mask;
use crate::field::Field;

/// A line's tone is taken over about this much of its length, in millimetres.
const ALONG: f64 = 2.2;
/// The wood on either side is looked at this far off, in millimetres.
const ASIDE: [f64; 2] = [1.3, 2.6];
/// A line begins where it is darker than both sides by this many times what is
/// usual on the face, and goes on while it is by half of it.
const BEGINS: f32 = 2.5;
/// But never on less than this, as a logarithm of the light.
const LEAST: f32 = 0.12;
/// Gaps shorter than this are bridged, in millimetres.
const BRIDGED: f64 = 5.0;
/// Shorter lines are pores.
const SHORTEST: f64 = 11.0;
/// How many lines are looked at, the longest first.
const MOST: usize = 60;
/// A check's ring has about this many places on each side.
const PLACES: usize = 16;

/// All lines that may be checks, and the wood without those that most likely are:
/// a check is no part of a knot.
pub(super) fn checks(view: &View) -> (Vec<Suspect>, Field) {
    let smooth = view.mean(&view.tone, ALONG, 0.0);
    let valley = valley(view, &smooth);
    let usual = usual(&valley, &view.wood);
    let begins = (BEGINS * usual).max(LEAST);
    let lines = lines(view, &valley, begins);
    let broad = view.mean(&view.tone, 30.0, 12.0);
    let mut clear = view.wood.clone();
    let mut suspects = Vec::new();
    for line in lines.iter().take(MOST) {
        let Some(suspect) = line.suspect(view, &valley, &broad, usual) else { continue };
        if suspect.sure > LIKELY {
            line.take_out(&mut clear);
        }
        suspects.push(suspect);
    }
    (suspects, clear)
}

/// A line that is surer than this is taken out of the wood, with this many cells round it.
const LIKELY: f64 = 0.5;
const ROUND: usize = 2;

/// By how much each place is darker than both of its sides across the grain.
fn valley(view: &View, smooth: &Field) -> Field {
    let (width, height) = (smooth.width, smooth.height);
    let reaches = ASIDE.map(|it| (view.cells(it).round() as usize).max(1));
    let values = (0..width * height).map(|at| {
        let (x, y) = (at % width, at / width);
        if view.wood.values[at] < 0.5 {
            return 0.0;
        }
        let side = |row: usize| smooth.values[row * width + x];
        let depth = reaches.map(|reach| {
            let (lower, upper) = (y.saturating_sub(reach), (y + reach).min(height - 1));
            side(lower).min(side(upper)) - smooth.values[at]
        });
        depth[0].max(depth[1]).max(0.0)
    });
    Field::new(width, height, values.collect())
}

/// The depth that nine in ten places stay below.
fn usual(valley: &Field, wood: &Field) -> f32 {
    let mut seen: Vec<f32> =
        valley.values.iter().zip(&wood.values).step_by(17).filter(|it| *it.1 > 0.5).map(|it| *it.0).collect();
    seen.sort_by(f32::total_cmp);
    seen.get(seen.len() * 9 / 10).copied().unwrap_or(0.0).max(0.01)
}

/// A line of cells.
struct Line {
    cells: Vec<(usize, usize)>,
}

/// Lines that somewhere are deep, the longest first.
fn lines(view: &View, valley: &Field, begins: f32) -> Vec<Line> {
    let (width, height) = (valley.width, valley.height);
    let mut cells: Vec<bool> = valley.values.iter().map(|it| *it > begins / 2.0).collect();
    bridge(&mut cells, width, view.cells(BRIDGED) as usize);
    let mask = Mask { width, height, cells };
    let (part, sizes) = mask.parts();
    let mut lines: Vec<Line> = sizes.iter().map(|&size| Line { cells: Vec::with_capacity(size) }).collect();
    let mut deep = vec![0_u32; sizes.len()];
    for (at, &number) in part.iter().enumerate().filter(|it| *it.1 != 0) {
        lines[number as usize - 1].cells.push((at % width, at / width));
        deep[number as usize - 1] += u32::from(valley.values[at] > begins);
    }
    let shortest = view.cells(SHORTEST);
    let mut lines: Vec<Line> = lines
        .into_iter()
        .zip(deep)
        .filter(|(line, deep)| f64::from(*deep) > 0.25 * shortest && line.long() as f64 > shortest)
        .map(|it| it.0)
        .collect();
    lines.sort_by_key(|it| std::cmp::Reverse(it.long()));
    lines
}

/// Fills short gaps along the rows, also where the line climbs by one cell.
fn bridge(cells: &mut [bool], width: usize, reach: usize) {
    let rows = cells.len() / width.max(1);
    let before = cells.to_vec();
    for row in 0..rows {
        let near = |column: usize| {
            (row.saturating_sub(1)..=(row + 1).min(rows - 1)).any(|it| before[it * width + column])
        };
        let mut last: Option<usize> = None;
        for column in 0..width {
            if !near(column) {
                continue;
            }
            if let Some(last) = last
                && column - last > 1
                && column - last <= reach
                && before[row * width + last]
            {
                cells[row * width + last..row * width + column].fill(true);
            }
            last = Some(column);
        }
    }
}

impl Line {
    /// Cells from its left end to its right.
    fn long(&self) -> usize {
        let columns = self.cells.iter().map(|it| it.0);
        columns.clone().max().unwrap_or(0) - columns.min().unwrap_or(0) + 1
    }

    fn take_out(&self, wood: &mut Field) {
        for &(x, y) in &self.cells {
            for row in y.saturating_sub(ROUND)..=(y + ROUND).min(wood.height - 1) {
                let columns = x.saturating_sub(ROUND)..=(x + ROUND).min(wood.width - 1);
                wood.values[row * wood.width..][columns].fill(0.0);
            }
        }
    }

    /// The lowest and the highest cell of every column, from left to right.
    fn columns(&self) -> Vec<(usize, usize, usize)> {
        let mut spans = std::collections::BTreeMap::<usize, (usize, usize)>::new();
        for &(x, y) in &self.cells {
            let span = spans.entry(x).or_insert((y, y));
            *span = (span.0.min(y), span.1.max(y));
        }
        spans.into_iter().map(|(x, (low, high))| (x, low, high)).collect()
    }

    fn suspect(&self, view: &View, valley: &Field, broad: &Field, usual: f32) -> Option<Suspect> {
        let columns = self.columns();
        let traits = self.traits(view, valley, broad, f64::from(usual), &columns);
        let step = columns.len().div_ceil(PLACES).max(1);
        let some: Vec<_> = columns.iter().step_by(step).chain(columns.last()).collect();
        let lower = some.iter().map(|it| (it.0 as f64 + 0.5, it.1 as f64));
        let upper = some.iter().rev().map(|it| (it.0 as f64 + 0.5, it.2 as f64 + 1.0));
        let area = view.ring(lower.chain(upper))?;
        let sure = model::sure(ZoneKind::Check, &traits);
        Some(Suspect { kind: ZoneKind::Check, area, traits, sure })
    }

    fn traits(
        &self,
        view: &View,
        valley: &Field,
        broad: &Field,
        usual: f64,
        columns: &[(usize, usize, usize)],
    ) -> Vec<f64> {
        let at = |field: &Field, (x, y): (usize, usize)| f64::from(field.values[y * field.width + x]);
        let count = self.cells.len() as f64;
        let mean = |field: &Field| self.cells.iter().map(|&it| at(field, it)).sum::<f64>() / count;
        // The darkest cell of each column: what a check is at its bottom.
        let darkest: Vec<(f64, f64)> = columns
            .iter()
            .map(|&(x, low, high)| {
                let cells =
                    (low..=high).map(|y| (at(valley, (x, y)), at(&view.tone, (x, y)) - at(broad, (x, y))));
                cells.fold((0.0_f64, 0.0_f64), |best, it| (best.0.max(it.0), best.1.min(it.1)))
            })
            .collect();
        let middle = |mut values: Vec<f64>, share: f64| {
            values.sort_by(f64::total_cmp);
            values[((values.len() - 1) as f64 * share) as usize]
        };
        let long = self.long() as f64 * view.cell;
        let wide = middle(columns.iter().map(|it| (it.2 - it.1 + 1) as f64 * view.cell).collect(), 0.7);
        let depth = |share| middle(darkest.iter().map(|it| it.0).collect(), share);
        let ends = [columns.first(), columns.last()].into_iter().flatten();
        let end =
            ends.map(|it| f64::from(view.depth.near(it.0 as f64, it.1 as f64))).fold(f64::MAX, f64::min);
        vec![
            long.ln(),
            depth(0.5),
            depth(0.9),
            (depth(0.5) / usual).ln(),
            middle(darkest.iter().map(|it| -it.1).collect(), 0.5),
            wide,
            (long / wide).ln(),
            columns.len() as f64 * view.cell / long,
            (end + 1.0).ln(),
            mean(valley) / depth(0.5).max(1e-6),
            usual * 10.0,
        ]
    }
}

//! Finds a slab by the dark line round it, where its wood looks like its bench:
//! bark, sides and the foot of its shadow.

use measure::Length;

use crate::clean::Mask;
use crate::colour::Material;
use crate::cut::Parting;
use crate::field::Field;
use crate::mask::{Cells, Known, Spot, hull, within};

/// A dark strip is narrower than twice this; a wider one is shade.
const STRIP: Length = Length::mm(22.0);

/// It is darker than what lies on both sides of it, by this much of L*.
const DARKER: f32 = 4.5;

/// A strip is at least so many cells wide all along; a narrower one is a seam of the bench.
const WIDE: f64 = 1.2;

/// Pieces of a line that are no farther apart than twice this belong together.
const TOGETHER: Length = Length::mm(12.0);

/// Of the longest piece, the share that another one has at least: knots and
/// pencils are shorter.
const LEAST_PIECE: f64 = 0.4;

/// Deeper within the pieces' hull than this share of its depth, all is slab.
const SURELY: f32 = 0.35;

/// Farther outside the hull than this, all is bench.
const OUTSIDE: Length = Length::mm(20.0);

/// What lying within the pieces' hull, or outside it, says (a logarithm): where
/// no line is seen, as at a sawn end, the slab ends where its long sides do.
const HULL_SAID: f32 = 0.8;

/// Rounds of learning colours and parting.
const ROUNDS: usize = 3;

/// Colour clouds of the slab and of its bench.
const CLOUDS: usize = 4;

/// What colours say counts for this much at most: they are alike.
const MOST_SAID: f32 = 1.5;

/// How much alike neighbours stand together, in the same unit.
const STRENGTH: f32 = 4.0;

/// The slab within the dark line, if there is one. The cells' colours are calm
/// and lit evenly.
pub(crate) fn ringed(cells: &Cells, cell: Length) -> Option<Mask> {
    let strips = strips(cells, cell);
    let marks = |at: &usize| strips.cells[*at] || cells.known[*at] == Known::SheetOver;
    let hull = hull((0..strips.cells.len()).filter(marks).map(|at| spot(cells, at)).collect());
    let inside = (0..strips.cells.len()).map(|at| within(&hull, spot(cells, at))).collect();
    settled(cells, cell, Mask { cells: inside, ..strips })
}

/// The slab whose line runs near a mask's, where colours and edges put it.
pub(crate) fn settled(cells: &Cells, cell: Length, inside: Mask) -> Option<Mask> {
    let surely = surely(cells, cell, &inside);
    let mut mask = inside.clone();
    for _ in 0..ROUNDS {
        let learned = |own: bool| {
            Material::of(&cells.colours(|at, known| mask.cells[at] == own && known.is_open()), CLOUDS)
        };
        let (slab, bench) = (learned(true)?, learned(false)?);
        let said = surely.iter().enumerate().map(|(at, surely)| match surely {
            Some(true) => f32::INFINITY,
            Some(false) => f32::NEG_INFINITY,
            None => {
                let seen = slab.likelihood(cells.lab[at]) - bench.likelihood(cells.lab[at]);
                seen.clamp(-MOST_SAID, MOST_SAID) + if inside.cells[at] { HULL_SAID } else { -HULL_SAID }
            }
        });
        let said: Vec<f32> = said.collect();
        let parting = Parting { width: cells.width, lab: &cells.lab, said: &said, strength: STRENGTH };
        mask = Mask { cells: parting.parted(), ..mask }.largest().filled();
    }
    Some(mask)
}

/// What is surely slab and surely not, by the hull of the line's pieces.
fn surely(cells: &Cells, cell: Length, hull: &Mask) -> Vec<Option<bool>> {
    let (deep, far) = (hull.depth(), hull.inverted().depth());
    let most = deep.values.iter().copied().fold(0.0, f32::max);
    let out = (OUTSIDE / cell) as f32;
    let each = cells.known.iter().zip(deep.values.iter().zip(&far.values));
    each.map(|(known, (deep, far))| match known {
        Known::SheetOver => Some(true),
        Known::Sheet | Known::Unseen | Known::Rim => Some(false),
        _ if *deep > most * SURELY => Some(true),
        _ => (*far > out).then_some(false),
    })
    .collect()
}

/// Dark strips, the long pieces of them.
fn strips(cells: &Cells, cell: Length) -> Mask {
    let light = |at: usize| if cells.known[at].is_sheet() { f32::NEG_INFINITY } else { cells.lab[at][0] };
    let light = Field::new(cells.width, cells.height, (0..cells.lab.len()).map(light).collect());
    // The black top-hat of grey morphology (Serra, "Image analysis and
    // mathematical morphology", 1982): what a closing fills was a narrow dark thing.
    let reach = (STRIP / cell).round() as usize;
    let closed = light.extreme(reach, f32::max).extreme(reach, f32::min);
    let dark = light.values.iter().zip(&closed.values).map(|(own, round)| round - own > DARKER);
    let dark: Vec<bool> = dark.zip(&cells.known).map(|(dark, known)| dark && !known.is_sheet()).collect();
    let dark = Mask { width: cells.width, height: cells.height, cells: dark };
    let (part, sizes) = dark.grown((TOGETHER / cell) as f32).parts();
    let mut pieces = vec![Piece::default(); sizes.len() + 1];
    for at in (0..part.len()).filter(|&at| dark.cells[at]) {
        pieces[part[at] as usize].take(spot(cells, at));
    }
    let least = pieces.iter().map(Piece::length).fold(0.0, f64::max) * LEAST_PIECE;
    let stays = |at: usize| dark.cells[at] && pieces[part[at] as usize].length() >= least;
    Mask { cells: (0..dark.cells.len()).map(stays).collect(), ..dark }
}

/// A piece of a dark line: its cells and the box round them.
#[derive(Clone, Default)]
struct Piece {
    cells: usize,
    bounds: Option<[i64; 4]>,
}

impl Piece {
    fn take(&mut self, (x, y): Spot) {
        self.cells += 1;
        let [left, top, right, bottom] = self.bounds.unwrap_or([x, y, x, y]);
        self.bounds = Some([left.min(x), top.min(y), right.max(x), bottom.max(y)]);
    }

    /// How long it is in cells; nothing if it is a seam.
    fn length(&self) -> f64 {
        let Some([left, top, right, bottom]) = self.bounds else { return 0.0 };
        let long = ((right - left) as f64).hypot((bottom - top) as f64);
        if self.cells as f64 > WIDE * long { long } else { 0.0 }
    }
}

/// Colours farther apart than this, in L*a*b* units, make an edge that is seen...
const SEEN: f32 = 6.0;

/// ... over so many cells to either side.
const ACROSS: i64 = 2;

/// The share of a slab's line that is an edge that is seen. The cells' colours are calm.
pub(crate) fn seen(cells: &Cells, mask: &Mask) -> f64 {
    let on_line = |&at: &usize| {
        let mut out = mask.beside(at).into_iter().flatten();
        mask.cells[at] && out.any(|next| !mask.cells[next] && cells.known[next].is_open())
    };
    let line: Vec<usize> = (0..mask.cells.len()).filter(on_line).collect();
    line.iter().filter(|&&at| is_edge(cells, at)).count() as f64 / line.len().max(1) as f64
}

fn is_edge(cells: &Cells, at: usize) -> bool {
    [(ACROSS, 0), (0, ACROSS)].into_iter().any(|(right, down)| {
        let (one, other) = (cells.at(at, (-right, -down)), cells.at(at, (right, down)));
        let pairs = [one.map(|it| (it, at)), other.map(|it| (it, at)), one.zip(other)];
        pairs.into_iter().flatten().any(|(one, other)| cells.unlike(one, other) > SEEN)
    })
}

fn spot(cells: &Cells, at: usize) -> Spot {
    ((at % cells.width) as i64, (at / cells.width) as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDTH: usize = 200;
    const HEIGHT: usize = 120;

    /// A slab between a dark line above and one below, of its bench's colour.
    fn same_wood() -> Cells {
        let cell = |at: usize| {
            let (x, y) = (at % WIDTH, at / WIDTH);
            let line = (30..170).contains(&x) && (40..43).contains(&y)
                || (28..172).contains(&x) && (78..80).contains(&y);
            let seam = y == 100;
            let knot = (100..106).contains(&x) && (55..60).contains(&y);
            let dark = if line || seam || knot { 30.0 } else { 0.0 };
            let grain = ((at * 7919) % 5) as f32 / 4.0;
            let rim = x < 5 || y < 5 || x + 5 > WIDTH || y + 5 > HEIGHT;
            (if rim { Known::Rim } else { Known::Open }, [70.0 + grain - dark, 8.0, 22.0])
        };
        let (known, lab) = (0..WIDTH * HEIGHT).map(cell).unzip();
        Cells { width: WIDTH, height: HEIGHT, known, lab }
    }

    #[test]
    fn a_slab_of_its_benchs_wood_ends_where_its_dark_lines_do() {
        let found = ringed(&same_wood(), Length::mm(4.0)).unwrap();
        let truth = |at: usize| (29..171).contains(&(at % WIDTH)) && (41..79).contains(&(at / WIDTH));
        let wrong = (0..found.cells.len()).filter(|&at| found.cells[at] != truth(at)).count();
        assert!(wrong < 600, "{wrong} cells of {}", 142 * 38);
    }

    #[test]
    fn knots_and_seams_are_no_line() {
        let kept = strips(&same_wood(), Length::mm(4.0));
        assert!(kept.cells[41 * WIDTH + 100] && kept.cells[78 * WIDTH + 100]);
        assert!(!kept.cells[57 * WIDTH + 103] && !kept.cells[100 * WIDTH + 100]);
    }

    #[test]
    fn a_line_through_plain_wood_is_not_seen() {
        let cells = same_wood();
        let slab = |from: usize| {
            let own = (0..WIDTH * HEIGHT)
                .map(|at| (30..170).contains(&(at % WIDTH)) && (from..from + 20).contains(&(at / WIDTH)));
            Mask { width: WIDTH, height: HEIGHT, cells: own.collect() }
        };
        assert!(seen(&cells, &slab(10)) < 0.02);
        assert!(seen(&cells, &slab(42)) > 0.35);
    }
}

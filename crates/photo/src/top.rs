//! Takes bark and sides off a slab: what is left is the wood of its top face.

use measure::Length;
use rayon::prelude::*;

use crate::body::Bench;
use crate::clean::Mask;
use crate::colour::{Lab, Material};
use crate::cut::Parting;
use crate::mask::{Cells, Known};

/// A slab as it was found so far, on the cells at hand.
pub(crate) struct Found<'a> {
    pub(crate) cells: &'a Cells,
    pub(crate) cell: Length,
    /// The slab with bark and sides.
    pub(crate) body: Mask,
    /// Pale strips within it that look like the bench.
    pub(crate) pale: Mask,
    /// Cells that show the side of a sawn edge.
    pub(crate) side: Mask,
    /// The farthest that a side may show, in cells.
    pub(crate) most_side: f32,
    pub(crate) bench: &'a Bench,
}

/// What can be seen in a slab's neighbourhood.
pub(crate) struct Materials {
    wood: Vec<Material>,
    other: Vec<Material>,
}

/// Deeper in than this, and than a side may show, all is wood.
const SURELY_WOOD: Length = Length::mm(14.0);

/// Bark is looked for no deeper in than this, and than a side may show.
const BARK_REACH: Length = Length::mm(32.0);

/// A sheet's rim and its shadow show this far beside it; the line is drawn on under them.
pub(crate) const BESIDE_SHEET: Length = Length::mm(8.0);

/// Wood may reach this far beyond the body that was found in coarse cells.
const OUT: Length = Length::mm(9.0);

/// This share of the wood's own colours may be unlikely for it.
const ODD_SHARE: f64 = 0.02;

/// Bark, sapwood or a side covers at least this share of the strip in which it is
/// looked for, or what is odd there is a shadow's rim.
const LEAST_SHARE: f64 = 0.02;

/// Colour clouds of the heartwood, of sapwood, bark and sides.
const WOOD_CLOUDS: usize = 6;
const FEW_CLOUDS: usize = 3;

/// How likely any colour at all is on either side of the line: a logarithm.
const ANY_COLOUR: f32 = -14.0;

/// One cell's colour counts for this much at most (a logarithm).
const MOST_SAID: f32 = 5.0;

/// What the sight along the side says of a cell that shows it, in the same unit.
const SIDE_SAID: f32 = 4.0;

/// What it says for a cell that the slab was found on it in coarse cells.
const BODY_SAID: f32 = 2.0;

/// What a pale strip between wood and bark says for itself.
const PALE_SAID: f32 = 4.0;

/// How much alike neighbours stand together, in the same unit.
const STRENGTH: f32 = 6.0;

impl Found<'_> {
    /// Learns wood, sapwood, bark and sides from where they lie.
    pub(crate) fn materials(&self) -> Option<Materials> {
        let depth = self.body.depth();
        let deep = (SURELY_WOOD / self.cell) as f32;
        let top = |at: usize| !self.side.cells[at];
        let wood = self.cells.colours(|at, known| {
            depth.values[at] > deep && top(at) && !self.pale.cells[at] && !known.is_sheet()
        });
        let heart = Material::of(&wood, WOOD_CLOUDS)?;
        let strip = |wanted: &dyn Fn(usize) -> bool| {
            self.cells.colours(|at, known| {
                self.body.cells[at]
                    && depth.values[at] <= deep + self.most_side
                    && !known.is_sheet()
                    && wanted(at)
            })
        };
        let edge = strip(&|_| true);
        let odd = heart.odd_below(&wood, ODD_SHARE)?;
        let middle = middle_light(&wood)?;
        let odd_and = |wanted: &dyn Fn(&Lab) -> bool, of: &[Lab]| -> Vec<Lab> {
            of.iter().filter(|it| heart.likelihood(**it) < odd && wanted(it)).copied().collect()
        };
        let learned = |colours: Vec<Lab>| {
            let enough = colours.len() as f64 > LEAST_SHARE * edge.len() as f64;
            Material::of(&colours, FEW_CLOUDS).filter(|_| enough)
        };
        let bark = learned(odd_and(&|it| it[0] < middle, &edge));
        let sapwood = learned(odd_and(&|it| it[0] >= middle, &strip(&top)));
        let pale = learned(self.cells.colours(|at, known| self.pale.cells[at] && !known.is_sheet()));
        let side = learned(strip(&|at| self.side.cells[at]));
        Some(Materials {
            wood: [Some(heart), sapwood, pale].into_iter().flatten().collect(),
            other: [bark, side].into_iter().flatten().collect(),
        })
    }

    /// The wood of the top face. Where `near` is given, only cells this near to
    /// its line are asked again.
    pub(crate) fn wood(&self, materials: &Materials, near: Option<(&Mask, f32)>) -> Mask {
        let (within, without) = (self.body.depth(), self.body.inverted().depth());
        let reach = (BARK_REACH / self.cell) as f32 + self.most_side;
        let out = (OUT / self.cell) as f32;
        let settled = near.map(|(mask, by)| (mask.depth(), mask.inverted().depth(), by));
        let known = |at: usize| {
            if let Some((inside, outside, by)) = &settled {
                let (inside, outside) = (inside.values[at], outside.values[at]);
                return (inside.max(outside) > *by).then_some(inside > 0.0);
            }
            let sure = within.values[at] > reach || without.values[at] > out;
            sure.then_some(self.body.cells[at])
        };
        let over = self.sheets_on_it().grown((BESIDE_SHEET / self.cell) as f32);
        let said = (0..self.body.cells.len()).into_par_iter().map(|at| match known(at) {
            _ if over.cells[at] => f32::INFINITY,
            Some(true) => f32::INFINITY,
            Some(false) => f32::NEG_INFINITY,
            None if self.cells.known[at].is_sheet() => {
                if self.body.cells[at] {
                    f32::INFINITY
                } else {
                    f32::NEG_INFINITY
                }
            }
            None => self.said(at, materials),
        });
        let said: Vec<f32> = said.collect();
        let parting =
            Parting { width: self.body.width, lab: &self.cells.lab, said: &said, strength: STRENGTH };
        Mask { cells: parting.parted(), ..self.body }
    }

    fn sheets_on_it(&self) -> Mask {
        let cells = self.cells.known.iter().map(|it| *it == Known::SheetOver).collect();
        Mask { cells, ..self.body }
    }

    fn said(&self, at: usize, materials: &Materials) -> f32 {
        let likely = |of: &[Material]| {
            of.iter().map(|it| it.likelihood(self.cells.lab[at])).fold(ANY_COLOUR, f32::max)
        };
        let seen = (likely(&materials.wood)
            - likely(&materials.other).max(self.bench.likelihood(self.cells.lab[at])))
        .clamp(-MOST_SAID, MOST_SAID);
        match (self.side.cells[at], self.pale.cells[at]) {
            (true, _) => seen - SIDE_SAID,
            (false, true) => seen + PALE_SAID,
            (false, false) if self.body.cells[at] => seen + BODY_SAID,
            (false, false) => seen,
        }
    }
}

fn middle_light(colours: &[Lab]) -> Option<f32> {
    let mut light: Vec<f32> = colours.iter().step_by(5).map(|it| it[0]).collect();
    light.sort_by(f32::total_cmp);
    light.get(light.len() / 2).copied()
}

//! Cells that hang together, as an area of the face.

use measure::Length;
use outline::Ring;

use super::view::View;
use crate::clean::Mask;
use crate::contours;
use crate::field::Field;

/// Its line is smoothed over this many cells, and simplified to this.
const SMOOTHING: f64 = 1.5;
const TOLERANCE: Length = Length::mm(0.8);

/// One patch.
pub(super) struct Patch {
    /// Indices into the view's fields.
    cells: Vec<usize>,
    width: usize,
}

/// The largest patches of a mask, of at least this many square millimetres.
pub(super) fn patches(view: &View, mask: &Mask, least_mm2: f64, most: usize) -> Vec<Patch> {
    let (part, sizes) = mask.parts();
    let least = least_mm2 / (view.cell * view.cell);
    let width = mask.width;
    let mut all: Vec<Patch> =
        sizes.iter().map(|&size| Patch { cells: Vec::with_capacity(size), width }).collect();
    for (at, &number) in part.iter().enumerate().filter(|it| *it.1 != 0) {
        all[number as usize - 1].cells.push(at);
    }
    all.retain(|it| it.cells.len() as f64 > least);
    all.sort_by_key(|it| std::cmp::Reverse(it.cells.len()));
    all.truncate(most);
    all
}

impl Patch {
    /// The mean of a field over it.
    pub(super) fn mean(&self, field: &Field) -> f64 {
        self.values(field).sum::<f64>() / self.cells.len() as f64
    }

    /// A field's values in it.
    pub(super) fn values<'a>(&'a self, field: &'a Field) -> impl Iterator<Item = f64> + 'a {
        self.cells.iter().map(|&at| f64::from(field.values[at]))
    }

    /// Its line on the face.
    pub(super) fn ring(&self, view: &View) -> Option<Ring> {
        const EDGE: usize = 4;
        let columns = self.cells.iter().map(|at| at % self.width);
        let rows = self.cells.iter().map(|at| at / self.width);
        let (left, right) = (columns.clone().min()?, columns.max()?);
        let (low, high) = (rows.clone().min()?, rows.max()?);
        let (width, height) = (right - left + 1 + 2 * EDGE, high - low + 1 + 2 * EDGE);
        let mut values = vec![0.0; width * height];
        for at in &self.cells {
            values[(at / self.width - low + EDGE) * width + at % self.width - left + EDGE] = 1.0;
        }
        let field = Field::new(width, height, values).smeared(0.8);
        let (right, up) = (left as f64 - EDGE as f64, low as f64 - EDGE as f64);
        let place = |at: crate::Pixel| view.point(at.x + right, at.y + up);
        contours::line_round(&field, SMOOTHING, TOLERANCE, place).ok().map(|it| it.outer().clone())
    }
}

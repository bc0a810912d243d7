//! Takes bark and the dark side of a slab off its silhouette.

use measure::Length;

use crate::clean::Mask;
use crate::colour::{Lab, Material};
use crate::field::Field;
use crate::mask::{Cells, On};

/// Deeper in than this, all is wood.
const SURELY_WOOD: Length = Length::mm(14.0);

/// Bark is looked for no deeper in than this.
const BARK_REACH: Length = Length::mm(40.0);

/// This share of the wood's own colours may be unlikely for it.
const ODD_SHARE: f64 = 0.02;

/// Bark covers at least this share of the strip in which it is looked for, or
/// what is dark there is a shadow's rim.
const LEAST_SHARE: f64 = 0.02;

/// Colour clouds of the wood, and of the bark.
const WOOD_CLOUDS: usize = 6;
const BARK_CLOUDS: usize = 3;

/// One cell's colour counts for this much at most (a logarithm).
const MOST_SAID: f32 = 6.0;

/// Cells listen to their neighbours within about this many.
const NEIGHBOURS: f64 = 1.0;

/// The silhouette without what is dark, unlike the wood inside, and near its edge.
/// Pale sapwood stays: bark is never paler than the heart.
pub(crate) fn without_bark(cells: &Cells, cell: Length, mask: Mask) -> Mask {
    let depth = mask.depth();
    let deep = (SURELY_WOOD / cell) as f32;
    let reach = (BARK_REACH / cell) as f32;
    let wood = cells.colours(|at, known| depth.values[at] > deep && !known.is_sheet());
    let strip = cells
        .colours(|at, known| (0.0..deep).contains(&depth.values[at]) && mask.cells[at] && !known.is_sheet());
    let Some(material) = Material::of(&wood, WOOD_CLOUDS) else { return mask };
    let bark = barky(&material, &wood, &strip);
    let enough = bark.len() as f64 > LEAST_SHARE * strip.len() as f64;
    let Some(bark) = Material::of(&bark, BARK_CLOUDS).filter(|_| enough) else { return mask };
    let said = (0..mask.cells.len()).map(|at| {
        if !mask.cells[at] {
            return -MOST_SAID;
        }
        if depth.values[at] > reach || cells.known[at].is_sheet() {
            return MOST_SAID;
        }
        let lab = cells.lab[at];
        (material.likelihood(lab) - bark.likelihood(lab)).clamp(-MOST_SAID, MOST_SAID)
    });
    let said = Field::new(mask.width, mask.height, said.collect()).smeared(NEIGHBOURS);
    let cells = mask.cells.iter().zip(&said.values).map(|(belongs, said)| *belongs && *said > 0.0);
    let left = Mask { cells: cells.collect(), ..mask }.opened(On::Bench.opening()).largest().filled();
    if left.count() * 2 > mask.count() { left } else { mask }
}

/// The strip's colours that are unlike the wood, and darker.
fn barky(material: &Material, wood: &[Lab], strip: &[Lab]) -> Vec<Lab> {
    let mut usual: Vec<f32> = wood.iter().step_by(5).map(|it| material.likelihood(*it)).collect();
    let mut bright: Vec<f32> = wood.iter().step_by(5).map(|it| it[0]).collect();
    usual.sort_by(f32::total_cmp);
    bright.sort_by(f32::total_cmp);
    let odd = usual.get((usual.len() as f64 * ODD_SHARE) as usize);
    let middle = bright.get(bright.len() / 2);
    let Some((odd, middle)) = odd.zip(middle) else { return Vec::new() };
    let unlike = |it: &&Lab| it[0] < *middle && material.likelihood(**it) < *odd;
    strip.iter().filter(unlike).copied().collect()
}

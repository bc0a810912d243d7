//! Whether a thing lies whole and alone on its ground.

use measure::Problem;

use crate::clean::Mask;
use crate::colour::Lab;
use crate::mask::{self, Cells, Known, On};

/// Another thing counts if it is larger than this share of the one that was found.
const LARGE: f64 = 0.2;

/// And if it differs from the ground by this share of what the found one does:
/// shadows and the ground's own unevenness differ by less.
const PLAIN: f32 = 0.4;

/// Beside the thing this many cells are its soft edge and its shadow.
const CLEAR: f32 = 6.0;

/// A thing is cut off if this share of its line runs along the picture's rim.
const CUT: f64 = 0.02;

/// What makes it doubtful that the right thing was traced, and all of it.
pub(crate) fn doubts(cells: &Cells, found: &Mask) -> Vec<Problem> {
    let mut told = Vec::new();
    if along_rim(cells, found) > CUT {
        told.push(
            Problem::new("the thing reaches to the edge of the picture, so a part of it may be missing")
                .hint("take the picture with ground all round the thing"),
        );
    }
    if others(cells, found) {
        told.push(
            Problem::new("other things stand out from the ground as well; the largest was traced")
                .hint("if that is not the right one, take the picture with the thing alone on plain ground"),
        );
    }
    told
}

/// The share of the thing's line that runs along what counts as the picture's rim.
fn along_rim(cells: &Cells, found: &Mask) -> f64 {
    let (mut line, mut rim) = (0_usize, 0_usize);
    for at in (0..found.cells.len()).filter(|at| found.cells[*at]) {
        for next in found.beside(at).into_iter().flatten().filter(|next| !found.cells[*next]) {
            line += 1;
            rim += usize::from(matches!(cells.known[next], Known::Rim | Known::Unseen));
        }
    }
    rim as f64 / line.max(1) as f64
}

/// Whether anything else stands out once the thing is taken away.
fn others(cells: &Cells, found: &Mask) -> bool {
    let near = found.grown(CLEAR);
    let known = cells.known.iter().zip(&near.cells);
    let known = known.map(|(known, near)| if *near { Known::Unseen } else { *known }).collect();
    let rest = Cells { width: cells.width, height: cells.height, known, lab: cells.lab.clone() };
    let Ok(other) = mask::silhouette(&rest, On::Plain) else { return false };
    if (other.count() as f64) < found.count() as f64 * LARGE {
        return false;
    }
    let ground = |at: usize| !near.cells[at] && !other.cells[at] && rest.known[at] != Known::Unseen;
    let Some(ground) = mean(cells, ground) else { return false };
    let differs = |it: &Mask| mean(cells, |at| it.cells[at]).map_or(0.0, |mean| way(mean, ground));
    differs(&other) > differs(found) * PLAIN
}

fn mean(cells: &Cells, wanted: impl Fn(usize) -> bool) -> Option<Lab> {
    let some = cells.lab.iter().enumerate().filter(|(at, _)| wanted(*at));
    let (sum, count) = some.fold(([0.0_f64; 3], 0_u32), |(sum, count), (_, lab)| {
        ([0, 1, 2].map(|it| sum[it] + f64::from(lab[it])), count + 1)
    });
    (count > 0).then(|| sum.map(|it| (it / f64::from(count)) as f32))
}

fn way(a: Lab, b: Lab) -> f32 {
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum::<f32>().sqrt()
}

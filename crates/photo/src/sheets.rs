//! Which points of which scale sheet lie where in the picture.

use std::collections::BTreeMap;

use measure::{Length, Problem};
use outline::Point;
use stock::ScaleSheet;

use crate::homography::Homography;
use crate::tags::{SeenTag, Tags};
use crate::{Pixel, warn};

/// A sheet with its tags' corners: where they are printed, as the sheet really
/// came out of the printer, and where they are seen.
pub(crate) struct SeenSheet {
    pub(crate) sheet: ScaleSheet,
    pub(crate) tags: usize,
    pub(crate) corners: Vec<(Point, Pixel)>,
    /// The printed size over the drawn size.
    pub(crate) scale: f64,
}

/// With fewer tags a sheet is not used: its direction would be a guess.
pub(crate) const LEAST_TAGS: usize = 4;

/// A check line shorter or longer than this is a slip of the pen: printers are
/// off by a few per cent at most, even when they shrink a page to fit.
const CHECK_LINE: std::ops::RangeInclusive<f64> = 180.0..=220.0;

/// Half the width and height of what is surely sheet: the grid of tags and the
/// check line, with a little paper round them.
const HALF_SURE: [f64; 2] = [96.0, 126.0];

/// Half the largest paper, Letter's width and A4's height, with the grid in its middle.
const HALF_PAPER: [f64; 2] = [108.5, 149.0];

impl SeenSheet {
    /// Whether a point in the sheet's own coordinates may lie on its paper.
    pub(crate) fn may_cover(&self, at: Point) -> bool {
        at.x.abs() <= HALF_PAPER[0] * self.scale && at.y.abs() <= HALF_PAPER[1] * self.scale
    }

    /// Whether a point in the sheet's own coordinates surely lies on its paper.
    pub(crate) fn covers(&self, at: Point) -> bool {
        at.x.abs() <= HALF_SURE[0] * self.scale && at.y.abs() <= HALF_SURE[1] * self.scale
    }
}

/// How much larger the sheets came out than drawn.
///
/// # Errors
/// A check line that no printer would make.
pub(crate) fn printed_scale(check_line: Option<Length>) -> Result<f64, Problem> {
    match check_line {
        None => Ok(1.0),
        Some(line) if CHECK_LINE.contains(&line.to_mm()) => Ok(line / ScaleSheet::CHECK_LINE),
        Some(line) => {
            let message = format!("the sheet's 200 mm check line cannot measure {:.1} mm", line.to_mm());
            Err(Problem::new(message).hint("measure it again, from end to end, in millimetres"))
        }
    }
}

/// Sorts the tags by sheet, the sheet with most tags first.
///
/// # Errors
/// No sheet with enough tags in sight.
pub(crate) fn sort_by_sheet(tags: &Tags, scale: f64) -> Result<Vec<SeenSheet>, Problem> {
    let copies = tags.copies.iter().filter_map(|it| Some((it.first()?.sheet, it.iter().collect())));
    let mut groups: Vec<(ScaleSheet, Vec<&SeenTag>)> =
        by_sheet(tags).into_iter().chain(copies).filter(|(_, tags)| tags.len() >= LEAST_TAGS).collect();
    groups.sort_by_key(|(sheet, tags)| (std::cmp::Reverse(tags.len()), *sheet));
    let Some((_, most)) = groups.first() else { return Err(no_sheet(tags)) };
    let order = corner_order(most)?;
    let sheets = groups.iter().map(|(sheet, tags)| SeenSheet {
        sheet: *sheet,
        tags: tags.len(),
        corners: tags.iter().flat_map(|tag| corners(tag, order, scale)).collect(),
        scale,
    });
    Ok(sheets.collect())
}

/// The tags of each sheet that lies there once, however few.
pub(crate) fn by_sheet(tags: &Tags) -> BTreeMap<ScaleSheet, Vec<&SeenTag>> {
    let mut by_sheet: BTreeMap<ScaleSheet, Vec<&SeenTag>> = BTreeMap::new();
    for tag in &tags.seen {
        by_sheet.entry(tag.sheet).or_default().push(tag);
    }
    by_sheet
}

fn no_sheet(tags: &Tags) -> Problem {
    if let Some(twice) = warn::twice(tags) {
        return twice;
    }
    if tags.strange {
        return Problem::new("the coded squares in the picture are not those of the scale sheets")
            .hint("lay the printed scale sheets beside the wood");
    }
    let found = tags.seen.len();
    Problem::new(format!("no scale sheet can be read: {found} coded squares found, {LEAST_TAGS} needed"))
        .hint("lay a printed scale sheet flat beside the wood, in full view and without glare")
}

/// The tag reader may name the corners from another one than ours; which, the
/// way in which the tags stand beside each other tells.
fn corner_order(tags: &[&SeenTag]) -> Result<usize, Problem> {
    let miss = |order: usize| {
        let pairs: Vec<(Point, Pixel)> = tags.iter().flat_map(|tag| corners(tag, order, 1.0)).collect();
        Homography::through(&pairs).map_or(f64::INFINITY, |flat| flat.miss(&pairs))
    };
    let best = (0..4).map(|order| (miss(order), order)).min_by(|a, b| a.0.total_cmp(&b.0));
    match best {
        Some((miss, order)) if miss.is_finite() => Ok(order),
        _ => Err(Problem::new("the scale sheet's coded squares do not lie in one plane")
            .hint("lay the sheet flat and take the picture again")),
    }
}

fn corners(seen: &SeenTag, order: usize, scale: f64) -> [(Point, Pixel); 4] {
    let printed = seen.tag.corners();
    std::array::from_fn(|index| {
        let at = Point::new(printed[index].x * scale, printed[index].y * scale);
        (at, seen.corners[(index + order) % 4])
    })
}

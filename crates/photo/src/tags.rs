//! Finds the coded squares of the scale sheets in a picture.

use std::collections::BTreeMap;

use locus_core::{Detector, ImageView, TagFamily};
use measure::Problem;
use rayon::prelude::*;
use stock::{ScaleSheet, Tag};

use crate::picture::guarded;
use crate::{Picture, Pixel};

/// A tag that was seen, its corners in the reader's own order, which may be
/// turned against the sheet's.
pub(crate) struct SeenTag {
    pub(crate) sheet: ScaleSheet,
    pub(crate) tag: Tag,
    pub(crate) corners: [Pixel; 4],
}

/// Above this many pixels tags are first looked for at half size, where they
/// are still large; corners are always refined at full size.
const HALVED_ABOVE: usize = 3_000_000;

/// Finding this many tags, a second look at full size is spared.
const ENOUGH_TAGS: usize = 12;

/// Wrong bits allowed in a tag. The codes differ in eleven.
const MOST_WRONG_BITS: u32 = 2;

/// All tags of the scale sheets, in the order of their numbers. A tag seen
/// twice is left out: one of the two must be wrong.
///
/// # Errors
/// The reader fails on this picture.
pub(crate) fn find_tags(picture: &Picture) -> Result<Vec<SeenTag>, Problem> {
    let gray = gray(picture);
    let large = gray.len() > HALVED_ABOVE;
    let found = detect(picture, &gray, if large { 2 } else { 1 })?;
    if large && found.len() < ENOUGH_TAGS {
        let closer = detect(picture, &gray, 1)?;
        return Ok(if closer.len() > found.len() { closer } else { found });
    }
    Ok(found)
}

fn detect(picture: &Picture, gray: &[u8], decimation: usize) -> Result<Vec<SeenTag>, Problem> {
    let (width, height) = (picture.width_px() as usize, picture.height_px() as usize);
    let found = guarded("the scale sheets could not be looked for", || {
        let view = ImageView::new(gray, width, height, width)?;
        let mut detector =
            Detector::builder().with_decimation(decimation).with_family(TagFamily::AprilTag36h11).build();
        let batch = detector.detect(&view, None, None, false).map_err(|trouble| trouble.to_string())?;
        Ok::<_, String>(collect(&batch.reassemble_owned()))
    })?;
    let found = found.map_err(|trouble| {
        Problem::new(format!("the scale sheets could not be looked for: {trouble}"))
            .hint("take the picture again")
    })?;
    Ok(once_each(found))
}

fn once_each(found: Vec<SeenTag>) -> Vec<SeenTag> {
    let mut by_id: BTreeMap<u16, Vec<SeenTag>> = BTreeMap::new();
    for seen in found {
        by_id.entry(seen.tag.id).or_default().push(seen);
    }
    by_id.into_values().filter(|those| those.len() == 1).flatten().collect()
}

/// Luma of ITU-R BT.601, in whole numbers.
fn gray(picture: &Picture) -> Vec<u8> {
    let raw = picture.image.as_raw();
    raw.par_chunks_exact(3)
        .map(|it| ((u32::from(it[0]) * 77 + u32::from(it[1]) * 150 + u32::from(it[2]) * 29) >> 8) as u8)
        .collect()
}

fn collect(found: &[locus_core::Detection]) -> Vec<SeenTag> {
    let sharp = found.iter().filter(|it| it.hamming <= MOST_WRONG_BITS);
    sharp
        .filter_map(|it| {
            let (sheet, tag) = ScaleSheet::holding(u16::try_from(it.id).ok()?)?;
            let finite = it.corners.iter().flatten().all(|number| number.is_finite());
            let corners = it.corners.map(|[x, y]| Pixel::new(x, y));
            finite.then_some(SeenTag { sheet, tag, corners })
        })
        .collect()
}

//! Finds the coded squares of the scale sheets in a picture.

use std::collections::BTreeMap;

use locus_core::{Detection, Detector, ImageView, TagFamily};
use measure::Problem;
use rayon::prelude::*;
use stock::{ScaleSheet, Tag};

use crate::picture::guarded;
use crate::{Picture, Pixel};

/// All that was seen of coded squares.
#[derive(Debug, Default)]
pub(crate) struct Tags {
    /// Those of sheets that lie there once, in the order of their numbers. A tag
    /// seen twice is left out: one of the two must be wrong.
    pub(crate) seen: Vec<SeenTag>,
    /// Those of sheets that lie there twice, each copy by itself.
    pub(crate) copies: Vec<Vec<SeenTag>>,
    /// Whether there are coded squares of another kind, or with other numbers.
    pub(crate) strange: bool,
}

/// A tag that was seen, its corners in the reader's own order, which may be
/// turned against the sheet's.
#[derive(Clone, Debug)]
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

/// A sheet with this many tags seen twice lies there twice; fewer are misread.
const TWICE: usize = 3;

/// Tags of one sheet stand beside each other: the next but one, and any of
/// another sheet, is farther off than so many sides of a tag.
const BESIDE: f64 = 1.9;

/// This many squares of another kind are no misreading.
const STRANGE: usize = 4;

/// The other kinds of coded squares that the reader knows and that are large
/// enough not to be seen in plain wood.
const OTHERS: [TagFamily; 2] = [TagFamily::ArUco6x6_250, TagFamily::ArUcoMip36h12];

/// Looks for the scale sheets' tags, and, where there are none, for others.
///
/// # Errors
/// The reader fails on this picture.
pub(crate) fn find_tags(picture: &Picture, gray: &[u8]) -> Result<Tags, Problem> {
    let large = gray.len() > HALVED_ABOVE;
    let ours = [TagFamily::AprilTag36h11];
    let mut found = detect(picture, gray, if large { 2 } else { 1 }, &ours)?;
    if large && found.len() < ENOUGH_TAGS {
        let closer = detect(picture, gray, 1, &ours)?;
        found = if closer.len() > found.len() { closer } else { found };
    }
    let all = found.len();
    let known: Vec<SeenTag> = found.into_iter().filter_map(SeenTag::of).collect();
    let mut strange = all - known.len() >= STRANGE;
    if known.is_empty() && !strange {
        strange = detect(picture, gray, 1, &OTHERS)?.len() >= STRANGE;
    }
    let twice = twice(&known);
    let (copied, known): (Vec<SeenTag>, Vec<SeenTag>) =
        known.into_iter().partition(|it| twice.contains(&it.sheet));
    let copies = twice.iter().flat_map(|sheet| {
        let own = copied.iter().filter(|it| it.sheet == *sheet).cloned();
        neighbours(own)
    });
    Ok(Tags { copies: copies.collect(), seen: once_each(known), strange })
}

fn detect(
    picture: &Picture,
    gray: &[u8],
    decimation: usize,
    families: &[TagFamily],
) -> Result<Vec<Detection>, Problem> {
    let (width, height) = (picture.width_px() as usize, picture.height_px() as usize);
    let found = guarded("the scale sheets could not be looked for", || {
        let view = ImageView::new(gray, width, height, width)?;
        let asked = Detector::builder().with_decimation(decimation);
        let mut detector = families.iter().fold(asked, |it, &family| it.with_family(family)).build();
        let batch = detector.detect(&view, None, None, false).map_err(|trouble| trouble.to_string())?;
        Ok::<_, String>(batch.reassemble_owned())
    })?;
    let found = found.map_err(|trouble| {
        Problem::new(format!("the scale sheets could not be looked for: {trouble}"))
            .hint("take the picture again")
    })?;
    Ok(found.into_iter().filter(|it| it.hamming <= MOST_WRONG_BITS).collect())
}

impl SeenTag {
    fn of(found: Detection) -> Option<SeenTag> {
        let (sheet, tag) = ScaleSheet::holding(u16::try_from(found.id).ok()?)?;
        let finite = found.corners.iter().flatten().all(|number| number.is_finite());
        let corners = found.corners.map(|[x, y]| Pixel::new(x, y));
        finite.then_some(SeenTag { sheet, tag, corners })
    }

    fn stands_beside(&self, other: &SeenTag) -> bool {
        let middle = |it: &SeenTag| {
            let sum = it.corners.iter().fold((0.0, 0.0), |sum, it| (sum.0 + it.x, sum.1 + it.y));
            Pixel::new(sum.0 / 4.0, sum.1 / 4.0)
        };
        let side = |it: &SeenTag| it.corners[0].distance(it.corners[1]);
        middle(self).distance(middle(other)) < BESIDE * side(self).max(side(other))
    }
}

fn by_number(found: Vec<SeenTag>) -> BTreeMap<u16, Vec<SeenTag>> {
    let mut by_number: BTreeMap<u16, Vec<SeenTag>> = BTreeMap::new();
    for seen in found {
        by_number.entry(seen.tag.id).or_default().push(seen);
    }
    by_number
}

fn once_each(found: Vec<SeenTag>) -> Vec<SeenTag> {
    by_number(found).into_values().filter(|those| those.len() == 1).flatten().collect()
}

fn twice(found: &[SeenTag]) -> Vec<ScaleSheet> {
    let mut sheets: BTreeMap<ScaleSheet, usize> = BTreeMap::new();
    for those in by_number(found.to_vec()).into_values().filter(|those| those.len() > 1) {
        *sheets.entry(those[0].sheet).or_default() += 1;
    }
    sheets.into_iter().filter(|(_, count)| *count >= TWICE).map(|(sheet, _)| sheet).collect()
}

/// Sorts the tags of one sheet's copies by those that stand beside each other.
fn neighbours(those: impl Iterator<Item = SeenTag>) -> Vec<Vec<SeenTag>> {
    those.fold(Vec::new(), |groups, tag| {
        let beside = |group: &Vec<SeenTag>| group.iter().any(|it| it.stands_beside(&tag));
        let (near, mut groups): (Vec<Vec<SeenTag>>, Vec<Vec<SeenTag>>) = groups.into_iter().partition(beside);
        groups.push(near.into_iter().flatten().chain([tag]).collect());
        groups
    })
}

/// Luma of ITU-R BT.601, in whole numbers.
pub(crate) fn gray(picture: &Picture) -> Vec<u8> {
    let raw = picture.image.as_raw();
    raw.par_chunks_exact(3)
        .map(|it| ((u32::from(it[0]) * 77 + u32::from(it[1]) * 150 + u32::from(it[2]) * 29) >> 8) as u8)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Real photographs with the reference corners that the tag family's own
    /// library gives (its test data, BSD 2-clause), squares 13 to 45 px wide.
    /// OpenCV's reader (5.0.0, `cv2.aruco`, corners refined) lies 0.6 to 1.0 px
    /// inside of them; ours lies less than half as far.
    #[test]
    fn real_squares_are_where_the_familys_own_library_sees_them() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases/pictures/planar/");
        for (name, least) in
            [("apriltag_33369213973_9d9bb4cc96_c", 10), ("apriltag_34139872896_defdb2f8d9_c", 8)]
        {
            let file = |ending: &str| std::fs::read(format!("{folder}{name}.{ending}")).unwrap();
            let picture = crate::read_picture(&file("jpg")).unwrap();
            let found = detect(&picture, &gray(&picture), 1, &[TagFamily::AprilTag36h11]).unwrap();
            let theirs = String::from_utf8(file("txt")).unwrap();
            let mut insets = Vec::new();
            for line in theirs.lines() {
                let numbers: Vec<f64> = line
                    .split(|it: char| !(it.is_ascii_digit() || it == '.'))
                    .filter_map(|it| it.parse().ok())
                    .collect();
                let [_, corners @ ..] = numbers.as_slice() else { continue };
                let corners: Vec<Pixel> =
                    corners.chunks_exact(2).map(|it| Pixel::new(it[0], it[1])).collect();
                insets.extend(found.iter().find_map(|it| inset(it, &corners)));
            }
            let mean = insets.iter().sum::<f64>() / insets.len() as f64;
            assert!(insets.len() >= least, "{name}: {} of {}", insets.len(), theirs.lines().count());
            assert!((0.0..0.4).contains(&mean), "{name}: {mean} px inside");
        }
    }

    /// How far our corners lie inside theirs along the diagonals, in pixels;
    /// `None` if it is another square.
    fn inset(ours: &Detection, theirs: &[Pixel]) -> Option<f64> {
        let ours = ours.corners.map(|[x, y]| Pixel::new(x, y));
        let middle = |those: &[Pixel]| {
            let sum = those.iter().fold((0.0, 0.0), |sum, it| (sum.0 + it.x, sum.1 + it.y));
            Pixel::new(sum.0 / 4.0, sum.1 / 4.0)
        };
        let at = middle(theirs);
        let half = |those: &[Pixel]| those.iter().map(|it| at.distance(*it)).sum::<f64>() / 4.0;
        let same = theirs.len() == 4 && at.distance(middle(&ours)) < 3.0;
        same.then(|| half(theirs) - half(&ours))
    }
}

//! What on a face may be a fault: looked for, described, and offered to the
//! maker, who confirms or refuses each.
//!
//! A face is laid along its grain and searched by what each kind is: a knot is a
//! blob that differs from the same streak further along, with fibres that part
//! round it; a check a dark line along the fibres; worm holes are dark dots; a
//! stain is a soft patch of another colour; bark left inside the line lies at
//! its edge. What is measured of each spot is weighed by a model that was
//! trained on photographs with known truth.

mod bark_left;
mod checks;
mod flow;
mod knots;
mod model;
mod patch;
mod rim;
mod spots;
mod stains;
mod view;
mod worms;

#[cfg(test)]
mod tests;

use image::RgbImage;
use measure::Length;
use outline::{Outline, Point, Ring};
use stock::{Candidate, GrainField, ZoneId, ZoneKind};

use view::View;

/// A place that was looked at as a possible fault.
#[derive(Clone, Debug)]
pub struct Suspect {
    /// What it would be.
    pub kind: ZoneKind,
    /// Where, on the face.
    pub area: Ring,
    /// What was measured of it: each kind has its own list.
    pub traits: Vec<f64>,
    /// How sure it is, from 0 to 1, by the model.
    pub sure: f64,
}

/// Everything on the face that was looked at, surest first. `hidden` tells
/// where something else lies on it.
pub(crate) fn suspects(
    face: &RgbImage,
    pixel: Length,
    outline: &Outline,
    grain: &GrainField,
    hidden: impl Fn(Point) -> bool + Sync,
) -> Vec<Suspect> {
    let Some(view) = View::of(face, pixel, outline, grain.overall, hidden) else { return Vec::new() };
    let ((checks, clear), worms) = rayon::join(|| checks::checks(&view), || worms::worms(&view));
    let view = view.on(clear);
    let (knots, stains) = rayon::join(|| knots::knots(&view), || stains::stains(&view));
    let bark = bark_left::bark_left(&view);
    let mut all: Vec<Suspect> = [knots, checks, worms, stains, bark].into_iter().flatten().collect();
    all.sort_by(|a, b| b.sure.total_cmp(&a.sure));
    all
}

/// A knot throws its shade on the wood round it, up to this far off its rim.
const HALO: Length = Length::mm(8.0);

/// Whether a suspect is most likely part of one that is kept.
fn covers(kept: &Suspect, other: &Suspect) -> bool {
    let (own, middle) = (kept.area.centroid(), other.area.centroid());
    let alike = kept.kind == other.kind;
    let halo = alike && kept.kind == ZoneKind::Knot && kept.area.distance(middle) < HALO;
    kept.area.contains(middle) || halo || alike && other.area.contains(own)
}

/// Those that are sure enough to be shown, the surest fifth first, without what
/// another covers; of those about as sure the largest stays, as a knot's own core
/// and specks are no knots beside it. Stains come last: a knot may look like one.
pub(crate) fn candidates(suspects: &[Suspect], least_sure: impl Fn(ZoneKind) -> f64) -> Vec<Candidate> {
    let mut kept: Vec<&Suspect> = Vec::new();
    let mut sure: Vec<&Suspect> = suspects.iter().filter(|it| it.sure >= least_sure(it.kind)).collect();
    let fifth = |it: &Suspect| (it.sure.min(0.999) * 5.0) as u8;
    let size = |it: &Suspect| it.area.area().to_mm2();
    let stain = |it: &Suspect| it.kind == ZoneKind::Stain;
    sure.sort_by(|a, b| {
        stain(a).cmp(&stain(b)).then(fifth(b).cmp(&fifth(a))).then(size(b).total_cmp(&size(a)))
    });
    for suspect in sure {
        let covered = kept.iter().any(|it| covers(it, suspect));
        if !covered {
            kept.push(suspect);
        }
    }
    let numbered = kept.iter().zip(1..);
    numbered
        .map(|(it, number)| Candidate {
            id: ZoneId(number),
            kind: it.kind,
            area: it.area.clone(),
            sure: it.sure,
        })
        .collect()
}

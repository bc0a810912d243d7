//! How the fibres part round a place: a sign of a knot that needs no colour.

use crate::field::Field;

use super::view::View;

/// What is coarser than this is figure and light, not fibre.
const FIBRE: f64 = 1.1;
/// Light and dark are evened out over this.
const EVEN: f64 = 8.0;
/// A direction is taken from this much face, and compared with that of this much.
const NEAR: f64 = 2.5;
const WIDE: f64 = 28.0;
/// Contrast beyond this many of its own spread is cut off.
const CLIP: f32 = 1.5;

/// Directions against those of the wide neighbourhood.
pub(super) struct Flow {
    /// By how much the fibres turn from the neighbourhood's direction, in radians,
    /// counter-clockwise, weighed by how sure that is.
    pub(super) turned: Field,
    /// How sure a direction can be seen, from 0 to 1.
    pub(super) sure: Field,
}

/// A structure tensor of the fine texture (Bigun and Granlund, "Optimal
/// orientation detection of linear symmetry", 1987), near against wide.
pub(super) fn flow(view: &View) -> Flow {
    let fine = view.tone.with(&view.mean(&view.tone, FIBRE, FIBRE), |it, mean| it - mean);
    let spread = view.mean(&fine.map(|it| it * it), EVEN, EVEN).map(|it| it.max(0.0).sqrt() + 1e-4);
    let even = fine.with(&spread, |it, spread| (it / spread).clamp(-CLIP, CLIP));
    let even = even.with(&view.wood, |it, wood| it * wood);
    let (x, y) = even.smeared(0.8).slopes();
    let near = |a: &Field, b: &Field| view.mean(&a.with(b, |a, b| a * b), NEAR, NEAR);
    let (xx, xy, yy) = (near(&x, &x), near(&x, &y), near(&y, &y));
    let trace = xx.with(&yy, |a, b| (a + b).max(1e-9));
    // The slope runs across the fibres: over doubled angles that is the other sign.
    let east = yy.with(&xx, |a, b| a - b).with(&trace, |it, all| it / all);
    let north = xy.with(&trace, |it, all| -2.0 * it / all);
    let (wide_east, wide_north) = (view.mean(&east, WIDE, WIDE), view.mean(&north, WIDE, WIDE));
    let sure = east.with(&north, f32::hypot);
    let along =
        east.with(&wide_east, |a, b| a * b).with(&north.with(&wide_north, |a, b| a * b), |a, b| a + b);
    let aside =
        north.with(&wide_east, |a, b| a * b).with(&east.with(&wide_north, |a, b| a * b), |a, b| a - b);
    let turned = aside.with(&along, |aside, along| aside.atan2(along) / 2.0);
    Flow { turned: turned.with(&sure, |it, sure| it * sure), sure }
}

/// How strongly the fibres part round each place, at a size in cells. Round a
/// cylinder they turn by minus the sine of twice the angle round it: the mixed
/// second slope of a Gaussian picks just that.
pub(super) fn parting(turned: &Field, wood: &Field, size: f64) -> Field {
    let seen = turned.with(wood, |it, wood| it * wood).smeared(size);
    let (along, _) = seen.slopes();
    let (_, mixed) = along.slopes();
    mixed.map(|it| -it * (size * size) as f32)
}

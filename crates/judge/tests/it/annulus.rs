//! A blade that follows a round kerf, against a search that knows only a
//! rectangle and two circles.

use std::f64::consts::PI;

use judge::Fault;
use measure::Length;
use stock::SawCutKind;

use crate::bench::*;

/// Whether a rectangle can lie between two circles about the origin, its front
/// edge on the axis: all places and turns are tried.
fn lies_between(width: f64, band: f64, kerf: f64, radius: f64) -> bool {
    let (inner, outer) = (radius - kerf / 2.0, radius + kerf / 2.0);
    let play = (kerf - band) / 2.0;
    (0..=800).any(|skew| {
        let skew = -0.35 + 0.70 * f64::from(skew) / 800.0;
        (0..=60).any(|aside| {
            let aside = -play + 2.0 * play * f64::from(aside) / 60.0;
            // The teeth at the right of the circle, the way counter-clockwise.
            let axis = (PI / 2.0 + skew).sin_cos();
            let axis = (axis.1, axis.0);
            let point = |depth: f64, side: f64| {
                let front = (radius + aside, 0.0);
                (front.0 - axis.0 * depth + axis.1 * side, front.1 - axis.1 * depth - axis.0 * side)
            };
            (0..=40).all(|step| {
                let depth = width * f64::from(step) / 40.0;
                [-band / 2.0, band / 2.0].iter().all(|&side| {
                    let (x, y) = point(depth, side);
                    (inner - 1e-9..=outer + 1e-9).contains(&x.hypot(y))
                })
            })
        })
    })
}

/// The least radius that one of two passes, by halving.
fn least(mut low: f64, mut high: f64, passes: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..9 {
        let middle = (low + high) / 2.0;
        if passes(middle) { high = middle } else { low = middle }
    }
    high
}

fn judged(width: f64, band: f64, kerf: f64, radius: f64) -> bool {
    let side = 2.0 * radius + 60.0;
    let mut scene = Scene::new(bar(0.0, 0.0, side, side), &[bar(1.0, side - 9.0, 8.0, 8.0)]);
    let blade = &mut scene.saw.blades[1];
    blade.width = Length::mm(width);
    blade.kerf = Length::mm(kerf);
    blade.thickness = Some(Length::mm(band));
    let mut way = points(&[(-width - 1.0, 20.0)]);
    let middle = (side / 2.0, 20.0 + radius);
    let fine = arc(middle, radius, -90.0, 110.0);
    way.extend(fine);
    let ruling = scene.judge(vec![cut(SawCutKind::Outline, &[], way)]);
    !faults(&ruling).contains(&Fault::Jams)
}

#[test]
fn a_round_kerf_passes_what_a_search_finds_to_fit() {
    // Width, band and kerf in millimetres; half an inch first.
    for (width, band, kerf) in [(12.7, 0.635, 1.143), (9.525, 0.6, 1.0), (19.05, 0.9, 1.6), (16.0, 0.5, 1.4)]
    {
        let chord = width * width / (8.0 * (kerf - band)) - band / 2.0;
        let range = (0.6 * chord, 1.5 * chord);
        let searched = least(range.0, range.1, |radius| lies_between(width, band, kerf, radius));
        let judged = least(range.0, range.1, |radius| judged(width, band, kerf, radius));
        assert!((searched / chord - 1.0).abs() < 0.03, "searched {searched}, chord {chord}");
        let off = judged / searched - 1.0;
        assert!((-0.07..0.02).contains(&off), "{width}: judged {judged}, searched {searched}");
    }
}

#[test]
fn a_narrow_blade_is_held_by_how_far_it_may_stand_askew() {
    let (width, band, kerf) = (6.35, 0.356, 1.067);
    let searched = least(5.0, 25.0, |radius| lies_between(width, band, kerf, radius));
    let judged = least(5.0, 25.0, |radius| judged(width, band, kerf, radius));
    // The judge moves the blade in steps and errs to the careful side.
    assert!((0.97..1.09).contains(&(judged / searched)), "judged {judged}, searched {searched}");
}

//! What holds for every board and every way.

use judge::Ruling;
use measure::{Angle, Length};
use outline::{Outline, Place, Point};
use proptest::prelude::*;
use stock::{SawCut, SawCutKind, SawLeg};

use crate::bench::*;

/// A board with a round part, and the way round it, both to be turned and moved.
fn laid(place: Place, radius: f64, more: f64) -> (Scene, Vec<SawCut>) {
    let way = radius + SPARE + HALF + more;
    let mut points = points(&[(-12.0, 100.0 - way)]);
    points.extend(arc((110.0, 100.0), way, -90.0, 270.0));
    let part = place.outline(&disc(110.0, 100.0, radius));
    let scene = Scene::new(place.outline(&bar(0.0, 0.0, 230.0, 200.0)), &[part]);
    let way = points.into_iter().map(|it| place.point(it)).collect();
    (scene, vec![cut(SawCutKind::Outline, &[1], way)])
}

fn place(turn: f64, x: f64, y: f64) -> Place {
    Place { turn: Angle::degrees(turn), at: Point::new(x, y), mirrored: false }
}

/// All wood that there is after the plan: dust, what fell and what is left.
fn accounted(ruling: &Ruling, parts: &[(stock::PartKey, Outline)]) -> f64 {
    let cuts = ruling.cuts.iter().map(|it| {
        let fallen = it.falls.iter().filter(|it| it.parts.is_empty()).map(|it| it.area.to_mm2());
        it.dust.to_mm2() + fallen.sum::<f64>()
    });
    let kept = ruling.parts.iter().zip(parts).map(|(it, (_, outline))| {
        outline.area().to_mm2() + it.left_mean.to_mm() * outline.outer().perimeter().to_mm()
    });
    cuts.sum::<f64>() + kept.sum::<f64>()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn turning_and_moving_everything_changes_nothing(
        turn in 0.0..360.0_f64, x in -900.0..900.0_f64, y in -900.0..900.0_f64,
        radius in 8.0..70.0_f64, more in -4.0..1.0_f64,
    ) {
        let (scene, cuts) = laid(place(0.0, 0.0, 0.0), radius, more);
        let (turned, turned_cuts) = laid(place(turn, x, y), radius, more);
        let (one, other) = (scene.judge(cuts), turned.judge(turned_cuts));
        prop_assert_eq!(faults(&one), faults(&other));
        let (a, b) = (&one.cuts[0], &other.cuts[0]);
        prop_assert!((a.reach - b.reach).abs() < Length::mm(0.5), "{:?} {:?}", a.reach, b.reach);
        prop_assert!((a.dust.to_mm2() - b.dust.to_mm2()).abs() < 4.0, "{:?} {:?}", a.dust, b.dust);
        let (a, b) = (one.parts[0], other.parts[0]);
        prop_assert!((a.left_mean - b.left_mean).abs() < Length::mm(0.03), "{:?} {:?}", a, b);
        prop_assert!((a.gouge - b.gouge).abs() < Length::mm(1e-6), "{:?} {:?}", a, b);
    }

    #[test]
    fn all_wood_is_accounted_for(radius in 15.0..70.0_f64, turn in 0.0..360.0_f64) {
        let (scene, cuts) = laid(place(turn, 30.0, 4.0), radius, 0.0);
        let ruling = scene.judge(cuts);
        prop_assert_eq!(faults(&ruling), []);
        let (found, whole) = (accounted(&ruling, &scene.parts), scene.wood.area().to_mm2());
        prop_assert!((found - whole).abs() < 4.0, "{found} of {whole}");
    }

    #[test]
    fn a_gouge_is_as_deep_as_the_way_is_off(deep in 0.05..5.0_f64, turn in 0.0..360.0_f64) {
        let (scene, cuts) = laid(place(turn, 0.0, 0.0), 60.0, -SPARE - deep);
        let found = scene.judge(cuts).parts[0].gouge.to_mm();
        prop_assert!((found - deep).abs() < 0.01, "{found} for {deep}");
    }

    #[test]
    fn a_straight_cut_reaches_to_the_farthest_corner(
        x in 110.0..290.0_f64, slant in -0.3..0.3_f64, width in 60.0..200.0_f64,
    ) {
        let scene = Scene::new(bar(0.0, 0.0, 400.0, width), &[bar(0.0, 0.0, 20.0, width)]);
        let (from, to) = (Point::new(x - 10.0 * slant, -10.0), Point::new(x + (width + 10.0) * slant, width + 10.0));
        let ruling = scene.judge(vec![cut(SawCutKind::Trim, &[], vec![from, to])]);
        let long = from.distance(to).to_mm();
        let right = ((to.y - from.y) / long, -(to.x - from.x) / long);
        let reach = [(400.0, 0.0), (400.0, width)]
            .map(|it| (it.0 - from.x) * right.0 + (it.1 - from.y) * right.1)
            .into_iter()
            .fold(0.0, f64::max);
        prop_assert!((ruling.cuts[0].reach.to_mm() - reach).abs() < 0.4, "{:?} {reach}", ruling.cuts[0].reach);
        let dust = width * (1.0 + slant * slant).sqrt() * 2.0 * HALF;
        prop_assert!((ruling.cuts[0].dust.to_mm2() - dust).abs() < 1.0, "{:?} {dust}", ruling.cuts[0].dust);
    }

    #[test]
    fn where_a_blade_passes_a_narrower_one_does(radius in 4.0..40.0_f64, width in 5.0..20.0_f64) {
        let jams = |width: f64| {
            let (mut scene, cuts) = laid(place(0.0, 0.0, 0.0), radius, 0.0);
            scene.saw.blades[1].width = Length::mm(width);
            faults(&scene.judge(cuts)).contains(&judge::Fault::Jams)
        };
        prop_assert!(jams(width) || !jams(0.8 * width));
    }

    #[test]
    fn nothing_that_is_written_down_makes_it_stumble(
        ways in prop::collection::vec(prop::collection::vec((-40.0..260.0_f64, -40.0..240.0_f64), 0..9), 1..4),
        turns in prop::collection::vec((0.0..200.0_f64, 0.0..200.0_f64, -400.0..400.0_f64), 0..3),
        kinds in prop::collection::vec(0..5_usize, 3),
    ) {
        let all = [SawCutKind::Parting, SawCutKind::Trim, SawCutKind::Relief, SawCutKind::Outline, SawCutKind::Facet];
        let (scene, _) = laid(place(0.0, 0.0, 0.0), 40.0, 0.0);
        let cuts: Vec<SawCut> = ways.iter().zip(kinds).map(|(way, kind)| {
            let mut cut = cut(all[kind], &[1], points(way));
            for &(x, y, by) in &turns {
                cut.legs.push(SawLeg::Turned { about: Point::new(x, y), by: Angle::degrees(by) });
            }
            cut
        }).collect();
        let count = cuts.len();
        let ruling = scene.judge(cuts);
        prop_assert_eq!(ruling.cuts.len(), count);
        prop_assert_eq!(ruling.parts.len(), 1);
    }
}

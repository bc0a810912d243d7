//! Marks against the camera, by a projection of the test's own.

use measure::Length;
use outline::Point;
use scene::marks::{Marks, SheetsMark};
use scene::{Camera, Nature, Paper, Rest, Shot, Slab, Subject, study};
use stock::ScaleSheet;

/// Marks may lie this far from where the test projects them, in pixels.
const AGREE_PX: f64 = 1e-6;

/// The camera model as OpenCV's documentation writes it ("Camera Calibration and
/// 3D Reconstruction", detailed description): x'' = x' (1 + k1 r² + k2 r⁴)
/// + 2 p1 x' y' + p2 (r² + 2 x'²), y'' the same with p1 and p2 changed over.
fn projected(camera: &Camera, at: [f64; 3]) -> [f64; 2] {
    let turned = camera.pose.rotation.map(|row| {
        row.iter()
            .zip(at)
            .zip(camera.pose.centre_mm)
            .map(|((axis, at), from)| axis * (at - from))
            .sum::<f64>()
    });
    let (x, y) = (turned[0] / turned[2], turned[1] / turned[2]);
    let r2 = x.powi(2) + y.powi(2);
    let radial = 1.0 + camera.k1 * r2 + camera.k2 * r2.powi(2);
    let [p1, p2] = camera.tangential;
    let seen = [
        x * radial + 2.0 * p1 * x * y + p2 * (r2 + 2.0 * x * x),
        y * radial + p1 * (r2 + 2.0 * y * y) + 2.0 * p2 * x * y,
    ];
    [0, 1].map(|it| seen[it] * camera.focal_px + camera.principal_px[it])
}

fn slab(shot: &Shot) -> &Slab {
    let Subject::Slab(slab) = &shot.subject else { panic!("a slab") };
    slab
}

fn near(one: [f64; 2], other: [f64; 2]) -> bool {
    (one[0] - other[0]).abs() < AGREE_PX && (one[1] - other[1]).abs() < AGREE_PX
}

#[test]
fn tags_are_marked_where_the_camera_sees_them() {
    for number in 1..=16 {
        let mut shot = study::shot(number, 800).unwrap();
        let flat = Slab::grow_as(slab(&shot).ask(), &Nature::CLEAN).unwrap();
        shot.subject = Subject::Slab(Box::new(flat));
        for laid in &mut shot.sheets {
            laid.paper = Paper { lifts_mm: [0.0; 4], rest: Rest::Wood, ..laid.paper };
        }
        let marks = Marks::of(&shot).unwrap();
        let paper = if marks.sheets == SheetsMark::OnTop { 0.1 } else { 0.0 };
        assert!(marks.tags.len() == 24 * shot.sheets.len(), "{number}: all tags are in the picture");
        for mark in &marks.tags {
            let (sheet, tag) = ScaleSheet::holding(mark.id).unwrap();
            let laid = shot.sheets.iter().find(|it| it.sheet == sheet).unwrap();
            for (corner, seen) in tag.corners().iter().zip(mark.corners_px) {
                let printed = Point::new(corner.x * laid.paper.scale, corner.y * laid.paper.scale);
                let at = laid.place.point(printed);
                let truth = projected(&shot.camera, [at.x, at.y, shot.sheets_level.to_mm() + paper]);
                assert!(near(truth, seen), "{number}: tag {} at {seen:?}, not {truth:?}", mark.id);
            }
        }
    }
}

#[test]
fn the_wood_line_is_marked_at_the_height_of_the_cupped_face() {
    for number in 1..=8 {
        let shot = study::shot(number, 800).unwrap();
        let marks = Marks::of(&shot).unwrap();
        let line = slab(&shot).wood_line().corners();
        assert_eq!(marks.wood_line_px.len(), line.len());
        let agree =
            |(at, seen): (&Point, &[f64; 2])| near(projected(&shot.camera, slab(&shot).on_top(*at)), *seen);
        assert!(line.iter().zip(&marks.wood_line_px).all(agree), "{number}");
        let top = slab(&shot).ask().thickness;
        let sound = |it: &&Point| slab(&shot).wane().is_none_or(|wane| wane.distance(**it).to_mm() > 0.1);
        let off = line.iter().filter(sound).map(|it| (slab(&shot).on_top(*it)[2] - top.to_mm()).abs());
        assert!(off.fold(0.0, f64::max) < 2.5, "a cup of at most 1.5 mm");
    }
}

#[test]
fn a_maker_reads_nearly_the_truth() {
    let (mut thickness, mut line) = (Vec::new(), Vec::new());
    for number in 1..=40 {
        let shot = study::shot(number, 400).unwrap();
        let marks = Marks::of(&shot).unwrap();
        thickness.push(marks.thickness_mm - slab(&shot).ask().thickness.to_mm());
        let printed = ScaleSheet::CHECK_LINE * shot.sheets[0].paper.scale;
        line.push((Length::mm(marks.check_line_mm.unwrap()) - printed).to_mm());
    }
    let spread = |off: &[f64]| (off.iter().map(|it| it * it).sum::<f64>() / off.len() as f64).sqrt();
    // Spreads of 0.4 and 0.1 mm; of forty, a spread comes within three tenths of that.
    assert!((0.28..0.52).contains(&spread(&thickness)), "{}", spread(&thickness));
    assert!((0.07..0.13).contains(&spread(&line)), "{}", spread(&line));
}

//! Faults of rendered slabs, looked for in their photographs.

use measure::{Angle, Length};
use outline::Point;
use photo::{SheetsLie, Survey, SurveyAsk, read_picture, survey};
use scene::{Look, Shot, Slab, SlabAsk, Subject, Truth, demos, photograph};
use stock::ZoneKind;

/// A slab of this look beside its sheets, measured.
fn surveyed(look: Look, knots: usize, checks: usize) -> (Survey, Truth) {
    let shot = demos::walnut_slab(demos::FULL_PX).unwrap();
    let Subject::Slab(slab) = &shot.subject else { panic!("the demo's slab is a slab") };
    let ask = SlabAsk { seed: 4711, look, knots, checks, ..slab.ask().clone() };
    let subject = Subject::Slab(Box::new(Slab::grow(&ask).unwrap()));
    let (bytes, truth) = photograph(&Shot { subject, ..shot }).unwrap();
    let ask = SurveyAsk {
        thickness: ask.thickness,
        sheets: SheetsLie::OnBench,
        check_line: Some(Length::mm(200.0)),
        known: Vec::new(),
        keenness: stock::Keenness::default(),
    };
    (survey(&read_picture(&bytes).unwrap(), &ask, &|_, _| (), &|| false).unwrap(), truth)
}

/// Where a true place of the slab's top lies on the face.
fn on_face(found: &Survey, truth: &Truth, at: Point) -> Point {
    let top = truth.slab.as_ref().unwrap().thickness_mm;
    let [x, y] = truth.camera.project([at.x, at.y, top]).unwrap();
    found.place_at(photo::Pixel::new(x, y)).unwrap()
}

/// At least so many of three knots are offered as knots, among so many candidates.
fn check_knots(look: Look, least: usize, most: usize) {
    let (found, truth) = surveyed(look, 3, 0);
    let knots = &truth.slab.as_ref().unwrap().knots;
    let offered = knots.iter().filter(|knot| {
        let middle = on_face(&found, &truth, knot.centre);
        found.candidates.iter().any(|it| it.kind == ZoneKind::Knot && it.area.contains(middle))
    });
    let told = found.candidates.iter().map(|it| (it.kind, it.area.centroid(), it.sure));
    assert!(
        offered.count() >= least && found.candidates.len() <= most,
        "{look:?}: {:?}",
        told.collect::<Vec<_>>()
    );
}

#[test]
fn knots_are_found_in_pale_and_in_dark_wood() {
    check_knots(Look::Maple, 3, 6);
    check_knots(Look::Walnut, 2, 20);
}

#[test]
fn checks_are_found_along_their_length() {
    let (found, truth) = surveyed(Look::Oak, 0, 3);
    let checks = &truth.slab.as_ref().unwrap().checks;
    let offered = checks.iter().filter(|check| {
        let middle = on_face(&found, &truth, check.bounds().centre());
        found.candidates.iter().any(|it| {
            let share = it.area.bounds().width() / check.bounds().width();
            let near = it.area.distance(middle) < Length::mm(4.0);
            near && it.kind == ZoneKind::Check && (0.5..1.1).contains(&share)
        })
    });
    assert!(checks.len() == 3 && offered.count() >= 2);
}

#[test]
fn clear_wood_holds_next_to_nothing() {
    let (found, _) = surveyed(Look::Cherry, 0, 0);
    assert!(found.candidates.len() <= 6, "{:?}", found.candidates);
    assert!(found.grain.overall.between_lines(Angle::ZERO).to_degrees() < 5.0);
}

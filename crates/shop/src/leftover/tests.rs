//! What is left of wood of any shape, by plans and documents of any kind.

use measure::{Angle, Money};
use outline::{Point, Ring};
use proptest::prelude::*;
use stock::{
    Candidate, Face, GrainSample, Offcut, PartKey, Placement, Registered, Side, StripKey, StripPlacement,
    WantId, Zone, ZoneId, ZoneKind,
};

use super::*;

type Sizes = Vec<(f64, f64, f64)>;

/// The engine's grid and the saw's line: no hand measures so fine.
const HAIR: f64 = 0.01;

fn round(x: f64, y: f64, radius: f64, corners: u32) -> Ring {
    let corner = |index: u32| {
        let angle = Angle::degrees(360.0 * f64::from(index) / f64::from(corners));
        Point::new(x + radius * angle.cos(), y + radius * angle.sin())
    };
    Ring::new((0..corners).map(corner).collect()).unwrap()
}

/// A slab 900 mm long with a wavy edge on both sides.
fn slab(wave: f64, shift: f64) -> Outline {
    let at = |x: f64, y: f64| Point::new(x + shift, y + shift + wave * Angle::degrees(x * 0.9 + y).sin());
    let below = (0..=45).map(|it| at(20.0 * f64::from(it), 0.0));
    let above = (0..=45).rev().map(|it| at(20.0 * f64::from(it), 280.0));
    Outline::from(Ring::new(below.chain(above).collect()).unwrap())
}

fn piece(outline: Outline, zones: &Sizes, samples: &[(f64, f64, f64, f64)]) -> Piece {
    let mut face = Face::rectangle(Length::mm(10.0), Length::mm(10.0)).unwrap();
    face.outline = outline;
    for (id, &(x, y, radius)) in (1..).zip(zones) {
        let area = round(x, y, radius, 24);
        match id % 3 {
            0 => face.candidates.push(Candidate { id: ZoneId(id), kind: ZoneKind::Stain, area, sure: 0.4 }),
            _ => face.zones.push(Zone {
                id: ZoneId(id),
                kind: ZoneKind::Knot,
                area,
                through: id % 2 == 0,
                note: format!("zone {id}"),
            }),
        }
    }
    face.grain.samples = samples
        .iter()
        .map(|&(x, y, degrees, sure)| GrainSample {
            at: Point::new(x, y),
            direction: Angle::degrees(degrees),
            sure,
        })
        .collect();
    face.doubt = 0.004;
    Piece {
        id: PieceId(7),
        name: "Walnut slab".to_owned(),
        species: "black_walnut".into(),
        form: Form::Slab,
        thickness: Length::mm(40.0),
        moisture: None,
        price: Some(Price::Whole(Money::units(140.0))),
        place: "back wall".to_owned(),
        face,
        far_face: None,
        sawn: None,
    }
}

fn layout(parts: &Sizes, strips: &Sizes, offcuts: &[Outline]) -> Layout {
    let face = FaceKey::Piece(PieceId(7));
    let placements = (1..).zip(parts).map(|(copy, &(x, y, radius))| Placement {
        part: PartKey { want: WantId(1), copy },
        face,
        place: Place::default(),
        outline: Outline::from(round(x, y, radius, 60)),
        pinned: false,
    });
    let strips = (1..).zip(strips).map(|(strip, &(x, y, side))| StripPlacement {
        strip: StripKey { panel: stock::PanelId(1), strip },
        piece: PieceId(7),
        outline: Outline::from(round(x, y, side, 4)),
    });
    let offcuts = offcuts.iter().map(|it| Offcut { face, outline: it.clone() });
    Layout {
        placements: placements.collect(),
        strips: strips.collect(),
        offcuts: offcuts.collect(),
        ..Layout::default()
    }
}

fn area_of(it: &Outline) -> f64 {
    it.area().to_mm2()
}

/// What has to hold of every leftover of a piece.
fn check(of: &Piece, layout: &Layout, kit: &ShopKit) -> Vec<Leftover> {
    let found = leftovers(of, layout, kit);
    let placed: Vec<&Outline> = layout.placements.iter().map(|it| &it.outline).collect();
    let strips: Vec<&Outline> = layout.strips.iter().map(|it| &it.outline).collect();
    let all: Vec<Outline> = placed.iter().chain(&strips).map(|it| (*it).clone()).collect();
    let free: f64 = of.face.outline.minus(&all).iter().map(area_of).sum();
    let kept: f64 = found.value.iter().map(|it| area_of(&it.on_whole())).sum();
    assert!(kept <= free + HAIR, "{kept} mm² are left of {free}");
    let curved = kit.bandsaw.blades.iter().map(|it| it.kerf.to_mm()).fold(0.0, f64::max);
    for (number, it) in (1..).zip(&found.value) {
        let whole = it.on_whole();
        let outside = whole.area_outside(&of.face.outline).to_mm2();
        assert!(outside < HAIR, "{outside} mm² lie outside of the wood");
        for (shapes, kerf) in [(&placed, curved), (&strips, kit.machines.straight_kerf.to_mm())] {
            for shape in shapes {
                let way = whole.distance(shape).to_mm();
                assert!(way >= kerf - 1e-3, "{way} mm from a part, the kerf is {kerf}");
            }
        }
        assert_eq!(it.piece.name, format!("Walnut slab, offcut {number}"));
        check_zones(&of.face, it);
        check_grain(&of.face, it);
        let written = serde_json::to_string(&it.piece).unwrap();
        assert_eq!(serde_json::from_str::<Piece>(&written).unwrap(), it.piece);
    }
    found.value
}

fn check_zones(of: &Face, it: &Leftover) {
    let (face, whole) = (&it.piece.face, it.on_whole());
    let low = face.outline.bounds().low;
    assert!(low.distance(Point::default()).to_mm() < 1e-9, "{low:?} is not the origin");
    let back =
        |area: &Ring| Place { at: it.near.low, ..Place::default() }.outline(&Outline::from(area.clone()));
    let ids: std::collections::BTreeSet<ZoneId> =
        face.zones.iter().map(|it| it.id).chain(face.candidates.iter().map(|it| it.id)).collect();
    assert_eq!(ids.len(), face.zones.len() + face.candidates.len(), "each has a number of its own");
    let solid = Outline::from(whole.outer().clone());
    let mut covered = std::collections::BTreeMap::<String, f64>::new();
    for zone in &face.zones {
        let old = of.zones.iter().find(|old| old.note == zone.note).unwrap();
        assert_eq!((old.kind, old.through), (zone.kind, zone.through));
        let area = back(&zone.area);
        assert!(
            area.area_outside(&Outline::from(old.area.clone())).to_mm2() < HAIR,
            "outside of the old zone"
        );
        assert!(area.area_outside(&solid).to_mm2() < HAIR, "outside of the leftover");
        *covered.entry(zone.note.clone()).or_default() += area.overlap_area(&whole).to_mm2();
    }
    for old in &of.zones {
        // Slivers along the edge are left out, but nothing that is wider than 1 mm.
        let parts = Outline::from(old.area.clone()).common(&whole);
        let thick = parts.iter().filter(|it| !it.offset(Length::mm(-0.7), Length::mm(0.05)).is_empty());
        let on: f64 = thick.map(area_of).sum();
        let kept = covered.get(&old.note).copied().unwrap_or(0.0);
        assert!(on - kept < HAIR, "{on} mm² of a zone lie on the leftover, {kept} are kept");
    }
    for candidate in &face.candidates {
        let area = back(&candidate.area);
        let inside = |old: &Candidate| area.area_outside(&Outline::from(old.area.clone())).to_mm2() < HAIR;
        assert!(of.candidates.iter().any(inside));
        assert_eq!(candidate.sure, 0.4);
    }
}

fn check_grain(of: &Face, it: &Leftover) {
    let (face, bounds) = (&it.piece.face, it.piece.face.outline.bounds());
    let steps = |side: Length| (side.to_mm() / 13.0) as u32;
    for column in 0..=steps(bounds.width()) {
        for row in 0..=steps(bounds.height()) {
            let at = Point::new(13.0 * f64::from(column), 13.0 * f64::from(row));
            if face.outline.contains(at) {
                let before = of.grain.at(Point::new(at.x + it.near.low.x, at.y + it.near.low.y));
                let off = face.grain.at(at).between_lines(before).to_degrees();
                assert!(off <= 1.0, "the grain is off by {off}° at {at:?}");
            }
        }
    }
}

fn sizes(most: usize, radius: std::ops::Range<f64>) -> impl Strategy<Value = Sizes> {
    prop::collection::vec((-60.0..960.0, -60.0..340.0, radius), 0..most)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// Offcuts as no search makes them: outside of the wood, on parts, on each other.
    #[test]
    fn whatever_the_plan_says_leftovers_keep_to_the_wood_that_is_left(
        (wave, shift) in (0.0..25.0, -40.0..40.0),
        parts in sizes(4, 20.0..110.0),
        strips in sizes(3, 20.0..90.0),
        offcuts in prop::collection::vec((-80.0..980.0, -80.0..360.0, 8.0..260.0, 3_u32..40), 1..5),
        zones in sizes(9, 2.0..120.0),
        samples in prop::collection::vec((-20.0..920.0, -20.0..300.0, -90.0..90.0, 0.0..1.0), 0..60),
    ) {
        let of = piece(slab(wave, shift), &zones, &samples);
        let offcuts: Vec<Outline> =
            offcuts.iter().map(|&(x, y, radius, corners)| Outline::from(round(x, y, radius, corners))).collect();
        check(&of, &layout(&parts, &strips, &offcuts), &ShopKit::starting());
    }
}

#[test]
fn an_offcut_outside_of_its_wood_is_left_out_and_told() {
    let of = piece(slab(0.0, 0.0), &Vec::new(), &[]);
    let outside = Outline::from(round(2000.0, 2000.0, 80.0, 12));
    let found = leftovers(&of, &layout(&Vec::new(), &Vec::new(), &[outside]), &ShopKit::starting());
    assert!(found.value.is_empty());
    assert!(found.problems[0].message.contains("none of its wood is left"), "{:?}", found.problems);
}

#[test]
fn what_it_costs_is_shared_by_area_and_all_else_is_as_it_was() {
    let half = [[450.0, 0.0], [900.0, 0.0], [900.0, 280.0], [450.0, 280.0]];
    let half = Ring::new(half.map(|[x, y]| Point::new(x, y)).to_vec()).unwrap();
    let mut of = piece(slab(0.0, 0.0), &vec![(450.0, 100.0, 30.0)], &[]);
    let plan = layout(&vec![(200.0, 140.0, 90.0)], &Vec::new(), &[Outline::from(half)]);
    let left = check(&of, &plan, &ShopKit::starting());
    let Some(Price::Whole(price)) = left[0].piece.price else { panic!("a price of the whole") };
    assert!((price.to_units() - 70.0).abs() < 1e-6, "{price:?}");
    assert_eq!(left[0].piece.face.zones.len(), 1, "half a knot");
    let knot = left[0].piece.face.zones[0].area.bounds();
    assert!(knot.low.x.abs() < 1e-6 && (knot.high.x - 30.0).abs() < 0.5, "{knot:?}");
    let Piece { form, thickness, ref place, ref face, .. } = left[0].piece;
    assert_eq!((form, thickness, place.as_str()), (Form::Offcut, of.thickness, "back wall"));
    assert_eq!(face.doubt, 0.004);
    of.price = Some(Price::BoardFoot(Money::units(9.0)));
    of.name = "é".repeat(LONGEST_TEXT);
    let left = leftovers(&of, &plan, &ShopKit::starting()).value;
    assert_eq!(left[0].piece.price, of.price, "a board foot costs what it did");
    assert_eq!(left[0].piece.name.chars().count(), LONGEST_TEXT);
}

/// A plank turned over about its length, with a knot through it that only the
/// far face shows.
fn two_faced() -> Piece {
    let mut of = piece(slab(0.0, 0.0), &vec![(100.0, 60.0, 20.0)], &[]);
    let mut far = of.face.clone();
    far.zones[0].area = round(620.0, 200.0, 15.0, 24);
    far.zones[0].through = true;
    far.grain.samples =
        vec![GrainSample { at: Point::new(600.0, 100.0), direction: Angle::degrees(12.0), sure: 1.0 }];
    let place = Place { at: Point::new(3.0, 281.0), turn: Angle::degrees(180.3), mirrored: true };
    let lies = Registered { place, miss: Length::mm(0.4), problem: None };
    let mark =
        |x: f64, y: f64| stock::SameMark { near: place.point(Point::new(x, y)), far: Point::new(x, y) };
    of.far_face = Some(FarFace { face: far, lies, marks: vec![mark(50.0, 50.0), mark(700.0, 240.0)] });
    of
}

fn right_side() -> Layout {
    let corners = [[480.0, 20.0], [880.0, 20.0], [880.0, 260.0], [480.0, 260.0]];
    let corners = Ring::new(corners.map(|[x, y]| Point::new(x, y)).to_vec()).unwrap();
    layout(&Vec::new(), &Vec::new(), &[Outline::from(corners)])
}

#[test]
fn a_far_face_is_carried_over_and_lies_as_it_did() {
    let of = two_faced();
    let found = leftovers(&of, &right_side(), &ShopKit::starting());
    assert_eq!(found.problems, []);
    let left = &found.value[0];
    let far = left.piece.far_face.as_ref().unwrap();
    let whole = of.seen_from_near().face.zones.last().unwrap().area.centroid();
    let seen = left.piece.seen_from_near().face.zones.last().unwrap().area.centroid();
    let back = Point::new(seen.x + left.near.low.x, seen.y + left.near.low.y);
    assert!(back.distance(whole).to_mm() < 1e-6, "{back:?} is not {whole:?}");
    assert!(far.face.outline.bounds().low.distance(Point::default()).to_mm() < 1e-9);
    assert_eq!(far.face.grain.samples.len(), 1);
    assert_eq!(far.marks.len(), 1, "the mark on it");
    let [mark] = far.marks[..] else { panic!("one mark") };
    assert!(far.lies.place.point(mark.far).distance(mark.near).to_mm() < 1e-6);
    let mut again = left.piece.clone();
    again.settle_through(&left.piece);
    assert_eq!(again, left.piece, "nothing follows from it that was not so");
    assert!(again.face_on(Side::Far).is_ok());
}

#[test]
fn a_far_face_that_may_lie_otherwise_leaves_its_through_faults() {
    let mut of = two_faced();
    of.far_face.as_mut().unwrap().lies.problem = Some(Problem::new("either way"));
    let found = leftovers(&of, &right_side(), &ShopKit::starting());
    assert!(found.problems[0].message.contains("far face"), "{:?}", found.problems);
    let left = &found.value[0].piece;
    assert!(left.far_face.is_none());
    assert_eq!(left.face.zones.len(), 1, "the knot of the far face comes through");
    assert_eq!(left.seen_from_near().face.zones, left.face.zones);
}

#[test]
fn a_sliver_along_the_edge_is_no_fault_and_a_crack_across_it_is() {
    let mut of = piece(slab(0.0, 0.0), &Vec::new(), &[]);
    let strip = |left: f64, low: f64, right: f64, high: f64| {
        let corners = [[left, low], [right, low], [right, high], [left, high]];
        Ring::new(corners.map(|[x, y]| Point::new(x, y)).to_vec()).unwrap()
    };
    let zone = |id, kind, area| Zone { id: ZoneId(id), kind, area, through: true, note: String::new() };
    // Both reach over the left end of the leftover at 480: one by 0.8 mm, one by all its length.
    of.face.zones = vec![
        zone(1, ZoneKind::Knot, strip(440.0, 60.0, 480.8, 110.0)),
        zone(2, ZoneKind::Check, strip(440.0, 150.0, 900.0, 150.7)),
    ];
    let left = leftovers(&of, &right_side(), &ShopKit::starting()).value;
    let kinds: Vec<ZoneKind> = left[0].piece.face.zones.iter().map(|it| it.kind).collect();
    assert_eq!(kinds, [ZoneKind::Check]);
}

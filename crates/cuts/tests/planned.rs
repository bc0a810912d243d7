//! Plans for parts that are known by hand, each sawn through by the judge.

use cuts::{BladeSize, Planned, Task, TroubleKind, Wanted};
use judge::{Bench, judge};
use measure::Length;
use outline::{Outline, Point, Ring};
use stock::{Bandsaw, BladeId, FaceKey, PartKey, PieceId, SawCutKind, SawLeg, SawWish, ShopKit, WantId};

const SPARE: Length = Length::inches(1.0 / 16.0);

fn key(copy: u32) -> PartKey {
    PartKey { want: WantId(1), copy }
}

fn shape(corners: &[[f64; 2]]) -> Outline {
    Ring::new(corners.iter().map(|it| Point::new(it[0], it[1])).collect()).unwrap().into()
}

fn bar(x: f64, y: f64, long: f64, high: f64) -> Outline {
    shape(&[[x, y], [x + long, y], [x + long, y + high], [x, y + high]])
}

fn disc(x: f64, y: f64, radius: f64) -> Outline {
    let at = |it: u32| {
        let turn = f64::from(it) / 180.0 * std::f64::consts::TAU;
        [x + radius * turn.cos(), y + radius * turn.sin()]
    };
    shape(&(0..180).map(at).collect::<Vec<_>>())
}

/// Arms of 60 mm with a square inside corner.
fn angle() -> Outline {
    shape(&[[0.0, 0.0], [200.0, 0.0], [200.0, 60.0], [60.0, 60.0], [60.0, 200.0], [0.0, 200.0]])
}

fn saw(throat: f64, blades: &[u32]) -> Bandsaw {
    let mut saw = ShopKit::starting().bandsaw;
    saw.throat = Length::mm(throat);
    saw.blades.retain(|it| blades.contains(&it.id.0));
    saw
}

fn task<'a>(wood: &'a Outline, parts: &'a [Outline], saw: &Bandsaw, wish: SawWish) -> Task<'a> {
    let wanted =
        parts.iter().zip(1..).map(|(outline, copy)| Wanted { part: key(copy), outline, blade: None });
    Task {
        face: FaceKey::Piece(PieceId(1)),
        wood,
        parts: wanted.collect(),
        faults: Vec::new(),
        throat: saw.throat,
        blades: saw.blades.iter().map(|it| BladeSize::new(it, saw)).collect(),
        widest_bit: Length::inches(2.125),
        spare: SPARE,
        wish,
        prefer: None,
        first: Vec::new(),
        starts: Vec::new(),
    }
}

/// Plans as the program does: what the judge refuses is planned otherwise, and
/// what comes back has stood.
fn planned(wood: &Outline, parts: &[Outline], saw: &Bandsaw) -> Planned {
    let keyed: Vec<(PartKey, &Outline)> = (1..).map(key).zip(parts).collect();
    let bench = Bench { wood, parts: &keyed, saw, thickness: Length::mm(20.0), spare: SPARE };
    let refused = |found: &Planned| {
        let refusal = judge(&bench, &found.plan).refusals.into_iter().find(|it| it.cut.is_some())?;
        found.plan.cuts[refusal.cut?].parts.first().copied()
    };
    let found = cuts::plan(&task(wood, parts, saw, SawWish::Quick), &refused);
    if found.troubles.is_empty() {
        assert_eq!(judge(&bench, &found.plan).refusals, []);
    }
    found
}

fn kinds(found: &Planned) -> Vec<SawCutKind> {
    found.plan.cuts.iter().map(|it| it.kind).collect()
}

fn trouble(found: &Planned) -> &TroubleKind {
    assert!(found.plan.cuts.is_empty(), "{:?}", found.plan.cuts);
    &found.troubles[0].kind
}

const ALL: [u32; 4] = [1, 2, 3, 4];

#[test]
fn a_disc_is_one_cut_with_the_widest_blade_that_turns_it() {
    let found = planned(&bar(0.0, 0.0, 200.0, 200.0), &[disc(100.0, 100.0, 70.0)], &saw(340.0, &ALL));
    assert_eq!(kinds(&found), [SawCutKind::Outline]);
    assert_eq!((found.least_cuts, found.plan.cuts[0].blade), (1, BladeId(3)), "3/8 in turns 1 7/16");
}

#[test]
fn a_square_has_a_way_out_at_every_corner() {
    let found = planned(&bar(0.0, 0.0, 260.0, 260.0), &[bar(30.0, 30.0, 200.0, 200.0)], &saw(340.0, &[3]));
    assert_eq!(found.least_cuts, 4);
    assert!(found.plan.cuts.iter().all(|it| it.kind == SawCutKind::Outline));
}

#[test]
fn in_a_square_inside_corner_the_blade_turns_in_a_hole() {
    let found = planned(&bar(-30.0, -30.0, 260.0, 260.0), &[angle()], &saw(340.0, &[2]));
    assert_eq!(found.plan.holes.len(), 1);
    let hole = found.plan.holes[0];
    // It touches both arms: its middle lies as far from each as it is wide to half.
    let radius = hole.diameter.to_mm() / 2.0;
    assert!((hole.at.x - 60.0 - radius).abs() < 0.1 && (hole.at.y - 60.0 - radius).abs() < 0.1, "{hole:?}");
    let turned = found.plan.cuts.iter().flat_map(|it| &it.legs).any(|it| matches!(it, SawLeg::Turned { .. }));
    assert!(turned);
}

#[test]
fn a_small_throat_takes_more_cuts_and_a_wide_one_no_trim() {
    let (wood, part) = (bar(0.0, 0.0, 900.0, 200.0), [disc(100.0, 100.0, 60.0)]);
    let wide = planned(&wood, &part, &saw(1000.0, &ALL));
    assert_eq!(kinds(&wide), [SawCutKind::Outline]);
    let small = planned(&wood, &part, &saw(230.0, &ALL));
    assert!(small.troubles.is_empty() && small.plan.cuts.len() > 1, "{:?}", kinds(&small));
    let wood = bar(0.0, 0.0, 900.0, 500.0);
    let part = [disc(450.0, 250.0, 60.0)];
    assert!(kinds(&planned(&wood, &part, &saw(180.0, &ALL))).contains(&SawCutKind::Trim));
}

#[test]
fn parts_side_by_side_are_parted_straight_and_interlocked_ones_by_a_curve() {
    let two = [disc(80.0, 100.0, 50.0), disc(220.0, 100.0, 50.0)];
    let found = planned(&bar(0.0, 0.0, 300.0, 200.0), &two, &saw(340.0, &ALL));
    assert_eq!(kinds(&found)[0], SawCutKind::Parting);
    assert_eq!(found.plan.cuts[0].sawn().count(), 2, "straight");
    // A disc that lies in the bay of an angle: every straight line meets one of them.
    let two = [angle(), disc(125.0, 125.0, 50.0)];
    let found = planned(&bar(-40.0, -40.0, 300.0, 300.0), &two, &saw(340.0, &ALL));
    assert!(found.troubles.is_empty(), "{:?}", found.troubles);
}

#[test]
fn where_the_column_is_in_the_way_the_wood_is_trimmed_around_parts_that_reach_into_one_another() {
    // A handle beside another's stem, at one end of a long plank.
    let handle = shape(&[
        [0.0, 0.0],
        [150.0, 0.0],
        [150.0, 60.0],
        [250.0, 60.0],
        [250.0, 90.0],
        [150.0, 90.0],
        [150.0, 150.0],
        [0.0, 150.0],
    ]);
    let stem = shape(&[
        [262.0, 0.0],
        [400.0, 0.0],
        [400.0, 150.0],
        [262.0, 150.0],
        [262.0, 50.0],
        [180.0, 50.0],
        [180.0, 20.0],
        [262.0, 20.0],
    ]);
    let (wood, two) = (bar(-30.0, -30.0, 1000.0, 210.0), [handle, stem]);
    let wide = planned(&wood, &two, &saw(1200.0, &ALL));
    assert!(wide.troubles.is_empty() && !kinds(&wide).contains(&SawCutKind::Trim), "{:?}", kinds(&wide));
    let found = planned(&wood, &two, &saw(300.0, &ALL));
    assert!(found.troubles.is_empty(), "{:?}", found.troubles);
    let first = &found.plan.cuts[0];
    assert_eq!((first.kind, first.parts.len()), (SawCutKind::Trim, 2), "{:?}", kinds(&found));
    // Smaller still, and neither comes out before the other.
    let small = planned(&wood, &two, &saw(280.0, &ALL));
    assert_eq!(*trouble(&small), TroubleKind::Crowded { column: true });
}

#[test]
fn a_long_row_of_parts_is_sawn_from_one_end() {
    let row: Vec<Outline> = (0..20).map(|it| disc(60.0 + 110.0 * f64::from(it), 60.0, 45.0)).collect();
    let found = planned(&bar(0.0, 0.0, 2220.0, 120.0), &row, &saw(340.0, &ALL));
    assert_eq!(found.troubles, []);
    assert_eq!(kinds(&found).iter().filter(|it| **it == SawCutKind::Parting).count(), 19);
}

#[test]
fn a_part_in_the_opening_of_another_does_not_go_with_the_waste() {
    let ring = |it: Outline| it.outer().clone();
    let frame = Outline::new(ring(bar(0.0, 0.0, 200.0, 200.0)), vec![ring(bar(40.0, 40.0, 120.0, 120.0))]);
    let two = [frame.unwrap(), disc(100.0, 100.0, 40.0)];
    let found = planned(&bar(-30.0, -30.0, 260.0, 260.0), &two, &saw(340.0, &ALL));
    let told: Vec<PartKey> = found.troubles.iter().map(|it| it.part).collect();
    assert_eq!(told, [key(1), key(2)], "{:?}", found.troubles);
}

#[test]
fn faults_in_the_way_are_trimmed_off_first() {
    let (wood, part) = (bar(0.0, 0.0, 400.0, 200.0), [disc(100.0, 100.0, 60.0)]);
    let saw = saw(1000.0, &ALL);
    let mut task = task(&wood, &part, &saw, SawWish::Quick);
    let runs = |found: &Planned, fault: &Outline| {
        found.plan.cuts.iter().any(|cut| {
            let way: Vec<Point> = cut.sawn().collect();
            way.windows(2)
                .any(|it| (0..50).any(|step| fault.contains(it[0].toward(it[1], f64::from(step) / 50.0))))
        })
    };
    let plain = cuts::plan(&task, &|_| None);
    let way: Vec<Point> = plain.plan.cuts[0].sawn().collect();
    let on_the_way_in = way[0].toward(way[1], 0.5);
    let fault = disc(on_the_way_in.x, on_the_way_in.y, 5.0);
    assert!(runs(&plain, &fault));
    task.faults = vec![fault.clone()];
    let found = cuts::plan(&task, &|_| None);
    assert!(!runs(&found, &fault), "{:?}", found.plan.cuts);
}

#[test]
fn what_cannot_be_sawn_is_told() {
    let (wood, part) = (bar(0.0, 0.0, 300.0, 200.0), [disc(100.0, 100.0, 60.0)]);
    assert_eq!(*trouble(&planned(&wood, &part, &saw(340.0, &[]))), TroubleKind::NoBlade);
    let two = [disc(70.0, 100.0, 50.0), disc(230.0, 100.0, 50.0)];
    assert_eq!(*trouble(&planned(&wood, &two, &saw(340.0, &[]))), TroubleKind::NoBlade, "not too close");
    let mut bound = saw(340.0, &ALL);
    bound.blades.iter_mut().for_each(|it| it.thickness = Some(it.kerf));
    assert_eq!(*trouble(&planned(&wood, &part, &bound)), TroubleKind::NoBlade, "kerf as wide as the band");
    let small = [angle()];
    let column = planned(&bar(-30.0, -30.0, 260.0, 260.0), &small, &saw(40.0, &ALL));
    assert!(matches!(trouble(&column), TroubleKind::Column { .. }), "{:?}", column.troubles);
    let same = [disc(100.0, 100.0, 60.0), disc(120.0, 100.0, 60.0)];
    assert_eq!(*trouble(&planned(&wood, &same, &saw(340.0, &ALL))), TroubleKind::Overlaps);
    // 20 mm across: a circle that 3/4 in does not turn anywhere.
    let coin = [disc(100.0, 100.0, 10.0)];
    assert_eq!(*trouble(&planned(&wood, &coin, &saw(340.0, &[4]))), TroubleKind::NoBlade);
}

#[test]
fn a_part_as_large_as_its_wood_is_left_alone_or_told() {
    let wood = bar(0.0, 0.0, 300.0, 200.0);
    let found =
        cuts::plan(&task(&wood, std::slice::from_ref(&wood), &saw(340.0, &ALL), SawWish::Quick), &|_| None);
    assert!(found.plan.cuts.len() <= 8, "{:?}", found.plan.cuts);
}

#[test]
fn a_refused_part_is_planned_otherwise_and_at_last_given_up() {
    let (wood, part) = (bar(0.0, 0.0, 200.0, 200.0), [disc(100.0, 100.0, 70.0)]);
    let saw = saw(340.0, &ALL);
    let task = task(&wood, &part, &saw, SawWish::Quick);
    let first = cuts::plan(&task, &|_| None).plan.cuts[0].blade;
    let not_first = |it: &Planned| (it.plan.cuts.first()?.blade == first).then_some(key(1));
    let other = cuts::plan(&task, &not_first).plan.cuts[0].blade;
    assert_ne!(first, other);
    let never = cuts::plan(&task, &|it| it.plan.cuts.first().map(|_| key(1)));
    assert_eq!(*trouble(&never), TroubleKind::Refused);
}

#[test]
fn wishes_are_followed() {
    let wood = bar(0.0, 0.0, 700.0, 300.0);
    let parts = [disc(150.0, 150.0, 100.0), disc(450.0, 150.0, 25.0)];
    let blades = |wish| {
        let saw = saw(400.0, &ALL);
        let found = cuts::plan(&task(&wood, &parts, &saw, wish), &|_| None);
        let mut blades: Vec<BladeId> =
            found.plan.cuts.iter().filter(|it| it.kind == SawCutKind::Outline).map(|it| it.blade).collect();
        blades.sort();
        blades.dedup();
        blades
    };
    assert_eq!(blades(SawWish::OneBlade).len(), 1);
    assert_eq!(blades(SawWish::Smooth).len(), 2, "each its widest");
}

//! What is laid lies as it may: judged on whole micrometres.

use std::sync::atomic::{AtomicU32, Ordering};

use measure::{Angle, Length};
use nest::{Asks, Bed, Kind, Live, Task, Turns, fill, find_room, shortest_strip};
use outline::{OnGrid, Outline, Place, Point, Ring, Segment};

fn block(long: f64, wide: f64) -> Outline {
    Outline::from(Ring::rectangle(Length::mm(long), Length::mm(wide)).unwrap())
}

fn kind(outline: Outline, turns: Turns, value: f64) -> Kind {
    Kind { outline, turns, mirrors: false, value, bears: 0, asks: Asks::default() }
}

/// A clock that ends after so many looks at it, so that no test hangs on time.
fn looks(most: u32) -> impl Fn() -> f64 + Sync {
    let seen = AtomicU32::new(0);
    move || f64::from(seen.fetch_add(1, Ordering::Relaxed)) / f64::from(most)
}

#[test]
fn squares_fill_a_plank_but_for_the_last_kerf() {
    // Three of 100 mm, two gaps of 3 mm and two edges of 4 mm: 314 mm.
    let count = |length: f64| {
        let beds = [Bed::new(&block(length, 108.5), Length::mm(4.0))];
        let kinds = [(kind(block(100.0, 100.0), Turns::At(vec![Angle::ZERO]), 1.0), 5)];
        let task = Task { kinds: &kinds, beds: &beds, may: &|_, _| true, gap: &|_, _| Length::mm(3.0) };
        fill(&task, &[], 1, &looks(600), &|_| {}).lying.len()
    };
    assert_eq!(count(314.6), 3);
    assert_eq!(count(313.8), 2);
}

#[test]
fn the_more_valuable_of_two_is_kept() {
    let beds = [Bed::new(&block(120.0, 120.0), Length::ZERO)];
    let square = |value: f64| (kind(block(100.0, 100.0), Turns::Any, value), 1);
    let kinds = [square(3.0), square(8.0), square(5.0)];
    let task = Task { kinds: &kinds, beds: &beds, may: &|_, _| true, gap: &|_, _| Length::ZERO };
    let found = fill(&task, &[], 1, &looks(300), &|_| {});
    assert_eq!((found.value, found.lying[0].kind), (8.0, 1));
}

#[test]
fn grain_and_bad_places_are_kept_to() {
    let grain = |at: Point| Angle::degrees(at.x / 20.0);
    let knot = Outline::from(
        Ring::new(
            [(180.0, 60.0), (230.0, 60.0), (230.0, 110.0), (180.0, 110.0)]
                .map(|(x, y)| Point::new(x, y))
                .to_vec(),
        )
        .unwrap(),
    );
    let wood = block(600.0, 200.0);
    let beds =
        [Bed::new(&wood, Length::mm(2.0)).with_bad(&knot, 1, Length::mm(2.0)).with_grain(Box::new(grain))];
    let line = Segment { from: Point::new(10.0, 20.0), to: Point::new(110.0, 20.0) };
    let turns = Turns::Grain(vec![(line, Angle::degrees(6.0))]);
    let shy = kind(block(120.0, 40.0), turns, 2.0);
    let bold = Kind { bears: 1, ..kind(block(60.0, 60.0), Turns::Any, 1.0) };
    let kinds = [(shy, 12), (bold, 12)];
    let task = Task { kinds: &kinds, beds: &beds, may: &|_, _| true, gap: &|_, _| Length::mm(3.0) };
    let found = fill(&task, &[], 7, &looks(1500), &|_| {});
    assert!(found.value >= 18.0, "worth {}", found.value);
    let outlines: Vec<Outline> =
        found.lying.iter().map(|it| it.place.outline(&kinds[it.kind].0.outline)).collect();
    for (number, it) in found.lying.iter().enumerate() {
        let grid = OnGrid::from(&outlines[number]);
        assert!(OnGrid::from(&wood).holds(&grid));
        assert!(OnGrid::from(&wood).lines_apart(&grid, Length::mm(2.0)));
        if it.kind == 0 {
            assert!(OnGrid::from(&knot).apart(&grid, Length::mm(2.0)));
            let lies = it.place.segment(line);
            let middle = lies.from.toward(lies.to, 0.5);
            assert!(grain(middle).between_lines(lies.direction()).to_degrees() <= 6.0 + 1e-6);
        }
        for other in &outlines[..number] {
            assert!(grid.apart(&OnGrid::from(other), Length::mm(3.0)));
        }
    }
}

fn square(low: [f64; 2], side: f64) -> Ring {
    let corners = [[0.0, 0.0], [side, 0.0], [side, side], [0.0, side]];
    Ring::new(corners.map(|[x, y]| Point::new(low[0] + x, low[1] + y)).to_vec()).unwrap()
}

#[test]
fn each_bad_place_is_kept_clear_by_its_own_way() {
    let wood = block(300.0, 108.0);
    let place = |clear: f64| {
        let knot = Outline::from(square([140.0, 44.0], 20.0));
        let bed = Bed::new(&wood, Length::mm(2.0)).with_bad(&knot, 1, Length::mm(clear));
        find_room(&kind(block(100.0, 100.0), Turns::At(vec![Angle::ZERO]), 1.0), &bed, 1, 20)
    };
    // 140 mm left of the knot, less 2 mm of edge and the thing's own 100.
    assert!(place(37.0).is_some(), "there are 38 mm for 37");
    assert!(place(39.0).is_none(), "there are 38 mm for 39");
}

#[test]
fn only_what_keeps_off_keeps_off() {
    // The knot lies where the foot of the thing has to come to lie.
    let wood = block(210.0, 110.0);
    let knot = Outline::from(square([20.0, 45.0], 20.0));
    let find = |class: u64| {
        let body = block(200.0, 100.0).minus(&[Outline::from(square([0.0, 20.0], 60.0))]);
        let asks = Asks { keeps_off: vec![(2, body.clone())], ..Asks::default() };
        let thing = Kind { asks, ..kind(block(200.0, 100.0), Turns::At(vec![Angle::ZERO]), 1.0) };
        let bed = Bed::new(&wood, Length::mm(2.0)).with_bad(&knot, class, Length::mm(2.0));
        find_room(&thing, &bed, 3, 20)
    };
    assert!(find(2).is_some(), "under the foot");
    assert!(find(1).is_none(), "nothing is let off of this class");
}

#[test]
fn what_is_to_be_shown_is_shown() {
    let area = square([400.0, 20.0], 30.0);
    let middle = Point::new(50.0, 30.0);
    let asks = Asks { shows: Some((middle, area.clone())), ..Asks::default() };
    let thing = Kind { asks, ..kind(block(100.0, 60.0), Turns::Any, 1.0) };
    for seed in 0..12 {
        let bed = Bed::new(&block(600.0, 110.0), Length::mm(2.0));
        let place = find_room(&thing, &bed, seed, 20).unwrap();
        assert!(area.contains(place.point(middle)), "{place:?}");
    }
    let far = Asks { shows: Some((middle, square([0.0, 0.0], 20.0))), ..Asks::default() };
    let bed = Bed::new(&block(600.0, 110.0), Length::mm(2.0));
    assert!(find_room(&Kind { asks: far, ..thing }, &bed, 1, 20).is_none(), "too near to the corner");
}

#[test]
fn a_live_edge_lies_along_the_woods_own() {
    let edge = |it: i32| Point::new(f64::from(it) * 10.0, 200.0 + 6.0 * (f64::from(it) * 0.4).sin());
    let mut corners = vec![Point::new(0.0, 0.0), Point::new(600.0, 0.0)];
    corners.extend((0..=60).rev().map(edge));
    let wood = Outline::from(Ring::new(corners).unwrap());
    // 200 mm by 130, the last 30 of which may be the wood's edge.
    let past: Vec<Point> = (0..=10).rev().map(|it| Point::new(f64::from(it) * 20.0, 130.0)).collect();
    let live = Live { core: block(200.0, 100.0), past: vec![past.clone()] };
    for mirrors in [false, true] {
        let asks = Asks { live: Some(live.clone()), ..Asks::default() };
        let thing = Kind { asks, mirrors, ..kind(block(200.0, 130.0), Turns::Any, 1.0) };
        let find = |seed| find_room(&thing, &Bed::with_live_edges(&wood, Length::mm(3.0)), seed, 40);
        let found: Vec<Place> = (0..10).filter_map(find).collect();
        assert!(found.len() >= 8, "{} of 10", found.len());
        for place in found {
            let core = place.outline(&live.core);
            assert!(OnGrid::from(&wood).holds(&OnGrid::from(&core)));
            assert!(OnGrid::from(&wood).lines_apart(&OnGrid::from(&core), Length::mm(2.99)));
            assert!(past.iter().all(|it| !wood.contains(place.point(*it))), "{place:?}");
        }
    }
    let asks = Asks { live: Some(live), ..Asks::default() };
    let thing = Kind { asks, ..kind(block(200.0, 130.0), Turns::Any, 1.0) };
    let sawn = Bed::new(&block(600.0, 200.0), Length::mm(3.0));
    assert!(find_room(&thing, &sawn, 1, 10).is_none(), "no bed for live edges");
}

#[test]
fn a_small_thing_lies_in_the_opening_of_a_large_one() {
    let frame = Outline::new(square([0.0, 0.0], 200.0), vec![square([30.0, 30.0], 140.0)]).unwrap();
    let fixed = Turns::At(vec![Angle::ZERO]);
    let kinds = [(kind(frame.clone(), fixed, 9.0), 1), (kind(block(100.0, 100.0), Turns::Any, 1.0), 1)];
    let beds = [Bed::new(&block(206.0, 206.0), Length::mm(2.0))];
    let task = Task { kinds: &kinds, beds: &beds, may: &|_, _| true, gap: &|_, _| Length::mm(3.0) };
    let found = fill(&task, &[], 1, &looks(2000), &|_| {});
    assert_eq!(found.lying.len(), 2, "the block lies in the frame");
    let lies: Vec<OnGrid> =
        found.lying.iter().map(|it| OnGrid::from(&it.place.outline(&kinds[it.kind].0.outline))).collect();
    assert!(lies[0].apart(&lies[1], Length::mm(3.0)));
}

#[test]
fn a_strip_holds_everything_and_is_short() {
    // Eight right triangles that make four squares in a row.
    let corners = [(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)].map(|(x, y)| Point::new(x, y));
    let triangle = Outline::from(Ring::new(corners.to_vec()).unwrap());
    let half = Turns::At(vec![Angle::ZERO, Angle::degrees(180.0)]);
    let kinds = [(kind(triangle.clone(), half, 1.0), 8)];
    let strip = shortest_strip(&kinds, Length::mm(100.1), 1, &looks(2500), &|_| {}).unwrap();
    assert!(strip.length < Length::mm(440.0), "{:?}", strip.length);
    let grids: Vec<OnGrid> = strip.places[0].iter().map(|it| OnGrid::from(&it.outline(&triangle))).collect();
    assert_eq!(grids.len(), 8);
    let frame = OnGrid::from(&Outline::from(Ring::rectangle(strip.length, Length::mm(100.1)).unwrap()));
    for (number, grid) in grids.iter().enumerate() {
        assert!(frame.holds(grid));
        assert!(grids[..number].iter().all(|other| grid.clear_of(other)));
    }
}

#[test]
fn what_is_wider_than_the_strip_is_refused() {
    let kinds = [(kind(block(100.0, 120.0), Turns::At(vec![Angle::ZERO]), 1.0), 2)];
    assert!(shortest_strip(&kinds, Length::mm(100.0), 1, &looks(500), &|_| {}).is_none());
}

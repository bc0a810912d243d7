//! What is laid lies as it may: judged on whole micrometres.

use std::sync::atomic::{AtomicU32, Ordering};

use measure::{Angle, Length};
use nest::{Bed, Kind, Task, Turns, fill, shortest_strip};
use outline::{OnGrid, Outline, Point, Ring, Segment};

fn block(long: f64, wide: f64) -> Outline {
    Outline::from(Ring::rectangle(Length::mm(long), Length::mm(wide)).unwrap())
}

fn kind(outline: Outline, turns: Turns, value: f64) -> Kind {
    Kind { outline, turns, mirrors: false, value, bears: 0 }
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
    let beds = [Bed::new(&wood, Length::mm(2.0)).with_bad(&knot, 1).with_grain(Box::new(grain))];
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

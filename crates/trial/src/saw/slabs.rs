//! Slabs with two knots and six parts laid on them, to be sawn whole.

use measure::Length;
use nest::{Asks, Bed, Kind, Task, Turns, fill_looking};
use outline::{Outline, Point, Ring};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::saw::shapes;

/// Parts on each slab.
const PARTS: usize = 6;

/// Between parts, and from them to the slab's edge: a kerf and room to steer,
/// millimetres.
const GAPS: [f64; 3] = [6.0, 10.0, 20.0];

/// Looks that the laying takes.
const LOOKS: u32 = 40;

/// Six parts on a slab.
pub(crate) struct Laid {
    pub(crate) name: String,
    pub(crate) slab: Outline,
    pub(crate) knots: Vec<Outline>,
    pub(crate) parts: Vec<Outline>,
}

/// The slab of a number: live edges, two knots, six of the study's shapes.
pub(crate) fn laid(seed: u64, number: u64) -> Laid {
    let mut rng = Pcg64Mcg::seed_from_u64(seed.wrapping_mul(7_777_777).wrapping_add(number));
    let slab = slab(&mut rng);
    let knots: Vec<Outline> = [0.3, 0.7].iter().map(|at| knot(*at, &mut rng)).collect();
    let gap = GAPS[(number % 3) as usize];
    let kinds: Vec<(Kind, usize)> = (0..PARTS as u64)
        .map(|it| {
            let outline = shapes::shape(seed + 17, number * 10 + it).part;
            let small = outline.scaled_to_length(Length::mm(rng.random_range(190.0..280.0)));
            (kind(small.unwrap_or(outline)), 1)
        })
        .collect();
    let bed = knots
        .iter()
        .fold(Bed::new(&slab, Length::mm(gap)), |bed, knot| bed.with_bad(knot, 1, Length::mm(gap)));
    let beds = [bed];
    let task = Task { kinds: &kinds, beds: &beds, may: &|_, _| true, gap: &|_, _| Length::mm(gap) };
    let filling = fill_looking(&task, &[], seed + number, LOOKS, &|| false);
    let parts = filling.lying.iter().map(|it| it.place.outline(&kinds[it.kind].0.outline)).collect();
    Laid { name: format!("slab-{number:02}"), slab, knots, parts }
}

fn kind(outline: Outline) -> Kind {
    let value = outline.area().to_mm2();
    Kind { outline, turns: Turns::Any, mirrors: false, value, bears: 0, asks: Asks::default() }
}

/// About 1050 by 430 mm with wavy edges.
fn slab(rng: &mut Pcg64Mcg) -> Outline {
    let (long, wide, phase) = (1050.0, 430.0, rng.random_range(0.0..6.0));
    let edge = |x: f64, side: f64| side * (wide / 2.0 + 8.0 * (x / 130.0 + phase).sin());
    let below = (0..=50).map(|it| f64::from(it) * long / 50.0).map(|x| Point::new(x, edge(x, -1.0)));
    let above = (0..=50).rev().map(|it| f64::from(it) * long / 50.0).map(|x| Point::new(x, edge(x, 1.0)));
    Outline::from(Ring::new(below.chain(above).collect()).expect("a slab is a ring"))
}

/// A knot about so far along the slab.
fn knot(share: f64, rng: &mut Pcg64Mcg) -> Outline {
    let (x, y) = (1050.0 * share + rng.random_range(-80.0..80.0), rng.random_range(-120.0..120.0));
    let (long, wide) = (rng.random_range(12.0..30.0), rng.random_range(10.0..20.0));
    let corner = |it: u32| {
        let angle = f64::from(it) / 24.0 * std::f64::consts::TAU;
        Point::new(x + long * angle.cos(), y + wide * angle.sin())
    };
    Outline::from(Ring::new((0..24).map(corner).collect()).expect("a knot is a ring"))
}

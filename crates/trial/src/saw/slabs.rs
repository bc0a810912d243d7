//! Slabs with two knots and six parts laid on them, to be sawn whole.

use std::path::Path;

use measure::{Length, Problem};
use nest::{Asks, Bed, Kind, Task, Turns, fill_looking};
use outline::{Outline, Point, Ring};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::saw::bench::{SAWS, saw, task};
use crate::saw::{picture, plan, shapes};

/// Parts on each slab.
const PARTS: usize = 6;

/// Between parts, and from them to the slab's edge: a kerf and room to steer,
/// millimetres.
const GAPS: [f64; 3] = [6.0, 10.0, 20.0];

/// Looks that the laying takes.
const LOOKS: u32 = 40;

/// Slabs of the study.
const COUNT: u64 = 36;

/// Six parts on a slab.
struct Laid {
    name: String,
    slab: Outline,
    knots: Vec<Outline>,
    parts: Vec<Outline>,
    /// How much lies between them, millimetres.
    gap: f64,
}

/// Plans and judges every slab whole: on how many of those whose parts lie a
/// hand's finger apart, or closer, all six are freed.
pub(crate) fn study(seed: u64, folder: &Path) -> Result<(), Problem> {
    let mut good = [0.0; GAPS.len()];
    let mut refused = 0;
    let mut ms = Vec::new();
    for number in 0..COUNT {
        let laid = laid(seed, number);
        let saw = saw((number / 3) as usize % SAWS);
        let parts: Vec<&Outline> = laid.parts.iter().collect();
        let task = cuts::Task { faults: laid.knots.clone(), ..task(&laid.slab, &parts, &saw) };
        let (planned, ruling, told) = plan(&task, &saw);
        let stands = work::refusal(&ruling, &planned).is_none();
        refused += u32::from(!stands);
        let is_whole = stands && planned.troubles.is_empty() && laid.parts.len() == PARTS;
        good[(number % 3) as usize] += f64::from(u8::from(is_whole));
        let took = (told.planning + told.judging).as_secs_f64() * 1e3;
        ms.push(took);
        println!(
            "{} {} parts {:.0} mm apart, {} cuts of at least {}, {took:.0} ms {}",
            laid.name,
            laid.parts.len(),
            laid.gap,
            planned.plan.cuts.len(),
            planned.least_cuts,
            planned.troubles.first().map_or(String::new(), |it| format!("{:?}", it.kind)),
        );
        if number < 3 {
            picture::plan(&folder.join(format!("{}.svg", laid.name)), &task, &planned.plan)?;
        }
    }
    ms.sort_by(f64::total_cmp);
    let each = COUNT as f64 / GAPS.len() as f64;
    for (gap, good) in GAPS.iter().zip(good) {
        println!("figure: saw.layouts_ok_pct_at_{gap:.0}_mm {:.1}", good / each * 100.0);
    }
    println!("figure: saw.layouts_ok_pct {:.1}", good.iter().sum::<f64>() / COUNT as f64 * 100.0);
    println!("figure: saw.layouts_refused {refused}");
    println!("figure: saw.layout_median_ms {:.0}", ms[ms.len() / 2]);
    Ok(())
}

/// The slab of a number: live edges, two knots, six of the study's shapes.
fn laid(seed: u64, number: u64) -> Laid {
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
    Laid { name: format!("slab-{number:02}"), slab, knots, parts, gap }
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

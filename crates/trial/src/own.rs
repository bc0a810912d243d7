//! A shop's own questions: how soon a layout is there, how long a rack is
//! looked through, and how the time grows with the parts.

use std::sync::Mutex;
use std::time::Instant;

use handbook::{FinishKey, GlueKey, SpeciesKey};
use jiff::civil::date;
use layout::{Config, lay_out, suits};
use measure::{Angle, Force, Length, Moisture, Problem, Temperature};
use nest::{Task, fill};
use outline::{Outline, Point, Ring, Segment};
use stock::*;

use crate::slab;

/// Pieces on the rack that is looked through.
const RACK: u32 = 500;

/// One part against a rack of 500 slabs and planks with knots, in seconds.
pub(crate) fn rack() -> Result<f64, Problem> {
    let pieces = (1..=RACK).map(|it| piece(it, 2 + it as usize % 14)).collect();
    let brief = brief(pieces, vec![leaf(1, 260.0, 110.0)], vec![want(1, 1, 1)]);
    let begun = Instant::now();
    let found = suits(&brief, WantId(1))?;
    let seconds = begun.elapsed().as_secs_f64();
    let told = found.suits.len() as u32 + found.more;
    println!("rack: {told} of {RACK} pieces suit, {} have no room, {seconds:.2} s", found.no_room);
    Ok(seconds)
}

/// Twelve parts on two slabs that are too small for all of them: seconds to the
/// first layout, and the worth laid after three seconds over that after sixty.
pub(crate) fn shop_case(seconds: f64) -> (f64, f64) {
    let patterns = vec![leaf(1, 300.0, 130.0), leaf(2, 220.0, 110.0), leaf(3, 170.0, 90.0)];
    let wants = vec![Want { worth: 3, ..want(1, 1, 4) }, Want { worth: 2, ..want(2, 2, 4) }, want(3, 3, 4)];
    let brief = brief(vec![piece(1, 12), piece(2, 14)], patterns, wants);
    let (first, soon) = laid(&brief, 3.0);
    let (_, late) = laid(&brief, seconds);
    println!(
        "shop case: first layout after {first:.2} s, worth {soon} after 3 s, {late} after {seconds:.0} s"
    );
    (first, f64::from(soon) / f64::from(late.max(1)))
}

/// Seconds to the first layout, and the worth of what lies after so many.
fn laid(brief: &Brief, seconds: f64) -> (f64, u32) {
    let begun = Instant::now();
    let first = Mutex::new(None);
    let note = |_: &Layout, _: f64| {
        if let Ok(mut first) = first.lock() {
            first.get_or_insert_with(|| begun.elapsed().as_secs_f64());
        }
    };
    let stop = || begun.elapsed().as_secs_f64() > seconds;
    let found =
        lay_out(brief, &Config { effort: (8.0 * seconds) as u32, ..Config::default() }, &note, &stop).value;
    let worth = found.placements.iter().map(|it| brief.want(it.part.want).map_or(0, |it| it.worth));
    let first = first.into_inner().ok().flatten().unwrap_or(f64::INFINITY);
    (first, worth.sum())
}

/// The exponent with which the time grows until 0.8 of what was cut from a slab
/// lies on it, from 10 parts to 200: the slope of the line of least squares
/// through the logarithms.
pub(crate) fn growth(seconds: f64) -> f64 {
    const PARTS: [usize; 5] = [10, 25, 50, 100, 200];
    const SHARE: f64 = 0.8;
    let rows: Vec<(f64, f64)> = PARTS
        .iter()
        .map(|&parts| {
            let instance = slab::instance(1, parts);
            let begun = Instant::now();
            let reached = Mutex::new(None);
            let crate::instance::Aim::Value { known, .. } = instance.aim else { return (0.0, 0.0) };
            let beds: Vec<nest::Bed> = instance.faces.iter().map(crate::instance::Face::bed).collect();
            let task =
                Task { kinds: &instance.kinds, beds: &beds, gap: &|_, _| instance.gap, may: &|_, _| true };
            let done = || match reached.lock().is_ok_and(|it| it.is_some()) {
                true => 1.0,
                false => begun.elapsed().as_secs_f64() / seconds,
            };
            fill(&task, &[], 1, &done, &|found| {
                if found.value >= SHARE * known
                    && let Ok(mut reached) = reached.lock()
                {
                    reached.get_or_insert_with(|| begun.elapsed().as_secs_f64());
                }
            });
            let seconds = reached.into_inner().ok().flatten().unwrap_or(f64::INFINITY);
            println!("growth: {parts} parts, {SHARE} of the worth after {seconds:.2} s");
            (parts as f64, seconds)
        })
        .collect();
    slope(&rows)
}

fn slope(rows: &[(f64, f64)]) -> f64 {
    let logs: Vec<(f64, f64)> = rows.iter().map(|(x, y)| (x.ln(), y.ln())).collect();
    let count = logs.len() as f64;
    let mean = |it: fn(&(f64, f64)) -> f64| logs.iter().map(it).sum::<f64>() / count;
    let (x, y) = (mean(|it| it.0), mean(|it| it.1));
    let along: f64 = logs.iter().map(|it| (it.0 - x) * (it.1 - y)).sum();
    along / logs.iter().map(|it| (it.0 - x).powi(2)).sum::<f64>()
}

/// A slab of its own for so many parts.
fn piece(id: u32, parts: usize) -> Piece {
    let (outline, knots) = slab::slab_of(u64::from(id), parts);
    let mut face = Face::rectangle(Length::mm(10.0), Length::mm(10.0)).expect("a face has sides");
    face.outline = outline;
    let zone = |(index, area): (usize, Outline)| Zone {
        id: ZoneId(index as u32 + 1),
        kind: ZoneKind::Knot,
        area: area.outer().clone(),
        through: true,
        note: String::new(),
    };
    face.zones = knots.into_iter().enumerate().map(zone).collect();
    Piece {
        id: PieceId(id),
        name: format!("slab {id}"),
        species: SpeciesKey::from("hard_maple"),
        form: Form::Slab,
        thickness: Length::mm(30.0),
        moisture: None,
        price: None,
        place: String::new(),
        face,
        far_face: None,
        sawn: None,
    }
}

/// A leaf-shaped board with a stem along x.
fn leaf(id: u32, length: f64, width: f64) -> Pattern {
    const CORNERS: u32 = 120;
    let spots = (0..CORNERS).map(|step| {
        let turn = Angle::degrees(f64::from(step) * 360.0 / f64::from(CORNERS));
        let taper = 1.0 - 0.65 * ((1.0 + turn.cos()) / 2.0).powi(3);
        Point::new(length / 2.0 * turn.cos(), width / 2.0 * turn.sin() * taper)
    });
    let axis = Segment { from: Point::new(length * 0.2, 0.0), to: Point::new(length * 0.48, 0.0) };
    let stem = FeatureKind::Stem { axis, within: Angle::degrees(15.0), load: Force::newtons(50.0) };
    Pattern {
        id: PatternId(id),
        name: format!("leaf {id}"),
        origin: Origin::Drawing { file: "drawn.svg".to_owned() },
        outline: Outline::from(Ring::new(spots.collect()).expect("a leaf is a ring")),
        features: vec![Feature { id: FeatureId(1), kind: stem }],
    }
}

fn want(id: u32, pattern: u32, count: u32) -> Want {
    Want::new(WantId(id), PatternId(pattern), count, Length::mm(20.0))
}

fn brief(pieces: Vec<Piece>, patterns: Vec<Pattern>, wants: Vec<Want>) -> Brief {
    let job = Job {
        id: JobId(1),
        name: "boards".to_owned(),
        wants,
        panels: Vec::new(),
        pieces: pieces.iter().map(|piece| piece.id).collect(),
        people: Vec::new(),
        due: date(2026, 12, 1),
        finish: FinishKey::from("tung_oil"),
        glue: GlueKey::from("pva_water_resistant"),
        home: Climate { temperature: Temperature::celsius(20.0), humidity: Moisture::percent(45.0) },
        choices: Choices::default(),
        seed: 1,
    };
    Brief { job, pieces, patterns, kit: ShopKit::starting(), today: date(2026, 10, 1) }
}

//! Plans made wrong on purpose, and others changed so that they stay right: what
//! the judge says of them. What is wrong is known by plain geometry, without the
//! judge and without the planner.

use judge::judge;
use measure::Length;
use outline::{Outline, Point};
use stock::{Bandsaw, BladeId, CutPlan, PartKey, SawCut, SawLeg, WantId};

use crate::saw::Sawn;
use crate::saw::bench::{bench, saw};

/// Shifted by so many millimetres all round a part, a way must enter it; by so
/// many it stays clear, since 1.59 mm are left on.
const SHIFTED: f64 = 3.5;
const NUDGED: f64 = 0.4;

/// The least and the most steps between a throat and the farthest reach, millimetres.
const SMALLER: f64 = 5.0;
const LARGER: f64 = 1.0;

/// Judges mutations of plans of one cut, so many of each kind.
pub(crate) fn study(sawn: &[Sawn], each: usize) {
    let plain = |it: &&Sawn| it.planned.plan.cuts.len() == 1 && it.planned.plan.holes.is_empty();
    let plans: Vec<&Sawn> = sawn.iter().filter(plain).collect();
    let (mut count, mut wrong) = (0, 0);
    let kinds: [(&str, Mutation); 8] = [
        ("shifted into the part", |it| Some((shifted(&it.planned.plan, SHIFTED), saw(it.on), false))),
        ("nudged", |it| Some((shifted(&it.planned.plan, NUDGED), saw(it.on), true))),
        ("blade far too wide", too_wide),
        ("blade narrower", narrower),
        ("ends too soon", |it| Some((shortened(&it.planned.plan), saw(it.on), false))),
        ("begins farther out", |it| Some((earlier(&it.planned.plan), saw(it.on), true))),
        ("throat too small", |it| Some((it.planned.plan.clone(), with_throat(it, -SMALLER), false))),
        ("throat just enough", |it| Some((it.planned.plan.clone(), with_throat(it, LARGER), true))),
    ];
    for (name, mutate) in kinds {
        let mut of_kind = 0;
        for (it, (plan, saw, is_right)) in plans.iter().filter_map(|it| Some((it, mutate(it)?))).take(each) {
            of_kind += 1;
            let parts = [(PartKey { want: WantId(1), copy: 1 }, &it.lying.part)];
            let ruling = judge(&bench(&it.lying.wood, &parts, &saw), &plan);
            if ruling.refusals.is_empty() != is_right {
                wrong += 1;
                println!("{name}: {} judged otherwise: {:?}", it.lying.name, ruling.refusals.first());
            }
        }
        count += of_kind;
    }
    println!("figure: saw.mutations {count}");
    println!("figure: saw.judge_wrong {wrong}");
}

/// A changed plan, the saw that it is sawn on, and whether it is right; none
/// where a plan cannot be changed so.
type Mutation = fn(&Sawn) -> Option<(CutPlan, Bandsaw, bool)>;

fn with_ways(plan: &CutPlan, change: impl Fn(Vec<Point>) -> Vec<Point>) -> CutPlan {
    let leg = |it: &SawLeg| match it {
        SawLeg::Sawn { way } => SawLeg::Sawn { way: change(way.clone()) },
        SawLeg::Turned { .. } => it.clone(),
    };
    let cut = |it: &SawCut| SawCut { legs: it.legs.iter().map(leg).collect(), ..it.clone() };
    CutPlan { cuts: plan.cuts.iter().map(cut).collect(), ..plan.clone() }
}

fn shifted(plan: &CutPlan, by: f64) -> CutPlan {
    with_ways(plan, |way| way.iter().map(|it| Point::new(it.x + by, it.y)).collect())
}

/// A fifth of the way is missing at its end.
fn shortened(plan: &CutPlan) -> CutPlan {
    with_ways(plan, |mut way| {
        way.truncate(way.len() * 4 / 5);
        way
    })
}

/// The way begins 15 mm farther out, straight on backwards.
fn earlier(plan: &CutPlan) -> CutPlan {
    with_ways(plan, |mut way| {
        let long = way[0].distance(way[1]).to_mm();
        let begin = way[1].toward(way[0], 1.0 + 15.0 / long);
        way.insert(0, begin);
        way
    })
}

/// With a blade whose chord in its own kerf, w² / (8 c), is three times as large
/// as the tightest circle through three places of the way a few millimetres apart.
fn too_wide(it: &Sawn) -> Option<(CutPlan, Bandsaw, bool)> {
    let saw = saw(it.on);
    let tightest = tightest(&it.planned.plan);
    let chord = |it: &stock::Blade| {
        let clear = it.kerf.to_mm() - saw.band(it).to_mm();
        it.width.to_mm() * it.width.to_mm() / (8.0 * clear)
    };
    let blade = saw.blades.iter().find(|it| chord(it) > 3.0 * tightest)?.id;
    Some((with_blade(&it.planned.plan, blade), saw.clone(), false))
}

/// With the next narrower blade, whose kerf is no wider.
fn narrower(it: &Sawn) -> Option<(CutPlan, Bandsaw, bool)> {
    let saw = saw(it.on);
    let used = it.planned.plan.cuts[0].blade;
    // Of a like kerf, so that what was clear stays clear.
    let blade = BladeId(used.0.checked_sub(1).filter(|it| *it > 0)?);
    Some((with_blade(&it.planned.plan, blade), saw, true))
}

fn with_blade(plan: &CutPlan, blade: BladeId) -> CutPlan {
    let cuts = plan.cuts.iter().map(|it| SawCut { blade, ..it.clone() });
    CutPlan { cuts: cuts.collect(), ..plan.clone() }
}

/// The radius of the tightest circle through places of a way that lie 8 mm apart.
fn tightest(plan: &CutPlan) -> f64 {
    let way = evenly(plan, 1.0);
    let circles = way.windows(17).map(|it| {
        let (a, b, c) = (it[0], it[8], it[16]);
        let area = ((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)).abs() / 2.0;
        let sides = a.distance(b).to_mm() * b.distance(c).to_mm() * c.distance(a).to_mm();
        sides / (4.0 * area.max(1e-9))
    });
    circles.fold(f64::INFINITY, f64::min)
}

/// Places along a way, so many millimetres apart.
fn evenly(plan: &CutPlan, step: f64) -> Vec<Point> {
    let way: Vec<Point> = plan.cuts[0].sawn().collect();
    let mut found = Vec::new();
    for pair in way.windows(2) {
        let count = (pair[0].distance(pair[1]).to_mm() / step).ceil().max(1.0);
        found.extend((0..count as usize).map(|it| pair[0].toward(pair[1], it as f64 / count)));
    }
    found
}

/// The same saw with a throat that is so much more than the wood's reach.
fn with_throat(it: &Sawn, by: f64) -> Bandsaw {
    let reach = reach(&it.planned.plan, &it.lying.wood);
    Bandsaw { throat: Length::mm(reach + by), ..saw(it.on) }
}

/// How far the whole wood reaches to the right of the way, at the most: in a
/// plan of one cut nothing falls before its end.
fn reach(plan: &CutPlan, wood: &Outline) -> f64 {
    let way = evenly(plan, 0.5);
    let aside = way.windows(2).flat_map(|it| {
        let (dx, dy) = (it[1].x - it[0].x, it[1].y - it[0].y);
        let long = dx.hypot(dy).max(1e-9);
        let corners = wood.outer().corners().iter();
        corners.map(move |corner| ((corner.x - it[0].x) * dy - (corner.y - it[0].y) * dx) / long)
    });
    aside.fold(0.0, f64::max)
}

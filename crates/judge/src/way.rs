//! The way of one cut, looked through before anything is sawn.

use measure::Length;
use outline::{Point, Segment};
use stock::{SawCut, SawLeg};

use crate::flat::{Heading, moved, turned};

/// A leg that can be sawn.
#[derive(Clone, Debug)]
pub(crate) enum Leg {
    /// Points, no two neighbours the same.
    Sawn(Vec<Point>),
    /// About a point, by radians.
    Turned(Point, f64),
}

/// Where a way is none, and how wide the gap is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gap {
    pub(crate) at: Point,
    pub(crate) wide: f64,
}

/// Legs join if they end and begin as near to each other as this, in millimetres.
pub(crate) const JOINT: f64 = 0.2;

/// After a turn a leg goes on as it points, within 5°.
const JOINT_TURN: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Points nearer to each other than this, in millimetres, are one.
const SAME: f64 = 0.01;

/// Nothing is turned more than twice round.
const MOST_TURN: f64 = 4.0 * std::f64::consts::PI;

/// The legs of a cut.
///
/// # Errors
/// Where they are no way.
pub(crate) fn legs(cut: &SawCut) -> Result<Vec<Leg>, Gap> {
    let mut legs = Vec::new();
    // Where the teeth stand and, after a turn, where they point.
    let mut stands: Option<(Point, Heading, bool)> = None;
    for leg in &cut.legs {
        match leg {
            SawLeg::Sawn { way } => {
                let way = sound(way)?;
                let (first, last) = (way[0], way[way.len() - 1]);
                let heading =
                    |a: usize, b: usize| Heading::of(way[a], way[b]).ok_or(Gap { at: way[a], wide: 0.0 });
                if let Some((teeth, pointing, has_turned)) = stands {
                    let wide = teeth.distance(first).to_mm();
                    let bends = has_turned && pointing.turn_to(heading(0, 1)?).abs() > JOINT_TURN;
                    if wide > JOINT || bends {
                        return Err(Gap { at: first, wide });
                    }
                }
                stands = Some((last, heading(way.len() - 2, way.len() - 1)?, false));
                legs.push(Leg::Sawn(way));
            }
            SawLeg::Turned { about, by } => {
                let by = by.to_radians();
                let Some((teeth, pointing, _)) = stands else {
                    return Err(Gap { at: sound_point(*about), wide: 0.0 });
                };
                if !is_sound(*about) || by.abs() > MOST_TURN {
                    return Err(Gap { at: teeth, wide: 0.0 });
                }
                stands = Some((turned(teeth, *about, by), pointing.turned(by), true));
                legs.push(Leg::Turned(*about, by));
            }
        }
    }
    let sawn = legs.iter().any(|it| matches!(it, Leg::Sawn(_)));
    if sawn { Ok(legs) } else { Err(Gap { at: Point::default(), wide: 0.0 }) }
}

/// The points of a way that are apart.
fn sound(way: &[Point]) -> Result<Vec<Point>, Gap> {
    let mut kept: Vec<Point> = Vec::with_capacity(way.len());
    for &it in way {
        if !is_sound(it) {
            return Err(Gap { at: kept.last().copied().unwrap_or_default(), wide: 0.0 });
        }
        if kept.last().is_none_or(|last| last.distance(it).to_mm() > SAME) {
            kept.push(it);
        }
    }
    let at = kept.first().copied().unwrap_or_default();
    if kept.len() < 2 { Err(Gap { at, wide: 0.0 }) } else { Ok(kept) }
}

fn is_sound(it: Point) -> bool {
    let limit = Point::FARTHEST.to_mm();
    it.x.abs() <= limit && it.y.abs() <= limit
}

fn sound_point(it: Point) -> Point {
    if is_sound(it) { it } else { Point::default() }
}

/// One small step of the blade.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    pub(crate) teeth: Point,
    pub(crate) heading: Heading,
    pub(crate) does: Does,
}

/// What the teeth do in a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Does {
    /// A leg begins: the kerf has a flat end here.
    Begins,
    /// The way takes another heading, by so many radians.
    Bends(f64),
    /// The straight stretch has become so long, in millimetres.
    Saws(f64),
    /// The work is turned: nothing is sawn.
    Turns,
}

/// The way in steps that are no longer than one given in millimetres, for a
/// blade that reaches so far back.
pub(crate) fn steps(legs: &[Leg], longest: f64, width: f64) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    for leg in legs {
        match leg {
            Leg::Sawn(way) => way.windows(2).enumerate().for_each(|(index, pair)| {
                let Some(heading) = Heading::of(pair[0], pair[1]) else { return };
                let bent =
                    steps.last().filter(|it| it.does != Does::Turns).map(|it| it.heading.turn_to(heading));
                let goes_on = index > 0 || steps.last().is_some_and(|it| it.teeth == pair[0]);
                let does = bent.filter(|_| goes_on).map_or(Does::Begins, Does::Bends);
                steps.push(Step { teeth: pair[0], heading, does });
                let long = pair[0].distance(pair[1]).to_mm();
                let count = (long / longest).ceil() as usize;
                steps.extend((1..=count).map(|it| {
                    let gone = long * it as f64 / count as f64;
                    Step { teeth: moved(pair[0], heading, gone), heading, does: Does::Saws(gone) }
                }));
            }),
            &Leg::Turned(about, by) => {
                let Some(&Step { teeth, heading, .. }) = steps.last() else { continue };
                let swing = by.abs() * (about.distance(teeth).to_mm() + width);
                let count = (swing / (longest / 2.0)).ceil() as usize;
                steps.extend((1..=count).map(|it| {
                    let by = by * it as f64 / count as f64;
                    Step { teeth: turned(teeth, about, by), heading: heading.turned(by), does: Does::Turns }
                }));
            }
        }
    }
    steps
}

/// How far the legs' points lie from the straight line between their ends, at
/// the most, and where.
pub(crate) fn bend(legs: &[Leg]) -> (Length, Point) {
    let points = || legs.iter().flat_map(|leg| if let Leg::Sawn(way) = leg { way.as_slice() } else { &[] });
    let (Some(&from), Some(&to)) = (points().next(), points().last()) else { return Default::default() };
    let line = Segment { from, to };
    points().fold((Length::ZERO, from), |most, &it| {
        let off = line.distance(it);
        if off > most.0 { (off, it) } else { most }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Angle;
    use stock::{BladeId, SawCutKind};

    fn sawn(points: &[[f64; 2]]) -> SawLeg {
        SawLeg::Sawn { way: points.iter().map(|&[x, y]| Point::new(x, y)).collect() }
    }

    fn cut(legs: Vec<SawLeg>) -> SawCut {
        SawCut { kind: SawCutKind::Trim, parts: Vec::new(), blade: BladeId(1), legs }
    }

    #[test]
    fn legs_join_by_place_and_after_a_turn_by_heading() {
        let into = || sawn(&[[0.0, 0.0], [10.0, 0.0]]);
        let turn = || SawLeg::Turned { about: Point::new(7.0, 0.0), by: Angle::degrees(90.0) };
        assert!(legs(&cut(vec![into(), sawn(&[[10.1, 0.0], [10.0, 9.0]])])).is_ok());
        assert!(legs(&cut(vec![into(), sawn(&[[11.0, 0.0], [10.0, 9.0]])])).is_err());
        assert!(legs(&cut(vec![into(), turn(), sawn(&[[7.0, 3.0], [7.0, 9.0]])])).is_ok());
        assert!(legs(&cut(vec![into(), turn(), sawn(&[[7.0, 3.0], [9.0, 9.0]])])).is_err());
    }

    #[test]
    fn what_is_no_way_is_told() {
        assert!(legs(&cut(Vec::new())).is_err());
        assert!(legs(&cut(vec![sawn(&[[1.0, 1.0], [1.0, 1.0]])])).is_err());
        assert!(legs(&cut(vec![sawn(&[[1.0, 1.0], [f64::NAN, 1.0]])])).is_err());
        assert!(legs(&cut(vec![sawn(&[[1.0, 1.0], [1e300, 1.0]])])).is_err());
        let turn = SawLeg::Turned { about: Point::new(f64::INFINITY, 0.0), by: Angle::degrees(9.0) };
        assert!(legs(&cut(vec![turn])).is_err());
    }

    #[test]
    fn a_bend_is_measured_from_end_to_end() {
        let found = legs(&cut(vec![sawn(&[[0.0, 0.0], [5.0, 0.7], [10.0, 0.0]])])).unwrap();
        assert_eq!(bend(&found), (Length::mm(0.7), Point::new(5.0, 0.7)));
    }
}

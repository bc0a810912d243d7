//! Corners of a traced line: found, laid on it, and made sharp again.

use measure::{Angle, Problem};

use crate::mirror::{Axis, Half};
use crate::stretch::{End, Stretch};
use crate::{Point, Ring, Segment};

/// A place named by a person may lie this share of the line's size beside it.
const BESIDE: f64 = 0.05;

/// Two corners nearer than this share of the way along are one.
const SAME_CORNER: f64 = 0.004;

/// A picture rounds a corner within this many times what the line may stray;
/// what lies beyond, as far again and again, tells where it was.
const ROUNDED: f64 = 1.5;
const TELLING: f64 = 6.0;

/// Two sides that turn by less than this have no corner to be made sharp.
const FLAT: Angle = Angle::degrees(10.0);

/// Corners are offered where the line turns by more than this.
const SHARP: Angle = Angle::degrees(60.0);

/// Within this share of the way round: 5 mm on a board's outline.
const TURN_WITHIN: f64 = 0.006;

/// Points that corners are looked for at.
const LOOKED_AT: usize = 1500;

/// The most corners that are offered, sharpest first.
const MOST_OFFERED: usize = 24;

/// A traced line, or the half of a symmetric one, before its corners are kept.
pub(crate) struct Drawn {
    /// Chords; of a closed line the first point is the last one, too.
    line: Vec<Point>,
    axis: Option<Axis>,
}

/// A line in stretches, and the corners between them.
pub(crate) struct Cornered {
    pub(crate) stretches: Vec<Stretch>,
    pub(crate) tips: Vec<Point>,
}

impl Ring {
    /// Where the line turns sharply, in order along it: corners to be offered.
    pub fn sharp_places(&self) -> Vec<Point> {
        let round = self.evenly(LOOKED_AT);
        let within = (TURN_WITHIN * LOOKED_AT as f64) as usize;
        let turn = |index: usize| {
            let (back, ahead) = ((index + LOOKED_AT - within) % LOOKED_AT, (index + within) % LOOKED_AT);
            let turn = round[index].direction(round[ahead]) - round[back].direction(round[index]);
            let turn = turn.to_degrees().rem_euclid(360.0);
            turn.min(360.0 - turn)
        };
        let turns: Vec<f64> = (0..LOOKED_AT).map(turn).collect();
        let is_peak = |index: &usize| {
            let near = (1..=2 * within).flat_map(|off| [LOOKED_AT - off, off]);
            let mut near = near.map(|off| (index + off) % LOOKED_AT);
            // Of two that turn alike the first is taken.
            let sharper =
                |it: usize| turns[it] > turns[*index] || (turns[it] == turns[*index] && it < *index);
            turns[*index] > SHARP.to_degrees() && !near.any(sharper)
        };
        let mut found: Vec<usize> = (0..LOOKED_AT).filter(is_peak).collect();
        found.sort_by(|a, b| turns[*b].total_cmp(&turns[*a]));
        found.truncate(MOST_OFFERED);
        found.sort_unstable();
        found.into_iter().map(|index| round[index]).collect()
    }
}

impl Drawn {
    pub(crate) fn round(ring: &Ring) -> Drawn {
        let mut line = ring.corners().to_vec();
        line.push(line[0]);
        Drawn { line, axis: None }
    }

    pub(crate) fn half(half: &Half) -> Drawn {
        Drawn { line: half.points.clone(), axis: Some(half.axis) }
    }

    /// Parted at the corners, each made sharp by where its sides point, no
    /// farther than `stray` from where it was named on the line.
    ///
    /// # Errors
    /// A corner far from the line.
    pub(crate) fn cornered(&self, corners: &[Point], step: f64, stray: f64) -> Result<Cornered, Problem> {
        let ways = self.ways(corners)?;
        Ok(match self.axis {
            Some(axis) => self.half_cornered(axis, &ways, step, stray),
            None if ways.is_empty() => {
                let whole = Stretch::evenly(&self.line, step, End::Round, End::Round);
                Cornered { stretches: vec![whole], tips: Vec::new() }
            }
            None => self.round_cornered(&ways, step, stray),
        })
    }

    fn round_cornered(&self, ways: &[f64], step: f64, stray: f64) -> Cornered {
        let length = length(&self.line);
        let next = ways.iter().skip(1).copied().chain([ways[0] + length]);
        let lines: Vec<Vec<Point>> =
            ways.iter().zip(next).map(|(from, to)| part(&self.line, *from, to)).collect();
        let before = lines.iter().cycle().skip(lines.len() - 1);
        let tips: Vec<Point> =
            lines.iter().zip(before).map(|(line, before)| tip(before, line, stray)).collect();
        let ends = lines.iter().zip(&tips).zip(tips.iter().cycle().skip(1));
        let stretches = ends.map(|((line, from), to)| {
            Stretch::evenly(&between(line, Some(*from), Some(*to), stray), step, End::Corner, End::Corner)
        });
        Cornered { stretches: stretches.collect(), tips }
    }

    fn half_cornered(&self, axis: Axis, ways: &[f64], step: f64, stray: f64) -> Cornered {
        let length = length(&self.line);
        let near = length * SAME_CORNER * 2.0;
        let inner = ways.iter().copied().filter(|it| *it > near && *it < length - near);
        let bounds: Vec<f64> = [0.0].into_iter().chain(inner).chain([length]).collect();
        let lines: Vec<Vec<Point>> = bounds.windows(2).map(|it| part(&self.line, it[0], it[1])).collect();
        let image =
            |line: &Vec<Point>| -> Vec<Point> { line.iter().rev().map(|it| axis.mirrored(*it)).collect() };
        let (first, last) = (&lines[0], &lines[lines.len() - 1]);
        let mut tips =
            vec![ways.iter().any(|it| *it <= near).then(|| axis.foot(tip(&image(first), first, stray)))];
        tips.extend(lines.windows(2).map(|it| Some(tip(&it[0], &it[1], stray))));
        let at_last = ways.iter().any(|it| *it >= length - near);
        tips.push(at_last.then(|| axis.foot(tip(last, &image(last), stray))));
        let end = |tip: Option<Point>| if tip.is_some() { End::Corner } else { End::Mirrored(axis) };
        let stretches = lines.iter().zip(tips.windows(2)).map(|(line, tips)| {
            Stretch::evenly(&between(line, tips[0], tips[1], stray), step, end(tips[0]), end(tips[1]))
        });
        let stretches = stretches.collect();
        let own: Vec<Point> = tips.into_iter().flatten().collect();
        let images = own
            .iter()
            .map(|it| axis.mirrored(*it))
            .filter(|it| own.iter().all(|own| own.distance(*it).to_mm() > 1e-6));
        let tips = own.iter().copied().chain(images).collect();
        Cornered { stretches, tips }
    }

    /// How far along the line each of these places lies, in millimetres, in order.
    fn ways(&self, corners: &[Point]) -> Result<Vec<f64>, Problem> {
        let most = length(&self.line) * BESIDE;
        let mut found = Vec::new();
        for &corner in corners {
            let image = self.axis.map(|it| it.mirrored(corner));
            let all = [corner].into_iter().chain(image).map(|it| way_to(&self.line, it));
            let (way, off) = all.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0.0, f64::INFINITY));
            if off > most {
                let message =
                    format!("the corner at {:.1}, {:.1} mm is {off:.1} mm from the line", corner.x, corner.y);
                return Err(Problem::new(message).hint("choose a corner on the line"));
            }
            found.push(way);
        }
        let round = length(&self.line);
        found.sort_by(f64::total_cmp);
        found.dedup_by(|b, a| *b - *a < round * SAME_CORNER);
        if self.axis.is_none()
            && found.len() > 1
            && found[0] + round - found[found.len() - 1] < round * SAME_CORNER
        {
            found.pop();
        }
        Ok(found)
    }
}

fn length(line: &[Point]) -> f64 {
    line.windows(2).map(|it| it[0].distance(it[1]).to_mm()).sum()
}

/// How far along a line its nearest place to a point lies, and how far off, in millimetres.
fn way_to(line: &[Point], point: Point) -> (f64, f64) {
    let (mut best, mut way) = ((0.0, f64::INFINITY), 0.0);
    for pair in line.windows(2) {
        let near = Segment { from: pair[0], to: pair[1] }.nearest(point);
        let off = near.distance(point).to_mm();
        if off < best.1 {
            best = (way + pair[0].distance(near).to_mm(), off);
        }
        way += pair[0].distance(pair[1]).to_mm();
    }
    best
}

/// The chords from one way along a line to another; past the end of a closed
/// line they go on at its start.
fn part(line: &[Point], from: f64, to: f64) -> Vec<Point> {
    let (mut points, mut way) = (Vec::new(), 0.0);
    for pair in line.windows(2).chain(line.windows(2)) {
        let side = pair[0].distance(pair[1]).to_mm();
        let at = |it: f64| pair[0].toward(pair[1], ((it - way) / side).clamp(0.0, 1.0));
        if points.is_empty() && way + side > from {
            points.push(at(from));
        }
        if !points.is_empty() {
            points.push(at(to));
        }
        way += side;
        if way >= to {
            break;
        }
    }
    points.dedup();
    points
}

/// Where two sides that a picture has rounded would meet, no farther than `stray`
/// from where they do meet.
fn tip(before: &[Point], after: &[Point], stray: f64) -> Point {
    let at = after[0];
    let back: Vec<Point> = before.iter().rev().copied().collect();
    let (Some(one), Some(other)) = (side(&back, stray), side(after, stray)) else { return at };
    let (from, to) = (one.direction(), other.direction());
    let cross = (to - from).sin();
    if cross.abs() < FLAT.sin() {
        return at;
    }
    let (dx, dy) = (other.from.x - one.from.x, other.from.y - one.from.y);
    let ahead = (dx * to.sin() - dy * to.cos()) / cross;
    let met = Point::new(one.from.x + ahead * from.cos(), one.from.y + ahead * from.sin());
    let way = at.distance(met).to_mm();
    if way > stray { at.toward(met, stray / way) } else { met }
}

/// The straight line that a side follows beyond what was rounded of it; `None` for a short one.
fn side(line: &[Point], stray: f64) -> Option<Segment> {
    let whole = length(line);
    let (from, to) = (ROUNDED * stray, (TELLING * stray).min(whole / 2.0));
    (to > from * 1.5).then(|| {
        let at = |way: f64| part(line, way, way + stray * 0.01)[0];
        let (a, b) = (at(from), at(to));
        let middle = at((from + to) / 2.0);
        // The tangent of the parabola through three points, at the end near the corner.
        let ahead = Point::new(4.0 * middle.x - 3.0 * a.x - b.x, 4.0 * middle.y - 3.0 * a.y - b.y);
        Segment { from: a, to: Point::new(a.x + ahead.x, a.y + ahead.y) }
    })
}

/// A line with what was rounded of it at either end made straight to its corner.
fn between(line: &[Point], from: Option<Point>, to: Option<Point>, stray: f64) -> Vec<Point> {
    let whole = length(line);
    let rounded = (ROUNDED * stray).min(whole / 4.0);
    let start = if from.is_some() { rounded } else { 0.0 };
    let end = if to.is_some() { whole - rounded } else { whole };
    let inner = part(line, start, end);
    from.into_iter().chain(inner).chain(to).collect()
}

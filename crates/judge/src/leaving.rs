//! Whether the blade can get to where it stands, and away from there.

use std::f64::consts::PI;

use crate::blade::{Body, Stance};
use crate::flat::{Heading, hull, moved};
use crate::rows::{Rows, Span, strip};

/// A piece is looked at for whether it can be drawn off in so many directions.
const DIRECTIONS: usize = 48;

/// Farther than across any wood that is judged, in millimetres.
const FAR: f64 = 12_000.0;

/// A side may graze the wood by this, in millimetres, as the rows know it.
const GRAZE: f64 = 0.1;

/// Room to turn has to be found within so many widths of the blade.
const NEAR: f64 = 2.0;

/// Whether a piece of wood and the blade can part: the piece is drawn off
/// straight, in whatever direction, or it has room for the blade to turn and a
/// way from there to the outside that is as wide as the band.
pub(crate) fn can_part(piece: &Rows, body: &Body, stance: Stance) -> bool {
    if stands_beside(piece, body, stance) {
        return true;
    }
    let turns = (0..DIRECTIONS).map(|it| it as f64 * 2.0 * PI / DIRECTIONS as f64);
    let mut directions = turns.map(|by| stance.heading.turned(stance.skew + by));
    directions.any(|it| is_clear(piece, body, stance, it)) || finds_out(piece, body, stance)
}

/// Whether all of the blade is on the far side of one edge of the convex line
/// round the piece.
fn stands_beside(piece: &Rows, body: &Body, stance: Stance) -> bool {
    let ends = [stance.middle(0.0), stance.middle(body.width)];
    let round = piece.hull();
    (0..round.len()).any(|index| {
        let (from, to) = (round[index], round[(index + 1) % round.len()]);
        let Some(edge) = Heading::of(from, to) else { return false };
        ends.iter().all(|&it| edge.right().along(from, it) > body.kerf)
    })
}

fn is_clear(piece: &Rows, body: &Body, stance: Stance, toward: Heading) -> bool {
    let half = (body.band / 2.0 - GRAZE / 2.0).max(0.01);
    let here = strip(stance.middle(body.width), stance.heading.turned(stance.skew), body.width, half);
    let swept = hull(here.iter().flat_map(|&it| [it, moved(it, toward, FAR)]).collect());
    piece.most_of(&swept) <= GRAZE && is_clear_between_rows(piece, body, stance, toward)
}

/// A band that goes along the rows can lie between two of them: its middle goes
/// by the nearest.
fn is_clear_between_rows(piece: &Rows, body: &Body, stance: Stance, toward: Heading) -> bool {
    let from = stance.middle(body.width / 2.0);
    let step = piece.ruled.pitch;
    let far = piece.hull().iter().map(|it| it.distance(from).to_mm()).fold(0.0, f64::max);
    (0..(far / step) as usize).all(|it| !piece.cover(moved(from, toward, it as f64 * step)))
}

/// Through kerfs and openings, with a turn on the spot.
fn finds_out(piece: &Rows, body: &Body, stance: Stance) -> bool {
    let turning = body.width.hypot(body.kerf) / 2.0;
    let free = piece.around(2.0 * turning + NEAR * body.width);
    let ways = free.narrowed((body.band / 2.0 - GRAZE / 2.0).max(0.0)).pieces();
    let stands =
        |it: &&Rows| (0..=4).any(|share| it.cover(stance.middle(body.width * f64::from(share) / 4.0)));
    // What lies round the piece begins with the very first span of the first row.
    let Some(out) = ways.first().filter(stands) else { return false };
    let from = stance.middle(body.width / 2.0);
    let is_near = |y: f64, span: Span| {
        let off = (span.from - from.x).max(from.x - span.to).max(0.0);
        off.hypot(y - from.y) <= NEAR * body.width
    };
    let rooms = free.narrowed(turning);
    rooms.each().any(|(row, spans)| {
        let y = rooms.ruled.height(row);
        let joined = |span: &Span| out.row(row).iter().any(|it| it.common(*span) > 0.0);
        spans.iter().any(|span| is_near(y, *span) && joined(span))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rows::Ruled;
    use outline::{Point, Ring};

    fn body() -> Body {
        Body::new(6.35, 0.36, 1.07)
    }

    fn standing(x: f64, y: f64, heading: Heading) -> Stance {
        Stance { teeth: Point::new(x, y), heading, skew: 0.0, play: 0.0 }
    }

    fn square(holes: &[(f64, f64, f64)]) -> Rows {
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)];
        let ring = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap();
        let mut rows = Rows::of(Ruled::over(ring.bounds(), 0.43), std::iter::once(&ring));
        holes.iter().for_each(|&(x, y, radius)| rows.take_disc(Point::new(x, y), radius));
        rows
    }

    const EAST: Heading = Heading { x: 1.0, y: 0.0 };

    #[test]
    fn beside_the_wood_and_in_a_straight_kerf_it_can() {
        let mut rows = square(&[]);
        assert!(can_part(&rows, &body(), standing(120.0, 50.0, EAST)));
        rows.take(&strip(Point::new(-5.0, 50.0), EAST, 60.0, 0.53));
        assert!(can_part(&rows, &body(), standing(54.0, 50.0, EAST)));
    }

    #[test]
    fn in_a_closed_hole_it_cannot() {
        let rows = square(&[(50.0, 50.0, 20.0)]);
        assert!(!can_part(&rows, &body(), standing(50.0, 50.0, EAST)));
    }

    #[test]
    fn out_of_a_hole_it_needs_a_slit_and_room_to_turn() {
        let slit = [(80.0, 45.0), (80.0, 46.07), (60.0, 46.07), (60.0, 101.0), (58.93, 101.0), (58.93, 45.0)];
        let slit = |rows: &mut Rows| {
            let points = slit.map(|(x, y)| Point::new(x, y));
            rows.take(&[points[0], points[1], Point::new(58.93, 46.07), points[5]]);
            rows.take(&[points[2], points[3], points[4], points[5]]);
        };
        let mut roomy = square(&[(80.0, 50.0, 8.0)]);
        slit(&mut roomy);
        assert!(can_part(&roomy, &body(), standing(80.0, 50.0, EAST)));
        let mut tight = square(&[(80.0, 45.5, 1.0)]);
        slit(&mut tight);
        assert!(!can_part(&tight, &body(), standing(79.0, 45.53, EAST)), "it cannot turn the corner");
    }
}

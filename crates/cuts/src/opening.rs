//! Openings inside a part: where a hand-held saw is threaded in.

use measure::Length;
use outline::{Outline, Point, Ring};

/// A jig saw's blade goes through no narrower hole (common practice, no source).
pub const JIG_SAW_HOLE: Length = Length::inches(0.5);

/// Bits that a starting hole is drilled with (common practice, no source): a
/// coping saw's blade goes through all of them.
const BITS: [Length; 4] = [JIG_SAW_HOLE, Length::inches(0.375), Length::inches(0.25), Length::inches(0.125)];

/// How exactly the room for a hole's middle is drawn.
const EXACT: Length = Length::mm(0.05);

/// Where in an opening a saw is threaded in, and with which bit: the widest that
/// leaves the spare stock all round, as near to an end as it goes, so that the saw
/// begins along the line. None if there is no room for any.
pub fn start_in(opening: &Ring, spare: Length, widest_bit: Length) -> Option<(Point, Length)> {
    let filled = Outline::from(opening.clone());
    let middle = opening.centroid();
    BITS.into_iter().filter(|it| *it <= widest_bit).find_map(|bit| {
        let room = filled.offset(-(bit / 2.0 + spare + EXACT), EXACT);
        let corners = room.iter().flat_map(|it| it.outer().corners());
        let far = |it: &&Point| it.distance(middle).to_mm();
        let at = corners.max_by(|a, b| far(a).total_cmp(&far(b)))?;
        Some((*at, bit))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const SPARE: Length = Length::inches(1.0 / 16.0);
    const WIDEST: Length = Length::inches(2.125);

    fn slot(high: f64) -> Ring {
        Ring::rectangle(Length::mm(90.0), Length::mm(high)).unwrap()
    }

    #[test]
    fn a_hole_has_the_widest_bit_that_leaves_the_spare_stock_and_lies_at_an_end() {
        let (at, bit) = start_in(&slot(28.0), SPARE, WIDEST).unwrap();
        assert_eq!(bit, Length::inches(0.5));
        let off = slot(28.0).distance(at) - bit / 2.0;
        assert!(off >= SPARE && off < SPARE + Length::mm(0.2), "{off:?}");
        assert!((at.x - 45.0).abs() > 35.0, "{at:?}");
        // 10 mm less twice the spare stock is 6.8 mm: 1/4 in is 6.35 mm.
        assert_eq!(start_in(&slot(10.0), SPARE, WIDEST).unwrap().1, Length::inches(0.25));
        assert_eq!(start_in(&slot(28.0), SPARE, Length::mm(5.0)).unwrap().1, Length::inches(0.125));
    }

    #[test]
    fn an_opening_without_room_for_a_bit_has_none() {
        assert_eq!(start_in(&slot(5.0), SPARE, WIDEST), None);
        assert_eq!(start_in(&slot(28.0), SPARE, Length::mm(2.0)), None);
    }
}

//! How near to the edge a screw may go.

use measure::{Angle, Figure, Length};
use outline::{Outline, Point};
use stock::{Finding, Grade, Mending};

use super::checks::spot;
use super::feet::off_the_grain;
use crate::making::{Laid, Making};

/// What goes into the wood, and how much wood it wants beside it, in diameters.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Driven {
    /// Whose it is: `foot 3`.
    pub(super) of: String,
    /// Where, on the pattern.
    pub(super) at: Point,
    /// Its diameter.
    pub(super) diameter: Length,
    /// The wood it wants beside it.
    pub(super) room: Room,
}

/// The wood that something wants beside its middle, in diameters: to the nearest
/// edge, and along the fibres to the end of the wood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Room {
    edge: f64,
    end: f64,
    source: &'static str,
}

/// A wood screw in a lead hole.
pub(super) const SCREW: Room = Room {
    edge: 1.5,
    end: 7.0,
    source: "edge: design rule for wood screws with a lead hole, from memory; end: common practice, no source",
};

/// A screw that goes through.
pub(super) const BOLT: Room = Room { edge: 1.5, end: 4.0, source: "design rule for bolts, from memory" };

/// A pocket: half its width of wood all round.
pub(super) const POCKET: Room = Room { edge: 1.0, end: 1.0, source: "common practice, no source" };

/// Finding `screw near the edge`, for the first of a thing's holes that is.
pub(super) fn check(making: &mut Making, part: &Laid, driven: &[Driven]) {
    for it in driven {
        if let Some(finding) = near(making, part, it) {
            making.find(finding);
            return;
        }
    }
}

fn near(making: &Making, part: &Laid, it: &Driven) -> Option<Finding> {
    let outline = &part.pattern.outline;
    if !outline.contains(it.at) {
        // A foot beyond the edge is told of as such.
        return None;
    }
    let (_, grain) = off_the_grain(making, part, it.at, Angle::ZERO)?;
    let edge = outline.to_line(it.at);
    let end = to_the_end(outline, it.at, grain)?;
    let (least_edge, least_end) = (it.diameter * it.room.edge, it.diameter * it.room.end);
    if edge >= least_edge && end >= least_end {
        return None;
    }
    let units = making.units();
    let (name, value, limit) = if edge < least_edge {
        ("from the edge", edge, least_edge)
    } else {
        ("along the grain to the end", end, least_end)
    };
    Some(Finding {
        grade: Grade::Mend,
        rule: "screw near the edge".to_owned(),
        what: format!(
            "a hole for {} of {} is {} {name}, {} wide",
            it.of,
            part.name,
            units.length(value),
            units.fine_length(it.diameter)
        ),
        spot: spot(part, it.at),
        figure: Figure::new(name, units.length(value))
            .by(
                format!("at least {} diameters to the edge, {} along the grain", it.room.edge, it.room.end),
                it.room.source,
            )
            .from("to the nearest edge", units.length(edge))
            .from("along the grain to the end", units.length(end))
            .from("diameter", units.fine_length(it.diameter)),
        limit: units.length(limit),
        why: "short grain beside a screw splits out".to_owned(),
        mendings: vec![Mending::by_hand(format!("move {} inward by {}", it.of, units.length(limit - value)))],
    })
}

/// How far it is from a point inside along a line, either way, to where the
/// wood ends; the nearer of both.
fn to_the_end(outline: &Outline, at: Point, along: Angle) -> Option<Length> {
    let (sin, cos) = (along.sin(), along.cos());
    let turned =
        |it: Point| ((it.x - at.x) * cos + (it.y - at.y) * sin, (it.y - at.y) * cos - (it.x - at.x) * sin);
    let edges = outline.rings().flat_map(outline::Ring::edges);
    let crossings = edges.filter_map(|edge| {
        let ((x1, y1), (x2, y2)) = (turned(edge.from), turned(edge.to));
        ((y1 > 0.0) != (y2 > 0.0)).then(|| x1 + (x2 - x1) * (-y1) / (y2 - y1))
    });
    crossings.map(f64::abs).reduce(f64::min).map(Length::mm)
}

#[cfg(test)]
mod tests {
    use stock::{Feature, FeatureId, FeatureKind, LetIn};

    use super::*;
    use crate::fixture::{brief, routed, told};

    #[test]
    fn a_screw_wants_wood_along_the_grain_more_than_across() {
        // The board is 380 by 220 mm, its grain along x. A foot of one screw No. 8,
        // 4.17 mm: 1.5 diameters 6.3 mm to the edge, 7 diameters 29.2 mm to the end.
        let mut brief = brief();
        let mut fires = |x: f64, y: f64| {
            let side = Length::mm(20.0);
            let kind = FeatureKind::FootSeat {
                at: Point::new(x, y),
                along: Angle::ZERO,
                length: side,
                width: side,
                height: Length::mm(16.0),
            };
            brief.patterns[1].features = vec![Feature { id: FeatureId(1), kind }];
            told(&routed(&brief), "screw near the edge").len()
        };
        assert_eq!(fires(190.0, 12.0), 0, "across the grain near the edge");
        assert_eq!(fires(12.0, 110.0), 1, "near the end");
        assert_eq!(fires(31.0, 110.0), 0);
        assert_eq!(fires(190.0, 5.0), 1, "at the edge");
    }

    #[test]
    fn a_pocket_keeps_its_wall() {
        let mut brief = brief();
        let mut fires = |x: f64| {
            let (at, size) = (Point::new(x, 110.0), Length::mm(10.0));
            let kind = FeatureKind::Pocket { at, diameter: size, depth: size, holds: LetIn::ThreadedInsert };
            brief.patterns[1].features = vec![Feature { id: FeatureId(1), kind }];
            told(&routed(&brief), "screw near the edge").len()
        };
        assert_eq!(fires(9.0), 1);
        assert_eq!(fires(11.0), 0);
    }

    #[test]
    fn the_end_is_where_the_line_leaves_the_wood() {
        let side = |it| Length::mm(it);
        let board = Outline::from(outline::Ring::rectangle(side(100.0), side(60.0)).unwrap());
        let far = to_the_end(&board, Point::new(30.0, 20.0), Angle::ZERO).unwrap();
        assert!((far.to_mm() - 30.0).abs() < 1e-9);
        let far = to_the_end(&board, Point::new(30.0, 20.0), Angle::degrees(90.0)).unwrap();
        assert!((far.to_mm() - 20.0).abs() < 1e-9);
    }
}

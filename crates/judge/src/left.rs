//! What is left round a part: how far it reaches, and whether it needs the saw.

use measure::Length;
use outline::{Outline, Point};
use stock::PartKey;

use crate::lines::Lines;
use crate::rows::{Rows, Ruled, Span};

/// A part that is to be freed. Its openings count as filled: no bandsaw gets there.
pub(crate) struct Part {
    pub(crate) key: PartKey,
    pub(crate) lines: Lines,
    pub(crate) openings: Lines,
    pub(crate) rows: Rows,
    /// How far along the line each edge begins, and how long the line is.
    starts: Vec<f64>,
    round: f64,
    /// The longest stretch of it on a row, which tells the piece that it is in.
    probe: (usize, Span),
    pub(crate) gouge: f64,
    pub(crate) left: Option<Left>,
    pub(crate) freed_by: Option<usize>,
    pub(crate) is_loose: bool,
}

/// What is left round a part, in millimetres.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Left {
    pub(crate) most: f64,
    pub(crate) at: Point,
    pub(crate) mean: f64,
    /// The longest stretch of the line along which more is left than can be
    /// worked off by hand.
    pub(crate) stretch: f64,
}

/// A lump that reaches or runs farther than this needs the saw again: two
/// inches (common practice, no source).
pub(crate) const LONGEST_LUMP: f64 = 50.8;

/// What is left is looked at this often along a row, in millimetres.
const SAMPLE: f64 = 1.0;

/// The line is divided into stretches of this, in millimetres.
const STRETCH: f64 = 2.0;

/// More than this is a lump, not a line left full: four times what was meant and
/// an eighth of an inch (common practice, no source).
fn lump(spare: f64) -> f64 {
    4.0 * spare + 3.0
}

/// No more than this is left anywhere on a part that nothing holds any more.
fn full_line(spare: f64) -> f64 {
    2.0 * spare + 1.0
}

impl Left {
    /// Whether the saw has done its work: no lump is long or reaches far.
    pub(crate) fn is_freed(&self) -> bool {
        self.most <= LONGEST_LUMP && self.stretch <= LONGEST_LUMP
    }

    /// Whether the part is all that is in the hands.
    pub(crate) fn is_loose(&self, spare: Length) -> bool {
        self.most <= full_line(spare.to_mm())
    }
}

impl Part {
    pub(crate) fn new(key: PartKey, outline: &Outline, ruled: Ruled) -> Part {
        let lines = Lines::of(std::iter::once(outline.outer()));
        let mut round = 0.0;
        let starts = lines.edges.iter().map(|edge| {
            round += edge.length().to_mm();
            round - edge.length().to_mm()
        });
        let starts = starts.collect();
        let rows = Rows::of(ruled, std::iter::once(outline.outer()));
        let spans = rows.each().flat_map(|(row, spans)| spans.iter().map(move |&span| (row, span)));
        let nothing = (0, Span { from: 0.0, to: 0.0 });
        let probe = spans.fold(nothing, |best, it| if it.1.long() > best.1.long() { it } else { best });
        let openings = Lines::of(outline.openings().iter());
        Part {
            key,
            lines,
            openings,
            rows,
            starts,
            round,
            probe,
            gouge: 0.0,
            left: None,
            freed_by: None,
            is_loose: false,
        }
    }

    /// Which of the pieces it is in; none if none is left of it.
    pub(crate) fn is_in(&self, pieces: &[Rows]) -> Option<usize> {
        let (row, span) = self.probe;
        let probed = |it: &Rows| it.row(row).iter().map(|other| other.common(span)).sum::<f64>();
        most(pieces.iter().map(probed)).or_else(|| most(pieces.iter().map(|it| it.common(&self.rows))))
    }

    /// What is left round it, in a piece that holds no other part.
    pub(crate) fn left_in(&self, piece: &Rows, spare: Length) -> Left {
        let outside = piece.outside(&self.rows);
        let area: f64 = outside.iter().map(|(_, span)| span.long()).sum::<f64>() * piece.ruled.pitch;
        let mean = area / self.round;
        let mut left = Left { most: 0.0, at: self.lines.edges[0].from, mean, stretch: 0.0 };
        // What reaches far is found at once by a few ends, and then no more is asked.
        let every = outside.len() / 200 + 1;
        for it in outside.iter().step_by(every).flat_map(|&(row, span)| ends(piece.ruled, row, span)) {
            left.reach(self.lines.nearest(it).0, it);
        }
        if left.most > LONGEST_LUMP {
            return Left { stretch: self.round, ..left };
        }
        let mut lumps = vec![false; (self.round / STRETCH).ceil() as usize];
        for &(row, span) in &outside {
            for it in samples(piece.ruled, row, span) {
                let (off, edge, on) = self.lines.nearest(it);
                left.reach(off, it);
                if off > lump(spare.to_mm()) {
                    let along = self.starts[edge] + self.lines.edges[edge].from.distance(on).to_mm();
                    let last = lumps.len() - 1;
                    lumps[((along / STRETCH) as usize).min(last)] = true;
                }
            }
        }
        left.stretch = longest(&lumps) * STRETCH;
        left
    }
}

impl Left {
    fn reach(&mut self, off: f64, at: Point) {
        if off > self.most {
            *self = Left { most: off, at, ..*self };
        }
    }
}

fn most(amounts: impl Iterator<Item = f64>) -> Option<usize> {
    let found =
        amounts.enumerate().fold(
            (0.0, None),
            |best, (index, amount)| {
                if amount > best.0 { (amount, Some(index)) } else { best }
            },
        );
    found.1
}

fn ends(ruled: Ruled, row: usize, span: Span) -> [Point; 2] {
    [span.from, span.to].map(|x| Point::new(x, ruled.height(row)))
}

fn samples(ruled: Ruled, row: usize, span: Span) -> impl Iterator<Item = Point> {
    let count = (span.long() / SAMPLE).ceil().max(1.0);
    (0..=count as usize)
        .map(move |it| Point::new(span.from + span.long() * it as f64 / count, ruled.height(row)))
}

/// The longest run of marks round a closed line, over gaps of one.
fn longest(marks: &[bool]) -> f64 {
    let (mut run, mut best) = (0, 0);
    for index in 0..2 * marks.len() {
        let at = |ahead: usize| marks[(index + ahead) % marks.len()];
        run = if at(0) || (run > 0 && at(1)) { run + 1 } else { 0 };
        best = best.max(run);
    }
    best.min(marks.len()) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Angle;
    use outline::{Place, Ring};
    use stock::WantId;

    fn bar(length: f64, width: f64, at: (f64, f64)) -> Outline {
        let corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)];
        let corners = corners.iter().map(|&(x, y)| Point::new(at.0 + x, at.1 + y)).collect();
        Outline::from(Ring::new(corners).unwrap())
    }

    fn left(wood: &Outline, part: &Outline) -> Left {
        let slant = Place { turn: Angle::degrees(21.3), ..Place::default() };
        let (wood, part) = (&slant.outline(wood), &slant.outline(part));
        let ruled = Ruled::over(wood.bounds(), 0.43);
        let part = Part::new(PartKey { want: WantId(1), copy: 1 }, part, ruled);
        part.left_in(&Rows::wood(ruled, wood), Length::mm(1.6))
    }

    #[test]
    fn an_even_rim_is_freed_and_loose() {
        let found = left(&bar(203.0, 83.0, (-1.5, -1.5)), &bar(200.0, 80.0, (0.0, 0.0)));
        assert!(found.is_freed() && found.is_loose(Length::mm(1.6)), "{found:?}");
        assert!((found.mean - 849.0 / 560.0).abs() < 0.01, "{found:?}");
        assert!(found.most > 1.5 && found.most < 2.2 && found.stretch == 0.0, "{found:?}");
    }

    #[test]
    fn an_edge_that_nobody_sawed_is_not_freed() {
        let found = left(&bar(203.0, 100.0, (-1.5, -1.5)), &bar(200.0, 80.0, (0.0, 0.0)));
        assert!(!found.is_freed() && found.stretch > 195.0, "{found:?}");
        let far = left(&bar(303.0, 83.0, (-1.5, -1.5)), &bar(200.0, 80.0, (0.0, 0.0)));
        assert!(!far.is_freed() && far.most > 99.0, "{far:?}");
    }

    #[test]
    fn a_lump_at_a_corner_is_a_figure_and_no_fault() {
        let corners =
            [(-1.5, -1.5), (201.5, -1.5), (201.5, 60.0), (220.0, 70.0), (220.0, 81.5), (-1.5, 81.5)];
        let wood = Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap();
        let found = left(&Outline::from(wood), &bar(200.0, 80.0, (0.0, 0.0)));
        assert!(found.is_freed() && !found.is_loose(Length::mm(1.6)), "{found:?}");
        assert!((found.most - 20.0).abs() < 0.5 && found.stretch < 24.0, "{found:?}");
    }
}

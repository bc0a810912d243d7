//! The body of a pattern: where a food area or a hollow fits.

use measure::{Length, Problem};
use outline::{Outline, Ring};
use stock::PatternId;

use crate::{Shop, Trouble};

/// Arms narrower than this share of the pattern's smaller side are no body:
/// stems and handles fall away.
const ARM: f64 = 0.3;

/// Arcs stay within this.
const TOLERANCE: Length = Length::mm(0.1);

/// The area's line may stray this far: few corners are moved by hand more
/// easily than many, and no pencil line on wood is finer.
const STRAY: Length = Length::mm(0.5);

impl Shop {
    /// The body of a pattern, without stem and handle, so far inside its edge.
    ///
    /// # Errors
    /// There is no such pattern, or nothing is left of it.
    pub fn body_of(&self, id: PatternId, margin: Length) -> Result<Ring, Trouble> {
        Ok(body(&self.pattern(id)?.outline, margin)?)
    }
}

/// Shrunk until narrow arms are gone, then grown back up to the margin
/// (an opening, as mathematical morphology has it). The line strays by half the
/// margin at most, so that it never gets out of the shape.
pub(crate) fn body(outline: &Outline, margin: Length) -> Result<Ring, Problem> {
    let sides = outline.bounds();
    let half_arm = sides.width().min(sides.height()) * (ARM / 2.0);
    let margin = margin.max(Length::ZERO);
    let deep = half_arm.max(margin);
    let core = outline.simplified(TOLERANCE).offset(-deep, TOLERANCE).into_iter().next();
    let grown = core.and_then(|it| it.offset(deep - margin, TOLERANCE).into_iter().next());
    let ring = grown.map(|it| it.outer().simplified(STRAY.min(margin * 0.5)));
    ring.ok_or_else(|| {
        Problem::new("nothing of the pattern is left so far inside its edge").hint("take a smaller margin")
    })
}

#[cfg(test)]
mod tests {
    use outline::{Family, Point};

    use super::*;

    #[test]
    fn a_slot_to_carry_it_by_is_no_body() {
        let mm = Length::mm;
        let slot = [[340.0, 50.0], [370.0, 50.0], [370.0, 150.0], [340.0, 150.0]];
        let slot = Ring::new(slot.map(|[x, y]| Point::new(x, y)).to_vec()).unwrap();
        let board = Outline::new(Ring::rectangle(mm(400.0), mm(200.0)).unwrap(), vec![slot]).unwrap();
        let ring = body(&board, mm(8.0)).unwrap();
        // Shrunk by 30 mm it keeps 30 mm off the slot; above its corner that is 317.6 mm, grown by 22.
        assert!((ring.bounds().high.x - 339.6).abs() < 0.5, "{:?}", ring.bounds());
        assert!(board.holds(&Outline::from(ring)));
    }

    #[test]
    fn a_round_body_has_few_corners_and_stays_in_its_shape() {
        let round = Family::Round { diameter: Length::mm(190.0) }.outline().unwrap();
        let ring = body(&round, Length::mm(9.5)).unwrap();
        assert!(ring.corners().len() < 40, "{} corners", ring.corners().len());
        assert!(round.holds(&Outline::from(ring)));
    }

    #[test]
    fn the_handle_is_no_body_and_the_margin_is_kept() {
        let mm = Length::mm;
        let board = Family::Handled {
            length: mm(420.0),
            width: mm(150.0),
            corner: mm(30.0),
            handle_length: mm(120.0),
            handle_width: mm(36.0),
            neck: mm(18.0),
        };
        let ring = body(&board.outline().unwrap(), mm(8.0)).unwrap();
        let bounds = ring.bounds();
        assert!((bounds.low.x - 8.0).abs() < 0.6 && (bounds.low.y - 8.0).abs() < 0.6, "{bounds:?}");
        // The board ends at 300 mm; the flares of the neck count to it, the handle does not.
        assert!(bounds.high.x < 320.0, "{bounds:?}");
        assert!(body(&board.outline().unwrap(), mm(80.0)).is_err());
    }
}

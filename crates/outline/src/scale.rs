//! Bringing a shape to a size.

use measure::{Length, Problem};

use crate::{Outline, Point, Ring};

impl Outline {
    /// Scaled alike along x and y so that the box around it is this long along
    /// x; the lower left corner of the box stays where it is.
    ///
    /// # Errors
    /// A length at or below zero or beyond what a shape may measure; openings
    /// that become too small to be rings.
    pub fn scaled_to_length(&self, length: Length) -> Result<Outline, Problem> {
        let most = Point::FARTHEST;
        if length <= Length::ZERO || length > most {
            let message = format!(
                "expected a length above 0 and up to {} mm, found {} mm",
                most.to_mm(),
                length.to_mm()
            );
            return Err(Problem::new(message));
        }
        let (low, by) = (self.bounds().low, length / self.bounds().width());
        let place = |it: &Point| Point::new(low.x + (it.x - low.x) * by, low.y + (it.y - low.y) * by);
        let ring = |it: &Ring| Ring::new(it.corners().iter().map(place).collect());
        let openings: Result<Vec<Ring>, Problem> = self.openings().iter().map(ring).collect();
        Outline::new(ring(self.outer())?, openings?)
    }

    /// Moved so that the lower left corner of its box lies at the origin.
    #[must_use]
    pub fn at_origin(&self) -> Outline {
        let low = self.bounds().low;
        self.moved(|it| Point::new(it.x - low.x, it.y - low.y))
    }
}

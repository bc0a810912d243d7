//! An outer line and its openings.

use measure::{Area, Length, Problem};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{Bounds, Point, Ring};

/// A flat shape: an outer line and the openings inside it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(try_from = "Written", into = "Written")]
#[ts(as = "Written")]
pub struct Outline {
    outer: Ring,
    // Invariant: every opening lies inside the outer line, none overlaps another.
    // Lines may touch at a point.
    openings: Vec<Ring>,
}

/// An outline as it is written down.
#[derive(Serialize, Deserialize, TS)]
#[ts(rename = "Outline")]
struct Written {
    outer: Ring,
    openings: Vec<Ring>,
}

impl Outline {
    /// The most openings that an outline from outside may have.
    pub const MOST_OPENINGS: usize = 200;

    /// Takes an outer line and openings.
    ///
    /// # Errors
    /// Too many openings, an opening that is not inside the outer line, or two
    /// openings that overlap.
    pub fn new(outer: Ring, openings: Vec<Ring>) -> Result<Outline, Problem> {
        if openings.len() > Outline::MOST_OPENINGS {
            let found = openings.len();
            return Err(Problem::new(format!(
                "{found} openings; at most {} are read",
                Outline::MOST_OPENINGS
            )));
        }
        let whole = Outline::from(outer);
        let holes: Vec<Outline> = openings.into_iter().map(Outline::from).collect();
        for (index, hole) in holes.iter().enumerate() {
            if !whole.holds(hole) {
                return Err(Problem::new(format!("opening {} is not inside the outline", index + 1)));
            }
            if let Some(other) = holes[..index].iter().position(|other| !other.clear_of(hole)) {
                return Err(Problem::new(format!("openings {} and {} overlap", other + 1, index + 1)));
            }
        }
        let openings = holes.into_iter().map(|hole| hole.outer).collect();
        Ok(Outline { outer: whole.outer, openings })
    }

    /// The outer line.
    pub fn outer(&self) -> &Ring {
        &self.outer
    }

    /// The openings.
    pub fn openings(&self) -> &[Ring] {
        &self.openings
    }

    /// Outer line and openings, one after the other.
    pub fn rings(&self) -> impl Iterator<Item = &Ring> {
        std::iter::once(&self.outer).chain(&self.openings)
    }

    /// The area without the openings.
    pub fn area(&self) -> Area {
        self.outer.area() - self.openings.iter().map(Ring::area).sum()
    }

    /// The upright box around it.
    pub fn bounds(&self) -> Bounds {
        self.outer.bounds()
    }

    /// Whether a point lies inside and in no opening.
    pub fn contains(&self, point: Point) -> bool {
        self.outer.contains(point) && !self.openings.iter().any(|opening| opening.contains(point))
    }

    /// The way from a point, inside or outside, to the nearest place on any of the lines.
    pub fn to_line(&self, point: Point) -> Length {
        self.openings.iter().map(|it| it.distance(point)).fold(self.outer.distance(point), Length::min)
    }

    /// An outline from rings that the geometry engine has put in order.
    pub(crate) fn sound(outer: Ring, openings: Vec<Ring>) -> Outline {
        Outline { outer, openings }
    }

    pub(crate) fn moved(&self, to: impl Fn(Point) -> Point) -> Outline {
        Outline {
            outer: self.outer.moved(&to),
            openings: self.openings.iter().map(|it| it.moved(&to)).collect(),
        }
    }
}

impl From<Ring> for Outline {
    fn from(outer: Ring) -> Outline {
        Outline { outer, openings: Vec::new() }
    }
}

impl TryFrom<Written> for Outline {
    type Error = Problem;

    fn try_from(it: Written) -> Result<Outline, Problem> {
        Outline::new(it.outer, it.openings)
    }
}

impl From<Outline> for Written {
    fn from(it: Outline) -> Written {
        Written { outer: it.outer, openings: it.openings }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Length;

    #[test]
    fn openings_take_their_area_away() {
        let outer = Ring::rectangle(Length::mm(100.0), Length::mm(50.0)).unwrap();
        let hole = [[10.0, 10.0], [20.0, 10.0], [20.0, 20.0], [10.0, 20.0]];
        let hole = Ring::new(hole.iter().map(|&[x, y]| Point::new(x, y)).collect()).unwrap();
        let shape = Outline::new(outer.clone(), vec![hole.clone()]).unwrap();
        assert_eq!(shape.area(), Area::mm2(4900.0));
        assert!(!shape.contains(Point::new(15.0, 15.0)));
        assert!(Outline::new(hole, vec![outer]).is_err(), "an opening larger than its outline");
    }
}

//! The shape of a recess: flat floor, walls of one slope.

use measure::{Angle, Area, Length, Problem, Volume};
use outline::{Outline, Ring};

use crate::making::in_reach;

/// Offsets stay this close to true: a tenth of what a router repeats.
const TOLERANCE: Length = Length::mm(0.02);

/// Slices of the volume (Simpson's rule): areas of inset rings are nearly
/// quadratic in depth, for which the rule is exact.
const SLICES: u32 = 12;

/// The depth is searched for in halves down to less than a hair.
const HALVINGS: u32 = 12;

/// Lines are thinned to this between slices, far below what a router repeats.
const SMOOTH: Length = Length::mm(0.005);

/// From here the way round is the same above and below, within a hundredth or two.
const STEEP: Angle = Angle::degrees(80.0);

/// A recess as it can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Recess {
    /// The depth asked for.
    pub(super) asked: Length,
    /// How deep it gets before its walls meet.
    pub(super) depth: Length,
    /// The wood taken out.
    pub(super) volume: Volume,
    /// At the rim.
    pub(super) mouth: Area,
    /// Flat at the bottom.
    pub(super) floor: Area,
    /// The way round the rim.
    pub(super) around: Length,
    /// How steep the walls are.
    pub(super) wall: Angle,
}

impl Recess {
    /// Works out a recess: at depth z its outline is the rim, inset by z / tan(wall).
    ///
    /// # Errors
    /// A depth that no board has, or a wall not between 1° and 90°.
    pub(super) fn of(rim: &Ring, depth: Length, wall: Angle) -> Result<Recess, Problem> {
        in_reach("the depth of the hollow", depth)?;
        if !(1.0..=90.0).contains(&wall.to_degrees()) {
            let message = format!("the hollow's walls stand at {}°", wall.to_degrees());
            return Err(Problem::new(message).hint("give an angle from 1° to 90°, upright"));
        }
        let slope = (Angle::degrees(90.0) - wall).tan().max(0.0);
        let shape = Outline::from(rim.simplified(SMOOTH));
        let reached = reached(&shape, depth, slope);
        let areas = areas(&shape, reached / f64::from(SLICES) * slope);
        Ok(Recess {
            asked: depth,
            depth: reached,
            volume: simpson(reached / f64::from(SLICES), &areas),
            mouth: rim.area(),
            floor: areas.last().copied().unwrap_or(Area::ZERO),
            around: rim.perimeter(),
            wall,
        })
    }

    /// Floor and walls. Walls of one slope are as many times larger than what
    /// they cover of the mouth as 1 / cos says; steep ones, which cover almost
    /// nothing, are the way round times their slant height.
    pub(super) fn skin(&self) -> Area {
        let walls = if self.wall < STEEP {
            (self.mouth - self.floor) / self.wall.cos()
        } else {
            self.around * (self.depth / self.wall.sin())
        };
        self.floor + walls
    }

    /// Whether its walls meet before it is as deep as asked for.
    pub(super) fn falls_short(&self) -> bool {
        self.depth < self.asked
    }
}

/// Inset by one slice more. Insets go slice by slice and are smoothed between:
/// one large inset of a fine line crosses itself at every corner.
fn inset(shapes: &[Outline], by: Length) -> Vec<Outline> {
    if by <= Length::ZERO {
        return shapes.to_vec();
    }
    let smooth = |it: Outline| it.simplified(SMOOTH);
    shapes.iter().flat_map(|it| it.offset(-by, TOLERANCE)).map(smooth).collect()
}

fn area(shapes: &[Outline]) -> Area {
    shapes.iter().map(Outline::area).sum()
}

/// The depth, or the one at which nothing is left between the walls.
fn reached(shape: &Outline, depth: Length, slope: f64) -> Length {
    let slice = depth / f64::from(SLICES);
    let mut shapes = vec![shape.clone()];
    for index in 0..SLICES {
        let next = inset(&shapes, slice * slope);
        if area(&next) > Area::ZERO {
            shapes = next;
            continue;
        }
        let (mut open, mut shut) = (Length::ZERO, slice);
        for _ in 0..HALVINGS {
            let middle = (open + shut) / 2.0;
            if area(&inset(&shapes, middle * slope)) > Area::ZERO { open = middle } else { shut = middle }
        }
        return slice * f64::from(index) + open;
    }
    depth
}

/// The areas from the rim down to the floor, one for each slice's face.
fn areas(shape: &Outline, each: Length) -> Vec<Area> {
    let mut shapes = vec![shape.clone()];
    let mut found = vec![shape.area()];
    for _ in 0..SLICES {
        shapes = inset(&shapes, each);
        found.push(area(&shapes));
    }
    found
}

/// Simpson's rule over an even number of slices.
fn simpson(slice: Length, areas: &[Area]) -> Volume {
    let last = areas.len().saturating_sub(1);
    let weighted = areas.iter().enumerate().map(|(index, &area)| {
        let weight = match index {
            0 => 1.0,
            _ if index == last => 1.0,
            _ if index % 2 == 1 => 4.0,
            _ => 2.0,
        };
        area * weight
    });
    weighted.sum::<Area>() * (slice / 3.0)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use outline::Point;

    use super::*;
    use crate::fixture::{disc, ring};

    fn volume(rim: &Ring, depth: f64, wall: f64) -> f64 {
        Recess::of(rim, Length::mm(depth), Angle::degrees(wall)).unwrap().volume.to_mm3()
    }

    #[test]
    fn volumes_are_those_of_frustums() {
        // Solid geometry: h/3 (A₁ + A₂ + √(A₁ A₂)). A square of 100 mm with 45°
        // walls, 10 mm deep: 10/3 (10000 + 6400 + 8000).
        let square = ring(&[[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]]);
        let exact = 10.0 / 3.0 * (10_000.0 + 6_400.0 + 8_000.0);
        assert!((volume(&square, 10.0, 45.0) / exact - 1.0).abs() < 1e-4);
        // A disc of 60 mm radius: π h/3 (R² + R r + r²), r = 60 - 10 tan 30°.
        let round = disc(Point::default(), 60.0, 720);
        let r = 60.0 - 10.0 * Angle::degrees(30.0).tan();
        let exact = PI * 10.0 / 3.0 * (3600.0 + 60.0 * r + r * r);
        assert!((volume(&round, 10.0, 60.0) / exact - 1.0).abs() < 1e-3);
        // Upright walls: area times depth.
        assert!((volume(&square, 10.0, 90.0) / 100_000.0 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn walls_that_meet_make_a_cone() {
        // π R² h / 3 with h = R at 45°.
        let round = disc(Point::default(), 20.0, 720);
        let found = Recess::of(&round, Length::mm(30.0), Angle::degrees(45.0)).unwrap();
        assert!(found.falls_short());
        assert!((found.depth.to_mm() - 20.0).abs() < 0.2, "{:?}", found.depth);
        assert!((found.volume.to_mm3() / (PI * 8000.0 / 3.0) - 1.0).abs() < 0.01);
        // Lateral surface of a cone: π R √(R² + h²).
        assert!((found.skin().to_mm2() / (PI * 400.0 * 2.0_f64.sqrt()) - 1.0).abs() < 0.01);
    }

    #[test]
    fn skins_are_those_of_frustums() {
        // Lateral surface of a frustum: π (R + r) s, R = 60, r = 50, s = 10 √2.
        let round = disc(Point::default(), 60.0, 720);
        let of = |wall| Recess::of(&round, Length::mm(10.0), Angle::degrees(wall)).unwrap().skin().to_mm2();
        let exact = PI * 2500.0 + PI * 110.0 * 10.0 * 2.0_f64.sqrt();
        assert!((of(45.0) / exact - 1.0).abs() < 1e-3, "{}", of(45.0));
        // A cylinder: 2 π R h.
        assert!((of(90.0) / (PI * 3600.0 + PI * 1200.0) - 1.0).abs() < 1e-3, "{}", of(90.0));
        // On both sides of steep the two ways agree.
        assert!((of(79.9) / of(80.1) - 1.0).abs() < 0.01, "{} {}", of(79.9), of(80.1));
    }

    #[test]
    fn nonsense_is_refused() {
        let round = disc(Point::default(), 20.0, 36);
        assert!(Recess::of(&round, Length::ZERO, Angle::degrees(45.0)).is_err());
        assert!(Recess::of(&round, Length::mm(5.0), Angle::degrees(0.0)).is_err());
        assert!(Recess::of(&round, Length::mm(5.0), Angle::degrees(120.0)).is_err());
    }
}

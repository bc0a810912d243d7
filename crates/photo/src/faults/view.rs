//! A face laid along its grain, cut into cells.

use image::RgbImage;
use measure::{Angle, Length};
use outline::{Bounds, Outline, Place, Point, Ring};
use rayon::prelude::*;

use crate::clean::Mask;
use crate::colour;
use crate::field::Field;

/// The side of a cell: fine enough for a check 0.8 mm wide.
pub(super) const CELL: Length = Length::mm(0.6);

/// The most cells; larger faces get larger cells.
const MOST_CELLS: f64 = 2_500_000.0;

/// Nearer to the edge than this nothing is judged: the edge itself shows.
const RIM: Length = Length::mm(2.0);

/// A face along its grain: columns run along the fibres, rows across, upward.
pub(super) struct View {
    /// The side of a cell, in millimetres.
    pub(super) cell: f64,
    /// Logarithm of the light.
    pub(super) tone: Field,
    /// From green to red, and from blue to yellow (CIE L*a*b*).
    pub(super) red: Field,
    pub(super) yellow: Field,
    /// 1 where wood is seen, 0 elsewhere.
    pub(super) wood: Field,
    /// How deep within the outline, in millimetres; sheets do not count.
    pub(super) depth: Field,
    /// From the view's millimetres to the face's.
    place: Place,
}

impl View {
    /// `None` for a face without size.
    pub(super) fn of(
        face: &RgbImage,
        pixel: Length,
        outline: &Outline,
        along: Angle,
        hidden: impl Fn(Point) -> bool + Sync,
    ) -> Option<View> {
        let back = Place { turn: -along, ..Place::default() };
        let bounds = Bounds::around(outline.outer().corners().iter().map(|&it| back.point(it)))?;
        let (long, wide) = (bounds.width().to_mm(), bounds.height().to_mm());
        let cell = CELL.to_mm().max((long * wide / MOST_CELLS).sqrt()).max(pixel.to_mm());
        let (width, height) = ((long / cell).ceil() as usize, (wide / cell).ceil() as usize);
        let place = Place {
            at: Place { turn: along, ..Place::default() }.point(bounds.low),
            turn: along,
            mirrored: false,
        };
        let middle =
            |at: usize| Point::new(((at % width) as f64 + 0.5) * cell, ((at / width) as f64 + 0.5) * cell);
        if width < 16 || height < 16 {
            return None;
        }
        let colours: Vec<[f32; 3]> = (0..width * height)
            .into_par_iter()
            .with_min_len(width)
            .map(|at| {
                let at = place.point(middle(at));
                let light = colour::light(seen(face, pixel, at));
                let [_, red, yellow] = colour::lab(light);
                let grey = 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2];
                [(grey + 0.004).ln(), red, yellow]
            })
            .collect();
        let channel = |index: usize| Field::new(width, height, colours.iter().map(|it| it[index]).collect());
        let inside =
            Mask { width, height, cells: filled(&own_ring(outline, back, bounds.low), cell, width, height) };
        let depth = inside.depth().map(|it| it * cell as f32);
        let wood = (0..width * height).into_par_iter().with_min_len(width).map(|at| {
            let seen = f64::from(depth.values[at]) > RIM.to_mm() && !hidden(place.point(middle(at)));
            if seen { 1.0 } else { 0.0 }
        });
        let wood = Field::new(width, height, wood.collect());
        Some(View { cell, tone: channel(0), red: channel(1), yellow: channel(2), wood, depth, place })
    }

    /// The same with other wood.
    pub(super) fn on(self, wood: Field) -> View {
        View { wood, ..self }
    }

    /// The same in cells twice as large.
    pub(super) fn halved(&self) -> View {
        View {
            cell: self.cell * 2.0,
            tone: self.tone.halved(),
            red: self.red.halved(),
            yellow: self.yellow.halved(),
            wood: self.wood.halved(),
            depth: self.depth.halved(),
            place: self.place,
        }
    }

    /// A place in cells as a point of the face.
    pub(super) fn point(&self, across: f64, up: f64) -> Point {
        self.place.point(Point::new(across * self.cell, up * self.cell))
    }

    /// Cells in this length.
    pub(super) fn cells(&self, length: f64) -> f64 {
        length / self.cell
    }

    /// A field's mean over the wood nearby, by Gaussians of these millimetres
    /// along and across.
    pub(super) fn mean(&self, field: &Field, along: f64, across: f64) -> Field {
        let (along, across) = (self.cells(along), self.cells(across));
        let sum = field.with(&self.wood, |it, wood| it * wood).smeared_by(along, across);
        sum.with(&self.wood.smeared_by(along, across), |sum, share| sum / share.max(1e-3))
    }

    /// A ring through places in cells, if it has an area.
    pub(super) fn ring(&self, places: impl Iterator<Item = (f64, f64)>) -> Option<Ring> {
        Ring::new(places.map(|(x, y)| self.point(x, y)).collect()).ok()
    }
}

/// The outline in the view's own millimetres.
fn own_ring(outline: &Outline, back: Place, low: Point) -> Vec<Point> {
    let own = outline.outer().corners().iter().map(|&it| back.point(it));
    own.map(|it| Point::new(it.x - low.x, it.y - low.y)).collect()
}

/// The cells whose middle lies within a ring, row by row between its crossings.
fn filled(ring: &[Point], cell: f64, width: usize, height: usize) -> Vec<bool> {
    let mut cells = vec![false; width * height];
    cells.par_chunks_mut(width).enumerate().for_each(|(row, out)| {
        let y = (row as f64 + 0.5) * cell;
        let next = ring.iter().cycle().skip(1);
        let mut crossings: Vec<f64> = ring
            .iter()
            .zip(next)
            .filter(|(a, b)| (a.y > y) != (b.y > y))
            .map(|(a, b)| (a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)) / cell)
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            let (from, to) = ((pair[0] - 0.5).ceil().max(0.0), (pair[1] - 0.5).ceil().max(0.0));
            out[(from as usize).min(width)..(to as usize).min(width)].fill(true);
        }
    });
    cells
}

/// The face's colour at a point, between its pixels.
fn seen(face: &RgbImage, pixel: Length, at: Point) -> [f32; 3] {
    let (width, height) = (face.width() as usize, face.height() as usize);
    let x = (at.x / pixel.to_mm() - 0.5).clamp(0.0, (width - 1) as f64);
    let y = (height as f64 - at.y / pixel.to_mm() - 0.5).clamp(0.0, (height - 1) as f64);
    let (left, top) = (x as usize, y as usize);
    let (right, bottom) = ((left + 1).min(width - 1), (top + 1).min(height - 1));
    let (u, v) = ((x - left as f64) as f32, (y - top as f64) as f32);
    let raw = face.as_raw();
    std::array::from_fn(|channel| {
        let value = |row: usize, column: usize| f32::from(raw[(row * width + column) * 3 + channel]);
        let upper = value(top, left) * (1.0 - u) + value(top, right) * u;
        let lower = value(bottom, left) * (1.0 - u) + value(bottom, right) * u;
        upper * (1.0 - v) + lower * v
    })
}

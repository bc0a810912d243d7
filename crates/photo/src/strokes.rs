//! Mends a face's edge where a hand has drawn what is wood and what is not.

use measure::{Length, Problem};
use outline::{Bounds, Outline, Point};
use rayon::prelude::*;

use crate::clean::Mask;
use crate::colour::{self, Lab, Light, Material};
use crate::cover::{self, Grid};
use crate::cut::Parting;
use crate::field::Field;
use crate::{Picture, contours, edge, read_picture};

/// A line drawn on the face's picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Whether there is wood along it.
    pub wood: bool,
    /// Where it runs, in the outline's millimetres; what lies off the picture is left out.
    pub line: Vec<Point>,
}

/// Of the edge, only what lies this near to a stroke may change.
const REACH: Length = Length::mm(25.0);

/// Colours are learned from so much more round it.
const LEARNT: Length = Length::mm(30.0);

/// With fewer cells than this known for sure, those near strokes are learned from too.
const LEAST_KNOWN: usize = 200;

/// How likely any colour at all is on either side: a logarithm.
const ANY_COLOUR: f32 = -14.0;

/// A stroke tells what lies within this of it.
const HALF_BREADTH: Length = Length::mm(1.5);

/// Cells are no finer than this, and no more than so many.
const FINEST_CELL: Length = Length::mm(0.6);
const MOST_CELLS: f64 = 250_000.0;

/// More strokes, or more points in all, were not drawn by hand.
const MOST_STROKES: usize = 1000;
const MOST_POINTS: usize = 100_000;

/// A face's pixel is from a hair to a finger wide.
const PIXEL_MM: std::ops::RangeInclusive<f64> = 0.02..=20.0;

/// Colour clouds of the wood, of what is round it, and of what lies under strokes.
const CLOUDS: usize = 5;
const STROKE_CLOUDS: usize = 2;

/// One cell's colour counts for this much at most (a logarithm).
const MOST_SAID: f32 = 5.0;

/// How much alike neighbours stand together, in the same unit.
const STRENGTH: f32 = 12.0;

/// Cells nearer than this to one that changed sides are read anew.
const READ_ANEW: f32 = 4.0;

/// As a saw sees it, in millimetres, and how far a simplified edge may stray.
const SMOOTHING: Length = Length::mm(1.0);
const TOLERANCE: Length = Length::mm(0.2);

/// Parts and holes smaller than this are left over from joining, in mm².
const CRUMB_MM2: f64 = 4.0;

/// The outline after strokes on a face's picture (JPEG, PNG or WebP): wood under
/// the strokes of wood, none under the others, and near them the edge that fits
/// the colours best. Farther than 25 mm from every stroke nothing changes.
/// `pixel` is the side of one pixel; the outline and the strokes are in
/// millimetres from the picture's lower left corner, y up.
///
/// # Errors
/// A picture that cannot be read, strokes that no hand draws, or no wood left.
pub fn mend_edge(
    picture: &[u8],
    pixel: Length,
    outline: &Outline,
    strokes: &[Stroke],
) -> Result<Outline, Problem> {
    check(pixel, strokes)?;
    let picture = read_picture(picture)?;
    let Some(grid) = grid_round(&picture, pixel, strokes) else { return Ok(outline.clone()) };
    let drawn = Drawn::on(&picture, pixel, grid, outline, strokes);
    joined(outline, &drawn.shape(&drawn.mended()), &drawn.window())
}

fn check(pixel: Length, strokes: &[Stroke]) -> Result<(), Problem> {
    if !PIXEL_MM.contains(&pixel.to_mm()) {
        return Err(Problem::new(format!("a face's pixel cannot be {:.3} mm wide", pixel.to_mm())));
    }
    let points: usize = strokes.iter().map(|it| it.line.len()).sum();
    if strokes.len() > MOST_STROKES || points > MOST_POINTS {
        let message = format!(
            "{} strokes with {points} points; at most {MOST_STROKES} with {MOST_POINTS} are read",
            strokes.len()
        );
        return Err(Problem::new(message).hint("mend the edge with fewer strokes at a time"));
    }
    let odd = strokes.iter().position(|it| it.line.iter().any(|at| !(at.x.is_finite() && at.y.is_finite())));
    match odd {
        Some(index) => Err(Problem::new(format!("stroke {} runs over a place that is no number", index + 1))),
        None => Ok(()),
    }
}

/// The grid round the strokes, as far as the picture goes; `None` if none of
/// them is on it.
fn grid_round(picture: &Picture, pixel: Length, strokes: &[Stroke]) -> Option<Grid> {
    let size = Point::new(
        f64::from(picture.width_px()) * pixel.to_mm(),
        f64::from(picture.height_px()) * pixel.to_mm(),
    );
    let whole = Bounds { low: Point::default(), high: size };
    let drawn = cover::bounds_within(strokes.iter().map(|it| it.line.as_slice()), whole)?;
    let near = drawn.grown(REACH + LEARNT);
    let low = Point::new(near.low.x.max(0.0), near.low.y.max(0.0));
    let near = Bounds { low, high: Point::new(near.high.x.min(size.x), near.high.y.min(size.y)) };
    let (wide, tall) = (near.width().to_mm(), near.height().to_mm());
    let cell = FINEST_CELL.max(pixel).max(Length::mm((wide * tall / MOST_CELLS).sqrt()));
    let count = |side: f64| (side / cell.to_mm()).floor().max(1.0) as usize;
    let left_top = Point::new(near.low.x, near.high.y);
    Some(Grid { left_top, cell, width: count(wide), height: count(tall) })
}

/// The light of the grid's cells: the mean of the pixels in them.
fn light_of(picture: &Picture, pixel: Length, grid: &Grid) -> Vec<Light> {
    let (pixel, cell) = (pixel.to_mm(), grid.cell.to_mm());
    let (left, top) = (grid.left_top.x / pixel, f64::from(picture.height_px()) - grid.left_top.y / pixel);
    let span = |start: f64, index: usize, most: u32| {
        let from = (start + index as f64 * cell / pixel).clamp(0.0, f64::from(most - 1));
        let to = (from + cell / pixel).min(f64::from(most));
        (from as u32, (to.round() as u32).clamp(from as u32 + 1, most))
    };
    let cells = (0..grid.width * grid.height).into_par_iter().map(|at| {
        let columns = span(left, at % grid.width, picture.width_px());
        let rows = span(top, at / grid.width, picture.height_px());
        let mut sum = [0.0; 3];
        for y in rows.0..rows.1 {
            for x in columns.0..columns.1 {
                let pixel = picture.image.get_pixel(x, y).0;
                sum = std::array::from_fn(|it| sum[it] + f32::from(pixel[it]));
            }
        }
        let count = (columns.1 - columns.0) * (rows.1 - rows.0);
        colour::light(sum.map(|it| it / count as f32))
    });
    cells.collect()
}

/// A face's neighbourhood with strokes on it.
struct Drawn {
    grid: Grid,
    light: Vec<Light>,
    lab: Vec<Lab>,
    /// How much of each cell is wood as yet.
    share: Field,
    /// From every cell to the nearest stroke of wood, and of none, in cells.
    far: [Field; 2],
}

impl Drawn {
    fn on(picture: &Picture, pixel: Length, grid: Grid, outline: &Outline, strokes: &[Stroke]) -> Drawn {
        let light = light_of(picture, pixel, &grid);
        let lab = light.iter().map(|it| colour::lab(*it)).collect();
        let far = [true, false].map(|wood| {
            let mut off = Mask { width: grid.width, height: grid.height, cells: vec![true; light.len()] };
            for stroke in strokes.iter().filter(|it| it.wood == wood) {
                grid.along(&stroke.line, |at| off.cells[at] = false);
            }
            off.depth()
        });
        Drawn { share: grid.covered(outline), grid, light, lab, far }
    }

    /// Whether the nearest stroke says wood, and how far it is.
    fn nearest(&self, at: usize) -> (bool, f32) {
        let [wood, none] = [0, 1].map(|it| self.far[it].values[at]);
        if wood < none { (true, wood) } else { (false, none) }
    }

    fn cells(&self, length: Length) -> f32 {
        (length / self.grid.cell) as f32
    }

    fn mask(&self, each: impl Fn(usize) -> bool) -> Mask {
        let cells = (0..self.lab.len()).map(each).collect();
        Mask { width: self.grid.width, height: self.grid.height, cells }
    }

    /// The colours on a side of the edge as it is, farther than a stroke's reach
    /// from strokes that say otherwise, and those under the strokes of that side.
    fn materials(&self, wood: bool) -> [Option<Material>; 2] {
        let (reach, breadth) = (self.cells(REACH), self.cells(HALF_BREADTH).max(1.0));
        let colours = |wanted: &dyn Fn(usize) -> bool| -> Vec<Lab> {
            (0..self.lab.len()).filter(|&at| wanted(at)).map(|at| self.lab[at]).collect()
        };
        let (own, other) = (&self.far[usize::from(!wood)], &self.far[usize::from(wood)]);
        let sure = |at: usize| if wood { self.share.values[at] >= 1.0 } else { self.share.values[at] <= 0.0 };
        let mut known = colours(&|at| sure(at) && other.values[at] > reach);
        if known.len() < LEAST_KNOWN {
            known = colours(&|at| sure(at) && other.values[at] > breadth);
        }
        let drawn = colours(&|at| own.values[at] <= breadth && own.values[at] < other.values[at]);
        [Material::of(&known, CLOUDS), Material::of(&drawn, STROKE_CLOUDS)]
    }

    /// What is said of every cell: fixed under the strokes, out of their reach, and
    /// where a stroke only confirms what was there.
    fn said(&self) -> Vec<f32> {
        let (reach, breadth) = (self.cells(REACH), self.cells(HALF_BREADTH).max(1.0));
        let (wood, none) = (self.materials(true), self.materials(false));
        let likely = |of: &[Option<Material>; 2], lab: Lab| {
            of.iter().flatten().map(|it| it.likelihood(lab)).fold(ANY_COLOUR, f32::max)
        };
        let cells = (0..self.lab.len()).into_par_iter().map(|at| {
            let (says_wood, far) = self.nearest(at);
            let is_wood = self.share.values[at] > 0.5;
            let sign = if is_wood { 1.0 } else { -1.0 };
            if far <= breadth {
                return if says_wood { f32::INFINITY } else { f32::NEG_INFINITY };
            }
            if far >= reach || says_wood == is_wood {
                return sign * f32::INFINITY;
            }
            let seen = likely(&wood, self.lab[at]) - likely(&none, self.lab[at]);
            seen.clamp(-MOST_SAID, MOST_SAID) + sign * MOST_SAID * (far / reach).powi(2)
        });
        cells.collect()
    }

    /// How much of each cell is wood now. What changes hangs together with a stroke.
    fn mended(&self) -> Field {
        let said = self.said();
        let cut =
            Parting { width: self.grid.width, lab: &self.lab, said: &said, strength: STRENGTH }.parted();
        let changed = self.mask(|at| cut[at] != (self.share.values[at] > 0.5));
        let (part, sizes) = changed.parts();
        let mut reached = vec![false; sizes.len() + 1];
        for at in (0..part.len()).filter(|&at| said[at].is_infinite() && part[at] != 0) {
            reached[part[at] as usize] = true;
        }
        let changed = self.mask(|at| reached[part[at] as usize]);
        let mask = self.mask(|at| changed.cells[at] != (self.share.values[at] > 0.5));
        let anew = edge::shares(&self.light, &mask);
        let off = changed.inverted().depth();
        let values = (0..part.len()).map(|at| match (mask.cells[at], self.nearest(at).1 <= 1.0) {
            (wood, true) => {
                if wood {
                    1.0
                } else {
                    0.0
                }
            }
            _ if off.values[at] <= READ_ANEW => anew.values[at],
            _ => self.share.values[at],
        });
        Field::new(self.grid.width, self.grid.height, values.collect())
    }

    /// The shape of a field of shares, and of the strokes' neighbourhood.
    fn shape(&self, shares: &Field) -> Vec<Outline> {
        let smoothing = SMOOTHING / self.grid.cell;
        contours::shapes(shares, smoothing, TOLERANCE, |at| self.grid.place_of(at))
    }

    fn window(&self) -> Vec<Outline> {
        let reach = self.cells(REACH);
        let values = (0..self.lab.len()).map(|at| (reach - self.nearest(at).1).clamp(-0.5, 0.5) + 0.5);
        self.shape(&Field::new(self.grid.width, self.grid.height, values.collect()))
    }
}

/// The outline outside of the window, and what was found within it.
fn joined(outline: &Outline, found: &[Outline], window: &[Outline]) -> Result<Outline, Problem> {
    let mut parts = outline.minus(window);
    parts.extend(found.iter().flat_map(|it| window.iter().flat_map(|window| it.common(window))));
    let whole = outline::union(&parts).into_iter().next();
    let whole = whole.filter(|it| it.area().to_mm2() > CRUMB_MM2).ok_or_else(|| {
        Problem::new("the strokes leave no wood").hint("take the last stroke back, or draw what is wood")
    })?;
    let openings = whole.openings().iter().filter(|it| it.area().to_mm2() > CRUMB_MM2).cloned().collect();
    Outline::new(whole.outer().clone(), openings)
}

#[cfg(test)]
mod tests {
    use image::codecs::jpeg::JpegEncoder;
    use image::{Rgb, RgbImage};
    use outline::Ring;

    use super::*;

    const PIXEL: Length = Length::mm(0.5);

    /// Brown wood from 40 to 260 mm across and 40 to 160 mm up, with a strip of
    /// pale sapwood along its upper edge, on a gray bench of 300 by 200 mm.
    fn picture() -> Vec<u8> {
        let image = RgbImage::from_fn(600, 400, |x, y| {
            let noise = ((x * 7919 + y * 104_729) % 13) as u8;
            let (x, y) = ((f64::from(x) + 0.5) * 0.5, 200.0 - (f64::from(y) + 0.5) * 0.5);
            let on_wood = (40.0..260.0).contains(&x) && (40.0..160.0).contains(&y);
            Rgb(match (on_wood, y > 145.0) {
                (true, true) => [200 + noise, 170 + noise, 130 + noise],
                (true, false) => [110 + noise, 70 + noise, 45 + noise],
                (false, _) => [140 + noise, 142 + noise, 145 + noise],
            })
        });
        let mut jpeg = Vec::new();
        JpegEncoder::new_with_quality(&mut jpeg, 90).encode_image(&image).unwrap();
        jpeg
    }

    fn rectangle(low: (f64, f64), high: (f64, f64)) -> Outline {
        let corners = [low, (high.0, low.1), high, (low.0, high.1)];
        Outline::from(Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap())
    }

    fn stroke(wood: bool, line: &[(f64, f64)]) -> Stroke {
        Stroke { wood, line: line.iter().map(|&(x, y)| Point::new(x, y)).collect() }
    }

    fn off(found: &Outline, truth: &Outline) -> f64 {
        found.area_outside(truth).to_mm2() + truth.area_outside(found).to_mm2()
    }

    #[test]
    fn lost_sapwood_comes_back_and_the_rest_holds() {
        let heart = rectangle((40.0, 40.0), (260.0, 145.0));
        let drawn = [stroke(true, &[(50.0, 152.0), (250.0, 153.0)])];
        let found = mend_edge(&picture(), PIXEL, &heart, &drawn).unwrap();
        let truth = rectangle((40.0, 40.0), (260.0, 160.0));
        // A third of a millimetre along the edge.
        assert!(off(&found, &truth) < 75.0, "{} mm² are wrong of 3300", off(&found, &truth));
        let below = rectangle((0.0, 0.0), (300.0, 120.0));
        let held = off(&found.common(&below)[0], &heart.common(&below)[0]);
        assert!(held < 1e-3, "{held} mm² changed far from the stroke");
    }

    #[test]
    fn bench_taken_for_wood_goes() {
        let too_much = rectangle((40.0, 40.0), (280.0, 160.0));
        let drawn = [stroke(false, &[(271.0, 60.0), (270.0, 140.0)])];
        let found = mend_edge(&picture(), PIXEL, &too_much, &drawn).unwrap();
        let truth = rectangle((40.0, 40.0), (260.0, 160.0));
        assert!(off(&found, &truth) < 60.0, "{} mm² are wrong of 2400", off(&found, &truth));
    }

    #[test]
    fn a_stroke_that_only_confirms_changes_nothing() {
        let wood = rectangle((40.0, 40.0), (260.0, 160.0));
        let drawn = [stroke(true, &[(60.0, 100.0), (200.0, 150.0)]), stroke(false, &[(20.0, 20.0)])];
        let found = mend_edge(&picture(), PIXEL, &wood, &drawn).unwrap();
        assert!(off(&found, &wood) < 25.0, "{} mm²", off(&found, &wood));
    }

    #[test]
    fn hostile_strokes_are_refused_or_left_out() {
        let (picture, wood) = (picture(), rectangle((40.0, 40.0), (260.0, 160.0)));
        let mend = |strokes: &[Stroke]| mend_edge(&picture, PIXEL, &wood, strokes);
        assert_eq!(mend(&[]).unwrap(), wood);
        assert_eq!(mend(&[stroke(true, &[])]).unwrap(), wood);
        let beside = mend(&[stroke(false, &[(1e300, 210.0), (900.0, 300.0)])]).unwrap();
        assert!(off(&beside, &wood) < 1e-3, "a stroke beside the picture changes the edge");
        let refused = |strokes: &[Stroke], says: &str| {
            let problem = mend(strokes).unwrap_err();
            assert!(problem.message.contains(says), "{}", problem.message);
        };
        refused(&[stroke(true, &[(10.0, f64::NAN)])], "no number");
        refused(&[stroke(true, &vec![(10.0, 10.0); 1_000_000])], "1000000 points");
        refused(&[stroke(false, &[(0.0, 100.0), (300.0, 100.0)]), stroke(false, &zigzag())], "no wood");
        assert!(mend_edge(b"no picture", PIXEL, &wood, &[]).is_err());
        assert!(mend_edge(&picture, Length::ZERO, &wood, &[]).is_err());
    }

    /// A line over all of the picture.
    fn zigzag() -> Vec<(f64, f64)> {
        (0..200).map(|it| (if it % 2 == 0 { -5.0 } else { 305.0 }, f64::from(it))).collect()
    }
}

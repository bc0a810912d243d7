//! The scene cut into cells, with what is known of each before its colour is looked at.

use image::imageops::FilterType;
use measure::{Angle, Length, Problem};
use outline::{Bounds, Outline, Place, Point};
use rayon::prelude::*;

use crate::camera::Camera;
use crate::colour::{self, Light};
use crate::ground::Ground;
use crate::mask::{Cells, Known};
use crate::rectify::{self, Frame};
use crate::sheets::SeenSheet;
use crate::{Picture, Pixel, SheetsLie};

/// The most cells; more would only cost time.
const MOST_CELLS: f64 = 1_200_000.0;

/// Ground is learned from a rim this wide, as a share of the picture's shorter side.
const RIM: f64 = 0.035;

/// The thing is looked for first within this share of the picture's half width and height.
const MIDDLE: f64 = 0.22;

/// Paper shows for about this far round what is surely sheet.
const PAPER: Length = Length::mm(6.0);

/// Sights flatter than this many camera heights from its foot are not looked at.
const FARTHEST: f64 = 2.5;

/// Cells and light of a plane of the scene.
pub(crate) struct Plane {
    pub(crate) frame: Frame,
    pub(crate) cells: Cells,
    pub(crate) light: Vec<colour::Light>,
}

/// A sheet's cell is off the paper's tint by less than this, in L*a*b* units:
/// print and shadow are as gray as the paper.
const OFF_TINT: f32 = 7.0;

/// The paper's tint is read off its brightest cells: this share.
const BRIGHTEST: f64 = 0.2;

impl Plane {
    /// With sheets only where they look gray: wood on a sheet, or between it and
    /// the camera, lies open.
    pub(crate) fn uncovered(mut self) -> Plane {
        let mut sheet = self.cells.colours(|_, known| known == Known::Sheet);
        sheet.sort_by(|a, b| b[0].total_cmp(&a[0]));
        let paper = sheet.get((sheet.len() as f64 * BRIGHTEST) as usize).copied();
        let Some([bright, red, yellow]) = paper else { return self };
        for (known, lab) in self.cells.known.iter_mut().zip(&self.cells.lab) {
            let share = (lab[0] + 16.0) / (bright + 16.0);
            let off = (lab[1] - red * share).hypot(lab[2] - yellow * share);
            if matches!(known, Known::Sheet | Known::Paper) && off > OFF_TINT {
                *known = Known::Open;
            }
        }
        self
    }

    /// The same in cells twice as large.
    pub(crate) fn halved(&self) -> Plane {
        let (wide, tall) = (self.cells.width / 2, self.cells.height / 2);
        let parts = |at: usize| {
            let first = at / wide * 2 * self.cells.width + at % wide * 2;
            [first, first + 1, first + self.cells.width, first + self.cells.width + 1]
        };
        let light: Vec<Light> = (0..wide * tall)
            .into_par_iter()
            .map(|at| {
                let parts = parts(at).map(|it| self.light[it]);
                std::array::from_fn(|channel| parts.iter().map(|it| it[channel]).sum::<f32>() / 4.0)
            })
            .collect();
        let known = (0..wide * tall).map(|at| self.cells.known[parts(at)[0]]).collect();
        let lab = light.par_iter().map(|it| colour::lab(*it)).collect();
        let pixel = self.frame.pixel * 2.0;
        // A last odd row falls away below, and the frame stands on its lower edge.
        let odd = self.frame.pixel.to_mm() * (self.cells.height % 2) as f64;
        let at = self.frame.place.point(Point::new(0.0, odd));
        let place = Place { at, ..self.frame.place };
        let frame = Frame { place, pixel, width_px: wide as u32, height_px: tall as u32, ..self.frame };
        Plane { frame, cells: Cells { width: wide, height: tall, known, lab }, light }
    }
}

/// A closer look shows this much more than the thing, as a share of its longer side.
const ROUND_IT: f64 = 0.08;

/// All of the plane at `height` above the sheets, in cells no finer than
/// `finest`, each the mean of `samples` by `samples` places.
///
/// # Errors
/// The camera did not look down.
pub(crate) fn whole(
    picture: &Picture,
    ground: &Ground,
    height: Length,
    sheets: SheetsLie,
    (finest, samples): (Length, u32),
) -> Result<Plane, Problem> {
    let frame = whole_view(picture, ground.camera(), height, finest)
        .ok_or_else(|| Problem::new("the camera looked past the bench").hint("stand over the wood"))?;
    Ok(framed(picture, ground, frame, sheets, samples))
}

/// What the photograph shows of a frame on a plane of the scene.
pub(crate) fn framed(
    picture: &Picture,
    ground: &Ground,
    frame: Frame,
    sheets: SheetsLie,
    samples: u32,
) -> Plane {
    let camera = ground.camera();
    let size = (picture.width_px(), picture.height_px());
    let known = |middle: Pixel| {
        let at = frame.place_of(middle);
        let seen = camera.pixel(at, frame.height);
        seen.map_or(Known::Unseen, |seen| {
            paper_at(ground, at, frame.height, sheets).unwrap_or(lying(size, seen))
        })
    };
    plane(frame, rectify::colours(picture, camera, &frame, samples), known)
}

/// The neighbourhood of a thing that was found on the sheets' plane.
///
/// # Errors
/// The thing has no size.
pub(crate) fn closer(picture: &Picture, ground: &Ground, found: &Outline) -> Result<Plane, Problem> {
    let bounds = found.bounds();
    let edge = bounds.width().max(bounds.height()) * ROUND_IT;
    let area = (bounds.width() + edge * 2.0).to_mm() * (bounds.height() + edge * 2.0).to_mm();
    let pixel = Length::mm((area / MOST_CELLS).sqrt());
    let corners = found.outer().corners();
    let frame = rectify::frame_around(corners, Angle::ZERO, Length::ZERO, pixel, edge)
        .ok_or_else(|| Problem::new("the thing has no size"))?;
    let size = (frame.width_px, frame.height_px);
    let known = |middle: Pixel| {
        let at = frame.place_of(middle);
        paper_at(ground, at, Length::ZERO, SheetsLie::OnBench).unwrap_or(lying(size, middle))
    };
    Ok(plane(frame, rectify::colours(picture, ground.camera(), &frame, 1), known))
}

/// The picture as it is, or a part of it, as though one pixel were a millimetre.
pub(crate) fn flat(picture: &Picture, part: Option<Bounds>) -> Plane {
    let (width, height) = (f64::from(picture.width_px()), f64::from(picture.height_px()));
    let whole = Bounds { low: Point::default(), high: Point::new(width, height) };
    let part = part.map_or(whole, |it| {
        let edge = it.width().max(it.height()).to_mm() * ROUND_IT;
        Bounds {
            low: Point::new((it.low.x - edge).max(0.0).floor(), (it.low.y - edge).max(0.0).floor()),
            high: Point::new((it.high.x + edge).min(width).ceil(), (it.high.y + edge).min(height).ceil()),
        }
    });
    let (wide, tall) = (part.width().to_mm(), part.height().to_mm());
    let pixel = (wide * tall / MOST_CELLS).sqrt().max(1.0);
    let count = |side: f64| (side / pixel).round().max(1.0) as u32;
    let (width_px, height_px) = (count(wide), count(tall));
    let left_top = (part.low.x as u32, (height - part.high.y) as u32);
    let cropped = image::imageops::crop_imm(&picture.image, left_top.0, left_top.1, wide as u32, tall as u32)
        .to_image();
    let small = match (width_px, height_px) == cropped.dimensions() {
        true => cropped,
        false => image::imageops::resize(&cropped, width_px, height_px, FilterType::Triangle),
    };
    let colours = small.pixels().map(|it| Some(it.0.map(f32::from))).collect();
    let place = Place { at: part.low, ..Place::default() };
    let frame = Frame {
        place,
        height: Length::ZERO,
        pixel: Length::mm(wide / f64::from(width_px)),
        width_px,
        height_px,
    };
    plane(frame, colours, |middle| lying((width_px, height_px), middle))
}

fn plane(frame: Frame, colours: Vec<Option<[f32; 3]>>, known: impl Fn(Pixel) -> Known + Sync) -> Plane {
    let known = frame.map(known).into_iter().zip(&colours);
    let known = known.map(|(known, colour)| if colour.is_some() { known } else { Known::Unseen }).collect();
    let light: Vec<Light> = colours.into_par_iter().map(|it| colour::light(it.unwrap_or_default())).collect();
    let lab = light.par_iter().map(|it| colour::lab(*it)).collect();
    let (width, height) = (frame.width_px as usize, frame.height_px as usize);
    Plane { frame, cells: Cells { width, height, known, lab }, light }
}

/// What a scale sheet makes of a place.
fn paper_at(ground: &Ground, at: Point, height: Length, sheets: SheetsLie) -> Option<Known> {
    match sheets {
        SheetsLie::OnTop => ground.sheet_at(at, SeenSheet::may_cover).then_some(Known::SheetOver),
        SheetsLie::OnBench => {
            let low = ground.camera().behind(at, height, Length::ZERO);
            if ground.sheet_at(low, SeenSheet::covers) {
                return Some(Known::Sheet);
            }
            ground.sheet_at(low, beside_grid).then_some(Known::Paper)
        }
    }
}

fn beside_grid(sheet: &SeenSheet, at: Point) -> bool {
    let inward = |it: f64| it - PAPER.to_mm().copysign(it);
    sheet.covers(Point::new(inward(at.x), inward(at.y)))
}

/// What the place within a view of this size says of a cell.
fn lying((width, height): (u32, u32), at: Pixel) -> Known {
    let (width, height) = (f64::from(width), f64::from(height));
    let rim = RIM * width.min(height);
    let (x, y) = ((at.x / width - 0.5) * 2.0, (at.y / height - 0.5) * 2.0);
    if at.x < rim || at.y < rim || at.x > width - rim || at.y > height - rim {
        Known::Rim
    } else if x.hypot(y) < MIDDLE {
        Known::Middle
    } else {
        Known::Open
    }
}

/// All that the picture shows of a plane.
fn whole_view(picture: &Picture, camera: &Camera, height: Length, finest: Length) -> Option<Frame> {
    let (width, tall) = (f64::from(picture.width_px()), f64::from(picture.height_px()));
    let foot = Point::new(camera.position().x, camera.position().y);
    let reach = (camera.position().z - height.to_mm()) * FARTHEST;
    let border = (0..=16).flat_map(|step| {
        let share = f64::from(step) / 16.0;
        [(share, 0.0), (share, 1.0), (0.0, share), (1.0, share)]
    });
    let seen: Vec<Point> = border
        .filter_map(|(x, y)| camera.place(Pixel::new(x * width, y * tall), height))
        .map(|it| {
            let far = foot.distance(it).to_mm();
            if far > reach { foot.toward(it, reach / far) } else { it }
        })
        .collect();
    let bounds = Bounds::around(seen.iter().copied())?;
    let area = bounds.width().to_mm() * bounds.height().to_mm();
    let pixel = finest.max(Length::mm((area / MOST_CELLS).sqrt()));
    rectify::frame_around(&seen, Angle::ZERO, height, pixel, Length::ZERO)
}

//! How well silhouettes are traced: real leaves against another program's areas,
//! and drawn leaves photographed with their exact curves known.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use measure::{Length, Problem};
use outline::{Fit, Outline, Ring, read_svg};
use photo::{Picture, read_picture, silhouette};
use scene::{FlatAsk, photograph_flat};

/// Left, upper edge, width and height in pixels.
type Part = [u32; 4];

/// What was traced, and how far it is from the truth.
struct Traced {
    name: String,
    /// The area found over the true one, less one.
    area: f64,
    /// The farthest that both lines are from each other, as a share of the
    /// thing's longer side; only where the line itself is known.
    apart: Option<f64>,
}

impl Traced {
    fn told(self) -> Traced {
        let apart = self.apart.map_or_else(String::new, |it| format!(" apart_pct {:.3}", it * 100.0));
        println!("silhouette: {} area_off_pct {:+.3}{apart}", self.name, self.area * 100.0);
        self
    }
}

/// Traces every leaf and square, prints a line for each, and the worst of all as
/// `figure: photo.silhouette_area_pct`.
///
/// # Errors
/// A picture of `cases/pictures/leaf` is missing, or nothing is found in one.
pub(crate) fn silhouettes() -> Result<(), Problem> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases/pictures/leaf");
    let mut all = photographed(&folder)?;
    all.extend(drawn(&folder)?);
    let worst = |of: fn(&Traced) -> f64| all.iter().map(of).fold(0.0, f64::max);
    println!("figure: photo.silhouette_area_pct {:.4}", worst(|it| it.area.abs()) * 100.0);
    println!("figure: photo.silhouette_apart_pct {:.4}", worst(|it| it.apart.unwrap_or(0.0)) * 100.0);
    Ok(())
}

/// Real photographs: the areas are those that `checks/silhouettes.py` measures
/// with scikit-image.
fn photographed(folder: &Path) -> Result<Vec<Traced>, Problem> {
    let parts: BTreeMap<String, BTreeMap<String, Part>> = json(&folder.join("parts.json"))?;
    let areas: BTreeMap<String, BTreeMap<String, f64>> = json(&folder.join("areas.json"))?;
    let mut all = Vec::new();
    for (file, things) in parts {
        let picture = read_picture(&bytes(&folder.join(&file))?)?;
        for (thing, [left, top, width, height]) in things {
            let name = format!("{file} {thing}");
            let truth = areas.get(&file).and_then(|it| it.get(&thing));
            let truth = truth.ok_or_else(|| Problem::new(format!("areas.json has nothing of {name}")))?;
            let found = smooth(&picture.part(left, top, width, height)).map_err(|it| it.within(&name))?;
            all.push(Traced { area: found.area().to_mm2() / truth - 1.0, name, apart: None }.told());
        }
    }
    Ok(all)
}

/// Longer sides of the pictures of drawn leaves, in pixels.
const SIZES: [u32; 3] = [700, 1600, 3600];

/// The leaf takes this share of its picture's longer side.
const SHARE: f64 = 0.8;

/// Leaf on paper, paper on slate, and brown on gray, in linear light; the noise.
const LOOKS: [([f32; 3], [f32; 3], f32); 3] = [
    ([0.05, 0.12, 0.03], [0.72, 0.71, 0.68], 1.0),
    ([0.75, 0.74, 0.7], [0.06, 0.065, 0.07], 1.0),
    ([0.16, 0.09, 0.05], [0.24, 0.24, 0.24], 2.0),
];

/// Drawn leaves with their exact curves.
fn drawn(folder: &Path) -> Result<Vec<Traced>, Problem> {
    let mut all = Vec::new();
    for file in ["openclipart_leaf_01.svg", "openclipart_fall_coloured_leaf_geral_01.svg"] {
        let svg = bytes(&folder.join(file))?;
        for size in SIZES {
            let truth = placed(&read_svg(&svg, Some(Length::mm(f64::from(size) * SHARE)))?)?;
            let bounds = truth.bounds();
            let edge = f64::from(size) * (1.0 - SHARE) / 2.0;
            for (number, (shape, ground, noise)) in LOOKS.into_iter().enumerate() {
                let ask = FlatAsk {
                    width_px: size,
                    height_px: (bounds.high.y + edge).ceil() as u32,
                    shape,
                    ground,
                    noise,
                };
                let picture = read_picture(&photograph_flat(&truth, &ask)?)?;
                let name = format!("{file} at {size} px, look {number}");
                let found = smooth(&picture).map_err(|it| it.within(&name))?;
                let apart = apart(found.outer(), truth.outer()) / bounds.width().to_mm();
                let area = found.area().to_mm2() / truth.outer().area().to_mm2() - 1.0;
                all.push(Traced { name, area, apart: Some(apart) }.told());
            }
        }
    }
    Ok(all)
}

/// Half a millimetre on a board of 330 mm: what a traced line strays at first.
const PLAIN: f64 = 0.5 / 330.0;

/// The line as a maker gets it: traced, and made smooth as at first.
fn smooth(picture: &Picture) -> Result<Outline, Problem> {
    let found = silhouette(picture)?;
    let size = found.bounds().width().max(found.bounds().height());
    let stray = size * PLAIN;
    let fit = Fit { corners: Vec::new(), least_radius: stray * 2.0, stray, symmetric: false };
    Ok(Outline::from(found.outer().fitted(&fit)?.ring))
}

/// Without openings, with its edge free of the picture's.
fn placed(shape: &Outline) -> Result<Outline, Problem> {
    let by = shape.bounds().width().to_mm() / SHARE * (1.0 - SHARE) / 2.0;
    // Off the grid of the pixels.
    let (x, y) = (by + 0.37, by + 0.61);
    let moved = shape.outer().corners().iter().map(|it| outline::Point::new(it.x + x, it.y + y));
    Ok(Outline::from(Ring::new(moved.collect())?))
}

/// The farthest that two lines are from each other (Hausdorff), in millimetres.
fn apart(one: &Ring, other: &Ring) -> f64 {
    let way =
        |from: &Ring, to: &Ring| from.corners().iter().map(|it| to.distance(*it).to_mm()).fold(0.0, f64::max);
    way(one, other).max(way(other, one))
}

fn bytes(path: &PathBuf) -> Result<Vec<u8>, Problem> {
    fs::read(path).map_err(|it| Problem::new(format!("{}: {it}", path.display())))
}

fn json<T: serde::de::DeserializeOwned>(path: &PathBuf) -> Result<T, Problem> {
    serde_json::from_slice(&bytes(path)?).map_err(|it| Problem::new(format!("{}: {it}", path.display())))
}

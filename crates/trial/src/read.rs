//! Published instances, in the forms in which they are published.

use std::fs;
use std::path::{Path, PathBuf};

use measure::{Angle, Length, Problem};
use nest::{Asks, Kind, Turns};
use outline::{Outline, Point, Ring};
use serde::Deserialize;

use crate::instance::{Aim, Face, Instance, Known};

/// Instances are brought to about this size, in millimetres.
const SIZE: f64 = 1000.0;

/// All instances of a folder and its folders, in order.
pub(crate) fn files(folder: &Path) -> Result<Vec<PathBuf>, Problem> {
    let wrong = |it: std::io::Error| Problem::new(format!("{} cannot be read: {it}", folder.display()));
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).map_err(wrong)? {
        let path = entry.map_err(wrong)?.path();
        if path.is_dir() {
            found.extend(files(&path)?);
        } else if path.extension().is_some_and(|it| it == "json" || it == "txt") {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// One instance; its form is told by what stands in it.
pub(crate) fn instance(path: &Path) -> Result<Instance, Problem> {
    let at = path.display().to_string();
    let text = fs::read_to_string(path).map_err(|it| Problem::new(format!("{at} cannot be read: {it}")))?;
    let name = path.file_stem().map(|it| it.to_string_lossy().into_owned()).unwrap_or_default();
    let read = match path.extension().is_some_and(|it| it == "txt") {
        true => bins_of_pieces(&name, &text),
        false => serde_json::from_str::<Written>(&text)
            .map_err(|it| Problem::new(it.to_string()))
            .and_then(|it| it.instance(&name)),
    };
    read.map_err(|it| it.within(&at))
}

/// The JSON forms: a strip has a height, a knapsack a container, hides are bins.
#[derive(Deserialize)]
struct Written {
    items: Vec<Item>,
    strip_height: Option<f64>,
    min_separation: Option<f64>,
    peer_value: Option<f64>,
    container: Option<Container>,
    bins: Option<Vec<Bin>>,
}

#[derive(Deserialize)]
struct Item {
    #[serde(alias = "copies")]
    demand: usize,
    value: Option<f64>,
    min_quality: Option<u32>,
    allowed_orientations: Option<Vec<f64>>,
    rotation_windows_deg: Option<Vec<[f64; 2]>>,
    shape: Option<Simple>,
    polygon: Option<Vec<[f64; 2]>>,
}

#[derive(Deserialize)]
struct Simple {
    data: Vec<[f64; 2]>,
}

#[derive(Deserialize)]
struct Container {
    outer: Vec<[f64; 2]>,
    holes: Vec<Vec<[f64; 2]>>,
    zones: Vec<Zone>,
}

#[derive(Deserialize)]
struct Zone {
    quality: u32,
    #[serde(alias = "polygon")]
    shape: Corners,
}

/// Corners, written bare or as the data of a shape.
#[derive(Deserialize)]
#[serde(untagged)]
enum Corners {
    Bare(Vec<[f64; 2]>),
    Shape(Simple),
}

#[derive(Deserialize)]
struct Bin {
    shape: BinShape,
    zones: Vec<Zone>,
}

#[derive(Deserialize)]
struct BinShape {
    data: BinRings,
}

#[derive(Deserialize)]
struct BinRings {
    outer: Vec<[f64; 2]>,
    #[serde(default)]
    inner: Vec<Vec<[f64; 2]>>,
}

/// Qualities of hides, from nought, where nothing may lie, to the best.
const QUALITIES: u32 = 10;

impl Written {
    fn instance(&self, name: &str) -> Result<Instance, Problem> {
        let name = name.to_owned();
        if let Some(height) = self.strip_height {
            let unit = SIZE / height;
            let aim = Aim::Strip { width: Length::mm(SIZE), units: 1.0 / unit };
            return Ok(Instance {
                name,
                kinds: self.kinds(unit)?,
                faces: Vec::new(),
                gap: Length::ZERO,
                aim,
            });
        }
        if let Some(it) = &self.container {
            let unit = SIZE / width(&it.outer);
            let gap = Length::mm(self.min_separation.unwrap_or(0.0) * unit);
            let face = face(&it.outer, &it.holes, &it.zones, gap, unit)?;
            let aim = Aim::Value { known: self.peer_value.unwrap_or(f64::NAN), of: Known::Peer };
            return Ok(Instance { name, kinds: self.kinds(unit)?, faces: vec![face], gap, aim });
        }
        let bins = self.bins.as_deref().unwrap_or_default();
        let widest = bins.iter().map(|it| width(&it.shape.data.outer)).fold(0.0, f64::max);
        let unit = SIZE / widest;
        let faces = bins
            .iter()
            .map(|it| face(&it.shape.data.outer, &it.shape.data.inner, &it.zones, Length::ZERO, unit));
        let mut faces = faces.collect::<Result<Vec<Face>, Problem>>()?;
        faces.sort_by(|one, other| other.outline.area().to_mm2().total_cmp(&one.outline.area().to_mm2()));
        Ok(Instance { name, kinds: self.kinds(unit)?, faces, gap: Length::ZERO, aim: Aim::Faces })
    }

    fn kinds(&self, unit: f64) -> Result<Vec<(Kind, usize)>, Problem> {
        let kind = |it: &Item| {
            let corners = it.polygon.as_ref().or(it.shape.as_ref().map(|it| &it.data));
            let corners = corners.ok_or_else(|| Problem::new("an item has no shape"))?;
            let outline = Outline::from(ring(corners, unit)?);
            let value = it.value.unwrap_or_else(|| outline.area().to_mm2());
            if !(value.is_finite() && value >= 0.0) {
                return Err(Problem::new(format!("an item is worth {value}; expected zero or more")));
            }
            let least = it.min_quality.unwrap_or(QUALITIES);
            let bears = (least..QUALITIES).map(|it| 1 << it).sum();
            Ok((
                Kind { outline, turns: it.turns(), mirrors: false, value, bears, asks: Asks::default() },
                it.demand,
            ))
        };
        self.items.iter().map(kind).collect()
    }
}

impl Item {
    fn turns(&self) -> Turns {
        match (&self.rotation_windows_deg, &self.allowed_orientations) {
            (Some(windows), _) => Turns::Within(
                windows
                    .iter()
                    .map(|[from, to]| (Angle::degrees((from + to) / 2.0), Angle::degrees((to - from) / 2.0)))
                    .collect(),
            ),
            (None, Some(turns)) => Turns::At(turns.iter().map(|&it| Angle::degrees(it)).collect()),
            (None, None) => Turns::Any,
        }
    }
}

fn face(
    outer: &[[f64; 2]],
    holes: &[Vec<[f64; 2]>],
    zones: &[Zone],
    edge: Length,
    unit: f64,
) -> Result<Face, Problem> {
    let holes = holes.iter().map(|it| ring(it, unit).map(Outline::from));
    let holes = holes.collect::<Result<Vec<Outline>, Problem>>()?;
    // Some published holes reach over the edge, so they are cut out.
    let parts = Outline::from(ring(outer, unit)?).minus(&holes);
    let largest =
        parts.into_iter().max_by(|one, other| one.area().to_mm2().total_cmp(&other.area().to_mm2()));
    let outline = largest.ok_or_else(|| Problem::new("nothing of the container is left"))?;
    let bad = zones.iter().map(|it| {
        let (Corners::Bare(corners) | Corners::Shape(Simple { data: corners })) = &it.shape;
        Ok((ring(corners, unit)?, 1 << it.quality.min(QUALITIES - 1)))
    });
    Ok(Face { outline, edge, bad: bad.collect::<Result<_, Problem>>()?, grain: None })
}

fn width(corners: &[[f64; 2]]) -> f64 {
    let reach = |it: fn(f64, f64) -> f64, from: f64| corners.iter().map(|corner| corner[0]).fold(from, it);
    reach(f64::max, f64::NEG_INFINITY) - reach(f64::min, f64::INFINITY)
}

/// A ring of written corners; the last may repeat the first.
fn ring(corners: &[[f64; 2]], unit: f64) -> Result<Ring, Problem> {
    let mut corners: Vec<Point> = corners.iter().map(|it| Point::new(it[0] * unit, it[1] * unit)).collect();
    if corners.first() == corners.last() {
        corners.pop();
    }
    corners.dedup();
    Ring::new(corners)
}

/// The text form: the number of pieces, the bins' sides, then each piece as the
/// number of its corners and these. All bins are alike and can be filled to the
/// brim, so the fewest are as many as the pieces' area asks for.
fn bins_of_pieces(name: &str, text: &str) -> Result<Instance, Problem> {
    let numbers: Vec<f64> = text.split_whitespace().filter_map(|it| it.parse().ok()).collect();
    let mut numbers = numbers.into_iter();
    let mut next = || numbers.next().ok_or_else(|| Problem::new("it ends too early"));
    let (pieces, wide, high) = (next()?, next()?, next()?);
    let mut kinds = Vec::new();
    for _ in 0..pieces as usize {
        let corners = (0..next()? as usize).map(|_| Ok([next()?, next()?]));
        let outline = Outline::from(ring(&corners.collect::<Result<Vec<_>, Problem>>()?, 1.0)?);
        let value = outline.area().to_mm2();
        let turns = Turns::At(vec![Angle::ZERO]);
        kinds.push((Kind { outline, turns, mirrors: false, value, bears: 0, asks: Asks::default() }, 1));
    }
    let value: f64 = kinds.iter().map(|it| it.0.value).sum();
    let bin = || -> Result<Face, Problem> {
        // A hair larger: some pieces are as wide as a bin, and no two things that
        // are sawn lie without a hair between them.
        let ring = Ring::rectangle(Length::mm(wide + HAIR), Length::mm(high + HAIR))?;
        Ok(Face { outline: Outline::from(ring), edge: Length::ZERO, bad: Vec::new(), grain: None })
    };
    let bins = (value / (wide * high) - 1e-6).ceil() as usize;
    let faces = (0..bins).map(|_| bin()).collect::<Result<_, Problem>>()?;
    let aim = Aim::Value { known: value, of: Known::Best };
    Ok(Instance { name: name.to_owned(), kinds, faces, gap: Length::ZERO, aim })
}

/// By so much the bins are larger than published, in millimetres on a metre.
const HAIR: f64 = 0.02;

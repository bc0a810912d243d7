//! One picture: what lies where, how it is lit, and what is known of it.

use measure::{Angle, Length, Problem};
use outline::Point;

use crate::camera::Camera;
use crate::develop;
use crate::exif::Exif;
use crate::leaf::Leaf;
use crate::paper::{HALF_PAPER, LaidSheet, Printed, Rest};
use crate::slab::Slab;
use crate::things::Thing;
use crate::truth::{FibreTruth, SheetTruth, SlabTruth, TagTruth, Truth};
use crate::world::World;

/// Everything about one picture.
#[derive(Clone, Debug)]
pub struct Shot {
    /// What is photographed; a slab lies on the bench with its frame as the world's.
    pub subject: Subject,
    /// What lies below.
    pub bench: Bench,
    /// The scale sheets.
    pub sheets: Vec<LaidSheet>,
    /// How high above the bench the sheets lie: zero, or level with the slab's
    /// top, on a block of that height.
    pub sheets_level: Length,
    /// The camera.
    pub camera: Camera,
    /// The light.
    pub light: Light,
    /// Strength of the sensor's noise: 1 is a phone indoors, 0 is none.
    pub noise: f64,
    /// From 1 to 100.
    pub jpeg_quality: u8,
    /// How the camera turns light into a picture.
    pub film: Film,
    /// What lies about on the bench.
    pub things: Vec<Thing>,
    /// What the camera writes about the picture; `None` writes nothing.
    pub exif: Option<Exif>,
}

/// What is photographed.
#[derive(Clone, Debug)]
pub enum Subject {
    /// A slab of wood.
    Slab(Box<Slab>),
    /// A leaf.
    Leaf(Box<Leaf>),
}

/// What the subject lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bench {
    /// A grey concrete floor.
    Concrete,
    /// A bench top of pale planks.
    Planks,
    /// A large sheet of pale paper.
    Paper,
    /// A sheet of birch plywood.
    Plywood,
    /// Planed boards of the same wood as the slab.
    Boards,
    /// A concrete floor with sawdust on it.
    Sawdust,
}

/// A lamp or window, with light from all round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// The side it comes from, counter-clockwise from x.
    pub azimuth: Angle,
    /// How high it stands.
    pub elevation: Angle,
    /// 1.08 keeps paper just below white; 1.5 and more clips it.
    pub exposure: f64,
    /// Above 1 is a warm lamp, below 1 a blue sky.
    pub warmth: f64,
    /// Another lamp or window.
    pub second: Option<SecondLight>,
    /// The photographer's own shadow.
    pub shade: Option<Shade>,
    /// How strongly the wood mirrors the lamp: 1 is planed, 3 is oiled.
    pub gloss: f64,
}

/// Another lamp or window, of its own colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SecondLight {
    /// The side it comes from.
    pub azimuth: Angle,
    /// How high it stands.
    pub elevation: Angle,
    /// See [`Light::warmth`].
    pub warmth: f64,
    /// Its share of all the light.
    pub share: f64,
}

/// A soft shadow over everything: of a head or a hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shade {
    /// Its middle.
    pub at: Point,
    /// Half its length and half its width, in millimetres.
    pub half: [f64; 2],
    /// The share of the light that it takes away.
    pub depth: f64,
}

impl Light {
    /// One lamp.
    pub const PLAIN: Light = Light {
        azimuth: Angle::ZERO,
        elevation: Angle::ZERO,
        exposure: 1.0,
        warmth: 1.0,
        second: None,
        shade: None,
        gloss: 1.0,
    };
}

/// How a camera turns light into a picture, beside the plain sRGB curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Film {
    /// How much of an S the tone curve has: 0 is none, 1 a full smoothstep.
    pub contrast: f64,
    /// How strongly edges are sharpened (unsharp mask): 0 is not at all.
    pub sharpening: f64,
    /// How far the hand moved during the exposure, in pixels.
    pub motion_px: [f64; 2],
}

impl Film {
    /// The sRGB curve alone.
    pub const PLAIN: Film = Film { contrast: 0.0, sharpening: 0.0, motion_px: [0.0; 2] };
}

/// Takes the picture: a JPEG, and what is known of it.
///
/// # Errors
/// An orientation that is no turn (1, 3, 6, 8), or a picture that cannot be
/// written as a JPEG.
pub fn photograph(shot: &Shot) -> Result<(Vec<u8>, Truth), Problem> {
    let world = World::of(shot);
    let linear = world.expose(&shot.camera);
    let jpeg = develop::develop(shot, linear)?;
    Ok((jpeg, truth(shot, &world)))
}

fn truth(shot: &Shot, world: &World<'_>) -> Truth {
    let level = shot.sheets_level.to_mm();
    let printed = shot.printed();
    let sheets = shot.sheets.iter().enumerate().map(|(index, laid)| SheetTruth {
        number: laid.sheet.number(),
        at: laid.place.at,
        turn_degrees: laid.place.turn.to_degrees(),
        tags: laid.sheet.tags().map(|tag| tag_truth(shot, world, (index, &printed[index]), tag)).collect(),
    });
    let (slab, leaf) = match &shot.subject {
        Subject::Slab(slab) => (Some(slab_truth(slab)), None),
        Subject::Leaf(leaf) => (None, Some(leaf.outline().clone())),
    };
    Truth { camera: shot.camera, sheets_level_mm: level, sheets: sheets.collect(), slab, leaf }
}

impl Shot {
    /// The sheets, at the heights at which they lie.
    pub(crate) fn printed(&self) -> Vec<Printed> {
        self.sheets.iter().map(|it| Printed::of(it, self.level_of(it))).collect()
    }

    /// A sheet on the wood lies on its highest place under it.
    fn level_of(&self, laid: &LaidSheet) -> f64 {
        let plain = self.sheets_level.to_mm();
        let Subject::Slab(slab) = &self.subject else { return plain };
        if plain == 0.0 || laid.paper.rest == Rest::Block {
            return plain;
        }
        let [half_x, half_y] = HALF_PAPER;
        let steps = || (-7..=7).map(|it| f64::from(it) / 7.0);
        let under = steps().flat_map(|x| steps().map(move |y| Point::new(x * half_x, y * half_y)));
        under
            .map(|it| laid.place.point(it))
            .filter(|it| slab.to_outline.at(it.x, it.y) > 0.0)
            .map(|it| slab.height(it.x, it.y))
            .reduce(f64::max)
            .unwrap_or(plain)
            + THICK_PAPER
    }
}

/// How thick paper is, in millimetres.
const THICK_PAPER: f64 = 0.1;

fn tag_truth(
    shot: &Shot,
    world: &World<'_>,
    (index, printed): (usize, &Printed),
    tag: stock::Tag,
) -> TagTruth {
    let camera = &shot.camera;
    let seen = |print: Point| camera.project(printed.in_world(print));
    let corners = tag.corners().map(|it| {
        let [x, y, _] = printed.in_world(it);
        Point::new(x, y)
    });
    // One module further out: the white that a reader needs.
    let outer = 1.0 + 2.0 / stock::Tag::MODULES as f64;
    let visible = tag.corners().into_iter().all(|corner| {
        let far = tag.centre.toward(corner, outer);
        seen(far).is_some_and(|it| camera.sees(it, 2.0) && world.shows_sheet(camera, it, index))
    });
    // A tag behind the camera is out of the picture like any other unseen one.
    let corners_px = tag.corners().map(|it| seen(it).unwrap_or([-1.0, -1.0]));
    TagTruth { id: tag.id, corners, corners_px, visible }
}

fn slab_truth(slab: &Slab) -> SlabTruth {
    const EVERY: f64 = 40.0;
    const CLEAR: Length = Length::mm(10.0);
    let bounds = slab.outline().bounds();
    let count = |size: Length| (size.to_mm() / EVERY) as usize;
    let mut fibres = Vec::new();
    for row in 0..=count(bounds.height()) {
        for column in 0..=count(bounds.width()) {
            let at = Point::new(bounds.low.x + column as f64 * EVERY, bounds.low.y + row as f64 * EVERY);
            let clear = slab.knots().iter().all(|it| !it.ring.contains(at));
            if slab.wood_line().contains(at) && slab.wood_line().distance(at) > CLEAR && clear {
                fibres.push(FibreTruth { at, degrees: slab.fibre_at(at).to_degrees() });
            }
        }
    }
    SlabTruth {
        ask: slab.ask().clone(),
        length_mm: slab.length().to_mm(),
        width_mm: slab.width().to_mm(),
        thickness_mm: slab.ask().thickness.to_mm(),
        outline: slab.outline().clone(),
        wood_line: slab.wood_line().clone(),
        knots: slab.knots().to_vec(),
        checks: slab.checks().to_vec(),
        fibres,
    }
}

//! The pictures that the measuring of photographs is measured by: photo number
//! N follows from the number alone.
//!
//! Random are, evenly between bounds unless a spread is said:
//! - the wood: eight looks in turn, 400 to 1200 mm long, 160 to 420 wide, 18 to
//!   65 thick, seven in ten with live edges, 1 to 6 knots and up to 2 pins, up
//!   to 4 checks, one or two stains in 35 of a hundred, worm holes in 20, wane on
//!   40 of a hundred sawn planks, its upper face cupped by up to 1.5 mm;
//! - the sheets: two on the wood in 45 of a hundred, two on the bench in 25, one
//!   on the wood in 15, one on the bench in 15; on the wood only where it is
//!   longer and wider than they are, its ends in sight, as makers are told; printed too large or small by a
//!   spread of 0.4 %, each corner in three curled up by up to 3 mm;
//! - the camera: 22.6 to 28.4 mm as on a 36 x 24 mm frame, told in whole
//!   millimetres of a value that is up to 1 % off; principal point off by a spread
//!   of 0.3 % of the picture's width, k1 and k2 by 0.018, p1 and p2 by 0.0002;
//! - where it stands: 0 to 30° from straight down, mostly on the side of a long
//!   edge; near enough that slab and sheets fill the picture but for a border of
//!   2 to 9 %; one picture in four upright, stored on its side;
//! - the light: a lamp, in half of the pictures a second of another colour, in one
//!   of four the photographer's own shadow; the wood's gloss; the exposure;
//! - the ground: concrete, planks, plywood, sawdust on concrete, in one of ten
//!   boards of the slab's own wood; a pencil or a rule in three of ten;
//! - the picture: noise, an S-shaped tone curve, sharpening, in one of ten a hand
//!   that moved by up to 1.5 px, the JPEG's quality.
//!
//! The maker reads the thickness and the sheets' line with the errors that
//! [`crate::marks`] names. Nothing here is fitted to photographs; bounds are
//! common practice, no source.

mod frame;
mod lay;
mod mood;

use measure::{Length, Problem};

use crate::noise::Dice;
use crate::{Camera, Exif, Look, Nature, Shot, Slab, SlabAsk, Subject};
use frame::Stand;
use lay::Lay;

/// Pixels along the longer side of a picture of 12 megapixels (4 : 3).
pub const FULL_PX: u32 = 4032;

/// Which simulator the pictures come from: another name for every change that shows in them.
pub const EDITION: &str = "6";

/// The shot with this number; `width_px` is its longer side.
///
/// # Errors
/// None for a slab that grows, as all of these do.
pub fn shot(number: u32, width_px: u32) -> Result<Shot, Problem> {
    let mut dice = Dice::new(number.wrapping_mul(7919));
    let lay = Lay::thrown(&mut dice);
    let slab = slab(number, lay, &mut dice)?;
    let sheets = lay.sheets(&slab, &mut dice)?;
    let thickness = slab.ask().thickness;
    let sheets_level = if lay.on_top() { thickness } else { Length::ZERO };
    let (lens, exif) = lens(width_px, &mut dice);
    let light = mood::light(&mut dice);
    let bench = mood::bench(&mut dice);
    let film = mood::film(&mut dice);
    let (noise, jpeg_quality) = (dice.between(0.5, 1.5), dice.between(84.0, 96.0) as u8);
    let subject = Subject::Slab(Box::new(slab));
    let plain = Shot {
        subject,
        bench,
        sheets,
        sheets_level,
        camera: lens,
        light,
        noise,
        jpeg_quality,
        film,
        things: Vec::new(),
        exif,
    };
    let plain = Shot { things: mood::things(&plain, &mut dice), ..plain };
    let camera = Stand::thrown(lens.height_px > lens.width_px, &mut dice).frame(&plain, &mut dice);
    Ok(Shot { camera, ..plain })
}

fn slab(number: u32, lay: Lay, dice: &mut Dice) -> Result<Slab, Problem> {
    let length = dice.between(lay.shortest(), 1200.0);
    let ask = SlabAsk {
        seed: number,
        look: Look::ALL[number as usize % Look::ALL.len()],
        length: Length::mm(length),
        width: Length::mm(dice.between(lay.narrowest(), 420.0).min(length * 0.62)),
        thickness: Length::mm(dice.between(18.0, 65.0)),
        live_edge: dice.chance(0.7),
        sapwood: Length::mm(dice.between(6.0, 26.0)),
        knots: dice.between(1.0, 7.0) as usize,
        checks: dice.between(0.0, 5.0) as usize,
    };
    let nature = Nature {
        cup: Length::mm(dice.between(-1.5, 1.5)),
        ragged: dice.between(0.1, 0.24),
        faint: 0.5,
        pins: dice.between(0.0, 3.0) as usize,
        stains: if dice.chance(0.35) { dice.between(1.0, 3.0) as usize } else { 0 },
        worms: usize::from(dice.chance(0.2)),
        wane: dice.chance(0.4),
    };
    Slab::grow_as(&ask, &nature)
}

/// A telephone's lens, and what its file says of it.
fn lens(width_px: u32, dice: &mut Dice) -> (Camera, Option<Exif>) {
    let focal = dice.between(22.6, 28.4);
    let upright = dice.chance(0.25);
    let short_px = width_px * 3 / 4;
    let [across, down] = if upright { [short_px, width_px] } else { [width_px, short_px] };
    let plain = Camera::new(across, down, Length::mm(focal));
    let size = f64::from(width_px);
    let camera = Camera {
        principal_px: plain.principal_px.map(|it| it + dice.bell(0.003 * size)),
        k1: dice.bell(0.018),
        k2: dice.bell(0.018),
        tangential: [0, 1].map(|_| dice.bell(0.0002)),
        ..plain
    };
    let orientation = match (upright, dice.chance(0.5), dice.chance(0.2)) {
        (true, true, _) => 6,
        (true, false, _) => 8,
        (false, _, true) => 3,
        (false, _, false) => 1,
    };
    let told = (focal * (1.0 + dice.between(-0.01, 0.01))).round();
    (camera, Some(Exif { focal_35mm: told as u16, orientation }))
}

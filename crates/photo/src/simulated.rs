//! Sheets seen by a simulated camera: the fit, its doubts and its warnings
//! against exact truth, without a picture. The camera that draws is the crate
//! `scene`'s, which shares no code with the one that is fitted.

use measure::{Angle, Length};
use nalgebra::Vector2;
use outline::{Place, Point};
use scene::Camera;
use stock::ScaleSheet;

use crate::Pixel;
use crate::fit::{Fit, fit};
use crate::lens::Lens;
use crate::scene::Lie;
use crate::sheets::SeenSheet;
use crate::uncertain::{Doubts, Face, RestsOn, Sureness};
use crate::warn;

/// Even and bell-shaped random numbers from a seed (Steele, Lea and Flood,
/// "Fast splittable pseudorandom number generators", 2014; Box and Muller, 1958).
struct Dice(u64);

impl Dice {
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    fn bell(&mut self, spread: f64) -> f64 {
        let far = (-2.0 * self.even().max(f64::MIN_POSITIVE).ln()).sqrt();
        spread * far * (std::f64::consts::TAU * self.even()).cos()
    }
}

/// A camera with a lens like a telephone's, 1.3 m over the middle of a slab.
fn camera(dice: &mut Dice) -> Camera {
    let plain = Camera::new(4032, 3024, Length::mm(26.0));
    let [x, y] = plain.principal_px;
    // The file states 26 mm: rounded, and a little off beside.
    let focal = (26.0 + dice.between(-0.5, 0.5)) / 26.0 * (1.0 + dice.bell(0.008));
    Camera {
        focal_px: plain.focal_px * focal,
        principal_px: [x + dice.bell(0.003 * 4032.0), y + dice.bell(0.003 * 4032.0)],
        k1: dice.bell(0.025),
        k2: dice.bell(0.025),
        ..plain
    }
    .look_at(
        [dice.between(-20.0, 20.0), dice.between(-20.0, 20.0), 0.0],
        Length::mm(dice.between(1200.0, 1400.0)),
        Angle::degrees(dice.between(0.0, 30.0)),
        Angle::degrees(dice.between(-180.0, 180.0)),
        Angle::ZERO,
    )
}

fn lens() -> Lens {
    let focal = Camera::new(4032, 3024, Length::mm(26.0)).focal_px;
    let centre = Vector2::new(2016.0, 1512.0);
    Lens { focal, focal_doubt: 0.008_f64.hypot(0.2887 / 26.0), centre, centre_doubt: 0.003 * 4032.0 }
}

fn lies(dice: &mut Dice, count: usize) -> Vec<Lie> {
    let ends = [Point::new(-430.0, 340.0), Point::new(430.0, -330.0)];
    let each = ends.into_iter().take(count).map(|at| Lie {
        place: Place { at, turn: Angle::degrees(dice.bell(5.0)), mirrored: false },
        height: dice.bell(0.3),
        curl: [0.0; 3].map(|_: f64| dice.bell(0.3)),
    });
    each.collect()
}

/// The sheets' corners as drawn by the camera, read to `noise` pixels.
fn seen(camera: &Camera, lies: &[Lie], noise: f64, dice: &mut Dice) -> Vec<SeenSheet> {
    let each = lies.iter().zip(1..).map(|(lie, number)| {
        let sheet = ScaleSheet::numbered(number).unwrap();
        let mut draw = |at: Point| {
            let on = lie.place.point(at);
            // The first sheet is where heights are counted from.
            let z = lie.lift(at).to_mm() - if number == 1 { lie.height } else { lies[0].height };
            let [x, y] = camera.project([on.x, on.y, z]).unwrap();
            (at, Pixel::new(x + dice.bell(noise), y + dice.bell(noise)))
        };
        let corners = sheet.tags().flat_map(|tag| tag.corners()).map(&mut draw).collect();
        SeenSheet { sheet, tags: 24, corners, scale: 1.0 }
    });
    each.collect()
}

const HEIGHT: f64 = 42.0;

/// How often, out of a hundred, a length on a slab's face is off by no more than
/// is said, and the largest share that nineteen in twenty are off by.
fn coverage(sheets: usize) -> (f64, f64) {
    let (mut held, mut off) = (0, Vec::new());
    for seed in 0..150 {
        let mut dice = Dice(seed);
        let camera = camera(&mut dice);
        let lies = lies(&mut dice, sheets);
        let fitted = fit(&seen(&camera, &lies, 0.05, &mut dice), lens()).unwrap();
        let height = Length::mm(HEIGHT + dice.bell(0.4));
        // The plane's place: the first sheet's own coordinates are the scene's.
        let back = lies[0].place;
        let (sin, cos) = (back.turn.sin(), back.turn.cos());
        let middle = Point::new(-back.at.x * cos - back.at.y * sin, back.at.x * sin - back.at.y * cos);
        let place = Place { at: middle, turn: -back.turn, mirrored: false };
        let face = Face { place, half: [550.0, 150.0] };
        let doubts = Doubts { height, rests_on: RestsOn::Bench, print_measured: true, face };
        let sure = Sureness::of(&fitted, doubts);
        let (cup, wind) = (dice.bell(0.3), dice.bell(0.3));
        for _ in 0..4 {
            let ends = [(); 2].map(|()| [dice.between(-550.0, 550.0), dice.between(-150.0, 150.0)]);
            let place = |[x, y]: [f64; 2]| {
                let (u, v) = (x / 550.0, y / 150.0);
                let [x, y] = camera.project([x, y, HEIGHT + cup * v * v + wind * u * v]).unwrap();
                fitted.scene.camera.place(Pixel::new(x, y), height).unwrap()
            };
            let ([a, b], print) = (ends.map(place), 1.0 + dice.bell(0.0005));
            let long = (ends[1][0] - ends[0][0]).hypot(ends[1][1] - ends[0][1]);
            let wrong = (a.distance(b).to_mm() * print - long).abs();
            held += u32::from(wrong <= sure.doubt_of(a, b).to_mm());
            off.push(wrong / long);
        }
    }
    off.sort_by(f64::total_cmp);
    (f64::from(held) * 100.0 / off.len() as f64, off[off.len() * 95 / 100])
}

#[test]
fn nineteen_lengths_in_twenty_are_off_by_no_more_than_is_said() {
    // Of 150 pictures a share of 95 % is seen to about 1.3 %, for lengths on one picture err alike.
    let (two, off) = coverage(2);
    assert!((92.0..=98.0).contains(&two) && off < 0.003, "{two} %, {off}");
    let (one, off) = coverage(1);
    assert!((92.0..=98.0).contains(&one) && off < 0.006, "{one} %, {off}");
}

/// What is said of two sheets that lie like this, and the fit.
fn told(camera: &Camera, lies: &[Lie]) -> (String, Fit) {
    let sheets = seen(camera, lies, 0.05, &mut Dice(7));
    let fitted = fit(&sheets, lens()).unwrap();
    let told: Vec<String> = warn::lying(&sheets, &fitted).iter().map(ToString::to_string).collect();
    (told.join("; "), fitted)
}

fn slanting() -> (Camera, Vec<Lie>) {
    let mut dice = Dice(3);
    let away = Length::mm(1250.0);
    let camera =
        camera(&mut dice).look_at([0.0; 3], away, Angle::degrees(20.0), Angle::degrees(-80.0), Angle::ZERO);
    (camera, lies(&mut dice, 2))
}

#[test]
fn flat_sheets_are_not_spoken_of() {
    let (camera, lies) = slanting();
    assert_eq!(told(&camera, &lies).0, "");
}

#[test]
fn a_bent_sheet_is_named() {
    let (camera, mut lies) = slanting();
    for (curl, number) in [([6.0, 0.0, 0.0], 1), ([0.0, -7.0, 1.0], 2)] {
        lies[number - 1].curl = curl;
        let (said, _) = told(&camera, &lies);
        assert!(said.contains(&format!("scale sheet {number} is bent")), "{said}");
        assert!(!said.contains("height") && said.matches("bent").count() == 1, "{said}");
        lies[number - 1].curl = [0.0; 3];
    }
}

#[test]
fn sheets_at_two_heights_are_told_from_bent_ones() {
    let (camera, mut lies) = slanting();
    lies[1].height = 42.0;
    let (said, fitted) = told(&camera, &lies);
    assert!(!said.contains("bent"), "{said}");
    assert!(said.contains("do not lie at one height") || said.contains("one plane"), "{said}");
    assert!(fitted.alone_px.iter().all(|it| *it < 0.2), "{:?}", fitted.alone_px);
}

//! Faults beside knots and checks: where they are known, they are seen.

use image::GrayImage;
use measure::Length;
use outline::{Point, Ring};
use scene::marks::Marks;
use scene::{Look, Nature, Shot, Slab, SlabAsk, Subject, photograph, study};
use stock::ZoneKind;

fn faulty(seed: u32) -> Shot {
    let mut shot = study::shot(seed, 2400).unwrap();
    let ask = SlabAsk {
        seed,
        look: Look::Maple,
        length: Length::mm(600.0),
        width: Length::mm(300.0),
        thickness: Length::mm(30.0),
        live_edge: false,
        sapwood: Length::ZERO,
        knots: 2,
        checks: 0,
    };
    let nature = Nature { stains: 2, worms: 2, wane: true, ..Nature::CLEAN };
    shot.subject = Subject::Slab(Box::new(Slab::grow_as(&ask, &nature).unwrap()));
    shot.sheets.clear();
    shot
}

fn rings(marks: &Marks, kind: ZoneKind) -> Vec<Ring> {
    let of_kind = marks.faults.iter().filter(|it| it.kind == kind);
    let ring =
        |px: &Vec<[f64; 2]>| Ring::new(px.iter().map(|it| Point::new(it[0], it[1])).collect()).unwrap();
    of_kind.map(|it| ring(&it.ring_px)).collect()
}

/// Mean brightness within a ring of the picture grown or shrunk about its middle.
fn brightness(picture: &GrayImage, ring: &Ring, inner: f64, outer: f64) -> f64 {
    let middle = ring.centroid();
    let corners = ring.corners().iter();
    let values: Vec<f64> = corners
        .flat_map(|it| {
            (0..10).map(|step| middle.toward(*it, inner + (outer - inner) * f64::from(step) / 9.0))
        })
        .filter(|it| it.x >= 0.0 && it.y >= 0.0)
        .filter_map(|it| picture.get_pixel_checked(it.x as u32, it.y as u32))
        .map(|it| f64::from(it[0]))
        .collect();
    values.iter().sum::<f64>() / values.len() as f64
}

#[test]
fn worm_holes_and_stains_are_darker_than_the_wood_round_them() {
    for seed in [1, 2, 3] {
        let shot = faulty(seed);
        let marks = Marks::of(&shot).unwrap();
        let picture = image::load_from_memory(&photograph(&shot).unwrap().0).unwrap();
        let upright = match shot.exif.unwrap().orientation {
            3 => picture.rotate180(),
            6 => picture.rotate90(),
            8 => picture.rotate270(),
            _ => picture,
        };
        let gray = upright.to_luma8();
        let holes = rings(&marks, ZoneKind::Worm);
        assert!(holes.len() > 3, "{} holes", holes.len());
        // A hole of two pixels is hardly more than a shade.
        for hole in holes.iter().filter(|it| it.bounds().width().to_mm() > 3.5) {
            let (within, round) = (brightness(&gray, hole, 0.0, 0.4), brightness(&gray, hole, 2.5, 3.5));
            assert!(within < 0.8 * round, "a hole of {within} in wood of {round}");
        }
        for stain in rings(&marks, ZoneKind::Stain) {
            let (within, round) = (brightness(&gray, &stain, 0.0, 0.6), brightness(&gray, &stain, 1.5, 1.8));
            assert!(within < 0.96 * round, "a stain of {within} in wood of {round}");
        }
    }
}

#[test]
fn faults_lie_on_the_wood() {
    for seed in 1..=6 {
        let shot = study::shot(seed, 400).unwrap();
        let Subject::Slab(slab) = &shot.subject else { panic!("a slab") };
        let knots = slab.knots().iter().map(|it| &it.ring);
        for ring in slab.stains().chain(slab.worms()).chain(knots) {
            assert!(ring.corners().iter().all(|it| slab.wood_line().contains(*it)), "{seed}");
        }
        let Some(wane) = slab.wane() else { continue };
        let bounds = wane.bounds();
        let edge = bounds.high.y;
        assert!((edge - slab.ask().width.to_mm() / 2.0).abs() < 1e-9, "{seed}: along the far edge");
        let deepest = wane.corners().iter().map(|it| slab.ask().thickness.to_mm() - slab.on_top(*it)[2]);
        let deepest = deepest.fold(0.0, f64::max);
        assert!((2.0..0.9 * slab.ask().thickness.to_mm()).contains(&deepest), "{seed}: {deepest}");
    }
}

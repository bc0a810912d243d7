//! A shop, a few shapes and a way to run the search, for the tests.
#![allow(dead_code, reason = "each test file uses some of it")]

use handbook::{FinishKey, GlueKey, SpeciesKey};
use layout::Config;
use measure::{Angle, Checked, Force, Length, Moisture, Money, Temperature};
use outline::{Outline, Place, Point, Ring, Segment};
use stock::*;

pub(crate) fn mm(it: f64) -> Length {
    Length::mm(it)
}

pub(crate) fn ring(corners: &[[f64; 2]]) -> Ring {
    Ring::new(corners.iter().map(|&[x, y]| Point::new(x, y)).collect()).unwrap()
}

pub(crate) fn block(x: f64, y: f64, width: f64, height: f64) -> Ring {
    ring(&[[x, y], [x + width, y], [x + width, y + height], [x, y + height]])
}

/// A plank 25 mm thick, its grain along x.
pub(crate) fn plank(id: u32, length: f64, width: f64) -> Piece {
    Piece {
        id: PieceId(id),
        name: format!("plank {id}"),
        species: SpeciesKey::from("hard_maple"),
        form: Form::Plank,
        thickness: mm(25.0),
        moisture: None,
        price: None,
        place: String::new(),
        face: Face::rectangle(mm(length), mm(width)).unwrap(),
        far_face: None,
        sawn: None,
    }
}

pub(crate) fn priced(mut piece: Piece, whole: f64) -> Piece {
    piece.price = Some(Price::Whole(Money::units(whole)));
    piece
}

pub(crate) fn with_zone(mut piece: Piece, kind: ZoneKind, area: Ring) -> Piece {
    let id = ZoneId(piece.face.zones.len() as u32 + 1);
    piece.face.zones.push(Zone { id, kind, area, through: true, note: String::new() });
    piece
}

pub(crate) fn pattern(id: u32, name: &str, outline: Ring) -> Pattern {
    Pattern {
        id: PatternId(id),
        name: name.to_owned(),
        origin: Origin::Drawing { file: "drawn.svg".to_owned() },
        outline: Outline::from(outline),
        features: Vec::new(),
    }
}

pub(crate) fn with_stem(mut pattern: Pattern, from: [f64; 2], to: [f64; 2], within: f64) -> Pattern {
    let axis = Segment { from: Point::new(from[0], from[1]), to: Point::new(to[0], to[1]) };
    let kind = FeatureKind::Stem { axis, within: Angle::degrees(within), load: Force::newtons(50.0) };
    pattern.features.push(Feature { id: FeatureId(1), kind });
    pattern
}

/// A leaf-shaped board with a handle, drawn with many corners, its stem along x.
pub(crate) fn leaf(id: u32, length: f64, width: f64, corners: u32) -> Pattern {
    let spots = (0..corners).map(|step| {
        let turn = Angle::degrees(f64::from(step) * 360.0 / f64::from(corners));
        let taper = 1.0 - 0.65 * ((1.0 + turn.cos()) / 2.0).powi(3);
        Point::new(length / 2.0 * turn.cos(), width / 2.0 * turn.sin() * taper)
    });
    let drawn = pattern(id, &format!("leaf {id}"), Ring::new(spots.collect()).unwrap());
    with_stem(drawn, [length * 0.2, 0.0], [length * 0.48, 0.0], 15.0)
}

pub(crate) fn want(id: u32, pattern: u32, count: u32) -> Want {
    Want::new(WantId(id), PatternId(pattern), count, mm(20.0))
}

pub(crate) fn pin(want: u32, piece: u32, x: f64, y: f64) -> Pin {
    Pin {
        part: PartKey { want: WantId(want), copy: 1 },
        face: FaceKey::Piece(PieceId(piece)),
        place: Place { at: Point::new(x, y), turn: Angle::ZERO, mirrored: false },
    }
}

pub(crate) fn brief(pieces: Vec<Piece>, patterns: Vec<Pattern>, wants: Vec<Want>) -> Brief {
    let job = Job {
        id: JobId(1),
        name: "boards".to_owned(),
        wants,
        panels: Vec::new(),
        pieces: pieces.iter().map(|piece| piece.id).collect(),
        people: Vec::new(),
        due: jiff::civil::date(2026, 12, 1),
        finish: FinishKey::from("tung_oil"),
        glue: GlueKey::from("pva_water_resistant"),
        home: Climate { temperature: Temperature::celsius(20.0), humidity: Moisture::percent(45.0) },
        choices: Choices::default(),
        seed: 7,
    };
    let mut kit = ShopKit::starting();
    kit.units = measure::Units::MILLIMETRES;
    Brief { job, pieces, patterns, kit, today: jiff::civil::date(2026, 10, 1) }
}

pub(crate) fn run(brief: &Brief, effort: u32) -> Checked<Layout> {
    layout::lay_out(brief, &Config { effort, ..Config::default() }, &|_, _| {}, &|| false)
}

/// Two slabs with natural edges and faults, and seven parts of 200 corners.
pub(crate) fn usual_job() -> Brief {
    let slab = |id: u32, length: f64, width: f64| {
        let lower = (0..=80).map(|step| {
            let x = length * f64::from(step) / 80.0;
            Point::new(x, 18.0 + 14.0 * (x / 170.0).sin() + 6.0 * (x / 41.0).cos())
        });
        let upper = (0..=80).rev().map(|step| {
            let x = length * f64::from(step) / 80.0;
            Point::new(x, width - 20.0 + 15.0 * (x / 230.0).cos() + 5.0 * (x / 37.0).sin())
        });
        let mut piece = plank(id, length, width);
        piece.name = format!("slab {id}");
        piece.form = Form::Slab;
        piece.face.outline = Outline::from(Ring::new(lower.chain(upper).collect()).unwrap());
        piece.face.grain.samples = (0..12)
            .map(|step| GrainSample {
                at: Point::new(length * f64::from(step) / 11.0, width / 2.0),
                direction: Angle::degrees(4.0 * f64::from(step % 4) - 6.0),
                sure: 0.8,
            })
            .collect();
        piece
    };
    let first = with_zone(slab(1, 1500.0, 420.0), ZoneKind::Knot, block(430.0, 180.0, 50.0, 40.0));
    let first = with_zone(first, ZoneKind::Check, block(0.0, 195.0, 160.0, 8.0));
    let first = with_zone(first, ZoneKind::Sapwood, block(0.0, 0.0, 1500.0, 55.0));
    let second = with_zone(slab(2, 1100.0, 360.0), ZoneKind::Pith, block(500.0, 170.0, 240.0, 10.0));
    let patterns = vec![
        leaf(1, 460.0, 200.0, 200),
        leaf(2, 380.0, 160.0, 200),
        leaf(3, 300.0, 240.0, 200),
        pattern(4, "round", leaf(9, 200.0, 180.0, 200).outline.outer().clone()),
    ];
    let wants = vec![want(1, 1, 2), want(2, 2, 2), want(3, 3, 2), want(4, 4, 1)];
    brief(vec![first, second], patterns, wants)
}

//! A small invented shop for the tests: a walnut slab, two planks, a leaf-like
//! board with a stem, and a striped panel.

use handbook::{FinishKey, GlueKey, SpeciesKey};
use jiff::civil::date;
use measure::{Angle, Force, Length, Moisture, Money, Temperature};
use outline::{Outline, Place, Point, Ring, Segment};
use stock::{
    Brief, Choices, Climate, Face, FaceKey, Feature, FeatureId, FeatureKind, Finding, Form, Job, JobId,
    Layout, Origin, Panel, PanelId, PartKey, Pattern, PatternId, Piece, PieceId, Placement, Price, Reading,
    ShopKit, Source, StripKey, StripPlacement, StripRun, Want, WantId,
};

use crate::{Operation, OperationKind, Route, route};

/// The slab, the maple plank, the cherry plank.
pub(crate) const SLAB: PieceId = PieceId(1);
pub(crate) const MAPLE: PieceId = PieceId(2);
pub(crate) const CHERRY: PieceId = PieceId(3);
/// The board with a stem, out of the slab; the plain one, out of the panel.
pub(crate) const PADDLE: PatternId = PatternId(1);
pub(crate) const BOARD: PatternId = PatternId(2);
/// The striped panel.
pub(crate) const STRIPED: PanelId = PanelId(1);

pub(crate) fn ring(corners: &[[f64; 2]]) -> Ring {
    Ring::new(corners.iter().map(|&[x, y]| Point::new(x, y)).collect()).expect("a sound ring")
}

/// A regular polygon fine enough to pass for a circle.
pub(crate) fn disc(centre: Point, radius: f64, corners: u32) -> Ring {
    let at = |index: u32| {
        let turn = Angle::degrees(360.0 * f64::from(index) / f64::from(corners));
        [centre.x + radius * turn.cos(), centre.y + radius * turn.sin()]
    };
    ring(&(0..corners).map(at).collect::<Vec<_>>())
}

fn piece(id: PieceId, name: &str, wood: &str, length: f64, width: f64, thickness: f64) -> Piece {
    Piece {
        id,
        name: name.to_owned(),
        species: SpeciesKey::from(wood),
        form: Form::Plank,
        thickness: Length::mm(thickness),
        moisture: Some(Reading { moisture: Moisture::percent(9.0), on: date(2031, 3, 2) }),
        price: Some(Price::BoardFoot(Money::units(11.0))),
        place: "rack, lower bay".to_owned(),
        face: Face::rectangle(Length::mm(length), Length::mm(width)).expect("a sound face"),
        far_face: None,
        sawn: None,
    }
}

/// A board 300 by 200 mm with a stem 110 by 40 mm at its right end.
fn paddle() -> Pattern {
    let outline = ring(&[
        [0.0, 0.0],
        [300.0, 0.0],
        [300.0, 80.0],
        [410.0, 80.0],
        [410.0, 120.0],
        [300.0, 120.0],
        [300.0, 200.0],
        [0.0, 200.0],
    ]);
    let stem = FeatureKind::Stem {
        axis: Segment { from: Point::new(300.0, 100.0), to: Point::new(410.0, 100.0) },
        within: Angle::degrees(15.0),
        load: Force::pounds(10.0),
    };
    Pattern {
        id: PADDLE,
        name: "paddle".to_owned(),
        origin: Origin::Drawing { file: "paddle.svg".to_owned() },
        outline: Outline::from(outline),
        features: vec![Feature { id: FeatureId(1), kind: stem }],
    }
}

fn board() -> Pattern {
    let outline = Ring::rectangle(Length::mm(380.0), Length::mm(220.0)).expect("a sound ring");
    Pattern {
        id: BOARD,
        name: "board".to_owned(),
        origin: Origin::Drawing { file: "board.svg".to_owned() },
        outline: Outline::from(outline),
        features: Vec::new(),
    }
}

fn want(id: u32, pattern: PatternId, source: Source) -> Want {
    Want { source, ..Want::new(WantId(id), pattern, 1, Length::mm(19.0)) }
}

/// A job of one paddle out of the slab and one board out of the panel.
pub(crate) fn brief() -> Brief {
    let run = |piece, width: f64, count| StripRun { piece, width: Length::mm(width), count };
    Brief {
        job: Job {
            id: JobId(1),
            name: "two boards".to_owned(),
            wants: vec![want(1, PADDLE, Source::Pieces), want(2, BOARD, Source::Panel(STRIPED))],
            panels: vec![Panel {
                id: STRIPED,
                name: "striped panel".to_owned(),
                length: Length::mm(420.0),
                thickness: Length::mm(20.0),
                runs: vec![run(MAPLE, 45.0, 2), run(CHERRY, 60.0, 1), run(MAPLE, 45.0, 2)],
            }],
            pieces: vec![SLAB, MAPLE, CHERRY],
            people: Vec::new(),
            due: date(2031, 4, 20),
            finish: FinishKey::from("hardwax_oil"),
            glue: GlueKey::from("pva_water_resistant"),
            home: Climate { temperature: Temperature::celsius(21.0), humidity: Moisture::percent(50.0) },
            choices: Choices::default(),
            seed: 1,
        },
        pieces: vec![
            piece(SLAB, "walnut slab", "black_walnut", 620.0, 290.0, 27.0),
            piece(MAPLE, "maple plank", "hard_maple", 1500.0, 120.0, 26.0),
            piece(CHERRY, "cherry plank", "black_cherry", 1200.0, 110.0, 26.0),
        ],
        patterns: vec![paddle(), board()],
        kit: ShopKit::starting(),
        today: date(2031, 3, 3),
    }
}

fn lies(brief: &Brief, want: u32, face: FaceKey, at: Point) -> Placement {
    let part = PartKey { want: WantId(want), copy: 1 };
    let place = Place { at, ..Place::default() };
    let outline = place.outline(&brief.pattern_of(part).expect("a pattern").outline);
    Placement { part, face, place, outline, pinned: false }
}

/// Where the two boards and the strips lie.
pub(crate) fn layout(brief: &Brief) -> Layout {
    let strip = |number: u32, piece, low: f64, width: f64| StripPlacement {
        strip: StripKey { panel: STRIPED, strip: number },
        piece,
        outline: Outline::from(ring(&[[0.0, low], [450.0, low], [450.0, low + width], [0.0, low + width]])),
    };
    let mut layout = Layout {
        placements: vec![
            lies(brief, 1, FaceKey::Piece(SLAB), Point::new(40.0, 40.0)),
            lies(brief, 2, FaceKey::Panel(STRIPED), Point::new(20.0, 10.0)),
        ],
        ..Layout::default()
    };
    layout.strips = vec![
        strip(1, MAPLE, 5.0, 48.0),
        strip(2, MAPLE, 60.0, 48.0),
        strip(3, CHERRY, 5.0, 63.0),
        strip(4, MAPLE, 5.0, 48.0),
        strip(5, MAPLE, 60.0, 48.0),
    ];
    layout
}

/// The route of a brief whose parts lie where the fixture puts them.
pub(crate) fn routed(brief: &Brief) -> Route {
    route(brief, &layout(brief))
}

/// The findings of a rule.
pub(crate) fn told<'a>(route: &'a Route, rule: &str) -> Vec<&'a Finding> {
    route.findings.iter().filter(|it| it.rule == rule).collect()
}

/// The operations of a kind.
pub(crate) fn of_kind(route: &Route, kind: OperationKind) -> Vec<&Operation> {
    route.operations.iter().filter(|it| it.kind == kind).collect()
}

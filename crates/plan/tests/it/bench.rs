//! A small shop and its operations, written short.

use handbook::{FinishKey, GlueKey, SpeciesKey};
use jiff::civil::{Date, DateTime, Time, date};
use measure::{Length, Minutes, Moisture, Money, Temperature};
use outline::Outline;
use stock::{
    Brief, Choices, Climate, Face, FaceKey, Form, Job, JobId, Layout, Origin, PartKey, Pattern, PatternId,
    Person, PersonId, Piece, PieceId, Placement, Price, ShopKit, Want, WantId, WorkingDay,
};
use work::{Operation, OperationId, OperationKind};

/// Friday 27 November 2026.
pub(crate) const FRIDAY: Date = date(2026, 11, 27);

/// One board of 12 by 8 by 3/4 in out of a walnut plank of 48 by 9 by 1 in;
/// one maker, Monday to Friday, nine to five; work may start on Friday.
pub(crate) fn brief(due: Date) -> Brief {
    let kit = ShopKit::starting();
    let air = Climate { temperature: Temperature::celsius(21.0), humidity: Moisture::percent(45.0) };
    Brief {
        job: Job {
            id: JobId(1),
            name: "board for the table".to_owned(),
            wants: vec![Want::new(WantId(1), PatternId(1), 1, Length::inches(0.75))],
            panels: Vec::new(),
            pieces: vec![PieceId(1)],
            people: Vec::new(),
            due,
            finish: FinishKey::from("wiping_varnish"),
            glue: GlueKey::from("pva_water_resistant"),
            home: air,
            choices: Choices::default(),
            seed: 1,
        },
        pieces: vec![plank()],
        patterns: vec![pattern()],
        kit,
        today: FRIDAY,
    }
}

pub(crate) fn plank() -> Piece {
    Piece {
        id: PieceId(1),
        name: "walnut plank".to_owned(),
        species: SpeciesKey::from("black_walnut"),
        form: Form::Plank,
        thickness: Length::inches(1.0),
        moisture: None,
        price: Some(Price::BoardFoot(Money::units(12.0))),
        place: "top of the rack".to_owned(),
        face: Face::rectangle(Length::inches(48.0), Length::inches(9.0)).unwrap(),
        far_face: None,
        sawn: None,
    }
}

fn pattern() -> Pattern {
    let family = outline::Family::Rectangle {
        length: Length::inches(12.0),
        width: Length::inches(8.0),
        corner: Length::ZERO,
    };
    let outline = outline::Ring::rectangle(Length::inches(12.0), Length::inches(8.0)).unwrap();
    Pattern {
        id: PatternId(1),
        name: "board".to_owned(),
        origin: Origin::Family { family },
        outline: Outline::from(outline),
        features: Vec::new(),
    }
}

/// The board laid in the plank's lower left corner, an edge's allowance in.
pub(crate) fn layout(brief: &Brief) -> Layout {
    let place = outline::Place { at: outline::Point::new(10.0, 10.0), ..outline::Place::default() };
    let face = FaceKey::Piece(PieceId(1));
    let outline = place.outline(&brief.patterns[0].outline);
    let area = outline.area();
    let part = PartKey { want: WantId(1), copy: 1 };
    Layout {
        placements: vec![Placement { part, face, place, outline, pinned: false }],
        used: vec![(face, area)],
        ..Layout::default()
    }
}

pub(crate) fn person(id: u32, from: i8, to: i8) -> Person {
    let hours = WorkingDay { from: Time::constant(from, 0, 0, 0), to: Time::constant(to, 0, 0, 0) };
    let on = Some(hours);
    Person { id: PersonId(id), name: format!("maker {id}"), week: [on, on, on, on, on, None, None] }
}

/// An operation of so many hours of hands and of waiting, after others.
pub(crate) fn operation(id: u32, kind: OperationKind, hands: f64, wait: f64, after: &[u32]) -> Operation {
    Operation {
        id: OperationId(id),
        kind,
        title: format!("operation {id}"),
        inputs: Vec::new(),
        outputs: Vec::new(),
        after: after.iter().map(|&it| OperationId(it)).collect(),
        machine: None,
        clamps: 0,
        set_up: Vec::new(),
        steps: Vec::new(),
        hands: Minutes::hours(hands),
        unbroken: false,
        wait: Minutes::hours(wait),
        cautions: Vec::new(),
        uses: Vec::new(),
        figures: Vec::new(),
        marks: Vec::new(),
        cuts: Vec::new(),
        lines: Vec::new(),
        fixings: Vec::new(),
    }
}

/// A moment of November or December 2026.
pub(crate) fn at(month: i8, day: i8, hour: i8) -> DateTime {
    date(2026, month, day).at(hour, 0, 0, 0)
}

//! A job's wood is sawn in a real shop: what follows, what is refused, what undo brings back.

use std::path::PathBuf;

use measure::{Length, Moisture, Money};
use outline::{Family, Point, Ring};
use stock::{Form, PatternId, PictureId, Pin, Price, Reading, Want, WantId, Zone, ZoneId, ZoneKind};

use super::*;
use crate::view::{NewJob, NewPattern, NewPiece};
use crate::{Answer, SuitAsk};

const LEAF: &[u8] = include_bytes!("../../../../assets/demo/leaf.jpg");

/// A shop in a folder of its own, gone when the test is over.
struct Bench {
    shop: Shop,
    folder: PathBuf,
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

/// A plank 900 by 200 mm and a job that takes two boards of it, planned.
fn planned(name: &str) -> (Bench, JobId) {
    let folder = std::env::temp_dir().join(format!("treen-sawing-{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    let bench = Bench { shop: Shop::open(&folder).unwrap(), folder };
    let shop = &bench.shop;
    let piece = shop.add_piece(plank("Maple plank")).unwrap();
    let zone = |id, x: f64| Zone {
        id: ZoneId(id),
        kind: ZoneKind::Sapwood,
        area: rectangle(x, 0.0, x + 40.0, 200.0),
        through: true,
        note: "pale".to_owned(),
    };
    let moisture = Some(Reading { moisture: Moisture::percent(8.0), on: clock::today() });
    let price = Some(Price::Whole(Money::units(60.0)));
    let mut piece = Piece { moisture, price, place: "by the door".to_owned(), ..piece };
    piece.face.zones = vec![zone(1, 10.0), zone(2, 840.0)];
    shop.put_piece(piece, None).unwrap();
    let family =
        Family::Rectangle { length: Length::mm(250.0), width: Length::mm(120.0), corner: Length::mm(10.0) };
    shop.add_pattern(NewPattern { name: "Board".to_owned(), family }).unwrap();
    let job = wanting(shop, "Two boards", 2);
    plan(shop, job).unwrap();
    (bench, job)
}

fn plank(name: &str) -> NewPiece {
    NewPiece {
        name: name.to_owned(),
        species: "hard_maple".into(),
        form: Form::Plank,
        length: Length::mm(900.0),
        width: Length::mm(200.0),
        thickness: Length::mm(28.0),
        price: None,
    }
}

fn rectangle(left: f64, low: f64, right: f64, high: f64) -> Ring {
    let corners = [[left, low], [right, low], [right, high], [left, high]];
    Ring::new(corners.map(|[x, y]| Point::new(x, y)).to_vec()).unwrap()
}

fn wanting(shop: &Shop, name: &str, count: u32) -> JobId {
    let mut job = shop.add_job(NewJob { name: name.to_owned(), due: Date::constant(2190, 6, 1) }).unwrap();
    let thickness = Length::mm(19.0);
    let (id, pattern) = (WantId(1), PatternId(1));
    job.wants = vec![Want::new(id, pattern, count, thickness)];
    shop.put_job(&job, None).unwrap();
    job.id
}

fn plan(shop: &Shop, job: JobId) -> Result<crate::PlanView, Trouble> {
    shop.plan_job(job, &|_, _, _| (), &|| false)
}

fn refused<T: std::fmt::Debug>(it: Result<T, Trouble>) -> (String, String) {
    let trouble = it.expect_err("it is refused");
    let problem = trouble.problem();
    (problem.message.clone(), problem.hint.clone().unwrap_or_default())
}

/// Everything that is kept, without the version.
fn kept(shop: &Shop) -> crate::ShopView {
    crate::ShopView { version: 0, undo: None, redo: None, ..shop.view().unwrap() }
}

#[test]
fn what_is_left_goes_on_the_rack_and_all_of_it_is_one_change() {
    let (bench, job) = planned("rack");
    let shop = &bench.shop;
    let before = kept(shop);
    let told = shop.sawing(job).unwrap();
    assert_eq!(kept(shop), before, "looking at it keeps nothing");
    assert!(told.told.starts_with("1 piece is sawn; "), "{}", told.told);
    assert!(!told.leftovers.is_empty() && told.notes.is_empty(), "{told:?}");

    assert_eq!(shop.saw(job).unwrap(), told);
    let view = shop.view().unwrap();
    assert_eq!(view.undo.as_deref(), Some("saw the wood of Two boards"));
    let sawn = view.pieces[0].sawn.clone().unwrap();
    assert_eq!((sawn.job, sawn.on), (job, clock::today()));
    assert_eq!(view.pieces.len(), 1 + told.leftovers.len());
    for (piece, name) in view.pieces[1..].iter().zip(&told.leftovers) {
        assert_eq!((&piece.name, piece.form, piece.place.as_str()), (name, Form::Offcut, "by the door"));
        assert_eq!(piece.moisture, view.pieces[0].moisture);
        assert!(sawn.leftovers.contains(&piece.id) && piece.sawn.is_none());
    }
    let cost: f64 = view.pieces[1..].iter().filter_map(|it| it.cost()).map(Money::to_units).sum();
    assert!(cost > 0.0 && cost < 60.0, "{cost}");
    let zones = view.pieces[1..].iter().map(|it| it.face.zones.len()).sum::<usize>();
    assert!(zones >= 1, "the sapwood at an end is carried over");
    assert_eq!(view.jobs[0].sawn, Some(clock::today()));
    assert!(!view.jobs[0].plan.as_ref().unwrap().stale, "the plan is the one that it was sawn by");
    assert!(shop.packet(job).unwrap().starts_with(b"%PDF"));

    let after = kept(shop);
    shop.undo().unwrap();
    assert_eq!(kept(shop), before);
    shop.redo().unwrap();
    assert_eq!(kept(shop), after);
}

#[test]
fn what_was_sawn_is_wood_no_more() {
    let (bench, job) = planned("no-more");
    let shop = &bench.shop;
    let early = wanting(shop, "Early", 1);
    plan(shop, early).unwrap();
    shop.saw(job).unwrap();

    let late = wanting(shop, "Late", 1);
    assert!(!shop.job(late).unwrap().pieces.contains(&PieceId(1)), "a new job is not offered it");
    let suits = shop.suits(PatternId(1), SuitAsk { thickness: Length::mm(19.0) }).unwrap();
    assert!(suits.suits.iter().all(|it| it.piece != PieceId(1)), "{suits:?}");
    assert!(refused(shop.uses(PieceId(1))).0.contains("was sawn for “Two boards”"));
    assert!(refused(shop.put_piece(shop.piece(PieceId(1)).unwrap(), None)).0.contains("was sawn for"));
    let answer = Answer { face: Side::Near, candidate: ZoneId(1), is: None };
    assert!(refused(shop.answer(PieceId(1), &[answer])).0.contains("was sawn for"));
    assert!(refused(shop.remove_piece(PieceId(1))).1.contains("take the job away first"));

    let view = shop.plan(early).unwrap();
    assert!(view.stale, "its wood is gone");
    let (told, hint) = refused(shop.saw(early));
    assert!(told.contains("“Maple plank” was sawn for “Two boards”"), "{told}");
    assert!(hint.contains("undo"), "{hint}");
    let plan = plan(shop, early).unwrap().plan;
    let finding = plan.findings.iter().find(|it| it.rule == "wood that was sawn").unwrap();
    assert!(finding.what.contains("was sawn for “Two boards”"), "{finding:?}");
    assert_eq!(finding.grade, Grade::Note);
    assert!(!plan.layout.placements.iter().any(|it| it.face == FaceKey::Piece(PieceId(1))));
    assert!(!shop.plan(early).unwrap().stale);
}

#[test]
fn a_pin_on_wood_that_was_sawn_is_told_and_nothing_breaks() {
    let (bench, job) = planned("pinned");
    let shop = &bench.shop;
    let other = wanting(shop, "Pinned", 1);
    let mut it = shop.job(other).unwrap();
    let part = stock::PartKey { want: WantId(1), copy: 1 };
    let face = FaceKey::Piece(PieceId(1));
    it.choices.pins = vec![Pin { part, face, place: outline::Place::default() }];
    it.pieces = Vec::new();
    shop.put_job(&it, None).unwrap();
    shop.saw(job).unwrap();
    let plan = plan(shop, other).unwrap().plan;
    let finding = plan.findings.iter().find(|it| it.rule == "wood that was sawn").unwrap();
    assert_eq!(finding.grade, Grade::Mend);
    assert!(plan.findings.is_sorted_by_key(|it| it.grade), "the worst first");
}

#[test]
fn sawing_is_refused_with_its_reason() {
    let (bench, job) = planned("refused");
    let shop = &bench.shop;
    let other = wanting(shop, "Not planned", 1);
    assert!(refused(shop.saw(other)).0.contains("has no plan yet"));
    assert!(refused(shop.sawing(JobId(99))).0.contains("there is no job 99"));

    let mut changed = shop.job(job).unwrap();
    changed.wants[0].count = 1;
    shop.put_job(&changed, None).unwrap();
    let (told, hint) = refused(shop.saw(job));
    assert!(told.contains("is older than its wood, patterns or wishes"), "{told}");
    assert!(hint.contains("plan it again"), "{hint}");
    shop.undo().unwrap();

    shop.saw(job).unwrap();
    let (told, hint) = refused(shop.saw(job));
    assert!(told.contains("was sawn on") && told.contains("cannot be sawn twice"), "{told}");
    assert!(hint.contains("undo the sawing"), "{hint}");
    let (told, hint) = refused(plan(shop, job));
    assert!(told.contains("keeps the plan that it was sawn by") && hint.contains("undo"), "{told}");
    shop.undo().unwrap();
    plan(shop, job).unwrap();

    let mut empty = shop.job(other).unwrap();
    empty.pieces = Vec::new();
    shop.put_job(&empty, None).unwrap();
    plan(shop, other).unwrap();
    assert!(refused(shop.saw(other)).0.contains("lies on wood"));
}

#[test]
fn a_mark_is_not_written_by_hand() {
    let (bench, job) = planned("by-hand");
    let shop = &bench.shop;
    let mut piece = shop.piece(PieceId(1)).unwrap();
    piece.sawn = Some(Sawn { job, on: clock::today(), leftovers: Vec::new() });
    assert!(refused(shop.put_piece(piece, None)).0.contains("written down as sawn"));
    assert_eq!(shop.piece(PieceId(1)).unwrap().sawn, None);
}

/// The plank with a stored picture of so many pixels, as the face says.
fn pictured(shop: &Shop, picture: PictureId, pixel: f64) {
    let read = photo::read_picture(LEAF).unwrap();
    let mut piece = shop.piece(PieceId(1)).unwrap();
    let (width_px, height_px, pixel) = (read.width_px(), read.height_px(), Length::mm(pixel));
    piece.face.picture = Some(FacePicture { picture, width_px, height_px, pixel, original: None });
    shop.put_piece(piece, None).unwrap();
}

#[test]
fn leftovers_show_their_part_of_the_picture() {
    let (bench, job) = planned("picture");
    let shop = &bench.shop;
    let picture = shop.reading(|store| store.keep_picture(LEAF)).unwrap();
    pictured(shop, picture, 0.9);
    plan(shop, job).unwrap();
    let told = shop.saw(job).unwrap();
    assert_eq!(told.notes, []);
    let view = shop.view().unwrap();
    assert!(view.pieces.len() > 1);
    for piece in &view.pieces[1..] {
        let shown = piece.face.picture.as_ref().unwrap();
        let read = photo::read_picture(&shop.picture(&shown.picture).unwrap()).unwrap();
        assert_eq!((read.width_px(), read.height_px()), (shown.width_px, shown.height_px));
        assert_eq!(shown.pixel, Length::mm(0.9));
        let wide = f64::from(shown.width_px) * 0.9;
        let wood = piece.face.outline.bounds().width().to_mm();
        assert!((0.0..=0.9).contains(&(wide - wood)), "{wide} mm of picture for {wood} mm of wood");
    }
}

#[test]
fn a_picture_that_is_gone_or_cannot_be_is_told_and_the_outline_is_kept() {
    for (name, pixel, stored, told) in [
        ("gone", 0.9, false, "there is no picture"),
        ("vast", 0.000_01, true, "at most 64 million are kept"),
        ("none", 0.0, true, "expected more than 0"),
    ] {
        let (bench, job) = planned(name);
        let shop = &bench.shop;
        let picture = match stored {
            true => shop.reading(|store| store.keep_picture(LEAF)).unwrap(),
            false => PictureId("0".repeat(64)),
        };
        pictured(shop, picture, pixel);
        plan(shop, job).unwrap();
        let sawing = shop.saw(job).unwrap();
        assert!(sawing.notes[0].message.contains(told), "{name}: {:?}", sawing.notes);
        let view = shop.view().unwrap();
        assert_eq!(view.pieces.len(), 1 + sawing.leftovers.len());
        assert!(view.pieces[1..].iter().all(|it| it.face.picture.is_none()), "{name}");
    }
}

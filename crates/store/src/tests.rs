//! What is kept stays kept.

use std::fs;
use std::path::PathBuf;

use handbook::SpeciesKey;
use measure::Length;
use stock::{Face, Form, JobId, Piece, PieceId, ShopKit};

use crate::{Document, Edit, KeptPlan, Mark, Outcome, Store};

/// A folder of its own for each test, empty at the start.
fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("treen-store-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    folder
}

fn piece(id: u32, name: &str) -> Piece {
    Piece {
        id: PieceId(id),
        name: name.to_owned(),
        species: SpeciesKey::from("black_walnut"),
        form: Form::Plank,
        thickness: Length::mm(30.0),
        moisture: None,
        price: None,
        place: String::new(),
        face: Face::rectangle(Length::mm(900.0), Length::mm(250.0)).unwrap(),
        far_face: None,
        sawn: None,
    }
}

fn names(store: &Store) -> Vec<String> {
    store.all::<Piece>().unwrap().into_iter().map(|it| it.name).collect()
}

fn put(store: &mut Store, label: &str, piece: &Piece) {
    store.change(label, "2026-01-01T09:00", &[Edit::put(piece).unwrap()]).unwrap();
}

#[test]
fn undo_and_redo_survive_a_restart() {
    let folder = folder("undo");
    let mut store = Store::open(&folder).unwrap();
    put(&mut store, "bring in the plank", &piece(1, "plank"));
    put(&mut store, "rename the plank", &piece(1, "best plank"));
    store.change("take it away", "", &[Edit::remove::<Piece>(PieceId(1))]).unwrap();
    assert!(names(&store).is_empty());
    drop(store);

    let mut store = Store::open(&folder).unwrap();
    assert_eq!(store.undo().unwrap().as_deref(), Some("take it away"));
    assert_eq!(store.undo().unwrap().as_deref(), Some("rename the plank"));
    assert_eq!(names(&store), ["plank"]);
    assert_eq!(store.redo_label().unwrap().as_deref(), Some("rename the plank"));
    assert_eq!(store.redo().unwrap().as_deref(), Some("rename the plank"));
    assert_eq!(names(&store), ["best plank"]);
    put(&mut store, "another", &piece(2, "offcut"));
    assert_eq!(store.redo().unwrap(), None, "a new change ends what could be redone");
    assert_eq!(names(&store), ["best plank", "offcut"]);
}

#[test]
fn nobody_writes_over_a_change_that_they_have_not_seen() {
    let mut store = Store::open(&folder("overtaken")).unwrap();
    put(&mut store, "bring in", &piece(1, "plank"));
    put(&mut store, "bring in", &piece(2, "slab"));
    let seen = Some(store.version().unwrap());
    let edit = |name: &str| Edit::put(&piece(1, name)).unwrap().seen(seen);
    put(&mut store, "elsewhere", &piece(2, "slab of walnut"));
    assert_eq!(store.change("rename", "", &[edit("mine")]).unwrap(), Outcome::Made, "another document");
    let version = store.version().unwrap();
    assert_eq!(store.change("rename", "", &[edit("yours")]).unwrap(), Outcome::Overtaken);
    assert_eq!(
        (names(&store), store.version().unwrap()),
        (vec!["mine".into(), "slab of walnut".into()], version)
    );
    store.undo().unwrap();
    let undone = Edit::put(&piece(1, "late")).unwrap().seen(Some(version));
    assert_eq!(store.change("rename", "", &[undone]).unwrap(), Outcome::Overtaken, "undo is a change too");
}

#[test]
fn a_number_is_never_given_twice() {
    let store = Store::open(&folder("numbers")).unwrap();
    assert_eq!(store.next_number::<Piece>().unwrap(), 1);
    assert_eq!(store.next_number::<Piece>().unwrap(), 2);
    assert_eq!(store.next_number::<stock::Pattern>().unwrap(), 1);
}

#[test]
fn a_change_that_cannot_be_written_leaves_nothing_behind() {
    let folder = folder("whole");
    let mut store = Store::open(&folder).unwrap();
    put(&mut store, "bring in", &piece(1, "plank"));
    let version = store.version().unwrap();
    store.db.execute_batch("CREATE TRIGGER full BEFORE INSERT ON documents WHEN NEW.id = 3 BEGIN SELECT RAISE(ABORT, 'full'); END").unwrap();
    let edits = [Edit::put(&piece(2, "second")).unwrap(), Edit::put(&piece(3, "third")).unwrap()];
    assert!(store.change("two more", "", &edits).is_err());
    assert_eq!(names(&store), ["plank"]);
    assert_eq!(store.undo_label().unwrap().as_deref(), Some("bring in"));
    assert_eq!(store.version().unwrap(), version);
}

#[test]
fn two_programs_may_write_to_one_folder() {
    let folder = folder("two");
    let mut one = Store::open(&folder).unwrap();
    let mut other = Store::open(&folder).unwrap();
    let before = one.version().unwrap();
    put(&mut one, "first", &piece(1, "first"));
    put(&mut other, "second", &piece(2, "second"));
    assert_eq!(names(&one), ["first", "second"]);
    assert_eq!(one.version().unwrap(), before + 2);
}

#[test]
fn pictures_are_named_by_what_they_hold() {
    let store = Store::open(&folder("pictures")).unwrap();
    let id = store.keep_picture(b"abc").unwrap();
    // SHA-256 of "abc": FIPS 180-2, appendix B.1.
    assert_eq!(id.0, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    assert_eq!(store.keep_picture(b"abc").unwrap(), id);
    assert_eq!(store.picture(&id).as_deref(), Some(&b"abc"[..]));
    assert_eq!(store.picture(&stock::PictureId("../shop.sqlite".to_owned())), None);
}

#[test]
fn plans_and_marks_are_kept() {
    let mut store = Store::open(&folder("records")).unwrap();
    let job = JobId(4);
    let plan = KeptPlan { made_from: "x".to_owned(), short: "1".to_owned(), body: "{}".to_owned() };
    store.keep_plan(job, &plan).unwrap();
    store.keep_plan(job, &plan).unwrap();
    assert_eq!(store.plan(job).unwrap(), Some(plan));
    assert_eq!(store.plan_in_short(job).unwrap(), Some(("x".to_owned(), "1".to_owned())));
    let mark = Mark { at: "2026-02-03T10:00".to_owned(), note: "took twice as long".to_owned() };
    store.mark(job, "saw/1", Some(&mark)).unwrap();
    assert_eq!(store.marks(job).unwrap().get("saw/1"), Some(&mark));
    store.mark(job, "saw/1", None).unwrap();
    assert!(store.marks(job).unwrap().is_empty());
}

#[test]
fn a_file_that_is_no_shop_is_left_alone() {
    let folder = folder("foreign");
    fs::create_dir_all(&folder).unwrap();
    let file = folder.join("shop.sqlite");
    fs::write(&file, "these are the notes of someone else".repeat(100)).unwrap();
    let told = Store::open(&folder).err().expect("not a database").to_string();
    assert!(told.contains("is not a shop's file"), "{told}");
    assert!(fs::read_to_string(&file).unwrap().starts_with("these are the notes"));
}

#[test]
fn a_newer_file_is_refused() {
    let folder = folder("newer");
    let store = Store::open(&folder).unwrap();
    store.db.pragma_update(None, "user_version", 99).unwrap();
    drop(store);
    let told = Store::open(&folder).err().expect("newer").to_string();
    assert!(told.contains("newer version"), "{told}");
}

#[test]
fn a_damaged_document_is_named() {
    let mut store = Store::open(&folder("damaged")).unwrap();
    put(&mut store, "bring in", &piece(7, "plank"));
    store.db.execute("UPDATE documents SET body = '{\"id\":7'", []).unwrap();
    let told = store.all::<Piece>().unwrap_err().to_string();
    assert!(told.starts_with("piece 7 in the shop's file is damaged"), "{told}");
}

#[test]
fn the_kit_is_kept_like_any_document() {
    let mut store = Store::open(&folder("kit")).unwrap();
    let kit = ShopKit::starting();
    store.change("set up the shop", "", &[Edit::put(&kit).unwrap()]).unwrap();
    assert_eq!(store.get::<ShopKit>(kit.id()).unwrap(), Some(kit));
}

#[test]
fn a_piece_from_before_candidates_and_far_faces_opens() {
    let old = r#"{"id":1,"name":"slab","species":"black_walnut","form":"slab","thickness":40.0,
        "moisture":null,"price":null,"place":"","face":{
            "outline":{"outer":[[0,0],[900,0],[900,250],[0,250]],"openings":[]},
            "picture":{"picture":"0f","width_px":900,"height_px":250,"pixel":1.0},
            "zones":[],"grain":{"overall":0.0,"samples":[]},"doubt":0.003}}"#;
    let piece: Piece = serde_json::from_str(old).unwrap();
    assert!(piece.face.candidates.is_empty() && piece.far_face.is_none());
    assert_eq!(piece.face.picture.unwrap().original, None);
}

//! The packet and the scale sheets, read back.

mod fixture;

use lopdf::content::Content;
use lopdf::{Document, Object};
use measure::Units;
use stock::{Paper, PictureId};

fn packet(paper: Paper, units: Units) -> Vec<u8> {
    let brief = fixture::brief(paper, units);
    let picture = |id: &PictureId| (id.0 == fixture::PHOTO).then(fixture::photograph);
    packet::packet(&brief, &fixture::plan(&brief), &picture).unwrap()
}

fn keep(name: &str, pdf: &[u8]) {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(folder.join(name), pdf).unwrap();
}

#[test]
fn show() {
    keep("packet-letter.pdf", &packet(Paper::Letter, Units::INCHES));
    keep("packet-a4.pdf", &packet(Paper::A4, Units::MILLIMETRES));
    let doc = Document::load_mem(&packet(Paper::A4, Units::MILLIMETRES)).unwrap();
    let _ = (doc.get_pages().len(), Content::decode(b"").is_ok(), Object::Null);
}

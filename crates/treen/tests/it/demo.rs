//! The demo: real pictures, the whole job, a packet measured back.

use lopdf::{Document, Object};

use crate::Bench;

#[test]
fn the_demo_goes_from_photographs_to_a_packet() {
    let bench = Bench::new("demo");
    let told = bench.told(&["demo", "--no-serve"]);
    for part in ["Leaf board lies on", "Bread board 1 lies on", "Bread board 2 lies on", "Spoon rest lies on"]
    {
        assert!(told.contains(part), "{part}: {told}");
    }
    assert!(told.contains("Kitchen board lies on Kitchen panel"), "{told}");
    assert!(!told.contains("\nstop:"), "nothing stops the demo: {told}");
    assert!(told.contains("foot across the grain"), "the foot that was laid wrong is found: {told}");

    let packet = Document::load(bench.shop().join("packet.pdf")).unwrap();
    assert!(packet.get_pages().len() >= 8, "{} pages", packet.get_pages().len());
    let catalog = packet.catalog().unwrap();
    let wishes = catalog.get(b"ViewerPreferences").and_then(|it| packet.dereference(it)).unwrap().1;
    let scaling = wishes.as_dict().and_then(|it| it.get(b"PrintScaling")).unwrap();
    assert_eq!(scaling, &Object::Name(b"None".to_vec()), "no viewer may shrink the templates");

    let again = bench.told(&["demo", "--no-serve"]);
    assert!(again.contains("the packet lies in"), "a second time it is there already: {again}");
}

#[test]
fn a_mending_of_the_demo_is_made_and_taken_back() {
    let bench = Bench::new("mending");
    let told = bench.told(&["demo", "--no-serve"]);
    let line = told.lines().skip_while(|it| !it.contains("foot across the grain"));
    let offer =
        line.map(str::trim).find(|it| it.starts_with("the program can do this")).expect("it is offered");
    let number = offer.trim_end_matches('`').rsplit(' ').next().unwrap();
    bench.told(&["job", "mend", "1", number]);
    let mended = bench.told(&["job", "plan", "1"]);
    assert!(!mended.contains("foot across the grain"), "{mended}");
    assert!(bench.told(&["undo"]).contains("turn a foot"));
    assert!(bench.told(&["job", "plan", "1"]).contains("foot across the grain"));
}

//! Broken, huge and hostile input is refused with words, and nothing is lost.

use crate::{Bench, root};

fn with_a_plank(name: &str) -> Bench {
    let bench = Bench::new(name);
    bench.plank("hard_maple", "36", "7 1/4", "1 1/8");
    bench
}

fn photo(bench: &Bench, name: &str, bytes: &[u8]) -> String {
    let file = bench.file(name, bytes);
    let file = file.to_str().unwrap();
    bench.refused(&["rack", "photo", file, "Slab", "--species", "black_walnut", "--thickness", "40 mm"])
}

#[test]
fn pictures_that_are_none_are_refused() {
    let bench = with_a_plank("pictures");
    let before = bench.told(&["rack", "list"]);
    let real = std::fs::read(root().join("assets/demo/leaf.jpg")).unwrap();
    photo(&bench, "empty.jpg", b"");
    photo(&bench, "text.jpg", b"this is no picture at all");
    photo(&bench, "cut.jpg", &real[..real.len() / 3]);
    let mut garbled = real.clone();
    for (index, byte) in garbled.iter_mut().enumerate().skip(600) {
        *byte = byte.wrapping_mul(31).wrapping_add(index as u8);
    }
    photo(&bench, "garbled.jpg", &garbled);
    // A PNG that claims 60,000 by 60,000 pixels.
    let mut claims = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\xea\x60\0\0\xea\x60\x08\x02\0\0\0".to_vec();
    claims.extend([0; 40]);
    photo(&bench, "huge.png", &claims);
    assert_eq!(bench.told(&["rack", "list"]), before, "the rack is as it was");
}

#[test]
fn a_photograph_without_scale_sheets_says_so() {
    let bench = with_a_plank("sheetless");
    let told = photo(&bench, "grey.png", &grey_png());
    assert!(told.contains("sheet"), "{told}");
}

/// A 64 by 64 grey PNG, written by hand (RFC 2083; stored deflate blocks).
fn grey_png() -> Vec<u8> {
    let rows: Vec<u8> = (0..64).flat_map(|_| std::iter::once(0).chain([128; 64])).collect();
    let mut data = vec![0x78, 0x01, 0x01];
    data.extend((rows.len() as u16).to_le_bytes());
    data.extend((!(rows.len() as u16)).to_le_bytes());
    data.extend(&rows);
    let (mut a, mut b) = (1_u32, 0_u32);
    for &byte in &rows {
        a = (a + u32::from(byte)) % 65521;
        b = (b + a) % 65521;
    }
    data.extend((b << 16 | a).to_be_bytes());
    let mut png = b"\x89PNG\r\n\x1a\n".to_vec();
    for (kind, body) in
        [(b"IHDR", vec![0, 0, 0, 64, 0, 0, 0, 64, 8, 0, 0, 0, 0]), (b"IDAT", data), (b"IEND", Vec::new())]
    {
        png.extend((body.len() as u32).to_be_bytes());
        let checked: Vec<u8> = kind.iter().chain(&body).copied().collect();
        png.extend(&checked);
        png.extend(crc(&checked).to_be_bytes());
    }
    png
}

fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |sum, &byte| {
        (0..8).fold(sum ^ u32::from(byte), |it, _| if it & 1 == 1 { it >> 1 ^ 0xedb8_8320 } else { it >> 1 })
    })
}

#[test]
fn drawings_that_are_none_are_refused() {
    let bench = with_a_plank("drawings");
    let bomb = format!(
        "<!DOCTYPE svg [<!ENTITY a \"{}\">{}]><svg xmlns=\"http://www.w3.org/2000/svg\"><text>&j;</text></svg>",
        "x".repeat(100),
        ('b'..='j')
            .map(|it| format!("<!ENTITY {it} \"{}\">", format!("&{};", (it as u8 - 1) as char).repeat(20)))
            .collect::<String>()
    );
    let cases = [
        ("empty.svg", String::new()),
        ("text.svg", "no drawing".to_owned()),
        ("open.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"/>".to_owned()),
        ("far.svg", svg("M0 0 L1e300 0 L1e300 1e300 Z")),
        ("nan.svg", svg("M0 0 LNaN 4 L3 3 Z")),
        ("line.svg", svg("M0 0 L5 0 Z")),
        ("bomb.svg", bomb),
    ];
    for (name, text) in cases {
        let file = bench.file(name, text.as_bytes());
        let told = bench.refused(&["pattern", "drawing", file.to_str().unwrap(), "Shape"]);
        assert!(told.len() < 1000, "{name}: {told}");
    }
    assert!(bench.told(&["pattern", "list"]).contains("no pattern yet"));
}

fn svg(path: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100\" height=\"100\"><path d=\"{path}\"/></svg>"
    )
}

#[test]
fn lengths_and_words_say_what_was_expected() {
    let bench = with_a_plank("words");
    let plank = |length: &str, species: &str| {
        bench.refused(&[
            "rack",
            "add",
            "Plank",
            "--species",
            species,
            "--length",
            length,
            "--width",
            "7",
            "--thickness",
            "1",
        ])
    };
    assert!(plank("wide", "hard_maple").contains("expected a length, found “wide”"));
    assert!(plank("0", "hard_maple").contains("above zero"));
    assert!(plank("9999 ft", "hard_maple").contains("longer than 30 m"));
    assert!(plank("36", "maple").contains("hard_maple"), "the known species of that word are named");
    assert!(plank("36", "ironwood").contains("82 are known"));
}

#[test]
fn documents_that_break_a_rule_are_not_kept() {
    let bench = with_a_plank("documents");
    let before = bench.told(&["read", "piece", "1"]);
    let put = |name: &str, text: &str| {
        let file = bench.file(name, text.as_bytes());
        bench.refused(&["write", "piece", file.to_str().unwrap()])
    };
    put("cut.json", &before[..before.len() / 2]);
    put("deep.json", &"[".repeat(200_000));
    let crossed = before.replacen(
        "\"outer\": [",
        "\"outer\": [[0.0,0.0],[90.0,90.0],[90.0,0.0],[0.0,80.0]], \"x\": [",
        1,
    );
    assert!(put("crossed.json", &crossed).contains("crosses itself"));
    put("far.json", &before.replacen("914.", "1e999", 1));
    put("nobody.json", &before.replacen("\"id\": 1", "\"id\": 77", 1));
    assert_eq!(bench.told(&["read", "piece", "1"]), before);
}

#[test]
fn a_folder_that_is_no_shop_is_left_alone() {
    let bench = Bench::new("foreign");
    std::fs::create_dir_all(bench.shop()).unwrap();
    let notes = "someone else's notes\n".repeat(300);
    std::fs::write(bench.shop().join("shop.sqlite"), &notes).unwrap();
    assert!(bench.refused(&["rack", "list"]).contains("is not a shop's file"));
    assert_eq!(std::fs::read_to_string(bench.shop().join("shop.sqlite")).unwrap(), notes);
}

#[test]
fn air_and_readings_that_cannot_be_are_refused() {
    let bench = Bench::new("air");
    assert!(bench.told(&["facts", "air", "21", "50"]).contains("9.2 %"));
    assert!(bench.refused(&["facts", "air", "21", "140"]).contains("0 to 95 %"));
    assert!(bench.refused(&["facts", "air", "NaN", "50"]).contains("finite"));
    assert!(bench.told(&["facts", "meter", "9", "9.8"]).contains(": 10 %"));
    let rules = bench.told(&["facts", "rules"]);
    assert!(rules.contains("4-101.17") && rules.contains("no legal advice"), "{rules}");
    let grits = bench.told(&["facts", "grits"]);
    assert!(grits.contains("100 µm") && grits.contains("92 µm") && grits.contains("ISO 6344"), "{grits}");
    assert!(bench.refused(&["facts", "meter", "900", "10"]).contains("reading"));
    assert!(bench.refused(&["facts", "wood", "../etc"]).contains("no species"));
}

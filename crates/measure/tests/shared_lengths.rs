//! The page reads and writes lengths by the same rules; both are checked on
//! the same cases. The values follow from 1 in = 25.4 mm exactly
//! (international yard and pound agreement, 1959).

use measure::{Length, System, Units};
use serde::Deserialize;

#[derive(Deserialize)]
struct Cases {
    read: Vec<Read>,
    shown: Vec<Shown>,
}

#[derive(Deserialize)]
struct Read {
    text: String,
    bare: System,
    mm: Option<f64>,
}

#[derive(Deserialize)]
struct Shown {
    mm: f64,
    system: System,
    fraction: u32,
    shown: String,
}

fn cases() -> Cases {
    serde_json::from_str(include_str!("../../../cases/lengths.json")).expect("the cases are readable")
}

#[test]
fn every_case_is_read_alike() {
    for Read { text, bare, mm } in cases().read {
        let read = Length::parse(&text, bare).ok().map(Length::to_mm);
        let alike = match (read, mm) {
            (Some(read), Some(mm)) => (read - mm).abs() < 1e-9,
            (read, mm) => read == mm,
        };
        assert!(alike, "`{text}` read as {read:?}, not {mm:?}");
    }
}

#[test]
fn every_case_is_shown_alike() {
    for Shown { mm, system, fraction, shown } in cases().shown {
        assert_eq!(Units { system, fraction }.length(Length::mm(mm)), shown, "{mm} mm");
    }
}

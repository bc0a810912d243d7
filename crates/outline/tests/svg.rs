//! Drawings read in: true sizes, openings, joined shapes, and files that are
//! broken or mean harm.

use std::fmt::Write;
use std::time::{Duration, Instant};

use measure::Length;
use outline::{Outline, read_svg};
use proptest::prelude::*;

/// Long enough for a busy machine, short enough that nobody waits for nothing.
const PATIENCE: Duration = Duration::from_secs(10);

fn read(text: &str) -> Result<Outline, measure::Problem> {
    read_svg(text.as_bytes(), None)
}

fn drawing(inside: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm" viewBox="0 0 400 300">{inside}</svg>"#
    )
}

fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "expected {wanted} within {within}, found {found}");
}

#[test]
fn a_rectangle_in_millimetres_keeps_its_size() {
    let shape = read(&drawing(r#"<rect x="20" y="30" width="160" height="90"/>"#)).unwrap();
    near(shape.bounds().width().to_mm(), 160.0, 1e-3);
    near(shape.bounds().height().to_mm(), 90.0, 1e-3);
    near(shape.area().to_mm2(), 14_400.0, 0.2);
    near(shape.bounds().low.x, 0.0, 1e-9);
    near(shape.bounds().low.y, 0.0, 1e-9);
}

/// CSS Values and Units 4, section 6.2: 1in = 96px.
#[test]
fn a_drawing_without_units_has_96_to_the_inch() {
    let plain = r#"<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0H96V48H0Z"/></svg>"#;
    let shape = read(plain).unwrap();
    near(shape.bounds().width().to_mm(), 25.4, 1e-4);
    let longer = read_svg(plain.as_bytes(), Some(Length::mm(300.0))).unwrap();
    near(longer.bounds().width().to_mm(), 300.0, 1e-9);
    near(longer.bounds().height().to_mm(), 150.0, 1e-3);
}

#[test]
fn curves_stay_within_a_tenth_of_a_millimetre_at_the_wanted_size() {
    let text = drawing(r#"<circle cx="60" cy="60" r="5"/>"#);
    let shape = read_svg(text.as_bytes(), Some(Length::mm(800.0))).unwrap();
    let middle = shape.bounds().centre();
    let radii: Vec<f64> = shape
        .outer()
        .edges()
        .flat_map(|edge| [edge.from, edge.from.toward(edge.to, 0.5)])
        .map(|it| middle.distance(it).to_mm())
        .collect();
    let (low, high) = radii.iter().fold((f64::INFINITY, 0.0_f64), |(l, h), &r| (l.min(r), h.max(r)));
    // Drawing programs make a round of four cubics, off by up to 0.027 % (0.11 mm here).
    assert!(low > 399.85 && high < 400.15, "{low} to {high}");
}

#[test]
fn up_is_up() {
    let shape = read(&drawing(r#"<path d="M0 0 L100 0 L100 50 Z"/>"#)).unwrap();
    // The point at the lower right of the drawing lies low on the part.
    assert!(shape.outer().corners().iter().any(|it| (it.x - 100.0).abs() < 1e-3 && it.y.abs() < 1e-3));
    assert!(!shape.outer().corners().iter().any(|it| it.x.abs() < 1e-3 && it.y.abs() < 1e-3));
}

#[test]
fn closed_lines_inside_are_openings_whichever_way_they_run() {
    for hole in ["M40 40h20v20h-20z", "M40 40v20h20v-20z"] {
        let text =
            drawing(&format!(r#"<path d="M0 0H200V100H0Z {hole}"/><circle cx="150" cy="50" r="10"/>"#));
        let shape = read(&text).unwrap();
        assert_eq!(shape.openings().len(), 2, "{hole}");
        near(shape.area().to_mm2(), 20_000.0 - 400.0 - std::f64::consts::PI * 100.0, 5.0);
    }
}

#[test]
fn shapes_that_cross_are_one_and_strays_are_left_out() {
    let text = drawing(
        r#"<g transform="translate(10 10)"><rect width="200" height="100"/>
        <rect x="190" y="40" width="100" height="20"/><rect x="10" y="150" width="30" height="30"/></g>
        <path d="M0 0 L300 300 L10 200"/>"#,
    );
    let shape = read(&text).unwrap();
    near(shape.area().to_mm2(), 20_000.0 + 90.0 * 20.0, 0.5);
    assert!(shape.openings().is_empty());
}

#[test]
fn a_line_drawn_twice_is_still_a_board() {
    let shape =
        read(&drawing(r#"<rect width="200" height="100"/><rect width="200" height="100"/>"#)).unwrap();
    near(shape.area().to_mm2(), 20_000.0, 0.5);
    assert!(shape.openings().is_empty());
}

#[test]
fn used_shapes_and_transforms_are_followed_and_hidden_ones_not() {
    let text = drawing(
        r##"<defs><path id="leaf" d="M0 0H10V10H0Z"/></defs><use href="#leaf" transform="scale(10)"/>
        <rect width="300" height="300" style="display:none"/><rect width="300" height="300" display="none"/>
        <text>board</text>"##,
    );
    near(read(&text).unwrap().area().to_mm2(), 10_000.0, 0.2);
}

#[test]
fn an_outline_written_comes_back_the_same() {
    let hole = r#"<path d="M0 0H200V100H0Z"/><circle cx="150" cy="50" r="10"/>"#;
    let shape = read(&drawing(hole)).unwrap();
    let again = read(&drawing(&format!(r#"<path d="{}"/>"#, shape.svg_path()))).unwrap();
    near(again.area().to_mm2(), shape.area().to_mm2(), 0.5);
    assert_eq!(again.openings().len(), 1);
}

/// Refused in good time, with a message.
fn refused(text: &str, because: &str) {
    let start = Instant::now();
    let told = read(text).expect_err("a bad drawing must be refused");
    assert!(told.to_string().contains(because), "expected `{because}`, found `{told}`");
    assert!(start.elapsed() < PATIENCE, "{because}: took {:?}", start.elapsed());
}

#[test]
fn drawings_without_a_closed_line_are_refused() {
    refused(&drawing(""), "no closed line");
    refused(&drawing(r#"<path d="M0 0 L100 100 L200 0"/>"#), "no closed line");
    refused(&drawing("<text>only words</text>"), "no closed line");
    refused(&drawing(r#"<path d="M0 0 L100 0 L50 0 Z"/>"#), "no closed line");
}

#[test]
fn files_that_are_no_drawings_are_refused() {
    refused("", "not sound XML");
    refused("board", "not sound XML");
    refused("<html/>", "not an SVG drawing");
    refused("<svg><rect></svg>", "not sound XML");
    let told = read_svg(&[0x1f, 0x8b, 0xff, 0xfe], None).unwrap_err();
    assert!(told.message.contains("UTF-8"), "{told}");
    let told = read_svg(&vec![b' '; outline::MOST_SVG_BYTES + 1], None).unwrap_err();
    assert!(told.message.contains("bytes"), "{told}");
    assert!(read_svg(b"<svg/>", Some(Length::mm(-3.0))).is_err());
}

#[test]
fn numbers_beyond_all_reason_are_refused() {
    for path in ["M0 0H1e300V1e300H0Z", "M-1e38 -1e38H1e38V1e38Z", "M0 0 NaN 5 L4 4Z", "M0 0L1e9 0L1e9 1e9Z"]
    {
        let start = Instant::now();
        assert!(read(&drawing(&format!(r#"<path d="{path}"/>"#))).is_err(), "{path}");
        assert!(start.elapsed() < PATIENCE);
    }
    let scaled = drawing(r#"<g transform="scale(1e30)"><rect width="1e20" height="3"/></g>"#);
    assert!(read(&scaled).is_err());
    let wide = r#"<svg xmlns="http://www.w3.org/2000/svg"><rect width="1e7" height="1e7"/></svg>"#;
    refused(wide, "mm across");
}

#[test]
fn entity_bombs_are_refused_before_reading() {
    let mut bomb = String::from("<!DOCTYPE svg [<!ENTITY a0 'xxxxxxxxxx'>");
    for level in 1..10 {
        let _ = write!(bomb, "<!ENTITY a{level} '{}'>", format!("&a{};", level - 1).repeat(10));
    }
    bomb.push_str("]><svg xmlns='http://www.w3.org/2000/svg'><text>&a9;</text></svg>");
    refused(&bomb, "entities");
    let plain = r#"<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">"#;
    assert!(read(&format!("{plain}{}", drawing(r#"<rect width="9" height="9"/>"#))).is_ok());
}

#[test]
fn nested_uses_and_loops_are_refused() {
    let mut bomb = String::from(r#"<g id="g0"><rect width="9" height="9"/></g>"#);
    for level in 1..12 {
        let uses = format!(r##"<use href="#g{}"/>"##, level - 1).repeat(10);
        let _ = write!(bomb, r#"<g id="g{level}">{uses}</g>"#);
    }
    refused(&drawing(&bomb), "elements");
    refused(&drawing(r##"<g id="a"><use href="#a"/></g>"##), "uses itself");
    refused(&drawing(r##"<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>"##), "uses itself");
}

#[test]
fn deep_and_wide_drawings_are_refused() {
    let deep = format!("{}{}", "<g>".repeat(100_000), "</g>".repeat(100_000));
    refused(&drawing(&deep), "");
    refused(&drawing(&format!("{}{}", "<g>".repeat(60), "</g>".repeat(60))), "deep");
    refused(&drawing(&r#"<rect width="9" height="9"/>"#.repeat(30_000)), "elements");
    let long: String = (0..40_000).map(|it| format!("L{} {}", it % 173, it % 211)).collect();
    refused(&drawing(&format!(r#"<path d="M0 0{long}Z"/>"#)), "lines and curves");
    let scribble: String =
        (0..8_000).map(|it| format!("L{} {}", it * 7919 % 400, it * 104_729 % 300)).collect();
    refused(&drawing(&format!(r#"<path d="M0 0{scribble}Z"/>"#)), "cross");
    let crosses: String =
        (0..200).map(|it| format!(r#"<path d="M{it} 0h300v1h-300z M0 {it}h1v300h-1z"/>"#)).collect();
    let start = Instant::now();
    let _ = read(&drawing(&crosses));
    assert!(start.elapsed() < PATIENCE);
}

#[test]
fn nothing_outside_the_drawing_is_touched() {
    let text = drawing(
        r#"<image href="/etc/hostname.svg" width="9" height="9"/><rect width="10" height="10" fill="url(#p)"/>
        <filter id="f"/><marker id="m"><rect width="99" height="99"/></marker>
        <mask id="k"><rect width="99" height="99"/></mask><foreignObject><rect width="99" height="99"/></foreignObject>"#,
    );
    near(read(&text).unwrap().area().to_mm2(), 100.0, 0.01);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn garbage_never_panics(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = read_svg(&bytes, None);
    }

    #[test]
    fn garbled_paths_give_a_sound_outline_or_a_problem(path in "[MmLlHhVvCcQqAaSsTtZz0-9 .,eE+-]{0,120}") {
        if let Ok(shape) = read(&drawing(&format!(r#"<path d="M0 0{path}"/>"#))) {
            prop_assert!(shape.area().to_mm2() > 0.0);
            let rings = shape.openings().to_vec();
            prop_assert!(outline::Ring::new(shape.outer().corners().to_vec()).is_ok());
            prop_assert!(Outline::new(shape.outer().clone(), rings).is_ok());
        }
    }

    #[test]
    fn a_drawing_cut_off_anywhere_never_panics(at in 0_usize..700) {
        let whole = drawing(r##"<g transform="rotate(20)"><path d="M10 10C20 5 90 0 100 40S50 90 10 80z"/>
            <use href="#x" x="3"/><circle id="x" cx="40" cy="40" r="9"/></g>"##);
        let _ = read_svg(&whole.as_bytes()[..at.min(whole.len())], None);
    }
}

/// One rectangle of 100 by 50, and what is drawn besides it that must not count.
fn only_the_small_one(text: &str) {
    let shape = read(&drawing(text)).unwrap();
    near(shape.bounds().width().to_mm(), 100.0, 1e-3);
    near(shape.bounds().height().to_mm(), 50.0, 1e-3);
}

const SMALL: &str = r#"<rect x="20" y="30" width="100" height="50"/>"#;

/// CSS 2.2, section 11.2 (visibility) and 9.2.4 (display: none), by class, id and name.
#[test]
fn what_a_style_sheet_hides_is_left_out() {
    for (sheet, attribute) in [
        (".frame{fill:none;display:none}", "class=\"frame\""),
        ("/* page */ g .frame , #other { visibility : hidden ; stroke:#000 }", "class=\"frame\""),
        ("#frame{display:none}", "id=\"frame\""),
        ("@media print{.frame{display:inline}} .frame{display:none}", "class=\"frame\""),
        ("<![CDATA[.frame{display:none}]]>", "class=\"frame\""),
    ] {
        let frame = format!(r#"<g><rect {attribute} width="400" height="300"/></g>"#);
        only_the_small_one(&format!("<style>{sheet}</style>{frame}{SMALL}"));
    }
    // A rule counts for more than an attribute, and a style of one's own for more
    // than a rule (SVG 1.1, section 6.4).
    only_the_small_one(
        r#"<style>rect{display:inline}</style><rect width="100" height="50" display="none"/>"#,
    );
    let own = r#"<style>rect{display:inline}</style><rect width="400" height="300" style="display:none"/>"#;
    only_the_small_one(&format!("{own}{SMALL}"));
    let shown = format!(r#"<style>.cut{{fill:none;stroke:red}}</style><g class="cut">{SMALL}</g>"#);
    only_the_small_one(&shown);
}

#[test]
fn a_style_sheet_brings_in_nothing_from_elsewhere() {
    let sheet = r#"<style>@import url(http://elsewhere.example/a.css); rect{clip-path:url(http://elsewhere.example/b.svg#c);fill:url(file:///etc/passwd)}</style>"#;
    only_the_small_one(&format!("{sheet}{SMALL}"));
}

/// SVG 1.1, section 14.3.5: what lies outside of the clipping path is not drawn.
#[test]
fn a_clip_path_cuts_a_shape_off() {
    let clip = r#"<defs><clipPath id="c"><rect x="20" y="30" width="100" height="50"/></clipPath></defs>"#;
    let large = r#"width="300" height="200""#;
    only_the_small_one(&format!(r##"{clip}<rect {large} clip-path="url(#c)"/>"##));
    only_the_small_one(&format!(r##"{clip}<g style="clip-path:url(#c)"><rect {large}/></g>"##));
    only_the_small_one(&format!(
        r##"<style>.k{{clip-path:url(#c)}}</style>{clip}<g class="k"><rect {large}/></g>"##
    ));
    // Moved with the group that it cuts.
    only_the_small_one(&format!(
        r##"{clip}<g transform="translate(30 40) rotate(180)"><g clip-path="url(#c)"><rect {large}/></g></g>"##
    ));
    let page = r#"<clipPath id="p"><rect width="400" height="300"/></clipPath>"#;
    only_the_small_one(&format!(r##"{page}<g clip-path="url(#p)">{SMALL}</g>"##));
    let round = r##"<clipPath id="r"><circle cx="60" cy="60" r="50"/></clipPath><rect width="300" height="200" clip-path="url(#r)"/>"##;
    near(read(&drawing(round)).unwrap().area().to_mm2(), std::f64::consts::PI * 2500.0, 15.0);
}

#[test]
fn clips_that_cut_each_other_or_themselves_come_to_an_end() {
    let ring = r##"<clipPath id="a" clip-path="url(#b)"><rect width="9" height="9" clip-path="url(#a)"/></clipPath><clipPath id="b" clip-path="url(#a)"><rect width="9" height="9"/></clipPath><rect width="300" height="200" clip-path="url(#a)"/>"##;
    let start = Instant::now();
    let _ = read(&drawing(&format!("{ring}{SMALL}"))).map(|_| ());
    let both = r##"<clipPath id="a"><rect x="20" y="30" width="300" height="50"/></clipPath><clipPath id="b"><rect x="20" width="100" height="200"/></clipPath><g clip-path="url(#a)"><rect width="300" height="200" clip-path="url(#b)"/></g>"##;
    only_the_small_one(both);
    assert!(start.elapsed() < PATIENCE);
}

#[test]
fn clips_that_would_be_copied_without_end_are_refused() {
    let many = |count: usize, one: &str| one.repeat(count);
    let clip = many(1000, r#"<rect width="1" height="0.001"/>"#);
    let cut = many(4000, r##"<rect width="9" height="9" clip-path="url(#c)"/>"##);
    let text =
        drawing(&format!(r#"<clipPath id="c" clipPathUnits="objectBoundingBox">{clip}</clipPath>{cut}"#));
    refused(&text, "by clip paths of up to");
}

/// SVG 1.1, section 5.8.2: of a switch the first child that can be shown is.
#[test]
fn of_a_switch_the_plain_part_is_read() {
    only_the_small_one(&format!(
        r#"<switch><foreignObject requiredExtensions="http://ns.example/private" width="1" height="1"/><g>{SMALL}</g></switch>"#
    ));
}

//! The packet and the scale sheets, read back with an independent PDF reader.

mod fixture;
mod reading;

use measure::{Length, Units};
use outline::{Outline, Point, Ring};
use plan::Plan;
use reading::Sheet;
use stock::{Brief, Paper, PictureId};

/// How far a measure read back may be off, in points (1/72 in): 0.0035 mm.
const LIMIT: f64 = 0.01;
/// 100 mm in points: 100 / 25.4 · 72.
const BAR: f64 = 283.464_566_9;
/// Counted by hand: the paddle takes 6 sheets, the oval 6, the block 4.
const TEMPLATE_SHEETS: usize = 16;
/// Of those, the paddle's last one, below its stem, holds no line; on A4, whose
/// sheets are higher, neither does the oval's.
const BLANK: [(Paper, usize); 2] = [(Paper::Letter, 1), (Paper::A4, 2)];

const BOTH: [(&str, Paper, Units); 2] =
    [("letter", Paper::Letter, Units::INCHES), ("a4", Paper::A4, Units::MILLIMETRES)];

fn packet(brief: &Brief, plan: &Plan) -> Vec<u8> {
    let picture = |id: &PictureId| (id.0 == fixture::PHOTO).then(fixture::photograph);
    packet::packet(brief, plan, &picture).unwrap()
}

/// Keeps a file for `checks/pdf_scale.py` and for the eye.
fn keep(name: &str, pdf: &[u8]) {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(folder.join(name), pdf).unwrap();
}

/// Letter is 8.5 by 11 in, A4 210 by 297 mm (ISO 216); either may lie.
fn is_on(sheet: &Sheet, paper: Paper) -> bool {
    let (short, long) = match paper {
        Paper::Letter => (612.0, 792.0),
        Paper::A4 => (595.275_590_6, 841.889_763_8),
    };
    let [width, height] = sheet.size;
    (width.min(height) - short).abs() < LIMIT && (width.max(height) - long).abs() < LIMIT
}

#[test]
fn every_template_sheet_has_a_bar_of_exactly_100_mm() {
    for (name, paper, units) in BOTH {
        let brief = fixture::brief(paper, units);
        let pdf = packet(&brief, &fixture::plan(&brief));
        keep(&format!("packet-{name}.pdf"), &pdf);
        let sheets = reading::sheets(&pdf);
        assert!(sheets.iter().all(|sheet| is_on(sheet, paper)), "{name}: a page of another size");
        let has_bar = |sheet: &&Sheet| sheet.level.iter().any(|it| (it - BAR).abs() < LIMIT);
        let blank = BLANK.iter().find(|it| it.0 == paper).unwrap().1;
        assert_eq!(sheets.iter().filter(has_bar).count(), TEMPLATE_SHEETS - blank, "{name}");
        assert_eq!(reading::print_scaling(&pdf), "None", "{name}");
    }
}

/// A strip's number is that of the gluing; the finding on the slab is the second.
#[test]
fn parts_strips_and_findings_stand_on_the_wood_by_their_own_numbers() {
    let brief = fixture::brief(Paper::Letter, Units::INCHES);
    let mut plan = fixture::plan(&brief);
    let times = |plan: &Plan, number: &str| {
        let pages = reading::words(&packet(&brief, plan));
        let wood = pages.iter().find(|it| it.contains("Wood and layout")).unwrap();
        wood.split_whitespace().filter(|it| *it == number).count()
    };
    for number in ["P1", "P2", "S1", "S2", "S3"] {
        assert!(times(&plan, number) > 0, "{number} is not on the wood");
    }
    let flagged = ["1", "2", "3"].map(|it| times(&plan, it));
    plan.findings.clear();
    let bare = ["1", "2", "3"].map(|it| times(&plan, it));
    assert_eq!(flagged, [bare[0], bare[1] + 1, bare[2]]);
}

/// Every face's own page: all cuts with their words, and what is left to sand.
#[test]
fn cuts_are_printed_by_the_numbers_of_their_sheet() {
    let brief = fixture::brief(Paper::Letter, Units::INCHES);
    let mut plan = fixture::plan(&brief);
    let without = reading::words(&packet(&brief, &plan)).join(" ");
    assert!(!without.contains("reach to the column"));
    plan.cut_sheets = work::route(&brief, &plan.layout).cut_sheets;
    assert!(!plan.cut_sheets.is_empty(), "the paddles are sawn out of the slab");
    let pdf = packet(&brief, &plan);
    keep("packet-cuts.pdf", &pdf);
    let text = reading::words(&pdf).join(" ");
    assert!(text.contains("reach to the column") && text.contains("left for the sander"));
    for sheet in &plan.cut_sheets {
        for figures in &sheet.cuts {
            let begin: Vec<&str> = figures.words.split_whitespace().take(3).collect();
            assert!(text.contains(&begin.join(" ")), "{}", figures.words);
        }
    }
    let page =
        reading::words(&pdf).into_iter().find(|it| it.contains("The same numbers as on the screen")).unwrap();
    for number in 1..=plan.cut_sheets[0].cuts.len() {
        let times = page.split_whitespace().filter(|it| *it == number.to_string()).count();
        assert!(times >= 2, "{number} is on the drawing and in the table");
    }
}

#[test]
fn holes_that_openings_are_begun_in_are_told_with_the_cuts_and_on_their_card() {
    let mut brief = fixture::brief(Paper::Letter, Units::INCHES);
    let outer = brief.patterns[2].outline.outer().clone();
    let middle = outer.centroid();
    let corners = [(-30.0, -10.0), (30.0, -10.0), (30.0, 10.0), (-30.0, 10.0)];
    let slot = corners.map(|(x, y)| Point::new(middle.x + x, middle.y + y));
    let told = |brief: &Brief| {
        let mut plan = fixture::plan(brief);
        let route = work::route(brief, &plan.layout);
        (plan.cut_sheets, plan.operations) = (route.cut_sheets, route.operations);
        let text = reading::words(&packet(brief, &plan)).join(" ");
        let has = |it: &str| text.contains(it);
        (has("in openings, to thread a hand-held saw in"), has("through, to thread the saw in"))
    };
    assert_eq!(told(&brief), (false, false));
    brief.patterns[2].outline = Outline::new(outer, vec![Ring::new(slot.to_vec()).unwrap()]).unwrap();
    assert_eq!(told(&brief), (true, true));
}

#[test]
fn the_cautions_end_with_rules_to_look_up() {
    let brief = fixture::brief(Paper::Letter, Units::INCHES);
    let text = reading::words(&packet(&brief, &fixture::plan(&brief))).join(" ");
    for part in ["4-101.17", "1935/2004", "no legal advice"] {
        assert!(text.contains(part), "{part} is not on paper");
    }
}

#[test]
fn the_same_plan_gives_the_same_packet() {
    let brief = fixture::brief(Paper::A4, Units::MILLIMETRES);
    let plan = fixture::plan(&brief);
    assert!(packet(&brief, &plan) == packet(&brief, &plan));
}

#[test]
fn scale_sheets_fit_their_paper_and_are_not_shrunk() {
    for (name, paper, _) in BOTH {
        let pdf = packet::scale_sheets(paper, stock::ScaleSheet::COUNT).unwrap();
        keep(&format!("sheets-{name}.pdf"), &pdf);
        let sheets = reading::sheets(&pdf);
        assert_eq!(sheets.len(), 4);
        assert!(sheets.iter().all(|sheet| is_on(sheet, paper)), "{name}: a page of another size");
        assert_eq!(reading::print_scaling(&pdf), "None", "{name}");
    }
}

#[test]
fn text_is_data_and_hostile_names_stay_in_their_column() {
    let mut brief = fixture::brief(Paper::Letter, Units::INCHES);
    brief.job.name = "#panic(\"no\") $x$ *b* `c` <d> @e #import \"look.typ\": ink".to_owned();
    brief.kit.name = "木工房 \u{202e}drowkcab\u{0} 🌳".to_owned();
    brief.patterns[0].name = "W".repeat(900);
    brief.pieces[0].name = "very long slab name ".repeat(30);
    let pdf = packet(&brief, &fixture::plan(&brief));
    keep("packet-hostile.pdf", &pdf);
    let sheets = reading::sheets(&pdf);
    assert!(sheets.len() > TEMPLATE_SHEETS && sheets.len() < 60, "{} pages", sheets.len());
}

#[test]
fn a_broken_picture_leaves_the_bare_drawing() {
    let brief = fixture::brief(Paper::Letter, Units::INCHES);
    let plan = fixture::plan(&brief);
    let broken = |_: &PictureId| Some(b"\xff\xd8\xff\xe0 no picture".to_vec());
    let bare = packet::packet(&brief, &plan, &broken).unwrap();
    let none = packet::packet(&brief, &plan, &|_| None).unwrap();
    assert!(bare == none, "neither has a photograph");
    assert!(bare.len() < packet(&brief, &plan).len());
}

#[test]
fn a_pattern_too_large_to_paste_says_so_on_one_page() {
    let mut brief = fixture::brief(Paper::A4, Units::MILLIMETRES);
    let plan = fixture::plan(&brief);
    let family = outline::Family::Rectangle {
        length: Length::mm(4000.0),
        width: Length::mm(2000.0),
        corner: Length::ZERO,
    };
    let before = reading::sheets(&packet(&brief, &plan)).len();
    brief.patterns[2].outline = family.outline().unwrap();
    assert_eq!(reading::sheets(&packet(&brief, &plan)).len(), before - 4 + 1, "its four sheets");
}

#[test]
fn an_empty_plan_still_makes_a_packet() {
    let mut brief = fixture::brief(Paper::A4, Units::MILLIMETRES);
    let mut plan = fixture::plan(&brief);
    brief.job.wants.clear();
    plan.layout = stock::Layout::default();
    plan.parts.clear();
    plan.operations.clear();
    plan.findings.clear();
    plan.schedule.slots.clear();
    let pdf = packet(&brief, &plan);
    assert_eq!(reading::sheets(&pdf).len(), 2, "summary, cautions");
}

//! The whole plan: the same brief twice, and what must stand in it.

use std::sync::Mutex;

use jiff::civil::date;
use layout::{Config, judge, lay_out};
use measure::{Checked, Length};
use outline::{Point, Ring};
use plan::{Plan, plan, plan_on};
use stock::{Brief, Change, Face, Layout};
use work::{OperationKind, SawnFaces};

use crate::bench::{brief, layout};

#[test]
fn the_same_brief_gives_the_same_plan_to_the_byte() {
    let brief = brief(date(2026, 12, 24));
    let written = || serde_json::to_string(&plan_on(&brief, Checked::clean(layout(&brief)))).unwrap();
    assert_eq!(written(), written());
    let read: plan::Plan = serde_json::from_str(&written()).unwrap();
    assert_eq!(serde_json::to_string(&read).unwrap(), written());
}

/// By hand: 12 × 8 × 3/4 in are 72 cubic inches, 1.1799 litres; walnut at 12 %
/// weighs 616 kg/m³ (0.55 × 1.12): 0.727 kg.
#[test]
fn a_part_weighs_what_its_wood_weighs() {
    let brief = brief(date(2026, 12, 24));
    let plan = plan_on(&brief, Checked::clean(layout(&brief)));
    assert_eq!(plan.parts.len(), 1);
    assert!((plan.parts[0].mass.to_kg() - 0.727).abs() < 0.001, "{:?}", plan.parts[0].mass);
    assert_eq!(plan.parts[0].figures[0].value, "12 in × 8 in × 3/4 in");
}

#[test]
fn the_care_card_names_wood_finish_and_day() {
    let brief = brief(date(2026, 12, 24));
    let plan = plan_on(&brief, Checked::clean(layout(&brief)));
    assert_eq!((plan.care.wood.as_str(), plan.care.finish.as_str()), ("black walnut", "wiping varnish"));
    assert_eq!(plan.care.food_from, plan.schedule.ready_on);
    assert!(plan.care.lines[0].starts_with("No food on it before"), "{:?}", plan.care.lines);
    // A week of curing at least (common practice, no source).
    assert!(plan.schedule.ready_on >= date(2026, 12, 4), "{}", plan.schedule.ready_on);
}

/// An owner who renews a curing oil has rags of his own; wax has none.
#[test]
fn the_care_card_tells_what_is_in_the_finish_and_when_to_renew_it() {
    let of = |key: &str| {
        let mut brief = brief(date(2027, 3, 1));
        brief.job.finish = handbook::FinishKey::from(key);
        plan_on(&brief, Checked::clean(layout(&brief))).care.lines.join("\n")
    };
    let oiled = of("walnut_oil");
    for part in ["In the finish: walnut oil, a nut oil", "walnut oil every 6 months", "Rags with curing oil"]
    {
        assert!(oiled.contains(part), "{part}: {oiled}");
    }
    let waxed = of("mineral_oil_and_wax");
    assert!(waxed.contains("mineral oil every month, oil and beeswax paste every 2 months"), "{waxed}");
    assert!(!waxed.contains("Rags"), "{waxed}");
    let filmed = of("wiping_varnish");
    assert!(!filmed.contains("renew") && !filmed.contains("In the finish"), "{filmed}");
}

#[test]
fn findings_stand_worst_first_and_every_operation_has_its_time() {
    let brief = brief(date(2026, 11, 28));
    let plan = plan_on(&brief, Checked::clean(layout(&brief)));
    assert!(plan.findings.iter().any(|it| it.rule == "day cannot be held"));
    assert!(plan.findings.windows(2).all(|pair| pair[0].grade <= pair[1].grade));
    assert_eq!(plan.schedule.slots.len(), plan.operations.len());
    assert!(!plan.operations.is_empty());
}

/// A film takes a week, mineral oil and wax a night (common practice, no source):
/// between the two the other finish is offered, and it does hold the day.
#[test]
fn a_quicker_finish_is_offered_where_it_holds_the_day() {
    let mut brief = brief(date(2026, 12, 2));
    let plan = plan_on(&brief, Checked::clean(layout(&brief)));
    let late = plan.findings.iter().find(|it| it.rule == "day cannot be held").unwrap();
    let Some(Change::Finish { to }) = &late.mendings[1].change else { panic!("{:?}", late.mendings) };
    assert_eq!(to.0, "mineral_oil_and_wax");
    brief.job.finish = to.clone();
    assert!(plan_on(&brief, Checked::clean(layout(&brief))).schedule.holds);
}

/// A week of curing after two days of drying (common practice, no source): a day
/// between the two is late by the cure alone, and a sooner finish is offered; a day
/// after both is not late.
#[test]
fn a_finish_that_cures_sooner_is_offered_for_a_late_cure() {
    let brief = brief(date(2026, 12, 5));
    let plan = plan_on(&brief, Checked::clean(layout(&brief)));
    let late = plan.findings.iter().find(|it| it.rule == "not cured by the date").expect("it is late");
    assert!(late.what.contains("Let the wiping varnish cure"), "{}", late.what);
    assert!(late.mendings.iter().any(|it| matches!(it.change, Some(Change::Finish { .. }))), "{late:?}");
    let early = crate::bench::brief(date(2027, 1, 5));
    let plan = plan_on(&early, Checked::clean(layout(&early)));
    assert!(plan.findings.iter().all(|it| it.rule != "not cured by the date"));
}

#[test]
fn with_nothing_laid_nothing_is_held() {
    let plan = plan_on(&brief(date(2026, 12, 24)), Checked::clean(Layout::default()));
    assert!(!plan.schedule.holds);
    assert!(plan.parts.is_empty());
}

#[test]
fn a_part_that_is_too_long_for_the_wood_stops_the_job() {
    let mut brief = brief(date(2027, 3, 1));
    let quiet = |_: &str, _: f64, _: Option<&Layout>| ();
    let fits = plan(&brief, &quiet, &|| false);
    assert!(fits.findings.iter().all(|it| it.rule != "no place in the wood"), "{:?}", fits.findings);
    brief.patterns.iter_mut().for_each(|it| {
        it.outline =
            outline::Ring::rectangle(measure::Length::mm(4000.0), measure::Length::mm(90.0)).unwrap().into();
    });
    let stopped = plan(&brief, &quiet, &|| false);
    let found = stopped.findings.iter().find(|it| it.rule == "no place in the wood").expect("it is told");
    assert!(matches!(found.spot, stock::Spot::Unplaced { .. }), "{found:?}");
}

/// Pinned off the wood it cannot stay; pinned on it, it is left alone.
#[test]
fn a_pin_off_the_wood_is_told_and_one_on_it_is_not() {
    let mut brief = brief(date(2026, 12, 24));
    let placed = layout(&brief).placements[0].clone();
    let mut told = |place| {
        brief.job.choices.pins = vec![stock::Pin { part: placed.part, face: placed.face, place }];
        let plan = plan(&brief, &|_, _, _| {}, &|| false);
        plan.findings.iter().filter(|it| it.rule == "pinned where it cannot be").count()
    };
    assert_eq!(told(placed.place), 0);
    let off = outline::Place { at: outline::Point::new(-500.0, 0.0), ..placed.place };
    assert_eq!(told(off), 1);
}

#[test]
fn parts_that_no_cut_comes_between_are_laid_anew_with_more_room() {
    let corner = |it: &[f64; 2]| Point::new(it[0], it[1]);
    let handle: [[f64; 2]; 8] = [
        [0.0, 0.0],
        [150.0, 0.0],
        [150.0, 60.0],
        [250.0, 60.0],
        [250.0, 90.0],
        [150.0, 90.0],
        [150.0, 150.0],
        [0.0, 150.0],
    ];
    let mut brief = brief(date(2026, 12, 24));
    brief.patterns[0].outline = Ring::new(handle.iter().map(corner).collect()).unwrap().into();
    brief.kit.bandsaw.throat = Length::mm(280.0);
    brief.pieces[0].face = Face::rectangle(Length::mm(1000.0), Length::mm(200.0)).unwrap();
    let laid = |brief: &Brief| lay_out(brief, &Config::default(), &|_, _| {}, &|| false).value;
    let crowded = |brief: &Brief, layout: &Layout| SawnFaces::of(brief, layout).crowded().count();
    let quiet = |_: &str, _: f64, _: Option<&Layout>| ();

    let alone = plan(&brief, &quiet, &|| false);
    assert_eq!(alone.layout, laid(&brief), "no cut is in want of room");

    brief.job.wants[0].count = 3;
    let close = laid(&brief);
    assert!(crowded(&brief, &close) > 0);
    let shares = Mutex::new(Vec::new());
    let told = |_: &str, share: f64, _: Option<&Layout>| shares.lock().unwrap().push(share);
    let plan = plan(&brief, &told, &|| false);
    assert_eq!(crowded(&brief, &plan.layout), 0);
    assert!(shares.into_inner().unwrap().is_sorted(), "it never goes back");
    assert_eq!((plan.layout.placements.len(), plan.cut_sheets.len()), (3, 1));
    assert_eq!(judge(&brief, &plan.layout), []);
}

#[test]
fn wood_too_long_to_be_parted_at_the_bandsaw_is_crosscut_by_hand_first() {
    let mut brief = brief(date(2026, 12, 24));
    brief.job.wants[0].count = 2;
    let mut two = layout(&brief);
    let mut other = two.placements[0].clone();
    other.part.copy = 2;
    other.place.at.x += 700.0;
    other.outline = other.place.outline(&brief.patterns[0].outline);
    two.placements.push(other);
    brief.kit.bandsaw.throat = Length::mm(300.0);
    let planned = |brief: &Brief| plan_on(brief, Checked::clean(two.clone()));

    let plan = planned(&brief);
    let told = |plan: &Plan, rule: &str| plan.findings.iter().any(|it| it.rule == rule);
    assert!(!told(&plan, "parts too close to saw apart"));
    let [sheet] = &plan.cut_sheets[..] else { panic!("one sheet") };
    let [line] = &sheet.apart[..] else { panic!("one line") };
    // The boards end 10 + 304.8 mm from the left and begin 710 mm from it.
    assert!(line.from.x > 320.0 && line.to.x < 700.0 && line.from.x == line.to.x, "{line:?}");
    let both: Vec<u32> = sheet.left.iter().map(|it| it.part.copy).collect();
    assert_eq!(both, [1, 2]);
    let halves = sheet.cuts.iter().map(|it| it.held.bounds());
    assert!(halves.clone().count() > 1);
    for held in halves {
        let (low, high) = (held.low.x, held.high.x);
        assert!(high < line.from.x || low > line.from.x, "the line is gone before the first cut: {held:?}");
    }
    let first = plan.operations.iter().position(|it| it.title == "Crosscut walnut plank by hand");
    let sawn = plan.operations.iter().position(|it| it.kind == OperationKind::Saw);
    assert!(first.is_some() && first < sawn);

    brief.kit.bandsaw.throat = Length::mm(1300.0);
    let wide = planned(&brief);
    assert!(wide.cut_sheets[0].apart.is_empty());
    assert!(!wide.operations.iter().any(|it| it.title.starts_with("Crosscut walnut plank by hand")));
}

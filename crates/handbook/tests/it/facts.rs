//! Every table reads; what it says agrees with what is printed elsewhere.

use std::collections::BTreeSet;

use handbook::*;
use measure::{Angle, Area, Length, Minutes, Moisture, Stress, Temperature, Units};

use crate::{TABLES, number, rows, wood};

#[test]
fn every_table_reads_and_every_key_leads_somewhere() {
    assert_eq!(all_species().len(), 82);
    let keys: BTreeSet<_> = all_species().iter().map(|it| &it.key).collect();
    assert_eq!(keys.len(), 82, "every key once");
    for it in all_species() {
        assert!(it.radial_shrinkage().value < it.tangential_shrinkage().value, "{}", it.key);
        assert!(it.food.as_ref().is_some_and(|it| it.note.is_some()), "{}", it.key);
    }
    for it in all_finishes() {
        assert!(TABLES.coats(it).is_ok(), "a layer of {} is not in the table", it.key);
    }
    let kinds = [LayerKind::Film, LayerKind::CuringOil, LayerKind::Oil, LayerKind::Wax];
    for under in kinds {
        for over in kinds {
            assert!(!may_go_over(under, over).why.is_empty());
        }
    }
    let of_layers = all_layers().iter().flat_map(|it| &it.cautions);
    for key in of_layers.chain(all_glues().iter().flat_map(|it| &it.cautions)) {
        assert!(caution(key).is_ok(), "{key}");
    }
    for with in [Sander::Orbital, Sander::Block] {
        assert!(!sanding_source(with).is_empty());
    }
    assert_eq!(screw(8).unwrap().shank, Length::mm(4.17));
    assert!(!all_cautions().is_empty() && !lead_source().is_empty() && !thread_source().is_empty());
}

#[test]
fn an_unknown_key_is_answered_with_the_known_ones() {
    let told = TABLES.wood(&SpeciesKey::from("ironwood")).unwrap_err();
    assert!(told.message.contains("ironwood"), "{told}");
    assert!(told.hint.unwrap().contains("82 are known"));
    for typed in ["beech", "Beech, common"] {
        let near = TABLES.wood(&SpeciesKey::from(typed)).unwrap_err().hint.unwrap();
        assert_eq!(near, "known are american_beech, european_beech");
    }
    assert!(TABLES.finish(&FinishKey::from("lard")).is_err());
    assert!(TABLES.glue(&GlueKey::from("egg")).is_err());
    assert!(screw(5).unwrap_err().hint.unwrap().contains("8"));
}

/// Wood Handbook, table 4-2: the equation meets it within 0.06.
#[test]
fn equilibrium_moisture_meets_table_4_2() {
    for row in rows(include_str!("equilibrium.csv")) {
        let temperature = Temperature::celsius((number(row[0]) - 32.0) / 1.8);
        let got = equilibrium_moisture(temperature, Moisture::percent(number(row[1]))).unwrap();
        assert!((got.to_percent() - number(row[2])).abs() <= 0.06, "{row:?}: {got:?}");
    }
}

#[test]
fn air_beyond_the_table_is_refused_with_its_span() {
    let told = equilibrium_moisture(Temperature::celsius(200.0), Moisture::percent(50.0)).unwrap_err();
    assert!(told.message.contains("-1 to 132"), "{told}");
    assert!(equilibrium_moisture(Temperature::celsius(20.0), Moisture::percent(99.0)).is_err());
    assert!(equilibrium_moisture(Temperature::celsius(20.0), Moisture::percent(-1.0)).is_err());
}

/// Published worked examples of movement.
#[test]
fn movement_meets_worked_examples() {
    // Wood Handbook FPL-GTR-190, ch. 13: white fir, 232 mm, C 0.00245, 8 to 11 %: 1.705 mm.
    let coefficient = Fact { value: 0.00245, ..wood("hard_maple").coefficient_tangential.clone().unwrap() };
    let fir = Species { coefficient_tangential: Some(coefficient), ..wood("hard_maple").clone() };
    let got =
        movement(&fir, Cut::FlatSawn, Length::mm(232.0), Moisture::percent(8.0), Moisture::percent(11.0));
    assert!((got.change.to_mm() - 1.705).abs() < 0.001, "{got:?}");
    // A flooring association's example: white oak, 5 in, 6 to 9 %: 0.055 in.
    let (from, to) = (Moisture::percent(6.0), Moisture::percent(9.0));
    let got = movement(wood("white_oak"), Cut::FlatSawn, Length::inches(5.0), from, to);
    assert!((got.change.to_inches() - 0.055).abs() < 0.0005, "{got:?}");
    let figure = got.figure(Units::INCHES);
    assert_eq!(figure.value, "0.055 in");
}

/// The two formulas agree where they meet: at 10 % moisture, where C was taken.
#[test]
fn both_ways_of_reckoning_movement_agree() {
    let maple = wood("hard_maple");
    let width = Length::mm(300.0);
    let near = movement(maple, Cut::FlatSawn, width, Moisture::percent(10.0), Moisture::percent(14.0));
    let far = movement(maple, Cut::FlatSawn, width, Moisture::percent(10.0), Moisture::percent(14.01));
    assert!((near.change - far.change).abs().to_mm() < 0.02, "{near:?} {far:?}");
    let dry = movement(maple, Cut::FlatSawn, Length::mm(100.0), Moisture::percent(30.0), Moisture::ZERO);
    // Green to oven-dry is the tabled shrinkage itself: 9.9 % (table 4-3).
    assert!((dry.change.to_mm() + 9.9).abs() < 1e-9, "{dry:?}");
    let wet = movement(maple, Cut::FlatSawn, width, Moisture::percent(35.0), Moisture::percent(60.0));
    assert_eq!(wet.change, Length::ZERO);
}

/// A published worked table for Douglas-fir in tension: P 87.6, Q 2 MPa, n 2.
#[test]
fn hankinson_meets_the_worked_table() {
    for row in rows(include_str!("hankinson.csv")) {
        let got = hankinson(Angle::degrees(number(row[0])), Stress::mpa(87.6), Stress::mpa(2.0), 2.0);
        assert!((got.to_mpa() - number(row[1])).abs() < 1e-5, "{row:?}: {got:?}");
    }
}

/// Wood Handbook FPL-GTR-190, table 5-12, bending: percent of straight grain.
#[test]
fn bending_at_a_slope_meets_table_5_12() {
    for row in rows(include_str!("slope.csv")) {
        let slope = Angle::radians((1.0 / number(row[0])).atan());
        let got = rupture_at(wood("black_walnut"), slope) / wood("black_walnut").bending().value * 100.0;
        assert!((got - number(row[1])).abs() <= 3.0, "1 in {}: {got}, printed {}", row[0], row[1]);
    }
}

/// Wood Handbook FPL-GTR-282, p. 5-34: white ash at 8 %: 119,500 kPa.
#[test]
fn drier_wood_is_stronger_as_in_the_worked_example() {
    let (dry, green) = (Stress::mpa(103.0), Stress::mpa(66.0));
    let got = at_moisture(dry, green, Moisture::percent(24.0), Moisture::percent(8.0));
    assert!((got.to_mpa() - 119.5).abs() < 0.1, "{got:?}");
    assert_eq!(at_moisture(dry, green, STRENGTH_STOPS, Moisture::percent(40.0)), green);
}

/// The trade's rule: a curing finish first, oil and wax on top, never after.
#[test]
fn wax_below_varnish_is_found_and_varnish_below_wax_is_not() {
    let of = |key: &str| TABLES.finish(&FinishKey::from(key)).unwrap();
    assert!(of("varnish_then_wax").faults().is_empty());
    let faults = of("wax_then_varnish").faults();
    assert_eq!(faults.len(), 1);
    assert_eq!((faults[0].under.kind, faults[0].over.kind), (LayerKind::Wax, LayerKind::Film));
    assert_eq!(of("mineral_oil_then_varnish").faults().len(), 1);
    for cures in all_layers().iter().filter(|it| it.cures()) {
        for soft in all_layers().iter().filter(|it| !it.cures()) {
            assert_eq!(may_go_over(soft.kind, cures.kind).verdict, Verdict::No);
            assert_ne!(may_go_over(cures.kind, soft.kind).verdict, Verdict::No);
        }
    }
}

/// Common practice, no source: about a week of curing before food touches a
/// film; wax goes on only after that.
#[test]
fn food_waits_about_a_week_for_a_film() {
    let of = |key: &str| TABLES.finish(&FinishKey::from(key)).unwrap();
    assert_eq!(of("wiping_varnish").wait_after(0), Minutes::days(7.0));
    assert_eq!(of("varnish_then_wax").wait_after(0), Minutes::days(7.0));
    assert_eq!(of("varnish_then_wax").wait_after(1), Minutes::hours(1.0));
    assert_eq!(of("mineral_oil_and_wax").wait_after(0), Minutes::hours(6.0));
}

/// Common practice, no source: what the owner renews goes over what is on top.
#[test]
fn only_what_holds_on_top_is_renewed() {
    let of = |key: &str| {
        let coats = TABLES.finish(&FinishKey::from(key)).unwrap();
        coats.renewed().map(|(layer, months)| (layer.key.0.as_str(), months)).collect::<Vec<_>>()
    };
    assert_eq!(of("mineral_oil_and_wax"), [("mineral_oil", 1), ("board_wax", 2)]);
    assert_eq!(of("curing_oil_then_wax"), [("board_wax", 2)], "no curing oil over wax");
    assert_eq!(of("curing_oil"), [("tung_oil", 6)]);
    assert!(of("wiping_varnish").is_empty(), "a film wears through before it is renewed");
}

/// Common practice, no source: from a planed face 80, 100, 150; no grit more
/// than 1.65 times finer than the one before, whichever scale is on its back.
#[test]
fn grits_go_up_in_small_steps() {
    assert_eq!(steps(Surface::Planed, 150), [80, 100, 150]);
    assert_eq!(steps(Surface::Sawn, 220), [60, 80, 100, 150, 220]);
    assert_eq!(steps(Surface::Planed, 180), [80, 100, 150, 180]);
    for scale in [Scale::PGrade, Scale::PlainNumber] {
        for to in [150, 180, 220, 240, 280, 320, 360, 400] {
            let ladder = steps(Surface::Sawn, to);
            let step = widest_step(&ladder, scale);
            assert!((1.0..=finest_step()).contains(&step), "{ladder:?} by {scale:?}: {step}");
        }
        assert!(widest_step(&[80, 150], scale) > finest_step(), "two grades left out are told");
    }
    // FEPA P 269, 201, 162, 100: 162 / 100 is the widest. ANSI 268, 190, 141, 92: 141 / 92.
    assert!((widest_step(&[60, 80, 100, 150], Scale::PGrade) - 1.62).abs() < 1e-9);
    assert!((widest_step(&[60, 80, 100, 150], Scale::PlainNumber) - 141.0 / 92.0).abs() < 1e-9);
}

/// A trade comparison chart pairs P400 (35 µm) with plain 320 (36 µm), P320 (46)
/// with 280 (44), P280 (52) with 240 (53); down to 220 the numbers are alike.
#[test]
fn p_grades_meet_plain_numbers_by_size() {
    let plain = |p: u32| all_grits().iter().find(|it| it.grade == p).unwrap().nearest_plain().grade;
    for (p, number) in [(80, 80), (150, 150), (220, 220), (280, 240), (320, 280), (400, 320)] {
        assert_eq!(plain(p), number, "P{p}");
    }
    for scale in [Scale::PGrade, Scale::PlainNumber] {
        assert!(all_grits().windows(2).all(|pair| pair[0].size(scale) > pair[1].size(scale)), "{scale:?}");
        assert!(scale.source().contains(if scale == Scale::PGrade { "FEPA" } else { "ANSI" }));
    }
}

/// Common practice, no source: about three hours by hand for a large board of
/// walnut, which is the reference; harder wood takes longer, but not by far.
#[test]
fn a_large_board_takes_about_three_hours_by_hand() {
    let large = Area::mm2(350_000.0);
    let hours = |key: &str| {
        let each = sanding_time(Sander::Block, large, wood(key).hardness().value);
        each.to_hours() * steps(Surface::Planed, 150).len() as f64
    };
    assert!((2.5..=3.5).contains(&hours("black_walnut")), "{} h", hours("black_walnut"));
    let (name, reference, _) = hardness_source();
    assert_eq!(name, wood("black_walnut").name);
    assert!((wood("black_walnut").hardness().value - reference).abs().to_newtons() < 1.0);
    // By hand: 1450 lbf against 1010 lbf, to a third: 1.128.
    assert!((hours("hard_maple") / hours("black_walnut") - 1.128).abs() < 0.001);
    assert!(hours("basswood") < hours("black_walnut"));
    let hard = wood("ipe").hardness().value;
    assert!(sheets(Sander::Block, large, hard) > sheets(Sander::Block, large, reference));
}

/// Glue makers' guidance: 150 to 200 psi for cherry, 200 to 300 psi for oak and birch.
#[test]
fn dense_woods_are_pressed_harder() {
    let glue = TABLES.glue(&GlueKey::from("pva_water_resistant")).unwrap();
    let psi = |key: &str| glue.pressure(wood(key)).to_mpa() * 145.037_737_73;
    assert!((149.0..=200.0).contains(&psi("black_cherry")));
    assert!((149.0..=200.0).contains(&psi("soft_maple")));
    assert!((200.0..=300.0).contains(&psi("white_oak")));
    assert!((200.0..=300.0).contains(&psi("yellow_birch")));
    // Common practice, no source: about 0.2 litres on a square metre.
    let litres = glue.quantity(Area::mm2(1e6)).to_litres();
    assert!((litres - 0.2).abs() < 0.05, "{litres}");
}

/// Glue makers' guidance: 150 psi on cherry; EN 204: D3 bears frequent short wetting.
#[test]
fn a_glue_is_told_line_by_line_with_how_sure_we_are() {
    let sheet = TABLES.glue(&GlueKey::from("pva_water_resistant")).unwrap().sheet(Units::INCHES);
    let line = |name: &str| {
        let line = sheet.iter().find(|it| it.name == name).unwrap();
        (line.value.clone().unwrap_or_default(), line.confidence.unwrap())
    };
    assert_eq!(line("pressure, medium woods"), ("150 psi".to_owned(), Confidence::Memory));
    assert_eq!(line("wood no drier than"), ("6 %".to_owned(), Confidence::SecondHand));
    assert_eq!(line("until it is planed").0, "24 h");
    assert!(line("water").0.contains("D3") && line("food").0.contains("statement"));
    assert!(sheet.iter().all(|it| it.source.is_some()));
}

/// A shop's glue that was written down before the wood's moisture was asked for.
#[test]
fn an_older_glue_row_reads_and_has_no_limits_of_moisture() {
    let glue = TABLES.glue(&GlueKey::from("hide")).unwrap();
    let mut row = toml::Table::try_from(glue).unwrap();
    assert!(row.remove("wettest").is_some() && !row.contains_key("driest"));
    let read: Glue = row.try_into().unwrap();
    assert_eq!(read, Glue { wettest: None, ..glue.clone() });
    for it in all_glues() {
        let limits = it.driest.iter().chain(&it.wettest).map(|it| it.value);
        assert!(limits.is_sorted(), "{}", it.key);
    }
}

/// Wood Handbook FPL-GTR-282, p. 8-10: 90 % of the root in hardwood; the gauge
/// formula of the trade for the shank, 0.060 + 0.013 n inches.
#[test]
fn screws_follow_the_gauge() {
    for it in all_screws() {
        let gauge = Length::inches(0.060 + 0.013 * f64::from(it.number));
        assert!((it.shank - gauge).abs().to_mm() < 0.01, "No. {}", it.number);
        assert!(it.root < it.shank && it.shank < it.head && it.head < it.plug, "No. {}", it.number);
    }
    let lead = screw(8).unwrap().lead_hole(wood("hard_maple"));
    assert!((lead.to_mm() - 2.56).abs() < 0.01, "{lead:?}");
}

/// A published worked example of the design rule p = 2850 G² D: G 0.45, No. 10
/// (0.190 in): 109 lb to the inch of thread (printed cut off).
#[test]
fn a_safe_pull_meets_the_design_rule() {
    let screw = screw(10).unwrap();
    let wood = Species {
        specific_gravity: wood("soft_maple").specific_gravity.clone().map(|it| Fact { value: 0.45, ..it }),
        ..wood("soft_maple").clone()
    };
    let safe = screw.pull_out(&wood, Length::inches(1.0)) * SAFE_PULL;
    let pounds = safe.to_newtons() / 4.448_221_615_260_5;
    assert!((pounds - 109.65).abs() < 0.7, "{pounds}");
    assert_eq!(screw.pull_out(&wood, Length::mm(-3.0)).to_newtons(), 0.0);
}

/// Eq. 8-13 with table 8-4, hardwood of the heaviest group: K 44.13 in newtons and
/// millimetres, 6400 in pounds and inches (FPL-GTR-190 (2010), from memory).
#[test]
fn a_push_sideways_is_borne_by_shank_and_reach() {
    let screw = screw(8).unwrap();
    let maple = wood("hard_maple");
    let bears = |shanks: f64| screw.sideways(maple, screw.shank * shanks).map(|it| it.to_newtons());
    assert!((bears(7.0).unwrap() - 44.13 * 4.17 * 4.17).abs() < 0.1);
    let pounds = 6400.0 * 0.164 * 0.164;
    assert!((bears(9.0).unwrap() / 4.448_221_615_260_5 / pounds - 1.0).abs() < 0.005);
    assert!((bears(5.0).unwrap() / bears(7.0).unwrap() - 5.0 / 7.0).abs() < 1e-9);
    assert_eq!(bears(3.9), None);
    assert!(!sideways_source().is_empty());
}

/// FDA Food Code 4-101.17(B): hard maple is the wood that it names.
#[test]
fn rules_are_pointed_to_with_source_and_no_claim() {
    let maple = all_rules().iter().find(|it| it.text.contains("4-101.17")).unwrap();
    assert!(maple.says.contains("hard maple") && !maple.origin().contains("memory"), "{maple:?}");
    let europe = all_rules().iter().find(|it| it.text.contains("1935/2004")).unwrap();
    assert!(europe.origin().contains("from memory"), "{europe:?}");
    assert!(all_rules().iter().all(|it| !it.place.is_empty() && !it.says.contains("approved")));
    assert!(LOOK_UP.contains("no legal advice"));
}

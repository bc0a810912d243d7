//! The bill against the trade's formula and sums done by hand.

use measure::{Area, Length, Minutes, Money};
use outline::{Outline, Ring};
use plan::{BillGroup, bill, board_feet};
use stock::{FaceKey, Offcut, PieceId, Price};
use work::{OperationKind, Supply, Use};

use crate::bench::{brief, layout, operation};
use jiff::civil::date;

/// Published examples of the trade's formula: thickness, width, length in inches.
#[test]
fn board_feet_meet_the_trades_examples() {
    let feet = |thick: f64, wide: f64, long: f64| {
        board_feet(Length::inches(wide) * Length::inches(long), Length::inches(thick))
    };
    assert!((feet(1.0, 9.0, 96.0) - 6.0).abs() < 1e-9);
    assert!((feet(1.5, 9.0, 96.0) - 9.0).abs() < 1e-9);
    // Five boards of 1 in by 8 in by 10 ft: 33.3.
    assert!((5.0 * feet(1.0, 8.0, 120.0) - 33.3).abs() < 0.05);
    // Under an inch counts as an inch.
    assert!((feet(0.75, 12.0, 12.0) - 1.0).abs() < 1e-9);
}

/// By hand: the plank has 48 × 9 × 1 / 144 = 3 board feet at $12: $36. Sanding
/// 1.5 h and gluing 0.5 h at $35: $52.50 and $17.50. Half a litre of finish at
/// $45: $22.50; 2.2 sheets are three at $0.80: $2.40. Cost $130.90, with 20 % $157.08.
#[test]
fn the_lines_add_up_as_by_hand() {
    let brief = brief(date(2026, 12, 24));
    let mut sand = operation(1, OperationKind::Sand, 1.5, 0.0, &[]);
    sand.uses = vec![Use { supply: Supply::Abrasive, amount: 2.2 }];
    let mut coat = operation(2, OperationKind::Finish, 0.0, 12.0, &[]);
    coat.uses =
        vec![Use { supply: Supply::Finish, amount: 0.3 }, Use { supply: Supply::Finish, amount: 0.2 }];
    let glue = operation(3, OperationKind::Glue, 0.5, 1.0, &[]);
    let (bill, findings) = bill(&brief, &layout(&brief), &[sand, coat, glue]);
    assert!(findings.is_empty());
    let of = |group| -> Money {
        bill.lines.iter().filter(|line| line.group == group).map(|line| line.amount).sum()
    };
    let check = |got: Money, by_hand: f64| {
        assert!((got.to_units() - by_hand).abs() < 1e-9, "{got:?}, by hand {by_hand}")
    };
    check(of(BillGroup::Wood), 36.0);
    check(of(BillGroup::Supplies), 24.9);
    check(of(BillGroup::Hours), 70.0);
    check(bill.cost, 130.9);
    check(bill.price, 157.08);
    let wood = &bill.lines[0];
    assert_eq!((wood.quantity.as_str(), wood.figure.value.as_str()), ("3 board feet", "$36.00"));
    // Yield by hand: 12 × 8 × 3/4 = 72 cubic inches of 432: 17 %.
    let shown = bill.figures.iter().find(|it| it.name == "yield").unwrap();
    assert_eq!(shown.value, "17 %");
}

/// By hand: an offcut of 24 by 9 in goes back: half of the plank, $18.
#[test]
fn an_offcut_worth_keeping_is_not_charged() {
    let mut brief = brief(date(2026, 12, 24));
    let mut layout = layout(&brief);
    let back = Ring::rectangle(Length::inches(24.0), Length::inches(9.0)).unwrap();
    layout.offcuts.push(Offcut { face: FaceKey::Piece(PieceId(1)), outline: Outline::from(back) });
    assert!((bill(&brief, &layout, &[]).0.cost.to_units() - 18.0).abs() < 1e-9);
    brief.pieces[0].price = Some(Price::Whole(Money::units(50.0)));
    assert!((bill(&brief, &layout, &[]).0.cost.to_units() - 25.0).abs() < 1e-9);
    assert!(bill(&brief, &layout, &[]).1.is_empty());
    brief.pieces[0].price = None;
    let (free, findings) = bill(&brief, &layout, &[]);
    assert_eq!(free.cost, Money::ZERO);
    assert_eq!(findings[0].rule, "wood without a price");
}

#[test]
fn wild_prices_do_not_break_the_bill() {
    let mut brief = brief(date(2026, 12, 24));
    brief.kit.prices.margin_percent = f64::NAN;
    brief.kit.prices.hour = Money::units(1e308);
    let mut sand = operation(1, OperationKind::Sand, 1.0, 0.0, &[]);
    sand.hands = Minutes::hours(1e3);
    sand.uses = vec![Use { supply: Supply::Glue, amount: f64::INFINITY }];
    let (bill, _) = bill(&brief, &layout(&brief), &[sand]);
    assert!(bill.price.to_units().is_finite());
    assert!(board_feet(Area::ZERO, Length::ZERO) == 0.0);
}

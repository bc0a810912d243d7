//! What it costs: wood, supplies, hours, and the price.

use std::collections::BTreeMap;

use measure::{Area, Figure, Length, Minutes, Money, Volume};
use stock::{Brief, FaceKey, Finding, Grade, Layout, Mending, PartKey, Piece, Price, Spot};
use work::{Operation, OperationKind, Supply};

use crate::words::{hours, money, number};
use crate::{Bill, BillGroup, BillLine};

/// Rough stock thinner than an inch is sold as an inch thick (trade custom).
const THINNEST_SOLD: Length = Length::inches(1.0);

const BOARD_FEET: &str = "thickness × width × length in inches ÷ 144";
const BOARD_FEET_SOURCE: &str = "the trade's formula; stock under 1 in counts as 1 in";

/// Board feet of rough wood by the trade's formula: thickness (at least an
/// inch) times face in square inches, over 144.
pub fn board_feet(face: Area, thickness: Length) -> f64 {
    (face * thickness.max(THINNEST_SOLD)).to_board_feet()
}

/// Works out what a job costs: the wood that it takes off the rack without the
/// offcuts worth keeping, what it uses up, the hours of hands, the margin.
/// Amounts are rounded to hundredths, so that the lines add up as printed.
pub fn bill(brief: &Brief, layout: &Layout, operations: &[Operation]) -> (Bill, Vec<Finding>) {
    let taken = taken(brief, layout);
    let mut lines: Vec<BillLine> = taken.iter().map(|it| wood_line(brief, it)).collect();
    lines.extend(supply_lines(brief, operations));
    lines.extend(hour_lines(brief, operations));
    let cost = rounded(lines.iter().map(|line| line.amount).sum());
    let margin = finite(brief.kit.prices.margin_percent);
    let price = rounded(cost * (1.0 + margin / 100.0));
    let mut figures = vec![
        Figure::new("price", money(brief, price))
            .by("cost × (1 + margin)", "the shop's own margin")
            .from("cost", money(brief, cost))
            .from("margin", format!("{} %", number(margin, 1))),
    ];
    figures.extend(wood_figures(brief, layout, &taken));
    let hands: Minutes = operations.iter().map(|it| it.hands).sum();
    figures.push(
        Figure::new("hours of hands", hours(hands))
            .by("sum over the operations", "each operation's own time")
            .from("operations", operations.len().to_string()),
    );
    let findings = taken.iter().filter(|it| it.piece.price.is_none()).map(|it| no_price(it.piece)).collect();
    (Bill { lines, cost, price, figures }, findings)
}

/// What a job takes of a piece.
struct Taken<'a> {
    piece: &'a Piece,
    face: Area,
    kept: Area,
}

impl Taken<'_> {
    /// The share of the piece that does not go back on the rack.
    fn share(&self) -> f64 {
        let share = 1.0 - self.kept / self.face;
        if share.is_finite() { share.clamp(0.0, 1.0) } else { 1.0 }
    }

    fn board_feet(&self) -> f64 {
        board_feet(self.face, self.piece.thickness) * self.share()
    }
}

/// The pieces that parts or strips are laid on, in the brief's order.
fn taken<'a>(brief: &'a Brief, layout: &Layout) -> Vec<Taken<'a>> {
    let used = |piece: &&Piece| {
        layout.placements.iter().any(|it| it.face == FaceKey::Piece(piece.id))
            || layout.strips.iter().any(|it| it.piece == piece.id)
    };
    let take = |piece: &'a Piece| {
        let own = layout.offcuts.iter().filter(|it| it.face == FaceKey::Piece(piece.id));
        Taken { piece, face: piece.face.area(), kept: own.map(|it| it.outline.area()).sum() }
    };
    brief.pieces.iter().filter(used).map(take).collect()
}

fn wood_line(brief: &Brief, it: &Taken) -> BillLine {
    let units = brief.units();
    let whole = board_feet(it.face, it.piece.thickness);
    let figure = Figure::new(format!("wood of {}", it.piece.name), String::new())
        .from("face", units.area(it.face))
        .from("thickness", units.length(it.piece.thickness))
        .from("whole piece", format!("{} board feet", number(whole, 2)))
        .from("taken, offcuts worth keeping left out", format!("{} %", number(it.share() * 100.0, 0)));
    let (amount, mut figure) = match it.piece.price {
        Some(Price::BoardFoot(each)) => (
            rounded(each * it.board_feet()),
            figure
                .by(format!("{BOARD_FEET} × share taken × price"), BOARD_FEET_SOURCE)
                .from("a board foot", money(brief, each)),
        ),
        Some(Price::Whole(all)) => (
            rounded(all * it.share()),
            figure
                .by("price of the piece × share taken", "what it cost")
                .from("the piece", money(brief, all)),
        ),
        None => (Money::ZERO, figure.by("no price is known", "the rack")),
    };
    figure.value = money(brief, amount);
    BillLine {
        group: BillGroup::Wood,
        what: it.piece.name.clone(),
        quantity: format!("{} board feet", number(it.board_feet(), 2)),
        figure,
        amount,
    }
}

fn wood_figures(brief: &Brief, layout: &Layout, taken: &[Taken]) -> Vec<Figure> {
    let feet: f64 = taken.iter().map(Taken::board_feet).sum();
    let rough: Volume = taken.iter().map(|it| it.face * it.piece.thickness * it.share()).sum();
    let made: Volume =
        layout.placements.iter().map(|it| it.outline.area() * thickness_of(brief, it.part)).sum();
    let mut figures = vec![
        Figure::new("wood taken", format!("{} board feet", number(feet, 2)))
            .by(format!("{BOARD_FEET}, without offcuts worth keeping"), BOARD_FEET_SOURCE)
            .from("pieces", taken.len().to_string()),
    ];
    if rough > Volume::ZERO {
        let share = made / rough;
        figures.push(
            Figure::new("yield", format!("{} %", number(share * 100.0, 0)))
                .by("finished parts ÷ wood taken, by volume", "by their outlines and thicknesses")
                .from("finished parts", format!("{} litres", number(made.to_litres(), 2)))
                .from("wood taken", format!("{} litres", number(rough.to_litres(), 2)))
                .from("waste", format!("{} %", number((1.0 - share) * 100.0, 0))),
        );
    }
    figures
}

fn thickness_of(brief: &Brief, part: PartKey) -> Length {
    brief.want(part.want).map_or(Length::ZERO, |want| want.thickness)
}

fn supply_lines(brief: &Brief, operations: &[Operation]) -> Vec<BillLine> {
    let mut sums: BTreeMap<Supply, f64> = BTreeMap::new();
    for it in operations.iter().flat_map(|it| &it.uses) {
        *sums.entry(it.supply).or_default() += finite(it.amount).max(0.0);
    }
    sums.into_iter().map(|(supply, amount)| supply_line(brief, supply, amount)).collect()
}

fn supply_line(brief: &Brief, supply: Supply, amount: f64) -> BillLine {
    let prices = &brief.kit.prices;
    let litres = |it: f64| format!("{} litres", number(it, 3));
    let (what, count, quantity, each) = match supply {
        Supply::Glue => ("glue", amount, litres(amount), prices.glue_litre),
        Supply::Finish => ("finish", amount, litres(amount), prices.finish_litre),
        Supply::Abrasive => {
            ("abrasive sheets", amount.ceil(), format!("{:.0}", amount.ceil()), prices.abrasive)
        }
        Supply::Screw => ("screws and plugs", amount.ceil(), format!("{:.0}", amount.ceil()), prices.screw),
    };
    let cost = rounded(each * finite(count));
    BillLine {
        group: BillGroup::Supplies,
        what: what.to_owned(),
        quantity: quantity.clone(),
        figure: Figure::new(what, money(brief, cost))
            .by("amount × price", "sum over the operations, the shop's prices")
            .from("amount", quantity)
            .from("price", money(brief, each)),
        amount: cost,
    }
}

fn hour_lines(brief: &Brief, operations: &[Operation]) -> Vec<BillLine> {
    let mut sums: BTreeMap<OperationKind, Minutes> = BTreeMap::new();
    for it in operations.iter().filter(|it| it.hands > Minutes::ZERO) {
        *sums.entry(it.kind).or_default() += it.hands;
    }
    let line = |(kind, time): (OperationKind, Minutes)| {
        let amount = rounded(brief.kit.prices.hour * time.to_hours());
        BillLine {
            group: BillGroup::Hours,
            what: doing(kind).to_owned(),
            quantity: hours(time),
            figure: Figure::new(doing(kind), money(brief, amount))
                .by("hours × price of an hour", "each operation's own time, the shop's price")
                .from("hours", number(time.to_hours(), 2))
                .from("an hour", money(brief, brief.kit.prices.hour)),
            amount,
        }
    };
    sums.into_iter().map(line).collect()
}

const fn doing(kind: OperationKind) -> &'static str {
    match kind {
        OperationKind::Flatten => "flattening",
        OperationKind::Joint => "jointing",
        OperationKind::Plane => "planing",
        OperationKind::Rip => "ripping",
        OperationKind::Crosscut => "crosscutting",
        OperationKind::Glue => "gluing up",
        OperationKind::Saw => "sawing to the outline",
        OperationKind::Hollow => "hollowing",
        OperationKind::Drill => "drilling",
        OperationKind::Sand => "sanding",
        OperationKind::Finish => "finishing",
        OperationKind::Cure => "looking after the cure",
        OperationKind::Fit => "fitting",
    }
}

fn no_price(piece: &Piece) -> Finding {
    Finding {
        grade: Grade::Note,
        rule: "wood without a price".to_owned(),
        what: format!("“{}” has no price, so the bill counts it as nothing", piece.name),
        spot: Spot::Piece { piece: piece.id },
        figure: Figure::new("price of the piece", "not known").by("as entered on the rack", "the rack"),
        limit: "a price".to_owned(),
        why: "a board is sold below cost when its wood is not counted".to_owned(),
        mendings: vec![Mending::by_hand("enter what the piece cost, or what a board foot of it costs")],
    }
}

fn rounded(it: Money) -> Money {
    let cents = (it.to_units() * 100.0).round() / 100.0;
    if cents.is_finite() { Money::units(cents) } else { Money::ZERO }
}

fn finite(it: f64) -> f64 {
    if it.is_finite() { it } else { 0.0 }
}

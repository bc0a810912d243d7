//! The first pages: what is made, by when, what is wrong, what it costs.

use measure::Figure;
use plan::{BillGroup, Plan, PlannedPart};
use serde::Serialize;
use stock::{Brief, Finding, Spot};

use crate::words::{self, FigureLine};

#[derive(Serialize)]
pub(crate) struct Summary {
    facts: Vec<Fact>,
    holds: bool,
    parts: Vec<PartLine>,
    missing: Vec<String>,
    findings: Vec<FindingLine>,
    bill: Vec<BillLine>,
    /// Formula and source of the bill's lines, each once.
    bases: Vec<String>,
    cost: String,
    price: String,
    margin: String,
    figures: Vec<FigureLine>,
}

/// One of the large facts at the top.
#[derive(Serialize)]
struct Fact {
    label: String,
    value: String,
}

#[derive(Serialize)]
struct PartLine {
    number: String,
    name: String,
    from: String,
    area: String,
    mass: String,
    figures: Vec<FigureLine>,
}

#[derive(Serialize)]
struct FindingLine {
    grade: &'static str,
    rule: String,
    spot: String,
    what: String,
    figure: FigureLine,
    limit: String,
    why: String,
    mendings: Vec<String>,
    /// The number of an earlier finding with the same reason and mendings.
    like: Option<usize>,
}

#[derive(Serialize)]
struct BillLine {
    group: &'static str,
    what: String,
    quantity: String,
    how: String,
    /// Which of the bases.
    basis: Option<usize>,
    amount: String,
}

pub(crate) fn summary(brief: &Brief, plan: &Plan) -> Summary {
    let mut bases: Vec<String> = Vec::new();
    let bill = plan.bill.lines.iter().map(|line| bill_line(brief, line, &mut bases)).collect();
    let figures: Vec<Figure> = plan.schedule.figures.iter().chain(&plan.bill.figures).cloned().collect();
    Summary {
        facts: facts(brief, plan),
        holds: plan.schedule.holds,
        parts: plan.parts.iter().map(|part| part_line(brief, part)).collect(),
        missing: missing(brief, plan),
        findings: findings(brief, plan),
        bill,
        bases,
        cost: words::money(brief, plan.bill.cost),
        price: words::money(brief, plan.bill.price),
        margin: format!("{} % margin", brief.kit.prices.margin_percent),
        figures: words::figures(&figures),
    }
}

fn facts(brief: &Brief, plan: &Plan) -> Vec<Fact> {
    let wanted = brief.parts().len();
    let placed = plan.layout.placements.len();
    let start = plan.schedule.start_by.map_or_else(|| "no day left".to_owned(), words::day);
    let fact = |label: &str, value: String| Fact { label: label.to_owned(), value };
    vec![
        fact("wanted for", words::day(brief.job.due)),
        fact("ready on, if begun today", words::day(plan.schedule.ready_on)),
        fact("start by", start),
        fact("parts with a place", format!("{placed} of {wanted}")),
    ]
}

fn part_line(brief: &Brief, part: &PlannedPart) -> PartLine {
    PartLine {
        number: words::part_number(brief, part.part),
        name: part.name.clone(),
        from: brief.face_name(part.face),
        area: words::unbroken(&brief.units().area(part.area)),
        mass: words::unbroken(&brief.units().mass(part.mass)),
        figures: words::figures(&part.figures),
    }
}

fn missing(brief: &Brief, plan: &Plan) -> Vec<String> {
    let part = |&it: &stock::PartKey| format!("{} {}", words::part_number(brief, it), brief.part_name(it));
    let strip = |&it: &stock::StripKey| {
        let panel = brief.face_name(stock::FaceKey::Panel(it.panel));
        format!("{} of {panel}", words::strip_number(brief, it))
    };
    let parts = plan.layout.unplaced.iter().map(part);
    parts.chain(plan.layout.unplaced_strips.iter().map(strip)).collect()
}

fn bill_line(brief: &Brief, line: &plan::BillLine, bases: &mut Vec<String>) -> BillLine {
    let basis = words::basis(&line.figure);
    let known = bases.iter().position(|it| *it == basis).unwrap_or(bases.len());
    if known == bases.len() && !basis.is_empty() {
        bases.push(basis);
    }
    BillLine {
        group: group(line.group),
        what: line.what.clone(),
        quantity: line.quantity.clone(),
        how: words::inputs(&line.figure),
        basis: (known < bases.len()).then_some(known),
        amount: words::money(brief, line.amount),
    }
}

fn findings(brief: &Brief, plan: &Plan) -> Vec<FindingLine> {
    let mut out: Vec<FindingLine> = Vec::new();
    for finding in &plan.findings {
        let mut line = finding_line(brief, finding);
        let same = |it: &FindingLine| {
            it.like.is_none() && it.rule == line.rule && it.why == line.why && it.mendings == line.mendings
        };
        line.like = out.iter().position(same).map(|index| index + 1);
        out.push(line);
    }
    out
}

fn finding_line(brief: &Brief, it: &Finding) -> FindingLine {
    FindingLine {
        grade: words::grade(it.grade),
        rule: it.rule.clone(),
        spot: spot(brief, &it.spot),
        what: it.what.clone(),
        figure: words::figure(&it.figure),
        limit: it.limit.clone(),
        why: it.why.clone(),
        mendings: it.mendings.iter().map(|mending| mending.label.clone()).collect(),
        like: None,
    }
}

/// What a finding points at, in words; the place itself is on the drawings.
fn spot(brief: &Brief, it: &Spot) -> String {
    match *it {
        Spot::Job => "the job".to_owned(),
        Spot::Piece { piece } => brief.face_name(stock::FaceKey::Piece(piece)),
        Spot::Panel { panel } => brief.face_name(stock::FaceKey::Panel(panel)),
        Spot::Pattern { pattern, .. } => {
            brief.pattern(pattern).map_or_else(|_| format!("pattern {pattern}"), |it| it.name.clone())
        }
        Spot::Part { part, face, .. } => format!("{} on {}", brief.part_name(part), brief.face_name(face)),
        Spot::Unplaced { part } => brief.part_name(part),
    }
}

const fn group(it: BillGroup) -> &'static str {
    match it {
        BillGroup::Wood => "wood",
        BillGroup::Supplies => "supplies",
        BillGroup::Hours => "hours",
    }
}

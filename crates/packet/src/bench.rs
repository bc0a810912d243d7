//! Set-up cards, check-off list, cautions and care card.

use plan::{Plan, Slot};
use serde::Serialize;
use stock::Brief;
use work::{Machine, Operation, Setting, Supply, Use};

use crate::words::{self, FigureLine};

#[derive(Serialize)]
pub(crate) struct Bench {
    cards: Vec<Card>,
    checks: Vec<Check>,
    cautions: Vec<CautionLine>,
    care: Care,
}

/// One operation's set-up card.
#[derive(Serialize)]
struct Card {
    number: usize,
    kind: &'static str,
    title: String,
    machine: Option<&'static str>,
    inputs: Vec<String>,
    outputs: Vec<String>,
    after: Vec<usize>,
    settings: Vec<Setting>,
    figures: Vec<FigureLine>,
    cautions: Vec<String>,
    uses: Vec<String>,
    hands: String,
    wait: Option<String>,
    clamps: u32,
}

/// One operation of the check-off list.
#[derive(Serialize)]
struct Check {
    number: usize,
    title: String,
    when: Option<String>,
    latest: Option<String>,
    person: Option<String>,
    done: Option<String>,
    steps: Vec<StepLine>,
}

#[derive(Serialize)]
struct StepLine {
    text: String,
    timer: Option<String>,
}

/// One caution, and the operations that it belongs to.
#[derive(Serialize)]
struct CautionLine {
    text: String,
    at: Vec<usize>,
}

#[derive(Serialize)]
struct Care {
    wood: String,
    finish: String,
    lines: Vec<String>,
    food_from: String,
}

pub(crate) fn bench(brief: &Brief, plan: &Plan) -> Bench {
    let numbered = || plan.operations.iter().enumerate().map(|(index, it)| (index + 1, it));
    Bench {
        cards: numbered().map(|(number, it)| card(brief, plan, number, it)).collect(),
        checks: numbered().map(|(number, it)| check(brief, plan, number, it)).collect(),
        cautions: cautions(plan),
        care: Care {
            wood: plan.care.wood.clone(),
            finish: plan.care.finish.clone(),
            lines: plan.care.lines.clone(),
            food_from: words::day(plan.care.food_from),
        },
    }
}

fn card(brief: &Brief, plan: &Plan, number: usize, it: &Operation) -> Card {
    let name = |&piece: &work::Workpiece| words::workpiece(brief, piece);
    let place = |id| plan.operations.iter().position(|other| other.id == id).map(|index| index + 1);
    Card {
        number,
        kind: it.kind.word(),
        title: it.title.clone(),
        machine: it.machine.map(Machine::word),
        inputs: it.inputs.iter().map(name).collect(),
        outputs: it.outputs.iter().map(name).collect(),
        after: it.after.iter().filter_map(|&id| place(id)).collect(),
        settings: it.set_up.clone(),
        figures: words::figures(&it.figures),
        cautions: it.cautions.clone(),
        uses: it.uses.iter().map(used).collect(),
        hands: words::minutes(it.hands),
        wait: wait(it),
        clamps: it.clamps,
    }
}

fn wait(it: &Operation) -> Option<String> {
    (it.wait.to_minutes() > 0.0).then(|| words::minutes(it.wait))
}

fn used(it: &Use) -> String {
    let litres = |what: &str| {
        let millilitres = it.amount * 1000.0;
        if millilitres < 1000.0 {
            format!("{millilitres:.0} ml of {what}")
        } else {
            format!("{:.2} l of {what}", it.amount)
        }
    };
    match it.supply {
        Supply::Glue => litres("glue"),
        Supply::Finish => litres("finish"),
        Supply::Abrasive => format!("{:.0} abrasive sheets", it.amount),
        Supply::Screw => format!("{:.0} screws and plugs", it.amount),
    }
}

fn check(brief: &Brief, plan: &Plan, number: usize, it: &Operation) -> Check {
    let slot: Option<&Slot> = plan.schedule.slots.iter().find(|slot| slot.operation == it.id);
    let person = |id| brief.kit.people.iter().find(|person| person.id == id).map(|it| it.name.clone());
    Check {
        number,
        title: it.title.clone(),
        when: slot.map(|slot| words::span(slot.from, slot.to)),
        latest: slot.and_then(|slot| slot.latest_from).map(words::moment),
        person: slot.and_then(|slot| slot.person).and_then(person),
        done: slot.filter(|slot| slot.done > slot.to).map(|slot| words::moment(slot.done)),
        steps: it
            .steps
            .iter()
            .map(|step| StepLine { text: step.text.clone(), timer: step.timer.map(words::minutes) })
            .collect(),
    }
}

/// Every caution once, in the order in which it is first met.
fn cautions(plan: &Plan) -> Vec<CautionLine> {
    let mut out: Vec<CautionLine> = Vec::new();
    for (index, operation) in plan.operations.iter().enumerate() {
        for text in &operation.cautions {
            match out.iter_mut().find(|it| it.text == *text) {
                Some(known) if known.at.last() == Some(&(index + 1)) => {}
                Some(known) => known.at.push(index + 1),
                None => out.push(CautionLine { text: text.clone(), at: vec![index + 1] }),
            }
        }
    }
    out
}

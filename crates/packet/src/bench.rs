//! The days in order, a card for each operation, cautions and care card.

use std::collections::BTreeMap;

use handbook::{LOOK_UP, Rule, all_rules};
use measure::Figure;
use plan::{Plan, Slot};
use serde::Serialize;
use stock::Brief;
use work::{Machine, Operation, Setting, Supply, Use};

use crate::care::{self, Care};
use crate::holes::{self, Holes};
use crate::words::{self, FigureLine};

#[derive(Serialize)]
pub(crate) struct Bench {
    days: Vec<Day>,
    cards: Vec<Card>,
    cautions: Vec<CautionLine>,
    care: Vec<Care>,
    rules: Rules,
}

/// Rules on food contact to look up, and what stands over them.
#[derive(Serialize)]
struct Rules {
    head: String,
    lines: Vec<RuleLine>,
}

#[derive(Serialize)]
struct RuleLine {
    text: String,
    place: String,
    says: String,
    source: String,
}

/// One day of the list by dates.
#[derive(Serialize)]
struct Day {
    day: String,
    lines: Vec<DayLine>,
}

/// One operation in the list by dates.
#[derive(Serialize)]
struct DayLine {
    number: usize,
    title: String,
    when: String,
    person: Option<String>,
    /// When its wait is over.
    done: Option<String>,
    /// The latest start that still holds the day.
    latest: Option<String>,
}

/// One operation: its set-up, its steps to tick, its cautions.
#[derive(Serialize)]
struct Card {
    number: usize,
    kind: &'static str,
    title: String,
    machine: Option<&'static str>,
    when: Option<String>,
    person: Option<String>,
    /// What becomes what, where that is not the same thing.
    turns: Option<String>,
    after: Vec<usize>,
    settings: Vec<Setting>,
    figures: Vec<FigureLine>,
    holes: Option<Holes>,
    steps: Vec<StepLine>,
    /// Cautions that this card is the first to need, in full words.
    fresh: Vec<usize>,
    /// Those that an earlier card has told: each in short.
    known: Vec<Short>,
    uses: Vec<String>,
    hands: String,
    wait: Option<String>,
    clamps: u32,
}

#[derive(Serialize)]
struct StepLine {
    text: String,
    timer: Option<String>,
}

/// A caution's number and how it begins.
#[derive(Serialize)]
struct Short {
    number: usize,
    text: String,
}

/// One caution, and the operations that it belongs to.
#[derive(Serialize)]
struct CautionLine {
    text: String,
    at: Vec<usize>,
}

/// The days, cards, cautions and care; small drawings go to `files`.
pub(crate) fn bench(brief: &Brief, plan: &Plan, files: &mut BTreeMap<String, Vec<u8>>) -> Bench {
    let cautions = cautions(plan);
    let numbered = plan.operations.iter().enumerate().map(|(index, it)| (index + 1, it));
    Bench {
        days: days(brief, plan),
        cards: numbered
            .map(|(number, it)| Card {
                holes: holes::holes(brief, number, it, files),
                ..card(brief, plan, &cautions, number, it)
            })
            .collect(),
        cautions,
        care: care::care(brief, plan),
        rules: rules(),
    }
}

fn rules() -> Rules {
    let line = |it: &Rule| RuleLine {
        text: it.text.clone(),
        place: it.place.clone(),
        says: it.says.clone(),
        source: it.origin(),
    };
    Rules { head: LOOK_UP.to_owned(), lines: all_rules().iter().map(line).collect() }
}

fn slot<'a>(plan: &'a Plan, it: &Operation) -> Option<&'a Slot> {
    plan.schedule.slots.iter().find(|slot| slot.operation == it.id)
}

fn person(brief: &Brief, slot: &Slot) -> Option<String> {
    let of_slot = |it: &&stock::Person| Some(it.id) == slot.person;
    brief.kit.people.iter().find(of_slot).map(|it| it.name.clone())
}

/// Every operation by the day on which it begins; those without a day last.
fn days(brief: &Brief, plan: &Plan) -> Vec<Day> {
    let numbered = plan.operations.iter().enumerate().map(|(index, it)| (index + 1, it, slot(plan, it)));
    let mut all: Vec<_> = numbered.collect();
    all.sort_by_key(|(number, _, slot)| (slot.is_none(), slot.map(|it| it.from), *number));
    let mut days: Vec<Day> = Vec::new();
    for (number, operation, slot) in all {
        let day = slot.map_or_else(|| "No day found".to_owned(), |it| words::day(it.from.date()));
        let line = DayLine {
            number,
            title: operation.title.clone(),
            when: slot.map(|it| words::hours(it.from, it.to)).unwrap_or_default(),
            person: slot.and_then(|it| person(brief, it)),
            done: slot.filter(|it| it.done > it.to).map(|it| words::moment(it.done)),
            latest: slot.and_then(|it| it.latest_from).map(words::moment),
        };
        match days.last_mut() {
            Some(last) if last.day == day => last.lines.push(line),
            Some(_) | None => days.push(Day { day, lines: vec![line] }),
        }
    }
    days
}

fn card(brief: &Brief, plan: &Plan, cautions: &[CautionLine], number: usize, it: &Operation) -> Card {
    let place = |id| plan.operations.iter().position(|other| other.id == id).map(|index| index + 1);
    let slot = slot(plan, it);
    let mine = cautions.iter().enumerate().filter(|(_, line)| line.at.contains(&number));
    let (fresh, known): (Vec<_>, Vec<_>) = mine.partition(|(_, line)| line.at.first() == Some(&number));
    Card {
        number,
        kind: it.kind.word(),
        title: it.title.clone(),
        machine: it.machine.map(Machine::word),
        when: slot.map(|it| words::span(it.from, it.to)),
        person: slot.and_then(|it| person(brief, it)),
        turns: turns(brief, it),
        after: it.after.iter().filter_map(|&id| place(id)).collect(),
        settings: it.set_up.clone(),
        figures: words::figures(&beside(it)),
        holes: None,
        steps: it
            .steps
            .iter()
            .map(|step| StepLine { text: step.text.clone(), timer: step.timer.map(words::minutes) })
            .collect(),
        fresh: fresh.into_iter().map(|(index, _)| index + 1).collect(),
        known: known
            .into_iter()
            .map(|(index, line)| Short { number: index + 1, text: short(&line.text) })
            .collect(),
        uses: it.uses.iter().map(used).collect(),
        hands: words::minutes(it.hands),
        wait: wait(it),
        clamps: it.clamps,
    }
}

/// How a caution begins, up to its first stop or a few words.
fn short(text: &str) -> String {
    let clause = text.split([';', ':', '(', ',']).next().unwrap_or(text);
    let mut out = String::new();
    for word in clause.split_whitespace() {
        if !out.is_empty() && out.chars().count() + word.chars().count() >= SHORT_CAUTION {
            out.push('…');
            break;
        }
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

/// No caution in short is much longer than this, in letters.
const SHORT_CAUTION: usize = 40;

/// The figures that no setting shows already.
fn beside(it: &Operation) -> Vec<Figure> {
    let shown = |figure: &&Figure| !it.set_up.iter().any(|set| set.value == figure.value);
    it.figures.iter().filter(shown).cloned().collect()
}

/// `Maple plank → strips for Kitchen panel`.
fn turns(brief: &Brief, it: &Operation) -> Option<String> {
    let names = |all: &[work::Workpiece]| {
        let names: Vec<String> = all.iter().map(|&piece| words::workpiece(brief, piece)).collect();
        names.join(", ")
    };
    let differs = it.inputs != it.outputs && !it.inputs.is_empty();
    differs.then(|| format!("{} → {}", names(&it.inputs), names(&it.outputs)))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_caution_in_short_is_its_first_clause() {
        assert_eq!(short("Keep glue off skin and eyes; wash it off at once"), "Keep glue off skin and eyes");
        let long = "Power off and plug out or switch locked before you change a blade";
        assert_eq!(short(long), "Power off and plug out or switch locked…");
        assert_eq!(short(""), "");
    }
}

//! How the terminal tells things.

use std::sync::{Mutex, PoisonError};

use measure::{Figure, Length, Problem, Units};
use shop::{BoardYear, CityYears, FinishSheet, PlanView, RowSheet, ShopView, TownLine, Trouble, WoodSheet};
use stock::{Brief, Finding, Grade, Piece, Spot};

use crate::say::say;

/// How far long work has come: a line whenever something else is being done,
/// and one for every quarter of it.
#[derive(Default)]
pub(crate) struct Steps {
    last: Mutex<(String, u32)>,
}

impl Steps {
    pub(crate) fn tell(&self, label: &str, share: f64) {
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        let quarter = (share * 4.0) as u32;
        if last.0 != label || last.1 != quarter {
            say!("{:>4.0} %  {label}", share * 100.0);
            *last = (label.to_owned(), quarter);
        }
    }
}

/// A trouble, with the next step below it.
pub(crate) fn trouble(it: &Trouble) {
    eprintln!("error: {}", it.problem().message);
    if let Some(hint) = &it.problem().hint {
        eprintln!("  hint: {hint}");
    }
}

/// What the maker should know although all went well.
pub(crate) fn problems(all: &[Problem]) {
    for it in all {
        say!("note: {it}");
    }
}

/// Figures of one kind, a line each, and below them their sources, each once.
pub(crate) fn figures(all: &[Figure]) {
    for it in all {
        let inputs: Vec<String> =
            it.inputs.iter().map(|input| format!("{} {}", input.name, input.value)).collect();
        say!("{:6} {:8} {}", it.name, it.value, inputs.join(", "));
    }
    let mut sources: Vec<&str> = all.iter().map(|it| it.source.as_str()).collect();
    sources.dedup();
    for it in sources {
        say!("  {it}");
    }
}

/// All that is known of a wood: each fact with its source, then what nobody knows.
pub(crate) fn wood(it: &WoodSheet, units: Units) {
    say!("{}{}", it.name, if it.own { " (the shop's own)" } else { "" });
    let known = it.lines.iter().filter_map(|line| Some((line, line.value.as_ref()?)));
    for (line, value) in known {
        let printed = line.printed.as_ref().map(|it| format!(", printed as {it}")).unwrap_or_default();
        say!("  {}: {value}{printed}", line.name);
        let source = line.confidence.zip(line.source.as_ref());
        if let Some((confidence, source)) = source {
            say!("      {}", confidence.of(source));
        }
        if let Some(note) = &line.note {
            say!("      {note}");
        }
    }
    let unknown: Vec<&str> =
        it.lines.iter().filter(|line| line.value.is_none()).map(|line| line.name.as_str()).collect();
    if !unknown.is_empty() {
        say!("  unknown: {}", unknown.join(", "));
    }
    for line in &it.assumed {
        say!("  reckoned with, {line}");
    }
    for year in &it.years {
        say!(
            "  in {}, {}: {} of width grow by {} flat-sawn, {} quarter-sawn, from winter to summer",
            year.room,
            year.moisture,
            units.length(year.width),
            units.fine_length(year.flat),
            units.fine_length(year.quarter)
        );
    }
}

/// All that is known of a glue: each fact with how sure we are of it, then the sources.
pub(crate) fn glue(it: &RowSheet) {
    say!("{}  {}{}", it.key, it.name, if it.own { " (the shop's own)" } else { "" });
    let mut sources: Vec<&str> = Vec::new();
    for line in &it.lines {
        let value = line.value.as_deref().unwrap_or("unknown");
        let sure = line.confidence.map(|it| format!(" ({})", it.words())).unwrap_or_default();
        let note = line.note.as_ref().map(|it| format!("; {it}")).unwrap_or_default();
        say!("  {}: {value}{sure}{note}", line.name);
        sources.extend(line.source.as_deref().filter(|it| !sources.contains(it)));
    }
    say!("  sources: {}", sources.join("; "));
}

/// What a year does to a board.
pub(crate) fn year(it: &BoardYear, width: Length, units: Units) {
    say!("{} wide as made, at {:.1} % moisture", units.length(width), it.made.to_percent());
    for (name, season) in [("winter", &it.winter), ("summer", &it.summer)] {
        let moisture = season.moisture.to_percent();
        say!("  {name}, {moisture:.1} %: {} ({})", units.fine_length(season.width), season.change.value);
    }
    say!("  {}: {}", it.room, it.source);
    say!("  {}: {}", it.winter.change.formula, it.winter.change.source);
}

/// A layer of a finish: each line, then its source and cautions.
fn layer(it: &RowSheet) {
    say!("{}{}", it.name, if it.own { " (the shop's own)" } else { "" });
    for line in &it.lines {
        say!("  {}: {}", line.name, line.value.as_deref().unwrap_or("not known"));
    }
    it.source.iter().for_each(|source| say!("  {source}"));
    it.cautions.iter().for_each(|caution| say!("  caution: {caution}"));
}

/// A finish: its layers, then its days at the soonest.
pub(crate) fn finish(it: &FinishSheet) {
    it.layers.iter().for_each(layer);
    say!("{} in the shop's air, {}, at the soonest", it.name, it.air);
    let day = |at: measure::Minutes| (at.to_hours() / 24.0).floor() + 1.0;
    for coat in &it.times.coats {
        say!("  day {}: {}, coat {} of {}", day(coat.at), coat.layer, coat.coat, coat.of);
    }
    say!("  day {}: handle it with care", day(it.times.handle));
    say!("  day {}: food may touch it", day(it.times.food));
    if let Some(slowed) = it.times.slowed {
        say!("  the cold makes the waits up to {slowed:.1} times as long");
    }
    for fault in &it.faults {
        say!("  will not hold: {fault}");
    }
}

/// A figure with its formula and its source.
pub(crate) fn figure(it: &Figure) {
    say!("{}: {}", it.name, it.value);
    say!("  {}", it.formula);
    say!("  {}", it.source);
}

/// Towns whose names hold a word; one alone is told month by month.
///
/// # Errors
/// No town has such a name.
pub(crate) fn cities(all: &CityYears, word: &str) -> Result<(), Problem> {
    let wanted = word.to_lowercase();
    let towns: Vec<&TownLine> =
        all.towns.iter().filter(|it| it.name.to_lowercase().contains(&wanted)).collect();
    match towns.as_slice() {
        [] => {
            let problem = Problem::new(format!("no town is called “{word}”"));
            return Err(problem.hint("`treen facts cities` lists them all"));
        }
        [one] => {
            say!("{}", one.name);
            for (month, moisture) in MONTHS.iter().zip(&one.months) {
                say!("  {month}  {:4.1} %", moisture.to_percent());
            }
        }
        several => {
            for it in several {
                let percents = it.months.iter().map(|it| it.to_percent());
                let (least, most) = (percents.clone().fold(f64::MAX, f64::min), percents.fold(0.0, f64::max));
                say!("{}: {least:.1} to {most:.1} %", it.name);
            }
        }
    }
    say!("{}; a guide for an unheated shop only", all.source);
    Ok(())
}

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// What was taken back.
pub(crate) fn taken_back(label: Option<String>) -> Result<(), Trouble> {
    match label {
        Some(label) => say!("taken back: {label}"),
        None => say!("there is nothing to take back"),
    }
    Ok(())
}

/// What was done again.
pub(crate) fn done_again(label: Option<String>) -> Result<(), Trouble> {
    match label {
        Some(label) => say!("done again: {label}"),
        None => say!("there is nothing to do again"),
    }
    Ok(())
}

/// A plan in the terminal: findings, dates, cost.
pub(crate) fn plan(brief: &Brief, view: &PlanView) {
    let plan = &view.plan;
    findings(brief, &plan.findings);
    for part in &plan.parts {
        say!("{} lies on {}", part.name, brief.face_name(part.face));
    }
    say!("{} operations", plan.operations.len());
    say!("food may touch it from {} (wanted by {})", plan.schedule.ready_on, brief.job.due);
    match plan.schedule.start_by {
        Some(day) => say!("work has to start by {day}"),
        None => say!("the day cannot be held any more"),
    }
    say!(
        "cost {1}{0:.2}, price {1}{2:.2}",
        plan.bill.cost.to_units(),
        brief.kit.currency,
        plan.bill.price.to_units()
    );
}

/// Findings as a good compiler tells them, worst first.
pub(crate) fn findings(brief: &Brief, all: &[Finding]) {
    for (number, it) in (1..).zip(all) {
        say!("{}: {} [{}]", grade(it.grade), it.what, it.rule);
        say!("   where: {}", spot(brief, &it.spot));
        say!("   {}: {} (limit {})", it.figure.name, it.figure.value, it.limit);
        say!("   why: {}", it.why);
        for mending in &it.mendings {
            say!("   mend: {}", mending.label);
        }
        if it.mendings.iter().any(|mending| mending.change.is_some()) {
            say!("   the program can do this: `treen job mend {} {number}`", brief.job.id);
        }
    }
    if all.is_empty() {
        say!("nothing is wrong");
    }
}

fn grade(it: Grade) -> &'static str {
    match it {
        Grade::Stop => "stop",
        Grade::Mend => "mend",
        Grade::Note => "note",
    }
}

fn spot(brief: &Brief, it: &Spot) -> String {
    let units = brief.units();
    let at = |point: outline::Point| {
        let mm = measure::Length::mm;
        format!("{} from the left, {} up", units.length(mm(point.x)), units.length(mm(point.y)))
    };
    match it {
        Spot::Job => format!("the job “{}”", brief.job.name),
        Spot::Piece { piece } => brief.face_name(stock::FaceKey::Piece(*piece)),
        Spot::Panel { panel } => brief.face_name(stock::FaceKey::Panel(*panel)),
        Spot::Pattern { pattern, at: place } => {
            let name = brief.pattern(*pattern).map_or("pattern", |it| it.name.as_str());
            place.map_or(name.to_owned(), |place| format!("{name}, {}", at(place)))
        }
        Spot::Part { part, face, at: place } => {
            format!("{} on {}, {}", brief.part_name(*part), brief.face_name(*face), at(*place))
        }
        Spot::Unplaced { part } => format!("{}, which lies nowhere yet", brief.part_name(*part)),
    }
}

/// The rack as a table: the wood on hand, then what was sawn of it.
pub(crate) fn rack(view: &ShopView) {
    let (whole, sawn): (Vec<&Piece>, Vec<&Piece>) = view.pieces.iter().partition(|it| it.sawn.is_none());
    whole.iter().for_each(|it| say!("{}", rack_line(it, view.kit.units)));
    if !sawn.is_empty() {
        say!("sawn:");
    }
    for it in sawn {
        let job = it.sawn.as_ref().and_then(|sawn| view.jobs.iter().find(|view| view.job.id == sawn.job));
        let into = job.map_or("a job that was taken away", |it| it.job.name.as_str());
        say!("{}  for {into}", rack_line(it, view.kit.units));
    }
    if view.pieces.is_empty() {
        say!("the rack is empty: bring in wood with `treen rack add` or `treen rack photo`");
    }
}

fn rack_line(it: &Piece, units: Units) -> String {
    let size = it.face.outline.bounds();
    format!(
        "{:>4}  {:<28} {:<16} {} x {} x {}",
        it.id.0,
        it.name,
        it.species.0,
        units.length(size.width()),
        units.length(size.height()),
        units.length(it.thickness)
    )
}

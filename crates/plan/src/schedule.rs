//! Who does what when: forward from today, and backward from the day.

use jiff::civil::{Date, Time};
use measure::{Figure, Minutes};
use stock::{Brief, Change, Finding, Grade, Mending, Person, Spot};
use work::{Operation, OperationKind};

use crate::calendar::{Calendar, DAY, MOST_DAYS, days_between, moment, shifted};
use crate::greedy::{Booking, Means, Task, book};
use crate::words::{self, day};
use crate::{Schedule, Slot};

/// Hands and waits are rounded up to this many minutes: nobody plans finer.
const TICK: f64 = 5.0;

/// A wait or a time of hands longer than the calendar looks counts as this.
const LONGEST: i64 = MOST_DAYS * DAY;

/// The rules that the job's day has to be held, by hands or by the last cure.
const DAY_RULE: &str = "day cannot be held";
const CURE_RULE: &str = "not cured by the date";

/// Whether a finding says that the day is not held.
pub(crate) fn is_late(it: &Finding) -> bool {
    it.rule == DAY_RULE || it.rule == CURE_RULE
}

const SOURCE: &str = "each operation at the earliest moment that people, machines and clamps allow";

/// Works out who does what when, and whether the job's day is held.
///
/// A board is ready on the first day that begins when the last wait is over.
/// Of each machine there is one; a wait runs day and night; hands pause where
/// a person's hours end, unless they must not.
pub fn schedule(brief: &Brief, operations: &[Operation]) -> (Schedule, Vec<Finding>) {
    let people = people(brief);
    let forward = Means {
        people: calendars(brief, &people, brief.today),
        clamps: brief.kit.clamps.iter().map(|clamp| clamp.count).fold(0, u32::saturating_add),
    };
    let (tasks, mut findings) = tasks(operations, &forward);
    let Some(booked) = book(&tasks, &forward) else {
        findings.push(no_time(brief, &people));
        return (never(brief), findings);
    };
    let end = booked.iter().zip(&tasks).map(|(it, task)| it.to + task.after).max().unwrap_or(0);
    let ready_on = shifted(brief.today, (end + DAY - 1) / DAY);
    let holds = ready_on <= brief.job.due && !operations.is_empty();
    let latest = latest_starts(brief, &people, &tasks, forward.clamps);
    let slots = slots(brief, operations, &people, &tasks, &booked, latest.as_deref());
    let start_by = latest.as_ref().and_then(|all| all.iter().map(|it| it.date()).min());
    // A schedule that starts today holds the day, even where the one reckoned backward would not.
    let start_by = if holds { start_by.map(|it| it.max(brief.today)) } else { start_by };
    let mut schedule = Schedule { slots, ready_on, start_by, holds, figures: Vec::new() };
    schedule.figures = figures(brief, operations, &people, &schedule);
    findings.extend(day_finding(brief, operations, &schedule));
    (schedule, findings)
}

/// The job's people, or everyone in the shop.
fn people(brief: &Brief) -> Vec<&Person> {
    let named = |person: &&Person| brief.job.people.is_empty() || brief.job.people.contains(&person.id);
    brief.kit.people.iter().filter(named).collect()
}

fn calendars(brief: &Brief, people: &[&Person], first: Date) -> Vec<Calendar> {
    people.iter().map(|person| Calendar::new(person, &brief.kit.closed, first, MOST_DAYS)).collect()
}

/// The operations as the scheme sees them. Hands that must not pause but fit
/// into nobody's day are allowed to, and found.
fn tasks(operations: &[Operation], means: &Means) -> (Vec<Task>, Vec<Finding>) {
    let longest = means.people.iter().map(Calendar::longest).max().unwrap_or(0);
    let mut findings = Vec::new();
    let mut tasks = Vec::with_capacity(operations.len());
    for (index, it) in operations.iter().enumerate() {
        let hands = ticks(it.hands);
        let fits = hands <= longest;
        if it.unbroken && !fits && longest > 0 {
            findings.push(too_long(it, longest));
        }
        let stands = |id| operations[..index].iter().position(|earlier| earlier.id == id);
        let mut needs: Vec<usize> = it.after.iter().filter_map(|&id| stands(id)).collect();
        needs.sort_unstable();
        needs.dedup();
        tasks.push(Task {
            hands,
            before: 0,
            after: ticks(it.wait),
            unbroken: it.unbroken && fits,
            machine: it.machine,
            clamps: it.clamps.min(means.clamps),
            needs,
        });
    }
    (tasks, findings)
}

fn ticks(it: Minutes) -> i64 {
    ((it.to_minutes().max(0.0) / TICK).ceil() * TICK).min(LONGEST as f64) as i64
}

/// The latest start of each operation that still holds the day: the same
/// scheme with time running backward from the first minute of that day.
fn latest_starts(
    brief: &Brief,
    people: &[&Person],
    tasks: &[Task],
    clamps: u32,
) -> Option<Vec<jiff::civil::DateTime>> {
    let first = shifted(brief.job.due, -MOST_DAYS);
    let about = days_between(first, brief.job.due) * DAY;
    let calendars = calendars(brief, people, first);
    let means = Means { people: calendars.iter().map(|it| it.mirrored(about)).collect(), clamps };
    let last = tasks.len().saturating_sub(1);
    let mut mirrored: Vec<Task> = tasks
        .iter()
        .rev()
        .map(|task| Task { before: task.after, after: 0, needs: Vec::new(), ..task.clone() })
        .collect();
    for (index, task) in tasks.iter().enumerate() {
        for &need in &task.needs {
            mirrored[last - need].needs.push(last - index);
        }
    }
    let booked = book(&mirrored, &means)?;
    Some(booked.iter().rev().map(|it| moment(first, about - it.to)).collect())
}

fn slots(
    brief: &Brief,
    operations: &[Operation],
    people: &[&Person],
    tasks: &[Task],
    booked: &[Booking],
    latest: Option<&[jiff::civil::DateTime]>,
) -> Vec<Slot> {
    let mut slots: Vec<Slot> = operations
        .iter()
        .enumerate()
        .map(|(index, operation)| {
            let it = booked[index];
            Slot {
                operation: operation.id,
                person: it.person.map(|who| people[who].id),
                from: moment(brief.today, it.from),
                to: moment(brief.today, it.to),
                done: moment(brief.today, it.to + tasks[index].after),
                latest_from: latest.map(|all| all[index]),
            }
        })
        .collect();
    slots.sort_by_key(|slot| (slot.from, slot.operation));
    slots
}

fn figures(brief: &Brief, operations: &[Operation], people: &[&Person], it: &Schedule) -> Vec<Figure> {
    let hands: Minutes = operations.iter().map(|operation| operation.hands).sum();
    let longest = operations.iter().map(|operation| operation.wait).fold(Minutes::ZERO, Minutes::max);
    let names: Vec<&str> = people.iter().map(|person| person.name.as_str()).collect();
    let spare = days_between(it.ready_on, brief.job.due);
    let mut figures = vec![
        Figure::new("ready on", day(it.ready_on))
            .by("first day that begins after the last wait", SOURCE)
            .from("work starts", day(brief.today))
            .from("hours of hands", words::hours(hands))
            .from("longest wait", words::wait(longest))
            .from("people", names.join(", ")),
        Figure::new("days to spare", words::days(spare))
            .by("the job's day − ready on", "by the two dates")
            .from("the job's day", day(brief.job.due))
            .from("ready on", day(it.ready_on)),
    ];
    if let Some(start_by) = it.start_by {
        figures.push(
            Figure::new("start at the latest", day(start_by))
                .by("the same, backward from the job's day", SOURCE)
                .from("the job's day", day(brief.job.due))
                .from("hours of hands", words::hours(hands)),
        );
    }
    figures
}

/// Whether the day is held, and how closely.
fn day_finding(brief: &Brief, operations: &[Operation], it: &Schedule) -> Option<Finding> {
    let spare = days_between(it.ready_on, brief.job.due);
    if spare > 0 || it.slots.is_empty() {
        return None;
    }
    let figure = it.figures.first()?.clone();
    let (due, ready) = (day(brief.job.due), day(it.ready_on));
    let mut found = Finding {
        grade: Grade::Mend,
        rule: DAY_RULE.to_owned(),
        what: format!("food may touch the boards from {ready}, {} after {due}", words::days(-spare)),
        spot: Spot::Job,
        figure,
        limit: due,
        why: "a finish that has not cured comes off on food; curing cannot be hurried".to_owned(),
        mendings: vec![
            Mending::by(Change::Due { to: it.ready_on }, format!("move the day to {ready}")),
            Mending::by_hand("choose a finish that is ready sooner, or let more people work on it"),
        ],
    };
    if spare == 0 {
        found.grade = Grade::Note;
        found.rule = "no day to spare".to_owned();
        found.what = format!("everything has to go well for {ready}: there is no day to spare");
        found.why = "one warped panel or one slow coat costs a day or more".to_owned();
        found.mendings = vec![Mending::by_hand("start at once, or move the day")];
    } else if let Some((coated, cure)) = only_curing(brief, operations, it) {
        let (coated, wait) = (day(coated), words::wait(cure.wait));
        found.rule = CURE_RULE.to_owned();
        found.what = format!(
            "the boards are coated and dry to handle by {coated}, but “{}” takes {wait} more: \
             food may touch them from {ready}, {} after {}",
            cure.title,
            words::days(-spare),
            found.limit
        );
        found.figure = found.figure.from("coated, dry to handle", coated).from("then cures for", wait);
    }
    Some(found)
}

/// If all is done by the job's day but the last cure: from when, and that cure.
fn only_curing<'a>(
    brief: &Brief,
    operations: &'a [Operation],
    it: &Schedule,
) -> Option<(Date, &'a Operation)> {
    let cure = operations.iter().rfind(|it| it.kind == OperationKind::Cure)?;
    let made = it.slots.iter().filter(|slot| slot.operation != cure.id).map(|slot| slot.done).max()?;
    // As the whole job: on the first day that begins when the wait is over.
    let by = if made.time() == Time::midnight() { made.date() } else { made.date().tomorrow().ok()? };
    (by <= brief.job.due).then_some((by, cure))
}

fn too_long(operation: &Operation, longest: i64) -> Finding {
    let hands = words::hours(operation.hands);
    let limit = words::hours(Minutes::minutes(longest as f64));
    Finding {
        grade: Grade::Mend,
        rule: "longer than a working day".to_owned(),
        what: format!(
            "“{}” takes {hands} without a pause; the longest working day has {limit}",
            operation.title
        ),
        spot: Spot::Job,
        figure: Figure::new("hands without a pause", hands.clone())
            .by("by the route", "the operation's own time")
            .from("operation", operation.title.clone()),
        limit,
        why: "glue and finish that are begun do not wait for the next morning".to_owned(),
        mendings: vec![Mending::by_hand("do it in two goes, or make that day longer")],
    }
}

fn no_time(brief: &Brief, people: &[&Person]) -> Finding {
    let names: Vec<&str> = people.iter().map(|person| person.name.as_str()).collect();
    let who = if names.is_empty() { "nobody".to_owned() } else { names.join(", ") };
    Finding {
        grade: Grade::Stop,
        rule: "no working hours".to_owned(),
        what: format!("the job finds no time within two years from {}", day(brief.today)),
        spot: Spot::Job,
        figure: Figure::new("working on it", who.clone())
            .by("the job's people, or everyone in the shop", SOURCE),
        limit: words::days(MOST_DAYS),
        why: "operations need somebody's hours".to_owned(),
        mendings: vec![Mending::by_hand("name somebody who has working hours, or open closed days")],
    }
}

/// What is answered when no time is found: nothing booked, ready beyond the calendar.
fn never(brief: &Brief) -> Schedule {
    let ready_on = shifted(brief.today, MOST_DAYS);
    Schedule { slots: Vec::new(), ready_on, start_by: None, holds: false, figures: Vec::new() }
}

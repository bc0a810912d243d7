//! Dates against examples worked out by hand, and bookings against a slow check.

use jiff::civil::{Date, date};
use plan::{Schedule, Slot, schedule};
use proptest::prelude::*;
use stock::{Brief, Change, Grade, PersonId};
use work::{Machine, Operation, OperationKind};

use crate::bench::{FRIDAY, at, brief, operation, person};

/// Rip 6 h; glue 1 h in one go, 24 h in clamps; plane 2 h; a coat 1 h, 12 h to
/// dry; 7 days to cure.
fn board() -> Vec<Operation> {
    let mut glue = operation(2, OperationKind::Glue, 1.0, 24.0, &[1]);
    glue.unbroken = true;
    glue.clamps = 4;
    vec![
        operation(1, OperationKind::Rip, 6.0, 0.0, &[]),
        glue,
        operation(3, OperationKind::Plane, 2.0, 0.0, &[2]),
        operation(4, OperationKind::Finish, 1.0, 12.0, &[3]),
        operation(5, OperationKind::Cure, 0.0, 7.0 * 24.0, &[4]),
    ]
}

fn slot(schedule: &Schedule, id: u32) -> &Slot {
    schedule.slots.iter().find(|it| it.operation.0 == id).unwrap()
}

fn run(brief: &Brief, operations: &[Operation]) -> Schedule {
    let (schedule, findings) = schedule(brief, operations);
    assert!(findings.iter().all(|it| it.grade == Grade::Note), "{findings:?}");
    schedule
}

/// By hand, hours nine to five from Monday to Friday, start on Friday 27 November:
/// rip Fri 9-15; glue Fri 15-16, clamps until Sat 16; plane Mon 9-11; coat Mon
/// 11-12, dry Mon 24:00; cured Tue 8 December 0:00, so that day is ready.
#[test]
fn glued_on_friday_the_clamps_work_over_the_weekend() {
    let schedule = run(&brief(date(2026, 12, 11)), &board());
    assert_eq!((slot(&schedule, 1).from, slot(&schedule, 1).to), (at(11, 27, 9), at(11, 27, 15)));
    assert_eq!((slot(&schedule, 2).to, slot(&schedule, 2).done), (at(11, 27, 16), at(11, 28, 16)));
    assert_eq!((slot(&schedule, 3).from, slot(&schedule, 3).to), (at(11, 30, 9), at(11, 30, 11)));
    assert_eq!((slot(&schedule, 4).from, slot(&schedule, 4).done), (at(11, 30, 11), at(12, 1, 0)));
    assert_eq!(slot(&schedule, 5).done, at(12, 8, 0));
    assert_eq!(slot(&schedule, 5).person, None);
    assert_eq!(schedule.ready_on, date(2026, 12, 8));
    assert!(schedule.holds);
}

/// By hand, backward from the first minute of Friday 11 December: cure from Fri
/// 4 December 0:00; coat Thu 3 December 11-12, dry at 24:00; plane Thu 9-11; out
/// of clamps by Thu 9:00, so glued by Wed 9:00: Tue 1 December 16-17; rip Tue 10-16.
#[test]
fn backward_from_the_day_the_last_start_is_found() {
    let schedule = run(&brief(date(2026, 12, 11)), &board());
    let latest = |id| slot(&schedule, id).latest_from.unwrap();
    assert_eq!(latest(5), at(12, 4, 0));
    assert_eq!(latest(4), at(12, 3, 11));
    assert_eq!(latest(3), at(12, 3, 9));
    assert_eq!(latest(2), at(12, 1, 16));
    assert_eq!(latest(1), at(12, 1, 10));
    assert_eq!(schedule.start_by, Some(date(2026, 12, 1)));
}

/// By hand: ready on Tue 8 December; wanted on Mon 7: one day late.
#[test]
fn a_day_that_cannot_be_held_is_found_with_the_first_that_can() {
    let (schedule, findings) = schedule(&brief(date(2026, 12, 7)), &board());
    assert!(!schedule.holds);
    assert!(schedule.start_by.unwrap() < FRIDAY);
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0].grade, Grade::Mend);
    assert!(findings[0].what.contains("1 day after"), "{}", findings[0].what);
    assert_eq!(findings[0].mendings[0].change, Some(Change::Due { to: date(2026, 12, 8) }));
    let (mended, findings) = plan::schedule(&brief(date(2026, 12, 8)), &board());
    assert!(mended.holds);
    assert_eq!(mended.start_by, Some(FRIDAY));
    assert_eq!(findings[0].rule, "no day to spare");
    assert!(plan::schedule(&brief(date(2026, 12, 9)), &board()).1.is_empty());
}

/// By hand: dry on Tue 1 December 0:00, cured on Tue 8: for any day between, the
/// cure alone is late; for Mon 30 November the work is late too.
#[test]
fn a_cure_that_is_late_is_named() {
    let told = |day| plan::schedule(&brief(day), &board()).1.remove(0);
    let cure = told(date(2026, 12, 1));
    assert_eq!(cure.rule, "not cured by the date");
    assert!(cure.what.contains("Tue 1 Dec 2026") && cure.what.contains("takes 7 days more"), "{}", cure.what);
    assert_eq!(told(date(2026, 12, 7)).rule, "not cured by the date");
    assert_eq!(told(date(2026, 11, 30)).rule, "day cannot be held");
    assert_eq!(told(date(2026, 12, 8)).rule, "no day to spare");
    assert_eq!(plan::schedule(&brief(date(2026, 12, 1)), &board()[..4]).1[0].rule, "no day to spare");
}

/// By hand: Fri 9-16 is taken; sanding of 2 h pauses Fri 17:00 and ends Mon
/// 10:00; gluing of 2 h must not pause and waits for Monday.
#[test]
fn hands_pause_overnight_unless_they_must_not() {
    let mut operations = vec![
        operation(1, OperationKind::Rip, 7.0, 0.0, &[]),
        operation(2, OperationKind::Sand, 2.0, 0.0, &[1]),
    ];
    let paused = run(&brief(date(2026, 12, 11)), &operations);
    assert_eq!((slot(&paused, 2).from, slot(&paused, 2).to), (at(11, 27, 16), at(11, 30, 10)));
    operations[1].unbroken = true;
    let whole = run(&brief(date(2026, 12, 11)), &operations);
    assert_eq!((slot(&whole, 2).from, slot(&whole, 2).to), (at(11, 30, 9), at(11, 30, 11)));
}

/// By hand: closed on Mon and Tue, so work goes on on Wed 2 December.
#[test]
fn nobody_works_on_closed_days() {
    let mut brief = brief(date(2026, 12, 11));
    brief.kit.closed = vec![date(2026, 11, 30), date(2026, 12, 1)];
    let schedule = run(&brief, &board());
    assert_eq!(slot(&schedule, 3).from, at(12, 2, 9));
    assert_eq!(schedule.ready_on, date(2026, 12, 10));
}

/// By hand: one planer; the second of two hours waits for the first, whoever is free.
#[test]
fn of_each_machine_there_is_one() {
    let mut brief = brief(date(2026, 12, 11));
    brief.kit.people = vec![person(1, 9, 17), person(2, 9, 17)];
    let mut operations: Vec<Operation> =
        (1..=2).map(|id| operation(id, OperationKind::Plane, 2.0, 0.0, &[])).collect();
    let apart = run(&brief, &operations);
    assert_eq!((slot(&apart, 1).from, slot(&apart, 2).from), (at(11, 27, 9), at(11, 27, 9)));
    assert_ne!(slot(&apart, 1).person, slot(&apart, 2).person);
    for it in &mut operations {
        it.machine = Some(Machine::Planer);
    }
    let queued = run(&brief, &operations);
    assert_eq!((slot(&queued, 1).from, slot(&queued, 2).from), (at(11, 27, 9), at(11, 27, 11)));
}

/// By hand: eight clamps; two panels want five each, an hour of hands and two of
/// clamping: Fri 9-10 and out at 12; then Fri 12-13 and out at 15.
#[test]
fn clamps_are_counted_through_their_wait() {
    let mut operations: Vec<Operation> =
        (1..=2).map(|id| operation(id, OperationKind::Glue, 1.0, 2.0, &[])).collect();
    for it in &mut operations {
        it.clamps = 5;
    }
    let schedule = run(&brief(date(2026, 12, 11)), &operations);
    assert_eq!((slot(&schedule, 1).from, slot(&schedule, 1).done), (at(11, 27, 9), at(11, 27, 12)));
    assert_eq!((slot(&schedule, 2).from, slot(&schedule, 2).done), (at(11, 27, 12), at(11, 27, 15)));
    operations[1].clamps = 3;
    let both = run(&brief(date(2026, 12, 11)), &operations);
    assert_eq!(slot(&both, 2).from, at(11, 27, 10));
}

#[test]
fn only_the_jobs_people_work_on_it() {
    let mut brief = brief(date(2026, 12, 11));
    brief.kit.people = vec![person(1, 9, 17), person(2, 7, 12)];
    brief.job.people = vec![PersonId(1)];
    assert_eq!(slot(&run(&brief, &board()), 1).from, at(11, 27, 9));
    brief.job.people = vec![PersonId(2)];
    assert_eq!(slot(&run(&brief, &board()), 1).from, at(11, 27, 7));
}

#[test]
fn without_hours_or_with_endless_ones_the_plan_says_so() {
    let mut idle = brief(date(2026, 12, 11));
    idle.kit.people[0].week = [None; 7];
    let (none, findings) = schedule(&idle, &board());
    assert!(none.slots.is_empty() && !none.holds);
    assert_eq!((findings[0].grade, findings[0].rule.as_str()), (Grade::Stop, "no working hours"));
    assert!(schedule(&brief(date(2026, 12, 30)), &board()).1.is_empty());
    let mut endless = board();
    endless[0].hands = measure::Minutes::minutes(1e300);
    assert_eq!(schedule(&brief(date(2026, 12, 11)), &endless).1[0].grade, Grade::Stop);
    let mut long = board();
    long[1].hands = measure::Minutes::hours(9.0);
    let (_, findings) = schedule(&brief(date(2026, 12, 30)), &long);
    assert_eq!(findings[0].rule, "longer than a working day");
    // The last day that a calendar knows.
    let mut last = brief(Date::MAX);
    last.today = Date::MAX;
    assert!(!schedule(&last, &board()).0.holds);
    assert!(schedule(&brief(date(2026, 12, 11)), &[]).1.is_empty());
}

/// A job of random operations: each after some of the earlier ones.
fn any_job() -> impl Strategy<Value = Vec<Operation>> {
    let one =
        (0..30_u32, 0..60_u32, any::<bool>(), 0..4_u32, 0..7_u32, prop::collection::vec(0..12_u32, 0..3));
    prop::collection::vec(one, 1..12).prop_map(|all| {
        let build = |(index, (hands, wait, unbroken, machine, clamps, after)): (usize, _)| {
            let (hands, wait, after): (u32, u32, Vec<u32>) = (hands, wait, after);
            let after: Vec<u32> = after.into_iter().filter(|&it| (it as usize) < index).collect();
            let (hands, wait) = (f64::from(hands) / 4.0, f64::from(wait));
            let mut it = operation(index as u32, OperationKind::Glue, hands, wait, &after);
            it.unbroken = unbroken && hands <= 5.0;
            it.machine = [None, None, Some(Machine::Planer), Some(Machine::Bandsaw)][machine as usize];
            it.clamps = clamps;
            it
        };
        all.into_iter().enumerate().map(build).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever the job: precedence, one pair of hands, one machine, eight clamps.
    #[test]
    fn nothing_is_booked_twice(operations in any_job()) {
        let mut brief = brief(date(2027, 6, 1));
        brief.kit.people = vec![person(1, 9, 17), person(2, 7, 12)];
        let schedule = run(&brief, &operations);
        let of = |it: &Operation| slot(&schedule, it.id.0);
        for it in &operations {
            let own = of(it);
            for &before in &it.after {
                prop_assert!(slot(&schedule, before.0).done <= own.from);
            }
            prop_assert!(own.latest_from.is_some());
            if it.unbroken {
                prop_assert_eq!(own.from.date(), own.to.date());
            }
            let meets = |other: &&Operation| of(other).from <= own.from && own.from < of(other).to;
            let now: Vec<&Operation> = operations.iter().filter(meets).collect();
            for person in [PersonId(1), PersonId(2)] {
                prop_assert!(now.iter().filter(|other| of(other).person == Some(person)).count() <= 1);
            }
            for machine in [Machine::Planer, Machine::Bandsaw] {
                prop_assert!(now.iter().filter(|other| other.machine == Some(machine)).count() <= 1);
            }
            let holds = |other: &&Operation| of(other).from <= own.from && own.from < of(other).done;
            let held: u32 = operations.iter().filter(holds).map(|other| other.clamps).sum();
            prop_assert!(held <= 8, "{held} clamps");
        }
    }
}

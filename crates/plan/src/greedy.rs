//! One operation after the other at the earliest moment that people, machines
//! and clamps allow: the serial scheme with the longest way to the end first.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use work::Machine;

use crate::calendar::{Calendar, Span};

/// An operation as the scheme sees it, in minutes.
#[derive(Clone, Debug, Default)]
pub(crate) struct Task {
    /// Time of hands.
    pub(crate) hands: i64,
    /// Waiting before the hands (only when time runs backward).
    pub(crate) before: i64,
    /// Waiting after the hands.
    pub(crate) after: i64,
    /// Whether the hands may not pause.
    pub(crate) unbroken: bool,
    /// The machine that the hands take.
    pub(crate) machine: Option<Machine>,
    /// The clamps taken by waits and hands.
    pub(crate) clamps: u32,
    /// The tasks that come before; each stands before this one.
    pub(crate) needs: Vec<usize>,
}

/// Who and what there is.
#[derive(Clone, Debug)]
pub(crate) struct Means {
    /// Each person's hours.
    pub(crate) people: Vec<Calendar>,
    /// All clamps.
    pub(crate) clamps: u32,
}

/// When a task's hands work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Booking {
    /// Whose hands; nobody's if there is only waiting.
    pub(crate) person: Option<usize>,
    /// Hands on.
    pub(crate) from: i64,
    /// Hands off.
    pub(crate) to: i64,
}

/// An hour of hands counts as so many hours of waiting when the longest way is
/// reckoned: eight hours a day on five days are about a quarter of the week.
const HANDS_WEIGH: i64 = 4;

/// Books every task from minute zero on. The answer stands in the tasks'
/// order; `None` if a task finds no time in the calendars.
pub(crate) fn book(tasks: &[Task], means: &Means) -> Option<Vec<Booking>> {
    let ways = ways_to_the_end(tasks);
    let mut missing: Vec<usize> = tasks.iter().map(|task| task.needs.len()).collect();
    let mut ready: BTreeSet<(Reverse<i64>, usize)> = (0..tasks.len())
        .filter(|&index| missing[index] == 0)
        .map(|index| (Reverse(ways[index]), index))
        .collect();
    let mut followers = vec![Vec::new(); tasks.len()];
    for (index, task) in tasks.iter().enumerate() {
        for &need in &task.needs {
            debug_assert!(need < index, "what comes first stands first");
            followers[need].push(index);
        }
    }
    let mut booked = vec![Booking::default(); tasks.len()];
    let mut board = Board::new(means);
    while let Some((_, index)) = ready.pop_first() {
        let task = &tasks[index];
        let free = |&need: &usize| booked[need].to + tasks[need].after;
        let from = task.needs.iter().map(free).max().unwrap_or(0);
        booked[index] = board.book(task, from + task.before)?;
        for &follower in &followers[index] {
            missing[follower] -= 1;
            if missing[follower] == 0 {
                ready.insert((Reverse(ways[follower]), follower));
            }
        }
    }
    Some(booked)
}

/// The longest way from each task's start to the end of all.
fn ways_to_the_end(tasks: &[Task]) -> Vec<i64> {
    let mut ways = vec![0; tasks.len()];
    for (index, task) in tasks.iter().enumerate().rev() {
        ways[index] += task.hands * HANDS_WEIGH + task.before + task.after;
        for &need in &task.needs {
            ways[need] = ways[need].max(ways[index]);
        }
    }
    ways
}

/// What is taken when.
struct Board<'a> {
    means: &'a Means,
    people: Vec<Taken>,
    machines: BTreeMap<Machine, Taken>,
    clamps: Vec<(Span, u32)>,
}

impl<'a> Board<'a> {
    fn new(means: &'a Means) -> Board<'a> {
        let people = vec![Taken::default(); means.people.len()];
        Board { means, people, machines: BTreeMap::new(), clamps: Vec::new() }
    }

    /// Books a task at the earliest moment from a minute on, with the person
    /// who ends it first; among those, with the one who has worked least.
    fn book(&mut self, task: &Task, from: i64) -> Option<Booking> {
        let best = if task.hands == 0 {
            self.wait_only(task, from)
        } else {
            let tries = (0..self.people.len()).filter_map(|person| self.earliest(task, from, person));
            tries.min_by_key(|it| {
                (it.to, it.from, it.person.map_or(0, |who| self.people[who].minutes), it.person)
            })?
        };
        let span = Span { from: best.from, to: best.to };
        if let Some(person) = best.person {
            self.people[person].take(span, task.hands);
        }
        if let Some(machine) = task.machine
            && task.hands > 0
        {
            self.machines.entry(machine).or_default().take(span, task.hands);
        }
        if task.clamps > 0 {
            self.clamps.push((Span { from: best.from - task.before, to: best.to + task.after }, task.clamps));
        }
        Some(best)
    }

    fn wait_only(&self, task: &Task, from: i64) -> Booking {
        let mut at = from;
        while let Some(free) = self.clamps_short(task, at, at) {
            at = free;
        }
        Booking { person: None, from: at, to: at }
    }

    fn earliest(&self, task: &Task, from: i64, person: usize) -> Option<Booking> {
        let hours = &self.means.people[person];
        let mut at = from;
        loop {
            let open = hours.next(at)?;
            let to = hours.finish(open.from, task.hands)?;
            if task.unbroken && to > open.to {
                at = open.to;
                continue;
            }
            let machine = task.machine.and_then(|it| self.machines.get(&it));
            let taken = self.people[person].until(open.from, to);
            let taken = taken.or_else(|| machine.and_then(|it| it.until(open.from, to)));
            match taken.or_else(|| self.clamps_short(task, open.from, to)) {
                Some(free) => at = free,
                None => return Some(Booking { person: Some(person), from: open.from, to }),
            }
        }
    }

    /// Where hands from here to there would want clamps that are not free: the
    /// next start at which one more has come free.
    fn clamps_short(&self, task: &Task, from: i64, to: i64) -> Option<i64> {
        if task.clamps == 0 {
            return None;
        }
        let (from, to) = (from - task.before, to + task.after);
        let meets = |span: &Span| span.from < to && from < span.to;
        let over: Vec<&(Span, u32)> = self.clamps.iter().filter(|(span, _)| meets(span)).collect();
        let taken_at = |minute: i64| -> u32 {
            let holds = |span: &Span| span.from <= minute && minute < span.to;
            over.iter().filter(|(span, _)| holds(span)).map(|(_, count)| count).sum()
        };
        let most = over.iter().map(|(span, _)| taken_at(span.from.max(from))).max().unwrap_or(0);
        if task.clamps <= self.means.clamps.saturating_sub(most) {
            return None;
        }
        over.iter().map(|(span, _)| span.to + task.before).min()
    }
}

/// The spans in which somebody or something is taken.
#[derive(Clone, Debug, Default)]
struct Taken {
    // Invariant: none meets another, in order.
    spans: Vec<Span>,
    minutes: i64,
}

impl Taken {
    /// Until when it is taken, if it is at any time from here to there.
    fn until(&self, from: i64, to: i64) -> Option<i64> {
        let index = self.spans.partition_point(|span| span.to <= from);
        self.spans.get(index).filter(|span| span.from < to).map(|span| span.to)
    }

    fn take(&mut self, span: Span, minutes: i64) {
        let index = self.spans.partition_point(|it| it.to <= span.from);
        debug_assert!(self.spans.get(index).is_none_or(|it| span.to <= it.from), "taken twice");
        self.spans.insert(index, span);
        self.minutes += minutes;
    }
}

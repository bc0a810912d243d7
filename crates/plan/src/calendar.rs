//! The hours in which hands can work, in minutes after a first midnight.

use jiff::civil::{Date, DateTime};
use jiff::{SignedDuration, ToSpan};
use stock::Person;

/// The minutes of one day.
pub(crate) const DAY: i64 = 24 * 60;

/// The farthest that a planning looks, in days: two years.
pub(crate) const MOST_DAYS: i64 = 730;

/// Somebody's working hours, span by span.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Calendar {
    // Invariant: none is empty, none meets another, in order.
    spans: Vec<Span>,
}

/// From one minute to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Span {
    pub(crate) from: i64,
    pub(crate) to: i64,
}

impl Calendar {
    /// Somebody's hours on so many days from a first one; nobody works on closed days.
    pub(crate) fn new(person: &Person, closed: &[Date], first: Date, days: i64) -> Calendar {
        let mut spans = Vec::new();
        let mut date = Some(first);
        for day in 0..days {
            let Some(today) = date else { break };
            let weekday = today.weekday().to_monday_zero_offset() as usize;
            if let Some(hours) = person.week[weekday]
                && !closed.contains(&today)
            {
                let minute = |it: jiff::civil::Time| i64::from(it.hour()) * 60 + i64::from(it.minute());
                let span = Span { from: day * DAY + minute(hours.from), to: day * DAY + minute(hours.to) };
                if span.from < span.to {
                    spans.push(span);
                }
            }
            date = today.tomorrow().ok();
        }
        Calendar { spans }
    }

    /// The same hours with time running backward from a minute.
    pub(crate) fn mirrored(&self, about: i64) -> Calendar {
        let mirror = |span: &Span| Span { from: about - span.to, to: about - span.from };
        Calendar { spans: self.spans.iter().rev().map(mirror).collect() }
    }

    /// The first working minute at or after a minute, and the end of its span.
    pub(crate) fn next(&self, at: i64) -> Option<Span> {
        let index = self.spans.partition_point(|span| span.to <= at);
        self.spans.get(index).map(|span| Span { from: span.from.max(at), to: span.to })
    }

    /// When so many minutes of work are done that begin in a working minute
    /// and pause where the hours end.
    pub(crate) fn finish(&self, from: i64, minutes: i64) -> Option<i64> {
        let mut left = minutes;
        let index = self.spans.partition_point(|span| span.to <= from);
        for span in &self.spans[index..] {
            let begin = span.from.max(from);
            if left <= span.to - begin {
                return Some(begin + left);
            }
            left -= span.to - begin;
        }
        None
    }

    /// The longest span.
    pub(crate) fn longest(&self) -> i64 {
        self.spans.iter().map(|span| span.to - span.from).max().unwrap_or(0)
    }
}

/// The moment that lies so many minutes after a day's first midnight.
pub(crate) fn moment(first: Date, minute: i64) -> DateTime {
    first.at(0, 0, 0, 0).saturating_add(SignedDuration::from_mins(minute))
}

/// The day that lies so many days before or after another.
pub(crate) fn shifted(date: Date, days: i64) -> Date {
    let days = days.clamp(-3_660, 3_660);
    date.saturating_add(days.days())
}

/// The days from one date to another.
pub(crate) fn days_between(from: Date, to: Date) -> i64 {
    from.until(to).map_or(0, |span| i64::from(span.get_days()))
}

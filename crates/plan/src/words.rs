//! How dates, money and times are written for people.

use jiff::civil::Date;
use measure::{Minutes, Money};
use stock::Brief;

/// A day: `Fri 27 Nov 2026`.
pub(crate) fn day(it: Date) -> String {
    it.strftime("%a %-d %b %Y").to_string()
}

/// An amount with the shop's sign: `$12.40`.
pub(crate) fn money(brief: &Brief, it: Money) -> String {
    format!("{}{:.2}", brief.kit.currency, it.to_units())
}

/// A stretch of hands' time: `45 min`, `3.5 h`.
pub(crate) fn hours(it: Minutes) -> String {
    if it < Minutes::minutes(90.0) {
        format!("{:.0} min", it.to_minutes())
    } else {
        format!("{} h", number(it.to_hours(), 1))
    }
}

/// A stretch of the calendar: `45 min`, `18 h`, `7 days`.
pub(crate) fn wait(it: Minutes) -> String {
    if it < Minutes::days(2.0) { hours(it) } else { format!("{} days", number(it.to_hours() / 24.0, 1)) }
}

/// So many days: `1 day`, `3 days`.
pub(crate) fn days(it: i64) -> String {
    format!("{it} {}", if it == 1 { "day" } else { "days" })
}

/// A number with at most so many decimals and no trailing zeros.
pub(crate) fn number(it: f64, places: usize) -> String {
    let text = format!("{it:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

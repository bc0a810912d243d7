//! The shop's clock: the only place where the day and the hour are read.

use jiff::civil::{Date, DateTime};
use jiff::{Unit, ZonedDateTime};

/// The moment, in the shop's own time, to the second.
#[allow(clippy::disallowed_methods, reason = "this is the clock's only door")]
pub(crate) fn now() -> DateTime {
    let now = ZonedDateTime::now().datetime();
    now.round(Unit::Second).unwrap_or(now)
}

/// The day.
pub(crate) fn today() -> Date {
    now().date()
}

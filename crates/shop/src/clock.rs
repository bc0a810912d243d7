//! The shop's clock: the only place where the day and the hour are read.

use jiff::civil::{Date, DateTime};
use jiff::{Unit, ZonedDateTime};
use stock::Person;

/// The moment, in the shop's own time, to the second.
#[allow(clippy::disallowed_methods, reason = "this is the clock's only door")]
pub(crate) fn now() -> DateTime {
    let now = ZonedDateTime::now().datetime();
    now.round(Unit::Second).unwrap_or(now)
}

/// The first day on which work may begin: today, as long as nobody's working
/// day has begun yet, else tomorrow. A plan never starts in the past.
pub(crate) fn first_day(people: &[Person], now: DateTime) -> Date {
    let weekday = now.date().weekday().to_monday_zero_offset() as usize;
    let begun = people.iter().filter_map(|it| it.week[weekday]).any(|day| day.from < now.time());
    if begun { now.date().tomorrow().unwrap_or(now.date()) } else { now.date() }
}

/// The day.
pub(crate) fn today() -> Date {
    now().date()
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;
    use stock::ShopKit;

    use super::*;

    #[test]
    fn work_begins_today_only_before_the_day_has_begun() {
        // The starting shop works from 9 to 17, Monday to Friday; 30 November 2026 is a Monday.
        let people = ShopKit::starting().people;
        let monday = date(2026, 11, 30);
        let first = |day: Date, hour, minute| first_day(&people, day.at(hour, minute, 0, 0));
        assert_eq!(first(monday, 7, 30), monday);
        assert_eq!(first(monday, 9, 0), monday);
        assert_eq!(first(monday, 9, 1), date(2026, 12, 1));
        assert_eq!(first(monday, 20, 0), date(2026, 12, 1));
        let sunday = date(2026, 11, 29);
        assert_eq!(first(sunday, 20, 0), sunday, "nobody works on it, so it does no harm");
    }
}

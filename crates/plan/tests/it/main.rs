//! Dates, bill and plan, each against an example worked by hand.

mod bench;
mod bill;
mod dates;
mod planning;

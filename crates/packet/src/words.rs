//! Words for the paper: days, spans of time, money, figures, workpieces.

use jiff::civil::{Date, DateTime};
use measure::{Figure, Minutes, Money};
use serde::Serialize;
use serde_json::Value;
use stock::{Brief, Grade, PartKey, StripKey};
use work::Workpiece;

/// A figure as it is printed: its value, and below it how it came about.
#[derive(Serialize)]
pub(crate) struct FigureLine {
    pub(crate) name: String,
    pub(crate) value: String,
    pub(crate) how: String,
}

/// A figure with its formula, inputs and source in one line.
pub(crate) fn figure(it: &Figure) -> FigureLine {
    let how = joined([it.formula.clone(), inputs(it), it.source.clone()]);
    FigureLine { name: it.name.clone(), value: unbroken(&it.value), how }
}

/// What a figure was worked out from: `face 229.1 sq in, a board foot $9.00`.
pub(crate) fn inputs(it: &Figure) -> String {
    let inputs: Vec<String> =
        it.inputs.iter().map(|input| format!("{} {}", input.name, input.value)).collect();
    inputs.join(", ")
}

/// A figure's formula and source.
pub(crate) fn basis(it: &Figure) -> String {
    joined([it.formula.clone(), it.source.clone()])
}

fn joined<const COUNT: usize>(parts: [String; COUNT]) -> String {
    let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    parts.join(" · ")
}

/// Keeps a short value in one line.
pub(crate) fn unbroken(value: &str) -> String {
    if value.chars().count() <= SHORT_VALUE { value.replace(' ', "\u{a0}") } else { value.to_owned() }
}

/// All these figures.
pub(crate) fn figures(all: &[Figure]) -> Vec<FigureLine> {
    all.iter().map(figure).collect()
}

/// `Fri 4 Dec 2026`: readable in every country.
pub(crate) fn day(it: Date) -> String {
    it.strftime("%a %-d %b %Y").to_string()
}

/// `Fri 4 Dec, 09:30`.
pub(crate) fn moment(it: DateTime) -> String {
    it.strftime("%a %-d %b, %H:%M").to_string()
}

/// `Fri 4 Dec, 09:30 to 11:00`, or both days if they differ.
pub(crate) fn span(from: DateTime, to: DateTime) -> String {
    if from.date() == to.date() {
        format!("{} to {}", moment(from), to.strftime("%H:%M"))
    } else {
        format!("{} to {}", moment(from), moment(to))
    }
}

/// `09:30 to 11:00`, with the day of the end if that is another one.
pub(crate) fn hours(from: DateTime, to: DateTime) -> String {
    let end = if from.date() == to.date() { to.strftime("%H:%M").to_string() } else { moment(to) };
    format!("{} to {end}", from.strftime("%H:%M"))
}

/// `45 min`, `2 h 15 min`, `3 days`.
pub(crate) fn minutes(it: Minutes) -> String {
    let all = it.to_minutes().max(0.0).round() as u64;
    let (days, hours, rest) = (all / 1440, all / 60, all % 60);
    match (days, hours, rest) {
        (2.., _, _) if all.is_multiple_of(1440) => format!("{days} days"),
        (2.., _, _) => format!("{days} days {} h", (all % 1440) / 60),
        (_, 0, rest) => format!("{rest} min"),
        (_, hours, 0) => format!("{hours} h"),
        (_, hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// An amount after the shop's own sign.
pub(crate) fn money(brief: &Brief, it: Money) -> String {
    format!("{}{:.2}", brief.kit.currency, it.to_units())
}

/// What a workpiece is called.
pub(crate) fn workpiece(brief: &Brief, it: Workpiece) -> String {
    let panel = |id| brief.panel(id).map_or_else(|_| format!("panel {id}"), |panel| panel.name.clone());
    match it {
        Workpiece::Piece(id) => brief.face_name(stock::FaceKey::Piece(id)),
        Workpiece::Strips(id) => format!("strips for {}", panel(id)),
        Workpiece::Panel(id) => panel(id),
        Workpiece::Part(part) => brief.part_name(part),
    }
}

/// A part's number on drawings and in lists, the same in the whole packet: `P3`.
pub(crate) fn part_number(brief: &Brief, it: PartKey) -> String {
    let place = brief.parts().iter().position(|&other| other == it);
    place.map_or_else(|| "P?".to_owned(), |index| format!("P{}", index + 1))
}

/// A strip's number from the lower edge of its panel: `S3`, or `S2.3` for the
/// second of several panels.
pub(crate) fn strip_number(brief: &Brief, it: StripKey) -> String {
    let panels = &brief.job.panels;
    match panels.iter().position(|panel| panel.id == it.panel) {
        Some(index) if panels.len() > 1 => format!("S{}.{}", index + 1, it.strip),
        Some(_) | None => format!("S{}", it.strip),
    }
}

/// A grade's word, which also names its sign.
pub(crate) const fn grade(it: Grade) -> &'static str {
    match it {
        Grade::Stop => "stop",
        Grade::Mend => "mend",
        Grade::Note => "note",
    }
}

/// The most letters of one text: a page must not be flooded by one field.
const MOST_LETTERS: usize = 4000;

/// A word longer than this may be broken after every few letters, so that it
/// stays in its column; no word of the trade is as long.
const LONGEST_WORD: usize = 24;
const BREAK_AFTER: usize = 6;

/// A value shorter than this is kept in one line.
const SHORT_VALUE: usize = 18;

/// Makes every text of the data fit for a page: no control characters, long
/// words breakable, no endless text. Text stays data; it is never markup.
pub(crate) fn settle(data: &mut Value) {
    match data {
        Value::String(text) => *text = settled(text),
        Value::Array(items) => items.iter_mut().for_each(settle),
        Value::Object(fields) => fields.values_mut().for_each(settle),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

fn settled(text: &str) -> String {
    let plain: String = text.chars().take(MOST_LETTERS).filter_map(printable).collect();
    let words: Vec<String> = plain.split(' ').map(breakable).collect();
    words.join(" ")
}

/// Controls become spaces; signs that turn the reading direction are dropped.
fn printable(letter: char) -> Option<char> {
    match letter {
        '\u{a0}' => Some(letter),
        '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => None,
        it if it.is_control() || it.is_whitespace() => Some(' '),
        it => Some(it),
    }
}

fn breakable(word: &str) -> String {
    if word.chars().count() <= LONGEST_WORD {
        return word.to_owned();
    }
    let letters: Vec<char> = word.chars().collect();
    letters.chunks(BREAK_AFTER).map(String::from_iter).collect::<Vec<_>>().join("\u{200b}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_read_as_people_say_them() {
        assert_eq!(minutes(Minutes::minutes(45.0)), "45 min");
        assert_eq!(minutes(Minutes::hours(2.25)), "2 h 15 min");
        assert_eq!(minutes(Minutes::hours(24.0)), "24 h");
        assert_eq!(minutes(Minutes::days(7.0)), "7 days");
        assert_eq!(minutes(Minutes::hours(60.0)), "2 days 12 h");
    }

    #[test]
    fn long_words_may_break_and_controls_are_gone() {
        let mut data = Value::from("a\u{0}b\u{202e}\n ".to_owned() + &"x".repeat(40));
        settle(&mut data);
        let text = data.as_str().unwrap();
        assert!(text.starts_with("a b  xxxxxx\u{200b}"), "{text}");
        assert_eq!(text.matches('\u{200b}').count(), 6);
    }
}

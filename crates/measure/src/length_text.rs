//! Reads a length in any way a maker would write it.

use crate::{Length, Problem, System};

/// The longest text that is read as a length.
const LONGEST_TEXT: usize = 64;
/// The longest length that is accepted; no slab comes near it.
const LONGEST: Length = Length::mm(30_000.0);

impl Length {
    /// Reads `14 1/2`, `14-1/2"`, `3/8 in`, `368mm`, `36.8 cm`, `1.2 m`,
    /// `2 ft 3 1/2 in`, `2' 3"`, `½`. A bare number is in `bare`'s unit.
    ///
    /// # Errors
    /// Anything else, a negative length, or one beyond 30 m; the message says
    /// what was found and what was expected.
    pub fn parse(text: &str, bare: System) -> Result<Length, Problem> {
        if text.len() > LONGEST_TEXT {
            return Err(expected("a text of that size"));
        }
        let normal = normal_form(text);
        let mut rest = normal.trim();
        if rest.is_empty() {
            return Err(expected("nothing"));
        }
        let mut sum = 0.0;
        let mut last_unit = f64::INFINITY;
        while !rest.is_empty() {
            let (number, after) = take_number(rest).ok_or_else(|| expected(&format!("“{}”", text.trim())))?;
            let (unit, after) =
                take_unit(after, bare, last_unit).ok_or_else(|| expected(&format!("“{}”", text.trim())))?;
            sum += number * unit;
            last_unit = unit;
            rest = after.trim_start();
        }
        if sum > LONGEST.to_mm() {
            return Err(Problem::new(format!("“{}” is longer than 30 m", text.trim())).hint("check the unit"));
        }
        Ok(Length::mm(sum))
    }
}

fn expected(found: &str) -> Problem {
    Problem::new(format!("expected a length, found {found}"))
        .hint("write it like 14 1/2, 3/8 in, 368 mm or 36.8 cm")
}

/// Lower case, fraction signs as ` 1/2`, every kind of quote as `'` or `"`.
fn normal_form(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for letter in text.chars() {
        match letter {
            '½' => out.push_str(" 1/2"),
            '¼' => out.push_str(" 1/4"),
            '¾' => out.push_str(" 3/4"),
            '⅛' => out.push_str(" 1/8"),
            '⅜' => out.push_str(" 3/8"),
            '⅝' => out.push_str(" 5/8"),
            '⅞' => out.push_str(" 7/8"),
            '⁄' => out.push('/'),
            '″' | '”' | '“' => out.push('"'),
            '′' | '’' | '‘' => out.push('\''),
            '\u{a0}' | '\t' | '\n' => out.push(' '),
            _ => out.extend(letter.to_lowercase()),
        }
    }
    out
}

/// A decimal, a fraction, or a whole with a fraction after a blank or a hyphen.
fn take_number(text: &str) -> Option<(f64, &str)> {
    let (first, rest) = take_decimal(text)?;
    if let Some((value, rest)) = take_under(first, rest) {
        return Some((value, rest));
    }
    let gap = rest.trim_start_matches([' ', '-']);
    if gap.len() < rest.len()
        && let Some((over, after)) = take_decimal(gap)
        && let Some((part, after)) = take_under(over, after)
    {
        return Some((first + part, after));
    }
    Some((first, rest))
}

fn take_under(over: f64, rest: &str) -> Option<(f64, &str)> {
    let (under, rest) = take_decimal(rest.trim_start().strip_prefix('/')?.trim_start())?;
    (under > 0.0 && over.fract() == 0.0 && under.fract() == 0.0).then_some((over / under, rest))
}

/// Digits with at most one point or comma among them.
fn take_decimal(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(text.len());
    let number = text[..end].replace(',', ".").parse::<f64>().ok()?;
    Some((number, &text[end..]))
}

/// The unit after a number, in millimetres. Units go from large to small, so
/// that `3 in 2 ft` and `5 5` are refused.
fn take_unit(text: &str, bare: System, last: f64) -> Option<(f64, &str)> {
    const UNITS: [(&str, f64); 16] = [
        ("millimetres", 1.0),
        ("millimeters", 1.0),
        ("centimetres", 10.0),
        ("centimeters", 10.0),
        ("inches", 25.4),
        ("metres", 1000.0),
        ("meters", 1000.0),
        ("inch", 25.4),
        ("feet", 304.8),
        ("foot", 304.8),
        ("mm", 1.0),
        ("cm", 10.0),
        ("in", 25.4),
        ("ft", 304.8),
        ("\"", 25.4),
        ("'", 304.8),
    ];
    let text = text.trim_start();
    let named = UNITS.iter().find_map(|(name, mm)| text.strip_prefix(name).map(|rest| (*mm, rest)));
    let (mm, rest) = match named {
        Some(found) => found,
        None if text.is_empty() && last == f64::INFINITY => match bare {
            System::Inches => (25.4, text),
            System::Millimetres => (1.0, text),
        },
        None => (1000.0, text.strip_prefix('m')?),
    };
    let ends_well = rest.is_empty()
        || rest.starts_with([' ', '.', '-'])
        || rest.starts_with(|c: char| c.is_ascii_digit());
    (ends_well && mm < last).then_some((mm, rest.trim_start_matches(['.', '-'])))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn check(text: &str, mm: f64) {
        let read = Length::parse(text, System::Inches).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!((read.to_mm() - mm).abs() < 1e-9, "{text} read as {read:?}, not {mm}");
    }

    #[test]
    fn every_usual_way_is_read() {
        check("14 1/2", 368.3);
        check("14-1/2\"", 368.3);
        check("14½", 368.3);
        check("3/8 in", 9.525);
        check("368mm", 368.0);
        check("36.8 cm", 368.0);
        check("36,8 cm", 368.0);
        check("1.2 m", 1200.0);
        check("2 ft 3 1/2 in", 698.5);
        check("2' 3\"", 685.8);
        check(" 0.25 inches ", 6.35);
        check("1 ft", 304.8);
    }

    #[test]
    fn a_bare_number_is_in_the_shops_unit() {
        assert_eq!(Length::parse("19", System::Millimetres).unwrap(), Length::mm(19.0));
        assert_eq!(Length::parse("2", System::Inches).unwrap(), Length::mm(50.8));
    }

    #[test]
    fn nonsense_says_what_was_expected() {
        for bad in
            ["", "wide", "-3", "3/0", "5 5", "3 in 2 ft", "1.2.3", "1e9", "12 parsec", "1 000 m", "NaN"]
        {
            let told = Length::parse(bad, System::Inches).expect_err(bad).to_string();
            assert!(told.starts_with("expected a length") || told.contains("longer"), "{bad}: {told}");
        }
        assert!(Length::parse("99 m", System::Inches).unwrap_err().to_string().contains("longer than 30 m"));
    }

    proptest! {
        #[test]
        fn any_text_is_answered(text in "\\PC{0,80}") {
            let _ = Length::parse(&text, System::Inches);
        }
    }
}

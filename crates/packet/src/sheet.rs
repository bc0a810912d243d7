//! The scale sheets as pages.

use std::collections::BTreeMap;

use measure::{Length, Problem};
use serde::Serialize;
use stock::{Paper, ScaleSheet, Tag};

use crate::{printing, world};

/// What the sheets' document reads; millimetres, y down from the page's upper left.
#[derive(Serialize)]
struct Sheets {
    page: [f64; 2],
    of: u8,
    tag: f64,
    check: Check,
    sheets: Vec<Sheet>,
}

#[derive(Serialize)]
struct Check {
    x: f64,
    length: f64,
}

#[derive(Serialize)]
struct Sheet {
    number: u8,
    tags: Vec<Square>,
}

/// A tag: its upper left corner, and its white runs as `[x, y, width, height]`.
#[derive(Serialize)]
struct Square {
    id: u16,
    at: [f64; 2],
    white: Vec<[f64; 4]>,
}

/// The first so many scale sheets as one document, a page each, to be printed at 100 %.
///
/// # Errors
/// There are not so many, or the typesetter fails.
pub fn scale_sheets(paper: Paper, count: u8) -> Result<Vec<u8>, Problem> {
    if !(1..=ScaleSheet::COUNT).contains(&count) {
        let message = format!("{count} scale sheets are asked for; there are 1 to {}", ScaleSheet::COUNT);
        return Err(Problem::new(message).hint("two are enough, one at each end of the wood"));
    }
    let data = serde_json::to_vec(&sheets(paper, count))
        .map_err(|fault| Problem::new(format!("the scale sheets could not be written: {fault}")))?;
    let pdf = world::set("/scale.typ", BTreeMap::from([("/data.json".to_owned(), data)]))?;
    printing::at_full_size(&pdf)
}

fn sheets(paper: Paper, count: u8) -> Sheets {
    let (width, height) = paper.size();
    let sheets = (1..=count).filter_map(ScaleSheet::numbered);
    Sheets {
        page: [width.to_mm(), height.to_mm()],
        of: ScaleSheet::COUNT,
        tag: ScaleSheet::TAG.to_mm(),
        check: Check {
            x: (width / 2.0 - ScaleSheet::CHECK_LINE_LEFT).to_mm(),
            length: ScaleSheet::CHECK_LINE.to_mm(),
        },
        sheets: sheets
            .map(|sheet| Sheet {
                number: sheet.number(),
                tags: sheet.tags().map(|tag| square(tag, width, height)).collect(),
            })
            .collect(),
    }
}

fn square(tag: Tag, width: Length, height: Length) -> Square {
    let [upper_left, ..] = tag.corners();
    let module = ScaleSheet::TAG.to_mm() / Tag::MODULES as f64;
    let mut white = Vec::new();
    for row in 0..Tag::MODULES {
        let mut column = 0;
        while column < Tag::MODULES {
            let run = (column..Tag::MODULES).take_while(|&it| tag.is_white(row, it)).count();
            if run > 0 {
                white.push([column as f64 * module, row as f64 * module, run as f64 * module, module]);
            }
            column += run + 1;
        }
    }
    Square {
        id: tag.id,
        at: [width.to_mm() / 2.0 + upper_left.x, height.to_mm() / 2.0 - upper_left.y],
        white,
    }
}

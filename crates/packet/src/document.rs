//! Gathers what the packet's document reads, and has it set.

use std::collections::BTreeMap;

use measure::{Length, Problem};
use plan::Plan;
use serde::Serialize;
use stock::{Brief, PictureId};

use crate::bench::{self, Bench};
use crate::sawing::{self, Sawing};
use crate::summary::{self, Summary};
use crate::template::{self, Template};
use crate::tile::Tiling;
use crate::wood::{self, Wood};
use crate::{printing, words, world};

/// What every page reads.
#[derive(Serialize)]
struct Packet {
    job: String,
    shop: String,
    on: String,
    page: [f64; 2],
    check: Check,
    frame: Frame,
    summary: Summary,
    woods: Vec<Wood>,
    sawings: Vec<Sawing>,
    templates: Vec<Template>,
    bench: Bench,
}

/// The bar that the maker measures on the print.
#[derive(Serialize)]
struct Check {
    length: f64,
    label: String,
}

/// The edges of a template sheet, in millimetres.
#[derive(Serialize)]
struct Frame {
    side: f64,
    head: f64,
    foot: f64,
}

/// The check bar on every template sheet.
pub(crate) const CHECK_BAR: Length = Length::mm(100.0);

pub(crate) fn packet(
    brief: &Brief,
    plan: &Plan,
    picture: &dyn Fn(&PictureId) -> Option<Vec<u8>>,
) -> Result<Vec<u8>, Problem> {
    let mut files = BTreeMap::new();
    let (width, height) = brief.kit.paper.size();
    let bar = brief.units().fine_length(CHECK_BAR);
    let packet = Packet {
        job: brief.job.name.clone(),
        shop: brief.kit.name.clone(),
        on: words::day(brief.today),
        page: [width.to_mm(), height.to_mm()],
        check: Check {
            length: CHECK_BAR.to_mm(),
            label: if bar == "100 mm" { bar } else { format!("100 mm ({bar})") },
        },
        frame: Frame { side: Tiling::SIDE, head: Tiling::HEAD, foot: Tiling::FOOT },
        summary: summary::summary(brief, plan),
        woods: wood::faces(brief, plan, picture, &mut files),
        sawings: sawing::faces(brief, plan, &mut files),
        templates: template::templates(brief, plan, &mut files),
        bench: bench::bench(brief, plan, &mut files),
    };
    let mut data = serde_json::to_value(&packet).map_err(|fault| unwritten(&fault))?;
    words::settle(&mut data);
    let data = serde_json::to_vec(&data).map_err(|fault| unwritten(&fault))?;
    files.insert("/data.json".to_owned(), data);
    let pdf = world::set("/packet.typ", files)?;
    printing::at_full_size(&pdf)
}

fn unwritten(fault: &serde_json::Error) -> Problem {
    Problem::new(format!("the packet could not be written: {fault}"))
        .hint("plan the job again, and print again")
}

//! Gathers what the packet's document reads, and has it set.

use std::collections::BTreeMap;

use measure::Problem;
use plan::Plan;
use serde::Serialize;
use stock::{Brief, PictureId};

use crate::{printing, world};

/// What every page reads.
#[derive(Serialize)]
struct Packet {
    job: String,
    shop: String,
    page: [f64; 2],
}

pub(crate) fn packet(
    brief: &Brief,
    _plan: &Plan,
    _picture: &dyn Fn(&PictureId) -> Option<Vec<u8>>,
) -> Result<Vec<u8>, Problem> {
    let (width, height) = brief.kit.paper.size();
    let data = Packet {
        job: brief.job.name.clone(),
        shop: brief.kit.name.clone(),
        page: [width.to_mm(), height.to_mm()],
    };
    let data = serde_json::to_vec(&data)
        .map_err(|fault| Problem::new(format!("the packet could not be written: {fault}")))?;
    let pdf = world::set("/packet.typ", BTreeMap::from([("/data.json".to_owned(), data)]))?;
    printing::at_full_size(&pdf)
}

//! The demo: a shop of our own invention, and its whole job.

use std::path::{Path, PathBuf};
use std::time::Instant;

use clap::Args;
use measure::Problem;
use shop::{Shop, Trouble};

use crate::say::say;
use crate::serve::Serve;
use crate::told;

/// Make a demo shop, run its whole job, and serve the page
#[derive(Args)]
pub(crate) struct Demo {
    /// Stop before serving the page
    #[arg(long)]
    no_serve: bool,
    #[command(flatten)]
    serve: Serve,
}

/// Where the demo shop lies if no folder is named.
const FOLDER: &str = "demo-shop";

impl Demo {
    pub(crate) fn run(self, folder: &Path) -> Result<(), Trouble> {
        let begun = Instant::now();
        let folder =
            if folder == Path::new("treen-shop") { PathBuf::from(FOLDER) } else { folder.to_owned() };
        let shop = Shop::open(&folder)?;
        let view = shop.view()?;
        let steps = told::Steps::default();
        let job = match view.jobs.first() {
            Some(it) if shop.is_demo()? => it.job.id,
            _ => shop.load_demo(&|label, share| steps.tell(label, share))?,
        };
        let mut kept = shop.plan(job)?;
        if kept.stale {
            kept = shop.plan_job(job, &|label, share, _| steps.tell(label, share), &|| false)?;
        }
        told::plan(&shop.brief(job)?, &kept);
        let packet = folder.join("packet.pdf");
        crate::keep(&packet, &shop.packet(job)?)?;
        let full = std::fs::canonicalize(&packet)
            .map_err(|it| Problem::new(format!("cannot find {}: {it}", packet.display())))?;
        say!("the packet lies in {}", full.display());
        say!("from start to packet: {:.1} s", begun.elapsed().as_secs_f64());
        if self.no_serve { Ok(()) } else { self.serve.serve(shop) }
    }
}

//! Serves the page.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::Path;

use clap::Args;
use shop::{Shop, Trouble};

use crate::say::say;

/// Serve the page
#[derive(Args)]
pub(crate) struct Serve {
    /// The port
    #[arg(long, default_value_t = 7420)]
    pub(crate) port: u16,
    /// Let phones and tablets of the shop's network in, not this machine alone.
    /// Everyone on that network can then change the shop
    #[arg(long)]
    pub(crate) lan: bool,
}

impl Serve {
    pub(crate) fn run(self, folder: &Path) -> Result<(), Trouble> {
        self.serve(Shop::open(folder)?)
    }

    pub(crate) fn serve(self, shop: Shop) -> Result<(), Trouble> {
        let address = if self.lan { Ipv4Addr::UNSPECIFIED } else { Ipv4Addr::LOCALHOST };
        let at = SocketAddr::new(IpAddr::V4(address), self.port);
        let told = |open: SocketAddr| match self.lan {
            true => say!("the page is at port {} of this machine, for the whole network", open.port()),
            false => say!("the page is at http://{open}"),
        };
        Ok(server::serve(shop, at, told)?)
    }
}

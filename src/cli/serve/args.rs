//! The arguments of `serve`.
//!
//! Definitions only.
//!
//! Invariant: without a flag only this machine is served.

use std::net::IpAddr;
use std::path::PathBuf;

use clap::Args as ClapArgs;

use super::super::shelf::ShelfFlags;

/// Shown after the help.
pub(in crate::cli) const EXAMPLES: &str = "\
Examples:
  lynchet serve
  lynchet serve --port 8000 --shelf ./finds
  lynchet serve --home-network --guests

The pages are for this machine alone unless --home-network is given; then a pass phrase is asked
for, and what goes over the network is not encrypted. Nothing is sent anywhere else.
Exit code: 2 a fault; else it serves until it is ended.";

/// Arguments of `serve`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct ServeArgs {
    /// The port; 0 takes any that is free
    #[arg(long, default_value_t = 8417)]
    pub(super) port: u16,
    /// Serve the home network too, with a pass phrase and a picture of the address for a phone
    #[arg(long)]
    pub(super) home_network: bool,
    /// This machine's address in that network, where it has several
    #[arg(long, value_name = "IP")]
    pub(super) address: Option<IpAddr>,
    /// Take the pass phrase from the first line of this file [default: one by chance]
    #[arg(long, value_name = "FILE")]
    pub(super) pass_file: Option<PathBuf>,
    /// Make a second phrase, for guests, who see no findspots and change nothing
    #[arg(long)]
    pub(super) guests: bool,
    /// Which shelf
    #[command(flatten)]
    pub(super) shelf: ShelfFlags,
}

impl ServeArgs {
    /// Which shelf.
    pub(in crate::cli) fn shelf(&self) -> &ShelfFlags {
        &self.shelf
    }
}

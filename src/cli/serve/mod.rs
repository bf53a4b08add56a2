//! `serve`: the pages in a browser.
//!
//! Reads the arguments, prints where the pages are, and hands over to the server.
//!
//! Invariant: nothing but this machine can ask for the pages unless that was told, and then only
//! with a pass phrase.

mod args;
mod qr;

pub(super) use args::{EXAMPLES, ServeArgs};

use std::fs;
use std::io::Write;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::Path;

use super::args::Args;
use super::error::Trouble;
use super::{Outcome, print_json};
use crate::House;
use crate::web::{Desk, Passes, ServeFault, Serving, Settings};

/// Serves the pages until the process is ended.
pub(super) fn run(
    asked: &ServeArgs,
    args: &Args,
    house: impl FnOnce() -> Result<&'static House, Trouble>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let home = asked.home_network || asked.address.is_some();
    let ip = match (asked.address, home) {
        (Some(ip), _) => ip,
        (None, true) => own_address().ok_or_else(|| {
            Trouble::new(
                "this machine is in no network",
                "name its address with --address, or serve this machine alone",
            )
        })?,
        (None, false) => IpAddr::V4(Ipv4Addr::LOCALHOST),
    };
    let passes = match asked.home_network || !ip.is_loopback() {
        true => Some(passes(asked)?),
        false => None,
    };
    let shelf = asked.shelf.folder()?;
    let (today, stamp) = (asked.shelf.clone(), asked.shelf.clone());
    today.stamp()?;
    let serving = Serving::at(ip, asked.port)?;
    let address = serving.address();
    let settings = Settings {
        options: super::options(args),
        shelf,
        hosts: hosts(address),
        passes: passes.clone(),
        today: Box::new(move || today.today().ok()),
        stamp: Box::new(move || stamp.stamp().ok()),
    };
    let desk = Desk::new(house()?, settings).map_err(|error| {
        Trouble::new(format!("this machine gives no chance numbers: {error}"), "")
    })?;
    tell(asked, address, passes.as_ref(), out)?;
    out.flush()?;
    serving.run(desk)?;
    Ok(Outcome::Answer)
}

impl From<ServeFault> for Trouble {
    fn from(fault: ServeFault) -> Trouble {
        let hint = match fault {
            ServeFault::Address(..) => "choose another port with --port, or 0 for any that is free",
            ServeFault::Machine(_) => "",
        };
        Trouble::new(fault.to_string(), hint)
    }
}

/// The names under which a browser may ask.
fn hosts(address: SocketAddr) -> Vec<String> {
    let port = address.port();
    let mut hosts = vec![address.to_string()];
    if address.ip().is_loopback() {
        hosts.push(format!("localhost:{port}"));
    }
    hosts
}

/// The address under which the home network knows this machine. Nothing is sent: the machine only
/// says from which address it would send.
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    // An address that is kept for documentation (RFC 5737).
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    let ip = socket.local_addr().ok()?.ip();
    (!ip.is_loopback() && !ip.is_unspecified()).then_some(ip)
}

/// The pass phrases: of a file where one is named, else by chance.
fn passes(asked: &ServeArgs) -> Result<Passes, Trouble> {
    let chance = || {
        Passes::phrase().map_err(|error| {
            Trouble::new(format!("this machine gives no chance numbers: {error}"), "")
        })
    };
    let finder = match &asked.pass_file {
        Some(file) => read_phrase(file)?,
        None => chance()?,
    };
    let guest = asked.guests.then(chance).transpose()?;
    Ok(Passes { finder, guest })
}

/// Fewest signs of a phrase of the user's own.
const PHRASE_LEAST: usize = 12;

fn read_phrase(file: &Path) -> Result<String, Trouble> {
    let text = fs::read_to_string(file)
        .map_err(|error| Trouble::new(format!("--pass-file {}: {error}", file.display()), ""))?;
    let phrase = text.lines().next().unwrap_or_default().trim();
    let signs = phrase.chars().count();
    if !(PHRASE_LEAST..=200).contains(&signs) {
        let what = format!(
            "--pass-file {}: the phrase has {signs} signs",
            file.display()
        );
        let hint =
            format!("its first line must have {PHRASE_LEAST} to 200; several words are best");
        return Err(Trouble::new(what, hint));
    }
    Ok(phrase.to_string())
}

/// Says where the pages are.
fn tell(
    asked: &ServeArgs,
    address: SocketAddr,
    passes: Option<&Passes>,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    let url = format!("http://{address}/");
    let guest = passes.and_then(|passes| passes.guest.as_ref());
    if asked.shelf.json {
        let told = serde_json::json!({
            "address": url,
            "pass": passes.map(|passes| &passes.finder),
            "guest_pass": guest,
        });
        return print_json(&told, out);
    }
    writeln!(out, "The pages are at {url}")?;
    match passes {
        None => writeln!(out, "Only this machine can ask for them. End with Ctrl-C.")?,
        Some(passes) => {
            write!(out, "\n{}", qr::drawn(&url)?)?;
            writeln!(out, "\nPass phrase: {}", passes.finder)?;
            if let Some(guest) = guest {
                writeln!(
                    out,
                    "For guests, who see no findspots and change nothing: {guest}"
                )?;
            }
            writeln!(
                out,
                "What goes over the network is not encrypted: serve only a network that you trust.\nEnd with Ctrl-C."
            )?;
        }
    }
    Ok(())
}

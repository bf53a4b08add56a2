//! The pages: the door for people who never type a command.
//!
//! The server hears a request and makes a plain [`asked::Asked`] of it; a page is a plain function
//! from that to a [`reply::Reply`]; the guard stands between the two. Pages make the same calls as
//! the command line and judge nothing themselves. Nothing is fetched from elsewhere, and everything
//! works without script.
//!
//! Invariant: no page is reached but through the guard, and no page changes anything for a request
//! that did not bring the token of its visitor.

mod asked;
mod bench;
mod desk;
mod find;
mod form;
mod guard;
mod help;
mod hoard;
mod keep;
mod land;
mod law;
mod library;
mod listen;
mod looks;
mod page;
mod passing;
mod reply;
mod response;
mod routes;
mod serve;
mod size;
mod tray;

pub use desk::{Desk, Settings};
pub use guard::Passes;
pub use routes::{Address, addresses};
pub use serve::{ServeFault, Serving};

//! What a figure says by itself: the gun a ball was cast for, the standard a weight keeps, how thick
//! a bell or a thimble is, what the stamp on a cartridge names.
//!
//! Works from measures and the library's tables of standards, arms and stamps; does no input or
//! output, knows no type of the library and rules nothing out.
//!
//! Invariant: shares lie between 0 and 1 and, with what is left to "none of these", sum to 1; a
//! figure that cannot be had from what was measured is `None`.

mod headstamp;
mod shell;
mod shot;
mod weight;
mod whorl;

pub use headstamp::{Stamp, headstamp};
pub use shell::{Metal, Shell, bell, thimble};
pub use shot::{Ball, LEAD, Roundness, ball_diameter, ball_weight, gauge_diameter, shot};
pub use weight::{Near, Weighed, weigh};
pub use whorl::{Whorl, whorl};

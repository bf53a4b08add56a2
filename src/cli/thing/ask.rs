//! `identify --ask` about a thing: the look that is worth most, the reply, and on from there.
//!
//! Invariant: it ends; each round takes a line of the input, and no look is asked twice.

use std::io::{BufRead, Write};

use super::Shown;
use super::print::{headline, thing, told};
use crate::cli::error::Trouble;
use crate::explain::{thing_how, thing_question, thing_reply};
use crate::score::ThingLook;
use crate::{HeardThing, House, Things};

/// Most looks of one dialogue.
const ROUNDS: usize = 30;

/// Holds the dialogue, and prints the answer it ends with.
pub(in crate::cli) fn talk(
    mut heard: HeardThing,
    things: &Things,
    house: &House,
    top: usize,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    let mut asked = Vec::new();
    for _ in 0..ROUNDS {
        let said = things.identify(&heard.object, house);
        let shown = Shown {
            heard: &heard,
            said: &said,
            things,
            house,
            top,
        };
        let (_, looks) = things.looks(&heard.object, &said, &asked, house);
        let Some(look) = looks.into_iter().next() else {
            break;
        };
        headline(&shown, out)?;
        put(&look, &shown, out)?;
        let Some(reply) = reply(&look, input, out)? else {
            break;
        };
        asked.push(look.asks.clone());
        if let Some(reply) = reply {
            heard.object = look.told(&heard.object, reply, &things.artefacts, things.groundwork());
        }
    }
    let said = things.identify(&heard.object, house);
    thing(
        &Shown {
            heard: &heard,
            said: &said,
            things,
            house,
            top,
        },
        out,
    )?;
    Ok(())
}

fn put(look: &ThingLook, shown: &Shown<'_>, out: &mut dyn Write) -> std::io::Result<()> {
    writeln!(out, "\n{}", thing_question(look, told(shown)))?;
    for at in 0..look.replies {
        writeln!(out, "  {}  {}", at + 1, thing_reply(look, at, told(shown)))?;
    }
    writeln!(out, "  ?  not sure        q  stop here")?;
    writeln!(out, "  how: {}", thing_how(look))?;
    write!(out, "> ")?;
    out.flush()
}

/// The reply: none at the end, none within where the finder is not sure.
fn reply(
    look: &ThingLook,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
) -> Result<Option<Option<usize>>, Trouble> {
    let mut line = String::new();
    for _ in 0..ROUNDS {
        line.clear();
        if input.read_line(&mut line)? == 0 {
            return Ok(None);
        }
        match line.trim() {
            "q" | "quit" | "stop" => return Ok(None),
            "" | "?" | "not sure" => return Ok(Some(None)),
            "yes" | "y" => return Ok(Some(Some(0))),
            "no" | "n" => return Ok(Some(Some(look.replies - 1))),
            typed => match typed.parse::<usize>() {
                Ok(at) if (1..=look.replies).contains(&at) => return Ok(Some(Some(at - 1))),
                _ => {
                    writeln!(
                        out,
                        "reply: \"{typed}\" is none of them; write a number from 1 to {}, ? or q",
                        look.replies
                    )?;
                }
            },
        }
    }
    Ok(None)
}

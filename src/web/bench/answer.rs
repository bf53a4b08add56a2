//! An answer as part of a page: what it is, how sure, why, what else.
//!
//! Shows what the house made of a find; works out nothing.
//!
//! Invariant: a number stands with its word of confidence, and what was not understood stands
//! before what was made of the rest.

use maud::{Markup, PreEscaped, html};

use super::candidates::{candidates, share};
use super::form::{hidden, kept};
use super::own::Own;
use super::said::{IS, Said};
use super::{line, looks, thing};
use crate::drawn::{Setting, measures};
use crate::explain::chance_in_figures;
use crate::parse::{Remark, RemarkKind};
use crate::score::{Level, Share, words_of_confidence};
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::page::{raised, sentence, token};
use crate::web::size::Screen;
use crate::{HeardThing, Identification, IdentifyOptions, Taken};

/// Candidates whose weight and diameter are drawn.
const DRAWN: usize = 3;
/// Chance of the second from which the leaders are held apart in the picture.
const DRAWN_LEAST: f64 = 0.02;
/// Shares of a level that are shown, and the least of them.
const SHARES: (usize, f64) = (8, 0.005);

/// The answer to what was said.
pub(super) fn answer(desk: &Desk, asked: &Asked, own: &Own) -> Markup {
    let fields = &asked.query;
    let said = Said::of(fields, desk.house);
    let (body, headline) = match said.taken(desk) {
        Taken::Coin => coin(desk, asked, (&said, own), true),
        Taken::Thing(heard) => thing::thing(desk, fields, &heard, &said),
        Taken::Either(heard) => either(desk, asked, (&said, own), &heard),
    };
    html! {
        div data-headline=(headline) {
            (body)
            @if !asked.visitor.guest { (keep(asked)) }
        }
    }
}

/// Nothing was said that tells of a find.
fn nothing(remarks: &[Remark]) -> (Markup, String) {
    let headline = "Nothing to go on yet.";
    let body = html! {
        h2 { (headline) }
        p { "Say what you see: the metal, how wide and how heavy it is, what is shown, the letters you can read." }
        (self::remarks(remarks))
    };
    (body, headline.into())
}

/// The answer as a coin; with the picture of its measures where that is wanted.
fn coin(desk: &Desk, asked: &Asked, (said, own): (&Said, &Own), drawn: bool) -> (Markup, String) {
    let fields = &asked.query;
    if said.find.says_nothing() {
        return nothing(&said.remarks);
    }
    let library = &desk.house.catalogue;
    let options = IdentifyOptions {
        learnt: own.learnt.as_deref(),
        ..IdentifyOptions::default()
    };
    let found = desk.house.identify(&said.find, options);
    let text = sentence(&found.text);
    let words = words_of_confidence(found.answer.p);
    let headline = format!("{text} {}.", raised(words));
    let flat = (found.flat.0.level, &found.flat.1) != (found.answer.level, &found.text);
    let body = html! {
        h2 { (text) }
        (sure(found.answer.p))
        @if found.answer.level == Level::Unlisted {
            p { "Nothing that the library lists fits what was said. Check the metal, the measures and the letters; it may be foreign, a copy or no coin." }
        }
        (remarks(&said.remarks))
        (own.told())
        (looks::coin(desk, fields, said, &found))
        (candidates(desk, fields, said, &found, Screen::of(asked)))
        @if drawn { (measured(desk, said, &found)) }
        @if let Some(date) = &found.date { (line::date(date, &library.periods)) }
        (shares(desk, &found))
        (list("From your own finds", &taught(&found)))
        (list("What sets the leaders apart", &found.explanation.apart))
        (list("Taken for granted", &found.explanation.assumed))
        @if flat {
            p.how { "With every type equally likely beforehand: " (found.flat.1) " (" (chance_in_figures(found.flat.0.p)) ")." }
        }
        @if said.told.coin != Some(true) { (settle(fields, "thing", "It is no coin")) }
    };
    (body, headline)
}

/// What the finder's own finds had to say, as sentences.
fn taught(found: &Identification) -> Vec<String> {
    let taught = found.explanation.taught.iter();
    taught.map(|text| format!("the answer {text}")).collect()
}

fn either(
    desk: &Desk,
    asked: &Asked,
    (said, own): (&Said, &Own),
    heard: &HeardThing,
) -> (Markup, String) {
    let fields = &asked.query;
    let coin = heard.kind.coin;
    let likelier = if coin >= 0.5 {
        "a coin"
    } else {
        "a thing that is no coin"
    };
    let headline = format!("It is open whether this is a coin. Likelier: {likelier}.");
    let p = coin.max(1.0 - coin);
    // The picture is left out of what is the less likely.
    let (as_coin, _) = self::coin(desk, asked, (said, own), coin >= 0.5);
    let (as_thing, _) = thing::thing(desk, fields, heard, said);
    let coin_part = html! { section.either { p.part { "If it is a coin" } (as_coin) } };
    let thing_part = html! { section.either { p.part { "If it is no coin" } (as_thing) } };
    let body = html! {
        h2 { (headline) }
        p.sure { (chance_in_figures(p)) ". Letters, or a head and a back, speak for a coin; a loop, a pin, rivets or a plain back for a thing." }
        (settle(fields, "coin", "It is a coin"))
        (settle(fields, "thing", "It is no coin"))
        @if coin >= 0.5 { (coin_part) (thing_part) } @else { (thing_part) (coin_part) }
    };
    (body, headline)
}

/// How sure it is: the word and the figure.
pub(super) fn sure(p: f64) -> Markup {
    html! {
        p.sure {
            strong { (raised(words_of_confidence(p))) } ": " (chance_in_figures(p)) ". "
            a href="/help#shares" { "What the figures mean" }
        }
    }
}

/// A link that settles what kind of thing it is.
pub(super) fn settle(fields: &Fields, is: &str, name: &str) -> Markup {
    let mut settled = Fields::default();
    let kept = kept(fields);
    let others = kept.iter().filter(|(held, _)| *held != IS);
    others.for_each(|(held, text)| settled.push(held, text));
    settled.push(IS, is);
    html! { p.settle { a href=(settled.address("/")) { (name) ": judge it so" } } }
}

/// What could not be used, each with its mend, and how the rest was taken.
pub(super) fn remarks(remarks: &[Remark]) -> Markup {
    let unused =
        |one: &&Remark| matches!(one.kind, RemarkKind::NotUnderstood | RemarkKind::Impossible);
    let (unused, noted): (Vec<&Remark>, Vec<&Remark>) = remarks.iter().partition(unused);
    html! {
        @if !unused.is_empty() {
            section.unused aria-label="Could not be used" {
                h3 { "Could not be used" }
                ul { @for one in unused { li { (one) } } }
            }
        }
        @if !noted.is_empty() {
            details.noted data-key="noted" {
                summary { "Notes on what you said (" (noted.len()) ")" }
                ul { @for one in noted { li { (one) } } }
            }
        }
    }
}

pub(super) fn list(heading: &str, lines: &[String]) -> Markup {
    html! {
        @if !lines.is_empty() {
            section {
                h3 { (heading) }
                ul { @for line in lines { li { (sentence(line)) } } }
            }
        }
    }
}

/// Weight against diameter, with the regions of the leaders, where either was measured.
fn measured(desk: &Desk, said: &Said, found: &Identification) -> Markup {
    let find = &said.find;
    if find.weight.is_none() && find.diameter.is_none() {
        return html! {};
    }
    let judged = found.ranking.judged.iter().take(DRAWN).enumerate();
    let judged = judged.filter(|(at, one)| *at == 0 || one.probability >= DRAWN_LEAST);
    let leaders: Vec<usize> = judged.map(|(_, one)| one.coin).collect();
    let [struck, as_found] = desk.house.measured(&leaders, find);
    let library = &desk.house.catalogue;
    let laws: [&[_]; 2] = [&struck, &as_found];
    let drawn = measures(&leaders, laws, Some(find), library, Setting::Page);
    html! {
        @if let Some(drawn) = drawn {
            section aria-labelledby="measured" {
                h3 id="measured" { "Weight and diameter" }
                (PreEscaped(drawn))
            }
        }
    }
}

/// A level: its heading, its shares, and how each is called.
type Named<'a> = (&'a str, &'a [Share], &'a dyn Fn(usize) -> String);

fn shares(desk: &Desk, found: &Identification) -> Markup {
    let library = &desk.house.catalogue;
    let shares = &found.shares;
    let levels: [Named<'_>; 4] = [
        ("Period", &shares.period, &|at| {
            library.periods[at].name.clone()
        }),
        ("Ruler", &shares.ruler, &|at| {
            library.rulers[at].name.clone()
        }),
        ("Denomination", &shares.denomination, &|at| {
            library.denominations[at].name.clone()
        }),
        ("Series", &shares.series, &|at| {
            library.series[at].name.clone()
        }),
    ];
    let named = |shares: &[Share], name: &dyn Fn(usize) -> String| -> Vec<(String, f64)> {
        let shown = shares.iter().take(SHARES.0).filter(|one| one.p >= SHARES.1);
        shown
            .map(|one| (one.of.map_or("none named".into(), name), one.p))
            .collect()
    };
    let tables = levels.map(|(heading, shares, name)| (heading, named(shares, name)));
    html! { (share_tables(&tables)) }
}

/// Shares level by level.
pub(super) fn share_tables(levels: &[(&str, Vec<(String, f64)>)]) -> Markup {
    html! {
        details.levels data-key="levels" {
            summary { "Shares by " (levels.iter().map(|level| level.0.to_lowercase()).collect::<Vec<_>>().join(", ")) }
            div.tables {
                @for (heading, shares) in levels {
                    table {
                        caption { (heading) }
                        thead { tr { th scope="col" { (heading) } th scope="col" { "Share" } } }
                        tbody {
                            @for (name, p) in shares {
                                tr { th scope="row" { (name) } td { (share(*p)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The form that keeps the find on the shelf.
fn keep(asked: &Asked) -> Markup {
    html! {
        form.keep method="post" action="/keep" {
            (token(&asked.visitor))
            (hidden(&asked.query))
            button { "Keep it on the shelf" }
        }
    }
}

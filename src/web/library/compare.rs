//! Types side by side, and a find against them.
//!
//! Shows what the house makes of them; judges nothing.
//!
//! Invariant: a letter (A, B, C) stands for the same type throughout, in the order given.

use maud::{Markup, PreEscaped, html};

use crate::Compared;
use crate::catalogue::{Catalogue, CoinType};
use crate::drawn::{Setting, letter, measures};
use crate::explain::{Entry, Row, TermRow, Verdict, Weighing, chance_in_figures, type_name};
use crate::parse::Remark;
use crate::web::asked::{Asked, Fields};
use crate::web::bench::described;
use crate::web::bench::said::Said;
use crate::web::desk::Desk;
use crate::web::page::{Place, sentence};
use crate::web::reply::{Fault, Reply};

/// Most types that stand side by side.
const MOST: usize = 3;
/// Entries of a cell that are shown.
const LISTED: usize = 12;
/// Differences, in nats, from which a reason is shown.
const REASONS_FROM: f64 = 0.05;

/// The page.
pub(super) fn compare(desk: &Desk, asked: &Asked) -> Reply {
    let types = match types(&asked.query, desk) {
        Ok(types) => types,
        Err(fault) => return fault.into(),
    };
    let library = &desk.house.catalogue;
    let said = Said::of(&asked.query, desk.house);
    let find = (!said.find.says_nothing()).then_some(&said.find);
    let compared = desk.house.compare(&types, find, false);
    let coins: Vec<&CoinType> = types.iter().map(|at| &library.types[*at]).collect();
    let title = match coins[..] {
        [one] => format!("A find against {}", type_name(one, library)),
        _ => "Side by side".to_string(),
    };
    Reply::Page {
        place: Place::Library,
        title: title.clone(),
        body: html! {
            h1 { (title) }
            ul.types {
                @for (at, coin) in coins.iter().enumerate() {
                    li { @if coins.len() > 1 { (letter(at)) ": " } a href=(format!("/type/{}", coin.id)) { (type_name(coin, library)) } ", " (coin.span.text()) }
                }
            }
            (ask(&coins, &asked.query))
            @if let Some(weighing) = &compared.comparison.weighing { (weighed(weighing)) }
            @if !said.is_blank() { (noted(&said.remarks, find.is_none())) }
            @if coins.len() > 1 { (rows(&compared)) } @else { (add(coins[0], library, &asked.query)) }
            @if let Some(drawn) = measures(&types, [&compared.struck, &compared.found], find, library, Setting::Page) {
                section aria-labelledby="measured" { h2 id="measured" { "Weight and diameter" } (PreEscaped(drawn)) }
            }
        },
    }
}

/// Positions of the types that are named, each once.
fn types(query: &Fields, desk: &Desk) -> Result<Vec<usize>, Fault> {
    let library = &desk.house.catalogue;
    let mut found: Vec<usize> = Vec::new();
    for id in query.all("type").take(MOST + 1) {
        let at = library.type_by_id(id).filter(|at| !library.types[*at].rest);
        let Some(at) = at else {
            let what = "a type that is named is not in the library";
            return Err(Fault::new(404, what, "go on from a type's own page"));
        };
        if !found.contains(&at) {
            found.push(at);
        }
    }
    match found.len() {
        0 => Err(Fault::new(
            422,
            "no type is named",
            "choose one in the library, and go on from its page",
        )),
        count if count > MOST => Err(Fault::new(
            422,
            "more than three types are named",
            "three stand side by side at most",
        )),
        _ => Ok(found),
    }
}

/// Asks for the find.
fn ask(coins: &[&CoinType], query: &Fields) -> Markup {
    let words = query.get("words").unwrap_or_default();
    let described = described(query);
    html! {
        form.describe method="get" action="/compare" {
            @for coin in coins { input type="hidden" name="type" value=(coin.id); }
            @for (name, text) in described.iter().filter(|(name, _)| *name != "words") { input type="hidden" name=(name) value=(text); }
            label for="words" { "Describe your find" }
            textarea id="words" name="words" rows="2" maxlength="4000" autocapitalize="none" spellcheck="false" { (words) }
            p.acts { button { "Hold it against " (if coins.len() == 1 { "this type" } else { "these" }) } " " a href=(described.address("/")) { "To the bench with it" } }
        }
    }
}

/// What was not understood of the find.
fn noted(remarks: &[Remark], nothing: bool) -> Markup {
    html! {
        @if nothing { p.unused { "Nothing that was said tells of a coin: say the metal, the measures, the letters, what is shown." } }
        @if !remarks.is_empty() {
            section aria-label="Notes on what you said" { ul { @for one in remarks { li { (one) } } } }
        }
    }
}

/// Where only one type is named: the neighbours to set beside it.
fn add(coin: &CoinType, library: &Catalogue, query: &Fields) -> Markup {
    let beside = |other: &CoinType| {
        let mut fields = Fields::of([("type", &coin.id), ("type", &other.id)]);
        let described = described(query);
        described
            .iter()
            .for_each(|(name, text)| fields.push(name, text));
        fields.address("/compare")
    };
    html! {
        @if !coin.apart.is_empty() {
            section aria-labelledby="beside" {
                h2 id="beside" { "Set a neighbour beside it" }
                ul { @for line in &coin.apart {
                    @let other = &library.types[line.from];
                    li { a href=(beside(other)) { (type_name(other, library)) } }
                } }
            }
        }
    }
}

fn rows(compared: &Compared) -> Markup {
    let comparison = &compared.comparison;
    let of = |wanted: &dyn Fn(&Row) -> bool| -> Vec<&Row> {
        comparison.rows.iter().filter(|row| wanted(row)).collect()
    };
    let seen = of(&|row| row.seen);
    let differ = of(&|row| row.verdict == Verdict::Differ && !row.seen);
    let same = of(&|row| row.verdict == Verdict::Same);
    html! {
        section aria-labelledby="apart" {
            h2 id="apart" { "What sets them apart" }
            @if !comparison.apart.is_empty() {
                ul { @for line in &comparison.apart { li { (letter(line.of)) " rather than " (letter(line.from)) ": " (line.by) "." } } }
            }
            @if seen.is_empty() { p { "Nothing else that a finder can see." } } @else { (table("Differences that can be seen", &seen)) }
        }
        @if !differ.is_empty() {
            section aria-labelledby="also" { h2 id="also" { "Also different" } (table("Differences that the piece does not show", &differ)) }
        }
        @if !same.is_empty() {
            details { summary { "The same in all (" (same.len()) ")" } (table("What is the same", &same)) }
        }
    }
}

fn table(caption: &str, rows: &[&Row]) -> Markup {
    let count = rows.first().map_or(0, |row| row.cells.len());
    html! {
        div.wide role="region" aria-label=(caption) tabindex="0" {
            table {
                caption { (caption) }
                thead { tr { th scope="col" { "What" } @for at in 0..count { th scope="col" { (letter(at)) } } } }
                tbody {
                    @for row in rows {
                        tr { th scope="row" { (row.feature.name()) } @for cell in &row.cells { td { (self::cell(cell.as_deref())) } } }
                    }
                }
            }
        }
    }
}

fn cell(entries: Option<&[Entry]>) -> Markup {
    let Some(entries) = entries else {
        return html! { "not said" };
    };
    html! {
        @if entries.is_empty() { "none" }
        @for (at, entry) in entries.iter().take(LISTED).enumerate() {
            @if at > 0 { br; }
            (parted(entry))
        }
        @if entries.len() > LISTED { br; "and " (entries.len() - LISTED) " more" }
    }
}

/// An entry, with a mark where a legend parts from the nearest beside it.
fn parted(entry: &Entry) -> Markup {
    let Some(at) = entry.parts_at else {
        return html! { (entry.text) };
    };
    let before: String = entry.text.chars().take(at).collect();
    let after: String = entry.text.chars().skip(at).collect();
    html! { (before) @if !after.is_empty() { mark title="from here on it is another" { (after) } } }
}

/// What of the find speaks for which.
fn weighed(weighing: &Weighing) -> Markup {
    let count = weighing.totals.len();
    let figure = |nats: Option<f64>| nats.map_or("–".to_string(), |nats| format!("{nats:+.1}"));
    let telling: Vec<&TermRow> = weighing.terms.iter().collect();
    html! {
        section aria-labelledby="weighed" {
            h2 id="weighed" { "Your find" }
            @if count > 1 {
                p {
                    "If it is one of these: "
                    @for (at, chance) in weighing.chances.iter().enumerate() { @if at > 0 { ", " } (letter(at)) " " (chance_in_figures(*chance)) }
                    "."
                }
            }
            div.wide role="region" aria-label="What of the find speaks for which" tabindex="0" {
                table {
                    caption { "Nats over \"not in the library\"" }
                    thead { tr { th scope="col" { "What was said" } @for at in 0..count { th scope="col" { (letter(at)) } } } }
                    tbody {
                        @for row in &telling { tr { th scope="row" { (row.said) } @for nats in &row.nats { td.figure { (figure(*nats)) } } } }
                        tr { th scope="row" { "in all" } @for total in &weighing.totals { td.figure { (figure(Some(*total))) } } }
                    }
                }
            }
            @for at in 0..count { (reasons(at, count, &telling)) }
        }
    }
}

/// Why, for one of the types.
fn reasons(at: usize, count: usize, rows: &[&TermRow]) -> Markup {
    let tells = |row: &&&TermRow| count == 1 || row.difference >= REASONS_FROM;
    let why = rows
        .iter()
        .filter(tells)
        .filter_map(|row| row.why[at].as_ref());
    let why: Vec<&String> = why.collect();
    html! {
        @if !why.is_empty() {
            details open[count == 1] {
                summary { "Why, for " (letter(at)) }
                ul { @for text in why { li { (sentence(text)) } } }
            }
        }
    }
}

//! The tray: what is kept, pictures first, by filters and words, a page at a time.
//!
//! Lists through the shelf; every choice stands in the address. Guests may not search by words nor
//! filter by land, group, storage or tag, since an answer of yes or no would tell these.
//!
//! Invariant: a guest's tray holds no id, land, place, storage or words of the finder.

mod charts;
mod hand;
mod labels;
mod map;

use maud::{Markup, html};

use super::asked::{Asked, Fields};
use super::desk::Desk;
use super::find::{address, address_of_key, may_be_shown, may_be_told, said_by};
use super::form::{Sheet, Wrong, day, plainly};
use super::keep::lands;
use super::page::{Place, raised};
use super::reply::{Fault, Reply};
use super::routes::{Route, open, own};
use crate::collect::{Filter, FindKind, Listed, Order, Shelf, Status};
use crate::find::MetalSeen;

/// The addresses of the tray.
pub(super) const ROUTES: [Route; 8] = [
    open("/tray", page),
    open("/charts", charts::page),
    own("/labels", labels::page),
    own("/labels.pdf", labels::pdf),
    own("/tray/map", map::page),
    own("/tray/pack.zip", hand::pack),
    own("/backup.zip", hand::backup),
    own("/export.zip", hand::export),
];

/// Finds of a page.
const SHOWN: usize = 48;
/// Most finds that a search by words hands to the filter.
const SEARCHED: usize = 10_000;

/// What the tray may be filtered by, and whether guests may.
const FILTERS: [(&str, bool); 13] = [
    ("words", false),
    ("kind", true),
    ("metal", true),
    ("period", true),
    ("status", false),
    ("land", false),
    ("group", false),
    ("tag", false),
    ("storage", false),
    ("from", false),
    ("to", false),
    ("confirmed", true),
    ("pictured", true),
];

/// The filters of a query that whoever asks may use, and the order.
pub(super) fn asked_for(asked: &Asked) -> Fields {
    let guest = asked.visitor.guest;
    let mut fields = Fields::default();
    for (name, open) in FILTERS {
        if let Some(text) = asked.query.get(name).filter(|_| open || !guest) {
            fields.push(name, text);
        }
    }
    if let Some(order) = asked.query.get("order") {
        fields.push("order", order);
    }
    fields
}

/// The metal that a field says.
fn metal(typed: &Fields) -> Result<Option<MetalSeen>, Wrong> {
    let Some(name) = typed.get("metal") else {
        return Ok(None);
    };
    let mut all = MetalSeen::ALL.into_iter();
    let found = all.find(|metal| metal.name() == name);
    found.map(Some).ok_or_else(|| {
        Wrong::new(
            "metal: this is no metal as it looks",
            "choose one of the list",
        )
    })
}

/// The filter that fields say, and whether a search by words found only what is almost the same.
pub(super) fn filter(desk: &Desk, shelf: &Shelf, typed: &Fields) -> Result<(Filter, bool), Wrong> {
    let text = |name: &str| typed.get(name).map(str::to_string);
    let either = |name: &str| match typed.get(name) {
        Some("yes") => Some(true),
        Some("no") => Some(false),
        _ => None,
    };
    let mut filter = Filter {
        land: text("land"),
        status: typed.get("status").map(Status::read).transpose()?,
        kind: typed.get("kind").map(FindKind::read).transpose()?,
        metal: metal(typed)?,
        period: text("period"),
        tag: text("tag"),
        grouped: text("group"),
        storage: text("storage"),
        found_from: day(typed, "from")?,
        found_to: day(typed, "to")?,
        confirmed: either("confirmed"),
        photographed: either("pictured"),
        order: match typed.get("order") {
            Some("kept") => Order::Kept,
            Some("found") => Order::Found,
            Some("id") => Order::Id,
            _ => Order::Changed,
        },
        ..Filter::default()
    };
    let mut almost = false;
    if let Some(words) = typed.get("words") {
        let words: String = words.chars().take(400).collect();
        let found = desk.search(shelf, &words, SEARCHED)?;
        almost = found.almost;
        filter.among = Some(found.keys);
    }
    Ok((filter, almost))
}

/// What the tray shows.
struct Shown {
    rows: Vec<Listed>,
    total: u64,
    almost: bool,
    first: usize,
}

fn page(desk: &Desk, asked: &Asked) -> Reply {
    laid(desk, asked).into()
}

fn laid(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let typed = asked_for(asked);
    let shelf = desk.shelf()?;
    let listed = shelf
        .as_ref()
        .map(|shelf| listed(desk, shelf, asked, &typed));
    let wrong = match &listed {
        Some(Err(wrong)) => Some(wrong.clone()),
        _ => None,
    };
    let shown = listed.and_then(Result::ok);
    let sheet = Sheet {
        name: "tray",
        typed: &typed,
        wrong: wrong.as_ref(),
    };
    let body = html! {
        div.beside.spread {
            h1 { "The tray" }
            @if !asked.visitor.guest { a.button href="/keep" { "Keep a find" } }
        }
        (filters(desk, shelf.as_ref(), asked, &sheet, "/tray")?)
        (found(asked, &typed, shelf.is_some(), shown.as_ref()))
        @if !asked.visitor.guest && shelf.is_some() { (hand::section(&typed)) }
    };
    let (place, title) = (Place::Tray, "Tray".to_string());
    Ok(Reply::Page { place, title, body }.refused_if(wrong.is_some()))
}

fn listed(desk: &Desk, shelf: &Shelf, asked: &Asked, typed: &Fields) -> Result<Shown, Wrong> {
    let (mut filter, almost) = filter(desk, shelf, typed)?;
    let page: usize = asked
        .query
        .get("page")
        .and_then(|page| page.parse().ok())
        .unwrap_or(1);
    let total = shelf.count(&filter)?;
    let pages = (total as usize).div_ceil(SHOWN).max(1);
    filter.skip = (page.clamp(1, pages) - 1) * SHOWN;
    filter.most = Some(SHOWN);
    let mut rows = shelf.list(&filter)?;
    if asked.visitor.guest {
        for row in &mut rows {
            let whole = shelf.whole(row.key)?;
            let shown = whole.photographs.iter().filter(|one| may_be_shown(one));
            row.photographs = shown.count() as u64;
            let told = whole.identified.first().is_some_and(may_be_told);
            row.identified = row.identified.take().filter(|_| told);
        }
    }
    Ok(Shown {
        rows,
        total,
        almost,
        first: filter.skip,
    })
}

/// The form that chooses finds, for the tray and what is made of its choice.
fn filters(
    desk: &Desk,
    shelf: Option<&Shelf>,
    asked: &Asked,
    sheet: &Sheet<'_>,
    action: &str,
) -> Result<Markup, Fault> {
    let guest = asked.visitor.guest;
    let lands = if guest { Vec::new() } else { lands(shelf)? };
    let used = FILTERS
        .iter()
        .any(|(name, _)| *name != "words" && sheet.typed.get(name).is_some());
    Ok(html! {
        form.filters method="get" action=(action) role="search" {
            (sheet.head_of_choice())
            @if !guest {
                div.beside.search {
                    (sheet.of_kind("words", "Look for words", "", "search"))
                    button { "Look" }
                }
            }
            details open[used] {
                summary { "Choose which" }
                div.columns { (choices(desk, guest, &lands, sheet)) }
                button { "Show these" }
                " " a.button.quiet href=(action) { "Show all" }
            }
        }
    })
}

/// What the tray may be narrowed to.
fn choices(desk: &Desk, guest: bool, lands: &[(String, String)], sheet: &Sheet<'_>) -> Markup {
    let periods = desk.house.catalogue.periods.iter();
    let periods: Vec<_> = periods
        .map(|one| (one.id.clone(), one.name.clone()))
        .collect();
    let metals = plainly(MetalSeen::ALL.iter().map(|metal| metal.name()))
        .into_iter()
        .zip(MetalSeen::ALL)
        .map(|((_, text), metal)| (metal.name().to_string(), text))
        .collect::<Vec<_>>();
    let kinds = [("coin", "Coins"), ("artefact", "Other things")];
    let confirmed = [("yes", "By somebody"), ("no", "By nobody yet")];
    let pictured = [("yes", "With a photograph"), ("no", "Without")];
    let orders = [
        ("changed", "Changed last"),
        ("found", "Found last"),
        ("kept", "As they were kept"),
        ("id", "Number"),
    ];
    let words = |pairs: &[(&str, &str)]| -> Vec<(String, String)> {
        let pairs = pairs.iter();
        pairs
            .map(|(word, text)| (word.to_string(), text.to_string()))
            .collect()
    };
    html! {
    (sheet.choice("period", "Period", "", "Any", &periods))
    (sheet.choice("metal", "Metal", "", "Any", &metals))
    (sheet.choice("kind", "Kind", "", "Any", &words(&kinds)))
    (sheet.choice("confirmed", "Confirmed", "", "Either", &words(&confirmed)))
    (sheet.choice("pictured", "Photograph", "", "Either", &words(&pictured)))
    @if !guest {
        (sheet.choice("status", "Where it is", "", "Anywhere", &plainly(Status::ALL.iter().map(|one| one.word()))))
        (sheet.choice("land", "Land", "", "Any", lands))
        (sheet.line("group", "Group", ""))
        (sheet.line("tag", "Tag", ""))
        (sheet.line("storage", "Storage", ""))
        (sheet.line("from", "Found from", "As 2026-03-14 or 2026."))
        (sheet.line("to", "Found until", ""))
    }
    (sheet.choice("order", "Order", "", "", &words(&orders)))
    }
}

fn found(asked: &Asked, typed: &Fields, kept: bool, shown: Option<&Shown>) -> Markup {
    let Some(shown) = shown else {
        return html! {
            @if !kept {
                p.lead { "Nothing is kept yet." }
                p { "Describe a find at " a href="/" { "the bench" } " and keep it from there, or " a href="/keep" { "keep one now" } "." }
            }
        };
    };
    let (first, last) = (shown.first + 1, shown.first + shown.rows.len());
    let pages = (shown.total as usize).div_ceil(SHOWN);
    let page = shown.first / SHOWN + 1;
    let to = |page: usize| {
        let mut fields = typed.clone();
        fields.push("page", &page.to_string());
        fields.address("/tray")
    };
    html! {
        p aria-live="polite" {
            @match shown.total {
                0 => "No find is like this.",
                1 => "1 find.",
                total if pages > 1 => { (first) " to " (last) " of " (total) " finds." }
                total => { (total) " finds." }
            }
            @if shown.almost && shown.total > 0 { " None has just these words; these have words that are almost the same." }
            @if shown.total > 0 {
                @if !asked.visitor.guest { " " a href=(typed.address("/tray/map")) { "Show them on a map" } "," }
                " " a href=(typed.address("/charts")) { "as charts" }
            }
        }
        ul.pieces {
            @for one in &shown.rows { li.piece { (card(one, asked.visitor.guest)) } }
        }
        @if pages > 1 {
            nav.pages aria-label="Pages of the tray" {
                @if page > 1 { a.button.quiet href=(to(page - 1)) rel="prev" { "Before" } }
                span { "Page " (page) " of " (pages) }
                @if page < pages { a.button.quiet href=(to(page + 1)) rel="next" { "After" } }
            }
        }
    }
}

/// One find of the grid.
fn card(one: &Listed, guest: bool) -> Markup {
    let here = if guest {
        address_of_key(one.key)
    } else {
        address(&one.id)
    };
    let what = match (&one.identified, guest) {
        (Some(text), _) => raised(text),
        (None, false) if !one.words.is_empty() => one.words.clone(),
        _ => "Not identified yet".into(),
    };
    let what: String = what.chars().take(140).collect();
    let by = said_by(one.confirmed_by, one.share);
    let facts = [
        one.metal.clone(),
        one.diameter_mm.map(|mm| format!("{mm} mm")),
        one.weight_g.map(|grams| format!("{grams} g")),
        one.found_on.clone(),
        one.land.clone().filter(|_| !guest),
        Some(one.status.word().replace('-', " "))
            .filter(|_| !guest && one.status != Status::InHand),
    ];
    let facts: Vec<String> = facts.into_iter().flatten().collect();
    html! {
        a href=(here) {
            @if one.photographs > 0 { img src=(format!("{here}/picture/first/small")) alt="" loading="lazy" width="320" height="320"; }
            @else { span.no-picture aria-hidden="true" { "no photograph" } }
            strong { @if guest { "Find " (one.key) } @else { (one.id) } }
            span.what { (what) }
        }
        @if one.identified.is_some() { span.how { (by) } }
        span.how { (facts.join(", ")) }
    }
}

//! The law: its questions as a form, the answer with its rules, the last day and whom to tell.
//!
//! Gathers facts as the command line does and shows what the room of the law says; adds no law of
//! its own.
//!
//! Invariant: dangers stand before everything else, and every answer says that the coroner decides.

use clap::ValueEnum;
use maud::{Markup, html};

use super::asked::{Asked, Fields};
use super::desk::Desk;
use super::find::{address, found};
use super::form::{Sheet, Wrong, for_pages, picked};
use super::page::{Place, sentence};
use super::reply::{Fault, Reply};
use super::routes::{Route, open};
use crate::cli::shared::{
    AlteredSaid, Belonging, CountrySaid, GroundSaid, HazardSaid, PlaceAndDays, Said, Together,
    TraitFlags, TreasureArgs, WhatSaid, by_when, choices, chosen, gather_facts, known,
};
use crate::collect::{Barred, FindKind, Shelf, Whole};
use crate::parse::Field;
use crate::treasure::{Bite, CHECKED, Call, LAWS, Law, Truth, Verdict, judge};

/// The addresses of the law.
pub(super) const ROUTES: [Route; 1] = [open("/law", page)];

/// Most finds of a group that are judged together here; a group of more is read as a hoard.
const TOGETHER_MOST: usize = 12;

/// Facts of one question, and what came of them.
struct Answer {
    verdict: Verdict,
    identified: Option<String>,
    remarks: Vec<String>,
}

fn page(desk: &Desk, asked: &Asked) -> Reply {
    if asked.visitor.guest {
        return shown(html! {
            h1 { "The law" }
            (table())
        });
    }
    match asked_of(desk, asked) {
        Ok(reply) => reply,
        Err(fault) => fault.into(),
    }
}

fn shown(body: Markup) -> Reply {
    Reply::Page {
        place: Place::Law,
        title: "The law".into(),
        body,
    }
}

fn asked_of(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let mut typed = asked.query.clone();
    let filled = typed.get("asked").is_none();
    let mut of_find = None;
    if let Some(id) = asked.query.get("find").filter(|_| filled) {
        let named = Asked {
            path: Fields::of([("id", id)]),
            visitor: asked.visitor.clone(),
            ..Asked::default()
        };
        let (shelf, whole) = found(desk, &named)?;
        typed = of_whole(&shelf, &whole)?;
        typed.push("find", id);
        of_find = Some(whole.entry.id);
    }
    let said = typed
        .iter()
        .any(|(name, text)| name != "find" && !text.trim().is_empty());
    let answer = said.then(|| answered(desk, &typed));
    let wrong = answer.as_ref().and_then(|answer| answer.as_ref().err());
    let sheet = Sheet {
        name: "law",
        typed: &typed,
        wrong,
    };
    let body = html! {
        h1 { "What the law may ask" }
        @if let Some(id) = &of_find { p.back { a href=(address(id)) { "Back to " (id) } } }
        p { "A first sorting and no legal advice: the coroner decides. The law in force governs." }
        @if let Some(Ok(answer)) = &answer { (verdict(answer)) }
        (form(&sheet))
        h2 { "The rules, and practice" }
        (table())
    };
    Ok(shown(body).refused_if(wrong.is_some()))
}

fn form(sheet: &Sheet<'_>) -> Markup {
    let unsaid = "Not said";
    html! {
        form.stack method="get" action="/law" {
            input type="hidden" name="asked" value="yes";
            @if let Some(find) = sheet.typed.get("find") { input type="hidden" name="find" value=(find); }
            @for (name, text) in beside(sheet.typed) { input type="hidden" name=(name) value=(text); }
            (sheet.head())
            fieldset.set {
                legend { "What was found" }
                (sheet.lines("piece", "Pieces, one kind a line", "How many and what, metal, years: 2 silver pennies, 1279"))
                (sheet.area("words", "Or one find in your words", "As at the bench; its age and metal are worked out with their chances."))
                div.columns {
                    (sheet.choice("what", "What the find described is", "", unsaid, &choices::<WhatSaid>()))
                    (sheet.line("count", "How many there are of it", ""))
                    (sheet.line("metal", "Its metal", ""))
                    (sheet.line("made", "When it was made", "As 1279-1307, 13th century, before 1700"))
                    (sheet.choice("prehistoric", "Of the Iron Age or earlier", "", unsaid, &choices::<Said>()))
                    (sheet.line("fineness", "Gold and silver by a test, in 100", "Never test it yourself with acid or a scratch."))
                    (sheet.choice("altered", "What was done to a coin", "", unsaid, &choices::<AlteredSaid>()))
                }
            }
            fieldset.set {
                legend { "How it lay" }
                (sheet.choice("same-find", "Whether the pieces belong to one find", "", unsaid, &choices::<Together>()))
                (sheet.choice("hidden", "Somebody hid it and meant to come back", "", unsaid, &choices::<Said>()))
                (sheet.choice("associated", "It belongs with an earlier find that was, or may be, treasure", "", unsaid, &choices::<Said>()))
                (sheet.choice("owner-known", "The owner, or the heirs, are known", "", unsaid, &choices::<Said>()))
                (sheet.choice("exceptional", "It tells something exceptional", "", unsaid, &choices::<Said>()))
                (sheet.tick("acquired", "yes", "It was bought or given, and found by somebody else"))
            }
            fieldset.set {
                legend { "Where and when" }
                div.columns {
                    (sheet.choice("country", "Country", "", unsaid, &choices::<CountrySaid>()))
                    (sheet.choice("leave", "Owner and occupier had given leave to search", "", unsaid, &choices::<Said>()))
                    (sheet.line("found", "Day it was found", "As 2026-03-14, 2026-03 or 2026."))
                    (sheet.line("believed", "Day you first believed that it may be treasure", ""))
                }
                fieldset.set { legend { "What ground" } @for (word, text) in choices::<GroundSaid>() { (sheet.tick("ground", &word, &text)) } }
                fieldset.set { legend { "What lay there too" } @for (word, text) in choices::<HazardSaid>() { (sheet.tick("hazard", &word, &text)) } }
            }
            button { "What does the law ask?" }
        }
    }
}

/// Traits of a find on the shelf that the form has no field of its own for.
fn beside(typed: &Fields) -> Vec<(&str, &str)> {
    let shown = [Field::Metal, Field::Words, Field::Id];
    let hidden = Field::ALL.into_iter().filter(|one| !shown.contains(one));
    let each = hidden.flat_map(|field| {
        typed
            .all(field.name())
            .map(move |text| (field.name(), text))
    });
    each.collect()
}

fn several<C: ValueEnum>(typed: &Fields, name: &str) -> Result<Vec<C>, Wrong> {
    let each = typed.all(name).take(20).map(|word| chosen(name, word));
    Ok(each.collect::<Result<Vec<C>, _>>()?)
}

/// The facts of a form as the command line takes them.
fn facts(typed: &Fields) -> Result<TreasureArgs, Wrong> {
    let text = |name: &str| typed.get(name).map(str::to_string);
    let traits = Field::ALL.into_iter().filter(|one| *one != Field::Words);
    let traits: Vec<(Field, String)> = traits
        .flat_map(|field| {
            typed
                .all(field.name())
                .map(move |text| (field, text.into()))
        })
        .collect();
    let pieces = typed.all("piece").flat_map(str::lines).map(str::trim);
    let pieces: Vec<String> = pieces
        .filter(|line| !line.is_empty())
        .map(str::to_string)
        .collect();
    if pieces.len() > 200 {
        return Err(Wrong::new(
            "piece: there are more than 200 lines",
            "put pieces that are alike on one line",
        ));
    }
    Ok(TreasureArgs {
        words: text("words").into_iter().collect(),
        piece: pieces,
        belonging: Belonging {
            same_find: picked::<Together>(typed, "same-find")?,
            associated: picked::<Said>(typed, "associated")?,
            hidden: picked::<Said>(typed, "hidden")?,
            owner_known: picked::<Said>(typed, "owner-known")?,
            exceptional: picked::<Said>(typed, "exceptional")?,
        },
        acquired: typed.get("acquired").is_some(),
        what: picked::<WhatSaid>(typed, "what")?,
        count: text("count"),
        made: text("made"),
        prehistoric: picked::<Said>(typed, "prehistoric")?,
        fineness: text("fineness"),
        altered: picked::<AlteredSaid>(typed, "altered")?,
        around: PlaceAndDays {
            country: picked::<CountrySaid>(typed, "country")?,
            ground: several::<GroundSaid>(typed, "ground")?,
            hazard: several::<HazardSaid>(typed, "hazard")?,
            leave: picked::<Said>(typed, "leave")?,
            found: text("found"),
            believed: text("believed"),
            today: None,
        },
        traits: TraitFlags::of(&traits),
        ..TreasureArgs::default()
    })
}

fn answered(desk: &Desk, typed: &Fields) -> Result<Answer, Wrong> {
    let mut args = facts(typed)?;
    args.around.today = Some(desk.today()?.iso());
    let gathered = gather_facts(&args, || Ok(desk.house))?;
    let mut verdict = judge(&gathered.facts, gathered.today);
    verdict.assumed.extend(gathered.assumed);
    Ok(Answer {
        verdict,
        identified: gathered.identified,
        remarks: gathered.remarks.iter().map(ToString::to_string).collect(),
    })
}

/// The facts of a find on the shelf, as the form would send them.
fn of_whole(shelf: &Shelf, whole: &Whole) -> Result<Fields, Fault> {
    let entry = &whole.entry;
    let mut typed = Fields::default();
    typed.push("words", &entry.words);
    for (name, text) in &entry.said {
        typed.push(name, text);
    }
    if entry.kind == FindKind::Artefact {
        typed.push("what", "object");
        if let Some(metal) = entry
            .metal
            .as_ref()
            .filter(|_| typed.get("metal").is_none())
        {
            typed.push("metal", metal);
        }
    }
    let stands = whole.identified.first();
    let sure = stands.filter(|one| one.confirmed_by.is_some() || entry.kind == FindKind::Artefact);
    let years = sure.and_then(|one| one.from_year.zip(one.to_year));
    if let Some((from, to)) = years {
        let year = |year: i64| match year {
            year if year < 0 => format!("{} BC", -year),
            year => format!("AD {year}"),
        };
        typed.push("made", &format!("{}-{}", year(from), year(to)));
    }
    if let Some(found) = &entry.found_on {
        typed.push("found", found);
    }
    if let Some((land, _)) = &whole.land {
        of_land(shelf, land, &mut typed)?;
    }
    if let Some(group) = &entry.grouped {
        of_group(shelf, group, entry.key, &mut typed)?;
    }
    Ok(typed)
}

/// What the land says of the facts: its country and what it is marked.
fn of_land(shelf: &Shelf, land: &str, typed: &mut Fields) -> Result<(), Fault> {
    let all = shelf.holdings(land)?;
    let country = all.iter().find_map(|one| one.land.country.clone());
    let country = country.map(|name| name.trim().to_lowercase().replace(' ', "-"));
    if let Some(country) = country.filter(|word| CountrySaid::from_str(word, false).is_ok()) {
        typed.push("country", &country);
    }
    for one in all.iter().flat_map(|one| &one.restrictions) {
        match one.kind {
            Barred::Protected => typed.push("ground", "protected"),
            Barred::Sssi => typed.push("ground", "sssi"),
            Barred::MilitaryCrash => typed.push("ground", "military-crash"),
            Barred::Burial => typed.push("ground", "burial"),
            Barred::Church => typed.push("ground", "church"),
            Barred::Foreshore => typed.push("ground", "foreshore"),
            Barred::Ordnance => typed.push("hazard", "ordnance"),
            Barred::Stewardship | Barred::Other => {}
        }
    }
    Ok(())
}

/// The other finds of its group, as pieces in words where these say enough.
fn of_group(shelf: &Shelf, group: &str, own: i64, typed: &mut Fields) -> Result<(), Fault> {
    let filter = crate::collect::Filter {
        grouped: Some(group.to_string()),
        most: Some(TOGETHER_MOST + 1),
        ..Default::default()
    };
    let others = shelf.list(&filter)?;
    for other in others
        .iter()
        .filter(|one| one.key != own)
        .take(TOGETHER_MOST)
    {
        let whole = shelf.whole(other.key)?;
        let stands = whole.identified.first();
        let years = stands.and_then(|one| one.from_year.zip(one.to_year));
        let years = years
            .map(|(from, to)| format!("{from}-{to}"))
            .filter(|text| !text.starts_with('-'));
        let what = match other.kind {
            FindKind::Coin => "1 coin".to_string(),
            FindKind::Artefact => "1 object".to_string(),
        };
        let parts = [Some(what), other.metal.clone(), years];
        let piece: Vec<String> = parts.into_iter().flatten().collect();
        typed.push("piece", &piece.join(", "));
    }
    Ok(())
}

/// What the law asks of a find, in short, for its page.
pub(super) fn of_find(desk: &Desk, shelf: &Shelf, whole: &Whole) -> Result<Markup, Fault> {
    let typed = of_whole(shelf, whole)?;
    let answer = answered(desk, &typed);
    let more = Fields::of([("find", &whole.entry.id)]).address("/law");
    Ok(html! {
        section.care id="law" aria-labelledby="law-h" {
            h2 id="law-h" { "What the law may ask" }
            @match answer {
                Err(wrong) => { p { (sentence(&Fault::from(wrong).what)) } }
                Ok(answer) => {
                    @if !answer.verdict.dangers.is_empty() { (laws(&answer.verdict.dangers)) }
                    p { strong { (answer.verdict.call.text()) "." } }
                    (when(&answer.verdict))
                    @if let Some(first) = answer.verdict.tell.first() { p { "Tell: " (first.text) "." } }
                }
            }
            p { a href=(more) { "The rules, whom to tell, and the questions" } }
        }
    })
}

fn when(verdict: &Verdict) -> Markup {
    let lines = by_when(verdict, "");
    let lines: Vec<String> = lines.iter().map(|line| for_pages(line)).collect();
    html! {
        @let after = if verdict.call == Call::RecordOnly { "Should it be treasure after all: " } else { "" };
        @if let Some(first) = lines.first() { p { (sentence(&format!("{after}{first}"))) } }
        @if lines.len() > 1 {
            details { summary { "How it is counted" } ul { @for line in &lines[1..] { li { (sentence(line)) } } } }
        }
    }
}

fn laws(laws: &[&'static Law]) -> Markup {
    html! { ul { @for law in laws { li { (sentence(&law.text())) } } } }
}

fn verdict(answer: &Answer) -> Markup {
    let verdict = &answer.verdict;
    let rules = |truth: Truth| verdict.rules.iter().filter(move |bite| bite.truth == truth);
    html! {
        section.verdict aria-labelledby="verdict-h" {
            @if !verdict.dangers.is_empty() {
                div.care role="alert" { h2 { "Before anything else" } (laws(&verdict.dangers)) }
            }
            h2 id="verdict-h" { (verdict.call.text()) "." }
            @if let Some(identified) = &answer.identified { p { "Identified as " (identified) "." } }
            h3 { "By when" }
            (when(verdict))
            h3 { "Whom to tell" }
            ol { @for contact in &verdict.tell { li { (sentence(contact.text)) } } }
            @for (heading, truth) in [("Rules met", Truth::Yes), ("Rules that may be met", Truth::Open)] {
                @if rules(truth).next().is_some() {
                    h3 { (heading) }
                    ul { @for bite in rules(truth) { li { (rule(bite, verdict)) } } }
                }
            }
            h3 { "What is known of it" }
            ul { @for standing in &verdict.standing { li { (sentence(&known(standing))) } } }
            @for (heading, texts) in [
                ("Ask yourself", verdict.questions.iter().map(|one| one.text.to_string()).collect::<Vec<_>>()),
                ("Taken for granted", verdict.assumed.clone()),
                ("Notes on what you said", answer.remarks.clone()),
            ] {
                @if !texts.is_empty() {
                    h3 { (heading) }
                    ul { @for text in texts { li { (sentence(&plain(&text))) } } }
                }
            }
            details { summary { "Law and practice beside it" } (laws(&verdict.notes)) }
            p.how { "Law looked at on " (CHECKED) "; the law in force decides, and the coroner." }
        }
    }
}

/// A text without the flags that it names.
fn plain(text: &str) -> String {
    let words = text.replace("; say otherwise with --same-find", "");
    words.replace(" with --made", "").replace("--", "")
}

fn rule(bite: &Bite, verdict: &Verdict) -> Markup {
    let names = bite
        .pieces
        .iter()
        .filter_map(|place| verdict.standing.get(*place));
    let names: Vec<&str> = names.map(|one| one.name.as_str()).collect();
    let decides: Vec<&str> = bite.decides.iter().map(|one| one.text()).collect();
    html! {
        strong { (bite.law.id) } " " (sentence(&bite.law.text()))
        @if verdict.standing.len() > 1 && !names.is_empty() { " It asks for: " (names.join("; ")) "." }
        @if !decides.is_empty() { " What would decide: " (decides.join("; ")) "." }
    }
}

fn table() -> Markup {
    html! {
        details {
            summary { "All that is held of the law" }
            dl.laws {
                @for entry in LAWS {
                    div {
                        dt { (entry.id) }
                        dd { (sentence(&entry.text())) @if let Some(day) = entry.checked { span.how { " Looked at " (day) ": " (entry.source) "." } } }
                    }
                }
            }
        }
    }
}

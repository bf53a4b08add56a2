//! `record`: the draft of a record, for one find or every find of a table.
//!
//! Gathers what is told, asks the record room, and writes the form; judges nothing and sends
//! nothing. Whatever form is passed on is cut to squares of 1 km and leaves names out, unless told.
//!
//! Invariant: the same find on the same day drafts the same in every form, and a file is written
//! whole or not at all.

mod args;
mod gather;
mod linked;
mod rows;
mod sheet;
mod view;

pub(super) use args::{EXAMPLES, RecordArgs};

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use super::error::Trouble;
use super::identify::{heard, nothing_said};
use super::treasure::clock_today;
use super::{Outcome, print_json};
use crate::explain::{how_to, question, reply};
use crate::find::Find;
use crate::findspot::Side;
use crate::parse::{Field, Remark};
use crate::record::{
    Basis, Circumstances, Draft, Judgement, Kind, Sharing, Template, Told, draft, epidoc_form,
    html, printed_template, text,
};
use crate::treasure::CalendarDay;
use crate::{House, Identification, IdentifyOptions};
use args::Form;

/// Looks that are named as missing.
const LOOKS: usize = 2;
/// Most bytes of a template that are read; the room says what is too long.
const TEMPLATE_MOST: u64 = 1024 * 1024;

/// Makes the draft or drafts and writes the form.
pub(super) fn run(
    asked: &RecordArgs,
    open: impl FnOnce() -> Result<&'static House, Trouble>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let kind = match asked.artefact.object {
        Some(_) => Kind::Artefact,
        None => Kind::Coin,
    };
    if asked.print_template {
        write!(out, "{}", printed_template(kind))?;
        return Ok(Outcome::Answer);
    }
    let template = template(asked)?;
    if let Some(path) = asked.to.as_deref().filter(|_| !asked.force) {
        refuse_what_is_there(path)?;
    }
    let today = match asked.today.as_deref() {
        None => clock_today()?,
        Some(day) => {
            CalendarDay::read(day).map_err(|what| Trouble::new(format!("--today: {what}"), ""))?
        }
    };
    let house = open()?;
    let (drafts, outcome) = match &asked.table {
        Some(path) => rows::drafts(path, asked, house, today)?,
        None => (vec![one(asked, kind, house, today)?], Outcome::Answer),
    };
    let sharing = sharing(asked);
    let shared: Vec<Draft> = drafts.iter().map(|one| one.shared(sharing)).collect();
    let form = asked.form();
    match &asked.to {
        None => write_form(form, &shared, template.as_ref(), out)?,
        Some(path) => {
            let mut written = Vec::new();
            write_form(form, &shared, template.as_ref(), &mut written)?;
            put(path, &written)?;
        }
    }
    tell(asked, sharing, &drafts);
    Ok(outcome)
}

/// The draft of the find that words and flags describe.
fn one(
    asked: &RecordArgs,
    kind: Kind,
    house: &House,
    today: CalendarDay,
) -> Result<Draft, Trouble> {
    let told = gather::decided(&asked.told, house)?;
    let lexicon = &house.lexicon;
    let circumstances = gather::circumstances(&asked.told, &asked.artefact, lexicon, today)?;
    if kind == Kind::Artefact && !told.is_empty() {
        return Err(Trouble::new(
            "--as: the library knows coins, and --object says that this is none",
            "leave out one of the two",
        ));
    }
    let (find, remarks) = heard(&asked.traits, &asked.words, house);
    let mut said = asked.traits.fields();
    said.push((Field::Words, asked.words.join(" ")));
    if kind == Kind::Coin && find.says_nothing() && told.is_empty() {
        return Err(nothing_said(&remarks, "lynchet record"));
    }
    let described = Described {
        kind,
        find: &find,
        said: &said,
        remarks: &remarks,
        told: &told,
        circumstances: &circumstances,
    };
    Ok(described.drafted(house, today))
}

/// A find with all that is told of it.
struct Described<'d> {
    kind: Kind,
    find: &'d Find,
    said: &'d [(Field, String)],
    remarks: &'d [Remark],
    told: &'d Told,
    circumstances: &'d Circumstances,
}

impl Described<'_> {
    /// The draft: identified where it is a coin of which something was said.
    fn drafted(&self, house: &House, today: CalendarDay) -> Draft {
        let find = self.find;
        let said = (self.kind == Kind::Coin && !find.says_nothing())
            .then(|| house.identify(find, IdentifyOptions::default()));
        let looks = said.as_ref();
        let looks = looks.map_or(Vec::new(), |said| looks_at(find, said, house));
        let judged = said.as_ref().map(|said| Judgement {
            ranking: &said.ranking,
            shares: &said.shares,
            answer: &said.answer,
        });
        let basis = Basis {
            kind: self.kind,
            find,
            said: self.said,
            remarks: self.remarks,
            judged,
            told: self.told,
            circumstances: self.circumstances,
            looks: &looks,
            catalogue: &house.catalogue,
        };
        draft(&basis, today)
    }
}

/// The looks that would tell most, in words.
fn looks_at(find: &Find, said: &Identification, house: &House) -> Vec<String> {
    let (_, looks) = house.next_looks(find, said, None, &[]);
    let library = &house.catalogue;
    let mut told = "";
    let mut asked = Vec::new();
    for look in looks.iter().take(LOOKS) {
        let replies = look.replies.iter().map(|one| reply(look, one, library));
        let replies = replies.collect::<Vec<_>>().join("; ");
        let (asks, how) = (question(&look.asks, library), how_to(&look.asks));
        asked.push(match how == told {
            true => format!("{asks} ({replies})"),
            false => format!("{asks} ({replies}); how: {how}"),
        });
        told = how;
    }
    asked
}

/// What may be passed on in the form asked for.
fn sharing(asked: &RecordArgs) -> Sharing {
    let own = asked.form() == Form::Text;
    Sharing {
        names: own || asked.with_names,
        findspot: match asked.findspot_to {
            Some(coarse) => Some(coarse.side()),
            None if own || asked.exact_findspot => None,
            None => Some(Side::Kilometre),
        },
    }
}

fn write_form(
    form: Form,
    drafts: &[Draft],
    template: Option<&Template>,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    match form {
        Form::Text => write!(out, "{}", text(drafts, template))?,
        Form::Html => write!(out, "{}", html(drafts))?,
        Form::Csv => write!(out, "{}", sheet::csv(drafts)?)?,
        Form::JsonLd => print_json(&linked::json_ld(drafts), out)?,
        Form::Epidoc => write!(out, "{}", epidoc_form(drafts))?,
        Form::Json => match drafts {
            [one] => print_json(&view::DraftView::of(one), out)?,
            many => {
                let views: Vec<_> = many.iter().map(view::DraftView::of).collect();
                print_json(&views, out)?;
            }
        },
    }
    Ok(())
}

/// Says on the error stream what was held back.
fn tell(asked: &RecordArgs, sharing: Sharing, drafts: &[Draft]) {
    let mut held = Vec::new();
    let placed = drafts.iter().any(|draft| draft.findspot.is_some());
    if placed && sharing.findspot.is_some() && asked.findspot_to.is_none() {
        held.push("findspots are cut to squares of 1 km (--exact-findspot keeps them)");
    }
    let named =
        |draft: &Draft| !draft.value("finder").is_empty() || !draft.value("landowner").is_empty();
    if !sharing.names && drafts.iter().any(named) {
        held.push("names are left out (--with-names keeps them)");
    }
    if !held.is_empty() {
        let _ = writeln!(io::stderr(), "note: {}", held.join("; "));
    }
}

/// The template of the flag, read and checked.
fn template(asked: &RecordArgs) -> Result<Option<Template>, Trouble> {
    let Some(path) = asked.template.as_deref() else {
        return Ok(None);
    };
    if asked.form() != Form::Text {
        return Err(Trouble::new(
            "--template: only the plain text is made by a template",
            "leave out --form, or the template",
        ));
    }
    let named = |error: io::Error| {
        let what = format!("--template: {}: {error}", path.display());
        Trouble::new(
            what,
            "name a text file; begin with: lynchet record --print-template",
        )
    };
    let size = fs::metadata(path).map_err(named)?.len();
    if size > TEMPLATE_MOST {
        let what = format!("--template: {} is {size} bytes long", path.display());
        return Err(Trouble::new(
            what,
            "begin from the one that --print-template prints",
        ));
    }
    let bytes = fs::read(path).map_err(named)?;
    let text = String::from_utf8(bytes).map_err(|_| {
        let what = format!("--template: {} is not UTF-8", path.display());
        Trouble::new(what, "save it as UTF-8 text")
    })?;
    let read = Template::read(&text);
    read.map(Some).map_err(|faults| {
        let told = faults.iter().take(10);
        let told: Vec<String> = told
            .map(|fault| format!("line {}: {}; {}", fault.line, fault.what, fault.mend))
            .collect();
        let what = format!("--template: {}\n  {}", path.display(), told.join("\n  "));
        Trouble::new(what, "mend the lines named and try again")
    })
}

fn refuse_what_is_there(path: &Path) -> Result<(), Trouble> {
    if !path.exists() {
        return Ok(());
    }
    let what = format!("--to: {} is there already", path.display());
    Err(Trouble::new(
        what,
        "name a new file, or write over this one with: --force",
    ))
}

/// Writes beside the file and renames, so that a run that is cut off leaves nothing half-written.
fn put(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let named = |error: io::Error| {
        let what = format!("--to: {}: {error}", path.display());
        Trouble::new(what, "name a file in a folder that can be written to")
    };
    let Some(name) = path.file_name().filter(|_| !path.is_dir()) else {
        let what = format!("--to: {} is not a file", path.display());
        return Err(Trouble::new(what, "name a file"));
    };
    let beside = format!(".{}.{}.tmp", name.to_string_lossy(), std::process::id());
    let beside = path.with_file_name(beside);
    let written = fs::write(&beside, bytes).and_then(|()| fs::rename(&beside, path));
    written.map_err(|error| {
        let _ = fs::remove_file(&beside);
        named(error)
    })
}

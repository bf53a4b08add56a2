//! `record`: the draft of a record, for one find or every find of a table.
//!
//! Gathers what is told, asks the record room, and writes the form; judges nothing and sends
//! nothing. Whatever form is passed on is cut to squares of 1 km and leaves names out, unless told.
//!
//! Invariant: the same find on the same day drafts the same in every form, and a file is written
//! whole or not at all.

mod args;
mod gather;
mod group;
mod linked;
mod pack;
pub(super) mod pdf;
mod rows;
mod sheet;
mod thing;
mod view;
mod views;

pub(super) use args::{EXAMPLES, RecordArgs};

use std::fs;
use std::io::{self, IsTerminal, Write};
use std::path::Path;

use super::error::Trouble;
use super::identify::{heard, nothing_said, outcome};
use super::opened::Opened;
use super::treasure::clock_today;
use super::{Outcome, print_json, whole};
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
use args::{Form, ToldFlags};

/// Looks that are named as missing.
const LOOKS: usize = 2;
/// Most bytes of a template that are read; the room says what is too long.
const TEMPLATE_MOST: u64 = 1024 * 1024;

/// Makes the draft or drafts and writes the form.
pub(super) fn run(
    asked: &RecordArgs,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let kind = kind(asked);
    if kind != Kind::Group && asked.group.belonging.is_said() {
        return Err(Trouble::new(
            "how pieces lie to one another is asked of a group alone",
            "name its pieces with --hoard, or ask: lynchet treasure",
        ));
    }
    if asked.print_template {
        write!(out, "{}", printed_template(kind))?;
        return Ok(Outcome::Answer);
    }
    let template = template(asked)?;
    let written = written(asked);
    may_be_written(asked, written)?;
    let today = match asked.today.as_deref() {
        None => clock_today()?,
        Some(day) => {
            CalendarDay::read(day).map_err(|what| Trouble::new(format!("--today: {what}"), ""))?
        }
    };
    let (drafts, outcome) = match &asked.table {
        Some(path) => rows::drafts(path, asked, opened, today)?,
        None => {
            let (draft, outcome) = one(asked, kind, opened, today)?;
            (vec![draft], outcome)
        }
    };
    let sharing = sharing(asked);
    let shared: Vec<Draft> = drafts.iter().map(|one| one.shared(sharing)).collect();
    let about = about(sharing, &drafts);
    let taken = match shared.as_slice() {
        [one] if !asked.pictures.named().is_empty() => Some(views::taken(asked, one)?),
        _ => None,
    };
    let finished = Finished {
        drafts: &shared,
        template: template.as_ref(),
        taken: taken.as_ref(),
        about: &about,
        today,
    };
    match written {
        None => finished.write(asked.form(), out)?,
        Some((flag, path)) => {
            let mut bytes = Vec::new();
            match asked.pack {
                Some(_) => bytes = pack::pack(&finished)?,
                None => finished.write(asked.form(), &mut bytes)?,
            }
            put(flag, path, &bytes)?;
        }
    }
    tell(asked, sharing, &drafts);
    Ok(outcome)
}

/// What is drafted.
fn kind(asked: &RecordArgs) -> Kind {
    match (&asked.artefact.object, asked.group.pieces.is_empty()) {
        (_, false) => Kind::Group,
        (Some(_), true) => Kind::Artefact,
        (None, true) => Kind::Coin,
    }
}

/// What is told of the circumstances, with the photographs by their names.
fn with_views(asked: &RecordArgs) -> ToldFlags {
    let mut said = asked.told.clone();
    let views = asked.pictures.named();
    let views = views.iter();
    said.images
        .extend(views.map(|(name, _)| format!("photograph, {}", name.replace('-', " "))));
    said
}

/// The draft of the find that words and flags describe, and whether anything in the library fits it.
fn one(
    asked: &RecordArgs,
    kind: Kind,
    opened: &Opened<'_>,
    today: CalendarDay,
) -> Result<(Draft, Outcome), Trouble> {
    let house = opened.house()?;
    if kind == Kind::Group {
        let (draft, dated) = group::drafted(asked, house, today)?;
        return Ok((draft, fits(dated)));
    }
    let told = gather::decided(&asked.told, house)?;
    let lexicon = &house.lexicon;
    let said = with_views(asked);
    let circumstances = gather::circumstances(&said, &asked.artefact, lexicon, today)?;
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
    if kind == Kind::Artefact {
        let draft = thing::drafted(&described, &asked.artefact, opened, today)?;
        return Ok((draft, Outcome::Answer));
    }
    let (draft, judged) = described.drafted_and_judged(house, today);
    Ok((draft, judged.map_or(Outcome::Answer, |said| outcome(&said))))
}

/// How the verb ends whose pieces are all of no known date, as `hoard` does.
fn fits(dated: bool) -> Outcome {
    match dated {
        true => Outcome::Answer,
        false => Outcome::NothingFits,
    }
}

/// A find with all that is told of it.
pub(crate) struct Described<'d> {
    pub(crate) kind: Kind,
    pub(crate) find: &'d Find,
    pub(crate) said: &'d [(Field, String)],
    pub(crate) remarks: &'d [Remark],
    pub(crate) told: &'d Told,
    pub(crate) circumstances: &'d Circumstances,
}

impl Described<'_> {
    /// The draft: identified where it is a coin of which something was said.
    pub(crate) fn drafted(&self, house: &House, today: CalendarDay) -> Draft {
        self.drafted_and_judged(house, today).0
    }

    /// The draft, and what its traits alone say where nobody decided.
    fn drafted_and_judged(
        &self,
        house: &House,
        today: CalendarDay,
    ) -> (Draft, Option<Identification>) {
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
            thing: None,
            told: self.told,
            circumstances: self.circumstances,
            looks: &looks,
            catalogue: &house.catalogue,
        };
        let draft = draft(&basis, today);
        (draft, said.filter(|_| self.told.is_empty()))
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
    let own = asked.form() == Form::Text && asked.pack.is_none();
    Sharing {
        names: own || asked.with_names,
        findspot: match asked.findspot_to {
            Some(coarse) => Some(coarse.side()),
            None if own || asked.exact_findspot => None,
            None => Some(Side::Kilometre),
        },
    }
}

/// What was cut from what is passed on, in sentences for those who get it.
fn about(sharing: Sharing, drafts: &[Draft]) -> String {
    let placed = drafts.iter().any(|draft| draft.findspot.is_some());
    let spot = match sharing.findspot {
        _ if !placed => "No findspot was given.".to_string(),
        None => {
            "Findspots stand as they were given: pass this on to nobody who does not need them."
                .to_string()
        }
        Some(side) => format!("Findspots are cut to squares of {}.", side.text()),
    };
    let names = match sharing.names {
        true => "Names stand as they were given.",
        false => "Names of finder, landowner and whoever decided are left out.",
    };
    format!("{spot} {names}")
}

/// The photographs of a pack, each with the name of its view, and the plate.
pub(crate) type Pictures = (Vec<(String, Vec<u8>)>, Option<Vec<u8>>);

/// The pack for the officer of drafts that are on the shelf: what of them may be passed on, with the
/// photographs (each view's name and a JPEG made of pixels) and the plate, where there is one find.
pub(crate) fn officers_pack(
    drafts: &[Draft],
    sharing: Sharing,
    pictures: Option<Pictures>,
    today: CalendarDay,
) -> Result<Vec<u8>, Trouble> {
    let shared: Vec<Draft> = drafts.iter().map(|one| one.shared(sharing)).collect();
    let taken = pictures.map(|(photographs, sheet)| views::Taken {
        photographs,
        plates: None,
        sheet,
    });
    pack::pack(&Finished {
        drafts: &shared,
        template: None,
        taken: taken.as_ref(),
        about: &about(sharing, drafts),
        today,
    })
}

/// Drafts as they may be passed on, with all that a form needs.
struct Finished<'f> {
    drafts: &'f [Draft],
    template: Option<&'f Template>,
    taken: Option<&'f views::Taken>,
    about: &'f str,
    today: CalendarDay,
}

impl Finished<'_> {
    fn write(&self, form: Form, out: &mut dyn Write) -> Result<(), Trouble> {
        let drafts = self.drafts;
        match form {
            Form::Text => write!(out, "{}", text(drafts, self.template))?,
            Form::Html => write!(out, "{}", html(drafts))?,
            Form::Pdf => {
                let plates = self.taken.and_then(|taken| taken.plates.as_ref());
                out.write_all(&pdf::pdf(drafts, plates, self.about, self.today)?)?;
            }
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

/// The flag and the file to be written.
fn written(asked: &RecordArgs) -> Option<(&'static str, &Path)> {
    let pack = asked.pack.as_deref().map(|path| ("--pack", path));
    pack.or(asked.to.as_deref().map(|path| ("--to", path)))
}

/// Refuses, before any work, what cannot or may not be written.
fn may_be_written(asked: &RecordArgs, written: Option<(&str, &Path)>) -> Result<(), Trouble> {
    if asked.form() == Form::Pdf && written.is_none() && io::stdout().is_terminal() {
        return Err(Trouble::new(
            "--form pdf: a terminal cannot show it",
            "name a file with: --to draft.pdf",
        ));
    }
    views::may_be_used(asked)?;
    let Some((flag, path)) = written else {
        return Ok(());
    };
    views::no_original(asked, flag, path)?;
    if path.exists() && !asked.force {
        let what = format!("{flag}: {} is there already", path.display());
        return Err(Trouble::new(
            what,
            "name a new file, or write over this one with: --force",
        ));
    }
    Ok(())
}

/// Writes a file whole or not at all.
fn put(flag: &str, path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    if path.file_name().is_none() || path.is_dir() {
        let what = format!("{flag}: {} is not a file", path.display());
        return Err(Trouble::new(what, "name a file"));
    }
    whole::write(path, bytes).map_err(|error| {
        let what = format!("{flag}: {}: {error}", path.display());
        Trouble::new(what, "name a file in a folder that can be written to")
    })
}

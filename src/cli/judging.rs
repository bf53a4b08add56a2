//! How the judging is done, from flags to what the house takes: what is hidden, what the field has
//! given before, which prior.
//!
//! Reads the table of the field's finds and nothing else. The find itself is never kept.
//!
//! Invariant: `identify`, `batch` and `evaluate` judge alike under the same flags.

use std::path::Path;
use std::sync::Arc;

use super::args::JudgingFlags;
use super::error::Trouble;
use super::resolve::{Meant, Names};
use super::table::{Table, tell_of};
use crate::find::{Find, Span, Year};
use crate::parse::{self, Field};
use crate::score::{FieldProfile, Learnt};
use crate::{House, Identification, IdentifyOptions};

/// The judging, ready for finds.
pub(super) struct Judging {
    pub(super) top: usize,
    flat_prior: bool,
    judge_all: bool,
    hidden: Vec<Field>,
    field: Option<FieldProfile>,
    /// What the finder's own confirmed finds teach; never in an evaluation.
    pub(super) learnt: Option<Arc<Learnt>>,
    /// True where nothing but the answer is shown.
    pub(super) answer_only: bool,
}

impl Judging {
    /// Makes the flags ready.
    pub(super) fn of(flags: &JudgingFlags, house: &House) -> Result<Judging, Trouble> {
        let hidden = flags.hide.iter().map(|name| hidden(name));
        let field = flags.field.as_deref().map(|path| profile(path, house));
        Ok(Judging {
            top: flags.top,
            flat_prior: flags.flat_prior,
            judge_all: flags.judge_all,
            hidden: hidden.collect::<Result<_, _>>()?,
            field: field.transpose()?,
            learnt: None,
            answer_only: false,
        })
    }

    /// The judging of a find for the shelf: plain, but for what the shelf teaches.
    pub(super) fn taught(learnt: Option<Arc<Learnt>>) -> Judging {
        Judging {
            top: 0,
            flat_prior: false,
            judge_all: false,
            hidden: Vec::new(),
            field: None,
            learnt,
            answer_only: false,
        }
    }

    /// The find as far as the judging may see it.
    pub(super) fn shown(&self, find: &Find) -> Find {
        parse::without(find.clone(), &self.hidden)
    }

    /// Judges a find.
    pub(super) fn identify(&self, find: &Find, house: &House) -> Identification {
        self.among(find, None, house)
    }

    /// Judges a find among these types, or among those that the index gives.
    pub(super) fn among(
        &self,
        find: &Find,
        among: Option<&[usize]>,
        house: &House,
    ) -> Identification {
        let options = IdentifyOptions {
            among,
            flat_prior: self.flat_prior,
            judge_all: self.judge_all,
            field: self.field.as_ref(),
            learnt: self.learnt.as_deref(),
            answer_only: self.answer_only,
        };
        match self.hidden.is_empty() {
            true => house.identify(find, options),
            false => house.identify(&self.shown(find), options),
        }
    }
}

/// What only an evaluation asks for.
impl Judging {
    /// What is said beforehand, of a find of which nothing is known.
    pub(super) fn beforehand(&self, house: &House) -> Identification {
        let options = IdentifyOptions {
            among: None,
            flat_prior: self.flat_prior,
            judge_all: true,
            field: self.field.as_ref(),
            learnt: None,
            answer_only: true,
        };
        house.identify(&Find::default(), options)
    }

    /// Judges a find as if the library had not these types.
    pub(super) fn without(&self, find: &Find, types: &Meant, house: &House) -> Identification {
        let shown = self.shown(find);
        let all = || (0..house.catalogue.types.len()).collect();
        let mut among: Vec<usize> = match self.judge_all {
            true => all(),
            false => house.candidates(&shown).unwrap_or_else(|_| all()),
        };
        among.retain(|coin| !types.contains(coin));
        let options = IdentifyOptions {
            among: Some(&among),
            flat_prior: self.flat_prior,
            judge_all: false,
            field: self.field.as_ref(),
            learnt: None,
            answer_only: true,
        };
        house.identify(&shown, options)
    }
}

fn hidden(name: &str) -> Result<Field, Trouble> {
    let field = Field::column(name).filter(|field| !matches!(field, Field::Id | Field::Words));
    field.ok_or_else(|| {
        let names: Vec<&str> = Field::traits().map(Field::name).collect();
        let hint = format!("name any of: {}", names.join(", "));
        Trouble::new(format!("--hide: \"{name}\" is no trait"), hint)
    })
}

/// What a table of identified finds says a field has given, by period.
fn profile(path: &Path, house: &House) -> Result<FieldProfile, Trouble> {
    let mut table = Table::open(path)?;
    let columns = table.columns.clone();
    let rows = table.take(usize::MAX)?;
    rows.iter().for_each(tell_of);
    let names = Names::of(&house.catalogue);
    let mut profile = FieldProfile {
        finds: vec![0.0; house.catalogue.periods.len()],
    };
    for row in &rows {
        let cell = |wanted: &str| row.cell(&columns, wanted);
        let periods = periods_of(&cell, &names, house);
        for period in &periods {
            profile.finds[*period] += 1.0 / periods.len() as f64;
        }
    }
    if profile.finds.iter().all(|count| *count == 0.0) {
        return Err(Trouble::new(
            format!("{}: no row says of which period a find is", path.display()),
            "give a column period, ruler_or_authority, or date_from and date_to",
        ));
    }
    Ok(profile)
}

/// The periods a row may mean: as named, else of its ruler's types, else by its years.
fn periods_of<'r>(cell: &impl Fn(&str) -> &'r str, names: &Names, house: &House) -> Meant {
    let named = names.period(cell("period"));
    if !named.is_empty() {
        return named;
    }
    let rulers = names.ruler(cell("ruler_or_authority"));
    let types = house.catalogue.listed().iter();
    let of_ruler = types.filter(|coin| coin.ruler.is_some_and(|ruler| rulers.contains(&ruler)));
    let of_ruler: Meant = of_ruler.map(|coin| coin.period).collect();
    if !of_ruler.is_empty() {
        return of_ruler;
    }
    let year = |column: &str| cell(column).trim().parse::<Year>().ok();
    let years = year("date_from").zip(year("date_to"));
    let Some(years) = years.and_then(|(from, to)| Span::new(from, to)) else {
        return Meant::new();
    };
    let periods = house.catalogue.periods.iter().enumerate();
    // The period that holds most of the years.
    let most = periods.max_by_key(|(_, period)| period.span.shared_years(years));
    let most = most.filter(|(_, period)| period.span.overlaps(years));
    most.map(|(position, _)| position).into_iter().collect()
}

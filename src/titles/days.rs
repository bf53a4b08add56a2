//! Claims held against careers: the days on which all were true, and why.
//!
//! A title that a career's table does not know is passed over and named as such. Judges
//! no likelihood.
//!
//! Invariant: a career is given only with at least one day left; days are in order and apart.

use super::read::{Claim, Honour, Office, Titulature};
use crate::catalogue::Career;
use crate::find::{Dated, Day, Span};

/// Days from the first to the last, both within.
type Days = (Day, Day);

/// What one title says of the day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// The title as read.
    pub said: String,
    /// The title in words.
    pub title: String,
    /// The days on which it was held; none where the table does not know.
    pub days: Option<Vec<Days>>,
}

/// A ruler whose career holds all titles read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Possible {
    /// Position among the careers.
    pub career: usize,
    /// The days left.
    pub days: Vec<Days>,
    /// Why, one a title.
    pub reasons: Vec<Reason>,
}

impl Possible {
    /// The years that the days fall in, drawn together where they follow one another. A stretch
    /// that begins in the last weeks of December, as tribunician years do, and goes on is counted
    /// from the next year, as handbooks do (common practice, no source); [`Possible::all_years`]
    /// leaves nothing out.
    pub fn years(&self) -> Vec<Span> {
        let counted = |from: &Day, to: &Day| {
            let late = from.in_year() >= DECEMBER && from.year() < to.year();
            if late {
                after(from.year())
            } else {
                from.year()
            }
        };
        self.years_from(counted)
    }

    /// The years that any of the days fall in.
    pub fn all_years(&self) -> Vec<Span> {
        self.years_from(|from, _| from.year())
    }

    fn years_from(&self, counted: impl Fn(&Day, &Day) -> i32) -> Vec<Span> {
        let mut years: Vec<Span> = Vec::new();
        for (from, to) in &self.days {
            let (from, to) = (counted(from, to), to.year());
            match years.last_mut() {
                Some(last) if from <= last.to || follows(last.to, from) => {
                    last.to = to.max(last.to)
                }
                _ => years.push(Span { from, to }),
            }
        }
        years
    }
}

/// From this month and day on the rest of a year is too little to be named for.
const DECEMBER: (i32, i32) = (12, 10);

fn after(year: i32) -> i32 {
    if year == -1 { 1 } else { year + 1 }
}

fn follows(year: i32, next: i32) -> bool {
    next == after(year)
}

/// The careers that fit, the earliest first; those alone that are named by their letters where
/// any are, or the one asked for. A ruler who is neither named nor asked for is given only when
/// the tables know all the numbers that were read.
pub fn possible(titles: &Titulature, careers: &[Career], ruler: Option<usize>) -> Vec<Possible> {
    let named = |career: &Career| {
        let signs = career.signs.iter();
        signs.filter(|sign| titles.letters.contains(*sign)).count() > 0
    };
    let any_named = ruler.is_none() && careers.iter().any(named);
    let asked = |career: &Career| match ruler {
        Some(ruler) => career.ruler == ruler,
        None => !any_named || named(career),
    };
    let known = |career: &Career| {
        let mut numbers = titles.claims.iter().filter(|claim| claim.0.is_numbered());
        ruler.is_some() || any_named || numbers.all(|claim| held(&claim.0, career).is_some())
    };
    let fits = |(position, career): (usize, &Career)| {
        (asked(career) && known(career))
            .then(|| of_career(titles, position, career))
            .flatten()
    };
    let mut found: Vec<Possible> = careers.iter().enumerate().filter_map(fits).collect();
    found.sort_by(|a, b| a.days.cmp(&b.days));
    found
}

/// Whether and when one career holds all titles.
fn of_career(titles: &Titulature, position: usize, career: &Career) -> Option<Possible> {
    let mut days = vec![(career.held.0.earliest, career.held.1.latest)];
    let mut reasons = Vec::new();
    let names = career.names.iter().filter_map(|(name, from)| {
        let held = vec![(from.earliest, career.held.1.latest)];
        let reason = || Reason {
            said: name.clone(),
            title: format!("the name {name}"),
            days: Some(held),
        };
        titles.letters.contains(name.as_str()).then(reason)
    });
    let claims = titles.claims.iter().map(|(claim, said)| Reason {
        said: said.clone(),
        title: in_words(claim, career),
        days: held(claim, career),
    });
    for reason in claims.chain(names) {
        if let Some(held) = &reason.days {
            days = shared(&days, held);
        }
        reasons.push(reason);
    }
    (!days.is_empty()).then_some(Possible {
        career: position,
        days,
        reasons,
    })
}

/// The days on which a title was held; `None` where the tables do not know.
fn held(claim: &Claim, career: &Career) -> Option<Vec<Days>> {
    let end = career.held.1.latest;
    let since = |from: Option<Dated>| Some(vec![(from?.earliest, end)]);
    match claim {
        Claim::Held(Honour::PaterPatriae) => since(career.pater_patriae),
        Claim::Held(Honour::PontifexMaximus) => since(career.pontifex_maximus),
        Claim::Held(Honour::Censor) => Some(
            career
                .censor
                .map(|(from, to)| (from.earliest, to.latest))
                .into_iter()
                .collect(),
        ),
        Claim::Bare(Office::Consul) => numbered(&career.consul, &[1], career),
        Claim::Bare(Office::Tribunician) => since(career.tribunician.first().map(|first| first.1)),
        Claim::Bare(Office::Imperator) => None,
        Claim::Numbered {
            office: Office::Consul,
            numbers,
            designate: true,
        } => chosen(&career.consul, numbers, career),
        Claim::Numbered {
            office, numbers, ..
        } => numbered(steps(*office, career), numbers, career),
    }
}

/// When a counted title was taken, number by number.
fn steps(office: Office, career: &Career) -> &[(u8, Dated)] {
    match office {
        Office::Tribunician => &career.tribunician,
        Office::Consul => &career.consul,
        Office::Imperator => &career.imperator,
    }
}

/// The days of one of these numbers: from its beginning until the next begins.
fn numbered(steps: &[(u8, Dated)], numbers: &[u8], career: &Career) -> Option<Vec<Days>> {
    let first = steps.first()?;
    let mut days: Vec<Days> = Vec::new();
    // An emperor was imperator from the first day; tables begin with the second time.
    let before_first = first.0 > 1 && numbers.contains(&(first.0 - 1));
    if before_first {
        days.push((career.held.0.earliest, first.1.latest.before()));
    }
    for (place, (number, from)) in steps.iter().enumerate() {
        if numbers.contains(number) {
            let next = steps.get(place + 1);
            let to = next.map_or(career.held.1.latest, |next| next.1.latest.before());
            days.push((from.earliest, to.max(from.latest)));
        }
    }
    Some(drawn_together(days))
}

/// The days of one chosen for one of these consulships: from the beginning of the one before.
fn chosen(steps: &[(u8, Dated)], numbers: &[u8], career: &Career) -> Option<Vec<Days>> {
    steps.first()?;
    let wanted = steps.iter().enumerate();
    let wanted = wanted.filter(|(_, step)| numbers.contains(&step.0));
    let days = wanted.map(|(place, (_, from))| {
        let last = place.checked_sub(1).map(|before| steps[before].1.earliest);
        let since = last.unwrap_or(career.held.0.earliest);
        (since.min(from.latest.before()), from.latest.before())
    });
    Some(drawn_together(days.collect()))
}

fn drawn_together(mut days: Vec<Days>) -> Vec<Days> {
    days.sort_unstable();
    let mut apart: Vec<Days> = Vec::new();
    for (from, to) in days {
        match apart.last_mut() {
            Some(last) if from.before() <= last.1 => last.1 = last.1.max(to),
            _ => apart.push((from, to)),
        }
    }
    apart
}

/// The days in both.
fn shared(a: &[Days], b: &[Days]) -> Vec<Days> {
    let mut both: Vec<Days> = Vec::new();
    for one in a {
        for other in b {
            let (from, to) = (one.0.max(other.0), one.1.min(other.1));
            if from <= to {
                both.push((from, to));
            }
        }
    }
    drawn_together(both)
}

/// A title in words; of the numbers that it may be, those the career came to.
fn in_words(claim: &Claim, career: &Career) -> String {
    let office = |office: &Office| match office {
        Office::Tribunician => "tribunician power",
        Office::Consul => "consul",
        Office::Imperator => "imperator",
    };
    match claim {
        Claim::Held(Honour::PaterPatriae) => "father of his country".to_string(),
        Claim::Held(Honour::PontifexMaximus) => "chief priest".to_string(),
        Claim::Held(Honour::Censor) => "censor".to_string(),
        Claim::Bare(Office::Consul) => "consul for the first time".to_string(),
        Claim::Bare(bare) => format!("{}, no number", office(bare)),
        Claim::Numbered {
            office: which,
            numbers,
            designate,
        } => {
            let came_to = steps(*which, career).iter().map(|step| step.0).max();
            let within = |number: &&u8| came_to.is_none_or(|most| **number <= most);
            let listed: Vec<String> = numbers.iter().filter(within).map(u8::to_string).collect();
            let chosen = if *designate { " chosen" } else { "" };
            format!("{}{chosen}, number {}", office(which), listed.join(" or "))
        }
    }
}

//! Letters: which of a few short runs stands on a side.
//!
//! Takes words, two words side by side, or the joint of two, by which the legends of the likeliest groups differ; a
//! finder need read no more than these. A type that bears none of them says nothing, since "other
//! letters" is no trait of a find. Reads no legend itself.
//!
//! Invariant: no run of a question lies within another, nor within what was read already.

use std::collections::HashMap;

use super::company::{Company, face};
use super::{Asks, Law, MOST_REPLIES, Question, Seen};
use crate::catalogue::{Glyph, Spelling};
use crate::find::{Mark, Side, fold};
use crate::score::constants::LETTER_RIGHT;

/// Letters on either side of the joint of two words.
const JOINT: usize = 3;
/// Groups, the likeliest, between which the letters are to tell.
const GROUPS: usize = 10;
/// Letters of a run, least and most.
const LENGTH: (usize, usize) = (2, 8);
/// Inscriptions of a type that are looked at, and spellings of each: those beyond say little new.
const LOOKED_AT: (usize, usize) = (8, 4);
/// Least share of a group's chance that a run must tell from the other groups.
const LEAST: f64 = 0.3;
/// Runs of one group that are weighed.
const A_GROUP: usize = 2;
/// Runs of a spelling that are tried.
const TRIED: usize = 24;

/// The questions about letters, one a side at most.
pub(super) fn questions(company: &Company<'_>, asked: &[Asks]) -> Vec<Question> {
    let sides = [Side::Obverse, Side::Reverse];
    sides
        .into_iter()
        .filter_map(|side| question(company, side, asked))
        .collect()
}

fn question(company: &Company<'_>, side: Side, asked: &[Asks]) -> Option<Question> {
    let pool = Legends::of(company, side).pool(company, |run| known(company, side, asked, run));
    let mut chosen: Vec<&Run> = vec![pool.first()?];
    let mut best = 0.0;
    while chosen.len() < MOST_REPLIES {
        let apart = |run: &&Run| {
            chosen
                .iter()
                .all(|held| !within(&held.letters, &run.letters))
        };
        let with = |run| {
            let more: Vec<&Run> = chosen.iter().copied().chain([run]).collect();
            company.bits(&laws(company, &more))
        };
        let next = pool.iter().filter(apart).map(|run| (with(run), run));
        let Some((bits, next)) = next.max_by(|a, b| a.0.total_cmp(&b.0)) else {
            break;
        };
        if bits <= best {
            break;
        }
        best = bits;
        chosen.push(next);
    }
    let runs: Vec<String> = chosen.iter().map(|run| run.letters.clone()).collect();
    Some(Question {
        seen: runs.iter().cloned().map(Seen::Letters).collect(),
        laws: laws(company, &chosen),
        asks: Asks::Letters { runs, side },
    })
}

/// True when one run lies within the other, so that a finder could not say which it is.
fn within(one: &str, other: &str) -> bool {
    one.contains(other) || other.contains(one)
}

/// The law of each type over these runs, and last that of a find that is not in the library.
fn laws(company: &Company<'_>, runs: &[&Run]) -> Vec<Law> {
    let of = |place: usize| {
        let mut bears = [0.0; MOST_REPLIES];
        for (share, run) in bears.iter_mut().zip(runs) {
            *share = run.bearing[place];
        }
        law(&bears[..runs.len()])
    };
    let listed = (0..company.coins.len()).map(of);
    listed.chain([law_of_none(runs.len())]).collect()
}

/// The law of a type whose pieces bear each run so often: as often right as one letter is, since a
/// run stands or falls together; the rest falls on the other runs, or on any when it bears none.
fn law(bears: &[f64]) -> Law {
    let count = bears.len();
    let most = bears.iter().sum::<f64>().max(1.0);
    let mut law = [0.0; MOST_REPLIES];
    let wrong = (1.0 - LETTER_RIGHT.0) / (count - 1) as f64;
    for (struck, share) in bears.iter().map(|share| share / most).enumerate() {
        for (read, told) in law.iter_mut().take(count).enumerate() {
            *told += share
                * if read == struck {
                    LETTER_RIGHT.0
                } else {
                    wrong
                };
        }
    }
    let left = 1.0 - law.iter().sum::<f64>();
    for told in law.iter_mut().take(count) {
        *told += left / count as f64;
    }
    law
}

fn law_of_none(count: usize) -> Law {
    std::array::from_fn(|reply| {
        if reply < count {
            1.0 / count as f64
        } else {
            0.0
        }
    })
}

/// The likeliest groups, "not in the library" left out.
fn likeliest(company: &Company<'_>) -> Vec<usize> {
    let mut groups: Vec<usize> = (0..company.groups.len() - 1).collect();
    groups.sort_by(|a, b| company.groups[*b].total_cmp(&company.groups[*a]));
    groups.truncate(GROUPS);
    groups
}

/// True when a run, or part of it, was read or asked on the side already.
fn known(company: &Company<'_>, side: Side, asked: &[Asks], run: &str) -> bool {
    let read = company.find.readings.iter().any(|reading| {
        let letters = reading.marks.iter().map(|mark| match mark {
            Mark::Letter { letter, .. } => *letter,
            _ => ' ',
        });
        let letters: String = letters.collect();
        // A few letters of a longer run leave it worth asking for.
        let overlaps =
            |part: &str| part.contains(run) || (run.contains(part) && 2 * part.len() > run.len());
        (reading.side == side || reading.side == Side::Unknown) && letters.split(' ').any(overlaps)
    });
    let before = asked.iter().any(|asks| match asks {
        Asks::Letters { runs, side: on } => *on == side && runs.iter().any(|held| held == run),
        _ => false,
    });
    read || before
}

/// The legends that the types may bear on a side, numbered from nought.
struct Legends {
    /// For each type, the legends that may stand there.
    of: Vec<Vec<usize>>,
    /// The spellings of each legend in use.
    forms: Vec<Vec<Form>>,
}

/// A run that may be asked for, and how often each type bears it.
struct Run {
    letters: String,
    bearing: Vec<f64>,
}

/// One spelling: its letters with blanks where any letters stand, and its words.
struct Form {
    letters: String,
    words: Vec<String>,
}

impl Form {
    fn of(spelling: &Spelling) -> Form {
        let letter = |glyph: &Glyph| match glyph {
            Glyph::Letter(letter) => Some(*letter),
            Glyph::Free => Some(' '),
            Glyph::Break => None,
        };
        let folded = |word: &str| word.chars().map(fold).collect::<String>();
        let words = spelling.text.split_whitespace().map(folded);
        Form {
            letters: spelling.glyphs.iter().filter_map(letter).collect(),
            words: words.filter(|word| !word.is_empty()).collect(),
        }
    }
}

impl Legends {
    fn of(company: &Company<'_>, side: Side) -> Legends {
        let mut numbers: HashMap<usize, usize> = HashMap::new();
        let mut forms: Vec<Vec<Form>> = Vec::new();
        let mut numbered = |inscription: &usize| {
            *numbers.entry(*inscription).or_insert_with(|| {
                let spellings = &company.catalogue.inscriptions[*inscription].forms;
                let looked_at = spellings.iter().take(LOOKED_AT.1);
                forms.push(looked_at.map(Form::of).collect());
                forms.len() - 1
            })
        };
        let borne = |coin| {
            let borne = face(coin, side).inscriptions.as_deref().unwrap_or(&[]);
            let borne = borne.iter().take(LOOKED_AT.0);
            borne.map(&mut numbered).collect()
        };
        let of = company.types().map(borne).collect();
        Legends { of, forms }
    }

    /// How many of the spellings of each legend hold a run.
    fn holding(&self, run: &str) -> Vec<f64> {
        let holding = |forms: &Vec<Form>| {
            let held = forms.iter().filter(|form| form.letters.contains(run));
            held.count() as f64 / forms.len().max(1) as f64
        };
        self.forms.iter().map(holding).collect()
    }

    /// How often each type bears a run that the legends hold so.
    fn bearing(&self, holding: &[f64]) -> Vec<f64> {
        let share = |borne: &Vec<usize>| {
            let sum: f64 = borne.iter().map(|legend| holding[*legend]).sum();
            sum / borne.len().max(1) as f64
        };
        self.of.iter().map(share).collect()
    }

    /// How far each legend speaks for a group against the others: chances of the types that bear it,
    /// those of the others below nought.
    fn speaks(&self, company: &Company<'_>, group: usize) -> Vec<f64> {
        let mut speaks = vec![0.0; self.forms.len()];
        for (place, borne) in self.of.iter().enumerate() {
            let own = company.group_of[place] == group;
            let chance = company.chances[place] / borne.len().max(1) as f64;
            for legend in borne {
                speaks[*legend] += if own { chance } else { -chance };
            }
        }
        speaks
    }

    /// The runs by which the legends of each of the likeliest groups differ most from those of the
    /// others, that of the likeliest group first.
    fn pool(&self, company: &Company<'_>, known: impl Fn(&str) -> bool) -> Vec<Run> {
        let mut pool: Vec<Run> = Vec::new();
        let mut tried: HashMap<String, Vec<f64>> = HashMap::new();
        for group in likeliest(company) {
            let held = |run: &str| pool.iter().any(|one| one.letters == run);
            let speaks = self.speaks(company, group);
            let mut told: Vec<(f64, String)> = Vec::new();
            for run in self.runs_of_group(company, group) {
                if known(&run) || held(&run) {
                    continue;
                }
                let holding = tried
                    .entry(run.clone())
                    .or_insert_with(|| self.holding(&run));
                told.push((tells(&speaks, &run, holding), run));
            }
            told.retain(|(told, _)| *told >= LEAST * company.groups[group]);
            told.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            for (_, letters) in told.into_iter().take(A_GROUP) {
                let bearing = self.bearing(&tried[&letters]);
                pool.push(Run { letters, bearing });
            }
        }
        pool
    }

    /// Runs of the likeliest type of a group that bears letters.
    fn runs_of_group(&self, company: &Company<'_>, group: usize) -> Vec<String> {
        let mut of_group = (0..company.coins.len()).filter(|p| company.group_of[*p] == group);
        let legend = of_group.find_map(|place| self.of[place].first());
        let form = legend.and_then(|legend| self.forms[*legend].first());
        form.map_or(Vec::new(), runs_of)
    }
}

/// How much of the chance of a group a run tells from the others.
fn tells(speaks: &[f64], run: &str, holding: &[f64]) -> f64 {
    let told: f64 = speaks.iter().zip(holding).map(|(s, h)| s * h).sum();
    // Of two runs that tell alike, the shorter is the easier to find.
    told * (1.0 - 0.01 * run.len() as f64)
}

/// Words and pairs of words of a spelling that may be asked for; of a long word its beginning.
fn runs_of(form: &Form) -> Vec<String> {
    let (least, most) = LENGTH;
    let cut = |word: &str| word.chars().take(most).collect::<String>();
    let single = form.words.iter().map(|word| cut(word));
    let pairs = form.words.windows(2).map(|two| two.concat());
    // Names of the same beginning part at their ends: NVS PF against NVS IVN.
    let joints = form.words.windows(2).map(|two| {
        let end: Vec<char> = two[0].chars().collect();
        let end = end[end.len().saturating_sub(JOINT)..].iter();
        end.copied().chain(two[1].chars().take(JOINT)).collect()
    });
    let mut runs: Vec<String> = Vec::new();
    for run in single.chain(pairs).chain(joints) {
        let length = run.chars().count();
        let fits = (least..=most).contains(&length) && form.letters.contains(&run);
        if fits && !runs.contains(&run) {
            runs.push(run);
        }
    }
    runs.truncate(TRIED);
    runs
}

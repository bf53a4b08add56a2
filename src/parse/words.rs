//! Free words in one string: "silver, 17 mm, worn, long cross, reads EDW R".
//!
//! Part by part: figures with their units, then the sides, then letters, then
//! phrases of the lexicon; what is left over becomes a remark. It judges nothing.
//!
//! Invariant: the order of the parts does not matter, but for the words that name
//! a side and for a trait given twice.

use std::ops::Range;

use super::form::Field;
use super::legend;
use super::letters::{Letters, Run};
use super::lexicon::Lexicon;
use super::meaning::{Entry, Plain, Scope};
use super::merge::{add_sighting, add_treatment, merge};
use super::numbers::{self, DATED_COINS, Figure};
use super::pieces::{self, Part};
use super::remark::{Remark, RemarkKind, clean};
use super::scan::{self, Heard, MOST_SLIPS, Word};
use super::sides::{self, Sides};
use super::stem;
use super::units;
use crate::find::{DieAxis, Find, MetalSeen, Opinion, OpinionLevel, Side, Sighting, Treatment};

/// Name under which remarks on free words stand.
pub(super) const WORDS: &str = "words";

/// Most remarks on words not understood; further words join the last of them.
const MOST_LEFT: usize = 40;

/// Understands free words in one string.
pub fn words(text: &str, lexicon: &Lexicon) -> (Find, Vec<Remark>) {
    let (text, remarks) = clean(text, WORDS);
    let mut hearing = Hearing::new(&text, lexicon, WORDS, Scope::All, Side::Unknown);
    hearing.remarks = remarks;
    for part in pieces::parts(&text) {
        hearing.part(&part);
    }
    hearing.finish()
}

/// Understands the words of one field, of which only some meanings count.
pub(super) fn field_words(
    text: &str,
    lexicon: &Lexicon,
    field: Field,
    scope: Scope,
    side: Side,
) -> (Find, Vec<Remark>) {
    let (text, remarks) = clean(text, field.name());
    let mut hearing = Hearing::new(&text, lexicon, field.name(), scope, side);
    hearing.remarks = remarks;
    for part in pieces::parts(&text) {
        let range = part.range();
        let spans = spans_in(&text, &range);
        let sides = match side {
            Side::Unknown if scope == Scope::Motifs => sides::sides(&text, &spans, hearing.side),
            _ => sides::sides(&text, &[], side),
        };
        sides
            .phrases
            .iter()
            .for_each(|phrase| hearing.take(phrase.clone()));
        hearing.phrases(range, &sides);
        hearing.side = sides.after;
    }
    hearing.finish()
}

fn spans_in(text: &str, range: &Range<usize>) -> Vec<Range<usize>> {
    let moved = |span: Range<usize>| range.start + span.start..range.start + span.end;
    stem::spans(&text[range.clone()])
        .into_iter()
        .map(moved)
        .collect()
}

/// One text being understood.
struct Hearing<'a> {
    text: &'a str,
    lexicon: &'a Lexicon,
    field: &'static str,
    scope: Scope,
    side: Side,
    taken: Vec<bool>,
    shouting: bool,
    find: Find,
    remarks: Vec<Remark>,
    hue: Option<(MetalSeen, String)>,
    /// Words not understood, a part at a time, with what they may have been meant for.
    left: Vec<(String, Vec<String>)>,
    slips: usize,
    asked_near: usize,
}

impl<'a> Hearing<'a> {
    fn new(
        text: &'a str,
        lexicon: &'a Lexicon,
        field: &'static str,
        scope: Scope,
        side: Side,
    ) -> Self {
        Hearing {
            text,
            lexicon,
            field,
            scope,
            side,
            taken: vec![false; text.len()],
            shouting: !text.contains(char::is_lowercase),
            find: Find::default(),
            remarks: Vec::new(),
            hue: None,
            left: Vec::new(),
            slips: 0,
            asked_near: 0,
        }
    }

    fn take(&mut self, range: Range<usize>) {
        self.taken[range].fill(true);
    }

    fn remark(
        &mut self,
        kind: RemarkKind,
        said: &str,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) {
        self.remarks
            .push(Remark::new(kind, self.field, said, what, mend));
    }

    /// Lays a find of one trait beside what is known already.
    fn add(&mut self, more: Find, remarks: Vec<Remark>) {
        let (find, clashes) = merge(std::mem::take(&mut self.find), more);
        self.find = find;
        self.remarks.extend(remarks);
        self.remarks.extend(clashes);
    }

    fn part(&mut self, part: &Part) {
        let range = part.range();
        let quoted: Vec<Range<usize>> = part
            .pieces
            .iter()
            .filter(|piece| matches!(piece, pieces::Piece::Quote(_)))
            .map(pieces::Piece::range)
            .collect();
        for (place, figure) in numbers::figures(self.text, range.clone()) {
            if quoted
                .iter()
                .all(|quote| place.end <= quote.start || quote.end <= place.start)
            {
                self.figure(place, figure);
            }
        }
        let free = |span: &Range<usize>| {
            !self.taken[span.start] && quoted.iter().all(|quote| !quote.contains(&span.start))
        };
        let spans: Vec<Range<usize>> = spans_in(self.text, &range)
            .into_iter()
            .filter(free)
            .collect();
        let sides = sides::sides(self.text, &spans, self.side);
        sides
            .phrases
            .iter()
            .for_each(|phrase| self.take(phrase.clone()));
        self.letters(part, &sides, &spans);
        self.phrases(range, &sides);
        self.side = sides.after;
    }

    fn figure(&mut self, place: Range<usize>, figure: Figure) {
        let text = self.text;
        let said = &text[place.clone()];
        self.take(place);
        let mut more = Find::default();
        let mut remarks = Vec::new();
        match figure {
            Figure::Weight(quantity) => (more.weight, remarks) = units::weight(&quantity, said),
            Figure::Diameter(quantity) => {
                (more.diameter, remarks) = units::length(&quantity, said, Field::Diameter);
            }
            Figure::Thickness(quantity) => {
                (more.thickness, remarks) = units::length(&quantity, said, Field::Thickness);
            }
            Figure::Axis(hour) => (more.die_axis, remarks) = axis_of(hour, said),
            Figure::Date(year, guessed) => {
                more.date_on_piece = Some(year);
                if guessed {
                    remarks.push(year_remark(said, WORDS));
                }
            }
        }
        self.add(more, remarks);
    }

    fn letters(&mut self, part: &Part, sides: &Sides, spans: &[Range<usize>]) {
        let asked = Letters {
            text: self.text,
            part,
            taken: &self.taken,
            lexicon: self.lexicon,
            shouting: self.shouting,
        };
        let runs = asked.runs();
        let backwards = spans
            .iter()
            .find(|span| self.text[(*span).clone()].eq_ignore_ascii_case("retrograde"))
            .cloned();
        if let Some(word) = backwards.clone().filter(|_| !runs.is_empty()) {
            self.take(word);
        }
        for run in runs {
            self.run(&run, part, sides, backwards.is_some());
        }
    }

    fn run(&mut self, run: &Run, part: &Part, sides: &Sides, backwards: bool) {
        let place = |at: &usize| part.pieces[*at].range();
        run.pieces.iter().for_each(|at| self.take(place(at)));
        let typed: Vec<&str> = run.letters.iter().map(|at| &self.text[place(at)]).collect();
        let side = run
            .letters
            .first()
            .map_or(Side::Unknown, |at| sides.at(place(at).start));
        let said = typed.join(" ");
        if run.guessed {
            self.remark(
                RemarkKind::Assumed,
                &said,
                "is no word of the library, so it is taken as letters on the piece",
                "write words in small letters, and letters after \"reads\"",
            );
        }
        let (more, remarks) = legend_and_date(&said, side, self.field, backwards);
        self.add(more, remarks);
    }

    /// Phrases of the lexicon in what is still free.
    fn phrases(&mut self, range: Range<usize>, sides: &Sides) {
        let stretch = |byte: usize| sides.stretch(byte);
        let words = scan::free_words(
            self.text,
            range,
            &self.taken,
            self.lexicon,
            &mut self.slips,
            stretch,
        );
        let (heard, left) = scan::hear(&words, self.lexicon, self.scope);
        for phrase in &heard {
            self.phrase(phrase, &words, sides);
        }
        self.leave(&left, &words);
    }

    fn phrase(&mut self, phrase: &Heard, words: &[Word], sides: &Sides) {
        let lexicon = self.lexicon;
        let text = self.text;
        let mut places: Vec<usize> = phrase.words.clone();
        places.sort_unstable();
        let (first, last) = (places[0], places[places.len() - 1]);
        let contiguous = last - first + 1 == places.len();
        let spread: Vec<&str> = places
            .iter()
            .map(|at| &text[words[*at].range.clone()])
            .collect();
        let close = words[last].range.end - words[first].range.start < 80;
        let whole = words[first].range.start..words[last].range.end;
        let clear = !self.taken[whole.clone()].iter().any(|taken| *taken);
        let said = if contiguous && close && clear {
            text[whole].to_string()
        } else {
            spread.join(" ")
        };
        for at in places.iter().filter(|at| words[**at].mended) {
            let meant = format!("is taken as \"{}\"", lexicon.spelling(words[*at].stem));
            self.remark(
                RemarkKind::Assumed,
                &text[words[*at].range.clone()],
                meant,
                "mend the spelling if that is wrong",
            );
        }
        let side = sides.at(words[phrase.words[0]].range.start);
        let entry = lexicon.entry(phrase.entry);
        let denied = phrase.denied || self.scope == Scope::Absent;
        if let Some(meaning) = entry.plain.filter(|meaning| self.scope.plain(*meaning)) {
            self.plain(meaning, &said, side, denied, phrase.doubted);
        }
        let motif = self.scope.motifs() && !entry.motifs.is_empty();
        let opinion = self.scope.opinions() && !entry.opinions.is_empty();
        let surely_motif = motif && (side != Side::Unknown || denied);
        let both = motif && opinion && !surely_motif;
        if motif {
            self.sighting(entry, &said, side, !denied, !phrase.doubted && !both);
        }
        if opinion && !surely_motif {
            self.opinion(entry, &said, denied);
        }
        if both {
            self.remark(
                RemarkKind::Assumed,
                &said,
                "may be the name of the coin or what is seen on it; both are weighed lightly",
                "say on which side it is seen, if it is",
            );
        }
    }

    fn sighting(&mut self, entry: &Entry, said: &str, side: Side, present: bool, sure: bool) {
        let (motif, others) = settle(self.lexicon, &entry.motifs);
        if !others.is_empty() {
            self.remark(
                RemarkKind::Assumed,
                said,
                format!(
                    "is taken as {motif}; it can also mean {}",
                    others.join(", ")
                ),
                "say more of what is seen",
            );
        }
        let sighting = Sighting {
            motif,
            said: said.to_string(),
            side,
            present,
            sure,
        };
        add_sighting(&mut self.find, sighting, &mut self.remarks);
    }

    fn opinion(&mut self, entry: &Entry, said: &str, denied: bool) {
        if denied {
            self.remark(
                RemarkKind::Ignored,
                said,
                "is ruled out, which is not weighed",
                "say what it may be",
            );
            return;
        }
        let levels = [
            OpinionLevel::Period,
            OpinionLevel::Ruler,
            OpinionLevel::Denomination,
            OpinionLevel::Mint,
        ];
        for level in levels {
            let ids: Vec<String> = entry
                .opinions
                .iter()
                .filter(|(other, _)| *other == level)
                .map(|(_, at)| self.lexicon.id(*at).to_string())
                .collect();
            if !ids.is_empty() {
                let more = Find {
                    opinions: vec![Opinion {
                        level,
                        ids,
                        said: said.to_string(),
                    }],
                    ..Find::default()
                };
                self.add(more, Vec::new());
            }
        }
    }

    fn plain(&mut self, meaning: Plain, said: &str, side: Side, denied: bool, doubted: bool) {
        let mut more = Find::default();
        match meaning {
            Plain::Treatment(Treatment::Mounted) if side != Side::Unknown => {
                let mend = "write \"mounted\" before the sides if it was made into jewellery";
                return self.remark(
                    RemarkKind::Ignored,
                    said,
                    "is taken as part of the design, not as a mount",
                    mend,
                );
            }
            Plain::Treatment(treatment) => {
                add_treatment(&mut self.find, treatment, !denied, &mut self.remarks);
            }
            Plain::Size => {
                let mend = "measure it: diameter in mm, weight in g";
                return self.remark(RemarkKind::Ignored, said, "is no measure", mend);
            }
            Plain::Unread => {
                let mend = "give the letters that can be read, after \"reads\"";
                return self.remark(
                    RemarkKind::Ignored,
                    said,
                    "gives no letters, so it carries no evidence",
                    mend,
                );
            }
            _ if denied => {
                return self.remark(
                    RemarkKind::Ignored,
                    said,
                    "is ruled out, which is not weighed",
                    "say what it is",
                );
            }
            Plain::Metal(metal) => return self.metal(metal, !doubted),
            Plain::Hue(metal) => {
                self.hue.get_or_insert((metal, said.to_string()));
                return;
            }
            Plain::Wear(wear) => more.wear = Some(wear),
            Plain::Corrosion(corrosion) => more.corrosion = Some(corrosion),
            Plain::Left(left) => more.completeness = Some(left),
            Plain::Making(making) => more.making = Some(making),
            Plain::No | Plain::Perhaps | Plain::Or => return,
        }
        if doubted {
            self.remark(
                RemarkKind::Assumed,
                said,
                "is in doubt, but is taken as it stands",
                "",
            );
        }
        self.add(more, Vec::new());
    }

    /// A plated piece shows two metals, so "plated" goes before the metal named beside it.
    fn metal(&mut self, metal: MetalSeen, sure: bool) {
        match &mut self.find.metal {
            Some((held, held_sure)) if *held == MetalSeen::Plated => {
                *held_sure |= sure && metal == *held
            }
            Some(held) if metal == MetalSeen::Plated => *held = (metal, sure),
            Some((held, held_sure)) if *held == metal => *held_sure |= sure,
            _ => self.add(
                Find {
                    metal: Some((metal, sure)),
                    ..Find::default()
                },
                Vec::new(),
            ),
        }
    }

    /// Keeps the words of a part that were not understood.
    fn leave(&mut self, left: &[usize], words: &[Word]) {
        if left.is_empty() {
            return;
        }
        let typed: Vec<&str> = left
            .iter()
            .map(|at| &self.text[words[*at].range.clone()])
            .collect();
        let mut meant = Vec::new();
        for word in &typed {
            if self.asked_near < MOST_SLIPS {
                self.asked_near += 1;
                meant.extend(
                    self.lexicon
                        .near(word)
                        .filter(|near| near != word)
                        .map(str::to_string),
                );
            }
        }
        let full = self.left.len()
            >= if self.scope == Scope::All {
                MOST_LEFT
            } else {
                1
            };
        match self.left.last_mut() {
            Some((said, _)) if full => {
                said.push(' ');
                said.push_str(&typed.join(" "));
            }
            _ => self.left.push((typed.join(" "), meant)),
        }
    }

    fn finish(mut self) -> (Find, Vec<Remark>) {
        if let Some((metal, said)) = self.hue.take() {
            let what = if self.find.metal.is_none() {
                self.find.metal = Some((metal, false));
                format!("is taken as a sign of {}", metal.name())
            } else {
                "is left out, since the metal is named".to_string()
            };
            self.remark(
                RemarkKind::Assumed,
                &said,
                what,
                "name the metal as it looks",
            );
        }
        for (said, meant) in std::mem::take(&mut self.left) {
            let mend = if meant.is_empty() {
                "use words of the guide; write letters on the piece after \"reads\"".to_string()
            } else {
                format!("did you mean \"{}\"?", meant.join("\", \""))
            };
            self.remark(RemarkKind::NotUnderstood, &said, "is not understood", mend);
        }
        (self.find, self.remarks)
    }
}

/// The motif meant by a phrase: their nearest common parent, or the first by id with the others named.
fn settle(lexicon: &Lexicon, motifs: &[u32]) -> (String, Vec<String>) {
    let id = |at: &u32| lexicon.motif(*at).id.clone();
    if let [only] = motifs {
        return (id(only), Vec::new());
    }
    let covers = |at: u32, motif: u32| {
        at == motif || lexicon.motif(motif).ancestors.contains(&(at as usize))
    };
    let mut candidates: Vec<u32> = motifs
        .iter()
        .flat_map(|m| lexicon.motif(*m).ancestors.iter().map(|a| *a as u32))
        .collect();
    candidates.extend(motifs);
    let common = candidates
        .into_iter()
        .filter(|at| motifs.iter().all(|motif| covers(*at, *motif)));
    let depth = |at: &u32| lexicon.motif(*at).ancestors.len();
    if let Some(deepest) =
        common.max_by(|one, other| depth(one).cmp(&depth(other)).then(id(other).cmp(&id(one))))
    {
        return (id(&deepest), Vec::new());
    }
    let mut ids: Vec<String> = motifs.iter().map(id).collect();
    ids.sort();
    let first = ids.remove(0);
    (first, ids)
}

/// A die axis, or the remark that there is no such hour.
pub(super) fn axis_of(hour: f64, said: &str) -> (Option<DieAxis>, Vec<Remark>) {
    let whole = (hour.fract() == 0.0 && (0.0..=255.0).contains(&hour)).then_some(hour as u8);
    match whole.map(DieAxis::new) {
        Some(Ok(axis)) => (Some(axis), Vec::new()),
        _ => {
            let what = "is not possible: a die axis is a clock hour from 1 to 12";
            (
                None,
                vec![Remark::new(
                    RemarkKind::Impossible,
                    Field::DieAxis.name(),
                    said,
                    what,
                    "write it as 6",
                )],
            )
        }
    }
}

fn year_remark(said: &str, field: &str) -> Remark {
    let what = "is taken as a date that stands on the piece";
    Remark::new(
        RemarkKind::Assumed,
        field,
        said,
        what,
        "write \"dated\" before it, or leave it out",
    )
}

/// A legend; a year that stands in it alone is a date on the piece and no letters.
pub(super) fn legend_and_date(
    text: &str,
    side: Side,
    field: &str,
    backwards: bool,
) -> (Find, Vec<Remark>) {
    let is_year = |word: &&str| {
        word.len() == 4
            && word
                .parse()
                .is_ok_and(|year: i32| DATED_COINS.contains(&year))
    };
    let mut find = Find::default();
    let mut remarks = Vec::new();
    let mut letters = text.to_string();
    if let Some(year) = text.split_whitespace().find(is_year) {
        find.date_on_piece = year.parse().ok();
        remarks.push(year_remark(year, field));
        letters = text
            .split_whitespace()
            .filter(|word| *word != year)
            .collect::<Vec<_>>()
            .join(" ");
    }
    let (reading, told) = legend::read(&letters, side, field, backwards);
    find.readings.extend(reading);
    remarks.extend(told);
    (find, remarks)
}

//! What phrases mean, put into the find.
//!
//! Settles words of several meanings, weighs a "no" and a "perhaps", and keeps
//! the words that were not understood. It cuts no text: `words` does.
//!
//! Invariant: a phrase that changes nothing in the find leaves a remark.

use std::ops::Range;

use super::lexicon::Lexicon;
use super::meaning::{Entry, Plain, Scope};
use super::merge::{add_sighting, add_treatment, merge};
use super::remark::{Remark, RemarkKind};
use super::scan::{Heard, MOST_SLIPS, Word};
use super::sides::Sides;
use crate::find::{Find, MetalSeen, Opinion, OpinionLevel, SeenWord, Side, Sighting, Treatment};

/// Name under which remarks on free words stand.
pub(super) const WORDS: &str = "words";

/// Most remarks on words not understood; further words join the last of them.
const MOST_LEFT: usize = 40;

/// One text being understood.
pub(super) struct Hearing<'a> {
    pub text: &'a str,
    pub lexicon: &'a Lexicon,
    pub field: &'static str,
    pub scope: Scope,
    pub side: Side,
    pub taken: Vec<bool>,
    pub shouting: bool,
    pub find: Find,
    pub remarks: Vec<Remark>,
    hue: Option<(MetalSeen, String)>,
    /// Words not understood, a part at a time.
    left: Vec<Left>,
    pub slips: usize,
    asked_near: usize,
}

/// Words of a part that were not understood.
struct Left {
    said: String,
    /// What they may have been meant for.
    meant: Vec<String>,
    /// True when one of them is weighed as a word in which a face was described.
    weighed: bool,
}

impl<'a> Hearing<'a> {
    pub fn new(
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

    /// Marks a stretch as used.
    pub fn take(&mut self, range: Range<usize>) {
        self.taken[range].fill(true);
    }

    /// Adds a remark under the name of the field.
    pub fn remark(
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
    pub fn add(&mut self, more: Find, remarks: Vec<Remark>) {
        let (find, clashes) = merge(std::mem::take(&mut self.find), more);
        self.find = find;
        self.remarks.extend(remarks);
        self.remarks.extend(clashes);
    }

    /// The finder's words for a phrase: as they stand when they stand together.
    fn said_for(&self, places: &[usize], words: &[Word]) -> String {
        let (first, last) = (places[0], places[places.len() - 1]);
        let whole = words[first].range.start..words[last].range.end;
        let together = last - first + 1 == places.len() && whole.len() < 80;
        if together && !self.taken[whole.clone()].iter().any(|taken| *taken) {
            return self.text[whole].to_string();
        }
        let spread: Vec<&str> = places
            .iter()
            .map(|at| &self.text[words[*at].range.clone()])
            .collect();
        spread.join(" ")
    }

    /// Puts what a phrase means into the find.
    pub fn phrase(&mut self, phrase: &Heard, words: &[Word], sides: &Sides) {
        let lexicon = self.lexicon;
        let text = self.text;
        let mut places: Vec<usize> = phrase.words.clone();
        places.sort_unstable();
        let said = self.said_for(&places, words);
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
        let motif = self.scope.motifs() && !entry.motifs.is_empty();
        // "Pierced" is first what was done to the piece; "no legend" is first what is seen.
        let vague = |meaning: &Plain| matches!(meaning, Plain::Size | Plain::Unread | Plain::Where);
        let plain = entry
            .plain
            .filter(|meaning| self.scope.plain(*meaning) && !(motif && vague(meaning)));
        let motif = motif && plain.is_none();
        if let Some(meaning) = plain {
            self.plain(meaning, &said, side, denied, phrase.doubted);
        }
        let opinion = self.scope.opinions() && !entry.opinions.is_empty();
        let surely_motif = motif && (side != Side::Unknown || denied);
        let both = motif && opinion && !surely_motif;
        if motif {
            self.sighting(entry, &said, side, !denied, !phrase.doubted && !both);
        }
        if opinion && !surely_motif {
            let before = &text[..words[places[0]].range.start];
            if entry.names() && findspot(before) {
                let what = "is taken as where it was found, not where it was struck";
                self.remark(
                    RemarkKind::Ignored,
                    &said,
                    what,
                    "write \"mint\" after it if it was struck there",
                );
            } else {
                self.opinion(entry, &said, denied);
            }
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

    /// Keeps the words in which a part says what is seen: all of the field of a face; of free words,
    /// those of a part that is said of a face or in which a figure was heard. Words that say something
    /// else, or what is not there, are left out.
    pub fn seen_words(&mut self, heard: &[Heard], words: &[Word], sides: &Sides) {
        if !self.scope.motifs() || self.scope == Scope::Absent {
            return;
        }
        let shows = |phrase: &&Heard| !self.lexicon.entry(phrase.entry).motifs.is_empty();
        let figure = heard.iter().any(|phrase| shows(&phrase) && !phrase.denied);
        let mut other = vec![false; words.len()];
        for phrase in heard
            .iter()
            .filter(|phrase| phrase.denied || !shows(phrase))
        {
            phrase.words.iter().for_each(|at| other[*at] = true);
        }
        let free = self.scope == Scope::All;
        for (word, _) in words.iter().zip(other).filter(|(_, other)| !other) {
            let side = sides.at(word.range.start);
            if free && side == Side::Unknown && !figure {
                continue;
            }
            let shape = self.shape(word);
            if self.lexicon.tells(&shape) {
                self.find.add_seen_word(SeenWord { side, word: shape });
            }
        }
    }

    /// The shape in which a word is compared.
    fn shape(&self, word: &Word) -> String {
        let typed = &self.text[word.range.clone()];
        self.lexicon.shape(typed, word.known())
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
            Plain::Where => return,
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
    pub fn leave(&mut self, left: &[usize], words: &[Word]) {
        if left.is_empty() {
            return;
        }
        let typed: Vec<&str> = left
            .iter()
            .map(|at| &self.text[words[*at].range.clone()])
            .collect();
        let mut meant = Vec::new();
        for word in &typed {
            if self.asked_near < MOST_SLIPS && !self.lexicon.knows(word) {
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
        meant.dedup();
        let said = typed.join(" ");
        let weighed = left.iter().any(|at| {
            let shape = self.shape(&words[*at]);
            self.find.seen_words.iter().any(|one| one.word == shape)
        });
        match self.left.last_mut() {
            Some(last) if full => {
                last.said.push(' ');
                last.said.push_str(&said);
                last.weighed |= weighed;
            }
            _ => self.left.push(Left {
                said,
                meant,
                weighed,
            }),
        }
    }

    /// The find and all remarks, when every part has been heard.
    pub fn finish(mut self) -> (Find, Vec<Remark>) {
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
        for Left {
            said,
            meant,
            weighed,
        } in std::mem::take(&mut self.left)
        {
            let mend = if meant.is_empty() && self.scope == Scope::All {
                "use words of the guide; write letters on the piece after \"reads\"".to_string()
            } else if meant.is_empty() {
                "use words of the guide, and give each trait in its own field".to_string()
            } else {
                format!("did you mean \"{}\"?", meant.join("\", \""))
            };
            let (kind, what) = match weighed {
                true => (
                    RemarkKind::WordsAlone,
                    "names no figure; weighed by its words alone",
                ),
                false => (RemarkKind::NotUnderstood, "is not understood"),
            };
            self.remark(kind, &said, what, mend);
        }
        (self.find, self.remarks)
    }
}

/// True when the words before a name say that it is a place of finding.
fn findspot(before: &str) -> bool {
    let mut last = before.split_whitespace().rev();
    let (one, two) = (
        last.next().unwrap_or_default(),
        last.next().unwrap_or_default(),
    );
    matches!(one, "near" | "outside")
        || (matches!(one, "in" | "at") && matches!(two, "found" | "field" | "dug"))
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

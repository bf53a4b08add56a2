//! What of a draft is passed on: names of people left out, the findspot made coarser.
//!
//! Looks into free texts as well, since a name or a reference is often said there again. Never
//! makes a findspot finer, and leaves letters read off the piece alone.
//!
//! Invariant: of a draft that was made coarser, no field, sentence or note holds the finer
//! reference that was given, in any of the ways a reference is written.

use super::draft::{Draft, LEGENDS, PEOPLE, Standing};
use super::told::precision;
use crate::findspot::{Side, Square, read};

/// Who may be named as having decided when people are left out: parts that are played, no names.
const PARTS: [&str; 5] = [
    "finder",
    "officer",
    "recording officer",
    "finds recording officer",
    "not said",
];
/// Fields in which people write freely, and may name somebody.
const FREE: [&str; 26] = [
    "features",
    "container",
    "pieces",
    "lay",
    "number",
    "object_type",
    "obverse_description",
    "reverse_description",
    "description",
    "shape",
    "decoration",
    "attachment",
    "damage",
    "surface",
    "parallels",
    "interpretation",
    "finder_opinion",
    "found_with",
    "group",
    "consent",
    "moneyer",
    "notes",
    "not_used",
    "images",
    "region",
    "method",
];
/// Stands for a name that was left out.
const LEFT_OUT: &str = "[name left out]";
/// Most words that a findspot is written in.
const WORDS_MOST: usize = 4;
/// Fewest figures of a place that is not written with the letters of the find's own square.
const BARE_LEAST: usize = 6;
/// Shortest name that is looked for in free texts.
const NAME_LEAST: usize = 3;

/// What may be passed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sharing {
    /// The finder's and the landowner's names, and who decided.
    pub names: bool,
    /// The finest square that may be named; none where all may.
    pub findspot: Option<Side>,
}

impl Draft {
    /// The draft as it may be passed on.
    pub fn shared(&self, sharing: Sharing) -> Draft {
        let mut draft = self.clone();
        if !sharing.names {
            leave_out_names(&mut draft);
        }
        if let Some(side) = sharing.findspot {
            make_coarser(&mut draft, side);
        }
        draft
    }
}

fn is_part(name: &str) -> bool {
    PARTS.contains(&name.trim().to_lowercase().as_str())
}

fn leave_out_names(draft: &mut Draft) {
    let mut names: Vec<String> = Vec::new();
    for field in &mut draft.fields {
        if PEOPLE.contains(&field.name) && !field.is_blank() && !is_part(&field.value) {
            names.push(std::mem::take(&mut field.value));
            field.standing = Standing::Blank;
        }
        if let Standing::Told(by) = &mut field.standing {
            *by = by.take().filter(|by| is_part(by));
        }
    }
    let mut hidden = names.clone();
    let parts = names.iter().flat_map(|name| name.split_whitespace());
    hidden.extend(parts.map(str::to_string));
    hidden.retain(|name| name.chars().count() >= NAME_LEAST);
    // The longest first, so that no part of a name is left.
    hidden.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let without_all = |text: &str, hidden: &[String]| {
        let each = hidden.iter();
        each.fold(text.to_string(), |text, name| without(&text, name))
    };
    for field in &mut draft.fields {
        if FREE.contains(&field.name) {
            field.value = without_all(&field.value, &hidden);
        }
    }
    // The description names rulers too, so it is searched for whole names alone.
    names.retain(|name| name.contains(' '));
    draft.sentence = without_all(&draft.sentence, &names);
    for note in draft.notes.iter_mut().chain(&mut draft.cautions) {
        *note = without_all(note, &names);
    }
}

/// A text without a name that stands by itself: a name of one word as it is written, since many
/// are words as well ("May"), a longer one whatever its case.
fn without(text: &str, name: &str) -> String {
    let name: Vec<char> = name.trim().chars().collect();
    let all: Vec<char> = text.chars().collect();
    let exactly = !name.contains(&' ');
    let same = |a: &char, b: &char| a == b || (!exactly && a.to_lowercase().eq(b.to_lowercase()));
    let letter = |at: Option<usize>| {
        at.and_then(|at| all.get(at))
            .is_some_and(|c| c.is_alphanumeric())
    };
    let mut kept = String::with_capacity(text.len());
    let mut at = 0;
    while at < all.len() {
        let end = at + name.len();
        let here = all.get(at..end);
        let here = here.is_some_and(|here| here.iter().zip(&name).all(|(a, b)| same(a, b)));
        if here && !letter(at.checked_sub(1)) && !letter(Some(end)) {
            kept.push_str(LEFT_OUT);
            at = end;
        } else {
            kept.push(all[at]);
            at += 1;
        }
    }
    kept
}

fn make_coarser(draft: &mut Draft, side: Side) {
    let finer = draft.findspot.map(|spot| spot.square);
    each_text(draft, |text| without_finer(text, side, finer));
    let Some(spot) = draft.findspot.map(|spot| spot.redacted(side)) else {
        return;
    };
    draft.findspot = Some(spot);
    let (was, now) = (
        draft.value("findspot_precision").to_string(),
        precision(spot),
    );
    for field in &mut draft.fields {
        match field.name {
            "findspot" => field.value = spot.square.to_string(),
            "findspot_precision" => field.value.clone_from(&now),
            _ => {}
        }
    }
    if !was.is_empty() {
        draft.sentence = draft.sentence.replace(&was, &now);
    }
}

/// Changes every free text; letters of the piece stay as they were read.
fn each_text(draft: &mut Draft, change: impl Fn(&str) -> String) {
    for field in &mut draft.fields {
        if !LEGENDS.contains(&field.name) && field.quantity.is_none() {
            field.value = change(&field.value);
        }
    }
    draft.sentence = change(&draft.sentence);
    let lists = draft.notes.iter_mut().chain(&mut draft.cautions);
    let lists = lists.chain(draft.missing.iter_mut().map(|one| &mut one.text));
    for text in lists {
        *text = change(text);
    }
}

/// A text in which what reads as a finer findspot is made coarser.
fn without_finer(text: &str, side: Side, own: Option<Square>) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut kept: Vec<String> = Vec::new();
    let mut at = 0;
    'words: while at < words.len() {
        for count in (1..=WORDS_MOST.min(words.len() - at)).rev() {
            let run = words[at..at + count].join(" ");
            let bare = run.trim_matches(|c: char| !c.is_alphanumeric() && c != '-');
            let Some(square) = finer(bare, side, own) else {
                continue;
            };
            let coarser = square.redacted(side).to_string();
            kept.push(run.replacen(bare, &coarser, 1));
            at += count;
            continue 'words;
        }
        kept.push(words[at].to_string());
        at += 1;
    }
    kept.join(" ")
}

/// The square that a few words name, where it is finer than may be told.
fn finer(words: &str, side: Side, own: Option<Square>) -> Option<Square> {
    let digits = words.chars().filter(char::is_ascii_digit).count();
    let lettered = words.starts_with(|c: char| c.is_ascii_alphabetic());
    // Bare numbers are measures and years unless they are so long.
    let least = if lettered {
        side.figures() + 2
    } else {
        BARE_LEAST
    };
    if digits < least || words.chars().any(|c| c.is_alphabetic() && !c.is_ascii()) {
        return None;
    }
    let square = read(words).ok()?.square;
    // "no 1022" is a number before it is a place, unless the find lay there.
    let near = own.map_or(digits >= BARE_LEAST, |own| {
        own.letters() == square.letters()
    });
    let plain = words.starts_with(|c: char| c.is_ascii_uppercase()) && digits >= BARE_LEAST;
    (square.side() < side && (near || plain)).then_some(square)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reference_in_a_free_text_is_cut_as_well() {
        let own = read("TG 51409 13177").ok().map(|spot| spot.square);
        let cut = |text| without_finer(text, Side::Kilometre, own);
        assert_eq!(
            cut("by the gate (TG 51409 13177), deep"),
            "by the gate (TG 51 13), deep"
        );
        assert_eq!(cut("at TG5140913177."), "at TG 51 13.");
        assert_eq!(cut("at tg 514 131 it lay"), "at TG 51 13 it lay");
        assert_eq!(cut("651409 313177"), "TG 51 13");
        assert_eq!(cut("52.65798, 1.71605"), "TG 51 13");
        let coarse = |text| without_finer(text, Side::TenKilometres, own);
        assert_eq!(coarse("TG 51 13, North no 1022"), "TG 5 1, North no 1022");
        for kept in [
            "TG 51 13",
            "found on 2026-03-01 in 2 pieces",
            "1.21 g and 18.2 mm",
            "W-A 3",
        ] {
            assert_eq!(cut(kept), kept);
        }
    }

    #[test]
    fn a_name_is_left_out_whatever_its_case() {
        assert_eq!(
            without("by ANNE EXAMPLE and him", "Anne Example"),
            "by [name left out] and him"
        );
        assert_eq!(without("it may be old", "May"), "it may be old");
        assert_eq!(
            without("May, and Mayfield", "May"),
            "[name left out], and Mayfield"
        );
    }
}

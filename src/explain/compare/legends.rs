//! Where two legends part: the first letter by which one is told from another.
//!
//! Letters are compared as they were struck (a U is a V); stops, blanks and the initial cross are
//! passed over, since wear takes them first.
//!
//! Invariant: a legend that another type bears too has no place where it parts from it.

use super::Entry;
use crate::find::fold_to;

/// Marks in each legend that some type lacks the place where it parts from the nearest of theirs;
/// of several such types, from the one that goes along with it longest.
pub(super) fn part(cells: &mut [Option<Vec<Entry>>]) {
    let letters: Vec<Option<Vec<Vec<char>>>> = cells
        .iter()
        .map(|cell| {
            let cell = cell.as_ref()?;
            Some(cell.iter().map(|entry| struck(&entry.text)).collect())
        })
        .collect();
    for (own, cell) in cells.iter_mut().enumerate() {
        for entry in cell.iter_mut().flatten() {
            // A face without letters has nothing to part from.
            let lacking = letters.iter().enumerate().filter(|(other, legends)| {
                *other != own
                    && !entry.with.contains(other)
                    && legends
                        .as_ref()
                        .is_some_and(|l| l.iter().any(|l| !l.is_empty()))
            });
            let ours = struck(&entry.text);
            let along = lacking
                .flat_map(|(_, legends)| legends.iter().flatten())
                .map(|theirs| together(&ours, theirs))
                .max();
            entry.parts_at = along
                .filter(|_| !ours.is_empty())
                .map(|along| place(&entry.text, along));
        }
    }
}

/// Stands for letters that change from coin to coin.
const FREE: char = '{';

/// The letters of a legend, in order, folded as they were struck.
fn struck(text: &str) -> Vec<char> {
    let mut letters = Vec::new();
    each_letter(text, |_, letter| letters.push(letter));
    letters
}

/// Hands over each letter of a legend with the number of characters before it; `{mint}` is one.
fn each_letter(text: &str, mut take: impl FnMut(usize, char)) {
    let mut within = false;
    for (at, character) in text.chars().enumerate() {
        match character {
            '{' => {
                within = true;
                take(at, FREE);
            }
            '}' => within = false,
            _ if within => {}
            other => fold_to(other, |letter| take(at, letter)),
        }
    }
}

/// How many letters two legends share from their start.
fn together(a: &[char], b: &[char]) -> usize {
    a.iter().zip(b).take_while(|(x, y)| x == y).count()
}

/// The number of characters that stand before the letter that comes after so many.
fn place(text: &str, letters: usize) -> usize {
    let mut places = Vec::new();
    each_letter(text, |at, _| places.push(at));
    places
        .get(letters)
        .copied()
        .unwrap_or_else(|| text.trim_end().chars().count())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parted(cells: &[&[&str]]) -> Vec<Vec<String>> {
        let entries = |cell: &&[&str]| Some(cell.iter().map(|t| Entry::new(*t)).collect());
        let mut cells: Vec<Option<Vec<Entry>>> = cells.iter().map(entries).collect();
        super::super::share(&mut cells);
        part(&mut cells);
        let shown = |entry: &Entry| match entry.parts_at {
            Some(at) => {
                let (before, after) = entry.text.split_at(
                    entry
                        .text
                        .char_indices()
                        .nth(at)
                        .map_or(entry.text.len(), |(at, _)| at),
                );
                format!("{before}|{after}")
            }
            None => entry.text.clone(),
        };
        let cell = |cell: &Option<Vec<Entry>>| cell.iter().flatten().map(shown).collect();
        cells.iter().map(cell).collect()
    }

    #[test]
    fn legends_part_at_the_first_letter_that_differs() {
        assert_eq!(
            parted(&[&["+ EDW R ANGL DNS HYB"], &["EDWA R ANGL DNS HYB"]]),
            [["+ EDW |R ANGL DNS HYB"], ["EDW|A R ANGL DNS HYB"]]
        );
        // One that goes on after the other ends parts where the other ends.
        assert_eq!(
            parted(&[&["CIVITAS {mint}"], &["CIVITAS {mint} ON"]]),
            [["CIVITAS {mint}|"], ["CIVITAS {mint} |ON"]]
        );
        // U and V, W and VV are the same as struck; a legend that both bear parts nowhere.
        assert_eq!(
            parted(&[&["WILLELMUS", "REX"], &["VVILLELMVX", "REX"]]),
            [["WILLELMU|S", "REX"], ["VVILLELMV|X", "REX"]]
        );
    }

    #[test]
    fn of_three_it_parts_from_the_one_that_goes_along_longest() {
        assert_eq!(
            parted(&[&["HENRICVS REX"], &["HENRICVS III"], &["EDW R"]]),
            [["HENRICVS |REX"], ["HENRICVS |III"], ["|EDW R"]]
        );
        // Nothing to part from where the others bear the same, or no letters at all.
        assert_eq!(
            parted(&[&["REX"], &["REX"], &[]]),
            [vec!["REX"], vec!["REX"], vec![]]
        );
    }
}

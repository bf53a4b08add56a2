//! Names of an identified find to what they mean in the library.
//!
//! A name may mean several things ("Early modern", "Valentinian I or Valens"); each
//! is then right. A name that means nothing in the library is listed, never dropped.

use std::collections::{BTreeSet, HashMap};

use crate::catalogue::Catalogue;

/// Positions a name may mean.
pub(super) type Meant = BTreeSet<usize>;

/// The library's names by level.
pub(super) struct Names {
    periods: HashMap<String, Meant>,
    rulers: HashMap<String, Meant>,
    denominations: HashMap<String, Meant>,
    types: HashMap<String, Meant>,
}

/// Lower case, letters and digits only, single spaces.
fn plain(name: &str) -> String {
    let spaced: String = name
        .chars()
        .map(|c| {
            if c.is_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                ' '
            }
        })
        .collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn enter<'n>(
    names: &mut HashMap<String, Meant>,
    position: usize,
    words: impl Iterator<Item = &'n String>,
) {
    for word in words {
        names.entry(plain(word)).or_default().insert(position);
    }
}

impl Names {
    /// The names of a library.
    pub(super) fn of(library: &Catalogue) -> Names {
        let mut names = Names {
            periods: HashMap::new(),
            rulers: HashMap::new(),
            denominations: HashMap::new(),
            types: HashMap::new(),
        };
        for (position, period) in library.periods.iter().enumerate() {
            enter(
                &mut names.periods,
                position,
                [&period.id, &period.name].into_iter().chain(&period.words),
            );
        }
        for (position, ruler) in library.rulers.iter().enumerate() {
            enter(
                &mut names.rulers,
                position,
                [&ruler.id, &ruler.name].into_iter().chain(&ruler.words),
            );
        }
        for (position, denomination) in library.denominations.iter().enumerate() {
            let words = [&denomination.id, &denomination.name]
                .into_iter()
                .chain(&denomination.words);
            enter(&mut names.denominations, position, words);
        }
        for (position, coin) in library.listed().iter().enumerate() {
            enter(
                &mut names.types,
                position,
                [&coin.id].into_iter().chain(&coin.refs),
            );
        }
        names
    }

    /// Periods a name may mean; empty when it means none.
    pub(super) fn period(&self, name: &str) -> Meant {
        among(&self.periods, name)
    }

    /// Rulers a name may mean.
    pub(super) fn ruler(&self, name: &str) -> Meant {
        among(&self.rulers, name)
    }

    /// Denominations a name may mean.
    pub(super) fn denomination(&self, name: &str) -> Meant {
        among(&self.denominations, name)
    }

    /// Types a reference may mean.
    pub(super) fn coin_type(&self, name: &str) -> Meant {
        among(&self.types, name)
    }
}

/// The name as it stands; else its alternatives ("a or b", "a / b"); else "X I-III" as its members.
fn among(names: &HashMap<String, Meant>, name: &str) -> Meant {
    if let Some(meant) = names.get(&plain(name)) {
        return meant.clone();
    }
    let separated = name.replace(" or ", "\n").replace(['/', ';', ','], "\n");
    let mut meant = Meant::new();
    if separated.contains('\n') {
        for part in separated.lines() {
            meant.extend(names.get(&plain(part)).into_iter().flatten());
        }
    } else if let Some(numbered) = several(name) {
        for one in numbered {
            meant.extend(names.get(&plain(&one)).into_iter().flatten());
        }
    }
    meant
}

/// "Edward I-III" as Edward I, Edward II and Edward III.
fn several(name: &str) -> Option<Vec<String>> {
    const NUMERALS: [&str; 8] = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII"];
    let (stem, numbers) = name.trim().rsplit_once(' ')?;
    let (first, last) = numbers.split_once('-')?;
    let place = |numeral: &str| NUMERALS.iter().position(|known| *known == numeral);
    let (first, last) = (place(first)?, place(last)?);
    (first < last).then(|| {
        NUMERALS[first..=last]
            .iter()
            .map(|numeral| format!("{stem} {numeral}"))
            .collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_may_mean_several_things() {
        let mut names = HashMap::new();
        for (position, name) in ["Edward I", "Edward II", "Edward III", "Valens"]
            .iter()
            .enumerate()
        {
            enter(&mut names, position, std::iter::once(&name.to_string()));
        }
        assert_eq!(among(&names, "edward i"), Meant::from([0]));
        assert_eq!(among(&names, "Edward I-III"), Meant::from([0, 1, 2]));
        assert_eq!(among(&names, "Edward III or Valens"), Meant::from([2, 3]));
        assert_eq!(among(&names, "Offa"), Meant::new());
    }
}

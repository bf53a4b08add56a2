//! Which pieces stand out from the rest, each with its reason in a sentence.
//!
//! A piece is out of time when its nearest year lies farther from the middle of the others than a
//! further one would by chance (Student's law for one more value, the spread taken on its own side,
//! since coin in use for long trails off early) in fewer than [`LEVEL`] of the cases. Others stand
//! out by what they are. Nothing is left out of the figures for standing out.
//!
//! Invariant: how many would stand out in time by chance alone is said beside those that do.

use super::closing::Dates;
use super::composition::level;
use super::group::{Group, Kind, Piece, Share};
use super::state::{altered, worn};
use super::student::tails;
use crate::explain::chance_in_figures;
use crate::find::{Span, ordinal, year_at};

/// Below this chance a piece counts as out of time.
pub const LEVEL: f64 = 0.01;
/// Least spread of the others, years; a judgement of this program.
const SPREAD_LEAST: f64 = 5.0;
/// Fewest others that a piece is held against.
pub(super) const OTHERS_LEAST: f64 = 4.0;
/// Most pieces that a row of alike ones counts for here.
const WEIGHT_A_ROW: f64 = 5.0;
/// What a name must have of the group to be its main one, and what another has at most to be odd.
const MAIN: f64 = 0.8;
const ODD: f64 = 0.1;
/// Chance from which something is taken as so.
const LIKELY: f64 = 0.8;
/// Pieces told of at most, which bounds the answer; the first are the least expected.
const MOST: usize = 50;

/// Why a piece stands out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Why {
    /// Later than the others.
    Late,
    /// Earlier than the others.
    Early,
    /// Of another realm.
    Realm,
    /// Of another denomination.
    Denomination,
    /// Of another metal.
    Metal,
    /// Irregular, plated or false among official ones.
    Irregular,
    /// No coin among coins.
    Object,
    /// What held them.
    Container,
    /// A fragment.
    Fragment,
    /// Worn more than its date lets one expect.
    WornLate,
    /// Worn less than its age lets one expect.
    FreshEarly,
    /// Pierced, mounted, gilded, bent or countermarked.
    Altered,
    /// Cut into a half or a quarter.
    Cut,
    /// Probably not in the library.
    Unlisted,
}

impl Why {
    /// The word for programs.
    pub fn word(self) -> &'static str {
        match self {
            Why::Late => "late",
            Why::Early => "early",
            Why::Realm => "realm",
            Why::Denomination => "denomination",
            Why::Metal => "metal",
            Why::Irregular => "irregular",
            Why::Object => "object",
            Why::Container => "container",
            Why::Fragment => "fragment",
            Why::WornLate => "worn-late",
            Why::FreshEarly => "fresh-early",
            Why::Altered => "altered",
            Why::Cut => "cut",
            Why::Unlisted => "unlisted",
        }
    }
}

/// A piece that stands out.
#[derive(Clone, Debug, PartialEq)]
pub struct Unusual {
    /// Position of its row.
    pub piece: usize,
    /// Why.
    pub why: Why,
    /// The chance of one as far out, where that was worked out.
    pub chance: Option<f64>,
    /// The reason, in a sentence without a full stop.
    pub text: String,
}

/// What stands out, and how many rows were held against the others in time.
pub(super) fn unusual(group: &Group, read: &[Dates]) -> (Vec<Unusual>, usize) {
    let mut out = Vec::new();
    let tested = in_time(group, read, &mut out);
    by_name(group, Why::Realm, "realm", |piece| &piece.realms, &mut out);
    by_name(
        group,
        Why::Denomination,
        "denomination",
        |piece| &piece.denominations,
        &mut out,
    );
    by_name(group, Why::Metal, "metal", |piece| &piece.metals, &mut out);
    irregular(group, &mut out);
    kinds(group, &mut out);
    worn(group, read, &mut out);
    altered(group, &mut out);
    for (place, piece) in group.pieces.iter().enumerate() {
        if piece.unlisted > 0.5 && piece.is_money() {
            let share = chance_in_figures(piece.unlisted);
            let text = format!(
                "{}: probably not in the library ({share}): a rare piece, a foreign one, or not as described; show it to somebody",
                piece.name
            );
            out.push(one(place, Why::Unlisted, None, text));
        }
    }
    out.sort_by(|a, b| {
        let chance = |one: &Unusual| one.chance.unwrap_or(1.0);
        chance(a)
            .total_cmp(&chance(b))
            .then((a.why, a.piece).cmp(&(b.why, b.piece)))
    });
    out.truncate(MOST);
    (out, tested)
}

pub(super) fn one(piece: usize, why: Why, chance: Option<f64>, text: String) -> Unusual {
    Unusual {
        piece,
        why,
        chance,
        text,
    }
}

/// Middle year of a row's dates, as a position; none where it has none.
pub(super) fn middle(dates: &Dates) -> Option<f64> {
    let whole: f64 = dates.iter().map(|(_, p)| p).sum();
    let sum = dates.iter().map(|(span, p)| p * centre(*span)).sum::<f64>();
    (whole > 0.0).then(|| sum / whole)
}

fn centre(span: Span) -> f64 {
    f64::from(ordinal(span.from) + ordinal(span.to)) / 2.0
}

/// The others of a row: their middles with their weights, in order of time.
struct Others<'a> {
    middles: &'a [(usize, f64, f64)],
    without: usize,
}

impl Others<'_> {
    fn each(&self) -> impl Iterator<Item = (f64, f64)> {
        let others = self.middles.iter().filter(|(row, ..)| *row != self.without);
        others.map(|(_, at, weight)| (*at, *weight))
    }

    fn weight(&self) -> f64 {
        self.each().map(|(_, weight)| weight).sum()
    }

    fn median(&self) -> f64 {
        let half = self.weight() / 2.0;
        let mut below = 0.0;
        let reached = self.each().find(|(_, weight)| {
            below += weight;
            below >= half
        });
        reached.map_or(0.0, |(at, _)| at)
    }

    /// Spread from the middle on one side of it.
    fn spread(&self, middle: f64, late: bool) -> f64 {
        let side = || {
            self.each()
                .filter(|(at, _)| (*at >= middle) == late || *at == middle)
        };
        let weight: f64 = side().map(|(_, weight)| weight).sum();
        let square: f64 = side().map(|(at, w)| w * (at - middle).powi(2)).sum();
        (square / weight.max(f64::MIN_POSITIVE))
            .sqrt()
            .max(SPREAD_LEAST)
    }
}

fn in_time(group: &Group, read: &[Dates], out: &mut Vec<Unusual>) -> usize {
    let mut middles: Vec<(usize, f64, f64)> = group
        .pieces
        .iter()
        .zip(read)
        .enumerate()
        .filter(|(_, (piece, _))| piece.kind != Kind::Container)
        .filter_map(|(row, (piece, dates))| {
            let weight = piece.number().min(WEIGHT_A_ROW) * piece.dated();
            Some((row, middle(dates)?, weight))
        })
        .collect();
    middles.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    let mut tested = 0;
    for (row, at, _) in &middles {
        let others = Others {
            middles: &middles,
            without: *row,
        };
        let weight = others.weight();
        if weight < OTHERS_LEAST {
            continue;
        }
        tested += 1;
        let main = others.median();
        let late = *at > main;
        let spread = others.spread(main, late) * (1.0 + 1.0 / weight).sqrt();
        let freedom = (weight - 1.0).max(1.0) as u32;
        let chance = of_dates(&read[*row], main, spread, freedom);
        if chance < LEVEL {
            let own = (*row, &group.pieces[*row], &read[*row]);
            out.push(out_of_time(own, late, main, chance));
        }
    }
    tested
}

/// The chance of a row as far out, as far as it is dated; what is more likely of any time than
/// dated is never out.
fn of_dates(dates: &Dates, main: f64, spread: f64, freedom: u32) -> f64 {
    let told: f64 = dates.iter().map(|(_, p)| p).sum();
    if told < 0.5 {
        return 1.0;
    }
    let away = |span: &Span| {
        let (from, to) = (f64::from(ordinal(span.from)), f64::from(ordinal(span.to)));
        (from - main).max(main - to).max(0.0)
    };
    let sum: f64 = dates
        .iter()
        .map(|(span, p)| p * tails(away(span) / spread, freedom))
        .sum();
    (sum / told).min(1.0)
}

fn out_of_time(
    (row, piece, read): (usize, &Piece, &Dates),
    late: bool,
    main: f64,
    chance: f64,
) -> Unusual {
    let likely = read.iter().filter(|(_, chance)| *chance >= 0.05);
    let years = likely.map(|(span, _)| *span).reduce(Span::hull);
    let years = years.map_or(String::new(), Span::text);
    let others = crate::find::era(year_at(main.round() as i32));
    let why = if late { Why::Late } else { Why::Early };
    let reading = match late {
        true => {
            "a stray, a wrong identification, or the very piece that dates the closing: look at it again, and at where it lay"
        }
        false => "old coin still in use, an heirloom, a stray, or a wrong identification",
    };
    let side = if late { "later" } else { "earlier" };
    let text = format!(
        "{}: {years}, {side} than the others, whose middle is about {others} (one as far out by chance: {}): {reading}",
        piece.name,
        small(chance)
    );
    one(row, why, Some(chance), text)
}

fn small(chance: f64) -> String {
    match chance {
        p if p < 0.0001 => "less than 1 in 10,000".to_string(),
        p => format!("1 in {:.0}", 1.0 / p),
    }
}

/// Pieces of another name where nearly all are of one.
fn by_name(
    group: &Group,
    why: Why,
    what: &str,
    of: fn(&Piece) -> &Vec<Share>,
    out: &mut Vec<Unusual>,
) {
    let money = group.pieces.iter().filter(|piece| piece.is_money());
    let money: Vec<Piece> = money.cloned().collect();
    let number: f64 = money.iter().map(Piece::number).sum();
    let parts = level(&money, of);
    let main = parts.parts.first();
    let Some(main) = main.filter(|main| main.expected >= MAIN * number) else {
        return;
    };
    let rare = |name: &str| {
        let of_name = parts.parts.iter().find(|part| part.name == name);
        of_name.is_none_or(|part| part.expected <= ODD * number)
    };
    for (place, piece) in group.pieces.iter().enumerate() {
        let likely = of(piece).iter().find(|share| share.chance >= LIKELY);
        let other = likely.filter(|share| share.name != main.name && rare(&share.name));
        // One reason of this kind is enough: what is of another realm is of other coin too.
        let said =
            |one: &Unusual| one.piece == place && matches!(one.why, Why::Realm | Why::Denomination);
        let Some(other) = other.filter(|_| piece.is_money() && !out.iter().any(said)) else {
            continue;
        };
        if number >= OTHERS_LEAST {
            let (name, other) = (&piece.name, titled(&other.name));
            let main = titled(&main.name);
            let text =
                format!("{name}: of another {what}, {other}, where nearly all are of {main}");
            out.push(one(place, why, None, text));
        }
    }
}

/// An id of a realm as a name: its first letter a capital; a denomination as it is.
fn titled(name: &str) -> String {
    const REALMS: [&str; 8] = [
        "england", "scotland", "ireland", "rome", "france", "wales", "burgundy", "flanders",
    ];
    match (REALMS.contains(&name), name.split_at_checked(1)) {
        (true, Some((first, rest))) => format!("{}{rest}", first.to_uppercase()),
        _ => name.to_string(),
    }
}

fn irregular(group: &Group, out: &mut Vec<Unusual>) {
    let number: f64 = group
        .pieces
        .iter()
        .filter(|p| p.is_money())
        .map(Piece::number)
        .sum();
    let odd = |piece: &&Piece| piece.is_money() && piece.irregular >= 0.5;
    let irregular: f64 = group.pieces.iter().filter(odd).map(Piece::number).sum();
    if irregular > 0.2 * number || number < OTHERS_LEAST {
        return;
    }
    for (place, piece) in group.pieces.iter().enumerate().filter(|(_, p)| odd(p)) {
        let text = format!(
            "{}: irregular, plated or false ({}) among official pieces; its metal decides what the law asks, so leave the test to a museum",
            piece.name,
            chance_in_figures(piece.irregular)
        );
        out.push(one(place, Why::Irregular, None, text));
    }
}

fn kinds(group: &Group, out: &mut Vec<Unusual>) {
    let coins: u64 = group
        .pieces
        .iter()
        .filter(|piece| piece.is_money())
        .map(|piece| u64::from(piece.count))
        .sum();
    for (place, piece) in group.pieces.iter().enumerate() {
        let (why, text) = match piece.kind {
            Kind::Object if coins > 0 => {
                (Why::Object, "no coin among coins: say how it lay to them")
            }
            Kind::Container => (
                Why::Container,
                "held the pieces, or may have: it belongs to the find, with all the soil in it",
            ),
            Kind::Fragment => (
                Why::Fragment,
                "a fragment: the rest of it may lie there still",
            ),
            _ => continue,
        };
        out.push(one(place, why, None, format!("{}: {text}", piece.name)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::{Treatment, Wear};

    fn group(spans: &[(i32, i32)]) -> Group {
        let one = |(place, (from, to)): (usize, &(i32, i32))| {
            let mut piece = Piece::unsaid(format!("piece {place}"));
            piece.dates = vec![(
                Span {
                    from: *from,
                    to: *to,
                },
                1.0,
            )];
            piece
        };
        Group {
            pieces: spans.iter().enumerate().map(one).collect(),
        }
    }

    fn whys(group: &Group) -> Vec<(usize, Why)> {
        let read: Vec<Dates> = group.pieces.iter().map(|p| p.dates.clone()).collect();
        let (out, _) = unusual(group, &read);
        out.iter().map(|one| (one.piece, one.why)).collect()
    }

    #[test]
    fn a_penny_of_victoria_among_radiates_is_late() {
        let group = group(&[
            (260, 268),
            (268, 270),
            (269, 271),
            (271, 274),
            (271, 274),
            (1860, 1895),
        ]);
        assert_eq!(whys(&group), [(5, Why::Late)]);
    }

    /// Denarii of the second century, the old ones trailing off, are all in keeping; one of the
    /// first century BC more is told of as early, as old coin in use may be.
    #[test]
    fn a_long_tail_of_old_coin_is_no_oddity() {
        let mut spans = vec![
            (54, 68),
            (69, 79),
            (69, 79),
            (81, 96),
            (98, 117),
            (98, 117),
            (103, 111),
            (117, 138),
            (117, 138),
            (119, 128),
            (138, 161),
            (138, 161),
            (145, 161),
        ];
        assert_eq!(whys(&group(&spans)), []);
        spans.push((-32, -31));
        assert_eq!(whys(&group(&spans)), [(13, Why::Early)]);
    }

    #[test]
    fn what_things_are_makes_them_stand_out() {
        let mut group = group(&[(271, 274); 6]);
        group.pieces[0].kind = Kind::Container;
        group.pieces[1].kind = Kind::Object;
        group.pieces[2].treatments = vec![Treatment::Pierced];
        group.pieces[3].unlisted = 0.7;
        group.pieces[4].wear = Some(Wear::Extreme);
        let mut seen = whys(&group);
        seen.sort();
        let wanted = [
            (0, Why::Container),
            (1, Why::Object),
            (2, Why::Altered),
            (3, Why::Unlisted),
            (4, Why::WornLate),
        ];
        assert_eq!(seen, wanted);
    }

    #[test]
    fn too_few_are_held_against_nothing() {
        assert_eq!(whys(&group(&[(271, 274), (1860, 1895)])), []);
    }
}

//! What the identification says of a coin, as fields: each with its own chance, and no narrower
//! than that chance carries.
//!
//! A person's decision goes before what the traits say, and what hangs on it is worked out among
//! the types that it leaves. Where nothing carries half the chance a field lists what is open.
//!
//! Invariant: nothing here is measured, read or seen, and nothing that was is written over.

use super::circumstances::Told;
use super::draft::Standing;
use super::legends::{Restored, Weighed, restored};
use super::periods;
use super::scale;
use super::sheet::Sheet;
use super::{Basis, Judgement};
use crate::catalogue::{Catalogue, CoinType, Face};
use crate::explain::chance_in_figures;
use crate::find::{Reading, Side, Span, era};
use crate::score::{Level, Share};

/// Chance from which a value is named; below, the field lists what is open.
const CARRIED: f64 = 0.50;
/// Chance from which something is listed as open.
const LISTED: f64 = 0.10;
/// Most that is listed as open.
const LISTED_MOST: usize = 3;
/// Types below this chance are passed over.
const LEAST: f64 = 1e-4;
/// Most types that are looked at.
const TYPES_MOST: usize = 400;
/// Chance below which what a person decided stands against the traits.
const AGAINST: f64 = 0.05;

/// What the fields are made from.
pub(super) struct Reckoning<'b> {
    catalogue: &'b Catalogue,
    told: &'b Told,
    judged: Option<&'b Judgement<'b>>,
    /// The types that a decision leaves, with their chances among these.
    pub(super) types: Weighed,
}

/// Fills in what is inferred; gives the years of issue and notes.
pub(super) fn fill(basis: &Basis<'_>, sheet: &mut Sheet) -> (Option<Span>, Vec<String>) {
    let reckoning = Reckoning::new(basis);
    let mut notes = reckoning.against();
    let period = reckoning.period(sheet);
    reckoning.ruler(sheet);
    reckoning.denomination(period, sheet);
    let coin = reckoning.coin(sheet);
    let mints = reckoning.legends(&basis.find.readings, sheet);
    reckoning.mint(&mints, sheet);
    reckoning.making(sheet);
    let (years, note) = reckoning.years(coin, basis, sheet);
    notes.extend(note);
    reckoning.listed_period(period, years, sheet);
    (years, notes)
}

impl<'b> Reckoning<'b> {
    /// The types left by what was decided.
    pub(super) fn new(basis: &'b Basis<'b>) -> Reckoning<'b> {
        let (catalogue, told) = (basis.catalogue, basis.told);
        let judged = basis.judged.as_ref();
        let mut types: Weighed = match told.coin {
            Some(coin) => vec![(coin, 1.0)],
            None => {
                let all = judged.map_or(&[][..], |one| one.ranking.judged.as_slice());
                let left = all
                    .iter()
                    .filter(|one| leaves(told, &catalogue.types[one.coin]));
                let some = left.map(|one| (one.coin, one.probability));
                some.filter(|one| one.1 > LEAST).take(TYPES_MOST).collect()
            }
        };
        if !told.is_empty() {
            let whole: f64 = types.iter().map(|one| one.1).sum();
            types.iter_mut().for_each(|one| one.1 /= whole);
        }
        Reckoning {
            catalogue,
            told,
            judged,
            types,
        }
    }

    fn told(&self) -> Standing {
        Standing::Told(self.told.by.clone())
    }

    fn told_type(&self) -> Option<&'b CoinType> {
        self.told.coin.map(|coin| &self.catalogue.types[coin])
    }

    /// What a decision has against it.
    fn against(&self) -> Vec<String> {
        let Some(judged) = self.judged.filter(|_| !self.told.is_empty()) else {
            return Vec::new();
        };
        let all = judged.ranking.judged.iter();
        let of = all.filter(|one| match self.told.coin {
            Some(coin) => one.coin == coin,
            None => leaves(self.told, &self.catalogue.types[one.coin]),
        });
        let chance: f64 = of.map(|one| one.probability).sum();
        if chance >= AGAINST {
            return Vec::new();
        }
        vec![format!(
            "what was measured, read and seen speaks against what was decided: by the traits alone \
             it has {}",
            chance_in_figures(chance)
        )]
    }

    /// The shares at a level: the calibrated ones, or those among the types that a decision leaves.
    fn shares(
        &self,
        of: impl Fn(&Judgement<'_>) -> Vec<Share>,
        key: impl Fn(&CoinType) -> Option<usize>,
    ) -> Vec<Share> {
        if self.told.is_empty() {
            return self.judged.map_or(Vec::new(), of);
        }
        let mut shares: Vec<Share> = Vec::new();
        for (coin, chance) in &self.types {
            let of = key(&self.catalogue.types[*coin]);
            match shares.iter_mut().find(|share| share.of == of) {
                Some(share) => share.p += chance,
                None => shares.push(Share { of, p: *chance }),
            }
        }
        shares.sort_by(|a, b| b.p.total_cmp(&a.p).then(a.of.cmp(&b.of)));
        shares
    }

    fn period(&self, sheet: &mut Sheet) -> Option<usize> {
        let told = self
            .told
            .period
            .or(self.told_type().map(|coin| coin.period));
        if told.is_some() {
            return told;
        }
        let shares = self.shares(|one| one.shares.period.clone(), |coin| Some(coin.period));
        let name = |place: usize| self.catalogue.periods[place].name.clone();
        let (carried, listed) = carried(&shares, &name);
        if carried.is_none() {
            sheet.put("period", listed, Standing::Open);
        }
        carried.map(|share| share.0)
    }

    fn ruler(&self, sheet: &mut Sheet) {
        let name = |place: usize| {
            let ruler = &self.catalogue.rulers[place];
            format!("{} ({})", ruler.name, reigns(&ruler.reigns))
        };
        let told = self
            .told
            .ruler
            .or(self.told_type().and_then(|coin| coin.ruler));
        if let Some(place) = told {
            sheet.put("ruler", name(place), self.told());
            return;
        }
        let shares = self.shares(|one| one.shares.ruler.clone(), |coin| coin.ruler);
        let (carried, listed) = carried(&shares, &name);
        match carried {
            Some((place, p)) => sheet.put("ruler", name(place), Standing::Inferred(p)),
            None => sheet.put("ruler", listed, Standing::Open),
        };
    }

    fn denomination(&self, period: Option<usize>, sheet: &mut Sheet) {
        let name = |place: usize| self.catalogue.denominations[place].name.clone();
        let ids = |place| {
            scale::denomination(place, period, self.catalogue)
                .into_iter()
                .collect()
        };
        let told = self.told.denomination;
        let told = told.or(self.told_type().map(|coin| coin.denomination));
        if let Some(place) = told {
            sheet.put_with("denomination", name(place), self.told(), ids(place));
            return;
        }
        let shares = self.shares(
            |one| one.shares.denomination.clone(),
            |coin| Some(coin.denomination),
        );
        let (carried, listed) = carried(&shares, &name);
        match carried {
            Some((place, p)) => {
                let standing = Standing::Inferred(p);
                sheet.put_with("denomination", name(place), standing, ids(place));
            }
            None => {
                sheet.put("denomination", listed, Standing::Open);
            }
        }
    }

    /// The type, where the answer is one or a person decided; its place and what it rests on.
    fn coin(&self, sheet: &mut Sheet) -> Option<(usize, Standing)> {
        let name = |place: usize| self.catalogue.types[place].name.clone();
        let answer = self.judged.map(|one| one.answer);
        let inferred = answer.filter(|one| one.level == Level::Type && one.p >= CARRIED);
        let inferred = inferred.filter(|_| self.told.is_empty());
        let among = || {
            let first = self.types.first().filter(|_| !self.told.is_empty());
            let listed = first.filter(|one| !self.catalogue.types[one.0].rest);
            listed.filter(|one| one.1 >= CARRIED).copied()
        };
        let one = match (self.told.coin, inferred) {
            (Some(coin), _) => Some((coin, self.told())),
            (None, Some(answer)) => Some((answer.like?, Standing::Inferred(answer.p))),
            (None, None) => among().map(|(coin, p)| (coin, Standing::Inferred(p))),
        };
        let Some((place, standing)) = one else {
            let listed = self.types.iter();
            let listed = listed.filter(|one| !self.catalogue.types[one.0].rest && one.1 >= LISTED);
            let listed = listed.take(LISTED_MOST);
            let listed =
                listed.map(|(coin, p)| format!("{} ({})", name(*coin), chance_in_figures(*p)));
            let listed: Vec<String> = listed.collect();
            sheet.put("reference", listed.join(" or "), Standing::Open);
            return None;
        };
        let coin = &self.catalogue.types[place];
        let value = format!("{} [{}]", coin.name, coin.id);
        sheet.put("reference", value, standing.clone());
        sheet.put("published", coin.refs.join("; "), standing.clone());
        sheet.put("obverse_type", self.shown(&coin.obverse), standing.clone());
        sheet.put("reverse_type", self.shown(&coin.reverse), standing.clone());
        Some((place, standing))
    }

    /// What a face of a type shows, by the library.
    fn shown(&self, face: &Face) -> String {
        let motifs = face.motifs.iter().flatten();
        let names = motifs.map(|place| self.catalogue.motifs[*place].name.to_lowercase());
        names.collect::<Vec<_>>().join("; ")
    }

    /// Restores the legend of each side that has one reading; the mints whose names fill it.
    fn legends(&self, readings: &[Reading], sheet: &mut Sheet) -> Vec<(usize, f64)> {
        let sides = [
            (Side::Obverse, "obverse_legend_restored"),
            (Side::Reverse, "reverse_legend_restored"),
        ];
        let mut mints = Vec::new();
        for (side, name) in sides {
            let mut of = readings.iter().filter(|one| one.side == side);
            let (Some(reading), None) = (of.next(), of.next()) else {
                continue;
            };
            let Some(made) = restored(reading, &self.types, self.catalogue) else {
                continue;
            };
            let Restored {
                text,
                chance,
                mints: own,
            } = made;
            sheet.put(name, text, Standing::Inferred(chance.min(1.0)));
            if !own.is_empty() {
                mints = own;
            }
        }
        mints
    }

    /// The mint: decided, the only one of the types, or the one whose name fills the legend.
    fn mint(&self, by_legend: &[(usize, f64)], sheet: &mut Sheet) {
        let name = |place: usize| self.catalogue.mints[place].name.clone();
        let ids = |place| scale::mint(place, self.catalogue).into_iter().collect();
        if let Some(place) = self.told.mint {
            sheet.put_with("mint", name(place), self.told(), ids(place));
            return;
        }
        let only = |coin: &CoinType| match coin.mints.as_slice() {
            [one] => Some(*one),
            _ => None,
        };
        let mut shares: Vec<Share> = by_legend
            .iter()
            .map(|(mint, p)| Share {
                of: Some(*mint),
                p: *p,
            })
            .collect();
        for (coin, chance) in self.types.iter().filter(|_| by_legend.is_empty()) {
            let of = only(&self.catalogue.types[*coin]);
            match shares.iter_mut().find(|share| share.of == of) {
                Some(share) => share.p += chance,
                None => shares.push(Share { of, p: *chance }),
            }
        }
        shares.retain(|share| share.of.is_some());
        shares.sort_by(|a, b| b.p.total_cmp(&a.p).then(a.of.cmp(&b.of)));
        let (carried, listed) = carried(&shares, &name);
        match carried {
            Some((place, p)) => {
                let standing = Standing::Inferred(p.min(1.0));
                sheet.put_with("mint", name(place), standing, ids(place));
            }
            // Types that have one mint each say little while the type is open.
            None if !by_legend.is_empty() => {
                sheet.put("mint", listed, Standing::Open);
            }
            None => {}
        }
    }

    /// How it was made and of what, where nobody saw it.
    fn making(&self, sheet: &mut Sheet) {
        let mut made: Vec<(&str, &str, f64)> = Vec::new();
        let mut metals: Vec<(&str, f64)> = Vec::new();
        for (coin, chance) in &self.types {
            let coin = &self.catalogue.types[*coin];
            let (name, id) = (coin.made.name(), scale::making(coin.made));
            match made.iter_mut().find(|one| one.0 == name) {
                Some(one) => one.2 += chance,
                None => made.push((name, id, *chance)),
            }
            let metal = self.catalogue.metals[coin.metal].looks.name();
            match metals.iter_mut().find(|one| one.0 == metal) {
                Some(one) => one.1 += chance,
                None => metals.push((metal, *chance)),
            }
        }
        if let Some((name, id, p)) = made.into_iter().find(|one| one.2 >= CARRIED) {
            let ids = vec![scale::nomisma(id)];
            sheet.put_with("manufacture", name, Standing::Inferred(p.min(1.0)), ids);
        }
        if let Some((name, p)) = metals.into_iter().find(|one| one.1 >= CARRIED) {
            sheet.put("material", name, Standing::Inferred(p.min(1.0)));
        }
    }

    /// The years of issue: the year where it is known, else those of the type, else the reign, else
    /// those of what the answer covers.
    fn years(
        &self,
        coin: Option<(usize, Standing)>,
        basis: &Basis<'_>,
        sheet: &mut Sheet,
    ) -> (Option<Span>, Option<String>) {
        if let Some(year) = basis.find.date_on_piece {
            sheet.put("date", era(year), Standing::Read);
            return (Span::new(year, year), None);
        }
        if let Some((place, standing)) = coin {
            let judged = self.judged.into_iter();
            let mut judged = judged.flat_map(|one| &one.ranking.judged);
            let of = judged.find(|one| one.coin == place);
            let years = of.and_then(|one| one.years);
            let years = years.unwrap_or(self.catalogue.types[place].span);
            sheet.put("date", years.text(), standing);
            return (Some(years), None);
        }
        self.reign(sheet).unwrap_or_else(|| self.covered(sheet))
    }

    /// The reign of the ruler that is carried, or the years of issue within it that are.
    fn reign(&self, sheet: &mut Sheet) -> Option<(Option<Span>, Option<String>)> {
        let (place, standing) = match self.told.ruler {
            Some(ruler) => (ruler, self.told()),
            None => {
                let shares = self.shares(|one| one.shares.ruler.clone(), |coin| coin.ruler);
                let top = shares.first().filter(|share| share.p >= CARRIED)?;
                (top.of?, Standing::Inferred(top.p))
            }
        };
        let reigned = &self.catalogue.rulers[place].reigns;
        let hull = reigned.iter().copied().reduce(Span::hull)?;
        let answer = self.judged.map(|one| one.answer);
        let answer = answer.filter(|one| one.p >= CARRIED && self.told.is_empty());
        let issued = answer.and_then(|one| Some((one.span?, one.p)));
        // Coins went on in a ruler's name after the reign, so the years of issue need not lie in it.
        let narrower = |span: &Span| span.overlaps(hull) && span.years() < hull.years();
        if let Some((span, p)) = issued.filter(|(span, _)| narrower(span)) {
            sheet.put("date", span.text(), Standing::Inferred(p));
            return Some((Some(span), None));
        }
        sheet.put("date", reigns(reigned), standing);
        let note = "the date of issue is the reign, since the year and the type are open";
        Some((Some(hull), Some(note.to_string())))
    }

    fn covered(&self, sheet: &mut Sheet) -> (Option<Span>, Option<String>) {
        let answer = self.judged.map(|one| one.answer);
        let answer = answer.filter(|one| one.p >= CARRIED && self.told.is_empty());
        let Some((span, p)) = answer.and_then(|one| Some((one.span?, one.p))) else {
            return (None, None);
        };
        sheet.put("date", span.text(), Standing::Inferred(p));
        let note =
            "the date of issue is that of all that may be meant, since ruler and type are open";
        (Some(span), Some(note.to_string()))
    }

    /// The period of the published list, by the library's period and the years.
    fn listed_period(&self, period: Option<usize>, years: Option<Span>, sheet: &mut Sheet) {
        let Some(place) = period else {
            return;
        };
        let own = &self.catalogue.periods[place];
        let listed = periods::of_coin(&own.id, years.or(Some(own.span)));
        let names: Vec<&str> = listed.iter().map(|period| period.name).collect();
        let mut value = names.join(" or ");
        if !names
            .iter()
            .any(|name| name.eq_ignore_ascii_case(&own.name))
        {
            value = format!("{value} ({} coinage)", own.name);
        }
        let standing = match (self.told.period, self.told.coin) {
            (None, None) => {
                let shares = self.shares(|one| one.shares.period.clone(), |coin| Some(coin.period));
                Standing::Inferred(shares.first().map_or(0.0, |share| share.p))
            }
            _ => self.told(),
        };
        let ids = listed.iter().map(|period| period.uri()).collect();
        sheet.put_with("period", value, standing, ids);
    }
}

/// True for a type that a decision leaves.
fn leaves(told: &Told, coin: &CoinType) -> bool {
    told.ruler.is_none_or(|ruler| coin.ruler == Some(ruler))
        && told.denomination.is_none_or(|one| coin.denomination == one)
        && told.period.is_none_or(|period| coin.period == period)
        && told
            .mint
            .is_none_or(|mint| coin.mints.is_empty() || coin.mints.contains(&mint))
}

/// The share that carries half the chance, or else a list of what is open.
fn carried(shares: &[Share], name: &impl Fn(usize) -> String) -> (Option<(usize, f64)>, String) {
    let top = shares.first().filter(|share| share.p >= CARRIED);
    if let Some((of, p)) = top.and_then(|share| Some((share.of?, share.p))) {
        return (Some((of, p)), String::new());
    }
    let listed = shares.iter().filter(|share| share.p >= LISTED);
    let listed = listed.filter_map(|share| Some((share.of?, share.p)));
    let listed = listed.take(LISTED_MOST);
    let listed: Vec<String> = listed
        .map(|(of, p)| format!("{} ({})", name(of), chance_in_figures(p)))
        .collect();
    (None, listed.join(" or "))
}

fn reigns(spans: &[Span]) -> String {
    let spans: Vec<String> = spans.iter().map(|span| span.text()).collect();
    spans.join(", ")
}

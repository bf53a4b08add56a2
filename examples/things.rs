//! How rightly things that are not coins are named: identified pieces from TOML files are judged by
//! their words alone, and held against what is known of them.
//!
//! `cargo run --release --example things -- FILE.toml ...` prints the figures and every piece that
//! was named wrongly; `-- --drawn 500` does the same for pieces drawn from the library itself: a type
//! by its commonness, some of what it has in the library's own lay words, sizes rounded and now and
//! then left out, now and then a part lost. Drawn pieces know the library's words, so they are named
//! more often than a finder's. `-- --temper` fits how far the shares may be believed and writes it to
//! `src/score/object/fitted.rs` (with `--dry` it prints only). A piece is a table `[[piece]]` with id, words and class; optional are groups,
//! periods, metal, length, width, height, thickness, diameter, weight, complete and outside.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout)]

use std::error::Error;
use std::fs;

use lynchet::score::{ThingShares, ThingTemper, temper};
use lynchet::{House, HouseOptions, ThingIdentification, Things, parse};
use toml::{Table, Value};

fn main() -> Result<(), Box<dyn Error>> {
    let house = House::open(&HouseOptions::default())?;
    let things = house.things(&HouseOptions::default())?;
    let mut count = Count::default();
    let mut given = std::env::args().skip(1);
    while let Some(path) = given.next() {
        if path == "--temper" {
            return fit_temper(&house, &things, given.next().as_deref() == Some("--dry"));
        }
        if path == "--drawn" {
            let many = given
                .next()
                .and_then(|many| many.parse().ok())
                .unwrap_or(300);
            let mut draw = Draw(0x2545_f491_4f6c_dd1d);
            for _ in 0..many {
                count.piece(&drawn(&mut draw, &things, &house), &house, &things);
            }
            count.lines.truncate(SHOWN);
            continue;
        }
        for piece in pieces_of(&path)? {
            count.piece(&piece, &house, &things);
        }
    }
    count.print();
    Ok(())
}

fn pieces_of(path: &str) -> Result<Vec<Table>, Box<dyn Error>> {
    let rows: Table = fs::read_to_string(path)?.parse()?;
    let pieces = rows.get("piece").and_then(Value::as_array);
    let tables = pieces.into_iter().flatten().filter_map(Value::as_table);
    Ok(tables.cloned().collect())
}

/// The pieces that the temper is fitted on, in three lots: read in print, from memory of handbooks, and
/// our own. The bar's pieces are none of them.
fn lots() -> Result<[Vec<Table>; 3], Box<dyn Error>> {
    let mut lots = [
        Vec::new(),
        Vec::new(),
        pieces_of("tests/specimens/things.toml")?,
    ];
    let mut paths: Vec<_> = fs::read_dir("tests/cases/artefacts-learn")?
        .map(|file| file.map(|file| file.path()))
        .collect::<Result<_, _>>()?;
    paths.sort();
    for path in paths
        .iter()
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
    {
        for piece in pieces_of(&path.to_string_lossy())? {
            let read = piece.get("kind").and_then(Value::as_str) == Some("public");
            lots[usize::from(!read)].push(piece);
        }
    }
    Ok(lots)
}

/// What each lot weighs: those from memory speak the library's words, and are surer than they should be.
const LOTS: [f64; 3] = [4.0, 1.0, 1.0];

/// Words and rows were mended after the same pieces, which hides how often things are misjudged. At
/// first sight, before the mending, those read in print asked for powers so much lower.
const FIRST_SIGHT: f64 = 0.85;

/// Raw shares of one level, what is of no name last, which of them are right, and the weight.
struct Told {
    shares: Vec<f64>,
    right: Vec<usize>,
    weight: f64,
}

/// The levels that are fitted, by their place among the powers: group, class, period.
const FITTED_LEVELS: [(usize, &str); 3] = [(1, "group"), (2, "class"), (4, "period")];

fn told(piece: &Table, level: usize, shares: &ThingShares, weight: f64) -> Option<Told> {
    let groups = list(piece, "groups");
    let outside = piece.get("outside").and_then(Value::as_bool) == Some(true);
    let class = piece
        .get("class")
        .and_then(Value::as_str)
        .unwrap_or_default();
    let (all, truths) = match level {
        1 if outside => return None,
        1 => (
            &shares.groups,
            groups.iter().map(|id| format!("{class}/{id}")).collect(),
        ),
        2 => (&shares.classes, vec![class.to_string()]),
        _ => (&shares.periods, list(piece, "periods")),
    };
    if truths.is_empty() {
        return None;
    }
    let mut p: Vec<f64> = all.iter().map(|share| share.p).collect();
    let right = (0..all.len())
        .filter(|at| truths.contains(&all[*at].id))
        .collect();
    p.push((1.0 - p.iter().sum::<f64>()).max(0.0));
    Some(Told {
        shares: p,
        right,
        weight,
    })
}

/// Chance given at least to a truth, so that one miss is not all.
const LEAST: f64 = 1e-4;

/// Mean log loss of the truth, each lot weighing alike, and how often what is said with 0.8 and more is
/// right.
fn loss(told: &[Told], power: f64, lapse: f64) -> (f64, usize, usize) {
    let (mut sum, mut weights, mut sure, mut right) = (0.0, 0.0, 0, 0);
    for one in told {
        let mut shares = one.shares.clone();
        temper(&mut shares, power, lapse, 1.0);
        let truth: f64 = one.right.iter().map(|at| shares[*at]).sum();
        sum -= one.weight * truth.max(LEAST).ln();
        weights += one.weight;
        let named = &shares[..shares.len() - 1];
        let first = (0..named.len()).max_by(|a, b| named[*a].total_cmp(&named[*b]));
        if let Some(first) = first.filter(|first| named[*first] >= 0.8) {
            sure += 1;
            right += usize::from(one.right.contains(&first));
        }
    }
    (sum / f64::max(weights, 1e-9), sure, right)
}

/// The best power and lapse: over a coarse net, then over a fine one about the best.
fn best(told: &[Told]) -> (f64, f64) {
    let net = |middle: (f64, f64), step: (f64, f64), reach: i32| {
        let powers = (-reach..=reach).map(move |at| middle.0 + f64::from(at) * step.0);
        let both = powers.flat_map(move |power| {
            (-reach..=reach).map(move |at| (power, middle.1 + f64::from(at) * step.1))
        });
        let possible = both.filter(|one| one.0 > 0.0 && (0.0..0.5).contains(&one.1));
        let by = |a: &(f64, f64), b: &(f64, f64)| {
            loss(told, a.0, a.1).0.total_cmp(&loss(told, b.0, b.1).0)
        };
        possible.min_by(by).unwrap_or(middle)
    };
    net(net((0.9, 0.16), (0.15, 0.04), 4), (0.05, 0.01), 2)
}

/// Fits a power and a lapse for each level and writes them.
fn fit_temper(house: &House, things: &Things, dry: bool) -> Result<(), Box<dyn Error>> {
    let mut levels: [Vec<Told>; 3] = Default::default();
    for (lot, weight) in lots()?.into_iter().zip(LOTS) {
        let weight = weight / lot.len() as f64;
        for piece in &lot {
            let words = words(piece);
            let (find, _) = parse::words(&words, &house.lexicon);
            let (object, _) = things.hear(&words, &find);
            let ranking = things.identify(&object, house).ranking;
            let shares = ThingShares::tempered(&ranking, &things.artefacts, &ThingTemper::NONE);
            for (place, (level, _)) in FITTED_LEVELS.iter().enumerate() {
                levels[place].extend(told(piece, *level, &shares, weight));
            }
        }
    }
    let mut fitted = ThingTemper::FITTED;
    for ((level, name), told) in FITTED_LEVELS.into_iter().zip(levels) {
        let (even, odd): (Vec<_>, Vec<_>) = told
            .into_iter()
            .enumerate()
            .partition(|(at, _)| at % 2 == 0);
        let halves =
            [even, odd].map(|half| half.into_iter().map(|(_, one)| one).collect::<Vec<_>>());
        let [first, second] = [best(&halves[0]), best(&halves[1])];
        println!("{name}: one half {first:?}, the other {second:?}");
        println!(
            "  held back: {:?}, {:?}",
            loss(&halves[1], first.0, first.1),
            loss(&halves[0], second.0, second.1)
        );
        let all: Vec<Told> = halves.into_iter().flatten().collect();
        let (power, lapse) = best(&all);
        println!(
            "  all {power:.2} {lapse:.2}: {:?}; untempered {:?}",
            loss(&all, power, lapse),
            loss(&all, 1.0, 0.0)
        );
        (fitted.powers[level], fitted.lapses[level]) = (power, lapse);
    }
    fitted.powers[1] *= FIRST_SIGHT;
    fitted.powers[2] *= FIRST_SIGHT;
    // Nothing is known of types, so they are believed as groups are; wider classes are sums of classes.
    (fitted.powers[0], fitted.lapses[0]) = (fitted.powers[1], fitted.lapses[1]);
    (fitted.powers[3], fitted.lapses[3]) = (fitted.powers[2], fitted.lapses[2]);
    if !dry {
        fs::write("src/score/object/fitted.rs", written(&fitted))?;
    }
    Ok(())
}

/// The text of the file of fitted figures.
fn written(fitted: &ThingTemper) -> String {
    let row = |figures: [f64; 5]| figures.map(|one| format!("{one:.2}")).join(", ");
    format!(
        "//! Powers and lapses of things, fitted on pieces of known identity. Written by a command, not by hand:\n\
         //! `cargo run --release --example things -- --temper`.\n\n\
         /// How far the shares of each level may be believed: type, group, class, wider class, period.\n\
         pub(super) const POWERS: [f64; 5] = [{}];\n\n\
         /// How often all goes astray, by level: so much of the chance is spread more evenly.\n\
         pub(super) const LAPSES: [f64; 5] = [{}];\n",
        row(fitted.powers),
        row(fitted.lapses),
    )
}

/// Drawn pieces that are shown of those named wrongly.
const SHOWN: usize = 40;
/// Numbers that look drawn by lot, the same every time (xorshift, Marsaglia 2003).
struct Draw(u64);

impl Draw {
    fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn one<'a, T>(&mut self, of: &'a [T]) -> Option<&'a T> {
        let at = (self.share() * of.len() as f64) as usize;
        of.get(at)
    }

    fn often(&mut self, share: f64) -> bool {
        self.share() < share
    }
}

/// A piece drawn from the library.
fn drawn(draw: &mut Draw, things: &Things, house: &House) -> Table {
    let library = &things.artefacts;
    let weights: Vec<f64> = library
        .types
        .iter()
        .map(|one| 0.3_f64.powi(4 - one.common as i32))
        .collect();
    let mut left = draw.share() * weights.iter().sum::<f64>();
    let at = weights.iter().position(|weight| {
        left -= weight;
        left < 0.0
    });
    let artefact = &library.types[at.unwrap_or(0)];
    let class = &library.classes[artefact.class];
    let mut clauses: Vec<String> = Vec::new();
    if draw.often(0.65) {
        let names: Vec<&String> = std::iter::once(&class.name).chain(&class.words).collect();
        clauses.extend(draw.one(&names).map(|name| name.to_string()));
    }
    let shown = [
        (&artefact.has, 0.6),
        (&artefact.may, 0.2),
        (&artefact.outline, 0.4),
    ];
    for (forms, often) in shown {
        for form in forms {
            let form = &library.forms[*form];
            if draw.often(often) {
                let words: Vec<&String> = std::iter::once(&form.name).chain(&form.words).collect();
                clauses.extend(draw.one(&words).map(|word| word.to_string()));
            }
        }
    }
    if let Some(metal) = artefact.materials.first().filter(|_| draw.often(0.8)) {
        clauses.push(house.catalogue.metals[*metal].name.clone());
    }
    let fragment = draw.often(0.25);
    for (dimension, (least, most)) in artefact.sizes.given() {
        if draw.often(0.6) {
            let whole = (least.ln() + draw.share() * (most / least).ln()).exp();
            let size = if fragment {
                whole * (0.3 + 0.6 * draw.share())
            } else {
                whole
            };
            clauses.push(format!("{} {:.0} mm", dimension.name(), size.max(1.0)));
        }
    }
    if fragment {
        clauses.push("fragment".to_string());
    }
    let text = |text: &str| Value::String(text.to_string());
    let list = |id: &str| Value::Array(vec![text(id)]);
    let mut piece = Table::new();
    piece.insert("id".to_string(), text(&artefact.id));
    piece.insert("words".to_string(), text(&clauses.join(", ")));
    piece.insert("class".to_string(), text(&class.id));
    piece.insert("groups".to_string(), list(&artefact.group));
    piece.insert(
        "periods".to_string(),
        list(&library.periods[artefact.period].id),
    );
    piece
}

/// What was counted.
#[derive(Default)]
struct Count {
    pieces: usize,
    taken_for_coins: usize,
    class: Hits,
    group: Hits,
    group_three: Hits,
    group_five: Hits,
    period: Hits,
    /// Chance given to the class that was named, and whether it was right.
    sure: Vec<(f64, bool)>,
    set: Hits,
    set_size: usize,
    confident_wrong: usize,
    /// Nats by which the truth fell short of certain, and of how many, level by level as they are fitted.
    lost: [(f64, usize); 3],
    lines: Vec<String>,
}

#[derive(Clone, Copy, Default)]
struct Hits {
    right: usize,
    of: usize,
}

impl Hits {
    fn add(&mut self, right: bool) {
        self.of += 1;
        self.right += usize::from(right);
    }

    fn text(self) -> String {
        let share = 100.0 * self.right as f64 / self.of.max(1) as f64;
        format!("{} of {} ({share:.1} in 100)", self.right, self.of)
    }
}

/// The words of a piece with its measures as clauses.
fn words(piece: &Table) -> String {
    let text = |name: &str| piece.get(name).and_then(Value::as_str).map(str::to_string);
    let number = |name: &str| {
        let value = piece.get(name)?;
        value
            .as_float()
            .or(value.as_integer().map(|whole| whole as f64))
    };
    let mut clauses: Vec<String> = text("words").into_iter().chain(text("metal")).collect();
    for name in ["length", "width", "height", "thickness", "diameter"] {
        clauses.extend(number(name).map(|size| format!("{name} {size} mm")));
    }
    clauses.extend(number("weight").map(|grams| format!("{grams} g")));
    clauses.extend(text("complete"));
    clauses.join(", ")
}

fn list(piece: &Table, name: &str) -> Vec<String> {
    let values = piece.get(name).and_then(Value::as_array);
    let texts = values.into_iter().flatten().filter_map(Value::as_str);
    texts.map(str::to_string).collect()
}

impl Count {
    fn piece(&mut self, piece: &Table, house: &House, things: &Things) {
        let words = words(piece);
        let (find, _) = parse::words(&words, &house.lexicon);
        let (object, _) = things.hear(&words, &find);
        let coin = things.kind(&find, &object, &words, house).coin;
        let said = things.identify(&object, house);
        self.pieces += 1;
        self.taken_for_coins += usize::from(coin > 0.8);
        let class = piece
            .get("class")
            .and_then(Value::as_str)
            .unwrap_or_default();
        let named = said.shares.classes.first();
        let (first, p) = named.map_or(("", 0.0), |share| (share.id.as_str(), share.p));
        let right = first == class;
        self.class.add(right);
        self.sure.push((p, right));
        self.confident_wrong += usize::from(!right && p >= 0.8);
        self.narrower(piece, &said);
        self.lose(piece, &said.shares);
        let periods = list(piece, "periods");
        let when = said
            .shares
            .periods
            .first()
            .map_or("", |share| share.id.as_str());
        let in_time = periods.is_empty() || periods.iter().any(|id| id == when);
        if !periods.is_empty() {
            self.period.add(in_time);
        }
        if !right || !in_time || coin > 0.8 {
            let id = piece.get("id").and_then(Value::as_str).unwrap_or_default();
            let line = format!(
                "{id}: {words}\n    is {class} {periods:?}; named {first} {p:.2}, {when}; coin {coin:.2}"
            );
            self.lines.push(line);
        }
    }

    fn lose(&mut self, piece: &Table, shares: &ThingShares) {
        for ((level, _), lost) in FITTED_LEVELS.into_iter().zip(&mut self.lost) {
            if let Some(told) = told(piece, level, shares, 1.0) {
                let truth: f64 = told.right.iter().map(|at| told.shares[*at]).sum();
                lost.0 -= truth.max(LEAST).ln();
                lost.1 += 1;
            }
        }
    }

    fn narrower(&mut self, piece: &Table, said: &ThingIdentification) {
        let class = piece
            .get("class")
            .and_then(Value::as_str)
            .unwrap_or_default();
        let mut held = 0.0;
        let likely = said.shares.classes.iter().take_while(|share| {
            let more = held < 0.9;
            held += share.p;
            more
        });
        let set: Vec<&str> = likely.map(|share| share.id.as_str()).collect();
        self.set.add(set.contains(&class));
        self.set_size += set.len();
        let outside = piece.get("outside").and_then(Value::as_bool) == Some(true);
        let groups = list(piece, "groups");
        if groups.is_empty() || outside {
            return;
        }
        let within = |most: usize| {
            let mut first = said.shares.groups.iter().take(most);
            first.any(|share| {
                groups
                    .iter()
                    .any(|id| share.id.rsplit('/').next() == Some(id))
            })
        };
        self.group.add(within(1));
        self.group_three.add(within(3));
        self.group_five.add(within(5));
    }

    fn print(&self) {
        println!("pieces                       {}", self.pieces);
        println!("taken for coins              {}", self.taken_for_coins);
        println!("class, first                 {}", self.class.text());
        println!("group, first                 {}", self.group.text());
        println!("group, first three           {}", self.group_three.text());
        println!("group, first five            {}", self.group_five.text());
        println!("period, first                {}", self.period.text());
        println!("class in nine-in-ten set     {}", self.set.text());
        println!(
            "mean classes in that set     {:.1}",
            self.set_size as f64 / self.pieces.max(1) as f64
        );
        println!("confident (0.8) and wrong    {}", self.confident_wrong);
        println!("slope of the class's chance  {:.2}", slope(&self.sure));
        let brier: f64 = self
            .sure
            .iter()
            .map(|(p, right)| (p - f64::from(u8::from(*right))).powi(2))
            .sum();
        println!(
            "Brier of the class           {:.3}",
            brier / self.pieces.max(1) as f64
        );
        let lost = FITTED_LEVELS.iter().zip(self.lost);
        let lost =
            lost.map(|((_, level), (sum, of))| format!("{level} {:.3}", sum / of.max(1) as f64));
        let lost: Vec<String> = lost.collect();
        println!("log loss                     {}", lost.join(", "));
        self.lines.iter().for_each(|line| println!("{line}"));
    }
}

/// Slope of the logistic law of being right on the log odds given, by Newton's steps.
fn slope(sure: &[(f64, bool)]) -> f64 {
    let (mut level, mut slope) = (0.0_f64, 1.0_f64);
    for _ in 0..50 {
        let (mut g0, mut g1, mut h00, mut h01, mut h11) = (0.0, 0.0, 1e-6, 0.0, 1e-6);
        for (p, right) in sure {
            let odds = (p.clamp(1e-6, 1.0 - 1e-6) / (1.0 - p.clamp(1e-6, 1.0 - 1e-6))).ln();
            let told = 1.0 / (1.0 + (-(level + slope * odds)).exp());
            let off = f64::from(u8::from(*right)) - told;
            let weight = told * (1.0 - told);
            g0 += off;
            g1 += off * odds;
            h00 += weight;
            h01 += weight * odds;
            h11 += weight * odds * odds;
        }
        let whole = h00 * h11 - h01 * h01;
        if whole.abs() < 1e-9 {
            break;
        }
        level += (h11 * g0 - h01 * g1) / whole;
        slope += (h00 * g1 - h01 * g0) / whole;
    }
    slope
}

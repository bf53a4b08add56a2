//! How rightly things that are not coins are named: identified pieces from TOML files are judged by
//! their words alone, and held against what is known of them.
//!
//! `cargo run --release --example things -- FILE.toml ...` prints the figures and every piece that
//! was named wrongly; `-- --drawn 500` does the same for pieces drawn from the library itself: a type
//! by its commonness, some of what it has in the library's own lay words, sizes rounded and now and
//! then left out, now and then a part lost. Drawn pieces know the library's words, so they are named
//! more often than a finder's. `-- --wording` learns the weights of words from the library's
//! descriptions and writes them to `catalogue/wording.txt`; `-- --temper` fits how loud each kind of
//! witness is and how far the shares may be believed, and writes both to
//! `src/score/object/fitted.rs` (with `--dry` it prints only). The library is read from `catalogue/`.
//!
//! A piece is a table `[[piece]]` with id, words and class; optional are groups, periods, metal,
//! length, width, height, thickness, diameter, weight, complete and outside.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout)]

mod fit;
#[path = "../learner/softmax.rs"]
mod softmax;
mod wording;

use std::error::Error;
use std::fs;

use fit::{FITTED_LEVELS, LEAST, told};
use lynchet::score::ThingShares;
use lynchet::{House, HouseOptions, ThingIdentification, Things, parse};
use softmax::Lot;
use toml::{Table, Value};

fn main() -> Result<(), Box<dyn Error>> {
    let options = HouseOptions {
        library: Some("catalogue".into()),
        ..HouseOptions::default()
    };
    let house = House::open(&options)?;
    let mut things = house.things(&options)?;
    let mut count = Count::default();
    let mut given = std::env::args().skip(1);
    while let Some(path) = given.next() {
        if path == "--wording" {
            return wording::fit(&house, &things);
        }
        if path == "--temper" {
            return fit::fit(
                &house,
                &mut things,
                given.next().as_deref() == Some("--dry"),
            );
        }
        if path == "--drawn" {
            let many = given
                .next()
                .and_then(|many| many.parse().ok())
                .unwrap_or(300);
            let mut draw = Draw(Lot(0x2545_f491_4f6c_dd1d));
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

/// Drawn pieces that are shown of those named wrongly.
const SHOWN: usize = 40;
/// Draws by lot.
struct Draw(Lot);

impl Draw {
    fn share(&mut self) -> f64 {
        (self.0.next() >> 11) as f64 / (1_u64 << 53) as f64
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

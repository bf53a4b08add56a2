//! The law held against what is drawn: small invented libraries, of which the same find is drawn
//! again and again.

use std::collections::HashMap;

use super::Law;
use crate::catalogue::{
    AxisHabit, Catalogue, CoinType, Common, Face, Glyph, Habit, Inscription, Metal, Motif, Period,
    Spelling, Standing, WeightPart,
};
use crate::find::{Find, Making, MetalSeen, Span};
use crate::simulate::finds;

const DRAWN: usize = 80_000;

fn spelled(texts: &[&str]) -> Inscription {
    let form = |text: &&str| Spelling {
        glyphs: text
            .chars()
            .map(|c| match c {
                '*' => Glyph::Free,
                '/' => Glyph::Break,
                c => Glyph::Letter(c),
            })
            .collect(),
        text: text.to_string(),
    };
    Inscription {
        legend: 0,
        mint: None,
        forms: texts.iter().map(form).collect(),
    }
}

fn coin(id: &str) -> CoinType {
    CoinType {
        id: id.into(),
        name: id.into(),
        rest: false,
        series: 0,
        period: 0,
        ruler: None,
        denomination: 0,
        span: Span {
            from: 1700,
            to: 1703,
        },
        metal: 0,
        mints: Vec::new(),
        weights: Vec::new(),
        diameter: None,
        thickness: None,
        axis: AxisHabit::Upright,
        made: Making::Hammered,
        obverse: Face::default(),
        reverse: Face::default(),
        edge: None,
        marks: Vec::new(),
        habits: Vec::new(),
        copy: None,
        common: Common::Common,
        regions: Vec::new(),
        refs: Vec::new(),
        apart: Vec::new(),
        note: None,
        sources: Vec::new(),
        standing: Standing::Recalled,
    }
}

fn face(motifs: &[usize], legends: &[usize]) -> Face {
    Face {
        motifs: Some(motifs.to_vec()),
        inscriptions: Some(legends.to_vec()),
    }
}

/// Three types: one cut and clipped, one lettered, one milled.
fn types() -> Vec<CoinType> {
    let mut clipped = coin("clipped");
    clipped.weights = vec![WeightPart {
        grams: 0.4,
        cv: 0.15,
        share: 1.0,
    }];
    clipped.diameter = Some((7.0, 8.0));
    clipped.habits = vec![Habit::Clipped, Habit::Halved];
    clipped.obverse = face(&[1], &[0]);
    let mut lettered = coin("lettered");
    lettered.metal = 1;
    lettered.obverse = face(&[1, 2], &[1, 0]);
    lettered.reverse = face(&[3], &[]);
    lettered.marks = vec![3, 4];
    let mut milled = coin("milled");
    milled.made = Making::Milled;
    milled.thickness = Some((0.6, 0.9));
    milled.reverse = face(&[], &[2]);
    vec![clipped, lettered, milled]
}

/// The three types with two metals, five motifs and letters few enough to come again.
fn library() -> Catalogue {
    let metal = |id: &str, looks| Metal {
        id: id.into(),
        name: id.into(),
        looks,
        words: Vec::new(),
        nomisma: None,
    };
    let motif = |id: &str, under: &[usize]| Motif {
        id: id.into(),
        name: id.into(),
        under: under.to_vec(),
        ancestors: under.to_vec(),
        parts: Vec::new(),
        words: Vec::new(),
    };
    let period = |id: &str| Period {
        id: id.into(),
        name: id.into(),
        span: Span { from: 1, to: 2000 },
        words: Vec::new(),
    };
    let mut catalogue = Catalogue {
        metals: vec![
            metal("silver", MetalSeen::Silver),
            metal("bronze", MetalSeen::CopperAlloy),
        ],
        motifs: vec![
            motif("cross", &[]),
            motif("long-cross", &[0]),
            motif("short-cross", &[0]),
            motif("star", &[]),
            motif("moon", &[]),
        ],
        periods: vec![period("one"), period("two")],
        inscriptions: vec![spelled(&["ON", "AN"]), spelled(&["AA/B"]), spelled(&["*X"])],
        types: types(),
        ..Catalogue::default()
    };
    let places = catalogue.motifs.iter().enumerate();
    catalogue.motif_places = places.map(|(at, motif)| (motif.id.clone(), at)).collect();
    catalogue
}

/// Finds of one type with how often each came, the commonest first.
fn drawn(catalogue: &Catalogue, position: usize, seed: u64) -> Vec<(Find, usize)> {
    let mut often = vec![0.0; catalogue.types.len()];
    often[position] = 1.0;
    let mut counted: HashMap<String, (Find, usize)> = HashMap::new();
    for (_, find) in finds(catalogue, &often, seed, DRAWN) {
        let entry = counted
            .entry(format!("{find:?}"))
            .or_insert_with(|| (find, 0));
        entry.1 += 1;
    }
    let mut all: Vec<(String, (Find, usize))> = counted.into_iter().collect();
    all.sort_by(|a, b| b.1.1.cmp(&a.1.1).then(a.0.cmp(&b.0)));
    all.into_iter().map(|(_, counted)| counted).collect()
}

/// Finds that are expected at least so often are held against the law.
const OFTEN: f64 = 15.0;

#[test]
fn finds_come_as_often_as_the_law_says() {
    let catalogue = library();
    let law = Law::new(&catalogue);
    let mut told = String::new();
    let mut holds = true;
    for position in 0..catalogue.types.len() {
        // Finds that say nothing are drawn again.
        let silent = law.log_chances(&Find::default())[position].exp();
        let drawn = drawn(&catalogue, position, 41 + position as u64);
        let often = drawn.iter().take_while(|(_, came)| *came >= 4);
        let mut offs: Vec<(f64, String)> = often
            .filter_map(|(find, came)| {
                let chance = law.log_chances(find)[position].exp();
                let expected = chance * DRAWN as f64 / (1.0 - silent);
                let off = (*came as f64 - expected) / expected.max(1e-9).sqrt();
                let line = format!("{off:+.2}: {came} came, {expected:.1} expected: {find:?}\n");
                (expected >= OFTEN).then_some((off, line))
            })
            .collect();
        let mean = offs.iter().map(|(off, _)| off * off).sum::<f64>() / offs.len() as f64;
        offs.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
        holds &= offs.len() > 25 && mean < 1.3 && offs[0].0.abs() < 4.5;
        let (id, count) = (&catalogue.types[position].id, offs.len());
        told += &format!("{id}: mean square {mean:.2} of {count}\n");
        told.extend(offs.into_iter().take(12).map(|(_, line)| line));
    }
    assert!(holds, "{told}");
}

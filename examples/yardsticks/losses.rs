//! Where the scorer loses most against exact enumeration, part by part.
//!
//! For each find that exact enumeration names and the scorer does not, the true type is held against
//! the type that the scorer puts first: what each part of the find tells between the two, by the law
//! and by the scorer. Invariant: a part's nats are those of a find of which nothing else is said,
//! less those of a find that says nothing.

use std::collections::BTreeMap;
use std::error::Error;

use lynchet::find::Find;
use lynchet::score::{Bench, Groundwork, Options};
use lynchet::simulate::{self, Law};
use lynchet::{House, IdentifyOptions};
use rayon::prelude::*;

use crate::yardsticks::exam::{Given, LEVELS, marks};
use crate::yardsticks::marks_of_answer;
use crate::{Block, DESCRIBED};

/// Least that exact enumeration gives the truth, and most that the scorer does.
const NAMED: f64 = 0.7;
const LOST: f64 = 0.2;
/// Finds told in full.
const SHOWN: usize = 40;

struct Part {
    kind: &'static str,
    said: String,
    find: Find,
}

/// What each part of a find says by itself.
fn parts(find: &Find) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut part = |kind, said: String, find: Find| parts.push(Part { kind, said, find });
    let none = Find::default;
    if let Some((metal, sure)) = find.metal {
        let doubt = if sure { "" } else { "?" };
        let said = format!("{}{doubt}", metal.name());
        part(
            "metal",
            said,
            Find {
                metal: find.metal,
                ..none()
            },
        );
    }
    let measures = Find {
        weight: find.weight,
        diameter: find.diameter,
        thickness: find.thickness,
        wear: find.wear,
        corrosion: find.corrosion,
        completeness: find.completeness,
        treatments: find.treatments.clone(),
        ..none()
    };
    if measures != none() {
        let said = format!(
            "{:?} g, {:?} mm, {:?} thick, {:?}, {:?}, {:?}, {:?}",
            find.weight.map(|w| w.value.get()),
            find.diameter.map(|d| d.value.get()),
            find.thickness.map(|t| t.value.get()),
            find.completeness,
            find.wear,
            find.corrosion,
            find.treatments
        );
        part(
            "measures",
            said.replace("Some", "").replace("None", "-"),
            measures,
        );
    }
    if find.die_axis.is_some() {
        part(
            "axis",
            format!("{:?}", find.die_axis),
            Find {
                die_axis: find.die_axis,
                ..none()
            },
        );
    }
    if find.making.is_some() {
        part(
            "making",
            format!("{:?}", find.making),
            Find {
                making: find.making,
                ..none()
            },
        );
    }
    if find.date_on_piece.is_some() {
        let date_on_piece = find.date_on_piece;
        part(
            "year",
            format!("{date_on_piece:?}"),
            Find {
                date_on_piece,
                ..none()
            },
        );
    }
    for one in &find.opinions {
        part(
            "opinion",
            one.said.clone(),
            Find {
                opinions: vec![one.clone()],
                ..none()
            },
        );
    }
    for one in &find.readings {
        let said = format!("{} {:?}", one.said, one.side);
        part(
            "letters",
            said,
            Find {
                readings: vec![one.clone()],
                ..none()
            },
        );
    }
    for one in &find.sightings {
        let absent = if one.present { "" } else { "no " };
        let doubt = if one.sure { "" } else { "?" };
        let kind = if one.present { "motif" } else { "absence" };
        let said = format!("{absent}{}{doubt} {:?}", one.motif, one.side);
        part(
            kind,
            said,
            Find {
                sightings: vec![one.clone()],
                ..none()
            },
        );
    }
    parts
}

struct Lost {
    text: String,
    by: f64,
    level: &'static str,
    /// Nats lost by kind of part.
    kinds: Vec<(&'static str, f64)>,
}

struct Room<'a> {
    house: &'a House,
    groundwork: &'a Groundwork,
    law: &'a Law<'a>,
    often: &'a [f64],
}

impl Room<'_> {
    /// Nats that the scorer finds in a find for one type over another.
    fn scored(&self, find: &Find, truth: usize, rival: usize) -> f64 {
        let options = Options {
            flat_prior: true,
            keep_all: true,
        };
        let library = &self.house.catalogue;
        let ranking = Bench::new(find, library, self.groundwork).judge(&[truth, rival], options);
        let total = |of: usize| {
            let judged = ranking.judged.iter().find(|judged| judged.coin == of);
            judged.map_or(f64::NAN, |judged| judged.total - judged.prior)
        };
        total(truth) - total(rival)
    }

    fn by_law(&self, find: &Find, truth: usize, rival: usize) -> f64 {
        let chances = self.law.log_chances(find);
        (chances[truth] - chances[rival]).clamp(-60.0, 60.0)
    }

    fn lost(&self, truth: usize, find: &Find) -> Option<Lost> {
        let library = &self.house.catalogue;
        let exact = marks(
            &Given::Shares(self.law.shares(find, self.often)),
            truth,
            library,
        );
        let said = self.house.identify(find, IdentifyOptions::default());
        let scored = marks_of_answer(&said, truth, library);
        let at = [1, 2].into_iter().find(|at| {
            let named = exact[*at].above == 0.0 && exact[*at].p.is_some_and(|p| p >= NAMED);
            named && scored[*at].p.is_some_and(|p| p < LOST)
        })?;
        let (level, name) = LEVELS[at];
        let key = |of: usize| crate::yardsticks::exam::key(level, of, &library.types[of]);
        let rival = said
            .ranking
            .judged
            .iter()
            .find(|one| key(one.coin) != key(truth))?
            .coin;
        let silent = self.by_law(&Find::default(), truth, rival);
        let whole = self.by_law(find, truth, rival) - self.scored(find, truth, rival);
        let mut kinds = vec![("silence", silent)];
        let mut lines = Vec::new();
        for part in parts(find) {
            let law = self.by_law(&part.find, truth, rival) - silent;
            let scorer = self.scored(&part.find, truth, rival);
            kinds.push((part.kind, law - scorer));
            let lost = law - scorer;
            lines.push((
                lost,
                format!(
                    "    {lost:+6.2}  {law:+7.2} {scorer:+7.2}  {}: {}\n",
                    part.kind, part.said
                ),
            ));
        }
        let told: f64 = kinds.iter().map(|(_, nats)| nats).sum();
        kinds.push(("together", whole - told));
        lines.sort_by(|a, b| b.0.total_cmp(&a.0));
        let prior = (self.often[truth] / self.often[rival]).ln();
        let p = |marks: &[crate::yardsticks::exam::Mark; 4]| marks[at].p.unwrap_or(0.0);
        let text = format!(
            "{name}: {} (exact {:.2}, scorer {:.3}), taken for {}; prior {prior:+.2}\n\
             {}    {silent:+6.2}  {silent:+7.2}   +0.00  silence\n    {:+6.2}  together\n",
            library.types[truth].id,
            p(&exact),
            p(&scored),
            library.types[rival].id,
            lines.into_iter().map(|line| line.1).collect::<String>(),
            whole - told,
        );
        Some(Lost {
            text,
            by: whole,
            level: name,
            kinds,
        })
    }
}

pub fn tell(
    house: &House,
    groundwork: &Groundwork,
    block: &Block,
    count: usize,
) -> Result<(), Box<dyn Error>> {
    let law = Law::new(&house.catalogue);
    let room = Room {
        house,
        groundwork,
        law: &law,
        often: &block.often,
    };
    let finds = simulate::finds(&house.catalogue, &block.often, block.seed + 2, count);
    let described = |found: &&(usize, Find)| found.1.trait_count() >= DESCRIBED;
    let described: Vec<_> = finds.iter().filter(described).collect();
    let lost = described
        .par_iter()
        .filter_map(|(truth, find)| room.lost(*truth, find));
    let mut lost: Vec<Lost> = lost.collect();
    lost.sort_by(|a, b| b.by.total_cmp(&a.by));
    println!(
        "{} of {} finds with {DESCRIBED} traits or more",
        lost.len(),
        described.len()
    );
    println!("nats lost (law less scorer), law, scorer; by part\n");
    let mut worst: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for one in &lost {
        let most = one.kinds.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let (kind, nats) = most.ok_or("a find without parts")?;
        worst.entry(kind).or_default().push(*nats);
    }
    for (kind, nats) in &worst {
        let mean = nats.iter().sum::<f64>() / nats.len() as f64;
        println!(
            "{kind}: loses most in {}, {mean:.1} nats in the mean",
            nats.len()
        );
    }
    for level in ["ruler", "denomination"] {
        println!(
            "{level}: {}",
            lost.iter().filter(|one| one.level == level).count()
        );
    }
    println!();
    lost.iter()
        .take(SHOWN)
        .for_each(|one| println!("{}", one.text));
    Ok(())
}

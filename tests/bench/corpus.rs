//! What the benches work on.
//!
//! Corpus: the library in the program; simulated finds of one seed; four descriptions
//! in words. Nothing is measured here.

use lynchet::find::Find;
use lynchet::{House, HouseOptions};

use lynchet::simulate;

/// Seed of every simulated find.
const SEED: u64 = 1662;

/// Descriptions as a person types them: little said, much said, letters, motifs.
pub const DESCRIPTIONS: [&str; 4] = [
    "silver, 17 mm, 1.2 g, long cross, reads EDW R",
    "bronze 17 mm 2.1 g",
    "bronze 16 mm, two soldiers with one standard between, reads CONSTAN",
    "silver 18 mm 3 g, obverse: reads HADRIAN, reverse: reads [---]COS III, woman with scales",
];

/// The house without a cache.
pub fn house() -> House {
    House::open(&HouseOptions::default()).expect("the library opens")
}

/// This many simulated finds.
pub fn finds(house: &House, count: usize) -> Vec<Find> {
    let made = simulate::finds(
        &house.catalogue,
        &simulate::every_period(&house.catalogue),
        SEED,
        count,
    );
    made.into_iter().map(|(_, find)| find).collect()
}

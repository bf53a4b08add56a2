//! Throughput: simulated finds judged on all cores, as the `batch` verb judges them.

use std::hint::black_box;

use criterion::{Criterion, SamplingMode, Throughput};
use lynchet::{House, IdentifyOptions};
use rayon::prelude::*;

use crate::corpus;

/// Finds in the table.
const ROWS: usize = 5_000;

/// Judges the whole table; the figure is finds a second.
pub fn throughput(criterion: &mut Criterion, house: &House) {
    let finds = corpus::finds(house, ROWS);
    let mut group = criterion.benchmark_group("batch");
    group.sample_size(10).sampling_mode(SamplingMode::Flat);
    group.throughput(Throughput::Elements(ROWS as u64));
    group.bench_function("all-cores", |b| {
        b.iter(|| {
            finds.par_iter().for_each(|find| {
                black_box(house.identify(find, IdentifyOptions::default()));
            });
        });
    });
    group.finish();
}

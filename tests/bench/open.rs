//! Opening the house: in memory, with an empty cache folder (the index is built and
//! kept), and with a filled one.

use criterion::{BatchSize, Criterion};
use lynchet::{House, HouseOptions};
use tempfile::TempDir;

/// Opens the house in its three ways.
pub fn opening(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("open");
    group.sample_size(20);
    group.bench_function("in-memory", |b| {
        b.iter(|| House::open(&HouseOptions::default()));
    });
    group.bench_function("cold", |b| {
        // The folder is handed back with the house, so its removal is not timed.
        let folder = || TempDir::new().expect("a temporary folder");
        b.iter_batched(
            folder,
            |cache| (House::open(&with(&cache)), cache),
            BatchSize::PerIteration,
        );
    });
    let cache = TempDir::new().expect("a temporary folder");
    House::open(&with(&cache)).expect("the library opens");
    group.bench_function("warm", |b| b.iter(|| House::open(&with(&cache))));
    group.finish();
}

fn with(cache: &TempDir) -> HouseOptions {
    HouseOptions {
        cache: Some(cache.path().to_path_buf()),
        ..HouseOptions::default()
    }
}

//! trial
use lynchet::score::{Bench, Groundwork, Options, Ranking};
use lynchet::{House, HouseOptions, simulate};
use rayon::prelude::*;
use std::collections::HashMap;

fn groups(r: &Ranking, key: &dyn Fn(usize) -> Option<usize>) -> (HashMap<Option<usize>, f64>, f64) {
    let mut m = HashMap::new();
    for j in &r.judged {
        *m.entry(key(j.coin)).or_insert(0.0) += j.probability;
    }
    (m, r.unlisted)
}

fn main() {
    let house = House::open(&HouseOptions::default()).unwrap();
    let lib = &house.catalogue;
    let groundwork = Groundwork::new(lib);
    let often: Vec<f64> = groundwork.log_priors().iter().map(|p| p.exp()).collect();
    let finds = simulate::finds(lib, &often, 77, 6000);
    let rankings: Vec<(usize, bool, Ranking)> = finds
        .par_iter()
        .enumerate()
        .map(|(i, (truth, find))| {
            let out = i % 16 == 0;
            let mut c = house.candidates(find).unwrap();
            if out {
                c.retain(|x| x != truth);
            }
            let r = Bench::new(find, lib, &groundwork).judge(&c, Options::default());
            (*truth, out, r)
        })
        .collect();
    let levels: Vec<(&str, Box<dyn Fn(usize) -> Option<usize>>)> = vec![
        ("period", Box::new(|c| Some(lib.types[c].period))),
        ("ruler", Box::new(|c| lib.types[c].ruler)),
        (
            "denomination",
            Box::new(|c| Some(lib.types[c].denomination)),
        ),
        ("series", Box::new(|c| Some(lib.types[c].series))),
        ("type", Box::new(|c| Some(c))),
    ];
    for (name, key) in &levels {
        // (masses, index of truth)
        let mut rows: Vec<(Vec<f64>, Option<usize>, usize)> = Vec::new();
        for (truth, out, r) in &rankings {
            let (m, u) = groups(r, key.as_ref());
            let mut v: Vec<(Option<Option<usize>>, f64)> =
                m.into_iter().map(|(k, p)| (Some(k), p)).collect();
            v.push((None, u));
            v.sort_by(|a, b| b.1.total_cmp(&a.1));
            let want = if *out && *name == "type" {
                None
            } else {
                Some(key(*truth))
            };
            let at = v.iter().position(|x| x.0 == want);
            rows.push((
                v.into_iter().map(|x| x.1).collect(),
                at,
                lib.types[*truth].period,
            ));
        }
        let nll = |b: f64, rows: &[&(Vec<f64>, Option<usize>, usize)]| -> f64 {
            rows.iter()
                .map(|(v, at, _)| {
                    let z: f64 = v.iter().map(|p| p.powf(b)).sum();
                    at.map_or(12.0, |a| -(v[a].powf(b) / z).max(6e-6).ln())
                })
                .sum::<f64>()
                / rows.len() as f64
        };
        let best = |rows: &[&(Vec<f64>, Option<usize>, usize)]| {
            let mut b = (1.0, f64::MAX);
            for i in 4..40 {
                let x = i as f64 * 0.05;
                let l = nll(x, rows);
                if l < b.1 {
                    b = (x, l);
                }
            }
            b
        };
        let all: Vec<_> = rows.iter().collect();
        let (b, l) = best(&all);
        println!("{name}: nll {:.4} -> beta {b:.2} {l:.4}", nll(1.0, &all));
        for e in [1.0, b] {
            let mut bins = [(0usize, 0.0, 0usize); 10];
            for (v, at, _) in &rows {
                let z: f64 = v.iter().map(|p| p.powf(e)).sum();
                let p = v[0].powf(e) / z;
                let k = ((p * 10.0) as usize).min(9);
                bins[k].0 += 1;
                bins[k].1 += p;
                bins[k].2 += usize::from(*at == Some(0));
            }
            let t: Vec<String> = bins
                .iter()
                .filter(|b| b.0 > 0)
                .map(|b| {
                    format!(
                        "{:.2}->{:.2}({})",
                        b.1 / b.0 as f64,
                        b.2 as f64 / b.0 as f64,
                        b.0
                    )
                })
                .collect();
            println!("   {}", t.join(" "));
        }
        for p in 0..lib.periods.len() {
            let some: Vec<_> = rows.iter().filter(|r| r.2 == p).collect();
            if some.len() > 50 {
                let (b, l) = best(&some);
                println!(
                    "   {} n {} nll {:.3} beta {b:.2} {l:.3}",
                    lib.periods[p].id,
                    some.len(),
                    nll(1.0, &some)
                );
            }
        }
    }
}

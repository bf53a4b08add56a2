//! x
use lynchet::{House, HouseOptions, IdentifyOptions, catalogue, parse};
use std::time::Instant;
fn main() {
    let t = Instant::now();
    let files = catalogue::embedded();
    eprintln!("embedded {:?}", t.elapsed());
    let t = Instant::now();
    let d = catalogue::digest(&files);
    eprintln!("digest {:?}", t.elapsed());
    let t = Instant::now();
    let (raw, _) = catalogue::read(&files);
    eprintln!("read {:?}", t.elapsed());
    let t = Instant::now();
    let bytes = postcard::to_stdvec(&raw).unwrap();
    eprintln!("encode {:?} {}", t.elapsed(), bytes.len());
    let t = Instant::now();
    let raw2: catalogue::raw::RawLibrary = postcard::from_bytes(&bytes).unwrap();
    eprintln!("decode {:?}", t.elapsed());
    let t = Instant::now();
    let (c, _) = catalogue::resolve(&raw2, &d);
    eprintln!("resolve {:?}", t.elapsed());
    eprintln!(
        "inscriptions {} forms {}",
        c.inscriptions.len(),
        c.inscriptions.iter().map(|i| i.forms.len()).sum::<usize>()
    );
    let t = Instant::now();
    let _g = lynchet::score::Groundwork::new(&c);
    eprintln!("groundwork {:?}", t.elapsed());
    let t = Instant::now();
    let _g = parse::Lexicon::new(&c);
    eprintln!("lexicon {:?}", t.elapsed());
    let h = House::open(&HouseOptions {
        library: None,
        cache: Some("/tmp/lc".into()),
    })
    .unwrap();
    let t = Instant::now();
    let _h = House::open(&HouseOptions {
        library: None,
        cache: Some("/tmp/lc".into()),
    })
    .unwrap();
    eprintln!("open warm {:?}", t.elapsed());
    for w in [
        "silver, 17 mm, 1.2 g, long cross, reads EDW R",
        "bronze 17 mm 2.1 g",
        "bronze 16 mm, two soldiers one standard, reads CONSTAN",
        "silver 18 mm 3 g reverse: reads [---]COS III, woman with scales, obverse: HADRIAN",
    ] {
        let t = Instant::now();
        let (f, r) = parse::words(w, &h.lexicon);
        eprintln!("parse {:?} {}", t.elapsed(), r.len());
        let t = Instant::now();
        let cand = h.candidates(&f).unwrap();
        eprintln!("candidates {} {:?}", cand.len(), t.elapsed());
        let mut v = vec![];
        for _ in 0..200 {
            let t = Instant::now();
            std::hint::black_box(h.identify(&f, IdentifyOptions::default()));
            v.push(t.elapsed());
        }
        v.sort();
        eprintln!("identify {:?}", v[100]);
    }
}

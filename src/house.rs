//! The house: library, index and groundwork opened once, and the calls that
//! every door makes.
//!
//! Keeps a copy of the parsed library and of the index in a cache folder named by
//! the library's digest; the cache can be deleted at any time and nothing is lost.
//! Never writes anywhere else.
//!
//! Invariant: with a cache, without one, and with a spoilt one, the answers are the same.

mod artefacts;
mod cache;
mod taken;
mod things;

pub use artefacts::LaidArtefacts;
use cache::Cache;
pub use taken::{HeardThing, Taken, Told};
pub use things::{ThingIdentification, Things};

use std::io;
use std::path::PathBuf;

use crate::catalogue::{self, Catalogue, Fault, Files, Layered, OwnFiles};
use crate::explain::{Comparison, Explanation, answer_text, compare, explain};
use crate::find::Find;
use crate::parse::Lexicon;
use crate::retrieve::{IndexFault, Shelves};
use crate::score::{
    Aim, Answer, Asks, Bench, Confirmed, DateCurve, FieldProfile, Groundwork, LOOK_ENOUGH,
    LOOK_LEAST, Learnt, Look, MeasureLaw, Options, Ranking, Rolled, Shares, Wanted, log_priors,
    looks, nine_in_ten,
};

/// How to open the house.
#[derive(Clone, Debug, Default)]
pub struct HouseOptions {
    /// A library folder in place of the one in the binary.
    pub library: Option<PathBuf>,
    /// Folder for the cache; without one everything is made in memory.
    pub cache: Option<PathBuf>,
    /// A folder of the person's own types, laid on the library; where it is not there or holds
    /// nothing, all is as without.
    pub layer: Option<PathBuf>,
}

impl HouseOptions {
    /// Digest of the library that a house opened so would have.
    ///
    /// # Errors
    ///
    /// When the library's folder cannot be read.
    pub fn digest(&self) -> Result<String, HouseFault> {
        let library = self.library.as_ref();
        let library = library.map(|folder| catalogue::from_folder(folder));
        let library = library.transpose().map_err(HouseFault::Library)?;
        Ok(self.digest_over(library.as_ref(), &self.own()))
    }

    fn own(&self) -> OwnFiles {
        self.layer
            .as_ref()
            .map_or_else(OwnFiles::default, |folder| OwnFiles::of(folder))
    }

    fn digest_over(&self, library: Option<&Files>, own: &OwnFiles) -> String {
        let digest = library.map_or_else(catalogue::embedded_coin_digest, catalogue::coin_digest);
        catalogue::layered_digest(&digest, own)
    }
}

/// How to identify.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct IdentifyOptions<'f> {
    /// Take every listed type as equally likely beforehand.
    pub flat_prior: bool,
    /// Judge every type of the library, without asking the index.
    pub judge_all: bool,
    /// What the field has given before.
    pub field: Option<&'f FieldProfile>,
    /// What the finder's own confirmed finds teach.
    pub learnt: Option<&'f Learnt>,
    /// Judge these types, by their positions, and do not ask the index.
    pub among: Option<&'f [usize]>,
    /// Leave out the account and what an even prior would say: a table of answers shows neither.
    pub answer_only: bool,
}

/// Why the house could not be opened.
#[derive(Debug)]
pub enum HouseFault {
    /// The library's folder could not be read.
    Library(io::Error),
    /// The library holds no type that can be ranked.
    Empty(Vec<Fault>),
    /// The index could not be made even in memory.
    Index(IndexFault),
}

impl std::fmt::Display for HouseFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            HouseFault::Library(error) => write!(f, "the library could not be read: {error}"),
            HouseFault::Empty(faults) => {
                write!(f, "the library holds no type that can be ranked")?;
                faults
                    .iter()
                    .take(5)
                    .try_for_each(|fault| write!(f, "\n  {fault}"))
            }
            HouseFault::Index(fault) => write!(f, "{fault}"),
        }
    }
}

impl std::error::Error for HouseFault {}

/// Library, index and groundwork.
pub struct House {
    /// The library.
    pub catalogue: Catalogue,
    /// The words the library knows.
    pub lexicon: Lexicon,
    /// Faults met in reading and linking the library; types with them are left out.
    pub faults: Vec<Fault>,
    /// Faults of the person's own types, in words; rows with them are left out.
    pub own_faults: Vec<String>,
    groundwork: Groundwork,
    shelves: Shelves,
}

/// All that is said of a find.
#[derive(Clone, Debug)]
pub struct Identification {
    /// The judged types and the mass left to "not in the library".
    pub ranking: Ranking,
    /// Marginals.
    pub shares: Shares,
    /// The types among which the true one is nine times in ten, if the library has it.
    pub likely: Vec<usize>,
    /// Date density, unless nothing listed has mass.
    pub date: Option<DateCurve>,
    /// The narrowest level the evidence carries.
    pub answer: Answer,
    /// The answer as a phrase.
    pub text: String,
    /// What the answer would be with every type equally likely beforehand.
    pub flat: (Answer, String),
    /// The account.
    pub explanation: Explanation,
}

/// Types side by side, with what a picture of them is drawn from.
#[derive(Clone, Debug)]
pub struct Compared {
    /// The rows, and what a find says of each.
    pub comparison: Comparison,
    /// Weight and diameter of each type as struck.
    pub struck: Vec<MeasureLaw>,
    /// Weight and diameter of each type as found, in the state the find is in.
    pub found: Vec<MeasureLaw>,
}

impl House {
    /// Opens the house.
    pub fn open(options: &HouseOptions) -> Result<House, HouseFault> {
        let own = options
            .library
            .as_ref()
            .map(|folder| catalogue::from_folder(folder));
        let own = own.transpose().map_err(HouseFault::Library)?;
        let layer = options.own();
        let digest = options.digest_over(own.as_ref(), &layer);
        let cache = options
            .cache
            .as_ref()
            .map(|folder| Cache::at(folder, &digest));
        // The index, the library and its words wait for the disk and for one another as little
        // as they can: on two cores that halves the time to a first answer.
        let index = cache.as_ref().map(|cache| {
            let folder = cache.index();
            std::thread::spawn(move || Shelves::open(&folder).ok())
        });
        let kept = cache.as_ref().and_then(Cache::ready);
        let opened = || index.and_then(|index| index.join().ok().flatten());
        let (ready, faults, shelves) = match kept {
            Some(ready) => {
                let shelves = shelves_of(&ready.catalogue, opened, cache.as_ref());
                (ready, Vec::new(), shelves)
            }
            None => make_ready(
                &own.unwrap_or_else(catalogue::embedded),
                &layer,
                &digest,
                cache.as_ref(),
                opened,
            ),
        };
        let Ready {
            catalogue,
            lexicon,
            groundwork,
            own_faults,
        } = ready;
        let unread = layer.faults.iter().map(ToString::to_string);
        let own_faults = unread.chain(own_faults).collect();
        let Some(shelves) = shelves else {
            return Err(HouseFault::Empty(faults));
        };
        let shelves = shelves.map_err(HouseFault::Index)?;
        Ok(House {
            lexicon,
            catalogue,
            faults,
            own_faults,
            groundwork,
            shelves,
        })
    }

    /// Opens the house over a linked library, in memory.
    pub fn of(catalogue: Catalogue) -> Result<House, HouseFault> {
        let (ready, shelves) = worked_out(catalogue, |made| shelves_of(made, || None, None));
        let Some(shelves) = shelves else {
            return Err(HouseFault::Empty(Vec::new()));
        };
        let shelves = shelves.map_err(HouseFault::Index)?;
        Ok(House {
            lexicon: ready.lexicon,
            catalogue: ready.catalogue,
            faults: Vec::new(),
            own_faults: Vec::new(),
            groundwork: ready.groundwork,
            shelves,
        })
    }

    /// Identifies a find: the one call that every door makes to name it.
    pub fn identify(&self, find: &Find, options: IdentifyOptions<'_>) -> Identification {
        let all = || (0..self.catalogue.types.len()).collect::<Vec<usize>>();
        // An index that fails at the last moment costs speed, not the answer.
        let candidates = || {
            if options.judge_all {
                all()
            } else if let Some(among) = options.among {
                among.to_vec()
            } else {
                self.candidates(find).unwrap_or_else(|_| all())
            }
        };
        let ranking = Bench::taught(find, &self.catalogue, &self.groundwork, options.learnt)
            .on_field(options.field)
            .judge(
                &candidates(),
                Options {
                    flat_prior: options.flat_prior,
                    keep_all: options.judge_all,
                },
            );
        let rolled = Rolled::new(&ranking, &self.catalogue);
        let answer = rolled.answer();
        let text = answer_text(&answer, &self.catalogue);
        let flat = if options.flat_prior || options.answer_only {
            answer
        } else {
            Answer::of(&ranking.with_flat_prior(&self.catalogue), &self.catalogue)
        };
        let mut explanation = match options.answer_only {
            true => Explanation::default(),
            false => explain(find, &self.catalogue, &ranking, &answer),
        };
        if let (Some(learnt), false) = (options.learnt, options.answer_only) {
            explanation.taught = learnt.told(find);
        }
        Identification {
            shares: rolled.shares(),
            likely: nine_in_ten(&ranking, &self.catalogue),
            date: DateCurve::of(&ranking, &self.catalogue),
            flat: (flat, answer_text(&flat, &self.catalogue)),
            text,
            explanation,
            answer,
            ranking,
        }
    }

    /// What confirmed finds teach, to be handed in with the next find.
    pub fn learn(&self, confirmed: &[Confirmed], wanted: Wanted) -> Learnt {
        Learnt::of(confirmed, wanted, &self.catalogue, &self.groundwork)
    }

    /// Holds types, by their positions, against one another, and a find, where there is one, against
    /// each of them. A find's terms are those that [`House::identify`] gives: no term depends on
    /// which other types are candidates.
    pub fn compare(&self, types: &[usize], find: Option<&Find>, flat_prior: bool) -> Compared {
        let library = &self.catalogue;
        let options = Options {
            flat_prior,
            keep_all: true,
        };
        let judge = |find| Bench::new(find, library, &self.groundwork).judge(types, options);
        let ranking = find.map(|find| (find, judge(find)));
        let judged = ranking.as_ref().map(|(find, ranking)| (*find, ranking));
        let unsaid = Find::default();
        let [struck, found] = self.measured(types, find.unwrap_or(&unsaid));
        Compared {
            comparison: compare(types, judged, library),
            struck,
            found,
        }
    }

    /// Weight and diameter of types, by their positions, as struck and as found in the state that a
    /// find is in: what a picture of them is drawn from.
    pub fn measured(&self, types: &[usize], find: &Find) -> [Vec<MeasureLaw>; 2] {
        let library = &self.catalogue;
        let coins = || types.iter().map(|coin| &library.types[*coin]);
        [
            coins().map(|c| MeasureLaw::struck(c, library)).collect(),
            coins()
                .map(|c| MeasureLaw::found(find, c, library))
                .collect(),
        ]
    }

    /// Every look that may be taken at a find, the one worth most first.
    pub fn looks(&self, find: &Find, ranking: &Ranking, aim: Aim, asked: &[Asks]) -> Vec<Look> {
        looks(find, &self.catalogue, &self.groundwork, ranking, aim, asked)
    }

    /// The looks worth asking for, the best first, and what they are to tell.
    ///
    /// Without an aim of the finder's own, the first below what the answer says that is in doubt
    /// and of which some look would tell. None are given when there is no doubt left, or no look
    /// that would lessen it.
    pub fn next_looks(
        &self,
        find: &Find,
        said: &Identification,
        wanted: Option<Aim>,
        asked: &[Asks],
    ) -> (Aim, Vec<Look>) {
        let begin = wanted.unwrap_or_else(|| Aim::below(said.answer.level));
        let end = wanted.unwrap_or(Aim::Type);
        for aim in Aim::ALL.into_iter().filter(|a| (begin..=end).contains(a)) {
            let leader = aim.leader(&said.ranking, &self.catalogue);
            if leader.is_some_and(|(p, _)| p >= LOOK_ENOUGH) {
                continue;
            }
            let mut looks = self.looks(find, &said.ranking, aim, asked);
            looks.retain(|look| look.bits >= LOOK_LEAST);
            // A look that asks again for what a better one asks for is no second look.
            let mut places: Vec<Asks> = Vec::new();
            looks.retain(|look| {
                let new = places.iter().all(|held| !held.overlaps(&look.asks));
                places.push(look.asks.clone());
                new
            });
            if !looks.is_empty() {
                return (aim, looks);
            }
        }
        (end, Vec::new())
    }

    /// The types the index would have judged.
    pub fn candidates(&self, find: &Find) -> Result<Vec<usize>, IndexFault> {
        self.shelves.candidates(find, &self.catalogue)
    }
}

/// All that is worked out from a library's text before the first find.
struct Ready {
    catalogue: Catalogue,
    lexicon: Lexicon,
    groundwork: Groundwork,
    /// Faults of the rows of the person's own types, in words.
    own_faults: Vec<String>,
}

/// Reads, links and works out, and keeps what came of it.
fn make_ready(
    files: &Files,
    layer: &OwnFiles,
    digest: &str,
    cache: Option<&Cache>,
    opened: impl FnOnce() -> Option<Shelves>,
) -> (Ready, Vec<Fault>, Option<Result<Shelves, IndexFault>>) {
    let (catalogue, faults, own_faults) = match layer.files.is_empty() {
        true => {
            let (raw, mut faults) = catalogue::read(files);
            let (catalogue, unlinked) = catalogue::resolve(&raw, digest);
            faults.extend(unlinked);
            catalogue::place(&mut faults, files);
            // Taking the rows apart again is work for whichever hand is free.
            std::thread::spawn(move || drop(raw));
            (catalogue, faults, Vec::new())
        }
        false => {
            let Layered {
                catalogue,
                faults,
                own_faults,
            } = catalogue::layered(files, layer, digest);
            let own = own_faults.iter().map(ToString::to_string).collect();
            (catalogue, faults, own)
        }
    };
    let (mut ready, shelves) = worked_out(catalogue, |made| shelves_of(made, opened, cache));
    ready.own_faults = own_faults;
    // A library with faults is read afresh each time, so that they are shown each time.
    if let (Some(cache), true) = (cache, faults.is_empty()) {
        cache.keep(&ready);
    }
    (ready, faults, shelves)
}

/// Works out from a linked library what every find is held against, the index beside the rest.
fn worked_out<S>(catalogue: Catalogue, index: impl FnOnce(&Catalogue) -> S) -> (Ready, S) {
    let (lexicon, groundwork, index) = std::thread::scope(|scope| {
        let groundwork = scope.spawn(|| Groundwork::new(&catalogue));
        let words = scope.spawn(|| Lexicon::new(&catalogue));
        let index = index(&catalogue);
        (
            words.join().unwrap_or_else(|_| Lexicon::new(&catalogue)),
            groundwork
                .join()
                .unwrap_or_else(|_| Groundwork::new(&catalogue)),
            index,
        )
    });
    let ready = Ready {
        catalogue,
        lexicon,
        groundwork,
        own_faults: Vec::new(),
    };
    (ready, index)
}

/// The index of a library: the one that was opened where it is whole, or else a new one, in the cache
/// where there is one; none for a library without types.
fn shelves_of(
    catalogue: &Catalogue,
    opened: impl FnOnce() -> Option<Shelves>,
    cache: Option<&Cache>,
) -> Option<Result<Shelves, IndexFault>> {
    let types = catalogue.types.len();
    if types == 0 {
        return None;
    }
    let whole = |shelves: &Shelves| shelves.types() == types;
    if let Some(shelves) = opened().filter(whole) {
        return Some(Ok(shelves));
    }
    let priority = log_priors(catalogue);
    let kept = cache.and_then(|cache| {
        cache.keep_index(catalogue, &priority);
        Shelves::open(&cache.index()).ok()
    });
    let new = || Shelves::in_memory(catalogue, &priority);
    Some(kept.filter(whole).map_or_else(new, Ok))
}

//! Things that are not coins: their half of the library opened when a find asks for it, and the one
//! call that judges them.
//!
//! Never changes what coins are judged by; a find plainly described as a coin does not open it.
//!
//! Invariant: with the kept part, without it, and with a spoilt one, the answers are the same.

use super::artefacts::{artefact_part, own_faults};
use super::{Cache, House, HouseFault, HouseOptions, IdentifyOptions};
use crate::catalogue::{Artefacts, Fault};
use crate::find::{Find, Object};
use crate::parse::{ObjectLexicon, Remark, object_words};
use crate::score::{
    Hypothesis, Kind, ObjectGroundwork, ThingAim, ThingAnswer, ThingAsks, ThingJudged, ThingLook,
    ThingLoud, ThingRanking, ThingShares, judge_thing, kind, shared_evidence, thing_looks,
    unlisted_prior, unlisted_shift,
};

/// The half of the library that holds things, ready to judge by.
pub struct Things {
    /// The rows.
    pub artefacts: Artefacts,
    /// Their words.
    pub lexicon: ObjectLexicon,
    /// Faults met in reading and linking; rows with them are left out.
    pub faults: Vec<Fault>,
    /// Faults of the person's own types of things, in words; types with them are left out.
    pub own_faults: Vec<String>,
    ground: ObjectGroundwork,
}

/// All that is said of a thing.
#[derive(Clone, Debug)]
pub struct ThingIdentification {
    /// Every hypothesis, the likeliest first.
    pub ranking: ThingRanking,
    /// Shares at each level.
    pub shares: ThingShares,
    /// The narrowest level that the evidence carries.
    pub answer: ThingAnswer,
}

impl ThingIdentification {
    /// The hypothesis that the account is of: the likeliest that the answer covers.
    pub fn explained(&self) -> Option<&ThingJudged> {
        let judged = &self.ranking.judged;
        let like = self.answer.like;
        let covered = judged
            .iter()
            .find(|one| like.is_some_and(|at| one.what == Hypothesis::Type(at)));
        covered
            .filter(|one| !one.terms.is_empty())
            .or(judged.first())
    }
}

impl Things {
    /// Works out from linked rows what every thing is held against.
    pub fn of(artefacts: Artefacts, house: &House) -> Things {
        let lexicon = ObjectLexicon::new(&artefacts, &house.catalogue);
        let ground = ObjectGroundwork::new(&artefacts, &house.catalogue);
        Things {
            artefacts,
            lexicon,
            faults: Vec::new(),
            own_faults: Vec::new(),
            ground,
        }
    }

    /// Understands free words about a thing, beside what the same words say of a coin.
    pub fn hear(&self, text: &str, find: &Find) -> (Object, Vec<Remark>) {
        object_words(text, find, &self.lexicon)
    }

    /// Judges a thing.
    pub fn identify(&self, object: &Object, house: &House) -> ThingIdentification {
        let ranking = judge_thing(object, &self.artefacts, &house.catalogue, &self.ground);
        let shares = ThingShares::of(&ranking, &self.artefacts);
        let answer = ThingAnswer::of(&shares, &ranking, &self.artefacts);
        ThingIdentification {
            ranking,
            shares,
            answer,
        }
    }

    /// The looks worth taking, the best first, and what they are to tell.
    pub fn looks(
        &self,
        object: &Object,
        said: &ThingIdentification,
        asked: &[ThingAsks],
        house: &House,
    ) -> (ThingAim, Vec<ThingLook>) {
        let library = (&self.artefacts, &house.catalogue, &self.ground);
        thing_looks(object, &said.ranking, &said.shares, library, asked)
    }

    /// Sets how loud each kind of witness is, for those who fit it.
    pub fn set_loud(&mut self, loud: ThingLoud) {
        self.ground.loud = loud;
    }

    /// What is worked out once from the rows.
    pub fn groundwork(&self) -> &ObjectGroundwork {
        &self.ground
    }

    /// How likely what was said is of a coin.
    pub fn kind(&self, find: &Find, object: &Object, text: &str, house: &House) -> Kind {
        let kind = kind(find, object, &self.artefacts, text);
        if !kind.is_open() || (find.metal.is_none() && find.diameter.is_none()) {
            return kind;
        }
        let shared = Find {
            metal: find.metal,
            diameter: find.diameter,
            ..Find::default()
        };
        let options = IdentifyOptions {
            answer_only: true,
            ..IdentifyOptions::default()
        };
        let unlisted = house
            .identify(&shared, options)
            .ranking
            .unlisted
            .clamp(1e-6, 1.0 - 1e-6);
        let before = unlisted_prior(find.metal.map(|metal| metal.0));
        // How loud "not in the library" is among coins says nothing of whether it is one.
        let loud = unlisted_shift(find.metal.map(|metal| metal.0));
        let coin = ((1.0 - unlisted) / unlisted).ln() - ((1.0 - before) / before).ln() + loud;
        let thing = shared_evidence(object, &self.artefacts, &house.catalogue, &self.ground);
        kind.with_shared(coin - thing)
    }
}

impl House {
    /// The things of the library that this house was opened with; `options` are those of the opening.
    pub fn things(&self, options: &HouseOptions) -> Result<Things, HouseFault> {
        let part = artefact_part(options)?;
        let cache = self.cache_of(options);
        let own = options.own().has_things();
        if let Some(kept) = cache.as_ref().and_then(|cache| kept(cache, &part, own)) {
            return Ok(kept);
        }
        let laid = self.laid_artefacts(options)?;
        let things = Things {
            faults: laid.faults,
            own_faults: laid.own_faults,
            ..Things::of(laid.artefacts, self)
        };
        if let (Some(cache), true) = (cache, things.faults.is_empty()) {
            cache.keep_part(&format!("{part}-words"), &things.lexicon);
            cache.keep_part(&format!("{part}-ground"), &things.ground);
        }
        Ok(things)
    }
}

/// What was kept, its parts read side by side.
fn kept(cache: &Cache, part: &str, own: bool) -> Option<Things> {
    std::thread::scope(|scope| {
        let rest = scope.spawn(|| {
            let lexicon = cache.part(&format!("{part}-words"))?;
            let ground = cache.part(&format!("{part}-ground"))?;
            Some((lexicon, ground))
        });
        let artefacts: Artefacts = cache.part(part)?;
        let own_faults = own_faults(cache, part, own)?;
        let (lexicon, ground) = rest.join().ok().flatten()?;
        Some(Things {
            artefacts,
            lexicon,
            faults: Vec::new(),
            own_faults,
            ground,
        })
    })
}

//! The rules of the Treasure Act, one function a limb.
//!
//! Each holds the facts against its limb and says met or open, for which pieces, and what would
//! decide; a limb that no reading of the facts meets says nothing.
//!
//! Invariant: no limb gets lower when a piece is added or a fact that speaks for it gets firmer.

use super::day::{CalendarDay, When};
use super::facts::{Alteration, Facts, Piece, SameFind, What};
use super::law::law;
use super::metal::MetalFacts;
use super::truth::Truth;
use super::verdict::{Bite, Decider};

/// Coins of any metal that make a find of them (s.1(1)(a)(iii)).
const TEN: u64 = 10;
/// Coins of gold or silver that do (s.1(1)(a)(ii)).
const TWO: u64 = 2;
/// From so many coins on a group may be part of ten; a judgement of this program: half the number.
const PART_OF_TEN: u64 = 5;
/// The last year whose pierced coins are to be reported (guidance of 2010: before 1180).
const PIERCED_UNTIL: i32 = 1179;

/// The days on which rules began (facts 1.1).
const ACT_FROM: (i32, u32, u32) = (1997, 9, 24);
const ORDER_2002_FROM: (i32, u32, u32) = (2003, 1, 1);
const ORDER_2023_FROM: (i32, u32, u32) = (2023, 7, 30);

/// A piece as the limbs see it.
struct Seen {
    count: u64,
    coin: Truth,
    object: Truth,
    /// Not left out as natural and unworked.
    made: Truth,
    old300: Truth,
    old200: Truth,
    prehistoric: Truth,
    metal: MetalFacts,
    /// A coin with a hole: nobody takes it for hidden gold on that account.
    only_pierced: bool,
}

/// The facts made ready for the limbs.
pub(super) struct Bench<'f> {
    facts: &'f Facts,
    seen: Vec<Seen>,
    together: Truth,
    act: Truth,
    order_2002: Truth,
    order_2023: Truth,
}

/// A condition and what would decide it.
type Held = (Truth, Decider);

impl<'f> Bench<'f> {
    pub(super) fn new(facts: &'f Facts, found: When) -> Bench<'f> {
        let several = facts.count() > 1;
        Bench {
            facts,
            seen: facts
                .pieces
                .iter()
                .map(|piece| Seen::of(piece, found))
                .collect(),
            together: match facts.same_find {
                _ if !several => Truth::No,
                Some(same) => SameFind::truth(same),
                None => Truth::Open,
            },
            act: since(ACT_FROM, found),
            order_2002: since(ORDER_2002_FROM, found),
            order_2023: since(ORDER_2023_FROM, found),
        }
    }

    /// Every limb that is met or may be, in the order of the Act.
    pub(super) fn bites(&self) -> Vec<Bite> {
        let t1 = self.object_with_a_tenth();
        let t2 = self.two_coins();
        let direct = [
            t1.clone(),
            t2.clone(),
            self.ten_coins(),
            self.prehistoric_base(),
            self.prehistoric_precious(),
            self.exceptional(),
            self.hidden(t1.as_ref(), t2.as_ref()),
        ];
        let mut bites: Vec<Bite> = direct.into_iter().flatten().collect();
        bites.extend(self.company(&bites));
        if self.act < Truth::Yes {
            bites.extend(self.before_the_act());
        }
        bites
    }

    /// T1: an object with a tenth of gold or silver.
    fn object_with_a_tenth(&self) -> Option<Bite> {
        self.each("T1", |seen| {
            vec![
                (seen.object, Decider::CoinOrObject),
                (seen.old300, Decider::Age),
                (seen.metal.tenth, Decider::Metal),
                (self.act, Decider::Found),
            ]
        })
    }

    /// T2: two coins with a tenth of gold or silver.
    fn two_coins(&self) -> Option<Bite> {
        let precious = |seen: &Seen| {
            vec![
                (seen.coin, Decider::CoinOrObject),
                (seen.old300, Decider::Age),
                (seen.metal.tenth, Decider::Metal),
            ]
        };
        let full = self.so_many("T2", TWO, &precious);
        // A precious coin with others beside it is one short of two.
        full.or_else(|| {
            let short = self.possible(&precious) >= 1 && self.possible(&old_coin) >= TWO;
            short.then(|| self.part_dug("T2", &precious)).flatten()
        })
    }

    /// T3: ten coins of any metal.
    fn ten_coins(&self) -> Option<Bite> {
        let full = self.so_many("T3", TEN, &old_coin);
        full.or_else(|| {
            let many = self.possible(&old_coin) >= PART_OF_TEN;
            many.then(|| self.part_dug("T3", &old_coin)).flatten()
        })
    }

    /// T4a: two prehistoric objects of base metal.
    fn prehistoric_base(&self) -> Option<Bite> {
        let base = |seen: &Seen| {
            vec![
                (seen.object, Decider::CoinOrObject),
                (seen.prehistoric, Decider::Prehistoric),
                (seen.metal.base, Decider::Metal),
                (self.order_2002, Decider::Found),
            ]
        };
        self.so_many("T4a", TWO, &base)
    }

    /// T4b: a prehistoric object with any gold or silver.
    fn prehistoric_precious(&self) -> Option<Bite> {
        self.each("T4b", |seen| {
            vec![
                (seen.object, Decider::CoinOrObject),
                (seen.prehistoric, Decider::Prehistoric),
                (seen.metal.part, Decider::Metal),
                (self.order_2002, Decider::Found),
            ]
        })
    }

    /// T4c: an exceptional metal object; a coin leaves it open, as the order was not read.
    fn exceptional(&self) -> Option<Bite> {
        let said = self.facts.exceptional?;
        self.each("T4c", |seen| {
            let mut held = self.may_be_exceptional(seen);
            held.push((said, Decider::Exceptional));
            let surely_object = seen.object.or(Truth::Open);
            held.push((surely_object, Decider::CoinOrObject));
            held
        })
    }

    /// Whether T4c hangs on a fact that nobody has said.
    pub(super) fn exceptional_unsaid(&self) -> bool {
        let may = |seen: &Seen| lowest(&self.may_be_exceptional(seen)) > Truth::No;
        self.facts.exceptional.is_none() && self.seen.iter().any(may)
    }

    fn may_be_exceptional(&self, seen: &Seen) -> Vec<Held> {
        vec![
            (seen.made, Decider::CoinOrObject),
            (seen.old200, Decider::Age),
            (seen.metal.metal, Decider::Metal),
            (self.order_2023, Decider::Found),
        ]
    }

    /// T5: gold or silver that was hidden.
    fn hidden(&self, t1: Option<&Bite>, t2: Option<&Bite>) -> Option<Bite> {
        let owner_unknown = match self.facts.owner_known {
            Some(Truth::Yes) => Truth::No,
            Some(Truth::Open) => Truth::Open,
            Some(Truth::No) | None => Truth::Yes,
        };
        let mut held = Vec::new();
        for (place, seen) in self.seen.iter().enumerate() {
            let mut one = vec![
                (seen.made, Decider::CoinOrObject),
                (seen.metal.mostly, Decider::Metal),
                (owner_unknown, Decider::Owner),
                (self.act, Decider::Found),
            ];
            one.push((self.hidden_one(seen), Decider::Hidden));
            // An object that is reported anyway, or coins that two of them are asked for anyway:
            // there only what speaks for hiding is worth saying.
            let asked = |bite: &Bite| bite.pieces.contains(&place);
            let by_t1 = t1.is_some_and(|bite| bite.truth == Truth::Yes && asked(bite));
            if self.facts.hidden == Some(Truth::Yes) || !(by_t1 || t2.is_some_and(asked)) {
                held.push((place, one));
            }
        }
        bite("T5", held)
    }

    /// How far a piece may count as hidden. One coin alone is lost more often than hidden: only
    /// exceptionally strong evidence brings it in, and how strong it is stays open.
    fn hidden_one(&self, seen: &Seen) -> Truth {
        let precious = |seen: &Seen| {
            vec![
                (seen.made, Decider::CoinOrObject),
                (seen.metal.mostly, Decider::Metal),
            ]
        };
        let is_object = seen.object == Truth::Yes;
        let is_coin = seen.object == Truth::No || seen.only_pierced;
        match self.facts.hidden {
            Some(Truth::No) => Truth::No,
            Some(Truth::Yes) if is_object => Truth::Yes,
            Some(Truth::Yes) if self.with(&precious, Truth::Yes) >= TWO => {
                self.together.or(Truth::Open)
            }
            Some(_) => Truth::Open,
            None if is_object || !is_coin => Truth::Open,
            None => {
                let several = self.possible(&precious) >= TWO;
                Truth::of(several).and(self.together).and(Truth::Open)
            }
        }
    }

    /// T6: what lay with one of these, or belongs with an earlier find that was.
    fn company(&self, others: &[Bite]) -> Option<Bite> {
        let earlier = self.facts.associated.unwrap_or(Truth::No);
        let mut held = Vec::new();
        for (place, seen) in self.seen.iter().enumerate() {
            let asked = |bite: &&Bite| bite.pieces.contains(&place);
            let own = others.iter().filter(asked).map(|bite| bite.truth).max();
            let beside = others
                .iter()
                .filter(|bite| bite.pieces.iter().any(|other| *other != place));
            let beside = beside.map(|bite| bite.truth).max().unwrap_or(Truth::No);
            let by_company = beside.and(self.together);
            let by_company = by_company.max(earlier);
            // A piece that its own rule asks for as firmly needs no company.
            if own.is_some_and(|own| own >= by_company) && earlier == Truth::No {
                continue;
            }
            let decider = if earlier >= beside.and(self.together) {
                Decider::Earlier
            } else if self.together == Truth::Open {
                Decider::SameFind
            } else {
                Decider::More
            };
            let mut one = vec![(seen.made, Decider::CoinOrObject), (by_company, decider)];
            one.push((self.act, Decider::Found));
            held.push((place, one));
        }
        let mut found = bite("T6", held)?;
        // What leaves the other rule open leaves this one open too.
        if found.truth == Truth::Open && found.decides == [Decider::More] {
            let open = others.iter().filter(|bite| bite.truth == Truth::Open);
            found.decides = open.flat_map(|bite| bite.decides.clone()).collect();
            tidy(&mut found.decides);
        }
        Some(found)
    }

    /// A find from before the Act: gold or silver may be treasure trove by the older law.
    fn before_the_act(&self) -> Option<Bite> {
        self.each("before-act", |seen| {
            vec![
                (seen.made, Decider::CoinOrObject),
                (seen.metal.tenth.and(Truth::Open), Decider::OlderLaw),
            ]
        })
    }

    /// Coins that may count as at least 300 years old and of one find.
    pub(super) fn coins_together(&self) -> u64 {
        match self.together {
            Truth::No => 0,
            _ => self.possible(&old_coin),
        }
    }

    /// True when the order of 2023 may have been in force on the day of finding.
    pub(super) fn church_rule(&self) -> bool {
        self.order_2023 > Truth::No
    }

    /// A limb that each piece meets by itself.
    fn each(&self, id: &'static str, conditions: impl Fn(&Seen) -> Vec<Held>) -> Option<Bite> {
        let held = self.seen.iter().map(conditions).enumerate().collect();
        bite(id, held)
    }

    /// A limb that so many pieces of one find meet together.
    fn so_many(
        &self,
        id: &'static str,
        need: u64,
        conditions: &dyn Fn(&Seen) -> Vec<Held>,
    ) -> Option<Bite> {
        if self.possible(conditions) < need {
            return None;
        }
        let sure = self.with(conditions, Truth::Yes) >= need;
        self.of_one_find(id, conditions, (!sure).then_some(Truth::Open), None)
    }

    /// The same limb where pieces are short, but more may have lain there.
    fn part_dug(&self, id: &'static str, conditions: &dyn Fn(&Seen) -> Vec<Held>) -> Option<Bite> {
        self.of_one_find(id, conditions, Some(Truth::Open), Some(Decider::More))
    }

    /// A limb of several pieces, if they are of one find and were found in time. Where it is open
    /// which of the pieces count, what is open of any of them would decide.
    fn of_one_find(
        &self,
        id: &'static str,
        conditions: &dyn Fn(&Seen) -> Vec<Held>,
        open: Option<Truth>,
        more: Option<Decider>,
    ) -> Option<Bite> {
        let held = self.seen.iter().map(conditions).enumerate();
        let asked: Vec<(usize, Vec<Held>)> =
            held.filter(|(_, held)| lowest(held) > Truth::No).collect();
        let around = [
            (self.together, Decider::SameFind),
            (self.act, Decider::Found),
        ];
        let truth = open.unwrap_or(Truth::Yes).and(lowest(&around));
        let mut decides: Vec<Decider> = more.into_iter().chain(open_of(&around)).collect();
        if open.is_some() {
            decides.extend(asked.iter().flat_map(|(_, held)| open_of(held)));
        }
        tidy(&mut decides);
        (truth > Truth::No).then(|| Bite {
            law: law(id),
            truth,
            pieces: asked.iter().map(|(place, _)| *place).collect(),
            decides,
        })
    }

    /// Pieces that may meet the conditions.
    fn possible(&self, conditions: &dyn Fn(&Seen) -> Vec<Held>) -> u64 {
        self.with(conditions, Truth::Open)
    }

    fn with(&self, conditions: &dyn Fn(&Seen) -> Vec<Held>, least: Truth) -> u64 {
        let counted = self
            .seen
            .iter()
            .filter(|seen| lowest(&conditions(seen)) >= least);
        counted.map(|seen| seen.count).sum()
    }
}

/// A coin of 300 years or more.
fn old_coin(seen: &Seen) -> Vec<Held> {
    vec![
        (seen.coin, Decider::CoinOrObject),
        (seen.old300, Decider::Age),
    ]
}

impl Seen {
    fn of(piece: &Piece, found: When) -> Seen {
        let by_kind = match piece.what {
            What::Unsaid | What::Token => (Truth::Open, Truth::Open, Truth::Yes),
            What::Coin => (Truth::Yes, Truth::No, Truth::Yes),
            What::Object => (Truth::No, Truth::Yes, Truth::Yes),
            What::Natural => (Truth::No, Truth::No, Truth::No),
        };
        let (coin, object, made) = by_kind;
        let altered = match piece.altered {
            None => Truth::No,
            Some(Alteration::Mounted) => Truth::Yes,
            // Before 1180 it is reported, later it is a question.
            Some(Alteration::Pierced) => Truth::Open.or(piece.age.made_by(PIERCED_UNTIL)),
        };
        let by_age = piece.age.prehistoric();
        let prehistoric = piece.prehistoric.unwrap_or(by_age);
        // What is of the Iron Age or earlier is old enough, whatever years were given.
        let old = |years| match prehistoric {
            Truth::Yes => Truth::Yes,
            _ => piece.age.at_least(years, found),
        };
        Seen {
            count: u64::from(piece.count),
            coin,
            object: object.or(altered.and(made)),
            made,
            old300: old(300),
            old200: old(200),
            prehistoric,
            metal: piece.metal.facts(),
            only_pierced: piece.what == What::Coin && piece.altered == Some(Alteration::Pierced),
        }
    }
}

/// Whether a thing was found on or after a day.
fn since(day: (i32, u32, u32), found: When) -> Truth {
    let Some(day) = CalendarDay::new(day.0, day.1, day.2) else {
        return Truth::Open;
    };
    if found.earliest >= day {
        Truth::Yes
    } else if found.latest < day {
        Truth::No
    } else {
        Truth::Open
    }
}

fn lowest(held: &[Held]) -> Truth {
    held.iter()
        .map(|(truth, _)| *truth)
        .min()
        .unwrap_or(Truth::No)
}

/// A limb over pieces: as firm as the firmest of them; where that is open, all that is open of
/// those in question would decide.
fn bite(id: &'static str, held: Vec<(usize, Vec<Held>)>) -> Option<Bite> {
    let asked: Vec<(usize, Vec<Held>)> = held
        .into_iter()
        .filter(|(_, held)| lowest(held) > Truth::No)
        .collect();
    let truth = asked.iter().map(|(_, held)| lowest(held)).max()?;
    let mut decides: Vec<Decider> = match truth {
        Truth::Yes => Vec::new(),
        _ => asked.iter().flat_map(|(_, held)| open_of(held)).collect(),
    };
    tidy(&mut decides);
    Some(Bite {
        law: law(id),
        truth,
        pieces: asked.iter().map(|(place, _)| *place).collect(),
        decides,
    })
}

/// What is open of these conditions.
fn open_of(held: &[Held]) -> impl Iterator<Item = Decider> + '_ {
    let open = held.iter().filter(|(truth, _)| *truth == Truth::Open);
    open.map(|(_, decider)| *decider)
}

fn tidy(decides: &mut Vec<Decider>) {
    decides.sort_unstable();
    decides.dedup();
}

//! A finder who holds a piece of a known type and answers what is asked of it.
//!
//! Knows the type and one piece of it; errs by rates of its own: a picture that is there is named
//! rightly 79 times in 100 (Waeldchen et al. 2022, *People and Nature*), a letter 87; the other
//! rates are common practice, no source. Shares no law with the judging and sees no probability.
//!
//! Invariant: a seed gives the same piece and the same answers to the same questions.

use lynchet::catalogue::{AxisHabit, Catalogue, CoinType, Glyph};
use lynchet::find::{Find, Grams, Making, Measured, MetalSeen, Millimetres, Side};
use lynchet::score::{Aim, Asks, Band, Look, Seen};
use lynchet::{House, IdentifyOptions};

use lynchet::simulate::{self, Chance, read_off};

/// How often a picture that is there is named rightly.
const NAMED: f64 = 0.79;
/// How often a picture that is not there is said to be there.
const MISTAKEN: f64 = 0.08;
/// How often a run of letters is read rightly.
const READ: f64 = 0.87;
/// Questions after which the finder gives up.
pub const GIVES_UP: usize = 12;

/// How the next question is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// The look that is worth most.
    Best,
    /// Any of the looks that may be taken.
    Random,
}

/// The finder with one piece in hand.
pub struct Finder<'a> {
    catalogue: &'a Catalogue,
    coin: &'a CoinType,
    chance: Chance,
    /// The one mark that this piece bears.
    mark: Option<usize>,
    /// Letters on the front and on the back.
    letters: [String; 2],
    grams: Option<f64>,
    millimetres: Option<f64>,
}

/// Pieces with a ruler as often as they are lost, each by the position of its type with what its
/// finder wrote down: the metal and the measures alone, or all that was seen unasked.
pub fn pieces(catalogue: &Catalogue, seed: u64, count: usize, bare: bool) -> Vec<(usize, Find)> {
    let made = simulate::finds(
        catalogue,
        &simulate::every_period(catalogue),
        seed,
        2 * count,
    );
    let ruled = made
        .into_iter()
        .filter(|(coin, _)| catalogue.types[*coin].ruler.is_some());
    let told = ruled.enumerate().map(|(place, (coin, find))| match bare {
        true => {
            let mut finder = Finder::holding(catalogue, coin, seed + place as u64);
            (coin, finder.first_words())
        }
        false => (coin, find),
    });
    told.take(count).collect()
}

/// Questions until nine in ten is reached on the right ruler; [`GIVES_UP`] when it is not.
pub fn questions(
    house: &House,
    (position, find): &(usize, Find),
    seed: u64,
    order: Order,
) -> usize {
    let (position, mut find) = (*position, find.clone());
    let mut finder = Finder::holding(&house.catalogue, position, seed);
    // The order has a row of chance of its own, so that both orders meet the same piece.
    let mut pick = Chance(seed ^ 0x5EED);
    let mut asked: Vec<Asks> = Vec::new();
    loop {
        let said = house.identify(&find, IdentifyOptions::default());
        // The chance of the ruler as it is told.
        let ruler = house.catalogue.types[position].ruler;
        let mut rulers = said.shares.ruler.iter();
        let told = rulers.find(|share| share.of == ruler);
        if told.is_some_and(|share| share.p >= 0.9) || asked.len() == GIVES_UP {
            return asked.len();
        }
        let mut looks = house.looks(&find, &said.ranking, Aim::Ruler, &asked);
        if looks.is_empty() {
            return GIVES_UP;
        }
        let place = match order {
            Order::Best => 0,
            Order::Random => pick.below(looks.len()),
        };
        let look = looks.swap_remove(place);
        let reply = finder.reply(&look);
        find = look.told(&find, reply, &house.catalogue);
        asked.push(look.asks);
    }
}

impl<'a> Finder<'a> {
    /// A finder with a piece of this type.
    pub fn holding(catalogue: &'a Catalogue, position: usize, seed: u64) -> Finder<'a> {
        let coin = &catalogue.types[position];
        let mut chance = Chance(seed);
        let worn = chance.exponential(0.08).min(0.5);
        let parts: Vec<f64> = coin.weights.iter().map(|part| part.share).collect();
        let grams = coin
            .weights
            .get(chance.weighted(&parts))
            .map(|part| part.grams * (1.0 + part.cv * chance.normal()).max(0.3) * (1.0 - worn));
        let millimetres = coin
            .diameter
            .map(|(least, most)| chance.between(least, most) + 0.3 * chance.normal());
        let mut letters = |face: &lynchet::catalogue::Face| {
            let borne = face.inscriptions.as_deref().unwrap_or(&[]);
            let Some(inscription) = chance.one(borne) else {
                return String::new();
            };
            let forms = &catalogue.inscriptions[*inscription].forms;
            let form = &forms[chance.below(forms.len())];
            let mut text = String::new();
            for glyph in &form.glyphs {
                match glyph {
                    Glyph::Letter(letter) => text.push(*letter),
                    Glyph::Free => text.extend((0..4).map(|_| chance.letter())),
                    Glyph::Break => {}
                }
            }
            text
        };
        let letters = [letters(&coin.obverse), letters(&coin.reverse)];
        Finder {
            mark: chance.one(&coin.marks).copied(),
            catalogue,
            coin,
            chance,
            letters,
            grams,
            millimetres,
        }
    }

    /// What the finder says unasked: the metal, the size and the weight.
    pub fn first_words(&mut self) -> Find {
        let millimetres = self.millimetres.map(|mm| read_off(mm, 2.0));
        let grams = self.grams.map(|grams| read_off(grams, 20.0));
        Find {
            metal: Some((self.catalogue.metals[self.coin.metal].looks, true)),
            diameter: millimetres
                .and_then(|mm| Millimetres::new(mm).ok())
                .map(|value| Measured { value, error: 0.25 }),
            weight: grams
                .and_then(|grams| Grams::new(grams).ok())
                .map(|value| Measured {
                    value,
                    error: 0.025,
                }),
            ..Find::default()
        }
    }

    /// The place of the reply that the finder gives; `None` is "not sure".
    pub fn reply(&mut self, look: &Look) -> Option<usize> {
        let cannot_say = match look.asks {
            Asks::Motif { .. } | Asks::Which { .. } => 0.20,
            Asks::Letters { .. } | Asks::DieAxis => 0.35,
            _ => 0.08,
        };
        if self.chance.falls(cannot_say) {
            return None;
        }
        let count = look.replies.len();
        let place = |seen: &dyn Fn(&Seen) -> bool| look.replies.iter().position(|r| seen(&r.seen));
        match &look.asks {
            Asks::Motif { motif, side } => {
                let often = if self.shows(*motif, *side) {
                    NAMED
                } else {
                    MISTAKEN
                };
                Some(usize::from(!self.chance.falls(often)))
            }
            Asks::Which { motifs, side } => Some(self.which(motifs, *side)),
            Asks::Letters { runs, side } => self.letters(runs, *side),
            Asks::Diameter => self.band(look, self.millimetres),
            Asks::Weight => self.band(look, self.grams),
            Asks::Metal => {
                let mut metal = self.catalogue.metals[self.coin.metal].looks;
                if self.chance.falls(0.08) {
                    metal = MetalSeen::ALL[self.chance.below(8)];
                }
                place(&|seen| *seen == Seen::Metal(metal))
            }
            Asks::DieAxis => {
                let hours: &[u8] = match self.coin.axis {
                    AxisHabit::Upright => &[12],
                    AxisHabit::Inverted => &[6],
                    AxisHabit::UprightOrInverted => &[6, 12],
                    _ => &[3, 6, 9, 12],
                };
                let mut hour = *self.chance.one(hours)?;
                if self.chance.falls(0.15) {
                    hour = *self.chance.one(&[3, 6, 9, 12])?;
                }
                place(&|seen| *seen == Seen::Hour(hour))
            }
            Asks::Making => {
                let mut made = self.coin.made;
                if self.chance.falls(0.12) {
                    made = *self
                        .chance
                        .one(&[Making::Hammered, Making::Milled, Making::Cast])?;
                }
                place(&|seen| *seen == Seen::Made(made))
            }
        }
        .filter(|reply| *reply < count)
    }

    /// True when the piece shows a thing there: itself, a kind of it, or what it is a part of.
    fn shows(&self, motif: usize, side: Side) -> bool {
        let motifs = &self.catalogue.motifs;
        let answers = |shown: &usize| {
            *shown == motif
                || motifs[*shown].ancestors.contains(&motif)
                || motifs[*shown].parts.contains(&motif)
        };
        let on = |face: &lynchet::catalogue::Face| face.motifs.iter().flatten().any(answers);
        let marked = self.mark.as_ref().is_some_and(answers);
        marked
            || match side {
                Side::Obverse => on(&self.coin.obverse),
                Side::Reverse => on(&self.coin.reverse),
                Side::Unknown => on(&self.coin.obverse) || on(&self.coin.reverse),
            }
    }

    fn which(&mut self, motifs: &[usize], side: Side) -> usize {
        let shown = motifs.iter().position(|motif| self.shows(*motif, side));
        let none = motifs.len();
        match shown {
            Some(place) if self.chance.falls(NAMED) => place,
            // Of those who do not name it most see nothing, and some another thing.
            Some(_) if self.chance.falls(0.6) => none,
            Some(_) => self.chance.below(motifs.len()),
            None if self.chance.falls(MISTAKEN) => self.chance.below(motifs.len()),
            None => none,
        }
    }

    /// A run that stands there is mostly read; where none does, the finder mostly says so.
    fn letters(&mut self, runs: &[String], side: Side) -> Option<usize> {
        let struck = &self.letters[usize::from(side == Side::Reverse)];
        match runs.iter().position(|run| struck.contains(run.as_str())) {
            Some(place) if self.chance.falls(READ) => Some(place),
            Some(_) => Some(self.chance.below(runs.len())),
            None => self
                .chance
                .falls(0.15)
                .then(|| self.chance.below(runs.len())),
        }
    }

    fn band(&mut self, look: &Look, measure: Option<f64>) -> Option<usize> {
        if self.chance.falls(0.02) {
            return Some(self.chance.below(look.replies.len()));
        }
        let measure = measure?;
        let within = |band: &Band| {
            band.from.is_none_or(|from| measure >= from) && band.to.is_none_or(|to| measure < to)
        };
        look.replies.iter().position(|reply| match &reply.seen {
            Seen::Diameter(band) | Seen::Weight(band) => within(band),
            _ => false,
        })
    }
}

//! Plain looks at the whole piece: its metal, how it was made, how the back stands to the front.
//!
//! The tables of the witnesses of the same names are the laws. Asks for nothing that was given.
//!
//! Invariant: whatever a reply leaves out is spread evenly over the replies, so it tells nothing.

use super::company::Company;
use super::{Asks, Law, MOST_REPLIES, Question, Seen};
use crate::catalogue::CoinType;
use crate::find::{Making, MetalSeen};
use crate::score::constants::METAL_UNLISTED;
use crate::score::{axis, making, metal};

/// The questions about the whole piece.
pub(super) fn questions(company: &Company<'_>) -> Vec<Question> {
    let find = company.find;
    let mut questions = Vec::new();
    if find.metal.is_none() {
        questions.push(of_metal(company));
    }
    if find.making.is_none() {
        questions.push(of_making(company));
    }
    if find.die_axis.is_none() {
        questions.push(of_axis(company));
    }
    questions
}

/// The four metals that the piece is likeliest to be called.
fn of_metal(company: &Company<'_>) -> Question {
    let called = |coin: Option<&CoinType>| {
        coin.map_or(METAL_UNLISTED, |coin| {
            metal::called(coin, company.catalogue.metals[coin.metal].looks)
        })
    };
    let mut often = [0.0; 8];
    let types = company.types().map(Some).chain([None]);
    for (coin, chance) in types.zip(&company.chances) {
        for (sum, told) in often.iter_mut().zip(called(coin)) {
            *sum += chance * told;
        }
    }
    let mut order: Vec<usize> = (0..often.len()).collect();
    order.sort_by(|a, b| often[*b].total_cmp(&often[*a]));
    order.truncate(MOST_REPLIES);
    let law = |coin: Option<&CoinType>| -> Law {
        let called = called(coin);
        let told: f64 = order.iter().map(|metal| called[*metal]).sum();
        let left = (1.0 - told) / MOST_REPLIES as f64;
        std::array::from_fn(|reply| called[order[reply]] + left)
    };
    Question {
        asks: Asks::Metal,
        seen: order
            .iter()
            .map(|metal| Seen::Metal(MetalSeen::ALL[*metal]))
            .collect(),
        laws: company.laws(law),
    }
}

fn of_making(company: &Company<'_>) -> Question {
    let makings = [Making::Hammered, Making::Milled, Making::Cast];
    let law = |coin: Option<&CoinType>| -> Law {
        let made = coin.map(|coin| coin.made);
        let [hammered, milled, cast] = makings.map(|named| making::chance(named, made));
        [hammered, milled, cast, 0.0]
    };
    Question {
        asks: Asks::Making,
        seen: makings.map(Seen::Made).to_vec(),
        laws: company.laws(law),
    }
}

fn of_axis(company: &Company<'_>) -> Question {
    let law = |coin: Option<&CoinType>| axis::quarters(coin.map(|coin| coin.axis));
    Question {
        asks: Asks::DieAxis,
        seen: [12, 3, 6, 9].map(Seen::Hour).to_vec(),
        laws: company.laws(law),
    }
}

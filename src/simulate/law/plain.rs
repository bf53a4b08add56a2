//! Traits that hang on nothing but the type: metal, axis, making, year, the finder's guess, holes.
//!
//! Invariant: the chances of all that may be said of a trait, and of silence, sum to one.

use super::super::rates::*;
use crate::catalogue::{AxisHabit, Catalogue, CoinType, CopyKind};
use crate::find::{Find, Making, MetalSeen, OpinionLevel, Treatment};

/// Chance of what is said of the metal, and of its being said where something else was seen.
pub(super) fn metal(find: &Find, coin: &CoinType, catalogue: &Catalogue) -> (f64, f64) {
    let Some((seen, sure)) = find.metal else {
        return (1.0 - METAL_SAID, 0.0);
    };
    let looks = catalogue.metals[coin.metal].looks;
    let plated = coin.copy == Some(CopyKind::Plated);
    let told = if sure { METAL_SURE } else { 1.0 - METAL_SURE };
    let chance = METAL_SAID * taken(looks, plated, seen) * told;
    // A slip makes any metal of another, or of the same that was not sure.
    let slipped = if sure {
        (METAL_SAID - chance) / MetalSeen::ALL.len() as f64
    } else {
        0.0
    };
    (chance, slipped)
}

/// How often a metal that looks so is taken for another.
fn taken(looks: MetalSeen, plated: bool, seen: MetalSeen) -> f64 {
    use MetalSeen::{BaseSilver, CopperAlloy, Gold, Lead, Plated, Silver, WhiteMetal};
    let share = |among: &[MetalSeen]| {
        among.iter().filter(|one| **one == seen).count() as f64 / among.len() as f64
    };
    if plated {
        return share(&[Plated, Silver, CopperAlloy, looks]);
    }
    let like: &[MetalSeen] = match looks {
        Silver => &[BaseSilver, WhiteMetal],
        WhiteMetal => &[Silver, Lead],
        Gold => &[CopperAlloy, Gold],
        _ => &[BaseSilver, Lead],
    };
    let usual = share(&[looks]) * (1.0 - METAL_MISTAKEN) + share(like) * METAL_MISTAKEN;
    if looks == BaseSilver {
        let base = share(&[CopperAlloy, Silver, WhiteMetal]);
        return BASE_MISTAKEN * base + (1.0 - BASE_MISTAKEN) * usual;
    }
    usual
}

/// Chance of all the rest.
pub(super) fn rest(find: &Find, coin: &CoinType, catalogue: &Catalogue) -> f64 {
    let making = match find.making {
        None => 1.0 - MAKING_SAID,
        Some(made) if made == coin.made => MAKING_SAID,
        Some(_) => 0.0,
    };
    let pierced = if find.treatments.contains(&Treatment::Pierced) {
        PIERCED
    } else {
        1.0 - PIERCED
    };
    making * pierced * axis(find, coin) * year(find, coin) * opinion(find, coin, catalogue)
}

fn axis(find: &Find, coin: &CoinType) -> f64 {
    let Some(read) = find.die_axis else {
        return 1.0 - AXIS_SAID;
    };
    let hours: &[u8] = match coin.axis {
        AxisHabit::Any | AxisHabit::Unstated => return AXIS_SAID / 12.0,
        AxisHabit::Upright => &[12],
        AxisHabit::Inverted => &[6],
        AxisHabit::UprightOrInverted => &[6, 12],
        AxisHabit::Quarters => &[3, 6, 9, 12],
    };
    let each = hours
        .iter()
        .map(|hour| match (read.hour() + 12 - hour) % 12 {
            0 => AXIS_OFF[0],
            11 => AXIS_OFF[1],
            1 => AXIS_OFF[2],
            _ => 0.0,
        });
    AXIS_SAID * each.sum::<f64>() / AXIS_OFF.iter().sum::<f64>() / hours.len() as f64
}

fn year(find: &Find, coin: &CoinType) -> f64 {
    let dated = coin.made == Making::Milled;
    match find.date_on_piece {
        None if dated => 1.0 - DATE_SAID,
        None => 1.0,
        Some(_) if !dated => 0.0,
        Some(year) => {
            let (from, to) = (coin.span.from, coin.span.to);
            let drawn = (from..=to).filter(|one| *one == year || (*one == 0 && year == 1));
            DATE_SAID * drawn.count() as f64 / f64::from(to - from + 1)
        }
    }
}

fn opinion(find: &Find, coin: &CoinType, catalogue: &Catalogue) -> f64 {
    let Some(said) = find.opinions.first() else {
        return 1.0 - OPINION_SAID;
    };
    if said.level != OpinionLevel::Period {
        return 0.0;
    }
    let is = |period: usize| said.ids.contains(&catalogue.periods[period].id);
    let any = 1.0 / catalogue.periods.len() as f64;
    let right = if is(coin.period) { OPINION_RIGHT } else { 0.0 };
    OPINION_SAID * (right + (1.0 - OPINION_RIGHT) * any)
}

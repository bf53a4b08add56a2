//! Phrases: how a type, an answer and a prior are called in a sentence.
//!
//! Holds no number that the scorer did not give.

use crate::catalogue::{Catalogue, CoinType};
use crate::find::Span;
use crate::score::{Answer, Level};

/// "penny of Edward I", "denarius", without an article.
fn denomination_of(coin: &CoinType, catalogue: &Catalogue) -> String {
    let denomination = &catalogue.denominations[coin.denomination].name;
    match coin.ruler {
        Some(ruler) => format!(
            "{denomination} of {}",
            ruler_name(&catalogue.rulers[ruler].name)
        ),
        None => denomination.clone(),
    }
}

/// A type's name, with its ruler where the name does not say it.
pub fn type_name(coin: &CoinType, catalogue: &Catalogue) -> String {
    match coin.ruler.map(|ruler| &catalogue.rulers[ruler].name) {
        Some(ruler) if !coin.name.contains(ruler.as_str()) => format!("{} ({ruler})", coin.name),
        _ => coin.name.clone(),
    }
}

/// Peoples and bodies read better with their article.
fn ruler_name(name: &str) -> String {
    let takes_article = ["House ", "Gallic ", "Roman Republic", "Commonwealth"]
        .iter()
        .any(|start| name.starts_with(start));
    if takes_article {
        format!("the {name}")
    } else {
        name.to_string()
    }
}

/// "a groat", "an angel".
fn with_article(noun: &str) -> String {
    let vowel = noun.chars().next().is_some_and(|c| "aeiouAEIO".contains(c))
        && !noun.starts_with("uni")
        && !noun.starts_with("one");
    format!("{} {noun}", if vowel { "an" } else { "a" })
}

fn years(span: Option<Span>) -> String {
    span.map_or(String::new(), |span| format!(", {}", span.text()))
}

/// The answer as a phrase, without its probability.
pub fn answer_text(answer: &Answer, catalogue: &Catalogue) -> String {
    let coin = answer.like.map(|like| &catalogue.types[like]);
    match (answer.level, coin) {
        (Level::Unlisted, _) => {
            "not in the library: perhaps foreign, a copy, a rarer coin or not a coin".to_string()
        }
        (Level::Open, _) | (_, None) => {
            "open: the traits given do not single anything out".to_string()
        }
        (Level::Type, Some(coin)) => {
            let denomination = &catalogue.denominations[coin.denomination].name;
            format!(
                "{}: {}{}",
                with_article(denomination),
                type_name(coin, catalogue),
                years(answer.span)
            )
        }
        (Level::RulerAndDenomination, Some(coin)) => {
            format!(
                "{}{}; type open",
                with_article(&denomination_of(coin, catalogue)),
                years(answer.span)
            )
        }
        (Level::SeriesAndDenomination, Some(coin)) => {
            let (series, denomination) = (
                &catalogue.series[coin.series].name,
                &catalogue.denominations[coin.denomination].name,
            );
            let open = if coin.ruler.is_some() {
                "; ruler open"
            } else {
                "; type open"
            };
            format!(
                "{} of the series \"{series}\"{}{open}",
                with_article(denomination),
                years(answer.span)
            )
        }
        (Level::Ruler, Some(coin)) => {
            let ruler = coin.ruler.map_or("", |r| catalogue.rulers[r].name.as_str());
            format!(
                "a coin of {}{}; denomination open",
                ruler_name(ruler),
                years(answer.span)
            )
        }
        (Level::PeriodAndDenomination, Some(coin)) => {
            let (period, denomination) = (
                &catalogue.periods[coin.period].name,
                &catalogue.denominations[coin.denomination].name,
            );
            format!(
                "{}{}; ruler open",
                with_article(&format!("{period} {denomination}")),
                years(answer.span)
            )
        }
        (Level::Series, Some(coin)) => {
            format!(
                "a coin of the series \"{}\"{}",
                catalogue.series[coin.series].name,
                years(answer.span)
            )
        }
        (Level::Denomination, Some(coin)) => {
            format!(
                "{}{}; period open",
                with_article(&catalogue.denominations[coin.denomination].name),
                years(answer.span)
            )
        }
        (Level::Period, Some(coin)) => {
            format!(
                "{} coin{}; what kind is open",
                with_article(&catalogue.periods[coin.period].name),
                years(answer.span)
            )
        }
    }
}

/// Why the prior is what it is.
pub(super) fn prior(coin: &CoinType, catalogue: &Catalogue) -> String {
    let period = &catalogue.periods[coin.period].name;
    format!(
        "beforehand: {} as a find, among {period} coins of these years",
        coin.common.name()
    )
}

//! Phrases: how a type, an answer and a prior are called in a sentence.
//!
//! Holds no number that the scorer did not give, and does no arithmetic.
//!
//! Invariant: one function a level of answer, and each says what it leaves open.

use crate::catalogue::{Catalogue, CoinType};
use crate::find::Span;
use crate::score::{Answer, Level, words_of_confidence};

/// Chance from which two decimals would read as certainty, and below which they would as none.
const NEAR_ONE: f64 = 0.995;

/// A chance in figures, never as certainty: `0.92`, `over 0.99`, `under 0.01`.
pub fn chance_in_figures(p: f64) -> String {
    match p {
        p if p >= NEAR_ONE => "over 0.99".to_string(),
        p if p < 1.0 - NEAR_ONE => "under 0.01".to_string(),
        p => format!("{p:.2}"),
    }
}

/// A chance as its word and its figures: `probably (0.92)`.
pub fn how_sure(p: f64) -> String {
    format!("{} ({})", words_of_confidence(p), chance_in_figures(p))
}

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
    let Some(coin) = answer.like.map(|like| &catalogue.types[like]) else {
        return without_type(answer.level).to_string();
    };
    let phrase = match answer.level {
        Level::Unlisted | Level::Open => return without_type(answer.level).to_string(),
        Level::Type => of_type,
        Level::RulerAndDenomination => of_ruler_and_denomination,
        Level::SeriesAndDenomination => of_series_and_denomination,
        Level::Ruler => of_ruler,
        Level::PeriodAndDenomination => of_period_and_denomination,
        Level::Series => of_series,
        Level::Denomination => of_denomination,
        Level::Period => of_period,
    };
    phrase(coin, &years(answer.span), catalogue)
}

/// What is said where no type stands for the answer.
fn without_type(level: Level) -> &'static str {
    match level {
        Level::Unlisted => {
            "not in the library: perhaps foreign, a copy, a rarer coin or not a coin"
        }
        _ => "open: the traits given do not single anything out",
    }
}

fn of_type(coin: &CoinType, years: &str, catalogue: &Catalogue) -> String {
    let denomination = with_article(&catalogue.denominations[coin.denomination].name);
    format!("{denomination}: {}{years}", type_name(coin, catalogue))
}

fn of_ruler_and_denomination(coin: &CoinType, years: &str, catalogue: &Catalogue) -> String {
    let denomination = with_article(&denomination_of(coin, catalogue));
    format!("{denomination}{years}; type open")
}

fn of_series_and_denomination(coin: &CoinType, years: &str, catalogue: &Catalogue) -> String {
    let denomination = with_article(&catalogue.denominations[coin.denomination].name);
    let series = &catalogue.series[coin.series].name;
    // A type without a ruler has none to leave open.
    let open = if coin.ruler.is_some() {
        "ruler"
    } else {
        "type"
    };
    format!("{denomination} of the series \"{series}\"{years}; {open} open")
}

fn of_ruler(coin: &CoinType, years: &str, catalogue: &Catalogue) -> String {
    let ruler = coin.ruler.map_or("", |r| catalogue.rulers[r].name.as_str());
    format!("a coin of {}{years}; denomination open", ruler_name(ruler))
}

fn of_period_and_denomination(coin: &CoinType, years: &str, catalogue: &Catalogue) -> String {
    let period = &catalogue.periods[coin.period].name;
    let denomination = &catalogue.denominations[coin.denomination].name;
    let piece = with_article(&format!("{period} {denomination}"));
    format!("{piece}{years}; ruler open")
}

fn of_series(coin: &CoinType, years: &str, catalogue: &Catalogue) -> String {
    let series = &catalogue.series[coin.series].name;
    format!("a coin of the series \"{series}\"{years}")
}

fn of_denomination(coin: &CoinType, years: &str, catalogue: &Catalogue) -> String {
    let denomination = with_article(&catalogue.denominations[coin.denomination].name);
    format!("{denomination}{years}; period open")
}

fn of_period(coin: &CoinType, years: &str, catalogue: &Catalogue) -> String {
    let period = with_article(&catalogue.periods[coin.period].name);
    format!("{period} coin{years}; what kind is open")
}

/// Why the prior is what it is.
pub(super) fn prior(coin: &CoinType, catalogue: &Catalogue) -> String {
    let period = &catalogue.periods[coin.period].name;
    if coin.rest {
        return format!(
            "beforehand: what the library does not list of this coinage, among {period} coins"
        );
    }
    format!(
        "beforehand: {} as a find, among {period} coins of these years",
        coin.common.name()
    )
}

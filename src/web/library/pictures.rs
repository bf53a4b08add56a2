//! Small pictures of a type: the band of its weight.
//!
//! Draws what the library and the scorer say, and works nothing out but where it stands.
//!
//! Invariant: what is drawn is also said in words beside it.

use maud::{Markup, html};

use crate::catalogue::CoinType;
use crate::score::struck_band;

const WIDTH: f64 = 300.0;
const EDGE: f64 = 10.0;

/// The weights as struck: the band that holds nine tenths of the pieces of each standard.
pub(super) fn weight_band(coin: &CoinType) -> Markup {
    if coin.weights.is_empty() {
        return html! { p { "The library knows no weight of it." } };
    }
    let bands: Vec<(f64, f64, f64, f64)> = coin
        .weights
        .iter()
        .map(|part| {
            let (least, most) = struck_band(part);
            (least, most, part.grams, part.share)
        })
        .collect();
    let end = bands.iter().map(|band| band.1).fold(0.1, f64::max) * 1.15;
    let x = |grams: f64| EDGE + (WIDTH - 2.0 * EDGE) * grams / end;
    let place = |figure: f64| format!("{figure:.1}");
    let words: Vec<String> = bands
        .iter()
        .map(|(least, most, grams, share)| {
            let of = match bands.len() {
                1 => String::new(),
                _ => format!(" ({:.0} in 100)", share * 100.0),
            };
            format!("{grams:.2} g as struck, nine tenths {least:.2}-{most:.2} g{of}")
        })
        .collect();
    let said = words.join("; ");
    let step = tick(end);
    let ticks = (0..=20).map(|at| f64::from(at) * step);
    let ticks: Vec<f64> = ticks.filter(|grams| *grams <= end).collect();
    html! {
        svg.band viewBox=(format!("0 0 {WIDTH} 62")) width=(WIDTH) height="62" role="img" aria-label=(format!("Weight: {said}")) {
            @for (least, most, _, _) in &bands {
                rect.likely x=(place(x(*least))) y="8" width=(place(x(*most) - x(*least))) height="24" {}
            }
            @for band in &bands { path.middle d=(format!("M{:.1} 4V36", x(band.2))) {} }
            path.axis d=(format!("M{EDGE} 38H{}", WIDTH - EDGE)) {}
            @for grams in &ticks {
                text x=(place(x(*grams))) y="54" text-anchor="middle" { (short(*grams)) }
            }
        }
        p.how { (said) "." }
    }
}

/// A round step that goes some five times into a length.
fn tick(length: f64) -> f64 {
    let rough = (length / 5.0).max(1e-6);
    let ten = 10f64.powf(rough.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|step| step * ten);
    steps
        .into_iter()
        .find(|step| *step >= rough)
        .unwrap_or(rough)
}

fn short(figure: f64) -> String {
    let text = format!("{figure:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_some_five() {
        assert!((tick(1.6) - 0.5).abs() < 1e-9);
        assert!((tick(30.0) - 10.0).abs() < 1e-9);
        assert!(tick(0.0) > 0.0);
        assert_eq!((short(0.5), short(10.0)), ("0.5".into(), "10".into()));
    }
}

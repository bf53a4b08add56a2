//! Actual size: rings drawn as large as the coin is, once it is known how large this screen draws a
//! millimetre.
//!
//! Keeps nothing itself: once set, the browser brings the size of its screen with every request, in
//! a cookie; one that keeps none carries it in the address. Measures no find.
//!
//! Invariant: without a setting a ring is as large as the browser says a millimetre is, and it is
//! said that this may be wrong.

use maud::{Markup, html};

use super::asked::{Asked, Fields};
use super::bench::SCALE;
use super::desk::Desk;
use super::page::Place;
use super::reply::Reply;
use super::routes::{Route, open};

/// The addresses of the size.
pub(super) const ROUTES: [Route; 1] = [open("/size", size)];

/// The cookie in which a browser keeps the size of its screen; our script writes it too.
pub(super) const SCREEN: &str = "lynchet-scale";
/// A card's short and long side, mm (ISO/IEC 7810, ID-1: 53.98 by 85.60).
const CARD: (f64, f64) = (53.98, 85.60);
/// Corner of a card, mm (ISO/IEC 7810: 2.88 to 3.48).
const CORNER: f64 = 3.18;
/// Length of the line to be laid on a ruler, mm.
const LINE: f64 = 40.0;
/// Pixels of a stylesheet in a millimetre, as it takes them (CSS Values and Units: 96 in an inch).
const PIXELS: f64 = 96.0 / 25.4;
/// Least and most that a screen may differ from that.
const SCALES: (f64, f64) = (0.4, 3.0);
/// A step of the buttons.
const STEP: f64 = 0.01;

/// How large a screen draws a millimetre, against what a browser takes it for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Screen {
    scale: f64,
    set: bool,
}

impl Screen {
    /// As told in the address, or else as the browser kept it.
    pub(super) fn of(asked: &Asked) -> Screen {
        let told = asked.query.get(SCALE).and_then(scale);
        let kept = || asked.screen.as_deref().and_then(scale);
        match told.or_else(kept) {
            Some(scale) => Screen { scale, set: true },
            None => Screen {
                scale: 1.0,
                set: false,
            },
        }
    }

    fn pixels(self, millimetres: f64) -> f64 {
        millimetres * PIXELS * self.scale
    }
}

/// A scale that can be, as it was told or kept.
fn scale(text: &str) -> Option<f64> {
    let scale = text.parse::<f64>().ok().filter(|scale| scale.is_finite())?;
    Some(scale.clamp(SCALES.0, SCALES.1))
}

/// Rings of the least and the most usual diameter, mm, as large as they are.
pub(super) fn ring(least: f64, most: f64, screen: Screen) -> Markup {
    let most = most.clamp(1.0, 400.0);
    let least = least.clamp(0.5, most);
    let wide = most + 1.0;
    let middle = wide / 2.0;
    let short = |mm: f64| format!("{mm:.1}").trim_end_matches(".0").to_string();
    let said = match most - least < 0.05 {
        true => format!("A ring {} mm wide", short(most)),
        false => format!("Rings {} and {} mm wide", short(least), short(most)),
    };
    let pixels = format!("{:.1}", screen.pixels(wide));
    html! {
        div.size {
            div.rings {
                svg.ring data-mm=(format!("{wide:.2}")) viewBox=(format!("0 0 {wide:.2} {wide:.2}")) width=(pixels) height=(pixels) role="img" aria-label=(said) {
                    circle.most cx=(middle) cy=(middle) r=(most / 2.0) {}
                    circle.least cx=(middle) cy=(middle) r=(least / 2.0) {}
                }
            }
            p.how {
                (said) ": what is usual, at actual size. "
                span data-unset hidden[screen.set] { "This screen is not yet set: " a href="/size" { "set it with a bank card" } "." }
            }
        }
    }
}

fn size(_: &Desk, asked: &Asked) -> Reply {
    let screen = Screen::of(asked);
    let [card, tall, line] = [CARD.0, CARD.1, LINE].map(|mm| format!("{:.1}", screen.pixels(mm)));
    let page = Reply::Page {
        place: Place::Help,
        title: "Actual size".into(),
        body: html! {
            h1 { "Set this screen to actual size" }
            p { "Lay a bank card upright on the screen, and make the outline smaller or larger until it is just as wide as the card. Every such card is 85.6 by 54.0 mm (ISO/IEC 7810, size ID-1). Or lay a ruler on the line: it is to be " (LINE) " mm long." }
            form.sizing id="sizing" method="get" action="/size" {
                label for="scale" { "How much larger than the browser thinks" }
                input type="range" id="scale" name=(SCALE) min=(SCALES.0) max=(SCALES.1) step="0.005" value=(format!("{:.3}", screen.scale));
                p.acts {
                    (step(screen.scale - 10.0 * STEP, "Much smaller"))
                    (step(screen.scale - STEP, "Smaller"))
                    (step(screen.scale + STEP, "Larger"))
                    (step(screen.scale + 10.0 * STEP, "Much larger"))
                    button.quiet { "Show as the slider stands" }
                }
            }
            div.rings.card {
                svg.ring data-mm=(CARD.0) data-tall=(CARD.1) viewBox=(format!("0 0 {} {}", CARD.0, CARD.1)) width=(card) height=(tall) role="img" aria-label="Outline of a bank card, upright" {
                    rect.most x="0.3" y="0.3" width=(CARD.0 - 0.6) height=(CARD.1 - 0.6) rx=(CORNER) {}
                }
            }
            div.rings.card {
                svg.ring data-mm=(LINE) data-tall="6" viewBox=(format!("0 0 {LINE} 6")) width=(line) height=(format!("{:.1}", screen.pixels(6.0))) role="img" aria-label="A line of 40 mm with a stroke at every ten" {
                    @for mm in [0.15, 10.0, 20.0, 30.0, 39.85] { path.most d=(format!("M{mm} 1V5")) {} }
                    path.most d="M0 3H40" {}
                }
            }
            p.acts {
                a.button id="sized" href=(Fields::of([(SCALE, format!("{:.3}", screen.scale))]).address("/")) { "It fits: to the bench" }
            }
            p.how { "This browser keeps the setting, for the bench and for every type's page. One that keeps nothing of pages carries it in the address of the bench." }
        },
    };
    match asked.query.get(SCALE).and_then(scale) {
        Some(scale) => Reply::Sized {
            screen: format!("{scale:.3}"),
            page: Box::new(page),
        },
        None => page,
    }
}

/// A button that draws it anew, a little smaller or larger.
fn step(scale: f64, name: &str) -> Markup {
    let scale = scale.clamp(SCALES.0, SCALES.1);
    let address = Fields::of([(SCALE, format!("{scale:.3}"))]).address("/size");
    html! { a.button.quiet href=(address) data-scale=(format!("{scale:.3}")) { (name) } " " }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(scale: &str) -> Asked {
        Asked {
            query: Fields::of([(SCALE, scale)]),
            ..Asked::default()
        }
    }

    #[test]
    fn a_card_is_as_wide_as_the_standard_says_and_scales() {
        // ISO/IEC 7810:2019, ID-1; 96 pixels of a stylesheet in an inch (W3C, CSS Values 3).
        let plain = Screen::of(&Asked::default());
        assert!((plain.pixels(25.4) - 96.0).abs() < 1e-9 && !plain.set);
        let told = Screen::of(&told("2"));
        assert!((told.pixels(CARD.0) - 2.0 * 53.98 * 96.0 / 25.4).abs() < 1e-9 && told.set);
    }

    #[test]
    fn a_scale_that_cannot_be_is_none_or_held_within_bounds() {
        let kept = |text: &str| Asked {
            screen: Some(text.into()),
            ..Asked::default()
        };
        for of in [&|text: &str| Screen::of(&told(text)), &|text: &str| {
            Screen::of(&kept(text))
        }] as [&dyn Fn(&str) -> Screen; 2]
        {
            assert!(!of("NaN").set && !of("wide").set && !of("inf").set);
            assert_eq!(of("1e9").scale, SCALES.1);
            assert_eq!(of("-4").scale, SCALES.0);
        }
        let mut both = kept("1.5");
        both.query.push(SCALE, "1.25");
        assert_eq!(Screen::of(&both).scale, 1.25);
    }
}

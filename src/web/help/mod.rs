//! Help: how to measure, weigh, look at and write down a find, and what the figures mean.
//!
//! Text; asks nothing of the shelf or the library.
//!
//! Invariant: nothing here asks anyone to clean or handle a find more than its measures need.

mod glossary;

use maud::{Markup, html};

use super::asked::Asked;
use super::desk::Desk;
use super::page::Place;
use super::reply::Reply;
use super::routes::{Route, open};

/// The addresses of help.
pub(super) const ROUTES: [Route; 2] = [open("/help", help), open("/help/glossary", glossary::page)];

fn help(_: &Desk, _: &Asked) -> Reply {
    Reply::Page {
        place: Place::Help,
        title: "Help".into(),
        body: html! {
            h1 { "How to measure and describe a find" }
            section.caution aria-label="Before anything else" {
                p { strong { "Before anything else: " } "do not clean it. Brush off loose dry soil with a soft dry brush at most; no water, no rubbing, no scraping, no acid, no straightening. What looks like dirt may be what is left of it." }
                p { strong { "Stop " } "if it may be a shell, a grenade or a bullet that was not fired (leave it, keep away, call 999), or if bone shows (leave it, call the police)." }
            }
            ul.ways {
                li { a href="#diameter" { "Diameter" } }
                li { a href="#weight" { "Weight" } }
                li { a href="#thickness" { "Thickness" } }
                li { a href="#axis" { "Die axis" } }
                li { a href="#metal" { "Metal" } }
                li { a href="#wear" { "Wear and what is left" } }
                li { a href="#letters" { "Letters" } }
                li { a href="#shown" { "What is shown" } }
                li { a href="#photographs" { "Photographs" } }
                li { a href="#things" { "Things that are no coins" } }
                li { a href="#shares" { "What the figures mean" } }
                li { a href="/help/glossary" { "Glossary" } }
                li { a href="/size" { "Set this screen to actual size" } }
            }
            (measures())
            (state())
            (letters())
            (photographs())
            (things())
            (shares())
        },
    }
}

fn measures() -> Markup {
    html! {
        h2 id="diameter" { "Diameter" }
        p { "Plastic callipers, laid on lightly, at the widest and the narrowest; say both (16-18 mm) or the middle. A ruler laid beside it will do: to half a millimetre. Of a cut half or quarter measure the whole length, and say that it is cut." }
        h2 id="weight" { "Weight" }
        p { "A scale that shows hundredths of a gram, on a level table, out of the wind. Three times, and write the middle one. Write what it shows: 1.2 g says less than 1.20 g, and it is taken so." }
        h2 id="thickness" { "Thickness" }
        p { "At the edge, in three places, and the middle one; only where the edge is not bent or swollen." }
        h2 id="axis" { "Die axis" }
        p { "Hold it by the edge between two fingers, the front upright, and turn it like the page of a book. The hour to which the top of the back points is the die axis: 12 when both stand upright, 6 when the back is upside down." }
    }
}

fn state() -> Markup {
    html! {
        h2 id="metal" { "Metal" }
        p { "Say what it looks like by daylight: gold, silver, base silver (coppery or grey), plated (a skin with another metal below), copper alloy (green, brown, reddish), white metal, lead, iron. No scratch, no file, no acid. Wash your hands after lead." }
        h2 id="wear" { "Wear and what is left" }
        p { "Wear is what use did, corrosion what the ground did. Little: all clear. Light: the highest points flat. Worn: detail merged. Heavy: a weak outline, the letters gone. Extreme: blank, or nearly. Say whether it is whole, chipped, a half, a quarter or a fragment, and whether it is clipped, pierced or bent: each changes what its weight tells." }
    }
}

fn letters() -> Markup {
    html! {
        h2 id="letters" { "Letters" }
        p { "Write the letters that you see, in capitals, in the order in which they run; clockwise from the top of the front as a rule. U is struck as V, J as I, W as VV: write what you see. A letter guessed is worse than a letter left out." }
        div.wide role="region" aria-label="Marks for letters" tabindex="0" {
            table {
                caption { "Marks, after the Leiden conventions" }
                thead { tr { th scope="col" { "Mark" } th scope="col" { "Means" } th scope="col" { "For example" } } }
                tbody {
                    @for (mark, means, example) in [
                        ("[---]", "letters lost, no telling how many", "[---]DWR ANGL[---]"),
                        ("[..]", "so many letters lost: two", "CIVI[..]S"),
                        ("A?", "doubtful", "ED?W"),
                        ("(N/H)", "one or the other", "(N/H)ENRICVS"),
                        ("[ABC]", "lost, and supplied by you: no evidence", "EDWAR[D]"),
                        ("/", "the design cuts the legend here", "CIVI/TAS"),
                    ] { tr { th scope="row" { span.legend { (mark) } } td { (means) } td { span.legend { (example) } } } }
                }
            }
        }
        h2 id="shown" { "What is shown" }
        p { "Say what you see, not what you think it is: a head facing left with a wreath, two standing figures, a long cross with three pellets in each corner, a ship. Say on which side. What you have looked for and not found tells too: no initial mark. " a href="/pictures" { "Pictures to point at" } "." }
    }
}

fn photographs() -> Markup {
    html! {
        h2 id="photographs" { "Photographs" }
        ol {
            li { "Plain paper under it, grey or white, by a window; no flash." }
            li { "One lamp from low on one side brings out worn letters." }
            li { "Straight from above, the whole piece sharp, front and back, and the edge of a thick one." }
            li { "A ruler or a modern coin beside it, at the same height: then the picture can be measured." }
        }
        p { "The place where a picture was taken may stand in the file. Here it is taken out before a picture is passed on." }
    }
}

fn things() -> Markup {
    html! {
        h2 id="things" { "Things that are no coins" }
        p { "Length along it, width across it, height as it stands, each to half a millimetre, and whether all of it is there. Say its parts: a loop, a catch for a pin, rivets, a tongue; the outline seen from the front, and the shape of a cut across. Do not straighten, open or take apart anything." }
    }
}

fn shares() -> Markup {
    html! {
        h2 id="shares" { "What the figures mean" }
        p { "A share of 0.62 means: of a hundred finds described like this one, about 62 are so. The shares of all types and of \"not in the library\" make one in all. They were tried on finds that were made up and on finds that others had named; how well they held is told with the program's own papers on accuracy." }
        ul {
            li { strong { "Nats" } " are the weight of one reason: +2.3 makes a type ten times as likely, -2.3 ten times less. They add up." }
            li { strong { "Bits" } " are what a look is expected to tell: one bit halves the doubt." }
            li { strong { "Beforehand" } " is how common a type is as a find before anything is seen of this piece." }
            li { strong { "Not in the library" } " is what is left for foreign, rarer and false pieces and for what is no coin." }
        }
        p { "The answer goes only as far as the evidence carries: a ruler, where the type is open. It names, and decides nothing: the finds liaison officer does, and of treasure the coroner." }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_leap_on_the_page_lands() {
        let all = [
            measures(),
            state(),
            letters(),
            photographs(),
            things(),
            shares(),
        ];
        let text: String = all.into_iter().map(maud::Markup::into_string).collect();
        for id in [
            "diameter",
            "weight",
            "thickness",
            "axis",
            "metal",
            "wear",
            "letters",
            "shown",
            "photographs",
            "things",
            "shares",
        ] {
            assert!(text.contains(&format!("id=\"{id}\"")), "{id}");
        }
        // No one is told to clean or scratch.
        assert!(!text.contains("rub it") && text.contains("No scratch"));
    }
}

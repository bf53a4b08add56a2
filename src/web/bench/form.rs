//! The form of the bench: words, and every trait by itself.
//!
//! Shows what was said as it was said; understands none of it.
//!
//! Invariant: every field is sent under the name by which the parse room knows it, and whatever
//! stands in the address stands in the form.

use maud::{Markup, html};

use super::own::{LAND, Own, WITHOUT};
use super::said::{IS, OF_THINGS, SCALE, UNSURE};
use crate::find::{Completeness, Making, MetalSeen, Region, Wear};
use crate::parse::Field;
use crate::web::asked::Fields;

/// A field that is typed: its name, what it is called, what is said of it.
type Typed = (Field, &'static str, &'static str);

const MEASURES: [Typed; 4] = [
    (Field::Diameter, "Diameter, mm", "17.2, or 16-18"),
    (Field::Weight, "Weight, g", "1.24"),
    (Field::Thickness, "Thickness, mm", "1.5"),
    (Field::DieAxis, "Die axis, hours", "6"),
];
const SEEN: [Typed; 8] = [
    (
        Field::ObverseLegend,
        "Letters on the front",
        "[---]DWR ANGL[---]",
    ),
    (
        Field::ReverseLegend,
        "Letters on the back",
        "CIVI TAS [..]DON",
    ),
    (Field::Legend, "Letters, side not known", ""),
    (
        Field::ObverseMotif,
        "Shown on the front",
        "crowned bust facing",
    ),
    (
        Field::ReverseMotif,
        "Shown on the back",
        "long cross, pellets",
    ),
    (Field::Motif, "Shown, side not known", ""),
    (Field::Absent, "Looked for and not there", "initial mark"),
    (Field::DateOnPiece, "Date that stands on it", "1697"),
];
const ABOUT: [Typed; 4] = [
    (Field::Treatment, "Done to it later", "clipped, pierced"),
    (Field::Corrosion, "Corrosion", "lightly corroded"),
    (Field::Opinion, "What you think it is", "penny of Edward I"),
    (Field::FoundWith, "Found with", "two sceattas"),
];

/// The wear steps, in order.
const WEAR: [Wear; 5] = [
    Wear::Little,
    Wear::Light,
    Wear::Worn,
    Wear::Heavy,
    Wear::Extreme,
];
const LEFT: [Completeness; 5] = [
    Completeness::Whole,
    Completeness::Chipped,
    Completeness::Half,
    Completeness::Quarter,
    Completeness::Fragment,
];
const MAKING: [Making; 3] = [Making::Hammered, Making::Milled, Making::Cast];

/// The whole form.
pub(super) fn form(fields: &Fields, own: &Own) -> Markup {
    let words = fields.get(Field::Words.name()).unwrap_or_default();
    html! {
        form.describe id="describe" method="get" action="/" data-live="answer" {
            label for="words" { "Say what you see, measure and read" }
            textarea id="words" name="words" rows="3" maxlength="4000" autocapitalize="none"
                spellcheck="false" aria-describedby="words-how" { (words) }
            p.how id="words-how" {
                "For example: silver, 17 mm, 1.2 g, long cross, reads EDW R. Leave out what you do not know."
            }
            p.acts {
                button { "What is it?" }
                " "
                button.quiet formaction="/pictures" { "Point at what it looks like" }
                " "
                a.plain href="/" { "Begin anew" }
            }
            details.fields open[any_field(fields)] {
                summary { "Field by field" }
                (parts(fields))
                (own.fields(fields))
                p.acts { button { "What is it?" } }
            }
            (carried(fields))
        }
    }
}

fn parts(fields: &Fields) -> Markup {
    html! {
        fieldset {
            legend { "What it is made of and how large" }
            (choice(Field::Metal, "Metal as it looks", &MetalSeen::ALL.map(MetalSeen::name), fields))
            @for one in MEASURES { (typed(one, fields, true)) }
            (choice(Field::Completeness, "How much is there", &LEFT.map(Completeness::name), fields))
            (choice(Field::Wear, "Wear", &WEAR.map(Wear::name), fields))
            (choice(Field::Making, "How it was made", &MAKING.map(Making::name), fields))
        }
        fieldset {
            legend { "What stands on it" }
            p.how { "Letters lost: [---] any number, [..] two. Doubtful: A?. One or the other: (N/H). " a href="/help#letters" { "How to write what you read" } }
            @for one in SEEN { (typed(one, fields, false)) }
        }
        fieldset {
            legend { "What else you know" }
            (choice(Field::Region, "Part of the land", &Region::ALL.map(Region::name), fields))
            @for one in ABOUT { (typed(one, fields, false)) }
        }
        fieldset {
            legend { "If it is no coin" }
            (text("class", "What sort of thing", "buckle", fields, false))
            (text("length", "Length, mm", "45", fields, true))
            (text("width", "Width, mm", "20", fields, true))
            (text("height", "Height, mm", "12", fields, true))
            (text("period", "Period you take it for", "Roman", fields, false))
            div.tick {
                input type="checkbox" id="complete" name="complete" value="yes" checked[fields.get("complete").is_some()];
                label for="complete" { "All of it is there" }
            }
            (settle(fields))
        }
    }
}

/// Whether it is a coin, where the finder has settled it.
fn settle(fields: &Fields) -> Markup {
    let now = fields.get(IS).unwrap_or_default();
    html! {
        div.field {
            label for="is" { "Judge it as" }
            select id="is" name=(IS) {
                @for (value, name) in [("", "whichever is likelier"), ("coin", "a coin"), ("thing", "a thing that is no coin")] {
                    option value=(value) selected[now == value] { (name) }
                }
            }
        }
    }
}

/// What is carried along unseen: what the finder was not sure of, and the size of the screen.
fn carried(fields: &Fields) -> Markup {
    html! {
        @for name in [UNSURE, SCALE] {
            @for text in fields.all(name) { input type="hidden" name=(name) value=(text); }
        }
    }
}

/// The text of a field as it is shown: all that was sent, in one.
fn shown(name: &str, between: &str, fields: &Fields) -> String {
    fields.all(name).collect::<Vec<_>>().join(between)
}

fn typed((field, label, hint): Typed, fields: &Fields, figure: bool) -> Markup {
    let now = shown(field.name(), super::said::between(field), fields);
    one(field.name(), label, hint, &now, figure)
}

fn text(name: &str, label: &str, hint: &str, fields: &Fields, figure: bool) -> Markup {
    one(name, label, hint, &shown(name, ", ", fields), figure)
}

fn one(name: &str, label: &str, hint: &str, now: &str, figure: bool) -> Markup {
    html! {
        div.field {
            label for=(name) { (label) }
            input type="text" id=(name) name=(name) value=(now) maxlength="2000" autocomplete="off" autocapitalize="none" spellcheck="false"
                inputmode=[figure.then_some("decimal")] placeholder=[(!hint.is_empty()).then_some(hint)];
        }
    }
}

/// A field with a list of words; another word that was sent is one more of them.
fn choice(field: Field, label: &str, words: &[&str], fields: &Fields) -> Markup {
    let now = shown(field.name(), ", ", fields);
    let known = words.contains(&now.as_str());
    html! {
        div.field {
            label for=(field.name()) { (label) }
            select id=(field.name()) name=(field.name()) {
                option value="" { "not said" }
                @for word in words { option value=(word) selected[now == *word] { (word) } }
                @if !known && !now.is_empty() { option value=(now) selected { (now) } }
            }
        }
    }
}

/// True when a field stands in the address that only the closed part of the form shows.
fn any_field(fields: &Fields) -> bool {
    let traits = Field::ALL.iter().filter(|field| **field != Field::Words);
    let names = traits
        .map(|field| field.name())
        .chain(OF_THINGS)
        .chain([IS, LAND, WITHOUT]);
    names.into_iter().any(|name| fields.get(name).is_some())
}

/// The fields by which a find is described, as hidden fields of another form.
pub(super) fn hidden(fields: &Fields) -> Markup {
    let mut told = described(fields);
    tell_own(fields, &mut told);
    html! {
        @for (name, text) in told.iter() { input type="hidden" name=(name) value=(text); }
    }
}

/// The fields by which a find is described, each once, and nothing else of the address.
pub(in crate::web) fn described(fields: &Fields) -> Fields {
    let traits = Field::ALL.iter().filter(|field| **field != Field::Id);
    let mut described = Fields::default();
    for field in traits {
        let text = shown(field.name(), super::said::between(*field), fields);
        if !text.is_empty() {
            described.push(field.name(), &text);
        }
    }
    for name in OF_THINGS.into_iter().chain([IS]) {
        let text = shown(name, ", ", fields);
        if !text.is_empty() {
            described.push(name, &text);
        }
    }
    described
}

/// How the finder's own finds are asked.
fn tell_own(fields: &Fields, told: &mut Fields) {
    for name in [LAND, WITHOUT] {
        if let Some(text) = fields.get(name) {
            told.push(name, text);
        }
    }
}

/// All fields that the bench goes by: those of the find, how the finder's own are asked, what the finder was not sure of, the
/// screen.
pub(super) fn kept(fields: &Fields) -> Fields {
    let mut kept = described(fields);
    tell_own(fields, &mut kept);
    for name in [UNSURE, SCALE] {
        fields.all(name).for_each(|text| kept.push(name, text));
    }
    kept
}

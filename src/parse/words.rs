//! Free words in one string: "silver, 17 mm, worn, long cross, reads EDW R".
//!
//! Part by part: figures with their units, then the sides, then letters, then
//! phrases of the lexicon; what is left over becomes a remark. It judges nothing.
//!
//! Invariant: the order of the parts does not matter, but for the words that name
//! a side and for a trait given twice.

use std::ops::Range;

use super::form::Field;
use super::hearing::{Hearing, WORDS};
use super::legend;
use super::letters::{Letters, Run};
use super::lexicon::Lexicon;
use super::meaning::Scope;
use super::measures;
use super::numbers::{self, DATED_COINS, Figure};
use super::pieces::{self, Part};
use super::places;
use super::remark::{Remark, RemarkKind, clean};
use super::scan;
use super::sides::{self, Sides};
use super::stem;
use crate::find::{DieAxis, Find, Side};

/// Understands free words in one string.
pub fn words(text: &str, lexicon: &Lexicon) -> (Find, Vec<Remark>) {
    let (text, remarks) = clean(text, WORDS);
    let mut hearing = Hearing::new(&text, lexicon, WORDS, Scope::All, Side::Unknown);
    hearing.remarks = remarks;
    for part in pieces::parts(&text) {
        match places::in_words(&text[part.range()], lexicon) {
            Some((more, told)) => {
                hearing.take(part.range());
                hearing.add(more, told);
            }
            None => hearing.part(&part),
        }
    }
    hearing.finish()
}

/// Understands the words of one field, of which only some meanings count.
pub(super) fn field_words(
    text: &str,
    lexicon: &Lexicon,
    field: Field,
    scope: Scope,
    side: Side,
) -> (Find, Vec<Remark>) {
    let (text, remarks) = clean(text, field.name());
    let mut hearing = Hearing::new(&text, lexicon, field.name(), scope, side);
    hearing.remarks = remarks;
    for part in pieces::parts(&text) {
        let range = part.range();
        let spans = spans_in(&text, &range);
        let sides = match side {
            Side::Unknown if scope == Scope::Motifs => sides::sides(&text, &spans, hearing.side),
            _ => sides::sides(&text, &[], side),
        };
        sides
            .phrases
            .iter()
            .for_each(|phrase| hearing.take(phrase.clone()));
        hearing.phrases(range, &sides);
        hearing.side = sides.after;
    }
    hearing.finish()
}

fn spans_in(text: &str, range: &Range<usize>) -> Vec<Range<usize>> {
    let moved = |span: Range<usize>| range.start + span.start..range.start + span.end;
    stem::spans(&text[range.clone()])
        .into_iter()
        .map(moved)
        .collect()
}

impl Hearing<'_> {
    fn part(&mut self, part: &Part) {
        let range = part.range();
        let quoted: Vec<Range<usize>> = part
            .pieces
            .iter()
            .filter(|piece| matches!(piece, pieces::Piece::Quote(_)))
            .map(pieces::Piece::range)
            .collect();
        for (place, figure) in numbers::figures(self.text, range.clone()) {
            if quoted
                .iter()
                .all(|quote| place.end <= quote.start || quote.end <= place.start)
            {
                self.figure(place, figure);
            }
        }
        let free = |span: &Range<usize>| {
            !self.taken[span.start] && quoted.iter().all(|quote| !quote.contains(&span.start))
        };
        let spans: Vec<Range<usize>> = spans_in(self.text, &range)
            .into_iter()
            .filter(free)
            .collect();
        let sides = sides::sides(self.text, &spans, self.side);
        sides
            .phrases
            .iter()
            .for_each(|phrase| self.take(phrase.clone()));
        self.letters(part, &sides, &spans);
        self.phrases(range, &sides);
        self.side = sides.after;
    }

    fn figure(&mut self, place: Range<usize>, figure: Figure) {
        let text = self.text;
        let said = &text[place.clone()];
        self.take(place);
        let mut more = Find::default();
        let mut remarks = Vec::new();
        match figure {
            Figure::Weight(quantity) => (more.weight, remarks) = measures::weight(&quantity, said),
            Figure::Diameter(quantity) => {
                (more.diameter, remarks) = measures::length(&quantity, said, Field::Diameter);
            }
            Figure::Thickness(quantity) => {
                (more.thickness, remarks) = measures::length(&quantity, said, Field::Thickness);
            }
            Figure::Axis(hour) => (more.die_axis, remarks) = axis_of(hour, said),
            Figure::Date(year, guessed) => {
                more.date_on_piece = Some(year);
                if guessed {
                    remarks.push(year_remark(said, WORDS));
                }
            }
        }
        self.add(more, remarks);
    }

    fn letters(&mut self, part: &Part, sides: &Sides, spans: &[Range<usize>]) {
        let asked = Letters {
            text: self.text,
            part,
            taken: &self.taken,
            lexicon: self.lexicon,
            shouting: self.shouting,
        };
        let runs = asked.runs();
        let backwards = spans
            .iter()
            .find(|span| self.text[(*span).clone()].eq_ignore_ascii_case("retrograde"))
            .cloned();
        if let Some(word) = backwards.clone().filter(|_| !runs.is_empty()) {
            self.take(word);
        }
        for run in runs {
            self.run(&run, part, sides, backwards.is_some());
        }
    }

    fn run(&mut self, run: &Run, part: &Part, sides: &Sides, backwards: bool) {
        let place = |at: &usize| part.pieces[*at].range();
        run.pieces.iter().for_each(|at| self.take(place(at)));
        let typed: Vec<&str> = run.letters.iter().map(|at| &self.text[place(at)]).collect();
        let side = run
            .letters
            .first()
            .map_or(Side::Unknown, |at| sides.at(place(at).start));
        let said = typed.join(" ");
        if run.guessed {
            self.remark(
                RemarkKind::Assumed,
                &said,
                "is no word of the library, so it is taken as letters on the piece",
                "write words in small letters, and letters after \"reads\"",
            );
        }
        let (more, remarks) = legend_and_date(&said, side, self.field, backwards);
        self.add(more, remarks);
    }

    /// Phrases of the lexicon in what is still free.
    fn phrases(&mut self, range: Range<usize>, sides: &Sides) {
        let stretch = |byte: usize| sides.stretch(byte);
        let words = scan::free_words(
            self.text,
            range,
            &self.taken,
            self.lexicon,
            &mut self.slips,
            stretch,
        );
        let (heard, left) = scan::hear(&words, self.lexicon, self.scope);
        self.seen_words(&heard, &words, sides);
        for phrase in &heard {
            self.phrase(phrase, &words, sides);
        }
        self.leave(&left, &words);
    }
}

/// A die axis, or the remark that there is no such hour.
pub(super) fn axis_of(hour: f64, said: &str) -> (Option<DieAxis>, Vec<Remark>) {
    let whole = (hour.fract() == 0.0 && (0.0..=255.0).contains(&hour)).then_some(hour as u8);
    match whole.map(DieAxis::new) {
        Some(Ok(axis)) => (Some(axis), Vec::new()),
        _ => {
            let what = "is not possible: a die axis is a clock hour from 1 to 12";
            (
                None,
                vec![Remark::new(
                    RemarkKind::Impossible,
                    Field::DieAxis.name(),
                    said,
                    what,
                    "write it as 6",
                )],
            )
        }
    }
}

fn year_remark(said: &str, field: &str) -> Remark {
    let what = "is taken as a date that stands on the piece";
    Remark::new(
        RemarkKind::Assumed,
        field,
        said,
        what,
        "write \"dated\" before it, or leave it out",
    )
}

/// A legend; a year that stands in it alone is a date on the piece and no letters.
pub(super) fn legend_and_date(
    text: &str,
    side: Side,
    field: &str,
    backwards: bool,
) -> (Find, Vec<Remark>) {
    let is_year = |word: &&str| {
        word.len() == 4
            && word
                .parse()
                .is_ok_and(|year: i32| DATED_COINS.contains(&year))
    };
    let mut find = Find::default();
    let mut remarks = Vec::new();
    let mut letters = text.to_string();
    if let Some(year) = text.split_whitespace().find(is_year) {
        find.date_on_piece = year.parse().ok();
        remarks.push(year_remark(year, field));
        letters = text
            .split_whitespace()
            .filter(|word| *word != year)
            .collect::<Vec<_>>()
            .join(" ");
    }
    let (reading, told) = legend::read(&letters, side, field, backwards);
    find.readings.extend(reading);
    remarks.extend(told);
    (find, remarks)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::{Completeness, Making, MetalSeen, OpinionLevel, Treatment, Wear};
    use crate::parse::kit;

    fn hear(text: &str) -> (Find, Vec<Remark>) {
        words(text, &Lexicon::new(&kit::catalogue()))
    }

    fn seen(text: &str) -> Vec<String> {
        let sign = |present: bool, sure: bool| match (present, sure) {
            (true, true) => "",
            (true, false) => "?",
            _ => "-",
        };
        let side = |side: Side| match side {
            Side::Obverse => " o",
            Side::Reverse => " r",
            Side::Unknown => "",
        };
        let show = |s: &crate::find::Sighting| {
            format!("{}{}{}", sign(s.present, s.sure), s.motif, side(s.side))
        };
        hear(text).0.sightings.iter().map(show).collect()
    }

    fn read(text: &str) -> Vec<String> {
        hear(text)
            .0
            .readings
            .iter()
            .map(|reading| format!("{} {}", reading.side.name(), reading.said))
            .collect()
    }

    fn seen_words(text: &str) -> Vec<String> {
        let (find, _) = hear(text);
        let show = |one: &crate::find::SeenWord| format!("{} {}", one.side.name(), one.word);
        find.seen_words.iter().map(show).collect()
    }

    /// Words of what is seen are kept with their side; of other parts, of what is not there and of
    /// what says something else, none.
    #[test]
    fn the_words_of_what_is_seen_are_kept() {
        assert_eq!(
            seen_words("silver penny, worn, on the back a knobbly long cross"),
            ["reverse cross", "reverse knobbly", "reverse long"]
        );
        assert_eq!(
            seen_words("found by the gate, silver, jewelled bust, lost in mud"),
            ["either side bust", "either side jewelled"]
        );
        assert_eq!(
            seen_words("no cross, found by the gate"),
            Vec::<String>::new()
        );
    }

    #[test]
    fn a_whole_description() {
        let (find, remarks) = hear(
            "silver, about 17 mm, 1.2 g, die axis 6, hammered, very worn, clipped, not holed, penny of king Edward I, \
             London mint, obverse: crowned bust reads EDW R, reverse: long cross and three pellets, ...LONDON...",
        );
        assert_eq!(remarks, []);
        assert_eq!(find.metal, Some((MetalSeen::Silver, true)));
        assert_eq!(
            find.diameter.map(|size| (size.value.get(), size.error)),
            Some((17.0, 1.0))
        );
        assert_eq!(find.weight.map(|weight| weight.value.get()), Some(1.2));
        assert_eq!(find.die_axis.map(DieAxis::hour), Some(6));
        assert_eq!(
            (find.making, find.wear),
            (Some(Making::Hammered), Some(Wear::Heavy))
        );
        assert_eq!(
            (find.treatments, find.treatments_absent),
            (vec![Treatment::Clipped], vec![Treatment::Pierced])
        );
        let opinions: Vec<(OpinionLevel, String)> = find
            .opinions
            .iter()
            .map(|o| (o.level, o.ids.join(" ")))
            .collect();
        assert_eq!(
            opinions,
            [
                (OpinionLevel::Denomination, "penny".to_string()),
                (OpinionLevel::Ruler, "edward-i".to_string()),
                (OpinionLevel::Mint, "london".to_string()),
            ]
        );
        let motifs: Vec<(&str, Side)> = find
            .sightings
            .iter()
            .map(|s| (s.motif.as_str(), s.side))
            .collect();
        assert_eq!(
            motifs,
            [
                ("crowned-bust", Side::Obverse),
                ("long-cross", Side::Reverse),
                ("three-pellets", Side::Reverse)
            ]
        );
        let sides: Vec<(Side, usize)> = find
            .readings
            .iter()
            .map(|r| (r.side, r.letters_seen()))
            .collect();
        assert_eq!(sides, [(Side::Obverse, 5), (Side::Reverse, 6)]);
    }

    #[test]
    fn loose_words_without_commas() {
        let (find, remarks) = hear("worn silver 17mm 1.2g long cross with dots reads edw r");
        assert_eq!(remarks, []);
        assert_eq!(find.sightings.len(), 2);
        assert_eq!(find.readings.len(), 1);
        assert!(find.weight.is_some() && find.diameter.is_some() && find.wear == Some(Wear::Worn));
        let shouted = hear("WORN SILVER 17MM LONG CROSS EDW R ANGL");
        assert_eq!(shouted.0.sightings.len(), 1);
        assert_eq!(shouted.0.readings[0].said, "EDW R ANGL");
        assert_eq!(shouted.1.len(), 1);
        assert!(shouted.0.diameter.is_some() && shouted.0.metal.is_some());
    }

    #[test]
    fn no_perhaps_and_sides() {
        assert_eq!(
            seen("no crown, perhaps a horse, ship?"),
            ["-crown", "?horse", "?ship"]
        );
        assert_eq!(
            seen("horse on the front, long cross on the back, ship"),
            ["horse o", "long-cross r", "ship"]
        );
        assert_eq!(
            seen("obv horse left rev ship"),
            ["horse o", "facing-left o", "ship r"]
        );
        assert_eq!(
            hear("maybe silver").0.metal,
            Some((MetalSeen::Silver, false))
        );
        assert_eq!(
            hear("silver? penny").0.metal,
            Some((MetalSeen::Silver, false))
        );
        assert_eq!(
            hear("silver plated copper").0.metal,
            Some((MetalSeen::Plated, true))
        );
        assert_eq!(
            hear("copper, plated").0.metal,
            Some((MetalSeen::Plated, true))
        );
    }

    #[test]
    fn half_pennies_and_halved_pennies() {
        let heard = |text: &str| {
            let (find, remarks) = hear(text);
            assert_eq!(remarks, [], "{text}");
            (
                find.completeness,
                find.opinions.first().map(|opinion| opinion.ids.join(" ")),
            )
        };
        let some = |id: &str| Some(id.to_string());
        assert_eq!(heard("halfpenny"), (None, some("halfpenny")));
        assert_eq!(heard("half penny"), (None, some("halfpenny")));
        assert_eq!(heard("half-groat"), (None, some("half-groat")));
        assert_eq!(heard("halfgroat"), (None, some("half-groat")));
        assert_eq!(
            heard("half penny cut"),
            (Some(Completeness::Half), some("penny"))
        );
        assert_eq!(
            heard("cut halfpenny"),
            (Some(Completeness::Half), some("penny"))
        );
        assert_eq!(
            heard("a penny, cut half"),
            (Some(Completeness::Half), some("penny"))
        );
        assert_eq!(heard("halved"), (Some(Completeness::Half), None));
    }

    #[test]
    fn letters_stand_on_their_side() {
        assert_eq!(
            read("obverse: \"EDW R\"; reverse: [CIV]ITAS"),
            ["obverse EDW R", "reverse [CIV]ITAS"]
        );
        assert_eq!(read("RE retrograde, penny"), ["either side RE"]);
        assert!(hear("RE retrograde, penny").0.readings[0].retrograde);
        let (find, remarks) = hear("BRITANNIA 1700 copper");
        assert_eq!(
            (find.date_on_piece, find.readings[0].letters_seen()),
            (Some(1700), 9)
        );
        assert_eq!(remarks.len(), 1);
        assert_eq!(
            hear("dated 1696"),
            (
                Find {
                    date_on_piece: Some(1696),
                    ..Find::default()
                },
                Vec::new()
            )
        );
    }

    #[test]
    fn what_is_not_understood_is_named() {
        let remarks = |text: &str| -> Vec<(RemarkKind, String)> {
            hear(text)
                .1
                .into_iter()
                .map(|remark| (remark.kind, remark.said))
                .collect()
        };
        assert_eq!(
            remarks("a small silver coin"),
            [(RemarkKind::Ignored, "small".to_string())]
        );
        assert_eq!(
            remarks("a blorp, gnarl"),
            [
                (RemarkKind::NotUnderstood, "blorp".to_string()),
                (RemarkKind::NotUnderstood, "gnarl".to_string())
            ]
        );
        assert_eq!(
            remarks("silvr"),
            [(RemarkKind::Assumed, "silvr".to_string())]
        );
        assert_eq!(
            remarks("no idea no"),
            [
                (RemarkKind::Ignored, "no idea".to_string()),
                (RemarkKind::NotUnderstood, "no".to_string())
            ]
        );
        assert!(
            hear("brittania").1[0].mend.contains("britannia")
                || hear("brittania").0.sightings.len() == 1
        );
        assert_eq!(remarks("-3 g")[0].0, RemarkKind::Impossible);
        assert_eq!(remarks("a 1 kg penny")[0].0, RemarkKind::Assumed);
        assert_eq!(remarks("silver, bronze")[0].0, RemarkKind::Contradiction);
        assert_eq!(
            remarks("crown, 38 mm")[0],
            (RemarkKind::Assumed, "crown".to_string())
        );
    }

    #[test]
    fn hostile_texts_end_soon_and_lose_nothing() {
        let lexicon = Lexicon::new(&kit::catalogue());
        for unit in [
            "[", "\"", "“", "x ", "1-", "1 ", "1.", "long ", "cross,", "no ", "? ", "...", "A",
            "é", "[a", "(", "in 1 ",
        ] {
            let text = unit.repeat(1_000_000 / unit.len());
            let began = std::time::Instant::now();
            let (_, remarks) = words(&text, &lexicon);
            assert!(
                remarks.iter().any(|remark| remark.what.contains("20000")),
                "{unit}"
            );
            assert!(
                began.elapsed().as_secs() < 5,
                "{unit}: {:?}",
                began.elapsed()
            );
        }
    }
}

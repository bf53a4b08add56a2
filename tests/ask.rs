//! The dialogue of `identify --ask` as a person holds it, through a pipe.
//!
//! Runs the real program with lines on its input and reads what it prints; each dialogue must end,
//! whatever was typed, and end in the full answer.

use crate::kit::{Outcome, run_with_input};

const PENNY: &str = "silver, 18 mm, 1.3 g, long cross, reads EDW R ANGL";
const PROMPT: &str = "> ";

fn asked(arguments: &[&str], input: &str) -> Outcome {
    let before = ["identify", "--ask"];
    let ended = run_with_input(before.iter().chain(arguments), input);
    assert!(!ended.err.contains("panicked"), "{}", ended.err);
    ended
}

/// The questions put, in order.
fn questions(out: &str) -> Vec<&str> {
    out.lines()
        .filter(|line| line.starts_with("To tell the "))
        .collect()
}

fn prompts(out: &str) -> usize {
    out.matches(PROMPT).count()
}

#[test]
fn a_dialogue_goes_on_from_each_reply_and_ends_in_the_full_answer() {
    let ended = asked(&[PENNY], "1\n0\n2\n");
    assert_eq!(ended.code, 0, "{}", ended.err);
    let questions = questions(&ended.out);
    assert!(questions.len() >= 3, "{}", ended.out);
    let mut distinct = ended.out.split(PROMPT).collect::<Vec<_>>();
    distinct.dedup();
    assert_eq!(
        distinct.len(),
        prompts(&ended.out) + 1,
        "a question came twice"
    );
    assert!(ended.out.contains("how: "), "{}", ended.out);
    for part in ["\nTypes\n", "\nRuler ", "\nWhat speaks for "] {
        assert!(ended.out.contains(part), "lacks {part:?}: {}", ended.out);
    }
}

#[test]
fn from_nothing_it_asks_metal_size_and_weight_first() {
    let ended = asked(&[], "silver\n17.5\n1.25\nq\n");
    assert_eq!(ended.code, 0, "{}", ended.err);
    let questions = questions(&ended.out);
    for (place, word) in ["metal", "wide", "heavy"].iter().enumerate() {
        assert!(questions[place].contains(word), "{questions:?}");
    }
    assert!(ended.out.contains("1.25 g"), "{}", ended.out);
    assert!(ended.out.contains("17.5 mm"), "{}", ended.out);
}

#[test]
fn the_end_of_the_input_ends_it_cleanly() {
    let ended = asked(&[PENNY], "");
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(ended.out.contains("The input ends here."), "{}", ended.out);
    assert!(ended.out.contains("\nTypes\n"), "{}", ended.out);
    let nothing = asked(&[], "");
    assert_eq!(nothing.code, 1, "{}", nothing.out);
    assert!(
        nothing.out.contains("There is nothing to go on."),
        "{}",
        nothing.out
    );
}

#[test]
fn nonsense_gets_a_line_and_the_same_question() {
    for nonsense in [
        "qwxz zzqk",
        "",
        "99",
        "-1",
        "\u{1}\u{7f}",
        "1.5.2",
        "'; drop",
    ] {
        let ended = asked(&[PENNY], &format!("{nonsense}\n{nonsense}\nq\n"));
        assert_eq!(ended.code, 0, "{nonsense:?}: {}", ended.err);
        assert_eq!(
            questions(&ended.out).len(),
            1,
            "{nonsense:?}: {}",
            ended.out
        );
        assert_eq!(prompts(&ended.out), 3, "{nonsense:?}: {}", ended.out);
        let told = ended.out.matches("That tells nothing new.").count();
        assert_eq!(told, 2, "{nonsense:?}: {}", ended.out);
    }
}

#[test]
fn endless_nonsense_and_other_bytes_end_with_the_input() {
    let ended = asked(&[PENNY], &"x".repeat(3_000_000));
    assert_eq!(ended.code, 0, "{}", ended.err);
    let many = asked(&[PENNY], &"0\n".repeat(5_000));
    assert_eq!(many.code, 0, "{}", many.err);
    assert!(prompts(&many.out) <= 40, "{}", prompts(&many.out));
    let forth_and_back = asked(&[PENNY], &"0\nb\n".repeat(30));
    assert_eq!(prompts(&forth_and_back.out), 61, "{}", forth_and_back.out);
}

#[test]
fn back_takes_the_last_reply_away() {
    let ended = asked(&[PENNY], "1\nb\nb\nq\n");
    let questions = questions(&ended.out);
    assert_eq!(questions.len(), 3, "{}", ended.out);
    assert_eq!(questions[0], questions[2]);
    assert!(ended.out.contains("nothing to go back to"), "{}", ended.out);
    let plain = asked(&[PENNY], "q\n");
    let last = |out: &str| out.split(PROMPT).last().map(str::to_string);
    let answer =
        |out: &str| last(out).and_then(|out| out.split("\nTypes\n").nth(1).map(str::to_string));
    assert!(answer(&plain.out).is_some());
    assert_eq!(answer(&ended.out), answer(&plain.out));
}

#[test]
fn words_typed_are_heard_as_more_traits() {
    let ended = asked(&["silver, 18 mm"], "reads HENRICVS REX, worn\nq\n");
    assert!(ended.out.contains("\"HENRICVS REX\""), "{}", ended.out);
    assert_eq!(questions(&ended.out).len(), 2, "{}", ended.out);
}

#[test]
fn the_level_asked_for_decides_what_is_asked_and_when_it_ends() {
    let ended = asked(&["--level", "period", PENNY], "q\n");
    assert_eq!(questions(&ended.out).len(), 0, "{}", ended.out);
    assert!(
        ended.out.contains("The period is carried."),
        "{}",
        ended.out
    );
    let ruler = asked(&["--level", "ruler", "silver, 18 mm"], "q\n");
    assert!(
        questions(&ruler.out)[0].starts_with("To tell the ruler: "),
        "{}",
        ruler.out
    );
    let refused = asked(&["--json", PENNY], "");
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(refused.err.contains("--json"), "{}", refused.err);
}

//! Texts nobody would write: no panic, places on character boundaries, time that
//! grows with length.

use std::time::Instant;

use proptest::prelude::*;

use crate::recovery::{Random, check};
use crate::support::text::printed;
use crate::words::{ROOT, generated};

/// Checks a text and that every finding lies inside it, between characters.
fn survives(text: &str) -> usize {
    let found = check(text, &ROOT);
    for (lo, hi, f) in &found {
        assert!(lo <= hi && *hi <= text.len(), "{}: {lo}..{hi}", f.code.word);
        assert!(text.is_char_boundary(*lo) && text.is_char_boundary(*hi), "{}", f.code.word);
    }
    found.len()
}

/// Repeats a piece to a length.
fn long(piece: &str, bytes: usize) -> String {
    piece.repeat(bytes / piece.len() + 1)
}

#[test]
fn hard_texts_take_time_in_proportion_to_their_length() {
    let inside = |piece: &str, bytes: usize| {
        format!("figure a {{ limb b {{ outline {} }} }}", long(piece, bytes))
    };
    type Make = Box<dyn Fn(usize) -> String>;
    let plain = |piece: &'static str| -> Make { Box::new(move |n| long(piece, n)) };
    let deep = |piece: &'static str| -> Make { Box::new(move |n| inside(piece, n)) };
    let cases: Vec<(&str, Make)> = vec![
        ("points", deep("(1, 2) ")),
        ("points with units", deep("(1 mm, 2 mm) ")),
        ("numbers", deep("1 ")),
        ("sums", deep("1 - ")),
        ("ranges", deep("1 to ")),
        ("words", deep("crank ")),
        ("unknown words", deep("xyzzy\n")),
        ("open points", plain("(")),
        ("open points with numbers", deep("(1, 2 ")),
        ("closing braces", plain("}")),
        ("opening braces", plain("{")),
        ("quotes", plain("\"")),
        ("inch marks", deep("1\" ")),
        ("dashes", plain("a-")),
        ("signs", deep("+ ")),
        ("touching signs", deep("+-*/")),
        ("question marks", deep("? ")),
        ("commas", deep(", ")),
        ("lines", plain("\n")),
        ("comments", plain("# {\n")),
        ("one word", plain("a")),
        ("letters beyond ASCII", plain("é")),
        ("wide blanks", plain("\u{a0}")),
        ("items", plain("use a\n")),
        ("controls", plain("\u{1}")),
        ("continued lists", deep("\n (1, 2)")),
    ];
    for (name, make) in cases {
        let time = |bytes: usize| {
            let text = make(bytes);
            let start = Instant::now();
            survives(&text);
            start.elapsed().as_secs_f64()
        };
        // An eighth and the whole: eight times as long if linear, 64 times if
        // quadratic; 30 leaves room for a machine that does other things.
        let small = time(1 << 15).max(0.02);
        let whole = time(1 << 18);
        assert!(whole < 30.0 * small, "{name}: {small:.4} s for 32 kB, {whole:.4} s for 256 kB");
    }
}

#[test]
fn ten_thousand_blocks_inside_each_other_are_refused() {
    let text = format!("figure a {}{}", "{".repeat(10_000), "}".repeat(10_000));
    let found = check(&text, &ROOT);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].2.code.word, "braces-too-deep");
    assert_eq!(found[0].0, "figure a ".len() + 8);
}

#[test]
fn texts_cut_anywhere_survive() {
    let good = generated(1);
    for at in (0..good.len()).filter(|at| good.is_char_boundary(*at)) {
        survives(&good[..at]);
    }
}

#[test]
fn scrambled_texts_survive() {
    let good = generated(1);
    let bits: Vec<&str> = good.split_inclusive([' ', '(', ')', '{', '}', ',']).collect();
    let odd =
        ["\"", "#", "é", "\u{feff}", "\u{2009}", "–", "1/0", "--", "..", "°", "}", "{", "\0", "'"];
    let mut random = Random::new(7);
    for _ in 0..300 {
        let mut text = String::new();
        for _ in 0..200 {
            text.push_str(bits[random.below(bits.len())]);
            if random.below(12) == 0 {
                text.push_str(odd[random.below(odd.len())]);
            }
        }
        survives(&text);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_survives(text in printed(0..=200)) {
        survives(&text);
        survives(&format!("figure a {{ limb b {{ {text} }} }}"));
    }

    #[test]
    fn any_bytes_that_are_text_survive(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        survives(&String::from_utf8_lossy(&bytes));
    }
}

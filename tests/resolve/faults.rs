//! Every code of this stage is raised by its bad example and not by its good one.

use yardwright::resolve::CODES;

use super::{compile, one, told};

#[test]
fn every_row_is_filled_and_sorted() {
    for pair in CODES.windows(2) {
        assert!(pair[0].word < pair[1].word, "{} before {}", pair[0].word, pair[1].word);
    }
    for code in CODES {
        for text in [code.title, code.explanation, code.source, code.bad, code.good] {
            assert!(!text.is_empty(), "{}", code.word);
        }
    }
}

#[test]
fn bad_examples_raise_their_code_and_good_ones_nothing() {
    for code in CODES {
        let (_, found) = one(code.bad);
        assert!(found.iter().any(|f| f.code == *code), "{}\n{}", code.word, told(&found));
        assert!(found.iter().all(|f| f.code == *code), "{}\n{}", code.word, told(&found));
        let (_, found) = one(code.good);
        assert!(found.is_empty(), "{}\n{}", code.word, told(&found));
    }
}

#[test]
fn a_slip_in_a_name_offers_the_nearest_and_shows_where_it_stands() {
    let text = "use parts
figure bear {
  board plywod-9 600 mm by 1200 mm
  motor drum wipr at (300, 500) mm
  limb arm { pivot (300, 800) mm  tip (500, 1000) mm  drive four-bar { motor wipper at (300, 500) mm } }
}
";
    let (_, found) = one(text);
    let helps: Vec<_> = found.iter().filter_map(|f| f.help.as_deref()).collect();
    assert_eq!(found.len(), 3, "{}", told(&found));
    assert!(
        helps[0].contains("plywood-9") && helps[1].contains("wiper") && helps[2].contains("wiper"),
        "{helps:?}"
    );
    assert!(found.iter().all(|f| f.related.len() == 1 && f.fixes.len() == 1));
    assert!(found.iter().all(|f| f.figure.as_deref() == Some("bear")));
}

#[test]
fn a_part_of_the_library_asks_for_the_library() {
    let (_, found) = one("figure bear { board plywood-9 600 mm by 1200 mm }\n");
    assert_eq!(found.len(), 1, "{}", told(&found));
    assert!(found[0].help.as_deref().unwrap().contains("use parts"));
}

#[test]
fn a_misspelt_limb_is_one_error() {
    let text = "use parts
figure bear {
  board plywood-9 600 mm by 1200 mm
  limb left-arm { pivot (300, 800) mm  tip (500, 1000) mm }
}
controller post { out 1 bear.lefft-arm pwm
  in 1 bear.lefft-arm park
  in 2 bear.lefft-arm park }
";
    let (_, found) = one(text);
    assert_eq!(found.len(), 1, "{}", told(&found));
    assert!(found[0].help.as_deref().unwrap().contains("bear.left-arm"));
}

#[test]
fn what_the_reader_reported_is_not_reported_again() {
    // The pivot's unit is missing: no second finding says there is no pivot.
    let text = "use parts
figure bear {
  board plywood-9 600 mm by 1200 mm
  limb arm { pivot (300, 800)  tip (500, 1000) mm }
}
";
    let (yard, found) = one(text);
    assert_eq!(found.len(), 1, "{}", told(&found));
    assert!(yard.figures[0].figure.limbs[0].poisoned);
}

#[test]
fn files_are_used_once_and_never_in_a_circle() {
    let figures = "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\n";
    let main = "use \"figures/bear.yard\"\nuse \"figures/bear.yard\"\nset bear at (5 m, 4 m)\n";
    let (yard, found) = compile(&[("main.yard", main), ("figures/bear.yard", figures)]);
    assert!(found.is_empty(), "{}", told(&found));
    assert_eq!(yard.figures.len(), 1);
    let (_, found) = compile(&[
        ("main.yard", "use \"a.yard\"\n"),
        ("a.yard", "use \"b.yard\"\n"),
        ("b.yard", "use \"a.yard\"\n"),
    ]);
    assert_eq!(found.len(), 1, "{}", told(&found));
    assert_eq!(found[0].code.word, "use-circle");
    let (_, found) = one("use \"../secret.yard\"\n");
    assert_eq!(found[0].code.word, "use-unreadable");
}

/// A text that is not closed is told where it opens, though another stands behind it on the
/// line; nothing else of the line or the file is lost or taken for a mistake.
#[test]
fn a_quote_that_is_missing_loses_nothing_else() {
    let text = "use parts
figure a { board plywood-9 outline svg \"a.svg part \"body\" scale 1 mm
  limb l { pivot (1, 2) mm pivvot 3 } }
song jig \"jig.wav { meter 6/8  stem voice \"moon.wav\" at 31 s  metre 6/8 }
";
    let (_, found) = one(text);
    let told: Vec<_> = found
        .iter()
        .filter_map(|f| Some((f.code.word, f.place?)))
        .map(|(word, p)| format!("{word}@{}", p.hi - p.lo))
        .collect();
    let want = ["quote-missing@1", "word-unknown@6", "quote-missing@1", "word-unknown@5"];
    assert_eq!(told, want, "{found:?}");
}

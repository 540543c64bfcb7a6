//! Words that cannot both hold: each pair is found once, on the word that has to go, and
//! goes when it does.

use yardwright::resolve::CODES;

use super::{one, told};

const PIVOT: &str = "pivot (300, 800) mm  tip (500, 1000) mm";
const SLIDE: &str = "slide from (300, 560) mm to (300, 660) mm";

/// A limb on its joint, with a drive.
fn with(joint: &str, drive: &str) -> String {
    format!(
        "use parts
figure fox {{
  board plywood-9 600 mm by 1200 mm
  motor main wiper at (300, 400) mm
  limb upper-arm {{ pivot (300, 800) mm  tip (480, 700) mm  drive four-bar {{ motor main }} }}
  limb arm {{
    {joint}
    {drive}
  }}
}}
"
    )
}

/// Joint, drive with the word that has to go between `<` and `>`, and what is pointed at.
const PAIRS: &[(&str, &str, &str)] = &[
    (
        PIVOT,
        "drive four-bar from upper-arm { <motor main>  anchor (520, 840) mm  rod 270 mm  lever 45 mm }",
        "motor",
    ),
    (
        PIVOT,
        "drive four-bar from upper-arm { <crank 30 mm>  anchor (520, 840) mm  rod 270 mm  lever 45 mm }",
        "crank",
    ),
    (PIVOT, "drive four-bar { motor main  <anchor (520, 840) mm> }", "anchor"),
    (PIVOT, "drive four-bar { motor main  lever 45 mm at 10 deg <clamp 10 deg> }", "10 deg"),
    (PIVOT, "drive four-bar { motor main pin 30 deg <alternate> }", "alternate"),
    (
        PIVOT,
        "drive slotted-arm { motor main  slot 90 mm at 270 deg  lever 80 mm <at 0 deg> }",
        "0 deg",
    ),
    (
        PIVOT,
        "drive slotted-arm { motor main  slot 90 mm at 270 deg  lever 80 mm <clamp 0 deg> }",
        "0 deg",
    ),
    (SLIDE, "drive cam { motor main  follower flat  <roller 8 mm> }", "roller"),
    (SLIDE, "drive cam { motor main  follower knife  <roller 8 mm> }", "roller"),
    (SLIDE, "drive cam { motor main  follower flat  <offset 5 mm> }", "offset"),
    (PIVOT, "drive cam { motor main  follower roller  <stand-off 5 mm> }", "stand-off"),
    (PIVOT, "drive cam { motor main  <stand-off 5 mm> }", "stand-off"),
    (SLIDE, "drive cam { motor main  follower flat  <stand-off 5 mm> }", "stand-off"),
    (SLIDE, "drive cam { motor main  <lever 80 mm at 0 deg> }", "lever"),
    (PIVOT, "drive cam { motor main  <offset 5 mm> }", "offset"),
    (PIVOT, "drive cam { motor main  return gravity <0.5 N.m> }", "0.5 N.m"),
    (SLIDE, "drive cam { motor main  return spring <0.5 N.m> }", "0.5 N.m"),
    (PIVOT, "drive cord { motor main  return spring <5 N> }", "5 N"),
    (PIVOT, "drive servo { motor servo-standard  <assembly open> }", "assembly"),
    (PIVOT, "drive servo { motor servo-standard  <standoff 10 mm> }", "standoff"),
    (
        PIVOT,
        "drive ram { motor ram-100 at (300, 530) mm  <anchor (300, 530) mm>  lever 100 mm }",
        "anchor",
    ),
    (PIVOT, "drive cord { motor main  crank 30 mm  <spool 40 mm> }", "spool"),
    (PIVOT, "drive cord { motor ram-100 at (300, 530) mm  <crank 30 mm> }", "crank"),
    (PIVOT, "drive cord { motor ram-100 at (300, 530) mm  <spool 30 mm> }", "spool"),
    (PIVOT, "drive cord { motor main  crank 30 mm  <pulleys 30 mm> }", "pulleys"),
    (PIVOT, "drive spin { motor main  belt 20 40  <chain 16 32> }", "chain"),
    (PIVOT, "drive spin { motor main  belt 20 40  <gears 20 40> }", "gears"),
    (PIVOT, "drive spin { motor main  chain 20 40  <gears 20 40> }", "gears"),
    (PIVOT, "drive spin { motor main  direct  <belt 20 40> }", "belt"),
    (PIVOT, "drive spin { motor main  direct  <chain 20 40> }", "chain"),
    (PIVOT, "drive spin { motor main  direct  <gears 20 40> }", "gears"),
    (PIVOT, "drive spin { motor main  gears 20 40  <breaks 80 N> }", "breaks"),
    (PIVOT, "drive spin { motor main  belt 20 40  <ratio 0.4> }", "0.4"),
    (PIVOT, "drive spin { motor main  gears 20 40  <ratio 0.5> }", "0.5"),
    (PIVOT, "drive spin { motor main  direct  <ratio 2> }", "2"),
    (
        PIVOT,
        "drive cylinder { bore 16 mm  anchor (300, 530) mm  length 205 to 305 mm  <stroke 350 mm>  lever 100 mm }",
        "350 mm",
    ),
    (
        SLIDE,
        "drive cylinder { motor cylinder-16  <bore 40 mm>  anchor (300, 400) mm  length 200 to 300 mm }",
        "40 mm",
    ),
    (PIVOT, "weighed 0.3 kg  <mass 300 oz>", "300 oz"),
    (PIVOT, "weighed 0.3 kg  balances 148 mm  <centre 14.8 mm at 9 deg>", "14.8 mm"),
    (PIVOT, "outline (280, 780) (520, 980) (500, 1020) mm  <width 40 mm>", "width"),
    (PIVOT, "outline (280, 780) (520, 980) (500, 1020) mm  <tail 40 mm>", "tail"),
];

#[test]
fn two_words_that_cannot_both_hold_are_found_on_the_one_that_goes() {
    assert!(CODES.iter().any(|c| c.word == "words-contradict"));
    for (joint, drive, at) in PAIRS {
        let text = with(joint, &drive.replace(['<', '>'], ""));
        let (_, found) = one(&text);
        let [fault] = &found[..] else { panic!("{drive}\n{}", told(&found)) };
        assert_eq!(fault.code.word, "words-contradict", "{drive}");
        assert!(fault.help.is_some(), "{drive}");
        let place = fault.place.unwrap();
        let item = &text[text.find("figure fox").unwrap()..];
        assert_eq!(&item[place.lo as usize..place.hi as usize], *at, "{drive}");
        let (open, close) = (drive.find('<').unwrap(), drive.find('>').unwrap());
        let without = format!("{}{}", &drive[..open], &drive[close + 1..]);
        let (_, found) = one(&with(joint, &without));
        assert!(found.is_empty(), "{without}\n{}", told(&found));
    }
}

/// What looks like two answers to one question, and is not.
#[test]
fn words_that_say_the_same_or_go_together_are_let_be() {
    let fine = [
        (PIVOT, "drive spin { motor main  belt 20 40  ratio 0.5 }"),
        (PIVOT, "drive spin { motor main  gears 20 40  ratio 0.5 reversed }"),
        (PIVOT, "drive spin { motor main  gears 15 45  ratio 0.3333 reversed }"),
        (PIVOT, "drive spin { motor main  ratio 0.5  breaks 80 N }"),
        (PIVOT, "drive spin { motor main  direct  ratio 1 }"),
        (PIVOT, "drive four-bar { motor main pin ? alternate }"),
        (PIVOT, "drive cam { motor main  follower flat  stand-off 5 mm }"),
        (SLIDE, "drive cam { motor main  follower knife  offset 5 mm }"),
        (SLIDE, "drive cam { motor main  return spring 5 N }"),
        (PIVOT, "drive cord { motor main  crank 30 mm  guides (300, 700) mm  pulleys 30 mm }"),
        (
            SLIDE,
            "drive cylinder { motor cylinder-16  bore 16 mm  stroke 50 mm  anchor (300, 400) mm }",
        ),
        (PIVOT, "weighed 0.3 kg  mass 300 g  balances 148 mm  centre 148 mm at 9 deg"),
        (
            PIVOT,
            "drive cylinder { bore 16 mm  anchor (300, 530) mm  length 205 to 305 mm  stroke 100 mm  lever 100 mm }",
        ),
    ];
    for (joint, drive) in fine {
        let (_, found) = one(&with(joint, drive));
        assert!(found.is_empty(), "{drive}\n{}", told(&found));
    }
}

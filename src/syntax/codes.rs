//! The codes of mistakes in the text itself.

use crate::finding::{Code, Severity};

const fn code(
    word: &'static str,
    title: &'static str,
    explanation: &'static str,
    bad: &'static str,
    good: &'static str,
) -> Code {
    Code {
        word,
        severity: Severity::Error,
        title,
        explanation,
        formula: "",
        source: "the language of .yard files",
        bad,
        good,
    }
}

macro_rules! codes {
    ($($name:ident $word:literal $title:literal $why:literal $bad:literal $good:literal;)*) => {
        $(
            #[doc = $title]
            pub static $name: Code = code($word, $title, $why, $bad, $good);
        )*
        /// All of them.
        pub static CODES: &[&Code] = &[$(&$name),*];
    };
}

codes! {
    WORD_UNKNOWN "word-unknown" "a word that means nothing here"
        "Each block has its own words. A word that is only misspelt is read as the word it was meant to be, so that the rest can be checked; put it right in the text."
        "figure a { limb b { pivto (20, 44) in  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    WORD_ELSEWHERE "word-elsewhere" "a word that belongs in another block"
        "The word exists, but it stands in a block it does not belong in. Move the clause to the block that the message names."
        "use parts\nfigure a { limb b { pivot (20, 44) in  tip (34, 52) in\n board plywood-9\n bolt M8 } }"
        "use parts\nfigure a { board plywood-9\n limb b { pivot (20, 44) in  tip (34, 52) in  bolt M8 } }";
    WORD_TWICE "word-twice" "a word that is said twice"
        "A clause that may stand once stands twice in the same block, so it is not clear which of the two is meant. Take one of them out."
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in  tip (30, 50) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    VALUE_MISSING "value-missing" "a value is missing"
        "The word needs a value behind it. The message says which, with an example."
        "figure a { limb b { pivot  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    VALUE_EXTRA "value-extra" "a value that no word takes"
        "The words in front of it have all the values they take. Take the value out, or write the word it belongs to in front of it."
        "use parts\nfigure a { limb b { pivot (20, 44) in  tip (34, 52) in  bolt M8 10 } }"
        "use parts\nfigure a { limb b { pivot (20, 44) in  tip (34, 52) in  bolt M8 } }";
    NUMBER_NEEDED "number-needed" "a number must stand here"
        "The word takes a number and something else stands there."
        "figure a { limb b { pivot (x, 44) in  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    NUMBER_UNCLEAR "number-unclear" "a number that can be read in two ways"
        "Numbers are written with a decimal point and no marks between thousands; a range is written `A to B`; a sum has blanks on both sides of its sign. 3-1/2 is three and a half, but 310-40 could be a sum, a range or two numbers."
        "figure a { frame 38 mm by 38 mm { (0, 0) to (0, 310-40) mm } }"
        "figure a { frame 38 mm by 38 mm { (0, 0) to (0, 270) mm } }";
    NUMBER_TOO_LONG "number-too-long" "a number with too many digits"
        "Sizes are kept exactly, with up to 15 digits. Nothing in a yard needs more."
        "figure a { limb b { pivot (1234567890123456, 44) in  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    SIZE_NOT_POSITIVE "size-not-positive" "a size that must be more than zero"
        "A length, mass, time or the like that cannot be zero or less."
        "use parts\nfigure a { board plywood-9 -27 in by 61 in }"
        "use parts\nfigure a { board plywood-9 27 in by 61 in }";
    LENGTH_UNBUILDABLE "length-unbuildable" "a length that nobody can build"
        "A length or place of more than 10 km, or a size of less than a hundredth of a millimetre. Such a number has most often one digit too many, or the unit of another one."
        "use parts\nfigure a { board plywood-9 27 m by 61000 m }"
        "use parts\nfigure a { board plywood-9 27 in by 61 in }";
    ANGLE_IMPLAUSIBLE "angle-implausible" "an angle of more turns than anything makes"
        "An angle of more than ten turns in degrees, or of more than ten thousand turns. Such a number has most often some digits too many. What turns on and on is told in turns: `spin 12 turns per 1 min`."
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in  rest 15000 deg } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in  rest 150 deg } }";
    TIME_IMPLAUSIBLE "time-implausible" "a time that is no time of a yard"
        "A time of more than a year, or a motion that would be done in less than a hundredth of a second. Such a number has most often some digits too many, or the unit of another one."
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in\n gesture stir { sweep 10 deg to 55 deg  cycle 2 ms } } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in\n gesture stir { sweep 10 deg to 55 deg  cycle 2 s } } }";
    UNIT_MISSING "unit-missing" "a number without its unit"
        "Every physical quantity has a unit, so that inches and millimetres can stand in one file. A list, a range or a point may carry one unit at its end."
        "figure a { limb b { pivot (20, 44)  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    UNIT_UNKNOWN "unit-unknown" "a unit that is not known"
        "The message lists the units that fit."
        "figure a { limb b { pivot (20, 44) inn  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    UNIT_WRONG "unit-wrong" "a unit that measures something else"
        "The unit is known but measures another kind of thing than the word takes: a mass where a length belongs, for example."
        "figure a { limb b { pivot (20, 44) kg  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    CHOICE_UNKNOWN "choice-unknown" "not one of the words that fit"
        "The word in front takes one of a few words. The message lists them."
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in  mount font } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in  mount front } }";
    NAME_UNFIT "name-unfit" "a text that cannot be a name"
        "Names become file names and column heads, so they have only small letters, digits and `-`, begin with a letter and are at most 64 long. Any text for people goes into `title`."
        "figure Bear { }"
        "figure bear { }";
    NAME_TAKEN "name-taken" "a word of the language as a name"
        "A handful of words mean something wherever they stand, so nothing can be called so."
        "figure show { }"
        "figure show-bear { }";
    POINT_UNCLEAR "point-unclear" "a point that is not two numbers"
        "A point is written (x, y): two numbers with a comma between them. A decimal is written with a point."
        "figure a { limb b { pivot (20 44) in  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    PAREN_MISSING "paren-missing" "a `)` is missing"
        "A point begins with `(` and ends with `)`."
        "figure a { limb b { pivot (20, 44 in  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    QUOTE_MISSING "quote-missing" "a `\"` is missing"
        "A text begins and ends with `\"` on the same line."
        "figure a { title \"The baker }"
        "figure a { title \"The baker\" }";
    BRACE_MISSING "brace-missing" "a `}` is missing"
        "A block that was opened with `{` is not closed before something that belongs outside of it."
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in\n}"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in }\n}";
    BRACE_EXTRA "brace-extra" "a `}` too many"
        "There is nothing open that this `}` could close."
        "figure a { } }"
        "figure a { }";
    BRACES_TOO_DEEP "braces-too-deep" "blocks nested too deep"
        "Nothing in a yard needs more than eight blocks inside each other."
        "figure a { { { { { { { { { } } } } } } } } }"
        "figure a { }";
    BLOCK_MISSING "block-missing" "a block in braces is missing"
        "The word needs a block `{ … }` behind it."
        "figure a"
        "figure a { }";
    BLOCK_NOT_HERE "block-not-here" "a block where none belongs"
        "The word in front takes no block in braces."
        "use parts\nfigure a { limb b { pivot (20, 44) in  tip (34, 52) in  bolt M8 { } } }"
        "use parts\nfigure a { limb b { pivot (20, 44) in  tip (34, 52) in  bolt M8 } }";
    MARK_STRAY "mark-stray" "a mark that means nothing here"
        "Nothing stands between clauses, and nothing between a word and its value: no comma, no colon, no equals sign."
        "figure a { limb b { pivot (20, 44) in,  tip (34, 52) in } }"
        "figure a { limb b { pivot (20, 44) in  tip (34, 52) in } }";
    TEXT_NEEDED "text-needed" "a text in quotes must stand here"
        "Texts for people and file names stand in quotes."
        "song jig lantern-jig.wav { meter 6/8  tempo 116 bpm }"
        "song jig \"lantern-jig.wav\" { meter 6/8  tempo 116 bpm }";
    TIME_UNCLEAR "time-unclear" "a time, date or meter that does not exist"
        "Clock times are 21:30 or 1:12.500, dates 2027-10-22, meters 6/8."
        "season s { nights 2027-02-29 to 2027-03-02 }"
        "season s { nights 2027-02-28 to 2027-03-02 }";
    PLACE_UNCLEAR "place-unclear" "latitude and longitude that do not exist"
        "Latitude runs from -90 to 90 degrees and is written first, longitude from -180 to 180; north and east are positive."
        "yard y { place 98 deg -2.3 deg }"
        "yard y { place 51.8 deg -2.3 deg }";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_says_everything_and_none_stands_twice() {
        let mut seen = std::collections::BTreeSet::new();
        for c in CODES {
            assert!(seen.insert(c.word), "{}", c.word);
            for text in [c.title, c.explanation, c.source, c.bad, c.good] {
                assert!(!text.is_empty(), "{}", c.word);
            }
            assert_ne!(c.bad, c.good, "{}", c.word);
        }
    }
}

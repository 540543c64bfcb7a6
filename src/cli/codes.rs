//! The codes raised by the commands themselves.

use crate::finding::{Code, Severity};

/// Wrong arguments.
pub static USAGE: Code = Code {
    word: "usage",
    severity: Severity::Error,
    title: "the command was not understood",
    explanation: "A word after `yardwright` is unknown, is missing, or belongs to a later \
        version. `yardwright --help` lists the commands, and `yardwright COMMAND --help` what \
        each one takes.",
    formula: "",
    source: "",
    bad: "",
    good: "",
};

/// FILE cannot be read.
pub static FILE_UNREADABLE: Code = Code {
    word: "file-unreadable",
    severity: Severity::Error,
    title: "the yard itself cannot be read",
    explanation: "The file named on the command line is not there, may not be read, or is no \
        text. Look for a slip in its name, and whether you stand in the folder you think you \
        stand in. A file that a yard uses, or its song, is another matter: that is reported as \
        a finding with its place.",
    formula: "",
    source: "",
    bad: "",
    good: "",
};

/// Something cannot be written.
pub static CANNOT_WRITE: Code = Code {
    word: "cannot-write",
    severity: Severity::Error,
    title: "the results cannot be written",
    explanation: "The folder may not be written to, is full, or holds files that yardwright did \
        not write and therefore will not replace. Name another folder with `--out`, or move \
        what is in the way.",
    formula: "",
    source: "",
    bad: "",
    good: "",
};

/// A check that was not made, where `--complete` asks for all.
pub static CHECK_NOT_MADE: Code = Code {
    word: "check-not-made",
    severity: Severity::Error,
    title: "a check was not made, and --complete asks for all of them",
    explanation: "Something the check needs has not been written down yet, so it was left out, \
        and `--complete` makes that an error. The clause that would settle it stands in the \
        help. Without `--complete` the report lists such checks and goes on.",
    formula: "",
    source: "",
    bad: "",
    good: "",
};

/// There is nothing in FILE.
pub static YARD_EMPTY: Code = Code {
    word: "yard-empty",
    severity: Severity::Error,
    title: "there is nothing in the yard",
    explanation: "The file holds no word outside its comments, so there is nothing to check and \
        nothing to build. Perhaps it was emptied while it was being saved, or it is another file \
        you meant. `yardwright new DIR` makes a first yard to start from.",
    formula: "",
    source: "",
    bad: "# all of it is still in my head",
    good: "figure baker { board plywood-9  27 in by 61 in }",
};

/// All of them, sorted by word.
pub static ALL: [&Code; 5] =
    [&CANNOT_WRITE, &CHECK_NOT_MADE, &FILE_UNREADABLE, &USAGE, &YARD_EMPTY];

//! Every code: its bad example raises it, its good example does not, and nothing
//! about it is left empty.
//!
//! An example is a whole file, or the few lines that matter. Such lines are put
//! into `tests/codes/stage.yard` in the place of the lines marked with the first
//! word of the example: `@song … @end` for a song, `@cue … @end` for a cue.

mod worked;

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::path::Path;

use yardwright::check::{Compiled, Compiler, codes};
use yardwright::finding::Severity;

use super::support::disk::Shared;

const STAGE: &str = include_str!("codes/stage.yard");
const JIG: &[u8] = include_bytes!("../shows/lantern-jig.wav");
const VOICE: &[u8] = include_bytes!("../shows/moon-voice.wav");

/// Words of an example's first line that name the marked lines they replace;
/// anything else at the start of an example is a cue.
const SLOTS: &[&str] = &[
    "motor", "gesture", "song", "beats", "section", "group", "phrase", "show", "season", "nights",
    "runs",
];

const BEAR: &str = include_str!("codes/bear.svg");

/// Codes that no single file can raise, each with the test that does.
const ELSEWHERE: &[(&str, &str)] = &[
    ("use-circle", "resolve::"),
    // Nothing in the project's sounds is unclear enough to doubt its tempo.
    ("tempo-doubtful", "music::listen: noise has little confidence"),
    // Two million asks take longer than a test should; the limit is tested below.
    ("show-endless", "timing::"),
];

/// Parts of the stage that an example is tried with besides its own lines.
fn more(text: &str) -> String {
    let mut more = String::new();
    if text.starts_with("laid-up") || text.starts_with('#') {
        more.push_str("@cue bar 3 heron.left-wing flap for 2 bars\n");
    }
    if text.starts_with("phrase roll(a)") {
        more.push_str("@cue bar 9 roll(bear.left-arm) repeat 2\n");
    }
    if text.starts_with("gesture") || text.starts_with("motor") {
        let name = text.split_whitespace().nth(1).filter(|_| text.starts_with("gesture"));
        more.push_str(&format!(
            "@cue bar 3 bear.left-arm {} for 8 bars\n",
            name.unwrap_or("strike")
        ));
    }
    if text.contains("synchronous") {
        // The bad one asks for a cycle, the good one lets it sway.
        let cycle = if text.contains("35 beats") { "cycle 35 beats" } else { "" };
        more.push_str(&format!(
            "@gesture gesture strike {{ sweep 121 deg to 165 deg within 2 deg  {cycle} }}\n"
        ));
    } else if text.starts_with("motor") {
        more.push_str(
            "@gesture gesture strike { sweep 121 deg to 165 deg within 2 deg  cycle 4 beats  accent at 165 deg }\n",
        );
    }
    more
}

/// The stage with the lines marked `slot` replaced.
fn replaced(stage: &str, slot: &str, lines: &str) -> String {
    let mark = format!("@{slot}\n");
    let at = stage.find(&mark).unwrap_or_else(|| panic!("no @{slot} on the stage"));
    let inside = at + mark.len();
    // The `@end` of this mark: marks may stand inside each other.
    let (mut depth, mut end) = (1, inside);
    for line in stage[inside..].split_inclusive('\n') {
        depth += match line.trim_end() {
            "@end" => -1,
            l if l.starts_with('@') => 1,
            _ => 0,
        };
        if depth == 0 {
            break;
        }
        end += line.len();
    }
    format!("{}{lines}\n{}", &stage[..at], &stage[end + "@end\n".len()..])
}

/// A whole file: the example itself, or the stage with its lines.
pub(crate) fn whole(example: &str) -> String {
    // A library part's words are told by `drum-motor`, the stage's own.
    let top = ["use ", "figure ", "yard ", "supply ", "controller ", "set ", "sheet "];
    let file = example.lines().any(|l| top.iter().any(|t| l.starts_with(t)))
        || example.starts_with("motor ") && !example.starts_with("motor drum-motor");
    if file || example.is_empty() {
        return example.to_owned();
    }
    let first = example.split(|c: char| !c.is_ascii_alphabetic()).next().unwrap_or("");
    let slot = if SLOTS.contains(&first) { first } else { "cue" };
    let mut stage = STAGE.to_owned();
    let top = example.starts_with("laid-up") || example.starts_with('#');
    if top {
        stage.push_str(example);
    } else {
        stage = replaced(&stage, slot, example);
    }
    for line in more(example).lines() {
        let (slot, lines) = line[1..].split_once(' ').unwrap();
        stage = replaced(&stage, slot, lines);
    }
    stage.lines().filter(|l| !l.starts_with('@')).map(|l| format!("{l}\n")).collect()
}

/// The files that examples name.
fn disk_files() -> Vec<(&'static str, Vec<u8>)> {
    vec![
        ("lantern-jig.wav", JIG.to_vec()),
        ("moon-voice.wav", VOICE.to_vec()),
        ("half-a-download.wav", JIG[..100_000].to_vec()),
        ("bear.svg", BEAR.into()),
        ("half-a-bear.svg", include_str!("codes/half-a-bear.svg").into()),
        ("bear-on-a-photo.svg", include_str!("codes/bear-on-a-photo.svg").into()),
        ("out-of-order.txt", "0.48\n1.00\n0.99\n".into()),
        ("jig.beats.txt", beats().into()),
    ]
}

/// A compiler of examples that keeps what one has in common with the next: songs, parts,
/// the stage's other figures. That nothing kept ever shows is what `incremental` tests.
pub(crate) struct Stage {
    disk: Shared,
    compiler: Compiler,
}

impl Stage {
    pub(crate) fn new() -> Self {
        let disk = Shared::default();
        for (name, bytes) in disk_files() {
            disk.put(&format!("/yard/{name}"), bytes);
        }
        Self { compiler: Compiler::new(disk.clone()), disk }
    }

    pub(crate) fn compile(&mut self, text: &str) -> Compiled {
        self.disk.put("/yard/example.yard", text);
        let compiled = self.compiler.compile(Path::new("/yard/example.yard"));
        compiled.expect("the example is a text")
    }

    /// What knows where the findings of the last example stand.
    pub(crate) const fn compiler(&self) -> &Compiler {
        &self.compiler
    }
}

thread_local! {
    static STAGE_SET: RefCell<Stage> = RefCell::new(Stage::new());
}

pub(crate) fn compile(text: &str) -> Compiled {
    STAGE_SET.with_borrow_mut(|stage| stage.compile(text))
}

/// What knows where the findings of the last example stand.
pub(crate) fn with_compiler<T>(see: impl FnOnce(&Compiler) -> T) -> T {
    STAGE_SET.with_borrow(|stage| see(stage.compiler()))
}

/// A beat each 0.517 s for the length of the jig.
fn beats() -> String {
    (0..100).map(|n| format!("{:.3}\n", 0.48 + f64::from(n) * 60.0 / 116.0)).collect()
}

#[test]
fn words_are_kebab_case_and_stand_once() {
    let all = codes();
    for pair in all.windows(2) {
        assert_ne!(pair[0].word, pair[1].word, "stands twice");
    }
    for code in all {
        let letters = |w: &str| w.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
        let kebab = code.word.split('-').all(|w| !w.is_empty() && letters(w));
        assert!(kebab, "{} is not kebab-case", code.word);
    }
}

#[test]
fn nothing_is_left_empty() {
    for code in codes() {
        let fields = [
            ("title", code.title),
            ("explanation", code.explanation),
            ("source", code.source),
            ("bad example", code.bad),
            ("good example", code.good),
        ];
        for (what, text) in fields {
            assert!(!text.trim().is_empty(), "{} has no {what}", code.word);
        }
        for word in ["safe", "will hold"] {
            assert!(!code.explanation.contains(word), "{} says `{word}`", code.word);
        }
    }
}

#[test]
fn good_examples_do_not() {
    let mut wrong = Vec::new();
    for code in codes() {
        let findings = compile(&whole(code.good)).findings;
        let told: Vec<String> = findings
            .iter()
            .filter(|f| f.code == code || f.severity == Severity::Error)
            .map(|f| format!("{}: {}", f.code.word, f.message))
            .collect();
        if !told.is_empty() {
            wrong.push(format!("{}: {told:?}", code.word));
        }
    }
    assert!(
        wrong.is_empty(),
        "raised by their good example, or an error in it:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn exceptions_are_codes() {
    for (word, _) in ELSEWHERE {
        assert!(codes().iter().any(|c| c.word == *word), "{word} is no code");
    }
}

/// What is wrong with a text that ought to be a plain sentence: it begins small,
/// unless with a name of the maker's, and ends with a full stop or a question mark.
fn unlike_a_sentence(text: &str) -> Option<&'static str> {
    let mut letters = text.chars();
    let (first, second) = (letters.next(), letters.next());
    let big = first.is_some_and(char::is_uppercase) && second.is_some_and(|c| !c.is_uppercase());
    match text.chars().last() {
        _ if big && second.is_some_and(|c| c.is_lowercase() || c == ' ') => Some("begins big"),
        Some('.' | '?') if text.ends_with("..") => Some("ends with two stops"),
        Some('.' | '?') => None,
        _ => Some("ends without a stop"),
    }
}

#[test]
fn titles_are_no_sentences() {
    for code in codes() {
        let big = code.title.chars().next().is_some_and(char::is_uppercase);
        assert!(!big && !code.title.ends_with('.'), "{}: title `{}`", code.word, code.title);
    }
}

#[test]
fn bad_examples_raise_their_code_in_plain_sentences_and_say_what_to_do() {
    let (mut missed, mut wrong) = (Vec::new(), BTreeSet::new());
    let mut told = 0;
    for code in codes() {
        let findings = compile(&whole(code.bad)).findings;
        let elsewhere = ELSEWHERE.iter().any(|(w, _)| *w == code.word);
        if !elsewhere && !findings.iter().any(|f| f.code == code) {
            let raised: Vec<String> =
                findings.iter().map(|f| format!("{}: {}", f.code.word, f.message)).collect();
            missed.push(format!("{} (raised {raised:?})", code.word));
        }
        for finding in findings {
            told += 1;
            if finding.help.is_none() && finding.severity != Severity::Advice {
                wrong.insert(format!("{}: no help: {}", finding.code.word, finding.message));
            }
            let help = finding.help.iter().map(|h| ("help", h));
            for (what, text) in help.chain([("message", &finding.message)]) {
                if let Some(why) = unlike_a_sentence(text) {
                    wrong.insert(format!("{}: {what} {why}: {text}", finding.code.word));
                }
            }
        }
    }
    assert!(told >= codes().len() / 2, "only {told} findings were looked at");
    assert!(missed.is_empty(), "not raised by their bad example:\n{}", missed.join("\n"));
    let wrong: Vec<String> = wrong.into_iter().collect();
    assert!(wrong.is_empty(), "{} texts:\n{}", wrong.len(), wrong.join("\n"));
}

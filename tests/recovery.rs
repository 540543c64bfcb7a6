//! Recovery by mutation: random mistakes are put into good files, and each must be
//! found on its word, with few findings beside.

use std::sync::Arc;

use yardwright::finding::{Finding, ItemId};
use yardwright::source::split;
use yardwright::syntax::words::Table;
use yardwright::syntax::{read, top_words};
use yardwright::units::{Dimension, find_unit};

use crate::words::{ROOT, generated};

/// A small generator of pseudo-random numbers (xorshift64*, Vigna 2016), so that
/// every run makes the same mistakes.
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }
    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }
    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }
    fn pick<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }
}

/// All findings of a file, as offsets from its start.
pub fn check(text: &str, root: &'static Table) -> Vec<(usize, usize, Finding)> {
    let mut all = Vec::new();
    for (i, cut) in split(text, &top_words(root)).iter().enumerate() {
        let mut findings = Vec::new();
        let item: Arc<str> = text[cut.lo as usize..cut.hi as usize].into();
        read(ItemId(i as u32), item, root, &mut findings);
        all.extend(findings.into_iter().map(|f| {
            let place = f.place.expect("mistakes in a text have a place");
            ((cut.lo + place.lo) as usize, (cut.lo + place.hi) as usize, f)
        }));
    }
    all
}

/// The lines that have a reader of their own (cues): the tables cannot judge them.
fn raw_lines(text: &str, root: &'static Table) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    for cut in split(text, &top_words(root)) {
        let item: Arc<str> = text[cut.lo as usize..cut.hi as usize].into();
        let reading = read(ItemId(0), item, root, &mut Vec::new());
        let raw = reading.clauses.iter().filter(|c| c.row.raw);
        out.extend(raw.map(|c| ((cut.lo + c.head.0) as usize, (cut.lo + c.hi) as usize)));
    }
    out
}

/// What kind of mistake is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    WrongUnit,
    UnknownUnit,
    NoUnit,
    Misspelt,
    NoParen,
    NoBrace,
}

const KINDS: [Kind; 6] = [
    Kind::WrongUnit,
    Kind::UnknownUnit,
    Kind::NoUnit,
    Kind::Misspelt,
    Kind::NoParen,
    Kind::NoBrace,
];

/// A token of the good file.
#[derive(Clone, Copy)]
struct Token {
    lo: usize,
    hi: usize,
}

/// A mistake: the stretch replaced, and the stretch of the good file a finding
/// must touch.
struct Mistake {
    kind: Kind,
    lo: usize,
    hi: usize,
    with: String,
    near: (usize, usize),
}

/// The tokens of the text, comments left out: words, numbers, single marks.
fn tokens(text: &str) -> Vec<Token> {
    let bytes = text.as_bytes();
    let (mut at, mut out) = (0, Vec::new());
    let inside = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'.' | b'/' | b'_' | b'%');
    while at < bytes.len() {
        let lo = at;
        match bytes[at] {
            b'#' => {
                while at < bytes.len() && bytes[at] != b'\n' {
                    at += 1;
                }
                continue;
            }
            b'"' => {
                at += 1 + bytes[at + 1..].iter().position(|b| *b == b'"').expect("good text") + 1;
            }
            b if inside(b) => {
                while at < bytes.len() && inside(bytes[at]) {
                    at += 1;
                }
            }
            _ => at += 1,
        }
        if !bytes[lo].is_ascii_whitespace() {
            out.push(Token { lo, hi: at });
        }
    }
    out
}

/// The words of all tables, without names.
fn language(root: &'static Table) -> std::collections::BTreeSet<&'static str> {
    use yardwright::syntax::words::{BlockRule, Take};
    let mut words = std::collections::BTreeSet::new();
    let mut seen: Vec<*const Table> = Vec::new();
    let mut todo = vec![root];
    while let Some(table) = todo.pop() {
        if seen.contains(&std::ptr::from_ref(table)) {
            continue;
        }
        seen.push(table);
        for row in table.rows.iter().chain(table.bare) {
            words.insert(row.word);
            words.extend(row.parts.iter().filter_map(|p| p.key));
            for part in row.parts {
                if let Take::Choice(choices) = part.take {
                    words.extend(choices);
                }
            }
            match row.block {
                BlockRule::None => {}
                BlockRule::May(t) | BlockRule::Must(t) => todo.push(t),
                BlockRule::ByChoice(_, list) => todo.extend(list.iter().map(|(_, t)| *t)),
            }
        }
    }
    words.retain(|w| w.len() >= 4 && !w.contains(' '));
    words
}

/// A slip of the finger: two letters swapped, one doubled, one left out.
fn slip(word: &str, random: &mut Random) -> String {
    let at = 1 + random.below(word.len() - 2);
    let (front, back) = word.split_at(at);
    match random.below(3) {
        0 => format!("{front}{}{back}", &front[at - 1..]),
        1 => format!("{}{back}", &front[..at - 1]),
        _ => format!("{}{}{}{}", &front[..at - 1], &back[..1], &front[at - 1..], &back[1..]),
    }
}

/// A mistake of this kind at a token, if one can be made there.
fn mistake(
    text: &str,
    all: &[Token],
    i: usize,
    kind: Kind,
    words: &std::collections::BTreeSet<&str>,
    random: &mut Random,
) -> Option<Mistake> {
    let t = all[i];
    let word = &text[t.lo..t.hi];
    let before = i.checked_sub(1).map(|p| all[p]);
    let is_number = |t: Token| text.as_bytes()[t.lo].is_ascii_digit();
    let after_value = before.is_some_and(|b| is_number(b) || &text[b.lo..b.hi] == ")");
    let unit = find_unit(word).filter(|_| after_value);
    let near = (before.map_or(t.lo, |b| b.lo), t.hi);
    let make =
        |with: String, near: (usize, usize)| Some(Mistake { kind, lo: t.lo, hi: t.hi, with, near });
    match kind {
        Kind::WrongUnit => {
            let other = *random.pick(&["kg", "V", "deg", "mm", "s", "A", "rpm"]);
            let differs = find_unit(other)?.dimension != unit?.dimension;
            // A cycle is given in seconds or in beats.
            let both = [Dimension::Time, Dimension::Music];
            let swap =
                both.contains(&unit?.dimension) && both.contains(&find_unit(other)?.dimension);
            // An accent is an angle or a length; which of them the motion wants, the reader
            // cannot know (tests/faults has that mistake).
            let accent = i >= 3 && &text[all[i - 3].lo..all[i - 3].hi] == "accent";
            // So is the place a limb rests at.
            let rest = i >= 2 && &text[all[i - 2].lo..all[i - 2].hi] == "rest";
            (differs && !swap && !accent && !rest).then(|| make(other.to_owned(), (t.lo, t.hi)))?
        }
        Kind::UnknownUnit => {
            unit?;
            make(format!("{}{}", random.pick(&["x", "q", "zz"]), word), (t.lo, t.hi))
        }
        Kind::NoUnit => {
            unit?;
            // `121 to 165 deg` and `(5, 4 m)` are no mistakes, nor a list that goes on:
            // the unit to the right is shared.
            let joint = all
                .get(i + 1)
                .is_some_and(|n| matches!(&text[n.lo..n.hi], "to" | "by" | "of" | "(" | ","));
            (!joint).then(|| make(String::new(), near))?
        }
        Kind::Misspelt => {
            // Behind these stands a name, though it may be a word elsewhere: one is made up,
            // or looked up when all files are read (tests/faults has those mistakes).
            let name = before.is_some_and(|b| NAMED.contains(&&text[b.lo..b.hi]));
            let slipped = (words.contains(word) && !name).then(|| slip(word, random))?;
            (slipped != word && !words.contains(slipped.as_str()))
                .then(|| make(slipped, (t.lo, t.hi)))?
        }
        Kind::NoParen => (word == ")").then(|| {
            let open = text[..t.lo].rfind('(').unwrap_or(t.lo);
            make(String::new(), (open, t.hi))
        })?,
        Kind::NoBrace => (word == "}").then(|| make(String::new(), (0, text.len())))?,
    }
}

/// Words behind which stands a name.
const NAMED: [&str; 4] = ["gesture", "limb", "bushing", "gear"];

#[derive(Default, Debug)]
struct Tally {
    mistakes: usize,
    found: usize,
    files: usize,
    exact: usize,
    extra: usize,
    missed: std::collections::BTreeMap<Kind, usize>,
}

/// Makes `count` mistakes that lie apart, reads the spoilt file and counts.
fn spoil(good: &str, root: &'static Table, count: usize, random: &mut Random, tally: &mut Tally) {
    let raw = raw_lines(good, root);
    let mut all = tokens(good);
    all.retain(|t| raw.iter().all(|(lo, hi)| t.hi <= *lo || t.lo >= *hi));
    let words = language(root);
    let mut made: Vec<Mistake> = Vec::new();
    let mut tries = 0;
    while made.len() < count && tries < 10_000 {
        tries += 1;
        let kind = *random.pick(&KINDS);
        if kind == Kind::NoBrace && made.iter().any(|m| m.kind == Kind::NoBrace) {
            continue;
        }
        let Some(m) = mistake(good, &all, random.below(all.len()), kind, &words, random) else {
            continue;
        };
        // Independent mistakes: each on a line of its own.
        let line = |at: usize| good[..at].matches('\n').count();
        if made.iter().all(|o| line(o.lo).abs_diff(line(m.lo)) > 0) {
            made.push(m);
        }
    }
    made.sort_by_key(|m| m.lo);
    let mut bad = String::new();
    let mut at = 0;
    // Where each mistake's stretch lies in the spoilt text.
    let mut places = Vec::new();
    for m in &made {
        bad.push_str(&good[at..m.lo]);
        let shift = bad.len() as isize - m.lo as isize;
        bad.push_str(&m.with);
        at = m.hi;
        let end = (m.near.1 - m.hi) + bad.len();
        places.push(((m.near.0 as isize + shift) as usize, end));
    }
    bad.push_str(&good[at..]);
    let found = check(&bad, root);
    tally.files += 1;
    tally.mistakes += made.len();
    let mut missed = false;
    for (m, (lo, hi)) in made.iter().zip(&places) {
        let hit = match m.kind {
            Kind::NoBrace => found.iter().any(|(.., f)| f.code.word == "brace-missing"),
            _ => found.iter().any(|(a, b, _)| a <= hi && b >= lo && (a < hi || b > lo || a == b)),
        };
        tally.found += usize::from(hit);
        if !hit {
            missed = true;
            *tally.missed.entry(m.kind).or_default() += 1;
        }
    }
    tally.exact += usize::from(found.len() == made.len());
    tally.extra += found.len().saturating_sub(made.len());
    if std::env::var_os("RECOVERY_SHOW").is_some() && (found.len() != made.len() || missed) {
        show(&bad, &made, &found);
    }
}

/// Prints one spoilt file, for work on the reader.
#[allow(clippy::print_stderr)]
fn show(bad: &str, made: &[Mistake], found: &[(usize, usize, Finding)]) {
    let line = |at: usize| bad[..at.min(bad.len())].matches('\n').count() + 1;
    eprintln!("---- made:");
    for m in made {
        eprintln!(
            "  {:?} -> `{}` in: {}",
            m.kind,
            m.with,
            bad.lines().nth(line(m.lo) - 1).unwrap_or("").trim()
        );
    }
    for (lo, hi, f) in found {
        let l = bad.lines().nth(line(*lo) - 1).unwrap_or("");
        eprintln!("  {} @ `{}` : {}   in: {}", f.code.word, &bad[*lo..*hi], f.message, l.trim());
    }
}

fn measure(good: &str, root: &'static Table, files: usize, count: usize, seed: u64) -> Tally {
    let before: Vec<String> = check(good, root).into_iter().map(|(.., f)| f.message).collect();
    assert_eq!(before, [""; 0], "the file to spoil is good");
    let mut random = Random::new(seed);
    let mut tally = Tally::default();
    for _ in 0..files {
        spoil(good, root, count, &mut random, &mut tally);
    }
    tally
}

/// Holds a tally to its bounds and says the figures.
fn hold(name: &str, tally: &Tally, found: f64, exact: f64, extra: f64) {
    let share = |a: usize, b: usize| a as f64 / b as f64;
    let figures = format!(
        "{name}: {} files, {} mistakes, {:.2} % found on their word, {:.1} % exact files, {:.3} extra a file, missed {:?}",
        tally.files,
        tally.mistakes,
        100.0 * share(tally.found, tally.mistakes),
        100.0 * share(tally.exact, tally.files),
        share(tally.extra, tally.files),
        tally.missed
    );
    #[allow(clippy::print_stdout)]
    {
        println!("{figures}");
    }
    assert!(share(tally.found, tally.mistakes) >= found, "{figures}");
    assert!(share(tally.exact, tally.files) >= exact, "{figures}");
    assert!(share(tally.extra, tally.files) <= extra, "{figures}");
}

const PARTS: &str = r#"use parts
motor wiper {
  kind brushed
  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A
  spread 10 %
}
yard orchard {
  place 51.8 deg -2.3 deg zone "Europe/London"
  nights 2027-10-22 to 2027-10-31
  end by 21:30  meter 6/8
}
motor servo {
  kind servo
  slew 0.17 s per 60 deg
}
"#;

#[test]
fn mistakes_are_found_on_their_word() {
    let good = format!("{PARTS}{}", generated(3));
    for (count, seed, exact, extra) in [(1, 1, 0.98, 0.02), (5, 5, 0.95, 0.05), (10, 10, 0.90, 0.1)]
    {
        let tally = measure(&good, &ROOT, 400, count, seed);
        hold(&format!("{count} mistakes"), &tally, 0.99, exact, extra);
    }
}

/// The demo season as one text.
fn season() -> String {
    let shows = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("shows");
    let mut files = vec![shows.join("orchard.yard")];
    for folder in ["figures", "parts"] {
        let listed = std::fs::read_dir(shows.join(folder)).expect("the demo season is there");
        files.extend(listed.map(|f| f.expect("a folder that can be listed").path()));
    }
    files.sort();
    let texts = files.iter().map(|f| std::fs::read_to_string(f).expect("a text"));
    // That the season is without findings is another test's business.
    let good: Vec<String> =
        texts.filter(|t| check(t, &yardwright::resolve::ROOT).is_empty()).collect();
    assert!(good.len() >= 6, "most files of the demo season are good");
    good.join("\n")
}

#[test]
fn mistakes_in_the_demo_season_are_found_on_their_word() {
    let good = season();
    for (count, seed, exact, extra) in [(1, 2, 0.9, 0.1), (5, 6, 0.8, 0.3)] {
        let tally = measure(&good, &yardwright::resolve::ROOT, 150, count, seed);
        hold(&format!("season, {count} mistakes"), &tally, 0.99, exact, extra);
    }
}

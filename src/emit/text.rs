//! The terminal report: what a maker sees first.
//!
//! The findings themselves are shown by the way in that prints them with the
//! text they point at; here stands what each limb does, how to drill it, what
//! was assumed and what was not checked.

pub(super) mod limb;

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::words::{count, decimal, wrap};
use crate::check::Compiled;
use crate::finding::{Finding, Severity};
use crate::model::{Note, Placed};
use crate::season::Programme;
use crate::timing::Performance;
use crate::units::System;
use limb::LimbText;

/// How the report is to look.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextOptions {
    /// Every limb in full, also where there are many and nothing was found.
    pub verbose: bool,
    /// Bold names and coloured counts by ANSI escapes.
    pub styled: bool,
    /// Lengths in this household instead of the maker's own.
    pub system: Option<System>,
    /// Characters on a line, at least 40.
    pub width: usize,
    /// The file as it was typed, for the commands that are offered next; `None`:
    /// its bare name.
    pub typed: Option<String>,
}

impl Default for TextOptions {
    fn default() -> Self {
        Self { verbose: false, styled: false, system: None, width: 100, typed: None }
    }
}

/// Up to this many limbs each gets its full block; of more, as many of those with findings.
const FEW_LIMBS: usize = 12;

/// Blanks before the second and later lines of a row, and the width of the row's
/// own word.
const INDENT: usize = 3;

/// The report of a compile.
#[must_use]
pub fn report(compiled: &Compiled, options: &TextOptions) -> String {
    let page = Page::new(compiled, options);
    let mut out = page.header();
    // A page of three thousand limbs takes a tenth of a compile: side by side, in order.
    let limbs: Vec<(usize, usize)> = compiled.limbs().collect();
    let told: Vec<String> = limbs
        .into_par_iter()
        .map(|(figure, limb)| page.limb(&LimbText::new(compiled, figure, limb, options.system)))
        .collect();
    out.extend(told);
    out.push_str(&page.summary());
    for played in &compiled.performances {
        out.push_str(&page.show(played));
    }
    out.push_str(&page.power());
    for programme in &compiled.programmes {
        out.push_str(&page.season(programme));
    }
    out.push_str(&page.counts());
    out
}

/// What all rows of a report share.
struct Page<'a> {
    compiled: &'a Compiled,
    options: &'a TextOptions,
    /// Width of the column of names.
    names: usize,
    /// Whether limbs without findings get one line each.
    compact: bool,
    /// Notes that stand in every limb: told once, below.
    common: BTreeSet<&'a str>,
    /// What was found about each limb, by its full name.
    found: BTreeMap<String, Vec<&'a Finding>>,
    /// Those of them that get their full block where limbs have a line each.
    worst: BTreeSet<String>,
}

impl<'a> Page<'a> {
    fn new(compiled: &'a Compiled, options: &'a TextOptions) -> Self {
        let limbs = compiled.yard.figures.iter().flat_map(limb_names);
        let names = limbs.clone().map(|n| n.chars().count()).max().unwrap_or(0);
        let compact = !options.verbose && limbs.count() > FEW_LIMBS;
        let (common, found) = (common(compiled), by_limb(&compiled.findings));
        let worst = worst(&found);
        Self { compiled, options, names: (names + 3).clamp(16, 26), compact, common, found, worst }
    }

    /// One row: a head that may be styled, then parts in columns.
    fn row(&self, head: &str, style: Style, parts: &[String]) -> String {
        let width = self.options.width.max(40);
        let parts: Vec<String> = parts.iter().map(|p| printable(p)).collect();
        let pad = format!("{:<w$}", printable(head), w = self.names);
        let pad = if pad.ends_with(' ') { pad } else { pad + "  " };
        let text = wrap(&pad, &parts, "   ", self.names, width);
        let styled = match text.split_at_checked(head.len()) {
            Some((name, rest)) if name == head => self.paint(style, name) + rest,
            _ => text,
        };
        styled + "\n"
    }

    /// A row below a name: `   drill     …`.
    fn below(&self, word: &str, parts: &[String]) -> String {
        if parts.is_empty() {
            return String::new();
        }
        self.row(&format!("{:INDENT$}{word}", ""), Style::Plain, parts)
    }

    fn paint(&self, style: Style, text: &str) -> String {
        let code = match style {
            _ if !self.options.styled => return text.to_owned(),
            Style::Plain => return text.to_owned(),
            Style::Name => "1",
            Style::Bad => "1;31",
            Style::Doubt => "33",
        };
        format!("\x1b[{code}m{text}\x1b[0m")
    }

    fn header(&self) -> String {
        let yard = &self.compiled.yard;
        let limbs = yard.figures.iter().map(|p| p.figure.limbs.len()).sum();
        let mut parts =
            vec![format!("{}, {}", count(yard.figures.len(), "figure"), count(limbs, "limb"))];
        if !yard.shows.is_empty() {
            parts[0].push_str(&format!(", {}", count(yard.shows.len(), "show")));
        }
        parts.extend(yard.title.clone());
        let mut text = self.row(&self.compiled.file, Style::Name, &parts);
        text.push_str(&self.below("assumed", &notes(&yard.assumed)));
        text.push_str(&self.below("not checked", &notes(&yard.not_checked)));
        text
    }

    /// A limb's block, or its one line.
    fn limb(&self, limb: &LimbText<'_>) -> String {
        let name = limb.name();
        let found = in_short(self.found.get(&name).into_iter().flatten());
        let style = if found.is_empty() { Style::Name } else { Style::Bad };
        if self.compact && !self.worst.contains(&name) {
            return self.row(&name, style, &[found, limb.brief()].concat());
        }
        let mut text = self.row(&name, style, &limb.motion());
        text.push_str(&self.below("found", &found));
        let sizes = if limb.is_built() { "as built" } else { "drill" };
        text.push_str(&self.below(sizes, &limb.drill()));
        text.push_str(&self.below("care", &limb.care()));
        text.push_str(&self.below("motor", &[limb.motor(), limb.at_work()].concat()));
        text.push_str(&self.below("load", &limb.load()));
        text.push_str(&self.below("wind", &limb.wind()));
        text.push_str(&self.below("room", &limb.room()));
        text.push_str(&self.below("seen to", &limb.seen_to()));
        text.push_str(&self.below("assumed", &self.own(limb.assumed())));
        text.push_str(&self.below("not checked", &self.own(limb.not_checked())));
        text
    }

    /// The notes of a limb that do not stand in every other too.
    fn own<'n>(&self, all: impl Iterator<Item = &'n Note>) -> Vec<String> {
        let all = all.filter(|n| !self.common.contains(n.what.as_str()));
        all.map(|n| n.what.clone()).collect()
    }

    /// What was assumed and not checked in every limb; where limbs had one line
    /// each, all of it, counted.
    fn summary(&self) -> String {
        let compiled = self.compiled;
        let limbs = || compiled.limbs();
        let count = limbs().count();
        let told = |n: &&Note| self.compact || self.common.contains(n.what.as_str());
        let assumed = tally(limbs().flat_map(|(f, l)| compiled.assumed(f, l)).filter(told), count);
        let unchecked =
            tally(limbs().flat_map(|(f, l)| compiled.not_checked(f, l)).filter(told), count);
        let mut text = String::new();
        if !(assumed.is_empty() && unchecked.is_empty()) {
            let more = ["each limb's own list: yardwright check --format json".to_owned()];
            let more = if self.compact { more.as_slice() } else { &[] };
            text.push_str(&self.row("every limb", Style::Name, more));
        }
        text.push_str(&self.below("assumed", &assumed));
        text.push_str(&self.below("not checked", &unchecked));
        text
    }

    fn show(&self, played: &Performance) -> String {
        let mut parts = vec![clock(played.duration.0), count(played.accents.len(), "accent")];
        // What a single motor may make of it counts, not the motor on paper.
        let worst = played
            .accents
            .iter()
            .filter(|a| a.worst.0.is_finite())
            .reduce(|w, a| if a.worst.0.abs() > w.worst.0.abs() { a } else { w });
        if let Some(worst) = worst {
            let ms = decimal(worst.worst.0.abs() * 1000.0, 0);
            let late = if worst.worst.0 < 0.0 { "early" } else { "late" };
            parts.push(format!("worst {}.{}, {ms} ms {late}", worst.figure, worst.limb));
        }
        self.row(&played.show, Style::Name, &parts)
    }

    /// A line for each supply that gives something, and for each air tank.
    fn power(&self) -> String {
        let power = &self.compiled.power;
        let supplies = self.compiled.yard.supplies.iter().zip(&power.supplies);
        let mut text = String::new();
        for (supply, load) in
            supplies.filter(|(_, l)| l.peak.is_some() || !l.not_counted.is_empty())
        {
            let name = format!("supply {}", supply.name.value);
            text.push_str(&self.row(&name, Style::Name, &super::power::words(supply, load)));
            text.push_str(&self.below("assumed", &notes(&load.assumed)));
            text.push_str(&self.below("not checked", &notes(&load.not_counted)));
        }
        for air in &power.air {
            let name = format!("air {}", air.tank);
            let words = super::power::air_words(air, self.compiled.yard.system);
            text.push_str(&self.row(&name, Style::Name, &words));
            text.push_str(&self.below("not checked", &notes(&air.not_checked)));
        }
        text
    }

    fn season(&self, programme: &Programme) -> String {
        let nights = &programme.nights;
        let runs = || nights.iter().flat_map(|n| &n.runs);
        let mut parts = vec![count(nights.len(), "night"), count(runs().count(), "run")];
        if let (Some(first), Some(last)) = (nights.first(), nights.last()) {
            parts[0].push_str(&format!(", {} to {}", first.date, last.date));
        }
        let starts = nights.iter().filter_map(|n| n.runs.first()).map(|r| r.start.time());
        if let Some(first) = starts.min() {
            parts.push(format!("first start {}", first.strftime("%H:%M")));
        }
        // An end after midnight belongs to its evening.
        let late = nights.iter().filter_map(|n| Some((n.date, n.runs.last()?.end.datetime())));
        let late = late.max_by_key(|(date, end)| (end.date() > *date, end.time()));
        if let Some((_, last)) = late {
            parts.push(format!("last over {}", last.strftime("%H:%M")));
        }
        self.row(&programme.season, Style::Name, &parts)
    }

    fn counts(&self) -> String {
        let c = self.compiled;
        let (errors, warnings) = (c.count(Severity::Error), c.count(Severity::Warning));
        let style = match (errors, warnings) {
            (0, 0) => Style::Name,
            (0, _) => Style::Doubt,
            _ => Style::Bad,
        };
        let head = format!("{}, {}", count(errors, "error"), count(warnings, "warning"));
        let mut line = self.paint(style, &head);
        if c.not_made() > 0 {
            line.push_str(&format!(", {} not made", count(c.not_made(), "check")));
        }
        let typed = self.options.typed.as_deref().unwrap_or(&c.file);
        let file = shell_word(&printable(typed));
        let next = match c.findings.iter().find(|f| f.severity == Severity::Error) {
            Some(first) => format!("yardwright explain {}", first.code.word),
            None => format!("yardwright watch {file}   |   yardwright build {file}"),
        };
        format!("{line}.   Next: {next}\n")
    }
}

/// How a piece of text is shown where styling is on.
#[derive(Clone, Copy)]
enum Style {
    Plain,
    Name,
    Bad,
    Doubt,
}

fn limb_names(placed: &Placed) -> impl Iterator<Item = String> + Clone {
    placed.figure.limbs.iter().map(|l| format!("{}.{}", placed.name.value, l.name.value))
}

/// The errors and warnings about each limb, by its full name, in their order.
fn by_limb(findings: &[Finding]) -> BTreeMap<String, Vec<&Finding>> {
    let mut found: BTreeMap<String, Vec<&Finding>> = BTreeMap::new();
    for f in findings.iter().filter(|f| f.severity < Severity::Advice) {
        let own = f.figure.as_ref().zip(f.limb.as_ref());
        let own = own.map(|(figure, limb)| format!("{figure}.{limb}"));
        let names: BTreeSet<String> = own.into_iter().chain(f.also.iter().cloned()).collect();
        for name in names {
            found.entry(name).or_default().push(f);
        }
    }
    found
}

/// The limbs that have the worst findings, of equals the first by name: few enough to be
/// read whole.
fn worst(found: &BTreeMap<String, Vec<&Finding>>) -> BTreeSet<String> {
    let mut limbs: Vec<(Option<Severity>, &String)> =
        found.iter().map(|(name, all)| (all.iter().map(|f| f.severity).min(), name)).collect();
    limbs.sort();
    limbs.into_iter().take(FEW_LIMBS).map(|(_, name)| name.clone()).collect()
}

/// "crank-blocked (error)", "check-not-made (6 errors)"; each code once, in the
/// order of the findings.
fn in_short<'a>(findings: impl Iterator<Item = &'a &'a Finding>) -> Vec<String> {
    let mut told: Vec<(&str, Severity, usize)> = Vec::new();
    for f in findings {
        match told.iter_mut().find(|t| (t.0, t.1) == (f.code.word, f.severity)) {
            Some(known) => known.2 += 1,
            None => told.push((f.code.word, f.severity, 1)),
        }
    }
    let short = |(word, severity, n): (&str, Severity, usize)| {
        let much = severity.word();
        match n {
            1 => format!("{word} ({much})"),
            n => format!("{word} ({})", count(n, much)),
        }
    };
    told.into_iter().map(short).collect()
}

/// Notes that stand in every limb of a yard with more than one.
fn common(compiled: &Compiled) -> BTreeSet<&str> {
    let mut limbs = compiled.limbs().map(|(f, l)| words_of(compiled, f, l));
    let Some(first) = limbs.next() else { return BTreeSet::new() };
    let mut others = limbs.peekable();
    if others.peek().is_none() {
        return BTreeSet::new();
    }
    others.fold(first, |all, limb| all.intersection(&limb).copied().collect())
}

/// Everything assumed for a limb and not checked of it.
fn words_of(compiled: &Compiled, figure: usize, limb: usize) -> BTreeSet<&str> {
    let notes = compiled.assumed(figure, limb).chain(compiled.not_checked(figure, limb));
    notes.map(|n| n.what.as_str()).collect()
}

fn notes(notes: &[Note]) -> Vec<String> {
    notes.iter().map(|n| n.what.clone()).collect()
}

/// Each note once, with how many limbs it stands for; the most frequent first,
/// then by words.
/// What stands in `all` limbs needs no number.
fn tally<'a>(notes: impl Iterator<Item = &'a Note>, all: usize) -> Vec<String> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for note in notes {
        *counts.entry(&note.what).or_default() += 1;
    }
    let mut rows: Vec<(&str, usize)> = counts.into_iter().collect();
    rows.sort_by_key(|&(_, n)| std::cmp::Reverse(n));
    let more = rows.len().saturating_sub(MOST_NOTES);
    let mut parts: Vec<String> = rows
        .into_iter()
        .take(MOST_NOTES)
        .map(|(what, n)| match n {
            n if n == all => what.to_owned(),
            n => format!("{what} ({})", count(n, "limb")),
        })
        .collect();
    if more > 0 {
        parts.push(format!("and {more} more"));
    }
    parts
}

/// How many different notes a summary lists.
const MOST_NOTES: usize = 12;

/// "2 min 3.5 s".
pub(super) fn clock(seconds: f64) -> String {
    let tenths = (seconds * 10.0).round();
    let minutes = (tenths / 600.0).floor();
    let rest = decimal((tenths - minutes * 600.0) / 10.0, 1);
    if minutes > 0.0 {
        format!("{} min {rest} s", decimal(minutes, 0))
    } else {
        format!("{rest} s")
    }
}

/// A text without characters that would command the terminal.
fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}

/// A file name as it can be typed into a shell.
fn shell_word(name: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "-_./:\\".contains(c);
    if name.chars().all(plain) {
        name.to_owned()
    } else {
        format!("'{}'", name.replace('\'', "'\\''"))
    }
}

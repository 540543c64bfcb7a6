//! Findings as people read them.

use std::collections::BTreeMap;
use std::fmt;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode, SourceSpan,
};

use super::places::{Places, Spot};
use crate::finding::{Finding, Severity, list_of};

/// How a text looks: how wide, and whether in colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Columns.
    pub width: usize,
    /// Whether colours may be used.
    pub colour: bool,
}

impl Look {
    /// What files, pipes and tests get.
    pub const PLAIN: Self = Self { width: 100, colour: false };
}

/// Errors drawn with the text around them: whoever has more needs the first ones.
const ERRORS: usize = 100;
/// Warnings or hints of one code that are drawn: the others say the same of other limbs.
const ALIKE: usize = 3;
/// Findings told on a line each behind those that are drawn.
const LINES: usize = 500;

/// All findings, errors first, then warnings, then hints, each by file and place as they
/// come: the first of each kind with the text around them, the others on a line each.
///
/// What was computed with a wrong number often raises a hint elsewhere, in the library's
/// parts too: the cause is to be read before it.
#[must_use]
pub fn findings(list: &[Finding], places: &dyn Places, look: Look) -> String {
    let handler = handler(look);
    let mut text = String::new();
    let mut drawn: BTreeMap<(Severity, &str), usize> = BTreeMap::new();
    let mut rest: Vec<&Finding> = Vec::new();
    let mut worst_first: Vec<&Finding> = list.iter().collect();
    worst_first.sort_by_key(|f| f.severity);
    for finding in worst_first {
        // Errors are counted together: each is another slip.
        let (of, most) = match finding.severity {
            Severity::Error => ("", ERRORS),
            _ => (finding.code.word, ALIKE),
        };
        let already = drawn.entry((finding.severity, of)).or_default();
        if *already == most {
            rest.push(finding);
            continue;
        }
        *already += 1;
        let shown = Shown::of(finding, places);
        if handler.render_report(&mut text, &shown).is_err() {
            // Where the picture cannot be drawn, the sentence still stands.
            text.push_str(&format!("{}: {}\n", finding.code.word, finding.message));
        }
        text.push('\n');
    }
    for finding in rest.iter().take(LINES) {
        text.push_str(&line(finding, places));
    }
    if rest.len() > LINES {
        let more = rest.len() - LINES;
        text.push_str(&format!("… and {more} more; `--format json` has them all.\n"));
    }
    if !rest.is_empty() {
        text.push('\n');
    }
    text
}

/// "bear.yard:3:5: warning limb-flops: the wind bends ...".
fn line(finding: &Finding, places: &dyn Places) -> String {
    let at = finding.place.and_then(|p| places.spot(p)).map(|s| s.location);
    let at = at.map_or(String::new(), |l| format!("{}:{}:{}: ", l.file, l.line, l.column));
    let kind = finding.severity.word();
    format!("{at}{kind} {}: {}\n", finding.code.word, finding.message)
}

/// "2 errors, 1 warning, 3 checks not made"; advice only where there is some.
#[must_use]
pub fn summary(list: &[Finding], not_made: usize) -> String {
    let count = |s: Severity| list.iter().filter(|f| f.severity == s).count();
    let mut parts = vec![
        counted(count(Severity::Error), "error", "errors"),
        counted(count(Severity::Warning), "warning", "warnings"),
    ];
    match count(Severity::Advice) {
        0 => {}
        n => parts.push(counted(n, "hint", "hints")),
    }
    match not_made {
        0 => {}
        n => parts.push(format!("{} not made", counted(n, "check", "checks"))),
    }
    parts.join(", ")
}

/// "1 error", "2 errors".
#[must_use]
pub fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

fn handler(look: Look) -> GraphicalReportHandler {
    let theme =
        if look.colour { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
    GraphicalReportHandler::new_themed(theme)
        .with_width(look.width)
        .with_links(false)
        .with_context_lines(1)
        .without_syntax_highlighting()
}

/// A finding with the text around it, in the renderer's terms.
struct Shown<'a> {
    finding: &'a Finding,
    text: Option<Box<dyn SourceCode>>,
    labels: Vec<LabeledSpan>,
    elsewhere: Vec<Elsewhere>,
    help: Option<String>,
}

impl<'a> Shown<'a> {
    fn of(finding: &'a Finding, places: &dyn Places) -> Self {
        let spot = finding.place.and_then(|p| places.spot(p));
        let mut shown = Self {
            finding,
            text: None,
            labels: Vec::new(),
            elsewhere: Vec::new(),
            help: help(finding),
        };
        let file = spot.as_ref().map(|s| s.location.file.clone());
        if let Some(spot) = spot {
            let label = finding.label.clone();
            shown.labels.push(LabeledSpan::new_primary_with_span(label, shortened(&spot)));
            shown.text = Some(spot.text);
        }
        for (message, place) in &finding.related {
            let Some(spot) = places.spot(*place) else { continue };
            if file.as_ref() == Some(&spot.location.file) {
                shown.labels.push(LabeledSpan::new_with_span(Some(message.clone()), spot.span()));
            } else {
                shown.elsewhere.push(Elsewhere { message: message.clone(), spot });
            }
        }
        shown
    }
}

/// The longest stretch that is drawn in full, in bytes.
const LONGEST: usize = 2000;

/// The stretch that is drawn: of a very long one, the beginning of its first line.
fn shortened(spot: &Spot) -> SourceSpan {
    let (whole, length) = (spot.span(), spot.hi - spot.lo);
    let Ok(contents) = spot.text.read_span(&whole, 0, 0) else { return whole };
    let skipped = spot.lo.saturating_sub(contents.span().offset());
    let text = contents.data().get(skipped..).and_then(|d| std::str::from_utf8(d).ok());
    let Some(text) = text.filter(|_| length > LONGEST) else { return whole };
    let first = text.lines().next().unwrap_or_default();
    let shown: usize = first.chars().take(120).map(char::len_utf8).sum();
    (spot.lo..spot.lo + shown.min(length)).into()
}

/// The help, and whom else the finding is about.
fn help(finding: &Finding) -> Option<String> {
    let also = (!finding.also.is_empty()).then(|| {
        format!("The same shows in {}.", list_of(finding.also.iter().map(String::as_str), "and", 6))
    });
    match (&finding.help, also) {
        (Some(help), Some(also)) => Some(format!("{help}\n{also}")),
        (help, also) => help.clone().or(also),
    }
}

impl fmt::Debug for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.finding.fmt(f)
    }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.finding.message)
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn code<'b>(&'b self) -> Option<Box<dyn fmt::Display + 'b>> {
        Some(Box::new(self.finding.code.word))
    }
    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.finding.severity {
            Severity::Error => miette::Severity::Error,
            Severity::Warning => miette::Severity::Warning,
            Severity::Advice => miette::Severity::Advice,
        })
    }
    fn help<'b>(&'b self) -> Option<Box<dyn fmt::Display + 'b>> {
        self.help.as_ref().map(|h| Box::new(h) as Box<dyn fmt::Display>)
    }
    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.text.as_deref()
    }
    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        (!self.labels.is_empty()).then(|| Box::new(self.labels.iter().cloned()) as Box<_>)
    }
    fn related<'b>(&'b self) -> Option<Box<dyn Iterator<Item = &'b dyn Diagnostic> + 'b>> {
        (!self.elsewhere.is_empty())
            .then(|| Box::new(self.elsewhere.iter().map(|e| e as &dyn Diagnostic)) as Box<_>)
    }
}

/// A place in another file that matters for a finding.
struct Elsewhere {
    message: String,
    spot: Spot,
}

impl fmt::Debug for Elsewhere {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl fmt::Display for Elsewhere {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Elsewhere {}

impl Diagnostic for Elsewhere {
    fn severity(&self) -> Option<miette::Severity> {
        Some(miette::Severity::Advice)
    }
    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&*self.spot.text)
    }
    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(std::iter::once(LabeledSpan::new_primary_with_span(None, self.spot.span()))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::places::OneText;
    use crate::finding::{Code, ItemId, Place};

    static CODE: Code = Code {
        word: "name-unknown",
        severity: Severity::Error,
        title: "",
        explanation: "",
        formula: "",
        source: "",
        bad: "",
        good: "",
    };

    const TEXT: &str = "figure bear {\n  limb arm {\n    pviot (1, 2) mm\n  }\n}\n";

    fn place(word: &str) -> Place {
        let lo = TEXT.find(word).unwrap() as u32;
        Place { item: ItemId(0), lo, hi: lo + word.len() as u32 }
    }

    fn finding() -> Finding {
        Finding::new(&CODE, place("pviot"), "A limb knows no word `pviot`.")
            .label("this word")
            .help("Did you mean `pivot`?")
            .related("in this limb", place("arm"))
    }

    #[test]
    fn a_finding_shows_its_word_and_what_would_fit() {
        let look = Look { width: 80, colour: false };
        let text = findings(&[finding()], &OneText::new("bear.yard", TEXT), look);
        let want = "\
name-unknown

  × A limb knows no word `pviot`.
   ╭─[bear.yard:3:5]
 1 │ figure bear {
 2 │   limb arm {
   ·        ─┬─
   ·         ╰── in this limb
 3 │     pviot (1, 2) mm
   ·     ──┬──
   ·       ╰── this word
 4 │   }
   ╰────
  help: Did you mean `pivot`?

";
        assert_eq!(text, want);
    }

    #[test]
    fn what_is_not_drawn_has_its_line() {
        let places = OneText::new("bear.yard", TEXT);
        let told = |list: &[Finding]| findings(list, &places, Look::PLAIN);
        let warning = finding().with_severity(Severity::Warning);
        let mut many = vec![warning; ALIKE + 2];
        many.extend(vec![finding(); ERRORS + 1]);
        let text = told(&many);
        assert_eq!(text.matches("╭─").count(), ALIKE + ERRORS);
        let lines = "bear.yard:3:5: error name-unknown: A limb knows no word `pviot`.\n\
                     bear.yard:3:5: warning name-unknown: A limb knows no word `pviot`.\n\
                     bear.yard:3:5: warning name-unknown: A limb knows no word `pviot`.\n\n";
        assert!(text.ends_with(lines), "{text}");
        let text = told(&vec![finding(); ERRORS + LINES + 7]);
        assert!(text.ends_with("… and 7 more; `--format json` has them all.\n\n"));
    }

    #[test]
    fn a_hint_stands_below_the_error_that_may_be_its_cause() {
        let hint = Finding { severity: Severity::Advice, message: "a hint.".into(), ..finding() };
        let text = findings(&[hint, finding()], &OneText::new("bear.yard", TEXT), Look::PLAIN);
        let at = |words: &str| text.find(words).unwrap();
        assert!(at("pviot`") < at("a hint."), "{text}");
    }

    #[test]
    fn the_summary_counts_in_words() {
        let warning = finding().with_severity(Severity::Warning);
        assert_eq!(summary(&[finding(), warning], 4), "1 error, 1 warning, 4 checks not made");
        assert_eq!(summary(&[], 0), "0 errors, 0 warnings");
    }
}

//! Hints that a maker has dealt with: they are told no longer, and listed instead.
//!
//! A hint tells of what no number settles (sunlight, rain, what shows from the front), so only
//! the maker knows whether it was dealt with. A warning or an error of the same code stays:
//! there a number says otherwise.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Code, Finding, Severity, Spanned, closest};
use crate::model::{Figure, Yard};

/// What is seen to is no hint.
pub static HINT_UNKNOWN: Code = Code {
    word: "hint-unknown",
    severity: Severity::Error,
    title: "what was seen to is no hint",
    explanation: "`seen-to CODE`, on a limb or on its figure, says that a hint was dealt with: it is told no longer, and listed as seen to. The word behind it is the code that stands above the hint. Warnings are not taken away by it, and errors cannot be seen to: there a number says what is wrong.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  seen-to sun-britle\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  seen-to sun-brittle\n}\n",
};

/// Its codes.
pub static CODES: &[&Code] = &[&HINT_UNKNOWN];

/// The hints that were raised and then taken away, of each figure and its limbs.
#[derive(Clone, Debug, Default)]
pub struct Dealt(BTreeSet<(String, Option<String>, &'static str)>);

impl Dealt {
    /// Whether this hint was taken away from a limb.
    #[must_use]
    pub fn on_limb(&self, figure: &str, limb: &str, hint: &str) -> bool {
        self.0.iter().any(|(f, l, word)| f == figure && l.as_deref() == Some(limb) && *word == hint)
    }

    /// Whether this hint was taken away from a figure, or from any limb of it.
    #[must_use]
    pub fn on_figure(&self, figure: &str, hint: &str) -> bool {
        self.0.iter().any(|(f, _, word)| f == figure && *word == hint)
    }
}

/// Takes out the hints that were dealt with, on their limb or on all of their figure, and adds
/// what names no hint. Gives what was taken out: a hint may be seen to that nothing raised.
pub(super) fn seen_to(findings: &mut Vec<Finding>, yard: &Yard, codes: &[&'static Code]) -> Dealt {
    let says = |f: &Figure| !f.seen_to.is_empty() || f.limbs.iter().any(|l| !l.seen_to.is_empty());
    let said: BTreeMap<&str, &Figure> = yard
        .figures
        .iter()
        .filter(|placed| says(&placed.figure))
        .map(|placed| (placed.name.value.as_str(), &*placed.figure))
        .collect();
    let mut dealt = Dealt::default();
    findings.retain(|f| {
        let gone = dealt_with(f, &said);
        if let (true, Some(figure)) = (gone, &f.figure) {
            dealt.0.insert((figure.clone(), f.limb.clone(), f.code.word));
        }
        !gone
    });
    let figures = yard.figures.iter().map(|placed| &placed.figure);
    for figure in figures.filter(|f| f.like.is_none()) {
        let name = &figure.name.value;
        let of_limbs = figure.limbs.iter().filter(|l| l.mirrors.is_none()).flat_map(|limb| {
            limb.seen_to.iter().map(move |hint| (hint, Some(limb.name.value.as_str())))
        });
        for (hint, limb) in figure.seen_to.iter().map(|hint| (hint, None)).chain(of_limbs) {
            findings.extend(no_hint(hint, codes).map(|f| f.about(name, limb)));
        }
    }
    dealt
}

/// Whether a finding is a hint that its limb or its figure was seen to for.
fn dealt_with(finding: &Finding, said: &BTreeMap<&str, &Figure>) -> bool {
    let figure = finding.figure.as_deref().filter(|_| finding.severity == Severity::Advice);
    let Some(figure) = figure.and_then(|name| said.get(name)) else { return false };
    let named = |all: &[Spanned<String>]| all.iter().any(|hint| hint.value == finding.code.word);
    let limbs = &figure.limbs;
    let limb = finding.limb.as_ref().and_then(|of| limbs.iter().find(|l| l.name.value == *of));
    named(&figure.seen_to) || limb.is_some_and(|l| named(&l.seen_to))
}

/// What is said where a word is no code, or that of an error.
fn no_hint(hint: &Spanned<String>, codes: &[&'static Code]) -> Option<Finding> {
    let code = codes.iter().find(|c| c.word == hint.value);
    let (message, help) = match code {
        Some(code) if code.severity == Severity::Error => (
            format!("`{}` is an error, and no word takes it away.", hint.value),
            "mend what it points at, and take the word out.".to_owned(),
        ),
        Some(_) => return None,
        None => {
            let hints = codes.iter().filter(|c| c.severity != Severity::Error).map(|c| c.word);
            let help = match closest(&hint.value, hints) {
                Some(near) => format!("did you mean {near}?"),
                None => "write the code that stands above the hint.".to_owned(),
            };
            (format!("there is no hint called {}.", hint.value), help)
        }
    };
    Some(Finding::new(&HINT_UNKNOWN, hint.place, message).help(help))
}

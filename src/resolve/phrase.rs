//! Phrases: cues with parameters.

use crate::finding::Finding;
use crate::model::Phrase;
use crate::syntax::words::{Row, Table, Take, must};
use crate::syntax::{Clause, Cursor};

use super::cue::{CUE, WORDS, arguments, cue, unexpected};
use super::span::next_span;

/// The words of `phrase`. Its own line is raw: `answer(a, b) lasts 8 bars`.
pub static PHRASE: Table = Table {
    name: "phrase",
    title: "Cues under one name, with parameters; its bars count from 1.",
    rows: &[Row::new("title", "A text for people.", &[must("text", Take::Text)])],
    bare: Some(&CUE),
};

/// Reads a phrase.
pub fn phrase(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<Phrase> {
    let mut c = Cursor::raw(clause, WORDS);
    let head = (|| {
        let name = c.name("phrase")?.map(str::to_owned);
        let parameters = arguments(&mut c)?;
        let lasts = match c.take_word("lasts") {
            Some(_) => Some(next_span(&mut c)?),
            None => None,
        };
        if !c.at_end() {
            return Err(unexpected(&mut c, "`lasts` and a length", &["lasts"]));
        }
        Ok((name, parameters, lasts))
    })();
    findings.extend(c.finish().0);
    let cues = clause
        .block()
        .map_or_else(Vec::new, |b| b.all("").filter_map(|l| cue(l, findings)).collect());
    let (name, parameters, lasts) = head.ok()?;
    Some(Phrase { name, parameters, lasts, cues })
}

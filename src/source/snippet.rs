//! Text around a finding for the renderer, found by the line index.
//!
//! The renderer's own text source counts lines from the start of the file for
//! every label, which takes tens of milliseconds in a large file; and it would
//! print a line of a megabyte in full.

use std::sync::Arc;

use miette::{MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};

use super::file::{SourceFile, line_of};

/// The longest stretch of one line that is shown, in bytes; a longer line is cut
/// to the surroundings of the finding.
const WIDEST: usize = 400;

/// How much of a longer line is shown on either side, in bytes.
const AROUND: usize = 60;

/// A file's text with its line index; cheap to copy.
#[derive(Clone, Debug)]
pub struct Snippet {
    name: String,
    text: Arc<str>,
    lines: Arc<[u32]>,
}

impl Snippet {
    pub(super) fn new(file: &SourceFile) -> Self {
        Self { name: file.name.clone(), text: file.text.clone(), lines: file.lines().clone() }
    }

    /// The offset one past a line's last character, its line end left out.
    fn line_end(&self, line: usize) -> usize {
        let next = self.lines.get(line + 1).map_or(self.text.len(), |&n| n as usize - 1);
        let start = self.lines[line] as usize;
        if next > start && self.text.as_bytes()[next - 1] == b'\r' { next - 1 } else { next }
    }

    /// The stretch to show for `lo..hi` with lines of context around it.
    fn window(&self, lo: usize, hi: usize, before: usize, after: usize) -> (usize, usize) {
        let (first, last) = (line_of(&self.lines, lo), line_of(&self.lines, hi));
        let from = self.lines[first.saturating_sub(before)] as usize;
        let to = self.line_end((last + after).min(self.lines.len() - 1)).max(hi);
        if (to - from) <= WIDEST * (before + after + last - first + 1) {
            return (from, to);
        }
        let start = (self.lines[first] as usize).max(lo.saturating_sub(AROUND));
        let end = self.line_end(last).max(hi).min(hi + AROUND);
        (self.boundary(start, true), self.boundary(end, false))
    }

    /// The nearest character boundary before or after an offset.
    fn boundary(&self, mut at: usize, back: bool) -> usize {
        while !self.text.is_char_boundary(at) {
            at = if back { at - 1 } else { at + 1 };
        }
        at
    }
}

impl SourceCode for Snippet {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let (lo, hi) = (span.offset(), span.offset() + span.len());
        if hi > self.text.len() {
            return Err(MietteError::OutOfBounds);
        }
        let (from, to) = self.window(lo, hi, before, after);
        let line = line_of(&self.lines, from);
        // Asked for the span alone, the renderer wants to know where that begins, for
        // the heading over the picture.
        let start = if before == 0 { lo } else { from };
        let column = self.text[self.lines[line] as usize..start].chars().count();
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            &self.text.as_bytes()[from..to],
            (from, to - from).into(),
            line,
            column,
            line_of(&self.lines, to) - line + 1,
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn snippet(text: &str) -> Snippet {
        Snippet::new(&SourceFile::new(None, "f.yard".into(), text.into(), Vec::new()))
    }

    #[test]
    fn shows_the_lines_around() {
        let s = snippet("one\ntwo\nthree\nfour\n");
        let got = s.read_span(&(8, 5).into(), 1, 1).unwrap();
        assert_eq!(got.data(), b"two\nthree\nfour");
        assert_eq!((got.line(), got.column(), got.name()), (1, 0, Some("f.yard")));
        let got = s.read_span(&(8, 2).into(), 0, 0).unwrap();
        assert_eq!(got.data(), b"three");
        let got = s.read_span(&(10, 2).into(), 0, 0).unwrap();
        assert_eq!((got.line(), got.column()), (2, 2), "where the span begins");
        assert!(s.read_span(&(18, 9).into(), 1, 1).is_err());
    }

    #[test]
    fn a_long_line_is_cut_around_the_finding() {
        let text = format!("{}word{}", "é".repeat(5000), "é".repeat(5000));
        let s = snippet(&text);
        let got = s.read_span(&(10_000, 4).into(), 1, 1).unwrap();
        assert!(got.data().len() < 200);
        assert!(std::str::from_utf8(got.data()).unwrap().contains("word"));
    }
}

//! Walking along the shapes of one clause: what table rows and the readers of raw
//! lines share.

use std::cell::Cell;

use super::codes;
use super::reading::Clause;
use super::words::{Part, Row, Table, Take};
use super::{Shape, ShapeKind};
use crate::finding::{Code, Finding, ItemId, Place, Spanned, closest, list_of};
use crate::units::Dimension;

/// One shape with its text and place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece<'a> {
    /// What it looks like.
    pub kind: ShapeKind,
    /// Its text.
    pub text: &'a str,
    /// Where it stands.
    pub place: Place,
}

impl Piece<'_> {
    /// Whether it is a time as a clock shows it.
    pub(super) fn is_clock(&self) -> bool {
        self.text.bytes().any(|b| b == b':')
    }
}

/// A value could not be read; the mistake has been reported.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reported;

/// Which words end a value because they mean something themselves.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Known {
    pub row: Option<&'static Row>,
    pub table: Option<&'static Table>,
    pub words: &'static [&'static str],
}

impl Known {
    /// Where the row takes an `A to B`: the row of its table that takes one of another
    /// dimension.
    pub(super) fn range_of(self, other: Dimension) -> Option<&'static str> {
        let takes = |row: &Row| match row.parts.first()?.take {
            Take::Range(dimension, _) => Some(dimension),
            _ => None,
        };
        takes(self.row?)?;
        let found = self.table?.rows.iter().find(|row| takes(row) == Some(other));
        found.map(|row| row.word)
    }

    fn parts(self) -> &'static [Part] {
        self.row.map_or(&[], |r| r.parts)
    }

    /// The keys of the row, first words only.
    fn keys(self) -> impl Iterator<Item = &'static str> {
        let keys = self.parts().iter().filter_map(|p| p.key);
        keys.map(|k| k.split(' ').next().unwrap_or(k))
    }

    fn begins_key(self, word: &str) -> bool {
        let rest = |p: &Part| p.key.and_then(|k| k.strip_prefix(word));
        self.parts().iter().filter_map(rest).any(|r| r.is_empty() || r.starts_with(' '))
    }

    pub fn all(self) -> impl Iterator<Item = &'static str> {
        let rows = self.table.map_or(&[][..], |t| t.rows);
        let rows = rows.iter().flat_map(|r| std::iter::once(r.word).chain(r.also.iter().copied()));
        self.keys().chain(rows).chain(self.words.iter().copied())
    }
}

/// A word that was looked up in a table, by address, and its row. The same word is
/// asked for several times until it is clear what it means.
#[derive(Clone, Copy, Debug)]
struct Asked {
    table: *const Table,
    word: *const str,
    row: Option<&'static Row>,
}

/// A reader's place on the tape. Mistakes are collected in it; whoever made it
/// takes them out with [`Cursor::finish`].
#[derive(Debug)]
pub struct Cursor<'a> {
    pub(super) item: ItemId,
    pub(super) text: &'a str,
    pub(super) tape: &'a [Shape],
    pub(super) at: u32,
    pub(super) end: u32,
    /// How far a bare number may look for its unit: past the end of a point.
    pub(super) outer_end: u32,
    pub(super) known: Known,
    pub(super) findings: Vec<Finding>,
    pub(super) poisoned: bool,
    pub(super) look: Option<super::quantity::Look>,
    asked: Cell<Option<Asked>>,
}

impl<'a> Cursor<'a> {
    pub(super) fn over(item: ItemId, text: &'a str, tape: &'a [Shape], at: u32, end: u32) -> Self {
        Self {
            item,
            text,
            tape,
            at,
            end,
            outer_end: end,
            known: Known::default(),
            findings: Vec::new(),
            poisoned: false,
            look: None,
            asked: Cell::new(None),
        }
    }

    /// The shapes of a raw clause: behind its word, or of the whole line where the
    /// line has no word of the table. `words` are those that mean something in such
    /// a line: a number never takes one of them for a unit it does not know.
    #[must_use]
    pub fn raw(clause: Clause<'a>, words: &'static [&'static str]) -> Self {
        let reading = clause.reading();
        let (lo, hi) = clause.raw();
        let mut cursor = Self::over(reading.item, &reading.text, &reading.tape, lo, hi);
        cursor.known.words = words;
        cursor.poisoned = clause.poisoned();
        cursor
    }

    /// What was reported on the way, and whether anything was.
    #[must_use]
    pub fn finish(self) -> (Vec<Finding>, bool) {
        (self.findings, self.poisoned)
    }

    /// Whether a mistake was reported (or the clause was poisoned before).
    #[must_use]
    pub fn poisoned(&self) -> bool {
        self.poisoned
    }

    /// Reports a mistake.
    pub fn report(&mut self, finding: Finding) {
        self.poisoned = true;
        self.findings.push(finding);
    }

    /// The row of a word of this text in a table.
    pub(super) fn row_in(&self, table: &'static Table, word: &'a str) -> Option<&'static Row> {
        let (at, word_at) = (std::ptr::from_ref(table), std::ptr::from_ref(word));
        if let Some(asked) = self.asked.get()
            && std::ptr::eq(asked.table, at)
            && std::ptr::eq(asked.word, word_at)
        {
            return asked.row;
        }
        let row = table.find(word);
        self.asked.set(Some(Asked { table: at, word: word_at, row }));
        row
    }

    /// Whether a word means something where the cursor stands.
    pub(super) fn knows(&self, word: &'a str) -> bool {
        self.known.words.contains(&word)
            || self.known.begins_key(word)
            || self.known.table.is_some_and(|t| self.row_in(t, word).is_some())
    }

    /// Whether no shape is left.
    #[must_use]
    pub fn at_end(&self) -> bool {
        self.shape().is_none()
    }

    /// The next shape as it stands on the tape: without its text it costs little.
    fn shape(&self) -> Option<&'a Shape> {
        let shape = (self.at < self.end).then(|| &self.tape[self.at as usize])?;
        (shape.kind != ShapeKind::Block).then_some(shape)
    }

    /// Steps over the next shape, if there is one.
    pub(super) fn skip(&mut self) {
        if let Some(shape) = self.shape() {
            self.at = shape.end;
        }
    }

    /// The next shape.
    #[must_use]
    pub fn peek(&self) -> Option<Piece<'a>> {
        self.piece(self.at)
    }

    /// The next shape, if it is of this kind.
    pub(super) fn peek_if(&self, kind: ShapeKind) -> Option<Piece<'a>> {
        if self.is(kind) { self.peek() } else { None }
    }

    /// The shape `n` behind the next one; `peek_at(0)` is [`Self::peek`].
    #[must_use]
    pub fn peek_at(&self, n: usize) -> Option<Piece<'a>> {
        let mut at = self.at;
        for _ in 0..n {
            let shape = (at < self.end).then(|| &self.tape[at as usize])?;
            at = (shape.kind != ShapeKind::Block).then_some(shape.end)?;
        }
        self.piece(at)
    }

    pub(super) fn piece(&self, at: u32) -> Option<Piece<'a>> {
        if at >= self.end {
            return None;
        }
        let shape = self.tape[at as usize];
        (shape.kind != ShapeKind::Block).then(|| Piece {
            kind: shape.kind,
            text: &self.text[shape.lo as usize..shape.hi as usize],
            place: self.place(shape.lo, shape.hi),
        })
    }

    pub(super) fn place(&self, lo: u32, hi: u32) -> Place {
        Place { item: self.item, lo, hi }
    }

    /// Takes the next shape.
    #[allow(clippy::should_implement_trait)] // It lends from the tape, not from itself.
    pub fn next(&mut self) -> Option<Piece<'a>> {
        let piece = self.peek()?;
        self.at = self.tape[self.at as usize].end;
        Some(piece)
    }

    /// The empty stretch in front of the next shape, or behind the last one.
    #[must_use]
    pub fn here(&self) -> Place {
        let behind = self.at.checked_sub(1).map_or(0, |i| self.tape[i as usize].hi);
        self.peek().map_or(self.place(behind, behind), |p| Place { hi: p.place.lo, ..p.place })
    }

    /// Whether the next shape is this word.
    #[must_use]
    pub fn is_word(&self, word: &str) -> bool {
        self.is(ShapeKind::Word) && self.peek().is_some_and(|p| p.text == word)
    }

    /// Whether the next shape is of this kind.
    #[must_use]
    pub fn is(&self, kind: ShapeKind) -> bool {
        self.shape().is_some_and(|s| s.kind == kind)
    }

    /// Takes the next shape if it is this word, and says where it stood.
    pub fn take_word(&mut self, word: &str) -> Option<Place> {
        let place = self.peek_if(ShapeKind::Word).filter(|p| p.text == word)?.place;
        self.skip();
        Some(place)
    }

    /// Takes the next shape if it is this operator (`+`, `-`, `,` …).
    pub fn take_op(&mut self, op: &str) -> Option<Place> {
        let place = self.peek_if(ShapeKind::Op).filter(|p| p.text == op)?.place;
        self.skip();
        Some(place)
    }

    /// Takes the next shape if it is any word.
    pub fn word(&mut self) -> Option<Spanned<&'a str>> {
        let piece = self.peek_if(ShapeKind::Word)?;
        self.skip();
        Some(Spanned::new(piece.text, piece.place))
    }

    /// A name (`jig`, `bear.left-arm`); `what` it names is for the message.
    ///
    /// # Errors
    /// Where no valid name stands there; reported.
    pub fn name(&mut self, what: &str) -> Result<Spanned<&'a str>, Reported> {
        let Some(run) = self.run() else { return Err(self.missing(self.here(), what)) };
        self.skip_run();
        match super::names::check(run.value) {
            Ok(()) => Ok(run),
            Err(fault) => Err(self.fail(fault.finding(run, what))),
        }
    }

    /// One of these words; the nearest is suggested for another.
    ///
    /// # Errors
    /// Where another word or none stands there; reported.
    pub fn choice(
        &mut self,
        what: &str,
        words: &'static [&'static str],
    ) -> Result<Spanned<usize>, Reported> {
        let Some(run) = self.run() else { return Err(self.missing(self.here(), what)) };
        if let Some(i) = words.iter().position(|w| *w == run.value) {
            self.skip_run();
            return Ok(Spanned::new(i, run.place));
        }
        self.skip_run();
        let list = list_of(words.iter().copied(), "or", 12);
        let near = closest(run.value, words.iter().copied());
        let help = match near {
            Some(near) => format!("did you mean `{near}`? {what} is {list}."),
            None => format!("{what} is {list}."),
        };
        let text = format!("`{}` is not one of the words that fit here.", shown(run.value));
        let mut finding = Finding::new(&codes::CHOICE_UNKNOWN, run.place, text).help(help);
        if let Some(near) = near {
            finding = finding.fix(format!("write `{near}`"), run.place, near);
        }
        Err(self.fail(finding))
    }

    /// A text in quotes, which are taken off.
    ///
    /// # Errors
    /// Where none stands there; reported.
    pub fn quoted(&mut self, what: &str) -> Result<Spanned<&'a str>, Reported> {
        match self.peek() {
            Some(p) if p.kind == ShapeKind::Text => {
                self.skip();
                Ok(Spanned::new(&p.text[1..p.text.len() - 1], p.place))
            }
            Some(p) if p.kind == ShapeKind::Unclosed => {
                self.skip();
                Err(self.fail(quote_missing(p.place)))
            }
            Some(_) => {
                let run = self.run().unwrap_or(Spanned::new("", self.here()));
                self.skip_run();
                let finding = Finding::new(
                    &codes::TEXT_NEEDED,
                    run.place,
                    format!("{what} stands in quotes: \"{}\".", shown(run.value)),
                );
                Err(self.fail(finding.fix(
                    "put it in quotes",
                    run.place,
                    format!("\"{}\"", run.value),
                )))
            }
            None => Err(self.missing(self.here(), what)),
        }
    }

    /// The shapes between the marks of the point that stands next, as a cursor of
    /// their own (`answer(a, b)`); its findings are the caller's to take.
    pub fn inside(&mut self) -> Option<Cursor<'a>> {
        self.is(ShapeKind::Point).then(|| {
            let at = self.at;
            self.skip();
            let mut inner = Cursor::over(self.item, self.text, self.tape, at + 1, self.at);
            inner.known = self.known;
            inner.outer_end = self.outer_end;
            inner
        })
    }

    /// Says that something is missing.
    pub fn missing(&mut self, place: Place, what: &str) -> Reported {
        let finding =
            Finding::new(&codes::VALUE_MISSING, place, format!("{what} is missing here."));
        self.fail(finding.help(format!("write {what}.")))
    }

    /// Reports and returns the mark of it.
    pub fn fail(&mut self, finding: Finding) -> Reported {
        self.report(finding);
        Reported
    }

    /// A finding at a place of this item.
    pub(super) fn fault(
        &mut self,
        code: &'static Code,
        place: Place,
        text: impl Into<String>,
    ) -> Reported {
        self.fail(Finding::new(code, place, text))
    }

    /// The next shapes that touch each other, as one text (`5/16-18`, `../x`, `1x2`);
    /// a point or text is never part of a longer run.
    #[must_use]
    pub fn run(&self) -> Option<Spanned<&'a str>> {
        let (_, hi) = self.run_end()?;
        let lo = self.tape[self.at as usize].lo;
        Some(Spanned::new(&self.text[lo as usize..hi as usize], self.place(lo, hi)))
    }

    /// The entry behind a run, and where its text ends: a point's last entry is what stands
    /// before its `)`.
    fn run_end(&self) -> Option<(u32, u32)> {
        let first = self.peek()?;
        let alone = |k| matches!(k, ShapeKind::Point | ShapeKind::Text | ShapeKind::Block);
        let mut at = self.tape[self.at as usize].end;
        let mut hi = first.place.hi;
        while !alone(first.kind) && at < self.end {
            let next = self.tape[at as usize];
            let comma =
                next.kind == ShapeKind::Op && &self.text[next.lo as usize..next.hi as usize] == ",";
            if next.lo != hi || alone(next.kind) || comma {
                break;
            }
            hi = next.hi;
            at = next.end;
        }
        Some((at, hi))
    }

    pub(super) fn skip_run(&mut self) {
        if let Some((end, _)) = self.run_end() {
            self.at = end;
        }
    }
}

/// A text for a message, cut where it is long.
pub(super) fn shown(text: &str) -> String {
    const MOST: usize = 40;
    match text.char_indices().nth(MOST) {
        Some((at, _)) => format!("{}…", &text[..at]),
        None => text.to_owned(),
    }
}

pub(super) fn quote_missing(place: Place) -> Finding {
    Finding::new(
        &codes::QUOTE_MISSING,
        place,
        "the `\"` that closes this text is missing on its line.",
    )
    .help("write `\"` where the text ends, on the same line.")
}

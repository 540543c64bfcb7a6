//! Opening and closing blocks, and braces that are missing or too many.

use std::num::NonZeroU32;

use super::super::ShapeKind;
use super::super::codes;
use super::super::cursor::Piece;
use super::super::reading::Datum;
use super::super::words::{BlockRule, Need, Table, Take};
use super::mistakes::words_of;
use super::{Frame, Pending, Reader};
use crate::finding::{Finding, Place, list_of};

impl<'a> Reader<'a> {
    /// Ends the clause in hand and checks that nothing it needs is missing.
    pub(super) fn settle(&mut self, with_block: bool) {
        let Some(p) = self.pending.take() else { return };
        self.lost = p.silent;
        if self.c.poisoned {
            self.desk.clauses[p.clause as usize].poisoned = true;
            self.c.poisoned = false;
        }
        if self.desk.clauses[p.clause as usize].poisoned || p.row.raw {
            return;
        }
        let head = self.desk.clauses[p.clause as usize].head;
        let place = self.c.place(head.0, head.1);
        let missing = p
            .row
            .parts
            .iter()
            .enumerate()
            .find(|(i, part)| part.need == Need::Must && p.tried & (1 << i) == 0);
        if let Some((_, part)) = missing {
            self.value_missing(part, place);
            self.desk.clauses[p.clause as usize].poisoned = true;
        } else if !with_block && matches!(p.row.block, BlockRule::Must(_)) {
            let text = format!("`{}` needs a block {{ … }}.", p.row.word);
            let help = "write `{` behind it, what belongs to it, and `}`.";
            self.c.report(Finding::new(&codes::BLOCK_MISSING, place, text).help(help));
            self.desk.clauses[p.clause as usize].poisoned = true;
        }
        self.c.poisoned = false;
    }

    /// Enters a block of the tape; false where it is stepped over.
    pub(super) fn enter(&mut self, node: u32) -> bool {
        let shape = self.c.tape[node as usize];
        let brace = (shape.lo, shape.lo + 1);
        let Some(p) = self.pending else {
            if !self.lost {
                let text = "this block belongs to no word.";
                let at = self.c.place(brace.0, brace.1);
                let help = "write the word it belongs to before it, or take it out.";
                self.c.report(Finding::new(&codes::BLOCK_NOT_HERE, at, text).help(help));
            }
            return false;
        };
        let Some(table) = self.block_table(p) else {
            if !self.desk.clauses[p.clause as usize].poisoned {
                let text = format!("`{}` takes no block.", p.row.word);
                let at = self.c.place(brace.0, brace.1);
                let help = "take the braces out; what it takes stands behind it.";
                self.c.report(Finding::new(&codes::BLOCK_NOT_HERE, at, text).help(help));
                self.mark_poisoned();
            }
            self.settle(true);
            return false;
        };
        self.settle(true);
        self.lost = false;
        let seen = self.desk.seen.len();
        self.desk.frames.push(Frame { table, owner: Some(p.clause), brace, seen });
        true
    }

    /// The table of the block behind the clause in hand.
    pub(super) fn block_table(&self, p: Pending) -> Option<&'static Table> {
        match p.row.block {
            BlockRule::None => None,
            BlockRule::May(table) | BlockRule::Must(table) => Some(table),
            BlockRule::ByChoice(part, tables) => {
                let index = p.row.parts.iter().position(|q| q.name == part)?;
                let Take::Choice(words) = p.row.parts[index].take else { return None };
                let chosen = self.values_of(p).iter().find_map(|v| match v.datum() {
                    Datum::Choice(i) if v.part as usize == index => words.get(i as usize),
                    _ => None,
                })?;
                tables.iter().find(|(word, _)| word == chosen).map(|(_, t)| *t)
            }
        }
    }

    /// Leaves a block of the tape: its `}` closes the innermost open block.
    pub(super) fn leave(&mut self, node: u32) {
        self.settle(false);
        self.lost = false;
        let shape = self.c.tape[node as usize];
        let last = self.c.tape[shape.end as usize - 1];
        let open = last.kind == ShapeKind::Unclosed && last.lo == shape.hi && last.hi == shape.hi;
        if self.desk.frames.len() < 2 {
            return;
        }
        if open {
            let frame = self.frame();
            let place = self.c.place(frame.brace.0, frame.brace.1);
            let word = frame.owner.map_or("", |o| self.desk.clauses[o as usize].row.word);
            let text = format!("the block of `{word}` that opens here is never closed.");
            let finding = Finding::new(&codes::BRACE_MISSING, place, text);
            let end = self.c.place(shape.hi, shape.hi);
            self.c.report(finding.fix("close it", end, "\n}"));
        }
        self.close((shape.hi.saturating_sub(u32::from(!open)), shape.hi));
    }

    /// Closes the innermost open block; `brace` is where its `}` stands.
    pub(super) fn close(&mut self, brace: (u32, u32)) {
        let Some(frame) = self.desk.frames.pop() else { return };
        let end = self.desk.clauses.len() as u32;
        if let Some(owner) = frame.owner {
            let clause = &mut self.desk.clauses[owner as usize];
            clause.end = end;
            clause.hi = brace.1;
            clause.brace = NonZeroU32::new(frame.brace.0);
        }
        self.desk.seen.truncate(frame.seen);
        self.closed = Some((frame, self.c.place(brace.0, brace.1)));
    }

    pub(super) fn stray_brace(&mut self, place: Place, again: bool) {
        self.settle(false);
        if self.desk.frames.len() > 1 {
            return self.close((place.lo, place.hi));
        }
        if again {
            // One finding for a row of them.
            return;
        }
        let help = "take it out, or write the `{` that it closes before it.";
        let finding = Finding::new(&codes::BRACE_EXTRA, place, "this `}` closes nothing.");
        self.c.report(finding.help(help));
        self.c.poisoned = false;
    }

    /// A line that begins with a word of an outer block: a `}` is missing before
    /// it, or the word stands in the wrong block. True where the statement is done.
    pub(super) fn misplaced(&mut self, piece: Piece<'a>, end: u32) -> bool {
        if piece.kind != ShapeKind::Word || self.meaning(piece).is_some() {
            return false;
        }
        if self.pending.is_some() && self.goes_on(piece) {
            return false;
        }
        if self.frame().table.bare.is_some_and(|b| {
            b.raw || b.parts.first().is_some_and(|p| p.take.begins_with(ShapeKind::Word))
        }) {
            return false;
        }
        if self.desk.frames.len() == 1 {
            self.reopen(piece);
            return false;
        }
        let depth = self.desk.frames.len();
        let Some(outer) =
            (0..depth - 1).rev().find(|i| self.desk.frames[*i].table.find(piece.text).is_some())
        else {
            return false;
        };
        self.settle(false);
        if self.one_line() {
            self.elsewhere(piece, outer);
            if let Some(owner) = self.frame().owner
                && self.desk.clauses.len() == owner as usize + 1
            {
                // That it says nothing else is no second mistake.
                self.desk.clauses[owner as usize].poisoned = true;
            }
            return true;
        }
        if self.next_line_is_inner(end, outer) {
            self.elsewhere(piece, outer);
            return true;
        }
        while self.desk.frames.len() > outer + 1 {
            let frame = self.frame();
            let brace = self.c.place(frame.brace.0, frame.brace.1);
            let word = frame.owner.map_or("", |o| self.desk.clauses[o as usize].row.word);
            let text = format!("a `}}` is missing before `{}`.", piece.text);
            let finding = Finding::new(&codes::BRACE_MISSING, piece.place, text)
                .related(format!("the block of `{word}` opens here"), brace)
                .fix("close it", Place { hi: piece.place.lo, ..piece.place }, "}\n");
            self.c.report(finding);
            self.close((piece.place.lo, piece.place.lo));
        }
        self.closed = None;
        self.c.poisoned = false;
        false
    }

    /// A word that stands in the wrong block.
    fn elsewhere(&mut self, piece: Piece<'a>, outer: usize) {
        let (outer, inner) = (self.desk.frames[outer].table, self.frame().table);
        let text =
            format!("`{}` is a word of the {}, not of a {}.", piece.text, outer.name, inner.name);
        let help = format!(
            "move it out of this block, to the other words of the {}; a {} knows {}.",
            outer.name,
            inner.name,
            list_of(words_of(inner), "and", 40)
        );
        self.c.report(Finding::new(&codes::WORD_ELSEWHERE, piece.place, text).help(help));
        self.c.poisoned = false;
    }

    /// Whether the innermost block opens and closes on one line: then no brace of it is
    /// missing.
    fn one_line(&self) -> bool {
        let brace = self.frame().brace.0;
        let shapes = self.c.tape[..self.c.at as usize].iter().rev();
        let block = shapes.into_iter().find(|s| s.kind == ShapeKind::Block && s.lo == brace);
        let text = block.and_then(|s| self.c.text.get(s.lo as usize..s.hi as usize));
        text.is_some_and(|t| t.ends_with('}') && !t.contains('\n'))
    }

    /// Whether the statement behind this one begins with a word that only the
    /// inner block knows: then this one is merely in the wrong place.
    pub(super) fn next_line_is_inner(&self, end: u32, outer: usize) -> bool {
        let Some(next) = self.c.tape.get(end as usize).filter(|s| s.kind == ShapeKind::Statement)
        else {
            return false;
        };
        let Some(first) = self.c.tape.get(end as usize + 1).filter(|s| s.lo < next.hi) else {
            return false;
        };
        let word = &self.c.text[first.lo as usize..first.hi as usize];
        first.kind == ShapeKind::Word
            && self.frame().table.find(word).is_some()
            && self.desk.frames[outer].table.find(word).is_none()
    }

    /// At the top: a word of the block that was closed last means that its `}` was
    /// one too many.
    pub(super) fn reopen(&mut self, piece: Piece<'a>) {
        let Some((mut frame, place)) = self.closed else { return };
        if frame.table.find(piece.text).is_none() {
            return;
        }
        self.closed = None;
        self.settle(false);
        let text = format!("this `}}` is one too many: `{}` goes on with the block.", piece.text);
        self.c.report(Finding::new(&codes::BRACE_EXTRA, place, text).fix("take it out", place, ""));
        self.c.poisoned = false;
        // What stood between was read by the words of the file, not of the block.
        if let Some(owner) = frame.owner {
            self.desk.clauses.truncate(self.desk.clauses[owner as usize].end as usize);
            frame.seen = self.desk.seen.len();
            self.see_again(owner);
        }
        self.desk.frames.push(frame);
    }

    /// Notes the clauses of a block that is open again which may stand once.
    fn see_again(&mut self, owner: u32) {
        let from = self.desk.seen.len();
        let mut at = owner + 1;
        while let Some(clause) = self.desk.clauses.get(at as usize) {
            let row = clause.row;
            let once = !row.many && !row.word.is_empty();
            if once && !self.desk.seen[from..].iter().any(|(r, _)| std::ptr::eq(*r, row)) {
                self.desk.seen.push((row, at));
            }
            at = clause.end;
        }
    }
}

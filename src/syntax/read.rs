//! The reader: shapes and word tables to clauses.
//!
//! It walks once along the tape. A frame per open block knows the block's table;
//! the clause in hand takes keys and values until another word of the table
//! begins the next one. A misspelt word is read as the word it was meant to be;
//! after a value that cannot be read the reader goes on at the next word it knows
//! and stays silent until then.

use std::sync::Arc;

use super::codes;
use super::cursor::{Cursor, Piece, Reported, shown};
use super::reading::{Clause, ClauseNode, Datum, Open, Reading, Value};
use super::shapes::shapes;
use super::words::{BlockRule, Need, Part, Row, Table, Take};
use super::{ShapeKind, Tape, units::unit_named};
use crate::finding::{Finding, ItemId, Place, closest, list_of};
use crate::source;

/// Reads one item by the table of its words.
pub fn read(
    item: ItemId,
    text: Arc<str>,
    table: &'static Table,
    findings: &mut Vec<Finding>,
) -> Reading {
    if let Some(at) = source::too_deep(&text) {
        let place = Place { item, lo: at, hi: at + 1 };
        let text_of = format!("more than {} blocks stand inside each other here.", source::DEEPEST);
        findings.push(Finding::new(&codes::BRACES_TOO_DEEP, place, text_of));
        return empty(item, text);
    }
    let tape = shapes(&text);
    let mut reader = Reader::new(item, &text, &tape, table);
    reader.run();
    let mut found = std::mem::take(&mut reader.c.findings);
    let Reader { clauses, values, opens, .. } = reader;
    let reading = Reading { item, clauses, values, opens, tape, text };
    for finding in &mut found {
        name_owner(&reading, finding);
    }
    findings.append(&mut found);
    reading
}

/// Says which figure and limb a finding is about.
fn name_owner(reading: &Reading, finding: &mut Finding) {
    let Some(place) = finding.place else { return };
    let holds = |c: &Clause<'_>| {
        let brace = c.block().map(|b| b.place());
        brace.is_some_and(|b| b.lo <= place.lo && place.hi <= b.hi)
    };
    let named = |c: Option<Clause<'_>>| c.and_then(|c| c.text("name")).map(|n| n.value.to_owned());
    let figure = reading.top().clauses().find(|c| c.word() == "figure" && holds(c));
    let inside = figure.and_then(Clause::block);
    finding.limb = named(inside.and_then(|b| b.clauses().find(|c| c.word() == "limb" && holds(c))));
    finding.figure = named(figure);
}

fn empty(item: ItemId, text: Arc<str>) -> Reading {
    Reading {
        item,
        text,
        clauses: Vec::new(),
        values: Vec::new(),
        opens: Vec::new(),
        tape: Tape::new(),
    }
}

/// An open block.
struct Frame {
    table: &'static Table,
    /// The clause it belongs to; none for the item itself.
    owner: Option<u32>,
    /// Its opening brace.
    brace: (u32, u32),
    /// Clauses that may stand once, by row.
    seen: Vec<(&'static Row, u32)>,
}

/// The clause in hand.
#[derive(Clone, Copy)]
struct Pending {
    clause: u32,
    row: &'static Row,
    /// Parts that have been read or tried.
    tried: u64,
    /// Something behind it could not be read: silent until the next known word.
    silent: bool,
}

/// The reader of one item.
pub(super) struct Reader<'a> {
    pub(super) c: Cursor<'a>,
    pub(super) values: Vec<Value>,
    pub(super) opens: Vec<Open>,
    clauses: Vec<ClauseNode>,
    frames: Vec<Frame>,
    pending: Option<Pending>,
    /// The block that a `}` closed last, for a `}` too many.
    closed: Option<(Frame, Place)>,
    /// Silent although no clause is in hand.
    lost: bool,
}

impl<'a> Reader<'a> {
    fn new(item: ItemId, text: &'a str, tape: &'a Tape, table: &'static Table) -> Self {
        let root = Frame { table, owner: None, brace: (0, 0), seen: Vec::new() };
        Self {
            c: Cursor::over(item, text, tape, 0, tape.len() as u32),
            values: Vec::with_capacity(tape.len() / 6),
            opens: Vec::new(),
            clauses: Vec::with_capacity(tape.len() / 12),
            frames: vec![root],
            pending: None,
            closed: None,
            lost: false,
        }
    }

    fn frame(&self) -> &Frame {
        // The item's own frame is never taken off.
        &self.frames[self.frames.len() - 1]
    }

    fn run(&mut self) {
        let total = self.c.tape.len() as u32;
        let mut at = 1;
        // The blocks of the tape that the walk is inside of: index of each.
        let mut blocks: Vec<u32> = Vec::new();
        loop {
            while let Some(&node) = blocks.last()
                && self.c.tape[node as usize].end <= at
            {
                blocks.pop();
                self.leave(node);
            }
            if at >= total {
                break;
            }
            let shape = self.c.tape[at as usize];
            at = match shape.kind {
                ShapeKind::Statement => self.statement(at, shape.end),
                ShapeKind::Block => match self.enter(at) {
                    true => {
                        blocks.push(at);
                        at + 1
                    }
                    false => shape.end,
                },
                ShapeKind::Stray => {
                    let again = self.c.tape[at as usize - 1].kind == ShapeKind::Stray;
                    self.stray_brace(self.c.place(shape.lo, shape.hi), again);
                    at + 1
                }
                _ => at + 1,
            };
        }
        self.settle(false);
        while self.frames.len() > 1 {
            let end = self.c.text.len() as u32;
            self.close((end, end));
        }
    }

    /// Reads the pieces of a statement up to its block; returns where to go on.
    fn statement(&mut self, node: u32, end: u32) -> u32 {
        self.c.at = node + 1;
        self.c.end = end;
        self.c.outer_end = end;
        self.c.look = None;
        let mut first = true;
        while let Some(piece) = self.c.peek() {
            let before = self.c.at;
            if first && self.misplaced(piece, end) {
                return end;
            }
            self.step(piece, first);
            if self.c.at == before && !self.just_began() {
                // Nothing took the shape: never stand still.
                self.c.next();
            }
            first = false;
        }
        self.c.at
    }

    /// Whether the clause in hand began at a bare line without taking a shape.
    fn just_began(&self) -> bool {
        self.pending
            .is_some_and(|p| p.row.word.is_empty() && p.tried == 0 && !p.silent && !p.row.raw)
    }

    /// Deals with the next piece.
    fn step(&mut self, piece: Piece<'a>, first: bool) {
        if first && self.pending.is_some() && !self.goes_on(piece) {
            self.settle(false);
        }
        if first {
            self.lost = false;
        }
        if self.pending.is_some() {
            self.part_or_next(piece);
        } else {
            self.begin(piece);
        }
    }

    /// Whether a new line goes on with the clause above: it begins with one of the
    /// clause's keys that is no word of the table.
    fn goes_on(&self, piece: Piece<'a>) -> bool {
        let Some(p) = self.pending else { return false };
        if piece.kind == ShapeKind::Point {
            return self.unkeyed(p, piece).is_some();
        }
        piece.kind == ShapeKind::Word
            && !p.row.raw
            && self.frame().table.find(piece.text).is_none()
            && self.key(p).is_some()
    }

    // --- beginning a clause -------------------------------------------------

    fn begin(&mut self, piece: Piece<'a>) {
        let table = self.frame().table;
        if piece.kind == ShapeKind::Word
            && let Some(row) = table.find(piece.text)
        {
            return self.start(row, piece.place, true);
        }
        if let Some(row) = table.bare
            && (row.raw
                || row
                    .parts
                    .first()
                    .is_some_and(|p| p.key.is_none() && p.take.begins_with(piece.kind)))
        {
            return self.start(row, piece.place, false);
        }
        if self.lost {
            self.c.next();
            return;
        }
        if piece.kind == ShapeKind::Word {
            return self.unknown(piece);
        }
        self.lost = true;
        self.unexpected(piece);
    }

    /// Begins a clause at the cursor; `word` is taken where the row has one.
    fn start(&mut self, row: &'static Row, head: Place, worded: bool) {
        let index = self.clauses.len() as u32;
        let first = if row.many || !worded { None } else { self.seen_before(row, index) };
        if worded {
            self.c.next();
        }
        let at = self.values.len() as u32;
        self.clauses.push(ClauseNode {
            row,
            head: (head.lo, head.hi),
            hi: head.hi,
            values: (at, at),
            end: index + 1,
            block: None,
            raw: (0, 0),
            poisoned: false,
        });
        self.c.known.row = Some(row);
        self.c.known.table = Some(self.frame().table);
        self.c.poisoned = false;
        self.pending = Some(Pending { clause: index, row, tried: 0, silent: false });
        if let Some(first) = first {
            self.said_twice(row, head, first);
        }
        if row.raw {
            self.raw_line(index);
        }
    }

    /// The earlier clause of the same row in this block, if that is a mistake.
    fn seen_before(&mut self, row: &'static Row, index: u32) -> Option<u32> {
        let last = self.frames.len() - 1;
        let seen = &mut self.frames[last].seen;
        match seen.iter().find(|(r, _)| std::ptr::eq(*r, row)) {
            Some(&(_, first)) => Some(first),
            None => {
                seen.push((row, index));
                None
            }
        }
    }

    fn said_twice(&mut self, row: &'static Row, head: Place, first: u32) {
        let earlier = &self.clauses[first as usize];
        let before = self.c.place(earlier.head.0, earlier.head.1);
        if earlier.poisoned {
            return;
        }
        let text = format!("`{}` is said twice in this {}.", row.word, self.frame().table.name);
        let finding =
            Finding::new(&codes::WORD_TWICE, head, text).related("first said here", before);
        self.c.report(finding.help("take one of them out."));
    }

    /// Keeps the rest of the line for a reader of its own.
    fn raw_line(&mut self, index: u32) {
        let from = self.c.at;
        while self.c.next().is_some() {}
        let clause = &mut self.clauses[index as usize];
        clause.raw = (from, self.c.at);
        clause.hi = self.c.tape[self.c.at as usize - 1].hi.max(clause.hi);
    }

    // --- the parts of the clause in hand -------------------------------------

    fn part_or_next(&mut self, piece: Piece<'a>) {
        let Some(p) = self.pending else { return };
        if let Some((index, words)) = self.key(p)
            && self.key_meant(p, piece, index, words)
        {
            return self.read_keyed(index, words, piece);
        }
        if let Some(index) = self.unkeyed(p, piece) {
            return self.read_part(index, piece.place);
        }
        let table = self.frame().table;
        if piece.kind == ShapeKind::Word && table.find(piece.text).is_some() {
            self.settle(false);
            return self.begin(piece);
        }
        if let Some((index, words)) = self.key(p) {
            return self.read_keyed(index, words, piece);
        }
        if let Some(bare) = table.bare
            && !bare.raw
            && bare.parts.first().is_some_and(|b| b.take.begins_with(piece.kind))
        {
            self.settle(false);
            return self.begin(piece);
        }
        if p.silent {
            self.c.next();
            return;
        }
        if piece.kind == ShapeKind::Op && matches!(piece.text, "=" | ":") {
            return self.skip_equals();
        }
        self.mistaken(p, piece);
    }

    /// The value without a key that must stand next and does not.
    fn due(&self, p: Pending) -> Option<usize> {
        p.row.parts.iter().enumerate().position(|(i, part)| {
            part.key.is_none() && part.need == Need::Must && p.tried & (1 << i) == 0
        })
    }

    /// The part whose key stands next and may still be read, and the number of
    /// words of its key.
    fn key(&self, p: Pending) -> Option<(usize, usize)> {
        let word = self.c.peek().filter(|w| w.kind == ShapeKind::Word)?.text;
        let open = |i: usize, part: &Part| part.need == Need::Many || p.tried & (1 << i) == 0;
        let keyed = || p.row.parts.iter().enumerate().filter(|(i, part)| open(*i, part));
        let double = keyed().find(|(_, part)| {
            part.key
                .and_then(|k| k.split_once(' '))
                .is_some_and(|(a, b)| a == word && self.c.peek_at(1).is_some_and(|n| n.text == b))
        });
        // Two parts may share a key and differ in shape: `at (17 m, 9 m)`, `at shed`.
        let single = || keyed().filter(|(_, part)| part.key == Some(word));
        let ahead = self.c.peek_at(1);
        let fits = |part: &Part| ahead.is_some_and(|n| part.take.begins_with(n.kind));
        double
            .map(|(i, _)| (i, 2))
            .or_else(|| single().find(|(_, part)| fits(part)).map(|(i, _)| (i, 1)))
            .or_else(|| single().next().map(|(i, _)| (i, 1)))
    }

    /// Whether the word is meant as the key and not as the name that is due or as
    /// the next clause: what follows must fit.
    fn key_meant(&self, p: Pending, piece: Piece<'a>, index: usize, words: usize) -> bool {
        let take = p.row.parts[index].take;
        let fits = matches!(take, Take::Flag)
            || self.c.peek_at(words).is_some_and(|n| take.begins_with(n.kind));
        let due = self.unkeyed(p, piece).is_some();
        let row = self.frame().table.find(piece.text).is_some();
        fits || !(due || row)
    }

    /// The part without a key that the shape is for.
    fn unkeyed(&self, p: Pending, piece: Piece<'a>) -> Option<usize> {
        let mut loose = None;
        for (i, part) in p.row.parts.iter().enumerate() {
            let open = part.need == Need::Many || p.tried & (1 << i) == 0;
            if part.key.is_some() || !open || !part.take.begins_with(piece.kind) {
                continue;
            }
            if self.fits(p, part, piece) {
                return Some(i);
            }
            if loose.is_none() && !p.silent && piece.kind == ShapeKind::Number {
                loose = Some(i);
            }
        }
        loose
    }

    /// Whether the shape fits the part closely: words and dimensions are looked at.
    fn fits(&self, p: Pending, part: &Part, piece: Piece<'a>) -> bool {
        match part.take {
            Take::Choice(words) => words.contains(&piece.text),
            Take::Name(_) | Take::Stock if piece.kind == ShapeKind::Word => {
                self.name_due(p, part, piece)
            }
            Take::Clock => piece.text.contains(':'),
            Take::Date => piece.text.matches('-').count() == 2,
            Take::Meter => piece.text.contains('/'),
            take if piece.kind == ShapeKind::Number && !take.dimensions().is_empty() => {
                self.c.dimension_ahead().is_some_and(|d| take.dimensions().contains(&d))
            }
            Take::Count | Take::Number => self.c.dimension_ahead().is_none() || !p.silent,
            _ => true,
        }
    }

    /// Whether a word is the name that is due and not the next clause. `bolt bolt`
    /// names a bolt; in `bolt  bushing nylon` the name is missing.
    fn name_due(&self, p: Pending, part: &Part, piece: Piece<'a>) -> bool {
        if p.silent {
            return false;
        }
        let table = self.frame().table;
        let means = |word: &str| table.find(word).is_some() || self.c.known.has(word);
        if !means(piece.text) {
            return true;
        }
        if part.need != Need::Must {
            return false;
        }
        let next = self.c.peek_at(1);
        next.is_none_or(|n| n.kind == ShapeKind::Word && means(n.text))
    }

    /// Whether this word is an open key of the clause in hand.
    pub(super) fn is_key(&self, word: &str) -> bool {
        self.c.is_word(word) && self.pending.is_some_and(|p| self.key(p).is_some())
    }

    fn read_keyed(&mut self, index: usize, words: usize, piece: Piece<'a>) {
        let Some(p) = self.pending else { return };
        let mut place = piece.place;
        for _ in 0..words {
            place = self.c.next().map_or(place, |k| piece.place.to(k.place));
        }
        let part = &p.row.parts[index];
        if matches!(part.take, Take::Flag) {
            self.keep(index, place, None, Datum::Flag);
            self.tried(index);
            return self.extend();
        }
        self.skip_equals();
        self.read_part(index, place);
    }

    /// `crank = 40 mm`: said once, read on.
    fn skip_equals(&mut self) {
        let Some(p) =
            self.c.peek().filter(|p| p.kind == ShapeKind::Op && matches!(p.text, "=" | ":"))
        else {
            return;
        };
        self.c.next();
        self.stray_mark(p.place);
        self.mark_poisoned();
    }

    fn tried(&mut self, index: usize) {
        if let Some(p) = &mut self.pending {
            p.tried |= 1 << index;
            p.silent = false;
        }
    }

    /// Reads one value of the clause in hand.
    fn read_part(&mut self, index: usize, before: Place) {
        let Some(p) = self.pending else { return };
        let part = &p.row.parts[index];
        self.tried(index);
        if self.no_value(part) {
            self.value_missing(part, before);
            return self.mark_poisoned();
        }
        let result: Result<(), Reported> = self.take(index, part);
        self.extend();
        if result.is_err() {
            self.mark_poisoned();
            if let Some(p) = &mut self.pending {
                p.silent = true;
            }
        }
        if self.c.poisoned {
            self.mark_poisoned();
        }
    }

    /// Whether instead of the value a word stands next that means something else.
    fn no_value(&self, part: &Part) -> bool {
        let Some(next) = self.c.peek() else { return true };
        let word = next.kind == ShapeKind::Word && self.c.known.has(next.text);
        match part.take {
            Take::Name(_) | Take::Stock => {
                word && self.pending.is_some_and(|p| part.key.is_some() && !self.key_value_due(p))
            }
            Take::Choice(words) => word && !words.contains(&next.text),
            _ => word,
        }
    }

    /// Behind a key: whether a known word is rather the name (`motor of crank`).
    fn key_value_due(&self, p: Pending) -> bool {
        let part = Part {
            need: Need::Must,
            ..Part { name: "", key: None, take: Take::Flag, need: Need::Must }
        };
        self.c.peek().is_some_and(|next| self.name_due(Pending { silent: false, ..p }, &part, next))
    }

    fn value_missing(&mut self, part: &Part, before: Place) {
        let text = format!("`{}` needs {}.", self.c.text_of(before), wanted(part));
        self.c.report(Finding::new(&codes::VALUE_MISSING, before, text));
    }

    /// Keeps the clause's values and end up to date.
    fn extend(&mut self) {
        let Some(p) = self.pending else { return };
        let (end, hi) = (self.values.len() as u32, self.c.tape[self.c.at as usize - 1].hi);
        let clause = &mut self.clauses[p.clause as usize];
        clause.values.1 = end;
        clause.hi = clause.hi.max(hi);
    }

    fn mark_poisoned(&mut self) {
        if let Some(p) = self.pending {
            self.clauses[p.clause as usize].poisoned = true;
        }
        self.c.poisoned = false;
    }

    // --- mistakes ------------------------------------------------------------

    /// A shape that the clause in hand does not take and that begins no other.
    fn mistaken(&mut self, p: Pending, piece: Piece<'a>) {
        let mark = matches!(piece.kind, ShapeKind::Unclosed | ShapeKind::Stray);
        match (piece.kind, self.due(p)) {
            (ShapeKind::Word, _) => self.misspelt(p, piece),
            (_, Some(index)) if !mark => self.read_part(index, piece.place),
            _ => {
                self.unexpected(piece);
                self.mark_poisoned();
                if !matches!(piece.kind, ShapeKind::Op)
                    && let Some(p) = &mut self.pending
                {
                    p.silent = true;
                }
            }
        }
    }

    /// A word behind the clause in hand that is no key and no word of the table.
    fn misspelt(&mut self, p: Pending, piece: Piece<'a>) {
        if let Some((i, _)) =
            p.row.parts.iter().enumerate().find(|(_, part)| part.key == Some(piece.text))
        {
            return self.key_twice(i, piece);
        }
        if let Some(i) = self.choice_due(p, piece) {
            return self.read_part(i, piece.place);
        }
        if self.half_key(p, piece) {
            return;
        }
        let keys = p.row.parts.iter().filter_map(|part| part.key);
        let table = self.frame().table;
        let rows = words_of(table);
        if let Some(near) = closest(piece.text, keys.chain(rows)) {
            self.did_you_mean(piece, near);
            self.mark_poisoned();
            let key = p.row.parts.iter().position(|part| part.key == Some(near));
            if let Some(index) = key.filter(|i| p.tried & (1 << i) == 0) {
                return self.read_keyed(index, 1, piece);
            }
            if let Some(row) = table.find(near) {
                self.settle(false);
                self.start(row, piece.place, true);
                return self.mark_poisoned();
            }
        } else if let Some(index) = self.due(p) {
            return self.read_part(index, piece.place);
        } else if self.needless_unit(piece) {
            return self.mark_poisoned();
        } else {
            self.no_such_word(piece, p.row, table);
            self.mark_poisoned();
        }
        self.c.next();
        if let Some(p) = &mut self.pending {
            p.silent = true;
        }
    }

    /// A unit behind a number that is counted, not measured.
    fn needless_unit(&mut self, piece: Piece<'a>) -> bool {
        let behind = self.c.at.checked_sub(1).map(|i| self.c.tape[i as usize]);
        let number = behind.filter(|s| s.kind == ShapeKind::Number);
        let (Some(number), Some(_)) = (number, unit_named(piece.text)) else { return false };
        self.c.next();
        let number = self.c.text_of(self.c.place(number.lo, number.hi));
        let text = format!("`{number}` takes no unit here.");
        let finding = Finding::new(&codes::UNIT_WRONG, piece.place, text);
        self.c.report(finding.fix("take it out", piece.place, ""));
        true
    }

    /// The first word of a key of two whose second is misspelt (`from beihnd`).
    fn half_key(&mut self, p: Pending, piece: Piece<'a>) -> bool {
        let Some(second) = self.c.peek_at(1).filter(|s| s.kind == ShapeKind::Word) else {
            return false;
        };
        let found = p.row.parts.iter().enumerate().find_map(|(i, part)| {
            let (first, rest) = part.key?.split_once(' ')?;
            let open = p.tried & (1 << i) == 0;
            (open && first == piece.text && closest(second.text, [rest]).is_some())
                .then_some((i, rest))
        });
        let Some((index, rest)) = found else { return false };
        self.did_you_mean(second, rest);
        self.mark_poisoned();
        self.read_keyed(index, 2, piece);
        true
    }

    /// A choice that is due and that the word was perhaps meant for.
    fn choice_due(&self, p: Pending, piece: Piece<'a>) -> Option<usize> {
        p.row.parts.iter().enumerate().position(|(i, part)| {
            let Take::Choice(words) = part.take else { return false };
            let open = part.key.is_none() && p.tried & (1 << i) == 0;
            open && (part.need == Need::Must
                || closest(piece.text, words.iter().copied()).is_some())
        })
    }

    fn key_twice(&mut self, index: usize, piece: Piece<'a>) {
        let Some(p) = self.pending else { return };
        let range = self.clauses[p.clause as usize].values;
        let before = self.values[range.0 as usize..range.1 as usize]
            .iter()
            .find(|v| v.part as usize == index)
            .map(|v| self.c.place(v.lo, v.hi));
        self.c.next();
        if let Some(before) = before {
            let text = format!("`{}` is said twice.", piece.text);
            let finding = Finding::new(&codes::WORD_TWICE, piece.place, text)
                .related("first said here", before);
            self.c.report(finding);
        }
        self.mark_poisoned();
        if let Some(p) = &mut self.pending {
            p.silent = true;
        }
    }

    fn did_you_mean(&mut self, piece: Piece<'a>, near: &str) {
        let finding = Finding::new(
            &codes::WORD_UNKNOWN,
            piece.place,
            format!("`{}` means nothing here.", shown(piece.text)),
        )
        .help(format!("did you mean `{near}`?"))
        .fix(format!("write `{near}`"), piece.place, near);
        self.c.report(finding);
    }

    fn no_such_word(&mut self, piece: Piece<'a>, row: &Row, table: &Table) {
        let text = shown(piece.text);
        let keys: Vec<&str> = row.parts.iter().filter_map(|p| p.key).collect();
        let finding = Finding::new(
            &codes::WORD_UNKNOWN,
            piece.place,
            format!("`{text}` means nothing behind `{}`.", row.word),
        );
        let finding = if keys.is_empty() {
            finding.help(format!(
                "words of a {}: {}.",
                table.name,
                list_of(words_of(table), "and", 40)
            ))
        } else {
            finding.help(format!("`{}` takes {}.", row.word, list_of(keys, "and", 20)))
        };
        self.c.report(finding);
    }

    /// A word at the start of a clause that the block does not know.
    fn unknown(&mut self, piece: Piece<'a>) {
        let table = self.frame().table;
        if let Some(near) = closest(piece.text, words_of(table))
            && let Some(row) = table.find(near)
        {
            self.did_you_mean(piece, near);
            self.start(row, piece.place, true);
            return self.mark_poisoned();
        }
        let text = format!("`{}` is no word of a {}.", shown(piece.text), table.name);
        let finding = Finding::new(&codes::WORD_UNKNOWN, piece.place, text);
        self.c.report(finding.help(format!("it knows {}.", list_of(words_of(table), "and", 40))));
        self.lost = true;
        self.c.next();
    }

    /// A shape that nothing takes.
    fn unexpected(&mut self, piece: Piece<'a>) {
        match piece.kind {
            ShapeKind::Op | ShapeKind::Junk => {
                let run = self.c.run();
                self.c.skip_run();
                self.stray_mark(run.map_or(piece.place, |r| r.place));
            }
            ShapeKind::Unclosed => {
                self.c.next();
                self.c.report(super::cursor::quote_missing(piece.place));
            }
            ShapeKind::Stray => {
                self.c.skip_run();
                let text = format!("this `{}` closes nothing.", piece.text);
                self.c.report(Finding::new(&codes::MARK_STRAY, piece.place, text));
            }
            _ => {
                let run = self.c.run().map_or(piece.place, |r| r.place);
                self.c.skip_run();
                let text = format!("`{}` belongs to no word.", self.c.text_of(run));
                let finding = Finding::new(&codes::VALUE_EXTRA, run, text);
                let finding = match self.pending {
                    Some(p) => finding.help(takes(p.row)),
                    None => finding,
                };
                self.c.report(finding);
            }
        }
    }

    fn stray_mark(&mut self, place: Place) {
        let text = format!(
            "`{}` means nothing here; nothing stands between words and values.",
            self.c.text_of(place)
        );
        let finding = Finding::new(&codes::MARK_STRAY, place, text);
        self.c.report(finding.fix("take it out", place, ""));
    }

    // --- blocks ----------------------------------------------------------------

    /// Ends the clause in hand and checks that nothing it needs is missing.
    fn settle(&mut self, with_block: bool) {
        let Some(p) = self.pending.take() else { return };
        self.lost = p.silent;
        if self.c.poisoned {
            self.clauses[p.clause as usize].poisoned = true;
            self.c.poisoned = false;
        }
        if self.clauses[p.clause as usize].poisoned || p.row.raw {
            return;
        }
        let head = self.clauses[p.clause as usize].head;
        let place = self.c.place(head.0, head.1);
        let missing = p
            .row
            .parts
            .iter()
            .enumerate()
            .find(|(i, part)| part.need == Need::Must && p.tried & (1 << i) == 0);
        if let Some((_, part)) = missing {
            self.value_missing(part, place);
            self.clauses[p.clause as usize].poisoned = true;
        } else if !with_block && matches!(p.row.block, BlockRule::Must(_)) {
            let text = format!("`{}` needs a block {{ … }}.", p.row.word);
            self.c.report(Finding::new(&codes::BLOCK_MISSING, place, text));
            self.clauses[p.clause as usize].poisoned = true;
        }
        self.c.poisoned = false;
    }

    /// Enters a block of the tape; false where it is stepped over.
    fn enter(&mut self, node: u32) -> bool {
        let shape = self.c.tape[node as usize];
        let brace = (shape.lo, shape.lo + 1);
        let Some(p) = self.pending else {
            if !self.lost {
                let text = "this block belongs to no word.";
                self.c.report(Finding::new(
                    &codes::BLOCK_NOT_HERE,
                    self.c.place(brace.0, brace.1),
                    text,
                ));
            }
            return false;
        };
        let Some(table) = self.block_table(p) else {
            if !self.clauses[p.clause as usize].poisoned {
                let text = format!("`{}` takes no block.", p.row.word);
                self.c.report(Finding::new(
                    &codes::BLOCK_NOT_HERE,
                    self.c.place(brace.0, brace.1),
                    text,
                ));
                self.mark_poisoned();
            }
            self.settle(true);
            return false;
        };
        self.settle(true);
        self.lost = false;
        self.frames.push(Frame { table, owner: Some(p.clause), brace, seen: Vec::new() });
        true
    }

    /// The table of the block behind the clause in hand.
    fn block_table(&self, p: Pending) -> Option<&'static Table> {
        match p.row.block {
            BlockRule::None => None,
            BlockRule::May(table) | BlockRule::Must(table) => Some(table),
            BlockRule::ByChoice(part, tables) => {
                let index = p.row.parts.iter().position(|q| q.name == part)?;
                let Take::Choice(words) = p.row.parts[index].take else { return None };
                let range = self.clauses[p.clause as usize].values;
                let chosen =
                    self.values[range.0 as usize..range.1 as usize].iter().find_map(|v| match v
                        .datum
                    {
                        Datum::Choice(i) if v.part as usize == index => words.get(i as usize),
                        _ => None,
                    })?;
                tables.iter().find(|(word, _)| word == chosen).map(|(_, t)| *t)
            }
        }
    }

    /// Leaves a block of the tape: its `}` closes the innermost open block.
    fn leave(&mut self, node: u32) {
        self.settle(false);
        self.lost = false;
        let shape = self.c.tape[node as usize];
        let last = self.c.tape[shape.end as usize - 1];
        let open = last.kind == ShapeKind::Unclosed && last.lo == shape.hi && last.hi == shape.hi;
        if self.frames.len() < 2 {
            return;
        }
        if open {
            let frame = self.frame();
            let place = self.c.place(frame.brace.0, frame.brace.1);
            let word = frame.owner.map_or("", |o| self.clauses[o as usize].row.word);
            let text = format!("the block of `{word}` that opens here is never closed.");
            let finding = Finding::new(&codes::BRACE_MISSING, place, text);
            let end = self.c.place(shape.hi, shape.hi);
            self.c.report(finding.fix("close it", end, "\n}"));
        }
        self.close((shape.hi.saturating_sub(u32::from(!open)), shape.hi));
    }

    /// Closes the innermost open block; `brace` is where its `}` stands.
    fn close(&mut self, brace: (u32, u32)) {
        let Some(frame) = self.frames.pop() else { return };
        let end = self.clauses.len() as u32;
        if let Some(owner) = frame.owner {
            let clause = &mut self.clauses[owner as usize];
            clause.end = end;
            clause.hi = brace.1;
            clause.block = Some((frame.brace.0, brace.1));
        }
        self.closed = Some((frame, self.c.place(brace.0, brace.1)));
    }

    fn stray_brace(&mut self, place: Place, again: bool) {
        self.settle(false);
        if self.frames.len() > 1 {
            return self.close((place.lo, place.hi));
        }
        if again {
            // One finding for a row of them.
            return;
        }
        self.c.report(Finding::new(&codes::BRACE_EXTRA, place, "this `}` closes nothing."));
        self.c.poisoned = false;
    }

    /// A line that begins with a word of an outer block: a `}` is missing before
    /// it, or the word stands in the wrong block. True where the statement is done.
    fn misplaced(&mut self, piece: Piece<'a>, end: u32) -> bool {
        if piece.kind != ShapeKind::Word || self.frame().table.find(piece.text).is_some() {
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
        if self.frames.len() == 1 {
            self.reopen(piece);
            return false;
        }
        let depth = self.frames.len();
        let Some(outer) =
            (0..depth - 1).rev().find(|i| self.frames[*i].table.find(piece.text).is_some())
        else {
            return false;
        };
        self.settle(false);
        if self.next_line_is_inner(end, outer) {
            let text = format!(
                "`{}` is a word of the {}, not of a {}.",
                piece.text,
                self.frames[outer].table.name,
                self.frame().table.name
            );
            self.c.report(Finding::new(&codes::WORD_ELSEWHERE, piece.place, text));
            self.c.poisoned = false;
            return true;
        }
        while self.frames.len() > outer + 1 {
            let frame = self.frame();
            let brace = self.c.place(frame.brace.0, frame.brace.1);
            let word = frame.owner.map_or("", |o| self.clauses[o as usize].row.word);
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

    /// Whether the statement behind this one begins with a word that only the
    /// inner block knows: then this one is merely in the wrong place.
    fn next_line_is_inner(&self, end: u32, outer: usize) -> bool {
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
            && self.frames[outer].table.find(word).is_none()
    }

    /// At the top: a word of the block that was closed last means that its `}` was
    /// one too many.
    fn reopen(&mut self, piece: Piece<'a>) {
        let fits = self.closed.as_ref().is_some_and(|(f, _)| f.table.find(piece.text).is_some());
        if !fits {
            return;
        }
        let Some((frame, place)) = self.closed.take() else { return };
        self.settle(false);
        let text = format!("this `}}` is one too many: `{}` goes on with the block.", piece.text);
        self.c.report(Finding::new(&codes::BRACE_EXTRA, place, text).fix("take it out", place, ""));
        self.c.poisoned = false;
        self.frames.push(frame);
    }
}

fn words_of(table: &Table) -> impl Iterator<Item = &'static str> {
    table.rows.iter().map(|r| r.word)
}

/// What a part wants, with an example: "a length, such as 30 mm".
fn wanted(part: &Part) -> String {
    let dims = part.take.dimensions();
    let name = part.key.map_or_else(|| part.name.to_owned(), |k| format!("`{k}`"));
    let what = match part.take {
        Take::Point | Take::OpenPoint => "a point, such as (150, 880) mm".to_owned(),
        Take::Points => "points, such as (0, 0) (620, 0) mm".to_owned(),
        Take::Range(d, _) => format!(
            "a range from one value to another, such as {0} to …",
            super::quantity::example_of(d)
        ),
        Take::Holes => "a row of holes, such as 30 to 60 mm by 10 mm".to_owned(),
        Take::Number => "a number".to_owned(),
        Take::Count => "a whole number".to_owned(),
        Take::Name(what) => format!("the name of a {what}"),
        Take::Choice(words) => format!("one of {}", list_of(words.iter().copied(), "or", 12)),
        Take::Text => "a text in quotes".to_owned(),
        Take::Stock => "the name of a stock part, such as M8".to_owned(),
        Take::Meter => "a meter, such as 6/8".to_owned(),
        Take::Clock => "a time, such as 21:30".to_owned(),
        Take::Date => "a date, such as 2027-10-22".to_owned(),
        Take::Coordinates => "a place, such as 51.8 deg -2.3 deg".to_owned(),
        _ => match dims.first() {
            Some(d) => format!(
                "{}, such as {}",
                super::quantity::titles(dims),
                super::quantity::example_of(*d)
            ),
            None => "nothing more".to_owned(),
        },
    };
    format!("{what} ({name})")
}

/// "`bolt` takes one value: size".
fn takes(row: &Row) -> String {
    let parts: Vec<&str> = row.parts.iter().map(|p| p.key.unwrap_or(p.name)).collect();
    if parts.is_empty() {
        format!("`{}` takes no value.", row.word)
    } else {
        format!("`{}` takes {}.", row.word, list_of(parts, "and", 20))
    }
}

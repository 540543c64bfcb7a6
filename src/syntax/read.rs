//! The reader: shapes and word tables to clauses.
//!
//! It walks once along the tape. A frame per open block knows the block's table;
//! the clause in hand takes keys and values until another word of the table
//! begins the next one. A misspelt word is read as the word it was meant to be;
//! after a value that cannot be read the reader goes on at the next word it knows
//! and stays silent until then.

use std::cell::Cell;
use std::sync::Arc;

mod blocks;
mod mistakes;

use super::codes;
use super::cursor::{Cursor, Piece, Reported};
use super::reading::{Clause, ClauseNode, Datum, Open, Reading, Value};
use super::shapes::shapes_onto;
use super::words::{BlockRule, Need, Part, Row, Table, Take};
use super::{ShapeKind, Tape};
use crate::finding::{Finding, ItemId, Place};
use crate::source;
use crate::units::Unit;

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
        let help = "no word needs so many: look for a `}` that is missing before this place.";
        findings.push(Finding::new(&codes::BRACES_TOO_DEEP, place, text_of).help(help));
        return empty(item, text);
    }
    let (mut tape, desk) = DESK.take();
    shapes_onto(&mut tape, &text);
    let mut reader = Reader::new(item, &text, &tape, table, desk);
    reader.run();
    let mut found = std::mem::take(&mut reader.c.findings);
    let mut desk = reader.desk;
    desk.make_room(text.len() + size_of_val(&*desk.clauses) + size_of_val(&*desk.values));
    // Only lines with a reader of their own look at shapes again.
    let raw = desk.clauses.iter().any(|c| c.row.raw);
    let reading = Reading {
        item,
        clauses: desk.clauses.as_slice().into(),
        values: desk.values.as_slice().into(),
        opens: desk.opens.as_slice().into(),
        tape: if raw { tape.as_slice().into() } else { Box::default() },
        text,
    };
    if tape.capacity() <= LARGEST_DESK {
        DESK.set((tape, desk.cleared()));
    }
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
        clauses: Box::default(),
        values: Box::default(),
        opens: Box::default(),
        tape: Box::default(),
    }
}

thread_local! {
    /// The tape and the desk of a thread, kept from item to item: of an item only
    /// what stays is allocated, once and at its size.
    static DESK: Cell<(Tape, Desk)> = Cell::default();
}

/// The most shapes for which a desk is kept; what one huge item needed is given back.
const LARGEST_DESK: usize = 1 << 16;

/// What the reader writes on while it reads an item.
#[derive(Default)]
struct Desk {
    clauses: Vec<ClauseNode>,
    values: Vec<Value>,
    opens: Vec<Open>,
    frames: Vec<Frame>,
    /// Clauses that may stand once, by row, for each open block in turn.
    seen: Vec<(&'static Row, u32)>,
    /// Bytes of the heap that were last made room for and are not taken yet.
    room: usize,
}

/// How much room is made on the heap at once: below the 128 kB from which glibc
/// maps and gives back memory piece by piece.
const ROOM: usize = 96 << 10;

impl Desk {
    /// Makes room on the heap for what is kept of the next items. The heap of a thread
    /// that is not the first grows in glibc by no more than each request lacks, a
    /// call into the kernel for every few pages, for which all threads wait. One
    /// large request that is given back at once makes it grow by that much.
    fn make_room(&mut self, bytes: usize) {
        if self.room < bytes {
            drop(std::hint::black_box(Vec::<u8>::with_capacity(ROOM)));
            self.room = ROOM;
        }
        self.room = self.room.saturating_sub(bytes);
    }

    fn cleared(mut self) -> Self {
        self.clauses.clear();
        self.values.clear();
        self.opens.clear();
        self.frames.clear();
        self.seen.clear();
        self
    }
}

/// An open block.
#[derive(Clone, Copy)]
struct Frame {
    table: &'static Table,
    /// The clause it belongs to; none for the item itself.
    owner: Option<u32>,
    /// Its opening brace.
    brace: (u32, u32),
    /// Where its clauses begin in the desk's `seen`.
    seen: usize,
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

impl Pending {
    /// The word that stands before the first point that is still wanted, where it has one.
    fn point_key(&self) -> Option<&'static str> {
        let open = |i: usize| self.tried & (1 << i) == 0;
        let wanted = self.row.parts.iter().enumerate().find(|(i, p)| {
            open(*i) && matches!(p.take, Take::Point | Take::OpenPoint | Take::Points)
        });
        wanted.and_then(|(_, part)| part.key)
    }
}

/// The reader of one item.
pub(super) struct Reader<'a> {
    pub(super) c: Cursor<'a>,
    desk: Desk,
    pending: Option<Pending>,
    /// The block that a `}` closed last, for a `}` too many.
    closed: Option<(Frame, Place)>,
    /// Silent although no clause is in hand.
    lost: bool,
}

impl<'a> Reader<'a> {
    fn new(
        item: ItemId,
        text: &'a str,
        tape: &'a Tape,
        table: &'static Table,
        mut desk: Desk,
    ) -> Self {
        desk.frames.push(Frame { table, owner: None, brace: (0, 0), seen: 0 });
        Self {
            c: Cursor::over(item, text, tape, 0, tape.len() as u32),
            desk,
            pending: None,
            closed: None,
            lost: false,
        }
    }

    fn frame(&self) -> &Frame {
        // The item's own frame is never taken off.
        &self.desk.frames[self.desk.frames.len() - 1]
    }

    /// The row of a word in the innermost block.
    fn meaning(&self, piece: Piece<'a>) -> Option<&'static Row> {
        self.c.row_in(self.frame().table, piece.text)
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
        while self.desk.frames.len() > 1 {
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
                self.c.skip();
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
            && self.meaning(piece).is_none()
            && self.key(p).is_some()
    }

    // --- beginning a clause -------------------------------------------------

    fn begin(&mut self, piece: Piece<'a>) {
        let table = self.frame().table;
        if piece.kind == ShapeKind::Word
            && let Some(row) = self.meaning(piece)
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
            self.c.skip();
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
        let index = self.desk.clauses.len() as u32;
        let first = if row.many || !worded { None } else { self.seen_before(row, index) };
        if worded {
            self.c.skip();
        }
        let at = self.desk.values.len() as u32;
        self.desk.clauses.push(ClauseNode {
            row,
            head: (head.lo, head.hi),
            hi: head.hi,
            holds: (at, at),
            end: index + 1,
            brace: None,
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

    /// Whether a word that may stand once stands in this block: one misspelt like it is
    /// read as no second one.
    fn stands(&self, row: &Row) -> bool {
        self.earlier(row).is_some()
    }

    fn earlier(&self, row: &Row) -> Option<u32> {
        let seen = &self.desk.seen[self.frame().seen..];
        seen.iter().find(|(r, _)| std::ptr::eq(*r, row)).map(|(_, first)| *first)
    }

    /// The earlier clause of the same row in this block, if that is a mistake.
    fn seen_before(&mut self, row: &'static Row, index: u32) -> Option<u32> {
        let first = self.earlier(row);
        if first.is_none() {
            self.desk.seen.push((row, index));
        }
        first
    }

    fn said_twice(&mut self, row: &'static Row, head: Place, first: u32) {
        let earlier = &self.desk.clauses[first as usize];
        let before = self.c.place(earlier.head.0, earlier.head.1);
        if earlier.poisoned {
            return;
        }
        let text = format!("`{}` is said twice in this {}.", row.word, self.frame().table.name);
        let finding =
            Finding::new(&codes::WORD_TWICE, head, text).related("first said here", before);
        self.c.report(finding.help("take one of them out."));
    }

    /// Keeps the rest of the line for a reader of its own: up to the next word of the
    /// block, where the clause is one of several that may share a line.
    fn raw_line(&mut self, index: u32) {
        let from = self.c.at;
        let row = self.desk.clauses[index as usize].row;
        let shares = !row.word.is_empty() && matches!(row.block, BlockRule::None);
        let mut behind = 0;
        while let Some(piece) = self.c.peek() {
            if shares && piece.kind == ShapeKind::Word && self.meaning(piece).is_some() {
                break;
            }
            self.c.next();
            behind = piece.place.hi;
        }
        let clause = &mut self.desk.clauses[index as usize];
        clause.holds = (from, self.c.at);
        clause.hi = clause.hi.max(behind);
    }

    // --- the parts of the clause in hand -------------------------------------

    fn part_or_next(&mut self, piece: Piece<'a>) {
        let Some(p) = self.pending else { return };
        let key = self.key(p);
        if let Some((index, words)) = key
            && self.key_meant(p, piece, index, words)
        {
            return self.read_keyed(index, words, piece);
        }
        if let Some(index) = self.unkeyed(p, piece) {
            return self.read_part(index, piece.place);
        }
        let table = self.frame().table;
        if piece.kind == ShapeKind::Word && self.meaning(piece).is_some() {
            self.settle(false);
            return self.begin(piece);
        }
        if let Some((index, words)) = key {
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
            self.c.skip();
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
        let word = self.c.peek_if(ShapeKind::Word)?.text;
        let mut single = None;
        for (i, part) in p.row.parts.iter().enumerate() {
            let open = part.need == Need::Many || p.tried & (1 << i) == 0;
            let Some(rest) = part.key.filter(|_| open).and_then(|k| k.strip_prefix(word)) else {
                continue;
            };
            let ahead = self.c.peek_at(1);
            if rest.is_empty() {
                // Two parts may share a key and differ in shape: `at (17 m, 9 m)`, `at shed`.
                let fits = ahead.is_some_and(|n| part.take.begins_with(n.kind));
                if single.is_none_or(|(_, fitted): (usize, bool)| fits && !fitted) {
                    single = Some((i, fits));
                }
            } else if let Some(second) = rest.strip_prefix(' ')
                && ahead.is_some_and(|n| n.text == second)
            {
                return Some((i, 2));
            }
        }
        single.map(|(i, _)| (i, 1))
    }

    /// Whether the word is meant as the key and not as the name that is due or as
    /// the next clause: what follows must fit.
    fn key_meant(&self, p: Pending, piece: Piece<'a>, index: usize, words: usize) -> bool {
        let take = p.row.parts[index].take;
        let fits = matches!(take, Take::Flag)
            || self.c.peek_at(words).is_some_and(|n| take.begins_with(n.kind));
        fits || (self.unkeyed(p, piece).is_none() && self.meaning(piece).is_none())
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
            Take::Clock => piece.is_clock(),
            Take::Date => piece.text.matches('-').count() == 2,
            Take::Meter => piece.text.contains('/'),
            take if piece.kind == ShapeKind::Number && !take.dimensions().is_empty() => {
                let one = matches!(take, Take::Quantity(..) | Take::OneOf(..));
                let alone = one && part.need != Need::Many && self.c.numbers_in_a_row();
                let ahead = self.c.dimension_ahead();
                !alone && ahead.is_some_and(|d| take.dimensions().contains(&d))
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
        let means = |word| self.c.row_in(table, word).is_some() || self.c.knows(word);
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
        let Some(p) = self.c.peek_if(ShapeKind::Op).filter(|p| matches!(p.text, "=" | ":")) else {
            return;
        };
        self.c.skip();
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
        let word = next.kind == ShapeKind::Word && self.c.knows(next.text);
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
        let text = format!("`{}` needs {}.", self.c.text_of(before), mistakes::wanted(part));
        let help = match part.key {
            Some(key) => format!("write `{key}` behind it, and what is needed."),
            None => "write it right behind that word.".to_owned(),
        };
        self.c.report(Finding::new(&codes::VALUE_MISSING, before, text).help(help));
    }

    /// The values of the clause in hand so far.
    fn values_of(&self, p: Pending) -> &[Value] {
        &self.desk.values[self.desk.clauses[p.clause as usize].values()]
    }

    /// Keeps a value of the clause in hand.
    pub(super) fn keep(
        &mut self,
        part: usize,
        place: Place,
        unit: Option<&'static Unit>,
        datum: Datum,
    ) {
        self.desk.values.push(Value::new(part, place, unit, datum));
    }

    /// Keeps what was said of an open size or point.
    pub(super) fn keep_open(
        &mut self,
        part: usize,
        place: Place,
        unit: Option<&'static Unit>,
        open: Open,
    ) {
        if open == Open::asked_at(place.lo, place.hi) {
            return self.keep(part, place, unit, Datum::Asked);
        }
        let at = self.desk.opens.len() as u32;
        self.desk.opens.push(open);
        self.keep(part, place, unit, Datum::Open(at));
    }

    /// Keeps the clause's values and end up to date.
    fn extend(&mut self) {
        let Some(p) = self.pending else { return };
        let (end, hi) = (self.desk.values.len() as u32, self.c.tape[self.c.at as usize - 1].hi);
        let clause = &mut self.desk.clauses[p.clause as usize];
        clause.holds.1 = end;
        // Behind a point the last shape is its second number; its value ends at `)`.
        let value = self.desk.values.last().map_or(0, |v| v.hi);
        clause.hi = clause.hi.max(hi).max(value);
    }

    fn mark_poisoned(&mut self) {
        if let Some(p) = self.pending {
            self.desk.clauses[p.clause as usize].poisoned = true;
        }
        self.c.poisoned = false;
    }
}

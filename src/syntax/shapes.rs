//! Text to shapes: the grammar's tokens taken apart and laid out on a tape.

use pest::Parser;
use pest::Token;

use super::{Shape, ShapeKind, Tape};
use grammar::{Rule, Yard};

/// The parser that is made from `grammar/yard.pest`; nothing outside this file
/// sees it.
#[allow(missing_docs)]
mod grammar {
    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/yard.pest"]
    pub struct Yard;
}

/// The shapes of one item. Never fails; the caller has refused texts whose braces
/// are nested too deep ([`crate::source::too_deep`]).
#[must_use]
pub fn shapes(text: &str) -> Tape {
    let mut tape = Tape::new();
    shapes_onto(&mut tape, text);
    tape
}

/// [`shapes`] onto a tape whose room is used again.
pub(super) fn shapes_onto(tape: &mut Tape, text: &str) {
    let mut filler = Filler::new(tape, text);
    // The grammar matches every text; a mistake in it would leave the tape empty,
    // which the tests of this file would show.
    let Ok(pairs) = Yard::parse(Rule::item, text) else { return };
    let mut lo = 0;
    for token in pairs.tokens() {
        match token {
            Token::Start { rule, pos } => {
                lo = pos.pos();
                if rule == Rule::block {
                    filler.open_block(lo);
                }
            }
            Token::End { rule, pos } => filler.close(rule, lo, pos.pos()),
        }
    }
    filler.finish();
}

/// The tape as it fills.
struct Filler<'a> {
    bytes: &'a [u8],
    tape: &'a mut Tape,
    /// Blocks that are open: index of each.
    blocks: Vec<usize>,
    /// The open statement.
    statement: Option<usize>,
    /// A line ended; the next shape says whether the statement did.
    line_ended: bool,
}

impl<'a> Filler<'a> {
    fn new(tape: &'a mut Tape, text: &'a str) -> Self {
        let bytes = text.as_bytes();
        tape.clear();
        tape.reserve(text.len() / 4 + 4);
        let whole = Shape { lo: 0, hi: bytes.len() as u32, end: 0, kind: ShapeKind::Statement };
        tape.push(whole);
        Self { bytes, tape, blocks: Vec::new(), statement: None, line_ended: false }
    }

    fn finish(mut self) {
        self.end_statement();
        self.tape[0].end = self.tape.len() as u32;
    }

    fn push(&mut self, lo: usize, hi: usize, kind: ShapeKind) {
        let end = self.tape.len() as u32 + 1;
        self.tape.push(Shape { lo: lo as u32, hi: hi as u32, end, kind });
    }

    /// Opens a statement for the shape at `lo` where none is open.
    fn in_statement(&mut self, lo: usize, goes_on: bool) {
        if self.line_ended && !goes_on {
            self.end_statement();
        }
        self.line_ended = false;
        if self.statement.is_none() {
            self.statement = Some(self.tape.len());
            self.push(lo, lo, ShapeKind::Statement);
        }
    }

    fn end_statement(&mut self) {
        if let Some(at) = self.statement.take() {
            let hi = self.tape[self.tape.len() - 1].hi.max(self.tape[at].hi);
            self.tape[at].hi = hi;
            self.tape[at].end = self.tape.len() as u32;
        }
    }

    fn open_block(&mut self, lo: usize) {
        self.in_statement(lo, true);
        self.blocks.push(self.tape.len());
        self.push(lo, lo, ShapeKind::Block);
        // Its statement is the node in front of its own first one; it is found
        // again when the block closes.
        self.outer();
    }

    /// Remembers the block's statement under the block's own node.
    fn outer(&mut self) {
        if let (Some(block), Some(statement)) = (self.blocks.last(), self.statement.take()) {
            // Until the block closes its `end` holds its statement.
            self.tape[*block].end = statement as u32;
        }
    }

    fn close(&mut self, rule: Rule, lo: usize, hi: usize) {
        match rule {
            Rule::chunk | Rule::run => self.run(lo, hi),
            Rule::newline => self.line_ended = true,
            Rule::block => self.close_block(hi),
            Rule::unclosed => {
                self.end_statement();
                self.push(lo, lo, ShapeKind::Unclosed);
            }
            Rule::stray_brace => {
                self.end_statement();
                self.line_ended = false;
                self.push(lo, hi, ShapeKind::Stray);
            }
            Rule::text => self.single(lo, hi, ShapeKind::Text),
            Rule::quote => self.single(lo, hi, ShapeKind::Unclosed),
            Rule::other => self.single(lo, hi, ShapeKind::Junk),
            _ => {}
        }
    }

    /// Takes a run apart, or the lines of a chunk, whose first and last may be parts
    /// of theirs.
    fn run(&mut self, lo: usize, hi: usize) {
        let mut scan = Scan { bytes: &self.bytes[..hi], at: lo };
        let mut fresh = true;
        while let Some(first) = scan.first() {
            if first == b'\n' {
                (self.line_ended, fresh) = (true, true);
                scan.at += 1;
                continue;
            }
            if fresh {
                self.in_statement(scan.at, first == b'(');
                fresh = false;
            }
            let index = self.tape.len();
            if first == b'(' {
                let end = point_end(scan.bytes, scan.at);
                self.push(scan.at, end, ShapeKind::Point);
                open_point(self.bytes, self.tape, index);
                scan.at = end;
            } else {
                self.tape.push(scan.shape(first, index as u32));
            }
        }
    }

    fn single(&mut self, lo: usize, hi: usize, kind: ShapeKind) {
        self.in_statement(lo, false);
        self.push(lo, hi, kind);
    }

    fn close_block(&mut self, hi: usize) {
        self.end_statement();
        self.line_ended = false;
        let Some(at) = self.blocks.pop() else { return };
        self.statement = Some(self.tape[at].end as usize);
        self.tape[at].hi = hi as u32;
        self.tape[at].end = self.tape.len() as u32;
        if let Some(statement) = self.statement {
            self.tape[statement].hi = hi as u32;
        }
        self.end_statement();
    }
}

/// One past the point that opens at `at`: its `)`, or what ends it without one.
fn point_end(bytes: &[u8], at: usize) -> usize {
    let found = bytes[at + 1..].iter().position(|b| matches!(b, b'(' | b')' | b'\n'));
    match found.map(|n| at + 1 + n) {
        Some(end) if bytes[end] == b')' => end + 1,
        Some(end) => end,
        None => bytes.len(),
    }
}

/// Finds the shapes inside `( … )`. Where the closing mark is missing the point
/// ends behind its second number (with its unit), and the rest of the line is
/// read as if it stood outside.
fn open_point(bytes: &[u8], tape: &mut Tape, at: usize) {
    let (lo, hi) = (tape[at].lo as usize, tape[at].hi as usize);
    let closed = bytes[hi - 1] == b')';
    let mut inside = Scan { bytes: &bytes[..hi - usize::from(closed)], at: lo + 1 };
    let (mut comma, mut numbers, mut spoken) = (false, 0, false);
    loop {
        let before = inside.at;
        let Some(shape) = inside.next(tape.len() as u32) else { break };
        if !closed {
            let word = shape.kind == ShapeKind::Word;
            let full = comma && numbers > 0;
            let next = match shape.kind {
                ShapeKind::Number => {
                    full && !is_fraction(&bytes[shape.lo as usize..shape.hi as usize])
                }
                ShapeKind::Word => {
                    spoken || (full && !is_length(&bytes[shape.lo as usize..shape.hi as usize]))
                }
                _ => full,
            };
            if next || (!comma && spoken && word) {
                inside.at = before;
                break;
            }
            spoken = word;
        }
        match shape.kind {
            ShapeKind::Op if bytes[shape.lo as usize] == b',' => {
                (comma, numbers, spoken) = (true, 0, false);
            }
            ShapeKind::Number => numbers += 1,
            _ => {}
        }
        tape.push(shape);
    }
    if !closed {
        let end = tape[at + 1..].last().map_or(lo + 1, |s| s.hi as usize) as u32;
        tape.push(Shape {
            lo: end,
            hi: end,
            end: tape.len() as u32 + 1,
            kind: ShapeKind::Unclosed,
        });
        tape[at].hi = end;
    }
    tape[at].end = tape.len() as u32;
    if !closed {
        while let Some(shape) = inside.next(tape.len() as u32) {
            tape.push(shape);
        }
    }
}

/// Whether a number is the `1/2` of `3 1/2`.
fn is_fraction(number: &[u8]) -> bool {
    number[0].is_ascii_digit() && number.contains(&b'/') && !number.contains(&b'-')
}

fn is_length(word: &[u8]) -> bool {
    std::str::from_utf8(word)
        .ok()
        .and_then(crate::units::find_unit)
        .is_some_and(|u| u.dimension == crate::units::Dimension::Length)
}

/// What a byte can be part of, one bit each.
const BLANK: u8 = 1;
const IN_NUMBER: u8 = 2;
const IN_WORD: u8 = 4;
const LETTER: u8 = 8;
const DIGIT: u8 = 16;
const BEYOND: u8 = 32;

/// The bits of every byte. Bytes of characters beyond ASCII are letters and may stand
/// in words, but for the wide blanks among them, which are looked for.
const BYTES: [u8; 256] = {
    let mut table = [0; 256];
    let mut b = 0;
    while b < 256 {
        let c = b as u8;
        if matches!(c, b' ' | b'\t' | b'\r') {
            table[b] |= BLANK;
        }
        if matches!(c, b'-'..=b':') {
            table[b] |= IN_NUMBER;
        }
        if c.is_ascii_digit() {
            table[b] |= DIGIT;
        }
        if c.is_ascii_alphabetic() || c == b'_' {
            table[b] |= LETTER | IN_WORD;
        }
        if c >= 0x80 {
            table[b] |= LETTER | BEYOND;
        }
        if matches!(c, b'-'..=b'9') {
            table[b] |= IN_WORD;
        }
        b += 1;
    }
    table
};

/// Takes a run or the inside of a point apart into numbers, words and marks.
struct Scan<'a> {
    /// The text up to where the scan ends.
    bytes: &'a [u8],
    at: usize,
}

impl Scan<'_> {
    fn is(&self, at: usize, bits: u8) -> bool {
        self.bytes.get(at).is_some_and(|b| BYTES[*b as usize] & bits != 0)
    }

    /// Steps over all bytes that have one of these bits.
    fn pass(&mut self, bits: u8) {
        let rest = &self.bytes[self.at..];
        let other = rest.iter().position(|b| BYTES[*b as usize] & bits == 0);
        self.at += other.unwrap_or(rest.len());
    }

    /// Steps over blanks; the byte behind them.
    fn first(&mut self) -> Option<u8> {
        loop {
            self.pass(BLANK);
            match self.wide_blank() {
                0 => return self.bytes.get(self.at).copied(),
                wide => self.at += wide,
            }
        }
    }

    fn wide_blank(&self) -> usize {
        let beyond = self.bytes.get(self.at).is_some_and(|b| *b >= 0x80);
        if beyond { wide_blank(&self.bytes[self.at..]) } else { 0 }
    }

    /// The next shape, whose place on the tape is `index`.
    fn next(&mut self, index: u32) -> Option<Shape> {
        let first = self.first()?;
        Some(self.shape(first, index))
    }

    /// The shape that begins here with this byte.
    fn shape(&mut self, first: u8, index: u32) -> Shape {
        let lo = self.at;
        let kind = self.kind(lo, first);
        Shape { lo: lo as u32, hi: self.at as u32, end: index + 1, kind }
    }

    /// Steps over the shape at `lo` and says what it is.
    fn kind(&mut self, lo: usize, first: u8) -> ShapeKind {
        if BYTES[first as usize] & LETTER != 0 {
            self.word();
            return ShapeKind::Word;
        }
        let mut digit = lo + usize::from(matches!(first, b'+' | b'-'));
        digit += usize::from(self.bytes.get(digit) == Some(&b'.'));
        if self.is(digit, DIGIT) {
            self.at = digit + 1;
            self.pass(IN_NUMBER);
            return ShapeKind::Number;
        }
        self.at = lo + 1;
        match first {
            b'?' => ShapeKind::Ask,
            b'%' => ShapeKind::Percent,
            b',' | b'+' | b'-' | b'*' | b'/' | b':' | b'=' => ShapeKind::Op,
            b')' | b']' => ShapeKind::Stray,
            // An inch or foot mark behind its number.
            b'"' | b'\'' if lo > 0 && self.bytes[lo - 1].is_ascii_digit() => ShapeKind::Word,
            b'"' => ShapeKind::Unclosed,
            _ => ShapeKind::Junk,
        }
    }

    fn word(&mut self) {
        self.pass(IN_WORD);
        while self.is(self.at, BEYOND) && self.wide_blank() == 0 {
            self.at += 1;
            self.pass(IN_WORD);
        }
    }
}

/// The length of the blank beyond ASCII that begins here, such as comes with
/// copied text; 0 where none does.
fn wide_blank(bytes: &[u8]) -> usize {
    match bytes {
        [0xC2, 0xA0, ..] => 2,
        // U+2000 to U+200F, U+2028 to U+202F, U+3000, U+FEFF.
        [0xE2, 0x80, 0x80..=0x8F | 0xA8..=0xAF, ..]
        | [0xE3, 0x80, 0x80, ..]
        | [0xEF, 0xBB, 0xBF, ..] => 3,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The shapes as a line of `kind:text`, blocks and points bracketed.
    fn drawn(text: &str) -> String {
        fn draw(text: &str, tape: &[Shape], from: usize, to: usize, out: &mut String) {
            let mut at = from;
            while at < to {
                let s = tape[at];
                let t = &text[s.lo as usize..s.hi as usize];
                let (open, close) = match s.kind {
                    ShapeKind::Statement => ("<", ">"),
                    ShapeKind::Block => ("{", "}"),
                    ShapeKind::Point => ("(", ")"),
                    _ => ("", ""),
                };
                out.push_str(open);
                if open.is_empty() {
                    out.push_str(&format!("{}:{t} ", format!("{:?}", s.kind).to_lowercase()));
                }
                draw(text, tape, at + 1, s.end as usize, out);
                out.push_str(close);
                at = s.end as usize;
            }
        }
        let tape = shapes(text);
        assert_eq!(tape[0].end as usize, tape.len());
        assert_eq!(tape[0].hi as usize, text.len(), "the grammar did not take all of {text}");
        let mut out = String::new();
        draw(text, &tape, 1, tape.len(), &mut out);
        out
    }

    #[test]
    fn numbers_keep_their_text() {
        assert_eq!(
            drawn("a 3 1/2 3-1/2 -2.3 1:12.500 2027-10-22 .5"),
            "<word:a number:3 number:1/2 number:3-1/2 number:-2.3 number:1:12.500 number:2027-10-22 number:.5 >"
        );
        assert_eq!(drawn("310 - 40"), "<number:310 op:- number:40 >");
        assert_eq!(drawn("27\" by 2'"), "<number:27 word:\" word:by number:2 word:' >");
        assert_eq!(drawn("35mm 60 %"), "<number:35 word:mm number:60 percent:% >");
    }

    #[test]
    fn lists_go_on_over_lines_and_blocks_nest() {
        assert_eq!(
            drawn("o (0, 0) # c\n\n  (1 in, 2) mm\np { q }"),
            "<word:o (number:0 op:, number:0 )(number:1 word:in op:, number:2 )word:mm ><word:p {<word:q >}>"
        );
        assert_eq!(drawn("limb a\n{ b }"), "<word:limb word:a {<word:b >}>");
    }

    #[test]
    fn a_missing_mark_stays_where_it_was_left_out() {
        assert_eq!(drawn("a { b"), "<word:a {<word:b >unclosed: }>");
        assert_eq!(
            drawn("(310, 0 to (310, 13) mm"),
            "<(number:310 op:, number:0 unclosed: )word:to (number:310 op:, number:13 )word:mm >"
        );
        assert_eq!(
            drawn("pivot (20, 4 1/2 in  tip (1, 2) in"),
            "<word:pivot (number:20 op:, number:4 number:1/2 word:in unclosed: )word:tip (number:1 op:, number:2 )word:in >"
        );
        assert_eq!(
            drawn("at (14, 30  crank 2 in }"),
            "<word:at (number:14 op:, number:30 unclosed: )word:crank number:2 word:in >stray:} "
        );
    }

    #[test]
    fn everything_is_some_shape() {
        for text in
            ["", "}", "\"open", ") ] [ ; & …", "\u{200b}x\u{a0}y", "'", "(", "((", "a..", "..5"]
        {
            let tape = shapes(text);
            assert_eq!(tape[0].hi as usize, text.len(), "{text}");
            for s in &tape {
                assert!(
                    text.is_char_boundary(s.lo as usize) && text.is_char_boundary(s.hi as usize)
                );
            }
        }
    }
}

//! Text to shapes: the grammar's tokens laid out on a tape.

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
    let mut tape = Tape::with_capacity(text.len() / 4);
    // The grammar matches every text; a mistake in it would leave the tape empty,
    // which the test of all shapes would show.
    let Ok(pairs) = Yard::parse(Rule::item, text) else { return tape };
    let mut open: Vec<usize> = Vec::with_capacity(2 * crate::source::DEEPEST + 4);
    for token in pairs.tokens() {
        match token {
            Token::Start { rule, pos } => {
                open.push(tape.len());
                let lo = pos.pos() as u32;
                tape.push(Shape { lo, hi: lo, end: 0, kind: kind_of(rule) });
            }
            Token::End { pos, .. } => {
                // pest gives every start its end.
                let Some(at) = open.pop() else { continue };
                tape[at].hi = pos.pos() as u32;
                close(text, &mut tape, at);
            }
        }
    }
    tape
}

const fn kind_of(rule: Rule) -> ShapeKind {
    match rule {
        Rule::block => ShapeKind::Block,
        Rule::point => ShapeKind::Point,
        Rule::number => ShapeKind::Number,
        Rule::word => ShapeKind::Word,
        Rule::text => ShapeKind::Text,
        Rule::ask => ShapeKind::Ask,
        Rule::percent => ShapeKind::Percent,
        Rule::op => ShapeKind::Op,
        Rule::unclosed | Rule::quote => ShapeKind::Unclosed,
        Rule::stray | Rule::stray_brace => ShapeKind::Stray,
        Rule::junk => ShapeKind::Junk,
        _ => ShapeKind::Statement,
    }
}

/// Gives the node its end, and takes apart the two tokens that hold more than one
/// shape.
fn close(text: &str, tape: &mut Tape, at: usize) {
    let node = tape[at];
    match node.kind {
        ShapeKind::Number => split_mark(text.as_bytes(), tape, at),
        ShapeKind::Point => open_point(text.as_bytes(), tape, at),
        _ => {}
    }
    if matches!(node.kind, ShapeKind::Statement | ShapeKind::Block) {
        tape[at].end = tape.len() as u32;
    } else if tape[at].end == 0 {
        tape[at].end = at as u32 + 1;
    }
}

/// `27"` is a number and its unit.
fn split_mark(bytes: &[u8], tape: &mut Tape, at: usize) {
    let hi = tape[at].hi;
    if matches!(bytes[hi as usize - 1], b'"' | b'\'') {
        tape[at].hi = hi - 1;
        tape[at].end = at as u32 + 1;
        tape.push(Shape { lo: hi - 1, hi, end: at as u32 + 2, kind: ShapeKind::Word });
    }
}

/// Finds the shapes inside `( … )`. Where the closing mark is missing the point
/// ends behind its second number (with its unit), and the rest of the line is
/// read as if it stood outside.
fn open_point(bytes: &[u8], tape: &mut Tape, at: usize) {
    let (lo, hi) = (tape[at].lo as usize, tape[at].hi as usize);
    let closed = bytes[hi - 1] == b')';
    let mut inside = Inside { bytes, at: lo + 1, hi: if closed { hi - 1 } else { hi } };
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

/// A hand scan of the few shapes that stand inside a point: the same shapes as in
/// the grammar, but the commonest run of a yard file, so worth its own loop.
struct Inside<'a> {
    bytes: &'a [u8],
    at: usize,
    hi: usize,
}

impl Inside<'_> {
    fn peek(&self, at: usize) -> u8 {
        if at < self.hi { self.bytes[at] } else { 0 }
    }

    /// The next shape, whose place on the tape is `index`.
    fn next(&mut self, index: u32) -> Option<Shape> {
        while matches!(self.peek(self.at), b' ' | b'\t' | b'\r') {
            self.at += 1;
        }
        if self.at >= self.hi {
            return None;
        }
        let lo = self.at;
        let kind = self.kind(lo);
        Some(Shape { lo: lo as u32, hi: self.at as u32, end: index + 1, kind })
    }

    /// Steps over the shape at `lo` and says what it is.
    fn kind(&mut self, lo: usize) -> ShapeKind {
        let first = self.bytes[lo];
        let mut digit = lo;
        digit += usize::from(matches!(first, b'+' | b'-'));
        digit += usize::from(self.peek(digit) == b'.');
        if self.peek(digit).is_ascii_digit() {
            self.at = digit + 1;
            while matches!(self.peek(self.at), b'0'..=b'9' | b'.' | b':' | b'/' | b'-') {
                self.at += 1;
            }
            return ShapeKind::Number;
        }
        if is_letter(first) {
            while is_letter(self.peek(self.at))
                || matches!(self.peek(self.at), b'0'..=b'9' | b'-' | b'.' | b'/')
            {
                self.at += 1;
            }
            return ShapeKind::Word;
        }
        self.at = lo + 1;
        match first {
            b'?' => ShapeKind::Ask,
            b'%' => ShapeKind::Percent,
            b',' | b'+' | b'-' | b'*' | b'/' | b':' | b'=' => ShapeKind::Op,
            // An inch or foot mark behind its number.
            b'"' | b'\'' if self.bytes[lo - 1].is_ascii_digit() => ShapeKind::Word,
            _ => ShapeKind::Junk,
        }
    }
}

/// Letters, `_`, and every byte of a character beyond ASCII.
const fn is_letter(b: u8) -> bool {
    b.is_ascii_alphabetic() || b == b'_' || b >= 0x80
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

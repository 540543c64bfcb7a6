//! Cuts a file into its top-level items before any grammar sees it.
//!
//! One pass over the bytes. A word that may only stand at the top of a file ends
//! whatever was left open, so a missing `}` spoils one item and no more. Strings
//! and comments are respected; a `"` that touches a digit is an inch mark.

/// The words that begin an item, sorted by how sure they make the cut.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TopWords {
    /// Words that stand nowhere else: they begin an item on any line.
    pub always: Vec<&'static str>,
    /// Words that also stand inside a block: while braces are open they begin an
    /// item only in column 1.
    pub inside_too: Vec<&'static str>,
}

/// One item: `lo..hi` in the file, without the comments and blanks around it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// First byte.
    pub lo: u32,
    /// One past the last byte.
    pub hi: u32,
}

/// The deepest nesting of braces the grammar is asked to follow.
pub const DEEPEST: usize = 8;

/// Bytes that can change the state of the scan: marks and, where `LINES` matter,
/// the ends of lines.
const fn telling<const LINES: bool>(b: u8) -> bool {
    matches!(b, b'{' | b'}' | b'"' | b'#') || (LINES && b == b'\n')
}

/// The offset of the next telling byte at or after `at`, eight bytes at a time.
fn next_telling<const LINES: bool>(bytes: &[u8], mut at: usize) -> usize {
    while let Some(eight) = bytes[at..].first_chunk() {
        let hits = perhaps_telling::<LINES>(u64::from_le_bytes(*eight));
        if hits == 0 {
            at += 8;
            continue;
        }
        at += (hits.trailing_zeros() / 8) as usize;
        if telling::<LINES>(bytes[at]) {
            return at;
        }
        at += 1;
    }
    let rest = bytes[at..].iter().position(|b| telling::<LINES>(*b));
    rest.map_or(bytes.len(), |n| at + n)
}

/// Marks the bytes of a word that may be telling by their highest bits; of the lowest
/// mark only `y` and the delete character are mistaken. Each test clears the bits
/// in which its bytes differ and compares with what is left of them.
const fn perhaps_telling<const LINES: bool>(word: u64) -> u64 {
    const fn is(word: u64, bits: u8, byte: u8) -> u64 {
        zero_bytes((word & u64::from_ne_bytes([bits; 8])) ^ u64::from_ne_bytes([byte; 8]))
    }
    let marks = is(word, !1, b'"' & b'#') | is(word, !6, b'{' & b'}');
    if LINES { marks | is(word, !0, b'\n') } else { marks }
}

/// The highest bit of each byte that is 0, right up to the first (Warren, Hacker's
/// Delight, 2nd edition, section 6-1).
const fn zero_bytes(word: u64) -> u64 {
    word.wrapping_sub(u64::from_ne_bytes([0x01; 8])) & !word & u64::from_ne_bytes([0x80; 8])
}

/// Past the string that opens at `at`, or past the mark alone where it is an inch
/// mark or never closed on its line: by its end, or by where another string opens, which a
/// `"` between a blank and a letter does (as in the grammar).
fn past_quote(bytes: &[u8], at: usize) -> usize {
    if at > 0 && bytes[at - 1].is_ascii_digit() {
        return at + 1;
    }
    let mut end = at + 1;
    while end < bytes.len() {
        match bytes[end] {
            b'"' if opens(bytes, end) => break,
            b'"' => return end + 1,
            b'\n' => break,
            _ => end += 1,
        }
    }
    at + 1
}

/// Whether the `"` at `at` opens a string, by what stands round it.
fn opens(bytes: &[u8], at: usize) -> bool {
    let after = bytes.get(at + 1).is_some_and(|b| !is_blank(*b) && !b"\n}#".contains(b));
    matches!(bytes[at - 1], b' ' | b'\t') && after
}

/// Past the comment that begins at `at`: the offset of its newline.
fn past_comment(bytes: &[u8], mut at: usize) -> usize {
    while at < bytes.len() && bytes[at] != b'\n' {
        at += 1;
    }
    at
}

/// Where the braces in `text` are nested deeper than [`DEEPEST`] for the first
/// time, if they are.
#[must_use]
pub fn too_deep(text: &str) -> Option<u32> {
    let bytes = text.as_bytes();
    let (mut at, mut depth) = (0, 0usize);
    loop {
        at = next_telling::<false>(bytes, at);
        match bytes.get(at)? {
            b'{' => {
                depth += 1;
                if depth > DEEPEST {
                    return Some(at as u32);
                }
                at += 1;
            }
            b'}' => {
                depth = depth.saturating_sub(1);
                at += 1;
            }
            b'"' => at = past_quote(bytes, at),
            _ => at = past_comment(bytes, at),
        }
    }
}

/// The scan as it goes.
struct Splitter<'a> {
    bytes: &'a [u8],
    words: &'a TopWords,
    /// The letters the words begin with, one bit each: most lines begin with none.
    letters: u32,
    cuts: Vec<Cut>,
    /// Start of the open item.
    open: Option<usize>,
    /// One past the last byte that is neither blank nor comment.
    last: usize,
    depth: usize,
}

impl Splitter<'_> {
    /// Ends the open item and begins one at `at`.
    fn cut(&mut self, at: usize) {
        self.finish();
        self.open = Some(at);
        self.depth = 0;
    }

    fn finish(&mut self) {
        if let Some(lo) = self.open.take() {
            self.cuts.push(Cut { lo: lo as u32, hi: self.last.max(lo) as u32 });
        }
    }

    /// Whether the line whose first mark stands at `at` begins an item.
    fn begins(&self, at: usize, column: usize) -> bool {
        if self.open.is_none() {
            return true;
        }
        let inside = self.depth > 0;
        if (inside || column > 0) && letter(self.bytes[at]) & self.letters == 0 {
            return false;
        }
        let word = word_at(self.bytes, at);
        if word.is_empty() {
            return false;
        }
        let known = |list: &[&str]| list.iter().any(|w| w.as_bytes() == word);
        if inside {
            return known(&self.words.always) || (column == 0 && known(&self.words.inside_too));
        }
        column == 0 || known(&self.words.always) || known(&self.words.inside_too)
    }

    /// Reads the start of a line: returns the offset to go on at.
    fn line_start(&mut self, start: usize) -> usize {
        let at = past_blanks(self.bytes, start);
        match self.bytes.get(at) {
            None | Some(b'\n' | b'#') => at,
            Some(_) => {
                if self.begins(at, at - start) {
                    self.cut(at);
                }
                at
            }
        }
    }

    fn run(mut self) -> Vec<Cut> {
        let bytes = self.bytes;
        let mut at = self.line_start(0);
        loop {
            let from = at;
            at = next_telling::<true>(bytes, at);
            self.saw(from, at);
            match bytes.get(at) {
                None => break,
                Some(b'\n') => at = self.line_start(at + 1),
                Some(b'#') => at = past_comment(bytes, at),
                Some(b'"') => {
                    at = past_quote(bytes, at);
                    self.last = at;
                }
                Some(b'{') => {
                    self.depth += 1;
                    at += 1;
                    self.last = at;
                }
                Some(_) => at = self.closing(at),
            }
        }
        self.finish();
        self.cuts
    }

    /// Takes note of the dull stretch `from..to`.
    fn saw(&mut self, from: usize, to: usize) {
        let mut end = to;
        while end > from && is_blank(self.bytes[end - 1]) {
            end -= 1;
        }
        if end > from {
            self.last = end;
        }
    }

    /// A `}` at `at`; a top word behind the one that closes an item begins the next.
    fn closing(&mut self, at: usize) -> usize {
        self.last = at + 1;
        if self.depth == 0 {
            return at + 1;
        }
        self.depth -= 1;
        if self.depth > 0 {
            return at + 1;
        }
        let next = past_blanks(self.bytes, at + 1);
        let word = word_at(self.bytes, next);
        let known = |list: &[&str]| list.iter().any(|w| w.as_bytes() == word);
        if known(&self.words.always) || known(&self.words.inside_too) {
            self.cut(next);
        }
        at + 1
    }
}

/// The bit of the letter a byte is, small and capital alike; of another byte, any.
const fn letter(b: u8) -> u32 {
    1 << (b % 32)
}

const fn is_blank(b: u8) -> bool {
    matches!(b, b' ' | b'\t' | b'\r')
}

fn past_blanks(bytes: &[u8], mut at: usize) -> usize {
    while at < bytes.len() && is_blank(bytes[at]) {
        at += 1;
    }
    at
}

/// The word that begins at `at`, empty where none does.
fn word_at(bytes: &[u8], at: usize) -> &[u8] {
    let rest = bytes.get(at..).unwrap_or(&[]);
    if !rest.first().is_some_and(u8::is_ascii_alphabetic) {
        return &[];
    }
    let end = rest
        .iter()
        .position(|b| {
            !(b.is_ascii_alphanumeric() || matches!(b, b'-' | b'.' | b'/' | b'_') || *b >= 0x80)
        })
        .unwrap_or(rest.len());
    &rest[..end]
}

/// Cuts `text` into items.
#[must_use]
pub fn split(text: &str, words: &TopWords) -> Vec<Cut> {
    let all = words.always.iter().chain(&words.inside_too);
    Splitter {
        bytes: text.as_bytes(),
        words,
        letters: all.fold(0, |bits, w| bits | w.bytes().next().map_or(0, letter)),
        cuts: Vec::new(),
        open: None,
        last: 0,
        depth: 0,
    }
    .run()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words() -> TopWords {
        TopWords { always: vec!["use", "figure", "show"], inside_too: vec!["motor", "sheet"] }
    }

    fn cut(text: &str) -> Vec<&str> {
        split(text, &words()).iter().map(|c| &text[c.lo as usize..c.hi as usize]).collect()
    }

    #[test]
    fn comments_and_blanks_stay_outside() {
        assert_eq!(
            cut("# top\nuse parts  # built in\n\nfigure a {\n  limb b # }\n}\n# end\n"),
            ["use parts", "figure a {\n  limb b # }\n}"]
        );
    }

    #[test]
    fn items_may_share_a_line() {
        assert_eq!(cut("figure a { } figure b { }"), ["figure a { }", "figure b { }"]);
    }

    #[test]
    fn a_missing_brace_spoils_one_item() {
        assert_eq!(
            cut("figure a {\n limb {\n figure b { }"),
            ["figure a {\n limb {", "figure b { }"]
        );
    }

    #[test]
    fn a_word_that_also_stands_inside_cuts_only_in_column_one() {
        assert_eq!(cut("figure a {\n  motor m {\n}\n"), ["figure a {\n  motor m {\n}"]);
        assert_eq!(cut("figure a {\nmotor m { }"), ["figure a {", "motor m { }"]);
    }

    #[test]
    fn strings_hide_braces_and_inch_marks_are_no_strings() {
        assert_eq!(cut("use \"a{b\"\nuse b"), ["use \"a{b\"", "use b"]);
        assert_eq!(cut("figure a { board 27\" by 61\" }\nuse b").len(), 2);
        assert_eq!(cut("use \"open {\nuse b"), ["use \"open {", "use b"]);
        // The first text has no end: the second would else hide the brace of the figure.
        let open = "figure a { title \"open  set \"b{\" }\nfigure b { }";
        assert_eq!(cut(open), ["figure a { title \"open  set \"b{\" }", "figure b { }"]);
    }

    #[test]
    fn an_indented_line_goes_on_with_the_item() {
        assert_eq!(cut("use a\n  like b\nuse c"), ["use a\n  like b", "use c"]);
    }

    #[test]
    fn telling_bytes_are_found_wherever_they_stand() {
        for b in 0..=u8::MAX {
            for lead in 0..20 {
                let mut bytes = [b"y z\x7f!x|9~"[lead % 9]; 40];
                (bytes[lead], bytes[lead + 9]) = (b, b'#');
                let first = |tells| if tells { lead } else { lead + 9 };
                assert_eq!(next_telling::<true>(&bytes, 0), first(telling::<true>(b)), "{b}");
                assert_eq!(next_telling::<false>(&bytes, 0), first(telling::<false>(b)), "{b}");
                assert_eq!(next_telling::<true>(&bytes[..lead], 0), lead, "none in {lead}");
            }
        }
    }

    #[test]
    fn depth_is_measured_outside_strings_and_comments() {
        assert_eq!(too_deep(&"{".repeat(9)), Some(8));
        assert_eq!(too_deep(&"{ }".repeat(99)), None);
        assert_eq!(too_deep(&"# {\n".repeat(99)), None);
    }
}

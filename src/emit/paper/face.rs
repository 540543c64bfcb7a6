//! The letters of our sheets: how wide they are, which there are, and the part of the
//! font a file needs.
//!
//! DejaVu Sans Condensed, whose licence lets it be embedded and cut down. What it has
//! no letter for is spelled by its number, `[U+1F43B]`, so that a name never vanishes.
//! Letters that run to the left are laid from the right; they are not joined.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use ttf_parser::Face;

/// Signs beside those of ASCII that our own words use.
const SIGNS: &str = "\u{b0}\u{b1}\u{b7}\u{d7}\u{bd}\u{2013}\u{2026}\u{2032}\u{2033}\u{2300}\u{2190}\u{2191}\u{2192}\u{2193}";

/// One weight of the face, read once.
struct Weight {
    data: &'static [u8],
    face: Face<'static>,
    /// Font units in an em.
    em: f64,
}

/// The face, regular and bold; `None` where the font cannot be read.
fn weight(bold: bool) -> Option<&'static Weight> {
    static READ: [OnceLock<Option<Weight>>; 2] = [OnceLock::new(), OnceLock::new()];
    READ[usize::from(bold)]
        .get_or_init(|| {
            let data = match bold {
                false => dejavu::sans_condensed::regular(),
                true => dejavu::sans_condensed::bold(),
            };
            let face = Face::parse(data, 0).ok()?;
            let em = f64::from(face.units_per_em());
            Some(Weight { data, face, em })
        })
        .as_ref()
}

/// What is written of a text: what has no letter is spelled, what cannot be seen left
/// out, and stretches that run to the left are turned round.
#[must_use]
pub fn spelled(text: &str, bold: bool) -> String {
    if text.is_ascii() && !text.bytes().any(|b| b.is_ascii_control()) {
        return text.to_owned();
    }
    let has = |c: char| weight(bold).is_some_and(|w| w.face.glyph_index(c).is_some());
    let mut out = String::with_capacity(text.len());
    let mut left: Vec<char> = Vec::new();
    for c in text.chars() {
        if runs_left(c) && has(c) {
            left.push(c);
            continue;
        }
        // Blanks and signs between two words that run left go with them.
        if !left.is_empty() && c == ' ' {
            left.push(c);
            continue;
        }
        flush(&mut left, &mut out);
        match c {
            '\t' | '\n' | '\r' | '\u{a0}' => out.push(' '),
            c if unseen(c) => {}
            c if has(c) => out.push(c),
            c => out.push_str(&format!("[U+{:04X}]", u32::from(c))),
        }
    }
    flush(&mut left, &mut out);
    out
}

fn flush(left: &mut Vec<char>, out: &mut String) {
    let blanks = left.iter().rev().take_while(|c| **c == ' ').count();
    let words = left.len() - blanks;
    out.extend(left[..words].iter().rev());
    out.extend(left[words..].iter());
    left.clear();
}

/// Hebrew, Arabic and their neighbours, with their presentation forms.
fn runs_left(c: char) -> bool {
    matches!(u32::from(c), 0x590..=0x8FF | 0xFB1D..=0xFDFF | 0xFE70..=0xFEFC)
}

/// Marks that only tell how others are laid or shown.
fn unseen(c: char) -> bool {
    c.is_control()
        || matches!(u32::from(c), 0xAD | 0x200B..=0x200F | 0x202A..=0x202E | 0x2060..=0x206F
            | 0xFE00..=0xFE0F | 0xFEFF | 0xE0000..=0xE0FFF)
}

/// How wide a text of `size` mm is.
#[must_use]
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    plain(&spelled(text, bold), bold) * size
}

/// Width in ems of what is spelled already.
fn plain(text: &str, bold: bool) -> f64 {
    text.chars().map(|c| advance(c, bold)).sum()
}

/// Width of a letter in ems.
fn advance(c: char, bold: bool) -> f64 {
    let Some(weight) = weight(bold) else { return 0.6 };
    let glyph = weight.face.glyph_index(c);
    let units = glyph.and_then(|g| weight.face.glyph_hor_advance(g));
    units.map_or(0.6, |u| f64::from(u) / weight.em)
}

/// The text cut to `room` mm, with "…" where something is missing.
#[must_use]
pub fn fitted(text: &str, size: f64, bold: bool, room: f64) -> String {
    // A text that no sheet could hold is not measured to its end.
    const MOST: usize = 600;
    let short: String = text.chars().take(MOST).collect();
    if short.len() == text.len() && width(text, size, bold) <= room {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in short.chars() {
        kept.push(c);
        if width(&kept, size, bold) + size > room {
            kept.pop();
            break;
        }
    }
    format!("{}\u{2026}", kept.trim_end())
}

/// A text broken at blanks into lines no longer than `room` mm; a word longer than that
/// is cut.
#[must_use]
pub fn lines(text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        if let Some(last) = lines.last_mut() {
            let longer = format!("{last} {word}");
            if width(&longer, size, bold) <= room {
                *last = longer;
                continue;
            }
        }
        lines.push(fitted(word, size, bold, room));
    }
    lines
}

/// A part of the face, numbered anew, as a file embeds it.
pub struct Subset {
    /// The font, compressed.
    pub file: Vec<u8>,
    /// Length of the font before that.
    pub length: usize,
    /// Number and width in thousandths of an em of each letter.
    pub letters: BTreeMap<char, (u16, f32)>,
    /// Its box, ascent, descent and height of capitals, in thousandths of an em.
    pub frame: [f32; 7],
}

/// The part that ordinary words need: made once, the same in every file.
pub fn usual(bold: bool) -> Option<&'static Subset> {
    static MADE: [OnceLock<Option<Subset>>; 2] = [OnceLock::new(), OnceLock::new()];
    MADE[usize::from(bold)]
        .get_or_init(|| subset((' '..='~').chain(SIGNS.chars()).collect(), bold))
        .as_ref()
}

/// The part of the face with these letters; `None` where the font cannot be cut down.
pub fn subset(wanted: BTreeSet<char>, bold: bool) -> Option<Subset> {
    let weight = weight(bold)?;
    let mut numbers = subsetter::GlyphRemapper::new();
    let thousandths = |units: f64| (units / weight.em * 1000.0) as f32;
    let letters = wanted.into_iter().filter_map(|c| {
        let glyph = weight.face.glyph_index(c)?;
        let wide = f64::from(weight.face.glyph_hor_advance(glyph)?);
        Some((c, (numbers.remap(glyph.0), thousandths(wide))))
    });
    let letters = letters.collect();
    let font = subsetter::subset(weight.data, 0, &numbers).ok()?;
    let b = weight.face.global_bounding_box();
    let capital = weight.face.capital_height().unwrap_or(1500);
    let frame = [
        b.x_min,
        b.y_min,
        b.x_max,
        b.y_max,
        weight.face.ascender(),
        weight.face.descender(),
        capital,
    ];
    Some(Subset {
        file: miniz_oxide::deflate::compress_to_vec_zlib(&font, 9),
        length: font.len(),
        letters,
        frame: frame.map(|v| thousandths(f64::from(v))),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_font() {
        // Advance of "H" of DejaVu Sans Condensed: 1386 of 2048 units (its hmtx table).
        assert!((width("HH", 10.0, false) - 2.0 * 10.0 * 1386.0 / 2048.0).abs() < 1e-9);
    }

    #[test]
    fn no_letter_vanishes() {
        assert_eq!(spelled("bear \u{1f43b}", false), "bear [U+1F43B]");
        assert_eq!(spelled("a\u{0}\tb\u{202e}c", false), "a bc");
        assert_eq!(spelled("\u{5d3}\u{5d5}\u{5d1} x", false), "\u{5d1}\u{5d5}\u{5d3} x");
        assert_eq!(spelled("\u{43c}\u{435}\u{434}", false), "\u{43c}\u{435}\u{434}");
    }

    #[test]
    fn long_texts_end_inside_their_room() {
        let cut = fitted(&"name ".repeat(900), 4.0, true, 50.0);
        assert!(cut.ends_with('\u{2026}') && width(&cut, 4.0, true) <= 50.0, "{cut}");
    }
}

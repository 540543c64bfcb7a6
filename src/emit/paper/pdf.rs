//! A drawing per page as a PDF (ISO 32000), in true size: one mm of the drawing is
//! 72/25.4 points.
//!
//! No date and no random number goes in, so the same drawings give the same bytes.

use std::collections::{BTreeMap, BTreeSet};

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, TextRenderingMode, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Ref, Str, TextStr};

use super::face::{Subset, spelled, subset, usual};
use super::{A4, Drawing, Fill, Mark, Text};
use crate::emit::svg::{Hang, Line, P};

/// Points in a millimetre (ISO 32000: 72 to the inch).
const POINTS: f64 = 72.0 / 25.4;

/// How far a circle's control points stand from its corners' middles: the usual four
/// cubic arcs, which leave the circle by less than 0.03 % of its radius.
const ARC: f64 = 0.552_284_75;

/// The fonts of one file: the usual letters of both weights, and what else it needs.
struct Fonts {
    /// Letters beyond the usual ones, regular and bold.
    more: [Option<Subset>; 2],
}

impl Fonts {
    fn of(pages: &[Drawing]) -> Self {
        let mut wanted: [BTreeSet<char>; 2] = Default::default();
        for mark in pages.iter().flat_map(|p| &p.marks) {
            let Mark::Text(text) = mark else { continue };
            if text.words.is_ascii() {
                continue;
            }
            let bold = text.bold;
            let known = |c: &char| usual(bold).is_some_and(|u| u.letters.contains_key(c));
            let rare = spelled(&text.words, bold);
            wanted[usize::from(bold)].extend(rare.chars().filter(|c| !known(c)));
        }
        let [regular, bold] = wanted;
        let more = |w: BTreeSet<char>, bold| if w.is_empty() { None } else { subset(w, bold) };
        Self { more: [more(regular, false), more(bold, true)] }
    }

    /// The four parts by their numbers: usual regular, usual bold, more of each.
    fn part(&self, index: usize) -> Option<&Subset> {
        match index {
            0 | 1 => usual(index == 1),
            _ => self.more[index - 2].as_ref(),
        }
    }

    /// The part that has a letter, with the letter's number and width.
    fn find(&self, c: char, bold: bool) -> Option<(usize, u16, f32)> {
        let parts = [usize::from(bold), 2 + usize::from(bold)];
        parts.into_iter().find_map(|index| {
            let (glyph, wide) = *self.part(index)?.letters.get(&c)?;
            Some((index, glyph, wide))
        })
    }
}

/// What the parts of the face are called in a file.
const NAMES: [&[u8]; 4] = [b"R", b"B", b"S", b"C"];

/// A rounded number: a ten-thousandth of a millimetre is enough, and the file shorter.
fn short(value: f64) -> f32 {
    ((if value.is_finite() { value } else { 0.0 } * 1e4).round() / 1e4) as f32
}

/// The file: one A4 page for each drawing, titled.
#[must_use]
pub fn pdf(title: &str, pages: &[Drawing]) -> Vec<u8> {
    let fonts = Fonts::of(pages);
    let mut file = Pdf::new();
    let mut next = 0;
    let mut id = || {
        next += 1;
        Ref::new(next)
    };
    let (catalog, tree, info) = (id(), id(), id());
    file.catalog(catalog).pages(tree);
    file.document_info(info).title(TextStr(title)).creator(TextStr("yardwright"));
    let mut named: Vec<(usize, Ref)> = Vec::new();
    for index in 0..NAMES.len() {
        if let Some(part) = fonts.part(index) {
            let refs = [id(), id(), id(), id(), id()];
            embed(&mut file, part, index, refs);
            named.push((index, refs[0]));
        }
    }
    let leaves: Vec<(Ref, Ref)> = pages.iter().map(|_| (id(), id())).collect();
    file.pages(tree).kids(leaves.iter().map(|l| l.0)).count(leaves.len() as i32);
    let (w, h) = ((A4.0 * POINTS) as f32, (A4.1 * POINTS) as f32);
    for (drawing, (leaf, content)) in pages.iter().zip(&leaves) {
        let mut page = file.page(*leaf);
        page.parent(tree).media_box(pdf_writer::Rect::new(0.0, 0.0, w, h)).contents(*content);
        let mut resources = page.resources();
        let mut dictionary = resources.fonts();
        for (index, font) in &named {
            dictionary.pair(Name(NAMES[*index]), *font);
        }
        dictionary.finish();
        resources.finish();
        page.finish();
        let written = miniz_oxide::deflate::compress_to_vec_zlib(&draw(drawing, &fonts), 4);
        file.stream(*content, &written).filter(Filter::FlateDecode);
    }
    file.finish()
}

/// A part of the face as a composite font with its own numbering (ISO 32000, 9.7).
fn embed(file: &mut Pdf, part: &Subset, index: usize, ids: [Ref; 5]) {
    let [font, cid, descriptor, data, unicode] = ids;
    // A tag of six capitals stands before the name of a font that is cut down.
    let name = [
        &b"YARDRA+DejaVuSansCondensed"[..],
        b"YARDBA+DejaVuSansCondensed-Bold",
        b"YARDRB+DejaVuSansCondensed",
        b"YARDBB+DejaVuSansCondensed-Bold",
    ][index];
    let system = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
    file.type0_font(font)
        .base_font(Name(name))
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(cid)
        .to_unicode(unicode);
    let mut widths: BTreeMap<u16, f32> = BTreeMap::new();
    let mut map = UnicodeCmap::new(Name(b"Custom"), system);
    for (&letter, &(glyph, wide)) in &part.letters {
        if widths.insert(glyph, wide).is_none() {
            map.pair(glyph, letter);
        }
    }
    let mut descendant = file.cid_font(cid);
    descendant
        .subtype(CidFontType::Type2)
        .base_font(Name(name))
        .system_info(system)
        .font_descriptor(descriptor)
        .default_width(0.0)
        .cid_to_gid_map_predefined(Name(b"Identity"));
    let mut list = descendant.widths();
    for (glyph, wide) in &widths {
        list.consecutive(*glyph, [*wide]);
    }
    list.finish();
    descendant.finish();
    let [x0, y0, x1, y1, ascent, descent, capital] = part.frame;
    file.font_descriptor(descriptor)
        .name(Name(name))
        .flags(FontFlags::SYMBOLIC)
        .bbox(pdf_writer::Rect::new(x0, y0, x1, y1))
        .italic_angle(0.0)
        .ascent(ascent)
        .descent(descent)
        .cap_height(capital)
        .stem_v(if index % 2 == 1 { 140.0 } else { 80.0 })
        .font_file2(data);
    file.stream(data, &part.file)
        .filter(Filter::FlateDecode)
        .pair(Name(b"Length1"), part.length as i32);
    let written = miniz_oxide::deflate::compress_to_vec_zlib(&map.finish(), 4);
    file.cmap(unicode, &written).filter(Filter::FlateDecode);
}

/// The content of a page, in mm from its left top corner.
fn draw(drawing: &Drawing, fonts: &Fonts) -> Vec<u8> {
    let mut page = Page { to: Content::new(), fonts, line: None };
    let k = POINTS as f32;
    page.to.transform([k, 0.0, 0.0, -k, 0.0, (A4.1 * POINTS) as f32]);
    page.to.set_line_join(pdf_writer::types::LineJoinStyle::RoundJoin);
    for mark in &drawing.marks {
        page.mark(mark);
    }
    page.to.finish().into_vec()
}

/// A page being written.
struct Page<'a> {
    to: Content,
    fonts: &'a Fonts,
    /// The line type that is set.
    line: Option<Line>,
}

impl Page<'_> {
    fn mark(&mut self, mark: &Mark) {
        match mark {
            Mark::Path { line, points, closed, fill } => {
                let Some((&first, rest)) = points.split_first() else { return };
                self.set(*line, *fill);
                self.to.move_to(short(first.0), short(first.1));
                for p in rest {
                    self.to.line_to(short(p.0), short(p.1));
                }
                if *closed {
                    self.to.close_path();
                }
                self.paint(line.is_some(), *fill);
            }
            Mark::Circle { line, at, radius, fill } => {
                self.set(Some(*line), *fill);
                self.circle(*at, *radius);
                self.paint(true, *fill);
            }
            Mark::Text(text) => self.text(text),
        }
    }

    /// Sets line type and colour.
    fn set(&mut self, line: Option<Line>, fill: Fill) {
        if let Some(line) = line.filter(|l| self.line != Some(*l)) {
            self.to.set_line_width(line.width());
            self.to.set_dash_pattern(line.dashes().iter().copied(), 0.0);
            self.line = Some(line);
        }
        match fill {
            Fill::None => {}
            Fill::Paper => {
                self.to.set_fill_gray(1.0);
            }
            Fill::Ink => {
                self.to.set_fill_gray(0.0);
            }
        }
    }

    fn paint(&mut self, edge: bool, fill: Fill) {
        match (edge, fill != Fill::None) {
            (true, true) => self.to.fill_nonzero_and_stroke(),
            (true, false) => self.to.stroke(),
            (false, true) => self.to.fill_nonzero(),
            (false, false) => self.to.end_path(),
        };
        if fill == Fill::Paper {
            self.to.set_fill_gray(0.0);
        }
    }

    fn circle(&mut self, (x, y): P, r: f64) {
        let c = r * ARC;
        let at = |dx: f64, dy: f64| (short(x + dx), short(y + dy));
        let (sx, sy) = at(r, 0.0);
        self.to.move_to(sx, sy);
        for [a, b, p] in [
            [at(r, c), at(c, r), at(0.0, r)],
            [at(-c, r), at(-r, c), at(-r, 0.0)],
            [at(-r, -c), at(-c, -r), at(0.0, -r)],
            [at(c, -r), at(r, -c), at(r, 0.0)],
        ] {
            self.to.cubic_to(a.0, a.1, b.0, b.1, p.0, p.1);
        }
        self.to.close_path();
    }

    /// A text, stretch by stretch of one part of the face.
    fn text(&mut self, text: &Text) {
        let words = spelled(&text.words, text.bold);
        let mut runs: Vec<(usize, Vec<u8>)> = Vec::new();
        let mut wide = 0.0;
        for c in words.chars() {
            let Some((part, glyph, advance)) = self.fonts.find(c, text.bold) else { continue };
            wide += f64::from(advance) / 1000.0 * text.size;
            if runs.last().is_none_or(|r| r.0 != part) {
                runs.push((part, Vec::new()));
            }
            if let Some((_, bytes)) = runs.last_mut() {
                bytes.extend(glyph.to_be_bytes());
            }
        }
        if runs.is_empty() {
            return;
        }
        let back = match text.hang {
            Hang::Start => 0.0,
            Hang::Middle => wide / 2.0,
            Hang::End => wide,
        };
        let (x, y) = text.at;
        // The page's y runs down, the letters' up: they are turned over.
        let matrix = if text.upright {
            [0.0, -1.0, -1.0, 0.0, short(x), short(y + back)]
        } else {
            [1.0, 0.0, 0.0, -1.0, short(x - back), short(y)]
        };
        self.to.begin_text();
        self.to.set_text_rendering_mode(TextRenderingMode::Fill);
        self.to.set_text_matrix(matrix);
        for (part, bytes) in &runs {
            self.to.set_font(Name(NAMES[*part]), short(text.size));
            self.to.show(Str(bytes));
        }
        self.to.end_text();
    }
}

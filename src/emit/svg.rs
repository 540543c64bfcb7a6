//! Writing SVG: numbers, escaping, the few shapes a drawing sheet needs.

/// A point on the paper in mm, x right, y down.
pub type P = (f64, f64);

/// A rectangle on the paper in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Left.
    pub x: f64,
    /// Top.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

impl Rect {
    /// From its left top corner and size.
    pub const fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Self { x, y, w, h }
    }

    /// The smallest that holds the points; `None` for no points.
    pub fn around(points: &[P]) -> Option<Self> {
        let (&first, rest) = points.split_first()?;
        let (mut lo, mut hi) = (first, first);
        for p in rest {
            lo = (lo.0.min(p.0), lo.1.min(p.1));
            hi = (hi.0.max(p.0), hi.1.max(p.1));
        }
        Some(Self::new(lo.0, lo.1, hi.0 - lo.0, hi.1 - lo.1))
    }

    /// Larger by `d` on every side.
    pub fn grown(self, d: f64) -> Self {
        Self::new(self.x - d, self.y - d, self.w + 2.0 * d, self.h + 2.0 * d)
    }

    /// Right edge.
    pub fn right(self) -> f64 {
        self.x + self.w
    }

    /// Lower edge.
    pub fn bottom(self) -> f64 {
        self.y + self.h
    }

    /// Whether the two share more than an edge.
    pub fn overlaps(self, o: Self) -> bool {
        self.x < o.right() && o.x < self.right() && self.y < o.bottom() && o.y < self.bottom()
    }

    /// Whether the straight line from `a` to `b` runs through it (clipped slab by slab).
    #[must_use]
    pub fn meets(self, a: P, b: P) -> bool {
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let slabs = [(a.0, b.0, self.x, self.right()), (a.1, b.1, self.y, self.bottom())];
        for (a, b, low, high) in slabs {
            let run = b - a;
            if run.abs() < 1e-12 {
                if a < low || a > high {
                    return false;
                }
                continue;
            }
            let (one, other) = ((low - a) / run, (high - a) / run);
            from = from.max(one.min(other));
            to = to.min(one.max(other));
        }
        from <= to
    }

    /// Whether `o` lies wholly inside.
    pub fn holds(self, o: Self) -> bool {
        o.x >= self.x && o.y >= self.y && o.right() <= self.right() && o.bottom() <= self.bottom()
    }
}

/// Line types of ISO 128-2; each is a class of the style sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Continuous wide: visible outlines, border (01.2).
    Wide,
    /// Continuous narrow: leaders, dimensions, hatching, frame behind (01.1).
    Narrow,
    /// Continuous, finer still: ticks and grid crosses.
    Fine,
    /// Dashed narrow: cables; what is not there (02.1).
    Dashed,
    /// Dashed and finer still: cables where there are many.
    FineDashed,
    /// Long dash, dot, narrow: limits and centre lines (04.1).
    Chain,
    /// Long dash, two dots, narrow: extreme positions of moving parts (05.1).
    Reach,
}

impl Line {
    const fn class(self) -> &'static str {
        match self {
            Self::Wide => "w",
            Self::Narrow => "n",
            Self::Fine => "f",
            Self::Dashed => "d",
            Self::FineDashed => "e",
            Self::Chain => "c",
            Self::Reach => "r",
        }
    }
}

impl Line {
    /// Its width in mm (ISO 128-2, group 0.5: wide 0.5, narrow 0.25).
    pub const fn width(self) -> f32 {
        match self {
            Self::Wide => 0.5,
            Self::Narrow | Self::Dashed | Self::Chain | Self::Reach => 0.25,
            Self::Fine | Self::FineDashed => 0.13,
        }
    }

    /// Its dashes and gaps in mm, by turns; none for a continuous line.
    pub const fn dashes(self) -> &'static [f32] {
        match self {
            Self::Wide | Self::Narrow | Self::Fine => &[],
            Self::Dashed => &[3.0, 0.75],
            Self::FineDashed => &[2.4, 1.2],
            Self::Chain => &[6.0, 0.75, 0.15, 0.75],
            Self::Reach => &[3.0, 0.6, 0.15, 0.6, 0.15, 0.6],
        }
    }
}

/// Where a text hangs on its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hang {
    /// Begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// Ends there.
    End,
}

/// The style of every sheet: line widths of group 0.5 (ISO 128-2: wide 0.5,
/// narrow 0.25), dash lengths in multiples of the width.
const STYLE: &str = "\
text{font-family:Arial,'Liberation Sans',Helvetica,sans-serif;fill:#000;unicode-bidi:isolate}\
.h{paint-order:stroke;stroke:#fff;stroke-width:.9;stroke-linejoin:round}\
.w,.n,.f,.d,.e,.c,.r{fill:none;stroke:#000}\
.w{stroke-width:.5;stroke-linejoin:miter}.n{stroke-width:.25}.f{stroke-width:.13}\
.d{stroke-width:.25;stroke-dasharray:3 .75}\
.e{stroke-width:.13;stroke-dasharray:2.4 1.2}\
.c{stroke-width:.25;stroke-dasharray:6 .75 .15 .75}\
.r{stroke-width:.25;stroke-dasharray:3 .6 .15 .6 .15 .6}\
.k{fill:#000;stroke:none}.p{fill:#fff}";

/// An SVG text under construction.
#[derive(Debug, Default)]
pub struct Svg {
    body: String,
}

impl Svg {
    /// A straight line.
    pub fn line(&mut self, kind: Line, a: P, b: P) {
        self.path(kind, &[a, b], false);
    }

    /// A run of straight lines.
    pub fn path(&mut self, kind: Line, points: &[P], closed: bool) {
        let class = kind.class();
        self.raw(&format!("<path class=\"{class}\" d=\"{}\"/>", path_data(points, closed)));
    }

    /// A black area.
    pub fn filled(&mut self, points: &[P]) {
        self.raw(&format!("<path class=\"k\" d=\"{}\"/>", path_data(points, true)));
    }

    /// A white area with an outline.
    pub fn paper(&mut self, kind: Line, points: &[P]) {
        let class = kind.class();
        self.raw(&format!("<path class=\"{class} p\" d=\"{}\"/>", path_data(points, true)));
    }

    /// A rectangle.
    pub fn rect(&mut self, kind: Line, r: Rect) {
        self.path(kind, &corners(r), true);
    }

    /// A white rectangle with an outline.
    pub fn card(&mut self, kind: Line, r: Rect) {
        self.paper(kind, &corners(r));
    }

    /// A short text that runs up the sheet, its middle at `at`.
    pub fn upright(&mut self, at: P, size: f64, text: &str) {
        self.upright_at(at, size, Hang::Middle, text);
    }

    /// A text that runs up the sheet.
    pub fn upright_at(&mut self, at: P, size: f64, hang: Hang, text: &str) {
        let (x, y) = (num(at.0), num(at.1));
        let more = format!(" class=\"h\" transform=\"rotate(-90 {x} {y})\"");
        self.text_with(at, size, hang, &more, text);
    }

    /// A hatched rectangle without an outline.
    pub fn hatched(&mut self, r: Rect) {
        let (x, y, w, h) = (num(r.x), num(r.y), num(r.w), num(r.h));
        self.raw(&format!(
            "<rect fill=\"url(#hatch)\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/>"
        ));
    }

    /// A circle, white inside.
    pub fn circle(&mut self, kind: Line, at: P, radius: f64) {
        let class = kind.class();
        let (x, y, r) = (num(at.0), num(at.1), num(radius));
        self.raw(&format!("<circle class=\"{class} p\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>"));
    }

    /// A circle through which everything shows.
    pub fn ring(&mut self, kind: Line, at: P, radius: f64) {
        let class = kind.class();
        let (x, y, r) = (num(at.0), num(at.1), num(radius));
        self.raw(&format!("<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>"));
    }

    /// A black dot.
    pub fn dot(&mut self, at: P, radius: f64) {
        let (x, y, r) = (num(at.0), num(at.1), num(radius));
        self.raw(&format!("<circle class=\"k\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>"));
    }

    /// A text of `size` mm, level.
    pub fn text(&mut self, at: P, size: f64, hang: Hang, text: &str) {
        self.text_with(at, size, hang, "", text);
    }

    /// A bold text.
    pub fn bold(&mut self, at: P, size: f64, hang: Hang, text: &str) {
        self.text_with(at, size, hang, " font-weight=\"bold\"", text);
    }

    /// A text that clears the lines it stands on.
    pub fn haloed(&mut self, at: P, size: f64, hang: Hang, text: &str) {
        self.text_with(at, size, hang, " class=\"h\"", text);
    }

    fn text_with(&mut self, at: P, size: f64, hang: Hang, more: &str, text: &str) {
        let anchor = match hang {
            Hang::Start => "",
            Hang::Middle => " text-anchor=\"middle\"",
            Hang::End => " text-anchor=\"end\"",
        };
        let (x, y, size) = (num(at.0), num(at.1), num(size));
        self.raw(&format!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\"{anchor}{more}>{}</text>",
            escape(text)
        ));
    }

    /// Begins a group that tools and readers can find.
    pub fn open(&mut self, class: &str, title: &str) {
        self.raw(&format!("<g data-part=\"{}\"><title>{}</title>", escape(class), escape(title)));
    }

    /// Ends the group.
    pub fn close(&mut self) {
        self.raw("</g>");
    }

    fn raw(&mut self, text: &str) {
        self.body.push_str(text);
        self.body.push('\n');
    }

    /// To stand inside a page that has the styles of its lines, `w` by `h` mm on paper.
    pub fn inline(self, (w, h): P, title: &str) -> String {
        let (w, h) = (num(w), num(h));
        format!(
            "<svg class=\"drawing\" xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" \
             height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" role=\"img\"><title>{}</title>\n{}</svg>\n",
            escape(title),
            self.body
        )
    }

    /// The whole file, to print at `w` by `h` mm.
    pub fn finish(self, (w, h): P, title: &str, about: &str) -> String {
        let (w, h) = (num(w), num(h));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" \
             viewBox=\"0 0 {w} {h}\" role=\"img\">\n<title>{}</title>\n<desc>{}</desc>\n\
             <style>{STYLE}</style>\n<defs><pattern id=\"hatch\" width=\"2.2\" height=\"2.2\" \
             patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path d=\"M0 0V2.2\" \
             stroke=\"#000\" stroke-width=\".2\"/></pattern></defs>\n\
             <rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>\n{}</svg>\n",
            escape(title),
            escape(about),
            self.body
        )
    }
}

fn corners(r: Rect) -> [P; 4] {
    [(r.x, r.y), (r.right(), r.y), (r.right(), r.bottom()), (r.x, r.bottom())]
}

fn path_data(points: &[P], closed: bool) -> String {
    let mut data = String::new();
    for (i, p) in points.iter().enumerate() {
        data.push(if i == 0 { 'M' } else { 'L' });
        data.push_str(&format!("{} {}", num(p.0), num(p.1)));
    }
    if closed {
        data.push('Z');
    }
    data
}

/// A coordinate to a hundredth of a mm. What is no number has no place on paper;
/// the caller keeps such points out.
fn num(value: f64) -> String {
    crate::emit::words::decimal(if value.is_finite() { value } else { 0.0 }, 2)
}

/// A text as XML 1.0 content or attribute value. Characters XML cannot carry
/// become U+FFFD.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// About how wide a text of `size` mm is: sums the widths of a common sans serif
/// in classes, a little on the wide side.
pub fn text_width(text: &str, size: f64) -> f64 {
    let em = |c: char| match c {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' | 't' | 'f' => 0.3,
        'r' | '-' | '(' | ')' | '/' | '"' => 0.36,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.87,
        'A'..='Z' | '&' => 0.7,
        c if c.is_ascii() => 0.56,
        c if (c as u32) < 0x1100 => 0.62,
        _ => 1.1,
    };
    text.chars().map(em).sum::<f64>() * size
}

/// The text cut to `width` mm, with "…" where something is missing.
pub fn fitted(text: &str, size: f64, width: f64) -> String {
    if text_width(text, size) <= width {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if text_width(&kept, size) + 1.1 * size > width {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_style_sheet_has_the_line_types() {
        let number = |v: &f32| v.to_string().trim_start_matches('0').to_owned();
        for line in [
            Line::Wide,
            Line::Narrow,
            Line::Fine,
            Line::Dashed,
            Line::FineDashed,
            Line::Chain,
            Line::Reach,
        ] {
            let rule = STYLE.rsplit('}').find(|r| r.starts_with(&format!(".{}{{", line.class())));
            let rule = rule.unwrap();
            let width = format!("stroke-width:{}", number(&line.width()));
            assert!(rule.contains(&width), "{rule} {width}");
            let dashes: Vec<String> = line.dashes().iter().map(number).collect();
            let dashes = format!("stroke-dasharray:{}", dashes.join(" "));
            assert_eq!(rule.contains(&dashes), !line.dashes().is_empty(), "{rule} {dashes}");
        }
    }

    #[test]
    fn text_cannot_become_markup() {
        assert_eq!(
            escape("</text><b a='x'>&\u{7}"),
            "&lt;/text&gt;&lt;b a=&#39;x&#39;&gt;&amp;\u{fffd}"
        );
    }

    #[test]
    fn long_texts_are_cut_inside_their_width() {
        let cut = fitted("a very long name indeed", 2.5, 20.0);
        assert!(cut.ends_with('…') && text_width(&cut, 2.5) <= 20.0, "{cut}");
        assert_eq!(fitted("bear", 2.5, 20.0), "bear");
    }
}

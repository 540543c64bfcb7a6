//! The data of a path: SVG 1.1 (second edition), chapter 8, and the numbers and
//! transforms of the same standard.

use std::f64::consts::PI;

use nalgebra::{Matrix2, Matrix3, Vector2};

/// A point in the units of a drawing, y downwards.
pub(super) type At = (f64, f64);

/// One stretch of a line, from where the last one ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Stretch {
    /// Straight to a point.
    Line(At),
    /// A quadratic curve: its control point and end.
    Quadratic(At, At),
    /// A cubic curve: its control points and end.
    Cubic(At, At, At),
    /// A piece of an ellipse.
    Arc(Arc),
}

/// A piece of an ellipse by its middle (the standard's appendix F.6.5).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Arc {
    pub middle: At,
    pub radii: (f64, f64),
    /// How its first axis is turned, rad.
    pub turned: f64,
    /// Where it begins and how far it goes, rad.
    pub from: f64,
    pub over: f64,
    pub end: At,
}

impl Arc {
    /// Its point at an angle of its own.
    pub fn at(&self, angle: f64) -> At {
        let (c, s) = (libm::cos(self.turned), libm::sin(self.turned));
        let (x, y) = (self.radii.0 * libm::cos(angle), self.radii.1 * libm::sin(angle));
        (self.middle.0 + c * x - s * y, self.middle.1 + s * x + c * y)
    }
}

/// One line of a path.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    pub start: At,
    pub stretches: Vec<Stretch>,
    /// It says itself that it is closed.
    pub closed: bool,
}

impl Line {
    pub fn from(start: At) -> Self {
        Self { start, stretches: Vec::new(), closed: false }
    }

    pub fn end(&self) -> At {
        match self.stretches.last() {
            None => self.start,
            Some(Stretch::Line(e) | Stretch::Quadratic(_, e) | Stretch::Cubic(_, _, e)) => *e,
            Some(Stretch::Arc(a)) => a.end,
        }
    }
}

/// What is wrong in a text of numbers: the byte, and what was wanted there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Wrong {
    pub at: usize,
    pub wanted: &'static str,
}

/// A text of letters and numbers.
pub(super) struct Numbers<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Numbers<'t> {
    pub fn of(text: &'t str) -> Self {
        Self { text, at: 0 }
    }

    fn rest(&self) -> &'t [u8] {
        &self.text.as_bytes()[self.at..]
    }

    fn blank(&mut self) {
        while self.rest().first().is_some_and(|b| b.is_ascii_whitespace() || *b == b',') {
            self.at += 1;
        }
    }

    /// Whether nothing but blanks is left.
    pub fn done(&mut self) -> bool {
        self.blank();
        self.rest().is_empty()
    }

    fn wrong(&self, wanted: &'static str) -> Wrong {
        Wrong { at: self.at, wanted }
    }

    /// A number, with no blank wanted where none is needed: `1.5.5-2` are three.
    pub fn number(&mut self) -> Result<f64, Wrong> {
        self.blank();
        let bytes = self.rest();
        let digits = |from: usize| {
            bytes[from.min(bytes.len())..].iter().take_while(|b| b.is_ascii_digit()).count()
        };
        let sign = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
        let whole = digits(sign);
        let mut length = sign + whole;
        let mut part = 0;
        if bytes.get(length) == Some(&b'.') {
            part = digits(length + 1);
            length += 1 + part;
        }
        if whole + part == 0 {
            return Err(self.wrong("a number"));
        }
        if matches!(bytes.get(length), Some(b'e' | b'E')) {
            let sign = usize::from(matches!(bytes.get(length + 1), Some(b'+' | b'-')));
            let power = digits(length + 1 + sign);
            if power > 0 {
                length += 1 + sign + power;
            }
        }
        let number = self.text.get(self.at..self.at + length).and_then(|t| t.parse::<f64>().ok());
        match number.filter(|n| n.is_finite()) {
            Some(number) => {
                self.at += length;
                Ok(number)
            }
            None => Err(self.wrong("a number")),
        }
    }

    /// One of the two flags of an arc; they may stand close together.
    fn flag(&mut self) -> Result<bool, Wrong> {
        self.blank();
        let flag = match self.rest().first() {
            Some(b'0') => false,
            Some(b'1') => true,
            _ => return Err(self.wrong("0 or 1")),
        };
        self.at += 1;
        Ok(flag)
    }

    fn begins_number(&mut self) -> bool {
        self.blank();
        self.rest().first().is_some_and(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'.'))
    }

    fn letter(&mut self) -> Result<u8, Wrong> {
        self.blank();
        match self.rest().first() {
            Some(b) if b.is_ascii_alphabetic() => {
                self.at += 1;
                Ok(*b)
            }
            _ => Err(self.wrong("one of the letters M L H V C S Q T A Z")),
        }
    }

    /// A word of letters, for transforms.
    fn word(&mut self) -> &'t str {
        self.blank();
        let length = self.rest().iter().take_while(|b| b.is_ascii_alphabetic()).count();
        let word = self.text.get(self.at..self.at + length).unwrap_or("");
        self.at += length;
        word
    }

    fn sign(&mut self, sign: u8) -> Result<(), Wrong> {
        self.blank();
        if self.rest().first() != Some(&sign) {
            return Err(self.wrong(if sign == b'(' { "(" } else { ")" }));
        }
        self.at += 1;
        Ok(())
    }
}

/// Where a path stands while it is read.
struct Pen {
    lines: Vec<Line>,
    now: At,
    /// The last control point, for the smooth letters: of a cubic, of a quadratic.
    last: (Option<At>, Option<At>),
}

impl Pen {
    fn line(&mut self) -> &mut Line {
        // After a Z the next stretch begins a new line where the last one began.
        if self.lines.last().is_none_or(|l| l.closed) {
            self.lines.push(Line::from(self.now));
        }
        let last = self.lines.len() - 1;
        &mut self.lines[last]
    }

    fn add(&mut self, stretch: Stretch, last: (Option<At>, Option<At>)) {
        let line = self.line();
        line.stretches.push(stretch);
        self.now = line.end();
        self.last = last;
    }

    fn mirrored(&self, control: Option<At>) -> At {
        control.map_or(self.now, |c| (2.0 * self.now.0 - c.0, 2.0 * self.now.1 - c.1))
    }
}

/// The lines of a path.
pub(super) fn lines(data: &str) -> Result<Vec<Line>, Wrong> {
    let mut numbers = Numbers::of(data);
    let mut pen = Pen { lines: Vec::new(), now: (0.0, 0.0), last: (None, None) };
    let mut first = true;
    while !numbers.done() {
        let at = numbers.at;
        let letter = numbers.letter()?;
        if first && !letter.eq_ignore_ascii_case(&b'm') {
            return Err(Wrong { at, wanted: "M, which begins a path" });
        }
        first = false;
        if letter.eq_ignore_ascii_case(&b'z') {
            if let Some(line) = pen.lines.last_mut() {
                line.closed = true;
                pen.now = line.start;
            }
            pen.last = (None, None);
            continue;
        }
        let mut again = letter;
        loop {
            command(again, at, &mut numbers, &mut pen)?;
            // More points after an M are joined by straight lines.
            again = match again {
                b'M' => b'L',
                b'm' => b'l',
                same => same,
            };
            if !numbers.begins_number() {
                break;
            }
        }
    }
    Ok(pen.lines)
}

fn command(letter: u8, at: usize, n: &mut Numbers<'_>, pen: &mut Pen) -> Result<(), Wrong> {
    let base = if letter.is_ascii_lowercase() { pen.now } else { (0.0, 0.0) };
    let point = |n: &mut Numbers<'_>| Ok((base.0 + n.number()?, base.1 + n.number()?));
    match letter.to_ascii_uppercase() {
        b'M' => {
            pen.now = point(n)?;
            pen.lines.push(Line::from(pen.now));
            pen.last = (None, None);
        }
        b'L' => pen.add(Stretch::Line(point(n)?), (None, None)),
        b'H' => pen.add(Stretch::Line((base.0 + n.number()?, pen.now.1)), (None, None)),
        b'V' => pen.add(Stretch::Line((pen.now.0, base.1 + n.number()?)), (None, None)),
        b'C' => {
            let (a, b, end) = (point(n)?, point(n)?, point(n)?);
            pen.add(Stretch::Cubic(a, b, end), (Some(b), None));
        }
        b'S' => {
            let a = pen.mirrored(pen.last.0);
            let (b, end) = (point(n)?, point(n)?);
            pen.add(Stretch::Cubic(a, b, end), (Some(b), None));
        }
        b'Q' => {
            let (c, end) = (point(n)?, point(n)?);
            pen.add(Stretch::Quadratic(c, end), (None, Some(c)));
        }
        b'T' => {
            let c = pen.mirrored(pen.last.1);
            let end = point(n)?;
            pen.add(Stretch::Quadratic(c, end), (None, Some(c)));
        }
        b'A' => {
            let radii = (n.number()?, n.number()?);
            let turned = n.number()?.to_radians();
            let (large, sweep) = (n.flag()?, n.flag()?);
            let end = point(n)?;
            pen.add(arc(pen.now, radii, turned, large, sweep, end), (None, None));
        }
        _ => return Err(Wrong { at, wanted: "one of the letters M L H V C S Q T A Z" }),
    }
    Ok(())
}

/// An arc by its ends (the standard's appendix F.6): straight where a radius is nought,
/// grown where the radii do not reach.
fn arc(from: At, radii: (f64, f64), turned: f64, large: bool, sweep: bool, end: At) -> Stretch {
    let (rx, ry) = (radii.0.abs(), radii.1.abs());
    if rx == 0.0 || ry == 0.0 || from == end {
        return Stretch::Line(end);
    }
    let (c, s) = (libm::cos(turned), libm::sin(turned));
    let turn = Matrix2::new(c, s, -s, c);
    let half = turn * Vector2::new((from.0 - end.0) / 2.0, (from.1 - end.1) / 2.0);
    let (ux, uy) = (half.x / rx, half.y / ry);
    let reach = ux * ux + uy * uy;
    let grow = if reach > 1.0 { reach.sqrt() } else { 1.0 };
    let (rx, ry, ux, uy, reach) = (rx * grow, ry * grow, ux / grow, uy / grow, reach / grow / grow);
    let side = if large == sweep { -1.0 } else { 1.0 };
    let off = side * (1.0 / reach - 1.0).max(0.0).sqrt();
    // The middle in the arc's own axes, with the radii as units.
    let (mx, my) = (off * uy, -off * ux);
    let own = turn.transpose() * Vector2::new(mx * rx, my * ry);
    let middle = (own.x + (from.0 + end.0) / 2.0, own.y + (from.1 + end.1) / 2.0);
    let begin = libm::atan2(uy - my, ux - mx);
    let mut over = libm::atan2(-uy - my, -ux - mx) - begin;
    if sweep && over < 0.0 {
        over += 2.0 * PI;
    }
    if !sweep && over > 0.0 {
        over -= 2.0 * PI;
    }
    Stretch::Arc(Arc { middle, radii: (rx, ry), turned, from: begin, over, end })
}

/// The map of a `transform`, its parts one after the other from the right.
pub(super) fn transform(text: &str) -> Result<Matrix3<f64>, Wrong> {
    let mut numbers = Numbers::of(text);
    let mut map = Matrix3::identity();
    while !numbers.done() {
        let at = numbers.at;
        let word = numbers.word();
        numbers.sign(b'(')?;
        let mut given = Vec::new();
        while numbers.begins_number() {
            given.push(numbers.number()?);
        }
        numbers.sign(b')')?;
        let shift = |x: f64, y: f64| Matrix3::new(1.0, 0.0, x, 0.0, 1.0, y, 0.0, 0.0, 1.0);
        let one = match (word, given.as_slice()) {
            ("matrix", &[a, b, c, d, e, f]) => Matrix3::new(a, c, e, b, d, f, 0.0, 0.0, 1.0),
            ("translate", &[x]) => shift(x, 0.0),
            ("translate", &[x, y]) => shift(x, y),
            ("scale", &[k]) => Matrix3::new(k, 0.0, 0.0, 0.0, k, 0.0, 0.0, 0.0, 1.0),
            ("scale", &[x, y]) => Matrix3::new(x, 0.0, 0.0, 0.0, y, 0.0, 0.0, 0.0, 1.0),
            ("rotate", &[by]) => turned(by),
            ("rotate", &[by, x, y]) => shift(x, y) * turned(by) * shift(-x, -y),
            ("skewX", &[by]) => {
                let t = libm::tan(by.to_radians());
                Matrix3::new(1.0, t, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0)
            }
            ("skewY", &[by]) => {
                let t = libm::tan(by.to_radians());
                Matrix3::new(1.0, 0.0, 0.0, t, 1.0, 0.0, 0.0, 0.0, 1.0)
            }
            _ => {
                return Err(Wrong {
                    at,
                    wanted: "matrix, translate, scale, rotate, skewX or skewY with its numbers",
                });
            }
        };
        map *= one;
    }
    Ok(map)
}

fn turned(by: f64) -> Matrix3<f64> {
    let (c, s) = (libm::cos(by.to_radians()), libm::sin(by.to_radians()));
    Matrix3::new(c, -s, 0.0, s, c, 0.0, 0.0, 0.0, 1.0)
}

/// A length: in the drawing's own units, where it is a plain number or one of CSS's
/// absolute ones (a px is a unit, 96 to the inch); `None` for any other.
pub(super) fn length(text: &str) -> Option<Length> {
    let mut numbers = Numbers::of(text);
    let number = numbers.number().ok()?;
    // CSS Values and Units 3, section 6.2: 1 in = 96 px = 25.4 mm = 72 pt = 6 pc.
    let mm = match numbers.text[numbers.at..].trim() {
        "" => return Some(Length { units: number, mm: None }),
        "px" => 25.4 / 96.0,
        "mm" => 1.0,
        "cm" => 10.0,
        "in" => 25.4,
        "pt" => 25.4 / 72.0,
        "pc" => 25.4 / 6.0,
        "Q" | "q" => 0.25,
        _ => return None,
    };
    Some(Length { units: number * mm * 96.0 / 25.4, mm: Some(number * mm) })
}

/// See [`length`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Length {
    pub units: f64,
    pub mm: Option<f64>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_may_stand_close_together() {
        let got = lines("M1.5.5-2+3e1").unwrap();
        assert_eq!(got[0].start, (1.5, 0.5));
        assert_eq!(got[0].stretches, vec![Stretch::Line((-2.0, 30.0))]);
        assert!(lines("M0 0L1").is_err());
    }

    #[test]
    fn an_arc_goes_through_its_ends_round_its_middle() {
        // Half a circle of 10 about (10, 0), the way of the clock on a sheet with y down.
        let got = lines("M0 0a10 10 0 0 1 20 0").unwrap();
        let Stretch::Arc(arc) = got[0].stretches[0] else { panic!() };
        assert!((arc.middle.0 - 10.0).abs() < 1e-12 && arc.middle.1.abs() < 1e-12);
        let top = arc.at(arc.from + arc.over / 2.0);
        assert!((top.0 - 10.0).abs() < 1e-12 && (top.1 + 10.0).abs() < 1e-12, "{top:?}");
        // Radii too small grow until they reach (F.6.6).
        let got = lines("M0 0A1 1 0 0 1 20 0").unwrap();
        let Stretch::Arc(arc) = got[0].stretches[0] else { panic!() };
        assert!((arc.radii.0 - 10.0).abs() < 1e-12);
    }

    #[test]
    fn transforms_work_from_the_right() {
        let map = transform("translate(10 0) scale(2), rotate(90)").unwrap();
        let at = map * nalgebra::Vector3::new(1.0, 0.0, 1.0);
        assert!((at.x - 10.0).abs() < 1e-12 && (at.y - 2.0).abs() < 1e-12);
        assert!(transform("turn(3)").is_err() && transform("scale(1 2 3)").is_err());
    }
}

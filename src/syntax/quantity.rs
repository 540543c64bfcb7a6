//! Numbers, units and points along a clause.
//!
//! A number keeps its text until a slot asks for it; a bare number takes the next
//! unit to its right inside the same range, list, point or row. Values are exact
//! decimals times exact rationals, rounded once.

use super::codes;
use super::cursor::{Cursor, Piece, Reported, shown};
use super::number::{Num, NumFault, exact_in};
use super::units::{unit_named, units_text};
use super::words::{Part, Sign};
use super::{Shape, ShapeKind};
use crate::finding::{Finding, Place, Spanned, closest};
use crate::units::{Decimal, Dimension, FARTHEST, Unit};

/// A quantity as read.
#[derive(Clone, Copy, Debug)]
pub struct Measured {
    /// In the canonical unit of its dimension; music in the unit as written.
    pub value: f64,
    /// The unit: its own, or the one to its right that it shares. `None` for a
    /// time written as a clock.
    pub unit: Option<&'static Unit>,
    /// Where it stands, with its own unit.
    pub place: Place,
    exact: Exactly,
}

/// What a quantity is before rounding.
#[derive(Clone, Copy, Debug)]
enum Exactly {
    /// A number of its unit.
    Number(Num),
    /// A sum, in the canonical unit.
    Sum(Decimal),
    /// A clock time.
    Clock,
}

impl Measured {
    /// The number in front of the unit, exact; `None` where several were added.
    #[must_use]
    pub fn number(&self) -> Option<Decimal> {
        match self.exact {
            Exactly::Number(num) => Some(num.exact()),
            _ => None,
        }
    }

    /// The exact size in the canonical unit, where the unit's factor is rational.
    fn total(&self) -> Option<Decimal> {
        match (self.exact, self.unit) {
            (Exactly::Number(num), Some(unit)) => exact_in(num, unit),
            (Exactly::Sum(total), _) => Some(total),
            _ => None,
        }
    }
}

/// What a search for a unit to the right found, and for which stretch it holds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    from: u32,
    /// Index of the shape that ended the search.
    pub(super) to: u32,
    dims: *const Dimension,
    found: Option<&'static Unit>,
    /// The mistake was reported already.
    pub(super) reported: bool,
    /// What ended the search was reported as a wrong or unknown unit.
    pub(super) bad: bool,
}

/// How many shapes ahead a number's own unit is looked for when it is decided
/// which value it is.
const NEAR: usize = 16;

/// No size in a yard is below this, mm (common practice, no source).
const SMALLEST: f64 = 0.01;
/// No angle is written as more degrees, deg: ten turns. A winch servo is told of five
/// (common practice, no source).
const MOST_DEGREES: f64 = 3600.0;
/// No angle is counted as more turns (common practice, no source).
const MOST_TURNS: f64 = 10_000.0;
/// No time in a yard is longer, s: a year.
const LONGEST: f64 = 366.0 * 86_400.0;

/// Words that stand inside a range or row without ending it.
const JOINTS: [&str; 3] = ["to", "by", "of"];

impl<'a> Cursor<'a> {
    /// A quantity of one of these dimensions, with its unit: `30 mm`, `3 1/2 in`,
    /// `4 ft 6 in`, `310 mm - 40 mm`, and for times `1:12.500`.
    ///
    /// # Errors
    /// Where number or unit is missing or does not fit; reported.
    pub fn quantity(
        &mut self,
        dims: &'static [Dimension],
        sign: Sign,
    ) -> Result<Measured, Reported> {
        let mut sum = self.term(dims)?;
        while let Some(minus) = self.joins_sum() {
            self.skip();
            let term = self.term(dims)?;
            sum = self.added(sum, term, minus)?;
        }
        self.check_sign(sum, sign)
    }

    /// Whether a blank-separated `+` or `-` and a number stand next.
    fn joins_sum(&self) -> Option<bool> {
        let op = self.peek_if(ShapeKind::Op).filter(|p| matches!(p.text, "+" | "-"))?;
        let number = self.peek_at(1).filter(|p| p.kind == ShapeKind::Number)?;
        (number.place.lo > op.place.hi).then_some(op.text == "-")
    }

    fn added(&mut self, a: Measured, b: Measured, minus: bool) -> Result<Measured, Reported> {
        let place = a.place.to(b.place);
        let (Some(x), Some(y)) = (a.total(), b.total()) else {
            return Err(self.fault(&codes::NUMBER_UNCLEAR, place, "these two cannot be added."));
        };
        match x.plus(if minus { y.negated() } else { y }) {
            Some(t) => {
                Ok(Measured { value: t.value(), unit: b.unit, place, exact: Exactly::Sum(t) })
            }
            None => Err(self.too_long(place)),
        }
    }

    fn check_sign(&mut self, got: Measured, sign: Sign) -> Result<Measured, Reported> {
        let (bad, want) = match sign {
            Sign::Any => (false, ""),
            Sign::NotNegative => (got.value < 0.0, "zero or more"),
            Sign::Positive => (got.value <= 0.0, "more than zero"),
        };
        if !bad {
            return self.check_slips(got, sign);
        }
        let text = self.text_of(got.place);
        let finding =
            Finding::new(&codes::SIZE_NOT_POSITIVE, got.place, format!("`{text}` must be {want}."));
        Err(self.fail(finding.help(format!("write one that is {want}."))))
    }

    /// Refuses lengths, angles and times that are slips of the pen whatever they are meant
    /// for, so that no stage need reckon with them.
    fn check_slips(&mut self, got: Measured, sign: Sign) -> Result<Measured, Reported> {
        let Some(unit) = got.unit else { return Ok(got) };
        let (size, small) = (got.value.abs(), matches!(sign, Sign::Positive));
        let (code, why) = match unit.dimension {
            Dimension::Length if size > FARTHEST.0 => {
                (&codes::LENGTH_UNBUILDABLE, "more than 10 km: no yard is so large.")
            }
            Dimension::Length if small && size < SMALLEST => (
                &codes::LENGTH_UNBUILDABLE,
                "less than a hundredth of a millimetre: nobody cuts or drills so finely.",
            ),
            Dimension::Angle if unit.symbol == "turn" && size > 360.0 * MOST_TURNS => (
                &codes::ANGLE_IMPLAUSIBLE,
                "more than 10000 turns: nothing in a yard winds so far.",
            ),
            Dimension::Angle if unit.symbol != "turn" && size > MOST_DEGREES => (
                &codes::ANGLE_IMPLAUSIBLE,
                "more than ten turns: after each it points the same way, so one between -360 and \
                 360 deg is meant.",
            ),
            Dimension::Time if size > LONGEST => {
                (&codes::TIME_IMPLAUSIBLE, "more than a year: nothing in a yard takes so long.")
            }
            _ => return Ok(got),
        };
        let message = format!("`{}` is {why}", self.text_of(got.place));
        let finding = Finding::new(code, got.place, message);
        Err(self.fail(
            finding.help("look at its digits, its point and its unit, and write what is meant."),
        ))
    }

    pub(super) fn text_of(&self, place: Place) -> String {
        shown(&self.text[place.lo as usize..place.hi as usize])
    }

    /// Whether the next shape begins a quantity.
    #[must_use]
    pub fn is_number(&self) -> bool {
        self.is(ShapeKind::Number)
    }

    /// Whether the number that stands next has no unit of its own before the next
    /// number (`3  1.8 A`, but not `3 1/2 in`): two values, the first without its unit.
    pub(super) fn numbers_in_a_row(&self) -> bool {
        let second = self.peek_at(1).filter(|p| p.kind == ShapeKind::Number);
        second.is_some_and(|p| !p.text.contains('/') && !p.text.starts_with(['-', '+']))
    }

    /// The dimension of the unit the number that stands next will take.
    pub(super) fn dimension_ahead(&self) -> Option<Dimension> {
        let mut at = self.at;
        for _ in 0..NEAR {
            let piece = self.piece(at)?;
            match piece.kind {
                ShapeKind::Percent => return Some(Dimension::Share),
                ShapeKind::Number if piece.is_clock() => return Some(Dimension::Time),
                ShapeKind::Number => at = self.tape[at as usize].end,
                ShapeKind::Ask => return None,
                ShapeKind::Word => match unit_named(piece.text) {
                    Some(u) => return Some(u.dimension),
                    None if JOINTS.contains(&piece.text) => at = self.tape[at as usize].end,
                    None => return None,
                },
                _ => return None,
            }
        }
        None
    }

    /// One number with its unit, mixed units included.
    fn term(&mut self, dims: &'static [Dimension]) -> Result<Measured, Reported> {
        if let Some(time) = self.clock_time(dims)? {
            return Ok(time);
        }
        let (num, place) = self.plain(dims)?;
        let (unit, own) = self.unit_for(place, dims)?;
        let place = own.map_or(place, |p| place.to(p));
        let Some(value) = num.scaled(unit) else { return Err(self.too_long(place)) };
        let first = Measured { value, unit: Some(unit), place, exact: Exactly::Number(num) };
        if own.is_some() { self.mixed(first, num, unit) } else { Ok(first) }
    }

    /// The smaller unit behind: `4 ft 6 1/2 in`.
    fn mixed(
        &mut self,
        first: Measured,
        num: Num,
        unit: &'static Unit,
    ) -> Result<Measured, Reported> {
        let smaller: &[&str] = match unit.symbol {
            "ft" => &["in"],
            "m" => &["cm"],
            "h" => &["min"],
            "min" => &["s"],
            "lb" => &["oz"],
            _ => return Ok(first),
        };
        let unsigned =
            |p: Piece<'_>| p.kind == ShapeKind::Number && !p.text.starts_with(['-', '+']);
        if !self.peek().is_some_and(unsigned) {
            return Ok(first);
        }
        let word =
            if self.peek_at(1).is_some_and(unsigned) { self.peek_at(2) } else { self.peek_at(1) };
        let next = word.filter(|p| p.kind == ShapeKind::Word).and_then(|p| unit_named(p.text));
        let Some(next) = next.filter(|u| smaller.contains(&u.symbol)) else { return Ok(first) };
        let (low, low_place) = self.plain(&[])?;
        let end = self.next().map_or(low_place, |p| p.place);
        let place = first.place.to(end);
        let sign = if num.num < 0 { -1 } else { 1 };
        let low = Num { num: sign * low.num, den: low.den };
        let total = exact_in(num, unit).zip(exact_in(low, next)).and_then(|(a, b)| a.plus(b));
        let Some(total) = total else { return Err(self.too_long(place)) };
        let exact = Exactly::Sum(total);
        let both = Measured { value: total.value(), unit: Some(unit), place, exact };
        if next.symbol == "min" { self.mixed_time(both, total) } else { Ok(both) }
    }

    /// The seconds behind `1 h 20 min`.
    fn mixed_time(&mut self, sum: Measured, total: Decimal) -> Result<Measured, Reported> {
        let seconds =
            self.peek_at(1).is_some_and(|p| unit_named(p.text).is_some_and(|u| u.symbol == "s"));
        if !self.is_number() || !seconds {
            return Ok(sum);
        }
        let (low, _) = self.plain(&[])?;
        let place = sum.place.to(self.next().map_or(sum.place, |p| p.place));
        match total.plus(low.exact()) {
            Some(t) => Ok(Measured { value: t.value(), place, exact: Exactly::Sum(t), ..sum }),
            None => Err(self.too_long(place)),
        }
    }

    /// A time as a clock, where times are wanted: `1:12.500`.
    fn clock_time(&mut self, dims: &[Dimension]) -> Result<Option<Measured>, Reported> {
        let piece = self.peek_if(ShapeKind::Number).filter(|p| p.is_clock());
        let Some(piece) = piece.filter(|_| dims.contains(&Dimension::Time)) else {
            return Ok(None);
        };
        self.skip();
        match super::clock::seconds(piece.text) {
            Some(value) => {
                Ok(Some(Measured { value, unit: None, place: piece.place, exact: Exactly::Clock }))
            }
            None => Err(self.fail(super::clock::unclear(piece.text, piece.place))),
        }
    }

    /// One plain number: `12`, `-2.3`, `3 1/2`, `3-1/2`. Takes the shapes.
    pub(super) fn plain(&mut self, dims: &[Dimension]) -> Result<(Num, Place), Reported> {
        let Some(piece) = self.peek() else {
            return Err(self.number_needed(self.here(), None, dims));
        };
        if piece.kind != ShapeKind::Number {
            let run = self.run().unwrap_or(Spanned::new(piece.text, piece.place));
            return Err(self.number_needed(run.place, Some(run.value), dims));
        }
        self.skip();
        let num = match Num::read(piece.text) {
            Ok(num) => num,
            Err(fault) => return Err(self.unclear(piece, fault)),
        };
        if let Some(comma) = self.decimal_comma(piece) {
            return Err(comma);
        }
        if num.den == 1
            && let Some(next) = self.peek_if(ShapeKind::Number)
            && let Ok(fraction) = Num::read(next.text)
            && fraction.is_fraction(next.text)
            && fraction.num < fraction.den
            && !next.text.contains('-')
            && let Ok(sum) = num.signed_and(fraction, piece.text)
        {
            self.skip();
            return Ok((sum, piece.place.to(next.place)));
        }
        Ok((num, piece.place))
    }

    /// A bare number without a unit, exact.
    ///
    /// # Errors
    /// Where none stands there; reported.
    pub fn number(&mut self) -> Result<Spanned<Decimal>, Reported> {
        let (num, place) = self.plain(&[])?;
        Ok(Spanned::new(num.exact(), place))
    }

    /// A bare whole number from 0.
    ///
    /// # Errors
    /// Where none stands there; reported.
    pub fn count(&mut self, what: &str) -> Result<Spanned<u32>, Reported> {
        let (num, place) = self.plain(&[])?;
        let whole = (num.num >= 0 && num.num % num.den == 0).then(|| num.num / num.den);
        match whole.and_then(|n| u32::try_from(n).ok()) {
            Some(n) => Ok(Spanned::new(n, place)),
            None => {
                let text = self.text_of(place);
                let text = format!("{what} is a whole number from 0, not `{text}`.");
                Err(self.fault(&codes::NUMBER_NEEDED, place, text))
            }
        }
    }

    /// `2,5` for 2.5: reported at the whole of it.
    fn decimal_comma(&mut self, number: Piece<'_>) -> Option<Reported> {
        let comma = self.peek().filter(|p| p.text == "," && p.place.lo == number.place.hi)?;
        let after = self
            .peek_at(1)
            .filter(|p| p.kind == ShapeKind::Number && p.place.lo == comma.place.hi)?;
        let inside_point = self.tape[..self.at as usize]
            .iter()
            .rev()
            .take(12)
            .any(|s| s.kind == ShapeKind::Point && s.hi > number.place.hi);
        if inside_point {
            return None;
        }
        self.skip();
        self.skip();
        let place = number.place.to(after.place);
        let point = format!("{}.{}", number.text, after.text);
        let text = format!(
            "`{}` has a comma; decimals are written with a point: {point}.",
            self.text_of(place)
        );
        let finding = Finding::new(&codes::NUMBER_UNCLEAR, place, text);
        Some(self.fail(finding.fix("write a point", place, point)))
    }

    pub(super) fn too_long(&mut self, place: Place) -> Reported {
        let text = self.text_of(place);
        let text = format!("`{text}` has more digits than can be kept exactly; 15 are enough.");
        let finding = Finding::new(&codes::NUMBER_TOO_LONG, place, text);
        self.fail(finding.help("round it to 15 digits or fewer."))
    }

    fn number_needed(&mut self, place: Place, got: Option<&str>, dims: &[Dimension]) -> Reported {
        let want = match dims {
            [] => "a number".to_owned(),
            dims => format!("{} ({})", dims[0].title(), example_of(dims[0])),
        };
        let text = match got {
            Some(got) => format!("{want} must stand here, not `{}`.", shown(got)),
            None => format!("{want} is missing here."),
        };
        let code = if got.is_some() { &codes::NUMBER_NEEDED } else { &codes::VALUE_MISSING };
        let help = match dims {
            [] => "write a number, such as 12.".to_owned(),
            dims => format!("write it as {}.", example_of(dims[0])),
        };
        self.fail(Finding::new(code, place, text).help(help))
    }

    fn unclear(&mut self, piece: Piece<'_>, fault: NumFault) -> Reported {
        let (text, place) = (shown(piece.text), piece.place);
        match fault {
            NumFault::TooLong => self.too_long(place),
            NumFault::Sum => {
                let spaced = piece.text.replacen('-', " - ", 1);
                let finding = Finding::new(
                    &codes::NUMBER_UNCLEAR,
                    place,
                    format!("`{text}` can be read as a sum or as two numbers."),
                )
                .help(format!(
                    "a difference has blanks on both sides: {spaced}; a range is written with `to`."
                ));
                self.fail(finding)
            }
            NumFault::ZeroBelow => {
                let said = format!("`{text}` has a zero under its line.");
                let finding = Finding::new(&codes::NUMBER_UNCLEAR, place, said);
                self.fail(finding.help("write a fraction such as 3/4, or a decimal such as 0.75."))
            }
            NumFault::Clock | NumFault::Date => {
                let kind = if matches!(fault, NumFault::Date) { "date" } else { "time of a clock" };
                let said = format!("`{text}` is a {kind}; a plain number must stand here.");
                let finding = Finding::new(&codes::NUMBER_NEEDED, place, said);
                self.fail(finding.help("write a number with its unit, such as 90 s."))
            }
            NumFault::Other => {
                let said = format!("`{text}` is not a number.");
                let finding = Finding::new(&codes::NUMBER_UNCLEAR, place, said);
                self.fail(finding.help("write it with digits and one point: 12, 1.5 or 1 1/2."))
            }
        }
    }

    /// The unit of the number just taken, and its place where it stands directly
    /// behind the number (it is taken then).
    fn unit_for(
        &mut self,
        number: Place,
        dims: &'static [Dimension],
    ) -> Result<(&'static Unit, Option<Place>), Reported> {
        if let Some(next) = self.peek()
            && let Some(unit) = unit_of_piece(next).filter(|u| dims.contains(&u.dimension))
        {
            self.skip();
            return Ok((unit, Some(next.place)));
        }
        let look = self.look_right(dims);
        match look.found {
            Some(unit) => Ok((unit, None)),
            None => Err(self.no_unit(number, look, dims)),
        }
    }

    /// Searches for the unit that the number in front of the cursor shares.
    fn look_right(&mut self, dims: &'static [Dimension]) -> Look {
        if let Some(look) = self.look
            && look.from <= self.at
            && self.at <= look.to
            && std::ptr::eq(look.dims, dims.as_ptr())
        {
            return look;
        }
        let (mut at, mut found) = (self.at, None);
        while at < self.limit() {
            let shape = self.tape[at as usize];
            let text = &self.text[shape.lo as usize..shape.hi as usize];
            match shape.kind {
                ShapeKind::Number
                | ShapeKind::Op
                | ShapeKind::Point
                | ShapeKind::Unclosed
                | ShapeKind::Stray => {}
                ShapeKind::Word if JOINTS.contains(&text) => {}
                ShapeKind::Word | ShapeKind::Percent => {
                    let piece =
                        Piece { kind: shape.kind, text, place: self.place(shape.lo, shape.hi) };
                    found = unit_of_piece(piece).filter(|u| dims.contains(&u.dimension));
                    break;
                }
                _ => break,
            }
            at += 1;
        }
        let look =
            Look { from: self.at, to: at, dims: dims.as_ptr(), found, reported: false, bad: false };
        self.look = Some(look);
        look
    }

    /// The end of the line for a search: a cursor inside a point looks out of it.
    fn limit(&self) -> u32 {
        self.outer_end.max(self.end)
    }

    /// Reports why the number has no unit, once for all numbers that share it.
    fn no_unit(&mut self, number: Place, look: Look, dims: &'static [Dimension]) -> Reported {
        if look.reported {
            return Reported;
        }
        if let Some(l) = &mut self.look {
            l.reported = true;
        }
        let stop = (look.to < self.limit()).then(|| self.tape[look.to as usize]);
        let stop = stop.filter(|s| matches!(s.kind, ShapeKind::Word | ShapeKind::Percent));
        let Some(stop) = stop else { return self.unit_missing(look, number, dims) };
        let place = self.place(stop.lo, stop.hi);
        let word = &self.text[stop.lo as usize..stop.hi as usize];
        let touches = number.hi == stop.lo;
        if !touches && self.knows(word) {
            return self.unit_missing(look, number, dims);
        }
        let near = near_unit(word, dims);
        let unit = unit_named(word);
        let key_meant = || near.is_none() && closest(word, self.known.all()).is_some();
        if unit.is_none() && !touches && key_meant() {
            return self.unit_missing(look, number, dims);
        }
        if unit.is_some_and(|u| self.next_value_has(u, look)) {
            let text = self.text_of(number);
            let text = format!("`{text}` has no unit; {} needs one.", titles(dims));
            let help = format!("write one of {} behind it.", units_text(dims));
            return self.fail(Finding::new(&codes::UNIT_MISSING, number, text).help(help));
        }
        if let Some(l) = &mut self.look {
            l.bad = true;
        }
        if look.to == self.at {
            self.skip();
        }
        if let Some(unit) = unit {
            let text = format!(
                "`{word}` measures {}; {} must stand here.",
                unit.dimension.title(),
                titles(dims)
            );
            let finding = Finding::new(&codes::UNIT_WRONG, place, text);
            let fitting = format!("units that fit: {}", units_text(dims));
            return self.fail(finding.help(match self.known.range_of(unit.dimension) {
                Some(word) => format!("{fitting}; `{word} A to B` is in {}.", unit.symbol),
                None => format!("{fitting}."),
            }));
        }
        self.unknown_unit(word, place, near, dims)
    }

    /// Whether the unit that was found belongs to the next value of the row and not
    /// to the number in front of the cursor: `stall 3  1.8 A` lacks a torque's unit.
    fn next_value_has(&self, unit: &Unit, look: Look) -> bool {
        let numbers = self.tape[self.at as usize..look.to as usize].iter();
        let alone = |s: &Shape| s.kind == ShapeKind::Number;
        let another = look.to > self.at && numbers.clone().all(alone);
        let parts = self.known.row.map_or(&[][..], |r| r.parts);
        let fits = |p: &Part| p.key.is_none() && p.take.dimensions().contains(&unit.dimension);
        another && parts.iter().any(fits)
    }

    fn unknown_unit(
        &mut self,
        word: &str,
        place: Place,
        near: Option<&str>,
        dims: &[Dimension],
    ) -> Reported {
        let finding = if let Some(other) = word.strip_prefix(['–', '—', '−']) {
            let text =
                format!("`{}` is joined with a dash; a range is written `A to B`.", shown(word));
            Finding::new(&codes::NUMBER_UNCLEAR, place, text).help(format!("write `to {other}`."))
        } else if word
            .strip_prefix(['x', '×'])
            .is_some_and(|w| w.starts_with(|c: char| c.is_ascii_digit()))
        {
            let text = format!("`{}` stands where a unit does.", shown(word));
            Finding::new(&codes::UNIT_UNKNOWN, place, text).help(
                "two sizes are joined by `by`, each as it is measured: of a planed one by two that is \
                 `3/4 in by 1 1/2 in`, or `19 mm by 38 mm`.",
            )
        } else {
            let text = format!("`{}` is not a unit.", shown(word));
            Finding::new(&codes::UNIT_UNKNOWN, place, text).help(format!(
                "{} is given in {}.",
                titles(dims),
                units_text(dims)
            ))
        };
        let finding = match near {
            Some(near) => finding.label(format!("did you mean `{near}`?")).fix(
                format!("write `{near}`"),
                place,
                near,
            ),
            None => finding,
        };
        self.fail(finding)
    }

    fn unit_missing(&mut self, look: Look, number: Place, dims: &[Dimension]) -> Reported {
        let place = self.last_value(look).unwrap_or(number);
        let text = format!("`{}` has no unit; {} needs one.", self.text_of(place), titles(dims));
        let help = format!("write one of {} behind it.", units_text(dims));
        self.fail(Finding::new(&codes::UNIT_MISSING, place, text).help(help))
    }

    /// The last number of a list, or the point around it: the unit is missing
    /// behind it.
    fn last_value(&self, look: Look) -> Option<Place> {
        let number = (look.from.saturating_sub(1)..look.to)
            .rev()
            .find(|i| self.tape[*i as usize].kind == ShapeKind::Number)?;
        let hi = self.tape[number as usize].hi;
        let around = (number.saturating_sub(12)..number)
            .rev()
            .map(|i| self.tape[i as usize])
            .find(|s| s.kind == ShapeKind::Point && s.hi >= hi);
        let shape = around.unwrap_or(self.tape[number as usize]);
        Some(self.place(shape.lo, shape.hi))
    }
}

fn unit_of_piece(piece: Piece<'_>) -> Option<&'static Unit> {
    matches!(piece.kind, ShapeKind::Word | ShapeKind::Percent)
        .then(|| unit_named(piece.text))
        .flatten()
}

/// "a length", "a time or a musical length".
pub(super) fn titles(dims: &[Dimension]) -> String {
    let titles: Vec<&str> = dims.iter().map(|d| d.title()).collect();
    crate::finding::list_of(titles, "or", 4)
}

/// The unit that was probably meant: right but for capitals, or one slip away.
fn near_unit(word: &str, dims: &[Dimension]) -> Option<&'static str> {
    let fitting = || crate::units::UNITS.iter().filter(|u| dims.contains(&u.dimension));
    let same = |a: &str| a.eq_ignore_ascii_case(word);
    let capitals = fitting().find(|u| same(u.symbol) || u.also.iter().any(|a| same(a)));
    capitals.map(|u| u.symbol).or_else(|| {
        closest(
            word,
            fitting().flat_map(|u| std::iter::once(u.symbol).chain(u.also.iter().copied())),
        )
        .and_then(unit_named)
        .map(|u| u.symbol)
    })
}

/// A value of this dimension as an example in messages.
pub(super) const fn example_of(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "30 mm",
        Dimension::Angle => "45 deg",
        Dimension::Time => "2 s",
        Dimension::Music => "2 beats",
        Dimension::Mass => "0.3 kg",
        Dimension::AreaMass => "0.75 kg/m2",
        Dimension::Inertia => "0.01 kg.m2",
        Dimension::Force => "20 N",
        Dimension::Torque => "5 N.m",
        Dimension::Pressure => "400 kPa",
        Dimension::Wear => "0.1 MPa.m/s",
        Dimension::Speed => "7 m/s",
        Dimension::Turning => "45 rpm",
        Dimension::Frequency => "50 Hz",
        Dimension::Tempo => "116 bpm",
        Dimension::Voltage => "12 V",
        Dimension::Current => "4 A",
        Dimension::Power => "10 W",
        Dimension::Resistance => "2 ohm",
        Dimension::Charge => "7 Ah",
        Dimension::Conductor => "2.5 mm2",
        Dimension::Volume => "5 l",
        Dimension::Flow => "30 l/min",
        Dimension::Share => "25 %",
    }
}

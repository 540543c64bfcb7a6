//! What the reader makes of one item: clauses with typed values, each with its
//! place, in source order.
//!
//! Two flat arrays per item hold everything (clauses and values), so reading a
//! large yard allocates a handful of times per figure. [`Block`] and [`Clause`]
//! are small copyable handles into them.

use std::num::NonZeroU32;
use std::ops::Range;
use std::sync::Arc;

use super::Shape;
use super::words::Row;
use crate::finding::{ItemId, Place, Spanned};
use crate::units::{self, Dimension, System, Unit};

/// A value as written, in canonical units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Datum {
    /// A quantity in the canonical unit of its dimension; for music, in the unit
    /// as written (see [`Value::unit`]), since a bar's length is not known here.
    Quantity(f64),
    /// `A to B`.
    Range(f64, f64),
    /// A size that may be left open and is not.
    Given(f64),
    /// A point that may be left open and is not, in mm.
    GivenPoint(f64, f64),
    /// A bare `?`.
    Asked,
    /// More said of an open size or point: index into the reading's `opens`.
    Open(u32),
    /// A point in mm.
    Point(f64, f64),
    /// A bare number.
    Number(f64),
    /// A bare whole number.
    Count(u32),
    /// Which of the choices.
    Choice(u16),
    /// A name, text, stock, clock, date or meter: read it from the place.
    Text,
    /// Latitude and longitude in degrees, north and east positive.
    Coordinates(f64, f64),
    /// A key that stood alone.
    Flag,
}

/// One value of a clause. A large yard keeps a million of them, so a value is
/// packed into 32 bytes: half a line of the processor's cache.
#[derive(Clone, Copy, Debug)]
pub struct Value {
    /// Where it stands, with its unit, without its key.
    pub lo: u32,
    /// One past its end.
    pub hi: u32,
    /// Which part of the row it is.
    pub part: u8,
    kind: Kind,
    /// The unit's row in the table of units, or [`NO_UNIT`].
    unit: u8,
    /// What the kind of datum holds; indices and counts are exact in a float.
    numbers: [f64; 2],
}

const _: () = assert!(size_of::<Value>() == 32);

/// No row of the table of units.
const NO_UNIT: u8 = u8::MAX;

/// Which [`Datum`] a value holds.
#[derive(Clone, Copy, Debug)]
enum Kind {
    Quantity,
    Range,
    Given,
    GivenPoint,
    Asked,
    Open,
    Point,
    Number,
    Count,
    Choice,
    Text,
    Coordinates,
    Flag,
}

impl Value {
    /// A value of the `part`th part of its row.
    pub(super) fn new(part: usize, at: Place, unit: Option<&Unit>, datum: Datum) -> Self {
        let (kind, numbers) = match datum {
            Datum::Quantity(v) => (Kind::Quantity, [v, 0.0]),
            Datum::Range(a, b) => (Kind::Range, [a, b]),
            Datum::Given(v) => (Kind::Given, [v, 0.0]),
            Datum::GivenPoint(x, y) => (Kind::GivenPoint, [x, y]),
            Datum::Asked => (Kind::Asked, [0.0; 2]),
            Datum::Open(i) => (Kind::Open, [f64::from(i), 0.0]),
            Datum::Point(x, y) => (Kind::Point, [x, y]),
            Datum::Number(n) => (Kind::Number, [n, 0.0]),
            Datum::Count(n) => (Kind::Count, [f64::from(n), 0.0]),
            Datum::Choice(i) => (Kind::Choice, [f64::from(i), 0.0]),
            Datum::Text => (Kind::Text, [0.0; 2]),
            Datum::Coordinates(a, b) => (Kind::Coordinates, [a, b]),
            Datum::Flag => (Kind::Flag, [0.0; 2]),
        };
        let unit = unit.map_or(NO_UNIT, |u| u.index);
        Self { lo: at.lo, hi: at.hi, part: part as u8, kind, unit, numbers }
    }

    /// What it says.
    #[must_use]
    pub fn datum(&self) -> Datum {
        let [a, b] = self.numbers;
        match self.kind {
            Kind::Quantity => Datum::Quantity(a),
            Kind::Range => Datum::Range(a, b),
            Kind::Given => Datum::Given(a),
            Kind::GivenPoint => Datum::GivenPoint(a, b),
            Kind::Asked => Datum::Asked,
            Kind::Open => Datum::Open(a as u32),
            Kind::Point => Datum::Point(a, b),
            Kind::Number => Datum::Number(a),
            Kind::Count => Datum::Count(a as u32),
            Kind::Choice => Datum::Choice(a as u16),
            Kind::Text => Datum::Text,
            Kind::Coordinates => Datum::Coordinates(a, b),
            Kind::Flag => Datum::Flag,
        }
    }

    /// The unit as written, where it has one.
    #[must_use]
    pub fn unit(&self) -> Option<&'static Unit> {
        units::UNITS.get(usize::from(self.unit))
    }
}

/// A size or point that may be left open, with all that was said of it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Open {
    /// The size, where one is given (`40 mm`, `40 mm of …`).
    pub given: Option<f64>,
    /// The point, where one is given.
    pub point: Option<(f64, f64)>,
    /// Whether a `?` stands there.
    pub asked: bool,
    /// `A to B`, and for a row of holes `by STEP`.
    pub from: Option<f64>,
    /// Upper end.
    pub to: Option<f64>,
    /// Step of the row of holes.
    pub step: Option<f64>,
    /// Where the name of the stock bar stands that it is cut from (`of NAME`), as
    /// `lo..hi`.
    pub stock: Option<(u32, u32)>,
    /// `near P`, or the first corner of `in P to P`, or the first end of `from P to P`.
    pub near: Option<(f64, f64)>,
    /// The other corner of `in P to P`, or the other end of `from P to P`.
    pub corner: Option<(f64, f64)>,
    /// Whether the two are the ends of a line.
    pub line: bool,
    /// `within L`.
    pub within: Option<f64>,
    /// `on frame`.
    pub on_frame: bool,
    /// The places of the `?` (what `solve --write` replaces) as `lo..hi`.
    pub ask: Option<(u32, u32)>,
}

impl Open {
    /// A bare `?` at `lo..hi`.
    pub(super) fn asked_at(lo: u32, hi: u32) -> Self {
        Self { asked: true, ask: Some((lo, hi)), ..Self::default() }
    }
}

/// A clause in the flat array; its block's clauses follow it up to `end`.
#[derive(Clone, Copy, Debug)]
pub struct ClauseNode {
    /// Its row.
    pub row: &'static Row,
    /// The word as written (for a bare line, its first token).
    pub head: (u32, u32),
    /// One past its last byte, its block included.
    pub hi: u32,
    /// Its values: range of the reading's `values`. A raw row has none, and keeps
    /// the range of tape nodes of its line here.
    pub holds: (u32, u32),
    /// One past its last descendant in `clauses`.
    pub end: u32,
    /// Where its block opens, if it has one; the block ends at `hi`.
    pub brace: Option<NonZeroU32>,
    /// Something in it was already reported: later stages stay silent about it.
    pub poisoned: bool,
}

impl ClauseNode {
    /// Its block, from brace to brace.
    pub(super) fn block(&self) -> Option<(u32, u32)> {
        self.brace.map(|lo| (lo.get(), self.hi))
    }

    /// Its values as a range of the reading's.
    pub(super) fn values(&self) -> Range<usize> {
        let (lo, hi) = if self.row.raw { (0, 0) } else { self.holds };
        lo as usize..hi as usize
    }
}

/// Everything read from one item.
#[derive(Debug)]
pub struct Reading {
    /// The item.
    pub item: ItemId,
    /// Its text.
    pub text: Arc<str>,
    /// The clauses, parents before children.
    pub clauses: Box<[ClauseNode]>,
    /// All values, clause by clause.
    pub values: Box<[Value]>,
    /// Open sizes and points of which more is said than a size or a `?`.
    pub opens: Box<[Open]>,
    /// The shapes, for raw rows.
    pub tape: Box<[Shape]>,
}

impl Reading {
    /// The same text as another item.
    #[must_use]
    pub fn under(&self, item: ItemId) -> Self {
        Self {
            item,
            text: Arc::clone(&self.text),
            clauses: self.clauses.clone(),
            values: self.values.clone(),
            opens: self.opens.clone(),
            tape: self.tape.clone(),
        }
    }

    /// The item's top-level clauses (one, in a well-formed item).
    #[must_use]
    pub fn top(&self) -> Block<'_> {
        Block {
            reading: self,
            first: 0,
            end: self.clauses.len() as u32,
            braces: (0, self.text.len() as u32),
        }
    }

    /// A place in this item.
    #[must_use]
    pub fn place(&self, lo: u32, hi: u32) -> Place {
        Place { item: self.item, lo, hi }
    }

    /// The text of a stretch.
    #[must_use]
    pub fn slice(&self, lo: u32, hi: u32) -> &str {
        self.text.get(lo as usize..hi as usize).unwrap_or("")
    }
}

/// A run of clauses inside braces.
#[derive(Clone, Copy, Debug)]
pub struct Block<'a> {
    reading: &'a Reading,
    first: u32,
    end: u32,
    braces: (u32, u32),
}

impl<'a> Block<'a> {
    /// Its clauses in order.
    pub fn clauses(self) -> impl Iterator<Item = Clause<'a>> {
        let mut next = self.first;
        std::iter::from_fn(move || {
            (next < self.end).then(|| {
                let clause = Clause { reading: self.reading, index: next };
                next = clause.node().end;
                clause
            })
        })
    }

    /// The first clause with this word.
    #[must_use]
    pub fn find(self, word: &str) -> Option<Clause<'a>> {
        self.clauses().find(|c| c.word() == word)
    }

    /// All clauses with this word.
    pub fn all(self, word: &'static str) -> impl Iterator<Item = Clause<'a>> {
        self.clauses().filter(move |c| c.word() == word)
    }

    /// The stretch between and with its braces.
    #[must_use]
    pub fn place(self) -> Place {
        self.reading.place(self.braces.0, self.braces.1)
    }
}

/// One clause: a word and its values.
#[derive(Clone, Copy, Debug)]
pub struct Clause<'a> {
    reading: &'a Reading,
    index: u32,
}

impl<'a> Clause<'a> {
    fn node(self) -> &'a ClauseNode {
        &self.reading.clauses[self.index as usize]
    }

    /// The reading it belongs to.
    #[must_use]
    pub fn reading(self) -> &'a Reading {
        self.reading
    }

    /// The canonical word ("" for a bare line).
    #[must_use]
    pub fn word(self) -> &'static str {
        self.node().row.word
    }

    /// Its row.
    #[must_use]
    pub fn row(self) -> &'static Row {
        self.node().row
    }

    /// Where the word stands.
    #[must_use]
    pub fn head(self) -> Place {
        let (lo, hi) = self.node().head;
        self.reading.place(lo, hi)
    }

    /// The whole clause without its block.
    #[must_use]
    pub fn place(self) -> Place {
        let n = self.node();
        let hi = n.block().map_or(n.hi, |(lo, _)| lo);
        let trimmed = self.reading.slice(n.head.0, hi).trim_end().len() as u32;
        self.reading.place(n.head.0, n.head.0 + trimmed)
    }

    /// Whether something in it was reported already: stay silent about it.
    #[must_use]
    pub fn poisoned(self) -> bool {
        self.node().poisoned
    }

    /// Its block.
    #[must_use]
    pub fn block(self) -> Option<Block<'a>> {
        let n = self.node();
        n.block().map(|braces| Block {
            reading: self.reading,
            first: self.index + 1,
            end: n.end,
            braces,
        })
    }

    /// The range of tape nodes of a raw line.
    #[must_use]
    pub fn raw(self) -> (u32, u32) {
        let n = self.node();
        if n.row.raw { n.holds } else { (0, 0) }
    }

    /// The values of the part named so.
    pub fn values(self, part: &str) -> impl Iterator<Item = Got<'a>> {
        let n = self.node();
        let index = n.row.parts.iter().position(|p| p.name == part);
        debug_assert!(
            index.is_some() || n.row.parts.is_empty(),
            "{} has no part {part}",
            n.row.word
        );
        self.reading.values[n.values()]
            .iter()
            .filter(move |v| Some(v.part as usize) == index)
            .map(move |value| Got { reading: self.reading, row: n.row, value })
    }

    /// All its values.
    pub fn each_value(self) -> impl Iterator<Item = Got<'a>> {
        let (n, reading) = (self.node(), self.reading);
        reading.values[n.values()].iter().map(move |value| Got { reading, row: n.row, value })
    }

    /// The first value of the part named so.
    #[must_use]
    pub fn value(self, part: &str) -> Option<Got<'a>> {
        self.values(part).next()
    }

    /// Whether the part stands (for flags).
    #[must_use]
    pub fn has(self, part: &str) -> bool {
        self.value(part).is_some()
    }

    /// The part as a quantity.
    #[must_use]
    pub fn get<Q: Quantity>(self, part: &str) -> Option<Spanned<Q>> {
        self.value(part)?.quantity()
    }

    /// The part as a quantity, without its place.
    #[must_use]
    pub fn size<Q: Quantity>(self, part: &str) -> Option<Q> {
        self.get(part).map(|s| s.value)
    }

    /// The part as a name, word or text, with its place; quotes are taken off.
    #[must_use]
    pub fn text(self, part: &str) -> Option<Spanned<&'a str>> {
        self.value(part).map(Got::text)
    }

    /// The part as one of its choices.
    #[must_use]
    pub fn choice(self, part: &str) -> Option<&'static str> {
        self.value(part)?.choice()
    }
}

/// A value with its context.
#[derive(Clone, Copy, Debug)]
pub struct Got<'a> {
    reading: &'a Reading,
    row: &'static Row,
    /// The value itself.
    pub value: &'a Value,
}

impl<'a> Got<'a> {
    /// Where it stands.
    #[must_use]
    pub fn place(self) -> Place {
        self.reading.place(self.value.lo, self.value.hi)
    }

    /// Its text as written, quotes taken off.
    #[must_use]
    pub fn text(self) -> Spanned<&'a str> {
        let raw = self.reading.slice(self.value.lo, self.value.hi);
        let text = raw.strip_prefix('"').map_or(raw, |r| r.strip_suffix('"').unwrap_or(r));
        Spanned::new(text, self.place())
    }

    /// As a quantity of `Q`'s dimension.
    #[must_use]
    pub fn quantity<Q: Quantity>(self) -> Option<Spanned<Q>> {
        let fits = self.value.unit().is_none_or(|u| u.dimension == Q::DIMENSION);
        match self.value.datum() {
            Datum::Quantity(v) if fits => Some(Spanned::new(Q::from_canonical(v), self.place())),
            _ => None,
        }
    }

    /// As a range of `Q`'s dimension.
    #[must_use]
    pub fn range<Q: Quantity>(self) -> Option<Spanned<(Q, Q)>> {
        match self.value.datum() {
            Datum::Range(a, b) => {
                Some(Spanned::new((Q::from_canonical(a), Q::from_canonical(b)), self.place()))
            }
            _ => None,
        }
    }

    /// As a point in mm.
    #[must_use]
    pub fn point(self) -> Option<Spanned<(f64, f64)>> {
        match self.value.datum() {
            Datum::Point(x, y) => Some(Spanned::new((x, y), self.place())),
            _ => None,
        }
    }

    /// As an open size or point.
    #[must_use]
    pub fn open(self) -> Option<Spanned<Open>> {
        let open = match self.value.datum() {
            Datum::Given(size) => Open { given: Some(size), ..Open::default() },
            Datum::GivenPoint(x, y) => Open { point: Some((x, y)), ..Open::default() },
            Datum::Asked => Open::asked_at(self.value.lo, self.value.hi),
            Datum::Open(i) => self.reading.opens[i as usize],
            _ => return None,
        };
        Some(Spanned::new(open, self.place()))
    }

    /// The name of the stock bar that an open size is cut from.
    #[must_use]
    pub fn stock(self) -> Option<Spanned<&'a str>> {
        let (lo, hi) = self.open()?.value.stock?;
        Some(Spanned::new(self.reading.slice(lo, hi), self.reading.place(lo, hi)))
    }

    /// As a bare number.
    #[must_use]
    pub fn number(self) -> Option<f64> {
        match self.value.datum() {
            Datum::Number(n) => Some(n),
            Datum::Count(n) => Some(f64::from(n)),
            _ => None,
        }
    }

    /// As a bare whole number.
    #[must_use]
    pub fn count(self) -> Option<u32> {
        match self.value.datum() {
            Datum::Count(n) => Some(n),
            _ => None,
        }
    }

    /// As latitude and longitude in degrees.
    #[must_use]
    pub fn coordinates(self) -> Option<(f64, f64)> {
        match self.value.datum() {
            Datum::Coordinates(a, b) => Some((a, b)),
            _ => None,
        }
    }

    /// As the word chosen.
    #[must_use]
    pub fn choice(self) -> Option<&'static str> {
        match (self.value.datum(), self.row.parts.get(self.value.part as usize)?.take) {
            (Datum::Choice(i), super::words::Take::Choice(words)) => words.get(i as usize).copied(),
            _ => None,
        }
    }

    /// The household of its unit: results print in the maker's own.
    #[must_use]
    pub fn system(self) -> System {
        self.value.unit().map_or(System::Both, |u| u.system)
    }
}

/// A quantity type and the dimension it is read as.
pub trait Quantity: Copy {
    /// The dimension.
    const DIMENSION: Dimension;
    /// From the canonical unit.
    fn from_canonical(value: f64) -> Self;
}

macro_rules! quantities {
    ($($name:ident $dimension:ident),* $(,)?) => {$(
        impl Quantity for units::$name {
            const DIMENSION: Dimension = Dimension::$dimension;
            fn from_canonical(value: f64) -> Self { Self(value) }
        }
    )*};
}
quantities! {
    Mm Length, Deg Angle, Sec Time, Kg Mass, KgPerM2 AreaMass, KgM2 Inertia, Newton Force,
    NewtonMetre Torque, Pascal Pressure, PascalMetrePerSec Wear, MetrePerSec Speed, Rpm Turning,
    Hertz Frequency, Bpm Tempo, Volt Voltage, Amp Current, Watt Power, Ohm Resistance,
    AmpHour Charge, Mm2 Conductor, Litre Volume, LitrePerMin Flow, Share Share,
}

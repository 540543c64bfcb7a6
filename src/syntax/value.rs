//! One value of a table row, by what its part takes.

use super::clock;
use super::codes;
use super::cursor::{Piece, Reported, shown};
use super::point::LENGTH;
use super::quantity::Measured;
use super::read::Reader;
use super::reading::{Datum, Open};
use super::words::{Part, Sign, Take};
use super::{ShapeKind, units::unit_named};
use crate::finding::{Finding, Place};
use crate::units::{Dimension, Unit};

/// How many shapes the first end of a range may have (`4 ft 6 1/2 in` has five).
const FAR: usize = 12;

/// One-element lists of dimensions, so that every slot has a static list.
const fn list(dimension: Dimension) -> &'static [Dimension] {
    use Dimension as D;
    match dimension {
        D::Length => &[D::Length],
        D::Angle => &[D::Angle],
        D::Time => &[D::Time],
        D::Music => &[D::Music],
        D::Mass => &[D::Mass],
        D::AreaMass => &[D::AreaMass],
        D::Inertia => &[D::Inertia],
        D::Force => &[D::Force],
        D::Torque => &[D::Torque],
        D::Pressure => &[D::Pressure],
        D::Wear => &[D::Wear],
        D::Speed => &[D::Speed],
        D::Turning => &[D::Turning],
        D::Frequency => &[D::Frequency],
        D::Tempo => &[D::Tempo],
        D::Voltage => &[D::Voltage],
        D::Current => &[D::Current],
        D::Power => &[D::Power],
        D::Resistance => &[D::Resistance],
        D::Charge => &[D::Charge],
        D::Conductor => &[D::Conductor],
        D::Volume => &[D::Volume],
        D::Flow => &[D::Flow],
        D::Share => &[D::Share],
    }
}

impl Take {
    /// The dimensions of the quantities it is made of.
    pub(super) const fn dimensions(self) -> &'static [Dimension] {
        match self {
            Self::Quantity(d, _) | Self::Range(d, _) | Self::Open(d, _) => list(d),
            Self::OneOf(dims, _) => dims,
            Self::Holes | Self::Point | Self::OpenPoint | Self::Points => LENGTH,
            _ => &[],
        }
    }

    /// Whether a shape can begin such a value.
    pub(super) const fn begins_with(self, kind: ShapeKind) -> bool {
        match self {
            Self::Quantity(..)
            | Self::OneOf(..)
            | Self::Range(..)
            | Self::Holes
            | Self::Number
            | Self::Count
            | Self::Meter
            | Self::Clock
            | Self::Date
            | Self::Coordinates => matches!(kind, ShapeKind::Number),
            Self::Open(..) => matches!(kind, ShapeKind::Number | ShapeKind::Ask),
            Self::OpenPoint => matches!(kind, ShapeKind::Point | ShapeKind::Ask),
            Self::Point | Self::Points => matches!(kind, ShapeKind::Point),
            Self::Name(_) | Self::Choice(_) => matches!(kind, ShapeKind::Word),
            Self::Stock => matches!(kind, ShapeKind::Word | ShapeKind::Number),
            Self::Text => matches!(kind, ShapeKind::Text),
            Self::Flag => false,
        }
    }
}

impl Reader<'_> {
    /// Reads one value of a part, or several for lists, and keeps them.
    pub(super) fn take(&mut self, index: usize, part: &'static Part) -> Result<(), Reported> {
        let what = part.name;
        match part.take {
            Take::Quantity(_, sign) | Take::OneOf(_, sign) => {
                let m = self.c.quantity(part.take.dimensions(), sign)?;
                self.keep(index, m.place, m.unit, Datum::Quantity(m.value));
            }
            Take::Range(_, sign) => {
                let (a, b) = self.range(part.take.dimensions(), sign)?;
                self.keep(index, a.place.to(b.place), b.unit, Datum::Range(a.value, b.value));
            }
            Take::Open(_, sign) => self.open_size(index, part.take.dimensions(), sign)?,
            Take::Holes => self.holes(index)?,
            Take::Point => {
                let p = self.c.point()?;
                self.keep(index, p.place, p.unit, Datum::Point(p.at.0, p.at.1));
            }
            Take::Points => self.points(index)?,
            Take::OpenPoint => self.open_point(index)?,
            Take::Number => {
                let (num, place) = self.c.plain(&[])?;
                self.keep(index, place, None, Datum::Number(num.value()));
            }
            Take::Count => {
                let n = self.c.count(what)?;
                self.keep(index, n.place, None, Datum::Count(n.value));
            }
            Take::Name(of) => {
                let name = self.c.name(of)?;
                self.keep(index, name.place, None, Datum::Text);
            }
            Take::Choice(words) => {
                let i = self.c.choice(what, words)?;
                self.keep(index, i.place, None, Datum::Choice(i.value as u16));
            }
            Take::Text => {
                let text = self.c.quoted(what)?;
                self.keep(index, text.place, None, Datum::Text);
            }
            Take::Stock | Take::Meter | Take::Clock | Take::Date => {
                let place = self.token(what, part.take)?;
                self.keep(index, place, None, Datum::Text);
            }
            Take::Coordinates => {
                let (place, lat, lon) = self.coordinates()?;
                self.keep(index, place, None, Datum::Coordinates(lat, lon));
            }
            Take::Flag => {}
        }
        Ok(())
    }

    fn range(
        &mut self,
        dims: &'static [Dimension],
        sign: Sign,
    ) -> Result<(Measured, Measured), Reported> {
        let a = self.c.quantity(dims, sign);
        if self.c.take_word("to").is_none() {
            let place = a?.place;
            let text =
                format!("`{}` is one end of a range; the other is missing.", self.c.text_of(place));
            let finding = Finding::new(&codes::VALUE_MISSING, place, text);
            return Err(self.c.fail(finding.help(format!("write {} to …", self.c.text_of(place)))));
        }
        let b = self.c.quantity(dims, sign);
        Ok((a?, b?))
    }

    /// `A to B [by STEP]` into the open size; the first number stands next.
    fn row_of(
        &mut self,
        open: &mut Open,
        dims: &'static [Dimension],
        sign: Sign,
    ) -> Result<(Place, Option<&'static Unit>), Reported> {
        let (a, b) = self.range(dims, sign)?;
        (open.from, open.to) = (Some(a.value), Some(b.value));
        let mut place = a.place.to(b.place);
        if !self.is_key("by") && self.c.take_word("by").is_some() {
            let step = self.c.quantity(dims, Sign::Positive)?;
            open.step = Some(step.value);
            place = place.to(step.place);
        }
        Ok((place, b.unit))
    }

    /// Whether a range begins with the quantity that stands next.
    fn range_ahead(&self) -> bool {
        let mut n = 0;
        while let Some(p) = self.c.peek_at(n) {
            match p.kind {
                ShapeKind::Word if p.text == "to" => return n > 0,
                ShapeKind::Number | ShapeKind::Percent | ShapeKind::Op => {}
                ShapeKind::Word if n > 0 && unit_named(p.text).is_some() => {}
                _ => return false,
            }
            n += 1;
            if n > FAR {
                return false;
            }
        }
        false
    }

    fn open_size(
        &mut self,
        index: usize,
        dims: &'static [Dimension],
        sign: Sign,
    ) -> Result<(), Reported> {
        let mut open = Open::default();
        let (mut place, unit);
        if self.c.is(ShapeKind::Ask) {
            place = self.ask(&mut open);
            if self.range_ahead() {
                let (row, u) = self.row_of(&mut open, dims, sign)?;
                (place, unit) = (place.to(row), u);
            } else {
                unit = None;
            }
        } else if self.range_ahead() {
            (place, unit) = self.row_of(&mut open, dims, sign)?;
        } else {
            let m = self.c.quantity(dims, sign)?;
            if !self.c.is_word("of") {
                self.keep(index, m.place, m.unit, Datum::Given(m.value));
                return Ok(());
            }
            open.given = Some(m.value);
            (place, unit) = (m.place, m.unit);
            if !self.stock_ahead(dims) {
                self.c.skip();
                place = place.to(self.row_of(&mut open, dims, sign)?.0);
            }
        }
        let place = self.stock_bar(&mut open, dims).map_or(place, |name| place.to(name));
        self.keep_open(index, place, unit, open);
        Ok(())
    }

    /// Whether `of` and the name of a stock bar stand next: a word, or `1x2`.
    fn stock_ahead(&self, dims: &'static [Dimension]) -> bool {
        let (Some(first), next) = (self.c.peek_at(1), self.c.peek_at(2)) else { return false };
        let word = |p: &Piece<'_>| p.kind == ShapeKind::Word;
        let glued = |p: &Piece<'_>| word(p) && p.place.lo == first.place.hi;
        let joined = first.kind == ShapeKind::Number
            && next.is_some_and(|p| glued(&p) && unit_named(p.text).is_none());
        let of = self.c.is_word("of") && !self.is_key("of");
        of && dims == LENGTH && (word(&first) || joined)
    }

    /// `of NAME`, the stock bar a size is cut from, where it stands next.
    fn stock_bar(&mut self, open: &mut Open, dims: &'static [Dimension]) -> Option<Place> {
        if !self.stock_ahead(dims) {
            return None;
        }
        self.c.skip();
        let name = self.c.run()?;
        self.c.skip_run();
        open.stock = Some((name.place.lo, name.place.hi));
        Some(name.place)
    }

    fn ask(&mut self, open: &mut Open) -> Place {
        let place = self.c.here();
        let place = self.c.next().map_or(place, |p| p.place);
        open.asked = true;
        open.ask = Some((place.lo, place.hi));
        place
    }

    fn holes(&mut self, index: usize) -> Result<(), Reported> {
        if self.range_ahead() {
            let mut open = Open::default();
            let (place, unit) = self.row_of(&mut open, LENGTH, Sign::Positive)?;
            self.keep_open(index, place, unit, open);
            return Ok(());
        }
        while self.c.is_number() {
            let m = self.c.quantity(LENGTH, Sign::Positive)?;
            self.keep(index, m.place, m.unit, Datum::Quantity(m.value));
            let more = self.c.peek_at(1).is_some_and(|p| p.kind == ShapeKind::Number);
            if more {
                self.c.take_op(",");
            }
        }
        Ok(())
    }

    fn points(&mut self, index: usize) -> Result<(), Reported> {
        let mut result = Ok(());
        loop {
            match self.c.point() {
                Ok(p) => self.keep(index, p.place, p.unit, Datum::Point(p.at.0, p.at.1)),
                Err(reported) => result = Err(reported),
            }
            if self.c.peek_at(1).is_some_and(|p| p.kind == ShapeKind::Point) {
                self.c.take_op(",");
            }
            if !self.c.is(ShapeKind::Point) {
                return result;
            }
        }
    }

    fn open_point(&mut self, index: usize) -> Result<(), Reported> {
        if !self.c.is(ShapeKind::Ask) {
            let p = self.c.point()?;
            self.keep(index, p.place, p.unit, Datum::GivenPoint(p.at.0, p.at.1));
            return Ok(());
        }
        let mut open = Open::default();
        let mut place = self.ask(&mut open);
        let mut unit = None;
        loop {
            let next_is = |kind| self.c.peek_at(1).is_some_and(|p| p.kind == kind);
            if self.c.is_word("near") && next_is(ShapeKind::Point) {
                self.c.skip();
                let p = self.c.point()?;
                (open.near, unit, place) = (Some(p.at), p.unit, place.to(p.place));
            } else if self.c.is_word("within") && next_is(ShapeKind::Number) {
                self.c.skip();
                let m = self.c.quantity(LENGTH, Sign::Positive)?;
                (open.within, place) = (Some(m.value), place.to(m.place));
            } else if self.c.is_word("in") && next_is(ShapeKind::Point) {
                self.c.skip();
                let p = self.c.point()?;
                (open.near, unit, place) = (Some(p.at), p.unit, place.to(p.place));
                if self.c.take_word("to").is_some() {
                    let q = self.c.point()?;
                    (open.corner, place) = (Some(q.at), place.to(q.place));
                }
            } else if !self.is_key("from") && self.c.is_word("from") && next_is(ShapeKind::Point) {
                self.c.skip();
                let p = self.c.point()?;
                (open.near, unit) = (Some(p.at), p.unit);
                if self.c.take_word("to").is_none() {
                    return Err(self.c.missing(self.c.here(), "other end, behind `to`"));
                }
                let q = self.c.point()?;
                (open.corner, open.line, place) = (Some(q.at), true, place.to(q.place));
            } else if self.c.is_word("on") && self.c.peek_at(1).is_some_and(|p| p.text == "frame") {
                self.c.skip();
                let end = self.c.next().map_or(place, |p| p.place);
                (open.on_frame, place) = (true, place.to(end));
            } else {
                break;
            }
        }
        self.keep_open(index, place, unit, open);
        Ok(())
    }

    /// A token that is kept as written.
    fn token(&mut self, what: &'static str, take: Take) -> Result<Place, Reported> {
        let Some(run) = self.c.run() else { return Err(self.c.missing(self.c.here(), what)) };
        self.c.skip_run();
        let (good, help) = match take {
            Take::Meter => (clock::is_meter(run.value), "a meter is written 6/8"),
            Take::Date => (clock::is_date(run.value), "a date is written 2027-10-22"),
            Take::Clock => (clock::is_clock(run.value), ""),
            _ => (
                run.value.as_bytes()[0].is_ascii_alphanumeric(),
                "a stock part is written M8, 5/16-18 or 1x2",
            ),
        };
        if good {
            return Ok(run.place);
        }
        if matches!(take, Take::Clock) {
            return Err(self.c.fail(clock::unclear(run.value, run.place)));
        }
        let code =
            if matches!(take, Take::Stock) { &codes::NAME_UNFIT } else { &codes::TIME_UNCLEAR };
        let text = format!("`{}` does not fit here.", shown(run.value));
        Err(self.c.fail(Finding::new(code, run.place, text).help(format!("{help}."))))
    }

    /// `51.8 deg -2.3 deg`, `51.8 N 2.3 W`, `51.8 deg north 2.3 deg west`.
    fn coordinates(&mut self) -> Result<(Place, f64, f64), Reported> {
        let (lat, first) = self.degrees(&["N", "north"], &["S", "south"])?;
        self.c.take_op(",");
        let (lon, second) = self.degrees(&["E", "east"], &["W", "west"])?;
        let place = first.to(second);
        for (value, most, name, at) in
            [(lat, 90.0, "latitude", first), (lon, 180.0, "longitude", second)]
        {
            if value.abs() > most {
                let text =
                    format!("a {name} of {value} degrees does not exist; it ends at {most}.");
                let finding = Finding::new(&codes::PLACE_UNCLEAR, at, text);
                return Err(self.c.fail(finding.help(
                    "write the latitude first, from -90 to 90 deg, then the longitude, from -180 to 180.",
                )));
            }
        }
        Ok((place, lat, lon))
    }

    fn degrees(&mut self, plus: &[&str], minus: &[&str]) -> Result<(f64, Place), Reported> {
        let (num, mut place) = self.c.plain(&[Dimension::Angle])?;
        let mut unit = false;
        if let Some(p) = self.c.peek_if(ShapeKind::Word)
            && unit_named(p.text).is_some_and(|u| u.symbol == "deg")
        {
            self.c.skip();
            (place, unit) = (place.to(p.place), true);
        }
        let side = self.c.peek().filter(|p| plus.contains(&p.text) || minus.contains(&p.text));
        if let Some(p) = side {
            self.c.skip();
            let sign = if minus.contains(&p.text) { -1.0 } else { 1.0 };
            return Ok((sign * num.value(), place.to(p.place)));
        }
        if !unit
            && let Some(word) = self.c.peek_if(ShapeKind::Word).filter(|p| !self.c.knows(p.text))
        {
            self.c.skip();
            let text = format!("`{}` is no unit of latitude or longitude.", shown(word.text));
            let finding = Finding::new(&codes::UNIT_UNKNOWN, word.place, text);
            return Err(self.c.fail(finding.help("write deg, or a letter N, S, E or W.")));
        }
        if !unit {
            let text = format!(
                "`{}` has no unit; write deg, or a letter N, S, E or W.",
                self.c.text_of(place)
            );
            return Err(self.c.fault(&codes::UNIT_MISSING, place, text));
        }
        Ok((num.value(), place))
    }
}

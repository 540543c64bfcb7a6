//! Points: `(20, 44) in`, `(1 ft 8 in, 44 in)`, lists that share a unit.

use super::codes;
use super::cursor::{Cursor, Piece, Reported};
use super::quantity::Look;
use super::words::Sign;
use super::{ShapeKind, units::unit_named};
use crate::finding::{Finding, Place};
use crate::units::{Dimension, Unit};

/// A point as read.
#[derive(Clone, Copy, Debug)]
pub struct PointRead {
    /// The coordinates in mm.
    pub at: (f64, f64),
    /// The unit of its x.
    pub unit: Option<&'static Unit>,
    /// Where it stands, with the unit behind it.
    pub place: Place,
}

pub(super) const LENGTH: &[Dimension] = &[Dimension::Length];

impl<'a> Cursor<'a> {
    /// A point in lengths.
    ///
    /// # Errors
    /// Where none stands there, or its numbers or unit do not fit; reported.
    pub fn point(&mut self) -> Result<PointRead, Reported> {
        let Some(piece) = self.peek() else {
            return Err(self.missing(self.here(), "a point (x, y)"));
        };
        if piece.kind != ShapeKind::Point {
            let run = self.run().map_or(piece.place, |r| r.place);
            let text =
                format!("a point like (150, 880) mm must stand here, not `{}`.", self.text_of(run));
            let finding = Finding::new(&codes::VALUE_MISSING, run, text);
            return Err(self.fail(
                finding.help("write its two numbers in round brackets, and the unit behind."),
            ));
        }
        let index = self.at;
        self.skip();
        let read = self.coordinates_of(index, piece);
        let unit_behind = self.unit_behind();
        let (x, y, unit) = read?;
        let place = unit_behind.map_or(piece.place, |p| piece.place.to(p));
        Ok(PointRead { at: (x, y), unit, place })
    }

    /// Takes the unit behind a point; also the word there that was reported as
    /// being none.
    fn unit_behind(&mut self) -> Option<Place> {
        let next = self.peek_if(ShapeKind::Word)?;
        let fits = unit_named(next.text).is_some_and(|u| u.dimension == Dimension::Length);
        let reported = self.look.is_some_and(|l: Look| l.reported && l.bad && l.to == self.at);
        (fits || reported).then(|| self.next().map(|p| p.place)).flatten()
    }

    fn coordinates_of(
        &mut self,
        index: u32,
        piece: Piece<'a>,
    ) -> Result<(f64, f64, Option<&'static Unit>), Reported> {
        let (at, end) = (self.at, self.end);
        self.at = index + 1;
        self.end = at;
        let got = self.two_numbers(piece);
        let left = self.peek();
        let closed = self.open_mark(index);
        self.at = at;
        self.end = end;
        if let Some(place) = closed {
            let text = format!("the `)` of `{}` is missing.", self.text_of(piece.place));
            let finding = Finding::new(&codes::PAREN_MISSING, piece.place, text);
            return Err(self.fail(finding.fix("close it", place, ")")));
        }
        let got = got?;
        match left {
            Some(_) => Err(self.unclear_point(piece)),
            None => Ok(got),
        }
    }

    /// Where the closing mark is missing, if it is.
    fn open_mark(&self, index: u32) -> Option<Place> {
        let last = self.tape[self.tape[index as usize].end as usize - 1];
        (last.kind == ShapeKind::Unclosed && last.lo == last.hi)
            .then(|| self.place(last.lo, last.hi))
    }

    fn two_numbers(
        &mut self,
        piece: Piece<'a>,
    ) -> Result<(f64, f64, Option<&'static Unit>), Reported> {
        let x = self.quantity(LENGTH, Sign::Any);
        if self.take_op(",").is_none() {
            return Err(if x.is_ok() { self.unclear_point(piece) } else { Reported });
        }
        let y = self.quantity(LENGTH, Sign::Any);
        let (x, y) = (x?, y?);
        Ok((x.value, y.value, x.unit))
    }

    fn unclear_point(&mut self, piece: Piece<'a>) -> Reported {
        let text = format!("`{}` is not a point.", self.text_of(piece.place));
        let finding = Finding::new(&codes::POINT_UNCLEAR, piece.place, text);
        self.fail(finding.help("a point is two numbers with a comma between them: (150, 880) mm."))
    }
}

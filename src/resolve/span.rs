//! Lengths of time and music from the reader's values.

use crate::finding::Spanned;
use crate::model::Span;
use crate::syntax::words::{Sign, Take};
use crate::syntax::{Cursor, Datum, Got, Reported};
use crate::units::{Beats, Decimal, Dimension as D, Sec, Unit};

/// A time in seconds or in music.
pub const SPAN: Take = Take::OneOf(&[D::Time, D::Music], Sign::Positive);
/// Its dimensions.
const DIMENSIONS: &[D] = &[D::Time, D::Music];

/// From a number and its unit; `None` where the music is too long to count.
fn span_of(value: f64, unit: Option<&'static Unit>) -> Option<Span> {
    match unit.map(|u| u.symbol) {
        Some("bar") => Some(Span::Bars(value)),
        Some("eighth") => Some(Span::Eighths(value)),
        Some("beat") => Beats::nearest(value).map(Span::Beats),
        _ => Some(Span::Time(Sec(value))),
    }
}

/// A part of a clause as a span.
#[must_use]
pub fn span(got: Got<'_>) -> Option<Spanned<Span>> {
    if let Some(t) = got.quantity::<Sec>() {
        return Some(t.map(Span::Time));
    }
    let Datum::Quantity(value) = got.value.datum() else { return None };
    Some(Spanned::new(span_of(value, Some(got.value.unit()?))?, got.place()))
}

/// The next value of a raw line as a span.
///
/// # Errors
/// Where none stands there; reported.
pub fn next_span(c: &mut Cursor<'_>) -> Result<Spanned<Span>, Reported> {
    let got = c.quantity(DIMENSIONS, Sign::Positive)?;
    match span_of(got.value, got.unit) {
        Some(span) => Ok(Spanned::new(span, got.place)),
        None => Err(c.missing(got.place, "a shorter length of music")),
    }
}

/// An exact number as beats: in parts of a beat where it is a whole number of
/// them, else the nearest.
#[must_use]
pub fn beats(number: Decimal) -> Option<Beats> {
    let parts = number.times(Decimal::ratio(i128::from(Beats::PARTS), 1));
    match parts.and_then(Decimal::whole) {
        Some(whole) => Some(whole).filter(|w| w.abs() <= Beats::whole(1_000_000_000).0).map(Beats),
        None => Beats::nearest(number.value()),
    }
}

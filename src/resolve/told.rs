//! Gestures written in the cue itself.

use crate::finding::Spanned;
use crate::model::{Action, Easing};
use crate::music::Smoothing;
use crate::syntax::words::Sign;
use crate::syntax::{Cursor, Measured, Reported};
use crate::units::{Deg, Dimension as D, Hertz, Mm};

use super::cue::unexpected;
use super::span::next_span;

/// The words a gesture begins with.
pub const ACTIONS: &[&str] =
    &["sweep", "turn", "pose", "follow", "spin", "pulse", "stroke", "on", "off"];

/// Reads what stands behind a limb's name, beginning with one of [`ACTIONS`].
///
/// # Errors
/// Where it cannot be read; reported.
pub fn action(c: &mut Cursor<'_>) -> Result<Action, Reported> {
    let Some(word) = c.word() else { return Err(unexpected(c, "a gesture", ACTIONS)) };
    match word.value {
        "sweep" => sweep(c),
        "stroke" => stroke(c),
        "turn" => {
            if c.take_word("to").is_none() {
                return Err(unexpected(c, "`to` and an angle", &["to"]));
            }
            let to = angle(c)?;
            let over = match c.take_word("over") {
                Some(_) => Some(next_span(c)?),
                None => None,
            };
            Ok(Action::Turn { to, over })
        }
        "pose" => Ok(Action::Pose(angle(c)?)),
        "follow" => follow(c),
        "spin" => {
            let turn = angle(c)?.value;
            if c.take_word("per").is_none() {
                return Err(unexpected(c, "`per` and a time", &["per"]));
            }
            Ok(Action::Spin { turn, per: next_span(c)? })
        }
        "pulse" => {
            if c.take_word("up").is_none() || c.take_word("for").is_none() {
                return Err(unexpected(c, "`up for` and a time", &[]));
            }
            Ok(Action::Pulse { up: next_span(c)? })
        }
        "on" => Ok(Action::On),
        _ => Ok(Action::Off),
    }
}

fn angle(c: &mut Cursor<'_>) -> Result<Spanned<Deg>, Reported> {
    let got = c.quantity(&[D::Angle], Sign::Any)?;
    Ok(Spanned::new(Deg(got.value), got.place))
}

/// `A to B`.
fn range(
    c: &mut Cursor<'_>,
    dims: &'static [D],
    sign: Sign,
) -> Result<(Measured, Measured), Reported> {
    let from = c.quantity(dims, sign)?;
    if c.take_word("to").is_none() {
        return Err(unexpected(c, "`to` and the other end", &["to"]));
    }
    Ok((from, c.quantity(dims, sign)?))
}

fn sweep(c: &mut Cursor<'_>) -> Result<Action, Reported> {
    let (a, b) = range(c, &[D::Angle], Sign::Any)?;
    let (mut within, mut cycle, mut accent, mut easing) = (None, None, None, Easing::Natural);
    loop {
        if c.take_word("within").is_some() {
            within = Some(Deg(c.quantity(&[D::Angle], Sign::Positive)?.value));
        } else if c.take_word("cycle").is_some() {
            cycle = Some(next_span(c)?);
        } else if c.take_word("accent").is_some() {
            if c.take_word("at").is_none() {
                return Err(unexpected(c, "`at` and an angle", &["at"]));
            }
            accent = Some(angle(c)?);
        } else if c.take_word("shape").is_some() {
            easing = match c.choice("the shape", &["natural", "smooth", "sharp"])?.value {
                1 => Easing::Smooth,
                2 => Easing::Sharp,
                _ => Easing::Natural,
            };
        } else {
            break;
        }
    }
    let (from, to) = (Spanned::new(Deg(a.value), a.place), Spanned::new(Deg(b.value), b.place));
    Ok(Action::Sweep { from, to, within, cycle, accent, easing })
}

fn stroke(c: &mut Cursor<'_>) -> Result<Action, Reported> {
    let (a, b) = range(c, &[D::Length], Sign::Any)?;
    let (mut within, mut cycle, mut accent) = (None, None, None);
    let length = |got: Measured| Spanned::new(Mm(got.value), got.place);
    loop {
        if c.take_word("within").is_some() {
            within = Some(Mm(c.quantity(&[D::Length], Sign::Positive)?.value));
        } else if c.take_word("cycle").is_some() {
            cycle = Some(next_span(c)?);
        } else if c.take_word("accent").is_some() {
            if c.take_word("at").is_none() {
                return Err(unexpected(c, "`at` and a place on the slide", &["at"]));
            }
            accent = Some(length(c.quantity(&[D::Length], Sign::Any)?));
        } else {
            break;
        }
    }
    let (a, b) = (length(a), length(b));
    let (from, to) = if a.value <= b.value { (a, b) } else { (b, a) };
    Ok(Action::Stroke { from, to, within, cycle, accent })
}

fn follow(c: &mut Cursor<'_>) -> Result<Action, Reported> {
    let source = c.name("stem")?.map(str::to_owned);
    let (low, high) = range(c, &[D::Frequency], Sign::Positive)?;
    let (mut ends, mut smoothing) = (None, Smoothing::Usual);
    loop {
        if c.take_word("from").is_some() {
            let (a, b) = range(c, &[D::Angle], Sign::Any)?;
            ends = Some((Deg(a.value), Deg(b.value)));
        } else if c.take_word("quick").is_some() {
            smoothing = Smoothing::Quick;
        } else if c.take_word("soft").is_some() {
            smoothing = Smoothing::Soft;
        } else {
            break;
        }
    }
    let band = (Hertz(low.value), Hertz(high.value));
    Ok(Action::Follow { source, band, range: ends, smoothing })
}

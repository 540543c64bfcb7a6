//! A limb and its pins over what moves them, finely enough for straight lines between.

use super::course::THIN;
use super::{nearest, shift};
use crate::fit::{Aboard, Built, Fitted, FittedFigure, FittedServo, Follows};
use crate::geometry::{BoardPoint, Body, Dir};
use crate::mechanism::{Guide, Mechanism, Path as _, Pin, Pins, ServoRod, Shaft, Way};
use crate::model::{DriveKind, Figure};
use crate::timing::carried;
use crate::timing::linkage::horn_at;
use crate::units::{Deg, Rad};

/// What a table is counted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counts {
    /// The crank's angle, deg, the pin's own included.
    Crank,
    /// Length of a ram or cylinder, or of what is wound on, mm.
    Length,
    /// The limb's own angle, deg: of a servo, and of what turns on and on.
    Angle,
}

/// One place of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The coordinate.
    pub at: f64,
    /// The origin of the limb's own plane, mm, and the angle of its axis, deg, from row
    /// to row without a jump.
    pub limb: [f64; 3],
    /// Its pins, mm.
    pub pins: Vec<[f64; 2]>,
}

/// Where a limb and its pins are.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// What it is counted by.
    pub counts: Counts,
    /// Whether first and last row are one place, a turn apart.
    pub closed: bool,
    /// What the pins are, in the order in which the push runs through them.
    pub pins: Vec<Pin>,
    /// The rows, by ascending coordinate.
    pub rows: Vec<Row>,
    /// The slot a crank pin runs in: its ends in the limb's own plane.
    pub slot: Option<[[f64; 2]; 2]>,
    /// A cam about its shaft with the crank's angle 0; else empty.
    pub disc: Vec<[f64; 2]>,
    /// How far straight lines between the rows are off at most, mm, for pins and for any
    /// corner of the limb: twice the largest of what three places between every two rows
    /// are off. (The error of a line on a smooth curve is largest near its middle and
    /// changes little to a quarter of the way.)
    pub error: f64,
}

/// Rows are added until lines between them are off by no more than this, mm.
const OFF: f64 = 0.1;
/// A stretch is halved at most so often.
const HALVINGS: u32 = 9;

impl Table {
    /// Of a limb; `None` where its mechanism is not known, has an error, or does not go
    /// all along.
    #[must_use]
    pub fn of(fitted: &FittedFigure, index: usize) -> Option<Self> {
        let mechanism = fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty())?;
        let figure = seen(fitted, index);
        let moves = match carried::plays(fitted, index) {
            true => Moves::carried(fitted, index)?,
            false => Moves::of(figure, index, mechanism)?,
        };
        let mut maker = Maker { moves, shift: shift(fitted, index)?, reach: reach(figure, index) };
        let mut table = maker.table()?;
        table.slot = slot(figure, index, &table);
        table.disc = maker.moves.disc();
        Some(table)
    }

    /// Of the drive on the board of a limb that rides, over its own coordinate: its pins on the
    /// board, but the last, the lever's, in the limb's own plane. `None` for any other limb.
    #[must_use]
    pub fn of_drive(fitted: &FittedFigure, index: usize) -> Option<Self> {
        if !carried::plays(fitted, index) {
            return None;
        }
        let moves = Moves::Aboard(fitted.aboard(index, None)?);
        let table = Maker { moves, shift: [0.0, 0.0], reach: 0.0 }.table()?;
        // The limb's angle over time is thinned, and takes the lever's pin with it.
        let [x, y] = *table.rows.first()?.pins.last()?;
        let off = THIN.rad().0 * libm::hypot(x, y);
        let lever = table.pins.last() == Some(&Pin::Lever);
        lever.then_some(Self { error: table.error + off, ..table })
    }

    /// The coordinate of the first and of the last row.
    #[must_use]
    pub fn span(&self) -> (f64, f64) {
        let at = |row: Option<&Row>| row.map_or(0.0, |r| r.at);
        (at(self.rows.first()), at(self.rows.last()))
    }
}

/// The figure on which a limb is computed.
pub(super) fn seen(fitted: &FittedFigure, index: usize) -> &Figure {
    fitted.limbs[index].riding.as_ref().map_or(&fitted.figure, |r| &r.figure)
}

/// The farthest corner of a limb from its origin.
fn reach(figure: &Figure, index: usize) -> f64 {
    let limb = &figure.limbs[index];
    let corners = limb.silhouette().map(|o| o.corners().to_vec()).unwrap_or_default();
    let tip = limb.tip.and_then(|t| limb.own(t));
    corners.iter().chain(&tip).map(|p| libm::hypot(p.x, p.y)).fold(1.0, f64::max)
}

/// What moves a limb.
enum Moves<'a> {
    Follows {
        follows: Follows<'a>,
        origin: Option<(BoardPoint, Dir)>,
        length: bool,
    },
    Direct {
        pivot: BoardPoint,
        low: f64,
        high: f64,
    },
    Rod {
        servo: &'a FittedServo,
        rod: ServoRod,
    },
    Horn {
        servo: &'a FittedServo,
        cord: &'a Built,
        pivot: BoardPoint,
    },
    Spin {
        pivot: BoardPoint,
    },
    /// What moves a limb from the board that another limb carries too.
    Aboard(Aboard),
}

impl<'a> Moves<'a> {
    fn of(figure: &Figure, index: usize, mechanism: &'a Fitted) -> Option<Self> {
        let limb = &figure.limbs[index];
        let pivot = limb.drawn().map(|d| d.0);
        Some(match mechanism {
            Fitted::FourBar(_) => {
                Self::Follows { follows: mechanism.follows()?, origin: None, length: false }
            }
            Fitted::Drive(drive) => {
                let length = matches!(drive.made().way.source(), Way::Extending(_));
                Self::Follows { follows: mechanism.follows()?, origin: limb.drawn(), length }
            }
            Fitted::Spin(_) => Self::Spin { pivot: pivot? },
            Fitted::Servo(servo) => match (&servo.cord, servo.linkage, servo.arm_at_zero) {
                (Some(cord), ..) => Self::Horn { servo, cord: cord.made(), pivot: pivot? },
                (None, Some(bar), Some(zero)) => {
                    Self::Rod { servo, rod: ServoRod::new(bar, zero, servo.turns.sign()) }
                }
                _ => Self::Direct { pivot: pivot?, low: servo.low.0, high: servo.high.0 },
            },
        })
    }

    /// A limb that crank and carrier move: by its own angle, its pivot in the carrier's
    /// plane.
    fn carried(fitted: &FittedFigure, index: usize) -> Option<Self> {
        let limb = &fitted.figure.limbs[index];
        let own = fitted.figure.limbs[limb.carrier?].own(limb.drawn()?.0)?;
        let (low, high) = fitted.range(index)?;
        let pivot = BoardPoint::mm(own.x, own.y);
        Some(Self::Direct { pivot, low: low.0, high: high.0 })
    }

    fn counts(&self) -> Counts {
        match self {
            Self::Follows { length: true, .. } => Counts::Length,
            Self::Aboard(drive) if drive.grows() => Counts::Length,
            Self::Follows { .. } | Self::Aboard(_) => Counts::Crank,
            _ => Counts::Angle,
        }
    }

    /// First and last coordinate, and whether they are one place.
    fn span(&self) -> (f64, f64, bool) {
        match self {
            Self::Follows { follows, length, .. } => {
                let span = follows.path.span();
                match length {
                    true => (span.from, span.to, false),
                    false => (Rad(span.from).deg().0, Rad(span.to).deg().0, span.closed),
                }
            }
            Self::Aboard(drive) => {
                let span = drive.way.span();
                match drive.grows() {
                    true => (span.from, span.to, false),
                    false => (Rad(span.from).deg().0, Rad(span.to).deg().0, span.closed),
                }
            }
            Self::Direct { low, high, .. } => (*low, *high, false),
            Self::Rod { servo, .. } | Self::Horn { servo, .. } => {
                (servo.low.0, servo.high.0, false)
            }
            Self::Spin { .. } => (0.0, 360.0, true),
        }
    }

    /// The limb and its pins; `None` where the mechanism does not go there.
    fn place(&self, at: f64) -> Option<(Body<f64>, Pins)> {
        let turned = |pivot: &BoardPoint| Body::still(pivot.x, pivot.y, Dir::degrees(Deg(at)));
        match self {
            Self::Follows { follows, origin, length } => {
                let coordinate = if *length { at } else { Deg(at).rad().0 };
                let input = follows.path.at(coordinate).ok()?;
                let solved = follows.mechanism.position(&input).ok()?.limb;
                let pins = follows.mechanism.pins(&input, &solved);
                let body = match follows.mechanism.guide() {
                    Guide::Pivot => solved,
                    Guide::Slide(slide) => {
                        let (from, axis) = (*origin)?;
                        let way = slide.way(solved.x, solved.y);
                        let (x, y) = (slide.along.x() * way, slide.along.y() * way);
                        Body::still(from.x + x, from.y + y, axis)
                    }
                };
                Some((body, pins))
            }
            Self::Direct { pivot, .. } | Self::Spin { pivot } => Some((turned(pivot), Pins::new())),
            Self::Aboard(drive) => {
                let coordinate = if drive.grows() { at } else { Deg(at).rad().0 };
                let input = drive.way.at(coordinate).ok()?;
                let own = Body::still(0.0, 0.0, Dir::EAST);
                let pins = drive.mechanism.pins(&input, &own);
                Some((own, pins))
            }
            Self::Rod { servo, rod } => {
                let bar = rod.linkage();
                let (a, b) = (servo.shaft_at_low, servo.shaft_at_high);
                let own = rod.servo_at(Deg(at), a.min(b), a.max(b))?;
                let arm = servo.arm_at_zero? + own * servo.turns.sign();
                let shaft = Shaft::turning(bar.motor());
                let input = shaft.at(arm.rad().0).ok()?;
                let limb = turned(&bar.pivot());
                let pins = Mechanism::pins(bar, &input, &limb);
                Some((limb, pins))
            }
            Self::Horn { cord, pivot, .. } => {
                let horn = horn_at(cord, Deg(at))?;
                let input = cord.way.at(horn.rad().0).ok()?;
                let limb = turned(pivot);
                Some((limb, cord.mechanism.pins(&input, &limb)))
            }
        }
    }

    fn disc(&self) -> Vec<[f64; 2]> {
        let Self::Follows { follows, .. } = self else { return Vec::new() };
        follows.mechanism.disc().iter().map(|p| [p.x, p.y]).collect()
    }
}

/// Makes a table.
struct Maker<'a> {
    moves: Moves<'a>,
    shift: [f64; 2],
    reach: f64,
}

impl Maker<'_> {
    fn table(&mut self) -> Option<Table> {
        let (from, to, closed) = self.moves.span();
        if !(from.is_finite() && to > from) {
            return None;
        }
        // At the very end of its way a mechanism may be at a dead centre.
        let hair = if closed { 0.0 } else { 1e-9 * (to - from) };
        let first = self.row(from, from).or_else(|| self.row(from + hair, from + hair))?;
        let steps = if closed { 24 } else { 12 };
        let (mut rows, mut error) = (vec![first], 0.0_f64);
        for i in 1..=steps {
            let at = from + (to - from) * f64::from(i) / f64::from(steps);
            let here = rows.last()?.clone();
            let end = if i == steps { at - hair } else { at };
            let there = self.row(at, here.limb[2]).or_else(|| self.row(end, here.limb[2]))?;
            self.between(&here, there, HALVINGS, &mut rows, &mut error)?;
        }
        let pins = self.moves.place(rows[0].at)?.1.into_iter().map(|p| p.0).collect();
        let counts = self.moves.counts();
        let (slot, disc) = (None, Vec::new());
        let error = 2.0 * error;
        Some(Table { counts, closed, pins, rows, slot, disc, error })
    }

    /// The row at a coordinate, its angle near to another.
    fn row(&self, at: f64, near: f64) -> Option<Row> {
        let (limb, pins) = self.moves.place(at)?;
        let [dx, dy] = self.shift;
        let angle = nearest(limb.axis().deg().0, near);
        let row = Row {
            at,
            limb: [limb.x + dx, limb.y + dy, angle],
            pins: pins.iter().map(|(_, p)| [p.x + dx, p.y + dy]).collect(),
        };
        let numbers = row.limb.iter().chain(row.pins.iter().flatten());
        numbers.into_iter().all(|v| v.is_finite()).then_some(row)
    }

    /// Adds the rows after `a` up to `b`, as many as lines between them need.
    fn between(
        &self,
        a: &Row,
        b: Row,
        halvings: u32,
        rows: &mut Vec<Row>,
        error: &mut f64,
    ) -> Option<()> {
        let mut worst = 0.0_f64;
        let mut middle = None;
        for share in [0.25, 0.5, 0.75] {
            let near = a.limb[2] + (b.limb[2] - a.limb[2]) * share;
            let row = self.row(a.at + (b.at - a.at) * share, near)?;
            worst = worst.max(self.off(a, &b, share, &row));
            if share == 0.5 {
                middle = Some(row);
            }
        }
        if worst > OFF && halvings > 0 {
            let middle = middle?;
            self.between(a, middle.clone(), halvings - 1, rows, error)?;
            return self.between(&middle, b, halvings - 1, rows, error);
        }
        *error = error.max(worst);
        rows.push(b);
        Some(())
    }

    /// How far a row is off the line between two others, mm.
    fn off(&self, a: &Row, b: &Row, share: f64, row: &Row) -> f64 {
        let line = |a: f64, b: f64| a + (b - a) * share;
        let gap = |a: &[f64], b: &[f64], c: &[f64]| {
            libm::hypot(line(a[0], b[0]) - c[0], line(a[1], b[1]) - c[1])
        };
        let pins = (0..row.pins.len()).map(|p| gap(&a.pins[p], &b.pins[p], &row.pins[p]));
        let turn = Deg(line(a.limb[2], b.limb[2]) - row.limb[2]).rad().0.abs();
        let limb = gap(&a.limb, &b.limb, &row.limb) + turn * self.reach;
        pins.fold(limb, f64::max)
    }
}

/// The slot a crank pin runs in: between the extremes of its places in the limb.
fn slot(figure: &Figure, index: usize, table: &Table) -> Option<[[f64; 2]; 2]> {
    let drive = figure.limbs[index].drive.as_ref()?;
    if !matches!(drive.mechanism, DriveKind::SlottedArm(_) | DriveKind::ScotchYoke(_)) {
        return None;
    }
    let pin = table.pins.iter().position(|p| *p == Pin::Crank)?;
    let own: Vec<[f64; 2]> = table
        .rows
        .iter()
        .map(|row| {
            let (sin, cos) = libm::sincos(Deg(row.limb[2]).rad().0);
            let (x, y) = (row.pins[pin][0] - row.limb[0], row.pins[pin][1] - row.limb[1]);
            [x * cos + y * sin, y * cos - x * sin]
        })
        .collect();
    // It is a straight line: the farthest from one place is an end, and the farthest
    // from that the other.
    let far = |from: [f64; 2]| {
        let apart = |p: &[f64; 2]| libm::hypot(p[0] - from[0], p[1] - from[1]);
        own.iter().copied().max_by(|a, b| apart(a).total_cmp(&apart(b)))
    };
    let one = far(*own.first()?)?;
    Some([one, far(one)?])
}

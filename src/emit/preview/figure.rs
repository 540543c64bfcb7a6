//! What a figure looks like and how it moves, for the page.

use super::{Finite, deltas, hundredths, two};
use crate::check::Compiled;
use crate::emit::asked;
use crate::emit::numbers::mechanism_numbers;
use crate::geometry::{Outline, Point};
use crate::model::{DriveKind, FrameMember, Joint, Mount};
use crate::space::Role;
use crate::timing::{Alone, Counts, Drawing, DrawnLimb, Table};

/// Parts of a mm that lengths are written in, of a degree that angles are, and of either
/// that the coordinate of a table is.
const LENGTHS: f64 = 100.0;
const ANGLES: f64 = 1e4;
const COORDINATES: f64 = 1e5;
/// What writing lengths and angles so adds to the error of a table, mm: half a hundredth
/// across and up, and as much again for angle and coordinate of a limb of some metres.
const ROUNDED: f64 = 0.015;

/// A figure.
#[derive(serde::Serialize)]
pub struct FigureData<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    board: Option<Vec<i64>>,
    frame: Vec<Vec<i64>>,
    motors: Vec<MotorData<'a>>,
    limbs: Vec<LimbData<'a>>,
}

/// A motor.
#[derive(serde::Serialize)]
struct MotorData<'a> {
    name: &'a str,
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<[Finite; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    body: Option<[Finite; 2]>,
    rides: bool,
}

/// A limb.
#[derive(serde::Serialize)]
struct LimbData<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    behind: bool,
    slides: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    on: Option<usize>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    level: bool,
    /// Whether its joint is on another limb.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    carried: bool,
    /// Its shape in its own plane: across and up by turns.
    #[serde(skip_serializing_if = "Option::is_none")]
    shape: Option<Vec<i64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tip: Option<[Finite; 2]>,
    /// The guide it slides on, from and to.
    #[serde(skip_serializing_if = "Option::is_none")]
    guide: Option<[Finite; 4]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bolt: Option<Finite>,
    /// Its faces in depth behind the board's front.
    #[serde(skip_serializing_if = "Option::is_none")]
    depth: Option<[Finite; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drive: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    motor: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    still: Option<[Finite; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    push: Option<Finite>,
    /// Whether its sizes are those measured on the built limb.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    built: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    table: Option<TableData>,
    /// What moves it from the board where a limb carries it too; the last pin in its own plane.
    #[serde(skip_serializing_if = "Option::is_none")]
    works: Option<TableData>,
    #[serde(skip_serializing_if = "Option::is_none")]
    alone: Option<AloneData>,
}

/// A limb over what moves it.
#[derive(serde::Serialize)]
struct TableData {
    counts: &'static str,
    closed: bool,
    at: Vec<i64>,
    limb: [Vec<i64>; 3],
    pins: Vec<&'static str>,
    pin: Vec<[Vec<i64>; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    slot: Option<[Finite; 4]>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    disc: Vec<i64>,
    error_mm: Finite,
}

/// A cycle by itself.
#[derive(serde::Serialize)]
struct AloneData {
    from: Finite,
    to: Finite,
    round: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    time_s: Option<Finite>,
}

impl<'a> FigureData<'a> {
    /// A figure of the yard by index.
    pub fn new(compiled: &'a Compiled, index: usize, drawing: &Drawing) -> Self {
        let fitted = &compiled.figures[index];
        let figure = &compiled.yard.figures[index].figure;
        let motors = figure.actuators.iter().enumerate().map(|(m, motor)| MotorData {
            name: &motor.name,
            kind: motor.motor.kind.word(),
            at: motor.at.or_else(|| fitted.place_of(m)).and_then(|p| two(p.x, p.y)),
            body: motor.motor.body.and_then(|(w, h)| two(w.0, h.0)),
            rides: motor.rides,
        });
        Self {
            board: figure.board.outline.as_ref().and_then(outline),
            frame: figure.frame.iter().filter_map(member).collect(),
            motors: motors.collect(),
            limbs: (0..figure.limbs.len())
                .map(|l| limb(compiled, index, l, &drawing.limbs[l]))
                .collect(),
        }
    }
}

/// Corners, across and up by turns, each as its difference from the one before.
fn corners<S>(points: &[Point<S>]) -> Option<Vec<i64>> {
    let fine = points.iter().all(|p| p.x.is_finite() && p.y.is_finite());
    let part = |v: f64| (v * LENGTHS).round() as i64;
    let (mut last, mut all) = ([0, 0], Vec::with_capacity(2 * points.len()));
    for p in points {
        let here = [part(p.x), part(p.y)];
        all.extend([here[0] - last[0], here[1] - last[1]]);
        last = here;
    }
    fine.then_some(all)
}

fn outline<S: Copy>(outline: &Outline<S>) -> Option<Vec<i64>> {
    corners(outline.corners())
}

fn member(m: &FrameMember) -> Option<Vec<i64>> {
    outline(&Outline::strip(m.from, m.to, m.width)?)
}

fn limb<'a>(compiled: &'a Compiled, at: usize, index: usize, drawn: &DrawnLimb) -> LimbData<'a> {
    let figure = &compiled.yard.figures[at].figure;
    let limb = &figure.limbs[index];
    let fitted = &compiled.figures[at].limbs[index];
    let numbers = fitted.mechanism.as_ref().map(mechanism_numbers).unwrap_or_default();
    let numbers = numbers.made();
    let guide = match limb.joint {
        Joint::Slide { from, to } => two(from.x, from.y).zip(two(to.x, to.y)),
        Joint::Pivot { .. } => None,
    };
    // What crank and carrier make of it together, where both move it.
    let ends = drawn.table.as_ref().filter(|_| drawn.level).map(Table::span);
    let slides = matches!(limb.joint, Joint::Slide { .. });
    let turns = match ends.map(|e| e.0).or(numbers.low_deg.map(Finite::get)) {
        Some(low) if !slides => asked::turns(limb, fitted.riding.is_some() && ends.is_none(), low),
        _ => 0.0,
    };
    let told = |end: Option<Finite>| end.and_then(|e| Finite::new(e.get() + turns));
    let layers = &compiled.spaces[at].stack;
    let own = layers.iter().find(|l| l.role == Role::Limb && l.name == limb.name.value);
    let kind = |d: &DriveKind| match d {
        DriveKind::Spin(spin) if spin.by != "direct" => spin.by,
        other => other.kind().word(),
    };
    LimbData {
        name: &limb.name.value,
        title: limb.title.as_deref(),
        behind: limb.mount == Mount::Behind,
        slides,
        on: drawn.on,
        level: drawn.level,
        carried: limb.carrier.is_some(),
        shape: limb.silhouette().as_ref().and_then(outline),
        tip: limb.tip.and_then(|t| limb.own(t)).and_then(|p| two(p.x, p.y)),
        guide: guide.map(|([a, b], [c, d])| [a, b, c, d]),
        bolt: limb.bolt.as_ref().and_then(|b| hundredths(b.diameter.0 / 2.0)),
        depth: own.and_then(|l| two(l.depth.front, l.depth.back)),
        drive: limb.drive.as_ref().map(|d| kind(&d.mechanism)),
        motor: figure.motor_of(index),
        still: drawn.still.and_then(|[x, y, a]| {
            Some([hundredths(x)?, hundredths(y)?, Finite::new((a * ANGLES).round() / ANGLES)?])
        }),
        low: told(ends.map_or(numbers.low_deg.or(numbers.low_mm), |e| Finite::new(e.0))),
        high: told(ends.map_or(numbers.high_deg.or(numbers.high_mm), |e| Finite::new(e.1))),
        push: numbers.min_transmission_deg,
        built: fitted.as_built.as_ref().is_some_and(|b| !b.changes.is_empty()),
        table: drawn.table.as_ref().and_then(table),
        works: drawn.drive.as_ref().and_then(table),
        alone: drawn.alone.and_then(alone),
    }
}

fn table(table: &Table) -> Option<TableData> {
    let rows = &table.rows;
    let pins = 0..table.pins.len();
    let slot = table.slot.map(|[a, b]| [a[0], a[1], b[0], b[1]].map(hundredths));
    let disc: Vec<Point<crate::geometry::OnLimb>> =
        table.disc.iter().map(|p| Point::mm(p[0], p[1])).collect();
    Some(TableData {
        counts: match table.counts {
            Counts::Crank => "crank",
            Counts::Length => "length",
            Counts::Angle => "angle",
        },
        closed: table.closed,
        at: deltas(rows.iter().map(|r| r.at), COORDINATES),
        limb: [
            deltas(rows.iter().map(|r| r.limb[0]), LENGTHS),
            deltas(rows.iter().map(|r| r.limb[1]), LENGTHS),
            deltas(rows.iter().map(|r| r.limb[2]), ANGLES),
        ],
        pins: table.pins.iter().map(|p| p.word()).collect(),
        pin: pins
            .map(|p| [0, 1].map(|c| deltas(rows.iter().map(|r| r.pins[p][c]), LENGTHS)))
            .collect(),
        slot: match slot {
            Some([Some(a), Some(b), Some(c), Some(d)]) => Some([a, b, c, d]),
            _ => None,
        },
        disc: corners(&disc).unwrap_or_default(),
        error_mm: Finite::new(((table.error + ROUNDED) * 1000.0).ceil() / 1000.0)?,
    })
}

fn alone(alone: Alone) -> Option<AloneData> {
    Some(AloneData {
        from: Finite::new(alone.from)?,
        to: Finite::new(alone.to)?,
        round: alone.round,
        time_s: alone.time.and_then(|t| Finite::new(t.0)),
    })
}

//! The cautions of a yard, each once and only where something of the yard calls for it.

use crate::check::Compiled;
use crate::model::{DriveKind, MotorKind, Supply};

/// Above this a person of usual height needs something to stand on (common practice, no
/// source), mm.
const REACH: f64 = 2000.0;

/// One caution.
#[derive(Debug, serde::Serialize)]
pub struct Caution {
    /// What it is about.
    pub about: &'static str,
    /// What to do about it.
    pub words: &'static str,
    /// Whether something of this yard calls for it; what cannot be told counts.
    #[serde(skip)]
    bears: fn(&Compiled) -> bool,
}

/// Those that bear on a yard, the most dangerous first.
pub fn of(compiled: &Compiled) -> impl Iterator<Item = &'static Caution> + '_ {
    CAUTIONS.iter().filter(|c| (c.bears)(compiled))
}

static CAUTIONS: [Caution; 6] = [
    Caution {
        about: "Mains",
        words: "Whatever is plugged in outdoors belongs behind a residual current device (RCD, \
                GFCI) and in a housing made for rain. Mains wiring is for licensed people and \
                your local code; nothing here was computed for it.",
        bears: mains,
    },
    Caution {
        about: "Pinch and jam",
        words: "Limbs, rods and cranks crush fingers, and a limb that is held pushes with the \
                force under its motor's row, not with that of its swing. Switch off and unplug \
                before you reach in; keep hands, hair and children behind the viewers' line.",
        bears: moves,
    },
    Caution {
        about: "Wind and falling",
        words: "A board is a sail. The gusts here are sums with typical soils and materials, \
                off by two to three times where yours differ: pull-test stakes, look at the \
                forecast, and bring in what people could be hit by.",
        bears: |c| !c.yard.figures.is_empty(),
    },
    Caution {
        about: "Compressed air",
        words: "A cylinder strikes at once and stays under pressure with the power off. Fit a \
                valve that empties it, a pressure limiter and tube made for it; empty the tank \
                before you undo anything.",
        bears: air,
    },
    Caution {
        about: "Cables across paths",
        words: "Lead cables where nobody walks in the dark, or under a cover that does not trip. \
                Put the fuse at the supply's end of each.",
        bears: fed,
    },
    Caution {
        about: "Ladders",
        words: "Some of this is mounted above arm's reach: two people, level ground, never in \
                wind, never with the figure switched on.",
        bears: high,
    },
];

fn motors(compiled: &Compiled) -> impl Iterator<Item = MotorKind> + '_ {
    let figures = compiled.yard.figures.iter();
    figures.flat_map(|p| p.figure.actuators.iter().map(|a| a.motor.kind))
}

/// Unless every supply is a battery, or nothing takes current at all.
fn mains(compiled: &Compiled) -> bool {
    let yard = &compiled.yard;
    let root = |s: &&Supply| s.from.is_none();
    let plugged = yard.supplies.iter().filter(root).any(|s| s.battery.is_none());
    let unknown = yard.supplies.is_empty() && fed(compiled);
    yard.mains.is_some() || plugged || unknown
}

fn moves(compiled: &Compiled) -> bool {
    compiled.yard.figures.iter().any(|p| p.figure.limbs.iter().any(|l| l.drive.is_some()))
}

fn air(compiled: &Compiled) -> bool {
    let tank = |d: &DriveKind| matches!(d, DriveKind::Strut(s) if s.air.tank.is_some());
    let limbs = compiled.yard.figures.iter().flat_map(|p| &p.figure.limbs);
    let mut drives = limbs.filter_map(|l| l.drive.as_ref());
    motors(compiled).any(|k| k == MotorKind::Cylinder) || drives.any(|d| tank(&d.mechanism))
}

/// Whether anything takes current: a lamp, a motor that is not moved by air alone.
fn fed(compiled: &Compiled) -> bool {
    let lamps = compiled.yard.figures.iter().any(|p| !p.figure.lamps.is_empty());
    lamps || motors(compiled).next().is_some() || !compiled.yard.controllers.is_empty()
}

/// Whether a board's top, a pivot or a motor stands above a person's reach.
fn high(compiled: &Compiled) -> bool {
    compiled.yard.figures.iter().any(|p| {
        let figure = &p.figure;
        let lifted = figure.board.lifted.0;
        let board = figure.board.outline.as_ref().map(|o| o.bounds().high.y);
        let motors = figure.actuators.iter().filter_map(|a| a.at.map(|at| at.y));
        let pivots = figure.limbs.iter().filter_map(|l| l.drawn().map(|(at, _)| at.y));
        board.into_iter().chain(motors).chain(pivots).any(|y| y + lifted > REACH)
    })
}

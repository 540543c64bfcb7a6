//! Drives: one file per mechanism with its words and what they become.

mod cam;
mod cord;
mod cylinder;
mod four_bar;
mod ram;
mod scotch_yoke;
mod servo;
mod slider_crank;
mod slotted_arm;
mod spin;
mod strut;

use crate::mechanism::{Assembly, Prefer, Size};
use crate::model::{DriveKind, MotorKind, MotorType, Return, Sized};
use crate::syntax::words::{BlockRule, Row, Sign, Table, Take, key, may, must};
use crate::syntax::{Block, Clause, Got};
use crate::units::{Dimension as D, System};

use super::words::{AT, BEHIND, FED, LIMIT, PLATE, RIDES, TURNS};

/// One mechanism of the language: its word, its table, and what its block becomes.
pub(super) struct DriveWord {
    /// The word behind `drive`.
    pub word: &'static str,
    /// The kinds of motor that can push it.
    pub motors: &'static [MotorKind],
    /// The library's motor that is usual for it.
    pub usual: &'static str,
    /// What the block becomes; an absent block leaves everything open.
    pub read: fn(Option<Block<'_>>, &Context) -> DriveKind,
}

/// What a drive's sizes depend on beside its own words.
pub(super) struct Context {
    /// The household of the figure.
    pub system: System,
    /// Whether another limb pushes instead of a motor.
    pub from_limb: bool,
}

const TURNING: &[MotorKind] = &[MotorKind::Brushed, MotorKind::Synchronous];

/// Every mechanism that is known, in the order of the reference page.
pub(super) const DRIVES: &[DriveWord] = &[
    DriveWord { word: "four-bar", motors: TURNING, usual: "wiper", read: four_bar::read },
    DriveWord { word: "slotted-arm", motors: TURNING, usual: "wiper", read: slotted_arm::read },
    DriveWord { word: "slider-crank", motors: TURNING, usual: "wiper", read: slider_crank::read },
    DriveWord { word: "scotch-yoke", motors: TURNING, usual: "wiper", read: scotch_yoke::read },
    DriveWord { word: "cam", motors: TURNING, usual: "wiper", read: cam::read },
    DriveWord {
        word: "servo",
        motors: &[MotorKind::Servo],
        usual: "servo-standard",
        read: servo::read,
    },
    DriveWord { word: "ram", motors: &[MotorKind::Ram], usual: "ram-100", read: ram::read },
    DriveWord {
        word: "cylinder",
        motors: &[MotorKind::Cylinder],
        usual: "cylinder-20",
        read: cylinder::read,
    },
    DriveWord {
        word: "cord",
        motors: &[
            MotorKind::Brushed,
            MotorKind::Synchronous,
            MotorKind::Servo,
            MotorKind::Spool,
            MotorKind::Ram,
            MotorKind::Cylinder,
        ],
        usual: "servo-micro",
        read: cord::read,
    },
    DriveWord { word: "spin", motors: TURNING, usual: "wiper", read: spin::read },
];

/// The words behind `drive`; the last two are refused by name.
const WORDS: &[&str] = &[
    "four-bar",
    "slotted-arm",
    "slider-crank",
    "scotch-yoke",
    "cam",
    "servo",
    "ram",
    "cylinder",
    "cord",
    "spin",
    "hinge",
    "turntable",
];

/// The word `drive` of a limb.
pub(super) const DRIVE: Row = Row::new(
    "drive",
    "What makes the limb move; `from LIMB` where another limb pushes instead of a motor.",
    &[must("kind", Take::Choice(WORDS)), key("from", "from", Take::Name("limb"))],
)
.block(BlockRule::ByChoice("kind", TABLES));

/// The table of each word.
static TABLES: &[(&str, &Table)] = &[
    ("four-bar", &four_bar::FOUR_BAR),
    ("slotted-arm", &slotted_arm::SLOTTED_ARM),
    ("slider-crank", &slider_crank::SLIDER_CRANK),
    ("scotch-yoke", &scotch_yoke::SCOTCH_YOKE),
    ("cam", &cam::CAM),
    ("servo", &servo::SERVO),
    ("ram", &ram::RAM),
    ("cylinder", &cylinder::CYLINDER),
    ("cord", &cord::CORD),
    ("spin", &spin::SPIN),
    ("hinge", &REFUSED),
    ("turntable", &REFUSED),
];

/// The block of a drive that is refused by name: nothing in it is known.
static REFUSED: Table =
    Table { name: "drive", title: "A drive this version does not know.", rows: &[], bare: None };

/// `motor NAME [pin …]` of a figure, or `motor TYPE at (x, y)` of the drive's own.
pub(super) const MOTOR: Row = Row::new(
    "motor",
    "The motor: one of the figure's, with its crank pin, or one of its own with its place; `rides` where it is \
     fixed to the limb that carries this one. `pin ? together` finds the pin with which this limb is at its far \
     end (the second one of its gesture) when another of the motor's limbs is; `alternate`, half a turn apart.",
    &[
        must("name", Take::Name("motor")),
        AT,
        TURNS,
        BEHIND,
        RIDES,
        LIMIT,
        FED,
        PLATE,
        key("pin", "pin", Take::Open(D::Angle, Sign::Any)),
        may("phase", Take::Choice(&["alternate", "together"])),
    ],
);

/// The crank.
pub(super) const CRANK: Row = Row::new(
    "crank",
    "The hole of the crank: distance of its pin from the shaft; `? of STOCK-BAR` takes it from a drilled bar. `mass`: what it weighs; else as its bar, and nothing without one.",
    &[
        must("length", Take::Open(D::Length, Sign::Positive)),
        key("mass", "mass", Take::Quantity(D::Mass, Sign::Positive)),
    ],
)
.also(&["arm", "horn"]);

/// The rod.
pub(super) const ROD: Row = Row::new(
    "rod",
    "The rod, pin to pin in the board's plane; `? of STOCK-BAR` or `? A to B of STOCK-BAR` takes it from a drilled bar. `mass`: what it weighs; else as its bar, and nothing without one.",
    &[
        must("length", Take::Open(D::Length, Sign::Positive)),
        key("mass", "mass", Take::Quantity(D::Mass, Sign::Positive)),
    ],
)
.also(&["coupler"]);

/// The lever.
pub(super) const LEVER: Row = Row::new(
    "lever",
    "The lever's hole: distance of its pin from the pivot, `? of STOCK-BAR` from a drilled bar; `at` counts counter-clockwise from the limb's axis.",
    &[
        must("length", Take::Open(D::Length, Sign::Positive)),
        key("at", "at", Take::Open(D::Angle, Sign::Any)),
        key("clamp", "clamp", Take::Open(D::Angle, Sign::Any)),
        key("mass", "mass", Take::Quantity(D::Mass, Sign::Positive)),
    ],
)
.also(&["rocker", "tail-hole"]);

/// The depth the rod bridges.
pub(super) const STANDOFF: Row = Row::new(
    "standoff",
    "How much further back the crank's plane lies than the lever's.",
    &[must("depth", Take::Quantity(D::Length, Sign::Any))],
);

/// Which way it is put together.
pub(super) const ASSEMBLY: Row = Row::new(
    "assembly",
    "Seen from the front: lever pin left (open) or right (crossed) of the line from crank pin to pivot.",
    &[must("assembly", Take::Choice(&["open", "crossed"]))],
);

/// What to prefer among answers.
pub(super) const PREFER: Row = Row::new(
    "prefer",
    "What to prefer among answers: push angle, share of builds inside tolerance, torque, even strokes.",
    &[must("prefer", Take::Choice(&["push", "build", "light", "even"]))],
);

/// Where the far end is fixed to the board.
pub(super) const ANCHOR: Row = Row::new(
    "anchor",
    "Where the far end is fixed to the frame, or, with `rides`, to the limb that carries this one.",
    &[must("at", Take::OpenPoint), RIDES],
);

/// What brings it back.
pub(super) const RETURN: Row = Row::new(
    "return",
    "What brings the limb back.",
    &[
        must("by", Take::Choice(&["gravity", "spring"])),
        may("spring", Take::OneOf(&[D::Torque, D::Force], Sign::Positive)),
    ],
);

/// What was said of an open length or angle.
pub(super) fn sized(got: Option<Got<'_>>, system: System) -> Sized {
    let Some((got, open)) = got.and_then(|g| Some((g, g.open()?))) else {
        return Sized { size: Size::Free, place: None, ask: None, system, row: None, cuts: None };
    };
    let o = open.value;
    let row = match (o.from, o.to, o.step) {
        (Some(a), Some(b), Some(step)) if step > 0.0 => Some((a.min(b), a.max(b), step)),
        _ => None,
    };
    let size = match (o.given, row, o.from, o.to) {
        (Some(v), ..) => Size::Given(v),
        (None, Some((lo, hi, step)), ..) => Size::Row { lo, hi, step },
        (None, None, Some(a), Some(b)) => Size::Between { lo: a.min(b), hi: a.max(b) },
        _ => Size::Free,
    };
    let ask = o.ask.map(|(lo, hi)| crate::finding::Place { item: open.place.item, lo, hi });
    let written = got.system();
    let system = if written == System::Both { system } else { written };
    Sized { size, place: Some(open.place), ask, system, row, cuts: None }
}

/// The part of a clause, where the clause stands.
pub(super) fn part<'a>(
    block: Option<Block<'a>>,
    word: &'static str,
    part: &str,
) -> Option<Got<'a>> {
    block?.find(word)?.value(part)
}

/// What was said of a size: the part of a word, open where it was left out.
pub(super) fn said(
    block: Option<Block<'_>>,
    (word, name): (&'static str, &str),
    context: &Context,
) -> Sized {
    sized(part(block, word, name), context.system)
}

/// The lever's angle: `at`, or `clamp`.
pub(super) fn clamp(block: Option<Block<'_>>, context: &Context) -> Sized {
    let at = part(block, "lever", "at").or_else(|| part(block, "lever", "clamp"));
    sized(at, context.system)
}

/// A plain quantity of a word, where it is said.
pub(super) fn given<Q: crate::syntax::Quantity>(
    block: Option<Block<'_>>,
    word: &str,
    name: &str,
) -> Option<Q> {
    clause(block, word)?.size(name)
}

/// What brings the limb back, where it is said.
pub(super) fn back(block: Option<Block<'_>>) -> Option<Return> {
    let said = clause(block, "return")?;
    let Some(spring) = said.value("spring") else {
        let spring = said.choice("by") == Some("spring");
        return Some(if spring { Return::Spring } else { Return::Gravity });
    };
    let force = spring.quantity().map(|f| Return::Force(f.value));
    force.or_else(|| spring.quantity().map(|m| Return::Moment(m.value)))
}

/// The assembly, where it is said.
pub(super) fn assembly(block: Option<Block<'_>>) -> Option<Assembly> {
    match block?.find("assembly")?.choice("assembly")? {
        "open" => Some(Assembly::Open),
        _ => Some(Assembly::Crossed),
    }
}

/// The preference, where it is said.
pub(super) fn prefer(block: Option<Block<'_>>) -> Prefer {
    let said = block.and_then(|b| b.find("prefer")).and_then(|c| c.choice("prefer"));
    match said {
        Some("push") => Prefer::Push,
        Some("build") => Prefer::Build,
        Some("light") => Prefer::Light,
        Some("even") => Prefer::Even,
        _ => Prefer::Usual,
    }
}

/// The drive named so, where it is built.
pub(super) fn find(word: &str) -> Option<&'static DriveWord> {
    DRIVES.iter().find(|d| d.word == word)
}

/// Whether a motor can push a mechanism.
pub(super) fn fits(drive: &DriveWord, motor: &MotorType) -> bool {
    drive.motors.contains(&motor.kind)
}

/// The clause of the block, poisoned or not.
pub(super) fn clause<'a>(block: Option<Block<'a>>, word: &str) -> Option<Clause<'a>> {
    block?.find(word)
}

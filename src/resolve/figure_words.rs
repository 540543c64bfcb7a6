//! The words of a figure and of a limb.

use crate::model::{PinHoles, RodBent, Wires};
use crate::syntax::words::{
    BlockRule, Row, Sign, Table, Take, flag, key, many, many_key, may, must, must_key,
};
use crate::units::Dimension as D;

use super::words::{AT, BEHIND, FED, LIMIT, PLATE, SLIDE, TURNS};
use super::{drives, gesture};

const LENGTH: Take = Take::Quantity(D::Length, Sign::Positive);
/// How far off something lies: a balanced limb has its weight on its bolt.
const FAR: Take = Take::Quantity(D::Length, Sign::NotNegative);

/// `title "…"`.
pub(super) const TITLE: Row = Row::new("title", "A text for people.", &[must("title", Take::Text)]);

/// `seen-to sun-brittle`.
const SEEN_TO: Row = Row::new(
    "seen-to",
    "A hint that was dealt with, by the code that stands above it: on the limb, or on all of the figure. It is \
     listed as seen to and told no longer; warnings and errors stay.",
    &[must("hint", Take::Name("hint"))],
)
.many();

/// `power shed run 14 m`.
pub(super) const POWER: Row = Row::new(
    "power",
    "The supply that feeds it, and the real length of the cable.",
    &[
        must("supply", Take::Name("supply")),
        key("run", "run", LENGTH),
        may("voltage", Take::Quantity(D::Voltage, Sign::Positive)),
        key("fuse", "fuse", Take::Quantity(D::Current, Sign::Positive)),
    ],
);

/// `anchor stakes 2 spacing 500 mm …`.
pub(super) const ANCHOR: Row = Row::new(
    "anchor",
    "What holds the figure up.",
    &[
        key("stakes", "stakes", Take::Count),
        key("spacing", "spacing", LENGTH),
        key("depth", "depth", LENGTH),
        key("diameter", "diameter", LENGTH),
        key("braces", "braces", Take::Count),
        key("guys", "guys", Take::Count),
        many_key("at", "at", LENGTH),
        many_key("out", "out", LENGTH),
        key("ballast", "ballast", Take::Quantity(D::Mass, Sign::Positive)),
        key("wall screws", "screws", Take::Count),
    ],
);

/// The words of `figure`.
pub static FIGURE: Table = Table {
    name: "figure",
    title: "A board seen from the front: x to the viewer's right, y up, y = 0 the ground.",
    rows: &[
        TITLE,
        Row::new(
            "board",
            "The sheet it is cut from and its outline, or its width by its height.",
            &[
                may("sheet", Take::Name("sheet")),
                may("width", LENGTH),
                key("by", "height", LENGTH),
                key("outline", "outline", Take::Points),
                key("outline svg", "svg", Take::Text),
                key("part", "part", Take::Text),
                key("scale", "scale", LENGTH),
                key("lifted", "lifted", Take::Quantity(D::Length, Sign::NotNegative)),
            ],
        ),
        Row::new(
            "frame",
            "The members behind the board: across, then deep; a stock bar's name with `of`.",
            &[may("width", LENGTH), key("by", "depth", LENGTH), key("of", "bar", Take::Stock)],
        )
        .many()
        .block(BlockRule::Must(&FRAME)),
        ANCHOR,
        POWER,
        Row::new(
            "lamp",
            "A light.",
            &[
                must("name", Take::Name("lamp")),
                key("at", "at", Take::Point),
                may("power", Take::Quantity(D::Power, Sign::Positive)),
            ],
        )
        .many(),
        Row::new(
            "motor",
            "A motor that limbs share: its name, what it is, and where its shaft stands; `plate` is the thickness of \
             the plate it is screwed to from behind.",
            &[
                must("name", Take::Name("motor")),
                may("type", Take::Name("motor")),
                AT,
                TURNS,
                BEHIND,
                LIMIT,
                FED,
                PLATE,
                key("standoff", "standoff", Take::Quantity(D::Length, Sign::Any)),
            ],
        )
        .many(),
        SEEN_TO,
        Row::new(
            "limb",
            "A part that moves; `on LIMB` where its pivot rides on another.",
            &[
                must("name", Take::Name("limb")),
                key("on", "on", Take::Name("limb")),
                key("mirrors", "mirrors", Take::Name("limb")),
                key("about x", "about", Take::Quantity(D::Length, Sign::Any)),
            ],
        )
        .many()
        .block(BlockRule::May(&LIMB)),
    ],
    bare: None,
};

/// A frame member's line.
static MEMBER: Row = Row::new(
    "",
    "A member from one end of its centre line to the other.",
    &[many("from", Take::Point), many_key("to", "to", Take::Point)],
)
.many();

/// The lines of `frame`.
pub static FRAME: Table = Table {
    name: "frame",
    title: "Members behind the board, end to end.",
    rows: &[],
    bare: Some(&MEMBER),
};

/// The words of `limb`.
pub static LIMB: Table = Table {
    name: "limb",
    title: "A part that moves.",
    rows: &[
        TITLE,
        Row::new("pivot", "The bolt it turns about.", &[must("at", Take::OpenPoint)]),
        SLIDE,
        Row::new("tip", "The limb's axis runs from the pivot to here.", &[must("at", Take::Point)]),
        Row::new(
            "mount",
            "Before the board, on a bolt that turns; or behind it, with a hidden tail.",
            &[must("mount", Take::Choice(&["front", "behind"]))],
        ),
        Row::new(
            "bolt",
            "Its bolt.",
            &[must("size", Take::Stock), key("length", "length", LENGTH)],
        ),
        Row::new(
            "bushing",
            "What the bolt turns in.",
            &[must("bushing", Take::Name("bushing")), key("length", "length", LENGTH)],
        ),
        Row::new(
            "clamp",
            "How limb and lever are held on the bolt.",
            &[must("clamp", Take::Choice(&["plain", "screws", "pin"]))],
        ),
        Row::new(
            "holes",
            "How finely the holes for the pins of its rod, lever and crank are drilled: for M6 close 6.4 mm, \
             medium 6.6, coarse 7 (left out: medium); or their diameter.",
            &[may("fit", Take::Choice(PinHoles::WORDS)), may("diameter", LENGTH)],
        ),
        Row::new(
            "crank-pin",
            "The pin of M6 on its crank: yield strength of its steel (left out: 240 MPa, class 4.6; class 8.8 has \
             640 MPa), and how far the middle of the rod stands from the crank's face (left out: 12 mm).",
            &[
                key("yield", "yield", Take::Quantity(D::Pressure, Sign::Positive)),
                key("reach", "reach", LENGTH),
            ],
        ),
        Row::new(
            "rod-thread",
            "The threaded bar its rod is made of (left out: M8), the yield strength of its steel (left out: that \
             of the bolt of this size), and where it is bent from the lever's plane to the crank's: in its middle or \
             at one end.",
            &[
                may("size", Take::Stock),
                key("yield", "yield", Take::Quantity(D::Pressure, Sign::Positive)),
                key("bent", "bent", Take::Choice(RodBent::WORDS)),
            ],
        ),
        Row::new(
            "rod-ends",
            "How far the two ends of a servo's rod let it go to and fro together: hold the horn, and feel.",
            &[must("play", FAR)],
        ),
        Row::new(
            "stops",
            "Where blocks hold it at either end, beyond what it does: the two angles of its axis, or the two places \
             along its slide.",
            &[
                may("ends", Take::Range(D::Angle, Sign::Any)),
                key("slide", "slide", Take::Range(D::Length, Sign::Any)),
            ],
        ),
        Row::new("washer", "Diameter of its washers.", &[must("diameter", LENGTH)]),
        Row::new(
            "gap",
            "How far its face stands off the board, the frame or the limb it rides on: what washers or a \
             tube on its bolt make.",
            &[must("gap", LENGTH)],
        ),
        Row::new("sheet", "The sheet it is cut from.", &[must("sheet", Take::Name("sheet"))]),
        Row::new(
            "flutes",
            "How the flutes of a corrugated sheet run: along the limb or across.",
            &[must("flutes", Take::Choice(&["along", "across"]))],
        ),
        Row::new(
            "paint",
            "Mass of its paint per area.",
            &[must("mass", Take::Quantity(D::AreaMass, Sign::Positive))],
        ),
        Row::new(
            "outline",
            "Its corners in board coordinates as drawn, or `from pivot`, or out of an SVG file.",
            &[
                flag("from pivot"),
                may("outline", Take::Points),
                key("svg", "svg", Take::Text),
                key("part", "part", Take::Text),
                key("scale", "scale", LENGTH),
            ],
        ),
        Row::new(
            "guide",
            "The piece of it that its guide holds (a limb that slides): from the first place it rubs to the \
             last, across from rail to rail, and where its middle lies along the limb, from the point that \
             slides (left out: at that point).",
            &[
                must("length", LENGTH),
                key("by", "width", LENGTH),
                key("at", "at", Take::Quantity(D::Length, Sign::Any)),
            ],
        ),
        Row::new(
            "pitched",
            "How far the blades of a limb that spins are turned out of the board's plane, 0 deg for flat ones.",
            &[must("angle", Take::Quantity(D::Angle, Sign::NotNegative))],
        ),
        Row::new("lit", "Lights sit on it: wires lead onto it.", &[]),
        Row::new(
            "wires",
            "How wires to lights or a motor on it cross its bolt: in a loose loop, or through a slip ring.",
            &[must("wires", Take::Choice(Wires::WORDS))],
        ),
        Row::new("length", "Length of a strip from the pivot.", &[must("length", LENGTH)]),
        Row::new("width", "Width of a strip.", &[must("width", LENGTH)]),
        Row::new(
            "tail",
            "How far a strip goes on behind the pivot.",
            &[must("tail", Take::Quantity(D::Length, Sign::NotNegative))],
        ),
        Row::new(
            "carry",
            "A weight on it.",
            &[
                must("name", Take::Name("weight")),
                must("mass", Take::Quantity(D::Mass, Sign::Positive)),
                must_key("at", "at", Take::Point),
            ],
        )
        .many(),
        drives::DRIVE,
        SEEN_TO,
        Row::new(
            "rest",
            "Where it rests between cues.",
            &[must("at", Take::OneOf(&[D::Angle, D::Length], Sign::Any))],
        ),
        Row::new(
            "parks",
            "The limb's angle where the park contact opens; put it at a dead centre.",
            &[must_key("at", "at", Take::OneOf(&[D::Angle, D::Length], Sign::Any))],
        ),
        Row::new(
            "unpowered",
            "Where it comes to lie when power, pulses or air are gone, as tried: an angle as `rest`, or a place \
             along its slide. Its room is looked at there too.",
            &[must("at", Take::OneOf(&[D::Angle, D::Length], Sign::Any))],
        ),
        Row::new(
            "gesture",
            "Something it can be told to do.",
            &[must("name", Take::Name("gesture"))],
        )
        .many()
        .block(BlockRule::Must(&gesture::GESTURE)),
        Row::new(
            "weighed",
            "Its mass on a scale.",
            &[must("mass", Take::Quantity(D::Mass, Sign::Positive))],
        ),
        Row::new(
            "balances",
            "Distance of its balance point from the pivot; 0 where it stays wherever it is turned.",
            &[must("at", FAR)],
        ),
        Row::new(
            "ten-swings",
            "Time of ten swings, hanging from the pivot.",
            &[must("time", Take::Quantity(D::Time, Sign::Positive))],
        ),
        Row::new("mass", "Its mass.", &[must("mass", Take::Quantity(D::Mass, Sign::Positive))]),
        Row::new(
            "centre",
            "Its centre of mass from the pivot, and the angle from the limb's axis.",
            &[must("at", FAR), key("at", "angle", Take::Quantity(D::Angle, Sign::Any))],
        )
        .also(&["center"]),
        Row::new(
            "inertia",
            "Its moment of inertia about the pivot.",
            &[must("inertia", Take::Quantity(D::Inertia, Sign::Positive))],
        ),
        Row::new(
            "friction",
            "Friction torque at the pivot.",
            &[must("torque", Take::Quantity(D::Torque, Sign::NotNegative))],
        ),
        Row::new(
            "load",
            "A steady torque on it: a spring, a stiff cable.",
            &[
                must("torque", Take::Quantity(D::Torque, Sign::Any)),
                may("turns", Take::Choice(&["ccw", "cw"])),
            ],
        ),
        Row::new(
            "counterweight",
            "A weight behind the pivot.",
            &[must("mass", Take::Open(D::Mass, Sign::Positive)), must_key("at", "at", LENGTH)],
        ),
        Row::new(
            "measured",
            "What was measured on the built limb: the ends of its swing, or of a slide's stroke; or \
             from end to end. On a servo the ends are those with its pulses at both ends.",
            &[
                may("ends", Take::Range(D::Angle, Sign::Any)),
                key("stroke", "stroke", Take::Range(D::Length, Sign::Any)),
                key("tip-to-tip", "tip-to-tip", LENGTH),
                key("ten-turns", "ten-turns", Take::Quantity(D::Time, Sign::Positive)),
            ],
        )
        .many(),
        Row::new("hinge", "Not known yet: refused by name.", &[many("what", Take::Stock)]),
        Row::new("turntable", "Not known yet: refused by name.", &[many("what", Take::Stock)]),
    ],
    bare: None,
};

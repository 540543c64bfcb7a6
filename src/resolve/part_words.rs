//! The words of parts: motors, sheets, bushings, bolts and bars.

use crate::model::{CrankNut, Material, MotorKind, Seat};
use crate::syntax::words::{Row, Sign, Table, Take, key, many, many_key, may, must, must_key};
use crate::units::Dimension as D;

const YES_NO: &[&str] = &["yes", "no"];

/// `pulse 1000 us at -45 deg  2000 us at 45 deg`.
pub(super) const PULSE: Row = Row::new(
    "pulse",
    "Pulse lengths and the angles they stand for.",
    &[
        many("pulse", Take::Quantity(D::Time, Sign::Positive)),
        many_key("at", "angle", Take::Quantity(D::Angle, Sign::Any)),
    ],
)
.many();

/// `slew 0.17 s per 60 deg`.
pub(super) const SLEW: Row = Row::new(
    "slew",
    "Time for an angle, as on a servo's sheet.",
    &[
        must("time", Take::Quantity(D::Time, Sign::Positive)),
        must_key("per", "angle", Take::Quantity(D::Angle, Sign::Positive)),
    ],
);

const fn one(
    word: &'static str,
    title: &'static str,
    parts: &'static [crate::syntax::words::Part],
) -> Row {
    Row::new(word, title, parts)
}

/// The words of `motor` at the top of a file.
pub static MOTOR: Table = Table {
    name: "motor",
    title: "What a motor is.",
    rows: &[
        super::figure_words::TITLE,
        one("kind", "What makes it move.", &[must("kind", Take::Choice(MotorKind::WORDS))]),
        one(
            "voltage",
            "The voltage its figures are for.",
            &[must("voltage", Take::Quantity(D::Voltage, Sign::Positive))],
        ),
        one(
            "frequency",
            "The mains frequency its speed is for (synchronous).",
            &[must("frequency", Take::Quantity(D::Frequency, Sign::Positive))],
        ),
        one(
            "inertia",
            "The largest moment of inertia on its shaft that it brings up to speed (synchronous).",
            &[must("inertia", Take::Quantity(D::Inertia, Sign::Positive))],
        ),
        one(
            "free",
            "Speed of the output shaft without load, and its current.",
            &[
                must("speed", Take::Quantity(D::Turning, Sign::Positive)),
                may("current", Take::Quantity(D::Current, Sign::Positive)),
            ],
        ),
        one(
            "stall",
            "The torque that stops it, and its current then.",
            &[
                must("torque", Take::Quantity(D::Torque, Sign::Positive)),
                may("current", Take::Quantity(D::Current, Sign::Positive)),
            ],
        ),
        one(
            "least-duty",
            "Smallest duty at which it still turns evenly.",
            &[must("share", Take::Quantity(D::Share, Sign::NotNegative))],
        ),
        one(
            "switch",
            "Its contact: none, one that stops it at one angle, or one pulse a turn.",
            &[must("switch", Take::Choice(&["none", "park", "index"]))],
        ),
        one(
            "case-live",
            "Whether its case is one of its poles.",
            &[must("answer", Take::Choice(YES_NO))],
        ),
        one(
            "driver",
            "The current its driver can carry.",
            &[must("current", Take::Quantity(D::Current, Sign::Positive))],
        ),
        one(
            "self-locking",
            "Whether the limb cannot turn it back.",
            &[must("answer", Take::Choice(YES_NO))],
        ),
        one(
            "one-way",
            "Whether it may only turn one way.",
            &[must("answer", Take::Choice(YES_NO))],
        ),
        one(
            "duty",
            "The share of the time it may run.",
            &[must("share", Take::Quantity(D::Share, Sign::Positive))],
        ),
        one(
            "spread",
            "How much single motors differ from these figures, either way.",
            &[must("share", Take::Quantity(D::Share, Sign::NotNegative))],
        ),
        one("gear", "What its gears are made of.", &[must("material", Take::Stock)]),
        one(
            "survives",
            "The torque its gears survive.",
            &[must("torque", Take::Quantity(D::Torque, Sign::Positive))],
        ),
        one(
            "cold",
            "How much slower it runs on a cold night.",
            &[must("share", Take::Quantity(D::Share, Sign::NotNegative))],
        ),
        one("crank-holes", "The holes of its crank.", &[must("holes", Take::Holes)])
            .also(&["horn-holes"]),
        one(
            "crank-seat",
            "How a crank or wheel sits on its shaft; the torque that passes on by its sheet; and what keeps it \
             there: one nut, one with a nylon insert, two locked against each other, or one with a pin through it.",
            &[
                must("seat", Take::Choice(Seat::WORDS)),
                key("holds", "holds", Take::Quantity(D::Torque, Sign::Positive)),
                key("nut", "nut", Take::Choice(CrankNut::WORDS)),
            ],
        ),
        one(
            "shaft",
            "The side of the board its shaft looks to, and how far it stands out of the face it is screwed on by.",
            &[
                may("side", Take::Choice(&["front", "behind"])),
                may("length", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        one(
            "mounting-holes",
            "The holes it is screwed on by, their thread first: where they are from the shaft, seen from the \
             front as it stands; or how many, on a circle of this diameter, and at which angle the first.",
            &[
                must("bolt", Take::Stock),
                may("count", Take::Count),
                key("on", "circle", Take::Quantity(D::Length, Sign::Positive)),
                key("from", "first", Take::Quantity(D::Angle, Sign::Any)),
                key("at", "at", Take::Points),
            ],
        ),
        one(
            "body",
            "Its body seen from the front, width by height.",
            &[
                must("width", Take::Quantity(D::Length, Sign::Positive)),
                must_key("by", "height", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        one("mass", "Its mass.", &[must("mass", Take::Quantity(D::Mass, Sign::Positive))]),
        SLEW,
        PULSE,
        one(
            "dead-band",
            "The change of its pulse that a servo does not move for.",
            &[must("time", Take::Quantity(D::Time, Sign::Positive))],
        ),
        one(
            "teeth",
            "Teeth of a servo's shaft, that its horn sits on.",
            &[must("teeth", Take::Count)],
        ),
        one(
            "speed",
            "Speed of a linear actuator.",
            &[must("speed", Take::Quantity(D::Speed, Sign::Positive))],
        ),
        super::ram_words::LOADED,
        super::ram_words::RAISED,
        one(
            "force",
            "Rated force of a linear actuator.",
            &[must("force", Take::Quantity(D::Force, Sign::Positive))],
        ),
        one(
            "holds",
            "The force on a linear actuator without power that does not move it (back-drive force).",
            &[must("force", Take::Quantity(D::Force, Sign::Positive))],
        ),
        one(
            "length",
            "Shortest and longest length, pin to pin.",
            &[must("length", Take::Range(D::Length, Sign::Positive))],
        ),
        one(
            "bore",
            "Bore of a cylinder.",
            &[must("bore", Take::Quantity(D::Length, Sign::Positive))],
        ),
        one("rod", "Rod of a cylinder.", &[must("rod", Take::Quantity(D::Length, Sign::Positive))]),
        one("stroke", "Stroke.", &[must("stroke", Take::Quantity(D::Length, Sign::Positive))]),
        one(
            "counted",
            "Turns counted against a clock, without load.",
            &[
                must("turns", Take::Quantity(D::Angle, Sign::Positive)),
                must_key("in", "time", Take::Quantity(D::Time, Sign::Positive)),
                key("at", "voltage", Take::Quantity(D::Voltage, Sign::Positive)),
                may("current", Take::Quantity(D::Current, Sign::Positive)),
            ],
        ),
        one(
            "lifted",
            "A weight wound up on a drum.",
            &[
                must("mass", Take::Quantity(D::Mass, Sign::Positive)),
                must_key("on drum", "drum", Take::Quantity(D::Length, Sign::Positive)),
                must("turns", Take::Quantity(D::Angle, Sign::Positive)),
                must_key("in", "time", Take::Quantity(D::Time, Sign::Positive)),
                key("at", "voltage", Take::Quantity(D::Voltage, Sign::Positive)),
                may("current", Take::Quantity(D::Current, Sign::Positive)),
            ],
        ),
        one(
            "held",
            "The pull that stops it, by a luggage scale on the crank.",
            &[
                must("force", Take::Quantity(D::Force, Sign::Positive)),
                many_key("at", "at", Take::OneOf(&[D::Length, D::Voltage], Sign::Positive)),
                may("current", Take::Quantity(D::Current, Sign::Positive)),
            ],
        ),
    ],
    bare: None,
};

/// The words of `sheet`.
pub static SHEET: Table = Table {
    name: "sheet",
    title: "A sheet that boards and limbs are cut from.",
    rows: &[
        super::figure_words::TITLE,
        one(
            "thickness",
            "Its thickness.",
            &[must("thickness", Take::Quantity(D::Length, Sign::Positive))],
        ),
        one("mass", "Mass per area.", &[must("mass", Take::Quantity(D::AreaMass, Sign::Positive))]),
        one(
            "tear",
            "Shear strength along a hole's edge.",
            &[must("tear", Take::Quantity(D::Pressure, Sign::Positive))],
        ),
        one(
            "material",
            "What it is made of: what creeps, splits and spoils in the sun.",
            &[must("material", Take::Choice(Material::WORDS))],
        ),
        one(
            "crush",
            "The pressure under a washer that dents it.",
            &[must("crush", Take::Quantity(D::Pressure, Sign::Positive))],
        ),
        one(
            "stiffness",
            "Modulus of elasticity in bending, reckoned on its whole thickness: along flutes or face grain, and across.",
            &[
                must("along", Take::Quantity(D::Pressure, Sign::Positive)),
                key("across", "across", Take::Quantity(D::Pressure, Sign::Positive)),
            ],
        ),
        one(
            "bending",
            "The stress at which it folds, reckoned on its whole thickness.",
            &[must("bending", Take::Quantity(D::Pressure, Sign::Positive))],
        ),
        one(
            "size",
            "How it is sold: across its flutes or grain, by along them.",
            &[
                must("across", Take::Quantity(D::Length, Sign::Positive)),
                must_key("by", "along", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
    ],
    bare: None,
};

/// The words of `bushing`.
pub static BUSHING: Table = Table {
    name: "bushing",
    title: "What a bolt turns in.",
    rows: &[
        super::figure_words::TITLE,
        one(
            "friction",
            "Coefficient of friction.",
            &[must("friction", Take::Quantity(D::Share, Sign::NotNegative))],
        ),
        one(
            "pressure",
            "Highest pressure.",
            &[must("pressure", Take::Quantity(D::Pressure, Sign::Positive))],
        ),
        one(
            "pv",
            "Highest pressure times rubbing speed.",
            &[must("pv", Take::Quantity(D::Wear, Sign::Positive))],
        ),
    ],
    bare: None,
};

/// The words of `bolt` at the top of a file.
pub static BOLT: Table = Table {
    name: "bolt",
    title: "A thread.",
    rows: &[
        one(
            "diameter",
            "Nominal diameter.",
            &[must("diameter", Take::Quantity(D::Length, Sign::Positive))],
        ),
        one(
            "pitch",
            "Pitch of the thread.",
            &[must("pitch", Take::Quantity(D::Length, Sign::Positive))],
        ),
        one(
            "yield",
            "Yield strength of its steel.",
            &[must("yield", Take::Quantity(D::Pressure, Sign::Positive))],
        ),
        one(
            "washer",
            "Diameter of the washer it usually has.",
            &[must("washer", Take::Quantity(D::Length, Sign::Positive))],
        ),
        one(
            "tighten",
            "The torque its nut is usually tightened with.",
            &[must("tighten", Take::Quantity(D::Torque, Sign::Positive))],
        ),
    ],
    bare: None,
};

/// The words of `stock-bar` at the top of a file.
pub static BAR: Table = Table {
    name: "stock-bar",
    title: "A stock bar.",
    rows: &[
        one(
            "section",
            "Its true size, across by deep.",
            &[
                must("width", Take::Quantity(D::Length, Sign::Positive)),
                must_key("by", "depth", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        one(
            "holes",
            "Its row of holes: from centre to centre, and the first one's centre from each end.",
            &[
                must_key("every", "pitch", Take::Quantity(D::Length, Sign::Positive)),
                must_key("from", "end", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        one(
            "length",
            "How long the longest one is.",
            &[must("length", Take::Quantity(D::Length, Sign::Positive))],
        ),
        one(
            "kerf",
            "Width of the saw's cut.",
            &[must("kerf", Take::Quantity(D::Length, Sign::Positive))],
        ),
        one(
            "material",
            "What it is made of: what a crank, rod or lever cut from it weighs follows.",
            &[must("material", Take::Choice(&["steel", "aluminium", "wood", "plastic"]))],
        ),
    ],
    bare: None,
};

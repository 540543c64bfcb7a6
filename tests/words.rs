//! A compact table of words with one row for every kind of value: the reader is
//! tested and measured over it, whatever words the language has.

use yardwright::syntax::words::*;
use yardwright::units::Dimension as D;

/// A row without values.
const fn plain(word: &'static str, parts: &'static [Part]) -> Row {
    Row::new(word, "a word for tests", parts)
}

const fn table(name: &'static str, rows: &'static [Row]) -> Table {
    Table { name, title: "a block for tests", rows, bare: None }
}

const MEMBER: Row =
    plain("", &[must("from", Take::Point), must_key("to", "to", Take::Point)]).many();
static FRAME: Table = Table { name: "frame", title: "members", rows: &[], bare: Some(&MEMBER) };

static FOUR_BAR: Table = table(
    "four-bar drive",
    &[
        plain(
            "motor",
            &[
                must("name", Take::Name("motor")),
                key("at", "at", Take::OpenPoint),
                key("turns", "direction", Take::Choice(&["cw", "ccw"])),
                flag("from behind"),
                key("limit", "current", Take::Quantity(D::Current, Sign::Positive)),
            ],
        ),
        plain("crank", &[must("radius", Take::Open(D::Length, Sign::Positive))]),
        plain("rod", &[must("length", Take::Open(D::Length, Sign::Positive))]).also(&["coupler"]),
        plain(
            "lever",
            &[
                must("radius", Take::Open(D::Length, Sign::Positive)),
                key("at", "at", Take::Open(D::Angle, Sign::Any)),
            ],
        ),
        plain("standoff", &[must("depth", Take::Quantity(D::Length, Sign::Any))]),
        plain("holes", &[must("row", Take::Holes)]),
    ],
);

static GESTURE: Table = table(
    "gesture",
    &[
        plain(
            "sweep",
            &[
                must("angle", Take::Range(D::Angle, Sign::Any)),
                key("within", "tolerance", Take::Quantity(D::Angle, Sign::Positive)),
            ],
        ),
        plain("stroke", &[must("range", Take::Range(D::Length, Sign::Any))]),
        plain("cycle", &[must("time", Take::OneOf(&[D::Time, D::Music], Sign::Positive))]),
        plain("accent", &[must_key("at", "angle", Take::Quantity(D::Angle, Sign::Any))]),
    ],
);

static LIMB: Table = table(
    "limb",
    &[
        plain("pivot", &[must("at", Take::OpenPoint)]),
        plain("tip", &[must("at", Take::Point)]),
        plain("outline", &[must("corner", Take::Points)]),
        plain("bolt", &[must("size", Take::Stock)]),
        plain("bushing", &[must("kind", Take::Name("bushing"))]),
        plain("sheet", &[must("kind", Take::Name("sheet"))]),
        plain("paint", &[must("mass", Take::Quantity(D::AreaMass, Sign::NotNegative))]),
        plain("mount", &[must("side", Take::Choice(&["front", "behind"]))]),
        plain("clamp", &[must("kind", Take::Choice(&["plain", "toothed"]))]),
        plain("washer", &[must("diameter", Take::Quantity(D::Length, Sign::Positive))]),
        plain(
            "carry",
            &[
                must("name", Take::Name("load")),
                must("mass", Take::Quantity(D::Mass, Sign::Positive)),
                must_key("at", "at", Take::Point),
            ],
        )
        .many(),
        plain("rest", &[must("angle", Take::Quantity(D::Angle, Sign::Any))]),
        plain("parks", &[must_key("at", "angle", Take::Quantity(D::Angle, Sign::Any))]),
        plain("gesture", &[must("name", Take::Name("gesture"))])
            .many()
            .block(BlockRule::Must(&GESTURE)),
        plain("drive", &[must("kind", Take::Choice(&["four-bar", "spin"]))])
            .block(BlockRule::ByChoice("kind", &[("four-bar", &FOUR_BAR)])),
    ],
);

static FIGURE: Table = table(
    "figure",
    &[
        plain("title", &[must("text", Take::Text)]),
        plain(
            "board",
            &[
                must("sheet", Take::Name("sheet")),
                may("width", Take::Quantity(D::Length, Sign::Positive)),
                key("by", "height", Take::Quantity(D::Length, Sign::Positive)),
                key("outline", "outline", Take::Points),
            ],
        ),
        plain(
            "frame",
            &[
                must("width", Take::Quantity(D::Length, Sign::Positive)),
                must_key("by", "depth", Take::Quantity(D::Length, Sign::Positive)),
            ],
        )
        .block(BlockRule::Must(&FRAME)),
        plain(
            "anchor",
            &[
                must("kind", Take::Choice(&["stakes", "guys", "ballast"])),
                may("count", Take::Count),
                key("spacing", "spacing", Take::Quantity(D::Length, Sign::Positive)),
                key("depth", "depth", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        plain(
            "power",
            &[
                must("supply", Take::Name("supply")),
                key("run", "run", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        plain(
            "limb",
            &[must("name", Take::Name("limb")), key("on", "carrier", Take::Name("limb"))],
        )
        .many()
        .block(BlockRule::Must(&LIMB)),
        plain("motor", &[must("name", Take::Name("motor")), key("at", "at", Take::OpenPoint)])
            .many(),
    ],
);

static MOTOR: Table = table(
    "motor",
    &[
        plain("kind", &[must("kind", Take::Choice(&["brushed", "servo", "ram"]))]),
        plain("voltage", &[must("voltage", Take::Quantity(D::Voltage, Sign::Positive))]),
        plain(
            "free",
            &[
                must("speed", Take::Quantity(D::Turning, Sign::Positive)),
                must("current", Take::Quantity(D::Current, Sign::Positive)),
            ],
        ),
        plain(
            "stall",
            &[
                must("torque", Take::Quantity(D::Torque, Sign::Positive)),
                must("current", Take::Quantity(D::Current, Sign::Positive)),
            ],
        ),
        plain("spread", &[must("share", Take::Quantity(D::Share, Sign::NotNegative))]),
        plain(
            "slew",
            &[
                must("time", Take::Quantity(D::Time, Sign::Positive)),
                must_key("per", "angle", Take::Quantity(D::Angle, Sign::Positive)),
            ],
        ),
    ],
);

const CUE: Row = plain("", &[]).many().raw();
static SHOW: Table = Table {
    name: "show",
    title: "cues",
    rows: &[plain("sound", &[must_key("late", "late", Take::Quantity(D::Time, Sign::Any))])],
    bare: Some(&CUE),
};

static YARD: Table = table(
    "yard",
    &[
        plain("place", &[must("place", Take::Coordinates), key("zone", "zone", Take::Text)]),
        plain("nights", &[must("first", Take::Date), must_key("to", "last", Take::Date)]),
        plain("end", &[must_key("by", "time", Take::Clock)]),
        plain("meter", &[must("meter", Take::Meter)]),
        plain("scale", &[must("factor", Take::Number)]),
    ],
);

/// The words of the top of a file.
pub static ROOT: Table = table(
    "file",
    &[
        plain("use", &[may("file", Take::Text), may("library", Take::Name("library"))]).many(),
        plain("figure", &[must("name", Take::Name("figure"))])
            .many()
            .block(BlockRule::Must(&FIGURE)),
        plain("motor", &[must("name", Take::Name("motor"))]).many().block(BlockRule::Must(&MOTOR)),
        plain("show", &[must("name", Take::Name("show")), key("with", "song", Take::Name("song"))])
            .many()
            .block(BlockRule::Must(&SHOW)),
        plain("yard", &[must("name", Take::Name("yard"))]).block(BlockRule::Must(&YARD)),
    ],
);

/// A yard of `figures` figures with three limbs each, every number its own.
pub fn generated(figures: usize) -> String {
    let mut out = String::from("use parts\n");
    for i in 0..figures {
        let k = (i % 97) as f64;
        out.push_str(&format!(
            "figure f{i} {{\n  board plywood-9 outline (0, 0) ({}, 0) (700, 900) (310, {}) (-40, 900) mm\n  \
             frame 38 mm by 38 mm {{\n    (150, 0) to (150, 960) mm   (470, 0) to (470, 960) mm\n  }}\n  \
             anchor stakes 2 spacing 500 mm depth 600 mm\n  power shed run {} m\n",
            600.0 + k,
            1300.0 + k / 2.0,
            (50.0 + k) / 10.0
        ));
        for j in 0..3 {
            out.push_str(&limb(j, k));
        }
        out.push_str("}\n");
    }
    out
}

fn limb(j: usize, k: f64) -> String {
    format!(
        "  limb l{j} {{\n    pivot ({}, 880) mm  bolt M8  bushing nylon\n    tip ({}, 1150) mm\n    \
         mount front  clamp plain  washer 30 mm\n    sheet plywood-6  paint 150 g/m2\n    \
         outline (190, 850) (110, 840) ({}, 1130) (-230, 1180) (180, 930) mm\n    \
         carry drumstick 0.1 kg at (-250, 1150) mm\n    drive four-bar {{\n      \
         motor wiper at (310, 806) mm turns ccw from behind  limit 4 A\n      \
         crank ? 30 to 60 mm by 10 mm  rod ?  lever {} mm at -52.5 deg\n      standoff 3 1/2 in\n    }}\n    \
         rest 150 deg  parks at 165 deg\n    \
         gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle {} s  accent at 165 deg }}\n  }}\n",
        150.0 + k + j as f64,
        -250.0 - k / 4.0,
        -270.0 - k,
        70.0 + k,
        (200.0 + k) / 100.0
    )
}

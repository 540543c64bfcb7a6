//! What can go wrong with clamps, holes, rods and pins.

use crate::finding::{Code, Severity};

/// An arm in front, its lever behind the board.
macro_rules! arm {
    ($limb:literal) => {
        arm!($limb, "")
    };
    ($limb:literal, $drive:literal) => {
        arm!($limb, $drive, "crank 30 mm  rod ?  lever 90 mm at ?")
    };
    ($limb:literal, $drive:literal, $bars:literal) => {
        concat!(
            "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 12 m/s  soil lawn }\n",
            "figure bear {\n  board plywood-9 620 mm by 1350 mm\n",
            "  frame 38 mm by 38 mm { (300, 0) to (300, 1300) mm }\n",
            "  motor arms wiper at (300, 600) mm ",
            $drive,
            "\n  limb arm {\n    pivot (300, 900) mm  tip (700, 900) mm  bolt M8  bushing nylon\n    ",
            $limb,
            "\n    drive four-bar { motor arms  ",
            $bars,
            " }\n    gesture wave { sweep 0 deg to 39 deg within 4 deg  cycle 3 s }\n  }\n}\n",
            "set bear at (5 m, 4 m) facing south\n"
        )
    };
}

/// A wing behind the board, pulled by a hole in its tail.
macro_rules! wing {
    ($tail:literal, $limit:literal) => {
        concat!(
            "use parts\nfigure heron {\n  board plywood-9 520 mm by 1400 mm\n",
            "  motor wings wiper at (260, 570) mm ",
            $limit,
            "\n  limb wing {\n    pivot (197, 820) mm  tip (-253, 820) mm\n",
            "    mount behind  bolt M8  bushing nylon  washer 60 mm  holes close\n",
            "    sheet plywood-6  length 450 mm  width 160 mm  tail ",
            $tail,
            "\n    drive four-bar { motor wings  crank 30 mm  rod 250 mm  tail-hole 70 mm at 180 deg }\n",
            "    gesture flap { sweep 155 deg to 205 deg within 4 deg  cycle 3 s }\n  }\n}\n"
        )
    };
}

/// It slips.
pub static LIMB_SLIPS: Code = Code {
    word: "limb-slips",
    severity: Severity::Error,
    title: "rubbing between washers does not hold the limb on its bolt",
    explanation: "A limb clamped between washers is held by rubbing alone. Wood creeps: after a season about a quarter of \
                  the bolt's tension is left, in plastic a fifth, and what the sheet bears under the washer limits it \
                  from the start. Larger washers help a little, screws through limb and a flange help for good.",
    formula: "2 x torque <= (2/3) 2 mu F (R^3 - r^3)/(R^2 - r^2), F = min(tightening/(0.2 d), crush x area) x share left",
    source: "clutch of uniform pressure, Shigley, Mechanical Engineering Design; 0.2: T. H. Wentzell, Machine Design, \
             example 6.1; creep of wood: Journal of Wood Science 54 (2008), abstract; the rest common practice",
    bad: arm!(
        "clamp plain  washer 20 mm  sheet plywood-9  carry drum 0.8 kg at (600, 900) mm  width 120 mm  tail 60 mm"
    ),
    good: arm!("clamp screws  washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm"),
};

/// The lever slips.
pub static LEVER_SLIPS: Code = Code {
    word: "lever-slips",
    severity: Severity::Error,
    title: "rubbing between its nuts does not hold the lever on the bolt",
    explanation: "In front of the board the limb, behind it the lever, and one bolt between them: all the torque goes \
                  through both clamps. A lever of steel between two nuts holds by rubbing on a ring that is hardly wider \
                  than the bolt. A heavy limb wants a pin through both, a lever welded on, or a thicker bolt.",
    formula: "2 x torque <= (2/3) 2 mu F (R^3 - r^3)/(R^2 - r^2), F = 0.9 tightening/(0.2 d), R = 0.8 d, r = d/2 + 0.5 mm, mu = 0.15",
    source: "clutch of uniform pressure, Shigley, Mechanical Engineering Design; 0.2: T. H. Wentzell, Machine Design, \
             example 6.1; nut: ISO 4032 (from memory); the rest common practice",
    bad: arm!(
        "clamp screws  washer 40 mm  sheet plywood-9  carry bell 1.5 kg at (650, 900) mm  width 120 mm  tail 60 mm"
    ),
    good: arm!("clamp screws  washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm"),
};

/// Screws tear out.
pub static SCREWS_TEAR: Code = Code {
    word: "screws-tear",
    severity: Severity::Error,
    title: "the screws that drive the limb tear out of its sheet",
    explanation: "Two screws 25 mm from the bolt pass the limb's torque on through its sheet. In thin plastic they tear \
                  slots. Put more of them, or further out, or screw a plate of plywood between.",
    formula: "torque/(2 x 25 mm) <= 2 t 2 d tau/3 with screws of 4 mm",
    source: "shear along two lines beyond a hole, Shigley, Mechanical Engineering Design; a third: common practice, no source",
    bad: arm!(
        "clamp screws  washer 40 mm  sheet corrugated-4  carry lamp 2.5 kg at (600, 900) mm  width 200 mm  tail 100 mm"
    ),
    good: arm!("clamp screws  washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm"),
};

/// A nut comes loose.
pub static NUT_UNWINDS: Code = Code {
    word: "nut-unwinds",
    severity: Severity::Advice,
    title: "nuts on a part that turns to and fro work loose",
    explanation: "A nut that turns with the limb is turned a little at each end of the swing. A nylon insert alone is not \
                  meant for parts that rotate: lock two nuts against each other, or put a pin through.",
    formula: "",
    source: "FAA AC 43.13-1B, paragraph 7-64: no self-locking nut on parts subject to rotation",
    bad: arm!("clamp plain  washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm"),
    good: arm!("clamp pin  washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm"),
};

/// A hole tears out.
pub static HOLE_TEARS: Code = Code {
    word: "hole-tears",
    severity: Severity::Error,
    title: "the rod tears its hole out of the sheet",
    explanation: "A rod that takes hold of the limb's own sheet can tear its hole out towards the edge, above all when \
                  somebody holds the limb and the motor pushes with all it has. More sheet beyond the hole, a doubler \
                  round it, or a current limit on the motor helps. Where the motor's gears give way first, or its crank slips on the shaft, \
                  that spares the hole and is told: it counts as a warning then, and as a hint where the hole keeps all of its factor.",
    formula: "F <= 2 t (e - d/2) tau/3 (metal: /2), F the rod's force when held: torque at the limit/crank",
    source: "shear along two lines beyond a hole, Shigley, Mechanical Engineering Design; factors: common practice, no source",
    bad: wing!("88 mm", ""),
    good: wing!("110 mm", "limit 4 A"),
};

/// A hole near the edge.
pub static PIN_OFF_EDGE: Code = Code {
    word: "pin-off-edge",
    severity: Severity::Warning,
    title: "a hole lies too near to the edge of its sheet",
    explanation: "Sheets split from a hole to the edge: plywood along its grain, corrugated sheet along a flute. Leave \
                  three diameters of plywood and four of corrugated sheet round a hole. Nearer than one diameter it \
                  splits as soon as it is drilled, and counts as an error. A pin that is pulled along its plywood \
                  towards an end wants seven.",
    formula: "distance of the hole's middle from the edge >= 3 d plywood, 4 d corrugated, 2 d plastic, 1.5 d metal; in line with \
              a pull along the limb or its guide >= 7 d plywood",
    source: "EN 1995-1-1, table 8.4 (from memory) for plywood; the rest common practice, no source",
    bad: wing!("75 mm", "limit 4 A"),
    good: wing!("110 mm", "limit 4 A"),
};

/// The rod bends.
pub static ROD_BENDS: Code = Code {
    word: "rod-bends",
    severity: Severity::Error,
    title: "the motor bends the rod",
    explanation: "A rod that bridges a depth is bent by its own pull: the deeper the step, the sooner. At work it may not \
                  come near to yielding; when somebody holds the limb, the motor's whole torque comes on it, and a bent \
                  rod is a changed swing. Bring the crank's plane nearer to the lever's, or limit the current.",
    formula: "F s/2/(pi d^3/32) + F/(pi d^2/4) <= 240/1.5 MPa, F <= pi^2 E I/L^2/2, d = 6.65 mm of a rod of M8 thread",
    source: "bending of a round bar, Euler's column: Shigley, Mechanical Engineering Design; class 4.6: ISO 898-1 (from memory)",
    bad: arm!("washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm", "standoff 100 mm"),
    good: arm!(
        "washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm",
        "standoff 10 mm  limit 4 A"
    ),
};

/// The crank pin bends.
pub static PIN_BENDS: Code = Code {
    word: "pin-bends",
    severity: Severity::Advice,
    title: "when the limb is held, its motor bends the crank pin",
    explanation: "The pin of a crank stands out from it, and a rod pulls or a slot presses at its end. At work that is little; when \
                  somebody holds the limb, the motor pulls with all that its current limit lets through. Rods that \
                  share a pin lie one on the other, that of the limb that stands first in the file next to the \
                  crank, and the outer one has the longer arm. A bent \
                  pin changes the swing and binds. A pin of M8, or a rod nearer to the crank's face, bears more.",
    formula: "F reach/(pi d^3/32) <= 240/1.5 MPa, F = torque at the limit/crank, d the root of the thread; reach 12 \
              mm and 10 more for each further rod on the pin",
    source: "bending of a round bar: Shigley, Mechanical Engineering Design; class 4.6: ISO 898-1 (from memory)",
    bad: arm!(
        "washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm",
        "standoff 10 mm  limit 8 A"
    ),
    good: arm!(
        "washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm",
        "standoff 10 mm  limit 4 A"
    ),
};

/// The rod binds.
pub static ROD_BINDS: Code = Code {
    word: "rod-binds",
    severity: Severity::Warning,
    title: "a straight rod would lean and bind in its holes",
    explanation: "Where crank and lever lie in different planes, a straight rod leans. A plain hole takes 3 deg, a ball \
                  end 13; beyond that it binds, squeaks and wears its holes long. Bend the rod twice so that both ends \
                  lie flat, or bring both into one plane. Up to 13 deg this is a hint.",
    formula: "atan(standoff/rod) <= 3 deg, or 13 deg with ball ends",
    source: "common practice, no source",
    bad: arm!(
        "washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm",
        "standoff 90 mm  limit 4 A"
    ),
    good: arm!(
        "washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm",
        "standoff 10 mm  limit 4 A"
    ),
};

/// It rattles.
pub static LIMB_RATTLES: Code = Code {
    word: "limb-rattles",
    severity: Severity::Advice,
    title: "the play of its pins lets the limb wag",
    explanation: "Each hole between motor and limb has its play, and a short lever makes much of it: at the tip it can be \
                  seen and heard. Drill the holes finer (limb word `holes`), or take a longer lever. Up to 2 deg it \
                  is a hint, beyond that a warning. A rod has two holes, a slot one pin in it; what weight or a \
                  spring presses to one side all along, as on cams and cords, is not looked at. Where a limb rides \
                  on another the play of that one moves its end too: both are added up, stretched out, and seen \
                  from the bolt on the board.",
    formula: "number of holes x (hole - 6 mm)/(lever x sin(worst push)) <= 1 deg, 2 deg; holes for M6: close 6.4, medium 6.6, \
              coarse 7 mm; of a limb that rides (s1 (r1 + r2) + s2 r2)/(r1 + r2) with play s and lengths r",
    source: "statics of a joint with play; ISO 273 holes for M6; 1 and 2 deg: common practice, no source",
    bad: arm!(
        "washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm",
        "",
        "crank 10 mm  rod ?  lever 30 mm at ?"
    ),
    good: arm!("washer 40 mm  sheet plywood-9  width 120 mm  tail 60 mm"),
};

/// A limb on a yoke.
macro_rules! yoke {
    ($guide:literal) => {
        concat!(
            "use parts\nfigure frog {\n  board plywood-9 620 mm by 900 mm\n  limb body {\n",
            "    slide from (300, 330) mm to (300, 470) mm  weighed 0.3 kg  ",
            $guide,
            "\n    drive scotch-yoke { motor wiper at (300, 400) mm  limit 4 A  crank 60 mm }\n",
            "    gesture hop { stroke 10 mm to 130 mm within 2 mm  cycle 3 s }\n  }\n}\n"
        )
    };
}

/// It binds in its guide.
pub static GUIDE_JAMS: Code = Code {
    word: "guide-jams",
    severity: Severity::Warning,
    title: "pushed beside its guide, the limb binds in it like a drawer",
    explanation: "A drawer pulled at one side turns a little, both ends of its runner press against the rail, and the \
                  harder you pull the harder they rub. Below a length of guide no force moves it any more, and above \
                  that it wants half as much again for a damp night. A crank pin in a yoke runs as far beside the \
                  guide as the crank is long; a push at a slant away from the piece that is held turns the limb likewise. What both ends rub where it still moves is in the motor's torque. A longer guide, a second one, or a push in line with it helps.",
    formula: "length of the guide >= 1.5 x 2 mu a, a = largest distance of the pushed point from the guide's line, mu = 0.3; \
              below 2 mu a it is stuck: an error; and over its cycle, with all that presses it aside, it binds from no \
              friction below 1.5 mu",
    source: "statics of friction at two points: Beer and Johnston, Vector Mechanics for Engineers: Statics, the bracket on \
             a pipe (from memory); 1.5 and 0.3: common practice, no source",
    bad: yoke!("guide 40 mm"),
    good: yoke!("guide 60 mm"),
};

/// The codes of this file.
pub const CODES: &[&Code] = &[
    &LIMB_SLIPS,
    &LEVER_SLIPS,
    &SCREWS_TEAR,
    &NUT_UNWINDS,
    &HOLE_TEARS,
    &PIN_OFF_EDGE,
    &ROD_BENDS,
    &PIN_BENDS,
    &ROD_BINDS,
    &LIMB_RATTLES,
    &GUIDE_JAMS,
];

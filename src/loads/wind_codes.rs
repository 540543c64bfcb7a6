//! What the wind can do to a limb.

use crate::finding::{Code, Severity};

/// A swinging arm in a yard of stated winds; `$limb` are the clauses that matter.
macro_rules! arm {
    ($limb:literal) => {
        concat!(
            "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 22 m/s  soil lawn }\n",
            "figure bear {\n  board plywood-9 620 mm by 1350 mm\n",
            "  frame 38 mm by 38 mm { (300, 0) to (300, 1300) mm }\n  limb arm {\n",
            "    pivot (300, 900) mm  tip (700, 900) mm\n    ",
            $limb,
            "\n    drive four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n",
            "    gesture wave { sweep 0 deg to 39 deg within 4 deg  cycle 3 s }\n  }\n}\n",
            "set bear at (5 m, 4 m) facing south\n"
        )
    };
}

/// A wing behind the board.
macro_rules! wing {
    ($washer:literal) => {
        concat!(
            "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 22 m/s  soil lawn }\n",
            "figure heron {\n  board plywood-9 520 mm by 1400 mm\n  limb wing {\n",
            "    pivot (197, 820) mm  tip (-253, 820) mm\n    mount behind  bolt M10  bushing nylon  ",
            $washer,
            "\n    sheet plywood-6  length 450 mm  width 160 mm  tail 95 mm\n",
            "    drive four-bar { motor wiper at (260, 570) mm  limit 4 A  crank 30 mm  rod 250 mm  tail-hole 70 mm at 180 deg }\n",
            "    gesture flap { sweep 155 deg to 205 deg within 4 deg  cycle 3 s }\n  }\n}\n",
            "set heron at (5 m, 4 m) facing south\n"
        )
    };
}

/// It bends and scrapes, or folds.
pub static LIMB_FLOPS: Code = Code {
    word: "limb-flops",
    severity: Severity::Error,
    title: "the wind bends the limb until it scrapes, or folds it",
    explanation: "Wind on the flat of a limb bends it like a diving board. In the gust up to which it is to run, \
                  its end may not come to the board; in the gust it must stand, its sheet may not come near to \
                  folding. Bending grows with the fourth power of the length and falls with the cube of the \
                  thickness: 6 mm plywood, or a batten along the limb, changes everything. Where it stands out beyond its board, what counts is how far it leaves its plane where \
                  it leaves the board: a diving board bends little near where it is held.",
    formula: "w L^4/(8 EI) for an even width, w = 1.3 q b, q = 0.613 V^2, by the limb's own widths elsewhere; where it \
              leaves the board at x of its length L from its washers (x/L)^2 (6 - 4 x/L + (x/L)^2)/3 of that; plus \
              0.3 mm of play over the bushing's length, times how far out that is; less than the gap - 1 mm; stress at most a third of what \
              folds the sheet",
    source: "uniformly loaded cantilever, Roark's Formulas for Stress and Strain; q: ASCE/SEI 7 velocity pressure; \
             1.3: F. M. White, Fluid Mechanics (from memory); a third: common practice, no source",
    bad: arm!(
        "bolt M8  bushing nylon  washer 30 mm  sheet corrugated-4  flutes across  length 600 mm  width 120 mm  tail 60 mm"
    ),
    good: arm!(
        "bolt M8  bushing nylon  washer 40 mm  sheet plywood-9  length 400 mm  width 120 mm  tail 60 mm"
    ),
};

/// Two flags behind the board that cross in front of each other; the sheet of the first and
/// the length of the other's bushing.
macro_rules! flags {
    ($sheet:literal, $bushing:literal) => {
        concat!(
            "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 8 m/s  soil lawn }\n",
            "figure mast {\n  board plywood-9 900 mm by 1400 mm\n",
            "  limb near-flag {\n    pivot (200, 800) mm  tip (500, 800) mm  mount behind  bolt M8  washer 60 mm\n",
            "    bushing nylon length 50 mm  sheet ",
            $sheet,
            "  length 300 mm  width 100 mm  tail 60 mm  counterweight 295 g at 60 mm\n",
            "    drive servo { motor servo-standard at (200, 700) mm  crank 20 mm  rod 100 mm  tail-hole 20 mm at 180 deg }\n",
            "    gesture wave { sweep -10 deg to 10 deg  cycle 4 s }\n  }\n",
            "  limb far-flag {\n    pivot (700, 800) mm  tip (450, 800) mm  mount behind  bolt M8  washer 60 mm\n",
            "    bushing nylon length ",
            $bushing,
            " mm  sheet plywood-6  length 250 mm  width 100 mm  tail 60 mm  counterweight 201 g at 60 mm\n",
            "    drive servo { motor servo-standard at (700, 700) mm  crank 20 mm  rod 100 mm  tail-hole 20 mm at 180 deg }\n",
            "    gesture wave { sweep 170 deg to 190 deg  cycle 4 s }\n  }\n}\n",
            "set mast at (5 m, 4 m) facing south\n"
        )
    };
}

/// It bends into its neighbour.
pub static CLASH_IN_WIND: Code = Code {
    word: "clash-in-wind",
    severity: Severity::Warning,
    title: "a limb clears its neighbour in still air, and not in the gust in which it runs",
    explanation: "Two parts cross each other seen from the front, at different depths. In still air there is room \
                  between them; in the gust up to which the limb is to run it bends, and tilts by the play of its \
                  bolt, and where they pass that is more than the room. Leave more depth between them (a longer \
                  bushing, or `gap`), take a stiffer sheet, keep their ways apart, or stop the limb below the gust \
                  that is told.",
    formula: "tilt of both over the play of their bolts + the larger bending, each by its share of the length at the \
              farthest place where they pass < depth between them - 1 mm",
    source: "bending: as limb-flops; a cantilever bends convexly, so by no more than in proportion (any textbook of \
             strength of materials); 1 mm: common practice, no source",
    bad: flags!("corrugated-4  flutes across", "65"),
    good: flags!("plywood-6", "80"),
};

/// It flutters.
pub static LIMB_HUMS: Code = Code {
    word: "limb-hums",
    severity: Severity::Advice,
    title: "the limb will flutter in a wind in which it is to run",
    explanation: "Eddies leave the edges of a flat plate in turn. Where they do so as often as the limb would swing \
                  to and fro of itself, it hums and shakes its bolt loose. A stiffer or shorter limb does it only in \
                  stronger wind; a batten, or an edge that is not straight, helps.",
    formula: "V = f b/0.15, f = 0.56 sqrt(EI/(m L^4)) with the mass m for each length; advised where V is below the gust to run",
    source: "first frequency of a cantilever, Roark's Formulas, table 16.1; Strouhal number of a flat plate: from memory",
    bad: arm!(
        "bolt M8  bushing nylon  washer 30 mm  sheet corrugated-4  length 500 mm  width 80 mm  tail 60 mm"
    ),
    good: arm!(
        "bolt M8  bushing nylon  washer 30 mm  sheet plywood-9  length 300 mm  width 80 mm  tail 60 mm"
    ),
};

/// The bolt bends.
pub static BOLT_BENDS: Code = Code {
    word: "bolt-bends",
    severity: Severity::Error,
    title: "the wind on the limb, or its rod's pull, bends its bolt",
    explanation: "A limb on the front hangs on a bolt that is held at one end only; the wind on the limb bends that \
                  bolt. Its other end is pulled by the rod, as far out as lever and rod lie behind the bushing: at work, \
                  and with all the motor has when somebody holds the limb. The two ends bend each at its own face of \
                  the bushing; behind the board limb and rod hang on one end, and wind and pull are added. A thicker \
                  bolt helps with the cube of its diameter; so does one whose smooth shank, not its thread, lies at the \
                  board, or a second board in front.",
    formula: "32 M/(pi d^3) <= yield/1.5; in front M = 1.8 q A r, q = 0.613 V^2, d the shank; behind M = F x overhang, d the \
              thread's root, F the rod's force at work or with the torque at the motor's limit; of a limb behind the board \
              M = 1.8 q A r + F x overhang, d the shank",
    source: "bending of a round bar, Shigley, Mechanical Engineering Design; yield of class 4.6: ISO 898-1 (from memory)",
    bad: arm!(
        "bolt M5  bushing nylon  washer 60 mm  sheet plywood-9  length 700 mm  width 220 mm  tail 60 mm"
    ),
    good: arm!(
        "bolt M10  bushing nylon  washer 60 mm  sheet plywood-12  length 400 mm  width 120 mm  tail 60 mm"
    ),
};

/// The thread lies in the bushing.
pub static THREAD_IN_BUSHING: Code = Code {
    word: "thread-in-bushing",
    severity: Severity::Error,
    title: "the bolt's thread turns inside the bushing",
    explanation: "A thread is a file: turning in nylon it eats the bushing within a few evenings. Take a longer bolt, \
                  so that its smooth shank reaches through the bushing, and cut off what stands out behind.",
    formula: "shank = length - (2 d + 6 mm), or - (2 d + 12 mm) above 125 mm, at least the bushing's length",
    source: "thread lengths of ISO 4014 bolts (from memory); the rule: common practice, no source",
    bad: arm!(
        "bolt M8 length 50 mm  bushing nylon length 47 mm  washer 40 mm  sheet plywood-9  length 400 mm  width 120 mm  tail 60 mm"
    ),
    good: arm!(
        "bolt M8 length 120 mm  bushing nylon length 47 mm  washer 40 mm  sheet plywood-9  length 400 mm  width 120 mm  tail 60 mm"
    ),
};

/// The edge of the bushing is pressed out.
pub static BUSHING_EDGE: Code = Code {
    word: "bushing-edge",
    severity: Severity::Warning,
    title: "the wind presses the bolt into the edge of its bushing",
    explanation: "The wind on the limb tilts the bolt, and the bolt presses on the two ends of its bushing. A bushing \
                  as long as board and frame together takes many times what one in the board alone takes. One shorter than \
                  one and a half times its bolt lets the bolt stand askew from the start.",
    formula: "weight/(d L) + 6 M/(d L^2) <= the bushing's highest pressure; L >= 1.5 d",
    source: "linear pressure along the bushing, statics; highest pressures: Shigley, table of boundary-lubricated \
             bearings (from memory); 1.5: common practice, no source",
    bad: arm!(
        "bolt M8  bushing nylon length 9 mm  washer 60 mm  sheet plywood-9  length 600 mm  width 160 mm  tail 60 mm"
    ),
    good: arm!(
        "bolt M8  bushing nylon length 47 mm  washer 40 mm  sheet plywood-9  length 400 mm  width 120 mm  tail 60 mm"
    ),
};

/// Nothing holds it upright.
pub static LIMB_ROCKS: Code = Code {
    word: "limb-rocks",
    severity: Severity::Warning,
    title: "the washers are too small to keep the limb from rocking",
    explanation: "A sheet cannot hold itself upright on a bolt: its washers do, on both sides, and their edges dent \
                  it. Larger washers help with the cube of their diameter. A limb behind the board turns on its own \
                  thin hole: its washers should measure an eighth of its length, or a second board should stand behind it.",
    formula: "32 M D/(pi (D^4 - d^4)) <= half of what crushes the sheet; behind the board D >= length/8",
    source: "linear pressure under a disc, statics; half, an eighth: common practice, no source",
    bad: wing!("washer 24 mm"),
    good: wing!("washer 60 mm"),
};

/// Rain stands in it.
pub static RAIN_TRAP: Code = Code {
    word: "rain-trap",
    severity: Severity::Advice,
    title: "open flutes look up: rain stands in them",
    explanation: "Corrugated sheet is a bundle of pipes. Where their upper ends are open, rain fills them, the limb \
                  grows heavier every evening, and frost splits it. Tape the upper ends and leave the lower ones open.",
    formula: "flutes along a limb that points within 45 deg of straight up or down",
    source: "common practice, no source",
    bad: "use parts\nfigure reed {\n  board plywood-9 600 mm by 900 mm\n  limb stalk {\n    pivot (300, 500) mm  tip (300, 800) mm\n    \
          sheet corrugated-4  flutes along  width 60 mm  tail 40 mm\n    drive servo { motor servo-standard at (300, 500) mm }\n  }\n}\n",
    good: "use parts\nfigure reed {\n  board plywood-9 600 mm by 900 mm\n  limb stalk {\n    pivot (300, 500) mm  tip (300, 800) mm\n    \
          sheet plywood-6  width 60 mm  tail 40 mm\n    drive servo { motor servo-standard at (300, 500) mm }\n  }\n}\n",
};

/// Ice doubles it.
pub static ICE_LOADS: Code = Code {
    word: "ice-loads",
    severity: Severity::Advice,
    title: "a millimetre of ice weighs more than the limb itself",
    explanation: "Freezing rain leaves a skin of ice. On so light a sheet one millimetre more than doubles the weight \
                  the motor lifts, and it glues the limb to the board. Do not start it iced: free it by hand first, \
                  with the power off.",
    formula: "0.9 kg/m2 for each mm of ice, against the sheet's own mass per area",
    source: "density of ice 917 kg/m3 (CRC Handbook of Chemistry and Physics); common practice",
    bad: RAIN_TRAP.bad,
    good: RAIN_TRAP.good,
};

/// Heat lengthens it.
pub static HEAT_LENGTH: Code = Code {
    word: "heat-length",
    severity: Severity::Advice,
    title: "the sheet grows and shrinks more than its holes allow",
    explanation: "Polypropylene grows by 0.14 mm for each metre and degree: from a frosty night to a board in the sun \
                  that is centimetres on a long sheet; PVC by 0.08. Fix it in one hole and give the others slots. A limb \
                  that slides grows across too, between the rails of its guide: leave room there on a cold day.",
    formula: "0.14 mm/(m K) (PVC 0.08) x length, or width in the guide, x 70 K, more than the 1 mm of a medium hole",
    source: "0.08: from memory; resin specification of a maker of corrugated polypropylene sheet (0.00014 per K); ISO 273 medium holes",
    bad: "use parts\nfigure fence {\n  board corrugated-4 1800 mm by 900 mm\n  limb hand {\n    pivot (300, 500) mm  tip (300, 800) mm\n    \
          drive servo { motor servo-standard at (300, 500) mm }\n  }\n}\n",
    good: "use parts\nfigure fence {\n  board plywood-9 1800 mm by 900 mm\n  limb hand {\n    pivot (300, 500) mm  tip (300, 800) mm\n    \
          drive servo { motor servo-standard at (300, 500) mm }\n  }\n}\n",
};

/// The sun spoils it.
pub static SUN_BRITTLE: Code = Code {
    word: "sun-brittle",
    severity: Severity::Advice,
    title: "sunlight makes this sheet brittle",
    explanation: "Polypropylene without a stabiliser turns brittle within a season of sun. Reckon with one season, keep \
                  it indoors for the rest of the year, and bend an offcut that hung outside beside it before you \
                  trust it again.",
    formula: "",
    source: "common practice, no source",
    bad: HEAT_LENGTH.bad,
    good: HEAT_LENGTH.good,
};

/// A frog on a slide in a yard of stated winds.
macro_rules! frog {
    ($guide:literal) => {
        concat!(
            "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 22 m/s  soil lawn }\n",
            "figure frog {\n  board plywood-9 420 mm by 420 mm\n",
            "  frame 38 mm by 38 mm { (210, 0) to (210, 400) mm }\n  limb body {\n",
            "    slide from (210, 300) mm to (210, 400) mm  ",
            $guide,
            "\n    sheet corrugated-4  flutes along  outline (60, 300) (360, 300) (360, 700) (60, 700) mm\n",
            "    drive slider-crank { motor wiper at (210, 135) mm  limit 2 A  crank 10 mm  rod 180 mm }\n",
            "    gesture hop { stroke 5 mm to 25 mm within 8 mm  cycle 3 s }\n  }\n}\n",
            "set frog at (5 m, 4 m) facing south\n"
        )
    };
}

/// The wind presses it into its guide.
pub static GUIDE_DENTS: Code = Code {
    word: "guide-dents",
    severity: Severity::Warning,
    title: "the wind presses a sliding limb into the edges of its guide",
    explanation: "Wind on the flat of a limb that slides presses it into its guide. Where the middle of its area lies \
                  beyond the piece that the guide holds, or beside it, the gust tilts and twists it, and all of that \
                  is borne by the edges of that piece. Corrugated sheet gives way there: then the limb rocks, and \
                  binds. Hold a longer and a wider piece of it (`guide 200 mm by 100 mm at 80 mm`), or put wood in it.",
    formula: "p = F/(b L) + 6 F x/(b L^2) + 6 F y/(L b^2) <= half of the sheet's crush; F = 1.8 q A, q = 0.613 V^2, \
              L and b: length and width of the held piece, x and y: how far the middle of the area lies along and \
              beside its middle",
    source: "pressure under a rectangle loaded beside its middle: any textbook of strength of materials; velocity \
             pressure: ASCE/SEI 7; half of the crush: common practice, no source",
    bad: frog!("guide 40 mm by 20 mm at 0 mm"),
    good: frog!("guide 240 mm by 200 mm at 200 mm"),
};

/// An arm on a servo in a yard of stated winds.
macro_rules! servo {
    ($bolt:literal, $length:literal) => {
        concat!(
            "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 15 m/s  soil lawn }\n",
            "figure moon {\n  board plywood-9 800 mm by 860 mm\n  limb flag {\n",
            "    pivot (520, 340) mm  tip (520, 740) mm  sheet plywood-6  ",
            $length,
            "\n    washer 40 mm  ",
            $bolt,
            "\n    drive servo { motor servo-standard at (520, 340) mm }\n",
            "    rest 90 deg\n    gesture nod { turn to 80 deg over 2 s }\n  }\n}\n",
            "set moon at (5 m, 4 m) facing south\n"
        )
    };
}

/// A limb straight on its servo.
pub static SERVO_CARRIES_LIMB: Code = Code {
    word: "servo-carries-limb",
    severity: Severity::Advice,
    title: "a limb without a bolt of its own hangs on its servo's shaft",
    explanation: "A servo is made to turn, not to carry: its shaft sits in two short bushings a few millimetres apart. A \
                  limb screwed straight to the horn puts its weight and the push of every gust on them. Here \
                  what a gust at which it is to stand bends the shaft with is held against the torque the servo's \
                  gears are made for; above that the shaft tilts, wears and breaks. Give the limb a bolt and a bushing \
                  (`bolt M8  bushing nylon`), and let the servo turn it without carrying it.",
    formula: "0.613 V^2 x 1.8 x area x distance of its centre from the bolt <= Ts, where no `bolt` is written",
    source: "velocity pressure: ASCE/SEI 7; 1.8: EN 1991-1-4, 7.4.3 (signboards); that a servo's shaft should bear torque \
             only, and Ts as the measure: common practice, no source",
    bad: servo!("", "length 300 mm  width 160 mm  tail 60 mm"),
    good: servo!("bolt M8  bushing nylon", "length 300 mm  width 160 mm  tail 60 mm"),
};

/// A gust against a servo.
pub static SERVO_BLOWN: Code = Code {
    word: "servo-blown",
    severity: Severity::Warning,
    title: "a gust along the board turns the limb against its servo",
    explanation: "Head-on wind does not turn a limb that swings in the board's plane, but wind along the board pushes its \
                  edge, and a long limb is a long lever. With what the servo holds anyway in that pose, at the worst \
                  of its poses, that may not come to all the torque it has: above it the servo is turned back and its gears \
                  strip, with power on or off. Bring the limb in before such wind, put a spring in its rod, or let it \
                  rest in line with the wind.",
    formula: "hold + 0.613 V^2 x 2.0 x thickness x |high^2 - low^2|/2 x turn of the limb per turn of the servo <= Ts; \
              high and low: how far the limb reaches above and below its bolt",
    source: "EN 1991-1-4, 7.6 (sharp-edged bar, 2.0); velocity pressure: ASCE/SEI 7; statics",
    bad: servo!("bolt M10  bushing nylon", "length 600 mm  width 60 mm  tail 60 mm"),
    good: servo!("bolt M10  bushing nylon", "length 300 mm  width 60 mm  tail 60 mm"),
};

/// The codes of this file.
pub const CODES: &[&Code] = &[
    &LIMB_FLOPS,
    &CLASH_IN_WIND,
    &LIMB_HUMS,
    &BOLT_BENDS,
    &THREAD_IN_BUSHING,
    &BUSHING_EDGE,
    &LIMB_ROCKS,
    &RAIN_TRAP,
    &ICE_LOADS,
    &HEAT_LENGTH,
    &SUN_BRITTLE,
    &SERVO_CARRIES_LIMB,
    &SERVO_BLOWN,
    &GUIDE_DENTS,
];

//! The codes this stage raises.

use crate::finding::{Code, Severity};

const PRACTICE: &str = "common practice, no source";

/// Two cues want different things of one motor.
pub static CUES_DISAGREE: Code = Code {
    word: "cues-disagree",
    severity: Severity::Error,
    title: "two cues tell a limb, or limbs on one motor, different things at the same time",
    explanation: "A motor does one thing at a time, and limbs that share it move together whether \
        they are told to or not. Two cues that overlap may ask the same again, but not something \
        else. Let the first end before the second begins, or give the limbs motors of their own.",
    formula: "",
    source: PRACTICE,
    bad: "bar 3 bear.left-arm hit for 8 bars\nbar 5 bear.left-arm wave for 4 bars",
    good: "bar 3 bear.left-arm hit for 4 bars\nbar 9 bear.left-arm wave for 4 bars",
};

/// A gesture the drive cannot make.
pub static GESTURE_UNFIT: Code = Code {
    word: "gesture-unfit",
    severity: Severity::Error,
    title: "the limb's drive cannot make this gesture",
    explanation: "A crank swings a limb to and fro and stops at its contact; it cannot hold an \
        angle. A servo can, but cannot turn on and on. A limb on a `spin` drive turns on and on \
        and has no ends. Choose the gesture that fits, or another drive.",
    formula: "",
    source: PRACTICE,
    bad: "bar 4 bear.left-arm turn to 140 deg over 1 beat   # on a crank",
    good: "bar 4 bear.left-arm hit for 1 bar",
};

/// The motor cannot turn so fast.
pub static TOO_FAST_FOR_MOTOR: Code = Code {
    word: "too-fast-for-motor",
    severity: Severity::Error,
    title: "the wanted cycle is faster than the motor turns",
    explanation: "A crank makes one cycle a turn, so the cycle fixes the speed. The sheet's free \
        speed is a middling motor's without load; single ones are slower by the spread. A slower \
        cycle that the motor keeps is named: the show then repeats the swing less often.",
    formula: "needed = 60 / cycle; kept = free x (1 - spread), on a cold night x (1 - cold)",
    source: "arithmetic; the spread is the maker's or the sheet's",
    bad: "gesture hit { sweep 121 deg to 165 deg  cycle 1 beat }   # 116 turns a minute",
    good: "gesture hit { sweep 121 deg to 165 deg  cycle 4 beats }",
};

/// It can on a warm night only.
pub static COLD: Code = Code {
    word: "cold",
    severity: Severity::Warning,
    title: "the motor keeps the cycle on a warm night, not on a cold one",
    explanation: "Grease stiffens in the cold and the motor turns slower. A slow one of its kind \
        still makes the cycle when warm, but not when cold. Choose the cycle named, or a faster motor.",
    formula: "kept when cold = free x (1 - spread) x (1 - cold)",
    source: PRACTICE,
    bad: "gesture hit { sweep 121 deg to 165 deg  cycle 3 beats }   # 38.7: 44.1 warm, 35.3 cold",
    good: "gesture hit { sweep 121 deg to 165 deg  cycle 4 beats }",
};

/// It cannot turn so slowly.
pub static TOO_SLOW_FOR_MOTOR: Code = Code {
    word: "too-slow-for-motor",
    severity: Severity::Error,
    title: "the wanted cycle is slower than the motor turns evenly",
    explanation: "A motor is slowed down by switching its current on and off quickly. Below its \
        least duty it stutters or stops. Take a slower motor, or a shorter cycle.",
    formula: "slowest = free x least-duty",
    source: PRACTICE,
    bad: "gesture hit { sweep 121 deg to 165 deg  cycle 16 beats }   # 7 turns a minute of 45",
    good: "gesture hit { sweep 121 deg to 165 deg  cycle 8 beats }",
};

/// A motor in step with the mains keeps its own time.
pub static SYNCHRONOUS_DRIFTS: Code = Code {
    word: "synchronous-drifts",
    severity: Severity::Warning,
    title: "a motor in step with the mains turns at its own speed and drifts from the music",
    explanation: "A synchronous motor has one speed, set by the mains. If a turn is not exactly \
        the cycle asked, the difference adds up turn by turn. Leave the cycle out and let it sway, \
        or take a motor whose speed can be set.",
    formula: "drift a turn = 60 / speed - cycle",
    source: "arithmetic",
    bad: "motor drum-motor { kind synchronous  voltage 24 V  free 3.333 rpm  stall 1.07 N.m }   # 18.0 s a turn; asked: 35 beats",
    good: "motor drum-motor { kind synchronous  voltage 24 V  free 3.333 rpm  stall 1.07 N.m }",
};

/// An accent on a motor whose angle is unknown.
pub static ACCENT_WITHOUT_SWITCH: Code = Code {
    word: "accent-without-switch",
    severity: Severity::Error,
    title: "an accent is asked of a motor without a park or index contact",
    explanation: "When the power comes on nobody knows where such a motor's crank stands, so no \
        start time puts a given angle on the beat. A park contact or one pulse a turn tells it.",
    formula: "",
    source: PRACTICE,
    bad: "motor drum-motor { kind brushed  free 45 rpm 1.2 A  switch none }   # its limb has an accent",
    good: "motor drum-motor { kind brushed  free 45 rpm 1.2 A  switch park  spread 2 % }",
};

/// The accent is outside the swing.
pub static ACCENT_NOT_REACHED: Code = Code {
    word: "accent-not-reached",
    severity: Severity::Error,
    title: "the linkage never brings the limb to the angle of its accent",
    explanation: "The accent lies in the sweep as written, but the holes give a narrower swing and end \
        short of it: within the tolerance that is no fault of the sweep, and still the hit never comes. \
        Put the accent at an end the linkage does reach; there the limb stands still for a moment and \
        the hit is clear.",
    formula: "",
    source: PRACTICE,
    bad: "gesture hit { sweep 100 deg to 165 deg within 21 deg  cycle 4 beats  accent at 101 deg }",
    good: "gesture hit { sweep 121 deg to 165 deg  cycle 4 beats  accent at 165 deg }",
};

/// The first accents of a cue cannot be met.
pub static ACCENT_DROPPED: Code = Code {
    word: "accent-dropped",
    severity: Severity::Advice,
    title: "the first moment on the beat comes later than the cue says",
    explanation: "A crank starts at its park contact and needs up to one cycle to come to its \
        accent, so the motor starts before the beat. At the very start of the show, or right after \
        another cue, there is no time for that: the limb joins in at its next accent.",
    formula: "lead = cycle x turn from contact to accent / 360",
    source: "arithmetic",
    bad: "bar 1 bear.left-arm hit for 8 bars   # bar 1 at 0.48 s, cycle 2.07 s",
    good: "bar 3 bear.left-arm hit for 6 bars",
};

/// An accent off by more than people overlook.
pub static BEAT_MISSED: Code = Code {
    word: "beat-missed",
    severity: Severity::Warning,
    title: "single motors of this kind miss the beat by more than people overlook",
    explanation: "A limb that comes more than 45 ms after its sound, or 125 ms before it, looks \
        wrong. With a park contact the motor runs a little fast and waits at the contact each \
        cycle, so what differs is the time of one run. With one pulse a turn the speed is corrected \
        each turn and twice the jitter of a turn is left (0.5 % taken, an estimate).",
    formula: "park: late = spread x share of the turn x cycle; index: 2 x 0.005 x cycle",
    source: "ITU-R BT.1359-1 (1998): sound 45 ms early to 125 ms late is not detected",
    bad: "motor drum-motor { kind brushed  free 45 rpm 1.2 A  switch park  spread 10 % }   # its limb has an accent",
    good: "motor drum-motor { kind brushed  free 45 rpm 1.2 A  switch park  spread 2 % }   # counted",
};

/// The servo is too slow.
pub static TOO_FAST_FOR_SERVO: Code = Code {
    word: "too-fast-for-servo",
    severity: Severity::Error,
    title: "the move is faster than the servo",
    explanation: "A servo's sheet gives the time for 60 degrees without load. A move that starts \
        and ends gently is faster in the middle than on average: 1.57 times for `natural`, 1.875 \
        times for `smooth`. Through a rod or a cord the servo turns faster in places than the limb: \
        its own speed at its fastest along the move counts. Above four fifths of the free speed a loaded servo lags (a warning); \
        above the free speed it cannot follow at all.",
    formula: "peak = factor x way / time <= 0.8 x free speed; through a rod peak = max |d servo/d limb x d limb/dt|",
    source: "R. L. Norton, Design of Machinery, table 8-3 (peak factors); four fifths: common practice, no source",
    bad: "bar 2 owl.head turn to 35 deg over 100 ms",
    good: "bar 2 owl.head turn to 35 deg over 1 beat",
};

/// A ram is there long before its time.
pub static RAM_ARRIVES_EARLY: Code = Code {
    word: "ram-arrives-early",
    severity: Severity::Advice,
    title: "the ram is there long before the time it is given",
    explanation: "A ram has one speed. Given more time than it needs, it begins when the cue says and is there \
        too soon: at more than a fifth of the time this is told. Begin later, or take a slower ram.",
    formula: "time = change of length / speed",
    source: "arithmetic; one fifth: common practice, no source",
    bad: "use parts\nfigure gate {\n  board plywood-9 900 mm by 900 mm\n  limb leaf {\n    pivot (200, 500) mm  tip (700, 500) mm\n    drive ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }\n    rest 0 deg\n    gesture open { turn to 60 deg over 20 s }\n  }\n}\nshow evening {\n  0:10 gate.leaf open\n}",
    good: "use parts\nfigure gate {\n  board plywood-9 900 mm by 900 mm\n  limb leaf {\n    pivot (200, 500) mm  tip (700, 500) mm\n    drive ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }\n    rest 0 deg\n    gesture open { turn to 60 deg over 12 s }\n  }\n}\nshow evening {\n  0:10 gate.leaf open\n}",
};

/// A ram runs more than its duty allows.
pub static RAM_RUNS_HOT: Code = Code {
    word: "ram-runs-hot",
    severity: Severity::Warning,
    title: "the ram runs for more of the time than its duty allows",
    explanation: "A ram's motor is made to run for a share of the time, often a quarter, and to cool for the \
        rest. In some ten minutes of this show it runs longer than that. Move it less often, let it stop \
        while others play, or take one of a higher duty.",
    formula: "time in motion in any 10 min <= duty x 10 min",
    source: "makers' sheets give duty as on/(on + off) over 10 to 20 min: from memory; 10 min taken",
    bad: "use parts\nfigure gate {\n  board plywood-9 900 mm by 900 mm\n  limb leaf {\n    pivot (200, 500) mm  tip (700, 500) mm\n    drive ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }\n    gesture wag { sweep 0 deg to 60 deg  cycle 24 s }\n  }\n}\nshow evening {\n  0:10 gate.leaf wag for 5 min\n}",
    good: "use parts\nfigure gate {\n  board plywood-9 900 mm by 900 mm\n  limb leaf {\n    pivot (200, 500) mm  tip (700, 500) mm\n    drive ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }\n    gesture wag { sweep 0 deg to 60 deg  cycle 24 s }\n  }\n}\nshow evening {\n  0:10 gate.leaf wag for 2 min\n}",
};

/// A limb is told an angle of the board while the limb that carries it moves.
pub static CARRIER_MOVES: Code = Code {
    word: "carrier-moves",
    severity: Severity::Error,
    title: "an angle of the board is asked for while the limb that carries this one moves",
    explanation: "The motor of this limb rides on another limb, so its angle on the board is that limb's and its own added \
        up. `sweep`, `turn`, `pose` and `follow` are angles of the board and hold while the other one rests; what \
        is told meanwhile is left out. `bend` counts from the other limb and holds wherever that one is. A limb whose \
        motor stands on the board swings on while the other moves, and only its accents need that at rest.",
    formula: "angle on the board = angle of the carrier + bend",
    source: "R. L. Norton, Design of Machinery, relative angular position",
    bad: "use parts\nfigure heron {\n  board plywood-9 600 mm by 1200 mm\n  limb wing { pivot (300, 800) mm  tip (500, 800) mm\n    drive servo { motor servo-micro }\n    rest 0 deg\n    gesture lift { turn to 30 deg over 2 s } }\n  limb tip-feather on wing { pivot (500, 800) mm  tip (600, 800) mm\n    drive servo { motor servo-micro }\n    rest 0 deg\n    gesture flick { turn to 20 deg over 1 s } }\n}\nshow evening {\n  0:10 heron.wing lift\n  0:13 heron.tip-feather flick\n}",
    good: "use parts\nfigure heron {\n  board plywood-9 600 mm by 1200 mm\n  limb wing { pivot (300, 800) mm  tip (500, 800) mm\n    drive servo { motor servo-micro }\n    rest 0 deg\n    gesture lift { turn to 30 deg over 2 s } }\n  limb tip-feather on wing { pivot (500, 800) mm  tip (600, 800) mm\n    drive servo { motor servo-micro }\n    rest 0 deg\n    gesture flick { bend to 20 deg over 1 s } }\n}\nshow evening {\n  0:10 heron.wing lift\n  0:13 heron.tip-feather flick\n}",
};

/// A cylinder has no time to go out and in.
pub static TOO_FAST_FOR_CYLINDER: Code = Code {
    word: "too-fast-for-cylinder",
    severity: Severity::Error,
    title: "the cylinder has no time to go out and in again",
    explanation: "A valve and the filling take a twentieth of a second, then the throttle sets how long the stroke \
        takes. The valve is told so much ahead that the limb is there when the cue says, so the cue before \
        must be over by then, and the first cue cannot stand at the very start (a warning).",
    formula: "valve told at cue - (valve + filling + time up); needed between two cues = time up + time down",
    source: "arithmetic; valve 20 ms and filling 30 ms: common practice, no source",
    bad: "use parts\nfigure hedgehog {\n  board plywood-9 500 mm by 800 mm\n  limb body {\n    slide from (250, 300) mm to (250, 420) mm\n    drive cylinder { motor cylinder-16 at (250, 100) mm }\n    gesture pop { pulse up for 1 s }\n  }\n}\nshow evening {\n  0:10 hedgehog.body pop\n  0:11.2 hedgehog.body pop\n}",
    good: "use parts\nfigure hedgehog {\n  board plywood-9 500 mm by 800 mm\n  limb body {\n    slide from (250, 300) mm to (250, 420) mm\n    drive cylinder { motor cylinder-16 at (250, 100) mm }\n    gesture pop { pulse up for 1 s }\n  }\n}\nshow evening {\n  0:10 hedgehog.body pop\n  0:12 hedgehog.body pop\n}",
};

/// A laid-up figure is told something.
pub static CUES_LOST: Code = Code {
    word: "cues-lost",
    severity: Severity::Advice,
    title: "a figure that is laid up misses its cues",
    explanation: "The figure stays in the plan and the parts list, but moves in no schedule until \
        its `laid-up` line is taken out. Where nights of a season come before its date it plays \
        those, from a folder of its own (`schedule/SHOW/before-DATE`). What it misses is counted.",
    formula: "",
    source: PRACTICE,
    bad: "laid-up heron from 2027-10-26 \"stripped gear\"",
    good: "# laid-up heron from 2027-10-26 \"stripped gear\"",
};

/// A show with too many cues.
pub static SHOW_ENDLESS: Code = Code {
    word: "show-endless",
    severity: Severity::Error,
    title: "the show tells more than two million things",
    explanation: "That many moves fit no evening: an `every` or `repeat` is far too short or too \
        many, or phrases multiply each other. What lies beyond is left out.",
    formula: "",
    source: PRACTICE,
    bad: "bar 1 all wave every 1 ms",
    good: "bar 1 all wave every 2 bars",
};

/// All rows.
pub static CODES: &[&Code] = &[
    &ACCENT_DROPPED,
    &ACCENT_NOT_REACHED,
    &ACCENT_WITHOUT_SWITCH,
    &BEAT_MISSED,
    &CARRIER_MOVES,
    &COLD,
    &CUES_DISAGREE,
    &CUES_LOST,
    &GESTURE_UNFIT,
    &RAM_ARRIVES_EARLY,
    &RAM_RUNS_HOT,
    &SHOW_ENDLESS,
    &SYNCHRONOUS_DRIFTS,
    &TOO_FAST_FOR_CYLINDER,
    &TOO_FAST_FOR_MOTOR,
    &TOO_FAST_FOR_SERVO,
    &TOO_SLOW_FOR_MOTOR,
];

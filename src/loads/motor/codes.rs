//! What can be wrong with a motor and its limbs.

use crate::finding::{Code, Severity};

const PRACTICE: &str = "common practice, no source";

/// A motor of the maker's own and an arm on it.
macro_rules! arm {
    ($motor:literal, $at:literal) => {
        concat!(
            "use parts\nmotor drum {\n  kind brushed  voltage 12 V\n  ",
            $motor,
            "\n}\nfigure bear {\n  board plywood-9 620 mm by 1350 mm\n  limb arm {\n",
            "    pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6\n",
            "    drive four-bar { motor drum at (310, 806) mm ",
            $at,
            " crank 30 mm  rod ?  lever 80 mm at ? }\n",
            "    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2 s }\n  }\n}\n"
        )
    };
}

/// A jaw straight on its servo.
macro_rules! jaw {
    ($weight:literal) => {
        concat!(
            "use parts\nfigure moon {\n  board plywood-9 800 mm by 860 mm\n  limb jaw {\n",
            "    pivot (520, 340) mm  tip (300, 260) mm  sheet plywood-6\n    ",
            $weight,
            "\n    drive servo { motor servo-standard at (520, 340) mm }\n",
            "    rest 200 deg\n    gesture nod { turn to 216 deg over 1 s }\n  }\n}\n"
        )
    };
}

/// A gate on its ram.
macro_rules! gate {
    ($weight:literal) => {
        concat!(
            "use parts\nfigure gate {\n  board plywood-9 900 mm by 900 mm\n  limb leaf {\n",
            "    pivot (200, 500) mm  tip (700, 500) mm  sheet plywood-6\n    ",
            $weight,
            "\n    drive ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }\n",
            "    rest 0 deg\n    gesture open { turn to 60 deg over 12 s }\n  }\n}\n"
        )
    };
}

/// A hedgehog on its cylinder.
macro_rules! pop {
    ($weight:literal) => {
        concat!(
            "use parts\nfigure hedgehog {\n  board plywood-9 500 mm by 800 mm\n  limb body {\n",
            "    slide from (250, 300) mm to (250, 420) mm  ",
            $weight,
            "\n    drive cylinder { motor cylinder-16 at (250, 100) mm  air tank at 400 kPa  throttle up 3 s down 3 s }\n",
            "    gesture pop { pulse up for 8 s }\n  }\n}\n"
        )
    };
}

/// It is not strong enough.
pub static MOTOR_STALLS: Code = Code {
    word: "motor-stalls",
    severity: Severity::Warning,
    title: "the limb asks more of its motor than a third of what stops it",
    explanation: "A motor that works near its stall torque is slow, hot and at the mercy of a cold night. The peak of \
                  the limb's torque over a turn is held against a weak motor of its kind at low voltage, from the \
                  worst place on: above a third it is a warning, above all of it an error. Where its driver's limit and \
                  not its supply stops it, it gives what it can at that current on a cold night, which doubles its free current. A gust is short: with the \
                  wind at `wind run` all of it may be asked. A motor in step with the mains falls out of step \
                  above its rated torque.",
    formula: "peak <= 1/3 x 0.8 x Kt (11.5/12 V/(R + cable) - I0), at a limit I 1/3 x 0.8 x Kt (I - 2 I0), in the gust all of it; \
              synchronous: peak <= rated",
    source: "permanent-magnet motor line: MIT, Understanding D.C. Motor Characteristics; a third, 20 % and 11.5 V: \
             common practice, no source",
    bad: arm!("free 45 rpm 0.12 A  stall 0.35 N.m 1.2 A  self-locking yes", ""),
    good: arm!("free 45 rpm 1.2 A  stall 14 N.m 16 A  self-locking yes", "limit 4 A"),
};

/// Rain makes it heavy.
pub static WET_HEAVY: Code = Code {
    word: "wet-heavy",
    severity: Severity::Advice,
    title: "soaked with rain, the limb asks more of its motor than a third of what stops it",
    explanation: "Plywood that stands in the rain grows heavier by a fifth. A motor that had just enough when the limb was \
                  weighed has not on a wet night. Paint the edges, where the water goes in, or leave it more.",
    formula: "peak + 0.2 x its weight's part <= 1/3 of what stops a weak motor at low voltage",
    source: PRACTICE,
    bad: arm!("free 45 rpm 0.6 A  stall 0.85 N.m 3 A  self-locking yes", ""),
    good: arm!("free 45 rpm 1.2 A  stall 14 N.m 16 A  self-locking yes", "limit 4 A"),
};

/// The sheet contradicts itself.
pub static DATA_IMPLAUSIBLE: Code = Code {
    word: "data-implausible",
    severity: Severity::Warning,
    title: "the figures of a motor do not fit together",
    explanation: "Free speed and current, stall torque and current fix what the gears pass on: no more than all, and of \
                  geared motors 20 to 80 %. A misread unit (kgf.cm for N.m) or a figure of another motor shows here.",
    formula: "Kt/Ke with R = V/Is, Ke = (V - I0 R)/w0, Kt = Ts/(Is - I0); 0.2 to 0.8, above 1 impossible",
    source: "permanent-magnet motor line: MIT, Understanding D.C. Motor Characteristics; 0.2 to 0.8: common practice, \
             no source",
    bad: arm!("free 45 rpm 1.2 A  stall 140 N.m 16 A", "limit 2 A"),
    good: arm!("free 45 rpm 1.2 A  stall 14 N.m 16 A", "limit 4 A"),
};

/// A bench test that tells nothing.
pub static WEIGHT_TOO_LIGHT: Code = Code {
    word: "weight-too-light",
    severity: Severity::Warning,
    title: "the weight that was lifted hardly slowed the motor",
    explanation: "The stall torque follows from how much a weight slows the motor. Where it slows it by little, a tenth \
                  of a second of the stop-watch counts many times over. Lift more, or take a thicker drum, until it \
                  runs at least 15 % slower than free.",
    formula: "Ts = T/s, s = 1 - n1/n0; error of Ts = errors of the speeds x (1 - s)/s",
    source: "arithmetic on the straight motor line; 2 %, 0.1 s, 0.03 s: common practice, no source",
    bad: arm!(
        "counted 20 turns in 26.7 s at 12 V 1.2 A  lifted 1 kg on drum 100 mm 3 turns in 4.14 s 1.7 A",
        "limit 4 A"
    ),
    good: arm!(
        "counted 20 turns in 26.7 s at 12 V 1.2 A  lifted 5 kg on drum 100 mm 3 turns in 4.85 s 3.8 A",
        "limit 4 A"
    ),
};

/// A held limb.
pub static JAM: Code = Code {
    word: "jam",
    severity: Severity::Advice,
    title: "a limb that is held is pushed with more than a hand or the motor's gears stand",
    explanation: "If somebody holds the limb, or it freezes to its board, the motor goes up to its stall torque or to \
                  what its driver lets through. In the middle of the swing the linkage passes that on as the force \
                  named, and near the ends many times of it. A lower limit in the driver brings it down; gaps that \
                  close still want 25 mm or a guard. Where no limit is written that is listed as assumed.",
    formula: "T = Kt (I_limit - I0); force 100 mm from the bolt = T/(0.1 m x largest turn of the limb per turn of the motor)",
    source: "statics; 140 N for a hand: from memory of the limits for power-operated doors and guards",
    bad: arm!("free 45 rpm 1.2 A  stall 14 N.m 16 A  self-locking yes", "limit 12 A"),
    good: arm!("free 45 rpm 1.2 A  stall 14 N.m 16 A  self-locking yes", "limit 4 A"),
};

/// It falls.
pub static LIMB_DROPS: Code = Code {
    word: "limb-drops",
    severity: Severity::Advice,
    title: "without power the limb turns its motor back and drops",
    explanation: "A worm gear holds what hangs on it; spur gears do not. When the power goes, at the end of the show or \
                  in the middle, the limb falls until it finds its balance. Let it rest where it stays by itself, \
                  balance it, or take a motor whose gear locks.",
    formula: "limb's torque at the motor > Kt I0; locks below 45 % passed on, not above 55 %",
    source: "back-efficiency 2 - 1/eta of a gear: seva-tec.de, gear maker's questions, 2.1.3",
    bad: arm!("free 40 rpm 0.05 A  stall 3 N.m 1.8 A  self-locking no", "limit 1 A"),
    good: arm!("free 45 rpm 1.2 A  stall 14 N.m 16 A  self-locking yes", "limit 4 A"),
};

/// Its driver burns.
pub static DRIVER_OVERLOADED: Code = Code {
    word: "driver-overloaded",
    severity: Severity::Error,
    title: "the motor draws more than its driver carries",
    explanation: "Each time a motor starts, and whenever its limb is held, it draws its stall current. A driver that \
                  neither carries nor limits that burns out on a cold night.",
    formula: "V/(R + cable) <= driver, or limit <= driver",
    source: PRACTICE,
    bad: arm!("free 45 rpm 1.2 A  stall 14 N.m 16 A  driver 5 A", ""),
    good: arm!("free 45 rpm 1.2 A  stall 14 N.m 16 A  driver 5 A", "limit 4 A"),
};

/// It gets hot.
pub static SERVO_HOLDS: Code = Code {
    word: "servo-holds",
    severity: Severity::Warning,
    title: "the servo holds more than a quarter of what stops it",
    explanation: "A servo that stands still under load draws current all the time and gets hot. Up to a quarter of its \
                  stall torque it bears that for an evening. A counterweight behind the bolt takes the load off.",
    formula: "m g x (level distance of the centre from the bolt) x turn of the limb per turn of the servo <= 0.25 Ts",
    source: PRACTICE,
    bad: jaw!("weighed 0.3 kg  balances 60 mm"),
    good: jaw!("weighed 0.12 kg  balances 60 mm"),
};

/// A ram at its limit.
pub static RAM_WEAK: Code = Code {
    word: "ram-weak",
    severity: Severity::Warning,
    title: "the limb asks more of its ram than 0.7 of its rated force",
    explanation: "Weight and what is stated as load and friction, over the whole way, come to the force along the ram; \
                  so does wind along the board on the limb's edge, in the gust up to which it is to run. Above 0.7 of what it is rated for it is slow and hot, above all of it it stops. A longer lever hole \
                  asks less force over a longer way.",
    formula: "largest force along the rod over the way (weight, inertia, friction, load, wind at `wind run`) <= 0.7 rated \
              (virtual work)",
    source: "virtual work; 0.7: common practice, no source",
    bad: gate!("weighed 5 kg  balances 250 mm"),
    good: gate!("weighed 1 kg  balances 250 mm"),
};

/// A gate on a ram that stands all night.
macro_rules! pinned {
    ($ram:literal) => {
        concat!(
            "use parts\nyard { size 10 m by 8 m  wind run 7 m/s stand 22 m/s }\n",
            "motor own { kind ram  voltage 12 V  force 150 N  speed 0.01 m/s  length 205 to 305 mm  stroke 100 mm\n  ",
            $ram,
            "\n}\nfigure gate {\n  board plywood-9 900 mm by 900 mm\n  limb leaf {\n",
            "    pivot (200, 500) mm  tip (700, 500) mm  sheet plywood-9\n",
            "    outline (170, 480) (700, 480) (700, 530) (170, 530) mm\n    weighed 0.16 kg  balances 250 mm\n",
            "    drive ram { motor own at (200, 230.7) mm  lever 100 mm at ? }\n",
            "    rest 0 deg\n    gesture open { turn to 60 deg over 12 s }\n  }\n}\n"
        )
    };
}

/// The wind moves it.
pub static RAM_PUSHED_BACK: Code = Code {
    word: "ram-pushed-back",
    severity: Severity::Warning,
    title: "a gust pushes the ram back while it stands without power",
    explanation: "Between shows nothing but the friction of its screw holds a ram. Weight and the wind along the board \
                  on the limb's edge, in the gust it must stand, come to a force along the ram; above what it holds \
                  without power (its back-drive force) it creeps, and the limb stands elsewhere in the morning. Take a \
                  ram that holds more, or pin the limb.",
    formula: "largest force along the rod over the way (weight, load, wind at `wind stand`, virtual work) <= `holds`",
    source: "virtual work; back-drive forces of 10 to 102 N: survey of micro actuators, customlinearactuator.com",
    bad: pinned!("self-locking no  holds 10 N"),
    good: pinned!("self-locking yes  holds 100 N"),
};

/// A cylinder at its limit.
pub static CYLINDER_WEAK: Code = Code {
    word: "cylinder-weak",
    severity: Severity::Warning,
    title: "the limb asks more of its cylinder than its air gives",
    explanation: "Pressure times area is what a cylinder pushes with, less its own friction and what it takes to move. \
                  Slow ones are used up to 0.7 of it, quick ones (above 0.5 m/s) up to half.",
    formula: "largest force along the rod over the way (weight, inertia, friction, load, wind at `wind run`) <= 0.7 p A, \
              quick 0.5 p A",
    source: "force: pressure x area; 0.7 and 0.5: common practice, no source",
    bad: pop!("weighed 6 kg"),
    good: pop!("weighed 0.6 kg"),
};

/// Two kilograms on a cylinder with its throttle set so.
macro_rules! hurried {
    ($throttle:literal) => {
        concat!(
            "use parts\nfigure hedgehog {\n  board plywood-9 500 mm by 800 mm\n  limb body {\n",
            "    slide from (250, 300) mm to (250, 420) mm  weighed 2 kg\n",
            "    drive cylinder { motor cylinder-16 at (250, 100) mm  air tank at 400 kPa  throttle ",
            $throttle,
            " }\n    gesture pop { pulse up for 8 s }\n  }\n}\n"
        )
    };
}

/// Its throttle asks for more speed than its air gives.
pub static CYLINDER_SLOW: Code = Code {
    word: "cylinder-slow",
    severity: Severity::Warning,
    title: "the throttle asks for more speed than the air can give the limb",
    explanation: "A throttle slows a piston, it never hurries it. First the limb must be set in motion: even with all \
                  its force from the first moment on, and with nothing that rubs, it takes that long from end to end. \
                  Set to less the throttle does nothing, and every cue comes late. Valve and hose take more yet.",
    formula: "t = sum of 2 dx/(v + v') <= throttle, m v^2/2 = sum of (p A - load) dx, m what the rod feels of the limb; \
              for an even load t = sqrt(2 m s/(p A - load))",
    source: "work and energy, any textbook of dynamics; force: pressure x area",
    bad: hurried!("up 0.05 s down 0.6 s"),
    good: hurried!("up 0.6 s down 0.6 s"),
};

/// An arm on a motor in step with the mains.
macro_rules! mains {
    ($inertia:literal, $weight:literal) => {
        concat!(
            "use parts\nmotor slow {\n  kind synchronous  voltage 24 V  frequency 50 Hz  free 3 1/3 rpm  ",
            "stall 1.07 N.m  ",
            $inertia,
            "\n}\nfigure scarecrow {\n  board plywood-9 620 mm by 1350 mm\n  limb arm {\n",
            "    pivot (300, 900) mm  tip (700, 900) mm  sheet plywood-6  ",
            $weight,
            "\n    drive four-bar { motor slow at (300, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n",
            "    gesture sway { sweep -19.5 deg to 19.5 deg within 4 deg }\n  }\n}\n"
        )
    };
}

/// Sails on a motor in step with the mains.
macro_rules! sails {
    ($motor:literal) => {
        concat!(
            "use parts\nmotor slow {\n  kind synchronous  voltage 24 V  frequency 50 Hz  free 3 1/3 rpm  ",
            "stall 1.07 N.m  ",
            $motor,
            "\n}\nfigure mill {\n  board plywood-9 600 mm by 1200 mm\n  limb sails {\n",
            "    pivot (300, 800) mm  tip (300, 1000) mm  sheet plywood-6  weighed 0.1 kg  balances 10 mm\n",
            "    drive spin { motor slow at (300, 800) mm }\n    gesture round { spin 1 turn per 18 s }\n  }\n}\n"
        )
    };
}

/// Nobody knows which way round it turns.
pub static STARTS_EITHER_WAY: Code = Code {
    word: "starts-either-way",
    severity: Severity::Advice,
    title: "a motor in step with the mains may start either way round, and here that shows",
    explanation: "Small motors of this kind go whichever way the mains kick them as they are switched on. A limb that \
                  swings evenly to and fro looks the same both ways; one that spins turns backwards, and a quick \
                  return becomes a slow one. Some have a stop inside that turns them back: say so with `one-way yes`.",
    formula: "what it moves spins, or its longer way takes 1.15 times its shorter one or more",
    source: PRACTICE,
    bad: sails!(""),
    good: sails!("one-way yes"),
};

/// It does not come up to speed.
pub static START_HEAVY: Code = Code {
    word: "start-heavy",
    severity: Severity::Error,
    title: "the limb is too heavy for its motor to start in step with the mains",
    explanation: "A synchronous motor has half a wave of the mains to be at full speed, or it only hums, and may kick off \
                  the wrong way round. Its sheet names the largest moment of inertia on the shaft that it starts. A \
                  limb's own is felt through its linkage with the square of how fast it turns against the shaft, \
                  taken where that is fastest.",
    formula: "sum of I f'^2 (m s'^2 on a guide) over its limbs, f' = largest turn of the limb per turn of the shaft, <= \
              inertia of its sheet",
    source: "kinetic energy at the shaft, I f'^2 w^2/2 (mechanics); a largest inertia on the sheet: common practice of \
             motors in step with the mains, from memory",
    bad: mains!("inertia 0.0001 kg.m2", "weighed 0.2 kg  balances 180 mm  ten-swings 11 s"),
    good: mains!("inertia 0.01 kg.m2", "weighed 0.2 kg  balances 180 mm  ten-swings 11 s"),
};

/// All rows.
pub const CODES: &[&Code] = &[
    &CYLINDER_SLOW,
    &CYLINDER_WEAK,
    &DATA_IMPLAUSIBLE,
    &DRIVER_OVERLOADED,
    &JAM,
    &LIMB_DROPS,
    &MOTOR_STALLS,
    &RAM_PUSHED_BACK,
    &RAM_WEAK,
    &SERVO_HOLDS,
    &START_HEAVY,
    &STARTS_EITHER_WAY,
    &WEIGHT_TOO_LIGHT,
    &WET_HEAVY,
];

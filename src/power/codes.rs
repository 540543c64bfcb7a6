//! What can be wrong with supplies, cables and what hangs on them.

use crate::finding::{Code, Severity};

const PRACTICE: &str = "common practice, no source";

/// A drummer on a supply, and a show that lets it drum.
macro_rules! drummer {
    ($supply:literal, $power:literal, $motor:literal, $at:literal) => {
        drummer!($supply, $power, $motor, $at, "")
    };
    ($supply:literal, $power:literal, $motor:literal, $at:literal, $tail:literal) => {
        concat!(
            "use parts\nyard orchard { size 18 m by 10 m  mains 230 V 50 Hz }\nsupply shed at (17 m, 9 m) { ",
            $supply,
            " }\nmotor drum { ",
            $motor,
            " }\nset bear at (5 m, 4 m) facing south\nfigure bear {\n  board plywood-9 620 mm by 1350 mm\n  ",
            $power,
            "\n  limb arm {\n    pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6\n",
            "    drive four-bar { motor drum at (310, 806) mm ",
            $at,
            " crank 30 mm  rod ?  lever 80 mm at ? }\n",
            "    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2.1 s }\n  }\n}\n",
            "show evening {\n  0:10 bear.arm hit for 20 s\n}\n",
            "season autumn {\n  nights 2027-10-22 to 2027-10-31\n  first 18:00\n  runs 5 of evening every 25 min\n}\n",
            $tail
        )
    };
}

/// A gate on a cylinder that is fed from a tank, and a show that opens it again and again.
macro_rules! hopper {
    ($tank:literal) => {
        concat!(
            "use parts\nyard orchard { size 18 m by 10 m  ",
            $tank,
            " }\nmotor puff { kind cylinder  bore 16 mm  rod 6 mm  stroke 100 mm }\n",
            "set frog at (5 m, 4 m) facing south\nfigure frog {\n  board plywood-9 620 mm by 900 mm\n",
            "  limb body {\n    slide from (300, 300) mm to (300, 400) mm  weighed 0.5 kg\n",
            "    drive cylinder { motor puff at (300, 100) mm  length 200 to 300 mm  air air at 400 kPa  ",
            "throttle up 0.4 s down 0.6 s }\n    gesture jump { pulse up for 1 s }\n  }\n}\n",
            "show evening {\n  0:10 frog.body jump\n  0:13 frog.body jump\n  0:16 frog.body jump\n}\n"
        )
    };
}

/// It gives less than is asked.
pub static SUPPLY_OVERLOADED: Code = Code {
    word: "supply-overloaded",
    severity: Severity::Error,
    title: "a supply is asked for more current than it gives",
    explanation: "The currents of everything that moves at a time are added up over the whole show, with what a motor \
                  takes in the first tenth of a second of each start and what converters lose. Above its limit a \
                  supply sags or switches off and every figure on it stops. Where only starts are too much, letting \
                  them begin one after the other is enough (a warning).",
    formula: "sum of running currents + sum of (start - running) of those that just start <= limit",
    source: "Kirchhoff's current law; a tenth of a second for a start: common practice, no source",
    bad: drummer!(
        "voltage 12 V  limit 1 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
    good: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
};

/// It gets hot.
pub static MOTOR_RUNS_HOT: Code = Code {
    word: "motor-runs-hot",
    severity: Severity::Warning,
    title: "a motor runs for more of the time than its duty allows",
    explanation: "A motor made for a car's wipers or windows is made to run for a share of the time and to cool for the \
                  rest; closed in a box behind a board it cools less still. In some ten minutes of a show this one runs \
                  longer than its `duty`. Let it rest while others play.",
    formula: "time in motion in any 10 min <= duty x 10 min",
    source: "makers' sheets give duty as on/(on + off) over 10 to 20 min: from memory; 10 min taken",
    bad: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  duty 2 %",
        "limit 4 A"
    ),
    good: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  duty 25 %",
        "limit 4 A"
    ),
};

/// It is empty before the night is over.
pub static BATTERY_FLAT: Code = Code {
    word: "battery-flat",
    severity: Severity::Warning,
    title: "a night takes more than half of a battery's charge",
    explanation: "What every run of a night takes is added up. A lead battery that is emptied below half does not last \
                  the season; one that is asked for more than it holds stops the show.",
    formula: "sum of current x time over all runs of a night <= half the charge",
    source: PRACTICE,
    bad: drummer!(
        "voltage 12 V  battery 50 mAh  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
    good: drummer!(
        "voltage 12 V  battery 7 Ah  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
};

/// Its tank does not keep up.
pub static TANK_EMPTIES: Code = Code {
    word: "tank-empties",
    severity: Severity::Warning,
    title: "a tank of air falls below the pressure its cylinders are fed with",
    explanation: "A tank gives its cylinders their pressure through a regulator for as long as it holds more than that \
                  itself. The air of every stroke is taken out of it, and what its pump gives put in, over all runs \
                  of a night from a full tank on. Below its pressure a cylinder pushes with less and moves late. A \
                  tank fills in minutes what a show takes in seconds, so the pump is rarely the cure for a burst.",
    formula: "p V / T constant: air in the tank = V (p + 100 kPa)/100 kPa; each stroke takes its own, the pump adds up \
              to full",
    source: "Boyle's law; standard litres at 100 kPa: ISO 8778, from memory; one temperature and a stroke's air taken \
             at once: common practice, no source",
    bad: hopper!("tank air 0.2 l full 600 kPa"),
    good: hopper!("tank air 24 l full 800 kPa  pump 30 l/min"),
};

/// Too much is lost on the way.
pub static CABLE_DROP: Code = Code {
    word: "cable-drop",
    severity: Severity::Warning,
    title: "more than a tenth of the voltage is lost in the cable",
    explanation: "A long thin cable takes volts from the motor: it turns slower, starts weaker, and servos twitch. The \
                  drop at the highest running current, of the feeders on the way too, is held against a tenth of the \
                  supply's voltage; so is that of a feeder to a converter. A thicker conductor or a nearer supply brings \
                  it down.",
    formula: "drop = current x 2 x length x 0.01724 ohm mm2/m / conductor",
    source: "resistivity of annealed copper (IACS); 10 % for what is not vital: marine and vehicle practice at 12 V",
    bad: drummer!(
        "voltage 12 V  limit 10 A  cable 0.75 mm2  fuse 5 A",
        "power shed run 40 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
    good: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
};

/// No fuse, or too large a one.
pub static CABLE_UNPROTECTED: Code = Code {
    word: "cable-unprotected",
    severity: Severity::Warning,
    title: "a cable may burn before its fuse or supply gives up",
    explanation: "A short circuit in the yard draws what the supply gives. The fuse stands at the supply end and must \
                  let through no more than the thinnest conductor behind it may carry, and at least 1.25 times what \
                  runs. No fuse named at all is told as advice. The table is one country's; local codes and licensed \
                  people decide.",
    formula: "1.25 x running current <= fuse <= largest for the conductor: 26 AWG (0.13 mm2) 1 A, 24 (0.21) 2, \
              22 (0.33) 3, 20 (0.52) 5, 18 (0.82) 7, 16 (1.3) 10, 14 (2.1) 15, 12 (3.3) 20, 10 (5.3) 30",
    source: "US National Electrical Code (NFPA 70) 240.4(D), 18 and 16 AWG from memory; thinner: NFPA 79, table 12.5.1 \
             (from memory); 1.25: NEC 210.20(A)",
    bad: drummer!(
        "voltage 12 V  limit 40 A  cable 2.5 mm2",
        "power shed run 13 m fuse 30 A",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
    good: drummer!(
        "voltage 12 V  limit 40 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
};

/// Too small a fuse.
pub static FUSE_BLOWS: Code = Code {
    word: "fuse-blows",
    severity: Severity::Error,
    title: "a fuse is smaller than what runs through it",
    explanation: "A fuse protects the cable behind it, and must carry what runs there: a quarter more than the highest \
                  running current of any show, since it warms up over hours. Starts of a tenth of a second do not blow \
                  it. Between the current and a quarter more it is a warning. Take a larger fuse only where the cable \
                  may carry it.",
    formula: "fuse >= 1.25 x highest running current",
    source: "US National Electrical Code (NFPA 70) 210.20(A), and common practice",
    bad: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 1 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
    good: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
};

/// Another voltage or sort of current.
pub static SUPPLY_UNFIT: Code = Code {
    word: "supply-unfit",
    severity: Severity::Warning,
    title: "a motor hangs on a supply of another voltage, or of direct instead of alternating current",
    explanation: "A servo on 12 V burns, a motor in step with the mains does not turn on direct current, and one that is \
                  fed a quarter more than it is made for gets hot. `ac` in a supply says that it gives alternating \
                  current; `power NAME` behind a motor feeds it from another supply than its figure.",
    formula: "brushed: supply <= 1.25 x rated; servo and synchronous: within 20 %",
    source: PRACTICE,
    bad: drummer!(
        "voltage 24 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
    good: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A"
    ),
};

/// Mains of another frequency.
pub static MAINS_UNFIT: Code = Code {
    word: "mains-unfit",
    severity: Severity::Warning,
    title: "a motor in step with the mains is made for another frequency",
    explanation: "Such a motor turns as fast as the mains swing: one for 60 Hz is a sixth slower on 50. Write the speed \
                  it has where you are, or take one made for it.",
    formula: "speed = 120 x frequency / poles / gear: proportional to the frequency",
    source: "synchronous speed; a published gear motor table shows ratio 300 at 60 Hz and 250 at 50 Hz for 1 rpm \
             (hurst-motors.com, SA geared series)",
    bad: drummer!(
        "voltage 24 V  ac  limit 2 A  cable 1.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind synchronous  voltage 24 V  frequency 60 Hz  free 30 rpm  stall 1.07 N.m",
        ""
    ),
    good: drummer!(
        "voltage 24 V  ac  limit 2 A  cable 1.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind synchronous  voltage 24 V  frequency 50 Hz  free 28.5714 rpm  stall 1.07 N.m",
        ""
    ),
};

/// It keeps the pace only without its limb.
pub static SLOW_UNDER_LOAD: Code = Code {
    word: "slow-under-load",
    severity: Severity::Error,
    title: "with its limbs on it and at the end of its cable the motor is slower than the cycle wants",
    explanation: "The free speed of a sheet is at full voltage and without load. The limb's torque and the volts lost in \
                  the cable take some of it, and single motors are slower still. What is left does not reach the \
                  speed the cycle asks for: a longer cycle, a thicker cable, a supply nearby, or a faster motor.",
    formula: "speed = (V - (R + cable)(I0 + T/Kt))/Ke, mean over a turn, x (1 - spread)",
    source: "permanent-magnet motor line: MIT, Understanding D.C. Motor Characteristics",
    bad: drummer!(
        "voltage 12 V  limit 10 A  cable 0.75 mm2  fuse 5 A",
        "power shed run 60 m",
        "kind brushed  voltage 12 V  free 32 rpm 1.2 A  stall 14 N.m 16 A  spread 2 %",
        "limit 4 A"
    ),
    good: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  spread 2 %",
        "limit 4 A"
    ),
};

/// Its case is a pole.
pub static CASE_LIVE: Code = Code {
    word: "case-live",
    severity: Severity::Error,
    title: "a motor whose case is one of its poles is turned both ways, or switched there",
    explanation: "Motors out of cars often have their minus on the case. A bridge that turns them round puts that case on \
                  plus, and two of them on one metal frame are a short circuit. A switch on the minus side leaves the case on plus while the motor is off, and a second such \
                  motor on the same metal frame leads round the switch: both run on. Switch such a motor one way, on its \
                  plus side, or take one with a free case.",
    formula: "a case on minus: no output that turns both ways, and none `on minus`",
    source: PRACTICE,
    bad: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  case-live yes  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A",
        "controller post at (16 m, 8 m) { out 1 bear.arm pwm }\n"
    ),
    good: drummer!(
        "voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A",
        "power shed run 13 m",
        "kind brushed  voltage 12 V  case-live yes  free 45 rpm 1.2 A  stall 14 N.m 16 A",
        "limit 4 A",
        "controller post at (16 m, 8 m) { out 1 bear.arm pwm one-way on plus }\n"
    ),
};

/// All rows.
pub const CODES: &[&Code] = &[
    &MOTOR_RUNS_HOT,
    &BATTERY_FLAT,
    &CABLE_DROP,
    &CABLE_UNPROTECTED,
    &CASE_LIVE,
    &FUSE_BLOWS,
    &MAINS_UNFIT,
    &SLOW_UNDER_LOAD,
    &SUPPLY_OVERLOADED,
    &SUPPLY_UNFIT,
    &TANK_EMPTIES,
];

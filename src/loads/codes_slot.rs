//! What can be wrong with the slot of a slotted arm, and where a limb turns round.

use crate::finding::{Code, Severity};

/// A miller's arm behind the board, its slot beside the pivot.
macro_rules! miller {
    ($limb:literal, $slot:literal) => {
        concat!(
            "use parts\nfigure miller {\n  board plywood-9 700 mm by 1200 mm\n  limb arm {\n",
            "    pivot (300, 700) mm  tip (600, 700) mm  mount behind  bolt M8  washer 60 mm  sheet plywood-6\n    ",
            $limb,
            "\n    drive slotted-arm { motor wiper at (300, 600) mm  limit 4 A  crank 40 mm  ",
            $slot,
            " }\n    gesture throw { sweep -23.5 deg to 23.5 deg within 2 deg  cycle 2 s }\n  }\n}\n"
        )
    };
}

/// It wears wide.
pub static SLOT_WEARS: Code = Code {
    word: "slot-wears",
    severity: Severity::Advice,
    title: "a bare crank pin saws its slot wide",
    explanation: "The pin of a slotted arm rubs along its slot, fastest with the speed of the crank, and touches it on a \
                  line. Pressure over the pin's width times that speed is held against what nylon stands without \
                  oil; plywood and corrugated sheet stand no more. A small ball bearing on the pin rolls instead.",
    formula: "F/(d t) x a w <= 0.105 MPa.m/s, F the largest push, d the pin, t the sheet, a the crank, w its speed",
    source: "PV of nylon: R. L. Mott, Machine Elements in Mechanical Design, table 16-1; that sheets stand no more: common \
             practice, no source",
    bad: miller!(
        "outline (270, 740) (270, 520) (330, 520) (330, 660) (620, 680) (620, 740) mm  carry sack 2 kg at (590, 700) mm",
        "slot 95 mm at 270 deg"
    ),
    good: miller!(
        "outline (270, 740) (270, 520) (330, 520) (330, 660) (620, 680) (620, 740) mm",
        "slot 105 mm at 270 deg roller 10 mm"
    ),
};

/// Too little is left beside it.
pub static SLOT_THIN: Code = Code {
    word: "slot-thin",
    severity: Severity::Warning,
    title: "too little sheet is left beside a slot",
    explanation: "A slot cuts a limb into two rails that the crank pin pushes apart. Leave one and a half times the pin, or \
                  its roller, on each side and at both ends.",
    formula: "distance from the slot to the edge of the sheet >= 1.5 x diameter of what runs in it",
    source: "common practice, no source",
    bad: miller!(
        "outline (290, 740) (290, 520) (310, 520) (310, 660) (620, 680) (620, 740) mm",
        "slot 95 mm at 270 deg"
    ),
    good: miller!(
        "outline (270, 740) (270, 520) (330, 520) (330, 660) (620, 680) (620, 740) mm",
        "slot 95 mm at 270 deg"
    ),
};

/// A smith's arm, with or without a hammer.
macro_rules! smith {
    ($limb:literal) => {
        concat!(
            "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 12 m/s  soil lawn }\n",
            "figure smith {\n  board plywood-9 620 mm by 1350 mm\n",
            "  frame 38 mm by 38 mm { (300, 0) to (300, 1300) mm }\n",
            "  motor arms wiper at (300, 600) mm  limit 4 A\n  limb arm {\n",
            "    pivot (300, 900) mm  tip (700, 900) mm  bolt M8  bushing nylon  clamp screws  washer 40 mm\n    ",
            $limb,
            "\n    drive four-bar { motor arms  crank 30 mm  rod ?  lever 90 mm at ?  standoff 10 mm }\n",
            "    gesture hit { sweep 0 deg to 39 deg within 4 deg  cycle 2 s }\n  }\n}\n",
            "set smith at (5 m, 4 m) facing south\n"
        )
    };
}

/// It breaks at its ends.
pub static LIMB_WHIPS: Code = Code {
    word: "limb-whips",
    severity: Severity::Warning,
    title: "turned round at the ends of its swing, a limb breaks at its bolt",
    explanation: "At either end of its swing a limb is thrown back, four times as hard when it goes twice as fast, and a weight \
                  at its end pulls on. That and its own weight bend it on edge where the bolt's hole has taken most of \
                  its sheet. Let it swing slower, carry less far out, or leave more sheet round the bolt.",
    formula: "(I x largest angular acceleration + m g r)/(t (b^3 - d^3)/(6 b)) <= bending strength/3, a third of that for \
              corrugated sheet on edge; tip acceleration = angular acceleration x reach",
    source: "bending of a bar with a hole: Shigley, Mechanical Engineering Design; two skins on edge: own derivation; a third: \
             common practice, no source",
    bad: smith!(
        "sheet corrugated-4  width 50 mm  tail 30 mm  carry hammer 0.8 kg at (680, 900) mm"
    ),
    good: smith!("sheet plywood-9  width 120 mm  tail 60 mm"),
};

/// All rows.
pub const CODES: &[&Code] = &[&SLOT_WEARS, &SLOT_THIN, &LIMB_WHIPS];

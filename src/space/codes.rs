//! What can be wrong with the room of a figure, or of figures in the yard.

use crate::finding::{Code, Severity};

/// A figure with a frame and one swinging limb.
macro_rules! framed {
    ($frame:literal, $limb:literal) => {
        concat!(
            "use parts\nfigure gate {\n  board plywood-9 900 mm by 1200 mm\n  frame 38 mm by 38 mm { ",
            $frame,
            " }\n  motor swing wiper at (300, 600) mm\n  limb arm {\n    ",
            $limb,
            "\n    drive four-bar { motor swing  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }\n",
            "    gesture wave { sweep -0.3 deg to 39 deg within 4 deg  cycle 3 s }\n  }\n}\n"
        )
    };
}

/// A yard with two figures.
macro_rules! two {
    ($first:literal, $second:literal) => {
        concat!(
            "use parts\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\n",
            "supply shed at (17 m, 9 m) { voltage 12 V }\n",
            "figure bear { board plywood-9 600 mm by 1200 mm }\n",
            "figure mouse { board plywood-9 300 mm by 400 mm }\n",
            "set bear at ",
            $first,
            "\nset mouse at ",
            $second,
            "\n"
        )
    };
}

/// A limb behind the board runs into the frame.
pub static LIMB_HITS_FRAME: Code = Code {
    word: "limb-hits-frame",
    severity: Severity::Error,
    title: "a moving part runs into the frame",
    explanation: "The part and a member of the frame lie in one depth, and somewhere on its way the part reaches the \
                  member. The message says from which angle to which. A limb behind the board whose pivot is on no \
                  member is taken to hang right behind the board, between the members; with a longer bushing \
                  (`bushing nylon length 50 mm`) it hangs behind them. Or shorten the limb, or move the member.",
    formula: "least distance of both outlines over the whole way, found by halving the way until less than 0.05 mm can \
              hide in a stretch",
    source: "S. A. Piyavskii, USSR Comp. Math. Math. Phys. 12 (1972) 57-67; geometry of this figure",
    bad: framed!(
        "(20, 900) to (880, 900) mm  (700, 0) to (700, 990) mm",
        "pivot (300, 900) mm  tip (690, 900) mm  mount behind  bushing nylon length 12 mm"
    ),
    good: framed!(
        "(20, 900) to (880, 900) mm  (700, 0) to (700, 990) mm",
        "pivot (300, 900) mm  tip (690, 900) mm  mount behind"
    ),
};

/// Two moving parts share a place.
pub static PARTS_CLASH: Code = Code {
    word: "parts-clash",
    severity: Severity::Warning,
    title: "two moving parts come to one place in one depth",
    explanation: "Two motors that are not locked to each other drift: whatever their limbs can both reach they will \
                  reach together one evening, so the ways of both are compared as wholes. Parts of one shaft are \
                  compared where that shaft brings them together. Which depth each lies in is taken from the usual \
                  spacers: put one of them a sheet and a washer further out, or keep their ways apart.",
    formula: "least distance over both coordinates, or over the shared shaft's; nothing deeper than 0.05 mm is missed",
    source: "S. A. Piyavskii, USSR Comp. Math. Math. Phys. 12 (1972) 57-67; depths: common practice, no source",
    bad: "use parts\nfigure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
          limb a { pivot (200, 600) mm  tip (460, 600) mm  drive servo { motor servo-standard at (200, 600) mm }\n    \
          gesture look { sweep -20 deg to 20 deg  cycle 2 s } }\n  \
          limb b { pivot (700, 600) mm  tip (440, 600) mm  drive servo { motor servo-standard at (700, 600) mm }\n    \
          gesture look { sweep 160 deg to 200 deg  cycle 2 s } }\n}\n",
    good: "use parts\nfigure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
           limb a { pivot (100, 600) mm  tip (360, 600) mm  drive servo { motor servo-standard at (100, 600) mm }\n    \
           gesture look { sweep -20 deg to 20 deg  cycle 2 s } }\n  \
           limb b { pivot (800, 600) mm  tip (540, 600) mm  drive servo { motor servo-standard at (800, 600) mm }\n    \
           gesture look { sweep 160 deg to 200 deg  cycle 2 s } }\n}\n",
};

/// Two locked limbs that meet when one is late.
pub static CLASH_IF_LATE: Code = Code {
    word: "clash-if-late",
    severity: Severity::Advice,
    title: "two limbs can meet if one of them is late",
    explanation: "Both motors have an index switch and are kept in step, so their limbs need not meet; but their ways \
                  cross, and a slipped crank or a missed pulse brings them together. Keep the ways apart, or put one \
                  limb a sheet and a washer further out.",
    formula: "as parts-clash, over both coordinates",
    source: "common practice, no source",
    bad: "use parts\nmotor turner { kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  switch index }\n\
          figure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
          limb a { pivot (250, 600) mm  tip (550, 600) mm  drive spin { motor turner at (250, 600) mm }\n    \
          gesture round { spin 1 turn per 4 s } }\n  \
          limb b { pivot (650, 600) mm  tip (350, 600) mm  drive spin { motor turner at (650, 600) mm }\n    \
          gesture round { spin 1 turn per 4 s } }\n}\n",
    good: "use parts\nmotor turner { kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  switch index }\n\
           figure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
           limb a { pivot (200, 600) mm  tip (400, 600) mm  drive spin { motor turner at (200, 600) mm }\n    \
           gesture round { spin 1 turn per 4 s } }\n  \
           limb b { pivot (700, 600) mm  tip (500, 600) mm  drive spin { motor turner at (700, 600) mm }\n    \
           gesture round { spin 1 turn per 4 s } }\n}\n",
};

/// A rod passes over a bolt or a shaft.
pub static ROD_OVER_BOLT: Code = Code {
    word: "rod-over-bolt",
    severity: Severity::Warning,
    title: "a rod crosses the end of a bolt or of another motor's shaft",
    explanation: "Behind the lever a limb's bolt stands out with its nuts, and the rod runs in that depth. Bend the rod \
                  round it, cut the bolt shorter, or move the pins so that the rod passes beside it.",
    formula: "distance of the rod's middle line from the bolt >= half the rod (4 mm) + half the nut (M8: 15 mm across \
              the corners) + 1.3 mm",
    source: "nut sizes: ISO 4032; rod M8: common practice, no source",
    bad: framed!(
        "(20, 900) to (880, 900) mm  (300, 0) to (300, 990) mm",
        "pivot (250, 760) mm  tip (150, 760) mm\n  }\n  limb bough {\n    pivot (300, 900) mm  tip (690, 900) mm"
    ),
    good: framed!(
        "(20, 900) to (880, 900) mm  (300, 0) to (300, 990) mm",
        "pivot (300, 900) mm  tip (690, 900) mm"
    ),
};

/// Two motors share a place.
pub static MOTOR_CLASH: Code = Code {
    word: "motor-clash",
    severity: Severity::Warning,
    title: "the bodies of two motors share a place",
    explanation: "Both bodies are taken to lie about their shafts as wide and high as their data say, one depth behind \
                  their cranks. Turn one of them, set them apart, or let one motor move both limbs.",
    formula: "distance of both bodies > 0",
    source: "geometry of this figure; the shaft in the middle of the body: common practice, no source",
    bad: "use parts\nfigure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
          limb a { pivot (300, 900) mm  tip (300, 1150) mm\n    drive four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n    \
          gesture wave { sweep 68 deg to 112 deg  cycle 3 s } }\n  \
          limb b { pivot (600, 900) mm  tip (600, 1150) mm\n    drive four-bar { motor wiper at (380, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n    \
          gesture wave { sweep 68 deg to 112 deg  cycle 3 s } }\n}\n",
    good: "use parts\nfigure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
           limb a { pivot (300, 900) mm  tip (300, 1150) mm\n    drive four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n    \
           gesture wave { sweep 68 deg to 112 deg  cycle 3 s } }\n  \
           limb b { pivot (600, 900) mm  tip (600, 1150) mm\n    drive four-bar { motor wiper at (600, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n    \
           gesture wave { sweep 68 deg to 112 deg  cycle 3 s } }\n}\n",
};

/// A motor hangs on the sheet alone.
pub static MOTOR_UNBACKED: Code = Code {
    word: "motor-unbacked",
    severity: Severity::Warning,
    title: "no member of the frame is behind a motor",
    explanation: "The motor's body reaches no member of the frame: its bolts would hold in the sheet alone, which bends \
                  with every turn and tears in a jam. Of a motor with `mounting-holes` each screw is asked for wood, \
                  unless it is screwed to a `plate`. Move a member behind it, or lay a piece of wood across two.",
    formula: "the body, as wide as its longer side, reaches a member; each mounting hole lies inside the members, to 1 mm",
    source: "common practice, no source",
    bad: framed!(
        "(20, 900) to (880, 900) mm  (700, 0) to (700, 990) mm",
        "pivot (300, 900) mm  tip (690, 900) mm"
    ),
    good: framed!(
        "(20, 900) to (880, 900) mm  (300, 0) to (300, 990) mm",
        "pivot (300, 900) mm  tip (690, 900) mm"
    ),
};

/// A pivot hangs in the sheet alone.
pub static PIVOT_UNBACKED: Code = Code {
    word: "pivot-unbacked",
    severity: Severity::Warning,
    title: "no member of the frame is behind a pivot",
    explanation: "A limb's bolt turns in a bushing through board and frame. Here the frame does not hold it, or the hole \
                  is so near to the member's edge that it splits: three bolt diameters of wood are wanted about the \
                  bolt's middle. Move the member or the pivot, or lay a doubler behind it.",
    formula: "a disc of 3 bolt diameters about the pivot lies inside the members, to 1 mm",
    source: "common practice, no source",
    bad: framed!(
        "(20, 700) to (880, 700) mm  (300, 0) to (300, 720) mm",
        "pivot (300, 900) mm  tip (690, 900) mm"
    ),
    good: framed!(
        "(20, 900) to (880, 900) mm  (300, 0) to (300, 990) mm",
        "pivot (300, 900) mm  tip (690, 900) mm"
    ),
};

/// A motor is seen beside the board.
pub static MOTOR_SHOWS: Code = Code {
    word: "motor-shows",
    severity: Severity::Advice,
    title: "a motor comes out from behind the board",
    explanation: "Seen from the front, the motor's body reaches beyond the board's edge. Move it inwards, turn it, or \
                  paint it.",
    formula: "corners of the body outside the board's outline",
    source: "geometry of this figure",
    bad: "use parts\nfigure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
          limb a { pivot (100, 900) mm  tip (100, 1150) mm\n    drive four-bar { motor wiper at (40, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n    \
          gesture wave { sweep 68 deg to 112 deg  cycle 3 s } }\n}\n",
    good: "use parts\nfigure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
           limb a { pivot (100, 900) mm  tip (100, 1150) mm\n    drive four-bar { motor wiper at (100, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n    \
           gesture wave { sweep 68 deg to 112 deg  cycle 3 s } }\n}\n",
};

/// Something is to be fastened where no board is.
pub static NOTHING_HOLDS: Code = Code {
    word: "nothing-holds",
    severity: Severity::Warning,
    title: "a pivot, motor, anchor or guide of a cord lies beside the board",
    explanation: "What a limb turns on, what moves it and what its ram or cord is fastened to need board or frame behind \
                  them, and here is neither. Mostly a number is mistyped, in the wrong unit, or measured from another \
                  corner: places count from the board's lower left corner, seen from the front. A post beside the \
                  board is drawn as a member of the frame.",
    formula: "the place lies outside the board's outline by more than 0.5 mm, and on no member of the frame",
    source: "geometry of this figure",
    bad: "use parts\nfigure gate {\n  board plywood-9 600 mm by 900 mm\n  limb arm {\n    pivot (640, 700) mm  tip (860, 700) mm\n    \
          drive servo { motor servo-standard }\n    gesture lift { sweep -30 deg to 30 deg  cycle 4 s } }\n}\n",
    good: "use parts\nfigure gate {\n  board plywood-9 600 mm by 900 mm\n  limb arm {\n    pivot (540, 700) mm  tip (760, 700) mm\n    \
           drive servo { motor servo-standard }\n    gesture lift { sweep -30 deg to 30 deg  cycle 4 s } }\n}\n",
};

/// The hidden end of a limb is seen.
pub static TAIL_SHOWS: Code = Code {
    word: "tail-shows",
    severity: Severity::Advice,
    title: "the tail of a limb comes out from behind the board",
    explanation: "A limb behind the board has a tail beyond its pivot that takes the rod and is meant to be hidden. \
                  Somewhere on its way it comes out beyond the board's edge. Cut it shorter, take a hole nearer to the \
                  pivot, or move the pivot inwards.",
    formula: "largest distance of the tail's corners outside the board's outline, over the whole way",
    source: "geometry of this figure",
    bad: "use parts\nfigure bird {\n  board plywood-9 300 mm by 900 mm\n  \
          limb wing { pivot (150, 700) mm  tip (-250, 700) mm  mount behind  length 400 mm  width 100 mm  tail 190 mm\n    \
          drive servo { motor servo-standard at (210, 700) mm  crank 20 mm  rod 60 mm  tail-hole 20 mm at 90 deg }\n    \
          gesture flap { sweep 170 deg to 190 deg  cycle 2 s } }\n}\n",
    good: "use parts\nfigure bird {\n  board plywood-9 300 mm by 900 mm\n  \
           limb wing { pivot (150, 700) mm  tip (-250, 700) mm  mount behind  length 400 mm  width 100 mm  tail 90 mm\n    \
           drive servo { motor servo-standard at (210, 700) mm  crank 20 mm  rod 60 mm  tail-hole 20 mm at 90 deg }\n    \
           gesture flap { sweep 170 deg to 190 deg  cycle 2 s } }\n}\n",
};

/// Rod, lever or crank is seen.
pub static ROD_SHOWS: Code = Code {
    word: "rod-shows",
    severity: Severity::Advice,
    title: "a rod, lever or crank comes out from behind the board",
    explanation: "Seen from the front, a part that is meant to be hidden comes out beyond the board's edge somewhere on \
                  its way. Clamp the lever at another angle, build the linkage crossed instead of open, or take a \
                  smaller crank.",
    formula: "largest distance of the bar outside the board's outline, over the whole way",
    source: "geometry of this figure",
    bad: "use parts\nfigure narrow {\n  board plywood-9 300 mm by 1200 mm\n  limb arm {\n    pivot (250, 900) mm  tip (600, 900) mm\n    \
          drive four-bar { motor wiper at (250, 600) mm  crank 30 mm  rod 300 mm  lever 90 mm at 0 deg }\n    \
          gesture wave { sweep -22 deg to 18 deg within 10 deg  cycle 3 s } }\n}\n",
    good: "use parts\nfigure narrow {\n  board plywood-9 300 mm by 1200 mm\n  limb arm {\n    pivot (150, 900) mm  tip (600, 900) mm\n    \
           drive four-bar { motor wiper at (150, 600) mm  crank 30 mm  rod 300 mm  lever 90 mm at 0 deg }\n    \
           gesture wave { sweep -22 deg to 18 deg within 10 deg  cycle 3 s } }\n}\n",
};

/// A limb leaves the board.
pub static GAP_OPENS: Code = Code {
    word: "gap-opens",
    severity: Severity::Advice,
    title: "a gap opens between the board and a limb behind it",
    explanation: "A limb behind the board comes out so far that nothing of it is behind the board any more: people see \
                  daylight between the two, and the figure seems to fall apart. Lengthen the limb inwards, or let it \
                  move less far.",
    formula: "largest distance of limb and board, over the whole way, above 0",
    source: "geometry of this figure",
    bad: "use parts\nfigure box {\n  board plywood-9 600 mm by 600 mm\n  limb lid {\n    slide from (300, 340) mm to (300, 460) mm\n    \
           mount behind  weighed 0.4 kg  sheet plywood-6  outline (250, 520) (350, 520) (350, 640) (250, 640) mm\n    \
           drive scotch-yoke { motor wiper at (300, 400) mm  crank ? 30 to 60 mm by 10 mm }\n    gesture pump { stroke 20 mm to 100 mm  cycle 2.1 s } }\n}\n",
    good: "use parts\nfigure box {\n  board plywood-9 600 mm by 600 mm\n  limb lid {\n    slide from (300, 340) mm to (300, 460) mm\n    \
           mount behind  weighed 0.4 kg  sheet plywood-6  outline (250, 340) (350, 340) (350, 640) (250, 640) mm\n    \
           drive scotch-yoke { motor wiper at (300, 400) mm  crank ? 30 to 60 mm by 10 mm }\n    gesture pump { stroke 20 mm to 100 mm  cycle 2.1 s } }\n}\n",
};

/// Two figures share a place on the ground.
pub static FIGURES_OVERLAP: Code = Code {
    word: "figures-overlap",
    severity: Severity::Error,
    title: "two figures stand in one place",
    explanation: "Seen from above, the boards of two figures, with their frames, share a place on the ground. Move one of \
                  them. That the reach of their limbs does not meet is looked at too, as a warning: limbs of two figures \
                  are never in step.",
    formula: "distance of both footprints > 0: board and frame; then the strip its limbs sweep before and behind it",
    source: "geometry of this yard",
    bad: two!("(5 m, 4 m) facing south", "(5.3 m, 4 m) facing south"),
    good: two!("(5 m, 4 m) facing south", "(7 m, 4 m) facing south"),
};

/// A figure nobody sees.
pub static FIGURE_HIDDEN: Code = Code {
    word: "figure-hidden",
    severity: Severity::Advice,
    title: "most of a figure is hidden behind others",
    explanation: "From places all along the viewers' side, eyes 1.6 m above the ground, most of this figure is behind \
                  others. Set it to the side or nearer to the people, or lift it.",
    formula: "mean over 9 places on the viewers' side of the share of its board that other boards cover, above 60 %",
    source: "common practice, no source",
    bad: two!("(5 m, 4 m) facing south", "(5.15 m, 4.05 m) facing south"),
    good: two!("(5 m, 4 m) facing south", "(8 m, 4.3 m) facing south"),
};

/// A figure falls on people.
pub static FALLS_INTO_PEOPLE: Code = Code {
    word: "falls-into-people",
    severity: Severity::Warning,
    title: "a figure that falls over reaches the people",
    explanation: "Boards fall forwards or backwards. This one is taller than it stands away from the line people are kept \
                  behind, so that its top falls beyond it. Set it further back, or keep people further away. Stakes and \
                  guys make a fall less likely; they do not change where it lands.",
    formula: "height x cosine of the angle between its facing and the viewers' side <= distance from the kept line",
    source: "geometry of this yard",
    bad: "use parts\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nfigure tall { board plywood-9 600 mm by 2400 mm }\nset tall at (5 m, 3.5 m) facing south\n",
    good: "use parts\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nfigure tall { board plywood-9 600 mm by 2400 mm }\nset tall at (5 m, 4.5 m) facing south\n",
};

/// A limb reaches over the line.
pub static REACHES_PEOPLE: Code = Code {
    word: "reaches-people",
    severity: Severity::Error,
    title: "a limb reaches over the line people are kept behind",
    explanation: "The strip that a limb sweeps, seen from above, comes nearer to the viewers' side than is kept free. \
                  Move the figure back or turn it.",
    formula: "distance of every corner of the swept strip from the viewers' side >= keep",
    source: "geometry of this yard",
    bad: "use parts\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nfigure pole {\n  board plywood-9 300 mm by 900 mm\n  \
          limb arm { pivot (150, 700) mm  tip (950, 700) mm  sheet corrugated-4  width 30 mm  drive servo { motor servo-standard at (150, 700) mm }\n    \
          gesture look { sweep 0 deg to 30 deg  cycle 2 s } }\n}\nset pole at (5 m, 2.3 m) facing west\n",
    good: "use parts\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nfigure pole {\n  board plywood-9 300 mm by 900 mm\n  \
           limb arm { pivot (150, 700) mm  tip (950, 700) mm  sheet corrugated-4  width 30 mm  drive servo { motor servo-standard at (150, 700) mm }\n    \
           gesture look { sweep 0 deg to 30 deg  cycle 2 s } }\n}\nset pole at (5 m, 4.3 m) facing west\n",
};

/// A supply under a figure.
pub static SUPPLY_IN_FIGURE: Code = Code {
    word: "supply-in-figure",
    severity: Severity::Warning,
    title: "a supply stands where a figure stands",
    explanation: "Seen from above, the supply lies inside the board and frame of a figure. Set it behind the figure, \
                  where it can be reached and gets air.",
    formula: "the supply's place outside every footprint",
    source: "geometry of this yard",
    bad: two!("(5 m, 4 m) facing south", "(17.1 m, 9.004 m) facing north"),
    good: two!("(5 m, 4 m) facing south", "(14 m, 9 m) facing south"),
};

/// A bolt that does not reach.
pub static SHAFT_TOO_SHORT: Code = Code {
    word: "shaft-too-short",
    severity: Severity::Warning,
    title: "a limb's bolt or a motor's shaft is too short for all that lies on it",
    explanation: "Washer, limb, board, frame, lever and two nuts lie on one bolt, one behind the other; plate, washer, \
                  crank and a nut before a motor's face lie on its shaft. The bolt or shaft that was written ends \
                  before the last nut, so that it cannot be locked, or not put on at all. Take a longer one, or let \
                  it go through less wood.",
    formula: "bolt: length under the head >= washer + limb + spacers + board and frame + lever + wheel + two nuts + two \
              threads, as the parts lie in depth; shaft: what stands out of the motor's face >= plate + washer + what \
              sits on it + a nut, or board and frame + gap + limb + a nut",
    source: "geometry of this figure; washer of 1.6 mm and nuts: ISO 7089 and ISO 4032 (from memory); spacers, \
             lever, crank and the nut M8 on a shaft: common practice, no source",
    bad: framed!(
        "(20, 900) to (880, 900) mm",
        "pivot (300, 900) mm  tip (690, 900) mm  sheet plywood-6  bolt M8 length 60 mm"
    ),
    good: framed!(
        "(20, 900) to (880, 900) mm",
        "pivot (300, 900) mm  tip (690, 900) mm  sheet plywood-6  bolt M8 length 110 mm"
    ),
};

/// All of them.
pub static ALL: &[&Code] = &[
    &LIMB_HITS_FRAME,
    &PARTS_CLASH,
    &CLASH_IF_LATE,
    &ROD_OVER_BOLT,
    &MOTOR_CLASH,
    &MOTOR_UNBACKED,
    &PIVOT_UNBACKED,
    &NOTHING_HOLDS,
    &MOTOR_SHOWS,
    &TAIL_SHOWS,
    &ROD_SHOWS,
    &GAP_OPENS,
    &FIGURES_OVERLAP,
    &FIGURE_HIDDEN,
    &FALLS_INTO_PEOPLE,
    &REACHES_PEOPLE,
    &SUPPLY_IN_FIGURE,
    &SHAFT_TOO_SHORT,
    &super::codes_stops::STOPS_NEAR,
];

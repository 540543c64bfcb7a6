//! What can be wrong with a limb that slides, or with a pin in a slot.

use crate::finding::{Code, Severity};

/// An arm with a slot over its motor.
macro_rules! slot {
    ($drive:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure pump {\n  board plywood-9 600 mm by 900 mm\n",
            "  limb arm {\n    pivot (300, 500) mm  tip (600, 500) mm\n    drive slotted-arm { ",
            $drive,
            " }\n    gesture wave { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// Wraps the clauses of a built arm into the smallest file.
macro_rules! built {
    ($drive:literal, $measured:literal) => {
        concat!(
            "use parts\nfigure sample {\n  board plywood-9 700 mm by 1500 mm\n  limb arm {\n",
            "    pivot (300, 900) mm  tip (700, 900) mm\n    drive ",
            $drive,
            "\n    ",
            $measured,
            "\n    gesture wave { sweep 0 deg to 39 deg within 4 deg  cycle 3 s }\n  }\n}\n"
        )
    };
}

/// The finished limb moves otherwise than drawn.
pub static BUILT_OTHERWISE: Code = Code {
    word: "built-otherwise",
    severity: Severity::Advice,
    title: "the finished limb moves otherwise than it was drawn",
    explanation: "What was measured does not come from the sizes in the file. The smallest change of one size \
                  that gives it was looked for, then of one length together with the clamp; the message says \
                  which, and what else it could be. Two numbers can always be met by two sizes, so where one alone \
                  comes as near as anybody reads, it is that one. Every single size and place that meets the reading is named, \
                  the likeliest few in words and all of them by `--format json`; \
                  of one that does at two lengths both are, and where the limb must be stopped to tell them apart. \
                  A slot or a guide is not said to lean by more than 30 deg from the drawing (but straight, or the \
                  other way round), nor a clamp to sit more than 45 deg from it. Everything else is computed for the limb as built. A limb \
                  on a servo is measured with its pulses at both ends, one on a ram or a cylinder drawn in and pushed \
                  out. Measure the size that is named and write it down, or drill it again.",
    formula: "least change (in units of 1 mm or, for a clamp, 3 deg) among those that leave both ends within 1 deg \
              or 1 mm of a stroke, or tip to tip within 2 mm; what is written with decimals, within its last place, \
              or where one size does it alone, within a fifth of those",
    source: "method of Levenberg and Marquardt, D. W. Marquardt, J. SIAM 11 (1963) 431-441; what can be read, and \
             how far an angle is from the drawing: common practice, no source",
    bad: built!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
        "measured -1 deg to 42 deg"
    ),
    good: built!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
        "measured 0 deg to 39 deg"
    ),
};

/// No open place of a motor works.
pub static NO_PLACE: Code = Code {
    word: "no-place-fits",
    severity: Severity::Error,
    title: "nowhere in the place left open do the limbs move as asked",
    explanation: "The motor, or the anchor of a ram or of a second rod, was tried on a net of places over the \
                  rectangle, round the point, along the line or along the frame that the `?` leaves open, with \
                  every open size found anew each time. At none of them do all limbs that hang on it come out \
                  without an error. The message says what is wrong at the middle; a place beside it that is \
                  named was computed and works.",
    formula: "a place fits when every limb that hangs on it moves as asked from there; of those the largest worst push up to 60 deg, then the shortest rod",
    source: "search on a net that is narrowed to a pencil mark; not proved to find the best there is",
    bad: slot!(
        "motor wiper at ? near (300, 380) mm within 20 mm  crank ? 10 to 20 mm by 10 mm  slot at ?",
        "sweep -60 deg to 60 deg  cycle 3 s"
    ),
    good: slot!(
        "motor wiper at ? near (300, 400) mm within 60 mm  crank ? 30 to 60 mm by 10 mm  slot at ?",
        "sweep -24 deg to 24 deg  cycle 3 s"
    ),
};

/// Nothing explains a measurement.
pub static MEASURED_UNEXPLAINED: Code = Code {
    word: "measured-unexplained",
    severity: Severity::Warning,
    title: "no single size explains what was measured",
    explanation: "No change of one size, nor of one length with the clamp, gives the motion that was measured. \
                  Measure again, with the crank turned by hand, the servo sent to both ends of its pulses, the ram drawn \
                  in and pushed out; look for play in the pins, a bent rod, or a pivot \
                  that is not where it was drawn.",
    formula: "both ends within 1 deg, or tip to tip within 2 mm (with decimals: within the last place), for one \
              size or one length with the clamp",
    source: "common practice, no source",
    bad: built!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
        "measured -80 deg to 99 deg"
    ),
    good: built!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
        "measured 0 deg to 39 deg"
    ),
};

/// Two measurements contradict each other.
pub static MEASURED_TWICE: Code = Code {
    word: "measured-twice",
    severity: Severity::Warning,
    title: "two measurements of one motion contradict each other",
    explanation: "The ends of a swing say how far apart the tip stands at them, and that was measured too: the two \
                  numbers differ by more than a protractor and a tape can be read wrong. One of them is a slip, and \
                  which nobody can tell from here. Measure both again.",
    formula: "|tip to tip - 2 r sin(swing/2)| <= what can be read: 1 deg at each end and 2 mm (with decimals: the last \
              place); r from pivot to tip",
    source: "chord of a circle; what can be read: common practice, no source",
    bad: built!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
        "measured 0 deg to 39 deg tip-to-tip 369 mm"
    ),
    good: built!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
        "measured 0 deg to 39 deg tip-to-tip 267 mm"
    ),
};

/// A measurement that no swing of the limb makes.
pub static MEASURED_TOO_FAR: Code = Code {
    word: "measured-too-far",
    severity: Severity::Error,
    title: "the tip cannot stand so far from itself",
    explanation: "A limb that turns about its bolt carries its tip round a circle. The farthest that two places on it \
                  are apart is straight across the bolt: twice the way from the pivot to the tip. What was measured is \
                  more, so it is another length, or a slip of the pen, or the tip stands elsewhere than drawn.",
    formula: "tip to tip <= 2 r + what can be read: 2 mm (with decimals: the last place); r from pivot to tip",
    source: "no chord of a circle is longer than its diameter (Euclid, Elements III, 15); what can be read: common \
             practice, no source",
    bad: built!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
        "measured tip-to-tip 2000 mm"
    ),
    good: built!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
        "measured tip-to-tip 267 mm"
    ),
};

/// A limb on an upright guide over its motor.
macro_rules! lift {
    ($guide:literal, $drive:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure pump {\n  board plywood-9 600 mm by 900 mm\n",
            "  motor crank wiper at (300, 300) mm\n  limb bow {\n    slide ",
            $guide,
            "\n    drive ",
            $drive,
            "\n    gesture saw { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// It slides, but not as asked.
pub static STROKE_MISSED: Code = Code {
    word: "stroke-missed",
    severity: Severity::Error,
    title: "the limb does not slide between the places asked for",
    explanation: "Crank and rod fix how far the limb slides and where. In line, the stroke is twice the crank; the \
                  rod only moves it along. Change the crank for the length of the stroke, the rod or the motor's \
                  place for where it lies, or leave them open with `?`.",
    formula: "ends = sqrt((rod +- crank)^2 - offset^2) from the shaft's foot on the guide; both ends and the stroke \
              within the tolerance",
    source: "offset slider-crank, e.g. R. L. Norton, Design of Machinery, ch. 4; tolerance: definition of this language",
    bad: lift!(
        "from (300, 440) mm to (300, 700) mm",
        "slider-crank { motor crank  crank 40 mm  rod 200 mm }",
        "stroke 20 mm to 60 mm  cycle 3 s"
    ),
    good: lift!(
        "from (300, 440) mm to (300, 700) mm",
        "slider-crank { motor crank  crank 40 mm  rod 200 mm }",
        "stroke 20 mm to 100 mm  cycle 3 s"
    ),
};

/// The rod pushes across the guide.
pub static PUSHED_SIDEWAYS: Code = Code {
    word: "pushed-sideways",
    severity: Severity::Warning,
    title: "the limb is pushed more across its guide than along it",
    explanation: "A slanting rod, or a slanting slot, presses the limb against the side of its guide. Above 30 deg \
                  a plain guide wears and squeaks, above 45 deg it can jam like a drawer. A longer rod, a shorter \
                  crank, or a motor nearer to the guide's own line helps.",
    formula: "slider-crank: sin(lean) = (crank + |offset|)/rod; Scotch yoke: lean = tilt of the slot",
    source: "pressure angle of a slider; limits 30 and 45 deg: common practice, no source",
    bad: lift!(
        "from (300, 330) mm to (300, 500) mm",
        "slider-crank { motor crank  crank 40 mm  rod 70 mm }",
        "stroke 0 mm to 80 mm  cycle 3 s"
    ),
    good: lift!(
        "from (300, 460) mm to (300, 620) mm",
        "slider-crank { motor crank  crank 40 mm  rod 200 mm }",
        "stroke 0 mm to 80 mm  cycle 3 s"
    ),
};

/// The stroke goes beyond the guide.
pub static LEAVES_GUIDE: Code = Code {
    word: "leaves-guide",
    severity: Severity::Error,
    title: "the limb slides out of its guide",
    explanation: "The guide was drawn from one point to another, and the crank takes the limb beyond one of them. \
                  Draw the guide longer, move the motor along it, or change the rod.",
    formula: "0 <= lowest place, highest place <= length of the guide",
    source: "geometry of this figure",
    bad: lift!(
        "from (300, 480) mm to (300, 620) mm",
        "slider-crank { motor crank  crank 40 mm  rod 200 mm }",
        "stroke -20 mm to 60 mm  cycle 3 s"
    ),
    good: lift!(
        "from (300, 440) mm to (300, 620) mm",
        "slider-crank { motor crank  crank 40 mm  rod 200 mm }",
        "stroke 20 mm to 100 mm  cycle 3 s"
    ),
};

/// The crank pin runs into the limb's bolt.
pub static PIN_HITS_BOLT: Code = Code {
    word: "pin-hits-bolt",
    severity: Severity::Error,
    title: "the crank pin runs into the limb's bolt",
    explanation: "Crank and slot lie in one plane with the limb's bolt or its nut, and the pin passes too near to it. \
                  Take a shorter crank, or move the motor away from the pivot.",
    formula: "distance - crank >= 10 mm nut + half the pin + 2 mm",
    source: "sizes of an M8 nut and an M6 pin: common practice, no source",
    bad: slot!(
        "motor wiper at (300, 400) mm  crank 90 mm  slot at 180 deg",
        "sweep 206 deg to 334 deg within 100 deg  cycle 3 s"
    ),
    good: slot!(
        "motor wiper at (300, 400) mm  crank 40 mm  slot at 270 deg",
        "sweep -24 deg to 24 deg  cycle 3 s"
    ),
};

/// The slot does not hold the pin's way.
pub static SLOT_TOO_SHORT: Code = Code {
    word: "slot-too-short",
    severity: Severity::Error,
    title: "the slot is shorter than the way of its pin",
    explanation: "The pin runs along the slot from the crank's nearest to its farthest place, with half a pin and \
                  2 mm more at either end. The message says from where to where to cut it.",
    formula: "length >= 2 crank + pin + 4 mm (slot through the pivot)",
    source: "geometry; 2 mm of play: common practice, no source",
    bad: slot!(
        "motor wiper at (300, 400) mm  crank 40 mm  slot 70 mm at 270 deg",
        "sweep -24 deg to 24 deg  cycle 3 s"
    ),
    good: slot!(
        "motor wiper at (300, 400) mm  crank 40 mm  slot 95 mm at 270 deg",
        "sweep -24 deg to 24 deg  cycle 3 s"
    ),
};

/// Crank pin in a limb's slot.
macro_rules! slotted {
    ($shape:literal) => {
        concat!(
            "use parts\nfigure sample {\n  board plywood-9 700 mm by 1500 mm\n  limb arm {\n",
            "    pivot (300, 900) mm  tip (600, 900) mm  mount behind\n",
            "    drive slotted-arm { motor wiper at (300, 800) mm  crank 40 mm  slot 95 mm at 270 deg }\n",
            "    gesture wave { sweep -23.5 deg to 23.5 deg  cycle 3 s  ",
            $shape,
            " }\n  }\n}\n"
        )
    };
}

/// One way takes longer than the other.
pub static RETURN_UNEVEN: Code = Code {
    word: "return-uneven",
    severity: Severity::Warning,
    title: "one way of the swing takes longer than the other, and even ways are asked for",
    explanation: "At an even speed of its shaft a crank may bring the limb over slowly and back quickly: a quick return. \
                  With `shape natural` or `prefer even` both ways are to take about as long, and an eye sees a \
                  seventh. Of a four-bar they do where the motor stands on the line through both end places of the \
                  lever's pin; of a slider-crank where the shaft stands on the line of its pin; of a slotted arm the \
                  swing alone decides it.",
    formula: "longer way / shorter way < 1.15; slotted arm (180 + swing)/(180 - swing), else the crank's angles \
              between the two ends",
    source: "time ratio, e.g. R. L. Norton, Design of Machinery, sec. 3.4 and 3.8; 1.15: common practice, no source",
    bad: slotted!("shape natural"),
    good: slotted!(""),
};

/// A rest where the limb never is.
pub static REST_MISSED: Code = Code {
    word: "rest-missed",
    severity: Severity::Error,
    title: "a limb is to rest where it never comes",
    explanation: "Where a limb rests between cues lies on its way: an angle between the ends of its swing, or a \
                  place between the ends of its stroke. Limbs on cranks rest best at an end, where the motor \
                  holds them with the least effort.",
    formula: "low - 2 deg <= rest <= high + 2 deg (2 mm on a guide), in the turn of the circle that comes nearest",
    source: "geometry; 2 deg and 2 mm: common practice, no source",
    bad: slot!(
        "motor wiper at (300, 400) mm  crank 40 mm  slot at 270 deg",
        "sweep -24 deg to 24 deg  cycle 3 s }  rest 90 deg  gesture off { off"
    ),
    good: slot!(
        "motor wiper at (300, 400) mm  crank 40 mm  slot at 270 deg",
        "sweep -24 deg to 24 deg  cycle 3 s }  rest 23 deg  gesture off { off"
    ),
};

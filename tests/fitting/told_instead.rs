//! What is told where nothing fits works when it is written down, as it is told.

use yardwright::finding::Severity;

use super::compile;

/// A yard in which nothing fits, with what may be exchanged in it.
struct Case {
    yard: &'static str,
    crank: &'static str,
    lever: &'static str,
    motor: &'static str,
    /// The clause of its motion, and its ends without their units.
    asked: &'static str,
    unit: &'static str,
}

const CASES: &[Case] = &[
    Case {
        yard: "figure f { board plywood-9 900 mm by 1200 mm\n limb bow { slide from (440, 600) mm to (560, 600) mm\n \
               drive slider-crank { motor wiper at (300, 620) mm  crank 37 mm  rod ? }\n \
               gesture fiddle { stroke 20 mm to 100 mm  cycle 2.1 s } } }",
        crank: "crank 37 mm",
        lever: "",
        motor: "(300, 620) mm",
        asked: "stroke 20 mm to 100 mm",
        unit: "mm",
    },
    Case {
        yard: "figure f { board plywood-9 900 mm by 1200 mm\n limb bow { slide from (440, 600) mm to (560, 600) mm\n \
               drive scotch-yoke { motor wiper at (511.3, 620) mm  crank ? 30 to 60 mm by 10 mm }\n \
               gesture fiddle { stroke 20 mm to 100 mm  cycle 2.1 s } } }",
        crank: "crank ? 30 to 60 mm by 10 mm",
        lever: "",
        motor: "(511.3, 620) mm",
        asked: "stroke 20 mm to 100 mm",
        unit: "mm",
    },
    Case {
        yard: "figure f { board plywood-9 600 mm by 900 mm\n limb arm { pivot (300, 500) mm  tip (600, 500) mm\n \
               drive slotted-arm { motor wiper at (280, 410) mm  crank 50 mm  slot at ? }\n \
               gesture wave { sweep -24 deg to 24 deg  cycle 3 s } } }",
        crank: "crank 50 mm",
        lever: "",
        motor: "(280, 410) mm",
        asked: "sweep -24 deg to 24 deg",
        unit: "deg",
    },
    Case {
        yard: "figure f { board plywood-9 620 mm by 1350 mm\n limb arm { pivot (150, 880) mm  tip (-250, 1150) mm\n \
               drive four-bar { motor wiper at (317, 803) mm  crank 40 mm  rod ?  lever 80 mm at ? }\n \
               gesture hit { sweep 121 deg to 165 deg within 1 deg  cycle 4 s } } }",
        crank: "crank 40 mm",
        lever: "lever 80 mm",
        motor: "(317, 803) mm",
        asked: "sweep 121 deg to 165 deg",
        unit: "deg",
    },
    // Only a much smaller crank swings so little: 13 mm, of 60 that are written.
    Case {
        yard: "figure f { board plywood-9 620 mm by 1350 mm\n limb arm { pivot (150, 880) mm  tip (-250, 1150) mm\n \
               drive four-bar { motor wiper at (310, 806) mm  crank 60 mm  rod ?  lever ? 70 to 80 mm by 10 mm at ? }\n \
               gesture hit { sweep 121 deg to 140 deg within 2 deg  cycle 4 s } } }",
        crank: "crank 60 mm",
        lever: "lever ? 70 to 80 mm by 10 mm",
        motor: "(310, 806) mm",
        asked: "sweep 121 deg to 140 deg",
        unit: "deg",
    },
    Case {
        yard: "figure f { board plywood-9 900 mm by 900 mm\n limb gate { pivot (200, 500) mm  tip (700, 500) mm\n \
               drive ram { motor ram-100  anchor (333, 277) mm  lever 140 mm at ? }\n \
               gesture open { sweep 0 deg to 60 deg } } }",
        crank: "",
        lever: "lever 140 mm",
        motor: "(333, 277) mm",
        asked: "sweep 0 deg to 60 deg",
        unit: "deg",
    },
    Case {
        yard: "figure f { board plywood-9 400 mm by 900 mm\n limb lid { pivot (200, 780) mm  tip (240, 780) mm\n \
               weighed 0.02 kg  balances 25 mm  friction 0.002 N.m\n \
               drive cord { motor wiper at (190, 600) mm  crank 20 mm  lever 17 mm at ?  guides (190, 760) mm  return spring 0.010 N.m }\n \
               gesture blink { sweep 10 deg to 60 deg within 1 deg  cycle 4 s } } }",
        crank: "crank 20 mm",
        lever: "lever 17 mm",
        motor: "(190, 600) mm",
        asked: "sweep 10 deg to 60 deg",
        unit: "deg",
    },
];

fn errors(text: &str) -> Vec<(&'static str, Option<String>)> {
    let all = compile(text).findings.into_iter().filter(|f| f.severity == Severity::Error);
    all.map(|f| (f.code.word, f.help)).collect()
}

/// The yard with one change put in as it was told.
fn changed(case: &Case, change: &str) -> String {
    let what = change.rfind(" (p").map_or(change, |at| &change[..at]);
    let put = |old: &str, new: String| {
        assert!(!old.is_empty() && case.yard.contains(old), "{change}");
        case.yard.replace(old, &new)
    };
    let after = |word: &str| what.strip_prefix(word);
    if let Some(hole) = after("a crank hole at ").or_else(|| after("a crank of ")) {
        return put(case.crank, format!("crank {hole}"));
    }
    if let Some(hole) = after("a lever hole at ") {
        return put(case.lever, format!("lever {hole}"));
    }
    if let Some(rod) = after("a rod of ") {
        return put("rod ?", format!("rod {rod}"));
    }
    if let Some(ends) = after("ask for ") {
        let (word, unit) = (case.asked.split(' ').next().unwrap(), case.unit);
        return put(
            case.asked,
            format!("{word} {}", ends.replace(" to ", &format!(" {unit} to "))),
        );
    }
    let at = after("the motor at ").or_else(|| after("the anchor at "));
    let at = at.unwrap_or_else(|| panic!("{change}"));
    let at = at.split(" mm").next().unwrap();
    put(case.motor, format!("{at} mm"))
}

#[test]
fn each_change_that_is_told_works() {
    for case in CASES {
        let said = errors(case.yard);
        assert_eq!(said.iter().map(|e| e.0).collect::<Vec<_>>(), ["nothing-fits"], "{}", case.yard);
        let help = said[0].1.as_deref().unwrap_or_else(|| panic!("{}", case.yard));
        let list = help.strip_prefix("any one of these works: ");
        let list =
            list.or_else(|| help.strip_prefix("this works: ")).unwrap_or_else(|| panic!("{help}"));
        for change in list.trim_end_matches('.').split("; ") {
            let text = changed(case, change);
            assert_eq!(errors(&text), [], "{change}: {text}");
        }
    }
}

//! What a help names works when it is written into the file: as it is told, rounded and
//! all, and put together as the file says.

use super::compile;

/// The help of the first finding of a code.
fn help(text: &str, code: &str) -> String {
    let compiled = compile(text);
    let found = compiled.findings.iter().find(|f| f.code.word == code);
    let found = found.unwrap_or_else(|| panic!("no {code}: {:?}", compiled.findings));
    found.help.clone().unwrap_or_else(|| panic!("no help: {}", found.message))
}

/// The numbers of a text, in order.
fn numbers(text: &str) -> Vec<f64> {
    let part = |c: char| !(c.is_ascii_digit() || c == '.' || c == '-');
    text.split(part).filter_map(|n| n.trim_end_matches('.').parse().ok()).collect()
}

#[track_caller]
fn without(text: &str, code: &str) {
    let compiled = compile(text);
    let left: Vec<_> = compiled.findings.iter().filter(|f| f.code.word == code).collect();
    assert!(left.is_empty(), "{text}\n{left:?}");
}

/// Two bars that are given whole, one of them put together as the file says.
#[test]
fn sizes_that_do_it_do_it_as_they_are_written() {
    let fox = |sizes: &str, sweep: &str| {
        format!(
            "figure fox {{ board plywood-9 700 mm by 1000 mm
  limb arm {{ pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar {{ motor wiper at (420, 500) mm  {sizes} }}
    gesture bow {{ sweep {sweep}  cycle 2.1 s }} }} }}"
        )
    };
    let heron = |sizes: &str, sweep: &str| {
        format!(
            "figure heron {{ board plywood-9 520 mm by 1400 mm
  limb wing {{ pivot (197, 820) mm  tip (-253, 820) mm  mount behind
    drive four-bar {{ motor wiper at (260, 570) mm  {sizes}  assembly crossed }}
    gesture flap {{ sweep {sweep}  cycle 2 s }} }} }}"
        )
    };
    type Yard<'a> = &'a dyn Fn(&str, &str) -> String;
    let bows = ["183 deg to 247 deg", "171 deg to 259 deg", "155 deg to 275 deg"];
    let flaps = ["160 deg to 200 deg", "147.5 deg to 212.5 deg", "125 deg to 235 deg"];
    let bar = "crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg";
    let tail = "crank 30 mm  rod 250 mm  lever 70 mm at 180 deg";
    let mut done = 0;
    for (yard, drawn, sweeps) in [(&fox as Yard<'_>, bar, bows), (&heron, tail, flaps)] {
        for sweep in sweeps {
            let told = help(&yard(drawn, sweep), "sweep-missed");
            if !told.ends_with("does it.") {
                assert!(told.starts_with("no sizes near these do it"), "{told}");
                continue;
            }
            let [crank, rod, lever, clamp] = numbers(&told)[..] else { panic!("{told}") };
            let sizes = format!("crank {crank} mm  rod {rod} mm  lever {lever} mm at {clamp} deg");
            without(&yard(&sizes, sweep), "sweep-missed");
            done += 1;
        }
    }
    assert!(done >= 4, "{done}");
}

#[test]
fn a_smaller_swing_that_fits_fits_as_it_is_written() {
    let baker = |sweep: &str| {
        format!(
            "figure baker {{ board plywood-9 27 in by 61 in
  limb arm {{ pivot (20, 44) in  tip (34, 52) in
    drive four-bar {{ motor wiper at (14, 30) in  crank ? 1/4 to 1/2 in by 1/4 in  rod ?  lever ? 4 to 5 in by 1/2 in at ? }}
    gesture stir {{ sweep {sweep}  cycle 2 s }} }} }}"
        )
    };
    for sweep in ["10 deg to 55 deg", "-35 deg to 100 deg", "2 deg to 41 deg"] {
        let told = help(&baker(sweep), "nothing-fits");
        let (_, asked) = told.split_once("ask for ").unwrap_or_else(|| panic!("{told}"));
        let [from, to, ..] = numbers(asked)[..] else { panic!("{told}") };
        without(&baker(&format!("{from} deg to {to} deg")), "nothing-fits");
    }
}

#[test]
fn no_motion_off_its_guide_or_without_extent_is_proposed() {
    let pump = "figure pump { board plywood-9 600 mm by 1000 mm
  limb handle { slide from (300, 340) mm to (300, 460) mm
    drive scotch-yoke { motor wiper at (300, 900) mm  crank ? 30 to 60 mm by 10 mm }
    gesture pump { stroke 20 mm to 100 mm  cycle 2.1 s } } }";
    assert!(!help(pump, "nothing-fits").contains("ask for"), "{}", help(pump, "nothing-fits"));
}

/// A gap of 15 mm is no help to a limb that bends by 48 mm.
#[test]
fn a_gap_that_is_proposed_is_wide_enough() {
    let bear = |gap: &str| {
        format!(
            "yard green {{ size 10 m by 8 m  viewers south  wind run 7 m/s stand 12 m/s  soil lawn }}
figure bear {{ board plywood-9 620 mm by 1350 mm
  frame 38 mm by 38 mm {{ (300, 0) to (300, 1300) mm }}
  limb arm {{ pivot (300, 900) mm  tip (700, 900) mm  bolt M8  bushing nylon  washer 30 mm  {gap}
    sheet corrugated-4  flutes along  width 85 mm  tail 60 mm
    drive four-bar {{ motor wiper at (300, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }}
    gesture wave {{ sweep 0 deg to 39 deg within 4 deg  cycle 3 s }} }} }}
set bear at (5 m, 4 m) facing south"
        )
    };
    let told = help(&bear(""), "limb-flops");
    let (_, gap) = told.split_once("(`gap ").unwrap_or_else(|| panic!("{told}"));
    let gap = numbers(gap)[0];
    assert!(gap < 60.0);
    without(&bear(&format!("gap {gap} mm")), "limb-flops");
}

/// Crank and slot that a slotted arm is told to take do it as they are written: in whole
/// degrees where that does, to a part of one where it takes that.
#[test]
fn a_slot_that_does_it_does_it_as_it_is_written() {
    let arm = |drive: &str, sweep: &str| {
        format!(
            "figure f {{ board plywood-9 700 mm by 1200 mm
  limb arm {{ pivot (300, 400) mm  tip (300, 1000) mm
    drive slotted-arm {{ motor wiper at (300, 800) mm  {drive} }}
    gesture wave {{ sweep {sweep}  cycle 3 s }} }} }}"
        )
    };
    for sweep in [
        "72.9 deg to 107.7 deg within 0.2 deg",
        "72.93 deg to 107.71 deg within 0.04 deg",
        "70 deg to 110 deg",
    ] {
        let told = help(&arm("crank 60 mm  slot at 20 deg", sweep), "sweep-missed");
        let [crank, slot] = numbers(&told)[..] else { panic!("{told}") };
        let sizes = format!("crank {crank} mm  slot at {slot} deg");
        without(&arm(&sizes, sweep), "sweep-missed");
    }
}

/// Of base circle, lever and clamp a cam is told which are to be left open, what they come to
/// then, and how squarely it pushes.
#[test]
fn a_cam_whose_sizes_do_not_go_together_is_told_which_would() {
    let head = |cam: &str, sweep: &str| {
        format!(
            "figure f {{ board plywood-9 600 mm by 900 mm
  limb head {{ pivot (420, 700) mm  tip (300, 760) mm  weighed 0.8 kg
    drive cam {{ motor wiper at (300, 700) mm  roller 8 mm  {cam} }}
    gesture nod {{ sweep {sweep}  cycle 4 s }} }} }}"
        )
    };
    let check = |cam: &str, sweep: &str, lever: &str, code: &str| {
        let told = help(&head(cam, sweep), code);
        assert!(told.contains("`base ?"), "{told}");
        let given = if told.contains("lever ?") { "?" } else { lever };
        let open = compile(&head(&format!("base ?  lever {given} at ?"), sweep));
        let Some(yardwright::fit::Fitted::Drive(found)) = &open.figures[0].limbs[0].mechanism
        else {
            panic!("{told}: {:?}", open.findings)
        };
        let all = numbers(&told);
        let (base, push) = (all[0], all[all.len() - 1]);
        assert_eq!(found.sizes[0].drilled, base, "{told}");
        assert!((90.0 - found.drilled.course.worst_push.0 - push).abs() <= 0.5, "{told}");
    };
    let sweep = "140 deg to 155 deg";
    check("base 25 mm  lever 40 mm at 40 deg", sweep, "40 mm", "cam-nothing-fits");
}

//! Holes near an edge, in limbs of every kind that carry their rod's pin in their own
//! sheet. Distances by hand: the pin stands so far from the end that the outline was
//! drawn there.

use super::compile;

/// What is said of a hole too near an edge in a figure whose limbs are these.
fn off_edge(limbs: &str) -> Vec<String> {
    let compiled = compile(&format!(
        "motor pusher {{ kind ram speed 0.01 m/s force 300 N length 200 to 240 mm }}
         figure f {{ board plywood-9 900 mm by 1400 mm {limbs} }}"
    ));
    let all = compiled.findings.iter().filter(|f| f.code.word == "pin-off-edge");
    all.map(|f| f.message.clone()).collect()
}

/// A limb behind the board whose sheet goes on behind the pivot for 70 mm and `edge`.
fn tailed(drive: &str, edge: f64) -> String {
    let end = 400.0 - 70.0 - edge;
    format!(
        "limb arm {{ pivot (400, 700) mm tip (700, 700) mm mount behind bolt M8 sheet plywood-6
           outline ({end}, 650) (700, 650) (700, 750) ({end}, 750) mm
           drive {drive} }}"
    )
}

#[test]
fn a_pin_at_the_end_of_a_tail_is_told_of_every_drive() {
    for drive in [
        "four-bar { motor wiper at (400, 400) mm limit 2 A crank 30 mm rod 293 mm lever 70 mm at 180 deg }",
        "servo { motor servo-standard at (400, 550) mm crank 25 mm rod 150 mm lever 70 mm at 180 deg }",
        "ram { motor pusher anchor (360, 490) mm lever 70 mm at 180 deg }",
        "cylinder { bore 20 mm stroke 40 mm anchor (360, 490) mm lever 70 mm at 180 deg length 200 to 240 mm }",
    ] {
        let near = off_edge(&tailed(drive, 2.0));
        assert!(
            near.iter().any(|m| m.contains("tail pin") && m.contains("has 2 mm")),
            "{drive}: {near:?}"
        );
        assert_eq!(off_edge(&tailed(drive, 40.0)), Vec::<String>::new(), "{drive}");
    }
}

#[test]
fn so_is_the_pin_of_a_limb_that_slides() {
    let slide = |edge: f64, drive: &str| {
        let (a, b) = (500.0 - edge, 740.0);
        off_edge(&format!(
            "limb bow {{ slide from (300, 500) mm to (300, 600) mm mount behind sheet plywood-6
               outline (240, {a}) (360, {a}) (360, {b}) (240, {b}) mm
               drive {drive} }}"
        ))
    };
    for drive in [
        "slider-crank { motor wiper at (300, 330) mm limit 2 A crank 30 mm rod 200 mm }",
        "ram { motor pusher anchor (300, 300) mm }",
    ] {
        let near = slide(2.0, drive);
        assert!(
            near.iter().any(|m| m.contains("driving pin") && m.contains("has 2 mm")),
            "{drive}: {near:?}"
        );
        assert_eq!(slide(50.0, drive), Vec::<String>::new(), "{drive}");
    }
}

/// The fox, whose upper arm pushes a rod pinned 2 mm from its side.
#[test]
fn so_is_the_pin_of_a_rod_to_another_limb() {
    let fox = |side: f64| {
        let (low, high) = (700.0 - 30.0 - side, 780.0);
        off_edge(&format!(
            "motor elbow wiper at (420, 500) mm limit 2 A
             limb upper {{ pivot (300, 700) mm tip (120, 700) mm sheet plywood-6
               outline (350, {low}) (350, {high}) (100, {high}) (100, {low}) mm
               drive four-bar {{ motor elbow crank 30 mm rod 217 mm lever 90 mm at 17.5 deg }} }}
             limb ear {{ pivot (250, 900) mm tip (250, 1000) mm
               drive four-bar from upper {{ anchor (220, 670) mm rod 240 mm lever 60 mm at 90 deg }} }}"
        ))
    };
    let near = fox(2.0);
    assert!(
        near.iter().any(|m| m.contains("another limb's rod") && m.contains("has 2 mm")),
        "{near:?}"
    );
    assert_eq!(fox(60.0), Vec::<String>::new());
}

/// EN 1995-1-1, table 8.4: seven diameters of plywood towards an end that is pulled at, 42 mm
/// for M6; across the limb three are enough.
#[test]
fn towards_an_end_that_is_pulled_at_seven_diameters_are_left() {
    let bow = |end: f64, sheet: &str| {
        let a = 500.0 - end;
        off_edge(&format!(
            "limb bow {{ slide from (300, 500) mm to (300, 600) mm mount behind sheet {sheet}
               outline (240, {a}) (360, {a}) (360, 740) (240, 740) mm
               drive slider-crank {{ motor wiper at (300, 330) mm limit 2 A crank 30 mm rod 200 mm }} }}"
        ))
    };
    let near = bow(41.0, "plywood-6");
    assert!(
        near.len() == 1 && near[0].contains("wants 42 mm to the end, and has 41 mm"),
        "{near:?}"
    );
    assert_eq!(bow(43.0, "plywood-6"), Vec::<String>::new());
    // No grain, no plug.
    assert_eq!(bow(41.0, "corrugated-4"), Vec::<String>::new());
    // A tail's rod pulls across it: three diameters, 18 mm.
    let tail = |edge| {
        off_edge(&tailed(
            "four-bar { motor wiper at (400, 400) mm limit 2 A crank 30 mm rod 293 mm lever 70 mm at 180 deg }",
            edge,
        ))
    };
    assert!(!tail(17.0).is_empty() && tail(19.0).is_empty());
}

/// Two rods on one pin: M6 root 4.917 mm, 11.67 mm3; the inner one, of the limb that stands
/// first in the file, as far from the crank as the only one, 12 mm; the outer one 12 + 10.
#[test]
fn rods_that_share_a_pin_stack_on_it() {
    let pin = |second: &str, limb: usize| {
        let compiled = compile(&format!(
            "figure f {{ board plywood-9 900 mm by 1400 mm motor drum wiper at (450, 600) mm limit 4 A
               limb left {{ pivot (300, 700) mm tip (100, 900) mm bolt M8 sheet plywood-6 weighed 0.2 kg
                 balances 100 mm inertia 0.003 kg.m2
                 drive four-bar {{ motor shared drum crank 30 mm rod ? lever 80 mm at ? }}
                 gesture hit {{ sweep 121 deg to 165 deg within 2 deg cycle 2 s }} }} {second} }}"
        ).replace("shared drum", "drum"));
        let loaded = super::limb(&compiled, limb);
        let told = loaded.assumed.iter().any(|n| n.what.contains("on the crank pin outside"));
        assert_eq!(told, limb > 0, "{:?}", loaded.assumed);
        let bends = loaded.grips.iter().find(|g| g.code.word == "pin-bends");
        let bends = bends.expect("it is checked");
        let input = |name: &str| bends.inputs.iter().find(|i| i.name == name).unwrap().value;
        let section = std::f64::consts::PI * libm::pow(4.917, 3.0) / 32.0;
        assert!((bends.calm - input("force") * input("reach") / section).abs() < 1e-9);
        input("reach")
    };
    let right = "limb right mirrors left about x 450 mm";
    assert_eq!([pin("", 0), pin(right, 0), pin(right, 1)], [12.0, 12.0, 22.0]);
}

#[test]
fn a_pivot_off_its_sheet_is_told_without_a_word_of_its_bolt() {
    let arm = |edge: f64| {
        let end = 400.0 - edge;
        compile(&format!(
            "figure f {{ board plywood-9 900 mm by 1400 mm
               limb arm {{ pivot (400, 700) mm tip (700, 700) mm sheet plywood-6
                 outline ({end}, 650) (700, 650) (700, 750) ({end}, 750) mm
                 drive four-bar {{ motor wiper at (400, 400) mm limit 2 A crank 30 mm rod 293 mm lever 70 mm at 180 deg }} }} }}"
        ))
    };
    let told = |edge: f64| {
        let compiled = arm(edge);
        let found = compiled.findings.iter().any(|f| f.code.word == "pin-off-edge");
        let notes = &super::limb(&compiled, 0).not_checked;
        (found, notes.iter().any(|n| n.what.contains("splits out") && n.settle == "bolt M8"))
    };
    // Outside the drawn sheet no bolt has a hole; inside, an M8 wants 24 mm of plywood, and
    // nobody said that it is one.
    assert_eq!(told(-8.0), (true, false));
    assert_eq!(told(2.0), (false, true));
    assert_eq!(told(30.0), (false, false));
}

#[test]
fn a_sheet_that_says_nothing_names_the_words_it_wants() {
    let settles = |sheet: &str| {
        let compiled = compile(&format!(
            "sheet felt {{ mass 1 kg/m2 }}
             figure f {{ board plywood-9 900 mm by 1400 mm
               limb arm {{ pivot (400, 700) mm tip (700, 700) mm bolt M8 sheet {sheet} width 80 mm
                 drive four-bar {{ motor wiper at (400, 400) mm limit 2 A crank 30 mm rod 293 mm lever 70 mm at 180 deg }} }} }}"
        ));
        let notes = &super::limb(&compiled, 0).not_checked;
        let all = notes.iter().map(|n| n.settle.clone()).filter(|s| s.starts_with("sheet felt"));
        all.collect::<Vec<_>>()
    };
    let words = ["thickness 6 mm", "material plywood", "crush 3 MPa", "tear 3 MPa"];
    let more = ["stiffness 6000 MPa", "bending 30 MPa"];
    let want: Vec<String> =
        words.iter().chain(&more).map(|w| format!("sheet felt {{ {w} }}")).collect();
    assert_eq!(settles("felt"), want);
    assert_eq!(settles("plywood-6"), Vec::<String>::new());
}

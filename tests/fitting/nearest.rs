//! Where nothing fits the nearest that does is named, of kinds for which one size alone
//! does not do it too: typed as it is told it ends the error.

use yardwright::check::Compiled;
use yardwright::finding::Severity;

use super::compile;

fn errors(compiled: &Compiled) -> Vec<&str> {
    let all = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
    all.map(|f| f.code.word).collect()
}

/// The help of the one error.
fn help(compiled: &Compiled, code: &str) -> String {
    assert_eq!(errors(compiled), [code]);
    let found = compiled.findings.iter().find(|f| f.code.word == code);
    found.and_then(|f| f.help.clone()).unwrap_or_else(|| panic!("{:?}", compiled.findings))
}

/// What stands between two words.
fn between<'h>(help: &'h str, from: &str, to: &str) -> &'h str {
    let (_, rest) = help.split_once(from).unwrap_or_else(|| panic!("no {from}: {help}"));
    rest.split_once(to).unwrap_or_else(|| panic!("no {to}: {help}")).0
}

/// 22 mm from the pivot every crank of the row drags its lever round.
#[test]
fn a_motor_too_near_the_pivot_is_told_where_it_works() {
    let arm = |motor: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 1400 mm by 1600 mm\n limb arm {{ pivot (300, 700) mm  tip (600, 700) mm\n \
             drive four-bar {{ motor wiper at {motor}  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 60 to 120 mm by 10 mm at ? }}\n \
             gesture g {{ sweep 10 deg to 55 deg  cycle 2 s }} }} }}"
        ))
    };
    let said = help(&arm("(280, 690) mm"), "nothing-fits");
    let place = between(&said, "the motor at ", " mm,");
    assert_eq!(errors(&arm(&format!("{place} mm"))), [""; 0], "{said}");
}

/// 110 deg on a lever of 15 mm want more cord than a horn of 8 mm draws in.
#[test]
fn a_horn_that_draws_in_too_little_is_told_a_horn_and_a_lever() {
    let lid = |horn: &str, lever: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 1400 mm by 1600 mm\n limb arm {{ pivot (200, 780) mm  tip (240, 780) mm\n \
             weighed 0.02 kg  balances 25 mm  friction 0.002 N.m\n \
             drive cord {{ motor servo-micro at (200, 740) mm  horn {horn}  lever {lever} at ?  guides (190, 760) mm\n \
             return spring 0.010 N.m }}\n rest 10 deg\n \
             gesture g {{ sweep 10 deg to 120 deg within 4 deg  cycle 1 s }} }} }}"
        ))
    };
    let said = help(&lid("? 5 to 8 mm by 1 mm", "15 mm"), "nothing-fits");
    let horn = format!("{} mm", between(&said, "a horn hole at ", " mm"));
    assert!(!errors(&lid(&horn, "15 mm")).contains(&"nothing-fits"), "{said}");
    let lever = format!("{} mm", between(&said, "a lever hole at ", " mm"));
    assert!(!errors(&lid("? 5 to 8 mm by 1 mm", &lever)).contains(&"nothing-fits"), "{said}");
}

/// A yoke's stroke is twice its crank, about its shaft: 10 to 90 mm of a guide that begins
/// at 340 mm want 40 mm at a height of 390 mm, which the place left open is far from.
#[test]
fn a_yoke_that_no_place_suits_is_told_its_crank_with_a_place() {
    let bow = |motor: &str, crank: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 900 mm by 1200 mm\n limb l {{ slide from (300, 340) mm to (300, 460) mm\n \
             drive scotch-yoke {{ motor wiper at {motor}  crank {crank} }}\n \
             gesture g {{ stroke 10 mm to 90 mm  cycle 3 s }} }} }}"
        ))
    };
    let said = help(&bow("? near (300, 600) mm within 50 mm", "60 mm"), "no-place-fits");
    assert!(said.starts_with("with crank 40 mm it works at "), "{said}");
    let place = between(&said, "it works at ", ".");
    assert_eq!(errors(&bow(place, "40 mm")), [""; 0], "{said}");
}

/// 17 deg of a stroke of 100 mm take a lever longer than any that was looked for, and with the
/// one of 132 mm the ram does not even reach: lever and anchor change together, and the one
/// lever is not told as a row of holes.
#[test]
fn a_ram_is_told_another_lever_with_another_anchor_where_neither_alone_does() {
    let gate = |anchor: &str, lever: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 1400 mm by 1600 mm\n limb l {{ pivot (600, 800) mm  tip (900, 800) mm\n \
             drive ram {{ motor ram-100  anchor {anchor}  length 152 to 252 mm  lever {lever} at ? }}\n \
             gesture g {{ sweep 42 deg to 59 deg  cycle 60 s }} }} }}"
        ))
    };
    let yard = gate("(711, 486) mm", "132 mm");
    let said = help(&yard, "nothing-fits");
    let message = &yard.findings.iter().find(|f| f.code.word == "nothing-fits").unwrap().message;
    assert!(
        message.contains("with a lever of 132 mm") && !message.contains("each hole"),
        "{message}"
    );
    let place = between(&said, "the anchor at ", " mm and");
    let lever = between(&said, "a lever hole at ", " mm");
    assert_eq!(errors(&gate(&format!("{place} mm"), &format!("{lever} mm"))), [""; 0], "{said}");
}

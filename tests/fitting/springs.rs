//! A spring of which it is not said how strong it is: asked for, and never taken for
//! the limb's own weight.

use super::compile;

/// What is noted as not checked, and as assumed, of a limb that a cord pulls.
fn notes(back: &str) -> (Vec<String>, Vec<String>) {
    let compiled = compile(&format!(
        "figure owl {{ board plywood-9 400 mm by 900 mm\n motor lids servo-micro at (200, 740) mm\n \
         limb lid {{ pivot (200, 780) mm  tip (240, 780) mm\n \
         weighed 0.02 kg  balances 25 mm  friction 0.002 N.m\n \
         drive cord {{ motor lids\n horn ?  lever 15 mm at ?  guides (190, 760) mm\n {back} }}\n rest 10 deg\n \
         gesture blink {{ sweep 10 deg to 60 deg within 4 deg  cycle 1 s }} }} }}"
    ));
    let limb = &compiled.figures[0].limbs[0];
    let words = |notes: &[yardwright::model::Note]| {
        notes.iter().map(|n| format!("{}: {}", n.what, n.settle)).collect()
    };
    (words(&limb.not_checked), words(&limb.assumed))
}

#[test]
fn a_spring_without_a_value_is_asked_for() {
    let asks = |notes: &[String]| notes.iter().any(|n| n.contains("how strong its spring is"));
    let (open, assumed) = notes("return spring");
    assert!(asks(&open), "{open:?}");
    assert!(open.iter().any(|n| n.ends_with("return spring 0.01 N.m")), "{open:?}");
    assert!(!assumed.iter().any(|n| n.contains("own weight")), "{assumed:?}");
    for known in ["return gravity", "return spring 0.05 N.m", ""] {
        assert!(!asks(&notes(known).0), "{known}");
    }
}

#[test]
fn a_cam_asks_for_its_spring_too() {
    let compiled = compile(
        "figure bear { board plywood-9 900 mm by 1500 mm\n limb hat {\n slide from (300, 500) mm to (300, 900) mm  weighed 0.4 kg\n \
         drive cam { motor wiper at (300, 400) mm  base ?  rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg  return spring }\n \
         gesture hop { stroke 100 mm to 140 mm  cycle 3 s } } }",
    );
    // With what the limb weighs: its loads ask.
    let notes = &compiled.loads[0].limbs[0].not_checked;
    assert!(
        notes.iter().any(|n| n.settle == "return spring 10 N"),
        "{notes:?} {:?}",
        compiled.findings
    );
}

/// Crank 40 mm, motor 100 mm below: swing 2 asin(0.4) = 47.156 deg, and (180 + 47.156)/(180 -
/// 47.156) = 1.71 times as long one way as back (R. L. Norton, Design of Machinery, sec. 3.4).
#[test]
fn a_quick_return_is_no_even_swing() {
    let said = |shape: &str| {
        let compiled = compile(&format!(
            "figure miller {{ board plywood-9 700 mm by 1200 mm
               limb arm {{ pivot (300, 700) mm tip (600, 700) mm mount behind
                 drive slotted-arm {{ motor wiper at (300, 600) mm crank 40 mm slot 95 mm at 270 deg }}
                 gesture throw {{ sweep -23.5 deg to 23.5 deg cycle 3 s {shape} }} }} }}"
        ));
        let found = compiled.findings.iter().find(|f| f.code.word == "return-uneven");
        found.map(|f| f.message.clone())
    };
    let message = said("shape natural").unwrap();
    assert!(message.contains("1.71 times"), "{message}");
    assert_eq!(said(""), None);
    // A four-bar drawn uneven, where even ways are preferred of sizes that leave no choice.
    let bar = |prefer: &str| {
        let compiled = compile(&format!(
            "figure f {{ board plywood-9 700 mm by 1500 mm
               limb arm {{ pivot (300, 900) mm tip (700, 900) mm
                 drive four-bar {{ motor wiper at (300, 600) mm crank 40 mm rod 252 mm lever 90 mm at 0 deg {prefer} }} }} }}"
        ));
        compiled.findings.iter().any(|f| f.code.word == "return-uneven")
    };
    assert!(bar("prefer even") && !bar(""));
}

//! Limbs turned round at their ends, by hand.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use super::{compile, limb, load};
use yardwright::fit::Fitted;

/// A crank of 20 mm and a lever of 120 mm, parallel to their line at mid-swing and with a
/// long rod: the limb swings nearly as a sine of 20/120 rad, so that at 60 turns a minute it
/// is turned round with about (1/6) (2 pi)^2 = 6.58 rad/s2 (the rod, six times as long as the
/// crank or more, changes that by a tenth at the most); doubled speed, fourfold.
#[test]
fn it_is_thrown_back_as_a_sine() {
    let swing = |cycle: &str| {
        let compiled = compile(&format!(
            "motor quick {{ kind brushed voltage 12 V free 200 rpm 1 A stall 14 N.m 40 A }}
             figure f {{ board plywood-9 620 mm by 1350 mm
               limb arm {{ pivot (300, 900) mm tip (700, 900) mm bolt M8 washer 40 mm
                 sheet plywood-6 length 400 mm width 70 mm tail 40 mm
                 drive four-bar {{ motor quick at (180, 500) mm limit 10 A crank 20 mm rod 400 mm lever 120 mm at 180 deg }}
                 gesture hit {{ sweep -10 deg to 10 deg within 9 deg cycle {cycle} }} }} }}"
        ));
        assert!(matches!(compiled.figures[0].limbs[0].mechanism, Some(Fitted::FourBar(_))));
        let grip =
            limb(&compiled, 0).grips.iter().find(|g| g.code.word == "limb-whips").unwrap().clone();
        let mass = limb(&compiled, 0).mass.unwrap();
        (load(&compiled, 0).most_swing, grip, mass)
    };
    let (slow, grip, mass) = swing("1 s");
    let sine = (2.0 * std::f64::consts::PI).powi(2) / 6.0;
    assert!((0.9..1.15).contains(&(slow / sine)), "{slow}, a sine has {sine}");
    let (quick, ..) = swing("0.5 s");
    assert!((quick / slow - 4.0).abs() < 1e-6);
    // (I alpha + m g r) over 6 (70^3 - 8^3)/(6 x 70) = 4892.69 mm3; plywood folds at 30 MPa.
    let hangs = mass.mass.0 * 9.80665 * mass.centre.x.hypot(mass.centre.y) * 1e-3;
    let by_hand = (mass.inertia.0 * slow + hangs) * 1e3 / 4_892.69;
    assert!((grip.calm / by_hand - 1.0).abs() < 1e-5 && (grip.bears - 10.0).abs() < 1e-9);
}

/// On edge corrugated sheet bears a third of what it bears across, and that over three.
#[test]
fn corrugated_sheet_on_edge_bears_with_its_skins() {
    let compiled = compile(
        "figure f { board plywood-9 620 mm by 1350 mm
           limb arm { pivot (300, 900) mm tip (700, 900) mm bolt M8 washer 40 mm
             sheet corrugated-4 flutes along length 400 mm width 120 mm tail 40 mm
             drive four-bar { motor wiper at (180, 500) mm limit 10 A crank 20 mm rod 400 mm lever 120 mm at 180 deg }
             gesture hit { sweep -10 deg to 10 deg within 9 deg cycle 3 s } } }",
    );
    let grip = limb(&compiled, 0).grips.iter().find(|g| g.code.word == "limb-whips").unwrap();
    assert!((grip.bears - 10.0 / 9.0).abs() < 1e-9);
    assert!(
        grip.calm < grip.bears && compiled.findings.iter().all(|f| f.code.word != "limb-whips")
    );
}

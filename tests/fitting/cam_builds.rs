//! How many builds of a cam fit: against followers worked out on their own, and the one
//! preferred for building against a scan.
#![allow(clippy::disallowed_methods)] // On purpose another library's cosines.

use yardwright::check::Compiled;
use yardwright::fit::Fitted;
use yardwright::fit::builds::share;

use super::super::linkages::reference::Rng;
use super::{compile, drive, share_told as told};

const RISES: &str = "rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg";

fn frog(cam: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 600 mm by 900 mm
  limb frog {{ slide from (300, 400) mm to (300, 500) mm  weighed 0.8 kg
    drive cam {{ motor wiper at (300, 300) mm  roller 8 mm  {RISES}  {cam} }}
    gesture jump {{ stroke 0 mm to 20 mm within 1.5 mm  cycle 4 s }} }} }}"
    ))
}

fn head(cam: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 600 mm by 900 mm
  limb head {{ pivot (420, 700) mm  tip (300, 760) mm  weighed 0.8 kg
    drive cam {{ motor wiper at (300, 700) mm  roller 8 mm  {RISES}  {cam} }}
    gesture nod {{ sweep 140 deg to 155 deg within 0.4 deg  cycle 4 s }} }} }}"
    ))
}

/// A disc is cut to two radii that count; a roller on a slide rests where it is as far from
/// the shaft as cut and roller together, one on an arm where arm and that distance close the
/// triangle to the shaft. Both are found here by bisection, in 6,000 builds with each
/// dimension up to 1 mm off, drawn from another generator: no code is shared with the tool.
#[test]
fn the_share_of_a_cam_is_that_of_followers_found_by_bisection() {
    let bisect = |f: &dyn Fn(f64) -> f64, (mut lo, mut hi): (f64, f64)| {
        for _ in 0..60 {
            let middle = 0.5 * (lo + hi);
            if (f(middle) > 0.0) == (f(hi) > 0.0) { hi = middle } else { lo = middle }
        }
        0.5 * (lo + hi)
    };
    let (mut rng, all) = (Rng(11), 6000);
    let mut off = move || 2.0 * rng.unit() - 1.0;

    // Its own point is at its roller's: 100 mm over the shaft with the cam at its lowest
    // the roller stands at base + 8.
    let slides = frog("base ?  offset 6 mm");
    let base = drive(&slides).sizes[0].exact;
    let height = |r: f64, x: f64| bisect(&|y: f64| x.hypot(y) - r, (0.0, 400.0));
    let low = height(base + 8.0, 6.0);
    let rise = 6.0_f64.hypot(low + 20.0) - 8.0 - base;
    let mut good = 0;
    for _ in 0..all {
        let (base, rise, roller) = (base + off(), rise + off(), 8.0 + off());
        let (across, up) = (off() - off(), off() - off());
        let at = |cut: f64| height(cut + roller, 6.0 + across) - low - up;
        let (a, b) = (at(base), at(base + rise));
        good += i32::from([a, b - 20.0, b - a - 20.0].iter().all(|m| m.abs() <= 1.5));
    }
    let (exact, share) = (f64::from(good) / f64::from(all), told(&slides));
    assert!((0.1..0.95).contains(&exact), "{exact}");
    assert!((share - exact).abs() < 0.015, "{share}, and {exact} of builds");

    // On an arm only the swing counts: its middle is set on the finished head.
    let swings = head("base ?  lever ? at ?");
    let sizes = &drive(&swings).sizes;
    let (base, lever) = (sizes[0].exact, sizes[1].exact);
    let angle = |r: f64, arm: f64, apart: f64| {
        let miss = |a: f64| (apart - arm * a.cos()).hypot(arm * a.sin()) - r;
        bisect(&miss, (0.0, std::f64::consts::PI)).to_degrees()
    };
    let low = angle(base + 8.0, lever, 120.0).to_radians();
    let top = low + 15.0_f64.to_radians();
    let cut = (120.0 - lever * top.cos()).hypot(lever * top.sin()) - 8.0;
    let mut good = 0;
    for _ in 0..all {
        let (least, rise) = (base + off(), cut - base + off());
        let (roller, arm) = (8.0 + off(), lever + off());
        let apart = (120.0 + off() - off()).hypot(off() - off());
        let swing = angle(least + rise + roller, arm, apart) - angle(least + roller, arm, apart);
        good += i32::from((swing - 15.0).abs() <= 0.4);
    }
    let (exact, share) = (f64::from(good) / f64::from(all), told(&swings));
    assert!((0.1..0.97).contains(&exact), "{exact}");
    assert!((share - exact).abs() < 0.015, "{share}, and {exact} of builds");
}

/// What stands beside each answer is what the same yard comes to with its sizes written.
#[test]
fn the_share_beside_a_cam_is_that_of_its_sizes_in_the_text() {
    for (open, given) in [
        (frog("base ?  offset 6 mm"), None),
        (head("base ?  lever ? at ?"), Some(())),
        (head("base ?  lever ? at ?  prefer build"), Some(())),
    ] {
        let limb = &open.figures[0].figure.limbs[0];
        let found = drive(&open);
        assert!(found.others.len() > 2);
        for other in &found.others {
            let there = match given {
                None => frog(&format!("base {} mm  offset 6 mm", other.sizes[0])),
                Some(()) => {
                    head(&format!("base {} mm  lever {} mm at ?", other.sizes[0], other.sizes[1]))
                }
            };
            let (share, own) = (other.share(limb).unwrap(), told(&there));
            assert!((share - own).abs() < 1e-9, "{:?}: {share} {own}", other.sizes);
        }
    }
}

/// No lever of a scan, each with the smallest base circle that is found for it, is built
/// right more often than the one preferred for that; and it is a choice.
#[test]
fn a_cam_preferred_for_building_is_built_right_most_often() {
    let best = told(&head("base ?  lever ? at ?  prefer build"));
    let usual = told(&head("base ?  lever ? at ?"));
    let mut most: f64 = 0.0;
    for lever in (40..=150).step_by(5) {
        let one = head(&format!("base ?  lever {lever} mm at ?"));
        if one.findings.iter().all(|f| !f.code.word.starts_with("cam-")) {
            most = most.max(told(&one));
        }
    }
    assert!(best > usual + 0.01, "{best}, and {usual} without");
    assert!(most > 0.3 && best >= most - 0.02, "{best}, and {most} there is");
    let figure = &head("base ?  lever ? at ?  prefer build").figures[0];
    let limb = &figure.figure.limbs[0];
    let Some(Fitted::Drive(found)) = &figure.limbs[0].mechanism else { panic!() };
    let shares: Vec<f64> = found.others.iter().map(|o| o.share(limb).unwrap()).collect();
    assert!(shares.windows(2).all(|w| w[0] >= w[1]) && shares[0] <= best, "{shares:?}");
    assert_eq!(share(limb, found.recipe.as_ref().unwrap()), Some(best));
}

//! What is told of the answers beside their sizes: the share of builds as `check` tells it,
//! and preferences against a plain scan.
#![allow(clippy::disallowed_methods)] // On purpose another library's cosines.

use yardwright::check::Compiled;
use yardwright::geometry::{BoardPoint, Dir};
use yardwright::mechanism::solve::{Prefer, ServoWish, Size, Sizes, Wish, solve, solve_servo};
use yardwright::mechanism::{Assembly, FourBar};
use yardwright::units::{Deg, Mm, System};

use super::{compile, drive, share_told as share};

fn slide(drive: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 600 mm by 900 mm
  limb bow {{ slide from (300, 400) mm to (300, 560) mm
    drive {drive}
    gesture saw {{ stroke 40 mm to 100 mm within 2 mm  cycle 3 s }} }} }}"
    ))
}

/// The share that stands beside an answer is the one of a hundred that `check` tells; of the
/// next best too, with their sizes given.
#[test]
fn the_share_of_an_answer_is_that_which_check_tells() {
    for prefer in ["push", "build"] {
        let said = format!(
            "slider-crank {{ motor wiper at (300, 180) mm  crank ? 28 to 31 mm by 1 mm  rod ?  prefer {prefer} }}"
        );
        let compiled = slide(&said);
        let found = drive(&compiled);
        assert_eq!(found.fit, Some(share(&compiled)), "{prefer}");
        assert!(!found.others.is_empty());
        for other in &found.others {
            let [crank, rod] = other.sizes[..] else { panic!("{other:?}") };
            assert!((rod * 2.0).fract().abs() < 1e-9, "as drilled: {rod}");
            let given = slide(&format!(
                "slider-crank {{ motor wiper at (300, 180) mm  crank {crank} mm  rod {rod} mm }}"
            ));
            assert_eq!(other.fit, Some(share(&given)), "{crank} {rod}");
            let course = &drive(&given).exact.course;
            assert!((other.speed.unwrap() - course.speed()).abs() < 1e-9);
            assert_eq!(other.time_ratio, course.time_ratio);
        }
    }
}

/// Of rods every half millimetre none is built right more often than the one preferred for
/// that, but for the chance of 10,000 builds.
#[test]
fn a_slider_crank_preferred_for_building_is_built_right_most_often() {
    let best = slide(
        "slider-crank { motor wiper at (300, 180) mm  crank ? 29 to 31 mm by 1 mm  rod ?  prefer build }",
    );
    let best = share(&best);
    let mut most: f64 = 0.0;
    for crank in [29.0, 30.0, 31.0] {
        for half in -8..=8 {
            let rod = 290.0 + f64::from(half) / 2.0;
            let given = slide(&format!(
                "slider-crank {{ motor wiper at (300, 180) mm  crank {crank} mm  rod {rod} mm }}"
            ));
            most = most.max(share(&given));
        }
    }
    assert!(best > 0.5 && best >= most - 0.02, "{best}, and {most} there is");
}

/// The least that the motor feels of the limb's torque among pairs of holes and rods every
/// half millimetre that swing as asked and push at 45 deg or more.
#[test]
fn a_four_bar_preferred_light_is_the_lightest_of_a_scan() {
    let pivot = BoardPoint::mm(300.0, 900.0);
    for (swing, motor, within) in [
        (44.0, BoardPoint::mm(300.0, 600.0), 2.0),
        (30.0, BoardPoint::mm(350.0, 560.0), 2.0),
        (60.0, BoardPoint::mm(300.0, 700.0), 3.0),
        (40.0, BoardPoint::mm(200.0, 800.0), 2.0),
    ] {
        let row = |lo, hi| Size::Row { lo, hi, step: 10.0 };
        let wish = Wish {
            motor,
            pivot,
            sizes: Sizes {
                crank: row(30.0, 60.0),
                rod: Size::Free,
                lever: row(60.0, 120.0),
                clamp: Size::Free,
            },
            sweep: (Deg(0.0), Deg(swing)),
            within: Some(Deg(within)),
            prefer: Prefer::Light,
            assembly: None,
            error: Mm(1.0),
            system: System::Metric,
            rate: None,
        };
        let found = solve(&wish).unwrap().best.linkage.analyse().motion.unwrap();
        let mut least = f64::INFINITY;
        for (crank, lever) in (3..=6).flat_map(|a| (6..=12).map(move |c| (10 * a, 10 * c))) {
            for half in 60..1600 {
                let sizes = (Mm(f64::from(crank)), Mm(f64::from(half) / 2.0), Mm(f64::from(lever)));
                let Ok(bar) = FourBar::new((motor, pivot), sizes, Deg(0.0), Assembly::Open) else {
                    continue;
                };
                let analysis = bar.analyse();
                let Some(m) = analysis.motion.filter(|_| analysis.crank_turns_fully) else {
                    continue;
                };
                if (m.sweep.0 - swing).abs() > within || m.min_transmission.0 < 45.0 {
                    continue;
                }
                least = least.min(m.max_speed_ratio.unwrap());
            }
        }
        let got = found.max_speed_ratio.unwrap();
        assert!(got <= least * 1.002, "{swing}: {got}, and {least} there is");
    }
}

/// A preference that chooses nothing says so, where it is written and nowhere else.
#[test]
fn a_preference_that_chooses_nothing_says_so() {
    let notes = |yard: &str| {
        let compiled = compile(yard);
        let limb = &compiled.figures[0].limbs[0];
        let all: Vec<String> = limb.assumed.iter().map(|n| n.what.clone()).collect();
        all.into_iter().filter(|n| n.contains("prefer")).collect::<Vec<_>>()
    };
    let cam = |prefer: &str| {
        notes(&format!(
            "figure f {{ board plywood-9 600 mm by 900 mm  motor hop wiper at (300, 300) mm
  limb frog {{ slide from (300, 400) mm to (300, 500) mm  weighed 0.8 kg
    drive cam {{ motor hop  base ?  roller 8 mm  {prefer} }}
    gesture jump {{ stroke 0 mm to 20 mm  cycle 4 s }} }} }}"
        ))
    };
    assert_eq!(cam(""), [""; 0]);
    assert!(cam("prefer light")[0].contains("nothing of a cam"));
    let ram = |prefer: &str| {
        notes(&format!(
            "figure f {{ board plywood-9 900 mm by 900 mm
  limb gate {{ pivot (200, 500) mm tip (700, 500) mm
    drive ram {{ motor ram-100  anchor ?  lever 100 mm at ?  {prefer} }}
    gesture open {{ sweep 0 deg to 60 deg }} }} }}"
        ))
    };
    assert_eq!(ram("prefer build"), [""; 0]);
    assert!(ram("prefer even")[0].contains("nothing of a ram"));
    let place = |prefer: &str, at: &str| {
        notes(&format!(
            "figure f {{ board plywood-9 700 mm by 1500 mm
  limb arm {{ pivot (300, 900) mm  tip (700, 900) mm
    drive four-bar {{ motor wiper at {at}  crank 30 mm  rod ?  lever ? 60 to 120 mm by 10 mm at ?  {prefer} }}
    gesture wave {{ sweep 0 deg to 39 deg  cycle 3 s }} }} }}"
        ))
    };
    assert_eq!(place("prefer build", "(300, 600) mm"), [""; 0]);
    assert_eq!(place("", "? near (300, 600) mm within 40 mm"), [""; 0]);
    assert!(
        place("prefer build", "? near (300, 600) mm within 40 mm")[0].contains("the place itself")
    );
}

/// A horn is told with the angle at which it is pressed onto its servo: square to the line
/// from its shaft at (200, 735) to the first eye at (190, 760), 111.8 deg, so at 21.8 or 201.8.
#[test]
fn a_horn_is_told_with_its_angle_at_the_servos_zero() {
    let compiled = compile(
        "figure owl { board plywood-9 400 mm by 900 mm
  motor lids servo-micro at (200, 735) mm
  limb lid { pivot (200, 780) mm  tip (240, 780) mm
    weighed 0.02 kg  balances 25 mm  friction 0.002 N.m  inertia 0.00002 kg.m2
    drive cord { motor lids  horn ?  lever 15 mm at ?  guides (190, 760) mm return spring 0.01 N.m }
    gesture blink { turn to 40 deg over 1 s } rest 10 deg } }",
    );
    let text = yardwright::emit::text::report(&compiled, &Default::default());
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let square = (25.0_f64.atan2(-10.0).to_degrees() - 90.0).round();
    let told = |at: f64| text.contains(&format!(", at {at:.0} deg with the servo at 0"));
    assert!(told(square) || told(square - 180.0), "{text}");
}

/// Arm, rod and lever of a servo that turn the limb least, and most evenly, for a turn of the
/// servo, at every place of the swing: against a net of clamps, rods and levers, each looked
/// at every twentieth of its swing.
#[test]
fn a_servo_preferred_light_or_even_is_so_all_the_way() {
    let (servo, pivot) = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(60.0, 20.0));
    for (low, high, arm) in [(20.0, 120.0, 40.0), (-40.0, 60.0, 30.0), (100.0, 190.0, 24.0)] {
        let rates = |bar: &FourBar, arms: (f64, f64)| {
            let places = (0..=20).map(|n| arms.0 + (arms.1 - arms.0) * f64::from(n) / 20.0);
            let rates = places.map(|at| Some(bar.rates(Dir::degrees(Deg(at))).ok()?.0));
            let rates: Option<Vec<f64>> = rates.collect();
            let rates = rates?;
            let one_way = rates.iter().all(|r| r * rates[0] > 0.0);
            let all = || rates.iter().map(|r| r.abs());
            one_way.then(|| (all().fold(0.0, f64::max), all().fold(f64::MAX, f64::min)))
        };
        let score = |prefer: Prefer, (most, least): (f64, f64)| match prefer {
            Prefer::Even => most / least,
            _ => most,
        };
        for prefer in [Prefer::Light, Prefer::Even] {
            let wish = ServoWish {
                servo,
                pivot,
                sizes: Sizes {
                    crank: Size::Given(arm),
                    rod: Size::Free,
                    lever: Size::Row { lo: 20.0, hi: 50.0, step: 10.0 },
                    clamp: Size::Free,
                },
                used: (Deg(low), Deg(high)),
                travel: (Deg(-70.0), Deg(70.0)),
                sign: 1.0,
                zero: Size::Free,
                within: Deg(2.0),
                prefer,
                assembly: None,
                error: Mm(1.0),
                system: System::Metric,
            };
            let found = solve_servo(&wish).unwrap().best;
            let at = |own: Deg| (found.arm_at_zero + own).0;
            let arms = (at(found.servo.0), at(found.servo.1));
            let got = score(prefer, rates(&found.linkage, arms).unwrap());
            let mut best = f64::INFINITY;
            for (lever, clamp, rod) in (2..=5).flat_map(|l| {
                (0..72).flat_map(move |c| (10..60).map(move |r| (10 * l, 5 * c, 2 * r)))
            }) {
                let sizes = (Mm(arm), Mm(f64::from(rod)), Mm(f64::from(lever)));
                for side in [Assembly::Open, Assembly::Crossed] {
                    let Ok(bar) = FourBar::new((servo, pivot), sizes, Deg(f64::from(clamp)), side)
                    else {
                        continue;
                    };
                    let (a, b) = (
                        bar.cranks_for(Dir::degrees(Deg(low))),
                        bar.cranks_for(Dir::degrees(Deg(high))),
                    );
                    for (a, b) in a.iter().flat_map(|a| b.iter().map(move |b| (a, b))) {
                        let turned = b.from(*a).deg().0;
                        if turned.abs() > 140.0 {
                            continue;
                        }
                        let arms = (a.deg().0, a.deg().0 + turned);
                        let Some(rates) = rates(&bar, arms) else { continue };
                        let pushes = (0..=20).map(|n| {
                            let at = arms.0 + turned * f64::from(n) / 20.0;
                            bar.at(Dir::degrees(Deg(at))).map_or(0.0, |p| p.1.abs())
                        });
                        let rod_leans = lean(&bar, arms);
                        let pushes = pushes.fold(1.0, f64::min);
                        if pushes >= 45.0_f64.to_radians().sin()
                            && rod_leans >= 20.0_f64.to_radians().sin()
                        {
                            best = best.min(score(prefer, rates));
                        }
                    }
                }
            }
            assert!(got <= best * 1.01, "{low} to {high}, {prefer:?}: {got}, and {best} there is");
        }
    }
}

/// The least sine of the angle between arm and rod on the way.
fn lean(bar: &FourBar, (from, to): (f64, f64)) -> f64 {
    let places = (0..=20).map(|n| from + (to - from) * f64::from(n) / 20.0);
    let leans = places.map(|at| {
        let at = Dir::degrees(Deg(at));
        let Ok((crank, lever)) = bar.pins(at) else { return 0.0 };
        let rod = (lever - crank).dir().unwrap();
        rod.from(at).angle().0.sin().abs()
    });
    leans.fold(1.0, f64::min)
}

/// Every cam that stands beside the one that is taken is one with its sizes in the text: as
/// large, pushing as squarely, with nothing said against it. A larger disc pushes more
/// squarely.
#[test]
fn cams_are_told_with_larger_discs_and_other_levers() {
    let frog = |cam: &str| {
        format!(
            "figure f {{ board plywood-9 600 mm by 900 mm
  limb frog {{ slide from (300, 400) mm to (300, 500) mm  weighed 0.8 kg
    drive cam {{ motor wiper at (300, 300) mm  roller 8 mm  {cam} }}
    gesture jump {{ stroke 0 mm to 20 mm  cycle 4 s }} }} }}"
        )
    };
    let head = |cam: &str| {
        format!(
            "figure f {{ board plywood-9 600 mm by 900 mm
  limb head {{ pivot (420, 700) mm  tip (300, 760) mm  weighed 0.8 kg
    drive cam {{ motor wiper at (300, 700) mm  roller 8 mm  {cam} }}
    gesture nod {{ sweep 140 deg to 155 deg  cycle 4 s }} }} }}"
        )
    };
    let given = |text: String, base: f64| {
        let compiled = compile(&text);
        let cams = compiled.findings.iter().filter(|f| f.code.word.starts_with("cam-"));
        assert_eq!(cams.map(|f| &f.message).collect::<Vec<_>>(), [""; 0], "{base}");
        let found = drive(&compiled);
        (found.drilled.course.worst_push.0, found.sizes[0].drilled)
    };
    let open = compile(&frog("base ?"));
    let found = drive(&open);
    assert!(found.others.len() > 2);
    let mut push = found.drilled.course.worst_push.0;
    // Of the harmonic rise of a slide over its shaft: tan = s'/(base + roller + s).
    let formula = |base: f64| {
        let tan = (0..=1800).map(|n| {
            let turn = f64::from(n).to_radians() / 10.0;
            (10.0 * turn.sin()) / (base + 8.0 + 10.0 * (1.0 - turn.cos()))
        });
        90.0 - tan.fold(0.0, f64::max).atan().to_degrees()
    };
    for other in &found.others {
        let base = other.sizes[0];
        assert!(other.push.0 >= push + 1.0 - 1e-9 && base.fract() == 0.0, "{other:?}");
        push = other.push.0;
        let (again, told) = given(frog(&format!("law harmonic  base {base} mm")), base);
        assert_eq!(told, base);
        assert!((formula(base) - again).abs() < 0.01, "{base}: {} {again}", formula(base));
        let (again, _) = given(frog(&format!("base {base} mm")), base);
        assert!((again - other.push.0).abs() < 1e-6, "{base}");
    }
    let open = compile(&head("base ?  lever ? at ?"));
    let found = drive(&open);
    let lever = |sizes: &[f64]| sizes[1];
    let own = found.sizes[1].drilled;
    assert!(found.others.iter().any(|o| lever(&o.sizes) == own));
    assert!(found.others.iter().any(|o| lever(&o.sizes) != own));
    for other in &found.others {
        let [base, lever, clamp] = other.sizes[..] else { panic!("{other:?}") };
        let (again, _) = given(head(&format!("base {base} mm  lever {lever} mm at ?")), base);
        assert!((again - other.push.0).abs() < 1e-6, "{base} {lever} {clamp}");
    }
}

//! What cords ask of a spool, of a ram and of a servo.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use yardwright::loads::motor::Work;

use super::{compile, load};

fn near(got: f64, want: f64, what: &str) {
    assert!((got / want - 1.0).abs() < 0.005, "{what}: {got}, want {want}");
}

pub(super) fn spool(cycle: &str) -> String {
    format!(
        "motor winch {{ kind spool voltage 12 V free 27.2 rpm 0.5 A stall 5 N.m 8 A }}
         figure f {{ board plywood-9 900 mm by 1400 mm
           limb arm {{ pivot (300, 700) mm tip (190.04278368, 924.52040125) mm bolt M8 friction 0 N.m
             mass 0.381 kg centre 140 mm at -17 deg inertia 0.0116503 kg.m2
             drive cord {{ motor winch at (307.34, 1019.13) mm spool 45 mm lever 86 mm at 97 deg
               guides (274.52, 874.89) mm assembly crossed return spring 0.529 N.m }}
             rest -243.907037 deg
             gesture go {{ sweep -297.805661 deg to -243.907037 deg cycle {cycle} }} }} }}"
    )
}

/// Against NumPy: circle cut with circle at 8,001 lengths of cord, the rate of the energy
/// by differences, times e^(0.2 turn at the eye) winding in and over it letting out
/// (Euler, Eytelwein). A spool winds at one speed, 27.2 rpm of 45 mm: 64.09 mm/s.
#[test]
fn a_spool_winds_at_its_own_speed_whatever_the_cycle() {
    for cycle in ["6 s", "2 s"] {
        let compiled = compile(&spool(cycle));
        let motor = &load(&compiled, 0).motor;
        near(motor.speed.unwrap(), 64.0885, "speed");
        near(motor.peak, 0.223_374, "peak");
        near(motor.rms, 0.119_643, "rms");
    }
}

/// On pulleys each corner takes e^(0.05 turn) where eyes take e^(0.2 turn) (Euler, Eytelwein);
/// the turn at the eye from two circles cut with each other here. The pulley is so small that
/// the cord of this length lies as on an eye.
#[test]
fn pulleys_that_turn_take_less_than_eyes() {
    let torque = |pulleys: &str| {
        let yard = spool("6 s").replace("assembly crossed", &format!("{pulleys} assembly crossed"));
        let compiled = compile(&yard);
        let motor = load(&compiled, 0).motor.clone();
        (motor.peak, motor.peak_at)
    };
    let ((eyes, at), (pulleys, also)) = (torque(""), torque("pulleys 0.02 mm"));
    near(also, at, "where");
    let (shaft, eye, pivot) = ((307.34, 1019.13), (274.52, 874.89), (300.0, 700.0));
    let (sx, sy): (f64, f64) = (eye.0 - shaft.0, eye.1 - shaft.1);
    let (px, py): (f64, f64) = (pivot.0 - eye.0, pivot.1 - eye.1);
    let (free, d) = (at - sx.hypot(sy), px.hypot(py));
    // The pin lies `free` from the eye and 86 from the pivot, on either side of their line.
    let along = (free * free + d * d - 86.0 * 86.0) / (2.0 * d);
    let lean = (along / free).acos();
    let turn = |lean: f64| {
        let (a, b) = (sy.atan2(sx), py.atan2(px) + lean);
        (b - a).sin().atan2((b - a).cos()).abs()
    };
    let saved = [lean, -lean].map(|l| (0.15 * turn(l)).exp());
    let ratio = eyes / pulleys;
    assert!(saved.iter().any(|s| (ratio / s - 1.0).abs() < 1e-3), "{ratio}: {saved:?}");
}

/// Eight times 3 mm are 24 mm; without its thickness a cord on pulleys is asked for it.
#[test]
fn a_wheel_is_eight_times_as_thick_as_its_cord() {
    let told = |words: &str| {
        let yard = spool("6 s").replace("assembly crossed", &format!("{words} assembly crossed"));
        let compiled = compile(&yard);
        let bent = compiled.findings.iter().find(|f| f.code.word == "cord-bent");
        let asked =
            compiled.figures[0].limbs[0].not_checked.iter().any(|n| n.settle == "thickness 2 mm");
        (bent.map(|f| f.message.clone()), asked)
    };
    assert_eq!(told("pulleys 24 mm thickness 3 mm"), (None, false));
    let (small, _) = told("pulleys 23 mm thickness 3 mm");
    assert!(small.unwrap().contains("7.7 times its cord of 3 mm"));
    // The spool of 45 mm is the smaller wheel.
    let (spool, _) = told("pulleys 60 mm thickness 6 mm");
    assert!(spool.unwrap().contains("the spool of f.arm measures 45 mm, 7.5 times"));
    assert!(told("").1);
}

/// Against the same sampling; the ram draws in at its 26.3 mm/s.
#[test]
fn a_ram_draws_a_cord_in_at_its_own_speed() {
    let compiled = compile(
        "motor puller { kind ram speed 0.0263 m/s force 900 N length 200 to 277 mm }
         figure f { board plywood-9 900 mm by 1400 mm
           limb arm { pivot (300, 700) mm tip (52.04854516, 668.06137067) mm bolt M8 friction 0.0288 N.m
             mass 0.43 kg centre 228 mm at -38 deg inertia 0.0343586 kg.m2
             drive cord { motor puller at (384.92, 669.8) mm lever 58 mm at 108 deg
               guides (414.37, 820.01) mm assembly open return spring 1.334 N.m }
             rest -172.660146 deg
             gesture go { sweep -172.660146 deg to -123.56135 deg cycle 6 s } } }",
    );
    let motor = &load(&compiled, 0).motor;
    near(motor.speed.unwrap(), 26.3, "speed");
    near(motor.peak, 20.2705, "peak");
    near(motor.rms, 10.5410, "rms");
}

/// The same two angles said a turn later are the same move.
#[test]
fn a_horn_pulls_the_same_in_every_turn_of_the_circle() {
    let loads = [("-190.187456", "-170.153915"), ("169.812544", "189.846085")].map(|(low, high)| {
        let compiled = compile(&format!(
            "figure f {{ board plywood-9 900 mm by 1400 mm
               limb arm {{ pivot (300, 700) mm tip (200.00080404, 699.5989909) mm bolt M8 friction 0.0034 N.m
                 mass 0.0844 kg centre 129 mm at 37 deg inertia 0.00167613 kg.m2
                 drive cord {{ motor servo-standard at (273.61, 836.33) mm horn 13 mm
                   lever 32 mm at -17 deg length 342.44 mm guides (330.11, 931.82) mm assembly crossed
                   return spring 0.139 N.m }}
                 gesture go {{ sweep {low} deg to {high} deg within 5 deg cycle 2.99 s }} }} }}"
        ));
        let motor = &load(&compiled, 0).motor;
        (motor.peak, motor.rms)
    });
    near(loads[0].0, loads[1].0, "peak");
    near(loads[0].1, loads[1].1, "rms");
}

/// At its stops a blocked crank would need any torque at all: none is told.
#[test]
fn a_blocked_crank_has_no_torque() {
    let compiled = compile(
        "figure f { board plywood-9 900 mm by 1400 mm
           limb arm { pivot (122.2, 555.1) mm tip (300, 500) mm width 248.17 mm tail 174.84 mm
             drive slotted-arm { motor wiper at (324.5, 863.7) mm crank 278.29 mm slot ? offset 100 mm at 153.18 deg } } }",
    );
    assert!(compiled.findings.iter().any(|f| f.code.word == "crank-blocked"));
    assert!(compiled.loads[0].limbs[0].cycle.is_none());
    assert!(!compiled.findings.iter().any(|f| f.code.word == "bushing-wears"));
}

/// A lid with next to no weight, its spring of 0.006 N.m less 0.002 of friction on 0.0004
/// kg.m2: from 60 to 10 deg in sqrt(2 x 0.8727 x 0.0004/0.004) = 0.4178 s (even acceleration).
#[test]
fn a_lid_that_a_spring_shuts_takes_its_time() {
    let late = |over: f64| {
        let compiled = compile(&format!(
            "figure owl {{ board plywood-9 400 mm by 900 mm motor lids servo-micro at (200, 735) mm
               limb lid {{ pivot (200, 780) mm tip (240, 780) mm
                 weighed 0.0001 kg balances 1 mm friction 0.002 N.m inertia 0.0004 kg.m2
                 drive cord {{ motor lids horn ? lever 15 mm at ? guides (190, 760) mm return spring 0.006 N.m }}
                 rest 10 deg gesture open {{ turn to 60 deg over 1 s }}
                 gesture shut {{ turn to 10 deg over {over} s }} }} }}"
        ));
        let grip = compiled.loads[0].limbs[0].grips.iter();
        let back = grip.clone().find(|g| g.code.word == "cord-return-slow").unwrap();
        near(back.calm, 0.4178, "time");
        near(back.bears, over, "given");
        compiled.findings.iter().any(|f| f.code.word == "cord-return-slow")
    };
    assert!(late(0.41) && !late(0.43));
}

/// How hard a spool pulls follows from its diameter: 5 N.m on 22.5 mm are 222 N of cord; where
/// nothing says how thick it is, nothing is told.
#[test]
fn a_held_spool_of_unknown_diameter_is_told_no_force() {
    let jam = |yard: &str| {
        let compiled = compile(yard);
        let brushed = compiled.loads[0].motors[0]
            .brushed()
            .unwrap_or_else(|| panic!("{:?}", compiled.findings));
        let held = compiled.loads[0].limbs[0].held.clone();
        (brushed.jam.force, held.and_then(|h| h.push), compiled)
    };
    let (force, push, _) = jam(&spool("6 s"));
    let (force, push) = (force.unwrap().0, push.unwrap());
    near(force, push, "held");
    assert!((100.0..300.0).contains(&force), "{force}");
    let (force, push, compiled) = jam(&spool("6 s").replace("spool 45 mm", ""));
    assert_eq!((force, push), (None, None));
    let notes = &compiled.loads[0].limbs[0].not_checked;
    assert!(notes.iter().any(|n| n.what.contains("diameter of its spool")), "{notes:?}");
}

#[test]
fn a_winding_motor_must_be_strong_enough_for_its_cord() {
    // The spool takes 0.223 N.m at worst (above). A weak motor on a bad evening has 0.8 of
    // (11.5 V)/(12 V) of its stall, about 0.77, and a third of that is to be used.
    let told = |stall: &str| {
        let compiled = compile(&spool("6 s").replace("stall 5 N.m 8 A", stall));
        let found = compiled.findings.iter().find(|f| f.code.word == "motor-stalls");
        (found.map(|f| f.severity), load(&compiled, 0).motor.peak)
    };
    use yardwright::finding::Severity::{Error, Warning};
    assert_eq!(told("stall 5 N.m 8 A").0, None);
    assert_eq!(told("stall 0.6 N.m 8 A").0, Some(Warning));
    assert_eq!(told("stall 0.25 N.m 8 A").0, Some(Error));
}

/// The same cord on a cylinder of its stroke, 72.246 mm, throttled to the spool's speed
/// of 64.0885 mm/s: what it must pull with is the spool's torque over its radius of
/// 22.5 mm. A piston of 16 mm with a rod of 6 mm pulls at 400 kPa with
/// 0.4 pi (16^2 - 6^2)/4 = 69.1 N.
#[test]
fn a_cylinder_pulls_with_what_a_spool_winds_with() {
    let air = spool("6 s")
        .replace(
            "kind spool voltage 12 V free 27.2 rpm 0.5 A stall 5 N.m 8 A",
            "kind cylinder bore 16 mm rod 6 mm stroke 72.246 mm",
        )
        .replace("spool 45 mm", "air tank at 400 kPa throttle up 1.1273 s down 1.1273 s");
    let compiled = compile(&air);
    let motor = &load(&compiled, 0).motor;
    near(motor.peak, 0.223_374 / 0.0225, "pull");
    let Some(Work::Strut(strut)) = &compiled.loads[0].motors[0].work else { panic!("air") };
    near(strut.pull.0, 0.223_374 / 0.0225, "pull");
    near(strut.can_pull.unwrap().0, 0.1 * std::f64::consts::PI * (256.0 - 36.0), "it has");
    assert!(strut.can_push.is_none(), "a cord is only pulled");
}

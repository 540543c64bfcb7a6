//! A limb that is held: what its motor pushes with, and what gives first, by hand.

use super::compile;
use yardwright::finding::Severity;
use yardwright::fit::SizeName;
use yardwright::loads::jam::Held;

const ARM: &str = "figure bear { board plywood-9 620 mm by 1350 mm
    motor drum wiper at (310, 806) mm turns ccw LIMIT
    limb left { pivot (150, 880) mm tip (-250, 1150) mm bolt M8 washer 30 mm clamp CLAMP
      sheet plywood-6 outline (190, 850) (110, 840) (-270, 1130) (-230, 1180) (180, 930) mm
      drive four-bar { motor drum crank 30 mm rod 160 mm lever 80 mm at 127 deg assembly open }
      gesture hit { sweep 121 deg to 165 deg cycle 2.06896551724 s } } }";

fn held(limit: &str, clamp: &str) -> Held {
    let compiled = compile(&ARM.replace("LIMIT", limit).replace("CLAMP", clamp));
    compiled.loads[0].limbs[0].held.clone().expect("its motor's figures are known")
}

fn at(held: &Held, what: &str) -> f64 {
    held.gives.iter().find(|g| g.what.contains(what)).unwrap_or_else(|| panic!("{held:?}")).at
}

fn near(got: f64, want: f64, what: &str) {
    assert!((got / want - 1.0).abs() < 0.01, "{what}: {got}, by hand {want}");
}

#[test]
fn each_part_gives_where_its_own_sum_says() {
    let held = held("limit 4 A", "plain");
    // Kt (I - I0) = 14/(16 - 1.2) x (4 - 1.2); the rod over a crank of 30 mm.
    near(held.motor, 2.649, "torque");
    near(held.rod.unwrap(), 88.3, "rod");
    // In the middle of the swing the limb turns 0.379 to 0.39 as fast as its motor.
    let rate = held.motor / held.torque.unwrap();
    assert!((0.36..0.40).contains(&rate), "{rate}");
    // Gears: said of the motor. Pin M6, root 4.917: 240 x pi 4.917^3/32 / 12 = 233 N.
    near(at(&held, "gears"), 8.0, "gears");
    near(at(&held, "pin"), 233.4 * 0.030, "pin");
    // Rod of M8 thread, straight: Euler pi^2 205000 x 95.8/160^2 = 7572 N before 8328 N.
    near(at(&held, "rod bends"), 7_572.0 * 0.030, "rod");
    // Clamp: 482 N left, mu 0.3, ring of 15 and 4.5 mm: 3.095 N.m on the limb.
    near(at(&held, "slips on its bolt"), 3.095 * rate, "clamp");
    // Lever: 8/(0.2 x 8 mm) x 0.9 = 4500 N, mu 0.15, ring of 6.4 and 4.5 mm: 7.43 N.m.
    near(at(&held, "lever"), 7.43 * rate, "lever");
    assert!(held.first().unwrap().what.contains("slips on its bolt"));
    assert!(held.gives.windows(2).all(|g| g[0].at <= g[1].at), "the first stands first");
}

#[test]
fn nothing_gives_where_the_limit_is_low_enough() {
    let low = held("limit 2 A", "pin");
    assert_eq!(low.first(), None, "{low:?}");
    assert!(low.gives.iter().all(|g| !g.what.contains("slips on its bolt")));
    // Without a limit it is the stall torque at the sheet's voltage.
    near(held("", "pin").motor, 14.0, "stall");
}

/// What is told of the one limb of a figure with this drive.
fn of(words: &str) -> Held {
    let compiled = compile(words);
    let bad: Vec<_> = compiled.findings.iter().map(|f| (f.code.word, &f.message)).collect();
    compiled.loads[0].limbs[0].held.clone().unwrap_or_else(|| panic!("{bad:?}"))
}

#[test]
fn a_servo_with_equal_arms_is_held_by_its_stall() {
    // A parallelogram of 20 mm passes on 1 to 1; 0.5 N.m over 20 mm are 25 N in its rod, and
    // 5 N 100 mm from the bolt.
    let held =
        of("motor neck { kind servo slew 0.2 s per 60 deg stall 0.5 N.m 0.8 A survives 0.4 N.m
        pulse 1000 us at -45 deg 2000 us at 45 deg }
      figure owl { board plywood-9 600 mm by 900 mm
        limb head { pivot (300, 700) mm tip (300, 800) mm bolt M8 washer 30 mm clamp pin
          sheet plywood-6 length 120 mm width 60 mm
          drive servo { motor neck at (300, 500) mm arm 20 mm rod 200 mm lever 20 mm at 90 deg }
          gesture look { sweep 70 deg to 110 deg cycle 4 s } } }");
    near(held.motor, 0.5, "stall");
    near(held.torque.unwrap(), 0.5, "limb");
    near(held.push.unwrap(), 5.0, "push");
    near(held.rod.unwrap(), 25.0, "rod");
    let first = held.first().unwrap();
    assert!(first.what.contains("gears") && first.assumed.is_none(), "{held:?}");
}

#[test]
fn a_ram_on_a_guide_pushes_with_its_own_force() {
    let lift = "motor jack { kind ram force 150 N speed 0.01 m/s LOADED length 205 to 305 mm }
      figure lift { board plywood-9 500 mm by 900 mm
        limb body { slide from (250, 500) mm to (250, 620) mm weighed 1 kg
          drive ram { motor jack at (250, 295) mm } gesture up { on } } }";
    let held = of(&lift.replace("LOADED", ""));
    near(held.motor, 150.0, "rated");
    near(held.push.unwrap(), 150.0, "along its guide");
    // By its line it goes on to 500 N.
    near(of(&lift.replace("LOADED", "loaded 0.007 m/s at 150 N")).motor, 500.0, "stops");
}

#[test]
fn a_crank_pin_of_a_slide_bends_where_its_sum_says_and_says_what_it_is() {
    // Crank 10 mm: 14 N.m push 1400 N along the guide where crank and rod stand square; pin
    // M6: 233.4 N, which the motor comes to at 2.334 N.m.
    let held = of("figure frog { board plywood-9 420 mm by 900 mm
        limb body { slide from (210, 300) mm to (210, 400) mm weighed 0.8 kg
          drive slider-crank { motor wiper at (210, 135) mm crank 10 mm rod 180 mm }
          gesture hop { stroke 5 mm to 25 mm within 2 mm cycle 3 s } } }");
    near(held.rod.unwrap(), 1400.0, "rod");
    near(at(&held, "pin"), 2.334, "pin");
    let pin = held.gives.iter().find(|g| g.what.contains("pin")).unwrap();
    assert!(pin.assumed.unwrap().contains("M6"));
}

#[test]
fn cords_and_belts_give_where_they_are_said_to() {
    let cord = "motor lids { kind servo slew 0.1 s per 60 deg stall 0.2 N.m
        pulse 1000 us at -45 deg 2000 us at 45 deg }
      figure owl { board plywood-9 400 mm by 900 mm
        limb lid { pivot (200, 780) mm tip (240, 780) mm weighed 0.02 kg balances 25 mm friction 0.002 N.m clamp pin
          drive cord { motor lids at (200, 740) mm horn ? lever 15 mm at ? guides (190, 760) mm
            return spring 0.010 N.m BREAKS }
          rest 10 deg gesture blink { sweep 10 deg to 60 deg within 4 deg cycle 1 s } } }";
    let words = cord.replace("BREAKS", "breaks 8 N");
    let said = of(&words);
    let mechanism = compile(&words).figures[0].limbs[0].mechanism.clone().unwrap();
    let horn = mechanism.drilled(SizeName::Crank).unwrap() * 1e-3;
    near(said.rod.unwrap(), 0.2 / horn, "pull at the horn");
    near(at(&said, "cord"), 8.0 * horn, "cord");
    assert!(said.first().unwrap().what.contains("cord"), "{said:?}");
    let unsaid = compile(&cord.replace("BREAKS", ""));
    let notes = &unsaid.loads[0].limbs[0].not_checked;
    assert!(notes.iter().any(|n| n.settle == "breaks 200 N"), "{notes:?}");
    // 20 teeth of 5 mm: radius 15.915 mm; 60 N at it are 0.955 N.m.
    let belt = of("figure mill { board plywood-9 600 mm by 900 mm
        limb sails { pivot (300, 700) mm tip (300, 1020) mm bolt M8 sheet plywood-6 length 320 mm width 40 mm
          drive spin { motor wiper at (300, 500.6) mm belt 20 40 pitch 5 mm length 550 mm  breaks 60 N }
          gesture round { spin 1 turn per 8 s } } }");
    near(at(&belt, "belt"), 60.0 * 0.015_915, "belt");
    near(belt.torque.unwrap(), 28.0, "14 N.m through 1 to 2");
}

const SWAY: &str = "motor slow { kind synchronous  voltage 24 V  frequency 50 Hz  free 3 1/3 rpm
    stall 1.07 N.m  INERTIA }
  figure scarecrow { board plywood-9 620 mm by 1350 mm
    limb arm { pivot (300, 900) mm  tip (700, 900) mm  sheet plywood-6  inertia 0.018 kg.m2
      mass 0.2 kg  centre 180 mm
      drive slotted-arm { motor slow at (300, 800) mm  crank 25 mm }
      gesture sway { sweep -14.5 deg to 14.5 deg within 4 deg } } }";

#[test]
fn a_motor_in_step_with_the_mains_starts_what_its_sheet_names() {
    // Crank 25 mm, shaft 100 mm from the bolt: the limb turns at most 25/(100 - 25) = 1/3 as
    // fast as the crank, and 0.018 kg.m2/9 = 0.002 on the shaft.
    let heavy = |inertia: &str| {
        let compiled = compile(&SWAY.replace("INERTIA", inertia));
        compiled.findings.iter().any(|f| f.code.word == "start-heavy")
    };
    assert!(heavy("inertia 0.00199 kg.m2"));
    assert!(!heavy("inertia 0.00201 kg.m2"));
    let unsaid = compile(&SWAY.replace("INERTIA", ""));
    let notes = &unsaid.loads[0].limbs[0].not_checked;
    assert!(notes.iter().any(|n| n.what.contains("0.002 kg.m2")), "{notes:?}");
}

#[test]
fn no_limit_is_advised_that_its_motor_never_draws() {
    let help = |weight: f64| {
        let compiled = compile(&format!(
            "motor drum {{ kind brushed voltage 12 V free 45 rpm 0.2 A stall 1.5 N.m 3 A }}
             figure f {{ board plywood-9 600 mm by 1400 mm
               limb arm {{ pivot (300, 700) mm tip (700, 700) mm sheet plywood-6 weighed {weight} kg balances 200 mm
                 drive four-bar {{ motor drum at (300, 400) mm limit 0.5 A crank 30 mm rod 300 mm lever 80 mm at 90 deg }}
                 gesture wave {{ sweep -20 deg to 20 deg cycle 4 s }} }} }}"
        ));
        let found = compiled.findings.iter().find(|f| f.code.word == "motor-stalls");
        found.and_then(|f| f.help.clone()).unwrap_or_default()
    };
    // Kt 1.5/2.8 = 0.536 N.m/A, so that the limit gives 0.16 N.m; twelve times the weight asks
    // for more than the 3 A that it draws when it is held. A weak one with twice its free current
    // is to be left three times what is asked: 0.4 A + 3 T/(0.8 x 0.536), T between 0.16 and 0.23.
    assert!(help(1.0).contains("let 2 A through"), "{}", help(1.0));
    assert!(help(12.0).contains("held fast it draws 3 A"), "{}", help(12.0));
}

/// Kt = 14/14.8 = 0.9459 N.m/A: what a driver's limit I lets
/// through is Kt (I - 1.2 A), by a weak one on a cold night 0.8 Kt (I - 2.4 A), of
/// which a third may be asked in calm air and all of it in the gust.
#[test]
fn what_a_driver_lets_through_is_what_its_motor_bears() {
    let of = |limit: f64| {
        compile(&format!(
            "motor drum {{ kind brushed voltage 12 V free 45 rpm 1.2 A stall 14 N.m 16 A self-locking yes }}
             figure f {{ board plywood-9 600 mm by 1400 mm
               limb arm {{ pivot (300, 700) mm tip (700, 700) mm
                 sheet plywood-6 outline (280, 680) (700, 680) (700, 720) (280, 720) mm weighed 1.5 kg balances 200 mm
                 drive four-bar {{ motor drum at (300, 400) mm limit {limit:.4} A crank 30 mm rod 300 mm lever 80 mm at 90 deg }}
                 gesture wave {{ sweep -20 deg to 20 deg cycle 4 s }} }} }}"
        ))
    };
    let kt = 14.0 / 14.8;
    let free = of(40.0);
    let peak = free.loads[0].limbs[0].cycle.as_ref().unwrap().motor.peak;
    assert!(peak > 0.8 * kt * 0.3 && peak < 1.5, "{peak}");
    let stalls = |limit: f64| {
        let compiled = of(limit);
        let found = compiled.findings.iter().find(|f| f.code.word == "motor-stalls");
        found.map(|f| f.severity)
    };
    let least = 2.4 + 3.0 * peak / (0.8 * kt);
    assert_eq!(stalls(least * 1.001), None);
    assert_eq!(stalls(least * 0.999), Some(Severity::Warning));
    assert_eq!(stalls(1.2 + peak / (0.8 * kt) * 0.999), Some(Severity::Error));
    let compiled = of(10.0);
    let load = compiled.loads[0].motors[0].brushed().unwrap();
    near(load.stall.0, kt * 8.8, "at its limit");
    near(load.margin.unwrap(), kt * 8.8 / peak, "margin");
    near(load.weak_stall().0, 0.8 * kt * 7.6, "a weak one in the cold");
    let wind = compiled.loads[0].limbs[0].wind.as_ref().unwrap();
    let gust = wind.limits.iter().find(|l| l.code.word == "motor-stalls").unwrap();
    near(gust.bears, 0.8 * kt * 7.6, "in the gust");
    // Nor is any limit advised that is too low for its own work.
    for share in (1..100).map(|n| f64::from(n) / 100.0) {
        assert!(load.limit_for(share).is_none_or(|amps| amps.0 >= least), "{share}");
    }
    assert!(load.limit_for(0.9).is_some());
    // Above what its supply drives through it a limit changes nothing.
    let weak = free.loads[0].motors[0].brushed().unwrap().weak_stall().0;
    near(weak, 0.8 * kt * (11.5 / 0.75 - 1.2), "without a limit");
}

/// What is told of the stops of the one limb of a figure.
fn at_stops(words: &str) -> Option<String> {
    let assumed = compile(words).loads[0].limbs[0].assumed.clone();
    assumed.into_iter().find(|n| n.what.starts_with("run into its stops")).map(|n| n.what)
}

/// A servo is held by its own stall straight on the limb: 0.5 N.m are 5 N at 100 mm, and gears
/// that survive 0.4 go from 4 N on. A ram of 150 N whose lever of 100 mm stands 60 deg to it
/// there turns with 150 x 0.1 x sin 60 = 12.99 N.m: 130 N. A crank never takes its limb there.
#[test]
fn a_motor_that_runs_its_limb_into_its_stops_pushes_as_far_as_it_comes_there() {
    let owl = "motor neck { kind servo slew 0.2 s per 60 deg stall 0.5 N.m 0.8 A survives 0.4 N.m
        pulse 1000 us at -45 deg 2000 us at 45 deg }
      figure owl { board plywood-9 600 mm by 900 mm
        limb head { pivot (300, 700) mm tip (300, 800) mm bolt M8 weighed 0.2 kg balances 40 mm clamp pin
          stops 60 deg to 120 deg
          drive servo { motor neck } gesture look { sweep 70 deg to 110 deg cycle 4 s } } }";
    let told = at_stops(owl).expect("a servo gets there");
    assert!(told.contains("with 5 N 100 mm from its bolt at 60 deg (from 4 N on"), "{told}");
    assert!(told.contains("5 N 100 mm from its bolt at 120 deg"), "{told}");
    // Anchor 200 mm left of the pivot, lever along the limb: at 60 deg from the line to the
    // anchor the ram is sqrt(200^2 + 100^2 - 2 x 200 x 100 x cos 60) = 173.2 mm long and stands
    // square to the lever (30-60-90): 150 N x 0.1 m are 15 N.m, 150 N at 100 mm.
    let gate = "motor jack { kind ram force 150 N speed 0.01 m/s length 165 to 265 mm }
      figure gate { board plywood-9 900 mm by 900 mm
        limb wing { pivot (500, 300) mm tip (700, 300) mm bolt M8 weighed 1 kg balances 100 mm
          stops 59 deg to 120 deg
          drive ram { motor jack  anchor (300, 300) mm  lever 100 mm at 0 deg }
          gesture open { on } } }";
    let told = at_stops(gate).unwrap_or_default();
    assert!(told.contains("with 150 N 100 mm from its bolt at 120 deg"), "{told}");
    let arm = ARM.replace("LIMIT", "limit 4 A").replace("CLAMP", "pin stops 100 deg to 180 deg");
    assert_eq!(at_stops(&arm), None);
}

//! Supplies, cables, batteries and seasons of whole small yards, against sums made by hand.

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::model::BenchTest;
use yardwright::source::MemoryDisk;

fn compile(text: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/yard/a.yard", text);
    Compiler::new(disk).compile(Path::new("/yard/a.yard")).expect("it is a text")
}

fn codes(compiled: &Compiled) -> Vec<&'static str> {
    compiled.findings.iter().map(|f| f.code.word).collect()
}

fn near(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "{got}, by hand {want} +- {tolerance}");
}

/// Bears that drum with an arm too light to matter, on a motor that draws 3 A.
fn bears(supplies: &str, power: &str, cues: &str) -> String {
    format!(
        "use parts
yard orchard {{ size 18 m by 10 m  mains 230 V 50 Hz }}
{supplies}
motor fan {{ kind brushed  voltage 12 V  free 40 rpm 3 A  stall 30 N.m 40 A  self-locking yes }}
set bear at (5 m, 4 m) facing south
set cub like bear at (7 m, 4 m) facing south
set calf like bear at (9 m, 4 m) facing south
figure bear {{
  board plywood-9 620 mm by 1350 mm
  {power}
  limb arm {{
    pivot (150, 880) mm  tip (-250, 1150) mm  weighed 1 g  balances 1 mm  inertia 0.000001 kg.m2
    drive four-bar {{ motor fan at (310, 806) mm  limit 3.5 A  crank 30 mm  rod ?  lever 80 mm at ? }}
    gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 2 s }}
  }}
}}
show evening {{
{cues}
}}
season autumn {{
  nights 2027-10-22 to 2027-10-31 except 2027-10-25
  first 18:00
  runs 5 of evening every 25 min
}}
"
    )
}

const SHED: &str =
    "supply shed at (17 m, 9 m) { voltage 12 V  limit 8 A  cable 2.5 mm2  fuse 10 A }";

/// Three at a time take 9 A of 8 for the 0.4 s by which two of them overlap the third, and
/// 0.5 A more for the tenth of a second of the start.
#[test]
fn an_overload_of_four_tenths_of_a_second_is_found() {
    let overlap =
        "0:10 bear.arm hit for 20 s\n0:20 calf.arm hit for 4 s\n0:23.6 cub.arm hit for 6 s";
    let compiled = compile(&bears(SHED, "power shed run 13 m", overlap));
    let peak = compiled.power.supplies[0].peak.clone().unwrap();
    near(peak.amps.0, 9.5, 0.01);
    near(peak.running.0, 9.0, 0.01);
    near(peak.at.0, 23.6, 1e-6);
    near(peak.over.0, 0.4, 1e-6);
    assert_eq!(peak.of.len(), 3);
    assert!(codes(&compiled).contains(&"supply-overloaded"), "{:?}", codes(&compiled));

    let apart = "0:10 bear.arm hit for 20 s\n0:20 calf.arm hit for 4 s\n0:24 cub.arm hit for 6 s";
    let compiled = compile(&bears(SHED, "power shed run 13 m", apart));
    let peak = compiled.power.supplies[0].peak.clone().unwrap();
    near(peak.amps.0, 6.5, 0.01);
    near(peak.over.0, 0.0, 1e-9);
    assert!(!codes(&compiled).contains(&"supply-overloaded"), "{:?}", codes(&compiled));
}

/// 20 s of 3 A, five times a night.
#[test]
fn a_night_and_a_season_add_up() {
    let compiled = compile(&bears(SHED, "power shed run 13 m", "0:10 bear.arm hit for 20 s"));
    let shed = &compiled.power.supplies[0];
    near(shed.charge.unwrap().0, 3.0 * 20.0 / 3600.0 * 5.0, 1e-4);
    near(shed.night.unwrap(), 12.0 * 3.0 * 20.0 / 3600.0 * 5.0, 1e-3);
    // 10 nights less one, 5 runs of 10 swings each.
    let wear = compiled.power.wear[0][0];
    near(wear.cycles, 9.0 * 5.0 * 10.0, 1e-6);
    near(wear.hours, 9.0 * 5.0 * 20.0 / 3600.0, 1e-9);
    near(wear.duty, 20.0 / 600.0, 1e-9);
}

/// A chain: 10 m of 2.5 mm2 to a tap without a voltage of its own, 5 m of the same to the
/// figure. And a converter to half the voltage draws half the current over its efficiency.
#[test]
fn chains_and_converters_pass_on_what_they_take() {
    let taps = format!("{SHED}\nsupply tap at shed {{ run 10 m  fuse 5 A }}");
    let compiled = compile(&bears(&taps, "power tap run 5 m", "0:10 bear.arm hit for 20 s"));
    let cable = &compiled.power.cables[0];
    near(cable.ohm.unwrap().0, 2.0 * 0.01724 * 15.0 / 2.5, 1e-9);
    near(cable.volts.unwrap().0, 12.0, 1e-9);
    near(cable.drop.unwrap().0, 2.0 * 0.01724 * 15.0 / 2.5 * 3.0, 1e-3);
    for supply in &compiled.power.supplies {
        near(supply.peak.as_ref().unwrap().running.0, 3.0, 0.01);
    }

    let half =
        "supply mains-box at (17 m, 9 m) { voltage 24 V  limit 8 A  cable 2.5 mm2  fuse 10 A }
supply shed at mains-box { voltage 12 V  limit 8 A  cable 2.5 mm2  fuse 5 A }";
    let compiled = compile(&bears(half, "power shed run 13 m", "0:10 bear.arm hit for 20 s"));
    let running = |n: usize| compiled.power.supplies[n].peak.as_ref().unwrap().running.0;
    near(running(1), 3.0, 0.01);
    near(running(0), 3.0 * 0.5 / 0.85, 0.01);
}

/// What speaks of a motor is asked for, by name, where its sheet is silent.
#[test]
fn missing_figures_are_asked_for() {
    let silent = bears(SHED, "power shed run 13 m", "0:10 bear.arm hit for 20 s")
        .replace("stall 30 N.m 40 A", "stall 30 N.m");
    let compiled = compile(&silent);
    let notes: Vec<&str> = compiled.not_checked(0, 0).map(|n| n.what.as_str()).collect();
    assert!(notes.iter().any(|n| n.contains("stall current")), "{notes:?}");
    let shed = &compiled.power.supplies[0];
    assert!(shed.peak.is_none() && shed.not_counted.len() == 1, "{shed:?}");
}

/// 20 turns in 26.7 s, and 5 kg on a drum of 100 mm three turns in 4.85 s: T = 5 x 9.80665 x
/// 0.05 = 2.4517 N.m, n0 = 44.944, n1 = 37.113, Ts = T n0/(n0 - n1) = 14.07 N.m, Is = 1.2 +
/// 2.6 x 14.07/2.4517 = 16.12 A; good to hypot(2 %, 4.74 x 0.72 %) = 4 %.
#[test]
fn a_motor_is_known_by_two_easy_measurements() {
    let junk = bears(SHED, "power shed run 13 m", "0:10 bear.arm hit for 20 s").replace(
        "voltage 12 V  free 40 rpm 3 A  stall 30 N.m 40 A",
        "counted 20 turns in 26.7 s at 12 V 1.2 A  lifted 5 kg on drum 100 mm 3 turns in 4.85 s 3.8 A",
    );
    let compiled = compile(&junk);
    let sheet = &compiled.yard.figures[0].figure.actuators[0].motor;
    near(sheet.stall.unwrap().0, 14.07, 0.005);
    near(sheet.stall_current.unwrap().0, 16.12, 0.01);
    let Some(BenchTest::Lifted { slowing, error, .. }) = sheet.tested else {
        panic!("{:?}", sheet.tested)
    };
    near(slowing, 0.1742, 1e-4);
    near(error, 0.04, 0.001);
    let notes: Vec<&str> = compiled.assumed(0, 0).map(|n| n.what.as_str()).collect();
    assert!(notes.iter().any(|n| n.contains("give or take 4 %")), "{notes:?}");
    assert!(!codes(&compiled).contains(&"weight-too-light"));
}

#[test]
fn a_cycle_that_no_show_plays_is_held_against_its_motor() {
    let told = |cycle: &str, show: &str| -> Vec<String> {
        let compiled = compile(&format!(
            "use parts
             motor drum {{ kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  spread 10 % }}
             figure bear {{ board plywood-9 620 mm by 1350 mm
               limb arm {{ pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6
                 drive four-bar {{ motor drum at (310, 806) mm limit 4 A  crank 30 mm  rod ?  lever 80 mm at ? }}
                 gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle {cycle} }} }} }}
             {show}"
        ));
        let motor = |w: &str| w.contains("-for-motor") || w == "cold";
        compiled.findings.iter().filter(|f| motor(f.code.word)).map(|f| f.message.clone()).collect()
    };
    // A turn in half a second is 120 a minute; 45 less a tenth is 40.5, a turn in 1.49 s.
    let fast = told("0.5 s", "");
    assert!(fast.len() == 1 && fast[0].contains("needs 120 turns a minute"), "{fast:?}");
    assert_eq!(told("2.1 s", ""), Vec::<String>::new());
    // Where a show plays it, it is told once.
    assert_eq!(told("0.5 s", "show evening { 0:10 bear.arm hit for 20 s }").len(), 1);
}

#[test]
fn a_turn_that_no_show_plays_is_held_against_its_servo() {
    let told = |over: &str| {
        let compiled = compile(&format!(
            "use parts
             figure owl {{ board plywood-9 620 mm by 1350 mm
               limb head {{ pivot (300, 880) mm  tip (300, 1150) mm  sheet plywood-6
                 drive servo {{ motor servo-standard }}
                 rest 90 deg
                 gesture look {{ turn to 60 deg over {over} }} }} }}"
        ));
        let all = compiled.findings.iter().filter(|f| f.code.word == "too-fast-for-servo");
        all.map(|f| f.severity).collect::<Vec<_>>()
    };
    // 30 deg eased in a tenth of a second peak at 30 x 1.875/0.1 = 562 deg/s (M35); an
    // ordinary servo makes some 300.
    assert_eq!(told("0.1 s"), [yardwright::finding::Severity::Error]);
    assert_eq!(told("1 s"), []);
}

#[test]
fn a_feeder_carries_what_all_on_it_take() {
    // Three drummers of 3 A on a tap 30 m off through 4 mm2: 2 x 0.01724 x 30/4 = 0.2586
    // ohm, 9 A through it. A bear's own cable of 2 m of 4 mm2 has 0.01724 ohm.
    let supplies =
        "supply shed at (17 m, 9 m) { voltage 12 V  limit 30 A  cable 4 mm2  fuse 7.5 A }
supply box at shed { run 30 m  cable 4 mm2  fuse 7.5 A }";
    let cues = "0:10 bear.arm hit for 20 s\n0:10 cub.arm hit for 20 s\n0:10 calf.arm hit for 20 s";
    let compiled = compile(&bears(supplies, "power box run 2 m", cues));
    let drop = compiled.power.cables[0].drop.expect("length and conductor are known").0;
    near(drop, 9.0 * 0.2586 + 3.0 * 0.01724, 0.01);
    // The fuse of 7.5 A at the shed does not carry 9; the bears' own carry 3.
    let blows: Vec<&str> = compiled
        .findings
        .iter()
        .filter(|f| f.code.word == "fuse-blows")
        .map(|f| f.message.as_str())
        .collect();
    assert!(blows.len() == 1 && blows[0].contains("the feeder from shed to box"), "{blows:?}");
    assert!(blows[0].contains("and 9 A run through it"), "{blows:?}");
}

#[test]
fn a_fuse_smaller_than_what_runs_is_told_and_a_supply_without_limit_noted() {
    let of = |fuse: &str, limit: &str| {
        let supply = format!(
            "supply shed at (17 m, 9 m) {{ voltage 12 V {limit} cable 2.5 mm2  fuse {fuse} A }}"
        );
        compile(&bears(&supply, "power shed run 13 m", "0:10 bear.arm hit for 20 s"))
    };
    let severity = |fuse: &str| {
        let compiled = of(fuse, "limit 30 A");
        let found = compiled.findings.iter().find(|f| f.code.word == "fuse-blows");
        found.map(|f| f.severity)
    };
    use yardwright::finding::Severity::{Error, Warning};
    // 3 A run; 1.25 times that is 3.75.
    assert_eq!(["2", "3.5", "4"].map(severity), [Some(Error), Some(Warning), None]);
    let noted = |limit: &str| {
        let notes = of("5", limit).power.supplies[0].not_counted.clone();
        notes.iter().any(|n| n.contains("`limit` is not written"))
    };
    assert!(noted("") && !noted("limit 30 A"));
}

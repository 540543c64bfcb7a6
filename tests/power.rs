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

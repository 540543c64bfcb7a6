//! Supplies, cables, batteries and seasons of whole small yards, against sums made by hand.

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::finding::Severity;
use yardwright::loads::wind_limit::Source;
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
    let wear = &compiled.power.wear[0][0];
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

/// The motor of each bear hangs on a box of its own beside the shed, over 13 m of 0.5 mm2:
/// 2 x 0.01724 x 13/0.5 = 0.8965 ohm, 2.69 V of 12 at 3 A; such a one bears 3 A (20 AWG's
/// hair below, by table), and the box's fuse is of 15 A.
#[test]
fn the_cable_of_a_motor_with_a_supply_of_its_own_is_held_to_drop_and_fuse() {
    let supplies =
        "supply shed at (17 m, 9 m) { voltage 12 V  limit 8 A  cable 2.5 mm2  fuse 10 A }
supply box at (17 m, 9 m) { voltage 12 V  limit 30 A  cable 0.5 mm2  fuse 15 A }";
    let yard = bears(supplies, "power shed run 13 m", "0:10 bear.arm hit for 20 s")
        .replace("limit 3.5 A ", "power box  limit 3.5 A ");
    let compiled = compile(&yard);
    // The box stands in another place than the shed's own cable starts from: its way is the
    // straight line and a fifth, hypot(12, 5) x 1.2 = 15.6 m.
    let cable = compiled.power.cables.iter().find(|c| c.supply == "box").expect("it has a cable");
    assert_eq!((cable.figure.as_str(), cable.motors.len()), ("bear", 1));
    near(cable.run.unwrap().0, 15_600.0, 1e-6);
    near(cable.drop.unwrap().0, 2.0 * 0.01724 * 15.6 / 0.5 * 3.0, 1e-3);
    let told: Vec<&str> = codes(&compiled);
    assert!(told.contains(&"cable-drop"), "{told:?}");
    assert!(told.contains(&"cable-unprotected"), "{told:?}");
    let drop = compiled.findings.iter().find(|f| f.code.word == "cable-drop").unwrap();
    assert_eq!(drop.limb.as_deref(), Some("arm"));

    // Its length was taken: that is told, and what follows from it is no more than typical.
    let load = compiled.power.supplies.iter().find(|s| s.name == "box").unwrap();
    let note = load.assumed.iter().find(|n| n.what.starts_with("cable to")).expect("it is told");
    assert!(note.what.starts_with("cable to bear.arm, "), "{}", note.what);
    assert!(note.what.ends_with("as long as the straight line and a fifth, up to 15.6 m"));
    let ohm = |compiled: &Compiled, supply: usize| {
        let inputs = &compiled.power.supplies[supply].drawers[0].inputs;
        inputs.iter().find(|i| i.name == "cable_resistance").expect("a motor has it").source
    };
    assert_eq!(ohm(&compiled, 1), Source::Typical);
    let known = compile(&bears(supplies, "power shed run 13 m", "0:10 bear.arm hit for 20 s"));
    assert_eq!(ohm(&known, 0), Source::Worked);

    let thick = yard.replace("0.5 mm2  fuse 15 A", "2.5 mm2  fuse 5 A");
    let told = compile(&thick);
    let told = codes(&told);
    assert!(!told.iter().any(|c| c.starts_with("cable") || c.starts_with("fuse")), "{told:?}");
}

/// A box 10 m down the cable from the shed: a bear 13 m from the shed has hypot(12, 5) x 1.2 -
/// 10 = 5.6 m to it, not the whole way once more.
#[test]
fn the_way_to_a_box_is_not_laid_again() {
    let taps = format!("{SHED}\nsupply tap at shed {{ run 10 m  fuse 5 A }}");
    let compiled = compile(&bears(&taps, "power tap", "0:10 bear.arm hit for 20 s"));
    let cable = &compiled.power.cables[0];
    assert!(!cable.measured);
    near(cable.run.unwrap().0, 5_600.0, 1e-6);
    near(cable.ohm.unwrap().0, 2.0 * 0.01724 * 15.6 / 2.5, 1e-9);
    let tap = compiled.power.supplies.iter().find(|s| s.name == "tap").unwrap();
    assert!(tap.assumed.iter().any(|n| n.what.contains("less what leads to it")), "{tap:?}");
    // Nearer than the box is far from the shed: a metre is left to it.
    let far = taps.replace("run 10 m", "run 30 m");
    let compiled = compile(&bears(&far, "power tap", "0:10 bear.arm hit for 20 s"));
    near(compiled.power.cables[0].run.unwrap().0, 1_000.0, 1e-9);
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

/// 60 mm a turn: T = 5 x 9.80665 x 0.03 = 1.471 N.m, n0 = 45.455, n1 = 36, Ts = 7.072 N.m,
/// Is = 1.2 + 3.1 x 7.072/1.471 = 16.1 A: Kt/Ke = 0.475/2.5 = 0.19. A sheet that says so is doubted;
/// a maker who counted and lifted is told, and is believed.
#[test]
fn what_was_measured_of_a_motor_is_believed() {
    let line = "voltage 12 V  free 40 rpm 3 A  stall 30 N.m 40 A";
    let told = |figures: &str| {
        let text =
            bears(SHED, "power shed run 13 m", "0:10 bear.arm hit for 20 s").replace(line, figures);
        let found = compile(&text).findings;
        let found = found.into_iter().find(|f| f.code.word == "data-implausible").unwrap();
        (found.severity, found.help.unwrap())
    };
    let (severity, help) = told(
        "counted 20 turns in 26.4 s at 12.6 V 1.2 A  lifted 5 kg on drum 60 mm 3 turns in 5.0 s 4.3 A",
    );
    assert_eq!(severity, Severity::Advice);
    assert!(help.starts_with("measure once more"), "{help}");
    let (severity, help) = told("voltage 12.6 V  free 45.455 rpm 1.2 A  stall 7.072 N.m 16.1 A");
    assert_eq!(severity, Severity::Warning);
    assert!(help.contains("`counted`"), "{help}");
}

/// A frog of bore 16, rod 6 and way 100 mm at 400 kPa: out (pi/4) 16^2 x 100 = 20.106 cm3, back
/// (pi/4)(16^2 - 6^2) x 100 = 17.279 cm3, times (400 + 100)/100: 0.18693 standard litres a hop.
/// It hops three times in six seconds.
fn frog(tank: &str) -> Compiled {
    hopping(
        tank,
        &["evening"],
        "season autumn { nights 2027-10-22 to 2027-10-31  first 18:00  runs 5 of evening every 10 min }",
    )
}

/// That frog with something said of its yard, in these shows, which are alike, and seasons.
fn hopping(yard: &str, shows: &[&str], seasons: &str) -> Compiled {
    let show = |name: &&str| {
        format!("show {name} {{ 0:10 frog.body hop\n 0:13 frog.body hop\n 0:16 frog.body hop }}\n")
    };
    let shows: String = shows.iter().map(show).collect();
    compile(&format!(
        "use parts
yard orchard {{ size 18 m by 10 m  {yard} }}
motor puff {{ kind cylinder  bore 16 mm  rod 6 mm  stroke 100 mm }}
set frog at (5 m, 4 m) facing south
figure frog {{ board plywood-9 620 mm by 900 mm
  limb body {{ slide from (300, 300) mm to (300, 400) mm  weighed 0.5 kg
    drive cylinder {{ motor puff at (300, 100) mm  length 200 to 300 mm  air shed at 400 kPa  throttle up 0.4 s down 0.6 s }}
    gesture hop {{ pulse up for 1 s }} }} }}
{shows}{seasons}
"
    ))
}

const HOP: f64 = 0.186_925;

/// 0.2 l filled to 600 kPa hold 1.4 standard litres, and 1.0 at 400 kPa: of the 0.4 between
/// them two hops are fed and the third is not, with 1.4 - 3 x 0.18693 = 0.8392 left, 319.6 kPa.
/// Five runs of three take 2.804, so that V (800 - 400)/100 wants 0.71 l at 800 kPa.
#[test]
fn a_tank_without_a_pump_lasts_as_many_strokes_as_it_holds() {
    let small = frog("tank shed 0.2 l full 600 kPa");
    let found = small.findings.iter().find(|f| f.code.word == "tank-empties").unwrap();
    assert!(found.message.starts_with("the tank shed falls to 320 kPa at 15.6 s"), "{found:?}");
    assert!(found.help.as_ref().unwrap().starts_with("take a tank of 2 l"), "{found:?}");
    near(small.power.air[0].show.0, 3.0 * HOP, 1e-4);
    let enough = frog("tank shed 0.71 l full 800 kPa");
    assert!(!codes(&enough).contains(&"tank-empties"), "{:?}", enough.findings);
    let level = enough.power.air[0].level.as_ref().unwrap();
    near(level.least.0 * 1e-3, (0.71 * 9.0 - 15.0 * HOP) / 0.71 * 100.0 - 100.0, 0.05);
    assert_eq!((level.run, level.refill), (5, None));
    let scant = frog("tank shed 0.69 l full 800 kPa");
    let found = scant.findings.iter().find(|f| f.code.word == "tank-empties").unwrap();
    assert!(found.message.contains("run 5 of evening"), "{found:?}");
}

/// Three hops take 0.5608 of 1.4 standard litres within 6 s; 0.4 may be missing at the last, so
/// that the pump must have given 0.1608 since the first: 1.61 l/min. In the ten minutes to
/// the next run it fills the tank again, in 0.4 / 1.61 min = 15 s.
#[test]
fn a_pump_fills_a_tank_between_strokes_and_runs() {
    for (pump, lasts) in [("1.58", false), ("1.63", true)] {
        let compiled = frog(&format!("tank shed 0.2 l full 600 kPa pump {pump} l/min"));
        assert_eq!(!codes(&compiled).contains(&"tank-empties"), lasts, "{pump}");
        let level = compiled.power.air[0].level.as_ref().unwrap();
        assert_eq!(level.run, 1, "{pump}");
        near(level.refill.unwrap().0, 15.0, 0.5);
    }
}

/// Of a night with two shows both count: 0.9 l at 600 kPa give 1.8 standard litres above 400
/// kPa, a night of one `evening` and three `late`s takes 4 x 3 hops, 2.2431. A season of each show
/// alone takes half of it at most. Runs that would end too late do not count either.
#[test]
fn a_tank_is_held_against_the_nights_as_they_are_played() {
    let of = |seasons: &str| {
        let yard = "tank shed 0.9 l full 600 kPa  place 51.8 deg -2.3 deg zone \"Europe/London\"";
        let compiled = hopping(yard, &["evening", "late"], seasons);
        let empties = codes(&compiled).contains(&"tank-empties");
        (compiled.power.air[0].night.0, empties)
    };
    let october = "nights 2027-10-22 to 2027-10-31  first 18:00";
    let december = "nights 2027-12-01 to 2027-12-05  first 18:00";
    let (night, empties) =
        of(&format!("season a {{ {october}  runs 1 of evening  runs 3 of late every 1 min }}"));
    near(night, 12.0 * HOP, 1e-4);
    assert!(empties);
    let (night, empties) = of(&format!(
        "season a {{ {october}  runs 3 of evening every 1 min }}\nseason b {{ {december}  runs 3 of late every 1 min }}"
    ));
    near(night, 9.0 * HOP, 1e-4);
    assert!(!empties);
    // Three of the thirty are over by 18:25: at 18:00, 18:10 and 18:20.
    let (night, empties) =
        of(&format!("season a {{ {october}  end by 18:25  runs 30 of evening every 10 min }}"));
    near(night, 9.0 * HOP, 1e-4);
    assert!(!empties);
}

/// Without a tank in the yard it is said that nothing was held against it, and what to write.
#[test]
fn a_tank_nobody_describes_is_asked_for_by_its_name() {
    let silent = frog("");
    let notes = &silent.power.air[0].not_checked;
    assert!(notes.len() == 1 && notes[0].settle.starts_with("tank shed 24 l"), "{notes:?}");
    let other = frog("tank shad 24 l full 800 kPa");
    assert_eq!(other.power.air[0].not_checked.len(), 1);
    assert!(other.power.air[0].not_checked[0].what.contains("did you mean shad?"));
    let said = frog("tank shed 24 l full 800 kPa pump 30 l/min");
    assert_eq!(said.power.air[0].not_checked, []);
    let parts: Vec<&str> = said.stock().parts.iter().map(|p| p.about.as_str()).collect();
    let tank =
        "shed, with its pressure regulator; 24 l, filled to 800 kPa, with a pump of 30 l/min";
    assert!(parts.contains(&tank), "{parts:?}");
    assert_eq!(silent.not_made(), frog("tank shed 24 l full 800 kPa").not_made() + 1);
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
    assert_eq!(told("0.1 s"), [Severity::Error]);
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
        notes.iter().any(|n| n.what.contains("`limit` is not written"))
    };
    assert!(noted("") && !noted("limit 30 A"));
}

/// 20 m of 0.5 mm2 have 2 x 0.01724 x 20/0.5 = 1.3792 ohm; 3 A lose 4.14 V of 12 there. A
/// box that only gives on the shed's voltage makes nothing of it, and loses nothing more.
#[test]
fn a_box_of_the_same_voltage_is_a_tap_and_its_feeder_counts() {
    let supplies =
        "supply shed at (17 m, 9 m) { voltage 12 V  limit 30 A  cable 0.5 mm2  fuse 4 A }
supply box at shed { voltage 12 V  run 20 m  cable 2.5 mm2  fuse 4 A }";
    let compiled = compile(&bears(supplies, "power box run 13 m", "0:10 bear.arm hit for 20 s"));
    let cable = &compiled.power.cables[0];
    let own = 2.0 * 0.01724 * 13.0 / 2.5;
    near(cable.ohm.unwrap().0, 1.3792 + own, 1e-6);
    near(cable.drop.unwrap().0, 3.0 * (1.3792 + own), 0.01);
    let found = compiled.findings.iter().find(|f| f.code.word == "cable-drop").unwrap();
    assert!(found.message.contains("4.1 V of them on the feeder to box"), "{}", found.message);
    near(compiled.power.supplies[0].peak.as_ref().unwrap().running.0, 3.0, 0.01);
    assert!(compiled.power.supplies.iter().all(|s| s.assumed.is_empty() && !s.converts));
}

/// A converter to 6 V 100 m off takes 3 x 12/24/0.85 = 1.765 A of 24 V through 0.5 mm2:
/// 2 x 0.01724 x 100/0.5 = 6.896 ohm, 12.17 V, half of what there is. With 10 mm2: 0.61 V.
#[test]
fn the_feeder_of_a_converter_is_held_to_the_same_rule() {
    let told = |cable: &str| {
        let supplies = format!(
            "supply shed at (17 m, 9 m) {{ voltage 24 V  limit 30 A  cable {cable}  fuse 3 A }}
supply box at shed {{ voltage 12 V  run 100 m  limit 8 A  cable 2.5 mm2  fuse 4 A }}"
        );
        compile(&bears(&supplies, "power box run 13 m", "0:10 bear.arm hit for 20 s"))
    };
    let compiled = told("0.5 mm2");
    let found: Vec<_> = compiled.findings.iter().filter(|f| f.code.word == "cable-drop").collect();
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].message.contains("12.2 of 24 V"), "{}", found[0].message);
    // 1.765 x 2 x 0.01724 x 100/2.4 = 2.54 mm2, so the next stock size.
    assert!(found[0].help.as_ref().unwrap().starts_with("4 mm2 from shed to box"), "{found:?}");
    let assumed = &compiled.power.supplies[1].assumed;
    assert!(assumed.iter().any(|n| n.what.contains("85 % comes out")), "{assumed:?}");
    assert!(!codes(&told("10 mm2")).contains(&"cable-drop"));
}

/// A motor in step with the mains whose current nobody wrote is asked for, and counts among
/// the checks that were not made.
#[test]
fn a_motor_without_a_current_is_not_checked_and_counted() {
    let text = |current: &str| {
        bears(
            "supply shed at (17 m, 9 m) { voltage 24 V  ac  limit 8 A  cable 2.5 mm2  fuse 5 A }",
            "power shed run 13 m",
            "0:10 bear.arm hit for 20 s",
        )
        .replace(
            "kind brushed  voltage 12 V  free 40 rpm 3 A  stall 30 N.m 40 A",
            &format!(
                "kind synchronous  voltage 24 V  frequency 50 Hz  free 30 rpm {current} stall 3 N.m"
            ),
        )
        .replace("limit 3.5 A", "")
    };
    let silent = compile(&text(""));
    let notes = &silent.power.supplies[0].not_counted;
    assert_eq!(notes.len(), 1, "{notes:?}");
    assert_eq!(notes[0].settle, "motor fan { free 30 rpm 0.2 A }");
    let said = compile(&text("0.2 A"));
    assert!(said.power.supplies[0].not_counted.is_empty());
    assert_eq!(silent.not_made(), said.not_made() + 1);
    near(said.power.cables[0].running.0, 0.2, 1e-9);
}

/// A cable that nobody measured is listed as assumed, and one of 10 mA does not read as none.
#[test]
fn a_straight_line_and_a_fifth_is_told_as_assumed() {
    // 12 m across and 5 m down are 13 m; with a fifth 15.6.
    let compiled = compile(&bears(SHED, "power shed", "0:10 bear.arm hit for 20 s"));
    let notes = &compiled.power.supplies[0].assumed;
    let note = notes.iter().find(|n| n.what.starts_with("cable to")).expect("it is told");
    assert!(note.what.ends_with("up to 15.6 m"), "{}", note.what);
    assert_eq!(note.settle, "power shed run 16 m");
    let compiled = compile(&bears(SHED, "power shed run 13 m", "0:10 bear.arm hit for 20 s"));
    assert!(compiled.power.supplies[0].assumed.is_empty());

    let weak = SHED.replace("limit 8 A", "limit 10 mA");
    let compiled = compile(&bears(&weak, "power shed run 13 m", "0:10 bear.arm hit for 20 s"));
    let found = compiled.findings.iter().find(|f| f.code.word == "supply-overloaded").unwrap();
    assert!(found.message.starts_with("shed gives 0.01 A,"), "{}", found.message);
}

/// A motor whose case is a pole is asked about where nobody wrote its output too.
#[test]
fn a_live_case_on_an_output_nobody_wrote_is_asked_about() {
    let text = |live: &str, out: &str| {
        let supplies = format!("{SHED}\ncontroller post at (10 m, 7 m) {{ power shed  {out} }}");
        let text = bears(&supplies, "power shed run 13 m", "0:10 bear.arm hit for 20 s");
        compile(&text.replace("self-locking yes", &format!("self-locking yes  case-live {live}")))
    };
    let asked = |compiled: &Compiled| {
        let notes = compiled.yard.not_checked.iter();
        notes.filter(|n| n.what.contains("whose case is its minus")).cloned().collect::<Vec<_>>()
    };
    let silent = asked(&text("yes", ""));
    assert_eq!(silent.len(), 3, "of bear, cub and calf: {silent:?}");
    let settle = silent[0].settle.strip_prefix("controller post { ").unwrap();
    let out = settle.strip_suffix(" }").unwrap();
    let settled = text("yes", out);
    assert_eq!(asked(&settled).len(), 2, "{out}: {:?}", codes(&settled));
    assert_eq!(asked(&text("no", "")), []);
}

/// A ram that makes 10 mm/s free and 7 at 150 N stops at 150 x 10/(10 - 7) = 500 N.
#[test]
fn a_held_ram_tells_what_it_pushes_with_and_what_that_rests_on() {
    let gate = |motor: &str| {
        compile(&format!(
            "use parts
yard lawn {{ size 12 m by 8 m }}
motor own {motor}
set gate at (5 m, 4 m)
figure gate {{
  board plywood-12 600 mm by 1000 mm
  limb leaf {{
    pivot (500, 350) mm  tip (1000, 350) mm  weighed 2 kg  balances 250 mm
    drive ram {{ motor own  anchor ? near (500, 80) mm within 40 mm  lever 100 mm at ? }}
    rest 0 deg
    gesture open {{ turn to 60 deg over 22 s }}
    gesture shut {{ turn to 0 deg over 22 s }}
  }}
}}
"
        ))
    };
    let hints = |c: &Compiled| codes(c).iter().filter(|w| **w == "jam").count();
    let said = gate("like ram-100 { loaded 0.007 m/s at 150 N }");
    assert_eq!(hints(&said), 1, "{:?}", codes(&said));
    near(said.loads[0].limbs[0].held.as_ref().unwrap().motor, 500.0, 1e-6);
    let notes = |c: &Compiled| c.assumed(0, 0).map(|n| n.what.clone()).collect::<Vec<_>>();
    assert!(notes(&said).iter().any(|n| n.contains("stops at 500 N")), "{:?}", notes(&said));
    // By its rated force alone, 100 mm of the leaf to 115.7 of the ram: 160 N make 138, 200 N 173.
    let by_force = |n: f64| hints(&gate(&format!("like ram-100 {{ force {n} N }}")));
    assert_eq!([160.0, 200.0].map(by_force), [0, 1]);
}

/// What is written with a motor that is like a built-in one is the maker's own.
#[test]
fn what_is_written_beside_a_built_in_motor_is_not_typical() {
    let motor = |text: &str| {
        let text = format!("use parts\nyard lawn {{ size 12 m by 8 m }}\nmotor own like wiper {{ {text} }}
set a at (5 m, 4 m)\nfigure a {{ board plywood-12 600 mm by 1000 mm\n  limb l {{ pivot (300, 700) mm  tip (300, 900) mm
    drive four-bar {{ motor own at (300, 400) mm crank 30 mm rod ? lever 80 mm at ? }} }} }}\n");
        compile(&text).yard.figures[0].figure.actuators[0].motor.clone()
    };
    let own = motor("crank-seat taper holds 20 N.m");
    assert!(own.says("seat") && !own.says("survives") && !own.says("stall"));
    assert!(motor("survives 9 N.m").says("survives"));
}

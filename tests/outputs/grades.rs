//! Each single number of a report says where it comes from, and can be worked with by hand.

use serde_json::Value;

use crate::support::Yard;

/// An even strip of plywood, 400 mm by 60 mm, on a board; `$parts` are blocks of the maker's.
fn arm(parts: &str, sheet: &str) -> String {
    format!(
        "use parts\n{parts}\nyard y {{ size 10 m by 8 m  wind run 7 m/s stand 22 m/s }}\n\
         figure f {{ board plywood-9 600 mm by 1400 mm\n\
         frame 38 mm by 38 mm {{ (300, 0) to (300, 1300) mm }}\n\
         anchor wall screws 4\n\
         limb arm {{ pivot (300, 700) mm  tip (700, 700) mm  bolt M8  bushing nylon  washer 30 mm  \
         sheet {sheet}  width 60 mm  tail 30 mm\n\
         drive four-bar {{ motor wiper at (300, 400) mm  limit 4 A  crank 30 mm  rod ?  lever 90 mm at ? }}\n\
         gesture wave {{ sweep -20 deg to 20 deg within 4 deg  cycle 2 s }} }} }}\n"
    )
}

fn report(text: &str) -> Value {
    whole(text)["figures"][0]["limbs"][0].clone()
}

fn whole(text: &str) -> Value {
    let yard = Yard::new().file("arm.yard", text);
    let mut compiler = yardwright::check::Compiler::default();
    let compiled = compiler.compile(&yard.path("arm.yard")).unwrap();
    assert_eq!(compiled.findings.len(), 0, "{:?}", compiled.findings);
    let files = yardwright::emit::outputs(&compiled, compiler.sources()).unwrap();
    let report: Value = serde_json::from_slice(&files[0].bytes).unwrap();
    assert_eq!(super::schema::faults("report.schema.json", &report), Vec::<String>::new());
    report
}

fn check<'a>(limb: &'a Value, code: &str, when: &str) -> &'a Value {
    let checks = limb["wind"]["checks"].as_array().unwrap();
    checks.iter().find(|c| c["code"] == code && c["when"] == when).unwrap()
}

/// A number by its name, and its grade.
fn number<'a>(of: &'a Value, name: &str) -> (f64, &'a str) {
    let inputs = of.as_array().unwrap();
    let input = inputs.iter().find(|i| i["name"] == name).unwrap_or_else(|| panic!("{name}"));
    (input["value"].as_f64().unwrap(), input["grade"].as_str().unwrap())
}

const OWN: &str = "sheet shed-ply { thickness 6.5 mm  mass 4.4 kg/m2  material plywood  \
                   tear 3 MPa  crush 3 MPa  stiffness 7000 MPa  bending 36 MPa }";

#[test]
fn what_the_makers_own_sheet_says_is_given_and_what_the_library_says_is_typical() {
    let of = |limb: &Value| {
        let inputs = check(limb, "limb-flops", "stand")["inputs"].clone();
        ["thickness", "modulus", "strength", "washer", "factor", "width_half_way"]
            .map(|name| number(&inputs, name).1.to_owned())
    };
    let usual = report(&arm("", "plywood-6"));
    assert_eq!(of(&usual), ["typical", "typical", "typical", "given", "fixed", "worked"]);
    assert_eq!(check(&usual, "limb-flops", "stand")["grade"], "typical");
    let (mass, own) = (&usual["loads"], report(&arm(OWN, "shed-ply")));
    assert_eq!(
        (number(&mass["mass_inputs"], "sheet").1, &mass["grade"]),
        ("typical", &"typical".into())
    );
    assert_eq!(of(&own), ["given", "given", "given", "given", "fixed", "worked"]);
    let folds = check(&own, "limb-flops", "stand");
    assert_eq!((folds["grade"].as_str(), folds.get("typical")), (Some("given"), None));
    let mass = &own["loads"];
    assert_eq!(
        (number(&mass["mass_inputs"], "sheet"), &mass["grade"]),
        ((4.4, "given"), &"given".into())
    );
}

#[test]
fn a_fold_follows_from_its_inputs_by_hand() {
    let own = report(&arm(OWN, "shed-ply"));
    let folds = check(&own, "limb-flops", "stand");
    let of = |name| number(&folds["inputs"], name).0;
    // An even strip, held from the washer's edge: M = w L^2/2, sigma = 6 M/(b t^2).
    let widths = ["width_where_it_is_held", "width_half_way", "width_at_its_end"].map(of);
    assert_eq!(widths, [60.0; 3]);
    let long = (of("reach") - of("root")) * 1e-3;
    let pressure = 0.613 * of("force_coefficient");
    let (wide, thick) = (0.060, of("thickness") * 1e-3);
    let stress = 6.0 * (pressure * wide * long * long / 2.0) / (wide * thick * thick) * 1e-6;
    let told = folds["per_gust2"].as_f64().unwrap();
    // The sum is made of 64 pieces, and the worst is told in the middle of the first.
    assert!((told / stress - 1.0).abs() < 0.02, "{told} {stress}");
    let bears = of("strength") / of("factor");
    assert!((folds["bears"].as_f64().unwrap() / bears - 1.0).abs() < 1e-9);
}

/// Its board ends at x = 600 mm, 300 mm beside the bolt: swung by 20 deg the lower edge of an
/// arm 60 mm wide leaves it (300 + 30 sin 20 deg)/cos 20 deg = 330.2 mm out.
#[test]
fn an_arm_scrapes_where_its_board_is_and_not_beyond_it() {
    let narrow = report(&arm(OWN, "shed-ply"));
    let wide = report(
        &arm(OWN, "shed-ply")
            .replace("600 mm by 1400", "1600 mm by 1400")
            .replace("screws 4", "screws 12"),
    );
    let [narrow, wide] = [&narrow, &wide].map(|limb| check(limb, "limb-flops", "run").clone());
    let of = |check: &Value, name| number(&check["inputs"], name).0;
    assert_eq!((of(&wide, "over_the_board_to"), of(&wide, "reaches")), (400.0, 400.0));
    let at = of(&narrow, "over_the_board_to");
    // Told to the next of 32 parts of its length.
    assert!((330.2..330.2 + 12.5).contains(&at), "{at}");
    // The bolt's play tilts it straight; the wind bends it as a handbook's uniformly loaded
    // cantilever, from the washers on: x^2 (6 L^2 - 4 L x + x^2)/(3 L^4) of its end's (from
    // memory), straight between the 64 pieces it is summed in.
    let ratio = |name: &str| {
        let [narrow, wide] = [&narrow, &wide].map(|c| c[name].as_f64().unwrap());
        narrow / wide
    };
    assert!((ratio("calm") - at / 400.0).abs() < 1e-9, "{}", ratio("calm"));
    let root = of(&narrow, "root");
    let x = (at - root) / (400.0 - root);
    let share = x * x * (6.0 - 4.0 * x + x * x) / 3.0;
    let bent = ratio("per_gust2");
    assert!((bent - share).abs() < 5e-4, "{bent} {share}");
    assert!((of(&narrow, "bends_there_of_its_end") - bent).abs() < 1e-9);
}

#[test]
fn what_gives_in_a_jam_follows_from_its_inputs_by_hand() {
    let own = report(&arm(OWN, "shed-ply"));
    let gives = own["loads"]["jam"]["gives"].as_array().unwrap().clone();
    let of = |what: &str| {
        let one = gives.iter().find(|g| g["what"] == what).unwrap_or_else(|| panic!("{gives:#?}"));
        (one["at_motor_torque_nm"].as_f64().unwrap(), one["inputs"].clone(), one["grade"].clone())
    };
    // A round pin of the root's diameter, bent by a force so far out: F = S pi d^3/(32 reach).
    let (told, inputs, grade) = of("its crank pin bends");
    let n = |name| number(&inputs, name).0;
    let cube = n("root") * n("root") * n("root");
    let force = n("yield") * std::f64::consts::PI * cube / 32.0 / n("reach");
    assert!((told / (force * n("arm")) - 1.0).abs() < 1e-9, "{told}");
    assert_eq!((number(&inputs, "arm").0, grade), (0.030, "typical".into()));
    // Two faces that rub, pressed evenly: 2/3 mu (R^3 - r^3)/(R^2 - r^2) each.
    let (told, inputs, grade) = of("the limb slips on its bolt");
    let n = |name| number(&inputs, name).0;
    let (out, hole) = (n("washer") / 2.0, n("hole") / 2.0);
    let ring = (out * out * out - hole * hole * hole) / (out * out - hole * hole);
    let holds = 2.0 * 2.0 / 3.0 * n("friction") * ring * 1e-3 * n("tension_left");
    assert!((told / (holds * n("limb_per_motor")) - 1.0).abs() < 1e-9, "{told}");
    assert_eq!((number(&inputs, "crush").1, grade), ("given", "typical".into()));
}

/// Two drummers on a battery by the shed, one of them through a converter, and a cylinder.
const FED: &str = "yard y { size 18 m by 10 m  mains 230 V 50 Hz }
supply shed at (17 m, 9 m) { voltage 12 V  limit 60 A  cable 2.5 mm2  fuse 10 A }
supply half at shed { voltage 6 V  limit 40 A  cable 2.5 mm2  fuse 10 A }
motor fan { kind brushed  voltage 12 V  free 40 rpm 3 A  stall 30 N.m 40 A  self-locking yes }
motor low { kind brushed  voltage 6 V  free 40 rpm 3 A  stall 30 N.m 40 A  self-locking yes }
motor puff { kind cylinder  bore 16 mm  rod 6 mm  stroke 100 mm }
sheet shed-ply { thickness 9 mm  mass 6.1 kg/m2  material plywood }
set bear at (5 m, 4 m) facing south
set cub at (7 m, 4 m) facing south
figure bear { board shed-ply 620 mm by 1350 mm  power shed run 13 m
  limb arm { pivot (150, 880) mm  tip (-250, 1150) mm  weighed 1 kg  balances 100 mm  inertia 0.02 kg.m2
  bolt M8  bushing nylon length 40 mm
  drive four-bar { motor fan at (310, 806) mm  crank 30 mm  rod ?  lever 80 mm at ? }
  gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2.5 s } }
  limb body { slide from (420, 300) mm to (420, 420) mm  weighed 0.6 kg
  drive cylinder { motor puff at (420, 100) mm  length 200 to 300 mm  air tank at 400 kPa  throttle up 0.4 s down 0.6 s }
  gesture jump { pulse up for 1 s } } }
figure cub { board shed-ply 620 mm by 1350 mm  power half run 2 m
  limb arm { pivot (150, 880) mm  tip (-250, 1150) mm  weighed 1 kg  balances 100 mm  inertia 0.02 kg.m2
  drive four-bar { motor low at (310, 806) mm  crank 30 mm  rod ?  lever 80 mm at ? }
  gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2.5 s } } }
show evening { 0:10 bear.arm hit for 20 s
  0:20 cub.arm hit for 10 s
  0:25 bear.body jump
  0:28 bear.body jump }
season autumn { nights 2027-10-22 to 2027-10-31 except 2027-10-25  first 18:00  runs 5 of evening every 25 min }
";

#[test]
fn what_supplies_cables_air_and_wear_come_to_follows_from_their_inputs_by_hand() {
    let report = whole(&format!("use parts\n{FED}"));
    let n = |of: &Value, name: &str| number(&of["inputs"], name).0;
    let f =
        |of: &Value, name: &str| of[name].as_f64().unwrap_or_else(|| panic!("{name} of {of:#}"));
    let near = |got: f64, by_hand: f64| {
        assert!((got / by_hand - 1.0).abs() < 1e-9, "{got}, by hand {by_hand}");
    };
    let each = |of: &Value| of.as_array().unwrap().clone();
    for supply in each(&report["supplies"]) {
        // At the peak each draws its share; a night's charge is mean current times time.
        let shares = each(&supply["peak_shares_a"]);
        near(f(&supply, "peak_a"), shares.iter().map(|a| a.as_f64().unwrap()).sum());
        let charge: f64 =
            each(&supply["draws"]).iter().map(|d| f(d, "mean_a") * f(d, "night_h")).sum();
        near(f(&supply, "night_ah"), charge);
        near(f(&supply, "night_wh"), charge * f(&supply, "voltage_v"));
        for draw in each(&supply["draws"]) {
            if draw.get("through").is_some() {
                let volts = n(&draw, "voltage_behind_it") / n(&draw, "supply_voltage");
                let out = n(&draw, "share_that_comes_out");
                near(f(&draw, "running_a"), n(&draw, "current_behind_it") * volts / out);
                continue;
            }
            // Free current and what the torque takes on top; held, what the wires let through.
            let amps = |torque: &str| {
                n(&draw, "free_current") + n(&draw, torque) / n(&draw, "torque_per_current")
            };
            near(f(&draw, "running_a"), amps("largest_torque"));
            near(f(&draw, "mean_a"), amps("mean_torque"));
            let ohm = n(&draw, "resistance") + n(&draw, "cable_resistance");
            near(f(&draw, "start_a"), n(&draw, "supply_voltage") / ohm);
            assert_eq!(draw["grade"], "given", "{draw:#}");
        }
    }
    // 5 runs a night of 20 s.
    let bear = &report["supplies"][0]["draws"][0];
    assert_eq!(bear["of"], "bear.arm");
    near(f(bear, "night_h"), 5.0 * 20.0 / 3600.0);

    let cables = each(&report["cables"]);
    assert_eq!(cables.len(), 2);
    for cable in cables {
        let own = 2.0 * n(&cable, "resistivity_of_copper") * n(&cable, "run");
        near(f(&cable, "drop_v"), own / n(&cable, "conductor") * n(&cable, "running_current"));
        let wanted = n(&cable, "fuse_over_running") * n(&cable, "running_current");
        assert!(f(&cable, "fuse_advised_a") >= wanted);
    }

    let air = &report["air"][0];
    let strokes = &air["strokes"][0];
    assert_eq!((strokes["count"].as_u64(), strokes["runs"].as_u64()), (Some(2), Some(5)));
    let square = |v: f64| v * v;
    let rings = 2.0 * square(n(strokes, "bore")) - square(n(strokes, "rod"));
    let swept = std::f64::consts::FRAC_PI_4 * rings * n(strokes, "stroke") * 1e-6;
    let still = n(strokes, "pressure_of_the_air");
    near(f(strokes, "each_nl"), swept * (n(strokes, "pressure") + still) / still);
    near(f(air, "show_nl"), 2.0 * f(strokes, "each_nl"));
    near(f(air, "night_nl"), 10.0 * f(strokes, "each_nl"));
    assert_eq!(strokes["grade"], "given");

    let arm = &report["figures"][0]["limbs"][0];
    let wear = &arm["wear"];
    let moved = &wear["shows"][0];
    let runs = f(moved, "runs");
    assert_eq!(runs, 45.0, "9 nights of 5");
    near(f(wear, "cycles"), f(moved, "cycles_a_run") * runs);
    near(f(wear, "hours"), f(moved, "moving_s_a_run") * runs / 3600.0);
    let share = n(wear, "moving_in_the_busiest_window") / n(wear, "window");
    near(f(wear, "duty_share"), share);

    let loads = &arm["loads"];
    let b = |name| number(&loads["bushing_inputs"], name).0;
    let pressure = b("force") / (b("bolt") * b("length"));
    near(f(loads, "bushing_pressure_mpa"), pressure);
    let speed = b("bolt") * 1e-3 * b("swing") * b("cycles");
    near(f(loads, "bushing_pv_mpa_mps"), pressure * speed);
    assert_eq!((number(&loads["bushing_inputs"], "length").1, b("length")), ("given", 40.0));
}

/// Servos: stall current times what moving takes and what they hold; rams: rated push times
/// speed over efficiency and voltage; the rest by their lines.
#[test]
fn the_currents_of_the_demo_season_follow_from_their_inputs_by_hand() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    let mut compiler = yardwright::check::Compiler::default();
    let compiled = compiler.compile(&path).unwrap();
    let files = yardwright::emit::outputs(&compiled, compiler.sources()).unwrap();
    let report: Value = serde_json::from_slice(&files[0].bytes).unwrap();
    let draws = report["supplies"].as_array().unwrap().iter();
    let draws = draws.flat_map(|s| s["draws"].as_array().into_iter().flatten());
    let (mut servos, mut rams, mut lines, mut passed) = (0, 0, 0, 0);
    for draw in draws {
        let inputs = draw["inputs"].as_array().unwrap();
        let has = |name: &str| inputs.iter().any(|i| i["name"] == name);
        let n = |name: &str| number(&draw["inputs"], name).0;
        let (count, by_hand, start) = if has("current_behind_it") {
            let volts = n("voltage_behind_it") / n("supply_voltage");
            let amps = n("current_behind_it") * volts / n("share_that_comes_out");
            (&mut passed, amps, None)
        } else if has("rated_push") {
            let watts = n("rated_push") * n("free_speed") * 1e-3 / n("share_turned_into_push");
            let amps = watts / n("rated_voltage");
            (&mut rams, amps, Some(n("start_over_running") * amps))
        } else if has("share_to_move_unloaded") {
            let share = n("share_to_move_unloaded") + n("share_of_stall_torque_held");
            (&mut servos, n("stall_current") * share.min(1.0), Some(n("stall_current")))
        } else {
            let ohm = n("resistance") + n("cable_resistance");
            let held = n("supply_voltage") / ohm;
            let start = if has("driver_limit") { held.min(n("driver_limit")) } else { held };
            let torque = n("largest_torque") / n("torque_per_current");
            (&mut lines, n("free_current") + torque, Some(start))
        };
        *count += 1;
        let near = |told: &str, by_hand: f64| {
            let told = draw[told].as_f64().unwrap();
            assert!((told / by_hand - 1.0).abs() < 1e-9, "{told}, by hand {by_hand}: {draw:#}");
        };
        near("running_a", by_hand);
        start.into_iter().for_each(|start| near("start_a", start));
    }
    assert!(servos > 1 && rams == 1 && lines > 4 && passed > 1, "{servos} {rams} {lines} {passed}");
}

/// Every input anywhere in a document, with the grade that stands beside its list.
fn graded<'a>(value: &'a Value, found: &mut Vec<(&'a Value, &'a Value)>) {
    match value {
        Value::Object(all) => {
            for (name, inner) in all {
                if name == "inputs" {
                    found.push((value, inner));
                }
                graded(inner, found);
            }
        }
        Value::Array(all) => all.iter().for_each(|inner| graded(inner, found)),
        _ => {}
    }
}

#[test]
fn a_result_is_given_only_where_none_of_its_numbers_is_typical() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    let mut compiler = yardwright::check::Compiler::default();
    let compiled = compiler.compile(&path).unwrap();
    let files = yardwright::emit::outputs(&compiled, compiler.sources()).unwrap();
    let report: Value = serde_json::from_slice(&files[0].bytes).unwrap();
    let mut found = Vec::new();
    graded(&report, &mut found);
    assert!(found.len() > 100, "{}", found.len());
    for (result, inputs) in found {
        let inputs = inputs.as_array().unwrap();
        assert!(!inputs.is_empty(), "nothing says what it was computed from: {result}");
        let typical = inputs.iter().any(|i| i["grade"] == "typical");
        assert!(!typical || result["grade"] == "typical", "{result}");
    }
}

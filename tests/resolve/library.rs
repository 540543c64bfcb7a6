//! The built-in parts, and motors measured on the bench.

use yardwright::model::{MotorKind, Switch};
use yardwright::resolve::{LIBRARY, NameKind};

use super::{clean, one, told};

#[test]
fn the_library_reads_without_a_finding_and_names_its_sources() {
    for (name, text) in LIBRARY {
        let (_, found) = one(text);
        assert!(found.is_empty(), "{name}\n{}", told(&found));
    }
}

/// A figure with one limb on a motor described in the file.
fn motor(text: &str) -> yardwright::model::MotorType {
    let text = format!(
        "use parts
motor mine {{ {text} }}
figure f {{ board plywood-9 600 mm by 1200 mm
  motor drum mine at (300, 400) mm }}
"
    );
    (*clean(&text).figures[0].figure.actuators[0].motor).clone()
}

#[test]
fn the_wiper_is_as_its_line_says() {
    let yard = clean(
        "use parts\nfigure f { board plywood-9 600 mm by 1200 mm\n motor m wiper at (1, 1) mm }",
    );
    let m = &yard.figures[0].figure.actuators[0].motor;
    assert_eq!((m.kind, m.switch), (MotorKind::Brushed, Switch::Park));
    assert_eq!((m.free.unwrap().0, m.stall.unwrap().0), (45.0, 14.0));
    assert_eq!((m.free_current.unwrap().0, m.stall_current.unwrap().0), (1.2, 16.0));
    assert_eq!(m.crank_holes.map(|h| (h.0.0, h.1.0, h.2.0)), Some((30.0, 60.0, 10.0)));
    assert_eq!(m.self_locking, Some(true));
}

/// Source of the rule: the straight line of a permanent-magnet motor (MIT,
/// "Understanding D.C. Motor Characteristics"); the numbers are worked by hand.
#[test]
fn two_easy_measurements_give_the_motor_s_line() {
    // 20 turns in 26.7 s; 5 kg on a 100 mm drum, 3 turns in 4.85 s.
    let m = motor(
        "kind brushed  voltage 12 V
  counted 20 turns in 26.7 s at 12 V 1.2 A
  lifted 5 kg on drum 100 mm 3 turns in 4.85 s at 12 V 3.8 A",
    );
    let (n0, n1) = (20.0 * 60.0 / 26.7, 3.0 * 60.0 / 4.85);
    let torque = 5.0 * 9.80665 * 0.05;
    let stall = torque * n0 / (n0 - n1);
    assert!((m.free.unwrap().0 - n0).abs() < 1e-9);
    assert!((m.stall.unwrap().0 - stall).abs() < 1e-9);
    assert!((stall - 14.1).abs() < 0.1, "{stall}");
    assert!((m.stall_current.unwrap().0 - 16.2).abs() < 0.1);
    assert!(m.measured);
}

#[test]
fn a_luggage_scale_gives_the_stall_torque() {
    let m =
        motor("kind brushed  voltage 12 V  free 45 rpm 1.2 A\n held 11.9 kgf at 60 mm at 6 V 7 A");
    // Half the voltage, so half the torque and current.
    assert!((m.stall.unwrap().0 - 2.0 * 11.9 * 9.80665 * 0.06).abs() < 1e-9);
    assert_eq!(m.stall_current.unwrap().0, 14.0);
}

#[test]
fn the_maker_s_own_part_stands_before_the_library_s() {
    let yard = clean(
        "use parts\nmotor wiper { kind brushed  free 30 rpm }\nfigure f { board plywood-9 600 mm by 1200 mm\n motor m wiper at (1, 1) mm }",
    );
    assert_eq!(yard.figures[0].figure.actuators[0].motor.free.unwrap().0, 30.0);
    assert_eq!(NameKind::of_word("motor"), Some(NameKind::Motor));
}

/// A motor of the library of which more is known.
#[test]
fn a_motor_is_like_a_built_in_one_but_for_what_is_said() {
    let of = |declared: &str, kind: &str| {
        let text = format!(
            "use parts\n{declared}\nfigure f {{ board plywood-9 600 mm by 1200 mm
  motor drum {kind} at (300, 400) mm }}\n"
        );
        one(&text)
    };
    let clean = |declared: &str, kind: &str| {
        let (yard, found) = of(declared, kind);
        assert!(found.is_empty(), "{}", told(&found));
        (*yard.figures[0].figure.actuators[0].motor).clone()
    };
    let built_in = clean("", "wiper");
    // Under its own name, or under another.
    for name in ["wiper", "shed-wiper"] {
        let more =
            clean(&format!("motor {name} like wiper {{ spread 3 %  free 43 rpm 1.3 A }}"), name);
        assert_eq!((more.spread.unwrap().0, more.free.unwrap().0), (0.03, 43.0), "{name}");
        assert_eq!(
            (more.kind, more.stall, more.switch),
            (built_in.kind, built_in.stall, built_in.switch)
        );
        assert_eq!((more.body, more.survives), (built_in.body, built_in.survives));
    }
    // A measurement is reckoned with what the built-in one says.
    let held = clean("motor wiper like wiper { held 10 kgf at 100 mm at 12 V }", "wiper");
    assert!((held.stall.unwrap().0 - 9.80665).abs() < 1e-9 && held.measured);
    let (_, found) = of("motor mine like wipper { spread 3 % }", "wiper");
    assert!(found[0].help.as_deref().unwrap().contains("wiper"), "{}", told(&found));
    let own = "motor first { kind brushed }\nmotor second like first { spread 3 % }";
    let (_, found) = of(own, "wiper");
    assert!(found.iter().any(|f| f.message.contains("no built-in motor")), "{}", told(&found));
}

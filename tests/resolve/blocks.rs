//! Every word of the language, in small files of its own kind: each is taken
//! without a finding, and what the model keeps of it is looked at.

use yardwright::mechanism::Prefer;
use yardwright::model::{Action, DriveKind, Joint, Mount, Pin, Shape, Span};

use super::{clean, figure, limb, one, told};

fn with(limb: &str) -> String {
    format!(
        "use parts
figure heron {{
  board plywood-9 outline (0, 0) (520, 0) (520, 1400) (0, 1400) mm  lifted 100 mm
  motor main wiper at (260, 570) mm  standoff 20 mm
  limb wing {{ pivot (197, 820) mm  tip (-250, 900) mm\n{limb} }}
}}
"
    )
}

#[test]
fn all_that_may_be_said_of_a_limb() {
    let yard = clean(&with(
        "title \"left wing\"  bolt M8 length 120 mm  bushing nylon length 47 mm  mount behind
         clamp plain  washer 60 mm  sheet corrugated-4  flutes along  paint 150 g/m2
         width 160 mm  tail 95 mm
         carry weight 0.1 kg at (-200, 880) mm   carry lamp 20 g at (-100, 850) mm
         weighed 0.31 kg  balances 148 mm  ten-swings 8.6 s
         centre 148 mm at 9 deg  inertia 0.0084 kg.m2
         friction 0.05 N.m  load 0.25 N.m cw  counterweight ? at 120 mm
         measured 118 deg to 160 deg
         measured tip-to-tip 369 mm ten-turns 15.5 s
         rest 150 deg  parks at 165 deg
         drive four-bar { motor main pin ? alternate  prefer even }",
    ));
    let wing = limb(&yard, "heron", "wing");
    assert_eq!(wing.title.as_deref(), Some("left wing"));
    assert_eq!(wing.mount, Mount::Behind);
    assert_eq!(wing.carried.len(), 2);
    let Some(Shape::Strip { width, tail }) = wing.shape else { panic!() };
    assert_eq!((width.0, tail.0), (160.0, 95.0));
    let m = &wing.measured;
    assert_eq!(m.mass.unwrap().0, 0.31);
    assert_eq!(m.balance.unwrap().0, 148.0);
    assert_eq!(m.ten_swings.unwrap().0, 8.6);
    assert_eq!((m.ends.unwrap().value.0.0, m.ends.unwrap().value.1.0), (118.0, 160.0));
    assert_eq!((m.tip_to_tip.unwrap().value.0, m.ten_turns.unwrap().0), (369.0, 15.5));
    assert_eq!((wing.friction.unwrap().0, wing.load.unwrap().0), (0.05, -0.25));
    let drive = wing.drive.as_ref().unwrap();
    assert_eq!(drive.pin, Pin::Alternate);
    let DriveKind::FourBar(f) = &drive.mechanism else { panic!() };
    assert_eq!(f.prefer, Prefer::Even);
    assert_eq!(figure(&yard, "heron").board.lifted.0, 100.0);
}

#[test]
fn all_gestures() {
    let yard = clean(&with(
        "gesture flap { sweep 155 deg to 205 deg within 2 deg  cycle 2 bars  accent at 205 deg  shape smooth }
         gesture look { turn to 35 deg over 2 beats }
         gesture still { pose 90 deg }
         gesture talk { follow voice 200 Hz to 3 kHz from 198 deg to 212 deg quick }
         gesture roll { spin 1 turn per 8 beats }
         gesture pop { pulse up for 2 s }
         gesture light { on }
         gesture dark { off }
         gesture tap { sweep 60 deg to 40 deg  cycle 3 eighths }",
    ));
    let wing = limb(&yard, "heron", "wing");
    assert_eq!(wing.gestures.len(), 9);
    let action = |n: usize| &wing.gestures[n].action;
    let Action::Sweep { cycle, .. } = action(0) else { panic!() };
    assert_eq!(cycle.unwrap().value, Span::Bars(2.0));
    let Action::Follow { range, .. } = action(3) else { panic!() };
    assert_eq!(range.map(|(a, b)| (a.0, b.0)), Some((198.0, 212.0)));
    let Action::Spin { turn, .. } = action(4) else { panic!() };
    assert_eq!(turn.0, 360.0);
    let Action::Sweep { from, to, cycle, .. } = action(8) else { panic!() };
    assert_eq!((from.value.0, to.value.0), (40.0, 60.0));
    assert_eq!(cycle.unwrap().value, Span::Eighths(3.0));
}

#[test]
fn a_limb_that_rides_bends_against_its_carrier() {
    let text = with("").replace(
        "\n}\n",
        "\n limb feather on wing { pivot (-250, 900) mm  tip (-350, 900) mm  gesture curl { bend -20 deg to 20 deg } }\n}\n",
    );
    let yard = clean(&text);
    let feather = limb(&yard, "heron", "feather");
    assert_eq!(feather.carrier, Some(0));
    assert!(feather.gestures[0].relative);
}

#[test]
fn places_may_be_asked_for() {
    let yard = clean(
        "use parts
figure f {
  board plywood-9 27 in by 61 in
  limb a { pivot ? near (20, 44) in within 2 in   tip (34, 52) in  drive four-bar { motor wiper at ? in (10, 20) in to (18, 36) in } }
  limb b { pivot ? on frame  tip (34, 30) in }
}
",
    );
    let Joint::Pivot { at: None, open: Some(open) } = &limb(&yard, "f", "a").joint else {
        panic!()
    };
    assert_eq!(open.value.near.map(|p| p.0), Some(508.0));
    assert_eq!(open.value.within, Some(50.8));
    let motor = &figure(&yard, "f").actuators[0];
    assert!(motor.at.is_none() && motor.at_open.is_some());
    let Joint::Pivot { open: Some(open), .. } = &limb(&yard, "f", "b").joint else { panic!() };
    assert!(open.value.on_frame);
}

#[test]
fn an_outline_may_count_from_the_pivot() {
    let yard = clean(&with("outline from pivot (10, 20) (-200, 60) (-200, -60) mm"));
    let Some(Shape::Outline(o)) = &limb(&yard, "heron", "wing").shape else { panic!() };
    assert_eq!((o.corners()[0].x, o.corners()[0].y), (207.0, 840.0));
}

#[test]
fn a_strip_may_end_beyond_the_tip() {
    let yard =
        clean(&with("length 600 mm  width 100 mm").replace("tip (-250, 900)", "tip (-3, 820)"));
    let Some(Shape::Outline(o)) = &limb(&yard, "heron", "wing").shape else { panic!() };
    let b = o.bounds();
    assert!((b.low.x + 403.0).abs() < 1e-9 && (b.high.x - 197.0).abs() < 1e-9);
    assert!((b.high.y - b.low.y - 100.0).abs() < 1e-9);
}

#[test]
fn a_motor_of_the_figure_has_one_place() {
    let text = "use parts
figure f {
  board plywood-9 600 mm by 1200 mm
  motor drum wiper at (300, 400) mm
  limb a { pivot (300, 800) mm  tip (500, 900) mm  drive four-bar { motor drum at (100, 400) mm } }
}
";
    let (_, found) = one(text);
    assert_eq!(found.len(), 1, "{}", told(&found));
    assert_eq!(found[0].code.word, "placed-twice");
}

#[test]
fn many_mistakes_in_many_figures_are_each_found_once() {
    let bad = |n: usize| {
        format!(
            "figure f{n} {{
  board plywood-{n}{n} 600 mm by 1200 mm
  limb a {{ pivot (300, 800) mm  tip (500, 900) mm  bolt M{n}{n} }}
  limb b {{ tip (500, 900) mm }}
  limb c mirrors d about x 300 mm
  limb e {{ pivot (300, 800) mm  tip (500, 900) mm  gesture g {{ sweep 10 deg to 10 deg }} }}
}}
"
        )
    };
    let text = format!("use parts\n{}", (1..5).map(bad).collect::<String>());
    let (_, found) = one(&text);
    for n in 1..5 {
        let name = format!("f{n}");
        let of: Vec<_> = found.iter().filter(|f| f.figure.as_deref() == Some(&name)).collect();
        let codes: Vec<_> = of.iter().map(|f| f.code.word).collect();
        assert_eq!(codes.len(), 5, "{name}: {codes:?}\n{}", told(&found));
    }
    assert_eq!(found.len(), 20, "{}", told(&found));
}

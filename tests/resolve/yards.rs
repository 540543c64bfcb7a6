//! Ground, supplies, controllers, and one yard in two households.

use yardwright::model::{Compass, Start};

use super::{clean, figure, limb, one, told};

const ORCHARD: &str = "
use parts
yard meadow {
  title \"Behind the barn\"
  size 18 m by 10 m
  viewers south keep 1.5 m
  place 51.8 N 2.3 W zone \"Europe/London\"
  wind run 8 m/s  stand 20 m/s
  soil lawn   mains 230 V 50 Hz
  peg porch at (0 m, 6 m)   peg gate at (18 m, 0 m)
}
supply shed at (17 m, 9 m) { voltage 12 V  limit 30 A  cable 2.5 mm2 }
supply bec at shed { voltage 6 V  limit 5 A }
controller post at (16 m, 8 m) {
  power shed  clock 50 ppm  starts network
  out 1 bear.arm pwm one-way
  out 2 owl.head pulse 1000 us at -45 deg  2000 us at 45 deg
  in 1 bear.arm park
}
figure bear at (5 m, 4 m) facing south {
  board plywood-9 620 mm by 1350 mm
  frame of 1x2 { (150, 0) to (150, 960) mm
    (470, 0) to (470, 960) mm }
  anchor stakes 2 spacing 500 mm depth 600 mm diameter 25 mm   braces 2 at 700 mm out 1200 mm  guys 1 at 1 m out 2 m  ballast 20 kg
  power shed run 14 m
  lamp flood at (310, 1400) mm 10 W
  limb arm { pivot (150, 880) mm  tip (-250, 1150) mm  drive four-bar { motor wiper at (310, 806) mm } }
}
figure owl {
  board plywood-9 400 mm by 500 mm
  power bec
  limb head { pivot (200, 400) mm  tip (200, 550) mm  drive servo { motor servo-standard } }
}
set owl at (9 m, 6 m) facing south-west
set owl-2 like owl at (11 m, 6 m) { power shed run 9 m }
laid-up owl-2 from 2027-10-26 \"stripped gear\"
";

#[test]
fn everything_said_of_a_yard_is_kept() {
    let yard = clean(ORCHARD);
    assert_eq!((yard.size.0.0, yard.size.1.0), (18_000.0, 10_000.0));
    assert_eq!((yard.viewers, yard.keep.map(|k| k.0)), (Compass::South, Some(1500.0)));
    let place = yard.locality.as_ref().unwrap();
    assert_eq!((place.latitude.0, place.longitude.0), (51.8, -2.3));
    assert_eq!(place.zone.as_ref().unwrap().value, "Europe/London");
    assert_eq!((yard.winds.run.0, yard.winds.stand.0), (8.0, 20.0));
    assert_eq!(yard.soil.as_ref().unwrap().value, "lawn");
    assert_eq!(yard.pegs.len(), 2);
    assert!(yard.assumed.is_empty(), "{:?}", yard.assumed);
    assert_eq!(yard.supplies[1].from.as_ref().unwrap().value, "shed");
    assert_eq!(yard.supplies[0].at.map(|p| (p.x, p.y)), Some((17_000.0, 9_000.0)));
    let post = &yard.controllers[0];
    assert_eq!(post.starts, Some(Start::Network));
    assert_eq!(post.clock.unwrap().0, 50e-6);
    assert!(post.outputs[0].one_way && !post.outputs[1].one_way);
    assert_eq!(post.outputs[1].pulses.len(), 2);
    assert_eq!(post.inputs[0].signal, Some("park"));
}

#[test]
fn everything_said_of_a_figure_is_kept() {
    let yard = clean(ORCHARD);
    let bear = figure(&yard, "bear");
    assert_eq!(bear.frame.len(), 2);
    // A 1x2 is 3/4 by 1 1/2 in.
    assert_eq!((bear.frame[0].width.0, bear.frame[0].depth.0), (19.05, 38.1));
    let anchor = bear.anchor.as_ref().unwrap();
    assert_eq!(anchor.stakes.unwrap().spacing.unwrap().0, 500.0);
    assert_eq!(anchor.braces.unwrap().out.unwrap().0, 1200.0);
    assert_eq!(anchor.guys.unwrap().out.unwrap().0, 2000.0);
    assert_eq!(anchor.guys.unwrap().at.unwrap().0, 1000.0);
    assert_eq!(anchor.ballast.unwrap().0, 20.0);
    assert_eq!(bear.feed.as_ref().unwrap().run.unwrap().0, 14_000.0);
    assert_eq!(bear.lamps.len(), 1);
    assert_eq!(yard.figure("owl").unwrap().facing.0, 225.0);
    let second = yard.figure("owl-2").unwrap();
    assert_eq!(second.figure.feed.as_ref().unwrap().supply.value, "shed");
    assert_eq!(second.laid_up.as_ref().unwrap().why.as_deref(), Some("stripped gear"));
}

#[test]
fn figures_that_nothing_places_stand_side_by_side() {
    let text = "use parts
figure a { board plywood-9 600 mm by 1200 mm }
figure b { board plywood-9 600 mm by 1200 mm }
";
    let yard = clean(text);
    assert!(yard.figures.iter().all(|f| f.assumed));
    assert!(yard.figures[1].at.x - yard.figures[0].at.x > 600.0);
}

#[test]
fn a_board_reaches_to_the_right_of_who_looks_at_it() {
    // Facing north, the viewer stands north and his right is west.
    let text = |x: f64| {
        format!(
            "use parts\nyard y {{ size 10 m by 8 m viewers north }}\n\
             figure a at ({x} m, 4 m) facing north {{ board plywood-9 600 mm by 1200 mm }}\n"
        )
    };
    assert!(one(&text(0.6)).1.is_empty(), "{}", told(&one(&text(0.6)).1));
    assert_eq!(one(&text(0.5)).1[0].code.word, "figure-outside");
    assert!(one(&text(10.0)).1.is_empty());
}

/// One figure with every length through `unit`.
fn baker(unit: impl Fn(f64) -> String, bare: impl Fn(f64) -> String, last: &str) -> String {
    let p = |x: f64, y: f64| format!("({}, {}) {last}", bare(x), bare(y));
    format!(
        "use parts
figure baker at ({}, {}) facing south {{
  board plywood-9 {} by {}
  frame {} by {} {{ {} to {} }}
  limb arm {{
    pivot {}  tip {}  bolt M8  bushing nylon  mount front  sheet corrugated-4
    length {}  width {}  tail {}
    drive four-bar {{
      motor wiper at {}
      crank ? {} to {} by {}  rod {}  lever {} at 70 deg  standoff {}
    }}
    gesture stir {{ sweep 10 deg to 55 deg  cycle 2 s }}
  }}
}}
",
        unit(160.0),
        unit(120.0),
        unit(27.0),
        unit(61.0),
        unit(1.5),
        unit(1.5),
        p(4.0, 0.0),
        p(4.0, 40.25),
        p(20.0, 44.0),
        p(34.125, 52.0),
        unit(16.0),
        unit(3.6875),
        unit(2.5),
        p(14.0, 30.0),
        unit(1.5),
        unit(2.5),
        unit(0.5),
        unit(14.78125),
        unit(4.0),
        unit(0.75),
    )
}

#[test]
fn inches_and_millimetres_make_the_same_yard_to_the_last_bit() {
    let inch = baker(|v| format!("{v} in"), |v| format!("{v}"), "in");
    // A 32nd of an inch is 0.79375 mm exactly, so five decimals are exact.
    let mm = |v: f64| {
        let fine = (v * 2_540_000.0).round() as i64;
        format!("{}.{:05}", fine / 100_000, fine % 100_000)
    };
    let metric = baker(|v| format!("{} mm", mm(v)), mm, "mm");
    let (a, b) = (clean(&inch), clean(&metric));
    let (fa, fb) = (figure(&a, "baker"), figure(&b, "baker"));
    assert_eq!(fa.board.outline, fb.board.outline);
    assert_eq!(fa.frame, fb.frame);
    assert_eq!(fa.actuators[0].at, fb.actuators[0].at);
    let (la, lb) = (limb(&a, "baker", "arm"), limb(&b, "baker", "arm"));
    assert_eq!((&la.joint, la.tip, &la.shape), (&lb.joint, lb.tip, &lb.shape));
    let drive = |l: &yardwright::model::Limb| l.drive.clone().unwrap();
    assert_eq!(drive(la).standoff, drive(lb).standoff);
    let sizes = |l: &yardwright::model::Limb| match &l.drive.as_ref().unwrap().mechanism {
        yardwright::model::DriveKind::FourBar(f) => {
            (f.crank.size, f.rod.size, f.lever.size, f.clamp.size)
        }
        other => panic!("{other:?}"),
    };
    assert_eq!(sizes(la), sizes(lb));
    let (pa, pb) = (&a.figures[0], &b.figures[0]);
    assert_eq!((pa.at, pa.facing), (pb.at, pb.facing));
}

/// A horse with a head on a wiper and an ear on a servo.
const HORSE: &str = "
figure horse {
  board plywood-9 1 m by 1 m
  motor neck wiper at (500, 600) mm
  limb head {
    pivot (700, 800) mm  tip (1000, 900) mm
    drive four-bar { motor neck  crank 30 mm }
    gesture nod { sweep 10 deg to 40 deg  cycle 4 s }
  }
  limb ear {
    pivot (300, 900) mm  tip (300, 1000) mm
    drive servo { motor servo-micro }
    gesture flick { turn to 100 deg over 1 s }
  }
}";

/// `controller.number signal` of each motor, with a star where no `out` says so.
fn wires(text: &str) -> Vec<String> {
    let yard = clean(text);
    let wired = yard.wiring.iter().map(|w| {
        let name = &yard.controllers[w.controller].name.value;
        let star = if w.written { "" } else { "*" };
        format!("{name}.{}{star} {}", w.number, w.signal.unwrap_or("-"))
    });
    wired.collect()
}

#[test]
fn a_motor_without_an_out_hangs_on_the_nearest_controller() {
    let yard = |controllers: &str| {
        format!(
            "use parts\nyard green {{ size 20 m by 10 m }}\n\
             set horse at (3 m, 4 m) facing south\n\
             set foal like horse at (16 m, 4 m) facing south {{ without ear }}\n\
             {controllers}\n{HORSE}"
        )
    };
    assert_eq!(wires(&yard("")), Vec::<String>::new());
    // A limb's name and its motor's mean the same output; what is taken is passed over.
    let west = "controller west at (1 m, 9 m) { out 1 horse.ear pulse  out 3 horse.head }";
    assert_eq!(wires(&yard(west)), ["west.3 -", "west.1 pulse", "west.2* pwm"]);
    let both = format!("{west} controller east at (19 m, 9 m) {{ out 2 foal.neck }}");
    assert_eq!(wires(&yard(&both)), ["west.3 -", "west.1 pulse", "east.2 -"]);
    let near = "controller west at (1 m, 9 m) {} controller east at (19 m, 9 m) {}";
    assert_eq!(wires(&yard(near)), ["west.1* pwm", "west.2* pulse", "east.1* pwm"]);
    // Without places, the first has them all.
    let placeless = "controller one {} controller two {}";
    assert_eq!(wires(&yard(placeless)), ["one.1* pwm", "one.2* pulse", "one.3* pwm"]);
}

/// A frame without a section is of usual members, and says so; one that could not be read is
/// no frame that is missing.
#[test]
fn frames_without_a_section_and_unread_ones() {
    let text = |frame: &str| {
        format!(
            "use parts\nfigure owl {{\n  board plywood-9 900 mm by 900 mm\n  frame {frame}\n  limb arm {{
    pivot (450, 500) mm  tip (650, 500) mm
    drive four-bar {{ motor wiper at ? on frame }}
    gesture wave {{ sweep 0 deg to 45 deg  cycle 4 s }}\n  }}\n}}\n"
        )
    };
    let members = "{ (50, 20) to (850, 20) mm  (450, 0) to (450, 880) mm }";
    let note = |frame: &str| {
        let yard = clean(&text(frame));
        let figure = figure(&yard, "owl").clone();
        let size = (figure.frame[1].width.0, figure.frame[1].depth.0);
        let notes = figure.limbs[0].assumed.iter().map(|n| n.what.clone());
        (size, notes.filter(|n| n.contains("members")).collect::<Vec<_>>())
    };
    let usual = "members of the frame 38 mm wide, 19 mm deep".to_owned();
    assert_eq!(note(members), ((38.0, 19.0), vec![usual]));
    let deep = "members of the frame 19 mm deep".to_owned();
    assert_eq!(note(&format!("45 mm {members}")), ((45.0, 19.0), vec![deep]));
    assert_eq!(note(&format!("45 mm by 20 mm {members}")), ((45.0, 20.0), vec![]));
    let (yard, found) = one(&text("{ (50, 20) mm wide 60 mm }"));
    assert_eq!(found.len(), 1, "{}", told(&found));
    assert!(found[0].message.contains("in a line of this frame"), "{}", found[0].message);
    assert!(figure(&yard, "owl").frame_unread);
}

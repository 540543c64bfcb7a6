//! A yard in which every kind of mechanism turns up, and no two figures are alike.

use std::fmt::Write as _;

/// Six figures of three limbs. `$n` is the figure's name; `$d` and `$c` stand for the last
/// digit before the point and all behind it, in hundredths: `80$d` is 800.00 to 807.99,
/// and the other grows smaller by as much. `$w` is the last digits of a weight.
const FIGURES: [(&str, &str); 6] = [
    (
        "  motor drum wiper at (1310, 80$d) mm
  limb left {
    pivot (1150, 880) mm  tip (750, 1150) mm  parks at 165 deg
    drive four-bar { motor drum  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }
    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 4 beats }
  }
  limb right mirrors left about x 1310 mm
  limb head {
    pivot (1310, 1200) mm  tip (146$d, 1200) mm
    drive servo { motor servo-standard at (1310, 1200) mm }
    gesture look { turn to 35 deg over 2 beats }
    gesture ahead { turn to 0 deg over 2 beats }
  }
",
        "  bar 3 $n.left hit for 160 bars
  bar 2 $n.head look every 4 bars repeat 40
  bar 4 $n.head ahead every 4 bars repeat 40
",
    ),
    (
        "  motor elbow wiper at (420, 500) mm
  limb upper-arm {
    pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar { motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }
    gesture bow { sweep 195 deg to 235 deg  cycle 4 beats }
  }
  limb forearm on upper-arm {
    pivot (120, 700) mm  tip (120, 50$d) mm
    drive four-bar from upper-arm { anchor (250, 650) mm  rod ?  lever 40 mm at ? }
    gesture fiddle { sweep 240 deg to 319 deg }
  }
  limb head {
    pivot (1200, 740) mm  tip (1200, 89$d) mm
    drive servo { motor servo-standard at (1200, 680) mm  crank 20 mm  rod 60 mm  lever 20 mm at 90 deg }
    gesture look { turn to 125 deg over 2 beats }
    gesture ahead { turn to 95 deg over 2 beats }
  }
",
        "  bar 3 $n.upper-arm bow for 160 bars
  bar 2 $n.head look every 4 bars repeat 40
  bar 4 $n.head ahead every 4 bars repeat 40
",
    ),
    (
        "  motor hop wiper at (300, 300) mm
  motor elbow wiper at (99$d, 600) mm
  motor well wiper at (1900, 400) mm
  limb frog {
    slide from (300, 400) mm to (300, 500) mm  weighed 0.8$w kg
    drive cam {
      motor hop  base 35 mm  roller 8 mm  law poly-345
      rise 120 deg  dwell 40 deg  fall 120 deg  dwell 80 deg  return gravity
    }
    gesture jump { stroke 0 mm to 20 mm  cycle 4 beats }
  }
  limb bow {
    slide from (1138, 600) mm to (1258, 600) mm  weighed 0.5$w kg
    drive slider-crank { motor elbow  crank ? 30 to 60 mm by 10 mm  rod 20$c mm }
    gesture fiddle { stroke 20 mm to 100 mm within 4 mm  cycle 4 beats }
  }
  limb handle {
    slide from (1900, 340) mm to (1900, 460) mm  weighed 0.7$w kg
    drive scotch-yoke { motor well  crank ? 30 to 60 mm by 10 mm }
    gesture pump { stroke 20 mm to 100 mm  cycle 4 beats }
  }
",
        "  bar 3 $n.frog jump for 160 bars
  bar 3 $n.bow fiddle for 160 bars
  bar 3 $n.handle pump for 160 bars
",
    ),
    (
        "  motor lids servo-micro at (200, 740) mm
  limb lid {
    pivot (200, 780) mm  tip (24$d, 780) mm
    weighed 0.02$w kg  balances 25 mm  friction 0.002 N.m
    drive cord { motor lids  horn ?  lever 15 mm at ?  guides (190, 760) mm  return spring 0.010 N.m }
    rest 10 deg
    gesture blink { sweep 10 deg to 60 deg within 4 deg  cycle 1 s }
  }
  limb jaw {
    pivot (1200, 340) mm  tip (1000, 26$d) mm
    drive servo { motor servo-standard at (1200, 340) mm }
    gesture talk { sweep 200 deg to 216 deg  cycle 1 s }
  }
  limb arm {
    pivot (1900, 700) mm  tip (220$d, 700) mm  mount behind
    drive slotted-arm { motor wiper at (1900, 600) mm  crank 40 mm  slot 95 mm at 270 deg }
    gesture throw { sweep -23.5 deg to 23.5 deg  cycle 4 beats }
  }
",
        "  bar 3 $n.lid blink for 160 bars
  bar 3 $n.jaw talk for 160 bars
  bar 3 $n.arm throw for 160 bars
",
    ),
    (
        "  limb body {
    slide from (250, 300) mm to (250, 420) mm  weighed 0.5$w kg
    drive cylinder {
      motor cylinder-16  anchor (250, 100) mm  length 200 to 300 mm
      air tank at 400 kPa  throttle up 0.4 s down 0.6 s
    }
    gesture pop { pulse up for 2 s }
  }
  limb gate {
    pivot (900, 500) mm  tip (140$d, 500) mm
    drive ram { motor ram-100  anchor ? near (900, 23$d) mm  lever 100 mm at ? }
    rest 0 deg
    gesture open { turn to 60 deg over 12 s }
  }
  limb sails {
    pivot (1900, 900) mm  tip (222$d, 900) mm
    drive spin { motor wiper at (1900, 700.6) mm  belt 20 40 pitch 5 mm length 550 mm }
    gesture round { spin 1 turn per 4 s }
  }
",
        "  bar 3 $n.body pop every 8 bars repeat 20
  bar 3 $n.gate open
  bar 3 $n.sails round for 160 bars
",
    ),
    (
        "  motor stream wiper at ? near (30$d, 720) mm within 40 mm
  motor lift wiper at (1900, 300) mm
  limb wheel {
    pivot (300, 1000) mm  tip (44$d, 1000) mm
    drive spin { motor stream  chain 16 40 pitch 12.7 mm length ? }
    gesture round { spin 1 turn per 6 s }
  }
  limb star {
    pivot (1100, 900) mm  tip (142$d, 900) mm
    drive spin { motor wiper at (1100, 855) mm  gears 20 40 module 1.5 mm }
    gesture round { spin 1 turn per 8 beats }
  }
  limb hare {
    slide from (1900, 400) mm to (1900, 500) mm  weighed 0.8$w kg
    drive cam {
      motor lift  base ?  roller 8 mm  law poly-345
      rise 120 deg  dwell 40 deg  fall 120 deg  dwell 80 deg  return gravity
    }
    gesture jump { stroke 0 mm to 1$d mm  cycle 4 beats }
  }
",
        "  bar 3 $n.wheel round for 160 bars
  bar 3 $n.star round for 160 bars
  bar 3 $n.hare jump for 160 bars
",
    ),
];

/// `n` figures of three limbs of all kinds, each with a part in one long show.
pub fn yard(n: usize) -> String {
    let mut text = String::from(
        "use parts\nyard mixed { size 2000 m by 2000 m  viewers south }\n\
         song jig { meter 6/8  tempo 116 bpm from 0.480 s  section all-of-it bar 1 for 174 bars }\n",
    );
    let mut show = String::new();
    for i in 0..n {
        let (figure, part) = FIGURES[i % FIGURES.len()];
        let off = (i % 800) as f64 / 100.0;
        let fill = |text: &str| {
            text.replace("$n", &format!("f{i}"))
                .replace("$d", &format!("{off:.2}"))
                .replace("$c", &format!("{:.2}", 8.0 - off))
                .replace("$w", &format!("{:03}", i % 1000))
        };
        let (x, y) = (5 + 15 * (i % 120), 5 + 15 * (i / 120));
        let _ = write!(
            text,
            "set f{i} at ({x} m, {y} m) facing south\nfigure f{i} {{\n  board plywood-9 2400 mm by 1500 mm\n{}}}\n",
            fill(figure)
        );
        show.push_str(&fill(part));
    }
    let _ = write!(text, "show evening with jig {{\n{show}}}\n");
    text
}

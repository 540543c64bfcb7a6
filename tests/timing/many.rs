//! A large yard: the same bytes every time, and quickly.

use std::time::Instant;

use super::orchard::*;

/// A yard of `n` bears with an owl's head between their arms, and three minutes of
/// cues for all of them.
fn crowd(n: usize) -> Stage {
    let mut text = String::from(
        "song long { meter 4/4  tempo 120 bpm  section s bar 1 for 90 bars }\nmotor index-motor { kind brushed  free 45 rpm 1.2 A  switch index }\nmotor micro { kind servo  slew 0.17 s per 60 deg  pulse 1000 us at -60 deg  2000 us at 60 deg }
figure bear {
  board 620 mm by 1350 mm
  motor drum index-motor at (310, 806) mm turns ccw
  limb left-arm {
    pivot (150, 880) mm  tip (-250, 1150) mm
    drive four-bar { motor drum  crank 30 mm  rod 159.925 mm  lever 80 mm at 127 deg  assembly open }
    parks at 165 deg
    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 4 beats  accent at 165 deg }
  }
  limb right-arm mirrors left-arm about x 310 mm
  limb head {
    pivot (310, 1200) mm  tip (460, 1200) mm
    drive servo { motor micro at (310, 1200) mm }
    rest 0 deg
    gesture nod { sweep -20 deg to 20 deg  cycle 4 beats  accent at 20 deg }
  }
}
yard field { size 400 m by 400 m }
",
    );
    let mut group = String::from("group arms {");
    let mut heads = String::from("group heads {");
    for i in 0..n {
        let (x, y) = (2 + 5 * (i % 70), 2 + 5 * (i / 70));
        text += &format!("set bear-{i} like bear at ({x} m, {y} m) facing south\n");
        group += &format!(" bear-{i}.left-arm");
        heads += &format!(" bear-{i}.head");
    }
    text += &format!("{group} }}\n{heads} }}\nshow evening with long {{\n");
    for i in 0..10 {
        let bar = 3 + 8 * i;
        text += &format!("  bar {bar} arms hit for 6 bars pass west to east over 2 beats\n");
        text += &format!("  bar {bar} heads nod for 6 bars\n");
    }
    text += "}\n";
    stage_with(&text, &Files::default())
}

#[test]
fn a_thousand_figures_play_the_same_every_time() {
    let mut s = crowd(1000);
    let start = Instant::now();
    let first = s.play();
    let took = start.elapsed();
    assert_eq!(first.figures.len(), 1000);
    assert_eq!(first.accents.len(), 1000 * 2 * 10 * 6);
    let again = s.play();
    assert_eq!(format!("{first:?}"), format!("{again:?}"));
    println!("1,000 figures, 3,000 limbs, 3 minutes: {took:?}");
}

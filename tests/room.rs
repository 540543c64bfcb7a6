//! The room of figures against plain dense sampling.

#[path = "room/riders.rs"]
mod riders;

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::finding::Severity;
use yardwright::source::MemoryDisk;
use yardwright::space::{By, Drawn, Role, Stand};

fn compile(text: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/yard/a.yard", text);
    Compiler::new(disk).compile(Path::new("/yard/a.yard")).unwrap()
}

/// A limb 300 mm long and 40 mm wide behind the board, turned by a servo from 42 to 138
/// degrees about (400, 500), and one member of the frame.
fn yard(from: (f64, f64), to: (f64, f64)) -> String {
    format!(
        "use parts\nfigure owl {{\n  board plywood-9 900 mm by 1000 mm\n  frame 38 mm by 38 mm {{ ({:.3}, {:.3}) to ({:.3}, {:.3}) mm }}\n  \
         limb wing {{\n    pivot (400, 500) mm  tip (400, 800) mm  mount behind  sheet plywood-6  length 300 mm  width 40 mm\n    \
         drive servo {{ motor servo-standard at (400, 440) mm  crank 20 mm  rod 60 mm  tail-hole 20 mm at 90 deg }}\n    \
         gesture wave {{ sweep 42 deg to 138 deg  cycle 3 s }}\n  }}\n}}\n",
        from.0, from.1, to.0, to.1
    )
}

/// Points round a rectangle from (0, -half) to (long, half), at most 0.5 mm apart.
fn rim(long: f64, half: f64) -> Vec<(f64, f64)> {
    let mut all = Vec::new();
    let (n, m) = ((long * 2.0) as u32, (half * 4.0) as u32);
    for i in 0..=n {
        let x = long * f64::from(i) / f64::from(n);
        all.extend([(x, -half), (x, half)]);
    }
    for i in 0..=m {
        let y = -half + 2.0 * half * f64::from(i) / f64::from(m);
        all.extend([(0.0, y), (long, y)]);
    }
    all
}

/// A rectangle's frame of reference: its end, its direction, its length, half its width.
type Bar = ((f64, f64), f64, f64, f64);

/// Whether a point of the one's rim lies in the other.
fn meets(a: Bar, b: Bar) -> bool {
    let (sa, ca) = libm::sincos(a.1);
    let (sb, cb) = libm::sincos(b.1);
    rim(a.2, a.3).into_iter().any(|(x, y)| {
        let (px, py) = (a.0.0 + ca * x - sa * y - b.0.0, a.0.1 + sa * x + ca * y - b.0.1);
        let (along, left) = (cb * px + sb * py, cb * py - sb * px);
        (0.0..=b.2).contains(&along) && left.abs() <= b.3
    })
}

#[test]
fn a_limb_meets_the_frame_where_dense_sampling_says() {
    let (mut hits, mut clear) = (0, 0);
    for k in 0..48 {
        let part = |s: f64| (f64::from(k) * s).fract();
        let turn = part(0.618) * 3.0;
        let away = 285.0 + 60.0 * part(0.377);
        let (s, c) = libm::sincos(0.5 + turn * 0.7);
        let from = (400.0 + away * c, 500.0 + away * s);
        let (s, c) = libm::sincos(0.5 + turn * 0.7 + 1.2 * (part(0.91) - 0.5));
        let to = (from.0 + 180.0 * c, from.1 + 180.0 * s);
        let compiled = compile(&yard(from, to));
        let gap = compiled.spaces[0]
            .gaps
            .iter()
            .find(|g| g.part == Role::Limb && g.other == Role::Member);
        let told = compiled.findings.iter().any(|f| f.code.word == "limb-hits-frame");
        let round = |v: f64| (v * 1000.0).round() / 1000.0;
        let (from, to) = ((round(from.0), round(from.1)), (round(to.0), round(to.1)));
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let frame = (from, libm::atan2(dy, dx), libm::hypot(dx, dy), 19.0);
        let hit: Vec<f64> = (0..=1920)
            .map(|i| 42.0 + 0.05 * f64::from(i))
            .filter(|deg| {
                let limb = ((400.0, 500.0), deg.to_radians(), 300.0, 20.0);
                meets(limb, frame) || meets(frame, limb)
            })
            .collect();
        let touching = gap.map_or(&[][..], |g| &g.touching[..]);
        for deg in &hit {
            let rad = deg.to_radians();
            assert!(
                touching.iter().any(|t| t.0 - 1e-6 <= rad && rad <= t.1 + 1e-6),
                "{k}: missed {deg}"
            );
        }
        match (hit.first(), hit.last()) {
            (Some(first), Some(last)) => {
                hits += 1;
                assert!(told, "{k}");
                assert_eq!(gap.unwrap().by, By::Angle);
                // 0.05 mm before they touch is 0.01 deg at the tip, and more where they
                // pass at a flat angle.
                let (a, b) =
                    (touching[0].0.to_degrees(), touching[touching.len() - 1].1.to_degrees());
                assert!(
                    (a - first).abs() < 0.6 && (b - last).abs() < 0.6,
                    "{k}: {a} to {b}, {first} to {last}"
                );
            }
            _ => {
                clear += 1;
                assert!(
                    gap.is_none_or(|g| g.least.high > 0.0 && g.least.low <= g.least.high),
                    "{k}"
                );
            }
        }
    }
    assert!(hits > 8 && clear > 8, "{hits} hits, {clear} clear");
}

#[test]
fn what_motor_time_decides_is_not_leaned_on() {
    // Two blades that would never meet if they kept time: each reaches the other's
    // place, and their motors are two.
    let text = "use parts\nfigure pair {\n  board plywood-9 900 mm by 900 mm\n  \
        limb a { pivot (300, 450) mm  tip (520, 450) mm  drive spin { motor spur-gear-motor at (300, 450) mm }\n    gesture g { spin 1 turn per 4 s } }\n  \
        limb b { pivot (600, 450) mm  tip (820, 450) mm  drive spin { motor spur-gear-motor at (600, 450) mm }\n    gesture g { spin 1 turn per 4 s } }\n}\n";
    let compiled = compile(text);
    assert!(
        compiled.findings.iter().any(|f| f.code.word == "parts-clash"),
        "{:?}",
        compiled.findings
    );
    assert_eq!(compiled.spaces[0].gaps[0].by, By::Both);
}

// The post's corner at (625.7, 697.5) lies 299.9 mm from the pivot at 41.19 deg; the
// limb's lower edge, 20 mm below its axis, passes it at 41.19 + asin(20/299.9) = 45.01.
#[test]
fn a_limb_that_clips_the_frame_for_three_degrees_is_told_with_its_ends() {
    let compiled = compile(&yard((644.7, 0.0), (644.7, 697.5)));
    let gap = compiled.spaces[0].gaps.iter().find(|g| g.other == Role::Member).unwrap();
    assert_eq!(gap.touching.len(), 1);
    let (a, b) = (gap.touching[0].0.to_degrees(), gap.touching[0].1.to_degrees());
    assert!((a - 42.0).abs() < 1e-6 && (b - 45.01).abs() < 0.05, "{a} to {b}");
}

/// The drawing of the demo season's bear against its own sizes: bars keep their length at
/// both ends, meet at their pins, and the limb stands where the report says.
#[test]
fn the_drawing_of_a_crank_keeps_every_length() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    let compiled = Compiler::default().compile(&path).unwrap();
    let drawn = &compiled.spaces[0].elevation;
    let of = |role: Role, stand: Stand| -> &Drawn {
        drawn.iter().find(|d| (d.limb, d.role, d.stand) == (Some(0), role, stand)).unwrap()
    };
    let long = |d: &Drawn| {
        let [a, b] = d.corners[..] else { panic!("two ends") };
        libm::hypot(b[0] - a[0], b[1] - a[1])
    };
    // As drilled: crank 30, rod 160, lever 80 at 127 deg, motor (310, 806), pivot (150, 880).
    // At its ends crank and rod lie in one line, 130 or 190 mm from the motor; the law of
    // cosines gives the lever's angle from the line to the motor.
    let [long_line, short_line] = [190.0_f64, 130.0].map(|line| {
        let (across, up): (f64, f64) = (160.0, -74.0);
        let square = across * across + up * up;
        let bend = (6400.0 + square - line * line) / (160.0 * square.sqrt());
        (libm::atan2(up, across) - libm::acos(bend)).to_degrees() - 127.0 + 360.0
    });
    for (stand, degrees) in [(Stand::Low, long_line), (Stand::High, short_line)] {
        let [crank, rod, lever] = [Role::Crank, Role::Rod, Role::Lever].map(|r| of(r, stand));
        for (bar, length) in [(crank, 30.0), (rod, 160.0), (lever, 80.0)] {
            assert!((long(bar) - length).abs() < 1e-4, "{:?} {}", bar.role, long(bar));
        }
        let apart = |a: [f64; 2], b: [f64; 2]| libm::hypot(b[0] - a[0], b[1] - a[1]);
        assert!(apart(crank.corners[1], rod.corners[0]) < 1e-6, "crank and rod meet");
        assert!(apart(rod.corners[1], lever.corners[1]) < 1e-6, "rod and lever meet");
        // The outline's first corner, drawn at the pose of pivot to tip, turned by hand.
        let by = (degrees - libm::atan2(270.0, -400.0).to_degrees()).to_radians();
        let (x, y) = (198.0 - 150.0, 842.0 - 880.0);
        let want = [
            150.0 + x * libm::cos(by) - y * libm::sin(by),
            880.0 + x * libm::sin(by) + y * libm::cos(by),
        ];
        assert!(apart(of(Role::Limb, stand).corners[0], want) < 1e-3, "{stand:?}");
    }
}

/// Arm, rod and lever of a servo keep their lengths where its gestures end.
#[test]
fn the_drawing_of_a_servo_keeps_its_rod() {
    let compiled = compile(&yard((0.0, 0.0), (10.0, 0.0)));
    let rods = compiled.spaces[0].elevation.iter().filter(|d| d.role == Role::Rod);
    let lengths: Vec<f64> = rods
        .map(|d| libm::hypot(d.corners[1][0] - d.corners[0][0], d.corners[1][1] - d.corners[0][1]))
        .collect();
    assert_eq!(lengths.len(), 2);
    assert!(lengths.iter().all(|l| (l - 60.0).abs() < 1e-6), "{lengths:?}");
}

#[test]
fn a_bolt_is_long_enough_from_where_its_parts_add_up() {
    // By hand: washer 1.6, limb 6, spacer 2, board 9 and frame 38, spacer 2, lever 5, two
    // nuts 13.6, two threads of 1.25 mm that stand out: 79.7 mm, as the shop sheet has it,
    // less 1 mm for the drill's error.
    let short = |length: u32| {
        let text = format!(
            "use parts\nfigure gate {{\n  board plywood-9 900 mm by 1200 mm\n  frame 38 mm by 38 mm {{ (20, 900) to (880, 900) mm }}\n  \
             limb arm {{\n    pivot (300, 900) mm  tip (690, 900) mm  sheet plywood-6  bolt M8 length {length} mm\n    \
             drive four-bar {{ motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }}\n  }}\n}}\n"
        );
        compile(&text).findings.iter().any(|f| f.code.word == "shaft-too-short")
    };
    assert!(short(78) && !short(79));
}

/// How far out on the first limb it passes the second, from a grid of points and angles.
fn passes(first: Bar2, second: Bar2) -> f64 {
    let mut most = 0.0_f64;
    let angles = |(a, b): (f64, f64)| {
        (0..=40).map(move |i| (a + (b - a) * f64::from(i) / 40.0).to_radians())
    };
    for a in angles(first.turn) {
        let (sin, cos) = libm::sincos(a);
        for x in 0..=first.long as u32 {
            let x = f64::from(x);
            if x <= most {
                continue;
            }
            for y in -10..=10 {
                let y = f64::from(y) / 10.0 * first.half;
                let (px, py) = (
                    first.at.0 + x * cos - y * sin - second.at.0,
                    first.at.1 + x * sin + y * cos - second.at.1,
                );
                let inside = angles(second.turn).any(|b| {
                    let (sin, cos) = libm::sincos(b);
                    let (u, v) = (px * cos + py * sin, py * cos - px * sin);
                    (0.0..=second.long).contains(&u) && v.abs() <= second.half
                });
                if inside {
                    most = x;
                    break;
                }
            }
        }
    }
    most
}

/// A strip with its pivot and the angles it turns through.
#[derive(Clone, Copy)]
struct Bar2 {
    at: (f64, f64),
    long: f64,
    half: f64,
    turn: (f64, f64),
}

#[test]
fn how_far_out_limbs_pass_each_other_is_what_a_grid_finds() {
    let limb = |name: &str,
                at: (f64, f64),
                tip: (f64, f64),
                bushing: u32,
                sweep: &str,
                lever: u32| {
        format!(
            "  limb {name} {{\n    pivot ({}, {}) mm  tip ({}, {}) mm  mount behind  bolt M8  washer 40 mm  bushing nylon length {bushing} mm  sheet plywood-6  width 60 mm\n    \
             drive servo {{ motor servo-standard at ({}, {}) mm  crank 20 mm  rod 100 mm  tail-hole 20 mm at {lever} deg }}\n    \
             gesture wave {{ sweep {sweep}  cycle 4 s }}\n  }}\n",
            at.0,
            at.1,
            tip.0,
            tip.1,
            at.0,
            at.1 - 100.0
        )
    };
    let text = format!(
        "use parts\nfigure mast {{\n  board plywood-9 900 mm by 1400 mm\n{}{}}}\n",
        limb("level", (200.0, 800.0), (560.0, 800.0), 50, "-10 deg to 10 deg", 180),
        limb("hanging", (350.0, 1000.0), (350.0, 780.0), 70, "260 deg to 280 deg", 270),
    );
    let compiled = compile(&text);
    let near = &compiled.spaces[0].neighbours;
    let near = near.iter().find(|n| n.other == Role::Limb).unwrap();
    // 50 and 70 mm of bushing, spacers alike, and 6 mm of sheet.
    assert!((near.apart - 14.0).abs() < 1e-9, "{near:?}");
    let level = Bar2 { at: (200.0, 800.0), long: 360.0, half: 30.0, turn: (-10.0, 10.0) };
    let hanging = Bar2 { at: (350.0, 1000.0), long: 220.0, half: 30.0, turn: (260.0, 280.0) };
    for (told, grid, long) in [
        (near.at[0], passes(level, hanging), 360.0),
        (near.other_at[0], passes(hanging, level), 220.0),
    ] {
        // From above, and by no more than the grid's step and a halving of its length.
        assert!(told > grid - 1e-6 && told < grid + 3.0 + long / 256.0, "{told} {grid}");
    }
    assert!(near.at[0] < 300.0 && near.at[1] == 0.0, "{near:?}");
}

#[test]
fn a_wide_pulley_takes_its_room_in_depth() {
    // A rod whose standoff is said runs 9 to 17 mm behind the lever's face, over the place of a
    // pulley on another bolt; a pulley that ends before it is no matter.
    let text = |width: u32| {
        format!(
            "use parts\nfigure gate {{\n  board plywood-9 900 mm by 1200 mm\n  frame 38 mm by 38 mm {{ (20, 900) to (880, 900) mm  (300, 0) to (300, 990) mm  (260, 700) to (260, 850) mm }}\n  \
             limb arm {{\n    pivot (300, 900) mm  tip (690, 900) mm  sheet plywood-6\n    \
             drive four-bar {{ motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg  standoff 40 mm }}\n    \
             gesture wave {{ sweep -0.3 deg to 39 deg within 4 deg  cycle 3 s }}\n  }}\n  \
             limb disc {{\n    pivot (260, 760) mm  tip (300, 760) mm  width 40 mm  sheet plywood-6\n    \
             drive spin {{ motor wiper at (600, 760) mm  belt 20 60 pitch 5 mm width {width} mm }}\n    \
             gesture round {{ spin 1 turn per 4 s }}\n  }}\n}}\n"
        )
    };
    let meets = |width: u32| {
        let compiled = compile(&text(width));
        let wheel = |g: &yardwright::space::Gap| {
            (g.part == Role::Rod && g.other == Role::Wheel)
                || (g.part == Role::Wheel && g.other == Role::Rod)
        };
        let told = compiled.findings.iter().any(|f| {
            f.code.word == "parts-clash"
                && f.message.contains("wheel")
                && f.severity == Severity::Warning
        });
        (compiled.spaces[0].gaps.iter().any(|g| wheel(g) && g.least.high <= 0.0), told)
    };
    assert_eq!((meets(60), meets(1)), ((true, true), (false, false)));
}

#[test]
fn a_bolt_stands_out_by_its_own_nuts() {
    // By hand, two nuts (ISO 4032) and two threads: M8 13.6 + 2.5, M12 21.6 + 3.5 mm.
    for (bolt, long) in [("M8", 16.1), ("M12", 25.1), ("M8 length 100 mm", 16.1 + 100.0 - 79.7)] {
        let text = format!(
            "use parts\nfigure gate {{\n  board plywood-9 900 mm by 1200 mm\n  frame 38 mm by 38 mm {{ (20, 900) to (880, 900) mm }}\n  \
             limb arm {{\n    pivot (300, 900) mm  tip (690, 900) mm  sheet plywood-6  bolt {bolt}\n    \
             drive four-bar {{ motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }}\n  }}\n}}\n"
        );
        let compiled = compile(&text);
        let layer = compiled.spaces[0].stack.iter().find(|l| l.role == Role::Bolt).unwrap();
        assert!((layer.depth.back - layer.depth.front - long).abs() < 1e-9, "{bolt}: {layer:?}");
    }
}

#[test]
fn a_motors_shaft_reaches_through_plate_washer_crank_and_nut() {
    // By hand: plate 12, washer 2, crank 5, nut M8 6.8 (ISO 4032): 25.8 mm, less 1 for the
    // drill's error. One question for two motors without the word.
    let of = |shaft: &str, plate: &str| {
        let limb = |name: &str, x: u32| {
            format!(
                "  limb {name} {{\n    pivot ({x}, 900) mm  tip ({}, 900) mm  sheet plywood-6\n    \
                 drive four-bar {{ motor own at ({x}, 600) mm {plate}  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }}\n  }}\n",
                x + 150
            )
        };
        let text = format!(
            "use parts\nmotor own {{ kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  {shaft} }}\n\
             figure gate {{\n  board plywood-9 900 mm by 1200 mm\n{}{}}}\n",
            limb("a", 200),
            limb("b", 600)
        );
        let compiled = compile(&text);
        let notes = compiled.limbs().flat_map(|(f, l)| compiled.not_checked(f, l));
        let told = compiled.findings.iter().filter(|f| f.code.word == "shaft-too-short");
        (told.count(), notes.filter(|n| n.settle == "shaft 25 mm").count())
    };
    assert_eq!(of("shaft front 24 mm", "plate 12 mm"), (2, 0));
    assert_eq!(of("shaft front 25 mm", "plate 12 mm"), (0, 0));
    assert_eq!(of("shaft front", "plate 12 mm"), (0, 1));
    assert_eq!(of("shaft 12 mm", ""), (2, 0));
    assert_eq!(of("", ""), (0, 0));
}
/// EN 349: a finger needs 25 mm, a hand 100. Two strips lie in one line with 430 mm and
/// 445 mm + apart as their ends, and turn away from each other; their corners pass nearest, at
/// 15 + apart - (hypot(230, 20) - 230) - (hypot(235, 20) - 235) = 13.3 mm + apart.
#[test]
fn a_gap_that_closes_on_a_finger_or_a_hand_is_told() {
    let gap = |apart: f64| {
        let b = 680.0 + apart;
        let (tip, seen) = (b - 235.0, b + 100.0);
        let compiled = compile(&format!(
            "use parts\nmotor brute {{ kind servo voltage 24 V slew 0.3 s per 60 deg stall 20 N.m 8 A
                pulse 1000 us at -50 deg 2000 us at 50 deg }}
             figure pair {{ board plywood-9 {seen} mm by 1200 mm
              limb a {{ pivot (200, 600) mm tip (430, 600) mm length 230 mm width 40 mm
                drive servo {{ motor brute at (200, 600) mm }}
                gesture look {{ sweep 0 deg to 40 deg cycle 2 s }} }}
              limb b {{ pivot ({b}, 600) mm tip ({tip}, 600) mm length 235 mm width 40 mm
                drive servo {{ motor servo-standard at ({b}, 600) mm }}
                gesture look {{ sweep 140 deg to 180 deg cycle 2 s }} }} }}"
        ));
        let found = compiled.findings.iter().find(|f| f.code.word == "finger-gap");
        found.map(|f| f.message.clone())
    };
    let finger = gap(0.0).unwrap();
    assert!(finger.contains("a finger fits, and the gap closes to 13 mm"), "{finger}");
    let hand = gap(45.0).unwrap();
    assert!(hand.contains("a hand fits, and the gap closes to 58 mm"), "{hand}");
    assert_eq!(gap(90.0), None);
}

#[test]
fn what_a_ram_moves_is_told_by_how_long_it_is() {
    let compiled = compile(
        "use parts
         motor pusher { kind ram speed 0.01 m/s force 300 N length 200 to 240 mm }
         figure f { board plywood-9 900 mm by 1400 mm
           limb gate { pivot (400, 700) mm tip (700, 700) mm mount behind bolt M8 sheet plywood-6 width 100 mm
             tail 120 mm  drive ram { motor pusher anchor (360, 490) mm lever 70 mm at 180 deg }
             gesture open { sweep -24 deg to 10 deg } } }",
    );
    let gaps = &compiled.spaces[0].gaps;
    let rod = gaps.iter().find(|g| g.part == Role::Rod).expect("its rod passes the bolt");
    assert_eq!(rod.by, By::Length);
    assert!((200.0 - 1e-6..=240.0 + 1e-6).contains(&rod.least.at[0]), "{:?}", rod.least);
}

#[test]
fn a_rod_that_crosses_another_limb_is_never_passed_over() {
    // Two wings on one crank: seen from the front each rod's upper end lies over the other
    // wing's tail. Behind the board's 9 mm and 38 mm of frame the left wing hangs from 49 to
    // 55 mm (a washer of 2 mm before it), and 20 mm behind its front its crank turns.
    let wings = |left: &str, right: &str| {
        compile(&format!(
            "use parts\nfigure heron {{\n  board plywood-9 520 mm by 1200 mm\n  frame 38 mm by 38 mm {{ (180, 0) to (180, 1100) mm  (340, 0) to (340, 1100) mm }}\n  \
             motor main wiper at (260, 570) mm\n  \
             limb left {{\n    pivot (197, 820) mm  tip (-253, 820) mm  bolt M10  bushing nylon  mount behind\n    \
             sheet plywood-6  length 450 mm  width 160 mm  tail 95 mm\n    \
             drive four-bar {{ motor main  crank 30 mm  rod 250 mm  tail-hole 70 mm at 180 deg  assembly crossed  {left} }}\n    \
             gesture flap {{ sweep 155 deg to 205 deg  cycle 3 s }}\n  }}\n  \
             limb right mirrors left about x 260 mm {{ {right} }}\n}}\n"
        ))
    };
    let told = |compiled: &Compiled| {
        let clash = |f: &&yardwright::finding::Finding| {
            f.code.word == "parts-clash" && f.message.starts_with("the rod of heron.left")
        };
        let note = |n: &&yardwright::model::Note| {
            n.what.contains("the rod of heron.left passes heron.right")
        };
        let found = compiled.findings.iter().find(clash).map(|f| f.severity);
        let settle = compiled.spaces[0].limbs[0].not_checked.iter().find(note);
        (found, settle.map(|n| n.settle.clone()))
    };
    // The right wing from 62 to 68 mm, and nobody says where the crank turns.
    let open = wings("", "bushing nylon length 60 mm");
    assert_eq!(told(&open), (None, Some("standoff 20 mm".into())));
    // It turns from 69 mm: the rod lies somewhere from 55 to 69 mm, and 62 to 68 is taken.
    let said = wings("standoff 20 mm", "bushing nylon length 60 mm");
    assert_eq!(told(&said), (Some(Severity::Warning), None));
    // The right wing from 87 to 93 mm: behind the crank.
    assert_eq!(told(&wings("standoff 20 mm", "bushing nylon length 85 mm")), (None, None));
}

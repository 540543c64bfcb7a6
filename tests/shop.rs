//! Shop sheets: what they show is what was solved, in true size, whatever the names.

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::emit::paper::{A4, Drawing, LETTER, Mark, Title};
use yardwright::emit::{Output, shop};
use yardwright::fit::Fitted;
use yardwright::make::{BarKind, Drill, Found, Made, made};
use yardwright::source::MemoryDisk;

/// A yard from its text.
fn compiled(text: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/y/yard.yard", text);
    Compiler::new(disk).compile(Path::new("/y/yard.yard")).unwrap()
}

fn orchard() -> Compiled {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    Compiler::default().compile(&path).unwrap()
}

fn index(compiled: &Compiled, figure: &str) -> usize {
    compiled.yard.figures.iter().position(|f| f.name.value == figure).unwrap()
}

fn made_of(compiled: &Compiled, figure: &str) -> Made {
    let at = index(compiled, figure);
    made(&compiled.figures[at], &compiled.loads[at], &compiled.spaces[at])
}

fn file<'a>(files: &'a [Output], path: &str) -> &'a [u8] {
    &files.iter().find(|f| f.path == path).unwrap_or_else(|| panic!("no {path}")).bytes
}

fn close(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

/// The page boxes of a PDF: pdf-writer leaves its dictionaries readable.
fn boxes(pdf: &[u8]) -> Vec<[f64; 4]> {
    let text = String::from_utf8_lossy(pdf);
    let numbers = |t: &str| {
        let inner = t.split_once('[').unwrap().1.split_once(']').unwrap().0;
        let all: Vec<f64> = inner.split_whitespace().map(|n| n.parse().unwrap()).collect();
        [all[0], all[1], all[2], all[3]]
    };
    text.match_indices("/MediaBox").map(|(at, _)| numbers(&text[at..])).collect()
}

/// Centres of an SVG's circles with their radii.
fn circles(svg: &str) -> Vec<(f64, f64, f64)> {
    let value = |t: &str, name: &str| -> f64 {
        let at = t.split_once(&format!("{name}=\"")).unwrap().1;
        at.split_once('"').unwrap().0.parse().unwrap()
    };
    svg.match_indices("<circle")
        .map(|(at, _)| svg[at..].split_once("/>").unwrap().0)
        .map(|t| (value(t, " cx"), value(t, " cy"), value(t, " r")))
        .collect()
}

#[test]
fn paper_sizes_are_those_of_the_standards() {
    // ISO 216 and ANSI sizes, mm and points (the published list's F5).
    assert_eq!((A4, LETTER), ((210.0, 297.0), (215.9, 279.4)));
    let files = shop::outputs(&orchard());
    let pdfs = files.iter().filter(|f| f.path.ends_with(".pdf"));
    let mut pages = 0;
    for pdf in pdfs {
        for [x, y, w, h] in boxes(&pdf.bytes) {
            assert_eq!((x, y), (0.0, 0.0));
            close(w, 595.2756, 0.001);
            close(h, 841.8898, 0.001);
            pages += 1;
        }
    }
    assert!(pages > 60, "{pages}");
}

#[test]
fn the_check_bars_are_100_mm_and_4_in() {
    let title = Title {
        name: "bear",
        title: "",
        subject: "",
        scale: "1:1",
        sheet: (1, 1),
        unit: "mm",
        file: "yard.yard",
    };
    let sheet = title.around(&Drawing::default());
    let level = |m: &Mark| match m {
        Mark::Path { points, closed: false, .. } if points[0].1 == points[1].1 => {
            Some(points[1].0 - points[0].0)
        }
        _ => None,
    };
    let long: Vec<f64> = sheet.marks.iter().filter_map(level).collect();
    for bar in [100.0, 101.6] {
        assert!(long.iter().any(|l| (l - bar).abs() < 1e-9), "{bar}: {long:?}");
    }
}

#[test]
fn holes_on_the_sheet_are_as_far_apart_as_solved() {
    let compiled = orchard();
    let bear = &compiled.figures[index(&compiled, "bear")];
    let Some(Fitted::FourBar(bar)) = &bear.limbs[0].mechanism else { panic!("no four-bar") };
    let bars = bar.drilled.bars();
    let made = made_of(&compiled, "bear");
    close(made.spacings[0].apart.0, bars.ground.0, 1e-9);
    // In the file for a plotter: shaft (radius 5) and pivot (M8, radius 4).
    let files = shop::outputs(&compiled);
    let svg = String::from_utf8(file(&files, "shop/bear.svg").to_vec()).unwrap();
    let all = circles(&svg);
    let apart = |p: &(f64, f64, f64), q: &(f64, f64, f64)| libm::hypot(p.0 - q.0, p.1 - q.1);
    let (shaft, pivots) = (all[0], [all[1], all[3]]);
    assert_eq!((shaft.2, pivots[0].2, pivots[1].2), (5.0, 4.0, 4.0));
    for pivot in pivots {
        // Two places rounded to a hundredth of a millimetre.
        close(apart(&shaft, &pivot), bars.ground.0, 0.015);
    }
    // The crank's holes, likewise: its shaft hole and the hole in use.
    let crank = made.bars.iter().find(|b| b.kind == BarKind::Crank).unwrap();
    assert_eq!((crank.pins, crank.count()), (bars.crank.0, 1));
    let lever = made.bars.iter().find(|b| b.kind == BarKind::Lever).unwrap();
    assert_eq!((lever.pins, lever.count()), (bars.lever.0, 2));
    assert_eq!(lever.trial, [70.0, 90.0, 100.0, 110.0, 120.0]);
    let level = |p: &(f64, f64, f64)| all.iter().find(|q| q.1 == p.1 && q.0 > p.0).copied();
    let on_bar = all.iter().filter(|c| (c.2 - 5.0).abs() < 1e-9).nth(1).unwrap();
    close(apart(on_bar, &level(on_bar).unwrap()), bars.crank.0, 0.015);
}

#[test]
fn the_board_from_behind_is_mirrored() {
    let compiled = orchard();
    let made = made_of(&compiled, "bear");
    // The lower edge runs from 0 to 620 mm; the left arm's pivot at 150, on the right from
    // behind.
    let at = |name: &str| made.behind(made.holes.iter().find(|h| h.name == name).unwrap().at);
    assert_eq!(at("left-arm pivot"), (470.0, 880.0));
    assert_eq!(at("right-arm pivot"), (150.0, 880.0));
    assert_eq!(at("drum shaft"), (310.0, 806.0));
}

// Worked out by hand from the outlines: the bear's belly is 80 mm wider than its foot, the
// owl's 40 mm, and the moon ends in a single lowest corner.
#[test]
fn lengths_on_the_board_count_from_a_place_that_can_be_touched() {
    let compiled = orchard();
    let bear = made_of(&compiled, "bear");
    assert_eq!(bear.datum.found, Found::Corner);
    assert_eq!((bear.datum.at.x, bear.datum.at.y), (620.0, 0.0));
    let check = |made: &Made, name: &str| {
        let checks = &made.datum.checks;
        let found = checks.iter().find(|c| c.name == name);
        found.unwrap_or_else(|| panic!("no {name}: {checks:?}")).apart.0
    };
    close(check(&bear, "corner O to left-arm pivot"), libm::hypot(470.0, 880.0), 1e-9);
    // The top is farthest from O, the foot's other corner from both.
    close(check(&bear, "corner P to left-arm pivot"), libm::hypot(160.0, 470.0), 1e-9);
    let owl = made_of(&compiled, "owl").datum;
    assert_eq!((owl.found, owl.at.x, owl.at.y), (Found::Corner, 420.0, 0.0));
    let moon = made_of(&compiled, "moon").datum;
    assert_eq!((moon.found, moon.at.x), (Found::Battens { level: false }, 800.0));
    assert_eq!(moon.checks.len(), 2);
    assert!(moon.checks.iter().all(|c| c.name.starts_with("corner ")), "{:?}", moon.checks);
}

// A disc has neither corner nor level edge: its holes are held against the edge itself.
#[test]
fn a_round_board_is_measured_between_battens_and_checked_from_its_edge() {
    let points: Vec<String> = (0..72)
        .map(|n| {
            let turn = f64::from(5 * n).to_radians();
            let (x, y) = (libm::cos(turn), libm::sin(turn));
            format!("({:.3}, {:.3})", 300.0 + 300.0 * x, 300.0 + 300.0 * y)
        })
        .collect();
    let text = format!(
        "use parts\nfigure disc {{\n  board plywood-9 outline {} mm\n  limb hand {{\n    pivot (200, 300) mm  tip (400, 300) mm\n    drive servo {{ motor servo-standard at (200, 240) mm  crank 20 mm  rod 60 mm  lever 20 mm at 90 deg }}\n  }}\n}}\n",
        points.join(" ")
    );
    let compiled = compiled(&text);
    let made = made_of(&compiled, "disc");
    assert_eq!(made.datum.found, Found::Battens { level: false });
    close(made.datum.at.x, 600.0, 1e-3);
    assert!(made.corners.is_empty() && !made.straight, "{:?}", made.corners);
    let names: Vec<&str> = made.datum.checks.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names[0], "hand pivot to the nearest edge of the board");
    // 100 mm off the middle of a circle of 300, drawn with 72 straight edges.
    close(made.datum.checks[0].apart.0, 200.0, 0.3);
    // Without an outline the figure's own origin is all there is.
    let bare = "use parts\nfigure bare {\n  limb hand {\n    pivot (200, 300) mm  tip (400, 300) mm\n    drive servo { motor servo-standard at (200, 240) mm  crank 20 mm  rod 60 mm  lever 20 mm at 90 deg }\n  }\n}\n";
    let bare = self::compiled(bare);
    assert_eq!(made_of(&bare, "bare").datum.found, Found::Origin);
}

/// What a sheet of words and lines says.
fn words(pages: &[Drawing]) -> Vec<String> {
    let texts = pages.iter().flat_map(|p| &p.marks).filter_map(|m| match m {
        Mark::Text(t) => Some(t.words.clone()),
        _ => None,
    });
    texts.collect()
}

/// Two cranks of 30 mm alike, set 332 deg after each other seen from the front: 28 deg the
/// other way from behind it is, their pins 2 x 30 sin 14 deg = 14.5 mm from each other.
#[test]
fn cranks_of_one_motor_tell_how_they_are_set() {
    let wing = |name, x: i32, tip: i32, pin: &str, sweep| {
        format!(
            "limb {name} {{ pivot ({x}, 820) mm  tip ({tip}, 820) mm  mount behind\n \
             drive four-bar {{ motor wings {pin}  crank 30 mm  rod 250 mm  tail-hole 70 mm at ? }}\n \
             gesture flap {{ sweep {sweep}  cycle 2 s }} }}\n"
        )
    };
    let heron = |pin: &str| {
        let compiled = compiled(&format!(
            "use parts\nfigure heron {{ board plywood-9 520 mm by 1400 mm\n motor wings wiper at (260, 570) mm\n {}{} }}",
            wing("left", 197, -253, "", "155 deg to 205 deg"),
            wing("right", 323, 773, pin, "-25 deg to 25 deg")
        ));
        words(&shop::figure_sheets(&compiled, 0))
    };
    let said = heron("pin 332 deg");
    let has = |words: &str| said.iter().any(|s| s.contains(words));
    assert!(
        has("the pin of right 28 deg counter-clockwise of that of left, 14.5 mm from it"),
        "{said:?}"
    );
    assert!(has("28 deg counter-clockwise of that of left") && has("crank pin to that of left"));
    assert!(!heron("pin 0 deg").iter().any(|s| s.contains("from it")));
}

#[test]
fn the_overview_measures_the_board_and_its_battens() {
    let compiled = orchard();
    let made = made_of(&compiled, "bear");
    assert_eq!(made.corners.len(), 5);
    let batten = &made.battens[3];
    assert_eq!((batten.section.0.0, batten.section.1.0, batten.length.0), (38.0, 38.0, 358.0));
    let said = words(&shop::figure_sheets(&compiled, index(&compiled, "bear")));
    let has = |words: &str| said.iter().any(|s| s == words);
    // The box, the batten's section and length, and the widest corner 80 mm left of O.
    assert!(has("740 mm") && has("1350 mm"), "no size of the board");
    assert!(has("38 mm by 38 mm") && has("358 mm"), "no size of the battens");
    assert!(has("\u{2212}80 mm") || has("-80 mm"), "{said:?}");
    assert!(said.iter().any(|s| s.contains("from O, the left end of its lowest edge")));
    assert!(has("O"), "no mark of O");
}

#[test]
fn a_rod_at_either_end_of_the_swing_measures_crank_and_rod_in_line() {
    // At both ends crank and rod lie in one line: the lever's pin is rod plus or minus
    // crank away from the shaft (any textbook on the crank-rocker; Norton, chapter 4).
    let compiled = orchard();
    for figure in ["bear", "heron", "scarecrow"] {
        let at = index(&compiled, figure);
        let Some(Fitted::FourBar(bar)) = &compiled.figures[at].limbs[0].mechanism else {
            panic!("{figure} has no four-bar")
        };
        let bars = bar.drilled.bars();
        let made = made_of(&compiled, figure);
        let tape = &made.limbs[0].bench.tapes[0];
        let (near, far) = (tape.low.min(tape.high), tape.low.max(tape.high));
        close(near.0, bars.rod.0 - bars.crank.0, 1e-6);
        close(far.0, bars.rod.0 + bars.crank.0, 1e-6);
        // The chord of the swing.
        let tip = made.limbs[0].bench.tip_to_tip.unwrap().0;
        let limb = &compiled.yard.figures[at].figure.limbs[0];
        let (origin, _) = limb.drawn().unwrap();
        let long = limb.tip.unwrap().distance(origin).0;
        let sweep = bar.as_drilled.motion.unwrap().sweep.rad().0;
        close(tip, 2.0 * long * libm::sin(sweep / 2.0), 1e-9);
    }
}

#[test]
fn a_bolt_reaches_over_everything_on_it() {
    let compiled = orchard();
    let made = made_of(&compiled, "bear");
    let stack = made.limbs[0].stack.as_ref().unwrap();
    // By hand: washer 1.6, limb 6, spacer 2, board 9 and frame 38, spacer 2, lever 5, two
    // nuts of 6.8, two threads of 1.25.
    close(stack.needs, 1.6 + 6.0 + 2.0 + 47.0 + 2.0 + 5.0 + 13.6 + 2.5, 1e-9);
    assert_eq!(stack.take.unwrap().0, 80.0);
}

#[test]
fn mirrored_limbs_are_cut_on_one_template() {
    let made = made_of(&orchard(), "bear");
    let twin = made.limbs[1].plate.as_ref().unwrap().twin.unwrap();
    assert_eq!((twin.limb, twin.mirrored), (0, true));
}

#[test]
fn a_cam_on_paper_is_the_cam_that_was_solved() {
    let compiled = orchard();
    let made = made_of(&compiled, "frog");
    let cam = made.limbs[0].cam.as_ref().unwrap();
    let radii = cam.points.iter().map(|(_, p)| libm::hypot(p.0, p.1));
    let (low, high) = radii.fold((f64::MAX, 0.0_f64), |(l, h), r| (l.min(r), h.max(r)));
    // Base circle 35, lift 20 (the file's own numbers), a roller on the line of the shaft.
    close(low, 35.0, 0.01);
    close(high, 55.0, 0.05);
}

#[test]
fn the_same_yard_gives_the_same_bytes() {
    assert_eq!(shop::outputs(&orchard()), shop::outputs(&orchard()));
}

/// A figure called by its title.
fn titled(title: &str) -> String {
    format!(
        "use parts\nfigure f {{ title \"{title}\"  board plywood-9 600 mm by 1000 mm\n limb arm {{ title \
         \"{title}\"  pivot (200, 500) mm  tip (400, 800) mm\n drive four-bar {{ motor wiper at (300, \
         300) mm  crank 30 mm }}\n gesture g {{ sweep 30 deg to 70 deg  cycle 2 s }} }} }}\n"
    )
}

#[test]
fn no_name_breaks_a_sheet() {
    let long = "x".repeat(300);
    for title in [
        "</text><b>&'",
        "\u{43c}\u{435}\u{434}\u{432}\u{435}\u{434}\u{44c}",
        "\u{5d3}\u{5d5}\u{5d1}",
        "\u{62f}\u{628}",
        "\u{718a}\u{1f43b}\u{200d}\u{1f3b5}",
        "(\\) Tj ET",
        long.as_str(),
    ] {
        let files = shop::outputs(&compiled(&titled(title)));
        assert_eq!(files.len(), 5, "{title}");
        for f in &files {
            if f.path.ends_with(".pdf") {
                assert!(f.bytes.starts_with(b"%PDF-") && f.bytes.ends_with(b"%%EOF"));
                assert!(!boxes(&f.bytes).is_empty(), "{title}");
            } else {
                let text = std::str::from_utf8(&f.bytes).unwrap();
                assert!(text.trim_end().ends_with("</svg>") && !text.contains("<b>"), "{title}");
            }
        }
    }
}

#[test]
fn odd_figures_get_sheets_too() {
    // No figures at all; one of nothing; one without a board; one larger than any paper.
    assert!(shop::outputs(&compiled("use parts\nyard y { size 5 m by 5 m }\n")).is_empty());
    for (text, pages) in [
        ("use parts\nfigure bare { }\n", 1..=3),
        ("use parts\nfigure f { limb arm { pivot (0, 0) mm  tip (100, 0) mm } }\n", 2..=8),
        (
            "use parts\nfigure big { board plywood-9 9 m by 9 m  limb arm { pivot (1, 8) m  tip (1, \
             8.1) m } limb leg { pivot (8, 1) m tip (8, 1.1) m } }\n",
            3..=9,
        ),
    ] {
        let files = shop::outputs(&compiled(text));
        let pdf = files.iter().find(|f| f.path.ends_with(".pdf")).unwrap();
        let count = boxes(&pdf.bytes).len();
        assert!(pages.contains(&count), "{count} pages of {text}");
    }
}

#[test]
fn figures_called_like_our_own_files_keep_theirs() {
    let text = "use parts\nfigure labels { limb a { pivot (0, 0) mm  tip (100, 0) mm } }\n\
                figure set-out { }\nfigure set-out-card { }\n";
    let files = shop::outputs(&compiled(text));
    let mut paths: Vec<&str> = files.iter().map(|f| f.path.as_str()).collect();
    let all = paths.len();
    paths.sort();
    paths.dedup();
    assert_eq!(paths.len(), all);
    assert!(paths.contains(&"shop/set-out-card-card.pdf"), "{paths:?}");
}

#[test]
fn the_bear_takes_few_sheets() {
    let files = shop::outputs(&orchard());
    assert!(boxes(file(&files, "shop/bear.pdf")).len() < 15);
}

// A motor's screws lie where its own list has them from the shaft, seen from the front, and
// mirrored on the sheet from behind; the same motor in a mirrored limb is the same motor.
#[test]
fn screws_of_a_motor_are_drilled_where_its_list_has_them() {
    let text = "use parts\nmotor round { kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  mounting-holes M6 2 on 80 mm from 30 deg }\n\
                figure pair {\n  board plywood-9 900 mm by 1200 mm\n  limb a {\n    pivot (300, 900) mm  tip (60, 900) mm  mount front  sheet plywood-6  width 60 mm\n    \
                drive four-bar { motor round at (300, 600) mm  crank 30 mm  rod ?  lever 90 mm at ? }\n    \
                gesture wave { sweep 160 deg to 200 deg  cycle 4 s }\n  }\n  limb b mirrors a about x 450 mm\n}\n";
    let compiled = compiled(text);
    let made = made_of(&compiled, "pair");
    // 40 mm at 30 and 210 degrees.
    let (x, y) = (40.0 * 3.0_f64.sqrt() / 2.0, 20.0);
    for (name, shaft) in [("a", 300.0), ("b", 600.0)] {
        for (n, sign) in [(1, 1.0), (2, -1.0)] {
            let name = format!("{name} screw {n}");
            let hole = made.holes.iter().find(|h| h.name == name).unwrap();
            let (across, up) = made.behind(hole.at);
            close(across, 900.0 - shaft - sign * x, 1e-9);
            close(up, 600.0 + sign * y, 1e-9);
            // ISO 273, medium: 6.6 for M6.
            assert!(
                matches!(&hole.drill, Drill::Bolt(m, d) if m == "M6" && d.0 == 6.6),
                "{hole:?}"
            );
        }
    }
}

// Two braces and two posts: one to each, at the height that was said.
#[test]
fn braces_are_marked_on_the_posts_they_meet() {
    let compiled = orchard();
    let made = made_of(&compiled, "windmill");
    let mut at: Vec<_> = made
        .holes
        .iter()
        .filter(|h| h.name.starts_with("brace "))
        .map(|h| (h.at.x, h.at.y))
        .collect();
    at.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert_eq!(at, [(150.0, 700.0), (350.0, 700.0)]);
}

// Limbs are cut in mm, whatever the yard is paced out in.
#[test]
fn labels_say_the_unit_their_lengths_are_in() {
    let files = shop::outputs(&orchard());
    assert!(files.iter().any(|f| f.path == "shop/labels.pdf"));
    let sheets = shop::label_sheets(&orchard());
    let said = words(&sheets);
    assert!(said.iter().any(|s| s == "mm") && !said.iter().any(|s| s == "metres"), "{said:?}");
}

// Pegs at the ends of a line, a figure on it: the tapes lie along each other.
#[test]
fn tapes_along_one_line_are_marked() {
    let yard = |y: &str| {
        let figure = "figure post {\n  board plywood-9 400 mm by 900 mm\n}\n";
        let pegs = "  peg west at (0 m, 4 m)\n  peg east at (10 m, 4 m)\n";
        let text = format!(
            "use parts\nyard green {{\n  size 10 m by 8 m\n{pegs}}}\nset post at (5 m, {y}) facing south\n{figure}"
        );
        let files = shop::outputs(&compiled(&text));
        String::from_utf8(file(&files, "shop/set-out.svg").to_vec()).unwrap()
    };
    // atan(1/5) from either peg: they meet at 157 deg; from 3 m off at 118 deg.
    assert!(yard("5 m").contains("meet at less than 30 deg") && yard("5 m").contains("! 5.10"));
    let square = yard("7 m");
    assert!(
        !square.contains("less than 30 deg") && !square.contains("! "),
        "a good place is marked"
    );
}

#[test]
fn weak_pushes_are_marked_on_the_trial_chart() {
    let compiled = orchard();
    let said = words(&shop::figure_sheets(&compiled, index(&compiled, "bear")));
    let cells: Vec<&String> = said.iter().filter(|s| s.split("  ").count() == 3).collect();
    assert!(cells.len() > 20, "{cells:?}");
    for cell in cells {
        let push = cell.split("  ").nth(2).unwrap();
        let number: f64 = push.split(' ').next().unwrap().parse().unwrap();
        if number < 39.5 {
            assert!(push.contains('!'), "{cell}");
        }
        if number > 40.5 {
            assert!(!push.contains('!'), "{cell}");
        }
    }
    assert!(said.iter().any(|s| s.contains("it pushes poorly")));
}

/// Middles of swings on a chart are in the turn of the swing that is asked for: 195 to 235 deg
/// has its middle at 215, and not some at -145.
#[test]
fn middles_of_trial_holes_are_told_in_the_makers_turn() {
    let ran = crate::support::Yard::new()
        .file(
            "a.yard",
            "use parts\nfigure fox { board plywood-9 700 mm by 1000 mm
  limb arm { pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar { motor wiper at (420, 500) mm  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open }
    gesture saw { sweep 195 deg to 235 deg  cycle 2 s } } }\n",
        )
        .run("holes a.yard fox.arm --format json")
        .json();
    let cells = ran["cells"].as_array().unwrap();
    let middles: Vec<f64> = cells.iter().filter_map(|c| c["centre_deg"].as_f64()).collect();
    assert!(middles.len() > 10, "{ran}");
    assert!(middles.iter().all(|m| (m - 215.0).abs() < 90.0), "{middles:?}");
}

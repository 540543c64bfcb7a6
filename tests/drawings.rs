//! Outlines out of drawings: on the board where they belong, right again after an edit,
//! and nothing but a plain answer for a drawing that means harm.

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::geometry::Outline;
use yardwright::model::Shape;
use yardwright::source::MemoryDisk;

use super::support::disk::Shared;

const YARD: &str = "use parts
figure owl {
  board plywood-9 outline svg \"art/owl.svg\" part \"body\" scale 1 mm
  limb wing {
    pivot (300, 400) mm  tip (420, 400) mm
    outline from pivot svg \"art/owl.svg\" part \"wing\" scale 0.5 mm
  }
}
set owl at (4 m, 2 m) facing south
set owlet like owl at (2 m, 2 m) facing south scale 50 %
";

/// A page of 600 by 900 that begins at (100, 50), a round body, a wing about the origin.
fn owl(r: u32) -> String {
    format!(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='100 50 600 900'>
           <circle id='body' cx='400' cy='600' r='{r}'/>
           <g transform='scale(2 1)'><rect id='wing' x='-20' y='-30' width='140' height='90'/></g>
         </svg>"
    )
}

fn compile(svg: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/y/a.yard", YARD).with("/y/art/owl.svg", svg);
    Compiler::new(disk).compile(Path::new("/y/a.yard")).unwrap()
}

fn board(compiled: &Compiled, figure: usize) -> &Outline<yardwright::geometry::Board> {
    compiled.figures[figure].figure.board.outline.as_ref().expect("an outline")
}

#[test]
fn a_drawing_lands_where_its_page_says() {
    let compiled = compile(&owl(250));
    let errors: Vec<_> =
        compiled.findings.iter().filter(|f| f.code.word.starts_with("drawing")).collect();
    assert!(errors.is_empty(), "{errors:?}");
    // x - left; bottom - y = 950 - 600. A circle's area and middle.
    let at = compiled.yard.figures.iter().position(|f| f.name.value == "owl").unwrap();
    let body = board(&compiled, at);
    let middle = body.centroid();
    assert!((middle.x - 300.0).abs() < 1e-6 && (middle.y - 350.0).abs() < 1e-6, "{middle:?}");
    let round = std::f64::consts::PI * 250.0 * 250.0;
    let lost = round - body.area().0;
    // Within 0.1 mm of a line of 2 pi r.
    assert!(lost > 0.0 && lost < 0.1 * 2.0 * std::f64::consts::PI * 250.0, "{lost}");
    // The wing by hand: (-20..120) x 2 x 0.5 and (-30..60) x 0.5 turned up, about the pivot.
    let Some(Shape::Outline(wing)) = &compiled.figures[at].figure.limbs[0].shape else { panic!() };
    let b = wing.bounds();
    let got = [b.low.x, b.high.x, b.low.y, b.high.y];
    let want = [280.0, 420.0, 370.0, 415.0];
    assert!(got.iter().zip(want).all(|(a, b)| (a - b).abs() < 1e-9), "{got:?}");
    // The copy is half as large.
    let copy = 1 - at;
    assert!((board(&compiled, copy).area().0 * 4.0 / body.area().0 - 1.0).abs() < 1e-12);
}

#[test]
fn an_edited_drawing_is_read_again_and_watched() {
    let disk = Shared::default();
    let put = |name: &str, text: &str| disk.put(name, text);
    put("/y/a.yard", YARD);
    let mut compiler = Compiler::new(disk.clone());
    let mut area = || {
        let compiled = compiler.compile(Path::new("/y/a.yard")).unwrap();
        let watched = compiled.read.iter().any(|p| p.ends_with("art/owl.svg"));
        assert!(watched, "the drawing is watched, whether it is there or not");
        let at = compiled.yard.figures.iter().position(|f| f.name.value == "owl").unwrap();
        let words: Vec<&str> = compiled.findings.iter().map(|f| f.code.word).collect();
        let area = compiled.figures[at].figure.board.outline.as_ref().map(|o| o.area().0);
        (area, words.contains(&"drawing-missing"))
    };
    assert_eq!(area(), (None, true));
    put("/y/art/owl.svg", &owl(250));
    let (large, missing) = area();
    assert!(large.unwrap() > 195_000.0 && !missing);
    assert_eq!(area().0, large, "the same again");
    put("/y/art/owl.svg", &owl(100));
    let small = area().0.unwrap();
    assert!((31_000.0..31_500.0).contains(&small), "{small}");
    put("/y/art/owl.svg", &owl(250));
    assert_eq!(area().0, large, "as at first, bit for bit");
}

#[test]
fn drawings_that_mean_harm_are_refused_quickly() {
    let open = "<svg viewBox='0 0 9 9'>";
    let bomb = "<?xml version='1.0'?><!DOCTYPE svg [<!ENTITY a 'aaaaaaaaaa'>
        <!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;'><!ENTITY c '&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;'>]>
        <svg viewBox='0 0 9 9'><path id='body' d='&c;'/></svg>";
    let deep = open.to_owned() + &"<g>".repeat(100_000) + &"</g>".repeat(100_000) + "</svg>";
    let many = open.to_owned() + &"<g/>".repeat(300_000) + "</svg>";
    let fine = format!("{open}<path id='body' d='M0 0{}z'/></svg>", "l1 1 1-1".repeat(9_000));
    let huge = format!("{open}<circle id='body' r='1e300'/></svg>");
    let wide = format!("{open}<path id='body' d='M0 0L1e154 0L1e154 1e154z'/></svg>");
    let wider = format!("{open}<path id='body' d='M0 0L1e308 0L1e308 1e308L0 1e308z'/></svg>");
    let blown = format!("{open}<path id='body' transform='scale(1e300)' d='M0 0h9v9z'/></svg>");
    let off = "<svg viewBox='0 -1e12 9 9'><path id='body' d='M0 0h9v9z'/></svg>";
    let endless = format!("{open}<path id='body' d='M0 0A1e9 1e9 0 1 1 1 1z'/></svg>");
    let away =
        format!("{open}<use href='http://example.org/a.svg#b'/><circle id='body' r='9'/></svg>");
    let styled =
        format!("{open}<rect id='body' width='9' height='9' fill='url(other.svg#a)'/></svg>");
    let sheet =
        "<?xml-stylesheet href='a.css'?><svg viewBox='0 0 9 9'><circle id='body' r='9'/></svg>";
    let nan =
        format!("{open}<path id='body' transform='matrix(nan 0 0 0 0 0)' d='M0 0h9v9z'/></svg>");
    let inner = format!("{open}<svg viewBox='0 0 1 1'><circle id='body' r='9'/></svg></svg>");
    let crossed = format!("{open}<path id='body' d='M0 0L90 90L90 0L0 90z'/></svg>");
    let flat = format!("{open}<path id='body' d='M0 0L90 90L45 45z'/></svg>");
    let all: &[(&str, &str)] = &[
        (bomb, "drawing-reaches-out"),
        (&deep, "drawing-broken"),
        (&many, "drawing-broken"),
        (&fine, "drawing-broken"),
        (&huge, "drawing-broken"),
        (&endless, "drawing-broken"),
        (&wide, "drawing-broken"),
        (&wider, "drawing-broken"),
        (&blown, "drawing-broken"),
        (off, "drawing-broken"),
        (&away, "drawing-reaches-out"),
        (&styled, "drawing-reaches-out"),
        (sheet, "drawing-reaches-out"),
        (&nan, "drawing-broken"),
        (&inner, "drawing-broken"),
        (&crossed, "outline-crosses"),
        (&flat, "outline-flat"),
        ("", "drawing-broken"),
        ("\u{1F98A}", "drawing-broken"),
        ("<html/>", "drawing-broken"),
        ("<svg viewBox='0 0 0 9'/>", "drawing-broken"),
        ("<svg viewBox='0 0 9 9'/>", "drawing-part"),
        ("<svg viewBox='0 0 9 9'><path id='body'/></svg>", "drawing-part"),
        ("<svg viewBox='0 0 9 9'><path id='body' d='L0 0'/></svg>", "drawing-broken"),
    ];
    for (svg, word) in all {
        let begun = std::time::Instant::now();
        let compiled = compile(svg);
        let about: Vec<_> = compiled.findings.iter().filter(|f| f.limb.is_none()).collect();
        let got: Vec<&str> = about.iter().map(|f| f.code.word).collect();
        let head: String = svg.chars().take(80).collect();
        assert!(got.contains(word), "{head}: {got:?}, not {word}");
        let long = about.iter().find(|f| f.message.chars().count() > 400);
        assert!(long.is_none(), "{head}: {long:?}");
        assert!(begun.elapsed().as_secs() < 20, "{head}");
    }
}

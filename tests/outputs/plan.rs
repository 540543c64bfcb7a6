//! The plan: to scale, escaped, and as reviewed by eye.

use super::fixtures::{compiled, empty_yard, figure, limb, placed, rows_of_bears};
use super::snapshot;
use yardwright::emit::plan::outputs;
use yardwright::model::Yard;
use yardwright::units::{Mm, System};

fn first(yard: Yard) -> String {
    let sheets = outputs(&compiled(yard));
    String::from_utf8(sheets[0].bytes.clone()).unwrap()
}

fn baker() -> Yard {
    let mut yard = empty_yard();
    yard.system = System::Inch;
    yard.name = None;
    yard.title = Some("Baker's yard <& \"sons\"> 🥐".to_owned());
    let arm = limb("arm", (508.0, 1117.6), (863.6, 1320.8), (10.0, 55.0), System::Inch);
    yard.figures.push(placed(
        "baker",
        figure("baker", System::Inch, vec![arm]),
        (9000.0, 5000.0),
        180.0,
    ));
    yard
}

#[test]
fn plans_look_as_they_were_reviewed() {
    snapshot("plan-1.svg", &first(baker()));
    snapshot("plan-10.svg", &first(rows_of_bears(10)));
    snapshot("plan-60.svg", &first(rows_of_bears(60)));
}

/// The number of an attribute, as `cx="12.5"`.
fn attribute(tag: &str, name: &str) -> f64 {
    let from = tag.split_once(&format!(" {name}=\"")).unwrap().1;
    from.split_once('"').unwrap().0.parse().unwrap()
}

// The pegs stand 18 m apart east-west and 6 m north-south; at 1:50 that is 360
// and 120 mm on paper, whatever else the sheet shows.
#[test]
fn the_plan_is_to_the_scale_it_states() {
    let svg = first(rows_of_bears(10));
    assert!(svg.contains(">1:50<") && svg.contains("width=\"420mm\" height=\"297mm\""));
    let rings: Vec<(f64, f64)> = svg
        .lines()
        .filter(|l| l.starts_with("<circle") && l.contains("r=\"1.3\""))
        .map(|l| (attribute(l, "cx"), attribute(l, "cy")))
        .collect();
    let (porch, gate) = (rings[0], rings[1]);
    assert!((gate.0 - porch.0 - 360.0).abs() < 0.011, "{rings:?}");
    assert!((gate.1 - porch.1 - 120.0).abs() < 0.011, "{rings:?}");
}

#[test]
fn larger_yards_get_smaller_scales() {
    for (metres, scale) in
        [(6.0, "1:20"), (9.0, "1:25"), (18.0, "1:50"), (30.0, "1:100"), (70.0, "1:200")]
    {
        let mut yard = empty_yard();
        yard.size = (Mm(metres * 1000.0), Mm(metres * 550.0));
        yard.pegs.clear();
        yard.supplies.clear();
        yard.controllers.clear();
        yard.shows.clear();
        assert!(first(yard).contains(&format!(">{scale}<")), "{metres} m");
    }
}

/// Every tag is closed by its own name and nothing but tags begins with `<`.
fn well_formed(svg: &str) -> bool {
    let mut open: Vec<&str> = Vec::new();
    for part in svg.split('<').skip(1) {
        let Some((tag, text)) = part.split_once('>') else { return false };
        let name = tag.trim_start_matches('/').split([' ', '/']).next().unwrap_or_default();
        match (tag.starts_with('/'), tag.ends_with('/')) {
            (true, _) => {
                if open.pop() != Some(name) {
                    return false;
                }
            }
            (false, true) => {}
            (false, false) => open.push(name),
        }
        if text.contains('>') {
            return false;
        }
    }
    open.is_empty()
}

#[test]
fn names_cannot_become_markup() {
    for name in
        ["</text><script>x</script>", "a\"b'c&d", "عرض الليل", "🦔🎉", "tab\there\u{1b}[31m"]
    {
        let mut yard = baker();
        yard.title = Some(name.to_owned());
        let svg = first(yard);
        assert!(well_formed(&svg), "{name}");
        assert!(!svg.contains("<script") && !svg.contains('\u{1b}'), "{name}");
    }
    assert!(!well_formed("<svg><g></svg></g>") && !well_formed("<text>a>b</text>"));
}

#[test]
fn places_that_are_no_numbers_do_not_reach_the_paper() {
    let mut yard = rows_of_bears(3);
    yard.figures[1].at.x = f64::NAN;
    yard.figures[2].at.y = f64::INFINITY;
    let svg = first(yard);
    assert!(well_formed(&svg) && !svg.contains("NaN") && !svg.contains("inf"));
}

#[test]
fn a_long_table_goes_on_to_further_sheets() {
    let sheets = outputs(&compiled(rows_of_bears(300)));
    let names: Vec<&str> = sheets.iter().map(|s| s.path.as_str()).collect();
    assert_eq!(names, ["plan.svg", "plan-2.svg", "plan-3.svg"]);
    let table: String =
        sheets[1..].iter().map(|s| std::str::from_utf8(&s.bytes).unwrap()).collect();
    for name in ["bear", "heron-25", "lantern-keeper-25"] {
        assert_eq!(table.matches(&format!(">{name}<")).count(), 1, "{name}");
    }
    assert_eq!(sheets, outputs(&compiled(rows_of_bears(300))));
}

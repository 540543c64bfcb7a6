//! `report.html` against `report.json`, the terminal, and names that want to be markup.

use std::path::Path;

use serde_json::Value;
use yardwright::check::{Compiled, Compiler};
use yardwright::emit::outputs;
use yardwright::emit::text::{TextOptions, report};
use yardwright::source::MemoryDisk;

struct Built {
    compiled: Compiled,
    page: String,
    json: Value,
}

fn built_by(mut compiler: Compiler, path: &Path) -> Built {
    let compiled = compiler.compile(path).unwrap();
    let files = outputs(&compiled, compiler.sources()).unwrap();
    let bytes = |name: &str| files.iter().find(|f| f.path == name).unwrap().bytes.clone();
    let page = String::from_utf8(bytes("report.html")).unwrap();
    let json = serde_json::from_slice(&bytes("report.json")).unwrap();
    Built { compiled, page, json }
}

fn demo() -> Built {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    built_by(Compiler::default(), &path)
}

fn of(text: &str) -> Built {
    let disk = MemoryDisk::new().with("/yard/a.yard", text);
    built_by(Compiler::new(disk), Path::new("/yard/a.yard"))
}

/// What a reader sees: without tags, entities read, blanks made one.
fn seen(page: &str) -> String {
    let body = page.split("</style>").nth(1).unwrap();
    let mut text = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => (inside, _) = (true, text.push(' ')),
            '>' => inside = false,
            c if !inside => text.push(c),
            _ => {}
        }
    }
    let marks = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")];
    let text = marks.iter().fold(text, |t, (a, b)| t.replace(a, b));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Every tag that is opened is closed, in order.
fn balanced(page: &str) {
    let mut open = Vec::new();
    let alone = ["meta", "br", "!DOCTYPE", "path", "circle"];
    for tag in page.split('<').skip(1) {
        let name: String =
            tag.chars().take_while(|c| c.is_alphanumeric() || "!/".contains(*c)).collect();
        if let Some(closed) = name.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(closed), "</{closed}>");
        } else if !alone.contains(&name.trim_end_matches('/')) {
            open.push(name);
        }
    }
    assert_eq!(open, Vec::<String>::new());
}

#[test]
fn every_row_of_the_terminal_stands_on_its_figures_sheet() {
    let Built { compiled, page, .. } = demo();
    balanced(&page);
    let seen = seen(&page);
    let options = TextOptions { verbose: true, width: 100_000, ..TextOptions::default() };
    let mut told = 0;
    for line in report(&compiled, &options).lines() {
        let mut parts = line.trim_end().split("   ").map(str::trim).filter(|p| !p.is_empty());
        let head = parts.next().unwrap_or_default();
        if !["drill", "care", "motor", "load", "wind", "room"].contains(&head) {
            continue;
        }
        for part in parts {
            assert!(seen.contains(part), "`{part}` of `{head}` is not on the page");
            told += 1;
        }
    }
    assert!(told > 150, "only {told} parts were compared");
}

#[test]
fn its_numbers_are_those_of_the_report() {
    let Built { page, json, .. } = demo();
    let limb = &json["figures"][0]["limbs"][0];
    let section = page.split("Numbers of left-arm").nth(1).unwrap();
    let seen = seen(&format!("</style>{section}"));
    let number = |p: &str| limb.pointer(p).unwrap().as_f64().unwrap();
    let degrees = |p: &str| format!("{:.1} deg", number(p));
    let pair = [
        degrees("/mechanism/min_transmission_deg"),
        degrees("/mechanism/as_drilled/min_transmission_deg"),
    ];
    assert!(seen.contains(&format!("worst push angle {} {}", pair[0], pair[1])), "{seen}");
    let margin = number("/loads/torque_margin");
    let margin = yardwright::units::print::decimal(margin, 1);
    assert!(seen.contains(&format!("times its peak {margin}")), "{seen}");
    let peak = number("/loads/peak_motor_torque_nm");
    assert!(seen.contains(&format!("peak at the motor {peak:.3} N.m")), "{seen}");
    // A gust is never rounded up.
    let gust = (number("/wind/max_run_wind_mps") * 10.0).floor() / 10.0;
    let gust = yardwright::units::print::decimal(gust, 1);
    assert!(seen.contains(&format!("stop above {gust} m/s")), "{seen}");
}

#[test]
fn the_limbs_nearest_to_their_limits_come_first() {
    let Built { page, json, .. } = demo();
    let mut margins: Vec<(f64, String)> = Vec::new();
    for figure in json["figures"].as_array().unwrap() {
        for limb in figure["limbs"].as_array().unwrap() {
            if let Some(margin) = limb["loads"]["torque_margin"].as_f64() {
                let name = [&figure["name"], &limb["name"]].map(|n| n.as_str().unwrap());
                margins.push((margin, name.join(".")));
            }
        }
    }
    margins.sort_by(|a, b| a.0.total_cmp(&b.0));
    let list = page.split("Motor stops at").nth(1).unwrap().split("</table>").next().unwrap();
    let mut from = 0;
    for (_, name) in &margins[..6] {
        let at = list[from..].find(&format!(">{name}<"));
        from += at.unwrap_or_else(|| panic!("{name} is not in its place:\n{list}"));
    }
    // Nothing of the demo wants mending.
    assert!(!page.contains("<h2>Look at first"));
}

#[test]
fn what_was_found_comes_first_and_the_worst_of_it() {
    let Built { page, .. } = of(include_str!("../faults/clash-in-wind.two-flags-that-cross.yard"));
    let order = ["Look at first", "Nearest to", "Not checked", "Assumed", "Caution"];
    let places = order.map(|w| page.find(&format!("<h2>{w}")).unwrap_or_else(|| panic!("{w}")));
    assert!(places.is_sorted(), "{places:?}");
    assert!(page.find("mark warning").unwrap() < page.find("mark hint").unwrap());
}

#[test]
fn what_was_not_checked_has_the_clause_that_settles_it() {
    let Built { page, json, .. } = demo();
    let seen = seen(&page);
    let mut notes = 0;
    for limb in
        json["figures"].as_array().unwrap().iter().flat_map(|f| f["limbs"].as_array().unwrap())
    {
        for note in limb["not_checked"].as_array().unwrap() {
            let both = ["what", "settle"].map(|f| note[f].as_str().unwrap());
            let line = both.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(seen.contains(&line), "{line}");
            notes += 1;
        }
    }
    assert!(notes > 5);
}

/// A yard with one figure and whatever it has.
fn one(board: &str, more: &str) -> String {
    format!("use parts\nfigure post {{\n  board plywood-9 {board}\n{more}}}\n")
}

#[test]
fn a_caution_stands_where_something_calls_for_it() {
    let page = |text: &str| of(text).page;
    let still = page(&one("400 mm by 900 mm", ""));
    assert!(still.contains("<b>Wind and falling.</b>"));
    for word in ["Mains", "Pinch and jam", "Compressed air", "Cables across paths", "Ladders"] {
        assert!(!still.contains(&format!("<b>{word}.</b>")), "{word}");
    }
    assert!(page(&one("400 mm by 2300 mm", "")).contains("<b>Ladders.</b>"));
    let demo = demo().page;
    for word in
        ["Mains", "Pinch and jam", "Wind and falling", "Compressed air", "Cables across paths"]
    {
        assert_eq!(demo.matches(&format!("<b>{word}.</b>")).count(), 1, "{word}");
    }
}

#[test]
fn names_stay_text() {
    let long = "L".repeat(300);
    let text = format!(
        "use parts\nyard odd {{ title \"<script>alert(1)</script> & 'one' \u{1f383} \u{5e9}\u{5dc}\" size 30 ft by 20 ft }}\n\
         figure post {{\n  title \"{long}<b>\"\n  board plywood-9 27 in by 61 in\n  limb arm {{\n    \
         title \"<img src=x onerror=alert(1)>\"\n    pivot (20, 44) in  tip (34, 52) in\n    \
         drive four-bar {{ motor wiper at (14, 30) in  crank 1 1/2 in }}\n    \
         gesture stir {{ sweep 10 deg to 55 deg  cycle 2 s }}\n  }}\n}}\n\
         laid-up post from 2027-10-26 \"</section><i>\"\n"
    );
    let Built { page, .. } = of(&text);
    balanced(&page);
    for markup in ["<script", "<img", "<b>alert", "<i>", "</section><i"] {
        assert!(!page.contains(markup), "{markup}");
    }
    let seen = seen(&page);
    assert!(seen.contains("<script>alert(1)</script> & 'one' \u{1f383} \u{5e9}\u{5dc}"), "{seen}");
    assert!(seen.contains(&format!("{long}<b>")) && seen.contains("Laid up: </section><i>"));
}

#[test]
fn an_empty_yard_has_a_page_and_two_hundred_figures_have_a_sheet_each() {
    let Built { page, .. } = of("use parts\n");
    balanced(&page);
    assert!(page.contains("There is no figure in this yard."));
    let figures: Vec<String> = (0..200)
        .map(|n| {
            one("400 mm by 900 mm", "")
                .replace("use parts\n", "")
                .replace("post", &format!("post-{n}"))
        })
        .collect();
    let Built { page, .. } = of(&format!("use parts\n{}", figures.concat()));
    balanced(&page);
    assert_eq!(page.matches("<section class=\"sheet\"").count(), 202);
    assert!(page.contains("201 of 202") && page.contains("202 of 202"));
}

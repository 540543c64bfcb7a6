//! The moving preview: its numbers against the motion it is made from, against the
//! report, and against circles cut with each other; names that try to be markup.

use std::path::{Path, PathBuf};

use serde_json::Value;
use yardwright::check::{Compiled, Compiler};
use yardwright::emit::{preview, report};
use yardwright::source::MemoryDisk;
use yardwright::units::Sec;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

struct Made {
    compiled: Compiled,
    page: String,
    data: Value,
    report: Value,
}

fn made(mut compiler: Compiler, file: &Path) -> Made {
    let compiled = compiler.compile(file).unwrap();
    let files = preview::outputs(&compiled, compiler.sources()).unwrap();
    assert_eq!(files[0].path, "preview.html");
    let page = String::from_utf8(files[0].bytes.clone()).unwrap();
    let (_, data) = page.split_once("id=\"data\">").unwrap();
    let (data, _) = data.split_once("</script>").unwrap();
    let data = serde_json::from_str(data).unwrap();
    let report = report::outputs(&compiled, compiler.sources()).unwrap();
    let report = serde_json::from_slice(&report[0].bytes).unwrap();
    Made { compiled, page, data, report }
}

fn of_file(file: &str) -> Made {
    made(Compiler::default(), &root().join(file))
}

fn of_text(text: &str) -> Made {
    let mut disk = MemoryDisk::new();
    disk.put("/p/main.yard", text.to_owned());
    made(Compiler::new(disk), Path::new("/p/main.yard"))
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap()
}

/// Numbers as the page reads them: sums of differences, or one for all.
fn numbers(value: &Value, n: usize, per: f64) -> Vec<f64> {
    let parts: Vec<i64> = list(value).iter().map(|v| v.as_i64().unwrap()).collect();
    if let ([one], true) = (&parts[..], n > 1) {
        return vec![*one as f64 / per; n];
    }
    let mut sum = 0;
    parts
        .iter()
        .map(|p| {
            sum += p;
            sum as f64 / per
        })
        .collect()
}

/// A table read as the page reads it.
struct Table {
    closed: bool,
    at: Vec<f64>,
    limb: [Vec<f64>; 3],
    pins: Vec<(String, [Vec<f64>; 2])>,
    error: f64,
}

impl Table {
    fn of(limb: &Value) -> Option<Self> {
        let t = limb.get("table")?;
        let n = list(&t["at"]).len();
        let pins = list(&t["pins"]).iter().zip(list(&t["pin"])).map(|(name, p)| {
            let columns = [0, 1].map(|c| numbers(&p[c], n, 100.0));
            (name.as_str().unwrap().to_owned(), columns)
        });
        Some(Self {
            closed: t["closed"].as_bool().unwrap(),
            at: numbers(&t["at"], n, 1e5),
            limb: [0, 1, 2].map(|c| numbers(&t["limb"][c], n, if c == 2 { 1e4 } else { 100.0 })),
            pins: pins.collect(),
            error: t["error_mm"].as_f64().unwrap(),
        })
    }

    /// Row, share of the way to the next, whole turns.
    fn place(&self, mut u: f64) -> (usize, f64, f64) {
        let (from, to) = (self.at[0], self.at[self.at.len() - 1]);
        let mut turns = 0.0;
        if self.closed {
            turns = ((u - from) / (to - from)).floor();
            u -= turns * (to - from);
        }
        let u = u.clamp(from, to);
        let i = self.at.partition_point(|a| *a <= u).saturating_sub(1).min(self.at.len() - 2);
        (i, (u - self.at[i]) / (self.at[i + 1] - self.at[i]), turns)
    }

    fn limb(&self, u: f64) -> [f64; 3] {
        let (i, share, turns) = self.place(u);
        let line = |l: &[f64]| l[i] + (l[i + 1] - l[i]) * share;
        let whole = self.limb[2][self.at.len() - 1] - self.limb[2][0];
        [line(&self.limb[0]), line(&self.limb[1]), line(&self.limb[2]) + turns * whole]
    }

    fn pin(&self, name: &str, u: f64) -> Option<[f64; 2]> {
        let (_, columns) = self.pins.iter().find(|p| p.0 == name)?;
        let (i, share, _) = self.place(u);
        Some([0, 1].map(|c| columns[c][i] + (columns[c][i + 1] - columns[c][i]) * share))
    }

    /// Coordinates between and on the rows.
    fn looks(&self) -> Vec<f64> {
        let (from, to) = (self.at[0], self.at[self.at.len() - 1]);
        (0..=1009).map(|i| from + (to - from) * f64::from(i) / 1009.0).collect()
    }
}

fn drawing(made: &Made, figure: usize) -> &Value {
    let index = made.data["figures"][figure]["drawing"].as_u64().unwrap();
    &made.data["drawings"][index as usize]
}

/// Every limb with a table: names, the page's data of it, its table and its mechanism in
/// the report, as drilled.
fn tables(made: &Made) -> Vec<(String, &Value, Table, &Value)> {
    let mut all = Vec::new();
    for (f, figure) in list(&made.data["figures"]).iter().enumerate() {
        for (l, limb) in list(&drawing(made, f)["limbs"]).iter().enumerate() {
            let Some(table) = Table::of(limb) else { continue };
            let name =
                format!("{}.{}", figure["name"].as_str().unwrap(), limb["name"].as_str().unwrap());
            let told = &made.report["figures"][f]["limbs"][l]["mechanism"];
            all.push((name, limb, table, told.get("as_drilled").unwrap_or(told)));
        }
    }
    all
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    libm::hypot(a[0] - b[0], a[1] - b[1])
}

/// The shortest way between two angles.
fn turn(a: f64, b: f64) -> f64 {
    ((a - b + 180.0).rem_euclid(360.0) - 180.0).abs()
}

/// The examples that are to be fine, one per mechanism.
fn examples() -> Vec<String> {
    let files = std::fs::read_dir(root().join("examples")).unwrap();
    let mut names: Vec<String> = files
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.ends_with(".yard") && !n.ends_with("-mistake.yard"))
        .map(|n| format!("examples/{n}"))
        .collect();
    names.sort();
    names.push("shows/orchard.yard".to_owned());
    names
}

/// A limb on the board at a time of the first show as the page puts it there, and what its
/// tables may be off by.
fn on_board(made: &Made, figure: usize, limb: usize, at: f64) -> Option<([f64; 3], f64)> {
    let data = &drawing(made, figure)["limbs"][limb];
    let (own, off) = match Table::of(data) {
        None => {
            let still = data.get("still")?;
            ([0, 1, 2].map(|i| still[i].as_f64().unwrap()), 0.01)
        }
        Some(table) => {
            let courses = list(&made.data["shows"][0]["parts"][figure]["limbs"]);
            let course = courses.iter().find(|c| c["limb"] == limb)?;
            let n = list(&course["t"]).len();
            let (t, u) = (numbers(&course["t"], n, 1e4), numbers(&course["u"], n, 1e3));
            let after = t.partition_point(|t| *t <= at);
            let now = match after {
                0 => u[0],
                a if a == n => u[n - 1],
                a => u[a - 1] + (u[a] - u[a - 1]) * (at - t[a - 1]) / (t[a] - t[a - 1]),
            };
            (table.limb(now), table.error)
        }
    };
    let Some(host) = data.get("on").and_then(Value::as_u64) else { return Some((own, off)) };
    let (host, more) = on_board(made, figure, host as usize, at)?;
    let (sin, cos) = libm::sincos(host[2].to_radians());
    let turn = if data.get("level").is_some() { 0.0 } else { host[2] };
    let place = [host[0] + own[0] * cos - own[1] * sin, host[1] + own[0] * sin + own[1] * cos];
    // What its carrier is off by grows on the way to the end of the limb it carries.
    Some(([place[0], place[1], own[2] + turn], off + 2.0 * more))
}

// The tables are read at the courses of the page, and the motion they came from at the
// same times; also of limbs that ride on others.
#[test]
fn limbs_are_where_the_motion_says() {
    let (mut looked, mut rode) = (0, 0);
    for file in examples() {
        let made = of_file(&file);
        let compiled = &made.compiled;
        let Some(show) = list(&made.data["shows"]).first() else { continue };
        let duration = show["duration_s"].as_f64().unwrap();
        for (f, fitted) in compiled.figures.iter().enumerate() {
            let name = &compiled.yard.figures[f].name.value;
            let played = compiled.performances[0].figures.iter().find(|p| p.figure == *name);
            let Some(played) = played else { continue };
            for (l, own) in fitted.figure.limbs.iter().enumerate() {
                let reach = own.silhouette().map_or(1.0, |o| {
                    o.corners().iter().map(|p| libm::hypot(p.x, p.y)).fold(1.0, f64::max)
                });
                for i in 0..200 {
                    let at = duration * (f64::from(i) + 0.37) / 200.0;
                    let (got, stated) = on_board(&made, f, l, at).unwrap();
                    let want = played.body(&own.name.value, Sec(at), fitted).unwrap();
                    let origin = apart([got[0], got[1]], [want.x, want.y]);
                    let corner = turn(got[2], want.axis().deg().0).to_radians() * reach;
                    // Beside the table's own error the course is rounded, to 0.0005 deg or mm.
                    assert!(
                        origin + corner <= stated + 0.05,
                        "{file} {name}.{} at {at:.3} s: {origin} mm, {corner} mm, {stated}",
                        own.name.value
                    );
                    looked += 1;
                    rode += usize::from(own.carrier.is_some());
                }
            }
        }
    }
    assert!(looked > 4000 && rode >= 400, "{looked} {rode}");
}

// Crank, rod and lever are measured between the pins, all the way round.
#[test]
fn bars_keep_their_lengths() {
    let mut measured = std::collections::BTreeSet::new();
    for file in examples() {
        let made = of_file(&file);
        for (name, limb, table, mechanism) in tables(&made) {
            let lengths = &mechanism["lengths_mm"];
            let kind = mechanism["kind"].as_str().unwrap_or_default().to_owned();
            let bars: &[(&str, &str, &str)] = match kind.as_str() {
                "cord" | "cam" | "spin" => &[("crank", "shaft", "crank pin")],
                "ram" | "cylinder" => &[],
                _ => &[
                    ("crank", "shaft", "crank pin"),
                    ("coupler", "crank pin", "lever pin"),
                    ("coupler", "crank pin", "slide pin"),
                    ("coupler", "anchor", "lever pin"),
                ],
            };
            for u in table.looks() {
                for (size, a, b) in bars {
                    let (Some(a), Some(b)) = (table.pin(a, u), table.pin(b, u)) else { continue };
                    let Some(want) = lengths[*size].as_f64() else { continue };
                    let got = apart(a, b);
                    assert!(
                        (got - want).abs() <= 2.0 * table.error,
                        "{file} {name} at {u}: {size} {got}, {want}, stated {}",
                        table.error
                    );
                    measured.insert((kind.clone(), *size));
                }
                let lever = lengths["rocker"].as_f64().filter(|_| limb["slides"] == false);
                if let (Some(want), Some(pin)) = (lever, table.pin("lever pin", u)) {
                    let [x, y, _] = table.limb(u);
                    let got = apart([x, y], pin);
                    assert!((got - want).abs() <= 2.0 * table.error, "{file} {name}: lever {got}");
                    measured.insert((kind.clone(), "rocker"));
                }
                // A ram is as long as its coordinate says.
                if limb["table"]["counts"] == "length" && (kind == "ram" || kind == "cylinder") {
                    let far = table.pin("lever pin", u).or_else(|| table.pin("slide pin", u));
                    let got = apart(table.pin("anchor", u).unwrap(), far.unwrap());
                    assert!((got - u).abs() <= 2.0 * table.error, "{file} {name}: {got}, {u}");
                    measured.insert((kind.clone(), "length"));
                }
            }
        }
    }
    for want in [
        ("four-bar", "crank"),
        ("four-bar", "coupler"),
        ("four-bar", "rocker"),
        ("four-bar-from", "coupler"),
        ("slider-crank", "coupler"),
        ("slotted-arm", "crank"),
        ("scotch-yoke", "crank"),
        ("ram", "length"),
        ("cylinder", "length"),
    ] {
        assert!(measured.contains(&(want.0.to_owned(), want.1)), "{want:?} in {measured:?}");
    }
}

// A second way to the lever pin: the two circles about crank pin and pivot cut each other
// in two points; it is one of them, and always the one on the same side.
#[test]
fn lever_pins_lie_where_two_circles_cut() {
    let made = of_file("shows/orchard.yard");
    let mut seen = 0;
    for (name, _, table, mechanism) in tables(&made) {
        if mechanism["kind"] != "four-bar" {
            continue;
        }
        let [rod, lever] =
            ["coupler", "rocker"].map(|s| mechanism["lengths_mm"][s].as_f64().unwrap());
        let mut sides = Vec::new();
        for u in table.looks() {
            let (a, got) = (table.pin("crank pin", u).unwrap(), table.pin("lever pin", u).unwrap());
            let [px, py, _] = table.limb(u);
            let d = apart(a, [px, py]);
            let along = (d * d + rod * rod - lever * lever) / (2.0 * d);
            let up = (rod * rod - along * along).max(0.0).sqrt();
            let (ex, ey) = ((px - a[0]) / d, (py - a[1]) / d);
            let off = [1.0, -1.0].map(|s| {
                apart(got, [a[0] + along * ex - s * up * ey, a[1] + along * ey + s * up * ex])
            });
            sides.push(off[0] < off[1]);
            // What is off in the crank pin grows with the push angle's sine: 40 deg at least.
            assert!(off[0].min(off[1]) <= 4.0 * table.error, "{name} at {u}: {off:?}");
        }
        assert!(sides.iter().all(|s| *s == sides[0]), "{name} changes sides");
        seen += 1;
    }
    assert!(seen >= 4, "{seen}");
}

#[test]
fn limbs_reach_the_ends_that_the_report_states() {
    let mut seen = 0;
    for file in examples() {
        let made = of_file(&file);
        for (name, limb, table, mechanism) in tables(&made) {
            let ends = ["low_deg", "high_deg"].map(|e| mechanism[e].as_f64());
            let [Some(low), Some(high)] = ends else { continue };
            if high - low > 359.0 || limb["table"]["counts"] == "angle" {
                continue;
            }
            let all: Vec<f64> = table.looks().into_iter().map(|u| table.limb(u)[2]).collect();
            let (least, most) =
                all.iter().fold((f64::MAX, f64::MIN), |(l, h), a| (l.min(*a), h.max(*a)));
            // A hundredth of a degree beside the error of a point a metre away.
            let off = 0.01 + libm::atan2(table.error, 100.0).to_degrees();
            assert!(
                turn(least, low) < off && turn(most, high) < off,
                "{file} {name}: {least} {most}, {low} {high}"
            );
            for (end, want) in [("crank_at_low_deg", low), ("crank_at_high_deg", high)] {
                let Some(crank) = mechanism[end].as_f64() else { continue };
                if table.closed {
                    assert!(turn(table.limb(crank)[2], want) < off, "{file} {name} {end}");
                }
            }
            // The table beside the drawing says the same, in its maker's turn.
            let said = ["low", "high"].map(|e| limb[e].as_f64().unwrap());
            let whole = ((said[0] - low) / 360.0).round() * 360.0;
            assert_eq!(said, [low + whole, high + whole], "{file} {name}");
            seen += 1;
        }
    }
    assert!(seen > 12, "{seen}");
}

// The upper arm of the fox is asked for 195 to 235 deg, which is -165 to -125 as well.
#[test]
fn ends_are_told_in_the_turn_their_maker_speaks_of() {
    let made = of_file("shows/orchard.yard");
    let figures = list(&made.data["figures"]);
    let fox = figures.iter().find(|f| f["name"] == "fox").unwrap();
    let drawing = &made.data["drawings"][fox["drawing"].as_u64().unwrap() as usize];
    let arm = list(&drawing["limbs"]).iter().find(|l| l["name"] == "upper-arm").unwrap();
    let [low, high] = ["low", "high"].map(|end| arm[end].as_f64().unwrap());
    assert!((low - 195.0).abs() < 2.0 && (high - 235.0).abs() < 2.0, "{low} to {high}");
}

#[test]
fn every_kind_of_mechanism_is_drawn_finely() {
    let mut kinds = std::collections::BTreeSet::new();
    for file in examples() {
        for (name, limb, table, _) in tables(&of_file(&file)) {
            assert!(table.error < 0.3, "{file} {name}: {} mm", table.error);
            kinds.insert(limb["drive"].as_str().unwrap().to_owned());
        }
    }
    for kind in [
        "four-bar",
        "slotted-arm",
        "slider-crank",
        "scotch-yoke",
        "cam",
        "servo",
        "ram",
        "cylinder",
        "cord",
        "belt",
    ] {
        assert!(kinds.contains(kind), "{kind} in {kinds:?}");
    }
}

#[test]
fn the_page_needs_nothing_else_and_is_small() {
    let made = of_file("shows/orchard.yard");
    for mark in ["http:", "https:", "//", "url(", "@import", "<link", "<img", " src=", " href="] {
        assert!(!made.page.contains(mark), "{mark}");
    }
    assert!(made.page.len() < 1_500_000, "{} bytes", made.page.len());
    assert_eq!(list(&made.data["figures"]).len(), made.compiled.yard.figures.len());
}

#[test]
fn bars_and_accents_are_those_of_the_show() {
    let made = of_file("shows/orchard.yard");
    let show = &made.data["shows"][0];
    let delay = show["delay_s"].as_f64().unwrap();
    let bars = list(&show["song"]["bars"]);
    // 6/8 at 116 beats a minute, bar 1 at 0.48 s of the song: by hand.
    for (n, bar) in bars.iter().enumerate() {
        let want = delay + 0.48 + n as f64 * 2.0 * 60.0 / 116.0;
        assert!((bar.as_f64().unwrap() - want).abs() < 1e-4, "bar {}", n + 1);
    }
    let accents = list(&show["accents"]);
    assert_eq!(accents.len() as u64, made.report["shows"][0]["accents"].as_u64().unwrap());
    let worst = accents.iter().map(|a| a["ms"].as_f64().unwrap().abs()).fold(0.0, f64::max);
    let want = made.report["shows"][0]["worst_accent_error_ms"].as_f64().unwrap().abs();
    assert!((worst - want).abs() < 0.06, "{worst} {want}");
    assert_eq!(show["song"]["sections"][1]["from"], 17);
    assert_eq!(show["song"]["sections"][1]["to"], 25);
}

/// The folder can be carried away: the song lies in it, byte for byte, under the song's own
/// plain name.
#[test]
fn the_song_is_copied_beside_the_page() {
    let mut compiler = Compiler::default();
    let compiled = compiler.compile(&root().join("shows/orchard.yard")).unwrap();
    let files = preview::outputs(&compiled, compiler.sources()).unwrap();
    let song = files.iter().find(|f| f.path == "songs/jig.wav").unwrap();
    assert_eq!(song.bytes, std::fs::read(root().join("shows/lantern-jig.wav")).unwrap());
    let made = of_file("shows/orchard.yard");
    assert_eq!(made.data["shows"][0]["song"]["copy"], "songs/jig.wav");
    // Without a file there is nothing to copy, and the page knows.
    let silent = of_text("song tune { meter 4/4  tempo 120 bpm }\nshow s with tune { }\n");
    assert!(silent.data["shows"][0]["song"].get("copy").is_none());
}

#[test]
fn names_and_titles_stay_text() {
    let bad = "</script><script>alert(1)</script><!-- {{script}} \u{2028} & \u{5e9}\u{5dc}\u{5d5}\u{5dd} 🐻";
    let long = "x".repeat(300);
    let text = format!(
        "yard y {{ title \"{bad}\"  size 4 m by 3 m }}
figure {long} {{
  title \"{bad}\"
  board 400 mm by 900 mm
  motor m {{ free 30 rpm 0.5 A  voltage 12 V }} at (200, 400) mm
}}
set {long} at (2 m, 1 m) facing south
show s {{ title \"{bad}\" }}
"
    );
    let made = of_text(&text);
    assert_eq!(made.page.matches("<script").count(), 2, "the data's and our own");
    assert_eq!(made.page.matches("</script>").count(), 2);
    let (_, script) = made.page.split_once("id=\"data\">").unwrap();
    assert!(!script.contains("<!--") && !script.contains('\u{2028}'));
    assert_eq!(made.data["title"].as_str().unwrap(), bad);
}

#[test]
fn yards_without_shows_or_figures_have_a_page() {
    let one = of_file("shows/first-wave.yard");
    assert!(list(&one.data["shows"]).is_empty());
    let arm = &drawing(&one, 0)["limbs"][0];
    // `cycle 2 s` in the file.
    assert_eq!(arm["alone"]["time_s"], 2.0);
    assert_eq!(arm["alone"]["round"], true);
    let none = of_text("yard empty { size 4 m by 3 m }\n");
    assert!(list(&none.data["figures"]).is_empty());
}

#[test]
fn a_limb_with_an_error_is_drawn_without_its_mechanism() {
    let mut errors = 0;
    for file in ["four-bar-front", "slider-crank", "cam", "ram", "servo-rod", "forearm"] {
        let made = of_file(&format!("examples/{file}-mistake.yard"));
        for finding in list(&made.data["findings"]) {
            let (Some(figure), Some(limb)) = (finding["figure"].as_str(), finding["limb"].as_str())
            else {
                continue;
            };
            let f = made.compiled.yard.figures.iter().position(|p| p.name.value == figure).unwrap();
            let faulty = made.compiled.figures[f].figure.limb(limb).map(|l| {
                made.compiled.figures[f].limbs[l].mechanism.as_ref().is_none_or(|m| m.faulty())
            });
            let limbs = list(&drawing(&made, f)["limbs"]);
            let drawn = limbs.iter().find(|l| l["name"] == limb).unwrap();
            if faulty == Some(true) {
                assert!(drawn.get("table").is_none(), "{file} {limb}");
                errors += usize::from(finding["severity"] == "error");
            }
            assert!(drawn.get("still").is_some(), "{file} {limb} stands nowhere");
        }
    }
    assert!(errors >= 2, "{errors}");
}

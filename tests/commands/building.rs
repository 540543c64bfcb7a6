//! `check` and `build`: the report, the exit code, and the folder.

use std::collections::BTreeMap;

use super::BAKER;
use crate::outputs::schema::faults;
use crate::support::Yard;

/// The first yard with a slip in it.
fn broken() -> String {
    BAKER.replace("pivot", "pviot")
}

/// Every file below a folder of the yard, with its bytes.
fn bytes(yard: &Yard, folder: &str) -> BTreeMap<String, Vec<u8>> {
    let files = yard.files().into_iter().filter(|f| f.starts_with(folder));
    files.map(|f| (f.clone(), std::fs::read(yard.path(&f)).unwrap())).collect()
}

#[test]
fn a_yard_with_errors_is_told_to_programs_by_the_schema() {
    let yard = Yard::new().file("a.yard", broken());
    let ran = yard.run("check a.yard --format json");
    let json = ran.exits(1).is_quiet().json();
    assert_eq!(faults("report.schema.json", &json), Vec::<String>::new());
    assert_eq!(
        (&json["schema"], &json["file"], &json["ok"]),
        (&1.into(), &"a.yard".into(), &false.into())
    );
    let slip = &json["diagnostics"][0];
    let at = BAKER.lines().position(|l| l.contains("pivot (20")).unwrap();
    assert_eq!((&slip["code"], &slip["severity"]), (&"word-unknown".into(), &"error".into()));
    assert_eq!((&slip["file"], &slip["line"]), (&"a.yard".into(), &(at + 1).into()));
    assert_eq!((&slip["column"], &slip["end_column"]), (&5.into(), &10.into()));
    assert_eq!(slip["fixes"][0]["edits"][0]["text"], "pivot");
    assert_eq!(yard.run("check a.yard --format json").stdout(), ran.stdout(), "same bytes");
}

#[test]
fn a_yard_without_errors_is_told_by_the_schema() {
    let yard = Yard::new().file("a.yard", BAKER);
    let json = yard.run("check a.yard --format json").exits(0).is_quiet().json();
    assert_eq!(faults("report.schema.json", &json), Vec::<String>::new());
    assert_eq!((&json["ok"], &json["diagnostics"]), (&true.into(), &serde_json::json!([])));
    assert_eq!(json["figures"][0]["limbs"][0]["mechanism"]["class"], "crank-rocker");
    let loads = &json["figures"][0]["limbs"][0]["loads"];
    assert!(loads["peak_motor_torque_nm"].as_f64().unwrap() > 0.0, "{loads}");
    assert!(loads.get("peak_motor_force_n").is_none(), "not computed is absent");
}

#[test]
fn people_see_where_a_mistake_stands() {
    let yard = Yard::new().file("a.yard", broken());
    let at = BAKER.lines().position(|l| l.contains("pivot (20")).unwrap() + 1;
    yard.run("check a.yard")
        .exits(1)
        .is_quiet()
        .says(&format!("a.yard:{at}:5]"))
        .says("did you mean `pivot`?")
        .says("Next: yardwright explain word-unknown");
}

#[test]
fn paths_count_from_the_folder_of_the_yard() {
    let yard = Yard::new()
        .file("deep/er/a.yard", "use parts\nuse \"figures/b.yard\"\n")
        .file("deep/er/figures/b.yard", "figure b { borad plywood-9 27 in by 61 in }\n");
    let json = yard.run("check deep/er/a.yard --format json").exits(1).json();
    assert_eq!(json["file"], "a.yard");
    assert_eq!(json["diagnostics"][0]["file"], "figures/b.yard");
}

#[test]
fn building_twice_gives_the_same_bytes() {
    let yard = Yard::new().file("a.yard", BAKER);
    yard.run("build a.yard").exits(0).talks("written to a-out.");
    let first = bytes(&yard, "a-out/");
    let names: Vec<&str> = first.keys().map(String::as_str).collect();
    let written = [
        "manifest.json",
        "parts.csv",
        "plan.svg",
        "preview.html",
        "report.html",
        "report.json",
        "shop/baker.pdf",
        "shop/baker.svg",
        "shop/labels.pdf",
        "shop/set-out.pdf",
        "shop/set-out.svg",
        "weather.html",
    ];
    assert_eq!(names, written.map(|n| format!("a-out/{n}")));
    yard.run("build a.yard").exits(0);
    assert_eq!(bytes(&yard, "a-out/"), first);
    yard.run("build a.yard --out b-out").exits(0).talks("written to b-out.");
    let again: Vec<Vec<u8>> = bytes(&yard, "b-out/").into_values().collect();
    assert_eq!(again, first.into_values().collect::<Vec<_>>(), "wherever it is written");
    let check = yard.run("check a.yard --format json").stdout();
    assert_eq!(yard.read("a-out/report.json"), check, "what `check` prints");
}

#[test]
fn errors_leave_the_older_folder_as_it_was() {
    let yard = Yard::new().file("a.yard", broken());
    let none = yard.run("build a.yard");
    none.exits(1).says("did you mean").talks("Nothing was written").leaves(&["a.yard"]);
    yard.write("a.yard", BAKER);
    yard.run("build a.yard").exits(0);
    let before = bytes(&yard, "");
    yard.write("a.yard", broken());
    yard.run("build a.yard").exits(1).talks("Nothing was written: the yard has errors.");
    let json = yard.run("build a.yard --format json").exits(1).json();
    assert_eq!(json["ok"], false);
    yard.write("a.yard", BAKER);
    assert_eq!(bytes(&yard, ""), before);
}

#[test]
fn a_folder_with_other_files_is_left_alone() {
    let yard = Yard::new().file("a.yard", BAKER).file("mine/letter.txt", "dear");
    yard.run("build a.yard --out mine")
        .exits(2)
        .says_nothing()
        .talks("letter.txt")
        .talks("name an empty or new folder")
        .leaves(&["a.yard", "mine/letter.txt"]);
    let json = yard.run("build a.yard --out mine --format json").exits(2).json();
    assert_eq!(json["diagnostics"][0]["code"], "cannot-write");
    // The yard's own folder holds the yard, and so is no place to write to.
    yard.run("build a.yard --out .").exits(2).talks("a.yard");
    yard.run("build a.yard --out a.yard").exits(2).talks("is a file, not a folder");
    // Into one of ours somebody put a file.
    yard.run("build a.yard").exits(0);
    yard.write("a-out/notes.txt", "keep");
    let before = bytes(&yard, "a-out/");
    yard.run("build a.yard").exits(2).talks("notes.txt");
    assert_eq!(bytes(&yard, "a-out/"), before);
}

#[test]
fn strict_makes_warnings_errors() {
    // A wide swing that only a poor push reaches.
    let yard = Yard::new().file("a.yard", BAKER.replace("10 deg to 55 deg", "10 deg to 90 deg"));
    yard.run("check a.yard").exits(0).says("0 errors, 1 warning").says("weak-push");
    yard.run("check a.yard --strict").exits(1).says("1 error, 0 warnings");
    let json = yard.run("check a.yard --strict --format json").exits(1).json();
    assert_eq!((&json["ok"], &json["counts"]["errors"]), (&false.into(), &1.into()));
    let told = json["diagnostics"].as_array().unwrap();
    let weak = told.iter().find(|d| d["code"] == "weak-push").unwrap();
    assert_eq!(weak["severity"], "error");
    yard.run("build a.yard --strict").exits(1).leaves(&["a.yard"]);
    yard.run("build a.yard").exits(0);
    yard.write("a.yard", BAKER);
    yard.run("check a.yard --strict").exits(0);
}

#[test]
fn complete_makes_checks_not_made_errors() {
    let yard = Yard::new().file("a.yard", BAKER);
    let plain = yard.run("check a.yard --format json").exits(0).json();
    let missing = plain["counts"]["not_checked"].as_u64().unwrap();
    assert!(missing > 0);
    let json = yard.run("check a.yard --complete --format json").exits(1).json();
    let list = json["diagnostics"].as_array().unwrap();
    assert_eq!(list.len() as u64, missing);
    assert!(list.iter().all(|d| d["code"] == "check-not-made" && d["limb"] == "arm"));
    assert_eq!(faults("report.schema.json", &json), Vec::<String>::new());
    yard.run("check a.yard --complete").says(&format!("check-not-made ({missing} errors)"));
    yard.run("build a.yard --complete").exits(1).leaves(&["a.yard"]);
}

#[test]
fn what_complete_adds_stands_in_the_order_of_places() {
    // The slip is in the second figure, below the limb of the first.
    let more = "figure z { borad plywood-9 27 in by 61 in }\n";
    let yard = Yard::new().file("a.yard", format!("{BAKER}{more}"));
    let json = yard.run("check a.yard --complete --format json").exits(1).json();
    let list = json["diagnostics"].as_array().unwrap();
    let lines: Vec<u64> = list.iter().filter_map(|d| d["line"].as_u64()).collect();
    assert!(lines.is_sorted() && lines.len() > 2, "{lines:?}");
    assert_eq!(list.last().unwrap()["code"], "word-unknown");
}

#[test]
fn copies_that_lack_the_same_are_one_finding() {
    let copies = "yard y { size 20 m by 8 m  viewers south }\nset baker at (3 m, 4 m) facing south\nset tim like baker at (9 m, 4 m) facing south\n";
    let yard = Yard::new().file("a.yard", format!("{BAKER}{copies}"));
    let plain = yard.run("check a.yard --format json").exits(0).json();
    let json = yard.run("check a.yard --complete --format json").exits(1).json();
    let list = json["diagnostics"].as_array().unwrap();
    let of_limbs: usize = plain["figures"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["limbs"][0]["not_checked"].as_array().unwrap().len())
        .sum();
    let told: usize = list
        .iter()
        .filter(|d| d.get("limb").is_some())
        .map(|d| 1 + d.get("also").map_or(0, |a| a.as_array().unwrap().len()))
        .sum();
    assert_eq!(told, of_limbs);
    assert!(list.len() < of_limbs);
}

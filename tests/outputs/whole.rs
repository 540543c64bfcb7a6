//! From a text to the folder: the project's own shows through every output.

use std::path::Path;

use super::schema::faults;
use yardwright::check::Compiler;
use yardwright::emit::{folder, outputs};

fn built(show: &str) -> Vec<yardwright::emit::Output> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows").join(show);
    let mut compiler = Compiler::default();
    let compiled = compiler.compile(&path).unwrap();
    outputs(&compiled, compiler.sources()).unwrap()
}

#[test]
fn the_first_show_gives_a_report_a_plan_and_nothing_half() {
    let files = built("first-wave.yard");
    let report: serde_json::Value = serde_json::from_slice(&files[0].bytes).unwrap();
    assert_eq!(faults("report.schema.json", &report), Vec::<String>::new());
    assert_eq!(report["figures"].as_array().unwrap().len(), 1);
    assert!(files.iter().any(|f| f.path == "plan.svg"));
}

#[test]
fn the_demo_season_keeps_every_schema_and_every_name_fits_a_folder() {
    let files = built("orchard.yard");
    for file in &files {
        let schema = match file.path.as_str() {
            "report.json" => "report.schema.json",
            path if path.ends_with(".json") => "schedule.schema.json",
            _ => continue,
        };
        let value: serde_json::Value = serde_json::from_slice(&file.bytes).unwrap();
        assert_eq!(faults(schema, &value), Vec::<String>::new(), "{}", file.path);
    }
    let target = std::env::temp_dir().join(format!("yardwright-{}-orchard", std::process::id()));
    folder::write(&target, &files).unwrap();
    assert_eq!(folder::update(&target, &files).unwrap(), folder::Changes::default());
    std::fs::remove_dir_all(&target).unwrap();
    assert_eq!(files, built("orchard.yard"));
}

#[test]
fn what_a_ram_and_a_cylinder_say_keeps_the_schema() {
    for name in ["ram.yard", "cylinder.yard"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
        let mut compiler = Compiler::default();
        let compiled = compiler.compile(&path).unwrap();
        let files = outputs(&compiled, compiler.sources()).unwrap();
        let report: serde_json::Value = serde_json::from_slice(&files[0].bytes).unwrap();
        assert_eq!(faults("report.schema.json", &report), Vec::<String>::new(), "{name}");
        let kind = &report["figures"][0]["limbs"][0]["mechanism"]["kind"];
        assert_eq!(kind.as_str().unwrap(), name.trim_end_matches(".yard"));
    }
}

//! The README tells the truth: its files are the project's, its outputs are what
//! the program prints, its yards compile, its picture is what `build` writes.
//! `UPDATE=1` rewrites outputs and picture; review the difference like code.

use std::path::{Path, PathBuf};
use std::process::Command;

use yardwright::check::Compiler;
use yardwright::finding::Severity;
use yardwright::source::{MemoryDisk, OsDisk};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn update() -> bool {
    std::env::var_os("UPDATE").is_some()
}

fn readme() -> String {
    std::fs::read_to_string(root().join("README.md")).unwrap()
}

/// A fenced block with what the comment line before it says.
struct Fence {
    said: Option<String>,
    kind: String,
    body: String,
}

fn fences(text: &str) -> Vec<Fence> {
    let (mut all, mut said, mut open): (Vec<Fence>, Option<String>, Option<Fence>) =
        (Vec::new(), None, None);
    for line in text.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(kind)) => {
                open =
                    Some(Fence { said: said.take(), kind: kind.to_owned(), body: String::new() });
            }
            (Some(_), Some(_)) => all.extend(open.take()),
            (Some(fence), None) => {
                fence.body.push_str(line);
                fence.body.push('\n');
            }
            (None, None) => {
                let comment = line.strip_prefix("<!-- ").and_then(|l| l.strip_suffix(" -->"));
                said = comment.map(str::to_owned);
            }
        }
    }
    all
}

fn run(arguments: &str) -> String {
    let out = Command::new(env!("CARGO_BIN_EXE_yardwright"))
        .args(arguments.split(' '))
        .current_dir(root())
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    let text = String::from_utf8(out.stdout).unwrap();
    text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n").trim().to_owned() + "\n"
}

#[test]
fn outputs_are_what_the_program_prints() {
    let mut text = readme();
    for fence in fences(&text.clone()) {
        let Some(arguments) = fence.said.as_deref().and_then(|s| s.strip_prefix("output: ")) else {
            continue;
        };
        let printed = run(arguments);
        if update() {
            let head = format!("<!-- output: {arguments} -->\n```text\n");
            text =
                text.replace(&format!("{head}{}```", fence.body), &format!("{head}{printed}```"));
        } else {
            assert_eq!(fence.body, printed, "`{arguments}` prints something else now");
        }
    }
    if update() {
        std::fs::write(root().join("README.md"), text).unwrap();
    }
}

#[test]
fn files_are_the_projects_own() {
    for fence in fences(&readme()) {
        if let Some(file) = fence.said.as_deref().and_then(|s| s.strip_prefix("file: ")) {
            assert_eq!(fence.body, std::fs::read_to_string(root().join(file)).unwrap(), "{file}");
        }
    }
}

#[test]
fn yards_compile_without_errors() {
    for fence in fences(&readme()).into_iter().filter(|f| f.kind == "yard") {
        let disk = MemoryDisk::new().with("/y/readme.yard", fence.body.as_str());
        let compiled = Compiler::new(disk).compile(Path::new("/y/readme.yard")).unwrap();
        let errors: Vec<&str> = compiled
            .findings
            .iter()
            .filter(|f| f.severity == Severity::Error)
            .map(|f| f.message.as_str())
            .collect();
        assert!(errors.is_empty(), "{errors:?} in\n{}", fence.body);
    }
}

#[test]
fn the_picture_is_the_plan_of_the_demo_season() {
    let mut compiler = Compiler::new(OsDisk);
    let compiled = compiler.compile(&root().join("shows/orchard.yard")).unwrap();
    let outputs = yardwright::emit::outputs(&compiled, compiler.sources()).unwrap();
    let plan = outputs.into_iter().find(|o| o.path == "plan.svg").unwrap();
    let kept = root().join("shows/pictures/orchard-plan.svg");
    if update() {
        std::fs::create_dir_all(kept.parent().unwrap()).unwrap();
        std::fs::write(&kept, &plan.bytes).unwrap();
    }
    assert!(
        std::fs::read(&kept).unwrap() == plan.bytes,
        "the plan changed: UPDATE=1 and look at it"
    );
}

#[test]
fn links_lead_somewhere() {
    let text = readme();
    for link in text.split("](").skip(1).filter_map(|l| l.split(')').next()) {
        if !link.starts_with("http") && !link.starts_with('#') {
            let page = link.split('#').next().unwrap_or(link);
            assert!(root().join(page).exists(), "{link} leads nowhere");
        }
    }
}

//! The house: imports run one way, files stay short, nothing half-done goes out.

use std::path::{Path, PathBuf};

/// The steps in the order data flows. A module may use those before it and itself.
const ORDER: &[&str] = &[
    "units",
    "geometry",
    "finding",
    "source",
    "syntax",
    "mechanism",
    "music",
    "drawing",
    "model",
    "resolve",
    "fit",
    "space",
    "loads",
    "make",
    "timing",
    "power",
    "stock",
    "season",
    "check",
    "emit",
    "watch",
    "cli",
    "lsp",
    "perform",
];

/// The ways in stand side by side and do not know each other, but for one: the
/// commands start the watch.
const WAYS_IN: &[&str] = &["cli", "watch", "lsp", "perform"];

fn may_use(from: &str, used: &str) -> Result<bool, String> {
    let rank = |name: &str| {
        let at = ORDER.iter().position(|o| *o == name);
        at.ok_or_else(|| format!("`{name}` has no place in the order of the house"))
    };
    let (a, b) = (rank(from)?, rank(used)?);
    Ok(match WAYS_IN.contains(&used) {
        true => from == used || (from, used) == ("cli", "watch"),
        false => b <= a,
    })
}

/// Every `.rs` file below a folder, sorted.
fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let Ok(entries) = std::fs::read_dir(folder) else { return files };
    for entry in entries {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The modules a text names behind `crate::`, in `use` lines and in paths, also
/// inside `use crate::{a::B, c};`, without comments.
fn modules_used(text: &str) -> Vec<String> {
    let code: String =
        text.lines().map(|l| l.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n");
    let mut used = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        // `$crate::` in a macro names the same modules; `my_crate::` does not.
        if code[..at].chars().next_back().is_some_and(|c| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let rest = &code[at + "crate::".len()..];
        match rest.strip_prefix('{') {
            Some(list) => used.extend(heads(list)),
            None => used.push(word(rest)),
        }
    }
    // A name that begins with a capital is an item of the crate's root.
    used.retain(|m| m.starts_with(|c: char| c.is_ascii_lowercase()));
    used.sort();
    used.dedup();
    used
}

/// The first word of each entry of a braced list, its own braces passed over.
fn heads(list: &str) -> Vec<String> {
    let (mut depth, mut found, mut fresh) = (0, Vec::new(), true);
    for (at, c) in list.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => fresh = true,
            c if fresh && !c.is_whitespace() => {
                found.push(word(&list[at..]));
                fresh = false;
            }
            _ => {}
        }
    }
    found
}

fn word(text: &str) -> String {
    text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

/// The module a file belongs to: the first folder or file name below `src`.
fn module_of(file: &Path, src: &Path) -> Option<String> {
    let inside = file.strip_prefix(src).ok()?;
    let first = inside.components().next()?.as_os_str().to_str()?;
    let name = first.strip_suffix(".rs").unwrap_or(first);
    (!matches!(name, "lib" | "main")).then(|| name.to_owned())
}

#[test]
fn imports_run_one_way() {
    let src = root().join("src");
    let mut wrong = Vec::new();
    let files = rust_files(&src);
    assert!(files.len() > 10, "the sources were not found");
    for file in files {
        let Some(from) = module_of(&file, &src) else { continue };
        for used in modules_used(&std::fs::read_to_string(&file).unwrap()) {
            match may_use(&from, &used) {
                Ok(true) => {}
                Ok(false) => {
                    wrong.push(format!("{}: {from} may not use {used}", file.display()));
                }
                Err(why) => wrong.push(format!("{}: {why}", file.display())),
            }
        }
    }
    assert!(wrong.is_empty(), "imports run upward:\n{}", wrong.join("\n"));
}

#[test]
fn the_import_reader_sees_every_form() {
    let text = "use crate::units::Mm;\nuse crate::{finding::{Code, Finding}, model, Root};\n\
        // use crate::cli::Look;\nfn f() -> crate::check::Compiled { $crate::emit::x() }\n\
        use other_crate::watch;";
    assert_eq!(modules_used(text), ["check", "emit", "finding", "model", "units"]);
}

#[test]
fn the_order_lets_data_flow_down_only() {
    assert_eq!(may_use("check", "model"), Ok(true));
    assert_eq!(may_use("model", "check"), Ok(false));
    assert_eq!(may_use("cli", "watch"), Ok(true));
    assert_eq!(may_use("watch", "cli"), Ok(false));
    assert_eq!(may_use("lsp", "cli"), Ok(false));
    assert!(may_use("attic", "units").is_err());
}

#[test]
fn files_stay_short() {
    let long: Vec<String> = rust_files(&root().join("src"))
        .into_iter()
        .filter_map(|f| {
            let lines = std::fs::read_to_string(&f).unwrap().lines().count();
            (lines >= 700).then(|| format!("{}: {lines} lines", f.display()))
        })
        .collect();
    assert!(long.is_empty(), "one subject per file, below 700 lines:\n{}", long.join("\n"));
}

#[test]
fn nothing_half_done_or_of_one_machine_goes_out() {
    // Put together here so that this file does not find itself.
    let marks = ["todo", "unimplemented"].map(|w| format!("{w}!("));
    let paths = ["home", "work", "root", "Users"].map(|w| format!("\"/{w}/"));
    let mut found = Vec::new();
    for folder in ["src", "tests", "examples"] {
        for file in rust_files(&root().join(folder)) {
            let text = std::fs::read_to_string(&file).unwrap();
            for (n, line) in text.lines().enumerate() {
                if marks.iter().chain(&paths).any(|m| line.contains(m.as_str())) {
                    found.push(format!("{}:{}: {}", file.display(), n + 1, line.trim()));
                }
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

//! Every file of `examples/` and `shows/` compiles without an error, and each
//! example's mechanism is computed.

use std::path::{Path, PathBuf};

use yardwright::check::Compiler;
use yardwright::finding::Severity;
use yardwright::source::OsDisk;

fn files(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let entries = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    let mut files: Vec<PathBuf> =
        entries.filter(|p| p.extension().is_some_and(|e| e == "yard")).collect();
    files.sort();
    assert!(!files.is_empty());
    files
}

#[test]
fn they_compile_without_an_error() {
    for path in files("examples").into_iter().chain(files("shows")) {
        let compiled = Compiler::new(OsDisk).compile(&path).unwrap();
        let errors: Vec<&str> = compiled
            .findings
            .iter()
            .filter(|f| f.severity == Severity::Error)
            .map(|f| f.message.as_str())
            .collect();
        assert!(errors.is_empty(), "{}: {errors:?}", path.display());
        for limb in compiled.figures.iter().flat_map(|f| &f.limbs) {
            assert!(limb.mechanism.is_some(), "{}", path.display());
        }
    }
}

//! Outputs: report, schedules, terminal text, plan, and the folder they go to.

mod fixtures;
mod folder;
mod grades;
mod inches;
mod plan;
mod report;
mod report_page;
mod schedule;
pub mod schema;
mod text;
mod whole;

use std::path::Path;

/// Compares with a file of `tests/snapshots`; with `UPDATE` set, writes
/// it instead.
fn snapshot(name: &str, got: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots").join(name);
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, got).unwrap();
        return;
    }
    let want = std::fs::read_to_string(&path).unwrap_or_default();
    let line = got.lines().zip(want.lines()).position(|(a, b)| a != b);
    assert!(
        got == want,
        "{} differs from line {}; look at the new one with UPDATE=1 and git diff",
        path.display(),
        line.map_or(want.lines().count() + 1, |n| n + 1)
    );
}

//! From the entry file to all items of the project, along `use`.

use std::sync::Arc;

use crate::finding::{Finding, Place};
use crate::source::{FileId, FileItem, ReadError, Sources};
use crate::syntax::{Clause, Reading};

use super::codes;

/// The built-in library: name and text of each file.
pub const LIBRARY: &[(&str, &str)] = &[
    ("parts/motors.yard", include_str!("../../shows/parts/motors.yard")),
    ("parts/sheets.yard", include_str!("../../shows/parts/sheets.yard")),
    ("parts/bolts.yard", include_str!("../../shows/parts/bolts.yard")),
];

/// All items of a project.
#[derive(Clone, Debug, Default)]
pub struct Gathered {
    /// The items of the entry file and of what it uses, each file once, where its
    /// first `use` stands.
    pub items: Vec<Arc<Reading>>,
    /// The built-in library's items.
    pub library: Vec<Arc<Reading>>,
    /// Whether `use parts` stands somewhere.
    pub uses_library: bool,
}

/// Makes the clauses of a file's items, in order; the caller keeps the findings
/// with them, so that an item that did not change need not be read again. Told with
/// them is whether they are the library's, which never changes.
pub type ReadItems<'a> = dyn FnMut(&[FileItem], bool) -> Vec<Arc<Reading>> + 'a;

/// Reads the items of the entry file and of every file it uses.
/// The library is always opened: a name it knows is offered even where `use parts` is missing.
pub fn gather(
    sources: &mut Sources,
    entry: FileId,
    read: &mut ReadItems<'_>,
) -> (Gathered, Vec<Finding>) {
    let mut walk = Walk {
        sources,
        read,
        out: Gathered::default(),
        done: vec![entry],
        path: Vec::new(),
        findings: Vec::new(),
    };
    for (name, text) in LIBRARY {
        let file = walk.sources.open_builtin(name, text);
        let items = walk.sources.file(file).items.clone();
        walk.out.library.extend((walk.read)(&items, true));
    }
    walk.file(entry);
    (walk.out, walk.findings)
}

struct Walk<'a> {
    sources: &'a mut Sources,
    read: &'a mut ReadItems<'a>,
    out: Gathered,
    /// Files begun.
    done: Vec<FileId>,
    /// Files begun and not ended: what `use` must not lead back to.
    path: Vec<FileId>,
    findings: Vec<Finding>,
}

impl Walk<'_> {
    fn file(&mut self, file: FileId) {
        self.path.push(file);
        let items = self.sources.file(file).items.clone();
        for reading in (self.read)(&items, false) {
            for clause in reading.top().clauses().filter(|c| c.word() == "use") {
                self.used(file, clause);
            }
            self.out.items.push(reading);
        }
        self.path.pop();
    }

    fn used(&mut self, file: FileId, clause: Clause<'_>) {
        if clause.poisoned() {
            return;
        }
        if clause.has("library") {
            self.out.uses_library = true;
            return;
        }
        let Some(written) = clause.text("file") else { return };
        match self.sources.include(file, written.value) {
            Ok(id) if self.path.contains(&id) => {
                let finding = Finding::new(
                    &codes::USE_CIRCLE,
                    written.place,
                    format!(
                        "\"{}\" uses this file in turn, so neither could be read first.",
                        written.value
                    ),
                );
                self.findings.push(finding.help("move what both need into a third file."));
            }
            Ok(id) if self.done.contains(&id) => {}
            Ok(id) => {
                self.done.push(id);
                self.file(id);
            }
            Err(error) => self.findings.push(unreadable(written.value, written.place, &error)),
        }
    }
}

/// The finding for a file that cannot be read.
pub(super) fn unreadable(written: &str, place: Place, error: &ReadError) -> Finding {
    let (why, help) = match error {
        ReadError::Missing => {
            ("there is no such file", "the path is written relative to the file it stands in.")
        }
        ReadError::Outside => (
            "it lies outside the project folder",
            "copy it into the folder of the main file, or below.",
        ),
        ReadError::NotText(_) => ("it is no text in UTF-8", "a .yard file is plain text."),
        ReadError::TooLarge(..) => ("it is too large", "cut it into several files."),
        ReadError::Refused(_) => {
            ("the system does not let it be read", "see whether you may open it yourself.")
        }
    };
    Finding::new(&codes::USE_UNREADABLE, place, format!("\"{written}\" cannot be read: {why}."))
        .help(help)
}

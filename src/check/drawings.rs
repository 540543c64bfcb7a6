//! The drawings that outlines are taken from: read once for what their files hold.

use std::sync::Arc;

use super::memo::Memo;
use super::sounds::reason;
use crate::drawing::{Drawing, DrawingError};
use crate::resolve::{self, Drawings, FileFault, Scope};
use crate::source::{ContentHash, Sources};

/// Drawings by what their files hold.
#[derive(Debug, Default)]
pub(super) struct ReadDrawings {
    read: Memo<ContentHash, Result<Arc<Drawing>, DrawingError>>,
}

impl ReadDrawings {
    pub fn next_round(&mut self) {
        self.read.next_round();
    }

    /// Every drawing that a figure of the project names. Figures are resolved side by side
    /// and read nothing, so it is done before.
    pub fn fetch(&mut self, sources: &mut Sources, scope: &Scope) -> Drawings {
        let mut drawings = Drawings::default();
        for (item, path) in resolve::wanted(scope) {
            let bytes = match sources.home(item) {
                Some((file, _)) => sources.read_drawing(file, path).map_err(|e| reason(&e)),
                None => Err("its file is not open".to_owned()),
            };
            let found = bytes.map_err(FileFault::Missing).and_then(|bytes| {
                let known = self.read.get(&bytes.hash, |_| true);
                let read = known.unwrap_or_else(|| {
                    let read = Drawing::read(&bytes.bytes).map(Arc::new);
                    self.read.put(bytes.hash, read.clone());
                    read
                });
                read.map_err(FileFault::Broken)
            });
            drawings.put(item, path, found);
        }
        drawings
    }
}

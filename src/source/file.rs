//! One file: its text, items and lines.

use crate::finding::Location;
use std::path::PathBuf;
use std::sync::Arc;

use crate::finding::ItemId;

/// One item of a file.
#[derive(Clone, Debug)]
pub struct FileItem {
    /// Its id, stable while its text stays the same.
    pub id: ItemId,
    /// First byte in the file.
    pub lo: u32,
    /// One past its last byte.
    pub hi: u32,
    /// Its text.
    pub text: Arc<str>,
}

/// A file of the current compile.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// Its real path; `None` for a text that is part of the program.
    pub path: Option<PathBuf>,
    /// The path as the report names it: from the entry file's folder, with `/`.
    pub name: String,
    /// Its text.
    pub text: Arc<str>,
    /// Its items in order.
    pub items: Vec<FileItem>,
    /// The offset each line starts at.
    lines: Arc<[u32]>,
}

impl SourceFile {
    pub(super) fn new(
        path: Option<PathBuf>,
        name: String,
        text: Arc<str>,
        items: Vec<FileItem>,
    ) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i as u32 + 1);
        let lines = std::iter::once(0).chain(ends).collect();
        Self { path, name, text, items, lines }
    }

    pub(super) fn lines(&self) -> &Arc<[u32]> {
        &self.lines
    }

    /// The lines and columns of `lo..hi`.
    #[must_use]
    pub fn locate(&self, lo: usize, hi: usize) -> Location {
        let (line, column) = self.position(lo);
        let (end_line, end_column) = self.position(hi.max(lo));
        Location { file: self.name.clone(), line, column, end_line, end_column }
    }

    /// Line and column of one offset, both from 1.
    #[must_use]
    pub fn position(&self, offset: usize) -> (u32, u32) {
        let offset = offset.min(self.text.len());
        let line = line_of(&self.lines, offset);
        let start = self.lines[line] as usize;
        let column = self.text.get(start..offset).map_or(0, |t| t.chars().count());
        (line as u32 + 1, column as u32 + 1)
    }
}

/// The index of the line `offset` stands in.
pub(super) fn line_of(lines: &[u32], offset: usize) -> usize {
    lines.partition_point(|&start| start as usize <= offset).saturating_sub(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_the_end_is_exclusive() {
        let text = "ab\nçé§ word\r\nlast";
        let file = SourceFile::new(None, "f".into(), text.into(), Vec::new());
        let at = text.find("word").unwrap();
        let place = file.locate(at, at + 4);
        assert_eq!((place.line, place.column, place.end_line, place.end_column), (2, 5, 2, 9));
        assert_eq!(file.position(0), (1, 1));
        assert_eq!(file.position(text.len()), (3, 5));
        assert_eq!(file.position(usize::MAX), (3, 5));
    }
}

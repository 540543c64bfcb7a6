//! Where findings stand in the files people wrote.

use std::path::PathBuf;

use miette::{SourceCode, SourceSpan};

use crate::finding::{Locate as _, Location, Place};
use crate::source::Sources;

/// A place with the text around it.
pub struct Spot {
    /// Where, for people.
    pub location: Location,
    /// The whole file, for the renderer.
    pub text: Box<dyn SourceCode>,
    /// First byte in the file.
    pub lo: usize,
    /// One past the last byte in the file.
    pub hi: usize,
}

impl Spot {
    /// The stretch in the renderer's terms.
    #[must_use]
    pub fn span(&self) -> SourceSpan {
        (self.lo..self.hi).into()
    }
}

/// Something that knows the files of a compile.
pub trait Places {
    /// Where a place stands; `None` for a place of no file.
    fn spot(&self, place: Place) -> Option<Spot>;
}

impl Places for Sources {
    fn spot(&self, place: Place) -> Option<Spot> {
        let (_, lo, hi) = self.stretch(place)?;
        Some(Spot { location: self.locate(place)?, text: Box::new(self.source_of(place)?), lo, hi })
    }
}

/// A stretch of a file on the disk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The file.
    pub path: PathBuf,
    /// First byte.
    pub lo: usize,
    /// One past the last byte.
    pub hi: usize,
    /// The text from `hi` to the end of its line.
    pub after: String,
}

/// A place as a stretch of a file that can be written; `None` for what is part of
/// the program.
#[must_use]
pub fn on_disk(sources: &Sources, place: Place) -> Option<Stretch> {
    let (file, lo, hi) = sources.stretch(place)?;
    let file = sources.file(file);
    let after = file.text.get(hi..)?.lines().next().unwrap_or_default().to_owned();
    Some(Stretch { path: file.path.clone()?, lo, hi, after })
}

/// One short text whose every item begins at its start: for tests.
#[cfg(test)]
pub struct OneText {
    name: String,
    text: String,
}

#[cfg(test)]
impl OneText {
    /// A file held in memory.
    pub fn new(name: &str, text: &str) -> Self {
        Self { name: name.into(), text: text.into() }
    }

    fn position(&self, at: usize) -> (u32, u32) {
        let before = &self.text[..at];
        let line = before.matches('\n').count() as u32 + 1;
        (line, before.rsplit('\n').next().unwrap_or("").chars().count() as u32 + 1)
    }
}

#[cfg(test)]
impl Places for OneText {
    fn spot(&self, place: Place) -> Option<Spot> {
        let (lo, hi) = (place.lo as usize, place.hi as usize);
        let ((line, column), (end_line, end_column)) = (self.position(lo), self.position(hi));
        let file = self.name.clone();
        Some(Spot {
            location: Location { file, line, column, end_line, end_column },
            text: Box::new(miette::NamedSource::new(&self.name, self.text.clone())),
            lo,
            hi,
        })
    }
}

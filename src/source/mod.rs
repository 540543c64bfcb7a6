//! Texts: the project folder, its files, their items and lines.
//!
//! The only reader of the disk. [`Sources`] outlives a compile, so that an item
//! whose text did not change keeps its [`ItemId`], and everything that later
//! stages remember by that id stays good.

mod disk;
mod file;
mod hash;
mod snippet;
mod split;

use std::collections::HashMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

pub use crate::finding::Location;
pub use disk::{Disk, MemoryDisk, OsDisk, Overlay};
pub use file::{FileItem, SourceFile};
pub use hash::ContentHash;
pub use snippet::Snippet;
pub use split::{Cut, DEEPEST, TopWords, split, too_deep};

use crate::finding::{ItemId, Locate, Place};

/// The largest text that is read, in bytes (offsets are kept in 32 bits).
pub const LARGEST_TEXT: u64 = 256 << 20;

/// The largest song file that is read, in bytes.
pub const LARGEST_SONG: u64 = 1 << 30;

/// The largest drawing that is read, in bytes.
pub const LARGEST_DRAWING: u64 = 16 << 20;

/// A file of the current compile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// Why a file could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadError {
    /// Nothing stands there.
    Missing,
    /// The path leaves the project folder: absolute, by `..`, or through a link.
    Outside,
    /// Not a text in UTF-8; the offset of the first byte that is wrong.
    NotText(usize),
    /// Longer than is read: its length and the limit, in bytes.
    TooLarge(u64, u64),
    /// What the system said instead.
    Refused(io::ErrorKind),
}

impl From<io::Error> for ReadError {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Self::Missing,
            kind => Self::Refused(kind),
        }
    }
}

/// Bytes read for this compile (a song, a drawing).
#[derive(Clone, Debug)]
pub struct Bytes {
    /// The bytes.
    pub bytes: Arc<[u8]>,
    /// Their hash.
    pub hash: ContentHash,
    /// The path as the report names it.
    pub name: String,
}

/// A file this compile read or looked for: what `watch` watches.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct FileRead {
    /// Where it stands, or would.
    pub path: PathBuf,
    /// The path as the report names it: from the entry file's folder, with `/`.
    pub name: String,
    /// Length in bytes and hash; `None` where it could not be read.
    pub content: Option<(u64, ContentHash)>,
}

/// Items of one file by their text, with the compile that saw each last.
type Known = HashMap<Arc<str>, Vec<(ItemId, u32)>>;

/// All texts of a project.
pub struct Sources {
    disk: Box<dyn Disk>,
    words: TopWords,
    /// The folder nothing may lie outside of.
    root: PathBuf,
    files: Vec<SourceFile>,
    read: Vec<FileRead>,
    known: HashMap<String, Known>,
    /// By item id: file and offset in it, for the items of this compile.
    places: Vec<Option<(FileId, u32)>>,
    compile: u32,
}

impl std::fmt::Debug for Sources {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let names: Vec<&str> = self.files.iter().map(|f| f.name.as_str()).collect();
        f.debug_struct("Sources")
            .field("root", &self.root)
            .field("files", &names)
            .finish_non_exhaustive()
    }
}

impl Sources {
    /// No file yet; `words` begin items.
    #[must_use]
    pub fn new(disk: impl Disk + 'static, words: TopWords) -> Self {
        Self {
            disk: Box::new(disk),
            words,
            root: PathBuf::new(),
            files: Vec::new(),
            read: Vec::new(),
            known: HashMap::new(),
            places: Vec::new(),
            compile: 0,
        }
    }

    /// Begins a compile with its entry file; the files of the last one are
    /// forgotten, the ids of its items are not.
    ///
    /// # Errors
    /// Where the file cannot be read as text.
    pub fn open(&mut self, entry: &Path) -> Result<FileId, ReadError> {
        self.compile += 1;
        self.files.clear();
        self.read.clear();
        self.places.iter_mut().for_each(|p| *p = None);
        self.forget();
        let name = entry.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let real = match self.disk.real_path(entry) {
            Ok(path) => path,
            Err(error) => {
                self.looked_for(entry.to_path_buf(), name);
                return Err(error.into());
            }
        };
        self.root = real.parent().map(Path::to_path_buf).unwrap_or_default();
        self.load(real, name)
    }

    /// Reads a file that `from` uses, its path written relative to that file. A
    /// file that is open already is not read again: its id is returned.
    ///
    /// # Errors
    /// Where it is missing, lies outside the project folder, or is no text.
    pub fn include(&mut self, from: FileId, written: &str) -> Result<FileId, ReadError> {
        let (real, name) = self.find(from, written)?;
        if let Some(at) = self.files.iter().position(|f| f.path.as_ref() == Some(&real)) {
            return Ok(FileId(at as u32));
        }
        self.load(real, name)
    }

    /// A text that is part of the program, such as the built-in parts.
    pub fn open_builtin(&mut self, name: &str, text: &str) -> FileId {
        let at = self.files.iter().position(|f| f.path.is_none() && f.name == name);
        at.map_or_else(|| self.keep(None, name.to_owned(), text.into()), |at| FileId(at as u32))
    }

    /// Reads a file as bytes, its path written relative to `from`.
    ///
    /// # Errors
    /// As for [`Self::include`].
    pub fn read_bytes(&mut self, from: FileId, written: &str) -> Result<Bytes, ReadError> {
        self.read_up_to(LARGEST_SONG, from, written)
    }

    /// Reads a drawing, its path written relative to `from`.
    ///
    /// # Errors
    /// As for [`Self::include`].
    pub fn read_drawing(&mut self, from: FileId, written: &str) -> Result<Bytes, ReadError> {
        self.read_up_to(LARGEST_DRAWING, from, written)
    }

    fn read_up_to(&mut self, most: u64, from: FileId, written: &str) -> Result<Bytes, ReadError> {
        let (real, name) = self.find(from, written)?;
        let bytes = self.fetch(&real, &name, most)?;
        let hash = self.read.last().and_then(|r| r.content).map(|(_, h)| h);
        let hash = hash.unwrap_or_else(|| ContentHash::of(&bytes));
        Ok(Bytes { bytes: bytes.into(), hash, name })
    }

    /// A file of this compile.
    #[must_use]
    pub fn file(&self, id: FileId) -> &SourceFile {
        &self.files[id.0 as usize]
    }

    /// The files of this compile in the order they were opened.
    #[must_use]
    pub fn files(&self) -> &[SourceFile] {
        &self.files
    }

    /// What this compile read or looked for, in that order.
    #[must_use]
    pub fn files_read(&self) -> &[FileRead] {
        &self.read
    }

    /// The folder of the entry file.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The file an item of this compile stands in, and its offset there.
    #[must_use]
    pub fn home(&self, item: ItemId) -> Option<(FileId, u32)> {
        self.places.get(item.0 as usize).copied().flatten()
    }

    /// The text of a place; "" where its item is not of this compile.
    #[must_use]
    pub fn text(&self, place: Place) -> &str {
        let Some((file, lo, hi)) = self.stretch(place) else { return "" };
        self.file(file).text.get(lo..hi).unwrap_or("")
    }

    /// The text around a place as the renderer wants it.
    #[must_use]
    pub fn source_of(&self, place: Place) -> Option<Snippet> {
        let (file, ..) = self.stretch(place)?;
        Some(Snippet::new(self.file(file)))
    }

    /// File and bytes of a place, counted from the start of the file.
    #[must_use]
    pub fn stretch(&self, place: Place) -> Option<(FileId, usize, usize)> {
        let (file, start) = self.home(place.item)?;
        Some((file, (start + place.lo) as usize, (start + place.hi) as usize))
    }

    /// The item and place of a stretch of a file, where one item holds it.
    #[must_use]
    pub fn place_at(&self, file: FileId, lo: u32, hi: u32) -> Option<Place> {
        let items = &self.file(file).items;
        let item = items.get(items.partition_point(|i| i.lo <= lo).checked_sub(1)?)?;
        (hi <= item.hi).then(|| Place { item: item.id, lo: lo - item.lo, hi: hi - item.lo })
    }

    fn looked_for(&mut self, path: PathBuf, name: String) {
        self.read.push(FileRead { path, name, content: None });
    }

    /// The real path of what `from` names, and how the report names it.
    fn find(&mut self, from: FileId, written: &str) -> Result<(PathBuf, String), ReadError> {
        let folder = self.file(from).path.as_ref().and_then(|p| p.parent());
        let folder = folder.unwrap_or(&self.root);
        let written = Path::new(written);
        if written.is_absolute() || written.has_root() {
            return Err(ReadError::Outside);
        }
        let path = folder.join(written);
        match self.disk.real_path(&path) {
            Ok(real) if real.starts_with(&self.root) => {
                let name = relative(&real, &self.root);
                Ok((real, name))
            }
            Ok(_) => Err(ReadError::Outside),
            Err(error) => {
                let name = relative(&path, &self.root);
                self.looked_for(path, name);
                Err(error.into())
            }
        }
    }

    fn fetch(&mut self, path: &Path, name: &str, limit: u64) -> Result<Vec<u8>, ReadError> {
        let bytes = match self.disk.length(path) {
            Ok(length) if length > limit => Err(ReadError::TooLarge(length, limit)),
            Ok(_) => self.disk.read(path).map_err(ReadError::from),
            Err(error) => Err(error.into()),
        };
        let content = bytes.as_ref().ok().map(|b| (b.len() as u64, ContentHash::of(b)));
        self.read.push(FileRead { path: path.to_path_buf(), name: name.to_owned(), content });
        bytes
    }

    fn load(&mut self, path: PathBuf, name: String) -> Result<FileId, ReadError> {
        let mut bytes = self.fetch(&path, &name, LARGEST_TEXT)?;
        if bytes.starts_with(b"\xef\xbb\xbf") {
            bytes.drain(..3);
        }
        let text = String::from_utf8(bytes)
            .map_err(|e| ReadError::NotText(e.utf8_error().valid_up_to()))?;
        if let Some(at) = text.find('\0') {
            return Err(ReadError::NotText(at));
        }
        Ok(self.keep(Some(path), name, text.into()))
    }

    /// Cuts the text into items and gives each its id.
    fn keep(&mut self, path: Option<PathBuf>, name: String, text: Arc<str>) -> FileId {
        let id = FileId(self.files.len() as u32);
        let known = self.known.entry(name.clone()).or_default();
        let mut items = Vec::new();
        for cut in split(&text, &self.words) {
            let slice = &text[cut.lo as usize..cut.hi as usize];
            let (item, text) = identify(known, slice, self.compile, &mut self.places);
            self.places[item.0 as usize] = Some((id, cut.lo));
            items.push(FileItem { id: item, lo: cut.lo, hi: cut.hi, text });
        }
        self.files.push(SourceFile::new(path, name, text, items));
        id
    }

    /// Drops ids that no compile has used for a while, so memory stays level.
    fn forget(&mut self) {
        let oldest = self.compile.saturating_sub(3);
        for known in self.known.values_mut() {
            known.retain(|_, ids| {
                ids.retain(|(_, seen)| *seen >= oldest);
                !ids.is_empty()
            });
        }
        self.known.retain(|_, known| !known.is_empty());
    }
}

/// The id of an item text: the one it had, unless an equal item of the same file
/// took it in this compile.
fn identify(
    known: &mut Known,
    text: &str,
    compile: u32,
    places: &mut Vec<Option<(FileId, u32)>>,
) -> (ItemId, Arc<str>) {
    let mut fresh = || {
        places.push(None);
        ItemId((places.len() - 1) as u32)
    };
    if let Some((kept, _)) = known.get_key_value(text) {
        let kept = kept.clone();
        let ids = known.entry(kept.clone()).or_default();
        let id = match ids.iter_mut().find(|(_, seen)| *seen != compile) {
            Some(slot) => {
                slot.1 = compile;
                slot.0
            }
            None => {
                let id = fresh();
                ids.push((id, compile));
                id
            }
        };
        return (id, kept);
    }
    let kept: Arc<str> = text.into();
    let id = fresh();
    known.insert(kept.clone(), vec![(id, compile)]);
    (id, kept)
}

/// The path from `root`, with `/` on every system.
fn relative(path: &Path, root: &Path) -> String {
    let path = path.strip_prefix(root).unwrap_or(path);
    let parts: Vec<_> = path.components().map(|c| c.as_os_str().to_string_lossy()).collect();
    parts.join("/")
}

impl Locate for Sources {
    fn locate(&self, place: Place) -> Option<Location> {
        let (file, lo, hi) = self.stretch(place)?;
        Some(self.file(file).locate(lo, hi))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words() -> TopWords {
        TopWords { always: vec!["use", "figure"], inside_too: vec![] }
    }

    fn sources(disk: MemoryDisk) -> Sources {
        Sources::new(disk, words())
    }

    #[test]
    fn an_unchanged_item_keeps_its_id() {
        let disk = MemoryDisk::new().with("/p/a.yard", "figure a { }\nfigure b { }\nfigure b { }");
        let mut s = sources(disk);
        let ids = |s: &Sources| -> Vec<u32> { s.files()[0].items.iter().map(|i| i.id.0).collect() };
        s.open(Path::new("/p/a.yard")).unwrap();
        let first = ids(&s);
        assert_eq!(first.len(), 3);
        assert_ne!(first[1], first[2], "equal texts are two items");
        s.disk = Box::new(MemoryDisk::new().with(
            "/p/a.yard",
            "# moved\n\nfigure new { }\nfigure b { }\nfigure b { }\nfigure a { }",
        ));
        s.open(Path::new("/p/a.yard")).unwrap();
        let second = ids(&s);
        assert_eq!(second[1..], [first[1], first[2], first[0]]);
        assert!(!first.contains(&second[0]));
        assert_eq!(s.text(Place { item: ItemId(first[0]), lo: 7, hi: 8 }), "a");
    }

    #[test]
    fn nothing_outside_the_project_folder_is_read() {
        let disk = MemoryDisk::new()
            .with("/p/a.yard", "use b")
            .with("/p/figures/b.yard", "use c")
            .with("/secret", "x");
        let mut s = sources(disk);
        let a = s.open(Path::new("/p/a.yard")).unwrap();
        let b = s.include(a, "figures/b.yard").unwrap();
        assert_eq!(s.file(b).name, "figures/b.yard");
        assert_eq!(s.include(b, "../a.yard"), Ok(a));
        assert_eq!(s.include(a, "../secret"), Err(ReadError::Outside));
        assert_eq!(s.include(a, "/secret"), Err(ReadError::Outside));
        assert_eq!(s.include(a, "none.yard"), Err(ReadError::Missing));
        let read: Vec<_> = s.files_read().iter().map(|r| r.name.as_str()).collect();
        assert_eq!(read, ["a.yard", "figures/b.yard", "none.yard"]);
    }

    #[test]
    fn only_text_is_taken_and_a_byte_order_mark_is_forgiven() {
        let disk = MemoryDisk::new()
            .with("a.yard", b"\xef\xbb\xbfuse b\r\nuse c\r\n".to_vec())
            .with("b.yard", b"use \xff".to_vec())
            .with("c.yard", b"use\0".to_vec());
        let mut s = sources(disk);
        let a = s.open(Path::new("a.yard")).unwrap();
        assert_eq!(s.file(a).items.len(), 2);
        assert_eq!(s.include(a, "b.yard"), Err(ReadError::NotText(4)));
        assert_eq!(s.include(a, "c.yard"), Err(ReadError::NotText(3)));
        assert_eq!(s.read_bytes(a, "b.yard").unwrap().bytes.len(), 5);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_that_leads_outside_is_refused() {
        let base = std::env::temp_dir().join(format!("yardwright-link-{}", std::process::id()));
        let project = base.join("project");
        std::fs::create_dir_all(&project).unwrap();
        std::fs::write(base.join("secret.yard"), "use b").unwrap();
        std::fs::write(project.join("a.yard"), "use b").unwrap();
        std::os::unix::fs::symlink(base.join("secret.yard"), project.join("link.yard")).unwrap();
        let mut s = Sources::new(OsDisk, words());
        let a = s.open(&project.join("a.yard")).unwrap();
        let got = s.include(a, "link.yard");
        std::fs::remove_dir_all(&base).unwrap();
        assert_eq!(got, Err(ReadError::Outside));
    }
}

//! Where the bytes come from: the real disk, or texts held in memory.

use std::collections::BTreeMap;
use std::io;
use std::path::{Component, Path, PathBuf};

/// A place to read files from.
pub trait Disk: Send + Sync {
    /// The whole file.
    ///
    /// # Errors
    /// As the system reports them.
    fn read(&self, path: &Path) -> io::Result<Vec<u8>>;

    /// The file's length in bytes, without reading it.
    ///
    /// # Errors
    /// As the system reports them.
    fn length(&self, path: &Path) -> io::Result<u64>;

    /// The one true path of an existing file: absolute, without links and `..`.
    ///
    /// # Errors
    /// Where nothing stands there.
    fn real_path(&self, path: &Path) -> io::Result<PathBuf>;
}

/// The system's own files.
#[derive(Clone, Copy, Debug, Default)]
pub struct OsDisk;

impl Disk for OsDisk {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        std::fs::read(path)
    }

    fn length(&self, path: &Path) -> io::Result<u64> {
        let about = std::fs::metadata(path)?;
        if about.is_dir() {
            return Err(io::Error::from(io::ErrorKind::IsADirectory));
        }
        Ok(about.len())
    }

    fn real_path(&self, path: &Path) -> io::Result<PathBuf> {
        std::fs::canonicalize(path)
    }
}

/// Files in memory, for tests; paths are taken as if `/` were the current folder.
#[derive(Clone, Debug, Default)]
pub struct MemoryDisk {
    files: BTreeMap<PathBuf, Vec<u8>>,
}

impl MemoryDisk {
    /// An empty disk.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// With a file more (or another text for it).
    #[must_use]
    pub fn with(mut self, path: impl AsRef<Path>, bytes: impl Into<Vec<u8>>) -> Self {
        self.put(path, bytes);
        self
    }

    /// Writes a file.
    pub fn put(&mut self, path: impl AsRef<Path>, bytes: impl Into<Vec<u8>>) {
        self.files.insert(tidy(path.as_ref()), bytes.into());
    }

    fn find(&self, path: &Path) -> io::Result<&Vec<u8>> {
        self.files.get(&tidy(path)).ok_or_else(|| io::Error::from(io::ErrorKind::NotFound))
    }
}

impl Disk for MemoryDisk {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.find(path).cloned()
    }

    fn length(&self, path: &Path) -> io::Result<u64> {
        self.find(path).map(|bytes| bytes.len() as u64)
    }

    fn real_path(&self, path: &Path) -> io::Result<PathBuf> {
        self.find(path).map(|_| tidy(path))
    }
}

/// Texts in memory over another disk: an editor's open files over the real ones.
#[derive(Debug, Default)]
pub struct Overlay<D> {
    below: D,
    above: BTreeMap<PathBuf, Vec<u8>>,
}

impl<D: Disk> Overlay<D> {
    /// Nothing laid over `below` yet.
    pub fn over(below: D) -> Self {
        Self { below, above: BTreeMap::new() }
    }

    /// Lays a text over the file at `path`, which need not exist below.
    pub fn lay(&mut self, path: &Path, bytes: impl Into<Vec<u8>>) {
        let path = self.below.real_path(path).unwrap_or_else(|_| tidy(path));
        self.above.insert(path, bytes.into());
    }

    /// Takes the text off again.
    pub fn lift(&mut self, path: &Path) {
        let path = self.below.real_path(path).unwrap_or_else(|_| tidy(path));
        self.above.remove(&path);
    }

    fn laid(&self, path: &Path) -> Option<(PathBuf, &Vec<u8>)> {
        let path = self.below.real_path(path).unwrap_or_else(|_| tidy(path));
        self.above.get(&path).map(|bytes| (path, bytes))
    }
}

impl<D: Disk> Disk for Overlay<D> {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        match self.laid(path) {
            Some((_, bytes)) => Ok(bytes.clone()),
            None => self.below.read(path),
        }
    }

    fn length(&self, path: &Path) -> io::Result<u64> {
        match self.laid(path) {
            Some((_, bytes)) => Ok(bytes.len() as u64),
            None => self.below.length(path),
        }
    }

    fn real_path(&self, path: &Path) -> io::Result<PathBuf> {
        match self.laid(path) {
            Some((path, _)) => Ok(path),
            None => self.below.real_path(path),
        }
    }
}

/// The path with `.` and `..` worked out and `/` in front.
fn tidy(path: &Path) -> PathBuf {
    let mut out = PathBuf::from("/");
    for part in path.components() {
        match part {
            Component::Normal(name) => out.push(name),
            Component::ParentDir => {
                out.pop();
            }
            _ => {}
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_overlay_hides_and_gives_back() {
        let mut disk = Overlay::over(MemoryDisk::new().with("a/b.yard", "old"));
        disk.lay(Path::new("a/./b.yard"), "new");
        assert_eq!(disk.read(Path::new("/a/b.yard")).unwrap(), b"new");
        disk.lift(Path::new("a/b.yard"));
        assert_eq!(disk.read(Path::new("a/c/../b.yard")).unwrap(), b"old");
        assert!(disk.read(Path::new("none")).is_err());
    }
}

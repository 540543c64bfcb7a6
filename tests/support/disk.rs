//! A disk that a test writes to while somebody reads from it.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use yardwright::source::{Disk, MemoryDisk};

/// Every copy is the same disk.
#[derive(Clone, Default)]
pub struct Shared(Arc<Mutex<MemoryDisk>>);

impl Shared {
    /// Writes a file, by its whole path.
    pub fn put(&self, path: &str, bytes: impl Into<Vec<u8>>) {
        self.0.lock().unwrap().put(path, bytes);
    }
}

impl Disk for Shared {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.0.lock().unwrap().read(path)
    }
    fn length(&self, path: &Path) -> io::Result<u64> {
        self.0.lock().unwrap().length(path)
    }
    fn real_path(&self, path: &Path) -> io::Result<PathBuf> {
        self.0.lock().unwrap().real_path(path)
    }
}

//! One writer at a time: a lock file beside the folder, held by the system for as
//! long as the process lives.

use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

use super::{FolderError, tried};

/// The lock on a folder; given back when dropped, also by a crash.
#[derive(Debug)]
pub struct Lock {
    path: PathBuf,
    _file: File,
}

impl Lock {
    /// Takes the lock at `path` for `target`.
    ///
    /// # Errors
    /// Where another run holds it or the file cannot be made.
    pub fn take(path: &Path, target: &Path) -> Result<Self, FolderError> {
        // A holder removes its lock file when done, so the file that was opened
        // may be gone by the time it is locked; then the next try makes a new one.
        for _ in 0..16 {
            let options = OpenOptions::new().create(true).truncate(false).write(true).open(path);
            let file = tried("make the lock", path, options)?;
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => break,
                Err(TryLockError::Error(error)) => return tried("lock", path, Err(error)),
            }
            if tried("lock", path, still_there(&file, path))? {
                return Ok(Self { path: path.to_owned(), _file: file });
            }
        }
        Err(FolderError::Busy(target.to_owned()))
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Removed while still held. Elsewhere than on Unix an open file cannot be
        // removed, or not be told from a new one, and the empty file stays.
        if cfg!(unix) {
            let _ = std::fs::remove_file(&self.path);
        }
    }
}

/// Whether `path` still leads to the file that was locked.
#[cfg(unix)]
fn still_there(file: &File, path: &Path) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let held = file.metadata()?;
    Ok(std::fs::metadata(path).is_ok_and(|m| (m.dev(), m.ino()) == (held.dev(), held.ino())))
}

/// Whether `path` still leads to the file that was locked: nobody removes it here.
#[cfg(not(unix))]
fn still_there(_: &File, _: &Path) -> io::Result<bool> {
    Ok(true)
}

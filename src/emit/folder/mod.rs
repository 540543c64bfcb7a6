//! The folder that is written whole or not at all.
//!
//! [`write()`] puts everything into a new folder beside the target, makes it last
//! on the disk, and swaps the two in one step where the system can, else by two
//! renames that the next start mends. [`update`] serves `watch`: single files
//! are renamed into place, the manifest last. A folder that holds anything we
//! did not write is left alone.

mod lock;
mod manifest;

pub use manifest::{Manifest, NAME as MANIFEST, Stamp};

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::Output;
use lock::Lock;

/// Why a folder was not written. What stood there before still stands.
#[derive(Debug)]
pub enum FolderError {
    /// The system refused.
    Io {
        /// What was being done: "write", "rename".
        doing: &'static str,
        /// To which path.
        path: PathBuf,
        /// The system's reason.
        error: io::Error,
    },
    /// The target is a file.
    NotAFolder(PathBuf),
    /// The target holds something we did not write.
    Foreign {
        /// The target.
        folder: PathBuf,
        /// The first few strangers, by path inside it.
        files: Vec<String>,
    },
    /// Another run writes the same folder now.
    Busy(PathBuf),
    /// An output's path would leave the folder, is no name on some system, or is
    /// there twice.
    BadPath(String),
}

impl std::fmt::Display for FolderError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Io { doing, path, error } => {
                write!(f, "cannot {doing} {}: {error}", path.display())
            }
            Self::NotAFolder(path) => {
                write!(f, "{} is a file, not a folder; name another folder", path.display())
            }
            Self::Foreign { folder, files } => write!(
                f,
                "{} holds files this program did not write ({}), and they would be lost; \
                 name an empty or new folder, or move them away",
                folder.display(),
                files.join(", ")
            ),
            Self::Busy(path) => write!(
                f,
                "another run is writing {} now; wait for it, or name another folder",
                path.display()
            ),
            Self::BadPath(path) => write!(f, "`{path}` cannot be the name of an output file"),
        }
    }
}

impl std::error::Error for FolderError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Io { error, .. } => Some(error),
            _ => None,
        }
    }
}

/// What an update changed, by path inside the folder, sorted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// New or other than before.
    pub written: Vec<String>,
    /// There no more.
    pub removed: Vec<String>,
}

/// Says what was being done to which path.
fn tried<T>(doing: &'static str, path: &Path, result: io::Result<T>) -> Result<T, FolderError> {
    result.map_err(|error| FolderError::Io { doing, path: path.to_owned(), error })
}

/// The target with the names of its helpers beside it.
struct Place {
    target: PathBuf,
    parent: PathBuf,
    /// `.<name>.yardwright-`, what all helpers' names start with.
    prefix: String,
}

impl Place {
    /// Resolves the target and makes its parent folder.
    fn new(target: &Path) -> Result<Self, FolderError> {
        // A link to a folder is followed, so that the folder is swapped, not the link.
        let target = match fs::canonicalize(target) {
            Ok(real) => real,
            Err(_) => tried("find", target, std::path::absolute(target))?,
        };
        let name = target.file_name().ok_or_else(|| FolderError::NotAFolder(target.clone()))?;
        let prefix = format!(".{}.yardwright-", name.to_string_lossy());
        let parent = target.parent().unwrap_or(Path::new(".")).to_owned();
        tried("make the folder", &parent, fs::create_dir_all(&parent))?;
        Ok(Self { target, parent, prefix })
    }

    fn beside(&self, suffix: &str) -> PathBuf {
        self.parent.join(format!("{}{suffix}", self.prefix))
    }

    /// With the lock held: brings back a folder that a run left half swapped,
    /// and removes what dead runs left behind. Only folders with our manifest
    /// are touched.
    fn mend(&self) -> Result<(), FolderError> {
        let old = self.beside("old");
        if !self.target.exists() && Manifest::read(&old).is_some() {
            tried("rename", &old, fs::rename(&old, &self.target))?;
        }
        for left in [self.beside("new"), old] {
            if left.exists() && all_ours(&left) {
                tried("remove", &left, fs::remove_dir_all(&left))?;
            }
        }
        Ok(())
    }
}

/// Writes the folder as a whole: after an error, what stood there still stands.
///
/// # Errors
/// Where the target holds anything we did not write, is a file, is being written
/// by another run, or where the system refuses.
pub fn write(target: &Path, outputs: &[Output]) -> Result<(), FolderError> {
    check_paths(outputs)?;
    let place = Place::new(target)?;
    let _lock = Lock::take(&place.beside("lock"), &place.target)?;
    place.mend()?;
    refuse_strangers(&place.target, outputs)?;
    let new = place.beside("new");
    tried("make the folder", &new, fs::create_dir(&new))?;
    let done = fill(&new, outputs).and_then(|()| swap(&place, &new, outputs));
    if done.is_err() && all_ours(&new) {
        // What cannot be removed now, the next run removes.
        let _ = fs::remove_dir_all(&new);
    }
    done
}

/// Whether a folder carries our manifest and holds nothing else.
fn all_ours(folder: &Path) -> bool {
    Manifest::read(folder).is_some() && refuse_strangers(folder, &[]).is_ok()
}

/// Brings a folder we wrote up to date, file by file: each is replaced whole,
/// what is no longer an output is removed, the manifest is written last.
///
/// A folder that is not there, or holds no manifest of ours, is written whole.
///
/// # Errors
/// As [`write()`]. Nothing is replaced before everything new is on the disk; where a
/// rename fails after that, files that were replaced stay replaced.
pub fn update(target: &Path, outputs: &[Output]) -> Result<Changes, FolderError> {
    check_paths(outputs)?;
    let place = Place::new(target)?;
    let lock = Lock::take(&place.beside("lock"), &place.target)?;
    place.mend()?;
    let Some(before) = Manifest::read(&place.target) else {
        drop(lock);
        write(target, outputs)?;
        let written = outputs.iter().map(|o| o.path.clone()).collect::<BTreeSet<_>>();
        return Ok(Changes { written: written.into_iter().collect(), removed: Vec::new() });
    };
    let after = Manifest::of(outputs);
    let files: BTreeMap<&str, &[u8]> =
        outputs.iter().map(|o| (o.path.as_str(), o.bytes.as_slice())).collect();
    refuse_collisions(&place.target, &before, &files)?;
    let mut changes = Changes::default();
    let mut arriving = Arriving::default();
    for (path, stamp) in &after.files {
        let full = place.target.join(path);
        let there = fs::metadata(&full).is_ok_and(|m| m.is_file() && m.len() == stamp.bytes);
        if !there || before.files.get(path) != Some(stamp) {
            arriving.add(full, files.get(path.as_str()).copied().unwrap_or_default())?;
            changes.written.push(path.clone());
        }
    }
    let mut last = Arriving::default();
    if before != after {
        last.add(place.target.join(MANIFEST), &json_of(&after, &place.target)?)?;
    }
    // Everything is on the disk before the first name changes: after a loss of power
    // a name leads to the whole old file or to the whole new one.
    arriving.settle()?;
    last.settle()?;
    arriving.rename()?;
    for path in before.files.keys().filter(|p| !after.files.contains_key(*p)) {
        remove(&place.target, path)?;
        changes.removed.push(path.clone());
    }
    last.rename()?;
    Ok(changes)
}

fn json_of(manifest: &Manifest, folder: &Path) -> Result<Vec<u8>, FolderError> {
    tried("write", &folder.join(MANIFEST), manifest.to_json().map_err(io::Error::from))
}

/// Refuses paths that leave the folder, are no name on some system, or meet on a
/// disk that does not tell capitals apart.
fn check_paths(outputs: &[Output]) -> Result<(), FolderError> {
    let mut seen = BTreeSet::new();
    for output in outputs {
        let bad = |part: &str| {
            part.is_empty()
                || part.len() > 200
                || part.starts_with('.')
                || part.ends_with(['.', ' '])
                || part.chars().any(|c| c.is_control() || "\\:*?\"<>|".contains(c))
        };
        let path = &output.path;
        if path.split('/').any(bad) || path == MANIFEST || !seen.insert(path.to_lowercase()) {
            return Err(FolderError::BadPath(path.clone()));
        }
    }
    Ok(())
}

/// The name of a file on its way into place.
const ARRIVING: &str = ".yardwright-arriving.";

/// What desktops put into every folder they show; losing it costs nothing.
const LITTER: [&str; 3] = [".DS_Store", "Thumbs.db", "desktop.ini"];

/// Refuses a target that holds anything not on its manifest. A file that holds the very
/// bytes which one of the outputs puts there is no loss: a song laid in by hand.
fn refuse_strangers(target: &Path, outputs: &[Output]) -> Result<(), FolderError> {
    match fs::metadata(target) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return tried("look at", target, Err(error)),
        Ok(meta) if !meta.is_dir() => return Err(FolderError::NotAFolder(target.to_owned())),
        Ok(_) => {}
    }
    let manifest = Manifest::read(target);
    let known = |path: &str| match &manifest {
        Some(m) => path == MANIFEST || m.files.contains_key(path),
        None => false,
    };
    let same = |path: &str| {
        let output = outputs.iter().find(|o| o.path == path);
        output.is_some_and(|o| is_file_of(&target.join(path), &o.bytes))
    };
    let mut strangers = Vec::new();
    look(target, "", &mut |path, name| {
        if !(known(path) || name.starts_with(ARRIVING) || LITTER.contains(&name) || same(path)) {
            strangers.push(path.to_owned());
        }
    })?;
    if strangers.is_empty() {
        return Ok(());
    }
    strangers.sort();
    let more = strangers.len().saturating_sub(3);
    strangers.truncate(3);
    if more > 0 {
        strangers.push(format!("and {more} more"));
    }
    Err(FolderError::Foreign { folder: target.to_owned(), files: strangers })
}

/// Whether a plain file stands there and holds these bytes.
fn is_file_of(path: &Path, bytes: &[u8]) -> bool {
    fs::symlink_metadata(path).is_ok_and(|m| m.is_file() && m.len() == bytes.len() as u64)
        && fs::read(path).is_ok_and(|there| there == bytes)
}

/// Visits every entry below a folder that is not itself a folder, with its path
/// inside and its name. Links are visited, not followed.
fn look(folder: &Path, inside: &str, visit: &mut dyn FnMut(&str, &str)) -> Result<(), FolderError> {
    for entry in tried("read", folder, fs::read_dir(folder))? {
        let entry = tried("read", folder, entry)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let path = if inside.is_empty() { name.clone() } else { format!("{inside}/{name}") };
        if tried("look at", &entry.path(), entry.file_type())?.is_dir() {
            look(&entry.path(), &path, visit)?;
        } else {
            visit(&path, &name);
        }
    }
    Ok(())
}

/// Refuses to overwrite a file that stands where a new output belongs and is not
/// on the manifest. One that holds the very bytes of the output is no loss: an
/// update that was cut short leaves such files.
fn refuse_collisions(
    target: &Path,
    before: &Manifest,
    after: &BTreeMap<&str, &[u8]>,
) -> Result<(), FolderError> {
    let fresh = after.iter().filter(|(path, _)| !before.files.contains_key(**path));
    let stranger =
        |path: &Path, bytes: &[u8]| fs::symlink_metadata(path).is_ok() && !is_file_of(path, bytes);
    let taken: Vec<String> = fresh
        .filter(|(path, bytes)| stranger(&target.join(path), bytes))
        .take(3)
        .map(|(path, _)| (*path).to_owned())
        .collect();
    if taken.is_empty() {
        return Ok(());
    }
    Err(FolderError::Foreign { folder: target.to_owned(), files: taken })
}

/// Fills a new folder, the manifest first so that the folder is known as ours
/// from its first moment, and makes it last on the disk.
fn fill(new: &Path, outputs: &[Output]) -> Result<(), FolderError> {
    let manifest = json_of(&Manifest::of(outputs), new)?;
    tried("write", &new.join(MANIFEST), fs::write(new.join(MANIFEST), manifest))?;
    let mut folders = BTreeSet::from([new.to_owned()]);
    for output in outputs {
        let path = new.join(&output.path);
        if let Some(parent) = path.parent()
            && folders.insert(parent.to_owned())
        {
            tried("make the folder", parent, fs::create_dir_all(parent))?;
        }
        tried("write", &path, fs::write(&path, &output.bytes))?;
    }
    settle(new, outputs, &folders)
}

/// Waits until the new folder is on the disk.
#[cfg(target_os = "linux")]
fn settle(new: &Path, _: &[Output], _: &BTreeSet<PathBuf>) -> Result<(), FolderError> {
    settle_all(new)
}

/// Waits until everything on the file system of `path` is on the disk: one call.
#[cfg(target_os = "linux")]
fn settle_all(path: &Path) -> Result<(), FolderError> {
    let open = tried("open", path, fs::File::open(path))?;
    tried("save", path, rustix::fs::syncfs(&open).map_err(io::Error::from))
}

/// Waits until the new folder is on the disk, file by file.
#[cfg(not(target_os = "linux"))]
fn settle(new: &Path, outputs: &[Output], folders: &BTreeSet<PathBuf>) -> Result<(), FolderError> {
    for path in outputs.iter().map(|o| new.join(&o.path)).chain([new.join(MANIFEST)]) {
        let file = tried("open", &path, fs::OpenOptions::new().write(true).open(&path))?;
        tried("save", &path, file.sync_all())?;
    }
    folders.iter().try_for_each(|f| settle_folder(f))
}

/// Waits until a folder's list of names is on the disk, where folders can be
/// opened for that.
fn settle_folder(folder: &Path) -> Result<(), FolderError> {
    if cfg!(unix) {
        let open = tried("open", folder, fs::File::open(folder))?;
        tried("save", folder, open.sync_all())?;
    }
    Ok(())
}

/// Puts the new folder in the target's place and removes the old one.
fn swap(place: &Place, new: &Path, outputs: &[Output]) -> Result<(), FolderError> {
    if !place.target.exists() {
        tried("rename", &place.target, fs::rename(new, &place.target))?;
        return settle_folder(&place.parent);
    }
    if tried("swap", &place.target, exchange(new, &place.target))? {
        // Whatever came into the old folder since it was looked at is not ours.
        if let Err(stranger) = refuse_strangers(new, outputs) {
            tried("swap", &place.target, exchange(new, &place.target))?;
            return Err(match stranger {
                FolderError::Foreign { files, .. } => {
                    FolderError::Foreign { folder: place.target.clone(), files }
                }
                other => other,
            });
        }
        settle_folder(&place.parent)?;
        // The old folder has our manifest (or is empty): left here, it would be
        // removed by the next run.
        let _ = fs::remove_dir_all(new);
        return Ok(());
    }
    let old = place.beside("old");
    tried("rename", &place.target, fs::rename(&place.target, &old))?;
    if let Err(error) = fs::rename(new, &place.target) {
        tried("rename", &old, fs::rename(&old, &place.target))?;
        return tried("rename", &place.target, Err(error));
    }
    settle_folder(&place.parent)?;
    let _ = fs::remove_dir_all(&old);
    Ok(())
}

/// Swaps two folders in one step; `false` where the system cannot.
#[cfg(target_os = "linux")]
fn exchange(a: &Path, b: &Path) -> io::Result<bool> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    match renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(true),
        Err(Errno::INVAL | Errno::NOSYS | Errno::OPNOTSUPP) => Ok(false),
        Err(error) => Err(error.into()),
    }
}

/// Swaps two folders in one step; `false` where the system cannot.
#[cfg(not(target_os = "linux"))]
fn exchange(_: &Path, _: &Path) -> io::Result<bool> {
    Ok(false)
}

/// New files that stand beside their places; those that never got there are
/// removed at the end.
#[derive(Default)]
struct Arriving {
    /// Where each stands, and where it belongs.
    files: Vec<(PathBuf, PathBuf)>,
}

/// Up to this many files are saved one by one; more with all that the file system
/// has to save, in one call.
#[cfg(target_os = "linux")]
const FEW_FILES: usize = 16;

impl Arriving {
    /// Writes a file beside its place.
    fn add(&mut self, path: PathBuf, bytes: &[u8]) -> Result<(), FolderError> {
        let parent = path.parent().unwrap_or(Path::new("."));
        tried("make the folder", parent, fs::create_dir_all(parent))?;
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let here = parent.join(format!("{ARRIVING}{name}"));
        let written = tried("write", &path, fs::write(&here, bytes));
        self.files.push((here, path));
        written
    }

    /// Waits until all of them are on the disk.
    fn settle(&self) -> Result<(), FolderError> {
        #[cfg(target_os = "linux")]
        if let Some((first, _)) = self.files.get(FEW_FILES) {
            return settle_all(first);
        }
        self.files.iter().try_for_each(|(here, path)| {
            let file = fs::OpenOptions::new().write(true).open(here);
            tried("save", path, file.and_then(|f| f.sync_all()))
        })
    }

    /// Renames all of them into place, and waits until the names are on the disk.
    fn rename(mut self) -> Result<(), FolderError> {
        let mut folders = BTreeSet::new();
        while let Some((here, path)) = self.files.pop() {
            let renamed = tried("rename", &path, fs::rename(&here, &path));
            if renamed.is_err() {
                self.files.push((here, path));
                return renamed;
            }
            folders.extend(path.parent().map(Path::to_owned));
        }
        folders.iter().try_for_each(|folder| settle_folder(folder))
    }
}

impl Drop for Arriving {
    fn drop(&mut self) {
        for (here, _) in &self.files {
            // One that stays is known by its name and passed over by the next run.
            let _ = fs::remove_file(here);
        }
    }
}

/// Removes a file and the folders that are empty without it.
fn remove(target: &Path, path: &str) -> Result<(), FolderError> {
    let full = target.join(path);
    match fs::remove_file(&full) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            return tried("remove", &full, Err(error));
        }
        _ => {}
    }
    let mut parent = full.parent();
    while let Some(folder) = parent.filter(|f| *f != target) {
        // Fails where anything is left inside, and that is the end of it.
        if fs::remove_dir(folder).is_err() {
            break;
        }
        parent = folder.parent();
    }
    Ok(())
}

//! Edits put into the files people wrote: whole or not at all.

use std::collections::BTreeMap;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// A replacement of bytes `lo..hi` of one file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct FileEdit {
    /// The file on the disk.
    pub path: PathBuf,
    /// First byte replaced.
    pub lo: usize,
    /// One past the last byte replaced.
    pub hi: usize,
    /// The new text.
    pub text: String,
}

/// Why nothing was written.
#[derive(Debug)]
pub enum Refused {
    /// The file is not as it was when it was read.
    Changed(PathBuf),
    /// Two edits want the same stretch to be different things.
    Overlap(PathBuf),
    /// The system refused.
    Io(PathBuf, io::Error),
}

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Changed(path) => write!(
                f,
                "{} was changed while it was being worked on; nothing was written. Run it again.",
                path.display()
            ),
            Self::Overlap(path) => {
                write!(f, "Two answers for one place in {}; nothing was written.", path.display())
            }
            Self::Io(path, error) => {
                write!(f, "{} cannot be written: {error}.", path.display())
            }
        }
    }
}

/// The text with all edits put in; `None` where two of them overlap or one lies
/// outside the text.
#[must_use]
pub fn applied(text: &str, edits: &[FileEdit]) -> Option<String> {
    let mut edits: Vec<&FileEdit> = edits.iter().collect();
    edits.sort();
    edits.dedup();
    let (mut out, mut at) = (String::with_capacity(text.len()), 0);
    for edit in edits {
        out.push_str(text.get(at..edit.lo)?);
        text.get(edit.lo..edit.hi)?;
        out.push_str(&edit.text);
        at = edit.hi;
    }
    out.push_str(text.get(at..)?);
    Some(out)
}

/// Puts edits into files. `as_read` gives the text each place was counted in; a
/// file that is no longer so is refused. All new files stand beside the old ones
/// before the first is renamed into place.
///
/// # Errors
/// See [`Refused`]; no file is changed then, unless a rename in the middle of
/// several failed.
pub fn write(edits: &[FileEdit], as_read: &dyn Fn(&Path) -> Option<String>) -> Result<(), Refused> {
    let mut files: BTreeMap<&Path, Vec<FileEdit>> = BTreeMap::new();
    for edit in edits {
        files.entry(&edit.path).or_default().push(edit.clone());
    }
    let mut ready = Vec::new();
    let mut prepare = || -> Result<(), Refused> {
        for (path, edits) in &files {
            let io = |e| Refused::Io(path.to_path_buf(), e);
            let changed = || Refused::Changed(path.to_path_buf());
            let now = std::fs::read_to_string(path).map_err(io)?;
            // A byte order mark is not part of the text that places count in.
            let (mark, body) = match now.strip_prefix('\u{feff}') {
                Some(body) => ("\u{feff}", body),
                None => ("", now.as_str()),
            };
            if as_read(path).ok_or_else(changed)? != body {
                return Err(changed());
            }
            let new = applied(body, edits).ok_or_else(|| Refused::Overlap(path.to_path_buf()))?;
            // A rename would pass over a lock the maker put on the file.
            if std::fs::metadata(path).map_err(io)?.permissions().readonly() {
                return Err(io(io::ErrorKind::PermissionDenied.into()));
            }
            let beside = beside(path);
            ready.push((beside.clone(), *path));
            make(&beside, path, &format!("{mark}{new}")).map_err(io)?;
        }
        Ok(())
    };
    let done = prepare().and_then(|()| {
        for (new, path) in &ready {
            std::fs::rename(new, path).map_err(|e| Refused::Io(path.to_path_buf(), e))?;
            settle_folder(path).map_err(|e| Refused::Io(path.to_path_buf(), e))?;
        }
        Ok(())
    });
    if done.is_err() {
        for (new, _) in &ready {
            // Those renamed are no longer there; the rest are only litter.
            let _ = std::fs::remove_file(new);
        }
    }
    done
}

/// Puts a file of our own into place, whole or not at all; one that is there already
/// is replaced.
///
/// # Errors
/// [`Refused::Io`]; the old file, if there was one, is unchanged then.
pub fn put(path: &Path, text: &str) -> Result<(), Refused> {
    let io = |e| Refused::Io(path.to_path_buf(), e);
    let new = beside(path);
    let done = std::fs::write(&new, text)
        .and_then(|()| std::fs::File::open(&new)?.sync_all())
        .and_then(|()| std::fs::rename(&new, path));
    if done.is_err() {
        // It may not even have been made.
        let _ = std::fs::remove_file(&new);
    }
    done.map_err(io)
}

/// The name of a file on its way into place.
fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.yardwright-arriving"))
}

/// Waits until the name of a file is kept, where folders can be opened for that.
fn settle_folder(path: &Path) -> io::Result<()> {
    match path.parent().filter(|_| cfg!(unix)) {
        Some(folder) => std::fs::File::open(folder)?.sync_all(),
        None => Ok(()),
    }
}

/// Writes a new file with the rights of the old one and waits until it is kept.
fn make(new: &Path, old: &Path, text: &str) -> io::Result<()> {
    let mut file = std::fs::File::create(new)?;
    file.write_all(text.as_bytes())?;
    file.set_permissions(std::fs::metadata(old)?.permissions())?;
    file.sync_all()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edit(lo: usize, hi: usize, text: &str) -> FileEdit {
        FileEdit { path: "a.yard".into(), lo, hi, text: text.into() }
    }

    #[test]
    fn edits_leave_the_rest_alone() {
        let text = "crank ? 30 to 60 mm  # mine\nrod ?";
        let got = applied(text, &[edit(32, 33, "336.5 mm"), edit(6, 7, "40 mm of")]);
        assert_eq!(got.unwrap(), "crank 40 mm of 30 to 60 mm  # mine\nrod 336.5 mm");
        assert_eq!(applied(text, &[edit(6, 7, "1 mm"), edit(6, 7, "2 mm")]), None);
        assert_eq!(applied("é", &[edit(1, 2, "x")]), None, "never inside a character");
        let twice = [edit(6, 7, "1 mm"), edit(6, 7, "1 mm")];
        assert!(applied(text, &twice).is_some(), "two limbs that share one `?` agree");
    }

    #[test]
    fn a_file_that_changed_meanwhile_is_left_alone() {
        let dir = std::env::temp_dir().join(format!("yardwright-edits-{}", std::process::id()));
        std::fs::create_dir_all(&dir).unwrap();
        let path = dir.join("a.yard");
        std::fs::write(&path, "\u{feff}rod ?\r\n").unwrap();
        let edits = [FileEdit { path: path.clone(), ..edit(4, 5, "9 mm") }];
        assert!(matches!(write(&edits, &|_| Some("rod !".into())), Err(Refused::Changed(_))));
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "\u{feff}rod ?\r\n");
        write(&edits, &|_| Some("rod ?\r\n".into())).unwrap();
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "\u{feff}rod 9 mm\r\n");
        assert_eq!(std::fs::read_dir(&dir).unwrap().count(), 1, "nothing is left beside it");
        std::fs::remove_dir_all(&dir).unwrap();
    }
}

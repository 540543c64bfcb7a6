//! The system's file watcher, pointed at exactly the files that matter.
//!
//! Folders are watched, not files: an editor that saves by renaming a new file
//! over the old one, or a file that is removed and made again, would otherwise
//! be lost after the first save; and a file that is missing can be waited for.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use notify::{EventKind, RecommendedWatcher, RecursiveMode, Watcher as _};

use super::Event;

/// Clocks of file systems tick coarsely: a file may bear a time a little before
/// the moment it was written at.
const TICK: Duration = Duration::from_millis(10);

/// Watches folders and lets through what happens to the wanted files.
pub struct Eyes {
    watcher: RecommendedWatcher,
    sender: Sender<Event>,
    wanted: Arc<Mutex<BTreeSet<PathBuf>>>,
    folders: BTreeSet<PathBuf>,
}

impl Eyes {
    /// Nothing is watched yet.
    ///
    /// # Errors
    /// A sentence where the system offers no watching.
    pub fn open(sender: Sender<Event>) -> Result<Self, String> {
        let wanted = Arc::new(Mutex::new(BTreeSet::new()));
        let (tell, want) = (sender.clone(), wanted.clone());
        let watcher = notify::recommended_watcher(move |event| hear(event, &tell, &want))
            .map_err(|e| format!("This system cannot watch files: {e}."))?;
        Ok(Self { watcher, sender, wanted, folders: BTreeSet::new() })
    }

    /// Looks at these files from now on, and at no others. A file that changed after
    /// `since` counts as touched.
    ///
    /// # Errors
    /// A sentence where a folder cannot be watched.
    pub fn look_at(&mut self, files: &[PathBuf], since: SystemTime) -> Result<(), String> {
        let spots: Vec<Spot> = files.iter().flat_map(|f| spots(f)).collect();
        let wanted = spots.iter().map(|s| s.folder.join(&s.name)).collect();
        *self.wanted.lock().unwrap_or_else(PoisonError::into_inner) = wanted;
        let folders: BTreeSet<PathBuf> = spots.iter().map(|s| s.folder.clone()).collect();
        for old in self.folders.difference(&folders) {
            // It may be gone together with its watch; that is as good.
            let _ = self.watcher.unwatch(old);
        }
        for folder in &folders {
            // Again even if it is watched: it may have been removed and made anew.
            match self.watcher.watch(folder, RecursiveMode::NonRecursive) {
                Ok(()) => {}
                // Removed a moment ago: its files changed, and the next round looks
                // for them from a folder that is there.
                Err(_) if !folder.is_dir() => self.touched(folder.clone()),
                Err(e) => return Err(format!("{} cannot be watched: {e}.", folder.display())),
            }
        }
        // In every folder, watched before or not: one that was removed and made anew
        // has a name that is known and a watch that is not. What was heard as well
        // falls into the same batch.
        for spot in &spots {
            let path = spot.folder.join(&spot.name);
            if changed_after(&path, since - TICK) {
                self.touched(path);
            }
        }
        self.folders = folders;
        Ok(())
    }

    fn touched(&self, path: PathBuf) {
        // Nobody listens any more only when the watch has ended.
        let _ = self.sender.send(Event::Touched(path));
    }
}

/// A name in a folder that exists.
struct Spot {
    folder: PathBuf,
    name: PathBuf,
}

/// Where a file is to be watched: as it is named and, where it is a link, where
/// it leads; in the nearest folder that exists.
fn spots(file: &Path) -> Vec<Spot> {
    let mut found = Vec::new();
    found.extend(nearest(file));
    if let Ok(real) = std::fs::canonicalize(file) {
        found.extend(nearest(&real));
    }
    found
}

fn nearest(file: &Path) -> Option<Spot> {
    let whole = std::path::absolute(file).ok()?;
    let mut at = whole.as_path();
    loop {
        let (folder, name) = (at.parent()?, at.file_name()?);
        match std::fs::canonicalize(folder) {
            Ok(folder) if folder.is_dir() => return Some(Spot { folder, name: name.into() }),
            _ => at = folder,
        }
    }
}

fn changed_after(path: &Path, since: SystemTime) -> bool {
    std::fs::metadata(path).and_then(|m| m.modified()).is_ok_and(|at| at > since)
}

/// Passes an event on if it is about a wanted file.
fn hear(
    event: notify::Result<notify::Event>,
    tell: &Sender<Event>,
    wanted: &Mutex<BTreeSet<PathBuf>>,
) {
    let wanted = wanted.lock().unwrap_or_else(PoisonError::into_inner);
    let touched: Vec<PathBuf> = match event {
        // Being read is no change; our own reading would start the next round.
        Ok(event) if matches!(event.kind, EventKind::Access(_)) => Vec::new(),
        // Events were lost: anything may have changed.
        Ok(event) if event.need_rescan() => wanted.iter().take(1).cloned().collect(),
        Ok(event) => event.paths.into_iter().filter(|p| wanted.contains(p)).collect(),
        Err(_) => wanted.iter().take(1).cloned().collect(),
    };
    for path in touched {
        // Nobody listens any more only when the watch has ended.
        let _ = tell.send(Event::Touched(path));
    }
}

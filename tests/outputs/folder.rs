//! The folder that is whole or absent.

use std::fs;
use std::path::{Path, PathBuf};

use yardwright::emit::Output;
use yardwright::emit::folder::{Changes, FolderError, MANIFEST, Manifest, update, write};

/// A fresh folder of this test's own, removed when the test is done.
struct Bench(PathBuf);

impl Bench {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("yardwright-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn out(&self) -> PathBuf {
        self.0.join("out")
    }

    /// Everything on the bench, sorted.
    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).unwrap();
        let mut names: Vec<String> =
            entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn files(pairs: &[(&str, &str)]) -> Vec<Output> {
    pairs.iter().map(|(path, text)| Output::new(*path, *text)).collect()
}

fn text(folder: &Path, path: &str) -> String {
    fs::read_to_string(folder.join(path)).unwrap()
}

#[test]
fn a_folder_is_written_whole_and_swapped_whole() {
    let bench = Bench::new("whole");
    write(&bench.out(), &files(&[("a.txt", "1"), ("deep/er/b.txt", "2")])).unwrap();
    assert_eq!(text(&bench.out(), "deep/er/b.txt"), "2");
    write(&bench.out(), &files(&[("c.txt", "3")])).unwrap();
    assert!(!bench.out().join("a.txt").exists() && !bench.out().join("deep").exists());
    let manifest = Manifest::read(&bench.out()).unwrap();
    assert_eq!(manifest.files.keys().collect::<Vec<_>>(), ["c.txt"]);
    assert_eq!(bench.names(), ["out"]);
}

#[test]
fn strangers_are_never_swapped_away() {
    let bench = Bench::new("strangers");
    write(&bench.out(), &files(&[("a.txt", "1")])).unwrap();
    fs::create_dir(bench.out().join("mine")).unwrap();
    fs::write(bench.out().join("mine/notes.txt"), "keep me").unwrap();
    let error = write(&bench.out(), &files(&[("a.txt", "2")])).unwrap_err();
    assert!(error.to_string().contains("mine/notes.txt"), "{error}");
    assert_eq!(text(&bench.out(), "a.txt"), "1");
    assert_eq!(text(&bench.out(), "mine/notes.txt"), "keep me");
    assert_eq!(bench.names(), ["out"]);
}

/// A song laid beside the preview by hand is the copy that `build` lays there itself: the
/// same bytes are no loss, others are.
#[test]
fn a_song_laid_in_by_hand_stands_in_nobodys_way() {
    let bench = Bench::new("song");
    write(&bench.out(), &files(&[("a.txt", "1")])).unwrap();
    fs::create_dir(bench.out().join("songs")).unwrap();
    let song = bench.out().join("songs/jig.wav");
    fs::write(&song, "la la").unwrap();
    let next = files(&[("a.txt", "2"), ("songs/jig.wav", "la la")]);
    write(&bench.out(), &next).unwrap();
    assert_eq!(text(&bench.out(), "a.txt"), "2");
    let other = files(&[("a.txt", "3"), ("songs/reel.wav", "tra la")]);
    fs::write(bench.out().join("songs/reel.wav"), "my own take").unwrap();
    let error = write(&bench.out(), &other).unwrap_err().to_string();
    assert!(error.contains("songs/reel.wav") && error.contains("move them away"), "{error}");
    assert_eq!(text(&bench.out(), "songs/reel.wav"), "my own take");
    assert_eq!(text(&bench.out(), "a.txt"), "2");
    assert_eq!(bench.names(), ["out"]);
}

#[test]
fn a_folder_of_somebody_else_is_refused_and_an_empty_one_is_taken() {
    let bench = Bench::new("else");
    fs::create_dir(bench.out()).unwrap();
    write(&bench.out(), &files(&[("a.txt", "1")])).unwrap();
    let other = bench.0.join("other");
    fs::create_dir(&other).unwrap();
    fs::write(other.join("manifest.json"), "{\"files\": {}}").unwrap();
    assert!(matches!(write(&other, &[]), Err(FolderError::Foreign { .. })));
    assert!(matches!(update(&other, &[]), Err(FolderError::Foreign { .. })));
}

#[test]
fn a_target_that_cannot_be_a_folder_says_so() {
    let bench = Bench::new("occupied");
    fs::write(bench.out(), "a file").unwrap();
    assert!(matches!(write(&bench.out(), &[]), Err(FolderError::NotAFolder(_))));
    let below = bench.out().join("deeper");
    let error = write(&below, &files(&[("a.txt", "1")])).unwrap_err();
    assert!(error.to_string().contains("out"), "{error}");
    assert_eq!(text(&bench.0, "out"), "a file");
    assert_eq!(bench.names(), ["out"]);
}

#[test]
fn an_output_that_cannot_be_written_leaves_the_old_folder() {
    let bench = Bench::new("half");
    write(&bench.out(), &files(&[("a.txt", "1")])).unwrap();
    // A file and a folder of one name: the second cannot be made.
    let error = write(&bench.out(), &files(&[("x", "file"), ("x/y.txt", "2")])).unwrap_err();
    assert!(matches!(error, FolderError::Io { .. }), "{error}");
    assert!(error.to_string().contains('x'), "{error}");
    assert_eq!(text(&bench.out(), "a.txt"), "1");
    assert_eq!(bench.names(), ["out"]);
}

#[test]
fn paths_that_leave_the_folder_are_refused() {
    let bench = Bench::new("paths");
    for bad in ["../a", "/a", "a//b", "a/../b", ".hidden", "a\\b", "a:b", "c. ", "", MANIFEST] {
        let error = write(&bench.out(), &files(&[(bad, "")])).unwrap_err();
        assert!(matches!(&error, FolderError::BadPath(path) if path == bad), "{bad}: {error}");
    }
    let twice = write(&bench.out(), &files(&[("Bear.json", ""), ("bear.json", "")]));
    assert!(matches!(twice, Err(FolderError::BadPath(_))));
    assert!(bench.names().is_empty());
}

#[test]
fn update_touches_only_what_changed() {
    let bench = Bench::new("update");
    let out = bench.out();
    write(&out, &files(&[("a.txt", "1"), ("b.txt", "1"), ("old/c.txt", "1")])).unwrap();
    let before = fs::metadata(out.join("a.txt")).unwrap().modified().unwrap();
    fs::write(out.join("notes.txt"), "mine").unwrap();
    let next = files(&[("a.txt", "1"), ("b.txt", "2"), ("new/d.txt", "1")]);
    let changes = update(&out, &next).unwrap();
    assert_eq!(changes.written, ["b.txt", "new/d.txt"]);
    assert_eq!(changes.removed, ["old/c.txt"]);
    assert_eq!(text(&out, "b.txt"), "2");
    assert!(!out.join("old").exists());
    assert_eq!(text(&out, "notes.txt"), "mine");
    assert_eq!(fs::metadata(out.join("a.txt")).unwrap().modified().unwrap(), before);
    assert_eq!(update(&out, &next).unwrap(), Changes::default());
    // A file that was lost comes back.
    fs::remove_file(out.join("a.txt")).unwrap();
    assert_eq!(update(&out, &next).unwrap().written, ["a.txt"]);
    // A stranger where a new output belongs is not overwritten.
    let taken = files(&[("a.txt", "1"), ("notes.txt", "ours")]);
    assert!(matches!(update(&out, &taken), Err(FolderError::Foreign { .. })));
    assert_eq!(text(&out, "notes.txt"), "mine");
}

#[test]
fn update_of_an_absent_folder_writes_it_whole() {
    let bench = Bench::new("first");
    let changes = update(&bench.out(), &files(&[("a.txt", "1")])).unwrap();
    assert_eq!(changes.written, ["a.txt"]);
    assert!(Manifest::read(&bench.out()).is_some());
}

#[test]
fn what_a_dead_run_left_is_mended() {
    let bench = Bench::new("dead");
    let out = bench.out();
    write(&out, &files(&[("a.txt", "1")])).unwrap();
    // It died between the two renames: the old folder stands aside.
    fs::rename(&out, bench.0.join(".out.yardwright-old")).unwrap();
    let error = write(&out, &files(&[("x", ""), ("x/y", "")])).unwrap_err();
    assert!(matches!(error, FolderError::Io { .. }));
    assert_eq!(text(&out, "a.txt"), "1");
    // It died while filling the new one: ours by its manifest, so it goes.
    fs::create_dir(bench.0.join(".out.yardwright-new")).unwrap();
    fs::copy(out.join(MANIFEST), bench.0.join(".out.yardwright-new").join(MANIFEST)).unwrap();
    write(&out, &files(&[("a.txt", "2")])).unwrap();
    assert_eq!(bench.names(), ["out"]);
    // Without our manifest it is somebody's: left alone, and said.
    fs::create_dir(bench.0.join(".out.yardwright-new")).unwrap();
    fs::write(bench.0.join(".out.yardwright-new/mine.txt"), "mine").unwrap();
    let error = write(&out, &files(&[("a.txt", "3")])).unwrap_err();
    assert!(error.to_string().contains(".out.yardwright-new"), "{error}");
    assert_eq!(text(&bench.0, ".out.yardwright-new/mine.txt"), "mine");
    assert_eq!(text(&out, "a.txt"), "2");
}

#[test]
fn two_writers_do_not_meet() {
    let bench = Bench::new("busy");
    let lock = fs::File::create(bench.0.join(".out.yardwright-lock")).unwrap();
    lock.lock().unwrap();
    assert!(matches!(write(&bench.out(), &[]), Err(FolderError::Busy(_))));
    assert!(matches!(update(&bench.out(), &[]), Err(FolderError::Busy(_))));
    drop(lock);
    write(&bench.out(), &[]).unwrap();
}

#[cfg(unix)]
#[test]
fn a_link_to_a_folder_stays_a_link() {
    let bench = Bench::new("link");
    fs::create_dir(bench.0.join("real")).unwrap();
    std::os::unix::fs::symlink(bench.0.join("real"), bench.out()).unwrap();
    write(&bench.out(), &files(&[("a.txt", "1")])).unwrap();
    assert!(fs::symlink_metadata(bench.out()).unwrap().is_symlink());
    assert_eq!(text(&bench.0.join("real"), "a.txt"), "1");
}

#[test]
fn an_update_that_fails_on_its_way_changes_no_file() {
    let bench = Bench::new("update-fails");
    write(&bench.out(), &files(&[("b.txt", "1"), ("c", "1")])).unwrap();
    // `c` is a file, so nothing can stand below it; `b.txt` comes before.
    let error = update(&bench.out(), &files(&[("b.txt", "2"), ("c/d.txt", "2")])).unwrap_err();
    assert!(matches!(error, FolderError::Io { .. }), "{error}");
    assert_eq!(text(&bench.out(), "b.txt"), "1");
    assert_eq!(text(&bench.out(), "c"), "1");
    assert_eq!(fs::read_dir(bench.out()).unwrap().count(), 3, "nothing is left on its way");
    assert_eq!(bench.names(), ["out"]);
}

#[test]
fn an_update_goes_on_where_another_was_cut_short() {
    let bench = Bench::new("update-cut");
    write(&bench.out(), &files(&[("a.txt", "1")])).unwrap();
    // The power went after the new file had its name and before the manifest had it.
    fs::write(bench.out().join("b.txt"), "2").unwrap();
    let after = files(&[("a.txt", "1"), ("b.txt", "2")]);
    let changes = update(&bench.out(), &after).unwrap();
    assert_eq!(changes, Changes { written: vec!["b.txt".into()], removed: vec![] });
    assert_eq!(Manifest::read(&bench.out()).unwrap(), Manifest::of(&after));
    // Anything else under that name is somebody's.
    fs::write(bench.out().join("c.txt"), "mine").unwrap();
    let more = files(&[("a.txt", "1"), ("b.txt", "2"), ("c.txt", "3")]);
    assert!(matches!(update(&bench.out(), &more), Err(FolderError::Foreign { .. })));
    assert_eq!(text(&bench.out(), "c.txt"), "mine");
}

#[test]
fn many_files_are_updated_whole() {
    let bench = Bench::new("update-many");
    let all = |value: &str| -> Vec<Output> {
        (0..40).map(|n| Output::new(format!("s/{n}.csv"), value)).collect()
    };
    write(&bench.out(), &all("1")).unwrap();
    assert_eq!(update(&bench.out(), &all("22")).unwrap().written.len(), 40);
    assert!((0..40).all(|n| text(&bench.out(), &format!("s/{n}.csv")) == "22"));
    assert_eq!(fs::read_dir(bench.out().join("s")).unwrap().count(), 40);
}

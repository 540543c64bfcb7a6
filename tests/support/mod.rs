//! A test that reads like a transcript: files, a command, what it says and leaves.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};

pub mod disk;
pub mod text;

/// A folder of its own with files in it, removed at the end.
pub struct Yard {
    folder: PathBuf,
}

impl Yard {
    /// An empty folder.
    pub fn new() -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        let n = NEXT.fetch_add(1, Ordering::SeqCst);
        let name = format!("yardwright-test-{}-{n}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder).unwrap();
        Self { folder: folder.canonicalize().unwrap() }
    }

    /// With a file in it.
    pub fn file(self, name: &str, text: impl AsRef<[u8]>) -> Self {
        self.write(name, text);
        self
    }

    /// Writes a file now.
    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    /// The path of a file in it.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// The text of a file in it.
    pub fn read(&self, name: &str) -> String {
        let path = self.path(name);
        std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
    }

    /// Every file in it, by path with `/`, sorted.
    pub fn files(&self) -> Vec<String> {
        let mut found = Vec::new();
        list(&self.folder, "", &mut found);
        found.sort();
        found
    }

    /// `yardwright` with these words, to be run in this folder.
    pub fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_yardwright"));
        command.args(words).current_dir(&self.folder).stdin(Stdio::null());
        command.env_remove("NO_COLOR").env_remove("RUST_BACKTRACE");
        command
    }

    /// Runs `yardwright` with these words: `yard.run("check a.yard")`.
    pub fn run(&self, words: &str) -> Ran<'_> {
        let words: Vec<&str> = words.split_whitespace().collect();
        let output = self.command(&words).output().unwrap();
        Ran { yard: self, words: words.join(" "), output }
    }
}

impl Drop for Yard {
    fn drop(&mut self) {
        // A folder left in the temporary folder harms nobody.
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

fn list(folder: &Path, inside: &str, found: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{inside}{}", entry.file_name().to_string_lossy());
        if entry.file_type().unwrap().is_dir() {
            list(&entry.path(), &format!("{name}/"), found);
        } else {
            found.push(name);
        }
    }
}

/// A command that has run.
pub struct Ran<'a> {
    yard: &'a Yard,
    words: String,
    output: Output,
}

impl Ran<'_> {
    /// The standard output.
    pub fn stdout(&self) -> String {
        String::from_utf8(self.output.stdout.clone()).unwrap()
    }

    /// The standard error.
    pub fn stderr(&self) -> String {
        String::from_utf8(self.output.stderr.clone()).unwrap()
    }

    /// The standard output as JSON.
    pub fn json(&self) -> serde_json::Value {
        let text = self.stdout();
        serde_json::from_str(&text).unwrap_or_else(|e| panic!("{e}\n{}", self.transcript()))
    }

    /// Expects this exit code.
    #[track_caller]
    pub fn exits(&self, code: i32) -> &Self {
        assert_eq!(self.output.status.code(), Some(code), "{}", self.transcript());
        self
    }

    /// Expects these words on the standard output.
    #[track_caller]
    pub fn says(&self, words: &str) -> &Self {
        assert!(self.stdout().contains(words), "no `{words}` in\n{}", self.transcript());
        self
    }

    /// Expects these words on the standard error.
    #[track_caller]
    pub fn talks(&self, words: &str) -> &Self {
        assert!(self.stderr().contains(words), "no `{words}` in\n{}", self.transcript());
        self
    }

    /// Expects nothing on the standard output.
    #[track_caller]
    pub fn says_nothing(&self) -> &Self {
        assert!(self.stdout().is_empty(), "{}", self.transcript());
        self
    }

    /// Expects nothing on the standard error.
    #[track_caller]
    pub fn is_quiet(&self) -> &Self {
        assert!(self.stderr().is_empty(), "{}", self.transcript());
        self
    }

    /// Expects exactly these files in the folder.
    #[track_caller]
    pub fn leaves(&self, files: &[&str]) -> &Self {
        assert_eq!(self.yard.files(), files, "{}", self.transcript());
        self
    }

    fn transcript(&self) -> String {
        format!(
            "$ yardwright {}\n{}--- talk\n{}--- exit {:?}",
            self.words,
            self.stdout(),
            self.stderr(),
            self.output.status.code()
        )
    }
}

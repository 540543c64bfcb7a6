//! `new`: a folder with a first yard in it.

use std::io::{self, Write as _};
use std::path::Path;

use serde_json::json;

use super::args::Format;
use super::json::{SCHEMA, refusal, text};
use super::outcome::{Exit, Outcome};

/// The first yard: short enough to read at one go, and it compiles.
pub const FIRST: &str = include_str!("first.yard");

/// The name of its file.
pub const NAME: &str = "first.yard";

/// Makes the folder and the file; nothing that is there is ever overwritten.
#[must_use]
pub fn new(dir: &Path, format: Format) -> Outcome {
    let file = dir.join(NAME);
    if let Err(error) = write(dir, &file) {
        let message = match error.kind() {
            _ if dir.exists() && !dir.is_dir() => {
                format!("{} is a file, not a folder; name another folder.", dir.display())
            }
            io::ErrorKind::AlreadyExists => {
                format!("{} is there already, and nothing is overwritten.", file.display())
            }
            _ => format!("{} cannot be made: {error}.", file.display()),
        };
        let data = match format {
            Format::Text => String::new(),
            Format::Json => {
                refusal(Some(&file.to_string_lossy()), &super::codes::CANNOT_WRITE, &message)
            }
        };
        return Outcome::fine(data).talk(format!("{message}\n")).exit(Exit::CouldNotRun);
    }
    let next = [
        format!("yardwright check {}", quoted(&file)),
        format!("yardwright watch {}", quoted(&file)),
    ];
    match format {
        Format::Json => Outcome::fine(text(
            &json!({ "schema": SCHEMA, "ok": true, "file": file.to_string_lossy(), "next": next }),
        )),
        Format::Text => Outcome::fine(format!(
            "{} is a first figure with one moving limb.\n\n\
             What it will do:                 {}\n\
             Again on every save, with files: {}\n",
            file.display(),
            next[0],
            next[1],
        )),
    }
}

fn write(dir: &Path, file: &Path) -> io::Result<()> {
    std::fs::create_dir_all(dir)?;
    std::fs::File::create_new(file)?.write_all(FIRST.as_bytes())
}

/// A path as it is typed: in quotes where it has blanks.
fn quoted(path: &Path) -> String {
    let path = path.display().to_string();
    if path.contains(' ') { format!("\"{path}\"") } else { path }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_yard_is_short_and_explains_itself() {
        assert!(FIRST.lines().count() < 25);
        assert!(FIRST.lines().filter(|l| l.contains('#')).count() >= 8);
        assert!(FIRST.is_ascii());
    }
}

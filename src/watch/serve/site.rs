//! What is served: the files of the written folder by its own list, the sounds the yard
//! names, and nothing else on this disk.

use std::collections::BTreeMap;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use crate::emit::escape;
use crate::emit::folder::{MANIFEST, Manifest};

/// The page that stands for the whole folder, where it is written.
const FIRST: &str = "preview.html";

/// Kinds of sound that browsers play.
const SOUNDS: [(&str, &str); 5] = [
    ("wav", "audio/wav"),
    ("mp3", "audio/mpeg"),
    ("ogg", "audio/ogg"),
    ("flac", "audio/flac"),
    ("m4a", "audio/mp4"),
];

/// Kinds of file we write.
const KINDS: [(&str, &str); 10] = [
    ("html", "text/html; charset=utf-8"),
    ("svg", "image/svg+xml"),
    ("json", "application/json"),
    ("csv", "text/csv; charset=utf-8"),
    ("h", "text/plain; charset=utf-8"),
    ("ics", "text/calendar; charset=utf-8"),
    ("mid", "audio/midi"),
    ("pdf", "application/pdf"),
    ("png", "image/png"),
    ("txt", "text/plain; charset=utf-8"),
];

/// The folder, and the sounds beside it.
#[derive(Debug)]
pub struct Site {
    folder: PathBuf,
    /// By the path they are asked for with.
    sounds: Mutex<BTreeMap<String, PathBuf>>,
}

/// What a path leads to.
#[derive(Debug)]
pub enum Found {
    /// A page to write a script into.
    Page(Vec<u8>),
    /// A file as it is, with its kind and length.
    File(File, &'static str, u64),
}

/// The kind of a file by its name.
pub fn kind(name: &str) -> &'static str {
    let end = name.rsplit('.').next().unwrap_or_default().to_ascii_lowercase();
    let all = || KINDS.iter().chain(&SOUNDS);
    all().find(|(e, _)| *e == end).map_or("application/octet-stream", |(_, kind)| *kind)
}

fn is_sound(path: &Path) -> bool {
    let end = path.extension().and_then(|e| e.to_str()).map(str::to_ascii_lowercase);
    end.is_some_and(|end| SOUNDS.iter().any(|(e, _)| *e == end))
}

impl Site {
    /// Of a folder that need not be there yet.
    pub fn new(folder: PathBuf) -> Self {
        Self { folder, sounds: Mutex::default() }
    }

    /// The sounds among the files a round read, by their place beside the yard and by
    /// their bare name.
    pub fn sounds_of(&self, yard: &Path, read: &[PathBuf]) {
        let beside = yard.parent().and_then(|p| std::fs::canonicalize(real(p)).ok());
        let mut sounds = BTreeMap::new();
        for path in read.iter().filter(|p| is_sound(p)) {
            let Ok(whole) = std::fs::canonicalize(path) else { continue };
            let inside = beside.as_ref().and_then(|b| whole.strip_prefix(b).ok());
            let names = inside.map(|p| p.iter().map(|n| n.to_string_lossy()).collect::<Vec<_>>());
            sounds.extend(names.map(|n| (n.join("/"), whole.clone())));
            let bare = whole.file_name().map(|n| n.to_string_lossy().into_owned());
            bare.into_iter().for_each(|n| {
                sounds.entry(n).or_insert_with(|| whole.clone());
            });
        }
        *self.sounds.lock().unwrap_or_else(PoisonError::into_inner) = sounds;
    }

    /// What stands under a path; `None` where nothing of ours does.
    pub fn find(&self, path: &[String]) -> Option<Found> {
        let manifest = Manifest::read(&self.folder);
        let listed = |name: &str| {
            name == MANIFEST || manifest.as_ref().is_some_and(|m| m.files.contains_key(name))
        };
        let name = match path {
            [] if listed(FIRST) => FIRST.to_owned(),
            [] => return Some(Found::Page(self.contents(manifest.as_ref()).into_bytes())),
            path => path.join("/"),
        };
        if listed(&name) {
            // A link that was put there since leads nowhere.
            let whole = std::fs::canonicalize(self.folder.join(&name)).ok()?;
            whole.starts_with(std::fs::canonicalize(&self.folder).ok()?).then_some(())?;
            return opened(&whole, &name);
        }
        let sounds = self.sounds.lock().unwrap_or_else(PoisonError::into_inner);
        let sound = sounds.get(&name)?.clone();
        drop(sounds);
        opened(&sound, &name)
    }

    /// The page where no other stands for the folder: everything in it by name.
    fn contents(&self, manifest: Option<&Manifest>) -> String {
        let item = |name: &str| {
            let path: Vec<String> = name.split('/').map(escaped_url).collect();
            format!("<li><a href=\"/{}\">{}</a></li>\n", path.join("/"), escape(name))
        };
        let files: String =
            manifest.iter().flat_map(|m| m.files.keys()).map(|name| item(name)).collect();
        let body = match files.as_str() {
            "" => "<p>Nothing is built yet.</p>\n".to_owned(),
            files => format!("<ul>\n{files}</ul>\n"),
        };
        format!(
            "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
             <title>yardwright</title><style>:root{{color-scheme:light dark}}\
             body{{font:16px/1.5 Arial,sans-serif;max-width:40rem;margin:2rem auto;padding:0 1rem}}\
             </style></head><body>\n<h1>What was built</h1>\n{body}</body></html>\n"
        )
    }
}

/// The folder a bare file name stands in.
fn real(parent: &Path) -> &Path {
    if parent.as_os_str().is_empty() { Path::new(".") } else { parent }
}

fn opened(path: &Path, name: &str) -> Option<Found> {
    let kind = kind(name);
    let file = File::open(path).ok()?;
    let meta = file.metadata().ok().filter(std::fs::Metadata::is_file)?;
    if kind.starts_with("text/html") {
        return std::fs::read(path).ok().map(Found::Page);
    }
    Some(Found::File(file, kind, meta.len()))
}

/// A name as part of an address (RFC 3986, 2.3).
fn escaped_url(name: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-._~".contains(&b);
    let one = |b: u8| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") };
    name.bytes().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_known_by_the_end_of_the_name() {
        assert_eq!(kind("report.html"), "text/html; charset=utf-8");
        assert_eq!(kind("lantern.WAV"), "audio/wav");
        assert_eq!(kind("Makefile"), "application/octet-stream");
    }

    #[test]
    fn names_are_text_in_pages_and_addresses() {
        assert_eq!(escape("<a b=\"&\">"), "&lt;a b=&quot;&amp;&quot;&gt;");
        assert_eq!(escaped_url("b r\u{e4}\""), "b%20r%C3%A4%22");
    }
}

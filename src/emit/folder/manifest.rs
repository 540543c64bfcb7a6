//! `manifest.json`: the list of what we wrote, and so the mark that a folder is
//! ours.

use std::collections::BTreeMap;
use std::path::Path;

use crate::emit::Output;

/// The manifest's name inside the folder.
pub const NAME: &str = "manifest.json";

/// Who wrote the folder.
const WRITER: &str = "yardwright";

/// What we wrote into a folder.
#[derive(Clone, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Manifest {
    schema: u32,
    written_by: String,
    /// Every file but the manifest, by path inside the folder.
    pub files: BTreeMap<String, Stamp>,
}

/// How to tell whether a file is still the one we wrote.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Stamp {
    /// Its length.
    pub bytes: u64,
    /// FNV-1a, 64 bits, in hexadecimal: to see a change, not to prove an origin.
    pub fnv1a64: String,
}

impl Stamp {
    /// The stamp of some bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self { bytes: bytes.len() as u64, fnv1a64: format!("{:016x}", fnv1a64(bytes)) }
    }
}

/// The FNV-1a hash of 64 bits (Fowler, Noll, Vo; IETF draft-eastlake-fnv).
fn fnv1a64(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

impl Manifest {
    /// The manifest of a list of files.
    #[must_use]
    pub fn of(outputs: &[Output]) -> Self {
        let files = outputs.iter().map(|o| (o.path.clone(), Stamp::of(&o.bytes)));
        Self { schema: 1, written_by: WRITER.to_owned(), files: files.collect() }
    }

    /// The manifest of a folder; `None` where there is none of ours.
    #[must_use]
    pub fn read(folder: &Path) -> Option<Self> {
        let text = std::fs::read(folder.join(NAME)).ok()?;
        let manifest: Self = serde_json::from_slice(&text).ok()?;
        (manifest.written_by == WRITER).then_some(manifest)
    }

    /// The manifest as JSON text.
    ///
    /// # Errors
    /// Where serde cannot write it; names and numbers are always writable.
    pub fn to_json(&self) -> serde_json::Result<Vec<u8>> {
        let mut text = serde_json::to_vec_pretty(self)?;
        text.push(b'\n');
        Ok(text)
    }
}

#[cfg(test)]
mod tests {
    use super::fnv1a64;

    // Test vectors: IETF draft-eastlake-fnv, appendix C ("", "a", "foobar").
    #[test]
    fn the_hash_is_fnv_1a() {
        assert_eq!(fnv1a64(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv1a64(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv1a64(b"foobar"), 0x8594_4171_f739_67e8);
    }
}

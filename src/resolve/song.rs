//! Placeholder table; the real one comes with the music branch.

use crate::syntax::words::Table;

/// A sound file with its bars and beats.
pub static SONG: Table = Table { name: "song", title: "A sound file with its bars and beats.", rows: &[], bare: None };

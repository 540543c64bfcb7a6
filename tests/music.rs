//! Sound and musical time: bad files, tempo maps, onsets, loudness, beats.

mod maps;
mod wavs;

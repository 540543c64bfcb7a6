//! Sound and musical time: bad files, tempo maps, onsets, loudness, beats.

mod hearing;
mod jig;
mod maps;
mod wavs;

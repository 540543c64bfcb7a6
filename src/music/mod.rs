//! Sound and musical time: decoding, tempo map, beats, onsets, loudness.
//!
//! Sounds come in as bytes ([`wav`]); times leave as seconds and exact beats
//! ([`tempo`]). Nothing here opens a file or knows a place in a text, and every
//! figure is the same on every machine: no platform mathematics, no threads.

pub mod band;
pub mod beats_file;
mod fft;
pub mod listen;
pub mod meter;
mod strength;
pub mod tempo;
pub mod wav;

pub use band::{Band, BandError, Loudness, Smoothing, loudness, onsets};
pub use beats_file::{BeatLine, BeatsFileError, BeatsFileFault, first_downbeat, read_beats};
pub use listen::{Heard, ListenError, listen};
pub use meter::Meter;
pub use tempo::{BarBeat, TempoChange, TempoError, TempoMap};
pub use wav::{Coding, Sound, WavError, WavFormat};

//! Tree to model: names, units, defaults.

pub mod cast;
mod check_cues;
pub mod codes_show;
mod cue;
pub mod moment;
mod phrase;
mod season;
mod show;
mod song;
mod span;
mod told;

pub use check_cues::check_cues;
pub use cue::{CUE, cue};
pub use phrase::{PHRASE, phrase, phrase_name};
pub use season::{SEASON, season, season_note};
pub use show::{GROUP, SHOW, group, show};
pub use song::{SONG, SoundFault, SoundFiles, song};

//! Songs, cues and motors on the beat.

mod beat;
mod conflicts;
mod cues;
mod many;
mod orchard;
mod reading;
mod servos;
mod struts;

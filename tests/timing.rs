//! Songs, cues and motors on the beat.

mod beat;
mod carried;
mod conflicts;
mod cords;
mod cues;
mod forearms;
mod many;
mod orchard;
mod reading;
mod riding;
mod servo_pace;
mod servos;
mod struts;

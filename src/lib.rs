//! yardwright reads one text file that describes a whole yard of animated
//! figures, proves that every mechanism will move as wanted, fits every gesture
//! to the music, and writes what the bench, the controllers and the yard need.
//!
//! Data flows one way, and each module is one step of it; a test reads the
//! imports and fails on one that runs upward (see DEVELOPERS.md for the map).

// pest is used without its `std` feature, and its generated code names `alloc`.
extern crate alloc;

pub mod check;
pub mod cli;
pub mod drawing;
pub mod emit;
pub mod finding;
pub mod fit;
pub mod geometry;
pub mod loads;
pub mod make;
pub mod mechanism;
pub mod model;
pub mod music;
pub mod power;
pub mod resolve;
pub mod season;
pub mod source;
pub mod space;
pub mod stock;
pub mod syntax;
pub mod timing;
pub mod units;
pub mod watch;

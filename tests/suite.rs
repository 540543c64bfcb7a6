//! The test suite, one module per subject.

mod commands;
mod faults;
mod house;
mod linkages;
mod music;
mod published;
mod support;
mod watching;

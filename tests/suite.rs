//! The test suite, one module per subject.

mod commands;
mod faults;
mod house;
mod language;
mod linkages;
mod music;
mod outputs;
mod published;
mod resolve;
mod support;
mod watching;
mod words;

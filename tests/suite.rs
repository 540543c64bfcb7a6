//! The test suite, one module per subject.

#![allow(clippy::unwrap_used, reason = "a failed helper of a test is a failed test")]

mod codes;
mod commands;
mod drawings;
mod examples;
mod faults;
mod fitting;
mod followed;
mod hard_inputs;
mod house;
mod impossible;
mod incremental;
mod language;
mod linkages;
mod loads;
mod music;
mod notes;
mod outputs;
mod pivots;
mod power;
mod preview;
mod published;
mod readme;
mod recovery;
mod reference;
mod resolve;
mod room;
mod season;
mod shop;
mod stock;
mod support;
mod timing;
mod watching;
mod wind;
mod words;

//! The test suite, one module per subject.

mod language;
mod linkages;
mod music;
mod outputs;
mod published;
mod resolve;
mod timing;
mod words;

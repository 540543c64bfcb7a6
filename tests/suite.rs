//! The test suite, one module per subject.

mod codes;
mod hard_inputs;
mod language;
mod linkages;
mod music;
mod outputs;
mod published;
mod recovery;
mod resolve;
mod timing;
mod words;

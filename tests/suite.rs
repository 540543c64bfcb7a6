//! The test suite, one module per subject.

mod hard_inputs;
mod language;
mod recovery;
mod words;

//! The test suite, one module per subject.

mod language;
mod words;

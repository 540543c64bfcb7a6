//! The test suite, one module per subject.

mod music;
mod published;

//! The test suite, one module per subject.

mod linkages;
mod music;
mod published;

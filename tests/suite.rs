//! The test suite, one module per subject.

mod outputs;

//! The test suite, one module per subject.

// Helpers of tests are tests: clippy's own exception covers only their callers.
#![allow(clippy::unwrap_used)]

mod linkages;
mod published;

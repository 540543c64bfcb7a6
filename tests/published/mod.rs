//! Checks against published values, one module per field; each names its source.

mod linkages;
mod music;
mod wind;

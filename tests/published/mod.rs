//! Checks against published values, one module per field; each names its source.

mod evenings;
mod linkages;
mod masses;
mod motors;
mod music;
mod wind;

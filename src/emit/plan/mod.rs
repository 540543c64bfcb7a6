//! `plan.svg`
use crate::check::Compiled;
use super::Output;
/// none
pub fn outputs(_c: &Compiled) -> Vec<Output> { Vec::new() }
